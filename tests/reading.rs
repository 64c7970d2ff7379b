//! What a reader of a spec is told when the file is wrong: at which bytes, in which words, once, and all in one run.

use std::sync::LazyLock;

use rigproof::inspection::Inspector;
use rigproof::problem::{MOST, Problem};
use rigproof::rulebook::Rulebook;
use rigproof::spec::{Shelf, Sources};

/// Without rules: a file that is wrong is never judged.
static INSPECTOR: LazyLock<Inspector> =
    LazyLock::new(|| Inspector::new(Rulebook::from_files(&[]).unwrap_or_else(|faults| panic!("{faults:#?}"))));

/// What was said of a file: each problem as the marked text, its line and column, the sentence, the fix.
struct Told {
    sources: Sources,
    problems: Vec<Problem>,
}

impl Told {
    fn of_bytes(bytes: &[u8], books: &[(&str, &str)]) -> Self {
        let open = |path: &str| {
            let book = books.iter().find(|(name, _)| *name == path);
            book.map(|(_, text)| text.as_bytes().to_vec()).ok_or_else(|| "there is no such file".to_owned())
        };
        let inspected = INSPECTOR.inspect("rig.yaml", bytes, &mut Shelf::default(), &open);
        let problems = inspected.lists.iter().flat_map(|list| list.problems.clone()).collect();
        Self { sources: inspected.sources, problems }
    }

    fn of(text: &str) -> Self {
        Self::of_bytes(text.as_bytes(), &[])
    }

    /// `marked text @ line:column | sentence | fix`, a line a problem.
    fn lines(&self) -> Vec<String> {
        let line = |problem: &Problem| {
            let marked = self.sources.slice(problem.span).unwrap_or("?");
            let at = self.sources.position(problem.span).unwrap();
            let fix = problem.fix.as_deref().unwrap_or("-");
            format!("{marked} @ {}:{} | {} | {fix}", at.line, at.column, problem.says)
        };
        self.problems.iter().map(line).collect()
    }

    /// The marked texts of what explains a problem.
    fn also(&self, problem: usize) -> Vec<(&str, usize)> {
        let also = self.problems[problem].also.iter();
        also.map(|(span, _)| (self.sources.slice(*span).unwrap(), self.sources.position(*span).unwrap().line)).collect()
    }
}

/// A spec with `body` below its two required keys.
fn spec(body: &str) -> String {
    format!("rigproof: 1\nname: a rig\n{body}")
}

#[test]
fn a_spec_with_three_mistakes_is_told_exactly_three_with_their_spots_and_suggestions() {
    let told = Told::of(&spec(
        "parts:
  washer:
    kind: washer
    flow: 5.5 gpm
    presure: 3500 psi
  line:
    kind: hsoe
    bore: 1/2 in
    length: 200 ft
    rated: 4000 psi
  tank-1: &base
    kind: tank
    holds: water
    capacity: 225
    material: HDPE
  tank-2:
    <<: *base
    label: the second tank
",
    ));
    assert_eq!(
        told.lines(),
        [
            "presure @ 7:5 | a washer has no `presure` | did you mean `pressure`?",
            "hsoe @ 9:11 | `kind` is never `hsoe` | did you mean `hose`?",
            "225 @ 16:15 | 225 has no unit; write 225 gal or 225 L | write `225 gal`",
        ]
    );
    // The second use of the wrong value is listed under the one mistake.
    assert_eq!(told.also(2), [("*base", 19)]);
}

#[test]
fn a_wrong_value_behind_an_alias_is_said_once_with_each_use() {
    let told = Told::of(&spec(
        "trailer:
  doors:
    side: &door { wall: crub, width: 32 in, hieght: 72 in }
    tail: *door
    rear: *door
",
    ));
    assert_eq!(
        told.lines(),
        [
            "crub @ 5:25 | `wall` is never `crub` | did you mean `curb`?",
            "hieght @ 5:45 | a door has no `hieght` | did you mean `height`?",
        ]
    );
    assert_eq!(told.also(0), [("*door", 6), ("*door", 7)]);
    let told = Told::of(&spec(
        "plumbing:\n  - &run { from: water.outlet, hose: 1 in }\n  - *run\nparts: { water: { kind: tank } }\n",
    ));
    assert_eq!(told.lines().len(), 1, "{:?}", told.lines());
    assert!(told.lines()[0].contains("a line needs `to`"), "{:?}", told.lines());
    assert_eq!(told.also(0), [("*run", 5)]);
}

#[test]
fn what_is_wrong_in_a_parts_book_is_marked_there_with_the_use_beside_it() {
    let book =
        "rigproof-book: 1\nname: a shop\nparts:\n  tank-100:\n    kind: tank\n    capacity: 100\n    materal: HDPE\n";
    let text = spec(
        "books: { shop: shop.yaml }\nparts:\n  water: { from: shop/tank-100 }\n  rinse: { from: shop/tank-100 }\n",
    );
    let told = Told::of_bytes(text.as_bytes(), &[("shop.yaml", book)]);
    assert_eq!(
        told.lines(),
        [
            "100 @ 6:15 | 100 has no unit; write 100 gal or 100 L | write `100 gal`",
            "materal @ 7:5 | a tank has no `materal` | did you mean `material`?"
        ]
    );
    for problem in &told.problems {
        assert_eq!(told.sources.get(problem.span.file).unwrap().name, "shop.yaml");
    }
    for problem in 0..2 {
        assert_eq!(told.also(problem), [("shop/tank-100", 5), ("shop/tank-100", 6)]);
    }
}

#[test]
fn a_book_that_is_missing_is_said_once_and_does_not_accuse_the_parts() {
    let told = Told::of(&spec(
        "books: { shop: nowhere.yaml }\nparts:\n  a: { from: shop/x, capacity: 5 gal }\n  b: { from: shop/y }\n",
    ));
    assert_eq!(told.lines().len(), 1, "{:?}", told.lines());
    assert!(told.lines()[0].starts_with("nowhere.yaml @ 3:16 | "), "{:?}", told.lines());
}

#[test]
fn line_ends_and_a_byte_order_mark_do_not_move_the_spots() {
    let text = spec("trailer:\n  jack: 2000\n  # Größe 大\n  trck: 86 in\n");
    let plain = Told::of(&text);
    assert_eq!(plain.lines().len(), 2);
    for other in [
        text.replace('\n', "\r\n"),
        format!("\u{feff}{text}"),
        format!("\u{feff}{}", text.replace('\n', "\r\n")),
        text.replace('\n', "\r"),
    ] {
        assert_eq!(Told::of(&other).lines(), plain.lines(), "{other:?}");
    }
}

/// YAML 1.2.2, 10.3.2: of these only `true` and `false` (in three spellings each) are booleans of the core schema.
#[test]
fn words_that_other_readers_take_for_yes_or_no_are_named_where_yes_or_no_is_wanted() {
    for (word, fix) in [
        ("on", "write `yes`"),
        ("off", "write `no`"),
        ("Yes", "write `yes`"),
        ("NO", "write `no`"),
        ("True", "write `yes`"),
        ("FALSE", "write `no`"),
        ("y", "write `yes`"),
        ("n", "write `no`"),
        ("1", "write `yes`"),
        ("maybe", "write `yes`, `no` or `unknown`"),
    ] {
        let told = Told::of(&spec(&format!("trailer: {{ equalized: {word} }}\n")));
        assert_eq!(told.lines(), [format!("{word} @ 3:23 | `equalized` takes yes or no, not `{word}` | {fix}")]);
    }
    for word in ["yes", "no", "true", "false", "unknown", "\"yes\"", "'no'"] {
        assert!(Told::of(&spec(&format!("trailer: {{ equalized: {word} }}\n"))).problems.is_empty(), "{word}");
    }
    // Where a word or a text is wanted they are what they look like.
    assert!(Told::of("rigproof: 1\nname: no\nprepared: { shop: on, revision: 1.10 }\n").problems.is_empty());
}

#[test]
fn unknown_is_taken_for_every_field_a_group_or_a_list_included_and_is_not_the_same_as_nothing() {
    for body in [
        "parts: { w: { kind: washer, exhaust: unknown, engine: unknown, at: unknown, size: unknown, tied-with: unknown, flow: unknown } }",
        "parts: { w: { kind: tank, holds: unknown, vent: unknown, opaque: unknown, ports: unknown, controls: unknown, wetted: unknown } }",
        "trailer: { axles: unknown, doors: unknown, ratings: unknown, tires: unknown, state: unknown, inside: unknown }",
        "trailer: unknown",
        "prepared: { date: unknown }\nplumbing: unknown\nmodes: unknown\nclimate: unknown\nduties: [{ job: roof, with: unknown, strength: unknown }]",
        "wiring: [{ from: unknown, to: unknown, gauge: unknown }]",
    ] {
        let told = Told::of(&spec(body));
        assert!(told.problems.is_empty(), "{body}: {:?}", told.lines());
    }
    let told =
        Told::of(&spec("trailer:\n  jack:\n  ratings:\n  equalized: ~\nparts:\n  w: { kind: tank, holds: , vent: }\n"));
    let said: Vec<_> =
        told.lines().iter().map(|line| line.split(" | ").take(2).collect::<Vec<_>>().join(" | ")).collect();
    assert_eq!(
        said,
        [
            "jack @ 4:3 | nothing is written after `jack:`",
            "ratings @ 5:3 | nothing is written under `ratings:`",
            "equalized @ 6:3 | nothing is written after `equalized:`",
            "holds @ 8:20 | nothing is written under `holds:`",
            "vent @ 8:29 | nothing is written after `vent:`",
        ]
    );
    assert!(told.lines().iter().all(|line| line.contains("`unknown`")));
    // Alone as well as among others, each is said once.
    for body in [
        "trailer: { equalized: }",
        "trailer: { jack: ~ }",
        "prepared: { date: }",
        "parts: { w: { kind: } }",
        "books: { shop: }",
        "trailer:",
        "name:",
    ] {
        let text = if body == "name:" { "rigproof: 1\nname:\n".to_owned() } else { spec(body) };
        let told = Told::of(&text);
        assert_eq!(told.lines().len(), 1, "{body}: {:?}", told.lines());
    }
    // A part that is not known at all is no part.
    assert_eq!(Told::of(&spec("parts: { w: unknown }\n")).lines().len(), 1);
    // Nobody can leave the kind open: everything else hangs on it.
    assert_eq!(Told::of(&spec("parts: { w: { kind: unknown } }\n")).lines().len(), 1);
}

#[test]
fn every_sort_of_problem_is_told_in_one_run_and_each_once() {
    let told = Told::of(
        "rigproof: 2
nmae: a rig
books: [shop]
trailer:
  body: van
  jack: 2000 kn
  inside: 12 ft x 6 ft
  axles: { first: 3500 lb }
  tires: four
  state: [TX, OK]
parts:
  roof.pump: { kind: delivery-pump, drive: 12V }
  tank: { knid: tank }
  gun: { kind: gun, rated: -5 psi }
  rack:
plumbing:
  - { from: tnak.outlet, to: gun.inlet, gauge: 8 AWG }
wiring:
  - { from: gun.plus, to: gun.plus, gauge: 8 }
climate: { hottest: 100 F, warmest: 110 F }
duties:
  - { with: gun, strength: 120 % }
variances:
  - { rule: x, at: parts.gun, reason: y, approved: z, until: 2027-02-30 }
modes:
  wash: { levels: { tank: fifty } }
",
    );
    let lines = told.lines();
    let expected = [
        ("2 @ 1:11", "edition `2`"),
        ("nmae @ 2:1", "the spec has no `nmae`"),
        ("[shop] @ 3:8", "books"),
        ("van @ 5:9", "`body` is never `van`"),
        ("kn @ 6:14", "kn"),
        ("12 ft x 6 ft @ 7:11", ""),
        ("{ first: 3500 lb } @ 8:10", "`axles` takes a list, not a group of keys"),
        ("four @ 9:10", "`tires` takes a group of keys, not a single value"),
        ("[TX, OK] @ 10:10", "`state` takes a single value, not a list"),
        ("roof.pump @ 12:3", "`roof.pump` can't be used as a name"),
        ("knid @ 13:11", "a part has no `knid`"),
        ("-5 psi @ 14:28", "negative"),
        ("rack @ 15:3", "nothing is written under `rack:`"),
        ("tnak.outlet @ 17:13", "there is no part called `tnak`"),
        ("gauge @ 17:41", "a line has no `gauge`"),
        ("8 @ 19:44", "not a conductor size"),
        ("warmest @ 20:28", "`climate` has no `warmest`"),
        ("with @ 22:7", "a duty needs `job`"),
        ("120 % @ 22:28", "can't be"),
        ("2027-02-30 @ 24:62", "not a day"),
        ("fifty @ 26:27", ""),
    ];
    for (spot, words) in expected {
        let hits = lines.iter().filter(|line| line.starts_with(spot) && line.contains(words)).count();
        assert_eq!(hits, 1, "{spot} {words}\n{}", lines.join("\n"));
    }
    assert_eq!(lines.len(), expected.len(), "{}", lines.join("\n"));
}

#[test]
fn a_name_with_a_dot_is_refused_with_a_better_one() {
    let told = Told::of(&spec("parts: { roof.pump: { kind: gun } }\n"));
    assert_eq!(
        told.lines(),
        [
            "roof.pump @ 3:10 | `roof.pump` can't be used as a name | write it without the dot, such as `roof-pump`: `pump.inlet` means the inlet of `pump`"
        ]
    );
    let told = Told::of(&spec("modes: { \"wash [2]\": { doors: open } }\n"));
    assert!(told.lines()[0].contains("such as `wash--2`"), "{:?}", told.lines());
}

#[test]
fn a_script_s_spelling_of_a_key_is_not_the_spec_s() {
    let told = Told::of(&spec("trailer: { floor_height: 20 in }\n"));
    assert_eq!(told.lines(), ["floor_height @ 3:12 | `trailer` has no `floor_height` | did you mean `floor-height`?"]);
}

#[test]
fn a_file_that_is_no_spec_says_what_it_is() {
    for (bytes, says) in [
        (&b""[..], "it is empty"),
        (b"# only\n# comments\n", "only comments"),
        (b"- a\n- b\n", "a spec is a list of keys and values"),
        (b"just words\n", "a spec is a list of keys and values"),
        (b"rigproof-book: 1\nname: a shop\nparts: {}\n", "this is a parts book, not a spec"),
        (b"rigproof: 1\nname: caf\xe9\n", "not UTF-8"),
        (b"r\0i\0g\0p\0", "UTF-16"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", ""),
    ] {
        let told = Told::of_bytes(bytes, &[]);
        assert!(told.problems.iter().any(|problem| problem.says.contains(says)), "{says}: {:?}", told.problems);
    }
    let told = Told::of("name: a rig\n");
    assert_eq!(told.lines(), ["name @ 1:1 | the spec needs `rigproof` | add `rigproof: 1`"]);
}

/// The limits are those of `spec::limits`; what matters here is that the whole line from text to list holds to them.
#[test]
fn a_hostile_file_ends_with_a_few_problems() {
    let deep = format!("rigproof: 1\nname: x\ntrailer: {}{}\n", "[".repeat(5_000), "]".repeat(5_000));
    assert!(Told::of(&deep).problems.iter().any(|problem| problem.says.contains("levels deep")));

    let many: String = (0..60_000).map(|n| format!("  p{n}: {{ kind: tnak, weight: {n} }}\n")).collect();
    let told = Told::of(&spec(&format!("parts:\n{many}")));
    assert!((MOST..=3 * MOST).contains(&told.problems.len()), "{}", told.problems.len());

    let lines: String = (0..30_000).map(|n| format!("  - {{ from: a{n}.x, to: b{n}.y, hoze: 1 }}\n")).collect();
    let told = Told::of(&spec(&format!("parts: {{ a: {{ kind: tank }} }}\nplumbing:\n{lines}")));
    assert!((MOST..=3 * MOST).contains(&told.problems.len()), "{}", told.problems.len());

    // Doubling by aliases: ten thousand million values if it were followed.
    let mut bomb =
        "rigproof: 1\nname: x\nparts:\n  a0: &a0 { kind: tank, x: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1] }\n".to_owned();
    for n in 1..10 {
        let uses = vec![format!("*a{}", n - 1); 10].join(", ");
        bomb += &format!("  a{n}: &a{n} {{ kind: tank, x: [{uses}] }}\n");
    }
    assert!(!Told::of(&bomb).problems.is_empty());

    let huge = vec![b'#'; 9 * 1024 * 1024];
    assert!(Told::of_bytes(&huge, &[]).problems[0].says.contains("the limit is"));
}

#[test]
fn one_broken_document_does_not_hide_the_next() {
    let inspected = INSPECTOR.inspect(
        "two.yaml",
        b"rigproof: 1\nname: first\ntrailer: { jack: 5 }\n---\nrigproof: 1\nname: second\n",
        &mut Shelf::default(),
        &|_| Err(String::new()),
    );
    assert_eq!(inspected.lists.len(), 2);
    assert_eq!(inspected.lists[0].problems.len(), 1);
    assert_eq!(inspected.sources.position(inspected.lists[0].problems[0].span).unwrap().line, 3);
    assert!(inspected.lists[1].problems.is_empty());
    assert_eq!(inspected.lists[1].name, "second");
}
