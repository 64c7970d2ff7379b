//! Files made to exhaust the machine: each meets a limit that the message names.

use super::*;

/// The problem that ends a file, with its text.
fn refused(text: &str, word: &str) {
    let sheet = sheet(text);
    let problems = sheet.problems();
    assert!(problems.iter().any(|p| p.says.contains(word)), "{problems:?}");
    assert!(sheet.outcome.documents.iter().all(|d| d.tree.is_none()));
}

#[test]
fn brackets_without_end_stop_at_the_depth_limit() {
    refused(&"[".repeat(100_000), "64 levels");
    refused(&"{a: ".repeat(100_000), "64 levels");
    refused(&"- ".repeat(100_000), "64 levels");
    refused(&"[{".repeat(100_000), "64 levels");
    let steps: String = (0..2_000).map(|n| format!("{}k:\n", " ".repeat(n))).collect();
    refused(&steps, "64 levels");
}

#[test]
fn the_depth_limit_is_exact() {
    let nested = |n: usize| format!("a: {}{}\n", "[".repeat(n - 1), "]".repeat(n - 1));
    assert!(sheet(nested(limits::DEPTH)).problems().is_empty());
    refused(&nested(limits::DEPTH + 1), "64 levels");
    let block = |n: usize| (0..n).map(|n| format!("{}k:\n", " ".repeat(n))).collect::<String>();
    assert!(sheet(block(limits::DEPTH)).problems().is_empty());
    refused(&block(limits::DEPTH + 1), "64 levels");
}

#[test]
fn aliases_cannot_go_deeper_than_what_is_written() {
    let mut text = "a0: &a0 [[[[[[[[[[1]]]]]]]]]]\n".to_owned();
    for n in 1..10 {
        text.push_str(&format!("a{n}: &a{n} [[[[[[[[[[*a{}]]]]]]]]]]\n", n - 1));
    }
    refused(&text, "aliases followed this is nested more than 64");
}

#[test]
fn an_alias_bomb_is_counted_and_not_expanded() {
    // "Billion laughs" in YAML: ten levels of ten, 10^10 values.
    let mut text = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for n in 1..10 {
        let before = format!("*a{}", n - 1);
        text.push_str(&format!("a{n}: &a{n} [{}]\n", [before.as_str(); 10].join(", ")));
    }
    refused(&text, "1 000 000 values");
    // The same through merges.
    let keys: String = (0..1_000).map(|n| format!("k{n}: 1, ")).collect();
    let mut text = format!("m0: &m0 {{ {keys} }}\n");
    for n in 1..2_000 {
        text.push_str(&format!("m{n}: &m{n} {{ <<: *m{}, x{n}: 1 }}\n", n - 1));
    }
    refused(&text, "1 000 000 values");
}

#[test]
fn the_count_of_values_and_the_size_have_limits() {
    refused(&"- 1\n".repeat(limits::NODES + 1), "200 000 values");
    assert!(sheet("- 1\n".repeat(limits::NODES - 2)).problems().is_empty());
    let sheet = sheet(vec![b'#'; limits::FILE_BYTES + 1]);
    assert_eq!(sheet.problem().says, "this file has 8 388 609 bytes; the limit is 8 388 608 (8 MiB)");
}

#[test]
fn documents_and_problems_without_end_are_cut_short() {
    let many = sheet("--- 1\n".repeat(limits::DOCUMENTS + 5));
    assert_eq!(many.outcome.documents.len(), limits::DOCUMENTS + 1);
    assert!(many.problem().says.contains("1000 documents"));
    assert!(sheet("--- 1\n".repeat(limits::DOCUMENTS)).problems().is_empty());
    let broken = sheet("--- [\n".repeat(100_000));
    assert_eq!(broken.outcome.documents.len(), limits::DOCUMENTS);
    let doubles = sheet("a: 1\n".repeat(10_000));
    assert_eq!(doubles.problems().len(), limits::PROBLEMS + 1);
    assert!(doubles.problems().iter().any(|p| p.says.starts_with("9 899 more problems")));
}

#[test]
fn large_and_odd_files_are_read_to_the_end() {
    // Each of these once made some YAML reader slow, deep or silent.
    let long = "x".repeat(400_000);
    for text in [
        format!("a: {long}\n"),
        format!("a: \"{long}\n"),
        format!("a: '{}", "''".repeat(200_000)),
        format!("{long}: 1\n"),
        format!("a: [{}", "x, ".repeat(20_000)),
        format!("a: |\n{}", "  x\n".repeat(100_000)),
        format!("a: {}", "\n".repeat(400_000)),
        "# c\n".repeat(200_000),
        format!("{}a: 1", " ".repeat(400_000)),
        "\t".repeat(400_000),
        "a: b: c\n".repeat(100_000),
        "? ".repeat(100_000),
        "!".repeat(200_000),
        "&a ".repeat(60_000),
        "*a ".repeat(60_000),
        "%".repeat(200_000),
        "%a\n".repeat(60_000),
        "...\n".repeat(60_000),
        "\u{feff}".repeat(60_000),
        "\0".repeat(400_000),
        (0..20_000).map(|n| format!("&n{n} k{n}: *m{n}\n")).collect(),
    ] {
        let sheet = sheet(&text);
        sheet.problems().iter().for_each(|problem| {
            assert!(sheet.sources.slice(problem.span).is_some());
        });
    }
}

#[test]
fn a_mapping_of_many_keys_is_searched_quickly() {
    // A search from the front would compare 10^10 keys here; the test would not end.
    let text: String = (0..99_000).map(|n| format!("key{n}: 1\n")).collect();
    let sheet = sheet(&text);
    for n in 0..99_000 {
        assert!(sheet.tree().get(sheet.tree().root(), &format!("key{n}")).is_some());
    }
}
