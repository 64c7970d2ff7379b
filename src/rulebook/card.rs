//! What a rule says of itself, and what it finds.

use std::fmt;

use crate::place::Place;
use crate::rig::{EntryId, FactId};
use crate::workings::{FigureId, SubjectId};

/// How bad it is if the item stays (ANSI Z535.4, ISO 3864-2).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Signal {
    /// Not about injury: property, legality, money.
    Notice,
    /// Minor or moderate injury could follow.
    Caution,
    /// Death or serious injury could follow.
    Warning,
    /// Death or serious injury will follow.
    Danger,
}

impl Signal {
    /// Every signal word, worst first.
    pub const ALL: [Self; 4] = [Self::Danger, Self::Warning, Self::Caution, Self::Notice];

    /// The word, in lower case.
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Warning => "warning",
            Self::Caution => "caution",
            Self::Notice => "notice",
        }
    }

    /// The signal that a word names.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|signal| signal.word() == word)
    }
}

impl fmt::Display for Signal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// The card of a rule: what it says of itself without being run.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleCard {
    /// A plain phrase that names the fault; the file's name.
    pub id: String,
    /// The folder it stands in.
    pub chapter: String,
    /// How bad it is if the item stays.
    pub signal: Signal,
    /// The fault in one line, no full stop.
    pub title: String,
    /// What happens if it stays.
    pub reason: String,
    /// A citation, or `common practice, no source`, or `from memory`.
    pub source: String,
    /// The kind of subject it looks at.
    pub each: String,
    /// What is usually said to the person who must act, such as who to defer to.
    pub caution: Option<String>,
    /// Rules whose items swallow this rule's: the same root cause, said once.
    pub under: Vec<String>,
    /// Limits a house rulebook may change: name and text such as `15 %`.
    pub limits: Vec<(String, String)>,
    /// The comment above `inspect`.
    pub notes: String,
}

/// What a rule found about one subject. A rule that is met leaves nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule, by its number in the rulebook.
    pub rule: usize,
    /// What it looked at.
    pub subject: SubjectId,
    /// Surely so, or not settled by what is stated.
    pub verdict: Verdict,
    /// The rule's signal word, or the one the script chose.
    pub signal: Signal,
    /// What is wrong, by how much: one sentence.
    pub says: String,
    /// The values that are wrong; the first names the place of the item.
    pub at: Vec<Mark>,
    /// The values that decided it.
    pub because: Vec<Mark>,
    /// The figures that were used.
    pub figures: Vec<FigureId>,
    /// The facts that would settle it, the one that moves the answer most first.
    pub settle: Vec<FactId>,
    /// What to do about it.
    pub remedy: Option<String>,
}

/// What a rule finds, other than that it is met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// A fact that would decide it is not stated.
    CannotSay,
    /// It is not met, whatever the facts not stated may be.
    Breaks,
}

impl Verdict {
    /// The word for machines.
    pub fn word(self) -> &'static str {
        match self {
            Self::Breaks => "breaks",
            Self::CannotSay => "cannot-say",
        }
    }
}

/// A value that an item points at.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where.
    pub at: MarkAt,
    /// Short text beside it.
    pub says: String,
}

/// What a mark points at.
#[derive(Debug, Clone, PartialEq)]
pub enum MarkAt {
    /// A fact.
    Fact(FactId),
    /// An entry: its key.
    Entry(EntryId),
    /// A place given by name.
    Place(Place),
}
