//! Heat in bypassed water, thermal relief, and freezing.
//!
//! One temperature for the whole of what is heated or cooled, and steady surroundings. Water and steam over 60 degC scald and
//! burst hoses: pumps, hoses and seals have their own makers' limits, and those go first.
//!
//! Units: kg, m, m2, m3, s, W, W/K, J/(kg K), Pa, degC, K for differences.

use std::f64::consts::PI;

/// Temperature at which pump seals suffer when the maker states none: 140 degF. Trade advice; common practice, no source.
pub const SEAL_LIMIT: f64 = 60.0;
/// Friction of an unloaded pump that ends in its water, W. Common practice, no source.
pub const PUMP_FRICTION: f64 = 400.0;
/// Shaft power of an idling pump in bypass for machines of 4 to 8 gpm, W: low, usual, high. Common practice, no source.
pub const IDLE_POWER: [f64; 3] = [300.0, 750.0, 1500.0];
/// Latent heat of freezing water, J/kg (IAPWS release on ice Ih, R10-06(2009), rounded).
pub const LATENT_HEAT: f64 = 333_550.0;
/// Growth of water's volume in freezing, from 999.84 to 916.7 kg/m3.
pub const ICE_GROWTH: f64 = 0.0907;
/// Share of ice at which a trapped volume is in danger. Common practice, no source.
pub const FIRST_ICE: f64 = 0.1;
/// Heat transfer from a wet part to still and to moving air, W/(m2 K). Common practice, no source.
pub const AIR_FILM: [f64; 2] = [10.0, 25.0];
/// Conductivity of rubber hose, W/(m K). Handbook value, from memory.
pub const RUBBER: f64 = 0.2;

/// Water (with whatever warms along) heated by a steady power and cooled by the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warming {
    /// Heat stored per kelvin, J/K: the sum of mass times specific heat; above 0.
    pub capacity: f64,
    /// Power going into it, W.
    pub power: f64,
    /// Heat lost to the air per kelvin over it, W/K; 0 for the quickest heating.
    pub loss: f64,
    /// Temperature at the start, degC.
    pub start: f64,
    /// Temperature of the air, degC.
    pub air: f64,
}

/// Power in W that an idling pump puts into its bypass: flow times bypass pressure, and friction. Rises with all three.
#[must_use]
pub fn idle_power(flow: f64, bypass_pressure: f64, friction: f64) -> f64 {
    flow * bypass_pressure + friction
}

/// Rate of warming in K/s without loss: power over capacity (above 0). Rises with power, falls with capacity.
#[must_use]
pub fn warming_rate(power: f64, capacity: f64) -> f64 {
    power / capacity
}

/// Seconds until `limit` degC is reached; 0 when it is there already, `None` when it never is.
///
/// `t = tau ln((T_inf - T0)/(T_inf - T_lim))`, tau = C/UA, T_inf = T_air + P/UA, and C dT/P without loss. Rises with capacity,
/// loss and limit; falls with power, start and air. `None` counts as longer than any time. Source: lumped heat balance.
#[must_use]
pub fn time_to_warm(warming: &Warming, limit: f64) -> Option<f64> {
    let Warming { capacity, power, loss, start, air } = *warming;
    let rise = limit - start;
    if rise <= 0.0 {
        return Some(0.0);
    }
    let net = power - loss * (start - air);
    if net <= 0.0 {
        return None;
    }
    // Written this way because tau and T_inf run to infinity together as the loss goes to zero.
    let share = loss * rise / net;
    let without_loss = capacity * rise / net;
    if share >= 1.0 {
        None
    } else if share > 0.0 {
        Some(without_loss * (-(-share).ln_1p() / share))
    } else {
        Some(without_loss)
    }
}

/// Temperature in degC it would level off at: `T_air + P/UA`. Rises with air and power, falls with loss.
///
/// `None` when nothing is lost, so that it never levels off.
#[must_use]
pub fn levels_off(warming: &Warming) -> Option<f64> {
    (warming.loss > 0.0).then(|| warming.air + warming.power / warming.loss)
}

/// Loss in W/K of a compact tank of a volume: `h 6 V^(2/3)`. Rises with film coefficient (W/(m2 K)) and volume.
#[must_use]
pub fn tank_loss(film: f64, volume: f64) -> f64 {
    film * 6.0 * volume.powf(2.0 / 3.0)
}

/// Volume in m3 of the smallest compact tank that never passes a limit, `rise` K above the air, at a steady power.
///
/// `(P / (6 h dT))^(3/2)`. Rises with power, falls with rise and film. `None` when rise or film is not above zero.
#[must_use]
pub fn tank_that_stays_cool(power: f64, rise: f64, film: f64) -> Option<f64> {
    (rise > 0.0 && film > 0.0).then(|| (power.max(0.0) / (6.0 * film * rise)).powf(1.5))
}

/// Mass of water in kg that takes a power for a time with no more than `rise` K, losses left out on the safe side.
///
/// Rises with power and time, falls with specific heat and rise. `None` when the rise is not above zero.
#[must_use]
pub fn mass_to_absorb(power: f64, seconds: f64, specific_heat: f64, rise: f64) -> Option<f64> {
    (rise > 0.0).then(|| power * seconds / (specific_heat * rise))
}

/// Warming in K of water on one pass through pump and unloader: `p / (rho c eta)`.
///
/// Rises with pressure, falls with density, specific heat and efficiency (1 for the throttling alone). Up to 8 % above the
/// exact throttling of water at 20 degC (CoolProp 8.0.0), because pressed water is cooled a little by letting go.
#[must_use]
pub fn rise_per_pass(pressure: f64, density: f64, specific_heat: f64, efficiency: f64) -> f64 {
    pressure / (density * specific_heat * efficiency)
}

/// Warming in K of a pump's inlet when a share b of its flow comes back to it: `b/(1-b)` times the rise of a pass.
///
/// Rises with both. `None` at b 1, where nothing fresh comes in and it warms without end: see [`time_to_warm`].
#[must_use]
pub fn inlet_rise(bypass_share: f64, rise_per_pass: f64) -> Option<f64> {
    (bypass_share < 1.0).then(|| bypass_share / (1.0 - bypass_share) * rise_per_pass)
}

/// Greatest share of a pump's flow that may come back to its inlet for it to warm by no more than `allowed` K: `d/(dT + d)`.
///
/// Rises with the allowance, falls with the rise of a pass. 0 when nothing is allowed.
#[must_use]
pub fn greatest_bypass_share(allowed: f64, rise_per_pass: f64) -> f64 {
    let allowed = allowed.max(0.0);
    if allowed > 0.0 { allowed / (rise_per_pass + allowed) } else { 0.0 }
}

/// Flow in m3/s a thermal relief valve must dump to hold its setting, `rise` K above the supply: `P / (rho c dT)`.
///
/// Rises with power, falls with the rest. Fresh water must be able to push in: on a suction-fed pump with its bypass looped the
/// valve only vents. Lead the dump away from people. `None` when the rise is not above zero.
#[must_use]
pub fn dump_flow(power: f64, density: f64, specific_heat: f64, rise: f64) -> Option<f64> {
    (rise > 0.0).then(|| power / (density * specific_heat * rise))
}

/// A water-filled thing cooling in frosty air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cooling {
    /// Heat stored per kelvin by water and walls, J/K; above 0.
    pub capacity: f64,
    /// Mass of water in it, kg.
    pub water: f64,
    /// Heat lost per kelvin over the air, W/K; above 0.
    pub loss: f64,
    /// Temperature at the start, degC.
    pub start: f64,
    /// Temperature of the air, degC.
    pub air: f64,
}

/// Seconds until it is at 0 degC: `C/UA ln((T0 - T_a)/(0 - T_a))`; 0 when it is, `None` when the air does not freeze.
///
/// Rises with capacity, start and air, falls with loss. Sun and supercooling are left out; the air is taken to turn cold at once.
#[must_use]
pub fn time_to_zero(cooling: &Cooling) -> Option<f64> {
    if cooling.start <= 0.0 {
        return Some(0.0);
    }
    (cooling.air < 0.0).then(|| cooling.capacity / cooling.loss * ((cooling.start - cooling.air) / -cooling.air).ln())
}

/// Seconds from 0 degC until a share of its water is ice: `x m L / (UA (0 - T_a))`; `None` when the air does not freeze.
///
/// Rises with share, water and air, falls with loss. Use [`FIRST_ICE`] for danger: a trapped volume bursts long before it is
/// all ice.
#[must_use]
pub fn time_to_ice(cooling: &Cooling, share: f64) -> Option<f64> {
    (cooling.air < 0.0).then(|| share * cooling.water * LATENT_HEAT / (cooling.loss * -cooling.air))
}

/// Loss in W/K per metre of bare hose: `1/UA = 1/(h pi OD) + ln(OD/ID)/(2 pi k)`.
///
/// `outside` and `bore` in m, `film` in W/(m2 K), `conductivity` in W/(m K). Rises with bore, film and conductivity. Not
/// monotone in the outside: a thicker wall insulates and has more skin.
#[must_use]
pub fn hose_loss(bore: f64, outside: f64, film: f64, conductivity: f64) -> f64 {
    1.0 / (1.0 / (film * PI * outside) + (outside / bore).ln() / (2.0 * PI * conductivity))
}

/// Heat in J/K per metre of hose full of water at 0 degC: water 999.8 kg/m3 x 4210 J/(kg K) and wall.
///
/// `wall` is the wall's density times specific heat, J/(m3 K): rubber 1200 x 1700. Rises with outside and wall, and with bore.
#[must_use]
pub fn hose_capacity(bore: f64, outside: f64, wall: f64) -> f64 {
    PI / 4.0 * (bore * bore * 999.8 * 4210.0 + (outside * outside - bore * bore) * wall)
}

/// A pipe under insulation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InsulatedPipe {
    /// Inside diameter, m.
    pub bore: f64,
    /// Outside diameter of the pipe, m; above 0.
    pub pipe: f64,
    /// Outside diameter of the insulation, m; above the pipe's.
    pub insulation: f64,
    /// Conductivity of the insulation, W/(m K); above 0.
    pub conductivity: f64,
}

/// Seconds for still water in an insulated pipe to cool from `start` to `end` degC in air at `air`.
///
/// `rho c pi (D1/2)^2 R ln((ti - ta)/(tf - ta))`, R = ln(D3/D2)/(2 pi k); `water` is its density times specific heat in
/// J/(m3 K). Wall, air film and latent heat are left out. Rises with bore, insulation, start and air; falls with pipe diameter,
/// conductivity and end. `None` unless start >= end > air. Source: ASHRAE Handbook Fundamentals (2009, 2019), chapter 23,
/// equation 1.
#[must_use]
pub fn insulated_time(pipe: &InsulatedPipe, water: f64, start: f64, end: f64, air: f64) -> Option<f64> {
    let resistance = (pipe.insulation / pipe.pipe).ln() / (2.0 * PI * pipe.conductivity);
    (start >= end && end > air)
        .then(|| water * PI / 4.0 * pipe.bore * pipe.bore * resistance * ((start - air) / (end - air)).ln())
}

/// Power in W that holds a box at a temperature in colder air: `UA (T - T_a)`, 0 in warmer air. Rises with loss and hold.
///
/// Falls with the air's temperature.
#[must_use]
pub fn heating_power(loss: f64, hold: f64, air: f64) -> f64 {
    loss * (hold - air).max(0.0)
}

#[cfg(test)]
mod tests;
