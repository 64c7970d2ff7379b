//! Wiring, batteries, air, noise and kit of small written rigs against the standards' own numbers and against hand work.
//!
//! Sources stand beside each check. Conversions are exact: 1 ft = 0.3048 m, 1 in = 0.0254 m, 1 US gal = 231 in3, 1 cfm =
//! 0.3048^3 / 60 m3/s.

use std::sync::LazyLock;

use rigproof::inspection::{Inspector, Judged};
use rigproof::measure::Range;
use rigproof::spec::Shelf;
use rigproof::workings::{Property, SubjectId};

const FT: f64 = 0.3048;
const IN: f64 = 0.0254;
const GAL: f64 = 231.0 * IN * IN * IN;
const HOUR: f64 = 3600.0;

static INSPECTOR: LazyLock<Inspector> = LazyLock::new(|| Inspector::standard().expect("the standard rulebook loads"));

fn judge(body: &str) -> Judged {
    let text = format!("rigproof: 1\nname: a small rig\n{body}");
    let open = |_: &str| Err("no other file".to_owned());
    match INSPECTOR.figure("rig.yaml", text.as_bytes(), &mut Shelf::default(), &open) {
        Ok(judged) => judged,
        Err((_, problems)) => panic!("{problems:#?}\n{text}"),
    }
}

fn subject(judged: &Judged, kind: &str, at: usize) -> SubjectId {
    let subjects = judged.scene.sheet.subjects.iter().enumerate();
    let found = subjects.filter(|(_, subject)| subject.kind == kind).nth(at);
    SubjectId(u32::try_from(found.unwrap_or_else(|| panic!("no {kind}")).0).expect("few subjects"))
}

/// A figure of the subject of a kind at a position, in the unit handed over.
fn range(judged: &Judged, kind: &str, at: usize, name: &'static str, unit: f64) -> Range {
    let range = judged.scene.sheet.range(subject(judged, kind, at), name);
    let range = range.unwrap_or_else(|| panic!("{name} is not known"));
    Range { low: range.low / unit, high: range.high / unit }
}

fn note(judged: &Judged, kind: &str, at: usize, name: &'static str) -> String {
    match judged.scene.sheet.property(subject(judged, kind, at), name) {
        Some(Property::Note(note)) => judged.scene.sheet.notes[note as usize].clone(),
        other => panic!("{name} is no note: {other:?}"),
    }
}

fn near(found: f64, expected: f64, relative: f64, what: &str) {
    assert!((found - expected).abs() <= relative * expected.abs(), "{what}: found {found}, expected {expected}");
}

#[track_caller]
fn holds(found: Range, expected: f64, what: &str) {
    near(found.low, expected, 1e-3, what);
    near(found.high, expected, 1e-3, what);
}

/// A pump on one wire, with the wire's fields handed over.
fn one_wire(fields: &str) -> Judged {
    judge(&format!(
        "parts:\n  battery: {{ kind: battery, chemistry: lfp, capacity: 100 Ah, voltage: 12 V, count: 1 }}\n  \
         pump: {{ kind: delivery-pump, drive: 12V, current: 18 A }}\n\
         wiring:\n  - {{ from: battery.plus, to: pump.plus, {fields} }}\n"
    ))
}

#[test]
fn a_wire_loses_what_abyc_e11_says() {
    // ABYC E-11: V = 10.75 x A x ft there and back / circular mils. 10.75 x 18 x 30 / 10,383 (10 AWG, ASTM B258) = 0.5591 V.
    let rig = one_wire("gauge: 10 AWG, length: 15 ft, insulation: 105 C, bundled: 2, engine-space: no");
    holds(range(&rig, "wire", 0, "drop", 1.0), 0.5591, "drop");
    holds(range(&rig, "wire", 0, "drop-share", 1.0), 0.04659, "share of 12 V");
    // 3 % of 12 V asks for 10.75 x 18 x 30 / 0.36 = 16,125 cmil: 8 AWG has 16,510.
    assert_eq!(note(&rig, "wire", 0, "gauge-needed"), "8 AWG");
}

#[test]
fn metric_cable_goes_by_its_own_table() {
    // IEC 60228 class 5, 6 mm2: 3.30 ohm/km at 20 degC, 1.965 % more at 25 degC: 2 x 15 ft x 18 A x 3.365e-3 = 0.5538 V.
    let rig = one_wire("gauge: 6 mm2, length: 15 ft, insulation: 105 C, bundled: 2, engine-space: no");
    holds(range(&rig, "wire", 0, "drop", 1.0), 0.5538, "drop");
}

#[test]
fn a_wire_carries_what_the_boat_rules_and_the_cable_makers_list() {
    // 33 CFR 183.425 Table 5, 105 degC: 10 AWG 60 A; x 0.85 in an engine space; bundles of 3, 4 to 6, 7 to 24: 42, 36, 30 A.
    for (how, amps) in [
        ("bundled: 2, engine-space: no", 60.0),
        ("bundled: 2, engine-space: yes", 51.0),
        ("bundled: 3, engine-space: no", 42.0),
        ("bundled: 6, engine-space: no", 36.0),
        ("bundled: 7, engine-space: no", 30.0),
    ] {
        let rig = one_wire(&format!("gauge: 10 AWG, length: 15 ft, insulation: 105 C, {how}"));
        holds(range(&rig, "wire", 0, "ampacity", 1.0), amps, how);
    }
    // 60 degC column where the print says so; anything up to the 125 degC column where nobody read it.
    let rig = one_wire("gauge: 10 AWG, length: 15 ft, bundled: 2, engine-space: no");
    let unread = range(&rig, "wire", 0, "ampacity", 1.0);
    near(unread.low, 40.0, 1e-9, "60 degC");
    near(unread.high, 70.0, 1e-9, "125 degC");
}

#[test]
fn a_fuse_lies_between_the_load_and_the_wire() {
    // 1.25 x 18 A = 22.5 A (NEC 210.20(A)); 33 CFR 183.455(c): 150 % of 60 A.
    let rig = one_wire("gauge: 10 AWG, length: 15 ft, insulation: 105 C, bundled: 2, engine-space: no");
    holds(range(&rig, "wire", 0, "fuse-least", 1.0), 22.5, "least");
    holds(range(&rig, "wire", 0, "fuse-legal", 1.0), 90.0, "legal");
    assert_eq!(note(&rig, "wire", 0, "fuse-choice"), "a fuse of 25 A to 60 A");
}

#[test]
fn voltage_is_lost_on_every_wire_between_battery_and_load() {
    // ABYC E-11, by hand: 10.75 x 40 x 10 / 26,251 (6 AWG) = 0.1638 V and 10.75 x 18 x 20 / 16,510 (8 AWG) = 0.2344 V.
    let rig = judge(
        "parts:\n  battery: { kind: battery, voltage: 12 V, chemistry: lfp, capacity: 100 Ah, count: 1 }\n  \
         block: { kind: fuse-block }\n  pump: { kind: delivery-pump, drive: 12V, current: 18 A }\n\
         wiring:\n  - { from: battery.plus, to: block.feed, gauge: 6 AWG, length: 5 ft, current: 40 A }\n  \
         - { from: block.pump, to: pump.plus, gauge: 8 AWG, length: 10 ft }\n",
    );
    holds(range(&rig, "wire", 1, "drop-at-load", 1.0), 0.1638 + 0.2344, "at the pump");
    holds(range(&rig, "wire", 1, "at-load", 1.0), 12.0 - 0.3982, "left at the pump");
}

/// A battery of 100 Ah with a pump of 18 A that runs two hours a day.
fn two_hours(chemistry: &str) -> Judged {
    judge(&format!(
        "parts:\n  battery: {{ kind: battery, chemistry: {chemistry}, capacity: 100 Ah, voltage: 12 V, count: 1 }}\n  \
         pump: {{ kind: delivery-pump, drive: 12V, current: 18 A }}\n  \
         charger: {{ kind: charger, current: 12 A, fed-by: shore }}\n\
         modes: {{ spray: {{ running: [pump], per-day: 2 h }}, night: {{ shore: yes, per-day: 8 h }} }}\n"
    ))
}

#[test]
fn a_battery_lasts_by_peukert() {
    // Peukert, t = H (C/(I H))^k, by hand: k 1.05: 20 (100/360)^1.05 = 5.211 h, 80 % of it usable; k 1.25: 4.033 h, half usable.
    let lithium = two_hours("lfp");
    holds(range(&lithium, "battery-in-mode", 0, "lasts", HOUR), 0.8 * 5.2109, "lithium");
    holds(range(&lithium, "battery", 0, "day-share", 1.0), 2.0 / 5.2109, "share of lithium");
    let lead = two_hours("flooded");
    holds(range(&lead, "battery-in-mode", 0, "lasts", HOUR), 0.5 * 4.0332, "lead");
    holds(range(&lead, "battery", 0, "day-use", HOUR), 36.0, "Ah in a day");
    // The bank that gives 2 h at half: C = I H (2 h / 0.5 / H)^(1/k) = 360 (0.2)^0.8 = 99.34 Ah.
    holds(range(&lead, "battery", 0, "bank-needed", HOUR), 99.34, "bank needed");
    // 36 Ah x 1.15 / 12 A + 3 h = 6.45 h (common practice, no source).
    holds(range(&lead, "battery", 0, "recharge-time", HOUR), 6.45, "recharge");
    holds(range(&lead, "battery", 0, "recharge-window", HOUR), 8.0, "plugged in");
}

#[test]
fn a_battery_of_unknown_chemistry_is_either() {
    let rig = two_hours("unknown");
    let usable = range(&rig, "battery", 0, "usable", 1.0);
    near(usable.low, 0.5, 1e-9, "lead");
    near(usable.high, 0.8, 1e-9, "lithium");
}

#[test]
fn charge_left_falls_to_nothing_along_its_curve() {
    let rig = two_hours("lfp");
    let curve = rig.scene.sheet.curves.iter().find(|curve| curve.id == "electrical.charge-left:battery in spray");
    let points = &curve.expect("a curve").points;
    let (first, last) = (points.first().expect("a first point"), points.last().expect("a last point"));
    assert_eq!(*first, (0.0, 100.0));
    // Peukert by hand, as above.
    near(last.0, 5.2109, 1e-3, "hours to empty");
    assert!(last.1.abs() < 1e-9);
    assert!(points.windows(2).all(|pair| pair[1].0 > pair[0].0 && pair[1].1 < pair[0].1));
}

#[test]
fn battery_gas_needs_the_vents_of_the_traction_standard() {
    // EN IEC 62485-3: 0.055 m3/Ah x 6 cells x 2 A in 100 Ah = 0.66 m3/h; 28 cm2 for each m3/h: 18.48 cm2. Sealed: half.
    let flooded = two_hours("flooded");
    holds(range(&flooded, "battery", 0, "gas-air", 1.0 / HOUR), 0.66, "air");
    holds(range(&flooded, "battery", 0, "gas-vent-needed", 1e-4), 18.48, "vent");
    holds(range(&two_hours("agm"), "battery", 0, "gas-vent-needed", 1e-4), 9.24, "sealed");
    assert_eq!(range(&two_hours("lfp"), "battery", 0, "gas-vent-needed", 1.0).high, 0.0);
}

#[test]
fn a_charger_takes_its_share_of_the_shore_breaker() {
    // By hand: 40 A x 14.4 V / (0.85 x 120 V) = 5.647 A, x 1.25 = 7.059 A (NEC 210.20(A)); 0.8 x 15 x 120 x 0.85 / 14.4 = 85 A.
    let rig = judge(
        "parts:\n  inlet: { kind: shore-inlet, voltage: 120 V, breaker: 15 A }\n  \
         charger: { kind: charger, current: 40 A, fed-by: shore, efficiency: 85 %, power-factor: 1 }\n",
    );
    holds(range(&rig, "shore-inlet", 0, "shore-load", 1.0), 7.0588, "load");
    holds(range(&rig, "shore-inlet", 0, "largest-charger", 1.0), 85.0, "largest");
}

/// A washer in a 5 x 8 x 6 ft box with one door of 4 x 5-1/2 ft.
fn small_box(exhaust: &str, mode: &str) -> Judged {
    judge(&format!(
        "trailer:\n  body: enclosed\n  inside: 96 in x 60 in x 72 in\n  doors: {{ tail: {{ wall: tail, swing: out, hinge: curb, from-curb: 6 in, width: 48 in, height: 66 in }} }}\n\
         parts:\n  washer: {{ kind: washer, flow: 4 gpm, pressure: 3500 psi, engine: {{ fuel: gasoline, sound-power: 105 dBA }}, exhaust: {{ {exhaust} }} }}\n\
         modes: {{ wash: {{ running: [washer], {mode}, per-day: 3 h }} }}\n\
         duties: [{{ job: drive, with: washer, hose-run: 4 m }}]\n"
    ))
}

#[test]
fn carbon_monoxide_fills_a_shut_box_in_seconds() {
    // By hand: 4 gpm x 3,500 psi = 6.090 kW, / 0.85 = 7.165 kW; x 610 g/kWh (40 CFR 1054.105 Table 1) = 4,370 g/h =
    // 1.0604e-3 m3/s at 24.465 L/mol and 28.010 g/mol; 6.796 m3 x 200 ppm over that = 1.282 s; at 70 g/kWh 11.17 s.
    let rig = small_box("leaves: inside", "person-inside: no");
    let fast = range(&rig, "running-engine", 0, "closed-200", 1.0);
    near(fast.low, 1.282, 2e-3, "610 g/kWh");
    near(fast.high, 11.17, 2e-3, "70 g/kWh");
    let deadly = range(&rig, "running-engine", 0, "closed-1200", 1.0);
    near(deadly.low, 7.690, 2e-3, "1,200 ppm");
    // A fiftieth of it takes fifty times as long.
    near(range(&rig, "running-engine", 0, "leak-200", 1.0).low, 64.1, 2e-3, "leak");
}

#[test]
fn an_open_door_passes_what_warren_and_parkins_say() {
    // One opening of 2.0439 m2, 1.6764 m high, 10 K warmer at 300 K: 0.6 x A / 3 x sqrt(9.80665 x h x 10 / 300) = 0.3026 m3/s,
    // 1,089 m3/h; more than 0.025 x A x 2 m/s = 368 m3/h of wind.
    let rig = small_box("leaves: inside", "person-inside: no");
    holds(range(&rig, "running-engine", 0, "open-air", 1.0 / HOUR), 1089.4, "air");
    // What settles is source over air: 1.0604e-3 / 0.3026 = 3,504 ppm at 610 g/kWh.
    near(range(&rig, "running-engine", 0, "open-level", 1e-6).high, 3504.0, 2e-3, "level");
}

#[test]
fn carbon_monoxide_curves_are_data() {
    let rig = small_box("leaves: inside", "person-inside: no");
    let find = |id: &str| &rig.scene.sheet.curves.iter().find(|curve| curve.id == id).expect("a curve").points;
    let (shut, open) = (find("air.carbon-monoxide-shut:washer"), find("air.carbon-monoxide-open:washer"));
    // A shut box fills evenly, to twice 1,200 ppm; an open one stays below it.
    let last = shut.last().expect("a last point");
    near(last.1, 2400.0, 1e-9, "twice 1,200 ppm");
    assert!(shut.iter().zip(open).skip(1).all(|(shut, open)| shut.0 == open.0 && open.1 < shut.1));
    for (time, level) in shut.iter().skip(1) {
        near(level / time, last.1 / last.0, 1e-9, "even");
    }
}

#[test]
fn cooling_sizes_the_fan() {
    // By hand: 7.165 kW x 0.40 kg/kWh x 43.4 MJ/kg = 34.55 kW of fuel; 35 % with the exhaust piped out, else all but the shaft's.
    let piped = small_box("leaves: wall, piped: yes", "person-inside: no");
    holds(range(&piped, "running-engine", 0, "heat-in-box", 1e3), 12.093, "piped out");
    let inside = small_box("leaves: inside", "person-inside: no");
    holds(range(&inside, "running-engine", 0, "heat-in-box", 1e3), 27.386, "inside");
    // 12,093 W / (1.2 x 1006 x 20 K) = 0.5009 m3/s = 1,061 cfm.
    holds(range(&piped, "running-engine", 0, "cooling-needed", FT.powi(3) / 60.0), 1061.3, "air");
}

#[test]
fn gasoline_vapor_takes_little() {
    // Ideal gas at 24.465 L/mol: 6.796 m3 x 1.4 % x 25 % / 0.024465 x 68 g / 740 g/L = 89.4 mL.
    let rig = judge(
        "trailer: { body: enclosed, inside: 96 in x 60 in x 72 in }\n\
         parts: { can: { kind: container, holds: gasoline, capacity: 5 gal } }\n",
    );
    holds(range(&rig, "fuel-store", 0, "quarter-explosive", 1e-6), 89.35, "mL");
}

#[test]
fn noise_at_the_gun_and_in_the_box() {
    // Half-space spreading: 105 - 10 log(2 pi 1 m2) = 97.02 dBA at 1 m, a quarter of the 4 m of hose.
    let outside = small_box("leaves: inside", "person-inside: no");
    near(range(&outside, "loud-engine", 0, "ear-level", 1.0).high, 97.02, 1e-4, "at 1 m");
    // 29 CFR 1910.95 Table G-16a: 97 dBA 3.0 h, so 3 h at 97.02 dBA is a whole dose; by the formula 3.022 h.
    near(range(&outside, "loud-engine", 0, "osha-hours", HOUR).low, 3.022, 1e-3, "OSHA");
    near(range(&outside, "loud-engine", 0, "distance-85", 1.0).low, 3.989, 1e-3, "falls to 85 dBA");
    // Room constant by hand: S 21.93 m2, mean absorption (0.1 x 19.88 + 2.044) / 21.93 = 0.1839, Q 2: 104.86 dBA.
    let inside = small_box("leaves: inside", "person-inside: yes");
    near(range(&inside, "loud-engine", 0, "ear-level", 1.0).low, 104.86, 1e-4, "in the box");
    near(range(&inside, "loud-engine", 0, "box-adds", 1.0).low, 7.84, 2e-3, "walls");
}

#[test]
fn an_eyewash_flushes_a_quarter_of_an_hour() {
    // ANSI/ISEA Z358.1: 0.4 gpm for 15 minutes is 6 gal; 3 gal last 7.5 minutes. A tray holds 110 % (common practice, no source).
    let rig = judge(
        "parts:\n  wash: { kind: eyewash, capacity: 3 gal, style: self-contained }\n  \
         bleach: { kind: tank, holds: hypochlorite, capacity: 50 gal }\n  tray: { kind: tray, capacity: 40 gal, under: [bleach] }\n",
    );
    holds(range(&rig, "eyewash", 0, "flush-needed", GAL), 6.0, "needed");
    holds(range(&rig, "eyewash", 0, "flush-lasts", 60.0), 7.5, "lasts");
    holds(range(&rig, "tank", 0, "tray-needed", GAL), 55.0, "tray needed");
    holds(range(&rig, "tank", 0, "tray-holds", GAL), 40.0, "tray");
}
