//! Ratings of materials in contact with liquids, and metals in contact with each other.
//!
//! The ratings themselves are data (`rules/materials.yaml`); here is how they are read: by strength and contact, by
//! temperature, worst over a part, and only if every grade agrees where the grade is open.

/// How well a material stands a liquid. Ordered from good to bad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rating {
    /// Suitable.
    Suitable,
    /// Limited: short life, derate, inspect, or only under a condition.
    Limited,
    /// Unsuitable.
    Unsuitable,
}

/// How bleach touches a material. Ordered from light to heavy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Wetting {
    /// Outside surface wetted by drips or overspray, rinsed the same day.
    Splash,
    /// Wet up to 8 h, then rinsed with three volumes of clean water the same day.
    Flushed,
    /// Wet for 24 h or more without a rinse.
    Continuous,
}

/// Strongest bleach the ratings speak for, kg/m3 available chlorine (16 trade percent).
pub const STRONGEST_RATED: f64 = 160.0;

/// Strength up to which the column for mixes holds, kg/m3 available chlorine (5 trade percent).
pub const STRONGEST_MIX: f64 = 50.0;

/// Difference of potential from which the less noble metal corrodes where salt-like liquid wets both, V.
///
/// Source: note on a published galvanic chart, 200 mV.
pub const GALVANIC_LIMIT_WET: f64 = 0.20;

/// The same in the dry, V (anodic-index practice, from memory).
pub const GALVANIC_LIMIT_DRY: f64 = 0.50;

/// Ratings of one material against bleach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BleachRatings {
    /// Over 5 and up to 16 trade percent, continuous.
    pub strong: Rating,
    /// Temperature to which `strong` holds, degC; `None` when no temperature is given.
    pub strong_to: Option<f64>,
    /// Up to 5 trade percent, continuous.
    pub mix: Rating,
    /// Temperature to which `mix` holds, degC; `None` when no temperature is given.
    pub mix_to: Option<f64>,
    /// Flushed the same day.
    pub flushed: Rating,
    /// Splashed.
    pub splash: Rating,
}

/// The rating one class worse.
#[must_use]
pub fn one_class_worse(rating: Rating) -> Rating {
    match rating {
        Rating::Suitable => Rating::Limited,
        Rating::Limited | Rating::Unsuitable => Rating::Unsuitable,
    }
}

/// A rating at `temperature` degC: one class worse above the temperature it holds to. Never better as it gets hotter.
#[must_use]
pub fn at_temperature(rating: Rating, holds_to: Option<f64>, temperature: f64) -> Rating {
    if holds_to.is_some_and(|limit| temperature > limit) { one_class_worse(rating) } else { rating }
}

/// Rating of a material in bleach of `chlorine` kg/m3 at `temperature` degC.
///
/// `None` for bleach stronger than 16 trade percent, which no row speaks for, and for a negative strength. Never better as
/// it gets hotter. With the rows of `rules/materials.yaml` never better as it gets stronger or the wetting heavier, but for
/// the temperature a row allows.
#[must_use]
pub fn in_bleach(ratings: &BleachRatings, chlorine: f64, wetting: Wetting, temperature: f64) -> Option<Rating> {
    if !(0.0..=STRONGEST_RATED).contains(&chlorine) {
        return None;
    }
    let (standing, standing_to) =
        if chlorine > STRONGEST_MIX { (ratings.strong, ratings.strong_to) } else { (ratings.mix, ratings.mix_to) };
    let (rating, holds_to) = match wetting {
        Wetting::Continuous => (standing, standing_to),
        Wetting::Flushed => (ratings.flushed, standing_to),
        Wetting::Splash => (ratings.splash, None),
    };
    Some(at_temperature(rating, holds_to, temperature))
}

/// Rating of a part: the worst of its wetted materials; `None` for no materials.
#[must_use]
pub fn worst(ratings: &[Rating]) -> Option<Rating> {
    ratings.iter().copied().max()
}

/// The rating of a material whose grade is open: `None`, that is undecided, unless every grade has the same.
#[must_use]
pub fn agreed(grades: &[Rating]) -> Option<Rating> {
    let first = *grades.first()?;
    grades.iter().all(|grade| *grade == first).then_some(first)
}

/// Difference of two potentials (V); the metal of the lower one corrodes. Rises with the distance between them.
#[must_use]
pub fn galvanic_difference(one: f64, two: f64) -> f64 {
    (one - two).abs()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use serde_yaml::Value;

    use super::*;

    fn table() -> Value {
        serde_yaml::from_str(include_str!("../../rules/materials.yaml")).unwrap()
    }

    fn text<'a>(row: &'a Value, key: &str) -> &'a str {
        row[key].as_str().unwrap_or_else(|| panic!("{key} missing in {row:?}"))
    }

    fn rating(row: &Value, key: &str) -> Rating {
        match text(row, key) {
            "S" => Rating::Suitable,
            "L" => Rating::Limited,
            "U" => Rating::Unsuitable,
            other => panic!("{key}: {other}"),
        }
    }

    fn celsius(row: &Value, key: &str) -> Option<f64> {
        row.get(key).map(|value| value.as_str().unwrap().strip_suffix(" C").unwrap().parse().unwrap())
    }

    fn bleach(row: &Value) -> BleachRatings {
        BleachRatings {
            strong: rating(row, "bleach"),
            strong_to: celsius(row, "bleach-to"),
            mix: rating(row, "mix"),
            mix_to: celsius(row, "mix-to"),
            flushed: rating(row, "rinsed"),
            splash: rating(row, "splash"),
        }
    }

    fn rows() -> BTreeMap<String, Value> {
        let table = table();
        let rows = table["materials"].as_sequence().unwrap();
        let named: BTreeMap<_, _> = rows.iter().map(|row| (text(row, "material").to_owned(), row.clone())).collect();
        assert_eq!(named.len(), rows.len(), "a material stands twice");
        named
    }

    #[test]
    fn every_row_has_ratings_a_source_and_how_sure_it_is() {
        let columns =
            ["bleach", "mix", "rinsed", "splash", "surfactant", "caustic", "acid", "gasoline", "diesel", "hot-water"];
        for (name, row) in rows() {
            assert!(columns.iter().take(9).map(|column| rating(&row, column)).max().is_some());
            assert!(!text(&row, "source").is_empty() && !text(&row, "is").is_empty());
            assert!(["plastic", "rubber", "metal", "other"].contains(&text(&row, "kind")));
            let read: Vec<&str> =
                row["read"].as_sequence().unwrap().iter().map(|cell| cell.as_str().unwrap()).collect();
            assert!(read.iter().all(|column| columns.contains(column)), "{name}");
            let sure = if read.contains(&"bleach") { "published" } else { "from memory" };
            assert_eq!(text(&row, "sure"), sure, "{name}");
        }
    }

    #[test]
    fn more_bleach_and_longer_contact_never_rate_better() {
        for (name, row) in rows() {
            let found = bleach(&row);
            assert!(found.splash <= found.flushed && found.flushed <= found.mix && found.mix <= found.strong, "{name}");
            // A temperature belongs to a rating that something is left of.
            assert_eq!(found.strong_to.is_some(), found.strong != Rating::Unsuitable, "{name}");
            assert_eq!(found.mix_to.is_some(), found.mix != Rating::Unsuitable, "{name}");
        }
    }

    #[test]
    fn stainless_is_unfit_for_standing_bleach_and_undecided_when_flushed() {
        // British Stainless Steel Association note: unfit for storage at 15 or 5 %; 304 pits from a household spill left
        // overnight, 316 stands short contact if rinsed.
        let rows = rows();
        let grade = |name: &str, wetting| in_bleach(&bleach(&rows[name]), 125.0, wetting, 20.0).unwrap();
        assert_eq!(grade("stainless-316", Wetting::Continuous), Rating::Unsuitable);
        assert_eq!(grade("stainless-316", Wetting::Flushed), Rating::Limited);
        let open = table()["open-words"][0]["grades"].clone();
        let all = |wetting| -> Vec<Rating> {
            open.as_sequence().unwrap().iter().map(|name| grade(name.as_str().unwrap(), wetting)).collect()
        };
        assert_eq!(agreed(&all(Wetting::Flushed)), None);
        assert_eq!(agreed(&all(Wetting::Continuous)), Some(Rating::Unsuitable));
        assert_eq!(agreed(&[]), None);
    }

    #[test]
    fn rubbers_in_fuel_and_alkali_are_as_a_makers_table_says() {
        // A moulded-rubber maker's class table: gasoline poor for natural rubber and EPDM, good for nitrile, excellent for
        // fluoro-rubber; alkali poor for silicone and polyurethane.
        let rows = rows();
        for name in ["EPDM", "natural-rubber"] {
            assert_eq!(rating(&rows[name], "gasoline"), Rating::Unsuitable);
        }
        for name in ["nitrile", "FKM-bisphenol"] {
            assert_eq!(rating(&rows[name], "gasoline"), Rating::Suitable);
        }
        for name in ["silicone", "polyurethane"] {
            assert_eq!(rating(&rows[name], "caustic"), Rating::Unsuitable);
        }
    }

    #[test]
    fn cells_that_decide_most_items() {
        // Pipe maker's chemical-resistance pages: nonionic surfactant not recommended for CPVC. The rest from memory.
        let rows = rows();
        assert_eq!(rating(&rows["CPVC"], "surfactant"), Rating::Unsuitable);
        assert_eq!(rating(&rows["PVDF"], "caustic"), Rating::Limited);
        let standing = |name: &str| in_bleach(&bleach(&rows[name]), 125.0, Wetting::Continuous, 20.0).unwrap();
        assert_eq!(standing("nitrile"), Rating::Unsuitable);
        assert_eq!(standing("titanium"), Rating::Suitable);
        let aluminum = bleach(&rows["aluminum"]);
        for wetting in [Wetting::Splash, Wetting::Flushed, Wetting::Continuous] {
            assert_eq!(in_bleach(&aluminum, 30.0, wetting, 20.0), Some(Rating::Unsuitable));
        }
        assert_eq!(worst(&[Rating::Suitable, standing("nitrile")]), Some(Rating::Unsuitable));
        assert_eq!(worst(&[]), None);
    }

    #[test]
    fn a_hot_tank_drops_a_class() {
        // A poly tank guide: ask the maker above 100 degF (38 degC).
        let rows = rows();
        let tank =
            |name: &str, chlorine, celsius| in_bleach(&bleach(&rows[name]), chlorine, Wetting::Continuous, celsius);
        assert_eq!(tank("HDPE", 125.0, 38.0), Some(Rating::Limited));
        assert_eq!(tank("HDPE", 125.0, 45.0), Some(Rating::Unsuitable));
        assert_eq!(tank("XLPE", 125.0, 45.0), Some(Rating::Limited));
        assert_eq!(tank("HDPE", 30.0, 39.0), Some(Rating::Suitable));
        assert_eq!(tank("HDPE", 161.0, 20.0), None);
        assert_eq!(one_class_worse(Rating::Unsuitable), Rating::Unsuitable);
    }

    #[test]
    fn open_words_name_rows_that_exist() {
        let (rows, table) = (rows(), table());
        for word in table["open-words"].as_sequence().unwrap() {
            let of_kind = |kind: &str| rows.values().filter(|row| text(row, "kind") == kind).count();
            match word.get("grades") {
                Some(grades) => {
                    let grades = grades.as_sequence().unwrap();
                    assert!(grades.len() > 1 && grades.iter().all(|grade| rows.contains_key(grade.as_str().unwrap())));
                }
                None => assert!(of_kind(text(word, "kind")) > 1),
            }
            assert!(!rows.contains_key(text(word, "word")));
        }
    }

    #[test]
    fn metals_corrode_each_other_by_their_potentials() {
        // A corrosion reference page for boats, potentials in flowing sea water; differences by hand.
        let table = table();
        let potentials: BTreeMap<(&str, &str), f64> = table["galvanic"]
            .as_sequence()
            .unwrap()
            .iter()
            .map(|row| {
                let volts = text(row, "potential").strip_suffix(" V").unwrap().parse().unwrap();
                ((text(row, "metal"), text(row, "surface")), volts)
            })
            .collect();
        for (noble, base, volts, corrodes) in [
            (("stainless-316", "passive"), ("aluminum", "bare"), 0.74, true),
            (("stainless-304", "passive"), ("galvanized-steel", "bare"), 0.95, true),
            (("brass", "bare"), ("aluminum", "bare"), 0.39, true),
            (("brass", "bare"), ("galvanized-steel", "bare"), 0.63, true),
            (("copper", "bare"), ("aluminum", "bare"), 0.43, true),
            (("stainless-316", "passive"), ("carbon-steel", "bare"), 0.56, true),
            (("stainless-316", "passive"), ("brass", "bare"), 0.35, true),
            (("aluminum", "bare"), ("galvanized-steel", "bare"), 0.24, true),
            (("carbon-steel", "bare"), ("aluminum", "bare"), 0.18, false),
            (("nickel-C276", "passive"), ("titanium", "passive"), 0.02, false),
            (("stainless-316", "passive"), ("titanium", "passive"), 0.05, false),
        ] {
            let found = galvanic_difference(potentials[&noble], potentials[&base]);
            assert!((found - volts).abs() < 5e-3, "{noble:?} {base:?}: {found}");
            assert_eq!(found > GALVANIC_LIMIT_WET, corrodes);
            assert!(potentials[&noble] > potentials[&base]);
        }
    }

    #[test]
    fn acid_and_ammonia_never_meet_bleach() {
        // CLP EUH031; safety data sheets.
        let table = table();
        let meetings = table["meetings"].as_sequence().unwrap();
        for other in ["acid", "ammonia"] {
            let row = meetings.iter().find(|row| text(row, "one") == "hypochlorite" && text(row, "other") == other);
            assert_eq!(text(row.unwrap(), "rating"), "never");
        }
        for row in meetings {
            assert!(["never", "apart", "dilute", "ask", "allowed"].contains(&text(row, "rating")));
            assert!(["published", "common practice", "from memory"].contains(&text(row, "sure")));
            assert!(!text(row, "source").is_empty() && !text(row, "does").is_empty());
        }
    }
}
