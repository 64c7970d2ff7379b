//! Parts that lead, mix or stop a flow.

use super::Part;
use crate::measure::Measure::*;
use crate::rig::PartRef;
use crate::rig::fact::{Amount, Flag, Word};
use crate::rig::form::{Shape::*, form};

form! {
    /// A metering manifold that blends from several tanks.
    BlendManifold "blend-manifold", shared Part {
        /// The tanks it draws from.
        inlets "inlets": Vec<PartRef> = Many(&Part), "[water, bleach, soap]";
        /// Flow coefficient of a valve fully open: gpm at 1 psi.
        valve_coefficient "valve-coefficient": Amount = Amount(Ratio), "3.5";
        /// Bore of its passages.
        bore "bore": Amount = Amount(Length), "1/2 in";
        /// A check valve in each inlet.
        checks "checks": Flag = Flag, "yes";
    }
}

form! {
    /// An injector that draws soap or bleach into a stream.
    Injector "injector", shared Part {
        /// Where it sits.
        sits "sits": Word = Word(&["downstream", "upstream"]), "downstream";
        /// Water to chemical, by volume: 10 means ten to one.
        ratio "ratio": Amount = Amount(Ratio), "10";
        /// What it draws from.
        draws "draws": PartRef = Part, "soap";
        /// Its orifice.
        orifice "orifice": Amount = Amount(Length), "2.1 mm";
        /// Height it has to lift the chemical.
        lift "lift": Amount = Offset(Length), "18 in";
    }
}

form! {
    /// A loose hose that is carried: supply hose, extension.
    Hose "hose", shared Part {
        /// Bore.
        bore "bore": Amount = Amount(Length), "5/8 in";
        /// Length.
        length "length": Amount = Amount(Length), "150 ft";
        /// Working pressure.
        rated "rated": Amount = Amount(Pressure), "150 psi";
        /// Carried full or drained.
        carried "carried": Word = Word(&["wet", "drained"]), "drained";
    }
}

form! {
    /// A valve.
    Valve "valve", shared Part {
        /// How it works.
        style "style": Word = Word(&["ball", "three-way", "needle", "gate", "float", "solenoid", "relief", "pressure-reducing"]), "ball";
        /// Bore.
        bore "bore": Amount = Amount(Length), "3/4 in";
        /// Working pressure.
        rated "rated": Amount = Amount(Pressure), "150 psi";
        /// Pressure at which a relief valve opens.
        opens "opens": Amount = Amount(Pressure), "150 psi";
    }
}

form! {
    /// A check valve or backflow preventer.
    Check "check", shared Part {
        /// What sort.
        style "style": Word = Word(&["spring", "swing", "ball", "duckbill", "vacuum-breaker", "dual-check", "reduced-pressure-zone", "double-check"]), "spring";
        /// Pressure it needs to open.
        cracking "cracking": Amount = Amount(Pressure), "2 psi";
        /// Bore.
        bore "bore": Amount = Amount(Length), "1/2 in";
    }
}

form! {
    /// A strainer or filter.
    Strainer "strainer", shared Part {
        /// Mesh opening.
        mesh "mesh": Amount = Amount(Length), "0.4 mm";
        /// Bore.
        bore "bore": Amount = Amount(Length), "1 in";
    }
}

form! {
    /// An accumulator.
    Accumulator "accumulator", shared Part {
        /// Volume.
        volume "volume": Amount = Amount(Volume), "0.75 L";
        /// Air charge with no liquid in it.
        precharge "precharge": Amount = Amount(Pressure), "30 psi";
    }
}

form! {
    /// Where the customer's water comes in.
    Supply "supply", shared Part {
        /// Tap or hydrant.
        source "source": Word = Word(&["tap", "hydrant", "carried"]), "tap";
        /// Flow the tap gives.
        flow "flow": Amount = Amount(Flow), "5 gpm";
        /// Standing pressure.
        pressure "pressure": Amount = Amount(Pressure), "50 psi";
        /// What protects the customer's water.
        protected_by "protected-by": Word = Word(&["air-gap", "hose-vacuum-breaker", "dual-check", "double-check", "reduced-pressure-zone", "none"]), "hose-vacuum-breaker";
    }
}
