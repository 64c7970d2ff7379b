//! A washer on its way to the tip: where it settles, what that costs the engine, what it leaves for a better choice.

use std::cell::RefCell;

use super::way::{Laid, SOFT, Soft, Way};
use crate::bounds::{Bounded, Input, corners, monotone};
use crate::figures::hydraulics::atmosphere::air_pressure;
use crate::figures::hydraulics::pipe::{self, Hose, line_loss};
use crate::figures::hydraulics::pump::{self, WashPoint, Washer};
use crate::figures::hydraulics::{Liquid, engine, nozzle, water};
use crate::measure::Range;
use crate::rig::Rig;
use crate::rig::parts::{self, AnyPart, Kind};

/// Pressure that tip numbers stand for: a number 4 passes 4 gpm at 4000 psi. Trade convention; a stated test pressure goes first.
pub const TIP_PRESSURE: f64 = 4000.0 * 6_894.757_293_168;
/// Heights that the standard atmosphere is good for, m.
pub const LOWEST_SITE: f64 = -500.0;
const HIGHEST_SITE: f64 = 11_000.0;
/// Nought on the Celsius scale, K.
const CELSIUS: f64 = 273.15;

/// A washer, the way to its tip, and the numbers of the facts among the way's inputs.
#[derive(Debug, Clone)]
pub struct Circuit {
    /// From pump to tip.
    pub way: Way,
    flow: usize,
    unloader: usize,
    tip: usize,
    angle: usize,
}

/// Everything about one choice of the facts.
#[derive(Debug, Clone, Copy)]
pub struct State {
    /// What the pump delivers, m3/s.
    pub pump_flow: f64,
    /// Setting of the unloader, Pa.
    pub unloader: f64,
    /// Where it settles.
    pub point: WashPoint,
    /// At the pump to push the whole flow, Pa.
    pub needed: f64,
    /// Lost in hoses and fittings by the whole flow, Pa.
    pub hose_loss: f64,
    /// Left for the tip by the whole flow at the unloader's setting, Pa; below 0 when hose and height take it all.
    pub left: f64,
    /// Trade size of the tip, or of several together.
    pub size: f64,
    /// Trade size that just keeps the unloader shut.
    pub exact: Option<f64>,
}

/// What hoses and fittings take, one hose apart.
#[derive(Debug, Clone, Copy)]
pub struct Losses {
    /// What the pump delivers, m3/s.
    pub pump_flow: f64,
    /// Setting of the unloader, Pa.
    pub unloader: f64,
    /// The hose looked at.
    pub main: Hose,
    /// What the others take, Pa.
    pub rest: f64,
}

impl Circuit {
    /// Gathers a washer, its way and its tip.
    pub fn of(rig: &Rig, washer: &parts::Washer, mut way: Way, end: &AnyPart) -> Self {
        let flow = way.take(Input::fact(rig, washer.flow));
        let unloader = way.take(Input::fact(rig, washer.unloader.opens));
        let angle = match &end.kind {
            Kind::Nozzle(tip) if rig.known(tip.angle).is_some() => Input::fact(rig, tip.angle),
            _ => Input::fixed(0.0),
        };
        let tip = way.take(capacity(rig, end));
        let angle = way.take(angle);
        Self { way, flow, unloader, tip, angle }
    }

    /// Everything for one choice of the facts.
    pub fn state(&self, point: &[f64], soft: &Soft) -> State {
        let liquid = water::water(soft.temperature);
        let laid = self.way.laid(point, soft, liquid);
        self.settled(&laid, liquid, point, soft)
    }

    fn settled(&self, laid: &Laid, liquid: Liquid, point: &[f64], soft: &Soft) -> State {
        let washer = Washer {
            pump_flow: (point[self.flow] * soft.delivered).max(LEAST),
            unloader: point[self.unloader],
            nozzle: point[self.tip].max(LEAST * LEAST),
            line: laid.line(),
            liquid,
        };
        let settled = pump::wash_point(&washer);
        let hoses: Vec<Hose> = self
            .way
            .elements
            .iter()
            .zip(&laid.hoses)
            .filter(|(element, _)| element.is_hose_or_fitting())
            .map(|(_, hose)| *hose)
            .collect();
        let hose_loss = line_loss(&pipe::Line { hoses: &hoses, resistance: 0.0, rise: 0.0 }, liquid, washer.pump_flow);
        State {
            pump_flow: washer.pump_flow,
            unloader: washer.unloader,
            needed: pump::pressure_needed(&washer, washer.pump_flow),
            hose_loss,
            left: washer.unloader
                - line_loss(&washer.line, liquid, washer.pump_flow)
                - pipe::lift(&washer.line, liquid),
            // A size 5 is 5 and not the last bit more: sizes are compared with stock sizes.
            size: (nozzle::size_of_capacity(washer.nozzle) * 1e9).round() / 1e9,
            exact: pump::exact_nozzle(&washer).map(nozzle::size_of_capacity),
            point: settled,
        }
    }

    /// What hoses and fittings take from the whole flow, the hose at `main` apart from the others.
    pub fn losses(&self, point: &[f64], soft: &Soft, main: usize) -> Losses {
        let liquid = water::water(soft.temperature);
        let laid = self.way.laid(point, soft, liquid);
        let pump_flow = (point[self.flow] * soft.delivered).max(LEAST);
        let others =
            self.way.elements.iter().enumerate().filter(|(at, element)| *at != main && element.is_hose_or_fitting());
        let rest = others.map(|(at, _)| pipe::loss(&laid.hoses[at], liquid, pump_flow)).sum();
        Losses { pump_flow, unloader: point[self.unloader], main: laid.hoses[main], rest }
    }

    /// The share of all that the running flow loses which one element loses.
    pub fn share(&self, point: &[f64], soft: &Soft, element: usize) -> Option<f64> {
        let liquid = water::water(soft.temperature);
        let laid = self.way.laid(point, soft, liquid);
        let flow = (point[self.flow] * soft.delivered).max(LEAST);
        let all = line_loss(&laid.line(), liquid, flow);
        (all > 0.0).then(|| laid.loss(element, liquid, flow) / all)
    }

    /// The same circuit with more tips open beside its own.
    pub fn with_tips(&self, more: &[&Self]) -> Self {
        let mut both = self.clone();
        let sum = |one: &Input, other: &Input| corners([one, other], |[one, other]| Some(one + other));
        both.way.inputs[self.tip] =
            more.iter().fold(self.way.inputs[self.tip].clone(), |all, other| sum(&all, &other.way.inputs[other.tip]));
        both
    }

    /// Spray angle of the tip, rad.
    pub fn angle(&self) -> &Input {
        &self.way.inputs[self.angle]
    }

    /// The middle of the facts; `None` while one of them is not bounded.
    pub fn middle(&self) -> Option<Vec<f64>> {
        self.way.inputs.iter().map(|input| input.range.map(Range::middle)).collect()
    }

    /// The same circuit with the hose at `element` of another bore.
    pub fn with_bore(&self, element: usize, bore: f64) -> Self {
        let mut other = self.clone();
        if let Some(number) = other.way.elements[element].bore {
            other.way.inputs[number] = Input::fixed(bore);
        }
        other
    }

    /// The element with the longest hose, in the middle of the facts.
    pub fn longest(&self) -> Option<usize> {
        let length = |at: &usize| {
            self.way.elements[*at].length.and_then(|number| self.way.inputs[number].range).map_or(0.0, Range::middle)
        };
        (0..self.way.elements.len())
            .filter(|at| self.way.elements[*at].is_hose())
            .max_by(|a, b| length(a).total_cmp(&length(b)))
    }

    /// The hoses: element and bore.
    pub fn hoses(&self) -> impl Iterator<Item = (usize, &Input)> {
        self.way
            .elements
            .iter()
            .enumerate()
            .filter(|(_, element)| element.is_hose())
            .filter_map(|(at, element)| Some((at, &self.way.inputs[element.bore?])))
    }
}

/// Capacity of the tips at the end of a way, m3/s at 1 Pa, from what is stated of them.
pub fn capacity(rig: &Rig, end: &AnyPart) -> Input {
    let (flow, at_pressure, count, orifice) = match &end.kind {
        Kind::Nozzle(tip) => (tip.flow, tip.at_pressure, tip.count, Some(tip.orifice)),
        Kind::SurfaceCleaner(cleaner) => (cleaner.flow, cleaner.at_pressure, cleaner.nozzles, None),
        _ => return Input { range: None, facts: Vec::new() },
    };
    let count = Input::fact(rig, count);
    if let Some(orifice) = orifice.filter(|orifice| rig.known(flow).is_none() && rig.states(*orifice)) {
        let [low, _, high] = nozzle::HIGH_PRESSURE_DISCHARGE;
        let discharge = Input { range: Range::new(low, high), facts: Vec::new() };
        return corners([&Input::fact(rig, orifice), &discharge, &count], |[bore, discharge, count]| {
            Some(count.max(1.0) * nozzle::capacity_of_bore(bore, discharge))
        });
    }
    // Tip numbers are printed for 4000 psi, and a tip that says nothing of its pressure is sold by its number.
    let pressure = if rig.states(at_pressure) { Input::fact(rig, at_pressure) } else { Input::fixed(TIP_PRESSURE) };
    corners([&Input::fact(rig, flow), &pressure, &count], |[flow, pressure, count]| {
        nozzle::capacity_for(count.max(1.0) * flow, 1.0, pressure)
    })
}

/// Less than any pump gives, m3/s; keeps a spec that says nought out of divisions.
const LEAST: f64 = 1e-9;

/// Bounds the outputs of a circuit over its facts, each choice of them worked out once however many outputs ask for it.
pub struct Bounds<'a> {
    circuit: &'a Circuit,
    inputs: Vec<Input>,
    /// The inputs that are no facts begin here.
    soft: usize,
    known: RefCell<Vec<(Vec<f64>, State)>>,
}

impl<'a> Bounds<'a> {
    /// Over the facts, with what no spec states at its usual values.
    pub fn usual(circuit: &'a Circuit) -> Self {
        let inputs = circuit.way.inputs.clone();
        Self { circuit, soft: inputs.len(), inputs, known: RefCell::new(Vec::new()) }
    }

    /// Over the facts and over everything that no spec states.
    pub fn widest(circuit: &'a Circuit) -> Self {
        let mut inputs = circuit.way.inputs.clone();
        let soft = inputs.len();
        inputs.extend(Soft::ranges());
        Self { circuit, inputs, soft, known: RefCell::new(Vec::new()) }
    }

    fn state(&self, point: &[f64]) -> State {
        if let Some((_, known)) = self.known.borrow().iter().find(|(known, _)| known.as_slice() == point) {
            return *known;
        }
        let soft = match point.get(self.soft..) {
            Some(numbers) if numbers.len() == SOFT => Soft::of(numbers),
            _ => Soft::USUAL,
        };
        let state = self.circuit.state(point, &soft);
        self.known.borrow_mut().push((point.to_vec(), state));
        state
    }

    /// The ends of an output that rises or falls steadily with each fact.
    pub fn of(&self, output: impl Fn(&State) -> Option<f64>) -> Bounded {
        monotone(&self.inputs, |point| output(&self.state(point)))
    }
}

/// Power of an engine on the hottest day at the height of the job, W.
///
/// A motor loses none. Where nothing says what drives the pump it may be either. Diesels are taken as gasoline engines are.
pub fn available(rig: &Rig, washer: &parts::Washer) -> Bounded {
    let rated = Input::fact(rig, washer.engine.power);
    let fuel = rig.word(washer.engine.fuel);
    if matches!(fuel, Some("electric" | "hydraulic")) {
        return rated.leaning([washer.engine.fuel.id]);
    }
    let (height, hottest) = (Input::fact(rig, rig.spec.climate.altitude), Input::fact(rig, rig.spec.climate.hottest));
    let on_site = corners([&rated, &height, &hottest], |[rated, height, hottest]| {
        Some(engine::available_power(
            rated,
            air_pressure(height.clamp(LOWEST_SITE, HIGHEST_SITE)).max(1.0),
            hottest - CELSIUS,
        ))
    });
    if fuel.is_some() {
        return on_site;
    }
    let range = on_site.range.zip(rated.range).map(|(one, other)| one.hull(other));
    Bounded { range, facts: on_site.facts }
}

/// Greatest height at which an engine still drives its pump on the hottest day, m; [`LOWEST_SITE`] where it does nowhere.
pub fn highest_site(rig: &Rig, washer: &parts::Washer, needed: &Bounded) -> Bounded {
    let (rated, hottest) = (Input::fact(rig, washer.engine.power), Input::fact(rig, rig.spec.climate.hottest));
    corners([&rated, needed, &hottest], |[rated, needed, hottest]| {
        let height = if needed <= 0.0 {
            Some(HIGHEST_SITE)
        } else {
            engine::highest_site(rated, needed, hottest - CELSIUS, 0.0)
        };
        Some(height.map_or(LOWEST_SITE, |height| height.clamp(LOWEST_SITE, HIGHEST_SITE)))
    })
}
