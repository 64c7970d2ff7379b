//! Holding a part down: tie-down strength and count, floor bolts, friction and direct straps.
//!
//! Straps and chains are rated in kg, as their labels are; bolt forces are in N. The securing rules of 49 CFR 393 bind
//! commercial vehicles; elsewhere they are good practice. A tank that is strapped or bolted down is an article with its
//! liquid inside. The numbers screen a layout: the fastener maker's data, the trailer maker's anchor ratings and local
//! rules govern.

use std::f64::consts::{FRAC_PI_2, PI};

/// Standard gravity, m/s² (exact by definition, CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Forward force on an article, in g, that no part may break under: 49 CFR 393.102(a)(1).
pub const BREAKING_FORWARD: f64 = 0.8;
/// Rearward force on an article, in g, that no part may break under: 49 CFR 393.102(a)(1).
pub const BREAKING_REARWARD: f64 = 0.5;
/// Sideways force on an article, in g, that no part may break under: 49 CFR 393.102(a)(1).
pub const BREAKING_SIDEWAYS: f64 = 0.5;
/// Forward force, in g, within the working load limit: 49 CFR 393.102(a)(2).
pub const WORKING_FORWARD: f64 = 0.435;
/// Rearward force, in g, within the working load limit: 49 CFR 393.102(a)(2).
pub const WORKING_REARWARD: f64 = 0.5;
/// Sideways force, in g, within the working load limit: 49 CFR 393.102(a)(2).
pub const WORKING_SIDEWAYS: f64 = 0.25;
/// Downward force on an article the vehicle does not fully contain, as part of its weight: 49 CFR 393.102(b).
pub const DOWNFORCE: f64 = 0.2;
/// Aggregate working load limit needed, as part of the article's weight: 49 CFR 393.106(d).
pub const AGGREGATE_SHARE: f64 = 0.5;

/// Safety factor on a friction strap against forward force (EN 12195-1, from memory).
pub const FRICTION_FACTOR_FORWARD: f64 = 1.25;
/// Safety factor on a friction strap against rearward and sideways force (EN 12195-1, from memory).
pub const FRICTION_FACTOR_OTHER: f64 = 1.1;

/// Safety factor of allowable strength design for bolts in shear and tension (AISC 360 section J3, from memory).
pub const BOLT_SAFETY: f64 = 2.0;
/// Nominal shear stress of a bolt, threads in the shear plane, as part of its tensile strength (AISC 360 Table J3.2, from
/// memory).
pub const BOLT_SHEAR_SHARE: f64 = 0.45;
/// Nominal tensile stress of a bolt on its body area, as part of its tensile strength (AISC 360 Table J3.2, from memory).
pub const BOLT_TENSION_SHARE: f64 = 0.75;

/// Dowel bearing strength of plywood, Pa (3,350 psi; NDS dowel bearing table for panels, from memory).
pub const PLYWOOD_BEARING: f64 = 3350.0 * PSI;
/// Bearing of a washer on the face of plywood, Pa (360 psi, from memory).
pub const PLYWOOD_FACE_BEARING: f64 = 360.0 * PSI;
/// Reduction term of yield mode I for a bolt bearing along the grain (NDS, from memory).
pub const WOOD_REDUCTION: f64 = 4.0;

/// Working load limit assumed for an unstamped track fitting, kg (1,000 lb; common practice, no source).
pub const UNSTAMPED_TRACK_FITTING: f64 = 1000.0 * POUND;

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const POUND: f64 = 0.453_592_37;
const PSI: f64 = POUND * STANDARD_GRAVITY / (INCH * INCH);

/// Rounding slack on a quotient before it counts as a part more, so that 20 ft written in metres is two tens, not three.
const SLACK: f64 = 1e-9;

// ---------------------------------------------------------------------------------------------------------------------
// Straps and chains
// ---------------------------------------------------------------------------------------------------------------------

/// Aggregate working load limit an article needs, kg: half its mass (tank full). 49 CFR 393.106(d). Rises with the mass.
pub fn required_aggregate(mass: f64) -> f64 {
    AGGREGATE_SHARE * mass
}

/// How a tie-down runs; it decides how much of its working load limit counts. 49 CFR 393.106(d).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Run {
    /// From the vehicle to the article: half counts.
    ToArticle,
    /// From the vehicle over, through or around the article and back to the same side: half counts.
    SameSide,
    /// From the vehicle over, through or around the article to the other side: all counts.
    Across,
}

/// Part of a tie-down's working load limit that counts toward the aggregate, kg. 49 CFR 393.106(d). Rises with the limit.
pub fn counted_limit(limit: f64, run: Run) -> f64 {
    match run {
        Run::ToArticle | Run::SameSide => 0.5 * limit,
        Run::Across => limit,
    }
}

/// Working load limit of a tie-down in use, kg: the least of its webbing or chain, its tensioner and its anchor points.
/// 49 CFR 393.108(a). Rises with each. `None` for an empty list.
pub fn weakest_limit(limits: &[f64]) -> Option<f64> {
    limits.iter().copied().reduce(f64::min)
}

/// Default working load limit of unmarked synthetic webbing of `width` m, kg. Table to 49 CFR 393.108.
///
/// Takes the widest tabulated webbing that is not wider (2 mm of slack, as the table itself calls 2 in 50 mm). Rises in
/// steps with the width. `None` below 1-3/4 in, which the table does not list.
pub fn default_webbing_limit(width: f64) -> Option<f64> {
    const TABLE: [(f64, f64); 4] = [(4.0, 4000.0), (3.0, 3000.0), (2.0, 2000.0), (1.75, 1750.0)];
    TABLE.iter().find(|(inches, _)| inches * INCH <= width + 0.002).map(|(_, pounds)| pounds * POUND)
}

/// Grade of welded steel chain; unmarked chain is taken as [`ChainGrade::G30`], 49 CFR 393.108(d).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChainGrade {
    /// Grade 30, proof coil.
    G30,
    /// Grade 43, high test.
    G43,
    /// Grade 70, transport.
    G70,
    /// Grade 80, alloy.
    G80,
    /// Grade 100, alloy.
    G100,
}

/// Default working load limit of chain of trade size `size` m, kg. Table to 49 CFR 393.108.
///
/// Takes the largest tabulated size that is not larger (0.2 mm of slack for metric names); grades 80 and 100 have no 7/16 in
/// row and fall to 3/8 in. Rises in steps with the size; *not monotone* in the grade (5/16 in grade 80 is below grade 70).
/// `None` below 1/4 in.
pub fn default_chain_limit(grade: ChainGrade, size: f64) -> Option<f64> {
    // Size in inches, then pounds for grades 30, 43, 70, 80, 100; nought where the table has no entry.
    const TABLE: [(f64, [f64; 5]); 6] = [
        (5.0 / 8.0, [6900.0, 13_000.0, 15_800.0, 18_100.0, 22_600.0]),
        (1.0 / 2.0, [4500.0, 9200.0, 11_300.0, 12_000.0, 15_000.0]),
        (7.0 / 16.0, [3700.0, 7200.0, 8750.0, 0.0, 0.0]),
        (3.0 / 8.0, [2650.0, 5400.0, 6600.0, 7100.0, 8800.0]),
        (5.0 / 16.0, [1900.0, 3900.0, 4700.0, 4500.0, 5700.0]),
        (1.0 / 4.0, [1300.0, 2600.0, 3150.0, 3500.0, 4300.0]),
    ];
    TABLE
        .iter()
        .map(|(inches, row)| {
            let [g30, g43, g70, g80, g100] = *row;
            let pounds = match grade {
                ChainGrade::G30 => g30,
                ChainGrade::G43 => g43,
                ChainGrade::G70 => g70,
                ChainGrade::G80 => g80,
                ChainGrade::G100 => g100,
            };
            (inches * INCH, pounds * POUND)
        })
        .find(|&(at_least, kg)| at_least <= size + 0.0002 && kg > 0.0)
        .map(|(_, kg)| kg)
}

/// Least number of tie-downs for an article of `length` m along the vehicle and `mass` kg. 49 CFR 393.110.
///
/// Blocked against forward movement: one a 10 ft of length or part. Not blocked: one up to 5 ft and 1,100 lb; two up to
/// 10 ft; beyond, two and one more each further 10 ft or part. Rises in steps with the length and the mass.
pub fn tie_down_count(length: f64, mass: f64, blocked_forward: bool) -> u32 {
    let tens = |beyond: f64| {
        // Saturating conversion: a length of nonsense size gives the largest count, never a wrapped one.
        (beyond / (10.0 * FOOT) - SLACK).ceil().max(0.0) as u32
    };
    if blocked_forward {
        tens(length).max(1)
    } else if length <= 5.0 * FOOT + SLACK && mass <= 1100.0 * POUND * (1.0 + SLACK) {
        1
    } else {
        tens(length - 10.0 * FOOT).saturating_add(2)
    }
}

/// Tie-downs needed for count and strength together, each counting `counted` kg toward the aggregate: the greater of
/// [`tie_down_count`] and required aggregate over `counted`, rounded up. 49 CFR 393.106(d) and 393.110.
///
/// Rises with the length and the mass, falls with the counted limit. `None` for a counted limit that is not positive.
pub fn tie_downs_needed(length: f64, mass: f64, blocked_forward: bool, counted: f64) -> Option<u32> {
    if counted <= 0.0 {
        return None;
    }
    let for_strength = (required_aggregate(mass) / counted - SLACK).ceil().max(0.0) as u32;
    Some(for_strength.max(tie_down_count(length, mass, blocked_forward)))
}

/// Downward hold an article needs when the vehicle does not fully contain it, kg: 20 % of its mass. 49 CFR 393.102(b).
pub fn required_downforce(mass: f64) -> f64 {
    DOWNFORCE * mass
}

/// Straps laid over an article, holding it by friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionStraps {
    /// Mass of the article, kg.
    pub mass: f64,
    /// Force to resist, in g.
    pub force: f64,
    /// Friction between article and floor; plastic on wet plywood 0.2 to 0.3 (from memory).
    pub friction: f64,
    /// Angle of the strap to the floor, degrees, above 0 to 90.
    pub angle: f64,
    /// Number of straps, 1 or more.
    pub straps: u32,
    /// Safety factor: [`FRICTION_FACTOR_FORWARD`] or [`FRICTION_FACTOR_OTHER`].
    pub safety: f64,
}

/// Tension each strap must hold on each side, kg: `(c − μ)·m·f/(2·n·μ·sin α)`; nought where friction alone suffices.
///
/// Rises with the mass, the force and the safety factor, falls with the friction, the angle and the number. `None` without
/// friction, straps or a rising strap (angle outside above 0 to 90). Form of EN 12195-1, from memory.
pub fn friction_strap_tension(input: &FrictionStraps) -> Option<f64> {
    let FrictionStraps { mass, force, friction, angle, straps, safety } = *input;
    if friction <= 0.0 || straps == 0 || !(angle > 0.0 && angle <= 90.0) {
        return None;
    }
    let short = (force - friction).max(0.0);
    Some(short * mass * safety / (2.0 * f64::from(straps) * friction * angle.to_radians().sin()))
}

/// Straps pulling an article straight back from the direction of the force, sharing alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DirectStraps {
    /// Mass of the article, kg.
    pub mass: f64,
    /// Force to resist, in g.
    pub force: f64,
    /// Friction between article and floor, 0 or more.
    pub friction: f64,
    /// Angle of the strap below the horizontal, degrees, 0 to 90.
    pub below_level: f64,
    /// Angle of the strap in plan from the line of the force, degrees, 0 to 90.
    pub off_line: f64,
    /// Number of straps that pull against the force, 1 or more; a pair is 2.
    pub straps: u32,
}

/// Tension in each direct strap, kg: `(a − μ)·m/(n(cos β cos φ + μ sin β))`; nought where friction alone suffices.
///
/// From `nT cos β cos φ + μ(m + nT sin β) = a·m`. Rises with the mass and the force and with the angle off the line, falls
/// with the friction and the number; *not monotone* in the angle below level once there is friction. `None` for angles
/// outside 0 to 90, no straps, or straps that pull across the force without friction. Statics.
pub fn direct_strap_tension(input: &DirectStraps) -> Option<f64> {
    let DirectStraps { mass, force, friction, below_level, off_line, straps } = *input;
    let quarter = 0.0..=90.0;
    if straps == 0 || friction < 0.0 || !quarter.contains(&below_level) || !quarter.contains(&off_line) {
        return None;
    }
    let (down, aside) = (below_level.to_radians(), off_line.to_radians());
    let grip = down.cos() * aside.cos() + friction * down.sin();
    if grip <= SLACK {
        return None;
    }
    Some((force - friction).max(0.0) * mass / (f64::from(straps) * grip))
}

// ---------------------------------------------------------------------------------------------------------------------
// Floor bolts
// ---------------------------------------------------------------------------------------------------------------------

/// Tensile stress area of an inch bolt, m²: `π/4 (D − 0.9743/n)²`, diameter in m, threads an inch.
///
/// Rises with both. `None` unless the thread leaves a core. ASME B1.1 (stress area formula).
pub fn stress_area_inch(diameter: f64, threads_per_inch: f64) -> Option<f64> {
    if threads_per_inch <= 0.0 {
        return None;
    }
    core_area(diameter - 0.9743 * INCH / threads_per_inch)
}

/// Tensile stress area of a metric bolt, m²: `π/4 (d − 0.938194·P)²`, diameter and pitch in m.
///
/// Rises with the diameter, falls with the pitch. `None` unless the thread leaves a core. ISO 898-1, 9.1.6.1.
pub fn stress_area_metric(diameter: f64, pitch: f64) -> Option<f64> {
    core_area(diameter - 0.938_194 * pitch)
}

/// Body area of a bolt, m²: `π/4 D²`, diameter in m.
pub fn body_area(diameter: f64) -> f64 {
    PI / 4.0 * diameter * diameter
}

fn core_area(core: f64) -> Option<f64> {
    (core > 0.0).then(|| body_area(core))
}

/// Strength grade marked on a bolt head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BoltGrade {
    /// SAE J429 grade 2, no marks.
    Sae2,
    /// SAE J429 grade 5, three marks.
    Sae5,
    /// SAE J429 grade 8, six marks.
    Sae8,
    /// ISO 898-1 property class 8.8.
    Iso8_8,
    /// ISO 898-1 property class 10.9.
    Iso10_9,
}

/// Tensile strength of a bolt of `grade` and `diameter` m, Pa.
///
/// SAE J429: grade 2 74 ksi to 3/4 in, 60 above; grade 5 120 ksi to 1 in, 105 above; grade 8 150 ksi. ISO 898-1: the first
/// number of the class in hundreds of MPa. *Not monotone* in the diameter. `None` for SAE grades above 1-1/2 in.
pub fn bolt_tensile_strength(grade: BoltGrade, diameter: f64) -> Option<f64> {
    let inches = diameter / INCH - SLACK;
    if diameter <= 0.0 || (inches > 1.5 && matches!(grade, BoltGrade::Sae2 | BoltGrade::Sae5 | BoltGrade::Sae8)) {
        return None;
    }
    Some(match grade {
        BoltGrade::Sae2 if inches > 0.75 => 60e3 * PSI,
        BoltGrade::Sae2 => 74e3 * PSI,
        BoltGrade::Sae5 if inches > 1.0 => 105e3 * PSI,
        BoltGrade::Sae5 => 120e3 * PSI,
        BoltGrade::Sae8 => 150e3 * PSI,
        BoltGrade::Iso8_8 => 800e6,
        BoltGrade::Iso10_9 => 1000e6,
    })
}

/// Allowable shear of one bolt, threads in the shear plane, single shear, N: `0.45·Fu·A/2`, A the body area.
///
/// Rises with the grade and within a band of diameters. `None` as [`bolt_tensile_strength`]. Form of AISC 360 J3, from memory.
pub fn allowable_bolt_shear(grade: BoltGrade, diameter: f64) -> Option<f64> {
    Some(BOLT_SHEAR_SHARE * bolt_tensile_strength(grade, diameter)? * body_area(diameter) / BOLT_SAFETY)
}

/// Allowable tension of one bolt, N: `0.75·Fu·A/2`, A the body area. Directions as [`allowable_bolt_shear`].
pub fn allowable_bolt_tension(grade: BoltGrade, diameter: f64) -> Option<f64> {
    Some(BOLT_TENSION_SHARE * bolt_tensile_strength(grade, diameter)? * body_area(diameter) / BOLT_SAFETY)
}

/// Allowable tension left beside a shear, N: `min(T, 1.3·T − T·v/V)`, never below nought.
///
/// Rises with both allowables, falls with the shear. `None` for an allowable shear that is not positive or a shear beyond it.
/// Form of AISC 360 J3 for combined tension and shear, from memory.
pub fn tension_beside_shear(allowable_tension: f64, allowable_shear: f64, shear: f64) -> Option<f64> {
    if allowable_shear <= 0.0 || shear > allowable_shear {
        return None;
    }
    Some((allowable_tension * (1.3 - shear / allowable_shear)).clamp(0.0, allowable_tension))
}

/// Load a bolt may bear sideways on a wooden floor, N: `D·t·Fe/Rd` (yield mode I), bolt and floor thickness in m,
/// bearing strength in Pa.
///
/// Rises with all three. Form of NDS yield mode I with reduction term 4, from memory. Does not apply where the bolt passes a
/// steel crossmember or a steel plate that is itself held.
pub fn wood_bearing(diameter: f64, thickness: f64, bearing_strength: f64) -> f64 {
    diameter * thickness * bearing_strength / WOOD_REDUCTION
}

/// A washer or backing plate under the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Backing {
    /// Round washer of this outside diameter, m.
    Washer(f64),
    /// Square plate of this side, m.
    Plate(f64),
}

/// Load at which a washer or plate pulls through, N: face bearing stress times the net area, hole diameter in m, stress in Pa.
///
/// Rises with the backing and the stress, falls with the hole. `None` where the hole leaves nothing. The plate must be thick
/// enough not to fold; that is not checked. Statics.
pub fn pull_through(backing: Backing, hole: f64, face_stress: f64) -> Option<f64> {
    let gross = match backing {
        Backing::Washer(outside) => (outside > hole).then(|| body_area(outside)),
        Backing::Plate(side) => (side > hole).then_some(side * side),
    }?;
    Some((gross - body_area(hole)) * face_stress)
}

/// What one bolt may carry, both in N, and what gives first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltCapacity {
    /// Sideways load.
    pub shear: f64,
    /// What gives first sideways.
    pub shear_gives: Gives,
    /// Uplift.
    pub uplift: f64,
    /// What gives first upward.
    pub uplift_gives: Gives,
}

/// What gives first at a bolted foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Gives {
    /// The bolt itself.
    Bolt,
    /// The wooden floor, crushed by the bolt or torn by its washer.
    Floor,
}

/// A bolt and the floor it goes through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorBolt {
    /// Grade on the head.
    pub grade: BoltGrade,
    /// Diameter, m.
    pub diameter: f64,
    /// Wooden floor the bolt relies on; `None` when it passes a steel member.
    pub floor: Option<WoodFloor>,
}

/// A wooden floor as a bolt meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WoodFloor {
    /// Thickness, m.
    pub thickness: f64,
    /// Dowel bearing strength, Pa; [`PLYWOOD_BEARING`].
    pub bearing_strength: f64,
    /// Bearing stress on the face, Pa; [`PLYWOOD_FACE_BEARING`].
    pub face_stress: f64,
    /// Washer or plate under the floor.
    pub backing: Backing,
    /// Hole in the washer or plate, m.
    pub hole: f64,
}

/// What one floor bolt may carry: the lesser of bolt and floor each way. Rises with every strength and size but the hole.
///
/// `None` as [`bolt_tensile_strength`] and [`pull_through`]. A screw into plywood alone has no figure here and never counts.
pub fn bolt_capacity(bolt: &FloorBolt) -> Option<BoltCapacity> {
    let least = |bolt: f64, floor: Option<f64>| match floor {
        Some(floor) if floor < bolt => (floor, Gives::Floor),
        _ => (bolt, Gives::Bolt),
    };
    let (bearing, torn) = match bolt.floor {
        None => (None, None),
        Some(wood) => (
            Some(wood_bearing(bolt.diameter, wood.thickness, wood.bearing_strength)),
            Some(pull_through(wood.backing, wood.hole, wood.face_stress)?),
        ),
    };
    let (shear, shear_gives) = least(allowable_bolt_shear(bolt.grade, bolt.diameter)?, bearing);
    let (uplift, uplift_gives) = least(allowable_bolt_tension(bolt.grade, bolt.diameter)?, torn);
    Some(BoltCapacity { shear, shear_gives, uplift, uplift_gives })
}

/// An article on two rows of floor bolts, the rows set apart along the force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltedArticle {
    /// Mass, tank full, kg.
    pub mass: f64,
    /// Height of the centre of gravity above the floor, m.
    pub height: f64,
    /// Distance between the rows along the force, m.
    pub spacing: f64,
    /// Force, in g.
    pub force: f64,
}

impl BoltedArticle {
    /// Shear on each bolt, N: `a·m·g/(2n)`, `per_row` bolts in each of two rows, friction left out.
    ///
    /// Rises with the mass and the force, falls with the number. `None` without bolts. Statics.
    pub fn shear_per_bolt(&self, per_row: u32) -> Option<f64> {
        (per_row > 0).then(|| self.force * self.mass * STANDARD_GRAVITY / (2.0 * f64::from(per_row)))
    }

    /// Uplift of the trailing row, N: `m·g·(a·h/s − 1/2)`, nought where the weight holds it down.
    ///
    /// Rises with the mass (where there is uplift), the force and the height, falls with the spacing. `None` for a spacing that
    /// is not positive. Statics.
    pub fn row_uplift(&self) -> Option<f64> {
        (self.spacing > 0.0)
            .then(|| (self.mass * STANDARD_GRAVITY * (self.force * self.height / self.spacing - 0.5)).max(0.0))
    }

    /// Uplift of each bolt in the trailing row, N. `None` as [`BoltedArticle::row_uplift`], or without bolts.
    pub fn uplift_per_bolt(&self, per_row: u32) -> Option<f64> {
        (per_row > 0).then_some(())?;
        Some(self.row_uplift()? / f64::from(per_row))
    }

    /// Fewest bolts in each row that carry shear and uplift within `capacity`, steel bolts also both at once.
    ///
    /// Rises with the mass, the force and the height, falls with the spacing and the capacity. `None` for a capacity or
    /// spacing that is not positive.
    pub fn bolts_per_row_needed(&self, capacity: &BoltCapacity) -> Option<u32> {
        if capacity.shear <= 0.0 || capacity.uplift <= 0.0 {
            return None;
        }
        let shear = self.shear_per_bolt(1)? / capacity.shear;
        let uplift = self.row_uplift()? / capacity.uplift;
        // Where the bolt gives both ways the straight line u + v = 1.3 of combined loading binds too; each n divides both.
        let both = if (capacity.shear_gives, capacity.uplift_gives) == (Gives::Bolt, Gives::Bolt) {
            (shear + uplift) / 1.3
        } else {
            0.0
        };
        Some((shear.max(uplift).max(both) - SLACK).ceil().max(1.0) as u32)
    }
}

/// Force, in g, at which an unfastened article tips: `s/(2h)`, base `spacing` along the force and centre height in m.
///
/// Rises with the base, falls with the height. `None` for a height that is not positive. Statics; sliding may come first.
pub fn tip_limit(spacing: f64, height: f64) -> Option<f64> {
    (height > 0.0).then(|| spacing / (2.0 * height))
}

/// Base or bolt row spacing at which nothing lifts under `force` g, m: `2·a·h`. Rises with both. Statics.
pub fn base_needed(force: f64, height: f64) -> f64 {
    2.0 * force * height
}

/// Angle of a strap to the floor, degrees, from the height it rises and the run it covers, both m; 90 straight up.
///
/// Rises with the rise, falls with the run. `None` when both are nought or one is negative.
pub fn strap_angle(rise: f64, run: f64) -> Option<f64> {
    if rise < 0.0 || run < 0.0 || rise + run <= 0.0 {
        return None;
    }
    Some(rise.atan2(run).min(FRAC_PI_2).to_degrees())
}

#[cfg(test)]
mod tests;
