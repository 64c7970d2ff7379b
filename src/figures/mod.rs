//! The engineering: one file a discipline, plain functions of plain numbers in SI. Nothing here knows a spec, a rule or a range.

pub mod air;
pub mod bleach;
pub mod electrical;
pub mod floor;
pub mod handling;
pub mod heat;
pub mod hydraulics;
pub mod layout;
pub mod materials;
pub mod mixing;
pub mod noise;
pub mod paths;
pub mod reel;
pub mod securing;
pub mod slosh;
pub mod towing;
pub mod transport;
pub mod walk;
pub mod weight;
