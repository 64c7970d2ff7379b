//! What is said about a text that is not the quantity that is wanted.

use super::scan::Piece;
use super::unit::{differs_in_capitals, find, find_any, nearest, tidy};
use super::{Measure, Misread, System, Unit};

/// A number stands alone where it needs a unit. `before` is the unit of the step before it: the ft of "6 ft 3".
pub(super) fn no_unit(digits: Piece<'_>, wanted: Measure, before: Option<&'static Unit>) -> Misread {
    let number = digits.text;
    if let Some(before) = before {
        let below = match before.symbol {
            "ft" => "in",
            "lb" => "oz",
            "h" => "min",
            "m" => "cm",
            _ => "",
        };
        let says = format!("the {number} at the end has no unit");
        return if below.is_empty() {
            digits.misread(says)
        } else {
            digits.misread_with(says, format!("{number} {below}"))
        };
    }
    let (us, si) = (wanted.unit(System::Us).symbol, wanted.unit(System::Si).symbol);
    let choice = if us == si { format!("{number} {us}") } else { format!("{number} {us} or {number} {si}") };
    digits.misread_with(format!("{number} has no unit; write {choice}"), format!("{number} {us}"))
}

/// The unit a spelling names, or why it names none.
pub(super) fn unit_for(digits: Piece<'_>, spelling: Piece<'_>, wanted: Measure) -> Result<&'static Unit, Misread> {
    let tidied = tidy(spelling.text);
    if let Some(unit) = find(&tidied, wanted) {
        return Ok(unit);
    }
    let (number, written, want) = (digits.text, spelling.text, wanted.name());
    if let Some((says, instead)) = look_alike(&tidied.to_lowercase(), wanted) {
        let misread = spelling.misread(says);
        return Err(Misread { fix: instead.map(str::to_owned), ..misread });
    }
    if let Some(unit) = find_any(&tidied) {
        let is = unit.measure.name();
        return Err(match meant_instead(unit, wanted) {
            Some(meant) => spelling.misread_with(
                format!("{number} {written} is {is}, {want} is wanted; did you mean {number} {meant}?"),
                meant.to_owned(),
            ),
            None => {
                spelling.misread(format!("{number} {written} is {is}, {want} is wanted, like {}", wanted.example()))
            }
        });
    }
    if let Some(meant) = differs_in_capitals(&tidied, wanted) {
        let says = format!("capitals matter in \"{written}\"; did you mean {meant}?");
        return Err(spelling.misread_with(says, meant.to_owned()));
    }
    if let Some((first, rest)) = written.split_once(char::is_whitespace)
        && find(&tidy(first), wanted).is_some()
    {
        let says = format!("\"{}\" after {number} {first} is not part of {want}", rest.trim());
        return Err(spelling.misread_with(says, first.to_owned()));
    }
    Err(match nearest(&tidied, wanted) {
        Some(meant) => spelling
            .misread_with(format!("\"{written}\" is not a unit known here; did you mean {meant}?"), meant.to_owned()),
        None => {
            spelling.misread(format!("\"{written}\" is not a unit known here; write {want} like {}", wanted.example()))
        }
    })
}

/// Units that mean different things to different people, or not quite what is measured here. What to say, and what to write
/// instead where only one thing can be meant.
fn look_alike(spelling: &str, wanted: Measure) -> Option<(String, Option<&'static str>)> {
    let (says, instead) = match spelling {
        "ton" | "tons" | "short ton" | "short tons" | "long ton" | "long tons" => {
            ("a ton may be 2,000 lb, 2,240 lb or 1,000 kg; write pounds or kilograms", None)
        }
        "imperial gal" | "imperial gallon" | "imperial gallons" | "imp gal" | "uk gal" | "uk gallon" | "uk gallons" => {
            ("an imperial gallon is 4.546 L and a gallon here is the US one of 3.785 L; write litres", None)
        }
        "oz" | "ounce" | "ounces" if wanted == Measure::Volume => {
            ("an ounce is a mass and a volume is wanted; say fl oz", Some("fl oz"))
        }
        "#" => ("\"#\" may be a number or a pound; write lb", Some("lb")),
        "psia" | "bara" | "bar a" | "kpa abs" => (
            "pressures here are above the air outside, not absolute; take 14.7 psi (1.013 bar) off and write psi or bar",
            None,
        ),
        "thou" | "mil" | "mils" => ("a mil may be a thousandth of an inch or a millimetre; write in or mm", None),
        "month" | "months" | "mo" => ("a month has 28 to 31 days; write days", None),
        "ps" | "cv" => ("metric and US horsepower differ by 1.4 %; write kW", None),
        "dba" | "db" | "db(c)" | "dbc" if wanted == Measure::Sound => {
            ("sound levels here are A-weighted; write dBA if it is", Some("dBA"))
        }
        "%" | "percent" if wanted == Measure::Angle => ("a slope in per cent is not an angle; write degrees", None),
        other if other.contains(['½', '¼', '¾', '⅛', '⅜', '⅝', '⅞', '⅓', '⅔']) => {
            ("write the fraction with a stroke, like 1-1/2 in", None)
        }
        _ => return None,
    };
    Some((says.to_owned(), instead))
}

/// The unit a person most likely had in mind who wrote this one where another measure is wanted.
fn meant_instead(unit: &Unit, wanted: Measure) -> Option<&'static str> {
    Some(match (unit.symbol, wanted) {
        ("lb", Measure::Force) => "lbf",
        ("lbf", Measure::Mass) => "lb",
        ("fl oz", Measure::Mass) => "oz",
        ("lb", Measure::Pressure) => "psi",
        ("gal", Measure::Flow) => "gpm",
        ("L", Measure::Flow) => "L/min",
        ("ft", Measure::Area) => "sq ft",
        ("in", Measure::Area) => "sq in",
        ("m", Measure::Area) => "m2",
        ("ft", Measure::Volume) => "cu ft",
        ("m", Measure::Volume) => "m3",
        ("m", Measure::Duration) => "min",
        ("min", Measure::Length) => "in",
        ("A", Measure::Charge) => "Ah",
        ("mA", Measure::Charge) => "mAh",
        ("Ah", Measure::Current) => "A",
        ("W", Measure::Energy) => "Wh",
        ("kW", Measure::Energy) => "kWh",
        ("BTU", Measure::Power) => "BTU/h",
        ("kWh", Measure::Power) => "kW",
        ("in", Measure::Pressure) => "inHg",
        ("ft", Measure::Pressure) => "ftH2O",
        ("ft", Measure::Speed) => "ft/s",
        ("m", Measure::Speed) => "m/s",
        ("lb", Measure::Density) => "lb/gal",
        ("lb", Measure::SpringRate) => "lb/in",
        ("sq ft", Measure::AreaRate) => "sq ft/min",
        ("C", Measure::Angle) => "deg",
        _ => return None,
    })
}

/// Something follows a quantity that is not part of it; leaving it out mends the text.
pub(super) fn trailing(before: Piece<'_>, rest: Piece<'_>, wanted: Measure) -> Misread {
    let says = format!("\"{}\" after {} is not part of {}", rest.text, before.text, wanted.name());
    rest.misread_with(says, String::new())
}

/// The text does not start with a number.
pub(super) fn not_a_number(rest: Piece<'_>, wanted: Measure) -> Misread {
    let word: String = rest.text.chars().take_while(|letter| letter.is_alphabetic()).collect::<String>().to_lowercase();
    let like = wanted.example();
    if ["nan", "inf", "infinity"].contains(&word.as_str()) || rest.text.contains('∞') {
        return rest.misread(format!("\"{}\" is not a number that can be measured; write it like {like}", rest.text));
    }
    for hint in ["approximately", "approx.", "approx", "around", "circa", "ca.", "~", "≈"] {
        if let Some(after) = rest.text.strip_prefix(hint) {
            let fix = format!("about {}", after.trim());
            return rest.misread_with(format!("\"{}\" is not understood; write {fix}", rest.text), fix);
        }
    }
    if rest.text.starts_with(['<', '>', '≤', '≥', '±'])
        || ["under", "over", "max", "min", "up"].contains(&word.as_str())
    {
        return rest.misread(format!(
            "\"{}\" leaves an end open; write both ends, like 80 to 95 {}",
            rest.text,
            wanted.unit(System::Us).symbol
        ));
    }
    rest.misread(format!("\"{}\" does not start with a number; write {} like {like}", rest.text, wanted.name()))
}
