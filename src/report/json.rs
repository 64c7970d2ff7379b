//! The inspection for machines, as `schema/inspection.schema.json` lays it down.
//!
//! Nothing here depends on a clock, on the machine or on the order of a hash: the same lists give the same bytes.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::clean::acts;
use crate::measure::steady;
use crate::problem::{Problem, Span};
use crate::punchlist::{FigureLine, Item, NotStated, PunchList, Tally, Trouble};
use crate::spec::Sources;
use crate::workings::Sheet;

/// Rises when a reader of an older edition would be misled.
const EDITION: u32 = 1;

/// Several lists as one value, each with the files it points into.
pub fn json(lists: &[(&PunchList, &Sources)]) -> Value {
    let mut total = Tally::default();
    for (list, _) in lists {
        total.danger += list.tally.danger;
        total.warning += list.tally.warning;
        total.caution += list.tally.caution;
        total.notice += list.tally.notice;
        total.cannot_say += list.tally.cannot_say;
        total.carried += list.tally.carried;
        total.variance += list.tally.variance;
    }
    json!({
        "edition": EDITION,
        "specs": lists.iter().map(|(list, sources)| spec(list, sources)).collect::<Vec<_>>(),
        "tally": tally(total),
    })
}

/// The figures of one list: an array of the same objects as in [`json`].
pub fn figures_json(list: &PunchList) -> Value {
    Value::Array(list.figures.iter().map(figure).collect())
}

/// What people look at rather than read, as data: name, units and points of each curve.
pub fn curves_json(sheet: &Sheet) -> Vec<Value> {
    let point = |(x, y): &(f64, f64)| json!([steady(*x), steady(*y)]);
    sheet
        .curves
        .iter()
        .map(|curve| {
            json!({
                "id": curve.id,
                "subject": sheet.at(curve.subject).name,
                "x": curve.x,
                "y": curve.y,
                "points": curve.points.iter().map(point).collect::<Vec<_>>(),
            })
        })
        .collect()
}

/// A value as text with a line break at its end. What would act on a terminal is written as a `\u` escape, which leaves
/// the value as it is.
pub fn json_text(value: &Value) -> String {
    let mut out = String::new();
    for c in format!("{value:#}\n").chars() {
        // Outside strings there is no such character but the line breaks of the layout.
        if acts(c) && c != '\n' {
            for unit in c.encode_utf16(&mut [0; 2]) {
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(c);
        }
    }
    out
}

fn spec(list: &PunchList, sources: &Sources) -> Value {
    json!({
        "file": list.file,
        "document": list.document,
        "name": list.name,
        "problems": list.problems.iter().map(|it| problem(it, sources)).collect::<Vec<_>>(),
        "items": list.items.iter().map(|it| item(it, list, sources)).collect::<Vec<_>>(),
        "figures": figures_json(list),
        "circuits": list.circuits.iter().map(|it| super::circuits::circuit_json(it, list.system)).collect::<Vec<_>>(),
        "not-stated": list.not_stated.iter().map(not_stated).collect::<Vec<_>>(),
        "troubles": list.troubles.iter().map(trouble).collect::<Vec<_>>(),
        "rules-run": list.rules_run,
        "tally": tally(list.tally),
    })
}

fn tally(tally: Tally) -> Value {
    json!({
        "danger": tally.danger,
        "warning": tally.warning,
        "caution": tally.caution,
        "notice": tally.notice,
        "cannot-say": tally.cannot_say,
        "carried": tally.carried,
        "variance": tally.variance,
    })
}

fn label(place: &str, span: Span, says: &str, sources: &Sources) -> Option<Value> {
    let file = sources.get(span.file)?;
    let (start, end) = (file.position(span.start), file.position(span.end.max(span.start)));
    Some(json!({
        "place": place,
        "file": file.name,
        "line": start.line,
        "column": start.column,
        "end-line": end.line,
        "end-column": end.column,
        "says": says,
    }))
}

fn problem(problem: &Problem, sources: &Sources) -> Value {
    let place = problem.place.as_str();
    let spots =
        std::iter::once((problem.span, &problem.label)).chain(problem.also.iter().map(|(span, says)| (*span, says)));
    json!({
        "place": place,
        "says": problem.says,
        "labels": spots.filter_map(|(span, says)| label(place, span, says, sources)).collect::<Vec<_>>(),
        "fix": problem.fix,
    })
}

fn item(item: &Item, list: &PunchList, sources: &Sources) -> Value {
    let labels = item.labels.iter().filter_map(|it| label(it.place.as_str(), it.span, &it.says, sources));
    let under = item.under.iter().map(|it| json!({ "rule": it.rule, "place": it.place.as_str(), "says": it.says }));
    json!({
        "rule": item.rule,
        "chapter": item.chapter,
        "signal": item.signal.word(),
        "verdict": item.verdict.word(),
        "place": item.place.as_str(),
        "title": item.title,
        "says": item.says,
        "why": item.why,
        "source": item.source,
        "caution": item.caution,
        "labels": labels.collect::<Vec<_>>(),
        "figures": item.figures.iter().filter_map(|at| list.figures.get(*at)).map(|figure| figure.id.as_str()).collect::<Vec<_>>(),
        "settle": item.settle.iter().map(|place| place.as_str()).collect::<Vec<_>>(),
        "remedy": item.remedy.as_ref().map(|says| json!({ "says": says, "edits": [] })),
        "under": under.collect::<Vec<_>>(),
        "variance": item.variance.as_ref().map(|it| json!({
            "reason": it.reason, "approved": it.approved, "until": it.until,
        })),
        "carried": item.carried,
        "identity": item.identity,
    })
}

fn figure(figure: &FigureLine) -> Value {
    json!({
        "id": figure.id,
        "low": figure.ends.map(|(low, _)| steady(low)),
        "high": figure.ends.map(|(_, high)| steady(high)),
        "unit": figure.unit,
        "help": figure.help,
        "working": figure.method,
        "source": figure.source,
        "from": figure.from.iter().map(|fact| fact.place.as_str()).collect::<Vec<_>>(),
    })
}

fn not_stated(fact: &NotStated) -> Value {
    json!({
        "place": fact.place.as_str(),
        "low": fact.ends.map(|(low, _)| steady(low)),
        "high": fact.ends.map(|(_, high)| steady(high)),
        "unit": fact.unit,
        "ask": fact.ask,
        "find": fact.find,
        "signal": fact.signal.map(|signal| signal.word()),
        "touches": fact.touches,
    })
}

fn trouble(trouble: &Trouble) -> Value {
    let source = crate::spec::Source::new(trouble.file.as_str(), trouble.text.clone());
    let at = trouble.at.map(|(start, _)| source.position(u32::try_from(start).unwrap_or(u32::MAX)));
    json!({
        "rule": trouble.rule,
        "says": trouble.says,
        "file": trouble.file,
        "line": at.map(|at| at.line),
        "column": at.map(|at| at.column),
    })
}
