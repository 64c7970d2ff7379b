//! Loss coefficients of couplings and valves, and how they relate to a flow coefficient.

use super::pipe::velocity;
use super::{GPM, PSI, REFERENCE_DENSITY};
use std::f64::consts::PI;

/// Loss of a threaded 90 degree elbow of small bore, velocity heads: low and high.
///
/// fluids 1.3.1 at Re 2e4 to 5e4: 0.9 by Darby's 3-K, 1.5 by Hooper's 2-K for screwed elbows.
pub const ELBOW: [f64; 2] = [0.9, 1.5];
/// Open ball valve of full bore, velocity heads. fluids 1.3.1, method of Crane TP-410, 3/8 to 3/4 in.
pub const FULL_BORE_BALL_VALVE: f64 = 0.08;
/// Open ball valve one size under the line, velocity heads. fluids 1.3.1, method of Crane TP-410.
pub const REDUCED_BALL_VALVE: f64 = 2.0;
/// Leaving a pipe into a tank, velocity heads: exact for turbulent flow.
pub const EXIT: f64 = 1.0;
/// Entering a pipe from a tank at a sharp edge, velocity heads: low and high. fluids 1.3.1, Rennels 0.57; 0.5 in handbooks.
pub const SHARP_ENTRANCE: [f64; 2] = [0.5, 0.57];
/// Reel swivel with its inlet elbow, velocity heads: low and high. Common practice, no source.
pub const REEL_SWIVEL: [f64; 2] = [2.0, 4.0];
/// Gun valve with lance, velocity heads: low and high; use a stated flow coefficient instead. Common practice, no source.
pub const GUN_AND_LANCE: [f64; 2] = [3.0, 8.0];
/// All fittings of a usual high-pressure line, velocity heads of the hose: low, usual, high. Common practice, no source.
pub const HIGH_PRESSURE_LINE: [f64; 3] = [8.0, 15.0, 25.0];

/// A check valve by how it closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Check {
    /// A flap on a hinge.
    Swing,
    /// A disc on a spring, in line; it also takes its cracking pressure, usually 3.4 to 14 kPa (common practice).
    Spring,
}

/// Loss of an open check valve in velocity heads, at the three bores Crane's method was run for.
///
/// 1/2, 3/4 and 1 in: swing 2.7, 2.4, 2.25; spring 16, 14.6, 13.5 (fluids 1.3.1, method of Crane TP-410). Between the bores
/// straight lines, outside them the nearest. Falls with bore.
#[must_use]
pub fn check_valve(check: Check, bore: f64) -> f64 {
    let [small, middle, large] = match check {
        Check::Swing => [2.7, 2.4, 2.25],
        Check::Spring => [16.0, 14.6, 13.5],
    };
    let quarters = (bore / 0.0254 - 0.5) / 0.25;
    if quarters <= 1.0 {
        small + (middle - small) * quarters.max(0.0)
    } else {
        middle + (large - middle) * (quarters - 1.0).min(1.0)
    }
}

/// Loss of a straight coupling with a bore narrower than its hose, in velocity heads of the hose; 0 when it is not narrower.
///
/// A sharp contraction (Rennels 2012, as in fluids 1.3.1) and a sudden expansion (Borda-Carnot), both on the narrow bore.
/// Falls with the coupling's bore, rises with the hose's.
#[must_use]
pub fn narrow_coupling(coupling: f64, hose: f64) -> f64 {
    if coupling >= hose {
        return 0.0;
    }
    let beta = coupling / hose;
    let jet = 1.0 + 0.622 * (1.0 - 0.215 * beta.powi(2) - 0.785 * beta.powi(5));
    let contraction = 0.0696 * (1.0 - beta.powi(5)) * jet * jet + (jet - 1.0) * (jet - 1.0);
    let expansion = (1.0 - beta * beta) * (1.0 - beta * beta);
    (contraction + expansion) / beta.powi(4)
}

/// Capacity, m3/s of reference water at 1 Pa, of a valve with a US flow coefficient (gpm at 1 psi). Rises with it.
#[must_use]
pub fn capacity_of_cv(cv: f64) -> f64 {
    cv * GPM / PSI.sqrt()
}

/// Capacity of a part that loses `k` velocity heads in a bore. Falls with k, rises with bore. `None` when it loses nothing.
#[must_use]
pub fn capacity_of_k(k: f64, bore: f64) -> Option<f64> {
    (k > 0.0).then(|| PI / 4.0 * bore * bore * (2.0 / (k * REFERENCE_DENSITY)).sqrt())
}

/// Velocity heads, in a bore, that a part of this capacity loses. Falls with capacity, rises with bore.
///
/// `None` when the capacity is not above zero.
#[must_use]
pub fn k_of_capacity(capacity: f64, bore: f64) -> Option<f64> {
    // One m3/s of flow needs 1/capacity^2 pascals; divide by the velocity head of that flow.
    let speed = velocity(1.0, bore);
    (capacity > 0.0).then(|| 2.0 / (REFERENCE_DENSITY * (capacity * speed) * (capacity * speed)))
}

/// Sum of `1/capacity^2` of parts in a row, for the resistance of a line. Falls with every capacity.
///
/// `None` when one of them is not above zero: nothing flows through a shut part.
#[must_use]
pub fn resistance_in_row(capacities: &[f64]) -> Option<f64> {
    capacities.iter().try_fold(0.0, |sum, capacity| (*capacity > 0.0).then(|| sum + 1.0 / (capacity * capacity)))
}

#[cfg(test)]
mod tests {
    use super::super::tests::{IN, near, reference};
    use super::*;

    #[test]
    fn narrow_couplings_agree_with_fluids() {
        // fluids 1.3.1: contraction_sharp (Rennels) and diffuser_sharp, brought to the hose's velocity.
        let rows = reference("coupling");
        assert_eq!(rows.len(), 4);
        for row in rows {
            near(row["borda"], row["expansion"], 1e-9);
            near(narrow_coupling(row["coupling"], row["hose"]), row["contraction"] + row["expansion"], 1e-6);
        }
        assert_eq!(narrow_coupling(0.5, 0.375), 0.0);
    }

    #[test]
    fn flow_coefficients_agree_with_fluids() {
        // fluids 1.3.1, Cv_to_K, whose 890 d^4 / Cv^2 rounds the constant.
        let rows = reference("flow_coefficient");
        assert_eq!(rows.len(), 4);
        for row in rows {
            let capacity = capacity_of_cv(row["cv"]);
            near(k_of_capacity(capacity, row["bore"]).unwrap(), row["k"], 2e-3);
            near(capacity_of_k(k_of_capacity(capacity, row["bore"]).unwrap(), row["bore"]).unwrap(), capacity, 1e-12);
        }
        assert_eq!((capacity_of_k(0.0, 0.01), k_of_capacity(0.0, 0.01)), (None, None));
    }

    #[test]
    fn check_valves_agree_with_cranes_method() {
        // fluids 1.3.1, Crane TP-410 method; the table keeps two or three figures.
        let rows = reference("check_valve");
        assert_eq!(rows.len(), 3);
        for row in rows {
            near(check_valve(Check::Swing, row["bore"]), row["swing"], 0.02);
            near(check_valve(Check::Spring, row["bore"]), row["spring"], 0.02);
        }
        assert_eq!(check_valve(Check::Swing, 0.25 * IN), 2.7);
        assert_eq!(check_valve(Check::Spring, 2.0 * IN), 13.5);
        near(check_valve(Check::Spring, 0.625 * IN), 15.3, 1e-9);
    }

    #[test]
    fn usual_coefficients_agree_with_fluids() {
        // fluids 1.3.1: Darby 3-K and Hooper 2-K for threaded elbows, Crane for ball valves, Rennels for the entrance.
        for row in reference("elbow") {
            near(ELBOW[0], row["three_k"], 0.04);
            near(ELBOW[1], row["two_k"], 0.02);
        }
        for row in reference("ball_valve") {
            assert!((FULL_BORE_BALL_VALVE - row["full"]).abs() < 0.01);
        }
        near(REDUCED_BALL_VALVE, reference("reduced_ball_valve")[0]["k"], 0.01);
        assert_eq!((SHARP_ENTRANCE[1], EXIT), (reference("entrance")[0]["k"], reference("entrance")[0]["exit"]));
    }

    #[test]
    fn parts_in_a_row_add_their_resistances() {
        // Two equal valves pass 1/sqrt 2 of one, by hand.
        let one = capacity_of_cv(2.0);
        near(resistance_in_row(&[one, one]).unwrap(), 2.0 / (one * one), 1e-12);
        assert_eq!(resistance_in_row(&[]), Some(0.0));
        assert_eq!(resistance_in_row(&[one, 0.0]), None);
    }
}
