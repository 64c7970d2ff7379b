//! One engine: its carbon monoxide, its heat, and what stands near its exhaust.

use super::places::{Extent, nearest};
use super::{CARDS, Hold, Machine, fuel_holders, in_box};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::air::{
    Burner, CO_IDLH, CO_NIOSH_CEILING, CO_NIOSH_REL, Enclosure, OneOpening, PPM, air_to_hold, co_curve, co_mass_rate,
    co_steady, co_volume_rate, cooling_air, cross_wind_air, fuel_power, grille_area, lost_heat, one_opening_warm_air,
    one_opening_wind_air, time_to_co,
};
use crate::measure::{Range, number};
use crate::rig::parts::Kind;
use crate::rig::system::Mode;
use crate::rig::takeoff::Named;
use crate::rig::{Amount, Rig};
use crate::workings::{Curve, Sheet, SubjectId, row};

/// CO of a gasoline engine and of a diesel, kg/J: 70 to 610 and 1 to 20 g/kWh.
const GASOLINE_CO: Range = Range { low: 0.070 / 3.6e6, high: 0.610 / 3.6e6 };
const DIESEL_CO: Range = Range { low: 0.001 / 3.6e6, high: 0.020 / 3.6e6 };
/// Efficiency of a washer's pump and drive (common practice, no source).
const PUMP_EFFICIENCY: f64 = 0.85;
/// Share of the exhaust that an old joint lets out (common practice, no source).
const LEAK: f64 = 0.02;
/// Wind on a usual day, m/s, and how much warmer the box is than the air outside, K (common practice, no source).
const WIND: f64 = 2.0;
const WARMER: f64 = 10.0;
/// How much warmer than outside an engine's room may get, K (common practice, no source).
const HOT_ROOM: f64 = 20.0;
/// Air inside, K, for the buoyancy of warm air.
const AIR_INSIDE: f64 = 300.0;
/// Effectiveness of wind straight on two openings, at best (ASHRAE Fundamentals).
const STRAIGHT_ON: f64 = 0.6;
/// Discharge coefficient of an opening.
const DISCHARGE: f64 = 0.6;
/// Air speed through a grille, m/s (common practice, no source).
const GRILLE_SPEED: f64 = 2.5;
/// Share of the fuel's heat that stays when the exhaust is piped out (common practice, no source).
const HEAT_THAT_STAYS: f64 = 0.35;
/// Fuel for each joule of shaft work, kg/J, and heat in a kg of it, J/kg.
const FUEL_PER_WORK: f64 = 0.40 / 3.6e6;
const HEATING_VALUE: f64 = 43.4e6;
/// Area, m2, and height, m, of a door that is not listed (common practice, no source).
const DOOR_AREA: Range = Range { low: 0.8, high: 4.5 };
const DOOR_HEIGHT: Range = Range { low: 1.4, high: 2.1 };
/// Points of a curve.
const POINTS: usize = 25;

/// Enters the figures of one engine.
pub(super) fn enter(rig: &Rig, sheet: &mut Sheet, machine: &Machine<'_>, hold: &Hold) {
    let place = rig.entry(machine.part.entry).place.clone();
    let subject = sheet.subject("running-engine", machine.name.to_owned(), place);
    sheet.link(subject, row(CARDS, "running-engine", "machine"), SubjectId(machine.part.entry.0));
    let modes: Vec<&Named<Mode>> = rig.spec.modes.iter().filter(|mode| runs(rig, &mode.item, machine.name)).collect();
    let shaft = shaft_power(rig, machine);
    let emitted = if rig.word(machine.engine.fuel) == Some("diesel") { DIESEL_CO } else { GASOLINE_CO };
    let emitted = Input { range: Some(emitted), facts: Vec::new() };
    let rate = corners([&shaft, &emitted], |[shaft, emitted]| Some(co_mass_rate(shaft, emitted)));
    let gas = corners([&rate], |[rate]| Some(co_volume_rate(rate)));
    let closed = |level: f64, share: f64| {
        corners([&hold.volume, &gas], |[volume, gas]| {
            time_to_co(&Enclosure { volume, air: 0.0, source: gas * share, start: 0.0 }, level)
        })
    };
    let openings = Openings::of(rig);
    let air = openings.best_air();
    let level = corners([&gas, &air], |[source, air]| {
        co_steady(&Enclosure { volume: 1.0, air: air.max(1e-6), source, start: 0.0 })
    });
    let words = level.range.map_or_else(
        || "a level that can't be worked out".to_owned(),
        |range| {
            let [low, high] = [range.low, range.high].map(|end| number((end / PPM).round()));
            if low == high { format!("{low} ppm") } else { format!("{low} to {high} ppm") }
        },
    );
    let mut enter = |name: &str, value: Bounded| {
        sheet.enter(subject, row(CARDS, "running-engine", name), value);
    };
    let here = in_box(rig, &machine.part.common);
    let count = |yes: bool| Input::fixed(f64::from(u8::from(yes)));
    enter("burns-fuel", machine.burns.clone());
    enter("in-box", here.clone());
    enter("modes-run", Input::fixed(modes.len() as f64));
    enter("person-inside", count(modes.iter().any(|mode| rig.flag(mode.item.person_inside) == Some(true))));
    enter("closed-200", closed(CO_NIOSH_CEILING, 1.0));
    enter("closed-1200", closed(CO_IDLH, 1.0));
    enter("leak-200", closed(CO_NIOSH_CEILING, LEAK));
    enter("open-level", level);
    enter("open-air", air);
    enter("air-for-35", corners([&gas], |[gas]| air_to_hold(gas, CO_NIOSH_REL)));
    enter("co-rate", rate);

    let piped = piped_out(rig, machine);
    let heat = corners([&shaft, &piped], |[shaft_power, piped]| {
        let burner = Burner { shaft_power, fuel_per_work: FUEL_PER_WORK, heating_value: HEATING_VALUE };
        Some(if piped > 0.5 { HEAT_THAT_STAYS * fuel_power(&burner) } else { lost_heat(&burner) })
    });
    let needed = corners([&heat], |[heat]| cooling_air(heat, HOT_ROOM));
    enter("grille-needed", corners([&needed], |[air]| grille_area(air, GRILLE_SPEED)));
    enter("cooling-needed", needed);
    enter("heat-in-box", heat);
    enter("shaft-power", shaft);
    let shut = modes.iter().any(|mode| rig.word(mode.item.doors) == Some("closed"));
    enter("cooling-has", openings.cooling_air(shut));

    let gaps = Gaps::of(rig, machine, hold);
    enter("outlet-gap", gaps.outlet.1);
    enter("muffler-gap", gaps.muffler.1);
    enter("fuel-gap", gaps.fuel.1);
    let names: Vec<&str> = modes.iter().map(|mode| &*mode.name).collect();
    for (name, text) in [
        ("modes-words", if names.is_empty() { "no mode".to_owned() } else { names.join(" and ") }),
        ("open-words", words),
        ("outlet-near", gaps.outlet.0),
        ("muffler-near", gaps.muffler.0),
        ("fuel-near", gaps.fuel.0),
    ] {
        sheet.note(subject, row(CARDS, "running-engine", name), text);
    }
    if here.range.is_some_and(|range| range.low >= 1.0)
        && let (Some(volume), Some(source)) = (hold.volume.range, gas.range)
    {
        curves(
            sheet,
            subject,
            machine.name,
            volume.middle(),
            source.middle(),
            openings.best_air().range.map_or(0.0, Range::middle),
        );
    }
}

/// CO against time with the exhaust inside, box shut and box open, to twice the time in which the shut box reaches 1,200 ppm.
fn curves(sheet: &mut Sheet, subject: SubjectId, name: &str, volume: f64, source: f64, air: f64) {
    let shut = Enclosure { volume, air: 0.0, source, start: 0.0 };
    let Some(until) = time_to_co(&shut, CO_IDLH).map(|time| 2.0 * time) else { return };
    for (which, air) in [("shut", 0.0), ("open", air)] {
        let points = co_curve(&Enclosure { air, ..shut }, until, POINTS);
        sheet.curves.push(Curve {
            id: format!("air.carbon-monoxide-{which}:{name}"),
            subject,
            x: "s",
            y: "ppm, exhaust inside",
            points: points.into_iter().map(|(time, level)| (time, level / PPM)).collect(),
        });
    }
}

/// Whether a mode runs a part.
pub(in crate::workings) fn runs(rig: &Rig, mode: &Mode, name: &str) -> bool {
    mode.running.iter().any(|it| rig.reference(*it).is_some_and(|(part, _)| part == name))
}

/// 1 where the exhaust is piped out, 0 where it is not, between where nobody says.
fn piped_out(rig: &Rig, machine: &Machine<'_>) -> Input {
    let exhaust = machine.exhaust;
    let facts = [exhaust.leaves.id, exhaust.piped.id];
    match (rig.word(exhaust.leaves), rig.flag(exhaust.piped)) {
        (Some("inside"), _) | (_, Some(false)) => Input::fixed(0.0).leaning(facts),
        (Some(_), Some(true)) => Input::fixed(1.0).leaning(facts),
        _ => {
            let open = facts.into_iter().filter(|fact| rig.fact(*fact).basis != crate::rig::Basis::Stated);
            Input { range: Range::new(0.0, 1.0), facts: open.map(|fact| (fact, 1.0)).collect() }
        }
    }
}

fn shaft_power(rig: &Rig, machine: &Machine<'_>) -> Bounded {
    let fact = |amount| Input::fact(rig, amount);
    match &machine.part.kind {
        Kind::Washer(washer) if rig.known(washer.flow).is_some() && rig.known(washer.pressure).is_some() => {
            corners([&fact(washer.flow), &fact(washer.pressure)], |[flow, pressure]| {
                Some(flow * pressure / PUMP_EFFICIENCY)
            })
        }
        Kind::Generator(generator) if rig.known(generator.output).is_some() => {
            corners([&fact(generator.output)], |[output]| Some(output / PUMP_EFFICIENCY))
        }
        _ => {
            let share = Input { range: Range::new(0.5, 1.0), facts: Vec::new() };
            corners([&fact(machine.engine.power), &share], |[power, share]| Some(power * share))
        }
    }
}

/// Doors, vents and fans, as air sees them.
struct Openings {
    /// Area and height of the largest door.
    door: (Input, Input),
    /// Area of the next opening in another wall.
    second: Input,
    fans: Input,
}

impl Openings {
    fn of(rig: &Rig) -> Self {
        let fact = |amount: Amount| Input::fact(rig, amount);
        let mut holes: Vec<(Option<&'static str>, Input, Input)> = Vec::new();
        let mut vented = Input::fixed(0.0);
        if let Some(trailer) = &rig.spec.trailer {
            for door in &trailer.doors {
                let area =
                    corners([&fact(door.item.width), &fact(door.item.height)], |[width, height]| Some(width * height));
                holes.push((rig.word(door.item.wall), area, fact(door.item.height)));
            }
            for vent in &trailer.vents {
                let opening = vent.item.opening;
                let area =
                    corners([&fact(opening.width), &fact(opening.height)], |[width, height]| Some(width * height));
                holes.push((rig.word(vent.item.wall), area, fact(opening.height)));
                if rig.states(vent.item.fan) {
                    let fan = fact(vent.item.fan);
                    vented = corners([&vented, &fan], |[sum, fan]| Some(sum + fan));
                }
            }
        }
        let mut blown = Input::fixed(0.0);
        for (_, part) in rig.parts() {
            if let Kind::Fan(fan) = &part.kind {
                let air = fact(fan.air);
                blown = corners([&blown, &air], |[sum, air]| Some(sum + air));
            }
        }
        // A fan that is listed as a part and at its vent is one fan: the larger sum counts.
        let fans = corners([&vented, &blown], |[one, other]| Some(one.max(other)));
        let size = |hole: &(Option<&'static str>, Input, Input)| hole.1.range.map_or(0.0, |range| range.high);
        let largest = holes.iter().max_by(|a, b| size(a).total_cmp(&size(b)));
        let other = |wall: Option<&'static str>| {
            holes
                .iter()
                .filter(|hole| hole.0 != wall)
                .max_by(|a, b| size(a).total_cmp(&size(b)))
                .map(|hole| hole.1.clone())
        };
        let second = largest.and_then(|hole| other(hole.0)).unwrap_or_else(|| Input::fixed(0.0));
        // A box has a door, listed or not.
        let unlisted = (
            Input { range: Some(DOOR_AREA), facts: Vec::new() },
            Input { range: Some(DOOR_HEIGHT), facts: Vec::new() },
        );
        let door = largest.map_or(unlisted, |hole| (hole.1.clone(), hole.2.clone()));
        Self { door, second, fans }
    }

    /// Air through everything open, at best: a breeze straight on and the box warmer than outside. Rises with each input.
    fn best_air(&self) -> Bounded {
        let (area, height) = &self.door;
        corners([area, height, &self.second, &self.fans], |[area, height, second, fans]| {
            let warm = one_opening_warm_air(&opening(area, height, WARMER));
            let one = warm.max(one_opening_wind_air(area, WIND));
            let cross = cross_wind_air(STRAIGHT_ON, second.min(area), WIND);
            Some(one.max(cross) + fans)
        })
    }

    /// Air that cools with the room as hot as it may get; without the doors where a mode runs it with them shut.
    fn cooling_air(&self, shut: bool) -> Bounded {
        if shut {
            return self.fans.clone();
        }
        let (area, height) = &self.door;
        corners([area, height, &self.fans], |[area, height, fans]| {
            Some(one_opening_warm_air(&opening(area, height, HOT_ROOM)) + fans)
        })
    }
}

fn opening(area: f64, height: f64, difference: f64) -> OneOpening {
    OneOpening { discharge: DISCHARGE, area, height, difference, temperature: AIR_INSIDE }
}

/// What is nearest to the exhaust, in words and by how much.
struct Gaps {
    outlet: (String, Bounded),
    muffler: (String, Bounded),
    fuel: (String, Bounded),
}

impl Gaps {
    fn of(rig: &Rig, machine: &Machine<'_>, hold: &Hold) -> Self {
        let far = || ("nothing".to_owned(), Input::fixed(FAR));
        let unknown = |missing: Vec<crate::rig::FactId>| {
            (
                "what is near".to_owned(),
                Bounded { range: None, facts: missing.into_iter().map(|fact| (fact, f64::INFINITY)).collect() },
            )
        };
        let named = |found: Option<(&str, Bounded)>| found.map_or_else(far, |(name, gap)| (name.to_owned(), gap));
        let outlet = match (Extent::of_spot(rig, &machine.exhaust.outlet), &rig.spec.trailer) {
            (Ok(outlet), Some(trailer)) => {
                let doors = trailer
                    .doors
                    .iter()
                    .filter_map(|door| Some((&*door.name, Extent::of_door(rig, &door.item, hold)?)));
                let vents = trailer
                    .vents
                    .iter()
                    .filter_map(|vent| Some((&*vent.name, Extent::of_vent(rig, &vent.item, hold)?)));
                named(nearest(&outlet, doors.chain(vents)))
            }
            (Ok(_), None) => far(),
            (Err(missing), _) => unknown(missing),
        };
        let (muffler, fuel) = match Extent::of_spot(rig, &machine.exhaust.muffler) {
            Ok(muffler) => {
                let other = |part: &crate::rig::parts::AnyPart| part.entry != machine.part.entry;
                let burns = rig.parts().filter(|(_, part)| other(part) && can_burn(&part.kind));
                let fuels = fuel_holders(rig).filter(|(_, part)| other(part));
                let placed = |(name, part): (_, &crate::rig::parts::AnyPart)| {
                    Some((name, Extent::of_part(rig, &part.common).ok()?))
                };
                (named(nearest(&muffler, burns.filter_map(placed))), named(nearest(&muffler, fuels.filter_map(placed))))
            }
            Err(missing) => (unknown(missing.clone()), unknown(missing)),
        };
        Self { outlet, muffler, fuel }
    }
}

/// Stands for the distance to nothing at all, m.
const FAR: f64 = 100.0;

/// Plastic, rubber or wire: what a hot muffler chars.
fn can_burn(kind: &Kind) -> bool {
    matches!(
        kind,
        Kind::Tank(_)
            | Kind::Container(_)
            | Kind::Reel(_)
            | Kind::Hose(_)
            | Kind::Battery(_)
            | Kind::FuseBlock(_)
            | Kind::Charger(_)
    )
}
