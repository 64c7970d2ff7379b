//! The published schema is the blank form, both ways, and takes what the reader takes.

use std::collections::{BTreeMap, BTreeSet};

use jsonschema::Validator;
use rigproof::measure::{self, Measure};
use rigproof::rig::form::{Field, Form, Shape};
use rigproof::rig::parts::KINDS;
use rigproof::rig::{blank, job, take_off};
use rigproof::schema;
use rigproof::spec::{self, Sources, Tree};
use serde_json::Value;

/// Every field that the reader reads is in the schema with the same shape, and the schema has no other.
#[test]
fn the_published_schema_is_the_form_that_the_reader_reads() {
    let wanted = blank::text(&blank::schema());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/schema/rig.schema.json");
    if std::env::var_os("RIGPROOF_WRITE_SCHEMA").is_some() {
        std::fs::write(path, &wanted).unwrap();
    }
    let held = std::fs::read_to_string(path).unwrap();
    assert!(
        held == wanted,
        "schema/rig.schema.json is not the blank form; run RIGPROOF_WRITE_SCHEMA=1 cargo test --test schema"
    );
}

/// The published schema, compiled by the jsonschema crate 0.61 for JSON Schema 2020-12.
fn published() -> Validator {
    let schema: Value = serde_json::from_str(schema::RIG).unwrap();
    assert!(jsonschema::meta::is_valid(&schema), "not a JSON Schema");
    jsonschema::draft202012::new(&schema).unwrap()
}

fn tree(text: &str) -> Tree {
    let outcome = spec::read("field.yaml", text.as_bytes(), &mut Sources::new());
    let problems: Vec<_> = outcome.all_problems().collect();
    assert!(problems.is_empty(), "{text}\n{problems:#?}");
    outcome.documents.into_iter().next().unwrap().tree.unwrap()
}

/// What the reader says of a spec.
fn problems(tree: &Tree) -> Vec<String> {
    let (_, misread) = take_off(tree);
    schema::check(tree).into_iter().chain(misread).map(|problem| problem.says).collect()
}

/// One field of the form, and a spec around it: `before` + value + `after`.
struct Row {
    field: &'static Field,
    before: String,
    after: String,
}

impl Row {
    fn with(&self, value: &str) -> String {
        format!("{}{value}{}", self.before, self.after)
    }

    fn name(&self) -> String {
        format!("{}{}", self.before.trim_start_matches("rigproof: 1\nname: a rig\n"), self.field.key)
    }
}

/// Parts that the examples of references name.
fn named_parts(text: &str) -> String {
    let mut ids = BTreeSet::new();
    let root = tree(text);
    fn references(form: &'static Form, tree: &Tree, node: spec::NodeId, ids: &mut BTreeSet<String>) {
        let kind = tree.get(node, "kind").and_then(|kind| tree.text(kind.value.node));
        let form = KINDS.iter().find(|known| form.word == "part" && Some(known.word) == kind).copied().unwrap_or(form);
        for entry in tree.entries(node) {
            if let Some(field) = form.field(&entry.key) {
                walk(&field.shape, tree, entry.value.node, ids);
            }
        }
    }
    fn walk(shape: &'static Shape, tree: &Tree, node: spec::NodeId, ids: &mut BTreeSet<String>) {
        match shape {
            Shape::Part => {
                ids.extend(tree.text(node).map(|text| text.split('.').next().unwrap().to_owned()));
            }
            Shape::Many(inner) => tree.items(node).iter().for_each(|item| walk(inner, tree, item.node, ids)),
            Shape::Named(inner) => tree.entries(node).iter().for_each(|entry| walk(inner, tree, entry.value.node, ids)),
            Shape::Group(form) => references(form, tree, node, ids),
            Shape::AnyPart => references(rigproof::rig::parts::Part::FORM, tree, node, ids),
            _ => {}
        }
    }
    references(job::Spec::FORM, &root, root.root(), &mut ids);
    for entry in root.get(root.root(), "parts").map_or(&[][..], |parts| root.entries(parts.value.node)) {
        ids.remove(&*entry.key);
    }
    ids.remove("");
    let parts: Vec<String> = ids.iter().map(|id| format!("{id}: {{ kind: rack }}")).collect();
    parts.join(", ")
}

/// Every field of every form, once for each way that leads to it from the top of the spec (the first way for groups that
/// stand in several places).
fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    let mut seen = BTreeSet::new();
    form(job::Spec::FORM, "rigproof: 1\nname: a rig\n", "\n", true, &mut rows, &mut seen);
    rows
}

/// Keys that a form can't do without, other than `but`, as flow entries with their examples.
fn needed(form: &'static Form, but: &str) -> String {
    let fields = form.all_fields().filter(|field| form.required.contains(&field.key) && field.key != but);
    fields.map(|field| format!("{}: {}, ", field.key, field.example)).collect()
}

fn form(form: &'static Form, before: &str, after: &str, top: bool, rows: &mut Vec<Row>, seen: &mut BTreeSet<String>) {
    for field in form.all_fields() {
        if top && form.required.contains(&field.key) {
            continue;
        }
        // What every part has is tried on the first kind only.
        let shared = form.shared.is_some_and(|shared| shared.field(field.key).is_some());
        let home = if shared { "part" } else { form.word };
        if !seen.insert(format!("{home}.{}", field.key)) {
            continue;
        }
        let (open, close) = if top {
            (format!("{before}{}: ", field.key), after.to_owned())
        } else {
            let kind = if KINDS.iter().any(|kind| kind.word == form.word) && field.key != "kind" {
                format!("kind: {}, ", form.word)
            } else {
                String::new()
            };
            (format!("{before}{{ {kind}{}{}: ", needed(form, field.key), field.key), format!(" }}{after}"))
        };
        rows.push(Row { field, before: open.clone(), after: close.clone() });
        shape(&field.shape, &open, &close, rows, seen);
    }
}

fn shape(shape_: &'static Shape, before: &str, after: &str, rows: &mut Vec<Row>, seen: &mut BTreeSet<String>) {
    match shape_ {
        Shape::Group(inner) => form(inner, before, after, false, rows, seen),
        Shape::Many(inner) => shape(inner, &format!("{before}["), &format!("]{after}"), rows, seen),
        Shape::Named(inner) => shape(inner, &format!("{before}{{ one: "), &format!(" }}{after}"), rows, seen),
        Shape::AnyPart => KINDS.iter().for_each(|kind| form(kind, before, after, false, rows, seen)),
        _ => {}
    }
}

/// The spec with every part that it names.
fn whole(row: &Row, value: &str) -> String {
    let text = row.with(value);
    let parts = named_parts(&text);
    if parts.is_empty() {
        return text;
    }
    match text.find("\nparts: {") {
        Some(at) => format!("{}\nparts: {{ {parts},{}", &text[..at], &text[at + "\nparts: {".len()..]),
        None => format!("{text}parts: {{ {parts} }}\n"),
    }
}

#[test]
fn every_example_is_taken_by_the_published_schema_and_by_the_reader() {
    let validator = published();
    let rows = rows();
    assert!(rows.len() > 250, "{}", rows.len());
    let mut amiss = Vec::new();
    for row in &rows {
        for value in [row.field.example, "unknown"] {
            let must_be_known = matches!(row.field.shape, Shape::PartKind);
            // The name of a part as a whole is no fact that could be unknown, and `from` takes a part from a book.
            if (value == "unknown" && must_be_known)
                || row.field.key == "from" && matches!(row.field.shape, Shape::Text)
            {
                continue;
            }
            let text = whole(row, value);
            let tree = tree(&text);
            let said = problems(&tree);
            if !said.is_empty() {
                amiss.push(format!("{} {value}: the reader says {said:?}", row.name()));
            }
            if let Some(error) = validator.iter_errors(&tree.to_json(tree.root())).next() {
                amiss.push(format!("{} {value}: the schema says {error} at {}", row.name(), error.instance_path()));
            }
        }
    }
    assert!(amiss.is_empty(), "{} amiss\n{}", amiss.len(), amiss.join("\n"));
}

/// Values that no field takes, or that some do: whatever the schema refuses, the reader must not pass over in silence.
#[test]
fn what_the_published_schema_refuses_the_reader_refuses() {
    let validator = published();
    let mut silent = Vec::new();
    let mut refused = 0;
    for row in rows() {
        for value in [
            "",
            "5",
            "-1",
            "true",
            "nonsense",
            "on",
            "[]",
            "[5]",
            "{}",
            "{ odd-key: 5 }",
            "{ a.b: 5 }",
            "[[]]",
            "12 furlongs",
        ] {
            let text = whole(&row, value);
            let tree = tree(&text);
            if validator.is_valid(&tree.to_json(tree.root())) {
                continue;
            }
            refused += 1;
            if problems(&tree).is_empty() {
                silent.push(format!("{} {value}", row.name()));
            }
        }
    }
    assert!(refused > 1_000, "{refused}");
    assert!(silent.is_empty(), "{} passed over\n{}", silent.len(), silent.join("\n"));
}

/// For each measure: a unit of another measure, no number, and (but for plain numbers) no unit.
#[test]
fn each_measure_refuses_what_is_not_its_own() {
    let mut tried: BTreeMap<&str, usize> = BTreeMap::new();
    for row in rows() {
        let (Shape::Amount(measure) | Shape::Offset(measure)) = &row.field.shape else { continue };
        *tried.entry(measure.name()).or_default() += 1;
        let stranger = if matches!(measure, Measure::Temperature) { "5 gal" } else { "75 F" };
        let mut wrong = vec![stranger, "some", "5 5", "{ low: 1, high: 2 }", "[1, 2]"];
        if !measure.may_be_bare() {
            wrong.push("5");
        }
        for value in wrong {
            let said = problems(&tree(&whole(&row, value)));
            assert_eq!(said.len(), 1, "{} {value}: {said:?}", row.name());
        }
        assert!(measure::read(measure.example(), *measure).is_ok(), "{}", measure.name());
    }
    assert!(tried.len() >= 15, "{tried:?}");
}

/// As files stand, before parts books are laid in; `tests/reference/schema_check.py` asks a second implementation.
#[test]
fn the_demo_shop_is_taken_by_the_published_schema() {
    let validator = published();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/specs");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        if !text.lines().any(|line| line.starts_with("rigproof:")) {
            continue;
        }
        let tree = tree(&text);
        let amiss: Vec<String> = validator
            .iter_errors(&tree.to_json(tree.root()))
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(amiss.is_empty(), "{}\n{}", path.display(), amiss.join("\n"));
        count += 1;
    }
    assert!(count >= 4);
}
