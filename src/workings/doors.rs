//! Doors: what a leaf, a hatch or a ramp swings into, inside or outside the box.
//!
//! A door that does not say how it opens or where it is hinged is tried every way; what all ways agree on is sure.

use super::layout::CARDS;
use super::room::{Site, Stand, door_from, wall_of};
use super::{Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input};
use crate::figures::layout::{Box3, DoorSwing, Face};
use crate::measure::Range;
use crate::rig::trailer::Door;
use crate::rig::{FactId, Rig};

/// Top of a leaf whose height is not stated, m: a man's height.
const LEAF: f64 = 1.9;

/// Enters what one door swings into.
pub(super) fn door_swing(rig: &Rig, site: &Site<'_>, door: &Door, sheet: &mut Sheet) {
    let subject = SubjectId(door.entry.0);
    let (value, hit) = swing(rig, site, door);
    sheet.enter(subject, row(CARDS, "door", "swing-into"), value);
    let name = hit.map_or("", |stand| stand.name);
    sheet.note(subject, row(CARDS, "door", "swing-hits-what"), name.to_owned());
    sheet.link(subject, row(CARDS, "door", "swing-hits"), hit.map_or(subject, |stand| SubjectId(stand.part.entry.0)));
}

/// How far the swing reaches into a thing, over every way the door may open, and the thing it reaches into most.
fn swing<'s>(rig: &Rig, site: &'s Site<'_>, door: &Door) -> (Bounded, Option<&'s Stand<'s>>) {
    let inward: &[bool] = match rig.word(door.swing) {
        Some("roll-up" | "slide") => return (Input::fixed(0.0), None),
        Some("in") => &[true],
        Some(_) => &[false],
        None => &[true, false],
    };
    let swept = |stand: &&Stand<'_>| inward.iter().any(|inward| stand.outside != *inward);
    if !site.stands.iter().any(|stand| swept(&stand)) {
        return (Input::fixed(0.0), None);
    }
    let missing = |facts: Vec<FactId>| {
        (Bounded { range: None, facts: facts.into_iter().map(|fact| (fact, f64::INFINITY)).collect() }, None)
    };
    let Some(wall) = wall_of(rig, door) else { return missing(vec![door.wall.id]) };
    let from = door_from(wall, door);
    let (Some(start), Some(width), Some(plane)) = (rig.known(from), rig.known(door.width), wall_plane(site, wall))
    else {
        let open = [from, door.width].into_iter().filter(|fact| rig.known(*fact).is_none());
        return missing(open.map(|fact| fact.id).collect());
    };
    let hinges = hinges(rig, door, wall);
    let top = rig.known(door.height).map_or(LEAF, |height| height.high);
    let mut ends: Option<[f64; 2]> = None;
    let mut worst: (f64, Option<&Stand<'_>>) = (0.0, None);
    for &inward in inward {
        for &hinge in hinges {
            for (start, width, plane) in grid(start, width, plane) {
                let opening = Opening { wall, start, width, plane, top };
                let mut into = [0.0_f64; 2];
                for stand in site.stands.iter().filter(|stand| stand.outside != inward) {
                    let most = opening.hits(hinge, inward, &stand.most);
                    into = [into[0].max(opening.hits(hinge, inward, &stand.least)), into[1].max(most)];
                    if most > worst.0 {
                        worst = (most, Some(stand));
                    }
                }
                ends = Some(ends.map_or(into, |ends| [ends[0].min(into[0]), ends[1].max(into[1])]));
            }
        }
    }
    let range = ends.and_then(|[low, high]| Range::between(low, high));
    let swing_of = |unsettled: bool| if unsettled { range.map_or(0.0, Range::width) } else { 0.0 };
    let mut facts = vec![
        (door.swing.id, swing_of(inward.len() > 1)),
        (door.hinge.id, swing_of(hinges.len() > 1 && rig.word(door.hinge).is_none())),
    ];
    facts.extend([(from.id, start.width()), (door.width.id, width.width())]);
    facts.extend(worst.1.into_iter().flat_map(|stand| stand.facts(rig)));
    (Bounded { range, facts }, worst.1)
}

/// Where along its axis a wall stands.
fn wall_plane(site: &Site<'_>, wall: Face) -> Option<Range> {
    if wall.is_far() { site.inside[wall.axis()].range } else { Range::point(0.0) }
}

/// The edges a leaf may be hinged at: `nose` and `curb` are the near upright, `tail` and `road` the far one.
fn hinges(rig: &Rig, door: &Door, wall: Face) -> &'static [&'static str] {
    match (rig.word(door.swing), rig.word(door.hinge), wall.axis()) {
        (Some("double-out"), ..) => &["both"],
        (Some("ramp"), ..) | (_, Some("bottom"), _) => &["bottom"],
        (_, Some("top"), _) => &["top"],
        (_, Some("nose"), 1) | (_, Some("curb"), 0) => &["near"],
        (_, Some("tail"), 1) | (_, Some("road"), 0) => &["far"],
        _ => &["near", "far"],
    }
}

/// The ends and the middle of three ranges, in every mixture; one when they are exact.
fn grid(a: Range, b: Range, c: Range) -> impl Iterator<Item = (f64, f64, f64)> {
    let steps =
        |range: Range| if range.is_point() { vec![range.low] } else { vec![range.low, range.middle(), range.high] };
    let (a, b, c) = (steps(a), steps(b), steps(c));
    a.into_iter()
        .flat_map(move |a| b.clone().into_iter().map(move |b| (a, b)))
        .flat_map(move |(a, b)| c.clone().into_iter().map(move |c| (a, b, c)))
}

/// A door's opening: where along its wall it begins, how wide it is, where its wall stands, how high it reaches.
struct Opening {
    wall: Face,
    start: f64,
    width: f64,
    plane: f64,
    top: f64,
}

impl Opening {
    /// How far a leaf reaches into a box, m; nought when it swings clear.
    fn hits(&self, hinge: &str, inward: bool, item: &Box3) -> f64 {
        let leaf =
            |at: f64, width: f64, forward: bool| self.upright(at, width, forward, inward).hits(item).unwrap_or(0.0);
        match hinge {
            "near" => leaf(self.start, self.width, true),
            "far" => leaf(self.start + self.width, self.width, false),
            "both" => {
                leaf(self.start, self.width / 2.0, true).max(leaf(self.start + self.width, self.width / 2.0, false))
            }
            edge => self.falls(edge == "top", inward, item),
        }
    }

    fn upright(&self, at: f64, width: f64, forward: bool, inward: bool) -> DoorSwing {
        let away = inward != self.wall.is_far();
        let height = [0.0, self.top];
        if self.wall.axis() == 0 {
            DoorSwing { hinge: [self.plane, at], width, toward_tail: away, toward_road: forward, height }
        } else {
            DoorSwing { hinge: [at, self.plane], width, toward_tail: forward, toward_road: away, height }
        }
    }

    /// A leaf hinged below or above sweeps the same quarter, seen from the side: its height is the leaf, its width the depth.
    fn falls(&self, from_top: bool, inward: bool, item: &Box3) -> f64 {
        let (across, along) = (self.wall.axis(), 1 - self.wall.axis());
        let turned = Box3 {
            at: [item.at[across], item.at[2], item.at[along]],
            size: [item.size[across], item.size[2], item.size[along]],
        };
        let leaf = DoorSwing {
            hinge: [self.plane, if from_top { self.top } else { 0.0 }],
            width: self.top,
            toward_tail: inward != self.wall.is_far(),
            toward_road: !from_top,
            height: [self.start, self.start + self.width],
        };
        leaf.hits(&turned).unwrap_or(0.0)
    }
}
