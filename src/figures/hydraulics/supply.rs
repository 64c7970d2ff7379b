//! Water from a tap or a hydrant.

use super::pipe::{Hose, Line, line_flow};
use super::{Liquid, PSI};

/// Flow and flowing pressure a hose bibb must have at least: 5 gpm at 8 psi (IPC 2018, Table 604.3), in m3/s and Pa.
pub const CODE_HOSE_BIBB: (f64, f64) = (5.0 * super::GPM, 8.0 * PSI);

/// Lowest pressure a draw may leave in a public main, Pa gauge: 20 psi.
///
/// 10 NYCRR 5-1.27 and 35 Ill. Adm. Code 653.106(b) are two rules of that kind; the local water system's rule governs.
pub const LOWEST_MAIN_PRESSURE: f64 = 20.0 * PSI;

/// A tap or hydrant: pressure standing still and how it falls with flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tap {
    /// Pressure without flow, Pa.
    pub standing: f64,
    /// Fall of pressure over flow squared, Pa s2/m6; above 0. See [`service_coefficient`].
    pub service: f64,
}

/// Fall of pressure over flow squared from one test: `(standing - flowing) / q^2`, the square law of a service line.
///
/// Rises with the standing pressure, falls with the flowing one and the flow. `None` when the test shows no fall or no flow.
/// A bucket test of an open tap has 0 for the flowing pressure.
#[must_use]
pub fn service_coefficient(standing: f64, flowing: f64, flow: f64) -> Option<f64> {
    (flow > 0.0 && standing > flowing).then(|| (standing - flowing) / (flow * flow))
}

/// Flow in m3/s a tap gives through a hose with `kept` Pa left at its end; 0 when there is not even that much.
///
/// Rises with standing pressure and bore; falls with service coefficient, length, roughness, fittings and the pressure kept.
#[must_use]
pub fn tap_flow(tap: Tap, hose: &Hose, liquid: Liquid, kept: f64) -> f64 {
    let left = tap.standing - kept;
    if left <= 0.0 {
        return 0.0;
    }
    // The tap alone passes no more than this.
    let most = (left / tap.service).sqrt();
    let line = Line { hoses: std::slice::from_ref(hose), resistance: tap.service / liquid.gravity(), rise: 0.0 };
    line_flow(&line, liquid, left, most)
}

/// Pressure in Pa left at a tap or hydrant while it gives a flow: `standing - k q^2`. Rises with standing, falls with the rest.
#[must_use]
pub fn residual_pressure(tap: Tap, flow: f64) -> f64 {
    tap.standing - tap.service * flow * flow
}

/// Most flow in m3/s that leaves `residual` Pa at a tap or hydrant; 0 when it stands lower already.
///
/// Rises with standing, falls with the coefficient and the residual. The square law is on the safe side of the 0.54 power of
/// hydrant tests only within the tested flow.
#[must_use]
pub fn flow_at_residual(tap: Tap, residual: f64) -> f64 {
    ((tap.standing - residual).max(0.0) / tap.service).sqrt()
}

#[cfg(test)]
mod tests {
    use super::super::tests::{GPM, hose, near, reference, row_hose};
    use super::super::water::water;
    use super::*;

    #[test]
    fn tap_flow_agrees_with_fluids_and_scipy() {
        // tests/reference/hydraulics.py: Clamond friction (fluids 1.3.1), brentq (scipy 1.17.1).
        let rows = reference("tap");
        assert_eq!(rows.len(), 4);
        for row in rows {
            let tap = Tap { standing: row["standing"], service: row["service"] };
            near(tap_flow(tap, &row_hose(&row), water(row["temperature"]), 0.0), row["flow"], 2e-4);
        }
    }

    #[test]
    fn four_taps_hold_their_worked_flows() {
        // Checked with fluids 1.3.1 and scipy: standing psi, bore in, length ft, gpm; bib gives 12 gpm at 8 psi; 15 degC.
        for (psi, bore, feet, gpm) in [
            (50.0, 0.625, 100.0, 8.7561),
            (50.0, 0.75, 100.0, 10.7060),
            (60.0, 0.75, 100.0, 10.8974),
            (40.0, 0.5, 50.0, 7.0677),
        ] {
            let service = service_coefficient(psi * PSI, 8.0 * PSI, 12.0 * GPM).unwrap();
            let tap = Tap { standing: psi * PSI, service };
            near(tap_flow(tap, &hose(bore, feet, 1e-5, 3.0), water(15.0), 0.0) / GPM, gpm, 2e-4);
        }
    }

    #[test]
    fn a_tested_hydrant_gives_its_test_back() {
        let service = service_coefficient(60.0 * PSI, 40.0 * PSI, 500.0 * GPM).unwrap();
        let hydrant = Tap { standing: 60.0 * PSI, service };
        near(residual_pressure(hydrant, 500.0 * GPM), 40.0 * PSI, 1e-12);
        // Twice the fall, so sqrt 2 of the flow (by hand).
        near(flow_at_residual(hydrant, LOWEST_MAIN_PRESSURE), 500.0 * GPM * f64::sqrt(2.0), 1e-12);
        assert_eq!(flow_at_residual(hydrant, 70.0 * PSI), 0.0);
        assert_eq!(tap_flow(hydrant, &hose(0.75, 50.0, 1e-5, 3.0), water(15.0), 60.0 * PSI), 0.0);
    }

    #[test]
    fn a_tap_without_fall_or_flow_is_no_test() {
        assert_eq!(service_coefficient(50.0, 50.0, 1.0), None);
        assert_eq!(service_coefficient(50.0, 40.0, 0.0), None);
    }
}
