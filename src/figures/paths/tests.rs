//! The fault-distance table of an invented rig, and the search against enumeration by brute force.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::wetting::{Contact, ModeWetting, contact, meeting, meeting_words, shortest_meeting_word};
use super::*;

const SOUND: Element = Element::Check { sound: Some(true) };
const VALVE: Element = Element::Valve(Hold::OwnHandle);
const TUBE: Element = Element::DrawTube { stowed: true };

/// An invented rig: one check on each inlet of the manifold, a shared water header, filling over an air gap, a transfer wand,
/// acid on the manifold through a valve and a check.
const ELEMENTS: [(&str, Element, &str, &str); 24] = [
    ("fill hose", Element::Pipe, "tap", "fill end"),
    ("gap", Element::AirGap { adequate: Some(true) }, "fill end", "water tank"),
    ("water out", VALVE, "water tank", "header"),
    ("washer suction", Element::Pipe, "header", "washer pump"),
    ("washer discharge", Element::Pipe, "washer pump", "injector"),
    ("injector ball", Element::Injector { sound: Some(true) }, "pick-up", "injector"),
    ("pick-up tube", TUBE, "soap pail", "pick-up"),
    ("washer hose", Element::Pipe, "injector", "washer gun"),
    ("bleach out", VALVE, "bleach tank", "bleach line"),
    ("bleach meter", VALVE, "bleach line", "bleach inlet"),
    ("bleach check", SOUND, "bleach inlet", "manifold"),
    ("soap out", VALVE, "soap tank", "soap line"),
    ("soap meter", VALVE, "soap line", "soap inlet"),
    ("soap check", SOUND, "soap inlet", "manifold"),
    ("water feed", Element::Pipe, "header", "water line"),
    ("water meter", VALVE, "water line", "water inlet"),
    ("water check", SOUND, "water inlet", "manifold"),
    ("roof suction", Element::Pipe, "manifold", "roof pump"),
    ("roof discharge", Element::Pipe, "roof pump", "roof hose"),
    ("roof gun", Element::Pipe, "roof hose", "roof end"),
    ("bleach wand", TUBE, "bleach tank", "transfer pump"),
    ("water wand", TUBE, "transfer pump", "water tank"),
    ("acid out", VALVE, "acid tank", "acid line"),
    ("acid check", SOUND, "acid line", "manifold"),
];

const WASH: [&str; 6] = ["water out", "bleach out", "bleach meter", "soap out", "soap meter", "water meter"];
const RINSE: [&str; 4] = ["water out", "bleach out", "soap out", "water meter"];
const TRANSFER: [&str; 2] = ["bleach wand", "water wand"];
const STORE: [&str; 0] = [];
const ACID: [&str; 4] = ["water out", "bleach out", "soap out", "acid out"];

struct Rig {
    piping: Piping,
    names: BTreeMap<&'static str, Node>,
}

impl Rig {
    fn new(change: impl Fn(&str, Element) -> Element) -> Self {
        let mut names = BTreeMap::new();
        let mut edges = Vec::new();
        for (name, element, from, to) in ELEMENTS {
            let mut node = |cell| {
                let next = names.len();
                *names.entry(cell).or_insert(next)
            };
            edges.push(Edge { from: node(from), to: node(to), element: change(name, element) });
        }
        Self { piping: Piping::new(names.len(), edges).unwrap(), names }
    }

    fn node(&self, name: &str) -> Node {
        self.names[name]
    }

    fn reach(&self, source: &str, open: &[&str]) -> Reach {
        self.piping.reach(&[self.node(source)], &setting(open), Driver::Either, Doubt::LetsThrough)
    }

    fn cells(&self, flags: &[bool]) -> Vec<&'static str> {
        self.names.iter().filter(|(_, node)| flags[**node]).map(|(name, _)| *name).collect()
    }
}

fn setting(open: &[&str]) -> Vec<State> {
    ELEMENTS.iter().map(|(name, ..)| if open.contains(name) { State::Open } else { State::Shut }).collect()
}

fn element_name(edge: EdgeId) -> String {
    ELEMENTS[edge].0.to_owned()
}

#[test]
fn fault_distances_of_bleach_on_the_invented_rig() {
    // Counted by hand on the drawing and computed with networkx 3.6.1 (tests/reference/chemistry.py).
    let rig = Rig::new(|_, element| element);
    let cells = ["roof pump", "water tank", "washer pump", "tap", "soap tank", "acid tank"];
    let never = None;
    for (mode, wanted) in [
        (&WASH[..], [Some(0), Some(1), Some(1), never, Some(1), Some(2)]),
        (&RINSE, [Some(1), Some(2), Some(2), never, Some(3), Some(3)]),
        (&TRANSFER, [Some(2), Some(0), Some(1), never, Some(5), Some(4)]),
        (&STORE, [Some(2), Some(5), Some(4), never, Some(5), Some(4)]),
    ] {
        let reach = rig.reach("bleach tank", mode);
        let found = cells.map(|cell| match reach.faults(rig.node(cell)) {
            Faults::Count(count) => Some(count),
            Faults::Never => None,
        });
        assert_eq!(found, wanted, "{mode:?}");
    }
}

#[test]
fn one_check_is_all_that_keeps_bleach_out_of_the_washer() {
    // By hand on the drawing.
    let rig = Rig::new(|_, element| element);
    let witness = rig.reach("bleach tank", &WASH).witness(rig.node("washer pump")).unwrap();
    assert_eq!(
        witness.trail(element_name),
        "bleach out > bleach meter > bleach check > ~water check! > ~water meter > ~water feed > washer suction"
    );
    assert_eq!(witness.stands_between().map(element_name), Some("water check".to_owned()));
    let source = rig.node("bleach tank");
    let lone = rig.piping.lone_barriers(
        &[source],
        rig.node("washer pump"),
        &setting(&WASH),
        Driver::Either,
        Doubt::LetsThrough,
    );
    assert_eq!(lone.into_iter().map(element_name).collect::<Vec<_>>(), ["water check"]);
    let transfer = rig.reach("bleach tank", &TRANSFER).witness(rig.node("washer pump")).unwrap();
    assert_eq!(transfer.trail(element_name), "bleach wand > water wand > water out! > washer suction");
    // Two failures leave no single element to name.
    let rinse = rig.reach("bleach tank", &RINSE).witness(rig.node("washer pump")).unwrap();
    assert_eq!((rinse.faults, rinse.stands_between(), rinse.standing().count()), (2, None, 2));
}

#[test]
fn doubling_the_lone_check_makes_the_rig_stand_a_failure() {
    let double = |name: &str, element| {
        if name == "water check" { Element::TwoChecks { differ: Some(true) } } else { element }
    };
    let rig = Rig::new(double);
    assert_eq!(rig.reach("bleach tank", &WASH).faults(rig.node("washer pump")), Faults::Count(2));
    let none = Rig::new(|name, element| if name == "water check" { Element::Pipe } else { element });
    assert_eq!(none.reach("bleach tank", &WASH).faults(none.node("washer pump")), Faults::Count(0));
}

#[test]
fn a_hose_in_the_tank_lets_bleach_to_the_tap() {
    // By hand and with networkx 3.6.1: wash 1, rinse 2, transfer 0, store 5; with a tested assembly 4, 5, 3, 8.
    let bridged =
        Rig::new(|name, element| if name == "gap" { Element::AirGap { adequate: Some(false) } } else { element });
    let assembly =
        Rig::new(|name, element| if name == "gap" { Element::ReducedPressure { tested: Some(true) } } else { element });
    for (mode, hose, tested) in [(&WASH[..], 1, 4), (&RINSE, 2, 5), (&TRANSFER, 0, 3), (&STORE, 5, 8)] {
        assert_eq!(bridged.reach("bleach tank", mode).faults(bridged.node("tap")), Faults::Count(hose));
        assert_eq!(assembly.reach("bleach tank", mode).faults(assembly.node("tap")), Faults::Count(tested));
    }
}

#[test]
fn acid_meets_bleach_in_the_manifold_by_one_failure() {
    // By hand: bleach is in the manifold when washing; one shut valve holds the acid.
    let rig = Rig::new(|_, element| element);
    let (acid, bleach) = (rig.reach("acid tank", &WASH), rig.reach("bleach tank", &WASH));
    // The whole side from manifold to gun ties; the manifold is the first cell drawn.
    assert_eq!(meeting(&acid, &bleach), Some((1, rig.node("manifold"))));
}

/// Wetting of the invented rig by bleach (bit 0) and acid (bit 1); water clears what it flows through to a gun.
fn wetting(rig: &Rig, open: &[&str], rinses: bool) -> ModeWetting {
    let (bleach, acid) = (rig.reach("bleach tank", open), rig.reach("acid tank", open));
    let outlets = [rig.node("roof end"), rig.node("washer gun")];
    let through = rig.piping.flows_through(&[rig.node("water tank")], &outlets, &setting(open), Doubt::Holds);
    let cells = 0..rig.piping.nodes();
    ModeWetting {
        wets: cells.map(|node| u16::from(bleach.wets(node)) | (u16::from(acid.wets(node)) << 1)).collect(),
        clears: through.into_iter().map(|flows| flows && rinses).collect(),
    }
}

#[test]
fn washing_then_acid_brings_them_together_unless_a_rinse_is_forced() {
    // By hand on the drawing: wash leaves bleach in the manifold, acid follows it.
    let rig = Rig::new(|_, element| element);
    let modes = [wetting(&rig, &WASH, false), wetting(&rig, &RINSE, true), wetting(&rig, &ACID, false)];
    let word = shortest_meeting_word(&modes, 1, 2, |_, _| true).unwrap();
    assert_eq!((word.modes, word.node, word.held), (vec![0, 2], rig.node("manifold"), 3));
    let shared = meeting_words(&modes, 1, 2, |_, _| true);
    let mut flags = vec![false; rig.piping.nodes()];
    shared.iter().for_each(|word| flags[word.node] = true);
    assert_eq!(rig.cells(&flags), ["manifold", "roof end", "roof hose", "roof pump"]);
    // An interlock that forces the rinse between them leaves no way.
    let forced = |from: usize, to: usize| from == to || from == 1 || to == 1;
    assert_eq!(shortest_meeting_word(&modes, 1, 2, forced), None);
    // A rinse that is too short is no rinse.
    let short = [modes[0].clone(), wetting(&rig, &RINSE, false), modes[2].clone()];
    assert_eq!(shortest_meeting_word(&short, 1, 2, forced).unwrap().modes, [0, 1, 2]);
}

#[test]
fn contact_and_trapping_on_the_invented_rig() {
    // By hand: the bleach tank stands wet, the line between its two valves is never rinsed, the roof side is.
    let rig = Rig::new(|_, element| element);
    let used = rig.reach("bleach tank", &WASH).wetted();
    let parked = rig.reach("bleach tank", &STORE).wetted();
    let outlets = [rig.node("roof end"), rig.node("washer gun")];
    let rinsed = rig.piping.flows_through(&[rig.node("water tank")], &outlets, &setting(&RINSE), Doubt::Holds);
    let found = contact(&used, &parked, &rinsed);
    let having = |class| rig.cells(&found.iter().map(|contact| *contact == class).collect::<Vec<bool>>());
    assert_eq!(having(Contact::Continuous), ["bleach inlet", "bleach line", "bleach tank"]);
    assert_eq!(having(Contact::Flushed), ["manifold", "roof end", "roof hose", "roof pump"]);
    // Parked with both bleach valves shut the line between them cannot breathe; past the meter it can, through the gun.
    let vents = [rig.node("bleach tank"), rig.node("roof end")];
    let shut = rig.piping.shut_in(&used, &vents, &setting(&STORE), Doubt::Holds);
    assert_eq!(shut, [rig.node("bleach line")]);
    let eased = rig.piping.shut_in(&used, &vents, &setting(&["bleach out"]), Doubt::Holds);
    assert!(eased.is_empty());
}

#[test]
fn a_dead_leg_is_not_rinsed() {
    // By hand: water (0) through a tee (1) to the gun (2); a stub (3) hangs off the tee.
    let pipe = |from, to| Edge { from, to, element: Element::Pipe };
    let piping = Piping::new(4, vec![pipe(0, 1), pipe(1, 2), pipe(1, 3)]).unwrap();
    assert_eq!(piping.flows_through(&[0], &[2], &[], Doubt::Holds), [true, true, true, false]);
}

#[test]
fn unstated_facts_make_bounds_and_say_what_to_ask() {
    let rig = Rig::new(|name, element| if name == "water check" { Element::Check { sound: None } } else { element });
    let mut states = setting(&WASH);
    let meter = ELEMENTS.iter().position(|(name, ..)| *name == "bleach meter").unwrap();
    states[meter] = State::Unknown;
    let bounds = rig.piping.bounds(&[rig.node("bleach tank")], rig.node("washer pump"), &states, Driver::Either);
    assert_eq!((bounds.least, bounds.most), (Faults::Count(0), Faults::Count(2)));
    assert_eq!(bounds.ask.into_iter().map(element_name).collect::<Vec<_>>(), ["bleach meter", "water check"]);
    let stated = rig.piping.bounds(&[rig.node("bleach tank")], rig.node("tap"), &states, Driver::Either);
    assert_eq!((stated.least, stated.most, stated.ask.len()), (Faults::Never, Faults::Never, 0));
}

#[test]
fn elements_take_the_failures_they_are_credited_with() {
    // Common practice, no source: a check 1, a reduced-pressure assembly 3, an air gap without end.
    let passage = |element: Element, state| element.passage(state, Driver::Either, Doubt::LetsThrough);
    let (zero, one, two) = (Faults::Count(0), Faults::Count(1), Faults::Count(2));
    let shut = |hold| passage(Element::Valve(hold), State::Shut).reverse;
    assert_eq!([Hold::OwnHandle, Hold::SharedLever, Hold::Interlocked].map(shut), [one, zero, two]);
    assert_eq!(passage(VALVE, State::Open), Passage { forward: zero, reverse: zero });
    assert_eq!(passage(VALVE, State::Unknown).forward, zero);
    assert_eq!(VALVE.passage(State::Unknown, Driver::Either, Doubt::Holds).forward, one);
    assert_eq!(passage(SOUND, State::Open), Passage { forward: zero, reverse: one });
    assert_eq!(passage(Element::Check { sound: Some(false) }, State::Open).reverse, zero);
    assert_eq!(passage(Element::TwoChecks { differ: Some(false) }, State::Open).reverse, one);
    assert_eq!(passage(Element::ReducedPressure { tested: Some(false) }, State::Open).reverse, one);
    assert_eq!(passage(Element::DrawTube { stowed: false }, State::Shut), Passage { forward: one, reverse: one });
    assert_eq!(passage(TUBE, State::Shut).forward, Faults::Never);
    assert_eq!(passage(Element::Coupling, State::Shut).forward, Faults::Never);
    for element in [Element::VacuumBreaker, Element::RaisedLoop] {
        let by = |driver| element.passage(State::Open, driver, Doubt::Holds).reverse;
        assert_eq!([Driver::Siphon, Driver::Pressure, Driver::Either].map(by), [one, zero, zero]);
    }
}

#[test]
fn a_valve_in_mid_turn_joins_its_ports() {
    let port = |from| Edge { from, to: 2, element: VALVE };
    let piping = Piping::new(3, vec![port(0), port(1)]).unwrap();
    let set = [State::Open, State::Shut];
    let reach = |states: &[State]| piping.reach(&[0], states, Driver::Either, Doubt::LetsThrough).faults(1);
    assert_eq!(reach(&set), Faults::Count(1));
    assert_eq!(reach(&mid_turn(&set, &[0, 1])), Faults::Count(0));
}

#[test]
fn edges_to_nowhere_are_refused() {
    let edge = |from, to| Edge { from, to, element: Element::Pipe };
    assert!(Piping::new(2, vec![edge(0, 2)]).is_none());
    assert!(Piping::new(2, vec![edge(2, 0)]).is_none());
    let piping = Piping::new(2, vec![edge(0, 1)]).unwrap();
    let reach = piping.reach(&[7], &[], Driver::Either, Doubt::LetsThrough);
    assert_eq!((reach.faults(1), reach.faults(9), reach.witness(1)), (Faults::Never, Faults::Never, None));
}

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
        (nodes, edges, states) in any_piping(), driver in any_driver(),
    ) {
        let tolls: Vec<Passage> = edges
            .iter()
            .zip(&states)
            .map(|(edge, state)| edge.element.passage(*state, driver, Doubt::Holds))
            .collect();
        let plain = |cost: Faults| matches!(cost, Faults::Count(0 | 1) | Faults::Never);
        prop_assume!(tolls.iter().all(|toll| plain(toll.forward) && plain(toll.reverse)));
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
        // Four modes and three contents make twelve states a cell, so no shortest word is longer than twelve.
        match (found.map(|word| word.modes.len()), wanted) {
            (Some(length), None) => prop_assert!(length > 6),
            (found, wanted) => prop_assert_eq!(found, wanted),
        }
    }
}
