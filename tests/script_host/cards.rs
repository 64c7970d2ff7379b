//! Cards: each thing that can be wrong with one is said, and pointed at.

use rigproof::rulebook::Rulebook;

use super::{Bench, holds, pointed};

const GOOD: [(&str, &str); 5] =
    [("signal", "\"warning\""), ("title", "\"T\""), ("reason", "\"R.\""), ("source", "\"S\""), ("each", "\"trailer\"")];

/// A script with a card of these rows.
fn with_card(rows: &[(&str, &str)]) -> String {
    let rows: Vec<String> = rows.iter().map(|(key, value)| format!("{key}: {value}")).collect();
    format!(
        "const CARD = #{{ {} }};\nfn inspect(thing) {{ so(true).flag(#{{ says: \"s\", at: thing }}) }}",
        rows.join(", ")
    )
}

/// The good card with one row put in the place of another of its key, or added.
fn but(key: &str, value: &str) -> String {
    let mut rows: Vec<(&str, &str)> = GOOD.iter().copied().filter(|(known, _)| *known != key).collect();
    rows.push((key, value));
    with_card(&rows)
}

#[test]
fn a_complete_card_is_read_without_running_the_script() {
    let text = format!(
        "/// Not this.\n\n/// How it is\n/// judged.\n{}",
        "fn inspect(thing) { let run = 1 / 0; so(true).flag(#{ says: \"s\", at: thing }) }\nconst CARD = #{ signal: \"danger\", title: \"T\", reason: \"R.\", source: `S ${1}`, each: \"tank\", caution: \"C\", under: [\"a\"], limits: #{ most: \"24 in\" } };"
    );
    // Text with values in it is not plain, even where the value is.
    let text = text.replace("`S ${1}`", "\"S\"");
    let rule = Bench::new().read(&text).unwrap();
    assert_eq!(
        (rule.card.id.as_str(), rule.card.chapter.as_str(), rule.card.signal.word()),
        ("on-the-bench", "bench", "danger")
    );
    assert_eq!((rule.card.each.as_str(), rule.card.caution.as_deref()), ("tank", Some("C")));
    assert_eq!(rule.card.under, ["a"]);
    assert_eq!(rule.card.limits, [("most".to_owned(), "24 in".to_owned())]);
    assert_eq!(rule.card.notes, "How it is judged.");
}

#[test]
fn each_key_that_a_card_lacks_is_named() {
    let bench = Bench::new();
    for (key, _) in GOOD {
        let rows: Vec<_> = GOOD.into_iter().filter(|(known, _)| *known != key).collect();
        holds(&super::refused(&bench, &with_card(&rows)), &format!("the card lacks `{key}`"), "const");
    }
    assert_eq!(bench.read(&with_card(&[])).unwrap_err().len(), 5);
}

#[test]
fn each_mistake_on_a_card_is_said_and_pointed_at() {
    let bench = Bench::new();
    for (key, value, says, at) in [
        ("signal", "\"Warning\"", "`Warning` is not a signal word: danger, warning, caution or notice", "\"Warning\""),
        ("signal", "1", "`signal` on the card must be text", "1"),
        ("title", "\" \"", "`title` on the card says nothing", "\" \""),
        ("reason", "[]", "`reason` on the card must be text", "["),
        ("source", "\"a\" + x()", "`source` on the card must be written out in plain values", "+"),
        ("each", "\"tnak\"", "there is nothing called `tnak` to look at; did you mean `tank`?", "\"tnak\""),
        ("caution", "()", "`caution` on the card must be text", "("),
        ("under", "\"rule\"", "`under` on the card must be a list of texts", "\"rule\""),
        ("under", "[1]", "`under` on the card must be a list of texts", "["),
        ("limits", "\"24 in\"", "`limits` on the card must be a map", "\"24 in\""),
        ("limits", "#{ gap: 24 }", "the limit `gap` must be text, such as \"24 in\"", "24"),
        ("limits", "#{ gap: \"wide\" }", "the limit `gap: wide` is not a quantity with a unit", "\"wide\""),
        ("limits", "#{ pull: \"0.5 g\" }", "may be a mass or an acceleration", "\"0.5 g\""),
        ("souce", "\"S\"", "a card has no `souce`; did you mean `source`?", "souce"),
    ] {
        let faults = bench.read(&but(key, value)).expect_err(value);
        let fault = faults
            .iter()
            .find(|fault| fault.says.contains(says))
            .unwrap_or_else(|| panic!("{key}: {value}: {faults:#?}"));
        holds(fault, says, at);
    }
}

#[test]
fn a_script_without_a_plain_card_is_refused() {
    let bench = Bench::new();
    let inspect = "fn inspect(thing) { so(true).flag(#{ says: \"s\", at: thing }) }";
    for (text, says, at) in [
        (inspect.to_owned(), "a rule needs one `const CARD", "inspect"),
        (format!("const CARD = \"x\";\n{inspect}"), "CARD must be a map", "\"x\""),
        (format!("let CARD = #{{}};\n{inspect}"), "only `const CARD` and functions stand at the top", "let"),
        (
            format!("{}\nconst OTHER = 5;", but("title", "\"T\"")),
            "only `const CARD` and functions stand at the top",
            "const",
        ),
        (format!("{}\nother();", but("title", "\"T\"")), "only `const CARD` and functions stand at the top", "other"),
    ] {
        let faults = bench.read(&text).expect_err(&text);
        let fault =
            faults.iter().find(|fault| fault.says.contains(says)).unwrap_or_else(|| panic!("{text}: {faults:#?}"));
        assert_eq!(pointed(fault), at, "{text}");
    }
}

#[test]
fn inspect_must_be_there_take_what_it_is_given_and_flag() {
    let bench = Bench::new();
    let card = super::CARD;
    for (inspect, says) in [
        ("", "a rule needs `fn inspect(thing, rig, limit)`"),
        ("fn inspect() { so(true).flag(#{}) }", "`inspect` takes the thing, the rig and the card's limits"),
        ("fn inspect(a, b, c, d) { so(true).flag(#{}) }", "`inspect` takes the thing, the rig and the card's limits"),
        ("fn inspect(a) { }", "a rule that never calls `.flag(..)` finds nothing"),
    ] {
        let fault = super::refused(&bench, &format!("{card}\n{inspect}"));
        assert!(fault.says.contains(says), "{inspect}: {}", fault.says);
        assert!(fault.at.is_some());
    }
}

#[test]
fn two_rules_of_one_name_are_refused() {
    let text = but("title", "\"T\"");
    let faults = Rulebook::from_files(&[("a/same.rhai", text.as_str()), ("b/same.rhai", text.as_str())]).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert!(faults[0].says.contains("the rule `same` is in a/same.rhai already"), "{faults:?}");
}

/// All faults of all files come at once.
#[test]
fn every_fault_of_every_file_is_told() {
    let bad = but("each", "\"tnak\"").replace("so(true)", "thing.jakc.above(thing.jack)");
    let faults = Rulebook::from_files(&[("a/one.rhai", bad.as_str()), ("a/two.rhai", bad.as_str())]).unwrap_err();
    assert_eq!(faults.len(), 4);
}
