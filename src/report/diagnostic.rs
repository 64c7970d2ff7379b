//! Items, problems and troubles as `miette` diagnostics, over one source that holds every file.
//!
//! `miette` addresses a label by one offset. Here each file has a base offset of its own, so that labels of one
//! diagnostic may stand in several files; [`SourceMap::read_span`] finds the file again.

use std::fmt;

use miette::{
    Diagnostic, LabeledSpan, MietteError, MietteSpanContents, Severity, SourceCode, SourceSpan, SpanContents,
};

use crate::problem::{Problem, Span};
use crate::punchlist::Item;
use crate::rulebook::card::Signal;
use crate::spec::{Source, Sources};

/// All files of a run as one `miette` source.
#[derive(Debug)]
pub struct SourceMap<'a> {
    sources: &'a Sources,
    /// The offset of each file's first byte. Files stand one byte apart, so that no offset belongs to two.
    bases: Vec<usize>,
}

impl<'a> SourceMap<'a> {
    /// The map over these files.
    pub fn new(sources: &'a Sources) -> Self {
        let mut next = 0;
        let bases = sources
            .files
            .iter()
            .map(|file| {
                let base = next;
                next += file.text.len() + 1;
                base
            })
            .collect();
        Self { sources, bases }
    }

    /// Where a span stands in the map. A span into a file that is not held gets an offset that no file has.
    pub fn offset(&self, span: Span) -> SourceSpan {
        let length = span.end.saturating_sub(span.start) as usize;
        match self.bases.get(usize::from(span.file)) {
            Some(base) => (base + span.start as usize, length).into(),
            None => (usize::MAX, 0).into(),
        }
    }

    fn file_at(&self, offset: usize) -> Option<(usize, &'a Source)> {
        let index = self.bases.partition_point(|base| *base <= offset).checked_sub(1)?;
        Some((*self.bases.get(index)?, self.sources.files.get(index)?))
    }
}

impl SourceCode for SourceMap<'_> {
    /// The whole lines that hold the span, and as many around it as are asked for. A span that leaves its file is refused.
    fn read_span<'s>(
        &'s self,
        span: &SourceSpan,
        lines_before: usize,
        lines_after: usize,
    ) -> Result<Box<dyn SpanContents<'s> + 's>, MietteError> {
        let (base, file) = self.file_at(span.offset()).ok_or(MietteError::OutOfBounds)?;
        let start = span.offset() - base;
        let end =
            start.checked_add(span.len()).filter(|end| *end <= file.text.len()).ok_or(MietteError::OutOfBounds)?;
        let line_of = |byte: usize| file.position(u32::try_from(byte).unwrap_or(u32::MAX)).line;
        let first = line_of(start).saturating_sub(lines_before).max(1);
        // The last byte marked, not the one after it: a span that takes in its line break ends on that line.
        let last = line_of(end.saturating_sub(1).max(start)).saturating_add(lines_after).min(file.lines());
        let from = file.line_bytes(first).ok_or(MietteError::OutOfBounds)?.start;
        let to = file.line_bytes(last).ok_or(MietteError::OutOfBounds)?.end;
        let data = file.text.as_bytes().get(from..to).ok_or(MietteError::OutOfBounds)?;
        Ok(Box::new(MietteSpanContents::new_named(
            file.name.clone(),
            data,
            (base + from, to - from).into(),
            first - 1,
            0,
            last + 1 - first,
        )))
    }
}

/// Something to be said about stretches of files.
#[derive(Debug)]
pub struct Shown<'a> {
    says: &'a str,
    code: Option<&'a str>,
    severity: Severity,
    help: Option<&'a str>,
    labels: Vec<LabeledSpan>,
    map: &'a SourceMap<'a>,
}

impl<'a> Shown<'a> {
    /// An item of the punch list. Its first label is the primary one.
    pub fn item(item: &'a Item, map: &'a SourceMap<'a>) -> Self {
        let labels = item.labels.iter().enumerate().map(|(index, label)| {
            let says = if label.says.is_empty() && label.not_written {
                format!("{} is not stated", label.place)
            } else {
                label.says.clone()
            };
            mark(map, label.span, says, index == 0)
        });
        Self {
            says: &item.says,
            code: Some(&item.rule),
            severity: match item.signal {
                Signal::Danger | Signal::Warning => Severity::Error,
                Signal::Caution => Severity::Warning,
                Signal::Notice => Severity::Advice,
            },
            help: item.remedy.as_deref(),
            labels: labels.collect(),
            map,
        }
    }

    /// A problem with a file.
    pub fn problem(problem: &'a Problem, map: &'a SourceMap<'a>) -> Self {
        let first = mark(map, problem.span, problem.label.clone(), true);
        let also = problem.also.iter().map(|(span, says)| mark(map, *span, says.clone(), false));
        Self {
            says: &problem.says,
            code: None,
            severity: Severity::Error,
            help: problem.fix.as_deref(),
            labels: std::iter::once(first).chain(also).collect(),
            map,
        }
    }

    /// A sentence with at most one label, as for a rule that could not be run.
    pub fn sentence(says: &'a str, span: Option<(Span, &str)>, map: &'a SourceMap<'a>) -> Self {
        let labels = span.map(|(span, says)| mark(map, span, says.to_owned(), true)).into_iter().collect();
        Self { says, code: None, severity: Severity::Error, help: None, labels, map }
    }
}

fn mark(map: &SourceMap<'_>, span: Span, says: String, primary: bool) -> LabeledSpan {
    let says = Some(says).filter(|says| !says.is_empty());
    let at = map.offset(span);
    if primary { LabeledSpan::new_primary_with_span(says, at) } else { LabeledSpan::new_with_span(says, at) }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.says)
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn code<'s>(&'s self) -> Option<Box<dyn fmt::Display + 's>> {
        self.code.map(|code| Box::new(code) as Box<dyn fmt::Display>)
    }

    fn severity(&self) -> Option<Severity> {
        Some(self.severity)
    }

    fn help<'s>(&'s self) -> Option<Box<dyn fmt::Display + 's>> {
        self.help.map(|help| Box::new(help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(self.map)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.labels.iter().cloned()))
    }
}
