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
