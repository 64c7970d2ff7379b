//! Bytes into documents. Only this file, [`super::build`] and [`super::explain`] know the YAML parser.

use super::build::{self, Builder, Stop};
use super::explain::{self, Mend};
use super::limits;
use super::source::Sources;
use super::tree::Tree;
use crate::problem::{Problem, Span};
use granit_parser::{Event, Parser};

/// How often a broken file is mended and read again to find what else is wrong with it.
const ROUNDS: usize = 8;

/// What came of reading a file.
#[derive(Debug, Clone, Default)]
pub struct Outcome {
    /// The file, as an index into the sources. `None` only when the sources are full.
    pub file: Option<u16>,
    /// The documents, in order; those that hold nothing at all are left out.
    pub documents: Vec<Document>,
    /// What is wrong with the file as a whole; when there is any of it, there are usually no documents.
    pub problems: Vec<Problem>,
}

/// One document of a file: what stands between two `---`, or the whole file. Each is a spec of its own.
#[derive(Debug, Clone)]
pub struct Document {
    /// The bytes of the document.
    pub span: Span,
    /// The tree; `None` when the text is broken.
    pub tree: Option<Tree>,
    /// What is wrong, in the order of the bytes.
    pub problems: Vec<Problem>,
}

impl Outcome {
    /// All problems, those of the file first.
    pub fn all_problems(&self) -> impl Iterator<Item = &Problem> {
        self.problems.iter().chain(self.documents.iter().flat_map(|document| &document.problems))
    }

    fn refused(file: Option<u16>, problem: Problem) -> Self {
        Self { file, documents: Vec::new(), problems: vec![problem] }
    }
}

/// Reads a file as a spec. `name` is how the file is called in messages, and what its parts books are relative to.
///
/// Never fails as a whole: what is wrong is in the outcome. A broken document does not hide the others.
pub fn read(name: &str, bytes: &[u8], sources: &mut Sources) -> Outcome {
    read_as("spec", name, bytes, sources)
}

/// [`read`], with the word for what the file should hold.
pub(super) fn read_as(what: &str, name: &str, bytes: &[u8], sources: &mut Sources) -> Outcome {
    let whole_file = Span { file: sources.files.len().min(usize::from(u16::MAX)) as u16, start: 0, end: 0 };
    let mut refuse = |text: &str, start: usize, end: usize, says: String, label: &str, fix: &str| {
        let file = sources.add(name, text);
        let span = Span { file: file.unwrap_or(u16::MAX), start: start as u32, end: end as u32 };
        Outcome::refused(file, Problem::new(says, span, label).fix(fix))
    };
    if bytes.len() > limits::FILE_BYTES {
        let says = format!(
            "this file has {} bytes; the limit is {} (8 MiB)",
            build::grouped(bytes.len()),
            build::grouped(limits::FILE_BYTES)
        );
        return refuse("", 0, 0, says, "too large", "split it: one rig needs a few thousand lines at most");
    }
    if let Some(encoding) = other_encoding(bytes) {
        let says = format!("this file is {encoding}, not UTF-8");
        return refuse("", 0, 0, says, "wrong encoding", "save it again as UTF-8 in your editor");
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let at = error.valid_up_to();
            // Up to the first bad byte the text is the same, so the position is right.
            let text = String::from_utf8_lossy(bytes);
            let line = 1 + bytes.iter().take(at).filter(|b| **b == b'\n').count();
            let byte = bytes.get(at).copied().unwrap_or_default();
            let says =
                format!("this file is not UTF-8: byte {} (0x{byte:02X}), on line {line}", build::grouped(at + 1));
            let fix = "save it again as UTF-8 in your editor";
            return refuse(&text, at, at + '\u{fffd}'.len_utf8(), says, "not a UTF-8 character", fix);
        }
    };
    let Some(file) = sources.add(name, text) else {
        let says = "more than 65 536 files were read in one run; that is the limit";
        return Outcome::refused(None, Problem::new(says, whole_file, "one file too many"));
    };

    let mut outcome = Outcome { file: Some(file), ..Outcome::default() };
    let mut patched = without_control_characters(text, file, &mut outcome.problems);
    let mut mended: Vec<Problem> = Vec::new();
    let mut round = 0;
    let mut documents = loop {
        let current = patched.as_deref().unwrap_or(text);
        let (documents, broken) = parse(current, file);
        round += 1;
        let mends: Vec<_> = broken.iter().filter(|b| b.mend.is_some()).cloned().collect();
        if mends.is_empty() || round >= ROUNDS || mended.len() >= limits::PROBLEMS {
            break documents;
        }
        let Some(better) = apply(current, &mends) else { break documents };
        patched = Some(better);
        mended.extend(mends.into_iter().map(|broken| broken.problem));
    };
    // A document that was mended to read on is still broken, and has the problems of the earlier rounds.
    for problem in mended {
        let home = documents.partition_point(|d| d.span.start <= problem.span.start).saturating_sub(1);
        match documents.get_mut(home) {
            Some(document) => {
                document.tree = None;
                document.problems.push(problem);
            }
            None => outcome.problems.push(problem),
        }
    }
    for document in &mut documents {
        document.problems.sort_by_key(|problem| problem.span);
        // A mend may have put several letters where the file has one.
        for problem in document.problems.iter_mut().filter(|_| round > 1) {
            widen(text, &mut problem.span);
            problem.also.iter_mut().for_each(|(span, _)| widen(text, span));
        }
    }
    // What follows a last `---` and is empty is no spec, and no mistake.
    documents.retain(|d| {
        let empty = |tree: &Tree| tree.node(tree.root).is_null() && build::is_empty(tree.node(tree.root).span);
        !(d.problems.is_empty() && d.tree.as_ref().is_none_or(empty))
    });
    if documents.is_empty() && outcome.problems.is_empty() {
        let lines: Vec<_> =
            text.trim_start_matches('\u{feff}').lines().map(str::trim).filter(|l| !l.is_empty()).collect();
        let holds = match lines.iter().all(|line| line.starts_with('#')) {
            _ if lines.is_empty() => "is empty",
            true => "holds only comments",
            false => "holds nothing between its `---`",
        };
        let says = format!("no {what} in this file: it {holds}");
        let span = Span { file, start: 0, end: 0 };
        outcome.problems.push(Problem::new(says, span, format!("a {what} is expected here")));
    }
    outcome.documents = documents;
    outcome
}

/// Widens a span that cuts a character to hold the whole of it.
fn widen(text: &str, span: &mut Span) {
    while !text.is_char_boundary(span.start as usize) {
        span.start -= 1;
    }
    while !text.is_char_boundary(span.end as usize) {
        span.end += 1;
    }
}

/// Encodings other than UTF-8 that YAML 1.2.2 (section 5.2) tells apart by their first bytes.
fn other_encoding(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [0, 0, 0xFE, 0xFF, ..] | [0xFF, 0xFE, 0, 0, ..] | [0, 0, 0, 1..=0xFF, ..] => Some("UTF-32"),
        [0xFE, 0xFF, ..] => Some("UTF-16 (big-endian)"),
        [0xFF, 0xFE, ..] => Some("UTF-16 (little-endian)"),
        [0, 1..=0x7F, 0, 1..=0x7F, ..] => Some("UTF-16 (big-endian, without a byte order mark)"),
        [1..=0x7F, 0, 1..=0x7F, 0, ..] => Some("UTF-16 (little-endian, without a byte order mark)"),
        _ => None,
    }
}

/// Reports characters that YAML does not allow (YAML 1.2.2, production \[1\] c-printable), and gives the text with each
/// of them blanked so that the rest can still be read. `None` when there are none.
fn without_control_characters(text: &str, file: u16, problems: &mut Vec<Problem>) -> Option<String> {
    let allowed =
        |c: char| matches!(c, '\t' | '\n' | '\r' | ' '..='~' | '\u{85}' | '\u{a0}'..='\u{fffd}' | '\u{10000}'..);
    // Looking at bytes first is several times quicker than at characters, and nearly every file passes here.
    if !text.bytes().any(|b| (b < b' ' && !matches!(b, b'\t' | b'\n' | b'\r')) || matches!(b, 0x7F | 0xC2 | 0xEF)) {
        return None;
    }
    let first = text.chars().position(|c| !allowed(c))?;
    let mut clean = String::with_capacity(text.len());
    let mut count = 0;
    let mut span = Span::default();
    let mut bad = '\0';
    for (at, (byte, c)) in text.char_indices().enumerate() {
        if at < first || allowed(c) {
            clean.push(c);
            continue;
        }
        if count == 0 {
            span = Span { file, start: byte as u32, end: (byte + c.len_utf8()) as u32 };
            bad = c;
        }
        count += 1;
        clean.extend(std::iter::repeat_n(' ', c.len_utf8()));
    }
    let more = if count > 1 { format!(" (and {} more like it)", build::grouped(count - 1)) } else { String::new() };
    let kind = if bad == '\0' { "a NUL character" } else { "a control character" };
    let says = format!("there is {kind}, U+{:04X}, in this file{more}", bad as u32);
    let fix = "delete it; a spec is plain text";
    problems.push(Problem::new(says, span, "cannot be seen, and is not allowed").fix(fix));
    Some(clean)
}

/// A document that could not be read, and how to read on.
#[derive(Clone)]
struct Broken {
    problem: Problem,
    mend: Option<Mend>,
}

/// The text with every mend made. `None` when nothing would change, so that mending always ends.
fn apply(text: &str, broken: &[Broken]) -> Option<String> {
    let mut bytes = text.as_bytes().to_vec();
    for mend in broken.iter().filter_map(|broken| broken.mend.as_ref()) {
        bytes.get_mut(mend.bytes.clone())?.fill(mend.with);
    }
    (bytes != text.as_bytes()).then(|| String::from_utf8(bytes).ok()).flatten()
}

/// Reads all documents of a text. Those that are broken are in both results.
fn parse(text: &str, file: u16) -> (Vec<Document>, Vec<Broken>) {
    let mut options = granit_parser::options! {
        emit_unresolved_aliases: true,
        emit_anchor_events: true,
        // One more than ours, so that ours is the one that is met and knows its place.
        flow_nesting_limit: limits::DEPTH + 1,
        block_nesting_limit: limits::DEPTH + 1,
    };
    options.set_emit_comments(false);
    let mut parser = Parser::new_from_str_with_options(text, options);
    let mut documents: Vec<Document> = Vec::new();
    let mut broken: Vec<Broken> = Vec::new();
    let mut builder = Builder::new(text, file, 0);
    let mut start: Option<u32> = None;
    let mut nodes = 0;
    while let Some(event) = parser.next_event() {
        let stop = match event {
            Ok((Event::StreamStart | Event::StreamEnd, _)) => continue,
            Ok((Event::DocumentStart(..), span)) => {
                let span = builder.span(span);
                start = Some(span.start);
                continue;
            }
            Ok((Event::DocumentEnd, span)) => {
                let end = builder.span(span).end;
                nodes += builder.nodes.len();
                let span = Span { file, start: start.take().unwrap_or(end), end };
                documents.push(std::mem::replace(&mut builder, Builder::new(text, file, nodes)).finish(span));
                if documents.len() < limits::DOCUMENTS {
                    continue;
                }
                let says =
                    format!("there are more than {} documents in this file; that is the limit", limits::DOCUMENTS);
                if let Some(Ok((Event::DocumentStart(..), next))) = parser.next_event() {
                    let span = builder.span(next);
                    let problem = Problem::new(says, span, "the rest is not read");
                    documents.push(Document { span, tree: None, problems: vec![problem] });
                }
                break;
            }
            Ok((event, span)) => match builder.take(event, span) {
                Ok(()) => continue,
                Err(stop) => stop,
            },
            Err(error) => {
                let at = error.marker().byte_offset().unwrap_or(0).min(text.len());
                let (problem, mend) = explain::explain(error.kind(), text, file, at, builder.open_bracket());
                Stop { problem: Box::new(problem.at(builder.place())), mend, for_good: false }
            }
        };
        let Stop { problem, mend, for_good } = stop;
        nodes += builder.nodes.len();
        let begin = start.take().unwrap_or(problem.span.start).min(problem.span.start);
        let span = Span { file, start: begin, end: problem.span.end };
        let mut document = std::mem::replace(&mut builder, Builder::new(text, file, nodes)).finish(span);
        document.tree = None;
        document.problems.push((*problem).clone());
        documents.push(document);
        broken.push(Broken { problem: *problem, mend });
        if for_good || documents.len() >= limits::DOCUMENTS || !matches!(parser.proceed_next_document(), Ok(true)) {
            break;
        }
    }
    // A broken document reaches to the next one.
    let mut next = text.len() as u32;
    for document in documents.iter_mut().rev() {
        if document.tree.is_none() {
            document.span.end = next.max(document.span.end);
        }
        next = document.span.start;
    }
    (documents, broken)
}
