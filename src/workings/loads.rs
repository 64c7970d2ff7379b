//! The ledger of loads: everything that has weight, where it stands, and what it holds.

use crate::bounds::{Input, Sum, Term, corners};
use crate::figures::bleach;
use crate::measure::Range;
use crate::rig::parts::{AnyPart, Contents, Kind, Part, Spot};
use crate::rig::{Amount, Basis, Rig, Strength};

/// What a term of the ledger is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadKind {
    /// A thing placed in the rig: mass, balance point aft of the nose, from the curb-side wall, above the floor.
    Placed,
    /// The bare trailer: weight, tongue weight, nothing, balance height above the ground.
    BareTrailer,
    /// The bare truck: front axle, rear axle, nothing, balance height above the ground.
    BareTruck,
    /// A thing in the truck's cab or bed: mass, distance behind the front axle, nothing, height above the ground.
    InTruck,
}

/// One line of the ledger.
pub type Load = Term<LoadKind, 4>;

/// Everything that has weight.
#[derive(Debug, Clone)]
pub struct Ledger {
    /// The lines; liquids that may be full or empty are marked.
    pub loads: Vec<Load>,
    /// The tanks behind the liquid lines, by part id, in order.
    pub tanks: Vec<Tank>,
}

/// What a question about the loads depends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// Weights alone.
    Mass,
    /// Weights and distances aft.
    Aft,
    /// Weights, distances aft and distances across.
    Sides,
    /// Weights and heights.
    Height,
}

/// A tank behind a liquid line.
#[derive(Debug, Clone)]
pub struct Tank {
    /// Its id.
    pub name: String,
    /// Volume to the brim, m³, at the middle of what is known.
    pub volume: f64,
    /// The fluid, if stated.
    pub fluid: Option<&'static str>,
}

/// What every line shares: aft of the datum to the axle, datum to nose, width between walls, track.
pub type Frame = [Input; 4];

impl Ledger {
    /// Every part of the rig, with what it holds.
    pub fn of(rig: &Rig) -> Self {
        let mut ledger = Self { loads: Vec::new(), tanks: Vec::new() };
        for (name, part) in rig.parts() {
            ledger.part(rig, name, part);
        }
        ledger
    }

    fn part(&mut self, rig: &Rig, name: &str, part: &AnyPart) {
        // The customer's tap is not carried; what weighs nothing loads nothing, wherever it is.
        let carried = !matches!(&part.kind, Kind::Supply(_)) || rig.states(part.common.weight);
        // A tank or can of no weight of its own still holds something.
        let holds = matches!(&part.kind, Kind::Tank(_) | Kind::Container(_));
        if !carried || (!holds && rig.known(part.common.weight).is_some_and(|weight| weight.high == 0.0)) {
            return;
        }
        let place = balance_point(rig, &part.common);
        let [aft, side, up] = place.clone();
        self.loads.push(Load { kind: LoadKind::Placed, inputs: [dry_mass(rig, part), aft, side, up], liquid: false });
        match &part.kind {
            Kind::Tank(tank) => {
                let full = contents_mass(rig, tank.capacity, &tank.holds);
                let [aft, side, _] = place;
                let volume = rig.known(tank.capacity).map_or(0.0, Range::middle);
                self.tanks.push(Tank { name: name.to_owned(), volume, fluid: rig.word(tank.holds.fluid) });
                let height = if rig.states(tank.inside_height) { tank.inside_height } else { part.common.size.height };
                let up =
                    corners([&Input::fact(rig, part.common.at.floor), &Input::fact(rig, height)], |[floor, height]| {
                        Some(crate::figures::weight::tank_level_height(floor, height, 1.0))
                    });
                self.loads.push(Load { kind: LoadKind::Placed, inputs: [full, aft, side, up], liquid: true });
            }
            Kind::Container(can) => {
                let one = contents_mass(rig, can.capacity, &can.holds);
                let all = corners([&one, &Input::fact(rig, can.count)], |[one, count]| Some(one * count));
                let [aft, side, up] = place;
                self.loads.push(Load { kind: LoadKind::Placed, inputs: [all, aft, side, up], liquid: false });
            }
            _ => {}
        }
    }

    /// The ledger with only what a question depends on: for the tongue the distance aft, for the sides the distance across as
    /// well. What does not matter is set to nought, so that it need not be known.
    #[must_use]
    pub fn only(&self, keep: Keep) -> Self {
        let loads = self.loads.iter().map(|load| {
            let [mass, at, side, up] = load.inputs.clone();
            // The second input of a bare truck is a weight; that of a bare trailer is what its tongue carries.
            let at = match (load.kind, keep) {
                (LoadKind::BareTruck, _) | (_, Keep::Aft | Keep::Sides) => at,
                _ => Input::fixed(0.0),
            };
            let side = if keep == Keep::Sides { side } else { Input::fixed(0.0) };
            let up = if keep == Keep::Height { up } else { Input::fixed(0.0) };
            Load { kind: load.kind, inputs: [mass, at, side, up], liquid: load.liquid }
        });
        Self { loads: loads.collect(), tanks: self.tanks.clone() }
    }

    /// The ledger as a sum over a frame.
    pub fn sum<'a>(&'a self, frame: &'a Frame) -> Sum<'a, LoadKind, 4, 4> {
        Sum { shared: frame.each_ref(), terms: &self.loads }
    }
}

/// Mass of a part without what a tank or can holds; a reel or hose brings the water in its hose where it was not weighed wet.
pub fn dry_mass(rig: &Rig, part: &AnyPart) -> Input {
    let weight = Input::fact(rig, part.common.weight);
    let (bore, length, wet) = match &part.kind {
        Kind::Reel(reel) => match rig.word(reel.weighed) {
            Some("wet") => return weight.leaning([reel.weighed.id]),
            Some(_) => (reel.hose.bore, reel.hose.length, true),
            // A weight that does not say how it was taken may be either; an assumed one is meant wet.
            None if rig.fact(part.common.weight.id).basis == Basis::Stated => (reel.hose.bore, reel.hose.length, false),
            None => return weight,
        },
        Kind::Hose(hose) => match rig.word(hose.carried) {
            Some("wet") => (hose.bore, hose.length, true),
            _ => return weight,
        },
        _ => return weight,
    };
    let water = corners([&Input::fact(rig, bore), &Input::fact(rig, length)], |[bore, length]| {
        Some(std::f64::consts::FRAC_PI_4 * bore * bore * length * bleach::WATER_DENSITY)
    });
    let full = corners([&weight, &water], |[weight, water]| Some(weight + water));
    match (wet, weight.range, full.range) {
        (false, Some(dry), Some(full_range)) => {
            let mut either = Input { range: Some(dry.hull(full_range)), facts: full.facts };
            if let Kind::Reel(reel) = &part.kind {
                either.facts.push((reel.weighed.id, full_range.high - dry.high));
            }
            either
        }
        _ => full,
    }
}

/// Mass of what fills a tank or can to the brim.
pub fn contents_mass(rig: &Rig, capacity: Amount, holds: &Contents) -> Input {
    if rig.word(holds.fluid) == Some("empty") {
        return Input::fixed(0.0).leaning([holds.fluid.id]);
    }
    let density = density(rig, holds);
    corners([&Input::fact(rig, capacity), &density], |[volume, density]| Some(volume * density))
        .leaning([holds.fluid.id])
}

/// Density of a fluid: as stated; from its strength for hypochlorite; else as allowed for.
pub fn density(rig: &Rig, holds: &Contents) -> Input {
    let stated = Input::fact(rig, holds.density);
    if rig.states(holds.density)
        || rig.word(holds.fluid) != Some("hypochlorite")
        || rig.known(holds.strength.value).is_none()
    {
        return stated;
    }
    let strength = Input::fact(rig, holds.strength.value);
    let mut bases: Vec<bleach::StrengthBasis> = basis_of(rig, &holds.strength).into_iter().collect();
    if bases.is_empty() {
        bases.extend(bleach::StrengthBasis::ALL);
    }
    let each = bases.iter().map(|basis| {
        corners([&strength], |[strength]| {
            let number = if *basis == bleach::StrengthBasis::GramsPerLitre { strength } else { strength * 100.0 };
            let chlorine = bleach::available_chlorine(*basis, number, bleach::USUAL_CAUSTIC)?;
            Some(bleach::density(chlorine, bleach::USUAL_CAUSTIC))
        })
    });
    let merged = each.reduce(|one, other| Input {
        range: one.range.zip(other.range).map(|(one, other)| one.hull(other)),
        facts: one.facts,
    });
    let mut merged = merged.unwrap_or(stated);
    if bases.len() > 1
        && let Some(range) = merged.range
    {
        merged.facts.push((holds.strength.basis.id, range.width()));
    }
    merged
}

/// What a strength is a share of, if the spec says.
pub fn basis_of(rig: &Rig, strength: &Strength) -> Option<bleach::StrengthBasis> {
    Some(match rig.word(strength.basis)? {
        "trade" => bleach::StrengthBasis::TradePercent,
        "wt" => bleach::StrengthBasis::WeightPercentHypochlorite,
        "wt-chlorine" => bleach::StrengthBasis::WeightPercentChlorine,
        _ => bleach::StrengthBasis::GramsPerLitre,
    })
}

/// Balance point of a part: from the nose, from the curb-side wall, above the floor. The middle of its box unless stated.
pub fn balance_point(rig: &Rig, part: &Part) -> [Input; 3] {
    let Spot { nose, curb, floor, .. } = &part.balance;
    let axis = |balance: Amount, at: Amount, size: Amount| {
        if rig.states(balance) {
            return Input::fact(rig, balance);
        }
        corners([&Input::fact(rig, at), &Input::fact(rig, size)], |[at, size]| Some(at + size / 2.0))
    };
    [
        axis(*nose, part.at.nose, part.size.length),
        axis(*curb, part.at.curb, part.size.width),
        axis(*floor, part.at.floor, part.size.height),
    ]
}
