//! Verdicts in scripts: three answers, and the finding that `flag` makes of one.

use std::collections::HashSet;
use std::sync::Arc;

use rhai::{Array, Dynamic, Engine, Map};

use super::card::{Finding, Mark, Signal, Verdict};
use super::host::{Fallible, NO_WORDS, Thing, charge, did_you_mean, plain_name, quiet, wrong};
use super::quantity::Quantity;
use super::words::Said;
use crate::measure::Answer;
use crate::rig::FactId;
use crate::workings::{FigureId, SubjectId};

/// An answer to a question: yes, no, or open, with the facts that would settle it.
#[derive(Debug, Clone)]
pub(super) struct Ruling {
    answer: Answer,
    /// The one that moves the answer most first; none unless it is open.
    settle: Vec<FactId>,
    /// The figures that were read, each once.
    figures: Vec<FigureId>,
}

/// What `flag` makes of a ruling, and the signal word that the script chose.
#[derive(Debug, Clone)]
pub(super) struct Flagged(pub(super) Arc<Finding>, pub(super) Option<Signal>);

impl Ruling {
    pub(super) fn new(answer: Answer, settle: Vec<FactId>, mut figures: Vec<FigureId>) -> Self {
        figures.sort_unstable();
        figures.dedup();
        Self { answer, settle, figures }
    }

    /// Open while a fact is not stated, no once it is: for a rule that only asks.
    pub(super) fn ask_for(fact: FactId, stated: bool) -> Self {
        if stated { Self::plain(false) } else { Self::new(Answer::Open, vec![fact], Vec::new()) }
    }

    fn plain(yes: bool) -> Self {
        Self::new(if yes { Answer::Yes } else { Answer::No }, Vec::new(), Vec::new())
    }

    pub(super) fn answer(&self) -> Answer {
        self.answer
    }

    #[cfg(test)]
    pub(super) fn settle(&self) -> &[FactId] {
        &self.settle
    }

    #[cfg(test)]
    pub(super) fn figures(&self) -> &[FigureId] {
        &self.figures
    }

    pub(super) fn not(&self) -> Self {
        let answer = match self.answer {
            Answer::Yes => Answer::No,
            Answer::No => Answer::Yes,
            Answer::Open => Answer::Open,
        };
        Self { answer, ..self.clone() }
    }

    /// Yes when all are, no when one is not; else open, settled by what the open ones need. Of no rulings at all: yes.
    pub(super) fn all(rulings: &[Self]) -> Self {
        Self::join(rulings, Answer::No, Answer::Yes)
    }

    /// Yes when one is, no when none is; else open, settled by what the open ones need. Of no rulings at all: no.
    pub(super) fn any(rulings: &[Self]) -> Self {
        Self::join(rulings, Answer::Yes, Answer::No)
    }

    /// `decides` when one ruling says so, else open when one is open, else `otherwise` (Kleene's strong logic of three values).
    fn join(rulings: &[Self], decides: Answer, otherwise: Answer) -> Self {
        let has = |answer| rulings.iter().any(|ruling| ruling.answer == answer);
        let answer = if has(decides) {
            decides
        } else if has(Answer::Open) {
            Answer::Open
        } else {
            otherwise
        };
        let (mut settle, mut seen, mut figures) = (Vec::new(), HashSet::new(), Vec::new());
        let mut work = rulings.len();
        for ruling in rulings {
            if answer == Answer::Open {
                settle.extend(ruling.settle.iter().copied().filter(|fact| seen.insert(*fact)));
                work += ruling.settle.len();
            }
            figures.extend(&ruling.figures);
            work += ruling.figures.len();
        }
        charge(work);
        Self::new(answer, settle, figures)
    }

    fn flag(&self, parts: &Map) -> Fallible<Dynamic> {
        const KEYS: &[&str] = &["says", "unsure", "at", "because", "remedy", "signal"];
        if quiet() {
            // Anything but nothing says that there is something to say.
            return Ok(if self.answer == Answer::No { Dynamic::UNIT } else { true.into() });
        }
        if let Some(strange) = parts.keys().find(|key| !KEYS.contains(&key.as_str())) {
            return wrong(format!("`flag` does not take `{strange}`{}", did_you_mean(strange, KEYS.iter().copied())));
        }
        let Some(says) = sentence(parts, "says")? else {
            return wrong("`flag` needs `says`: the sentence that goes on the list");
        };
        let Some(at) = parts.get("at") else { return wrong("`flag` needs `at`: the value or thing that is wrong") };
        let (unsure, remedy) = (sentence(parts, "unsure")?, sentence(parts, "remedy")?);
        let signal = match sentence(parts, "signal")? {
            None => None,
            Some(word) => match Signal::named(&word) {
                Some(signal) => Some(signal),
                None => return wrong(format!("`{word}` is not a signal word: danger, warning, caution or notice")),
            },
        };
        // What can't be pointed at is found whatever the answer; the words of the marks are made only for an item.
        let mut points = Vec::new();
        let first = pointers(at, &mut points).map(|()| points.len())?;
        if first == 0 {
            return wrong("`at` holds nothing to point at");
        }
        parts.get("because").map_or(Ok(()), |because| pointers(because, &mut points))?;
        let verdict = match self.answer {
            Answer::No => return Ok(Dynamic::UNIT),
            Answer::Yes => Verdict::Breaks,
            Answer::Open => Verdict::CannotSay,
        };
        let because = points.split_off(first);
        let finding = Finding {
            // The runner knows the rule and the subject.
            rule: 0,
            subject: SubjectId(0),
            verdict,
            // The runner puts the card's signal word here unless the script chose one.
            signal: signal.unwrap_or(Signal::Notice),
            says: if verdict == Verdict::CannotSay { unsure.unwrap_or_default() } else { says },
            at: points.into_iter().flat_map(Pointer::marks).collect(),
            because: because.into_iter().flat_map(Pointer::marks).collect(),
            figures: self.figures.clone(),
            settle: self.settle.clone(),
            remedy,
        };
        Ok(Dynamic::from(Flagged(Arc::new(finding), signal)))
    }
}

/// A text of `flag`, if it is there.
fn sentence(parts: &Map, key: &str) -> Fallible<Option<String>> {
    let Some(value) = parts.get(key) else { return Ok(None) };
    let Ok(text) = value.as_immutable_string_ref() else {
        return wrong(format!("`{key}` must be text, not {}", plain_name(value)));
    };
    if text.contains(NO_WORDS) {
        return wrong(format!(
            "something in `{key}` can't stand in a sentence: only quantities, words, names and numbers can"
        ));
    }
    if text.trim().is_empty() {
        return wrong(format!("`{key}` says nothing; leave it out instead"));
    }
    Ok(Some(text.to_string()))
}

/// What an item points at, before its words are made.
struct Pointer {
    at: Target,
    says: Option<String>,
}

enum Target {
    Thing(Thing),
    Said(Said),
    Quantity(Quantity),
}

impl Pointer {
    fn marks(self) -> Vec<Mark> {
        let mut marks = match &self.at {
            Target::Thing(thing) => vec![thing.mark()],
            Target::Said(said) => vec![said.mark()],
            Target::Quantity(quantity) => quantity.marks().unwrap_or_default(),
        };
        if let Some(says) = self.says {
            // A text of its own goes with one mark.
            marks.truncate(1);
            marks.iter_mut().for_each(|mark| mark.says.clone_from(&says));
        }
        marks
    }
}

/// The pointers of `at` or `because`: one value or several, each alone or with a text of its own, `[value, "text"]`.
fn pointers(value: &Dynamic, into: &mut Vec<Pointer>) -> Fallible<()> {
    if let Some(list) = value.read_lock::<Array>() {
        charge(list.len());
        if let [one, text] = list.as_slice()
            && text.is_string()
        {
            let from = into.len();
            pointers(one, into)?;
            into.truncate(from + 1);
            if let Some(pointer) = into.get_mut(from) {
                pointer.says = Some(text.to_string());
            }
            return Ok(());
        }
        return list.iter().try_for_each(|one| pointers(one, into));
    }
    let at = if let Some(thing) = value.read_lock::<Thing>() {
        Target::Thing(thing.clone())
    } else if let Some(said) = value.read_lock::<Said>() {
        Target::Said(said.clone())
    } else if let Some(quantity) = value.read_lock::<Quantity>() {
        if !quantity.is_of_the_rig() {
            return wrong("can't point at a limit: hand over a value or a thing of the rig");
        }
        Target::Quantity(quantity.clone())
    } else {
        return wrong(format!("can't point at {}: hand over a value or a thing of the rig", plain_name(value)));
    };
    into.push(Pointer { at, says: None });
    Ok(())
}

fn rulings(list: &Array) -> Fallible<Vec<Ruling>> {
    let each = list.iter().map(|one| match one.read_lock::<Ruling>() {
        Some(ruling) => Ok(ruling.clone()),
        None => wrong(format!("{} is not a verdict", plain_name(one))),
    });
    each.collect()
}

/// What scripts may do with verdicts.
pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Ruling>("verdict");
    engine.register_type_with_name::<Flagged>("finding");
    engine.register_fn("flag", |one: &mut Ruling, parts: Map| one.flag(&parts));
    engine.register_fn("not_so", |one: Ruling| one.not());
    engine.register_fn("all_of", |list: Array| rulings(&list).map(|rulings| Ruling::all(&rulings)));
    engine.register_fn("any_of", |list: Array| rulings(&list).map(|rulings| Ruling::any(&rulings)));
    engine.register_fn("so", Ruling::plain);
}
