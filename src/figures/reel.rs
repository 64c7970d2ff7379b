//! Hose reels and hose ratings: what fits, what bends, what bursts.
//!
//! Units: m, m2, kg/m, Pa. A hose under pressure whips and injects: the makers' ratings of hose, reel, gun and couplings go
//! before every figure here.

use std::f64::consts::PI;

/// Share of the computed length that hand winding fits: low, high. Common practice, no source.
pub const LOOSE_WINDING: [f64; 2] = [0.8, 0.9];
/// Least burst pressure over working pressure of hydraulic hose and of washer hose (SAE J517; IEC 60335-2-79 from memory).
pub const BURST_RATIO: f64 = 4.0;
/// Pressure over which machines and hoses fall under EN 1829 instead of IEC 60335-2-79: 35 MPa.
pub const JETTING_PRESSURE: f64 = 35e6;

/// A reel and the hose to go on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reel {
    /// Diameter of the drum, m.
    pub drum: f64,
    /// Diameter of the flanges, m.
    pub flange: f64,
    /// Width between the flanges, m.
    pub width: f64,
    /// Outside diameter of the hose (not its bore), m; above 0.
    pub hose: f64,
    /// Flange kept free over the outermost layer, m; half the hose's diameter unless the maker says otherwise.
    pub clearance: f64,
}

/// How the layers lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Winding {
    /// Each turn on top of the one below.
    Square,
    /// Each turn in the groove between two below: tighter layers, every second one a turn short.
    Nested,
}

/// What a reel holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacity {
    /// Whole layers.
    pub layers: f64,
    /// Whole turns in a full layer.
    pub turns: f64,
    /// Length of hose, m.
    pub length: f64,
}

/// Whole units that fit; a fit to the last bits of a division counts.
fn whole(units: f64) -> f64 {
    (units + 1e-9).floor().max(0.0)
}

/// What a reel holds, wound tidily: `sum pi (D + d + 2 i p) turns`, p the pitch of layers. Take [`LOOSE_WINDING`] of it by hand.
///
/// Never falls with width or flange and never rises with clearance. Not monotone in hose or drum diameter, for whole layers and
/// turns drop out one at a time while the circles grow. Source: sum of circles.
#[must_use]
pub fn capacity(reel: &Reel, winding: Winding) -> Capacity {
    let Reel { drum, flange, width, hose, clearance } = *reel;
    let pitch = match winding {
        Winding::Square => hose,
        Winding::Nested => hose * 3.0_f64.sqrt() / 2.0,
    };
    let depth = (flange - drum) / 2.0 - clearance;
    // The first layer takes a whole hose, each further one a pitch.
    let layers = whole(1.0 + (depth - hose) / pitch);
    let turns = whole(width / hose);
    // Circles of all layers, and of the second, fourth ... which nesting leaves a turn short.
    let all = PI * layers * (drum + hose + (layers - 1.0) * pitch);
    let even = (layers / 2.0).floor();
    let short = PI * even * (drum + hose + 2.0 * even * pitch);
    let length = match winding {
        Winding::Square => all * turns,
        Winding::Nested => all * turns - if turns > 0.0 { short } else { 0.0 },
    };
    Capacity { layers, turns, length: length.max(0.0) }
}

/// Length in m by the volume form `pi (A + D) A W / d^2`, A the depth of winding; 5 to 21 % above whole turns and layers.
///
/// Rises with width and flange, falls with hose and clearance. 0 when there is no depth. Source: wire-rope drum handbooks, from
/// memory; in feet from inches its constant is pi/12.
#[must_use]
pub fn capacity_by_volume(reel: &Reel) -> f64 {
    let depth = ((reel.flange - reel.drum) / 2.0 - reel.clearance).max(0.0);
    PI * (depth + reel.drum) * depth * reel.width / (reel.hose * reel.hose)
}

/// Least drum diameter in m for a hose's minimum bend radius, which makers measure on the inside of the bend: twice. Rises.
#[must_use]
pub fn drum_for_bend(bend_radius: f64) -> f64 {
    2.0 * bend_radius
}

/// Mass in kg/m of the liquid in a hose. Rises with bore and density.
#[must_use]
pub fn liquid_per_length(bore: f64, density: f64) -> f64 {
    density * PI / 4.0 * bore * bore
}

/// Highest working pressure in Pa of a hose that bursts at `burst` Pa: a quarter of it at [`BURST_RATIO`].
///
/// Rises with burst, falls with the ratio. `None` when the ratio is not above zero.
#[must_use]
pub fn working_pressure(burst: f64, ratio: f64) -> Option<f64> {
    (ratio > 0.0).then(|| burst / ratio)
}

/// Burst pressure in Pa a hose needs for a working pressure. Rises with both.
#[must_use]
pub fn burst_needed(working: f64, ratio: f64) -> f64 {
    working * ratio
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const IN: f64 = 0.0254;
    const FT: f64 = 0.3048;

    fn reel(drum: f64, flange: f64, width: f64, hose: f64) -> Reel {
        Reel { drum: drum * IN, flange: flange * IN, width: width * IN, hose: hose * IN, clearance: hose / 2.0 * IN }
    }

    #[test]
    fn four_reels_hold_the_sum_of_their_circles() {
        // Inches: drum, flange, width, hose; layers, turns, feet. The first by hand: pi 10 (11 + 13 + 15) / 12 = 102.102.
        for (sizes, layers, turns, feet) in [
            ((10.0, 17.0, 10.0, 1.0), 3.0, 10.0, 102.102),
            ((10.0, 18.0, 14.0, 0.70), 5.0, 20.0, 353.429),
            ((12.0, 24.0, 14.0, 0.90), 6.0, 15.0, 409.978),
            ((6.0, 14.0, 10.0, 0.67), 5.0, 14.0, 171.348),
        ] {
            let (drum, flange, width, hose) = sizes;
            let found = capacity(&reel(drum, flange, width, hose), Winding::Square);
            assert_eq!((found.layers, found.turns), (layers, turns));
            assert!((found.length / FT - feet).abs() < 1e-3, "{found:?}");
        }
    }

    #[test]
    fn the_closed_sum_is_the_sum_layer_by_layer() {
        for winding in [Winding::Square, Winding::Nested] {
            for (drum, flange, width, hose) in
                [(10.0, 18.0, 14.0, 0.7), (12.0, 24.0, 14.0, 0.9), (6.0, 13.0, 9.7, 0.67)]
            {
                let r = reel(drum, flange, width, hose);
                let found = capacity(&r, winding);
                let pitch = if winding == Winding::Square { r.hose } else { r.hose * 0.75_f64.sqrt() };
                let mut length = 0.0;
                for layer in 0..found.layers as u32 {
                    let short = winding == Winding::Nested && layer % 2 == 1;
                    let turns = if short { found.turns - 1.0 } else { found.turns };
                    length += PI * (r.drum + r.hose + 2.0 * f64::from(layer) * pitch) * turns;
                }
                assert!((found.length / length - 1.0).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn the_volume_form_is_the_handbooks_and_reads_high() {
        // Handbook constant from inches to feet: 0.2618, pi/12. Depth of 1 in, drum 1 in, width 1 in, hose 1 in: 2 pi/12.
        let unit = Reel { drum: IN, flange: 3.0 * IN, width: IN, hose: IN, clearance: 0.0 };
        assert!((capacity_by_volume(&unit) / FT / 2.0 - 0.261_799).abs() < 1e-6);
        // Whole layers and turns, no clearance lost: the two forms are one.
        let full = Reel { drum: 10.0 * IN, flange: 16.0 * IN, width: 10.0 * IN, hose: IN, clearance: 0.0 };
        assert!((capacity_by_volume(&full) / capacity(&full, Winding::Square).length - 1.0).abs() < 1e-12);
        for r in [reel(10.0, 18.0, 14.0, 0.70), reel(12.0, 24.0, 14.0, 0.90), reel(6.0, 14.0, 10.0, 0.67)] {
            let high = capacity_by_volume(&r) / capacity(&r, Winding::Square).length;
            assert!((1.0..1.22).contains(&high), "{high}");
        }
    }

    #[test]
    fn water_in_hose_has_the_weight_of_its_cylinder() {
        // Geometry by hand at 998.204 kg/m3: bore in, lb/ft.
        for (bore, pounds) in [(0.375, 0.04780), (0.5, 0.08497), (0.625, 0.13277)] {
            let found = liquid_per_length(bore * IN, 998.204) / 0.453_592_37 * FT;
            assert!((found / pounds - 1.0).abs() < 1e-4, "{found}");
        }
    }

    #[test]
    fn a_hose_works_at_a_quarter_of_its_burst() {
        // SAE J517: minimum burst at least four times the maximum working pressure.
        assert_eq!(working_pressure(110e6, BURST_RATIO), Some(27.5e6));
        assert_eq!(burst_needed(27.5e6, BURST_RATIO), 110e6);
        assert_eq!(working_pressure(110e6, 0.0), None);
        assert_eq!(drum_for_bend(0.127), 0.254);
    }

    #[test]
    fn a_hose_thicker_than_the_reel_does_not_fit() {
        for winding in [Winding::Square, Winding::Nested] {
            assert_eq!(capacity(&reel(10.0, 11.0, 10.0, 1.0), winding).length, 0.0);
            assert_eq!(capacity(&reel(10.0, 18.0, 0.5, 0.7), winding).length, 0.0);
            assert_eq!(capacity(&reel(18.0, 10.0, 14.0, 0.7), winding).length, 0.0);
        }
    }

    proptest! {
        #[test]
        fn wider_reels_and_larger_flanges_never_hold_less(
            drum in 0.0..1.0_f64, flange in 0.0..2.0_f64, width in 0.0..2.0_f64, hose in 1e-3..0.2_f64,
            clearance in 0.0..0.1_f64, more in 0.0..0.3_f64,
        ) {
            let r = Reel { drum, flange, width, hose, clearance };
            for winding in [Winding::Square, Winding::Nested] {
                let held = |reel: Reel| capacity(&reel, winding).length;
                let length = held(r);
                let (wider, larger) = (Reel { width: width + more, ..r }, Reel { flange: flange + more, ..r });
                prop_assert!(length.is_finite() && length >= 0.0);
                // A nested layer of one turn a turn short adds nothing, so only rounding is left between the two.
                let least = length * (1.0 - 1e-12);
                prop_assert!(held(wider) >= least && held(larger) >= least);
                let clearer = Reel { clearance: clearance + more, ..r };
                prop_assert!(held(clearer) <= length * (1.0 + 1e-12));
            }
            prop_assert!(capacity(&r, Winding::Square).length <= capacity_by_volume(&r) * (1.0 + 1e-6));
        }
    }
}
