//! What a rule script is handed, and what it may do with it.
//!
//! A script never gets a map or a bare number out of the spec. It gets things (the trailer, a tank) whose properties are
//! looked up by name, quantities that know their range and unit, words, and verdicts with three answers. Anything the host
//! does not offer is an error that points into the script: an unknown property, two unlike things compared, a verdict used
//! as a yes or no.

use std::collections::HashMap;
use std::sync::{Arc, OnceLock};

use rhai::{Array, Dynamic, Engine, EvalAltResult, FLOAT, ImmutableString, Map, Position};

use super::card::{Finding, Mark, MarkAt, Signal, Verdict};
use crate::bounds::Bounded;
use crate::measure::{Answer, Dim, Measure, Range, System, show};
use crate::place::Place;
use crate::rig::form::{Shape, same_word};
use crate::rig::{Basis, EntryId, FactId, Rig, Slot, Value};
use crate::spec::nearest;
use crate::workings::{Card, FigureId, Gives, Property, Sheet, SubjectId, cards};

/// The rig and its figures, as scripts see them.
#[derive(Debug)]
pub struct Scene {
    /// The rig.
    pub rig: Rig,
    /// Its figures.
    pub sheet: Sheet,
    /// Units for sentences.
    pub system: System,
}

/// One thing: the rig, a tank, a pair of parts.
#[derive(Debug, Clone)]
pub struct Thing {
    pub(super) scene: Arc<Scene>,
    pub(super) id: SubjectId,
}

/// A quantity with its range.
#[derive(Debug, Clone)]
pub struct Quantity(pub(super) Arc<Inner>);

#[derive(Debug)]
pub(super) struct Inner {
    pub(super) value: Bounded,
    measure: Option<Measure>,
    dim: Dim,
    /// Where its facts are; a limit of a card has none.
    scene: Option<Arc<Scene>>,
    system: System,
    fact: Option<FactId>,
    pub(super) figures: Vec<FigureId>,
}

/// A word, yes or no, or text of the spec.
#[derive(Debug, Clone)]
pub struct Said {
    scene: Arc<Scene>,
    fact: FactId,
}

/// The limits of a card, as quantities.
#[derive(Debug, Clone)]
pub struct Limits(pub(super) Arc<Vec<(String, Quantity)>>);

/// An answer to a question: yes, no, or open, with the facts that would settle it.
#[derive(Debug, Clone)]
pub struct Ruling {
    answer: Answer,
    settle: Vec<FactId>,
    figures: Vec<FigureId>,
    facts: Vec<FactId>,
}

/// What `flag` makes of a ruling.
#[derive(Debug, Clone)]
pub struct Flagged(pub(super) Arc<Finding>, pub(super) Option<Signal>);

type Fallible<T> = Result<T, Box<EvalAltResult>>;

fn wrong<T>(says: impl Into<String>) -> Fallible<T> {
    Err(Box::new(EvalAltResult::ErrorRuntime(says.into().into(), Position::NONE)))
}

/// What every thing has beside its fields and figures.
const BUILT_IN: &[&str] = &["name", "of", "place"];

/// Every property that some thing has, for the check when a rule loads.
pub fn is_property(word: &str) -> bool {
    static WORDS: OnceLock<HashMap<String, ()>> = OnceLock::new();
    WORDS.get_or_init(|| all_properties().map(|word| (word.replace('-', "_"), ())).collect()).contains_key(word)
}

/// The names of every property that some thing has, with `-` for `_`.
pub fn all_properties() -> impl Iterator<Item = &'static str> {
    let mut words: Vec<&'static str> = BUILT_IN.to_vec();
    let mut forms: Vec<_> = crate::rig::allow::subjects().collect();
    let mut at = 0;
    while let Some(form) = forms.get(at).copied() {
        at += 1;
        for field in form.all_fields() {
            words.push(field.key);
            let mut shape = &field.shape;
            while let Shape::Many(inner) | Shape::Named(inner) = shape {
                shape = inner;
            }
            if let Shape::Group(inner) = shape
                && !forms.iter().any(|known| std::ptr::eq(*known, *inner))
            {
                forms.push(inner);
            }
        }
    }
    words.extend(["length", "width", "height", "value", "basis", "area", "number", "system"]);
    words.extend(cards().map(|card| card.name));
    words.into_iter()
}

fn card_index() -> &'static HashMap<String, Vec<&'static Card>> {
    static INDEX: OnceLock<HashMap<String, Vec<&'static Card>>> = OnceLock::new();
    INDEX.get_or_init(|| {
        let mut index: HashMap<String, Vec<&'static Card>> = HashMap::new();
        for card in cards() {
            index.entry(card.name.replace('-', "_")).or_default().push(card);
        }
        index
    })
}

impl Quantity {
    fn of_figure(scene: &Arc<Scene>, measure: Measure, id: FigureId) -> Self {
        let value = scene.sheet.figure(id).value.clone();
        let scene = Some(Arc::clone(scene));
        let system = scene.as_ref().map_or(System::Us, |scene| scene.system);
        Self(Arc::new(Inner { value, measure: Some(measure), dim: measure.dim(), scene, system, fact: None, figures: vec![id] }))
    }

    /// A quantity that no fact decides: a limit of a card.
    pub(super) fn fixed(range: Range, measure: Measure, system: System) -> Self {
        let value = Bounded { range: Some(range), facts: Vec::new() };
        Self(Arc::new(Inner { value, measure: Some(measure), dim: measure.dim(), scene: None, system, fact: None, figures: Vec::new() }))
    }

    /// The quantity as a person reads it.
    fn text(&self) -> String {
        match (self.0.value.range, self.0.measure) {
            (Some(range), Some(measure)) => show(range.low, range.high, measure, self.0.system),
            (Some(range), None) => format!("{} to {}", range.low, range.high),
            (None, _) => "an amount that is not known".to_owned(),
        }
    }

    fn compare(&self, other: &Self, question: impl Fn(Range, Range) -> Answer) -> Fallible<Ruling> {
        if self.0.dim != other.0.dim {
            return wrong(format!("can't compare {} and {}: they measure different things", self.text(), other.text()));
        }
        let answer = match (self.0.value.range, other.0.value.range) {
            (Some(one), Some(other)) => question(one, other),
            _ => Answer::Open,
        };
        let mut ruling = Ruling { answer, settle: Vec::new(), figures: Vec::new(), facts: Vec::new() };
        for side in [self, other] {
            ruling.figures.extend(&side.0.figures);
            ruling.facts.extend(side.0.value.facts.iter().map(|(fact, _)| *fact));
        }
        if answer == Answer::Open {
            let mut open: Vec<(FactId, f64)> = [self, other].iter().flat_map(|side| side.0.value.facts.iter().copied()).collect();
            open.retain(|(_, swing)| *swing > 0.0);
            open.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
            for (fact, _) in open {
                if !ruling.settle.contains(&fact) {
                    ruling.settle.push(fact);
                }
            }
        }
        Ok(ruling)
    }

    fn combine(&self, other: &Self, dim: Dim, measure: Option<Measure>, f: impl Fn(Range, Range) -> Option<Range>) -> Fallible<Self> {
        let range = match (self.0.value.range, other.0.value.range) {
            (Some(one), Some(two)) => match f(one, two) {
                Some(range) => Some(range),
                None => return wrong(format!("{} and {} can't be combined: the answer has no end", self.text(), other.text())),
            },
            _ => None,
        };
        let mut facts = self.0.value.facts.clone();
        facts.extend(&other.0.value.facts);
        let mut figures = self.0.figures.clone();
        figures.extend(&other.0.figures);
        let scene = self.0.scene.clone().or_else(|| other.0.scene.clone());
        Ok(Self(Arc::new(Inner { value: Bounded { range, facts }, measure, dim, scene, system: self.0.system, fact: None, figures })))
    }

    fn sum(&self, other: &Self, f: impl Fn(Range, Range) -> Option<Range>) -> Fallible<Self> {
        if self.0.dim != other.0.dim {
            return wrong(format!("can't add {} and {}: they measure different things", self.text(), other.text()));
        }
        self.combine(other, self.0.dim, self.0.measure.or(other.0.measure), f)
    }

    fn times(&self, other: &Self) -> Fallible<Self> {
        let dim = self.0.dim * other.0.dim;
        let measure = if other.0.dim == Dim::NONE { self.0.measure } else if self.0.dim == Dim::NONE { other.0.measure } else { Measure::of(dim) };
        self.combine(other, dim, measure, Range::times)
    }

    fn over(&self, other: &Self) -> Fallible<Self> {
        let dim = self.0.dim / other.0.dim;
        let measure = if other.0.dim == Dim::NONE { self.0.measure } else { Measure::of(dim) };
        self.combine(other, dim, measure, Range::over)
    }

    fn scaled(&self, factor: f64) -> Fallible<Self> {
        self.times(&Self::fixed(Range { low: factor, high: factor }, Measure::Ratio, self.0.system))
    }

    fn mark(&self, scene: &Scene) -> Vec<Mark> {
        if let Some(fact) = self.0.fact {
            return vec![Mark { at: MarkAt::Fact(fact), says: fact_text(scene, fact) }];
        }
        // A figure points at the facts that keep it from being exact, the two that move it most; an exact one at none, since
        // it may lean on every weight in the spec.
        let mut facts: Vec<(FactId, f64)> = self.0.value.facts.iter().copied().filter(|(_, swing)| *swing > 0.0).collect();
        facts.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        facts.dedup_by_key(|(fact, _)| *fact);
        facts.iter().take(2).map(|(fact, _)| Mark { at: MarkAt::Fact(*fact), says: fact_text(scene, *fact) }).collect()
    }
}

/// A fact as people read it: its key, what it says, and on what ground.
pub fn fact_text(scene: &Scene, id: FactId) -> String {
    let fact = scene.rig.fact(id);
    let key = fact.key.replace('-', " ");
    match (&fact.value, fact.basis) {
        (Value::Amount(range), Basis::Stated) => format!("{key} {}", amount_text(scene, id, *range)),
        (Value::Amount(range), _) => format!("{key} is not stated; allowed for: {}", amount_text(scene, id, *range)),
        (Value::Word(word), _) => format!("{key} {word}"),
        (Value::Text(text), _) => format!("{key} {text}"),
        (Value::Flag(flag), _) => format!("{key}: {}", if *flag { "yes" } else { "no" }),
        (Value::Missing, _) => format!("{key} is not stated"),
    }
}

fn amount_text(scene: &Scene, id: FactId, range: Range) -> String {
    let measure = scene.rig.measure(id).unwrap_or(Measure::Count);
    show(range.low, range.high, measure, scene.system)
}

impl Thing {
    /// A thing of a scene.
    pub(super) fn new(scene: &Arc<Scene>, id: SubjectId) -> Self {
        Self { scene: Arc::clone(scene), id }
    }

    fn kind(&self) -> &'static str {
        self.scene.sheet.at(self.id).kind
    }

    fn is(&self, kind: &str) -> bool {
        let subject = self.scene.sheet.at(self.id);
        subject.kind == kind || (kind == "part" && subject.entry.is_some_and(|entry| self.scene.rig.entry(entry).form.shared.is_some()))
    }

    fn get(&mut self, word: &str) -> Fallible<Dynamic> {
        let subject = self.scene.sheet.at(self.id);
        match word {
            "name" => return Ok(subject.name.clone().into()),
            "place" => return Ok(subject.place.to_string().into()),
            "of" => return self.holder(),
            _ => {}
        }
        if let Some(cards) = card_index().get(word)
            && let Some(card) = cards.iter().find(|card| self.is(card.of))
        {
            return self.figure(card);
        }
        let Some(entry) = subject.entry else { return self.unknown(word) };
        let form = self.scene.rig.entry(entry).form;
        match form.field(word) {
            Some(field) => self.field(entry, field.key, &field.shape),
            None if matches!(word, "length" | "width" | "height" | "value" | "basis" | "area" | "number" | "system") => {
                let key = self.scene.rig.entry(entry).slots.iter().find(|(key, _)| *key == word).map(|(key, _)| *key);
                key.map_or_else(|| self.unknown(word), |key| self.field(entry, key, &Shape::Text))
            }
            None => self.unknown(word),
        }
    }

    fn unknown(&self, word: &str) -> Fallible<Dynamic> {
        let kind = self.kind();
        let entry = self.scene.sheet.at(self.id).entry;
        let fields = entry.into_iter().flat_map(|entry| self.scene.rig.entry(entry).form.all_fields().map(|field| field.key));
        let figures = cards().filter(|card| self.is(card.of)).map(|card| card.name);
        let words: Vec<String> = fields.chain(figures).chain(BUILT_IN.iter().copied()).map(|word| word.replace('-', "_")).collect();
        let hint = nearest(word, words.iter().map(String::as_str)).map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        wrong(format!("a {kind} has no `{word}`{hint}"))
    }

    fn holder(&self) -> Fallible<Dynamic> {
        let Some(entry) = self.scene.sheet.at(self.id).entry else { return wrong("this is not part of anything") };
        match self.scene.rig.entry(entry).parent {
            Some(parent) => Ok(Dynamic::from(Self::new(&self.scene, SubjectId(parent.0)))),
            None => wrong("the rig is not part of anything"),
        }
    }

    fn figure(&self, card: &'static Card) -> Fallible<Dynamic> {
        match (self.scene.sheet.property(self.id, card.name), card.gives) {
            (Some(Property::Figure(id)), Gives::Figure(measure)) => {
                Ok(Dynamic::from(Quantity::of_figure(&self.scene, measure, id)))
            }
            (Some(Property::Note(note)), _) => Ok(self.scene.sheet.notes[note as usize].clone().into()),
            (Some(Property::Subject(subject)), _) => Ok(Dynamic::from(Self::new(&self.scene, subject))),
            _ => wrong(format!("`{}` is not worked out for this {}", card.name.replace('-', "_"), self.kind())),
        }
    }

    fn field(&self, entry: EntryId, key: &'static str, shape: &Shape) -> Fallible<Dynamic> {
        let rig = &self.scene.rig;
        let mut values = rig.entry(entry).slots.iter().filter(|(slot, _)| *slot == key).map(|(_, slot)| match slot {
            Slot::Entry(entry) => Dynamic::from(Self::new(&self.scene, SubjectId(entry.0))),
            Slot::Fact(fact) => self.fact(*fact),
        });
        match shape {
            Shape::Many(_) | Shape::Named(_) => Ok(values.collect::<Array>().into()),
            _ => values.next().map_or_else(|| wrong(format!("this {} has no {key}", self.kind())), Ok),
        }
    }

    fn fact(&self, id: FactId) -> Dynamic {
        let rig = &self.scene.rig;
        let fact = rig.fact(id);
        let Some(measure) = rig.measure(id) else { return Dynamic::from(Said { scene: Arc::clone(&self.scene), fact: id }) };
        let (range, swing) = match fact.value {
            Value::Amount(range) => (Some(range), range.width()),
            _ => (None, f64::INFINITY),
        };
        let value = Bounded { range, facts: vec![(id, swing)] };
        let (scene, system) = (Some(Arc::clone(&self.scene)), self.scene.system);
        let inner = Inner { value, measure: Some(measure), dim: measure.dim(), scene, system, fact: Some(id), figures: Vec::new() };
        Dynamic::from(Quantity(Arc::new(inner)))
    }

    fn mark(&self) -> Mark {
        let subject = self.scene.sheet.at(self.id);
        let at = subject.entry.map_or_else(|| MarkAt::Place(subject.place.clone()), MarkAt::Entry);
        Mark { at, says: subject.name.clone() }
    }
}

impl Said {
    fn text(&self) -> String {
        match &self.scene.rig.fact(self.fact).value {
            Value::Word(word) => (*word).to_owned(),
            Value::Text(text) => text.to_string(),
            Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
            Value::Amount(_) | Value::Missing => "not stated".to_owned(),
        }
    }

    fn is_any(&self, words: &[String]) -> Fallible<Ruling> {
        let fact = self.scene.rig.fact(self.fact);
        if let Shape::Word(known) = fact.shape
            && let Some(strange) = words.iter().find(|word| !known.contains(&word.as_str()))
        {
            let hint = nearest(strange, known.iter().copied()).map_or(String::new(), |near| format!("; did you mean `{near}`?"));
            return wrong(format!("`{}` is never `{strange}`{hint}", fact.key));
        }
        if matches!(fact.shape, Shape::Flag) && words.iter().any(|word| word != "yes" && word != "no") {
            return wrong(format!("`{}` is yes or no", fact.key));
        }
        let answer = match &fact.value {
            Value::Missing | Value::Amount(_) => Answer::Open,
            _ if words.contains(&self.text()) => Answer::Yes,
            _ => Answer::No,
        };
        let settle = if answer == Answer::Open { vec![self.fact] } else { Vec::new() };
        Ok(Ruling { answer, settle, figures: Vec::new(), facts: vec![self.fact] })
    }
}

impl Ruling {
    fn not(&self) -> Self {
        let answer = match self.answer {
            Answer::Yes => Answer::No,
            Answer::No => Answer::Yes,
            Answer::Open => Answer::Open,
        };
        Self { answer, ..self.clone() }
    }

    /// Yes when all are, no when one is not; else open, settled by what the open ones need.
    fn all(rulings: &[Self]) -> Self {
        let answer = if rulings.iter().any(|ruling| ruling.answer == Answer::No) {
            Answer::No
        } else if rulings.iter().any(|ruling| ruling.answer == Answer::Open) {
            Answer::Open
        } else {
            Answer::Yes
        };
        let mut whole = Self { answer, settle: Vec::new(), figures: Vec::new(), facts: Vec::new() };
        for ruling in rulings {
            for fact in &ruling.settle {
                if answer == Answer::Open && !whole.settle.contains(fact) {
                    whole.settle.push(*fact);
                }
            }
            whole.figures.extend(&ruling.figures);
            whole.facts.extend(&ruling.facts);
        }
        whole
    }

    fn flag(&self, parts: &Map) -> Fallible<Dynamic> {
        const KEYS: &[&str] = &["says", "unsure", "at", "because", "remedy", "signal"];
        if let Some(strange) = parts.keys().find(|key| !KEYS.contains(&key.as_str())) {
            let hint = nearest(strange, KEYS.iter().copied()).map_or(String::new(), |near| format!("; did you mean `{near}`?"));
            return wrong(format!("`flag` does not take `{strange}`{hint}"));
        }
        let text = |key: &str| match parts.get(key) {
            None => Ok(None),
            Some(value) if value.is_string() => {
                let text = value.to_string();
                if text.contains(NO_WORDS) { wrong(format!("something in `{key}` can't stand in a sentence: only quantities, words, names and numbers can")) } else { Ok(Some(text)) }
            }
            Some(value) => wrong(format!("`{key}` must be text, not {}", value.type_name())),
        };
        let Some(says) = text("says")? else { return wrong("`flag` needs `says`: the sentence that goes on the list") };
        let Some(at) = parts.get("at") else { return wrong("`flag` needs `at`: the value or thing that is wrong") };
        let signal = match text("signal")? {
            None => None,
            Some(word) => match Signal::named(&word) {
                Some(signal) => Some(signal),
                None => return wrong(format!("`{word}` is not a signal word: danger, warning, caution or notice")),
            },
        };
        let at = marks(at)?;
        let because = parts.get("because").map_or(Ok(Vec::new()), marks)?;
        let (unsure, remedy) = (text("unsure")?, text("remedy")?);
        let verdict = match self.answer {
            Answer::No => return Ok(Dynamic::UNIT),
            Answer::Yes => Verdict::Breaks,
            Answer::Open => Verdict::CannotSay,
        };
        let says = if verdict == Verdict::CannotSay { unsure.unwrap_or_default() } else { says };
        let mut figures = self.figures.clone();
        figures.sort_unstable();
        figures.dedup();
        let finding = Finding {
            rule: 0,
            subject: SubjectId(0),
            verdict,
            // The runner puts the card's signal word here unless the script chose one.
            signal: signal.unwrap_or(Signal::Notice),
            says,
            at,
            because,
            figures,
            settle: self.settle.clone(),
            remedy,
        };
        Ok(Dynamic::from(Flagged(Arc::new(finding), signal)))
    }
}

/// The marks of `at` or `because`: one value or several, each alone or with a text of its own.
fn marks(value: &Dynamic) -> Fallible<Vec<Mark>> {
    if let Some(list) = value.read_lock::<Array>() {
        // [value, "text"] is one mark with its own text.
        if let [one, text] = list.as_slice()
            && text.is_string()
        {
            let mut marks = marks(one)?;
            if let Some(first) = marks.first_mut() {
                first.says = text.to_string();
            }
            marks.truncate(1);
            return Ok(marks);
        }
        let mut all = Vec::new();
        for one in list.iter() {
            all.extend(marks(one)?);
        }
        return Ok(all);
    }
    if let Some(thing) = value.read_lock::<Thing>() {
        return Ok(vec![thing.mark()]);
    }
    if let Some(said) = value.read_lock::<Said>() {
        return Ok(vec![Mark { at: MarkAt::Fact(said.fact), says: fact_text(&said.scene, said.fact) }]);
    }
    if let Some(quantity) = value.read_lock::<Quantity>() {
        return match &quantity.0.scene {
            Some(scene) => Ok(quantity.mark(scene)),
            None => wrong("can't point at a limit: hand over a value or a thing of the rig"),
        };
    }
    wrong(format!("can't point at {}: hand over a value or a thing of the rig", value.type_name()))
}

/// The operators of the script language. Each is registered for every pair of types, and refuses unless said otherwise below.
pub const OPERATORS: &[&str] = &["==", "!=", "<", "<=", ">", ">=", "+", "-", "*", "/", "%", "**", "&", "|", "^", "<<", ">>"];

/// Gives an engine the types and functions that scripts may use.
pub fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Thing>("thing");
    engine.register_type_with_name::<Quantity>("quantity");
    engine.register_type_with_name::<Said>("word");
    engine.register_type_with_name::<Limits>("limits");
    engine.register_type_with_name::<Ruling>("verdict");
    engine.register_type_with_name::<Flagged>("finding");
    engine.register_indexer_get(|thing: &mut Thing, word: ImmutableString| thing.get(&word));
    engine.register_indexer_get(|limits: &mut Limits, word: ImmutableString| {
        let known = limits.0.iter().find(|(name, _)| same_word(name, &word));
        known.map_or_else(|| wrong(format!("the card has no limit `{word}`")), |(_, limit)| Ok(limit.clone()))
    });
    refuse_operators(engine);
    quantities(engine);
    words(engine);
    verdicts(engine);
    sentences(engine);
}

/// Unlike things compared, added or multiplied are a mistake in the script, never a quiet `false`.
fn refuse_operators(engine: &mut Engine) {
    for operator in OPERATORS {
        engine.register_fn(*operator, move |one: Dynamic, other: Dynamic| -> Fallible<Dynamic> {
            let hint = match *operator {
                "==" | "!=" | "<" | "<=" | ">" | ">=" => "; ask a quantity .above(..), .below(..) or .within(.., ..), and a word .is(..)",
                _ => "",
            };
            wrong(format!("`{operator}` does not work between {} and {}{hint}", plain_name(&one), plain_name(&other)))
        });
    }
    for operator in ["-", "+"] {
        engine.register_fn(operator, move |one: Dynamic| -> Fallible<Dynamic> { wrong(format!("`{operator}` does not work on {}", plain_name(&one))) });
    }
    engine.register_fn("!", |one: Dynamic| -> Fallible<Dynamic> {
        wrong(format!("`!` does not work on {}; use not_so(..) for a verdict", plain_name(&one)))
    });
}

fn plain_name(value: &Dynamic) -> String {
    match value.type_name() {
        "f64" | "i64" => "a plain number".to_owned(),
        "string" => "text".to_owned(),
        "bool" => "true or false".to_owned(),
        "()" => "nothing".to_owned(),
        "array" => "a list".to_owned(),
        "map" => "a map".to_owned(),
        other => {
            let short = other.rsplit("::").next().unwrap_or(other).to_lowercase();
            format!("a {}", match short.as_str() { "ruling" => "verdict", "said" => "word", "flagged" => "finding", other => other })
        }
    }
}

fn quantities(engine: &mut Engine) {
    engine.register_fn("+", |one: Quantity, other: Quantity| one.sum(&other, Range::plus));
    engine.register_fn("-", |one: Quantity, other: Quantity| one.sum(&other, Range::less));
    engine.register_fn("*", |one: Quantity, other: Quantity| one.times(&other));
    engine.register_fn("/", |one: Quantity, other: Quantity| one.over(&other));
    engine.register_fn("*", |one: Quantity, factor: FLOAT| one.scaled(factor));
    engine.register_fn("*", |factor: FLOAT, one: Quantity| one.scaled(factor));
    engine.register_fn("/", |one: Quantity, by: FLOAT| one.scaled(1.0 / by));
    engine.register_fn("above", |one: &mut Quantity, other: Quantity| one.compare(&other, Range::above));
    engine.register_fn("below", |one: &mut Quantity, other: Quantity| one.compare(&other, Range::below));
    engine.register_fn("within", |one: &mut Quantity, low: Quantity, high: Quantity| -> Fallible<Ruling> {
        let (under, over) = (one.compare(&low, Range::below)?, one.compare(&high, Range::above)?);
        Ok(Ruling::all(&[under.not(), over.not()]))
    });
    engine.register_fn("larger", |one: Quantity, other: Quantity| one.sum(&other, |a, b| Some(a.max(b))));
    engine.register_fn("smaller", |one: Quantity, other: Quantity| one.sum(&other, |a, b| Some(a.min(b))));
    engine.register_fn("is_stated", |one: &mut Quantity| one.0.fact.is_none_or(|fact| one.0.scene.as_ref().is_some_and(|scene| scene.rig.fact(fact).basis == Basis::Stated)));
    engine.register_fn("is_bounded", |one: &mut Quantity| one.0.value.range.is_some());
    engine.register_fn("at_least", |one: &mut Quantity| one.end(false));
    engine.register_fn("at_most", |one: &mut Quantity| one.end(true));
    engine.register_fn("whole_up", |one: &mut Quantity| -> Fallible<Quantity> { one.sum(&one.clone(), |a, _| Range::new(a.low.ceil(), a.high.ceil())) });
}

impl Quantity {
    /// One end of the range, for a remedy that must be on the safe side.
    fn end(&self, high: bool) -> Fallible<Self> {
        self.sum(self, |range, _| Range::point(if high { range.high } else { range.low }))
    }
}

fn words(engine: &mut Engine) {
    engine.register_fn("is", |one: &mut Said, word: ImmutableString| one.is_any(&[word.to_string()]));
    engine.register_fn("is_any", |one: &mut Said, words: Array| -> Fallible<Ruling> {
        let words: Vec<String> = words.iter().map(ToString::to_string).collect();
        one.is_any(&words)
    });
    engine.register_fn("is_yes", |one: &mut Said| one.is_any(&["yes".to_owned()]));
    engine.register_fn("is_no", |one: &mut Said| one.is_any(&["no".to_owned()]));
    engine.register_fn("is_stated", |one: &mut Said| one.scene.rig.fact(one.fact).basis == Basis::Stated);
    engine.register_fn("is_written", |one: &mut Thing| -> Fallible<bool> {
        let Some(entry) = one.scene.sheet.at(one.id).entry else { return Ok(true) };
        Ok(one.scene.rig.entry(entry).written)
    });
    engine.register_fn("is_a", |one: &mut Thing, kind: ImmutableString| -> Fallible<bool> {
        let known = crate::rig::allow::subjects().any(|form| form.word == kind.as_str()) || cards().any(|card| card.of == kind.as_str());
        if known { Ok(one.is(&kind)) } else { wrong(format!("no kind of thing is called `{kind}`")) }
    });
    engine.register_fn("count", |list: &mut Array| list.len() as FLOAT);
}

fn verdicts(engine: &mut Engine) {
    engine.register_fn("flag", |one: &mut Ruling, parts: Map| one.flag(&parts));
    engine.register_fn("not_so", |one: Ruling| one.not());
    let list = |list: &Array| -> Fallible<Vec<Ruling>> {
        let each = list.iter().map(|one| one.clone().try_cast::<Ruling>().map_or_else(|| wrong(format!("{} is not a verdict", plain_name(one))), Ok));
        each.collect()
    };
    engine.register_fn("all_of", move |rulings: Array| list(&rulings).map(|rulings| Ruling::all(&rulings)));
    engine.register_fn("any_of", move |rulings: Array| -> Fallible<Ruling> {
        let none: Vec<Ruling> = list(&rulings)?.iter().map(Ruling::not).collect();
        Ok(Ruling::all(&none).not())
    });
    let plain = |answer| Ruling { answer, settle: Vec::new(), figures: Vec::new(), facts: Vec::new() };
    engine.register_fn("so", move |yes: bool| plain(if yes { Answer::Yes } else { Answer::No }));
}

/// Stands in a sentence where a script put something that has no words; `flag` refuses a sentence that holds it.
const NO_WORDS: char = '\u{0}';

/// Text with values in it: only what reads well in a sentence may be put there.
fn sentences(engine: &mut Engine) {
    engine.register_fn("to_string", |one: &mut Quantity| one.text());
    engine.register_fn("to_string", |one: &mut Said| one.text());
    engine.register_fn("to_string", |one: &mut Thing| one.scene.sheet.at(one.id).name.clone());
    engine.register_fn("to_string", |one: FLOAT| crate::measure::number(one));
    engine.register_fn("to_string", |_: Dynamic| NO_WORDS.to_string());
    engine.register_fn("+", |text: ImmutableString, one: Quantity| format!("{text}{}", one.text()));
    engine.register_fn("+", |text: ImmutableString, one: Said| format!("{text}{}", one.text()));
}

/// Where a scene would point for a place by name: used by the runner for subjects that are no entry.
pub fn place_of(scene: &Scene, at: &MarkAt) -> Place {
    match at {
        MarkAt::Fact(fact) => scene.rig.place(*fact),
        MarkAt::Entry(entry) => scene.rig.entry(*entry).place.clone(),
        MarkAt::Place(place) => place.clone(),
    }
}
