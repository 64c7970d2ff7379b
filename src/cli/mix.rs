//! `rigproof mix`.

use std::path::PathBuf;

use clap::Args;

use super::{Looks, print, specs, status};
use crate::inspection::Inspector;
use crate::report;
use crate::spec::Shelf;
use crate::workings::mixing::{Wanted, pump_flows, read_strength, sheets, wanted_by_duties};

/// What `rigproof mix` takes.
#[derive(Debug, Args)]
pub(super) struct Mix {
    /// The spec; `-` reads it from standard input.
    spec: PathBuf,
    /// A strength on the surface with its basis, such as '3 % trade'; may be given several times [default: what the jobs ask]
    #[arg(long, value_name = "STRENGTH")]
    strength: Vec<String>,
    #[command(flatten)]
    looks: Looks,
}

impl Mix {
    pub(super) fn run(self) -> Result<u8, String> {
        let asked: Vec<Wanted> = self.strength.iter().map(|text| read_strength(text)).collect::<Result<_, _>>()?;
        let inspector = Inspector::standard().map_err(|faults| super::faults_text(&faults))?;
        let path = specs::find_one(&self.spec)?;
        let inspected =
            inspector.inspect(&specs::name(&path), &specs::open(&path)?, &mut Shelf::default(), &specs::open_book);
        let mut status = status::CLEAR;
        for (list, rig) in inspected.lists.iter().zip(&inspected.rigs) {
            let Some(rig) = rig else {
                print(&report::terminal(list, &inspected.sources, &self.looks.style()))?;
                status = status::UNABLE;
                continue;
            };
            let scene = &rig.scene;
            let wanted = if asked.is_empty() { wanted_by_duties(&scene.rig) } else { asked.clone() };
            let (sheets, pumps) = (sheets(&scene.rig, &wanted), pump_flows(&scene.sheet));
            print(&report::mix(&list.name, &sheets, &pumps, scene.system, &self.looks.style()))?;
        }
        Ok(status)
    }
}
