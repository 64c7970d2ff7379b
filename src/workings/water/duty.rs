//! Jobs done with a washer: what arrives at the tip with the hose run out as far as the job asks.
//!
//! The water passes all of the hose on a reel, run out or not, so a shorter run saves nothing: what stays wound loses a little
//! more. How far a job is from the reel decides only whether the hose gets there.

use super::pressure::Bounds;
use super::{CARDS, Washing};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::hydraulics::nozzle;
use crate::rig::Rig;
use crate::workings::{Sheet, SubjectId, row};

pub(super) fn duties(rig: &Rig, sheet: &mut Sheet, ways: &[Washing<'_>]) {
    for duty in &rig.spec.duties {
        let with = rig.reference(duty.with).and_then(|(part, _)| rig.part(part));
        let Some(washing) = with.and_then(|with| ways.iter().find(|washing| washing.part.entry == with.entry)) else {
            continue;
        };
        let job = rig.text(duty.job).unwrap_or("the job").to_owned();
        let subject = sheet.subject("washing-duty", job, rig.entry(duty.entry).place.clone());
        sheet.link(subject, row(CARDS, "washing-duty", "duty"), SubjectId(duty.entry.0));
        sheet.link(subject, row(CARDS, "washing-duty", "washer"), SubjectId(washing.part.entry.0));
        sheet.link(subject, row(CARDS, "washing-duty", "way"), washing.subject);
        let mut circuit = washing.circuit.clone();
        circuit.way.pull(Input::fact(rig, duty.hose_run));
        let bounds = Bounds::usual(&circuit);
        let flow = Input::fact(rig, washing.washer.flow);
        let wanted = corners([&flow, &Input::fact(rig, duty.pressure_at_gun)], |[flow, pressure]| {
            nozzle::capacity_for(flow, 1.0, pressure).map(nozzle::size_of_capacity)
        });
        let values = [
            ("job-pressure", bounds.of(|state| Some(state.point.gun_pressure))),
            ("job-flow", bounds.of(|state| Some(state.point.flow))),
            ("hose-there", reach(washing)),
            ("job-tip-size", wanted),
        ];
        for (name, value) in values {
            sheet.enter(subject, row(CARDS, "washing-duty", name), value);
        }
    }
}

/// Hose from the reel on; of the whole way where there is no reel.
fn reach(washing: &Washing<'_>) -> Bounded {
    let way = &washing.circuit.way;
    let from = way.elements.iter().position(|element| element.kind == "reel").unwrap_or(0);
    let lengths =
        way.elements.iter().skip(from).filter_map(|element| element.length).map(|number| way.inputs[number].clone());
    lengths
        .reduce(|one, other| corners([&one, &other], |[one, other]| Some(one + other)))
        .unwrap_or_else(|| Input::fixed(0.0))
}
