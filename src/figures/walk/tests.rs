use super::*;
use proptest::prelude::*;

const INCH: f64 = 0.0254;

fn rect(x: [f64; 2], y: [f64; 2]) -> Rect {
    Rect { x: x.map(|v| v * INCH), y: y.map(|v| v * INCH) }
}

fn stand(outlines: &[Rect]) -> Vec<Obstacle> {
    outlines.iter().enumerate().map(|(item, outline)| Obstacle { item, outline: *outline }).collect()
}

fn close(got: f64, want: f64) {
    assert!((got - want).abs() <= 1e-5 * want.abs(), "got {got}, want {want}");
}

/// Two gaps of 28 in, the first between 34 and 62 in across, the second between 30 and 58, 10 in apart at the nearest.
fn two_gaps() -> Vec<Obstacle> {
    stand(&[
        rect([40.0, 100.0], [0.0, 34.0]),
        rect([40.0, 100.0], [62.0, 78.0]),
        rect([110.0, 150.0], [0.0, 30.0]),
        rect([115.0, 155.0], [58.0, 78.0]),
    ])
}

#[test]
fn two_gaps_of_28_out_of_step_pass_only_24() {
    // Plane geometry, by hand: the straight lane left between the steps runs from 34 to 58 in, 24 in wide, and 15 in along
    // is too short for a wider person to sidestep. Pinched by the first and the last.
    let obstacles = two_gaps();
    let plan = FloorPlan { room: rect([0.0, 168.0], [0.0, 78.0]), doorways: &[], obstacles: &obstacles };
    let start = rect([150.0, 168.0], [30.0, 50.0]);
    let goal = rect([5.0, 20.0], [30.0, 45.0]);
    let path = plan.widest_path(&[start], goal).unwrap();
    close(path.width / INCH, 24.0);
    assert_eq!(path.pinch, Some([Side::Item(0), Side::Item(3)]));
    // Without the last box the first gap, 28 in, and the third box 32 in from the second are left.
    let fewer = FloorPlan { obstacles: &obstacles[..3], ..plan };
    let path = fewer.widest_path(&[start], goal).unwrap();
    close(path.width / INCH, 28.0);
    assert_eq!(path.pinch, Some([Side::Item(0), Side::Item(1)]));
}

#[test]
fn a_doorway_narrower_than_the_aisle_is_the_pinch() {
    // Plane geometry, by hand: a 34 in side door into a 40 in deep front room.
    let obstacles = stand(&[rect([40.0, 96.0], [0.0, 60.0])]);
    let doorways = [Doorway { wall: Face::Curb, from: 3.0 * INCH, width: 34.0 * INCH }];
    let plan = FloorPlan { room: rect([0.0, 96.0], [0.0, 60.0]), doorways: &doorways, obstacles: &obstacles };
    let path = plan.widest_path(&plan.outdoors(), Rect::point(20.0 * INCH, 59.0 * INCH)).unwrap();
    close(path.width / INCH, 34.0);
    assert_eq!(path.pinch, Some([Side::Wall(Face::Curb), Side::Wall(Face::Curb)]));
}

#[test]
fn a_box_beside_the_door_pinches_against_the_jamb() {
    // Plane geometry, by hand: double tail door 4..56 in, a box flush with the wall up to 30 in: 26 in to the jamb, in the
    // door's plane; the aisle behind it is 30 in.
    let obstacles = stand(&[rect([66.0, 96.0], [0.0, 30.0])]);
    let doorways = [Doorway { wall: Face::Tail, from: 4.0 * INCH, width: 52.0 * INCH }];
    let plan = FloorPlan { room: rect([0.0, 96.0], [0.0, 60.0]), doorways: &doorways, obstacles: &obstacles };
    let path = plan.widest_path(&plan.outdoors(), Rect::point(10.0 * INCH, 10.0 * INCH)).unwrap();
    close(path.width / INCH, 26.0);
    assert_eq!(path.pinch, Some([Side::Item(0), Side::Wall(Face::Tail)]));
}

#[test]
fn an_empty_room_is_as_wide_as_its_lesser_side() {
    // Plane geometry. Without walls to pinch, an open deck is limited by its size too.
    let plan = FloorPlan { room: rect([0.0, 96.0], [0.0, 60.0]), doorways: &[], obstacles: &[] };
    let path = plan.widest_path(&[Rect::point(0.1, 0.1)], Rect::point(2.0, 1.0)).unwrap();
    close(path.width / INCH, 60.0);
    assert_eq!(path.pinch, Some([Side::Wall(Face::Curb), Side::Wall(Face::Road)]));
    let open: Vec<Doorway> = [(Face::Nose, 60.0), (Face::Tail, 60.0), (Face::Curb, 96.0), (Face::Road, 96.0)]
        .map(|(wall, width)| Doorway { wall, from: 0.0, width: width * INCH })
        .to_vec();
    let deck = FloorPlan { doorways: &open, ..plan };
    close(deck.widest_path(&deck.outdoors(), Rect::point(1.0, 0.5)).unwrap().width / INCH, 60.0);
}

#[test]
fn a_walled_up_corner_has_no_path() {
    // Plane geometry: touching boxes leave no gap, and a room without doors has no way in.
    let obstacles = stand(&[rect([30.0, 40.0], [0.0, 30.0]), rect([0.0, 40.0], [30.0, 40.0])]);
    let doorways = [Doorway { wall: Face::Tail, from: 0.0, width: 60.0 * INCH }];
    let plan = FloorPlan { room: rect([0.0, 96.0], [0.0, 60.0]), doorways: &doorways, obstacles: &obstacles };
    let corner = Rect::point(10.0 * INCH, 10.0 * INCH);
    assert_eq!(plan.widest_path(&plan.outdoors(), corner), None);
    let shut = FloorPlan { doorways: &[], ..plan };
    assert_eq!(shut.outdoors(), []);
    assert_eq!(shut.widest_path(&shut.outdoors(), Rect::point(1.5, 1.0)), None);
    assert_eq!(shut.standing(0.5, &shut.outdoors()), Standing::default());
    assert_eq!(plan.standing(0.0, &plan.outdoors()), Standing::default());
    let hatch = [Doorway { wall: Face::Top, from: 0.0, width: 1.0 }];
    assert_eq!(FloorPlan { doorways: &hatch, ..plan }.outdoors(), []);
}

#[test]
fn a_control_on_the_face_of_a_part_is_touched_from_beside_it() {
    // Plane geometry, by hand: a starter on the road face of a washer 24 in deep in a 60 in room: 36 in aisle.
    let obstacles = stand(&[rect([40.0, 70.0], [0.0, 24.0])]);
    let doorways = [Doorway { wall: Face::Tail, from: 0.0, width: 60.0 * INCH }];
    let plan = FloorPlan { room: rect([0.0, 96.0], [0.0, 60.0]), doorways: &doorways, obstacles: &obstacles };
    let starter = Rect::point(42.0 * INCH, 24.0 * INCH);
    let path = plan.widest_path(&plan.outdoors(), starter).unwrap();
    close(path.width / INCH, 36.0);
    assert_eq!(path.pinch, Some([Side::Item(0), Side::Wall(Face::Road)]));
}

#[test]
fn a_person_stands_only_where_they_fit_and_can_get_to() {
    // Plane geometry, by hand: a 28 in aisle along the road wall past a tank 40..70 in, a bay behind it.
    let obstacles = stand(&[rect([40.0, 70.0], [0.0, 32.0])]);
    let doorways = [Doorway { wall: Face::Tail, from: 0.0, width: 60.0 * INCH }];
    let plan = FloorPlan { room: rect([0.0, 120.0], [0.0, 60.0]), doorways: &doorways, obstacles: &obstacles };
    let valve = [10.0 * INCH, 5.0 * INCH];
    let fits = plan.standing(28.0 * INCH, &plan.outdoors());
    assert!(super::super::layout::reach(&fits.covered, valve).unwrap() < 1e-6);
    // The middle of a 28 in square stays 14 in from the walls: (14, 14) is sqrt(16 + 81) in from the valve.
    close(super::super::layout::reach(&fits.centres, valve).unwrap() / INCH, 97.0_f64.sqrt());
    // One inch wider stays tailward of the tank; its square ends at the tank's tail face, 70 - 10 in off.
    let wide = plan.standing(29.0 * INCH, &plan.outdoors());
    close(super::super::layout::reach(&wide.covered, valve).unwrap() / INCH, 60.0);
}

#[test]
fn what_hangs_overhead_or_is_stepped_over_is_no_obstacle() {
    // Geometry: a reel from 80 in up, a 3 in sill, a tank, a shelf hung at 60 in.
    let part = |bottom: f64, height: f64| Box3 { at: [0.0, 0.0, bottom * INCH], size: [0.3, 0.3, height * INCH] };
    let boxes = [part(80.0, 20.0), part(0.0, 3.0), part(0.0, 40.0), part(60.0, 10.0)];
    let kept: Vec<usize> = obstacles(&boxes, 3.0 * INCH, 80.0 * INCH).iter().map(|o| o.item).collect();
    assert_eq!(kept, [2, 3]);
}

// ---------------------------------------------------------------------------------------------------------------------
// Against a walk over a lattice. All outlines are whole units, so the free places of a person of whole width are joined
// just when the whole places are joined by whole steps: a grown obstacle is at least two units across, so no unit step
// leaps one, and the widest person has a whole width.
// ---------------------------------------------------------------------------------------------------------------------

const LONG: usize = 12;
const WIDE: usize = 10;
const YARD: usize = 11;

struct Lattice {
    solid: Vec<Vec<bool>>,
}

impl Lattice {
    fn of(outlines: &[[usize; 4]], doors: &[(Face, usize, usize)]) -> Self {
        let mut solid = vec![vec![true; WIDE + 2 * YARD]; LONG + 2 * YARD];
        let mut fill = |x: std::ops::Range<usize>, y: std::ops::Range<usize>, value: bool| {
            for column in &mut solid[x] {
                column[y.clone()].fill(value);
            }
        };
        fill(YARD..YARD + LONG, YARD..YARD + WIDE, false);
        for &(wall, from, width) in doors {
            let along = YARD + from..YARD + from + width;
            match wall {
                Face::Nose => fill(0..YARD, along, false),
                Face::Tail => fill(YARD + LONG..LONG + 2 * YARD, along, false),
                Face::Curb => fill(along, 0..YARD, false),
                _ => fill(along, YARD + WIDE..WIDE + 2 * YARD, false),
            }
        }
        for &[x, y, l, w] in outlines {
            fill(YARD + x..YARD + x + l, YARD + y..YARD + y + w, true);
        }
        Self { solid }
    }

    /// Near corners of the places a person of side `w` gets to from the edge of the lattice.
    fn reached(&self, w: usize) -> Vec<Vec<bool>> {
        let (nx, ny) = (LONG + 2 * YARD - w + 1, WIDE + 2 * YARD - w + 1);
        let free = |x: usize, y: usize| self.solid[x..x + w].iter().all(|c| c[y..y + w].iter().all(|s| !s));
        let mut seen = vec![vec![false; ny]; nx];
        let edge = |x: usize, y: usize| x == 0 || y == 0 || x == nx - 1 || y == ny - 1;
        let mut todo: Vec<(usize, usize)> =
            (0..nx).flat_map(|x| (0..ny).map(move |y| (x, y))).filter(|&(x, y)| edge(x, y) && free(x, y)).collect();
        while let Some((x, y)) = todo.pop() {
            if seen[x][y] {
                continue;
            }
            seen[x][y] = true;
            let steps = [(x + 1, y), (x.wrapping_sub(1), y), (x, y + 1), (x, y.wrapping_sub(1))];
            todo.extend(steps.into_iter().filter(|&(x, y)| x < nx && y < ny && !seen[x][y] && free(x, y)));
        }
        seen
    }

    fn widest(&self, [gx, gy]: [usize; 2]) -> Option<usize> {
        let (gx, gy) = (gx + YARD, gy + YARD);
        (1..=WIDE).rev().find(|&w| {
            let seen = self.reached(w);
            (gx.saturating_sub(w)..=gx)
                .any(|x| (gy.saturating_sub(w)..=gy).any(|y| seen.get(x).and_then(|c| c.get(y)).is_some_and(|s| *s)))
        })
    }
}

type Outlines = Vec<[usize; 4]>;
type Doors = Vec<(Face, usize, usize)>;

fn any_floor() -> impl Strategy<Value = (Outlines, Doors)> {
    let outline =
        (0..LONG, 0..WIDE, 1usize..6, 1usize..6).prop_map(|(x, y, l, w)| [x, y, l.min(LONG - x), w.min(WIDE - y)]);
    let wall = prop::sample::select(vec![Face::Nose, Face::Tail, Face::Curb, Face::Road]);
    let door = (wall, 0usize..WIDE, 1usize..9).prop_map(|(wall, from, width)| {
        let length = if wall.axis() == 0 { WIDE } else { LONG };
        (wall, from, width.min(length - from))
    });
    (prop::collection::vec(outline, 0..7), prop::collection::vec(door, 1..3))
}

fn to_plan(outlines: &[[usize; 4]], doors: &[(Face, usize, usize)]) -> (Vec<Obstacle>, Vec<Doorway>, Rect) {
    let unit = |v: usize| v as f64 * 0.1;
    let outlines: Vec<Rect> =
        outlines.iter().map(|&[x, y, l, w]| Rect { x: [unit(x), unit(x + l)], y: [unit(y), unit(y + w)] }).collect();
    let doors = doors.iter().map(|&(wall, from, width)| Doorway { wall, from: unit(from), width: unit(width) });
    (stand(&outlines), doors.collect(), Rect { x: [0.0, unit(LONG)], y: [0.0, unit(WIDE)] })
}

proptest! {
    #[test]
    fn the_widest_path_is_the_lattice_walkers((outlines, doors) in any_floor(), gx in 0..=LONG, gy in 0..=WIDE) {
        let (obstacles, doorways, room) = to_plan(&outlines, &doors);
        let plan = FloorPlan { room, doorways: &doorways, obstacles: &obstacles };
        let got = plan.widest_path(&plan.outdoors(), Rect::point(gx as f64 * 0.1, gy as f64 * 0.1));
        let want = Lattice::of(&outlines, &doors).widest([gx, gy]);
        prop_assert_eq!(got.map(|p| (p.width * 1e6).round() as usize), want.map(|w| w * 100_000));
    }

    #[test]
    fn a_person_stands_just_where_the_lattice_walker_does((outlines, doors) in any_floor(), w in 1usize..6) {
        let (obstacles, doorways, room) = to_plan(&outlines, &doors);
        let plan = FloorPlan { room, doorways: &doorways, obstacles: &obstacles };
        let standing = plan.standing(w as f64 * 0.1, &plan.outdoors());
        let seen = Lattice::of(&outlines, &doors).reached(w);
        for x in 0..=LONG - w {
            for y in 0..=WIDE - w {
                let middle = [(x as f64 + w as f64 / 2.0) * 0.1, (y as f64 + w as f64 / 2.0) * 0.1];
                let stands = standing.centres.iter().any(|r| r.distance_to(middle) < 1e-6);
                prop_assert_eq!(stands, seen[x + YARD][y + YARD], "at {}, {}", x, y);
            }
        }
    }

    #[test]
    fn the_path_never_grows_when_an_obstacle_is_added((outlines, doors) in any_floor(), x in 0.0f64..1.2, y in 0.0f64..1.0) {
        let (obstacles, doorways, room) = to_plan(&outlines, &doors);
        let goal = Rect::point(x, y);
        let mut before = f64::INFINITY;
        for count in 0..=obstacles.len() {
            let plan = FloorPlan { room, doorways: &doorways, obstacles: &obstacles[..count] };
            let width = plan.widest_path(&plan.outdoors(), goal).map_or(0.0, |p| p.width);
            prop_assert!(width <= before + 1e-9);
            before = width;
        }
    }

    // The pinch must be real: its two things are the path's width apart.
    #[test]
    fn the_pinch_is_as_wide_as_the_path((outlines, doors) in any_floor(), x in 0.0f64..1.2, y in 0.0f64..1.0) {
        let (obstacles, doorways, room) = to_plan(&outlines, &doors);
        let plan = FloorPlan { room, doorways: &doorways, obstacles: &obstacles };
        if let Some(WidestPath { width, pinch: Some([Side::Item(a), Side::Item(b)]) }) =
            plan.widest_path(&plan.outdoors(), Rect::point(x, y))
        {
            let (a, b) = (obstacles[a].outline, obstacles[b].outline);
            prop_assert!((gap(a.x, b.x).max(gap(a.y, b.y)) - width).abs() < 1e-6);
        }
    }
}
