//! The blank form as a JSON Schema (2020-12): what `schema/rig.schema.json` holds and editors complete from.

use serde_json::{Map, Value, json};

use super::form::{Field, Form, Shape};
use super::job::Spec;
use super::parts::{KINDS, MATERIALS, Part};

/// Quantities are text with a unit; the reader of quantities says what is wrong with them better than a pattern can.
const QUANTITY: &str = r#"^\s*(unknown|(about\s+)?[-+]?[0-9.].*[A-Za-z%'"°].*)\s*$"#;
/// Ids hold no dots or brackets, because places are written with them.
const NAME: &str = "^[A-Za-z0-9][A-Za-z0-9_-]*$";

/// The schema of a spec.
pub fn schema() -> Value {
    let mut defs = Map::new();
    let mut root = group(Spec::FORM, &mut defs);
    for kind in KINDS {
        let def = group(kind, &mut defs);
        defs.insert(kind.word.to_owned(), def);
    }
    defs.insert("any-part".to_owned(), any_part());
    let mut schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A mobile wash rig, edition 1",
    });
    if let (Value::Object(schema), Value::Object(root)) = (&mut schema, &mut root) {
        schema.append(root);
        schema.insert("$defs".to_owned(), Value::Object(defs));
    }
    schema
}

fn any_part() -> Value {
    let words: Vec<&str> = KINDS.iter().map(|kind| kind.word).collect();
    let branches: Vec<Value> = KINDS
        .iter()
        .map(|kind| {
            json!({
                "if": { "properties": { "kind": { "const": kind.word } }, "required": ["kind"] },
                "then": { "$ref": format!("#/$defs/{}", kind.word) },
            })
        })
        .collect();
    json!({
        "description": clean(Part::FORM.help),
        "type": "object",
        "properties": { "kind": { "description": "What the part is.", "enum": words } },
        "if": { "not": { "required": ["from"] } },
        "then": { "required": ["kind"] },
        "allOf": branches,
    })
}

fn group(form: &'static Form, defs: &mut Map<String, Value>) -> Value {
    let mut properties = Map::new();
    for field in form.fields {
        properties.insert(field.key.to_owned(), property(field, defs));
    }
    let mut schema = json!({
        "description": clean(form.help),
        "type": "object",
        "properties": properties,
    });
    // A group may be `unknown` as a whole, or a bare word that stands for one of its fields. The spec and its parts may not.
    let is_whole = form.word == Spec::FORM.word || form.word == Part::FORM.word || form.shared.is_some();
    if let (Value::Object(schema), false) = (&mut schema, is_whole) {
        schema.insert("type".to_owned(), json!(["object", "string"]));
        let word = form
            .short
            .and_then(|short| form.field(short))
            .map_or_else(|| json!({ "const": "unknown" }), |field| takes(&field.shape, defs));
        schema.insert("if".to_owned(), json!({ "type": "string" }));
        schema.insert("then".to_owned(), word);
    }
    if let Value::Object(schema) = &mut schema {
        if let Some(shared) = form.shared {
            if !defs.contains_key(shared.word) {
                let mut def = group(shared, defs);
                // The kinds that share these fields say which others there are.
                if let Value::Object(def) = &mut def {
                    def.remove("additionalProperties");
                    def.remove("required");
                }
                defs.insert(shared.word.to_owned(), def);
            }
            schema.insert("$ref".to_owned(), json!(format!("#/$defs/{}", shared.word)));
            schema.insert("unevaluatedProperties".to_owned(), json!(false));
        } else {
            schema.insert("additionalProperties".to_owned(), json!(false));
        }
        if form.shared.is_none() && !form.required.is_empty() {
            schema.insert("required".to_owned(), json!(form.required));
        }
    }
    schema
}

fn property(field: &'static Field, defs: &mut Map<String, Value>) -> Value {
    let mut schema = takes(&field.shape, defs);
    if let Value::Object(schema) = &mut schema {
        schema.insert("description".to_owned(), json!(clean(field.help)));
        if let Ok(example) = serde_yaml::from_str::<Value>(field.example) {
            schema.insert("examples".to_owned(), json!([example]));
        }
    }
    schema
}

fn takes(shape: &'static Shape, defs: &mut Map<String, Value>) -> Value {
    match shape {
        Shape::Amount(measure) | Shape::Offset(measure) if measure.may_be_bare() => {
            json!({ "type": ["number", "string"], "x-quantity": measure.name() })
        }
        Shape::Amount(measure) | Shape::Offset(measure) => {
            json!({ "type": "string", "pattern": QUANTITY, "x-quantity": measure.name() })
        }
        Shape::Size => json!({ "type": "string", "pattern": QUANTITY, "x-quantity": "length x width x height" }),
        Shape::Opening => json!({ "type": "string", "pattern": QUANTITY, "x-quantity": "width x height" }),
        Shape::Strength => json!({ "type": ["number", "string"], "x-quantity": "a strength and its basis" }),
        Shape::Gauge => json!({ "type": "string", "pattern": QUANTITY, "x-quantity": "a conductor size" }),
        // The long list of materials is written once.
        Shape::Word(words) if std::ptr::eq(*words, MATERIALS) => {
            defs.entry("material").or_insert_with(|| words_of(words));
            json!({ "$ref": "#/$defs/material" })
        }
        Shape::Word(words) => words_of(words),
        Shape::Flag => json!({ "enum": ["yes", "no", "unknown", true, false] }),
        Shape::Text => json!({ "type": ["string", "number", "boolean"] }),
        Shape::Date => json!({ "type": "string", "format": "date" }),
        Shape::Part => json!({ "type": ["string", "number", "boolean"] }),
        Shape::PartKind => {
            let words: Vec<&str> = KINDS.iter().map(|kind| kind.word).collect();
            json!({ "enum": words })
        }
        // What is not known at all may be said so.
        Shape::Many(inner) => json!({
            "type": ["array", "string"],
            "items": takes(inner, defs),
            "if": { "type": "string" },
            "then": { "const": "unknown" },
        }),
        Shape::Named(inner) => json!({
            "type": ["object", "string"],
            "propertyNames": { "pattern": NAME },
            "additionalProperties": takes(inner, defs),
            "if": { "type": "string" },
            "then": { "const": "unknown" },
        }),
        Shape::Group(form) => {
            if !defs.contains_key(form.word) {
                // Held open so that a form that contains itself ends.
                defs.insert(form.word.to_owned(), Value::Null);
                let def = group(form, defs);
                defs.insert(form.word.to_owned(), def);
            }
            json!({ "$ref": format!("#/$defs/{}", form.word) })
        }
        Shape::AnyPart => json!({ "$ref": "#/$defs/any-part" }),
    }
}

fn words_of(words: &[&str]) -> Value {
    let mut words: Vec<Value> = words.iter().map(|word| json!(word)).collect();
    // A word that looks like a number is one to YAML unless it is quoted.
    let numbers: Vec<Value> =
        words.iter().filter_map(|word| serde_json::from_str(word.as_str()?).ok()).filter(Value::is_number).collect();
    words.extend(numbers);
    words.push(json!("unknown"));
    json!({ "enum": words })
}

/// The schema as text: a line a key, lists on one line.
pub fn text(schema: &Value) -> String {
    let mut text = String::new();
    write(schema, 0, &mut text);
    text.push('\n');
    text
}

fn write(value: &Value, depth: usize, text: &mut String) {
    match value {
        Value::Object(object) if !object.is_empty() => {
            text.push_str("{\n");
            for (at, (key, value)) in object.iter().enumerate() {
                text.push_str(&"  ".repeat(depth + 1));
                text.push_str(&json!(key).to_string());
                text.push_str(": ");
                write(value, depth + 1, text);
                text.push_str(if at + 1 < object.len() { ",\n" } else { "\n" });
            }
            text.push_str(&"  ".repeat(depth));
            text.push('}');
        }
        other => text.push_str(&other.to_string()),
    }
}

/// Help text as written in a doc comment, without the blanks between its lines.
pub fn clean(help: &str) -> String {
    help.split_whitespace().collect::<Vec<_>>().join(" ")
}
