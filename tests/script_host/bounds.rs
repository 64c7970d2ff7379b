//! Scripts that run away: each is stopped by what it spends, and the fault points into the script.

use rigproof::rulebook::Rulebook;
use rigproof::rulebook::sandbox::bounds;

use super::{Bench, CARD, holds, pointed, refused, script};

#[test]
fn loops_without_an_end_are_refused_when_the_rule_loads() {
    let bench = Bench::new();
    for (body, at) in [("loop { }", "loop"), ("while true { }", "while"), ("do { } while true;", "do")] {
        holds(&refused(&bench, &script(body)), "a rule needs no open loop", at);
    }
    assert!(bench.read(&script("do { } until false;")).is_err());
}

#[test]
fn a_rule_that_calls_itself_is_stopped() {
    let bench = Bench::new();
    let fault = bench.run(&format!("{CARD}\nfn again(x) {{ again(x) }}\nfn inspect(thing) {{ again(thing); so(true).flag(#{{ says: \"s\", at: thing }}) }}")).unwrap_err();
    holds(&fault, "calls itself too deep", "inspect");
    let fault = bench.run(&format!("{CARD}\nfn a(x) {{ b(x) }}\nfn b(x) {{ a(x) }}\nfn inspect(thing) {{ a(thing); so(true).flag(#{{ says: \"s\", at: thing }}) }}")).unwrap_err();
    assert!(fault.says.contains("calls itself too deep"), "{}", fault.says);
}

/// The deepest calls of the deepest expressions, on the small stack of a test's thread.
#[test]
fn the_deepest_script_that_is_taken_does_not_overflow_the_stack() {
    let bench = Bench::new();
    let deep = |levels: usize, inner: &str| format!("{}{inner}{}", "(1 + ".repeat(levels), ")".repeat(levels));
    let most = (1..bounds::DEPTH)
        .rev()
        .find(|levels| bench.read(&script(&format!("let a = {}; [()]", deep(*levels, "1")))).is_ok());
    let most = most.expect("no depth is taken");
    assert!(most > 8, "only {most} levels are taken");
    let text = format!(
        "{CARD}\nfn down(x) {{ {} }}\nfn inspect(thing) {{ down(thing); so(true).flag(#{{ says: \"s\", at: thing }}) }}",
        deep(most - 2, "down(x)")
    );
    let fault = bench.run(&text).unwrap_err();
    assert!(fault.says.contains("calls itself too deep"), "{}", fault.says);
}

#[test]
fn nesting_without_an_end_is_refused_when_the_rule_loads() {
    let bench = Bench::new();
    for (open, close) in
        [("(", ")"), ("[", "]"), ("#{ at: ", "}"), ("-", ""), ("!", ""), ("if true { ", "}"), ("{", "}")]
    {
        let body = format!("let a = {}1{}; [()]", open.repeat(2_000), close.repeat(2_000));
        let faults = bench.read(&script(&body)).expect_err(open);
        assert!(faults[0].at.is_some(), "{open}: {faults:?}");
    }
    let calls = format!("let a = {}1{}; [()]", "so(".repeat(500), ")".repeat(500));
    assert!(bench.read(&script(&calls)).is_err());
    let chain = format!("let a = thing{}; [()]", ".of".repeat(5_000));
    assert!(bench.read(&script(&chain)).is_err() || bench.body(&chain).is_err());
    let sum = format!("let a = 1{}; [()]", " + 1".repeat(5_000));
    assert!(bench.read(&script(&sum)).is_err());
    let many = format!("let a = {}; [()]", vec!["true"; 3_000].join(" && "));
    let _ = bench.read(&script(&many)).map(|rule| rule.run(&bench.engine, &bench.scene, 0, bench.trailer));
}

/// Eight names of ten entries each, walked one inside another: 10^8 turns.
#[test]
fn walks_within_walks_are_stopped_by_their_steps() {
    let bench = Bench::new();
    let mut body = "let l = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];\n".to_owned();
    for name in ["a", "b", "c", "d", "e", "f", "g", "h"] {
        body += &format!("for {name} in l {{ ");
    }
    body += &"}".repeat(8);
    let fault = bench.body(&body).unwrap_err();
    assert!(fault.says.contains(&format!("stopped after {} steps", bounds::STEPS)), "{}", fault.says);
    assert!(fault.at.is_some());
}

#[test]
fn ranges_of_numbers_are_not_offered() {
    let bench = Bench::new();
    for body in [
        "for x in 0..1000000000 { }",
        "for x in 0..=1000000000 { }",
        "for x in range(0, 1000000000) { }",
        "let r = 0..9; [()]",
    ] {
        assert!(bench.body(body).is_err(), "{body}");
    }
    assert!(bench.read(&script("for x in 5 { }")).is_err());
    for body in [
        "let l = 5; for x in l { }",
        "for x in \"text\" { }",
        "let m = #{ at: 1 }; for x in m { }",
        "for x in thing { }",
    ] {
        let fault = bench.body(body).unwrap_err();
        assert!(fault.says.contains("`for` walks a list"), "{body}: {}", fault.says);
    }
}

/// Every way to let a text, a list or a map grow ends in a refusal long before it is large.
#[test]
fn what_doubles_is_refused_by_its_size() {
    let bench = Bench::new();
    let forty = "for x in [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20] { for y in [1, 2] { ";
    for (start, step, says) in [
        ("let a = \"ab\";", "a += a;", "a text grows past 8192 bytes"),
        ("let a = \"ab\";", "a = a + a;", "a text grows past 8192 bytes"),
        ("let a = \"ab\";", "a = `${a}${a}`;", "a text grows past 8192 bytes"),
        ("let a = [1];", "a += a;", "a list grows past 1000 entries"),
        ("let a = [1];", "a = [a, a];", "a list grows past 1000 entries"),
        ("let a = #{ at: 1 };", "a = #{ at: a, says: a };", "a map grows past 64 entries"),
        ("let a = [1];", "a = [a, #{ at: a }];", "grows past"),
        ("let a = [\"12345678\"];", "a = [a, a];", "grows past"),
    ] {
        let fault = bench.body(&format!("{start} {forty}{step} }} }} [()]")).unwrap_err();
        assert!(fault.says.contains(says), "{step} said: {}", fault.says);
        assert!(fault.at.is_some(), "{step}");
    }
}

/// A sum keeps each fact and figure once, however often it is added to itself; else forty steps would hold 2^40 of them.
#[test]
fn what_a_sum_or_a_verdict_leans_on_does_not_double() {
    let bench = Bench::new();
    let forty = "for x in [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20] { for y in [1, 2] { ";
    let body = format!(
        "let q = thing.tires.rating; {forty} q = q + q; }} }}\nlet v = q.above(thing.jack); {forty} v = all_of([v, v]); }} }}\nv.flag(#{{ says: \"s\", unsure: \"u\", at: q }})"
    );
    let found = bench.body(&body).unwrap();
    let settle: Vec<String> = found[0].settle.iter().map(|fact| bench.place(*fact)).collect();
    assert_eq!(settle, ["trailer.jack", "trailer.tires.rating"]);
    assert_eq!(found[0].at.len(), 1);
}

/// A few steps can set off a great many entries walked: those are counted too.
#[test]
fn work_inside_the_host_is_counted() {
    let bench = Bench::new();
    let list = vec!["v"; 900].join(", ");
    let tens = "for a in t { for b in t { for c in t { ";
    let fault = bench.body(&format!("let v = so(true); let t = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]; let l = [{list}];\n{tens} any_of(l); }} }} }} [()]")).unwrap_err();
    assert!(fault.says.contains("it does too much"), "{}", fault.says);
}

/// The engine does not count what grows by `map[key] = value`, so nothing but a name can be stored to.
#[test]
fn nothing_is_stored_into_lists_maps_or_things() {
    let bench = Bench::new();
    for (body, at) in [
        ("let m = #{}; m[\"a\"] = 1; [()]", "m"),
        ("let m = #{ at: 1 }; m.at = 2; [()]", "m"),
        ("let m = #{ at: #{ says: 1 } }; m.at.says = 2; [()]", "m"),
        ("let l = [1]; l[0] = 2; [()]", "l"),
        ("let l = [1]; l[0] += 2; [()]", "l"),
        ("thing.jack = 5; [()]", "thing"),
        ("thing.ratings.gross = 5; [()]", "thing"),
        ("limit.most = 5; [()]", "limit"),
    ] {
        let faults = bench.read(&script(body)).expect_err(body);
        let fault = faults
            .iter()
            .find(|fault| fault.says.contains("can't store into"))
            .unwrap_or_else(|| panic!("{body}: {faults:#?}"));
        assert_eq!(pointed(fault), at, "{body}");
    }
}

/// What a rule has no business with is not there.
#[test]
fn files_clocks_chance_and_printing_are_absent() {
    let bench = Bench::new();
    for body in [
        "eval(\"1\")",
        "import \"x\" as y;",
        "export let x = 1;",
        "print(1)",
        "debug(1)",
        "timestamp()",
        "rand()",
        "sleep(1)",
        "let f = Fn(\"inspect\");",
        "let f = |x| x;",
        "call(1)",
        "curry(1)",
        "type_of(thing)",
        "is_def_var(\"x\")",
        "is_def_fn(\"inspect\", 1)",
        "is_shared(thing)",
        "open(\"/etc/passwd\")",
        "parse_json(\"1\")",
        "\"a\".replace(\"a\", \"b\")",
        "\"a\".pad(5000)",
        "[1].sort()",
        "[1].push(2)",
        "[1].pad(5, 1)",
        "[1].map(1)",
        "#{}.keys()",
        "\"a\".len()",
        "blob(100)",
        "x::y(1)",
        "thing.to_debug()",
        "global::CARD",
        "min(1, 2)",
    ] {
        let faults = bench.read(&script(&format!("{body}; [()]"))).expect_err(body);
        assert!(
            faults[0].at.is_some_and(|(start, end)| start < end && end <= faults[0].text.len()),
            "{body}: {faults:?}"
        );
    }
}

#[test]
fn giant_literals_and_files_are_refused() {
    let bench = Bench::new();
    for literal in [
        format!("\"{}\"", "x".repeat(bounds::TEXT + 1)),
        format!("[{}]", vec!["1"; bounds::LIST + 1].join(",")),
        "9".repeat(500),
        format!("0.{}e400", "1".repeat(100)),
    ] {
        let faults = bench.read(&script(&format!("let a = {literal}; [()]"))).expect_err(&literal);
        assert!(faults[0].at.is_some(), "{faults:?}");
    }
    let map: Vec<String> = (0..=bounds::MAP).map(|key| format!("k{key}: 1")).collect();
    assert!(bench.read(&script(&format!("let a = #{{ {} }}; [()]", map.join(", ")))).is_err());
    let names: String = (0..=bounds::NAMES).map(|name| format!("let n{name} = 1; ")).collect();
    let outcome = bench.body(&format!("{names} [()]"));
    assert!(outcome.is_err());
    let functions: String = (0..=bounds::FUNCTIONS).map(|name| format!("fn f{name}() {{ 1 }}\n")).collect();
    assert!(bench.read(&format!("{functions}{}", script("[()]"))).is_err());
    let fault = refused(&bench, &format!("{}{}", script("[()]"), " ".repeat(bounds::FILE)));
    assert!(fault.says.contains("a script of more than 32 KiB is no rule"), "{}", fault.says);
    let blank = format!("{}\n{}", "\n".repeat(bounds::FILE - 600), script("thing.nonsense"));
    assert_eq!(pointed(&refused(&bench, &blank)), "nonsense");
}

#[test]
fn a_name_is_not_given_twice() {
    let bench = Bench::new();
    for body in ["let thing = 1; [()]", "let a = 1; let a = 2; [()]"] {
        assert!(bench.read(&script(body)).is_err(), "{body}");
    }
    assert!(bench.read(&script("let a = unknown_name; [()]")).is_err());
    assert!(bench.read(&script("CARD.title; [()]")).is_err() || bench.body("CARD.title; [()]").is_err());
}

/// A caught error would be a rule that passes because it could not look.
#[test]
fn errors_are_not_caught_and_words_not_switched_on() {
    let bench = Bench::new();
    holds(&refused(&bench, &script("try { thing.jack; } catch { } [()]")), "may not catch errors", "try");
    holds(&refused(&bench, &script("switch thing.body { \"open\" => (), _ => () }")), "no `switch`", "switch");
    let faults = bench.read(&script("let a = thing?.jack; [()]")).unwrap_err();
    assert!(faults[0].says.contains("no `?.`"), "{faults:?}");
    assert!(bench.read(&script("for (a, n) in [1] { } [()]")).unwrap_err()[0].says.contains("no counter"));
    assert!(bench.body("if \"open\" in [\"open\"] { } [()]").unwrap_err().says.contains("`in` is not for rules"));
}

/// One bad rule is reported; the others still report.
#[test]
fn a_rule_that_fails_does_not_keep_the_others_from_running() {
    let bench = Bench::new();
    let good = format!("{CARD}\nfn inspect(thing) {{ so(true).flag(#{{ says: \"s\", at: thing }}) }}");
    let bad = format!(
        "{CARD}\nfn again(x) {{ again(x) }}\nfn inspect(thing) {{ again(thing).flag(#{{ says: \"s\", at: thing }}) }}"
    );
    let book = Rulebook::from_files(&[("a/bad.rhai", &bad), ("a/good.rhai", &good), ("b/worse.rhai", &bad)]).unwrap();
    let findings = book.run(&bench.scene);
    assert_eq!(findings.found.len(), 1);
    let faulty: Vec<&str> = findings.faults.iter().map(|(rule, _)| book.card(*rule).id.as_str()).collect();
    assert_eq!(faulty, ["bad", "worse"]);
    assert_eq!(findings.ran, 3);
}
