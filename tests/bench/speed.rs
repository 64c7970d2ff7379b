//! How long things take, beside the least they could take on this machine: `cargo bench --bench speed`.
//!
//! Prints medians and worst cases; asserts nothing, because a time says as much about the machine and its load as about
//! the program. Run it on a quiet machine and compare lines of one run with each other.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use rigproof::inspection::{Inspected, Inspector};
use rigproof::report::{self, Style};
use rigproof::rig::{allow::Assumptions, take_off};
use rigproof::rulebook::Rulebook;
use rigproof::spec::{self, Shelf, Sources};
use rigproof::{punchlist, schema, workings};

const DEMO: [&str; 5] = ["tandem-roof-rig", "pickup-skid", "open-trailer", "first-draft", "sellers-offer"];
const COLD_RUNS: usize = 50;
const FLEET: usize = 1_000;

fn main() {
    let top = env!("CARGO_MANIFEST_DIR");
    if std::env::set_current_dir(top).is_err() {
        return println!("{top} is gone; nothing to measure");
    }
    cold();
    let inspector = start();
    warm(&inspector);
    stages(&inspector);
    fleet(&inspector);
}

/// Median and worst of some times.
fn spread(mut times: Vec<Duration>) -> (Duration, Duration) {
    times.sort_unstable();
    (times.get(times.len() / 2).copied().unwrap_or_default(), times.last().copied().unwrap_or_default())
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let made = work();
    (made, start.elapsed())
}

fn repeat(times: usize, mut work: impl FnMut()) -> (Duration, Duration) {
    spread((0..times).map(|_| timed(&mut work).1).collect())
}

fn line(what: &str, (median, worst): (Duration, Duration)) {
    println!("  {what:<44} {:>9.3} ms   worst {:>9.3} ms", median.as_secs_f64() * 1e3, worst.as_secs_f64() * 1e3);
}

/// A whole process, from spawn to exit, with its output thrown away.
fn process(program: &str, arguments: &[&str]) -> Option<(Duration, Duration)> {
    let run = || Command::new(program).args(arguments).stdout(Stdio::null()).stderr(Stdio::null()).status();
    run().ok()?;
    Some(repeat(COLD_RUNS, || drop(run())))
}

fn cold() {
    println!("Cold: a process from spawn to exit, median of {COLD_RUNS}");
    let rigproof = env!("CARGO_BIN_EXE_rigproof");
    for (what, program, arguments) in [
        ("floor: `true`", "true", &[][..]),
        ("rigproof --version", rigproof, &["--version"]),
        ("rigproof schema", rigproof, &["schema"]),
        ("rigproof inspect, a file that is refused", rigproof, &["inspect", "tests/golden/three-mistakes.yaml"]),
        ("rigproof inspect, tandem-roof-rig", rigproof, &["inspect", "specs/tandem-roof-rig.yaml"]),
        (
            "rigproof inspect --as json, tandem-roof-rig",
            rigproof,
            &["inspect", "specs/tandem-roof-rig.yaml", "--as", "json"],
        ),
    ] {
        match process(program, arguments) {
            Some(times) => line(what, times),
            None => println!("  {what:<44} could not be started"),
        }
    }
}

/// What a process does before its first spec.
fn start() -> Inspector {
    println!("Start: before the first spec");
    let files = Rulebook::standard_files();
    let assumptions: Vec<&str> =
        files.iter().filter(|(path, _)| *path == "assumptions.yaml").map(|(_, text)| *text).collect();
    line(
        "read the assumptions table",
        repeat(20, || assumptions.iter().for_each(|text| drop(Assumptions::read(text)))),
    );
    line(&format!("compile all {} rule files, table included", files.len()), repeat(20, || drop(Rulebook::standard())));
    match Inspector::standard() {
        Ok(inspector) => inspector,
        Err(faults) => {
            println!("the standard rulebook has faults: {faults:#?}");
            std::process::exit(1);
        }
    }
}

fn open(path: &str) -> Result<Vec<u8>, String> {
    std::fs::read(path).map_err(|error| error.to_string())
}

fn read_demo(name: &str) -> (String, Vec<u8>) {
    let path = format!("specs/{name}.yaml");
    let bytes = std::fs::read(Path::new(&path)).unwrap_or_default();
    (path, bytes)
}

fn warm(inspector: &Inspector) {
    println!("Warm: one inspection from bytes to punch list, books read already, median of 200");
    let mut shelf = Shelf::default();
    for name in DEMO {
        let (path, bytes) = read_demo(name);
        let inspect = |shelf: &mut Shelf| inspector.inspect(&path, &bytes, shelf, &open);
        let lists = inspect(&mut shelf).lists;
        let (items, figures) = lists.first().map_or((0, 0), |list| (list.items.len(), list.figures.len()));
        let times = repeat(200, || drop(inspect(&mut shelf)));
        line(
            &format!("{name}: {} lines, {items} items, {figures} figures", bytes.split(|byte| *byte == b'\n').count()),
            times,
        );
    }
}

/// Where the time of one inspection goes.
fn stages(inspector: &Inspector) {
    println!("Stages: tandem-roof-rig, median of 200");
    let (path, bytes) = read_demo("tandem-roof-rig");
    let mut shelf = Shelf::default();
    line(
        "floor: look at every byte",
        repeat(200, || _ = std::hint::black_box(bytes.iter().filter(|byte| **byte == b'\n').count())),
    );
    line("read the text into a tree", repeat(200, || drop(spec::read(&path, &bytes, &mut Sources::new()))));
    let mut sources = Sources::new();
    let Some(mut tree) =
        spec::read(&path, &bytes, &mut sources).documents.into_iter().next().and_then(|document| document.tree)
    else {
        return;
    };
    let before = tree.clone();
    let lay = |shelf: &mut Shelf| {
        let (mut tree, mut sources) = (before.clone(), sources.clone());
        drop(spec::overlay(&mut tree, &mut sources, shelf, &open));
    };
    line("lay in the parts books (with a copy of the tree)", repeat(200, || lay(&mut shelf)));
    drop(spec::overlay(&mut tree, &mut sources, &mut shelf, &open));
    line("hold the tree against the form", repeat(200, || drop(schema::check(&tree))));
    line("take the rig off the tree", repeat(200, || drop(take_off(&tree))));
    let (mut rig, _) = take_off(&tree);
    line(
        "apply the assumptions (with a copy of the rig)",
        repeat(200, || inspector.rulebook.assumptions.apply(&mut rig.clone())),
    );
    inspector.rulebook.assumptions.apply(&mut rig);
    line("work out the figures", repeat(200, || drop(workings::work(&rig))));
    let Ok(judged) = inspector.figure(&path, &bytes, &mut shelf, &open) else { return };
    line("run the rules", repeat(200, || drop(inspector.rulebook.run(&judged.scene))));
    rules(inspector, &judged);
    let inspected = inspector.inspect(&path, &bytes, &mut shelf, &open);
    let list = || {
        let times = (0..200).map(|_| {
            let findings = inspector.rulebook.run(&judged.scene);
            timed(|| {
                punchlist::build::build(&path, 1, &judged.tree, &judged.scene, &inspector.rulebook, findings, None)
            })
            .1
        });
        spread(times.collect())
    };
    line("make the punch list", list());
    render(&inspected);
}

/// The dearest rules.
fn rules(inspector: &Inspector, judged: &rigproof::inspection::Judged) {
    let mut dear: Vec<(Duration, Duration, &str)> = Vec::new();
    for (number, rule) in inspector.rulebook.rules.iter().enumerate() {
        let (median, worst) = repeat(20, || inspector.rulebook.run_one(&judged.scene, number, &mut Default::default()));
        dear.push((median, worst, &rule.card.id));
    }
    dear.sort_unstable_by(|a, b| b.cmp(a));
    for (median, worst, id) in dear.iter().take(5) {
        line(&format!("  of which {id}"), (*median, *worst));
    }
}

fn render(inspected: &Inspected) {
    let Some(list) = inspected.lists.first() else { return };
    let style = Style { width: 100, color: true, ..Style::default() };
    line("print it for a terminal", repeat(200, || drop(report::terminal(list, &inspected.sources, &style))));
    line("print it as plain sentences", repeat(200, || drop(report::plain(list, &inspected.sources, true))));
    line("print it as JSON", repeat(200, || drop(report::json_text(&report::json(&[(list, &inspected.sources)])))));
}

/// A thousand specs of one shop: the demo specs with other weights and sizes, so that no two are alike.
fn fleet(inspector: &Inspector) {
    let sources: Vec<(String, String)> = DEMO
        .iter()
        .map(|name| read_demo(name))
        .map(|(path, bytes)| (path, String::from_utf8_lossy(&bytes).into_owned()))
        .collect();
    let specs: Vec<(String, Vec<u8>)> = (0..FLEET)
        .map(|number| (&sources[number % sources.len()], number))
        .map(|((path, text), number)| (path.clone(), varied(text, number).into_bytes()))
        .collect();
    let mut shelf = Shelf::default();
    let mut refused = 0;
    let ((), time) = timed(|| {
        for (path, bytes) in &specs {
            let inspected = inspector.inspect(path, bytes, &mut shelf, &open);
            refused += usize::from(inspected.lists.iter().any(|list| !list.problems.is_empty()));
        }
    });
    println!("Fleet: {FLEET} specs one after the other on one thread, {refused} refused");
    line("all of them", (time, time));
    line("one of them, on average", (time / FLEET as u32, time / FLEET as u32));
    println!("  {:<44} {}", "peak memory of this process", peak_memory());
}

/// The text with every whole number of pounds moved by up to 40, by a fixed rule.
fn varied(text: &str, number: usize) -> String {
    let mut pieces = text.split(" lb");
    let mut out = pieces.next().unwrap_or_default().to_owned();
    for (at, piece) in pieces.enumerate() {
        let digits = out.bytes().rev().take_while(u8::is_ascii_digit).count();
        let start = out.len() - digits;
        let before = out.as_bytes().get(start.wrapping_sub(1)).copied();
        if let (Some(Ok(pounds)), Some(b' ')) = (out.get(start..).map(str::parse::<u64>), before) {
            out.truncate(start);
            out += &(pounds + ((number * 7 + at * 13) % 41) as u64).to_string();
        }
        out += " lb";
        out += piece;
    }
    out
}

/// As Linux tells it.
fn peak_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .map_or_else(|| "not told by this system".to_owned(), |peak| peak.trim().to_owned())
}
