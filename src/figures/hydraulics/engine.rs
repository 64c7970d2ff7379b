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
