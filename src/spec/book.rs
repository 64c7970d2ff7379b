//! Parts books: a shop's usual parts in a file of their own, taken into a spec by `from: <book>/<part>`.
//!
//! ```yaml
//! # the spec                        # parts-book.yaml
//! books: { shop: parts-book.yaml }  rigproof-book: 1
//! parts:                            name: What this shop builds with
//!   washer:                         parts:
//!     from: shop/washer-4gpm          washer-4gpm: { kind: washer, flow: 4 gpm }
//!     at: { nose: 112 in }
//! ```

use super::limits;
use super::nearest::did_you_mean;
use super::read::read_as;
use super::source::Sources;
use super::tree::{Entry, Kind, Map, Node, NodeId, Ref, Tree, Via};
use crate::place::Place;
use crate::problem::{Problem, Span};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// The bytes of books that were read already, by path; or why one could not be read. Owned by the caller, so that specs
/// inspected together read each book once; an editor takes out what has changed.
pub type Shelf = HashMap<String, Result<Arc<[u8]>, String>>;

/// The key that takes a part from a book.
const FROM: &str = "from";
/// The key that names the books of a spec, or of a book.
const BOOKS: &str = "books";
/// The first key of every book, with its edition.
const EDITION: &str = "rigproof-book";

/// Takes the parts that `from: <book>/<part>` names into the spec.
///
/// The spec's own entries win: mappings on both sides are laid over each other entry by entry, anything else is taken
/// whole. Entries of the book keep the bytes they have in the book, and are [`Via::Book`] with `at` the text after
/// `from:`. The `from` entry itself stays.
///
/// `open` reads a file; its path is that of the spec's folder with the book's path, so relative if the spec's name is.
/// It is called at most once a path for as long as the shelf is kept. What is wrong is given back; the rest of the spec
/// stays usable.
pub fn overlay(
    tree: &mut Tree,
    sources: &mut Sources,
    shelf: &mut Shelf,
    open: &dyn Fn(&str) -> Result<Vec<u8>, String>,
) -> Vec<Problem> {
    let root = tree.root();
    let uses_books = tree.get(root, BOOKS).is_some();
    let Some(parts) = tree.get(root, "parts").cloned() else {
        if !uses_books {
            return Vec::new();
        }
        // The books are still read, to say what is wrong with their paths.
        let mut library = Library::new(tree, sources, shelf, open);
        library.shelve_spec();
        return library.problems;
    };
    let takes: Vec<Entry> = tree
        .entries(parts.value.node)
        .iter()
        .filter(|part| tree.get(part.value.node, FROM).is_some())
        .cloned()
        .collect();
    if takes.is_empty() && !uses_books {
        return Vec::new();
    }
    let mut library = Library::new(tree, sources, shelf, open);
    library.shelve_spec();
    let mut laid: HashMap<NodeId, NodeId> = HashMap::new();
    for part in &takes {
        let own = part.value.node;
        // A part repeated by an alias is laid once.
        if laid.contains_key(&own) {
            continue;
        }
        if let Some(node) = library.take_into_spec(own, &Place::root().key("parts").key(&part.key)) {
            laid.insert(own, node);
        }
    }
    let problems = library.problems;
    if !laid.is_empty() {
        let parts_node = with_values(tree, parts.value.node, |_, node| laid.get(&node).copied());
        tree.root = with_values(tree, root, |key, _| (key == "parts").then_some(parts_node));
    }
    problems
}

/// A copy of a mapping with some of its values replaced.
fn with_values(tree: &mut Tree, map: NodeId, replace: impl Fn(&str, NodeId) -> Option<NodeId>) -> NodeId {
    let node = tree.node(map).clone();
    let Kind::Map(old) = &node.kind else { return map };
    let mut entries: Vec<Entry> = old.iter().cloned().collect();
    for entry in &mut entries {
        if let Some(new) = replace(&entry.key, entry.value.node) {
            entry.value.node = new;
        }
    }
    let expanded = tree.expanded_of(&entries);
    tree.push(Node { kind: Kind::Map(Map::new(entries).0), expanded, ..node })
}

/// A book that was read.
struct Book {
    /// Its path, as `open` was given it.
    path: String,
    /// `None` when the file is no book; that was reported.
    root: Option<NodeId>,
    /// Its own books, by name; filled when first needed.
    books: Option<HashMap<Box<str>, Option<usize>>>,
}

/// A part of a book.
type Title = (usize, Box<str>);

/// Reads books and takes parts out of them.
struct Library<'a> {
    tree: &'a mut Tree,
    sources: &'a mut Sources,
    shelf: &'a mut Shelf,
    open: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
    /// Book 0 is the spec, which is a book only in having books.
    books: Vec<Book>,
    /// Parts whose own `from` is followed already; `None` for those that could not be.
    done: HashMap<Title, Option<NodeId>>,
    /// Values the parts taken so far stand for.
    taken: u64,
    problems: Vec<Problem>,
}

/// The part a `from` names.
struct Wanted {
    title: Title,
    /// As messages show it.
    shown: String,
    /// The text after `from:`.
    at: Span,
}

impl<'a> Library<'a> {
    fn new(
        tree: &'a mut Tree,
        sources: &'a mut Sources,
        shelf: &'a mut Shelf,
        open: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
    ) -> Self {
        let path = sources.get(tree.file()).map(|source| source.name.clone()).unwrap_or_default();
        let spec = Book { path, root: Some(tree.root()), books: None };
        let taken = tree.node(tree.root()).expanded;
        Self { tree, sources, shelf, open, books: vec![spec], done: HashMap::new(), taken, problems: Vec::new() }
    }

    fn shelve_spec(&mut self) {
        self.shelve(0);
    }

    /// Reads the books that a book, or the spec, names.
    fn shelve(&mut self, holder: usize) {
        let Some(book) = self.books.get_mut(holder) else { return };
        if book.books.is_some() {
            return;
        }
        book.books = Some(HashMap::new());
        let (Some(root), path) = (book.root, book.path.clone()) else { return };
        let Some(named) = self.tree.get(root, BOOKS).cloned() else { return };
        let place = Place::root().key(BOOKS);
        if self.tree.node(named.value.node).map().is_none() {
            let span = self.value_or_key(&named);
            let problem = Problem::new("`books` names each book and its file", span, "no names here")
                .fix("write `books: { shop: parts-book.yaml }`")
                .at(place);
            self.problems.push(problem);
            return;
        }
        let entries = self.tree.entries(named.value.node).to_vec();
        for entry in entries {
            let read = self.find_book(&path, &entry, &place.key(&entry.key));
            if let Some(books) = self.books.get_mut(holder).and_then(|book| book.books.as_mut()) {
                books.insert(entry.key, read);
            }
        }
    }

    /// The book an entry of `books:` names; `None` when it can't be read, which is reported here.
    fn find_book(&mut self, holder: &str, entry: &Entry, place: &Place) -> Option<usize> {
        let span = self.value_or_key(entry);
        let refuse = |says: String, label: &str, fix: &str| Problem::new(says, span, label).fix(fix).at(place.clone());
        let Some(written) = self.tree.text(entry.value.node).filter(|text| !text.is_empty()) else {
            let problem = refuse(
                format!("the book `{}` has no file", entry.key),
                "a file name is expected",
                "write the path of the book, relative to this file",
            );
            self.problems.push(problem);
            return None;
        };
        let path = match join(holder, written) {
            Ok(path) => path,
            Err(why) => {
                let problem = refuse(
                    format!("the book `{}` can't be read from `{written}`: {why}", entry.key),
                    "not a path relative to this file",
                    "write the path of the book, relative to this file: `../books/shop.yaml`",
                );
                self.problems.push(problem);
                return None;
            }
        };
        if let Some(known) = self.books.iter().skip(1).position(|book| book.path == path) {
            return Some(known + 1);
        }
        if self.books.len() > limits::BOOKS {
            let says = format!("one spec can draw on {} books at most", limits::BOOKS);
            self.problems.push(refuse(says, "one book too many", "join some of the books into one file"));
            return None;
        }
        let open = self.open;
        let bytes = self.shelf.entry(path.clone()).or_insert_with(|| open(&path).map(Arc::from)).clone();
        let bytes = match bytes {
            Ok(bytes) => bytes,
            Err(why) => {
                let says = format!("the book `{}` can't be read: {path}: {why}", entry.key);
                let fix = "check the path; it is relative to the file it is written in";
                self.problems.push(refuse(says, "no such book", fix));
                return None;
            }
        };
        let root = self.read_book(&path, &bytes, span);
        self.books.push(Book { path, root, books: None });
        Some(self.books.len() - 1)
    }

    /// Reads the text of a book into the tree and gives its root; `None` when it is no book.
    fn read_book(&mut self, path: &str, bytes: &[u8], named_at: Span) -> Option<NodeId> {
        let mut outcome = read_as("parts book", path, bytes, self.sources);
        let named = |problem: Problem| problem.also(named_at, "the book is named here");
        self.problems.extend(outcome.problems.into_iter().map(named));
        if let Some(second) = outcome.documents.get(1) {
            let span = Span { end: second.span.start, ..second.span };
            let problem = Problem::new("a parts book is one document", span, "a second one begins here");
            self.problems.push(named(problem.fix("join them, or put the second one into a file of its own")));
        }
        if outcome.documents.is_empty() {
            return None;
        }
        let document = outcome.documents.swap_remove(0);
        self.problems.extend(document.problems.into_iter().map(named));
        let root = self.tree.absorb(document.tree?);
        let span = self.tree.node(root).span;
        if self.tree.node(root).map().is_none() {
            let problem = Problem::new("a parts book is a mapping", span, "no keys here");
            self.problems.push(named(problem.fix(format!("begin it with `{EDITION}: 1`"))));
            return None;
        }
        match self.tree.get(root, EDITION).cloned() {
            None => {
                let first = self.tree.entries(root).first().map_or(span, |entry| entry.key_span);
                let says = format!("this file does not say that it is a parts book: `{EDITION}` is missing");
                let problem = Problem::new(says, first, "the first key of a book is its edition");
                self.problems.push(named(problem.fix(format!("begin it with `{EDITION}: 1`"))));
            }
            Some(edition) => {
                if self.tree.text(edition.value.node) != Some("1") {
                    let shown = self.tree.text(edition.value.node).unwrap_or_default();
                    let says = format!("edition `{shown}` of parts books is not known");
                    let problem = Problem::new(says, self.value_or_key(&edition), "only edition 1 is known");
                    self.problems.push(named(problem.fix(format!("write `{EDITION}: 1`"))));
                    return None;
                }
            }
        }
        for entry in self.tree.entries(root).to_vec() {
            let keys = [EDITION, "name", "parts", BOOKS];
            if !keys.contains(&&*entry.key) {
                let says = format!("a parts book has no `{}`", entry.key);
                let mut problem = named(Problem::new(says, entry.key_span, "unknown key"));
                problem.fix = did_you_mean(&entry.key, keys);
                self.problems.push(problem.at(Place::root().key(&entry.key)));
            }
        }
        Some(root)
    }

    /// The node of a spec's part with the book's part laid under it.
    fn take_into_spec(&mut self, own: NodeId, place: &Place) -> Option<NodeId> {
        let wanted = self.wanted(0, own, place)?;
        let base = self.part(&wanted, place)?;
        self.lay(own, base, wanted.at, place)
    }

    /// Reads the `from` of a part of a book, or of the spec.
    fn wanted(&mut self, holder: usize, part: NodeId, place: &Place) -> Option<Wanted> {
        let from = self.tree.get(part, FROM)?.clone();
        let at = self.value_or_key(&from);
        let place = place.key(FROM);
        let text = match self.tree.text(from.value.node) {
            Some(text) if !text.is_empty() => text.to_owned(),
            _ => {
                let problem = Problem::new("`from` names a part of a parts book", at, "no name here");
                self.problems.push(problem.fix("write `from: book/part`").at(place));
                return None;
            }
        };
        let (book, part) = match text.split_once('/') {
            Some((book, part)) => (book.trim(), part.trim()),
            None if holder != 0 => {
                let shown = format!("{}#{text}", self.path(holder));
                return Some(Wanted { title: (holder, text.as_str().into()), shown, at });
            }
            None => {
                let names = self.book_names(0);
                let mut problem =
                    Problem::new(format!("`{text}` does not say which book it is in"), at, "no book named");
                problem = problem.fix(match names.first() {
                    Some(name) => format!("write `{FROM}: {name}/{text}`"),
                    None => {
                        format!("name a book first, `books: {{ shop: parts-book.yaml }}`, then `{FROM}: shop/{text}`")
                    }
                });
                self.problems.push(problem.at(place));
                return None;
            }
        };
        self.shelve(holder);
        let known = self.books.get(holder).and_then(|holder| holder.books.as_ref()).and_then(|books| books.get(book));
        match known.copied() {
            // Not readable, which was reported where the book is named.
            Some(None) => None,
            Some(Some(index)) => {
                let shown = format!("{}#{part}", self.path(index));
                Some(Wanted { title: (index, part.into()), shown, at })
            }
            None => {
                let names = self.book_names(holder);
                let mut problem = Problem::new(format!("there is no book `{book}`"), at, "not named under `books`");
                problem.fix = did_you_mean(book, names.iter().map(|name| &**name));
                if problem.fix.is_none() {
                    problem = problem.fix(format!("name it at the top: `books: {{ {book}: parts-book.yaml }}`"));
                }
                self.problems.push(problem.at(place));
                None
            }
        }
    }

    fn path(&self, book: usize) -> &str {
        self.books.get(book).map_or("", |book| &book.path)
    }

    fn book_names(&self, holder: usize) -> Vec<Box<str>> {
        let root = self.books.get(holder).and_then(|book| book.root);
        let named = root.and_then(|root| self.tree.get(root, BOOKS));
        named.map_or_else(Vec::new, |named| self.tree.entries(named.value.node).iter().map(|e| e.key.clone()).collect())
    }

    /// A part of a book with its own `from` followed. The chain is walked, not recursed into, so that a long one does
    /// no harm.
    fn part(&mut self, wanted: &Wanted, place: &Place) -> Option<NodeId> {
        let mut chain: Vec<(Title, NodeId, Span)> = Vec::new();
        let mut on_chain: HashSet<Title> = HashSet::new();
        let mut shown = vec![wanted.shown.clone()];
        let mut next = Wanted { title: wanted.title.clone(), shown: wanted.shown.clone(), at: wanted.at };
        let mut base = loop {
            if let Some(done) = self.done.get(&next.title) {
                break *done;
            }
            if on_chain.contains(&next.title) {
                let cycle = shown.iter().position(|name| *name == next.shown).unwrap_or(0);
                let circle = shown.get(cycle..).unwrap_or_default();
                let mut text = circle.iter().take(8).cloned().collect::<Vec<_>>().join(" -> ");
                if circle.len() > 9 {
                    text.push_str(" -> ...");
                }
                let mut problem =
                    Problem::new(format!("this part is taken from itself: {text}"), next.at, "closes the circle")
                        .fix("give one of these parts its own entries instead of `from`");
                for (_, _, at) in chain.iter().skip(cycle).take(8).filter(|(_, _, at)| *at != next.at) {
                    problem = problem.also(*at, "part of the circle");
                }
                if next.at != wanted.at {
                    problem = problem.also(wanted.at, "wanted here");
                }
                self.problems.push(problem.at(place.key(FROM)));
                break None;
            }
            let Some(node) = self.written_part(&next, place) else { break None };
            on_chain.insert(next.title.clone());
            if self.tree.get(node, FROM).is_none() {
                chain.push((next.title, node, next.at));
                break Some(node);
            }
            let (book, name) = (next.title.0, next.title.1.clone());
            match self.wanted(book, node, &Place::root().key("parts").key(&name)) {
                Some(further) => {
                    chain.push((next.title, node, further.at));
                    shown.push(further.shown.clone());
                    next = further;
                }
                None => {
                    // What the part says itself is still worth having; the broken `from` was reported.
                    chain.push((next.title, node, next.at));
                    break Some(node);
                }
            }
        };
        // From the far end of the chain back to the part that was asked for.
        for (title, node, at) in chain.into_iter().rev() {
            base = match base {
                Some(base) if base != node => self.lay(node, base, at, place),
                other => other,
            };
            self.done.insert(title, base);
        }
        base
    }

    /// A part as it is written in its book.
    fn written_part(&mut self, wanted: &Wanted, place: &Place) -> Option<NodeId> {
        let (book, name) = (wanted.title.0, &*wanted.title.1);
        let root = self.books.get(book)?.root?;
        let path = self.path(book).to_owned();
        let parts = self.tree.get(root, "parts").map(|entry| entry.value.node);
        let Some(part) = parts.and_then(|parts| self.tree.get(parts, name)) else {
            let keys = parts.map(|parts| self.tree.entries(parts)).unwrap_or_default();
            let mut problem = Problem::new(format!("there is no part `{name}` in {path}"), wanted.at, "no such part");
            problem.fix = did_you_mean(name, keys.iter().map(|entry| &*entry.key));
            self.problems.push(problem.at(place.key(FROM)));
            return None;
        };
        let (node, key) = (part.value.node, part.key_span);
        if self.tree.node(node).map().is_none() {
            let problem = Problem::new(format!("the part `{name}` in {path} is not a mapping"), key, "no entries here")
                .also(wanted.at, "wanted here")
                .fix("write the part's entries below its name");
            self.problems.push(problem.at(place.key(FROM)));
            return None;
        }
        Some(node)
    }

    /// A new mapping: `own` with what only `base` has added. `None` when that would grow past the limit.
    fn lay(&mut self, own: NodeId, base: NodeId, at: Span, place: &Place) -> Option<NodeId> {
        let room = limits::EXPANDED.saturating_sub(self.taken);
        let cost = self.tree.node(base).expanded + self.tree.node(own).expanded;
        if cost > room {
            let says = "with its parts books this spec holds more than 1 000 000 values; that is the limit";
            let problem = Problem::new(says, at, "grows past the limit here").fix("take smaller parts, or fewer");
            // Said once: what follows would only repeat it.
            if room > 0 {
                self.problems.push(problem.at(place.key(FROM)));
            }
            self.taken = limits::EXPANDED;
            return None;
        }
        self.taken += cost;
        Some(lay_maps(self.tree, own, base, at, true))
    }

    fn value_or_key(&self, entry: &Entry) -> Span {
        // Where the use is written: that is in the file the reader is looking at.
        let span = entry.value.at;
        if span.start == span.end { entry.key_span } else { span }
    }
}

/// Lays one mapping over another. No deeper than the shallower of the two, so the recursion is bounded by
/// [`limits::DEPTH`].
fn lay_maps(tree: &mut Tree, own: NodeId, base: NodeId, at: Span, part: bool) -> NodeId {
    let over = tree.node(own).clone();
    let (Kind::Map(mine), Kind::Map(theirs)) = (&over.kind, tree.node(base).kind.clone()) else { return own };
    let mut entries: Vec<Entry> = Vec::with_capacity(mine.len() + theirs.len());
    for entry in mine {
        let mut entry = entry.clone();
        if let Some(below) = theirs.get(&entry.key)
            && tree.node(entry.value.node).map().is_some()
            && tree.node(below.value.node).map().is_some()
        {
            entry.value.node = lay_maps(tree, entry.value.node, below.value.node, at, false);
        }
        entries.push(entry);
    }
    for entry in &theirs {
        if mine.get(&entry.key).is_none() && !(part && &*entry.key == FROM) {
            entries.push(Entry { value: Ref { node: entry.value.node, at, via: Via::Book }, ..entry.clone() });
        }
    }
    let expanded = tree.expanded_of(&entries);
    let height = over.height.max(tree.node(base).height);
    tree.push(Node { span: over.span, kind: Kind::Map(Map::new(entries).0), expanded, height })
}

/// The path of a book named in the file `holder`; an error says why it is refused.
fn join(holder: &str, book: &str) -> Result<String, &'static str> {
    if book.contains("://") {
        return Err("that is an address on a network, and only files are read");
    }
    if book.contains('\\') {
        return Err("folders are separated by `/`");
    }
    let drive = book.as_bytes().get(1) == Some(&b':') && book.starts_with(|c: char| c.is_ascii_alphabetic());
    if book.starts_with('/') || drive {
        return Err("that is an absolute path, which only works on one machine");
    }
    if book.chars().any(char::is_control) {
        return Err("there is a control character in it");
    }
    let folder = holder.rfind(['/', '\\']).and_then(|slash| holder.get(..=slash)).unwrap_or_default();
    let rooted = folder.starts_with('/');
    // `..` is taken back here, so that two ways of writing one path are one book.
    let mut steps: Vec<&str> = Vec::new();
    for step in folder.split(['/', '\\']).chain(book.split('/')) {
        match step {
            "" | "." => {}
            ".." if steps.last().is_some_and(|last| *last != "..") => {
                steps.pop();
            }
            ".." if rooted => {}
            step => steps.push(step),
        }
    }
    if steps.last().is_none_or(|last| *last == "..") || book.ends_with('/') {
        return Err("that is a folder");
    }
    Ok(format!("{}{}", if rooted { "/" } else { "" }, steps.join("/")))
}
