//! Units, reference rows and the tests that take more than one file of hydraulics.

mod fuzz;
mod laws;
mod worked_examples;

use super::pipe::{Hose, Line};
use std::collections::HashMap;

pub(super) const FT: f64 = 0.3048;
pub(super) const IN: f64 = 0.0254;
pub(super) const GALLON: f64 = 231.0 * IN * IN * IN;
pub(super) const GPM: f64 = GALLON / 60.0;
pub(super) const POUND: f64 = 0.453_592_37;
pub(super) const PSI: f64 = POUND * 9.806_65 / (IN * IN);
pub(super) const POUND_FORCE: f64 = POUND * 9.806_65;
/// Mechanical horsepower: 550 foot-pounds force a second.
pub(super) const HP: f64 = 550.0 * FT * POUND_FORCE;
/// Conventional inch of mercury, Pa (NIST SP 811).
pub(super) const INHG: f64 = 3386.389;

#[track_caller]
pub(super) fn near(found: f64, wanted: f64, relative: f64) {
    assert!((found - wanted).abs() <= relative * wanted.abs(), "found {found}, wanted {wanted} within {relative}");
}

/// A hose by its trade measures: bore in inches, length in feet, laid out.
pub(super) fn hose(bore: f64, feet: f64, roughness: f64, fittings: f64) -> Hose {
    Hose { bore: bore * IN, length: feet * FT, roughness, fittings, winding: 1.0 }
}

/// A level line of hoses alone.
pub(super) fn level(hoses: &[Hose]) -> Line<'_> {
    Line { hoses, resistance: 0.0, rise: 0.0 }
}

/// Rows of one table computed by tests/reference/hydraulics.py with public libraries.
pub(super) fn reference(table: &str) -> Vec<HashMap<&'static str, f64>> {
    include_str!("../../../../tests/reference/hydraulics.csv")
        .lines()
        .filter_map(|line| line.split_once(','))
        .filter(|(name, _)| *name == table)
        .map(|(_, numbers)| {
            numbers
                .split(';')
                .map(|pair| pair.split_once('=').expect("name=value"))
                .map(|(name, value)| (name, value.parse().expect("a number")))
                .collect()
        })
        .collect()
}

/// The hose a reference row describes.
pub(super) fn row_hose(row: &HashMap<&'static str, f64>) -> Hose {
    let or_zero = |name: &str| row.get(name).copied().unwrap_or(0.0);
    Hose {
        bore: row["bore"],
        length: row["length"],
        roughness: row["roughness"],
        fittings: or_zero("fittings"),
        winding: 1.0,
    }
}
