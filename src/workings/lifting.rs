//! Lifting: jugs and cans that are carried and set down by hand.
//!
//! The posture is that of a jug set over a trailer's sill: hands 12 in ahead of the ankles, a turn of 30 degrees, a good
//! handle (common practice, no source). Every lift of a day is taken to fall into one hour.

use super::loads::contents_mass;
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::handling::{Grip, Lift, lifting_index, multipliers, recommended_weight};
use crate::measure::{Measure, Range};
use crate::rig::parts::{AnyPart, Container, Kind};
use crate::rig::{Amount, Rig};

const INCH: f64 = 0.0254;
/// Hands ahead of the ankles, m.
const REACH: f64 = 12.0 * INCH;
/// Turn of the body, degrees.
const TWIST: f64 = 30.0;
/// Handle above the jug's underside where its height is not stated, m.
const HANDLE: f64 = 12.0 * INCH;
/// Lifts start and end between the ground and a high shelf, m.
const SHELF: Range = Range { low: 0.0, high: 48.0 * INCH };
/// Above 70 in no weight is recommended; the index is then taken over this, kg, so that it has a value.
const LEAST_LIMIT: f64 = 0.453_592_37;
const HOUR: f64 = 3600.0;
const NIOSH: &str = "revised NIOSH lifting equation, DHHS (NIOSH) Publication 94-110, revised 2021";

const fn figure(name: &'static str, measure: Measure, help: &'static str, method: &'static str) -> Card {
    Card { of: "container", name, gives: Gives::Figure(measure), help, method, source: NIOSH }
}

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    figure("jug-weight", Measure::Mass, "Weight of one, full", "empty weight ÷ count + volume × density"),
    figure(
        "lift-limit",
        Measure::Mass,
        "Weight that most people lift safely this way",
        "51 lb × six multipliers, the lesser of start and end",
    ),
    figure("lift-index", Measure::Ratio, "Weight of one over the weight most people lift safely", "weight ÷ limit"),
    figure(
        "lift-volume",
        Measure::Volume,
        "Volume that would weigh no more than the limit",
        "limit ÷ weight × capacity",
    ),
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    for (_, part) in rig.parts() {
        if let Kind::Container(can) = &part.kind {
            jug(rig, part, can, sheet);
        }
    }
}

fn jug(rig: &Rig, part: &AnyPart, can: &Container, sheet: &mut Sheet) {
    let fact = |amount| Input::fact(rig, amount);
    let count = Input { range: rig.known(can.count).or(Range::point(1.0)), facts: vec![(can.count.id, 0.0)] };
    let contents = contents_mass(rig, can.capacity, &can.holds);
    let weight = corners([&fact(part.common.weight), &contents, &count], |[empty, contents, count]| {
        Some(empty / count.max(1.0) + contents)
    });
    let limit = limit(rig, part, can);
    let index = corners([&weight, &limit], |[weight, limit]| lifting_index(weight, limit.max(LEAST_LIMIT)));
    let volume = corners([&limit, &weight, &fact(can.capacity)], |[limit, weight, capacity]| {
        Some((limit / weight).min(1.0) * capacity)
    });
    let subject = SubjectId(part.entry.0);
    for (name, value) in [("jug-weight", weight), ("lift-limit", limit), ("lift-index", index), ("lift-volume", volume)]
    {
        sheet.enter(subject, row(CARDS, "container", name), value);
    }
}

/// The recommended weight. It has no steady direction in the heights, so their ends and the height where it is most are all tried.
fn limit(rig: &Rig, part: &AnyPart, can: &Container) -> Bounded {
    let height = |amount: Amount| match rig.known(amount) {
        Some(known) => (known, known.width()),
        None => (SHELF, f64::INFINITY),
    };
    let ((from, from_swing), (to, to_swing)) = (height(can.lift_from), height(can.lift_to));
    let handle = rig.known(part.common.size.height).map_or(HANDLE, |tall| tall.middle().min(HANDLE));
    let lifts = rig.known(can.lifts_per_day).map_or(1.0, |lifts| lifts.high);
    let tries = |range: Range| [range.low, range.high, (30.0 * INCH - handle).clamp(range.low, range.high)];
    let mut ends: Option<Range> = None;
    for from in tries(from) {
        for to in tries(to) {
            let at = |height: f64| {
                let travel = (to - from).abs();
                let lift = Lift {
                    reach: REACH,
                    height: height + handle,
                    travel,
                    twist: TWIST,
                    frequency: lifts / HOUR,
                    duration: HOUR,
                    grip: Grip::Good,
                };
                recommended_weight(&multipliers(&lift))
            };
            let limit = Range::point(at(from).min(at(to)));
            ends = limit.map(|limit| ends.map_or(limit, |ends| ends.hull(limit)));
        }
    }
    Bounded {
        range: ends,
        facts: vec![(can.lift_from.id, from_swing), (can.lift_to.id, to_swing), (can.lifts_per_day.id, 0.0)],
    }
}
