//! Where each state draws the line for trailer brakes: `rules/brakes.yaml`, read once.
//!
//! The table is gathered from compilations that disagree here and there; a row is a range, and inside it nobody can say. The
//! law in force decides.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::measure::{self, Measure, Range};

/// The line of one state.
#[derive(Debug, Clone, PartialEq)]
pub struct StateLine {
    /// Two-letter code.
    pub state: String,
    /// Gross trailer weight, kg: below the lower end weight alone asks for no brakes, above the upper end it does.
    pub weight: Range,
    /// What else is known of it: where the compilations disagree, other tests that apply.
    pub note: Option<String>,
    /// Where the row comes from.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    state: String,
    low: String,
    high: String,
    source: String,
    #[serde(rename = "sure")]
    _sure: String,
    note: Option<String>,
}

/// The line of a state by its two-letter code, in capitals or not.
pub fn line_of(state: &str) -> Option<&'static StateLine> {
    lines().iter().find(|line| line.state.eq_ignore_ascii_case(state.trim()))
}

/// Every line of the table; the tests hold that each row reads.
pub fn lines() -> &'static [StateLine] {
    static LINES: OnceLock<Vec<StateLine>> = OnceLock::new();
    LINES.get_or_init(|| {
        let rows: Vec<Row> = serde_yaml::from_str(include_str!("../../rules/brakes.yaml")).unwrap_or_default();
        rows.into_iter().filter_map(line).collect()
    })
}

fn line(row: Row) -> Option<StateLine> {
    let mass = |text: &str| measure::read(text, Measure::Mass).ok();
    let weight = Range::new(mass(&row.low)?.low, mass(&row.high)?.high)?;
    Some(StateLine { state: row.state, weight, note: row.note, source: row.source })
}

#[cfg(test)]
mod tests {
    use super::*;

    const POUND: f64 = 0.453_592_37;

    #[test]
    fn every_state_and_the_district_have_one_line() {
        // The 50 states and the District of Columbia (USPS Publication 28, appendix B).
        assert_eq!(lines().len(), 51);
        for line in lines() {
            assert_eq!(lines().iter().filter(|other| other.state == line.state).count(), 1, "{}", line.state);
            assert!(line.weight.low >= 0.0 && !line.source.is_empty());
        }
    }

    #[test]
    fn lines_read_in_the_law_are_those_of_the_law() {
        // California Vehicle Code 26302(b): 3,000 lb; NRS 484D.250: 1,500 lb; Texas: 4,500 lb (state police page on brakes).
        for (state, pounds) in [("CA", 3000.0), ("nv", 1500.0), (" TX ", 4500.0)] {
            let weight = line_of(state).unwrap().weight;
            assert!((weight.low / POUND - pounds).abs() < 1e-9 && weight.is_point(), "{state}: {weight:?}");
        }
        assert_eq!(line_of("ZZ"), None);
        assert_eq!(line_of("Texas"), None);
    }

    #[test]
    fn a_state_without_a_weight_is_wide_open() {
        // Kansas, Kentucky and Oregon state a stopping test and no weight.
        for state in ["KS", "KY", "OR"] {
            assert_eq!(line_of(state).unwrap().weight.low, 0.0, "{state}");
            assert!(line_of(state).unwrap().note.is_some());
        }
    }
}
