//! The events of one document into a tree.

use super::explain::Mend;
use super::limits;
use super::nearest::nearest;
use super::read::Document;
use super::scalar::{self, Scalar, Value};
use super::tree::{Entry, Kind, Map, Node, NodeId, Ref, Tree, Via};
use crate::place::Place;
use crate::problem::{Problem, Span};
use granit_parser::{Event, ScalarStyle, StructureStyle, Tag};
use std::collections::HashMap;

pub(super) fn is_empty(span: Span) -> bool {
    span.start == span.end
}

/// `1234567` as `1 234 567`.
pub(super) fn grouped(number: usize) -> String {
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

/// Why a document is given up.
pub(super) struct Stop {
    pub(super) problem: Box<Problem>,
    pub(super) mend: Option<Mend>,
    /// The rest of the file is given up too.
    pub(super) for_good: bool,
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
pub(super) struct Builder<'t> {
    text: &'t str,
    file: u16,
    /// Values of the documents before this one.
    before: usize,
    pub(super) nodes: Vec<Node>,
    frames: Vec<Frame>,
    anchors: HashMap<usize, Anchor>,
    /// Values so far, aliases counted for all they stand for.
    expanded: u64,
    root: Option<NodeId>,
    problems: Vec<Problem>,
    hidden: usize,
}

impl<'t> Builder<'t> {
    pub(super) fn new(text: &'t str, file: u16, before: usize) -> Self {
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

    pub(super) fn finish(mut self, span: Span) -> Document {
        if self.hidden > 0 {
            let says =
                format!("{} more problems in this document are not shown; mend these first", grouped(self.hidden));
            self.problems.push(Problem::new(says, Span { start: span.end, ..span }, ""));
        }
        let tree = self.root.map(|root| Tree::new(self.nodes, root));
        Document { span, tree, problems: self.problems }
    }

    pub(super) fn span(&self, span: granit_parser::Span) -> Span {
        let start = span.start.byte_offset().unwrap_or(0).min(self.text.len());
        let end = span.end.byte_offset().unwrap_or(start).clamp(start, self.text.len());
        Span { file: self.file, start: start as u32, end: end as u32 }
    }

    /// The place that is being read.
    pub(super) fn place(&self) -> Place {
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
    pub(super) fn open_bracket(&self) -> Option<Span> {
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

    pub(super) fn take(&mut self, event: Event<'t>, at: granit_parser::Span) -> Result<(), Stop> {
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
                // Nearly half of all scalars are keys, which need no value of their own unless an alias may repeat them.
                if anchor == 0 && self.frames.last().is_some_and(|f| f.map && matches!(f.pending, Pending::None)) {
                    self.reach(span);
                    self.key(Some((text, plain, false)), span);
                    return Ok(());
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
        let blanks = [' ', '\t', '\n', '\r'];
        if !matches!(style, ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted) {
            let written = self.text.get(span.start as usize..span.end as usize).unwrap_or_default();
            span.end = span.start + written.trim_end_matches(blanks).len() as u32;
        }
        let block = matches!(style, ScalarStyle::Literal | ScalarStyle::Folded);
        if !is_empty(span) || !(bare || block) {
            return span;
        }
        let spot = match self.frames.last().map(|frame| &frame.pending) {
            Some(Pending::Key(_, key) | Pending::Merge(key)) if !block => {
                let after = self.text.get(key.end as usize..).unwrap_or_default();
                let gap = after.len() - after.trim_start_matches([' ', '\t']).len();
                let colon = after.get(gap..).is_some_and(|rest| rest.starts_with(':'));
                key.end + if colon { gap as u32 + 1 } else { 0 }
            }
            Some(_) => {
                let before = self.text.get(..span.start as usize).unwrap_or_default();
                before.trim_end_matches(blanks).len() as u32
            }
            None => span.start,
        };
        Span { start: spot, end: spot, ..span }
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
            // A single `key: value` in a list in brackets has no bracket, and its end event no bytes.
            _ if frame.flow && !is_empty(end) => Span { file: self.file, start: frame.start, end: end.end },
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
        self.reach(value.at);
        let Some(frame) = self.frames.last_mut() else {
            self.root = Some(value.node);
            return;
        };
        frame.height = frame.height.max(if matches!(frame.pending, Pending::Merge(_)) { merged } else { height });
        if !frame.map {
            frame.items.push(value);
            return;
        }
        match std::mem::replace(&mut frame.pending, Pending::None) {
            Pending::None => {
                let scalar = self.node(value.node).and_then(Node::scalar);
                let key = scalar.map(|scalar| (scalar.text.clone(), scalar.plain, value.via == Via::Alias));
                self.key(key, value.at);
            }
            Pending::Key(key, key_span) => frame.entries.push(Entry { key, key_span, value }),
            Pending::Merge(_) => frame.merges.push(value),
            Pending::Skip => {}
        }
    }

    /// Widens the open mapping or list to hold a child.
    fn reach(&mut self, child: Span) {
        if let Some(frame) = self.frames.last_mut() {
            let (first, last) = frame.reach.unwrap_or((child.start, child.end));
            frame.reach = Some((first.min(child.start), last.max(child.end)));
        }
    }

    /// Takes a finished value as the next key: its text, whether that is plain, and whether an alias repeats it. `None`
    /// for a mapping or a list.
    fn key(&mut self, key: Option<(Box<str>, bool, bool)>, span: Span) {
        let (pending, problem) = match key {
            Some((text, true, _)) if text.is_empty() => {
                let problem = Problem::new("this value has no key", self.visible(span), "a key belongs before this");
                (Pending::Skip, Some(problem.fix("write `key: value`")))
            }
            Some((text, true, false)) if &*text == "<<" => {
                let earlier = self.frames.last().and_then(|frame| frame.merge_key);
                let problem = earlier.map(|earlier| {
                    Problem::new("`<<` is written twice", span, "again here")
                        .also(earlier, "first here")
                        .fix("write one `<<` with a list: `<<: [*first, *second]`")
                });
                (if earlier.is_some() { Pending::Skip } else { Pending::Merge(span) }, problem)
            }
            Some((text, ..)) => (Pending::Key(text, span), None),
            None => {
                let problem = Problem::new("a key must be plain text", span, "this is a mapping or a list");
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
