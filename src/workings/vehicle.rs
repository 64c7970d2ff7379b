//! What the rig does to the vehicle: as a trailer behind it, or in its bed.

use super::loads::{Frame, Keep, Ledger, Load, LoadKind};
use super::weight::{GRAVITY, STATICS, State, axle_line, figure, gross, note, side_moment, state_name, states};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::weight;
use crate::measure::Measure;
use crate::rig::trailer::Trailer;
use crate::rig::vehicle::{Bed, Vehicle};
use crate::rig::{Carrier, Rig};

const fn link(of: &'static str, name: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Subject(name), help, method: "", source: STATICS }
}

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    figure(
        "vehicle",
        "bed-gross-heaviest",
        Measure::Mass,
        "Gross weight of the truck with the rig in its bed, tanks full",
        "sum of every weight",
    ),
    figure(
        "vehicle",
        "bed-front-lightest",
        Measure::Mass,
        "Front axle load in the fill state that loads it least",
        "sum of weight × (1 − distance behind the front axle ÷ wheelbase)",
    ),
    figure(
        "vehicle",
        "bed-rear-heaviest",
        Measure::Mass,
        "Rear axle load in the fill state that loads it most",
        "sum of weight × distance behind the front axle ÷ wheelbase",
    ),
    note("vehicle", "bed-rear-heaviest-state", "The fill state that loads the rear axle most"),
    figure(
        "vehicle",
        "bed-rear-moment-over",
        Measure::Torque,
        "Weight times distance that must move toward the cab to bring the rear axle within its rating; negative when there is room",
        "(rear axle load − rating) × wheelbase",
    ),
    figure(
        "vehicle",
        "bed-front-heaviest",
        Measure::Mass,
        "Front axle load in the fill state that loads it most",
        "sum of weight × (1 − distance behind the front axle ÷ wheelbase)",
    ),
    note("vehicle", "bed-front-heaviest-state", "The fill state that loads the front axle most"),
    figure(
        "vehicle",
        "bed-front-share",
        Measure::Ratio,
        "Front axle's share of the gross weight, in the fill state where it is least",
        "front axle load ÷ gross weight",
    ),
    note("vehicle", "bed-front-share-state", "The fill state with the least front share"),
    figure(
        "vehicle",
        "bed-load",
        Measure::Mass,
        "Weight of the rig and the people, tanks full",
        "sum of everything but the bare truck",
    ),
    figure(
        "vehicle",
        "bed-rear-full",
        Measure::Mass,
        "Rear axle load, tanks full",
        "sum of weight × distance behind the front axle ÷ wheelbase",
    ),
    link("loaded-truck", "vehicle", "The truck that carries the rig"),
    link("combination", "vehicle", "The vehicle in front"),
    link("combination", "trailer", "The trailer behind"),
    figure(
        "combination",
        "vehicle-gross",
        Measure::Mass,
        "Weight of the vehicle with people, gear and the heaviest tongue",
        "sum of weights + tongue load",
    ),
    figure(
        "combination",
        "total",
        Measure::Mass,
        "Weight of vehicle and trailer together, tanks full",
        "vehicle with people and gear + gross weight of the trailer",
    ),
    figure(
        "combination",
        "rear-gain",
        Measure::Mass,
        "What the heaviest tongue adds to the rear axle on a plain ball",
        "tongue load × (1 + overhang ÷ wheelbase)",
    ),
    figure(
        "combination",
        "front-loss",
        Measure::Mass,
        "What the heaviest tongue takes off the front axle on a plain ball",
        "tongue load × overhang ÷ wheelbase",
    ),
    figure(
        "combination",
        "rear-heaviest",
        Measure::Mass,
        "Rear axle load with people, gear and the heaviest tongue; with a weight-distributing hitch, from its bars fully set to slack",
        "empty axle + sum of weight × distance behind the front axle ÷ wheelbase + tongue load × (1 + overhang ÷ wheelbase)",
    ),
    figure(
        "combination",
        "hitch-moment",
        Measure::Torque,
        "Moment of a weight-distributing hitch that brings the rear axle within its rating; not known when that would push the front axle beyond what it carries without a trailer",
        "excess ÷ ((1 + overhang ÷ wheelbase) ÷ ball to trailer axle + 1 ÷ wheelbase)",
    ),
    figure(
        "combination",
        "front-restoring-moment",
        Measure::Torque,
        "Moment of a weight-distributing hitch that gives the front axle back all the tongue took",
        "tongue load × overhang ÷ (1 + overhang ÷ ball to trailer axle)",
    ),
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    match (rig.carrier(), &rig.spec.trailer, &rig.spec.vehicle) {
        (Carrier::Trailer, Some(trailer), Some(vehicle)) => towing(rig, trailer, vehicle, sheet),
        (Carrier::Bed, _, Some(vehicle)) => {
            let mut ledger = Ledger::of(rig);
            bare_truck(rig, vehicle, &mut ledger);
            bed_weights(rig, vehicle, &vehicle.bed, &ledger, sheet);
        }
        _ => {}
    }
}

/// People and gear: weight and distance behind the front axle, height. Gear that nobody mentions is no gear.
fn riders(rig: &Rig, vehicle: &Vehicle) -> [Option<[Input; 3]>; 2] {
    let (people, gear) = (&vehicle.people, &vehicle.gear);
    let people = [people.weight, people.from_front_axle, people.height].map(|fact| Input::fact(rig, fact));
    let gear_carried = rig.entry(gear.entry).written;
    [
        Some(people),
        gear_carried.then(|| [gear.weight, gear.from_front_axle, gear.height].map(|fact| Input::fact(rig, fact))),
    ]
}

fn bare_truck(rig: &Rig, vehicle: &Vehicle, ledger: &mut Ledger) {
    let up = Input::fact(rig, vehicle.balance_height);
    let axles =
        [Input::fact(rig, vehicle.front_axle.empty), Input::fact(rig, vehicle.rear_axle.empty), Input::fixed(0.0), up];
    ledger.loads.push(Load { kind: LoadKind::BareTruck, inputs: axles, liquid: false });
    for [mass, aft, up] in riders(rig, vehicle).into_iter().flatten() {
        ledger.loads.push(Load { kind: LoadKind::InTruck, inputs: [mass, aft, Input::fixed(0.0), up], liquid: false });
    }
}

fn towing(rig: &Rig, trailer: &Trailer, vehicle: &Vehicle, sheet: &mut Sheet) {
    let (behind, before) = (SubjectId(trailer.entry.0), SubjectId(vehicle.entry.0));
    let figure_of = |name| sheet.value(behind, name).map_or_else(Input::default, |figure| figure.value.clone());
    let (tongue, trailer_gross) = (figure_of("tongue-heaviest"), figure_of("gross-heaviest"));
    let [wheelbase, overhang] = [vehicle.wheelbase, vehicle.overhang].map(|fact| Input::fact(rig, fact));
    let axle = axle_line(rig, trailer);
    let change = corners([&tongue, &wheelbase, &overhang], |[tongue, wheelbase, overhang]| {
        weight::tow_axle_change(tongue, wheelbase, overhang).map(|axles| axles.rear)
    });
    let loss = corners([&tongue, &wheelbase, &overhang], |[tongue, wheelbase, overhang]| {
        weight::tow_axle_change(tongue, wheelbase, overhang).map(|axles| -axles.front)
    });
    let mut alone = Input::fact(rig, vehicle.rear_axle.empty);
    let mut weight_alone =
        corners([&alone, &Input::fact(rig, vehicle.front_axle.empty)], |[rear, front]| Some(rear + front));
    for [mass, aft, _] in riders(rig, vehicle).into_iter().flatten() {
        alone = corners([&alone, &mass, &aft, &wheelbase], |[rear, mass, aft, wheelbase]| {
            Some(rear + weight::bed_rear_share(mass, aft, wheelbase)?)
        });
        weight_alone = corners([&weight_alone, &mass], |[sum, mass]| Some(sum + mass));
    }
    let plain = corners([&alone, &tongue, &wheelbase, &overhang], |[alone, tongue, wheelbase, overhang]| {
        Some(alone + weight::tow_axle_change(tongue, wheelbase, overhang)?.rear)
    });
    let full_moment = corners([&tongue, &overhang, &axle], |[tongue, overhang, axle]| {
        weight::front_restoring_moment(tongue.max(0.0), overhang, axle, 1.0)
    });
    let distributed =
        corners([&alone, &tongue, &wheelbase, &overhang, &axle], |[alone, tongue, wheelbase, overhang, axle_aft]| {
            let moment = weight::front_restoring_moment(tongue.max(0.0), overhang, axle_aft, 1.0)?;
            let hitch = weight::DistributingHitch { tongue, wheelbase, overhang, axle_aft, moment };
            Some(alone + weight::distributed_loads(hitch)?.tow_rear)
        });
    let rear = match rig.flag(vehicle.receiver.distributing) {
        // How tight the bars are set is not in a spec.
        Some(true) => between(&plain, &distributed).leaning([vehicle.receiver.distributing.id]),
        _ => plain.clone(),
    };
    let rating = Input::fact(rig, vehicle.rear_axle.rating);
    let needed =
        corners([&plain, &rating, &wheelbase, &overhang, &axle], |[load, rating, wheelbase, overhang, axle]| {
            let relief = (1.0 + overhang / wheelbase) / axle + 1.0 / wheelbase;
            (wheelbase > 0.0 && axle > 0.0).then(|| (load - rating).max(0.0) / relief)
        });
    let enough = needed.range.zip(full_moment.range).is_some_and(|(needed, most)| needed.high <= most.low);
    let needed = Bounded { range: needed.range.filter(|_| enough), facts: needed.facts };
    let turning = |moment: &Bounded| corners([moment], |[moment]| Some(moment * GRAVITY));

    let subject =
        sheet.subject("combination", "vehicle and trailer".to_owned(), rig.entry(vehicle.entry).place.clone());
    sheet.link(subject, row(CARDS, "combination", "vehicle"), before);
    sheet.link(subject, row(CARDS, "combination", "trailer"), behind);
    let mut enter = |name: &str, value: Bounded| {
        sheet.enter(subject, row(CARDS, "combination", name), value);
    };
    enter("vehicle-gross", corners([&weight_alone, &tongue], |[alone, tongue]| Some(alone + tongue)));
    enter("total", corners([&weight_alone, &trailer_gross], |[alone, trailer]| Some(alone + trailer)));
    enter("rear-gain", change);
    enter("front-loss", loss);
    enter("rear-heaviest", rear);
    enter("hitch-moment", turning(&needed));
    enter("front-restoring-moment", turning(&full_moment));
}

/// Everything between two figures.
fn between(one: &Bounded, other: &Bounded) -> Bounded {
    let mut facts = one.facts.clone();
    facts.extend(&other.facts);
    Bounded { range: one.range.zip(other.range).map(|(one, other)| one.hull(other)), facts }
}

fn bed_weights(rig: &Rig, vehicle: &Vehicle, bed: &Bed, ledger: &Ledger, sheet: &mut Sheet) {
    let subject = SubjectId(vehicle.entry.0);
    let frame: Frame = [
        Input::fact(rig, vehicle.wheelbase),
        Input::fact(rig, bed.from_front_axle),
        Input::fact(rig, bed.inside.width),
        Input::fact(rig, vehicle.track),
    ];
    let aft_frame: Frame = [frame[0].clone(), frame[1].clone(), Input::fixed(0.0), Input::fixed(1.0)];
    let (aft, across) = (ledger.only(Keep::Aft), ledger.only(Keep::Sides));
    let (sum, sides) = (aft.sum(&aft_frame), across.sum(&frame));
    let full = vec![1.0; ledger.tanks.len()];
    let no_frame: Frame = [Input::fixed(1.0), Input::fixed(0.0), Input::fixed(0.0), Input::fixed(1.0)];
    let weights = ledger.only(Keep::Mass);
    let mass = weights.sum(&no_frame);
    let front =
        |frame: &[f64; 4], kind: LoadKind, point: &[f64; 4]| gross(frame, kind, point) - rear(frame, kind, point);
    let mut enter = |name: &str, value: Bounded| {
        sheet.enter(subject, row(CARDS, "vehicle", name), value);
    };
    let (rear_most, rear_fill) = sum.most(rear);
    let (front_most, front_fill) = sum.most(front);
    let (share, share_fill) = sum.least_ratio(front, gross);
    let rating = Input::fact(rig, vehicle.rear_axle.rating);
    enter("bed-gross-heaviest", mass.at(&full, gross));
    enter(
        "bed-rear-moment-over",
        corners([&rear_most, &rating, &frame[0]], |[load, rating, wheelbase]| {
            Some((load - rating) * wheelbase * GRAVITY)
        }),
    );
    enter("bed-rear-heaviest", rear_most);
    enter("bed-rear-full", sum.at(&full, rear));
    enter("bed-front-heaviest", front_most);
    enter("bed-front-lightest", sum.least(front).0);
    enter("bed-front-share", share);
    let carried: Vec<Load> = weights.loads.iter().filter(|load| load.kind != LoadKind::BareTruck).cloned().collect();
    let carried = Ledger { loads: carried, tanks: ledger.tanks.clone() };
    enter("bed-load", carried.sum(&no_frame).at(&full, gross));
    for (name, fill) in [
        ("bed-rear-heaviest-state", rear_fill),
        ("bed-front-heaviest-state", front_fill),
        ("bed-front-share-state", share_fill),
    ] {
        sheet.note(subject, row(CARDS, "vehicle", name), state_name(ledger, &fill));
    }
    let side = |sign: f64| {
        move |frame: &[f64; 4], kind: LoadKind, point: &[f64; 4]| {
            rear(frame, kind, point) / 2.0 + sign * side_moment(frame, kind, point) / frame[3]
        }
    };
    sheet.ticket = states(ledger)
        .into_iter()
        .map(|fills| State {
            name: state_name(ledger, &fills.iter().map(|fill| *fill > 0.5).collect::<Vec<_>>()),
            gross: mass.at(&fills, gross),
            axles: sum.at(&fills, rear),
            front: sum.at(&fills, front),
            share: sum.ratio_at(&fills, front, gross),
            curb: sides.at(&fills, side(1.0)),
            road: sides.at(&fills, side(-1.0)),
        })
        .collect();
    let loaded = sheet.subject(
        "loaded-truck",
        "the truck with the rig in its bed".to_owned(),
        rig.entry(vehicle.entry).place.clone(),
    );
    sheet.link(loaded, row(CARDS, "loaded-truck", "vehicle"), subject);
}

/// What a load puts on the rear axle; the frame's first inputs are the wheelbase and the front axle to the bed.
fn rear([wheelbase, datum, ..]: &[f64; 4], kind: LoadKind, [mass, at, ..]: &[f64; 4]) -> f64 {
    match kind {
        LoadKind::BareTruck => *at,
        LoadKind::InTruck => weight::bed_rear_share(*mass, *at, *wheelbase).unwrap_or_default(),
        _ => weight::bed_rear_share(*mass, datum + at, *wheelbase).unwrap_or_default(),
    }
}
