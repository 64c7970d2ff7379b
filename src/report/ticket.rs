//! The weight ticket: gross, axles, tongue and sides in every fill state.

use super::paint::Style;
use crate::bounds::Bounded;
use crate::measure::{Measure, System, show};
use crate::punchlist::PunchList;
use crate::rig::Carrier;
use crate::rulebook::host::Scene;
use crate::workings::{Sheet, SubjectId};

/// The ticket of a rig; `plain` writes sentences instead of a table.
pub fn ticket(list: &PunchList, scene: &Scene, style: &Style, plain: bool) -> String {
    let trailer = scene.rig.carrier() == Carrier::Trailer;
    let heads = if trailer {
        ["fill", "gross", "axles", "tongue", "share", "curb side", "road side"]
    } else {
        ["fill", "gross", "rear axle", "front axle", "front share", "rear, curb", "rear, road"]
    };
    let mut rows: Vec<[String; 7]> = Vec::new();
    for state in &scene.sheet.ticket {
        let mass = |value: &Bounded| shown(value, Measure::Mass, scene.system);
        rows.push([
            super::clean::clean(&state.name),
            mass(&state.gross),
            mass(&state.axles),
            mass(&state.front),
            shown(&state.share, Measure::Ratio, scene.system),
            mass(&state.curb),
            mass(&state.road),
        ]);
    }
    let mut text = format!("Weight ticket: {}\n\n", super::clean::clean(&list.name));
    if plain || !fits(&rows, &heads, style.width) {
        for row in &rows {
            text += &format!("{}:", row[0]);
            for (head, cell) in heads.iter().zip(row).skip(1) {
                text += &format!(" {head} {cell};");
            }
            text.pop();
            text += ".\n";
        }
    } else {
        text += &table(&rows, &heads);
    }
    text.push('\n');
    for (name, says) in summary(scene, trailer) {
        text += &format!("{name}: {says}\n");
    }
    text += "\nEstimated from the stated facts. Weigh the finished rig, full and empty.\n";
    text
}

fn shown(value: &Bounded, measure: Measure, system: System) -> String {
    value.range.map_or_else(|| "not known".to_owned(), |range| show(range.low, range.high, measure, system))
}

fn widths(rows: &[[String; 7]], heads: &[&str; 7]) -> [usize; 7] {
    let mut widths = heads.map(str::len);
    for row in rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(textwrap::core::display_width(cell));
        }
    }
    widths
}

fn fits(rows: &[[String; 7]], heads: &[&str; 7], width: usize) -> bool {
    widths(rows, heads).iter().sum::<usize>() + 12 <= width
}

fn table(rows: &[[String; 7]], heads: &[&str; 7]) -> String {
    let widths = widths(rows, heads);
    let line = |cells: &[&str]| {
        let mut text = String::new();
        for (at, (cell, width)) in cells.iter().zip(widths).enumerate() {
            let pad = " ".repeat(width.saturating_sub(textwrap::core::display_width(cell)));
            text += &if at == 0 { format!("{cell}{pad}") } else { format!("  {pad}{cell}") };
        }
        text.trim_end().to_owned() + "\n"
    };
    let mut text = line(heads);
    for row in rows {
        text += &line(&row.each_ref().map(String::as_str));
    }
    text
}

/// The lines under the table: the ratings, and what the worst corners leave.
fn summary(scene: &Scene, trailer: bool) -> Vec<(&'static str, String)> {
    let rig = &scene.rig;
    let sheet: &Sheet = &scene.sheet;
    let mut lines = Vec::new();
    let mut figure = |name: &'static str, subject: SubjectId, key: &'static str| {
        if let Some(figure) = sheet.value(subject, key)
            && let crate::workings::Gives::Figure(measure) = figure.card.gives
        {
            lines.push((name, shown(&figure.value, measure, scene.system)));
        }
    };
    if let (true, Some(spec)) = (trailer, &rig.spec.trailer) {
        let subject = SubjectId(spec.entry.0);
        figure("One axle at most", subject, "axle-heaviest");
        figure("One tire at most", subject, "tire-heaviest");
        figure("Tongue share over every fill, least", subject, "ratio-lightest");
        figure("Tongue share over every fill, most", subject, "ratio-heaviest");
        figure("Sides differ at most by", subject, "side-uneven");
        figure("Water the gross rating allows, other tanks full", subject, "water-allowed");
        figure("Neutral line for 12.5 %, from the nose", subject, "neutral-line");
        figure("Tongue gains when braking at half a g", subject, "brake-tongue-gain");
        let rating = crate::bounds::Input::fact(rig, spec.ratings.gross);
        lines.insert(0, ("Gross rating", shown(&rating, Measure::Mass, scene.system)));
    } else if let Some(spec) = &rig.spec.vehicle {
        let subject = SubjectId(spec.entry.0);
        figure("Front share over every fill, least", subject, "bed-front-share");
        figure("Load in and on the truck", subject, "bed-load");
        for (name, rating) in [
            ("Rear axle rating", spec.rear_axle.rating),
            ("Front axle rating", spec.front_axle.rating),
            ("Gross rating", spec.gross_rating),
        ] {
            let rating = crate::bounds::Input::fact(rig, rating);
            lines.insert(0, (name, shown(&rating, Measure::Mass, scene.system)));
        }
    }
    lines
}
