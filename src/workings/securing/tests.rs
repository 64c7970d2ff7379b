use std::sync::{Arc, OnceLock};

use proptest::prelude::*;

use super::*;
use crate::inspection::{Inspector, Judged};
use crate::rulebook::card::Verdict;
use crate::rulebook::{Findings, Rulebook};
use crate::spec::Shelf;
use crate::trial::demo_shop;
use crate::workings::Property;

const LB: f64 = 0.453_592_37;
const INCH: f64 = 0.0254;
/// Pound-force, N: standard gravity (CGPM 1901) times the pound.
const LBF: f64 = LB * 9.806_65;

/// An inspector with the rules of this chapter and the assumptions, whatever the others are.
fn inspector() -> &'static Inspector {
    static ONE: OnceLock<Inspector> = OnceLock::new();
    ONE.get_or_init(|| {
        let files: Vec<_> = Rulebook::standard_files()
            .into_iter()
            .filter(|(path, _)| *path == "assumptions.yaml" || path.starts_with("securing/"))
            .collect();
        Inspector::new(Rulebook::from_files(&files).unwrap())
    })
}

fn judge(text: &str) -> Judged {
    let open = |path: &str| demo_shop(path.trim_start_matches("../")).ok_or_else(|| "no such file".to_owned());
    inspector()
        .figure("test.yaml", text.as_bytes(), &mut Shelf::default(), &open)
        .map_err(|(_, problems)| problems)
        .unwrap()
}

fn demo(name: &str) -> String {
    String::from_utf8(demo_shop(name).unwrap()).unwrap()
}

fn range(judged: &Judged, part: &str, name: &'static str) -> Option<Range> {
    let part = judged.scene.rig.part(part).unwrap();
    judged.scene.sheet.range(SubjectId(part.entry.0), name)
}

fn value(judged: &Judged, part: &str, name: &'static str) -> f64 {
    let range = range(judged, part, name).unwrap();
    assert!(range.is_point(), "{name} is {range:?}");
    range.low
}

/// What a rule finds: the worst of its findings.
fn verdict(judged: &Judged, rule: &str) -> Option<Verdict> {
    let rulebook = &inspector().rulebook;
    let number = rulebook.rules.iter().position(|known| known.card.id == rule).unwrap();
    let mut findings = Findings::default();
    rulebook.run_one(&Arc::clone(&judged.scene), number, &mut findings);
    assert!(findings.faults.is_empty(), "{:?}", findings.faults);
    let has = |verdict| findings.found.iter().any(|finding| finding.verdict == verdict);
    [Verdict::Breaks, Verdict::CannotSay].into_iter().find(|verdict| has(*verdict))
}

#[track_caller]
fn close(got: f64, want: f64, part: f64) {
    assert!((got - want).abs() <= part * want.abs(), "got {got}, want {want}");
}

#[test]
fn every_figure_is_entered_for_every_part() {
    for name in [
        "first-draft.yaml",
        "tandem-roof-rig.yaml",
        "pickup-skid.yaml",
        "open-trailer.yaml",
        "sellers-offer.yaml",
        "worked/skid.yaml",
    ] {
        let judged = judge(&demo(name));
        for (part, entry) in judged.scene.rig.parts() {
            for card in CARDS {
                let entered = judged.scene.sheet.property(SubjectId(entry.entry.0), card.name);
                assert!(matches!(entered, Some(Property::Figure(_))), "{name}: {part} has no {}", card.name);
            }
        }
    }
}

#[test]
fn one_light_strap_on_a_full_tank_counts_for_its_anchor() {
    // 49 CFR 393.106(d) and 393.108(a), by hand: 100 gal x 8.33 lb + 68 lb = 901 lb, half of it 451; min(400, 300) laid across.
    let judged = judge(&demo("first-draft.yaml"));
    close(value(&judged, "water", "hold-needed") / LB, 450.5, 2e-3);
    close(value(&judged, "water", "counted-load") / LB, 300.0, 1e-9);
    close(value(&judged, "water", "load-short") / LB, 150.5, 5e-3);
}

#[test]
fn a_skid_frame_is_one_article_with_what_stands_on_it() {
    // Statics, by hand: 240 + 60 + 834 + 22 + 350 + 290 + 84 + 190 = 2070 lb; its moments over the bed floor 240x8 + 60x16 +
    // 834x14.0208 + 22x16 + 350x14.4219 + 290x20 + 84x12 + 190x28 = 32,101 lb in, so 15.51 in up. 49 CFR 393.106(d): 1035 lb;
    // 393.102(b): 414 lb. The frame is drawn long enough here to reach under the reels, and the tools are tied to the bed.
    let text = demo("worked/skid.yaml").replace("size: 72 in x 60 in x 4 in", "size: 95 in x 60 in x 4 in").replace(
        "    weight: 90 lb",
        "    weight: 90 lb\n    tied-with: { bolts: \"2\", bolt-size: 3/8 in, into: panel }",
    );
    let judged = judge(&text);
    close(value(&judged, "frame", "article-weight") / LB, 2070.0, 1e-6);
    close(value(&judged, "frame", "hold-needed") / LB, 1035.0, 1e-6);
    close(value(&judged, "frame", "downforce-needed") / LB, 414.0, 1e-6);
    close(value(&judged, "frame", "rows-needed") / INCH / 1.6, 15.51, 5e-4);
    // Side by side s/(2h): 60 in / (2 x 15.51 in) = 1.93 g.
    close(value(&judged, "frame", "tip-side") / 9.806_65, 1.93, 3e-3);
    // As drawn the frame ends short of the reels, and nobody says they hang on it.
    let apart = judge(&demo("worked/skid.yaml"));
    close(value(&apart, "frame", "article-weight") / LB, 2070.0 - 190.0 + 90.0, 1e-6);
}

#[test]
fn straps_to_the_corners_of_a_skid_count_by_half() {
    // 49 CFR 393.106(d) and the table to 393.108, by hand: 4 x 1/2 x 2,000 lb = 4,000 lb.
    let text = demo("worked/skid.yaml").replace(
        "    weight: 240 lb",
        "    weight: 240 lb\n    tied-with: { straps: \"4\", working-load: 2000 lb, anchor-load: 2500 lb, width: 2 in, across: no }",
    );
    let judged = judge(&text);
    close(value(&judged, "frame", "strap-load") / LB, 4000.0, 1e-9);
    close(value(&judged, "frame", "strap-unmarked") / LB, 2000.0, 1e-9);
    assert_eq!(verdict(&judged, "straps-too-weak"), None);
}

#[test]
fn bolts_of_a_tall_tank_see_shear_and_uplift() {
    // Statics, by hand: 889 lb, 20 in up, rows 24 in apart, 0.8 g, 2 + 2 bolts: 177.8 lb of shear and 148.2 / 2 lb of uplift each.
    let text = "rigproof: 1\nname: bolts\ntrailer: { body: enclosed }\nparts:\n  block: { kind: ballast, size: 24 in x 60 in x 40 in, weight: 889 lb, tied-with: { bolts: 4, bolt-size: 3/8 in, bolt-grade: \"5\", rows-apart: 24 in, columns-apart: 60 in, into: crossmember } }\n";
    let judged = judge(text);
    close(value(&judged, "block", "bolt-shear") / LBF, 177.8, 1e-9);
    close(value(&judged, "block", "bolt-uplift") / LBF, 74.083_333, 1e-6);
    // 0.45 x 120 ksi x pi/4 (3/8 in)2 / 2 (form of AISC 360 J3, SAE J429 grade 5, from memory): 2,982 lb.
    close(value(&judged, "block", "bolt-shear-holds") / LBF, 2982.06, 1e-5);
    // The same bolt through 3/4 in plywood: 0.375 x 0.75 x 3350 / 4 = 235.5 lb (form of NDS yield mode I, from memory).
    let wood = judge(
        &text
            .replace("body: enclosed", "body: enclosed, floor: { panel: 24oc, thickness: 3/4 in }")
            .replace("into: crossmember", "into: washer"),
    );
    close(value(&wood, "block", "bolt-shear-holds") / LBF, 235.547, 1e-4);
}

#[test]
fn what_nobody_mentions_beside_a_stated_way_is_not_there() {
    let spec = |ties: &str| {
        judge(&format!(
            "rigproof: 1\nname: ties\ntrailer: {{ body: enclosed }}\nparts:\n  block: {{ kind: ballast, size: 24 in x 24 in x 10 in, weight: 100 lb, tied-with: {ties} }}\n"
        ))
    };
    let straps = spec("{ straps: 2, working-load: 500 lb, anchor-load: 500 lb, across: yes }");
    assert_eq!(value(&straps, "block", "bolt-count"), 0.0);
    let told = spec("{ straps: 2, bolt-size: 3/8 in }");
    assert_eq!(range(&told, "block", "bolt-count"), None);
    let nothing = spec("{ straps: unknown }");
    assert_eq!(range(&nothing, "block", "tie-downs"), None);
}

fn article(kind: &str, weight: f64, ties: &str) -> Judged {
    judge(&format!(
        "rigproof: 1\nname: weight\ntrailer: {{ body: open, floor: {{ thickness: 3/4 in }} }}\nparts:\n  block: {{ kind: {kind}, size: 80 in x 24 in x 40 in, weight: {weight:.3} lb, tied-with: {ties} }}\n"
    ))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn more_weight_never_asks_for_less(
        light in 0.0..3000.0f64,
        more in 0.0..3000.0f64,
        straps in 1u8..5,
        bolts in 1u8..9,
        kind in prop::sample::select(vec!["ballast", "rack", "tool", "washer"]),
        blocked in prop::sample::select(vec!["blocked: yes, ", "blocked: no, ", ""]),
        across in prop::sample::select(vec!["across: yes, ", "across: no, ", ""]),
    ) {
        let ties = format!("{{ {blocked}{across}straps: {straps}, working-load: 500 lb, bolts: {bolts}, bolt-size: 3/8 in, into: washer }}");
        let (one, two) = (article(kind, light, &ties), article(kind, light + more, &ties));
        for name in ["hold-needed", "strap-needed", "each-strap-needs", "tie-downs-needed", "tie-downs-wanted", "downforce-needed", "load-short", "bolt-shear", "bolt-uplift"] {
            let (one, two) = (range(&one, "block", name).unwrap(), range(&two, "block", name).unwrap());
            prop_assert!(one.low <= two.low + 1e-9 && one.high <= two.high + 1e-9, "{} falls from {:?} to {:?}", name, one, two);
        }
    }

    /// Whatever stamp is read later, within what was allowed for, the figures stay within the bound and no verdict is taken back.
    #[test]
    fn reading_the_stamp_never_takes_a_verdict_back(
        weight in 0.0..9000.0f64,
        width in prop::sample::select(vec![None, Some(1.0), Some(1.75), Some(2.0), Some(3.0), Some(4.0)]),
        straps in 1u8..5,
        share in 0.0..1.0f64,
        anchor in prop::sample::select(vec!["", "anchor-load: 400 lb, ", "anchor-load: 3000 lb, "]),
        across in prop::sample::select(vec!["across: yes, ", "across: no, ", ""]),
    ) {
        let width = width.map_or(String::new(), |width| format!("width: {width} in, "));
        let ties = |stamp: &str| format!("{{ {anchor}{across}{width}{stamp}straps: {straps} }}");
        let unread = article("ballast", weight, &ties(""));
        let part = unread.scene.rig.part("block").unwrap();
        let allowed = unread.scene.rig.known(part.common.tied_with.working_load).unwrap();
        let stamp = allowed.low + share * allowed.width();
        let read = article("ballast", weight, &ties(&format!("working-load: {stamp:.6} kg, ")));
        for name in ["strap-holds", "strap-load", "counted-load", "load-short", "hold-down", "downforce-short"] {
            let (before, after) = (range(&unread, "block", name).unwrap(), range(&read, "block", name).unwrap());
            prop_assert!(before.low <= after.low + 1e-6 && after.high <= before.high + 1e-6, "{}: {:?} outside {:?}", name, after, before);
        }
        for rule in ["straps-too-weak", "open-load-needs-downforce"] {
            let (before, after) = (verdict(&unread, rule), verdict(&read, rule));
            prop_assert!(before == Some(Verdict::CannotSay) || before == after, "{}: {:?} becomes {:?}", rule, before, after);
            // A stamp that nobody read never passes, unless the part weighs nothing.
            prop_assert!(before.is_some() || weight < 0.001, "{} passes without a stamp", rule);
        }
    }
}
