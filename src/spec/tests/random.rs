//! Random YAML: spans slice the source, and the values are those of another reader.

use super::*;
use proptest::prelude::*;

/// A value to be written.
#[derive(Debug, Clone)]
enum Thing {
    /// Plain or quoted text, exactly as written.
    Word(String),
    List(Vec<Thing>),
    Map(Vec<Thing>),
    /// The value with an anchor, in its bytes as flow.
    Marked(Box<Thing>),
    /// Repeats an earlier marked value, if there is one.
    Again(usize),
    /// A mapping that merges an earlier marked mapping, if there is one.
    Merged(usize, Vec<Thing>),
}

fn thing() -> impl Strategy<Value = Thing> {
    // Scalars on which YAML 1.2 core and serde_yaml agree; see the oracle below.
    let word = prop_oneof![
        "[a-z]{1,8}( [a-z0-9]{1,5}){0,2}",
        "[1-9][0-9]{0,8}",
        "-?[1-9][0-9]{0,3}\\.[0-9]{1,3}",
        "'[a-z0-9:#, é日]{0,10}'",
        "\"[a-z0-9:#, é日]{0,10}\"",
        Just("\"a\\tb\\u00e9\\n\"".to_owned()),
        Just("'it''s'".to_owned()),
        Just("true".to_owned()),
        Just("false".to_owned()),
        Just("null".to_owned()),
        Just("~".to_owned()),
        Just(String::new()),
        Just("5 gal".to_owned()),
        Just("yes".to_owned()),
        Just("12:30".to_owned()),
        Just("0x1F".to_owned()),
        Just("0o17".to_owned()),
        Just("1_000".to_owned()),
        Just("größe".to_owned()),
    ]
    .prop_map(Thing::Word);
    word.prop_recursive(5, 60, 5, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..5).prop_map(Thing::List),
            prop::collection::vec(inner.clone(), 0..5).prop_map(Thing::Map),
            inner.clone().prop_map(|thing| Thing::Marked(Box::new(thing))),
            any::<prop::sample::Index>().prop_map(|at| Thing::Again(at.index(1000))),
            (any::<prop::sample::Index>(), prop::collection::vec(inner, 0..3))
                .prop_map(|(at, own)| Thing::Merged(at.index(1000), own)),
        ]
    })
}

/// Writes a thing as YAML.
struct Writer {
    out: String,
    anchors: Vec<bool>,
    /// Anchors that are not closed: naming them would be a circle.
    open: Vec<usize>,
}

impl Writer {
    fn write(thing: &Thing) -> String {
        let mut writer = Self { out: String::new(), anchors: Vec::new(), open: Vec::new() };
        writer.out.push_str("top:");
        writer.block(thing, 1);
        writer.out.push_str("end: 1 # done\n");
        writer.out
    }

    fn key(at: usize) -> String {
        match at % 4 {
            0 => format!("k{at}"),
            1 => format!("\"k{at}\""),
            2 => format!("'k {at}'"),
            _ => format!("é-{at}"),
        }
    }

    /// The value after `key:` or `-`, ending in a line break.
    fn block(&mut self, thing: &Thing, depth: usize) {
        let indent = "  ".repeat(depth);
        match thing {
            Thing::List(items) if !items.is_empty() => {
                self.out.push('\n');
                for item in items {
                    self.out.push_str(&format!("{indent}-"));
                    self.block(item, depth + 1);
                }
            }
            Thing::Map(values) if !values.is_empty() => {
                self.out.push_str(" # a mapping\n");
                for (at, value) in values.iter().enumerate() {
                    self.out.push_str(&format!("{indent}{}:", Self::key(at)));
                    self.block(value, depth + 1);
                }
            }
            Thing::Merged(at, own) if self.mapping(*at).is_some() => {
                let name = self.mapping(*at).unwrap();
                self.out.push_str(&format!("\n{indent}<<: *a{name}\n"));
                for (at, value) in own.iter().enumerate() {
                    self.out.push_str(&format!("{indent}{}:", Self::key(at)));
                    self.block(value, depth + 1);
                }
            }
            Thing::Word(word) if word.is_empty() => self.out.push('\n'),
            other => {
                self.out.push(' ');
                self.flow(other);
                self.out.push('\n');
            }
        }
    }

    fn mapping(&self, at: usize) -> Option<usize> {
        let closed: Vec<_> = (0..self.anchors.len()).filter(|n| self.anchors[*n] && !self.open.contains(n)).collect();
        (!closed.is_empty()).then(|| closed[at % closed.len()])
    }

    fn flow(&mut self, thing: &Thing) {
        match thing {
            Thing::Word(word) => self.out.push_str(if word.is_empty() { "~" } else { word }),
            Thing::List(items) => {
                self.out.push('[');
                for item in items {
                    self.flow(item);
                    self.out.push_str(" , ");
                }
                self.out.push(']');
            }
            Thing::Map(values) | Thing::Merged(_, values) => {
                self.out.push_str("{ ");
                for (at, value) in values.iter().enumerate() {
                    self.out.push_str(&format!("{}: ", Self::key(at)));
                    self.flow(value);
                    self.out.push_str(", ");
                }
                self.out.push('}');
            }
            Thing::Marked(inner) => {
                if matches!(**inner, Thing::Marked(_) | Thing::Again(_)) {
                    return self.flow(inner);
                }
                let name = self.anchors.len();
                self.anchors.push(matches!(**inner, Thing::Map(_) | Thing::Merged(..)));
                self.open.push(name);
                self.out.push_str(&format!("&a{name} "));
                self.flow(inner);
                self.open.pop();
            }
            Thing::Again(at) => {
                let closed: Vec<_> = (0..self.anchors.len()).filter(|n| !self.open.contains(n)).collect();
                match closed.get(at % closed.len().max(1)) {
                    Some(name) => self.out.push_str(&format!("*a{name} ")),
                    None => self.out.push('~'),
                }
            }
        }
    }
}

/// What serde_yaml reads, merges applied, as JSON.
fn oracle(text: &str) -> serde_json::Value {
    let mut value: serde_yaml::Value = serde_yaml::from_str(text).unwrap_or_else(|e| panic!("{e}\n{text}"));
    value.apply_merge().unwrap();
    serde_json::to_value(value).unwrap()
}

/// Counts what a value stands for, to leave out cases that meet the limit on purpose.
fn too_large(sheet: &Sheet) -> bool {
    sheet.problems().iter().any(|problem| problem.says.contains("that is the limit"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn values_are_those_of_serde_yaml_and_spans_slice_the_source(thing in thing()) {
        // Reference: serde_yaml 0.9.34 with `Value::apply_merge`, on the part of YAML where its rules and the core
        // schema of 1.2 agree (no `0b11`, no whole numbers past 64 bits, no leading zeros).
        let text = Writer::write(&thing);
        let plain = sheet(&text);
        prop_assume!(!too_large(&plain));
        prop_assert!(plain.problems().is_empty(), "{:?}\n{text}", plain.problems());
        prop_assert_eq!(plain.json(), oracle(&text), "{}", text);
        check_spans(plain.tree(), &plain.sources);
        for variant in [text.replace('\n', "\r\n"), format!("\u{feff}{text}"), format!("---\r\n{text}...\n"), text.replace('\n', "\r")] {
            let other = sheet(&variant);
            prop_assert!(other.problems().is_empty(), "{:?}\n{variant}", other.problems());
            prop_assert_eq!(other.json(), plain.json());
            check_spans(other.tree(), &other.sources);
        }
    }

    #[test]
    fn a_mutated_file_never_does_harm(thing in thing(), edits in prop::collection::vec((any::<prop::sample::Index>(), 0..5_u8, "[\\[\\]{}:,\\-#&*!|>'\"%@`?<~ \t\n\r0aé\0\u{feff}\u{85}]{0,3}"), 1..12)) {
        let mut text = Writer::write(&thing);
        for (at, action, insert) in edits {
            let mut at = at.index(text.len() + 1);
            while !text.is_char_boundary(at) { at -= 1; }
            match action {
                0 => text.insert_str(at, &insert),
                1 => text.truncate(at),
                2 if at < text.len() => { text.remove(at); }
                3 => text = format!("{1}{insert}{0}", text.split_at(at).0, text.split_at(at).1),
                _ => { text.insert_str(at, "\n---\n"); }
            }
        }
        harmless(text.as_bytes());
    }

    #[test]
    fn arbitrary_bytes_never_do_harm(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        harmless(&bytes);
    }

    #[test]
    fn arbitrary_signs_never_do_harm(text in "[\\[\\]{}:,\\-#&*!|>'\"%@`?<~ \t\n\r0aé\0\u{feff}]{0,80}") {
        harmless(text.as_bytes());
    }
}

/// Reads the bytes, walks all of the tree and all of the problems.
fn harmless(bytes: &[u8]) {
    let sheet = sheet(bytes);
    for document in &sheet.outcome.documents {
        assert!(document.tree.is_some() || !document.problems.is_empty(), "broken without a word");
        assert!(sheet.sources.slice(document.span).is_some());
        if let Some(tree) = &document.tree {
            tree.to_json(tree.root());
            // Control characters are blanked, so the text differs from the bytes; all other files must fit theirs.
            if sheet.outcome.problems.is_empty() {
                check_spans(tree, &sheet.sources);
            }
            for at in 0..tree.len() {
                assert!(sheet.sources.slice(tree.node(NodeId(at as u32)).span).is_some());
            }
        }
    }
    for problem in sheet.problems() {
        assert!(sheet.sources.slice(problem.span).is_some(), "{problem:?}");
        assert!(!problem.says.is_empty());
        problem.also.iter().for_each(|(span, _)| assert!(sheet.sources.slice(*span).is_some(), "{problem:?}"));
    }
    assert!(!sheet.outcome.documents.is_empty() || !sheet.outcome.problems.is_empty());
    // A spec with books: none of them can be read, and nothing happens.
    let mut sources = sheet.sources.clone();
    for document in sheet.outcome.documents {
        if let Some(mut tree) = document.tree {
            overlay(&mut tree, &mut sources, &mut Shelf::new(), &|_| Err("not here".to_owned()));
        }
    }
}
