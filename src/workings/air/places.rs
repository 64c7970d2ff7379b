//! Straight distances between points, parts and openings whose places may be ranges.

use crate::bounds::Bounded;
use crate::measure::Range;
use crate::rig::parts::{Part, Spot};
use crate::rig::takeoff::Size;
use crate::rig::trailer::{Door, Vent};
use crate::rig::{Amount, FactId, Rig};

use super::Hold;

/// From where to where something reaches along each of the three axes, and the facts that say so.
#[derive(Debug, Clone)]
pub(super) struct Extent {
    axes: [(Range, Range); 3],
    facts: Vec<(FactId, f64)>,
}

impl Extent {
    /// A part; the facts that are missing where its place or size is not stated.
    pub(super) fn of_part(rig: &Rig, part: &Part) -> Result<Self, Vec<FactId>> {
        let Size { length, width, height, .. } = part.size;
        let axes = [(part.at.nose, length), (part.at.curb, width), (part.at.floor, height)];
        let mut facts = Vec::new();
        let mut missing = Vec::new();
        let reaches = axes.map(|(at, size)| {
            for fact in [at, size] {
                match rig.known(fact) {
                    Some(range) if rig.states(fact) => facts.push((fact.id, range.width())),
                    _ => missing.push(fact.id),
                }
            }
            let at = rig.known(at)?;
            Some((at, at.plus(rig.known(size)?)?))
        });
        match reaches {
            [Some(x), Some(y), Some(z)] if missing.is_empty() => Ok(Self { axes: [x, y, z], facts }),
            _ => Err(missing),
        }
    }

    /// A point.
    pub(super) fn of_spot(rig: &Rig, spot: &Spot) -> Result<Self, Vec<FactId>> {
        let each = [spot.nose, spot.curb, spot.floor];
        let known = each.map(|at| rig.known(at).filter(|_| rig.states(at)));
        match known {
            [Some(x), Some(y), Some(z)] => {
                let facts = each.iter().zip([x, y, z]).map(|(at, range)| (at.id, range.width())).collect();
                Ok(Self { axes: [(x, x), (y, y), (z, z)], facts })
            }
            _ => Err(each.iter().filter(|at| !rig.states(**at)).map(|at| at.id).collect()),
        }
    }

    /// A door's opening; `None` where too little is known of it.
    pub(super) fn of_door(rig: &Rig, door: &Door, hold: &Hold) -> Option<Self> {
        let along = match rig.word(door.wall)? {
            "tail" | "nose" => door.from_curb,
            _ => door.from_nose,
        };
        let (from, width, height) = (rig.known(along)?, rig.known(door.width)?, rig.known(door.height)?);
        let facts =
            [along, door.width, door.height].map(|fact| (fact.id, rig.known(fact).map_or(0.0, Range::width))).to_vec();
        Self::in_wall(rig.word(door.wall)?, (from, from.plus(width)?), (Range::point(0.0)?, height), hold, facts)
    }

    /// A vent's opening. Where along its wall it sits the spec does not say: anywhere.
    pub(super) fn of_vent(rig: &Rig, vent: &Vent, hold: &Hold) -> Option<Self> {
        let wall = rig.word(vent.wall)?;
        let (width, tall) = (rig.known(vent.opening.width)?, rig.known(vent.opening.height)?);
        let [length, across, up] = [hold.sides[0].range?, hold.sides[1].range?, hold.sides[2].range?];
        let anywhere = |side: Range| {
            Some((Range::new(0.0, (side.high - width.low).max(0.0))?, Range::new(width.low.min(side.high), side.high)?))
        };
        let facts: Vec<(FactId, f64)> =
            [vent.height, vent.opening.width].iter().map(|fact: &Amount| (fact.id, 0.0)).collect();
        if matches!(wall, "roof" | "floor") {
            let level = if wall == "roof" { up } else { Range::point(0.0)? };
            return Some(Self { axes: [anywhere(length)?, anywhere(across)?, (level, level)], facts });
        }
        let side = if matches!(wall, "tail" | "nose") { across } else { length };
        let middle = rig.known(vent.height)?;
        let half = tall.scale(0.5)?;
        Self::in_wall(wall, anywhere(side)?, (middle.less(half)?, middle.plus(half)?), hold, facts)
    }

    fn in_wall(
        wall: &str,
        along: (Range, Range),
        up: (Range, Range),
        hold: &Hold,
        facts: Vec<(FactId, f64)>,
    ) -> Option<Self> {
        let nought = Range::point(0.0)?;
        let (length, width) = (hold.sides[0].range?, hold.sides[1].range?);
        let axes = match wall {
            "nose" => [(nought, nought), along, up],
            "tail" => [(length, length), along, up],
            "curb" => [along, (nought, nought), up],
            _ => [along, (width, width), up],
        };
        Some(Self { axes, facts })
    }

    /// The straight distance to another.
    pub(super) fn to(&self, other: &Self) -> Bounded {
        let (mut low, mut high) = (0.0_f64, 0.0_f64);
        for ((near, far), (other_near, other_far)) in self.axes.iter().zip(&other.axes) {
            low = low.hypot((other_near.low - far.high).max(near.low - other_far.high).max(0.0));
            high = high.hypot((other_near.high - far.low).max(near.high - other_far.low).max(0.0));
        }
        let facts = self.facts.iter().chain(&other.facts).copied().collect();
        Bounded { range: Range::between(low, high), facts }
    }
}

/// The straight distance between two parts; unknown unless both places and sizes are stated.
pub(in crate::workings) fn apart(rig: &Rig, one: &Part, other: &Part) -> Bounded {
    match (Extent::of_part(rig, one), Extent::of_part(rig, other)) {
        (Ok(one), Ok(other)) => one.to(&other),
        (one, other) => {
            let missing = [one.err(), other.err()].into_iter().flatten().flatten();
            Bounded { range: None, facts: missing.map(|fact| (fact, f64::INFINITY)).collect() }
        }
    }
}

/// The nearest of several, with its name: low and high end each over all of them.
pub(super) fn nearest<'a>(
    from: &Extent,
    others: impl Iterator<Item = (&'a str, Extent)>,
) -> Option<(&'a str, Bounded)> {
    let mut best: Option<(&str, Bounded)> = None;
    for (name, other) in others {
        let gap = from.to(&other);
        best = match best.take() {
            None => Some((name, gap)),
            Some((known, mut kept)) => {
                let (Some(one), Some(two)) = (kept.range, gap.range) else { return Some((known, kept)) };
                let closer = two.middle() < one.middle();
                let range = Range::between(one.low.min(two.low), one.high.min(two.high));
                if closer || two.low < one.high && !two.is_point() {
                    kept.facts.extend(gap.facts);
                }
                Some((if closer { name } else { known }, Bounded { range, facts: kept.facts }))
            }
        };
    }
    best
}
