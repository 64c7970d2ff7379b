//! What `rulebook prove` holds a rule to beside its trials.

use rigproof::inspection::Inspector;
use rigproof::rulebook::Rulebook;
use rigproof::trial;

const CARD: &str = r#"const CARD = #{ signal: "warning", title: "T", reason: "R.", source: "S", each: "trailer" };"#;
const INSPECT: &str = "\nfn inspect(trailer) { trailer.jack.below(trailer.ratings.gross).flag(#{ says: \"s\", unsure: \"u\", at: trailer.jack }) }";
const TRIALS: &str = "\
- { trial: weak, start: { trailer: { jack: 1000 lb, ratings: { gross: 3000 lb } } }, expect: flagged }
- { trial: strong, start: { trailer: { jack: 4000 lb, ratings: { gross: 3000 lb } } }, expect: clear }
- { trial: not stated, start: { trailer: { ratings: { gross: 3000 lb } } }, expect: open, settle: [trailer.jack] }
";

/// What is amiss with one rule and its trials.
fn amiss(script: &str, trials: &str) -> Vec<String> {
    let files = [("a/weak-jack.rhai", script), ("a/weak-jack.trials.yaml", trials)];
    let inspector = Inspector::new(Rulebook::from_files(&files).unwrap());
    trial::prove(&inspector, &files, &trial::demo_shop).into_iter().filter_map(|outcome| outcome.amiss).collect()
}

/// Takes the trials of one answer out.
fn without(expect: &str) -> String {
    TRIALS.lines().filter(|line| !line.contains(&format!("expect: {expect}"))).map(|line| format!("{line}\n")).collect()
}

#[test]
fn a_rule_with_a_trial_for_each_answer_is_proved() {
    assert_eq!(amiss(&format!("{CARD}{INSPECT}"), TRIALS), [""; 0]);
}

#[test]
fn each_answer_without_a_trial_is_told() {
    let script = format!("{CARD}{INSPECT}");
    assert_eq!(amiss(&script, &without("flagged")), ["no trial shows a rig that is flagged"]);
    assert_eq!(amiss(&script, &without("clear")), ["no trial shows a rig that is clear"]);
    assert_eq!(amiss(&script, &without("open")), ["it has words for `unsure`, but no trial in which it can't say"]);
    assert_eq!(amiss(&script.replace("warning", "notice"), &without("flagged")), [""; 0], "a notice may only ask");
    let inspector = Inspector::new(Rulebook::from_files(&[("a/weak-jack.rhai", script.as_str())]).unwrap());
    let outcomes = trial::prove(&inspector, &[], &trial::demo_shop);
    assert!(outcomes.iter().any(|outcome| outcome.amiss.as_deref() == Some("it has no trials")), "{outcomes:?}");
}

#[test]
fn a_rule_that_cannot_see_its_input_does_not_pass() {
    let script = format!("{CARD}{INSPECT}")
        .replace("each: \"trailer\"", "each: \"vent\"")
        .replace("trailer.jack", "trailer.height")
        .replace("trailer.ratings.gross", "trailer.height");
    let trials = "- { trial: no vent, start: { trailer: { jack: 1 lb } }, expect: not-applicable }\n";
    let files = [("a/weak-jack.rhai", script.as_str()), ("a/weak-jack.trials.yaml", trials)];
    let inspector = Inspector::new(Rulebook::from_files(&files).unwrap());
    // A shop without specs: nothing there has a vent.
    let amiss: Vec<_> =
        trial::prove(&inspector, &files, &|_| None).into_iter().filter_map(|outcome| outcome.amiss).collect();
    assert!(
        amiss.contains(&"it looks at each vent, and there is none in any trial or spec of the shop".to_owned()),
        "{amiss:?}"
    );
    assert!(amiss.contains(&"no trial shows a rig that is flagged".to_owned()), "{amiss:?}");
}

#[test]
fn a_card_that_reads_badly_or_names_what_is_not_there_is_told() {
    for (from, to, says) in [
        ("title: \"T\"", "title: \"T.\"", "its title ends in a full stop".to_owned()),
        ("title: \"T\"", &format!("title: \"{}\"", "t".repeat(61)), "its title has more than 60 characters".to_owned()),
        (
            "title: \"T\"",
            "title: \"T\", under: [\"no-rule\"]",
            "`under` names `no-rule`, which is no other rule".to_owned(),
        ),
        (
            "title: \"T\"",
            "title: \"T\", limits: #{ most: \"1 lb\" }",
            "the limit `most` on its card is not used".to_owned(),
        ),
    ] {
        assert_eq!(amiss(&format!("{CARD}{INSPECT}").replace(from, to), TRIALS), [says]);
    }
}

#[test]
fn a_trial_that_does_not_hold_says_what_was_found() {
    let script = format!("{CARD}{INSPECT}");
    for (from, to, says) in [
        ("jack: 1000 lb", "jack: 5000 lb", "expected flagged, found clear"),
        (
            "settle: [trailer.jack]",
            "settle: [trailer.track]",
            "it does not ask for `trailer.track` but for trailer.jack",
        ),
        ("settle: [trailer.jack]", "at: [trailer.track]", "it does not point at `trailer.track` but at trailer.jack"),
        ("settle: [trailer.jack]", "says: weight", "it does not say `weight`"),
        ("gross: 3000 lb } } }, expect: clear", "gros: 3000 lb } } }, expect: clear", "the spec can't be judged"),
    ] {
        let amiss = amiss(&script, &TRIALS.replacen(from, to, 1));
        assert!(amiss.iter().any(|amiss| amiss.contains(says)), "{to}: {amiss:?}");
    }
}

/// A rule that only asks: open while the fact is not stated, clear once it is.
#[test]
fn asking_for_a_fact_is_open_until_it_is_stated() {
    let script = format!("{CARD}\nfn inspect(trailer) {{ ask_for(trailer.jack).flag(#{{ says: \"s\", unsure: \"u\", at: trailer.jack }}) }}").replace("warning", "notice");
    let trials = TRIALS.replace("expect: flagged", "expect: clear");
    assert_eq!(amiss(&script, &trials), [""; 0]);
}
