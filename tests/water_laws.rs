//! Laws of the pressure side, from the text of a spec to its figures: what is known between two ends encloses everything
//! between them, each fact pushes the way physics says, and nothing a spec can say makes a figure fail.

use proptest::prelude::*;
use rigproof::inspection::{Inspector, Judged};
use rigproof::measure::Range;
use rigproof::spec::Shelf;
use rigproof::workings::SubjectId;
use std::sync::LazyLock;

static INSPECTOR: LazyLock<Inspector> =
    LazyLock::new(|| Inspector::standard().unwrap_or_else(|faults| panic!("{faults:#?}")));

/// The facts of a washer and its way: low and high of each, in the units of [`UNITS`].
type Facts = [(f64, f64); 11];

const FLOW: usize = 0;
const OPENS: usize = 1;
const BORE: usize = 2;
const LENGTH: usize = 3;
const TIP: usize = 4;
const RISE: usize = 5;
const UNITS: [&str; 11] = ["gpm", "psi", "in", "ft", "gpm", "ft", "", "psi", "mm", "hp", "ft"];
const NAMES: [&str; 11] =
    ["flow", "opens", "bore", "length", "tip", "rise", "elbows", "gun", "orifice", "power", "altitude"];

fn judge(facts: &Facts) -> Judged {
    let say = |name: &str| {
        let at = NAMES.iter().position(|known| *known == name).unwrap();
        let ((low, high), unit) = (facts[at], UNITS[at]);
        // A spec refuses more digits than anything can be measured to.
        let (low, high) = (format!("{low:.6}"), format!("{high:.6}"));
        let text = if low == high { low } else { format!("{low} to {high}") };
        format!("{text} {unit}").trim().to_owned()
    };
    let spec = format!(
        "rigproof: 1
name: a law
parts:
  water: {{ kind: tank, holds: water }}
  washer: {{ kind: washer, flow: {flow}, pressure: 3000 psi, engine: {{ fuel: gasoline, power: {power} }}, unloader: {{ bypass: tank, opens: {opens} }} }}
  injector: {{ kind: injector, orifice: {orifice} }}
  reel: {{ kind: reel, rated: 5000 psi, bore: 3/8 in, hose: {{ bore: {bore}, length: {length}, rated: 4000 psi }} }}
  gun: {{ kind: gun, rated: 5000 psi, loss: {gun}, rated-flow: 8 gpm }}
  tip: {{ kind: nozzle, flow: {tip}, at-pressure: 4000 psi, angle: 25 deg, count: 1 }}
plumbing:
  - {{ from: water.outlet, to: washer.inlet, hose: 1 in, length: 6 ft, rise: 0 in, elbows: 0 }}
  - {{ from: washer.outlet, to: injector.inlet, hose: 1/2 in, length: 2 ft, rise: 0 in, elbows: {elbows}, rated: 4000 psi }}
  - {{ from: injector.outlet, to: reel.in, hose: 3/8 in, length: 4 ft, rise: {rise}, elbows: 0, rated: 4000 psi }}
  - {{ from: reel.out, to: gun.in, hose: 3/8 in, length: 3 ft, rise: 0 in, elbows: 0, rated: 4000 psi }}
  - {{ from: gun.out, to: tip.in, hose: 3/8 in, length: 1 in, rise: 0 in, elbows: 0, rated: 4000 psi }}
modes:
  wash: {{ running: [washer] }}
duties:
  - {{ job: drive, with: washer, hose-run: 50 ft, pressure-at-gun: 2000 psi, flow-at-gun: 4 gpm }}
climate: {{ hottest: 30 C, altitude: {altitude} }}
",
        flow = say("flow"),
        opens = say("opens"),
        bore = say("bore"),
        length = say("length"),
        tip = say("tip"),
        rise = say("rise"),
        elbows = say("elbows"),
        gun = say("gun"),
        orifice = say("orifice"),
        power = say("power"),
        altitude = say("altitude"),
    );
    let open = |_: &str| Err("no books".to_owned());
    INSPECTOR
        .figure("law.yaml", spec.as_bytes(), &mut Shelf::default(), &open)
        .unwrap_or_else(|(_, problems)| panic!("{spec}\n{problems:#?}"))
}

const KINDS: [&str; 2] = ["pressure-circuit", "washing-duty"];

/// Every figure of the circuit and the duty: its name and range.
fn figures(judged: &Judged) -> Vec<(&'static str, Option<Range>)> {
    let sheet = &judged.scene.sheet;
    let of_water = |figure: &&rigproof::workings::Figure| KINDS.contains(&sheet.at(figure.subject).kind);
    sheet.figures.iter().filter(of_water).map(|figure| (figure.card.name, figure.value.range)).collect()
}

fn figure(judged: &Judged, name: &'static str) -> Range {
    let sheet = &judged.scene.sheet;
    (0..sheet.subjects.len() as u32)
        .map(SubjectId)
        .find_map(|id| sheet.range(id, name))
        .unwrap_or_else(|| panic!("no {name}"))
}

/// Usual machines: gpm, psi, in, ft, tip size, ft of rise, elbows, psi of gun, mm of injector, hp, ft of altitude.
fn usual() -> impl Strategy<Value = [f64; 11]> {
    let first = (2.0..10.0f64, 1500.0..5000.0f64, 0.25..0.5f64, 20.0..300.0f64, 2.0..10.0f64, -20.0..40.0f64);
    let second = (0u8..8, 5.0..100.0f64, 1.8..4.0f64, 5.0..30.0f64, 0.0..9000.0f64);
    (first, second).prop_map(|((a, b, c, d, e, f), (g, h, i, j, k))| [a, b, c, d, e, f, f64::from(g), h, i, j, k])
}

fn points(values: [f64; 11]) -> Facts {
    values.map(|value| (value, value))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    /// The ends of every figure enclose what comes out for any values between the ends of the facts.
    #[test]
    fn a_figure_over_ranges_encloses_the_figure_of_every_point_inside(
        low in usual(),
        widths in prop::array::uniform11(0.0..0.3f64),
        inside in prop::array::uniform11(0.0..1.0f64),
    ) {
        let mut wide = points(low);
        let mut inner = points(low);
        for at in 0..11 {
            // Elbows are whole.
            let width = if at == 6 { 1.0 } else { widths[at] * low[at].abs() };
            wide[at].1 = low[at] + width;
            let point = low[at] + if at == 6 { 0.0 } else { inside[at] * width };
            inner[at] = (point, point);
        }
        let (outer, inner) = (judge(&wide), judge(&inner));
        for ((name, outer), (same, inner)) in figures(&outer).into_iter().zip(figures(&inner)) {
            prop_assert_eq!(name, same);
            // Which hose sold would do is a choice by the middle of the facts, not a bound.
            if name.starts_with("bore-wanted") {
                continue;
            }
            if let Some((outer, inner)) = outer.zip(inner) {
                let slack = 1e-9 * (outer.low.abs() + outer.high.abs());
                prop_assert!(outer.low - slack <= inner.low && inner.high <= outer.high + slack, "{}: {:?} in {:?}", name, inner, outer);
            }
        }
    }

    /// Directions of a washer's point, physics: more of one fact with all others the same.
    #[test]
    fn each_fact_pushes_the_way_physics_says(values in usual(), more in 1.01..1.4f64) {
        let base = judge(&points(values));
        let pushed = [FLOW, OPENS, BORE, LENGTH, TIP, RISE].map(|fact| {
            let mut values = values;
            values[fact] = if fact == RISE { values[fact] + 10.0 * more } else { values[fact] * more };
            judge(&points(values))
        });
        let change = |fact: usize, name: &'static str| {
            let (before, after) = (figure(&base, name), figure(&pushed[fact], name));
            (after.low - before.low) / before.low.abs().max(1e-12)
        };
        let rises = |fact: usize, name: &'static str| change(fact, name) >= -1e-9;
        let falls = |fact: usize, name: &'static str| change(fact, name) <= 1e-9;
        prop_assert!(rises(FLOW, "tip-flow") && rises(FLOW, "hose-loss") && rises(FLOW, "pump-pressure") && rises(FLOW, "bypass"));
        prop_assert!(rises(OPENS, "tip-pressure") && falls(OPENS, "bypass") && rises(OPENS, "pump-pressure"));
        prop_assert!(falls(BORE, "hose-loss") && falls(BORE, "pressure-needed") && rises(BORE, "tip-pressure"));
        prop_assert!(rises(LENGTH, "hose-loss") && falls(LENGTH, "tip-pressure") && rises(LENGTH, "bypass"));
        prop_assert!(rises(TIP, "tip-flow") && falls(TIP, "tip-pressure") && falls(TIP, "pump-pressure") && falls(TIP, "bypass"));
        prop_assert!(rises(RISE, "pressure-needed") && falls(RISE, "tip-flow") && falls(RISE, "tip-pressure"));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 80, failure_persistence: None, ..ProptestConfig::default() })]

    /// Noughts, grains and mountains: whatever a spec says, a figure is a finite number or says that nothing bounds it.
    #[test]
    fn no_spec_makes_a_figure_fail(
        values in prop::array::uniform11(prop_oneof![Just(0.0), Just(1e-6), Just(1e6), 0.0..20.0f64]),
        widths in prop::array::uniform11(prop_oneof![Just(0.0), 0.0..1000.0f64]),
    ) {
        let mut facts = points(values);
        for (fact, width) in facts.iter_mut().zip(widths) {
            fact.1 += width;
        }
        let judged = judge(&facts);
        for (name, range) in figures(&judged) {
            if let Some(range) = range {
                prop_assert!(range.low.is_finite() && range.high.is_finite() && range.low <= range.high, "{}: {:?}", name, range);
            }
        }
        for name in ["tip-flow", "tip-pressure", "pump-pressure", "bypass", "line-loss", "hose-loss", "kick", "kick-most"] {
            let range = figure(&judged, name);
            prop_assert!(range.low >= 0.0 || name == "pump-pressure", "{}: {:?}", name, range);
        }
        for table in &judged.scene.sheet.circuits {
            prop_assert!(table.rows.iter().all(|row| row.pressure.is_finite() && row.loss.is_finite() && row.flow.is_finite()));
        }
    }
}

/// Where each pump of the demo shop draws from, read off its plumbing by eye.
#[test]
fn circuits_start_at_the_tanks_that_the_mode_opens() {
    use rigproof::workings::circuit::Plumbing;
    for (spec, wanted) in [
        (
            "tandem-roof-rig",
            vec![
                ("washer", "wash", "water"),
                ("roof-pump", "soft-wash", "water bleach surfactant"),
                ("roof-pump", "rinse", "water"),
            ],
        ),
        (
            "pickup-skid",
            vec![("washer", "wash", "water"), ("roof-pump", "soft-wash", "mix"), ("roof-pump", "rinse", "water")],
        ),
        ("open-trailer", vec![("washer", "wash", "water")]),
    ] {
        let path = format!("{}/specs/{spec}.yaml", env!("CARGO_MANIFEST_DIR"));
        let open = |path: &str| std::fs::read(path).map_err(|error| error.to_string());
        let judged = INSPECTOR.figure(&path, &std::fs::read(&path).unwrap(), &mut Shelf::default(), &open);
        let judged = judged.unwrap_or_else(|(_, problems)| panic!("{problems:#?}"));
        let circuits = Plumbing::of(&judged.scene.rig).circuits();
        let found: Vec<(&str, &str, String)> =
            circuits.iter().map(|it| (it.pump.as_str(), it.mode_name.as_str(), it.sources.join(" "))).collect();
        let wanted: Vec<(&str, &str, String)> =
            wanted.into_iter().map(|(pump, mode, from)| (pump, mode, from.to_owned())).collect();
        assert_eq!(found, wanted, "{spec}");
        assert!(circuits.iter().all(|circuit| circuit.lost.is_empty()), "{spec}");
    }
}
