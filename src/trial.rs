//! Trials: the proving cases beside each rule.
//!
//! A trial starts from a spec, changes a few facts and says what the rule must find there. A rule that stays quiet because it
//! had nothing to look at is not clear: that is its own answer, `not-applicable`.

use std::collections::HashMap;
use std::path::{Component, Path};

use serde::Deserialize;
use serde_json::Value;

use crate::inspection::{Inspector, Judged};
use crate::place::{Place, Step};
use crate::rulebook::Findings;
use crate::rulebook::card::{Signal, Verdict};
use crate::rulebook::host::place_of;
use crate::rulebook::script::Rule;
use crate::spec::Shelf;

/// The demo shop, which trials may start from.
static SPECS: include_dir::Dir<'_> = include_dir::include_dir!("$CARGO_MANIFEST_DIR/specs");

/// One trial, as written.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Trial {
    /// What it shows, in a few words.
    pub trial: String,
    /// The spec it starts from: a file of the demo shop without its ending, or a spec written out.
    pub start: Start,
    /// Facts to set: place and value.
    #[serde(default)]
    pub change: Vec<HashMap<String, Value>>,
    /// Facts to take out.
    #[serde(default)]
    pub remove: Vec<String>,
    /// What the rule must find.
    pub expect: Expect,
    /// Places that the item must point at.
    #[serde(default)]
    pub at: Vec<String>,
    /// Places of facts that an open item must ask for.
    #[serde(default)]
    pub settle: Vec<String>,
    /// Words that the item's sentence or remedy must hold.
    #[serde(default)]
    pub says: Option<String>,
}

/// Where a trial starts.
#[derive(Debug, Clone, Deserialize)]
#[serde(untagged)]
pub enum Start {
    /// A file of the demo shop.
    File(String),
    /// A spec; `rigproof` and `name` are filled in.
    Written(serde_json::Map<String, Value>),
}

/// What a rule must find.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Expect {
    /// It breaks.
    Flagged,
    /// It can't be said.
    Open,
    /// It was looked at, and is met.
    Clear,
    /// There was nothing to look at.
    NotApplicable,
}

/// How a trial went.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// The rule.
    pub rule: String,
    /// The trial; empty for what the rule owes beside its trials.
    pub trial: String,
    /// What it expected; `None` for what the rule owes beside its trials.
    pub expect: Option<Expect>,
    /// What went otherwise; `None` when it holds.
    pub amiss: Option<String>,
}

/// Gives the bytes of a spec by its path inside the folder of specs.
pub type Specs<'a> = &'a dyn Fn(&str) -> Option<Vec<u8>>;

/// The demo shop, as embedded.
pub fn demo_shop(path: &str) -> Option<Vec<u8>> {
    SPECS.get_file(path).map(|file| file.contents().to_vec())
}

/// Runs the trials of a rulebook's files against it, and holds each rule to what every rule owes; `specs` holds what trials
/// start from, and the demo shop that every rule must run on.
pub fn prove(inspector: &Inspector, files: &[(&str, &str)], specs: Specs<'_>) -> Vec<Outcome> {
    let mut outcomes = Vec::new();
    let mut bases = Bases { specs, read: HashMap::new() };
    for (path, text) in files {
        let Some(rule) = path.strip_suffix(".trials.yaml").map(|path| path.rsplit('/').next().unwrap_or(path)) else {
            continue;
        };
        let Some(number) = inspector.rulebook.rules.iter().position(|known| known.card.id == rule) else {
            outcomes.push(Outcome::owed(rule, format!("there is no rule `{rule}` beside {path}")));
            continue;
        };
        match serde_yaml::from_str::<Vec<Trial>>(text) {
            Ok(trials) => outcomes.extend(trials.iter().map(|trial| {
                let amiss = run(inspector, &mut bases, number, trial).err();
                Outcome { rule: rule.to_owned(), trial: trial.trial.clone(), expect: Some(trial.expect), amiss }
            })),
            Err(error) => outcomes.push(Outcome::owed(rule, format!("the trials can't be read: {error}"))),
        }
    }
    owed(inspector, specs, &mut outcomes);
    outcomes
}

impl Outcome {
    /// What a rule lacks beside its trials.
    fn owed(rule: &str, says: String) -> Self {
        Self { rule: rule.to_owned(), trial: String::new(), expect: None, amiss: Some(says) }
    }
}

/// Adds what rules lack: a card that reads well, trials for each answer they can give, something to look at.
fn owed(inspector: &Inspector, specs: Specs<'_>, outcomes: &mut Vec<Outcome>) {
    let shop = shop(inspector, specs);
    for (number, rule) in inspector.rulebook.rules.iter().enumerate() {
        let card = &rule.card;
        let id = &card.id;
        let mut lacks = card_lacks(rule, inspector);
        let proved = |expect| outcomes.iter().any(|outcome| outcome.rule == *id && outcome.expect == Some(expect));
        if !outcomes.iter().any(|outcome| outcome.rule == *id) {
            lacks.push("it has no trials".to_owned());
        } else {
            // A notice may only ask: then it is never more than open.
            let asks = card.signal == Signal::Notice && proved(Expect::Open);
            if !proved(Expect::Flagged) && !asks {
                lacks.push("no trial shows a rig that is flagged".to_owned());
            }
            if !proved(Expect::Clear) {
                lacks.push("no trial shows a rig that is clear".to_owned());
            }
            if !proved(Expect::Open) && rule.text.contains("unsure:") {
                lacks.push("it has words for `unsure`, but no trial in which it can't say".to_owned());
            }
        }
        let mut looked = [Expect::Flagged, Expect::Open, Expect::Clear].into_iter().any(proved);
        for (spec, judged) in &shop {
            let mut findings = Findings::default();
            inspector.rulebook.run_one(&judged.scene, number, &mut findings);
            looked |= findings.ran > 0;
            if let Some((_, fault)) = findings.faults.first() {
                lacks.push(format!("it can't be run on specs/{spec}: {}", fault.says));
            }
            if findings.found.iter().any(|finding| finding.verdict == Verdict::CannotSay && finding.says.is_empty()) {
                lacks.push(format!("it can't say for specs/{spec}, and has no sentence for `unsure`"));
            }
        }
        if !looked {
            lacks.push(format!("it looks at each {}, and there is none in any trial or spec of the shop", card.each));
        }
        outcomes.extend(lacks.into_iter().map(|says| Outcome::owed(id, says)));
    }
}

/// What a card lacks to read well in a list, and to be true.
fn card_lacks(rule: &Rule, inspector: &Inspector) -> Vec<String> {
    let card = &rule.card;
    let mut lacks = Vec::new();
    if !card.id.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-') {
        lacks.push("its id must be small letters, digits and hyphens".to_owned());
    }
    if card.title.chars().count() > LONGEST_TITLE {
        lacks.push(format!("its title has more than {LONGEST_TITLE} characters"));
    }
    if card.title.ends_with('.') {
        lacks.push("its title ends in a full stop".to_owned());
    }
    for cause in &card.under {
        if *cause == card.id || !inspector.rulebook.rules.iter().any(|known| known.card.id == *cause) {
            lacks.push(format!("`under` names `{cause}`, which is no other rule"));
        }
    }
    for (name, _) in &card.limits {
        if !rule.text.contains(&format!(".{}", name.replace('-', "_"))) {
            lacks.push(format!("the limit `{name}` on its card is not used"));
        }
    }
    lacks
}

/// A title of more characters does not fit a line beside its rule's id.
const LONGEST_TITLE: usize = 60;

/// The specs of the demo shop, judged, by their paths.
fn shop(inspector: &Inspector, specs: Specs<'_>) -> Vec<(String, Judged)> {
    let mut paths = Vec::new();
    spec_paths(&SPECS, &mut paths);
    paths.sort_unstable();
    let open = |path: &str| specs(&tidy(path)).ok_or_else(|| "there is no such file".to_owned());
    let judge = |path: String| {
        let judged = inspector.figure(&path, &specs(&path)?, &mut Shelf::default(), &open).ok()?;
        Some((path, judged))
    };
    paths.into_iter().filter_map(judge).collect()
}

/// The paths of the files of a folder that begin as specs do.
fn spec_paths(folder: &include_dir::Dir<'_>, paths: &mut Vec<String>) {
    for file in folder.files() {
        let is_spec = file.contents_utf8().is_some_and(|text| text.lines().any(|line| line.starts_with("rigproof:")));
        if let (true, Some(path)) = (is_spec, file.path().to_str()) {
            paths.push(path.replace('\\', "/"));
        }
    }
    folder.dirs().for_each(|inner| spec_paths(inner, paths));
}

/// Specs that trials start from, parts books taken in.
struct Bases<'a> {
    specs: Specs<'a>,
    read: HashMap<String, Value>,
}

impl Bases<'_> {
    fn get(&mut self, inspector: &Inspector, name: &str) -> Result<Value, String> {
        if let Some(known) = self.read.get(name) {
            return Ok(known.clone());
        }
        let file = format!("{name}.yaml");
        let text = (self.specs)(&file).ok_or_else(|| format!("there is no specs/{file} to start from"))?;
        let specs = self.specs;
        let open = |path: &str| specs(&tidy(path)).ok_or_else(|| "there is no such file".to_owned());
        let judged = inspector
            .figure(&file, &text, &mut Shelf::default(), &open)
            .map_err(|(_, problems)| problems_text(&problems))?;
        let mut value = judged.tree.to_json(judged.tree.root());
        // The parts are taken in; without their books the spec stands by itself.
        if let Some(spec) = value.as_object_mut() {
            spec.remove("books");
            for part in
                spec.get_mut("parts").and_then(Value::as_object_mut).into_iter().flat_map(|parts| parts.values_mut())
            {
                if let Some(part) = part.as_object_mut() {
                    part.remove("from");
                }
            }
        }
        self.read.insert(name.to_owned(), value.clone());
        Ok(value)
    }
}

/// A path without `.` and `..`, as the embedded folder knows it.
fn tidy(path: &str) -> String {
    let mut kept: Vec<&str> = Vec::new();
    for piece in Path::new(path).components() {
        match piece {
            Component::ParentDir => {
                kept.pop();
            }
            Component::Normal(piece) => kept.extend(piece.to_str()),
            _ => {}
        }
    }
    kept.join("/")
}

fn problems_text(problems: &[crate::problem::Problem]) -> String {
    let each = problems.iter().map(|problem| {
        let fix = problem.fix.as_deref().map_or(String::new(), |fix| format!(" ({fix})"));
        format!("{}: {}{fix}", problem.place, problem.says)
    });
    format!("the spec can't be judged: {}", each.collect::<Vec<_>>().join("; "))
}

/// What each trial changes in the spec it starts from, as a difference of lines, under the trial's name. A trial that writes its
/// spec out, or changes nothing, is left out.
pub fn changes(inspector: &Inspector, trials: &str, specs: Specs<'_>) -> Vec<(String, String)> {
    let mut bases = Bases { specs, read: HashMap::new() };
    let Ok(trials) = serde_yaml::from_str::<Vec<Trial>>(trials) else { return Vec::new() };
    let each = trials.iter().filter_map(|trial| {
        let Start::File(name) = &trial.start else { return None };
        let before = serde_yaml::to_string(&bases.get(inspector, name).ok()?).ok()?;
        let after = spec_of(inspector, &mut bases, trial).ok()?;
        let difference = similar::TextDiff::from_lines(&before, &after).unified_diff().context_radius(1).to_string();
        (!difference.is_empty()).then(|| (format!("{}, from specs/{name}.yaml", trial.trial), difference))
    });
    each.collect()
}

/// The spec of a trial, as text.
fn spec_of(inspector: &Inspector, bases: &mut Bases<'_>, trial: &Trial) -> Result<String, String> {
    let mut spec = match &trial.start {
        Start::File(name) => bases.get(inspector, name)?,
        Start::Written(spec) => {
            let mut spec = spec.clone();
            spec.entry("rigproof").or_insert_with(|| 1.into());
            spec.entry("name").or_insert_with(|| trial.trial.clone().into());
            Value::Object(spec)
        }
    };
    for place in &trial.remove {
        take(&mut spec, &Place::from(place.as_str())).ok_or_else(|| format!("`{place}` is not there to be removed"))?;
    }
    for (place, value) in trial.change.iter().flatten() {
        set(&mut spec, &Place::from(place.as_str()), value.clone()).ok_or_else(|| format!("`{place}` can't be set"))?;
    }
    serde_yaml::to_string(&spec).map_err(|error| error.to_string())
}

fn set(spec: &mut Value, place: &Place, new: Value) -> Option<()> {
    let mut at = spec;
    for step in place.steps() {
        at = match step {
            Step::Key(key) => {
                if !at.is_object() {
                    // A bare value gives way to the group it stands for.
                    *at = Value::Object(serde_json::Map::new());
                }
                at.as_object_mut()?.entry(key).or_insert(Value::Null)
            }
            Step::Entry(index) => {
                if !at.is_array() {
                    *at = Value::Array(Vec::new());
                }
                let list = at.as_array_mut()?;
                if list.len() == index {
                    list.push(Value::Null);
                }
                list.get_mut(index)?
            }
        };
    }
    *at = new;
    Some(())
}

fn take(spec: &mut Value, place: &Place) -> Option<Value> {
    let parent = place.parent()?;
    let mut at = spec;
    for step in parent.steps() {
        at = match step {
            Step::Key(key) => at.get_mut(key)?,
            Step::Entry(index) => at.get_mut(index)?,
        };
    }
    match place.steps().last()? {
        Step::Key(key) => at.as_object_mut()?.shift_remove(key),
        Step::Entry(index) => {
            let list = at.as_array_mut()?;
            (index < list.len()).then(|| list.remove(index))
        }
    }
}

fn run(inspector: &Inspector, bases: &mut Bases<'_>, number: usize, trial: &Trial) -> Result<(), String> {
    let text = spec_of(inspector, bases, trial)?;
    let open = |_: &str| Err("a trial has no parts books".to_owned());
    let judged = inspector
        .figure("trial.yaml", text.as_bytes(), &mut Shelf::default(), &open)
        .map_err(|(_, problems)| problems_text(&problems))?;
    let mut findings = Findings::default();
    inspector.rulebook.run_one(&judged.scene, number, &mut findings);
    if let Some((_, fault)) = findings.faults.first() {
        return Err(format!("the rule could not be run: {}", fault.says));
    }
    let broken: Vec<_> = findings.found.iter().filter(|finding| finding.verdict == Verdict::Breaks).collect();
    let open: Vec<_> = findings.found.iter().filter(|finding| finding.verdict == Verdict::CannotSay).collect();
    let found = match (findings.ran, broken.is_empty(), open.is_empty()) {
        (0, ..) => Expect::NotApplicable,
        (_, false, _) => Expect::Flagged,
        (_, true, false) => Expect::Open,
        (_, true, true) => Expect::Clear,
    };
    if found != trial.expect {
        let said = findings.found.first().map_or(String::new(), |finding| format!(": {}", said(&judged, finding)));
        return Err(format!("expected {:?}, found {found:?}{said}", trial.expect).to_lowercase());
    }
    let shown = if found == Expect::Flagged { broken } else { open };
    let places = |finding: &crate::rulebook::card::Finding| -> Vec<String> {
        finding.at.iter().chain(&finding.because).map(|mark| place_of(&judged.scene, &mark.at).to_string()).collect()
    };
    for at in &trial.at {
        if !shown.iter().any(|finding| places(finding).contains(at)) {
            let all: Vec<String> = shown.iter().flat_map(|finding| places(finding)).collect();
            return Err(format!("it does not point at `{at}` but at {}", all.join(", ")));
        }
    }
    for place in &trial.settle {
        let asks: Vec<String> = shown
            .iter()
            .flat_map(|finding| &finding.settle)
            .map(|fact| judged.scene.rig.place(*fact).to_string())
            .collect();
        if !asks.contains(place) {
            return Err(format!("it does not ask for `{place}` but for {}", asks.join(", ")));
        }
    }
    if let Some(words) = &trial.says
        && !shown.iter().any(|finding| said(&judged, finding).contains(words.as_str()))
    {
        let all: Vec<String> = shown.iter().map(|finding| said(&judged, finding)).collect();
        return Err(format!("it does not say `{words}` but: {}", all.join(" | ")));
    }
    Ok(())
}

fn said(judged: &Judged, finding: &crate::rulebook::card::Finding) -> String {
    let asks: Vec<String> =
        finding.settle.iter().take(3).map(|fact| judged.scene.rig.place(*fact).to_string()).collect();
    let asks = if asks.is_empty() { String::new() } else { format!(" (asks for {})", asks.join(", ")) };
    format!(
        "{}{}{asks}",
        finding.says,
        finding.remedy.as_deref().map_or(String::new(), |remedy| format!(" / {remedy}"))
    )
}
