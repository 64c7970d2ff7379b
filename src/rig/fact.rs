//! A fact about the rig: stated, allowed for (bounded by an assumption) or unknown, and where it would be written.

use crate::measure::Range;

use super::form::{Form, Shape};
use crate::place::Place;

/// The number of a fact in its [`super::Rig`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FactId(pub u32);

/// The number of an entry (trailer, tank, line, mode, ...) in its [`super::Rig`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId(pub u32);

/// A quantity in the spec, as one end of an index into [`super::Rig`]: `rig[tank.capacity]` is its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Amount {
    /// The fact.
    pub id: FactId,
}

/// A word out of a list in the spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Word {
    /// The fact.
    pub id: FactId,
}

/// A yes or no in the spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Flag {
    /// The fact.
    pub id: FactId,
}

/// Free text in the spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Text {
    /// The fact.
    pub id: FactId,
}

/// The id of a part, or of a part's port, in the spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct PartRef {
    /// The fact.
    pub id: FactId,
}

/// What a fact says.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A quantity between two ends, in SI.
    Amount(Range),
    /// A word out of the field's list.
    Word(&'static str),
    /// Free text, an id or a date.
    Text(Box<str>),
    /// Yes or no.
    Flag(bool),
    /// Nothing usable.
    Missing,
}

/// How a fact is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// The spec, or a parts book it uses, says so.
    Stated,
    /// Not stated; bounded by this row of the assumptions table.
    Assumed(u16),
    /// Not stated, and no assumption fits.
    Unknown,
}

/// One fact: a leaf of the spec, written or not.
#[derive(Debug, Clone)]
pub struct Fact {
    /// The entry it belongs to.
    pub owner: EntryId,
    /// Its key in that entry.
    pub key: &'static str,
    /// Its position, where the key holds a list.
    pub index: Option<u16>,
    /// Its name, where the key holds things by name.
    pub name: Option<Box<str>>,
    /// What it says.
    pub value: Value,
    /// How it is known.
    pub basis: Basis,
    /// The spec has something at this place (perhaps the word `unknown`).
    pub written: bool,
    /// What the field takes.
    pub shape: &'static Shape,
}

/// What stands under a key of an entry.
#[derive(Debug, Clone)]
pub enum Slot {
    /// A leaf.
    Fact(FactId),
    /// A group of fields.
    Entry(EntryId),
}

/// A group of fields of the spec: the trailer, one part, one line of plumbing.
#[derive(Debug, Clone)]
pub struct Entry {
    /// The blank form it was read against.
    pub form: &'static Form,
    /// Where it stands, or would stand.
    pub place: Place,
    /// The entry that holds it.
    pub parent: Option<EntryId>,
    /// The id it was given, for parts, modes and doors.
    pub name: Option<Box<str>>,
    /// What it holds, in the order of the form; lists repeat the key.
    pub slots: Vec<(&'static str, Slot)>,
    /// The spec has something at this place.
    pub written: bool,
}
