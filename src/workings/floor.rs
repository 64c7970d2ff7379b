//! Floor strength: plywood between crossmembers and the crossmembers under what stands on the floor.
//!
//! What rests on a part (a reel on its stand) counts with it. Loads carry the factor for road shock. Steel and aluminum decks
//! have no table here; for them only the crossmember is judged.

use super::room::Stand;
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::floor::{
    Crossmember, Deck, PanelRating, ROAD_SHOCK, STANDARD_GRAVITY, STEEL_BENDING_FACTOR, STEEL_MODULUS, TUBE_YIELD,
    mass_on_member, pressure, square_tube, widest_member_spacing,
};
use crate::figures::layout::clearance;
use crate::measure::{Measure, Range};
use crate::rig::Rig;
use crate::rig::trailer::Trailer;

const INCH: f64 = 0.0254;
/// A part with its underside this near the floor stands on it, m (common practice, no source).
const ON_FLOOR: f64 = 1.0 * INCH;
/// Sheets run over three spans and more at every usual spacing (8 ft sheets, members to 24 in).
const SPANS: u32 = 3;
const PLYWOOD: &str = "APA D510 forms with AWC ASD/LRFD Manual Table M9.2-1, dry panel, face grain across the members; road shock 2 (common practice)";
const MEMBER: &str =
    "beam statics, simply supported between the side rails; A500 grade B at 0.66 of its yield stress (from memory)";

const fn figure(
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
    source: &'static str,
) -> Card {
    Card { of: "part", name, gives: Gives::Figure(measure), help, method, source }
}

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    figure(
        "floor-load",
        Measure::Mass,
        "Weight it puts on the floor, full, with what rests on it",
        "weight with what it holds",
        PLYWOOD,
    ),
    figure(
        "floor-holds",
        Measure::Mass,
        "Weight the panel carries on its footprint, with road shock",
        "120 × strength ÷ spacing² × footprint ÷ 2",
        PLYWOOD,
    ),
    figure(
        "floor-spacing",
        Measure::Length,
        "Widest crossmember spacing at which the panel carries it",
        "√(120 × strength × footprint ÷ weight ÷ 2)",
        PLYWOOD,
    ),
    figure(
        "member-share",
        Measure::Ratio,
        "Stress in a crossmember as a share of what is allowed",
        "load × (2 × span − width) ÷ 8 ÷ section modulus ÷ allowed stress",
        MEMBER,
    ),
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let stands: Vec<Stand<'_>> = rig.parts().filter_map(|(name, part)| Stand::of(rig, name, part)).collect();
    let panels = rig.spec.trailer.as_ref().map(|trailer| (trailer, panels(rig, trailer)));
    let mut next = stands.iter().peekable();
    for (_, part) in rig.parts() {
        let stand = next.next_if(|stand| stand.part.entry == part.entry);
        let on_floor = stand.filter(|stand| !stand.outside && stand.at[2].low.abs() <= ON_FLOOR);
        let values = match (on_floor, &panels) {
            (Some(stand), Some((trailer, panels))) => under(rig, sheet, trailer, panels, stand, &stands),
            _ => std::array::from_fn(|_| Bounded::default()),
        };
        for (card, value) in CARDS.iter().zip(values) {
            sheet.enter(SubjectId(part.entry.0), row(CARDS, "part", card.name), value);
        }
    }
}

/// The ratings the deck may have; none for a deck that is not of wood.
fn panels(rig: &Rig, trailer: &Trailer) -> Vec<PanelRating> {
    match rig.word(trailer.floor.panel) {
        Some("32/16") => vec![PanelRating::Sheathing32],
        Some("40/20") => vec![PanelRating::Sheathing40],
        Some("48/24") => vec![PanelRating::Sheathing48],
        Some("16oc") => vec![PanelRating::Floor16],
        Some("20oc") => vec![PanelRating::Floor20],
        Some("24oc") => vec![PanelRating::Floor24],
        Some("32oc") => vec![PanelRating::Floor32],
        Some(_) => Vec::new(),
        None => PanelRating::ALL.to_vec(),
    }
}

/// The four figures of a part that stands on the floor, in the order of the table.
fn under(
    rig: &Rig,
    sheet: &Sheet,
    trailer: &Trailer,
    panels: &[PanelRating],
    stand: &Stand<'_>,
    stands: &[Stand<'_>],
) -> [Bounded; 4] {
    let weight = |stand: &Stand<'_>| {
        sheet
            .value(SubjectId(stand.part.entry.0), "full-weight")
            .map_or_else(Input::default, |figure| figure.value.clone())
    };
    let mut load = weight(stand);
    for other in stands.iter().filter(|other| rests_on(other, stand)) {
        load = corners([&load, &weight(other)], |[load, more]| Some(load + more));
    }
    let sides = [stand.part.common.size.length, stand.part.common.size.width].map(|side| Input::fact(rig, side));
    let [length, width] = &sides;
    let press = corners([&load, length, width], |[load, length, width]| pressure(load, length * width, ROAD_SHOCK));
    let spacing = Input::fact(rig, trailer.floor.crossmember_spacing);
    let panel = trailer.floor.panel.id;
    let of_panels = |f: &dyn Fn(PanelRating) -> Bounded| {
        let mut all = panels.iter().map(|rating| f(*rating));
        let Some(first) = all.next() else { return Bounded::default() };
        let merged = all.fold(first, |one, other| Bounded {
            range: one.range.zip(other.range).map(|(one, other)| one.hull(other)),
            facts: one.facts,
        });
        let swing = if panels.len() > 1 { merged.range.map_or(f64::INFINITY, Range::width) } else { 0.0 };
        Bounded { range: merged.range, facts: merged.facts.into_iter().chain([(panel, swing)]).collect() }
    };
    let holds = of_panels(&|rating| {
        corners([&spacing, length, width], |[span, length, width]| {
            let deck = Deck { rating, span, spans: SPANS, wet_factor: 1.0 };
            Some(deck.bending_capacity()? * length * width / (ROAD_SHOCK * STANDARD_GRAVITY))
        })
    });
    let widest = of_panels(&|rating| corners([&press], |[press]| widest_member_spacing(rating, SPANS, 1.0, press)));
    // Few people can say what tube lies under a floor; it is judged where somebody looked.
    let tube = [trailer.floor.crossmember, trailer.floor.crossmember_wall];
    if !tube.iter().all(|side| rig.states(*side)) {
        return [load, holds, widest, Bounded::default()];
    }
    let [side, wall] = &tube.map(|side| Input::fact(rig, side));
    let span = Input::fact(rig, trailer.inside.width);
    let share = corners(
        [&load, length, width, &spacing, side, wall, &span],
        |[load, length, width, spacing, side, wall, span]| {
            let mass = ROAD_SHOCK * mass_on_member(load, spacing, length)?;
            let section = square_tube(side, wall)?;
            let member = Crossmember { span, loaded: width.min(span), mass, section, modulus: STEEL_MODULUS };
            Some(member.stress()? / (STEEL_BENDING_FACTOR * TUBE_YIELD))
        },
    );
    [load, holds, widest, share]
}

/// Whether a thing's underside lies on top of another and most of its outline above it.
fn rests_on(upper: &Stand<'_>, lower: &Stand<'_>) -> bool {
    let (above, below) = (upper.middle(), lower.middle());
    let centre = above.centre();
    (above.at[2] - below.far()[2]).abs() <= 0.5 * INCH
        && clearance(&below.outline(), &crate::figures::layout::Rect::point(centre[0], centre[1])) <= 0.0
}
