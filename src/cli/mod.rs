//! Commands to calls. Opens files, prints, and picks the exit status; knows no engineering and no wording of findings.
//!
//! Exit status, for every command:
//! - 0: nothing at or above the hold point
//! - 1: the hold point is reached, or a trial does not hold
//! - 2: a spec, a rule or a rulebook could not be read or run, no spec was found, or the call was wrong

mod inspect;
mod look;
mod mix;
mod rules;
mod specs;

use std::io::{IsTerminal, Write};
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::report::Style;
use crate::rulebook::card::Signal;
use crate::rulebook::script::Fault;

/// Shown below the list of commands.
const AFTER_HELP: &str = "\
A spec is a YAML file that says what is on a wash trailer or truck, where it stands and how it is joined.

  rigproof inspect my-rig.yaml       what to mend, worst first
  rigproof inspect my-rig.yaml -h    ways to print it, and what fails a build
  rigproof weigh my-rig.yaml         what it weighs, tank by tank

Exit status: 0 nothing to hold for, 1 something to mend, 2 something could not be read or run.
Figures are estimates. Weigh the finished rig; local codes and the makers' manuals come first.";

/// Inspects the spec of a mobile wash rig and writes a punch list: what is wrong, where, by how much, and what to do.
#[derive(Debug, Parser)]
#[command(name = "rigproof", version, arg_required_else_help = true, disable_help_subcommand = true, after_help = AFTER_HELP)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Inspect specs and print what to mend.
    Inspect(inspect::Inspect),
    /// Print what the rig weighs as its tanks fill and empty: in all, on each axle, on the tongue, on each side.
    Weigh(look::Weigh),
    /// Print everything that is worked out of a spec, and how.
    Figures(look::Figures),
    /// Print what to pour and set for a strength on the surface, what the rig reaches, and how the bleach fades.
    Mix(mix::Mix),
    /// List the rules, read one, or run the rules' own trials.
    Rulebook(rules::RulebookCommand),
    /// Print the JSON Schema of a spec, with which an editor completes and checks.
    Schema,
}

/// How to print.
#[derive(Debug, Clone, Args)]
struct Looks {
    /// Plain sentences without drawing characters, for screen readers and logs.
    #[arg(long)]
    plain: bool,
    /// When to use color; `auto` is on a terminal, unless NO_COLOR is set.
    #[arg(long, value_name = "WHEN", value_enum, default_value = "auto")]
    color: When,
    /// How many columns wide [default: the terminal's width]
    #[arg(long, value_name = "COLUMNS")]
    width: Option<usize>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum When {
    Auto,
    Always,
    Never,
}

impl Looks {
    /// Sentences only: asked for, or nobody is there to see a layout.
    fn plain(&self) -> bool {
        self.plain || std::env::var_os("TERM").is_some_and(|term| term == "dumb")
    }

    fn style(&self) -> Style {
        let terminal = std::io::stdout().is_terminal();
        let color = match self.color {
            When::Always => true,
            When::Never => false,
            When::Auto => terminal && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty()),
        };
        let width = self.width.or_else(|| std::env::var("COLUMNS").ok()?.parse().ok()).or_else(terminal_width);
        Style { width: width.unwrap_or(100).clamp(40, 400), color, ..Style::default() }
    }
}

/// The terminal's own width, where standard output is one.
fn terminal_width() -> Option<usize> {
    std::io::stdout().is_terminal().then(textwrap::termwidth)
}

/// A signal word on the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SignalWord {
    Danger,
    Warning,
    Caution,
    Notice,
}

impl SignalWord {
    fn signal(self) -> Signal {
        match self {
            Self::Danger => Signal::Danger,
            Self::Warning => Signal::Warning,
            Self::Caution => Signal::Caution,
            Self::Notice => Signal::Notice,
        }
    }
}

/// Exit statuses.
pub mod status {
    /// Nothing at or above the hold point.
    pub const CLEAR: u8 = 0;
    /// The hold point is reached.
    pub const HOLD: u8 = 1;
    /// Something could not be read or run.
    pub const UNABLE: u8 = 2;
}

/// Reads the command line and does what it says.
pub fn run() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Asking for help is no mistake; a bare call gets help and is one.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { status::UNABLE } else { status::CLEAR });
        }
    };
    let done = match cli.command {
        Command::Inspect(inspect) => inspect.run(),
        Command::Weigh(weigh) => weigh.run(),
        Command::Figures(figures) => figures.run(),
        Command::Mix(mix) => mix.run(),
        Command::Rulebook(rulebook) => rulebook.run(),
        Command::Schema => print(crate::schema::RIG).map(|()| status::CLEAR),
    };
    match done {
        Ok(status) => ExitCode::from(status),
        Err(says) => {
            let _ = writeln!(std::io::stderr(), "rigproof: {says}");
            ExitCode::from(status::UNABLE)
        }
    }
}

/// Writes to standard output. A reader that has gone away is no error.
fn print(text: &str) -> Result<(), String> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(format!("can't write: {error}")),
        _ => Ok(()),
    }
}

/// Faults of rules, as sentences with the file and line of each.
fn faults_text(faults: &[Fault]) -> String {
    let each = faults.iter().map(|fault| {
        let line = fault.at.map(|(start, _)| fault.text.get(..start).unwrap_or_default().lines().count().max(1));
        let line = line.map_or(String::new(), |line| format!(", line {line}"));
        format!("{}{line}: {}", fault.file, fault.says)
    });
    each.collect::<Vec<_>>().join("\n")
}
