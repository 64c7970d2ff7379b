//! The positive-displacement pump of a pressure washer with its unloader, hose and nozzle.

use super::pipe::{Line, lift, line_loss};
use super::{Liquid, nozzle, rising_root};

/// Overall efficiency of a plunger pump, shaft to water: low, usual, high.
///
/// The printed rule hp = gpm psi / 1460 folds in 0.852; 80 to 95 % is quoted in general references.
pub const EFFICIENCY: [f64; 3] = [0.80, 0.85, 0.90];

/// Flow a pump delivers over the flow on its plate: low, usual, high. Common practice, no source.
pub const DELIVERED_SHARE: [f64; 3] = [0.95, 1.0, 1.0];

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
    let left =
        washer.unloader - line_loss(&washer.line, washer.liquid, washer.pump_flow) - lift(&washer.line, washer.liquid);
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

#[cfg(test)]
mod tests {
    use super::super::tests::{FT, GPM, HP, PSI, hose, level, near, reference, row_hose};
    use super::super::water::water;
    use super::*;
    use nozzle::{capacity_of_size, size_of_capacity};

    #[test]
    fn open_unloaders_agree_with_fluids_and_scipy() {
        // tests/reference/hydraulics.py: Clamond friction (fluids 1.3.1), root by brentq (scipy 1.17.1).
        let rows = reference("washer");
        assert_eq!(rows.len(), 4);
        for row in rows {
            let hoses = [row_hose(&row)];
            let point = wash_point(&Washer {
                pump_flow: row["pump_flow"],
                unloader: row["unloader"],
                nozzle: capacity_of_size(row["size"]),
                line: level(&hoses),
                liquid: water(20.0),
            });
            near(point.flow, row["flow"], 2e-4);
            near(point.pump_pressure, row["unloader"], 1e-12);
        }
    }

    #[test]
    fn seven_washers_hold_their_worked_points() {
        // Open states checked with fluids 1.3.1 and scipy; shut ones follow from the hose loss: pump gpm, unloader psi, size,
        // bore in, ft; gun gpm, gun psi, loss, pump psi, bypass gpm.
        for (pump, psi, size, bore, feet, gpm, gun, lost, at_pump, bypass) in [
            (5.5, 3000.0, 6.5, 0.375, 200.0, 5.3599, 2719.86, 280.14, 3000.00, 0.1401),
            (5.5, 3000.0, 7.0, 0.375, 200.0, 5.5000, 2469.39, 294.01, 2763.39, 0.0),
            (8.0, 3500.0, 8.0, 0.375, 200.0, 6.9748, 3040.46, 459.54, 3500.00, 1.0252),
            (8.0, 3500.0, 9.5, 0.375, 200.0, 8.0000, 2836.57, 595.60, 3432.16, 0.0),
            (4.0, 4000.0, 3.5, 0.25, 100.0, 3.3024, 3561.11, 438.89, 4000.00, 0.6976),
            (4.0, 4000.0, 3.0, 0.25, 150.0, 2.8178, 3529.00, 471.00, 4000.00, 1.1822),
            (5.5, 3000.0, 40.0, 0.375, 200.0, 5.5000, 75.63, 294.01, 369.63, 0.0),
        ] {
            let hoses = [hose(bore, feet, 1e-5, 15.0)];
            let point = wash_point(&Washer {
                pump_flow: pump * GPM,
                unloader: psi * PSI,
                nozzle: capacity_of_size(size),
                line: level(&hoses),
                liquid: water(20.0),
            });
            near(point.flow / GPM, gpm, 2e-4);
            near(point.gun_pressure / PSI, gun, 2e-4);
            near(point.loss / PSI, lost, 2e-4);
            near(point.pump_pressure / PSI, at_pump, 2e-4);
            assert!((point.bypass / GPM - bypass).abs() < 2e-4, "{point:?}");
        }
    }

    #[test]
    fn four_machines_hold_their_exact_nozzle() {
        // By hand from the hose loss, itself checked with fluids: gpm, unloader psi, bore in, ft, loss psi, exact size.
        for (gpm, psi, bore, feet, lost, size) in [
            (5.5, 3000.0, 0.375, 200.0, 294.01, 6.6870),
            (8.0, 3500.0, 0.375, 200.0, 595.60, 9.3884),
            (8.0, 3500.0, 0.5, 200.0, 146.28, 8.7369),
            (4.0, 4000.0, 0.25, 100.0, 631.16, 4.3586),
        ] {
            let hoses = [hose(bore, feet, 1e-5, 15.0)];
            let washer = Washer {
                pump_flow: gpm * GPM,
                unloader: psi * PSI,
                nozzle: 1.0,
                line: level(&hoses),
                liquid: water(20.0),
            };
            near(line_loss(&washer.line, washer.liquid, washer.pump_flow) / PSI, lost, 2e-4);
            let exact = exact_nozzle(&washer).unwrap();
            near(size_of_capacity(exact), size, 2e-4);
            near(pressure_needed(&Washer { nozzle: exact, ..washer }, washer.pump_flow), washer.unloader, 1e-12);
            assert_eq!(exact_nozzle(&Washer { unloader: 50.0 * PSI, ..washer }), None);
        }
    }

    #[test]
    fn hydraulic_power_reproduces_the_published_example() {
        // Published worked example: 20 gpm at 1500 psi is 17.5 hp. The rest by hp = gpm psi / 1714.2857, exact units.
        for (gpm, psi, hp, kilowatt) in [
            (1.0, 1714.2857, 1.0, 0.74570),
            (4.0, 4000.0, 9.33333, 6.95987),
            (8.0, 3500.0, 16.33333, 12.17976),
            (20.0, 1500.0, 17.5, 13.04975),
        ] {
            let power = hydraulic_power(gpm * GPM, psi * PSI);
            near(power / HP, hp, 1e-5);
            near(power / 1e3, kilowatt, 1e-5);
        }
        // The printed rule gpm psi / 1460 is an efficiency of 0.852.
        near(shaft_power(GPM, 1460.0 * PSI, 0.852) / HP, 1.0, 1e-3);
        assert_eq!(pressure_for_power(1e4, 0.0, 0.85), None);
    }

    #[test]
    fn a_shut_unloader_lugs_by_the_square_root_of_the_power() {
        // With hose loss and pressure both square in flow, speed = sqrt(available/needed): exact without hose, by hand.
        let washer = Washer {
            pump_flow: 4.0 * GPM,
            unloader: f64::INFINITY,
            nozzle: capacity_of_size(4.0),
            line: level(&[]),
            liquid: water(20.0),
        };
        let needed = shaft_power(washer.pump_flow, wash_point(&washer).pump_pressure, 0.85);
        near(lugging(&washer, 0.64 * needed, 0.85).unwrap().speed, 0.8, 1e-9);
        assert_eq!(lugging(&washer, needed, 0.85), None);
        assert_eq!(lugging(&washer, 0.0, 0.85).unwrap().speed, 0.0);
    }

    #[test]
    fn a_lift_above_the_unloader_lets_nothing_out() {
        let washer = Washer {
            pump_flow: 4.0 * GPM,
            unloader: 10.0 * PSI,
            nozzle: capacity_of_size(4.0),
            line: Line { hoses: &[], resistance: 0.0, rise: 100.0 * FT },
            liquid: water(20.0),
        };
        let point = wash_point(&washer);
        assert_eq!((point.flow, point.bypass, point.gun_pressure), (0.0, 4.0 * GPM, 0.0));
        assert_eq!(point.pump_pressure, washer.unloader);
    }
}
