//! Electrical: what each wire carries and loses, the fuse that suits it, how long the battery lasts, shore power, battery gas.
//!
//! The low-voltage side follows the boat rules, which are good practice on a trailer and not law there; the 120 V side belongs to
//! a licensed electrician and the local code.

mod shore;
mod storage;
mod wires;

use super::{Card, Gives, Sheet};
use crate::measure::Measure;
use crate::rig::parts::{AnyPart, Kind};
use crate::rig::system::Wire;
use crate::rig::{PartRef, Rig};

const fn figure(
    of: &'static str,
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
    source: &'static str,
) -> Card {
    Card { of, name, gives: Gives::Figure(measure), help, method, source }
}

const fn note(of: &'static str, name: &'static str, help: &'static str, source: &'static str) -> Card {
    Card { of, name, gives: Gives::Note, help, method: "", source }
}

const fn link(of: &'static str, name: &'static str, kind: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Subject(kind), help, method: "", source: "" }
}

const ABYC_DROP: &str =
    "ABYC E-11: area in circular mils = 10.75 × A × ft there and back ÷ V lost; IEC 60228 class 5 for metric cable";
const TABLE_5: &str = "33 CFR 183.425 Table 5; NEC Table 310.16 and 240.4(D) at 120 V";
const PEUKERT: &str = "W. Peukert, Elektrotechnische Zeitschrift 20, 1897; exponent 1.25 flooded, 1.10 AGM, 1.15 gel, 1.05 LFP, from memory";
const IEC_GAS: &str = "EN IEC 62485-3, battery gas of traction batteries";

/// What this discipline computes.
#[rustfmt::skip]
pub const CARDS: &[Card] = &[
    note("wire", "serves", "What the wire serves: pump, feeder, light, motor, charge line, shore, starter or other", "by the part at its end"),
    note("wire", "load-name", "The part at its end", "as in the spec"),
    figure("wire", "carries", Measure::Current, "Current it carries while the load runs", "the larger of what the wire and the part at its end state; a light's W ÷ (V × 0.9)", "LED driver efficiency 0.9: common practice, no source"),
    figure("wire", "drop", Measure::Voltage, "Voltage lost along it, there and back", "2 × length × resistance × current", ABYC_DROP),
    figure("wire", "drop-at-load", Measure::Voltage, "Voltage lost from the battery to its end", "sum along the wires that feed it", ABYC_DROP),
    figure("wire", "drop-share", Measure::Ratio, "Voltage lost from the battery to its end, as a share of the battery's", "voltage lost ÷ battery voltage", ABYC_DROP),
    figure("wire", "at-load", Measure::Voltage, "Voltage left at its end", "battery voltage − voltage lost", ABYC_DROP),
    note("wire", "gauge-needed", "The thinnest gauge that loses little enough and carries the current", ABYC_DROP),
    figure("wire", "ampacity", Measure::Current, "Current the wire may carry as it lies", "table current × engine space × bundle", TABLE_5),
    figure("wire", "fuse-least", Measure::Current, "Smallest fuse that does not tire", "1.25 × current", "common practice; NEC 210.20(A) for long loads"),
    figure("wire", "fuse-legal", Measure::Current, "Largest fuse the boat rules allow", "1.5 × table current below 50 V; the wire's own at 120 V", "33 CFR 183.455(c)"),
    note("wire", "fuse-choice", "Fuse sizes that suit both the load and the wire", "usual blade and bolt-down sizes, common practice, no source"),
    figure("wire", "unfused", Measure::Length, "Wire between battery post and fuse", "as stated; the whole run where it has no fuse; nought where it does not start at a battery", "33 CFR 183.455(b)"),
    figure("battery", "bank", Measure::Charge, "Charge of the bank at the 20-hour rate", "capacity of one × how many", "count"),
    figure("battery", "usable", Measure::Ratio, "Share of the charge that may be used each day", "lead 50 %, lithium iron phosphate 80 %", "common practice, no source"),
    figure("battery", "day-use", Measure::Charge, "Charge used in a day", "sum of current × hours over the modes, and 6 minutes a reel motor", "sum; reel minutes: common practice, no source"),
    figure("battery", "day-share", Measure::Ratio, "Share of the charge a day's work takes", "sum over the modes of hours ÷ hours that empty it at that current", PEUKERT),
    figure("battery", "bank-needed", Measure::Charge, "Bank that the day's work needs", "the bank whose day share is the usable share", PEUKERT),
    figure("battery", "recharge-time", Measure::Duration, "Time to put a day's charge back", "charge used × 1.15 (lead) or 1.02 (lithium) ÷ charger current, and the taper: 3 h or 15 min", "common practice, no source"),
    figure("battery", "recharge-window", Measure::Duration, "Time in which its charger is fed", "hours of the modes with shore power, or on the road", "sum"),
    note("battery", "recharge-words", "What charges it, in words", "by the chargers of the spec"),
    figure("battery", "gas-vent-needed", Measure::Area, "Free area of each of two vents of its box, one low and one high", "28 cm2 for each m3/h of 0.055 × cells × gassing current", IEC_GAS),
    figure("battery", "gas-air", Measure::Flow, "Air that thins its gas", "0.055 m3/Ah × cells × gassing current", IEC_GAS),
    link("battery-in-mode", "battery", "battery", "The battery"),
    link("battery-in-mode", "mode", "mode", "The mode"),
    figure("battery-in-mode", "draw", Measure::Current, "Current of all that runs in this mode", "sum", "sum"),
    figure("battery-in-mode", "lasts", Measure::Duration, "Time this mode runs from a full battery", "usable share × Peukert's discharge time", PEUKERT),
    link("battery-neighbor", "battery", "battery", "The battery"),
    link("battery-neighbor", "neighbor", "part", "What stands near it"),
    note("battery-neighbor", "danger-from", "fuel or bleach", "by what the neighbor holds"),
    figure("battery-neighbor", "apart", Measure::Length, "Shortest way between the two", "straight distance of two boxes", "plane geometry"),
    figure("battery-neighbor", "same-air", Measure::Count, "1 where both stand in one closed box, 0 where not, between where nobody says", "by body, place inside or outside, and vent", "33 CFR 183.410(b) as an analogue"),
    figure("shore-inlet", "shore-load", Measure::Current, "Current of its chargers, 125 % of it", "1.25 × A × V ÷ (efficiency × power factor × supply voltage)", "NEC 210.20(A)"),
    figure("shore-inlet", "largest-charger", Measure::Current, "Largest charger the breaker carries for hours", "0.8 × breaker × supply voltage × efficiency × power factor ÷ charging voltage", "NEC 210.20(A)"),
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    wires::work(rig, sheet);
    storage::work(rig, sheet);
    shore::work(rig, sheet);
}

/// The part and port at one end of a wire.
fn end(rig: &Rig, end: PartRef) -> Option<(&str, &AnyPart, Option<&str>)> {
    let (name, port) = rig.reference(end)?;
    Some((name, rig.part(name)?, port))
}

/// A wire of the 120 V side: it starts at an inlet or a generator, or ends at a port called `ac`.
fn is_shore(rig: &Rig, wire: &Wire) -> bool {
    [wire.from, wire.to]
        .into_iter()
        .filter_map(|it| end(rig, it))
        .any(|(_, part, port)| matches!(part.kind, Kind::ShoreInlet(_) | Kind::Generator(_)) || port == Some("ac"))
}

/// The batteries, with their ids.
fn batteries(rig: &Rig) -> impl Iterator<Item = (&str, &AnyPart, &crate::rig::parts::Battery)> {
    rig.parts().filter_map(|(name, part)| match &part.kind {
        Kind::Battery(battery) => Some((name, part, battery)),
        _ => None,
    })
}
