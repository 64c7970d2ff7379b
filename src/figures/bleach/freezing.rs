//! Freezing point of bleach and of weak mixes.

/// Spread to carry on either side of [`freezing_point`], K (6 degF).
///
/// The one point read in a maker's safety data sheet lies 3.0 K below the table.
pub const FREEZING_UNCERTAINTY: f64 = 6.0 / 1.8;

/// Weight percent NaOCl and freezing point in degC, from the degF table commonly printed in US bleach handbooks.
const TABLE: [(f64, f64); 8] = [
    (0.0, 0.0),
    (2.0, -4.0 / 1.8),
    (4.0, -8.0 / 1.8),
    (6.0, -13.5 / 1.8),
    (8.0, -18.0 / 1.8),
    (10.0, -25.0 / 1.8),
    (12.0, -35.0 / 1.8),
    (15.6, -53.5 / 1.8),
];

/// Freezing point (degC) of bleach of `percent` weight percent sodium hypochlorite, by straight lines between table points.
///
/// Valid from 0 to 15.6 weight percent; `None` outside. Falls as `percent` rises: weak mixes in lines and pump heads freeze
/// long before the strong tank does. Carry [`FREEZING_UNCERTAINTY`].
///
/// Source: table of US bleach handbooks (32, 28, 24, 18.5, 14, 7, -3, -21.5 degF), from memory.
#[must_use]
pub fn freezing_point(percent: f64) -> Option<f64> {
    TABLE.windows(2).find_map(|pair| match pair {
        [(low, warm), (high, cold)] if (*low..=*high).contains(&percent) => {
            Some(warm + (cold - warm) * (percent - low) / (high - low))
        }
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_makers_data_sheet_point_lies_inside_the_stated_spread() {
        // A bleach maker's safety data sheet (2012): 12.5 wt% freezes at -11 degF (-24 degC).
        let sheet = (-11.0 - 32.0) / 1.8;
        assert!((freezing_point(12.5).unwrap() - sheet).abs() <= FREEZING_UNCERTAINTY);
    }

    #[test]
    fn weak_solutions_follow_the_ideal_freezing_point_depression() {
        // Ideal colligative estimate, by hand: 1.86 K kg/mol, four ions for each NaOCl with its equal mole of NaCl.
        for percent in [1.0, 3.0, 6.0] {
            let salt = percent * 58.4398 / 74.4388;
            let kilograms_of_water = (100.0 - percent - salt) / 1000.0;
            let ideal = -1.86 * 4.0 * percent / 74.4388 / kilograms_of_water;
            assert!((freezing_point(percent).unwrap() - ideal).abs() <= FREEZING_UNCERTAINTY, "{percent}");
        }
    }

    #[test]
    fn water_freezes_at_zero_and_the_table_ends_at_its_ends() {
        assert_eq!(freezing_point(0.0), Some(0.0));
        assert!(freezing_point(15.6).is_some());
        assert_eq!(freezing_point(15.7), None);
        assert_eq!(freezing_point(-0.1), None);
    }

    #[test]
    fn a_stronger_solution_never_freezes_warmer() {
        let points: Vec<f64> = (0..=156).map(|tenth| freezing_point(f64::from(tenth) / 10.0).unwrap()).collect();
        assert!(points.windows(2).all(|pair| pair[1] < pair[0]));
    }
}
