//! The suction side: what is left at a pump's inlet with the tank drawn down, how fast the water runs there, when an outlet gulps air.

use super::circuit::{self, Piece, Plumbing};
use super::low;
use super::water::way::{Soft, Way};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners, monotone};
use crate::figures::hydraulics::pipe::{bore_for_velocity, line_loss, velocity};
use crate::figures::hydraulics::suction::{FASTEST_SUCTION, submergence};
use crate::figures::hydraulics::supply::{Tap, residual_pressure, service_coefficient};
use crate::figures::hydraulics::{GRAVITY, Liquid, water};
use crate::measure::{Measure, Range};
use crate::rig::parts::{AnyPart, Kind, Tank};
use crate::rig::{EntryId, Rig};

const HI: &str = "ANSI/HI 9.8-1998, 9.8.7";
const DARCY: &str = "Darcy-Weisbach with Colebrook-White friction; IAPWS water";

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

/// A washer's way in, once for all the modes it is the same in.
const WAY: &str = "suction-way";
/// A tank in a mode in which a pump draws from it and its level is stated.
const DRAWN: &str = "drawn-tank";
/// A hose on the suction side of a pump.
const HOSE: &str = "suction-hose";

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    link(WAY, "washer", "washer", "The washer"),
    link(WAY, "source", "part", "The tank or tap it draws from"),
    note(WAY, "fed-by", "What feeds it: `tank`, `tap` or `other`"),
    figure(
        WAY,
        "inlet-pressure",
        Measure::Pressure,
        "Pressure at the pump's inlet with the tank down to where its outlet gulps air, water of 5 °C; behind a tap, of the tap",
        "height of the surface − rise − hose − clean strainer − velocity head",
        DARCY,
    ),
    figure(
        WAY,
        "suction-speed",
        Measure::Speed,
        "Fastest the water runs in hose on the suction side",
        "flow ÷ area",
        "continuity",
    ),
    figure(
        WAY,
        "suction-bore-wanted",
        Measure::Length,
        "Bore that keeps it to 3 ft/s",
        "√(4 × flow ÷ (π × 3 ft/s))",
        "continuity",
    ),
    link(WAY, "suction-hose", "part", "The hose in which it runs fastest"),
    figure(
        WAY,
        "raise-wanted",
        Measure::Length,
        "Height that the tank would have to come up for the inlet to have what its maker asks; nought where it has",
        "pressure missing ÷ (density × g)",
        "statics",
    ),
    figure(
        WAY,
        "inlet-with-inch-hose",
        Measure::Pressure,
        "Pressure at the inlet with every suction hose and what is in it of 1 in bore or its own, whichever is larger",
        "as the pressure at the inlet",
        DARCY,
    ),
    link(HOSE, "line", "line", "The hose"),
    link(HOSE, "pump", "part", "The pump"),
    figure(
        HOSE,
        "vacuum",
        Measure::Pressure,
        "Vacuum at the pump's end of the way with the tank drawn down",
        "− pressure at the inlet",
        DARCY,
    ),
    link(DRAWN, "tank", "tank", "The tank"),
    link(DRAWN, "pump", "part", "The pump"),
    note(DRAWN, "mode", "The mode"),
    figure(DRAWN, "depth-there", Measure::Length, "Depth of liquid in this mode", "level × inside height", "geometry"),
    figure(
        DRAWN,
        "depth-needed",
        Measure::Length,
        "Depth at which the outlet starts to gulp air",
        "half the outlet + bore × (1 + 2.3 × speed ÷ √(g × bore))",
        HI,
    ),
    figure(DRAWN, "heel", Measure::Volume, "What can't be drawn out without air", "depth needed × plan area", HI),
];

/// Temperature of the coldest water drawn, degC: it is the thickest.
const COLD: f64 = water::SUPPLY_TEMPERATURE[0];
/// Lost in a clean strainer, Pa: 0.3 psi. Common practice, no source.
const STRAINER: f64 = 2068.0;
/// Inch, m.
const INCH: f64 = 0.0254;
/// Less than any hose, m; keeps a spec that says nought out of divisions.
const LEAST_BORE: f64 = 1e-4;

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let plumbing = Plumbing::of(rig);
    let circuits = plumbing.circuits();
    let delivering = low::ways(rig, &plumbing, &circuits, None);
    let flow_of = |part: EntryId| -> Option<Input> {
        let washer = rig.parts().find_map(|(_, other)| match &other.kind {
            Kind::Washer(washer) if other.entry == part => Some(Input::fact(rig, washer.flow)),
            _ => None,
        });
        washer.or_else(|| delivering.iter().find(|way| way.part.entry == part).map(|way| way.push.flow()))
    };
    let mut seen: Vec<(EntryId, &[Piece])> = Vec::new();
    for circuit in &circuits {
        let Some(flow) = flow_of(circuit.part) else { continue };
        drawn(rig, sheet, &plumbing, circuit, &flow);
        if !circuit.branches.is_empty()
            || circuit.suction.is_empty()
            || seen.contains(&(circuit.part, circuit.suction.as_slice()))
        {
            continue;
        }
        seen.push((circuit.part, &circuit.suction));
        way_in(rig, sheet, &plumbing, circuit, &flow);
    }
}

/// Everything about a way in that one choice of the facts decides.
struct Inlet {
    way: Way,
    flow: usize,
    strainers: f64,
    feed: Feed,
}

enum Feed {
    Tank { outlet: Option<usize> },
    Tap([usize; 2]),
    Other,
}

impl Inlet {
    /// Gauge pressure at the inlet, Pa, with hoses at least `least` m wide.
    fn pressure(&self, point: &[f64], least: f64) -> f64 {
        let liquid = water::water(COLD);
        let mut wide = point.to_vec();
        for bore in self.way.elements.iter().filter_map(|element| element.bore) {
            wide[bore] = wide[bore].max(least);
        }
        let laid = self.way.laid(&wide, &Soft { temperature: COLD, ..Soft::USUAL }, liquid);
        let flow = point[self.flow];
        let last = laid.hoses.iter().rev().find(|hose| hose.length > 0.0);
        let speed = last.map_or(0.0, |hose| velocity(flow, hose.bore.max(LEAST_BORE)));
        let line = laid.line();
        let lost = line_loss(&line, liquid, flow) + self.strainers * STRAINER + liquid.density * speed * speed / 2.0;
        let weight = liquid.density * GRAVITY;
        let source = match &self.feed {
            Feed::Tank { outlet } => weight * outlet.map_or(0.0, |bore| gulps_at(point[bore], flow)),
            Feed::Tap([standing, most]) => {
                let service = service_coefficient(point[*standing], 0.0, point[*most]).unwrap_or(0.0);
                residual_pressure(Tap { standing: point[*standing], service }, flow)
            }
            Feed::Other => 0.0,
        };
        source - weight * line.rise - lost
    }
}

/// Depth of liquid at which an outlet low in the side of a tank gulps air, m.
fn gulps_at(bore: f64, flow: f64) -> f64 {
    let bore = bore.max(LEAST_BORE);
    0.5 * bore + submergence(bore, flow)
}

fn way_in(rig: &Rig, sheet: &mut Sheet, plumbing: &Plumbing<'_>, circuit: &circuit::Circuit, flow: &Input) {
    let Some(part) = rig.parts().map(|(_, part)| part).find(|part| part.entry == circuit.part) else { return };
    let mut way = Way::of(rig, plumbing, &circuit.suction);
    let first = way.elements.iter().find_map(|element| element.bore);
    let number = way.take(flow.clone());
    let source = circuit.sources.first().and_then(|source| rig.part(source));
    let feed = match source.map(|source| &source.kind) {
        Some(Kind::Tank(_) | Kind::Container(_)) => Feed::Tank { outlet: first },
        Some(Kind::Supply(supply)) => {
            let numbers = [way.take(Input::fact(rig, supply.pressure)), way.take(Input::fact(rig, supply.flow))];
            Feed::Tap(numbers)
        }
        _ => Feed::Other,
    };
    let strainers = circuit
        .suction
        .iter()
        .filter(|piece| matches!(piece, Piece::Part(part) if matches!(plumbing.part(*part).1.kind, Kind::Strainer(_))))
        .count();
    let inlet = Inlet { way, flow: number, strainers: strainers as f64, feed };
    let inputs = &inlet.way.inputs;
    let pressure = monotone(inputs, |point| Some(inlet.pressure(point, 0.0)));
    for piece in &circuit.suction {
        let Piece::Line(line) = piece else { continue };
        let line = plumbing.line(*line);
        let ends = [line.from, line.to].map(|end| rig.reference(end).map_or("?", |(part, _)| part));
        let subject = sheet.subject(
            HOSE,
            format!("the hose from {} to {}", ends[0], ends[1]),
            rig.entry(line.entry).place.clone(),
        );
        sheet.link(subject, row(CARDS, HOSE, "line"), SubjectId(line.entry.0));
        sheet.link(subject, row(CARDS, HOSE, "pump"), SubjectId(circuit.part.0));
        sheet.enter(subject, row(CARDS, HOSE, "vacuum"), corners([&pressure], |[pressure]| Some(-pressure)));
    }
    let Kind::Washer(washer) = &part.kind else { return };
    let subject = sheet.subject(WAY, circuit.pump.clone(), rig.entry(part.entry).place.clone());
    sheet.link(subject, row(CARDS, WAY, "washer"), SubjectId(part.entry.0));
    sheet.link(subject, row(CARDS, WAY, "source"), SubjectId(source.map_or(part.entry, |source| source.entry).0));
    let fed_by = match &inlet.feed {
        Feed::Tank { .. } => "tank",
        Feed::Tap(..) => "tap",
        Feed::Other => "other",
    };
    sheet.note(subject, row(CARDS, WAY, "fed-by"), fed_by.to_owned());
    let hoses = || inlet.way.elements.iter().filter(|element| element.is_hose());
    let bore = |element: &super::water::way::Element| {
        element.bore.and_then(|number| inputs[number].range).map_or(f64::INFINITY, Range::middle)
    };
    let tightest = hoses().min_by(|one, other| bore(one).total_cmp(&bore(other)));
    let tight_bore =
        tightest.and_then(|element| element.bore).map_or_else(Bounded::default, |number| inputs[number].clone());
    let limit = Input::fact(rig, washer.lowest_inlet);
    let raise = corners([&pressure, &limit], |[pressure, limit]| {
        Some((limit - pressure).max(0.0) / (water::density(COLD) * GRAVITY))
    });
    let values = [
        ("suction-speed", corners([flow, &tight_bore], |[flow, bore]| (bore > 0.0).then(|| velocity(flow, bore)))),
        ("suction-bore-wanted", corners([flow], |[flow]| bore_for_velocity(flow, FASTEST_SUCTION))),
        ("raise-wanted", raise),
        ("inlet-with-inch-hose", monotone(inputs, |point| Some(inlet.pressure(point, INCH)))),
        ("inlet-pressure", pressure),
    ];
    for (name, value) in values {
        sheet.enter(subject, row(CARDS, WAY, name), value);
    }
    sheet.link(
        subject,
        row(CARDS, WAY, "suction-hose"),
        SubjectId(tightest.map_or(part.entry, |element| element.entry).0),
    );
}

/// The tanks that a circuit draws from, where its mode states how full they are.
fn drawn(rig: &Rig, sheet: &mut Sheet, plumbing: &Plumbing<'_>, circuit: &circuit::Circuit, flow: &Input) {
    let Some(mode) = rig.spec.modes.iter().find(|mode| Some(mode.item.entry) == circuit.mode) else { return };
    for source in &circuit.sources {
        let Some((part, tank)) = tank(rig, source) else { continue };
        let Some(level) =
            mode.item.levels.iter().find(|level| *level.name == **source).map(|level| Input::fact(rig, level.item))
        else {
            continue;
        };
        let branch = circuit.branches.iter().find(|branch| branch.source == *source);
        let pieces = branch.map_or(circuit.suction.as_slice(), |branch| branch.pieces.as_slice());
        let outlet = pieces.iter().find_map(|piece| match piece {
            Piece::Line(line) => {
                let line = plumbing.line(*line);
                Some(Input::fact(rig, if rig.states(line.hose) { line.hose } else { line.pipe }))
            }
            Piece::Part(_) => None,
        });
        let Some(outlet) = outlet else { continue };
        // The branches of a manifold are taken to give like shares.
        let share = if circuit.branches.len() > 1 { 1.0 / circuit.branches.len() as f64 } else { 1.0 };
        let needed = corners([&outlet, flow], |[bore, flow]| Some(gulps_at(bore, share * flow)));
        let height = Input::fact(rig, tank.inside_height);
        let there = corners([&level, &height], |[level, height]| Some(level * height));
        let heel = corners([&needed, &height, &Input::fact(rig, tank.capacity)], |[needed, height, capacity]| {
            (height > 0.0).then(|| capacity * (needed / height).min(1.0))
        });
        let subject =
            sheet.subject(DRAWN, format!("{source} in {}", circuit.mode_name), rig.entry(part.entry).place.clone());
        sheet.link(subject, row(CARDS, DRAWN, "tank"), SubjectId(part.entry.0));
        sheet.link(subject, row(CARDS, DRAWN, "pump"), SubjectId(circuit.part.0));
        sheet.note(subject, row(CARDS, DRAWN, "mode"), circuit.mode_name.clone());
        for (name, value) in [("depth-there", there), ("depth-needed", needed), ("heel", heel)] {
            sheet.enter(subject, row(CARDS, DRAWN, name), value);
        }
    }
}

/// A tank by its id.
fn tank<'a>(rig: &'a Rig, name: &str) -> Option<(&'a AnyPart, &'a Tank)> {
    let part = rig.part(name)?;
    match &part.kind {
        Kind::Tank(tank) => Some((part, tank)),
        _ => None,
    }
}

/// What a tank gives before its outlet gulps air, m3, for a flow through an outlet of a bore.
pub fn usable(rig: &Rig, tank: &Tank, outlet: &Input, flow: &Input) -> Bounded {
    corners(
        [outlet, flow, &Input::fact(rig, tank.inside_height), &Input::fact(rig, tank.capacity)],
        |[bore, flow, height, capacity]| {
            (height > 0.0).then(|| capacity * (1.0 - gulps_at(bore, flow) / height).max(0.0))
        },
    )
}

/// Water of the usual temperature.
pub fn usual_water() -> Liquid {
    water::water(water::SUPPLY_TEMPERATURE[1])
}
