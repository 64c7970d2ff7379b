//! The floor plan as the spec knows it: the room, its doorways, what stands where, and where a person can walk.
//!
//! A place or size may be a range. Then a part has two boxes: all it may cover and all it surely covers. The walk is
//! searched twice, past each of the two, and the truth lies between. A part without a stated place or size is left out
//! and counted.

use crate::bounds::Input;
use crate::figures::layout::{Box3, Face, Rect, clearance};
use crate::figures::walk::{Doorway, FloorPlan, Obstacle, Side, Standing, WidestPath, obstacles};
use crate::measure::Range;
use crate::rig::parts::{AnyPart, Kind};
use crate::rig::takeoff::{Named, Size};
use crate::rig::trailer::Door;
use crate::rig::{Amount, Carrier, FactId, Rig};

/// The hand-high steps people take over things on the floor, m: lower things do not narrow a way (common practice, no
/// source).
pub const STEP_OVER: f64 = 4.0 * INCH;
/// Shoulder height of a tall man, m: 61.2 in (95th percentile, NUREG-0700 rev. 3, Table 11.4). Higher things are ducked
/// under and do not narrow a way.
pub const SHOULDER: f64 = 61.2 * INCH;
/// Widths of a way are counted up to this, m: 36 in, a clear route (2010 ADA Standards 403.5.1).
pub const WIDE: f64 = 36.0 * INCH;
/// An opening lower than this, m, is a hatch, not a door to walk through (common practice, no source).
const LOWEST_DOOR: f64 = 48.0 * INCH;
/// Widths nearer than this, m, are one width.
const SAME: f64 = 1e-6;

const INCH: f64 = 0.0254;

/// What the rig stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// An enclosed trailer: people walk inside.
    Enclosed,
    /// An open deck: people stand on the ground around it.
    Deck,
    /// The bed of a truck: people stand on the ground beside and behind it.
    Bed,
}

/// A part whose place and size are stated.
#[derive(Debug, Clone)]
pub struct Stand<'a> {
    /// Its id.
    pub name: &'a str,
    /// The part.
    pub part: &'a AnyPart,
    /// It stands outside the walls.
    pub outside: bool,
    /// Near corner along the trailer, across, up, m.
    pub at: [Range; 3],
    /// Length, width, height, m.
    pub size: [Range; 3],
    /// All it may cover.
    pub most: Box3,
    /// All it surely covers; a side is nought or less where nothing is sure.
    pub least: Box3,
}

/// The rig's floor plan.
#[derive(Debug)]
pub struct Site<'a> {
    /// What the rig stands in.
    pub ground: Ground,
    /// Length, width and height between the walls: of a deck or bed up to the rail.
    pub inside: [Input; 3],
    /// Floor above the ground.
    pub floor_height: Input,
    /// Parts with a place, in the order of the spec.
    pub stands: Vec<Stand<'a>>,
    /// Carried parts without one.
    pub unplaced: Vec<&'a AnyPart>,
    /// Doors.
    pub doors: &'a [Named<Door>],
    /// The plan with everything at its largest and the room at its smallest.
    pub tight: Option<Plan>,
    /// The plan the other way round; `None` where it would be the same.
    pub loose: Option<Plan>,
}

/// A plan to walk on.
#[derive(Debug, Clone)]
pub struct Plan {
    room: Rect,
    doorways: Vec<Doorway>,
    obstacles: Vec<Obstacle>,
    outdoors: Vec<Rect>,
}

/// The widest way to a goal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// Its width, m, counted up to [`WIDE`]; nought when nobody gets there.
    pub width: f64,
    /// The two things that pinch it, by position in [`Site::stands`].
    pub pinch: Option<[Side; 2]>,
}

impl<'a> Site<'a> {
    /// Reads the floor plan off a rig.
    pub fn of(rig: &'a Rig) -> Self {
        let (ground, size, floor_height): (Ground, Option<Size>, Option<Amount>) =
            match (rig.carrier(), &rig.spec.trailer, &rig.spec.vehicle) {
                (Carrier::Bed, _, Some(vehicle)) => {
                    (Ground::Bed, Some(vehicle.bed.inside), Some(vehicle.bed.floor_height))
                }
                (_, Some(trailer), _) if rig.word(trailer.body) == Some("open") => {
                    (Ground::Deck, Some(trailer.inside), Some(trailer.floor_height))
                }
                (_, Some(trailer), _) => (Ground::Enclosed, Some(trailer.inside), Some(trailer.floor_height)),
                _ => (Ground::Enclosed, None, None),
            };
        let fact = |amount: Option<Amount>| amount.map_or_else(Input::default, |amount| Input::fact(rig, amount));
        let mut site = Self {
            ground,
            inside: [size.map(|size| size.length), size.map(|size| size.width), size.map(|size| size.height)].map(fact),
            floor_height: fact(floor_height),
            stands: Vec::with_capacity(rig.spec.parts.len()),
            unplaced: Vec::new(),
            doors: rig.spec.trailer.as_ref().map_or(&[], |trailer| &trailer.doors),
            tight: None,
            loose: None,
        };
        for (name, part) in rig.parts() {
            match Stand::of(rig, name, part) {
                Some(stand) => site.stands.push(stand),
                None if must_have_place(rig, part) => site.unplaced.push(part),
                None => {}
            }
        }
        if ground == Ground::Enclosed {
            site.tight = Plan::of(rig, &site, true);
            if !site.is_exact(rig) {
                site.loose = Plan::of(rig, &site, false);
            }
        }
        site
    }

    /// Whether no place, size, wall or doorway is a range.
    fn is_exact(&self, rig: &Rig) -> bool {
        self.inside.iter().all(Input::is_exact)
            && self
                .stands
                .iter()
                .all(|stand| stand.outside || stand.at.iter().chain(&stand.size).all(|range| range.is_point()))
            && self.doors.iter().all(|door| {
                // What places a door in another wall is no matter.
                let place = wall_of(rig, &door.item).map(|wall| door_from(wall, &door.item));
                place.into_iter().chain([door.item.width]).all(|fact| rig.known(fact).is_none_or(Range::is_point))
            })
    }

    /// The room as a box, at the middle of what is known; without a lid where it has none.
    pub fn room(&self) -> Option<Box3> {
        let [length, width, height] = self.inside.each_ref().map(|side| side.range.map(Range::middle));
        let height = if self.ground == Ground::Enclosed { height? } else { f64::MAX / 4.0 };
        Some(Box3 { at: [0.0; 3], size: [length?, width?, height] })
    }

    /// The plans to search: one when everything is known exactly, else the tight and the loose.
    pub fn plans(&self) -> impl Iterator<Item = &Plan> {
        self.tight.iter().chain(&self.loose)
    }

    /// The facts whose ranges make the two plans differ.
    pub fn open_facts(&self, rig: &Rig) -> Vec<(FactId, f64)> {
        let mut open: Vec<(FactId, f64)> = self.inside.iter().flat_map(|side| side.facts.iter().copied()).collect();
        open.extend(self.stands.iter().filter(|stand| !stand.outside).flat_map(|stand| stand.facts(rig)));
        open.retain(|(_, swing)| *swing > 0.0);
        open
    }
}

/// Whether a part takes up room in the rig: not what stays with the customer, weighs nothing or stands outside.
fn must_have_place(rig: &Rig, part: &AnyPart) -> bool {
    let carried = !matches!(part.kind, Kind::Supply(_) | Kind::Nozzle(_) | Kind::Gun(_))
        && rig.flag(part.common.outside) != Some(true);
    carried && rig.known(part.common.weight).is_none_or(|weight| weight.high > 0.0)
}

impl<'a> Stand<'a> {
    /// A part where it stands; `None` unless place and size are stated.
    pub fn of(rig: &Rig, name: &'a str, part: &'a AnyPart) -> Option<Self> {
        let (at, size) = facts_of(part);
        let stated = |fact: Amount| if rig.states(fact) { rig.known(fact) } else { None };
        let ([x, y, z], [l, w, h]) = (at.map(stated), size.map(stated));
        let (at, size) = ([x?, y?, z?], [l?, w?, h?]);
        let box_of = |near: [f64; 3], far: [f64; 3]| Box3 {
            at: near,
            size: [far[0] - near[0], far[1] - near[1], far[2] - near[2]],
        };
        let each = |f: fn(Range, Range) -> f64| [f(at[0], size[0]), f(at[1], size[1]), f(at[2], size[2])];
        Some(Self {
            name,
            part,
            outside: rig.flag(part.common.outside) == Some(true),
            at,
            size,
            most: box_of(at.map(|at| at.low), each(|at, size| at.high + size.high)),
            least: box_of(at.map(|at| at.high), each(|at, size| at.low + size.low)),
        })
    }

    /// The facts of its place and size, with how far each may move it.
    pub fn facts(&self, rig: &Rig) -> impl Iterator<Item = (FactId, f64)> {
        let (at, size) = facts_of(self.part);
        at.into_iter().chain(size).map(|fact| (fact.id, rig.known(fact).map_or(f64::INFINITY, Range::width)))
    }

    /// The box in the middle of what is known.
    pub fn middle(&self) -> Box3 {
        Box3 { at: self.at.map(Range::middle), size: self.size.map(Range::middle) }
    }
}

fn facts_of(part: &AnyPart) -> ([Amount; 3], [Amount; 3]) {
    let (at, size) = (&part.common.at, &part.common.size);
    ([at.nose, at.curb, at.floor], [size.length, size.width, size.height])
}

/// The wall that a door is in.
pub fn wall_of(rig: &Rig, door: &Door) -> Option<Face> {
    Some(match rig.word(door.wall)? {
        "nose" => Face::Nose,
        "tail" => Face::Tail,
        "curb" => Face::Curb,
        _ => Face::Road,
    })
}

/// The fact that says where along its wall a door begins.
pub fn door_from(wall: Face, door: &Door) -> Amount {
    if wall.axis() == 0 { door.from_curb } else { door.from_nose }
}

impl Plan {
    fn of(rig: &Rig, site: &Site<'_>, tight: bool) -> Option<Self> {
        let side = |input: &Input| input.range.map(|range| if tight { range.low } else { range.high });
        let [length, width, _] = site.inside.each_ref().map(side);
        let room = Rect { x: [0.0, length?], y: [0.0, width?] };
        let boxes: Vec<Box3> = site.stands.iter().map(|stand| if tight { stand.most } else { stand.least }).collect();
        let mut obstacles = obstacles(&boxes, STEP_OVER, SHOULDER);
        obstacles.retain(|obstacle| {
            let solid = boxes.get(obstacle.item).is_some_and(|b| b.size.iter().all(|side| *side > 0.0));
            solid && site.stands.get(obstacle.item).is_some_and(|stand| !stand.outside)
        });
        drop_covered(&mut obstacles);
        let doorways: Vec<Doorway> = site.doors.iter().filter_map(|door| doorway(rig, &door.item, tight)).collect();
        let mut plan = Self { room, doorways, obstacles, outdoors: Vec::new() };
        // Where no door is known a person may have come in anywhere.
        plan.outdoors = if plan.doorways.is_empty() { vec![room] } else { plan.floor().outdoors() };
        Some(plan)
    }

    fn floor(&self) -> FloorPlan<'_> {
        FloorPlan { room: self.room, doorways: &self.doorways, obstacles: &self.obstacles }
    }

    /// Whether some way in is known for sure.
    pub fn has_doors(&self) -> bool {
        !self.doorways.is_empty()
    }

    /// Where a person of a width can stand inside.
    pub fn standing(&self, width: f64) -> Standing {
        self.floor().standing(width, &self.outdoors)
    }

    /// The doorways as lines in their walls: a person outside stands there.
    pub fn thresholds(&self) -> Vec<Rect> {
        let Rect { x: [x0, x1], y: [y0, y1] } = self.room;
        let each = self.doorways.iter().map(|door| {
            let along = [door.from, door.from + door.width];
            match door.wall {
                Face::Nose => Rect { x: [x0, x0], y: along },
                Face::Tail => Rect { x: [x1, x1], y: along },
                Face::Curb => Rect { x: along, y: [y0, y0] },
                _ => Rect { x: along, y: [y1, y1] },
            }
        });
        each.collect()
    }

    /// The widest person, up to [`WIDE`], who gets in through some door and stands wholly inside.
    pub fn way_in(&self) -> f64 {
        let fits = |width: f64| !self.standing(width).centres.is_empty();
        if fits(WIDE) {
            return WIDE;
        }
        // Fourteen halvings of a yard leave two thousandths of an inch, given to the person.
        let (mut through, mut stuck) = (0.0, WIDE);
        for _ in 0..14 {
            let middle = f64::midpoint(through, stuck);
            if fits(middle) { through = middle } else { stuck = middle }
        }
        if through > 0.0 { stuck } else { 0.0 }
    }

    /// The widest way to each goal; a goal is several areas of which one must be touched.
    ///
    /// Goals behind the same pinch share one search.
    pub fn ways(&self, goals: &[[Rect; 3]]) -> Vec<Way> {
        let mut ways: Vec<Option<Way>> = vec![None; goals.len()];
        let settle = |ways: &mut Vec<Option<Way>>, way: Way, here: &[Rect], beyond: &[Rect]| {
            for (slot, goal) in ways.iter_mut().zip(goals).filter(|(slot, _)| slot.is_none()) {
                if goal.iter().any(|area| touches(here, area)) && !goal.iter().any(|area| touches(beyond, area)) {
                    *slot = Some(way);
                }
            }
        };
        // What lies at a doorway is got to from outdoors, however wide a person is.
        let mut open = self.standing(WIDE).covered;
        open.extend(self.thresholds());
        settle(&mut ways, Way { width: WIDE, pinch: None }, &open, &[]);
        while let Some(at) = ways.iter().position(Option::is_none) {
            let floor = self.floor();
            let mut best: Option<WidestPath> = None;
            let mut beyond = Vec::new();
            for area in &goals[at] {
                // A further area is worth a search only where somebody wider gets to it.
                if best.is_some() && !touches(&beyond, area) {
                    continue;
                }
                if let Some(path) = floor.widest_path(&self.outdoors, *area)
                    && best.is_none_or(|best| path.width > best.width)
                {
                    best = Some(path);
                    beyond = self.standing(path.width + 4.0 * SAME).covered;
                }
            }
            let way = best
                .map_or(Way { width: 0.0, pinch: None }, |path| Way { width: path.width.min(WIDE), pinch: path.pinch });
            ways[at] = Some(way);
            if way.width > 0.0 && way.width < WIDE {
                settle(&mut ways, way, &self.standing(way.width).covered, &beyond);
            }
        }
        ways.into_iter().flatten().collect()
    }
}

/// A door as an opening to walk through; `None` when its wall, place or width is not known or it is a hatch.
fn doorway(rig: &Rig, door: &Door, tight: bool) -> Option<Doorway> {
    let wall = wall_of(rig, door)?;
    let (place, wide) = (door_from(wall, door), door.width);
    // A doorway that is only allowed for may be anywhere; nobody is sure to get in through it.
    if tight && !(rig.states(place) && rig.states(wide)) {
        return None;
    }
    let (from, width) = (rig.known(place)?, rig.known(wide)?);
    if rig.known(door.height).is_some_and(|height| height.high < LOWEST_DOOR) {
        return None;
    }
    let (near, far) = if tight { (from.high, from.low + width.low) } else { (from.low, from.high + width.high) };
    (far > near).then_some(Doorway { wall, from: near, width: far - near })
}

fn touches(covered: &[Rect], goal: &Rect) -> bool {
    covered.iter().any(|area| clearance(area, goal) <= SAME)
}

/// Takes out what lies wholly within the outline of another: it is in nobody's way.
fn drop_covered(obstacles: &mut Vec<Obstacle>) {
    let within = |[a0, a1]: [f64; 2], [b0, b1]: [f64; 2]| a0 >= b0 && a1 <= b1;
    let mut at = 0;
    while let Some(one) = obstacles.get(at).map(|obstacle| obstacle.outline) {
        let covers = |(other, obstacle): (usize, &Obstacle)| {
            let outline = obstacle.outline;
            other != at && within(one.x, outline.x) && within(one.y, outline.y)
        };
        if obstacles.iter().enumerate().any(covers) {
            obstacles.remove(at);
        } else {
            at += 1;
        }
    }
}

/// The ground from which a hand gets to a point `reach` m away in plan: three rectangles inside the circle around it.
///
/// The circle is left out only by a few per cent of its radius, so the width found is on the safe side.
pub fn within_reach([x, y]: [f64; 2], reach: f64) -> [Rect; 3] {
    [10.0_f64, 45.0, 80.0].map(|degrees| {
        let (across, along) = degrees.to_radians().sin_cos();
        let (dx, dy) = (reach * along, reach * across);
        Rect { x: [x - dx, x + dx], y: [y - dy, y + dy] }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ground_within_reach_lies_inside_the_circle_and_reaches_its_edge_ahead_and_aside() {
        // Geometry: the corners of the three rectangles lie on the circle, the sides within 1.6 % of it.
        let goal = within_reach([1.0, 2.0], 0.635);
        for area in goal {
            let ([x0, x1], [y0, y1]) = (area.x, area.y);
            for (x, y) in [(x0, y0), (x0, y1), (x1, y0), (x1, y1)] {
                assert!(((x - 1.0_f64).hypot(y - 2.0) - 0.635).abs() < 1e-12);
            }
        }
        assert!(goal.iter().any(|area| area.x[1] - 1.0 > 0.984 * 0.635));
        assert!(goal.iter().any(|area| area.y[1] - 2.0 > 0.984 * 0.635));
    }

    fn plan(obstacles: &[[f64; 4]]) -> Plan {
        let rect = |[x0, y0, x1, y1]: [f64; 4]| Rect { x: [x0 * INCH, x1 * INCH], y: [y0 * INCH, y1 * INCH] };
        let room = rect([0.0, 0.0, 142.0, 70.0]);
        let doorways = vec![Doorway { wall: Face::Tail, from: 3.0 * INCH, width: 64.0 * INCH }];
        let obstacles = (0..).zip(obstacles).map(|(item, sides)| Obstacle { item, outline: rect(*sides) }).collect();
        let mut plan = Plan { room, doorways, obstacles, outdoors: Vec::new() };
        plan.outdoors = plan.floor().outdoors();
        plan
    }

    #[test]
    fn goals_behind_one_pinch_get_the_same_width_as_one_search_each() {
        // Geometry, by hand: two boxes leave 20 in between them and the far room is 50 in deep beyond; the near goal stands in
        // the open. Widths are counted up to 36 in.
        let plan = plan(&[[60.0, 0.0, 80.0, 25.0], [60.0, 45.0, 80.0, 70.0]]);
        let goals = [[20.0, 10.0], [15.0, 60.0], [30.0, 35.0], [110.0, 35.0]]
            .map(|[x, y]: [f64; 2]| within_reach([x * INCH, y * INCH], 10.0 * INCH));
        let ways = plan.ways(&goals);
        let widths: Vec<f64> = ways.iter().map(|way| (way.width / INCH * 1e4).round() / 1e4).collect();
        assert_eq!(widths, [20.0, 20.0, 20.0, 36.0]);
        assert_eq!(ways[0].pinch, Some([Side::Item(0), Side::Item(1)]));
        for (goal, way) in goals.iter().zip(&ways).take(3) {
            let alone = goal
                .iter()
                .filter_map(|goal| plan.floor().widest_path(&plan.outdoors, *goal))
                .map(|path| path.width)
                .fold(0.0, f64::max);
            assert!((alone - way.width).abs() < 1e-9);
        }
    }

    #[test]
    fn nobody_gets_past_a_wall_of_gear() {
        // Geometry: a box from wall to wall 10 in inside the tail door leaves 10 in to stand in.
        let plan = plan(&[[112.0, 0.0, 132.0, 70.0]]);
        let goal = within_reach([20.0 * INCH, 20.0 * INCH], 10.0 * INCH);
        assert_eq!(plan.ways(&[goal])[0], Way { width: 0.0, pinch: None });
        let way = plan.way_in() / INCH;
        assert!((10.0..10.003).contains(&way), "{way}");
    }
}
