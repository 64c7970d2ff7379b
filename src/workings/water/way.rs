//! A way of hoses and parts, from a pump to its end, with the facts that decide what it loses.
//!
//! The facts are gathered once, in [`Way::inputs`]; [`Way::laid`] then lays the way out for any choice of their values. What a
//! spec can't state (true bore, wall, fittings, water temperature) stands beside them in [`Soft`].

use crate::bounds::Input;
use crate::figures::hydraulics::fittings::{
    self, Check, ELBOW, FULL_BORE_BALL_VALVE, GUN_AND_LANCE, REEL_SWIVEL, capacity_of_k, check_valve, narrow_coupling,
};
use crate::figures::hydraulics::injector::Injector;
use crate::figures::hydraulics::pipe::{self, BORE_SHARE, HOSE_ROUGHNESS, Hose, WOUND};
use crate::figures::hydraulics::pump::DELIVERED_SHARE;
use crate::figures::hydraulics::{Liquid, water};
use crate::place::Place;
use crate::rig::parts::{AnyPart, Kind};
use crate::rig::system::Line;
use crate::rig::{Amount, EntryId, Rig};
use crate::workings::circuit::{Piece, Plumbing};

/// Coupling where a hose joins what it feeds, velocity heads of the hose: low, usual, high.
///
/// A straight coupling bored 0.28 in in a 3/8 in line loses 1.6 (fluids 1.3.1), a poppet coupling of Cv 2.4 loses 3.1. Three of
/// them, a reel swivel and a gun make the 15 heads of a usual high-pressure line.
const COUPLING: [f64; 3] = [1.6, 7.0 / 3.0, 3.1];
/// Area of an injector's nozzle over its throat, low and high: makers do not print it.
const INJECTOR_AREAS: [f64; 2] = [0.5, 0.6];

/// What no spec states about a way. Held at its usual values for figures; a figure that says so takes the whole of it in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Soft {
    /// Water temperature, degC.
    pub temperature: f64,
    /// Inside wall of hoses, m.
    pub roughness: f64,
    /// True bore of hoses over their nominal one.
    pub bore: f64,
    /// Fittings from their lowest (-1) through their usual (0) to their highest (1) loss.
    pub fittings: f64,
    /// Friction of hose left wound on its reel over that of hose laid out.
    pub wound: f64,
    /// What the pump delivers over its plate.
    pub delivered: f64,
}

/// How many numbers [`Soft`] holds.
pub const SOFT: usize = 6;

impl Soft {
    /// What is usual: water of 20 degC in a sound rubber hose of its nominal bore.
    pub const USUAL: Self = Self {
        temperature: water::SUPPLY_TEMPERATURE[1],
        roughness: HOSE_ROUGHNESS[1],
        bore: BORE_SHARE[1],
        fittings: 0.0,
        wound: WOUND[1],
        delivered: DELIVERED_SHARE[1],
    };

    /// The least and the most of each, in the order of [`Soft::of`].
    pub fn ranges() -> [Input; SOFT] {
        let ends = [water::SUPPLY_TEMPERATURE, HOSE_ROUGHNESS, BORE_SHARE, [-1.0, 0.0, 1.0], WOUND, DELIVERED_SHARE];
        ends.map(|[low, _, high]| Input { range: crate::measure::Range::new(low, high), facts: Vec::new() })
    }

    /// From numbers.
    pub fn of(numbers: &[f64]) -> Self {
        match *numbers {
            [temperature, roughness, bore, fittings, wound, delivered] => {
                Self { temperature, roughness, bore, fittings, wound, delivered }
            }
            _ => Self::USUAL,
        }
    }

    fn fitting(&self, [low, usual, high]: [f64; 3]) -> f64 {
        if self.fittings < 0.0 { usual + self.fittings * (usual - low) } else { usual + self.fittings * (high - usual) }
    }
}

/// One thing that the flow passes.
#[derive(Debug, Clone)]
pub struct Element {
    /// What people call it.
    pub name: String,
    /// What it is: `hose`, `pipe`, or the kind of part.
    pub kind: &'static str,
    /// Where it stands in the spec.
    pub place: Place,
    /// Its entry.
    pub entry: EntryId,
    /// The number of its bore among the inputs, for a hose or pipe.
    pub bore: Option<usize>,
    /// The number of its length among the inputs.
    pub length: Option<usize>,
    /// The pressure it is rated for.
    pub rated: Option<Amount>,
    sort: Sort,
}

#[derive(Debug, Clone)]
enum Sort {
    /// A hose or pipe of the plumbing.
    Run { bore: usize, length: usize, rise: Option<usize>, elbows: usize, rigid: bool },
    /// The hose on a reel; `out` is the length pulled off it, all of it where no duty says.
    Wound { bore: usize, length: usize, out: Option<usize> },
    /// A swivel: its own bore, and the bore of the hose it is counted in.
    Swivel { own: usize, hose: usize },
    /// Velocity heads in the bore of the hose before it.
    Heads { bore: usize, heads: [f64; 3] },
    /// So much lost at so much flow.
    AtFlow { loss: usize, flow: usize },
    /// An injector that draws nothing.
    Injector { orifice: usize },
    /// A check valve.
    Check { bore: usize, cracking: usize, swing: bool },
    /// Loses nothing worth counting.
    Free,
}

/// A way and the facts behind it.
#[derive(Debug, Clone, Default)]
pub struct Way {
    /// What the flow passes, in order; the end itself is not among them.
    pub elements: Vec<Element>,
    /// The facts, by number.
    pub inputs: Vec<Input>,
}

/// A way laid out for one choice of the facts: the hoses in order of the elements, each with its resistance and rise.
#[derive(Debug, Clone, Default)]
pub struct Laid {
    /// One for each element. A part without length is a hose of no length.
    pub hoses: Vec<Hose>,
    /// `1/capacity^2` of each element, Pa s2/m6.
    pub resistances: Vec<f64>,
    /// Rise of each element, m.
    pub rises: Vec<f64>,
    /// Those of the hoses that have a length: only they have friction to work out.
    long: Vec<Hose>,
    /// Resistance of all else.
    short: f64,
}

impl Laid {
    /// The line of the whole way.
    pub fn line(&self) -> pipe::Line<'_> {
        pipe::Line { hoses: &self.long, resistance: self.short, rise: self.rises.iter().sum() }
    }

    /// Loss of one element at a flow, Pa; its rise is not in it.
    pub fn loss(&self, at: usize, liquid: Liquid, flow: f64) -> f64 {
        pipe::loss(&self.hoses[at], liquid, flow) + self.resistances[at] * liquid.gravity() * flow * flow
    }
}

impl Way {
    /// Takes a fact in and gives its number.
    pub fn take(&mut self, input: Input) -> usize {
        self.inputs.push(input);
        self.inputs.len() - 1
    }

    /// Gathers the pieces of a way. The last part of a delivery is its end and is left to the caller.
    pub fn of(rig: &Rig, plumbing: &Plumbing<'_>, pieces: &[Piece]) -> Self {
        let mut way = Self::default();
        let mut bore = None;
        for piece in pieces {
            match *piece {
                Piece::Line(line) => bore = Some(way.run(rig, plumbing.line(line))),
                Piece::Part(part) => {
                    let (name, part) = plumbing.part(part);
                    way.part(rig, name, part, &mut bore);
                }
            }
        }
        way
    }

    fn run(&mut self, rig: &Rig, line: &Line) -> usize {
        let rigid = !rig.states(line.hose) && rig.states(line.pipe);
        let bore = self.take(Input::fact(rig, if rigid { line.pipe } else { line.hose }));
        let length = self.take(Input::fact(rig, line.length));
        let rise = self.take(Input::fact(rig, line.rise));
        let elbows = self.take(Input::fact(rig, line.elbows));
        let port = |port| rig.reference(port).map_or("?", |(part, _)| part);
        self.elements.push(Element {
            name: format!("{} to {}", port(line.from), port(line.to)),
            kind: if rigid { "pipe" } else { "hose" },
            place: rig.entry(line.entry).place.clone(),
            entry: line.entry,
            bore: Some(bore),
            length: Some(length),
            rated: Some(line.rated),
            sort: Sort::Run { bore, length, rise: Some(rise), elbows, rigid },
        });
        bore
    }

    fn part(&mut self, rig: &Rig, name: &str, part: &AnyPart, bore: &mut Option<usize>) {
        let mut element = Element {
            name: name.to_owned(),
            kind: rig.entry(part.entry).form.word,
            place: rig.entry(part.entry).place.clone(),
            entry: part.entry,
            bore: None,
            length: None,
            rated: None,
            sort: Sort::Free,
        };
        match &part.kind {
            Kind::Reel(reel) => {
                let hose = self.take(Input::fact(rig, reel.hose.bore));
                let own = self.take(Input::fact(rig, reel.bore));
                let length = self.take(Input::fact(rig, reel.hose.length));
                let mut swivel = element.clone();
                swivel.name = format!("{name}, swivel");
                swivel.rated = Some(reel.rated);
                swivel.sort = Sort::Swivel { own, hose };
                self.elements.push(swivel);
                element.name = format!("{name}, hose");
                element.rated = Some(reel.hose.rated);
                (element.bore, element.length) = (Some(hose), Some(length));
                element.sort = Sort::Wound { bore: hose, length, out: None };
                *bore = Some(hose);
            }
            Kind::Hose(hose) => {
                let (inside, length) =
                    (self.take(Input::fact(rig, hose.bore)), self.take(Input::fact(rig, hose.length)));
                let none = self.take(Input::fixed(0.0));
                element.rated = Some(hose.rated);
                (element.bore, element.length) = (Some(inside), Some(length));
                element.sort = Sort::Run { bore: inside, length, rise: None, elbows: none, rigid: false };
                *bore = Some(inside);
            }
            Kind::Gun(gun) => {
                element.rated = Some(gun.rated);
                element.sort = match *bore {
                    _ if rig.states(gun.loss) => Sort::AtFlow {
                        loss: self.take(Input::fact(rig, gun.loss)),
                        flow: self.take(Input::fact(rig, gun.rated_flow)),
                    },
                    Some(bore) => Sort::Heads { bore, heads: [GUN_AND_LANCE[0], 5.0, GUN_AND_LANCE[1]] },
                    None => Sort::Free,
                };
            }
            Kind::Injector(injector) => {
                element.sort = Sort::Injector { orifice: self.take(Input::fact(rig, injector.orifice)) }
            }
            Kind::Valve(valve) => {
                element.rated = Some(valve.rated);
                let own = self.take(Input::fact(rig, valve.bore));
                element.sort = Sort::Heads {
                    bore: own,
                    heads: [FULL_BORE_BALL_VALVE, FULL_BORE_BALL_VALVE, fittings::REDUCED_BALL_VALVE],
                };
            }
            Kind::Check(check) => {
                let swing = rig.word(check.style) == Some("swing");
                element.sort = Sort::Check {
                    bore: self.take(Input::fact(rig, check.bore)),
                    cracking: self.take(Input::fact(rig, check.cracking)),
                    swing,
                };
            }
            _ => {}
        }
        self.elements.push(element);
    }

    /// Leaves on the reel what a duty does not pull off it: the input is the length it runs out.
    pub fn pull(&mut self, run: Input) {
        let number = self.take(run);
        for element in &mut self.elements {
            if let Sort::Wound { out, .. } = &mut element.sort {
                *out = Some(number);
            }
        }
    }

    /// Lays the way out; `point` holds a value for each of the inputs.
    pub fn laid(&self, point: &[f64], soft: &Soft, liquid: Liquid) -> Laid {
        let mut laid = Laid::default();
        for element in &self.elements {
            let (hose, resistance, rise) = element.laid(point, soft, liquid);
            laid.short += resistance;
            if hose.length > 0.0 {
                laid.long.push(hose);
            } else if let Some(capacity) = capacity_of_k(hose.fittings, hose.bore) {
                laid.short += 1.0 / (capacity * capacity);
            }
            laid.hoses.push(hose);
            laid.resistances.push(resistance);
            laid.rises.push(rise);
        }
        laid
    }
}

impl Element {
    fn laid(&self, point: &[f64], soft: &Soft, liquid: Liquid) -> (Hose, f64, f64) {
        let hose = |bore: f64, length: f64, fittings: f64, winding: f64| Hose {
            bore: bore.max(LEAST_BORE),
            length,
            roughness: soft.roughness,
            fittings,
            winding,
        };
        let part = |fittings: f64, bore: f64| hose(bore, 0.0, fittings, 1.0);
        match self.sort {
            Sort::Run { bore, length, rise, elbows, rigid } => {
                let true_bore = if rigid { point[bore] } else { soft.bore * point[bore] };
                let elbow = soft.fitting([ELBOW[0], 0.5 * (ELBOW[0] + ELBOW[1]), ELBOW[1]]);
                let heads = soft.fitting(COUPLING) + elbow * point[elbows];
                (hose(true_bore, point[length], heads, 1.0), 0.0, rise.map_or(0.0, |rise| point[rise]))
            }
            Sort::Wound { bore, length, out } => {
                let whole = point[length];
                let left = out.map_or(0.0, |out| (whole - point[out]).max(0.0));
                let winding = if whole > 0.0 { 1.0 + (soft.wound - 1.0) * left / whole } else { 1.0 };
                (hose(soft.bore * point[bore], whole, 0.0, winding), 0.0, 0.0)
            }
            Sort::Swivel { own, hose: bore } => {
                let heads = soft.fitting([REEL_SWIVEL[0], 0.5 * (REEL_SWIVEL[0] + REEL_SWIVEL[1]), REEL_SWIVEL[1]]);
                (
                    part(heads + narrow_coupling(point[own].max(LEAST_BORE), point[bore].max(LEAST_BORE)), point[bore]),
                    0.0,
                    0.0,
                )
            }
            Sort::Heads { bore, heads } => (part(soft.fitting(heads), point[bore]), 0.0, 0.0),
            Sort::AtFlow { loss, flow } => {
                let flow = point[flow].max(LEAST_FLOW);
                // Stated at its rated flow with water.
                (part(0.0, 1.0), point[loss] / (flow * flow), 0.0)
            }
            Sort::Injector { orifice } => {
                let [low, high] = INJECTOR_AREAS;
                // Fittings as good as they get go with the smooth injector, poor ones with the rough one.
                let nozzle = point[orifice].max(LEAST_BORE);
                let (smooth, rough) = (Injector::smooth(nozzle, high), Injector::rough(nozzle, low));
                let each =
                    |injector: Injector| injector.rinse_capacity().map_or(0.0, |capacity| 1.0 / (capacity * capacity));
                let ends = (each(smooth), each(rough));
                let resistance = soft.fitting([ends.0.min(ends.1), 0.5 * (ends.0 + ends.1), ends.0.max(ends.1)]);
                (part(0.0, 1.0), resistance, 0.0)
            }
            Sort::Check { bore, cracking, swing } => {
                let check = if swing { Check::Swing } else { Check::Spring };
                let bore = point[bore].max(LEAST_BORE);
                let resistance =
                    capacity_of_k(check_valve(check, bore), bore).map_or(0.0, |capacity| 1.0 / (capacity * capacity));
                // A spring takes its pressure whatever the flow, as a rise does.
                let held =
                    if swing { 0.0 } else { point[cracking] / (liquid.density * crate::figures::hydraulics::GRAVITY) };
                (part(0.0, 1.0), resistance, held)
            }
            Sort::Free => (part(0.0, 1.0), 0.0, 0.0),
        }
    }

    /// It is a length of hose or pipe.
    pub fn is_hose(&self) -> bool {
        matches!(self.sort, Sort::Run { .. } | Sort::Wound { .. })
    }

    /// The numbers of a swivel's own bore and of its hose's, among the inputs.
    pub fn swivel(&self) -> Option<(usize, usize)> {
        match self.sort {
            Sort::Swivel { own, hose } => Some((own, hose)),
            _ => None,
        }
    }

    /// Its loss belongs to hoses and fittings, not to a part with a loss of its own.
    pub fn is_hose_or_fitting(&self) -> bool {
        matches!(self.sort, Sort::Run { .. } | Sort::Wound { .. } | Sort::Swivel { .. } | Sort::Heads { .. })
    }
}

/// A bore of nought would be no hose; a spec that says so gets a pinhole.
const LEAST_BORE: f64 = 1e-4;
/// A part rated for no flow passes a drop, m3/s.
const LEAST_FLOW: f64 = 1e-7;
