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

#[cfg(test)]
mod tests {
    use super::super::tests::{FT, IN, POUND, POUND_FORCE, near};
    use super::super::water::density;
    use super::*;

    const LITRE_A_MINUTE: f64 = 1e-3 / 60.0;

    #[test]
    fn trade_sizes_follow_the_printed_charts() {
        // Trade nozzle charts, printed to 0.1 gpm: size, psi and gpm read off, 500 to 8000 psi.
        for (size, psi, gpm) in [
            (2.0, 1500.0, 1.2),
            (2.0, 2000.0, 1.4),
            (2.0, 8000.0, 2.8),
            (4.0, 1000.0, 2.0),
            (4.0, 2500.0, 3.2),
            (4.0, 3000.0, 3.5),
            (4.0, 8000.0, 5.7),
            (5.5, 1000.0, 2.8),
            (5.5, 3000.0, 4.8),
            (5.5, 5000.0, 6.2),
            (6.5, 800.0, 2.9),
            (6.5, 3000.0, 5.6),
        ] {
            let found = flow(capacity_of_size(size), 1.0, psi * PSI) / GPM;
            assert!((found - gpm).abs() <= 0.051, "size {size} at {psi} psi: {found}, printed {gpm}");
        }
    }

    #[test]
    fn trade_sizes_hold_the_square_root_law() {
        // By hand: size, psi, gpm.
        for (size, psi, gpm) in [
            (2.0, 500.0, 0.5_f64.sqrt()),
            (4.0, 3000.0, 3.464102),
            (5.5, 3000.0, 4.763140),
            (6.5, 3000.0, 5.629165),
            (4.0, 5000.0, 4.472136),
            (40.0, 75.625, 5.5),
        ] {
            let capacity = capacity_of_size(size);
            near(flow(capacity, 1.0, psi * PSI) / GPM, gpm, 1e-6);
            near(pressure(capacity, 1.0, gpm * GPM) / PSI, psi, 2e-6);
            near(size_of_capacity(capacity_for(gpm * GPM, 1.0, psi * PSI).unwrap()), size, 1e-6);
        }
        // A size in SI: 0.227942 L/min per root bar and 0.268390 mm2 of area, by hand.
        near(flow(capacity_of_size(1.0), 1.0, 1e5) / LITRE_A_MINUTE, 0.227942, 1e-5);
        near(capacity_of_size(1.0) / capacity_of_bore(1e-3, 1.0) * PI / 4.0, 0.268390, 1e-5);
        // Heavier liquid of SG 1.21 passes 1/1.1.
        near(flow(1.0, 1.21, 1.0), 1.0 / 1.1, 1e-12);
        assert_eq!(flow(1.0, 1.0, -5.0), 0.0);
        assert_eq!(capacity_for(1.0, 1.0, 0.0), None);
    }

    #[test]
    fn printed_holes_pass_their_size_at_the_usual_discharge() {
        // 29.851 gpm for one inch at 1 psi (fire service prints 29.84 and 29.7).
        near(flow(capacity_of_bore(IN, 1.0), 1.0, PSI) / GPM, 29.84, 1e-3);
        // Trade chart: size and printed hole in inches.
        for (size, hole) in [(2.0, 0.034), (3.0, 0.043), (4.0, 0.052), (5.5, 0.060), (7.0, 0.067)] {
            let discharge = capacity_of_size(size) / capacity_of_bore(hole * IN, 1.0);
            let [low, _, high] = HIGH_PRESSURE_DISCHARGE;
            assert!((low..=high).contains(&discharge), "size {size}: {discharge}");
        }
    }

    #[test]
    fn thrust_is_momentum_three_ways() {
        // rho Q v, 2 P A and Q sqrt(2 rho P) by hand: gpm, psi, m/s, N, lbf; water 20 degC, velocity coefficient 1.
        for (gpm, psi, speed, newton, pounds) in [
            (4.0, 4000.0, 235.069, 59.216, 13.3122),
            (5.5, 3000.0, 203.575, 70.513, 15.8520),
            (8.0, 3500.0, 219.887, 110.782, 24.9048),
            (8.0, 4000.0, 235.069, 118.431, 26.6244),
            (10.0, 3000.0, 203.575, 128.206, 28.8217),
            (5.0, 40.0, 23.507, 7.402, 1.6640),
        ] {
            let (q, p, rho) = (gpm * GPM, psi * PSI, density(20.0));
            let kick = thrust(q, p, rho, 1.0);
            near(jet_speed(p, rho), speed, 1e-4);
            near(kick, newton, 1e-4);
            near(kick / POUND_FORCE, pounds, 1e-4);
            near(kick, rho * q * jet_speed(p, rho), 1e-12);
            near(kick, 2.0 * p * (q / jet_speed(p, rho)), 1e-12);
        }
    }

    #[test]
    fn without_pressure_there_is_no_jet() {
        assert_eq!((jet_speed(-1.0, 998.0), thrust(1e-4, -1.0, 998.0, 1.0)), (0.0, 0.0));
    }

    #[test]
    fn the_rules_of_thumb_for_thrust_come_out() {
        let unit = |rho: f64| thrust(GPM, PSI, rho, 1.0) / POUND_FORCE;
        near(unit(REFERENCE_DENSITY), 0.052621, 1e-5);
        near(unit(1000.0), 0.052668, 1e-5);
        near(unit(62.4 * POUND / (FT * FT * FT)), 0.052657, 1e-5);
        near(thrust(LITRE_A_MINUTE, 1e5, REFERENCE_DENSITY, 1.0), 0.235491, 1e-5);
        near(thrust(LITRE_A_MINUTE, 1e6, REFERENCE_DENSITY, 1.0), 0.744686, 1e-5);
        // Fire service: 0.0505 gpm sqrt(psi) for fog, and 0.052 of the wash trade, fold in velocity coefficients.
        near(thrust(GPM, PSI, REFERENCE_DENSITY, THRUST_VELOCITY[0]) / POUND_FORCE, 0.0505, 1e-3);
        near(thrust(GPM, PSI, REFERENCE_DENSITY, THRUST_VELOCITY[1]) / POUND_FORCE, 0.052, 1e-3);
        // Fire service, smooth bore: 1.57 d^2 P, pi/2 rounded.
        let bore = flow(capacity_of_bore(IN, 1.0), 1.0, 50.0 * PSI);
        near(thrust(bore, 50.0 * PSI, REFERENCE_DENSITY, 1.0) / POUND_FORCE, 1.57 * 50.0, 1e-3);
    }

    #[test]
    fn limits_for_hands_are_met_by_large_machines_only() {
        // By hand: gpm that kicks with 150 N and 250 N at psi.
        for (psi, braced, most) in
            [(2000.0, 14.3, 23.9), (3000.0, 11.7, 19.5), (4000.0, 10.1, 16.9), (5000.0, 9.1, 15.1)]
        {
            let gpm = |limit| flow_at_thrust(limit, psi * PSI, REFERENCE_DENSITY).unwrap() / GPM;
            assert!((gpm(150.0) - braced).abs() < 0.051 && (gpm(250.0) - most).abs() < 0.051);
        }
        assert_eq!(flow_at_thrust(150.0, 0.0, 998.0), None);
    }

    #[test]
    fn fans_kick_a_little_less() {
        // sin(a)/a by hand: fan degrees, share.
        for (degrees, share) in [(15.0, 0.997), (25.0, 0.992), (40.0, 0.980), (65.0, 0.947)] {
            assert!((fan_thrust_share(f64::to_radians(degrees)) - share).abs() < 6e-4);
        }
        assert_eq!(fan_thrust_share(0.0), 1.0);
    }

    #[test]
    fn sizes_add_wear_and_round_up() {
        // Parallel nozzles pass the sum of their sizes at one pressure: 2 x 2.5 and 3 x 1.5.
        let at = |size: f64| flow(capacity_of_size(size), 1.0, 3000.0 * PSI);
        near(2.0 * at(2.5), at(5.0), 1e-12);
        near(3.0 * at(1.5), at(4.5), 1e-12);
        // 5 % more area costs 9.3 % of the pressure, 10 % costs 17.4 %, by hand.
        assert!((1.0 - pressure_kept_when_worn(0.05) - 0.093).abs() < 5e-4);
        assert!((1.0 - pressure_kept_when_worn(0.10) - 0.174).abs() < 5e-4);
        for (exact, stock) in [(6.606, 7.0), (6.5, 6.5), (6.500_000_000_1, 6.5), (6.501, 7.0), (4.064, 4.5)] {
            assert_eq!(stock_size_up(exact), stock);
        }
    }
}
