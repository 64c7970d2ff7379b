//! Supply and tanks: what the customer's tap brings through its hose, how long a tank takes to fill, whether a day's water is there.

use super::circuit::{Piece, Plumbing};
use super::suction::{usable, usual_water};
use super::water::way::{Soft, Way};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners, monotone};
use crate::figures::hydraulics::pipe::{Line, line_flow};
use crate::figures::hydraulics::supply::{
    LOWEST_MAIN_PRESSURE, Tap, flow_at_residual, residual_pressure, service_coefficient,
};
use crate::figures::hydraulics::tank::fill_time;
use crate::measure::Measure;
use crate::rig::parts::{AnyPart, Kind, Supply};
use crate::rig::{PartRef, Rig};

const TAP: &str = "square law of a service line through its standing pressure and its open flow; Darcy-Weisbach hose";

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

const fn note(of: &'static str, name: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Note, help, method: "", source: "" }
}

const fn link(of: &'static str, name: &'static str, kind: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Subject(kind), help, method: "", source: "" }
}

/// A tank and the tap it is filled from.
const FILL: &str = "tank-fill";
/// A water tank and all that a day draws from it.
const DAY: &str = "water-day";

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    link(FILL, "supply", "supply", "The tap or hydrant"),
    link(FILL, "end", "part", "The tank or pump that it feeds"),
    note(FILL, "feeds", "What it feeds: `tank`, `pump` or `other`"),
    link(FILL, "last-hose", "line", "The hose that ends at the tank"),
    figure(FILL, "tap-gives", Measure::Flow, "What arrives through the hose", "tap against hose and height", TAP),
    figure(
        FILL,
        "main-left",
        Measure::Pressure,
        "Pressure left at the tap or hydrant while it runs",
        "standing − (flow ÷ open flow)² × standing",
        TAP,
    ),
    figure(
        FILL,
        "main-allows",
        Measure::Flow,
        "Most flow that leaves 20 psi there",
        "open flow × √((standing − 20 psi) ÷ standing)",
        TAP,
    ),
    figure(FILL, "fill-time", Measure::Duration, "Time to fill the tank", "capacity ÷ flow", TAP),
    figure(
        FILL,
        "gap-needed",
        Measure::Length,
        "Air gap wanted under the spout",
        "twice its bore, 1 in at least",
        "ASME A112.1.2, from memory",
    ),
    link(DAY, "tank", "tank", "The tank"),
    figure(
        DAY,
        "wash-hours",
        Measure::Duration,
        "Hours a day of the jobs that draw from it with a washer",
        "sum",
        "the spec's duties",
    ),
    figure(
        DAY,
        "wash-water",
        Measure::Volume,
        "What the washers would take with the trigger pulled all those hours",
        "flow × hours",
        "continuity",
    ),
    figure(
        DAY,
        "mix-water",
        Measure::Volume,
        "Water in the mix of the day's low-pressure jobs",
        "mix − what comes out of the strong tank",
        "balance of volume",
    ),
    figure(
        DAY,
        "tank-gives",
        Measure::Volume,
        "What the tank gives before its outlet gulps air",
        "capacity − heel",
        "ANSI/HI 9.8-1998, 9.8.7",
    ),
    figure(
        DAY,
        "tap-flow",
        Measure::Flow,
        "What the tap brings meanwhile; nought where none is plumbed",
        "tap against hose and height",
        TAP,
    ),
];

/// One inch, m.
const INCH: f64 = 0.0254;

/// A tap, the hose from it, and where that ends.
struct Feed<'a> {
    part: &'a AnyPart,
    supply: &'a Supply,
    way: Way,
    end: Option<(&'a str, &'a AnyPart)>,
    last: usize,
}

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let plumbing = Plumbing::of(rig);
    let feeds = feeds(rig, &plumbing);
    let flows: Vec<Bounded> = feeds.iter().map(|feed| gives(rig, feed)).collect();
    for (feed, flow) in feeds.iter().zip(&flows) {
        fill(rig, sheet, &plumbing, feed, flow);
    }
    days(rig, sheet, &plumbing, &feeds, &flows);
}

/// Follows the plumbing from each tap to the first tank or pump.
fn feeds<'a>(rig: &'a Rig, plumbing: &Plumbing<'a>) -> Vec<Feed<'a>> {
    let position = |reference: PartRef| -> Option<usize> {
        let (name, _) = rig.reference(reference)?;
        rig.parts().position(|(other, _)| other == name)
    };
    let mut feeds = Vec::new();
    for (at, (_, part)) in rig.parts().enumerate() {
        let Kind::Supply(supply) = &part.kind else { continue };
        let (mut here, mut pieces, mut last, mut end) = (at, Vec::new(), None, None);
        // No supply passes more parts than there are lines; a ring ends here too.
        for _ in 0..rig.spec.plumbing.len() {
            let Some(line) = rig.spec.plumbing.iter().position(|line| position(line.from) == Some(here)) else { break };
            last = Some(line);
            pieces.push(Piece::Line(line));
            pieces.extend(plumbing.through(line).map(Piece::Part));
            let Some(next) = position(rig.spec.plumbing[line].to) else { break };
            let (name, next_part) = plumbing.part(next);
            if matches!(next_part.kind, Kind::Tank(_) | Kind::Washer(_) | Kind::DeliveryPump(_)) {
                end = Some((name, next_part));
                break;
            }
            pieces.push(Piece::Part(next));
            here = next;
        }
        if let Some(last) = last {
            feeds.push(Feed { part, supply, way: Way::of(rig, plumbing, &pieces), end, last });
        }
    }
    feeds
}

/// What arrives at the end of the hose.
fn gives(rig: &Rig, feed: &Feed<'_>) -> Bounded {
    let mut way = feed.way.clone();
    let standing = way.take(Input::fact(rig, feed.supply.pressure));
    let open = way.take(Input::fact(rig, feed.supply.flow));
    let liquid = usual_water();
    monotone(&way.inputs, |point| {
        let laid = way.laid(point, &Soft::USUAL, liquid);
        let service = service_coefficient(point[standing], 0.0, point[open])?;
        let line = laid.line();
        let line = Line { resistance: line.resistance + service / liquid.gravity(), ..line };
        Some(line_flow(&line, liquid, point[standing], point[open]))
    })
}

fn fill(rig: &Rig, sheet: &mut Sheet, plumbing: &Plumbing<'_>, feed: &Feed<'_>, flow: &Bounded) {
    let name = rig.parts().find(|(_, part)| part.entry == feed.part.entry).map_or("the tap", |(name, _)| name);
    let subject = sheet.subject(FILL, name.to_owned(), rig.entry(feed.part.entry).place.clone());
    sheet.link(subject, row(CARDS, FILL, "supply"), SubjectId(feed.part.entry.0));
    sheet.link(subject, row(CARDS, FILL, "end"), SubjectId(feed.end.map_or(feed.part.entry, |(_, end)| end.entry).0));
    let feeds = match feed.end.map(|(_, end)| &end.kind) {
        Some(Kind::Tank(_)) => "tank",
        Some(_) => "pump",
        None => "other",
    };
    sheet.note(subject, row(CARDS, FILL, "feeds"), feeds.to_owned());
    let last = plumbing.line(feed.last);
    sheet.link(subject, row(CARDS, FILL, "last-hose"), SubjectId(last.entry.0));
    let (standing, open) = (Input::fact(rig, feed.supply.pressure), Input::fact(rig, feed.supply.flow));
    let tap =
        |standing: f64, open: f64| service_coefficient(standing, 0.0, open).map(|service| Tap { standing, service });
    // A pump draws its own flow, whatever the tap would give into the open.
    let drawn = match feed.end.map(|(_, end)| &end.kind) {
        Some(Kind::Washer(washer)) => Input::fact(rig, washer.flow),
        _ => flow.clone(),
    };
    let left = corners([&standing, &open, &drawn], |[standing, open, drawn]| {
        tap(standing, open).map(|tap| residual_pressure(tap, drawn).max(0.0))
    });
    let allows = corners([&standing, &open], |[standing, open]| {
        tap(standing, open).map(|tap| flow_at_residual(tap, LOWEST_MAIN_PRESSURE))
    });
    let capacity = match feed.end.map(|(_, end)| &end.kind) {
        Some(Kind::Tank(tank)) => Input::fact(rig, tank.capacity),
        _ => Input::fixed(0.0),
    };
    let bore = Input::fact(rig, if rig.states(last.hose) { last.hose } else { last.pipe });
    let values = [
        ("tap-gives", flow.clone()),
        ("main-left", left),
        ("main-allows", allows),
        ("fill-time", corners([&capacity, flow], |[capacity, flow]| fill_time(capacity, flow))),
        ("gap-needed", corners([&bore], |[bore]| Some((2.0 * bore).max(INCH)))),
    ];
    for (name, value) in values {
        sheet.enter(subject, row(CARDS, FILL, name), value);
    }
}

/// For each water tank that washers draw from: what a day takes, what is there.
fn days(rig: &Rig, sheet: &mut Sheet, plumbing: &Plumbing<'_>, feeds: &[Feed<'_>], flows: &[Bounded]) {
    let circuits = plumbing.circuits();
    let sum = |one: &Input, other: &Input| corners([one, other], |[one, other]| Some(one + other));
    for (name, part) in rig.parts() {
        let Kind::Tank(tank) = &part.kind else { continue };
        let draws = |entry| {
            circuits.iter().find(|circuit| circuit.part == entry && circuit.sources.iter().any(|source| source == name))
        };
        let (mut hours, mut water, mut widest) = (Input::fixed(0.0), Input::fixed(0.0), None);
        for duty in &rig.spec.duties {
            let Some(with) = rig.reference(duty.with).and_then(|(with, _)| rig.part(with)) else { continue };
            let (Kind::Washer(washer), Some(circuit)) = (&with.kind, draws(with.entry)) else { continue };
            let (flow, time) = (Input::fact(rig, washer.flow), Input::fact(rig, duty.hours));
            hours = sum(&hours, &time);
            water = sum(&water, &corners([&flow, &time], |[flow, time]| Some(flow * time)));
            let outlet = circuit.suction.iter().find_map(|piece| match piece {
                Piece::Line(line) => Some(Input::fact(rig, plumbing.line(*line).hose)),
                Piece::Part(_) => None,
            });
            widest = widest.or(outlet.map(|outlet| usable(rig, tank, &outlet, &flow)));
        }
        let Some(tank_gives) = widest else { continue };
        let subject = sheet.subject(DAY, name.to_owned(), rig.entry(part.entry).place.clone());
        sheet.link(subject, row(CARDS, DAY, "tank"), SubjectId(part.entry.0));
        let tap = feeds
            .iter()
            .zip(flows)
            .filter(|(feed, _)| feed.end.is_some_and(|(end, _)| end == name))
            .map(|(_, flow)| flow.clone());
        let tap = tap.reduce(|one, other| sum(&one, &other)).unwrap_or_else(|| Input::fixed(0.0));
        let mix = mix_water(sheet, draws);
        for (name, value) in [
            ("wash-hours", hours),
            ("wash-water", water),
            ("mix-water", mix),
            ("tank-gives", tank_gives),
            ("tap-flow", tap),
        ] {
            sheet.enter(subject, row(CARDS, DAY, name), value);
        }
    }
}

/// Water that goes into the day's mix. A job that states no area or coverage counts for nothing here: the washers take far more.
fn mix_water<'c>(sheet: &Sheet, draws: impl Fn(crate::rig::EntryId) -> Option<&'c super::circuit::Circuit>) -> Bounded {
    let mut all = Input::fixed(0.0);
    for at in 0..sheet.subjects.len() {
        let subject = SubjectId(at as u32);
        if sheet.at(subject).kind != "delivery-duty" {
            continue;
        }
        let Some(super::Property::Subject(pump)) = sheet.property(subject, "pump") else { continue };
        let Some(entry) = sheet.at(pump).entry else { continue };
        if draws(entry).is_none() {
            continue;
        }
        let value = |name| sheet.value(subject, name).map(|figure| figure.value.clone());
        let (Some(mix), Some(stock)) = (value("mix-per-day"), value("stock-per-day")) else { continue };
        if mix.range.is_none() || stock.range.is_none() {
            continue;
        }
        all = corners([&all, &mix, &stock], |[all, mix, stock]| Some(all + (mix - stock).max(0.0)));
    }
    all
}
