//! Rules as read and as run.
//!
//! In: rule scripts, and a rig with its figures. Out: [`card::Finding`]s. Nothing here knows a file's bytes other than a script's
//! own, a colour or an output format.

pub mod card;
mod checks;
pub mod host;
mod quantity;
mod reading;
pub mod sandbox;
pub mod script;
mod verdict;
mod words;

#[cfg(test)]
mod tests;

use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;
use rhai::Engine;

use card::{Finding, RuleCard};
use host::Scene;
use script::{Fault, Rule};

use crate::rig::allow::Assumptions;
use crate::workings::SubjectId;

/// The standard rulebook, as embedded.
static STANDARD: include_dir::Dir<'_> = include_dir::include_dir!("$CARGO_MANIFEST_DIR/rules");

/// Rules and tables, ready to run. Shared by every thread.
#[derive(Debug)]
pub struct Rulebook {
    /// The rules, by chapter and id.
    pub rules: Vec<Rule>,
    /// What is allowed for where a spec says nothing.
    pub assumptions: Assumptions,
    engine: Engine,
    /// The rules are proved: each is first asked whether it is met, and run in full only if it is not. A rule that is not
    /// proved is always run in full, so that every mistake in it shows.
    proved: bool,
}

/// What running the rules on one rig gave.
#[derive(Debug, Default)]
pub struct Findings {
    /// What the rules found.
    pub found: Vec<Finding>,
    /// Rules that could not be run: by number, and why.
    pub faults: Vec<(usize, Fault)>,
    /// How many rules looked at something.
    pub ran: usize,
}

impl Rulebook {
    /// The rulebook that ships inside the program.
    ///
    /// # Errors
    /// Every fault of every rule; the tests rule that out for the rules that ship.
    pub fn standard() -> Result<Self, Vec<Fault>> {
        Ok(Self { proved: true, ..Self::from_files(&Self::standard_files())? })
    }

    /// A rulebook from files: `(path relative to the rulebook, text)`. `assumptions.yaml` at its top bounds what specs leave out;
    /// every `.rhai` file is a rule of the chapter its folder names.
    ///
    /// # Errors
    /// Every fault of every file.
    pub fn from_files(files: &[(&str, &str)]) -> Result<Self, Vec<Fault>> {
        let engine = script::engine();
        let mut sorted: Vec<&(&str, &str)> = files.iter().collect();
        sorted.sort();
        let scripts: Vec<(&str, &str, &str)> = sorted
            .iter()
            .filter_map(|(path, text)| path.rsplit_once('/').map(|(chapter, _)| (chapter, *path, *text)))
            .filter(|(_, path, _)| path.ends_with(".rhai"))
            .collect();
        // The table and the scripts are read side by side: reading them is most of what a start costs.
        let table = sorted.iter().find(|(path, _)| *path == "assumptions.yaml");
        let (table, read): (_, Vec<Result<Rule, Vec<Fault>>>) = rayon::join(
            || table.map(|(path, text)| (*path, *text, Assumptions::read(text))),
            || scripts.par_iter().map(|(chapter, path, text)| Rule::read(&engine, chapter, path, text)).collect(),
        );
        let fault = |path: &str, text: &str, says| Fault { file: path.to_owned(), text: text.into(), says, at: None };
        let mut faults = Vec::new();
        let mut assumptions = Assumptions::default();
        match table {
            Some((_, _, Ok(read))) => assumptions = read,
            Some((path, text, Err(mistakes))) => {
                faults.extend(mistakes.into_iter().map(|says| fault(path, text, says)));
            }
            None => {}
        }
        let mut rules: Vec<Rule> = Vec::with_capacity(read.len());
        for ((_, path, text), read) in scripts.iter().zip(read) {
            match read {
                Ok(rule) => match rules.iter().find(|known| known.card.id == rule.card.id) {
                    Some(known) => {
                        let says = format!("the rule `{}` is in {} already", rule.card.id, known.file);
                        faults.push(fault(path, text, says));
                    }
                    None => rules.push(rule),
                },
                Err(found) => faults.extend(found),
            }
        }
        if faults.is_empty() { Ok(Self { rules, assumptions, engine, proved: false }) } else { Err(faults) }
    }

    /// The card of a rule.
    pub fn card(&self, number: usize) -> &RuleCard {
        &self.rules[number].card
    }

    /// Runs every rule on every subject it looks at.
    pub fn run(&self, scene: &Arc<Scene>) -> Findings {
        let mut findings = Findings::default();
        let mut kinds: HashMap<&str, Vec<SubjectId>> = HashMap::new();
        for (id, subject) in (0..).map(SubjectId).zip(&scene.sheet.subjects) {
            kinds.entry(subject.kind).or_default().push(id);
            if subject.kind != "part" && scene.is(id, "part") {
                kinds.entry("part").or_default().push(id);
            }
        }
        for (number, rule) in self.rules.iter().enumerate() {
            let subjects = kinds.get(rule.card.each.as_str()).map_or(&[][..], |subjects| subjects);
            self.run_on(scene, number, subjects, self.proved, &mut findings);
        }
        findings
    }

    /// Runs one rule in full on every subject it looks at.
    pub fn run_one(&self, scene: &Arc<Scene>, number: usize, findings: &mut Findings) {
        let each = &self.rules[number].card.each;
        let count = u32::try_from(scene.sheet.subjects.len()).unwrap_or(u32::MAX);
        let subjects: Vec<SubjectId> = (0..count).map(SubjectId).filter(|subject| scene.is(*subject, each)).collect();
        self.run_on(scene, number, &subjects, false, findings);
    }

    /// A rule that fails on one subject is not run on the others.
    fn run_on(&self, scene: &Arc<Scene>, number: usize, subjects: &[SubjectId], proved: bool, findings: &mut Findings) {
        let rule = &self.rules[number];
        for subject in subjects {
            if proved && rule.is_met(&self.engine, scene, *subject) {
                continue;
            }
            match rule.run(&self.engine, scene, number, *subject) {
                Ok(found) => findings.found.extend(found),
                Err(fault) => {
                    findings.faults.push((number, fault));
                    break;
                }
            }
        }
        findings.ran += usize::from(!subjects.is_empty());
    }

    /// The files of the standard rulebook: path and text.
    pub fn standard_files() -> Vec<(&'static str, &'static str)> {
        let mut files = Vec::new();
        collect(&STANDARD, &mut files);
        files.sort_unstable();
        files
    }
}

fn collect<'a>(folder: &'a include_dir::Dir<'a>, files: &mut Vec<(&'a str, &'a str)>) {
    for file in folder.files() {
        if let (Some(path), Some(text)) = (file.path().to_str(), file.contents_utf8()) {
            files.push((path, text));
        }
    }
    for inner in folder.dirs() {
        collect(inner, files);
    }
}
