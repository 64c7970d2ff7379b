//! Inspects the spec of a mobile wash rig and writes a punch list.
#![recursion_limit = "256"]

pub mod place;
pub mod problem;
pub mod measure;
pub mod spec;
pub mod rig;
pub mod bounds;
pub mod figures;
pub mod workings;
pub mod rulebook;
pub mod punchlist;
