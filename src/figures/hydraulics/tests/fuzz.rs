//! Solvers over the widest input a spec may hold: every answer finite and consistent, no panic, no endless loop.

use super::super::Liquid;
use super::super::delivery::{Delivery, DeliveryPump, delivery_point, tip_for_pump_pressure};
use super::super::metering::{Branch, share, split};
use super::super::pipe::{
    LAMINAR, TURBULENT, colebrook, friction, friction_band, lift, line_flow, line_loss, longest_hose, loss,
};
use super::super::pump::{Washer, exact_nozzle, lugging, wash_point};
use super::super::supply::{Tap, tap_flow};
use super::*;
use proptest::prelude::*;

fn liquids() -> impl Strategy<Value = Liquid> {
    (500.0..2000.0_f64, -4.0..0.0_f64).prop_map(|(density, power)| Liquid { density, viscosity: 10_f64.powf(power) })
}

fn hoses() -> impl Strategy<Value = Vec<Hose>> {
    let one = (1e-3..0.15_f64, 0.0..3000.0_f64, 0.0..0.05_f64, 0.0..200.0_f64, 1.0..1.25_f64).prop_map(
        |(bore, length, relative, fittings, winding)| Hose {
            bore,
            length,
            roughness: relative * bore,
            fittings,
            winding,
        },
    );
    prop::collection::vec(one, 0..4)
}

/// Numbers spread over decades.
fn decades(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.log10()..high.log10()).prop_map(|power| 10_f64.powf(power))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn friction_is_finite_and_inside_its_band(reynolds in decades(1e-6, 1e9), relative in 0.0..0.05_f64) {
        let factor = friction(reynolds, relative);
        prop_assert!(factor.is_finite() && factor > 0.0);
        let (low, high) = friction_band(reynolds, relative);
        prop_assert!(low <= factor * (1.0 + 4e-5) && factor <= high * (1.0 + 4e-5), "{low} {factor} {high}");
    }

    #[test]
    fn the_quick_form_stays_near_the_exact_root(reynolds in decades(TURBULENT, 1e8), relative in 0.0..0.05_f64) {
        prop_assert!((friction(reynolds, relative) / colebrook(reynolds, relative) - 1.0).abs() < 5e-5);
    }

    #[test]
    fn loss_rises_with_flow_right_through_the_bridge(
        reynolds in 0.5 * LAMINAR..2.0 * TURBULENT, relative in 0.0..0.05_f64, step in 1e-4..0.1_f64,
    ) {
        let lost = |re: f64| friction(re, relative) * re * re;
        prop_assert!(lost(reynolds * (1.0 + step)) > lost(reynolds));
    }

    #[test]
    fn rougher_and_narrower_hose_never_loses_less(
        hoses in hoses(), liquid in liquids(), flow in decades(1e-9, 1e-2), more in 1e-3..0.5_f64,
    ) {
        for hose in hoses {
            let lost = loss(&hose, liquid, flow);
            prop_assert!(lost.is_finite() && lost >= 0.0);
            let rougher = Hose { roughness: (hose.roughness * (1.0 + more)).min(0.05 * hose.bore), ..hose };
            prop_assert!(loss(&rougher, liquid, flow) >= lost * (1.0 - 1e-9));
            let wider = Hose { bore: hose.bore * (1.0 + more), ..hose };
            prop_assert!(loss(&wider, liquid, flow) <= lost * (1.0 + 1e-9));
            prop_assert_eq!(loss(&hose, liquid, 0.0), 0.0);
            if let Some(longest) = longest_hose(&hose, liquid, flow, lost) {
                // Rounding of the fittings' share may dwarf a short hose; its loss is what must come back.
                let again = loss(&Hose { length: longest, ..hose }, liquid, flow);
                prop_assert!((again - lost).abs() <= 1e-9 * lost);
            }
        }
    }

    #[test]
    fn a_washer_always_settles(
        hoses in hoses(), liquid in liquids(), flow in decades(1e-6, 1e-2), unloader in decades(1e3, 1e9),
        size in decades(1e-3, 1e3), rise in -300.0..300.0_f64, power in decades(1.0, 1e6), endless in any::<bool>(),
    ) {
        let unloader = if endless { f64::INFINITY } else { unloader };
        let nozzle = super::super::nozzle::capacity_of_size(size);
        let line = Line { hoses: &hoses, resistance: 0.0, rise };
        let washer = Washer { pump_flow: flow, unloader, nozzle, line, liquid };
        let point = wash_point(&washer);
        prop_assert!(point.flow >= 0.0 && point.flow <= flow && point.bypass >= 0.0);
        prop_assert!(point.gun_pressure.is_finite() && point.loss.is_finite() && point.pump_pressure.is_finite());
        prop_assert!(point.pump_pressure <= unloader * (1.0 + 1e-9));
        let sum = point.gun_pressure + point.loss + lift(&line, liquid);
        let scale = point.gun_pressure + point.loss + lift(&line, liquid).abs();
        if point.flow > 0.0 {
            prop_assert!((sum - point.pump_pressure).abs() <= 1e-9 * scale);
        }
        if point.bypass > 0.0 && point.flow > 0.0 {
            prop_assert!((sum - unloader).abs() <= 1e-6 * scale, "{sum} {unloader}");
        }
        if let Some(lug) = lugging(&washer, power, 0.85) {
            prop_assert!((0.0..=1.0).contains(&lug.speed) && lug.pressure.is_finite());
        }
        if let Some(nozzle) = exact_nozzle(&washer) {
            let just = wash_point(&Washer { nozzle: nozzle * (1.0 + 1e-9), ..washer });
            prop_assert!(nozzle >= 0.0 && (endless || just.bypass <= 1e-6 * flow));
        }
    }

    #[test]
    fn a_delivery_always_settles(
        hoses in hoses(), liquid in liquids(), open in decades(1e-6, 1e-2), kept in 0.0..=1.0_f64,
        cut_out in decades(1e3, 1e7), tip in decades(1e-10, 1e-3), rise in -300.0..300.0_f64, volts in 0.0..2.0_f64,
    ) {
        let pump = DeliveryPump {
            open_flow: open,
            cut_out_flow: open * kept,
            cut_out,
            cut_in: 0.75 * cut_out,
            open_current: 9.0,
            cut_out_current: 20.0,
        };
        let line = Line { hoses: &hoses, resistance: 0.0, rise };
        let delivery = Delivery { pump, volts_share: volts, tip, line, liquid };
        let point = delivery_point(&delivery);
        prop_assert!(point.flow.is_finite() && point.flow >= 0.0);
        prop_assert!(point.tip_pressure.is_finite() && point.pump_pressure.is_finite() && point.current.is_finite());
        if rise >= 0.0 {
            prop_assert!(point.flow <= volts * open * (1.0 + 1e-12));
        }
        // The point lies on the pump's line, unless the pump cannot lift the liquid at all.
        if point.flow > 0.0 {
            let on_line = volts * open - open * (1.0 - kept) * point.pump_pressure / cut_out;
            let scale = volts * open + open * (lift(&line, liquid) / cut_out).abs() + point.flow;
            prop_assert!((point.flow - on_line).abs() <= 1e-6 * scale, "{} {on_line}", point.flow);
        }
        if let Some(tip) = tip_for_pump_pressure(&delivery, pump.cut_in) {
            let steady = delivery_point(&Delivery { tip, ..delivery });
            prop_assert!((steady.pump_pressure / pump.cut_in - 1.0).abs() < 1e-6);
        }
    }

    #[test]
    fn a_manifold_always_divides_the_whole_flow(
        flow in decades(1e-7, 1e-2),
        parts in prop::collection::vec(
            (decades(1e-9, 1e-3), 500.0..2000.0_f64, -5.0..5.0_f64, -1e5..1e5_f64, prop::option::of(0.0..1e4_f64)), 1..6,
        ),
        closed in any::<bool>(),
    ) {
        let mut branches: Vec<Branch> = parts
            .into_iter()
            .map(|(capacity, density, level, pressure, check)| Branch { capacity, density, level, pressure, check })
            .collect();
        if closed {
            branches.push(Branch { capacity: 0.0, density: 1e3, level: 1.0, pressure: 0.0, check: None });
        }
        let found = split(&branches, flow).unwrap();
        prop_assert!(found.junction.is_finite());
        // The junction is known to the last bit; where a branch is near standstill that bit moves its flow most.
        let sum: f64 = found.flows.iter().sum();
        let bit = (found.junction.abs() * 1e-15).max(1e-300);
        let slack: f64 = branches.iter().map(|b| b.capacity * (2.0 * bit * 2.0).sqrt()).sum();
        prop_assert!((sum - flow).abs() <= 1e-7 * flow + 2.0 * slack, "{sum} {flow}");
        for (branch, part) in branches.iter().zip(&found.flows) {
            prop_assert!(part.is_finite() && (branch.check.is_none() || *part >= 0.0));
        }
        prop_assert!(share(&found, 0).is_none_or(f64::is_finite));
        prop_assert_eq!(share(&found, 99), None);
    }

    #[test]
    fn a_tap_gives_between_nothing_and_what_it_has(
        hoses in hoses(), liquid in liquids(), standing in 0.0..1.5e6_f64, service in decades(1e6, 1e15), kept in 0.0..1e6_f64,
    ) {
        let tap = Tap { standing, service };
        for hose in &hoses {
            let flow = tap_flow(tap, hose, liquid, kept);
            prop_assert!(flow >= 0.0 && flow <= (standing / service).sqrt() * (1.0 + 1e-12));
            let left = standing - service * flow * flow - loss(hose, liquid, flow);
            prop_assert!(flow == 0.0 || (left - kept).abs() <= 1e-6 * standing);
        }
    }

    #[test]
    fn a_line_passes_what_its_pressure_drives(
        hoses in hoses(), liquid in liquids(), pressure in decades(1.0, 1e8), rise in -100.0..100.0_f64,
        resistance in decades(1e6, 1e16),
    ) {
        let line = Line { hoses: &hoses, resistance, rise };
        let flow = line_flow(&line, liquid, pressure, 1.0);
        let needed = line_loss(&line, liquid, flow) + lift(&line, liquid);
        prop_assert!((0.0..=1.0).contains(&flow));
        let idle = lift(&line, liquid) >= pressure;
        prop_assert!(idle || flow > 0.999_999 || (needed - pressure).abs() <= 1e-6 * (pressure + lift(&line, liquid).abs()));
    }
}

#[test]
fn a_manifold_without_an_open_branch_or_draw_has_no_answer() {
    let shut = Branch { capacity: 0.0, density: 1e3, level: 1.0, pressure: 0.0, check: None };
    assert_eq!(split(&[shut], 1e-4), None);
    assert_eq!(split(&[], 1e-4), None);
    assert_eq!(split(&[Branch { capacity: 1e-6, ..shut }], 0.0), None);
}
