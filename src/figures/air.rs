//! Exhaust, carbon monoxide, natural air, heat and fuel vapour in a box with an engine in it.
//!
//! Every figure here is an order of magnitude. The box is taken as well mixed (a person beside the muffler breathes
//! worse), the wind as steady and the source as constant, although an engine makes several times more CO as it uses up
//! the oxygen around it. The model is good enough to show that a design is hopeless and never good enough to call a
//! running engine inside a box safe: an engine belongs outside, or its exhaust piped outside with an alarm fitted,
//! under the maker's manual and the local code.
//!
//! Units: SI. Concentrations are volume fractions; multiply parts per million by [`PPM`].

/// One part per million by volume, as a fraction.
pub const PPM: f64 = 1e-6;

/// Recommended eight-hour average limit for CO: NIOSH criteria document 73-11000 (1972).
pub const CO_NIOSH_REL: f64 = 35.0 * PPM;
/// Legal eight-hour average limit for CO: OSHA, 29 CFR 1910.1000 Table Z-1.
pub const CO_OSHA_PEL: f64 = 50.0 * PPM;
/// Level of CO never to be exceeded: NIOSH ceiling.
pub const CO_NIOSH_CEILING: f64 = 200.0 * PPM;
/// Level of CO immediately dangerous to life or health: NIOSH IDLH.
pub const CO_IDLH: f64 = 1200.0 * PPM;

/// CO that a gasoline engine of Class I or II may emit, kg per joule of shaft work: 610 g/kWh, 40 CFR 1054.105 Table 1.
pub const CO_LEGAL_CEILING: f64 = 0.610 / 3.6e6;

/// Molar volume of a gas at 25 degC and one atmosphere, m3/mol.
pub const MOLAR_VOLUME: f64 = 24.465e-3;
/// Molar mass of carbon monoxide, kg/mol.
pub const CO_MOLAR_MASS: f64 = 28.010e-3;

const GRAVITY: f64 = 9.806_65;
/// Air at about 20 degC and sea level: density kg/m3 and specific heat J/(kg K).
const AIR_DENSITY: f64 = 1.2;
const AIR_SPECIFIC_HEAT: f64 = 1006.0;

/// A box with a steady source of CO and a steady flow of clean air through it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Enclosure {
    /// Volume of air in the box, m3; above 0.
    pub volume: f64,
    /// Clean air passing through, m3/s; 0 for a sealed box.
    pub air: f64,
    /// CO released inside, m3/s of pure gas.
    pub source: f64,
    /// Fraction of CO at time 0.
    pub start: f64,
}

/// Volume of CO gas, m3/s, of a mass rate in kg/s, at 25 degC and one atmosphere. Rises with the rate.
pub fn co_volume_rate(mass_rate: f64) -> f64 {
    mass_rate / CO_MOLAR_MASS * MOLAR_VOLUME
}

/// CO from an engine in kg/s: shaft power in W times what it emits per joule in kg/J.
///
/// Rises with both. The power is what the engine delivers, not its rating plate. Use [`CO_LEGAL_CEILING`] when the
/// engine is unknown; the ceiling holds for a certified engine breathing fresh air, and is not a bound for a choked one
/// (Emmerich, Wang and Persily, Indoor Air 2014, measured 500 g/h rising to nearly 4000 g/h as oxygen fell toward 17
/// %).
pub fn co_mass_rate(shaft_power: f64, emitted: f64) -> f64 {
    shaft_power * emitted
}

/// Fraction of CO in the box after `time` seconds: the solution of V dC/dt = G - QC.
///
/// C = C0 e^(-Qt/V) + (G t/V)(1 - e^(-Qt/V))/(Qt/V). Rises with source and start, falls (never rises) with air. Rises
/// with time and falls with volume when the box starts below its steady level, the other way about when it starts
/// above. Source: well-mixed material balance, as used by Earnest et al., AIHA Journal 58(11):787-791, 1997.
pub fn co_level(enclosure: &Enclosure, time: f64) -> f64 {
    let Enclosure { volume, air, source, start } = *enclosure;
    let changes = air * time / volume;
    // Written this way because G/Q - (G/Q)e^(-x) loses every digit when the box is nearly closed.
    let mean_kept = if changes > 0.0 { -(-changes).exp_m1() / changes } else { 1.0 };
    start * (-changes).exp() + source * time / volume * mean_kept
}

/// Fraction at which CO levels off, G/Q; `None` when a source runs in a box without air, where it never levels off.
///
/// Rises with the source, falls with air, does not depend on volume. A box with neither source nor air stays at its
/// start.
pub fn co_steady(enclosure: &Enclosure) -> Option<f64> {
    if enclosure.air > 0.0 {
        Some(enclosure.source / enclosure.air)
    } else if enclosure.source > 0.0 {
        None
    } else {
        Some(enclosure.start)
    }
}

/// Seconds until CO first reaches `level`; 0 if it is there already, `None` if it levels off below (or exactly at) it.
///
/// t = -(V/Q) ln(1 - Q(C - C0)/(G - Q C0)), and V(C - C0)/G without air. Falls with source and start, rises with air,
/// volume and level; `None` counts as larger than any number. Source: as [`co_level`].
pub fn time_to_co(enclosure: &Enclosure, level: f64) -> Option<f64> {
    let Enclosure { volume, air, source, start } = *enclosure;
    if start >= level {
        return Some(0.0);
    }
    let net = source - air * start;
    if net <= 0.0 {
        return None;
    }
    let without_air = volume * (level - start) / net;
    let share = air * (level - start) / net;
    if share >= 1.0 {
        None
    } else if share > 0.0 {
        Some(without_air * (-(-share).ln_1p() / share))
    } else {
        Some(without_air)
    }
}

/// Clean air in m3/s that holds CO at `level` for good: G/C. `None` when the level is not above 0.
///
/// Rises with the source, falls with the level. Volume does not enter: a larger box only takes longer.
pub fn air_to_hold(source: f64, level: f64) -> Option<f64> {
    (level > 0.0).then(|| source / level)
}

/// The rise of CO as data: `points` pairs of seconds and fraction, evenly spaced from 0 to `until`, both ends included.
///
/// Fewer than two points give an empty curve.
pub fn co_curve(enclosure: &Enclosure, until: f64, points: usize) -> Vec<(f64, f64)> {
    if points < 2 {
        return Vec::new();
    }
    let step = until / (points - 1) as f64;
    (0..points).map(|n| (step * n as f64, co_level(enclosure, step * n as f64))).collect()
}

/// Air through a box with wind on one opening and another opposite: Q = C A U, m3/s.
///
/// `effectiveness` 0.5 to 0.6 for wind straight on, 0.25 to 0.35 for wind at an angle; `area` of the smaller opening
/// m2, `wind` m/s. Rises with all three. Source: ASHRAE Handbook Fundamentals, natural ventilation.
pub fn cross_wind_air(effectiveness: f64, area: f64, wind: f64) -> f64 {
    effectiveness * area * wind
}

/// Two openings at different heights with warm air inside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stack {
    /// Discharge coefficient, about 0.65.
    pub discharge: f64,
    /// Area of the smaller opening, m2.
    pub area: f64,
    /// Height between the middles of the openings, m.
    pub height: f64,
    /// Air inside, K.
    pub inside: f64,
    /// Air outside, K.
    pub outside: f64,
}

/// Air driven by warmth between two heights: Q = C A sqrt(2 g h |Ti - To| / Twarmer), m3/s.
///
/// Rises with coefficient, area and height and with the difference of temperature; as a function of either temperature
/// alone it falls to 0 where they are equal and rises again beyond. Source: ASHRAE Handbook Fundamentals, stack effect.
pub fn stack_air(stack: &Stack) -> f64 {
    let warmer = stack.inside.max(stack.outside);
    let drive = (stack.inside - stack.outside).abs() / warmer;
    stack.discharge * stack.area * (2.0 * GRAVITY * stack.height * drive).sqrt()
}

/// Air exchanged through a single opening by wind: Q = 0.025 A U, m3/s. Rises with both.
///
/// Source: Warren and Parkins 1985, single-sided ventilation; the coefficient is from memory.
pub fn one_opening_wind_air(area: f64, wind: f64) -> f64 {
    0.025 * area * wind
}

/// A single opening with warm air inside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneOpening {
    /// Discharge coefficient, about 0.6.
    pub discharge: f64,
    /// Area of the opening, m2.
    pub area: f64,
    /// Height of the opening, m.
    pub height: f64,
    /// How much warmer the inside is, K; 0 or more.
    pub difference: f64,
    /// Mean air temperature, K.
    pub temperature: f64,
}

/// Air exchanged through a single opening by warmth: Q = (C A / 3) sqrt(g h dT / T), m3/s.
///
/// Rises with coefficient, area, height and difference, falls with temperature. Source: Warren and Parkins 1985.
pub fn one_opening_warm_air(opening: &OneOpening) -> f64 {
    let drive = GRAVITY * opening.height * opening.difference / opening.temperature;
    opening.discharge * opening.area / 3.0 * drive.sqrt()
}

/// An engine as a burner of fuel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Burner {
    /// Shaft power, W.
    pub shaft_power: f64,
    /// Fuel per joule of shaft work, kg/J; small gasoline engines 0.33 to 0.50 kg/kWh (from memory). 1 kg/kWh =
    /// 1/3.6e6.
    pub fuel_per_work: f64,
    /// Lower heating value of the fuel, J/kg; gasoline about 43.4e6 (from memory).
    pub heating_value: f64,
}

/// Fuel burnt, kg/s. Rises with power and with fuel per work.
pub fn fuel_rate(burner: &Burner) -> f64 {
    burner.shaft_power * burner.fuel_per_work
}

/// Heat in the fuel burnt, W. Rises with every input.
pub fn fuel_power(burner: &Burner) -> f64 {
    fuel_rate(burner) * burner.heating_value
}

/// Heat that does not leave by the shaft, W: exhaust, cooling and radiation together.
///
/// Rises with every input, with shaft power as long as fuel power exceeds it, as it does in every real engine.
pub fn lost_heat(burner: &Burner) -> f64 {
    fuel_power(burner) - burner.shaft_power
}

/// Air an engine breathes, m3/s, at an air to fuel ratio by mass (gasoline 12.5 to 14.7, from memory). Rises with both.
///
/// It is a small part of the air that cooling needs; see [`cooling_air`].
pub fn combustion_air(fuel_rate: f64, air_to_fuel: f64) -> f64 {
    fuel_rate * air_to_fuel / AIR_DENSITY
}

/// Air in m3/s that carries `heat` W away while warming by `rise` K: Q = P/(rho c dT). `None` unless the rise is above
/// 0.
///
/// Rises with heat, falls with the rise. Air at sea level, 1.2 kg/m3 and 1006 J/(kg K); thinner air needs more.
/// Source: first law, by hand.
pub fn cooling_air(heat: f64, rise: f64) -> Option<f64> {
    (rise > 0.0).then(|| heat / (AIR_DENSITY * AIR_SPECIFIC_HEAT * rise))
}

/// Free area in m2 that passes `air` m3/s at `velocity` m/s, for a grille. `None` unless the velocity is above 0.
///
/// Rises with air, falls with velocity. 2.5 m/s through the free area is common practice, no source.
pub fn grille_area(air: f64, velocity: f64) -> Option<f64> {
    (velocity > 0.0).then(|| air / velocity)
}

/// Oxygen that burning fuel takes from a closed box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OxygenUse {
    /// Volume of the box, m3.
    pub volume: f64,
    /// Fuel burnt, kg/s.
    pub fuel_rate: f64,
    /// Oxygen taken for each kg of fuel, kg/kg; gasoline run rich about 3.1 (from memory).
    pub oxygen_per_fuel: f64,
    /// Fraction of oxygen at the start; outdoors 0.209.
    pub start: f64,
    /// Fraction of oxygen of interest; OSHA calls air below 0.195 deficient, 29 CFR 1910.134(b).
    pub level: f64,
}

/// Seconds until a closed box with the exhaust inside falls to `level` of oxygen; `None` if no fuel is burnt.
///
/// Linear, as if the engine kept burning at the same rate. Rises with volume and start, falls with the rest. 25 degC.
pub fn time_to_low_oxygen(oxygen: &OxygenUse) -> Option<f64> {
    // 31.998 g/mol at 24.465 L/mol.
    let density = 31.998e-3 / MOLAR_VOLUME;
    let taken = oxygen.fuel_rate * oxygen.oxygen_per_fuel / density;
    (taken > 0.0).then(|| ((oxygen.start - oxygen.level).max(0.0)) * oxygen.volume / taken)
}

/// A liquid fuel evaporating into a closed box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FuelVapour {
    /// Volume of the box, m3.
    pub volume: f64,
    /// Lower flammable limit as a volume fraction; gasoline 0.014 (from memory).
    pub flammable_limit: f64,
    /// Share of that limit of interest, for example 0.25.
    pub share: f64,
    /// Molar mass of the vapour, kg/mol; gasoline about 0.068 (from memory).
    pub molar_mass: f64,
    /// Density of the liquid, kg/m3; gasoline about 740.
    pub density: f64,
}

/// Liquid in m3 that, evaporated and evenly mixed, brings the whole box to the stated share of its flammable limit.
///
/// Rises with volume, limit, share and molar mass, falls with density. Vapour lies low and is never evenly mixed: a
/// part of the box is dangerous long before. Source: ideal gas at 25 degC, by hand.
pub fn liquid_to_flammable_share(vapour: &FuelVapour) -> f64 {
    let gas = vapour.volume * vapour.flammable_limit * vapour.share;
    gas / MOLAR_VOLUME * vapour.molar_mass / vapour.density
}

#[cfg(test)]
mod tests;
