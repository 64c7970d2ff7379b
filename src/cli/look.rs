//! `rigproof weigh` and `rigproof figures`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Looks, print, specs, status};
use crate::inspection::{Inspected, Inspector, Judged};
use crate::punchlist::PunchList;
use crate::report;
use crate::spec::Shelf;

#[derive(Debug, Args)]
pub(super) struct Weigh {
    /// The spec; `-` reads it from standard input.
    spec: PathBuf,
    #[command(flatten)]
    looks: Looks,
}

#[derive(Debug, Args)]
pub(super) struct Figures {
    /// The spec; `-` reads it from standard input.
    spec: PathBuf,
    /// Show how each figure is worked out, down to the facts and their lines.
    #[arg(long)]
    working: bool,
    /// Only figures whose name holds this word.
    #[arg(long, value_name = "WORD")]
    only: Option<String>,
    /// What to print.
    #[arg(long = "as", value_name = "FORM", value_enum, default_value = "terminal")]
    form: Form,
    #[command(flatten)]
    looks: Looks,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// For a person.
    Terminal,
    /// For programs.
    Json,
}

fn inspect(path: &std::path::Path) -> Result<Inspected, String> {
    let inspector = Inspector::standard().map_err(|faults| super::faults_text(&faults))?;
    let path = specs::find_one(path)?;
    let mut inspected =
        inspector.inspect(&specs::name(&path), &specs::open(&path)?, &mut Shelf::default(), &specs::open_book);
    inspected.with_all_figures();
    Ok(inspected)
}

impl Weigh {
    pub(super) fn run(self) -> Result<u8, String> {
        let inspected = inspect(&self.spec)?;
        let mut status = status::CLEAR;
        for (list, rig) in inspected.lists.iter().zip(&inspected.rigs) {
            match rig {
                Some(rig) => print(&report::ticket(list, &rig.scene, &self.looks.style(), self.looks.plain()))?,
                None => {
                    print(&report::terminal(list, &inspected.sources, &self.looks.style()))?;
                    status = status::UNABLE;
                }
            }
        }
        Ok(status)
    }
}

impl Figures {
    /// The figures, and after them the curves, which have points in place of ends.
    fn as_json(&self, list: &PunchList, rig: &Judged) -> serde_json::Value {
        let mut figures = report::figures_json(list);
        if let Some(figures) = figures.as_array_mut() {
            let mut curves = report::curves_json(&rig.scene.sheet);
            curves.retain(|curve| match (&self.only, curve.get("id").and_then(serde_json::Value::as_str)) {
                (Some(only), Some(id)) => id.contains(only.as_str()),
                _ => true,
            });
            figures.extend(curves);
        }
        figures
    }

    pub(super) fn run(self) -> Result<u8, String> {
        let mut inspected = inspect(&self.spec)?;
        let mut status = status::CLEAR;
        for (list, rig) in inspected.lists.iter_mut().zip(&inspected.rigs) {
            let Some(rig) = rig else {
                print(&report::terminal(list, &inspected.sources, &self.looks.style()))?;
                status = status::UNABLE;
                continue;
            };
            if let Some(only) = &self.only {
                list.figures.retain(|figure| figure.id.contains(only.as_str()));
                list.circuits.retain(|circuit| format!("water.circuit:{}", circuit.name).contains(only.as_str()));
            }
            match self.form {
                Form::Json => print(&report::json_text(&self.as_json(list, rig)))?,
                Form::Terminal => {
                    print(&report::figures_text(list, &inspected.sources, &self.looks.style(), self.working))?
                }
            }
        }
        Ok(status)
    }
}
