//! `rigproof rulebook`.

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::{Args, Subcommand};

use super::{print, status};
use crate::inspection::Inspector;
use crate::rulebook::Rulebook;
use crate::rulebook::script::Fault;
use crate::spec::Source;
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
        // A folder is proved without the standard rules, which may be the very ones being mended.
        if let Command::Prove { rules: Some(folder), only } = &self.command {
            return prove_folder(folder, only);
        }
        let inspector = Inspector::standard().map_err(|faults| excerpts(&faults))?;
        match self.command {
            Command::List => list(&inspector.rulebook),
            Command::Show { rule } => show(&inspector, &rule),
            Command::Prove { only, .. } => prove(&inspector, &Rulebook::standard_files(), &trial::demo_shop, &only),
        }
    }
}

/// Columns of a rule's page.
const PAGE: usize = 100;
/// Columns before the words of a page's row.
const HANG: usize = 18;

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
    text += &format!("\n{} rules. `rigproof rulebook show <rule>` prints the page of one.\n", rulebook.rules.len());
    print(&text).map(|()| status::CLEAR)
}

fn show(inspector: &Inspector, id: &str) -> Result<u8, String> {
    let rulebook = &inspector.rulebook;
    let Some(rule) = rulebook.rules.iter().find(|rule| rule.card.id == id) else {
        let hint = crate::spec::nearest(id, rulebook.rules.iter().map(|rule| rule.card.id.as_str()));
        return Err(format!(
            "there is no rule `{id}`{}",
            hint.map_or(String::new(), |near| format!("; did you mean `{near}`?"))
        ));
    };
    let card = &rule.card;
    let trials =
        Rulebook::standard_files().into_iter().find(|(path, _)| *path == rule.file.replace(".rhai", ".trials.yaml"));
    let mut text = format!("{}: {}\n", card.signal.word().to_uppercase(), card.title);
    text += &format!("Rule {} of the chapter {}. It looks at each {}.\n\n", card.id, card.chapter, card.each);
    let mut row = |head: &str, says: &str| {
        let hang = " ".repeat(HANG);
        let options = textwrap::Options::new(PAGE).initial_indent(&hang).subsequent_indent(&hang);
        let wrapped = textwrap::fill(says, options);
        text += &format!("{head:<HANG$}{}\n", wrapped.trim_start());
    };
    row("What follows", &card.reason);
    if !card.notes.is_empty() {
        row("How it is judged", &card.notes);
    }
    for (name, limit) in &card.limits {
        row("Limit", &format!("{}: {limit}", name.replace('_', " ")));
    }
    row("Source", &card.source);
    if let Some(caution) = &card.caution {
        row("Caution", caution);
    }
    if !card.under.is_empty() {
        row("Goes under", &format!("the items of {}, when both break", card.under.join(", ")));
    }
    text += &format!("\nThe script, rules/{}:\n{}", rule.file, rule.text);
    if let Some((path, trials)) = trials {
        text += &format!("\nIts trials, rules/{path}:\n{trials}");
        for (trial, difference) in trial::changes(inspector, trials, &trial::demo_shop) {
            text += &format!("\nWhat changes in the trial of {trial}:\n{difference}");
        }
    }
    print(&text).map(|()| status::CLEAR)
}

fn prove_folder(folder: &Path, only: &[String]) -> Result<u8, String> {
    let files = super::specs::read_rules(folder)?;
    let files: Vec<(&str, &str)> = files.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect();
    let rulebook = Rulebook::from_files(&files).map_err(|faults| excerpts(&faults))?;
    let inspector = Inspector::new(rulebook);
    let specs = folder.parent().unwrap_or(folder).join("specs");
    prove(&inspector, &files, &|path| std::fs::read(specs.join(path)).ok().or_else(|| trial::demo_shop(path)), only)
}

fn prove(
    inspector: &Inspector,
    files: &[(&str, &str)],
    specs: trial::Specs<'_>,
    only: &[String],
) -> Result<u8, String> {
    let mut outcomes = trial::prove(inspector, files, specs);
    outcomes.retain(|outcome| only.is_empty() || only.iter().any(|word| outcome.rule.contains(word.as_str())));
    outcomes.sort_by(|one, other| one.rule.cmp(&other.rule));
    let mut text = String::new();
    for outcome in &outcomes {
        let Some(amiss) = &outcome.amiss else { continue };
        let trial = if outcome.trial.is_empty() { String::new() } else { format!("{}: ", outcome.trial) };
        text += &format!("{}: {trial}{amiss}\n", outcome.rule);
    }
    let rules: HashSet<&str> = outcomes.iter().map(|outcome| outcome.rule.as_str()).collect();
    let trials = outcomes.iter().filter(|outcome| outcome.expect.is_some());
    let held = trials.clone().filter(|outcome| outcome.amiss.is_none()).count();
    let (trials, owed) = (trials.count(), outcomes.iter().filter(|outcome| outcome.expect.is_none()).count());
    if outcomes.is_empty() {
        return Err(format!("no rule's id holds {}", only.join(" or ")));
    }
    let owing = if owed == 0 { String::new() } else { format!("; {owed} things beside the trials are amiss") };
    text += &format!("{} rules, {trials} trials: {held} hold, {} do not{owing}\n", rules.len(), trials - held);
    let clear = outcomes.iter().all(|outcome| outcome.amiss.is_none());
    print(&text).map(|()| if clear { status::CLEAR } else { status::HOLD })
}

/// Faults of rules, each with its line and a mark below what is wrong.
fn excerpts(faults: &[Fault]) -> String {
    let each = faults.iter().map(|fault| {
        let Some((start, end)) = fault.at else { return format!("{}: {}", fault.file, fault.says) };
        let source = Source::new(fault.file.as_str(), Arc::clone(&fault.text));
        let at = source.position(u32::try_from(start).unwrap_or(u32::MAX));
        // A tab is shown as one blank, so that the mark stands below its word.
        let line = source.line(at.line).unwrap_or_default().replace('\t', " ");
        let marked = fault.text.get(start..end).map_or(1, |text| text.chars().count().max(1));
        let (number, below) = (at.line.to_string(), " ".repeat(at.column - 1));
        let gutter = " ".repeat(number.len());
        let place = format!("{}:{number}:{}", fault.file, at.column);
        format!("{place}: {}\n  {number} | {line}\n  {gutter} | {below}{}", fault.says, "^".repeat(marked))
    });
    each.collect::<Vec<_>>().join("\n")
}
