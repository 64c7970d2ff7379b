//! Air pressure over a job site.

/// Pressure of the standard atmosphere at sea level, Pa.
pub const STANDARD_PRESSURE: f64 = 101_325.0;

const LAPSE: f64 = 2.255_77e-5;
const EXPONENT: f64 = 5.255_88;

/// Pressure of still air in Pa at a height in m above the sea: `101325 (1 - 2.25577e-5 z)^5.25588`.
///
/// Falls with height. Valid from -500 m to 11 000 m; weather moves the true pressure by about 3 % either way.
/// Source: ISO 2533 (International Standard Atmosphere), tropospheric form.
#[must_use]
pub fn air_pressure(height: f64) -> f64 {
    STANDARD_PRESSURE * (1.0 - LAPSE * height).max(0.0).powf(EXPONENT)
}

/// Height in m at which still air has `pressure` Pa: the inverse of [`air_pressure`]. Falls with pressure.
///
/// `None` when the pressure is not above zero.
#[must_use]
pub fn height_of_pressure(pressure: f64) -> Option<f64> {
    (pressure > 0.0).then(|| (1.0 - (pressure / STANDARD_PRESSURE).powf(1.0 / EXPONENT)) / LAPSE)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{FT, near, reference};
    use super::*;

    #[test]
    fn air_pressure_is_that_of_the_standard_atmosphere() {
        // fluids 1.3.1, ATMOSPHERE_1976 (tests/reference/hydraulics.py).
        let rows = reference("atmosphere");
        assert_eq!(rows.len(), 7);
        for row in rows {
            near(air_pressure(row["height"]), row["pressure"], 2e-4);
        }
    }

    #[test]
    fn the_height_of_a_pressure_undoes_the_pressure_of_a_height() {
        for feet in [-500.0, 0.0, 5000.0, 14_000.0] {
            let height = feet * FT;
            assert!((height_of_pressure(air_pressure(height)).unwrap() - height).abs() < 1e-6);
        }
        assert_eq!(height_of_pressure(0.0), None);
        // Far above the formula's range there is no air rather than no number.
        assert_eq!(air_pressure(60_000.0), 0.0);
    }
}
