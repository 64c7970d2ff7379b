//! Wires: what each carries, loses and may carry, and the fuse in it.

use super::{CARDS, batteries, end, is_shore};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::electrical::battery::load_current;
use crate::figures::electrical::protection::{
    Cable, FUSE_LEGAL_MULTIPLE, FUSE_MARGIN, Insulation, ampacity, building_wire_breaker, table_current,
};
use crate::figures::electrical::wire::{
    ABYC_RESISTIVITY, COPPER_COEFFICIENT, TRADE_GAUGES, area_for_drop, awg_area, class5_resistance, smallest_gauge,
    voltage_drop,
};
use crate::measure::{Measure, Range, System, show};
use crate::rig::parts::{AnyPart, Kind};
use crate::rig::system::Wire;
use crate::rig::{Amount, Rig};
use crate::workings::{Sheet, SubjectId, row};

/// Share of the voltage that a feeder or a pump may lose, and that lights and the rest may: ABYC E-11.
const MOST_LOST: [f64; 2] = [0.03, 0.10];
/// Fuses as sold, A (common practice, no source).
const FUSES: [f64; 24] = [
    1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0,
    175.0, 200.0, 225.0, 250.0, 300.0,
];
/// Efficiency of a lamp's driver (common practice, no source).
const DRIVER: f64 = 0.9;
/// Ohms rise from 20 degC, at which IEC 60228 states them, to the 25 degC behind ABYC's 10.75.
const AT_25C: f64 = 1.0 + COPPER_COEFFICIENT * 5.0;
/// 0 degC, K.
const FREEZING: f64 = 273.15;
/// A chain of wires is followed no deeper: a ring of wires has no end.
const DEEPEST: usize = 16;

/// Computes it.
pub(super) fn work(rig: &Rig, sheet: &mut Sheet) {
    let runs: Vec<Run> = rig.spec.wiring.iter().map(|wire| Run::of(rig, wire)).collect();
    for run in &runs {
        run.enter(rig, &runs, sheet);
    }
}

/// What a wire serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Serves {
    Pump,
    Feeder,
    Light,
    Motor,
    ChargeLine,
    Shore,
    Starter,
    Other,
}

impl Serves {
    fn word(self) -> &'static str {
        match self {
            Self::Pump => "pump",
            Self::Feeder => "feeder",
            Self::Light => "light",
            Self::Motor => "motor",
            Self::ChargeLine => "charge line",
            Self::Shore => "shore",
            Self::Starter => "starter",
            Self::Other => "other",
        }
    }

    fn most_lost(self) -> f64 {
        match self {
            Self::Pump | Self::Feeder | Self::ChargeLine => MOST_LOST[0],
            _ => MOST_LOST[1],
        }
    }
}

struct Run<'a> {
    wire: &'a Wire,
    serves: Serves,
    from: Option<&'a str>,
    to: Option<&'a str>,
    load: Option<(&'a str, &'a AnyPart)>,
    at_battery: bool,
    current: Input,
    drop: Bounded,
}

impl<'a> Run<'a> {
    fn of(rig: &'a Rig, wire: &'a Wire) -> Self {
        let (from, to) = (end(rig, wire.from), end(rig, wire.to));
        let is_battery = |it: &Option<(&str, &AnyPart, Option<&str>)>| {
            it.is_some_and(|(_, part, _)| matches!(part.kind, Kind::Battery(_)))
        };
        let load = if is_battery(&to) && !is_battery(&from) { from } else { to };
        let serves = match (is_shore(rig, wire), load.map(|(_, part, _)| &part.kind)) {
            (true, _) => Serves::Shore,
            (_, Some(Kind::DeliveryPump(_) | Kind::Fan(_))) => Serves::Pump,
            (_, Some(Kind::FuseBlock(_))) => Serves::Feeder,
            (_, Some(Kind::Light(_))) => Serves::Light,
            (_, Some(Kind::Reel(_))) => Serves::Motor,
            (_, Some(Kind::Charger(_))) => Serves::ChargeLine,
            (_, Some(Kind::Washer(_))) => Serves::Starter,
            _ => Serves::Other,
        };
        let load = load.map(|(name, part, _)| (name, part));
        let current = current(rig, wire, load.map(|(_, part)| part), serves);
        let drop = corners(
            [&current, &Input::fact(rig, wire.length), &Input::fact(rig, wire.gauge.area)],
            |[current, length, area]| Some(voltage_drop(current, length, resistance(area, is_metric(rig, wire))?)),
        );
        let at_battery = is_battery(&from) || is_battery(&to);
        Self { wire, serves, from: from.map(|it| it.0), to: to.map(|it| it.0), load, at_battery, current, drop }
    }

    /// Voltage lost between the battery and the start of this wire.
    fn before(&self, runs: &[Self]) -> Input {
        let (mut whole, mut at) = (Input::fixed(0.0), self);
        for _ in 0..DEEPEST {
            if at.at_battery {
                break;
            }
            let Some(feeder) = runs.iter().find(|run| run.to.is_some() && run.to == at.from) else { break };
            whole = corners([&whole, &feeder.drop], |[whole, drop]| Some(whole + drop));
            at = feeder;
        }
        whole
    }

    fn enter(&self, rig: &Rig, runs: &[Self], sheet: &mut Sheet) {
        let subject = SubjectId(self.wire.entry.0);
        let mut enter = |name: &str, value: Bounded| {
            sheet.enter(subject, row(CARDS, "wire", name), value);
        };
        let voltage = voltage(rig, self);
        let before = self.before(runs);
        let whole = corners([&before, &self.drop], |[before, drop]| Some(before + drop));
        enter("carries", self.current.clone());
        enter("drop", self.drop.clone());
        enter("drop-share", corners([&whole, &voltage], |[lost, voltage]| (voltage > 0.0).then(|| lost / voltage)));
        enter("at-load", corners([&whole, &voltage], |[lost, voltage]| Some(voltage - lost)));
        enter("drop-at-load", whole);

        let lies = Lies::of(rig, self);
        let holds = lies.ampacity();
        let least = corners([&self.current], |[current]| Some(FUSE_MARGIN * current));
        let legal = if lies.shore {
            holds.clone()
        } else {
            corners([&lies.area, &lies.insulation], |[area, insulation]| {
                Some(FUSE_LEGAL_MULTIPLE * table_current(gauge_of(area), insulation_of(insulation))?)
            })
        };
        let choice = fuse_choice(least.range, holds.range);
        enter("ampacity", holds);
        enter("fuse-legal", legal);
        enter("fuse-least", least.clone());
        enter("unfused", self.unfused(rig));
        let gauge = self.gauge_needed(&voltage, &before, least.range, &lies);
        for (name, text) in [
            ("serves", self.serves.word().to_owned()),
            ("load-name", self.load.map_or("its end", |(name, _)| name).to_owned()),
            ("gauge-needed", gauge),
            ("fuse-choice", choice),
        ] {
            sheet.note(subject, row(CARDS, "wire", name), text);
        }
    }

    /// Wire without a fuse at the battery. A starter's cable is exempt (33 CFR 183.455(a) leaves cranking circuits out).
    fn unfused(&self, rig: &Rig) -> Bounded {
        let wire = self.wire;
        if !self.at_battery || matches!(self.serves, Serves::Starter | Serves::Shore) {
            return Input::fixed(0.0);
        }
        if rig.known(wire.fuse).is_some_and(|fuse| fuse.high <= 0.0) {
            return Input::fact(rig, wire.length).leaning([wire.fuse.id]);
        }
        Input::fact(rig, wire.fuse_from_battery)
    }

    /// The thinnest gauge for this run, in words.
    fn gauge_needed(&self, voltage: &Input, before: &Input, least: Option<Range>, lies: &Lies) -> String {
        let needed = || {
            let (current, length) = (self.current.range?, lies.length?);
            let lost = self.serves.most_lost() * voltage.range?.low - before.range?.high;
            let by_drop = smallest_gauge(area_for_drop(current.high, length.high, lost)?)?;
            let by_current =
                TRADE_GAUGES.into_iter().find(|gauge| lies.at_least(*gauge) >= least.map_or(0.0, |it| it.high))?;
            Some(gauge_word(by_drop.min(by_current)))
        };
        needed().unwrap_or_else(|| "a thicker gauge".to_owned())
    }
}

/// How a wire lies: what its ampacity depends on.
struct Lies {
    area: Input,
    insulation: Input,
    bundled: Input,
    length: Option<Range>,
    engine_space: bool,
    shore: bool,
}

impl Lies {
    fn of(rig: &Rig, run: &Run<'_>) -> Self {
        let wire = run.wire;
        let engine = rig.flag(wire.engine_space);
        let mut bundled = Input::fact(rig, wire.bundled);
        if engine.is_some() {
            bundled = bundled.leaning([wire.engine_space.id]);
        }
        Self {
            area: Input::fact(rig, wire.gauge.area),
            insulation: Input::fact(rig, wire.insulation),
            bundled,
            length: rig.known(wire.length),
            engine_space: engine == Some(true),
            shore: run.serves == Serves::Shore,
        }
    }

    fn amps(&self, gauge: i32, insulation: f64, bundled: f64) -> Option<f64> {
        let insulation = insulation_of(insulation);
        if self.shore {
            // Building wire is listed for 60, 75 and 90 degC only; what lies between counts as the lower.
            let listed = match insulation {
                Insulation::C60 => Insulation::C60,
                Insulation::C75 | Insulation::C80 => Insulation::C75,
                _ => Insulation::C90,
            };
            return building_wire_breaker(gauge, listed);
        }
        ampacity(&Cable { gauge, insulation, engine_space: self.engine_space, bundled: bundled.ceil().max(1.0) as u32 })
    }

    fn ampacity(&self) -> Bounded {
        corners([&self.area, &self.insulation, &self.bundled], |[area, insulation, bundled]| {
            self.amps(gauge_of(area), insulation, bundled)
        })
    }

    /// What another gauge would carry at the least here.
    fn at_least(&self, gauge: i32) -> f64 {
        let insulation = self.insulation.range.map_or(FREEZING + 60.0, |range| range.low);
        let bundled = self.bundled.range.map_or(1.0, |range| range.high);
        self.amps(gauge, insulation, bundled).unwrap_or(0.0)
    }
}

/// What a part draws, where it says.
pub(super) fn draws(rig: &Rig, part: &AnyPart) -> Option<Amount> {
    match &part.kind {
        Kind::DeliveryPump(pump) => Some(pump.current),
        Kind::Reel(reel) => Some(reel.current),
        Kind::Fan(fan) => Some(fan.current),
        Kind::Charger(charger) => Some(charger.current),
        _ => None,
    }
    .filter(|amount| rig.known(*amount).is_some())
}

/// What a part draws at a voltage: its current, or a lamp's power over voltage.
pub(super) fn load_draw(rig: &Rig, part: &AnyPart, voltage: &Input) -> Option<Input> {
    if let Kind::Light(light) = &part.kind {
        let power = Input::fact(rig, light.power);
        return Some(corners([&power, voltage], |[power, voltage]| load_current(power, voltage, DRIVER)));
    }
    draws(rig, part).map(|amount| Input::fact(rig, amount))
}

/// The larger of what the wire states and what the part at its end draws; the part's stated figure is the truth behind both.
fn current(rig: &Rig, wire: &Wire, load: Option<&AnyPart>, serves: Serves) -> Input {
    let stated = rig.states(wire.current).then(|| Input::fact(rig, wire.current));
    // Behind the charger's 120 V lead flows another current than the one it charges with.
    let nominal = batteries(rig).next().map_or(Input::fixed(12.0), |(_, _, battery)| Input::fact(rig, battery.voltage));
    let drawn = load.filter(|_| serves != Serves::Shore).and_then(|part| load_draw(rig, part, &nominal));
    let drawn = drawn.filter(|it| it.range.is_some());
    match (stated, drawn) {
        (Some(stated), Some(drawn)) => corners([&stated, &drawn], |[one, other]| Some(one.max(other))),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => Input::fact(rig, wire.current),
    }
}

/// The voltage of the side that a wire belongs to.
fn voltage(rig: &Rig, run: &Run<'_>) -> Input {
    if run.serves == Serves::Shore {
        let inlet = rig.parts().find_map(|(_, part)| match &part.kind {
            Kind::ShoreInlet(inlet) => Some(inlet.voltage),
            _ => None,
        });
        return inlet.map_or(Input::fixed(120.0), |voltage| Input::fact(rig, voltage));
    }
    let own = batteries(rig)
        .find(|(name, ..)| run.from == Some(name) || run.to == Some(name))
        .or_else(|| batteries(rig).next());
    own.map_or(Input::fixed(12.0), |(_, _, battery)| Input::fact(rig, battery.voltage))
}

fn is_metric(rig: &Rig, wire: &Wire) -> bool {
    rig.word(wire.gauge.system) == Some("mm2")
}

/// Ohms a metre at 25 degC: by ABYC's figure, or the table for metric cable where the size is in it.
fn resistance(area: f64, metric: bool) -> Option<f64> {
    if area <= 0.0 {
        return None;
    }
    let by_table = if metric { class5_resistance(area).map(|ohms| ohms * AT_25C) } else { None };
    Some(by_table.unwrap_or(ABYC_RESISTIVITY / area))
}

/// The AWG number of the thickest trade gauge that is no thicker than `area` m2, but no thinner than 18.
fn gauge_of(area: f64) -> i32 {
    // An SAE gauge or a metric size lies between two; the thinner one carries no more.
    TRADE_GAUGES.into_iter().rev().find(|gauge| awg_area(*gauge) <= area * 1.005).unwrap_or(18)
}

/// The row of the tables for an insulation rated so many K: the next lower one, 60 degC at the least.
fn insulation_of(kelvin: f64) -> Insulation {
    let celsius = kelvin - FREEZING + 0.01;
    [
        (200.0, Insulation::C200),
        (125.0, Insulation::C125),
        (105.0, Insulation::C105),
        (90.0, Insulation::C90),
        (80.0, Insulation::C80),
        (75.0, Insulation::C75),
    ]
    .into_iter()
    .find(|(least, _)| celsius >= *least)
    .map_or(Insulation::C60, |(_, insulation)| insulation)
}

/// A gauge as the trade writes it.
fn gauge_word(gauge: i32) -> String {
    if gauge > 0 { format!("{gauge} AWG") } else { format!("{}/0 AWG", 1 - gauge) }
}

/// The fuses as sold between what the load needs and what the wire carries.
fn fuse_choice(least: Option<Range>, most: Option<Range>) -> String {
    let amps = |value: f64| show(value, value, Measure::Current, System::Us);
    let (Some(least), Some(most)) = (least, most) else { return "a fuse that suits load and wire".to_owned() };
    let suits: Vec<f64> = FUSES.into_iter().filter(|fuse| *fuse >= least.high && *fuse <= most.low).collect();
    match suits.as_slice() {
        [] => format!(
            "no fuse suits this load on this wire: it needs {} and the wire carries {}",
            amps(least.high),
            amps(most.low)
        ),
        [one] => format!("a {} fuse", amps(*one)),
        [first, .., last] => format!("a fuse of {} to {}", amps(*first), amps(*last)),
    }
}
