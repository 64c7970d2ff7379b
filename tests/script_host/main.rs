//! What rule scripts may do, what they may not, and what they are told.
//!
//! A rule that can't see its input, or that compares unlike things as a quiet `false`, passes without a word; a rule that
//! runs away takes the inspection with it. Each test here holds one way to do either shut.

mod bounds;
mod cards;
mod operators;
mod properties;
mod proving;
mod verdicts;

use std::sync::Arc;

use rigproof::inspection::Inspector;
use rigproof::rulebook::Rulebook;
use rigproof::rulebook::card::Finding;
use rigproof::rulebook::host::Scene;
use rigproof::rulebook::script::{Fault, Rule, engine};
use rigproof::spec::Shelf;
use rigproof::workings::SubjectId;

/// A trailer that states its gross rating, its tires' rating and its equalizer, and leaves its cargo rating and jack out.
const SPEC: &str = "\
rigproof: 1
name: Trailer on the bench
trailer:
  body: open
  equalized: yes
  ratings: { gross: 3500 lb }
  tires: { count: 4, rating: 1800 lb to 2000 lb, pressure: 65 psi }
  overall-width: 96 in
";

/// The card that most scripts here carry. It stands on one line, so that a script starts on the next.
const CARD: &str = r#"const CARD = #{ signal: "warning", title: "T", reason: "R.", source: "S", each: "trailer", limits: #{ most: "3000 lb", gap: "24 in" } };"#;

/// The bench: the engine of the rules and one scene.
struct Bench {
    engine: rhai::Engine,
    scene: Arc<Scene>,
    trailer: SubjectId,
}

impl Bench {
    fn new() -> Self {
        let inspector = Inspector::new(Rulebook::from_files(&[]).unwrap());
        let none = |_: &str| Err("no book".to_owned());
        let judged = inspector
            .figure("bench.yaml", SPEC.as_bytes(), &mut Shelf::default(), &none)
            .map_err(|(_, problems)| problems)
            .unwrap();
        let at = judged.scene.sheet.subjects.iter().position(|subject| subject.kind == "trailer").unwrap();
        Self { engine: engine(), scene: judged.scene, trailer: SubjectId(u32::try_from(at).unwrap()) }
    }

    fn read(&self, script: &str) -> Result<Rule, Vec<Fault>> {
        Rule::read(&self.engine, "bench", "bench/on-the-bench.rhai", script)
    }

    /// Reads and runs a whole script on the trailer.
    fn run(&self, script: &str) -> Result<Vec<Finding>, Fault> {
        let rule = self.read(script).map_err(|mut faults| faults.remove(0))?;
        rule.run(&self.engine, &self.scene, 0, self.trailer)
    }

    /// Runs statements inside `inspect(thing, rig, limit)`. `flag(..)` is never reached unless they flag.
    fn body(&self, statements: &str) -> Result<Vec<Finding>, Fault> {
        self.run(&script(statements))
    }

    /// The place of a fact of the trailer's scene.
    fn place(&self, fact: rigproof::rig::FactId) -> String {
        self.scene.rig.place(fact).to_string()
    }
}

/// A script whose `inspect` holds some statements. A rule must flag somewhere, so another function does.
fn script(statements: &str) -> String {
    format!(
        "{CARD}\nfn unused(v, x) {{ v.flag(#{{ says: \"s\", at: x }}) }}\nfn inspect(thing, rig, limit) {{\n{statements}\n}}\n"
    )
}

/// The text that a fault points at.
fn pointed(fault: &Fault) -> &str {
    let (start, end) = fault.at.unwrap_or_else(|| panic!("no place: {fault:?}"));
    fault.text.get(start..end).unwrap()
}

/// Holds a fault to what it says and what it points at.
#[track_caller]
fn holds(fault: &Fault, says: &str, at: &str) {
    assert!(fault.says.contains(says), "said `{}`, not `{says}`", fault.says);
    assert_eq!(pointed(fault), at, "`{}` points at the wrong place", fault.says);
    assert_eq!(fault.file, "bench/on-the-bench.rhai");
}

/// The one fault of a script that is refused when it is read.
#[track_caller]
fn refused(bench: &Bench, script: &str) -> Fault {
    let mut faults = bench.read(script).expect_err("the script was taken");
    assert_eq!(faults.len(), 1, "{faults:#?}");
    faults.remove(0)
}
