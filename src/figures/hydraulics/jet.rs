//! How high and how far a solid jet throws.
//!
//! Reach is set by where the jet breaks up, which no formula knows without tests of the nozzle; formulas made for fire
//! streams are stretched here to smaller bores. Report a solid tip's height as an interval from [`SURE_SHARE`] of the figure to
//! the figure, and none for fan tips.

use super::GRAVITY;

/// Share of the computed height that a solid tip may be expected to reach at least. Common practice, no source.
pub const SURE_SHARE: f64 = 0.8;

/// Height in m of a jet without air: `p / (rho g)`, an upper bound; at 45 degrees it reaches twice as far.
///
/// Rises with pressure, falls with density.
#[must_use]
pub fn height_without_air(pressure: f64, density: f64) -> f64 {
    pressure.max(0.0) / (density * GRAVITY)
}

/// Lueger's drag coefficient in 1/m of a solid stream from a bore in m: `0.25 / (d + (0.1 d)^3)`, d in mm. Falls with bore.
fn lueger(bore: f64) -> f64 {
    let d = bore * 1000.0;
    0.25 / (d + (0.1 * d).powi(3))
}

/// Height in m of a solid vertical stream: `H / (1 + phi H)`, with H from [`height_without_air`].
///
/// Rises with pressure and bore (above 0), falls with density; never above 1/phi. Source: Lueger's formula of German and
/// Russian fire hydraulics, from memory; made for streams of 10 to 50 mm.
#[must_use]
pub fn height(pressure: f64, density: f64, bore: f64) -> f64 {
    let free = height_without_air(pressure, density);
    free / (1.0 + lueger(bore) * free)
}

/// Height in m of the same stream by Freeman: `H - 0.000113 H^2 / d`. A cross-check, 5 to 16 % above [`height`].
///
/// Rises with pressure and bore, falls with density. `None` where the drag term passes 0.35 and the formula turns over: for a
/// 5 mm tip above 20 psi. Source: Freeman 1889, from memory.
#[must_use]
pub fn height_by_freeman(pressure: f64, density: f64, bore: f64) -> Option<f64> {
    let free = height_without_air(pressure, density);
    let drag = 0.000_113 * free / bore;
    (drag <= 0.35).then_some(free * (1.0 - drag))
}

/// Horizontal reach in m of a fire stream: `NP/2 + 26 ft`, and 5 ft more for each 1/8 in of bore over 3/4 in, NP in psi.
///
/// Rises with pressure and bore. `None` under 3/4 in or at 30 psi and less, where the rule does not hold: never for a soft-wash
/// tip. Source: Fire Engineering, August 1960, citing Fire Service Hydraulics page 171.
#[must_use]
pub fn fire_stream_reach(pressure: f64, bore: f64) -> Option<f64> {
    let (psi, inches) = (pressure / super::PSI, bore / 0.0254);
    // A bore of 3/4 in given in metres may come back a bit short of it.
    (psi > 30.0 && inches > 0.75 - 1e-9).then(|| (psi / 2.0 + 26.0 + 5.0 * (inches - 0.75) / 0.125) * 0.3048)
}

/// Vertical height in m that a jet must be able to throw to meet a point `rise` above and `stand_off` away from the tip.
///
/// `(y + sqrt(x^2 + y^2)) / 2`, from the envelope `y = S - x^2 / (4 S)`. Rises with both. Neglects the longer way through air
/// of a slanted jet beyond what S already took off. Source: parabola of safety.
#[must_use]
pub fn height_needed(stand_off: f64, rise: f64) -> f64 {
    0.5 * (rise + stand_off.hypot(rise))
}

/// Steepness (rad above level) at which to aim for that point: `atan(2 S / x)`. Rises with height, falls with stand-off.
#[must_use]
pub fn aim(height_needed: f64, stand_off: f64) -> f64 {
    (2.0 * height_needed).atan2(stand_off)
}

/// Pressure in Pa at a solid tip whose [`height`] is `wanted` m. Rises with height and density, falls with bore.
///
/// `None` when no pressure throws this bore that high.
#[must_use]
pub fn tip_pressure_for(wanted: f64, density: f64, bore: f64) -> Option<f64> {
    let left = 1.0 - lueger(bore) * wanted;
    (left > 0.0).then(|| density * GRAVITY * wanted / left)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{FT, IN, PSI, near};
    use super::super::water::density;
    use super::*;

    #[test]
    fn heights_hold_lueger_worked_by_hand() {
        // From memory (Lueger); worked by hand: bore mm, psi, height without air ft, drag 1/m, height ft.
        for (bore, psi, free, drag, solid) in [
            (4.0, 30.0, 69.324, 0.061516, 30.143),
            (5.0, 30.0, 69.324, 0.048780, 34.138),
            (6.0, 40.0, 92.432, 0.040219, 43.332),
            (8.0, 40.0, 92.432, 0.029370, 50.580),
            (19.05, 50.0, 115.540, 0.009629, 86.282),
        ] {
            let (p, rho, d) = (psi * PSI, density(20.0), bore * 1e-3);
            near(height_without_air(p, rho) / FT, free, 1e-4);
            near(lueger(d), drag, 1e-4);
            near(height(p, rho, d) / FT, solid, 1e-4);
            near(tip_pressure_for(height(p, rho, d), rho, d).unwrap(), p, 1e-9);
        }
    }

    #[test]
    fn two_independent_stream_formulas_agree_within_a_sixth() {
        // Freeman against Lueger, both from memory, where Freeman holds: 6 mm 20 psi 34.0 ft, 8 mm 30 psi 48.6, 19 mm 50 psi 91.4.
        for (bore, psi, freeman) in [(6.0, 20.0, 34.0), (8.0, 30.0, 48.6), (19.05, 50.0, 91.4)] {
            let (p, rho, d) = (psi * PSI, density(20.0), bore * 1e-3);
            let found = height_by_freeman(p, rho, d).unwrap();
            near(found / FT, freeman, 2e-3);
            let ratio = found / height(p, rho, d);
            assert!((1.05..1.16).contains(&ratio), "{ratio}");
        }
        assert_eq!(height_by_freeman(25.0 * PSI, density(20.0), 5e-3), None);
    }

    #[test]
    fn the_fire_service_rule_reproduces_its_published_example() {
        // Fire Engineering, August 1960: 1 in at 50 psi reaches 61 ft; 3/4 in by the same rule 51 ft.
        near(fire_stream_reach(50.0 * PSI, IN).unwrap() / FT, 61.0, 1e-12);
        near(fire_stream_reach(50.0 * PSI, 0.75 * IN).unwrap() / FT, 51.0, 1e-12);
        assert_eq!(fire_stream_reach(50.0 * PSI, 0.25 * IN), None);
        assert_eq!(fire_stream_reach(30.0 * PSI, IN), None);
        assert!(fire_stream_reach(30.1 * PSI, IN).is_some());
    }

    #[test]
    fn the_needed_height_touches_the_parabola_of_safety() {
        // By hand in feet: stand-off, rise, needed.
        for (x, y, needed) in [(15.0, 25.0, 27.0774), (25.0, 25.0, 30.1777), (10.0, 20.0, 21.1803)] {
            let found = height_needed(x, y);
            near(found, needed, 2e-6);
            near(found - x * x / (4.0 * found), y, 1e-12);
            // A drag-free ball thrown at the aim with v^2 = 2 g S passes through the point (ballistics).
            let angle = aim(found, x);
            near(x * angle.tan() - x * x / (4.0 * found * angle.cos().powi(2)), y, 1e-12);
        }
    }

    #[test]
    fn no_pressure_throws_a_thin_jet_past_its_limit() {
        assert_eq!(tip_pressure_for(17.0, 998.2, 4e-3), None);
        assert!(tip_pressure_for(16.0, 998.2, 4e-3).is_some());
    }
}
