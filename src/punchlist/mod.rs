//! The punch list: what is still wrong with a rig, located in its files, worst first.
//!
//! In: problems and findings. Out: [`PunchList`]. Nothing here knows how an item is shown.

pub mod build;

use crate::measure::System;
use crate::place::Place;
use crate::problem::{Problem, Span};
use crate::rulebook::card::{Signal, Verdict};
use crate::workings::water::table::CircuitTable;

/// The result of inspecting one spec, ready to be shown or written.
#[derive(Debug, Clone)]
pub struct PunchList {
    /// The file, as it was named.
    pub file: String,
    /// Which document of the file, counted from one, where it holds several.
    pub document: usize,
    /// The rig's name; empty when it has none.
    pub name: String,
    /// Units for people.
    pub system: System,
    /// What is wrong with the file. When there is any, nothing was judged.
    pub problems: Vec<Problem>,
    /// What is wrong with the rig, worst first.
    pub items: Vec<Item>,
    /// Every figure, in the order worked out.
    pub figures: Vec<FigureLine>,
    /// The circuits of the washers, from pump to tip.
    pub circuits: Vec<CircuitTable>,
    /// Facts not stated that matter to some item or figure, the most telling first.
    pub not_stated: Vec<NotStated>,
    /// Rules that could not be run on this spec: rule id and what went wrong, pointing into the script.
    pub troubles: Vec<Trouble>,
    /// How many rules looked at something in this spec.
    pub rules_run: usize,
    /// What looked for a subject and found none is not counted above.
    pub rules_without_subject: usize,
    /// The counts.
    pub tally: Tally,
}

/// One entry of the punch list.
#[derive(Debug, Clone)]
pub struct Item {
    /// The rule's id.
    pub rule: String,
    /// Its chapter.
    pub chapter: String,
    /// How bad it is if it stays.
    pub signal: Signal,
    /// Not met, or can't be said.
    pub verdict: Verdict,
    /// The place that the item stands for; with the rule, what tells it from other items.
    pub place: Place,
    /// The rule's title.
    pub title: String,
    /// What is wrong, by how much.
    pub says: String,
    /// What happens if it stays.
    pub why: String,
    /// Where the rule comes from.
    pub source: String,
    /// The usual caution, where someone can be hurt.
    pub caution: Option<String>,
    /// What to look at: the first is where the item is, the others decided it.
    pub labels: Vec<Label>,
    /// The figures used, as positions in [`PunchList::figures`].
    pub figures: Vec<usize>,
    /// Places of the facts that would settle it, the most telling first.
    pub settle: Vec<Place>,
    /// What to do about it.
    pub remedy: Option<String>,
    /// Consequences of the same cause, said once: `(rule, sentence)`.
    pub under: Vec<SubLine>,
    /// The variance that covers it.
    pub variance: Option<Granted>,
    /// It was on the earlier list.
    pub carried: bool,
    /// Stable name of the item: rule and place, hashed.
    pub identity: String,
}

/// A consequence that an item swallowed.
#[derive(Debug, Clone)]
pub struct SubLine {
    /// The rule's id.
    pub rule: String,
    /// Its sentence.
    pub says: String,
    /// Its place.
    pub place: Place,
}

/// A variance as granted.
#[derive(Debug, Clone)]
pub struct Granted {
    /// Why.
    pub reason: String,
    /// Who approved it.
    pub approved: String,
    /// Last day it holds.
    pub until: Option<String>,
}

/// A stretch of a file to look at.
#[derive(Debug, Clone)]
pub struct Label {
    /// The place in the spec.
    pub place: Place,
    /// The bytes; where a fact is not written, the key of what would hold it.
    pub span: Span,
    /// The fact itself is not written there.
    pub not_written: bool,
    /// Short text beside it.
    pub says: String,
}

/// A figure as shown.
#[derive(Debug, Clone)]
pub struct FigureLine {
    /// Name for machines, `weight.gross-heaviest`.
    pub id: String,
    /// The chapter.
    pub chapter: String,
    /// What it means.
    pub help: String,
    /// What it is about: `the rig`, `parts.water`.
    pub subject: String,
    /// Lower and upper end in `unit`; `None` when nothing bounds it.
    pub ends: Option<(f64, f64)>,
    /// The unit's symbol, by the spec's choice of units.
    pub unit: String,
    /// The value as people read it.
    pub shown: String,
    /// How it is worked out.
    pub method: String,
    /// Where the method comes from.
    pub source: String,
    /// The facts it was worked out from.
    pub from: Vec<FactLine>,
}

/// A fact behind a figure.
#[derive(Debug, Clone)]
pub struct FactLine {
    /// Where it is written, or would be.
    pub place: Place,
    /// What it says, as people read it.
    pub shown: String,
    /// Stated, assumed or unknown.
    pub stated: bool,
    /// The bytes, where it is written.
    pub span: Option<Span>,
}

/// A fact that the spec leaves out and that matters.
#[derive(Debug, Clone)]
pub struct NotStated {
    /// Where it would be written.
    pub place: Place,
    /// The assumed ends in `unit`; `None` when nothing bounds it.
    pub ends: Option<(f64, f64)>,
    /// The unit's symbol.
    pub unit: String,
    /// The assumed range as people read it, or `not known`.
    pub shown: String,
    /// It is stated, but as a range too wide to decide.
    pub stated: bool,
    /// The question to ask.
    pub ask: Option<String>,
    /// How to find out.
    pub find: Option<String>,
    /// The rules that can't say without it.
    pub touches: Vec<String>,
    /// The worst signal word among them.
    pub signal: Option<Signal>,
}

/// A rule that could not be run.
#[derive(Debug, Clone)]
pub struct Trouble {
    /// The rule's id.
    pub rule: String,
    /// What went wrong.
    pub says: String,
    /// The script's file name.
    pub file: String,
    /// The script's text.
    pub text: std::sync::Arc<str>,
    /// The bytes in it, when the engine told where.
    pub at: Option<(usize, usize)>,
}

/// The counts of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Items that break a danger rule.
    pub danger: usize,
    /// Items that break a warning rule.
    pub warning: usize,
    /// Items that break a caution rule.
    pub caution: usize,
    /// Items that break a notice rule.
    pub notice: usize,
    /// Items that can't be said.
    pub cannot_say: usize,
    /// Items carried from an earlier list, counted here and not above.
    pub carried: usize,
    /// Items that a variance covers, counted here and not above.
    pub variance: usize,
}
