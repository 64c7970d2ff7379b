//! Holds the tree of a spec against `schema/rig.schema.json`: which keys there are, what shape their values have.
//!
//! The published schema decides. Its validator knows JSON pointers, not bytes, and names keywords, not mistakes; so what it
//! refuses is said by [`walk`], which walks the same form over the tree and knows the bytes, the aliases and the nearest right
//! word. Units, days and ids are for [`crate::rig::takeoff`]: the patterns that editors need for them are taken out here.

mod walk;

use std::sync::OnceLock;

use jsonschema::Validator;
use serde_json::{Map, Value, json};

use crate::problem::Problem;
use crate::spec::Tree;

/// The schema of a spec, as published.
pub const RIG: &str = include_str!("../../schema/rig.schema.json");

/// What is wrong with the structure of a spec.
pub fn check(tree: &Tree) -> Vec<Problem> {
    let problems = walk::check(tree);
    if !problems.is_empty() {
        return problems;
    }
    let whole =
        |says: String, fix: String| Problem::new(says, tree.node(tree.root()).span, "somewhere in here").fix(fix);
    let validator = match validator() {
        Ok(validator) => validator,
        Err(says) => return vec![whole("the schema of specs can't be used".to_owned(), says.clone())],
    };
    let instance = tree.to_json(tree.root());
    if validator.is_valid(&instance) {
        return Vec::new();
    }
    // The walk has words for everything the schema refuses; should it ever lack them, nothing wrong passes for right.
    let told = validator.iter_errors(&instance).map(|error| {
        whole(
            format!("the spec does not fit its schema at {}", error.instance_path().as_str()),
            error.masked().to_string(),
        )
    });
    told.collect()
}

/// The published schema, compiled once in a process.
///
/// # Errors
/// A sentence when the file is no schema; the tests rule that out for the one that ships.
pub fn validator() -> Result<&'static Validator, &'static String> {
    static COMPILED: OnceLock<Result<Validator, String>> = OnceLock::new();
    let compiled = COMPILED.get_or_init(|| {
        let mut schema: Value = serde_json::from_str(RIG).map_err(|error| error.to_string())?;
        strip(&mut schema);
        jsonschema::options().build(&schema).map_err(|error| error.to_string())
    });
    compiled.as_ref()
}

/// Takes out what the readers of quantities and days say better: patterns, formats, and that a quantity must be text.
fn strip(schema: &mut Value) {
    match schema {
        Value::Object(object) => {
            if object.contains_key("x-quantity") {
                object.remove("pattern");
                object.insert("type".to_owned(), json!(["string", "number", "boolean", "null"]));
            }
            or_nothing(object);
            // A hover text costs time to read past and says nothing here.
            for word in ["description", "examples", "format"] {
                if object.get(word).is_some_and(|value| value.is_string() || value.is_array()) {
                    object.remove(word);
                }
            }
            object.values_mut().for_each(strip);
        }
        Value::Array(array) => array.iter_mut().for_each(strip),
        _ => {}
    }
}

/// Lets nothing stand for a single value: the reader of values says, once, that nothing is written there.
fn or_nothing(object: &mut Map<String, Value>) {
    if let Some(Value::Array(words)) = object.get_mut("enum") {
        words.push(Value::Null);
    }
    // A field could be called `type`: then a schema stands here.
    if let Some(types) = object.get_mut("type").filter(|types| !types.is_object()) {
        let mut names = match types.take() {
            Value::Array(names) => names,
            one => vec![one],
        };
        if !names.iter().any(|name| name == "object" || name == "array" || name == "null") {
            names.push(json!("null"));
        }
        *types = Value::Array(names);
    }
}
