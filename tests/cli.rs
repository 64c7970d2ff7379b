//! The command as it is called: exit status, streams, forms of output, and that it says the same thing every time.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Output, Stdio};

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

/// The command, called from the top of the repository with nothing of the caller's terminal.
fn rigproof(arguments: &[&str]) -> Command {
    rigproof_in(Path::new(env!("CARGO_MANIFEST_DIR")), arguments)
}

fn rigproof_in(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_rigproof"));
    command.current_dir(folder).args(arguments);
    for name in ["NO_COLOR", "COLUMNS", "TERM", "RAYON_NUM_THREADS"] {
        command.env_remove(name);
    }
    command
}

fn out(command: &mut Command) -> (i32, String, String) {
    let Output { status, stdout, stderr } = command.output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (status.code().expect("ended by a signal"), text(stdout), text(stderr))
}

/// A folder with these files in it.
fn folder(files: &[(&str, &[u8])]) -> TempDir {
    let folder = TempDir::new().unwrap();
    for (name, bytes) in files {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
    folder
}

/// A spec that states its name and nothing else; whatever the rules, nothing on it is known to be wrong.
const BARE: &[u8] = b"rigproof: 1\nname: bare\n";
const THREE: &str = "tests/golden/three-mistakes.yaml";

/// Every spec of the demo shop.
fn demo_specs() -> Vec<String> {
    let listed = std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("specs")).unwrap();
    let names = listed.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut specs: Vec<String> =
        names.filter(|name| name.ends_with(".yaml")).map(|name| format!("specs/{name}")).collect();
    specs.retain(|path| std::fs::read_to_string(path).unwrap().lines().any(|line| line.starts_with("rigproof:")));
    specs.sort();
    assert!(specs.len() >= 4, "{specs:?}");
    specs
}

/// What the exit status should be by the list that is printed, worked out here a second time.
fn status_by_list(list: &Value, hold_at: &str, open_questions: &str) -> i32 {
    let rank = |word: &str| ["notice", "caution", "warning", "danger"].iter().position(|known| *known == word).unwrap();
    let specs = list["specs"].as_array().unwrap();
    if specs.iter().any(|spec| {
        !spec["problems"].as_array().unwrap().is_empty() || !spec["troubles"].as_array().unwrap().is_empty()
    }) {
        return 2;
    }
    let held = specs.iter().flat_map(|spec| spec["items"].as_array().unwrap()).any(|item| {
        let signal = item["signal"].as_str().unwrap();
        let counts = item["variance"].is_null() && item["carried"] == false;
        let holds = match item["verdict"].as_str().unwrap() {
            "breaks" => rank(signal) >= rank(hold_at),
            "cannot-say" => signal == "danger" && open_questions == "hold",
            other => panic!("{other}"),
        };
        counts && holds
    });
    i32::from(held)
}

#[test]
fn the_exit_status_follows_from_the_list_the_hold_point_and_the_open_questions() {
    let mut seen = [0; 3];
    for spec in demo_specs() {
        for (hold_at, open_questions) in
            [("notice", "allow"), ("caution", "hold"), ("warning", "allow"), ("danger", "hold"), ("danger", "allow")]
        {
            let call = ["inspect", &spec, "--as", "json", "--hold-at", hold_at, "--open-questions", open_questions];
            let (status, text, stderr) = out(&mut rigproof(&call));
            let list: Value = serde_json::from_str(&text).unwrap();
            assert_eq!(status, status_by_list(&list, hold_at, open_questions), "{call:?}\n{stderr}");
            seen[status as usize] += 1;
        }
    }
    assert!(seen[0] > 0 && seen[1] > 0 && seen[2] == 0, "{seen:?}");
}

#[test]
fn an_overloaded_trailer_holds_and_its_variance_lets_it_pass() {
    let rig = "rigproof: 1
name: heavy
trailer: { body: open, empty: { weight: 1500 lb }, ratings: { gross: 2990 lb } }
parts:
  water: { kind: tank, holds: water, capacity: 275 gal, weight: 120 lb }
";
    let variance = "variances: [{ rule: trailer-over-its-rating, at: trailer.ratings.gross, reason: never filled, approved: the foreman, until: 2027-06-30 }]\n";
    let folder = folder(&[("heavy.yaml", rig.as_bytes()), ("granted.yaml", format!("{rig}{variance}").as_bytes())]);
    let over = |spec: &str, today: &str| {
        let (_, text, _) = out(&mut rigproof_in(folder.path(), &["inspect", spec, "--as", "json", "--today", today]));
        let list: Value = serde_json::from_str(&text).unwrap();
        let items = list["specs"][0]["items"].as_array().unwrap().clone();
        let item = items.into_iter().find(|item| item["rule"] == "trailer-over-its-rating").unwrap();
        (item["verdict"].as_str().unwrap().to_owned(), !item["variance"].is_null())
    };
    let (status, _, _) = out(&mut rigproof_in(folder.path(), &["inspect", "heavy.yaml"]));
    assert_eq!(status, 1);
    assert_eq!(over("heavy.yaml", "2026-11-25"), ("breaks".to_owned(), false));
    assert_eq!(over("granted.yaml", "2027-06-30"), ("breaks".to_owned(), true));
    assert_eq!(over("granted.yaml", "2027-07-01"), ("breaks".to_owned(), false), "a variance ends with its last day");
}

#[test]
fn what_is_not_there_or_can_t_be_read_gives_2_and_the_rest_is_inspected_all_the_same() {
    let folder = folder(&[
        ("good.yaml", BARE),
        ("latin.yaml", b"rigproof: 1\nname: caf\xe9\n"),
        ("broken.yaml", b"rigproof: 1\nname: [\n"),
        ("empty/readme.yaml", b"nothing: here\n"),
        ("empty.yaml", b""),
        ("book.yaml", b"rigproof: 1\nname: uses a book\nbooks: { shop: gone.yaml }\nparts: { a: { from: shop/a } }\n"),
    ]);
    for (call, stream, says) in [
        (&["inspect", "good.yaml", "gone.yaml"][..], 2, "there is no file or folder `gone.yaml`"),
        (&["inspect", "good.yaml", "latin.yaml"], 1, "not UTF-8"),
        (&["inspect", "good.yaml", "broken.yaml"], 1, "broken.yaml"),
        (&["inspect", "good.yaml", "empty.yaml"], 1, "it is empty"),
        (&["inspect", "good.yaml", "book.yaml"], 1, "gone.yaml"),
        (&["inspect", "empty"], 2, "no spec in `empty`"),
        (&["weigh", "gone.yaml"], 2, "there is no file"),
        (&["figures", "latin.yaml"], 1, "not UTF-8"),
        (&["weigh", "broken.yaml"], 1, "broken.yaml"),
        (&["weigh", "."], 2, "name one of them"),
    ] {
        let (status, stdout, stderr) = out(&mut rigproof_in(folder.path(), call));
        assert_eq!(status, 2, "{call:?}\n{stdout}\n{stderr}");
        let said = if stream == 1 { &stdout } else { &stderr };
        assert!(said.contains(says), "{call:?}\n{said}");
        assert_eq!(call.contains(&"good.yaml"), stdout.contains("bare"), "{call:?}\n{stdout}");
    }
}

#[cfg(unix)]
#[test]
fn a_file_or_folder_without_permission_gives_2() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder(&[("good.yaml", BARE), ("shut.yaml", BARE), ("room/in.yaml", BARE)]);
    for name in ["shut.yaml", "room"] {
        std::fs::set_permissions(folder.path().join(name), std::fs::Permissions::from_mode(0o0)).unwrap();
    }
    // The superuser may read everything.
    if std::fs::read(folder.path().join("shut.yaml")).is_err() {
        let (status, stdout, stderr) = out(&mut rigproof_in(folder.path(), &["inspect", "."]));
        assert_eq!(status, 2);
        assert!(stdout.contains("bare") && stderr.contains("shut.yaml") && stderr.contains("room"), "{stderr}");
    }
    std::fs::set_permissions(folder.path().join("room"), std::fs::Permissions::from_mode(0o755)).unwrap();
    // A link that leads nowhere, and one that leads back.
    std::os::unix::fs::symlink("nowhere", folder.path().join("room/link.yaml")).unwrap();
    assert_eq!(out(&mut rigproof_in(folder.path(), &["inspect", "room/link.yaml"])).0, 2);
}

#[test]
fn a_wrong_call_gives_2_with_a_hint_on_the_error_stream() {
    for (call, says) in [
        (&["inspekt", "a.yaml"][..], "inspect"),
        (&["inspect"], "<SPEC>"),
        (&["inspect", "a.yaml", "--hold-at", "severe"], "danger"),
        (&["inspect", "a.yaml", "--as", "xml"], "json"),
        (&["inspect", "a.yaml", "--today", "2026-02-30"], "2026-11-25"),
        (&["inspect", "a.yaml", "--widht", "80"], "--width"),
        (&["rulebook", "show", "trailer-over-its-ratin"], "did you mean `trailer-over-its-rating`?"),
        (&[], "Usage"),
    ] {
        let (status, stdout, stderr) = out(&mut rigproof(call));
        assert_eq!((status, stdout.as_str()), (2, ""), "{call:?}");
        assert!(stderr.contains(says), "{call:?}\n{stderr}");
    }
    for call in [
        &["--help"][..],
        &["--version"],
        &["inspect", "--help"],
        &["inspect", "-h"],
        &["rulebook", "--help"],
        &["schema"],
        &["rulebook", "list"],
    ] {
        let (status, stdout, stderr) = out(&mut rigproof(call));
        assert_eq!((status, stderr.as_str()), (0, ""), "{call:?}");
        assert!(!stdout.is_empty(), "{call:?}");
    }
}

#[test]
fn a_rulebook_is_proved_with_0_and_1_and_a_broken_one_gives_2() {
    let read = |path: &str| std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("rules").join(path)).unwrap();
    let script = read("weight/trailer-over-its-rating.rhai");
    let trials = String::from_utf8(read("weight/trailer-over-its-rating.trials.yaml")).unwrap();
    let turned = trials.replacen("expect: flagged", "expect: clear", 1);
    let assumptions = read("assumptions.yaml");
    let status = |script: &[u8], trials: &str| {
        let folder = folder(&[
            ("rules/assumptions.yaml", &assumptions),
            ("rules/weight/trailer-over-its-rating.rhai", script),
            ("rules/weight/trailer-over-its-rating.trials.yaml", trials.as_bytes()),
        ]);
        out(&mut rigproof_in(folder.path(), &["rulebook", "prove", "--rules", "rules"]))
    };
    let (right, said, stderr) = status(&script, &trials);
    assert_eq!(right, 0, "{said}{stderr}");
    let (wrong, said, _) = status(&script, &turned);
    assert_eq!(wrong, 1);
    assert!(said.contains("trailer-over-its-rating"), "{said}");
    let (broken, _, stderr) = status(b"let card = ;", &trials);
    assert_eq!(broken, 2);
    assert!(stderr.contains("weight/trailer-over-its-rating.rhai"), "{stderr}");
    assert_eq!(out(&mut rigproof(&["rulebook", "prove", "--rules", "nowhere"])).0, 2);
}

#[test]
fn standard_input_and_streams_of_documents_are_read() {
    let two = "rigproof: 1\nname: first\n---\nrigproof: 1\nname: second\ntrailer: { jack: 5 }\n---\nrigproof: 1\nname: third\n";
    let (status, text, _) = out(rigproof(&["inspect", "-", "--as", "json"]).write_stdin(two));
    assert_eq!(status, 2);
    let list: Value = serde_json::from_str(&text).unwrap();
    let specs = list["specs"].as_array().unwrap();
    let told: Vec<_> = specs
        .iter()
        .map(|spec| {
            (
                spec["name"].as_str().unwrap(),
                spec["document"].as_u64().unwrap(),
                spec["problems"].as_array().unwrap().len(),
            )
        })
        .collect();
    assert_eq!(told, [("first", 1, 0), ("", 2, 1), ("third", 3, 0)]);
    // Lines count from the start of the file, not of the document.
    assert_eq!(specs[1]["problems"][0]["labels"][0]["line"], 6);
    assert_eq!(specs[0]["file"], "standard input");
    // Parts books of a spec that is piped in are looked for where the command is called.
    let (_, text, _) =
        out(rigproof_in(&Path::new(env!("CARGO_MANIFEST_DIR")).join("specs"), &["inspect", "-", "--as", "json"])
            .write_stdin(std::fs::read("specs/tandem-roof-rig.yaml").unwrap()));
    let list: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(list["specs"][0]["problems"].as_array().unwrap().len(), 0);
    assert_eq!(out(rigproof(&["inspect", "-"]).write_stdin("")).0, 2);
}

/// JSON Schema 2020-12, by the jsonschema crate 0.61.
#[test]
fn the_json_is_what_its_schema_says() {
    let schema: Value =
        serde_json::from_str(&std::fs::read_to_string("schema/inspection.schema.json").unwrap()).unwrap();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let mut specs = demo_specs();
    specs.push(THREE.to_owned());
    let mut calls: Vec<Vec<&str>> = specs.iter().map(|spec| vec![spec.as_str()]).collect();
    calls.push(specs.iter().map(String::as_str).collect());
    for call in calls {
        let (_, text, _) = out(rigproof(&["inspect", "--as", "json"]).args(&call));
        let list: Value = serde_json::from_str(&text).unwrap();
        let amiss: Vec<String> =
            validator.iter_errors(&list).map(|error| format!("{}: {error}", error.instance_path())).collect();
        assert!(amiss.is_empty(), "{call:?}\n{}", amiss.join("\n"));
        assert_eq!(list["specs"].as_array().unwrap().len(), call.len());
        for spec in list["specs"].as_array().unwrap() {
            let count = |signal: &str| {
                let items = spec["items"].as_array().unwrap().iter();
                items
                    .filter(|i| {
                        i["signal"] == signal
                            && i["verdict"] == "breaks"
                            && i["variance"].is_null()
                            && i["carried"] == false
                    })
                    .count()
            };
            for signal in ["danger", "warning", "caution", "notice"] {
                assert_eq!(spec["tally"][signal], count(signal), "{signal}");
            }
            // Figures are named as items name them.
            let figures: Vec<_> = spec["figures"].as_array().unwrap().iter().map(|figure| &figure["id"]).collect();
            for used in spec["items"].as_array().unwrap().iter().flat_map(|item| item["figures"].as_array().unwrap()) {
                assert!(figures.contains(&used), "{used}");
            }
        }
    }
}

#[test]
fn three_mistakes_are_told_as_the_golden_files_have_it() {
    for (form, golden) in [("plain", "three-mistakes.txt"), ("json", "three-mistakes.json")] {
        let (status, text, _) = out(&mut rigproof(&["inspect", THREE, "--as", form]));
        assert_eq!(status, 2);
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(golden);
        if std::env::var_os("RIGPROOF_WRITE_GOLDEN").is_some() {
            std::fs::write(&path, &text).unwrap();
        }
        assert_eq!(text, std::fs::read_to_string(path).unwrap(), "{golden}; RIGPROOF_WRITE_GOLDEN=1 writes it anew");
    }
}

#[test]
fn plain_sentences_are_plain_and_a_dumb_terminal_gets_them_unasked() {
    for spec in demo_specs() {
        let (_, plain, _) = out(&mut rigproof(&["inspect", &spec, "--plain"]));
        let odd: Vec<&str> = plain.lines().filter(|line| !line.is_ascii() || line.contains('\u{1b}')).collect();
        assert!(odd.is_empty(), "{spec}\n{}", odd.join("\n"));
        assert_eq!(plain, out(&mut rigproof(&["inspect", &spec, "--as", "plain"])).1);
        assert_eq!(plain, out(rigproof(&["inspect", &spec]).env("TERM", "dumb")).1);
        assert_eq!(
            plain,
            out(&mut rigproof(&["inspect", &spec, "--plain", "--color", "always"])).1,
            "plain has no color"
        );
        let (_, ticket, _) = out(&mut rigproof(&["weigh", &spec, "--plain"]));
        assert!(ticket.is_ascii() && !ticket.is_empty(), "{ticket}");
    }
}

#[test]
fn color_comes_only_when_asked_for_and_width_is_kept() {
    let escape = |text: &str| text.contains('\u{1b}');
    assert!(!escape(&out(&mut rigproof(&["inspect", THREE])).1), "no terminal, no color");
    assert!(escape(&out(&mut rigproof(&["inspect", THREE, "--color", "always"])).1));
    assert!(!escape(&out(rigproof(&["inspect", THREE]).env("NO_COLOR", "1")).1));
    // What is asked for on the command line outweighs the environment.
    assert!(escape(&out(rigproof(&["inspect", THREE, "--color", "always"]).env("NO_COLOR", "1")).1));
    let widest = |call: &mut Command| out(call).1.lines().map(|line| line.chars().count()).max().unwrap();
    for width in [60, 80, 120] {
        for spec in demo_specs().iter().map(String::as_str).chain([THREE]) {
            let widest = widest(&mut rigproof(&["inspect", spec, "--width", &width.to_string()]));
            assert!(widest <= width, "{spec} at {width}: a line of {widest}");
        }
    }
    assert!(widest(rigproof(&["inspect", THREE]).env("COLUMNS", "60")) <= 60);
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    for call in [
        &["schema"][..],
        &["figures", "specs/tandem-roof-rig.yaml", "--working"],
        &["inspect", "specs", "--as", "json"],
    ] {
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_rigproof"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(call)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let done = child.wait_with_output().unwrap();
        assert_eq!(String::from_utf8(done.stderr).unwrap(), "", "{call:?}");
        assert!(matches!(done.status.code(), Some(0 | 1)), "{call:?}: {:?}", done.status);
    }
}

#[test]
fn the_same_bytes_come_out_every_time_with_any_number_of_threads() {
    for form in ["json", "terminal", "plain"] {
        let call = ["inspect", "specs", THREE, "--as", form, "--today", "2026-11-25", "--width", "90"];
        let (_, first, _) = out(rigproof(&call).env("RAYON_NUM_THREADS", "1"));
        for threads in ["2", "8", "8"] {
            let (_, again, _) = out(rigproof(&call).env("RAYON_NUM_THREADS", threads));
            assert!(first == again, "{form} differs with {threads} threads");
        }
    }
}

#[test]
fn nothing_tells_where_the_command_was_called_and_no_file_is_touched() {
    let specs = Path::new(env!("CARGO_MANIFEST_DIR")).join("specs");
    let copies: Vec<(String, Vec<u8>)> = std::fs::read_dir(specs)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .map(|path| (format!("specs/{}", path.file_name().unwrap().to_str().unwrap()), std::fs::read(&path).unwrap()))
        .collect();
    let copies: Vec<(&str, &[u8])> = copies.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    let folder = folder(&copies);
    let before = tree(folder.path());
    let here = folder.path().to_str().unwrap();
    for call in [
        &["inspect", "specs"][..],
        &["inspect", "specs", "--as", "json"],
        &["inspect", "specs", "--plain"],
        &["weigh", "specs/tandem-roof-rig.yaml"],
        &["figures", "specs/tandem-roof-rig.yaml", "--working"],
        &["figures", "specs/tandem-roof-rig.yaml", "--as", "json"],
        &["rulebook", "list"],
        &["schema"],
    ] {
        let (status, stdout, stderr) = out(&mut rigproof_in(folder.path(), call));
        assert!(status < 2, "{call:?}\n{stderr}");
        for path in [here, env!("CARGO_MANIFEST_DIR")] {
            assert!(!stdout.contains(path) && !stderr.contains(path), "{call:?} tells {path}");
        }
    }
    assert_eq!(tree(folder.path()), before);
}

/// Every file of a folder with its bytes and the time it was last written.
fn tree(folder: &Path) -> BTreeMap<PathBuf, (Vec<u8>, std::time::SystemTime)> {
    let mut files = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(tree(&path));
        } else {
            let written = std::fs::metadata(&path).unwrap().modified().unwrap();
            files.insert(path.clone(), (std::fs::read(&path).unwrap(), written));
        }
    }
    files
}
