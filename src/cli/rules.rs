//! `rigproof rulebook`.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};

use super::{print, status};
use crate::inspection::Inspector;
use crate::rulebook::Rulebook;
use crate::trial;

#[derive(Debug, Args)]
pub(super) struct RulebookCommand {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// List the rules, chapter by chapter.
    List,
    /// Print the page of one rule.
    Show {
        /// The rule.
        rule: String,
    },
    /// Run every rule against its own trials.
    Prove {
        /// A folder of rules to prove in place of the standard rulebook; a folder `specs` beside it holds what trials start from.
        #[arg(long)]
        rules: Option<PathBuf>,
        /// Only rules whose id holds one of these words, separated by commas.
        #[arg(long, value_delimiter = ',')]
        only: Vec<String>,
    },
}

impl RulebookCommand {
    pub(super) fn run(self) -> Result<u8, String> {
        let inspector = Inspector::standard().map_err(|faults| super::faults_text(&faults))?;
        match self.command {
            Command::List => list(&inspector.rulebook),
            Command::Show { rule } => show(&inspector.rulebook, &rule),
            Command::Prove { rules: None, only } => prove(&inspector, &Rulebook::standard_files(), &trial::demo_shop, &only),
            Command::Prove { rules: Some(folder), only } => prove_folder(&folder, &only),
        }
    }
}

fn list(rulebook: &Rulebook) -> Result<u8, String> {
    let widest = rulebook.rules.iter().map(|rule| rule.card.id.len()).max().unwrap_or(0);
    let mut text = String::new();
    let mut chapter = "";
    for rule in &rulebook.rules {
        let card = &rule.card;
        if card.chapter != chapter {
            chapter = &card.chapter;
            text += &format!("{}{chapter}\n", if text.is_empty() { "" } else { "\n" });
        }
        text += &format!("  {:<8} {:<widest$}  {}\n", card.signal.word(), card.id, card.title);
    }
    text += &format!("\n{} rules\n", rulebook.rules.len());
    print(&text).map(|()| status::CLEAR)
}

fn show(rulebook: &Rulebook, id: &str) -> Result<u8, String> {
    let Some(rule) = rulebook.rules.iter().find(|rule| rule.card.id == id) else {
        let hint = crate::spec::nearest(id, rulebook.rules.iter().map(|rule| rule.card.id.as_str()));
        return Err(format!("there is no rule `{id}`{}", hint.map_or(String::new(), |near| format!("; did you mean `{near}`?"))));
    };
    let card = &rule.card;
    let trials = Rulebook::standard_files().into_iter().find(|(path, _)| *path == rule.file.replace(".rhai", ".trials.yaml"));
    let mut text = format!("{}: {}\n{} of the chapter {}; looks at each {}\n\n", card.signal.word().to_uppercase(), card.title, card.id, card.chapter, card.each);
    text += &format!("What follows: {}\n", card.reason);
    if !card.notes.is_empty() {
        text += &format!("How it is judged: {}\n", card.notes);
    }
    for (name, limit) in &card.limits {
        text += &format!("Limit {name}: {limit}\n");
    }
    text += &format!("Source: {}\n", card.source);
    if let Some(caution) = &card.caution {
        text += &format!("Caution: {caution}\n");
    }
    text += &format!("\nThe script, rules/{}:\n{}", rule.file, rule.text);
    if let Some((path, trials)) = trials {
        text += &format!("\nIts trials, rules/{path}:\n{trials}");
    }
    print(&text).map(|()| status::CLEAR)
}

fn prove_folder(folder: &Path, only: &[String]) -> Result<u8, String> {
    let files = super::specs::read_rules(folder)?;
    let files: Vec<(&str, &str)> = files.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect();
    let rulebook = Rulebook::from_files(&files).map_err(|faults| super::faults_text(&faults))?;
    let inspector = Inspector::new(rulebook);
    let specs = folder.parent().unwrap_or(folder).join("specs");
    prove(&inspector, &files, &|path| std::fs::read(specs.join(path)).ok().or_else(|| trial::demo_shop(path)), only)
}

fn prove(inspector: &Inspector, files: &[(&str, &str)], specs: trial::Specs<'_>, only: &[String]) -> Result<u8, String> {
    let mut outcomes = trial::prove(inspector, files, specs);
    outcomes.retain(|outcome| only.is_empty() || only.iter().any(|word| outcome.rule.contains(word.as_str())));
    let amiss: Vec<_> = outcomes.iter().filter(|outcome| outcome.amiss.is_some()).collect();
    let mut text = String::new();
    for outcome in &amiss {
        text += &format!("{}: {}: {}\n", outcome.rule, outcome.trial, outcome.amiss.as_deref().unwrap_or_default());
    }
    let mut rules: Vec<&str> = outcomes.iter().map(|outcome| outcome.rule.as_str()).collect();
    rules.dedup();
    text += &format!("{} trials of {} rules: {} hold, {} do not\n", outcomes.len(), rules.len(), outcomes.len() - amiss.len(), amiss.len());
    print(&text).map(|()| if amiss.is_empty() { status::CLEAR } else { status::HOLD })
}
