//! Properties of fresh water at about atmospheric pressure, and how much bleach thickens it.
//!
//! All hold from 0 to 60 degC. Hose pressure is left out on purpose: 4000 psi at 20 degC raises density by 1.2 % and lowers
//! viscosity by 0.7 % (CoolProp 8.0.0), which is inside the tolerance of a hose bore.

use super::Liquid;

/// Temperature of supply water when it is not stated, degC: low, usual, high. Common practice, no source.
pub const SUPPLY_TEMPERATURE: [f64; 3] = [5.0, 20.0, 30.0];

/// Water at a temperature in degC.
#[must_use]
pub fn water(temperature: f64) -> Liquid {
    Liquid { density: density(temperature), viscosity: viscosity(temperature) }
}

/// Density in kg/m3 of water at `t` degC.
///
/// Falls with temperature above 4 degC and rises below it: not monotone, but within 0.016 % from 0 to 8 degC.
/// Source: Kell, J. Chem. Eng. Data 20:97 (1975); within 0.0004 % of IAPWS-95 from 0.01 to 60 degC.
#[must_use]
pub fn density(t: f64) -> f64 {
    let series = 999.839_52
        + t * (16.945_176 + t * (-7.987_040_1e-3 + t * (-46.170_461e-6 + t * (105.563_02e-9 + t * -280.542_53e-12))));
    series / (1.0 + 16.879_85e-3 * t)
}

/// Dynamic viscosity in Pa s of water at `t` degC. Falls with temperature.
///
/// Source: IAPWS SR6-08(2011), equation for 0.1 MPa; within 0.003 % of the IAPWS 2008 viscosity from 0.01 to 60 degC.
#[must_use]
pub fn viscosity(t: f64) -> f64 {
    let reduced = (t + 273.15) / 300.0;
    1e-6 * (280.68 * reduced.powf(-1.9)
        + 511.45 * reduced.powf(-7.7)
        + 61.131 * reduced.powf(-19.6)
        + 0.459_03 * reduced.powf(-40.0))
}

/// Vapour pressure (absolute) in Pa of water at `t` degC. Rises with temperature.
///
/// Source: Buck 1996 over water; within 0.05 % of IAPWS-95 from 0.01 to 60 degC.
#[must_use]
pub fn vapour_pressure(t: f64) -> f64 {
    611.21 * ((18.678 - t / 234.5) * t / (257.14 + t)).exp()
}

/// Specific heat in J/(kg K) of water at `t` degC.
///
/// Not monotone: falls from 4219 at 0 to 4179 near 36 degC and then rises. The constant 4182 is within 0.9 %.
/// Source: quartic fitted to IAPWS-95 (CoolProp 8.0.0), within 0.01 % from 0 to 60 degC.
#[must_use]
pub fn specific_heat(t: f64) -> f64 {
    4_219.030_67 + t * (-3.221_435_69 + t * (9.681_011_10e-2 + t * (-1.322_902_13e-3 + t * 7.460_767_36e-6)))
}

/// Kinematic viscosity in m2/s, low and high, of hypochlorite solution with `chlorine` kg/m3 available chlorine.
///
/// `nu_water(t) e^(b c)` with c in kg/L and b from 2.83 to 5.87. Both ends rise with chlorine and fall with temperature.
/// Multiply by the solution's own density for the dynamic viscosity. The high end goes through the one published figure
/// found, 2.15 mm2/s at 23 degC for 12.5 % NaOCl by weight (a product's safety sheet); the low end is sodium chloride
/// brine of equal total salt by the Laliberte-Cooper model (thermo 0.6.1). The truth should lie between; in turbulent hose
/// flow the band moves loss by 1.4 to 2.6 % for a mix of 37.5 kg/m3 and 6 to 10 % for stock of 125 kg/m3. Valid to 150 kg/m3.
#[must_use]
pub fn bleach_viscosity(chlorine: f64, t: f64) -> (f64, f64) {
    let water = viscosity(t) / density(t);
    let strength = chlorine / 1000.0;
    (water * (2.83 * strength).exp(), water * (5.87 * strength).exp())
}

#[cfg(test)]
mod tests {
    use super::super::tests::{near, reference};
    use super::*;

    #[test]
    fn water_agrees_with_iapws() {
        // IAPWS-95, IAPWS 2008 viscosity and IAPWS-95 saturation through CoolProp 8.0.0, itself compared with iapws 1.5.5
        // (tests/reference/hydraulics.py).
        let rows = reference("water");
        assert_eq!(rows.len(), 13);
        for row in rows {
            let t = row["temperature"];
            near(density(t), row["density"], 1e-5);
            near(viscosity(t), row["viscosity"], 5e-5);
            near(vapour_pressure(t), row["vapour_pressure"], 5e-4);
            near(specific_heat(t), row["specific_heat"], 1e-4);
        }
    }

    #[test]
    fn water_agrees_with_printed_steam_table_values() {
        // IAPWS-95, printed to six figures: t degC, density, viscosity mPa s, vapour pressure, specific heat.
        for (t, rho, mu, pv, cp) in [
            (0.01, 999.844, 1.79113, 611.655, 4219.41),
            (10.0, 999.702, 1.30590, 1228.2, 4195.16),
            (20.0, 998.207, 1.00160, 2339.32, 4184.05),
            (30.0, 995.649, 0.79722, 4246.97, 4179.82),
            (40.0, 992.216, 0.65273, 7384.94, 4179.41),
            (50.0, 988.035, 0.54652, 12351.9, 4181.34),
            (60.0, 983.196, 0.46604, 19946.4, 4184.95),
        ] {
            near(density(t), rho, 1e-5);
            near(viscosity(t), mu * 1e-3, 5e-5);
            near(vapour_pressure(t), pv, 5e-4);
            near(specific_heat(t), cp, 1e-4);
        }
    }

    #[test]
    fn bleach_is_between_brine_and_the_published_point() {
        // Held values of the two exponentials at 20 degC, by hand: chlorine kg/m3, low and high mm2/s (four decimals).
        for (chlorine, low, high) in [
            (12.5, 1.0395, 1.0798),
            (25.0, 1.0769, 1.1620),
            (37.5, 1.1157, 1.2504),
            (62.5, 1.1975, 1.4481),
            (125.0, 1.4292, 2.0899),
        ] {
            let found = bleach_viscosity(chlorine, 20.0);
            assert!((found.0 * 1e6 - low).abs() < 6e-5 && (found.1 * 1e6 - high).abs() < 6e-5, "{found:?}");
        }
        // The published point: 12.5 % by weight is 142 kg/m3 of available chlorine at SG 1.196.
        near(bleach_viscosity(142.0, 23.0).1, 2.15e-6, 1e-3);
        // thermo 0.6.1, Laliberte NaCl of equal total salt: 1.40 mm2/s, two decimals.
        assert!((bleach_viscosity(142.0, 23.0).0 - 1.40e-6).abs() < 0.005e-6);
    }
}
