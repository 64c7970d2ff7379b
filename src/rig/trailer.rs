//! The trailer: body, ratings, running gear, coupling, openings and floor.

use super::fact::{Amount, Flag, Text, Word};
use super::form::{Shape::*, form};
use super::takeoff::{Named, Opening, Size};
use crate::measure::Measure::*;

form! {
    /// The trailer that carries the rig.
    Trailer "trailer" {
        /// Enclosed box or open deck.
        body "body": Word = Word(&["enclosed", "open"]), "enclosed";
        /// Where it is registered, as a two-letter state code.
        state "state": Text = Text, "TX";
        /// Clear length, width and height inside the walls; for an open deck the usable length and width and the rail height.
        inside "inside": Size = Size, "12 ft x 6 ft x 6 ft 3 in";
        /// Floor or deck above the ground, level and loaded.
        floor_height "floor-height": Amount = Amount(Length), "20 in";
        /// The bare trailer as it came from its maker, without the fit-out.
        empty "empty": Empty = Group(Empty::FORM), "{ weight: 1480 lb, tongue: 190 lb }";
        /// What the certification label and the cargo placard say.
        ratings "ratings": Ratings = Group(Ratings::FORM), "{ gross: 4990 lb }";
        /// Each axle, front to rear.
        axles "axles": Vec<Axle> = Many(&Group(Axle::FORM)), "[{ from-coupler: 11 ft 4 in, rating: 5000 lb, brakes: electric }]";
        /// Axles joined by an equalizer share their load evenly.
        equalized "equalized": Flag = Flag, "yes";
        /// Tire centre to tire centre across an axle.
        track "track": Amount = Amount(Length), "86 in";
        /// The tires, all alike.
        tires "tires": Tires = Group(Tires::FORM), "{ count: 4, load-index: 105, pressure: 65 psi }";
        /// The coupler.
        coupler "coupler": Coupler = Group(Coupler::FORM), "{ ball: 2 in, rating: 5000 lb, to-nose: 3 ft 6 in }";
        /// Tongue jack rating.
        jack "jack": Amount = Amount(Mass), "2000 lb";
        /// Safety chains.
        chains "chains": Chains = Group(Chains::FORM), "{ count: 2, strength: 5200 lb }";
        /// Breakaway switch and its battery.
        breakaway "breakaway": Breakaway = Group(Breakaway::FORM), "{ fitted: yes, battery: 5 Ah }";
        /// Doors and ramps, by name.
        doors "doors": Vec<Named<Door>> = Named(&Group(Door::FORM)), "{ tail: { wall: tail, swing: out, width: 68 in, height: 72 in } }";
        /// Vents and grilles, by name.
        vents "vents": Vec<Named<Vent>> = Named(&Group(Vent::FORM)), "{ roof: { wall: roof, opening: 14 in x 14 in } }";
        /// Deck, crossmembers and finish.
        floor "floor": Floor = Group(Floor::FORM), "{ panel: 24oc, crossmember-spacing: 16 in }";
        /// Lamps, tape and plug.
        lamps "lamps": Lamps = Group(Lamps::FORM), "{ plug: 7-way, tape: yes }";
        /// Overall width, fenders included.
        overall_width "overall-width": Amount = Amount(Length), "96 in";
    }
}

form! {
    /// Weights of the bare trailer.
    Empty "empty" {
        /// Scale weight without the fit-out.
        weight "weight": Amount = Amount(Mass), "1480 lb";
        /// Weight on the coupler, level, without the fit-out.
        tongue "tongue": Amount = Offset(Mass), "190 lb";
        /// Height of the balance point above the ground.
        balance_height "balance-height": Amount = Amount(Length), "40 in";
    }
}

form! {
    /// What the labels say.
    Ratings "ratings" {
        /// Gross vehicle weight rating, GVWR.
        gross "gross": Amount = Amount(Mass), "4990 lb";
        /// Cargo the placard allows: GVWR less the trailer as it left its maker.
        cargo "cargo": Amount = Amount(Mass), "3510 lb";
    }
}

form! {
    /// One axle.
    Axle "axle" {
        /// Coupler ball centre to axle centre, level.
        from_coupler "from-coupler": Amount = Amount(Length), "11 ft 4 in";
        /// Gross axle weight rating, GAWR.
        rating "rating": Amount = Amount(Mass), "3500 lb";
        /// What brakes it has.
        brakes "brakes": Word = Word(&["none", "electric", "surge", "hydraulic"]), "electric";
        /// Leaf springs or rubber torsion.
        springs "springs": Word = Word(&["leaf", "torsion"]), "leaf";
        /// Load an axle takes on for each inch it rises.
        spring_rate "spring-rate": Amount = Amount(SpringRate), "1200 lb/in";
    }
}

form! {
    /// The tires.
    Tires "tires" {
        /// How many carry the trailer; the spare does not count.
        count "count": Amount = Amount(Count), "4";
        /// Two tires side by side at each hub.
        dual "dual": Flag = Flag, "no";
        /// What the tire is made for; a passenger tire's load is divided by 1.10 on a trailer.
        made_for "made-for": Word = Word(&["trailer", "light-truck", "passenger"]), "trailer";
        /// Load index moulded on the sidewall.
        load_index "load-index": Amount = Amount(Count), "105";
        /// Maximum load moulded on the sidewall, where there is no load index.
        rating "rating": Amount = Amount(Mass), "2039 lb";
        /// Cold pressure.
        pressure "pressure": Amount = Amount(Pressure), "65 psi";
        /// Age by the date code.
        age "age": Amount = Amount(Duration), "3 years";
    }
}

form! {
    /// The coupler at the trailer's front.
    Coupler "coupler" {
        /// Ball diameter it takes.
        ball "ball": Amount = Amount(Length), "2 in";
        /// Gross trailer weight stamped on it.
        rating "rating": Amount = Amount(Mass), "5000 lb";
        /// Tongue load stamped on it.
        tongue_rating "tongue-rating": Amount = Amount(Mass), "600 lb";
        /// Ball centre to the inside face of the nose wall, or to the front edge of an open deck.
        to_nose "to-nose": Amount = Amount(Length), "3 ft 6 in";
        /// Height of the ball at which the trailer rides level.
        level_height "level-height": Amount = Amount(Length), "18 in";
    }
}

form! {
    /// Safety chains or cables.
    Chains "chains" {
        /// How many.
        count "count": Amount = Amount(Count), "2";
        /// Breaking strength of each, hooks included.
        strength "strength": Amount = Amount(Mass), "5200 lb";
    }
}

form! {
    /// The breakaway set.
    Breakaway "breakaway" {
        /// Fitted and wired.
        fitted "fitted": Flag = Flag, "yes";
        /// Capacity of its battery.
        battery "battery": Amount = Amount(Charge), "5 Ah";
        /// Charged from the tow vehicle.
        charged "charged": Flag = Flag, "yes";
    }
}

form! {
    /// A door or ramp.
    Door "door" {
        /// The wall it is in.
        wall "wall": Word = Word(&["tail", "curb", "road", "nose"]), "tail";
        /// How it opens.
        swing "swing": Word = Word(&["out", "in", "double-out", "ramp", "roll-up", "slide"]), "double-out";
        /// Which edge the hinge is on; for a tail door the curb or road edge.
        hinge "hinge": Word = Word(&["nose", "tail", "curb", "road", "bottom", "top"]), "nose";
        /// Nose wall to the near edge of the opening, for a door in a side wall.
        from_nose "from-nose": Amount = Amount(Length), "18 in";
        /// Curb-side wall to the near edge of the opening, for a door in the tail or nose.
        from_curb "from-curb": Amount = Amount(Length), "2 in";
        /// Clear width of the opening.
        width "width": Amount = Amount(Length), "32 in";
        /// Clear height of the opening.
        height "height": Amount = Amount(Length), "72 in";
    }
}

form! {
    /// A vent, grille or fan opening.
    Vent "vent" {
        /// Where it is.
        wall "wall": Word = Word(&["roof", "curb", "road", "nose", "tail", "floor"]), "roof";
        /// Width and height of the opening.
        opening "opening": Opening = Opening, "14 in x 14 in";
        /// Height of its centre above the floor.
        height "height": Amount = Amount(Length), "60 in";
        /// Air a fan moves through it.
        fan "fan": Amount = Amount(Flow), "600 cfm";
    }
}

form! {
    /// The floor.
    Floor "floor" {
        /// Panel rating stamped on the plywood; an unmarked panel is treated as 16oc.
        panel "panel": Word = Word(&["32/16", "40/20", "48/24", "16oc", "20oc", "24oc", "32oc", "steel", "aluminum"]), "24oc";
        /// Panel thickness.
        thickness "thickness": Amount = Amount(Length), "3/4 in";
        /// Crossmember centre to centre.
        crossmember_spacing "crossmember-spacing": Amount = Amount(Length), "16 in";
        /// Outside width of a square-tube crossmember.
        crossmember "crossmember": Amount = Amount(Length), "2 in";
        /// Wall thickness of the crossmember tube.
        crossmember_wall "crossmember-wall": Amount = Amount(Length), "1/8 in";
        /// Coating over the panel.
        finish "finish": Text = Text, "two-part epoxy";
    }
}

form! {
    /// Lamps and markings.
    Lamps "lamps" {
        /// Plug to the tow vehicle.
        plug "plug": Word = Word(&["4-way", "5-way", "7-way"]), "7-way";
        /// Lamps fitted.
        fitted "fitted": Vec<Word> = Many(&Word(&["tail", "stop", "turn", "side-markers", "reflectors", "plate", "clearance", "identification", "intermediate"])), "[tail, stop, turn, side-markers, reflectors, plate]";
        /// Red and white reflective tape.
        tape "tape": Flag = Flag, "yes";
    }
}
