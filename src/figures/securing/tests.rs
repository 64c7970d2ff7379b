use super::*;
use proptest::prelude::*;

const LBF: f64 = POUND * STANDARD_GRAVITY;

fn close(got: f64, want: f64) {
    assert!((got - want).abs() <= 1e-5 * want.abs(), "got {got}, want {want}");
}

/// A value printed to `step` in a handbook: agreement to half its last place.
fn printed(got: f64, want: f64, step: f64) {
    assert!((got - want).abs() <= 0.5001 * step, "got {got}, printed {want}");
}

#[test]
fn stress_areas_are_those_of_the_thread_standards() {
    // ASME B1.1 formula, by hand for 3/8-16; printed areas of the UNC table: 1/4-20 0.0318, 5/16-18 0.0524,
    // 3/8-16 0.0775, 1/2-13 0.1419 in2.
    let inch = |d: f64, n: f64| stress_area_inch(d * INCH, n).unwrap() / (INCH * INCH);
    close(inch(0.375, 16.0), 0.077_489_531_877);
    for (d, n, want) in [(0.25, 20.0, 0.0318), (0.3125, 18.0, 0.0524), (0.375, 16.0, 0.0775), (0.5, 13.0, 0.1419)] {
        printed(inch(d, n), want, 1e-4);
    }
    // ISO 898-1 formula, by hand for M10; printed areas of its table: M8 36.6, M10 58.0, M12 84.3 mm2.
    let metric = |d: f64, p: f64| stress_area_metric(d * 1e-3, p * 1e-3).unwrap() * 1e6;
    close(metric(10.0, 1.5), 57.989_596_901_8);
    for (d, p, want) in [(8.0, 1.25, 36.6), (10.0, 1.5, 58.0), (12.0, 1.75, 84.3)] {
        printed(metric(d, p), want, 0.1);
    }
    assert_eq!(stress_area_inch(0.001, 4.0), None);
    assert_eq!(stress_area_inch(0.01, 0.0), None);
    assert_eq!(stress_area_metric(0.001, 0.0015), None);
}

#[test]
fn allowable_bolt_loads_follow_the_steel_code_form() {
    // AISC 360 J3 form, from memory, 0.45 and 0.75 Fu A/2; Fu of SAE J429 (74, 120, 150 ksi) and ISO 898-1 (800 MPa).
    // Computed by hand from pi/4 D2, in lb, to the pound.
    let table = [
        (BoltGrade::Sae5, 0.3125, 2071.0, 3451.0),
        (BoltGrade::Sae5, 0.375, 2982.0, 4970.0),
        (BoltGrade::Sae5, 0.5, 5301.0, 8836.0),
        (BoltGrade::Sae2, 0.375, 1839.0, 3065.0),
        (BoltGrade::Sae8, 0.375, 3728.0, 6213.0),
    ];
    for (grade, d, shear, tension) in table {
        printed(allowable_bolt_shear(grade, d * INCH).unwrap() / LBF, shear, 1.0);
        printed(allowable_bolt_tension(grade, d * INCH).unwrap() / LBF, tension, 1.0);
    }
    close(allowable_bolt_shear(BoltGrade::Sae5, 0.375 * INCH).unwrap() / LBF, 2_982.058_651_65);
    printed(allowable_bolt_shear(BoltGrade::Iso8_8, 0.010).unwrap(), 14_137.0, 1.0);
    printed(allowable_bolt_shear(BoltGrade::Iso8_8, 0.010).unwrap() / LBF, 3178.0, 1.0);
    printed(allowable_bolt_tension(BoltGrade::Iso8_8, 0.010).unwrap(), 23_562.0, 1.0);
    close(allowable_bolt_tension(BoltGrade::Iso10_9, 0.010).unwrap(), 0.375 * 1000e6 * PI / 4.0 * 1e-4);
}

#[test]
fn tensile_strength_drops_in_the_larger_sizes() {
    // SAE J429: grade 2 74 ksi to 3/4 in then 60; grade 5 120 ksi to 1 in then 105; nothing above 1-1/2 in.
    let ksi = |g, d: f64| bolt_tensile_strength(g, d * INCH).map(|s| (s / PSI / 1e3).round());
    assert_eq!(ksi(BoltGrade::Sae2, 0.75), Some(74.0));
    assert_eq!(ksi(BoltGrade::Sae2, 0.875), Some(60.0));
    assert_eq!(ksi(BoltGrade::Sae5, 1.0), Some(120.0));
    assert_eq!(ksi(BoltGrade::Sae5, 1.25), Some(105.0));
    assert_eq!(ksi(BoltGrade::Sae8, 1.5), Some(150.0));
    assert_eq!(ksi(BoltGrade::Sae8, 1.75), None);
    assert_eq!(ksi(BoltGrade::Sae8, 0.0), None);
}

fn tank(force: f64) -> BoltedArticle {
    BoltedArticle { mass: 889.0 * POUND, height: 20.0 * INCH, spacing: 24.0 * INCH, force }
}

#[test]
fn a_full_tank_loads_its_floor_bolts_as_statics_says() {
    // Statics, by hand: 0.8*889/4 = 177.8; 889*(0.8*20/24 - 1/2) = 148.1667, halved 74.0833; 24/40 = 0.6.
    let forward = tank(BREAKING_FORWARD);
    close(forward.shear_per_bolt(2).unwrap() / LBF, 177.8);
    close(forward.row_uplift().unwrap() / LBF, 148.166_666_7);
    close(forward.uplift_per_bolt(2).unwrap() / LBF, 74.083_333_3);
    close(tip_limit(24.0 * INCH, 20.0 * INCH).unwrap(), 0.6);
    assert_eq!(tank(BREAKING_SIDEWAYS).row_uplift(), Some(0.0));
    // 2*0.8*20 = 32 in base, at which the uplift is nought.
    close(base_needed(BREAKING_FORWARD, 20.0 * INCH) / INCH, 32.0);
    let wide = BoltedArticle { spacing: base_needed(0.8, 20.0 * INCH), ..forward };
    assert!(wide.row_uplift().unwrap() < 1e-9);
    // Washer, by hand: 310 lb at 14 in on 24 in rows, 0.8*14/24 < 1/2, so no uplift; shear 62 lb.
    let washer = BoltedArticle { mass: 310.0 * POUND, height: 14.0 * INCH, ..forward };
    close(washer.shear_per_bolt(2).unwrap() / LBF, 62.0);
    assert_eq!(washer.row_uplift(), Some(0.0));
    assert_eq!(BoltedArticle { spacing: 0.0, ..forward }.row_uplift(), None);
    assert_eq!((forward.shear_per_bolt(0), forward.uplift_per_bolt(0)), (None, None));
    assert_eq!(tip_limit(1.0, 0.0), None);
}

#[test]
fn plywood_gives_before_the_bolt() {
    // NDS yield mode I, from memory, by hand: 0.375*0.75*3350/4 = 235.547 lb.
    close(wood_bearing(0.375 * INCH, 0.75 * INCH, PLYWOOD_BEARING) / LBF, 235.546_875);
    // By hand: (pi/4)(1.25^2 - 0.4375^2)*360 = 387.7 lb; (9 - (pi/4) 0.4375^2)*360 = 3,185.9 lb.
    let washer = pull_through(Backing::Washer(1.25 * INCH), 0.4375 * INCH, PLYWOOD_FACE_BEARING).unwrap() / LBF;
    printed(washer, 387.7, 0.1);
    let plate = pull_through(Backing::Plate(3.0 * INCH), 0.4375 * INCH, PLYWOOD_FACE_BEARING).unwrap() / LBF;
    printed(plate, 3185.9, 0.1);
    assert_eq!(pull_through(Backing::Washer(0.01), 0.01, 1.0), None);
    assert_eq!(pull_through(Backing::Plate(0.01), 0.02, 1.0), None);
    let floor = WoodFloor {
        thickness: 0.75 * INCH,
        bearing_strength: PLYWOOD_BEARING,
        face_stress: PLYWOOD_FACE_BEARING,
        backing: Backing::Washer(1.25 * INCH),
        hole: 0.4375 * INCH,
    };
    let bolt = FloorBolt { grade: BoltGrade::Sae5, diameter: 0.375 * INCH, floor: Some(floor) };
    let capacity = bolt_capacity(&bolt).unwrap();
    assert_eq!((capacity.shear_gives, capacity.uplift_gives), (Gives::Floor, Gives::Floor));
    close(capacity.shear / LBF, 235.546_875);
    let steel = bolt_capacity(&FloorBolt { floor: None, ..bolt }).unwrap();
    assert_eq!((steel.shear_gives, steel.uplift_gives), (Gives::Bolt, Gives::Bolt));
    close(steel.shear / LBF, 2_982.058_651_65);
    // By hand: the tank's 711.2 lb over two rows asks 355.6/235.5 -> 2 bolts a row in plywood, one through steel.
    assert_eq!(tank(0.8).bolts_per_row_needed(&capacity), Some(2));
    assert_eq!(tank(0.8).bolts_per_row_needed(&steel), Some(1));
    assert_eq!(tank(0.8).bolts_per_row_needed(&BoltCapacity { shear: 0.0, ..steel }), None);
}

#[test]
fn tension_falls_beside_shear_only_past_three_tenths() {
    // AISC 360 J3 form, from memory: full tension up to v/V = 0.3, then the line down to 0.3 T at v = V.
    assert_eq!(tension_beside_shear(100.0, 50.0, 15.0), Some(100.0));
    close(tension_beside_shear(100.0, 50.0, 30.0).unwrap(), 70.0);
    close(tension_beside_shear(100.0, 50.0, 50.0).unwrap(), 30.0);
    assert_eq!(tension_beside_shear(100.0, 50.0, 51.0), None);
    assert_eq!(tension_beside_shear(100.0, 0.0, 0.0), None);
}

#[test]
fn steel_bolts_are_counted_for_shear_and_uplift_together() {
    // By hand: shear 50 of 50 and uplift 100 of 100 on one bolt; alone each fits one a row, together (1+1)/1.3 asks two.
    let g = STANDARD_GRAVITY;
    let article = BoltedArticle { mass: 100.0 / g, height: 1.5, spacing: 1.0, force: 1.0 };
    let capacity = BoltCapacity { shear: 50.0, shear_gives: Gives::Bolt, uplift: 100.0, uplift_gives: Gives::Bolt };
    close(article.shear_per_bolt(1).unwrap(), 50.0);
    close(article.row_uplift().unwrap(), 100.0);
    assert_eq!(article.bolts_per_row_needed(&capacity), Some(2));
    let wood = BoltCapacity { shear_gives: Gives::Floor, ..capacity };
    assert_eq!(article.bolts_per_row_needed(&wood), Some(1));
}

#[test]
fn a_strap_over_the_top_needs_the_friction_formula_tension() {
    // EN 12195-1 form, from memory, by hand: 0.5*1000*1.25/(2*2*0.3*sin 60) = 601.407 lb; sideways
    // 0.2*1000*1.1/(2*2*0.3*sin 60) = 211.695 lb.
    let input = FrictionStraps {
        mass: 1000.0 * POUND,
        force: 0.8,
        friction: 0.3,
        angle: 60.0,
        straps: 2,
        safety: FRICTION_FACTOR_FORWARD,
    };
    close(friction_strap_tension(&input).unwrap() / POUND, 601.406_530_4);
    let aside = FrictionStraps { force: 0.5, safety: FRICTION_FACTOR_OTHER, ..input };
    close(friction_strap_tension(&aside).unwrap() / POUND, 220.0 / (1.2 * 0.75_f64.sqrt()));
    assert_eq!(friction_strap_tension(&FrictionStraps { force: 0.2, ..input }), Some(0.0));
    assert_eq!(friction_strap_tension(&FrictionStraps { friction: 0.0, ..input }), None);
    assert_eq!(friction_strap_tension(&FrictionStraps { angle: 0.0, ..input }), None);
    assert_eq!(friction_strap_tension(&FrictionStraps { straps: 0, ..input }), None);
}

#[test]
fn a_direct_pair_holds_by_pull_and_friction() {
    // Statics, by hand: 0.5*889/(2(cos45 cos30 + 0.3 sin45)) = 269.6 lb; at 0.435 g 0.135*889/(...) = 72.8 lb.
    let input =
        DirectStraps { mass: 889.0 * POUND, force: 0.8, friction: 0.3, below_level: 45.0, off_line: 30.0, straps: 2 };
    let grip = 0.5_f64.sqrt() * (0.75_f64.sqrt() + 0.3);
    let tension = direct_strap_tension(&input).unwrap();
    close(tension / POUND, 0.5 * 889.0 / (2.0 * grip));
    printed(tension / POUND, 269.6, 0.1);
    let working = DirectStraps { force: WORKING_FORWARD, ..input };
    printed(direct_strap_tension(&working).unwrap() / POUND, 72.8, 0.1);
    assert_eq!(direct_strap_tension(&DirectStraps { friction: 0.9, ..input }), Some(0.0));
    let across = DirectStraps { off_line: 90.0, friction: 0.0, ..input };
    assert_eq!(direct_strap_tension(&across), None);
    assert_eq!(direct_strap_tension(&DirectStraps { straps: 0, ..input }), None);
    assert_eq!(direct_strap_tension(&DirectStraps { below_level: 91.0, ..input }), None);
}

#[test]
fn strap_angles_come_from_rise_and_run() {
    // Trigonometry: equal rise and run is 45 degrees; straight up 90.
    close(strap_angle(1.0, 1.0).unwrap(), 45.0);
    close(strap_angle(1.0, 0.0).unwrap(), 90.0);
    assert_eq!(strap_angle(0.0, 0.0), None);
}

#[test]
fn half_or_all_of_a_strap_counts_by_how_it_runs() {
    // 49 CFR 393.106(d); by hand: 889 lb needs 444.5 lb; one 2,000 lb strap across counts 2,000, to the article 1,000.
    close(required_aggregate(889.0 * POUND) / POUND, 444.5);
    close(counted_limit(2000.0 * POUND, Run::Across) / POUND, 2000.0);
    close(counted_limit(2000.0 * POUND, Run::ToArticle) / POUND, 1000.0);
    close(counted_limit(2000.0 * POUND, Run::SameSide) / POUND, 1000.0);
    // Two 1,750 lb straps to a 4,000 lb article: 1,750 counted of 2,000 needed, so a third.
    let counted = counted_limit(1750.0 * POUND, Run::ToArticle);
    assert_eq!(tie_downs_needed(1.0, 4000.0 * POUND, true, counted), Some(3));
    assert_eq!(tie_downs_needed(1.0, 1.0, true, 0.0), None);
    // 49 CFR 393.108(a): the weakest part or anchor.
    assert_eq!(weakest_limit(&[900.0, 450.0, 700.0]), Some(450.0));
    assert_eq!(weakest_limit(&[]), None);
    // 49 CFR 393.102(b): 20 % of 889 lb is 177.8, of 2,070 lb 414.
    close(required_downforce(889.0 * POUND) / POUND, 177.8);
    close(required_downforce(2070.0 * POUND) / POUND, 414.0);
}

#[test]
fn unmarked_webbing_and_chain_take_the_regulation_table() {
    // Tables to 49 CFR 393.108, in pounds.
    for (inches, pounds) in [(1.75, 1750.0), (2.0, 2000.0), (3.0, 3000.0), (4.0, 4000.0)] {
        close(default_webbing_limit(inches * INCH).unwrap() / POUND, pounds);
    }
    for (mm, pounds) in [(45.0, 1750.0), (50.0, 2000.0), (75.0, 3000.0), (100.0, 4000.0)] {
        close(default_webbing_limit(mm * 1e-3).unwrap() / POUND, pounds);
    }
    assert_eq!(default_webbing_limit(INCH), None);
    let pounds = |grade, inches: f64| default_chain_limit(grade, inches * INCH).map(|kg| (kg / POUND).round());
    use ChainGrade::{G30, G43, G70, G80, G100};
    for (grade, quarter, five, three, half, eighths) in [
        (G30, 1300.0, 1900.0, 2650.0, 4500.0, 6900.0),
        (G43, 2600.0, 3900.0, 5400.0, 9200.0, 13_000.0),
        (G70, 3150.0, 4700.0, 6600.0, 11_300.0, 15_800.0),
        (G80, 3500.0, 4500.0, 7100.0, 12_000.0, 18_100.0),
        (G100, 4300.0, 5700.0, 8800.0, 15_000.0, 22_600.0),
    ] {
        let row = [0.25, 0.3125, 0.375, 0.5, 0.625].map(|size| pounds(grade, size));
        assert_eq!(row, [quarter, five, three, half, eighths].map(Some));
    }
    assert_eq!([G30, G43, G70].map(|g| pounds(g, 0.4375)), [3700.0, 7200.0, 8750.0].map(Some));
    // The table has no 7/16 in entry for the alloy grades.
    assert_eq!([G80, G100].map(|g| pounds(g, 0.4375)), [7100.0, 8800.0].map(Some));
    assert_eq!(pounds(G70, 0.2), None);
}

#[test]
fn the_count_of_tie_downs_follows_the_regulation() {
    // 49 CFR 393.110(b) and (c): (length ft, weight lb, blocked) -> count.
    let table = [
        (4.0, 900.0, false, 1),
        (4.0, 1200.0, false, 2),
        (5.0, 1100.0, false, 1),
        (8.0, 700.0, false, 2),
        (10.0, 700.0, false, 2),
        (12.0, 3000.0, false, 3),
        (12.0, 3000.0, true, 2),
        (20.0, 5000.0, false, 3),
        (20.0, 5000.0, true, 2),
        (21.0, 5000.0, false, 4),
        (4.0, 5000.0, true, 1),
        (0.0, 0.0, true, 1),
    ];
    for (feet, pounds, blocked, want) in table {
        let got = tie_down_count(feet * FOOT, pounds * POUND, blocked);
        assert_eq!(got, want, "{feet} ft, {pounds} lb, blocked {blocked}");
    }
}

#[test]
fn a_strapped_skid_meets_the_aggregate() {
    // By hand: 2,070 lb skid needs 1,035; forces 1,656 and 1,035 lb at 0.8 and 0.5 g, 900.45 and 517.5 at 0.435 and
    // 0.25 g; four 2 in straps to its corners count 4 * 1/2 * 2,000.
    close(required_aggregate(2070.0), 1035.0);
    let forces = [BREAKING_FORWARD, BREAKING_REARWARD, BREAKING_SIDEWAYS, WORKING_FORWARD, WORKING_SIDEWAYS];
    for (factor, want) in forces.into_iter().zip([1656.0, 1035.0, 1035.0, 900.45, 517.5]) {
        close(factor * 2070.0, want);
    }
    close(WORKING_REARWARD * 2070.0, 1035.0);
    let strap = default_webbing_limit(2.0 * INCH).unwrap();
    close(4.0 * counted_limit(strap, Run::ToArticle) / POUND, 4000.0);
    // By hand: tip limits 72/(2*15.51) = 2.32 and 60/(2*15.51) = 1.93.
    printed(tip_limit(72.0, 15.51).unwrap(), 2.32, 0.01);
    printed(tip_limit(60.0, 15.51).unwrap(), 1.93, 0.01);
}

proptest! {
    #[test]
    fn more_weight_never_needs_fewer_straps(
        length in 0.0f64..12.0, mass in 0.0f64..3000.0, more in 0.0f64..2000.0, counted in 50.0f64..2000.0,
        blocked: bool,
    ) {
        let before = tie_downs_needed(length, mass, blocked, counted).unwrap();
        let after = tie_downs_needed(length, mass + more, blocked, counted).unwrap();
        prop_assert!(after >= before);
        // Enough of them, and one fewer would fall short in strength or in count.
        prop_assert!(f64::from(before) * counted >= required_aggregate(mass) * (1.0 - 1e-6));
        let fewer = f64::from(before - 1) * counted < required_aggregate(mass)
            || before - 1 < tie_down_count(length, mass, blocked);
        prop_assert!(fewer);
    }

    #[test]
    fn more_weight_never_eases_a_strap_or_a_bolt(
        mass in 1.0f64..2000.0, more in 0.0f64..1000.0, force in 0.1f64..1.0, friction in 0.05f64..0.9,
        angle in 5.0f64..90.0, height in 0.1f64..1.5, spacing in 0.2f64..2.0,
    ) {
        let over = FrictionStraps { mass, force, friction, angle, straps: 2, safety: 1.25 };
        let heavier = FrictionStraps { mass: mass + more, ..over };
        prop_assert!(friction_strap_tension(&heavier) >= friction_strap_tension(&over));
        let pair = DirectStraps { mass, force, friction, below_level: angle, off_line: 30.0, straps: 2 };
        let heavier = DirectStraps { mass: mass + more, ..pair };
        prop_assert!(direct_strap_tension(&heavier) >= direct_strap_tension(&pair));
        let light = BoltedArticle { mass, height, spacing, force };
        let heavy = BoltedArticle { mass: mass + more, ..light };
        prop_assert!(heavy.row_uplift() >= light.row_uplift());
        // The count found is enough: at it each bolt is within both limits.
        let steel = bolt_capacity(&FloorBolt { grade: BoltGrade::Sae5, diameter: 0.008, floor: None }).unwrap();
        let rows = heavy.bolts_per_row_needed(&steel).unwrap();
        prop_assert!(rows >= light.bolts_per_row_needed(&steel).unwrap());
        let shear = heavy.shear_per_bolt(rows).unwrap();
        let left = tension_beside_shear(steel.uplift, steel.shear, shear * (1.0 - 1e-6)).unwrap();
        prop_assert!(heavy.uplift_per_bolt(rows).unwrap() <= left * (1.0 + 1e-6) + 1e-6);
    }

    // Balance of forces, by statics: friction from weight and strap pull together meets the push.
    #[test]
    fn a_direct_pair_balances_the_push(
        mass in 1.0f64..2000.0, force in 0.3f64..1.0, friction in 0.0f64..0.29, below in 0.0f64..80.0, off in 0.0f64..80.0,
    ) {
        let pair = DirectStraps { mass, force, friction, below_level: below, off_line: off, straps: 2 };
        let t = 2.0 * direct_strap_tension(&pair).unwrap();
        let (b, p) = (below.to_radians(), off.to_radians());
        let held = t * b.cos() * p.cos() + friction * (mass + t * b.sin());
        prop_assert!((held - force * mass).abs() <= 1e-9 * mass.max(1.0));
    }
}
