//! Says what is wrong with the structure of a spec in the reader's words, at the key or the value, with the nearest right word.
//!
//! Walks the blank form over the tree. The published schema is the same form, and the tests hold the two to each other.

use crate::place::Place;
use crate::problem::{MOST, Problem, Span, file_once};
use crate::rig::form::{Form, Shape};
use crate::rig::parts::{KINDS, Part};
use crate::rig::{allow, job};
use crate::spec::{Entry, Kind, NodeId, Ref, Tree, Via, nearest};

/// The edition of the spec format that is read here.
const EDITION: &str = "1";

/// What is wrong with the structure of a spec, at most [`MOST`] problems.
pub(super) fn check(tree: &Tree) -> Vec<Problem> {
    let mut check = Check { tree, problems: Vec::new(), missing: Vec::new() };
    let root = Spot { node: tree.root(), key: None, used: None, name: "the spec", step: Step::Root, up: None };
    if let Some(book) = tree.get(tree.root(), "rigproof-book") {
        let problem =
            Problem::new("this is a parts book, not a spec", book.key_span, "a spec begins with `rigproof: 1`");
        check.problems.push(problem.fix("inspect a spec that uses it; what is wrong in the book is said there"));
    } else if tree.node(tree.root()).map().is_some() {
        check.edition();
        check.fields(&root, job::Spec::FORM);
    } else {
        let problem =
            Problem::new("a spec is a list of keys and values", tree.node(tree.root()).span, "this is something else");
        check.problems.push(problem.fix("begin with `rigproof: 1` and `name: ...`"));
    }
    check.problems
}

/// The check in progress.
struct Check<'t> {
    tree: &'t Tree,
    problems: Vec<Problem>,
    /// Which mapping was said to lack which key: one that several places use by an alias is one mistake.
    missing: Vec<(NodeId, &'static str, usize)>,
}

/// A value that is looked at, and the way to it. Lives on the stack; a place is put together only to report something.
#[derive(Clone, Copy)]
struct Spot<'s> {
    node: NodeId,
    key: Option<Span>,
    /// Where the value, or what holds it, is used when it is written elsewhere.
    used: Option<Span>,
    /// The key that it, or the list it is in, stands under.
    name: &'s str,
    step: Step<'s>,
    up: Option<&'s Spot<'s>>,
}

#[derive(Clone, Copy)]
enum Step<'s> {
    Root,
    Key(&'s str),
    Entry(usize),
}

impl<'s> Spot<'s> {
    fn under(&'s self, entry: &'s Entry) -> Spot<'s> {
        let used = self.used.or_else(|| use_of(entry.value));
        Spot {
            node: entry.value.node,
            key: Some(entry.key_span),
            used,
            name: &entry.key,
            step: Step::Key(&entry.key),
            up: Some(self),
        }
    }

    fn item(&'s self, index: usize, item: Ref) -> Spot<'s> {
        let used = self.used.or_else(|| use_of(item));
        Spot { node: item.node, key: None, used, name: self.name, step: Step::Entry(index), up: Some(self) }
    }

    fn place(&self) -> Place {
        let up = self.up.map_or_else(Place::root, Spot::place);
        match self.step {
            Step::Root => up,
            Step::Key(key) => up.key(key),
            Step::Entry(index) => up.entry(index),
        }
    }
}

/// Where a value is used, if it is written elsewhere.
fn use_of(value: Ref) -> Option<Span> {
    (value.via != Via::Own).then_some(value.at)
}

impl<'t> Check<'t> {
    fn full(&self) -> bool {
        self.problems.len() >= MOST
    }

    fn file(&mut self, spot: &Spot<'_>, problem: Problem) {
        file_once(&mut self.problems, problem.at(spot.place()), spot.used);
    }

    /// The bytes of a value, or of its key when nothing is written.
    fn marked(&self, spot: &Spot<'_>) -> Span {
        let value = self.tree.node(spot.node).span;
        if value.start == value.end { spot.key.unwrap_or(value) } else { value }
    }

    fn edition(&mut self) {
        let Some(edition) = self.tree.get(self.tree.root(), "rigproof") else { return };
        let node = self.tree.node(edition.value.node);
        if let Some(scalar) = node.scalar()
            && !node.is_null()
            && &*scalar.text != EDITION
        {
            let problem = Problem::new(
                format!("edition `{}` of the spec format is not known here", scalar.text),
                node.span,
                "not an edition",
            );
            self.problems.push(problem.fix(format!("write `rigproof: {EDITION}`")).at(Place::root().key("rigproof")));
        }
    }

    /// Holds a mapping against a form.
    fn fields(&mut self, spot: &Spot<'_>, form: &'static Form) {
        let tree = self.tree;
        let mut strangers = Vec::new();
        for entry in tree.entries(spot.node) {
            if self.full() {
                return;
            }
            match form.all_fields().find(|field| field.key == &*entry.key) {
                Some(field) => self.value(&spot.under(entry), &field.shape),
                None => {
                    self.unknown_key(spot, entry, form);
                    strangers.push(&*entry.key);
                }
            }
        }
        for required in form.required {
            // A misspelt key is said once, where it stands.
            let misspelt = || strangers.iter().any(|key| closest(key, form) == Some(required));
            if tree.get(spot.node, required).is_none() && !misspelt() {
                self.lacks(spot, form, required);
            }
        }
    }

    fn value(&mut self, spot: &Spot<'_>, shape: &'static Shape) {
        let tree = self.tree;
        let node = tree.node(spot.node);
        match (shape, &node.kind) {
            (Shape::AnyPart, Kind::Map(_)) => self.part(spot),
            (Shape::Group(form), Kind::Map(_)) => self.fields(spot, form),
            (Shape::Named(inner), Kind::Map(_)) => {
                for entry in tree.entries(spot.node) {
                    if self.full() {
                        return;
                    }
                    self.name(spot, entry);
                    self.value(&spot.under(entry), inner);
                }
            }
            (Shape::Many(inner), Kind::List(items)) => {
                for (index, item) in items.iter().enumerate() {
                    if self.full() {
                        return;
                    }
                    self.value(&spot.item(index, *item), inner);
                }
            }
            (Shape::Group(_) | Shape::Named(_) | Shape::Many(_) | Shape::AnyPart, Kind::Scalar(scalar)) => {
                match shape {
                    Shape::Group(_) | Shape::Named(_) | Shape::Many(_) if &*scalar.text == "unknown" => {}
                    // A bare word stands for one of the fields.
                    Shape::Group(form) if form.short.is_some() && !node.is_null() => {
                        if let Some(field) = form.short.and_then(|short| form.field(short)) {
                            self.value(spot, &field.shape);
                        }
                    }
                    _ => self.other_shape(spot, shape),
                }
            }
            (_, Kind::Map(_) | Kind::List(_)) => self.other_shape(spot, shape),
            // Nothing after the colon: the reader of values says so.
            (_, Kind::Scalar(_)) if node.is_null() => {}
            (Shape::Word(words), Kind::Scalar(scalar)) if &*scalar.text != "unknown" => {
                self.word(spot, &scalar.text, words.iter().copied())
            }
            (Shape::PartKind, Kind::Scalar(scalar)) => {
                self.word(spot, &scalar.text, KINDS.iter().map(|kind| kind.word))
            }
            (Shape::Flag, Kind::Scalar(scalar)) => self.flag(spot, &scalar.text),
            (_, Kind::Scalar(_)) => {}
        }
    }

    /// A part is held against the form of its kind. While the kind is wrong, only what every part has can be judged.
    fn part(&mut self, spot: &Spot<'_>) {
        let tree = self.tree;
        let kind = tree.get(spot.node, "kind");
        let word = kind.and_then(|kind| tree.text(kind.value.node));
        if let Some(form) = KINDS.iter().find(|form| Some(form.word) == word) {
            return self.fields(spot, form);
        }
        for entry in tree.entries(spot.node) {
            if let Some(field) = Part::FORM.fields.iter().find(|field| field.key == &*entry.key) {
                self.value(&spot.under(entry), &field.shape);
            }
        }
        let misspelt = || {
            tree.entries(spot.node)
                .iter()
                .find(|entry| Part::FORM.field(&entry.key).is_none() && closest(&entry.key, Part::FORM) == Some("kind"))
        };
        if kind.is_none() && tree.get(spot.node, "from").is_none() {
            match misspelt() {
                Some(entry) => self.unknown_key(spot, entry, Part::FORM),
                None => self.lacks(spot, Part::FORM, "kind"),
            }
        }
    }

    fn name(&mut self, spot: &Spot<'_>, entry: &Entry) {
        if is_name(&entry.key) {
            return;
        }
        let problem = Problem::new(format!("`{}` can't be used as a name", entry.key), entry.key_span, "not a name");
        let better: String =
            entry.key.chars().map(|c| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' }).collect();
        let better = better.trim_matches(['-', '_']);
        let better = if is_name(better) { better } else { "roof-pump" };
        let fix = if entry.key.contains('.') {
            format!("write it without the dot, such as `{better}`: `pump.inlet` means the inlet of `pump`")
        } else {
            format!("use letters, digits, `-` and `_`, such as `{better}`")
        };
        self.file(&spot.under(entry), problem.fix(fix));
    }

    fn word(&mut self, spot: &Spot<'_>, said: &str, words: impl Iterator<Item = &'static str> + Clone) {
        if words.clone().any(|word| word == said) {
            return;
        }
        let problem =
            Problem::new(format!("`{}` is never `{said}`", spot.name), self.marked(spot), "not one of its words");
        let fix = match nearest(said, words.clone()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("write one of: {}", words.collect::<Vec<_>>().join(", ")),
        };
        self.file(spot, problem.fix(fix));
    }

    fn flag(&mut self, spot: &Spot<'_>, said: &str) {
        if matches!(said, "yes" | "no" | "true" | "false" | "unknown") {
            return;
        }
        let fix = match said.to_ascii_lowercase().as_str() {
            "yes" | "true" | "on" | "y" | "1" => "write `yes`",
            "no" | "false" | "off" | "n" | "0" => "write `no`",
            "unkown" | "?" => "write `unknown`",
            _ => "write `yes`, `no` or `unknown`",
        };
        let problem = Problem::new(
            format!("`{}` takes yes or no, not `{said}`", spot.name),
            self.marked(spot),
            "neither yes nor no",
        );
        self.file(spot, problem.fix(fix));
    }

    /// A single value where a group or a list is wanted, or the other way round.
    fn other_shape(&mut self, spot: &Spot<'_>, shape: &'static Shape) {
        let node = self.tree.node(spot.node);
        let found = match &node.kind {
            Kind::Map(_) => "a group of keys",
            Kind::List(_) => "a list",
            Kind::Scalar(_) if node.is_null() => "nothing",
            Kind::Scalar(_) => "a single value",
        };
        let wanted = match shape {
            Shape::Many(_) => "a list",
            Shape::Named(_) => "entries by name",
            Shape::Group(form) if form.short.is_some() => "a word or a group of keys",
            Shape::Group(_) | Shape::AnyPart => "a group of keys",
            Shape::Word(_) | Shape::PartKind => "one word",
            Shape::Flag => "yes or no",
            _ => "a single value",
        };
        let problem = match found {
            "nothing" => {
                Problem::new(format!("nothing is written under `{}:`", spot.name), self.marked(spot), "no value")
                    .fix("write the lines that belong to it, write `unknown`, or take the line out")
            }
            _ => Problem::new(
                format!("`{}` takes {wanted}, not {found}", spot.name),
                self.marked(spot),
                format!("{found} here"),
            ),
        };
        let problem = match (example_of(shape), found) {
            (Some(example), "a single value" | "a group of keys" | "a list") => {
                problem.fix(format!("write it like `{}: {example}`", spot.name))
            }
            _ => problem,
        };
        self.file(spot, problem);
    }

    fn lacks(&mut self, spot: &Spot<'_>, form: &'static Form, property: &'static str) {
        let tree = self.tree;
        if let Some((_, _, at)) = self.missing.iter().find(|(node, key, _)| *node == spot.node && *key == property) {
            // The same mapping, used again by an alias.
            let used = spot.used.or(spot.key);
            if let (Some(problem), Some(used)) = (self.problems.get_mut(*at), used) {
                problem.also.push((used, "also used here".to_owned()));
            }
            return;
        }
        let span = spot.key.unwrap_or_else(|| {
            tree.entries(spot.node).first().map_or(tree.node(spot.node).span, |entry| entry.key_span)
        });
        let example = form.field(property).map_or("..", |field| field.example);
        let problem = Problem::new(
            format!("{} needs `{property}`", what(form, spot.name)),
            span,
            format!("no `{property}` here"),
        );
        let at = self.problems.len();
        self.file(spot, problem.fix(format!("add `{property}: {example}`")));
        if self.problems.len() > at {
            self.missing.push((spot.node, property, at));
        }
    }

    fn unknown_key(&mut self, spot: &Spot<'_>, entry: &Entry, form: &'static Form) {
        let key = &*entry.key;
        let problem = Problem::new(format!("{} has no `{key}`", what(form, spot.name)), entry.key_span, "unknown key");
        let fix = match (closest(key, form), homes(key)) {
            (Some(near), _) => format!("did you mean `{near}`?"),
            (None, Some(homes)) => format!("`{key}` belongs to {homes}"),
            (None, None) => {
                format!("it takes: {}", form.all_fields().map(|field| field.key).collect::<Vec<_>>().join(", "))
            }
        };
        self.file(&spot.under(entry), problem.fix(fix));
    }
}

/// The key of a form that is nearest to a misspelt one.
fn closest(key: &str, form: &'static Form) -> Option<&'static str> {
    nearest(key, form.all_fields().map(|field| field.key))
}

/// Entries of which a rig has several, beside the parts.
const SEVERAL: [&str; 10] = ["part", "axle", "door", "vent", "line", "wire", "mode", "duty", "variance", "control"];

/// What an entry is called: one of several is `a washer`, a group is called by the key it stands under.
fn what(form: &'static Form, key: &str) -> String {
    let word = form.word;
    if word == "rig" {
        "the spec".to_owned()
    } else if form.shared.is_none() && !SEVERAL.contains(&word) {
        format!("`{key}`")
    } else if word.starts_with(['a', 'e', 'i', 'o', 'u']) {
        format!("an {word}")
    } else {
        format!("a {word}")
    }
}

/// Letters, digits, `-` and `_`, beginning with a letter or a digit, as the published schema has it. Places are written
/// with dots and brackets.
fn is_name(key: &str) -> bool {
    key.starts_with(|c: char| c.is_ascii_alphanumeric())
        && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
}

/// The example of the field that has this very shape.
fn example_of(shape: &'static Shape) -> Option<&'static str> {
    let fields = allow::subjects().flat_map(Form::all_fields);
    fields.filter(|field| std::ptr::eq(&field.shape, shape)).map(|field| field.example).next()
}

/// A key that exists on one, two or three other forms was probably put in the wrong place.
fn homes(key: &str) -> Option<String> {
    let homes: Vec<String> = allow::subjects()
        .filter(|form| form.fields.iter().any(|field| field.key == key))
        .map(|form| what(form, form.word))
        .collect();
    match homes.as_slice() {
        [one] => Some(one.clone()),
        [one, two] => Some(format!("{one} or {two}")),
        [one, two, three] => Some(format!("{one}, {two} or {three}")),
        _ => None,
    }
}
