//! Parts of the electrical system.

use super::{Engine, Exhaust, Part};
use crate::measure::Measure::*;
use crate::rig::fact::{Amount, Flag, Word};
use crate::rig::form::{Shape::*, form};

form! {
    /// A battery or a bank of them.
    Battery "battery", shared Part {
        /// Chemistry.
        chemistry "chemistry": Word = Word(&["flooded", "agm", "gel", "lfp"]), "lfp";
        /// Capacity of one at the 20-hour rate.
        capacity "capacity": Amount = Amount(Charge), "100 Ah";
        /// Voltage of the bank.
        voltage "voltage": Amount = Amount(Voltage), "12 V";
        /// How many in parallel.
        count "count": Amount = Amount(Count), "2";
        /// In a closed box.
        boxed "boxed": Flag = Flag, "yes";
        /// Vent area of the box, each of low and high.
        vent_area "vent-area": Amount = Amount(Area), "4 in2";
        /// The box vents outside.
        vented_outside "vented-outside": Flag = Flag, "yes";
        /// Terminals are covered.
        covered "covered": Flag = Flag, "yes";
    }
}

form! {
    /// A battery charger or DC-DC charger.
    Charger "charger", shared Part {
        /// Output current.
        current "current": Amount = Amount(Current), "20 A";
        /// What feeds it.
        fed_by "fed-by": Word = Word(&["shore", "tow-vehicle", "generator", "solar"]), "shore";
        /// Efficiency.
        efficiency "efficiency": Amount = Amount(Ratio), "85 %";
        /// Power factor.
        power_factor "power-factor": Amount = Amount(Ratio), "0.95";
        /// Charging profile.
        profile "profile": Word = Word(&["staged", "constant-voltage", "taper", "constant-current"]), "staged";
    }
}

form! {
    /// The inlet for shore power.
    ShoreInlet "shore-inlet", shared Part {
        /// Voltage.
        voltage "voltage": Amount = Amount(Voltage), "120 V";
        /// Breaker that feeds it.
        breaker "breaker": Amount = Amount(Current), "15 A";
        /// Ground-fault protected.
        gfci "gfci": Flag = Flag, "yes";
    }
}

form! {
    /// A generator.
    Generator "generator", shared Part {
        /// Rated output.
        output "output": Amount = Amount(Power), "2 kW";
        /// Its engine.
        engine "engine": Engine = Group(Engine::FORM), "{ fuel: gasoline, power: 4 hp }";
        /// Where the exhaust goes.
        exhaust "exhaust": Exhaust = Group(Exhaust::FORM), "{ leaves: open-air }";
        /// Ground-fault protected.
        gfci "gfci": Flag = Flag, "yes";
    }
}

form! {
    /// A fuse block, switch panel or bus bar.
    FuseBlock "fuse-block", shared Part {
        /// Rating of the block.
        rating "rating": Amount = Amount(Current), "100 A";
    }
}

form! {
    /// A light.
    Light "light", shared Part {
        /// Power.
        power "power": Amount = Amount(Power), "60 W";
    }
}

form! {
    /// A fan.
    Fan "fan", shared Part {
        /// Air it moves.
        air "air": Amount = Amount(Flow), "600 cfm";
        /// Current.
        current "current": Amount = Amount(Current), "5 A";
        /// Made for explosive atmospheres.
        sparkproof "sparkproof": Flag = Flag, "yes";
    }
}
