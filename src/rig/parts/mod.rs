//! The parts of a rig: what every part has, and which kinds there are.

mod electric;
mod flow;
mod store;
mod washing;

pub use electric::{Battery, Charger, Fan, FuseBlock, Generator, Light, ShoreInlet};
pub use flow::{Accumulator, BlendManifold, Check, Hose, Injector, Strainer, Supply, Valve};
pub use store::{
    Alarm, Ballast, Container, Contents, Extinguisher, Eyewash, Partitions, Rack, SpillKit, Tank, Tool, Tray,
};
pub use washing::{
    Burner, DeliveryPump, Engine, Exhaust, FuelTank, Gun, Heater, Nozzle, Reel, SurfaceCleaner, Unloader, Washer,
    WoundHose,
};

use super::fact::{Amount, EntryId, Flag, Text, Word};
use super::form::{Form, Shape::*, form};
use super::takeoff::{Named, Size, Takeoff};
use crate::measure::Measure::*;

/// Resins, rubbers and metals that touch what a rig carries.
pub const MATERIALS: &[&str] = &[
    "HDPE",
    "LLDPE",
    "XLPE",
    "polypropylene",
    "PVC",
    "PVC-flexible",
    "CPVC",
    "PVDF",
    "PTFE",
    "nylon",
    "acetal",
    "polyurethane",
    "FRP-vinyl-ester",
    "FRP-polyester",
    "EPDM",
    "FKM",
    "nitrile",
    "TPV",
    "silicone",
    "brass",
    "stainless-303",
    "stainless-304",
    "stainless-316",
    "aluminum",
    "carbon-steel",
    "galvanized-steel",
    "copper",
    "titanium",
    "nickel-C276",
    "ceramic",
    "stainless",
    "plastic",
    "rubber",
    "chloroprene",
    "CSM",
    "FFKM",
    "natural-rubber",
    "FKM-bisphenol",
    "FKM-peroxide",
    "carbon",
    "plywood",
];

form! {
    /// What every part has.
    Part "part", required ["kind"] {
        /// What the part is.
        kind "kind": Text = PartKind, "tank";
        /// The parts book entry it is taken from, as book/part.
        from "from": Text = Text, "shop/washer-4gpm";
        /// What the shop calls it.
        label "label": Text = Text, "100 gal leg tank";
        /// Near corner: from the nose, from the curb side, above the floor.
        at "at": Spot = Group(Spot::FORM), "{ nose: 62 in, curb: 4 in, floor: 0 in }";
        /// Length (nose to tail) x width x height as it stands.
        size "size": Size = Size, "48 in x 24 in x 28 in";
        /// Weight without what it holds.
        weight "weight": Amount = Amount(Mass), "62 lb";
        /// Balance point, where it is not the middle of the box.
        balance "balance": Spot = Group(Spot::FORM), "{ nose: 80 in, curb: 14 in, floor: 20 in }";
        /// Stands outside the box: on the tongue, the roof or a rear frame.
        outside "outside": Flag = Flag, "no";
        /// How it is held down.
        tied_with "tied-with": Ties = Group(Ties::FORM), "{ straps: 2, working-load: 833 lb }";
        /// Controls a person must reach, by name.
        controls "controls": Vec<Named<Control>> = Named(&Group(Control::FORM)), "{ starter: { nose: 112 in, curb: 20 in, floor: 30 in } }";
        /// Free floor it needs in front of a face, to be served.
        clear "clear": Clear = Group(Clear::FORM), "{ tail: 24 in }";
        /// Materials that touch what flows through it.
        wetted "wetted": Vec<Word> = Many(&Word(MATERIALS)), "[EPDM, polypropylene]";
        /// Ports, by name, and where they are.
        ports "ports": Vec<Named<Text>> = Named(&Text), "{ outlet: bottom, fill: top }";
    }
}

form! {
    /// A point or near corner inside the rig.
    Spot "spot" {
        /// From the inside face of the nose wall, toward the tail.
        nose "nose": Amount = Offset(Length), "62 in";
        /// From the curb-side wall, toward the road side.
        curb "curb": Amount = Offset(Length), "4 in";
        /// Above the floor.
        floor "floor": Amount = Offset(Length), "0 in";
    }
}

form! {
    /// How a part is held down.
    Ties "ties" {
        /// How many straps or chains.
        straps "straps": Amount = Amount(Count), "2";
        /// Working load limit stamped on each.
        working_load "working-load": Amount = Amount(Mass), "833 lb";
        /// Webbing width, where no working load limit is stamped.
        width "width": Amount = Amount(Length), "2 in";
        /// They cross over the part to the other side; otherwise they go from the part to the floor on one side.
        across "across": Flag = Flag, "yes";
        /// Working load limit of the anchor each is hooked to.
        anchor_load "anchor-load": Amount = Amount(Mass), "1000 lb";
        /// How many bolts hold the feet or frame.
        bolts "bolts": Amount = Amount(Count), "4";
        /// Bolt diameter.
        bolt_size "bolt-size": Amount = Amount(Length), "3/8 in";
        /// Bolt grade: SAE J429 2, 5 or 8; ISO 898-1 8.8 or 10.9.
        bolt_grade "bolt-grade": Word = Word(&["2", "5", "8", "8.8", "10.9"]), "\"5\"";
        /// Bolt rows, nose to tail: centre to centre.
        rows_apart "rows-apart": Amount = Amount(Length), "24 in";
        /// Bolt rows, side to side: centre to centre.
        columns_apart "columns-apart": Amount = Amount(Length), "18 in";
        /// What the bolts pull against.
        into "into": Word = Word(&["crossmember", "frame", "plate", "washer", "panel"]), "crossmember";
        /// Blocked against moving forward.
        blocked "blocked": Flag = Flag, "yes";
    }
}

form! {
    /// A control a person must reach.
    Control "control" {
        /// What it does.
        does "does": Word = Word(&["starter", "stop", "fuel-valve", "bleach-shut-off", "water-valve", "lid", "breaker", "crank", "gauge", "drain"]), "starter";
        /// From the nose wall.
        nose "nose": Amount = Offset(Length), "112 in";
        /// From the curb-side wall.
        curb "curb": Amount = Offset(Length), "20 in";
        /// Above the floor.
        floor "floor": Amount = Amount(Length), "30 in";
        /// Reached from where.
        from "from": Word = Word(&["inside", "outside"]), "inside";
    }
}

form! {
    /// Free floor in front of each face.
    Clear "clear" {
        /// In front of the face toward the nose.
        nose "nose": Amount = Amount(Length), "24 in";
        /// In front of the face toward the tail.
        tail "tail": Amount = Amount(Length), "24 in";
        /// In front of the face toward the curb.
        curb "curb": Amount = Amount(Length), "24 in";
        /// In front of the face toward the road.
        road "road": Amount = Amount(Length), "24 in";
        /// Above it.
        above "above": Amount = Amount(Length), "16 in";
    }
}

/// The id and the fields of one part.
#[derive(Debug, Clone)]
pub struct AnyPart {
    /// Its entry.
    pub entry: EntryId,
    /// What every part has.
    pub common: Part,
    /// What its kind adds.
    pub kind: Kind,
}

/// Declares the kinds of part, a row a kind: the variant, and through its form the word in the spec.
macro_rules! kinds {
    ($( $kind:ident ),* $(,)?) => {
        /// What kind of part, with the fields of that kind.
        #[derive(Debug, Clone)]
        #[expect(missing_docs, reason = "each variant is named for the form it holds, which says what it is")]
        pub enum Kind { $( $kind($kind), )* Unread }

        /// The blank form of every kind, in the order people look for them.
        pub const KINDS: &[&Form] = &[ $( $kind::FORM ),* ];

        impl Kind {
            /// Reads the fields of the kind that `form` describes.
            pub(in crate::rig) fn fill<'a>(takeoff: &mut Takeoff<'a>, entry: EntryId, form: &'static Form) -> Option<Self> {
                $( if form.word == $kind::FORM.word { return Some(Self::$kind($kind::fill(takeoff, entry))); } )*
                None
            }
        }
    };
}

kinds! {
    Tank, Washer, DeliveryPump, BlendManifold, Injector, Reel, Hose, Gun, Nozzle, SurfaceCleaner, Valve, Check, Strainer, Accumulator,
    Supply, Heater, Battery, Charger, ShoreInlet, Generator, FuseBlock, Light, Fan, Container, Rack, Tool, Tray, Extinguisher, Eyewash,
    SpillKit, Alarm, Ballast,
}
