//! The running gear under the load: what a tire may carry, and two axles that no equalizer joins.

use super::loads::{Frame, Keep};
use super::weight::{GRAVITY, STATICS, axle_group, axle_line, figure, ledger, note};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::{towing, weight};
use crate::measure::{Measure, Range};
use crate::rig::trailer::Trailer;
use crate::rig::{Carrier, Rig};

const TANDEM: &str =
    "moment about the ball ÷ sum of axle distances, and what the tilt of the frame puts on or takes off each spring";

/// The load a tire may carry has its own source.
const CARRIES: Card = Card {
    of: "trailer",
    name: "tire-carries",
    gives: Gives::Figure(Measure::Mass),
    help: "Load one tire may carry on a trailer",
    method: "load moulded on it or its load index; a passenger tire's ÷ 1.10",
    source: "ISO 4000-1 load index scale; 49 CFR 571.120 S5.1.2",
};

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    CARRIES,
    figure(
        "independent-tandem",
        "front-heaviest",
        Measure::Mass,
        "Load on the front axle with the ball where it is, in the fill state that loads the axles most",
        TANDEM,
    ),
    figure(
        "independent-tandem",
        "rear-heaviest",
        Measure::Mass,
        "Load on the rear axle with the ball where it is, in the fill state that loads the axles most",
        TANDEM,
    ),
    figure(
        "independent-tandem",
        "ball-off",
        Measure::Length,
        "How far the ball stands off the height at which the trailer rides level",
        "hitch ball height − level height, without its sign",
    ),
    note("independent-tandem", "ball-way", "Where the ball stands: above, below or off the level height"),
    figure("independent-tandem", "front-rating", Measure::Mass, "Rating of the front axle", "as its label says"),
    figure("independent-tandem", "rear-rating", Measure::Mass, "Rating of the rear axle", "as its label says"),
    Card {
        of: "independent-tandem",
        name: "trailer",
        gives: Gives::Subject("trailer"),
        help: "The trailer",
        method: "",
        source: STATICS,
    },
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    if let (Carrier::Trailer, Some(trailer)) = (rig.carrier(), &rig.spec.trailer) {
        tires(rig, trailer, sheet);
        independent_tandem(rig, trailer, sheet);
    }
}

/// What one tire may carry on a trailer: as moulded, or by its load index; a passenger tire carries less there.
fn tires(rig: &Rig, trailer: &Trailer, sheet: &mut Sheet) {
    let tires = &trailer.tires;
    let moulded = if rig.known(tires.rating).is_some() {
        Input::fact(rig, tires.rating)
    } else {
        corners([&Input::fact(rig, tires.load_index)], |[index]| towing::load_index_mass(index.round() as u8))
    };
    let reduced = corners([&moulded], |[mass]| Some(towing::passenger_tire_on_trailer(mass)));
    let carries = match rig.word(tires.made_for) {
        Some("passenger") => reduced.leaning([tires.made_for.id]),
        Some(_) => moulded.leaning([tires.made_for.id]),
        None => {
            let range = moulded.range.zip(reduced.range).map(|(full, reduced)| full.hull(reduced));
            let swing =
                moulded.range.zip(reduced.range).map_or(f64::INFINITY, |(full, reduced)| full.high - reduced.high);
            let mut facts = moulded.facts;
            facts.push((tires.made_for.id, swing));
            Bounded { range, facts }
        }
    };
    sheet.enter(SubjectId(trailer.entry.0), row(CARDS, "trailer", "tire-carries"), carries);
}

/// Two axles that no equalizer joins share by how level the trailer rides. Only where the spec does not say that they are joined.
fn independent_tandem(rig: &Rig, trailer: &Trailer, sheet: &mut Sheet) {
    let [front, rear] = trailer.axles.as_slice() else { return };
    if rig.flag(trailer.equalized) == Some(true) {
        return;
    }
    let subject = sheet.subject("independent-tandem", "the two axles".to_owned(), rig.entry(front.entry).place.clone());
    sheet.link(subject, row(CARDS, "independent-tandem", "trailer"), SubjectId(trailer.entry.0));
    let aft = ledger(rig, trailer).only(Keep::Aft);
    // The group's load times the axle line is the moment of everything about the ball.
    let line = axle_line(rig, trailer);
    let frame: Frame = [line.clone(), Input::fact(rig, trailer.coupler.to_nose), Input::fixed(0.0), Input::fixed(1.0)];
    let group = aft.sum(&frame).most(axle_group).0;
    let level = Input::fact(rig, trailer.coupler.level_height);
    let ball = rig.spec.vehicle.as_ref().map_or_else(Input::default, |vehicle| Input::fact(rig, vehicle.ball_height));
    let off = corners([&ball, &level], |[ball, level]| Some(ball - level));
    let rate = Input::fact(rig, front.spring_rate);
    let [front_aft, rear_aft] = [front, rear].map(|axle| Input::fact(rig, axle.from_coupler));
    let side = |rear: bool| {
        corners([&group, &front_aft, &rear_aft, &rate, &off], |[group, front_aft, rear_aft, rate, ball_high]| {
            let moment = group * (front_aft + rear_aft) / 2.0;
            let tandem = weight::IndependentTandem { moment, front_aft, rear_aft, rate: rate / GRAVITY, ball_high };
            weight::independent_tandem(tandem).map(|pair| if rear { pair.rear } else { pair.front })
        })
    };
    let (front_load, rear_load) = (side(false), side(true));
    let mut enter = |name: &str, value: Bounded| {
        sheet.enter(subject, row(CARDS, "independent-tandem", name), value);
    };
    enter("front-heaviest", front_load);
    enter("rear-heaviest", rear_load);
    let way = match off.range {
        Some(off) if off.low >= 0.0 => "above",
        Some(off) if off.high <= 0.0 => "below",
        _ => "off",
    };
    enter("ball-off", Bounded { range: off.range.map(Range::abs), facts: off.facts });
    enter("front-rating", Input::fact(rig, front.rating));
    enter("rear-rating", Input::fact(rig, rear.rating));
    sheet.note(subject, row(CARDS, "independent-tandem", "ball-way"), way.to_owned());
}
