//! What the reports look like, and what they must never do.

mod sample;

use insta::assert_snapshot;
use sample::{RIG, busy, empty, find, item, label, not_stated, open};
use textwrap::core::display_width;

use super::*;
use crate::place::Place;
use crate::problem::{Problem, Span};
use crate::punchlist::{PunchList, Tally, Trouble};
use crate::rulebook::card::Signal;
use crate::spec::Sources;

fn style(width: usize) -> Style {
    Style { width, per_rule_cap: 2, ..Style::default() }
}

fn without_colour(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text.chars();
    while let Some(c) = rest.next() {
        if c == '\u{1b}' {
            rest.find(|c| *c == 'm');
        } else {
            out.push(c);
        }
    }
    out
}

fn one(name: &str, text: &str, needle: &str, says: &str) -> (PunchList, Sources) {
    let mut sources = Sources::new();
    sources.add(name, text).unwrap();
    let span = find(&sources, 0, needle);
    let mut list = empty(name);
    list.items = vec![item(Signal::Caution, "a-rule", "Something is wrong", vec![label("parts.a", span, says)])];
    list.tally.caution = 1;
    (list, sources)
}

#[test]
fn a_busy_list_at_80_columns() {
    let (list, sources) = busy();
    assert_snapshot!(terminal(&list, &sources, &style(80)));
}

#[test]
fn a_busy_list_at_40_columns() {
    let (list, sources) = busy();
    assert_snapshot!(terminal(&list, &sources, &style(40)));
}

#[test]
fn a_busy_list_at_120_columns() {
    let (list, sources) = busy();
    assert_snapshot!(terminal(&list, &sources, &style(120)));
}

#[test]
fn a_busy_list_in_plain_sentences() {
    let (list, sources) = busy();
    assert_snapshot!(plain(&list, &sources, true));
}

#[test]
fn a_healthy_rig_gets_one_sentence_and_the_standing_caution() {
    let (mut list, sources) = busy();
    (list.items, list.not_stated, list.tally) = (Vec::new(), Vec::new(), Tally::default());
    assert_snapshot!(terminal(&list, &sources, &style(80)), @r"
    Two-tank flatbed, specs/flatbed.yaml

    Nothing to mend: 148 rules and 3 figures inspected, and every rule is met.
    Figures are estimates from the stated facts. Weigh the finished rig. Local
    codes, the makers' manuals and licensed practice come first.
    ");
    list.figures.clear();
    assert!(plain(&list, &sources, true).contains("\nNothing to mend: 148 rules inspected, and every rule is met.\n"));
    list.rules_run = 0;
    assert!(!plain(&list, &sources, true).contains("met"), "nothing was looked at, so nothing is met");
}

#[test]
fn problems_with_the_file_come_alone_and_nothing_is_said_of_the_rig() {
    let (mut list, sources) = busy();
    let at = |needle: &str| find(&sources, 0, needle);
    list.problems = vec![
        Problem::new("`presure` is no field of a pump", at("pressure"), "not known here")
            .fix("did you mean `pressure`?"),
        Problem::new("`bleach` is stated twice", at("bleach"), "the second")
            .also(find(&sources, 1, "bypass-300"), "the first")
            .at(Place::from("parts.bleach")),
    ];
    assert_snapshot!(terminal(&list, &sources, &style(80)));
    assert_snapshot!(plain(&list, &sources, true));
}

#[test]
fn a_rule_that_could_not_be_run_is_shown_with_its_script() {
    let (mut list, sources) = busy();
    list.items.clear();
    list.tally = Tally::default();
    list.troubles = vec![Trouble {
        rule: "house-rule".to_owned(),
        says: "there is no figure `gross_mas`".to_owned(),
        file: "house/house-rule.rhai".to_owned(),
        text: "fn inspect(rig) {\n    rig.gross_mas > 4500\n}\n".into(),
        at: Some((26, 35)),
    }];
    assert_snapshot!(terminal(&list, &sources, &Style { ascii: true, ..style(80) }));
    assert!(
        plain(&list, &sources, false).contains("In house/house-rule.rhai, line 2, \"gross_mas\": It stopped here.")
    );
}

#[test]
fn figures_with_their_working_go_down_to_the_lines() {
    let (list, sources) = busy();
    assert_snapshot!(figures_text(&list, &sources, &style(80), true));
    assert_snapshot!(figures_text(&list, &sources, &style(80), false));
}

#[test]
fn colour_adds_nothing_but_colour() {
    let (list, sources) = busy();
    for width in [40, 80, 120] {
        let bare = terminal(&list, &sources, &style(width));
        let coloured = terminal(&list, &sources, &Style { color: true, ..style(width) });
        assert_ne!(bare, coloured);
        assert_eq!(bare, without_colour(&coloured));
    }
}

#[test]
fn signal_words_have_the_colours_of_their_panels() {
    // ANSI Z535.4: danger white on red, warning black on orange, caution black on yellow, notice white on blue. Numbers of
    // the xterm table: 231 white, 16 black, 160 red, 208 orange, 220 yellow, 26 blue (ECMA-48 SGR 38;5 and 48;5).
    let (list, sources) = busy();
    let shown = terminal(&list, &sources, &Style { color: true, ..style(80) });
    for (word, ink, ground) in [("DANGER ", 231, 160), ("WARNING", 16, 208), ("CAUTION", 16, 220), ("NOTICE ", 231, 26)]
    {
        let line = shown.lines().find(|line| line.contains(&format!(" {word} \u{1b}"))).expect(word);
        assert!(line.contains(&format!("38;5;{ink}")) && line.contains(&format!("48;5;{ground}")), "{line:?}");
    }
}

#[test]
fn no_line_runs_over_the_width() {
    let (list, sources) = busy();
    for width in [40, 60, 80, 120] {
        for line in terminal(&list, &sources, &style(width)).lines() {
            assert!(display_width(line) <= width, "{width}: {line}");
            assert_eq!(line.trim_end(), line);
        }
    }
}

/// The column of the mark below the only line of an excerpt, from the first column of the text.
fn mark_column(shown: &str) -> (usize, usize) {
    let row = shown.lines().find(|line| line.contains('▀')).expect("a mark");
    let (_, after) = row.split_once("▏ ").expect("a gutter");
    (after.chars().take_while(|c| *c == ' ').count(), after.chars().filter(|c| *c == '▀').count())
}

#[test]
fn marks_stand_below_what_they_mark_whatever_the_characters() {
    // Columns by hand. Unicode Standard Annex 11: wide characters take two columns; a combining mark takes none.
    for (text, needle, from, long) in [
        ("a: 1\r\nb: 22\r\nc: 3\r\n", "22", 3, 2),
        ("a: 1\rb: 22\rc: 3", "22", 3, 2),
        ("名前: 値段\n", "値段", 6, 4),
        ("e\u{301}: ok\n", "ok", 3, 2),
        ("a:\tok\n", "ok", 4, 2),
        ("abcd:\tok\n", "ok", 8, 2),
        ("a: ok", "ok", 3, 2),
        ("\u{feff}a: ok", "ok", 3, 2),
    ] {
        let (list, sources) = one("a.yaml", text, needle, "this");
        let shown = terminal(&list, &sources, &style(80));
        assert_eq!(mark_column(&shown), (from, long), "{shown}");
        assert!(!shown.contains('\r') && !shown.contains('\t'));
    }
}

#[test]
fn a_label_at_the_very_end_is_still_seen() {
    let (mut list, sources) = one("a.yaml", "a: 1\nb: 2", "a", "here");
    for (end, column) in [(9, 4), (8, 3)] {
        list.items[0].labels[0].span = Span { file: 0, start: end, end };
        let shown = terminal(&list, &sources, &style(80));
        assert_eq!(mark_column(&shown), (column, 1), "{shown}");
        assert!(shown.contains("  a.yaml:2\n"));
    }
}

#[test]
fn a_label_over_several_lines_marks_the_first_and_names_the_last() {
    let (list, sources) = one("a.yaml", "a:\n  - b\n  - c\nd: 1\n", "- b\n  - c\n", "both");
    let shown = terminal(&list, &sources, &style(80));
    assert!(shown.contains("▀▀▀ both (to line 3)"), "{shown}");
    assert!(plain(&list, &sources, false).contains("line 2 to 3, \"- b\": Both."));
}

#[test]
fn a_long_line_is_cut_around_what_is_marked() {
    let text = format!("note: {}THE SPOT{}\n", "before ".repeat(60), " after".repeat(60));
    let (list, sources) = one("a.yaml", &text, "THE SPOT", "look here");
    for width in [40, 80, 120] {
        let shown = terminal(&list, &sources, &style(width));
        assert!(shown.lines().all(|line| display_width(line) <= width), "{shown}");
        let line = shown.lines().find(|line| line.contains("THE SPOT")).expect("the spot is shown");
        let (_, line) = line.split_once("▏ ").unwrap();
        assert!(line.starts_with('…') && line.ends_with('…'), "{line}");
        assert_eq!(mark_column(&shown), (display_width(line.split("THE SPOT").next().unwrap()), 8));
    }
}

#[test]
fn marks_far_apart_on_one_long_line_are_shown_one_by_one() {
    let text = format!("first: {} last\n", "x".repeat(300));
    let (mut list, sources) = one("a.yaml", &text, "first", "one end");
    list.items[0].labels.push(label("b", find(&sources, 0, "last"), "the other"));
    let shown = terminal(&list, &sources, &style(60));
    assert!(shown.contains("▏ first: xxx") && shown.contains("xxx last\n"), "{shown}");
}

#[test]
fn a_label_without_its_bytes_keeps_its_words() {
    let (mut list, sources) = one("a.yaml", "a: 1\n", "a", "");
    for span in
        [Span { file: 9, start: 0, end: 1 }, Span { file: 0, start: 2, end: 99 }, Span { file: 0, start: 99, end: 9 }]
    {
        list.items[0].labels[0] = label("a", span, "the tank is not drawn");
        assert!(terminal(&list, &sources, &style(80)).contains("\n  The tank is not drawn.\n"));
        assert!(plain(&list, &sources, false).contains("\nThe tank is not drawn.\n"));
        json(&[(&list, &sources)]);
    }
}

#[test]
fn a_place_that_is_not_written_is_named() {
    let (mut list, sources) = one("a.yaml", "parts:\n  water: {}\n", "water", "");
    list.items[0].labels[0].not_written = true;
    assert!(terminal(&list, &sources, &style(80)).contains("parts.a is not stated"));
}

#[test]
fn many_items_of_one_rule_are_shown_up_to_the_cap_and_none_is_lost() {
    let (mut list, sources) = one("a.yaml", "a: 1\n", "a", "");
    let first = list.items[0].clone();
    for index in 0..20 {
        let mut more = first.clone();
        more.place = Place::from(format!("parts.p{index}").as_str());
        list.items.push(more);
    }
    list.tally.caution = 21;
    let shown = terminal(&list, &sources, &style(80));
    assert_eq!(shown.matches(" CAUTION  ").count(), 2);
    assert!(shown.contains("19 more of a-rule, at parts.p1, parts.p2,"), "{shown}");
    assert!(shown.contains("and 13 other") && shown.contains("21 cautions to mend."), "{shown}");
    assert_eq!(plain(&list, &sources, false).matches("Caution: ").count(), 21);
    assert_eq!(json(&[(&list, &sources)])["specs"][0]["items"].as_array().unwrap().len(), 21);
}

#[test]
fn questions_that_could_settle_a_danger_come_first_and_are_never_left_out() {
    let mut list = empty("a.yaml");
    for index in 0..12 {
        let place = format!("parts.p{index}");
        let signal = if index < 9 { Signal::Notice } else { Signal::Danger };
        list.items.push(open(signal, "a-rule", "It may be so", &[&place]));
        list.not_stated.push(not_stated(&place, None, None, None));
    }
    list.tally.cannot_say = 12;
    let shown = terminal(&list, &Sources::new(), &Style { question_cap: 2, ..style(80) });
    assert_eq!(shown.matches("Would decide 1 danger").count(), 3);
    assert!(
        !shown.contains("Would decide 1 notice") && shown.contains("9 questions more would settle less."),
        "{shown}"
    );
    assert!(shown.contains("Nothing to mend; 12 can't be said until 12 facts are stated."), "{shown}");
}

/// Escape sequences, C1 controls, bell, bidi overrides and isolates, a line separator, tags, a blank of no width.
const HOSTILE: &str = "x\u{1b}[2J\u{9b}31m\u{7}\u{8}\u{202e}y\u{2066}\u{200f}\u{2028}\u{e0041}\u{feff}\u{0}z\u{7f}";

/// Every text field of a list made hostile, and a file that is.
fn poisoned() -> (PunchList, Sources) {
    let (mut list, clean) = busy();
    let mut sources = Sources::new();
    for file in &clean.files {
        sources.add(&format!("{HOSTILE}{}", file.name), file.text.replace(": ", &format!(": {HOSTILE} "))).unwrap();
    }
    let bad = || HOSTILE.to_owned();
    let place = Place::from(HOSTILE);
    (list.file, list.name) = (bad(), bad());
    for item in &mut list.items {
        (item.chapter, item.title, item.says) = (bad(), bad(), bad());
        (item.why, item.source, item.identity, item.place) = (bad(), bad(), bad(), place.clone());
        item.rule.push_str(HOSTILE);
        (item.caution, item.remedy) = (Some(bad()), Some(bad()));
        for label in &mut item.labels {
            (label.says, label.place) = (bad(), place.clone());
            label.span = Span { end: 60, ..label.span };
        }
        for under in &mut item.under {
            (under.rule, under.says, under.place) = (bad(), bad(), place.clone());
        }
        if let Some(granted) = &mut item.variance {
            (granted.reason, granted.approved, granted.until) = (bad(), bad(), Some(bad()));
        }
    }
    for figure in &mut list.figures {
        (figure.id, figure.help, figure.subject, figure.unit) = (bad(), bad(), bad(), bad());
        (figure.shown, figure.method, figure.source, figure.chapter) = (bad(), bad(), bad(), bad());
        for fact in &mut figure.from {
            (fact.place, fact.shown) = (place.clone(), bad());
        }
    }
    for fact in &mut list.not_stated {
        (fact.unit, fact.shown, fact.ask, fact.find) = (bad(), bad(), Some(bad()), Some(bad()));
        fact.touches = vec![bad()];
    }
    list.troubles =
        vec![Trouble { rule: bad(), says: bad(), file: bad(), text: HOSTILE.into(), at: Some((0, HOSTILE.len())) }];
    (list, sources)
}

#[test]
fn nothing_in_a_spec_acts_on_the_terminal() {
    let (mut list, sources) = poisoned();
    let check = |text: &str| {
        // General category Cc, and the characters with the property Bidi_Control (Unicode 16, PropList.txt).
        let bidi = |c: char| matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
        let acting = text.chars().find(|c| *c != '\n' && (c.is_control() || bidi(*c)));
        assert_eq!(acting, None, "{text:?}");
        assert!(!text.is_empty());
    };
    let all = |list: &PunchList| {
        for width in [40, 80, 120] {
            check(&terminal(list, &sources, &style(width)));
            check(&without_colour(&terminal(list, &sources, &Style { color: true, ..style(width) })));
            check(&figures_text(list, &sources, &style(width), true));
        }
        check(&plain(list, &sources, true));
        check(&json_text(&json(&[(list, &sources)])));
    };
    all(&list);
    list.problems = vec![Problem::new(HOSTILE, Span { file: 0, start: 0, end: 90 }, HOSTILE).fix(HOSTILE)];
    all(&list);
    // The escapes of `json_text` change nothing for who reads it.
    let value = json(&[(&list, &sources)]);
    assert_eq!(serde_json::from_str::<serde_json::Value>(&json_text(&value)).unwrap(), value);
}

#[test]
fn plain_output_is_ascii_but_for_what_the_user_wrote() {
    let (mut list, sources) = busy();
    assert!(plain(&list, &sources, true).is_ascii());
    list.name = "Tränke 水".to_owned();
    let shown = plain(&list, &sources, true);
    assert!(shown.starts_with("Tränke 水, "));
    assert!(shown.replace("Tränke 水", "").is_ascii());
    list.problems = vec![Problem::new("no", Span::default(), "no")];
    assert!(plain(&list, &sources, true).replace("Tränke 水", "").is_ascii());
}

fn schema() -> serde_json::Value {
    serde_json::from_str(include_str!("../../schema/inspection.schema.json")).unwrap()
}

#[test]
fn json_is_what_the_schema_says() {
    // JSON Schema 2020-12, by the jsonschema crate 0.61.
    let schema = schema();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::validator_for(&schema).unwrap();
    let (busy, sources) = busy();
    let (poisoned, bad_sources) = poisoned();
    let mut refused = busy.clone();
    refused.problems = vec![Problem::new("no", Span { file: 0, start: 0, end: 4 }, "no")];
    for lists in [vec![], vec![(&busy, &sources), (&refused, &sources)], vec![(&poisoned, &bad_sources)]] {
        let value = json(&lists);
        let errors: Vec<String> = validator.iter_errors(&value).map(|e| format!("{} {e}", e.instance_path())).collect();
        assert_eq!(errors, Vec::<String>::new());
    }
    // The schema is not so loose that anything would do.
    let value = json(&[(&busy, &sources)]);
    for pointer in ["", "/specs/0", "/specs/0/items/0", "/specs/0/items/0/labels/0", "/specs/0/figures/0", "/tally"] {
        let mut more = value.clone();
        more.pointer_mut(pointer).unwrap()["surprise"] = true.into();
        assert!(!validator.is_valid(&more), "{pointer}");
        let mut less = value.clone();
        let fields = less.pointer_mut(pointer).unwrap().as_object_mut().unwrap();
        let first = fields.keys().next().unwrap().clone();
        fields.remove(&first);
        assert!(!validator.is_valid(&less), "{pointer}");
    }
}

#[test]
fn json_of_a_busy_list() {
    let (list, sources) = busy();
    let text = json_text(&json(&[(&list, &sources), (&list, &sources)]));
    assert_eq!(text, json_text(&json(&[(&list, &sources), (&list, &sources)])));
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["tally"]["notice"], 8, "the counts of both lists");
    insta::assert_json_snapshot!(json(&[(&list, &sources)])["specs"][0]["items"][1]);
    // Nine significant digits: 1877.1234567891.
    assert_eq!(value["specs"][0]["figures"][1]["low"].to_string(), "1877.12346");
    assert_eq!(value["specs"][0]["figures"][1]["id"], "weight.full-mass:parts.water");
    assert_eq!(value["specs"][0]["figures"][2]["low"], serde_json::Value::Null);
}

#[test]
fn miette_reads_lines_of_the_right_file() {
    use miette::{Diagnostic as _, SourceCode as _};
    let (list, sources) = busy();
    let map = SourceMap::new(&sources);
    let shown = Shown::item(&list.items[0], &map);
    let labels: Vec<_> = shown.labels().unwrap().collect();
    let contents = map.read_span(labels[0].inner(), 0, 0).unwrap();
    assert_eq!(
        (contents.name(), contents.line(), contents.data()),
        (Some("books/hoses.yaml"), 2, &b"    rating: 300 psi"[..])
    );
    let contents = map.read_span(labels[1].inner(), 1, 1).unwrap();
    assert_eq!((contents.name(), contents.line(), contents.line_count()), (Some("specs/flatbed.yaml"), 17, 3));
    // From the end of one file into the next.
    assert!(map.read_span(&(RIG.len() - 1, 4).into(), 0, 0).is_err());
    // The handlers of the library itself can show it, too.
    let mut out = String::new();
    miette::NarratableReportHandler::new().render_report(&mut out, &shown).unwrap();
    assert!(
        out.contains("books/hoses.yaml") && out.contains("label at line 3, columns 13 to 19: what the hose stands"),
        "{out}"
    );
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(300))]
    #[test]
    fn any_text_and_any_spans_are_shown_within_the_width(
        text in "[a-z :\t\r\n水é\u{301}\u{1b}\u{202e}]{0,200}",
        spans in proptest::collection::vec((0_u32..700, 0_u32..700), 1..5),
        width in 40_usize..130,
    ) {
        let mut sources = Sources::new();
        sources.add("a.yaml", text).unwrap();
        let mut list = empty("a.yaml");
        let labels = spans.iter().map(|(start, end)| label("a", Span { file: 0, start: *start, end: *end }, "so it is"));
        list.items = vec![item(Signal::Danger, "a-rule", "No", labels.collect())];
        let shown = terminal(&list, &sources, &style(width));
        for line in shown.lines() {
            proptest::prop_assert!(display_width(line) <= width, "{width} {line:?}");
            proptest::prop_assert!(!line.chars().any(clean::acts), "{line:?}");
        }
    }
}
