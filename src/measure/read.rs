//! From text to a quantity, or to one sentence that says what is wrong with it.

use super::refuse::{no_unit, trailing, unit_for};
use super::scan::{Piece, Scan};
use super::unit::unit_named;
use super::{Measure, System, Unit};
use std::ops::Range;

/// A quantity as read: in SI base units, `low` to `high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The least value meant. Equal to `high` unless the text gives a range or says "about".
    pub low: f64,
    /// The greatest value meant.
    pub high: f64,
    /// The unit it was written in: of the upper end, and the last one of "6 ft 3 in".
    pub unit: &'static Unit,
    /// Whether the text says "about".
    pub about: bool,
}

impl Reading {
    /// From the least to the greatest value meant.
    pub fn range(&self) -> super::Range {
        super::Range { low: self.low, high: self.high }
    }
}

/// Why a text is not the quantity that is wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// One sentence without a full stop: "225 has no unit; write 225 gal or 225 L".
    pub says: String,
    /// The bytes of the text that are at fault; empty, at its place, where something is missing.
    pub span: Range<usize>,
    /// The whole text as it was probably meant, where that can be told.
    pub fix: Option<String>,
}

impl std::fmt::Display for Misread {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.says)
    }
}

impl std::error::Error for Misread {}

/// "About" widens a value by this share of it to either side (common practice, no source).
const ABOUT: f64 = 0.10;
/// "About" widens a temperature by this many kelvin: a share of it would depend on where its scale has its zero (common
/// practice, no source).
const ABOUT_KELVIN: f64 = 5.0;
/// "About" widens a sound level by this many decibels, for the same reason (common practice, no source).
const ABOUT_DECIBELS: f64 = 3.0;
/// No quantity worth stating is longer than this many bytes.
const LONGEST: usize = 80;

/// Reads a quantity of the measure that is wanted.
///
/// Understood are decimals, thousands in groups of three (`1,500 lb`), fractions (`3/4 in`, `1-1/2 in`), units in steps
/// (`6 ft 3 in`, `6'3"`, `1 h 30 min`), ranges (`80 to 95 lb`) and `about 40 lb`. A ratio or a count may stand without a unit.
///
/// # Errors
/// A [`Misread`] for anything else: no unit, an unknown one, one of another measure, a range upside down, a decimal comma, an
/// exponent, a temperature below absolute zero. Negative values are read; see [`Measure::may_be_negative`].
pub fn read(text: &str, wanted: Measure) -> Result<Reading, Misread> {
    read_piece(Piece { text, at: 0 }.trim(), wanted, None).map_err(|misread| mend(misread, text))
}

/// Reads a size of so many sides: `48 in x 24 in x 28 in`, `14 × 14 in`. A side without a unit takes the unit of the last.
///
/// # Errors
/// As [`read`], and when the number of sides is not `sides`.
pub fn read_size(text: &str, sides: usize) -> Result<Vec<Reading>, Misread> {
    let whole = Piece { text, at: 0 }.trim();
    let pieces = whole.split_sides();
    if whole.text.is_empty() || pieces.len() != sides {
        let example =
            ["48 in", "24 in", "28 in"].into_iter().cycle().take(sides.max(1)).collect::<Vec<_>>().join(" x ");
        let has = if whole.text.is_empty() { 0 } else { pieces.len() };
        return Err(whole.misread(format!(
            "a size of {sides} {} is wanted and {} given; write it like {example}",
            if sides == 1 { "side" } else { "sides" },
            if has == 1 { "1 is".to_owned() } else { format!("{has} are") },
        )));
    }
    let mut readings = Vec::new();
    let mut lent = None;
    for piece in pieces.into_iter().rev() {
        let reading = read_piece(piece, Measure::Length, lent).map_err(|misread| mend(misread, text))?;
        lent = lent.or(Some(reading.unit));
        readings.push(reading);
    }
    readings.reverse();
    Ok(readings)
}

/// While reading, a fix replaces the bytes at fault; the caller gets the whole text with the fix in place.
fn mend(mut misread: Misread, text: &str) -> Misread {
    misread.fix = misread.fix.map(|fix| {
        let before = text.get(..misread.span.start).unwrap_or_default();
        let after = text.get(misread.span.end..).unwrap_or_default();
        format!("{before}{fix}{after}").trim().to_owned()
    });
    misread
}

fn read_piece(piece: Piece<'_>, wanted: Measure, lent: Option<&'static Unit>) -> Result<Reading, Misread> {
    if piece.text.is_empty() {
        return Err(piece.misread(format!(
            "nothing is written here; {} is wanted, like {}",
            wanted.name(),
            wanted.example()
        )));
    }
    if piece.text.len() > LONGEST {
        return Err(piece.misread(format!("this is too long for a quantity; write it like {}", wanted.example())));
    }
    let about = piece.without_word("about");
    let rest = about.unwrap_or(piece);
    let Some((low, high)) = rest.split_to() else {
        let value = quantity(rest, wanted, lent)?;
        let margin = if about.is_some() { margin(&value, wanted) } else { 0.0 };
        return Ok(Reading {
            low: value.si - margin,
            high: value.si + margin,
            unit: value.unit,
            about: about.is_some(),
        });
    };
    if about.is_some() {
        let says = format!("\"{}\" says both \"about\" and from where to where; one is enough", piece.text);
        return Err(piece.misread_with(says, rest.text.to_owned()));
    }
    let upper = quantity(high, wanted, lent)?;
    // "80 to 95 lb": the unit of the upper end serves both, unless that end is written in steps.
    let lower = quantity(low, wanted, if upper.steps == 1 { Some(upper.unit) } else { lent })?;
    if lower.si > upper.si {
        let says = format!("the range {} runs downward; the smaller end comes first", piece.text);
        let ends = if lower.borrowed && !upper.borrowed {
            let symbol = upper.unit.symbol;
            let bare = high.text.strip_suffix(symbol).map_or(high.text, str::trim_end);
            format!("{bare} to {} {symbol}", low.text)
        } else {
            format!("{} to {}", high.text, low.text)
        };
        return Err(piece.misread_with(says, ends));
    }
    Ok(Reading { low: lower.si, high: upper.si, unit: upper.unit, about: false })
}

/// How far "about" reaches to either side, in SI.
fn margin(value: &Quantity, wanted: Measure) -> f64 {
    match wanted {
        Measure::Temperature => ABOUT_KELVIN,
        Measure::Sound => ABOUT_DECIBELS,
        _ => value.si.abs() * ABOUT,
    }
}

/// One end of a reading.
struct Quantity {
    si: f64,
    unit: &'static Unit,
    /// 2 for "6 ft 3 in".
    steps: usize,
    /// Whether the unit was not written but taken from elsewhere.
    borrowed: bool,
}

/// Reads numbers, each with its unit, to the end of the piece.
fn quantity(piece: Piece<'_>, wanted: Measure, lent: Option<&'static Unit>) -> Result<Quantity, Misread> {
    if piece.text.is_empty() {
        return Err(piece.misread(format!(
            "an end of the range is missing; write it like 80 to 95 {}",
            wanted.unit(System::Us).symbol
        )));
    }
    let mut scan = Scan::new(piece);
    let negative = scan.sign();
    let mut read: Option<Quantity> = None;
    // So far, in the unit of the last step; and the number of that step alone.
    let (mut amount, mut last) = (0.0, 0.0);
    loop {
        if read.is_some() && !scan.at_number() {
            return Err(trailing(scan.before(), scan.rest(), wanted));
        }
        let (value, digits) = scan.number(wanted)?;
        let spelling = scan.unit();
        if let Some((before, after)) = scan.dash() {
            return Err(dashed(piece, before, after, wanted, lent));
        }
        let (unit, borrowed) = if spelling.text.is_empty() {
            match (&read, lent) {
                (None, Some(unit)) => (unit, true),
                (None, None) if wanted.may_be_bare() => (unit_named("", wanted), false),
                (before, _) => return Err(no_unit(digits, wanted, before.as_ref().map(|quantity| quantity.unit))),
            }
        } else {
            (unit_for(digits, spelling, wanted)?, false)
        };
        let steps = match &read {
            None => 1,
            Some(before) => {
                let ratio = before.unit.factor / unit.factor;
                let steps_down = ratio > 1.5 && (ratio - ratio.round()).abs() < 1e-9 && unit.offset == 0.0;
                if !steps_down || last % 1.0 != 0.0 || value >= ratio.round() {
                    let says = format!("\"{}\" is not one quantity; write it like {}", piece.text, wanted.example());
                    return Err(piece.misread(says));
                }
                amount *= ratio.round();
                before.steps + 1
            }
        };
        amount += value;
        last = value;
        let si = unit.to_si(if negative { -amount } else { amount });
        read = Some(Quantity { si, unit, steps, borrowed });
        if scan.at_end() {
            break;
        }
    }
    match read {
        Some(quantity) if wanted == Measure::Temperature && quantity.si < -1e-9 => {
            Err(piece.misread(format!("{} is colder than absolute zero", piece.text)))
        }
        Some(quantity) => Ok(quantity),
        None => Err(piece.misread(format!("\"{}\" holds no number", piece.text))),
    }
}

/// A dash between two numbers does not say what it means; when both sides read as a range, that is offered.
fn dashed(
    piece: Piece<'_>,
    before: Piece<'_>,
    after: Piece<'_>,
    wanted: Measure,
    lent: Option<&'static Unit>,
) -> Misread {
    let fix = format!("{} to {}", before.text, after.text);
    // Each end holds fewer dashes than the text it was cut from, so this comes to an end.
    if read_piece(Piece { text: &fix, at: 0 }, wanted, lent).is_ok() {
        let says = format!("a dash does not say whether \"{}\" is a range; write {fix}", piece.text);
        return piece.misread_with(says, fix);
    }
    piece.misread(format!("\"{}\" is not one quantity; write it like {}", piece.text, wanted.example()))
}
