//! Parts that hold something or stand by: tanks, cans, trays, racks, safety kit.

use super::Part;
use crate::measure::Measure::*;
use crate::rig::fact::{Amount, Flag, Text, Word};
use crate::rig::form::{Shape::*, form};
use crate::rig::takeoff::Strength;

form! {
    /// A tank for water, hypochlorite, soap or fuel.
    Tank "tank", shared Part {
        /// What it holds.
        holds "holds": Contents = Group(Contents::FORM), "water";
        /// Gallons to the brim.
        capacity "capacity": Amount = Amount(Volume), "100 gal";
        /// Resin or metal of the wall.
        material "material": Word = Word(super::MATERIALS), "HDPE";
        /// Shape, for slosh and level.
        shape "shape": Word = Word(&["box", "upright-cylinder", "lying-cylinder", "cone"]), "box";
        /// Inside dimension nose to tail, where it differs from the size.
        inside_length "inside-length": Amount = Amount(Length), "46 in";
        /// Inside dimension side to side.
        inside_width "inside-width": Amount = Amount(Length), "23 in";
        /// Inside height.
        inside_height "inside-height": Amount = Amount(Length), "26 in";
        /// Partitions that stop the liquid running across.
        partitions "partitions": Partitions = Group(Partitions::FORM), "{ across: 2, kind: full }";
        /// Specific gravity it is rated for.
        rated_gravity "rated-gravity": Amount = Amount(Ratio), "1.5";
        /// Where its vent goes.
        vent "vent": Word = Word(&["inside", "outside", "none"]), "outside";
        /// The wall keeps sunlight out.
        opaque "opaque": Flag = Flag, "yes";
        /// Fill opening above the floor.
        fill_height "fill-height": Amount = Amount(Length), "40 in";
        /// Air gap between the fill spout and the brim.
        fill_gap "fill-gap": Amount = Amount(Length), "2 in";
        /// How it is filled from a hose.
        filled_by "filled-by": Word = Word(&["hand", "float-valve", "air-gap", "direct-connection"]), "float-valve";
        /// Age.
        age "age": Amount = Amount(Duration), "2 years";
    }
}

form! {
    /// What a tank or can holds.
    Contents "contents", short "fluid" {
        /// The fluid.
        fluid "fluid": Word = Word(&["water", "hypochlorite", "mix", "surfactant", "soap", "acid", "caustic", "degreaser", "neutralizer", "rinse-aid", "wax", "gasoline", "diesel", "antifreeze", "empty"]), "water";
        /// Strength with its basis: trade, wt (weight of sodium hypochlorite), wt-chlorine (weight of available chlorine), or g/L.
        strength "strength": Strength = Strength, "12.5 % trade";
        /// How long ago it was made.
        made "made": Amount = Amount(Duration), "10 days";
        /// Density, where the drum or its data sheet says.
        density "density": Amount = Amount(Density), "10.0 lb/gal";
        /// Temperature it is kept at.
        temperature "temperature": Amount = Amount(Temperature), "75 F";
    }
}

form! {
    /// Partitions inside a tank.
    Partitions "partitions" {
        /// Compartments from side to side.
        across "across": Amount = Amount(Count), "3";
        /// Compartments from nose to tail.
        along "along": Amount = Amount(Count), "1";
        /// Full partitions divide the moment; perforated baffles only damp it.
        kind "kind": Word = Word(&["full", "perforated"]), "full";
    }
}

form! {
    /// A jug, can or drum that is carried and lifted.
    Container "container", shared Part {
        /// What it holds.
        holds "holds": Contents = Group(Contents::FORM), "gasoline";
        /// Capacity of one.
        capacity "capacity": Amount = Amount(Volume), "5 gal";
        /// How many stand here.
        count "count": Amount = Amount(Count), "2";
        /// Resin or metal.
        material "material": Word = Word(super::MATERIALS), "HDPE";
        /// An approved safety can or container.
        approved "approved": Flag = Flag, "yes";
        /// Labelled with what it holds.
        labelled "labelled": Flag = Flag, "yes";
        /// Height it is lifted from, above where the feet are.
        lift_from "lift-from": Amount = Amount(Length), "0 in";
        /// Height it is lifted to, above where the feet are.
        lift_to "lift-to": Amount = Amount(Length), "30 in";
        /// How often it is lifted.
        lifts_per_day "lifts-per-day": Amount = Amount(Count), "4";
    }
}

form! {
    /// A rack, shelf or frame.
    Rack "rack", shared Part {
        /// Weight it may carry.
        rating "rating": Amount = Amount(Mass), "300 lb";
    }
}

form! {
    /// A tool, ladder, spare wheel or other loose gear.
    Tool "tool", shared Part {
        /// What it is for.
        use_for "use": Text = Text, "spare wheel";
    }
}

form! {
    /// A spill tray.
    Tray "tray", shared Part {
        /// What it holds to the rim.
        capacity "capacity": Amount = Amount(Volume), "60 gal";
        /// What it stands under, by part id.
        under "under": Vec<crate::rig::PartRef> = Many(&Part), "[bleach]";
        /// Resin or metal.
        material "material": Word = Word(super::MATERIALS), "HDPE";
    }
}

form! {
    /// A fire extinguisher.
    Extinguisher "extinguisher", shared Part {
        /// Class B rating number: 10 for 10 B:C.
        b_rating "b-rating": Amount = Amount(Count), "10";
        /// Mounted where.
        mounted "mounted": Word = Word(&["inside", "outside", "cab"]), "outside";
    }
}

form! {
    /// An eyewash.
    Eyewash "eyewash", shared Part {
        /// Flushing fluid it holds.
        capacity "capacity": Amount = Amount(Volume), "6 gal";
        /// Plumbed, self-contained or squeeze bottle.
        style "style": Word = Word(&["plumbed", "self-contained", "bottle"]), "self-contained";
    }
}

form! {
    /// A spill kit.
    SpillKit "spill-kit", shared Part {
        /// Liquid it takes up.
        absorbs "absorbs": Amount = Amount(Volume), "10 gal";
        /// What it neutralizes bleach with.
        neutralizer "neutralizer": Word = Word(&["thiosulfate", "ascorbate", "sulfite", "peroxide", "none"]), "thiosulfate";
    }
}

form! {
    /// A carbon monoxide or smoke alarm.
    Alarm "alarm", shared Part {
        /// What it warns of.
        warns_of "warns-of": Word = Word(&["carbon-monoxide", "smoke", "fuel-vapor"]), "carbon-monoxide";
    }
}

form! {
    /// Ballast.
    Ballast "ballast", shared Part {
        /// What it is.
        made_of "made-of": Text = Text, "steel plate";
    }
}
