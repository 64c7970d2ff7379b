//! `rigproof inspect`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use rayon::prelude::*;

use super::{Looks, SignalWord, print, specs, status};
use crate::inspection::{Inspected, Inspector};
use crate::punchlist::PunchList;
use crate::report;
use crate::rulebook::card::{Signal, Verdict};
use crate::spec::Shelf;

#[derive(Debug, Args)]
pub(super) struct Inspect {
    /// Specs, or folders that hold specs; `-` reads one from standard input.
    #[arg(required = true)]
    specs: Vec<PathBuf>,
    /// What to print.
    #[arg(long = "as", value_enum, default_value = "terminal")]
    form: Form,
    /// The signal word at which the exit status says hold.
    #[arg(long, value_enum, default_value = "warning")]
    hold_at: SignalWord,
    /// Whether an open question on a danger rule holds.
    #[arg(long, value_enum, default_value = "hold")]
    open_questions: OpenQuestions,
    /// The day that variances are held against, as 2026-11-25; today unless given.
    #[arg(long)]
    today: Option<String>,
    #[command(flatten)]
    looks: Looks,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// For a person at a terminal.
    Terminal,
    /// Plain sentences.
    Plain,
    /// For programs; see schema/inspection.schema.json.
    Json,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum OpenQuestions {
    Hold,
    Allow,
}

impl Inspect {
    pub(super) fn run(self) -> Result<u8, String> {
        let files = specs::find(&self.specs)?;
        let mut inspector = Inspector::standard().map_err(|faults| super::faults_text(&faults))?;
        inspector.today = Some(self.today.clone().unwrap_or_else(today));
        let all_figures = self.form == Form::Json;
        // Each worker keeps the parts books it has read.
        let inspected: Vec<Result<Inspected, String>> = files
            .par_iter()
            .map_init(Shelf::default, |shelf, path| {
                let bytes = specs::open(path)?;
                let mut inspected = inspector.inspect(&specs::name(path), &bytes, shelf, &specs::open_book);
                if all_figures {
                    inspected.with_all_figures();
                }
                Ok(inspected)
            })
            .collect();
        let mut unread = Vec::new();
        let mut done = Vec::new();
        for one in inspected {
            match one {
                Ok(one) => done.push(one),
                Err(says) => unread.push(says),
            }
        }
        self.print(&done)?;
        for says in &unread {
            eprintln_line(says);
        }
        let lists = || done.iter().flat_map(|one| &one.lists);
        let unable = !unread.is_empty() || lists().any(|list| !list.problems.is_empty() || !list.troubles.is_empty());
        let held = lists().any(|list| self.holds(list));
        Ok(if unable { status::UNABLE } else if held { status::HOLD } else { status::CLEAR })
    }

    fn print(&self, done: &[Inspected]) -> Result<(), String> {
        if self.form == Form::Json {
            let lists: Vec<_> = done.iter().flat_map(|one| one.lists.iter().map(move |list| (list, &one.sources))).collect();
            return print(&report::json_text(&report::json(&lists)));
        }
        let plain = self.form == Form::Plain || self.looks.plain();
        let style = self.looks.style();
        let lists: Vec<_> = done.iter().flat_map(|one| one.lists.iter().map(move |list| (list, &one.sources))).collect();
        for (at, (list, sources)) in lists.iter().enumerate() {
            let last = at + 1 == lists.len();
            let text = if plain { report::plain(list, sources, last) } else { report::terminal(list, sources, &report::Style { caution: last, ..style.clone() }) };
            print(&text)?;
            if !last {
                print("\n")?;
            }
        }
        Ok(())
    }

    /// Whether a list reaches the hold point: something not met that no variance covers and no earlier list had, or an open
    /// question on a danger rule.
    fn holds(&self, list: &PunchList) -> bool {
        list.items.iter().filter(|item| item.variance.is_none() && !item.carried).any(|item| match item.verdict {
            Verdict::Breaks => item.signal >= self.hold_at.signal(),
            Verdict::CannotSay => item.signal == Signal::Danger && self.open_questions == OpenQuestions::Hold,
        })
    }
}

fn eprintln_line(says: &str) {
    let _ = std::io::Write::write_all(&mut std::io::stderr(), format!("rigproof: {says}\n").as_bytes());
}

/// Today in UTC, as an ISO 8601 day.
fn today() -> String {
    let seconds = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).map_or(0, |since| since.as_secs());
    day(seconds / 86_400)
}

/// The calendar day a number of days after 1970-01-01 (proleptic Gregorian calendar, by counting whole years).
fn day(mut days: u64) -> String {
    let leap = |year: u64| year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let mut year = 1970;
    while days >= 365 + u64::from(leap(year)) {
        days -= 365 + u64::from(leap(year));
        year += 1;
    }
    let lengths = [31, 28 + u64::from(leap(year)), 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let mut month = 1;
    for length in lengths {
        if days < length {
            break;
        }
        days -= length;
        month += 1;
    }
    format!("{year:04}-{month:02}-{:02}", days + 1)
}

#[cfg(test)]
mod tests {
    use super::day;

    /// Days since 1970-01-01 as Python 3.11's `datetime.date.toordinal` counts them.
    #[test]
    fn a_day_is_named_as_the_calendar_names_it() {
        for (days, named) in [(0, "1970-01-01"), (59, "1970-03-01"), (789, "1972-02-29"), (11_016, "2000-02-29"), (20_782, "2026-11-25"), (47_541, "2100-03-01")] {
            assert_eq!(day(days), named);
        }
    }
}
