//! The search against trying every way, every set of failed elements and every word of modes.

use proptest::prelude::*;

use super::wetting::{ModeWetting, meets_on_the_way, shortest_meeting_word};
use super::*;

fn any_element() -> impl Strategy<Value = Element> {
    let fact = || prop_oneof![Just(None), any::<bool>().prop_map(Some)];
    prop_oneof![
        Just(Element::Pipe),
        prop_oneof![Just(Hold::OwnHandle), Just(Hold::SharedLever), Just(Hold::Interlocked)].prop_map(Element::Valve),
        fact().prop_map(|sound| Element::Check { sound }),
        fact().prop_map(|differ| Element::TwoChecks { differ }),
        fact().prop_map(|sound| Element::Injector { sound }),
        fact().prop_map(|tested| Element::ReducedPressure { tested }),
        Just(Element::VacuumBreaker),
        Just(Element::RaisedLoop),
        fact().prop_map(|adequate| Element::AirGap { adequate }),
        any::<bool>().prop_map(|stowed| Element::DrawTube { stowed }),
        Just(Element::Coupling),
    ]
}

fn any_state() -> impl Strategy<Value = State> {
    prop_oneof![Just(State::Open), Just(State::Shut), Just(State::Unknown)]
}

fn any_driver() -> impl Strategy<Value = Driver> {
    prop_oneof![Just(Driver::Siphon), Just(Driver::Pressure), Just(Driver::Either)]
}

prop_compose! {
    /// Up to six cells and nine elements with their states.
    fn any_piping()(nodes in 2_usize..=6)(
        nodes in Just(nodes),
        parts in prop::collection::vec((0..nodes, 0..nodes, any_element(), any_state()), 1..=9),
    ) -> (usize, Vec<Edge>, Vec<State>) {
        let edges = parts.iter().map(|(from, to, element, _)| Edge { from: *from, to: *to, element: *element }).collect();
        (nodes, edges, parts.iter().map(|part| part.3).collect())
    }
}

/// Least failures over every way that visits no cell twice, by trying them all.
fn by_enumeration(edges: &[Edge], tolls: &[Passage], here: Node, target: Node, seen: &mut Vec<Node>) -> Faults {
    if here == target {
        return Faults::Count(0);
    }
    seen.push(here);
    let mut least = Faults::Never;
    for (edge, toll) in edges.iter().zip(tolls) {
        for (from, to, cost) in [(edge.from, edge.to, toll.forward), (edge.to, edge.from, toll.reverse)] {
            if from == here && !seen.contains(&to) {
                least = least.min(cost.and(by_enumeration(edges, tolls, to, target, seen)));
            }
        }
    }
    seen.pop();
    least
}

/// Least number of elements that must fail, by trying every set of failed elements. Only for counts of nought and one.
fn by_failing_sets(edges: &[Edge], tolls: &[Passage], source: Node, target: Node) -> Faults {
    let passes = |cost: Faults, failed: bool| cost == Faults::Count(0) || (failed && cost == Faults::Count(1));
    let mut least = Faults::Never;
    for failed in 0_u32..1 << edges.len() {
        let mut wet = vec![source];
        let mut next = 0;
        while let Some(&here) = wet.get(next) {
            next += 1;
            for (index, (edge, toll)) in edges.iter().zip(tolls).enumerate() {
                let open = failed & (1 << index) != 0;
                for (from, to, cost) in [(edge.from, edge.to, toll.forward), (edge.to, edge.from, toll.reverse)] {
                    if from == here && passes(cost, open) && !wet.contains(&to) {
                        wet.push(to);
                    }
                }
            }
        }
        if wet.contains(&target) {
            least = least.min(Faults::Count(failed.count_ones()));
        }
    }
    least
}

proptest! {
    #[test]
    fn the_search_finds_what_trying_every_way_finds(
        (nodes, edges, states) in any_piping(), driver in any_driver(), holds in any::<bool>(),
    ) {
        let doubt = if holds { Doubt::Holds } else { Doubt::LetsThrough };
        let tolls: Vec<Passage> =
            edges.iter().zip(&states).map(|(edge, state)| edge.element.passage(*state, driver, doubt)).collect();
        let piping = Piping::new(nodes, edges.clone()).unwrap();
        let reach = piping.reach(&[0], &states, driver, doubt);
        for target in 0..nodes {
            let wanted = by_enumeration(&edges, &tolls, 0, target, &mut Vec::new());
            prop_assert_eq!(reach.faults(target), wanted);
            let Some(witness) = reach.witness(target) else {
                prop_assert_eq!(wanted, Faults::Never);
                continue;
            };
            // The witness is a real way: joined end to end, each step at its own count, adding up.
            let mut here = 0;
            let mut sum = Faults::Count(0);
            for step in &witness.steps {
                let (edge, toll) = (edges[step.edge], tolls[step.edge]);
                let (ends, cost) = if step.forward {
                    ((edge.from, edge.to), toll.forward)
                } else {
                    ((edge.to, edge.from), toll.reverse)
                };
                prop_assert_eq!((step.from, step.to), ends);
                prop_assert_eq!(step.from, here);
                prop_assert_eq!(Faults::Count(step.faults), cost);
                sum = sum.and(cost);
                here = step.to;
            }
            prop_assert_eq!(here, target);
            prop_assert_eq!(sum, wanted);
            prop_assert_eq!(Faults::Count(witness.faults), wanted);
        }
    }

    #[test]
    fn the_fault_distance_is_the_fewest_elements_that_must_fail(
        (nodes, mut edges, states) in any_piping(), driver in any_driver(),
    ) {
        // An element with several failures to its name is several barriers; only single ones can be tried as a set.
        let single = |cost: Faults| matches!(cost, Faults::Count(0 | 1) | Faults::Never);
        let mut tolls = Vec::new();
        for (edge, state) in edges.iter_mut().zip(&states) {
            let toll = edge.element.passage(*state, driver, Doubt::Holds);
            if !single(toll.forward) || !single(toll.reverse) {
                edge.element = Element::Check { sound: Some(true) };
            }
            tolls.push(edge.element.passage(*state, driver, Doubt::Holds));
        }
        let piping = Piping::new(nodes, edges.clone()).unwrap();
        let reach = piping.reach(&[0], &states, driver, Doubt::Holds);
        for target in 0..nodes {
            prop_assert_eq!(reach.faults(target), by_failing_sets(&edges, &tolls, 0, target));
        }
    }

    #[test]
    fn a_lone_barrier_is_one_whose_failure_is_enough(
        (nodes, edges, states) in any_piping(), driver in any_driver(),
    ) {
        let piping = Piping::new(nodes, edges.clone()).unwrap();
        for target in 1..nodes {
            let lone = piping.lone_barriers(&[0], target, &states, driver, Doubt::Holds);
            let distance = piping.reach(&[0], &states, driver, Doubt::Holds).faults(target);
            for index in 0..edges.len() {
                // Failing an element with a single failure to its name in a direction lets fluid pass that way.
                let toll = edges[index].element.passage(states[index], driver, Doubt::Holds);
                let mut opened = Vec::new();
                for (from, to, cost) in [
                    (edges[index].from, edges[index].to, toll.forward),
                    (edges[index].to, edges[index].from, toll.reverse),
                ] {
                    if cost == Faults::Count(1) {
                        // A one-way pipe: an air gap joins forward and never in reverse.
                        opened.push(Edge { from, to, element: Element::AirGap { adequate: Some(true) } });
                    }
                }
                let more: Vec<Edge> = edges.iter().copied().chain(opened).collect();
                let failed = Piping::new(nodes, more).unwrap();
                let states: Vec<State> = states.iter().copied().chain([State::Open; 2]).collect();
                let through = failed.reach(&[0], &states, driver, Doubt::Holds).wets(target);
                prop_assert_eq!(lone.contains(&index), distance == Faults::Count(1) && through);
            }
        }
    }

    #[test]
    fn bounds_hold_every_reading_and_ask_only_when_they_differ(
        (nodes, edges, states) in any_piping(), driver in any_driver(), opened in any::<u16>(),
    ) {
        let piping = Piping::new(nodes, edges).unwrap();
        let guess = |(index, state): (usize, &State)| match state {
            State::Unknown if opened & (1 << index) != 0 => State::Open,
            State::Unknown => State::Shut,
            stated => *stated,
        };
        let guessed: Vec<State> = states.iter().enumerate().map(guess).collect();
        for target in 0..nodes {
            let bounds = piping.bounds(&[0], target, &states, driver);
            prop_assert_eq!(bounds.ask.is_empty(), bounds.least == bounds.most);
            for doubt in [Doubt::LetsThrough, Doubt::Holds] {
                let faults = piping.reach(&[0], &guessed, driver, doubt).faults(target);
                prop_assert!(bounds.least <= faults && faults <= bounds.most);
            }
        }
    }

    #[test]
    fn the_meeting_word_is_as_short_as_trying_every_word_finds(
        modes in prop::collection::vec(
            prop::collection::vec((0_u16..4, any::<bool>()), 3), 1..=4),
        allowed in any::<u16>(),
    ) {
        let wettings: Vec<ModeWetting> = modes
            .iter()
            .map(|cells| ModeWetting {
                wets: cells.iter().map(|cell| cell.0).collect(),
                clears: cells.iter().map(|cell| cell.1).collect(),
            })
            .collect();
        let may_follow = |from: usize, to: usize| allowed & (1 << (4 * from + to)) != 0;
        let found = shortest_meeting_word(&wettings, 1, 2, may_follow);
        // Every word up to six modes, all cells together.
        let mut words: Vec<(Vec<usize>, Vec<u16>)> = vec![(Vec::new(), vec![0; 3])];
        let mut wanted = None;
        'length: for length in 1..=6 {
            let mut longer = Vec::new();
            for (word, held) in &words {
                for (index, mode) in wettings.iter().enumerate() {
                    if word.last().is_some_and(|last| !may_follow(*last, index)) {
                        continue;
                    }
                    let together: Vec<u16> = held.iter().zip(&mode.wets).map(|(held, wets)| held | wets).collect();
                    if together.contains(&3) {
                        wanted = Some(length);
                        break 'length;
                    }
                    let left = (0..3).map(|cell| if mode.clears[cell] { mode.wets[cell] } else { together[cell] });
                    longer.push((word.iter().copied().chain([index]).collect(), left.collect()));
                }
            }
            words = longer;
        }
        // The word found meets at its last mode and not before.
        if let Some(word) = &found {
            let at = meets_on_the_way(&wettings, &word.modes, 1, 2).map(|(place, _)| place);
            prop_assert_eq!(at, Some(word.modes.len() - 1));
        }
        // Four modes and three contents make twelve states a cell, so no shortest word is longer than twelve.
        match (found.map(|word| word.modes.len()), wanted) {
            (Some(length), None) => prop_assert!(length > 6),
            (found, wanted) => prop_assert_eq!(found, wanted),
        }
    }
}
