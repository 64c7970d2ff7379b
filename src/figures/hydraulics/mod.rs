//! Flow and pressure on a wash rig: water, hose, nozzle, pump, roof pump, suction, supply, tank, metering, injector, jet.
//!
//! Everything is steady flow of one Newtonian liquid in full lines. Pressures are gauge unless said otherwise. Openings
//! (nozzles, tips, valves) are described by one number, the capacity: the flow in m3/s of reference water that one pascal
//! drives through, so that `flow = capacity sqrt(pressure / SG)`; see [`nozzle`] and [`fittings`] for the conversions.
//!
//! Units: m, m3, m3/s, m/s, kg/m3, Pa, Pa s, N, W, s, degC.

pub mod accumulator;
pub mod atmosphere;
pub mod delivery;
pub mod engine;
pub mod fittings;
pub mod injector;
pub mod jet;
pub mod metering;
pub mod nozzle;
pub mod pipe;
pub mod pump;
pub mod suction;
pub mod supply;
pub mod tank;
pub mod water;

#[cfg(test)]
mod tests;

/// Standard acceleration of free fall, m/s2.
pub const GRAVITY: f64 = 9.806_65;

/// Density of the water that nozzle charts and flow coefficients are taken to hold for, kg/m3: water at 20 degC.
///
/// Charts do not print it, and a US flow coefficient is strictly measured at 60 degF (999.0 kg/m3); the difference moves a
/// flow by 0.04 %.
pub const REFERENCE_DENSITY: f64 = 998.204;

/// One US gallon a minute in m3/s and one pound a square inch in Pa, exactly: trade sizes, flow coefficients and
/// Hazen-Williams are defined in them.
const GPM: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254 / 60.0;
const PSI: f64 = 0.453_592_37 * GRAVITY / (0.0254 * 0.0254);

/// A liquid in the lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Liquid {
    /// Density, kg/m3; above 0.
    pub density: f64,
    /// Dynamic viscosity, Pa s; above 0.
    pub viscosity: f64,
}

impl Liquid {
    /// Specific gravity against the reference water of nozzle charts. Rises with density.
    #[must_use]
    pub fn gravity(&self) -> f64 {
        self.density / REFERENCE_DENSITY
    }
}

/// Where a function that rises from `low` to `high` passes zero: chords where they help, halvings where they do not.
///
/// Every second step at the latest halves the bracket, and there are at most 200, so it ends and it is as sure as halving.
/// Gives `low` when the function is above zero already there, and `high` when it stays below zero: callers put the physical
/// limits at the ends, so an end is an answer. Source of the chords: Illinois form of regula falsi, Dowell and Jarratt 1971.
fn rising_root(low: f64, high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let (mut at_low, mut at_high) = (rising(low), rising(high));
    if at_low >= 0.0 {
        return low;
    }
    if at_high <= 0.0 {
        return high;
    }
    let mut halve = false;
    let mut low_moved = None;
    for _ in 0..200 {
        let width = high - low;
        let middle = low + 0.5 * width;
        if middle <= low || middle >= high {
            break;
        }
        let chord = low - at_low * (width / (at_high - at_low));
        let trial = if !halve && chord > low && chord < high { chord } else { middle };
        let value = rising(trial);
        let below = value < 0.0;
        // An end that stays put twice counts half, or the chords would creep up to the root from one side for ever.
        let again = low_moved == Some(below);
        if below {
            (low, at_low) = (trial, value);
            at_high *= if again { 0.5 } else { 1.0 };
        } else {
            (high, at_high) = (trial, value);
            at_low *= if again { 0.5 } else { 1.0 };
        }
        low_moved = Some(below);
        halve = high - low > 0.5 * width;
    }
    low + 0.5 * (high - low)
}
