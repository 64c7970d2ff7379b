//! From findings to the list: places become bytes, consequences go under their cause, worst first.

use std::collections::HashMap;

use super::{FactLine, FigureLine, Granted, Item, Label, NotStated, PunchList, SubLine, Tally, Trouble};
use crate::measure::{Range, System, show};
use crate::place::Place;
use crate::problem::{Problem, Span};
use crate::rig::{Basis, FactId, Value};
use crate::rulebook::card::{Finding, Mark, MarkAt, Signal, Verdict};
use crate::rulebook::host::{Scene, fact_text, place_of};
use crate::rulebook::{Findings, Rulebook};
use crate::spec::Tree;
use crate::workings::{Figure, FigureId, Sheet};

/// A list for a file that could not be judged.
pub fn refused(file: &str, document: usize, problems: Vec<Problem>) -> PunchList {
    PunchList {
        file: file.to_owned(),
        document,
        name: String::new(),
        system: System::Us,
        problems,
        items: Vec::new(),
        figures: Vec::new(),
        circuits: Vec::new(),
        not_stated: Vec::new(),
        troubles: Vec::new(),
        rules_run: 0,
        rules_without_subject: 0,
        tally: Tally::default(),
    }
}

/// The list of a rig. `today` is an ISO 8601 day for variances that end.
pub fn build(
    file: &str,
    document: usize,
    tree: &Tree,
    scene: &Scene,
    rulebook: &Rulebook,
    findings: Findings,
    today: Option<&str>,
) -> PunchList {
    let mut list = refused(file, document, Vec::new());
    list.name = scene.rig.text(scene.rig.spec.name).unwrap_or_default().to_owned();
    list.system = scene.system;
    list.circuits.clone_from(&scene.sheet.circuits);
    list.rules_run = findings.ran;
    list.rules_without_subject = rulebook.rules.len() - findings.ran;
    list.troubles = findings
        .faults
        .into_iter()
        .map(|(rule, fault)| Trouble {
            rule: rulebook.card(rule).id.clone(),
            says: fault.says,
            file: fault.file,
            text: fault.text,
            at: fault.at,
        })
        .collect();
    let mut numbers = Numbers::default();
    let locate = Locate { tree, scene };
    let mut made: Vec<(Item, Finding)> = Vec::with_capacity(findings.found.len());
    for finding in findings.found {
        let item = item(&locate, rulebook, &finding, &mut numbers);
        // The same fault at the same place in another state or mode is one item.
        if !made.iter().any(|(known, _)| known.identity == item.identity && known.verdict == item.verdict) {
            made.push((item, finding));
        }
    }
    absorb(&mut made, rulebook);
    variances(&mut made, scene, today);
    made.sort_by(|(a, _), (b, _)| {
        let key = |item: &Item| (std::cmp::Reverse(item.verdict), std::cmp::Reverse(item.signal));
        let span = |item: &Item| item.labels.first().map_or(Span::default(), |label| label.span);
        key(a)
            .cmp(&key(b))
            .then(span(a).cmp(&span(b)))
            .then_with(|| a.rule.cmp(&b.rule))
            .then_with(|| a.says.cmp(&b.says))
    });
    list.not_stated = not_stated(scene, rulebook, &made);
    list.figures = numbers.order.iter().map(|id| figure_line(&locate, scene.sheet.figure(*id))).collect();
    list.items = made.into_iter().map(|(item, _)| item).collect();
    list.tally = tally(&list.items);
    list
}

/// Puts every figure on the list, in the order worked out; items point at the same figures as before.
pub fn all_figures(list: &mut PunchList, tree: &Tree, scene: &Scene) {
    let locate = Locate { tree, scene };
    let lines: Vec<FigureLine> = scene.sheet.figures.iter().map(|figure| figure_line(&locate, figure)).collect();
    let position: HashMap<&str, usize> = lines.iter().enumerate().map(|(at, line)| (line.id.as_str(), at)).collect();
    for item in &mut list.items {
        for figure in &mut item.figures {
            let id = list.figures.get(*figure).map_or("", |line| line.id.as_str());
            *figure = position.get(id).copied().unwrap_or(*figure);
        }
    }
    list.figures = lines;
}

/// The counts: what breaks by signal word; what can't be said; apart, what is carried or accepted.
pub fn tally(items: &[Item]) -> Tally {
    let mut tally = Tally::default();
    for item in items {
        let count = match (item.variance.is_some(), item.carried, item.verdict, item.signal) {
            (true, ..) => &mut tally.variance,
            (_, true, ..) => &mut tally.carried,
            (_, _, Verdict::CannotSay, _) => &mut tally.cannot_say,
            (.., Signal::Danger) => &mut tally.danger,
            (.., Signal::Warning) => &mut tally.warning,
            (.., Signal::Caution) => &mut tally.caution,
            (.., Signal::Notice) => &mut tally.notice,
        };
        *count += 1;
    }
    tally
}

/// Gives the figures that items use their positions in the list.
#[derive(Default)]
struct Numbers {
    order: Vec<FigureId>,
    known: HashMap<FigureId, usize>,
}

impl Numbers {
    fn of(&mut self, id: FigureId) -> usize {
        *self.known.entry(id).or_insert_with(|| {
            self.order.push(id);
            self.order.len() - 1
        })
    }
}

struct Locate<'a> {
    tree: &'a Tree,
    scene: &'a Scene,
}

impl Locate<'_> {
    fn label(&self, mark: &Mark) -> Label {
        let place = place_of(self.scene, &mark.at);
        let (reached, found) = self.tree.nearest(&place);
        let written = reached == place;
        let whole = matches!(&mark.at, MarkAt::Fact(_));
        let span = match (written, whole) {
            // A fact is its value. A thing, or what is missing from it, is marked at its key, or a list entry at its first key.
            (true, true) => found.value_or_key(),
            _ => found.key_span.unwrap_or_else(|| {
                self.tree.entries(found.node).first().map_or(found.value_span, |entry| entry.key_span)
            }),
        };
        // A size is written whole: its sides are not missing.
        let part_of_value =
            !written && whole && self.tree.node(found.node).scalar().is_some() && !place.as_str().is_empty();
        let span = if part_of_value { found.value_or_key() } else { span };
        Label { place, span, not_written: !written && !part_of_value, says: mark.says.clone() }
    }
}

fn item(locate: &Locate<'_>, rulebook: &Rulebook, finding: &Finding, numbers: &mut Numbers) -> Item {
    let card = rulebook.card(finding.rule);
    let scene = locate.scene;
    let mut labels: Vec<Label> = Vec::new();
    for mark in finding.at.iter().chain(&finding.because) {
        let label = locate.label(mark);
        if !labels.iter().any(|known| known.span == label.span && known.place == label.place) {
            labels.push(label);
        }
    }
    let subject = scene.sheet.at(finding.subject);
    let place = labels.first().map_or_else(|| subject.place.clone(), |label| label.place.clone());
    let apart = if subject.entry.is_none() { subject.name.as_str() } else { "" };
    let says = match (finding.says.is_empty(), finding.verdict) {
        (false, _) => finding.says.clone(),
        (true, Verdict::Breaks) => card.title.clone(),
        (true, Verdict::CannotSay) => {
            let fact = finding
                .settle
                .first()
                .map_or_else(|| "a fact that is not stated".to_owned(), |fact| fact_text(scene, *fact));
            format!("can't say whether this holds: {}: {fact}", card.title)
        }
    };
    Item {
        rule: card.id.clone(),
        chapter: card.chapter.clone(),
        signal: finding.signal,
        verdict: finding.verdict,
        identity: identity(&card.id, &place, apart),
        title: card.title.clone(),
        says,
        why: card.reason.clone(),
        source: card.source.clone(),
        caution: card.caution.clone(),
        figures: finding.figures.iter().map(|id| numbers.of(*id)).collect(),
        settle: finding.settle.iter().map(|fact| scene.rig.place(*fact)).collect(),
        remedy: finding.remedy.clone(),
        under: Vec::new(),
        variance: None,
        carried: false,
        labels,
        place,
    }
}

/// A stable name: the rule and the place, never a line.
fn identity(rule: &str, place: &Place, apart: &str) -> String {
    // FNV-1a, 64 bits: the same on every machine and in every release.
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for byte in [rule, place.as_str(), apart].join("\0").bytes() {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    format!("{hash:016x}")
}

/// Puts consequences under their cause: a rule's card names the rules whose items swallow its own.
fn absorb(made: &mut Vec<(Item, Finding)>, rulebook: &Rulebook) {
    let mut at = 0;
    while at < made.len() {
        let under = &rulebook.card(made[at].1.rule).under;
        let verdict = made[at].0.verdict;
        let cause = made.iter().position(|(other, _)| under.contains(&other.rule) && other.verdict >= verdict);
        match cause {
            Some(cause) if cause != at => {
                let (item, _) = made.remove(at);
                let cause = if cause > at { cause - 1 } else { cause };
                let line = SubLine { rule: item.rule, says: item.says, place: item.place };
                if verdict == made[cause].0.verdict {
                    made[cause].0.under.push(line);
                }
                let mut lines = item.under;
                made[cause].0.under.append(&mut lines);
                made[cause].0.signal =
                    made[cause].0.signal.max(if verdict == Verdict::Breaks { item.signal } else { Signal::Notice });
            }
            _ => at += 1,
        }
    }
}

/// Marks what a variance in the spec accepts.
fn variances(made: &mut [(Item, Finding)], scene: &Scene, today: Option<&str>) {
    for variance in &scene.rig.spec.variances {
        let text = |text| scene.rig.text(text).unwrap_or_default().to_owned();
        let until = scene.rig.text(variance.until).map(str::to_owned);
        // Days in this form sort as text does.
        if until.as_deref().zip(today).is_some_and(|(until, today)| until < today) {
            continue;
        }
        let (rule, at) = (text(variance.rule), text(variance.at));
        for (item, _) in made.iter_mut() {
            let inside = item.place.as_str() == at
                || item.place.as_str().strip_prefix(at.as_str()).is_some_and(|rest| rest.starts_with(['.', '[']));
            if item.rule == rule && inside {
                item.variance = Some(Granted {
                    reason: text(variance.reason),
                    approved: text(variance.approved),
                    until: until.clone(),
                });
            }
        }
    }
}

/// How many of an item's open facts are asked for: the ones that move its answer most.
const ASKED: usize = 3;

/// How much an answer on a rule of this signal word is worth asking for.
fn worth(signal: Signal) -> usize {
    match signal {
        Signal::Danger => 64,
        Signal::Warning => 16,
        Signal::Caution => 4,
        Signal::Notice => 1,
    }
}

/// The questions, each time the one that would decide most among what the earlier ones leave: a fact that only helps with
/// what an earlier answer decides already comes late.
fn not_stated(scene: &Scene, rulebook: &Rulebook, made: &[(Item, Finding)]) -> Vec<NotStated> {
    let open: Vec<&(Item, Finding)> =
        made.iter().filter(|(item, _)| item.verdict == Verdict::CannotSay && item.variance.is_none()).collect();
    // For each fact the items that ask for it, with its rank there.
    let mut asks: Vec<(FactId, Vec<(usize, usize)>)> = Vec::new();
    for (at, (_, finding)) in open.iter().enumerate() {
        for (rank, fact) in finding.settle.iter().take(ASKED).enumerate() {
            match asks.iter_mut().find(|(known, _)| known == fact) {
                Some((_, items)) => items.push((at, rank)),
                None => asks.push((*fact, vec![(at, rank)])),
            }
        }
    }
    let mut asked = vec![0_usize; open.len()];
    let mut questions = Vec::with_capacity(asks.len());
    while !asks.is_empty() {
        let value = |items: &[(usize, usize)]| -> usize {
            let each =
                items.iter().map(|(at, rank)| worth(open[*at].0.signal) * 12 * (ASKED - rank) / (1 + 3 * asked[*at]));
            each.sum()
        };
        let best = (0..asks.len()).max_by_key(|at| (value(&asks[*at].1), std::cmp::Reverse(*at))).unwrap_or(0);
        let (fact, items) = asks.remove(best);
        let mut rules: Vec<String> = Vec::new();
        let mut signal = Signal::Notice;
        for (at, _) in &items {
            asked[*at] += 1;
            let item = &open[*at].0;
            signal = signal.max(item.signal);
            if !rules.contains(&item.rule) {
                rules.push(item.rule.clone());
            }
        }
        questions.push(question(scene, rulebook, fact, signal, rules));
    }
    questions
}

fn question(scene: &Scene, rulebook: &Rulebook, id: FactId, signal: Signal, touches: Vec<String>) -> NotStated {
    let fact = scene.rig.fact(id);
    let measure = scene.rig.measure(id);
    let (mut ends, mut unit, mut shown) = (None, String::new(), "not known".to_owned());
    if let (Value::Amount(range), Some(measure)) = (&fact.value, measure) {
        let written = measure.unit(scene.system);
        ends = Some((written.from_si(range.low), written.from_si(range.high)));
        unit = written.symbol.to_owned();
        let text = show(range.low, range.high, measure, scene.system);
        shown = text;
    }
    let rows: Vec<_> = rulebook.assumptions.rows_for(&scene.rig, id).collect();
    NotStated {
        place: scene.rig.place(id),
        ends,
        unit,
        shown,
        stated: fact.basis == Basis::Stated,
        ask: rows.iter().find_map(|row| row.ask.clone()),
        find: rows.iter().find_map(|row| row.find.clone()),
        touches,
        signal: Some(signal),
    }
}

fn figure_line(locate: &Locate<'_>, figure: &Figure) -> FigureLine {
    let scene = locate.scene;
    let sheet = &scene.sheet;
    let crate::workings::Gives::Figure(measure) = figure.card.gives else {
        return FigureLine {
            id: sheet.id(figure),
            chapter: figure.chapter.to_owned(),
            help: String::new(),
            subject: String::new(),
            ends: None,
            unit: String::new(),
            shown: String::new(),
            method: String::new(),
            source: String::new(),
            from: Vec::new(),
        };
    };
    let unit = measure.unit(scene.system);
    let range: Option<Range> = figure.value.range;
    let subject = sheet.at(figure.subject);
    FigureLine {
        id: sheet.id(figure),
        chapter: figure.chapter.to_owned(),
        help: figure.card.help.to_owned(),
        subject: if subject.place.as_str().is_empty() { "the rig".to_owned() } else { subject.name.clone() },
        ends: range.map(|range| (unit.from_si(range.low), unit.from_si(range.high))),
        unit: unit.symbol.to_owned(),
        shown: range.map_or_else(|| "not known".to_owned(), |range| show(range.low, range.high, measure, scene.system)),
        method: figure.card.method.to_owned(),
        source: figure.card.source.to_owned(),
        from: Sheet::facts(figure).into_iter().map(|fact| fact_line(locate, fact)).collect(),
    }
}

fn fact_line(locate: &Locate<'_>, id: FactId) -> FactLine {
    let label = locate.label(&Mark { at: MarkAt::Fact(id), says: fact_text(locate.scene, id) });
    let stated = locate.scene.rig.fact(id).basis == Basis::Stated;
    FactLine { place: label.place, shown: label.says, stated, span: (!label.not_written).then_some(label.span) }
}
