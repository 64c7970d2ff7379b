//! Jobs done with a delivery pump: does the jet reach the ridge, is the mix strong enough, does the tank last the day.

use super::{CARDS, DUTY, Delivering, HAND_HEIGHT, chlorine, contents, holds_bleach, trade};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::hydraulics::jet;
use crate::figures::hydraulics::tank::fill_time;
use crate::figures::mixing::{area_covered, mix_for_area};
use crate::measure::Range;
use crate::rig::parts::Kind;
use crate::rig::{Amount, Rig};
use crate::workings::circuit::Circuit;
use crate::workings::{Sheet, SubjectId, row};

pub(super) fn duties(rig: &Rig, sheet: &mut Sheet, circuits: &[Circuit], ways: &[Delivering<'_>]) {
    for duty in &rig.spec.duties {
        let with = rig.reference(duty.with).and_then(|(part, _)| rig.part(part));
        let Some(way) = with.and_then(|with| ways.iter().find(|way| way.part.entry == with.entry)) else { continue };
        let job = rig.text(duty.job).unwrap_or("the job").to_owned();
        let subject = sheet.subject(DUTY, job, rig.entry(duty.entry).place.clone());
        sheet.link(subject, row(CARDS, DUTY, "duty"), SubjectId(duty.entry.0));
        sheet.link(subject, row(CARDS, DUTY, "way"), way.subject);
        sheet.link(subject, row(CARDS, DUTY, "pump"), SubjectId(way.part.entry.0));
        let mut push = way.push.clone();
        push.way.pull(Input::fact(rig, duty.hose_run));
        let (ridge, off) = (Input::fact(rig, duty.ridge), Input::fact(rig, duty.throw));
        let sure = push.height(jet::SURE_SHARE);
        let needed =
            corners([&ridge, &off], |[ridge, off]| Some(jet::height_needed(off, (ridge - HAND_HEIGHT).max(0.0))));
        let bore = push.way.inputs[push.bore].clone();
        let wanted = corners([&needed, &bore], |[needed, bore]| {
            jet::tip_pressure_for(needed / jet::SURE_SHARE, push.liquid.density, bore.max(1e-4))
        });
        let reached = corners([&sure, &off], |[sure, off]| {
            (sure > 0.0).then(|| (HAND_HEIGHT + sure - off * off / (4.0 * sure)).max(0.0))
        });
        let (best_bore, best_throw) =
            push.best_tip().map_or_else(Default::default, |(bore, throw)| (Input::fixed(bore), Input::fixed(throw)));
        let flow = push.flow();
        let per_job = corners([&Input::fact(rig, duty.area), &Input::fact(rig, duty.coverage)], |[area, coverage]| {
            Some(mix_for_area(area, coverage))
        });
        let per_day = corners([&per_job, &Input::fact(rig, duty.per_day)], |[job, jobs]| Some(job * jobs));
        let time = corners([&per_job, &flow], |[mix, flow]| fill_time(mix, flow));
        let values = [
            ("job-flow", flow),
            ("job-pressure", push.bound(|settled, _| Some(settled.tip_pressure))),
            ("hose-there", hose_there(way)),
            ("throw-needed", needed),
            ("throw-distance", off),
            ("job-throw-best", push.height(1.0)),
            ("job-throw-sure", sure),
            ("ridge-reached", reached),
            ("pressure-wanted", wanted),
            ("best-bore", best_bore),
            ("best-throw", best_throw),
            ("mix-per-job", per_job.clone()),
            ("mix-per-day", per_day.clone()),
            ("spray-time", time),
        ];
        for (name, value) in values {
            sheet.enter(subject, row(CARDS, DUTY, name), value);
        }
        stock(rig, sheet, circuits, way, duty, subject, [per_job, per_day]);
    }
}

/// The strongest tank that the pump draws from, and what the job takes out of it.
fn stock(
    rig: &Rig,
    sheet: &mut Sheet,
    circuits: &[Circuit],
    way: &Delivering<'_>,
    duty: &crate::rig::job::Duty,
    subject: SubjectId,
    [per_job, per_day]: [Bounded; 2],
) {
    let own = circuits.iter().filter(|circuit| circuit.part == way.part.entry);
    let sources = own.flat_map(|circuit| &circuit.sources).filter(|source| holds_bleach(rig, source));
    let strengths = sources.filter_map(|source| Some((source, chlorine(rig, &contents(rig, source)?.strength))));
    let middle = |strength: &Input| strength.range.map_or(0.0, Range::middle);
    let strongest = strengths.max_by(|(_, one), (_, other)| middle(one).total_cmp(&middle(other)));
    let wanted = chlorine(rig, &duty.strength);
    let (name, there, capacity) = match &strongest {
        Some((source, strength)) => (
            source.as_str(),
            strength.clone(),
            capacity(rig, source).map(|amount| Input::fact(rig, amount)).unwrap_or_default(),
        ),
        None => ("none", without_bleach(rig, circuits, way), Bounded::default()),
    };
    let share = corners([&wanted, &there], |[wanted, there]| (there > 0.0).then(|| wanted / there));
    let take = |mix: &Bounded| corners([mix, &share], |[mix, share]| Some(mix * share));
    let job = take(&per_job);
    let coverage = Input::fact(rig, duty.coverage);
    let area = corners([&capacity, &share, &coverage], |[capacity, share, coverage]| {
        if share > 0.0 { area_covered(capacity / share, coverage) } else { None }
    });
    let jobs = corners([&capacity, &job], |[capacity, job]| (job > 0.0).then(|| capacity / job));
    let values = [
        ("strength-wanted", trade(&wanted)),
        ("strength-there", trade(&there)),
        ("stock-per-day", take(&per_day)),
        ("stock-there", capacity),
        ("jobs-per-fill", jobs),
        ("area-per-fill", area),
    ];
    for (name, value) in values {
        sheet.enter(subject, row(CARDS, DUTY, name), value);
    }
    sheet.note(subject, row(CARDS, DUTY, "stock-name"), name.to_owned());
    let entry = rig.part(name).map_or(way.part.entry, |part| part.entry);
    sheet.link(subject, row(CARDS, DUTY, "stock"), SubjectId(entry.0));
}

/// Nought where every source says what it holds; not known where one does not.
fn without_bleach(rig: &Rig, circuits: &[Circuit], way: &Delivering<'_>) -> Bounded {
    let own = circuits.iter().filter(|circuit| circuit.part == way.part.entry).flat_map(|circuit| &circuit.sources);
    let unsaid = own.filter_map(|source| contents(rig, source)).filter(|holds| rig.word(holds.fluid).is_none());
    let facts: Vec<_> = unsaid.map(|holds| (holds.fluid.id, f64::INFINITY)).collect();
    if facts.is_empty() { Input::fixed(0.0) } else { Bounded { range: None, facts } }
}

fn capacity(rig: &Rig, source: &str) -> Option<Amount> {
    match &rig.part(source)?.kind {
        Kind::Tank(tank) => Some(tank.capacity),
        Kind::Container(can) => Some(can.capacity),
        _ => None,
    }
}

/// Hose from the reel on; of the whole way where there is no reel.
fn hose_there(way: &Delivering<'_>) -> Bounded {
    let way = &way.push.way;
    let from = way.elements.iter().position(|element| element.kind == "reel").unwrap_or(0);
    let lengths =
        way.elements.iter().skip(from).filter_map(|element| element.length).map(|number| way.inputs[number].clone());
    lengths
        .reduce(|one, other| corners([&one, &other], |[one, other]| Some(one + other)))
        .unwrap_or_else(|| Input::fixed(0.0))
}
