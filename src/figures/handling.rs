//! Handling: lifting by hand, and the few sums of safety kit (eyewash, spill tray).
//!
//! The lifting equation is for two-handed lifts by a healthy adult standing on firm ground; it is not for carrying, for
//! one-handed or seated lifts, or for wet, slippery or unstable loads. An index at or below 1 does not make a lift
//! safe.

/// Load constant of the lifting equation, kg: 51 lb.
pub const LOAD_CONSTANT: f64 = 51.0 * POUND;

const POUND: f64 = 0.453_592_37;
const INCH: f64 = 0.0254;

/// How well the hands hold the load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grip {
    /// Good handles or cut-outs.
    Good,
    /// Poorer handles, or fingers bent a right angle under the load.
    Fair,
    /// No handles, bulky, loose or sagging.
    Poor,
}

/// A lift, measured where it starts or where it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Hands ahead of the ankles, m.
    pub reach: f64,
    /// Hands above the floor the feet are on, m; 0 or more.
    pub height: f64,
    /// Rise or fall of the hands over the whole lift, m.
    pub travel: f64,
    /// Twist away from straight ahead, degrees.
    pub twist: f64,
    /// Lifts a second, averaged over 15 minutes; 1 a minute is 1/60.
    pub frequency: f64,
    /// How long lifting goes on, s, up to 8 h; the two shorter classes also need rest after it.
    pub duration: f64,
    /// Grip.
    pub grip: Grip,
}

/// The six multipliers of the lifting equation, each from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Multipliers {
    /// HM, for reach.
    pub reach: f64,
    /// VM, for height.
    pub height: f64,
    /// DM, for travel.
    pub travel: f64,
    /// AM, for twist.
    pub twist: f64,
    /// FM, for frequency and duration.
    pub frequency: f64,
    /// CM, for grip.
    pub grip: f64,
}

/// HM: 10 in over the reach; 1 within 10 in, 0 beyond 25 in. Falls or stays with reach.
pub fn reach_multiplier(reach: f64) -> f64 {
    let inches = reach / INCH;
    if beyond(inches, 25.0) { 0.0 } else { 10.0 / inches.max(10.0) }
}

/// VM: 1 - 0.0075 |V - 30 in|; 0 above 70 in. Rises to 30 in and falls beyond: not monotone in height.
pub fn height_multiplier(height: f64) -> f64 {
    let inches = height / INCH;
    if beyond(inches, 70.0) { 0.0 } else { 1.0 - 0.0075 * (inches - 30.0).abs() }
}

/// DM: 0.82 + 1.8 in over the travel; 1 within 10 in, 0 beyond 70 in (that end from memory). Falls or stays with
/// travel.
pub fn travel_multiplier(travel: f64) -> f64 {
    let inches = travel / INCH;
    if beyond(inches, 70.0) { 0.0 } else { 0.82 + 1.8 / inches.max(10.0) }
}

/// AM: 1 - 0.0032 for each degree; 0 beyond 135. Falls with twist.
pub fn twist_multiplier(twist: f64) -> f64 {
    if beyond(twist, 135.0) { 0.0 } else { 1.0 - 0.0032 * twist }
}

/// FM of the manual's Table 5; between two rows the faster one counts. 0 beyond 15 lifts a minute or 8 h.
///
/// Falls or stays, in steps, with frequency and duration. Rises or stays with height, in a step at 30 in, and only at 9
/// lifts a minute and more.
pub fn frequency_multiplier(frequency: f64, duration: f64, height: f64) -> f64 {
    // Lifts a minute; then up to 1 h, 2 h, 8 h with the hands below 30 in, and the same at 30 in and above.
    const TABLE: [(f64, [f64; 3], [f64; 3]); 17] = [
        (0.2, [1.00, 0.95, 0.85], [1.00, 0.95, 0.85]),
        (0.5, [0.97, 0.92, 0.81], [0.97, 0.92, 0.81]),
        (1.0, [0.94, 0.88, 0.75], [0.94, 0.88, 0.75]),
        (2.0, [0.91, 0.84, 0.65], [0.91, 0.84, 0.65]),
        (3.0, [0.88, 0.79, 0.55], [0.88, 0.79, 0.55]),
        (4.0, [0.84, 0.72, 0.45], [0.84, 0.72, 0.45]),
        (5.0, [0.80, 0.60, 0.35], [0.80, 0.60, 0.35]),
        (6.0, [0.75, 0.50, 0.27], [0.75, 0.50, 0.27]),
        (7.0, [0.70, 0.42, 0.22], [0.70, 0.42, 0.22]),
        (8.0, [0.60, 0.35, 0.18], [0.60, 0.35, 0.18]),
        (9.0, [0.52, 0.30, 0.00], [0.52, 0.30, 0.15]),
        (10.0, [0.45, 0.26, 0.00], [0.45, 0.26, 0.13]),
        (11.0, [0.41, 0.00, 0.00], [0.41, 0.23, 0.00]),
        (12.0, [0.37, 0.00, 0.00], [0.37, 0.21, 0.00]),
        (13.0, [0.00, 0.00, 0.00], [0.34, 0.00, 0.00]),
        (14.0, [0.00, 0.00, 0.00], [0.31, 0.00, 0.00]),
        (15.0, [0.00, 0.00, 0.00], [0.28, 0.00, 0.00]),
    ];
    let hours = duration / 3600.0;
    let class = match [1.0, 2.0, 8.0].iter().position(|longest| !beyond(hours, *longest)) {
        Some(class) => class,
        None => return 0.0,
    };
    let row = TABLE.iter().find(|(lifts, _, _)| !beyond(frequency * 60.0, *lifts));
    row.map_or(0.0, |(_, low, high)| if waist_high(height) { high[class] } else { low[class] })
}

/// CM: good 1; fair 0.95 below 30 in and 1 from there; poor 0.90. Rises or stays with height.
pub fn grip_multiplier(grip: Grip, height: f64) -> f64 {
    match grip {
        Grip::Good => 1.0,
        Grip::Fair if waist_high(height) => 1.0,
        Grip::Fair => 0.95,
        Grip::Poor => 0.90,
    }
}

/// The multipliers of a lift. Source: revised NIOSH lifting equation, DHHS (NIOSH) Publication 94-110, revised 2021.
pub fn multipliers(lift: &Lift) -> Multipliers {
    Multipliers {
        reach: reach_multiplier(lift.reach),
        height: height_multiplier(lift.height),
        travel: travel_multiplier(lift.travel),
        twist: twist_multiplier(lift.twist),
        frequency: frequency_multiplier(lift.frequency, lift.duration, lift.height),
        grip: grip_multiplier(lift.grip, lift.height),
    }
}

/// Recommended weight limit in kg: 51 lb times the six multipliers. Rises with each. Source: as [`multipliers`].
///
/// A lift that must be set down with care is judged at both ends; the smaller limit counts.
pub fn recommended_weight(multipliers: &Multipliers) -> f64 {
    let Multipliers { reach, height, travel, twist, frequency, grip } = *multipliers;
    LOAD_CONSTANT * reach * height * travel * twist * frequency * grip
}

/// Lifting index, weight over recommended weight, both in kg; `None` when no weight is recommended.
///
/// Above 1 some workers are at risk, above 3 many are. Rises with weight, falls with the recommended weight.
pub fn lifting_index(weight: f64, recommended: f64) -> Option<f64> {
    (recommended > 0.0).then(|| weight / recommended)
}

/// Volume in m3 of a liquid of `density` kg/m3 that, with its container of `empty` kg, weighs the recommended weight.
///
/// `None` when the container alone is too heavy or the density is not above 0. Rises with the recommended weight, falls
/// with density and container.
pub fn volume_within(recommended: f64, empty: f64, density: f64) -> Option<f64> {
    (density > 0.0 && recommended >= empty).then(|| (recommended - empty) / density)
}

/// Flow an eyewash must keep up, m3/s: 0.4 US gal/min. ANSI/ISEA Z358.1.
pub const EYEWASH_FLOW: f64 = 0.4 * US_GALLON / 60.0;
/// Time an eyewash must keep that flow up, s: 15 min. ANSI/ISEA Z358.1.
pub const EYEWASH_TIME: f64 = 900.0;
/// Coldest and hottest tepid water, degC: 60 and 100 degF. ANSI/ISEA Z358.1.
pub const EYEWASH_TEPID: (f64, f64) = (140.0 / 9.0, 340.0 / 9.0);

const US_GALLON: f64 = 231.0 * INCH * INCH * INCH;

/// Water in m3 that an eyewash needs: flow times time. Rises with both.
pub fn eyewash_volume(flow: f64, time: f64) -> f64 {
    flow * time
}

/// Seconds of flushing that `volume` m3 gives at `flow` m3/s. `None` unless the flow is above 0.
///
/// Rises with volume, falls with flow.
pub fn eyewash_lasts(volume: f64, flow: f64) -> Option<f64> {
    (flow > 0.0).then(|| volume / flow)
}

/// Volume of a spill tray for its largest tank: 110 % of it (common practice, no source). Rises with the tank.
pub fn tray_volume(largest_tank: f64) -> f64 {
    1.10 * largest_tank
}

/// Whether the hands are at 30 in or above.
fn waist_high(height: f64) -> bool {
    !beyond(30.0, height / INCH)
}

/// Whether a value passes a limit by more than rounding: a limit stated in inches survives the trip through metres.
fn beyond(value: f64, limit: f64) -> bool {
    value > limit * (1.0 + 1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    // Exact, and written again here so that a slip in the constants above cannot hide.
    const INCH: f64 = 0.0254;
    const POUND: f64 = 0.453_592_37;
    const US_GALLON: f64 = 3.785_411_784e-3;
    const MINUTE: f64 = 60.0;
    const HOUR: f64 = 3600.0;

    fn near(got: f64, want: f64, relative: f64) {
        assert!((got - want).abs() <= relative * want.abs(), "got {got}, want {want} within {relative}");
    }

    /// A lift in inches and degrees, seldom, under an hour.
    fn lift(reach: f64, height: f64, travel: f64, twist: f64, grip: Grip) -> Lift {
        Lift {
            reach: reach * INCH,
            height: height * INCH,
            travel: travel * INCH,
            twist,
            frequency: 0.2 / MINUTE,
            duration: HOUR,
            grip,
        }
    }

    fn pounds(lift: &Lift) -> f64 {
        recommended_weight(&multipliers(lift)) / POUND
    }

    #[test]
    fn the_manual_s_first_example_with_its_rounded_multipliers() {
        // NIOSH 94-110, example 1 (loading punch press stock): H 23, V 15 to 64, D 49 in, fair grip, 44 lb. The manual
        // multiplies two-decimal values of its own tables (HM .44, not .43) to 16.3 and 14.5 lb, index 2.7 and 3.0.
        let origin = Multipliers { reach: 0.44, height: 0.89, travel: 0.86, twist: 1.0, frequency: 1.0, grip: 0.95 };
        let end = Multipliers { height: 0.75, grip: 1.0, ..origin };
        let weight = |m: &Multipliers| recommended_weight(m) / POUND;
        near(weight(&origin), 16.3, 0.05 / 16.3);
        near(weight(&end), 14.5, 0.05 / 14.5);
        let index = |m: &Multipliers| lifting_index(44.0 * POUND, recommended_weight(m)).unwrap();
        near(index(&origin), 2.7, 0.05 / 2.7);
        near(index(&end), 3.0, 0.05 / 3.0);
    }

    #[test]
    fn the_manual_s_first_example_with_exact_multipliers() {
        let origin = lift(23.0, 15.0, 49.0, 0.0, Grip::Fair);
        let got = multipliers(&origin);
        // Python 3.11, from the equations of the manual.
        near(got.reach, 0.434_783, 1e-5);
        near(got.height, 0.8875, 1e-5);
        near(got.travel, 0.856_735, 1e-5);
        near(got.grip, 0.95, 1e-12);
        near(pounds(&origin), 16.017, 1e-5);
        let end = lift(23.0, 64.0, 49.0, 0.0, Grip::Fair);
        near(pounds(&end), 14.15, 1e-3);
        // Rounded to two decimals these are the multipliers of the manual, but for its .44.
        assert_eq!((got.height * 100.0).round(), 89.0);
        assert_eq!((got.travel * 100.0).round(), 86.0);
        assert_eq!((multipliers(&end).height * 100.0).round(), 75.0);
    }

    #[test]
    fn a_five_gallon_bleach_jug_is_too_heavy_from_the_ground() {
        let up = lift(12.0, 12.0, 36.0, 30.0, Grip::Good);
        near(pounds(&up), 28.913, 1e-5);
        let index = |pounds: f64, l: &Lift| lifting_index(pounds * POUND, recommended_weight(&multipliers(l))).unwrap();
        near(index(52.0, &up), 1.7985, 1e-5);
        near(index(26.0, &up), 0.90, 1e-2);
        let down = lift(18.0, 48.0, 36.0, 30.0, Grip::Good);
        near(pounds(&down), 19.28, 1e-3);
        near(index(52.0, &down), 2.70, 2e-3);
    }

    #[test]
    fn multipliers_are_those_of_the_manual_s_tables() {
        // NIOSH 94-110 Tables 1 to 4, two decimals. AM as reprinted in handbooks; the others from memory.
        for (inches, printed) in [(10.0, 1.00), (12.0, 0.83), (14.0, 0.71), (16.0, 0.63), (20.0, 0.50), (25.0, 0.40)] {
            assert!((reach_multiplier(inches * INCH) - printed).abs() <= 0.005 + 1e-9, "HM {inches}");
        }
        for (inches, printed) in [(0.0, 0.78), (10.0, 0.85), (20.0, 0.93), (30.0, 1.00), (50.0, 0.85), (70.0, 0.70)] {
            assert!((height_multiplier(inches * INCH) - printed).abs() <= 0.005 + 1e-9, "VM {inches}");
        }
        for (inches, printed) in [(10.0, 1.00), (15.0, 0.94), (20.0, 0.91), (30.0, 0.88), (45.0, 0.86), (70.0, 0.85)] {
            assert!((travel_multiplier(inches * INCH) - printed).abs() <= 0.005 + 1e-9, "DM {inches}");
        }
        for (degrees, printed) in [(0.0, 1.0), (15.0, 0.95), (30.0, 0.90), (60.0, 0.81), (90.0, 0.71), (135.0, 0.57)] {
            assert!((twist_multiplier(degrees) - printed).abs() <= 0.005 + 1e-9, "AM {degrees}");
        }
        assert_eq!(reach_multiplier(25.1 * INCH), 0.0);
        assert_eq!(height_multiplier(70.1 * INCH), 0.0);
        assert_eq!(travel_multiplier(70.1 * INCH), 0.0);
        assert_eq!(twist_multiplier(135.1), 0.0);
    }

    #[test]
    fn the_metric_form_of_the_manual_agrees_within_a_few_percent() {
        // The manual also prints 23 kg, 25 cm/H, 1 - 0.003 |V - 75 cm|, 0.82 + 4.5 cm/D. Worked example on those
        // (homeworksource.com 1089113): H 25, V 55, D 95 cm, 3 a minute for 45 min a day, fair grip: 15.7 kg.
        let box_lift = Lift {
            reach: 0.25,
            height: 0.55,
            travel: 0.95,
            twist: 0.0,
            frequency: 3.0 / MINUTE,
            duration: 0.75 * HOUR,
            grip: Grip::Fair,
        };
        near(recommended_weight(&multipliers(&box_lift)), 15.7, 0.01);
    }

    #[test]
    fn a_conveyor_example_gives_its_published_limit() {
        // wizedu.com 203981: H 20, V 6, D 16 in, fair grip, frequency left out: 18.4 lb with two-decimal multipliers.
        near(pounds(&lift(20.0, 6.0, 16.0, 0.0, Grip::Fair)), 18.4, 0.01);
    }

    #[test]
    fn the_frequency_table_is_read_by_row_class_and_height() {
        // NIOSH 94-110 Table 5, as reprinted; the row of 10 a minute for 2 to 8 h at 30 in and more is also the 0.13 of
        // the Canadian Centre for Occupational Health and Safety's worked example.
        let fm =
            |lifts: f64, hours: f64, inches: f64| frequency_multiplier(lifts / MINUTE, hours * HOUR, inches * INCH);
        assert_eq!(fm(0.1, 1.0, 20.0), 1.00);
        assert_eq!(fm(0.5, 1.0, 20.0), 0.97);
        assert_eq!(fm(3.0, 2.0, 20.0), 0.79);
        assert_eq!(fm(3.0, 1.01, 20.0), 0.79);
        assert_eq!(fm(2.0, 8.0, 20.0), 0.65);
        assert_eq!(fm(10.0, 8.0, 30.0), 0.13);
        assert_eq!(fm(10.0, 8.0, 29.9), 0.0);
        assert_eq!(fm(15.0, 1.0, 30.0), 0.28);
        assert_eq!(fm(15.1, 1.0, 30.0), 0.0);
        assert_eq!(fm(1.0, 8.1, 30.0), 0.0);
        // Between rows the faster one counts.
        assert_eq!(fm(2.4, 8.0, 20.0), 0.55);
    }

    #[test]
    fn every_row_of_the_frequency_table_is_that_of_the_manual() {
        // NIOSH 94-110 Table 5 as reprinted column by column: 0.2, 0.5, then 1 to 15 lifts a minute.
        type Column = (f64, f64, [f64; 17]);
        let columns: [Column; 6] = [
            (1.0, 20.0, [1., 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37, 0., 0., 0.]),
            (
                1.0,
                40.0,
                [1., 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28],
            ),
            (2.0, 20.0, [0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0., 0., 0., 0., 0.]),
            (2.0, 40.0, [0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0.23, 0.21, 0., 0., 0.]),
            (8.0, 20.0, [0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0., 0., 0., 0., 0., 0., 0.]),
            (8.0, 40.0, [0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0., 0., 0., 0., 0.]),
        ];
        let rows = [0.2, 0.5].into_iter().chain((1..=15).map(f64::from));
        for (n, lifts) in rows.enumerate() {
            for (hours, inches, column) in columns {
                let got = frequency_multiplier(lifts / MINUTE, hours * HOUR, inches * INCH);
                assert_eq!(got, column[n], "{lifts} a minute, {hours} h, {inches} in");
                // A little faster falls to the next row, or off the table.
                let faster = frequency_multiplier((lifts + 0.01) / MINUTE, hours * HOUR, inches * INCH);
                assert_eq!(faster, column.get(n + 1).copied().unwrap_or(0.0), "just above {lifts} a minute");
            }
        }
    }

    #[test]
    fn a_lift_the_equation_forbids_has_no_index() {
        let far = lift(26.0, 30.0, 10.0, 0.0, Grip::Good);
        assert_eq!(recommended_weight(&multipliers(&far)), 0.0);
        assert_eq!(lifting_index(1.0, 0.0), None);
    }

    #[test]
    fn the_jug_that_fits_the_limit_weighs_the_limit() {
        let limit = 28.913 * POUND;
        let volume = volume_within(limit, 0.7, 1200.0).unwrap();
        near(volume * 1200.0 + 0.7, limit, 1e-12);
        assert_eq!(volume_within(0.5, 0.7, 1200.0), None);
        assert_eq!(volume_within(10.0, 0.7, 0.0), None);
    }

    #[test]
    fn fifteen_minutes_of_eyewash_take_six_gallons() {
        // ANSI/ISEA Z358.1: 0.4 gal/min for 15 min.
        near(eyewash_volume(EYEWASH_FLOW, EYEWASH_TIME) / US_GALLON, 6.0, 1e-12);
        near(eyewash_lasts(3.0 * US_GALLON, EYEWASH_FLOW).unwrap(), 450.0, 1e-12);
        assert_eq!(eyewash_lasts(1.0, 0.0), None);
        near(EYEWASH_TEPID.0, 15.56, 1e-3);
        near(EYEWASH_TEPID.1, 37.78, 1e-3);
        near(tray_volume(0.1), 0.11, 1e-12);
    }

    fn lifts() -> impl Strategy<Value = Lift> {
        let grip = prop_oneof![Just(Grip::Good), Just(Grip::Fair), Just(Grip::Poor)];
        (0.0..0.8f64, 0.0..2.0f64, 0.0..2.0f64, 0.0..150.0f64, 0.0..0.3f64, 0.0..30_000.0f64, grip).prop_map(
            |(reach, height, travel, twist, frequency, duration, grip)| Lift {
                reach,
                height,
                travel,
                twist,
                frequency,
                duration,
                grip,
            },
        )
    }

    proptest! {
        #[test]
        fn no_lift_is_recommended_more_than_the_load_constant(lift in lifts()) {
            let weight = recommended_weight(&multipliers(&lift));
            prop_assert!((0.0..=LOAD_CONSTANT * (1.0 + 1e-12)).contains(&weight), "{weight}");
        }

        #[test]
        fn farther_longer_more_twisted_and_more_often_never_raises_the_limit(lift in lifts(), more in 1.0..2.0f64) {
            let limit = recommended_weight(&multipliers(&lift)) * (1.0 + 1e-12);
            for harder in [
                Lift { reach: lift.reach * more, ..lift },
                Lift { travel: lift.travel * more, ..lift },
                Lift { twist: lift.twist * more, ..lift },
                Lift { frequency: lift.frequency * more, ..lift },
                Lift { duration: lift.duration * more, ..lift },
                Lift { grip: Grip::Poor, ..lift },
            ] {
                prop_assert!(recommended_weight(&multipliers(&harder)) <= limit, "{harder:?}");
            }
        }

        #[test]
        fn nothing_is_lifted_better_than_at_thirty_inches(lift in lifts()) {
            let best = recommended_weight(&multipliers(&Lift { height: 30.0 * INCH, ..lift }));
            prop_assert!(recommended_weight(&multipliers(&lift)) <= best * (1.0 + 1e-12));
        }
    }
}
