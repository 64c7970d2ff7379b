//! Noise: how loud a machine is where a person stands, and how long that person may stay.
//!
//! Levels are A-weighted, in dB; times in s; distances in m; areas in m2. A dose is a share: 1 is the limit, which the
//! standards print as 100 %. The room formula assumes an even sound field and a small steel box has none: take it as a
//! few dB either way. A measured level at the ear always comes first.

use std::f64::consts::PI;

/// How a standard turns level and time into a dose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criterion {
    /// Level allowed for eight hours, dBA.
    pub level: f64,
    /// Rise of level that halves the allowed time, dB.
    pub exchange: f64,
    /// Factor of the printed formula for the average level, dB.
    pub slope: f64,
}

/// OSHA: 90 dBA for eight hours, 5 dB halves the time. 29 CFR 1910.95 Table G-16 and Appendix A.
pub const OSHA: Criterion = Criterion { level: 90.0, exchange: 5.0, slope: 16.61 };
/// NIOSH: 85 dBA for eight hours, 3 dB halves the time. NIOSH publication 98-126, section 1.1.
pub const NIOSH: Criterion = Criterion { level: 85.0, exchange: 3.0, slope: 10.0 };

/// Level from which OSHA counts noise toward its 85 dBA action level, dBA: 29 CFR 1910.95(d)(2)(i).
pub const OSHA_ACTION_THRESHOLD: f64 = 80.0;
/// Level from which OSHA counts noise toward its 90 dBA limit, dBA (from memory).
pub const OSHA_LIMIT_THRESHOLD: f64 = 90.0;
/// Dose at which OSHA asks for a hearing conservation programme: an average of 85 dBA. 29 CFR 1910.95(c)(1).
pub const OSHA_ACTION_DOSE: f64 = 0.5;

const EIGHT_HOURS: f64 = 8.0 * 3600.0;

/// Seconds a person may stay at `level`: 8 h / 2^((L - Lc)/q). Falls with level.
///
/// OSHA's Table G-16 ends at 115 dBA: continuous noise above that is not allowed for any time, whatever this says.
/// Source: 29 CFR 1910.95 Appendix A, Table G-16a footnote; NIOSH 98-126, section 1.1.2.
pub fn allowed_time(level: f64, criterion: &Criterion) -> f64 {
    EIGHT_HOURS / ((level - criterion.level) / criterion.exchange).exp2()
}

/// Dose of a day given as pairs of level in dBA and seconds; levels below `threshold` do not count.
///
/// The sum of time over [`allowed_time`]. Rises with every level and time, in a step where a level meets the threshold.
/// Source: as [`allowed_time`].
pub fn dose(parts: &[(f64, f64)], criterion: &Criterion, threshold: f64) -> f64 {
    parts
        .iter()
        .filter(|(level, _)| *level >= threshold)
        .map(|(level, time)| time / allowed_time(*level, criterion))
        .sum()
}

/// Steady level in dBA that gives `dose` in eight hours, by the standard's printed formula: slope log10(D) + Lc.
///
/// `None` unless the dose is above 0. Rises with the dose. Source: as [`allowed_time`].
pub fn average_level(dose: f64, criterion: &Criterion) -> Option<f64> {
    (dose > 0.0).then(|| criterion.slope * dose.log10() + criterion.level)
}

/// Level of several sources together: 10 log10 of the sum of 10^(L/10). `None` for no source. Rises with each.
pub fn sum_of_levels(levels: &[f64]) -> Option<f64> {
    (!levels.is_empty()).then(|| 10.0 * levels.iter().map(|level| 10f64.powf(level / 10.0)).sum::<f64>().log10())
}

/// Level at `distance` from a machine of sound power level `power` on hard open ground: Lw - 10 log10(2 pi r2).
///
/// `None` unless the distance is above 0. Rises with power, falls with distance, 6 dB for each doubling. Holds from
/// about the size of the machine outward. Source: half-space spreading, as in the ISO 3744 family.
pub fn open_field_level(power: f64, distance: f64) -> Option<f64> {
    (distance > 0.0).then(|| power - 10.0 * (2.0 * PI * distance * distance).log10())
}

/// Distance in m at which a machine on hard open ground falls to `level`: the inverse of [`open_field_level`].
///
/// Rises with power, falls with level.
pub fn distance_for_level(power: f64, level: f64) -> f64 {
    10f64.powf((power - level) / 20.0) / (2.0 * PI).sqrt()
}

/// Mean absorption of surfaces given as pairs of m2 and coefficient; an opening counts as 1. `None` without area.
///
/// Rises with each coefficient.
pub fn mean_absorption(surfaces: &[(f64, f64)]) -> Option<f64> {
    let area: f64 = surfaces.iter().map(|(area, _)| area).sum();
    (area > 0.0).then(|| surfaces.iter().map(|(area, absorption)| area * absorption).sum::<f64>() / area)
}

/// A machine in a box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Sound power level of the machine, dBA.
    pub power: f64,
    /// Distance from the machine to the ear, m.
    pub distance: f64,
    /// Inner surface of the box, m2.
    pub surface: f64,
    /// Mean absorption of that surface, above 0 and at most 1; hard walls about 0.1, fully open 1.
    pub absorption: f64,
    /// Directivity: 1 in mid-air, 2 on a floor, 4 against a wall.
    pub directivity: f64,
}

/// Level inside a box: Lw + 10 log10(Q/(4 pi r2) + 4(1 - a)/(S a)).
///
/// `None` unless distance, surface, directivity and absorption are above 0 and absorption is at most 1. Rises with
/// power and directivity, falls with distance, surface and absorption. With absorption 1 it is the open field. Source:
/// room-constant formula of classical acoustics (Beranek, Noise and Vibration Control).
pub fn room_level(room: &Room) -> Option<f64> {
    let Room { power, distance, surface, absorption, directivity } = *room;
    if !(distance > 0.0 && surface > 0.0 && directivity > 0.0 && absorption > 0.0 && absorption <= 1.0) {
        return None;
    }
    let direct = directivity / (4.0 * PI * distance * distance);
    let echoed = 4.0 * (1.0 - absorption) / (surface * absorption);
    Some(power + 10.0 * (direct + echoed).log10())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const HOUR: f64 = 3600.0;
    const FT2: f64 = 0.3048 * 0.3048;

    fn near(got: f64, want: f64, relative: f64) {
        assert!((got - want).abs() <= relative * want.abs(), "got {got}, want {want} within {relative}");
    }

    #[test]
    fn allowed_times_are_those_of_table_g_16a() {
        // 29 CFR 1910.95 Appendix A, Table G-16a, hours, printed to two or three digits.
        let table = [
            (80.0, 32.0),
            (81.0, 27.9),
            (83.0, 21.1),
            (85.0, 16.0),
            (88.0, 10.6),
            (90.0, 8.0),
            (92.0, 6.1),
            (95.0, 4.0),
            (97.0, 3.0),
            (99.0, 2.3),
            (100.0, 2.0),
            (103.0, 1.3),
            (105.0, 1.0),
            (107.0, 0.76),
            (110.0, 0.5),
            (113.0, 0.33),
            (115.0, 0.25),
            (120.0, 0.125),
            (125.0, 0.063),
            (130.0, 0.031),
        ];
        for (level, hours) in table {
            near(allowed_time(level, &OSHA) / HOUR, hours, 0.02);
        }
    }

    #[test]
    fn allowed_times_match_the_formulas_worked_independently() {
        // Python 3.11: 8/2^((L-90)/5) and 8/2^((L-85)/3).
        for (level, osha, niosh) in
            [(85.0, 16.0, 8.0), (92.0, 6.062_87, 1.5874), (97.0, 3.031_43, 0.5), (105.0, 1.0, 0.078_745_1)]
        {
            near(allowed_time(level, &OSHA) / HOUR, osha, 1e-5);
            near(allowed_time(level, &NIOSH) / HOUR, niosh, 1e-5);
        }
    }

    #[test]
    fn niosh_allows_fifteen_minutes_at_100() {
        // NIOSH 98-126 Table 1-1: 85 dBA 8 h, 88 4 h, 91 2 h, 94 1 h, 97 30 min, 100 15 min (from memory).
        for (level, hours) in [(85.0, 8.0), (88.0, 4.0), (91.0, 2.0), (94.0, 1.0), (97.0, 0.5), (100.0, 0.25)] {
            near(allowed_time(level, &NIOSH) / HOUR, hours, 1e-12);
        }
    }

    #[test]
    fn a_loud_morning_and_a_milder_afternoon_exceed_the_limit() {
        // By hand: 4/4 + 2/16 for OSHA; 4/0.79370 + 2/8 for NIOSH.
        let day = [(95.0, 4.0 * HOUR), (85.0, 2.0 * HOUR)];
        let osha = dose(&day, &OSHA, OSHA_ACTION_THRESHOLD);
        near(osha, 1.125, 1e-5);
        near(average_level(osha, &OSHA).unwrap(), 90.8496, 1e-5);
        near(dose(&day, &OSHA, OSHA_LIMIT_THRESHOLD), 1.0, 1e-12);
        let niosh = dose(&day, &NIOSH, OSHA_ACTION_THRESHOLD);
        near(niosh, 5.289_68, 1e-5);
        near(average_level(niosh, &NIOSH).unwrap(), 92.2343, 1e-5);
    }

    #[test]
    fn doses_convert_to_the_averages_of_table_a_1() {
        // 29 CFR 1910.95 Appendix A, Table A-1: 50 % is 85.0 dBA, 100 % 90.0, 200 % 95.0, 999 % 106.6 (from memory).
        for (share, level) in [(0.5, 85.0), (1.0, 90.0), (2.0, 95.0), (9.99, 106.6)] {
            near(average_level(share, &OSHA).unwrap(), level, 1e-3);
        }
        assert_eq!(average_level(0.0, &OSHA), None);
        near(average_level(OSHA_ACTION_DOSE, &OSHA).unwrap(), 85.0, 1e-4);
    }

    #[test]
    fn a_machine_of_105_is_97_at_arm_s_length_outdoors() {
        near(open_field_level(105.0, 1.0).unwrap(), 97.0182, 1e-5);
        near(open_field_level(105.0, 7.0).unwrap(), 80.1162, 1e-5);
        // The textbook short form, Lp = Lw - 20 log r - 8.
        near(open_field_level(105.0, 10.0).unwrap(), 105.0 - 20.0 - 8.0, 5e-4);
        assert_eq!(open_field_level(105.0, 0.0), None);
        near(distance_for_level(105.0, 85.0), 3.99, 1e-3);
    }

    #[test]
    fn a_closed_steel_box_adds_ten_decibels() {
        let surface = 2.0 * (5.0 * 8.0 + 5.0 * 6.0 + 8.0 * 6.0) * FT2;
        let door = 4.0 * 5.5 * FT2;
        let hard = Room { power: 105.0, distance: 1.0, surface, absorption: 0.1, directivity: 2.0 };
        let level = |absorption| room_level(&Room { absorption, ..hard }).unwrap();
        near(level(0.1), 107.6, 5e-4);
        let open = mean_absorption(&[(surface - door, 0.1), (door, 1.0)]).unwrap();
        near(open, 0.1839, 5e-4);
        near(level(open), 104.9, 5e-4);
        near(level(0.5), 100.3, 5e-4);
        near(level(1.0), open_field_level(105.0, 1.0).unwrap(), 1e-12);
        assert_eq!(room_level(&Room { absorption: 0.0, ..hard }), None);
        assert_eq!(room_level(&Room { absorption: 1.01, ..hard }), None);
        assert_eq!(room_level(&Room { directivity: 0.0, ..hard }), None);
        assert_eq!(mean_absorption(&[]), None);
    }

    #[test]
    fn two_equal_sources_add_three_decibels() {
        near(sum_of_levels(&[95.0, 90.0]).unwrap(), 96.19, 1e-4);
        near(sum_of_levels(&[95.0, 95.0]).unwrap(), 98.01, 1e-4);
        near(sum_of_levels(&[95.0]).unwrap(), 95.0, 1e-12);
        assert_eq!(sum_of_levels(&[]), None);
    }

    proptest! {
        #[test]
        fn one_exchange_step_louder_halves_the_time(level in 60.0..130.0f64) {
            for criterion in [OSHA, NIOSH] {
                let ratio = allowed_time(level, &criterion) / allowed_time(level + criterion.exchange, &criterion);
                prop_assert!((ratio - 2.0).abs() < 1e-9);
            }
        }

        #[test]
        fn eight_hours_at_a_level_average_to_that_level(level in 85.0..115.0f64) {
            for (criterion, slack) in [(OSHA, 0.01), (NIOSH, 0.11)] {
                // NIOSH prints 10 where 3/log10(2) is 9.966, so its average drifts by a tenth of a dB over 30.
                let got = average_level(dose(&[(level, 8.0 * HOUR)], &criterion, 0.0), &criterion).unwrap();
                prop_assert!((got - level).abs() < slack, "{got} for {level}");
            }
        }

        #[test]
        fn a_level_is_met_at_its_distance(power in 80.0..120.0f64, level in 50.0..110.0f64) {
            let got = open_field_level(power, distance_for_level(power, level)).unwrap();
            prop_assert!((got - level).abs() < 1e-9);
        }

        #[test]
        fn a_box_is_never_quieter_than_the_open_and_lining_always_helps(
            distance in 0.3..3.0f64, surface in 5.0..80.0f64, absorption in 0.02..0.9f64, more in 1.01..1.1f64,
        ) {
            let room = Room { power: 105.0, distance, surface, absorption, directivity: 2.0 };
            let level = room_level(&room).unwrap();
            prop_assert!(level >= open_field_level(105.0, distance).unwrap());
            let lined = room_level(&Room { absorption: absorption * more, ..room }).unwrap();
            let larger = room_level(&Room { surface: surface * more, ..room }).unwrap();
            let farther = room_level(&Room { distance: distance * more, ..room }).unwrap();
            prop_assert!(lined < level && larger < level && farther < level);
        }

        #[test]
        fn a_sum_is_at_least_its_loudest_part(levels in prop::collection::vec(40.0..120.0f64, 1..8)) {
            let loudest = levels.iter().copied().fold(f64::MIN, f64::max);
            let sum = sum_of_levels(&levels).unwrap();
            prop_assert!(sum >= loudest - 1e-9 && sum <= loudest + 10.0 * (levels.len() as f64).log10() + 1e-9);
        }
    }
}
