//! From a quantity to text for people.

use super::unit::unit_named;
use super::{Measure, System, Unit};

const INCHES_IN_A_FOOT: f64 = 12.0;
/// Shorter lengths are given in inches, longer ones in feet and inches, as on a drawing.
const LONGEST_IN_INCHES: f64 = 96.0;
/// Flows from here on, m3/s, are given as air is: about 480 gpm or 64 cfm.
const MOST_WATER: f64 = 0.03;

/// A quantity for people, `low` and `high` in SI: "4,742 lb", "4,710 to 4,742 lb", "11 ft 4 in".
///
/// A range whose ends look alike once rounded is given as one value. A value that is not finite is shown as "no figure".
pub fn show(low: f64, high: f64, measure: Measure, system: System) -> String {
    if !low.is_finite() || !high.is_finite() {
        return "no figure".to_owned();
    }
    let larger = low.abs().max(high.abs());
    if measure == Measure::Length && system == System::Us {
        // What would be shown as 96 in is already shown as 8 ft.
        let in_feet = inches().from_si(larger) >= LONGEST_IN_INCHES - 0.05;
        return if in_feet {
            join(feet_and_inches(low), feet_and_inches(high), "")
        } else {
            in_unit(low, high, inches())
        };
    }
    in_unit(low, high, unit_for(measure, system, larger))
}

/// A value given in SI, in the unit that is asked for: "55 gal".
pub fn show_in(si: f64, unit: &Unit) -> String {
    if si.is_finite() { in_unit(si, si, unit) } else { "no figure".to_owned() }
}

/// A number for people: four significant digits, whole digits always kept, thousands parted by commas, no exponent.
pub fn number(value: f64) -> String {
    if value.is_finite() { figure(value, 3) } else { "no figure".to_owned() }
}

/// The number rounded to nine significant digits, for machine-readable output that is the same on every machine.
///
/// Not a number, infinities and zero come back as they are.
pub fn steady(value: f64) -> f64 {
    if !value.is_finite() || value == 0.0 {
        return value;
    }
    // Through text: scaling by powers of ten would add its own rounding.
    format!("{value:.8e}").parse().unwrap_or(value)
}

fn inches() -> &'static Unit {
    unit_named("in", Measure::Length)
}

/// The unit that suits a value of this size.
fn unit_for(measure: Measure, system: System, si: f64) -> &'static Unit {
    let usual = measure.unit(system);
    let symbol = match (measure, system) {
        (Measure::Length, System::Si) if si < 1.0 => "mm",
        (Measure::Area, System::Us) if usual.from_si(si) < 1.0 => "sq in",
        (Measure::Area, System::Si) if si < 0.1 => "cm2",
        (Measure::Volume, System::Us) if usual.from_si(si) < 0.25 => "fl oz",
        (Measure::Volume, System::Si) if si < 1e-3 => "mL",
        (Measure::Mass, System::Si) if si < 0.1 => "g",
        (Measure::Force, System::Si) if si >= 1e4 => "kN",
        (Measure::Pressure, System::Si) if si < 1e5 => "kPa",
        // More than any pump on a rig moves is air.
        (Measure::Flow, System::Us) if si >= MOST_WATER => "cfm",
        (Measure::Flow, System::Si) if si >= MOST_WATER => "m3/h",
        (Measure::Power, _) if si >= 1e3 => "kW",
        (Measure::Energy, _) if usual.from_si(si) >= 1e3 => "kWh",
        (Measure::Duration, _) if si < 120.0 => "s",
        (Measure::Duration, _) if si >= 2.0 * 86_400.0 => "days",
        (Measure::Duration, _) if si >= 7200.0 => "h",
        (Measure::Current, _) if si < 0.1 => "mA",
        _ => return usual,
    };
    // Zero is shown in the usual unit, not in the smallest one.
    if si == 0.0 { usual } else { unit_named(symbol, measure) }
}

fn in_unit(low: f64, high: f64, unit: &Unit) -> String {
    let shown = |si: f64| {
        // Small bores are given to the thousandth of an inch; on a whole rig a tenth is plenty.
        let value = unit.from_si(si);
        let decimals = if std::ptr::eq(unit, inches()) && value.abs() < 3.0 { 3 } else { unit.decimals };
        figure(value, decimals)
    };
    join(shown(low), shown(high), unit.symbol)
}

fn join(low: String, high: String, symbol: &str) -> String {
    let text = if low == high { low } else { format!("{low} to {high}") };
    if symbol.is_empty() { text } else { format!("{text} {symbol}") }
}

/// To the tenth of an inch below a hundred feet, to the inch above.
fn feet_and_inches(si: f64) -> String {
    let steps = if si.abs() < 100.0 * INCHES_IN_A_FOOT * inches().factor { 10.0 } else { 1.0 };
    let total = (inches().from_si(si.abs()) * steps).round() / steps;
    let feet = (total / INCHES_IN_A_FOOT).floor();
    let rest = figure(total - feet * INCHES_IN_A_FOOT, 1);
    let sign = if si < 0.0 && total > 0.0 { "-" } else { "" };
    let feet_text = figure(feet, 0);
    match (feet == 0.0, rest == "0") {
        (false, true) => format!("{sign}{feet_text} ft"),
        (true, _) => format!("{sign}{rest} in"),
        (false, false) => format!("{sign}{feet_text} ft {rest} in"),
    }
}

/// A number with no more decimals than four significant digits call for and than are worth showing; but a small number keeps
/// two significant digits, so that it does not shrink to nothing.
fn figure(value: f64, worth_showing: usize) -> String {
    let size = value.abs();
    let magnitude = if size < 1e-6 { 0 } else { leading_place(size) };
    let places = |significant: i32| usize::try_from((significant - 1 - magnitude).clamp(0, 6)).unwrap_or(0);
    let decimals = places(4).min(worth_showing.max(places(2)));
    let mut text = format!("{size:.decimals$}");
    if text.contains('.') {
        text = text.trim_end_matches('0').trim_end_matches('.').to_owned();
    }
    let (whole, fraction) = text.split_once('.').map_or((text.as_str(), None), |(whole, rest)| (whole, Some(rest)));
    let mut shown = String::new();
    if value < 0.0 && text != "0" {
        shown.push('-');
    }
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            shown.push(',');
        }
        shown.push(digit);
    }
    if let Some(fraction) = fraction {
        shown.push('.');
        shown.push_str(fraction);
    }
    shown
}

/// The power of ten of the first digit, once rounded to four digits: 9999.7 counts as 10,000.
fn leading_place(size: f64) -> i32 {
    format!("{size:.3e}").split_once('e').and_then(|(_, power)| power.parse().ok()).unwrap_or(0)
}
