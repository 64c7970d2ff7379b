//! Kit and markings: what a working rig carries to put out, wash off, soak up, hold still and be seen.
//!
//! A kit list that says `eyewash: no` is the positive word that there is none; a part that is not listed only asks.

use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Input, corners};
use crate::figures::handling::{EYEWASH_FLOW, EYEWASH_TIME, eyewash_lasts, eyewash_volume, tray_volume};
use crate::measure::{Measure, Range, show};
use crate::rig::parts::{Contents, Kind};
use crate::rig::{Flag, Rig};

const fn figure(
    of: &'static str,
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
    source: &'static str,
) -> Card {
    Card { of, name, gives: Gives::Figure(measure), help, method, source }
}

const Z358: &str = "ANSI/ISEA Z358.1";
const LAMPS: &str = "49 CFR 571.108 Tables I-a and I-b";
/// Overall width from which clearance and identification lamps are asked for, m: 80 in.
const WIDE: f64 = 80.0 * 0.0254;
/// What a tank says that needs no tray.
const NO_TRAY_NEEDED: &str = "needs no tray";
/// The lamps that every trailer has.
const EVERY: [&str; 6] = ["tail", "stop", "turn", "side-markers", "reflectors", "plate"];
/// The lamps that a wide one has beside them.
const WIDE_ONES: [&str; 2] = ["clearance", "identification"];

/// What this discipline computes.
#[rustfmt::skip]
pub const CARDS: &[Card] = &[
    figure("kit", "fuel-aboard", Measure::Count, "Engines, cans and tanks with fuel", "count", "count"),
    figure("kit", "chemicals-aboard", Measure::Count, "Tanks and jugs with chemicals or fuel", "count of all that hold anything but water", "count"),
    figure("kit", "bleach-aboard", Measure::Count, "Tanks and jugs with hypochlorite, acid or caustic", "count", "29 CFR 1910.151(c): corrosive materials"),
    figure("kit", "engines-inside", Measure::Count, "Engines in a closed box; between where nobody says", "count", "count"),
    figure("kit", "extinguishers", Measure::Count, "1 where an extinguisher is listed, 0 where the kit says there is none, between where nobody says", "by parts and kit", "count"),
    figure("kit", "extinguisher-rating", Measure::Count, "Largest class B rating listed", "greatest", "49 CFR 393.95(a)"),
    figure("kit", "eyewashes", Measure::Count, "1 where an eyewash is listed, 0 where the kit says there is none, between where nobody says", "by parts and kit", "count"),
    figure("kit", "spill-kits", Measure::Count, "1 where a spill kit is listed, 0 where the kit says there is none, between where nobody says", "by parts and kit", "count"),
    figure("kit", "co-alarms", Measure::Count, "1 where a carbon monoxide alarm is listed, 0 where the kit says there is none, between where nobody says", "by parts and kit", "count"),
    figure("eyewash", "flush-lasts", Measure::Duration, "Time its water lasts at 0.4 gpm", "volume ÷ flow", Z358),
    figure("eyewash", "flush-needed", Measure::Volume, "Water that 15 minutes at 0.4 gpm take", "flow × time", Z358),
    figure("tank", "tray-needed", Measure::Volume, "Tray that holds the largest tank in it and a tenth", "1.10 × capacity", "common practice, no source"),
    figure("tank", "tray-holds", Measure::Volume, "What the tray under it holds; nought where the kit says there is none", "as stated", "as stated"),
    Card { of: "tank", name: "tray-words", gives: Gives::Note, help: "The tray under it, in words", method: "", source: "as stated" },
    figure("trailer", "lamps-missing", Measure::Count, "Lamps that its width asks for and its list lacks", "count", LAMPS),
    Card { of: "trailer", name: "lamps-words", gives: Gives::Note, help: "Those lamps", method: "", source: LAMPS },
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    kit(rig, sheet);
    for (_, part) in rig.parts() {
        if let Kind::Eyewash(eyewash) = &part.kind {
            let lasts = corners([&Input::fact(rig, eyewash.capacity)], |[volume]| eyewash_lasts(volume, EYEWASH_FLOW));
            let subject = SubjectId(part.entry.0);
            sheet.enter(subject, row(CARDS, "eyewash", "flush-lasts"), lasts);
            let needed = Input::fixed(eyewash_volume(EYEWASH_FLOW, EYEWASH_TIME));
            sheet.enter(subject, row(CARDS, "eyewash", "flush-needed"), needed);
        }
    }
    trays(rig, sheet);
    lamps(rig, sheet);
}

fn kit(rig: &Rig, sheet: &mut Sheet) {
    let kit = &rig.spec.kit;
    let subject = SubjectId(kit.entry.0);
    let holds = |wanted: fn(&str) -> bool| {
        let count = rig.parts().filter(|(_, part)| {
            let holds: &Contents = match &part.kind {
                Kind::Tank(tank) => &tank.holds,
                Kind::Container(can) => &can.holds,
                _ => return false,
            };
            rig.word(holds.fluid).is_some_and(wanted)
        });
        count.count() as f64
    };
    let machines = super::air::machines(rig);
    let inside = machines.iter().fold(Input::fixed(0.0), |sum, machine| {
        corners([&sum, &super::air::in_box(rig, &machine.part.common), &machine.burns], |[sum, here, burns]| {
            Some(sum + here * burns)
        })
    });
    let engines = machines.iter().filter(|it| it.burns.range.is_some_and(|range| range.low >= 1.0)).count();
    let fuel = holds(|fluid| matches!(fluid, "gasoline" | "diesel")) + engines as f64;
    let listed = |wanted: fn(&Kind) -> bool, said: Flag| {
        if rig.parts().any(|(_, part)| wanted(&part.kind)) {
            return Input::fixed(1.0);
        }
        match rig.flag(said) {
            Some(yes) => Input::fixed(f64::from(u8::from(yes))).leaning([said.id]),
            None => Input { range: Range::new(0.0, 1.0), facts: vec![(said.id, 1.0)] },
        }
    };
    let rating = rig.parts().filter_map(|(_, part)| match &part.kind {
        Kind::Extinguisher(it) => Some(Input::fact(rig, it.b_rating)),
        _ => None,
    });
    let greatest = rating.reduce(|one, other| corners([&one, &other], |[one, other]| Some(one.max(other))));
    let co_alarm = rig.parts().any(|(_, part)| match &part.kind {
        Kind::Alarm(alarm) => rig.word(alarm.warns_of) == Some("carbon-monoxide"),
        _ => false,
    });
    let co_alarms = if co_alarm { Input::fixed(1.0) } else { listed(|_| false, kit.co_alarm) };
    let figures = [
        ("fuel-aboard", Input::fixed(fuel)),
        ("engines-inside", inside),
        ("chemicals-aboard", Input::fixed(holds(|fluid| !matches!(fluid, "water" | "empty")))),
        ("bleach-aboard", Input::fixed(holds(|fluid| matches!(fluid, "hypochlorite" | "mix" | "acid" | "caustic")))),
        ("extinguishers", listed(|kind| matches!(kind, Kind::Extinguisher(_)), kit.extinguisher)),
        (
            "extinguisher-rating",
            greatest.unwrap_or_else(|| Input { range: None, facts: vec![(kit.extinguisher.id, f64::INFINITY)] }),
        ),
        ("eyewashes", listed(|kind| matches!(kind, Kind::Eyewash(_)), kit.eyewash)),
        ("spill-kits", listed(|kind| matches!(kind, Kind::SpillKit(_)), kit.spill_kit)),
        ("co-alarms", co_alarms),
    ];
    for (name, value) in figures {
        sheet.enter(subject, row(CARDS, "kit", name), value);
    }
}

/// The tray under each tank. A tank that no tray names asks; the kit's word that there is none settles it.
fn trays(rig: &Rig, sheet: &mut Sheet) {
    let said = rig.spec.kit.tray;
    for (name, part, tank) in rig.tanks() {
        let under = rig.parts().find_map(|(_, other)| match &other.kind {
            Kind::Tray(tray)
                if tray.under.iter().any(|it| rig.reference(*it).is_some_and(|(part, _)| part == name)) =>
            {
                Some(tray)
            }
            _ => None,
        });
        let capacity = Input::fact(rig, tank.capacity);
        let holds = match (under, rig.flag(said)) {
            (Some(tray), _) => Input::fact(rig, tray.capacity),
            (None, Some(false)) => Input::fixed(0.0).leaning([said.id]),
            (None, _) => Input { range: None, facts: vec![(said.id, f64::INFINITY)] },
        };
        if rig.word(tank.holds.fluid).is_some_and(|fluid| !matches!(fluid, "hypochlorite" | "acid" | "caustic")) {
            sheet.note(SubjectId(part.entry.0), row(CARDS, "tank", "tray-words"), NO_TRAY_NEEDED.to_owned());
            continue;
        }
        let words = match (under, holds.range) {
            (Some(_), Some(range)) => {
                format!("its tray holds {}", show(range.low, range.high, Measure::Volume, rig.system()))
            }
            (Some(_), None) => "what its tray holds is not stated".to_owned(),
            (None, _) => "no tray stands under it".to_owned(),
        };
        let subject = SubjectId(part.entry.0);
        sheet.enter(
            subject,
            row(CARDS, "tank", "tray-needed"),
            corners([&capacity], |[capacity]| Some(tray_volume(capacity))),
        );
        sheet.enter(subject, row(CARDS, "tank", "tray-holds"), holds);
        sheet.note(subject, row(CARDS, "tank", "tray-words"), words);
    }
}

/// Lamps that the width asks for and the list lacks; a list that is not written says nothing.
fn lamps(rig: &Rig, sheet: &mut Sheet) {
    let Some(trailer) = &rig.spec.trailer else { return };
    let subject = SubjectId(trailer.entry.0);
    let fitted: Vec<&str> = trailer.lamps.fitted.iter().filter_map(|word| rig.word(*word)).collect();
    let lacks = |lamp: &&str| !fitted.contains(lamp);
    let missing: Vec<&str> = EVERY.into_iter().filter(lacks).collect();
    let wide: Vec<&str> = WIDE_ONES.into_iter().filter(lacks).collect();
    let width = Input::fact(rig, trailer.overall_width);
    let (value, mut words) = if fitted.is_empty() {
        // The list itself is no fact; the width stands for it, since both are read off the trailer's tail.
        (
            Input { range: None, facts: width.facts.iter().map(|(fact, _)| (*fact, f64::INFINITY)).collect() },
            missing.clone(),
        )
    } else {
        let count = corners([&width], |[width]| {
            Some(missing.len() as f64 + if width >= WIDE { wide.len() as f64 } else { 0.0 })
        });
        (count, missing.clone())
    };
    if width.range.is_some_and(|range| range.low >= WIDE) {
        words.extend(wide);
    }
    let words = if words.is_empty() { "none".to_owned() } else { words.join(", ") };
    sheet.enter(subject, row(CARDS, "trailer", "lamps-missing"), value);
    sheet.note(subject, row(CARDS, "trailer", "lamps-words"), words);
}
