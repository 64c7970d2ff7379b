//! The algebra behind scripts: verdicts of three answers, and quantities.
//!
//! Truth tables are those of the strong logic of three values in S. C. Kleene, *Introduction to Metamathematics* (1952),
//! section 64, with open for his "undefined".

use super::quantity::Quantity;
use super::verdict::Ruling;
use crate::measure::Answer::{No, Open, Yes};
use crate::measure::{Answer, Measure, Range, System};
use crate::rig::FactId;
use crate::workings::FigureId;

fn ruling(answer: Answer, settle: &[u32], figures: &[u32]) -> Ruling {
    Ruling::new(
        answer,
        settle.iter().map(|fact| FactId(*fact)).collect(),
        figures.iter().map(|figure| FigureId(*figure)).collect(),
    )
}

fn plain(answer: Answer) -> Ruling {
    ruling(answer, &[], &[])
}

#[test]
fn all_of_any_of_and_not_so_follow_the_strong_logic_of_three_values() {
    for (one, other, both, either) in [
        (Yes, Yes, Yes, Yes),
        (Yes, Open, Open, Yes),
        (Yes, No, No, Yes),
        (Open, Yes, Open, Yes),
        (Open, Open, Open, Open),
        (Open, No, No, Open),
        (No, Yes, No, Yes),
        (No, Open, No, Open),
        (No, No, No, No),
    ] {
        let pair = [plain(one), plain(other)];
        assert_eq!(Ruling::all(&pair).answer(), both, "all of {one:?}, {other:?}");
        assert_eq!(Ruling::any(&pair).answer(), either, "any of {one:?}, {other:?}");
        // De Morgan's law joins the two tables.
        assert_eq!(Ruling::any(&[pair[0].not(), pair[1].not()]).not().answer(), both);
    }
    assert_eq!([Yes, No, Open].map(|answer| plain(answer).not().answer()), [No, Yes, Open]);
    assert_eq!((Ruling::all(&[]).answer(), Ruling::any(&[]).answer()), (Yes, No));
}

/// Of what is open, all facts count, each once, in the order met; of what is settled, none.
#[test]
fn only_an_open_answer_asks_for_facts() {
    let (first, second, settled) =
        (ruling(Open, &[7, 2], &[3, 1, 3]), ruling(Open, &[2, 9], &[1, 2]), ruling(Yes, &[], &[5]));
    let all = Ruling::all(&[first.clone(), settled.clone(), second.clone()]);
    assert_eq!(all.settle(), [7, 2, 9].map(FactId));
    assert_eq!(all.figures(), [1, 2, 3, 5].map(FigureId));
    let decided = Ruling::any(&[first.clone(), settled]);
    assert_eq!((decided.answer(), decided.settle()), (Yes, &[][..]));
    assert_eq!(Ruling::all(&[first, plain(No)]).settle(), &[][..]);
    assert_eq!(second.not().settle(), [2, 9].map(FactId));
}

fn amount(low: f64, high: f64, measure: Measure) -> Quantity {
    Quantity::fixed(Range { low, high }, measure, System::Si)
}

fn ends(quantity: &Quantity) -> (f64, f64) {
    quantity.range().map(|range| (range.low, range.high)).unwrap()
}

/// By hand: 2..3 m and 4..5 m; sums, differences, products and quotients take the ends that reach farthest.
#[test]
fn ranges_are_added_taken_multiplied_and_divided_end_by_end() {
    let (short, long) = (amount(2.0, 3.0, Measure::Length), amount(4.0, 5.0, Measure::Length));
    assert_eq!(ends(&short.plus(&long).unwrap()), (6.0, 8.0));
    assert_eq!(ends(&long.less(&short).unwrap()), (1.0, 3.0));
    let area = short.times(&long).unwrap();
    assert_eq!((ends(&area), area.measure()), ((8.0, 15.0), Some(Measure::Area)));
    let share = short.over(&long).unwrap();
    assert_eq!((ends(&share), share.measure()), ((0.4, 0.75), Some(Measure::Ratio)));
    assert_eq!(area.over(&short).unwrap().measure(), Some(Measure::Length));
    assert!(long.over(&short.less(&short).unwrap()).is_err(), "0 lies in -1..1");
}

#[test]
fn a_share_of_a_quantity_keeps_its_measure() {
    let mass = amount(1000.0, 1000.0, Measure::Mass);
    let share = amount(0.1, 0.15, Measure::Ratio);
    for product in [mass.times(&share).unwrap(), share.times(&mass).unwrap()] {
        assert_eq!((ends(&product), product.measure()), ((100.0, 150.0), Some(Measure::Mass)));
    }
    assert_eq!(mass.over(&amount(2.0, 2.0, Measure::Count)).unwrap().measure(), Some(Measure::Mass));
}

/// A temperature is a point of a scale, a difference is not, though both are kelvin (SI Brochure, 9th edition, 2.3.1).
#[test]
fn temperatures_and_their_differences_do_not_mix() {
    let (hot, cold) = (amount(330.0, 330.0, Measure::Temperature), amount(280.0, 290.0, Measure::Temperature));
    let step = hot.less(&cold).unwrap();
    assert_eq!((ends(&step), step.measure()), ((40.0, 50.0), Some(Measure::TemperatureStep)));
    assert_eq!(cold.plus(&step).unwrap().measure(), Some(Measure::Temperature));
    assert_eq!(hot.less(&step).unwrap().measure(), Some(Measure::Temperature));
    assert!(hot.plus(&cold).is_err() && hot.times(&cold).is_err() && hot.over(&cold).is_err());
    assert!(hot.compare(&step, Range::above).is_err());
    assert_eq!(hot.compare(&cold, Range::above).unwrap().answer(), Yes);
}

/// A level, an angle and a share are all without dimension and no kin.
#[test]
fn levels_angles_and_shares_are_not_compared() {
    let [level, angle, share] =
        [Measure::Sound, Measure::Angle, Measure::Ratio].map(|measure| amount(1.0, 1.0, measure));
    for (one, other) in [(&level, &angle), (&angle, &share), (&share, &level)] {
        assert!(one.compare(other, Range::above).is_err());
        assert!(one.plus(other).is_err() && one.less(other).is_err());
    }
    assert!(level.plus(&level).is_err(), "levels do not add as numbers do");
    assert_eq!(share.compare(&amount(2.0, 2.0, Measure::Count), Range::below).unwrap().answer(), Yes);
}

/// Being equal is neither above nor below.
#[test]
fn comparisons_of_ranges_answer_for_every_value_they_allow() {
    let tell = |low, high, other: f64| {
        amount(low, high, Measure::Mass).compare(&amount(other, other, Measure::Mass), Range::above).unwrap().answer()
    };
    assert_eq!(
        [tell(5.0, 6.0, 4.0), tell(5.0, 6.0, 5.5), tell(5.0, 6.0, 6.0), tell(5.0, 5.0, 5.0), tell(5.0, 6.0, 5.0)],
        [Yes, Open, No, No, Open]
    );
}
