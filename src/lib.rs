//! Inspects the spec of a mobile wash rig and writes a punch list.
//!
//! ```text
//!  text       tree            Rig              Figures           Findings          Punch list
//!  *.yaml ─▶ [spec] ───────▶ [rig] ─────────▶ [workings] ─────▶ [rulebook] ─────▶ [punchlist] ─▶ [report]
//!               │              ▲                 ▲   ▲             ▲ rules/**.rhai    ▲
//!               └▶ [schema] ───│── problems ─────│───│─────────────│─────────────────┘
//!                   rules/assumptions.yaml  [figures] [bounds]
//! ```
//!
//! Data flows one way. A stage may import only stages above it in this list; `tests/storeys.rs` holds the tree to that.
//! [`inspection`] walks the whole line; everything that inspects calls it.
#![recursion_limit = "256"]

pub mod place;
pub mod problem;
pub mod measure;
pub mod spec;
pub mod rig;
pub mod schema;
pub mod figures;
pub mod bounds;
pub mod workings;
pub mod rulebook;
pub mod punchlist;
pub mod inspection;
pub mod report;
pub mod trial;
pub mod cli;
