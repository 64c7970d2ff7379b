//! Every operator between every two kinds of value: a documented answer or an error, never a quiet `true` or `false`.

use rigproof::rulebook::host::OPERATORS;

use super::{Bench, script};

/// Every kind of value that a script can hold, and how to get one.
const KINDS: &[(&str, &str)] = &[
    ("thing", "thing"),
    ("quantity", "thing.ratings.gross"),
    ("word", "thing.body"),
    ("limits", "limit"),
    ("verdict", "thing.ratings.gross.above(limit.most)"),
    ("finding", "thing.ratings.gross.above(limit.most).flag(#{ says: \"s\", at: thing })"),
    ("number", "2"),
    ("text", "\"2\""),
    ("bool", "true"),
    ("unit", "()"),
    ("list", "[2]"),
    ("map", "#{ says: 2 }"),
    ("counted number", "thing.axles.count()"),
];

/// What works, by operator and the kinds on its sides. All else must be refused.
fn is_offered(operator: &str, one: &str, other: &str) -> bool {
    let number = |kind: &str| kind.ends_with("number");
    match (one, other) {
        (one, other) if number(one) && number(other) => {
            matches!(operator, "==" | "!=" | "<" | "<=" | ">" | ">=" | "+" | "-" | "*" | "/")
        }
        ("text", "text") => matches!(operator, "==" | "!=" | "+"),
        ("text", "quantity" | "word") => operator == "+",
        ("bool", "bool") => matches!(operator, "==" | "!="),
        ("quantity", "quantity") => matches!(operator, "+" | "-" | "*" | "/"),
        ("quantity", other) if number(other) => matches!(operator, "*" | "/"),
        (one, "quantity") if number(one) => operator == "*",
        _ => false,
    }
}

/// The value of `counted number` is 0, so that dividing by it is refused for another reason.
fn divides_by_nothing(operator: &str, other: &str) -> bool {
    operator == "/" && other == "counted number"
}

#[test]
fn every_operator_between_every_two_kinds_of_value_answers_or_refuses() {
    let bench = Bench::new();
    for operator in OPERATORS {
        for (one, left) in KINDS {
            for (other, right) in KINDS {
                let body = format!("let a = {left}; let b = {right}; let c = a {operator} b; [()]");
                let outcome = bench.body(&body);
                let offered = is_offered(operator, one, other) && !divides_by_nothing(operator, other);
                match outcome {
                    Ok(_) => assert!(offered, "{one} {operator} {other} was let through"),
                    Err(fault) => {
                        assert!(!offered, "{one} {operator} {other} was refused: {}", fault.says);
                        assert_eq!(super::pointed(&fault), *operator, "{one} {operator} {other}: {}", fault.says);
                        let known = ["does not work between", "is no number", "can't be combined"];
                        assert!(
                            known.iter().any(|known| fault.says.contains(known)),
                            "{one} {operator} {other} says: {}",
                            fault.says
                        );
                    }
                }
            }
        }
    }
}

/// `a += b` is `a = a + b`, and gathers into a list.
#[test]
fn adding_to_a_name_works_where_adding_does() {
    let bench = Bench::new();
    for (one, left) in KINDS {
        for (other, right) in KINDS {
            let outcome = bench.body(&format!("let a = {left}; let b = {right}; a += b; [()]"));
            let offered = is_offered("+", one, other) || *one == "list";
            assert_eq!(outcome.is_ok(), offered, "{one} += {other}: {outcome:?}");
        }
    }
    for operator in ["-=", "*=", "/=", "%=", "**=", "<<=", ">>=", "&=", "|=", "^="] {
        let faults = bench.read(&script(&format!("let a = 1; a {operator} 2; [()]"))).unwrap_err();
        assert!(faults[0].says.contains("a rule has no"), "{operator}: {faults:?}");
    }
}

#[test]
fn signs_before_a_value_work_on_numbers_and_on_yes_or_no_only() {
    let bench = Bench::new();
    for (sign, fits) in [("-", "number"), ("+", "none"), ("!", "bool")] {
        for (kind, value) in KINDS {
            let outcome = bench.body(&format!("let a = {value}; let b = {sign}a; [()]"));
            assert_eq!(outcome.is_ok(), kind.ends_with(fits), "{sign}{kind}: {outcome:?}");
        }
    }
}

/// A yes or no is wanted: anything else is an error, a verdict above all.
#[test]
fn nothing_but_a_yes_or_no_is_one() {
    let bench = Bench::new();
    for form in ["if a { 1 } else { 2 }", "a && true", "true && a", "a || false", "false || a"] {
        for (kind, value) in KINDS {
            let outcome = bench.body(&format!("let a = {value}; let b = {form}; [()]"));
            assert_eq!(outcome.is_ok(), *kind == "bool", "{form} with {kind}: {outcome:?}");
            if *kind == "verdict" {
                super::holds(&outcome.unwrap_err(), "a verdict has three answers", "a");
            }
        }
    }
}

/// The engine folds `x && true` into `x` in some settings; the value must still be a yes or no.
#[test]
fn an_open_verdict_is_not_folded_into_a_yes() {
    let bench = Bench::new();
    for form in [
        "thing.jack.above(limit.most) && true",
        "true && thing.jack.above(limit.most)",
        "false || (thing.jack.above(limit.most))",
    ] {
        let faults = bench.read(&script(&format!("let x = {form}; [()]"))).unwrap_err();
        assert!(faults[0].says.contains("know no third answer"), "{form}: {faults:?}");
    }
    let faults = bench.read(&script("if !(thing.jack.above(limit.most)) { [()] }")).unwrap_err();
    assert!(faults[0].says.contains("use not_so(..)"), "{faults:?}");
    let faults = bench.read(&script("if thing.jack.above(limit.most) { [()] }")).unwrap_err();
    super::holds(&faults[0], "has three answers", "above");
}

#[test]
fn plain_questions_may_be_joined_as_plain_answers() {
    let bench = Bench::new();
    let outcome = bench
        .body("if thing.is_written() && !thing.jack.is_stated() || thing.body.is_stated() { return; } let no = 1 / 0;");
    assert!(outcome.is_ok(), "{outcome:?}");
}

/// What puts a value into a sentence: quantities, words, names and numbers have words, the rest must not.
#[test]
fn what_has_no_words_is_refused_in_a_sentence() {
    let bench = Bench::new();
    for (kind, value) in KINDS {
        let body = format!("let a = {value}; so(true).flag(#{{ says: `it is ${{a}}.`, at: thing }})");
        let outcome = bench.body(&body);
        let reads = matches!(*kind, "thing" | "quantity" | "word" | "text") || kind.ends_with("number");
        assert_eq!(outcome.is_ok(), reads, "{kind}: {outcome:?}");
        if let Err(fault) = outcome {
            assert!(fault.says.contains("can't stand in a sentence"), "{kind}: {}", fault.says);
        }
    }
}

#[test]
fn single_characters_are_not_offered() {
    super::holds(&super::refused(&Bench::new(), &script("let a = 'x'; [()]")), "a rule has no single characters", "'");
}

/// Division by nothing, and numbers too large, are errors where they arise.
#[test]
fn a_number_is_always_a_number() {
    let bench = Bench::new();
    for sum in ["1 / 0", "0 / 0", "1e308 * 10", "1e308 + 1e308", "-1e308 - 1e308"] {
        let fault = bench.body(&format!("let a = {sum}; [()]")).unwrap_err();
        assert!(fault.says.contains("is no number"), "{sum}: {}", fault.says);
    }
    assert!(bench.body("let a = thing.ratings.gross / 0; [()]").unwrap_err().says.contains("can't be combined"));
    super::holds(&super::refused(&bench, &script("let a = 1e999; [()]")), "Invalid number", "1e999");
    let half = bench.body("if 1 / 2 != 0.5 { let whole = 1 / 0; } [()]");
    assert!(half.is_ok(), "{half:?}");
}
