//! Circuits as tables, from the pump to the tip.

use serde_json::{Value, json};

use super::clean::clean;
use super::paint::{Paint, Tone};
use crate::measure::{Measure, System, show, steady};
use crate::workings::water::table::{CircuitRow, CircuitTable};

/// Less is lost in the rounding of what people read, Pa: a psi.
const HEIGHT_WORTH_SAYING: f64 = 6_894.757;

const HEADS: [&str; 6] = ["", "hose", "flow", "pressure in", "loss", "speed"];

/// One circuit: a table where it fits, sentences where it does not.
pub(super) fn circuit_text(out: &mut String, table: &CircuitTable, system: System, paint: &Paint) {
    let text = |value: f64, measure| show(value, value, measure, system);
    paint.indented(out, 0, Tone::Strong, &title(table));
    let mut rows: Vec<[String; 6]> = Vec::with_capacity(table.rows.len());
    for row in &table.rows {
        let hose = row
            .bore
            .zip(row.length)
            .map(|(bore, length)| format!("{} x {}", text(bore, Measure::Length), text(length, Measure::Length)));
        let mut loss = text(row.loss, Measure::Pressure);
        if row.height.abs() >= HEIGHT_WORTH_SAYING {
            loss += &format!(", height {}", text(row.height, Measure::Pressure));
        }
        rows.push([
            clean(&row.name),
            hose.unwrap_or_default(),
            text(row.flow, Measure::Flow),
            text(row.pressure, Measure::Pressure),
            loss,
            row.speed.map(|speed| text(speed, Measure::Speed)).unwrap_or_default(),
        ]);
    }
    let mut widths = HEADS.map(str::len);
    for row in &rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(textwrap::core::display_width(cell));
        }
    }
    if widths.iter().sum::<usize>() + 2 * HEADS.len() <= paint.width {
        let mut line = |cells: [&str; 6]| {
            let mut text = String::from("  ");
            for (at, (cell, width)) in cells.iter().zip(widths).enumerate() {
                let pad = " ".repeat(width.saturating_sub(textwrap::core::display_width(cell)));
                let gap = if at == 0 { "" } else { "  " };
                text += &if at < 2 { format!("{gap}{cell}{pad}") } else { format!("{gap}{pad}{cell}") };
            }
            out.push_str(text.trim_end());
            out.push('\n');
        };
        line(HEADS);
        for row in &rows {
            line(row.each_ref().map(String::as_str));
        }
    } else {
        for [name, hose, flow, pressure, loss, speed] in &rows {
            let mut sentence = name.clone();
            if !hose.is_empty() {
                sentence += &format!(" ({hose})");
            }
            sentence += &format!(": {flow} at {pressure}, loses {loss}");
            if !speed.is_empty() {
                sentence += &format!(", runs at {speed}");
            }
            paint.indented(out, 2, Tone::Plain, &(sentence + "."));
        }
    }
    let bypass = if table.bypass > 0.0 {
        format!(
            "The pump gives {}; the unloader sends {} of it round.",
            text(table.pump_flow, Measure::Flow),
            text(table.bypass, Measure::Flow)
        )
    } else {
        format!("The pump gives {}; the unloader stays shut.", text(table.pump_flow, Measure::Flow))
    };
    paint.indented(out, 2, Tone::Plain, &bypass);
}

fn title(table: &CircuitTable) -> String {
    let modes = if table.modes.is_empty() { String::new() } else { format!(" ({})", table.modes.join(", ")) };
    clean(&format!("Circuit: {}{modes}, trigger pulled, every fact in the middle of its range", table.name))
}

/// One circuit for machines.
pub(super) fn circuit_json(table: &CircuitTable, system: System) -> Value {
    let number = |value: f64, measure: Measure| steady(measure.unit(system).from_si(value));
    let row = |row: &CircuitRow| {
        json!({
            "name": row.name,
            "kind": row.kind,
            "place": row.place.as_str(),
            "bore": row.bore.map(|bore| number(bore, Measure::Length)),
            "length": row.length.map(|length| number(length, Measure::Length)),
            "flow": number(row.flow, Measure::Flow),
            "pressure": number(row.pressure, Measure::Pressure),
            "loss": number(row.loss, Measure::Pressure),
            "height": number(row.height, Measure::Pressure),
            "speed": row.speed.map(|speed| number(speed, Measure::Speed)),
        })
    };
    json!({
        "name": table.name,
        "modes": table.modes,
        "units": {
            "flow": Measure::Flow.unit(system).symbol,
            "pressure": Measure::Pressure.unit(system).symbol,
            "length": Measure::Length.unit(system).symbol,
            "speed": Measure::Speed.unit(system).symbol,
        },
        "pump-flow": number(table.pump_flow, Measure::Flow),
        "pump-pressure": number(table.pump_pressure, Measure::Pressure),
        "bypass": number(table.bypass, Measure::Flow),
        "rows": table.rows.iter().map(row).collect::<Vec<_>>(),
    })
}
