//! What a rule script is handed, and what it may do with it.
//!
//! A script never gets a map or a bare number out of the spec. It gets things (the trailer, a tank) whose properties are
//! looked up by name, quantities that know their range and unit, words, and verdicts with three answers. Anything the host
//! does not offer is an error that points into the script: an unknown property, two unlike things compared, a verdict used
//! as a yes or no.

use std::cell::Cell;
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, OnceLock};

use rhai::{Array, Dynamic, Engine, EvalAltResult, FLOAT, ImmutableString, Map, Position};

use super::card::{Mark, MarkAt};
use super::quantity::{self, Quantity};
use super::verdict::{self, Flagged, Ruling};
use super::words::{self, Said};
use crate::measure::System;
use crate::place::Place;
use crate::rig::form::{Form, Shape, same_word};
use crate::rig::{EntryId, FactId, Rig, Slot};
use crate::spec::nearest;
use crate::workings::{Card, Gives, Property, Sheet, SubjectId, cards};

pub use super::quantity::fact_text;

/// The rig and its figures, as scripts see them.
#[derive(Debug)]
pub struct Scene {
    /// The rig.
    pub rig: Rig,
    /// Its figures.
    pub sheet: Sheet,
    /// Units for sentences.
    pub system: System,
}

/// One thing: the rig, a tank, a pair of parts.
#[derive(Debug, Clone)]
pub struct Thing {
    scene: Arc<Scene>,
    id: SubjectId,
}

/// The limits of a card, as quantities.
#[derive(Debug, Clone)]
pub struct Limits(pub(super) Arc<Vec<(String, Quantity)>>);

pub(super) type Fallible<T> = Result<T, Box<EvalAltResult>>;

/// An error of a script; the engine adds where.
pub(super) fn wrong<T>(says: impl Into<String>) -> Fallible<T> {
    Err(Box::new(EvalAltResult::ErrorRuntime(says.into().into(), Position::NONE)))
}

/// `; did you mean ..?` for the nearest of some words.
pub(super) fn did_you_mean<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(word, known).map_or(String::new(), |near| format!("; did you mean `{near}`?"))
}

thread_local! {
    /// Work done inside host functions since the rule was started, in steps of the engine.
    static WORK: Cell<u64> = const { Cell::new(0) };
}

/// Counts work that one step of a script can set off: an entry of a list, a fact behind a figure. The engine counts only its
/// own steps, so without this a rule could spend its whole budget on calls that each walk a thousand entries.
pub(super) fn charge(entries: usize) {
    WORK.set(WORK.get().saturating_add(entries as u64 / 4));
}

/// The work counted so far.
pub(super) fn work() -> u64 {
    WORK.get()
}

/// Starts counting anew.
pub(super) fn start_work() {
    WORK.set(0);
}

thread_local! {
    /// Only the answer is wanted: no sentence is read, no fact is asked for.
    static QUIET: Cell<bool> = const { Cell::new(false) };
}

/// Whether only the answer is wanted. Most rules are met, and most of a rule's work is the sentences it would say if it were
/// not; so a rule is first run for its answer alone, and again in full only if there is something to say.
pub(super) fn quiet() -> bool {
    QUIET.get()
}

/// Sets whether only the answer is wanted on this thread.
pub(super) fn set_quiet(quiet: bool) {
    QUIET.set(quiet);
}

/// What every thing has beside its fields and figures.
const BUILT_IN: &[&str] = &["name", "of", "place"];
/// What a group can have that stands in its spec as one value: the sides of a size, a strength with its basis.
const SIDES: &[&str] = &["length", "width", "height", "value", "basis", "area", "number", "system"];

/// Every function that scripts may call.
pub const FUNCTIONS: &[&str] = &[
    "above",
    "below",
    "within",
    "larger",
    "smaller",
    "at_least",
    "at_most",
    "whole_up",
    "is_stated",
    "is_bounded",
    "is",
    "is_any",
    "is_yes",
    "is_no",
    "is_written",
    "is_a",
    "count",
    "all_of",
    "any_of",
    "not_so",
    "so",
    "ask_for",
    "flag",
    "to_string",
];
/// The functions that answer with a verdict.
pub(super) const VERDICTS: &[&str] =
    &["above", "below", "within", "is", "is_any", "is_yes", "is_no", "all_of", "any_of", "not_so", "so", "ask_for"];

/// Every property that some thing has, as scripts write it.
fn properties() -> &'static HashSet<String> {
    static WORDS: OnceLock<HashSet<String>> = OnceLock::new();
    WORDS.get_or_init(|| all_properties().map(|word| word.replace('-', "_")).collect())
}

/// Some thing has this property: the check when a rule loads.
pub fn is_property(word: &str) -> bool {
    properties().contains(word)
}

/// The names of every property that some thing has, with `-` for `_`.
pub fn all_properties() -> impl Iterator<Item = &'static str> {
    let mut words: Vec<&'static str> = BUILT_IN.iter().chain(SIDES).copied().collect();
    let mut forms: Vec<&'static Form> = crate::rig::allow::subjects().collect();
    let mut at = 0;
    while let Some(form) = forms.get(at).copied() {
        at += 1;
        for field in form.all_fields() {
            words.push(field.key);
            let mut shape = &field.shape;
            while let Shape::Many(inner) | Shape::Named(inner) = shape {
                shape = inner;
            }
            if let Shape::Group(inner) = shape
                && !forms.iter().any(|known| std::ptr::eq(*known, *inner))
            {
                forms.push(inner);
            }
        }
    }
    words.extend(cards().map(|card| card.name));
    words.into_iter()
}

/// The kinds of things that a rule can look at.
pub fn kinds() -> &'static HashSet<&'static str> {
    static KINDS: OnceLock<HashSet<&'static str>> = OnceLock::new();
    KINDS.get_or_init(|| {
        crate::rig::allow::subjects().map(|form| form.word).chain(cards().map(|card| card.of)).collect()
    })
}

/// The rows of the workings by the word a script uses.
fn card_index() -> &'static HashMap<String, Vec<&'static Card>> {
    static INDEX: OnceLock<HashMap<String, Vec<&'static Card>>> = OnceLock::new();
    INDEX.get_or_init(|| {
        let mut index: HashMap<String, Vec<&'static Card>> = HashMap::new();
        for card in cards() {
            index.entry(card.name.replace('-', "_")).or_default().push(card);
        }
        index
    })
}

impl Scene {
    /// Whether a subject is of a kind; `part` is every part.
    pub(super) fn is(&self, id: SubjectId, kind: &str) -> bool {
        let subject = self.sheet.at(id);
        subject.kind == kind
            || (kind == "part" && subject.entry.is_some_and(|entry| self.rig.entry(entry).form.shared.is_some()))
    }
}

impl Thing {
    /// A thing of a scene.
    pub(super) fn new(scene: &Arc<Scene>, id: SubjectId) -> Self {
        Self { scene: Arc::clone(scene), id }
    }

    fn kind(&self) -> &'static str {
        self.scene.sheet.at(self.id).kind
    }

    fn entry(&self) -> Option<EntryId> {
        self.scene.sheet.at(self.id).entry
    }

    fn get(&self, word: &str) -> Fallible<Dynamic> {
        let subject = self.scene.sheet.at(self.id);
        match word {
            "name" => return Ok(subject.name.clone().into()),
            "place" => return Ok(subject.place.to_string().into()),
            "of" => return self.holder(),
            _ => {}
        }
        if let Some(card) =
            card_index().get(word).and_then(|cards| cards.iter().find(|card| self.scene.is(self.id, card.of)))
        {
            return self.figure(card);
        }
        let Some(entry) = subject.entry else { return self.unknown(word) };
        let entry = (entry, self.scene.rig.entry(entry));
        match entry.1.form.field(word) {
            Some(field) => self.field(entry.0, field.key, &field.shape),
            None if SIDES.contains(&word) => match entry.1.slots.iter().find(|(key, _)| *key == word) {
                Some((key, _)) => self.field(entry.0, key, &Shape::Text),
                None => self.unknown(word),
            },
            None => self.unknown(word),
        }
    }

    fn unknown(&self, word: &str) -> Fallible<Dynamic> {
        let fields = self
            .entry()
            .into_iter()
            .flat_map(|entry| self.scene.rig.entry(entry).form.all_fields().map(|field| field.key));
        let figures = cards().filter(|card| self.scene.is(self.id, card.of)).map(|card| card.name);
        let words: Vec<String> =
            fields.chain(figures).chain(BUILT_IN.iter().copied()).map(|word| word.replace('-', "_")).collect();
        wrong(format!("a {} has no `{word}`{}", self.kind(), did_you_mean(word, words.iter().map(String::as_str))))
    }

    fn holder(&self) -> Fallible<Dynamic> {
        let Some(entry) = self.entry() else { return wrong("this is not part of anything") };
        match self.scene.rig.entry(entry).parent {
            Some(parent) => Ok(Dynamic::from(Self::new(&self.scene, SubjectId(parent.0)))),
            None => wrong("the rig is not part of anything"),
        }
    }

    fn figure(&self, card: &'static Card) -> Fallible<Dynamic> {
        match (self.scene.sheet.property(self.id, card.name), card.gives) {
            (Some(Property::Figure(id)), Gives::Figure(measure)) => {
                Ok(Dynamic::from(Quantity::of_figure(&self.scene, measure, id)))
            }
            (Some(Property::Note(note)), _) => Ok(self.scene.sheet.notes[note as usize].clone().into()),
            (Some(Property::Subject(subject)), _) => Ok(Dynamic::from(Self::new(&self.scene, subject))),
            _ => wrong(format!("`{}` is not worked out for this {}", card.name.replace('-', "_"), self.kind())),
        }
    }

    fn field(&self, entry: EntryId, key: &'static str, shape: &Shape) -> Fallible<Dynamic> {
        let rig = &self.scene.rig;
        let mut values = rig.entry(entry).slots.iter().filter(|(slot, _)| *slot == key).map(|(_, slot)| match slot {
            Slot::Entry(entry) => Dynamic::from(Self::new(&self.scene, SubjectId(entry.0))),
            Slot::Fact(fact) => self.fact(*fact),
        });
        match shape {
            Shape::Many(_) | Shape::Named(_) => {
                let list: Array = values.collect();
                charge(list.len());
                Ok(list.into())
            }
            _ => values.next().map_or_else(|| wrong(format!("this {} has no {key}", self.kind())), Ok),
        }
    }

    fn fact(&self, id: FactId) -> Dynamic {
        match self.scene.rig.measure(id) {
            Some(measure) => Dynamic::from(Quantity::of_fact(&self.scene, measure, id)),
            None => Dynamic::from(Said::new(&self.scene, id)),
        }
    }

    fn is_written(&self) -> bool {
        self.entry().is_none_or(|entry| self.scene.rig.entry(entry).written)
    }

    pub(super) fn mark(&self) -> Mark {
        let subject = self.scene.sheet.at(self.id);
        let at = subject.entry.map_or_else(|| MarkAt::Place(subject.place.clone()), MarkAt::Entry);
        Mark { at, says: subject.name.clone() }
    }
}

/// The operators of the script language. Each is registered for every pair of types, and refuses unless the host offers the pair.
pub const OPERATORS: &[&str] =
    &["==", "!=", "<", "<=", ">", ">=", "+", "-", "*", "/", "%", "**", "&", "|", "^", "<<", ">>"];

/// Gives an engine the types and functions that scripts may use. The engine's own operators must be off: see
/// [`Engine::set_fast_operators`].
pub fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Thing>("thing");
    engine.register_type_with_name::<Limits>("limits");
    // The engine looks for a getter first, and makes an error of its own for each that it does not find.
    for word in properties() {
        engine.register_get(word, |thing: &mut Thing| thing.get(word));
    }
    engine.register_indexer_get(|thing: &mut Thing, word: ImmutableString| thing.get(&word));
    engine.register_indexer_get(|limits: &mut Limits, word: ImmutableString| {
        let known = limits.0.iter().find(|(name, _)| same_word(name, &word));
        known.map_or_else(|| wrong(format!("the card has no limit `{word}`")), |(_, limit)| Ok(limit.clone()))
    });
    engine.register_iterator::<Array>();
    refuse_operators(engine);
    things(engine);
    quantity::register(engine);
    words::register(engine);
    verdict::register(engine);
    sentences(engine);
}

/// Unlike things compared, added or multiplied are a mistake in the script, never a quiet `false`.
fn refuse_operators(engine: &mut Engine) {
    for operator in OPERATORS {
        engine.register_fn(*operator, move |one: Dynamic, other: Dynamic| -> Fallible<Dynamic> {
            let hint = match *operator {
                "==" | "!=" | "<" | "<=" | ">" | ">=" => {
                    "; ask a quantity .above(..), .below(..) or .within(.., ..), and a word .is(..)"
                }
                _ => "",
            };
            wrong(format!("`{operator}` does not work between {} and {}{hint}", plain_name(&one), plain_name(&other)))
        });
    }
    for operator in ["-", "+"] {
        engine.register_fn(operator, move |one: Dynamic| -> Fallible<Dynamic> {
            wrong(format!("`{operator}` does not work on {}", plain_name(&one)))
        });
    }
    engine.register_fn("!", |yes: bool| !yes);
    engine.register_fn("!", |one: Dynamic| -> Fallible<Dynamic> {
        wrong(format!("`!` does not work on {}; use not_so(..) for a verdict", plain_name(&one)))
    });
    engine.register_fn("contains", |_: Dynamic, _: Dynamic| -> Fallible<bool> {
        wrong("`in` is not for rules; ask a word .is_any([..]), and walk a list with `for one in list { .. }`")
    });
    engine.register_fn("==", |one: bool, other: bool| one == other);
    engine.register_fn("!=", |one: bool, other: bool| one != other);
    engine.register_fn("==", |one: ImmutableString, other: ImmutableString| one == other);
    engine.register_fn("!=", |one: ImmutableString, other: ImmutableString| one != other);
}

/// A value as people call its kind.
pub(super) fn plain_name(value: &Dynamic) -> &'static str {
    if value.is::<Thing>() {
        "a thing"
    } else if value.is::<Quantity>() {
        "a quantity"
    } else if value.is::<Said>() {
        "a word"
    } else if value.is::<Limits>() {
        "the card's limits"
    } else if value.is::<Ruling>() {
        "a verdict"
    } else if value.is::<Flagged>() {
        "a finding"
    } else if value.is::<FLOAT>() || value.is_int() {
        "a plain number"
    } else if value.is_string() || value.is_char() {
        "text"
    } else if value.is_bool() {
        "true or false"
    } else if value.is_unit() {
        "nothing"
    } else if value.is::<Array>() {
        "a list"
    } else if value.is::<Map>() {
        "a map"
    } else {
        "a thing that rules have no use for"
    }
}

fn things(engine: &mut Engine) {
    engine.register_fn("is_written", |one: &mut Thing| one.is_written());
    engine.register_fn("is_a", |one: &mut Thing, kind: ImmutableString| -> Fallible<bool> {
        if kinds().contains(kind.as_str()) {
            return Ok(one.scene.is(one.id, &kind));
        }
        wrong(format!("no kind of thing is called `{kind}`{}", did_you_mean(&kind, sorted_kinds())))
    });
    engine.register_fn(
        "to_string",
        |one: &mut Thing| if quiet() { String::new() } else { one.scene.sheet.at(one.id).name.clone() },
    );
}

/// The kinds in a fixed order, for messages.
pub(super) fn sorted_kinds() -> Vec<&'static str> {
    let mut sorted: Vec<&str> = kinds().iter().copied().collect();
    sorted.sort_unstable();
    sorted
}

/// Stands in a sentence where a script put something that has no words; `flag` refuses a sentence that holds it.
pub(super) const NO_WORDS: char = '\u{0}';

/// Text with values in it: only what reads well in a sentence may be put there.
fn sentences(engine: &mut Engine) {
    engine.register_fn("to_string", |_: Dynamic| NO_WORDS.to_string());
    engine.register_fn("+", |text: ImmutableString, other: ImmutableString| format!("{text}{other}"));
}

/// Where a scene would point for a place by name: used by the runner for subjects that are no entry.
pub fn place_of(scene: &Scene, at: &MarkAt) -> Place {
    match at {
        MarkAt::Fact(fact) => scene.rig.place(*fact),
        MarkAt::Entry(entry) => scene.rig.entry(*entry).place.clone(),
        MarkAt::Place(place) => place.clone(),
    }
}
