//! Whole specs against statics done by hand, and random small rigs against brute force.
//!
//! Sources: statics, by hand, in pounds and inches (moments about the coupler ball, or about the front axle of a truck), with
//! water at the trade's 8.34 lb/gal and hypochlorite at 10.0 lb/gal as the specs state. Conversions are exact: 1 lb =
//! 0.45359237 kg, 1 in = 0.0254 m, 1 lbf = 4.4482216152605 N.

use std::fmt::Write as _;
use std::sync::LazyLock;

use proptest::prelude::*;
use rigproof::inspection::{Inspector, Judged};
use rigproof::measure::Range;
use rigproof::spec::Shelf;
use rigproof::workings::{Property, Sheet, SubjectId};

const LB: f64 = 0.453_592_37;
const IN: f64 = 0.0254;
/// A pound-force inch, N·m.
const LB_IN: f64 = LB * 9.806_65 * IN;

static INSPECTOR: LazyLock<Inspector> = LazyLock::new(|| Inspector::standard().expect("the standard rulebook loads"));

fn judge(text: &str) -> Judged {
    let open = |_: &str| Err("no other file".to_owned());
    match INSPECTOR.figure("rig.yaml", text.as_bytes(), &mut Shelf::default(), &open) {
        Ok(judged) => judged,
        Err((_, problems)) => panic!("{problems:#?}\n{text}"),
    }
}

fn subject(sheet: &Sheet, kind: &str, name: Option<&str>) -> SubjectId {
    let found =
        sheet.subjects.iter().position(|subject| subject.kind == kind && name.is_none_or(|name| subject.name == name));
    SubjectId(found.unwrap_or_else(|| panic!("no {kind} {name:?}")) as u32)
}

/// A figure of the only subject of a kind, in the unit handed over.
fn range(judged: &Judged, kind: &str, name: &'static str, unit: f64) -> Range {
    let sheet = &judged.scene.sheet;
    let range = sheet.range(subject(sheet, kind, None), name).unwrap_or_else(|| panic!("{name} is not known"));
    Range { low: range.low / unit, high: range.high / unit }
}

fn near(found: f64, expected: f64, relative: f64, what: &str) {
    assert!((found - expected).abs() <= relative * expected.abs(), "{what}: found {found}, expected {expected}");
}

/// Holds an exact figure to a value given to four digits or more: within 0.1 %.
fn holds(judged: &Judged, kind: &str, name: &'static str, unit: f64, expected: f64) {
    let found = range(judged, kind, name, unit);
    near(found.low, expected, 1e-3, name);
    near(found.high, expected, 1e-3, name);
}

fn tank(judged: &Judged, tank: &str, name: &'static str, unit: f64) -> Range {
    let sheet = &judged.scene.sheet;
    let range = sheet
        .range(subject(sheet, "tank", Some(tank)), name)
        .unwrap_or_else(|| panic!("{name} of {tank} is not known"));
    Range { low: range.low / unit, high: range.high / unit }
}

/// A row of a ticket by hand: state, gross, axles, front (tongue or front axle), share, curb side, road side; lb.
type Row = (&'static str, [f64; 6]);

fn ticket_agrees(judged: &Judged, rows: &[Row]) {
    let ticket = &judged.scene.sheet.ticket;
    assert_eq!(ticket.len(), rows.len());
    for (name, row) in rows {
        let state = ticket.iter().find(|state| state.name == *name);
        let state = state.unwrap_or_else(|| {
            panic!("no state `{name}` among {:?}", ticket.iter().map(|state| &state.name).collect::<Vec<_>>())
        });
        let cells = [
            (&state.gross, LB),
            (&state.axles, LB),
            (&state.front, LB),
            (&state.share, 0.01),
            (&state.curb, LB),
            (&state.road, LB),
        ];
        for ((cell, unit), expected) in cells.into_iter().zip(row) {
            let found = cell.range.expect("every weight and place is stated");
            near(found.low / unit, *expected, 1e-3, name);
            near(found.high / unit, *expected, 1e-3, name);
        }
    }
}

#[test]
fn the_enclosed_tandem_weighs_what_statics_by_hand_say_in_every_fill() {
    let rig = judge(include_str!("../specs/worked/tandem.yaml"));
    ticket_agrees(
        &rig,
        &[
            ("all tanks empty", [3700.0, 3317.02, 382.98, 10.351, 1626.7, 1690.3]),
            ("bleach full, water empty", [4200.0, 3630.35, 569.65, 13.563, 1643.8, 1986.5]),
            ("water full, bleach empty", [5576.5, 4955.83, 620.67, 11.130, 2446.1, 2509.7]),
            ("all tanks full", [6076.5, 5269.16, 807.34, 13.286, 2463.2, 2805.9]),
        ],
    );
}

#[test]
fn the_enclosed_tandem_keeps_its_worst_corners() {
    let rig = judge(include_str!("../specs/worked/tandem.yaml"));
    let trailer = |name, unit, expected| holds(&rig, "trailer", name, unit, expected);
    trailer("gross-heaviest", LB, 6076.5);
    trailer("gross-dry", LB, 3700.0);
    trailer("axle-heaviest", LB, 2634.58);
    trailer("axles-full", LB, 5269.16);
    trailer("tongue-heaviest", LB, 807.34);
    trailer("tongue-lightest", LB, 382.98);
    trailer("ratio-lightest", 0.01, 10.351);
    trailer("ratio-heaviest", 0.01, 13.563);
    // 0.10 · 3700 − 382.98 = −12.98 lb: nothing is short.
    trailer("tongue-short", LB, -12.98);
    // (1986.5 − 1643.8) / 3630.35.
    trailer("side-uneven", 0.01, 9.44);
    // The road side with everything full on two of four tires.
    trailer("tire-heaviest", LB, 1402.95);
    // (1 − 0.125) · 150 − 52 in.
    trailer("neutral-line", IN, 79.25);
    trailer("balance-height", IN, 39.76);
    // 6076.5 · 0.5 · 39.76 / 150.
    trailer("brake-tongue-gain", LB, 805.3);
    // 1550 lb of gear and 2376.5 lb of liquid.
    trailer("fit-out", LB, 3926.5);
    // Load index 105 is 925 kg, ISO 4000-1; the spec states the 2,039 lb of the sidewall.
    trailer("tire-carries", LB, 2039.0);
    // Room of 923.5 lb above a full water tank, in gallons of water at 998.2 kg/m3 (IAPWS-95, 20 degC): (1876.5 + 923.5) lb.
    let gallon = 231.0 * IN * IN * IN;
    trailer("water-allowed", gallon, 2800.0 * LB / 998.2 / gallon);
}

#[test]
fn the_tongue_of_the_enclosed_tandem_loads_the_truck_by_its_lever() {
    // 807.34 · (1 + 52/149) on the rear axle and 807.34 · 52/149 off the front one.
    let rig = judge(include_str!("../specs/worked/tandem.yaml"));
    holds(&rig, "combination", "rear-gain", LB, 1089.1);
    holds(&rig, "combination", "front-loss", LB, 281.76);
}

#[test]
fn a_weight_distributing_hitch_gives_the_front_axle_back_what_the_tongue_took() {
    // 700 lb on the ball, wheelbase 144 in, overhang 52 in, trailer axle at 146 in: M = 700 · 52 / (1 + 52/146) = 26,840.4 lb·in;
    // then the rear axle gains 516.162 lb and the front one nothing (moments by hand). Slack bars: 700 · (1 + 52/144) = 952.78 lb.
    let rig = judge(
        "rigproof: 1
name: hitch
trailer:
  empty: { weight: 5000 lb, tongue: 700 lb }
  axles: [{ from-coupler: 146 in, rating: 6000 lb }]
vehicle:
  wheelbase: 144 in
  overhang: 52 in
  front-axle: { empty: 3000 lb, rating: 5000 lb }
  rear-axle: { empty: 2000 lb, rating: 2600 lb }
  people: { weight: 0 lb, from-front-axle: 60 in }
  receiver: { distributing: yes }
",
    );
    holds(&rig, "combination", "front-restoring-moment", LB_IN, 26_840.4);
    let rear = range(&rig, "combination", "rear-heaviest", LB);
    near(rear.low, 2516.162, 1e-5, "bars set");
    near(rear.high, 2952.778, 1e-5, "bars slack");
    // 352.78 lb over: M = 352.78 / ((1 + 52/144)/146 + 1/144) = 21,687 lb·in, by hand, less than the whole.
    holds(&rig, "combination", "hitch-moment", LB_IN, 21_687.0);
}

#[test]
fn the_pickup_skid_loads_the_truck_as_statics_by_hand_say_in_every_fill() {
    // Sides by hand: half the rear axle load and the moment about the centreline over the 68 in track. The washer stands 14 in and
    // the pump 20 in to the curb, the bleach 16 in to the road: 290 · 14 + 84 · 20 − 22 · 16 = 5388 lb·in dry, 350 · 16 = 5600 less
    // with the bleach full.
    let sides = |rear: f64, moment: f64| (rear / 2.0 + moment / 68.0, rear / 2.0 - moment / 68.0);
    let row = |gross: f64, rear: f64, front: f64, share: f64, moment: f64| {
        let (curb, road) = sides(rear, moment);
        [gross, rear, front, share, curb, road]
    };
    let rig = judge(include_str!("../specs/worked/skid.yaml"));
    ticket_agrees(
        &rig,
        &[
            ("all tanks empty", row(7856.0, 3808.30, 4047.70, 51.524, 5388.0)),
            ("bleach full, water empty", row(8206.0, 4153.87, 4052.13, 49.380, -212.0)),
            ("water full, bleach empty", row(8690.0, 4483.95, 4206.05, 48.401, 5388.0)),
            ("all tanks full", row(9040.0, 4829.52, 4210.48, 46.576, -212.0)),
        ],
    );
    holds(&rig, "vehicle", "bed-gross-heaviest", LB, 9040.0);
    holds(&rig, "vehicle", "bed-rear-heaviest", LB, 4829.52);
    holds(&rig, "vehicle", "bed-front-lightest", LB, 4047.70);
    holds(&rig, "vehicle", "bed-front-heaviest", LB, 4210.48);
    holds(&rig, "vehicle", "bed-front-share", 0.01, 46.576);
    // 976 lb dry, 1,184 lb of liquid, 380 lb of people.
    holds(&rig, "vehicle", "bed-load", LB, 2540.0);
}

#[test]
fn partitions_divide_the_pull_of_moving_liquid_by_their_count_squared() {
    // Second moment of the free surface at 0.3 g, by hand: (8.34/231) · 36 · 72³ · 0.3/12 = 12,128 lb·in, in three 1,347.6; and
    // (8.34/231) · 30 · 48³ · 0.3/12 = 2,994.6, in two 748.7 lb·in (Derrett, Ship Stability, for the squares).
    let tandem = judge(include_str!("../specs/worked/tandem.yaml"));
    near(tank(&tandem, "water", "slosh-undivided", LB_IN).high, 12_128.0, 1e-3, "undivided");
    near(tank(&tandem, "water", "slosh-moment", LB_IN).high, 1347.6, 1e-3, "in three");
    let skid = judge(include_str!("../specs/worked/skid.yaml"));
    near(tank(&skid, "water", "slosh-undivided", LB_IN).high, 2994.6, 1e-3, "undivided");
    near(tank(&skid, "water", "slosh-moment", LB_IN).low, 748.7, 1e-3, "in two");
}

#[test]
fn a_tank_that_weighs_nothing_itself_still_weighs_what_it_holds() {
    // 100 gal at 8.34 lb/gal.
    let rig = judge(
        "rigproof: 1
name: bare
trailer: { empty: { weight: 1000 lb, tongue: 100 lb }, axles: [{ from-coupler: 100 in }] }
parts:
  water: { kind: tank, holds: { fluid: water, density: 8.34 lb/gal }, capacity: 100 gal, weight: 0 lb }
",
    );
    holds(&rig, "trailer", "gross-heaviest", LB, 1834.0);
}

/// A small rig: pounds, gallons and inches, each from a low end to a high one.
#[derive(Debug, Clone)]
struct Small {
    empty: [u32; 2],
    tongue: [u32; 2],
    axle: [u32; 2],
    /// Weight and nose distance of the front edge; every thing is 20 in long.
    gear: Vec<[[u32; 2]; 2]>,
    /// Own weight, gallons, nose distance.
    tanks: Vec<[[u32; 2]; 3]>,
    /// Curb-side distance of the near edge of each thing, gear first.
    curb: Vec<u32>,
}

const TO_NOSE: f64 = 40.0;
const WATER: f64 = 8.34;
/// Every thing is this long and wide.
const SIDE: f64 = 20.0;
const WIDTH: f64 = 70.0;
const TRACK: f64 = 80.0;

fn quantity([low, high]: [u32; 2], unit: &str) -> String {
    if low == high { format!("{low} {unit}") } else { format!("{low} {unit} to {high} {unit}") }
}

impl Small {
    fn text(&self) -> String {
        let mut text = format!(
            "rigproof: 1
name: small
trailer:
  body: open
  inside: 160 in x {WIDTH} in x 15 in
  empty: {{ weight: {}, tongue: {} }}
  axles: [{{ from-coupler: {}, rating: 5000 lb }}]
  track: {TRACK} in
  coupler: {{ to-nose: {TO_NOSE} in }}
parts:
",
            quantity(self.empty, "lb"),
            quantity(self.tongue, "lb"),
            quantity(self.axle, "in")
        );
        let mut curb = self.curb.iter();
        let size = format!("size: {SIDE} in x {SIDE} in x 20 in");
        for (number, [weight, nose]) in self.gear.iter().enumerate() {
            let across = curb.next().expect("a distance for each");
            let _ = writeln!(
                text,
                "  gear-{number}: {{ kind: tool, weight: {}, at: {{ nose: {}, curb: {across} in, floor: 0 in }}, {size} }}",
                quantity(*weight, "lb"),
                quantity(*nose, "in")
            );
        }
        for (number, [weight, gallons, nose]) in self.tanks.iter().enumerate() {
            let across = curb.next().expect("a distance for each");
            let holds =
                format!("holds: {{ fluid: water, density: {WATER} lb/gal }}, capacity: {}", quantity(*gallons, "gal"));
            let _ = writeln!(
                text,
                "  tank-{number}: {{ kind: tank, {holds}, weight: {}, at: {{ nose: {}, curb: {across} in, floor: 0 in }}, {size} }}",
                quantity(*weight, "lb"),
                quantity(*nose, "in")
            );
        }
        text
    }

    /// Every fact, in a fixed order.
    fn facts(&self) -> Vec<[u32; 2]> {
        let mut facts = vec![self.empty, self.tongue, self.axle];
        facts.extend(self.gear.iter().flatten());
        facts.extend(self.tanks.iter().flatten());
        facts
    }

    /// Gross weight and tongue load at one point of the facts, tanks full by the bits of `fill`: plain sums, written anew.
    fn weigh(&self, point: &[f64], fill: u32) -> (f64, f64) {
        let mut point = point.iter();
        let mut next = || *point.next().expect("a value for each fact");
        let (mut gross, mut tongue, axle) = (next(), next(), next());
        let mut add = |mass: f64, nose: f64| {
            gross += mass;
            tongue += mass - mass * (TO_NOSE + nose + SIDE / 2.0) / axle;
        };
        for _ in &self.gear {
            let mass = next();
            add(mass, next());
        }
        for number in 0..self.tanks.len() {
            let (own, gallons, nose) = (next(), next(), next());
            add(own + f64::from(fill >> number & 1) * gallons * WATER, nose);
        }
        (gross, tongue)
    }

    fn fills(&self) -> std::ops::Range<u32> {
        0..1 << self.tanks.len()
    }

    /// Every corner of the facts that are not exact.
    fn corners(&self) -> Vec<Vec<f64>> {
        let mut corners = vec![Vec::new()];
        for [low, high] in self.facts() {
            let ends: &[u32] = if low == high { &[low] } else { &[low, high] };
            corners = corners
                .iter()
                .flat_map(|corner| ends.iter().map(|end| corner.iter().copied().chain([f64::from(*end)]).collect()))
                .collect();
        }
        corners
    }
}

fn span(low: std::ops::Range<u32>, width: u32) -> impl Strategy<Value = [u32; 2]> {
    (low, prop_oneof![2 => Just(0), 1 => 1..=width]).prop_map(|(low, width)| [low, low + width])
}

fn small(ranges: bool) -> impl Strategy<Value = Small> {
    let width = move |most: u32| if ranges { most } else { 1 };
    let gear = prop::collection::vec(
        (span(20..300, width(60)), span(0..140, width(20))).prop_map(|(weight, nose)| [weight, nose]),
        0..3,
    );
    let tanks = prop::collection::vec(
        (span(0..60, width(20)), span(20..150, width(40)), span(0..140, width(15)))
            .prop_map(|(own, gallons, nose)| [own, gallons, nose]),
        1..3,
    );
    (
        span(800..2500, width(400)),
        span(80..300, width(80)),
        span(100..140, width(8)),
        gear,
        tanks,
        prop::collection::vec(0..50_u32, 5),
    )
        .prop_map(move |(empty, tongue, axle, gear, tanks, curb)| {
            let mut rig = Small { empty, tongue, axle, gear, tanks, curb };
            if !ranges {
                let exact = |span: &mut [u32; 2]| span[1] = span[0];
                [&mut rig.empty, &mut rig.tongue, &mut rig.axle].into_iter().for_each(exact);
                rig.gear.iter_mut().flatten().chain(rig.tanks.iter_mut().flatten()).for_each(exact);
            }
            rig
        })
}

fn extremes(rig: &Small, points: &[Vec<f64>], of: impl Fn(f64, f64) -> f64) -> [f64; 2] {
    let all = points
        .iter()
        .flat_map(|point| rig.fills().map(|fill| rig.weigh(point, fill)))
        .map(|(gross, tongue)| of(gross, tongue));
    all.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| [low.min(value), high.max(value)])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Brute force: 40 points inside the ranges, every fill; and every corner of the facts, where the ends must be met.
    #[test]
    fn ranges_of_weight_enclose_brute_force_and_their_ends_are_met(
        rig in small(true),
        places in prop::collection::vec(prop::collection::vec(0.0..=1.0_f64, 15), 40),
    ) {
        let judged = judge(&rig.text());
        let facts = rig.facts();
        let inside: Vec<Vec<f64>> = places
            .iter()
            .map(|place| facts.iter().zip(place).map(|([low, high], share)| f64::from(*low) + share * f64::from(high - low)).collect())
            .collect();
        let everything = (1 << rig.tanks.len()) - 1;
        let close = |found: f64, expected: f64| (found - expected).abs() <= 1e-9 * (1.0 + expected.abs()) * 1e3;
        let within = |range: Range, value: f64| range.low - 1e-6 <= value && value <= range.high + 1e-6;

        let gross = range(&judged, "trailer", "gross-heaviest", LB);
        let [heaviest, lightest] = [range(&judged, "trailer", "tongue-heaviest", LB), range(&judged, "trailer", "tongue-lightest", LB)];
        let [most, least] = [range(&judged, "trailer", "ratio-heaviest", 1.0), range(&judged, "trailer", "ratio-lightest", 1.0)];
        for point in &inside {
            prop_assert!(within(gross, rig.weigh(point, everything).0));
            let one = std::slice::from_ref(point);
            let [low, high] = extremes(&rig, one, |_, tongue| tongue);
            prop_assert!(within(lightest, low) && within(heaviest, high), "tongue {low} to {high}, found {lightest:?} and {heaviest:?}");
            let [low, high] = extremes(&rig, one, |gross, tongue| tongue / gross);
            prop_assert!(within(least, low) && within(most, high), "share {low} to {high}, found {least:?} and {most:?}");
        }
        let corners = rig.corners();
        let full: Vec<f64> = corners.iter().map(|corner| rig.weigh(corner, everything).0).collect();
        prop_assert!(close(gross.low, full.iter().copied().fold(f64::INFINITY, f64::min)));
        prop_assert!(close(gross.high, full.iter().copied().fold(f64::NEG_INFINITY, f64::max)));
        let [low, high] = extremes(&rig, &corners, |_, tongue| tongue);
        prop_assert!(close(lightest.low, low) && close(heaviest.high, high), "tongue {low} to {high}, found {lightest:?} and {heaviest:?}");
        let [low, high] = extremes(&rig, &corners, |gross, tongue| tongue / gross);
        prop_assert!(close(least.low, low) && close(most.high, high), "share {low} to {high}, found {least:?} and {most:?}");
    }

    #[test]
    fn more_water_never_makes_a_rig_lighter(rig in small(true), more in 1..60_u32) {
        let mut fuller = rig.clone();
        fuller.tanks[0][1] = fuller.tanks[0][1].map(|gallons| gallons + more);
        let (before, after) = (judge(&rig.text()), judge(&fuller.text()));
        let [light, heavy] = [&before, &after].map(|judged| range(judged, "trailer", "gross-heaviest", LB));
        prop_assert!(heavy.low > light.low && heavy.high > light.high);
        let states = before.scene.sheet.ticket.iter().zip(&after.scene.sheet.ticket);
        for (before, after) in states {
            let [Some(light), Some(heavy)] = [before.gross.range, after.gross.range] else { panic!("every weight is stated") };
            prop_assert!(heavy.low >= light.low && heavy.high >= light.high);
        }
        // Filling a tank that was empty adds to every state.
        let ticket = &after.scene.sheet.ticket;
        let empty = ticket[0].gross.range.expect("stated");
        prop_assert!(ticket.iter().all(|state| state.gross.range.is_some_and(|gross| gross.low >= empty.low && gross.high >= empty.high)));
    }

    /// What the list advises is carried out and the rig is worked out again.
    #[test]
    fn a_move_that_is_advised_cures_every_fill(rig in small(false), share in 0.0..=1.0_f64) {
        let text = rig.text();
        let judged = judge(&text);
        let sheet = &judged.scene.sheet;
        let trailer = subject(sheet, "trailer", None);
        for (link, from, to, along) in [("move-along", "move-along-from", "move-along-to", true), ("move-across", "move-across-from", "move-across-to", false)] {
            let (Some(from), Some(to)) = (sheet.range(trailer, from), sheet.range(trailer, to)) else { continue };
            let Some(Property::Subject(part)) = sheet.property(trailer, link) else { panic!("a window without a part") };
            let number: usize = sheet.at(part).name.trim_start_matches("tank-").parse().expect("only tanks may move here");
            let place = (from.low + share * (to.low - from.low)) / IN;
            let [_, _, nose] = rig.tanks[number];
            let across = rig.curb[rig.gear.len() + number];
            let old = format!("nose: {} in, curb: {across} in", nose[0]);
            let new = if along { format!("nose: {place:.9} in, curb: {across} in") } else { format!("nose: {} in, curb: {place:.9} in", nose[0]) };
            let line = text.lines().find(|line| line.contains(&format!("tank-{number}:"))).expect("its line");
            let moved = judge(&text.replace(line, &line.replace(&old, &new)));
            if along {
                let [least, most] = ["ratio-lightest", "ratio-heaviest"].map(|name| range(&moved, "trailer", name, 1.0));
                prop_assert!(least.low >= 0.10 - 1e-6 && most.high <= 0.15 + 1e-6, "{least:?} to {most:?} after the move to {place} in");
            } else {
                let uneven = range(&moved, "trailer", "side-uneven", 1.0);
                prop_assert!(uneven.high <= 0.10 + 1e-6, "{uneven:?} after the move to {place} in");
            }
        }
    }

    /// The counterweight stands at the wall of the lighter side, over the axle, and the rig is worked out again.
    #[test]
    fn the_counterweight_that_is_advised_evens_every_fill(rig in small(false)) {
        let text = rig.text();
        let judged = judge(&text);
        let sheet = &judged.scene.sheet;
        let trailer = subject(sheet, "trailer", None);
        let Some(weight) = sheet.range(trailer, "counterweight") else { return Ok(()) };
        let uneven = range(&judged, "trailer", "side-uneven", 1.0);
        prop_assert!((weight.low > 1e-9) == (uneven.high > 0.10 + 1e-9) || (uneven.high - 0.10).abs() < 1e-6);
        let Some(Property::Note(note)) = sheet.property(trailer, "side-heavy") else { panic!("the heavier side has no name") };
        let wall = if sheet.notes[note as usize] == "curb" { WIDTH } else { 0.0 };
        let nose = f64::from(rig.axle[0]) - TO_NOSE;
        let added = format!("{text}  counterweight: {{ kind: ballast, weight: {:.9} lb, balance: {{ nose: {nose} in, curb: {wall} in, floor: 0 in }} }}\n", weight.low / LB);
        let evened = range(&judge(&added), "trailer", "side-uneven", 1.0);
        prop_assert!(evened.high <= 0.10 + 1e-6, "{evened:?} with {} lb", weight.low / LB);
    }
}
