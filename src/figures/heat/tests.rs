use super::*;
use proptest::prelude::*;

const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;
const GPM: f64 = GALLON / 60.0;
const PSI: f64 = 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254);
const IN: f64 = 0.0254;
const MINUTE: f64 = 60.0;
const HOUR: f64 = 3600.0;
/// Water at 20 degC by Kell, as the worked figures below take it.
const WATER: f64 = 998.204;

#[track_caller]
fn near(found: f64, wanted: f64, relative: f64) {
    assert!((found - wanted).abs() <= relative * wanted.abs(), "found {found}, wanted {wanted} within {relative}");
}

fn loop_of(mass: f64, power: f64) -> Warming {
    Warming { capacity: mass * 4180.0, power, loss: 0.0, start: 20.0, air: 20.0 }
}

fn tank(power: f64) -> Warming {
    Warming { capacity: 100.0 * GALLON * WATER * 4180.0, power, loss: 28.3, start: 20.0, air: 20.0 }
}

#[test]
fn a_closed_loop_warms_by_the_heat_balance() {
    // m c dT / P by hand: kg, W, seconds from 20 to 60 degC.
    for (mass, power, seconds) in [
        (0.5, 600.0, 139.333),
        (1.0, 600.0, 278.667),
        (1.0, 1000.0, 167.2),
        (1.0, 2000.0, 83.6),
        (2.0, 1000.0, 334.4),
        (1.0, 9600.0, 17.4167),
    ] {
        near(time_to_warm(&loop_of(mass, power), SEAL_LIMIT).unwrap(), seconds, 1e-4);
    }
}

#[test]
fn a_loop_warms_by_the_rule_in_british_units() {
    // Minutes = 8.34 gal dF / (42.4 hp) at 1 Btu/lb/F: a handbook identity, good to the rounding of its constants.
    let warming = Warming {
        capacity: GALLON * 8.34 * 0.453_592_37 / GALLON * 4186.8,
        power: 745.7,
        loss: 0.0,
        start: 20.0,
        air: 20.0,
    };
    near(time_to_warm(&warming, 60.0).unwrap() / MINUTE, 8.34 * 72.0 / 42.4, 1e-3);
}

#[test]
fn a_lossy_loop_agrees_with_a_numerical_solution() {
    // scipy 1.17.1 solve_ivp (RK45, rtol 1e-9), constant specific heat (tests/reference/hydraulics.py).
    let rows: Vec<Vec<f64>> = include_str!("../../../tests/reference/hydraulics.csv")
        .lines()
        .filter_map(|line| line.strip_prefix("warming,"))
        .map(|row| row.split([';', ',']).map(|pair| pair.split_once('=').unwrap().1.parse().unwrap()).collect())
        .collect();
    assert_eq!(rows.len(), 5);
    for row in rows {
        let [capacity, power, loss, start, air, limit, seconds] = row[..] else { panic!("seven numbers") };
        near(time_to_warm(&Warming { capacity, power, loss, start, air }, limit).unwrap(), seconds, 1e-5);
    }
}

#[test]
fn a_tank_on_idle_power_never_gets_hot_and_on_full_power_does() {
    // Closed forms by hand: 100 gal, UA 28.3 W/K, air 20 degC.
    near(100.0 * GALLON * WATER, 377.86, 1e-4);
    near(warming_rate(600.0, tank(600.0).capacity) * MINUTE, 0.0227926, 1e-4);
    near(warming_rate(9600.0, tank(9600.0).capacity) * MINUTE, 0.364681, 1e-4);
    near(tank(600.0).capacity / 28.3 / HOUR, 15.5031, 1e-4);
    near(levels_off(&tank(600.0)).unwrap(), 41.2014, 1e-4);
    near(levels_off(&tank(9600.0)).unwrap(), 359.223, 1e-4);
    assert_eq!(time_to_warm(&tank(600.0), 60.0), None);
    assert_eq!(time_to_warm(&tank(600.0), 41.3), None);
    near(time_to_warm(&tank(9600.0), 60.0).unwrap() / HOUR, 1.9452, 1e-4);
    assert_eq!(levels_off(&loop_of(1.0, 600.0)), None);
    // To a limit just under the level: -tau ln(1 - (41 - 20)/(41.2014 - 20)) is 72.2 h, by hand.
    near(time_to_warm(&tank(600.0), 41.0).unwrap() / HOUR, 15.5031 * (21.2014_f64 / 0.2014).ln(), 1e-3);
}

#[test]
fn the_smallest_cool_tank_is_about_forty_gallons() {
    // By hand: UA 15 W/K at 9 W/m2K is 0.2778 m2 a face, 0.1464 m3.
    let volume = tank_that_stays_cool(600.0, 40.0, 9.0).unwrap();
    near(volume, 0.14640, 1e-3);
    near(tank_loss(9.0, volume), 15.0, 1e-12);
    assert_eq!(tank_that_stays_cool(600.0, 0.0, 9.0), None);
    near(mass_to_absorb(600.0, 7200.0, 4180.0, 40.0).unwrap(), 25.837, 1e-4);
    assert_eq!(mass_to_absorb(600.0, 7200.0, 4180.0, 0.0), None);
}

#[test]
fn throttling_is_bounded_from_above_by_the_simple_rise() {
    // CoolProp 8.0.0, isenthalpic to the air from 20 degC: psi, K exact; beside dp/(rho c) with c 4182 by hand.
    for (psi, exact, simple) in
        [(1000.0, 1.546, 1.652), (2000.0, 3.083, 3.303), (3000.0, 4.611, 4.955), (4000.0, 6.130, 6.607)]
    {
        let found = rise_per_pass(psi * PSI, WATER, 4182.0, 1.0);
        near(found, simple, 3e-4);
        assert!(found > exact && found < 1.08 * exact);
    }
}

#[test]
fn half_the_flow_in_bypass_is_harmless_and_nine_tenths_is_not() {
    // By hand: 4000 psi through pump and unloader at 0.85 is 7.7724 K a pass.
    let pass = rise_per_pass(4000.0 * PSI, WATER, 4182.0, 0.85);
    near(pass, 7.7724, 1e-4);
    near(inlet_rise(0.295_538_3, pass).unwrap(), 3.2607, 1e-4);
    near(inlet_rise(0.5, pass).unwrap(), pass, 1e-12);
    near(inlet_rise(0.9, pass).unwrap(), 70.0, 1e-2);
    assert_eq!(inlet_rise(1.0, pass), None);
    near(inlet_rise(greatest_bypass_share(40.0, pass), pass).unwrap(), 40.0, 1e-12);
    assert_eq!(greatest_bypass_share(-1.0, pass), 0.0);
    assert_eq!(greatest_bypass_share(0.0, 0.0), 0.0);
}

#[test]
fn idle_power_is_pressure_and_friction() {
    // By hand: 5.5 gpm at 200 psi is 478 W; 4 gpm at 200 psi and 400 W is 747.993 W.
    near(idle_power(5.5 * GPM, 200.0 * PSI, 0.0), 478.5, 1e-3);
    near(idle_power(4.0 * GPM, 200.0 * PSI, PUMP_FRICTION), 747.9933, 1e-6);
}

#[test]
fn a_thermal_relief_valve_dumps_little_when_idle() {
    // By hand: 0.75 kW over 40 K is 0.0710 gpm, 7 kW 0.664.
    near(dump_flow(748.0, WATER, 4180.0, 40.0).unwrap() / GPM, 0.07103, 1e-3);
    near(dump_flow(7000.0, WATER, 4180.0, 40.0).unwrap() / GPM, 0.6648, 1e-3);
    assert_eq!(dump_flow(748.0, WATER, 4180.0, 0.0), None);
}

#[test]
fn insulated_pipe_reproduces_the_handbook_example() {
    // ASHRAE Handbook Fundamentals chapter 23: NPS 2, 1.5 in insulation of k 0.30 Btu in/(h ft2 F), 42 degF: 1.4 h at -18
    // degF, 4.6 h at 20 degF; unrounded 1.3785 and 4.5829 h by hand.
    const BTU_PER_LB_F: f64 = 4186.8;
    let water = 62.4 * 0.453_592_37 / f64::powi(0.3048, 3) * BTU_PER_LB_F;
    // 1 Btu in/(h ft2 F): 4186.8 J/(kg K) x lb x F/K over h, ft2 and F, times an inch.
    let btu = BTU_PER_LB_F * 0.453_592_37 / 1.8;
    let conductivity = 0.30 * btu * IN / (HOUR * 0.3048 * 0.3048 / 1.8);
    let pipe = InsulatedPipe { bore: 2.067 * IN, pipe: 2.375 * IN, insulation: 5.375 * IN, conductivity };
    let celsius = |f: f64| (f - 32.0) / 1.8;
    for (air, published, hours) in [(-18.0, 1.4, 1.3785), (20.0, 4.6, 4.5829)] {
        let found = insulated_time(&pipe, water, celsius(42.0), 0.0, celsius(air)).unwrap() / HOUR;
        near(found, hours, 1e-4);
        assert!((found - published).abs() < 0.05);
    }
    assert_eq!(insulated_time(&pipe, water, 5.0, 0.0, 1.0), None);
}

fn bare_hose(film: f64, air: f64) -> Cooling {
    let (bore, outside) = (0.375 * IN, 0.70 * IN);
    Cooling {
        capacity: hose_capacity(bore, outside, 1200.0 * 1700.0),
        water: PI / 4.0 * bore * bore * 999.8,
        loss: hose_loss(bore, outside, film, RUBBER),
        start: 10.0,
        air,
    }
}

#[test]
fn a_bare_hose_freezes_within_minutes() {
    // Lumped heat balance worked by hand for 3/8 in hose of 0.70 in outside: W/m/K, minutes to 0 degC, and to all ice.
    let hose = bare_hose(25.0, -7.0);
    near(hose.loss, 0.82454, 1e-3);
    near(time_to_zero(&hose).unwrap() / MINUTE, 11.856, 1e-3);
    near(time_to_ice(&hose, 1.0).unwrap() / MINUTE, 68.617, 1e-3);
    near(time_to_ice(&hose, FIRST_ICE).unwrap() / MINUTE, 6.8617, 1e-3);
    // Air film, air degC, whole minutes to 0 degC and to the first ice after it.
    for (film, air, zero, ice) in
        [(25.0, -2.0, 24.0, 24.0), (25.0, -12.0, 8.0, 4.0), (10.0, -2.0, 45.0, 45.0), (10.0, -7.0, 22.0, 13.0)]
    {
        let hose = bare_hose(film, air);
        assert!((time_to_zero(&hose).unwrap() / MINUTE - zero).abs() < 0.6);
        assert!((time_to_ice(&hose, FIRST_ICE).unwrap() / MINUTE - ice).abs() < 0.6);
    }
}

#[test]
fn a_pump_head_lasts_longer_than_its_hose() {
    // Lumped, by hand: 0.4 L of water, 8 kg of brass, 0.12 m2 at 10 W/m2K, from 15 degC in air at -7: 75 min and 26 more.
    let head = Cooling { capacity: 0.4 * 4210.0 + 8.0 * 380.0, water: 0.4, loss: 0.12 * 10.0, start: 15.0, air: -7.0 };
    assert!((time_to_zero(&head).unwrap() / MINUTE - 75.0).abs() < 0.6);
    assert!((time_to_ice(&head, FIRST_ICE).unwrap() / MINUTE - 26.0).abs() < 0.6);
}

#[test]
fn nothing_freezes_above_zero() {
    assert_eq!(time_to_zero(&bare_hose(25.0, 1.0)), None);
    assert_eq!(time_to_ice(&bare_hose(25.0, 0.0), 0.1), None);
    assert_eq!(time_to_zero(&Cooling { start: -1.0, ..bare_hose(25.0, -7.0) }), Some(0.0));
    near(heating_power(5.0, 2.0, -7.0), 45.0, 1e-12);
    assert_eq!(heating_power(5.0, 2.0, 10.0), 0.0);
    // 999.84 / 916.7 - 1, densities of water and ice at 0 degC (IAPWS).
    near(ICE_GROWTH, 999.84 / 916.7 - 1.0, 1e-3);
}

/// `None` means never, which is later than any time.
fn later(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (_, None) => true,
        (None, Some(_)) => false,
        (Some(a), Some(b)) => b >= a * (1.0 - 1e-12),
    }
}

proptest! {
    #[test]
    fn more_power_never_takes_longer_and_more_water_never_less(
        capacity in 1e2..1e7_f64, power in 0.0..3e4_f64, loss in 0.0..200.0_f64, start in 0.0..60.0_f64,
        air in -30.0..50.0_f64, limit in 0.0..100.0_f64, more in 1.0..3.0_f64,
    ) {
        let warming = Warming { capacity, power, loss, start, air };
        let time = time_to_warm(&warming, limit);
        prop_assert!(time.is_none_or(|t| t >= 0.0 && t.is_finite()));
        let to = |limit: f64, changed: Warming| time_to_warm(&changed, limit);
        let stronger = Warming { power: power * more, ..warming };
        let fuller = Warming { capacity: capacity * more, ..warming };
        let started_warmer = Warming { start: start + more, ..warming };
        let in_warmer_air = Warming { air: air + more, ..warming };
        let leakier = Warming { loss: loss * more, ..warming };
        prop_assert!(later(to(limit, stronger), time));
        prop_assert!(later(time, to(limit, fuller)));
        prop_assert!(later(to(limit, started_warmer), time));
        prop_assert!(later(to(limit, in_warmer_air), time));
        prop_assert!(later(time, to(limit + more, warming)));
        // A start below the air is warmed by the air as well.
        if start >= air {
            prop_assert!(later(time, to(limit, leakier)));
        }
    }

    #[test]
    fn colder_air_never_freezes_later(
        capacity in 1e2..1e7_f64, water in 0.0..500.0_f64, loss in 0.01..200.0_f64, start in -5.0..60.0_f64,
        air in -40.0..20.0_f64, more in 0.1..10.0_f64,
    ) {
        let cooling = Cooling { capacity, water, loss, start, air };
        let colder = Cooling { air: air - more, ..cooling };
        prop_assert!(time_to_zero(&cooling).is_none_or(|t| t >= 0.0 && t.is_finite()));
        prop_assert!(later(time_to_zero(&colder), time_to_zero(&cooling)));
        prop_assert!(later(time_to_ice(&colder, 0.1), time_to_ice(&cooling, 0.1)));
        let leakier = Cooling { loss: loss * 2.0, ..cooling };
        prop_assert!(later(time_to_zero(&leakier), time_to_zero(&cooling)));
    }
}
