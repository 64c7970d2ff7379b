//! Words, yes or no, and text of the spec in scripts.

use std::sync::Arc;

use rhai::{Array, Engine, ImmutableString};

use super::card::{Mark, MarkAt};
use super::host::{Fallible, Scene, charge, did_you_mean, plain_name, wrong};
use super::quantity::fact_text;
use super::verdict::Ruling;
use crate::measure::Answer;
use crate::rig::form::Shape;
use crate::rig::{Basis, FactId, Value};

/// A word, yes or no, or text of the spec.
#[derive(Debug, Clone)]
pub(super) struct Said {
    scene: Arc<Scene>,
    fact: FactId,
}

impl Said {
    pub(super) fn new(scene: &Arc<Scene>, fact: FactId) -> Self {
        Self { scene: Arc::clone(scene), fact }
    }

    fn text(&self) -> &str {
        match &self.scene.rig.fact(self.fact).value {
            Value::Word(word) => word,
            Value::Text(text) => text,
            Value::Flag(flag) => yes_or_no(*flag),
            Value::Amount(_) | Value::Missing => "not stated",
        }
    }

    /// Whether it is one of these words. A word that the field can never hold is a mistake in the script.
    fn is_any(&self, words: &[&str]) -> Fallible<Ruling> {
        let fact = self.scene.rig.fact(self.fact);
        charge(words.len());
        if words.is_empty() {
            return wrong("`is_any` needs words to choose from");
        }
        if let Shape::Word(known) = fact.shape
            && let Some(strange) = words.iter().find(|word| !known.contains(word))
        {
            return wrong(format!(
                "`{}` is never `{strange}`{}",
                fact.key,
                did_you_mean(strange, known.iter().copied())
            ));
        }
        if matches!(fact.shape, Shape::Flag) && words.iter().any(|word| !matches!(*word, "yes" | "no")) {
            return wrong(format!("`{}` is yes or no", fact.key));
        }
        let answer = match &fact.value {
            Value::Missing | Value::Amount(_) => Answer::Open,
            _ if words.contains(&self.text()) => Answer::Yes,
            _ => Answer::No,
        };
        let settle = if answer == Answer::Open { vec![self.fact] } else { Vec::new() };
        Ok(Ruling::new(answer, settle, Vec::new()))
    }

    /// `is_yes` and `is_no`: only what is asked with yes or no can be one.
    fn is_flag(&self, yes: bool) -> Fallible<Ruling> {
        let fact = self.scene.rig.fact(self.fact);
        if !matches!(fact.shape, Shape::Flag) {
            return wrong(format!("`{}` is not a yes or no; ask .is(..)", fact.key));
        }
        self.is_any(&[yes_or_no(yes)])
    }

    fn is_stated(&self) -> bool {
        self.scene.rig.fact(self.fact).basis == Basis::Stated
    }

    pub(super) fn mark(&self) -> Mark {
        Mark { at: MarkAt::Fact(self.fact), says: fact_text(&self.scene, self.fact) }
    }
}

fn yes_or_no(flag: bool) -> &'static str {
    if flag { "yes" } else { "no" }
}

/// What scripts may do with words.
pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Said>("word");
    engine.register_fn("is", |one: &mut Said, word: ImmutableString| one.is_any(&[&word]));
    engine.register_fn("is_any", |one: &mut Said, words: Array| -> Fallible<Ruling> {
        let texts = words.iter().map(|word| match word.as_immutable_string_ref() {
            Ok(text) => Ok(text),
            Err(_) => wrong(format!("`is_any` takes a list of texts, not {}", plain_name(word))),
        });
        let texts = texts.collect::<Fallible<Vec<_>>>()?;
        one.is_any(&texts.iter().map(|text| text.as_str()).collect::<Vec<_>>())
    });
    engine.register_fn("is_yes", |one: &mut Said| one.is_flag(true));
    engine.register_fn("is_no", |one: &mut Said| one.is_flag(false));
    engine.register_fn("is_stated", |one: &mut Said| one.is_stated());
    engine.register_fn("ask_for", |one: Said| Ruling::ask_for(one.fact, one.is_stated()));
    engine.register_fn("to_string", |one: &mut Said| one.text().to_owned());
    engine.register_fn("+", |text: ImmutableString, one: Said| format!("{text}{}", one.text()));
}
