//! Quantities in scripts: a range, what it measures, and the facts and figures behind it.

use std::sync::Arc;

use rhai::{Dynamic, Engine, EvalAltResult, FLOAT, ImmutableString};

use super::card::{Mark, MarkAt};
use super::host::{Fallible, Scene, charge, quiet, wrong};
use super::verdict::Ruling;
use crate::bounds::Bounded;
use crate::measure::{Answer, Dim, Measure, Range, System, show};
use crate::rig::{Basis, FactId, Rig, Value};
use crate::workings::FigureId;

/// A quantity with its range.
#[derive(Debug, Clone)]
pub(super) struct Quantity(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    value: Bounded,
    measure: Option<Measure>,
    dim: Dim,
    /// Where its facts are; a limit of a card has none.
    scene: Option<Arc<Scene>>,
    system: System,
    fact: Option<FactId>,
    figures: Vec<FigureId>,
}

impl Quantity {
    /// A figure of the sheet.
    pub(super) fn of_figure(scene: &Arc<Scene>, measure: Measure, id: FigureId) -> Self {
        Self(Arc::new(Inner {
            value: if quiet() {
                Bounded { range: scene.sheet.figure(id).value.range, facts: Vec::new() }
            } else {
                scene.sheet.figure(id).value.clone()
            },
            measure: Some(measure),
            dim: measure.dim(),
            scene: Some(Arc::clone(scene)),
            system: scene.system,
            fact: None,
            figures: vec![id],
        }))
    }

    /// A quantity of the spec, stated or not.
    pub(super) fn of_fact(scene: &Arc<Scene>, measure: Measure, id: FactId) -> Self {
        let (range, swing) = match scene.rig.fact(id).value {
            Value::Amount(range) => (Some(range), range.width()),
            _ => (None, f64::INFINITY),
        };
        Self(Arc::new(Inner {
            value: Bounded { range, facts: if quiet() { Vec::new() } else { vec![(id, swing)] } },
            measure: Some(measure),
            dim: measure.dim(),
            scene: Some(Arc::clone(scene)),
            system: scene.system,
            fact: Some(id),
            figures: Vec::new(),
        }))
    }

    /// A quantity that no fact decides: a limit of a card, a plain number.
    pub(super) fn fixed(range: Range, measure: Measure, system: System) -> Self {
        let value = Bounded { range: Some(range), facts: Vec::new() };
        Self(Arc::new(Inner {
            value,
            measure: Some(measure),
            dim: measure.dim(),
            scene: None,
            system,
            fact: None,
            figures: Vec::new(),
        }))
    }

    /// The quantity as a person reads it.
    pub(super) fn text(&self) -> String {
        if quiet() {
            return String::new();
        }
        match (self.0.value.range, self.0.measure) {
            (Some(range), Some(measure)) => show(range.low, range.high, measure, self.0.system),
            (Some(range), None) => format!("{} to {}", range.low, range.high),
            (None, _) => "an amount that is not known".to_owned(),
        }
    }

    /// The range, if anything bounds it.
    #[cfg(test)]
    pub(super) fn range(&self) -> Option<Range> {
        self.0.value.range
    }

    #[cfg(test)]
    pub(super) fn measure(&self) -> Option<Measure> {
        self.0.measure
    }

    /// Both can stand on one scale. Dimension alone does not tell: a temperature and a temperature difference share theirs,
    /// and so do a sound level, an angle and a share.
    fn like(&self, other: &Self) -> bool {
        use Measure::{Angle, Sound, Temperature};
        let apart = |measure: &Measure| matches!(measure, Temperature | Sound | Angle);
        let (one, two) = (self.0.measure, other.0.measure);
        self.0.dim == other.0.dim && (one == two || !one.iter().chain(&two).any(apart))
    }

    pub(super) fn compare(&self, other: &Self, question: impl Fn(Range, Range) -> Answer) -> Fallible<Ruling> {
        if !self.like(other) {
            return wrong(format!("can't compare {} and {}: they measure different things", self.text(), other.text()));
        }
        charge(self.0.value.facts.len() + other.0.value.facts.len());
        let answer = match (self.0.value.range, other.0.value.range) {
            (Some(one), Some(other)) => question(one, other),
            _ => Answer::Open,
        };
        let mut settle = Vec::new();
        if answer == Answer::Open && !quiet() {
            let open = merged([(self, 1.0), (other, 1.0)]);
            settle.extend(by_swing(open.into_iter().filter(|(_, swing)| *swing > 0.0).collect()).map(|(fact, _)| fact));
        }
        Ok(Ruling::new(answer, settle, self.0.figures.iter().chain(&other.0.figures).copied().collect()))
    }

    /// A quantity made of two. `weights` say how far the answer moves when each of them moves by one.
    fn combine(
        &self,
        other: &Self,
        measure: Option<Measure>,
        dim: Dim,
        weights: (f64, f64),
        f: impl Fn(Range, Range) -> Option<Range>,
    ) -> Fallible<Self> {
        let range = match (self.0.value.range, other.0.value.range) {
            (Some(one), Some(two)) => match f(one, two) {
                Some(range) => Some(range),
                None => {
                    return wrong(format!(
                        "{} and {} can't be combined: the answer has no end",
                        self.text(),
                        other.text()
                    ));
                }
            },
            _ => None,
        };
        let facts = if quiet() { Vec::new() } else { merged([(self, weights.0), (other, weights.1)]) };
        let mut figures: Vec<FigureId> = self.0.figures.iter().chain(&other.0.figures).copied().collect();
        figures.sort_unstable();
        figures.dedup();
        charge(facts.len() + figures.len());
        let scene = self.0.scene.clone().or_else(|| other.0.scene.clone());
        Ok(Self(Arc::new(Inner {
            value: Bounded { range, facts },
            measure,
            dim,
            scene,
            system: self.0.system,
            fact: None,
            figures,
        })))
    }

    /// The same quantity with another range, such as one end of it.
    fn with(&self, f: impl Fn(Range) -> Option<Range>) -> Fallible<Self> {
        let Some(range) = self.0.value.range else { return Ok(self.clone()) };
        let Some(range) = f(range) else { return wrong(format!("{} has no such end", self.text())) };
        let inner = &self.0;
        charge(inner.value.facts.len());
        Ok(Self(Arc::new(Inner {
            value: Bounded { range: Some(range), facts: inner.value.facts.clone() },
            measure: inner.measure,
            dim: inner.dim,
            scene: inner.scene.clone(),
            system: inner.system,
            fact: None,
            figures: inner.figures.clone(),
        })))
    }

    fn unlike<T>(&self, other: &Self, verb: &str) -> Fallible<T> {
        wrong(format!("can't {verb} {} and {}: they measure different things", self.text(), other.text()))
    }

    pub(super) fn plus(&self, other: &Self) -> Fallible<Self> {
        use Measure::{Sound, Temperature, TemperatureStep};
        let measure = match (self.0.measure, other.0.measure) {
            (Some(Temperature), Some(TemperatureStep)) | (Some(TemperatureStep), Some(Temperature)) => {
                Some(Temperature)
            }
            (Some(Temperature), Some(Temperature)) => {
                return wrong(format!("can't add {} and {}: temperatures do not add", self.text(), other.text()));
            }
            (Some(Sound), Some(Sound)) => {
                return wrong(format!(
                    "can't add {} and {}: sound levels do not add as numbers do",
                    self.text(),
                    other.text()
                ));
            }
            _ if self.like(other) => self.0.measure.or(other.0.measure),
            _ => return self.unlike(other, "add"),
        };
        self.combine(other, measure, self.0.dim, (1.0, 1.0), Range::plus)
    }

    pub(super) fn less(&self, other: &Self) -> Fallible<Self> {
        use Measure::{Temperature, TemperatureStep};
        let measure = match (self.0.measure, other.0.measure) {
            (Some(Temperature), Some(Temperature)) => Some(TemperatureStep),
            (Some(Temperature), Some(TemperatureStep)) => Some(Temperature),
            _ if self.like(other) => self.0.measure.or(other.0.measure),
            _ => return self.unlike(other, "take"),
        };
        self.combine(other, measure, self.0.dim, (1.0, 1.0), Range::less)
    }

    fn pick(&self, other: &Self, f: impl Fn(Range, Range) -> Range) -> Fallible<Self> {
        if !self.like(other) {
            return self.unlike(other, "compare");
        }
        self.combine(other, self.0.measure.or(other.0.measure), self.0.dim, (1.0, 1.0), |one, two| Some(f(one, two)))
    }

    /// Points of a scale can't be multiplied: twice 20 C is no temperature.
    fn is_point_of_scale(&self) -> bool {
        matches!(self.0.measure, Some(Measure::Temperature | Measure::Sound))
    }

    pub(super) fn times(&self, other: &Self) -> Fallible<Self> {
        if self.is_point_of_scale() || other.is_point_of_scale() {
            return wrong(format!(
                "can't multiply {} and {}: a temperature or sound level is a point of a scale",
                self.text(),
                other.text()
            ));
        }
        let dim = self.0.dim * other.0.dim;
        let measure = if other.0.dim == Dim::NONE {
            self.0.measure
        } else if self.0.dim == Dim::NONE {
            other.0.measure
        } else {
            Measure::of(dim)
        };
        self.combine(other, measure, dim, (other.size(), self.size()), Range::times)
    }

    pub(super) fn over(&self, other: &Self) -> Fallible<Self> {
        if self.is_point_of_scale() || other.is_point_of_scale() {
            return wrong(format!(
                "can't divide {} by {}: a temperature or sound level is a point of a scale",
                self.text(),
                other.text()
            ));
        }
        let dim = self.0.dim / other.0.dim;
        let measure = if other.0.dim == Dim::NONE { self.0.measure } else { Measure::of(dim) };
        let by = other.size();
        self.combine(other, measure, dim, (1.0 / by, self.size() / (by * by)), Range::over)
    }

    /// The middle of the range without its sign; one when nothing bounds it.
    fn size(&self) -> f64 {
        self.0.value.range.map_or(1.0, |range| range.middle().abs())
    }

    fn number(&self, number: FLOAT) -> Self {
        Self::fixed(Range { low: number, high: number }, Measure::Ratio, self.0.system)
    }

    fn is_stated(&self) -> bool {
        self.0
            .fact
            .is_none_or(|fact| self.0.scene.as_ref().is_some_and(|scene| scene.rig.fact(fact).basis == Basis::Stated))
    }

    /// What an item that points at this quantity points at. `None` for a limit, which stands in no spec.
    pub(super) fn marks(&self) -> Option<Vec<Mark>> {
        let scene = self.0.scene.as_ref()?;
        let mark = |fact| Mark { at: MarkAt::Fact(fact), says: fact_text(scene, fact) };
        if let Some(fact) = self.0.fact {
            return Some(vec![mark(fact)]);
        }
        // A figure points at the facts that keep it from being exact, the two that move it most; an exact one at none, since
        // it may lean on every weight in the spec.
        let facts = merged([(self, 1.0)]).into_iter().filter(|(_, swing)| *swing > 0.0).collect();
        Some(by_swing(facts).take(2).map(|(fact, _)| mark(fact)).collect())
    }

    /// It is a value of the spec or made from one.
    pub(super) fn is_of_the_rig(&self) -> bool {
        self.0.scene.is_some()
    }
}

/// The facts of several quantities, each once, their swings weighed and added.
fn merged<const N: usize>(sides: [(&Quantity, f64); N]) -> Vec<(FactId, f64)> {
    let weighed = |weight: f64| {
        move |(fact, swing): &(FactId, f64)| {
            let moved = swing * weight;
            // Nothing known times nothing is not a number; an unknown stays first in line.
            (
                *fact,
                if *swing == 0.0 {
                    0.0
                } else if moved.is_nan() {
                    f64::INFINITY
                } else {
                    moved
                },
            )
        }
    };
    let mut facts: Vec<(FactId, f64)> =
        sides.into_iter().flat_map(|(side, weight)| side.0.value.facts.iter().map(weighed(weight))).collect();
    facts.sort_unstable_by_key(|(fact, _)| *fact);
    facts.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 += next.1;
        }
        same
    });
    facts
}

fn by_swing(mut facts: Vec<(FactId, f64)>) -> impl Iterator<Item = (FactId, f64)> {
    facts.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    facts.into_iter()
}

/// A fact as people read it: its key, what it says, and on what ground.
pub fn fact_text(scene: &Scene, id: FactId) -> String {
    let fact = scene.rig.fact(id);
    let key = fact.key.replace('-', " ");
    match (&fact.value, fact.basis) {
        (Value::Amount(range), Basis::Stated) => format!("{key} {}", amount_text(&scene.rig, id, *range, scene.system)),
        (Value::Amount(range), _) => {
            format!("{key} is not stated; allowed for: {}", amount_text(&scene.rig, id, *range, scene.system))
        }
        (Value::Word(word), _) => format!("{key} {word}"),
        (Value::Text(text), _) => format!("{key} {text}"),
        (Value::Flag(flag), _) => format!("{key}: {}", if *flag { "yes" } else { "no" }),
        (Value::Missing, _) => format!("{key} is not stated"),
    }
}

fn amount_text(rig: &Rig, id: FactId, range: Range, system: System) -> String {
    show(range.low, range.high, rig.measure(id).unwrap_or(Measure::Count), system)
}

/// What scripts may do with quantities and plain numbers.
pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Quantity>("quantity");
    engine.register_fn("+", |one: Quantity, other: Quantity| one.plus(&other));
    engine.register_fn("-", |one: Quantity, other: Quantity| one.less(&other));
    engine.register_fn("*", |one: Quantity, other: Quantity| one.times(&other));
    engine.register_fn("/", |one: Quantity, other: Quantity| one.over(&other));
    engine.register_fn("*", |one: Quantity, factor: FLOAT| one.times(&one.number(factor)));
    engine.register_fn("*", |factor: FLOAT, one: Quantity| one.times(&one.number(factor)));
    engine.register_fn("/", |one: Quantity, by: FLOAT| one.over(&one.number(by)));
    engine.register_fn("+", |text: ImmutableString, one: Quantity| format!("{text}{}", one.text()));
    engine.register_fn("above", |one: &mut Quantity, other: Quantity| one.compare(&other, Range::above));
    engine.register_fn("below", |one: &mut Quantity, other: Quantity| one.compare(&other, Range::below));
    engine.register_fn("within", |one: &mut Quantity, low: Quantity, high: Quantity| -> Fallible<Ruling> {
        if !low.is_of_the_rig() && !high.is_of_the_rig() && low.compare(&high, Range::above)?.answer() == Answer::Yes {
            return wrong(format!(
                "nothing lies within {} and {}: the lower end stands first",
                low.text(),
                high.text()
            ));
        }
        let (under, over) = (one.compare(&low, Range::below)?, one.compare(&high, Range::above)?);
        Ok(Ruling::all(&[under.not(), over.not()]))
    });
    engine.register_fn("larger", |one: Quantity, other: Quantity| one.pick(&other, Range::max));
    engine.register_fn("smaller", |one: Quantity, other: Quantity| one.pick(&other, Range::min));
    engine.register_fn("is_stated", |one: &mut Quantity| one.is_stated());
    engine.register_fn("ask_for", |one: Quantity| match one.0.fact {
        Some(fact) => Ok(Ruling::ask_for(fact, one.is_stated())),
        None => wrong("`ask_for` asks for a value of the spec; a figure is worked out, not stated"),
    });
    engine.register_fn("is_bounded", |one: &mut Quantity| one.0.value.range.is_some());
    engine.register_fn("at_least", |one: &mut Quantity| one.with(|range| Range::point(range.low)));
    engine.register_fn("at_most", |one: &mut Quantity| one.with(|range| Range::point(range.high)));
    engine.register_fn("whole_up", |one: &mut Quantity| {
        one.with(|range| Range::new(range.low.ceil(), range.high.ceil()))
    });
    engine.register_fn("to_string", |one: &mut Quantity| one.text());
    numbers(engine);
}

/// Plain numbers are for counting. What is not a finite number is an error where it arises: `0/0` compares as neither
/// more nor less than anything.
fn numbers(engine: &mut Engine) {
    let finite = |name: &'static str, f: fn(FLOAT, FLOAT) -> FLOAT| {
        move |one: FLOAT, other: FLOAT| -> Result<FLOAT, Box<EvalAltResult>> {
            let answer = f(one, other);
            if answer.is_finite() { Ok(answer) } else { wrong(format!("{one} {name} {other} is no number")) }
        }
    };
    engine.register_fn("+", finite("+", |one, other| one + other));
    engine.register_fn("-", finite("-", |one, other| one - other));
    engine.register_fn("*", finite("*", |one, other| one * other));
    engine.register_fn("/", finite("/", |one, other| one / other));
    engine.register_fn("-", |one: FLOAT| -one);
    engine.register_fn("==", |one: FLOAT, other: FLOAT| one == other);
    engine.register_fn("!=", |one: FLOAT, other: FLOAT| one != other);
    engine.register_fn("<", |one: FLOAT, other: FLOAT| one < other);
    engine.register_fn("<=", |one: FLOAT, other: FLOAT| one <= other);
    engine.register_fn(">", |one: FLOAT, other: FLOAT| one > other);
    engine.register_fn(">=", |one: FLOAT, other: FLOAT| one >= other);
    engine.register_fn("to_string", |one: FLOAT| if quiet() { String::new() } else { crate::measure::number(one) });
    engine.register_fn("count", |list: &mut rhai::Array| list.len() as FLOAT);
    engine.register_fn("count", |_: Dynamic| -> Fallible<FLOAT> { wrong("`count` counts the entries of a list") });
}
