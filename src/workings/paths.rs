//! Where fluids can get: bleach into the pressure pump and the water, chemicals into the customer's tap, acid onto bleach.
//!
//! In each mode the plumbing is a graph ([`map`]); the failures it takes until a fluid is in a cell are counted by
//! [`crate::figures::paths`]. What is not stated is read both ways, so that a count is a range.

pub mod map;

use map::{Fluid, Map};

use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input};
use crate::figures::paths::wetting::{FluidSet, ModeWetting, meeting, mode_that_parts, shortest_meeting_word};
use crate::figures::paths::{Doubt, Driver, Element, Faults, Node, Reach, State, Witness};
use crate::measure::{Measure, Range};
use crate::rig::Rig;
use crate::rig::parts::{AnyPart, Kind};

const COUNT: &str =
    "least failures over every way and mode; a check valve or a shut valve holds one, two checks of unlike types two";
const JUDGEMENT: &str = "cross-connection practice; the counts are judgement, no source";

const fn figure(of: &'static str, name: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Figure(Measure::Count), help, method: COUNT, source: JUDGEMENT }
}

const fn note(of: &'static str, name: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Note, help, method: "", source: "" }
}

const fn link(of: &'static str, name: &'static str, kind: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Subject(kind), help, method: "", source: "" }
}

/// Bleach on its way to a pressure washer's pump.
const TO_PUMP: &str = "bleach-to-pump";
/// Bleach on its way to a water tank.
const TO_WATER: &str = "bleach-to-water";
/// Whatever is carried on its way to the customer's tap.
const TO_TAP: &str = "carried-to-tap";
/// Acid and bleach.
const MEETING: &str = "acid-and-bleach";
/// A three-way valve in mid-turn.
const TURN: &str = "three-way-valve";
/// Bleach shut in between two valves.
const TRAP: &str = "bleach-shut-in";

/// A count that stands for no number of failures: parted by construction.
pub const NEVER: f64 = 9.0;

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    link(TO_PUMP, "target", "part", "The washer"),
    figure(TO_PUMP, "failures", "Failures until bleach is in the pump; 9 where it is parted by construction"),
    note(TO_PUMP, "way", "The way it takes, element by element"),
    note(TO_PUMP, "stands", "What stands in the way"),
    note(TO_PUMP, "in-mode", "The mode"),
    link(TO_WATER, "target", "part", "The water tank"),
    figure(
        TO_WATER,
        "failures",
        "Failures until bleach is in the tank; 9 where it is parted by construction; batching with the draw tube aside",
    ),
    note(TO_WATER, "way", "The way it takes, element by element"),
    note(TO_WATER, "stands", "What stands in the way"),
    note(TO_WATER, "in-mode", "The mode"),
    link(TO_TAP, "target", "part", "The customer's tap"),
    figure(TO_TAP, "failures", "Failures until it is in the customer's water; 9 where it is parted by construction"),
    note(TO_TAP, "carried", "The harshest that is carried: bleach and the like, or soap"),
    note(TO_TAP, "way", "The way it takes, element by element"),
    note(TO_TAP, "stands", "What stands in the way"),
    note(TO_TAP, "in-mode", "The mode"),
    link(MEETING, "target", "part", "The acid tank"),
    figure(
        MEETING,
        "failures",
        "Failures until acid and bleach are in one place in one mode; 9 where they are parted by construction",
    ),
    figure(
        MEETING,
        "in-turn",
        "1 where acid follows bleach into one place without a rinse, 0 where it can't, between where nobody says",
    ),
    note(MEETING, "way", "The ways they take, element by element"),
    note(MEETING, "stands", "What stands in the way"),
    note(MEETING, "in-mode", "The mode"),
    note(MEETING, "meets-at", "The place"),
    note(MEETING, "turn-words", "The modes, one after another, at whose end they meet"),
    note(MEETING, "turn-at", "The place where they meet in turn"),
    note(MEETING, "turn-rinse", "The mode that keeps them apart when it comes between, or what to add"),
    link(TURN, "valve", "part", "The valve"),
    figure(
        TURN,
        "failures",
        "Failures, while it turns, until bleach is in the water or the tap, or acid on bleach; 9 where nothing lets it",
    ),
    note(TURN, "way", "The way, element by element"),
    link(TRAP, "valve", "part", "The valve behind which it stands"),
    figure(TRAP, "trapped", "1 where bleach stands between two shut valves, 0 where not, between where nobody says"),
    note(TRAP, "where", "Where"),
    note(TRAP, "in-mode", "The mode"),
];

/// Reaches of one set of fluids, mode by mode, with doubts let through and held.
struct Spread {
    let_through: Vec<Reach>,
    held: Vec<Reach>,
}

impl Spread {
    fn of(map: &Map<'_>, sources: &[Node]) -> Self {
        let reach = |doubt| {
            map.settings.iter().map(|setting| map.piping.reach(sources, setting, Driver::Either, doubt)).collect()
        };
        Self { let_through: reach(Doubt::LetsThrough), held: reach(Doubt::Holds) }
    }
}

/// The least count over the modes, and what to print of it.
#[derive(Debug, Default)]
struct Worst {
    value: Bounded,
    way: String,
    stands: String,
    mode: String,
}

/// Works out where fluids can get.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let map = Map::of(rig);
    let bleach: Vec<(&str, &AnyPart)> = tanks_of(rig, Fluid::Bleach).collect();
    let spread = map.as_ref().map(|map| (map, Spread::of(map, &map.sources(&[Fluid::Bleach]))));
    let known = spread.as_ref().filter(|(map, _)| !map.sources(&[Fluid::Bleach]).is_empty());
    let washers = rig.parts().filter(|(_, part)| matches!(part.kind, Kind::Washer(_)));
    if !bleach.is_empty() {
        for (name, part) in washers {
            let worst =
                known.map_or_else(not_drawn, |(map, bleach)| worst(map, bleach, &of_part(map, part), |_, _| false));
            enter(rig, sheet, TO_PUMP, name, part, worst);
        }
        for (name, part) in tanks_of(rig, Fluid::Water) {
            let worst = known.map_or_else(not_drawn, |(map, bleach)| worst(map, bleach, &of_part(map, part), batches));
            enter(rig, sheet, TO_WATER, name, part, worst);
        }
    }
    taps(rig, sheet, map.as_ref());
    acid(rig, sheet, known.map(|(map, bleach)| (*map, bleach)), &bleach);
    if let Some((map, bleach)) = known {
        turns(sheet, map);
        traps(sheet, map, bleach);
    }
}

fn tanks_of(rig: &Rig, fluid: Fluid) -> impl Iterator<Item = (&str, &AnyPart)> {
    rig.parts().filter(move |(_, part)| matches!(part.kind, Kind::Tank(_)) && map::held(rig, part) == Some(fluid))
}

fn of_part(map: &Map<'_>, part: &AnyPart) -> Vec<Node> {
    map.cells_of(|other| other.entry == part.entry)
}

fn not_drawn() -> Worst {
    let way = "the plumbing does not show it".to_owned();
    Worst { value: Bounded::default(), way, stands: "what is not shown".to_owned(), mode: "any mode".to_owned() }
}

fn count(faults: Faults) -> f64 {
    match faults {
        Faults::Count(count) => f64::from(count).min(NEVER),
        Faults::Never => NEVER,
    }
}

/// Bleach on purpose into the water, through the draw tube that the mode stands in the bleach.
fn batches(map: &Map<'_>, way: &Witness) -> bool {
    let edges = map.piping.edges();
    way.steps.iter().any(|step| step.faults == 0 && matches!(edges[step.edge].element, Element::DrawTube { .. }))
}

/// The mode in which fluid gets to `targets` most easily. Where the facts leave it open, the way that they may allow is shown.
fn worst(map: &Map<'_>, spread: &Spread, targets: &[Node], passed_over: impl Fn(&Map<'_>, &Witness) -> bool) -> Worst {
    let mut least = (NEVER, None);
    let mut most = (NEVER, None);
    let mut facts = Vec::new();
    for mode in 0..map.settings.len() {
        for target in targets {
            for (reach, best) in [(&spread.let_through[mode], &mut least), (&spread.held[mode], &mut most)] {
                let faults = count(reach.faults(*target));
                if faults < best.0
                    && let Some(way) = reach.witness(*target).filter(|way| !passed_over(map, way))
                {
                    *best = (faults, Some((mode, way)));
                }
            }
        }
    }
    if targets.is_empty() {
        return not_drawn();
    }
    let open = least.0 < most.0;
    if open && let Some((_, way)) = &least.1 {
        facts.extend(way.steps.iter().flat_map(|step| map.fittings[step.edge].facts.iter().map(|fact| (*fact, 1.0))));
    }
    let value = Bounded { range: Range::new(least.0, most.0), facts };
    match if most.1.is_some() && most.0 <= 1.0 { most.1 } else { least.1 } {
        Some((mode, way)) => {
            Worst { value, way: trail(map, &way), stands: standing(map, &way), mode: map.mode_name(mode).to_owned() }
        }
        None => Worst {
            value,
            way: "no way".to_owned(),
            stands: "the way it is built".to_owned(),
            mode: "any mode".to_owned(),
        },
    }
}

/// The way element by element, as a person walks it with a finger.
fn trail(map: &Map<'_>, way: &Witness) -> String {
    let edges = map.piping.edges();
    let mut words: Vec<String> = Vec::new();
    let mut last: Option<usize> = None;
    if let Some(first) = way.steps.first() {
        words.push(map.cell_name(first.from));
        last = map.cells[first.from].part;
    }
    for step in &way.steps {
        let fitting = &map.fittings[step.edge];
        let element = edges[step.edge].element;
        if fitting.part.is_some() && (fitting.part != last || step.faults > 0) {
            let backward =
                !step.forward && !matches!(element, Element::Pipe | Element::Valve(_) | Element::DrawTube { .. });
            let how = match (backward, step.faults > 0, element) {
                (_, true, Element::Valve(_)) => " (shut)",
                (true, true, _) => " (holds it back)",
                (true, false, _) => " (backward)",
                _ => "",
            };
            words.push(format!("{}{how}", fitting.name));
            last = fitting.part;
        }
        if let Some(part) = map.cells[step.to].part
            && Some(part) != last
        {
            words.push(map.part(part).0.to_owned());
            last = Some(part);
        }
    }
    words.join(" > ")
}

/// What stands in the way: nothing, one element, or several.
fn standing(map: &Map<'_>, way: &Witness) -> String {
    let names: Vec<&str> = way.standing().map(|step| map.fittings[step.edge].name.as_str()).collect();
    if names.is_empty() { "nothing".to_owned() } else { names.join(" and ") }
}

fn enter(rig: &Rig, sheet: &mut Sheet, kind: &'static str, name: &str, part: &AnyPart, worst: Worst) -> SubjectId {
    let place = rig.entry(part.entry).place.clone();
    let subject = sheet.subject(kind, name.to_owned(), place);
    sheet.link(subject, row(CARDS, kind, "target"), SubjectId(part.entry.0));
    sheet.enter(subject, row(CARDS, kind, "failures"), worst.value);
    sheet.note(subject, row(CARDS, kind, "way"), worst.way);
    sheet.note(subject, row(CARDS, kind, "stands"), worst.stands);
    sheet.note(subject, row(CARDS, kind, "in-mode"), worst.mode);
    subject
}

/// The customer's tap against the harshest that is carried in anything plumbed.
fn taps(rig: &Rig, sheet: &mut Sheet, map: Option<&Map<'_>>) {
    let Some(map) = map else { return };
    let harsh = map.sources(&[Fluid::Bleach, Fluid::Acid, Fluid::Caustic]);
    let soap = map.sources(&[Fluid::Soap]);
    let (sources, carried) = match (harsh.is_empty(), soap.is_empty()) {
        (false, _) => (harsh, "bleach or another harsh chemical"),
        (true, false) => (soap, "soap"),
        _ => return,
    };
    let spread = Spread::of(map, &sources);
    for (name, part) in rig.parts().filter(|(_, part)| matches!(part.kind, Kind::Supply(_))) {
        let cells = of_part(map, part);
        if cells.is_empty() {
            continue;
        }
        let subject = enter(rig, sheet, TO_TAP, name, part, worst(map, &spread, &cells, |_, _| false));
        sheet.note(subject, row(CARDS, TO_TAP, "carried"), carried.to_owned());
    }
}

/// Acid and bleach: in one place at once, or one after the other without a rinse.
fn acid(rig: &Rig, sheet: &mut Sheet, known: Option<(&Map<'_>, &Spread)>, bleach: &[(&str, &AnyPart)]) {
    let Some((name, part)) = tanks_of(rig, Fluid::Acid).next() else { return };
    if bleach.is_empty() {
        return;
    }
    let plumbed = known.filter(|(map, _)| !map.sources(&[Fluid::Acid]).is_empty());
    let Some((map, bleach)) = plumbed else {
        let subject = enter(rig, sheet, MEETING, name, part, not_drawn());
        sheet.enter(subject, row(CARDS, MEETING, "in-turn"), Bounded::default());
        for word in ["meets-at", "turn-words", "turn-at", "turn-rinse"] {
            sheet.note(subject, row(CARDS, MEETING, word), "not shown".to_owned());
        }
        return;
    };
    let acid = Spread::of(map, &map.sources(&[Fluid::Acid]));
    let (worst, at) = meets(map, &acid, bleach);
    let subject = enter(rig, sheet, MEETING, name, part, worst);
    sheet.note(subject, row(CARDS, MEETING, "meets-at"), at);
    let sure = wetting(map, &bleach.held, &acid.held);
    let maybe = wetting(map, &bleach.let_through, &acid.let_through);
    let word = |modes: &[ModeWetting]| shortest_meeting_word(modes, BLEACH, ACID, |_, _| true);
    let (certain, possible) = (word(&sure), word(&maybe));
    let range = Range::new(f64::from(u8::from(certain.is_some())), f64::from(u8::from(possible.is_some())));
    sheet.enter(subject, row(CARDS, MEETING, "in-turn"), Bounded { range, facts: Vec::new() });
    let modes = if certain.is_some() { &sure } else { &maybe };
    let (words, place, rinse) = match certain.or(possible) {
        Some(word) => {
            let names: Vec<&str> = word.modes.iter().map(|mode| map.mode_name(*mode)).collect();
            let rinse = mode_that_parts(modes, &word.modes, BLEACH, ACID).map(|mode| map.mode_name(mode));
            let rinse = rinse.map_or_else(
                || "give acid a pump, hose and gun of its own; no mode of this rig rinses all that they share".to_owned(),
                |mode| format!("run `{mode}` between them until three times what the line holds has gone through, or better give acid a pump, hose and gun of its own"),
            );
            (names.join(", then "), map.cell_name(word.node), rinse)
        }
        None => ("no row of modes".to_owned(), "nowhere".to_owned(), "nothing to add".to_owned()),
    };
    sheet.note(subject, row(CARDS, MEETING, "turn-words"), words);
    sheet.note(subject, row(CARDS, MEETING, "turn-at"), place);
    sheet.note(subject, row(CARDS, MEETING, "turn-rinse"), rinse);
}

const BLEACH: FluidSet = 1;
const ACID: FluidSet = 2;

/// The mode in which acid and bleach come together most easily.
fn meets(map: &Map<'_>, acid: &Spread, bleach: &Spread) -> (Worst, String) {
    let mut ends = [NEVER; 2];
    let mut shown: [Option<(usize, Node)>; 2] = [None; 2];
    for mode in 0..map.settings.len() {
        let pairs = [(&acid.let_through, &bleach.let_through), (&acid.held, &bleach.held)];
        for (at, (acid, bleach)) in pairs.into_iter().enumerate() {
            if let Some((failures, cell)) = meeting(&acid[mode], &bleach[mode])
                && f64::from(failures) < ends[at]
            {
                ends[at] = f64::from(failures);
                shown[at] = Some((mode, cell));
            }
        }
    }
    let sure = shown[1].is_some() && ends[1] <= 1.0;
    let value = Bounded { range: Range::new(ends[0], ends[1]), facts: Vec::new() };
    let Some((mode, cell)) = (if sure { shown[1] } else { shown[0] }) else {
        let way = Worst {
            value,
            way: "no way".to_owned(),
            stands: "the way it is built".to_owned(),
            mode: "any mode".to_owned(),
        };
        return (way, "nowhere".to_owned());
    };
    let pick =
        |spread: &Spread| if sure { spread.held[mode].witness(cell) } else { spread.let_through[mode].witness(cell) };
    let ways: Vec<Witness> = [pick(acid), pick(bleach)].into_iter().flatten().collect();
    let trails: Vec<String> = ways.iter().map(|way| trail(map, way)).filter(|trail| !trail.is_empty()).collect();
    let stands: Vec<String> = ways.iter().filter(|way| way.faults > 0).map(|way| standing(map, way)).collect();
    let stands = if stands.is_empty() { "nothing".to_owned() } else { stands.join(" and ") };
    (Worst { value, way: trails.join("; "), stands, mode: map.mode_name(mode).to_owned() }, map.cell_name(cell))
}

/// What each mode does to each cell. Water clears what it flows through while a pump runs.
fn wetting(map: &Map<'_>, bleach: &[Reach], acid: &[Reach]) -> Vec<ModeWetting> {
    let (water, ends) = (map.sources(&[Fluid::Water]), map.ends());
    let of_mode = |(mode, setting): (usize, &Vec<State>)| {
        let flows = map.piping.flows_through(&water, &ends, setting, Doubt::Holds);
        let cells = 0..map.piping.nodes();
        ModeWetting {
            wets: cells
                .map(|node| u16::from(bleach[mode].wets(node)) | (u16::from(acid[mode].wets(node)) << 1))
                .collect(),
            clears: flows.into_iter().map(|flows| flows && map.runs(mode)).collect(),
        }
    };
    map.settings.iter().enumerate().map(of_mode).collect()
}

/// Three-way valves: in mid-turn every port is joined.
fn turns(sheet: &mut Sheet, map: &Map<'_>) {
    let (bleach, acid) = (map.sources(&[Fluid::Bleach]), map.sources(&[Fluid::Acid]));
    let clean =
        map.cells_of(|part| matches!(part.kind, Kind::Supply(_)) || map::held(map.rig, part) == Some(Fluid::Water));
    for valve in map.three_ways() {
        let mut ends = [NEVER; 2];
        let mut way = "no way".to_owned();
        for mode in 0..map.settings.len() {
            let setting = map.mid_turn(mode, valve);
            for (end, doubt) in ends.iter_mut().zip([Doubt::LetsThrough, Doubt::Holds]) {
                let from_bleach = map.piping.reach(&bleach, &setting, Driver::Either, doubt);
                let from_acid = map.piping.reach(&acid, &setting, Driver::Either, doubt);
                let to_clean = clean.iter().map(|node| (count(from_bleach.faults(*node)), *node));
                let met = meeting(&from_acid, &from_bleach).map(|(failures, node)| (f64::from(failures), node));
                for (failures, node) in to_clean.chain(met) {
                    if failures < *end {
                        *end = failures;
                        if let Some(witness) = from_bleach.witness(node) {
                            way = trail(map, &witness);
                        }
                    }
                }
            }
        }
        let (name, part) = map.part(valve);
        let subject = sheet.subject(TURN, name.to_owned(), map.rig.entry(part.entry).place.clone());
        sheet.link(subject, row(CARDS, TURN, "valve"), SubjectId(part.entry.0));
        sheet.enter(
            subject,
            row(CARDS, TURN, "failures"),
            Bounded { range: Range::new(ends[0], ends[1]), facts: Vec::new() },
        );
        sheet.note(subject, row(CARDS, TURN, "way"), way);
    }
}

/// Bleach left between two shut valves, in the modes in which nothing runs.
fn traps(sheet: &mut Sheet, map: &Map<'_>, bleach: &Spread) {
    let vents: Vec<Node> = map
        .sources(&[Fluid::Bleach, Fluid::Water, Fluid::Soap, Fluid::Acid, Fluid::Caustic])
        .into_iter()
        .chain(map.ends())
        .collect();
    let used = |spread: &[Reach]| {
        (0..map.piping.nodes()).map(|node| spread.iter().any(|reach| reach.wets(node))).collect::<Vec<bool>>()
    };
    let (sure, maybe) = (used(&bleach.held), used(&bleach.let_through));
    let parked = (0..map.settings.len()).filter(|mode| !map.runs(*mode));
    let mut found: Option<(usize, Node, bool)> = None;
    for mode in parked {
        // A three-way valve that a parked mode does not name is left where it was last used, open to one side or the other.
        let setting = &map.turned_either_way(mode);
        let certain =
            map.piping.shut_in(&sure, &vents, setting, Doubt::LetsThrough).first().map(|node| (mode, *node, true));
        let possible =
            || map.piping.shut_in(&maybe, &vents, setting, Doubt::Holds).first().map(|node| (mode, *node, false));
        if certain.is_some() {
            found = certain;
            break;
        }
        found = found.or_else(possible);
    }
    let first = map.rig.spec.parts.iter().position(|part| map::held(map.rig, &part.item) == Some(Fluid::Bleach));
    let edges = map.piping.edges();
    let valve_at = |node: Node| {
        let around = (0..edges.len()).filter(|edge| edges[*edge].to == node || edges[*edge].from == node);
        around.filter(|edge| matches!(edges[*edge].element, Element::Valve(_))).find_map(|edge| map.fittings[edge].part)
    };
    let Some(at) = found.and_then(|(_, node, _)| valve_at(node)).or(first) else { return };
    let (name, part) = map.part(at);
    let subject = sheet.subject(TRAP, name.to_owned(), map.rig.entry(part.entry).place.clone());
    sheet.link(subject, row(CARDS, TRAP, "valve"), SubjectId(part.entry.0));
    let value = match found {
        Some((_, _, true)) => Input::fixed(1.0),
        Some(_) => Bounded { range: Range::new(0.0, 1.0), facts: Vec::new() },
        None => Input::fixed(0.0),
    };
    sheet.enter(subject, row(CARDS, TRAP, "trapped"), value);
    let place = found.map_or_else(|| "nowhere".to_owned(), |(_, node, _)| map.cell_name(node));
    sheet.note(subject, row(CARDS, TRAP, "where"), place);
    let mode = found.map_or("any mode", |(mode, ..)| map.mode_name(mode));
    sheet.note(subject, row(CARDS, TRAP, "in-mode"), mode.to_owned());
}
