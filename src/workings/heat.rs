//! Heat in the bypass with the trigger let go, and frost.

use super::circuit::{self, Plumbing};
use super::low;
use super::{Card, Gives, Property, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::heat::{
    AIR_FILM, Cooling, FIRST_ICE, IDLE_POWER, RUBBER, Warming, dump_flow, greatest_bypass_share, heating_power,
    hose_capacity, hose_loss, inlet_rise, mass_to_absorb, rise_per_pass, tank_loss, time_to_ice, time_to_warm,
    time_to_zero,
};
use crate::figures::hydraulics::pump::EFFICIENCY;
use crate::figures::hydraulics::water;
use crate::measure::{Measure, Range};
use crate::rig::parts::{AnyPart, Kind, Washer};
use crate::rig::{EntryId, Rig};

const BALANCE: &str = "heat balance of one mass of water";
const PRACTICE: &str = "common practice, no source";

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

const fn note(of: &'static str, name: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Note, help, method: "", source: "" }
}

const fn link(of: &'static str, name: &'static str, kind: &'static str, help: &'static str) -> Card {
    Card { of, name, gives: Gives::Subject(kind), help, method: "", source: "" }
}

/// A washer whose bypass goes back to a tank that is known.
const RETURN: &str = "bypass-tank";
/// A valve that opens at a pressure and lets out into a pump's inlet.
const RELIEF: &str = "relief-to-inlet";

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    figure(
        "washer",
        "supply-temperature",
        Measure::Temperature,
        "Temperature of the water it draws: of its tank where stated, else as warm as tap water gets",
        "as stated, or 5 to 30 °C",
        PRACTICE,
    ),
    figure(
        "washer",
        "loop-time",
        Measure::Duration,
        "Shortest time until a bypass looped to the inlet is at the pump's limit: 1.5 kW, no heat lost",
        "volume × density × specific heat × rise ÷ power",
        BALANCE,
    ),
    figure(
        "washer",
        "loop-time-longest",
        Measure::Duration,
        "The same at 0.3 kW",
        "volume × density × specific heat × rise ÷ power",
        BALANCE,
    ),
    figure(
        "washer",
        "dump-flow",
        Measure::Flow,
        "Flow that a thermal relief valve has to let out to hold the limit at 0.75 kW",
        "power ÷ (density × specific heat × rise)",
        BALANCE,
    ),
    figure(
        "washer",
        "bypass-allowed",
        Measure::Ratio,
        "Most of the flow that may go round to the inlet, trigger pulled, before the inlet is at the pump's limit",
        "d ÷ (rise of a pass + d)",
        BALANCE,
    ),
    figure(
        "washer",
        "inlet-temperature",
        Measure::Temperature,
        "Temperature at the inlet, trigger pulled, with what its unloader sends round to the inlet",
        "supply + b ÷ (1 − b) × rise of a pass",
        BALANCE,
    ),
    figure(
        "washer",
        "bypass-most",
        Measure::Ratio,
        "Share of the flow that the unloader sends round, most over its tips",
        "as the bypass share of the pressure side",
        "pressure side",
    ),
    link(RETURN, "washer", "washer", "The washer"),
    link(RETURN, "tank", "tank", "The tank"),
    figure(
        RETURN,
        "tank-time",
        Measure::Duration,
        "Time until the full tank is at the pump's limit, trigger let go: 1.5 kW, still air as warm as the hottest day, not over a week",
        "heat balance with loss to the air",
        BALANCE,
    ),
    figure(
        RETURN,
        "tank-wanted",
        Measure::Volume,
        "Tank that takes 1.5 kW for two hours",
        "power × time ÷ (density × specific heat × rise)",
        BALANCE,
    ),
    link(RELIEF, "valve", "valve", "The relief valve"),
    link(RELIEF, "washer", "washer", "The washer"),
    figure(
        RELIEF,
        "relief-time",
        Measure::Duration,
        "Time until the loop is at the pump's limit when the relief valve holds the whole flow",
        "volume × density × specific heat × rise ÷ (flow × pressure)",
        BALANCE,
    ),
    figure(
        "climate",
        "water-left",
        Measure::Volume,
        "Water and mix left in tanks where the rig is stored; half of the tanks may be where no such mode is stated",
        "level × capacity, in modes without running pumps, doors closed, not moving",
        "the spec's modes",
    ),
    figure(
        "climate",
        "hose-ice",
        Measure::Duration,
        "Time until ice blocks the thinnest hose, from 10 °C in the wind of the coldest night",
        "cooling to 0 °C and a tenth of the water frozen",
        BALANCE,
    ),
    figure(
        "climate",
        "pump-ice",
        Measure::Duration,
        "Time until ice is in a pump head of 0.4 L and 8 kg of brass, from 15 °C in that wind",
        "cooling to 0 °C and a tenth of the water frozen",
        BALANCE,
    ),
    figure(
        "climate",
        "box-heat",
        Measure::Power,
        "Heat that keeps a bare pump at 2 °C in that wind",
        "loss per degree × degrees",
        BALANCE,
    ),
    figure(
        "climate",
        "freezes",
        Measure::Count,
        "Pumps and tanks that hold what freezes: water, mix, soap",
        "count",
        "the spec",
    ),
    note("climate", "wet-tanks", "The tanks left wet where the rig is stored"),
];

/// Nought on the Celsius scale, K.
const CELSIUS: f64 = 273.15;
/// Longest time that is told apart from for ever, s.
const WEEK: f64 = 7.0 * 86_400.0;
/// Two hours of letting go of the trigger now and then, s.
const TWO_HOURS: f64 = 7200.0;
/// Density times specific heat of rubber hose, J/(m3 K); handbook values, from memory.
const RUBBER_HEAT: f64 = 1200.0 * 1700.0;
/// A pump head: water kg, heat of water and brass J/K, skin m2. Common practice, no source.
const HEAD: (f64, f64, f64) = (0.4, 0.4 * 4210.0 + 8.0 * 380.0, 0.12);

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let plumbing = Plumbing::of(rig);
    let circuits = plumbing.circuits();
    for (name, part) in rig.parts() {
        let Kind::Washer(washer) = &part.kind else { continue };
        bypass(rig, sheet, &circuits, part, washer);
        returns(rig, sheet, &circuits, name, part, washer);
        reliefs(rig, sheet, &circuits, name, part, washer);
    }
    frost(rig, sheet);
}

/// Temperature of what a washer draws, K.
fn supply(rig: &Rig, circuits: &[circuit::Circuit], part: EntryId) -> Input {
    let sources = circuits.iter().filter(|circuit| circuit.part == part).flat_map(|circuit| &circuit.sources);
    let stated = sources.filter_map(|source| low::contents(rig, source)).find(|holds| rig.states(holds.temperature));
    let [low, _, high] = water::SUPPLY_TEMPERATURE;
    stated.map_or(Input { range: Range::new(CELSIUS + low, CELSIUS + high), facts: Vec::new() }, |holds| {
        Input::fact(rig, holds.temperature)
    })
}

/// The hottest that the supply may be.
fn at_most(input: &Input) -> Input {
    Input { range: input.range.and_then(|range| Range::point(range.high)), facts: input.facts.clone() }
}

/// Limit of a pump's inlet, K: as stated; seals where it is not.
fn limit(rig: &Rig, washer: &Washer) -> Input {
    Input::fact(rig, washer.hottest_inlet)
}

fn heat_of(volume: f64) -> f64 {
    volume * water::density(40.0) * water::specific_heat(40.0)
}

fn bypass(rig: &Rig, sheet: &mut Sheet, circuits: &[circuit::Circuit], part: &AnyPart, washer: &Washer) {
    let subject = SubjectId(part.entry.0);
    let supply = supply(rig, circuits, part.entry);
    let warm = at_most(&supply);
    let limit = limit(rig, washer);
    let volume = Input::fact(rig, washer.loop_volume);
    let time = |power: f64| {
        corners([&volume, &warm, &limit], move |[volume, warm, limit]| {
            time_to_warm(
                &Warming { capacity: heat_of(volume.max(1e-6)), power, loss: 0.0, start: warm, air: warm },
                limit,
            )
        })
    };
    let dump = corners([&limit, &warm], |[limit, warm]| {
        dump_flow(IDLE_POWER[1], water::density(40.0), water::specific_heat(40.0), limit - warm)
    });
    let opens = Input::fact(rig, washer.unloader.opens);
    let pass = |pressure: f64| {
        rise_per_pass(pressure.max(0.0), water::density(40.0), water::specific_heat(40.0), EFFICIENCY[1])
    };
    let allowed =
        corners([&opens, &limit, &warm], |[opens, limit, warm]| Some(greatest_bypass_share(limit - warm, pass(opens))));
    let most = bypass_most(sheet, part.entry);
    let looped = rig.word(washer.unloader.bypass) == Some("pump-inlet");
    let inlet = if looped {
        corners([&warm, &opens, &most], |[warm, opens, share]| {
            inlet_rise(share.min(0.999), pass(opens)).map(|rise| warm + rise)
        })
    } else {
        warm.clone()
    };
    let values = [
        ("loop-time", time(IDLE_POWER[2])),
        ("loop-time-longest", time(IDLE_POWER[0])),
        ("dump-flow", dump),
        ("bypass-allowed", allowed),
        ("inlet-temperature", inlet),
        ("bypass-most", most),
        ("supply-temperature", supply),
    ];
    for (name, value) in values {
        sheet.enter(subject, row(CARDS, "washer", name), value);
    }
}

/// The largest share that a washer's unloader sends round, of all its ways; nought where no way can be followed.
fn bypass_most(sheet: &Sheet, washer: EntryId) -> Bounded {
    let mut most: Option<Bounded> = None;
    for at in 0..sheet.subjects.len() {
        let subject = SubjectId(at as u32);
        let own = matches!(sheet.property(subject, "washer"), Some(Property::Subject(of)) if of.0 == washer.0);
        if !own || sheet.at(subject).kind != "pressure-circuit" {
            continue;
        }
        let Some(share) = sheet.value(subject, "bypass-share").map(|figure| figure.value.clone()) else { continue };
        most = Some(match most {
            Some(known) => corners([&known, &share], |[known, share]| Some(known.max(share))),
            None => share,
        });
    }
    most.unwrap_or_else(|| Input::fixed(0.0))
}

/// The tank that the bypass goes back to: the one its line names, or the one that the washer draws from.
fn returns(rig: &Rig, sheet: &mut Sheet, circuits: &[circuit::Circuit], name: &str, part: &AnyPart, washer: &Washer) {
    if rig.word(washer.unloader.bypass) != Some("tank") {
        return;
    }
    let from_bypass = |from: Option<(&str, Option<&str>)>| from == Some((name, Some("bypass")));
    let line = rig.spec.plumbing.iter().find(|line| from_bypass(rig.reference(line.from)));
    let named = line.and_then(|line| rig.reference(line.to)).map(|(part, _)| part);
    let drawn = circuits
        .iter()
        .find(|circuit| circuit.part == part.entry)
        .and_then(|circuit| circuit.sources.first())
        .map(String::as_str);
    let Some(tank_part) = named.or(drawn).and_then(|tank| rig.part(tank)) else { return };
    let Kind::Tank(tank) = &tank_part.kind else { return };
    let subject = sheet.subject(RETURN, name.to_owned(), rig.entry(tank_part.entry).place.clone());
    sheet.link(subject, row(CARDS, RETURN, "washer"), SubjectId(part.entry.0));
    sheet.link(subject, row(CARDS, RETURN, "tank"), SubjectId(tank_part.entry.0));
    let (capacity, limit) = (Input::fact(rig, tank.capacity), limit(rig, washer));
    let start = at_most(&supply(rig, circuits, part.entry));
    let air = Input::fact(rig, rig.spec.climate.hottest);
    let time = corners([&capacity, &limit, &start, &air], |[capacity, limit, start, air]| {
        let capacity = capacity.max(1e-6);
        let warming = Warming {
            capacity: heat_of(capacity),
            power: IDLE_POWER[2],
            loss: tank_loss(AIR_FILM[0], capacity),
            start,
            air,
        };
        Some(time_to_warm(&warming, limit).unwrap_or(WEEK).min(WEEK))
    });
    let wanted = corners([&limit, &start], |[limit, start]| {
        mass_to_absorb(IDLE_POWER[2], TWO_HOURS, water::specific_heat(40.0), limit - start)
            .map(|mass| mass / water::density(40.0))
    });
    sheet.enter(subject, row(CARDS, RETURN, "tank-time"), time);
    sheet.enter(subject, row(CARDS, RETURN, "tank-wanted"), wanted);
}

/// Relief valves whose outlet is plumbed to the washer's inlet.
fn reliefs(rig: &Rig, sheet: &mut Sheet, circuits: &[circuit::Circuit], name: &str, part: &AnyPart, washer: &Washer) {
    for (valve_name, valve_part) in rig.parts() {
        let Kind::Valve(valve) = &valve_part.kind else { continue };
        if rig.word(valve.style) != Some("relief") {
            continue;
        }
        let part_of = |reference| rig.reference(reference).map(|(part, _)| part);
        let to_inlet = |line: &&crate::rig::system::Line| rig.reference(line.to) == Some((name, Some("inlet")));
        let leaves = |line: &crate::rig::system::Line| {
            part_of(line.from) == Some(valve_name)
                || line.through.iter().any(|through| part_of(*through) == Some(valve_name))
        };
        if !rig.spec.plumbing.iter().filter(to_inlet).any(leaves) {
            continue;
        }
        let subject = sheet.subject(RELIEF, valve_name.to_owned(), rig.entry(valve_part.entry).place.clone());
        sheet.link(subject, row(CARDS, RELIEF, "valve"), SubjectId(valve_part.entry.0));
        sheet.link(subject, row(CARDS, RELIEF, "washer"), SubjectId(part.entry.0));
        let (volume, flow, opens) = (
            Input::fact(rig, washer.loop_volume),
            Input::fact(rig, washer.flow),
            Input::fact(rig, washer.unloader.opens),
        );
        let (warm, limit) = (at_most(&supply(rig, circuits, part.entry)), limit(rig, washer));
        let time = corners([&volume, &flow, &opens, &warm, &limit], |[volume, flow, opens, warm, limit]| {
            time_to_warm(
                &Warming {
                    capacity: heat_of(volume.max(1e-6)),
                    power: flow * opens,
                    loss: 0.0,
                    start: warm,
                    air: warm,
                },
                limit,
            )
        });
        sheet.enter(subject, row(CARDS, RELIEF, "relief-time"), time);
    }
}

/// What the coldest night does to hose, pump and tanks.
fn frost(rig: &Rig, sheet: &mut Sheet) {
    let climate = &rig.spec.climate;
    let subject = SubjectId(climate.entry.0);
    let coldest = Input::fact(rig, climate.coldest);
    let ice = |cooling: &Cooling| Some((time_to_zero(cooling)? + time_to_ice(cooling, FIRST_ICE)?).min(WEEK));
    let bores = rig.spec.plumbing.iter().map(|line| line.hose).filter(|hose| rig.states(*hose));
    let thinnest = bores
        .min_by(|one, other| rig[*one].low.total_cmp(&rig[*other].low))
        .map_or_else(|| Input::fixed(0.375 * 0.0254), |hose| Input::fact(rig, hose));
    // Where the air does not freeze it takes for ever: a week stands for that.
    let hose = corners([&coldest, &thinnest], |[coldest, bore]| {
        let bore = bore.max(1e-3);
        // Two-wire hose is about twice its bore outside in these sizes.
        let outside = 1.9 * bore;
        let cooling = Cooling {
            capacity: hose_capacity(bore, outside, RUBBER_HEAT),
            water: std::f64::consts::FRAC_PI_4 * bore * bore * 999.8,
            loss: hose_loss(bore, outside, AIR_FILM[1], RUBBER),
            start: 10.0,
            air: coldest - CELSIUS,
        };
        Some(ice(&cooling).unwrap_or(WEEK))
    });
    let pump = corners([&coldest], |[coldest]| {
        let (water, capacity, skin) = HEAD;
        Some(
            ice(&Cooling { capacity, water, loss: AIR_FILM[1] * skin, start: 15.0, air: coldest - CELSIUS })
                .unwrap_or(WEEK),
        )
    });
    let heat = corners([&coldest], |[coldest]| Some(heating_power(AIR_FILM[1] * HEAD.2, 2.0, coldest - CELSIUS)));
    let (left, names) = left_wet(rig);
    let holds = rig.parts().filter(|(name, part)| match &part.kind {
        Kind::Washer(_) | Kind::DeliveryPump(_) => true,
        Kind::Tank(_) => low::contents(rig, name)
            .and_then(|holds| rig.word(holds.fluid))
            .is_none_or(|fluid| matches!(fluid, "water" | "mix" | "soap" | "surfactant")),
        _ => false,
    });
    let count = Input::fixed(holds.count() as f64);
    for (name, value) in
        [("water-left", left), ("hose-ice", hose), ("pump-ice", pump), ("box-heat", heat), ("freezes", count)]
    {
        sheet.enter(subject, row(CARDS, "climate", name), value);
    }
    sheet.note(
        subject,
        row(CARDS, "climate", "wet-tanks"),
        if names.is_empty() { "none".to_owned() } else { names.join(", ") },
    );
}

/// What tanks that freeze hold in storage, and which they are.
fn left_wet(rig: &Rig) -> (Bounded, Vec<String>) {
    let stored = |mode: &&crate::rig::system::Mode| {
        mode.running.is_empty() && rig.flag(mode.moving) == Some(false) && rig.word(mode.doors) == Some("closed")
    };
    let mode = rig.spec.modes.iter().map(|mode| &mode.item).find(stored);
    let mut left = Input::fixed(0.0);
    let mut names = Vec::new();
    for (name, _, tank) in rig.tanks() {
        if !matches!(rig.word(tank.holds.fluid), Some("water" | "mix" | "soap" | "surfactant") | None) {
            continue;
        }
        let capacity = Input::fact(rig, tank.capacity);
        let level = match mode.map(|mode| mode.levels.iter().find(|level| *level.name == *name)) {
            Some(Some(level)) => Input::fact(rig, level.item),
            // A mode that says nothing of a tank, and a spec without such a mode, leave it open.
            _ => Input { range: Range::new(0.0, 1.0), facts: Vec::new() },
        };
        let here = corners([&capacity, &level], |[capacity, level]| Some(capacity * level));
        if here.range.is_some_and(|range| range.low > 0.0) {
            names.push(name.to_owned());
        }
        left = corners([&left, &here], |[left, here]| Some(left + here));
    }
    (left, names)
}
