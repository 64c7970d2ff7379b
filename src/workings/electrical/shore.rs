//! Shore power: what the chargers take from the inlet's breaker.

use super::CARDS;
use crate::bounds::{Input, corners, monotone};
use crate::figures::electrical::shore::{CONTINUOUS_SHARE, Charger, charger_input, largest_charger};
use crate::rig::Rig;
use crate::rig::parts::Kind;
use crate::workings::{Sheet, SubjectId, row};

/// Charging voltage over nominal: 14.4 V on a 12 V lead battery, 14.6 V on lithium (common practice, no source).
const CHARGING: f64 = 14.4;

/// Computes it.
pub(super) fn work(rig: &Rig, sheet: &mut Sheet) {
    let chargers: Vec<_> = rig
        .parts()
        .filter_map(|(_, part)| match &part.kind {
            Kind::Charger(charger) if rig.word(charger.fed_by).is_none_or(|fed| fed == "shore") => Some(charger),
            _ => None,
        })
        .collect();
    let volts = super::batteries(rig).next().and_then(|(_, _, battery)| rig.known(battery.voltage));
    // A 24 V bank charges at twice the voltage of a 12 V one.
    let charging = if volts.is_some_and(|range| range.low > 18.0) { 2.0 * CHARGING } else { CHARGING };
    for (_, part) in rig.parts() {
        let Kind::ShoreInlet(inlet) = &part.kind else { continue };
        let subject = SubjectId(part.entry.0);
        let supply = Input::fact(rig, inlet.voltage);
        let mut load = Input::fixed(0.0);
        for charger in &chargers {
            let inputs =
                [charger.current, charger.efficiency, charger.power_factor].map(|amount| Input::fact(rig, amount));
            let [current, efficiency, factor] = &inputs;
            let takes = monotone(&[current.clone(), efficiency.clone(), factor.clone(), supply.clone()], |values| {
                let [dc_current, efficiency, power_factor, ac_voltage] = *values else { return None };
                let charger = Charger { dc_current, dc_voltage: charging, efficiency, power_factor, ac_voltage };
                Some(charger_input(&charger)? / CONTINUOUS_SHARE)
            });
            load = corners([&load, &takes], |[sum, one]| Some(sum + one));
        }
        let (efficiency, factor) = match chargers.first() {
            Some(charger) => (Input::fact(rig, charger.efficiency), Input::fact(rig, charger.power_factor)),
            None => (Input::fixed(0.85), Input::fixed(0.95)),
        };
        let breaker = Input::fact(rig, inlet.breaker);
        let largest =
            corners([&breaker, &efficiency, &factor, &supply], |[breaker, efficiency, power_factor, ac_voltage]| {
                let charger = Charger { dc_current: 0.0, dc_voltage: charging, efficiency, power_factor, ac_voltage };
                largest_charger(&charger, breaker)
            });
        sheet.enter(subject, row(CARDS, "shore-inlet", "shore-load"), load);
        sheet.enter(subject, row(CARDS, "shore-inlet", "largest-charger"), largest);
    }
}
