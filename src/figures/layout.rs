//! Where things stand: boxes that collide, things through walls, doors that swing into gear, hands that cannot reach.
//!
//! The frame is the trailer's inside: x from the nose to the tail, y from the curb side to the road side, z up from the
//! floor, all in m. Touching faces do not collide; [`TOUCH`] is the slack.

/// Slack in m within which two faces touch without colliding.
pub const TOUCH: f64 = 1e-9;

/// Least width of a way out, m (28 in, 29 CFR 1910.36(g)(2)).
pub const WAY_OUT_WIDTH: f64 = 28.0 * INCH;
/// Least width for squeezing by at service work, m (24 in, California Title 8 section 2931, there for electrical spaces).
pub const SQUEEZE_WIDTH: f64 = 24.0 * INCH;
/// Clear working width at an electrical panel to 150 V to ground, m (30 in, 29 CFR 1910.303(g)(1)).
pub const PANEL_WIDTH: f64 = 30.0 * INCH;
/// Clear working depth at an electrical panel to 150 V to ground, m (36 in, 29 CFR 1910.303 Table S-1).
pub const PANEL_DEPTH: f64 = 36.0 * INCH;
/// Forward reach a small operator has over a bench edge, m (25 in, NUREG-0700 11.1.1-5).
pub const FORWARD_REACH: f64 = 25.0 * INCH;
/// Functional reach of a small operator standing, m (26.7 in, 5th-percentile female, NUREG-0700 Table 11.4).
pub const FUNCTIONAL_REACH: f64 = 26.7 * INCH;

const INCH: f64 = 0.0254;

/// One of the six faces of a room or a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// Toward the nose, x least.
    Nose,
    /// Toward the tail, x greatest.
    Tail,
    /// Toward the curb side, y least.
    Curb,
    /// Toward the road side, y greatest.
    Road,
    /// The underside, z least.
    Floor,
    /// The top, z greatest.
    Top,
}

impl Face {
    /// Every face, in the order of [`outside`].
    pub const ALL: [Self; 6] = [Self::Nose, Self::Tail, Self::Curb, Self::Road, Self::Floor, Self::Top];

    /// The axis the face stands across: 0 for x, 1 for y, 2 for z.
    pub const fn axis(self) -> usize {
        match self {
            Self::Nose | Self::Tail => 0,
            Self::Curb | Self::Road => 1,
            Self::Floor | Self::Top => 2,
        }
    }

    /// Whether the face is at the far end of its axis.
    pub const fn is_far(self) -> bool {
        matches!(self, Self::Tail | Self::Road | Self::Top)
    }
}

/// A box with its faces along the trailer's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Box3 {
    /// Near corner: distance from the nose, from the curb side, above the floor, m.
    pub at: [f64; 3],
    /// Length, width, height, m, none negative.
    pub size: [f64; 3],
}

impl Box3 {
    /// The far corner, m.
    pub fn far(&self) -> [f64; 3] {
        let ([x, y, z], [l, w, h]) = (self.at, self.size);
        [x + l, y + w, z + h]
    }

    /// The middle, m; the centre of gravity of a uniform part.
    pub fn centre(&self) -> [f64; 3] {
        let ([x, y, z], [l, w, h]) = (self.at, self.size);
        [x + l / 2.0, y + w / 2.0, z + h / 2.0]
    }

    /// The box turned a quarter about the upright: length and width change places, the near corner stays.
    #[must_use]
    pub fn turned(&self) -> Self {
        let [l, w, h] = self.size;
        Self { at: self.at, size: [w, l, h] }
    }

    /// The box moved by a vector, m.
    #[must_use]
    pub fn moved(&self, by: [f64; 3]) -> Self {
        let ([x, y, z], [dx, dy, dz]) = (self.at, by);
        Self { at: [x + dx, y + dy, z + dz], size: self.size }
    }

    /// The outline on the floor.
    pub fn outline(&self) -> Rect {
        let ([x, y, _], [fx, fy, _]) = (self.at, self.far());
        Rect { x: [x, fx], y: [y, fy] }
    }

    /// From and to along the three axes.
    fn spans(&self) -> [[f64; 2]; 3] {
        let ([x, y, z], [fx, fy, fz]) = (self.at, self.far());
        [[x, fx], [y, fy], [z, fz]]
    }

    fn from_spans([x, y, z]: [[f64; 2]; 3]) -> Self {
        let ([x0, x1], [y0, y1], [z0, z1]) = (x, y, z);
        Self { at: [x0, y0, z0], size: [x1 - x0, y1 - y0, z1 - z0] }
    }
}

/// A rectangle on the floor, each pair from the lesser to the greater, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// From and to along the trailer.
    pub x: [f64; 2],
    /// From and to across the trailer.
    pub y: [f64; 2],
}

impl Rect {
    /// A point as a rectangle without extent.
    pub fn point(x: f64, y: f64) -> Self {
        Self { x: [x, x], y: [y, y] }
    }

    /// Straight distance to a point in plan, m; nought inside.
    pub fn distance_to(&self, point: [f64; 2]) -> f64 {
        let [px, py] = point;
        clearance(self, &Self::point(px, py))
    }
}

/// Straight distance of two outlines, m: `√(max(0, gap x)² + max(0, gap y)²)`; nought when they touch or overlap.
pub fn clearance(a: &Rect, b: &Rect) -> f64 {
    gap(a.x, b.x).max(0.0).hypot(gap(a.y, b.y).max(0.0))
}

/// Gap between two spans, negative by the overlap.
pub(super) fn gap([a0, a1]: [f64; 2], [b0, b1]: [f64; 2]) -> f64 {
    (b0 - a1).max(a0 - b1)
}

/// How far two boxes reach into each other along x, y and z, m; `None` when they are apart or only touch.
pub fn overlap(a: &Box3, b: &Box3) -> Option<[f64; 3]> {
    let ([ax, ay, az], [bx, by, bz]) = (a.spans(), b.spans());
    let extent = [common(ax, bx), common(ay, by), common(az, bz)];
    extent.iter().all(|&e| e > TOUCH).then_some(extent)
}

/// Length two spans share, m; negative by the gap between them.
fn common([a0, a1]: [f64; 2], [b0, b1]: [f64; 2]) -> f64 {
    a1.min(b1) - a0.max(b0)
}

/// A move along one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shift {
    /// 0 along the trailer, 1 across, 2 up.
    pub axis: usize,
    /// Signed distance, m: positive toward tail, road side or up.
    pub by: f64,
}

impl Shift {
    /// The move as a vector, m.
    pub fn vector(&self) -> [f64; 3] {
        let mut vector = [0.0; 3];
        if let Some(part) = vector.get_mut(self.axis) {
            *part = self.by;
        }
        vector
    }
}

/// Smallest move of `a` along one axis that ends its collision with `b`; along the floor unless `may_lift`.
///
/// `None` when they do not collide. Other things in the way are not looked at; [`smallest_clear_shift`] does.
pub fn smallest_shift(a: &Box3, b: &Box3, may_lift: bool) -> Option<Shift> {
    overlap(a, b)?;
    let axes = if may_lift { 3 } else { 2 };
    a.spans()
        .into_iter()
        .zip(b.spans())
        .enumerate()
        .take(axes)
        .flat_map(|(axis, ([a0, a1], [b0, b1]))| [Shift { axis, by: b1 - a0 }, Shift { axis, by: b0 - a1 }])
        .min_by(|s, t| s.by.abs().total_cmp(&t.by.abs()))
}

/// Smallest move of `item` along the floor, on one axis, that puts it inside `room` and clear of every one of `others`.
///
/// A move of nought when it already is. `None` when no move on one axis does it, or the item is too tall for the room or
/// stands through its floor. `O(n log n)` in the number of others.
pub fn smallest_clear_shift(item: &Box3, others: &[Box3], room: &Box3) -> Option<Shift> {
    (0..2)
        .filter_map(|axis| clear_shift_along(axis, item, others, room))
        .min_by(|s, t| s.by.abs().total_cmp(&t.by.abs()))
}

fn clear_shift_along(axis: usize, item: &Box3, others: &[Box3], room: &Box3) -> Option<Shift> {
    let (mine, walls) = (item.spans(), room.spans());
    let fits =
        |(i, ([m0, m1], [w0, w1])): (usize, ([f64; 2], [f64; 2]))| i == axis || (m0 >= w0 - TOUCH && m1 <= w1 + TOUCH);
    if !mine.into_iter().zip(walls).enumerate().all(fits) {
        return None;
    }
    let (&[m0, m1], &[w0, w1]) = (mine.get(axis)?, walls.get(axis)?);
    let (least, most) = (w0 - m0, w1 - m1);
    if most < least - TOUCH {
        return None;
    }
    // Each other box beside the lane forbids an open span of moves; the answer is nought or an end of a joined span.
    let mut forbidden: Vec<[f64; 2]> = others
        .iter()
        .map(Box3::spans)
        .filter(|spans| {
            let beside = |(i, (a, b)): (usize, ([f64; 2], [f64; 2]))| i == axis || common(a, b) > TOUCH;
            mine.into_iter().zip(*spans).enumerate().all(beside)
        })
        .filter_map(|spans| spans.get(axis).map(|&[b0, b1]| [b0 - m1, b1 - m0]))
        .collect();
    forbidden.sort_by(|[a, _], [b, _]| a.total_cmp(b));
    let mut best: Option<f64> = None;
    let mut offer = |from: f64, to: f64| {
        if to >= from - TOUCH {
            let by = 0.0_f64.clamp(from, to.max(from));
            if best.is_none_or(|b| by.abs() < b.abs()) {
                best = Some(by);
            }
        }
    };
    let mut open = least;
    for [from, to] in forbidden {
        if from >= open - TOUCH {
            offer(open, from.min(most));
        }
        open = open.max(to);
    }
    offer(open, most);
    best.map(|by| Shift { axis, by })
}

/// How far a box stands out of a room past each face, m, in the order of [`Face::ALL`]; nought where it does not.
pub fn outside(room: &Box3, item: &Box3) -> [f64; 6] {
    let ([rx, ry, rz], [ix, iy, iz]) = (room.spans(), item.spans());
    let near = |[r0, _]: [f64; 2], [i0, _]: [f64; 2]| past(r0 - i0);
    let far = |[_, r1]: [f64; 2], [_, i1]: [f64; 2]| past(i1 - r1);
    [near(rx, ix), far(rx, ix), near(ry, iy), far(ry, iy), near(rz, iz), far(rz, iz)]
}

fn past(by: f64) -> f64 {
    if by > TOUCH { by } else { 0.0 }
}

/// Two boxes that collide, by their positions in the list, the lesser first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Collision {
    /// Position of the first.
    pub first: usize,
    /// Position of the second.
    pub second: usize,
    /// How far they reach into each other along x, y and z, m.
    pub extent: [f64; 3],
}

/// Every pair of boxes that collide, ordered by position.
///
/// Sweeps along the axis on which the fewest pairs share a span: `O(n log n)` and one test a pair that shares it.
pub fn collisions(boxes: &[Box3]) -> Vec<Collision> {
    let axis = (0..3).min_by_key(|&axis| pairs_sharing(boxes, axis)).unwrap_or(0);
    let mut order: Vec<(f64, f64, usize)> =
        boxes.iter().enumerate().filter_map(|(i, b)| b.spans().get(axis).map(|&[from, to]| (from, to, i))).collect();
    order.sort_by(|(a, ..), (b, ..)| a.total_cmp(b));
    let mut found = Vec::new();
    let mut running: Vec<(f64, usize)> = Vec::new();
    for (from, to, i) in order {
        running.retain(|&(end, _)| end > from + TOUCH);
        for &(_, j) in &running {
            let (first, second) = (i.min(j), i.max(j));
            let extent = boxes.get(first).zip(boxes.get(second)).and_then(|(a, b)| overlap(a, b));
            found.extend(extent.map(|extent| Collision { first, second, extent }));
        }
        running.push((to, i));
    }
    found.sort_by_key(|c| (c.first, c.second));
    found
}

/// Number of pairs whose spans along an axis share a length, counted from sorted ends.
fn pairs_sharing(boxes: &[Box3], axis: usize) -> usize {
    let (mut starts, mut ends): (Vec<f64>, Vec<f64>) =
        boxes.iter().filter_map(|b| b.spans().get(axis).map(|&[from, to]| (from, to))).unzip();
    starts.sort_by(f64::total_cmp);
    ends.sort_by(f64::total_cmp);
    let mut ended = 0;
    let mut pairs = 0;
    for (begun, start) in starts.iter().enumerate() {
        while ends.get(ended).is_some_and(|end| *end <= *start) {
            ended += 1;
        }
        pairs += begun.saturating_sub(ended);
    }
    pairs
}

/// A hinged door leaf and the quarter it sweeps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoorSwing {
    /// The hinge in plan, m.
    pub hinge: [f64; 2],
    /// Width of the leaf, m.
    pub width: f64,
    /// The leaf sweeps toward the tail from the hinge (else toward the nose).
    pub toward_tail: bool,
    /// The leaf sweeps toward the road side from the hinge (else toward the curb side).
    pub toward_road: bool,
    /// Bottom and top of the leaf above the floor, m.
    pub height: [f64; 2],
}

impl DoorSwing {
    /// How far the swing reaches into a box, m: leaf width less the distance from hinge to the box's nearest point in the
    /// quarter swept. `None` when the door swings clear or only touches.
    ///
    /// Rises with the width. Exact plane geometry of a quarter disc and a rectangle.
    pub fn hits(&self, item: &Box3) -> Option<f64> {
        let [hx, hy] = self.hinge;
        let [x, y, z] = item.spans();
        let x = quarter_span(x, hx, self.toward_tail)?;
        let y = quarter_span(y, hy, self.toward_road)?;
        if common(z, self.height) <= TOUCH {
            return None;
        }
        let into = self.width - x.hypot(y);
        (into > TOUCH).then_some(into)
    }
}

/// Nearest distance from the hinge at which a span lies on the swept side; `None` when none of it does.
fn quarter_span([from, to]: [f64; 2], hinge: f64, forward: bool) -> Option<f64> {
    let (near, far) = if forward { (from - hinge, to - hinge) } else { (hinge - to, hinge - from) };
    (far > TOUCH).then_some(near.max(0.0))
}

/// The strip along a face of a part that must stay free, `depth` m deep and as large as the face.
///
/// Used for service sides, fillers (depth upward from [`Face::Top`]) and the ground a ramp or lid needs.
pub fn service_strip(item: &Box3, face: Face, depth: f64) -> Box3 {
    let mut spans = item.spans();
    if let Some([from, to]) = spans.get_mut(face.axis()) {
        if face.is_far() {
            (*from, *to) = (*to, *to + depth);
        } else {
            (*from, *to) = (*from - depth, *from);
        }
    }
    Box3::from_spans(spans)
}

/// The ground a ramp door covers when it lies down outside a wall: `from` and `width` of the opening along the wall (y for
/// nose and tail, x for the sides), `length` of the ramp outward, m. `None` for floor and top.
pub fn ramp_ground(room: &Box3, wall: Face, from: f64, width: f64, length: f64) -> Option<Rect> {
    let Rect { x: [x0, x1], y: [y0, y1] } = room.outline();
    let along = [from, from + width];
    match wall {
        Face::Nose => Some(Rect { x: [x0 - length, x0], y: along }),
        Face::Tail => Some(Rect { x: [x1, x1 + length], y: along }),
        Face::Curb => Some(Rect { x: along, y: [y0 - length, y0] }),
        Face::Road => Some(Rect { x: along, y: [y1, y1 + length] }),
        Face::Floor | Face::Top => None,
    }
}

/// Least horizontal distance from a standing area to a point in plan, m; `None` without a standing area.
///
/// Falls as the area grows. For the area a person can get to see [`super::walk::FloorPlan::standing`].
pub fn reach(standing: &[Rect], point: [f64; 2]) -> Option<f64> {
    standing.iter().map(|r| r.distance_to(point)).min_by(f64::total_cmp)
}

/// Least and greatest height in m, above the surface the feet are on, of a control `depth` m away over an obstacle.
///
/// 15 to 48 in up to 20 in deep, 15 to 44 in up to 25 in; `None` deeper (2010 ADA Standards 308.2.1 and 308.2.2; 25 in is also
/// NUREG-0700 11.1.1-5). The top falls in a step with the depth.
pub fn height_band(depth: f64) -> Option<[f64; 2]> {
    let top = if depth <= 20.0 * INCH + TOUCH {
        48.0
    } else if depth <= 25.0 * INCH + TOUCH {
        44.0
    } else {
        return None;
    };
    Some([15.0 * INCH, top * INCH])
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inches(at: [f64; 3], size: [f64; 3]) -> Box3 {
        Box3 { at: at.map(|v| v * INCH), size: size.map(|v| v * INCH) }
    }

    fn close(got: f64, want: f64) {
        assert!((got - want).abs() <= 1e-5 * want.abs() + 1e-12, "got {got}, want {want}");
    }

    fn close3(got: [f64; 3], want: [f64; 3]) {
        for (g, w) in got.into_iter().zip(want) {
            close(g / INCH, w);
        }
    }

    #[test]
    fn a_reel_and_a_skid_collide_by_the_shared_block() {
        // Geometry, by hand: skid (66, 4) 30 x 24, reel (78, 40) 18 x 18 are 12 in apart across; moved to 20 they share
        // 18 x 8 x 20.
        let skid = inches([66.0, 4.0, 0.0], [30.0, 24.0, 30.0]);
        let reel = inches([78.0, 40.0, 10.0], [18.0, 18.0, 40.0]);
        assert_eq!(overlap(&skid, &reel), None);
        close(clearance(&skid.outline(), &reel.outline()) / INCH, 12.0);
        let near = reel.moved([0.0, -20.0 * INCH, 0.0]);
        close3(overlap(&skid, &near).unwrap(), [18.0, 8.0, 20.0]);
        let shift = smallest_shift(&near, &skid, true).unwrap();
        assert_eq!(shift.axis, 1);
        close(shift.by / INCH, 8.0);
        let back = smallest_shift(&skid, &near, true).unwrap();
        close(back.by / INCH, -8.0);
        assert_eq!(smallest_shift(&skid, &reel, true), None);
        // Above one another is no collision, though the outlines overlap.
        assert_eq!(overlap(&skid, &near.moved([0.0, 0.0, 20.0 * INCH])), None);
    }

    #[test]
    fn lifting_is_offered_only_when_asked_for() {
        // Geometry, by hand: 2 in of height shared, 10 in of floor.
        let tank = inches([0.0, 0.0, 0.0], [10.0, 12.0, 20.0]);
        let shelf = inches([0.0, 0.0, 18.0], [10.0, 12.0, 20.0]);
        let up = smallest_shift(&shelf, &tank, true).unwrap();
        assert_eq!(up.axis, 2);
        close(up.by / INCH, 2.0);
        let along = smallest_shift(&shelf, &tank, false).unwrap();
        assert_eq!(along.axis, 0);
        close(along.by.abs() / INCH, 10.0);
    }

    #[test]
    fn touching_faces_do_not_collide() {
        // Geometry: 0.1 + 0.2 is not 0.3 in binary, yet the faces only touch.
        let a = Box3 { at: [0.1, 0.0, 0.0], size: [0.2, 1.0, 1.0] };
        let b = Box3 { at: [0.3, 0.0, 0.0], size: [0.2, 1.0, 1.0] };
        assert_eq!(overlap(&a, &b), None);
        assert_eq!(collisions(&[a, b]), []);
        assert_eq!(outside(&Box3 { at: [0.1, 0.0, 0.0], size: [0.2, 1.0, 1.0] }, &a), [0.0; 6]);
    }

    #[test]
    fn a_turned_box_swaps_length_and_width() {
        // Geometry, by hand: 48 x 30 at (30, 15) turned ends at (60, 63).
        let tank = inches([30.0, 15.0, 0.0], [48.0, 30.0, 40.0]);
        close3(tank.turned().far(), [60.0, 63.0, 40.0]);
        close3(tank.centre(), [54.0, 30.0, 20.0]);
        assert_eq!(tank.turned().turned(), tank);
    }

    #[test]
    fn a_part_outside_the_walls_says_by_how_much_at_each() {
        // Geometry, by hand: room 96 x 60 x 72; the part runs -2..100, -1..61.5, -3..75.
        let room = inches([0.0; 3], [96.0, 60.0, 72.0]);
        let part = inches([-2.0, -1.0, -3.0], [102.0, 62.5, 78.0]);
        for (got, want) in outside(&room, &part).into_iter().zip([2.0, 4.0, 1.0, 1.5, 3.0, 3.0]) {
            close(got / INCH, want);
        }
        let inner = inches([1.0, 1.0, 0.0], [10.0, 10.0, 72.0]);
        assert_eq!(outside(&room, &inner), [0.0; 6]);
    }

    #[test]
    fn clearance_goes_over_the_corner() {
        // Pythagoras: gaps of 3 and 4 are 5 apart.
        let a = Rect { x: [0.0, 1.0], y: [0.0, 1.0] };
        let b = Rect { x: [4.0, 5.0], y: [5.0, 6.0] };
        close(clearance(&a, &b), 5.0);
        close(clearance(&b, &a), 5.0);
        close(a.distance_to([4.0, 5.0]), 5.0);
        close(a.distance_to([0.5, 0.5]), 0.0);
    }

    #[test]
    fn a_door_swings_into_the_box_at_twenty_and_clears_the_one_at_twenty_five() {
        // Pythagoras: corners at (20, 20) and (25, 25) in are 28.2843 and 35.3553 in from the hinge of a 32 in leaf.
        let door = DoorSwing {
            hinge: [0.0, 0.0],
            width: 32.0 * INCH,
            toward_tail: true,
            toward_road: true,
            height: [0.0, 72.0 * INCH],
        };
        let near = inches([20.0, 20.0, 0.0], [10.0, 10.0, 30.0]);
        close(32.0 - door.hits(&near).unwrap() / INCH, 28.284_271_247);
        let far = inches([25.0, 25.0, 0.0], [5.0, 5.0, 30.0]);
        assert_eq!(door.hits(&far), None);
        close(far.outline().distance_to([0.0, 0.0]) / INCH, 35.355_339_059);
        // Above the leaf, on the other sides of the hinge, or exactly at the sweep: clear.
        assert_eq!(door.hits(&near.moved([0.0, 0.0, 72.0 * INCH])), None);
        assert_eq!(DoorSwing { toward_tail: false, ..door }.hits(&near), None);
        assert_eq!(DoorSwing { toward_road: false, ..door }.hits(&near), None);
        assert_eq!(door.hits(&inches([32.0, 0.0, 0.0], [5.0, 5.0, 30.0])), None);
        // Mirrored, the same numbers.
        let left = DoorSwing { hinge: [50.0 * INCH, 50.0 * INCH], toward_tail: false, toward_road: false, ..door };
        close(left.hits(&near).unwrap() / INCH, 32.0 - 800.0_f64.sqrt());
    }

    #[test]
    fn strips_and_ramps_lie_against_their_face() {
        // Geometry, by hand.
        let panel = inches([10.0, 0.0, 40.0], [30.0, 4.0, 20.0]);
        let front = service_strip(&panel, Face::Road, PANEL_DEPTH);
        close3(front.at, [10.0, 4.0, 40.0]);
        close3(front.size, [30.0, 36.0, 20.0]);
        let above = service_strip(&panel, Face::Top, 16.0 * INCH);
        close3(above.at, [10.0, 0.0, 60.0]);
        close3(above.size, [30.0, 4.0, 16.0]);
        let ahead = service_strip(&panel, Face::Nose, 5.0 * INCH);
        close3(ahead.at, [5.0, 0.0, 40.0]);
        assert_eq!(overlap(&panel, &front), None);
        let room = inches([0.0; 3], [96.0, 60.0, 72.0]);
        let ramp = ramp_ground(&room, Face::Tail, 4.0 * INCH, 52.0 * INCH, 70.0 * INCH).unwrap();
        close(ramp.x.map(|v| v / INCH).iter().sum(), 96.0 + 166.0);
        close(ramp.y.map(|v| v / INCH).iter().sum(), 4.0 + 56.0);
        assert_eq!(ramp_ground(&room, Face::Top, 0.0, 1.0, 1.0), None);
    }

    #[test]
    fn reach_is_from_the_edge_of_the_aisle() {
        // Geometry, by hand: aisle (60, 28)-(96, 40); a starter at (70, 10) is 18 in off, a valve at (20, 52) is
        // sqrt(40^2 + 12^2) = 41.76.
        let aisle = [Rect { x: [60.0 * INCH, 96.0 * INCH], y: [28.0 * INCH, 40.0 * INCH] }];
        let starter = reach(&aisle, [70.0 * INCH, 10.0 * INCH]).unwrap();
        close(starter / INCH, 18.0);
        assert!(starter <= FORWARD_REACH);
        let valve = reach(&aisle, [20.0 * INCH, 52.0 * INCH]).unwrap();
        close(valve / INCH, 1744.0_f64.sqrt());
        assert!(valve > FUNCTIONAL_REACH);
        assert_eq!(reach(&[], [0.0, 0.0]), None);
    }

    #[test]
    fn the_height_band_steps_down_at_twenty_inches() {
        // 2010 ADA Standards 308.2.1 (15 to 48 in) and 308.2.2 (44 in between 20 and 25 in deep).
        for (depth, top) in [(0.0, 48.0), (20.0, 48.0), (20.5, 44.0), (25.0, 44.0)] {
            let [low, high] = height_band(depth * INCH).unwrap();
            close(low / INCH, 15.0);
            close(high / INCH, top);
        }
        assert_eq!(height_band(25.5 * INCH), None);
    }

    #[test]
    fn the_published_widths_are_as_printed() {
        // 29 CFR 1910.36(g)(2) prints 28 in (71.1 cm); 29 CFR 1910.303(g)(1) 30 in (762 mm), Table S-1 3 ft (0.9 m).
        assert!((WAY_OUT_WIDTH - 0.711).abs() < 5e-4);
        close(PANEL_WIDTH, 0.762);
        assert!((PANEL_DEPTH - 0.9).abs() < 0.02);
        // California Title 8 section 2931 prints 24 in; NUREG-0700 prints 25 in (11.1.1-5) and 26.7 in (Table 11.4).
        close(SQUEEZE_WIDTH, 0.6096);
        close(FORWARD_REACH, 0.635);
        close(FUNCTIONAL_REACH, 0.678_18);
    }

    #[test]
    fn a_clear_shift_passes_over_the_occupied_places() {
        // Geometry, by hand: in a 96 in room, boxes at 20..40 and 45..60, an item 10 long at 30: next free place toward
        // the nose is 10 (by -20), toward the tail 60 (by +30); between them only 5 in.
        let room = inches([0.0; 3], [96.0, 20.0, 72.0]);
        let others = [inches([20.0, 0.0, 0.0], [20.0, 20.0, 20.0]), inches([45.0, 0.0, 0.0], [15.0, 20.0, 20.0])];
        let item = inches([30.0, 0.0, 0.0], [10.0, 20.0, 20.0]);
        let shift = smallest_clear_shift(&item, &others, &room).unwrap();
        assert_eq!(shift.axis, 0);
        close(shift.by / INCH, -20.0);
        let there = inches([0.0, 0.0, 0.0], [10.0, 20.0, 20.0]);
        assert_eq!(smallest_clear_shift(&there, &others, &room).unwrap().by, 0.0);
        let long = inches([30.0, 0.0, 0.0], [50.0, 20.0, 20.0]);
        assert_eq!(smallest_clear_shift(&long, &others, &room), None);
        // Through the tail wall by 4 in: back by 4.
        let out = inches([90.0, 0.0, 0.0], [10.0, 20.0, 20.0]);
        close(smallest_clear_shift(&out, &others, &room).unwrap().by / INCH, -4.0);
    }

    fn any_box() -> impl Strategy<Value = Box3> {
        // Whole centimetres, so that faces often touch.
        (prop::array::uniform3(0i32..200), prop::array::uniform3(1i32..80)).prop_map(|(at, size)| Box3 {
            at: at.map(|v| f64::from(v) / 100.0),
            size: size.map(|v| f64::from(v) / 100.0),
        })
    }

    proptest! {
        #[test]
        fn overlap_is_symmetric_and_does_not_care_where_the_origin_is(
            a in any_box(), b in any_box(), by in prop::array::uniform3(-300i32..300),
        ) {
            let by = by.map(|v| f64::from(v) / 100.0);
            let here = overlap(&a, &b);
            prop_assert_eq!(here, overlap(&b, &a));
            let there = overlap(&a.moved(by), &b.moved(by));
            prop_assert_eq!(here.is_some(), there.is_some());
            for (h, t) in here.unwrap_or_default().iter().zip(there.unwrap_or_default()) {
                prop_assert!((h - t).abs() < 1e-12);
            }
        }

        #[test]
        fn the_smallest_shift_clears_and_nothing_much_smaller_does(a in any_box(), b in any_box()) {
            if let Some(shift) = smallest_shift(&a, &b, true) {
                prop_assert_eq!(overlap(&a.moved(shift.vector()), &b), None);
                for axis in 0..3 {
                    for sign in [-1.0, 1.0] {
                        let short = Shift { axis, by: sign * (shift.by.abs() - 1e-6) };
                        prop_assert!(overlap(&a.moved(short.vector()), &b).is_some());
                    }
                }
            } else {
                prop_assert_eq!(overlap(&a, &b), None);
            }
        }

        // The sweep against every pair tried in turn.
        #[test]
        fn the_sweep_finds_just_the_pairs_that_collide(boxes in prop::collection::vec(any_box(), 0..30)) {
            let mut want = Vec::new();
            for (first, a) in boxes.iter().enumerate() {
                for (second, b) in boxes.iter().enumerate().skip(first + 1) {
                    want.extend(overlap(a, b).map(|extent| Collision { first, second, extent }));
                }
            }
            prop_assert_eq!(collisions(&boxes), want);
        }

        // Against every whole-centimetre move tried in turn, which must contain the answer as all faces are on the grid.
        #[test]
        fn the_clear_shift_is_the_least_of_all_moves(item in any_box(), others in prop::collection::vec(any_box(), 0..8)) {
            let room = Box3 { at: [0.0; 3], size: [2.5, 2.5, 3.0] };
            let is_clear = |b: &Box3| outside(&room, b) == [0.0; 6] && others.iter().all(|o| overlap(b, o).is_none());
            let want = (0i32..=300).find(|&cm| {
                (0..2).any(|axis| [-1.0, 1.0].into_iter().any(|sign| {
                    is_clear(&item.moved(Shift { axis, by: sign * f64::from(cm) / 100.0 }.vector()))
                }))
            });
            let got = smallest_clear_shift(&item, &others, &room);
            prop_assert_eq!(got.map(|s| (s.by.abs() * 100.0).round() as i32), want);
            if let Some(shift) = got {
                prop_assert!(is_clear(&item.moved(shift.vector())));
            }
        }

        // Against a fine sample of the quarter disc: a sample inside the box is a hit, and a hit deeper than the step is sampled.
        #[test]
        fn a_swing_hits_where_the_sampled_leaf_does(item in any_box(), tail: bool, road: bool, width in 0.2f64..1.2) {
            let door = DoorSwing { hinge: [1.0, 1.0], width, toward_tail: tail, toward_road: road, height: [0.0, 3.0] };
            let ([x0, y0, _], [x1, y1, _]) = (item.at, item.far());
            let sampled = (0..=90).flat_map(|i| (0..=120).map(move |j| (i, j))).any(|(i, j)| {
                let (a, r) = (f64::from(i).to_radians(), width * f64::from(j) / 120.0);
                let x = 1.0 + if tail { r * a.cos() } else { -r * a.cos() };
                let y = 1.0 + if road { r * a.sin() } else { -r * a.sin() };
                x > x0 + 1e-6 && x < x1 - 1e-6 && y > y0 + 1e-6 && y < y1 - 1e-6
            });
            if sampled {
                prop_assert!(door.hits(&item).is_some());
            }
        }
    }
}
