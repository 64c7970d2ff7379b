//! Weight and balance: gross, axles, tongue, sides, over every fill state; the ticket.

use super::loads::{Frame, Keep, Ledger, Load, LoadKind, contents_mass, dry_mass};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::{bleach, weight};
use crate::measure::{Measure, Range};
use crate::rig::parts::Kind;
use crate::rig::trailer::Trailer;
use crate::rig::{Carrier, Rig};

pub(super) const STATICS: &str = "statics of a rigid body on level ground";

pub(super) const fn figure(
    of: &'static str,
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
) -> Card {
    Card { of, name, gives: Gives::Figure(measure), help, method, source: STATICS }
}

pub(super) const fn note(of: &'static str, name: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Note, help, method: "", source: STATICS }
}

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    figure(
        "trailer",
        "gross-heaviest",
        Measure::Mass,
        "Gross weight with every tank full",
        "sum of every weight, tanks full",
    ),
    figure(
        "trailer",
        "gross-dry",
        Measure::Mass,
        "Gross weight with every tank empty",
        "sum of every weight, tanks empty",
    ),
    figure(
        "trailer",
        "axle-heaviest",
        Measure::Mass,
        "Load on one axle in the fill state that loads it most",
        "moments about the coupler ball: sum of weight × distance aft ÷ ball to axle ÷ axles",
    ),
    note("trailer", "axle-heaviest-state", "The fill state that loads the axle most"),
    figure(
        "trailer",
        "tongue-heaviest",
        Measure::Mass,
        "Tongue load in the fill state that loads it most",
        "sum of weight × (1 − distance aft ÷ ball to axle)",
    ),
    note("trailer", "tongue-heaviest-state", "The fill state that loads the tongue most"),
    figure(
        "trailer",
        "tongue-lightest",
        Measure::Mass,
        "Tongue load in the fill state that loads it least",
        "sum of weight × (1 − distance aft ÷ ball to axle)",
    ),
    figure(
        "trailer",
        "ratio-lightest",
        Measure::Ratio,
        "Tongue load as a share of gross weight, in the fill state where it is least",
        "tongue load ÷ gross weight, least over every tank full or empty",
    ),
    note("trailer", "ratio-lightest-state", "The fill state with the least tongue share"),
    figure(
        "trailer",
        "ratio-heaviest",
        Measure::Ratio,
        "Tongue load as a share of gross weight, in the fill state where it is most",
        "tongue load ÷ gross weight, most over every tank full or empty",
    ),
    note("trailer", "ratio-heaviest-state", "The fill state with the most tongue share"),
    figure("trailer", "ratio-full", Measure::Ratio, "Tongue share with every tank full", "tongue load ÷ gross weight"),
    figure("trailer", "ratio-dry", Measure::Ratio, "Tongue share with every tank empty", "tongue load ÷ gross weight"),
    figure(
        "trailer",
        "tongue-short",
        Measure::Mass,
        "Tongue load missing to 10 % in the lightest state; negative when there is more",
        "10 % of gross weight less tongue load, most over every fill",
    ),
    figure(
        "trailer",
        "side-uneven",
        Measure::Ratio,
        "Difference between the sides as a share of the axle load, in the fill state where it is most",
        "2 × sum of weight × distance off centre ÷ track ÷ axle load",
    ),
    note("trailer", "side-uneven-state", "The fill state in which the sides differ most"),
    note("trailer", "side-heavy", "The heavier side in that state: curb or road"),
    figure(
        "trailer",
        "side-moment",
        Measure::Torque,
        "Moment about the centreline in that state, toward the curb side",
        "sum of weight × distance off centre",
    ),
    figure(
        "trailer",
        "tire-heaviest",
        Measure::Mass,
        "Load on one tire in the fill state and on the side that loads it most",
        "half the axle load and the side moment ÷ track, ÷ tires a side",
    ),
    figure(
        "trailer",
        "axles-full",
        Measure::Mass,
        "Load of all axles together, all tanks full",
        "sum of weight × distance aft ÷ ball to axle",
    ),
    figure(
        "trailer",
        "axle-moment-over",
        Measure::Torque,
        "Weight times distance that must move toward the nose to bring the axles within their ratings; negative when there is room",
        "(axle load − least axle rating) × axles × ball to axle",
    ),
    figure(
        "trailer",
        "water-allowed",
        Measure::Volume,
        "Water the gross rating leaves room for with every other tank full",
        "(gross rating − everything but water) ÷ density of water",
    ),
    figure(
        "trailer",
        "neutral-line",
        Measure::Length,
        "Distance from the nose at which weight leaves a 12.5 % tongue share as it is",
        "(1 − 0.125) × ball to axle − ball to nose",
    ),
    figure(
        "trailer",
        "axle-line",
        Measure::Length,
        "Distance from the nose to the middle of the axles",
        "ball to axle − ball to nose",
    ),
    figure(
        "trailer",
        "balance-height",
        Measure::Length,
        "Height of the balance point above the ground, all tanks full",
        "sum of weight × height ÷ gross weight",
    ),
    figure(
        "trailer",
        "brake-tongue-gain",
        Measure::Mass,
        "Tongue load that braking at half a g adds, the trailer's own brakes doing the work",
        "0.5 × gross weight × balance height ÷ ball to axle",
    ),
    figure(
        "trailer",
        "fit-out",
        Measure::Mass,
        "Weight of everything fitted and carried, tanks full",
        "gross weight − bare trailer",
    ),
    figure("part", "full-weight", Measure::Mass, "Weight with what it holds, full", "weight + volume × density"),
    figure("tank", "contents-weight", Measure::Mass, "Weight of what it holds, full", "volume × density"),
];

/// One row of the weight ticket.
#[derive(Debug, Clone)]
pub struct State {
    /// The tanks that are full, in words.
    pub name: String,
    /// Gross weight.
    pub gross: Bounded,
    /// Load of the axle group of a trailer, or of a truck's rear axle.
    pub axles: Bounded,
    /// Tongue load of a trailer, or a truck's front axle load.
    pub front: Bounded,
    /// The share of the gross weight on the tongue or front axle.
    pub share: Bounded,
    /// Load on the curb side of the axles.
    pub curb: Bounded,
    /// Load on the road side of the axles.
    pub road: Bounded,
}

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    part_weights(rig, sheet);
    if let (Carrier::Trailer, Some(trailer)) = (rig.carrier(), &rig.spec.trailer) {
        let ledger = ledger(rig, trailer);
        trailer_weights(rig, trailer, &ledger, sheet);
    }
}

fn part_weights(rig: &Rig, sheet: &mut Sheet) {
    for (_, part) in rig.parts() {
        let subject = SubjectId(part.entry.0);
        let dry = dry_mass(rig, part);
        let full = match &part.kind {
            Kind::Tank(tank) => {
                let contents = contents_mass(rig, tank.capacity, &tank.holds);
                let full = corners([&dry, &contents], |[dry, contents]| Some(dry + contents));
                sheet.enter(subject, row(CARDS, "tank", "contents-weight"), contents);
                full
            }
            Kind::Container(can) => {
                let contents = contents_mass(rig, can.capacity, &can.holds);
                corners([&dry, &contents, &Input::fact(rig, can.count)], |[dry, contents, count]| {
                    Some(dry + contents * count)
                })
            }
            _ => dry,
        };
        sheet.enter(subject, row(CARDS, "part", "full-weight"), full);
    }
}

/// Everything a trailer carries, and the bare trailer.
pub(super) fn ledger(rig: &Rig, trailer: &Trailer) -> Ledger {
    let mut ledger = Ledger::of(rig);
    let weight = Input::fact(rig, trailer.empty.weight);
    let inputs = [
        weight,
        Input::fact(rig, trailer.empty.tongue),
        Input::fixed(0.0),
        Input::fact(rig, trailer.empty.balance_height),
    ];
    ledger.loads.push(Load { kind: LoadKind::BareTrailer, inputs, liquid: false });
    ledger
}

/// Ball to the middle of the axles.
pub fn axle_line(rig: &Rig, trailer: &Trailer) -> Bounded {
    let axles: Vec<Input> = trailer.axles.iter().map(|axle| Input::fact(rig, axle.from_coupler)).collect();
    match axles.as_slice() {
        // No axle is written: somewhere behind the middle of the box, as on most trailers (55 to 62 % of the box behind the nose;
        // common practice, no source).
        [] => {
            let share = Input { range: Range::new(0.55, 0.62), facts: Vec::new() };
            let (nose, length) = (Input::fact(rig, trailer.coupler.to_nose), Input::fact(rig, trailer.inside.length));
            corners([&nose, &length, &share], |[nose, length, share]| Some(nose + share * length))
        }
        [one] => one.clone(),
        [first, .., last] => corners([first, last], |[first, last]| Some((first + last) / 2.0)),
    }
}

pub(super) fn gross(_: &[f64; 4], kind: LoadKind, [mass, second, ..]: &[f64; 4]) -> f64 {
    if kind == LoadKind::BareTruck { mass + second } else { *mass }
}

pub(super) fn tongue([axle, datum, ..]: &[f64; 4], kind: LoadKind, [mass, at, ..]: &[f64; 4]) -> f64 {
    match kind {
        LoadKind::BareTrailer => *at,
        _ => weight::tongue_share(*mass, datum + at, *axle).unwrap_or_default(),
    }
}

pub(super) fn axle_group(frame: &[f64; 4], kind: LoadKind, point: &[f64; 4]) -> f64 {
    gross(frame, kind, point) - tongue(frame, kind, point)
}

/// Moment of a load about the centreline, positive toward the curb side.
pub(super) fn side_moment([_, _, width, _]: &[f64; 4], kind: LoadKind, [mass, _, side, _]: &[f64; 4]) -> f64 {
    if kind == LoadKind::Placed { mass * (width / 2.0 - side) } else { 0.0 }
}

pub(super) fn curb_less_road(frame: &[f64; 4], kind: LoadKind, point: &[f64; 4]) -> f64 {
    2.0 * side_moment(frame, kind, point) / frame[3]
}

/// Moment of a load's height above the ground; the frame's first input is the floor's height.
fn height_moment([floor, ..]: &[f64; 4], kind: LoadKind, [mass, second, _, up]: &[f64; 4]) -> f64 {
    match kind {
        LoadKind::Placed => mass * (floor + up),
        LoadKind::BareTruck => (mass + second) * up,
        _ => mass * up,
    }
}

fn trailer_weights(rig: &Rig, trailer: &Trailer, ledger: &Ledger, sheet: &mut Sheet) {
    let subject = SubjectId(trailer.entry.0);
    let axle = axle_line(rig, trailer);
    let frame: Frame = [
        axle.clone(),
        Input::fact(rig, trailer.coupler.to_nose),
        Input::fact(rig, trailer.inside.width),
        Input::fact(rig, trailer.track),
    ];
    // The tongue leans on no width and no track.
    let aft_frame: Frame = [frame[0].clone(), frame[1].clone(), Input::fixed(0.0), Input::fixed(1.0)];
    let (aft, across, heights) = (ledger.only(Keep::Aft), ledger.only(Keep::Sides), ledger.only(Keep::Height));
    let (sum, sides) = (aft.sum(&aft_frame), across.sum(&frame));
    let full = vec![1.0; ledger.tanks.len()];
    let empty = vec![0.0; ledger.tanks.len()];
    let axles = trailer.axles.len().max(1) as f64;
    let mut enter = |name: &str, value: Bounded| {
        sheet.enter(subject, row(CARDS, "trailer", name), value);
    };

    // Gross weight leans on no position.
    let no_frame: Frame = [Input::fixed(1.0), Input::fixed(0.0), Input::fixed(0.0), Input::fixed(1.0)];
    let weights_only = ledger.only(Keep::Mass);
    let mass = weights_only.sum(&no_frame);
    let gross_full = mass.at(&full, gross);
    enter("gross-heaviest", gross_full.clone());
    enter("gross-dry", mass.at(&empty, gross));
    let fitted: Vec<Load> = weights_only.loads.iter().filter(|load| load.kind == LoadKind::Placed).cloned().collect();
    let fitted = Ledger { loads: fitted, tanks: ledger.tanks.clone() };
    enter("fit-out", fitted.sum(&no_frame).at(&full, gross));
    enter("water-allowed", water_allowed(rig, trailer, &weights_only, &no_frame));

    let (axle_most, axle_fill) = sum.most(axle_group);
    enter("axle-heaviest", corners([&axle_most], |[group]| Some(group / axles)));
    enter("axles-full", sum.at(&full, axle_group));
    let least_rating = least(trailer.axles.iter().map(|axle| Input::fact(rig, axle.rating)).collect());
    enter(
        "axle-moment-over",
        corners([&axle_most, &least_rating, &axle], |[group, rating, aft]| {
            Some((group - rating * axles) * aft * GRAVITY)
        }),
    );
    let (tongue_most, tongue_fill) = sum.most(tongue);
    enter("tongue-heaviest", tongue_most);
    enter("tongue-lightest", sum.least(tongue).0);
    let (ratio_least, least_fill) = sum.least_ratio(tongue, gross);
    enter("ratio-lightest", ratio_least);
    let (ratio_most, most_fill) = sum.most_ratio(tongue, gross);
    enter("ratio-heaviest", ratio_most);
    enter("ratio-full", sum.ratio_at(&full, tongue, gross));
    enter("ratio-dry", sum.ratio_at(&empty, tongue, gross));
    enter(
        "tongue-short",
        sum.most(|frame, kind, point| 0.10 * gross(frame, kind, point) - tongue(frame, kind, point)).0,
    );

    let (toward_curb, curb_fill) = sides.most_ratio(curb_less_road, axle_group);
    let (toward_road, road_fill) =
        sides.most_ratio(|frame, kind, point| -curb_less_road(frame, kind, point), axle_group);
    let curb_heavier =
        toward_curb.range.zip(toward_road.range).is_none_or(|(curb, road)| curb.middle() >= road.middle());
    let uneven_fill = if curb_heavier { curb_fill } else { road_fill };
    let uneven = corners([&toward_curb, &toward_road], |[curb, road]| Some(curb.max(road).max(0.0)));
    enter("side-uneven", uneven);
    let fills: Vec<f64> = uneven_fill.iter().map(|full| f64::from(u8::from(*full))).collect();
    enter("side-moment", corners([&sides.at(&fills, side_moment)], |[moment]| Some(moment * GRAVITY)));

    let tires = corners([&Input::fact(rig, trailer.tires.count)], |[count]| Some((count / 2.0).max(1.0)));
    let curb = sides
        .most(|frame, kind, point| axle_group(frame, kind, point) / 2.0 + curb_less_road(frame, kind, point) / 2.0)
        .0;
    let road = sides
        .most(|frame, kind, point| axle_group(frame, kind, point) / 2.0 - curb_less_road(frame, kind, point) / 2.0)
        .0;
    enter("tire-heaviest", corners([&curb, &road, &tires], |[curb, road, tires]| Some(curb.max(road) / tires)));

    let to_nose = Input::fact(rig, trailer.coupler.to_nose);
    enter("neutral-line", corners([&axle, &to_nose], |[axle, nose]| Some(weight::neutral_line(axle, 0.125) - nose)));
    enter("axle-line", corners([&axle, &to_nose], |[axle, nose]| Some(axle - nose)));
    let floor_frame: Frame =
        [Input::fact(rig, trailer.floor_height), Input::fixed(0.0), Input::fixed(0.0), Input::fixed(1.0)];
    let height = heights.sum(&floor_frame).ratio_at(&full, height_moment, gross);
    let gain =
        corners([&gross_full, &height, &axle], |[gross, up, axle]| weight::braking_tongue_gain(gross, up, axle, 0.5));
    enter("balance-height", height);
    enter("brake-tongue-gain", gain);

    for (name, fill) in [
        ("axle-heaviest-state", axle_fill),
        ("tongue-heaviest-state", tongue_fill),
        ("ratio-lightest-state", least_fill),
        ("ratio-heaviest-state", most_fill),
    ] {
        sheet.note(subject, row(CARDS, "trailer", name), state_name(ledger, &fill));
    }
    sheet.note(subject, row(CARDS, "trailer", "side-uneven-state"), state_name(ledger, &uneven_fill));
    sheet.note(subject, row(CARDS, "trailer", "side-heavy"), if curb_heavier { "curb" } else { "road" }.to_owned());
    sheet.ticket = states(ledger)
        .into_iter()
        .map(|fills| State {
            name: state_name(ledger, &fills.iter().map(|fill| *fill > 0.5).collect::<Vec<_>>()),
            gross: mass.at(&fills, gross),
            axles: sum.at(&fills, axle_group),
            front: sum.at(&fills, tongue),
            share: sum.ratio_at(&fills, tongue, gross),
            curb: sides.at(&fills, |frame, kind, point| {
                axle_group(frame, kind, point) / 2.0 + curb_less_road(frame, kind, point) / 2.0
            }),
            road: sides.at(&fills, |frame, kind, point| {
                axle_group(frame, kind, point) / 2.0 - curb_less_road(frame, kind, point) / 2.0
            }),
        })
        .collect();
}

/// Standard gravity, m/s² (exact, 3rd CGPM 1901).
pub(super) const GRAVITY: f64 = 9.806_65;

/// The least of several inputs.
fn least(inputs: Vec<Input>) -> Bounded {
    inputs
        .into_iter()
        .reduce(|one, other| corners([&one, &other], |[one, other]| Some(one.min(other))))
        .unwrap_or_default()
}

fn water_allowed(rig: &Rig, trailer: &Trailer, weights: &Ledger, frame: &Frame) -> Bounded {
    let fills: Vec<f64> =
        weights.tanks.iter().map(|tank| if tank.fluid == Some("water") { 0.0 } else { 1.0 }).collect();
    let others = weights.sum(frame).at(&fills, gross);
    let rating = Input::fact(rig, trailer.ratings.gross);
    corners([&rating, &others], |[rating, others]| weight::water_allowed(rating, others, bleach::WATER_DENSITY))
}

/// The fills that the ticket shows: every mixture of full and empty up to four tanks; beyond that all full, all empty, and each
/// tank alone full and alone empty.
pub(super) fn states(ledger: &Ledger) -> Vec<Vec<f64>> {
    let tanks = ledger.tanks.len();
    if tanks <= 4 {
        return (0..1u32 << tanks).map(|state| (0..tanks).map(|tank| f64::from(state >> tank & 1)).collect()).collect();
    }
    let mut states = vec![vec![0.0; tanks]];
    for tank in 0..tanks {
        let one = |inside: f64, outside: f64| (0..tanks).map(|at| if at == tank { inside } else { outside }).collect();
        states.push(one(1.0, 0.0));
        states.push(one(0.0, 1.0));
    }
    states.push(vec![1.0; tanks]);
    states
}

/// A fill state in words.
pub fn state_name(ledger: &Ledger, full: &[bool]) -> String {
    let named = |wanted: bool| -> Vec<&str> {
        ledger.tanks.iter().zip(full).filter(|(_, full)| **full == wanted).map(|(tank, _)| tank.name.as_str()).collect()
    };
    let (full, empty) = (named(true), named(false));
    match (full.as_slice(), empty.as_slice()) {
        ([], []) => "as it stands".to_owned(),
        (_, []) => "all tanks full".to_owned(),
        ([], _) => "all tanks empty".to_owned(),
        (full, empty) if empty.len() < full.len() => format!("{} empty, the rest full", join(empty)),
        (full, [only]) => format!("{} full, {only} empty", join(full)),
        (full, _) => format!("{} full, the rest empty", join(full)),
    }
}

fn join(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// A range read as its middle, for drawings and tickets.
pub fn middle(bounded: &Bounded) -> Option<f64> {
    bounded.range.map(Range::middle)
}
