//! What fits a washer and what does not: ratings, swivels, relief valves, surface cleaners, a second gun; and reels.

use super::pressure::{Bounds, capacity};
use super::way::Soft;
use super::{CARDS, INCH, WAY, Washing};
use crate::bounds::{Bounded, Input, corners, monotone};
use crate::figures::hydraulics::nozzle;
use crate::figures::reel::{self, Reel, Winding};
use crate::measure::Range;
use crate::rig::parts::Kind;
use crate::rig::{Amount, EntryId, Rig};
use crate::workings::{Sheet, SubjectId, row};

/// The lowest rating between pump and tip. A rating that is not stated and not bounded may be anything down to nought, so it
/// leaves only the upper end: the least of those that are.
pub(super) fn ratings(rig: &Rig, sheet: &mut Sheet, washing: &Washing<'_>) {
    let mut ratings: Vec<(String, EntryId, Amount)> =
        vec![("the pump".to_owned(), washing.part.entry, washing.washer.pressure)];
    for element in &washing.circuit.way.elements {
        if let Some(rated) = element.rated {
            let name = if element.is_hose() {
                super::hose_name(rig, element)
            } else {
                element.name.replace(", swivel", "'s swivel")
            };
            ratings.push((name, element.entry, rated));
        }
    }
    let high = |rated: Amount| rig.known(rated).map_or(f64::INFINITY, |range| range.high);
    let line: Vec<Amount> = ratings.iter().skip(1).map(|(.., rated)| *rated).collect();
    sheet.enter(washing.subject, row(CARDS, WAY, "line-rating"), least(rig, &line));
    let all: Vec<Amount> = ratings.iter().map(|(.., rated)| *rated).collect();
    // Of several that share the lowest rating the first after the pump is named: a stated one before one that is allowed for.
    let weakest = ratings.iter().rev().min_by(|(.., one), (.., other)| {
        (high(*one), !rig.states(*one))
            .partial_cmp(&(high(*other), !rig.states(*other)))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    sheet.enter(washing.subject, row(CARDS, WAY, "weakest-rating"), least(rig, &all));
    let (name, entry) =
        weakest.map_or(("nothing".to_owned(), washing.part.entry), |(name, entry, _)| (name.clone(), *entry));
    sheet.note(washing.subject, row(CARDS, WAY, "weakest-name"), name);
    sheet.link(washing.subject, row(CARDS, WAY, "weakest"), SubjectId(entry.0));
}

/// The least of several ratings, with those that can be it.
fn least(rig: &Rig, ratings: &[Amount]) -> Bounded {
    let ends =
        ratings.iter().map(|rated| rig.known(*rated).map_or((0.0, f64::INFINITY), |range| (range.low, range.high)));
    let (low, high) =
        ends.fold((f64::INFINITY, f64::INFINITY), |(low, high), (one, other)| (low.min(one), high.min(other)));
    let range = if high.is_finite() { Range::new(low.min(high), high) } else { None };
    let facts = ratings.iter().filter(|rated| rig.known(**rated).is_none_or(|range| range.low <= high));
    Bounded {
        range,
        facts: facts.map(|rated| (rated.id, rig.known(*rated).map_or(f64::INFINITY, Range::width))).collect(),
    }
}

/// Reels on the way whose swivel is narrower than their hose.
pub(super) fn swivels(sheet: &mut Sheet, washing: &Washing<'_>) {
    let way = &washing.circuit.way;
    for (at, element) in way.elements.iter().enumerate() {
        let Some((own, hose)) = element.swivel() else { continue };
        let subject = sheet.subject("reel-on-washer", element.name.replace(", swivel", ""), element.place.clone());
        let enter = |sheet: &mut Sheet, name: &str, value: Bounded| {
            sheet.enter(subject, row(CARDS, "reel-on-washer", name), value);
        };
        sheet.link(subject, row(CARDS, "reel-on-washer", "reel"), SubjectId(element.entry.0));
        enter(
            sheet,
            "bore-share",
            corners([&way.inputs[own], &way.inputs[hose]], |[own, hose]| (hose > 0.0).then(|| own / hose)),
        );
        enter(sheet, "loss-share", monotone(&way.inputs, |point| washing.circuit.share(point, &Soft::USUAL, at)));
        enter(
            sheet,
            "swivel-loss",
            monotone(&way.inputs, |point| {
                let mut full = point.to_vec();
                full[own] = full[own].max(full[hose]);
                let (narrow, wide) =
                    (washing.circuit.losses(point, &Soft::USUAL, at), washing.circuit.losses(&full, &Soft::USUAL, at));
                let liquid = crate::figures::hydraulics::water::water(Soft::USUAL.temperature);
                let loss = |losses: &super::pressure::Losses| {
                    crate::figures::hydraulics::pipe::loss(&losses.main, liquid, losses.pump_flow)
                };
                Some(loss(&narrow) - loss(&wide))
            }),
        );
    }
}

/// Relief valves on the ways of washers: in a line, or on a line that starts at something on the way.
pub(super) fn reliefs(rig: &Rig, sheet: &mut Sheet, ways: &[Washing<'_>]) {
    for washing in ways {
        let on_way = |entry: EntryId| {
            entry == washing.part.entry || washing.circuit.way.elements.iter().any(|element| element.entry == entry)
        };
        for (name, part) in rig.parts() {
            let Kind::Valve(valve) = &part.kind else { continue };
            let beside = || {
                rig.spec.plumbing.iter().any(|line| {
                    let part_of = |reference| rig.reference(reference).map(|(part, _)| part);
                    let enters = part_of(line.to) == Some(name)
                        || line.through.iter().any(|through| part_of(*through) == Some(name));
                    enters && part_of(line.from).and_then(|from| rig.part(from)).is_some_and(|from| on_way(from.entry))
                })
            };
            if rig.word(valve.style) == Some("relief") && (on_way(part.entry) || beside()) {
                let subject = sheet.subject("relief-on-washer", name.to_owned(), rig.entry(part.entry).place.clone());
                sheet.link(subject, row(CARDS, "relief-on-washer", "valve"), SubjectId(part.entry.0));
                sheet.link(subject, row(CARDS, "relief-on-washer", "way"), washing.subject);
            }
        }
    }
}

/// What a reel holds, and the flange that would hold its hose.
pub(super) fn reels(rig: &Rig, sheet: &mut Sheet) {
    for (_, part) in rig.parts() {
        let Kind::Reel(reel) = &part.kind else { continue };
        let subject = SubjectId(part.entry.0);
        let inputs = [reel.core, reel.flange, reel.drum_width, reel.hose.outside].map(|fact| Input::fact(rig, fact));
        sheet.enter(subject, row(CARDS, "reel", "holds"), holds(&inputs));
        let length = Input::fact(rig, reel.hose.length);
        sheet.enter(subject, row(CARDS, "reel", "flange-needed"), flange_needed(&inputs, &length));
    }
}

fn wound([drum, flange, width, hose]: [f64; 4]) -> Reel {
    Reel { drum, flange, width, hose: hose.max(1e-3), clearance: 0.5 * hose }
}

/// Exact where all sizes are stated. Between ends whole turns and layers drop out one at a time, so the ends are then those of
/// two forms that are steady: at most the wound volume over the hose's square, at least the same with a turn and a layer lost.
fn holds(inputs: &[Input; 4]) -> Bounded {
    let [drum, flange, width, hose] = inputs;
    let all = [drum, flange, width, hose];
    if all.iter().all(|input| input.is_exact()) {
        return corners(all, |sizes| Some(reel::capacity(&wound(sizes), Winding::Square).length));
    }
    let most = corners(all, |sizes| Some(reel::capacity_by_volume(&wound(sizes))));
    let least = corners(all, |[drum, flange, width, hose]| {
        let reel = wound([drum, flange, (width - hose).max(0.0), hose]);
        Some(reel::capacity_by_volume(&Reel { clearance: reel.clearance + reel.hose, ..reel }))
    });
    let range = least.range.zip(most.range).and_then(|(least, most)| Range::new(least.low.min(most.high), most.high));
    Bounded { range, facts: most.facts }
}

/// Widest flange that is tried, in.
const WIDEST_FLANGE: u32 = 60;

fn flange_needed(inputs: &[Input; 4], length: &Input) -> Bounded {
    let [drum, _, width, hose] = inputs;
    corners([drum, width, hose, length], |[drum, width, hose, length]| {
        // A wider flange never holds less.
        let enough = |inches: u32| {
            reel::capacity(&wound([drum, f64::from(inches) * INCH, width, hose]), Winding::Square).length
                >= 1.1 * length
        };
        let (mut low, mut high) = (0, WIDEST_FLANGE);
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if enough(middle) { high = middle } else { low = middle }
        }
        enough(high).then(|| f64::from(high) * INCH)
    })
}

/// Each surface cleaner against the washer whose size it comes nearest: that is the one it will be put on.
pub(super) fn cleaners(rig: &Rig, sheet: &mut Sheet, ways: &[Washing<'_>]) {
    for (name, part) in rig.parts() {
        let Kind::SurfaceCleaner(cleaner) = &part.kind else { continue };
        let size = corners([&capacity(rig, part)], |[capacity]| Some(nozzle::size_of_capacity(capacity)));
        let middle = size.range.map_or(0.0, Range::middle);
        let wanted = ways.iter().map(|washing| (washing, Bounds::usual(&washing.circuit).of(|state| state.exact)));
        let apart = |wanted: &Bounded| wanted.range.map_or(f64::INFINITY, |range| (range.middle() - middle).abs());
        let Some((washing, wanted)) = wanted.min_by(|(_, one), (_, other)| apart(one).total_cmp(&apart(other))) else {
            continue;
        };
        let subject = sheet.subject("cleaner-on-washer", name.to_owned(), rig.entry(part.entry).place.clone());
        sheet.link(subject, row(CARDS, "cleaner-on-washer", "cleaner"), SubjectId(part.entry.0));
        sheet.link(subject, row(CARDS, "cleaner-on-washer", "washer"), SubjectId(washing.part.entry.0));
        let count = Input::fact(rig, cleaner.nozzles);
        let ratio = corners([&size, &wanted], |[size, wanted]| (wanted > 0.0).then(|| size / wanted));
        let each = corners([&wanted, &count], |[wanted, count]| Some(wanted / count.max(1.0)));
        for (name, value) in [("size", size), ("size-wanted", wanted), ("size-ratio", ratio), ("size-each", each)] {
            sheet.enter(subject, row(CARDS, "cleaner-on-washer", name), value);
        }
    }
}

/// Washers that feed several guns at once: what one gun feels when the others are shut.
pub(super) fn shared_pumps(sheet: &mut Sheet, ways: &[Washing<'_>]) {
    let forked: Vec<&Washing<'_>> = ways.iter().filter(|washing| washing.forked).collect();
    for (at, washing) in forked.iter().enumerate() {
        let together: Vec<&&Washing<'_>> = forked
            .iter()
            .filter(|other| other.part.entry == washing.part.entry && other.mode == washing.mode)
            .collect();
        // Once a pump and mode, at its first end.
        if together.len() < 2
            || forked.iter().take(at).any(|other| other.part.entry == washing.part.entry && other.mode == washing.mode)
        {
            continue;
        }
        let subject = sheet.subject("guns-on-one-pump", washing.end.clone(), sheet.at(washing.subject).place.clone());
        let ends: Vec<&str> = together.iter().map(|other| other.end.as_str()).collect();
        sheet.note(subject, row(CARDS, "guns-on-one-pump", "ends"), ends.join(" and "));
        sheet.link(subject, row(CARDS, "guns-on-one-pump", "washer"), SubjectId(washing.part.entry.0));
        let mut jump: Option<Bounded> = None;
        for one in &together {
            let others: Vec<&super::Circuit> =
                together.iter().filter(|other| other.end != one.end).map(|other| &other.circuit).collect();
            let both = one.circuit.with_tips(&others);
            let pressure = |circuit: &super::Circuit| Bounds::usual(circuit).of(|state| Some(state.point.gun_pressure));
            let here = corners([&pressure(&one.circuit), &pressure(&both)], |[alone, both]| {
                (both > 0.0).then(|| alone / both - 1.0)
            });
            jump = Some(match jump {
                Some(known)
                    if known.range.map_or(f64::INFINITY, |range| range.high)
                        >= here.range.map_or(f64::INFINITY, |range| range.high) =>
                {
                    known
                }
                _ => here,
            });
        }
        sheet.enter(subject, row(CARDS, "guns-on-one-pump", "kick-jump"), jump.unwrap_or_default());
    }
}
