//! What joins the parts: plumbing, wiring, and the modes that set them.

use super::fact::{Amount, Flag, PartRef, Word};
use super::form::{Shape::*, form};
use super::parts::MATERIALS;
use super::takeoff::{Gauge, Named};
use crate::measure::Measure::*;

form! {
    /// One line of plumbing, from port to port.
    Line "line", required ["from", "to"] {
        /// The port it starts at.
        from "from": PartRef = Part, "water.outlet";
        /// The port it ends at.
        to "to": PartRef = Part, "washer.inlet";
        /// Parts it passes through, in order.
        through "through": Vec<PartRef> = Many(&Part), "[strainer-1, check-2]";
        /// Bore of the hose.
        hose "hose": Amount = Amount(Length), "1 in";
        /// Bore of the pipe, where it is rigid.
        pipe "pipe": Amount = Amount(Length), "1/2 in";
        /// Length.
        length "length": Amount = Amount(Length), "5 ft";
        /// Working pressure.
        rated "rated": Amount = Amount(Pressure), "4000 psi";
        /// Hottest water it may carry.
        hottest "hottest": Amount = Amount(Temperature), "140 F";
        /// Rise from start to end; negative where it falls.
        rise "rise": Amount = Offset(Length), "12 in";
        /// Elbows along it.
        elbows "elbows": Amount = Amount(Count), "2";
        /// Lining.
        material "material": Word = Word(MATERIALS), "PVC";
        /// Lined up so that it can collapse under suction.
        soft_wall "soft-wall": Flag = Flag, "no";
    }
}

form! {
    /// One wire run, from terminal to terminal.
    Wire "wire", required ["from", "to"] {
        /// The terminal it starts at.
        from "from": PartRef = Part, "battery.plus";
        /// The terminal it ends at.
        to "to": PartRef = Part, "roof-pump.plus";
        /// Conductor size: AWG number or square millimetres.
        gauge "gauge": Gauge = Gauge, "8 AWG";
        /// One way.
        length "length": Amount = Amount(Length), "7 ft";
        /// Fuse or breaker in it.
        fuse "fuse": Amount = Amount(Current), "30 A";
        /// Battery post to the fuse, along the wire.
        fuse_from_battery "fuse-from-battery": Amount = Amount(Length), "5 in";
        /// In a sheath or conduit all the way.
        sheathed "sheathed": Flag = Flag, "yes";
        /// Temperature rating of the insulation.
        insulation "insulation": Amount = Amount(Temperature), "105 C";
        /// Current-carrying conductors bundled with it, itself included.
        bundled "bundled": Amount = Amount(Count), "2";
        /// Runs through the engine's space.
        engine_space "engine-space": Flag = Flag, "no";
        /// Current it carries, where the parts do not say.
        current "current": Amount = Amount(Current), "18 A";
    }
}

form! {
    /// How the rig is set for one kind of work.
    Mode "mode" {
        /// Pumps, engines and burners that run.
        running "running": Vec<PartRef> = Many(&Part), "[roof-pump]";
        /// Valves that are open.
        open "open": Vec<PartRef> = Many(&Part), "[water-valve]";
        /// Valves that are shut.
        shut "shut": Vec<PartRef> = Many(&Part), "[bleach-valve]";
        /// Part the removable draw tube stands in.
        draw_tube "draw-tube": PartRef = Part, "bleach";
        /// The doors.
        doors "doors": Word = Word(&["open", "closed"]), "open";
        /// A person works inside.
        person_inside "person-inside": Flag = Flag, "no";
        /// Shore power is plugged in.
        shore "shore": Flag = Flag, "no";
        /// On the road.
        moving "moving": Flag = Flag, "no";
        /// How full the tanks are, by part id.
        levels "levels": Vec<Named<Amount>> = Named(&Amount(Ratio)), "{ water: 50 % }";
        /// How long a day it is used.
        per_day "per-day": Amount = Amount(Duration), "3 h";
    }
}
