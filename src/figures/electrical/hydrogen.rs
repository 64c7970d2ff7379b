//! Hydrogen from lead batteries on charge, and the air that keeps it thin.
//!
//! Lithium batteries have no such term. Hydrogen burns from 4 % in air; every spark, contactor and hot engine is a
//! source. The battery maker's manual and the local code come first.

/// Air for each ampere-second of gassing current in one cell, m3/(A s), by EN 50272-3:2002: 0.05 m3/Ah.
///
/// It is 24 (dilution to 4 %) times 0.42e-3 m3/Ah (hydrogen at 0 degC) times 5 (safety).
pub const AIR_PER_CHARGE_AT_0C: f64 = 0.05 / 3600.0;

/// The same by EN IEC 62485-3, which refers to 25 degC: 0.055 m3/Ah, as printed in ZVEI information leaflet 14, May
/// 2020.
pub const AIR_PER_CHARGE_AT_25C: f64 = 0.055 / 3600.0;

/// Gassing current for each ampere-second of rated charge, 1/s: 2 A in 100 Ah. Vented cells, charger limited to 2.4 V a
/// cell. EN 50272-3 / EN IEC 62485-3 Table 1.
pub const GASSING_VENTED: f64 = 2.0 / (100.0 * 3600.0);
/// As [`GASSING_VENTED`], valve-regulated cells: 1 A in 100 Ah.
pub const GASSING_SEALED: f64 = 1.0 / (100.0 * 3600.0);
/// As [`GASSING_VENTED`], a charger that ends at constant current without a voltage limit: up to 6 A in 100 Ah.
pub const GASSING_VENTED_UNLIMITED: f64 = 6.0 / (100.0 * 3600.0);
/// As [`GASSING_SEALED`], a charger that ends at constant current without a voltage limit: up to 1.5 A in 100 Ah.
pub const GASSING_SEALED_UNLIMITED: f64 = 1.5 / (100.0 * 3600.0);
/// Gassing current of vented cells on boost by the stationary rule, 20 mA/Ah; EN IEC 62485-2. Equal to
/// [`GASSING_VENTED`].
pub const GASSING_VENTED_STATIONARY: f64 = 20e-3 / 3600.0;
/// Gassing current of valve-regulated cells on boost by the stationary rule, 8 mA/Ah; EN IEC 62485-2.
pub const GASSING_SEALED_STATIONARY: f64 = 8e-3 / 3600.0;

/// A lead battery on charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gassing {
    /// Cells in series and parallel together: 6 for one 12 V battery, 12 for two.
    pub cells: f64,
    /// Rated charge of one string, A s.
    pub capacity: f64,
    /// Gassing current over rated charge, 1/s; one of the constants of this module.
    pub gassing: f64,
}

/// Air in m3/s that a battery compartment needs: Q = k n I with I the gassing current.
///
/// `air_per_charge` is [`AIR_PER_CHARGE_AT_25C`] or, to follow the older edition, [`AIR_PER_CHARGE_AT_0C`]. Rises with
/// every input. The rule thins the air of the compartment, not the gas right above the cells.
pub fn ventilation(battery: &Gassing, air_per_charge: f64) -> f64 {
    air_per_charge * battery.cells * battery.gassing * battery.capacity
}

/// Free area in m2 of each of two openings, one low and one high, that pass `air` m3/s by themselves: 28 cm2 for each
/// m3/h.
///
/// Rises with air. Assumes air moving at 0.1 m/s. Source: EN 50272-3 / EN IEC 62485-3.
pub fn vent_area(air: f64) -> f64 {
    28e-4 * 3600.0 * air
}

/// Volume of hydrogen in m3 from `charge` A s through one cell at `temperature` K and one atmosphere.
///
/// Rises with both. Source: Faraday's law, two electrons a molecule; CODATA 2018 constants.
pub fn hydrogen_evolved(charge: f64, temperature: f64) -> f64 {
    const FARADAY: f64 = 96_485.332_12;
    const GAS: f64 = 8.314_462_618;
    const ATMOSPHERE: f64 = 101_325.0;
    charge / (2.0 * FARADAY) * GAS * temperature / ATMOSPHERE
}

/// Seconds until hydrogen reaches `fraction` of a sealed box of `volume` m3; `None` if the battery does not gas.
///
/// Uses 0.42e-3 m3/Ah as the standard does. Rises with volume and fraction, falls with cells, capacity and gassing.
pub fn time_to_fraction(battery: &Gassing, volume: f64, fraction: f64) -> Option<f64> {
    let rate = 0.42e-3 / 3600.0 * battery.cells * battery.gassing * battery.capacity;
    (rate > 0.0).then(|| volume * fraction / rate)
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUR: f64 = 3600.0;

    fn near(got: f64, want: f64, relative: f64) {
        assert!((got - want).abs() <= relative * want.abs(), "got {got}, want {want} within {relative}");
    }

    /// One 12 V 100 Ah battery.
    fn battery(gassing: f64) -> Gassing {
        Gassing { cells: 6.0, capacity: 100.0 * HOUR, gassing }
    }

    #[test]
    fn a_flooded_battery_needs_0_6_cubic_metres_an_hour_by_both_standards() {
        // By hand: 0.05 * 6 * 2 * 100 / 100 and 0.05 * 6 * 20 * 100 / 1000.
        for gassing in [GASSING_VENTED, GASSING_VENTED_STATIONARY] {
            near(ventilation(&battery(gassing), AIR_PER_CHARGE_AT_0C) * HOUR, 0.6, 1e-12);
        }
        near(ventilation(&battery(GASSING_SEALED), AIR_PER_CHARGE_AT_0C) * HOUR, 0.3, 1e-12);
        near(ventilation(&battery(GASSING_SEALED_STATIONARY), AIR_PER_CHARGE_AT_0C) * HOUR, 0.24, 1e-12);
        near(ventilation(&battery(GASSING_VENTED_UNLIMITED), AIR_PER_CHARGE_AT_0C) * HOUR, 1.8, 1e-12);
        near(ventilation(&battery(GASSING_SEALED_UNLIMITED), AIR_PER_CHARGE_AT_0C) * HOUR, 0.45, 1e-12);
    }

    #[test]
    fn the_edition_at_25_degrees_asks_for_a_tenth_more() {
        near(ventilation(&battery(GASSING_VENTED), AIR_PER_CHARGE_AT_25C) * HOUR, 0.66, 1e-12);
    }

    #[test]
    fn both_constants_follow_from_faraday_dilution_and_safety() {
        // 24 = 96/4, 5 = safety: EN 50272-3. The standard rounds to two digits.
        let constant = |kelvin: f64| 24.0 * 5.0 * hydrogen_evolved(1.0, kelvin);
        near(AIR_PER_CHARGE_AT_0C, constant(273.15), 0.01);
        near(AIR_PER_CHARGE_AT_25C, constant(298.15), 0.01);
    }

    #[test]
    fn faraday_gives_0_418_litres_an_ampere_hour_at_freezing() {
        near(hydrogen_evolved(HOUR, 273.15) * 1e3, 0.418, 1e-3);
        near(hydrogen_evolved(HOUR, 298.15) * 1e3, 0.456, 1.5e-3);
    }

    #[test]
    fn each_vent_of_a_flooded_battery_is_17_square_centimetres() {
        let air = ventilation(&battery(GASSING_VENTED), AIR_PER_CHARGE_AT_0C);
        near(vent_area(air) * 1e4, 16.8, 1e-12);
        // 0.1 m/s through that area passes the air, as the standard says.
        near(vent_area(air) * 0.1, air, 0.01);
    }

    #[test]
    fn a_sealed_box_of_a_tenth_cubic_metre_is_explosive_within_an_hour() {
        let hours = |fraction| time_to_fraction(&battery(GASSING_VENTED), 0.1, fraction).unwrap() / HOUR;
        near(hours(0.01), 0.198_413, 1e-5);
        near(hours(0.04) * 60.0, 48.0, 0.01);
        assert_eq!(time_to_fraction(&battery(0.0), 0.1, 0.01), None);
    }
}
