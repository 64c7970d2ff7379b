//! Low-pressure delivery: the 12 V pump against hose and tip, its switch and accumulator, what it throws, what its wire costs.

pub mod duty;

#[cfg(test)]
mod tests;

use super::circuit::{self, Piece, Plumbing};
use super::water::way::{Soft, Way};
use super::{Card, Gives, Sheet, SubjectId, loads, row};
use crate::bounds::{Bounded, Input, corners, monotone};
use crate::figures::bleach;
use crate::figures::electrical::wire::{Conductor, STRANDING, copper_resistance, voltage_drop};
use crate::figures::hydraulics::accumulator::{
    Accumulator, MOST_STARTS_A_MINUTE, drawdown, most_starts, volume_for_starts,
};
use crate::figures::hydraulics::atmosphere::STANDARD_PRESSURE;
use crate::figures::hydraulics::delivery::{
    CUT_OUT_FLOW_SHARE, Delivery, DeliveryPoint, DeliveryPump, delivery_point, tip_for_pump_pressure,
};
use crate::figures::hydraulics::nozzle::{self, TIP_DISCHARGE};
use crate::figures::hydraulics::pipe::{Line, held_volume, purge_time};
use crate::figures::hydraulics::{GRAVITY, Liquid, jet, water};
use crate::measure::{Measure, Range};
use crate::rig::parts::{self, AnyPart, Kind};
use crate::rig::{Amount, EntryId, FactId, Rig, Strength};

const DARCY: &str = "Darcy-Weisbach with Colebrook-White friction; IAPWS water";
const PUMP: &str =
    "straight line of a permanent-magnet motor; flow at cut-out 53 % of open flow, from memory of makers' tables";
const JET: &str = "Lueger's formula for solid streams, from memory";
const GEOMETRY: &str = "geometry";
const PRACTICE: &str = "common practice, no source";

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

/// A delivery pump's way to its tip, once for all the modes it is the same in.
const WAY: &str = "delivery-way";
/// A job done with a delivery pump.
const DUTY: &str = "delivery-duty";

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    link(WAY, "pump", "delivery-pump", "The pump"),
    link(WAY, "tip", "nozzle", "The tip"),
    figure(WAY, "tip-flow", Measure::Flow, "Flow at the tip", "pump's line against hose, height and tip", DARCY),
    figure(
        WAY,
        "tip-pressure",
        Measure::Pressure,
        "Pressure at the tip",
        "pump's line against hose, height and tip",
        DARCY,
    ),
    figure(
        WAY,
        "pump-pressure",
        Measure::Pressure,
        "Pressure at the pump with its switch held closed",
        "tip + hose + height",
        PUMP,
    ),
    figure(
        WAY,
        "line-loss",
        Measure::Pressure,
        "Pressure lost in hose and fittings",
        "(friction × length ÷ bore + fittings) × velocity head",
        DARCY,
    ),
    figure(
        WAY,
        "tip-bore",
        Measure::Length,
        "Bore of the tip, or the bore that passes its stated flow",
        "as stated, or flow ÷ (0.93 × √(2 × pressure ÷ density))",
        PRACTICE,
    ),
    figure(
        WAY,
        "throw-best",
        Measure::Length,
        "Most height that the jet can reach",
        "H ÷ (1 + drag × H), H = pressure ÷ (density × g)",
        JET,
    ),
    figure(
        WAY,
        "throw-sure",
        Measure::Length,
        "Height that the jet reaches for sure with a solid tip",
        "0.8 × most height",
        JET,
    ),
    figure(
        WAY,
        "tip-bore-steady",
        Measure::Length,
        "Smallest bore of the tip with which the pump does not cycle",
        "tip that holds the pump at its cut-in pressure",
        PUMP,
    ),
    figure(
        WAY,
        "most-pressure",
        Measure::Pressure,
        "Most pressure in the line with the gun shut",
        "cut-out + height that the line falls",
        "statics",
    ),
    figure(
        WAY,
        "line-rating",
        Measure::Pressure,
        "Lowest pressure that anything between pump and tip is rated for",
        "the least of the ratings",
        "SAE J1273: working pressure not under the pressure of the system",
    ),
    note(WAY, "weakest-name", "What has that rating"),
    link(WAY, "weakest", "part", "What has that rating"),
    figure(WAY, "line-holds", Measure::Volume, "What the line holds from pump to tip", "area × length", GEOMETRY),
    figure(
        WAY,
        "purge-time",
        Measure::Duration,
        "Time until what leaves the tip is what now enters the pump",
        "what the line holds ÷ flow",
        "plug flow",
    ),
    note(WAY, "carries-bleach", "`yes` where the pump draws bleach or mix in some mode"),
    figure(WAY, "rinses", Measure::Count, "Modes in which the pump draws water alone", "count", "the spec's modes"),
    note(WAY, "accumulator-name", "The accumulator on the way; `none` without one"),
    link(WAY, "accumulator", "part", "The accumulator on the way; the pump without one"),
    figure(WAY, "precharge", Measure::Pressure, "Air charge of the accumulator", "as stated", "the spec"),
    figure(
        WAY,
        "starts",
        Measure::Count,
        "Most starts of the pump in a minute with the accumulator, whatever is drawn",
        "flow ÷ (4 × drawdown)",
        "Boyle's law",
    ),
    figure(
        WAY,
        "accumulator-wanted",
        Measure::Volume,
        "Accumulator that keeps it to 6 starts a minute",
        "flow ÷ (4 × 6 a minute × drawdown of a litre)",
        "Boyle's law",
    ),
    figure(
        WAY,
        "wire-drop",
        Measure::Voltage,
        "Voltage lost between battery and pump",
        "2 × length × resistance × current, warm copper",
        "IEC 60028",
    ),
    figure(
        WAY,
        "sag-share",
        Measure::Ratio,
        "Share of the tip's pressure that the wire costs",
        "tip at full volts against tip at what is left",
        PUMP,
    ),
    figure(
        WAY,
        "sagged-pressure",
        Measure::Pressure,
        "Pressure at the tip with what the wire leaves",
        "as the pressure at the tip, open flow in step with volts",
        PUMP,
    ),
    link(DUTY, "duty", "duty", "The duty"),
    link(DUTY, "way", WAY, "The way to the tip"),
    link(DUTY, "pump", "delivery-pump", "The pump it is done with"),
    figure(
        DUTY,
        "job-flow",
        Measure::Flow,
        "Flow at the tip with the hose run out for this job",
        "as the flow at the tip",
        DARCY,
    ),
    figure(
        DUTY,
        "job-pressure",
        Measure::Pressure,
        "Pressure at the tip with the hose run out for this job",
        "as the pressure at the tip",
        DARCY,
    ),
    figure(DUTY, "hose-there", Measure::Length, "Hose from the reel on", "hose on the reel + hose behind it", GEOMETRY),
    figure(
        DUTY,
        "throw-needed",
        Measure::Length,
        "Height the jet must be able to reach for this ridge from this far, tip at 4 ft",
        "(rise + √(distance² + rise²)) ÷ 2",
        "parabola of safety",
    ),
    figure(DUTY, "throw-distance", Measure::Length, "Distance from the tip to the surface", "as stated", "the spec"),
    figure(DUTY, "job-throw-sure", Measure::Length, "Height that the jet reaches for sure", "0.8 × most height", JET),
    figure(DUTY, "job-throw-best", Measure::Length, "Most height that the jet can reach", "H ÷ (1 + drag × H)", JET),
    figure(
        DUTY,
        "ridge-reached",
        Measure::Length,
        "Ridge that is reached for sure from this far",
        "4 ft + height − distance² ÷ (4 × height)",
        "parabola of safety",
    ),
    figure(
        DUTY,
        "pressure-wanted",
        Measure::Pressure,
        "Pressure at this tip that reaches the ridge for sure",
        "inverse of the jet's height",
        JET,
    ),
    figure(
        DUTY,
        "best-bore",
        Measure::Length,
        "Bore of the solid tip that throws highest with this pump and hose",
        "1/8 to 3/8 in, every 1/64 in",
        JET,
    ),
    figure(DUTY, "best-throw", Measure::Length, "Height that this best tip reaches for sure", "0.8 × most height", JET),
    figure(DUTY, "mix-per-job", Measure::Volume, "Mix that one job takes", "area × coverage", GEOMETRY),
    figure(
        DUTY,
        "mix-per-day",
        Measure::Volume,
        "Mix that a day of this job takes",
        "area × coverage × jobs",
        GEOMETRY,
    ),
    figure(DUTY, "spray-time", Measure::Duration, "Time the trigger is pulled for one job", "mix ÷ flow", GEOMETRY),
    figure(
        DUTY,
        "strength-wanted",
        Measure::Ratio,
        "Strength wanted on the surface, trade percent",
        "the stated strength by its basis",
        "trade percent is grams of available chlorine in 100 mL",
    ),
    figure(
        DUTY,
        "strength-there",
        Measure::Ratio,
        "Strength of the strongest that the pump can draw, trade percent; nought where it draws no bleach",
        "the strongest tank it draws from",
        "the spec",
    ),
    figure(
        DUTY,
        "stock-per-day",
        Measure::Volume,
        "What a day of this job takes out of the strongest tank",
        "mix × strength wanted ÷ strength there",
        "balance of chlorine",
    ),
    figure(DUTY, "stock-there", Measure::Volume, "What the strongest tank holds to the brim", "as stated", "the spec"),
    figure(
        DUTY,
        "jobs-per-fill",
        Measure::Count,
        "Jobs that one fill of the strongest tank does",
        "capacity ÷ what one job takes",
        "balance of chlorine",
    ),
    figure(
        DUTY,
        "area-per-fill",
        Measure::Area,
        "Area that one fill of the strongest tank does",
        "capacity × strength there ÷ strength wanted ÷ coverage",
        "balance of chlorine",
    ),
    note(DUTY, "stock-name", "The strongest tank that the pump draws from"),
    link(DUTY, "stock", "part", "The strongest tank that the pump draws from; the pump where there is none"),
];

/// Water temperature that figures are worked out at, degC.
const TEMPERATURE: f64 = water::SUPPLY_TEMPERATURE[1];
/// Height at which an operator holds the tip, m: 4 ft. Common practice, no source.
const HAND_HEIGHT: f64 = 4.0 * 0.3048;
/// Volts a 12 V pump is rated at with the charger or engine running; from memory of makers' tables.
const RATED_VOLTS: f64 = 13.6;
/// Temperature of a wire that works, degC.
const WARM_WIRE: f64 = 50.0;
/// Inch, m.
const INCH: f64 = 0.0254;
/// Less than any pump gives, m3/s; keeps a spec that says nought out of divisions.
const LEAST: f64 = 1e-9;

/// A delivery pump's way, as the other files of this chapter look at it.
pub struct Delivering<'a> {
    /// Its subject.
    pub subject: SubjectId,
    /// The pump's part.
    pub part: &'a AnyPart,
    /// The pump.
    pub pump: &'a parts::DeliveryPump,
    /// Pump, way and tip.
    pub push: Push,
}

/// A pump, the way to its tip, and the numbers of the facts among the way's inputs.
#[derive(Debug, Clone)]
pub struct Push {
    /// From pump to tip.
    pub way: Way,
    /// What is pumped.
    pub liquid: Liquid,
    open_flow: usize,
    cut_out: usize,
    cut_in: usize,
    bore: usize,
    count: usize,
}

impl Push {
    fn of(rig: &Rig, pump: &parts::DeliveryPump, tip: &parts::Nozzle, mut way: Way, liquid: Liquid) -> Self {
        let open_flow = way.take(Input::fact(rig, pump.open_flow));
        let cut_out = way.take(Input::fact(rig, pump.cut_out));
        let cut_in = way.take(Input::fact(rig, pump.cut_in));
        let bore = way.take(tip_bore(rig, tip));
        let count = way.take(Input::fact(rig, tip.count));
        Self { way, liquid, open_flow, cut_out, cut_in, bore, count }
    }

    /// Whether the way ends at this tip.
    pub fn ends_at(&self, part: &AnyPart) -> bool {
        let facts = &self.way.inputs[self.count].facts;
        matches!(&part.kind, Kind::Nozzle(tip) if facts.iter().any(|(fact, _)| *fact == tip.count.id))
    }

    fn pump(&self, point: &[f64]) -> DeliveryPump {
        let open_flow = point[self.open_flow].max(LEAST);
        DeliveryPump {
            open_flow,
            cut_out_flow: CUT_OUT_FLOW_SHARE[1] * open_flow,
            cut_out: point[self.cut_out].max(1.0),
            cut_in: point[self.cut_in],
            open_current: 0.0,
            cut_out_current: 0.0,
        }
    }

    /// Runs `ask` on the delivery laid out for one choice of the facts.
    fn with<T>(&self, point: &[f64], volts_share: f64, ask: impl Fn(&Delivery<'_>) -> T) -> T {
        let laid = self.way.laid(point, &Soft::USUAL, self.liquid);
        let bore = point[self.bore].max(1e-4);
        let tip = point[self.count].max(1.0) * nozzle::capacity_of_bore(bore, TIP_DISCHARGE[1]);
        let line: Line<'_> = laid.line();
        ask(&Delivery { pump: self.pump(point), volts_share, tip, line, liquid: self.liquid })
    }

    fn point(&self, point: &[f64], volts_share: f64) -> DeliveryPoint {
        self.with(point, volts_share, delivery_point)
    }

    /// An output that rises or falls steadily with each fact.
    fn bound(&self, output: impl Fn(&DeliveryPoint, &[f64]) -> Option<f64>) -> Bounded {
        monotone(&self.way.inputs, |point| output(&self.point(point, 1.0), point))
    }

    /// Flow at the tip.
    pub fn flow(&self) -> Bounded {
        self.bound(|settled, _| Some(settled.flow))
    }

    /// Flow at the tip with a tip of another bore, m.
    pub fn flow_with_bore(&self, bore: &Input) -> Bounded {
        let mut other = self.clone();
        other.way.inputs[self.bore] = bore.clone();
        other.flow()
    }

    /// Height of the jet in m. It rises with the tip's bore and falls again, so a bore known only between two ends is tried in steps.
    fn height(&self, share: f64) -> Bounded {
        let bore = self.way.inputs[self.bore].range.filter(|range| !range.is_point());
        let mut bounded = self.height_of(share);
        for step in bore
            .into_iter()
            .flat_map(|range| (0..=8).map(move |step| range.low + range.width() * f64::from(step) / 8.0))
        {
            let mut at = self.clone();
            at.way.inputs[self.bore] = Input::fixed(step);
            let there = at.height_of(share).range;
            bounded.range = bounded.range.zip(there).map(|(one, other)| one.hull(other));
        }
        bounded
    }

    fn height_of(&self, share: f64) -> Bounded {
        self.bound(|settled, point| {
            Some(share * jet::height(settled.tip_pressure, self.liquid.density, point[self.bore].max(1e-4)))
        })
    }

    /// The middle of the facts; `None` while one of them is not bounded.
    fn middle(&self) -> Option<Vec<f64>> {
        self.way.inputs.iter().map(|input| input.range.map(Range::middle)).collect()
    }

    /// The solid tip that throws highest, in the middle of the facts: bore and height reached for sure.
    fn best_tip(&self) -> Option<(f64, f64)> {
        let mut point = self.middle()?;
        let tried = (8..=24).map(|sixty_fourths| {
            let bore = f64::from(sixty_fourths) / 64.0 * INCH;
            point[self.bore] = bore;
            point[self.count] = 1.0;
            (bore, jet::SURE_SHARE * jet::height(self.point(&point, 1.0).tip_pressure, self.liquid.density, bore))
        });
        tried.max_by(|one, other| one.1.total_cmp(&other.1))
    }
}

/// Bore of a tip: as stated; else the bore that passes its flow at its test pressure, each of several.
pub fn tip_bore(rig: &Rig, tip: &parts::Nozzle) -> Input {
    if rig.states(tip.orifice) || rig.known(tip.flow).is_none() {
        return Input::fact(rig, tip.orifice);
    }
    let pressure = if rig.states(tip.at_pressure) {
        Input::fact(rig, tip.at_pressure)
    } else {
        Input::fixed(super::water::pressure::TIP_PRESSURE)
    };
    corners([&Input::fact(rig, tip.flow), &pressure], |[flow, pressure]| {
        let unit = nozzle::capacity_of_bore(1.0, TIP_DISCHARGE[1]);
        nozzle::capacity_for(flow, 1.0, pressure).map(|capacity| (capacity / unit).sqrt())
    })
}

/// Available chlorine of a stated or allowed-for strength, kg/m3; over every basis it may have where none is said.
pub fn chlorine(rig: &Rig, strength: &Strength) -> Input {
    let value = Input::fact(rig, strength.value);
    let basis = loads::basis_of(rig, strength);
    let bases: Vec<bleach::StrengthBasis> =
        basis.map_or_else(|| bleach::StrengthBasis::ALL.to_vec(), |basis| vec![basis]);
    let each = bases.iter().map(|basis| {
        corners([&value], |[value]| {
            let number = if *basis == bleach::StrengthBasis::GramsPerLitre { value } else { value * 100.0 };
            bleach::available_chlorine(*basis, number, bleach::USUAL_CAUSTIC)
        })
    });
    let mut all = each
        .reduce(|one, other| Input {
            range: one.range.zip(other.range).map(|(one, other)| one.hull(other)),
            facts: one.facts,
        })
        .unwrap_or_default();
    if basis.is_none()
        && let Some(range) = all.range
    {
        all.facts.push((strength.basis.id, range.width()));
    }
    all
}

/// Available chlorine as a trade fraction: grams in 100 mL.
pub fn trade(chlorine: &Bounded) -> Bounded {
    corners([chlorine], |[chlorine]| Some(bleach::to_trade_percent(chlorine) / 100.0))
}

/// Water with so much available chlorine, kg/m3, in the middle of what its viscosity may be.
pub fn mix(chlorine: f64) -> Liquid {
    if chlorine <= 0.0 {
        return water::water(TEMPERATURE);
    }
    // Nothing heavier is pumped, and the fit ends there.
    let chlorine = chlorine.min(150.0);
    let density = bleach::density(chlorine, bleach::USUAL_CAUSTIC * chlorine / 125.0);
    let (low, high) = water::bleach_viscosity(chlorine, TEMPERATURE);
    Liquid { density, viscosity: 0.5 * (low + high) * density }
}

/// What a source of a circuit holds.
pub fn holds_bleach(rig: &Rig, source: &str) -> bool {
    contents(rig, source)
        .and_then(|holds| rig.word(holds.fluid))
        .is_some_and(|fluid| matches!(fluid, "hypochlorite" | "mix"))
}

/// The contents of a tank or container.
pub fn contents<'a>(rig: &'a Rig, source: &str) -> Option<&'a parts::Contents> {
    match &rig.part(source)?.kind {
        Kind::Tank(tank) => Some(&tank.holds),
        Kind::Container(can) => Some(&can.holds),
        _ => None,
    }
}

/// The strongest mix that a duty asks of this pump, kg/m3 available chlorine in the middle of what is known.
fn strongest_duty(rig: &Rig, pump: EntryId) -> f64 {
    let with = |duty: &&crate::rig::job::Duty| {
        rig.reference(duty.with).and_then(|(part, _)| rig.part(part)).is_some_and(|part| part.entry == pump)
    };
    let strengths = rig.spec.duties.iter().filter(with).filter_map(|duty| chlorine(rig, &duty.strength).range);
    strengths.map(Range::middle).fold(0.0, f64::max)
}

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let plumbing = Plumbing::of(rig);
    let circuits = plumbing.circuits();
    let ways = ways(rig, &plumbing, &circuits, Some(sheet));
    for way in &ways {
        figures(rig, sheet, way);
        ratings(rig, sheet, way);
        switch(rig, sheet, &plumbing, &circuits, way);
        wire(rig, sheet, way);
        modes(rig, sheet, &circuits, way);
    }
    duty::duties(rig, sheet, &circuits, &ways);
}

/// The ways of the delivery pumps that can be followed to a tip. With a sheet each gets its subject there.
pub fn ways<'a>(
    rig: &'a Rig,
    plumbing: &Plumbing<'a>,
    circuits: &[circuit::Circuit],
    mut sheet: Option<&mut Sheet>,
) -> Vec<Delivering<'a>> {
    let mut seen: Vec<&circuit::Circuit> = Vec::new();
    for circuit in circuits.iter().filter(|circuit| circuit.lost.is_empty()) {
        if !seen.iter().any(|known| known.part == circuit.part && known.delivery == circuit.delivery) {
            seen.push(circuit);
        }
    }
    let mut ways = Vec::new();
    for circuit in &seen {
        let Some((_, part)) = rig.parts().find(|(_, part)| part.entry == circuit.part) else { continue };
        let Kind::DeliveryPump(pump) = &part.kind else { continue };
        let Some((Piece::Part(end), pieces)) = circuit.delivery.split_last() else { continue };
        let (end_name, end) = plumbing.part(*end);
        let Kind::Nozzle(tip) = &end.kind else { continue };
        let alone = seen.iter().filter(|other| other.part == circuit.part).count() == 1;
        let name = if alone { circuit.pump.clone() } else { format!("{} to {end_name}", circuit.pump) };
        let subject = match sheet.as_deref_mut() {
            Some(sheet) => {
                let subject = sheet.subject(WAY, name, rig.entry(part.entry).place.clone());
                sheet.link(subject, row(CARDS, WAY, "pump"), SubjectId(part.entry.0));
                sheet.link(subject, row(CARDS, WAY, "tip"), SubjectId(end.entry.0));
                subject
            }
            None => SubjectId(part.entry.0),
        };
        let push = Push::of(rig, pump, tip, Way::of(rig, plumbing, pieces), mix(strongest_duty(rig, part.entry)));
        ways.push(Delivering { subject, part, pump, push });
    }
    ways
}

fn figures(rig: &Rig, sheet: &mut Sheet, way: &Delivering<'_>) {
    let push = &way.push;
    let volume = monotone(&push.way.inputs, |point| {
        let laid = push.way.laid(point, &Soft::USUAL, push.liquid);
        Some(laid.hoses.iter().map(|hose| held_volume(hose.bore, hose.length)).sum())
    });
    let flow = push.flow();
    let purge = corners([&volume, &flow], |[volume, flow]| purge_time(volume, flow));
    let steady = monotone(&push.way.inputs, |point| {
        push.with(point, 1.0, |delivery| {
            let unit = nozzle::capacity_of_bore(1.0, TIP_DISCHARGE[1]);
            tip_for_pump_pressure(delivery, delivery.pump.cut_in).map(|capacity| (capacity / unit).sqrt())
        })
    });
    let cut_out = Input::fact(rig, way.pump.cut_out);
    let falls = monotone(&push.way.inputs, |point| {
        Some(-push.way.laid(point, &Soft::USUAL, push.liquid).rises.iter().sum::<f64>())
    });
    let most =
        corners([&cut_out, &falls], |[cut_out, falls]| Some(cut_out + push.liquid.density * GRAVITY * falls.max(0.0)));
    let values = [
        ("tip-flow", flow),
        ("tip-pressure", push.bound(|settled, _| Some(settled.tip_pressure))),
        ("pump-pressure", push.bound(|settled, _| Some(settled.pump_pressure))),
        ("line-loss", push.bound(|settled, _| Some(settled.loss))),
        ("tip-bore", push.way.inputs[push.bore].clone()),
        ("throw-best", push.height(1.0)),
        ("throw-sure", push.height(jet::SURE_SHARE)),
        ("tip-bore-steady", steady),
        ("most-pressure", most),
        ("line-holds", volume),
        ("purge-time", purge),
    ];
    for (name, value) in values {
        sheet.enter(way.subject, row(CARDS, WAY, name), value);
    }
}

/// The lowest rating between pump and tip. One that is not bounded may be anything, so it leaves only the upper end.
fn ratings(rig: &Rig, sheet: &mut Sheet, way: &Delivering<'_>) {
    let rated: Vec<(&str, EntryId, Amount)> = way
        .push
        .way
        .elements
        .iter()
        .filter_map(|element| Some((element.name.as_str(), element.entry, element.rated?)))
        .collect();
    let high = |rated: Amount| rig.known(rated).map_or(f64::INFINITY, |range| range.high);
    let low = |rated: Amount| rig.known(rated).map_or(0.0, |range| range.low);
    let least = rated.iter().map(|(.., rated)| high(*rated)).fold(f64::INFINITY, f64::min);
    let lowest = rated.iter().map(|(.., rated)| low(*rated)).fold(f64::INFINITY, f64::min);
    let range = if least.is_finite() { Range::new(lowest.min(least), least) } else { None };
    let leans = rated.iter().filter(|(.., rated)| low(*rated) <= least);
    let facts = leans.map(|(.., rated)| (rated.id, rig.known(*rated).map_or(f64::INFINITY, Range::width))).collect();
    let weakest = rated.iter().min_by(|(.., one), (.., other)| high(*one).total_cmp(&high(*other)));
    let (name, entry) = weakest.map_or(("nothing", way.part.entry), |(name, entry, _)| (*name, *entry));
    sheet.enter(way.subject, row(CARDS, WAY, "line-rating"), Bounded { range, facts });
    sheet.note(way.subject, row(CARDS, WAY, "weakest-name"), name.to_owned());
    sheet.link(way.subject, row(CARDS, WAY, "weakest"), SubjectId(entry.0));
}

/// The accumulator on the way, and how often it lets the pump start.
fn switch(rig: &Rig, sheet: &mut Sheet, plumbing: &Plumbing<'_>, circuits: &[circuit::Circuit], way: &Delivering<'_>) {
    let pieces = circuits.iter().filter(|circuit| circuit.part == way.part.entry).flat_map(|circuit| &circuit.delivery);
    let parts = pieces.filter_map(|piece| match piece {
        Piece::Part(part) => Some(plumbing.part(*part)),
        Piece::Line(_) => None,
    });
    let found = parts.into_iter().find_map(|(name, part)| match &part.kind {
        Kind::Accumulator(accumulator) => Some((name, part.entry, accumulator)),
        _ => None,
    });
    let (cut_in, cut_out, open) =
        (Input::fact(rig, way.pump.cut_in), Input::fact(rig, way.pump.cut_out), Input::fact(rig, way.pump.open_flow));
    let air = |volume: f64, charge: f64, cut_in: f64, cut_out: f64| Accumulator {
        volume,
        precharge: charge + STANDARD_PRESSURE,
        cut_in: cut_in + STANDARD_PRESSURE,
        cut_out: cut_out.max(cut_in) + STANDARD_PRESSURE,
        exponent: 1.0,
    };
    let (charge, starts) = match found {
        Some((.., accumulator)) => {
            let charge = Input::fact(rig, accumulator.precharge);
            let starts = corners(
                [&Input::fact(rig, accumulator.volume), &charge, &cut_in, &cut_out, &open],
                |[volume, charge, cut_in, cut_out, open]| {
                    most_starts(
                        drawdown(&air(volume, charge, cut_in, cut_out)),
                        open * (1.0 + CUT_OUT_FLOW_SHARE[1]) / 2.0,
                    )
                    .map(|starts| starts * 60.0)
                },
            );
            (charge, starts)
        }
        None => (Bounded::default(), Bounded::default()),
    };
    // A good charge stands two pounds a square inch under cut-in.
    let wanted = corners([&cut_in, &cut_out, &open], |[cut_in, cut_out, open]| {
        let flow = open * (1.0 + CUT_OUT_FLOW_SHARE[1]) / 2.0;
        volume_for_starts(&air(1.0, (cut_in - 13_790.0).max(0.0), cut_in, cut_out), flow, MOST_STARTS_A_MINUTE / 60.0)
    });
    for (name, value) in [("precharge", charge), ("starts", starts), ("accumulator-wanted", wanted)] {
        sheet.enter(way.subject, row(CARDS, WAY, name), value);
    }
    let (name, entry) = found.map_or(("none", way.part.entry), |(name, entry, _)| (name, entry));
    sheet.note(way.subject, row(CARDS, WAY, "accumulator-name"), name.to_owned());
    sheet.link(way.subject, row(CARDS, WAY, "accumulator"), SubjectId(entry.0));
}

/// What the wire from the battery costs at the tip. Nothing where no wire to the pump is written.
fn wire(rig: &Rig, sheet: &mut Sheet, way: &Delivering<'_>) {
    let push = &way.push;
    let mut drop = Input::fixed(0.0);
    let mut at = rig.parts().find(|(_, part)| part.entry == way.part.entry).map(|(name, _)| name);
    // No rig has more wires one behind the other; a ring ends here too.
    for _ in 0..8 {
        let Some(name) = at else { break };
        let part_of = |reference| rig.reference(reference).map(|(part, _)| part);
        let Some(run) = rig.spec.wiring.iter().find(|run| part_of(run.to) == Some(name)) else { break };
        let current = if rig.known(run.current).is_some() {
            Input::fact(rig, run.current)
        } else {
            Input::fact(rig, way.pump.current)
        };
        let here = corners(
            [&current, &Input::fact(rig, run.length), &Input::fact(rig, run.gauge.area)],
            |[current, length, area]| {
                copper_resistance(&Conductor { area, temperature: WARM_WIRE, stranding: STRANDING })
                    .map(|resistance| voltage_drop(current, length, resistance))
            },
        );
        drop = corners([&drop, &here], |[drop, here]| Some(drop + here));
        at = part_of(run.from);
        if at.and_then(|from| rig.part(from)).is_some_and(|from| matches!(from.kind, Kind::Battery(_))) {
            break;
        }
    }
    let rated = match rig.word(way.pump.drive) {
        Some("24V") => 2.0 * RATED_VOLTS,
        _ => RATED_VOLTS,
    };
    let mut inputs = push.way.inputs.clone();
    let lost = inputs.len();
    inputs.push(drop.clone());
    let left = |point: &[f64]| (1.0 - point[lost] / rated).clamp(0.0, 1.0);
    let share = monotone(&inputs, |point| {
        let (full, sagged) = (push.point(point, 1.0).tip_pressure, push.point(point, left(point)).tip_pressure);
        (full > 0.0).then(|| 1.0 - sagged / full)
    });
    let sagged = monotone(&inputs, |point| Some(push.point(point, left(point)).tip_pressure));
    for (name, value) in [("wire-drop", drop), ("sag-share", share), ("sagged-pressure", sagged)] {
        sheet.enter(way.subject, row(CARDS, WAY, name), value);
    }
}

/// Whether bleach goes through the pump, and in how many modes it is rinsed.
fn modes(rig: &Rig, sheet: &mut Sheet, circuits: &[circuit::Circuit], way: &Delivering<'_>) {
    let own = || circuits.iter().filter(|circuit| circuit.part == way.part.entry);
    let bleach = |circuit: &&circuit::Circuit| circuit.sources.iter().any(|source| holds_bleach(rig, source));
    let water = |circuit: &&circuit::Circuit| {
        !circuit.sources.is_empty()
            && circuit.sources.iter().all(|source| match rig.part(source).map(|part| &part.kind) {
                Some(Kind::Supply(_)) => true,
                _ => contents(rig, source).and_then(|holds| rig.word(holds.fluid)) == Some("water"),
            })
    };
    let modes_stated = own().any(|circuit| circuit.mode.is_some());
    let rinses = own().filter(water).count();
    // Without modes nothing says how the pump is used.
    let leans: Vec<FactId> =
        own().flat_map(|circuit| &circuit.sources).filter_map(|source| Some(contents(rig, source)?.fluid.id)).collect();
    let count = if modes_stated {
        Input::fixed(rinses as f64)
    } else {
        Bounded { range: None, facts: leans.into_iter().map(|fact| (fact, f64::INFINITY)).collect() }
    };
    sheet.enter(way.subject, row(CARDS, WAY, "rinses"), count);
    let carries = if own().any(|circuit| bleach(&circuit)) { "yes" } else { "no" };
    sheet.note(way.subject, row(CARDS, WAY, "carries-bleach"), carries.to_owned());
}
