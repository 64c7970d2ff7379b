//! The searches against brute force: every corner tried, and points inside.

use proptest::prelude::*;

use super::{Input, Sum, Term, corners};
use crate::measure::Range;
use crate::rig::FactId;

fn ranged(fact: u32, low: f64, width: f64) -> Input {
    Input { range: Range::new(low, low + width), facts: vec![(FactId(fact), width)] }
}

/// A term of a tongue load: mass and distance aft.
fn term(fact: u32, (mass, mass_width, aft, aft_width): (f64, f64, f64, f64), liquid: bool) -> Term<(), 2> {
    Term { kind: (), inputs: [ranged(fact, mass, mass_width), ranged(fact + 1, aft, aft_width)], liquid }
}

fn tongue([axle]: &[f64; 1], (): (), [mass, aft]: &[f64; 2]) -> f64 {
    mass * (1.0 - aft / axle)
}

fn gross(_: &[f64; 1], (): (), [mass, _]: &[f64; 2]) -> f64 {
    *mass
}

/// Every combination of ends and fills, by counting.
fn brute(
    axle: &Input,
    terms: &[Term<(), 2>],
    f: impl Fn(f64, &[(f64, f64)]) -> f64,
    fills: impl Fn(&Term<(), 2>) -> Vec<f64>,
) -> Vec<f64> {
    let ends = |input: &Input| input.range.map_or(vec![], |range| vec![range.low, range.high]);
    let mut loads: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    for term in terms {
        let mut next = Vec::new();
        for load in &loads {
            for mass in ends(&term.inputs[0]) {
                for aft in ends(&term.inputs[1]) {
                    for fill in fills(term) {
                        let mut load = load.clone();
                        load.push((mass * fill, aft));
                        next.push(load);
                    }
                }
            }
        }
        loads = next;
    }
    ends(axle).iter().flat_map(|axle| loads.iter().map(|load| f(*axle, load)).collect::<Vec<_>>()).collect()
}

fn least(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::INFINITY, f64::min)
}

fn most(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}

fn tongue_of(axle: f64, loads: &[(f64, f64)]) -> f64 {
    loads.iter().map(|(mass, aft)| mass * (1.0 - aft / axle)).sum()
}

fn share_of(axle: f64, loads: &[(f64, f64)]) -> f64 {
    tongue_of(axle, loads) / loads.iter().map(|(mass, _)| mass).sum::<f64>()
}

type Four = (f64, f64, f64, f64);

fn load() -> impl Strategy<Value = Four> {
    (10.0..900.0, 0.0..300.0, -0.5..6.0, 0.0..1.5)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn a_sum_over_ranges_has_the_ends_that_trying_every_corner_finds(axle in 2.0..4.5f64, width in 0.0..0.6f64, dry in prop::collection::vec(load(), 1..3), wet in prop::collection::vec(load(), 0..2)) {
        let axle = ranged(0, axle, width);
        let mut terms: Vec<_> = dry.iter().zip(0..).map(|(four, at)| term(2 * at + 1, *four, false)).collect();
        terms.extend(wet.iter().zip(0..).map(|(four, at)| term(2 * at + 101, *four, true)));
        let sum = Sum { shared: [&axle], terms: &terms };
        let full: Vec<f64> = wet.iter().map(|_| 1.0).collect();
        let at_full = brute(&axle, &terms, tongue_of, |_| vec![1.0]);
        let range = sum.at(&full, tongue).range.unwrap();
        prop_assert!((range.low - least(&at_full)).abs() < 1e-6);
        prop_assert!((range.high - most(&at_full)).abs() < 1e-6);

        // Over every fill: the low end is exact, the high end no lower than the truth and no higher than with the fill left free.
        let any = brute(&axle, &terms, tongue_of, |term| if term.liquid { vec![0.0, 1.0] } else { vec![1.0] });
        let (bounded, _) = sum.least(tongue);
        let range = bounded.range.unwrap();
        prop_assert!((range.low - least(&any)).abs() < 1e-6);
        prop_assert!(range.high >= range.low && range.high <= most(&any) + 1e-6);
        let (bounded, _) = sum.most(tongue);
        prop_assert!((bounded.range.unwrap().high - most(&any)).abs() < 1e-6);
    }

    #[test]
    fn a_share_over_every_fill_has_the_ends_that_trying_every_corner_finds(axle in 2.0..4.5f64, width in 0.0..0.6f64, dry in prop::collection::vec(load(), 1..3), wet in prop::collection::vec(load(), 1..2)) {
        let axle = ranged(0, axle, width);
        let mut terms: Vec<_> = dry.iter().zip(0..).map(|(four, at)| term(2 * at + 1, *four, false)).collect();
        terms.extend(wet.iter().zip(0..).map(|(four, at)| term(2 * at + 101, *four, true)));
        let sum = Sum { shared: [&axle], terms: &terms };
        let any = brute(&axle, &terms, share_of, |term| if term.liquid { vec![0.0, 1.0] } else { vec![1.0] });
        prop_assert!((sum.least_ratio(tongue, gross).0.range.unwrap().low - least(&any)).abs() < 1e-9);
        prop_assert!((sum.most_ratio(tongue, gross).0.range.unwrap().high - most(&any)).abs() < 1e-9);
    }

    /// With every fact stated the worst fill is found exactly: statics, every corner tried.
    #[test]
    fn with_every_fact_stated_the_worst_fill_is_exact(axle in 2.0..4.5f64, dry in prop::collection::vec(load(), 1..4), wet in prop::collection::vec(load(), 0..4)) {
        let exact = |(mass, _, aft, _): &Four| (*mass, 0.0, *aft, 0.0);
        let axle = Input::fixed(axle);
        let mut terms: Vec<_> = dry.iter().zip(0..).map(|(four, at)| term(2 * at + 1, exact(four), false)).collect();
        terms.extend(wet.iter().zip(0..).map(|(four, at)| term(2 * at + 101, exact(four), true)));
        let sum = Sum { shared: [&axle], terms: &terms };
        let any = brute(&axle, &terms, share_of, |term| if term.liquid { vec![0.0, 1.0] } else { vec![1.0] });
        let (bounded, full) = sum.least_ratio(tongue, gross);
        let range = bounded.range.unwrap();
        prop_assert!((range.low - least(&any)).abs() < 1e-9 && (range.high - least(&any)).abs() < 1e-9);
        let fills: Vec<f64> = full.iter().map(|full| f64::from(u8::from(*full))).collect();
        let there = sum.ratio_at(&fills, tongue, gross).range.unwrap();
        prop_assert!((there.low - least(&any)).abs() < 1e-9, "the fill it names is the worst one");
    }

    #[test]
    fn corners_enclose_every_point_of_a_monotone_function(a in 1.0..9.0f64, b in 1.0..9.0f64, wa in 0.0..4.0f64, wb in 0.0..4.0f64, u in 0.0..1.0f64, v in 0.0..1.0f64) {
        let (one, two) = (ranged(1, a, wa), ranged(2, b, wb));
        let bounded = corners([&one, &two], |[a, b]| Some(a * a / b));
        let range = bounded.range.unwrap();
        let inside = (a + u * wa).powi(2) / (b + v * wb);
        prop_assert!(range.low <= inside + 1e-9 && inside <= range.high + 1e-9);
    }
}

/// By hand: 2 to 3 times 10 is 20 to 30; the whole swing of 10 belongs to the one fact that is open.
#[test]
fn the_fact_that_is_open_gets_the_swing() {
    let (open, known) = (ranged(7, 2.0, 1.0), ranged(8, 10.0, 0.0));
    let bounded = corners([&open, &known], |[a, b]| Some(a * b));
    assert_eq!(bounded.range, Range::new(20.0, 30.0));
    assert_eq!(bounded.settle(), [FactId(7)]);
    assert_eq!(bounded.facts.iter().map(|(fact, _)| *fact).collect::<Vec<_>>(), [FactId(7), FactId(8)]);
}

/// What nothing bounds leaves the answer unbounded, and names only what is missing.
#[test]
fn an_input_that_nothing_bounds_is_what_is_asked_for() {
    let missing = Input { range: None, facts: vec![(FactId(3), f64::INFINITY)] };
    let bounded = corners([&missing, &ranged(4, 1.0, 1.0)], |[a, b]| Some(a + b));
    assert_eq!(bounded.range, None);
    assert_eq!(bounded.settle(), [FactId(3)]);
    let terms = [Term { kind: (), inputs: [missing, Input::fixed(1.0)], liquid: false }];
    let axle = Input::fixed(3.0);
    let (bounded, _) = Sum { shared: [&axle], terms: &terms }.least(tongue);
    assert_eq!((bounded.range, bounded.settle()), (None, vec![FactId(3)]));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// A loss that rises with length and flow and falls with bore, against every corner.
    #[test]
    fn a_function_monotone_in_each_input_has_its_ends_where_each_input_has_its_own(inputs in prop::collection::vec((1.0..9.0f64, 0.0..3.0f64), 3..4)) {
        let inputs: Vec<Input> = inputs.iter().zip(1..).map(|((low, width), fact)| ranged(fact, *low, *width)).collect();
        let loss = |x: &[f64]| Some(x[0] * x[1] * x[1] / x[2].powi(5));
        let range = super::monotone(&inputs, loss).range.unwrap();
        let by_corners = corners([&inputs[0], &inputs[1], &inputs[2]], |[a, b, c]| loss(&[a, b, c])).range.unwrap();
        prop_assert!((range.low - by_corners.low).abs() <= 1e-12 * by_corners.high && (range.high - by_corners.high).abs() <= 1e-12 * by_corners.high);
    }
}
