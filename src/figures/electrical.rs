//! Batteries, wire, fuses, shore power and battery gas on a rig.
//!
//! The low-voltage tables are those of the boat regulations (33 CFR 183 subpart I) and ABYC E-11, because no road rule
//! gives better ones for a wet, shaken, battery-fed rig; on a trailer they are good practice and not law. The 120 V
//! side follows the NEC and belongs to a licensed electrician and the local code.
//!
//! Units: A, V, W, s, m, m2, ohm, ohm/m, degC. Charge is in ampere-seconds: 1 Ah is 3600.

pub mod battery;
pub mod hydrogen;
pub mod protection;
pub mod shore;
pub mod wire;
