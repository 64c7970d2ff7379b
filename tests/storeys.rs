//! Holds the source tree to its storeys: a module may import only modules that stand before it in `lib.rs`.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Every module of the crate in building order, each with what it may import. A module that is not listed fails the test.
const STOREYS: &[(&str, &[&str])] = &[
    ("place", &[]),
    ("problem", &["place"]),
    ("measure", &[]),
    ("spec", &["place", "problem"]),
    ("rig", &["place", "problem", "measure", "spec"]),
    ("schema", &["place", "problem", "spec", "rig"]),
    ("figures", &[]),
    ("bounds", &["measure", "rig", "figures"]),
    ("workings", &["place", "measure", "rig", "figures", "bounds"]),
    ("rulebook", &["place", "measure", "spec", "rig", "figures", "bounds", "workings"]),
    ("punchlist", &["place", "problem", "measure", "spec", "rig", "bounds", "workings", "rulebook"]),
    ("inspection", &["place", "problem", "spec", "rig", "schema", "bounds", "workings", "rulebook", "punchlist"]),
    ("report", &["place", "problem", "measure", "spec", "rig", "bounds", "workings", "rulebook", "punchlist"]),
    ("trial", &["place", "problem", "measure", "spec", "rig", "rulebook", "punchlist", "inspection"]),
    // `mix` asks the workings for its table; every other command goes through an inspection.
    (
        "cli",
        &["problem", "measure", "spec", "schema", "workings", "rulebook", "punchlist", "inspection", "report", "trial"],
    ),
];

/// Inside a module: who may not see what. The path begins with the first; the text of its code may not hold the second.
const WALLS: &[(&str, &str, &str)] = &[
    ("rig/", "spec::Tree", "only rig/takeoff.rs reads the tree"),
    ("figures/", "crate::", "figures import only figures and the standard library"),
    ("figures/", "std::fs", "figures do no input or output"),
    ("figures/", "serde", "figures read no files; the tables are handed in"),
    ("report/", "crate::figures", "a report computes nothing"),
    ("report/", "bounds::corners", "a report computes nothing"),
    ("rulebook/", "spec::Tree", "rules see the rig, not the file"),
    ("rulebook/", "spec::read", "rules see the rig, not the file"),
    ("cli/", "crate::figures", "the command line knows no engineering"),
    ("rulebook/", "crate::problem", "rules know no bytes"),
    ("rulebook/", "Span", "rules know no bytes"),
    ("workings/", "crate::problem", "workings know no bytes"),
];

/// Departures from the walls that are meant.
const DOORS: &[(&str, &str)] = &[("rig/takeoff.rs", "spec::Tree")];

fn src() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// The Rust files below `src` that belong to the product: path inside it, and the code without tests and comments.
fn files() -> Vec<(String, String)> {
    let mut files = Vec::new();
    let mut folders = vec![src()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let inside = path.strip_prefix(src()).unwrap().to_string_lossy().replace('\\', "/");
            if path.is_dir() {
                folders.push(path);
            } else if inside.ends_with(".rs") && !is_test(&inside) {
                files.push((inside, code(&std::fs::read_to_string(&path).unwrap())));
            }
        }
    }
    files.sort();
    assert!(files.len() > 50, "only {} files found", files.len());
    files
}

/// Files that hold only tests of the module they stand beside.
fn is_test(inside: &str) -> bool {
    inside.split('/').any(|step| matches!(step, "tests" | "tests.rs" | "brute_force.rs"))
}

/// Code up to the first test module, without comments.
fn code(text: &str) -> String {
    let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or(text);
    text.lines().map(|line| line.split("//").next().unwrap_or(line)).collect::<Vec<_>>().join("\n")
}

/// The modules that a text imports or names by `crate::`, groups such as `use crate::{place, spec::Tree}` included.
fn imports(code: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        if code[..at].ends_with('$') && rest.starts_with("rig::") {
            found.insert("rig".to_owned());
        } else if let Some(group) = rest.strip_prefix('{') {
            let mut depth = 0;
            let mut word = String::new();
            let mut taken = false;
            for c in group.chars() {
                match c {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => {
                        found.insert(std::mem::take(&mut word));
                        taken = false;
                    }
                    c if depth == 0 && !taken && (c.is_alphanumeric() || c == '_') => word.push(c),
                    ':' => taken = true,
                    _ => {}
                }
            }
            found.insert(word);
        } else {
            found.insert(rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect());
        }
    }
    found.remove("");
    found
}

fn module_of(inside: &str) -> &str {
    inside.split('/').next().unwrap_or(inside).trim_end_matches(".rs")
}

#[test]
fn the_table_is_in_the_order_of_lib_rs_and_lists_every_module() {
    let lib = std::fs::read_to_string(src().join("lib.rs")).unwrap();
    let declared: Vec<&str> = lib
        .lines()
        .filter_map(|line| line.trim_start_matches("pub ").strip_prefix("mod ")?.strip_suffix(';'))
        .collect();
    let listed: Vec<&str> = STOREYS.iter().map(|(module, _)| *module).collect();
    assert_eq!(declared, listed, "lib.rs and the table differ");
    for (at, (module, below)) in STOREYS.iter().enumerate() {
        for import in *below {
            assert!(
                listed[..at].contains(import),
                "the table lets {module} import {import}, which does not stand before it"
            );
        }
    }
}

#[test]
fn every_module_imports_only_what_the_table_allows() {
    let mut amiss = Vec::new();
    for (inside, code) in files() {
        let module = module_of(&inside);
        if matches!(module, "lib" | "main" | "build") {
            continue;
        }
        let Some((_, allowed)) = STOREYS.iter().find(|(name, _)| *name == module) else {
            amiss.push(format!("{inside}: the module `{module}` is not in the table"));
            continue;
        };
        for import in imports(&code) {
            if import != module && !allowed.contains(&import.as_str()) {
                amiss.push(format!("{inside} imports `{import}`, which `{module}` may not know"));
            }
        }
    }
    assert!(amiss.is_empty(), "{}", amiss.join("\n"));
}

#[test]
fn walls_inside_the_storeys_hold() {
    let mut amiss = Vec::new();
    for (inside, code) in files() {
        for (folder, word, why) in WALLS {
            let door = DOORS.contains(&(inside.as_str(), word));
            // Figures may name each other: `crate::figures`.
            let code = if *folder == "figures/" { code.replace("crate::figures", "") } else { code.clone() };
            if inside.starts_with(folder) && !door && code.contains(word) {
                amiss.push(format!("{inside} holds `{word}`: {why}"));
            }
        }
    }
    assert!(amiss.is_empty(), "{}", amiss.join("\n"));
}

/// The reading of imports itself: groups, nested groups, paths in the middle of code, macros.
#[test]
fn imports_are_found_however_they_are_written() {
    let found =
        imports("use crate::{place, spec::{Tree, NodeId}, rig};\nfn f(x: crate::report::Style) {}\n$crate::rig::form");
    assert_eq!(found.into_iter().collect::<Vec<_>>(), ["place", "report", "rig", "spec"]);
    assert_eq!(code("let a = 1; // crate::cli\n#[cfg(test)]\nmod tests {\nuse crate::cli;\n"), "let a = 1; ");
}
