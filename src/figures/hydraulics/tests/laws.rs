//! Monotone laws that the range engine leans on, over random rigs.

use super::super::delivery::{Delivery, DeliveryPump, delivery_point};
use super::super::metering::{Branch, split};
use super::super::nozzle::{capacity_of_size, thrust};
use super::super::pipe::{TURBULENT, friction, line_loss, reynolds};
use super::super::pump::{WashPoint, Washer, wash_point};
use super::super::water::water;
use super::*;
use proptest::prelude::*;

/// A washer by plain numbers that a test can nudge one at a time.
#[derive(Clone, Copy, Debug)]
struct Rig {
    flow: f64,
    unloader: f64,
    size: f64,
    bore: f64,
    length: f64,
    roughness: f64,
    fittings: f64,
    rise: f64,
    temperature: f64,
}

fn rigs() -> impl Strategy<Value = Rig> {
    (
        2.0..12.0_f64,
        1000.0..5000.0_f64,
        2.0..15.0_f64,
        0.25..0.5_f64,
        25.0..400.0_f64,
        1.5e-6..3e-5_f64,
        5.0..30.0_f64,
        0.0..40.0_f64,
        2.0..40.0_f64,
    )
        .prop_map(|(flow, unloader, size, bore, length, roughness, fittings, rise, temperature)| Rig {
            flow,
            unloader,
            size,
            bore,
            length,
            roughness,
            fittings,
            rise,
            temperature,
        })
}

fn settle(rig: Rig) -> WashPoint {
    let hoses = [hose(rig.bore, rig.length, rig.roughness, rig.fittings)];
    wash_point(&Washer {
        pump_flow: rig.flow * GPM,
        unloader: rig.unloader * PSI,
        nozzle: capacity_of_size(rig.size),
        line: Line { rise: rig.rise * FT, ..level(&hoses) },
        liquid: water(rig.temperature),
    })
}

/// Least and most allowed change: rises, falls, does not move.
const RISES: (f64, f64) = (-1e-9, f64::INFINITY);
const FALLS: (f64, f64) = (f64::NEG_INFINITY, 1e-9);
const STAYS: (f64, f64) = (-1e-9, 1e-9);

fn moved(before: f64, after: f64, (least, most): (f64, f64)) -> bool {
    let change = (after - before) / before.abs().max(1e-6);
    change >= least && change <= most
}

type Change = (&'static str, fn(&mut Rig));

/// Every input raised by half a percent.
const RAISED: [Change; 8] = [
    ("flow", |rig| rig.flow *= 1.005),
    ("unloader", |rig| rig.unloader *= 1.005),
    ("size", |rig| rig.size *= 1.005),
    ("bore", |rig| rig.bore *= 1.005),
    ("length", |rig| rig.length *= 1.005),
    ("roughness", |rig| rig.roughness *= 1.005),
    ("fittings", |rig| rig.fittings *= 1.005),
    ("rise", |rig| rig.rise += 0.2),
];

/// Directions of flow, gun pressure, pump pressure, bypass when an input rises, unloader shut.
fn shut(name: &str) -> [(f64, f64); 4] {
    match name {
        "flow" => [RISES, RISES, RISES, STAYS],
        "unloader" => [STAYS; 4],
        "size" => [STAYS, FALLS, FALLS, STAYS],
        "bore" => [STAYS, STAYS, FALLS, STAYS],
        _ => [STAYS, STAYS, RISES, STAYS],
    }
}

/// The same, unloader open.
fn open(name: &str) -> [(f64, f64); 4] {
    match name {
        "flow" => [STAYS, STAYS, STAYS, RISES],
        "unloader" => [RISES, RISES, RISES, FALLS],
        "size" => [RISES, FALLS, STAYS, FALLS],
        "bore" => [RISES, RISES, STAYS, FALLS],
        _ => [FALLS, FALLS, STAYS, RISES],
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn every_input_of_a_washer_moves_it_the_documented_way(rig in rigs()) {
        let before = settle(rig);
        for (name, raise) in RAISED {
            let mut changed = rig;
            raise(&mut changed);
            let after = settle(changed);
            // Across the kink both sets of signs may show; only a point that stays in its state is held to one.
            if (before.bypass > 0.0) != (after.bypass > 0.0) {
                continue;
            }
            let laws = if before.bypass > 0.0 { open(name) } else { shut(name) };
            let pairs = [
                (before.flow, after.flow),
                (before.gun_pressure, after.gun_pressure),
                (before.pump_pressure, after.pump_pressure),
                (before.bypass, after.bypass),
            ];
            for (law, (was, is)) in laws.into_iter().zip(pairs) {
                prop_assert!(moved(was, is, law), "{name}: {was} to {is}, allowed {law:?}");
            }
        }
    }

    #[test]
    fn a_longer_hose_never_passes_more(rig in rigs(), more in 1.0..10.0_f64) {
        let after = settle(Rig { length: rig.length * more, ..rig });
        let before = settle(rig);
        prop_assert!(after.flow <= before.flow * (1.0 + 1e-12));
        prop_assert!(after.gun_pressure <= before.gun_pressure * (1.0 + 1e-9));
        prop_assert!(after.pump_pressure >= before.pump_pressure * (1.0 - 1e-9));
    }

    #[test]
    fn warmer_water_loses_less_in_turbulent_hose(rig in rigs(), warmer in 0.1..20.0_f64) {
        let hoses = [hose(rig.bore, rig.length, rig.roughness, rig.fittings)];
        let (cold, warm) = (water(rig.temperature), water(rig.temperature + warmer));
        prop_assume!(reynolds(rig.flow * GPM, hoses[0].bore, cold) > TURBULENT);
        let lost = |liquid| line_loss(&level(&hoses), liquid, rig.flow * GPM);
        prop_assert!(lost(warm) < lost(cold) * (1.0 + 1e-12));
    }

    #[test]
    fn on_the_bridge_warmer_water_loses_more(reynolds in 2500.0..3700.0_f64, relative in 0.0..0.05_f64) {
        // At fixed flow loss follows the factor, and less viscous water has the higher Reynolds number.
        prop_assert!(friction(reynolds * 1.01, relative) > friction(reynolds, relative));
    }

    #[test]
    fn the_kick_never_passes_the_bound_at_the_unloader(rig in rigs()) {
        let point = settle(rig);
        let density = water(rig.temperature).density;
        // Pulled at the pump's whole flow and setting, whatever the nozzle.
        let bound = thrust(rig.flow * GPM, rig.unloader * PSI, density, 1.0);
        prop_assert!(thrust(point.flow, point.gun_pressure, density, 1.0) <= bound * (1.0 + 1e-9));
    }

    #[test]
    fn every_input_of_a_delivery_moves_it_the_documented_way(
        tip in 0.2..1.5_f64, bore in 0.5..0.75_f64, length in 50.0..300.0_f64, fittings in 5.0..20.0_f64,
        rise in 0.0..30.0_f64, volts in 0.7..1.1_f64,
    ) {
        let pump = DeliveryPump {
            open_flow: 5.5 * GPM,
            cut_out_flow: 2.9 * GPM,
            cut_out: 60.0 * PSI,
            cut_in: 45.0 * PSI,
            open_current: 9.0,
            cut_out_current: 20.0,
        };
        let settle = |tip: f64, bore: f64, length: f64, fittings: f64, rise: f64, volts: f64| {
            let hoses = [hose(bore, length, 1e-5, fittings)];
            let line = Line { rise: rise * FT, ..level(&hoses) };
            let tip = super::super::fittings::capacity_of_cv(tip);
            delivery_point(&Delivery { pump, volts_share: volts, tip, line, liquid: water(20.0) })
        };
        let before = settle(tip, bore, length, fittings, rise, volts);
        // Changed inputs, then the directions of flow, tip pressure and pump pressure.
        let cases = [
            (settle(tip * 1.005, bore, length, fittings, rise, volts), [RISES, FALLS, FALLS]),
            (settle(tip, bore * 1.005, length, fittings, rise, volts), [RISES, RISES, FALLS]),
            (settle(tip, bore, length * 1.005, fittings, rise, volts), [FALLS, FALLS, RISES]),
            (settle(tip, bore, length, fittings * 1.005, rise, volts), [FALLS, FALLS, RISES]),
            (settle(tip, bore, length, fittings, rise + 0.2, volts), [FALLS, FALLS, RISES]),
            (settle(tip, bore, length, fittings, rise, volts * 1.005), [RISES, RISES, RISES]),
        ];
        for (after, laws) in cases {
            prop_assert!(moved(before.flow, after.flow, laws[0]));
            prop_assert!(moved(before.tip_pressure, after.tip_pressure, laws[1]));
            prop_assert!(moved(before.pump_pressure, after.pump_pressure, laws[2]));
        }
    }

    #[test]
    fn raising_one_tank_draws_more_from_it_and_less_from_the_others(
        flow in 0.5..8.0_f64, cv in prop::array::uniform3(0.05..3.0_f64), levels in prop::array::uniform3(-3.0..4.0_f64),
        sg in prop::array::uniform3(1.0..1.2_f64), check in any::<bool>(), raised in 0..3_usize,
    ) {
        let mut branches: Vec<Branch> = (0..3)
            .map(|i| Branch {
                capacity: super::super::fittings::capacity_of_cv(cv[i]),
                density: sg[i] * 998.2,
                level: levels[i] * FT,
                pressure: 0.0,
                check: check.then_some(3e3),
            })
            .collect();
        let before = split(&branches, flow * GPM).unwrap();
        branches[raised].level += 0.3;
        let after = split(&branches, flow * GPM).unwrap();
        for (i, (was, is)) in before.flows.iter().zip(&after.flows).enumerate() {
            let allowed = 1e-9 * flow * GPM;
            let gained = if i == raised { is - was } else { was - is };
            prop_assert!(gained >= -allowed, "branch {i} of {raised}: {was} to {is}");
        }
        prop_assert!(after.junction >= before.junction - 1e-6);
        let deeper = split(&branches, flow * GPM * 1.01).unwrap();
        prop_assert!(deeper.junction <= after.junction + 1e-6);
    }
}
