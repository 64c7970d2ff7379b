//! Checks of weight and balance. Expected values are statics worked by hand or, where said, by a second route in the
//! test itself; they are quoted in lb and in as the trade states them and converted with the exact factors.

use super::*;
use proptest::prelude::*;

/// International pound, kg (exact).
const LB: f64 = 0.453_592_37;
/// Inch, m (exact).
const IN: f64 = 0.0254;
/// US gallon, in3 (exact).
const GAL_IN3: f64 = 231.0;
/// Water as the trade weighs it, lb per US gal.
const WATER: f64 = 8.34;

fn near(found: f64, expected: f64, relative: f64) {
    assert!((found - expected).abs() <= relative * expected.abs().max(1e-9), "found {found}, expected {expected}");
}

/// A load in lb and in.
fn load(lb: f64, aft: f64, curb: f64, up: f64) -> Load {
    Load { mass: lb * LB, aft: aft * IN, curb: curb * IN, up: up * IN }
}

/// A tank in gal, lb/gal and in.
fn tank(gal: f64, lb_per_gal: f64, aft: f64, curb: f64, floor_up: f64, inside_height: f64) -> TankPlace {
    TankPlace {
        full_mass: gal * lb_per_gal * LB,
        aft: aft * IN,
        curb: curb * IN,
        floor_up: floor_up * IN,
        inside_height: inside_height * IN,
    }
}

/// The loads of a rig in one corner state.
fn aboard(fixed: &[Load], tanks: &[TankPlace], state: u8) -> Vec<Load> {
    let liquids = tanks.iter().zip(0_u32..).map(|(&tank, k)| liquid_load(tank, f64::from(u8::from(is_full(state, k)))));
    fixed.iter().copied().chain(liquids).collect()
}

#[test]
fn the_whole_lateral_moment_is_reacted_at_the_axle() {
    // Statics, by hand: 1000 lb at 90 in on the centreline and 300 lb at 100 in, 18 in to the curb; axle 100 in, track
    // 60 in. R = (90 000 + 30 000)/100 = 1200, T = 100, tilt = 300·18/60 = 90, so 690 and 510 lb. Using R·y_cg instead
    // of W·y_cg would give 683 and 517.
    let loads = [load(1000.0, 90.0, 0.0, 0.0), load(300.0, 100.0, 18.0, 0.0)];
    let (axle, track) = (100.0 * IN, 60.0 * IN);
    near(gross(&loads), 1300.0 * LB, 1e-12);
    near(axle_group_load(&loads, axle).unwrap(), 1200.0 * LB, 1e-12);
    near(tongue_load(&loads, axle).unwrap(), 100.0 * LB, 1e-9);
    near(tongue_ratio(tongue_load(&loads, axle).unwrap(), gross(&loads)).unwrap(), 100.0 / 1300.0, 1e-9);
    let sides = side_loads(&loads, axle, track).unwrap();
    near(sides.curb, 690.0 * LB, 1e-12);
    near(sides.road, 510.0 * LB, 1e-12);
    near(side_difference(sides).unwrap(), 180.0 / 1200.0, 1e-12);
    // 5400 lb·in over 300 lb: back to the centreline.
    near(shift_to_even_sides(sides, track, 300.0 * LB).unwrap(), -18.0 * IN, 1e-9);
}

#[test]
fn an_average_arm_is_the_moment_over_the_weight() {
    // Statics, by hand, the seesaw rule of aircraft weight and balance: 100 lb at 60 in and 50 lb at 90 in balance at
    // 10 500/150 = 70 in.
    let centre = centre_of_gravity(&[load(100.0, 60.0, 3.0, 20.0), load(50.0, 90.0, -6.0, 50.0)]).unwrap();
    near(centre.aft, 70.0 * IN, 1e-12);
    assert!(centre.curb.abs() < 1e-15);
    near(centre.up, 30.0 * IN, 1e-12);
}

#[test]
fn full_and_empty_do_not_show_the_worst_tongue() {
    // Statics, by hand: 2000 lb at 97 in, 60 gal of water (500.4 lb) at 60 in and at 150 in, axle 110 in.
    // T = 2000·13/110 = 236.3636; front tank +500.4·50/110 = +227.4545; rear tank −500.4·40/110 = −181.9636.
    let fixed = [load(2000.0, 97.0, 0.0, 0.0)];
    let tanks = [tank(60.0, WATER, 60.0, 0.0, 0.0, 20.0), tank(60.0, WATER, 150.0, 0.0, 0.0, 20.0)];
    let expected = [
        (0b00, 2000.0, 236.3636364, 0.1181818182),
        (0b10, 2500.4, 54.4, 0.0217565190),
        (0b01, 2500.4, 463.8181818, 0.1854975931),
        (0b11, 3000.8, 281.8545455, 0.0939264681),
    ];
    for (state, weight, tongue, ratio) in expected {
        let loads = aboard(&fixed, &tanks, state);
        let found = tongue_load(&loads, 110.0 * IN).unwrap();
        near(gross(&loads), weight * LB, 1e-9);
        near(found, tongue * LB, 1e-9);
        near(tongue_ratio(found, gross(&loads)).unwrap(), ratio, 1e-8);
    }
}

#[test]
fn the_threshold_search_names_the_state_that_fails() {
    // The same rig. Statics, by hand: min(T − 0.10 W) is water left aft only, 54.4 − 250.04 = −195.64 lb;
    // max(T − 0.15 W) is water left forward only, 463.81818 − 375.06 = 88.75818 lb.
    let axle = 110.0 * IN;
    let margin = |lb: f64, aft: f64, ratio: f64| ratio_margin_share(lb * LB, aft * IN, axle, ratio).unwrap();
    let least = least_over_fills(margin(2000.0, 97.0, 0.10), &[margin(500.4, 60.0, 0.10), margin(500.4, 150.0, 0.10)]);
    near(least.value, -195.64 * LB, 1e-9);
    assert_eq!(least.full, [false, true]);
    let most =
        greatest_over_fills(margin(2000.0, 97.0, 0.15), &[margin(500.4, 60.0, 0.15), margin(500.4, 150.0, 0.15)]);
    near(most.value, 88.75818182 * LB, 1e-9);
    assert_eq!(most.full, [true, false]);
}

#[test]
fn a_high_ball_loads_the_rear_torsion_axle() {
    // Statics of a rigid beam on two springs, by hand: W 6000 lb at 128 in, axles at 129 and 163 in, 1200 lb/in, ball
    // 2 in high. Level: 768 000/292 = 2630.137 each. Σx² = 43 210; front −2400·163·34/43 210 = −307.818.
    let level = IndependentTandem {
        moment: 6000.0 * LB * 128.0 * IN,
        front_aft: 129.0 * IN,
        rear_aft: 163.0 * IN,
        rate: 1200.0 * LB / IN,
        ball_high: 0.0,
    };
    let pair = independent_tandem(level).unwrap();
    near(pair.front, 2630.136986 * LB, 1e-9);
    near(pair.rear, 2630.136986 * LB, 1e-9);
    let high = IndependentTandem { ball_high: 2.0 * IN, ..level };
    let pair = independent_tandem(high).unwrap();
    near(pair.front, 2322.319351 * LB, 1e-9);
    near(pair.rear, 2873.747262 * LB, 1e-9);
    near(6000.0 * LB - pair.front - pair.rear, 803.9333868 * LB, 1e-8);
    // Moments about the ball still balance, which the formula does not use directly.
    near(pair.front * high.front_aft + pair.rear * high.rear_aft, high.moment, 1e-12);
    assert_eq!(independent_tandem(IndependentTandem { ball_high: 20.0 * IN, ..level }), None, "front axle lifts");
}

#[test]
fn a_tongue_on_a_long_overhang_unloads_the_front_axle() {
    // Statics, by hand: 300 lb, wheelbase 120 in, overhang 48 in: −300·48/120 = −120 and 300·168/120 = 420 lb.
    let change = tow_axle_change(300.0 * LB, 120.0 * IN, 48.0 * IN).unwrap();
    near(change.front, -120.0 * LB, 1e-12);
    near(change.rear, 420.0 * LB, 1e-12);
    near(change.front + change.rear, 300.0 * LB, 1e-12);
}

#[test]
fn the_restoring_moment_brings_the_front_axle_back() {
    // Statics, by hand: T 700 lb, wheelbase 144, overhang 52, trailer axle 146 in: M = 36 400/(1 + 52/146) = 26 840.404
    // lb·in; the trailer axle takes 26 840.404/146 = 183.838 lb and the rear axle keeps 516.162 lb.
    let moment = front_restoring_moment(700.0 * LB, 52.0 * IN, 146.0 * IN, 1.0).unwrap();
    near(moment, 26_840.404_04 * LB * IN, 1e-9);
    let hitch = DistributingHitch {
        tongue: 700.0 * LB,
        wheelbase: 144.0 * IN,
        overhang: 52.0 * IN,
        axle_aft: 146.0 * IN,
        moment,
    };
    let loads = distributed_loads(hitch).unwrap();
    assert!(loads.tow_front.abs() < 1e-9);
    near(loads.tow_rear, 516.161_616_2 * LB, 1e-9);
    near(loads.trailer_axle, 183.838_383_8 * LB, 1e-9);
    near(loads.ball, 516.161_616_2 * LB, 1e-9);
    // Half the moment gives back half of 700·52/144 = 252.7778 lb.
    let half = distributed_loads(DistributingHitch { moment: moment / 2.0, ..hitch }).unwrap();
    near(half.tow_front, -252.777_777_8 / 2.0 * LB, 1e-9);
    near(half.tow_front + half.tow_rear + half.trailer_axle, 700.0 * LB, 1e-12);
}

#[test]
fn a_mass_on_the_neutral_line_leaves_the_ratio_alone() {
    // Statics, by hand: 0.875 · 150 in = 131.25 in.
    near(neutral_line(150.0 * IN, 0.125), 131.25 * IN, 1e-12);
    let dry = [load(3000.0, 131.25, 0.0, 0.0)];
    let wet = [dry[0], load(1876.5, 131.25, 0.0, 0.0)];
    let ratio = |loads: &[Load]| tongue_ratio(tongue_load(loads, 150.0 * IN).unwrap(), gross(loads)).unwrap();
    near(ratio(&dry), 0.125, 1e-9);
    near(ratio(&wet), 0.125, 1e-9);
}

#[test]
fn the_static_roll_limit_is_half_the_track_over_the_height() {
    // Statics, by hand: 72/(2·48) = 0.75 g; 60/(2·44) = 0.681818 g.
    near(static_roll_limit(72.0 * IN, 48.0 * IN).unwrap(), 0.75, 1e-12);
    near(static_roll_limit(60.0 * IN, 44.0 * IN).unwrap(), 0.681_818_18, 1e-8);
}

#[test]
fn moving_a_load_by_the_computed_shift_gives_the_wanted_ratio() {
    // Checked by weighing again: 2000 lb at 97 in and 400 lb at 130 in, axle 110 in, wanted 12 %.
    let axle = 110.0 * IN;
    let before = [load(2000.0, 97.0, 0.0, 0.0), load(400.0, 130.0, 0.0, 0.0)];
    let tongue = tongue_load(&before, axle).unwrap();
    let shift = shift_for_ratio(tongue, gross(&before), 0.12, axle, before[1].mass).unwrap();
    let after = [before[0], Load { aft: before[1].aft + shift, ..before[1] }];
    near(tongue_ratio(tongue_load(&after, axle).unwrap(), gross(&after)).unwrap(), 0.12, 1e-12);
    assert!(shift < 0.0, "a light tongue is cured by moving weight forward");
}

#[test]
fn a_position_window_is_right_at_both_ends_and_may_be_empty_in_common() {
    let axle = 110.0 * IN;
    let rest = |state: u8| {
        let tanks = [tank(60.0, WATER, 60.0, 0.0, 0.0, 20.0), tank(60.0, WATER, 150.0, 0.0, 0.0, 20.0)];
        aboard(&[load(2000.0, 97.0, 0.0, 0.0)], &tanks, state)
    };
    let window = |state: u8, lb: f64| {
        let loads = rest(state);
        let movable = MovableLoad {
            mass: lb * LB,
            gross: gross(&loads) + lb * LB,
            tongue_of_rest: tongue_load(&loads, axle).unwrap(),
            axle_aft: axle,
        };
        position_window(movable, 0.10, 0.15).unwrap()
    };
    // Checked by weighing the whole rig with the load at each end of its window.
    let found = window(0b11, 300.0);
    for (aft, ratio) in [(found.foremost, 0.15), (found.rearmost, 0.10)] {
        let mut loads = rest(0b11);
        loads.push(Load { mass: 300.0 * LB, aft, curb: 0.0, up: 0.0 });
        near(tongue_ratio(tongue_load(&loads, axle).unwrap(), gross(&loads)).unwrap(), ratio, 1e-9);
    }
    // The mixed states of this rig are 2.2 % and 18.5 %: one 300 lb load cannot cure both.
    let all: Vec<Window> = fill_corners(2).unwrap().map(|state| window(state, 300.0)).collect();
    assert_eq!(common_window(&all), None);
    assert_eq!(common_window(&all[..1]), Some(all[0]));
    assert_eq!(common_window(&[]), None);
}

#[test]
fn shares_of_one_load_sum_to_the_whole() {
    let one = load(420.0, 184.0, -10.0, 40.0);
    let (axle, track) = (150.0 * IN, 86.0 * IN);
    let on_tongue = tongue_share(one.mass, one.aft, axle).unwrap();
    let curb = curb_side_share(one, axle, track).unwrap();
    let road = road_side_share(one, axle, track).unwrap();
    near(on_tongue + curb + road, one.mass, 1e-12);
    // Statics, by hand: 420·184/150/2 − 420·10/86 = 257.6 − 48.837209 lb.
    near(curb, 208.762_790_7 * LB, 1e-9);
    near(axle_load(2.0 * curb, 2).unwrap(), curb, 1e-12);
    near(tire_load(curb, 2).unwrap(), curb / 2.0, 1e-12);
}

#[test]
fn impossible_geometry_has_no_answer() {
    assert_eq!(tongue_share(1.0, 1.0, 0.0), None);
    assert_eq!(axle_share(1.0, 1.0, -2.0), None);
    assert_eq!(lateral_share(1.0, 1.0, 0.0), None);
    assert_eq!(tongue_ratio(0.0, 0.0), None);
    assert_eq!(centre_of_gravity(&[]), None);
    assert_eq!(static_roll_limit(1.5, 0.0), None);
    assert_eq!(axle_load(100.0, 0), None);
    assert_eq!(water_allowed(100.0, 90.0, 0.0), None);
    assert_eq!(tow_axle_change(100.0, 0.0, 1.0), None);
    assert_eq!(front_restoring_moment(100.0, -1.0, 3.0, 1.0), None);
    assert!(fill_corners(7).is_none());
}

#[test]
fn corners_run_from_all_empty_to_all_full() {
    assert_eq!(fill_corners(0).unwrap().collect::<Vec<_>>(), [0]);
    assert_eq!(fill_corners(2).unwrap().collect::<Vec<_>>(), [0, 1, 2, 3]);
    assert_eq!(fill_corners(6).unwrap().count(), 64);
    assert!(is_full(0b10, 1) && !is_full(0b10, 0) && !is_full(0xff, 8));
}

/// Worked rig, invented data; expected values by statics. An enclosed 7 ft by 14 ft trailer on two equalised axles,
/// 7000 lb gross rating, axle group 150 in behind the ball, track 86 in. Loads in lb and in.
fn tandem_rig() -> (Vec<Load>, [TankPlace; 2]) {
    let fixed = [
        (2150.0, 128.0, 0.0, 40.0),  // trailer, empty
        (420.0, 184.0, -10.0, 40.0), // pressure washer on skid
        (115.0, 131.0, 0.0, 36.0),   // water tank, dry
        (45.0, 94.0, -24.0, 36.0),   // bleach tank, dry, in tray
        (138.0, 105.5, -2.5, 34.0),  // soap tank, full
        (75.0, 94.0, -39.0, 54.0),   // low-pressure pumps and board
        (78.0, 69.0, -12.0, 32.0),   // batteries and charger
        (120.0, 208.0, 26.0, 46.0),  // pressure hose reel, wet
        (125.0, 208.0, 26.0, 68.0),  // low-pressure hose reel, wet
        (92.0, 70.0, -30.0, 50.0),   // supply hose reel, wet
        (210.0, 105.5, 22.0, 48.0),  // tools, surface cleaner, ladder
        (58.0, 56.0, 0.0, 50.0),     // spare wheel
        (74.0, 216.0, -20.0, 26.0),  // fuel tank, full
    ];
    let fixed = fixed.iter().map(|&(lb, aft, curb, up)| load(lb, aft, curb, up)).collect();
    // Inside heights from the volume: 225 gal in 36 in by 72 in, printed as 20.052 in; 50 gal in 25 in by 24 in.
    let bleach_height = 50.0 * GAL_IN3 / (25.0 * 24.0);
    (fixed, [tank(225.0, WATER, 131.0, 0.0, 27.0, 20.052), tank(50.0, 10.0, 94.0, -24.0, 28.0, bleach_height)])
}

#[test]
fn the_tandem_rig_weighs_as_worked_by_hand_in_all_four_states() {
    let (fixed, tanks) = tandem_rig();
    let (axle, track) = (150.0 * IN, 86.0 * IN);
    near(gross(&fixed), 3700.0 * LB, 1e-12);
    near(fixed.iter().map(|load| load.mass * load.aft).sum(), 497_553.0 * LB * IN, 1e-12);
    near(fixed.iter().map(|load| load.mass * load.curb).sum(), -2736.0 * LB * IN, 1e-9);
    // state (bit 0 water, bit 1 bleach): gross, aft, curb, up, axles, per axle, tongue, ratio, curb side, road side,
    // side difference %, left under 7000 lb, roll limit g.
    #[rustfmt::skip]
    let expected: [(u8, [f64; 13]); 4] = [
        (0b00, [3700.0, 134.474, -0.739, 41.44, 3317.02, 1658.51, 382.98, 0.1035, 1626.7, 1690.3, 1.9, 3300.0, 1.038]),
        (0b10, [4200.0, 129.655, -3.509, 40.98, 3630.35, 1815.18, 569.65, 0.1356, 1643.8, 1986.5, 9.4, 2800.0, 1.049]),
        (0b01, [5576.5, 133.305, -0.491, 39.95, 4955.83, 2477.91, 620.67, 0.1113, 2446.1, 2509.7, 1.3, 1423.5, 1.076]),
        (0b11, [6076.5, 130.071, -2.425, 39.76, 5269.16, 2634.58, 807.34, 0.1329, 2463.2, 2805.9, 6.5, 923.5, 1.081]),
    ];
    for (state, [weight, aft, curb, up, axles, each, tongue, ratio, curb_side, road_side, uneven, left, roll]) in
        expected
    {
        let loads = aboard(&fixed, &tanks, state);
        let centre = centre_of_gravity(&loads).unwrap();
        let group = axle_group_load(&loads, axle).unwrap();
        let found_tongue = tongue_load(&loads, axle).unwrap();
        let sides = side_loads(&loads, axle, track).unwrap();
        near(gross(&loads), weight * LB, 1e-9);
        near(centre.aft, aft * IN, 1e-5);
        near(centre.curb, curb * IN, 1e-3);
        near(centre.up, up * IN, 2e-4);
        near(group, axles * LB, 1e-5);
        near(axle_load(group, 2).unwrap(), each * LB, 1e-5);
        near(found_tongue, tongue * LB, 2e-5);
        near(tongue_ratio(found_tongue, gross(&loads)).unwrap(), ratio, 1e-3);
        near(sides.curb, curb_side * LB, 1e-4);
        near(sides.road, road_side * LB, 1e-4);
        // Printed to one decimal of a per cent.
        assert!((100.0 * side_difference(sides).unwrap() - uneven).abs() < 0.05);
        near(rating_left(7000.0 * LB, gross(&loads)), left * LB, 1e-9);
        near(static_roll_limit(track, centre.up).unwrap(), roll, 1e-3);
    }
}

#[test]
fn the_tandem_rig_passes_its_band_brakes_and_hitch_as_worked_by_hand() {
    // Worked rig, invented data; expected values by statics.
    let (fixed, tanks) = tandem_rig();
    let (axle, track) = (150.0 * IN, 86.0 * IN);
    let margin = |mass: f64, aft: f64, ratio: f64| ratio_margin_share(mass, aft, axle, ratio).unwrap();
    let search = |ratio: f64| {
        let dry = fixed.iter().map(|load| margin(load.mass, load.aft, ratio)).sum::<f64>();
        (dry, tanks.map(|tank| margin(tank.full_mass, tank.aft, ratio)))
    };
    let (dry, full_tank) = search(0.10);
    near(least_over_fills(dry, &full_tank).value, 12.98 * LB, 1e-4);
    let (dry, full_tank) = search(0.15);
    let most = greatest_over_fills(dry, &full_tank);
    // Water used first, bleach left: 569.65 − 0.15·4200 = −60.35.
    near(most.value, -60.353_333 * LB, 1e-5);
    assert_eq!(most.full, [false, true]);

    let loads = aboard(&fixed, &tanks, 0b11);
    let weight = gross(&loads);
    let tongue = tongue_load(&loads, axle).unwrap();
    let up = centre_of_gravity(&loads).unwrap().up;
    // The heavier side over two tires is 1403 lb.
    let sides = side_loads(&loads, axle, track).unwrap();
    near(tire_load(sides.road, 2).unwrap(), 1403.0 * LB, 1e-3);
    // Tow vehicle: wheelbase 149 in, overhang 52 in.
    let change = tow_axle_change(tongue, 149.0 * IN, 52.0 * IN).unwrap();
    near(change.rear, 1089.1 * LB, 1e-3);
    near(change.front, -281.8 * LB, 1e-3);
    // Braking at 0.5 g; ball at 18 in.
    near(braking_tongue_gain(weight, up, axle, 0.5).unwrap(), 805.0 * LB, 1e-3);
    near(braking_tongue_gain_without_brakes(weight, up, 18.0 * IN, axle, 0.5).unwrap(), 441.0 * LB, 1e-3);
    // Water allowed under the plate: 7000 − 3700 − 500 = 2800 lb, 335.7 gal at 8.34 lb/gal.
    let density = WATER * LB / (GAL_IN3 * IN.powi(3));
    let gallons = water_allowed(7000.0 * LB, 4200.0 * LB, density).unwrap() / (GAL_IN3 * IN.powi(3));
    near(gallons, 2800.0 / 8.34, 1e-9);
}

#[test]
fn the_pickup_rig_loads_its_axles_as_worked_by_hand_in_all_four_states() {
    // Worked rig, invented data; expected values by statics. An open skid in a pickup bed: wheelbase 158 in, 3800 lb
    // front and 2700 lb rear at curb weight, ratings 9900 gross, 6200 rear. `aft` from the front axle.
    let wheelbase = 158.0 * IN;
    let fixed: Vec<Load> = [
        (6500.0, 2700.0 * 158.0 / 6500.0, 0.0, 30.0), // truck, full fuel
        (380.0, 62.0, 0.0, 44.0),                     // driver and helper
        (240.0, 142.0, 0.0, 40.0),                    // skid frame
        (60.0, 128.0, 0.0, 48.0),                     // water tank, dry
        (22.0, 156.0, -16.0, 48.0),                   // bleach tank, dry
        (290.0, 168.0, 14.0, 52.0),                   // pressure washer
        (84.0, 150.0, 20.0, 44.0),                    // pump and battery
        (190.0, 184.0, 0.0, 60.0),                    // two hose reels, wet
        (90.0, 112.0, 0.0, 46.0),                     // tools
    ]
    .iter()
    .map(|&(lb, aft, curb, up)| load(lb, aft, curb, up))
    .collect();
    let tanks = [tank(100.0, WATER, 128.0, 0.0, 38.0, 16.04), tank(35.0, 10.0, 156.0, -16.0, 38.0, 16.84)];
    let shares: Vec<f64> =
        fixed.iter().map(|load| bed_rear_share(load.mass, load.aft, wheelbase).unwrap() / LB).collect();
    let expected_shares = [2700.00, 149.11, 215.70, 48.61, 21.72, 308.35, 79.75, 221.27, 63.80];
    for (found, expected) in shares.iter().zip(expected_shares) {
        near(*found, expected, 3e-4);
    }
    // The reels behind the rear axle lift the front one.
    assert!(bed_front_share(190.0, 184.0 * IN, wheelbase).unwrap() < 0.0);
    // state (bit 0 water, bit 1 bleach): gross, front, rear, up, roll limit on the 68 in rear track, left gross, left rear.
    #[rustfmt::skip]
    let expected: [(u8, [f64; 7]); 4] = [
        (0b00, [7856.0, 4047.70, 3808.30, 33.04, 1.029, 2044.0, 2391.7]),
        (0b10, [8206.0, 4052.13, 4153.87, 33.61, 1.012, 1694.0, 2046.1]),
        (0b01, [8690.0, 4206.05, 4483.95, 34.29, 0.992, 1210.0, 1716.1]),
        (0b11, [9040.0, 4210.48, 4829.52, 34.76, 0.978, 860.0, 1370.5]),
    ];
    for (state, [weight, front, rear, up, roll, left, left_rear]) in expected {
        let loads = aboard(&fixed, &tanks, state);
        let sum = |share: fn(f64, f64, f64) -> Option<f64>| -> f64 {
            loads.iter().map(|load| share(load.mass, load.aft, wheelbase).unwrap()).sum()
        };
        let found_up = centre_of_gravity(&loads).unwrap().up;
        near(gross(&loads), weight * LB, 1e-9);
        near(sum(bed_front_share), front * LB, 1e-5);
        near(sum(bed_rear_share), rear * LB, 1e-5);
        near(found_up, up * IN, 1e-3);
        near(static_roll_limit(68.0 * IN, found_up).unwrap(), roll, 1e-3);
        near(rating_left(9900.0 * LB, gross(&loads)), left * LB, 1e-9);
        near(rating_left(6200.0 * LB, sum(bed_rear_share)), left_rear * LB, 1e-4);
    }
}

/// A rig for the properties: one fixed load and one to six tanks, each with a random fill.
fn any_rig() -> impl Strategy<Value = (Load, Vec<(TankPlace, f64)>, f64)> {
    let fixed = (500.0..2500.0_f64, 60.0..130.0_f64).prop_map(|(lb, aft)| load(lb, aft, 0.0, 40.0));
    let one = (5.0..250.0_f64, 40.0..180.0_f64, -30.0..30.0_f64, 0.0..=1.0_f64)
        .prop_map(|(gal, aft, curb, fill)| (tank(gal, 10.0, aft, curb, 20.0, 20.0), fill));
    (fixed, prop::collection::vec(one, 1..=6), 90.0..160.0_f64).prop_map(|(f, t, axle)| (f, t, axle * IN))
}

proptest! {
    #[test]
    fn ratio_and_loads_at_any_fill_lie_within_the_corners((fixed, tanks, axle) in any_rig()) {
        let figures = |loads: &[Load]| {
            let tongue = tongue_load(loads, axle).unwrap();
            [tongue_ratio(tongue, gross(loads)).unwrap(), tongue, side_loads(loads, axle, 1.5).unwrap().curb]
        };
        let places: Vec<TankPlace> = tanks.iter().map(|&(tank, _)| tank).collect();
        let partly: Vec<Load> =
            std::iter::once(fixed).chain(tanks.iter().map(|&(tank, fill)| liquid_load(tank, fill))).collect();
        let found = figures(&partly);
        let corners: Vec<[f64; 3]> = fill_corners(u32::try_from(tanks.len()).unwrap())
            .unwrap()
            .map(|state| figures(&aboard(&[fixed], &places, state)))
            .collect();
        for (k, value) in found.into_iter().enumerate() {
            let lowest = corners.iter().map(|corner| corner[k]).fold(f64::INFINITY, f64::min);
            let highest = corners.iter().map(|corner| corner[k]).fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(value >= lowest - 1e-9 && value <= highest + 1e-9, "{value} outside {lowest}..{highest}");
        }
    }

    #[test]
    fn the_linear_search_agrees_with_trying_every_corner((fixed, tanks, axle) in any_rig(), ratio in 0.02..0.20_f64) {
        let margin = |load: &Load| ratio_margin_share(load.mass, load.aft, axle, ratio).unwrap();
        let shares: Vec<f64> = tanks.iter().map(|&(tank, _)| margin(&liquid_load(tank, 1.0))).collect();
        let least = least_over_fills(margin(&fixed), &shares);
        let most = greatest_over_fills(margin(&fixed), &shares);
        let places: Vec<TankPlace> = tanks.iter().map(|&(tank, _)| tank).collect();
        let (mut lowest, mut highest, mut ratio_lowest) = (f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY);
        for state in fill_corners(u32::try_from(tanks.len()).unwrap()).unwrap() {
            let loads = aboard(&[fixed], &places, state);
            let (tongue, weight) = (tongue_load(&loads, axle).unwrap(), gross(&loads));
            lowest = lowest.min(tongue - ratio * weight);
            highest = highest.max(tongue - ratio * weight);
            ratio_lowest = ratio_lowest.min(tongue / weight);
        }
        prop_assert!((least.value - lowest).abs() < 1e-7);
        prop_assert!((most.value - highest).abs() < 1e-7);
        prop_assume!((ratio_lowest - ratio).abs() > 1e-9);
        prop_assert_eq!(least.value < 0.0, ratio_lowest < ratio);
    }

    #[test]
    fn the_restoring_moment_zeroes_the_front_change(
        tongue in 50.0..700.0_f64, wheelbase in 2.0..5.0_f64, overhang in 0.3..2.0_f64, axle_aft in 1.5..6.0_f64,
    ) {
        let moment = front_restoring_moment(tongue, overhang, axle_aft, 1.0).unwrap();
        let hitch = DistributingHitch { tongue, wheelbase, overhang, axle_aft, moment };
        prop_assert!(distributed_loads(hitch).unwrap().tow_front.abs() < 1e-9);
    }
}
