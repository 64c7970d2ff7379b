//! What people and machines read of an inspection: views of the same [`PunchList`](crate::punchlist::PunchList).
//!
//! Nothing here computes, judges or knows how a finding was reached. [`terminal`] and [`plain`] are for people, [`json`]
//! for machines; [`figures_text`] and [`figures_json`] show the figures alone. Every output is the same for the same list.

mod circuits;
mod clean;
mod diagnostic;
mod excerpt;
mod figures;
mod json;
mod mix;
mod paint;
mod plain;
mod sections;
mod terminal;
mod ticket;

#[cfg(test)]
mod tests;

pub use diagnostic::{Shown, SourceMap};
pub use figures::figures_text;
pub use json::{curves_json, figures_json, json, json_text};
pub use mix::mix;
pub use paint::Style;
pub use plain::plain;
pub use sections::STANDING_CAUTION;
pub use terminal::terminal;
pub use ticket::ticket;
