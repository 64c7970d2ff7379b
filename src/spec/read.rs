//! Bytes into trees. The only file, with [`super::explain`], that knows the YAML parser.

use super::explain::{self, Mend};
use super::limits;
use super::nearest::nearest;
use super::scalar::{self, Scalar, Value};
use super::source::Sources;
use super::tree::{Entry, Kind, Map, Node, NodeId, Ref, Tree, Via};
use crate::place::Place;
use crate::problem::{Problem, Span};
use granit_parser::{Event, Parser, ScalarStyle, StructureStyle, Tag};
use std::collections::HashMap;

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
            grouped(bytes.len()),
            grouped(limits::FILE_BYTES)
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
            let says = format!("this file is not UTF-8: byte {} (0x{byte:02X}), on line {line}", grouped(at + 1));
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
    }
    // What follows a last `---` and is empty is no spec, and no mistake.
    documents.retain(|d| {
        let empty = |tree: &Tree| tree.node(tree.root).is_null() && is_empty(tree.node(tree.root).span);
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

fn is_empty(span: Span) -> bool {
    span.start == span.end
}

/// `1234567` as `1 234 567`.
fn grouped(number: usize) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    out
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
    let more = if count > 1 { format!(" (and {} more like it)", grouped(count - 1)) } else { String::new() };
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

/// Why a document is given up.
struct Stop {
    problem: Box<Problem>,
    mend: Option<Mend>,
    /// The rest of the file is given up too.
    for_good: bool,
}

/// A mapping or list that is not closed yet.
struct Frame {
    map: bool,
    flow: bool,
    /// Where the opening event stood.
    start: u32,
    /// First and last byte of the children so far.
    reach: Option<(u32, u32)>,
    anchor: usize,
    /// Values counted before this one.
    counted: u64,
    height: usize,
    entries: Vec<Entry>,
    items: Vec<Ref>,
    merges: Vec<Ref>,
    merge_key: Option<Span>,
    pending: Pending,
}

/// The key whose value comes next.
enum Pending {
    None,
    Key(Box<str>, Span),
    Merge(Span),
    /// The key was refused; its value is read and dropped.
    Skip,
}

struct Anchor {
    name: Box<str>,
    span: Span,
    /// `None` while the value is not closed.
    node: Option<NodeId>,
}

/// Makes a tree of the events of one document.
struct Builder<'t> {
    text: &'t str,
    file: u16,
    /// Values of the documents before this one.
    before: usize,
    nodes: Vec<Node>,
    frames: Vec<Frame>,
    anchors: HashMap<usize, Anchor>,
    /// Values so far, aliases counted for all they stand for.
    expanded: u64,
    root: Option<NodeId>,
    problems: Vec<Problem>,
    hidden: usize,
}

impl<'t> Builder<'t> {
    fn new(text: &'t str, file: u16, before: usize) -> Self {
        Self {
            text,
            file,
            before,
            nodes: Vec::new(),
            frames: Vec::new(),
            anchors: HashMap::new(),
            expanded: 0,
            root: None,
            problems: Vec::new(),
            hidden: 0,
        }
    }

    fn finish(mut self, span: Span) -> Document {
        if self.hidden > 0 {
            let says =
                format!("{} more problems in this document are not shown; mend these first", grouped(self.hidden));
            self.problems.push(Problem::new(says, Span { start: span.end, ..span }, ""));
        }
        let tree = self.root.map(|root| Tree::new(self.nodes, root));
        Document { span, tree, problems: self.problems }
    }

    fn span(&self, span: granit_parser::Span) -> Span {
        let start = span.start.byte_offset().unwrap_or(0).min(self.text.len());
        let end = span.end.byte_offset().unwrap_or(start).clamp(start, self.text.len());
        Span { file: self.file, start: start as u32, end: end as u32 }
    }

    /// The place that is being read.
    fn place(&self) -> Place {
        let mut place = Place::root();
        for frame in &self.frames {
            match &frame.pending {
                Pending::Key(key, _) => place = place.key(key),
                _ if !frame.map => place = place.entry(frame.items.len()),
                _ => break,
            }
        }
        place
    }

    /// The innermost bracket that is open.
    fn open_bracket(&self) -> Option<Span> {
        // A single `key: value` inside a list in brackets is a mapping without a bracket of its own.
        let bracket = |frame: &&Frame| matches!(self.text.as_bytes().get(frame.start as usize), Some(b'[' | b'{'));
        let frame = self.frames.iter().rev().filter(|frame| frame.flow).find(bracket)?;
        Some(Span { file: self.file, start: frame.start, end: frame.start + 1 })
    }

    fn problem(&mut self, problem: Problem) {
        if self.problems.len() < limits::PROBLEMS {
            self.problems.push(problem);
        } else {
            self.hidden += 1;
        }
    }

    fn stop(&self, says: String, span: Span, label: &str, fix: &str, for_good: bool) -> Stop {
        let problem = Problem::new(says, span, label).fix(fix).at(self.place());
        Stop { problem: Box::new(problem), mend: None, for_good }
    }

    fn push(&mut self, node: Node) -> NodeId {
        let id = NodeId(self.nodes.len() as u32);
        self.nodes.push(node);
        id
    }

    fn take(&mut self, event: Event<'t>, at: granit_parser::Span) -> Result<(), Stop> {
        let span = self.span(at);
        if self.before + self.nodes.len() + self.frames.len() >= limits::NODES && event.is_node() {
            let says = format!("this file holds more than {} values; that is the limit", grouped(limits::NODES));
            return Err(self.stop(says, span, "the rest is not read", "split it into several files", true));
        }
        match event {
            Event::Scalar(text, style, anchor, tag) => {
                let span = self.scalar_span(span, style, anchor == 0 && tag.is_none());
                let missing = style == ScalarStyle::Plain && is_empty(span);
                let plain = style == ScalarStyle::Plain;
                let text: Box<str> = if missing { Box::default() } else { text.into() };
                let value = match tag {
                    None if plain => scalar::resolve(&text),
                    None => Value::Text,
                    Some(tag) => self.tagged(&text, plain, &tag, at, span),
                };
                if plain {
                    self.swallowed_entry(span);
                }
                self.expanded += 1;
                let kind = Kind::Scalar(Scalar { text, plain, value });
                let node = self.push(Node { span, kind, expanded: 1, height: 0 });
                self.anchor(anchor, Some(node));
                self.complete(Ref { node, at: span, via: Via::Own });
            }
            Event::SequenceStart(style, anchor, tag) => self.open(false, style, anchor, tag.as_deref(), at, span)?,
            Event::MappingStart(style, anchor, tag) => self.open(true, style, anchor, tag.as_deref(), at, span)?,
            Event::SequenceEnd | Event::MappingEnd => self.close(span),
            Event::Anchor(id, name) => {
                if let Some(anchor) = self.anchors.get_mut(&id) {
                    anchor.name = name.into();
                    anchor.span = span;
                }
            }
            Event::Alias(id) => self.alias(id, span)?,
            Event::UnresolvedAlias(name) => {
                self.unknown_anchor(&name, span);
                self.complete_nothing(span);
            }
            _ => {}
        }
        Ok(())
    }

    fn anchor(&mut self, id: usize, node: Option<NodeId>) {
        if id != 0 {
            let known = self.anchors.entry(id).or_insert(Anchor { name: Box::default(), span: Span::default(), node });
            known.node = node;
        }
    }

    /// The bytes of a scalar: without the line breaks after a block, and for a value that is left out the spot right
    /// after the colon or the dash, where one would write it.
    fn scalar_span(&self, mut span: Span, style: ScalarStyle, bare: bool) -> Span {
        if !is_empty(span) {
            if !matches!(style, ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted) {
                let written = self.text.get(span.start as usize..span.end as usize).unwrap_or_default();
                span.end = span.start + written.trim_end_matches([' ', '\t', '\n', '\r']).len() as u32;
            }
        } else if bare && let Some(frame) = self.frames.last() {
            let spot = match &frame.pending {
                Pending::Key(_, key) | Pending::Merge(key) => {
                    let after = self.text.get(key.end as usize..).unwrap_or_default();
                    let gap = after.len() - after.trim_start_matches([' ', '\t']).len();
                    let colon = after.get(gap..).is_some_and(|rest| rest.starts_with(':'));
                    key.end + if colon { gap as u32 + 1 } else { 0 }
                }
                _ => {
                    let before = self.text.get(..span.start as usize).unwrap_or_default();
                    before.trim_end_matches([' ', '\t', '\n', '\r']).len() as u32
                }
            };
            span.start = spot;
            span.end = spot;
        }
        span
    }

    /// `- ` on a line that YAML takes as more text of the value above: legal, and never meant.
    fn swallowed_entry(&mut self, span: Span) {
        let written = self.text.get(span.start as usize..span.end as usize).unwrap_or_default();
        let mut start = span.start;
        for line in written.split_inclusive(['\n', '\r']) {
            let indentation = (line.len() - line.trim_start().len()) as u32;
            if start > span.start && line.trim_start().starts_with("- ") {
                let dash = Span { file: self.file, start: start + indentation, end: start + indentation + 1 };
                let problem = Problem::new("this list entry is read as text of the value above", dash, "not an entry")
                    .also(self.visible(Span { end: span.start, ..span }), "the text begins here")
                    .fix("line the `-` up with the others, or leave the key above without a value of its own")
                    .at(self.place());
                return self.problem(problem);
            }
            start += line.len() as u32;
        }
    }

    /// What a scalar with a tag is. The tags of the core schema are obeyed where they fit.
    fn tagged(&mut self, text: &str, plain: bool, tag: &Tag, at: granit_parser::Span, span: Span) -> Value {
        let natural = scalar::resolve(text);
        match (tag.core_suffix(), natural) {
            (Some("str"), _) => return Value::Text,
            (Some("null"), Value::Null)
            | (Some("bool"), Value::Bool(_))
            | (Some("int"), Value::Int(_))
            | (Some("float"), Value::Float(_)) => return natural,
            (Some("float"), Value::Int(whole)) => return Value::Float(whole as f64),
            // The lone `!` of YAML: text, whatever it looks like.
            (None, _) if tag.original() == "!" => return Value::Text,
            _ => {}
        }
        self.useless_tag(tag, at, span);
        if plain { natural } else { Value::Text }
    }

    fn useless_tag(&mut self, tag: &Tag, at: granit_parser::Span, span: Span) {
        let marked = at.tag_span().map_or(span, |tag| self.span(tag));
        let says = format!("`{}` has no meaning here", tag.original());
        let fix = "remove it; if the text should begin with `!`, put the whole value in quotes";
        let problem = Problem::new(says, marked, "YAML reads this as a tag").fix(fix).at(self.place());
        self.problem(problem);
    }

    fn open(
        &mut self,
        map: bool,
        style: StructureStyle,
        anchor: usize,
        tag: Option<&Tag>,
        at: granit_parser::Span,
        span: Span,
    ) -> Result<(), Stop> {
        if self.frames.len() >= limits::DEPTH {
            let says = format!("values are nested more than {} levels deep; that is the limit", limits::DEPTH);
            return Err(self.stop(
                says,
                self.visible(span),
                "one level too many",
                "a rig needs about six levels",
                false,
            ));
        }
        if let Some(tag) = tag
            && tag.core_suffix() != Some(if map { "map" } else { "seq" })
        {
            self.useless_tag(tag, at, span);
        }
        self.anchor(anchor, None);
        self.frames.push(Frame {
            map,
            flow: style == StructureStyle::Flow,
            start: span.start,
            reach: None,
            anchor,
            counted: self.expanded,
            height: 0,
            entries: Vec::new(),
            items: Vec::new(),
            merges: Vec::new(),
            merge_key: None,
            pending: Pending::None,
        });
        self.expanded += 1;
        Ok(())
    }

    /// An empty span widened to the character it stands before.
    fn visible(&self, span: Span) -> Span {
        if !is_empty(span) {
            return span;
        }
        let next = self.text.get(span.start as usize..).and_then(|rest| rest.chars().next());
        Span { end: span.start + next.map_or(0, char::len_utf8) as u32, ..span }
    }

    fn close(&mut self, end: Span) {
        let Some(frame) = self.frames.pop() else { return };
        let span = match frame.reach {
            _ if frame.flow => Span { file: self.file, start: frame.start, end: end.end },
            Some((start, last)) => Span { file: self.file, start, end: last },
            None => Span { file: self.file, start: frame.start, end: frame.start },
        };
        let kind = if frame.map { Kind::Map(self.map(frame.entries, &frame.merges)) } else { Kind::List(frame.items) };
        let expanded = self.expanded - frame.counted;
        let node = self.push(Node { span, kind, expanded, height: frame.height + 1 });
        self.anchor(frame.anchor, Some(node));
        self.complete(Ref { node, at: span, via: Via::Own });
    }

    /// A mapping of its own entries and those merged in. Own keys win over merged ones, and of several mappings the
    /// earlier wins: "Merge Key Language-Independent Type for YAML", working draft of 2005-01-18.
    fn map(&mut self, own: Vec<Entry>, merges: &[Ref]) -> Map {
        let (map, again) = Map::new(own);
        for (first, entry) in again {
            let first = map.entries().get(first).map_or(entry.key_span, |kept| kept.key_span);
            let problem = Problem::new(format!("`{}` is written twice", entry.key), entry.key_span, "again here")
                .also(first, "first here")
                .fix("keep one of the two; until then the first one counts")
                .at(self.place().key(&entry.key));
            self.problem(problem);
        }
        if merges.is_empty() {
            return map;
        }
        let mut all: Vec<Entry> = map.iter().cloned().collect();
        for merge in merges {
            let several = self.node(merge.node).and_then(Node::list).map(<[Ref]>::to_vec);
            for source in several.as_deref().unwrap_or(std::slice::from_ref(merge)) {
                // The reader looks for the `*name` that brought an entry here.
                let at = if merge.via == Via::Own { source.at } else { merge.at };
                match self.node(source.node).and_then(Node::map) {
                    Some(from) => all.extend(from.iter().map(|entry| Entry {
                        value: Ref { node: entry.value.node, at, via: Via::Merge },
                        ..entry.clone()
                    })),
                    None => {
                        let problem = Problem::new("`<<` can only take in a mapping", at, "not a mapping")
                            .fix("write `<<: *name`, where `&name` marks a mapping, or a list of such names")
                            .at(self.place());
                        self.problem(problem);
                    }
                }
            }
        }
        Map::new(all).0
    }

    fn node(&self, id: NodeId) -> Option<&Node> {
        self.nodes.get(id.0 as usize)
    }

    fn alias(&mut self, id: usize, span: Span) -> Result<(), Stop> {
        let anchor = self.anchors.get(&id);
        let target = anchor.and_then(|anchor| anchor.node);
        let Some((node, expanded, height)) =
            target.and_then(|id| self.node(id).map(|node| (id, node.expanded, node.height)))
        else {
            let name = anchor.map(|anchor| anchor.name.to_string()).unwrap_or_default();
            let mut problem = Problem::new(format!("`{name}` holds itself"), span, "used inside its own value")
                .fix(format!("take `*{name}` out of the value that `&{name}` marks"))
                .at(self.place());
            if let Some(anchor) = anchor {
                problem = problem.also(anchor.span, "its value begins here");
            }
            self.problem(problem);
            self.complete_nothing(span);
            return Ok(());
        };
        self.expanded = self.expanded.saturating_add(expanded);
        if self.expanded > limits::EXPANDED {
            let limit = grouped(limits::EXPANDED as usize);
            let says = format!("with its aliases followed this spec holds more than {limit} values; that is the limit");
            let fix = "use fewer `*name` inside values that are themselves used by `*name`";
            return Err(self.stop(says, span, "grows past the limit here", fix, false));
        }
        if self.frames.len() + height > limits::DEPTH {
            let says = format!(
                "with its aliases followed this is nested more than {} levels deep; that is the limit",
                limits::DEPTH
            );
            return Err(self.stop(says, span, "too deep from here", "a rig needs about six levels", false));
        }
        self.complete(Ref { node, at: span, via: Via::Alias });
        Ok(())
    }

    fn unknown_anchor(&mut self, name: &str, span: Span) {
        let mut fix =
            format!("mark the value with `&{name}` before it is used; if it should be text, put it in quotes");
        if self.problems.len() < limits::PROBLEMS
            && let Some(near) = nearest(name, self.anchors.values().map(|anchor| &*anchor.name))
        {
            fix = format!("did you mean `*{near}`?");
        }
        let says = format!("`*{name}` repeats a value that was never marked");
        let problem = Problem::new(says, span, format!("no `&{name}` before this")).fix(fix).at(self.place());
        self.problem(problem);
    }

    fn complete_nothing(&mut self, span: Span) {
        self.expanded += 1;
        let node = self.push(Node::nothing(span));
        self.complete(Ref { node, at: span, via: Via::Own });
    }

    /// Puts a finished value where it belongs.
    fn complete(&mut self, value: Ref) {
        let node = self.node(value.node);
        let height = node.map_or(0, |node| node.height);
        // A merge brings in what a mapping holds, not the mapping, and of a list what its mappings hold.
        let merged = height.saturating_sub(if node.is_some_and(|node| node.list().is_some()) { 2 } else { 1 });
        let Some(frame) = self.frames.last_mut() else {
            self.root = Some(value.node);
            return;
        };
        frame.height = frame.height.max(if matches!(frame.pending, Pending::Merge(_)) { merged } else { height });
        let (first, last) = frame.reach.unwrap_or((value.at.start, value.at.end));
        frame.reach = Some((first.min(value.at.start), last.max(value.at.end)));
        if !frame.map {
            frame.items.push(value);
            return;
        }
        match std::mem::replace(&mut frame.pending, Pending::None) {
            Pending::None => self.key(value),
            Pending::Key(key, key_span) => frame.entries.push(Entry { key, key_span, value }),
            Pending::Merge(_) => frame.merges.push(value),
            Pending::Skip => {}
        }
    }

    /// Takes a finished value as the next key.
    fn key(&mut self, value: Ref) {
        let scalar = self.node(value.node).and_then(Node::scalar);
        let (pending, problem) = match scalar {
            Some(scalar) if scalar.plain && scalar.text.is_empty() => {
                let says = "this value has no key";
                let problem = Problem::new(says, self.visible(value.at), "a key belongs before this");
                (Pending::Skip, Some(problem.fix("write `key: value`")))
            }
            Some(scalar) if scalar.plain && &*scalar.text == "<<" && value.via == Via::Own => {
                let earlier = self.frames.last().and_then(|frame| frame.merge_key);
                let problem = earlier.map(|earlier| {
                    Problem::new("`<<` is written twice", value.at, "again here")
                        .also(earlier, "first here")
                        .fix("write one `<<` with a list: `<<: [*first, *second]`")
                });
                (if earlier.is_some() { Pending::Skip } else { Pending::Merge(value.at) }, problem)
            }
            Some(scalar) => (Pending::Key(scalar.text.clone(), value.at), None),
            None => {
                let problem = Problem::new("a key must be plain text", value.at, "this is a mapping or a list");
                let fix = "write `key: value`; a value that begins with `{` or `[` needs quotes if it should be text";
                (Pending::Skip, Some(problem.fix(fix)))
            }
        };
        if let Some(problem) = problem {
            let problem = problem.at(self.place());
            self.problem(problem);
        }
        if let Some(frame) = self.frames.last_mut() {
            if let Pending::Merge(span) = &pending {
                frame.merge_key = Some(*span);
            }
            frame.pending = pending;
        }
    }
}
