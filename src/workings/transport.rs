//! Jugs and cans on the road, and what stands in one spill tray.
//!
//! Tanks of bleach are in [`super::towing`]. These are sums for a first look; the rule text in force decides.

use super::loads::contents_mass;
use super::paths::map::{Fluid, held};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::measure::Measure;
use crate::rig::Rig;
use crate::rig::parts::Kind;

/// A jug or can of something hazardous.
const JUG: &str = "hazardous-jug";
/// All of them together.
const JUGS: &str = "hazardous-jugs";
/// A spill tray.
const TRAY: &str = "tray-contents";

const PACKAGE: &str = "49 CFR 173.6(a)(1), (d)";

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    Card { of: JUG, name: "can", gives: Gives::Subject("container"), help: "The jug or can", method: "", source: "" },
    Card { of: JUG, name: "content", gives: Gives::Note, help: "What it holds", method: "", source: "" },
    Card {
        of: JUG,
        name: "gross-each",
        gives: Gives::Figure(Measure::Mass),
        help: "Weight of one, full",
        method: "empty + capacity × density",
        source: PACKAGE,
    },
    Card {
        of: JUGS,
        name: "gross-all",
        gives: Gives::Figure(Measure::Mass),
        help: "Weight of all jugs and cans of bleach, acid, caustic and fuel, full",
        method: "sum",
        source: PACKAGE,
    },
    Card {
        of: TRAY,
        name: "meets",
        gives: Gives::Figure(Measure::Count),
        help: "Tanks and jugs of acid in a tray that bleach stands in, or of bleach with acid; nought where they are apart",
        method: "count of what the tray is said to stand under",
        source: "common practice, no source",
    },
    Card { of: TRAY, name: "names", gives: Gives::Note, help: "What stands in it", method: "", source: "" },
];

/// Works out jugs and trays.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let mut all: Option<Bounded> = None;
    let mut first = None;
    for (name, part) in rig.parts() {
        if let Kind::Tray(tray) = &part.kind {
            let under: Vec<(&str, Option<Fluid>)> = tray
                .under
                .iter()
                .filter_map(|reference| rig.reference(*reference))
                .filter_map(|(name, _)| Some((name, held(rig, rig.part(name)?))))
                .collect();
            let count = |fluid| under.iter().filter(|(_, held)| *held == Some(fluid)).count();
            let (acid, bleach) = (count(Fluid::Acid), count(Fluid::Bleach));
            let meets = if bleach > 0 { acid } else { 0 };
            let subject = sheet.subject(TRAY, name.to_owned(), rig.entry(part.entry).place.clone());
            sheet.enter(subject, row(CARDS, TRAY, "meets"), Input::fixed(meets as f64));
            let names: Vec<&str> = under.iter().map(|(name, _)| *name).collect();
            let names = if names.is_empty() { "nothing that is named".to_owned() } else { names.join(", ") };
            sheet.note(subject, row(CARDS, TRAY, "names"), names);
            continue;
        }
        let Kind::Container(can) = &part.kind else { continue };
        let content = match held(rig, part) {
            Some(Fluid::Bleach) => "bleach",
            Some(Fluid::Acid) => "acid",
            Some(Fluid::Caustic) => "caustic",
            Some(Fluid::Fuel) => "fuel",
            _ => continue,
        };
        let subject = sheet.subject(JUG, name.to_owned(), rig.entry(part.entry).place.clone());
        let contents = contents_mass(rig, can.capacity, &can.holds);
        let (empty, count) = (Input::fact(rig, part.common.weight), Input::fact(rig, can.count));
        let each =
            corners([&empty, &contents, &count], |[empty, contents, count]| Some(empty / count.max(1.0) + contents));
        let together = corners([&empty, &contents, &count], |[empty, contents, count]| Some(empty + contents * count));
        sheet.link(subject, row(CARDS, JUG, "can"), SubjectId(part.entry.0));
        sheet.note(subject, row(CARDS, JUG, "content"), content.to_owned());
        sheet.enter(subject, row(CARDS, JUG, "gross-each"), each);
        all = Some(match all {
            None => together,
            Some(sum) => Bounded {
                range: sum.range.zip(together.range).and_then(|(one, other)| one.plus(other)),
                facts: sum.facts.into_iter().chain(together.facts).collect(),
            },
        });
        first.get_or_insert(part.entry);
    }
    if let (Some(all), Some(first)) = (all, first) {
        let subject = sheet.subject(JUGS, "jugs and cans".to_owned(), rig.entry(first).place.clone());
        sheet.enter(subject, row(CARDS, JUGS, "gross-all"), all);
    }
}
