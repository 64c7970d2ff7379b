//! What is allowed for where the spec says nothing: ranges from `rules/assumptions.yaml`, and the question each fact asks.
//!
//! A fact that is left out is bounded by the first row whose conditions hold. A row may be tied to another fact (a track is
//! the width of the box and a few inches). A fact without a row stays unknown.

use std::collections::HashMap;

use serde::Deserialize;

use super::fact::{Basis, EntryId, FactId, Value};
use super::form::{Form, Shape};
use super::parts::{KINDS, Part};
use super::{Rig, job, system, trailer, vehicle};
use crate::measure::{self, Measure, Range};

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
    /// Added: this share of another fact.
    pub plus: Option<(Range, String)>,
    /// The question to put to the seller.
    pub ask: Option<String>,
    /// How to find out.
    pub find: Option<String>,
    /// Where the range comes from.
    pub source: String,
    /// How sure it is: `published`, `common practice` or `from memory`.
    pub sure: String,
}

/// A condition of a row.
#[derive(Debug, Clone)]
pub enum Condition {
    /// The fact is this word.
    Is(String),
    /// The fact lies in this range.
    Within(Range),
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
    plus: Option<Plus>,
    ask: Option<String>,
    find: Option<String>,
    source: String,
    sure: String,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Plus {
    times: String,
    of: String,
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

/// What the field of a fact such as `trailer.empty.weight` takes.
fn measure_of(fact: &str) -> Option<Option<Measure>> {
    let mut keys = fact.split('.');
    let subject = keys.next()?;
    let mut form = subjects().find(|form| form.word == subject)?;
    loop {
        let key = keys.next()?;
        match (&form.field(key)?.shape, keys.clone().next().is_some()) {
            (Shape::Group(inner), true) => form = inner,
            (Shape::Size | Shape::Opening, true) => return Some(Some(Measure::Length)),
            (Shape::Strength, true) => return Some(Some(Measure::Ratio)),
            (Shape::Amount(measure) | Shape::Offset(measure), false) => return Some(Some(*measure)),
            (Shape::Many(_) | Shape::Named(_) | Shape::Group(_), _) | (_, true) => return None,
            (_, false) => return Some(None),
        }
    }
}

impl Assumptions {
    /// Reads the table.
    ///
    /// # Errors
    /// Gives one sentence a mistake: a row for a fact that no form has, a range that can't be read, a row without a source.
    pub fn read(text: &str) -> Result<Self, Vec<String>> {
        let table: Table = serde_yaml::from_str(text).map_err(|error| vec![format!("the assumptions table can't be read: {error}")])?;
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

    /// The rows for a fact of a rig, most fitting first.
    pub fn rows_for<'a>(&'a self, rig: &Rig, fact: FactId) -> impl Iterator<Item = &'a Assumption> {
        let mut names = Names::default();
        let key = names.of_fact(rig, fact).to_owned();
        let general = format!("part{}", key.get(key.find('.').unwrap_or(0)..).unwrap_or_default());
        let rows = [key, general].map(|key| self.by_fact.get(&key).map_or(&[][..], |rows| rows));
        let [own, general] = rows;
        own.iter().chain(general).map(|row| &self.rows[*row as usize])
    }

    /// Bounds every fact that is not stated and has a row that fits.
    pub fn apply(&self, rig: &mut Rig) {
        let mut names = Names::default();
        let open: Vec<FactId> = (0..rig.facts.len() as u32).map(FactId).filter(|id| rig.fact(*id).basis == Basis::Unknown).collect();
        let mut later = Vec::new();
        for id in open {
            if matches!(rig.fact(id).shape, Shape::Amount(_) | Shape::Offset(_)) && !self.bound(rig, &mut names, id) {
                later.push(id);
            }
        }
        // A row that leans on a fact which was itself bounded only just now.
        for id in later {
            self.bound(rig, &mut names, id);
        }
    }

    fn bound(&self, rig: &mut Rig, names: &mut Names, id: FactId) -> bool {
        let key = names.of_fact(rig, id);
        let rows = match self.by_fact.get(key) {
            Some(rows) => rows,
            None => {
                let Some(cut) = key.find('.') else { return false };
                let general = format!("part{}", key.get(cut..).unwrap_or_default());
                match self.by_fact.get(&general) {
                    Some(rows) => rows,
                    None => return false,
                }
            }
        };
        let owner = rig.fact(id).owner;
        for row in rows {
            let assumption = &self.rows[*row as usize];
            let holds = assumption.when.iter().all(|(fact, condition)| {
                find(rig, owner, fact).is_some_and(|fact| match (condition, &rig.fact(fact).value) {
                    (Condition::Is(word), Value::Word(said)) => word == said,
                    (Condition::Is(word), Value::Flag(said)) => (word == "yes") == *said,
                    (Condition::Within(range), Value::Amount(said)) => range.encloses(*said),
                    _ => false,
                })
            });
            if !holds {
                continue;
            }
            let Some(mut range) = assumption.range else { continue };
            if let Some((share, of)) = &assumption.plus {
                let other = find(rig, owner, of).and_then(|fact| match rig.fact(fact).value {
                    Value::Amount(other) => other.times(*share),
                    _ => None,
                });
                let Some(sum) = other.and_then(|other| range.plus(other)) else { continue };
                range = sum;
            }
            let fact = &mut rig.facts[id.0 as usize];
            fact.value = Value::Amount(range);
            fact.basis = Basis::Assumed(*row);
            return true;
        }
        false
    }
}

fn compile(row: Row) -> Result<Assumption, String> {
    let known = measure_of(&row.fact).ok_or_else(|| format!("no field is called `{}`", row.fact))?;
    let read = |text: &str, measure: Measure| match measure::read(text, measure) {
        Ok(reading) => Ok(Range { low: reading.low, high: reading.high }),
        Err(misread) => Err(format!("`{}`: {}", row.fact, misread.says)),
    };
    let range = match (&row.range, known) {
        (Some(text), Some(measure)) => Some(read(text, measure)?),
        (Some(_), None) => return Err(format!("`{}` is not a quantity, so it has no range", row.fact)),
        (None, _) => None,
    };
    let plus = match &row.plus {
        Some(plus) => {
            measure_of(&plus.of).ok_or_else(|| format!("no field is called `{}`", plus.of))?;
            Some((read(&plus.times, Measure::Ratio)?, plus.of.clone()))
        }
        None => None,
    };
    let mut when = Vec::new();
    for (fact, said) in &row.when {
        let condition = match measure_of(fact).ok_or_else(|| format!("no field is called `{fact}`"))? {
            Some(measure) => Condition::Within(read(said, measure)?),
            None => Condition::Is(said.clone()),
        };
        when.push((fact.clone(), condition));
    }
    if row.source.trim().is_empty() || !["published", "common practice", "from memory"].contains(&row.sure.as_str()) {
        return Err(format!("`{}` needs a source, and `sure` as published, common practice or from memory", row.fact));
    }
    Ok(Assumption { fact: row.fact, when, range, plus, ask: row.ask, find: row.find, source: row.source, sure: row.sure })
}

/// The fact that a row speaks of, seen from an entry: its own subject first, else the one of that kind in the spec.
fn find(rig: &Rig, owner: EntryId, fact: &str) -> Option<FactId> {
    let mut keys = fact.split('.');
    let subject = keys.next()?;
    let mut entry = owner;
    let mut at = loop {
        let row = rig.entry(entry);
        if row.form.word == subject || (subject == "part" && row.form.shared.is_some()) {
            break entry;
        }
        match row.parent {
            Some(parent) => entry = parent,
            None => break rig.entries.iter().position(|row| row.form.word == subject).map(|at| EntryId(at as u32))?,
        }
    };
    loop {
        let key = keys.next()?;
        let slot = rig.entry(at).slots.iter().find(|(slot, _)| *slot == key)?;
        match slot.1 {
            super::Slot::Fact(fact) => return Some(fact),
            super::Slot::Entry(inner) => at = inner,
        }
    }
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
            Some(parent) if rig.entry(parent).parent.is_some() && entry.name.is_none() && !entry.place.as_str().ends_with(']') => {
                let key = entry.place.as_str().rsplit('.').next().unwrap_or_default();
                format!("{}.{key}", self.of_entry(rig, parent))
            }
            _ => entry.form.word.to_owned(),
        };
        self.entries.insert(id, name.clone());
        name
    }
}
