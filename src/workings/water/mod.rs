//! Water: the circuits as traced from the plumbing, and the pressure side from pump to tip.

mod cards;
pub mod duty;
pub mod fit;
pub mod pressure;
pub mod table;
pub mod way;

use super::circuit::{self, Piece, Plumbing};
use super::{Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners, monotone};
use crate::figures::hydraulics::pipe::{self, WAVE_SPEED};
use crate::figures::hydraulics::pump::EFFICIENCY;
use crate::figures::hydraulics::{nozzle, pump, water};
use crate::measure::{Measure, Range, show};
use crate::rig::parts::{AnyPart, Kind};
use crate::rig::{EntryId, Rig};
pub use cards::CARDS;
use cards::WAY;
use pressure::{Bounds, Circuit, LOWEST_SITE};
use way::{Soft, Way};

/// Where hose and height take the whole setting the tip makes many times the nothing that is left, Pa.
const LEAST_LEFT: f64 = 1e3;
/// Share of the unloader's setting that hose may take before it is worth a larger one. Common practice, no source.
const HOSE_SHARE: f64 = 0.15;
/// Speed up to which water runs in delivery hose without wearing it, m/s: 25 ft/s. Common practice, no source.
const FASTEST: f64 = 25.0 * 0.3048;
/// Kick that a person may hold with the hands alone, N. DGUV Regel 100-500 chapter 2.36, 3.7.5.
const HAND_LIMIT: f64 = 150.0;
/// Bores of hose sold, in.
const BORES: [f64; 7] = [0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 1.0];
/// Inch, m.
const INCH: f64 = 0.0254;

/// One washer's way, as the other files of this folder look at it.
struct Washing<'a> {
    subject: SubjectId,
    part: &'a AnyPart,
    washer: &'a crate::rig::parts::Washer,
    circuit: Circuit,
    mode: Option<EntryId>,
    forked: bool,
    end: String,
}

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let plumbing = Plumbing::of(rig);
    let circuits = plumbing.circuits();
    for circuit in &circuits {
        traced(rig, sheet, circuit);
    }
    let ways = ways(rig, sheet, &plumbing, &circuits);
    for way in &ways {
        pressure_figures(rig, sheet, way);
        fit::ratings(rig, sheet, way);
        fit::swivels(sheet, way);
    }
    fit::reliefs(rig, sheet, &ways);
    fit::reels(rig, sheet);
    fit::cleaners(rig, sheet, &ways);
    fit::shared_pumps(sheet, &ways);
    duty::duties(rig, sheet, &ways);
}

fn traced(rig: &Rig, sheet: &mut Sheet, circuit: &circuit::Circuit) {
    let place = rig.entry(circuit.part).place.clone();
    let name = match circuit.mode {
        Some(_) => format!("{} in {}", circuit.pump, circuit.mode_name),
        None => circuit.pump.clone(),
    };
    let subject = sheet.subject("circuit", name, place);
    let stop = circuit.lost.first();
    let whole = match stop {
        None => Input::fixed(1.0),
        Some(lost) if lost.not_said => Bounded::default(),
        Some(_) => Input::fixed(0.0),
    };
    sheet.enter(subject, row(CARDS, "circuit", "traced"), whole);
    sheet.note(
        subject,
        row(CARDS, "circuit", "stops-why"),
        stop.map_or_else(|| "it goes all the way".to_owned(), |lost| lost.why.clone()),
    );
    sheet.link(subject, row(CARDS, "circuit", "stops-at"), SubjectId(stop.map_or(circuit.part, |lost| lost.at).0));
    sheet.link(subject, row(CARDS, "circuit", "pump"), SubjectId(circuit.part.0));
}

/// The ways of the washers that can be followed, each once however many modes it is the same in, and their tables.
fn ways<'a>(
    rig: &'a Rig,
    sheet: &mut Sheet,
    plumbing: &Plumbing<'a>,
    circuits: &[circuit::Circuit],
) -> Vec<Washing<'a>> {
    let mut seen: Vec<(&circuit::Circuit, Vec<String>)> = Vec::new();
    for circuit in circuits.iter().filter(|circuit| circuit.lost.is_empty()) {
        let modes = || circuit.mode.map(|_| circuit.mode_name.clone());
        match seen.iter_mut().find(|(known, _)| known.part == circuit.part && known.delivery == circuit.delivery) {
            Some((_, known)) => known.extend(modes()),
            None => seen.push((circuit, modes().into_iter().collect())),
        }
    }
    let mut ways = Vec::new();
    for at in 0..seen.len() {
        let (circuit, modes) = &seen[at];
        let Some((_, part)) =
            rig.spec.parts.iter().map(|part| (&part.name, &part.item)).find(|(_, part)| part.entry == circuit.part)
        else {
            continue;
        };
        let Kind::Washer(washer) = &part.kind else { continue };
        let Some((Piece::Part(end), pieces)) = circuit.delivery.split_last() else { continue };
        let (end_name, end) = plumbing.part(*end);
        if !matches!(end.kind, Kind::Nozzle(_) | Kind::SurfaceCleaner(_)) {
            continue;
        }
        let alone = seen.iter().filter(|(other, _)| other.part == circuit.part).count() == 1;
        let name = if alone { circuit.pump.clone() } else { format!("{} to {end_name}", circuit.pump) };
        let subject = sheet.subject(WAY, name.clone(), rig.entry(part.entry).place.clone());
        sheet.link(subject, row(CARDS, WAY, "washer"), SubjectId(part.entry.0));
        sheet.link(subject, row(CARDS, WAY, "tip"), SubjectId(end.entry.0));
        let way = Circuit::of(rig, washer, Way::of(rig, plumbing, pieces), end);
        let tip = table::End {
            name: end_name.to_owned(),
            kind: rig.entry(end.entry).form.word,
            place: rig.entry(end.entry).place.clone(),
        };
        sheet.circuits.extend(table::lay_out(&way, name, modes.clone(), tip));
        ways.push(Washing {
            subject,
            part,
            washer,
            circuit: way,
            mode: circuit.mode,
            forked: circuit.forked,
            end: end_name.to_owned(),
        });
    }
    ways
}

fn pressure_figures(rig: &Rig, sheet: &mut Sheet, washing: &Washing<'_>) {
    let Washing { subject, circuit, .. } = washing;
    let usual = Bounds::usual(circuit);
    let enter = |sheet: &mut Sheet, name: &str, value: Bounded| {
        sheet.enter(*subject, row(CARDS, WAY, name), value);
    };
    let (flow, pressure) = (usual.of(|state| Some(state.point.flow)), usual.of(|state| Some(state.point.gun_pressure)));
    let (left, at_pump) = (usual.of(|state| Some(state.left)), usual.of(|state| Some(state.point.pump_pressure)));
    let exact = usual.of(|state| state.exact);
    enter(sheet, "tip-use", corners([&pressure, &left], |[pressure, left]| Some(pressure / left.max(LEAST_LEFT))));
    enter(
        sheet,
        "flow-at-kick-limit",
        corners([&pressure], |[pressure]| {
            nozzle::flow_at_thrust(HAND_LIMIT, pressure, water::density(Soft::USUAL.temperature))
        }),
    );
    let bypass = usual.of(|state| Some(state.point.bypass));
    // A higher setting sends less round and makes it dearer: the two are bounded apart.
    enter(
        sheet,
        "wasted-power",
        corners([&bypass, &at_pump], |[bypass, pressure]| {
            Some(pump::shaft_power(bypass, pressure.max(0.0), EFFICIENCY[1]))
        }),
    );
    speed(rig, sheet, washing, &flow);
    engine(rig, sheet, washing, &usual);
    // As the tip grows the kick rises until the unloader shuts and falls from there on, while flow and pressure each go one
    // way: the kick of the most flow at the most pressure is never less than the true one, and the same for a known tip.
    let density = water::density(Soft::USUAL.temperature);
    let kick = corners([&flow, &pressure, circuit.angle()], |[flow, pressure, angle]| {
        let share = nozzle::fan_thrust_share(angle.min(std::f64::consts::PI));
        Some(share * nozzle::thrust(flow, pressure, density, nozzle::THRUST_VELOCITY[1]))
    });
    enter(sheet, "kick", kick);
    enter(sheet, "tip-flow", flow);
    enter(sheet, "tip-pressure", pressure);
    enter(sheet, "pressure-left", left);
    enter(sheet, "pump-pressure", at_pump);
    enter(sheet, "bypass", bypass);
    enter(sheet, "bypass-share", usual.of(|state| Some(state.point.bypass / state.pump_flow)));
    enter(sheet, "line-loss", usual.of(|state| Some(state.point.loss)));
    enter(sheet, "pressure-needed", usual.of(|state| Some(state.needed)));
    enter(sheet, "tip-size", usual.of(|state| Some(state.size)));
    enter(sheet, "tip-size-best", corners([&exact], |[exact]| Some(nozzle::stock_size_up(exact))));
    enter(sheet, "tip-size-exact", exact);
    let widest = Bounds::widest(circuit);
    let widest_pressure = widest.of(|state| Some(state.point.gun_pressure));
    // Cold water is the heaviest.
    let cold = water::density(water::SUPPLY_TEMPERATURE[0]);
    let most = corners([&widest.of(|state| Some(state.point.flow)), &widest_pressure], |[flow, pressure]| {
        Some(nozzle::thrust(flow, pressure, cold, 1.0))
    });
    enter(sheet, "kick-most", most);
    enter(sheet, "tip-pressure-any-hose", widest_pressure);
    enter(sheet, "line-loss-any-hose", widest.of(|state| Some(state.point.loss)));
    main_hose(rig, sheet, washing);
    enter(sheet, "hose-loss", usual.of(|state| Some(state.hose_loss)));
}

fn engine(rig: &Rig, sheet: &mut Sheet, washing: &Washing<'_>, usual: &Bounds<'_>) {
    let needed =
        usual.of(|state| Some(pump::shaft_power(state.pump_flow, state.point.pump_pressure.max(0.0), EFFICIENCY[1])));
    let power = pressure::available(rig, washing.washer);
    let flow = Input::fact(rig, washing.washer.flow);
    let holds = corners([&power, &flow], |[power, flow]| pump::pressure_for_power(power, flow, EFFICIENCY[1]));
    let height = pressure::highest_site(rig, washing.washer, &needed);
    let words = match height.range {
        Some(range) if range.low > LOWEST_SITE => {
            format!("; it would do up to {}", show(range.low, range.high, Measure::Length, rig.system()))
        }
        _ => String::new(),
    };
    sheet.note(washing.subject, row(CARDS, WAY, "engine-good-to-words"), words);
    for (name, value) in
        [("shaft-power", needed), ("engine-power", power), ("engine-holds", holds), ("engine-good-to", height)]
    {
        sheet.enter(washing.subject, row(CARDS, WAY, name), value);
    }
}

/// The hose that the water runs fastest in. Which one it is may hang on the facts, so the speed is the greatest of all of them.
fn speed(rig: &Rig, sheet: &mut Sheet, washing: &Washing<'_>, flow: &Bounded) {
    let mut fastest: Option<(usize, Bounded)> = None;
    let mut missing: Option<Bounded> = None;
    for (at, bore) in washing.circuit.hoses() {
        let here = corners([flow, bore], |[flow, bore]| (bore > 0.0).then(|| pipe::velocity(flow, bore)));
        let Some(range) = here.range else {
            missing = missing.or(Some(here));
            continue;
        };
        fastest = Some(match fastest {
            Some((known, other)) => {
                let range_of = |bounded: &Bounded| bounded.range.unwrap_or(range);
                let (top, other_range) = (range.middle() > range_of(&other).middle(), range_of(&other));
                let (at, facts) = if top { (at, here.facts) } else { (known, other.facts) };
                (at, Bounded { range: Some(range.max(other_range)), facts })
            }
            None => (at, here),
        });
    }
    let (at, speed) = match (fastest, missing) {
        (Some((at, _)), Some(missing)) => (Some(at), missing),
        (Some((at, speed)), None) => (Some(at), speed),
        (None, missing) => (None, missing.unwrap_or_default()),
    };
    let element = at.map(|at| &washing.circuit.way.elements[at]);
    // The one flow runs fastest in the least bore.
    let bores = washing.circuit.hoses().map(|(_, bore)| bore.clone());
    let bore =
        bores.reduce(|one, other| corners([&one, &other], |[one, other]| Some(one.min(other)))).unwrap_or_default();
    let subject = washing.subject;
    sheet.note(
        subject,
        row(CARDS, WAY, "tightest-name"),
        element.map_or_else(|| "no hose".to_owned(), |element| hose_name(rig, element)),
    );
    sheet.link(
        subject,
        row(CARDS, WAY, "tightest"),
        SubjectId(element.map_or(washing.part.entry, |element| element.entry).0),
    );
    sheet.enter(subject, row(CARDS, WAY, "tightest-bore"), bore);
    sheet.enter(subject, row(CARDS, WAY, "tightest-speed"), speed);
    sheet.enter(
        subject,
        row(CARDS, WAY, "bore-for-speed"),
        corners([flow], |[flow]| pipe::bore_for_velocity(flow, FASTEST)),
    );
}

/// The longest hose: how long it may be, what the next bore would save, what a trigger let go does in it.
fn main_hose(rig: &Rig, sheet: &mut Sheet, washing: &Washing<'_>) {
    let Washing { subject, washer, circuit, part, .. } = washing;
    let main = circuit.longest();
    let element = main.map(|at| &circuit.way.elements[at]);
    let bore =
        element.and_then(|element| element.bore).and_then(|number| circuit.way.inputs[number].range).map(Range::middle);
    let liquid = water::water(Soft::USUAL.temperature);
    let inputs = &circuit.way.inputs;
    let wanted = main.zip(bore).zip(circuit.middle()).and_then(|((at, bore), mut point)| {
        let number = circuit.way.elements[at].bore?;
        let mut best = None;
        for next in BORES.into_iter().map(|inches| inches * INCH).filter(|next| *next > 1.02 * bore) {
            point[number] = next;
            let state = circuit.losses(&point, &Soft::USUAL, at);
            best = Some(next);
            if state.rest + pipe::loss(&state.main, liquid, state.pump_flow) <= HOSE_SHARE * state.unloader {
                break;
            }
        }
        best
    });
    let longest = main.map_or_else(Bounded::default, |at| {
        monotone(inputs, |point| {
            let state = circuit.losses(point, &Soft::USUAL, at);
            Some(
                pipe::longest_hose(&state.main, liquid, state.pump_flow, HOSE_SHARE * state.unloader - state.rest)
                    .unwrap_or(0.0),
            )
        })
    });
    let better = main.zip(wanted).map_or_else(Bounded::default, |(at, next)| {
        let other = circuit.with_bore(at, next);
        monotone(&other.way.inputs, |point| {
            let state = other.losses(point, &Soft::USUAL, at);
            Some(state.rest + pipe::loss(&state.main, liquid, state.pump_flow))
        })
    });
    let waves = Input { range: Range::new(WAVE_SPEED[0], WAVE_SPEED[1]), facts: Vec::new() };
    let (setting, flow) = (Input::fact(rig, washer.unloader.opens), Input::fact(rig, washer.flow));
    let main_bore =
        element.and_then(|element| element.bore).map_or_else(Bounded::default, |number| inputs[number].clone());
    let surge = corners([&setting, &flow, &main_bore, &waves], |[setting, flow, bore, waves]| {
        (bore > 0.0).then(|| setting + pipe::surge(liquid.density, waves, pipe::velocity(flow, bore)))
    });
    let bore_wanted = wanted.map_or_else(Bounded::default, Input::fixed);
    for (name, value) in [
        ("main-hose-longest", longest),
        ("bore-wanted", bore_wanted),
        ("bore-wanted-loss", better),
        ("surge-most", surge),
    ] {
        sheet.enter(*subject, row(CARDS, WAY, name), value);
    }
    sheet.note(
        *subject,
        row(CARDS, WAY, "main-hose-name"),
        element.map_or_else(|| "no hose".to_owned(), |element| hose_name(rig, element)),
    );
    sheet.link(
        *subject,
        row(CARDS, WAY, "main-hose"),
        SubjectId(element.map_or(part.entry, |element| element.entry).0),
    );
}

/// A hose as a sentence calls it.
fn hose_name(rig: &Rig, element: &way::Element) -> String {
    let reel = rig.entry(element.entry).form.word == "reel";
    match (reel, element.kind) {
        (true, _) => format!("the hose on {}", rig.entry(element.entry).name.as_deref().unwrap_or("the reel")),
        (false, kind) => format!("the {kind} from {}", element.name),
    }
}
