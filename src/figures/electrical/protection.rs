//! How much current a wire may carry, and the fuse that protects it.

/// Heat rating of a wire's insulation, degC. Wire of unstated insulation is taken as [`Insulation::C60`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Insulation {
    /// 60 degC.
    C60,
    /// 75 degC.
    C75,
    /// 80 degC.
    C80,
    /// 90 degC.
    C90,
    /// 105 degC, the usual boat cable.
    C105,
    /// 125 degC.
    C125,
    /// 200 degC.
    C200,
}

/// Longest unfused wire from the source, m: 7 in, 33 CFR 183.455(b)(1).
pub const FUSE_DISTANCE: f64 = 7.0 * 0.0254;
/// The same in a sheath or enclosure all the way, m: 40 in, 33 CFR 183.455(b)(2).
pub const FUSE_DISTANCE_SHEATHED: f64 = 40.0 * 0.0254;
/// The same from a battery post by ABYC E-11, m: 72 in (from memory).
pub const FUSE_DISTANCE_BATTERY: f64 = 72.0 * 0.0254;
/// A fuse is chosen at or above this multiple of the running current (common practice; NEC 210.20(A) for long loads).
pub const FUSE_MARGIN: f64 = 1.25;
/// A fuse below 50 V may be at most this multiple of Table 5: 33 CFR 183.455(c)(1).
pub const FUSE_LEGAL_MULTIPLE: f64 = 1.5;

/// A wire as it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cable {
    /// AWG number; 0 is 1/0, -3 is 4/0.
    pub gauge: i32,
    /// Insulation.
    pub insulation: Insulation,
    /// Whether it runs in an engine space, taken as 50 degC.
    pub engine_space: bool,
    /// Current-carrying wires in its bundle, itself included.
    pub bundled: u32,
}

/// Current in A of one wire in free air at 30 degC; `None` for a gauge the table lacks.
///
/// Rises as the gauge number falls and with the insulation. Source: 33 CFR 183.425 Table 5.
pub fn table_current(gauge: i32, insulation: Insulation) -> Option<f64> {
    const TABLE: [(i32, [f64; 7]); 15] = [
        (18, [10.0, 10.0, 15.0, 20.0, 20.0, 25.0, 25.0]),
        (16, [15.0, 15.0, 20.0, 25.0, 25.0, 30.0, 35.0]),
        (14, [20.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0]),
        (12, [25.0, 25.0, 35.0, 40.0, 45.0, 50.0, 55.0]),
        (10, [40.0, 40.0, 50.0, 55.0, 60.0, 70.0, 70.0]),
        (8, [55.0, 65.0, 70.0, 70.0, 80.0, 90.0, 100.0]),
        (6, [80.0, 95.0, 100.0, 100.0, 120.0, 125.0, 135.0]),
        (4, [105.0, 125.0, 130.0, 135.0, 160.0, 170.0, 180.0]),
        (3, [120.0, 145.0, 150.0, 155.0, 180.0, 195.0, 210.0]),
        (2, [140.0, 170.0, 175.0, 180.0, 210.0, 225.0, 240.0]),
        (1, [165.0, 195.0, 210.0, 210.0, 245.0, 265.0, 280.0]),
        (0, [195.0, 230.0, 245.0, 245.0, 285.0, 305.0, 325.0]),
        (-1, [225.0, 265.0, 285.0, 285.0, 330.0, 355.0, 370.0]),
        (-2, [260.0, 310.0, 330.0, 330.0, 385.0, 410.0, 430.0]),
        (-3, [300.0, 360.0, 385.0, 385.0, 445.0, 475.0, 510.0]),
    ];
    let column = insulation as usize;
    TABLE.iter().find(|(number, _)| *number == gauge).and_then(|(_, row)| row.get(column).copied())
}

/// Factor for a wire in an engine space at 50 degC. Rises with the insulation.
///
/// Source: 33 CFR 183.425 Table 5 note 1; the value for 105 degC is checked, the others are from memory.
pub fn engine_space_factor(insulation: Insulation) -> f64 {
    match insulation {
        Insulation::C60 => 0.58,
        Insulation::C75 => 0.75,
        Insulation::C80 => 0.78,
        Insulation::C90 => 0.82,
        Insulation::C105 => 0.85,
        Insulation::C125 => 0.89,
        Insulation::C200 => 1.00,
    }
}

/// Factor for wires bundled together: falls in steps with their number.
///
/// Source: 33 CFR 183.425 Table 5 note 2, as in the Coast Guard's Electrical System Compliance Guideline. The
/// regulation asks for it only at 50 V and more (183.435); ABYC E-11 applies the same idea to low voltage.
pub fn bundle_factor(wires: u32) -> f64 {
    match wires {
        0..=2 => 1.0,
        3 => 0.70,
        4..=6 => 0.60,
        7..=24 => 0.50,
        _ => 0.40,
    }
}

/// Current in A that a wire may carry as it lies: table times engine space times bundle. `None` as [`table_current`].
pub fn ampacity(cable: &Cable) -> Option<f64> {
    let space = if cable.engine_space { engine_space_factor(cable.insulation) } else { 1.0 };
    Some(table_current(cable.gauge, cable.insulation)? * space * bundle_factor(cable.bundled))
}

/// The thinnest trade gauge that may carry `current` A where `cable` lies; its own gauge is not read. `None` beyond
/// 4/0.
pub fn smallest_gauge_for(current: f64, cable: &Cable) -> Option<i32> {
    super::wire::TRADE_GAUGES
        .into_iter()
        .find(|gauge| ampacity(&Cable { gauge: *gauge, ..*cable }).is_some_and(|most| most >= current))
}

/// The fuses that suit a load and its wire, A.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FuseWindow {
    /// Smallest fuse that does not tire: 1.25 times the running current.
    pub least: f64,
    /// Largest fuse that protects the wire as it lies: its ampacity. Below `least` the wire is too thin for the load.
    pub most: f64,
    /// Largest fuse of the regulation below 50 V: 1.5 times Table 5, without regard to how the wire lies.
    pub legal_most: f64,
}

/// The window of fuses for a running current in A. `None` as [`table_current`].
///
/// A motor draws several times its running current for a moment; a slow fuse rides that out. Source: 33 CFR 183.455(c).
pub fn fuse_window(current: f64, cable: &Cable) -> Option<FuseWindow> {
    Some(FuseWindow {
        least: FUSE_MARGIN * current,
        most: ampacity(cable)?,
        legal_most: FUSE_LEGAL_MULTIPLE * table_current(cable.gauge, cable.insulation)?,
    })
}

/// Current in A of building wire in a cable or raceway at 30 degC; `None` for a gauge or insulation the table lacks.
///
/// Copper, 14 AWG to 4/0, 60, 75 or 90 degC. Source: NEC Table 310.16.
pub fn building_wire_current(gauge: i32, insulation: Insulation) -> Option<f64> {
    const TABLE: [(i32, [f64; 3]); 13] = [
        (14, [15.0, 20.0, 25.0]),
        (12, [20.0, 25.0, 30.0]),
        (10, [30.0, 35.0, 40.0]),
        (8, [40.0, 50.0, 55.0]),
        (6, [55.0, 65.0, 75.0]),
        (4, [70.0, 85.0, 95.0]),
        (3, [85.0, 100.0, 115.0]),
        (2, [95.0, 115.0, 130.0]),
        (1, [110.0, 130.0, 145.0]),
        (0, [125.0, 150.0, 170.0]),
        (-1, [145.0, 175.0, 195.0]),
        (-2, [165.0, 200.0, 225.0]),
        (-3, [195.0, 230.0, 260.0]),
    ];
    let column: usize = match insulation {
        Insulation::C60 => 0,
        Insulation::C75 => 1,
        Insulation::C90 => 2,
        _ => return None,
    };
    TABLE.iter().find(|(number, _)| *number == gauge).and_then(|(_, row)| row.get(column).copied())
}

/// Largest breaker in A on building wire: its current, and no more than 15, 20 and 30 A on 14, 12 and 10 AWG copper.
///
/// Source: NEC 240.4(D). `None` as [`building_wire_current`].
pub fn building_wire_breaker(gauge: i32, insulation: Insulation) -> Option<f64> {
    let current = building_wire_current(gauge, insulation)?;
    Some(match gauge {
        14 => current.min(15.0),
        12 => current.min(20.0),
        10 => current.min(30.0),
        _ => current,
    })
}

#[cfg(test)]
mod tests {
    use super::super::wire::TRADE_GAUGES;
    use super::*;

    const ALL: [Insulation; 7] = [
        Insulation::C60,
        Insulation::C75,
        Insulation::C80,
        Insulation::C90,
        Insulation::C105,
        Insulation::C125,
        Insulation::C200,
    ];
    const TEN: Cable = Cable { gauge: 10, insulation: Insulation::C105, engine_space: false, bundled: 2 };

    fn near(got: f64, want: f64) {
        assert!((got - want).abs() <= 1e-12 * want.abs(), "got {got}, want {want}");
    }

    #[test]
    fn the_boat_table_gives_the_currents_of_the_cable_makers() {
        // UL 1426 boat cable as makers list it, 105 degC, outside and inside engine spaces (whole amperes, cut or
        // rounded).
        let listed = [
            (18, 20.0, 17.0),
            (16, 25.0, 21.3),
            (14, 35.0, 29.8),
            (12, 45.0, 38.3),
            (10, 60.0, 51.0),
            (8, 80.0, 68.0),
            (6, 120.0, 102.0),
            (4, 160.0, 136.0),
            (2, 210.0, 178.5),
            (1, 245.0, 208.3),
            (0, 285.0, 242.3),
            (-1, 330.0, 280.5),
            (-2, 385.0, 327.3),
            (-3, 445.0, 378.3),
        ];
        for (gauge, outside, inside) in listed {
            let cable = Cable { gauge, ..TEN };
            near(ampacity(&cable).unwrap(), outside);
            let hot = ampacity(&Cable { engine_space: true, ..cable }).unwrap();
            assert!((hot - inside).abs() <= 0.051, "{gauge}: {hot}");
        }
    }

    #[test]
    fn every_column_of_the_boat_table_is_that_of_the_regulation() {
        // 33 CFR 183.425 Table 5, taken column by column from the text of the regulation, 18 AWG to 4/0.
        let columns: [(Insulation, [u32; 15]); 7] = [
            (Insulation::C60, [10, 15, 20, 25, 40, 55, 80, 105, 120, 140, 165, 195, 225, 260, 300]),
            (Insulation::C75, [10, 15, 20, 25, 40, 65, 95, 125, 145, 170, 195, 230, 265, 310, 360]),
            (Insulation::C80, [15, 20, 25, 35, 50, 70, 100, 130, 150, 175, 210, 245, 285, 330, 385]),
            (Insulation::C90, [20, 25, 30, 40, 55, 70, 100, 135, 155, 180, 210, 245, 285, 330, 385]),
            (Insulation::C105, [20, 25, 35, 45, 60, 80, 120, 160, 180, 210, 245, 285, 330, 385, 445]),
            (Insulation::C125, [25, 30, 40, 50, 70, 90, 125, 170, 195, 225, 265, 305, 355, 410, 475]),
            (Insulation::C200, [25, 35, 45, 55, 70, 100, 135, 180, 210, 240, 280, 325, 370, 430, 510]),
        ];
        for (insulation, column) in columns {
            let got = TRADE_GAUGES.map(|gauge| table_current(gauge, insulation).unwrap());
            assert_eq!(got, column.map(f64::from), "{insulation:?}");
        }
        assert_eq!(table_current(7, Insulation::C60), None);
    }

    #[test]
    fn engine_space_factors_are_those_of_note_1() {
        // 33 CFR 183.425 Table 5 note 1: 0.85 at 105 degC as cable makers print it, the others from memory.
        assert_eq!(ALL.map(engine_space_factor), [0.58, 0.75, 0.78, 0.82, 0.85, 0.89, 1.0]);
    }

    #[test]
    fn bundled_ten_gauge_carries_42_then_36_then_30_amperes() {
        // UL 1426 boat cable as makers list it, bundles of 3, 4 to 6, 7 to 24.
        for (bundled, amperes) in
            [(1, 60.0), (2, 60.0), (3, 42.0), (4, 36.0), (6, 36.0), (7, 30.0), (24, 30.0), (25, 24.0)]
        {
            near(ampacity(&Cable { bundled, ..TEN }).unwrap(), amperes);
        }
    }

    #[test]
    fn thicker_or_better_insulated_wire_never_carries_less() {
        for insulation in ALL {
            let column: Vec<f64> = TRADE_GAUGES.iter().map(|g| table_current(*g, insulation).unwrap()).collect();
            assert!(column.windows(2).all(|pair| pair[0] < pair[1]), "{insulation:?}");
        }
        for gauge in TRADE_GAUGES {
            let row: Vec<f64> = ALL.iter().map(|i| table_current(gauge, *i).unwrap()).collect();
            assert!(row.windows(2).all(|pair| pair[0] <= pair[1]), "{gauge}");
        }
        assert!(ALL.windows(2).all(|pair| engine_space_factor(pair[0]) < engine_space_factor(pair[1])));
        assert!((1..40).all(|n| bundle_factor(n + 1) <= bundle_factor(n)));
    }

    #[test]
    fn a_pump_of_18_amperes_on_ten_gauge_takes_a_fuse_from_22_5_to_60() {
        let window = fuse_window(18.0, &TEN).unwrap();
        near(window.least, 22.5);
        near(window.most, 60.0);
        near(window.legal_most, 90.0);
        let hot = fuse_window(18.0, &Cable { engine_space: true, ..TEN }).unwrap();
        near(hot.most, 51.0);
        near(hot.legal_most, 90.0);
        assert_eq!(fuse_window(18.0, &Cable { gauge: 9, ..TEN }), None);
    }

    #[test]
    fn the_smallest_gauge_for_a_current_carries_it_and_the_next_does_not() {
        assert_eq!(smallest_gauge_for(60.0, &TEN), Some(10));
        assert_eq!(smallest_gauge_for(60.1, &TEN), Some(8));
        assert_eq!(smallest_gauge_for(30.0, &Cable { insulation: Insulation::C60, ..TEN }), Some(10));
        assert_eq!(smallest_gauge_for(1000.0, &TEN), None);
    }

    #[test]
    fn fuse_distances_are_seven_forty_and_seventy_two_inches() {
        // 33 CFR 183.455(b); 72 in from memory of ABYC E-11.
        assert!((FUSE_DISTANCE - 0.1778).abs() < 1e-12);
        assert!((FUSE_DISTANCE_SHEATHED - 1.016).abs() < 1e-12);
        assert!((FUSE_DISTANCE_BATTERY - 1.8288).abs() < 1e-12);
    }

    #[test]
    fn building_wire_follows_the_nec_and_its_small_conductor_rule() {
        // NEC Table 310.16, copper, column by column as reprinted, 14 AWG to 4/0.
        let columns: [(Insulation, [u32; 13]); 3] = [
            (Insulation::C60, [15, 20, 30, 40, 55, 70, 85, 95, 110, 125, 145, 165, 195]),
            (Insulation::C75, [20, 25, 35, 50, 65, 85, 100, 115, 130, 150, 175, 200, 230]),
            (Insulation::C90, [25, 30, 40, 55, 75, 95, 115, 130, 145, 170, 195, 225, 260]),
        ];
        for (insulation, column) in columns {
            for (gauge, amperes) in TRADE_GAUGES.into_iter().skip(2).zip(column) {
                near(building_wire_current(gauge, insulation).unwrap(), f64::from(amperes));
            }
        }
        // NEC 240.4(D).
        for (gauge, breaker) in [(14, 15.0), (12, 20.0), (10, 30.0), (8, 55.0)] {
            near(building_wire_breaker(gauge, Insulation::C90).unwrap(), breaker);
        }
        assert_eq!(building_wire_current(14, Insulation::C105), None);
        assert_eq!(building_wire_current(18, Insulation::C60), None);
    }
}
