//! Materials against what wets them. How a part is wetted (standing, rinsed, splashed) follows from where bleach gets in each
//! mode and what a mode rinses; it is never typed in.
//!
//! A rating is a number so that it can be a range: 0 suitable, 1 limited, 2 unfit. A grade that is left open is judged over its
//! whole family.

pub mod table;

use super::paths::map::{Fluid, Map, held};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input};
use crate::figures::bleach;
use crate::figures::materials::{Rating, STRONGEST_RATED, Wetting, in_bleach};
use crate::figures::paths::wetting::{Contact, contact};
use crate::figures::paths::{Doubt, Driver, Reach};
use crate::measure::{Measure, Range};
use crate::place::Place;
use crate::rig::parts::{AnyPart, Contents, Kind};
use crate::rig::{FactId, Rig, Word};

const TABLE: &str = "rules/materials.yaml: pipe, tank and rubber makers' tables, British Stainless Steel Association; many cells from memory";

const fn note(of: &'static str, name: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Note, help, method: "", source: "" }
}

const fn figure(of: &'static str, name: &'static str, help: &'static str, method: &'static str) -> Card {
    Card { of, name, gives: Gives::Figure(Measure::Count), help, method, source: TABLE }
}

/// A part or hose and a liquid that wets it.
const WETTED: &str = "wetted-part";
/// A check valve that bleach wets.
const CHECK: &str = "bleach-check-valve";

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    figure(
        WETTED,
        "rating",
        "How its worst material stands the liquid: 0 suitable, 1 limited, 2 unfit",
        "worst over its materials, over the grades a word leaves open, over what the strength may be",
    ),
    figure(WETTED, "listed", "1 where its materials are listed, 0 where nobody says", "as stated"),
    note(WETTED, "liquid", "The liquid: bleach, fuel, soap, acid or caustic"),
    note(WETTED, "contact", "How it is wetted"),
    note(WETTED, "material", "The material that decides"),
    note(WETTED, "better", "Materials of the same sort that stand it"),
    figure(
        WETTED,
        "feeds-loss",
        "1 where it is copper, brass or a nickel alloy that stands in bleach, which speeds its loss",
        "by material",
    ),
    figure(
        CHECK,
        "steel-spring",
        "1 where a stainless spring stands in bleach, 0 where not, between where nobody says what the spring is",
        "by its style and wetted materials",
    ),
    note(CHECK, "metals", "The metals in it"),
];

/// What is known of how bleach touches a cell.
struct Contacts {
    /// The heaviest that the facts allow.
    worst: Vec<Contact>,
    /// The lightest.
    best: Vec<Contact>,
}

/// Where bleach gets with doubts read one way, in use and parked, and where water rinses.
fn contacts_with(map: &Map<'_>, doubt: Doubt) -> Vec<Contact> {
    let bleach = map.sources(&[Fluid::Bleach]);
    let (water, ends) = (map.sources(&[Fluid::Water]), map.ends());
    let nodes = map.piping.nodes();
    let (mut used, mut parked, mut rinsed) = (vec![false; nodes], vec![false; nodes], vec![false; nodes]);
    for (mode, setting) in map.settings.iter().enumerate() {
        let reach: Reach = map.piping.reach(&bleach, setting, Driver::Either, doubt);
        let rinses = map.runs(mode).then(|| {
            let other = if doubt == Doubt::Holds { Doubt::LetsThrough } else { Doubt::Holds };
            map.piping.flows_through(&water, &ends, setting, other)
        });
        for node in 0..nodes {
            let wet = reach.wets(node);
            used[node] |= wet;
            parked[node] |= wet && !map.runs(mode);
            rinsed[node] |= !wet && rinses.as_ref().is_some_and(|rinses| rinses[node]);
        }
    }
    contact(&used, &parked, &rinsed)
}

/// Works out what stands what wets it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let map = Map::of(rig);
    let strongest = strongest(rig);
    for (name, part) in rig.parts() {
        let (holds, material) = match &part.kind {
            Kind::Tank(tank) => (&tank.holds, tank.material),
            Kind::Container(can) => (&can.holds, can.material),
            _ => continue,
        };
        let Some(fluid) = held(rig, part) else { continue };
        let liquid = Liquid {
            fluid,
            chlorine: chlorine(rig, holds),
            temperature: celsius(rig, holds),
            diesel: rig.word(holds.fluid) == Some("diesel"),
        };
        if fluid != Fluid::Water {
            let place = rig.entry(part.entry).place.clone();
            enter(rig, sheet, name.to_owned(), place, &[material], &liquid, (Wetting::Continuous, Wetting::Continuous));
        }
    }
    let Some(map) = map else { return };
    let Some(strongest) = strongest else {
        others(rig, sheet);
        return;
    };
    let contacts = Contacts { worst: contacts_with(&map, Doubt::LetsThrough), best: contacts_with(&map, Doubt::Holds) };
    bleach_side(rig, sheet, &map, &contacts, &strongest);
    others(rig, sheet);
}

/// A liquid as materials meet it.
struct Liquid {
    fluid: Fluid,
    chlorine: Bounded,
    temperature: Bounded,
    diesel: bool,
}

/// The strongest bleach aboard.
fn strongest(rig: &Rig) -> Option<Liquid> {
    let tanks = rig.parts().filter(|(_, part)| held(rig, part) == Some(Fluid::Bleach));
    let each = tanks.filter_map(|(_, part)| match &part.kind {
        Kind::Tank(tank) => Some(&tank.holds),
        Kind::Container(can) => Some(&can.holds),
        _ => None,
    });
    let strength = |holds: &&Contents| chlorine(rig, holds).range.map_or(f64::INFINITY, |range| range.high);
    let holds = each.max_by(|one, other| strength(one).total_cmp(&strength(other)))?;
    Some(Liquid {
        fluid: Fluid::Bleach,
        chlorine: chlorine(rig, holds),
        temperature: celsius(rig, holds),
        diesel: false,
    })
}

fn celsius(rig: &Rig, holds: &Contents) -> Bounded {
    crate::bounds::corners([&Input::fact(rig, holds.temperature)], |[kelvin]| Some(kelvin - 273.15))
}

/// Available chlorine of what a tank holds, kg/m³, over every basis the label may mean.
pub fn chlorine(rig: &Rig, holds: &Contents) -> Bounded {
    let number = Input::fact(rig, holds.strength.value);
    let stated = super::loads::basis_of(rig, &holds.strength);
    let bases = stated.map_or_else(|| bleach::StrengthBasis::ALL.to_vec(), |basis| vec![basis]);
    let each = bases.iter().map(|basis| {
        crate::bounds::corners([&number], |[strength]| {
            let number = if *basis == bleach::StrengthBasis::GramsPerLitre { strength } else { strength * 100.0 };
            bleach::available_chlorine(*basis, number, bleach::USUAL_CAUSTIC)
        })
    });
    let merged = each.reduce(|one, other| Bounded {
        range: one.range.zip(other.range).map(|(one, other)| one.hull(other)),
        facts: one.facts,
    });
    let mut merged = merged.unwrap_or_default();
    if stated.is_none() {
        let swing = merged.range.map_or(f64::INFINITY, Range::width);
        merged.facts.push((holds.strength.basis.id, swing));
    }
    merged
}

/// Every part and hose that bleach gets to.
fn bleach_side(rig: &Rig, sheet: &mut Sheet, map: &Map<'_>, contacts: &Contacts, liquid: &Liquid) {
    let heaviest =
        |flags: &[Contact], nodes: &[usize]| nodes.iter().map(|node| flags[*node]).max().unwrap_or(Contact::Dry);
    for (at, line) in rig.spec.plumbing.iter().enumerate() {
        // The hose ends where its first fitting begins; what is behind a check is the fitting's.
        let nodes = map.of_line[at].get(..2).unwrap_or_default();
        let (worst, best) = (heaviest(&contacts.worst, nodes), heaviest(&contacts.best, nodes));
        let Some(wetting) = wettings(worst, best) else { continue };
        let target = rig.reference(line.to).map_or("its end", |(part, _)| part);
        let start = rig.reference(line.from).map_or("its start", |(part, _)| part);
        enter(
            rig,
            sheet,
            format!("hose {start} to {target}"),
            rig.entry(line.entry).place.clone(),
            &[line.material],
            liquid,
            wetting,
        );
    }
    let edges = map.piping.edges();
    let mut touched: Vec<Vec<usize>> = vec![Vec::new(); rig.spec.parts.len()];
    for (node, cell) in map.cells.iter().enumerate() {
        if let Some(part) = cell.part {
            touched[part].push(node);
        }
    }
    for (edge, fitting) in map.fittings.iter().enumerate() {
        if let Some(part) = fitting.part {
            touched[part].extend([edges[edge].from, edges[edge].to]);
        }
    }
    for ((name, part), nodes) in rig.parts().zip(&touched) {
        let (worst, best) = (heaviest(&contacts.worst, nodes), heaviest(&contacts.best, nodes));
        let Some(wetting) = wettings(worst, best) else { continue };
        let mut words: Vec<Word> = part.common.wetted.clone();
        match &part.kind {
            // Judged by what they hold; the tap is not ours.
            Kind::Tank(_) | Kind::Container(_) | Kind::Supply(_) => continue,
            // A tip holds nothing in; one that wears shows in its jet. Judged where its materials are listed.
            Kind::Nozzle(_) | Kind::SurfaceCleaner(_) if words.is_empty() => continue,
            Kind::Reel(reel) => words.push(reel.hose.material),
            Kind::DeliveryPump(pump) if words.is_empty() => words.push(pump.seals),
            Kind::Check(check) => spring(rig, sheet, name, part, rig.word(check.style)),
            _ => {}
        }
        enter(rig, sheet, name.to_owned(), rig.entry(part.entry).place.clone(), &words, liquid, wetting);
    }
}

fn wettings(worst: Contact, best: Contact) -> Option<(Wetting, Wetting)> {
    let wetting = |contact| match contact {
        Contact::Dry => None,
        Contact::Flushed => Some(Wetting::Flushed),
        Contact::Continuous => Some(Wetting::Continuous),
    };
    let worst = wetting(worst)?;
    // Where only a doubt lets bleach in, whether it does is for the rules of ways.
    Some((worst, wetting(best)?))
}

/// A spring in a check that bleach wets.
fn spring(rig: &Rig, sheet: &mut Sheet, name: &str, part: &AnyPart, style: Option<&'static str>) {
    let words: Vec<&str> = part.common.wetted.iter().filter_map(|word| rig.word(*word)).collect();
    let metals: Vec<&str> =
        words.iter().copied().filter(|word| table::grades(word).any(|grade| grade.kind == "metal")).collect();
    let steel = metals.iter().any(|word| word.starts_with("stainless"));
    let sprung =
        matches!(style, Some("spring" | "dual-check" | "double-check" | "vacuum-breaker" | "reduced-pressure-zone"));
    let range = match (style, sprung, steel, metals.is_empty()) {
        (_, _, true, _) => Range::point(1.0),
        (Some(_), false, ..) | (Some(_), true, false, false) => Range::point(0.0),
        // A spring has to be of some metal; a style nobody names may have one.
        _ => Range::new(0.0, 1.0),
    };
    let subject = sheet.subject(CHECK, name.to_owned(), rig.entry(part.entry).place.clone());
    let facts = match &part.kind {
        Kind::Check(check) if style.is_none() => vec![(check.style.id, 1.0)],
        _ => Vec::new(),
    };
    sheet.enter(subject, row(CARDS, CHECK, "steel-spring"), Bounded { range, facts });
    let text = if metals.is_empty() { "no metal listed".to_owned() } else { metals.join(", ") };
    sheet.note(subject, row(CARDS, CHECK, "metals"), text);
}

/// Hoses that carry fuel, soap, acid or caustic from their tank on, and what these pass through.
fn others(rig: &Rig, sheet: &mut Sheet) {
    for line in &rig.spec.plumbing {
        let Some((start, source)) = rig.reference(line.from).and_then(|(name, _)| Some((name, rig.part(name)?))) else {
            continue;
        };
        let Some(fluid) = held(rig, source).filter(|fluid| !matches!(fluid, Fluid::Bleach | Fluid::Water)) else {
            continue;
        };
        let holds = match &source.kind {
            Kind::Tank(tank) => &tank.holds,
            Kind::Container(can) => &can.holds,
            _ => continue,
        };
        let liquid = Liquid {
            fluid,
            chlorine: Bounded::default(),
            temperature: Bounded::default(),
            diesel: rig.word(holds.fluid) == Some("diesel"),
        };
        let target = rig.reference(line.to).map_or("its end", |(part, _)| part);
        let always = (Wetting::Continuous, Wetting::Continuous);
        enter(
            rig,
            sheet,
            format!("hose {start} to {target}"),
            rig.entry(line.entry).place.clone(),
            &[line.material],
            &liquid,
            always,
        );
        let through = line.through.iter().chain([&line.to]).filter_map(|part| rig.reference(*part));
        for (name, _) in through {
            let Some(part) = rig.part(name).filter(|part| !part.common.wetted.is_empty()) else { continue };
            if matches!(part.kind, Kind::Tank(_) | Kind::Container(_) | Kind::Washer(_)) {
                continue;
            }
            enter(
                rig,
                sheet,
                name.to_owned(),
                rig.entry(part.entry).place.clone(),
                &part.common.wetted,
                &liquid,
                always,
            );
        }
    }
}

fn liquid_word(liquid: &Liquid) -> &'static str {
    match liquid.fluid {
        Fluid::Bleach => "bleach",
        Fluid::Acid => "acid",
        Fluid::Caustic => "caustic",
        Fluid::Soap => "soap",
        Fluid::Water => "water",
        Fluid::Fuel if liquid.diesel => "diesel",
        Fluid::Fuel => "gasoline",
    }
}

fn number(rating: Rating) -> f64 {
    match rating {
        Rating::Suitable => 0.0,
        Rating::Limited => 1.0,
        Rating::Unsuitable => 2.0,
    }
}

/// Every rating that one grade may have.
fn ratings(grade: &table::Material, liquid: &Liquid, (worst, best): (Wetting, Wetting)) -> Option<Range> {
    let plain = |rating: Rating| Range::point(number(rating));
    match liquid.fluid {
        Fluid::Bleach => {
            let chlorine = liquid.chlorine.range?;
            // No row speaks for stronger bleach; that it is too strong is an item of its own.
            let strong = chlorine.high.min(STRONGEST_RATED);
            let weak = chlorine.low.min(STRONGEST_RATED);
            let warm = liquid.temperature.range.unwrap_or(Range { low: 20.0, high: 20.0 });
            let high = in_bleach(&grade.bleach, strong, worst, warm.high)?;
            let low = in_bleach(&grade.bleach, weak, best, warm.low)?;
            Range::between(number(low), number(high))
        }
        Fluid::Acid => plain(grade.acid),
        Fluid::Caustic => plain(grade.caustic),
        Fluid::Soap => plain(grade.soap),
        Fluid::Fuel if liquid.diesel => plain(grade.diesel),
        Fluid::Fuel => plain(grade.gasoline),
        Fluid::Water => plain(Rating::Suitable),
    }
}

/// Materials of the sort of `word` that stand the liquid, the commonest first.
fn better(word: Option<&str>, liquid: &Liquid, wetting: (Wetting, Wetting)) -> String {
    let kind = word.and_then(|word| table::grades(word).next()).map_or("plastic", |grade| grade.kind.as_str());
    const COMMON: &[&str] = &[
        "PVC",
        "XLPE",
        "CPVC",
        "HDPE",
        "PVDF",
        "PTFE",
        "EPDM",
        "CSM",
        "FKM-peroxide",
        "nitrile",
        "FKM-bisphenol",
        "titanium",
        "stainless-316",
        "nickel-C276",
    ];
    let fits = |candidate: &&&str| {
        table::grades(candidate)
            .all(|grade| grade.kind == kind && ratings(grade, liquid, wetting).is_some_and(|range| range.high == 0.0))
    };
    let mut found: Vec<&str> = COMMON.iter().filter(fits).copied().take(3).collect();
    if found.is_empty() {
        found.push("PVC");
        found.push("PTFE");
    }
    found.join(" or ")
}

fn enter(
    rig: &Rig,
    sheet: &mut Sheet,
    name: String,
    place: Place,
    words: &[Word],
    liquid: &Liquid,
    wetting: (Wetting, Wetting),
) {
    let mut whole: Option<Range> = None;
    let mut facts: Vec<(FactId, f64)> = Vec::new();
    let mut decides: (f64, Option<&'static str>) = (-1.0, None);
    let (mut listed, mut unbounded, mut feeds_loss) = (!words.is_empty(), words.is_empty(), false);
    for word in words {
        let Some(stated) = rig.word(*word) else {
            listed = false;
            unbounded = true;
            facts.push((word.id, f64::INFINITY));
            continue;
        };
        let each: Option<Vec<Range>> = table::grades(stated).map(|grade| ratings(grade, liquid, wetting)).collect();
        let Some(range) = each.and_then(|each| each.into_iter().reduce(Range::hull)) else {
            unbounded = true;
            facts.extend(liquid.chlorine.facts.iter().copied());
            continue;
        };
        if !range.is_point() && table::is_open(stated) {
            facts.push((word.id, range.width()));
        } else if !range.is_point() {
            facts.extend(liquid.chlorine.facts.iter().chain(&liquid.temperature.facts).copied());
        }
        feeds_loss |= matches!(stated, "brass" | "copper" | "nickel-C276");
        if range.high + range.low > decides.0 {
            decides = (range.high + range.low, Some(stated));
        }
        whole = Some(whole.map_or(range, |whole| whole.max(range)));
    }
    // One unfit material decides, whatever the others are.
    let unfit = whole.is_some_and(|range| range.low >= 2.0);
    let value = if unbounded && !unfit { Bounded { range: None, facts } } else { Bounded { range: whole, facts } };
    let subject: SubjectId = sheet.subject(WETTED, name, place);
    sheet.enter(subject, row(CARDS, WETTED, "rating"), value);
    sheet.enter(subject, row(CARDS, WETTED, "listed"), Input::fixed(f64::from(u8::from(listed))));
    let standing = liquid.fluid == Fluid::Bleach && wetting.1 == Wetting::Continuous;
    sheet.enter(subject, row(CARDS, WETTED, "feeds-loss"), Input::fixed(f64::from(u8::from(feeds_loss && standing))));
    sheet.note(subject, row(CARDS, WETTED, "liquid"), liquid_word(liquid).to_owned());
    let contact = match wetting {
        (Wetting::Continuous, Wetting::Continuous) => "stands in it",
        (Wetting::Continuous, _) => "stands in it, or is rinsed",
        (Wetting::Flushed, _) => "is wetted and rinsed the same day",
        (Wetting::Splash, _) => "is splashed",
    };
    sheet.note(subject, row(CARDS, WETTED, "contact"), contact.to_owned());
    sheet.note(subject, row(CARDS, WETTED, "material"), decides.1.unwrap_or("a material that nobody lists").to_owned());
    sheet.note(subject, row(CARDS, WETTED, "better"), better(decides.1, liquid, wetting));
}
