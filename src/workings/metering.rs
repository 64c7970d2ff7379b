//! Strength by flow: how a manifold's split drifts with levels and tips, which branch can run back, whether an injector draws.

use super::circuit::{self, Branch, Piece, Plumbing};
use super::low::{self, Delivering, chlorine, contents, holds_bleach, trade};
use super::water::way::{Soft, Way};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners, monotone};
use crate::figures::bleach;
use crate::figures::hydraulics::fittings::capacity_of_cv;
use crate::figures::hydraulics::injector::Injector;
use crate::figures::hydraulics::metering::{self, split};
use crate::figures::hydraulics::pipe::{lift, line_loss};
use crate::figures::hydraulics::{GRAVITY, REFERENCE_DENSITY, nozzle, water};
use crate::figures::mixing::injected_strength;
use crate::measure::{Measure, Range};
use crate::rig::parts::{self, AnyPart, Kind};
use crate::rig::{EntryId, Rig};

const SPLIT: &str = "flow coefficient of IEC 60534-2-1, volume balance at the junction";
const JET_PUMP: &str =
    "Cunningham's jet-pump equation, as in ESDU 85032; losses of rough passages, common practice, no source";
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

/// A pump that blends bleach and water through a manifold.
const BLEND: &str = "metered-way";
/// An injector on the way from a washer.
const INJECTOR: &str = "injector-on-washer";
/// A job that asks for a strength and is done with a washer through an injector.
const INJECTED: &str = "injected-duty";

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    figure(
        "blend-manifold",
        "branch-checks",
        Measure::Count,
        "Fewest check valves in any of its branches, its own counted",
        "count",
        "the spec's plumbing",
    ),
    note("blend-manifold", "unchecked", "The branches with the fewest"),
    link(BLEND, "manifold", "blend-manifold", "The manifold"),
    link(BLEND, "pump", "delivery-pump", "The pump"),
    link(BLEND, "strong", "tank", "The bleach tank"),
    link(BLEND, "thin", "tank", "The water tank"),
    figure(
        BLEND,
        "bleach-share-open",
        Measure::Ratio,
        "Share of bleach with both valves wide open, tanks half full",
        "flow coefficients and heads at the junction",
        SPLIT,
    ),
    figure(
        BLEND,
        "drift-open",
        Measure::Ratio,
        "Most that the strength goes up or down as one tank empties and the other stands full, set at half levels with the water valve wide open",
        "as the share of bleach",
        SPLIT,
    ),
    figure(
        BLEND,
        "drift-throttled",
        Measure::Ratio,
        "The same with both valves closed down until the pump pulls 4 psi of vacuum",
        "as the share of bleach",
        SPLIT,
    ),
    figure(
        BLEND,
        "drift-tip",
        Measure::Ratio,
        "Most that the strength goes up or down with another tip of the rig, valves left as set and 4 psi of vacuum at the first",
        "as the share of bleach, at the flow of the other tip",
        SPLIT,
    ),
    note(BLEND, "other-tip", "The tip with which it goes furthest; `none` where there is no other"),
    link(INJECTOR, "injector", "injector", "The injector"),
    link(INJECTOR, "washer", "washer", "The washer"),
    figure(
        INJECTOR,
        "back-pressure",
        Measure::Pressure,
        "Pressure behind it with the soap tip on, at the pump's whole flow",
        "hose + gun + height + soap tip",
        "Darcy-Weisbach with Colebrook-White friction; IAPWS water",
    ),
    figure(
        INJECTOR,
        "draws-sure",
        Measure::Pressure,
        "Pressure behind it up to which it draws its ratio for sure",
        "share of the pressure before it, rough passages",
        JET_PUMP,
    ),
    figure(
        INJECTOR,
        "draws-best",
        Measure::Pressure,
        "Pressure behind it up to which the best of its kind draws its ratio",
        "share of the pressure before it, smooth passages",
        JET_PUMP,
    ),
    figure(
        INJECTOR,
        "soap-tip-size",
        Measure::Count,
        "Size of the soap tip: the largest unplumbed tip of the rig, or 40 where there is none of 15 or more",
        "gpm at 4000 psi",
        PRACTICE,
    ),
    figure(
        INJECTOR,
        "orifice-wanted",
        Measure::Length,
        "Largest orifice that draws for sure against that pressure",
        "1.2 to 3.2 mm, every 0.1 mm",
        JET_PUMP,
    ),
    figure(
        INJECTOR,
        "shorter-by",
        Measure::Length,
        "How much shorter the longest hose would have to be",
        "pressure over ÷ loss per length",
        JET_PUMP,
    ),
    figure(
        INJECTOR,
        "rinse-loss",
        Measure::Pressure,
        "What it takes from the rinse at the pump's whole flow while it draws nothing",
        "(1 + nozzle loss − gain) × velocity head, mean of smooth and rough",
        JET_PUMP,
    ),
    link(INJECTED, "duty", "duty", "The duty"),
    link(INJECTED, "injector", "injector", "The injector"),
    link(INJECTED, "source", "part", "What it draws from"),
    figure(
        INJECTED,
        "strength-wanted",
        Measure::Ratio,
        "Strength wanted on the surface, trade percent",
        "the stated strength by its basis",
        "trade percent is grams of available chlorine in 100 mL",
    ),
    figure(
        INJECTED,
        "strength-there",
        Measure::Ratio,
        "Strength at the tip, trade percent",
        "stock ÷ (ratio + 1)",
        "balance of volume",
    ),
];

/// Vacuum that a diaphragm pump keeps up for hours, Pa: 4 psi. Common practice, no source.
const DEEPEST: f64 = 27_579.0;
/// Share of its height to which a tank is drawn down before it is filled again. Common practice, no source.
const LOW_LEVEL: f64 = 0.1;
/// Size of a soap tip. Common practice, no source.
const SOAP_TIP: f64 = 40.0;
/// Smallest tip that may be meant for soap.
const SMALLEST_SOAP_TIP: f64 = 15.0;
/// Areas of an injector's nozzle over its throat: makers do not print them.
const AREAS: [f64; 2] = [0.5, 0.6];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let plumbing = Plumbing::of(rig);
    let circuits = plumbing.circuits();
    checks(rig, sheet, &plumbing);
    let ways = low::ways(rig, &plumbing, &circuits, None);
    let mut seen: Vec<(EntryId, Vec<&str>)> = Vec::new();
    for circuit in &circuits {
        let Some(way) = ways.iter().find(|way| way.part.entry == circuit.part) else { continue };
        let names: Vec<&str> = circuit.branches.iter().map(|branch| branch.source.as_str()).collect();
        if !seen.iter().any(|(part, known)| *part == circuit.part && *known == names) {
            seen.push((circuit.part, names));
            blend(rig, sheet, &plumbing, circuit, way);
        }
    }
    injectors(rig, sheet, &plumbing, &circuits, &ways);
}

/// The branches that end at a manifold: position of the line, and the part it starts at.
fn into<'a>(rig: &'a Rig, manifold: &str) -> Vec<(usize, &'a str)> {
    let part_of = |reference| rig.reference(reference).map(|(part, _)| part);
    let lines = rig.spec.plumbing.iter().enumerate().filter(|(_, line)| part_of(line.to) == Some(manifold));
    lines.filter_map(|(at, line)| Some((at, part_of(line.from)?))).collect()
}

fn checks(rig: &Rig, sheet: &mut Sheet, plumbing: &Plumbing<'_>) {
    for (name, part) in rig.parts() {
        let Kind::BlendManifold(manifold) = &part.kind else { continue };
        let branches: Vec<(&str, usize)> = into(rig, name)
            .into_iter()
            .map(|(line, from)| {
                (
                    from,
                    plumbing.through(line).filter(|part| matches!(plumbing.part(*part).1.kind, Kind::Check(_))).count(),
                )
            })
            .collect();
        let fewest = branches.iter().map(|(_, checks)| *checks).min().unwrap_or(0);
        let unchecked: Vec<&str> =
            branches.iter().filter(|(_, checks)| *checks == fewest).map(|(from, _)| *from).collect();
        let count = match rig.flag(manifold.checks) {
            Some(own) => Input::fixed(fewest as f64 + f64::from(u8::from(own))).leaning([manifold.checks.id]),
            None if fewest > 0 => Input::fixed(fewest as f64),
            None => Bounded { range: None, facts: vec![(manifold.checks.id, f64::INFINITY)] },
        };
        let subject = SubjectId(part.entry.0);
        sheet.enter(subject, row(CARDS, "blend-manifold", "branch-checks"), count);
        let words = if unchecked.is_empty() { "nothing".to_owned() } else { unchecked.join(", ") };
        sheet.note(subject, row(CARDS, "blend-manifold", "unchecked"), words);
    }
}

/// One branch at rest: what does not change with the level.
struct Arm {
    /// Everything in it but the metering valve, Pa s2/m6 of reference water.
    resistance: f64,
    /// Rise from the tank's outlet to the junction, cracking pressure of its checks counted in, m.
    rise: f64,
    density: f64,
}

fn arm(rig: &Rig, plumbing: &Plumbing<'_>, branch: &Branch, density: f64, flow: f64) -> Option<Arm> {
    let way = Way::of(rig, plumbing, &branch.pieces);
    let point: Vec<f64> = way.inputs.iter().map(|input| input.range.map(Range::middle)).collect::<Option<_>>()?;
    let liquid = water::water(water::SUPPLY_TEMPERATURE[1]);
    let laid = way.laid(&point, &Soft::USUAL, liquid);
    let line = laid.line();
    // Turbulent loss goes with the square of the flow, so it is folded into one resistance at this flow.
    let resistance = (flow > 0.0).then(|| line_loss(&line, liquid, flow) / (flow * flow))?;
    Some(Arm { resistance, rise: line.rise, density })
}

/// Bleach and water at the junction of a manifold, valves set for one share at one pair of levels.
struct Setting<'a> {
    arms: [&'a Arm; 2],
    capacities: [f64; 2],
}

impl<'a> Setting<'a> {
    /// Valves so set that `share` of `flow` is bleach at these depths (bleach, water): the water valve as open as its flow
    /// coefficient allows, or closed until the junction stands at `junction` Pa.
    fn of(
        arms: [&'a Arm; 2],
        share: f64,
        flow: f64,
        depths: [f64; 2],
        open: f64,
        junction: Option<f64>,
    ) -> Option<Self> {
        let head = |arm: &Arm, depth: f64| arm.density * GRAVITY * (depth - arm.rise);
        let flows = [share * flow, (1.0 - share) * flow];
        let drop = |arm: &Arm, depth: f64, junction: f64| head(arm, depth) - junction;
        let wide = head(arms[1], depths[1])
            - arms[1].density / REFERENCE_DENSITY * (1.0 / (open * open) + arms[1].resistance) * flows[1] * flows[1];
        let junction = junction.map_or(wide, |junction| junction.min(wide));
        let set = |at: usize| {
            nozzle::capacity_for(flows[at], arms[at].density / REFERENCE_DENSITY, drop(arms[at], depths[at], junction))
        };
        Some(Self { arms, capacities: [set(0)?, set(1)?] })
    }

    /// Share of bleach at other depths and another flow.
    fn share(&self, depths: [f64; 2], flow: f64) -> Option<f64> {
        let branch = |at: usize| metering::Branch {
            capacity: self.capacities[at],
            density: self.arms[at].density,
            level: depths[at] - self.arms[at].rise,
            pressure: 0.0,
            // The cracking pressure is in the rise.
            check: Some(0.0),
        };
        metering::share(&split(&[branch(0), branch(1)], flow)?, 0)
    }
}

fn blend(rig: &Rig, sheet: &mut Sheet, plumbing: &Plumbing<'_>, circuit: &circuit::Circuit, way: &Delivering<'_>) {
    let find = |strong: bool| {
        circuit.branches.iter().find_map(|branch| {
            let part = rig.part(&branch.source)?;
            let Kind::Tank(tank) = &part.kind else { return None };
            let wanted =
                if strong { holds_bleach(rig, &branch.source) } else { rig.word(tank.holds.fluid) == Some("water") };
            wanted.then_some((branch, part, tank))
        })
    };
    let (Some((bleach_branch, bleach_part, bleach_tank)), Some((water_branch, water_part, water_tank))) =
        (find(true), find(false))
    else {
        return;
    };
    let into_manifold = bleach_branch.pieces.iter().find_map(|piece| match piece {
        Piece::Line(line) => rig.reference(plumbing.line(*line).to).and_then(|(part, _)| rig.part(part)),
        Piece::Part(_) => None,
    });
    let Some((manifold_part, Kind::BlendManifold(manifold))) = into_manifold.map(|part| (part, &part.kind)) else {
        return;
    };
    let subject = sheet.subject(BLEND, circuit.pump.clone(), rig.entry(manifold_part.entry).place.clone());
    for (name, entry) in [
        ("manifold", manifold_part.entry),
        ("pump", way.part.entry),
        ("strong", bleach_part.entry),
        ("thin", water_part.entry),
    ] {
        sheet.link(subject, row(CARDS, BLEND, name), SubjectId(entry.0));
    }
    let flow = way.push.flow();
    let middle = |input: &Input| input.range.map(Range::middle);
    let density = super::loads::density(rig, &bleach_tank.holds);
    let arms = middle(&flow).zip(middle(&density)).and_then(|(flow, density)| {
        let half = 0.5 * flow;
        Some((
            arm(rig, plumbing, bleach_branch, density, half)?,
            arm(rig, plumbing, water_branch, bleach::WATER_DENSITY, half)?,
        ))
    });
    let heights = [Input::fact(rig, bleach_tank.inside_height), Input::fact(rig, water_tank.inside_height)];
    let cv = Input::fact(rig, manifold.valve_coefficient);
    let stock = chlorine(rig, &bleach_tank.holds.strength);
    let wanted = wanted_strength(rig, way.part.entry);
    let share = corners([&wanted, &stock], |[wanted, stock]| (stock > 0.0).then(|| (wanted / stock).clamp(0.01, 0.99)));
    let levels = |[bleach, water]: [f64; 2], tall: [f64; 2]| [bleach * tall[0], water * tall[1]];
    // The most that the share leaves what it was set to, over both ends of both tanks.
    let drift = |setting: &Setting<'_>, set: f64, tall: [f64; 2], flow: f64| {
        let ends = [[1.0, LOW_LEVEL], [LOW_LEVEL, 1.0], [1.0, 1.0], [LOW_LEVEL, LOW_LEVEL]];
        ends.into_iter()
            .try_fold(0.0f64, |most, ends| Some(most.max((setting.share(levels(ends, tall), flow)? / set - 1.0).abs())))
    };
    let over = |f: &dyn Fn(f64, [f64; 2], f64, f64) -> Option<f64>| {
        corners([&flow, &heights[0], &heights[1], &cv, &share], |[flow, bleach, water, cv, share]| {
            f(flow, [bleach, water], capacity_of_cv(cv), share)
        })
    };
    let (mut open, mut throttled, mut tip_drift, mut wide_share) =
        (Bounded::default(), Bounded::default(), Bounded::default(), Bounded::default());
    let mut other_tip = "none".to_owned();
    if let Some((strong, thin)) = &arms {
        let arms = [strong, thin];
        let set = |junction: Option<f64>| {
            move |flow: f64, tall: [f64; 2], open: f64, share: f64| {
                let setting = Setting::of(arms, share, flow, levels([0.5, 0.5], tall), open, junction)?;
                drift(&setting, share, tall, flow)
            }
        };
        open = over(&set(None));
        throttled = over(&set(Some(-DEEPEST)));
        wide_share = over(&|flow, tall, open, _| {
            let capacity = |arm: &Arm| 1.0 / (1.0 / (open * open) + arm.resistance).sqrt();
            let wide = Setting { arms, capacities: [capacity(arms[0]), capacity(arms[1])] };
            wide.share(levels([0.5, 0.5], tall), flow)
        });
        tip_drift = Input::fixed(0.0);
        for (name, tip) in other_tips(rig, &circuit.delivery, plumbing) {
            let other_flow = way.push.flow_with_bore(&low::tip_bore(rig, tip));
            let here = corners(
                [&flow, &other_flow, &heights[0], &heights[1], &cv, &share],
                |[flow, other, bleach, water, cv, share]| {
                    let half = levels([0.5, 0.5], [bleach, water]);
                    let setting = Setting::of(arms, share, flow, half, capacity_of_cv(cv), Some(-DEEPEST))?;
                    Some((setting.share(half, other)? / share - 1.0).abs())
                },
            );
            let high = |bounded: &Bounded| bounded.range.map_or(f64::INFINITY, |range| range.high);
            if high(&here) > high(&tip_drift) {
                tip_drift = here;
                other_tip = name.to_owned();
            }
        }
    }
    for (name, value) in [
        ("bleach-share-open", wide_share),
        ("drift-open", open),
        ("drift-throttled", throttled),
        ("drift-tip", tip_drift),
    ] {
        sheet.enter(subject, row(CARDS, BLEND, name), value);
    }
    sheet.note(subject, row(CARDS, BLEND, "other-tip"), other_tip);
}

/// The strongest that a duty asks of a pump; a usual 3 % trade where none says.
fn wanted_strength(rig: &Rig, pump: EntryId) -> Input {
    let with = |duty: &&crate::rig::job::Duty| {
        rig.reference(duty.with).and_then(|(part, _)| rig.part(part)).is_some_and(|part| part.entry == pump)
    };
    let strengths = rig
        .spec
        .duties
        .iter()
        .filter(with)
        .map(|duty| chlorine(rig, &duty.strength))
        .filter(|strength| strength.range.is_some());
    let middle = |strength: &Input| strength.range.map_or(0.0, Range::middle);
    strengths
        .max_by(|one, other| middle(one).total_cmp(&middle(other)))
        .unwrap_or_else(|| Input::fixed(bleach::from_trade_percent(3.0)))
}

/// Low-pressure tips in the box: those with a stated hole of 2 mm or more that no way ends at.
fn other_tips<'a>(rig: &'a Rig, delivery: &[Piece], plumbing: &Plumbing<'_>) -> Vec<(&'a str, &'a parts::Nozzle)> {
    let own = delivery.iter().filter_map(|piece| match piece {
        Piece::Part(part) => Some(plumbing.part(*part).1.entry),
        Piece::Line(_) => None,
    });
    let own: Vec<EntryId> = own.collect();
    let tips = rig.parts().filter_map(|(name, part)| match &part.kind {
        Kind::Nozzle(tip) if !own.contains(&part.entry) && rig.states(tip.orifice) && rig[tip.orifice].low >= 0.002 => {
            Some((name, tip))
        }
        _ => None,
    });
    tips.collect()
}

/// An injector between two ends of what a spec can't state.
fn kinds(orifice: f64) -> [Injector; 4] {
    let orifice = orifice.max(1e-4);
    [
        Injector::smooth(orifice, AREAS[0]),
        Injector::smooth(orifice, AREAS[1]),
        Injector::rough(orifice, AREAS[0]),
        Injector::rough(orifice, AREAS[1]),
    ]
}

fn injectors(
    rig: &Rig,
    sheet: &mut Sheet,
    plumbing: &Plumbing<'_>,
    circuits: &[circuit::Circuit],
    ways: &[Delivering<'_>],
) {
    let mut seen: Vec<(EntryId, &[Piece])> = Vec::new();
    for circuit in circuits.iter().filter(|circuit| circuit.lost.is_empty()) {
        let Some(part) = rig.parts().map(|(_, part)| part).find(|part| part.entry == circuit.part) else { continue };
        let Kind::Washer(washer) = &part.kind else { continue };
        let at = circuit.delivery.iter().position(
            |piece| matches!(piece, Piece::Part(part) if matches!(plumbing.part(*part).1.kind, Kind::Injector(_))),
        );
        let Some((Piece::Part(injector), behind)) =
            at.and_then(|at| circuit.delivery.get(at..)).and_then(<[Piece]>::split_first)
        else {
            continue;
        };
        if seen.contains(&(circuit.part, circuit.delivery.as_slice())) {
            continue;
        }
        seen.push((circuit.part, &circuit.delivery));
        let (name, injector_part) = plumbing.part(*injector);
        let Kind::Injector(injector) = &injector_part.kind else { continue };
        let behind = behind.split_last().map_or(behind, |(_, behind)| behind);
        let way = Way::of(rig, plumbing, behind);
        on_washer(rig, sheet, ways, name, [injector_part, part], (injector, washer), way);
        duties(rig, sheet, injector_part, injector, part.entry);
    }
}

fn on_washer(
    rig: &Rig,
    sheet: &mut Sheet,
    ways: &[Delivering<'_>],
    name: &str,
    [injector_part, washer_part]: [&AnyPart; 2],
    (injector, washer): (&parts::Injector, &parts::Washer),
    mut way: Way,
) {
    let subject = sheet.subject(INJECTOR, name.to_owned(), rig.entry(injector_part.entry).place.clone());
    sheet.link(subject, row(CARDS, INJECTOR, "injector"), SubjectId(injector_part.entry.0));
    sheet.link(subject, row(CARDS, INJECTOR, "washer"), SubjectId(washer_part.entry.0));
    let flow = Input::fact(rig, washer.flow);
    let number = way.take(flow.clone());
    let size = soap_tip(rig, ways);
    let liquid = water::water(water::SUPPLY_TEMPERATURE[1]);
    let back = monotone(&way.inputs, |point| {
        let laid = way.laid(point, &Soft::USUAL, liquid);
        let line = laid.line();
        let tip = nozzle::pressure(nozzle::capacity_of_size(size), liquid.gravity(), point[number]);
        Some(line_loss(&line, liquid, point[number]) + lift(&line, liquid) + tip)
    });
    let (orifice, ratio) = (Input::fact(rig, injector.orifice), Input::fact(rig, injector.ratio));
    let limits = |flow: f64, orifice: f64, ratio: f64| {
        let m = 1.0 / ratio.max(1.0);
        kinds(orifice).map(|kind| kind.greatest_back_pressure(flow, liquid.density, m))
    };
    let least = |limits: [f64; 4]| limits.into_iter().fold(f64::INFINITY, f64::min);
    let sure = corners([&flow, &orifice, &ratio], |[flow, orifice, ratio]| Some(least(limits(flow, orifice, ratio))));
    let best = corners([&flow, &orifice, &ratio], |[flow, orifice, ratio]| {
        Some(limits(flow, orifice, ratio).into_iter().fold(0.0, f64::max))
    });
    let wanted = corners([&flow, &ratio, &back], |[flow, ratio, back]| {
        (12..=32)
            .rev()
            .map(|tenths| f64::from(tenths) * 1e-4)
            .find(|orifice| least(limits(flow, *orifice, ratio)) >= back)
    });
    let longest = longest_hose(&way);
    let shorter = match longest {
        Some(at) => {
            let mut inputs = way.inputs.clone();
            let limit = inputs.len();
            inputs.push(sure.clone());
            inputs.push(back.clone());
            monotone(&inputs, |point| {
                let laid = way.laid(point, &Soft::USUAL, liquid);
                let whole = laid.loss(at, liquid, point[number]);
                let length = laid.hoses[at].length;
                let over = (point[limit + 1] - point[limit]).max(0.0);
                (whole > 0.0).then(|| (over / whole * length).min(length))
            })
        }
        None => Input::fixed(0.0),
    };
    let rinse = corners([&flow, &orifice], |[flow, orifice]| {
        let losses = kinds(orifice).map(|kind| kind.rinse_loss(flow, liquid.density));
        Some(losses.iter().sum::<f64>() / losses.len() as f64)
    });
    let values = [
        ("back-pressure", back),
        ("draws-sure", sure),
        ("draws-best", best),
        ("soap-tip-size", Input::fixed((size * 1e6).round() / 1e6)),
        ("orifice-wanted", wanted),
        ("shorter-by", shorter),
        ("rinse-loss", rinse),
    ];
    for (name, value) in values {
        sheet.enter(subject, row(CARDS, INJECTOR, name), value);
    }
}

/// The longest hose of a way in the middle of the facts.
fn longest_hose(way: &Way) -> Option<usize> {
    let length =
        |at: &usize| way.elements[*at].length.and_then(|number| way.inputs[number].range).map_or(0.0, Range::middle);
    (0..way.elements.len())
        .filter(|at| way.elements[*at].is_hose())
        .max_by(|one, other| length(one).total_cmp(&length(other)))
}

/// The soap tip of the rig: its largest pressure tip of 15 or more; a usual one where it has none.
fn soap_tip(rig: &Rig, ways: &[Delivering<'_>]) -> f64 {
    let low = |part: &AnyPart| ways.iter().any(|way| way.push.ends_at(part));
    let sizes = rig.parts().filter(|(_, part)| !low(part)).filter_map(|(_, part)| match &part.kind {
        Kind::Nozzle(tip) if rig.states(tip.flow) => super::water::pressure::capacity(rig, part)
            .range
            .map(|capacity| nozzle::size_of_capacity(capacity.middle())),
        _ => None,
    });
    sizes.filter(|size| *size >= SMALLEST_SOAP_TIP).reduce(f64::max).unwrap_or(SOAP_TIP)
}

/// Jobs with this washer that ask for a strength.
fn duties(rig: &Rig, sheet: &mut Sheet, injector_part: &AnyPart, injector: &parts::Injector, washer: EntryId) {
    for duty in &rig.spec.duties {
        let with = rig.reference(duty.with).and_then(|(part, _)| rig.part(part));
        if with.is_none_or(|with| with.entry != washer) || !rig.states(duty.strength.value) {
            continue;
        }
        let source = rig.reference(injector.draws).map_or("", |(part, _)| part);
        let stock = contents(rig, source).map(|holds| chlorine(rig, &holds.strength)).unwrap_or_default();
        let there =
            corners([&stock, &Input::fact(rig, injector.ratio)], |[stock, ratio]| injected_strength(stock, ratio));
        let subject = sheet.subject(
            INJECTED,
            rig.text(duty.job).unwrap_or("the job").to_owned(),
            rig.entry(duty.entry).place.clone(),
        );
        sheet.link(subject, row(CARDS, INJECTED, "duty"), SubjectId(duty.entry.0));
        sheet.link(subject, row(CARDS, INJECTED, "injector"), SubjectId(injector_part.entry.0));
        sheet.link(
            subject,
            row(CARDS, INJECTED, "source"),
            SubjectId(rig.part(source).map_or(injector_part.entry, |part| part.entry).0),
        );
        sheet.enter(subject, row(CARDS, INJECTED, "strength-wanted"), trade(&chlorine(rig, &duty.strength)));
        sheet.enter(subject, row(CARDS, INJECTED, "strength-there"), trade(&there));
    }
}
