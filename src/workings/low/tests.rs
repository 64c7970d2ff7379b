use crate::inspection::Inspector;
use crate::measure::Range;
use crate::spec::Shelf;
use crate::trial::demo_shop;

/// A figure of a spec of the demo shop, by chapter, row and subject.
fn figure(spec: &str, id: &str) -> Range {
    let inspector = Inspector::standard().unwrap();
    let path = format!("{spec}.yaml");
    let open = |path: &str| demo_shop(path.trim_start_matches("./")).ok_or_else(|| "there is no such file".to_owned());
    let judged = inspector.figure(&path, &demo_shop(&path).unwrap(), &mut Shelf::default(), &open).ok().unwrap();
    let sheet = &judged.scene.sheet;
    let found = sheet.figures.iter().find(|figure| sheet.id(figure) == id);
    found.unwrap_or_else(|| panic!("no {id}")).value.range.unwrap()
}

fn near(range: Range, expected: f64, share: f64) {
    assert!((range.middle() - expected).abs() <= share * expected.abs(), "{range:?} is not {expected}");
}

const FT: f64 = 0.3048;
const GPM: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254 / 60.0;

/// Parabola of safety, by hand: a ridge at 16 ft, tip at 4 ft, 10 ft away: (12 + sqrt(244)) / 2 = 13.81 ft.
#[test]
fn the_jet_a_ridge_asks_for_is_that_of_the_parabola_of_safety() {
    near(figure("tandem-roof-rig", "delivery.throw-needed:duties[0]/roof"), 13.8102 * FT, 1e-4);
}

/// Balance of chlorine, by hand: 1200 sq ft at 0.4 mm is 44.594 L of mix a job; two jobs at 3 of 12.5 % take 21.405 L of bleach.
#[test]
fn a_day_of_roofs_takes_its_share_of_bleach() {
    near(figure("tandem-roof-rig", "delivery.stock-per-day:duties[0]/roof"), 0.021_405, 1e-3);
}

/// Where pump and line meet, both hold: flow through the tip by 29.851 Cd d^2 sqrt(psi / SG), and the pump's line
/// q0 - 0.47 q0 p / p_off at its own pressure.
#[test]
fn the_settled_point_lies_on_the_tip_and_on_the_pump() {
    let value = |name: &str| figure("pickup-skid", &format!("delivery.{name}:parts.roof-pump/roof-pump")).middle();
    let psi = 6_894.757_293_168;
    let flow = value("tip-flow") / GPM;
    // 2 % trade weighs 1.027 by 1 + 1.36 c.
    let through = 29.851 * 0.93 * 0.196 * 0.196 * (value("tip-pressure") / psi / 1.027).sqrt();
    assert!((flow - through).abs() < 0.005 * flow, "{flow} gpm, {through} gpm through the tip");
    let pump = 7.0 - 0.47 * 7.0 * value("pump-pressure") / psi / 80.0;
    assert!((flow - pump).abs() < 1e-6 * flow, "{flow} gpm, {pump} gpm from the pump");
}

/// ANSI/HI 9.8-1998, 9.8.7 as published, S = D + 0.574 gpm / D^1.5 in inches: 1 in and 5.5 gpm give 4.157 in, half an inch of
/// outlet under it.
#[test]
fn a_washer_gulps_air_at_the_depth_of_the_intake_standard() {
    near(figure("open-trailer", "suction.depth-needed:parts.water/water in wash"), (4.157 + 0.5) * 0.0254, 5e-3);
}

/// Closed form, by hand: 0.25 gal of water of 992 kg/m3 and 4179 J/(kg K) from 30 to 60 degC at 1.5 kW takes 78.5 s.
#[test]
fn a_loop_heats_as_its_water_does() {
    near(figure("open-trailer", "heat.loop-time:parts.washer"), 78.5, 2e-3);
}

/// ASHRAE-like lumped cooling, by hand: 0.12 m2 at 25 W/(m2 K) against 2 degC and 10 degF air is 3 W/K x 14.22 K.
#[test]
fn the_heat_for_a_pump_is_loss_times_degrees() {
    near(figure("tandem-roof-rig", "heat.box-heat:climate"), 3.0 * (2.0 + 12.2222), 1e-3);
}

/// The remedy must be one: 4 gpm through 4 ft of 1/2 in pulls more vacuum than through 1 in, by most of what the narrow hose
/// loses. Velocity head of 6.5 ft/s alone is 0.28 psi; hose, elbow and coupling take several of them.
#[test]
fn a_wider_suction_hose_helps_the_starved_pump_of_the_draft() {
    let inlet =
        |name: &str| figure("first-draft", &format!("suction.{name}:parts.washer/washer")).middle() / 6_894.757_293_168;
    let (now, wide) = (inlet("inlet-pressure"), inlet("inlet-with-inch-hose"));
    assert!(now < -2.0 && wide > -0.8, "{now} psi now, {wide} psi with 1 in hose");
}
