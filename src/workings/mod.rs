//! The calculation sheet: from the facts of a rig to its figures, with range, basis and source.
//!
//! In: a [`Rig`]. Out: a [`Sheet`] of figures, each about one subject (the rig, a tank, a door, a pair of parts). One file a
//! discipline gathers facts, hands them through [`crate::bounds`] to the plain functions of [`crate::figures`], and enters
//! what comes back. Nothing here knows a limit, a rule or a word of advice.

pub mod air;
pub mod bleach;
pub mod brakes;
pub mod circuit;
pub mod doors;
pub mod electrical;
pub mod floor;
pub mod heat;
pub mod kit;
pub mod layout;
pub mod lifting;
pub mod loads;
pub mod low;
pub mod materials;
pub mod metering;
pub mod mixing;
pub mod moves;
pub mod noise;
pub mod paths;
pub mod room;
pub mod running_gear;
pub mod securing;
pub mod slosh;
pub mod suction;
pub mod tanks;
pub mod towing;
pub mod transport;
pub mod vehicle;
pub mod water;
pub mod weight;

use std::collections::HashMap;

use crate::bounds::Bounded;
use crate::measure::{Measure, Range};
use crate::place::Place;
use crate::rig::{EntryId, FactId, Rig};

/// The number of a subject on its sheet. The entries of the rig come first and keep their numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SubjectId(pub u32);

/// The number of a figure on its sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FigureId(pub u32);

/// What a property gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gives {
    /// A computed quantity.
    Figure(Measure),
    /// Words: the name of the fill state that is worst, say.
    Note,
    /// Another subject of this kind.
    Subject(&'static str),
}

/// What a discipline computes for a kind of subject: one row of its table.
#[derive(Debug)]
pub struct Card {
    /// The kind of subject.
    pub of: &'static str,
    /// The name; a script writes `_` for `-`.
    pub name: &'static str,
    /// What it gives.
    pub gives: Gives,
    /// What it means.
    pub help: &'static str,
    /// How it is worked out, in one line.
    pub method: &'static str,
    /// Where the method comes from.
    pub source: &'static str,
}

/// Something that figures are about and rules look at.
#[derive(Debug, Clone)]
pub struct Subject {
    /// What a rule's `each` calls it.
    pub kind: &'static str,
    /// What people call it.
    pub name: String,
    /// Where it is in the spec; for a pair, where its first member is.
    pub place: Place,
    /// The entry behind it, if there is one.
    pub entry: Option<EntryId>,
}

/// A computed quantity on the sheet.
#[derive(Debug, Clone)]
pub struct Figure {
    /// The chapter and row that define it.
    pub chapter: &'static str,
    /// Its row.
    pub card: &'static Card,
    /// What it is about.
    pub subject: SubjectId,
    /// Its range and the facts behind it.
    pub value: Bounded,
}

/// A figure as a curve, for drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Its name: chapter, row and subject.
    pub id: String,
    /// What it is about.
    pub subject: SubjectId,
    /// Unit along the foot.
    pub x: &'static str,
    /// Unit up the side.
    pub y: &'static str,
    /// The points, from left to right.
    pub points: Vec<(f64, f64)>,
}

/// What a subject's property holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Property {
    /// A figure.
    Figure(FigureId),
    /// Words.
    Note(u32),
    /// Another subject.
    Subject(SubjectId),
}

/// All figures of a rig.
#[derive(Debug, Clone, Default)]
pub struct Sheet {
    /// What figures are about; the entries of the rig first.
    pub subjects: Vec<Subject>,
    /// The figures, in the order they were worked out.
    pub figures: Vec<Figure>,
    /// The words.
    pub notes: Vec<String>,
    /// Every fill state of a trailer or bed, worked out in full: what the weight ticket prints.
    pub ticket: Vec<weight::State>,
    /// The circuits of the washers, from pump to tip.
    pub circuits: Vec<water::table::CircuitTable>,
    /// Figures that people look at rather than read: level against time, charge against hours.
    pub curves: Vec<Curve>,
    properties: HashMap<(SubjectId, &'static str), Property>,
    chapter: &'static str,
}

/// One discipline: its chapter, its table and its work.
pub struct Discipline {
    /// The chapter.
    pub chapter: &'static str,
    /// What it computes.
    pub cards: &'static [Card],
    /// Computes it.
    pub work: fn(&Rig, &mut Sheet),
}

/// Every discipline, in the order they are worked out: a later one may use an earlier one's figures.
pub const DISCIPLINES: &[Discipline] = &[
    Discipline { chapter: "weight", cards: weight::CARDS, work: weight::work },
    Discipline { chapter: "weight", cards: running_gear::CARDS, work: running_gear::work },
    Discipline { chapter: "weight", cards: moves::CARDS, work: moves::work },
    Discipline { chapter: "weight", cards: vehicle::CARDS, work: vehicle::work },
    Discipline { chapter: "weight", cards: slosh::CARDS, work: slosh::work },
    Discipline { chapter: "towing", cards: towing::CARDS, work: towing::work },
    Discipline { chapter: "securing", cards: securing::CARDS, work: securing::work },
    Discipline { chapter: "layout", cards: layout::CARDS, work: layout::work },
    Discipline { chapter: "layout", cards: lifting::CARDS, work: lifting::work },
    Discipline { chapter: "layout", cards: floor::CARDS, work: floor::work },
    Discipline { chapter: "electrical", cards: electrical::CARDS, work: electrical::work },
    Discipline { chapter: "air", cards: air::CARDS, work: air::work },
    Discipline { chapter: "noise", cards: noise::CARDS, work: noise::work },
    Discipline { chapter: "kit", cards: kit::CARDS, work: kit::work },
    Discipline { chapter: "paths", cards: paths::CARDS, work: paths::work },
    Discipline { chapter: "bleach", cards: bleach::CARDS, work: bleach::work },
    Discipline { chapter: "transport", cards: transport::CARDS, work: transport::work },
    Discipline { chapter: "materials", cards: materials::CARDS, work: materials::work },
    Discipline { chapter: "water", cards: water::CARDS, work: water::work },
    Discipline { chapter: "delivery", cards: low::CARDS, work: low::work },
    Discipline { chapter: "delivery", cards: metering::CARDS, work: metering::work },
    Discipline { chapter: "suction", cards: suction::CARDS, work: suction::work },
    Discipline { chapter: "suction", cards: tanks::CARDS, work: tanks::work },
    Discipline { chapter: "heat", cards: heat::CARDS, work: heat::work },
];

/// Every row of every discipline.
pub fn cards() -> impl Iterator<Item = &'static Card> {
    DISCIPLINES.iter().flat_map(|discipline| discipline.cards)
}

/// Works out every figure of a rig.
pub fn work(rig: &Rig) -> Sheet {
    let mut sheet = Sheet::default();
    for (at, entry) in (0..).zip(&rig.entries) {
        let name = entry.name.as_deref().unwrap_or(entry.form.word).to_owned();
        sheet.subjects.push(Subject {
            kind: entry.form.word,
            name,
            place: entry.place.clone(),
            entry: Some(EntryId(at)),
        });
    }
    for discipline in DISCIPLINES {
        sheet.chapter = discipline.chapter;
        (discipline.work)(rig, &mut sheet);
    }
    sheet
}

impl Sheet {
    /// Adds a subject that is no entry of the rig: a pair of parts, a fill state.
    pub fn subject(&mut self, kind: &'static str, name: String, place: Place) -> SubjectId {
        self.subjects.push(Subject { kind, name, place, entry: None });
        SubjectId(self.subjects.len() as u32 - 1)
    }

    /// Enters a figure under its row.
    pub fn enter(&mut self, of: SubjectId, card: &'static Card, value: Bounded) -> FigureId {
        let id = FigureId(self.figures.len() as u32);
        self.figures.push(Figure { chapter: self.chapter, card, subject: of, value });
        self.properties.insert((of, card.name), Property::Figure(id));
        id
    }

    /// Enters words under their row.
    pub fn note(&mut self, of: SubjectId, card: &'static Card, text: String) {
        let id = self.notes.len() as u32;
        self.notes.push(text);
        self.properties.insert((of, card.name), Property::Note(id));
    }

    /// Enters another subject under its row.
    pub fn link(&mut self, of: SubjectId, card: &'static Card, to: SubjectId) {
        self.properties.insert((of, card.name), Property::Subject(to));
    }

    /// A property of a subject, by the name of its row.
    pub fn property(&self, of: SubjectId, name: &'static str) -> Option<Property> {
        self.properties.get(&(of, name)).copied()
    }

    /// A figure.
    pub fn figure(&self, id: FigureId) -> &Figure {
        &self.figures[id.0 as usize]
    }

    /// The figure of a subject, by name.
    pub fn value(&self, of: SubjectId, name: &'static str) -> Option<&Figure> {
        match self.property(of, name)? {
            Property::Figure(id) => Some(self.figure(id)),
            _ => None,
        }
    }

    /// The range of a figure of a subject, if it is bounded.
    pub fn range(&self, of: SubjectId, name: &'static str) -> Option<Range> {
        self.value(of, name)?.value.range
    }

    /// A subject.
    pub fn at(&self, id: SubjectId) -> &Subject {
        &self.subjects[id.0 as usize]
    }

    /// The name of a figure for machines: `weight.gross-heaviest`, and `securing.count-needed:parts.water` for one part.
    pub fn id(&self, figure: &Figure) -> String {
        let subject = self.at(figure.subject);
        // There is one trailer and one vehicle: their figures need no place.
        if subject.place.as_str().is_empty() || matches!(subject.kind, "trailer" | "vehicle") {
            format!("{}.{}", figure.chapter, figure.card.name)
        } else {
            format!("{}.{}:{}", figure.chapter, figure.card.name, subject.name_for_id())
        }
    }

    /// The facts that a figure leans on, each once.
    pub fn facts(figure: &Figure) -> Vec<FactId> {
        let mut facts: Vec<FactId> = figure.value.facts.iter().map(|(fact, _)| *fact).collect();
        facts.sort_unstable();
        facts.dedup();
        facts
    }
}

impl Subject {
    /// The place, with the name added where several subjects share one place.
    fn name_for_id(&self) -> String {
        match self.entry {
            Some(_) => self.place.to_string(),
            None => format!("{}/{}", self.place, self.name),
        }
    }
}

/// The row called `name` in a table; the first row if there is none, which the tests rule out.
pub fn row(cards: &'static [Card], of: &str, name: &str) -> &'static Card {
    cards.iter().find(|card| card.of == of && card.name == name).unwrap_or(&cards[0])
}
