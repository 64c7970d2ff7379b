//! Paths, meetings, contact and trapping on an invented rig drawn by hand.

use std::collections::BTreeMap;

use super::wetting::{
    Contact, ModeWetting, contact, meeting, meeting_words, meets_on_the_way, mode_that_parts, shortest_meeting_word,
};
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
fn every_cell_is_as_far_as_a_general_graph_library_says() {
    // networkx 3.6.1, single_source_dijkstra_path_length, through tests/reference/chemistry.py.
    let rig = Rig::new(|_, element| element);
    let text = include_str!("../../../tests/reference/chemistry.csv");
    let mut rows = 0;
    for line in text.lines().filter_map(|line| line.strip_prefix("path,")) {
        let (mode, rest) = line.split_once(": ").unwrap();
        let (source, rest) = rest.split_once(" > ").unwrap();
        let (cell, value) = rest.split_once(",,").unwrap();
        let open = match mode {
            "wash" => &WASH[..],
            "rinse" => &RINSE,
            "transfer" => &TRANSFER,
            "store" => &STORE,
            "acid" => &ACID,
            other => panic!("no such mode: {other}"),
        };
        let wanted = value.parse().map_or(Faults::Never, Faults::Count);
        assert_eq!(wanted == Faults::Never, value == "never");
        assert_eq!(rig.reach(source, open).faults(rig.node(cell)), wanted, "{line}");
        rows += 1;
    }
    assert_eq!(rows, 5 * 2 * rig.piping.nodes());
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
    assert_eq!((&word.modes[..], word.node, word.held), (&[0, 2][..], rig.node("manifold"), 3));
    let shared = meeting_words(&modes, 1, 2, |_, _| true);
    let mut flags = vec![false; rig.piping.nodes()];
    shared.iter().for_each(|word| flags[word.node] = true);
    assert_eq!(rig.cells(&flags), ["manifold", "roof end", "roof hose", "roof pump"]);
    // An interlock that forces the rinse between them leaves no way.
    let forced = |from: usize, to: usize| from == to || from == 1 || to == 1;
    assert_eq!(shortest_meeting_word(&modes, 1, 2, forced), None);
    // The rinse is what to put in between; it clears every cell the two would share.
    assert_eq!(mode_that_parts(&modes, &word.modes, 1, 2), Some(1));
    assert_eq!(meets_on_the_way(&modes, &[0, 1, 2], 1, 2), None);
    assert_eq!(meets_on_the_way(&modes, &[1, 2, 0], 1, 2), Some((2, rig.node("manifold"))));
    // A rinse that is too short is no rinse.
    let short = [modes[0].clone(), wetting(&rig, &RINSE, false), modes[2].clone()];
    assert_eq!(shortest_meeting_word(&short, 1, 2, forced).unwrap().modes, [0, 1, 2]);
    assert_eq!(mode_that_parts(&short, &[0, 2], 1, 2), None);
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
