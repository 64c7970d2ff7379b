//! Holds the tree of a spec against `schema/rig.schema.json`: which keys there are, what shape their values have.
//!
//! Says what is wrong in the reader's words, at the key or the value, with the nearest right word. Units and ids are for
//! [`crate::rig::takeoff`]; the patterns that editors need for them are taken out here.

use jsonschema::Validator;
use jsonschema::error::ValidationErrorKind;
use serde_json::Value;

use crate::place::Place;
use crate::problem::{Problem, Span, file_once};
use crate::rig::form::{Form, Shape};
use crate::rig::{allow, job, parts};
use crate::spec::{Kind, NodeId, Tree, Via, nearest};

/// The schema of a spec, as published.
pub const RIG: &str = include_str!("../schema/rig.schema.json");

/// The schema, compiled.
#[derive(Debug)]
pub struct Schema {
    validator: Validator,
}

impl Schema {
    /// Compiles the published schema.
    ///
    /// # Errors
    /// A sentence when the file is not a schema; the tests rule that out for the one that ships.
    pub fn standard() -> Result<Self, String> {
        let mut schema: Value = serde_json::from_str(RIG).map_err(|error| error.to_string())?;
        strip(&mut schema);
        let validator = jsonschema::options().build(&schema).map_err(|error| error.to_string())?;
        Ok(Self { validator })
    }

    /// What is wrong with the structure of a spec.
    pub fn check(&self, tree: &Tree) -> Vec<Problem> {
        let instance = tree.to_json(tree.root());
        let mut problems = Vec::new();
        if !instance.is_object() {
            let span = tree.node(tree.root()).span;
            problems.push(Problem::new("a spec is a list of keys and values", span, "this is something else").fix("begin with `rigproof: 1` and `name: ...`"));
            return problems;
        }
        for error in self.validator.iter_errors(&instance) {
            let spot = Spot::of(tree, error.instance_path().as_str());
            tell(tree, &spot, error.kind(), &mut problems);
        }
        problems
    }
}

/// Takes out what the reader of quantities says better: patterns, and that a quantity must be text.
fn strip(schema: &mut Value) {
    match schema {
        Value::Object(object) => {
            if object.contains_key("x-quantity") {
                object.remove("pattern");
                object.insert("type".to_owned(), serde_json::json!(["string", "number", "boolean", "null"]));
            } else if object.get("type").is_some_and(Value::is_string) && object.contains_key("format") {
                object.remove("format");
            }
            object.values_mut().for_each(strip);
        }
        Value::Array(array) => array.iter_mut().for_each(strip),
        _ => {}
    }
}

/// A spot in the tree that the validator named by a JSON pointer.
struct Spot {
    place: Place,
    node: NodeId,
    key: Option<Span>,
    value: Span,
    used: Option<Span>,
    form: Option<&'static Form>,
    shape: Option<&'static Shape>,
}

impl Spot {
    fn of(tree: &Tree, pointer: &str) -> Self {
        let mut spot = Self {
            place: Place::root(),
            node: tree.root(),
            key: None,
            value: tree.node(tree.root()).span,
            used: None,
            form: Some(job::Spec::FORM),
            shape: None,
        };
        for step in pointer.split('/').skip(1) {
            let step = step.replace("~1", "/").replace("~0", "~");
            spot.step(tree, &step);
        }
        spot
    }

    fn step(&mut self, tree: &Tree, step: &str) {
        let value = match &tree.node(self.node).kind {
            Kind::List(items) => {
                let index = step.parse::<usize>().unwrap_or(0);
                self.place = self.place.entry(index);
                self.key = None;
                items.get(index).copied()
            }
            _ => {
                self.place = self.place.key(step);
                let entry = tree.get(self.node, step);
                self.key = entry.map(|entry| entry.key_span);
                entry.map(|entry| entry.value)
            }
        };
        let Some(value) = value else { return };
        self.node = value.node;
        self.value = tree.node(value.node).span;
        if value.via != Via::Own {
            self.used = Some(value.at);
        }
        let shape = match (self.shape, self.form) {
            (Some(Shape::Many(inner) | Shape::Named(inner)), _) => Some(*inner),
            (_, Some(form)) => form.field(step).map(|field| &field.shape),
            _ => None,
        };
        self.shape = shape;
        self.form = match shape {
            Some(Shape::Group(form)) => Some(form),
            Some(Shape::AnyPart) => {
                let kind = tree.get(self.node, "kind").and_then(|kind| tree.text(kind.value.node));
                parts::KINDS.iter().find(|form| Some(form.word) == kind).copied().or(Some(parts::Part::FORM))
            }
            _ => None,
        };
    }

    /// The key that the value, or the list it is in, stands under.
    fn key_name(&self) -> String {
        let keys = self.place.steps().filter_map(|step| match step {
            crate::place::Step::Key(key) => Some(key),
            crate::place::Step::Entry(_) => None,
        });
        keys.last().unwrap_or("the spec").to_owned()
    }

    /// What the thing at this spot is called.
    fn what(&self) -> String {
        match self.form {
            Some(form) if form.word == "rig" => "the spec".to_owned(),
            Some(form) => format!("{} {}", if form.word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }, form.word),
            None => format!("`{}`", self.place),
        }
    }
}

fn tell(tree: &Tree, spot: &Spot, kind: &ValidationErrorKind, problems: &mut Vec<Problem>) {
    let marked = if spot.value.start == spot.value.end { spot.key.unwrap_or(spot.value) } else { spot.value };
    match kind {
        ValidationErrorKind::AdditionalProperties { unexpected } | ValidationErrorKind::UnevaluatedProperties { unexpected } => {
            for key in unexpected {
                unknown_key(tree, spot, key, problems);
            }
        }
        ValidationErrorKind::Required { property } => {
            let property = property.as_str().unwrap_or_default();
            let misspelt = tree.entries(spot.node).iter().any(|entry| nearest(&entry.key, [property]).is_some());
            // A misspelt key is said once, where it stands.
            if !misspelt {
                let span = spot.key.unwrap_or_else(|| tree.entries(spot.node).first().map_or(spot.value, |entry| entry.key_span));
                let example = spot.form.and_then(|form| form.field(property)).map_or("..", |field| field.example);
                let problem = Problem::new(format!("{} needs `{property}`", spot.what()), span, format!("no `{property}` here"));
                file_once(problems, problem.fix(format!("add `{property}: {example}`")).at(spot.place.clone()), spot.used);
            }
        }
        ValidationErrorKind::Enum { options } => {
            let said = tree.text(spot.node).unwrap_or_default();
            let words: Vec<&str> = options.as_array().map_or(&[][..], |words| words).iter().filter_map(Value::as_str).collect();
            let key = format!("`{}`", spot.key_name());
            let problem = if tree.node(spot.node).scalar().is_none() {
                Problem::new(format!("{key} takes one word"), marked, "not a word")
            } else if said.is_empty() {
                Problem::new(format!("nothing is written after {key}"), marked, "no value")
            } else {
                Problem::new(format!("{key} is never `{said}`"), marked, "not one of its words")
            };
            let fix = match nearest(said, words.iter().copied()) {
                Some(near) if !said.is_empty() => format!("did you mean `{near}`?"),
                _ => format!("write one of: {}", words.join(", ")),
            };
            file_once(problems, problem.fix(fix).at(spot.place.clone()), spot.used);
        }
        ValidationErrorKind::PropertyNames { .. } => {
            for entry in tree.entries(spot.node) {
                if !is_name(&entry.key) {
                    let problem = Problem::new(format!("`{}` can't be used as a name", entry.key), entry.key_span, "not a name");
                    file_once(problems, problem.fix("use letters, digits, `-` and `_`, such as `roof-pump`").at(spot.place.clone()), None);
                }
            }
        }
        ValidationErrorKind::Type { .. } => {
            let found = match tree.node(spot.node).kind {
                Kind::Map(_) => "a group of keys",
                Kind::List(_) => "a list",
                Kind::Scalar(_) if tree.node(spot.node).is_null() => "nothing",
                Kind::Scalar(_) => "a single value",
            };
            let (wanted, example) = wanted(spot);
            // Nothing after a group's colon: every line under it may have been commented out. Said, but gently.
            let key = spot.key_name();
            let problem = Problem::new(format!("`{key}` takes {wanted}, not {found}"), marked, format!("{found} here"));
            let problem = if example.is_empty() { problem } else { problem.fix(format!("write it like `{key}: {example}`")) };
            file_once(problems, problem.at(spot.place.clone()), spot.used);
        }
        other => {
            let problem = Problem::new(format!("`{}` does not fit the form: {other:?}", spot.place), marked, "does not fit");
            file_once(problems, problem.at(spot.place.clone()), spot.used);
        }
    }
}

fn is_name(key: &str) -> bool {
    key.starts_with(|c: char| c.is_ascii_alphanumeric()) && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
}

fn wanted(spot: &Spot) -> (&'static str, &'static str) {
    let example = spot.shape.and_then(example_of).unwrap_or_default();
    match spot.shape {
        Some(Shape::Many(_)) => ("a list", example),
        Some(Shape::Named(_)) => ("entries by name", example),
        Some(Shape::Group(form)) if form.short.is_some() => ("a word or a group of keys", example),
        Some(Shape::Group(_) | Shape::AnyPart) => ("a group of keys", example),
        _ => ("a single value", example),
    }
}

/// The example of the field that has this very shape.
fn example_of(shape: &'static Shape) -> Option<&'static str> {
    let fields = allow::subjects().flat_map(Form::all_fields);
    fields.filter(|field| std::ptr::eq(&field.shape, shape)).map(|field| field.example).next()
}

fn unknown_key(tree: &Tree, spot: &Spot, key: &str, problems: &mut Vec<Problem>) {
    let entry = tree.get(spot.node, key);
    let span = entry.map_or(spot.value, |entry| entry.key_span);
    let used = entry.filter(|entry| entry.value.via != Via::Own).map(|entry| entry.value.at);
    let mut problem = Problem::new(format!("{} has no `{key}`", spot.what()), span, "unknown key").at(spot.place.key(key));
    if let Some(form) = spot.form {
        let keys: Vec<&str> = form.all_fields().map(|field| field.key).collect();
        problem = match nearest(key, keys.iter().copied()) {
            Some(near) => problem.fix(format!("did you mean `{near}`?")),
            None => match elsewhere(key) {
                Some(other) => problem.fix(format!("`{key}` belongs to {other}")),
                None => problem.fix(format!("it takes: {}", keys.join(", "))),
            },
        };
    }
    file_once(problems, problem, used);
}

/// A key that exists on another form was probably put in the wrong place.
fn elsewhere(key: &str) -> Option<&'static str> {
    let mut homes = allow::subjects().filter(|form| form.fields.iter().any(|field| field.key == key)).map(|form| form.word);
    let first = homes.next()?;
    homes.next().is_none().then_some(first)
}
