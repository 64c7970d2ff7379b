//! One inspection, from text to punch list. Everything that inspects calls this; nothing else walks the line.

use std::sync::Arc;

use crate::problem::Problem;
use crate::punchlist::{PunchList, build};
use crate::rig::take_off;
use crate::rulebook::Rulebook;
use crate::rulebook::host::Scene;
use crate::rulebook::script::Fault;
use crate::schema;
use crate::spec::{self, Shelf, Sources, Tree};
use crate::workings;

/// Reads another file of a spec, a parts book, by its path.
pub type Open<'a> = &'a dyn Fn(&str) -> Result<Vec<u8>, String>;

/// What every inspection shares: the rules and the day.
#[derive(Debug)]
pub struct Inspector {
    /// The rules.
    pub rulebook: Rulebook,
    /// Today, as an ISO 8601 day; variances end by it.
    pub today: Option<String>,
}

/// One file, inspected: a list a spec in it.
#[derive(Debug)]
pub struct Inspected {
    /// The files that were read: the spec's and its parts books'.
    pub sources: Sources,
    /// One list for each document of the file.
    pub lists: Vec<PunchList>,
    /// The rig behind each list; `None` where the file could not be judged.
    pub rigs: Vec<Option<Judged>>,
}

/// A rig that could be judged: what drawings and sheets are made from.
#[derive(Debug)]
pub struct Judged {
    /// The tree it was read from.
    pub tree: Tree,
    /// The rig and its figures.
    pub scene: Arc<Scene>,
}

impl Inspected {
    /// Puts every figure on the lists, not only those that items use.
    pub fn with_all_figures(&mut self) {
        for (list, rig) in self.lists.iter_mut().zip(&self.rigs) {
            if let Some(rig) = rig {
                build::all_figures(list, &rig.tree, &rig.scene);
            }
        }
    }
}

impl Inspector {
    /// An inspector with a rulebook.
    pub fn new(rulebook: Rulebook) -> Self {
        Self { rulebook, today: None }
    }

    /// An inspector with the standard rulebook.
    ///
    /// # Errors
    /// The faults of the rules that ship; the tests rule them out.
    pub fn standard() -> Result<Self, Vec<Fault>> {
        // The schema compiles while the rules are read.
        let (rulebook, _) = rayon::join(Rulebook::standard, schema::validator);
        rulebook.map(Self::new)
    }

    /// Inspects the text of one file.
    pub fn inspect(&self, name: &str, bytes: &[u8], shelf: &mut Shelf, open: Open<'_>) -> Inspected {
        let mut sources = Sources::new();
        let outcome = spec::read(name, bytes, &mut sources);
        let mut lists = Vec::new();
        let mut rigs = Vec::new();
        if !outcome.problems.is_empty() || outcome.documents.is_empty() {
            lists.push(build::refused(name, 1, outcome.problems));
            rigs.push(None);
        }
        for (document, read) in (1..).zip(outcome.documents) {
            let mut problems = read.problems;
            let judged = match read.tree {
                Some(tree) => self.judge(tree, &mut sources, shelf, open, &mut problems),
                None => None,
            };
            match judged {
                Some(judged) => {
                    let findings = self.rulebook.run(&judged.scene);
                    lists.push(build::build(
                        name,
                        document,
                        &judged.tree,
                        &judged.scene,
                        &self.rulebook,
                        findings,
                        self.today.as_deref(),
                    ));
                    rigs.push(Some(judged));
                }
                None => {
                    lists.push(build::refused(name, document, problems));
                    rigs.push(None);
                }
            }
        }
        Inspected { sources, lists, rigs }
    }

    /// Everything up to the figures, for the first spec of a file. `Err` holds its problems.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn figure(
        &self,
        name: &str,
        bytes: &[u8],
        shelf: &mut Shelf,
        open: Open<'_>,
    ) -> Result<Judged, (Sources, Vec<Problem>)> {
        let mut sources = Sources::new();
        let outcome = spec::read(name, bytes, &mut sources);
        let mut problems = outcome.problems;
        let Some(read) = outcome.documents.into_iter().next() else { return Err((sources, problems)) };
        problems.extend(read.problems);
        let judged = read.tree.and_then(|tree| self.judge(tree, &mut sources, shelf, open, &mut problems));
        judged.ok_or((sources, problems))
    }

    /// Everything up to the figures. A spec with any problem is not judged.
    fn judge(
        &self,
        mut tree: Tree,
        sources: &mut Sources,
        shelf: &mut Shelf,
        open: Open<'_>,
        problems: &mut Vec<Problem>,
    ) -> Option<Judged> {
        let overlaid = spec::overlay(&mut tree, sources, shelf, open);
        let structure = schema::check(&tree);
        let (mut rig, misread) = take_off(&tree);
        for stage in [overlaid, structure, misread] {
            // What an earlier stage has said of a value is not said again in other words.
            let said: Vec<_> = problems.iter().map(|problem| (problem.span, problem.place.clone())).collect();
            problems.extend(
                stage.into_iter().filter(|problem| {
                    said.iter().all(|(span, place)| *span != problem.span || *place != problem.place)
                }),
            );
        }
        if !problems.is_empty() {
            problems.sort_by_key(|problem| problem.span);
            problems.dedup_by(|a, b| a.span == b.span && a.says == b.says);
            return None;
        }
        self.rulebook.assumptions.apply(&mut rig);
        let system = rig.system();
        let sheet = workings::work(&rig);
        Some(Judged { tree, scene: Arc::new(Scene { rig, sheet, system }) })
    }
}
