//! Towing: brakes and where they are asked for, tires and axles under the rating, hitch, chains, breakaway, the commercial lines.

use super::loads::basis_of;
use super::{Card, Gives, Sheet, SubjectId, brakes, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::{bleach, towing, transport};
use crate::measure::{Measure, Range, show};
use crate::rig::parts::{AnyPart, Contents, Kind};
use crate::rig::trailer::{Axle, Tires, Trailer};
use crate::rig::vehicle::Vehicle;
use crate::rig::{Amount, Rig, Strength};

const fn figure(
    of: &'static str,
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
    source: &'static str,
) -> Card {
    Card { of, name, gives: Gives::Figure(measure), help, method, source }
}

const fn note(of: &'static str, name: &'static str, help: &'static str, source: &'static str) -> Card {
    Card { of, name, gives: Gives::Note, help, method: "", source }
}

/// What this discipline computes.
#[rustfmt::skip]
pub const CARDS: &[Card] = &[
    figure("trailer", "brake-line", Measure::Mass, "Gross trailer weight from which the state asks for brakes", "by state, from rules/brakes.yaml; a range where the compilations disagree", "rules/brakes.yaml"),
    note("trailer", "brake-law", "What else is known of the state's brake law", "rules/brakes.yaml"),
    figure("trailer", "brake-weight", Measure::Mass, "Weight that counts for the brake line: some states count the scale, some the rating", "from the weight with every tank full to the greater of it and the gross rating", "rules/brakes.yaml"),
    figure("trailer", "axles-braked", Measure::Count, "Axles that have brakes", "count; an axle that does not say may have them or not", "count"),
    figure("trailer", "axles-load", Measure::Mass, "Load on all axles together in the fill state that loads them most", "load on one axle × axles", "statics of a rigid body on level ground"),
    figure("trailer", "truck-axles", Measure::Mass, "Weight on the axles of the tow vehicle with this trailer on the ball", "front + rear + people + gear + tongue load", "statics of a rigid body on level ground"),
    figure("trailer", "light-trailer-limit", Measure::Mass, "Axle load up to which a light commercial trailer may do without brakes", "0.40 × weight on the tow vehicle's axles", "49 CFR 393.42(b)"),
    figure("trailer", "truck-axles-needed", Measure::Mass, "Weight on the tow vehicle's axles that lets this trailer do without brakes", "axle load ÷ 0.40", "49 CFR 393.42(b)"),
    figure("trailer", "axles-rating", Measure::Mass, "Axle ratings together", "sum of the axle ratings", "49 CFR 571.110 S4.2.2"),
    figure("trailer", "tires-carry", Measure::Mass, "What the tires carry together", "tires × load of one; a passenger tire's ÷ 1.10", "49 CFR 571.110 S4.2.2, 571.120 S5.1.2; ISO 4000-1 load index scale"),
    note("trailer", "tire-choice", "Trailer tires that match the axle ratings", "ISO 4000-1 load index scale"),
    figure("trailer", "axle-rating-needed", Measure::Mass, "Axle ratings that the gross rating needs", "gross rating × (1 − tongue share), the share taken between 10 % and 15 %", "NHTSA letter nht76-3.20"),
    figure("trailer", "gross-supported", Measure::Mass, "Gross rating that the axles support", "axle ratings ÷ (1 − tongue share), the share taken between 10 % and 15 %", "NHTSA letter nht76-3.20"),
    figure("trailer", "chain-needed", Measure::Mass, "Breaking strength that each safety chain needs", "the gross rating, each chain by itself", "N.H. RSA 266:63; SAE J684; 49 CFR 393.70(d) asks half"),
    note("trailer", "chain-choice", "Chain that is strong enough", "table to 49 CFR 393.108; NACM design factor, from memory"),
    figure("trailer", "cargo-placard", Measure::Mass, "Cargo the placard allows; gross rating less bare trailer where there is no placard", "cargo figure of the placard, or gross rating − empty weight", "49 CFR 571.110 S4.3.5"),
    figure("trailer", "cargo-over", Measure::Mass, "Gear and liquids beyond the placard; negative is what is left", "weight of everything fitted and carried − placard", "49 CFR 571.110 S4.3.5"),
    figure("trailer", "breakaway-charge", Measure::Charge, "Charge the breakaway battery must give", "2 magnets an electric axle × 3 A × 15 min", "49 CFR 393.43(d); magnet current from memory"),
    figure("hitch-part", "carries", Measure::Mass, "Trailer weight it is rated for", "as stamped; a receiver with the hitch that is used", "SAE J684"),
    figure("hitch-part", "towed", Measure::Mass, "Gross rating of the trailer it tows", "as on the trailer's label", "SAE J684"),
    note("hitch-part", "class-needed", "The class that the trailer needs", "SAE J684, as in COMAR 11.13.08.04"),
    figure("ball-and-coupler", "coupler-takes", Measure::Length, "Ball diameter stamped on the coupler", "as stated", "SAE J684"),
    figure("ball-and-coupler", "ball-is", Measure::Length, "Diameter of the ball on the truck", "as stated", "SAE J684"),
    figure("rig", "combination-weight", Measure::Mass, "Ratings or weights of truck and trailer together, whichever is more", "sum of the greater of rating and weight of each", "49 CFR 390.5; 79 FR 15245"),
    figure("rig", "carrier-rules", Measure::Count, "1 where the federal rules for motor carriers count, 0 where they do not, between where a state decides", "by how the rig is used", "49 CFR 390.3"),
    Card { of: "bleach-tank", name: "tank", gives: Gives::Subject("tank"), help: "The tank", method: "", source: "" },
    figure("bleach-tank", "hypochlorite-held", Measure::Mass, "Sodium hypochlorite in the full tank", "capacity × strength", "49 CFR 172.101 appendix A counts the substance itself"),
    figure("bleach-tank", "reportable-at", Measure::Volume, "Bleach of this strength that holds a reportable quantity", "100 lb ÷ sodium hypochlorite in a gallon", "49 CFR 172.101 appendix A; PHMSA letter 98-0413"),
    figure("bleach-cargo", "bleach-gross", Measure::Mass, "All bleach aboard with its tanks and jugs, full", "sum of full weights", "49 CFR 172.504(c)"),
    figure("bleach-cargo", "placards-at", Measure::Volume, "Bleach at which the load reaches the placard weight", "(placard weight − tanks and jugs) ÷ weight of a gallon", "49 CFR 172.504(c)"),
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    if let Some(trailer) = &rig.spec.trailer {
        brake_lines(rig, trailer, sheet);
        light_trailer(rig, trailer, sheet);
        axles_and_tires(rig, trailer, sheet);
        chains(rig, trailer, sheet);
        cargo(rig, trailer, sheet);
        hitch(rig, trailer, sheet);
    }
    combination(rig, sheet);
    bleach_aboard(rig, sheet);
}

/// A figure that was entered before, or one that nothing bounds.
fn known(sheet: &Sheet, of: SubjectId, name: &'static str) -> Bounded {
    sheet.value(of, name).map_or_else(Bounded::default, |figure| figure.value.clone())
}

fn plus(one: &Input, other: &Input) -> Bounded {
    corners([one, other], |[one, other]| Some(one + other))
}

/// The greater of two quantities.
fn greater(one: &Input, other: &Input) -> Bounded {
    corners([one, other], |[one, other]| Some(one.max(other)))
}

/// A quantity that lies anywhere between two.
fn between(one: &Input, other: &Input) -> Bounded {
    let either = corners([one, other], |[one, _]| Some(one));
    Bounded { range: one.range.zip(other.range).map(|(one, other)| one.hull(other)), facts: either.facts }
}

fn sum(inputs: impl Iterator<Item = Input>) -> Bounded {
    inputs.reduce(|one, other| plus(&one, &other)).unwrap_or_default()
}

fn brake_lines(rig: &Rig, trailer: &Trailer, sheet: &mut Sheet) {
    let subject = SubjectId(trailer.entry.0);
    let line = rig.text(trailer.state).and_then(brakes::line_of);
    // Whether a trailer at the line itself needs brakes differs between states: exactly there nobody can say.
    let weight = line.and_then(|line| Range::new(line.weight.low, line.weight.high.next_up()));
    let swing = if weight.is_some() { 0.0 } else { f64::INFINITY };
    let line_weight = Bounded { range: weight, facts: vec![(trailer.state.id, swing)] };
    let law = match (rig.text(trailer.state), line) {
        (_, Some(line)) => line.note.clone().unwrap_or_else(|| "look the figure up in the law in force".to_owned()),
        (Some(state), None) => format!("there is no state `{state}` in the table; write its two-letter code"),
        (None, None) => "the state is not stated".to_owned(),
    };
    let gross = known(sheet, subject, "gross-heaviest");
    let rating = Input::fact(rig, trailer.ratings.gross);
    let counted = between(&gross, &greater(&gross, &rating));
    sheet.enter(subject, row(CARDS, "trailer", "brake-line"), line_weight);
    sheet.note(subject, row(CARDS, "trailer", "brake-law"), law);
    sheet.enter(subject, row(CARDS, "trailer", "brake-weight"), counted);
    sheet.enter(subject, row(CARDS, "trailer", "axles-braked"), axles_with(rig, trailer, |word| word != "none"));
    let electric = axles_with(rig, trailer, |word| word == "electric");
    let charge = corners([&electric], |[axles]| {
        Some(towing::breakaway_charge(2 * axles as u32, MAGNET_CURRENT, towing::BREAKAWAY_HOLD))
    });
    sheet.enter(subject, row(CARDS, "trailer", "breakaway-charge"), charge);
}

/// Current of one brake magnet at 12 V, A (from memory; the brake maker states it).
const MAGNET_CURRENT: f64 = 3.0;

/// How many axles have brakes of some sort; one that does not say may or may not.
fn axles_with(rig: &Rig, trailer: &Trailer, wanted: impl Fn(&str) -> bool) -> Bounded {
    if trailer.axles.is_empty() {
        return Bounded::default();
    }
    let words: Vec<_> = trailer.axles.iter().map(|axle| (axle.brakes.id, rig.word(axle.brakes))).collect();
    let surely = words.iter().filter(|(_, word)| word.is_some_and(&wanted)).count() as f64;
    let perhaps = words.iter().filter(|(_, word)| word.is_none()).count() as f64;
    let facts = words.iter().map(|(fact, word)| (*fact, if word.is_none() { 1.0 } else { 0.0 }));
    Bounded { range: Range::new(surely, surely + perhaps), facts: facts.collect() }
}

fn light_trailer(rig: &Rig, trailer: &Trailer, sheet: &mut Sheet) {
    let subject = SubjectId(trailer.entry.0);
    let axles = trailer.axles.len().max(1) as f64;
    let load = corners([&known(sheet, subject, "axle-heaviest")], |[one]| Some(one * axles));
    let tongue = between(&known(sheet, subject, "tongue-lightest"), &known(sheet, subject, "tongue-heaviest"));
    let truck = match &rig.spec.vehicle {
        Some(vehicle) => plus(&tongue, &sum(truck_weights(rig, vehicle))),
        None => Bounded::default(),
    };
    let mut enter = |name: &str, value| sheet.enter(subject, row(CARDS, "trailer", name), value);
    enter("light-trailer-limit", corners([&truck], |[truck]| Some(towing::light_trailer_axle_limit(truck))));
    enter("truck-axles", truck);
    enter("truck-axles-needed", corners([&load], |[load]| Some(towing::tow_weight_for_light_trailer(load))));
    enter("axles-load", load);
}

/// What rests on the tow vehicle's axles without the tongue: empty weights, people and gear where they are written.
fn truck_weights(rig: &Rig, vehicle: &Vehicle) -> impl Iterator<Item = Input> {
    let carried = [(vehicle.people.entry, vehicle.people.weight), (vehicle.gear.entry, vehicle.gear.weight)];
    let carried = carried.into_iter().filter(|(entry, _)| rig.entry(*entry).written).map(|(_, weight)| weight);
    [vehicle.front_axle.empty, vehicle.rear_axle.empty]
        .into_iter()
        .chain(carried)
        .map(|weight| Input::fact(rig, weight))
}

/// The share of the gross weight on the tongue that a trailer is designed for.
const DESIGN_TONGUE: (f64, f64) = (0.10, 0.15);

fn axles_and_tires(rig: &Rig, trailer: &Trailer, sheet: &mut Sheet) {
    let subject = SubjectId(trailer.entry.0);
    let ratings = sum(trailer.axles.iter().map(|axle: &Axle| Input::fact(rig, axle.rating)));
    let share = known(sheet, subject, "ratio-full");
    let clamp = |share: f64| share.clamp(DESIGN_TONGUE.0, DESIGN_TONGUE.1);
    let share = match share.range {
        Some(_) => corners([&share], |[share]| Some(clamp(share))),
        None => Bounded { range: Range::new(DESIGN_TONGUE.0, DESIGN_TONGUE.1), facts: share.facts },
    };
    let gross = Input::fact(rig, trailer.ratings.gross);
    let count = Input::fact(rig, trailer.tires.count);
    let each = tire_load(rig, &trailer.tires);
    let choice =
        tire_choice(rig, &corners([&ratings, &count], |[ratings, count]| (count >= 1.0).then(|| ratings / count)));
    let mut enter = |name: &str, value| sheet.enter(subject, row(CARDS, "trailer", name), value);
    enter("axle-rating-needed", corners([&gross, &share], |[gross, share]| towing::axle_rating_needed(gross, share)));
    enter(
        "gross-supported",
        corners([&ratings, &share], |[ratings, share]| towing::gross_supported_by_axles(ratings, share)),
    );
    enter("axles-rating", ratings);
    enter(
        "tires-carry",
        corners([&each, &count], |[each, count]| Some(towing::axle_tire_capacity(each, count as u32))),
    );
    sheet.note(subject, row(CARDS, "trailer", "tire-choice"), choice);
}

/// What one tire counts for: the moulded load, or that of its load index; a passenger tire's divided by 1.10.
fn tire_load(rig: &Rig, tires: &Tires) -> Input {
    let index = || {
        let index = Input::fact(rig, tires.load_index);
        corners([&index], |[index]| towing::load_index_mass(index.round() as u8))
    };
    let moulded = match (rig.states(tires.rating), rig.states(tires.load_index)) {
        (true, true) => corners([&Input::fact(rig, tires.rating), &index()], |[rating, index]| Some(rating.min(index))),
        (true, false) => Input::fact(rig, tires.rating),
        // Where neither is stated, either would do: ask for the load moulded on the sidewall.
        (false, false) if rig.known(tires.load_index).is_none() => Input::fact(rig, tires.rating),
        (false, _) => index(),
    };
    let passenger = corners([&moulded], |[load]| Some(towing::passenger_tire_on_trailer(load)));
    match rig.word(tires.made_for) {
        Some("passenger") => passenger.leaning([tires.made_for.id]),
        Some(_) => moulded.leaning([tires.made_for.id]),
        None => {
            let mut either = between(&passenger, &moulded);
            let swing =
                moulded.range.zip(passenger.range).map_or(0.0, |(moulded, passenger)| moulded.high - passenger.high);
            either.facts.push((tires.made_for.id, swing));
            either
        }
    }
}

/// Trailer tires that carry a load each, in words.
fn tire_choice(rig: &Rig, each: &Bounded) -> String {
    let Some(load) = each.range.map(|range| range.high) else {
        return "trailer tires whose loads add up to the axle ratings".to_owned();
    };
    match towing::load_index_for(load).and_then(|index| Some((index, towing::load_index_mass(index)?))) {
        Some((index, carried)) => format!("trailer tires of load index {index} ({} each) or more", mass(rig, carried)),
        None => format!("tires that carry {} each", mass(rig, load)),
    }
}

fn mass(rig: &Rig, value: f64) -> String {
    show(value, value, Measure::Mass, rig.system())
}

fn chains(rig: &Rig, trailer: &Trailer, sheet: &mut Sheet) {
    let subject = SubjectId(trailer.entry.0);
    let needed =
        corners([&Input::fact(rig, trailer.ratings.gross)], |[gross]| Some(towing::chain_strength(gross).each_full));
    let most = needed.range.map(|range| range.high);
    let choice = match (most, most.and_then(towing::chain_size_for)) {
        (Some(most), Some(size)) => {
            let (most, size) = (mass(rig, most), chain_name(size));
            format!("two chains that break at {most} or more each, hooks included: {size} grade 30 chain does")
        }
        (Some(most), None) => format!("two chains that break at {} or more each, hooks included", mass(rig, most)),
        (None, _) => "two chains that each break at the trailer's gross rating or more, hooks included".to_owned(),
    };
    sheet.enter(subject, row(CARDS, "trailer", "chain-needed"), needed);
    sheet.note(subject, row(CARDS, "trailer", "chain-choice"), choice);
}

/// The trade size of a chain, which is in inches everywhere.
fn chain_name(size: f64) -> &'static str {
    match (size / 0.0254 * 16.0).round() as u8 {
        4 => "1/4 in",
        5 => "5/16 in",
        6 => "3/8 in",
        7 => "7/16 in",
        8 => "1/2 in",
        _ => "5/8 in",
    }
}

fn cargo(rig: &Rig, trailer: &Trailer, sheet: &mut Sheet) {
    let subject = SubjectId(trailer.entry.0);
    let placard = if rig.states(trailer.ratings.cargo) {
        Input::fact(rig, trailer.ratings.cargo)
    } else {
        let (gross, empty) = (Input::fact(rig, trailer.ratings.gross), Input::fact(rig, trailer.empty.weight));
        corners([&gross, &empty], |[gross, empty]| Some(towing::placard_cargo(gross, empty).max(0.0)))
    };
    let aboard = known(sheet, subject, "fit-out");
    let over = corners([&placard, &aboard], |[placard, aboard]| Some(-towing::cargo_left(placard, aboard, 0.0)));
    sheet.enter(subject, row(CARDS, "trailer", "cargo-placard"), placard);
    sheet.enter(subject, row(CARDS, "trailer", "cargo-over"), over);
}

/// The coupler, and where the truck is known its ball and receiver.
fn hitch(rig: &Rig, trailer: &Trailer, sheet: &mut Sheet) {
    let towed = Input::fact(rig, trailer.ratings.gross);
    let coupler = rig.place(trailer.coupler.rating.id);
    let mut parts = vec![("coupler", coupler.clone(), Input::fact(rig, trailer.coupler.rating))];
    if let Some(vehicle) = &rig.spec.vehicle {
        parts.push(("hitch ball", rig.place(vehicle.ball_rating.id), Input::fact(rig, vehicle.ball_rating)));
        let (place, rated) = receiver(rig, vehicle);
        parts.push(("receiver", rig.place(place.id), rated));
        let pair = sheet.subject("ball-and-coupler", "ball and coupler".to_owned(), rig.place(trailer.coupler.ball.id));
        sheet.enter(pair, row(CARDS, "ball-and-coupler", "coupler-takes"), Input::fact(rig, trailer.coupler.ball));
        sheet.enter(pair, row(CARDS, "ball-and-coupler", "ball-is"), Input::fact(rig, vehicle.ball));
    }
    let class = class_needed(rig, &towed);
    for (name, place, rated) in parts {
        let part = sheet.subject("hitch-part", name.to_owned(), place);
        sheet.enter(part, row(CARDS, "hitch-part", "carries"), rated);
        sheet.enter(part, row(CARDS, "hitch-part", "towed"), towed.clone());
        sheet.note(part, row(CARDS, "hitch-part", "class-needed"), class.clone());
    }
}

/// What the receiver is rated for with the hitch that is used.
fn receiver(rig: &Rig, vehicle: &Vehicle) -> (Amount, Input) {
    let receiver = &vehicle.receiver;
    let (plain, distributing) = (Input::fact(rig, receiver.trailer), Input::fact(rig, receiver.distributing_trailer));
    match rig.flag(receiver.distributing) {
        Some(true) => (receiver.distributing_trailer, distributing.leaning([receiver.distributing.id])),
        Some(false) => (receiver.trailer, plain.leaning([receiver.distributing.id])),
        None if rig.states(receiver.distributing_trailer) => {
            let mut either = between(&plain, &distributing);
            let swing = either.range.map_or(0.0, Range::width);
            either.facts.push((receiver.distributing.id, swing));
            (receiver.trailer, either)
        }
        None => (receiver.trailer, plain),
    }
}

fn class_needed(rig: &Rig, towed: &Bounded) -> String {
    let class = towed.range.and_then(|range| towing::coupler_class(range.high));
    let Some(class) = class else { return "its maker rates for the trailer's gross rating".to_owned() };
    let number = towing::CouplerClass::ALL.iter().position(|other| *other == class).map_or(0, |at| at + 1);
    format!("of class {number} (up to {}) or more", mass(rig, class.limit()))
}

/// Truck and trailer together, by the greater of rating and weight of each.
fn combination(rig: &Rig, sheet: &mut Sheet) {
    let truck = rig.spec.vehicle.as_ref().map(|vehicle| {
        let rating = Input::fact(rig, vehicle.gross_rating);
        match &rig.spec.trailer {
            Some(_) => rating,
            None => greater(&rating, &known(sheet, SubjectId(vehicle.entry.0), "bed-gross-heaviest")),
        }
    });
    let trailer = rig.spec.trailer.as_ref().map(|trailer| {
        greater(&Input::fact(rig, trailer.ratings.gross), &known(sheet, SubjectId(trailer.entry.0), "gross-heaviest"))
    });
    let whole = match (truck, trailer) {
        (Some(truck), Some(trailer)) => {
            corners([&truck, &trailer], |[truck, trailer]| Some(towing::combination_rating(None, truck, trailer)))
        }
        (Some(truck), None) => truck,
        // A trailer with no truck on the sheet: what they weigh together is anybody's guess.
        (None, _) => Bounded::default(),
    };
    let used = rig.spec.papers.used;
    let (low, high, swing) = match rig.word(used) {
        Some("private") => (0.0, 0.0, 0.0),
        Some("business-interstate") => (1.0, 1.0, 0.0),
        Some(_) => (0.0, 1.0, 0.0),
        None => (0.0, 1.0, f64::INFINITY),
    };
    sheet.enter(SubjectId(0), row(CARDS, "rig", "combination-weight"), whole);
    let rules = Bounded { range: Range::new(low, high), facts: vec![(used.id, swing)] };
    sheet.enter(SubjectId(0), row(CARDS, "rig", "carrier-rules"), rules);
}

/// What a part holds, if that is bleach at full strength. A weaker mix takes a test to classify, not a sum.
fn bleach_in<'a>(rig: &Rig, part: &'a AnyPart) -> Option<&'a Contents> {
    let holds = match &part.kind {
        Kind::Tank(tank) => &tank.holds,
        Kind::Container(can) => &can.holds,
        _ => return None,
    };
    (rig.word(holds.fluid) == Some("hypochlorite")).then_some(holds)
}

fn bleach_aboard(rig: &Rig, sheet: &mut Sheet) {
    let mut aboard: Vec<Input> = Vec::new();
    let mut packaging: Vec<Input> = Vec::new();
    let mut first = None;
    for (name, part) in rig.parts() {
        let Some(holds) = bleach_in(rig, part) else { continue };
        let subject = SubjectId(part.entry.0);
        aboard.push(known(sheet, subject, "full-weight"));
        packaging.push(Input::fact(rig, part.common.weight));
        first.get_or_insert((holds, rig.entry(part.entry).place.clone()));
        let Kind::Tank(tank) = &part.kind else { continue };
        let hypochlorite = hypochlorite(rig, &holds.strength);
        let held = corners([&Input::fact(rig, tank.capacity), &hypochlorite], |[volume, each]| Some(volume * each));
        let reportable = corners([&hypochlorite], |[each]| transport::volume_at_reportable_quantity(each));
        let load = sheet.subject("bleach-tank", name.to_owned(), rig.entry(part.entry).place.clone());
        sheet.link(load, row(CARDS, "bleach-tank", "tank"), subject);
        sheet.enter(load, row(CARDS, "bleach-tank", "hypochlorite-held"), held);
        sheet.enter(load, row(CARDS, "bleach-tank", "reportable-at"), reportable);
    }
    let Some((holds, place)) = first else { return };
    let cargo = sheet.subject("bleach-cargo", "bleach aboard".to_owned(), place);
    let density = super::loads::density(rig, holds);
    let packaging = sum(packaging.into_iter());
    let room = corners([&packaging, &density], |[other, density]| {
        transport::volume_to_reach(transport::PLACARD_MASS.stricter(), other, density)
    });
    sheet.enter(cargo, row(CARDS, "bleach-cargo", "bleach-gross"), sum(aboard.into_iter()));
    sheet.enter(cargo, row(CARDS, "bleach-cargo", "placards-at"), room);
}

/// Sodium hypochlorite in a volume of bleach, kg/m³; every basis the label may mean where it does not say.
fn hypochlorite(rig: &Rig, strength: &Strength) -> Bounded {
    let number = Input::fact(rig, strength.value);
    let stated = basis_of(rig, strength);
    let bases = stated.map_or_else(|| bleach::StrengthBasis::ALL.to_vec(), |basis| vec![basis]);
    let each = bases.iter().map(|basis| {
        corners([&number], |[strength]| {
            let number = if *basis == bleach::StrengthBasis::GramsPerLitre { strength } else { strength * 100.0 };
            let chlorine = bleach::available_chlorine(*basis, number, bleach::USUAL_CAUSTIC)?;
            Some(bleach::hypochlorite_mass(chlorine, 1.0))
        })
    });
    let mut merged = each.reduce(|one, other| between(&one, &other)).unwrap_or_default();
    let swing = if stated.is_none() { merged.range.map_or(0.0, Range::width) } else { 0.0 };
    merged.facts.push((strength.basis.id, swing));
    merged
}
