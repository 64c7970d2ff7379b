//! The report on a terminal: a `miette` report handler of our own, and the layout around it.

use std::fmt;

use miette::{Diagnostic, LabeledSpan, ReportHandler};

use super::clean::{clean, sentence};
use super::diagnostic::{Shown, SourceMap};
use super::excerpt::{Mark, draw};
use super::paint::{Paint, Style, Tone};
use super::sections::{
    Question, STANDING_CAUTION, Sections, and, closing, counted, figure_words, title, unsaid_figures,
};
use crate::problem::Span;
use crate::punchlist::{Item, PunchList, Trouble};
use crate::rulebook::card::Signal;
use crate::spec::Sources;

/// Where the sentence beside a signal word starts.
const SENTENCE: usize = 10;
/// Where the text beside "What follows" starts.
const NOTE: usize = 16;
/// How many places of items beyond the cap are named.
const PLACES: usize = 6;

/// The punch list for a terminal. Ends in a line break.
pub fn terminal(list: &PunchList, sources: &Sources, style: &Style) -> String {
    let paint = Paint::new(style);
    let map = SourceMap::new(sources);
    let sections = Sections::of(list);
    let mut out = String::new();
    paint.indented(&mut out, 0, Tone::Strong, &title(list));
    out.push('\n');
    for problem in &list.problems {
        let head = Head::Word("PROBLEM");
        block(&mut out, style, head, Vec::new(), &Shown::problem(problem, &map));
    }
    if list.problems.is_empty() {
        items(&mut out, &sections.mend, list, &map, style);
        questions(&mut out, &sections, &paint, style);
        accepted(&mut out, &sections, &paint);
    }
    for trouble in &list.troubles {
        trouble_block(&mut out, trouble, style);
    }
    paint.indented(&mut out, 0, Tone::Strong, &closing(list, sections.questions.len()));
    if style.caution && list.problems.is_empty() {
        paint.indented(&mut out, 0, Tone::Faint, STANDING_CAUTION);
    }
    out
}

/// The word before the sentence.
#[derive(Debug, Clone, Copy)]
enum Head {
    Of(Signal),
    Word(&'static str),
}

impl Head {
    fn text(self) -> String {
        match self {
            Self::Of(signal) => format!(" {:<7} ", signal.word().to_uppercase()),
            Self::Word(word) => format!(" {word:<7} "),
        }
    }

    fn tone(self) -> Tone {
        match self {
            Self::Of(signal) => Tone::Block(signal),
            Self::Word(_) => Tone::Head,
        }
    }

    fn stroke(self) -> Tone {
        match self {
            Self::Of(signal) => Tone::Of(signal),
            Self::Word(_) => Tone::Strong,
        }
    }
}

/// Draws one diagnostic: the word and the sentence, the excerpts file by file, what to do, and the notes.
struct Handler {
    style: Style,
    head: Head,
    /// Name and text, in the order shown. An empty name continues the one before.
    notes: Vec<(&'static str, String)>,
}

impl ReportHandler for Handler {
    fn debug(&self, error: &dyn Diagnostic, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let paint = Paint::new(&self.style);
        let mut out = String::new();
        let says = sentence(&error.to_string());
        paint.after(&mut out, (0, &self.head.text()), self.head.tone(), SENTENCE, &says);
        excerpts(&mut out, error, self.head.stroke(), &paint);
        for (name, text) in &self.notes {
            paint.after(&mut out, (2, &paint.note_name(name)), Tone::Strong, NOTE, text);
        }
        f.write_str(&out)
    }
}

/// A diagnostic through its handler.
struct Drawn<'a>(&'a Handler, &'a dyn Diagnostic);

impl fmt::Display for Drawn<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.debug(self.1, f)
    }
}

fn block(out: &mut String, style: &Style, head: Head, mut notes: Vec<(&'static str, String)>, shown: &Shown<'_>) {
    if let Some(help) = shown.help() {
        // What to do stands before where the rule comes from.
        let at = notes.iter().position(|(name, _)| *name == "Source").unwrap_or(notes.len());
        notes.insert(at, ("Do", sentence(&help.to_string())));
    }
    let handler = Handler { style: style.clone(), head, notes };
    out.push_str(&Drawn(&handler, shown).to_string());
    out.push('\n');
}

fn excerpts(out: &mut String, error: &dyn Diagnostic, tone: Tone, paint: &Paint) {
    let (Some(source), Some(labels)) = (error.source_code(), error.labels()) else { return };
    let labels: Vec<LabeledSpan> = labels.collect();
    let (found, lost): (Vec<_>, Vec<_>) =
        labels.iter().map(|label| Mark::find(source, label).ok_or(label)).partition(Result::is_ok);
    let marks: Vec<Mark> = found.into_iter().filter_map(Result::ok).collect();
    let mut files: Vec<&str> = Vec::new();
    for mark in &marks {
        if !files.contains(&mark.file.as_str()) {
            files.push(&mark.file);
        }
    }
    for file in files {
        let mut of_file: Vec<&Mark> = marks.iter().filter(|mark| mark.file == file).collect();
        let heading = of_file.first().map_or_else(String::new, |mark| format!("{}:{}", clean(file), mark.line));
        out.push_str(&format!("  {}\n", paint.tone(Tone::Faint, &heading)));
        of_file.sort_by_key(|mark| mark.line);
        draw(out, &of_file, tone, paint);
    }
    // A label whose bytes are not in any file still has something to say.
    for label in lost.into_iter().filter_map(Result::err) {
        paint.indented(out, 2, Tone::Plain, &sentence(label.label().unwrap_or_default()));
    }
}

/// The items to mend, each as a block, up to the cap of its rule.
fn items(out: &mut String, mend: &[&Item], list: &PunchList, map: &SourceMap<'_>, style: &Style) {
    let paint = Paint::new(style);
    for (index, item) in mend.iter().enumerate() {
        let earlier: Vec<&Item> = mend.iter().take(index).filter(|other| other.rule == item.rule).copied().collect();
        if earlier.len() >= style.per_rule_cap {
            continue;
        }
        block(out, style, Head::Of(item.signal), notes(item, earlier.last().copied(), list), &Shown::item(item, map));
        if earlier.len() + 1 == style.per_rule_cap {
            let more: Vec<&&Item> = mend.iter().skip(index + 1).filter(|other| other.rule == item.rule).collect();
            if !more.is_empty() {
                let mut places: Vec<String> =
                    more.iter().take(PLACES).map(|other| clean(&other.place.to_string())).collect();
                if more.len() > PLACES {
                    places.push(counted(more.len() - PLACES, "other place", "other places"));
                }
                let text = format!("{} more of {}, at {}.", more.len(), clean(&item.rule), and(&places));
                paint.indented(out, SENTENCE, Tone::Plain, &text);
                out.push('\n');
            }
        }
    }
}

/// What stands below the excerpt. What the last item of the same rule said in the same words is not said again.
fn notes(item: &Item, before: Option<&Item>, list: &PunchList) -> Vec<(&'static str, String)> {
    let mut notes = Vec::new();
    if !item.why.is_empty() && before.is_none_or(|before| before.why != item.why) {
        notes.push(("What follows", sentence(&item.why)));
    }
    for (index, under) in item.under.iter().enumerate() {
        notes.push((if index == 0 { "And so" } else { "" }, sentence(&under.says)));
    }
    let figures: Vec<String> =
        unsaid_figures(item, list).map(|figure| format!("{} {}", figure_words(figure), clean(&figure.shown))).collect();
    if !figures.is_empty() {
        notes.push(("Figures", sentence(&figures.join("; "))));
    }
    let rule = format!("{} at {}", clean(&item.rule), clean(&item.place.to_string()));
    match before {
        Some(before) if before.source == item.source => notes.push(("Source", format!("as above; rule {rule}"))),
        _ => notes.push(("Source", format!("{}; rule {rule}", clean(&item.source)))),
    }
    if let Some(caution) = &item.caution
        && before.is_none_or(|before| before.caution != item.caution)
    {
        notes.push(("Take care", sentence(caution)));
    }
    notes
}

fn questions(out: &mut String, sections: &Sections<'_>, paint: &Paint, style: &Style) {
    let waiting = sections.open.len();
    if sections.questions.is_empty() && waiting == 0 {
        return;
    }
    heading(out, paint, "Can't say yet");
    let mut left = 0;
    for (index, question) in sections.questions.iter().enumerate() {
        if index >= style.question_cap && question.signal != Signal::Danger {
            left += 1;
            continue;
        }
        ask(out, question, paint);
    }
    if left > 0 {
        let text = format!("{} more would settle less.", counted(left, "question", "questions"));
        paint.indented(out, 2, Tone::Plain, &text);
    }
    for item in &sections.open {
        line(out, item, paint);
    }
    out.push('\n');
}

fn ask(out: &mut String, question: &Question<'_>, paint: &Paint) {
    paint.indented(out, 2, Tone::Strong, &question.ask());
    let place = clean(&question.fact.place.to_string());
    paint.indented(out, 6, Tone::Faint, &format!("{place}: {}", question.taken()));
    paint.indented(out, 6, Tone::Plain, &format!("Would decide {}.", question.settles()));
    if let Some(find) = &question.fact.find {
        paint.indented(out, 6, Tone::Plain, &format!("To find out: {}", sentence(find)));
    }
}

fn accepted(out: &mut String, sections: &Sections<'_>, paint: &Paint) {
    if !sections.carried.is_empty() {
        heading(out, paint, "Carried from the earlier list");
        sections.carried.iter().for_each(|item| line(out, item, paint));
        out.push('\n');
    }
    if !sections.granted.is_empty() {
        heading(out, paint, "Accepted by variance");
        for item in &sections.granted {
            line(out, item, paint);
            if let Some(granted) = &item.variance {
                let until = granted.until.as_deref().map_or_else(String::new, |day| format!(", until {}", clean(day)));
                let text = format!("{} Approved by {}{until}.", sentence(&granted.reason), clean(&granted.approved));
                paint.indented(out, 12, Tone::Plain, &text);
            }
        }
        out.push('\n');
    }
}

fn heading(out: &mut String, paint: &Paint, text: &str) {
    paint.indented(out, 0, Tone::Strong, text);
}

/// An item on a line of its own.
fn line(out: &mut String, item: &Item, paint: &Paint) {
    let place = clean(&item.place.to_string());
    let text = format!("{} ({}, {place})", sentence(&item.says), clean(&item.rule));
    paint.after(out, (2, &item.signal.word().to_uppercase()), Tone::Of(item.signal), SENTENCE + 2, &text);
}

fn trouble_block(out: &mut String, trouble: &Trouble, style: &Style) {
    let mut sources = Sources::new();
    let file = sources.add(&trouble.file, trouble.text.clone()).unwrap_or_default();
    let span = trouble.at.map(|(start, end)| Span {
        file,
        start: u32::try_from(start).unwrap_or(u32::MAX),
        end: u32::try_from(end).unwrap_or(u32::MAX),
    });
    let map = SourceMap::new(&sources);
    let says = format!("The rule {} could not be run: {}", trouble.rule, trouble.says);
    let shown = Shown::sentence(&says, span.map(|span| (span, "it stopped here")), &map);
    block(
        out,
        style,
        Head::Word("RULE"),
        vec![("So", "It says nothing about this rig. The other rules were run.".to_owned())],
        &shown,
    );
}
