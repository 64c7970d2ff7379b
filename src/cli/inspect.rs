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
    /// Spec files, or folders that hold some; `-` reads one from standard input.
    #[arg(required = true, value_name = "SPEC")]
    specs: Vec<PathBuf>,
    /// What to print.
    #[arg(long = "as", value_name = "FORM", value_enum, default_value = "terminal")]
    form: Form,
    /// Exit with status 1 when something this bad, or worse, is to mend. Everything is shown all the same.
    #[arg(long, value_name = "WORD", value_enum, default_value = "warning")]
    hold_at: SignalWord,
    /// Whether to exit with status 1 when the spec leaves out what a danger rule needs to know.
    #[arg(long, value_name = "WHAT", value_enum, default_value = "hold")]
    open_questions: OpenQuestions,
    /// The day for which variances are judged, such as 2026-11-25 [default: today]
    #[arg(long, value_name = "DAY", value_parser = read_day)]
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
    /// Exit with status 1.
    Hold,
    /// Let it pass.
    Allow,
}

impl Inspect {
    pub(super) fn run(self) -> Result<u8, String> {
        let specs::Found { specs: files, mut unread } = specs::find(&self.specs)?;
        let mut inspector = Inspector::standard().map_err(|faults| super::faults_text(&faults))?;
        inspector.today = Some(self.today.clone().unwrap_or_else(today));
        let all_figures = self.form == Form::Json;
        let inspect = |shelf: &mut Shelf, path: &PathBuf| {
            let bytes = specs::open(path)?;
            let mut inspected = inspector.inspect(&specs::name(path), &bytes, shelf, &specs::open_book);
            if all_figures {
                inspected.with_all_figures();
            }
            // What is printed needs the lists; a thousand trees would only fill the memory.
            inspected.rigs.clear();
            Ok(inspected)
        };
        // Each worker keeps the parts books it has read. A single spec is not worth the threads.
        let inspected: Vec<Result<Inspected, String>> = match files.as_slice() {
            [one] => vec![inspect(&mut Shelf::default(), one)],
            many => many.par_iter().map_init(Shelf::default, inspect).collect(),
        };
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
        Ok(if unable {
            status::UNABLE
        } else if held {
            status::HOLD
        } else {
            status::CLEAR
        })
    }

    fn print(&self, done: &[Inspected]) -> Result<(), String> {
        if self.form == Form::Json {
            let lists: Vec<_> =
                done.iter().flat_map(|one| one.lists.iter().map(move |list| (list, &one.sources))).collect();
            return print(&report::json_text(&report::json(&lists)));
        }
        let plain = self.form == Form::Plain || self.looks.plain();
        let style = self.looks.style();
        let lists: Vec<_> =
            done.iter().flat_map(|one| one.lists.iter().map(move |list| (list, &one.sources))).collect();
        for (at, (list, sources)) in lists.iter().enumerate() {
            let last = at + 1 == lists.len();
            let text = if plain {
                report::plain(list, sources, last)
            } else {
                report::terminal(list, sources, &report::Style { caution: last, ..style.clone() })
            };
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

/// Days of each month of a year (Gregorian calendar).
fn months(year: u64) -> [u64; 12] {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    [31, 28 + u64::from(leap), 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
}

/// The calendar day a number of days after 1970-01-01 (proleptic Gregorian calendar, by counting whole years).
fn day(mut days: u64) -> String {
    let mut year = 1970;
    while days >= months(year).iter().sum() {
        days -= months(year).iter().sum::<u64>();
        year += 1;
    }
    let mut month = 1;
    for length in months(year) {
        if days < length {
            break;
        }
        days -= length;
        month += 1;
    }
    format!("{year:04}-{month:02}-{:02}", days + 1)
}

/// Reads a day of the calendar as ISO 8601 writes it.
fn read_day(text: &str) -> Result<String, String> {
    let pieces: Vec<&str> = text.split('-').collect();
    let digits = |piece: &str, count| piece.len() == count && piece.bytes().all(|byte| byte.is_ascii_digit());
    let number = |piece: &str| piece.parse::<u64>().unwrap_or(0);
    let is_day = match pieces.as_slice() {
        [year, month, day] if digits(year, 4) && digits(month, 2) && digits(day, 2) => {
            let length =
                number(month).checked_sub(1).and_then(|month| months(number(year)).get(month as usize).copied());
            length.is_some_and(|length| (1..=length).contains(&number(day)))
        }
        _ => false,
    };
    if is_day { Ok(text.to_owned()) } else { Err("write year, month and day, such as 2026-11-25".to_owned()) }
}

#[cfg(test)]
mod tests {
    use super::{day, read_day};

    /// Days since 1970-01-01 as Python 3.11's `datetime.date.toordinal` counts them.
    #[test]
    fn a_day_is_named_as_the_calendar_names_it() {
        for (days, named) in [
            (0, "1970-01-01"),
            (59, "1970-03-01"),
            (789, "1972-02-29"),
            (11_016, "2000-02-29"),
            (20_782, "2026-11-25"),
            (47_541, "2100-03-01"),
        ] {
            assert_eq!(day(days), named);
        }
    }

    #[test]
    fn only_a_day_of_the_calendar_is_taken() {
        for text in ["2026-11-25", "2000-02-29", "1999-12-31"] {
            assert_eq!(read_day(text).as_deref(), Ok(text));
        }
        for text in [
            "",
            "today",
            "2026-2-1",
            "2026-02-30",
            "2100-02-29",
            "2026-00-10",
            "2026-13-01",
            "26-11-25",
            "2026-11-25-1",
            "+026-11-25",
        ] {
            assert!(read_day(text).is_err(), "{text}");
        }
    }
}
