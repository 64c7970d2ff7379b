//! Layout: what collides, what stands out of the walls, how wide the ways are, what a hand gets to, what a door swings into.

use super::doors;
use super::room::{Ground, Plan, STEP_OVER, Site, Stand, WIDE, Way, within_reach};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::layout::{
    Box3, FORWARD_REACH, Face, Rect, SQUEEZE_WIDTH, Shift, collisions, overlap, reach, service_strip,
    smallest_clear_shift, smallest_shift,
};
use crate::figures::walk::Side;
use crate::measure::{Measure, Range};
use crate::rig::parts::{Control, Kind};
use crate::rig::{FactId, Rig};

const GEOMETRY: &str = "plane geometry of boxes";
const WALK: &str =
    "an upright square person among boxes, exact search over gaps; 2010 ADA Standards 403.5.1 for the 36 in";
const HANDS: &str = "NUREG-0700 rev. 3, 11.1.1-5 and Table 11.4; 2010 ADA Standards 308";
/// A control this near a wall, m, is on it: 3 in (common practice, no source).
const WALL_THICKNESS: f64 = 3.0 * 0.0254;

const fn card(of: &'static str, name: &'static str, gives: Gives, help: &'static str, method: &'static str) -> Card {
    Card { of, name, gives, help, method, source: GEOMETRY }
}

const fn length(of: &'static str, name: &'static str, help: &'static str, method: &'static str) -> Card {
    card(of, name, Gives::Figure(Measure::Length), help, method)
}

const fn note(of: &'static str, name: &'static str, help: &'static str) -> Card {
    card(of, name, Gives::Note, help, "")
}

const fn link(of: &'static str, name: &'static str, kind: &'static str, help: &'static str) -> Card {
    card(of, name, Gives::Subject(kind), help, "")
}

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    card(
        "rig",
        "unplaced",
        Gives::Figure(Measure::Count),
        "Parts whose place or size is not stated",
        "count of carried parts without all six of place and size",
    ),
    note("rig", "unplaced-words", "How many parts have no stated place, in words"),
    link("overlap", "first", "part", "The smaller of the two"),
    link("overlap", "second", "part", "The larger of the two"),
    length("overlap", "deep", "Least of the three lengths shared", "least of the lengths shared along, across and up"),
    length("overlap", "along", "Length shared nose to tail", "lesser of the far ends − greater of the near ends"),
    length("overlap", "across", "Length shared side to side", "lesser of the far ends − greater of the near ends"),
    length("overlap", "up", "Height shared", "lesser of the tops − greater of the undersides"),
    length(
        "overlap",
        "shift",
        "Smallest move of the smaller thing that clears it of everything",
        "least move along one axis",
    ),
    note("overlap", "shift-way", "Which way that move goes"),
    length(
        "part",
        "past-wall",
        "How far it stands out of the walls",
        "greatest of the six faces' distances past the room",
    ),
    note("part", "past-which", "The wall it stands out of most"),
    Card {
        source: WALK,
        ..length(
            "part",
            "aisle",
            "Width of the way in to where it is worked, counted up to 36 in",
            "widest person that gets within 25 in of each of its controls",
        )
    },
    note("part", "aisle-pinch", "What pinches that way"),
    link("part", "aisle-first", "part", "One of the two things that pinch it"),
    link("part", "aisle-second", "part", "The other one"),
    Card {
        source: WALK,
        ..length(
            "trailer",
            "way-out",
            "Widest person who gets out of the box through some door, counted up to 36 in",
            "widest person who stands inside and reaches a doorway",
        )
    },
    Card {
        source: HANDS,
        ..length(
            "control",
            "hand-reach",
            "Distance in plan from the nearest place to stand",
            "straight distance from the floor a 24 in person covers, or from the ground outside",
        )
    },
    Card {
        source: HANDS,
        ..length(
            "control",
            "hand-height",
            "Height above where the feet are",
            "height above the floor, and the floor above the ground for a person outside",
        )
    },
    length(
        "door",
        "swing-into",
        "How far its swing reaches into a thing",
        "leaf width − distance of hinge to the nearest point in the quarter swept",
    ),
    note("door", "swing-hits-what", "What it swings into"),
    link("door", "swing-hits", "part", "The thing it swings into"),
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let site = Site::of(rig);
    unplaced(rig, &site, sheet);
    overlaps(rig, &site, sheet);
    walls(rig, &site, sheet);
    ways(rig, &site, sheet);
    hands(rig, &site, sheet);
    for door in site.doors {
        doors::door_swing(rig, &site, &door.item, sheet);
    }
}

fn figure(sheet: &mut Sheet, subject: SubjectId, of: &str, name: &str, value: Bounded) {
    sheet.enter(subject, row(CARDS, of, name), value);
}

fn unplaced(rig: &Rig, site: &Site<'_>, sheet: &mut Sheet) {
    let count = site.unplaced.len();
    // One question stands for all: a drawing that shows one place shows the others. The heaviest part is the one to ask for.
    let heaviest = site.unplaced.iter().max_by(|a, b| {
        let weight =
            |part: &crate::rig::parts::AnyPart| rig.known(part.common.weight).map_or(0.0, |weight| weight.high);
        weight(a).total_cmp(&weight(b))
    });
    let value = match heaviest {
        None => Input::fixed(0.0),
        Some(part) => {
            let (at, size) = (&part.common.at, &part.common.size);
            let asked = [at.nose, at.curb, at.floor, size.length].into_iter().find(|fact| !rig.states(*fact));
            Bounded { range: None, facts: vec![(asked.unwrap_or(size.height).id, f64::INFINITY)] }
        }
    };
    figure(sheet, SubjectId(0), "rig", "unplaced", value);
    let all = count + site.stands.len();
    let words = if count == 1 { format!("one of {all} parts has") } else { format!("{count} of {all} parts have") };
    sheet.note(SubjectId(0), row(CARDS, "rig", "unplaced-words"), words);
}

/// Least and most length that two spans share, each with its start and length as ranges: exact for independent ranges.
fn shared(a: Range, l: Range, b: Range, m: Range) -> [f64; 2] {
    let (low, high) = (a.low - b.high, a.high - b.low);
    let at = |by: f64, l: f64, m: f64| l.min(m).min(by + l).min(m - by);
    // It falls on both sides of the place where the two middles lie level.
    let level = ((m.high - l.high) / 2.0).clamp(low, high);
    [at(low, l.low, m.low).min(at(high, l.low, m.low)), at(level, l.high, m.high)]
}

fn overlaps(rig: &Rig, site: &Site<'_>, sheet: &mut Sheet) {
    let boxes: Vec<Box3> = site.stands.iter().map(|stand| stand.most).collect();
    for pair in collisions(&boxes) {
        let (a, b) = (&site.stands[pair.first], &site.stands[pair.second]);
        if holds(rig, a, b) || holds(rig, b, a) {
            continue;
        }
        let volume = |stand: &Stand<'_>| stand.size.iter().map(|side| side.middle()).product::<f64>();
        let (first, second) = if volume(a) <= volume(b) { (a, b) } else { (b, a) };
        let place = rig.entry(first.part.entry).place.clone();
        let subject = sheet.subject("overlap", format!("{} and {}", first.name, second.name), place);
        sheet.link(subject, row(CARDS, "overlap", "first"), SubjectId(first.part.entry.0));
        sheet.link(subject, row(CARDS, "overlap", "second"), SubjectId(second.part.entry.0));
        let spans = [0, 1, 2].map(|axis| shared(first.at[axis], first.size[axis], second.at[axis], second.size[axis]));
        let facts: Vec<(FactId, f64)> = first.facts(rig).chain(second.facts(rig)).collect();
        let deep = [0, 1].map(|end| spans.iter().map(|span| span[end]).fold(f64::INFINITY, f64::min));
        for (name, [low, high]) in [("deep", deep), ("along", spans[0]), ("across", spans[1]), ("up", spans[2])] {
            figure(sheet, subject, "overlap", name, Bounded { range: Range::between(low, high), facts: facts.clone() });
        }
        let shift = clear_shift(rig, site, first, second);
        let value = Bounded { range: shift.and_then(|shift| Range::point(shift.by.abs())), facts: Vec::new() };
        figure(sheet, subject, "overlap", "shift", value);
        sheet.note(subject, row(CARDS, "overlap", "shift-way"), shift.map_or("", way_of).to_owned());
    }
}

/// Whether two things may share their room: a tray holds what it stands under, a rack what stands wholly in it.
fn holds(rig: &Rig, holder: &Stand<'_>, held: &Stand<'_>) -> bool {
    match &holder.part.kind {
        Kind::Tray(tray) => tray.under.iter().any(|under| rig.reference(*under).is_some_and(|(id, _)| id == held.name)),
        Kind::Rack(_) => {
            let (near, far) = (holder.most.at, holder.most.far());
            let (inner, outer) = (held.middle().at, held.middle().far());
            (0..3).all(|axis| inner[axis] >= near[axis] - 1e-9 && outer[axis] <= far[axis] + 1e-9)
        }
        _ => false,
    }
}

/// The smallest move that clears `first` of everything, along the floor, or up for what hangs or stands on something.
fn clear_shift(rig: &Rig, site: &Site<'_>, first: &Stand<'_>, second: &Stand<'_>) -> Option<Shift> {
    let item = first.middle();
    let apart =
        |other: &&Stand<'_>| !std::ptr::eq(*other, first) && !holds(rig, other, first) && !holds(rig, first, other);
    let others: Vec<Box3> =
        site.stands.iter().filter(apart).filter(|other| other.outside == first.outside).map(Stand::middle).collect();
    let Some(room) = site.room().filter(|_| !first.outside) else {
        return smallest_shift(&item, &second.middle(), false);
    };
    let along = smallest_clear_shift(&item, &others, &room);
    let lift = Shift { axis: 2, by: second.middle().far()[2] - item.at[2] };
    let lifted = item.moved(lift.vector());
    let hangs = item.at[2] > STEP_OVER
        && lifted.far()[2] <= room.far()[2]
        && others.iter().all(|other| overlap(other, &lifted).is_none());
    match along {
        Some(along) if !hangs || along.by.abs() <= lift.by => Some(along),
        other => {
            if hangs {
                Some(lift)
            } else {
                other
            }
        }
    }
}

fn way_of(shift: Shift) -> &'static str {
    match (shift.axis, shift.by > 0.0) {
        (0, true) => "toward the tail",
        (0, false) => "toward the nose",
        (1, true) => "toward the road side",
        (1, false) => "toward the curb side",
        _ => "up",
    }
}

fn walls(rig: &Rig, site: &Site<'_>, sheet: &mut Sheet) {
    let mut stands = site.stands.iter().peekable();
    for (_, part) in rig.parts() {
        let subject = SubjectId(part.entry.0);
        let stand = stands.next_if(|stand| stand.part.entry == part.entry);
        let (value, which) = match stand {
            Some(stand) if !stand.outside => past_wall(rig, site, stand),
            _ => (Input::fixed(0.0), ""),
        };
        figure(sheet, subject, "part", "past-wall", value);
        sheet.note(subject, row(CARDS, "part", "past-which"), which.to_owned());
    }
}

fn past_wall(rig: &Rig, site: &Site<'_>, stand: &Stand<'_>) -> (Bounded, &'static str) {
    // A deck has no roof; over a bed's rails things may stand out.
    let over_the_rail =
        site.ground == Ground::Bed && site.inside[2].range.is_none_or(|rail| stand.at[2].high >= rail.low);
    let axes = if site.ground == Ground::Enclosed { 3 } else { 2 };
    let (mut past, mut which, mut facts) = ([0.0_f64; 2], "", Vec::new());
    for (axis, [near, far]) in WALL_NAMES.iter().enumerate().take(axes) {
        let Some(inside) = site.inside[axis].range else { return (Bounded { range: None, facts: Vec::new() }, "") };
        if over_the_rail && axis == 1 {
            continue;
        }
        let (at, size) = (stand.at[axis], stand.size[axis]);
        let ends =
            [([-at.high, -at.low], near), ([at.low + size.low - inside.high, at.high + size.high - inside.low], far)];
        for ([low, high], name) in ends {
            // Less than a hair is rounding.
            if high > past[1].max(1e-9) {
                which = name;
            }
            past = [past[0].max(low), past[1].max(high)];
        }
        facts.extend(site.inside[axis].facts.iter().copied());
    }
    facts.extend(stand.facts(rig));
    let name = if site.ground == Ground::Enclosed || which.is_empty() { which } else { edge_name(which) };
    (Bounded { range: Range::between(past[0], past[1]), facts }, name)
}

const WALL_NAMES: [[&str; 2]; 3] =
    [["the nose wall", "the tail wall"], ["the curb-side wall", "the road-side wall"], ["the floor", "the roof"]];

fn edge_name(wall: &str) -> &'static str {
    match wall {
        "the nose wall" => "the front edge",
        "the tail wall" => "the tail edge",
        "the curb-side wall" => "the curb-side edge",
        _ => "the road-side edge",
    }
}

/// The areas that must be got to for a part: within reach of each control worked from inside, and the sides it is served from.
fn goals_of(rig: &Rig, part: &crate::rig::parts::AnyPart, stand: Option<&Stand<'_>>, goals: &mut Vec<[Rect; 3]>) {
    for control in &part.common.controls {
        let control = &control.item;
        if let (Some(x), Some(y)) = (rig.known(control.nose), rig.known(control.curb))
            && rig.word(control.from) != Some("outside")
        {
            goals.push(within_reach([x.middle(), y.middle()], FORWARD_REACH));
        }
    }
    let clear = &part.common.clear;
    for (face, depth) in
        [(Face::Nose, clear.nose), (Face::Tail, clear.tail), (Face::Curb, clear.curb), (Face::Road, clear.road)]
    {
        if let (Some(stand), Some(depth)) = (stand, rig.known(depth).filter(|depth| depth.high > 0.0)) {
            goals.push([service_strip(&stand.middle(), face, depth.high).outline(); 3]);
        }
    }
}

fn ways(rig: &Rig, site: &Site<'_>, sheet: &mut Sheet) {
    let mut goals = Vec::new();
    let mut counts = Vec::with_capacity(rig.spec.parts.len());
    let plans: Vec<&Plan> =
        if site.tight.as_ref().is_some_and(Plan::has_doors) { site.plans().collect() } else { Vec::new() };
    let mut stands = site.stands.iter().peekable();
    for (_, part) in rig.parts() {
        let stand = stands.next_if(|stand| stand.part.entry == part.entry);
        let before = goals.len();
        if !plans.is_empty() && rig.flag(part.common.outside) != Some(true) {
            goals_of(rig, part, stand, &mut goals);
        }
        counts.push(goals.len() - before);
    }
    let found: Vec<Vec<Way>> = plans.iter().map(|plan| plan.ways(&goals)).collect();
    let facts = if site.loose.is_some() { site.open_facts(rig) } else { Vec::new() };
    let mut next = 0;
    for ((_, part), count) in rig.parts().zip(counts) {
        let narrowest =
            |ways: &Vec<Way>| ways.iter().skip(next).take(count).copied().min_by(|a, b| a.width.total_cmp(&b.width));
        let tight = found.first().and_then(narrowest);
        let loose = found.last().and_then(narrowest);
        next += count;
        let range = tight.zip(loose).and_then(|(tight, loose)| Range::between(tight.width, loose.width));
        let subject = SubjectId(part.entry.0);
        let facts = if range.is_some() { facts.clone() } else { Vec::new() };
        figure(sheet, subject, "part", "aisle", Bounded { range, facts });
        let pinch = tight.and_then(|way| way.pinch);
        let named = |side: Side| match side {
            Side::Item(item) => site.stands.get(item).map_or("", |stand| stand.name),
            Side::Wall(wall) => wall_name(wall),
        };
        let words = match (pinch, tight) {
            (Some([a, b]), _) => format!("between {} and {}", named(a), named(b)),
            (None, Some(way)) if way.width < WIDE => "nobody gets past what stands in the way".to_owned(),
            _ => String::new(),
        };
        sheet.note(subject, row(CARDS, "part", "aisle-pinch"), words);
        for (at, name) in ["aisle-first", "aisle-second"].into_iter().enumerate() {
            let to = match pinch.map(|pinch| pinch[at]) {
                Some(Side::Item(item)) => site.stands.get(item).map_or(subject, |stand| SubjectId(stand.part.entry.0)),
                _ => subject,
            };
            sheet.link(subject, row(CARDS, "part", name), to);
        }
    }
    if let Some(trailer) = &rig.spec.trailer {
        let range = match (plans.first(), plans.last()) {
            (Some(tight), Some(loose)) if plans.len() > 1 => Range::between(tight.way_in(), loose.way_in()),
            (Some(only), _) => Range::point(only.way_in()),
            _ => None,
        };
        let facts = if range.is_some() { facts } else { Vec::new() };
        figure(sheet, SubjectId(trailer.entry.0), "trailer", "way-out", Bounded { range, facts });
    }
}

fn wall_name(wall: Face) -> &'static str {
    WALL_NAMES[wall.axis()][usize::from(wall.is_far())]
}

/// Where people stand in one plan: inside, and on the thresholds.
struct Footing {
    inside: Vec<Rect>,
    thresholds: Vec<Rect>,
}

fn hands(rig: &Rig, site: &Site<'_>, sheet: &mut Sheet) {
    if rig.parts().all(|(_, part)| part.common.controls.is_empty()) {
        return;
    }
    let footing = |plan: &Plan| Footing { inside: plan.standing(SQUEEZE_WIDTH).covered, thresholds: plan.thresholds() };
    let footings: Vec<Footing> = site.plans().map(footing).collect();
    for (_, part) in rig.parts() {
        for control in &part.common.controls {
            let (reach, height) = hand(rig, site, &footings, &control.item);
            let subject = SubjectId(control.item.entry.0);
            figure(sheet, subject, "control", "hand-reach", reach);
            figure(sheet, subject, "control", "hand-height", height);
        }
    }
}

fn hand(rig: &Rig, site: &Site<'_>, footings: &[Footing], control: &Control) -> (Bounded, Bounded) {
    let place = [control.nose, control.curb].map(|fact| Input::fact(rig, fact));
    let height = Input::fact(rig, control.floor);
    let above_ground = corners([&height, &site.floor_height], |[height, floor]| Some(height + floor));
    let mut facts: Vec<(FactId, f64)> = place.iter().flat_map(|axis| axis.facts.iter().copied()).collect();
    let (Some(x), Some(y)) = (place[0].range, place[1].range) else {
        facts.retain(|(_, swing)| swing.is_infinite());
        return (Bounded { range: None, facts }, height);
    };
    let (Some(length), Some(width)) = (site.inside[0].range, site.inside[1].range) else {
        let facts = site.inside[..2]
            .iter()
            .flat_map(|side| side.facts.iter().copied())
            .filter(|(_, swing)| swing.is_infinite());
        return (Bounded { range: None, facts: facts.collect() }, height);
    };
    let point = [x.middle(), y.middle()];
    // A distance changes by no more than the point does.
    let mut slack = (x.width() / 2.0).hypot(y.width() / 2.0);
    // How deep the point lies inside the outline; on a bed the cab stands before the front edge.
    let [px, py] = point;
    let front = if site.ground == Ground::Bed { f64::INFINITY } else { px };
    let depth = front.min(length.middle() - px).min(py).min(width.middle() - py).max(0.0);
    let around = |footing: &Footing| reach(&footing.thresholds, point);
    let from = rig.word(control.from);
    let far = |distance: Option<f64>| distance.unwrap_or(f64::INFINITY);
    let (distances, outside) =
        if site.ground != Ground::Enclosed || (from == Some("outside") && depth <= WALL_THICKNESS) {
            slack += length.width().max(width.width()) / 2.0;
            (vec![if site.ground == Ground::Enclosed { 0.0 } else { depth }], true)
        } else if from == Some("outside") {
            (footings.iter().map(|footing| around(footing).unwrap_or(depth)).collect(), true)
        } else {
            let from_inside: Vec<f64> = footings.iter().map(|footing| far(reach(&footing.inside, point))).collect();
            let from_door: Vec<f64> = footings.iter().map(|footing| far(around(footing))).collect();
            let inside = from_inside.first().copied().unwrap_or(f64::INFINITY);
            // Whoever can't stand near enough inside leans in at the door, with the feet on the ground.
            let leans = inside > FORWARD_REACH && from_door.first().is_some_and(|door| *door < inside);
            if leans { (from_door, true) } else { (from_inside, false) }
        };
    if site.loose.is_some() {
        facts.extend(site.open_facts(rig));
    }
    let (tight, loose) = (distances.first().copied(), distances.last().copied());
    let range = tight
        .zip(loose)
        .and_then(|(tight, loose)| Range::between((loose.min(tight) - slack).max(0.0), tight.max(loose) + slack));
    (Bounded { range, facts }, if outside { above_ground } else { height })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn range(low: f64, width: f64) -> Range {
        Range::between(low, low + width).expect("finite")
    }

    #[test]
    fn two_spans_share_what_lies_between_the_greater_start_and_the_lesser_end() {
        // Geometry, by hand: 18 to 38 (or 30 to 50) against 44 to 64 shares nothing, or 6.
        let [low, high] = shared(range(18.0, 12.0), range(20.0, 0.0), range(44.0, 0.0), range(20.0, 0.0));
        assert_eq!([low, high], [-6.0, 6.0]);
        // A short span slides over a long one: at most its own length, and 10 in apart at either end.
        assert_eq!(shared(range(0.0, 50.0), range(10.0, 0.0), range(20.0, 0.0), range(20.0, 0.0)), [-10.0, 10.0]);
    }

    proptest! {
        #[test]
        fn the_ends_of_a_shared_length_hold_for_every_place_the_spans_may_have(
            (a, l) in (-10.0..10.0_f64, 0.1..10.0_f64), (b, m) in (-10.0..10.0_f64, 0.1..10.0_f64),
            (wa, wl, wb, wm) in (0.0..5.0_f64, 0.0..5.0_f64, 0.0..5.0_f64, 0.0..5.0_f64), (p, q, r, s) in (0.0..=1.0_f64, 0.0..=1.0_f64, 0.0..=1.0_f64, 0.0..=1.0_f64),
        ) {
            let [low, high] = shared(range(a, wa), range(l, wl), range(b, wb), range(m, wm));
            let (a, l, b, m) = (a + p * wa, l + q * wl, b + r * wb, m + s * wm);
            let inside = (a + l).min(b + m) - a.max(b);
            prop_assert!(low - 1e-9 <= inside && inside <= high + 1e-9, "{low} <= {inside} <= {high}");
        }
    }
}
