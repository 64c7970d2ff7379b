//! Rules as read and as run.
pub mod card;
