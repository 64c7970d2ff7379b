//! Ratings of materials: `rules/materials.yaml`, read once.
//!
//! A word that leaves the grade open stands for every grade of its family.

use std::collections::HashMap;
use std::sync::OnceLock;

use serde::Deserialize;

use crate::figures::materials::{BleachRatings, Rating, Wetting, agreed, in_bleach};
use crate::measure::{self, Measure};

/// One material.
#[derive(Debug, Clone)]
pub struct Material {
    /// Its word in a spec.
    pub word: String,
    /// Plastic, rubber, metal or other.
    pub kind: String,
    /// Against bleach.
    pub bleach: BleachRatings,
    /// Against soap and surfactant.
    pub soap: Rating,
    /// Against caustic.
    pub caustic: Rating,
    /// Against acid without chloride or fluoride.
    pub acid: Rating,
    /// Against gasoline.
    pub gasoline: Rating,
    /// Against diesel.
    pub diesel: Rating,
}

#[derive(Deserialize)]
struct Book {
    materials: Vec<Row>,
    #[serde(rename = "open-words")]
    open_words: Vec<OpenWord>,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
struct Row {
    material: String,
    kind: String,
    bleach: Letter,
    bleach_to: Option<String>,
    mix: Letter,
    mix_to: Option<String>,
    rinsed: Letter,
    splash: Letter,
    surfactant: Letter,
    caustic: Letter,
    acid: Letter,
    gasoline: Letter,
    diesel: Letter,
}

#[derive(Clone, Copy, Deserialize)]
enum Letter {
    S,
    L,
    U,
}

#[derive(Deserialize)]
struct OpenWord {
    word: String,
    grades: Option<Vec<String>>,
    kind: Option<String>,
}

impl Letter {
    fn rating(self) -> Rating {
        match self {
            Self::S => Rating::Suitable,
            Self::L => Rating::Limited,
            Self::U => Rating::Unsuitable,
        }
    }
}

struct Table {
    materials: Vec<Material>,
    grades: HashMap<String, Vec<usize>>,
}

fn celsius(text: Option<&str>) -> Option<f64> {
    measure::read(text?, Measure::Temperature).ok().map(|reading| reading.range().high - 273.15)
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        let book: Book = serde_yaml::from_str(include_str!("../../../rules/materials.yaml"))
            .unwrap_or(Book { materials: Vec::new(), open_words: Vec::new() });
        let materials: Vec<Material> = book.materials.into_iter().map(material).collect();
        let mut grades: HashMap<String, Vec<usize>> =
            materials.iter().zip(0..).map(|(material, at)| (material.word.clone(), vec![at])).collect();
        for open in book.open_words {
            let of = |material: &Material| match (&open.grades, &open.kind) {
                (Some(grades), _) => grades.contains(&material.word),
                (None, kind) => kind.as_ref() == Some(&material.kind),
            };
            let all = materials.iter().enumerate().filter(|(_, material)| of(material)).map(|(at, _)| at).collect();
            grades.insert(open.word, all);
        }
        Table { materials, grades }
    })
}

fn material(row: Row) -> Material {
    Material {
        bleach: BleachRatings {
            strong: row.bleach.rating(),
            strong_to: celsius(row.bleach_to.as_deref()),
            mix: row.mix.rating(),
            mix_to: celsius(row.mix_to.as_deref()),
            flushed: row.rinsed.rating(),
            splash: row.splash.rating(),
        },
        soap: row.surfactant.rating(),
        caustic: row.caustic.rating(),
        acid: row.acid.rating(),
        gasoline: row.gasoline.rating(),
        diesel: row.diesel.rating(),
        word: row.material,
        kind: row.kind,
    }
}

/// Every grade that a word of a spec may mean; none for a word that the table does not have.
pub fn grades(word: &str) -> impl Iterator<Item = &'static Material> {
    let table = table();
    table.grades.get(word).into_iter().flatten().filter_map(|at| table.materials.get(*at))
}

/// Whether a word leaves the grade open.
pub fn is_open(word: &str) -> bool {
    grades(word).nth(1).is_some()
}

/// The rating in strong bleach that stands, at room temperature, where every grade agrees on whether it is eaten.
pub fn standing_in_bleach(word: &str) -> Option<Rating> {
    let ratings = grades(word).map(|grade| in_bleach(&grade.bleach, 125.0, Wetting::Continuous, 20.0));
    let ratings = ratings.collect::<Option<Vec<Rating>>>()?;
    let eaten = |rating: &Rating| *rating == Rating::Unsuitable;
    match ratings.iter().filter(|rating| eaten(rating)).count() {
        0 => ratings.iter().copied().max(),
        _ => agreed(&ratings),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rig::parts::MATERIALS;

    #[test]
    fn every_material_of_a_spec_has_a_row_or_a_family() {
        let strange: Vec<&&str> = MATERIALS.iter().filter(|word| grades(word).next().is_none()).collect();
        assert!(strange.is_empty(), "{strange:?}");
    }

    #[test]
    fn open_words_stand_for_their_families() {
        // British Stainless Steel Association note: no stainless grade stands bleach that is stored in it.
        assert_eq!(standing_in_bleach("stainless"), Some(Rating::Unsuitable));
        assert!(is_open("stainless") && is_open("rubber") && !is_open("EPDM"));
        assert_eq!(standing_in_bleach("rubber"), None);
        assert_eq!(standing_in_bleach("FKM"), Some(Rating::Limited));
    }
}
