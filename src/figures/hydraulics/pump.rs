//! The positive-displacement pump of a pressure washer with its unloader, hose and nozzle.

use super::pipe::{Line, lift, line_loss};
use super::{Liquid, nozzle, rising_root};

/// Overall efficiency of a plunger pump, shaft to water: low, usual, high.
///
/// The printed rule hp = gpm psi / 1460 folds in 0.852; 80 to 95 % is quoted in general references.
pub const EFFICIENCY: [f64; 3] = [0.80, 0.85, 0.90];

/// A pump that gives a fixed flow, the unloader that limits its pressure, and what it pushes through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Washer<'a> {
    /// Flow the pump delivers, m3/s; above 0.
    pub pump_flow: f64,
    /// Setting of the unloader, Pa; infinite when none is fitted, which is a danger of its own.
    pub unloader: f64,
    /// Capacity of the nozzle, or the sum of several in parallel, m3/s at 1 Pa; above 0. See [`nozzle::capacity_of_size`].
    pub nozzle: f64,
    /// From pump to gun.
    pub line: Line<'a>,
    /// What is pumped.
    pub liquid: Liquid,
}

/// Where a washer settles with the trigger pulled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WashPoint {
    /// Flow at the gun, m3/s.
    pub flow: f64,
    /// Flow the unloader sends round, m3/s; 0 while it stays shut.
    pub bypass: f64,
    /// Pressure at the nozzle, Pa.
    pub gun_pressure: f64,
    /// Pressure lost in hose and fittings, lift not counted, Pa.
    pub loss: f64,
    /// Pressure at the pump, Pa; the sum of the two above and the lift. Below 0 where a long fall feeds the gun by itself.
    pub pump_pressure: f64,
}

/// Pressure in Pa at the pump to push a flow through line and nozzle: `SG (q/C)^2 + loss(q) + rho g h`. Rises with flow.
///
/// Rises with the line's length, roughness, fittings, resistance and rise; falls with its bore and the nozzle's capacity.
#[must_use]
pub fn pressure_needed(washer: &Washer, flow: f64) -> f64 {
    nozzle::pressure(washer.nozzle, washer.liquid.gravity(), flow)
        + line_loss(&washer.line, washer.liquid, flow)
        + lift(&washer.line, washer.liquid)
}

/// Where the washer settles.
///
/// If the whole flow needs no more than the unloader's setting, the unloader stays shut: the nozzle sets the pressure at the
/// gun and the hose adds to the pump's. Otherwise the unloader sets the pressure at the pump, the hose takes from the gun's,
/// and the rest of the flow goes round. When even the lift is above the setting nothing leaves the gun.
///
/// Directions (`+` rises, `-` falls, `0` no effect), unloader shut / open:
///
/// | | pump flow | bore | length, roughness, fittings | nozzle | unloader | rise |
/// |---|---|---|---|---|---|---|
/// | `flow` | + / 0 | 0 / + | 0 / - | 0 / + | 0 / + | 0 / - |
/// | `gun_pressure` | + / 0 | 0 / + | 0 / - | - / - | 0 / + | 0 / - |
/// | `loss` | + / 0 | - / - | + / + | 0 / + | 0 / + | 0 / - |
/// | `pump_pressure` | + / 0 | - / 0 | + / 0 | - / 0 | 0 / + | + / 0 |
/// | `bypass` | 0 / + | 0 / - | 0 / + | 0 / - | 0 / - | 0 / + |
///
/// Across the opening of the unloader there is a kink and no change of sign, so the corners of an interval bound the results;
/// evaluate the whole point at each. Where the nozzle needs next to nothing, warmer water acts as in [`super::pipe::loss`].
#[must_use]
pub fn wash_point(washer: &Washer) -> WashPoint {
    let flow = if pressure_needed(washer, washer.pump_flow) <= washer.unloader {
        washer.pump_flow
    } else if lift(&washer.line, washer.liquid) >= washer.unloader {
        0.0
    } else {
        rising_root(0.0, washer.pump_flow, |flow| pressure_needed(washer, flow) - washer.unloader)
    };
    // With no flow the unloader still holds the pump at its setting.
    let pump_pressure = if flow > 0.0 { pressure_needed(washer, flow) } else { washer.unloader };
    WashPoint {
        flow,
        bypass: washer.pump_flow - flow,
        gun_pressure: nozzle::pressure(washer.nozzle, washer.liquid.gravity(), flow),
        loss: line_loss(&washer.line, washer.liquid, flow),
        pump_pressure,
    }
}

/// Capacity of the nozzle that brings the pump to its unloader's setting with the unloader just shut.
///
/// Take the next size up: one down opens the unloader. Rises with pump flow, the line's length, roughness, fittings and rise;
/// falls with bore and setting. `None` when hose and lift take the whole setting. The washer's own nozzle is not read.
#[must_use]
pub fn exact_nozzle(washer: &Washer) -> Option<f64> {
    let left = washer.unloader
        - line_loss(&washer.line, washer.liquid, washer.pump_flow)
        - lift(&washer.line, washer.liquid);
    nozzle::capacity_for(washer.pump_flow, washer.liquid.gravity(), left)
}

/// Power in W given to the water: `Q P`, with the whole flow of the pump, bypassed part included. Rises with both.
#[must_use]
pub fn hydraulic_power(flow: f64, pressure: f64) -> f64 {
    flow * pressure
}

/// Power in W at the shaft: hydraulic power over efficiency (above 0). Rises with flow and pressure, falls with efficiency.
#[must_use]
pub fn shaft_power(flow: f64, pressure: f64, efficiency: f64) -> f64 {
    hydraulic_power(flow, pressure) / efficiency
}

/// Highest pressure in Pa that a shaft power in W can hold at a flow. Rises with power and efficiency, falls with flow.
///
/// `None` when nothing flows.
#[must_use]
pub fn pressure_for_power(power: f64, flow: f64, efficiency: f64) -> Option<f64> {
    (flow > 0.0).then(|| power * efficiency / flow)
}

/// What an engine too weak for its pump settles at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lugging {
    /// Pressure at the pump that the engine's torque can hold, Pa.
    pub pressure: f64,
    /// Flow at the gun, m3/s.
    pub flow: f64,
    /// Share of the rated speed; below about 0.85 the engine lugs or stalls (common practice, no source).
    pub speed: f64,
}

/// How far an engine is pulled down by a washer it cannot drive; `None` when the available power (W) is enough.
///
/// The torque is taken as constant: the held pressure is the pump's times available over needed power, all flow passes the
/// nozzle at it, and the speed is that flow over the pump's. A yes or no, not a figure. The three results rise with the
/// available power and fall with the needed one. 0 speed when the torque cannot even hold the lift.
#[must_use]
pub fn lugging(washer: &Washer, available: f64, efficiency: f64) -> Option<Lugging> {
    let point = wash_point(washer);
    let needed = shaft_power(washer.pump_flow, point.pump_pressure, efficiency);
    if needed <= available {
        return None;
    }
    let pressure = point.pump_pressure * available.max(0.0) / needed;
    let flow = if lift(&washer.line, washer.liquid) >= pressure {
        0.0
    } else {
        rising_root(0.0, washer.pump_flow, |flow| pressure_needed(washer, flow) - pressure)
    };
    Some(Lugging { pressure, flow, speed: flow / washer.pump_flow })
}
