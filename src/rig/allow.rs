//! What is allowed for where the spec says nothing: ranges from `rules/assumptions.yaml`, and the question each fact asks.
//!
//! A fact that is left out is bounded by its rows whose conditions may hold, down to the first that is sure to hold. A row may
//! be tied to other facts (a track is the width of the box and a few inches). A fact without a row stays unknown.

use std::collections::HashMap;

use serde::Deserialize;

use super::fact::{Basis, EntryId, FactId, Value};
use super::form::{Form, Shape};
use super::parts::{KINDS, Part};
use super::{Rig, job, system, trailer, vehicle};
use crate::measure::{self, Answer, Measure, Range};

/// The assumptions table, ready to use.
#[derive(Debug, Clone, Default)]
pub struct Assumptions {
    /// The rows, in the order written.
    pub rows: Vec<Assumption>,
    by_fact: HashMap<String, Vec<u16>>,
}

/// One row of the table.
#[derive(Debug, Clone)]
pub struct Assumption {
    /// The fact, as subject and keys: `trailer.empty.weight`, `tank.capacity`.
    pub fact: String,
    /// Conditions under which the row holds; all of them.
    pub when: Vec<(String, Condition)>,
    /// The range, in SI; `None` for a row that only asks.
    pub range: Option<Range>,
    /// Added: shares of other facts.
    pub plus: Vec<Addend>,
    /// The question to put to the seller.
    pub ask: Option<String>,
    /// How to find out.
    pub find: Option<String>,
    /// Where the range comes from.
    pub source: String,
    /// How sure it is: `published`, `common practice` or `from memory`.
    pub sure: String,
}

/// What is added to a row's range: a share of another fact.
#[derive(Debug, Clone)]
pub struct Addend {
    /// The share; for a weight that follows a volume, weight per volume.
    pub share: Range,
    /// The fact it is a share of.
    pub of: String,
    /// Taken off that fact first, as far as nought: a tank of 48 in starts at most 48 in short of the tail.
    pub less: Option<String>,
}

/// A condition of a row.
#[derive(Debug, Clone)]
pub enum Condition {
    /// The fact is one of these words.
    Is(Vec<String>),
    /// The fact lies in this range.
    Within(Range),
    /// The list has so many entries; a list that is not written has no number.
    Many(Range),
    /// The entry is at this position of its list, counted from 1.
    Position(Range),
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Table {
    #[serde(rename = "edition")]
    _edition: String,
    rows: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Row {
    fact: String,
    #[serde(default)]
    when: HashMap<String, String>,
    range: Option<String>,
    plus: Option<OneOrMore>,
    ask: Option<String>,
    find: Option<String>,
    source: String,
    sure: String,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum OneOrMore {
    One(Plus),
    More(Vec<Plus>),
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Plus {
    times: String,
    of: String,
    less: Option<String>,
}

/// The forms that stand on their own: what a rule's `each` and a row's `fact` may begin with.
pub fn subjects() -> impl Iterator<Item = &'static Form> {
    [
        job::Spec::FORM,
        trailer::Trailer::FORM,
        trailer::Axle::FORM,
        trailer::Door::FORM,
        trailer::Vent::FORM,
        vehicle::Vehicle::FORM,
        Part::FORM,
        super::parts::Control::FORM,
        system::Line::FORM,
        system::Wire::FORM,
        system::Mode::FORM,
        job::Prepared::FORM,
        job::Duty::FORM,
        job::Climate::FORM,
        job::Kit::FORM,
        job::Papers::FORM,
        job::Variance::FORM,
    ]
    .into_iter()
    .chain(KINDS.iter().copied())
}

/// What a fact named in the table takes.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Takes {
    Quantity(Measure),
    Words(&'static [&'static str]),
    Text,
    List,
    /// The subject itself: its position in its list.
    Itself,
}

/// What the field of a fact such as `trailer.empty.weight` takes; `None` where no form has such a field.
fn takes(fact: &str) -> Option<Takes> {
    let mut keys = fact.split('.');
    let subject = keys.next()?;
    let mut form = subjects().find(|form| form.word == subject)?;
    let Some(mut key) = keys.next() else { return Some(Takes::Itself) };
    loop {
        let inner = keys.next();
        let taken = match (&form.field(key)?.shape, inner) {
            (Shape::Group(group), Some(inner)) => {
                form = group;
                key = inner;
                continue;
            }
            (Shape::Size, Some("length" | "width" | "height")) | (Shape::Opening, Some("width" | "height")) => {
                Takes::Quantity(Measure::Length)
            }
            (Shape::Strength, Some("value")) => Takes::Quantity(Measure::Ratio),
            (Shape::Gauge, Some("area")) => Takes::Quantity(Measure::Area),
            (Shape::Strength, Some("basis")) | (Shape::Gauge, Some("system")) => Takes::Text,
            (Shape::Amount(measure) | Shape::Offset(measure), None) => Takes::Quantity(*measure),
            (Shape::Word(words), None) => Takes::Words(words),
            (Shape::Flag, None) => Takes::Words(&["yes", "no"]),
            (Shape::Many(_) | Shape::Named(_), None) => Takes::List,
            (Shape::Text | Shape::Date | Shape::Part | Shape::PartKind, None) => Takes::Text,
            _ => return None,
        };
        return keys.next().is_none().then_some(taken);
    }
}

impl Assumptions {
    /// Reads the table.
    ///
    /// # Errors
    /// Gives one sentence a mistake: a row for a fact that no form has, a range that can't be read, a row without a source.
    pub fn read(text: &str) -> Result<Self, Vec<String>> {
        let table: Table = serde_yaml::from_str(text)
            .map_err(|error| vec![format!("the assumptions table can't be read: {error}")])?;
        let mut made = Self::default();
        let mut mistakes = Vec::new();
        for row in table.rows {
            match compile(row) {
                Ok(row) => {
                    made.by_fact.entry(row.fact.clone()).or_default().push(made.rows.len() as u16);
                    made.rows.push(row);
                }
                Err(mistake) => mistakes.push(mistake),
            }
        }
        if mistakes.is_empty() { Ok(made) } else { Err(mistakes) }
    }

    /// The rows for a fact of a rig: those whose conditions hold first. The thing they ask about is named in `ask` and `find`.
    pub fn rows_for(&self, rig: &Rig, fact: FactId) -> impl Iterator<Item = Assumption> {
        let owner = rig.fact(fact).owner;
        let mut rows: Vec<&Assumption> =
            self.numbers(Names::default().of_fact(rig, fact)).map(|row| &self.rows[usize::from(row)]).collect();
        rows.sort_by_key(|row| match holds(rig, owner, row) {
            Answer::Yes => 0,
            Answer::Open => 1,
            Answer::No => 2,
        });
        let named: Vec<Assumption> = rows
            .into_iter()
            .map(|row| {
                let fill = |text: &Option<String>| text.as_ref().map(|text| text.replace("{it}", &called(rig, owner)));
                Assumption { ask: fill(&row.ask), find: fill(&row.find), ..row.clone() }
            })
            .collect();
        named.into_iter()
    }

    /// The numbers of the rows for a fact, by its name in the table: those of its own kind, then those of every part.
    fn numbers(&self, key: &str) -> impl Iterator<Item = u16> {
        let (subject, rest) = key.split_once('.').unwrap_or((key, ""));
        let part = KINDS.iter().any(|form| form.word == subject);
        let general = part.then(|| self.by_fact.get(&format!("part.{rest}"))).flatten();
        self.by_fact.get(key).into_iter().chain(general).flatten().copied()
    }

    /// Bounds every fact that is not stated and has a row that fits.
    pub fn apply(&self, rig: &mut Rig) {
        let mut names = Names::default();
        let mut seen = vec![false; rig.facts.len()];
        for id in (0..rig.facts.len() as u32).map(FactId) {
            self.bound(rig, &mut names, &mut seen, id);
        }
    }

    /// Bounds one fact, after the facts that its rows lean on.
    fn bound(&self, rig: &mut Rig, names: &mut Names, seen: &mut [bool], id: FactId) {
        let fact = rig.fact(id);
        let open = fact.basis == Basis::Unknown && matches!(fact.shape, Shape::Amount(_) | Shape::Offset(_));
        if !open || std::mem::replace(&mut seen[id.0 as usize], true) {
            return;
        }
        let (owner, may_be_negative) = (fact.owner, matches!(fact.shape, Shape::Offset(_)));
        let rows: Vec<u16> = self.numbers(names.of_fact(rig, id)).collect();
        // Rows that may hold are joined until one is sure to hold. So a fact that gets stated takes rows away and adds none.
        let mut found: Option<(Range, u16)> = None;
        for row in rows {
            let assumption = &self.rows[usize::from(row)];
            let conditions = assumption.when.iter().map(|(fact, _)| fact);
            let addends = assumption.plus.iter().flat_map(|addend| std::iter::once(&addend.of).chain(&addend.less));
            for other in conditions.chain(addends) {
                if let Some(other) = find(rig, owner, other) {
                    self.bound(rig, names, seen, other);
                }
            }
            let holds = holds(rig, owner, assumption);
            if holds == Answer::No {
                continue;
            }
            let Some(range) = assumption.range.and_then(|range| sum(rig, owner, range, &assumption.plus)) else {
                continue;
            };
            found = Some((found.map_or(range, |(joined, _)| joined.hull(range)), row));
            if holds == Answer::Yes {
                break;
            }
        }
        let Some((mut range, row)) = found else { return };
        if !may_be_negative && rig.measure(id) != Some(Measure::Temperature) {
            range = Range { low: range.low.max(0.0), high: range.high.max(0.0) };
        }
        let fact = &mut rig.facts[id.0 as usize];
        fact.value = Value::Amount(range);
        fact.basis = Basis::Assumed(row);
    }
}

/// A row's range with what is added to it; `None` while a fact it leans on is not bounded.
fn sum(rig: &Rig, owner: EntryId, range: Range, plus: &[Addend]) -> Option<Range> {
    let amount = |fact: &str| match rig.fact(find(rig, owner, fact)?).value {
        Value::Amount(range) => Some(range),
        _ => None,
    };
    plus.iter().try_fold(range, |sum, addend| {
        let mut of = amount(&addend.of)?;
        if let Some(less) = addend.less.as_deref().and_then(amount) {
            let rest = of.less(less)?;
            of = Range { low: rest.low.max(0.0), high: rest.high.max(0.0) };
        }
        sum.plus(of.times(addend.share)?)
    })
}

/// Whether every condition of a row holds for an entry: open where what is known does not settle it.
fn holds(rig: &Rig, owner: EntryId, row: &Assumption) -> Answer {
    let each = row.when.iter().map(|(name, condition)| match condition {
        Condition::Position(range) => {
            let at = entry_called(rig, owner, name).and_then(|entry| position(rig, entry));
            said(at.is_some_and(|at| range.contains(at)))
        }
        Condition::Many(range) => {
            let many = holder(rig, owner, name)
                .map(|(entry, key)| rig.entry(entry).slots.iter().filter(|(slot, _)| *slot == key).count());
            match many {
                None => Answer::No,
                // A list that is not written may have any number of entries.
                Some(0) => Answer::Open,
                Some(many) => said(range.contains(many as f64)),
            }
        }
        Condition::Is(words) => find(rig, owner, name).map_or(Answer::No, |fact| match &rig.fact(fact).value {
            Value::Word(word) => said(words.iter().any(|known| known == word)),
            Value::Text(text) => said(words.iter().any(|known| **known == **text)),
            Value::Flag(flag) => said(words.iter().any(|word| (word == "yes") == *flag)),
            // A yes that nobody says is a no; a word that nobody says may be any.
            _ if matches!(rig.fact(fact).shape, Shape::Flag) => said(words.iter().any(|word| word == "no")),
            _ => Answer::Open,
        }),
        Condition::Within(range) => find(rig, owner, name).map_or(Answer::No, |fact| match rig.fact(fact).value {
            Value::Amount(known) if range.encloses(known) => Answer::Yes,
            Value::Amount(known) if range.low <= known.high && known.low <= range.high => Answer::Open,
            // What nobody states and nothing bounds (the heat of a burner, say) is not there.
            _ => Answer::No,
        }),
    });
    each.fold(Answer::Yes, |all, one| match (all, one) {
        (Answer::No, _) | (_, Answer::No) => Answer::No,
        (Answer::Open, _) | (_, Answer::Open) => Answer::Open,
        _ => Answer::Yes,
    })
}

fn said(yes: bool) -> Answer {
    if yes { Answer::Yes } else { Answer::No }
}

/// The position of an entry in its list, from 1: `trailer.axles[0]` is 1.
fn position(rig: &Rig, entry: EntryId) -> Option<f64> {
    let (_, number) = rig.entry(entry).place.as_str().strip_suffix(']')?.rsplit_once('[')?;
    number.parse::<u16>().ok().map(|at| f64::from(at) + 1.0)
}

fn compile(row: Row) -> Result<Assumption, String> {
    let named = |fact: &str| takes(fact).ok_or_else(|| format!("no field is called `{fact}`"));
    let quantity = |fact: &str| match named(fact)? {
        Takes::Quantity(measure) => Ok(measure),
        _ => Err(format!("`{fact}` is not a quantity")),
    };
    let read = |text: &str, measure: Measure| match measure::read(text, measure) {
        Ok(reading) => Ok(Range { low: reading.low, high: reading.high }),
        Err(misread) => Err(format!("`{}`: {}", row.fact, misread.says)),
    };
    if matches!(named(&row.fact)?, Takes::List | Takes::Itself) {
        return Err(format!("`{}` is not one fact", row.fact));
    }
    let range = row.range.as_deref().map(|text| read(text, quantity(&row.fact)?)).transpose()?;
    if range.is_none() && (row.plus.is_some() || row.ask.is_none()) {
        return Err(format!("`{}` has neither a range nor a question", row.fact));
    }
    let mut plus = Vec::new();
    let added = match row.plus {
        Some(OneOrMore::One(one)) => vec![one],
        Some(OneOrMore::More(more)) => more,
        None => Vec::new(),
    };
    for Plus { times, of, less } in added {
        let per = match (quantity(&row.fact)?, quantity(&of)?) {
            (Measure::Mass, Measure::Volume) => Measure::Density,
            (one, other) if one == other => Measure::Ratio,
            _ => return Err(format!("`{}` and `{of}` measure different things", row.fact)),
        };
        if let Some(less) = &less
            && quantity(less)? != quantity(&of)?
        {
            return Err(format!("`{less}` and `{of}` measure different things"));
        }
        plus.push(Addend { share: read(&times, per)?, of, less });
    }
    let mut when = Vec::new();
    for (fact, said) in &row.when {
        let condition = match named(fact)? {
            Takes::Quantity(measure) => Condition::Within(read(said, measure)?),
            Takes::List => Condition::Many(read(said, Measure::Count)?),
            Takes::Itself => Condition::Position(read(said, Measure::Count)?),
            Takes::Text => Condition::Is(vec![said.clone()]),
            Takes::Words(words) => {
                let said: Vec<String> = said.split(" or ").map(str::to_owned).collect();
                if let Some(odd) = said.iter().find(|said| !words.contains(&said.as_str())) {
                    return Err(format!("`{fact}` is never `{odd}`"));
                }
                Condition::Is(said)
            }
        };
        when.push((fact.clone(), condition));
    }
    if row.source.trim().is_empty() || !["published", "common practice", "from memory"].contains(&row.sure.as_str()) {
        return Err(format!("`{}` needs a source, and `sure` as published, common practice or from memory", row.fact));
    }
    Ok(Assumption {
        fact: row.fact,
        when,
        range,
        plus,
        ask: row.ask,
        find: row.find,
        source: row.source,
        sure: row.sure,
    })
}

/// The entry that a subject word means, seen from an entry: itself or what holds it first, else the first of that kind in the spec.
fn entry_called(rig: &Rig, owner: EntryId, subject: &str) -> Option<EntryId> {
    let mut entry = owner;
    loop {
        let row = rig.entry(entry);
        if row.form.word == subject || (subject == "part" && row.form.shared.is_some()) {
            return Some(entry);
        }
        match row.parent {
            Some(parent) => entry = parent,
            None => return rig.entries.iter().position(|row| row.form.word == subject).map(|at| EntryId(at as u32)),
        }
    }
}

/// The entry that holds the last key of a fact's name, and that key.
fn holder<'a>(rig: &Rig, owner: EntryId, fact: &'a str) -> Option<(EntryId, &'a str)> {
    let mut keys = fact.split('.');
    let mut at = entry_called(rig, owner, keys.next()?)?;
    let mut key = keys.next()?;
    for inner in keys {
        at = rig.entry(at).slots.iter().find_map(|(slot, what)| match what {
            super::Slot::Entry(entry) if *slot == key => Some(*entry),
            _ => None,
        })?;
        key = inner;
    }
    Some((at, key))
}

/// The fact that a row speaks of, seen from an entry.
fn find(rig: &Rig, owner: EntryId, fact: &str) -> Option<FactId> {
    let (at, key) = holder(rig, owner, fact)?;
    rig.entry(at).slots.iter().find_map(|(slot, what)| match what {
        super::Slot::Fact(fact) if *slot == key => Some(*fact),
        _ => None,
    })
}

/// What people call the thing that a fact is about: `the bleach tank`, `axle 2`, `the line from water.outlet to washer.inlet`.
fn called(rig: &Rig, owner: EntryId) -> String {
    let mut entry = owner;
    while rig.entry(entry).name.is_none() && position(rig, entry).is_none() {
        match rig.entry(entry).parent {
            Some(parent) if rig.entry(parent).parent.is_some() => entry = parent,
            _ => break,
        }
    }
    let row = rig.entry(entry);
    let said = |key: &str| {
        row.slots.iter().find_map(|(slot, what)| match what {
            super::Slot::Fact(fact) if *slot == key => match &rig.fact(*fact).value {
                Value::Text(text) => Some(&**text),
                _ => None,
            },
            _ => None,
        })
    };
    let kind = row.form.word.replace('-', " ");
    if let Some(label) = said("label") {
        return format!("the {label}");
    }
    if let (Some(from), Some(to)) = (said("from"), said("to")) {
        return format!("the {kind} from {from} to {to}");
    }
    if let Some(job) = said("job") {
        return format!("the {job} job");
    }
    match (&row.name, position(rig, entry)) {
        (Some(name), _) => {
            let name = name.replace('-', " ");
            // `low-reel` is a reel by its name; `bleach` is a tank only by its kind.
            let noun = kind.rsplit(' ').next().unwrap_or_default();
            let named = name.split(' ').any(|word| word.trim_end_matches(|last: char| last.is_ascii_digit()) == noun);
            if named { format!("the {name}") } else { format!("the {name} {kind}") }
        }
        (None, Some(at)) if !only_one(rig, entry) => format!("{kind} {at}"),
        (None, _) => format!("the {kind}"),
    }
}

/// Whether an entry is the only one of its kind under what holds it.
fn only_one(rig: &Rig, entry: EntryId) -> bool {
    let row = rig.entry(entry);
    let alike =
        |slot: &super::Slot| matches!(slot, super::Slot::Entry(other) if rig.entry(*other).form.word == row.form.word);
    row.parent.is_some_and(|parent| rig.entry(parent).slots.iter().filter(|(_, slot)| alike(slot)).count() == 1)
}

/// Names facts as the table does.
#[derive(Default)]
struct Names {
    entries: HashMap<EntryId, String>,
    text: String,
}

impl Names {
    fn of_fact(&mut self, rig: &Rig, id: FactId) -> &str {
        let fact = rig.fact(id);
        let entry = self.of_entry(rig, fact.owner);
        self.text.clear();
        self.text.push_str(&entry);
        self.text.push('.');
        self.text.push_str(fact.key);
        &self.text
    }

    fn of_entry(&mut self, rig: &Rig, id: EntryId) -> String {
        if let Some(name) = self.entries.get(&id) {
            return name.clone();
        }
        let entry = rig.entry(id);
        let name = match entry.parent {
            Some(parent)
                if rig.entry(parent).parent.is_some()
                    && entry.name.is_none()
                    && !entry.place.as_str().ends_with(']') =>
            {
                let key = entry.place.as_str().rsplit('.').next().unwrap_or_default();
                format!("{}.{key}", self.of_entry(rig, parent))
            }
            _ => entry.form.word.to_owned(),
        };
        self.entries.insert(id, name.clone());
        name
    }
}
