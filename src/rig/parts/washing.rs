//! Parts that wash: pressure washers, delivery pumps, reels, guns, nozzles, heaters.

use super::{Part, Spot};
use crate::measure::Measure::*;
use crate::rig::fact::{Amount, Flag, Word};
use crate::rig::form::{Shape::*, form};

form! {
    /// A pressure washer: engine, pump, unloader.
    Washer "washer", shared Part {
        /// Flow on its plate.
        flow "flow": Amount = Amount(Flow), "4 gpm";
        /// Pressure on its plate.
        pressure "pressure": Amount = Amount(Pressure), "3500 psi";
        /// Pump speed at the plate flow.
        pump_speed "pump-speed": Amount = Amount(Rotation), "1450 rpm";
        /// Volumetric efficiency of the pump.
        volumetric "volumetric": Amount = Amount(Ratio), "95 %";
        /// How the pump is driven.
        coupling "coupling": Word = Word(&["direct", "belt", "gearbox"]), "belt";
        /// The engine or motor.
        engine "engine": Engine = Group(Engine::FORM), "{ fuel: gasoline, power: 13 hp }";
        /// The unloader and bypass.
        unloader "unloader": Unloader = Group(Unloader::FORM), "{ bypass: tank, opens: 3800 psi }";
        /// Thermal relief valve on the pump head.
        thermal_relief "thermal-relief": Flag = Flag, "yes";
        /// Hottest water the pump's maker allows at the inlet.
        hottest_inlet "hottest-inlet": Amount = Amount(Temperature), "140 F";
        /// Lowest inlet pressure the maker allows; negative is suction.
        lowest_inlet "lowest-inlet": Amount = Offset(Pressure), "-2 psi";
        /// Water held in the pump head and bypass loop.
        loop_volume "loop-volume": Amount = Amount(Volume), "0.1 gal";
        /// Where the exhaust goes.
        exhaust "exhaust": Exhaust = Group(Exhaust::FORM), "{ leaves: open-air }";
        /// Burner, for a hot-water machine.
        burner "burner": Burner = Group(Burner::FORM), "{ heat: 100 kW, fuel: diesel }";
    }
}

form! {
    /// An engine or motor.
    Engine "engine" {
        /// What it runs on.
        fuel "fuel": Word = Word(&["gasoline", "diesel", "propane", "electric", "hydraulic"]), "gasoline";
        /// Net power.
        power "power": Amount = Amount(Power), "13 hp";
        /// How it is started.
        start "start": Word = Word(&["recoil", "electric"]), "electric";
        /// Its fuel tank.
        tank "tank": FuelTank = Group(FuelTank::FORM), "{ capacity: 1.6 gal, on: engine }";
        /// Sound power level.
        sound_power "sound-power": Amount = Amount(Sound), "105 dBA";
    }
}

form! {
    /// An engine's fuel tank.
    FuelTank "fuel-tank" {
        /// What it holds.
        capacity "capacity": Amount = Amount(Volume), "1.6 gal";
        /// Where it is.
        on "on": Word = Word(&["engine", "inside", "outside"]), "engine";
    }
}

form! {
    /// The unloader.
    Unloader "unloader" {
        /// Where its bypass goes.
        bypass "bypass": Word = Word(&["tank", "pump-inlet", "ground"]), "tank";
        /// Pressure at which it opens.
        opens "opens": Amount = Amount(Pressure), "3800 psi";
        /// Trapped-pressure or flow-actuated.
        acts_on "acts-on": Word = Word(&["trapped-pressure", "flow"]), "trapped-pressure";
    }
}

form! {
    /// The way of an engine's exhaust.
    Exhaust "exhaust" {
        /// Where it leaves.
        leaves "leaves": Word = Word(&["inside", "open-air", "wall", "floor", "roof", "tail-door"]), "open-air";
        /// Piped gas-tight from the muffler to the outlet.
        piped "piped": Flag = Flag, "yes";
        /// The outlet.
        outlet "outlet": Spot = Group(Spot::FORM), "{ nose: 100 in, curb: 84 in, floor: 20 in }";
        /// The hot muffler or pipe nearest to other things.
        muffler "muffler": Spot = Group(Spot::FORM), "{ nose: 118 in, curb: 30 in, floor: 18 in }";
        /// A heat shield stands around the hot parts.
        shielded "shielded": Flag = Flag, "yes";
    }
}

form! {
    /// The burner of a hot-water machine.
    Burner "burner" {
        /// Heat it puts out.
        heat "heat": Amount = Amount(Power), "100 kW";
        /// What it burns.
        fuel "fuel": Word = Word(&["diesel", "gasoline", "propane", "electric"]), "diesel";
        /// Where the flue goes.
        flue "flue": Word = Word(&["inside", "roof", "wall", "open-air", "none"]), "open-air";
    }
}

form! {
    /// A heater that stands on its own.
    Heater "heater", shared Part {
        /// Heat it puts out.
        heat "heat": Amount = Amount(Power), "100 kW";
        /// What it burns.
        fuel "fuel": Word = Word(&["diesel", "gasoline", "propane", "electric"]), "diesel";
        /// Where the flue goes.
        flue "flue": Word = Word(&["inside", "roof", "wall", "open-air", "none"]), "roof";
    }
}

form! {
    /// A low-pressure delivery pump for roof and house mixes.
    DeliveryPump "delivery-pump", shared Part {
        /// What drives it.
        drive "drive": Word = Word(&["12V", "24V", "gasoline", "air", "hydraulic"]), "12V";
        /// Flow with nothing in its way.
        open_flow "open-flow": Amount = Amount(Flow), "7 gpm";
        /// Pressure at which its switch stops it.
        cut_out "cut-out": Amount = Amount(Pressure), "80 psi";
        /// Pressure at which its switch starts it again.
        cut_in "cut-in": Amount = Amount(Pressure), "60 psi";
        /// Current at working pressure.
        current "current": Amount = Amount(Current), "18 A";
        /// Resin or rubber of seals, diaphragm and valves.
        seals "seals": Word = Word(super::MATERIALS), "FKM";
        /// The engine, for a gasoline drive.
        engine "engine": Engine = Group(Engine::FORM), "{ fuel: gasoline, power: 3 hp }";
        /// Where the exhaust goes, for a gasoline drive.
        exhaust "exhaust": Exhaust = Group(Exhaust::FORM), "{ leaves: open-air }";
    }
}

form! {
    /// A hose reel with its hose.
    Reel "reel", shared Part {
        /// Crank or motor.
        drive "drive": Word = Word(&["manual", "12V", "spring"]), "12V";
        /// Current of the motor.
        current "current": Amount = Amount(Current), "25 A";
        /// Pressure its swivel is rated for.
        rated "rated": Amount = Amount(Pressure), "5000 psi";
        /// Bore of its swivel.
        bore "bore": Amount = Amount(Length), "3/8 in";
        /// The hose on it.
        hose "hose": WoundHose = Group(WoundHose::FORM), "{ bore: 3/8 in, length: 200 ft, rated: 4000 psi }";
        /// The stated weight was taken with the hose wet.
        weighed "weighed": Word = Word(&["wet", "dry"]), "wet";
        /// Drum core diameter.
        core "core": Amount = Amount(Length), "10 in";
        /// Flange diameter.
        flange "flange": Amount = Amount(Length), "20 in";
        /// Width between the flanges.
        drum_width "drum-width": Amount = Amount(Length), "14 in";
    }
}

form! {
    /// The hose on a reel.
    WoundHose "wound-hose" {
        /// Bore.
        bore "bore": Amount = Amount(Length), "3/8 in";
        /// Length.
        length "length": Amount = Amount(Length), "200 ft";
        /// Working pressure.
        rated "rated": Amount = Amount(Pressure), "4000 psi";
        /// Outside diameter.
        outside "outside": Amount = Amount(Length), "0.7 in";
        /// Hottest water.
        hottest "hottest": Amount = Amount(Temperature), "250 F";
        /// Lining.
        material "material": Word = Word(super::MATERIALS), "nitrile";
    }
}

form! {
    /// A gun or wand.
    Gun "gun", shared Part {
        /// Working pressure.
        rated "rated": Amount = Amount(Pressure), "5000 psi";
        /// Pressure lost in it at the rated flow.
        loss "loss": Amount = Amount(Pressure), "50 psi";
        /// Flow it is rated for.
        rated_flow "rated-flow": Amount = Amount(Flow), "10 gpm";
        /// Its length.
        reach "reach": Amount = Amount(Length), "36 in";
    }
}

form! {
    /// A nozzle.
    Nozzle "nozzle", shared Part {
        /// Flow at the test pressure; a size 4 tip passes 4 gpm at 4000 psi.
        flow "flow": Amount = Amount(Flow), "4 gpm";
        /// Test pressure.
        at_pressure "at-pressure": Amount = Amount(Pressure), "4000 psi";
        /// Spray angle; 0 deg is a solid stream.
        angle "angle": Amount = Amount(Angle), "25 deg";
        /// Orifice diameter, where that is what is known.
        orifice "orifice": Amount = Amount(Length), "0.25 in";
        /// How many are used together.
        count "count": Amount = Amount(Count), "1";
    }
}

form! {
    /// A surface cleaner.
    SurfaceCleaner "surface-cleaner", shared Part {
        /// Cleaning width.
        width "width": Amount = Amount(Length), "20 in";
        /// Nozzles on its bar.
        nozzles "nozzles": Amount = Amount(Count), "2";
        /// Flow of one nozzle at the test pressure.
        flow "flow": Amount = Amount(Flow), "2 gpm";
        /// Test pressure.
        at_pressure "at-pressure": Amount = Amount(Pressure), "4000 psi";
    }
}
