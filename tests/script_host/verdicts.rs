//! What `inspect` gives back: findings, and nothing that passes for one.

use rigproof::rulebook::card::{Signal, Verdict};

use super::{Bench, holds};

#[test]
fn a_verdict_by_itself_says_nothing() {
    let bench = Bench::new();
    for (last, kind) in [
        ("thing.jack.above(limit.most)", "a verdict"),
        ("true", "true or false"),
        ("\"too heavy\"", "text"),
        ("thing", "a thing"),
        ("#{ says: \"s\" }", "a map"),
        ("[so(true)]", "a verdict"),
        ("5", "a plain number"),
    ] {
        let fault = bench.body(last).expect_err(last);
        holds(&fault, &format!("not in {kind}"), "inspect");
    }
}

/// The gross rating, 3500 lb, is above the card's 3000 lb.
#[test]
fn a_finding_carries_what_the_script_said() {
    let bench = Bench::new();
    let found = bench
        .body("thing.ratings.gross.above(limit.most).flag(#{ says: `rated ${thing.ratings.gross}`, unsure: \"u\", at: thing.ratings.gross, because: [thing.tires.rating, [thing.equalized, \"why\"]], remedy: `get ${limit.most}`, signal: \"danger\" })")
        .unwrap();
    let finding = &found[0];
    assert_eq!((finding.verdict, finding.signal), (Verdict::Breaks, Signal::Danger));
    assert_eq!(finding.says, "rated 3,500 lb");
    assert_eq!(finding.remedy.as_deref(), Some("get 3,000 lb"));
    let marks: Vec<&str> = finding.at.iter().chain(&finding.because).map(|mark| mark.says.as_str()).collect();
    assert_eq!(marks, ["gross 3,500 lb", "rating 1,800 to 2,000 lb", "why"]);
    assert!(finding.settle.is_empty());
}

/// Tires rated 1800 to 2000 lb: above 1700 surely, above 2000 surely not, above 1900 can't be said.
#[test]
fn a_range_gives_three_answers_and_names_what_would_settle_it() {
    let bench = Bench::new();
    let tell = |times: &str| {
        let body = format!(
            "thing.tires.rating.above(limit.most * {times}).flag(#{{ says: \"s\", unsure: \"u\", at: thing.tires.rating }})"
        );
        bench.body(&body).unwrap()
    };
    // 3000 lb times 17/30, 2/3 and 19/30.
    assert_eq!(tell("17 / 30")[0].verdict, Verdict::Breaks);
    assert!(tell("2 / 3").is_empty());
    let open = tell("19 / 30");
    assert_eq!((open[0].verdict, open[0].says.as_str()), (Verdict::CannotSay, "u"));
    assert_eq!(open[0].settle.iter().map(|fact| bench.place(*fact)).collect::<Vec<_>>(), ["trailer.tires.rating"]);
}

#[test]
fn a_fact_left_out_leaves_the_answer_open_and_is_asked_for_first() {
    let bench = Bench::new();
    let found = bench
        .body("all_of([thing.tires.rating.above(limit.most * 19 / 30), thing.jack.above(thing.tires.rating), thing.breakaway.fitted.is_no()]).flag(#{ says: \"s\", at: thing })")
        .unwrap();
    assert_eq!(found[0].verdict, Verdict::CannotSay);
    assert!(found[0].says.is_empty(), "without `unsure` the list makes the sentence");
    let settle: Vec<_> = found[0].settle.iter().map(|fact| bench.place(*fact)).collect();
    assert_eq!(settle, ["trailer.tires.rating", "trailer.jack", "trailer.breakaway.fitted"]);
}

#[test]
fn each_mistake_in_flag_is_said_whatever_the_answer() {
    let bench = Bench::new();
    for (parts, says) in [
        ("at: thing", "`flag` needs `says`"),
        ("says: \"s\"", "`flag` needs `at`"),
        ("says: \"s\", at: thing, beacuse: thing", "`flag` does not take `beacuse`; did you mean `because`?"),
        ("says: 5, at: thing", "`says` must be text, not a plain number"),
        ("says: \"\", at: thing", "`says` says nothing"),
        ("says: \"s\", at: thing, remedy: thing.jack", "`remedy` must be text, not a quantity"),
        ("says: \"s\", at: 5", "can't point at a plain number"),
        ("says: \"s\", at: []", "`at` holds nothing to point at"),
        ("says: \"s\", at: [\"a\", \"b\"]", "can't point at text"),
        ("says: \"s\", at: limit.most", "can't point at a limit"),
        ("says: \"s\", at: thing, because: so(true)", "can't point at a verdict"),
        ("says: \"s\", at: thing, signal: \"alarm\"", "`alarm` is not a signal word"),
    ] {
        for answer in ["so(true)", "so(false)", "thing.jack.above(limit.most)"] {
            let fault = bench.body(&format!("{answer}.flag(#{{ {parts} }})")).expect_err(parts);
            holds(&fault, says, "flag");
        }
    }
}

#[test]
fn several_findings_come_as_a_list_and_none_as_nothing() {
    let bench = Bench::new();
    let flag = |yes: bool| format!("so({yes}).flag(#{{ says: \"s\", at: thing }})");
    assert_eq!(bench.body(&format!("[{}, {}, [{}]]", flag(true), flag(false), flag(true))).unwrap().len(), 2);
    assert_eq!(
        bench
            .body(&format!(
                "let found = []; for t in [thing, rig] {{ found += {}; }} found",
                flag(true).replace("thing", "t")
            ))
            .unwrap()
            .len(),
        2
    );
    assert!(bench.body(&flag(false)).unwrap().is_empty());
    assert!(bench.body("return;").unwrap().is_empty());
}

#[test]
fn a_number_of_the_spec_is_shown_in_the_units_of_the_spec() {
    let bench = Bench::new();
    let found = bench
        .body("so(true).flag(#{ says: \"gap \" + limit.gap + \", \" + thing.body + `, ${1 / 4}`, at: thing })")
        .unwrap();
    assert_eq!(found[0].says, "gap 24 in, open, 0.25");
}
