//! Ways of bleach and acid through a worked rig, read off its spec, and a healthy rig that keeps them apart.

use std::path::Path;

use rigproof::figures::paths::{Doubt, Driver, Faults};
use rigproof::inspection::Inspector;
use rigproof::rulebook::card::{Signal, Verdict};
use rigproof::spec::Shelf;
use rigproof::workings::paths::map::{Fluid, Map};

fn inspected(name: &str) -> rigproof::inspection::Inspected {
    let inspector = Inspector::standard().unwrap_or_else(|faults| panic!("{faults:#?}"));
    let specs = Path::new(env!("CARGO_MANIFEST_DIR")).join("specs");
    let bytes = std::fs::read(specs.join(name)).unwrap();
    let open = |path: &str| std::fs::read(specs.join(path)).map_err(|error| error.to_string());
    let inspected = inspector.inspect(name, &bytes, &mut Shelf::default(), &open);
    assert!(inspected.lists[0].problems.is_empty(), "{:#?}", inspected.lists[0].problems);
    assert!(inspected.lists[0].troubles.is_empty(), "{:#?}", inspected.lists[0].troubles);
    inspected
}

/// The same invented rig is drawn by hand in the unit tests of `figures::paths`; there every cell is held against networkx 3.6.1
/// (single_source_dijkstra_path_length). Here its spec has to give the same counts.
#[test]
fn the_worked_rig_has_the_failures_that_a_graph_library_counts() {
    let inspected = inspected("worked/paths.yaml");
    let rig = &inspected.rigs[0].as_ref().unwrap().scene.rig;
    let map = Map::of(rig).unwrap();
    let bleach = map.sources(&[Fluid::Bleach]);
    let cell = |name: &str| {
        let part = rig.part(name).unwrap_or_else(|| panic!("{name}")).entry;
        map.cells_of(|other| other.entry == part)[0]
    };
    let never = None;
    for (mode, wanted) in [
        ("wash", [Some(0), Some(1), Some(1), never, Some(1), Some(2)]),
        ("rinse", [Some(1), Some(2), Some(2), never, Some(3), Some(3)]),
        ("transfer", [Some(2), Some(0), Some(1), never, Some(5), Some(4)]),
        ("store", [Some(2), Some(5), Some(4), never, Some(5), Some(4)]),
    ] {
        let at = (0..map.settings.len()).find(|at| map.mode_name(*at) == mode).unwrap();
        for doubt in [Doubt::LetsThrough, Doubt::Holds] {
            let reach = map.piping.reach(&bleach, &map.settings[at], Driver::Either, doubt);
            let found =
                ["roof-pump", "water", "washer", "tap", "soap", "acid"].map(|name| match reach.faults(cell(name)) {
                    Faults::Count(count) => Some(count),
                    Faults::Never => None,
                });
            assert_eq!(found, wanted, "{mode} {doubt:?}");
        }
    }
}

/// By hand on the drawing: in `wash` one check stands between bleach and the washer, one shut valve between acid and bleach;
/// `wash, then acid-wash` brings acid into a manifold that holds bleach.
#[test]
fn the_worked_rig_prints_the_way_and_the_one_thing_that_stands_between() {
    let inspected = inspected("worked/paths.yaml");
    let items: Vec<_> = inspected.lists[0].items.iter().collect();
    let said = |rule: &str| -> Vec<(Signal, String)> {
        let of = items.iter().filter(|item| item.rule == rule && item.verdict == Verdict::Breaks);
        let under = items.iter().flat_map(|item| {
            item.under.iter().filter(|line| line.rule == rule).map(|line| (Signal::Notice, line.says.clone()))
        });
        of.map(|item| (item.signal, item.says.clone())).chain(under).collect()
    };
    let pump = said("bleach-into-pressure-pump");
    assert_eq!(pump.len(), 1, "{pump:?}");
    for words in [
        "one thing keeps bleach out of washer in wash: water-check",
        "bleach > bleach-out > bleach-meter > bleach-check > manifold > water-check (holds it back) > water-meter > water-out > washer",
    ] {
        assert!(pump[0].1.contains(words), "{words} is not in: {}", pump[0].1);
    }
    let acid = [said("acid-meets-bleach"), said("acid-follows-bleach")].concat();
    assert!(
        acid.iter().any(|(signal, says)| *signal == Signal::Danger && says.contains("wash, then acid-wash")),
        "{acid:#?}"
    );
    assert!(acid.iter().any(|(signal, says)| *signal == Signal::Warning && says.contains("acid-out")), "{acid:#?}");
    // The tap hangs over an air gap: nothing to say of it.
    assert!(said("customer-tap-unprotected").is_empty());
}
