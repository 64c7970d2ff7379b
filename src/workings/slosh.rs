//! Liquid that moves in part-full tanks: what a bend makes of it.

use super::loads::density;
use super::weight::figure;
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::slosh;
use crate::measure::{Measure, Range};
use crate::rig::parts::{AnyPart, Tank};
use crate::rig::trailer::Trailer;
use crate::rig::{Amount, Carrier, Rig};

const SURFACE: &str = "second moment of the free surface, divided by compartments squared, as in ship stability (Derrett, Ship Stability for Masters and Mates)";

const fn linked(of: &'static str, help: &'static str) -> Card {
    Card { of, name: "tank", gives: Gives::Subject("tank"), help, method: "", source: SURFACE }
}

const fn surface(
    of: &'static str,
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
) -> Card {
    Card { of, name, gives: Gives::Figure(measure), help, method, source: SURFACE }
}

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    surface(
        "tank",
        "slosh-undivided",
        Measure::Torque,
        "Sideways moment of its liquid in a bend of 0.3 g, at the fill where it is most, as if it had no partitions",
        "density × length × width³ × 0.3 ÷ 12 (box), density × π × diameter⁴ × 0.3 ÷ 64 (round)",
    ),
    surface(
        "tank",
        "slosh-moment",
        Measure::Torque,
        "The same with its partitions counted; from none to many where they are not described",
        "undivided moment ÷ full compartments across, squared",
    ),
    linked("moving-liquid", "The tank whose liquid pulls hardest"),
    surface(
        "moving-liquid",
        "share",
        Measure::Ratio,
        "Load that moving liquid takes from one side's tires and puts on the other in a sudden bend of 0.3 g, as a share of the axle load",
        "2 × sum of the tanks' moments ÷ track ÷ axle load, tanks full",
    ),
    surface(
        "moving-liquid",
        "side-load",
        Measure::Mass,
        "Load that moving liquid takes from one side's tires and puts on the other in a sudden bend of 0.3 g",
        "2 × sum of the tanks' moments ÷ track",
    ),
    surface(
        "moving-liquid",
        "compartments",
        Measure::Count,
        "Equal compartments from side to side that this tank needs for the share to be 5 % or less",
        "the least count whose square divides the moment enough",
    ),
    figure(
        "trailer",
        "tire-in-a-bend",
        Measure::Mass,
        "Load on the most loaded tire in a sudden bend of 0.3 g, liquid moving, springs left out",
        "(heaviest side + gross weight × 0.3 × balance height ÷ track + moving liquid) ÷ tires a side",
    ),
    surface("carried-level", "level", Measure::Ratio, "How full the tank is on the road", "as the mode states"),
    linked("carried-level", "The tank"),
];

/// Sideways pull of a hard bend on the road, g (common practice, no source).
const BEND: f64 = 0.3;

/// Share of the axle load that moving liquid may shift (common practice, no source).
const SHARE: f64 = 0.05;

/// Standard gravity, m/s² (exact, 3rd CGPM 1901).
const GRAVITY: f64 = 9.806_65;

/// The moments of one tank, in kg·m.
struct Moving {
    subject: SubjectId,
    undivided: Bounded,
    divided: Bounded,
}

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let mut tanks = Vec::new();
    for (_, part, tank) in rig.tanks() {
        let (undivided, divided) = moments(rig, part, tank);
        let subject = SubjectId(part.entry.0);
        for (name, moment) in [("slosh-undivided", &undivided), ("slosh-moment", &divided)] {
            sheet.enter(subject, row(CARDS, "tank", name), corners([moment], |[moment]| Some(moment * GRAVITY)));
        }
        if rig.word(tank.holds.fluid) != Some("empty") {
            tanks.push(Moving { subject, undivided, divided });
        }
    }
    carried_levels(rig, sheet);
    let (track, axles) = match (rig.carrier(), &rig.spec.trailer, &rig.spec.vehicle) {
        (Carrier::Trailer, Some(trailer), _) => (trailer.track, value(sheet, SubjectId(trailer.entry.0), "axles-full")),
        (Carrier::Bed, _, Some(vehicle)) => (vehicle.track, value(sheet, SubjectId(vehicle.entry.0), "bed-rear-full")),
        _ => return,
    };
    let track = Input::fact(rig, track);
    let total = sum(&tanks);
    if let (Carrier::Trailer, Some(trailer)) = (rig.carrier(), &rig.spec.trailer) {
        tire_in_a_bend(rig, trailer, &total, &track, sheet);
    }
    let Some(widest) = widest(&tanks) else { return };
    let side = corners([&total, &track], |[moment, track]| slosh::side_transfer(slosh::sudden_moment(moment), track));
    let share = corners([&side, &axles], |[side, axles]| (axles > 0.0).then(|| side / axles));
    let place = sheet.at(widest.subject).place.clone();
    let subject = sheet.subject("moving-liquid", "liquid that moves".to_owned(), place);
    sheet.link(subject, row(CARDS, "moving-liquid", "tank"), widest.subject);
    let count = compartments(widest, &total, &track, &axles);
    sheet.enter(subject, row(CARDS, "moving-liquid", "share"), share);
    sheet.enter(subject, row(CARDS, "moving-liquid", "side-load"), side);
    sheet.enter(
        subject,
        row(CARDS, "moving-liquid", "compartments"),
        Bounded { range: count.and_then(Range::point), facts: Vec::new() },
    );
}

fn value(sheet: &Sheet, subject: SubjectId, name: &'static str) -> Input {
    sheet.value(subject, name).map_or_else(Input::default, |figure| figure.value.clone())
}

/// The moment of a tank undivided, and with its partitions, in kg·m.
fn moments(rig: &Rig, part: &AnyPart, tank: &Tank) -> (Bounded, Bounded) {
    let inside = |inside: Amount, outside: Amount| Input::fact(rig, if rig.states(inside) { inside } else { outside });
    let length = inside(tank.inside_length, part.common.size.length);
    let width = inside(tank.inside_width, part.common.size.width);
    let density =
        if rig.word(tank.holds.fluid) == Some("empty") { Input::fixed(0.0) } else { density(rig, &tank.holds) };
    let square = corners([&density, &length, &width], |[density, length, width]| {
        slosh::moment_bound(density, length, width, BEND, 1)
    });
    let round =
        || corners([&density, &width], |[density, width]| Some(slosh::round_moment_bound(density, width, BEND)));
    let undivided = match rig.word(tank.shape) {
        Some("upright-cylinder" | "cone") => round(),
        Some(_) => square,
        // A box's surface is larger than that of the round tank that fits in it.
        None => {
            let round = round();
            let range = square.range.zip(round.range).map(|(square, round)| square.hull(round));
            let swing =
                square.range.zip(round.range).map_or(f64::INFINITY, |(square, round)| (square.high - round.high).abs());
            let mut facts = square.facts;
            facts.push((tank.shape.id, swing));
            Bounded { range, facts }
        }
    };
    let partitions = &tank.partitions;
    let count = Input::fact(rig, partitions.across);
    let divided = match (rig.word(partitions.kind), count.range) {
        // Perforated baffles damp; they do not divide.
        (Some("perforated"), _) => undivided.clone().leaning([partitions.kind.id]),
        (Some(_), Some(_)) => corners([&undivided, &count], |[moment, count]| Some(moment / count.max(1.0).powi(2))),
        (None, Some(known)) if known.high <= 1.0 => undivided.clone().leaning([partitions.across.id]),
        (kind, known) => {
            let least = known.map_or(0.0, |known| 1.0 / known.high.max(1.0).powi(2));
            let mut facts = undivided.facts.clone();
            let swing = undivided.range.map_or(f64::INFINITY, |range| range.high * (1.0 - least));
            if known.is_none_or(|known| !known.is_point()) {
                facts.push((partitions.across.id, swing));
            }
            if kind.is_none() {
                facts.push((partitions.kind.id, swing));
            }
            Bounded { range: undivided.range.and_then(|range| Range::new(range.low * least, range.high)), facts }
        }
    };
    (undivided, divided)
}

fn sum(tanks: &[Moving]) -> Bounded {
    let mut total = Input::fixed(0.0);
    for tank in tanks {
        total.range = total.range.zip(tank.divided.range).and_then(|(total, one)| total.plus(one));
        total.facts.extend(&tank.divided.facts);
    }
    if total.range.is_none() {
        // What is missing is asked for, not what is known.
        total.facts = tanks
            .iter()
            .filter(|tank| tank.divided.range.is_none())
            .flat_map(|tank| tank.divided.facts.iter().copied())
            .collect();
    }
    total
}

/// The tank whose liquid pulls hardest; one of unknown size comes first.
fn widest(tanks: &[Moving]) -> Option<&Moving> {
    let pull = |tank: &Moving| tank.divided.range.map_or(f64::INFINITY, |range| range.high);
    tanks.iter().max_by(|one, other| pull(one).total_cmp(&pull(other)))
}

/// Compartments that bring the whole under the share, the other tanks as they are; where the others alone are too much, those that
/// bring this tank to its part of it.
fn compartments(widest: &Moving, total: &Bounded, track: &Input, axles: &Input) -> Option<f64> {
    let (total, axles, track) = (total.range?.high, axles.range?.low, track.range?.low);
    let (own, whole) = (widest.divided.range?.high, widest.undivided.range?.high);
    let limit = SHARE * axles * track / slosh::sudden_moment(1.0);
    let left = limit - (total - own);
    let allowed = if left > 0.0 { left } else { limit * own / total };
    slosh::compartments_for(whole, allowed).map(f64::from)
}

fn tire_in_a_bend(rig: &Rig, trailer: &Trailer, moving: &Bounded, track: &Input, sheet: &mut Sheet) {
    let subject = SubjectId(trailer.entry.0);
    let [tire, gross, up] =
        ["tire-heaviest", "gross-heaviest", "balance-height"].map(|name| value(sheet, subject, name));
    let tires = Input::fact(rig, trailer.tires.count);
    let load = corners([&tire, &gross, &up, track, moving, &tires], |[tire, gross, up, track, moving, tires]| {
        let over = gross * BEND * up / track + slosh::side_transfer(slosh::sudden_moment(moving), track)?;
        Some(tire + over / (tires / 2.0).max(1.0))
    });
    sheet.enter(subject, row(CARDS, "trailer", "tire-in-a-bend"), load);
}

/// Every tank that a mode for the road gives a level for.
fn carried_levels(rig: &Rig, sheet: &mut Sheet) {
    for mode in rig.spec.modes.iter().filter(|mode| rig.flag(mode.item.moving) == Some(true)) {
        for level in &mode.item.levels {
            let Some((_, part, _)) = rig.tanks().find(|(name, ..)| *name == &*level.name) else { continue };
            let subject =
                sheet.subject("carried-level", format!("{} in {}", level.name, mode.name), rig.place(level.item.id));
            sheet.link(subject, row(CARDS, "carried-level", "tank"), SubjectId(part.entry.0));
            sheet.enter(subject, row(CARDS, "carried-level", "level"), Input::fact(rig, level.item));
        }
    }
}
