//! Weight and balance: what the axle, the tongue, each side and the tow vehicle carry.
//!
//! Plain statics of a rigid trailer on level ground. The trailer frame has its origin at the coupler ball: `aft` runs
//! rearward from the ball, `curb` toward the curb (right) side of the centreline, `up` from the ground. A pickup bed
//! uses the same words with `aft` measured from the front axle.
//!
//! Masses are in kg because scales and rating plates speak of mass; moments are in kg·m. Springs, tires and road
//! camber are left out, so a limit found here is the best case. The scale ticket and the rating plates decide.
//!
//! Every mass and every position enters gross weight, axle load, tongue load and side load once and linearly, so a
//! range of facts has its extremes at its ends, load by load: sum the shares (`tongue_share`, `axle_share`,
//! `curb_side_share`) separately. The tongue *ratio* shares the masses between top and bottom; compare
//! `ratio_margin_share` sums with zero instead.

#[cfg(test)]
mod tests;

/// One thing that has weight, at its own centre of gravity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Mass, kg.
    pub mass: f64,
    /// Distance rearward of the coupler ball, m; negative ahead of it.
    pub aft: f64,
    /// Distance toward the curb side of the centreline, m; negative toward the road.
    pub curb: f64,
    /// Height above the ground, m.
    pub up: f64,
}

/// A centre of gravity in the trailer frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Centre {
    /// Distance rearward of the coupler ball, m.
    pub aft: f64,
    /// Distance toward the curb side of the centreline, m.
    pub curb: f64,
    /// Height above the ground, m.
    pub up: f64,
}

/// What the tires of each side carry, over all axles of the trailer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideLoads {
    /// Load on the curb (right) side, kg.
    pub curb: f64,
    /// Load on the road (left) side, kg.
    pub road: f64,
}

/// `numerator / denominator` where the denominator is a length, mass or ratio that must be above nought.
fn over(numerator: f64, denominator: f64) -> Option<f64> {
    (denominator > 0.0).then(|| numerator / denominator)
}

/// Gross weight W = Σ m, kg.
///
/// Rises with every mass. An empty list weighs nothing. Source: statics; "gross vehicle weight" of 49 CFR 390.5.
#[must_use]
pub fn gross(loads: &[Load]) -> f64 {
    loads.iter().map(|load| load.mass).sum()
}

/// Centre of gravity Σ m r / Σ m.
///
/// `None` when the loads together have no mass. Each coordinate rises with the same coordinate of any load; not
/// monotone in a mass without knowing where the others lie. Source: statics.
#[must_use]
pub fn centre_of_gravity(loads: &[Load]) -> Option<Centre> {
    let total = gross(loads);
    let mean = |arm: fn(&Load) -> f64| over(loads.iter().map(|load| load.mass * arm(load)).sum(), total);
    Some(Centre { aft: mean(|load| load.aft)?, curb: mean(|load| load.curb)?, up: mean(|load| load.up)? })
}

/// What one load puts on the axle group, m·x/x_a, kg.
///
/// `axle_aft` is the axle behind the ball, or the middle of the group when the axles share equally (leaf springs with
/// equalisers). `None` unless `axle_aft` is above nought. Rises with `aft`; rises with `mass` for a load behind the
/// ball; falls with `axle_aft` for a load behind the ball. Source: moments about the ball.
#[must_use]
pub fn axle_share(mass: f64, aft: f64, axle_aft: f64) -> Option<f64> {
    over(mass * aft, axle_aft)
}

/// What the axle group carries, Σ m·x/x_a, kg. See [`axle_share`] for validity and directions.
#[must_use]
pub fn axle_group_load(loads: &[Load], axle_aft: f64) -> Option<f64> {
    over(loads.iter().map(|load| load.mass * load.aft).sum(), axle_aft)
}

/// What each axle of an equalised group carries, kg.
///
/// `None` for no axles. Rises with the group load, falls with the count. Source: statics of the equaliser, which
/// shares equally whatever the pitch; axles without one need [`independent_tandem`].
#[must_use]
pub fn axle_load(group: f64, axles: u32) -> Option<f64> {
    over(group, f64::from(axles))
}

/// What one load puts on the coupler ball, m(1 − x/x_a), kg; negative when it lifts the tongue.
///
/// `None` unless `axle_aft` is above nought. Falls with `aft`; rises with `axle_aft` for a load behind the ball;
/// rises with `mass` ahead of the axle and falls with it behind. Source: moments about the axle.
#[must_use]
pub fn tongue_share(mass: f64, aft: f64, axle_aft: f64) -> Option<f64> {
    over(mass * (axle_aft - aft), axle_aft)
}

/// Tongue load T = W − R, kg; negative when the tongue lifts. See [`tongue_share`] for validity and directions.
#[must_use]
pub fn tongue_load(loads: &[Load], axle_aft: f64) -> Option<f64> {
    over(loads.iter().map(|load| load.mass * (axle_aft - load.aft)).sum(), axle_aft)
}

/// Tongue load as a fraction of gross weight, τ = T/W.
///
/// `None` unless `gross` is above nought. Rises with the tongue load; falls with gross weight while the tongue load
/// is positive. The two share the same masses, so do not take their ranges separately. The usual band for a trailer
/// on a ball is 0.10 to 0.15 (common practice, no source; driver manuals and trailer makers repeat it).
#[must_use]
pub fn tongue_ratio(tongue: f64, gross: f64) -> Option<f64> {
    over(tongue, gross)
}

/// What one load adds to T − τ₀W, which is m(1 − x/x_a − τ₀), kg.
///
/// The sum over all loads is below nought exactly when the tongue ratio is below `ratio`, and unlike the ratio it is
/// linear in every mass and fill. `None` unless `axle_aft` is above nought. Falls with `aft` and `ratio`; in `mass` it
/// rises ahead of [`neutral_line`] and falls behind it. Source: statics.
#[must_use]
pub fn ratio_margin_share(mass: f64, aft: f64, axle_aft: f64, ratio: f64) -> Option<f64> {
    Some(tongue_share(mass, aft, axle_aft)? - ratio * mass)
}

/// What one load adds to the curb side and takes from the road side, m·y/t, kg.
///
/// A ball joint carries no roll moment, so the whole lateral moment is reacted by the tires, the share of the load that
/// rests on the tongue included. `None` unless `track` (tire centre to tire centre, m) is above nought. Rises with
/// `curb`; rises with `mass` on the curb side. Source: statics, roll moments about the centreline.
#[must_use]
pub fn lateral_share(mass: f64, curb: f64, track: f64) -> Option<f64> {
    over(mass * curb, track)
}

/// What one load puts on the curb-side tires, m(x/(2x_a) + y/t), kg.
///
/// `None` unless `axle_aft` and `track` are above nought. Rises with `aft` and `curb`; see [`axle_share`] and
/// [`lateral_share`] for the rest. Source: statics.
#[must_use]
pub fn curb_side_share(load: Load, axle_aft: f64, track: f64) -> Option<f64> {
    Some(axle_share(load.mass, load.aft, axle_aft)? / 2.0 + lateral_share(load.mass, load.curb, track)?)
}

/// What one load puts on the road-side tires, m(x/(2x_a) − y/t), kg. The mirror of [`curb_side_share`].
#[must_use]
pub fn road_side_share(load: Load, axle_aft: f64, track: f64) -> Option<f64> {
    Some(axle_share(load.mass, load.aft, axle_aft)? / 2.0 - lateral_share(load.mass, load.curb, track)?)
}

/// What the tires of each side carry, R/2 ± Σ m·y/t, kg.
///
/// `None` unless `axle_aft` and `track` are above nought. Source: statics.
#[must_use]
pub fn side_loads(loads: &[Load], axle_aft: f64, track: f64) -> Option<SideLoads> {
    let half = axle_group_load(loads, axle_aft)? / 2.0;
    let tilt = over(loads.iter().map(|load| load.mass * load.curb).sum(), track)?;
    Some(SideLoads { curb: half + tilt, road: half - tilt })
}

/// Difference between the sides as a fraction of the axle group load, |curb − road| / (curb + road).
///
/// `None` when the axle group carries nothing. Not monotone in either side. The tenth often taken as the limit is
/// common practice, no source.
#[must_use]
pub fn side_difference(sides: SideLoads) -> Option<f64> {
    over((sides.curb - sides.road).abs(), sides.curb + sides.road)
}

/// What each tire of one side carries, kg, with `tires` tires on that side of the trailer.
///
/// `None` for no tires. Assumes equalised axles and evenly loaded duals. Rises with the side load, falls with the
/// count. The limit is the tire's own rating (49 CFR 393.75(g)).
#[must_use]
pub fn tire_load(side: f64, tires: u32) -> Option<f64> {
    over(side, f64::from(tires))
}

/// Sideways acceleration, in g, at which a rigid trailer would lift its inner wheels: t/(2z).
///
/// `None` unless `up` is above nought. Rises with `track`, falls with `up`. Optimistic: springs, tires and moving
/// liquid lower it, so it is not a safe speed. Source: statics; the same form as the static stability factor T/2H that
/// NHTSA uses for passenger vehicles (from memory).
#[must_use]
pub fn static_roll_limit(track: f64, up: f64) -> Option<f64> {
    over(track, 2.0 * up)
}

/// Weight still to be had under a rating, kg; negative is the overload. Rises with the rating, falls with the weight.
#[must_use]
pub fn rating_left(rating: f64, weight: f64) -> f64 {
    rating - weight
}

/// Water that may be carried under the gross rating, (GVWR − everything but the water)/ρ, m3.
///
/// Negative when the trailer is over its rating before any water. `None` unless `density` (kg/m3) is above nought.
/// Rises with the rating, falls with the other weight; falls with density while positive. Source: 49 CFR 571.3
/// (GVWR), statics. The axle, tire and tongue limits may bite first.
#[must_use]
pub fn water_allowed(gross_rating: f64, gross_without_water: f64, density: f64) -> Option<f64> {
    over(gross_rating - gross_without_water, density)
}

/// Height of the liquid's centre in an upright tank with straight sides, z_b + ½Hℓ, m.
///
/// `floor` is the inside bottom above the ground, `fill` the fraction of `inside_height`. Rises with all three.
/// Source: geometry. In a level trailer the other two coordinates do not move with the fill.
#[must_use]
pub fn tank_level_height(floor: f64, inside_height: f64, fill: f64) -> f64 {
    floor + 0.5 * inside_height * fill
}

/// A liquid in an upright, straight-sided tank, as the fill search needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankPlace {
    /// Mass of the liquid when the tank is full, kg.
    pub full_mass: f64,
    /// Tank centre rearward of the ball, m.
    pub aft: f64,
    /// Tank centre toward the curb side, m.
    pub curb: f64,
    /// Inside bottom above the ground, m.
    pub floor_up: f64,
    /// Inside height, m.
    pub inside_height: f64,
}

/// The liquid of a tank as a load, at `fill` from 0 (empty) to 1 (full). Source: [`tank_level_height`].
#[must_use]
pub fn liquid_load(tank: TankPlace, fill: f64) -> Load {
    let up = tank_level_height(tank.floor_up, tank.inside_height, fill);
    Load { mass: tank.full_mass * fill, aft: tank.aft, curb: tank.curb, up }
}

/// Where a mass leaves the tongue ratio alone however much of it there is, x* = (1 − τ)·x_a, m aft of the ball.
///
/// Rises with `axle_aft`, falls with `ratio`. A tank centred there does not swing the ratio as it empties, if the
/// ratio is right without it. Source: statics, `tongue_share(m, x, x_a) = τ·m`.
#[must_use]
pub fn neutral_line(axle_aft: f64, ratio: f64) -> f64 {
    (1.0 - ratio) * axle_aft
}

/// Where one load may stand, m aft of the ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Farthest forward, m aft of the ball; the ratio is at its upper limit here.
    pub foremost: f64,
    /// Farthest back, m aft of the ball; the ratio is at its lower limit here.
    pub rearmost: f64,
}

/// One fill state seen from a load that might be moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovableLoad {
    /// Mass of the load that may move, kg.
    pub mass: f64,
    /// Gross weight in this state with the load aboard, kg.
    pub gross: f64,
    /// Tongue load in this state without the load, kg.
    pub tongue_of_rest: f64,
    /// Axle position behind the ball, m.
    pub axle_aft: f64,
}

/// Positions of one load that keep the tongue ratio within `lowest..=highest` in one fill state.
///
/// x_a(1 − (τ_high·W − T_rest)/m) to x_a(1 − (τ_low·W − T_rest)/m). `None` unless the mass and `axle_aft` are above
/// nought and `lowest` is not above `highest`. The window may lie outside the trailer; the caller knows its floor.
/// Both ends rise with `tongue_of_rest` and fall with `gross`. Source: statics.
#[must_use]
pub fn position_window(load: MovableLoad, lowest: f64, highest: f64) -> Option<Window> {
    if load.axle_aft <= 0.0 || lowest > highest {
        return None;
    }
    let place = |ratio: f64| {
        over(ratio * load.gross - load.tongue_of_rest, load.mass).map(|share| load.axle_aft * (1.0 - share))
    };
    Some(Window { foremost: place(highest)?, rearmost: place(lowest)? })
}

/// The positions common to all windows; `None` when there are none, so that no single move of this load is a cure,
/// or when the list is empty.
#[must_use]
pub fn common_window(windows: &[Window]) -> Option<Window> {
    let first = *windows.first()?;
    let common = windows.iter().fold(first, |common, window| Window {
        foremost: common.foremost.max(window.foremost),
        rearmost: common.rearmost.min(window.rearmost),
    });
    (common.foremost <= common.rearmost).then_some(common)
}

/// How far rearward a load must go for the tongue ratio to become `ratio`, m; negative is forward.
///
/// (T − τW)·x_a/m. `None` unless `mass` is above nought. Rises with the tongue load, falls with `ratio` and gross
/// weight. Source: statics, moving m by d changes T by −m·d/x_a.
#[must_use]
pub fn shift_for_ratio(tongue: f64, gross: f64, ratio: f64, axle_aft: f64, mass: f64) -> Option<f64> {
    over((tongue - ratio * gross) * axle_aft, mass)
}

/// How far toward the curb a load must go for both sides to carry the same, m; negative is toward the road.
///
/// −(curb − road)/2·t/m. `None` unless `mass` is above nought. Source: statics.
#[must_use]
pub fn shift_to_even_sides(sides: SideLoads, track: f64, mass: f64) -> Option<f64> {
    over((sides.road - sides.curb) / 2.0 * track, mass)
}

/// Two axles with a spring of their own each and no equaliser between them (rubber-torsion axles).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IndependentTandem {
    /// Moment of all loads about the ball, Σ m·x, kg·m.
    pub moment: f64,
    /// Front axle behind the ball, m.
    pub front_aft: f64,
    /// Rear axle behind the ball, m.
    pub rear_aft: f64,
    /// Spring rate of one axle, both wheels together, kg per m.
    pub rate: f64,
    /// Ball above the height at which the loaded trailer rides level, m; negative below.
    pub ball_high: f64,
}

/// Loads of two axles, kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxlePair {
    /// Front axle, kg.
    pub front: f64,
    /// Rear axle, kg.
    pub rear: f64,
}

/// Axle loads of an independent tandem, R_j = M/Σx + kδ(x_j·Σx/Σx² − 1), kg. The tongue carries W − R₁ − R₂.
///
/// `None` unless 0 < `front_aft` < `rear_aft`, the rate is not negative and both axles stay loaded (a lifted axle is
/// outside the linear model). Both rise with `moment`; with `ball_high` the rear rises and the front falls, the more so
/// with a higher rate. Source: statics of a rigid frame turning about the ball on two linear springs.
#[must_use]
pub fn independent_tandem(tandem: IndependentTandem) -> Option<AxlePair> {
    let IndependentTandem { moment, front_aft, rear_aft, rate, ball_high } = tandem;
    if front_aft <= 0.0 || rear_aft <= front_aft || rate < 0.0 {
        return None;
    }
    let sum = front_aft + rear_aft;
    let squares = front_aft * front_aft + rear_aft * rear_aft;
    let axle = |aft: f64| moment / sum + rate * ball_high * (aft * sum / squares - 1.0);
    let pair = AxlePair { front: axle(front_aft), rear: axle(rear_aft) };
    (pair.front >= 0.0 && pair.rear >= 0.0).then_some(pair)
}

/// What braking adds to the tongue when the trailer's own brakes stop the trailer, W·a·z/x_a, kg.
///
/// `deceleration` in g. `None` unless `axle_aft` is above nought. Rises with all but `axle_aft`. Source: moments about
/// the tire contact, no pitch dynamics.
#[must_use]
pub fn braking_tongue_gain(gross: f64, up: f64, axle_aft: f64, deceleration: f64) -> Option<f64> {
    over(gross * deceleration * up, axle_aft)
}

/// What braking adds to the tongue of a trailer without brakes, W·a·(z − z_ball)/x_a, kg.
///
/// The ball does the stopping and pushes at its own height `ball_up`, m. `None` unless `axle_aft` is above nought.
/// Rises with `up`, falls with `ball_up`. Source: moments about the tire contact, no pitch dynamics.
#[must_use]
pub fn braking_tongue_gain_without_brakes(
    gross: f64,
    up: f64,
    ball_up: f64,
    axle_aft: f64,
    deceleration: f64,
) -> Option<f64> {
    braking_tongue_gain(gross, up - ball_up, axle_aft, deceleration)
}

/// What the tongue does to the axles of the tow vehicle: front −T·b/L, rear +T(1 + b/L), kg.
///
/// `wheelbase` L and `overhang` b (rear axle to ball), m. `None` unless the wheelbase is above nought. With the tongue
/// load and the overhang the rear rises and the front falls; the other way with the wheelbase. Source: statics.
#[must_use]
pub fn tow_axle_change(tongue: f64, wheelbase: f64, overhang: f64) -> Option<AxlePair> {
    let lever = over(overhang, wheelbase)?;
    Some(AxlePair { front: -tongue * lever, rear: tongue * (1.0 + lever) })
}

/// A trailer on a weight-distributing hitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DistributingHitch {
    /// Tongue load before the bars are tensioned, kg.
    pub tongue: f64,
    /// Wheelbase of the tow vehicle, m.
    pub wheelbase: f64,
    /// Rear axle of the tow vehicle to the ball, m.
    pub overhang: f64,
    /// Trailer axle (or middle of the group) behind the ball, m.
    pub axle_aft: f64,
    /// Moment the bars apply about the ball, kg·m.
    pub moment: f64,
}

/// What a weight-distributing hitch makes of a tongue load, as changes from the unhitched vehicles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DistributedLoads {
    /// Net load between the vehicles, kg.
    pub ball: f64,
    /// Change of the tow vehicle's front axle, kg.
    pub tow_front: f64,
    /// Change of the tow vehicle's rear axle, kg.
    pub tow_rear: f64,
    /// Change of the trailer's axle group against the trailer on a plain ball, kg.
    pub trailer_axle: f64,
}

/// Loads with the bars tensioned: T′ = T − M/x_a; front −T′b/L + M/L; rear T′(1 + b/L) − M/L; trailer axle M/x_a.
///
/// `None` unless wheelbase and `axle_aft` are above nought. With the moment the ball and rear axle fall, the front and
/// trailer axles rise. Source: statics. Follow the hitch maker's set-up; the hitch and receiver have limits of their own.
#[must_use]
pub fn distributed_loads(hitch: DistributingHitch) -> Option<DistributedLoads> {
    let trailer_axle = over(hitch.moment, hitch.axle_aft)?;
    let ball = hitch.tongue - trailer_axle;
    let plain = tow_axle_change(ball, hitch.wheelbase, hitch.overhang)?;
    let lift = over(hitch.moment, hitch.wheelbase)?;
    Some(DistributedLoads { ball, tow_front: plain.front + lift, tow_rear: plain.rear - lift, trailer_axle })
}

/// Moment about the ball that gives the front axle back a `fraction` of what the tongue took, f·T·b/(1 + b/x_a), kg·m.
///
/// `fraction` 1 restores it fully. `None` unless `axle_aft` is above nought and the overhang is not negative. Rises
/// with all inputs. Source: statics, front change of [`distributed_loads`] set to −(1 − f)·T·b/L.
#[must_use]
pub fn front_restoring_moment(tongue: f64, overhang: f64, axle_aft: f64, fraction: f64) -> Option<f64> {
    if overhang < 0.0 {
        return None;
    }
    Some(fraction * tongue * overhang / (1.0 + over(overhang, axle_aft)?))
}

/// What a load in or on the tow vehicle puts on its rear axle, m·x/L, kg; `aft` is measured from the front axle, m.
///
/// `None` unless the wheelbase is above nought. Rises with `mass` and `aft`, falls with the wheelbase. Source: statics.
#[must_use]
pub fn bed_rear_share(mass: f64, aft: f64, wheelbase: f64) -> Option<f64> {
    axle_share(mass, aft, wheelbase)
}

/// What a load in or on the tow vehicle puts on its front axle, m(1 − x/L), kg; negative behind the rear axle.
///
/// `None` unless the wheelbase is above nought. Falls with `aft`, rises with the wheelbase. Source: statics.
#[must_use]
pub fn bed_front_share(mass: f64, aft: f64, wheelbase: f64) -> Option<f64> {
    tongue_share(mass, aft, wheelbase)
}

/// The extreme of a linear figure over all fills, and the fills that give it.
#[derive(Debug, Clone, PartialEq)]
pub struct FillExtreme {
    /// The figure there, in its own unit.
    pub value: f64,
    /// For each tank, whether it is full (`true`) or empty there.
    pub full: Vec<bool>,
}

/// Least value over all fills of `fixed` + Σ cₖℓₖ with every fill ℓₖ from 0 to 1.
///
/// `fixed` is the figure with all tanks empty, `full_tank` what each full tank adds to it (for "is there a fill with
/// τ < τ₀" the sums of [`ratio_margin_share`]). Exact: a linear function on a box is least with every tank of negative
/// coefficient full and the rest empty. A tank with coefficient nought is left empty. Source: linear programming on a
/// box.
#[must_use]
pub fn least_over_fills(fixed: f64, full_tank: &[f64]) -> FillExtreme {
    let full: Vec<bool> = full_tank.iter().map(|&share| share < 0.0).collect();
    FillExtreme { value: fixed + full_tank.iter().filter(|&&share| share < 0.0).sum::<f64>(), full }
}

/// Greatest value over all fills; the mirror of [`least_over_fills`].
#[must_use]
pub fn greatest_over_fills(fixed: f64, full_tank: &[f64]) -> FillExtreme {
    let full: Vec<bool> = full_tank.iter().map(|&share| share > 0.0).collect();
    FillExtreme { value: fixed + full_tank.iter().filter(|&&share| share > 0.0).sum::<f64>(), full }
}

/// The most tanks [`fill_corners`] enumerates: 2⁶ = 64 states.
pub const MOST_TANKS: u32 = 6;

/// Every state with each tank either full or empty, as bit masks: bit k set when tank k is full, so 0 is all empty.
///
/// `None` above [`MOST_TANKS`] tanks. The extremes of every linear figure, and of the tongue ratio, over all partial
/// fills are among these states: along a straight line in the box of fills a ratio of linear functions is monotone while
/// the bottom keeps its sign. Full and empty alone are not enough.
pub fn fill_corners(tanks: u32) -> Option<impl Iterator<Item = u8> + Clone> {
    (tanks <= MOST_TANKS).then(|| 0..1_u8 << tanks.min(MOST_TANKS))
}

/// Whether tank `tank` (from 0) is full in a state of [`fill_corners`].
#[must_use]
pub fn is_full(state: u8, tank: u32) -> bool {
    state.checked_shr(tank).is_some_and(|bits| bits & 1 == 1)
}
