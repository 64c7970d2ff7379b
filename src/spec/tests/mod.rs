//! Tests of the whole of `spec`, by subject.

mod books;
mod edges;
mod hostile;
mod random;

use super::*;
use crate::place::Place;
use crate::problem::{Problem, Span};

/// A file that was read, with what is needed to look at it.
struct Sheet {
    sources: Sources,
    outcome: Outcome,
}

fn sheet(text: impl AsRef<[u8]>) -> Sheet {
    let mut sources = Sources::new();
    let outcome = read("rig.yaml", text.as_ref(), &mut sources);
    Sheet { sources, outcome }
}

impl Sheet {
    fn tree(&self) -> &Tree {
        self.outcome.documents[0].tree.as_ref().unwrap_or_else(|| panic!("{:?}", self.outcome))
    }

    fn json(&self) -> serde_json::Value {
        self.tree().to_json(self.tree().root())
    }

    fn found(&self, place: &str) -> Found {
        self.tree().find(&Place::from(place)).unwrap_or_else(|| panic!("nothing at {place}"))
    }

    fn text(&self, span: Span) -> &str {
        self.sources.slice(span).unwrap()
    }

    fn problems(&self) -> Vec<&Problem> {
        self.outcome.all_problems().collect()
    }

    /// The only problem there is.
    fn problem(&self) -> &Problem {
        let problems = self.problems();
        assert_eq!(problems.len(), 1, "{problems:?}");
        problems[0]
    }
}

/// The one problem of a text: what it says, the bytes it marks, the fix.
fn said(text: &str) -> (String, String, String) {
    let sheet = sheet(text);
    let problem = sheet.problem();
    (problem.says.clone(), sheet.text(problem.span).to_owned(), problem.fix.clone().unwrap_or_default())
}

/// Every span of the tree slices its source, and every plain scalar's span holds its text when it is on one line.
fn check_spans(tree: &Tree, sources: &Sources) {
    let slice = |span: Span| sources.slice(span).unwrap_or_else(|| panic!("{span:?} is not in its file"));
    for at in 0..tree.len() {
        let node = tree.node(NodeId(at as u32));
        let written = slice(node.span);
        match &node.kind {
            Kind::Scalar(scalar) if scalar.plain && !written.contains(['\n', '\r']) && !written.starts_with('*') => {
                assert_eq!(written, &*scalar.text);
            }
            Kind::Scalar(_) => {}
            Kind::List(items) => items.iter().for_each(|item| assert!(slice(item.at).len() <= written.len())),
            Kind::Map(map) => {
                for entry in map {
                    assert!(!slice(entry.key_span).is_empty(), "{:?} has no bytes", entry.key);
                    slice(entry.value.at);
                    assert_eq!(map.get(&entry.key), Some(entry));
                    if entry.value.via == Via::Own {
                        let inside = |span: Span| {
                            span.file == node.span.file && node.span.start <= span.start && span.end <= node.span.end
                        };
                        assert!(inside(entry.key_span), "key {:?} outside its mapping", entry.key);
                        assert!(inside(entry.value.at), "value of {:?} outside its mapping", entry.key);
                    }
                }
            }
        }
        assert!(!written.ends_with(['\n', '\r']) || matches!(&node.kind, Kind::Scalar(s) if !s.plain), "{written:?}");
    }
}
