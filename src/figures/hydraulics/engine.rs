//! Power an engine has left at a height and temperature.

use super::atmosphere::height_of_pressure;

/// Share of its rated power an engine gives day in, day out: low, usual, high. Common practice, no source.
pub const CONTINUOUS_SHARE: [f64; 3] = [0.80, 0.85, 1.00];

/// Correction factor from standard to site: `1.180 (99 / p_dry[kPa]) sqrt((t + 273)/298) - 0.18`.
///
/// `dry_pressure` (Pa, above 0) is the air's pressure less its water vapour. Falls with dry pressure, rises with temperature
/// (degC). 1 at 99 kPa dry and 25 degC. The standard corrects test-cell readings and limits its use to small corrections, so
/// beyond about 600 m it is an estimate; some engines are rated by gross standards (SAE J1940, J1995), and the plate must say
/// which. Source: SAE J1349 (1990), metric form for spark ignition.
#[must_use]
pub fn correction(dry_pressure: f64, temperature: f64) -> f64 {
    1.180 * (99_000.0 / dry_pressure) * ((temperature + 273.0) / 298.0).sqrt() - 0.18
}

/// Power in W available on site of a rated power: rated over [`correction`], and never more than rated.
///
/// Rises with rated power and dry pressure, falls with temperature and so with height and dampness.
#[must_use]
pub fn available_power(rated: f64, dry_pressure: f64, temperature: f64) -> f64 {
    rated / correction(dry_pressure, temperature).max(1.0)
}

/// Greatest height in m at which an engine still gives `needed` W at a temperature, with `vapour` Pa of water in the air.
///
/// Rises with rated power, falls with the others. `None` when the needed power is above the rated one, or not above zero.
/// Below 0 when the engine is short at sea level already.
#[must_use]
pub fn highest_site(rated: f64, needed: f64, temperature: f64, vapour: f64) -> Option<f64> {
    if needed <= 0.0 || needed > rated {
        return None;
    }
    let dry = 1.180 * 99_000.0 * ((temperature + 273.0) / 298.0).sqrt() / (rated / needed + 0.18);
    height_of_pressure(dry + vapour)
}

#[cfg(test)]
mod tests {
    use super::super::atmosphere::air_pressure;
    use super::super::tests::{FT, INHG, near};
    use super::*;

    #[test]
    fn the_correction_holds_sae_j1349() {
        // SAE J1349 (1990) metric form worked by hand over the standard atmosphere: ft, degC, kPa, factor, 1/factor.
        for (feet, t, kilopascal, factor, available) in [
            (0.0, 25.0, 101.3250, 0.97292, 1.02783),
            (1000.0, 25.0, 97.7166, 1.01550, 0.98474),
            (2000.0, 35.0, 94.2129, 1.08059, 0.92542),
            (5000.0, 25.0, 84.3073, 1.20565, 0.82943),
            (5000.0, 35.0, 84.3073, 1.22870, 0.81387),
            (7000.0, 35.0, 78.1854, 1.33900, 0.74682),
            (10000.0, 15.0, 69.6816, 1.46811, 0.68115),
        ] {
            let air = air_pressure(feet * FT);
            near(air / 1e3, kilopascal, 2e-4);
            near(correction(air, t), factor, 1e-5);
            near(1.0 / correction(air, t), available, 1e-5);
        }
        assert_eq!(correction(99_000.0, 25.0), 1.0);
    }

    #[test]
    fn the_metric_form_agrees_with_the_inch_form() {
        // SAE J1349, inch form: 1.18 (29.235 / Pd[inHg]) sqrt((tF + 460)/537) - 0.18, whose 460 and 537 are rounded.
        let (mercury, fahrenheit) = (25.0, 86.0);
        let inch = 1.18 * (29.235 / mercury) * ((fahrenheit + 460.0) / 537.0_f64).sqrt() - 0.18;
        near(correction(mercury * INHG, (fahrenheit - 32.0) / 1.8), inch, 5e-4);
    }

    #[test]
    fn no_engine_gives_more_than_its_plate() {
        assert_eq!(available_power(10e3, air_pressure(0.0), 15.0), 10e3);
        near(available_power(10e3, air_pressure(5000.0 * FT), 35.0), 8138.7, 1e-4);
    }

    #[test]
    fn the_highest_site_leaves_just_the_power_needed() {
        let height = highest_site(13e3, 10e3, 30.0, 2e3).unwrap();
        near(available_power(13e3, air_pressure(height) - 2e3, 30.0), 10e3, 1e-9);
        assert_eq!(highest_site(13e3, 13.1e3, 30.0, 0.0), None);
        assert_eq!(highest_site(13e3, 0.0, 30.0, 0.0), None);
    }
}
