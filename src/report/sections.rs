//! The parts of a report for people, and the words they share.

use super::clean::clean;
use crate::place::Place;
use crate::punchlist::{FigureLine, Item, NotStated, PunchList};
use crate::rulebook::card::{Signal, Verdict};

/// What every report that can be acted on ends with.
pub const STANDING_CAUTION: &str = "Figures are estimates from the stated facts. Weigh the finished rig. \
     Local codes, the makers' manuals and licensed practice come first.";

/// What a report says when the file itself is wrong.
pub(super) const NOTHING_JUDGED: &str = "Nothing about the rig was judged: the file comes first.";

/// The items of a list by what is to be done about them, each in the order of the list.
pub(super) struct Sections<'a> {
    /// To be mended.
    pub(super) mend: Vec<&'a Item>,
    /// Facts to be found out, the ones that could settle the worst first.
    pub(super) questions: Vec<Question<'a>>,
    /// Can't be said, and no listed fact would settle it.
    pub(super) open: Vec<&'a Item>,
    /// Accepted.
    pub(super) granted: Vec<&'a Item>,
    /// On the earlier list already.
    pub(super) carried: Vec<&'a Item>,
}

/// A fact not stated and the items that wait for it.
pub(super) struct Question<'a> {
    pub(super) fact: &'a NotStated,
    pub(super) items: Vec<&'a Item>,
    /// The worst signal word among the items.
    pub(super) signal: Signal,
}

impl<'a> Sections<'a> {
    pub(super) fn of(list: &'a PunchList) -> Self {
        let (granted, live): (Vec<&Item>, Vec<&Item>) = list.items.iter().partition(|item| item.variance.is_some());
        let (carried, live): (Vec<&Item>, Vec<&Item>) = live.into_iter().partition(|item| item.carried);
        let (mend, unsaid): (Vec<&Item>, Vec<&Item>) =
            live.into_iter().partition(|item| item.verdict == Verdict::Breaks);
        let mut questions: Vec<Question<'a>> = list
            .not_stated
            .iter()
            .filter_map(|fact| {
                let items: Vec<_> = unsaid.iter().filter(|item| item.settle.contains(&fact.place)).copied().collect();
                let signal = items.iter().map(|item| item.signal).max()?;
                Some(Question { fact, items, signal })
            })
            .collect();
        // Stable, so that the most telling fact stays first among equals.
        questions.sort_by_key(|question| std::cmp::Reverse(question.signal));
        let asked = |place: &Place| questions.iter().any(|question| question.fact.place == *place);
        let open = unsaid.iter().filter(|item| !item.settle.iter().any(asked)).copied().collect();
        Self { mend, questions, open, granted, carried }
    }
}

impl Question<'_> {
    pub(super) fn ask(&self) -> String {
        self.fact.ask.as_deref().map_or_else(|| format!("What is {}?", self.fact.place), clean)
    }

    /// What is taken until it is stated.
    pub(super) fn taken(&self) -> String {
        match self.fact.ends {
            Some(_) if self.fact.stated => format!("stated as {}, too wide to decide", clean(&self.fact.shown)),
            Some(_) => format!("not stated, taken as {}", clean(&self.fact.shown)),
            None => "not stated, and nothing bounds it".to_owned(),
        }
    }

    /// The checks it bears on: "1 danger and 2 caution checks".
    pub(super) fn settles(&self) -> String {
        let count = |signal| {
            let mut rules: Vec<&str> =
                self.items.iter().filter(|item| item.signal == signal).map(|item| item.rule.as_str()).collect();
            rules.sort_unstable();
            rules.dedup();
            rules.len()
        };
        let counts: Vec<(usize, Signal)> =
            Signal::ALL.into_iter().map(|signal| (count(signal), signal)).filter(|(count, _)| *count > 0).collect();
        let parts: Vec<String> = counts.iter().map(|(count, signal)| format!("{count} {signal}")).collect();
        let all: usize = counts.iter().map(|(count, _)| count).sum();
        format!("{} {}", and(&parts), if all == 1 { "check" } else { "checks" })
    }
}

/// "1 danger", "2 cautions".
pub(super) fn items_of(count: usize, signal: Signal) -> String {
    counted(count, signal.word(), &format!("{signal}s"))
}

/// "1 rule", "2 rules".
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// "a", "a and b", "a, b and c".
pub(super) fn and(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// The rig's name and the file it stands in.
pub(super) fn title(list: &PunchList) -> String {
    let file = clean(&list.file);
    let file = if list.document > 1 { format!("{file}, document {}", list.document) } else { file };
    if list.name.is_empty() { file } else { format!("{}, {file}", clean(&list.name)) }
}

/// The line that ends the list, in words.
pub(super) fn closing(list: &PunchList, questions: usize) -> String {
    if !list.problems.is_empty() {
        return NOTHING_JUDGED.to_owned();
    }
    let tally = list.tally;
    let to_mend: Vec<String> = [tally.danger, tally.warning, tally.caution, tally.notice]
        .into_iter()
        .zip(Signal::ALL)
        .filter(|(count, _)| *count > 0)
        .map(|(count, signal)| items_of(count, signal))
        .collect();
    let mut parts = Vec::new();
    if !to_mend.is_empty() {
        parts.push(format!("{} to mend", and(&to_mend)));
    }
    if tally.cannot_say > 0 {
        let until = match questions {
            0 => String::new(),
            1 => " until 1 fact is stated".to_owned(),
            many => format!(" until {many} facts are stated"),
        };
        parts.push(format!("{} can't be said{until}", tally.cannot_say));
    }
    if tally.carried > 0 {
        parts.push(format!("{} carried from the earlier list", tally.carried));
    }
    if tally.variance > 0 {
        parts.push(format!("{} accepted by variance", tally.variance));
    }
    if !list.troubles.is_empty() {
        parts.push(format!("{} could not be run", counted(list.troubles.len(), "rule", "rules")));
    }
    // A list may hold only the figures that its items use; a healthy rig then has none to count.
    let mut looked = vec![counted(list.rules_run, "rule", "rules")];
    if !list.figures.is_empty() {
        looked.push(counted(list.figures.len(), "figure", "figures"));
    }
    match (to_mend.is_empty(), parts.is_empty(), list.rules_run) {
        (_, true, 0) => "Nothing was judged: no rule found anything to look at.".to_owned(),
        (_, true, _) => format!("Nothing to mend: {} inspected, and every rule is met.", and(&looked)),
        (true, false, _) => format!("Nothing to mend; {}.", parts.join("; ")),
        (false, ..) => format!("{}.", parts.join("; ")),
    }
}

/// The figures of an item that its own words do not give already.
pub(super) fn unsaid_figures<'a>(item: &'a Item, list: &'a PunchList) -> impl Iterator<Item = &'a FigureLine> {
    let figures = item.figures.iter().filter_map(|at| list.figures.get(*at));
    // A count of one or none is a yes or no, which the sentence says in words.
    let is_yes_or_no = |figure: &&FigureLine| {
        figure.unit.is_empty() && figure.ends.is_some_and(|(low, high)| low >= 0.0 && high <= 1.0)
    };
    let figures = figures.filter(move |figure| !is_yes_or_no(figure));
    figures.filter(|figure| {
        !item.says.contains(&figure.shown)
            && item.remedy.as_deref().is_none_or(|remedy| !remedy.contains(&figure.shown))
    })
}

/// What a figure is called in words: `securing.strap-needed:parts.water` is a strap needed.
pub(super) fn figure_words(figure: &FigureLine) -> String {
    let name = figure.id.split(':').next().unwrap_or_default();
    clean(&name.rsplit('.').next().unwrap_or_default().replace('-', " "))
}
