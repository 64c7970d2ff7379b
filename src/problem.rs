//! What is wrong with a file, as opposed to the rig it describes: malformed YAML, an unknown key, a unit that is missing.
//!
//! A problem knows its bytes from the start, because it is found where the bytes are read.

use crate::place::Place;

/// A stretch of bytes in one of the files that were read; see [`crate::spec::Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// Which file, as an index into the sources.
    pub file: u16,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

/// Most problems filed for one document: past that, more of them help nobody, and telling doubles apart would take long.
pub const MOST: usize = 100;

/// One mistake in a file: said once, at one spot, with the likely fix.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The sentence: what is wrong, in the reader's words, no full stop.
    pub says: String,
    /// The key or the value that is wrong.
    pub span: Span,
    /// Short text beside the marked bytes.
    pub label: String,
    /// Other bytes that explain it (the first of two equal keys, the anchor a value came from).
    pub also: Vec<(Span, String)>,
    /// What to do about it.
    pub fix: Option<String>,
    /// Where in the spec, when that is known.
    pub place: Place,
}

impl Problem {
    /// A problem with a sentence, a spot and the text beside the spot.
    pub fn new(says: impl Into<String>, span: Span, label: impl Into<String>) -> Self {
        Self { says: says.into(), span, label: label.into(), also: Vec::new(), fix: None, place: Place::root() }
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn fix(mut self, fix: impl Into<String>) -> Self {
        self.fix = Some(fix.into());
        self
    }

    /// Adds another spot that explains it.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        self.also.push((span, label.into()));
        self
    }

    /// Adds the place in the spec.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }
}

/// Files a problem once: a wrong value that several places use is one mistake, with the other uses listed.
///
/// `used` is where a value that is written elsewhere (an anchor, a parts book) is used.
pub fn file_once(problems: &mut Vec<Problem>, problem: Problem, used: Option<Span>) {
    let known = problems.iter().position(|known| known.span == problem.span && known.says == problem.says);
    let Some(known) = known.and_then(|at| problems.get_mut(at)) else {
        if problems.len() < MOST {
            problems.push(match used {
                Some(at) if at != problem.span => problem.also(at, "used here"),
                _ => problem,
            });
        }
        return;
    };
    if let Some(at) = used
        && known.also.len() < MOST
        && known.also.iter().all(|(span, _)| *span != at)
    {
        known.also.push((at, "also used here".to_owned()));
    }
}
