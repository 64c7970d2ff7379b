//! Quantities whose dimension is known only while running.
//!
//! Text such as `"6 ft 3 in"` or `"80 to 95 lb"` becomes numbers in SI base units ([`read`], [`read_size`]), numbers become
//! text again ([`show`], [`show_in`], [`number`]), and what is known only between two ends is carried as a [`Range`].
//! [`Measure`] says what kind of quantity a number is, [`Dim`] what its dimension is, [`Unit`] how it is written.

mod range;
mod read;
mod refuse;
mod scan;
mod show;
mod table;
mod unit;

#[cfg(test)]
mod factors;
#[cfg(test)]
mod tests;

pub use range::{Answer, Range};
pub use read::{Misread, Reading, read, read_size};
pub use show::{number, show, show_in, steady};
pub use unit::{System, Unit};

/// A physical dimension: the powers of kilogram, metre, second, ampere and kelvin, in that order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Dim(pub [i8; 5]);

impl Dim {
    /// The dimension of a plain number.
    pub const NONE: Self = Self([0; 5]);
}

impl std::ops::Mul for Dim {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        let (Self([a, b, c, d, e]), Self([v, w, x, y, z])) = (self, other);
        let sum = i8::saturating_add;
        Self([sum(a, v), sum(b, w), sum(c, x), sum(d, y), sum(e, z)])
    }
}

impl std::ops::Div for Dim {
    type Output = Self;

    fn div(self, other: Self) -> Self {
        let (Self([a, b, c, d, e]), Self([v, w, x, y, z])) = (self, other);
        let less = i8::saturating_sub;
        Self([less(a, v), less(b, w), less(c, x), less(d, y), less(e, z)])
    }
}

/// What kind of quantity a number is. The unit in brackets is the one held inside the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Distance, size, bore (m).
    Length,
    /// Area (m2).
    Area,
    /// Volume (m3).
    Volume,
    /// Mass, and loads as scales and rating plates state them (kg).
    Mass,
    /// Force (N).
    Force,
    /// Pressure above the air outside, and load per area (Pa).
    Pressure,
    /// Volume in a time (m3/s).
    Flow,
    /// Mass in a time (kg/s).
    MassFlow,
    /// Power, and heat in a time (W).
    Power,
    /// Energy (J).
    Energy,
    /// How warm something is: a point on the scale (K).
    Temperature,
    /// How much warmer one thing is than another (K).
    TemperatureStep,
    /// A length of time (s).
    Duration,
    /// Speed (m/s).
    Speed,
    /// Acceleration, written in g (m/s2).
    Acceleration,
    /// Electric current (A).
    Current,
    /// Voltage (V).
    Voltage,
    /// Electric charge, battery capacity (C, ampere-seconds).
    Charge,
    /// Electric resistance (ohm).
    Resistance,
    /// Angle (rad).
    Angle,
    /// Turning speed (turns a second).
    Rotation,
    /// A share of a whole or a plain factor (fraction: 12.5 % is 0.125).
    Ratio,
    /// Mass in a volume (kg/m3).
    Density,
    /// Force for a deflection (N/m).
    SpringRate,
    /// Bending strength of a strip, per width (N·m per m).
    Bending,
    /// Bending stiffness of a strip, per width (N·m2 per m).
    Stiffness,
    /// Sound level (dBA). Levels do not add as numbers do.
    Sound,
    /// How many; an index or grade without a unit.
    Count,
    /// Mass of a dissolved thing in a volume (kg/m3, which is g/L).
    Concentration,
    /// Area in a time: how fast a surface is treated (m2/s).
    AreaRate,
    /// Dynamic viscosity (Pa·s).
    Viscosity,
    /// Turning moment (N·m).
    Torque,
}

impl Measure {
    /// Every measure.
    pub const ALL: [Self; 32] = [
        Self::Length,
        Self::Area,
        Self::Volume,
        Self::Mass,
        Self::Force,
        Self::Pressure,
        Self::Flow,
        Self::MassFlow,
        Self::Power,
        Self::Energy,
        Self::Temperature,
        Self::TemperatureStep,
        Self::Duration,
        Self::Speed,
        Self::Acceleration,
        Self::Current,
        Self::Voltage,
        Self::Charge,
        Self::Resistance,
        Self::Angle,
        Self::Rotation,
        Self::Ratio,
        Self::Density,
        Self::SpringRate,
        Self::Bending,
        Self::Stiffness,
        Self::Sound,
        Self::Count,
        Self::Concentration,
        Self::AreaRate,
        Self::Viscosity,
        Self::Torque,
    ];

    /// What a person calls it, with its article: "a length".
    pub fn name(self) -> &'static str {
        self.facts().0
    }

    /// How one is written in a spec: "6 ft 3 in".
    pub fn example(self) -> &'static str {
        self.facts().1
    }

    /// Its dimension.
    pub fn dim(self) -> Dim {
        Dim(self.facts().2)
    }

    /// The measure a computed number of this dimension is taken for, or `None` when no measure has that dimension.
    ///
    /// Several measures can share a dimension. The first in [`Measure::ALL`] wins (force before bending strength, energy
    /// before torque, density before concentration) but for two: a computed temperature is a step, because arithmetic on
    /// points of the scale never yields a point, and a number without dimension is a ratio.
    pub fn of(dim: Dim) -> Option<Self> {
        if dim == Dim::NONE {
            return Some(Self::Ratio);
        }
        if dim == Self::TemperatureStep.dim() {
            return Some(Self::TemperatureStep);
        }
        Self::ALL.into_iter().find(|measure| measure.dim() == dim)
    }

    /// Whether a spec may state a value below zero: a vacuum, frost, a moment the other way.
    ///
    /// Reading does not refuse negative values; whoever knows the field does.
    pub fn may_be_negative(self) -> bool {
        matches!(
            self,
            Self::Pressure
                | Self::Temperature
                | Self::TemperatureStep
                | Self::Acceleration
                | Self::Current
                | Self::Voltage
                | Self::Angle
                | Self::Torque
        )
    }

    /// Whether a number without a unit is a full statement of this measure.
    pub fn may_be_bare(self) -> bool {
        matches!(self, Self::Ratio | Self::Count)
    }

    /// Name with article, example, dimension.
    fn facts(self) -> (&'static str, &'static str, [i8; 5]) {
        match self {
            Self::Length => ("a length", "6 ft 3 in", [0, 1, 0, 0, 0]),
            Self::Area => ("an area", "2200 sq ft", [0, 2, 0, 0, 0]),
            Self::Volume => ("a volume", "55 gal", [0, 3, 0, 0, 0]),
            Self::Mass => ("a mass", "62 lb", [1, 0, 0, 0, 0]),
            Self::Force => ("a force", "25 lbf", [1, 1, -2, 0, 0]),
            Self::Pressure => ("a pressure", "80 psi", [1, -1, -2, 0, 0]),
            Self::Flow => ("a flow", "5 gpm", [0, 3, -1, 0, 0]),
            Self::MassFlow => ("a mass flow", "6 lb/h", [1, 0, -1, 0, 0]),
            Self::Power => ("a power", "2.5 kW", [1, 2, -3, 0, 0]),
            Self::Energy => ("an energy", "1.2 kWh", [1, 2, -2, 0, 0]),
            Self::Temperature => ("a temperature", "104 F", [0, 0, 0, 0, 1]),
            Self::TemperatureStep => ("a temperature difference", "18 F", [0, 0, 0, 0, 1]),
            Self::Duration => ("a duration", "10 days", [0, 0, 1, 0, 0]),
            Self::Speed => ("a speed", "25 ft/s", [0, 1, -1, 0, 0]),
            Self::Acceleration => ("an acceleration", "0.5 g", [0, 1, -2, 0, 0]),
            Self::Current => ("a current", "30 A", [0, 0, 0, 1, 0]),
            Self::Voltage => ("a voltage", "12 V", [1, 2, -3, -1, 0]),
            Self::Charge => ("a charge", "100 Ah", [0, 0, 1, 1, 0]),
            Self::Resistance => ("a resistance", "0.02 ohm", [1, 2, -3, -2, 0]),
            Self::Angle => ("an angle", "25 deg", [0; 5]),
            Self::Rotation => ("a turning speed", "3400 rpm", [0, 0, -1, 0, 0]),
            Self::Ratio => ("a ratio", "12.5 %", [0; 5]),
            Self::Density => ("a density", "8.34 lb/gal", [1, -3, 0, 0, 0]),
            Self::SpringRate => ("a spring rate", "1200 lb/in", [1, 0, -2, 0, 0]),
            Self::Bending => ("a bending strength per width", "500 lb-in/ft", [1, 1, -2, 0, 0]),
            Self::Stiffness => ("a bending stiffness per width", "300000 lb-in2/ft", [1, 2, -2, 0, 0]),
            Self::Sound => ("a sound level", "85 dBA", [0; 5]),
            Self::Count => ("a number", "2", [0; 5]),
            Self::Concentration => ("a concentration", "120 g/L", [1, -3, 0, 0, 0]),
            Self::AreaRate => ("an area rate", "20 sq ft/min", [0, 2, -1, 0, 0]),
            Self::Viscosity => ("a viscosity", "2.6 cP", [1, -1, -1, 0, 0]),
            Self::Torque => ("a torque", "90 lb-ft", [1, 2, -2, 0, 0]),
        }
    }
}
