//! Takes the facts off the tree of a spec, field by field, against the blank form.
//!
//! The schema has said already which keys and shapes are wrong. What is left to say here needs a reader: quantities, dates, ids.
//! A value that cannot be read is a problem and counts as not stated.

use std::collections::HashSet;

use super::fact::{Amount, Basis, Entry, EntryId, Fact, FactId, Flag, PartRef, Slot, Text, Value, Word};
use super::form::{Field, Form, Shape};
use super::job::Spec;
use super::parts::{AnyPart, KINDS, Kind, Part};
use super::vehicle::Vehicle;
use super::{Rig, trailer::Trailer};
use crate::measure::{self, Measure, Range};
use crate::place::Place;
use crate::problem::{MOST, Problem, Span, file_once};
use crate::spec::{NodeId, Ref, Tree, Via, nearest};

/// Where a field is looked for.
#[derive(Debug, Clone, Copy)]
pub struct Spot<'a> {
    owner: EntryId,
    key: &'static str,
    item: Item<'a>,
    found: Option<Ref>,
    key_span: Option<Span>,
}

/// Which of several things under one key.
#[derive(Debug, Clone, Copy)]
enum Item<'a> {
    /// The only one.
    Whole,
    /// An entry of a list.
    At(u16),
    /// An entry under a name of the writer's choice.
    Called(&'a str),
}

/// A value that can be taken off at a spot.
pub trait Taken: Sized {
    /// Reads the value; `shape` is what the field takes.
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self;
}

/// Something under a name of the writer's choice.
#[derive(Debug, Clone)]
pub struct Named<T> {
    /// The name.
    pub name: Box<str>,
    /// What stands under it.
    pub item: T,
}

/// Length, width and height.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Where it stands.
    pub entry: EntryId,
    /// Nose to tail.
    pub length: Amount,
    /// Curb side to road side.
    pub width: Amount,
    /// Floor up.
    pub height: Amount,
}

/// Width and height of an opening.
#[derive(Debug, Clone, Copy)]
pub struct Opening {
    /// Where it stands.
    pub entry: EntryId,
    /// Width.
    pub width: Amount,
    /// Height.
    pub height: Amount,
}

/// A strength and what it is a share of.
#[derive(Debug, Clone, Copy)]
pub struct Strength {
    /// Where it stands.
    pub entry: EntryId,
    /// The share (fraction), or kg/m³ for the basis `g/L`.
    pub value: Amount,
    /// What it is a share of.
    pub basis: Word,
}

/// A conductor size.
#[derive(Debug, Clone, Copy)]
pub struct Gauge {
    /// Where it stands.
    pub entry: EntryId,
    /// Copper cross-section, by ASTM B258 for AWG numbers.
    pub area: Amount,
    /// AWG number (0 for 1/0, -1 for 2/0), or square millimetres.
    pub number: Amount,
    /// The gauge system.
    pub system: Word,
}

const BASES: &[&str] = &["trade", "wt", "wt-chlorine", "g/L"];
const GAUGES: &[&str] = &["AWG", "SAE", "mm2"];

const fn side(key: &'static str, measure: Measure) -> Field {
    Field { key, shape: Shape::Amount(measure), example: "48 in", help: "" }
}

static SIZE: Form = Form {
    word: "size",
    help: "Length x width x height.",
    fields: &[side("length", Measure::Length), side("width", Measure::Length), side("height", Measure::Length)],
    shared: None,
    short: None,
    required: &[],
};
static OPENING: Form = Form {
    word: "opening",
    help: "Width x height.",
    fields: &[side("width", Measure::Length), side("height", Measure::Length)],
    shared: None,
    short: None,
    required: &[],
};
static STRENGTH: Form = Form {
    word: "strength",
    help: "A strength and its basis.",
    fields: &[
        side("value", Measure::Ratio),
        Field { key: "basis", shape: Shape::Word(BASES), example: "trade", help: "" },
    ],
    shared: None,
    short: None,
    required: &[],
};
static GAUGE: Form = Form {
    word: "gauge",
    help: "A conductor size.",
    fields: &[
        side("area", Measure::Area),
        side("number", Measure::Count),
        Field { key: "system", shape: Shape::Word(GAUGES), example: "AWG", help: "" },
    ],
    shared: None,
    short: None,
    required: &[],
};

/// Reads the rig off a tree. Facts the tree does not hold are unknown; see [`super::allow`].
pub fn take_off(tree: &Tree) -> (Rig, Vec<Problem>) {
    let mut takeoff = Takeoff {
        tree,
        facts: Vec::with_capacity(512),
        entries: Vec::with_capacity(128),
        nodes: Vec::with_capacity(128),
        problems: Vec::new(),
        references: Vec::new(),
        part_names: tree
            .get(tree.root(), "parts")
            .map_or(&[][..], |parts| tree.entries(parts.value.node))
            .iter()
            .map(|e| &*e.key)
            .collect(),
    };
    let root = takeoff.add(Spec::FORM, Place::root(), None, Some(tree.root()));
    let spec = Spec::fill(&mut takeoff, root);
    takeoff.check_references();
    (Rig { facts: takeoff.facts, entries: takeoff.entries, spec }, takeoff.problems)
}

/// The reading in progress.
pub struct Takeoff<'a> {
    tree: &'a Tree,
    facts: Vec<Fact>,
    entries: Vec<Entry>,
    /// The mapping (or bare value) each entry is read from.
    nodes: Vec<Option<NodeId>>,
    problems: Vec<Problem>,
    references: Vec<(FactId, Span, Spot<'a>)>,
    part_names: HashSet<&'a str>,
}

impl<'a> Takeoff<'a> {
    fn add(&mut self, form: &'static Form, place: Place, parent: Option<EntryId>, node: Option<NodeId>) -> EntryId {
        let id = EntryId(self.entries.len() as u32);
        let slots = Vec::with_capacity(form.fields.len());
        self.entries.push(Entry { form, place, parent, name: None, slots, written: node.is_some() });
        self.nodes.push(node);
        id
    }

    /// Opens the entry at a spot and hangs it under its owner.
    pub(super) fn open(&mut self, form: &'static Form, spot: Spot<'a>) -> EntryId {
        let place = self.place(spot);
        let node = spot.found.filter(|found| !self.says_unknown(found.node)).map(|found| found.node);
        let id = self.add(form, place, Some(spot.owner), node);
        if let Item::Called(name) = spot.item {
            self.entries[id.0 as usize].name = Some(name.into());
        }
        self.entries[spot.owner.0 as usize].slots.push((spot.key, Slot::Entry(id)));
        id
    }

    /// Where `key` of an entry is written, if it is.
    pub(super) fn spot(&self, owner: EntryId, key: &'static str) -> Spot<'a> {
        let mut spot = Spot { owner, key, item: Item::Whole, found: None, key_span: None };
        let Some(node) = self.nodes[owner.0 as usize] else { return spot };
        if let Some(entry) = self.tree.get(node, key) {
            spot.found = Some(entry.value);
            spot.key_span = Some(entry.key_span);
        } else if self.entries[owner.0 as usize].form.short == Some(key)
            && self.tree.node(node).scalar().is_some()
            && !self.tree.node(node).is_null()
        {
            let at = self.tree.node(node).span;
            spot.found = Some(Ref { node, at, via: Via::Own });
        }
        spot
    }

    fn place(&self, spot: Spot<'a>) -> Place {
        let place = self.entries[spot.owner.0 as usize].place.key(spot.key);
        match spot.item {
            Item::Whole => place,
            Item::At(index) => place.entry(index.into()),
            Item::Called(name) => place.key(name),
        }
    }

    fn says_unknown(&self, node: NodeId) -> bool {
        self.tree.text(node) == Some("unknown")
    }

    /// Files a fact under its owner.
    fn file(&mut self, spot: Spot<'a>, value: Value, shape: &'static Shape) -> FactId {
        let id = FactId(self.facts.len() as u32);
        let basis = if value == Value::Missing { Basis::Unknown } else { Basis::Stated };
        let written = spot.found.is_some();
        let (index, name) = match spot.item {
            Item::Whole => (None, None),
            Item::At(index) => (Some(index), None),
            Item::Called(name) => (None, Some(name.into())),
        };
        self.facts.push(Fact { owner: spot.owner, key: spot.key, index, name, value, basis, written, shape });
        self.entries[spot.owner.0 as usize].slots.push((spot.key, Slot::Fact(id)));
        id
    }

    /// The text at a spot. Nothing when it is left out, says `unknown`, or is no single value (the schema says so).
    fn scalar(&mut self, spot: Spot<'a>) -> Option<(&'a str, Span)> {
        let node = spot.found?.node;
        let scalar = self.tree.node(node).scalar()?;
        let span = self.tree.node(node).span;
        if self.tree.node(node).is_null() {
            let span = spot.key_span.unwrap_or(span);
            let problem = Problem::new(format!("nothing is written after `{}:`", spot.key), span, "no value");
            self.report(spot, problem.fix("write the value, write `unknown`, or take the line out"));
            return None;
        }
        (&*scalar.text != "unknown").then_some((&*scalar.text, span))
    }

    /// Files a problem once: a wrong value that is used in several places is one mistake.
    fn report(&mut self, spot: Spot<'a>, problem: Problem) {
        let used = spot.found.filter(|found| found.via != Via::Own).map(|found| found.at);
        let problem = problem.at(self.place(spot));
        file_once(&mut self.problems, problem, used);
    }

    /// Reports what the quantity reader could not read, at the bytes it could not read.
    fn misread(&mut self, spot: Spot<'a>, text: &str, whole: Span, misread: measure::Misread) {
        // A quoted or escaped value is longer in the file than its text: then the whole value is marked.
        let span = if (whole.end - whole.start) as usize == text.len() {
            let start = whole.start + misread.span.start as u32;
            Span { start, end: (whole.start + misread.span.end as u32).max(start + 1).min(whole.end), ..whole }
        } else {
            whole
        };
        let mut problem = Problem::new(misread.says, span, "can't be read");
        problem.fix = misread.fix.map(|instead| format!("write `{instead}`"));
        self.report(spot, problem);
    }

    fn amount(&mut self, spot: Spot<'a>, measure: Measure, may_be_negative: bool) -> Value {
        let Some((text, span)) = self.scalar(spot) else { return Value::Missing };
        match measure::read(text, measure) {
            Ok(reading) if reading.low < 0.0 && !may_be_negative && measure != Measure::Temperature => {
                let problem =
                    Problem::new(format!("`{text}` is negative; `{}` can't be", spot.key), span, "less than nought");
                self.report(spot, problem);
                Value::Missing
            }
            Ok(reading) => Value::Amount(Range { low: reading.low, high: reading.high }),
            Err(misread) => {
                self.misread(spot, text, span, misread);
                Value::Missing
            }
        }
    }

    /// Several quantities written as one value, `48 in x 24 in x 28 in`, each filed under its own key.
    fn sides<const N: usize>(
        &mut self,
        spot: Spot<'a>,
        form: &'static Form,
        keys: [&'static str; N],
    ) -> (EntryId, [Amount; N]) {
        let entry = self.open(form, spot);
        let read = match self.scalar(spot) {
            Some((text, span)) => match measure::read_size(text, N) {
                Ok(sides) => sides,
                Err(misread) => {
                    self.misread(spot, text, span, misread);
                    Vec::new()
                }
            },
            None => Vec::new(),
        };
        let mut position = 0;
        let amounts = keys.map(|key| {
            let value = read
                .get(position)
                .map_or(Value::Missing, |side| Value::Amount(Range { low: side.low, high: side.high }));
            position += 1;
            Amount { id: self.within(entry, key, spot, value, &Shape::Amount(Measure::Length)) }
        });
        (entry, amounts)
    }

    /// Files one piece of a value that is written as a whole.
    fn within(
        &mut self,
        owner: EntryId,
        key: &'static str,
        whole: Spot<'a>,
        value: Value,
        shape: &'static Shape,
    ) -> FactId {
        self.file(Spot { owner, key, item: Item::Whole, ..whole }, value, shape)
    }

    fn word(&mut self, spot: Spot<'a>, words: &'static [&'static str]) -> Value {
        // A word that is not in the list is the schema's to report.
        let text = self.scalar(spot).map(|(text, _)| text);
        text.and_then(|text| words.iter().find(|word| **word == text)).map_or(Value::Missing, |word| Value::Word(word))
    }

    /// The entries of a list, or of a mapping whose keys are names.
    fn items(&self, spot: Spot<'a>) -> Vec<Spot<'a>> {
        let Some(found) = spot.found else { return Vec::new() };
        let listed = self.tree.items(found.node).iter().zip(0..).map(|(item, index)| Spot {
            item: Item::At(index),
            found: Some(*item),
            key_span: None,
            ..spot
        });
        let named = self.tree.entries(found.node).iter().map(|entry| Spot {
            item: Item::Called(&entry.key),
            found: Some(entry.value),
            key_span: Some(entry.key_span),
            ..spot
        });
        listed.chain(named).collect()
    }

    fn check_references(&mut self) {
        for (id, span, spot) in std::mem::take(&mut self.references) {
            let Value::Text(text) = &self.facts[id.0 as usize].value else { continue };
            let part = text.split_once('.').map_or(&**text, |(part, _)| part);
            if self.part_names.contains(part) {
                continue;
            }
            if self.problems.len() >= MOST {
                break;
            }
            let mut problem = Problem::new(format!("there is no part called `{part}`"), span, "no such part");
            // In the order of the spec, so that of equally near ids always the same one is offered.
            let parts =
                self.tree.get(self.tree.root(), "parts").map_or(&[][..], |parts| self.tree.entries(parts.value.node));
            if let Some(near) = nearest(part, parts.iter().map(|entry| &*entry.key)) {
                problem = problem.fix(format!("did you mean `{near}`?"));
            }
            self.report(spot, problem);
        }
    }
}

impl Taken for Amount {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        let value = match shape {
            Shape::Amount(measure) => takeoff.amount(spot, *measure, false),
            Shape::Offset(measure) => takeoff.amount(spot, *measure, true),
            _ => Value::Missing,
        };
        Self { id: takeoff.file(spot, value, shape) }
    }
}

impl Taken for Word {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        let value = match shape {
            Shape::Word(words) => takeoff.word(spot, words),
            _ => Value::Missing,
        };
        Self { id: takeoff.file(spot, value, shape) }
    }
}

impl Taken for Flag {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        let value = match takeoff.scalar(spot).map(|(text, _)| text) {
            Some("yes" | "true") => Value::Flag(true),
            Some("no" | "false") => Value::Flag(false),
            _ => Value::Missing,
        };
        Self { id: takeoff.file(spot, value, shape) }
    }
}

impl Taken for Text {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        let read = takeoff.scalar(spot);
        if let (Some((text, span)), Shape::Date) = (read, shape)
            && !is_day(text)
        {
            let problem = Problem::new(format!("`{text}` is not a day"), span, "not a day");
            takeoff.report(spot, problem.fix("write year, month and day, such as 2027-06-30"));
        }
        let value = read.map_or(Value::Missing, |(text, _)| Value::Text(text.into()));
        Self { id: takeoff.file(spot, value, shape) }
    }
}

/// Whether a text is a day of the calendar, `2027-06-30` (ISO 8601-1, 5.2.2.1, extended format).
fn is_day(text: &str) -> bool {
    let mut pieces = text.split('-').map(|piece| (piece.len(), piece.parse::<u32>().unwrap_or(0)));
    let (Some((4, year)), Some((2, month)), Some((2, day)), None) =
        (pieces.next(), pieces.next(), pieces.next(), pieces.next())
    else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u32::from(leap),
        _ => 0,
    };
    year > 0 && (1..=days).contains(&day)
}

impl Taken for PartRef {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        let read = takeoff.scalar(spot);
        let value = read.map_or(Value::Missing, |(text, _)| Value::Text(text.into()));
        let id = takeoff.file(spot, value, shape);
        if let Some((_, span)) = read {
            takeoff.references.push((id, span, spot));
        }
        Self { id }
    }
}

impl Taken for Size {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, _: &'static Shape) -> Self {
        let (entry, [length, width, height]) = takeoff.sides(spot, &SIZE, ["length", "width", "height"]);
        Self { entry, length, width, height }
    }
}

impl Taken for Opening {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, _: &'static Shape) -> Self {
        let (entry, [width, height]) = takeoff.sides(spot, &OPENING, ["width", "height"]);
        Self { entry, width, height }
    }
}

impl Taken for Strength {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, _: &'static Shape) -> Self {
        let entry = takeoff.open(&STRENGTH, spot);
        let (mut value, mut basis) = (Value::Missing, Value::Missing);
        if let Some((text, span)) = takeoff.scalar(spot) {
            let (number, word) = match text.trim().rsplit_once(' ') {
                Some((number, word)) if BASES.contains(&word) && word != "g/L" => (number, Some(word)),
                _ => (text, text.ends_with("g/L").then_some("g/L")),
            };
            let measure = if word == Some("g/L") { Measure::Concentration } else { Measure::Ratio };
            match measure::read(number, measure) {
                Ok(reading) if measure == Measure::Ratio && !(0.0..=1.0).contains(&reading.high) => {
                    let problem =
                        Problem::new(format!("a strength of `{text}` can't be"), span, "not between 0 and 100 %");
                    takeoff.report(spot, problem);
                }
                Ok(reading) => value = Value::Amount(Range { low: reading.low, high: reading.high }),
                Err(misread) => takeoff.misread(spot, text, span, misread),
            }
            basis = word
                .and_then(|word| BASES.iter().find(|base| **base == word))
                .map_or(Value::Missing, |base| Value::Word(base));
        }
        let value = takeoff.within(entry, "value", spot, value, &Shape::Amount(Measure::Ratio));
        let basis = takeoff.within(entry, "basis", spot, basis, &Shape::Word(BASES));
        Self { entry, value: Amount { id: value }, basis: Word { id: basis } }
    }
}

impl Taken for Gauge {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, _: &'static Shape) -> Self {
        let entry = takeoff.open(&GAUGE, spot);
        let mut read = None;
        if let Some((text, span)) = takeoff.scalar(spot) {
            read = read_gauge(text);
            if read.is_none() {
                let problem = Problem::new(format!("`{text}` is not a conductor size"), span, "can't be read");
                takeoff.report(
                    spot,
                    problem
                        .fix("write an AWG number such as `8 AWG` or `2/0 AWG`, or a cross-section such as `10 mm2`"),
                );
            }
        }
        let amount = |value| Value::Amount(Range { low: value, high: value });
        let [area, number, system] = match read {
            Some((area, number, system)) => [amount(area), amount(number), Value::Word(system)],
            None => [Value::Missing, Value::Missing, Value::Missing],
        };
        let area = takeoff.within(entry, "area", spot, area, &Shape::Amount(Measure::Area));
        let number = takeoff.within(entry, "number", spot, number, &Shape::Offset(Measure::Count));
        let system = takeoff.within(entry, "system", spot, system, &Shape::Word(GAUGES));
        Self { entry, area: Amount { id: area }, number: Amount { id: number }, system: Word { id: system } }
    }
}

/// Area in m², number and system of a conductor size. AWG diameters by ASTM B258: 0.127 mm · 92^((36 − n)/39).
fn read_gauge(text: &str) -> Option<(f64, f64, &'static str)> {
    let (number, unit) = text.trim().split_once(' ')?;
    let system = GAUGES.iter().find(|system| system.eq_ignore_ascii_case(unit.trim()))?;
    if *system == "mm2" {
        let square = number.parse::<f64>().ok().filter(|square| (0.05..=1000.0).contains(square))?;
        return Some((square * 1e-6, square, system));
    }
    let n = match number.split_once('/') {
        Some((zeros, "0")) => 1.0 - zeros.parse::<f64>().ok().filter(|zeros| (1.0..=4.0).contains(zeros))?,
        Some(_) => return None,
        None => number.parse::<f64>().ok().filter(|n| (0.0..=40.0).contains(n))?,
    };
    let diameter = 0.127e-3 * 92f64.powf((36.0 - n) / 39.0);
    Some((std::f64::consts::FRAC_PI_4 * diameter * diameter, n, system))
}

impl<T: Taken> Taken for Vec<T> {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        let (Shape::Many(inner) | Shape::Named(inner)) = shape else { return Vec::new() };
        takeoff.items(spot).into_iter().map(|item| T::take(takeoff, item, inner)).collect()
    }
}

impl<T: Taken> Taken for Named<T> {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        let name = match spot.item {
            Item::Called(name) => name.into(),
            _ => Box::default(),
        };
        Self { name, item: T::take(takeoff, spot, shape) }
    }
}

impl Taken for Option<Trailer> {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        // With neither a trailer nor a vehicle, a trailer is what most rigs have: its facts are what to ask for.
        let asked = spot.found.is_some() || takeoff.spot(spot.owner, "vehicle").found.is_none();
        asked.then(|| Trailer::take(takeoff, spot, shape))
    }
}

impl Taken for Option<Vehicle> {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, shape: &'static Shape) -> Self {
        spot.found.is_some().then(|| Vehicle::take(takeoff, spot, shape))
    }
}

impl Taken for AnyPart {
    fn take<'a>(takeoff: &mut Takeoff<'a>, spot: Spot<'a>, _: &'static Shape) -> Self {
        let word = spot
            .found
            .and_then(|found| takeoff.tree.get(found.node, "kind"))
            .and_then(|kind| takeoff.tree.text(kind.value.node));
        let form = KINDS.iter().find(|form| Some(form.word) == word).copied();
        let entry = takeoff.open(form.unwrap_or(Part::FORM), spot);
        let common = Part::fill(takeoff, entry);
        let kind = form.and_then(|form| Kind::fill(takeoff, entry, form)).unwrap_or(Kind::Unread);
        Self { entry, common, kind }
    }
}
