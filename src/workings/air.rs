//! Air: engines in a closed box, the carbon monoxide and heat they leave there, what stands near hot exhaust, fuel vapour.
//!
//! Every figure is an order of magnitude: see [`crate::figures::air`]. It can show that a design is hopeless, never that a
//! running engine in a box is safe.

mod engine;
mod places;

use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Input, corners};
use crate::figures::air::{FuelVapour, liquid_to_flammable_share};
use crate::measure::{Measure, Range};
use crate::rig::parts::{AnyPart, Contents, Engine, Exhaust, Kind, Part};
use crate::rig::takeoff::Size;
use crate::rig::{Carrier, Rig};

pub(super) use engine::runs;
pub(super) use places::apart;

const BOX: &str = "well-mixed box, V dC/dt = G − QC; NIOSH ceiling 200 ppm, IDLH 1,200 ppm, NIOSH REL 35 ppm";
const SOURCE: &str =
    "70 to 610 g/kWh (40 CFR 1054.105 Table 1 is the top; the low end from memory), diesel 1 to 20 g/kWh, from memory";
const NATURAL: &str =
    "Warren and Parkins 1985 for one opening, ASHRAE Fundamentals for two; wind 2 m/s, 10 K warmer inside";
const HEAT: &str =
    "first law; 0.40 kg/kWh of fuel at 43.4 MJ/kg, from memory; 35 % of it stays with the exhaust piped out";
const CLEAR: &str = "49 CFR 393.83; distances: common practice, no source";

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

/// What this discipline computes.
#[rustfmt::skip]
pub const CARDS: &[Card] = &[
    link("running-engine", "machine", "part", "The machine it drives"),
    figure("running-engine", "burns-fuel", Measure::Count, "1 where it burns fuel, between where nobody says", "by fuel or drive", "as stated"),
    figure("running-engine", "in-box", Measure::Count, "1 where it stands in a closed box, 0 where not, between where nobody says", "by body and place", "as stated"),
    figure("running-engine", "modes-run", Measure::Count, "Modes in which it runs", "count", "count"),
    figure("running-engine", "person-inside", Measure::Count, "1 where a person works inside while it runs", "by the modes", "as stated"),
    note("running-engine", "modes-words", "The modes in which it runs"),
    figure("running-engine", "shaft-power", Measure::Power, "Power on its shaft at work", "flow × pressure ÷ 0.85 for a washer, else half to all of its rating", "hydraulics; 0.85 common practice, no source"),
    figure("running-engine", "co-rate", Measure::MassFlow, "Carbon monoxide it makes", "shaft power × g/kWh", SOURCE),
    figure("running-engine", "closed-200", Measure::Duration, "Time to 200 ppm of carbon monoxide with the box shut and the exhaust inside", "volume × level ÷ source", BOX),
    figure("running-engine", "closed-1200", Measure::Duration, "Time to 1,200 ppm", "volume × level ÷ source", BOX),
    figure("running-engine", "leak-200", Measure::Duration, "Time to 200 ppm in a shut box when 2 % of the exhaust leaks from the pipe", "volume × level ÷ (2 % of the source)", BOX),
    figure("running-engine", "open-air", Measure::Flow, "Air through the open doors, vents and fans at best", "the larger of one opening and cross flow, and the fans", NATURAL),
    figure("running-engine", "open-level", Measure::Ratio, "Level at which carbon monoxide settles with everything open, at best", "source ÷ air", BOX),
    note("running-engine", "open-words", "That level in words"),
    figure("running-engine", "air-for-35", Measure::Flow, "Air that would hold 35 ppm", "source ÷ level", BOX),
    figure("running-engine", "heat-in-box", Measure::Power, "Heat it leaves in the box", "35 % of the fuel's heat with the exhaust piped out, else all but the shaft's", HEAT),
    figure("running-engine", "cooling-needed", Measure::Flow, "Air that carries this heat away 20 K warmer", "heat ÷ (1.2 × 1006 × 20)", HEAT),
    figure("running-engine", "cooling-has", Measure::Flow, "Air that fans and open doors give, 20 K warmer inside", "fans + warm air through the largest door", NATURAL),
    figure("running-engine", "grille-needed", Measure::Area, "Free area of grilles for that air", "air ÷ 2.5 m/s", "common practice, no source"),
    figure("running-engine", "outlet-gap", Measure::Length, "Exhaust outlet to the nearest door or vent", "straight distance", CLEAR),
    note("running-engine", "outlet-near", "That door or vent"),
    figure("running-engine", "muffler-gap", Measure::Length, "Hot muffler to the nearest tank, reel, hose, jug or battery", "straight distance", CLEAR),
    note("running-engine", "muffler-near", "That part"),
    figure("running-engine", "fuel-gap", Measure::Length, "Hot muffler to the nearest can or tank of fuel apart from its own", "straight distance", CLEAR),
    note("running-engine", "fuel-near", "That can or tank"),
    link("flame", "machine", "part", "The machine that has the burner"),
    figure("flame", "flue-inside", Measure::Count, "1 where its flue ends inside, 0 where not, between where nobody says", "by flue", "as stated"),
    figure("flame", "in-box", Measure::Count, "1 where it stands in a closed box, 0 where not, between where nobody says", "by body and place", "as stated"),
    link("fuel-store", "holder", "part", "The can or tank"),
    figure("fuel-store", "in-box", Measure::Count, "1 where it stands in a closed box, 0 where not, between where nobody says", "by body and place", "as stated"),
    figure("fuel-store", "quarter-explosive", Measure::Volume, "Liquid that, evaporated, brings the whole box to a quarter of what can explode", "ideal gas; limit 1.4 %, 68 g/mol, 740 kg/m3, from memory", "ideal gas law"),
];

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let hold = Hold::of(rig);
    for machine in machines(rig) {
        engine::enter(rig, sheet, &machine, &hold);
    }
    for (name, part) in rig.parts() {
        let flue = match &part.kind {
            Kind::Heater(heater) if rig.word(heater.fuel) != Some("electric") => heater.flue,
            Kind::Washer(washer)
                if rig.entry(washer.burner.entry).written && rig.word(washer.burner.fuel) != Some("electric") =>
            {
                washer.burner.flue
            }
            _ => continue,
        };
        let inside = match rig.word(flue) {
            Some("inside" | "none") => Input::fixed(1.0).leaning([flue.id]),
            Some(_) => Input::fixed(0.0).leaning([flue.id]),
            None => Input { range: Range::new(0.0, 1.0), facts: vec![(flue.id, 1.0)] },
        };
        let subject = sheet.subject("flame", name.to_owned(), rig.entry(part.entry).place.clone());
        sheet.link(subject, row(CARDS, "flame", "machine"), SubjectId(part.entry.0));
        sheet.enter(subject, row(CARDS, "flame", "flue-inside"), inside);
        sheet.enter(subject, row(CARDS, "flame", "in-box"), in_box(rig, &part.common));
    }
    for (name, part) in rig.parts().filter(|(_, part)| contents(part).is_some_and(|holds| is_gasoline(rig, holds))) {
        let quarter = corners([&hold.volume], |[volume]| {
            Some(liquid_to_flammable_share(&FuelVapour {
                volume,
                flammable_limit: 0.014,
                share: 0.25,
                molar_mass: 0.068,
                density: 740.0,
            }))
        });
        let subject = sheet.subject("fuel-store", name.to_owned(), rig.entry(part.entry).place.clone());
        sheet.link(subject, row(CARDS, "fuel-store", "holder"), SubjectId(part.entry.0));
        sheet.enter(subject, row(CARDS, "fuel-store", "in-box"), in_box(rig, &part.common));
        sheet.enter(subject, row(CARDS, "fuel-store", "quarter-explosive"), quarter);
    }
}

/// An engine and what it drives.
pub(super) struct Machine<'a> {
    /// The id of the machine.
    pub name: &'a str,
    /// The machine.
    pub part: &'a AnyPart,
    /// Its engine.
    pub engine: &'a Engine,
    /// Its exhaust.
    pub exhaust: &'a Exhaust,
    /// 1 where it burns fuel.
    pub burns: Input,
}

/// The machines with an engine that burns fuel, or may.
pub(super) fn machines(rig: &Rig) -> Vec<Machine<'_>> {
    let each = rig.parts().filter_map(|(name, part)| {
        let (engine, exhaust, unsaid) = match &part.kind {
            Kind::Washer(washer) => (&washer.engine, &washer.exhaust, true),
            Kind::Generator(generator) => (&generator.engine, &generator.exhaust, true),
            Kind::DeliveryPump(pump) => (&pump.engine, &pump.exhaust, rig.word(pump.drive) == Some("gasoline")),
            _ => return None,
        };
        let burns = match rig.word(engine.fuel) {
            Some("electric" | "hydraulic") => return None,
            Some(_) => Input::fixed(1.0).leaning([engine.fuel.id]),
            None if !unsaid => return None,
            // A drive called gasoline says it; what else is not said stays open.
            None if matches!(part.kind, Kind::DeliveryPump(_)) => Input::fixed(1.0),
            None => Input { range: Range::new(0.0, 1.0), facts: vec![(engine.fuel.id, 1.0)] },
        };
        Some(Machine { name, part, engine, exhaust, burns })
    });
    each.collect()
}

/// The box or bed, as air sees it.
pub(super) struct Hold {
    /// Air between the walls, m3; unknown without a trailer.
    pub volume: Input,
    /// Length, width and height between the walls.
    pub sides: [Input; 3],
}

impl Hold {
    /// Reads it off a rig.
    pub(super) fn of(rig: &Rig) -> Self {
        let size: Option<Size> = rig.spec.trailer.as_ref().map(|trailer| trailer.inside);
        let side = |pick: fn(Size) -> crate::rig::Amount| {
            size.map_or_else(Input::default, |size| Input::fact(rig, pick(size)))
        };
        let sides = [side(|size| size.length), side(|size| size.width), side(|size| size.height)];
        let [length, width, height] = sides.each_ref();
        Self {
            volume: corners([length, width, height], |[length, width, height]| Some(length * width * height)),
            sides,
        }
    }
}

/// 1 where a part stands in a closed box, 0 where it does not, the range between where nobody says.
pub(super) fn in_box(rig: &Rig, part: &Part) -> Input {
    if rig.carrier() == Carrier::Bed || rig.flag(part.outside) == Some(true) {
        return Input::fixed(0.0).leaning([part.outside.id]);
    }
    let Some(trailer) = &rig.spec.trailer else { return Input { range: Range::new(0.0, 1.0), facts: Vec::new() } };
    match rig.word(trailer.body) {
        Some("enclosed") => Input::fixed(1.0).leaning([trailer.body.id]),
        Some(_) => Input::fixed(0.0).leaning([trailer.body.id]),
        None => Input { range: Range::new(0.0, 1.0), facts: vec![(trailer.body.id, 1.0)] },
    }
}

fn contents(part: &AnyPart) -> Option<&Contents> {
    match &part.kind {
        Kind::Tank(tank) => Some(&tank.holds),
        Kind::Container(can) => Some(&can.holds),
        _ => None,
    }
}

fn is_gasoline(rig: &Rig, holds: &Contents) -> bool {
    rig.word(holds.fluid) == Some("gasoline")
}

/// Whatever holds gasoline: cans, tanks, and machines with their fuel tank on or beside the engine.
pub(super) fn fuel_holders(rig: &Rig) -> impl Iterator<Item = (&str, &AnyPart)> {
    rig.parts().filter(|(_, part)| {
        let engine = match &part.kind {
            Kind::Washer(washer) => &washer.engine,
            Kind::Generator(generator) => &generator.engine,
            _ => return contents(part).is_some_and(|holds| is_gasoline(rig, holds)),
        };
        rig.word(engine.fuel) == Some("gasoline") && matches!(rig.word(engine.tank.on), Some("engine" | "inside"))
    })
}
