//! The report in plain sentences, for screen readers, logs and pipes.
//!
//! One sentence a line, the signal word first, no drawing characters, nothing that depends on a width. All that is written
//! here is ASCII; only what a spec, a rulebook or a file name says may be otherwise.

use miette::{Diagnostic, LabeledSpan};

use super::clean::{clean, sentence};
use super::diagnostic::{Shown, SourceMap};
use super::excerpt::Mark;
use super::sections::{STANDING_CAUTION, Sections, closing, figure_words, title, unsaid_figures};
use crate::problem::Span;
use crate::punchlist::{Item, PunchList};
use crate::spec::Sources;

/// Longer quotations are cut.
const QUOTED: usize = 60;

/// The punch list in plain sentences. Ends in a line break.
pub fn plain(list: &PunchList, sources: &Sources, caution: bool) -> String {
    let map = SourceMap::new(sources);
    let sections = Sections::of(list);
    let mut lines = vec![format!("{}.", title(list))];
    for problem in &list.problems {
        let shown = Shown::problem(problem, &map);
        lines.push(format!("Problem: {}", sentence(&problem.says)));
        marks(&mut lines, &shown);
        lines.extend(problem.fix.as_deref().map(|fix| format!("Do: {}", sentence(fix))));
    }
    if list.problems.is_empty() {
        for item in &sections.mend {
            mend(&mut lines, item, list, &map);
        }
        open(&mut lines, &sections);
        for item in &sections.carried {
            lines.push(format!("{}, carried from the earlier list: {}", word(item), sentence(&item.says)));
            lines.push(rule(item));
        }
        for item in &sections.granted {
            lines.push(format!("{}, accepted by variance: {}", word(item), sentence(&item.says)));
            lines.push(rule(item));
            if let Some(granted) = &item.variance {
                lines.push(format!("Reason: {}", sentence(&granted.reason)));
                let until = granted.until.as_deref().map_or_else(String::new, |day| format!(", until {}", clean(day)));
                lines.push(format!("Approved by {}{until}.", clean(&granted.approved)));
            }
        }
    }
    for trouble in &list.troubles {
        lines.push(format!("Rule {} could not be run: {}", clean(&trouble.rule), sentence(&trouble.says)));
        let mut script = Sources::new();
        if let (Some((start, end)), Some(file)) = (trouble.at, script.add(&trouble.file, trouble.text.clone())) {
            let byte = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
            let map = SourceMap::new(&script);
            let span = Span { file, start: byte(start), end: byte(end) };
            marks(&mut lines, &Shown::sentence("", Some((span, "it stopped here")), &map));
        }
    }
    lines.push(closing(list, sections.questions.len()));
    if caution && list.problems.is_empty() {
        lines.push(STANDING_CAUTION.to_owned());
    }
    lines.join("\n") + "\n"
}

fn word(item: &Item) -> String {
    let word = item.signal.word();
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn rule(item: &Item) -> String {
    format!("Rule {}, at {}.", clean(&item.rule), clean(&item.place.to_string()))
}

fn mend(lines: &mut Vec<String>, item: &Item, list: &PunchList, map: &SourceMap<'_>) {
    lines.push(format!("{}: {}", word(item), sentence(&item.says)));
    lines.push(rule(item));
    marks(lines, &Shown::item(item, map));
    if !item.why.is_empty() {
        lines.push(format!("What follows: {}", sentence(&item.why)));
    }
    lines.extend(item.under.iter().map(|under| format!("And so: {}", sentence(&under.says))));
    lines.extend(
        unsaid_figures(item, list).map(|figure| format!("Figure: {} {}.", figure_words(figure), clean(&figure.shown))),
    );
    lines.extend(item.remedy.as_deref().map(|remedy| format!("Do: {}", sentence(remedy))));
    lines.push(format!("Source: {}", sentence(&item.source)));
    lines.extend(item.caution.as_deref().map(|caution| format!("Take care: {}", sentence(caution))));
}

fn open(lines: &mut Vec<String>, sections: &Sections<'_>) {
    for question in &sections.questions {
        lines.push(format!("Can't say yet: {}", question.ask()));
        lines.push(format!("{} is {}.", clean(&question.fact.place.to_string()), question.taken()));
        lines.push(format!("It would decide {}.", question.settles()));
        lines.extend(question.fact.find.as_deref().map(|find| format!("To find out: {}", sentence(find))));
    }
    for item in &sections.open {
        lines.push(format!("Can't say yet, {}: {}", item.signal, sentence(&item.says)));
        lines.push(rule(item));
    }
}

/// One sentence a label: `In specs/a.yaml, line 9, "4500 lb": May weigh this much.`
fn marks(lines: &mut Vec<String>, shown: &Shown<'_>) {
    let (Some(source), Some(labels)) = (shown.source_code(), shown.labels()) else { return };
    let labels: Vec<LabeledSpan> = labels.collect();
    for label in &labels {
        let Some(mark) = Mark::find(source, label) else {
            lines.extend(label.label().map(sentence));
            continue;
        };
        let end = if mark.last_line > mark.line { format!(" to {}", mark.last_line) } else { String::new() };
        let text = clean(mark.marked());
        let mut quoted: String = text.chars().take(QUOTED).collect();
        if quoted.len() < text.len() {
            quoted.push_str("...");
        }
        let quoted = if quoted.is_empty() { String::new() } else { format!(", \"{quoted}\"") };
        let says = if mark.says.is_empty() { ".".to_owned() } else { format!(": {}", sentence(&mark.says)) };
        lines.push(format!("In {}, line {}{end}{quoted}{says}", clean(&mark.file), mark.line));
    }
}
