//! Single cases of YAML, each with the bytes that are marked.

use super::*;
use serde_json::json;

#[test]
fn a_place_gives_its_key_and_its_value() {
    let sheet = sheet(
        "trailer:\n  inside: { length: 12 ft }\n  axles:\n    - rating: 5000 lb\n    - rating: 'none'\nname: Rig # end\n",
    );
    let found = sheet.found("trailer.axles[1].rating");
    assert_eq!(sheet.text(found.value_span), "'none'");
    assert_eq!(sheet.text(found.key_span.unwrap()), "rating");
    assert_eq!((found.via, found.at), (Via::Own, found.value_span));
    assert_eq!(sheet.text(sheet.found("trailer.inside").value_span), "{ length: 12 ft }");
    assert_eq!(sheet.text(sheet.found("trailer.axles").value_span), "rating: 5000 lb\n    - rating: 'none'");
    assert_eq!(sheet.text(sheet.found("trailer.axles[0]").value_span), "rating: 5000 lb");
    assert_eq!(sheet.found("trailer.axles[0]").key_span, None);
    assert_eq!(sheet.text(sheet.found("name").value_span), "Rig");
    assert!(sheet.text(sheet.found("").value_span).ends_with("name: Rig"));
    assert_eq!(sheet.tree().find(&Place::from("trailer.axles[2]")), None);
    assert_eq!(sheet.tree().find(&Place::from("name.first")), None);
    let (place, near) = sheet.tree().nearest(&Place::from("trailer.axles[1].brakes.kind"));
    assert_eq!(place.as_str(), "trailer.axles[1]");
    assert_eq!(sheet.text(near.value_span), "rating: 'none'");
    assert_eq!(sheet.tree().nearest(&Place::from("wiring")).0, Place::root());
}

#[test]
fn a_value_that_is_left_out_stands_right_after_its_colon() {
    for text in ["a:\n  b: # to do\n  c:\n\nd: 1\n", "a:\r\n  b: # to do\r\n  c:\r\n\r\nd: 1\r\n"] {
        let sheet = sheet(text);
        let b = sheet.found("a.b");
        assert_eq!(b.value_span.start, b.value_span.end);
        assert_eq!(sheet.text(b.value_or_key()), "b");
        assert!(text.split_at(b.value_span.start as usize).0.ends_with("b:"), "{b:?}");
        assert!(sheet.text(sheet.found("a").value_span).ends_with("c:"));
        assert_eq!(sheet.json(), json!({"a": {"b": null, "c": null}, "d": 1}));
    }
    let sheet = sheet("- x\n-\n- y\n");
    assert_eq!(sheet.found("[1]").value_span, Span { file: 0, start: 5, end: 5 });
}

#[test]
fn a_text_of_several_lines_ends_before_its_last_break() {
    let sheet = sheet("a: |\n  one\n  two\n\nb: >-\n  three\n  four\nc: five\n  six\n");
    assert_eq!(sheet.text(sheet.found("a").value_span), "one\n  two");
    assert_eq!(sheet.text(sheet.found("b").value_span), "three\n  four");
    assert_eq!(sheet.text(sheet.found("c").value_span), "five\n  six");
    assert_eq!(sheet.json(), json!({"a": "one\ntwo\n", "b": "three four", "c": "five six"}));
}

#[test]
fn quotes_make_text_and_escapes_are_read() {
    let sheet =
        sheet("a: \"12\"\nb: 'it''s'\nc: \"\\u00e9\\t\"\nd: !!str 5\n\"k\\u0065y\": no\ne: 0x1F\nf: 1e3\ng: .inf\n");
    assert_eq!(
        sheet.json(),
        json!({"a": "12", "b": "it's", "c": "é\t", "d": "5", "key": "no", "e": 31, "f": 1000.0, "g": ".inf"})
    );
    assert_eq!(sheet.text(sheet.found("key").key_span.unwrap()), "\"k\\u0065y\"");
    assert!(sheet.problems().is_empty());
}

#[test]
fn a_byte_order_mark_crlf_and_accents_do_not_move_a_span() {
    let sheet = sheet("\u{feff}tést: 1\r\nbé:\r\n  日本: \"x y\"\r\n  z: Z\r\n");
    let found = sheet.found("bé.日本");
    assert_eq!(sheet.text(found.value_span), "\"x y\"");
    let position = sheet.sources.position(found.value_span).unwrap();
    assert_eq!((position.line, position.column), (3, 7));
    let position = sheet.sources.position(sheet.found("tést").value_span).unwrap();
    assert_eq!((position.line, position.column), (1, 7));
    assert_eq!(sheet.text(sheet.found("bé").value_span), "日本: \"x y\"\r\n  z: Z");
    check_spans(sheet.tree(), &sheet.sources);
}

#[test]
fn an_alias_is_marked_where_it_is_used_and_where_it_was_written() {
    let sheet = sheet("base: &b { flow: 4 gpm }\nwasher: *b\nlist: [1, *b]\n");
    let flow = sheet.found("washer.flow");
    assert_eq!((flow.via, sheet.text(flow.at), sheet.text(flow.value_span)), (Via::Alias, "*b", "4 gpm"));
    assert_eq!(flow.at.start, 33);
    assert_eq!(sheet.text(sheet.found("list[1]").at), "*b");
    assert_eq!(sheet.found("base.flow").via, Via::Own);
    assert_eq!(sheet.json()["washer"], json!({"flow": "4 gpm"}));
}

#[test]
fn merged_keys_yield_to_own_keys_and_to_earlier_mappings() {
    // "Merge Key Language-Independent Type for YAML Version 1.1", working draft of 2005-01-18: the example there, with
    // the order of the merged list as printed.
    let text = "- &CENTER { x: 1, y: 2 }\n- &LEFT { x: 0, y: 2 }\n- &BIG { r: 10 }\n- &SMALL { r: 1 }\n\
        - x: 1\n  y: 2\n  r: 10\n  label: center/big\n\
        - << : *CENTER\n  r: 10\n  label: center/big\n\
        - << : [ *CENTER, *BIG ]\n  label: center/big\n\
        - << : [ *BIG, *LEFT, *SMALL ]\n  x: 1\n  label: center/big\n";
    let sheet = sheet(text);
    assert!(sheet.problems().is_empty());
    let json = sheet.json();
    for same in 5..8 {
        assert_eq!(json[same], json[4], "entry {same}");
    }
    let r = sheet.found("[7].r");
    assert_eq!((r.via, sheet.text(r.at), sheet.text(r.value_span)), (Via::Merge, "*BIG", "10"));
    assert_eq!(sheet.text(r.key_span.unwrap()), "r");
    assert_eq!(sheet.found("[7].x").via, Via::Own);
    check_spans(sheet.tree(), &sheet.sources);
}

#[test]
fn a_quoted_merge_key_is_an_ordinary_key() {
    assert_eq!(sheet("\"<<\": 1\n").json(), json!({"<<": 1}));
}

#[test]
fn a_merge_of_anything_but_mappings_is_refused() {
    assert_eq!(said("a: { <<: 3 }\n").0, "`<<` can only take in a mapping");
    assert_eq!(said("a: { <<: [{b: 1}, x] }\n").1, "x");
    assert_eq!(said("x: &x {}\na:\n  <<: *x\n  <<: *x\n").0, "`<<` is written twice");
}

#[test]
fn a_key_written_twice_is_shown_twice_and_the_first_counts() {
    let sheet = sheet("tank: 1\nb: 2\n\"tank\": 3\nc: {d: 1, d: 2}\n");
    let problems = sheet.problems();
    assert_eq!(problems.len(), 2);
    assert_eq!(problems[0].says, "`tank` is written twice");
    assert_eq!((problems[0].span.start, problems[0].span.end), (13, 19));
    assert_eq!((problems[0].also[0].0.start, problems[0].also[0].0.end), (0, 4));
    assert_eq!(problems[0].place.as_str(), "tank");
    assert_eq!(problems[1].place.as_str(), "c.d");
    assert_eq!(sheet.json(), json!({"tank": 1, "b": 2, "c": {"d": 1}}));
}

#[test]
fn a_large_mapping_finds_its_keys_and_its_doubles() {
    let mut text: String = (0..500).map(|n| format!("k{n}: {n}\n")).collect();
    text.push_str("k7: again\nk7: once more\n");
    let sheet = sheet(&text);
    assert_eq!(sheet.problems().len(), 2);
    for problem in sheet.problems() {
        assert_eq!((problem.says.as_str(), sheet.text(problem.also[0].0)), ("`k7` is written twice", "k7"));
        assert_eq!(sheet.sources.position(problem.also[0].0).unwrap().line, 8);
    }
    for n in 0..500 {
        assert_eq!(sheet.text(sheet.found(&format!("k{n}")).value_span), n.to_string());
    }
    assert!(sheet.tree().get(sheet.tree().root(), "k500").is_none());
}

#[test]
fn keys_must_be_plain_text() {
    assert_eq!(said("? [a, b]\n: 1\nc: 2\n").0, "a key must be plain text");
    assert_eq!(said("{a: 1}: 2\n").1, "{a: 1}");
    assert_eq!(said(": 1\n").0, "this value has no key");
    assert_eq!(sheet("1: a\ntrue: b\n").json(), json!({"1": "a", "true": "b"}));
    assert_eq!(sheet("&k key: 1\n*k : 2\n").problem().says, "`key` is written twice");
}

#[test]
fn an_unknown_anchor_is_named_with_the_one_that_was_meant() {
    let (says, marked, fix) = said("washer: &washer {a: 1}\nb: *wahser\n");
    assert_eq!((marked.as_str(), fix.as_str()), ("*wahser", "did you mean `*washer`?"));
    assert!(says.contains("never marked"));
    assert!(said("note: *important\n").2.contains("quotes"));
}

#[test]
fn a_value_that_holds_itself_shows_both_ends() {
    for text in ["a: &x [1, *x]\n", "a: &x { b: { c: *x } }\n", "&x a: &x\n  - *x\n"] {
        let sheet = sheet(text);
        let problem = sheet.problem();
        assert_eq!(problem.says, "`x` holds itself");
        assert_eq!((sheet.text(problem.span), sheet.text(problem.also[0].0)), ("*x", "&x"));
    }
    // A name used again means the latest value before it (YAML 1.2.2, section 7.1), so this is no circle.
    assert_eq!(sheet("a: &x 1\nb: &y [*x]\nc: &x [*y, *x]\n").problem().says, "`x` holds itself");
    assert!(sheet("a: &x 1\nb: [*x]\nc: &x 2\nd: *x\n").problems().is_empty());
}

#[test]
fn tags_without_meaning_are_refused_and_those_of_the_core_schema_are_not() {
    assert_eq!(said("a: !tank x\n").1, "!tank");
    assert_eq!(said("a: !!set {b: }\n").0, "`!!set` has no meaning here");
    let sheet = sheet("a: !!int 5\nb: !!map {}\nc: !!seq []\nd: ! 7\ne: !!float 2\n");
    assert!(sheet.problems().is_empty(), "{:?}", sheet.problems());
    assert_eq!(sheet.json(), json!({"a": 5, "b": {}, "c": [], "d": "7", "e": 2.0}));
}

#[test]
fn a_colon_in_a_value_asks_for_quotes() {
    let (says, marked, fix) = said("a: b: c\n");
    assert_eq!((says.as_str(), marked.as_str()), ("there is a second `: ` in one value", ":"));
    assert_eq!(fix, "put the value in quotes: `a: 'b: c'`");
    assert!(said("  note: it's late: go # x\n").2.contains("`note: 'it''s late: go'`"));
}

#[test]
fn a_tab_is_named_and_marked() {
    for text in ["a:\n\tb: 1\n", "a:\n  b: 1\n\tc: 2\n", "a: 1\n\tb: 2\n", "a:\n  \tb: 1\n  \tc: 2\n"] {
        let (says, marked, fix) = said(text);
        assert_eq!((says.as_str(), marked.as_str()), ("a tab can't indent; use spaces", "\t"), "{text:?}");
        assert!(fix.contains("editor"));
    }
    // A tab that indents nothing is allowed (YAML 1.2.2, section 6.2).
    assert!(sheet("a:\t1\nb: [\n \t2 ]\nc: |\n  x\n  \ty\n\t\nd: 3\t# e\n").problems().is_empty());
}

#[test]
fn common_slips_are_said_in_plain_words() {
    let cases = [
        ("a: \"x\nb: 1\n", "a quote is opened and never closed", "\"x"),
        ("a: 'x\n", "a quote is opened and never closed", "'x"),
        ("a: [1, 2\nb: 3\n", "a comma or a closing bracket is missing", ":"),
        ("a: [1, 2\n", "`[` is opened and never closed", "[1,"),
        ("a: [1}\n", "`[` is closed by `}`", "[1}"),
        ("a: 1]\nb: }\n", "this bracket closes nothing", "}"),
        ("a: @x\n", "a value can't begin with `@`", "@x"),
        ("a: `x\n", "a value can't begin with ```", "`x"),
        ("a: %x\n", "a value can't begin with `%`", "%x"),
        ("a: 1\n b: 2\n", "this line is indented under a key that already has a value", "b"),
        ("a:\n  b: 1\n c: 2\n", "this line does not line up with the lines above", "c"),
        ("a: 1\nfoo\nb: 2\n", "this line has no `:`", "foo"),
        ("a: 1\nb:2\nc: 3\n", "a space is missing after the colon", "b:2"),
        ("a:1\nb: 2\n", "a space is missing after the colon", "a:1"),
        ("a: - b\n", "a list entry can't begin here", "-"),
        ("a: 1\n- b\n", "a list begins where a key is expected", "-"),
        ("- a\nb: 1\n", "this line does not continue the list above it", "b:"),
        ("a:\n- b\n - c\n", "this list entry is read as text of the value above", "-"),
        ("a: \"3/4\" in\n", "there is text after the closing quote", "in"),
        ("a: \"C:\\q\"\n", "`\\` between double quotes begins a code, and this one is unknown", "\\q\""),
        ("a: \"x\"#c\n", "a comment needs a space before its `#`", "#c"),
        ("a: > x\n", "text after `|` or `>` must start on the next line", ">"),
        ("a: *\n", "`&` and `*` at the start of a value need a name", "*"),
        ("%YAML 2.0\n---\na: 1\n", "a line can't begin with `%`", "%YAML"),
        ("a: 1\nb: \u{7}x\n", "there is a control character, U+0007, in this file", "\u{7}"),
        ("a: x\0y\n", "there is a NUL character, U+0000, in this file", "\0"),
        ("a: x\u{85}\u{86}y\n", "there is a control character, U+0086, in this file", "\u{86}"),
    ];
    for (text, says, marked) in cases {
        let (got, at, _) = said(text);
        assert_eq!((got.as_str(), at.as_str()), (says, marked), "{text:?}");
        // The same with Windows line breaks.
        let (got, at, _) = said(&text.replace('\n', "\r\n"));
        assert_eq!((got.as_str(), at.as_str()), (says, marked), "{text:?} with CR LF");
    }
}

#[test]
fn several_mistakes_are_shown_in_one_run() {
    let sheet = sheet("a: b: c\nd: @f\nx: \"C:\\q\"\ny: \"3/4\" in\nz: 1\nz: 2\nv: *w\n");
    let lines: Vec<_> = sheet.problems().iter().map(|p| sheet.sources.position(p.span).unwrap().line).collect();
    assert_eq!(lines, [1, 2, 3, 4, 6, 7]);
    assert!(sheet.outcome.documents[0].tree.is_none());
}

#[test]
fn a_mend_never_cuts_a_character_in_a_later_problem() {
    // The mend of the first line turns `é` into two letters; the second problem is found in the mended text.
    let sheet = sheet("a: é: b\n - c\nz: d: é\n");
    assert!(sheet.problems().len() >= 2);
    for problem in sheet.problems() {
        assert!(!sheet.text(problem.span).is_empty());
        problem.also.iter().for_each(|(span, _)| assert!(!sheet.text(*span).is_empty()));
    }
}

#[test]
fn a_text_of_several_lines_that_holds_none_stands_on_its_own_line() {
    let sheet = sheet("top:\n  - |\n  - >\n\n\nb: |\n\n");
    // YAML 1.2.2, example 8.6: a block scalar of empty lines only is empty unless it keeps them.
    assert_eq!(sheet.json(), json!({"top": ["", ""], "b": ""}));
    assert_eq!(sheet.text(sheet.found("top").value_span), "|\n  - >".split_at(1).1);
    assert!(sheet.text(sheet.found("").value_span).ends_with("b: |"));
}

#[test]
fn a_pair_in_a_list_in_brackets_ends_with_its_value() {
    let sheet = sheet("a: [b: 1 , c: 2\n , [d]: 3]\n");
    assert_eq!(sheet.text(sheet.found("a[0]").value_span), "b: 1");
    assert_eq!(sheet.text(sheet.found("a[1]").value_span), "c: 2");
    assert_eq!(sheet.text(sheet.found("a[2]").value_span), "[d]: 3");
}

#[test]
fn a_broken_document_does_not_hide_the_others() {
    let sheet = sheet("a: 1\n---\nb: [\n---\nc: 3\nd: e: f\n---\ng: 4\n");
    let trees: Vec<_> = sheet.outcome.documents.iter().map(|d| d.tree.is_some()).collect();
    assert_eq!(trees, [true, false, false, true]);
    let last = sheet.outcome.documents[3].tree.as_ref().unwrap();
    let g = last.find(&Place::from("g")).unwrap();
    assert_eq!(sheet.sources.position(g.value_span).unwrap().line, 8);
    assert_eq!(sheet.problems().len(), 2);
    assert_eq!(sheet.text(sheet.outcome.documents[1].span), "---\nb: [\n");
    assert_eq!(sheet.outcome.documents[1].problems.len(), 1);
    assert_eq!(sheet.sources.position(sheet.outcome.documents[2].problems[0].span).unwrap().line, 6);
}

#[test]
fn a_file_without_a_spec_says_so() {
    for (text, holds) in [("", "empty"), ("\u{feff}\r\n", "empty"), ("# to do\n", "comments"), ("---\n", "nothing")] {
        let (says, ..) = said(text);
        assert!(says.starts_with("no spec in this file: it ") && says.contains(holds), "{says}");
    }
    assert_eq!(sheet("a: 1\n---\n").outcome.documents.len(), 1);
    assert!(sheet("a: 1\n---\n").problems().is_empty());
}

#[test]
fn an_encoding_other_than_utf_8_is_named() {
    let utf16 = |text: &str, big: bool| -> Vec<u8> {
        text.encode_utf16().flat_map(|unit| if big { unit.to_be_bytes() } else { unit.to_le_bytes() }).collect()
    };
    for (bytes, name) in [
        (utf16("\u{feff}a: 1", true), "UTF-16 (big-endian)"),
        (utf16("\u{feff}a: 1", false), "UTF-16 (little-endian)"),
        (utf16("a: 1", true), "UTF-16 (big-endian, without"),
        (utf16("a: 1", false), "UTF-16 (little-endian, without"),
        (vec![0xFF, 0xFE, 0, 0, b'a', 0, 0, 0], "UTF-32"),
    ] {
        let sheet = sheet(&bytes);
        assert!(sheet.problem().says.starts_with(&format!("this file is {name}")), "{:?}", sheet.problem());
    }
    let sheet = sheet(b"a: 1\nb: caf\xe9\nc: 2\n");
    assert_eq!(sheet.problem().says, "this file is not UTF-8: byte 12 (0xE9), on line 2");
    let position = sheet.sources.position(sheet.problem().span).unwrap();
    assert_eq!((position.line, position.column), (2, 7));
}
