//! Parts books.

use super::*;
use serde_json::json;
use std::cell::RefCell;
use std::collections::HashMap;

/// A spec with its books laid in.
struct Built {
    tree: Tree,
    sources: Sources,
    problems: Vec<Problem>,
    opened: Vec<String>,
}

fn build(name: &str, spec: &str, books: &[(&str, &str)]) -> Built {
    let mut sources = Sources::new();
    let mut outcome = read(name, spec.as_bytes(), &mut sources);
    let mut tree = outcome.documents.remove(0).tree.unwrap();
    let shelf: HashMap<_, _> = books.iter().copied().collect();
    let opened = RefCell::new(Vec::new());
    let open = |path: &str| {
        opened.borrow_mut().push(path.to_owned());
        shelf.get(path).map(|text| text.as_bytes().to_vec()).ok_or_else(|| "no such file".to_owned())
    };
    let problems = overlay(&mut tree, &mut sources, &mut Shelf::new(), &open);
    let opened = opened.take();
    Built { tree, sources, problems, opened }
}

impl Built {
    fn json(&self, place: &str) -> serde_json::Value {
        self.tree.to_json(self.found(place).node)
    }

    fn found(&self, place: &str) -> Found {
        self.tree.find(&Place::from(place)).unwrap_or_else(|| panic!("nothing at {place}; {:?}", self.problems))
    }

    fn text(&self, span: Span) -> &str {
        self.sources.slice(span).unwrap()
    }

    fn file(&self, span: Span) -> &str {
        &self.sources.get(span.file).unwrap().name
    }

    fn problem(&self) -> &Problem {
        assert_eq!(self.problems.len(), 1, "{:?}", self.problems);
        &self.problems[0]
    }
}

const BOOK: &str = "rigproof-book: 1\nname: Shop\nparts:\n  washer:\n    kind: washer\n    flow: 4 gpm\n    ports: { inlet: 3/4 in, outlet: 3/8 in }\n    tags: [a, b]\n  big:\n    from: washer\n    flow: 8 gpm\n    ports: { outlet: 1/2 in }\n";

#[test]
fn a_part_is_taken_and_the_spec_overrides_it() {
    let spec = "books: { shop: ../parts.yaml }\nparts:\n  pump: { kind: pump }\n  w:\n    from: shop/washer\n    flow: 5 gpm\n    ports: { outlet: 1/2 in, extra: 1 in }\n    tags: [c]\n";
    let built = build("rigs/one/rig.yaml", spec, &[("rigs/parts.yaml", BOOK)]);
    assert_eq!(built.problems, []);
    assert_eq!(
        built.json("parts.w"),
        json!({"from": "shop/washer", "flow": "5 gpm", "ports": {"outlet": "1/2 in", "extra": "1 in", "inlet": "3/4 in"}, "tags": ["c"], "kind": "washer"})
    );
    assert_eq!(built.json("parts.pump"), json!({"kind": "pump"}));
    let kind = built.found("parts.w.kind");
    assert_eq!(
        (kind.via, built.text(kind.value_span), built.file(kind.value_span)),
        (Via::Book, "washer", "rigs/parts.yaml")
    );
    assert_eq!((built.text(kind.at), built.file(kind.at)), ("shop/washer", "rigs/one/rig.yaml"));
    assert_eq!((built.text(kind.key_span.unwrap()), built.file(kind.key_span.unwrap())), ("kind", "rigs/parts.yaml"));
    let flow = built.found("parts.w.flow");
    assert_eq!((flow.via, built.file(flow.value_span)), (Via::Own, "rigs/one/rig.yaml"));
    let inlet = built.found("parts.w.ports.inlet");
    assert_eq!((inlet.via, built.text(inlet.value_span), built.text(inlet.at)), (Via::Book, "3/4 in", "shop/washer"));
    assert_eq!(built.found("parts.w.ports.outlet").via, Via::Own);
    assert_eq!(built.sources.position(inlet.value_span).unwrap().line, 7);
}

#[test]
fn a_part_of_a_book_may_be_taken_from_another_part_and_another_book() {
    let other = "rigproof-book: 1\nbooks: { base: ../parts.yaml }\nparts:\n  huge: { from: base/big, flow: 9 gpm }\n";
    let spec =
        "books: { lib: lib/other.yaml }\nparts:\n  w: { from: lib/huge }\n  again: { from: lib/huge, kind: x }\n";
    let built = build("rig.yaml", spec, &[("parts.yaml", BOOK), ("lib/other.yaml", other)]);
    assert_eq!(built.problems, []);
    assert_eq!(built.opened, ["lib/other.yaml", "parts.yaml"]);
    assert_eq!(
        built.json("parts.w"),
        json!({"from": "lib/huge", "flow": "9 gpm", "ports": {"outlet": "1/2 in", "inlet": "3/4 in"}, "kind": "washer", "tags": ["a", "b"]})
    );
    let inlet = built.found("parts.w.ports.inlet");
    assert_eq!(
        (built.file(inlet.value_span), built.text(inlet.at), built.file(inlet.at)),
        ("parts.yaml", "lib/huge", "rig.yaml")
    );
    assert_eq!(built.json("parts.again.kind"), json!("x"));
}

#[test]
fn parts_used_by_alias_and_merge_are_laid_too() {
    let spec =
        "books: { shop: parts.yaml }\nparts:\n  a: &a { from: shop/washer }\n  b: *a\n  c: { <<: *a, flow: 1 gpm }\n";
    let built = build("rig.yaml", spec, &[("parts.yaml", BOOK)]);
    assert_eq!(built.problems, []);
    assert_eq!(built.json("parts.b"), built.json("parts.a"));
    assert_eq!(built.json("parts.c.kind"), json!("washer"));
    assert_eq!(built.json("parts.c.flow"), json!("1 gpm"));
    // The outermost use is the one in the spec that the reader can change.
    let kind = built.found("parts.b.kind");
    assert_eq!((kind.via, built.text(kind.at)), (Via::Alias, "*a"));
}

#[test]
fn a_circle_shows_its_chain() {
    let book = "rigproof-book: 1\nparts:\n  a: { from: b, x: 1 }\n  b: { from: c }\n  c: { from: a }\n";
    let built = build("rig.yaml", "books: { s: p.yaml }\nparts:\n  w: { from: s/a, y: 2 }\n", &[("p.yaml", book)]);
    assert_eq!(built.problem().says, "this part is taken from itself: p.yaml#a -> p.yaml#b -> p.yaml#c -> p.yaml#a");
    assert_eq!((built.text(built.problem().span), built.file(built.problem().span)), ("a", "p.yaml"));
    assert_eq!(built.problem().place.as_str(), "parts.w.from");
    assert_eq!(built.json("parts.w"), json!({"from": "s/a", "y": 2}));
    // Through two books that name each other.
    let a = "rigproof-book: 1\nbooks: { b: b.yaml }\nparts: { x: { from: b/x } }\n";
    let b = "rigproof-book: 1\nbooks: { a: ./q/../a.yaml }\nparts: { x: { from: a/x } }\n";
    let built =
        build("rig.yaml", "books: { a: a.yaml }\nparts: { w: { from: a/x } }\n", &[("a.yaml", a), ("b.yaml", b)]);
    assert_eq!(built.problem().says, "this part is taken from itself: a.yaml#x -> b.yaml#x -> a.yaml#x");
    assert_eq!(built.opened, ["a.yaml", "b.yaml"]);
}

#[test]
fn unknown_books_and_parts_get_a_suggestion() {
    let spec = "books: { shop: parts.yaml }\nparts:\n  a: { from: shpo/washer }\n  b: { from: shop/wahser }\n  c: { from: washer }\n  d: { from: [x] }\n";
    let built = build("rig.yaml", spec, &[("parts.yaml", BOOK)]);
    let said: Vec<_> =
        built.problems.iter().map(|p| (p.says.as_str(), p.fix.as_deref().unwrap(), built.text(p.span))).collect();
    assert_eq!(
        said,
        [
            ("there is no book `shpo`", "did you mean `shop`?", "shpo/washer"),
            ("there is no part `wahser` in parts.yaml", "did you mean `washer`?", "shop/wahser"),
            ("`washer` does not say which book it is in", "write `from: shop/washer`", "washer"),
            ("`from` names a part of a parts book", "write `from: book/part`", "[x]"),
        ]
    );
    let built = build("rig.yaml", "parts: { a: { from: shop/washer } }\n", &[]);
    assert_eq!(built.problem().fix.as_deref(), Some("name it at the top: `books: { shop: parts-book.yaml }`"));
}

#[test]
fn a_book_that_cannot_be_read_is_reported_once_where_it_is_named() {
    let spec = "books:\n  shop: gone.yaml\nparts: { a: { from: shop/x }, b: { from: shop/y } }\n";
    let built = build("r/rig.yaml", spec, &[]);
    assert_eq!(built.problem().says, "the book `shop` can't be read: r/gone.yaml: no such file");
    assert_eq!(built.text(built.problem().span), "gone.yaml");
    assert_eq!(built.problem().place.as_str(), "books.shop");
    assert_eq!(build("rig.yaml", "books: { s: gone.yaml }\n", &[]).problems.len(), 1);
    assert_eq!(build("rig.yaml", "books: gone.yaml\n", &[]).problem().says, "`books` names each book and its file");
    assert_eq!(build("rig.yaml", "books: { s: }\n", &[]).problem().says, "the book `s` has no file");
}

#[test]
fn only_relative_paths_are_read() {
    for path in
        ["/etc/parts.yaml", "C:/parts.yaml", "https://example.invalid/p.yaml", "'a\\b.yaml'", "..", "lib/", "\"a\\0b\""]
    {
        let built = build("rig.yaml", &format!("books: {{ s: {path} }}\n"), &[]);
        assert!(built.problem().says.contains("can't be read from"), "{path}: {:?}", built.problems);
        assert!(built.opened.is_empty(), "{path}");
    }
    for (name, path, joined) in [
        ("/shop/rigs/a.yaml", "../b.yaml", "/shop/b.yaml"),
        ("../a.yaml", "../b.yaml", "../../b.yaml"),
        ("./x/a.yaml", "./y/b.yaml", "x/y/b.yaml"),
        ("a.yaml", "../../b.yaml", "../../b.yaml"),
    ] {
        assert_eq!(build(name, &format!("books: {{ s: {path} }}\n"), &[]).opened, [joined]);
    }
}

#[test]
fn a_file_that_is_no_book_says_why() {
    let said = |book: &str| {
        let built = build("rig.yaml", "books: { s: p.yaml }\n", &[("p.yaml", book)]);
        let problem = built.problem().clone();
        assert_eq!(built.file(problem.span), "p.yaml");
        assert_eq!(problem.also.last().map(|(span, _)| built.text(*span)), Some("p.yaml"));
        problem.says
    };
    assert!(said("parts: {}\n").contains("`rigproof-book` is missing"));
    assert_eq!(said("rigproof-book: 2\n"), "edition `2` of parts books is not known");
    assert_eq!(said("- 1\n"), "a parts book is a mapping");
    assert!(said("").starts_with("no parts book in this file"));
    assert_eq!(said("rigproof-book: 1\npart: {}\n"), "a parts book has no `part`");
    assert_eq!(said("rigproof-book: 1\n---\nb: 1\n"), "a parts book is one document");
    assert_eq!(said("rigproof-book: 1\na: b: c\n"), "there is a second `: ` in one value");
}

#[test]
fn a_shelf_is_read_once_for_many_specs() {
    let mut shelf = Shelf::new();
    let opened = RefCell::new(0);
    let open = |_: &str| {
        *opened.borrow_mut() += 1;
        Ok(BOOK.as_bytes().to_vec())
    };
    for name in ["a.yaml", "b.yaml"] {
        let mut sources = Sources::new();
        let spec = "books: { s: p.yaml, t: ./p.yaml }\nparts: { a: { from: s/washer }, b: { from: t/big } }\n";
        let mut tree = read(name, spec.as_bytes(), &mut sources).documents.remove(0).tree.unwrap();
        assert_eq!(overlay(&mut tree, &mut sources, &mut shelf, &open), []);
        assert_eq!(sources.files.len(), 2);
    }
    assert_eq!(opened.take(), 1);
}

#[test]
fn a_long_chain_and_a_growing_one_do_no_harm() {
    // 20 000 parts each taken from the next: followed without recursion.
    let mut book = "rigproof-book: 1\nparts:\n".to_owned();
    for n in 0..20_000 {
        book.push_str(&format!("  p{n}: {{ from: p{} }}\n", n + 1));
    }
    book.push_str("  p20000: { kind: tank }\n");
    let built = build("rig.yaml", "books: { s: b.yaml }\nparts: { a: { from: s/p0 } }\n", &[("b.yaml", &book)]);
    assert_eq!(built.problems, []);
    assert_eq!(built.json("parts.a.kind"), json!("tank"));
    // A large part taken many times, each time a value of its own: counted, refused, said once.
    let mut book = "rigproof-book: 1\nparts:\n  big:\n".to_owned();
    book.extend((0..50_000).map(|n| format!("    k{n}: 1\n")));
    let spec: String = (0..100).map(|n| format!("  a{n}: {{ from: s/big }}\n")).collect();
    let built = build("rig.yaml", &format!("books: {{ s: b.yaml }}\nparts:\n{spec}"), &[("b.yaml", &book)]);
    assert!(built.problem().says.contains("1 000 000 values"));
    // A circle of 20 000 parts is shown, but not whole.
    let mut book = "rigproof-book: 1\nparts:\n".to_owned();
    for n in 0..20_000 {
        book.push_str(&format!("  p{n}: {{ from: p{} }}\n", (n + 1) % 20_000));
    }
    let built = build("rig.yaml", "books: { s: b.yaml }\nparts: { a: { from: s/p0 } }\n", &[("b.yaml", &book)]);
    assert!(built.problem().says.len() < 400);
}
