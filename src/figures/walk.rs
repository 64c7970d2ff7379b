//! Where a person can walk and stand: the widest walkable path, what pinches it, and the area a person can get to.
//!
//! A person is an upright square of side `w` that keeps its sides along the trailer's axes. It may touch things but not
//! enter them. That is a screen for crowding, not a test of an accessible route.
//!
//! How it is done: every obstacle and wall grows by `w/2` on all sides and the person shrinks to its middle. The free
//! floor is then cut into level rows, each row into runs between grown obstacles, and runs that share a length of border are
//! joined. A path stops being passable only at a width equal to the gap of some two things, `max(gap x, gap y)`, so a short
//! bisection leaves a handful of gaps and the answer is one of them, exactly.

use super::layout::{Box3, Face, Rect, TOUCH, gap};

/// Widths nearer than this, m, are one width: a tenth of a micrometre, far below what a tape measure tells.
const SAME_WIDTH: f64 = 1e-7;
/// A person this narrow, m, stands for anything that passes at all.
const HAIR: f64 = 1e-6;
/// Most pairs of the same gap that are tried for the pinch; a grid of like gaps needs no more.
const MOST_TIES: usize = 64;

/// Something a person walks around.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Obstacle {
    /// The caller's number for it, handed back as [`Side::Item`].
    pub item: usize,
    /// Its outline on the floor, m.
    pub outline: Rect,
}

/// The boxes a person must walk around: those that stand in the way above `step_over` and below `head`, m above the floor.
///
/// `item` is the position in the list. Fewer as `step_over` rises, more as `head` rises.
pub fn obstacles(boxes: &[Box3], step_over: f64, head: f64) -> Vec<Obstacle> {
    let in_the_way = |b: &Box3| {
        let ([_, _, bottom], [_, _, top]) = (b.at, b.far());
        bottom < head - TOUCH && top > step_over + TOUCH
    };
    let kept = boxes.iter().enumerate().filter(|(_, b)| in_the_way(b));
    kept.map(|(item, b)| Obstacle { item, outline: b.outline() }).collect()
}

/// An opening in a wall to walk through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doorway {
    /// Which wall; floor and top make no doorway.
    pub wall: Face,
    /// Where the opening begins, m: from the curb side for nose and tail, from the nose for the sides.
    pub from: f64,
    /// Clear width, m.
    pub width: f64,
}

/// A floor with its walls, doorways and obstacles.
#[derive(Debug, Clone, Copy)]
pub struct FloorPlan<'a> {
    /// The floor inside the walls.
    pub room: Rect,
    /// Openings in the walls.
    pub doorways: &'a [Doorway],
    /// What stands on the floor.
    pub obstacles: &'a [Obstacle],
}

/// One side of a pinch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// An obstacle, by the caller's number.
    Item(usize),
    /// A wall, or the jamb of a doorway in it.
    Wall(Face),
}

/// The widest walkable path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WidestPath {
    /// Side of the widest square person that gets through, m.
    pub width: f64,
    /// The two things that pinch it, items before walls; two walls where only the size of the floor or a doorway limits it.
    /// `None` on an open floor without walls on two sides.
    pub pinch: Option<[Side; 2]>,
}

/// Where a person of a given width can stand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Standing {
    /// Where the person's middle can be, m; rectangles that share borders.
    pub centres: Vec<Rect>,
    /// What the person's square can cover, m; rectangles that overlap. Hands reach from here.
    pub covered: Vec<Rect>,
}

impl FloorPlan<'_> {
    /// The ground outside each doorway, in order: where a path to or from outdoors ends. A doorway in no wall has none.
    pub fn outdoors(&self) -> Vec<Rect> {
        let deep = self.yard();
        self.doorways.iter().filter_map(|d| Solids::of(self).outdoors(d, deep)).collect()
    }

    /// Widest square person that gets from touching any of `starts` to touching `goal`; a point is a rectangle without
    /// extent.
    ///
    /// For the way in or out take [`FloorPlan::outdoors`] as the starts. `None` when nobody gets there. Exact to 1e-7 m, and
    /// never above the lesser side of the floor. *Never rises* when an obstacle is added or grows, or a doorway narrows.
    /// It is not the smallest gap on the way: two gaps in line but out of step pass less than either.
    pub fn widest_path(&self, starts: &[Rect], goal: Rect) -> Option<WidestPath> {
        let solids = Solids::of(self);
        let mut scratch = Scratch::default();
        let mut passes = |width: f64, without: Option<usize>| {
            solids.free(width, without, &mut scratch);
            scratch.joins(width, starts, goal)
        };
        if !passes(HAIR, None) {
            return None;
        }
        let most = extent(self.room.x).min(extent(self.room.y));
        let (mut through, mut stuck) = (HAIR, most);
        if passes(most - SAME_WIDTH, None) {
            through = most;
        }
        // Ten halvings of a two-metre room leave two millimetres, in which few gaps lie.
        for _ in 0..10 {
            if stuck - through < SAME_WIDTH {
                break;
            }
            let middle = f64::midpoint(through, stuck);
            if passes(middle, None) { through = middle } else { stuck = middle }
        }
        let gaps = solids.gaps(through - SAME_WIDTH, stuck + SAME_WIDTH);
        // The lowest gap is passable; above it a gap is when somebody a little narrower than it, and wider than the one
        // below, gets through. Passable gaps come first, so the last of them is found by halving.
        let (mut low, mut high) = (0, gaps.len());
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            let (below, here) = (gaps.get(middle.wrapping_sub(1))?.width, gaps.get(middle)?.width);
            let distinct = here - below > SAME_WIDTH;
            if passes(if distinct { f64::midpoint(below, here) } else { here - SAME_WIDTH }, None) {
                low = middle;
            } else {
                high = middle;
            }
        }
        let width = gaps.get(low).map_or(through, |g| g.width).min(most);
        // Of like gaps the pinch is the one whose things, taken away, let a wider person through.
        let wider = gaps.iter().map(|g| g.width).find(|w| *w > width + SAME_WIDTH).unwrap_or(stuck);
        let tried = f64::midpoint(width, wider.max(width + 4.0 * SAME_WIDTH));
        let mut best: Option<(usize, [usize; 2])> = None;
        for tie in gaps.iter().filter(|g| (g.width - width).abs() <= SAME_WIDTH).take(MOST_TIES) {
            let worth = tie.between.into_iter().filter(|&i| solids.is_item(i) && passes(tried, Some(i))).count();
            if best.is_none_or(|(most_worth, _)| worth > most_worth) {
                best = Some((worth, tie.between));
            }
        }
        let pinch = best.and_then(|(_, [a, b])| {
            let (a, b) = (solids.side(a)?, solids.side(b)?);
            Some([a.min(b), a.max(b)])
        });
        Some(WidestPath { width, pinch })
    }

    /// Where a person of side `width` can stand inside the walls having walked in from any of `starts`
    /// ([`FloorPlan::outdoors`] for the doors).
    ///
    /// A person just as wide as a gap passes it. Shrinks as the width, the number or the size of the obstacles grows. Empty
    /// when nobody of that width gets in or the width is not positive. Exact to 1e-7 m.
    pub fn standing(&self, width: f64, starts: &[Rect]) -> Standing {
        let mut standing = Standing::default();
        // A little narrower, so that a person as wide as the aisle is in it despite rounding.
        let slim = width - 2.0 * SAME_WIDTH;
        if slim <= 0.0 {
            return standing;
        }
        let solids = Solids::of(self);
        let mut scratch = Scratch::default();
        solids.free(slim, None, &mut scratch);
        let half = slim / 2.0;
        let begun = scratch.touched(half, starts);
        let inside = |[from, to]: [f64; 2], [wall0, wall1]: [f64; 2]| {
            let span = [from.max(wall0 + half), to.min(wall1 - half)];
            (extent(span) >= 0.0).then_some(span)
        };
        for run in 0..scratch.runs.len() {
            let Some(area) = scratch.runs.get(run).map(|r| r.area) else { continue };
            if !begun.contains(&scratch.root(run)) {
                continue;
            }
            if let (Some(x), Some(y)) = (inside(area.x, self.room.x), inside(area.y, self.room.y)) {
                standing.centres.push(Rect { x, y });
                standing.covered.push(Rect { x: grown(x, half), y: grown(y, half) });
            }
        }
        standing
    }

    /// Depth of the ground kept outside the walls, m: a person as wide as the floor stands wholly outside on it.
    fn yard(&self) -> f64 {
        2.0 * extent(self.room.x).max(extent(self.room.y)) + 1.0
    }
}

fn extent([from, to]: [f64; 2]) -> f64 {
    to - from
}

fn grown([from, to]: [f64; 2], by: f64) -> [f64; 2] {
    [from - by, to + by]
}

/// Obstacles and pieces of wall, ordered by their start along the trailer.
struct Solids {
    /// Outline and what it is.
    all: Vec<(Rect, Side)>,
    /// Lesser y of each, ascending.
    starts: Vec<f64>,
    /// Greater y of each, ascending.
    ends: Vec<f64>,
    /// The floor and the ground around it.
    ground: Rect,
    room: Rect,
}

/// Two solids and the width that passes between them.
struct Gap {
    width: f64,
    between: [usize; 2],
}

impl Solids {
    fn of(plan: &FloorPlan<'_>) -> Self {
        let yard = plan.yard();
        let ground = Rect { x: grown(plan.room.x, yard), y: grown(plan.room.y, yard) };
        let mut all: Vec<(Rect, Side)> = plan.obstacles.iter().map(|o| (o.outline, Side::Item(o.item))).collect();
        for wall in [Face::Nose, Face::Tail, Face::Curb, Face::Road] {
            let band = wall_band(&plan.room, &ground, wall);
            // Nose and tail walls run the whole breadth of the ground, so the corners are closed; openings are cut out.
            let along = if wall.axis() == 0 { ground.y } else { plan.room.x };
            let origin = if wall.axis() == 0 { plan.room.y } else { plan.room.x };
            for piece in pieces(along, origin, plan.doorways.iter().filter(|d| d.wall == wall)) {
                let outline = if wall.axis() == 0 { Rect { x: band, y: piece } } else { Rect { x: piece, y: band } };
                all.push((outline, Side::Wall(wall)));
            }
        }
        all.sort_by(|(a, _), (b, _)| {
            let ([a, _], [b, _]) = (a.x, b.x);
            a.total_cmp(&b)
        });
        let (mut starts, mut ends): (Vec<f64>, Vec<f64>) = all.iter().map(|(r, _)| (r.y[0], r.y[1])).unzip();
        starts.sort_by(f64::total_cmp);
        ends.sort_by(f64::total_cmp);
        Self { all, starts, ends, ground, room: plan.room }
    }

    /// The far end of the ground outside a doorway.
    fn outdoors(&self, door: &Doorway, yard: f64) -> Option<Rect> {
        let (room, wall) = (&self.room, door.wall);
        let [out0, out1] = match wall {
            Face::Floor | Face::Top => return None,
            _ => wall_band(room, &self.ground, wall),
        };
        let end = if wall.is_far() { [out1 - yard * 1e-3, out1] } else { [out0, out0 + yard * 1e-3] };
        let ([x0, _], [y0, _]) = (room.x, room.y);
        Some(if wall.axis() == 0 {
            Rect { x: end, y: [y0 + door.from, y0 + door.from + door.width] }
        } else {
            Rect { x: [x0 + door.from, x0 + door.from + door.width], y: end }
        })
    }

    fn side(&self, index: usize) -> Option<Side> {
        self.all.get(index).map(|(_, side)| *side)
    }

    fn is_item(&self, index: usize) -> bool {
        matches!(self.side(index), Some(Side::Item(_)))
    }

    /// The gaps between two solids from `low` to `high`, ascending.
    fn gaps(&self, low: f64, high: f64) -> Vec<Gap> {
        let mut gaps = Vec::new();
        for (i, (a, _)) in self.all.iter().enumerate() {
            for (j, (b, _)) in self.all.iter().enumerate().skip(i + 1) {
                let width = gap(a.x, b.x).max(gap(a.y, b.y));
                if width > 0.0 && (low..=high).contains(&width) {
                    gaps.push(Gap { width, between: [i, j] });
                }
            }
        }
        gaps.sort_by(|a, b| a.width.total_cmp(&b.width));
        gaps
    }

    /// Where the middle of a person of side `width` can be, as runs joined into areas, left in `scratch`.
    fn free(&self, width: f64, without: Option<usize>, scratch: &mut Scratch) {
        let half = width / 2.0;
        scratch.runs.clear();
        scratch.lead.clear();
        let ([left, right], [bottom, top]) = (grown(self.ground.x, -half), grown(self.ground.y, -half));
        let mut above = 0..0;
        let mut row = bottom;
        for next in Merged::of(&self.starts, -half, &self.ends, half).chain([top]) {
            let next = next.min(top);
            if next - row <= TOUCH {
                continue;
            }
            let level = f64::midpoint(row, next);
            let first = scratch.runs.len();
            let mut clear = left;
            for (index, (solid, _)) in self.all.iter().enumerate() {
                let ([x0, x1], [y0, y1]) = (solid.x, solid.y);
                if y0 - half >= level || y1 + half <= level || without == Some(index) {
                    continue;
                }
                if x0 - half - clear > TOUCH {
                    scratch.push([clear, (x0 - half).min(right)], [row, next]);
                }
                clear = clear.max(x1 + half);
                if clear >= right {
                    break;
                }
            }
            if right - clear > TOUCH {
                scratch.push([clear, right], [row, next]);
            }
            let here = first..scratch.runs.len();
            scratch.join_rows(above, here.clone());
            above = here;
            row = next;
        }
    }
}

/// The strip of ground outside a wall, across it.
fn wall_band(room: &Rect, ground: &Rect, wall: Face) -> [f64; 2] {
    let (inner, outer) = if wall.axis() == 0 { (room.x, ground.x) } else { (room.y, ground.y) };
    let ([i0, i1], [o0, o1]) = (inner, outer);
    if wall.is_far() { [i1, o1] } else { [o0, i0] }
}

/// What is left of a span of wall beside its doorways.
fn pieces<'a>([from, to]: [f64; 2], [origin, _]: [f64; 2], doors: impl Iterator<Item = &'a Doorway>) -> Vec<[f64; 2]> {
    let mut openings: Vec<[f64; 2]> = doors.map(|d| [origin + d.from, origin + d.from + d.width]).collect();
    openings.sort_by(|[a, _], [b, _]| a.total_cmp(b));
    let mut left = Vec::new();
    let mut solid = from;
    for [opens, closes] in openings {
        if opens - solid > TOUCH {
            left.push([solid, opens]);
        }
        solid = solid.max(closes);
    }
    if to - solid > TOUCH {
        left.push([solid, to]);
    }
    left
}

/// Two ascending lists, each moved by its own amount, as one ascending sequence.
struct Merged<'a> {
    a: &'a [f64],
    by_a: f64,
    b: &'a [f64],
    by_b: f64,
}

impl<'a> Merged<'a> {
    fn of(a: &'a [f64], by_a: f64, b: &'a [f64], by_b: f64) -> Self {
        Self { a, by_a, b, by_b }
    }
}

impl Iterator for Merged<'_> {
    type Item = f64;

    fn next(&mut self) -> Option<f64> {
        let next_a = self.a.split_first().map(|(v, rest)| (v + self.by_a, rest));
        let next_b = self.b.split_first().map(|(v, rest)| (v + self.by_b, rest));
        match (next_a, next_b) {
            (Some((v, rest)), Some((other, _))) if v <= other => {
                self.a = rest;
                Some(v)
            }
            (_, Some((v, rest))) => {
                self.b = rest;
                Some(v)
            }
            (Some((v, rest)), None) => {
                self.a = rest;
                Some(v)
            }
            (None, None) => None,
        }
    }
}

/// A stretch of a row where the person's middle can be.
struct Run {
    area: Rect,
}

/// Runs of the free floor and the areas they join into; kept between widths to spare allocation.
#[derive(Default)]
struct Scratch {
    runs: Vec<Run>,
    /// The run each run follows; a run that follows itself stands for its area.
    lead: Vec<usize>,
}

impl Scratch {
    fn push(&mut self, x: [f64; 2], y: [f64; 2]) {
        self.lead.push(self.runs.len());
        self.runs.push(Run { area: Rect { x, y } });
    }

    /// Joins the runs of two neighbouring rows that share a length of border.
    fn join_rows(&mut self, mut above: std::ops::Range<usize>, mut here: std::ops::Range<usize>) {
        while let (Some(a), Some(b)) = (self.runs.get(above.start), self.runs.get(here.start)) {
            if above.is_empty() || here.is_empty() {
                break;
            }
            let ([_, a1], [_, b1]) = (a.area.x, b.area.x);
            let shared = -gap(a.area.x, b.area.x);
            if shared > TOUCH {
                self.join(above.start, here.start);
            }
            if a1 < b1 { above.start += 1 } else { here.start += 1 }
        }
    }

    fn root(&self, mut run: usize) -> usize {
        while let Some(&next) = self.lead.get(run) {
            if next == run {
                break;
            }
            run = next;
        }
        run
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        // The later run leads, so that the next row's walk to the root stays short.
        if let Some(lead) = self.lead.get_mut(a.min(b)) {
            *lead = a.max(b);
        }
    }

    /// The areas in which a person touches any of the zones.
    fn touched(&self, half: f64, zones: &[Rect]) -> Vec<usize> {
        let mut areas: Vec<usize> = self.touching(half, zones).collect();
        areas.sort_unstable();
        areas.dedup();
        areas
    }

    fn touching(&self, half: f64, zones: &[Rect]) -> impl Iterator<Item = usize> {
        let within = move |run: &Run, zone: &Rect| {
            gap(run.area.x, zone.x) <= half + TOUCH && gap(run.area.y, zone.y) <= half + TOUCH
        };
        let runs = self.runs.iter().enumerate();
        runs.filter(move |(_, run)| zones.iter().any(|z| within(run, z))).map(|(i, _)| self.root(i))
    }

    fn joins(&self, width: f64, starts: &[Rect], goal: Rect) -> bool {
        let begun = self.touched(width / 2.0, starts);
        !begun.is_empty() && self.touching(width / 2.0, &[goal]).any(|area| begun.binary_search(&area).is_ok())
    }
}

#[cfg(test)]
mod tests;
