//! How long a battery runs a load, how large it must be, how long it charges.

/// A battery and the load it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunTime {
    /// Rated charge, A s.
    pub capacity: f64,
    /// Discharge time of that rating, s; 20 h for most lead batteries in North America.
    pub rated_time: f64,
    /// Current while the load is on, A.
    pub current: f64,
    /// Peukert exponent, 1 or more: flooded lead 1.20 to 1.30, absorbed glass mat 1.05 to 1.15, gel 1.10 to 1.20,
    /// lithium iron phosphate about 1.05.
    pub exponent: f64,
    /// Share of the charge that may be used: lead 0.5, lithium iron phosphate 0.8 (common practice, no source).
    pub usable: f64,
    /// Share of the time that the load is on, above 0 and at most 1.
    pub duty: f64,
}

/// Seconds to empty a battery wholly at a steady current: t = H (C/(I H))^k, and never more than C/I.
///
/// Peukert's law was fitted above the rated current; below it the law would promise more charge than the battery holds,
/// so the answer is capped at the rated charge. `None` unless capacity, rated time and current are above 0. Rises with
/// capacity; falls with current; falls or stays with exponent and rated time. `usable` and `duty` are not read. Source:
/// W. Peukert, Elektrotechnische Zeitschrift 20, 1897, in the form for a rated time.
pub fn discharge_time(battery: &RunTime) -> Option<f64> {
    let RunTime { capacity, rated_time, current, exponent, .. } = *battery;
    if !(capacity > 0.0 && rated_time > 0.0 && current > 0.0) {
        return None;
    }
    let plain = capacity / current;
    Some((rated_time * (plain / rated_time).powf(exponent)).min(plain))
}

/// Seconds of work from a full battery: usable share times [`discharge_time`] over duty.
///
/// The current that counts for Peukert is the one while the load is on, not the average; recovery in the pauses is left
/// out, which errs short. `None` as in [`discharge_time`] and unless duty is above 0. Rises with capacity and usable
/// share, falls with current and duty, falls or stays with exponent and rated time: the ends of a range are at its
/// corners.
pub fn run_time(battery: &RunTime) -> Option<f64> {
    if battery.duty > 0.0 { Some(battery.usable * discharge_time(battery)? / battery.duty) } else { None }
}

/// Rated charge in A s that runs the load for `time` seconds: the inverse of [`run_time`]; `battery.capacity` is not
/// read.
///
/// `None` unless time, rated time, current, exponent, usable share and duty are above 0. Rises with time, current and
/// duty, falls with usable share, rises or stays with exponent and rated time.
pub fn capacity_for(battery: &RunTime, time: f64) -> Option<f64> {
    let RunTime { rated_time, current, exponent, usable, duty, .. } = *battery;
    if !(time > 0.0 && rated_time > 0.0 && current > 0.0 && exponent > 0.0 && usable > 0.0 && duty > 0.0) {
        return None;
    }
    let wholly = time * duty / usable;
    Some((current * rated_time * (wholly / rated_time).powf(1.0 / exponent)).max(current * wholly))
}

/// Run time as data: `points` pairs of current in A and seconds, evenly spaced from `least` to `most`, both included.
///
/// `battery.current` is not read. Empty with fewer than two points; currents without an answer are left out.
pub fn run_time_curve(battery: &RunTime, least: f64, most: f64, points: usize) -> Vec<(f64, f64)> {
    if points < 2 {
        return Vec::new();
    }
    let step = (most - least) / (points - 1) as f64;
    (0..points)
        .filter_map(|n| {
            let current = least + step * n as f64;
            Some((current, run_time(&RunTime { current, ..*battery })?))
        })
        .collect()
}

/// Charge in A s used by loads given as pairs of A and seconds. Rises with every current and time.
pub fn charge_used(loads: &[(f64, f64)]) -> f64 {
    loads.iter().map(|(current, time)| current * time).sum()
}

/// Rated charge that gives `used` A s from its usable share, without Peukert; `None` unless the share is above 0.
///
/// Rises with used, falls with usable. For a day's budget of small loads; use [`capacity_for`] for one large load.
pub fn capacity_for_charge(used: f64, usable: f64) -> Option<f64> {
    (usable > 0.0).then(|| used / usable)
}

/// A battery to be charged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recharge {
    /// Charge to put back, A s.
    pub used: f64,
    /// Charge drawn from the charger over charge stored: lead 1.10 to 1.20, lithium 1.02 (common practice, no source).
    pub factor: f64,
    /// Current of the charger, A.
    pub current: f64,
    /// Time at falling current at the end, s: lead 2 to 4 h, lithium up to 0.5 h (common practice, no source).
    pub taper: f64,
}

/// Seconds to recharge: used times factor over current, plus the taper. `None` unless the current is above 0.
///
/// Rises with used, factor and taper, falls with current.
pub fn recharge_time(recharge: &Recharge) -> Option<f64> {
    (recharge.current > 0.0).then(|| recharge.used * recharge.factor / recharge.current + recharge.taper)
}

/// Charge in A s that a breakaway set needs: magnets times their current times the time they must hold.
///
/// 49 CFR 393.43(d) asks for 15 minutes; about 3 A a magnet at 12 V is from memory. Rises with all three.
pub fn breakaway_charge(magnets: f64, current: f64, time: f64) -> f64 {
    magnets * current * time
}

/// Current in A of a load of `power` W at `voltage` V through a driver of the given efficiency (LED drivers about 0.9,
/// common practice, no source). `None` unless voltage and efficiency are above 0.
///
/// Rises with power, falls with voltage and efficiency.
pub fn load_current(power: f64, voltage: f64, efficiency: f64) -> Option<f64> {
    (voltage > 0.0 && efficiency > 0.0).then(|| power / (voltage * efficiency))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const HOUR: f64 = 3600.0;
    const AH: f64 = 3600.0;

    fn near(got: f64, want: f64, relative: f64) {
        assert!((got - want).abs() <= relative * want.abs(), "got {got}, want {want} within {relative}");
    }

    /// 100 Ah at the 20 h rate under 18 A.
    fn hundred(exponent: f64) -> RunTime {
        RunTime { capacity: 100.0 * AH, rated_time: 20.0 * HOUR, current: 18.0, exponent, usable: 0.5, duty: 0.6 }
    }

    #[test]
    fn peukert_times_agree_with_the_law_worked_by_hand() {
        for (exponent, hours) in [(1.0, 5.555_56), (1.05, 5.2109), (1.2, 4.299_99), (1.3, 3.783)] {
            near(discharge_time(&hundred(exponent)).unwrap() / HOUR, hours, 1e-5);
        }
    }

    #[test]
    fn peukert_agrees_with_the_form_for_the_one_ampere_rate() {
        // The other textbook form, T = C (C/R)^(k-1) / I^k with C in Ah, R and T in h; R = 1 gives T = C/I^n. Published
        // example (easycalculation.com, battery discharge time): 250 Ah, 20 A, k 1.3 gives 5.0886 h when the 250 is a
        // Peukert capacity, that is C/I^k; a rating at 1 A is a rating over C hours.
        let capacity = 250.0;
        let battery = RunTime {
            capacity: capacity * AH,
            rated_time: capacity * HOUR,
            current: 20.0,
            exponent: 1.3,
            usable: 1.0,
            duty: 1.0,
        };
        near(discharge_time(&battery).unwrap() / HOUR, 5.088_631_644, 1e-9);
        // Published example (electrotechnik.net, Peukert's law): 100 Ah, k 1.2, 5 A for 14.5 hours.
        let battery =
            RunTime { capacity: 100.0 * AH, rated_time: 100.0 * HOUR, current: 5.0, exponent: 1.2, ..battery };
        near(discharge_time(&battery).unwrap() / HOUR, 14.5, 2e-3);
    }

    #[test]
    fn peukert_agrees_with_the_encyclopedia_example() {
        // Wikipedia, "Peukert's law" (from memory): 100 Ah at 20 h, k 1.2, 10 A: 8.7 h.
        let battery = RunTime { current: 10.0, ..hundred(1.2) };
        near(discharge_time(&battery).unwrap() / HOUR, 8.7, 2e-3);
    }

    #[test]
    fn run_time_takes_the_usable_share_and_the_duty() {
        near(run_time(&hundred(1.2)).unwrap() / HOUR, 3.583, 1e-4);
        let lithium = RunTime { usable: 0.8, ..hundred(1.05) };
        near(run_time(&lithium).unwrap() / HOUR, 6.948, 1e-4);
        // The naive sum, 50 Ah over 10.8 A, promises 29 % more.
        near(50.0 / 10.8 / (run_time(&hundred(1.2)).unwrap() / HOUR), 1.29, 5e-3);
    }

    #[test]
    fn the_corners_of_a_vague_battery_are_far_apart() {
        let worst = RunTime { capacity: 85.0 * AH, current: 20.0, duty: 0.8, ..hundred(1.3) };
        let best = RunTime { current: 15.0, duty: 0.4, ..hundred(1.1) };
        near(run_time(&worst).unwrap() / HOUR, 1.67, 3e-3);
        near(run_time(&best).unwrap() / HOUR, 7.47, 1e-3);
    }

    #[test]
    fn a_load_below_the_rated_current_gets_no_more_than_the_rated_charge() {
        let battery = RunTime { current: 1.0, ..hundred(1.3) };
        near(discharge_time(&battery).unwrap(), 100.0 * AH, 1e-12);
        let rated = RunTime { current: 5.0, ..hundred(1.3) };
        near(discharge_time(&rated).unwrap(), 20.0 * HOUR, 1e-12);
    }

    #[test]
    fn a_load_that_is_nothing_has_no_run_time() {
        assert_eq!(discharge_time(&RunTime { current: 0.0, ..hundred(1.2) }), None);
        assert_eq!(discharge_time(&RunTime { capacity: 0.0, ..hundred(1.2) }), None);
        assert_eq!(run_time(&RunTime { duty: 0.0, ..hundred(1.2) }), None);
        assert_eq!(capacity_for(&hundred(1.2), 0.0), None);
        assert_eq!(capacity_for_charge(1.0, 0.0), None);
        assert_eq!(load_current(60.0, 0.0, 0.9), None);
        assert_eq!(recharge_time(&Recharge { used: 1.0, factor: 1.0, current: 0.0, taper: 0.0 }), None);
    }

    #[test]
    fn a_day_of_loads_adds_up() {
        // By hand: 54 + 2.5 + 4 + 4 Ah.
        let used = charge_used(&[(18.0, 3.0 * HOUR), (25.0, 0.1 * HOUR), (4.0, HOUR), (0.5, 8.0 * HOUR)]);
        near(used / AH, 64.5, 1e-12);
        near(capacity_for_charge(used, 0.5).unwrap() / AH, 129.0, 1e-12);
        near(capacity_for_charge(used, 0.8).unwrap() / AH, 80.625, 1e-12);
    }

    #[test]
    fn recharging_takes_its_taper() {
        // By hand: 50 * 1.15 / 20 + 3 and 80 * 1.02 / 20 + 0.5 h.
        let lead = Recharge { used: 50.0 * AH, factor: 1.15, current: 20.0, taper: 3.0 * HOUR };
        near(recharge_time(&lead).unwrap() / HOUR, 5.875, 1e-12);
        let lithium = Recharge { used: 80.0 * AH, factor: 1.02, current: 20.0, taper: 0.5 * HOUR };
        near(recharge_time(&lithium).unwrap() / HOUR, 4.58, 1e-12);
    }

    #[test]
    fn four_magnets_for_a_quarter_hour_take_three_ampere_hours() {
        near(breakaway_charge(4.0, 3.0, 900.0) / AH, 3.0, 1e-12);
    }

    #[test]
    fn sixty_watts_of_light_draw_five_and_a_half_amperes() {
        near(load_current(60.0, 12.0, 0.9).unwrap(), 5.5556, 1e-4);
    }

    #[test]
    fn the_curve_runs_from_end_to_end_and_falls() {
        let curve = run_time_curve(&hundred(1.2), 5.0, 60.0, 12);
        assert_eq!(curve.len(), 12);
        assert_eq!(curve[0].0, 5.0);
        near(curve[11].0, 60.0, 1e-12);
        near(curve[0].1, run_time(&RunTime { current: 5.0, ..hundred(1.2) }).unwrap(), 1e-12);
        assert!(curve.windows(2).all(|pair| pair[1].1 < pair[0].1));
        assert!(run_time_curve(&hundred(1.2), 5.0, 60.0, 1).is_empty());
        // A current of 0 has no answer and is left out.
        assert_eq!(run_time_curve(&hundred(1.2), 0.0, 60.0, 4).len(), 3);
    }

    fn batteries() -> impl Strategy<Value = RunTime> {
        (1e4..2e6f64, 3600.0..1e5f64, 0.1..300.0f64, 1.0..1.5f64, 0.2..1.0f64, 0.05..1.0f64).prop_map(
            |(capacity, rated_time, current, exponent, usable, duty)| RunTime {
                capacity,
                rated_time,
                current,
                exponent,
                usable,
                duty,
            },
        )
    }

    proptest! {
        #[test]
        fn run_time_moves_the_stated_way_with_each_input(battery in batteries(), more in 1.01..2.0f64) {
            let now = run_time(&battery).unwrap();
            let with = |changed: RunTime| run_time(&changed).unwrap();
            let capacity = with(RunTime { capacity: battery.capacity * more, ..battery });
            prop_assert!(capacity > now);
            let usable = with(RunTime { usable: battery.usable * more, ..battery });
            prop_assert!(usable > now);
            let current = with(RunTime { current: battery.current * more, ..battery });
            prop_assert!(current < now);
            let duty = with(RunTime { duty: battery.duty * more, ..battery });
            prop_assert!(duty < now);
            let exponent = with(RunTime { exponent: battery.exponent * more, ..battery });
            prop_assert!(exponent <= now);
            let rated_time = with(RunTime { rated_time: battery.rated_time * more, ..battery });
            prop_assert!(rated_time <= now * (1.0 + 1e-12));
        }

        #[test]
        fn the_battery_for_a_time_runs_that_time(battery in batteries(), time in 60.0..1e5f64) {
            let capacity = capacity_for(&battery, time).unwrap();
            let got = run_time(&RunTime { capacity, ..battery }).unwrap();
            prop_assert!((got - time).abs() < 1e-9 * time, "{got} for {time}");
        }

        #[test]
        fn no_battery_gives_more_than_its_charge(battery in batteries()) {
            let given = battery.current * discharge_time(&battery).unwrap();
            prop_assert!(given <= battery.capacity * (1.0 + 1e-12));
        }
    }
}
