//! The bolts of a part: what each carries in a hard stop or turn, and what it and the floor hold.

use super::{Article, any_of, is_none};
use crate::bounds::{Input, corners};
use crate::figures::securing::{
    self, Backing, BoltCapacity, BoltGrade, BoltedArticle, FloorBolt, PLYWOOD_BEARING, PLYWOOD_FACE_BEARING, WoodFloor,
};
use crate::measure::Range;
use crate::rig::parts::{AnyPart, Ties};
use crate::rig::{Amount, FactId, Rig};

/// Side of the square backing plate that `plate` means, m (3 in; common practice, no source).
const PLATE: f64 = 0.0762;
/// Outside diameter of the washer that `washer` means, m (1-1/4 in; common practice, no source).
const WASHER: f64 = 0.031_75;
/// Width of a hex bolt head across its flats, in diameters (ASME B18.2.1, from memory): all that bears on a bare panel.
const HEAD: f64 = 1.5;

/// The bolts of one part: what each carries and may carry.
#[derive(Debug, Default)]
pub(super) struct Bolts {
    pub(super) shear: Input,
    pub(super) uplift: Input,
    pub(super) shear_holds: Input,
    pub(super) uplift_holds: Input,
    pub(super) needed: Input,
}

/// What a bolt goes through.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Through {
    Steel,
    Plate,
    Washer,
    Panel,
}

impl Bolts {
    pub(super) fn of(rig: &Rig, part: &AnyPart, article: &Article, count: &Input, thickness: Option<&Input>) -> Self {
        if is_none(count) {
            let nought = || Input::fixed(0.0);
            return Self {
                shear: nought(),
                uplift: nought(),
                shear_holds: nought(),
                uplift_holds: nought(),
                needed: nought(),
            };
        }
        let ties = &part.common.tied_with;
        let Article { mass, height } = article;
        let (fore, side) = (securing::BREAKING_FORWARD, securing::BREAKING_SIDEWAYS);
        let whole = |mass: f64, height: f64, spacing: f64, force: f64| BoltedArticle { mass, height, spacing, force };
        let shear = corners([mass, count], |[mass, count]| {
            // The figure is for one bolt in each of two rows, so twice it is the whole load.
            (count >= 1.0)
                .then(|| whole(mass, 0.0, 1.0, fore).shear_per_bolt(1).map(|half| 2.0 * half / count))
                .flatten()
        });
        // Of an odd number the lifting row is taken to have the fewer.
        let lift = |force: f64, spacing: Amount| {
            corners([mass, height, &Input::fact(rig, spacing), count], |[mass, height, spacing, count]| {
                let row = (count / 2.0).floor().max(1.0);
                Some(whole(mass, height, spacing, force).row_uplift()? / row)
            })
        };
        let uplift = corners([&lift(fore, ties.rows_apart), &lift(side, ties.columns_apart)], |[fore, side]| {
            Some(fore.max(side))
        });
        let capacity = |pick: fn(&BoltCapacity) -> f64| holds(rig, ties, thickness, pick);
        let (shear_holds, uplift_holds) = (capacity(|bolt| bolt.shear), capacity(|bolt| bolt.uplift));
        let needed =
            corners([&shear, &uplift, &shear_holds, &uplift_holds, count], |[shear, uplift, across, up, count]| {
                let rows = (count / 2.0).floor().max(1.0);
                let for_shear = shear * count / across;
                let for_uplift = 2.0 * uplift * rows / up;
                (across > 0.0 && up > 0.0).then(|| 2.0 * (for_shear.max(for_uplift) / 2.0 - 1e-9).ceil().max(1.0))
            });
        Self { shear, uplift, shear_holds, uplift_holds, needed }
    }
}

/// What a bolt and what it goes through may carry, over every grade and way that is not stated.
fn holds(rig: &Rig, ties: &Ties, thickness: Option<&Input>, pick: fn(&BoltCapacity) -> f64) -> Input {
    let grades: &[BoltGrade] = match rig.word(ties.bolt_grade) {
        Some("2") => &[BoltGrade::Sae2],
        Some("5") => &[BoltGrade::Sae5],
        Some("8") => &[BoltGrade::Sae8],
        Some("8.8") => &[BoltGrade::Iso8_8],
        Some("10.9") => &[BoltGrade::Iso10_9],
        _ => &[BoltGrade::Sae2, BoltGrade::Sae8],
    };
    let through: &[Through] = match rig.word(ties.into) {
        Some("crossmember" | "frame") => &[Through::Steel],
        Some("plate") => &[Through::Plate],
        Some("washer") => &[Through::Washer],
        Some("panel") => &[Through::Panel],
        _ => &[Through::Panel, Through::Steel],
    };
    let mut readings = Vec::new();
    for diameter in bands(&Input::fact(rig, ties.bolt_size)) {
        for grade in grades {
            for way in through {
                // A metal floor tears no sooner than the bolt; its thickness is not asked.
                let panel = thickness.filter(|_| *way != Through::Steel);
                let none = Input::fixed(0.0);
                readings.push(corners([&diameter, panel.unwrap_or(&none)], |[diameter, thickness]| {
                    let backing = match way {
                        Through::Plate => Backing::Plate(PLATE),
                        Through::Washer => Backing::Washer(WASHER.max(HEAD * diameter)),
                        Through::Steel | Through::Panel => Backing::Washer(HEAD * diameter),
                    };
                    let wood = WoodFloor {
                        thickness,
                        bearing_strength: PLYWOOD_BEARING,
                        face_stress: PLYWOOD_FACE_BEARING,
                        backing,
                        hole: diameter,
                    };
                    let bolt = FloorBolt { grade: *grade, diameter, floor: panel.is_some().then_some(wood) };
                    securing::bolt_capacity(&bolt).as_ref().map(pick)
                }));
            }
        }
    }
    let decided_by: Vec<FactId> = [(grades.len() > 1, ties.bolt_grade.id), (through.len() > 1, ties.into.id)]
        .iter()
        .filter(|(open, _)| *open)
        .map(|(_, fact)| *fact)
        .collect();
    any_of(readings, &decided_by)
}

/// A range of bolt diameters cut where the strength of a grade drops (SAE J429: above 3/4 in and above 1 in), so that what a bolt
/// holds rises steadily within each piece.
fn bands(diameter: &Input) -> Vec<Input> {
    const CUTS: [f64; 2] = [0.75 * 0.0254, 0.0254];
    let Some(range) = diameter.range else { return vec![diameter.clone()] };
    let mut low = range.low;
    let mut pieces = Vec::new();
    for cut in CUTS {
        if low <= cut && cut < range.high {
            pieces.extend(Range::new(low, cut));
            low = cut + 1e-6;
        }
    }
    pieces.extend(Range::new(low.min(range.high), range.high));
    pieces.into_iter().map(|piece| Input { range: Some(piece), facts: diameter.facts.clone() }).collect()
}
