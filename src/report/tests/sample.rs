//! Invented punch lists to show. The numbers are chosen to read well and are nobody's rig.

use crate::measure::System;
use crate::place::Place;
use crate::problem::Span;
use crate::punchlist::*;
use crate::rulebook::card::{Signal, Verdict};
use crate::spec::Sources;

pub(super) const RIG: &str = "\
name: Two-tank flatbed
trailer:
  mass: 1480 lb
  ratings:
    gross: 4500 lb
    axles: [3500 lb]
    coupler: 5000 lb
parts:
  water:
    kind: tank
    capacity: 225 gal
    at: [4 ft, 0 ft, 2 ft]
  bleach:
    kind: tank
    capacity: 65 gal
    beside: engine
  pump:
    kind: pump
    pressure: 3500 psi
  bypass:
    kind: hose
    rating: 300 psi
  acid:
    kind: shelf
    holds: oxalic acid
";

pub(super) const BOOK: &str = "\
hoses:
  bypass-300:
    rating: 300 psi
";

/// The span of the first `needle` in a file.
pub(super) fn find(sources: &Sources, file: u16, needle: &str) -> Span {
    let start = sources.get(file).unwrap().text.find(needle).unwrap();
    Span { file, start: start as u32, end: (start + needle.len()) as u32 }
}

pub(super) fn empty(file: &str) -> PunchList {
    PunchList {
        file: file.to_owned(),
        document: 1,
        name: String::new(),
        system: System::Us,
        problems: Vec::new(),
        items: Vec::new(),
        figures: Vec::new(),
        circuits: Vec::new(),
        not_stated: Vec::new(),
        troubles: Vec::new(),
        rules_run: 0,
        rules_without_subject: 0,
        tally: Tally::default(),
    }
}

pub(super) fn label(place: &str, span: Span, says: &str) -> Label {
    Label { place: Place::from(place), span, not_written: false, says: says.to_owned() }
}

pub(super) fn item(signal: Signal, rule: &str, says: &str, labels: Vec<Label>) -> Item {
    Item {
        rule: rule.to_owned(),
        chapter: "weight".to_owned(),
        signal,
        verdict: Verdict::Breaks,
        place: labels.first().map_or_else(Place::root, |label| label.place.clone()),
        title: rule.replace('-', " "),
        says: says.to_owned(),
        why: String::new(),
        source: "common practice, no source".to_owned(),
        caution: None,
        labels,
        figures: Vec::new(),
        settle: Vec::new(),
        remedy: None,
        under: Vec::new(),
        variance: None,
        carried: false,
        identity: format!("{rule}-1"),
    }
}

pub(super) fn open(signal: Signal, rule: &str, says: &str, settle: &[&str]) -> Item {
    let mut item = item(signal, rule, says, Vec::new());
    item.verdict = Verdict::CannotSay;
    item.settle = settle.iter().map(|place| Place::from(*place)).collect();
    item
}

fn figure(
    id: &str,
    subject: &str,
    ends: Option<(f64, f64)>,
    unit: &str,
    shown: &str,
    from: Vec<FactLine>,
) -> FigureLine {
    FigureLine {
        id: id.to_owned(),
        chapter: id.split('.').next().unwrap_or_default().to_owned(),
        help: "What a scale would read".to_owned(),
        subject: subject.to_owned(),
        ends,
        unit: unit.to_owned(),
        shown: shown.to_owned(),
        method: "sum of the masses of trailer, parts and loads".to_owned(),
        source: "statics".to_owned(),
        from,
    }
}

fn fact(place: &str, shown: &str, stated: bool, span: Option<Span>) -> FactLine {
    FactLine { place: Place::from(place), shown: shown.to_owned(), stated, span }
}

pub(super) fn not_stated(place: &str, shown: Option<&str>, ask: Option<&str>, find: Option<&str>) -> NotStated {
    NotStated {
        place: Place::from(place),
        ends: shown.map(|_| (20.0, 40.0)),
        unit: "in".to_owned(),
        shown: shown.unwrap_or("not known").to_owned(),
        stated: false,
        ask: ask.map(str::to_owned),
        find: find.map(str::to_owned),
        touches: vec!["tips-in-a-turn".to_owned()],
        signal: Some(Signal::Warning),
    }
}

/// Seven items to mend, four open ones behind two facts, one without a question, one carried, one accepted: in two files.
pub(super) fn busy() -> (PunchList, Sources) {
    let mut sources = Sources::new();
    sources.add("specs/flatbed.yaml", RIG).unwrap();
    sources.add("books/hoses.yaml", BOOK).unwrap();
    let at = |needle: &str| find(&sources, 0, needle);
    let mut list = empty("specs/flatbed.yaml");
    list.name = "Two-tank flatbed".to_owned();
    list.rules_run = 148;
    list.figures = vec![
        figure(
            "weight.gross-heaviest",
            "the rig",
            Some((4742.0, 4742.0)),
            "lb",
            "4,742 lb",
            vec![
                fact("trailer.mass", "weight 1,480 lb", true, Some(at("1480 lb"))),
                fact("parts.water.capacity", "capacity 225 gal", true, Some(at("225 gal"))),
                fact("parts.pump.mass", "weight is not stated; allowed for: 80 to 140 lb", false, None),
            ],
        ),
        figure(
            "weight.full-mass:parts.water",
            "parts.water",
            Some((1877.1234567891, 1902.0)),
            "lb",
            "1,877 to 1,902 lb",
            vec![fact("parts.water.capacity", "capacity 225 gal", true, Some(at("225 gal")))],
        ),
        figure("towing.tips-at", "the rig", None, "g", "not known", Vec::new()),
    ];

    let mut bypass = item(
        Signal::Danger,
        "bypass-hose-below-pump",
        "The bypass hose is rated 300 psi and the pump can put 3,500 psi on it",
        vec![
            label("parts.bypass.rating", find(&sources, 1, "300 psi"), "what the hose stands"),
            label("parts.pump.pressure", at("3500 psi"), "what the pump makes when the gun is shut"),
        ],
    );
    bypass.why = "The hose bursts beside the operator when the unloader sticks.".to_owned();
    bypass.remedy =
        Some("Fit a hose rated 3,500 psi or more, or an unloader that returns to the tank at low pressure".to_owned());
    bypass.caution = Some("Water at this pressure goes through skin; an injection injury is an emergency.".to_owned());

    let mut over = item(
        Signal::Warning,
        "trailer-over-its-rating",
        "Loaded as heavily as the spec allows, the trailer weighs 4,742 lb, which is 242 lb over its rating of 4,500 lb",
        vec![
            label("trailer.ratings.gross", at("4500 lb"), "may weigh this much"),
            label("parts.water.capacity", at("225 gal"), "1,877 lb when full, the largest load"),
        ],
    );
    over.figures = vec![0, 1];
    over.why =
        "Brakes, tyres and frame are chosen for the rating; stopping takes longer and the axle can fail.".to_owned();
    over.source = "49 CFR 393.75; FMVSS 110".to_owned();
    over.remedy =
        Some("Carry at most 196 gal of water on the road, or choose a trailer rated 5,000 lb or more".to_owned());
    over.under = vec![
        SubLine {
            rule: "axle-over-its-rating".to_owned(),
            says: "the axle carries 4,090 lb, 590 lb over its 3,500 lb".to_owned(),
            place: Place::from("trailer.ratings.axles[0]"),
        },
        SubLine {
            rule: "tongue-too-light".to_owned(),
            says: "the tongue carries 9 % of the weight".to_owned(),
            place: Place::from("trailer"),
        },
    ];

    let hot = item(
        Signal::Caution,
        "bleach-beside-heat",
        "The bleach tank stands beside the engine",
        vec![label("parts.bleach.beside", at("engine"), "runs hot")],
    );
    list.items = vec![bypass, over, hot];
    for (index, needle) in ["225 gal", "65 gal", "4 ft", "oxalic acid"].into_iter().enumerate() {
        let mut loose = item(
            Signal::Notice,
            "part-without-label",
            "The container has no label with its contents",
            vec![label(&format!("parts.p{index}"), at(needle), "")],
        );
        loose.why = "The next person guesses.".to_owned();
        list.items.push(loose);
    }
    let mut old = item(Signal::Notice, "no-spare-wheel", "No spare wheel is listed", vec![]);
    old.carried = true;
    let mut granted = item(Signal::Warning, "no-brakes", "The trailer has no brakes of its own", vec![]);
    granted.variance = Some(Granted {
        reason: "Used on the yard only".to_owned(),
        approved: "the yard foreman".to_owned(),
        until: Some("2027-03-01".to_owned()),
    });
    let (high, stiff) = ("parts.water.height", "trailer.tongue.length");
    list.items.extend([
        open(Signal::Warning, "tips-in-a-turn", "It may tip at 0.31 to 0.42 g", &[high]),
        open(Signal::Caution, "sways", "It may sway", &[stiff, high]),
        open(Signal::Danger, "acid-meets-bleach", "Acid and bleach may share a line", &["plumbing[2]"]),
        open(Signal::Notice, "too-slow", "The job may take two days", &["job.area"]),
        old,
        granted,
    ]);
    list.not_stated = vec![
        not_stated(high, Some("20 to 40 in"), Some("How high is the water tank?"), Some("measure from floor to lid")),
        not_stated(stiff, Some("3 ft to 5 ft"), None, None),
        not_stated("plumbing[2]", None, Some("Which valve parts the acid line from the bleach line?"), None),
    ];
    list.tally = Tally { danger: 1, warning: 1, caution: 1, notice: 4, cannot_say: 4, carried: 1, variance: 1 };
    (list, sources)
}
