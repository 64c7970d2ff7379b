//! The captive-air accumulator that keeps a pressure switch from chattering.

/// Most starts a minute before a pressure switch counts as chattering. Common practice, no source.
pub const MOST_STARTS_A_MINUTE: f64 = 6.0;

/// A vessel between two switch pressures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accumulator {
    /// Volume of the empty vessel, m3.
    pub volume: f64,
    /// Air pressure in the empty vessel, Pa absolute; above 0.
    pub precharge: f64,
    /// Pressure at which the pump starts, Pa absolute; above 0.
    pub cut_in: f64,
    /// Pressure at which the pump stops, Pa absolute; not below cut-in.
    pub cut_out: f64,
    /// Exponent n of `p V^n`: 1 for slow changes, 1.4 for cycles of a few seconds, which give a quarter less.
    pub exponent: f64,
}

/// Liquid in m3 given between cut-out and cut-in: `V ((P0/P_on)^(1/n) - (P0/P_off)^(1/n))`, no share above 1.
///
/// Rises with volume and cut-out, falls with exponent and with cut-in. Rises with the precharge up to cut-in and falls above
/// it, because an accumulator charged over cut-in is empty before the pump starts. Source: Boyle.
#[must_use]
pub fn drawdown(accumulator: &Accumulator) -> f64 {
    let Accumulator { volume, precharge, cut_in, cut_out, exponent } = *accumulator;
    let air = |pressure: f64| (precharge / pressure).powf(1.0 / exponent).min(1.0);
    volume * (air(cut_in) - air(cut_out))
}

/// Seconds the pump runs and rests in one cycle while something draws less than it gives: on and off.
///
/// `V_d / (q_pump - q_draw)` and `V_d / q_draw`. `None` when nothing is drawn (it rests for good) or the draw is not below the
/// pump's flow (it runs for good). Both rise with the drawdown; the first falls with pump flow and rises with the draw, the
/// second falls with the draw.
#[must_use]
pub fn cycle(drawdown: f64, pump_flow: f64, draw: f64) -> Option<(f64, f64)> {
    (draw > 0.0 && draw < pump_flow).then(|| (drawdown / (pump_flow - draw), drawdown / draw))
}

/// Most starts in a second, met when half the pump's flow is drawn: `q_pump / (4 V_d)`. Rises with flow, falls with drawdown.
///
/// `None` when the drawdown is not above zero: without an accumulator the hose alone decides.
#[must_use]
pub fn most_starts(drawdown: f64, pump_flow: f64) -> Option<f64> {
    (drawdown > 0.0).then(|| pump_flow / (4.0 * drawdown))
}

/// Volume in m3 of the vessel that keeps the starts in a second at or under `starts`; the accumulator's volume is not read.
///
/// Rises with pump flow, falls with `starts`. `None` when the pressures give no drawdown or `starts` is not above zero.
#[must_use]
pub fn volume_for_starts(accumulator: &Accumulator, pump_flow: f64, starts: f64) -> Option<f64> {
    let share = drawdown(&Accumulator { volume: 1.0, ..*accumulator });
    (share > 0.0 && starts > 0.0).then(|| pump_flow / (4.0 * starts * share))
}

#[cfg(test)]
mod tests {
    use super::super::tests::{GALLON, GPM, PSI, near};
    use super::*;

    fn vessel(gallons: f64, air: f64, [precharge, cut_in, cut_out]: [f64; 3]) -> Accumulator {
        let absolute = |gauge: f64| (gauge + air) * PSI;
        Accumulator {
            volume: gallons * GALLON,
            precharge: absolute(precharge),
            cut_in: absolute(cut_in),
            cut_out: absolute(cut_out),
            exponent: 1.0,
        }
    }

    #[test]
    fn drawdown_reproduces_the_published_well_tank() {
        // Worked example of a trade journal on captive-air tanks: 85 gal, 28/30/50 psig give 25.1 gal, 26.1 at 6000 ft.
        near(drawdown(&vessel(85.0, 14.7, [28.0, 30.0, 50.0])) / GALLON, 25.0995, 1e-5);
        near(drawdown(&vessel(85.0, 11.8, [28.0, 30.0, 50.0])) / GALLON, 26.1919, 1e-5);
        // Boyle by hand: (57.696 / 59.696 - 57.696 / 74.696) of one gallon.
        near(drawdown(&vessel(1.0, 14.696, [43.0, 45.0, 60.0])) / GALLON, 0.1941, 1e-3);
    }

    #[test]
    fn fast_cycles_give_a_quarter_less() {
        let slow = vessel(1.0, 14.696, [43.0, 45.0, 60.0]);
        let share = drawdown(&Accumulator { exponent: 1.4, ..slow }) / drawdown(&slow);
        assert!((0.70..0.78).contains(&share), "{share}");
    }

    #[test]
    fn precharge_above_cut_in_gives_less_and_above_cut_out_nothing() {
        let give = |precharge| drawdown(&vessel(1.0, 14.696, [precharge, 45.0, 60.0]));
        assert!(give(44.0) > give(40.0) && give(45.0) > give(50.0));
        assert_eq!(give(70.0), 0.0);
    }

    #[test]
    fn starts_peak_at_half_the_pump_flow() {
        let (given, pump) = (0.2 * GALLON, 3.0 * GPM);
        let starts = |draw: f64| cycle(given, pump, draw * GPM).map(|(on, off)| 1.0 / (on + off));
        let most = most_starts(given, pump).unwrap();
        near(starts(1.5).unwrap(), most, 1e-12);
        assert!(starts(1.2).unwrap() < most && starts(1.8).unwrap() < most);
        assert_eq!((starts(0.0), starts(3.0), most_starts(0.0, pump)), (None, None, None));
        let small = vessel(0.3, 14.696, [43.0, 45.0, 60.0]);
        let volume = volume_for_starts(&small, pump, 0.1).unwrap();
        near(most_starts(drawdown(&Accumulator { volume, ..small }), pump).unwrap(), 0.1, 1e-12);
    }
}
