//! Nozzles and tips: flow, pressure, thrust, choice of size.
//!
//! A trade size is US gallons a minute at 4000 psi. Printed nozzle charts follow the square-root law to rounding, from 100 to
//! 8000 psi; a size is the better fact than a drilled hole, whose printed diameter is a drill number.

use super::{GPM, PSI, REFERENCE_DENSITY};
use std::f64::consts::PI;

/// Discharge coefficient of high-pressure nozzles by their printed holes: low, usual, high. Derived from printed charts.
pub const HIGH_PRESSURE_DISCHARGE: [f64; 3] = [0.78, 0.82, 0.92];
/// Discharge coefficient of smooth soft-wash tips: low, usual, high. Common practice, no source.
pub const TIP_DISCHARGE: [f64; 3] = [0.85, 0.93, 0.98];
/// Velocity coefficient of a nozzle for its thrust: low, usual, high.
///
/// 0.96 and 0.988 are what the fire-service rules 0.0505 and 0.052 gpm sqrt(psi) fold in; 1 is the upper bound for limits.
pub const THRUST_VELOCITY: [f64; 3] = [0.96, 0.988, 1.0];

/// Capacity, m3/s of reference water at 1 Pa, of a trade size: `N gpm / sqrt(4000 psi)`. Rises with size.
#[must_use]
pub fn capacity_of_size(size: f64) -> f64 {
    size * GPM / (4000.0 * PSI).sqrt()
}

/// Trade size of a capacity. Rises with it.
#[must_use]
pub fn size_of_capacity(capacity: f64) -> f64 {
    capacity * (4000.0 * PSI).sqrt() / GPM
}

/// Capacity of a hole: `Cd A sqrt(2/rho)`. Rises with the discharge coefficient and bore.
#[must_use]
pub fn capacity_of_bore(bore: f64, discharge: f64) -> f64 {
    discharge * PI / 4.0 * bore * bore * (2.0 / REFERENCE_DENSITY).sqrt()
}

/// Flow in m3/s that a pressure in Pa drives through a capacity: `C sqrt(P / SG)`; 0 when the pressure is not above zero.
///
/// Rises with capacity and pressure, falls with gravity (the liquid's specific gravity, above 0).
#[must_use]
pub fn flow(capacity: f64, gravity: f64, pressure: f64) -> f64 {
    capacity * (pressure.max(0.0) / gravity).sqrt()
}

/// Pressure in Pa to drive a flow in m3/s through a capacity above 0: `SG (Q/C)^2`. Rises with gravity and flow.
///
/// Falls with capacity.
#[must_use]
pub fn pressure(capacity: f64, gravity: f64, flow: f64) -> f64 {
    gravity * (flow / capacity) * (flow / capacity)
}

/// Capacity that passes a flow at a pressure: `Q sqrt(SG / P)`. Rises with flow and gravity, falls with pressure.
///
/// `None` when the pressure is not above zero: no nozzle passes the flow.
#[must_use]
pub fn capacity_for(flow: f64, gravity: f64, pressure: f64) -> Option<f64> {
    (pressure > 0.0).then(|| flow * (gravity / pressure).sqrt())
}

/// The stock size at or next above an exact one, in steps of a half. Rises with it.
#[must_use]
pub fn stock_size_up(exact: f64) -> f64 {
    // A size that is a stock size but for the last bits of a calculation must not become the next one.
    (2.0 * exact - 1e-9).ceil() / 2.0
}

/// Speed in m/s of the jet at the tip, without loss: `sqrt(2 P / rho)`. Rises with pressure, falls with density.
#[must_use]
pub fn jet_speed(pressure: f64, density: f64) -> f64 {
    (2.0 * pressure.max(0.0) / density).sqrt()
}

/// Thrust in N of a straight jet, the kick of the gun: `Cv Q sqrt(2 rho P)`.
///
/// Rises with all four: velocity coefficient, flow, density, pressure. With Cv 1 it is the upper bound to hold against limits
/// for hand-held guns (150 N without body support, 250 N at all: DGUV Regel 100-500 chapter 2.36, 3.7.5); the maker's manual
/// and the local code go first. Source: momentum, the same as `rho Q v` and as `2 P A`.
#[must_use]
pub fn thrust(flow: f64, pressure: f64, density: f64, velocity_coefficient: f64) -> f64 {
    velocity_coefficient * flow * (2.0 * density * pressure.max(0.0)).sqrt()
}

/// Share of the straight jet's thrust that a flat fan keeps along its axis: `sin(a)/a`, a half the fan's angle in radians.
///
/// Falls with the angle, from 1 at 0 (even sheet, from 0 to pi). Source: momentum of an even sheet.
#[must_use]
pub fn fan_thrust_share(angle: f64) -> f64 {
    let half = angle / 2.0;
    if half.abs() < 1e-8 { 1.0 } else { half.sin() / half }
}

/// Flow in m3/s whose thrust at a pressure just reaches a limit in N. Rises with the limit, falls with the others.
///
/// `None` when pressure or density is not above zero.
#[must_use]
pub fn flow_at_thrust(limit: f64, pressure: f64, density: f64) -> Option<f64> {
    let each = thrust(1.0, pressure, density, 1.0);
    (each > 0.0).then(|| limit / each)
}

/// Share of the pressure that a worn nozzle keeps at the same flow when its area has grown by `growth` (0.05 is 5 %).
///
/// `1/(1 + growth)^2`. Falls with growth.
#[must_use]
pub fn pressure_kept_when_worn(growth: f64) -> f64 {
    1.0 / ((1.0 + growth) * (1.0 + growth))
}
