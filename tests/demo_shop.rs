//! The demo shop plays its part: healthy rigs are clean, the first draft has the faults planted in it and no others, a thin offer
//! and a bare name get questions and no verdict.

use std::path::Path;

use rigproof::inspection::{Inspected, Inspector};
use rigproof::punchlist::{Item, PunchList};
use rigproof::rulebook::card::{Signal, Verdict};
use rigproof::spec::Shelf;

fn inspector() -> Inspector {
    Inspector::standard().unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn inspect(inspector: &Inspector, name: &str, bytes: &[u8]) -> Inspected {
    let specs = Path::new(env!("CARGO_MANIFEST_DIR")).join("specs");
    let open = |path: &str| std::fs::read(specs.join(path)).map_err(|error| error.to_string());
    inspector.inspect(name, bytes, &mut Shelf::default(), &open)
}

fn file(inspector: &Inspector, name: &str) -> PunchList {
    let bytes = std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("specs").join(name)).unwrap();
    let list = inspect(inspector, name, &bytes).lists.remove(0);
    assert!(list.problems.is_empty(), "{name}: {:#?}", list.problems);
    assert!(list.troubles.is_empty(), "{name}: {:#?}", list.troubles);
    list
}

fn told(item: &Item) -> String {
    format!("{} {} at {}: {}", item.signal, item.rule, item.place, item.says)
}

#[test]
fn healthy_rigs_raise_no_danger_warning_or_caution() {
    let inspector = inspector();
    for name in ["tandem-roof-rig.yaml", "pickup-skid.yaml", "open-trailer.yaml"] {
        let list = file(&inspector, name);
        let raised: Vec<String> = list.items.iter().filter(|item| item.signal > Signal::Notice).map(told).collect();
        assert!(raised.is_empty(), "{name}:\n{}", raised.join("\n"));
    }
}

#[derive(serde::Deserialize)]
struct Planted {
    rule: String,
    at: String,
}

/// Every planted fault is on the list at its place, as an item or under the item that causes it; nothing else of caution or worse is.
#[test]
fn the_first_draft_has_the_faults_planted_in_it_and_no_others() {
    let inspector = inspector();
    let list = file(&inspector, "first-draft.yaml");
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/specs/first-draft.faults.yaml")).unwrap();
    let planted: Vec<Planted> = serde_yaml::from_str(&text).unwrap();
    let broken: Vec<&Item> = list.items.iter().filter(|item| item.verdict == Verdict::Breaks).collect();
    let inside =
        |place: &str, at: &str| place == at || place.strip_prefix(at).is_some_and(|rest| rest.starts_with(['.', '[']));
    let missed: Vec<String> = planted
        .iter()
        .filter(|fault| {
            !broken.iter().any(|item| {
                (item.rule == fault.rule && inside(item.place.as_str(), &fault.at))
                    || item.under.iter().any(|line| line.rule == fault.rule && inside(line.place.as_str(), &fault.at))
            })
        })
        .map(|fault| format!("{} at {}", fault.rule, fault.at))
        .collect();
    assert!(missed.is_empty(), "planted and not found:\n{}", missed.join("\n"));
    let strange: Vec<String> = broken
        .iter()
        .filter(|item| item.signal > Signal::Notice)
        .filter(|item| !planted.iter().any(|fault| fault.rule == item.rule && inside(item.place.as_str(), &fault.at)))
        .map(|item| told(item))
        .collect();
    assert!(strange.is_empty(), "found and not planted:\n{}", strange.join("\n"));
}

#[test]
fn a_spec_that_says_only_its_name_gets_questions_and_no_verdict() {
    let inspector = inspector();
    let list = inspect(&inspector, "name.yaml", b"rigproof: 1\nname: nothing but a name\n").lists.remove(0);
    assert!(list.problems.is_empty() && list.troubles.is_empty(), "{:#?} {:#?}", list.problems, list.troubles);
    let judged: Vec<String> = list.items.iter().filter(|item| item.verdict == Verdict::Breaks).map(told).collect();
    assert!(judged.is_empty(), "{}", judged.join("\n"));
    assert!(
        list.not_stated.len() >= 5 && list.not_stated.iter().take(5).all(|fact| fact.ask.is_some()),
        "{:#?}",
        list.not_stated
    );
}

#[test]
fn a_thin_offer_gets_questions_and_only_what_it_states_is_judged() {
    let inspector = inspector();
    let list = file(&inspector, "sellers-offer.yaml");
    let judged: Vec<String> = list
        .items
        .iter()
        .filter(|item| item.verdict == Verdict::Breaks && item.signal > Signal::Notice)
        .map(told)
        .collect();
    assert!(judged.is_empty(), "{}", judged.join("\n"));
    assert!(list.not_stated.len() >= 10);
    let silent: Vec<String> =
        list.not_stated.iter().filter(|fact| fact.ask.is_none()).map(|fact| fact.place.to_string()).collect();
    assert!(silent.is_empty(), "no question to ask for {}", silent.join(", "));
}
