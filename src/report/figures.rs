//! The figures alone, for people.

use super::clean::{clean, sentence};
use super::paint::{Paint, Style, Tone};
use crate::punchlist::{FactLine, FigureLine, PunchList};
use crate::spec::Sources;

/// The figures of a rig, chapter by chapter: name, value with its range and unit. With `working`, how each is worked out
/// and the facts it came from, with their lines. The circuits stand below, as tables.
pub fn figures_text(list: &PunchList, sources: &Sources, style: &Style, working: bool) -> String {
    let paint = Paint::new(style);
    let mut out = String::new();
    paint.indented(&mut out, 0, Tone::Strong, &super::sections::title(list));
    if list.figures.is_empty() {
        out.push_str("No figure can be worked out from what is stated.\n");
        return out;
    }
    let names: Vec<String> = list.figures.iter().map(name).collect();
    let longest = names.iter().map(|name| textwrap::core::display_width(name)).max().unwrap_or(0);
    let column = 2 + longest.min(paint.width / 2) + 2;
    let mut chapter = None;
    for (figure, name) in list.figures.iter().zip(&names) {
        if chapter != Some(&figure.chapter) {
            out.push('\n');
            paint.indented(&mut out, 0, Tone::Strong, &clean(&figure.chapter));
            chapter = Some(&figure.chapter);
        }
        let shown = if figure.ends.is_none() { "not known".to_owned() } else { clean(&figure.shown) };
        paint.after(&mut out, (2, name), Tone::Plain, column, &shown);
        if working {
            chain(&mut out, figure, sources, &paint);
        }
    }
    for circuit in &list.circuits {
        out.push('\n');
        super::circuits::circuit_text(&mut out, circuit, list.system, &paint);
    }
    out
}

/// The id without its chapter, which stands above.
fn name(figure: &FigureLine) -> String {
    let short = figure.id.strip_prefix(figure.chapter.as_str()).and_then(|rest| rest.strip_prefix('.'));
    clean(short.unwrap_or(&figure.id))
}

fn chain(out: &mut String, figure: &FigureLine, sources: &Sources, paint: &Paint) {
    if !figure.help.is_empty() {
        paint.indented(out, 6, Tone::Plain, &sentence(&figure.help));
    }
    paint.indented(out, 6, Tone::Plain, &format!("{} Source: {}.", sentence(&figure.method), clean(&figure.source)));
    for fact in &figure.from {
        paint.indented(out, 6, Tone::Plain, &format!("from {}", told(fact, sources)));
    }
}

/// `capacity 225 gal (parts.water.capacity, specs/a.yaml:31)`.
fn told(fact: &FactLine, sources: &Sources) -> String {
    let line = fact.span.and_then(|span| {
        let file = sources.get(span.file)?;
        Some(format!(", {}:{}", clean(&file.name), file.position(span.start).line))
    });
    format!("{} ({}{})", clean(&fact.shown), clean(&fact.place.to_string()), line.unwrap_or_default())
}
