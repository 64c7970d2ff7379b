//! The typed rig: what the spec says, fact by fact, and what is allowed for where it says nothing.
//!
//! In: the tree of a spec. Out: a [`Rig`], and the problems met on the way. Only [`takeoff`] sees the tree; nothing here
//! knows a formula, a rule or a byte.

pub mod allow;
pub mod blank;
pub mod fact;
pub mod form;
pub mod job;
pub mod parts;
pub mod system;
pub mod takeoff;
pub mod trailer;
pub mod vehicle;

use std::ops::Index;

pub use fact::{Amount, Basis, Entry, EntryId, Fact, FactId, Flag, PartRef, Slot, Text, Value, Word};
pub use takeoff::{Gauge, Named, Opening, Size, Strength, take_off};

use crate::measure::{Measure, Range, System};
use crate::place::Place;
use form::Shape;
use parts::{AnyPart, Kind};

/// One rig: its facts, its entries, and the typed view of both that the engineering reads.
#[derive(Debug, Clone)]
pub struct Rig {
    /// Every leaf of the spec, written or not.
    pub facts: Vec<Fact>,
    /// Every group of fields, the spec itself first.
    pub entries: Vec<Entry>,
    /// The typed view.
    pub spec: job::Spec,
}

/// What carries the rig.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// A trailer, or nothing stated: then a trailer is what is asked about.
    Trailer,
    /// The bed of a truck.
    Bed,
}

/// A range nothing is known of.
const ANYTHING: Range = Range { low: f64::NEG_INFINITY, high: f64::INFINITY };

impl Rig {
    /// A fact.
    pub fn fact(&self, id: FactId) -> &Fact {
        &self.facts[id.0 as usize]
    }

    /// An entry.
    pub fn entry(&self, id: EntryId) -> &Entry {
        &self.entries[id.0 as usize]
    }

    /// Where a fact is written, or would be.
    pub fn place(&self, id: FactId) -> Place {
        let fact = self.fact(id);
        let place = self.entry(fact.owner).place.key(fact.key);
        match (fact.index, &fact.name) {
            (Some(index), _) => place.entry(index.into()),
            (None, Some(name)) => place.key(name),
            (None, None) => place,
        }
    }

    /// The range of a quantity, if anything bounds it.
    pub fn known(&self, amount: Amount) -> Option<Range> {
        match self.fact(amount.id).value {
            Value::Amount(range) => Some(range),
            _ => None,
        }
    }

    /// The spec states this quantity.
    pub fn states(&self, amount: Amount) -> bool {
        self.fact(amount.id).basis == Basis::Stated
    }

    /// The word, if it is stated.
    pub fn word(&self, word: Word) -> Option<&'static str> {
        match self.fact(word.id).value {
            Value::Word(word) => Some(word),
            _ => None,
        }
    }

    /// Yes or no, if it is stated.
    pub fn flag(&self, flag: Flag) -> Option<bool> {
        match self.fact(flag.id).value {
            Value::Flag(flag) => Some(flag),
            _ => None,
        }
    }

    /// The text, if it is stated.
    pub fn text(&self, text: Text) -> Option<&str> {
        match &self.fact(text.id).value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The id that a reference holds, with its port.
    pub fn reference(&self, part: PartRef) -> Option<(&str, Option<&str>)> {
        match &self.fact(part.id).value {
            Value::Text(text) => Some(match text.split_once('.') {
                Some((part, port)) => (part, Some(port)),
                None => (text, None),
            }),
            _ => None,
        }
    }

    /// The part of an id.
    pub fn part(&self, id: &str) -> Option<&AnyPart> {
        self.spec.parts.iter().find(|part| &*part.name == id).map(|part| &part.item)
    }

    /// The parts, with their ids.
    pub fn parts(&self) -> impl Iterator<Item = (&str, &AnyPart)> {
        self.spec.parts.iter().map(|part| (&*part.name, &part.item))
    }

    /// The tanks, with their ids.
    pub fn tanks(&self) -> impl Iterator<Item = (&str, &AnyPart, &parts::Tank)> {
        self.parts().filter_map(|(name, part)| match &part.kind {
            Kind::Tank(tank) => Some((name, part, tank)),
            _ => None,
        })
    }

    /// What carries the rig.
    pub fn carrier(&self) -> Carrier {
        match (&self.spec.trailer, &self.spec.vehicle) {
            (None, Some(_)) => Carrier::Bed,
            _ => Carrier::Trailer,
        }
    }

    /// The units that reports are asked to use.
    pub fn system(&self) -> System {
        match self.word(self.spec.prepared.units) {
            Some("si") => System::Si,
            _ => System::Us,
        }
    }

    /// What a quantity measures.
    pub fn measure(&self, id: FactId) -> Option<Measure> {
        match self.fact(id).shape {
            Shape::Amount(measure) | Shape::Offset(measure) => Some(*measure),
            _ => None,
        }
    }
}

/// The range of a quantity; everything there is when nothing bounds it.
impl Index<Amount> for Rig {
    type Output = Range;

    fn index(&self, amount: Amount) -> &Range {
        match &self.fact(amount.id).value {
            Value::Amount(range) => range,
            _ => &ANYTHING,
        }
    }
}
