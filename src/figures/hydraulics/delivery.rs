//! The 12 V diaphragm pump that delivers a soft-wash mix, and where it settles with a hose and a tip.

use super::pipe::{Line, lift, line_loss};
use super::{Liquid, nozzle, rising_root};

/// Pressure at cut-out flow's share of open flow when the maker's table is missing: low, usual, high.
///
/// From memory of makers' tables of the type.
pub const CUT_OUT_FLOW_SHARE: [f64; 3] = [0.45, 0.53, 0.60];

/// A diaphragm pump by the ends of its straight line, at its rated volts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeliveryPump {
    /// Flow against no pressure, m3/s; above 0.
    pub open_flow: f64,
    /// Flow just before the switch opens, m3/s; not above the open flow.
    pub cut_out_flow: f64,
    /// Pressure at which the switch opens, Pa; above 0.
    pub cut_out: f64,
    /// Pressure at which the switch closes again, Pa.
    pub cut_in: f64,
    /// Current against no pressure, A.
    pub open_current: f64,
    /// Current just before the switch opens, A.
    pub cut_out_current: f64,
}

impl DeliveryPump {
    /// Flow in m3/s at a pressure and at a share of the rated volts: `s q0 - (q0 - q_off) p / p_off`, never below 0.
    ///
    /// Falls with pressure, rises with volts. The line is that of a permanent-magnet motor; the pressure switch is not in it.
    #[must_use]
    pub fn flow(&self, pressure: f64, volts_share: f64) -> f64 {
        (volts_share * self.open_flow - (self.open_flow - self.cut_out_flow) * pressure / self.cut_out).max(0.0)
    }

    /// Current in A at a pressure: `I0 + (I_off - I0) p / p_off`. Rises with pressure.
    #[must_use]
    pub fn current(&self, pressure: f64) -> f64 {
        self.open_current + (self.cut_out_current - self.open_current) * pressure / self.cut_out
    }
}

/// What a delivery pump pushes through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Delivery<'a> {
    /// The pump.
    pub pump: DeliveryPump,
    /// Volts at its terminals over its rated volts; 1 when nothing sags.
    pub volts_share: f64,
    /// Capacity of the tip, m3/s at 1 Pa; above 0. See [`nozzle::capacity_of_bore`].
    pub tip: f64,
    /// From pump to tip.
    pub line: Line<'a>,
    /// What is pumped.
    pub liquid: Liquid,
}

/// How the pressure switch behaves where the pump would settle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Running {
    /// Below cut-in: runs steadily.
    Steady,
    /// From cut-in to below cut-out: runs steadily once started, but a slightly smaller tip makes it cycle.
    OnceStarted,
    /// At cut-out or above: the switch opens and closes again and again.
    Cycling,
}

/// Where a delivery pump settles with the switch held closed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeliveryPoint {
    /// Flow, m3/s.
    pub flow: f64,
    /// Pressure at the pump, Pa.
    pub pump_pressure: f64,
    /// Pressure lost in hose and fittings, lift not counted, Pa.
    pub loss: f64,
    /// Pressure at the tip, Pa.
    pub tip_pressure: f64,
    /// Current, A.
    pub current: f64,
    /// What the switch makes of it.
    pub running: Running,
}

/// Where the pump's line meets what hose, lift and tip need.
///
/// `flow` and `tip_pressure` rise with open flow, cut-out flow, volts and hose bore; they fall with the line's length,
/// roughness, fittings, resistance and rise. `flow` rises and `tip_pressure` falls with the tip's capacity. `pump_pressure`
/// and `current` go against the flow: they rise with length and rise, fall with bore and tip. Warmer, thinner liquid acts as
/// in [`super::pipe::loss`]. When the pump cannot lift the liquid there is no flow and the pump stands at the lift's
/// pressure. Long falls can push more than the open flow through the valves; the pump's line is extended for it.
#[must_use]
pub fn delivery_point(delivery: &Delivery) -> DeliveryPoint {
    let Delivery { pump, volts_share, tip, line, liquid } = *delivery;
    let gravity = liquid.gravity();
    let lift = lift(&line, liquid);
    let most = volts_share * pump.open_flow;
    // Both sides are multiplied by the pump's droop so that a pump without droop is no special case.
    let droop = (pump.open_flow - pump.cut_out_flow) / pump.cut_out;
    let needed = |flow: f64| nozzle::pressure(tip, gravity, flow) + line_loss(&line, liquid, flow) + lift;
    let flow = if lift * droop >= most {
        0.0
    } else {
        rising_root(0.0, most - droop * lift.min(0.0), |flow| needed(flow) * droop + flow - most)
    };
    let pump_pressure = needed(flow);
    let running = if pump_pressure < pump.cut_in {
        Running::Steady
    } else if pump_pressure < pump.cut_out {
        Running::OnceStarted
    } else {
        Running::Cycling
    };
    DeliveryPoint {
        flow,
        pump_pressure,
        loss: line_loss(&line, liquid, flow),
        tip_pressure: nozzle::pressure(tip, gravity, flow),
        current: pump.current(pump_pressure.max(0.0)),
        running,
    }
}

/// Capacity of the tip that holds the pump at a pressure: take the cut-in pressure for the smallest tip that runs steadily.
///
/// Falls with the pressure and the line's bore; rises with its length and rise, and with volts. `None` when hose and lift
/// take the pressure up, or the pump gives no flow at it. The delivery's own tip is not read.
#[must_use]
pub fn tip_for_pump_pressure(delivery: &Delivery, pressure: f64) -> Option<f64> {
    let flow = delivery.pump.flow(pressure, delivery.volts_share);
    let left = pressure - line_loss(&delivery.line, delivery.liquid, flow) - lift(&delivery.line, delivery.liquid);
    if flow > 0.0 { nozzle::capacity_for(flow, delivery.liquid.gravity(), left) } else { None }
}

/// Highest a closed line can hold its liquid above the pump, m: `p_off / (rho g)`. Rises with cut-out, falls with density.
#[must_use]
pub fn highest_static_lift(cut_out: f64, density: f64) -> f64 {
    cut_out / (density * super::GRAVITY)
}

#[cfg(test)]
mod tests {
    use super::super::fittings::capacity_of_cv;
    use super::super::tests::{FT, GPM, IN, PSI, hose, level, near, reference};
    use super::super::water::bleach_viscosity;
    use super::*;

    /// A pump of the 5.5 gpm class, its figures from memory of makers' tables.
    fn pump() -> DeliveryPump {
        DeliveryPump {
            open_flow: 5.5 * GPM,
            cut_out_flow: 2.9 * GPM,
            cut_out: 60.0 * PSI,
            cut_in: 45.0 * PSI,
            open_current: 9.0,
            cut_out_current: 20.0,
        }
    }

    #[test]
    fn the_point_agrees_with_epanet() {
        // EPANET 2.2 through wntr 1.5.0, head curve and emitter (tests/reference/hydraulics.py): flow within 0.1 %.
        let rows = reference("epanet_delivery");
        assert_eq!(rows.len(), 4);
        let liquid = Liquid { density: 1000.0, viscosity: 1.1e-5 * FT * FT * 1000.0 };
        for row in rows {
            let hoses = [hose(row["bore"] / IN, row["length"] / FT, 1e-5, 12.0)];
            // EPANET's emitter passes its coefficient at SG 1, taken as 1000 kg/m3 there.
            let tip = capacity_of_cv(row["tip_gpm_per_root_psi"]) * liquid.gravity().sqrt();
            let line = Line { rise: row["rise"], ..level(&hoses) };
            let point = delivery_point(&Delivery { pump: pump(), volts_share: 1.0, tip, line, liquid });
            near(point.flow, row["flow"], 1e-3);
            near(point.pump_pressure, row["pump_pressure"], 2e-3);
            near(point.tip_pressure, row["tip_pressure"], 2e-3);
        }
    }

    #[test]
    fn five_tips_on_a_usual_line_hold_their_worked_points() {
        // 200 ft of 5/8 in, mix of 37.5 kg/m3 chlorine at SG 1.051; regression of the same laws solved in Python: bore in, gpm,
        // pump psi, loss psi, tip psi, A.
        let density = 1.051 * 998.204;
        let liquid = Liquid { density, viscosity: bleach_viscosity(37.5, 20.0).1 * density };
        let hoses = [hose(0.625, 200.0, 1e-5, 12.0)];
        for (bore, gpm, at_pump, lost, at_tip, ampere) in [
            (0.125, 2.98, 58.3, 8.8, 49.4, 19.7),
            (0.140625, 3.34, 49.8, 10.9, 39.0, 18.1),
            (0.15625, 3.64, 42.9, 12.7, 30.3, 16.9),
            (0.1875, 4.05, 33.5, 15.4, 18.1, 15.1),
            (0.25, 4.42, 24.8, 18.0, 6.8, 13.6),
        ] {
            let tip = nozzle::capacity_of_bore(bore * IN, nozzle::TIP_DISCHARGE[1]);
            let found = delivery_point(&Delivery { pump: pump(), volts_share: 1.0, tip, line: level(&hoses), liquid });
            assert!((found.flow / GPM - gpm).abs() < 0.01, "{found:?}");
            assert!((found.pump_pressure / PSI - at_pump).abs() < 0.12, "{found:?}");
            assert!((found.loss / PSI - lost).abs() < 0.07, "{found:?}");
            assert!((found.tip_pressure / PSI - at_tip).abs() < 0.12, "{found:?}");
            assert!((found.current - ampere).abs() < 0.07, "{found:?}");
        }
        // 60 psi holds a column of 132 ft at SG 1.051, by hand.
        near(highest_static_lift(60.0 * PSI, density) / FT, 132.0, 2e-3);
    }

    #[test]
    fn the_switch_decides_how_it_runs() {
        let liquid = super::super::water::water(20.0);
        let with = |tip: f64| {
            let d = Delivery { pump: pump(), volts_share: 1.0, tip: capacity_of_cv(tip), line: level(&[]), liquid };
            (d, delivery_point(&d).running)
        };
        assert_eq!(with(1.0).1, Running::Steady);
        assert_eq!(with(0.45).1, Running::OnceStarted);
        assert_eq!(with(0.2).1, Running::Cycling);
        let steady = tip_for_pump_pressure(&with(1.0).0, 45.0 * PSI).unwrap();
        // 5.5 - 2.6 x 45/60 = 3.55 gpm at 45 psi, by hand.
        near(steady / capacity_of_cv(1.0), 3.55 / f64::sqrt(45.0), 1e-5);
        let lifted = Delivery { line: Line { rise: 120.0 * FT, ..level(&[]) }, ..with(1.0).0 };
        assert_eq!(tip_for_pump_pressure(&lifted, 45.0 * PSI), None);
    }

    #[test]
    fn flow_against_nothing_follows_the_volts() {
        // By hand: 12.6, 11.5 and 10.5 V of 13.6 give 0.926, 0.846 and 0.772 of the flow.
        for (volts, share) in [(12.6, 0.926), (11.5, 0.846), (10.5, 0.772)] {
            near(pump().flow(0.0, volts / 13.6) / (5.5 * GPM), share, 1e-3);
        }
        near(pump().flow(60.0 * PSI, 1.0), 2.9 * GPM, 1e-12);
        assert_eq!(pump().flow(200.0 * PSI, 1.0), 0.0);
        near(pump().current(30.0 * PSI), 14.5, 1e-12);
    }

    #[test]
    fn a_pump_that_cannot_lift_stands_still() {
        let line = Line { hoses: &[], resistance: 0.0, rise: 400.0 * FT };
        let liquid = super::super::water::water(20.0);
        let point = delivery_point(&Delivery { pump: pump(), volts_share: 1.0, tip: 1e-6, line, liquid });
        assert_eq!((point.flow, point.running), (0.0, Running::Cycling));
        near(point.pump_pressure, liquid.density * 9.806_65 * 400.0 * FT, 1e-12);
    }
}
