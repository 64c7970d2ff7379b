//! The tree: mappings, lists and single values, each with the bytes it was written in.

use super::scalar::{Scalar, Value};
use crate::place::{Place, Step};
use crate::problem::Span;
use std::ops::Deref;

/// A value in a [`Tree`]; meaningful only for the tree that gave it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub(super) u32);

/// A value with its bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// The bytes of the value. A block mapping or list runs from its first child to the end of its last; a value that
    /// is left out (`key:`) is an empty span.
    pub span: Span,
    /// What it is.
    pub kind: Kind,
    /// How many values this one stands for once aliases are followed.
    pub(super) expanded: u64,
    /// Levels of nesting from here down, aliases followed; nought for a scalar.
    pub(super) height: usize,
}

/// What a value is.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// A mapping, merges and parts books applied.
    Map(Map),
    /// A list.
    List(Vec<Ref>),
    /// A single value.
    Scalar(Scalar),
}

/// The entries of a mapping: its own in the order written, then those merged in. No two have equal keys.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Map {
    entries: Vec<Entry>,
    /// The entries in the order of their keys, when there are enough of them for a search to pay.
    by_key: Vec<u32>,
}

/// A key with its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The key after quotes and escapes.
    pub key: Box<str>,
    /// The bytes of the key, in the mapping it was written in.
    pub key_span: Span,
    /// The value.
    pub value: Ref,
}

/// A use of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ref {
    /// The value used.
    pub node: NodeId,
    /// Where this use is written: the value itself, the `*name`, or the text after `from:`.
    pub at: Span,
    /// How the value came to be used here.
    pub via: Via,
}

/// How a value came to where it is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Via {
    /// Written here.
    Own,
    /// By `*name`.
    Alias,
    /// By `<<`.
    Merge,
    /// From a parts book, by `from:`.
    Book,
}

/// What stands at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// The key; `None` for the whole spec and for the entries of a list.
    pub key_span: Option<Span>,
    /// The value, in the file and at the bytes where it is written.
    pub value_span: Span,
    /// The value.
    pub node: NodeId,
    /// How the value, or the outermost value that holds it, came to be here.
    pub via: Via,
    /// Where the use that brought it here is written; equal to `value_span` for [`Via::Own`].
    pub at: Span,
}

impl Found {
    /// The bytes to mark when the value is meant: the value, or its key when the value is left out.
    pub fn value_or_key(&self) -> Span {
        match self.key_span {
            Some(key) if self.value_span.start == self.value_span.end => key,
            _ => self.value_span,
        }
    }

    /// The bytes to mark when the key is meant: the key, or the value when there is no key.
    pub fn key_or_value(&self) -> Span {
        self.key_span.unwrap_or(self.value_span)
    }
}

/// Below this many entries a search from the front is quicker than any index.
const SMALL: usize = 16;

impl Map {
    /// A mapping of these entries. Of entries with equal keys the first is kept; the others are given back, each with
    /// the position of the one that was kept.
    pub(super) fn new(mut entries: Vec<Entry>) -> (Self, Vec<(usize, Entry)>) {
        // For every entry, the earlier entry of the same key if there is one.
        let mut twin: Vec<Option<usize>> = Vec::new();
        if entries.len() <= SMALL {
            for (at, entry) in entries.iter().enumerate() {
                if let Some(first) = entries.iter().take(at).position(|earlier| earlier.key == entry.key) {
                    twin.resize(entries.len(), None);
                    if let Some(slot) = twin.get_mut(at) {
                        *slot = Some(first);
                    }
                }
            }
        } else {
            let mut seen = std::collections::HashMap::with_capacity(entries.len());
            for (at, entry) in entries.iter().enumerate() {
                let first = *seen.entry(&*entry.key).or_insert(at);
                if first != at {
                    twin.resize(entries.len(), None);
                    if let Some(slot) = twin.get_mut(at) {
                        *slot = Some(first);
                    }
                }
            }
        }
        let mut again = Vec::new();
        if !twin.is_empty() {
            let mut kept = Vec::with_capacity(entries.len());
            // Where each kept entry went, since those that are dropped move the rest forward.
            let mut moved = Vec::with_capacity(entries.len());
            for (at, entry) in entries.drain(..).enumerate() {
                moved.push(kept.len());
                match twin.get(at).copied().flatten() {
                    Some(first) => again.push((moved.get(first).copied().unwrap_or(0), entry)),
                    None => kept.push(entry),
                }
            }
            entries = kept;
        }
        let mut by_key = Vec::new();
        if entries.len() > SMALL {
            let key = |at: &u32| entries.get(*at as usize).map(|entry| &*entry.key);
            by_key = (0..entries.len() as u32).collect();
            by_key.sort_unstable_by(|a, b| key(a).cmp(&key(b)));
        }
        (Self { entries, by_key }, again)
    }

    /// The entries, in order.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The entry of a key.
    pub fn get(&self, key: &str) -> Option<&Entry> {
        if self.by_key.is_empty() {
            return self.entries.iter().find(|entry| &*entry.key == key);
        }
        let key_at = |at: &u32| self.entries.get(*at as usize).map_or("", |entry| &*entry.key);
        let found = self.by_key.binary_search_by(|at| key_at(at).cmp(key)).ok()?;
        self.entries.get(*self.by_key.get(found)? as usize)
    }

    /// The keys, in order.
    pub fn keys(&self) -> impl Iterator<Item = &str> + Clone {
        self.entries.iter().map(|entry| &*entry.key)
    }
}

impl Deref for Map {
    type Target = [Entry];

    fn deref(&self) -> &[Entry] {
        &self.entries
    }
}

impl<'a> IntoIterator for &'a Map {
    type Item = &'a Entry;
    type IntoIter = std::slice::Iter<'a, Entry>;

    fn into_iter(self) -> Self::IntoIter {
        self.entries.iter()
    }
}

impl Node {
    /// A value that is not there.
    pub(super) fn nothing(span: Span) -> Self {
        let scalar = Scalar { text: Box::default(), plain: true, value: Value::Null };
        Self { span, kind: Kind::Scalar(scalar), expanded: 1, height: 0 }
    }

    /// The entries, if this is a mapping.
    pub fn map(&self) -> Option<&Map> {
        match &self.kind {
            Kind::Map(map) => Some(map),
            _ => None,
        }
    }

    /// The entries, if this is a list.
    pub fn list(&self) -> Option<&[Ref]> {
        match &self.kind {
            Kind::List(list) => Some(list),
            _ => None,
        }
    }

    /// The value, if this is a single one.
    pub fn scalar(&self) -> Option<&Scalar> {
        match &self.kind {
            Kind::Scalar(scalar) => Some(scalar),
            _ => None,
        }
    }

    /// The value is left out, `~` or `null`.
    pub fn is_null(&self) -> bool {
        matches!(&self.kind, Kind::Scalar(Scalar { value: Value::Null, .. }))
    }
}

/// A spec, or a parts book, as a tree.
///
/// No value holds itself, and no value is deeper than [`super::limits::DEPTH`]: walking the tree by recursion is safe.
#[derive(Debug, Clone, PartialEq)]
pub struct Tree {
    pub(super) nodes: Vec<Node>,
    pub(super) root: NodeId,
    /// Stands in for a value that is not in this tree.
    nothing: Node,
}

impl Tree {
    pub(super) fn new(nodes: Vec<Node>, root: NodeId) -> Self {
        Self { nodes, root, nothing: Node::nothing(Span::default()) }
    }

    /// The outermost value.
    pub fn root(&self) -> NodeId {
        self.root
    }

    /// The file that the spec itself, as opposed to its parts books, is written in.
    pub fn file(&self) -> u16 {
        self.node(self.root).span.file
    }

    /// A value. An id of another tree gives a wrong value or null, never a panic.
    pub fn node(&self, id: NodeId) -> &Node {
        self.nodes.get(id.0 as usize).unwrap_or(&self.nothing)
    }

    /// How many values are held.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Holds no value at all.
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// The entry of a key in a mapping; `None` when there is none, or the value is no mapping.
    pub fn get(&self, node: NodeId, key: &str) -> Option<&Entry> {
        self.node(node).map()?.get(key)
    }

    /// The entries of a mapping, in order; none when the value is no mapping.
    pub fn entries(&self, node: NodeId) -> &[Entry] {
        self.node(node).map().map_or(&[], |map| map)
    }

    /// The entries of a list, in order; none when the value is no list.
    pub fn items(&self, node: NodeId) -> &[Ref] {
        self.node(node).list().unwrap_or(&[])
    }

    /// The text of a single value, as written after quotes and escapes.
    pub fn text(&self, node: NodeId) -> Option<&str> {
        self.node(node).scalar().map(|scalar| &*scalar.text)
    }

    /// What stands at a place, if it is written.
    pub fn find(&self, place: &Place) -> Option<Found> {
        let mut found = self.top();
        for step in place.steps() {
            found = self.step(&found, step)?;
        }
        Some(found)
    }

    /// The place itself, or else the innermost place around it that is written.
    pub fn nearest(&self, place: &Place) -> (Place, Found) {
        let mut found = self.top();
        let mut reached = Place::root();
        for step in place.steps() {
            match self.step(&found, step) {
                Some(next) => found = next,
                None => break,
            }
            reached = match step {
                Step::Key(key) => reached.key(key),
                Step::Entry(index) => reached.entry(index),
            };
        }
        (reached, found)
    }

    fn top(&self) -> Found {
        let span = self.node(self.root).span;
        Found { key_span: None, value_span: span, node: self.root, via: Via::Own, at: span }
    }

    fn step(&self, from: &Found, step: Step<'_>) -> Option<Found> {
        let (key_span, value) = match step {
            Step::Key(key) => {
                let entry = self.get(from.node, key)?;
                (Some(entry.key_span), entry.value)
            }
            Step::Entry(index) => (None, *self.node(from.node).list()?.get(index)?),
        };
        // The outermost use is the one the reader of the spec can see and change.
        let (via, at) = if from.via == Via::Own { (value.via, value.at) } else { (from.via, from.at) };
        Some(Found { key_span, value_span: self.node(value.node).span, node: value.node, via, at })
    }

    /// A value as JSON, merges and parts books applied. Quoted values stay strings, and so do `.inf` and `.nan`, which
    /// JSON cannot hold.
    pub fn to_json(&self, node: NodeId) -> serde_json::Value {
        use serde_json::Value as Json;
        match &self.node(node).kind {
            Kind::Map(map) => {
                Json::Object(map.iter().map(|e| (e.key.to_string(), self.to_json(e.value.node))).collect())
            }
            Kind::List(list) => Json::Array(list.iter().map(|item| self.to_json(item.node)).collect()),
            Kind::Scalar(scalar) => match scalar.value {
                Value::Null => Json::Null,
                Value::Bool(flag) => Json::Bool(flag),
                Value::Int(whole) => Json::from(whole),
                Value::Float(number) => {
                    serde_json::Number::from_f64(number).map_or_else(|| Json::from(&*scalar.text), Json::Number)
                }
                Value::Text => Json::from(&*scalar.text),
            },
        }
    }

    /// Adds a value and gives its id.
    pub(super) fn push(&mut self, node: Node) -> NodeId {
        let id = NodeId(self.nodes.len() as u32);
        self.nodes.push(node);
        id
    }

    /// How many values a mapping of these entries stands for.
    pub(super) fn expanded_of(&self, entries: &[Entry]) -> u64 {
        entries.iter().fold(1, |sum, entry| sum.saturating_add(self.node(entry.value.node).expanded))
    }

    /// Takes in all values of another tree and gives the id its root has here.
    pub(super) fn absorb(&mut self, other: Tree) -> NodeId {
        let offset = self.nodes.len() as u32;
        let shift = |value: &mut Ref| value.node.0 += offset;
        self.nodes.extend(other.nodes.into_iter().map(|mut node| {
            match &mut node.kind {
                Kind::Map(map) => map.entries.iter_mut().for_each(|entry| shift(&mut entry.value)),
                Kind::List(list) => list.iter_mut().for_each(shift),
                Kind::Scalar(_) => {}
            }
            node
        }));
        NodeId(other.root.0 + offset)
    }
}
