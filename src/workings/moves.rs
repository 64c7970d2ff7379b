//! Where a part may be moved to so that the tongue and the sides come right in every fill: numbers for remedies.
//!
//! The tongue's margin over a share of the gross weight, and the margin of the sides, are sums over the loads. What a part may add
//! is what the rest leaves, so one walk over the loads serves every tank and washer.

use super::loads::{Load, balance_point, contents_mass, dry_mass};
use super::weight::{STATICS, axle_group, axle_line, curb_less_road, figure, gross, ledger, tongue};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input};
use crate::figures::weight;
use crate::measure::{Measure, Range};
use crate::rig::parts::{AnyPart, Kind};
use crate::rig::trailer::Trailer;
use crate::rig::{Amount, Carrier, Rig};

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    Card {
        of: "trailer",
        name: "move-along",
        gives: Gives::Subject("part"),
        help: "The tank or washer that moves least to bring the tongue share to 10 % to 15 % in every fill",
        method: "",
        source: STATICS,
    },
    figure(
        "trailer",
        "move-along-from",
        Measure::Length,
        "Least distance from the nose for that part's front edge; not known where no single move does it",
        "ball to axle × (1 − (0.15 − what the rest leaves) ÷ weight)",
    ),
    figure(
        "trailer",
        "move-along-to",
        Measure::Length,
        "Greatest distance from the nose for that part's front edge",
        "ball to axle × (1 − (0.10 − what the rest leaves) ÷ weight)",
    ),
    Card {
        of: "trailer",
        name: "move-across",
        gives: Gives::Subject("part"),
        help: "The tank or washer that moves least to bring the sides within 10 % in every fill",
        method: "",
        source: STATICS,
    },
    figure(
        "trailer",
        "move-across-from",
        Measure::Length,
        "Least distance from the curb-side wall for that part's near edge; not known where no single move does it",
        "half the width − track ÷ 2 × (0.10 × axle share − what the rest leaves) ÷ weight",
    ),
    figure(
        "trailer",
        "move-across-to",
        Measure::Length,
        "Greatest distance from the curb-side wall for that part's near edge",
        "half the width + track ÷ 2 × (0.10 × axle share − what the rest leaves) ÷ weight",
    ),
    figure(
        "trailer",
        "counterweight",
        Measure::Mass,
        "Weight at the axles along the lighter side's wall that brings the sides within 10 % in every fill; not known where none does",
        "what the heavier side is over ÷ (width ÷ track + 0.10)",
    ),
];

/// The band of the tongue share (common practice, no source) and the greatest difference of the sides (common practice, no source).
const LEAST: f64 = 0.10;
const MOST: f64 = 0.15;
const UNEVEN: f64 = 0.10;

type Share = fn(&[f64; 4], super::loads::LoadKind, &[f64; 4]) -> f64;

/// Each is to be nought or less, summed over every load, in every fill.
const TOO_LIGHT: Share = |frame, kind, point| LEAST * gross(frame, kind, point) - tongue(frame, kind, point);
const TOO_HEAVY: Share = |frame, kind, point| tongue(frame, kind, point) - MOST * gross(frame, kind, point);
const CURB_OVER: Share =
    |frame, kind, point| curb_less_road(frame, kind, point) - UNEVEN * axle_group(frame, kind, point);
const ROAD_OVER: Share =
    |frame, kind, point| -curb_less_road(frame, kind, point) - UNEVEN * axle_group(frame, kind, point);

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let (Carrier::Trailer, Some(trailer)) = (rig.carrier(), &rig.spec.trailer) else { return };
    let floor = Floor::of(rig, trailer);
    let (mut along, mut across) = (None, None);
    for (_, part) in rig.parts().filter(|(_, part)| matches!(part.kind, Kind::Tank(_) | Kind::Washer(_))) {
        let Some(placed) = Placed::of(rig, &floor, part) else { continue };
        nearer(&mut along, Move::to(rig, part, part.common.at.nose, floor.along(&placed)));
        nearer(&mut across, Move::to(rig, part, part.common.at.curb, floor.across(&placed)));
    }
    let subject = SubjectId(trailer.entry.0);
    let known = |value: Option<f64>| Bounded { range: value.and_then(Range::point), facts: Vec::new() };
    for (one, link, from, to) in [
        (along, "move-along", "move-along-from", "move-along-to"),
        (across, "move-across", "move-across-from", "move-across-to"),
    ] {
        if let Some(one) = &one {
            sheet.link(subject, row(CARDS, "trailer", link), one.part);
        }
        sheet.enter(subject, row(CARDS, "trailer", from), known(one.as_ref().map(|one| one.from)));
        sheet.enter(subject, row(CARDS, "trailer", to), known(one.as_ref().map(|one| one.to)));
    }
    sheet.enter(subject, row(CARDS, "trailer", "counterweight"), known(floor.counterweight()));
}

/// Where one part may go, and how far that is from where it stands.
struct Move {
    part: SubjectId,
    from: f64,
    to: f64,
    distance: f64,
}

impl Move {
    fn to(rig: &Rig, part: &AnyPart, at: Amount, window: Option<(f64, f64)>) -> Option<Self> {
        let (from, to) = window?;
        let now = rig.known(at)?.middle();
        Some(Self { part: SubjectId(part.entry.0), from, to, distance: (from - now).max(now - to).max(0.0) })
    }
}

fn nearer(best: &mut Option<Move>, other: Option<Move>) {
    if let Some(other) = other
        && best.as_ref().is_none_or(|best| other.distance < best.distance)
    {
        *best = Some(other);
    }
}

/// A part that may be moved.
struct Placed {
    /// The part by itself, and its liquid.
    loads: Vec<Load>,
    /// Weights it may have: empty and full, at both ends of what is known.
    weights: Vec<f64>,
    /// From its front edge and from its curb-side edge to its balance point.
    to_balance: [Option<Range>; 2],
    length: Option<Range>,
    width: Option<Range>,
}

/// Every load summed, at one corner of what the loads share.
struct Corner {
    frame: [f64; 4],
    /// Most of each of the four shares over every fill; `None` where a position is not known.
    along: Option<[f64; 2]>,
    across: Option<[f64; 2]>,
}

/// The floor of the trailer, and what stands on it now.
struct Floor {
    corners: Vec<Corner>,
    length: Option<Range>,
    width: Option<Range>,
}

impl Floor {
    fn of(rig: &Rig, trailer: &Trailer) -> Self {
        let ledger = ledger(rig, trailer);
        let inside = &trailer.inside;
        let frame = [
            axle_line(rig, trailer),
            Input::fact(rig, trailer.coupler.to_nose),
            Input::fact(rig, inside.width),
            Input::fact(rig, trailer.track),
        ];
        let mut corners = Vec::new();
        if let [Some(axle), Some(nose)] = [frame[0].range, frame[1].range] {
            let (width, track) = (frame[2].range, frame[3].range);
            let sides_known = width.is_some() && track.is_some();
            let unit = Range { low: 1.0, high: 1.0 };
            for axle in ends(axle) {
                for nose in ends(nose) {
                    for width in ends(width.unwrap_or(unit)) {
                        for track in ends(track.unwrap_or(unit)) {
                            let frame = [axle, nose, width, track];
                            let along = whole(&ledger.loads, &frame, [TOO_LIGHT, TOO_HEAVY], false);
                            let across = if sides_known {
                                whole(&ledger.loads, &frame, [CURB_OVER, ROAD_OVER], true)
                            } else {
                                None
                            };
                            corners.push(Corner { frame, along, across });
                        }
                    }
                }
            }
        }
        Self { corners, length: rig.known(inside.length), width: rig.known(inside.width) }
    }

    /// Where the front edge of a part may stand, from the nose.
    fn along(&self, part: &Placed) -> Option<(f64, f64)> {
        let to_balance = part.to_balance[0]?;
        let (mut from, mut to) = (0.0_f64, self.length?.low - part.length?.high);
        for corner in &self.corners {
            let [axle_aft, nose, ..] = corner.frame;
            let own = whole(&part.loads, &corner.frame, [TOO_LIGHT, TOO_HEAVY], false)?;
            let whole = corner.along?;
            if part.weighs_nothing() && (whole[0] > own[0] || whole[1] > own[1]) {
                return None;
            }
            for mass in part.weights.iter().filter(|mass| **mass > 0.0) {
                // Only the margin of the rest enters the window, so the rest may stand as a tongue load without weight.
                let place = |tongue_of_rest: f64, ratio: f64| {
                    let load = weight::MovableLoad { mass: *mass, gross: *mass, tongue_of_rest, axle_aft };
                    weight::position_window(load, ratio, ratio).map(|window| window.rearmost - nose)
                };
                to = to.min(place(own[0] - whole[0], LEAST)? - to_balance.high);
                from = from.max(place(whole[1] - own[1], MOST)? - to_balance.low);
            }
        }
        (!self.corners.is_empty() && from <= to).then_some((from, to))
    }

    /// Where the curb-side edge of a part may stand, from the curb-side wall.
    fn across(&self, part: &Placed) -> Option<(f64, f64)> {
        let to_balance = part.to_balance[1]?;
        let (mut from, mut to) = (0.0_f64, self.width?.low - part.width?.high);
        for corner in &self.corners {
            let [axle, nose, width, track] = corner.frame;
            let own = whole(&part.loads, &corner.frame, [CURB_OVER, ROAD_OVER], true)?;
            let whole = corner.across?;
            let aft = part.loads.first()?.inputs[1].range?.low + nose;
            if part.weighs_nothing() && (whole[0] > own[0] || whole[1] > own[1]) {
                return None;
            }
            for mass in part.weights.iter().filter(|mass| **mass > 0.0) {
                // The part may stand this far off the centreline before its side is over, given what the rest leaves.
                let reach = |rest: f64| track / 2.0 * (UNEVEN * aft / axle - rest / mass);
                from = from.max(width / 2.0 - reach(whole[0] - own[0]) - to_balance.low);
                to = to.min(width / 2.0 + reach(whole[1] - own[1]) - to_balance.high);
            }
        }
        (!self.corners.is_empty() && from <= to).then_some((from, to))
    }

    /// Weight along the lighter side's wall, over the axles, that brings the sides within the limit.
    fn counterweight(&self) -> Option<f64> {
        let mut least = 0.0_f64;
        for corner in &self.corners {
            let [curb, road] = corner.across?;
            least = least.max(curb.max(road) / (corner.frame[2] / corner.frame[3] + UNEVEN));
        }
        let evened = self.corners.iter().all(|corner| {
            let lever = corner.frame[2] / corner.frame[3];
            corner.across.is_some_and(|[curb, road]| curb.min(road) + least * (lever - UNEVEN) <= 0.0)
        });
        (!self.corners.is_empty() && evened).then_some(least)
    }
}

impl Placed {
    /// Empty it may weigh nothing: then no place for it cures what the rest is short of.
    fn weighs_nothing(&self) -> bool {
        self.weights.iter().any(|weight| *weight <= 0.0)
    }

    fn of(rig: &Rig, floor: &Floor, part: &AnyPart) -> Option<Self> {
        if floor.corners.is_empty() || rig.flag(part.common.outside) == Some(true) {
            return None;
        }
        let dry = dry_mass(rig, part);
        let liquid = match &part.kind {
            Kind::Tank(tank) => contents_mass(rig, tank.capacity, &tank.holds),
            _ => Input::fixed(0.0),
        };
        let (dry_range, liquid_range) = (dry.range?, liquid.range?);
        let mut weights =
            vec![dry_range.low, dry_range.high, dry_range.low + liquid_range.low, dry_range.high + liquid_range.high];
        weights.dedup();
        if weights.iter().all(|weight| *weight <= 0.0) {
            return None;
        }
        let [aft, side, up] = balance_point(rig, &part.common);
        let kind = super::loads::LoadKind::Placed;
        let loads = vec![
            Load { kind, inputs: [dry, aft.clone(), side.clone(), up.clone()], liquid: false },
            Load { kind, inputs: [liquid, aft, side, up], liquid: true },
        ];
        let common = &part.common;
        let offset = |balance: Amount, at: Amount, size: Amount| {
            if rig.states(balance) { rig.known(balance)?.less(rig.known(at)?) } else { rig.known(size)?.scale(0.5) }
        };
        let to_balance = [
            offset(common.balance.nose, common.at.nose, common.size.length),
            offset(common.balance.curb, common.at.curb, common.size.width),
        ];
        Some(Self {
            loads,
            weights,
            to_balance,
            length: rig.known(common.size.length),
            width: rig.known(common.size.width),
        })
    }
}

fn ends(range: Range) -> impl Iterator<Item = f64> + Clone {
    [Some(range.low), (range.high > range.low).then_some(range.high)].into_iter().flatten()
}

/// The most of two shares, summed over loads, each load at its worst and every tank full or empty.
fn whole(loads: &[Load], frame: &[f64; 4], shares: [Share; 2], sides: bool) -> Option<[f64; 2]> {
    let mut sums = [0.0; 2];
    for load in loads {
        let mut most = if load.liquid { [0.0; 2] } else { [f64::NEG_INFINITY; 2] };
        let side = if sides { load.inputs[2].range? } else { Range { low: 0.0, high: 0.0 } };
        for mass in ends(load.inputs[0].range?) {
            for at in ends(load.inputs[1].range?) {
                for across in ends(side) {
                    let point = [mass, at, across, 0.0];
                    for (most, share) in most.iter_mut().zip(shares) {
                        *most = most.max(share(frame, load.kind, &point));
                    }
                }
            }
        }
        sums[0] += most[0];
        sums[1] += most[1];
    }
    Some(sums)
}
