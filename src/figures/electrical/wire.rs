//! Wire: gauge, resistance, voltage drop, and the size a run needs.
//!
//! A gauge is a number as in AWG: 18 ... 1, then 0 for 1/0, -1 for 2/0, -2 for 3/0 and -3 for 4/0. Automotive cable
//! sold by SAE gauge is about a tenth smaller than AWG of the same number (from memory): multiply its area by 0.9 to
//! 1.0 when the system is not stated.

use std::f64::consts::PI;

/// Gauges sold as stranded wire, thin to thick.
pub const TRADE_GAUGES: [i32; 15] = [18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3];

/// Conductivity of annealed copper at 20 degC, 100 % IACS: 58 MS/m. IEC 60028.
pub const COPPER_CONDUCTIVITY: f64 = 58e6;
/// Rise of copper's resistance for each K, referred to 20 degC. IEC 60028.
pub const COPPER_COEFFICIENT: f64 = 0.003_93;
/// Length and resistance that stranding adds.
pub const STRANDING: f64 = 1.02;
/// Resistivity behind ABYC E-11's 10.75 ohm circular mil per foot, ohm m.
pub const ABYC_RESISTIVITY: f64 = 10.75 * CIRCULAR_MIL / 0.3048;

/// Area of a circle one thousandth of an inch across, m2.
const CIRCULAR_MIL: f64 = PI / 4.0 * 25.4e-6 * 25.4e-6;

/// Diameter in m of solid wire of an AWG gauge: 0.005 in times 92^((36 - n)/39). Falls with the number.
///
/// Source: ASTM B258.
pub fn awg_diameter(gauge: i32) -> f64 {
    0.005 * 0.0254 * 92f64.powf(f64::from(36 - gauge) / 39.0)
}

/// Area of copper in m2 of an AWG gauge. Falls with the number. Source: ASTM B258.
pub fn awg_area(gauge: i32) -> f64 {
    PI / 4.0 * awg_diameter(gauge).powi(2)
}

/// An area in circular mils, the unit of ABYC E-11 and the NEC. Rises with area.
pub fn circular_mils(area: f64) -> f64 {
    area / CIRCULAR_MIL
}

/// The thinnest trade gauge with at least `area` m2 of copper; `None` when 4/0 is not enough.
pub fn smallest_gauge(area: f64) -> Option<i32> {
    // A hair of slack, so that the area of a gauge finds that gauge after a trip through other units.
    TRADE_GAUGES.into_iter().find(|gauge| awg_area(*gauge) >= area * (1.0 - 1e-9))
}

/// A copper conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conductor {
    /// Area of copper, m2.
    pub area: f64,
    /// Temperature of the copper, degC; 20 for a cold run, 75 for one that works hard.
    pub temperature: f64,
    /// 1 for solid wire, [`STRANDING`] for stranded.
    pub stranding: f64,
}

/// Resistance of a copper conductor, ohm/m. `None` unless the area is above 0.
///
/// Rises with temperature and stranding, falls with area. With [`STRANDING`] at 75 degC it is NEC Chapter 9 Table 8
/// within half a percent from 18 AWG to 4/0. For metric flexible cable use [`class5_resistance`]. Source: IEC 60028.
pub fn copper_resistance(conductor: &Conductor) -> Option<f64> {
    let warm = 1.0 + COPPER_COEFFICIENT * (conductor.temperature - 20.0);
    (conductor.area > 0.0).then(|| conductor.stranding * warm / (COPPER_CONDUCTIVITY * conductor.area))
}

/// Largest resistance in ohm/m at 20 degC of plain flexible copper, IEC 60228 class 5, of a nominal area in m2.
///
/// `None` for an area that is not a nominal size from 1.5 to 95 mm2. Not computable from area: it is up to 16 % above
/// the resistance of that much copper. Falls with area.
pub fn class5_resistance(area: f64) -> Option<f64> {
    // Nominal mm2 and ohm/km.
    const TABLE: [(f64, f64); 11] = [
        (1.5, 13.3),
        (2.5, 7.98),
        (4.0, 4.95),
        (6.0, 3.30),
        (10.0, 1.91),
        (16.0, 1.21),
        (25.0, 0.780),
        (35.0, 0.554),
        (50.0, 0.386),
        (70.0, 0.272),
        (95.0, 0.206),
    ];
    TABLE.iter().find(|(nominal, _)| (area * 1e6 - nominal).abs() < 1e-3 * nominal).map(|(_, per_km)| per_km / 1000.0)
}

/// Voltage lost in a run there and back: 2 L r I. `length` one way in m, `resistance` in ohm/m, `current` in A.
///
/// Rises with all three. Source: Ohm's law.
pub fn voltage_drop(current: f64, length: f64, resistance: f64) -> f64 {
    2.0 * length * resistance * current
}

/// Area of copper in m2 that keeps the loss of a run to `drop` V: rho I (2 L)/E with ABYC's resistivity.
///
/// `length` is one way in m. `None` unless the drop is above 0. Rises with current and length, falls with drop. ABYC
/// E-11 allows 3 % of the supply for feeders, pumps, electronics and navigation lights and 10 % for lighting and the
/// rest.
pub fn area_for_drop(current: f64, length: f64, drop: f64) -> Option<f64> {
    (drop > 0.0).then(|| ABYC_RESISTIVITY * current * 2.0 * length / drop)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const INCH: f64 = 0.0254;
    const FT: f64 = 0.3048;
    const KFT: f64 = 1000.0 * FT;

    fn near(got: f64, want: f64, relative: f64) {
        assert!((got - want).abs() <= relative * want.abs(), "got {got}, want {want} within {relative}");
    }

    fn resistance(gauge: i32, temperature: f64, stranding: f64) -> f64 {
        copper_resistance(&Conductor { area: awg_area(gauge), temperature, stranding }).unwrap()
    }

    #[test]
    fn gauges_have_the_diameters_of_the_standard() {
        // ASTM B258 as reprinted in wire tables: inches.
        let table = [(18, 0.0403), (14, 0.0641), (10, 0.1019), (6, 0.1620), (2, 0.2576), (0, 0.3249), (-3, 0.4600)];
        for (gauge, inches) in table {
            near(awg_diameter(gauge) / INCH, inches, 5e-4);
        }
        // The two sizes that define the scale: 36 AWG is 0.005 in and 4/0 is 0.46 in.
        near(awg_diameter(36) / INCH, 0.005, 1e-12);
        near(awg_diameter(-3) / INCH, 0.46, 1e-12);
    }

    #[test]
    fn gauges_have_the_circular_mils_of_the_nec() {
        // NEC Chapter 9 Table 8, circular mils; printed to four digits.
        let table = [
            (14, 4110.0),
            (12, 6530.0),
            (10, 10_380.0),
            (8, 16_510.0),
            (6, 26_240.0),
            (4, 41_740.0),
            (3, 52_620.0),
            (2, 66_360.0),
            (1, 83_690.0),
            (0, 105_600.0),
            (-1, 133_100.0),
            (-2, 167_800.0),
            (-3, 211_600.0),
        ];
        for (gauge, mils) in table {
            near(circular_mils(awg_area(gauge)), mils, 1e-3);
        }
    }

    #[test]
    fn computed_gauges_match_values_worked_independently() {
        // Python 3.11, from the ASTM B258 form: inches, mm2, circular mils, ohm/kft at 20 degC, ohm/kft stranded at 75.
        let table = [
            (14, 0.064_083_7, 2.080_91, 4106.72, 2.525_42, 3.132_72),
            (10, 0.101_897, 5.261_15, 10_383.0, 0.998_863, 1.239_06),
            (6, 0.162_023, 13.3018, 26_251.4, 0.395_073, 0.490_078),
            (0, 0.324_861, 53.4751, 105_535.0, 0.098_273_2, 0.121_905),
            (-3, 0.46, 107.219, 211_600.0, 0.049_013_3, 0.060_799_7),
        ];
        for (gauge, inches, mm2, mils, cold, warm) in table {
            near(awg_diameter(gauge) / INCH, inches, 1e-5);
            near(awg_area(gauge) * 1e6, mm2, 1e-5);
            near(circular_mils(awg_area(gauge)), mils, 1e-5);
            near(resistance(gauge, 20.0, 1.0) * KFT, cold, 1e-5);
            near(resistance(gauge, 75.0, STRANDING) * KFT, warm, 1e-5);
        }
    }

    #[test]
    #[expect(clippy::approx_constant, reason = "3.14 ohm/kft is what the table prints for 14 AWG")]
    fn stranded_resistance_is_the_nec_table_within_half_a_percent() {
        // NEC Chapter 9 Table 8, uncoated stranded copper at 75 degC, ohm/kft.
        let table = [
            (18, 7.95),
            (16, 4.99),
            (14, 3.14),
            (12, 1.98),
            (10, 1.24),
            (8, 0.778),
            (6, 0.491),
            (4, 0.308),
            (3, 0.245),
            (2, 0.194),
            (1, 0.154),
            (0, 0.122),
            (-1, 0.0967),
            (-2, 0.0766),
            (-3, 0.0608),
        ];
        for (gauge, ohms) in table {
            near(resistance(gauge, 75.0, STRANDING) * KFT, ohms, 5e-3);
        }
    }

    #[test]
    fn solid_resistance_is_the_nec_table_and_the_wire_table() {
        // NEC Chapter 9 Table 8, uncoated solid copper at 75 degC, ohm/kft.
        for (gauge, ohms) in [(14, 3.07), (12, 1.93), (10, 1.21), (8, 0.764)] {
            near(resistance(gauge, 75.0, 1.0) * KFT, ohms, 5e-3);
        }
        // Copper wire tables, NBS Handbook 100, solid at 20 degC, ohm/kft.
        for (gauge, ohms) in
            [(10, 0.9989), (8, 0.6282), (6, 0.3951), (4, 0.2485), (2, 0.1563), (0, 0.09827), (-3, 0.04901)]
        {
            near(resistance(gauge, 20.0, 1.0) * KFT, ohms, 5e-4);
        }
    }

    #[test]
    fn metric_flexible_wire_is_worse_than_its_nominal_area() {
        // IEC 60228 Table 3 in ohm/km against copper of that area.
        for mm2 in [1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0] {
            let ideal = copper_resistance(&Conductor { area: mm2 * 1e-6, temperature: 20.0, stranding: 1.0 }).unwrap();
            let ratio = class5_resistance(mm2 * 1e-6).unwrap() / ideal;
            assert!((1.09..1.17).contains(&ratio), "{mm2} mm2: {ratio}");
        }
        near(class5_resistance(10e-6).unwrap(), 1.91e-3, 1e-12);
        assert_eq!(class5_resistance(5e-6), None);
        assert_eq!(class5_resistance(0.0), None);
    }

    #[test]
    fn warm_copper_follows_the_standard_s_table_of_factors() {
        // IEC 60228 Annex A: a resistance measured at t times k_t is that at 20 degC; k 0.926 at 40, 0.862 at 60, 0.820
        // at 75.
        for (temperature, factor) in [(40.0, 0.926), (60.0, 0.862), (75.0, 0.820)] {
            near(resistance(10, temperature, 1.0) * factor, resistance(10, 20.0, 1.0), 4e-3);
        }
    }

    #[test]
    fn a_pump_on_fifteen_feet_of_ten_gauge_loses_over_half_a_volt() {
        near(voltage_drop(18.0, 15.0 * FT, resistance(10, 20.0, 1.0)), 0.539_386, 1e-5);
        near(voltage_drop(18.0, 15.0 * FT, resistance(10, 75.0, STRANDING)), 0.669_094, 1e-5);
        // The same with NEC's 1.24 ohm/kft: 0.6696 V.
        near(voltage_drop(18.0, 15.0 * FT, resistance(10, 75.0, STRANDING)), 18.0 * 30.0 * 1.24 / 1000.0, 2e-3);
    }

    #[test]
    fn the_marine_form_gives_its_circular_mils() {
        // ABYC E-11: CM = 10.75 I L/E, L the loop in ft.
        let mils = |drop: f64| circular_mils(area_for_drop(18.0, 15.0 * FT, drop).unwrap());
        near(mils(0.36), 16_125.0, 1e-9);
        near(mils(1.2), 4837.5, 1e-9);
        let gauge = |drop: f64| smallest_gauge(area_for_drop(18.0, 15.0 * FT, drop).unwrap());
        assert_eq!(gauge(0.36), Some(8));
        assert_eq!(gauge(1.2), Some(12));
        assert_eq!(area_for_drop(18.0, 5.0, 0.0), None);
        // A charge line of 15 A over 25 ft at 14.2 V: 18 926 circular mils for 3 %, 6 AWG.
        let line = area_for_drop(15.0, 25.0 * FT, 0.03 * 14.2).unwrap();
        near(circular_mils(line), 18_926.0, 1e-4);
        assert_eq!(smallest_gauge(line), Some(6));
        // Left at 10 AWG it loses 0.75 V.
        near(voltage_drop(15.0, 25.0 * FT, resistance(10, 20.0, 1.0)), 0.75, 2e-3);
    }

    #[test]
    fn gauges_for_three_percent_are_those_of_the_marine_table() {
        // ABYC E-11, 3 % at 12 V, row of 10 ft of wire there and back, as reprinted in marine wire catalogues.
        let row = [
            (5.0, 18),
            (10.0, 14),
            (15.0, 12),
            (20.0, 12),
            (25.0, 10),
            (30.0, 10),
            (40.0, 8),
            (50.0, 8),
            (60.0, 6),
            (70.0, 6),
            (80.0, 6),
            (90.0, 4),
            (100.0, 4),
        ];
        for (current, gauge) in row {
            assert_eq!(smallest_gauge(area_for_drop(current, 5.0 * FT, 0.36).unwrap()), Some(gauge), "{current} A");
        }
    }

    #[test]
    fn no_gauge_is_large_enough_for_everything() {
        assert_eq!(smallest_gauge(awg_area(-3) * 1.001), None);
        assert_eq!(smallest_gauge(0.0), Some(18));
    }

    proptest! {
        #[test]
        fn the_area_of_a_gauge_finds_that_gauge(index in 0usize..15) {
            prop_assert_eq!(smallest_gauge(awg_area(TRADE_GAUGES[index])), Some(TRADE_GAUGES[index]));
        }

        #[test]
        fn wire_of_the_needed_area_loses_no_more_than_allowed_at_29_degrees(
            current in 0.5..200.0f64, length in 0.2..15.0f64, drop in 0.1..2.0f64,
        ) {
            // ABYC's 10.75 is solid copper near 29 degC.
            let area = area_for_drop(current, length, drop).unwrap();
            let per_metre = copper_resistance(&Conductor { area, temperature: 29.0, stranding: 1.0 }).unwrap();
            let lost = voltage_drop(current, length, per_metre);
            prop_assert!(lost <= drop && lost > 0.99 * drop, "{lost} of {drop}");
        }

        #[test]
        fn six_gauges_halve_the_diameter_and_three_halve_the_area_nearly(gauge in -3i32..30) {
            prop_assert!((awg_diameter(gauge) / awg_diameter(gauge + 6) - 2.005).abs() < 0.001);
            prop_assert!((awg_area(gauge) / awg_area(gauge + 3) - 2.005).abs() < 0.001);
        }
    }
}
