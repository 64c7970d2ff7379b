//! Batteries: how long they last, how they are charged, the gas they give off, what stands near them.

use super::wires::load_draw;
use super::{CARDS, batteries, end};
use crate::bounds::{Bounded, Input, corners, monotone};
use crate::figures::electrical::battery::{Recharge, RunTime, discharge_time, recharge_time};
use crate::figures::electrical::hydrogen::{
    AIR_PER_CHARGE_AT_25C, GASSING_SEALED, GASSING_SEALED_UNLIMITED, GASSING_VENTED, GASSING_VENTED_UNLIMITED, Gassing,
    vent_area, ventilation,
};
use crate::measure::Range;
use crate::rig::parts::{AnyPart, Battery, Kind};
use crate::rig::system::Mode;
use crate::rig::{FactId, Rig};
use crate::workings::air::{apart, fuel_holders, in_box};
use crate::workings::{Curve, Sheet, SubjectId, row};

/// Time that the rated charge of a battery is stated for, s: 20 h.
const RATED_TIME: f64 = 20.0 * 3600.0;
/// A reel's motor runs this long a day, s: 6 minutes (common practice, no source).
const REEL_TIME: f64 = 360.0;
/// Cells of a 12 V lead battery give 2 V each.
const VOLTS_A_CELL: f64 = 2.0;
/// Points of a curve.
const POINTS: usize = 25;

/// What a chemistry decides. The exponents are middles of the ranges in [`RunTime::exponent`].
#[derive(Clone, Copy)]
struct Chemistry {
    exponent: f64,
    usable: f64,
    factor: f64,
    taper: f64,
}

const LEAD: Chemistry = Chemistry { exponent: 1.25, usable: 0.5, factor: 1.15, taper: 3.0 * 3600.0 };
const LITHIUM: Chemistry = Chemistry { exponent: 1.05, usable: 0.8, factor: 1.02, taper: 900.0 };

/// The chemistries that a battery may have.
fn chemistries(rig: &Rig, battery: &Battery) -> Vec<Chemistry> {
    match rig.word(battery.chemistry) {
        Some("lfp") => vec![LITHIUM],
        Some("agm") => vec![Chemistry { exponent: 1.10, ..LEAD }],
        Some("gel") => vec![Chemistry { exponent: 1.15, ..LEAD }],
        Some(_) => vec![LEAD],
        None => vec![LEAD, LITHIUM],
    }
}

/// Computes it.
pub(super) fn work(rig: &Rig, sheet: &mut Sheet) {
    let only = batteries(rig).count() == 1;
    let wired = Wired::of(rig);
    for (name, part, battery) in batteries(rig) {
        bank(rig, sheet, &Bank { name, part, battery, only, wired: &wired });
        gas(rig, sheet, part, battery);
        neighbors(rig, sheet, name, part, battery);
    }
}

/// Which part hangs on which, by the wires.
struct Wired<'a>(Vec<(&'a str, &'a str)>);

impl<'a> Wired<'a> {
    fn of(rig: &'a Rig) -> Self {
        let pair = |wire: &crate::rig::system::Wire| Some((end(rig, wire.from)?.0, end(rig, wire.to)?.0));
        Self(rig.spec.wiring.iter().filter_map(pair).collect())
    }

    /// Whether two parts are joined by wires, whichever way they are written.
    fn joined(&self, one: &str, other: &str) -> bool {
        let (mut seen, mut at) = (vec![one], 0);
        while let Some(part) = seen.get(at).copied() {
            if part == other {
                return true;
            }
            at += 1;
            for (a, b) in &self.0 {
                for (near, far) in [(*a, *b), (*b, *a)] {
                    if near == part && !seen.contains(&far) {
                        seen.push(far);
                    }
                }
            }
        }
        false
    }
}

struct Bank<'a> {
    name: &'a str,
    part: &'a AnyPart,
    battery: &'a Battery,
    only: bool,
    wired: &'a Wired<'a>,
}

impl Bank<'_> {
    /// Whether this battery feeds a part, or is fed by it: by the wires, or because it is the only one.
    fn feeds(&self, name: &str) -> bool {
        self.only || self.wired.joined(self.name, name)
    }
}

/// Current and time of what draws on a battery on one occasion.
struct Spell {
    current: Input,
    time: Input,
}

fn bank(rig: &Rig, sheet: &mut Sheet, bank: &Bank<'_>) {
    let subject = SubjectId(bank.part.entry.0);
    let battery = bank.battery;
    let fact = |amount| Input::fact(rig, amount);
    let told = battery.chemistry.id;
    let kinds = chemistries(rig, battery);
    let whole = corners([&fact(battery.capacity), &fact(battery.count)], |[one, count]| Some(one * count.max(1.0)));
    let usable = over(&kinds, told, |kind| Input::fixed(kind.usable));

    let spells = spells(rig, sheet, bank, &whole, &kinds);
    let use_of_day = day_use(&spells);
    let share = over(&kinds, told, |kind| day_share(&whole, &spells, kind));
    let needed = over(&kinds, told, |kind| bank_needed(&spells, kind));
    let chargers: Vec<(&str, &AnyPart)> =
        rig.parts().filter(|(name, part)| matches!(part.kind, Kind::Charger(_)) && bank.feeds(name)).collect();
    let (recharge, window, words) = recharge(rig, &chargers, &use_of_day, &kinds, told);
    let mut enter = |name: &str, value: Bounded| {
        sheet.enter(subject, row(CARDS, "battery", name), value);
    };
    enter("bank", whole);
    enter("usable", usable);
    enter("day-use", use_of_day);
    enter("day-share", share);
    enter("bank-needed", needed);
    enter("recharge-time", recharge);
    enter("recharge-window", window);
    sheet.note(subject, row(CARDS, "battery", "recharge-words"), words);
}

/// A figure over the chemistries that a battery may have; which of them, the word would settle.
fn over(kinds: &[Chemistry], told: FactId, f: impl Fn(Chemistry) -> Bounded) -> Bounded {
    let mut each = kinds.iter().map(|kind| f(*kind));
    let Some(mut whole) = each.next() else { return Input::default() };
    for other in each {
        whole.range = whole.range.zip(other.range).map(|(one, other)| one.hull(other));
        if let Some(range) = whole.range {
            whole.facts.push((told, range.width()));
        } else {
            whole.facts.push((told, f64::INFINITY));
        }
    }
    whole.leaning([told])
}

/// What draws on a battery over a day: each mode with all that runs in it, and the reel motors.
fn spells(rig: &Rig, sheet: &mut Sheet, bank: &Bank<'_>, whole: &Input, kinds: &[Chemistry]) -> Vec<Spell> {
    let voltage = Input::fact(rig, bank.battery.voltage);
    let mut spells = Vec::new();
    for mode in &rig.spec.modes {
        let currents: Vec<Input> = running(rig, &mode.item)
            .filter(|(name, _)| bank.feeds(name))
            .filter_map(|(_, part)| load_draw(rig, part, &voltage))
            .collect();
        if currents.is_empty() {
            continue;
        }
        let current =
            currents.iter().fold(Input::fixed(0.0), |sum, one| corners([&sum, one], |[sum, one]| Some(sum + one)));
        let time = Input::fact(rig, mode.item.per_day);
        let name = format!("{} in {}", bank.name, mode.name);
        let place = rig.entry(mode.item.entry).place.clone();
        let subject = sheet.subject("battery-in-mode", name.clone(), place);
        let lasts = over(kinds, bank.battery.chemistry.id, |kind| {
            corners([whole, &current], |[capacity, current]| {
                let time = discharge_time(&RunTime { capacity, current, ..run_of(kind) })?;
                Some(time * kind.usable)
            })
        });
        if let (Some(whole), Some(current), [kind]) = (whole.range, current.range, kinds) {
            let points = left_over_time(whole.low, current.high, *kind);
            sheet.curves.push(Curve {
                id: format!("electrical.charge-left:{name}"),
                subject,
                x: "h",
                y: "% of the charge left",
                points,
            });
        }
        sheet.link(subject, row(CARDS, "battery-in-mode", "battery"), SubjectId(bank.part.entry.0));
        sheet.link(subject, row(CARDS, "battery-in-mode", "mode"), SubjectId(mode.item.entry.0));
        sheet.enter(subject, row(CARDS, "battery-in-mode", "draw"), current.clone());
        sheet.enter(subject, row(CARDS, "battery-in-mode", "lasts"), lasts);
        spells.push(Spell { current, time });
    }
    // A pump that no mode runs still has its work to do; how long, nobody says.
    if rig.spec.modes.is_empty() {
        for (_, part) in rig.parts().filter(|(name, _)| bank.feeds(name)) {
            if let Kind::DeliveryPump(pump) = &part.kind
                && matches!(rig.word(pump.drive), Some("12V" | "24V"))
            {
                let time = Input { range: Range::new(1800.0, 6.0 * 3600.0), facts: Vec::new() };
                spells.push(Spell { current: Input::fact(rig, pump.current), time });
            }
        }
    }
    for (_, part) in rig.parts().filter(|(name, _)| bank.feeds(name)) {
        if let Kind::Reel(reel) = &part.kind
            && rig.word(reel.drive) == Some("12V")
        {
            spells.push(Spell { current: Input::fact(rig, reel.current), time: Input::fixed(REEL_TIME) });
        }
    }
    spells
}

/// What runs in a mode.
fn running<'a>(rig: &'a Rig, mode: &'a Mode) -> impl Iterator<Item = (&'a str, &'a AnyPart)> {
    mode.running.iter().filter_map(|it| {
        let (name, _) = rig.reference(*it)?;
        Some((name, rig.part(name)?))
    })
}

fn run_of(kind: Chemistry) -> RunTime {
    RunTime {
        capacity: 0.0,
        rated_time: RATED_TIME,
        current: 0.0,
        exponent: kind.exponent,
        usable: kind.usable,
        duty: 1.0,
    }
}

/// Percent of the charge left after each hour, from full until it is empty.
fn left_over_time(capacity: f64, current: f64, kind: Chemistry) -> Vec<(f64, f64)> {
    let Some(empty) = discharge_time(&RunTime { capacity, current, ..run_of(kind) }) else { return Vec::new() };
    let step = 1.0 / (POINTS - 1) as f64;
    (0..POINTS).map(|n| n as f64 * step).map(|at| (at * empty / 3600.0, 100.0 * (1.0 - at))).collect()
}

fn day_use(spells: &[Spell]) -> Bounded {
    spells.iter().fold(Input::fixed(0.0), |sum, spell| {
        corners([&sum, &spell.current, &spell.time], |[sum, current, time]| Some(sum + current * time))
    })
}

/// The share of a full battery that the day's spells take: each its time over the time that would empty it.
fn share_of(capacity: f64, spells: &[(f64, f64)], kind: Chemistry) -> Option<f64> {
    spells.iter().filter(|(current, _)| *current > 0.0).try_fold(0.0, |sum, (current, time)| {
        Some(sum + time / discharge_time(&RunTime { capacity, current: *current, ..run_of(kind) })?)
    })
}

/// Inputs as one list: current and time of each spell.
fn flat(spells: &[Spell]) -> Vec<Input> {
    spells.iter().flat_map(|spell| [spell.current.clone(), spell.time.clone()]).collect()
}

fn paired(values: &[f64]) -> Vec<(f64, f64)> {
    values.chunks_exact(2).filter_map(|pair| Some((*pair.first()?, *pair.last()?))).collect()
}

/// Falls with the capacity, rises with every current and time: monotone in each input.
fn day_share(whole: &Input, spells: &[Spell], kind: Chemistry) -> Bounded {
    let mut inputs = flat(spells);
    inputs.push(whole.clone());
    monotone(&inputs, |values| {
        let (capacity, rest) = values.split_last()?;
        share_of(*capacity, &paired(rest), kind)
    })
}

/// The bank whose day share is its usable share: by halving, since each spell has its own current. Rises with every input.
fn bank_needed(spells: &[Spell], kind: Chemistry) -> Bounded {
    monotone(&flat(spells), |values| {
        let spells = paired(values);
        let plain: f64 = spells.iter().map(|(current, time)| current * time).sum();
        let short = |capacity: f64| share_of(capacity, &spells, kind).is_some_and(|share| share > kind.usable);
        let (mut low, mut high) = (0.0, plain.max(1.0));
        while short(high) && high < 1e12 {
            high *= 2.0;
        }
        for _ in 0..50 {
            let middle = f64::midpoint(low, high);
            if middle > 0.0 && short(middle) { low = middle } else { high = middle }
        }
        Some(high)
    })
}

/// Hours to recharge, hours in which a charger is fed, and what charges in words.
fn recharge(
    rig: &Rig,
    chargers: &[(&str, &AnyPart)],
    used: &Input,
    kinds: &[Chemistry],
    told: FactId,
) -> (Bounded, Bounded, String) {
    let (mut current, mut window, mut names) = (Input::fixed(0.0), Input::fixed(0.0), Vec::new());
    for (name, part) in chargers {
        let Kind::Charger(charger) = &part.kind else { continue };
        let fed = rig.word(charger.fed_by);
        let hours = rig.spec.modes.iter().filter(|mode| match fed {
            Some("shore") => rig.flag(mode.item.shore) == Some(true),
            Some("tow-vehicle") => rig.flag(mode.item.moving) == Some(true),
            _ => false,
        });
        for mode in hours {
            let time = Input::fact(rig, mode.item.per_day);
            window = corners([&window, &time], |[sum, time]| Some(sum + time));
        }
        if !matches!(fed, Some("shore" | "tow-vehicle")) {
            // The sun and a generator feed as long as they do; nobody says.
            window = Input { range: Range::new(0.0, 24.0 * 3600.0), facts: vec![(charger.fed_by.id, f64::INFINITY)] };
        }
        let one = Input::fact(rig, charger.current);
        current = corners([&current, &one], |[sum, one]| Some(sum + one));
        names.push(*name);
    }
    let time = over(kinds, told, |kind| {
        corners([used, &current], |[used, current]| {
            recharge_time(&Recharge {
                used,
                factor: kind.factor,
                current,
                taper: if used > 0.0 { kind.taper } else { 0.0 },
            })
        })
    });
    let words = if names.is_empty() { "no charger is listed".to_owned() } else { names.join(" and ") };
    (if names.is_empty() { Input::fixed(0.0) } else { time }, window, words)
}

/// Gas of a lead battery and the vents of its box.
fn gas(rig: &Rig, sheet: &mut Sheet, part: &AnyPart, battery: &Battery) {
    let subject = SubjectId(part.entry.0);
    let unlimited = rig.parts().any(|(_, part)| match &part.kind {
        Kind::Charger(charger) => rig.word(charger.profile) == Some("constant-current"),
        _ => false,
    });
    let [vented, sealed] =
        if unlimited { [GASSING_VENTED_UNLIMITED, GASSING_SEALED_UNLIMITED] } else { [GASSING_VENTED, GASSING_SEALED] };
    let (low, high) = match rig.word(battery.chemistry) {
        Some("lfp") => (0.0, 0.0),
        Some("agm" | "gel") => (sealed, sealed),
        Some(_) => (vented, vented),
        None => (0.0, vented),
    };
    let gassing = Input { range: Range::new(low, high), facts: vec![(battery.chemistry.id, high - low)] };
    let inputs = [
        &gassing,
        &Input::fact(rig, battery.capacity),
        &Input::fact(rig, battery.count),
        &Input::fact(rig, battery.voltage),
    ];
    let air = corners(inputs, |[gassing, capacity, count, voltage]| {
        // Nominal volts over two a cell: 12.8 V on a label is still six cells of lead.
        let cells = (voltage / VOLTS_A_CELL).floor() * count.max(1.0);
        Some(ventilation(&Gassing { cells, capacity, gassing }, AIR_PER_CHARGE_AT_25C))
    });
    let area = corners([&air], |[air]| Some(vent_area(air)));
    sheet.enter(subject, row(CARDS, "battery", "gas-vent-needed"), area);
    sheet.enter(subject, row(CARDS, "battery", "gas-air"), air);
}

/// Fuel and bleach that share a closed box with a battery.
fn neighbors(rig: &Rig, sheet: &mut Sheet, name: &str, part: &AnyPart, battery: &Battery) {
    let here = in_box(rig, &part.common);
    if here.range.is_some_and(|range| range.high <= 0.0) {
        return;
    }
    let fuel = fuel_holders(rig).map(|(name, part)| (name, part, "fuel"));
    let bleach = rig.tanks().filter_map(|(name, part, tank)| {
        let breathes = matches!(rig.word(tank.vent), Some("inside"));
        (rig.word(tank.holds.fluid) == Some("hypochlorite") && breathes).then_some((name, part, "bleach"))
    });
    for (other, neighbor, from) in fuel.chain(bleach).collect::<Vec<_>>() {
        let there = in_box(rig, &neighbor.common);
        let same = corners([&here, &there], |[here, there]| Some(here.min(there)));
        let place = rig.entry(battery.entry).place.clone();
        let subject = sheet.subject("battery-neighbor", format!("{name} and {other}"), place);
        sheet.link(subject, row(CARDS, "battery-neighbor", "battery"), SubjectId(part.entry.0));
        sheet.link(subject, row(CARDS, "battery-neighbor", "neighbor"), SubjectId(neighbor.entry.0));
        sheet.note(subject, row(CARDS, "battery-neighbor", "danger-from"), from.to_owned());
        sheet.enter(subject, row(CARDS, "battery-neighbor", "apart"), apart(rig, &part.common, &neighbor.common));
        sheet.enter(subject, row(CARDS, "battery-neighbor", "same-air"), same);
    }
}
