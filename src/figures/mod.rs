//! The engineering: one file a discipline, plain functions of plain numbers in SI. Nothing here knows a spec, a rule or a range.

pub mod bleach;
pub mod floor;
pub mod layout;
pub mod securing;
pub mod slosh;
pub mod towing;
pub mod walk;
pub mod weight;
