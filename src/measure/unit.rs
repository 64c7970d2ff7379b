//! A unit: how it is spelled, what it measures, what one of it is in SI.

use super::Measure;
use super::table::{PLAIN, UNITS};

/// Which units people are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum System {
    /// US customary.
    Us,
    /// Metric.
    Si,
}

/// One row of the unit table.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// How the unit is written; reading understands it.
    pub symbol: &'static str,
    /// The other spellings understood, in the form `tidy` gives.
    pub spellings: &'static [&'static str],
    /// What it measures.
    pub measure: Measure,
    /// How many SI base units one of it is.
    pub factor: f64,
    /// Where its zero lies: `si = (value + offset) * factor`. Zero but for temperatures.
    pub offset: f64,
    /// Whether `factor` follows exactly from a definition (as far as a floating-point number can carry it).
    pub exact: bool,
    /// Where the factor comes from.
    pub source: &'static str,
    /// The decimals worth showing to a person.
    pub decimals: usize,
}

impl Unit {
    /// The unit of a measure that a spelling names: `gal`, `Gallons`, `sq. ft.`; `None` when it names none.
    pub fn named(spelling: &str, measure: Measure) -> Option<&'static Self> {
        find(&tidy(spelling), measure)
    }

    /// `value` in this unit, as SI.
    pub fn to_si(&self, value: f64) -> f64 {
        (value + self.offset) * self.factor
    }

    /// `si` as a number of this unit.
    pub fn from_si(&self, si: f64) -> f64 {
        si / self.factor - self.offset
    }

    /// Whether the spelling is one of this unit's, letter for letter.
    fn is_spelled(&self, spelling: &str) -> bool {
        self.spellings.contains(&spelling)
    }

    /// Whether the spelling is one of this unit's when capitals do not count.
    ///
    /// They always count for single letters and where the capital is what tells mega from milli.
    fn is_spelled_loosely(&self, spelling: &str) -> bool {
        self.spellings.iter().any(|known| known.eq_ignore_ascii_case(spelling) && !capitals_matter(known))
    }
}

/// Mega and milli differ by a thousand million and by one capital letter.
fn capitals_matter(spelling: &str) -> bool {
    spelling.chars().count() < 2
        || [
            "mA", "mAh", "mV", "mL", "ml", "mL/min", "ml/min", "mg", "mg/L", "mg/l", "mbar", "mohm", "MPa", "MW", "MJ",
            "mPa·s", "Pa",
        ]
        .contains(&spelling)
}

impl Measure {
    /// The unit in which a figure of this measure is given to people and machines.
    pub fn unit(self, system: System) -> &'static Unit {
        let (us, si) = match self {
            Self::Length => ("in", "m"),
            Self::Area => ("sq ft", "m2"),
            Self::Volume => ("gal", "L"),
            Self::Mass => ("lb", "kg"),
            Self::Force => ("lbf", "N"),
            Self::Pressure => ("psi", "bar"),
            Self::Flow => ("gpm", "L/min"),
            Self::MassFlow => ("lb/h", "kg/h"),
            Self::Power => ("W", "W"),
            Self::Energy => ("Wh", "Wh"),
            Self::Temperature | Self::TemperatureStep => ("F", "C"),
            Self::Duration => ("min", "min"),
            Self::Speed => ("ft/s", "m/s"),
            Self::Acceleration => ("g", "g"),
            Self::Current => ("A", "A"),
            Self::Voltage => ("V", "V"),
            Self::Charge => ("Ah", "Ah"),
            Self::Resistance => ("ohm", "ohm"),
            Self::Angle => ("deg", "deg"),
            Self::Rotation => ("rpm", "rpm"),
            Self::Ratio => ("%", "%"),
            Self::Density => ("lb/gal", "kg/L"),
            Self::SpringRate => ("lb/in", "N/mm"),
            Self::Bending => ("lb-in/ft", "N·m/m"),
            Self::Stiffness => ("lb-in2/ft", "N·m2/m"),
            Self::Sound => ("dBA", "dBA"),
            Self::Count => ("", ""),
            Self::Concentration => ("g/L", "g/L"),
            Self::AreaRate => ("sq ft/min", "m2/min"),
            Self::Viscosity => ("cP", "cP"),
            Self::Torque => ("lb-ft", "N·m"),
        };
        unit_named(
            match system {
                System::Us => us,
                System::Si => si,
            },
            self,
        )
    }
}

/// The row with this symbol and measure. The tests hold every symbol the program names to the table; a symbol that is not
/// there would give the plain number.
pub(super) fn unit_named(symbol: &str, measure: Measure) -> &'static Unit {
    UNITS.iter().find(|unit| unit.measure == measure && unit.symbol == symbol).unwrap_or(&PLAIN)
}

/// The unit of `measure` that a tidy spelling names: letter for letter, or else without regard to capitals.
pub(super) fn find(spelling: &str, measure: Measure) -> Option<&'static Unit> {
    let of_measure = || UNITS.iter().filter(|unit| unit.measure == measure);
    of_measure()
        .find(|unit| unit.is_spelled(spelling))
        .or_else(|| of_measure().find(|unit| unit.is_spelled_loosely(spelling)))
}

/// The first unit of any measure that a tidy spelling names.
pub(super) fn find_any(spelling: &str) -> Option<&'static Unit> {
    UNITS
        .iter()
        .find(|unit| unit.is_spelled(spelling))
        .or_else(|| UNITS.iter().find(|unit| unit.is_spelled_loosely(spelling)))
}

/// The spelling of a unit of `measure` that differs from this one only in capitals.
pub(super) fn differs_in_capitals(spelling: &str, measure: Measure) -> Option<&'static str> {
    let mut known = UNITS.iter().filter(|unit| unit.measure == measure).flat_map(|unit| unit.spellings).copied();
    known.find(|known| known.eq_ignore_ascii_case(spelling))
}

/// The spelling of a unit of `measure` nearest to this one, when one is near enough to be what was meant.
pub(super) fn nearest(spelling: &str, measure: Measure) -> Option<&'static str> {
    let letters = spelling.chars().count();
    let allowed = match letters {
        0 | 1 => return None,
        2..=4 => 1,
        _ => 2,
    };
    let wanted = spelling.to_lowercase();
    UNITS
        .iter()
        .filter(|unit| unit.measure == measure)
        .flat_map(|unit| unit.spellings)
        .copied()
        .filter(|known| known.chars().count() > 1)
        .map(|known| (distance(&wanted, &known.to_lowercase()), known))
        .filter(|(far, _)| *far <= allowed)
        .min_by_key(|(far, _)| *far)
        .map(|(_, known)| known)
}

/// How many letters must be put in, taken out, changed or swapped with their neighbour to turn one word into the other
/// (optimal string alignment).
fn distance(one: &str, other: &str) -> usize {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    let mut rows: Vec<Vec<usize>> = vec![(0..=other.len()).collect()];
    for (i, a) in one.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, b) in other.iter().enumerate() {
            let above = &rows[i];
            let mut least = (above[j] + usize::from(a != b)).min(above[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && one[i - 1] == *b && other[j - 1] == *a {
                least = least.min(rows[i - 1][j - 1] + 1);
            }
            row.push(least);
        }
        rows.push(row);
    }
    rows[one.len()][other.len()]
}

/// A unit as written, in the one form the table knows: single spaces, no full stops, `/` for "per", `·` for a product,
/// plain digits for powers, `'` and `"` for foot and inch marks.
pub(super) fn tidy(written: &str) -> String {
    let mut plain = String::new();
    for letter in written.chars() {
        match letter {
            '.' | '^' => {}
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '₂' => plain.push('2'),
            '*' | '⋅' | '-' | '•' => plain.push('·'),
            '\u{3a9}' | '\u{2126}' => plain.push_str("ohm"),
            'º' => plain.push('°'),
            // The Greek letter and the sign made for it look the same.
            '\u{3bc}' => plain.push('\u{b5}'),
            '′' | '’' | '‘' => plain.push('\''),
            '″' | '”' | '“' => plain.push('"'),
            other => plain.push(other),
        }
    }
    let words: Vec<&str> =
        plain.split_whitespace().map(|word| if word.eq_ignore_ascii_case("per") { "/" } else { word }).collect();
    let spaced = words.join(" ");
    spaced.replace(" /", "/").replace("/ ", "/").replace(" ·", "·").replace("· ", "·").replace("° ", "°")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_distance_between_words_counts_single_slips() {
        // Counted by hand.
        for (one, other, slips) in [
            ("gal", "gal", 0),
            ("gla", "gal", 1),
            ("gall", "gal", 1),
            ("galon", "gallon", 1),
            ("", "psi", 3),
            ("pis", "psi", 1),
        ] {
            assert_eq!(distance(one, other), slips, "{one} {other}");
        }
    }

    #[test]
    fn units_are_tidied_to_one_form() {
        for (written, tidied) in [
            ("sq.  ft.", "sq ft"),
            ("m³ / h", "m3/h"),
            ("gal per min", "gal/min"),
            ("ft^2", "ft2"),
            ("N⋅m", "N·m"),
            ("lb-ft", "lb·ft"),
            ("Ω", "ohm"),
            ("in.", "in"),
            ("ftH₂O", "ftH2O"),
        ] {
            assert_eq!(tidy(written), tidied);
        }
    }
}
