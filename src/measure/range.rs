//! What is known only between two ends.

/// A number known to lie between two ends, both included.
///
/// [`Range::new`] and every operation keep both ends finite and `low <= high`. Each operation rounds its ends the way the
/// same operation on single numbers rounds, so the result of the numbers never falls outside the result of the ranges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// The answer to a question put to a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Answer {
    /// So for every value the range allows.
    Yes,
    /// So for none of them.
    No,
    /// So for some and not for others: what is known does not settle it.
    Open,
}

impl Range {
    /// The range from `low` to `high`; `None` when an end is not finite or the ends stand the wrong way round.
    pub fn new(low: f64, high: f64) -> Option<Self> {
        (low.is_finite() && high.is_finite() && low <= high).then_some(Self { low, high })
    }

    /// A value known exactly; `None` when it is not finite.
    pub fn point(value: f64) -> Option<Self> {
        Self::new(value, value)
    }

    /// The smallest range around both numbers, whichever is greater; `None` when one is not finite.
    pub fn between(one: f64, other: f64) -> Option<Self> {
        // `min` and `max` pass over what is not a number, so the order is settled by comparing.
        if other < one { Self::new(other, one) } else { Self::new(one, other) }
    }

    /// Whether the range is a single value.
    pub fn is_point(self) -> bool {
        self.low == self.high
    }

    /// Upper end less lower end.
    pub fn width(self) -> f64 {
        self.high - self.low
    }

    /// The value half way between the ends.
    pub fn middle(self) -> f64 {
        self.low / 2.0 + self.high / 2.0
    }

    /// Whether the range allows `value`.
    pub fn contains(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Whether every value of `inner` is allowed by this range.
    pub fn encloses(self, inner: Self) -> bool {
        self.low <= inner.low && inner.high <= self.high
    }

    /// Sum; `None` on overflow.
    pub fn plus(self, other: Self) -> Option<Self> {
        Self::new(self.low + other.low, self.high + other.high)
    }

    /// Difference of two independent ranges; `None` on overflow.
    pub fn less(self, other: Self) -> Option<Self> {
        Self::new(self.low - other.high, self.high - other.low)
    }

    /// Product; `None` on overflow.
    pub fn times(self, other: Self) -> Option<Self> {
        around([self.low * other.low, self.low * other.high, self.high * other.low, self.high * other.high])
    }

    /// Quotient; `None` when `other` contains zero, and on overflow.
    pub fn over(self, other: Self) -> Option<Self> {
        if other.contains(0.0) {
            return None;
        }
        around([self.low / other.low, self.low / other.high, self.high / other.low, self.high / other.high])
    }

    /// Every value times `factor`; `None` on overflow or when `factor` is not finite.
    pub fn scale(self, factor: f64) -> Option<Self> {
        if !factor.is_finite() {
            return None;
        }
        Self::between(self.low * factor, self.high * factor)
    }

    /// Every value without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        let (low, high) = (self.low.abs(), self.high.abs());
        Self { low: if self.contains(0.0) { 0.0 } else { low.min(high) }, high: low.max(high) }
    }

    /// The lesser of a value of this range and a value of `other`.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.min(other.high) }
    }

    /// The greater of a value of this range and a value of `other`.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self { low: self.low.max(other.low), high: self.high.max(other.high) }
    }

    /// The smallest range that encloses both.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// Whether the value is greater than `limit`. Being equal is not above.
    pub fn above(self, limit: Self) -> Answer {
        if self.low > limit.high {
            Answer::Yes
        } else if self.high <= limit.low {
            Answer::No
        } else {
            Answer::Open
        }
    }

    /// Whether the value is less than `limit`. Being equal is not below.
    pub fn below(self, limit: Self) -> Answer {
        limit.above(self)
    }

    /// Whether the value lies inside `limits`, its ends included.
    pub fn within(self, limits: Self) -> Answer {
        if limits.encloses(self) {
            Answer::Yes
        } else if self.low > limits.high || self.high < limits.low {
            Answer::No
        } else {
            Answer::Open
        }
    }
}

impl std::ops::Neg for Range {
    type Output = Self;

    fn neg(self) -> Self {
        Self { low: -self.high, high: -self.low }
    }
}

fn around(values: [f64; 4]) -> Option<Range> {
    if values.iter().any(|value| !value.is_finite()) {
        return None;
    }
    Range::new(values.into_iter().fold(f64::INFINITY, f64::min), values.into_iter().fold(f64::NEG_INFINITY, f64::max))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn range(low: f64, high: f64) -> Range {
        Range::new(low, high).expect("a range")
    }

    #[test]
    fn a_range_refuses_ends_that_are_not_finite_or_stand_the_wrong_way_round() {
        assert_eq!(Range::new(2.0, 1.0), None);
        assert_eq!(Range::new(f64::NAN, 1.0), None);
        assert_eq!(Range::new(0.0, f64::INFINITY), None);
        assert_eq!(Range::point(f64::NEG_INFINITY), None);
        assert_eq!(Range::between(2.0, 1.0), Range::new(1.0, 2.0));
        assert_eq!(Range::between(f64::NAN, 1.0).map(|r| r.low), None);
    }

    // Interval products and quotients by hand, after Moore, Kearfott and Cloud, "Introduction to Interval Analysis" (2009),
    // section 2.3: the ends are the least and greatest of the four end products.
    #[test]
    fn ranges_multiply_and_divide_as_their_four_corners_say() {
        assert_eq!(range(-1.0, 2.0).times(range(-3.0, 4.0)), Range::new(-6.0, 8.0));
        assert_eq!(range(1.0, 2.0).over(range(-4.0, -2.0)), Range::new(-1.0, -0.25));
        assert_eq!(range(1.0, 2.0).over(range(0.0, 1.0)), None);
        assert_eq!(range(1.0, 2.0).over(range(-1.0, 1.0)), None);
        assert_eq!(range(1.0, 2.0).less(range(1.0, 2.0)), Range::new(-1.0, 1.0));
    }

    #[test]
    fn an_operation_that_overflows_has_no_answer() {
        let huge = range(1e308, 1.7e308);
        assert_eq!(huge.plus(huge), None);
        assert_eq!((-huge).less(huge), None);
        assert_eq!(huge.times(huge), None);
        assert_eq!(huge.over(range(1e-10, 1.0)), None);
        assert_eq!(huge.scale(10.0), None);
        assert_eq!(huge.scale(f64::NAN), None);
    }

    #[test]
    fn a_limit_is_met_broken_or_open() {
        let load = range(4710.0, 4742.0);
        assert_eq!(load.above(range(4700.0, 4700.0)), Answer::Yes);
        assert_eq!(load.above(range(4742.0, 4742.0)), Answer::No);
        assert_eq!(load.above(range(4720.0, 4720.0)), Answer::Open);
        assert_eq!(load.below(range(4742.0, 4742.0)), Answer::Open);
        assert_eq!(load.below(range(4743.0, 4743.0)), Answer::Yes);
        assert_eq!(load.below(range(4710.0, 4710.0)), Answer::No);
        assert_eq!(load.within(range(4710.0, 4742.0)), Answer::Yes);
        assert_eq!(load.within(range(4720.0, 5000.0)), Answer::Open);
        assert_eq!(load.within(range(5000.0, 6000.0)), Answer::No);
    }

    fn any_range() -> impl Strategy<Value = Range> {
        (-1e6..1e6_f64, 0.0..1e6_f64).prop_map(|(low, width)| range(low, low + width))
    }

    fn inside(range: Range, share: f64) -> f64 {
        (range.low + share * range.width()).clamp(range.low, range.high)
    }

    proptest! {
        #[test]
        fn the_result_of_the_ranges_encloses_the_result_of_any_values_in_them(
            (a, b) in (any_range(), any_range()),
            (s, t) in (0.0..=1.0_f64, 0.0..=1.0_f64),
            factor in -1e3..1e3_f64,
        ) {
            let (x, y) = (inside(a, s), inside(b, t));
            prop_assert!(a.plus(b).expect("no overflow").contains(x + y));
            prop_assert!(a.less(b).expect("no overflow").contains(x - y));
            prop_assert!(a.times(b).expect("no overflow").contains(x * y));
            match a.over(b) {
                Some(quotient) => prop_assert!(quotient.contains(x / y)),
                None => prop_assert!(b.contains(0.0)),
            }
            prop_assert!(a.scale(factor).expect("no overflow").contains(x * factor));
            prop_assert!((-a).contains(-x));
            prop_assert!(a.abs().contains(x.abs()) && a.abs().low >= 0.0);
            prop_assert!(a.min(b).contains(x.min(y)));
            prop_assert!(a.max(b).contains(x.max(y)));
            prop_assert!(a.hull(b).contains(x) && a.hull(b).contains(y));
            prop_assert!(a.contains(a.middle()));
        }

        #[test]
        fn the_ends_of_a_result_are_reached_so_ranges_are_no_wider_than_they_must_be((a, b) in (any_range(), any_range())) {
            let corners = [a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high];
            let product = a.times(b).expect("no overflow");
            prop_assert!(corners.contains(&product.low) && corners.contains(&product.high));
        }

        #[test]
        fn a_yes_holds_for_every_value_and_a_no_for_none((a, b) in (any_range(), any_range()), (s, t) in (0.0..=1.0_f64, 0.0..=1.0_f64)) {
            let (x, y) = (inside(a, s), inside(b, t));
            match a.above(b) {
                Answer::Yes => prop_assert!(x > y),
                Answer::No => prop_assert!(x <= y),
                Answer::Open => prop_assert!(a.high > b.low && a.low <= b.high),
            }
            match a.within(b) {
                Answer::Yes => prop_assert!(b.contains(x)),
                Answer::No => prop_assert!(!b.contains(x)),
                Answer::Open => prop_assert!(!b.encloses(a)),
            }
        }
    }
}
