//! Free surface: where the liquid of a part-full tank goes in a bend, in braking and on a grade.
//!
//! Static geometry of a level surface that tilts to the slope `acceleration` (in g; a grade of 8 % is 0.08). Lengths
//! in m, masses in kg, moments in kg·m (times standard gravity for N·m). A tank is described along one horizontal
//! direction at a time: `breadth` is the inside dimension along the acceleration, `length` the one across it.
//!
//! Moving liquid overshoots the static surface and can resonate. The dynamic figures here are bounds and warnings, not
//! predictions: drive with tanks full or empty, or with partitions, and never read a safe speed from them.

use std::f64::consts::PI;

/// Standard gravity, m/s2 (exact by definition, 3rd CGPM 1901).
const GRAVITY: f64 = 9.806_65;

/// How the tilted surface meets a rectangular tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SurfaceCase {
    /// Nothing moves: empty, full, or no acceleration.
    Still,
    /// The surface meets both walls.
    WallToWall,
    /// The floor is partly bare: the liquid is a triangle against the low wall.
    FloorBare,
    /// The lid is partly wet: the air is a triangle against the high wall.
    LidWet,
    /// Floor partly bare and lid partly wet.
    FloorBareLidWet,
}

/// Where the centre of the liquid lies with a tilted surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TiltedLiquid {
    /// Shift of the liquid's centre toward the low side, m; nought with a level surface.
    pub shift: f64,
    /// Height of the liquid's centre above the inside floor, m.
    pub up: f64,
    /// How the surface meets the tank.
    pub case: SurfaceCase,
}

/// A part-full rectangular tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RectangularTank {
    /// Inside dimension along the acceleration, m.
    pub breadth: f64,
    /// Inside height, m.
    pub height: f64,
    /// Depth of the liquid at rest, m.
    pub depth: f64,
}

/// Centre of the liquid in a closed rectangular tank whose surface has the slope `acceleration` (g).
///
/// With b breadth, H height, h depth, a acceleration:
/// - wall to wall, h ≥ ab/2 and H − h ≥ ab/2: shift ab²/(12h), height h/2 + a²b²/(24h);
/// - floor bare, wet breadth ℓ = √(2bh/a) and aℓ ≤ H: shift b/2 − ℓ/3, height aℓ/3;
/// - lid wet, dry breadth ℓ = √(2b(H − h)/a) and aℓ ≤ H: the full tank less the triangle of air;
/// - both: a rectangle bh/H − H/(2a) broad on the low wall and a triangle H/a broad beside it.
///
/// `None` unless breadth and height are above nought, depth is from 0 to the height and acceleration is not negative.
/// Direction: the shift rises with acceleration and breadth and falls with depth (an empty tank is given nought, since it
/// has no liquid to shift). The *moment* mass · shift rises with acceleration and breadth and is **not monotone in
/// depth**: it rises, is flat while the surface meets both walls, and falls. The height rises with acceleration.
/// Source: hydrostatics, geometry of the tilted surface; walls rigid, tank closed, liquid at rest in the moving frame.
#[must_use]
pub fn rectangular_surface(tank: RectangularTank, acceleration: f64) -> Option<TiltedLiquid> {
    let RectangularTank { breadth: b, height: hh, depth: h } = tank;
    let a = acceleration;
    if !(b > 0.0 && hh > 0.0 && (0.0..=hh).contains(&h) && a >= 0.0) {
        return None;
    }
    if h == 0.0 || h == hh || a == 0.0 {
        return Some(TiltedLiquid { shift: 0.0, up: h / 2.0, case: SurfaceCase::Still });
    }
    let air = hh - h;
    let half_rise = a * b / 2.0;
    if h >= half_rise && air >= half_rise {
        let up = h / 2.0 + (a * b).powi(2) / (24.0 * h);
        return Some(TiltedLiquid { shift: a * b * b / (12.0 * h), up, case: SurfaceCase::WallToWall });
    }
    let wet_breadth = (2.0 * b * h / a).sqrt();
    if h < half_rise && a * wet_breadth <= hh {
        let shift = b / 2.0 - wet_breadth / 3.0;
        return Some(TiltedLiquid { shift, up: a * wet_breadth / 3.0, case: SurfaceCase::FloorBare });
    }
    let dry_breadth = (2.0 * b * air / a).sqrt();
    if air < half_rise && a * dry_breadth <= hh {
        let shift = air * (b / 2.0 - dry_breadth / 3.0) / h;
        let up = (hh * hh / 2.0 - air * (hh - a * dry_breadth / 3.0)) / h;
        return Some(TiltedLiquid { shift, up, case: SurfaceCase::LidWet });
    }
    let top_breadth = b * h / hh - hh / (2.0 * a);
    let slope_breadth = hh / a;
    let (block, wedge) = (top_breadth * hh, slope_breadth * hh / 2.0);
    let block_shift = b / 2.0 - top_breadth / 2.0;
    let wedge_shift = b / 2.0 - top_breadth - slope_breadth / 3.0;
    let shift = (block * block_shift + wedge * wedge_shift) / (block + wedge);
    let up = (block * hh / 2.0 + wedge * hh / 3.0) / (block + wedge);
    Some(TiltedLiquid { shift, up, case: SurfaceCase::FloorBareLidWet })
}

/// Centre of the liquid in an upright round tank while the surface meets the wall all round.
///
/// With d diameter, h depth: shift a·d²/(16h), height h/2 + a²d²/(32h), from I/V with I = πd⁴/64. `None` outside that
/// range (depth or air below ad/2) and unless the diameter is above nought and acceleration is not negative; then use
/// [`round_moment_bound`]. The shift rises with acceleration and diameter, falls with depth. Source: second moment of
/// a circle, hydrostatics.
#[must_use]
pub fn round_surface(diameter: f64, height: f64, depth: f64, acceleration: f64) -> Option<TiltedLiquid> {
    let half_rise = acceleration * diameter / 2.0;
    if !(diameter > 0.0 && acceleration >= 0.0 && depth > 0.0 && depth >= half_rise && height - depth >= half_rise) {
        return None;
    }
    let case = if acceleration == 0.0 { SurfaceCase::Still } else { SurfaceCase::WallToWall };
    let shift = acceleration * diameter * diameter / (16.0 * depth);
    Some(TiltedLiquid { shift, up: depth / 2.0 + acceleration * shift / 2.0, case })
}

/// Greatest static moment of the liquid over every fill of a rectangular tank, ρ·L·b³·a/(12n²), kg·m.
///
/// `compartments` n is the count of equal compartments *along the acceleration*, liquid-tight for the length of the
/// manoeuvre; perforated baffles damp but do not divide. `None` for no compartments. It is the moment itself while the
/// surface meets both walls, and above it otherwise. Rises with all but the count; with the cube of `breadth`.
/// Source: second moment of the free surface LB³/12 and its division by n², as in ship stability (Derrett, *Ship
/// Stability for Masters and Mates*, chapter on free surface of liquids).
#[must_use]
pub fn moment_bound(density: f64, length: f64, breadth: f64, acceleration: f64, compartments: u32) -> Option<f64> {
    let count = f64::from(compartments);
    (compartments > 0).then(|| density * length * breadth.powi(3) * acceleration / (12.0 * count * count))
}

/// The same bound for an upright round tank, ρ·πd⁴·a/64, kg·m. Rises with all inputs. Source: as [`moment_bound`].
#[must_use]
pub fn round_moment_bound(density: f64, diameter: f64, acceleration: f64) -> f64 {
    density * PI * diameter.powi(4) * acceleration / 64.0
}

/// Bound for a sideways pull that comes on at once: twice the static moment, kg·m.
///
/// A suddenly held load on one undamped mode peaks at twice its static value (textbook vibration theory). Repeated
/// pulls in step with [`first_mode_frequency`] can exceed it.
#[must_use]
pub fn sudden_moment(static_moment: f64) -> f64 {
    2.0 * static_moment
}

/// Load a liquid's moment takes from one side's tires and puts on the other's, M/t, kg.
///
/// `None` unless `track` is above nought. Rises with the moment, falls with the track. Source: statics.
#[must_use]
pub fn side_transfer(moment: f64, track: f64) -> Option<f64> {
    (track > 0.0).then(|| moment / track)
}

/// Fewest equal compartments along the acceleration that bring an undivided moment under a limit, ⌈√(M/limit)⌉.
///
/// `None` unless `limit` is above nought and the moment is not negative, or if the count is beyond 1000. Rises with the
/// moment, falls with the limit. Source: the n² of [`moment_bound`].
#[must_use]
pub fn compartments_for(undivided_moment: f64, limit: f64) -> Option<u32> {
    if !(limit > 0.0 && undivided_moment >= 0.0) {
        return None;
    }
    // The search starts a step low so that rounding in the root cannot skip the exact count.
    (1..=1000_u32).find(|&count| undivided_moment <= limit * f64::from(count).powi(2))
}

/// Frequency of the first sloshing mode of a rectangular tank, (1/2π)·√((πg/b)·tanh(πh/b)), Hz.
///
/// `None` unless `breadth` and `depth` are above nought. Falls with breadth, rises with depth. Source: linear theory of
/// standing waves between rigid walls (Lamb, *Hydrodynamics*; Ibrahim, *Liquid Sloshing Dynamics*). A lane change puts
/// in about 0.3 to 0.6 Hz (from memory), so broad tanks meet it.
#[must_use]
pub fn first_mode_frequency(breadth: f64, depth: f64) -> Option<f64> {
    (breadth > 0.0 && depth > 0.0).then(|| (PI * GRAVITY / breadth * (PI * depth / breadth).tanh()).sqrt() / (2.0 * PI))
}

/// Change of tongue load when liquid moves forward by `shift`, m·Δx/x_a, kg; negative when it moves back (a climb).
///
/// `None` unless `axle_aft` is above nought. Rises with mass and shift, falls with `axle_aft`. Source: statics.
#[must_use]
pub fn tongue_change(mass: f64, shift: f64, axle_aft: f64) -> Option<f64> {
    (axle_aft > 0.0).then(|| mass * shift / axle_aft)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LB: f64 = 0.453_592_37;
    const IN: f64 = 0.0254;
    const GAL_IN3: f64 = 231.0;
    /// Water at the trade's 8.34 lb/gal, kg/m3.
    const WATER: f64 = 8.34 * LB / (GAL_IN3 * IN * IN * IN);

    fn near(found: f64, expected: f64, relative: f64) {
        assert!((found - expected).abs() <= relative * expected.abs().max(1e-9), "found {found}, expected {expected}");
    }

    /// Second route: cut the tank into thin upright strips, find the surface height by bisection on the volume, and sum.
    fn by_strips(tank: RectangularTank, slope: f64) -> (f64, f64) {
        const STRIPS: u32 = 4000;
        let RectangularTank { breadth, height, depth } = tank;
        let places: Vec<f64> =
            (0..STRIPS).map(|k| breadth * ((f64::from(k) + 0.5) / f64::from(STRIPS) - 0.5)).collect();
        let wet = |middle: f64, y: f64| (middle + slope * y).clamp(0.0, height);
        let (mut low, mut high) = (-slope * breadth, height + slope * breadth);
        for _ in 0..100 {
            let middle = (low + high) / 2.0;
            let volume: f64 = places.iter().map(|&y| wet(middle, y)).sum();
            if volume < depth * f64::from(STRIPS) { low = middle } else { high = middle }
        }
        let volume: f64 = places.iter().map(|&y| wet(low, y)).sum();
        let shift: f64 = places.iter().map(|&y| wet(low, y) * y).sum();
        let up: f64 = places.iter().map(|&y| wet(low, y).powi(2) / 2.0).sum();
        (shift / volume, up / volume)
    }

    #[test]
    fn the_shift_of_a_hundred_gallon_tank_matches_the_clipped_polygon_at_every_fill() {
        // 100 gal, 48 by 30 in with 30 across, 0.3 g. Expected shift (in), height (in) and moment (lb·in) from clipping
        // the tank polygon at the tilted surface with shapely 2.2.0 (area found by bisection, centroid read off).
        let height = 100.0 * GAL_IN3 / (48.0 * 30.0);
        let rows = [
            (0.05, 10.778_143, 1.266_557, 449.448_575, SurfaceCase::FloorBare),
            (0.10, 9.029_393, 1.791_182, 753.051_375, SurfaceCase::FloorBare),
            (0.25, 5.559_641, 2.832_108, 1_159.185_233, SurfaceCase::FloorBare),
            (0.50, 2.805_195, 4.431_196, 1_169.766_234, SurfaceCase::WallToWall),
            (0.75, 1.853_214, 6.291_258, 1_159.185_233, SurfaceCase::LidWet),
            (0.95, 0.567_271, 7.665_345, 449.448_575, SurfaceCase::LidWet),
        ];
        for (fill, shift, up, moment, case) in rows {
            let tank = RectangularTank { breadth: 30.0 * IN, height: height * IN, depth: fill * height * IN };
            let found = rectangular_surface(tank, 0.3).unwrap();
            assert_eq!(found.case, case);
            near(834.0 * LB * fill * found.shift, moment * LB * IN, 1e-7);
            near(found.shift, shift * IN, 1e-6);
            near(found.up, up * IN, 1e-6);
        }
        // The moment at 90 % is that of a tenth of air, by the mirror symmetry of air and liquid: 753.05 lb·in.
        let tank = RectangularTank { breadth: 30.0 * IN, height: height * IN, depth: 0.9 * height * IN };
        near(750.6 * LB * rectangular_surface(tank, 0.3).unwrap().shift, 753.051_375 * LB * IN, 1e-7);
    }

    #[test]
    fn an_accelerated_open_tank_of_the_textbooks_just_reaches_its_rim() {
        // The common textbook exercise of a tank 6 m long and 2 m deep with 1.5 m of water: at a = g/6 the depths at the
        // ends are 2 m and 1 m. By hand, centroid of a trapezoid: 6/3·(2 + 2·1)/(2 + 1) = 2.667 m from the deep end, so a
        // shift of 0.3333 m; height (4 + 2 + 1)/(3·3) = 0.7778 m.
        let tank = RectangularTank { breadth: 6.0, height: 2.0, depth: 1.5 };
        let found = rectangular_surface(tank, 1.0 / 6.0).unwrap();
        near(found.shift, 1.0 / 3.0, 1e-9);
        near(found.up, 7.0 / 9.0, 1e-9);
        assert_eq!(rectangular_surface(tank, 0.17).unwrap().case, SurfaceCase::LidWet);
    }

    #[test]
    fn a_wide_flat_tank_bares_its_floor_and_wets_its_lid_at_once() {
        // 225 gal, 36 in long and 72 in across, half full, 0.3 g: H = 20.052 in. By hand: H/(2a) = 33.420, so a block
        // 36 − 33.420 = 2.5799 in broad and a wedge 66.840 in broad. Static moment 12 037 lb·in, bound 12 128 lb·in.
        let height = 225.0 * GAL_IN3 / (36.0 * 72.0);
        let tank = RectangularTank { breadth: 72.0 * IN, height: height * IN, depth: height / 2.0 * IN };
        let found = rectangular_surface(tank, 0.3).unwrap();
        assert_eq!(found.case, SurfaceCase::FloorBareLidWet);
        near(938.25 * LB * found.shift, 12_037.0 * LB * IN, 1e-4);
        let bound = moment_bound(WATER, 36.0 * IN, 72.0 * IN, 0.3, 1).unwrap();
        near(bound, 12_128.0 * LB * IN, 1e-4);
        near(moment_bound(WATER, 36.0 * IN, 72.0 * IN, 0.3, 3).unwrap(), 1347.6 * LB * IN, 1e-4);
        // On an 86 in track: 141 lb a side undivided, 15.7 lb in three compartments.
        near(side_transfer(bound, 86.0 * IN).unwrap(), 141.0 * LB, 1e-3);
        near(side_transfer(bound / 9.0, 86.0 * IN).unwrap(), 15.7 * LB, 2e-3);
    }

    #[test]
    fn partitions_divide_the_moment_by_their_count_squared() {
        // Second moment of the free surface, by hand: (8.34/231)·48·30³·0.3/12 = 1169.766 lb·in; a quarter in two
        // compartments, a ninth in three (Derrett, free surface of liquids: subdivision divides the loss by n²).
        let bound = |count| moment_bound(WATER, 48.0 * IN, 30.0 * IN, 0.3, count);
        near(bound(1).unwrap(), 1_169.766_234 * LB * IN, 1e-8);
        near(bound(2).unwrap(), 292.441_558_4 * LB * IN, 1e-8);
        near(bound(3).unwrap(), 129.974_026 * LB * IN, 1e-8);
        assert_eq!(bound(0), None);
        near(side_transfer(bound(1).unwrap(), 60.0 * IN).unwrap(), 19.496_1 * LB, 1e-5);
        near(sudden_moment(bound(1).unwrap()), 2_339.532_468 * LB * IN, 1e-8);
        // A pickup tank 30 in long and 48 in across: 2994.6 and, in two, 748.7 lb·in.
        near(moment_bound(WATER, 30.0 * IN, 48.0 * IN, 0.3, 1).unwrap(), 2994.6 * LB * IN, 1e-5);
        near(moment_bound(WATER, 30.0 * IN, 48.0 * IN, 0.3, 2).unwrap(), 748.7 * LB * IN, 1e-4);
        assert_eq!(compartments_for(bound(1).unwrap(), bound(3).unwrap() * (1.0 + 1e-12)), Some(3));
        assert_eq!(compartments_for(1.0, 0.26), Some(2));
        assert_eq!(compartments_for(1.0, 0.0), None);
    }

    #[test]
    fn a_round_tank_shifts_by_its_second_moment_over_its_volume() {
        // By hand: d 30 in, h 16 in, 0.3 g: 900·0.3/(16·16) = 1.0546875 in. The mass times the shift is ρπd⁴a/64.
        let found = round_surface(30.0 * IN, 32.0 * IN, 16.0 * IN, 0.3).unwrap();
        near(found.shift, 1.054_687_5 * IN, 1e-12);
        let mass = WATER * PI / 4.0 * (30.0 * IN).powi(2) * 16.0 * IN;
        near(mass * found.shift, round_moment_bound(WATER, 30.0 * IN, 0.3), 1e-12);
        assert_eq!(round_surface(30.0 * IN, 32.0 * IN, 4.0 * IN, 0.3), None, "the floor is bare");
        assert_eq!(round_surface(30.0 * IN, 32.0 * IN, 30.0 * IN, 0.3), None, "the lid is wet");
    }

    #[test]
    fn the_height_in_a_round_tank_agrees_with_a_sum_of_strips() {
        // Second route: strips of breadth 2√(r² − y²) with depth h + a·y.
        let (d, h, a) = (0.8, 0.5, 0.4);
        let (mut volume, mut shift, mut up) = (0.0, 0.0, 0.0);
        for k in 0..20_000 {
            let y = d * ((f64::from(k) + 0.5) / 20_000.0 - 0.5);
            let chord = 2.0 * (d * d / 4.0 - y * y).sqrt();
            let depth = h + a * y;
            volume += chord * depth;
            shift += chord * depth * y;
            up += chord * depth * depth / 2.0;
        }
        let found = round_surface(d, 1.0, h, a).unwrap();
        near(found.shift, shift / volume, 1e-4);
        near(found.up, up / volume, 1e-6);
    }

    #[test]
    fn braking_and_a_grade_move_the_liquid_and_the_tongue() {
        // Shapely 2.2.0 for the shift: 48 in long, 16.0417 in high, half full (417 lb), 0.5 g: 10.21 in; by hand
        // 417·10.21/100 = 42.6 lb on the tongue. On an 8 % grade, by hand: 48²·0.08/(12·8.0208) = 1.9150 in.
        let tank = RectangularTank { breadth: 48.0 * IN, height: 16.0417 * IN, depth: 8.0208 * IN };
        let braking = rectangular_surface(tank, 0.5).unwrap();
        near(braking.shift, 10.21 * IN, 1e-3);
        near(tongue_change(417.0 * LB, braking.shift, 100.0 * IN).unwrap(), 42.6 * LB, 1e-3);
        near(rectangular_surface(tank, 0.08).unwrap().shift, 1.915_02 * IN, 1e-5);
        assert_eq!(tongue_change(417.0, 0.1, 0.0), None);
    }

    #[test]
    fn the_first_mode_follows_linear_theory() {
        // Linear theory with g = 386.0886 in/s2, evaluated separately in double precision (Python 3 math).
        near(first_mode_frequency(30.0 * IN, 8.0208 * IN).unwrap(), 0.838_047_898, 1e-6);
        near(first_mode_frequency(48.0 * IN, 9.0234 * IN).unwrap(), 0.582_618_089, 1e-6);
        // Shallow water: Merian's formula for a basin, period 2b/√(gh).
        near(first_mode_frequency(10.0, 0.02).unwrap(), (GRAVITY * 0.02).sqrt() / 20.0, 1e-5);
        // Deep water: a wave twice the breadth long, λ = gT²/2π.
        near(first_mode_frequency(1.0, 5.0).unwrap(), (GRAVITY / (2.0 * PI * 2.0)).sqrt(), 1e-9);
        assert_eq!(first_mode_frequency(0.0, 1.0), None);
        assert_eq!(first_mode_frequency(1.0, 0.0), None);
    }

    #[test]
    fn a_still_tank_shifts_nothing_and_an_impossible_one_has_no_answer() {
        let tank = RectangularTank { breadth: 1.0, height: 0.5, depth: 0.5 };
        assert_eq!(rectangular_surface(tank, 0.3).unwrap().shift, 0.0);
        assert_eq!(rectangular_surface(RectangularTank { depth: 0.2, ..tank }, 0.0).unwrap().up, 0.1);
        assert_eq!(rectangular_surface(RectangularTank { depth: 0.0, ..tank }, 0.3).unwrap().shift, 0.0);
        assert_eq!(rectangular_surface(RectangularTank { depth: 0.6, ..tank }, 0.3), None);
        assert_eq!(rectangular_surface(RectangularTank { breadth: 0.0, ..tank }, 0.3), None);
        assert_eq!(rectangular_surface(tank, -0.1), None);
        assert_eq!(rectangular_surface(RectangularTank { depth: f64::NAN, ..tank }, 0.1), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn the_closed_form_agrees_with_a_sum_of_strips(
            breadth in 0.25..1.8_f64, height in 0.2..1.5_f64, fill in 0.02..0.98_f64, slope in 0.05..2.5_f64,
        ) {
            let tank = RectangularTank { breadth, height, depth: fill * height };
            let found = rectangular_surface(tank, slope).unwrap();
            let (shift, up) = by_strips(tank, slope);
            prop_assert!((found.shift - shift).abs() < 1e-3 * breadth, "shift {} against {shift}", found.shift);
            prop_assert!((found.up - up).abs() < 1e-3 * height, "up {} against {up}", found.up);
        }

        #[test]
        fn no_fill_passes_the_moment_bound_and_no_figure_is_lost(
            breadth in 0.2..3.0_f64, height in 0.1..2.0_f64, fill in 0.0..=1.0_f64, slope in 0.0..3.0_f64,
        ) {
            let tank = RectangularTank { breadth, height, depth: fill * height };
            let found = rectangular_surface(tank, slope).unwrap();
            prop_assert!(found.shift.is_finite() && found.up.is_finite());
            let moment = 1000.0 * breadth * tank.depth * found.shift;
            let bound = moment_bound(1000.0, 1.0, breadth, slope, 1).unwrap();
            prop_assert!(moment <= bound * (1.0 + 1e-9) + 1e-12);
        }

        #[test]
        fn the_shift_rises_with_the_acceleration_and_falls_with_the_depth(
            breadth in 0.2..3.0_f64, height in 0.1..2.0_f64, fill in 0.02..0.9_f64, slope in 0.01..3.0_f64,
        ) {
            let tank = RectangularTank { breadth, height, depth: fill * height };
            let shift = |tank, slope| rectangular_surface(tank, slope).unwrap().shift;
            let here = shift(tank, slope);
            prop_assert!(shift(tank, slope * 1.1) >= here - 1e-9);
            let deeper = RectangularTank { depth: tank.depth * 1.1, ..tank };
            prop_assert!(shift(deeper, slope) <= here + 1e-9);
            let broader = RectangularTank { breadth: breadth * 1.1, ..tank };
            prop_assert!(shift(broader, slope) >= here - 1e-9);
        }
    }
}
