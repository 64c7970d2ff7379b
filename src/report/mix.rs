//! The mix sheet for people: what to pour, what to set, what the rig reaches, how it fades.

use super::clean::clean;
use super::paint::{Paint, Style, Tone};
use crate::measure::{Measure, Range, System, show};
use crate::workings::mixing::{MixRow, MixSheet, PumpFlow};

/// Sizes of batch that are printed, m³: 5, 25, 50 and 100 US gallons, or 20, 100, 200 and 400 litres.
const BATCHES: [[f64; 4]; 2] = [[0.018_927_06, 0.094_635_3, 0.189_270_6, 0.378_541_2], [0.02, 0.1, 0.2, 0.4]];

/// The caution under every mix sheet.
const CAUTION: &str = "Bleach into the water, never the water into the bleach; never near acid, ammonia or another cleaner: the gas kills. Goggles, face shield, gloves. Test the mix and a small spot first; the label and data sheet of your product go first.";

/// The sheet of a rig.
pub fn mix(name: &str, sheets: &[MixSheet], pumps: &[PumpFlow], system: System, style: &Style) -> String {
    let paint = Paint::new(style);
    let mut out = String::new();
    paint.indented(&mut out, 0, Tone::Strong, &format!("Mix sheet: {}", clean(name)));
    if sheets.is_empty() {
        paint.indented(&mut out, 0, Tone::Plain, "No tank or jug of bleach is on the spec.");
        return out;
    }
    for sheet in sheets {
        out.push('\n');
        of_holder(&mut out, sheet, pumps, system, &paint);
    }
    out.push('\n');
    paint.indented(&mut out, 0, Tone::Plain, CAUTION);
    out
}

/// Available chlorine as trade percent.
fn trade(range: Range) -> String {
    let (low, high) = (format!("{:.1}", range.low / 10.0), format!("{:.1}", range.high / 10.0));
    if low == high { format!("{low} %") } else { format!("{low} to {high} %") }
}

fn amount(range: Range, scale: f64, measure: Measure, system: System) -> String {
    show(range.low * scale, range.high * scale, measure, system)
}

fn of_holder(out: &mut String, sheet: &MixSheet, pumps: &[PumpFlow], system: System, paint: &Paint) {
    paint.indented(out, 0, Tone::Strong, &clean(&sheet.holder));
    let Some(now) = sheet.now else {
        let ask = if sheet.open.is_empty() { "its strength and age".to_owned() } else { sheet.open.join(", ") };
        paint.indented(out, 2, Tone::Plain, &clean(&format!("How strong it is can't be said. State {ask}.")));
        return;
    };
    let delivered = sheet.delivered.map_or_else(|| "not known".to_owned(), trade);
    paint.indented(out, 2, Tone::Plain, &format!("Delivered at {delivered} trade, by now {} trade.", trade(now)));
    if sheet.basis_open {
        paint.indented(
            out,
            2,
            Tone::Plain,
            "The label does not say what its percent is of, so every reading of it is in these figures.",
        );
    }
    if !sheet.open.is_empty() && !now.is_point() {
        paint.indented(out, 2, Tone::Plain, &clean(&format!("Closer with: {}.", sheet.open.join(", "))));
    }
    let reach = format!("At the gun from 0 % with the bleach shut to {} trade with the water shut.", trade(now));
    paint.indented(out, 2, Tone::Plain, &reach);
    if sheet.rows.is_empty() {
        paint.indented(out, 2, Tone::Plain, "No job states a strength; name one with --strength '3 % trade'.");
    }
    for row in &sheet.rows {
        out.push('\n');
        of_row(out, sheet, row, pumps, system, paint);
    }
    out.push('\n');
    paint.indented(out, 2, Tone::Plain, "How it fades in this tank:");
    for (week, range) in &sheet.weeks {
        let strength = range.map_or_else(|| "not known".to_owned(), trade);
        paint.indented(out, 4, Tone::Plain, &format!("{}: {strength} trade", when(*week)));
    }
}

fn when(week: u32) -> String {
    match week {
        0 => "now".to_owned(),
        1 => "in 1 week".to_owned(),
        _ => format!("in {week} weeks"),
    }
}

fn of_row(out: &mut String, sheet: &MixSheet, row: &MixRow, pumps: &[PumpFlow], system: System, paint: &Paint) {
    let strength = trade(Range { low: row.wanted.chlorine, high: row.wanted.chlorine });
    paint.indented(out, 2, Tone::Strong, &clean(&format!("{strength} trade on the surface ({})", row.wanted.name)));
    let Some(share) = row.share else {
        let may = if sheet.now.is_some_and(|now| now.high >= row.wanted.chlorine) { "may be" } else { "is" };
        paint.indented(
            out,
            4,
            Tone::Plain,
            &format!("The bleach {may} too weak for this even neat. Test it, or take fresh."),
        );
        return;
    };
    let sizes = BATCHES[usize::from(system == System::Si)];
    for size in sizes {
        let whole = show(size, size, Measure::Volume, system);
        let rest = Range { low: 1.0 - share.high, high: 1.0 - share.low };
        let line = format!(
            "batch of {whole}: {} of bleach, {} of water and soap",
            amount(share, size, Measure::Volume, system),
            amount(rest, size, Measure::Volume, system)
        );
        paint.indented(out, 4, Tone::Plain, &line);
    }
    for pump in pumps {
        let (low, high) = (share.low * pump.flow.low, share.high * pump.flow.high);
        let line = format!(
            "meters at {}: {} of bleach out of {} at the tip; time a bucket at each branch, dial numbers are no flows",
            pump.pump,
            show(low, high, Measure::Flow, system),
            show(pump.flow.low, pump.flow.high, Measure::Flow, system)
        );
        paint.indented(out, 4, Tone::Plain, &clean(&line));
    }
    if let Some(ratio) = row.ratio {
        let (low, high) = (format!("{:.1}", ratio.low), format!("{:.1}", ratio.high));
        let ratio = if low == high { low } else { format!("{low} to {high}") };
        paint.indented(out, 4, Tone::Plain, &format!("injector: {ratio} of water to one of bleach at most"));
    }
    let later = sheet.weeks.iter().zip(&row.later).filter(|((week, _), _)| *week > 0);
    let each = later.map(|((week, _), share)| match share {
        Some(share) => format!("{} {}", when(*week), amount(*share, sizes[3], Measure::Volume, system)),
        None => format!("{} perhaps not even neat", when(*week)),
    });
    let whole = show(sizes[3], sizes[3], Measure::Volume, system);
    paint.indented(
        out,
        4,
        Tone::Plain,
        &format!("bleach for {whole} of it as it ages: {}", each.collect::<Vec<_>>().join("; ")),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workings::mixing::Wanted;

    fn sheet(now: Option<Range>) -> MixSheet {
        let share = now.map(|now| Range { low: 30.0 / now.high, high: 30.0 / now.low });
        let wanted = Wanted { name: "roof".to_owned(), chlorine: 30.0 };
        MixSheet {
            holder: "bleach".to_owned(),
            delivered: now,
            now,
            basis_open: false,
            open: vec!["parts.bleach.holds.made".to_owned()],
            rows: vec![MixRow { wanted, share, ratio: None, later: vec![share] }],
            weeks: vec![(0, now)],
        }
    }

    fn said(sheet: MixSheet) -> String {
        let pumps = [PumpFlow { pump: "roof-pump".to_owned(), flow: Range { low: 3e-4, high: 3e-4 } }];
        mix("Test rig", &[sheet], &pumps, System::Us, &Style::default())
    }

    #[test]
    fn a_batch_of_3_percent_from_12_5_trade_is_24_gallons_in_a_hundred() {
        // Balance of chlorine, by hand: 100 gal × 3 / 12.5 = 24 gal; 0.3 L/s × 0.24 = 1.14 gpm.
        let text = said(sheet(Range::point(125.0)));
        assert!(text.contains("batch of 100 gal: 24 gal of bleach, 76 gal of water and soap"), "{text}");
        assert!(text.contains("1.14 gpm of bleach"), "{text}");
        assert!(text.contains("the gas kills"), "{text}");
    }

    #[test]
    fn a_strength_that_nobody_states_is_asked_for_and_not_guessed() {
        let text = said(sheet(None));
        assert!(text.contains("can't be said. State parts.bleach.holds.made."), "{text}");
        assert!(!text.contains("batch of"), "{text}");
    }
}
