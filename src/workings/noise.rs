//! Noise: how loud an engine is at the ear of whoever works with it, and for how long that may be.
//!
//! A level measured at the ear always comes before these. See [`crate::figures::noise`].

use super::air::{Hold, in_box, machines, runs};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::noise::{
    Criterion, NIOSH, OSHA, OSHA_LIMIT_THRESHOLD, Room, allowed_time, distance_for_level, dose, open_field_level,
    room_level,
};
use crate::measure::{Measure, Range};
use crate::rig::Rig;

/// Distance of somebody inside the box from the engine, m (common practice, no source).
const INSIDE: f64 = 1.0;
/// Absorption of hard walls, and of an open door (common practice, no source).
const HARD: f64 = 0.1;
/// Engine on a floor.
const ON_FLOOR: f64 = 2.0;
/// Level that NIOSH recommends for eight hours, dBA.
const RECOMMENDED: f64 = 85.0;

const FIELD: &str = "open field over hard ground, Lw − 10 log(2πr²); in a box the room formula of classical acoustics";
const ALLOWED: &str = "29 CFR 1910.95 Table G-16 and Appendix A; NIOSH publication 98-126";

const fn figure(
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
    source: &'static str,
) -> Card {
    Card { of: "loud-engine", name, gives: Gives::Figure(measure), help, method, source }
}

/// What this discipline computes.
#[rustfmt::skip]
pub const CARDS: &[Card] = &[
    Card { of: "loud-engine", name: "machine", gives: Gives::Subject("part"), help: "The machine it drives", method: "", source: "" },
    Card { of: "loud-engine", name: "stands-words", gives: Gives::Note, help: "Where the person stands", method: "", source: "" },
    figure("sound-power", Measure::Sound, "Sound power of the engine", "as stated", "ISO 3744 family"),
    figure("ear-level", Measure::Sound, "Level at the ear of whoever works with it", "inside at 1 m, else at a quarter of the hose run to all of it", FIELD),
    figure("hours", Measure::Duration, "Time it runs in a day", "sum over its modes", "sum"),
    figure("osha-hours", Measure::Duration, "Time OSHA allows at that level", "8 h ÷ 2^((L − 90) ÷ 5)", ALLOWED),
    figure("niosh-hours", Measure::Duration, "Time NIOSH advises at that level", "8 h ÷ 2^((L − 85) ÷ 3)", ALLOWED),
    figure("osha-dose", Measure::Ratio, "Share of OSHA's daily limit; levels below 90 dBA do not count", "time ÷ time allowed", ALLOWED),
    figure("niosh-dose", Measure::Ratio, "Share of NIOSH's daily limit", "time ÷ time advised", ALLOWED),
    figure("distance-85", Measure::Length, "Distance in the open at which it falls to 85 dBA", "10^((Lw − 85) ÷ 20) ÷ √(2π)", FIELD),
    figure("box-adds", Measure::Sound, "Level at 1 m that the walls add for somebody inside", "level in the box − level in the open", FIELD),
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let hold = Hold::of(rig);
    for machine in machines(rig) {
        let place = rig.entry(machine.part.entry).place.clone();
        let subject = sheet.subject("loud-engine", machine.name.to_owned(), place);
        sheet.link(subject, row(CARDS, "loud-engine", "machine"), SubjectId(machine.part.entry.0));
        let modes: Vec<_> = rig.spec.modes.iter().filter(|mode| runs(rig, &mode.item, machine.name)).collect();
        // Without modes it still runs; how long, nobody says.
        let unsaid = Input { range: Range::new(1800.0, 6.0 * 3600.0), facts: Vec::new() };
        let hours = modes.iter().fold(Input::fixed(0.0), |sum, mode| {
            corners([&sum, &Input::fact(rig, mode.item.per_day)], |[sum, time]| Some(sum + time))
        });
        let hours = if rig.spec.modes.is_empty() { unsaid } else { hours };
        let power = Input::fact(rig, machine.engine.sound_power);
        let enclosed = in_box(rig, &machine.part.common).range.is_some_and(|range| range.low >= 1.0);
        let inside = enclosed && modes.iter().any(|mode| rig.flag(mode.item.person_inside) == Some(true));
        let doors = doors_area(rig);
        let [length, width, height] = hold.sides.each_ref();
        let in_room = corners([&power, length, width, height, &doors], |[power, length, width, height, doors]| {
            level_inside(power, [length, width, height], doors)
        });
        let in_open = corners([&power], |[power]| open_field_level(power, INSIDE));
        let (ear, words) = if inside {
            (in_room.clone(), "inside the box".to_owned())
        } else {
            let away = distance(rig, machine.name);
            let level = corners([&power, &away], |[power, away]| open_field_level(power, away.max(INSIDE)));
            (level, "at the gun".to_owned())
        };
        let adds = if enclosed {
            corners([&in_room, &in_open], |[inside, open]| Some(inside - open))
        } else {
            Input::fixed(0.0)
        };
        let adds = Bounded {
            range: adds.range.and_then(|range| Range::new(range.low.max(0.0), range.high.max(0.0))),
            facts: adds.facts,
        };
        let share = |criterion: &'static Criterion, from: f64| {
            corners([&ear, &hours], |[level, time]| Some(dose(&[(level, time)], criterion, from)))
        };
        let (osha, niosh) = (share(&OSHA, OSHA_LIMIT_THRESHOLD), share(&NIOSH, 0.0));
        let allowed = |criterion: &'static Criterion| corners([&ear], |[level]| Some(allowed_time(level, criterion)));
        let figures = [
            ("osha-hours", allowed(&OSHA)),
            ("niosh-hours", allowed(&NIOSH)),
            ("osha-dose", osha),
            ("niosh-dose", niosh),
            ("distance-85", corners([&power], |[power]| Some(distance_for_level(power, RECOMMENDED)))),
            ("box-adds", if inside { adds } else { Input::fixed(0.0) }),
            ("hours", hours.clone()),
            ("ear-level", ear.clone()),
            ("sound-power", power.clone()),
        ];
        for (name, value) in figures {
            sheet.enter(subject, row(CARDS, "loud-engine", name), value);
        }
        sheet.note(subject, row(CARDS, "loud-engine", "stands-words"), words);
    }
}

/// Level at 1 m inside: hard walls, an open doorway that lets everything out.
fn level_inside(power: f64, [length, width, height]: [f64; 3], doors: f64) -> Option<f64> {
    let surface = 2.0 * (length * width + length * height + width * height);
    let open = doors.min(surface);
    let absorption = (HARD * (surface - open) + open) / surface;
    room_level(&Room { power, distance: INSIDE, surface, absorption, directivity: ON_FLOOR })
}

/// Area of the largest door, open while the engine runs.
fn doors_area(rig: &Rig) -> Input {
    let doors = rig.spec.trailer.iter().flat_map(|trailer| &trailer.doors);
    let areas = doors.map(|door| {
        corners([&Input::fact(rig, door.item.width), &Input::fact(rig, door.item.height)], |[width, height]| {
            Some(width * height)
        })
    });
    areas
        .filter(|area| area.range.is_some())
        .max_by(|a, b| a.range.map_or(0.0, |range| range.high).total_cmp(&b.range.map_or(0.0, |range| range.high)))
        .unwrap_or_else(|| Input::fixed(0.0))
}

/// How far the person with the gun stands off: a quarter of the shortest hose run up to all of it.
fn distance(rig: &Rig, name: &str) -> Input {
    let runs = rig.spec.duties.iter().filter(|duty| rig.reference(duty.with).is_some_and(|(part, _)| part == name));
    let mut shortest: Option<Input> = None;
    for duty in runs {
        let run = Input::fact(rig, duty.hose_run);
        let low = |input: &Input| input.range.map_or(f64::INFINITY, |range| range.low);
        if shortest.as_ref().is_none_or(|kept| low(&run) < low(kept)) {
            shortest = Some(run);
        }
    }
    let share = Input { range: Range::new(0.25, 1.0), facts: Vec::new() };
    match shortest {
        Some(run) if run.range.is_some() => corners([&run, &share], |[run, share]| Some(run * share)),
        _ => Input { range: Range::new(1.0, 30.0), facts: Vec::new() },
    }
}
