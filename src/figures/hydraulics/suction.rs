//! The suction side: pressure left at the pump's port, vacuum, the vortex over an outlet.

use super::pipe::{Hose, loss, velocity};
use super::{GRAVITY, Liquid};

/// Vacuum at the port that plunger pumps are usually allowed, Pa below the air: 2.5 psi, about 5 inHg. Common practice, no
/// source; many direct-driven pumps are allowed none. The maker's limit goes first.
pub const USUAL_VACUUM: f64 = 17_237.0;
/// Fastest flow in a suction hose, m/s: 3 ft/s. Common practice, no source.
pub const FASTEST_SUCTION: f64 = 0.9144;

/// From a tank to a pump's port.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suction {
    /// The hose, with the entrance and its valves in its fittings.
    pub hose: Hose,
    /// Height of the tank's surface over the port, m; negative when the pump lifts.
    pub level: f64,
    /// Pressure lost in the strainer at this flow, Pa; clean about 2 kPa (common practice).
    pub strainer: f64,
    /// Flow drawn, m3/s.
    pub flow: f64,
    /// What is drawn.
    pub liquid: Liquid,
}

/// Net positive suction head available in m: `(p_air - p_vapour)/(rho g) + level - hose - strainer`.
///
/// Rises with level, air pressure (Pa absolute) and hose bore; falls with vapour pressure and so with temperature, with flow,
/// length, roughness, fittings and strainer. The head a reciprocating pump spends on accelerating the liquid is not taken off:
/// a flexible last piece of hose is assumed. What the pump requires is the maker's figure.
/// Source: the usual definition of NPSH, ANSI/HI 9.6.1 (clause from memory).
#[must_use]
pub fn head_available(suction: &Suction, air_pressure: f64, vapour_pressure: f64) -> f64 {
    let weight = suction.liquid.density * GRAVITY;
    let lost = loss(&suction.hose, suction.liquid, suction.flow) + suction.strainer;
    (air_pressure - vapour_pressure - lost) / weight + suction.level
}

/// Gauge pressure in Pa at the port: `rho g level - hose - strainer - rho v^2/2`, v in the hose; a vacuum is negative.
///
/// Rises with level and bore; falls with flow, length, roughness, fittings and strainer. Rises with density when the level is
/// high enough to matter, so it is not monotone in it. Falls with viscosity, so the coldest water makes the deepest vacuum.
#[must_use]
pub fn port_pressure(suction: &Suction) -> f64 {
    let Suction { hose, level, strainer, flow, liquid } = *suction;
    let speed = velocity(flow, hose.bore);
    liquid.density * GRAVITY * level - loss(&hose, liquid, flow) - strainer - liquid.density * speed * speed / 2.0
}

/// Lowest gauge pressure in Pa before the liquid boils: `p_vapour - p_air`. Rises with vapour pressure, falls with air pressure.
///
/// A port or a manifold computed below it is starved: the flow asked for does not come.
#[must_use]
pub fn boiling_gauge(air_pressure: f64, vapour_pressure: f64) -> f64 {
    vapour_pressure - air_pressure
}

/// What a reciprocating pump does to the liquid in a rigid suction pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulsation {
    /// Length of rigid pipe, m.
    pub length: f64,
    /// Mean velocity in it, m/s.
    pub velocity: f64,
    /// Speed of the crank, turns a second.
    pub speed: f64,
    /// 0.200 simplex, 0.115 double-acting duplex, 0.066 triplex, 0.040 quintuplex.
    pub pump: f64,
    /// Stiffness of the liquid: 1.4 water, up to 2.5 for liquids that give.
    pub liquid: f64,
}

/// Head in m spent on accelerating the liquid in a rigid pipe: `L V N C / (K g)`, N in turns a minute.
///
/// Rises with length, velocity, speed and the pump's constant; falls with the liquid's. For a usual rig it exceeds all the head
/// there is, which is why the last piece is flexible: a verdict only where the line is stated to be rigid.
/// Source: Hydraulic Institute form; constants from memory.
#[must_use]
pub fn acceleration_head(pulsation: &Pulsation) -> f64 {
    pulsation.length * pulsation.velocity * pulsation.speed * 60.0 * pulsation.pump / (pulsation.liquid * GRAVITY)
}

/// Depth in m of liquid over an outlet's centre that keeps a vortex away: `D (1 + 2.3 F)`, F = v / sqrt(g D).
///
/// Rises with flow. Not monotone in bore (above 0): falls while the outlet is small for its flow, rises once it is large.
/// Written for sump intakes, on the safe side for a tank. Source: ANSI/HI 9.8-1998, 9.8.7.
#[must_use]
pub fn submergence(bore: f64, flow: f64) -> f64 {
    bore + 2.3 * bore * velocity(flow, bore) / (GRAVITY * bore).sqrt()
}

/// Height in m of liquid in a tank that cannot be used: the outlet's centre over the floor plus the depth over it.
///
/// Rises with both.
#[must_use]
pub fn heel_height(outlet_height: f64, submergence: f64) -> f64 {
    outlet_height + submergence
}

#[cfg(test)]
mod tests {
    use super::super::atmosphere::STANDARD_PRESSURE;
    use super::super::tests::{FT, GPM, IN, INHG, PSI, hose, near, reference, row_hose};
    use super::super::water::{vapour_pressure, water};
    use super::*;

    fn drawing(t: f64, level: f64, bore: f64, feet: f64) -> Suction {
        Suction { hose: hose(bore, feet, 1e-5, 4.0), level, strainer: 0.3 * PSI, flow: 5.5 * GPM, liquid: water(t) }
    }

    #[test]
    fn head_and_port_pressure_agree_with_fluids_and_coolprop() {
        // tests/reference/hydraulics.py: Clamond friction (fluids 1.3.1), IAPWS water (CoolProp 8.0.0).
        let rows = reference("suction");
        assert_eq!(rows.len(), 5);
        for row in rows {
            let s = Suction {
                hose: row_hose(&row),
                level: row["level"],
                strainer: row["strainer"],
                flow: row["flow"],
                liquid: water(row["temperature"]),
            };
            let vapour = vapour_pressure(row["temperature"]);
            near(head_available(&s, STANDARD_PRESSURE, vapour), row["head"], 1e-3);
            // The port's pressure is a small difference of larger ones: 10 Pa.
            assert!((port_pressure(&s) - row["port"]).abs() < 10.0, "{row:?}");
        }
    }

    #[test]
    fn five_suction_lines_hold_their_worked_figures() {
        // Checked with fluids 1.3.1 and CoolProp 8.0.0: degC, level m, bore in, length ft, ft/s, hose m, NPSH m, port psi, inHg.
        for (t, level, bore, feet, fps, head, npsh, psi, inhg) in [
            (20.0, 0.6, 1.0, 6.0, 2.247, 0.1432, 10.358, 0.315, 0.641),
            (20.0, -0.6, 1.0, 6.0, 2.247, 0.1432, 9.158, -1.389, -2.828),
            (40.0, 0.6, 0.75, 6.0, 3.994, 0.4770, 9.565, -0.233, -0.475),
            (60.0, 0.6, 1.0, 6.0, 2.247, 0.1362, 8.690, 0.315, 0.642),
            (20.0, 0.3, 0.625, 15.0, 5.752, 1.7766, 8.424, -2.619, -5.332),
        ] {
            let s = drawing(t, level, bore, feet);
            near(velocity(s.flow, bore * IN) / FT, fps, 1e-3);
            near(loss(&s.hose, s.liquid, s.flow) / (s.liquid.density * GRAVITY), head, 1e-3);
            near(head_available(&s, STANDARD_PRESSURE, vapour_pressure(t)), npsh, 1e-3);
            // Printed to three decimals, so half a unit of the last one is allowed on top of 0.1 %.
            assert!((port_pressure(&s) / PSI - psi).abs() < 1e-3 * psi.abs() + 6e-4);
            assert!((port_pressure(&s) / INHG - inhg).abs() < 1e-3 * inhg.abs() + 6e-4);
        }
    }

    #[test]
    fn submergence_reproduces_the_standard() {
        // ANSI/HI 9.8-1998 9.8.7: a 16 in bell at 1000 gpm needs 25 in; its inch form is D + 0.574 gpm / D^1.5.
        near(submergence(16.0 * IN, 1000.0 * GPM) / IN, 25.0, 5e-3);
        for (bore, gpm, inches) in [(16.0, 1000.0, 24.969), (1.0, 5.5, 4.157), (0.75, 5.5, 5.611), (1.25, 8.0, 4.536)] {
            near(submergence(bore * IN, gpm * GPM) / IN, inches, 5e-3);
            near(inches, bore + 0.574 * gpm / f64::powf(bore, 1.5), 1e-4);
        }
        near(heel_height(0.1, submergence(IN, 5.5 * GPM)), 0.1 + 4.157 * IN, 5e-3);
    }

    #[test]
    fn a_rigid_suction_pipe_eats_all_the_head_there_is() {
        // Hydraulic Institute form with constants from memory, by hand: 6 ft, 2.25 ft/s, 1000 rpm, triplex, water: 19.781 ft.
        let rigid = Pulsation { length: 6.0 * FT, velocity: 2.25 * FT, speed: 1000.0 / 60.0, pump: 0.066, liquid: 1.4 };
        near(acceleration_head(&rigid) / FT, 19.781, 1e-4);
    }

    #[test]
    fn water_boils_below_the_vapour_pressure() {
        near(boiling_gauge(STANDARD_PRESSURE, vapour_pressure(20.0)), 2339.3 - 101_325.0, 1e-4);
    }
}
