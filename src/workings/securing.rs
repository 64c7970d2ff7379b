//! Holding the gear down: straps, bolts, blocking, tipping, part by part.
//!
//! Every part is looked at with its tank or cans full. What nobody carries (the customer's tap) and a fitting whose weight nobody
//! states (a gun, a valve, a nozzle) weighs nought here, so that no rule has anything to say about it. A rack or frame is one
//! article with what stands on it: its own straps and bolts hold the whole.

mod bolts;
mod cards;

use super::{Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::securing::{self, Run, STANDARD_GRAVITY};
use crate::figures::weight::tank_level_height;
use crate::measure::{Answer, Range};
use crate::rig::parts::{AnyPart, Kind, Part, Ties};
use crate::rig::{Amount, Carrier, FactId, Flag, Rig};
use bolts::Bolts;
pub use cards::CARDS;

/// Thickness of the panel taken for a truck bed, which has no field for it, m (1/2 in; common practice, no source).
const BED_PANEL: f64 = 0.0127;
/// A part may start this far below the top of the rack it stands on, m (1 in), and this far above it on brackets, m (24 in; common
/// practice, no source).
const REACH: Range = Range { low: -0.0254, high: 0.6096 };

/// A part as it has to be held.
#[derive(Debug, Clone, Default)]
struct Article {
    /// Mass, full.
    mass: Input,
    /// Height of the balance point above its own bottom.
    height: Input,
}

/// How a part is held.
#[derive(Debug)]
struct Hold {
    straps: Input,
    bolts: Input,
    /// 1 for blocked against moving forward, 0 for not.
    blocked: Input,
    /// The spec says something of how it is held.
    told: bool,
}

/// Computes it.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let single: Vec<Article> = rig.parts().map(|(_, part)| alone(rig, part, sheet)).collect();
    let thickness = panel(rig);
    for ((_, part), article) in rig.parts().zip(&single) {
        let whole =
            if matches!(part.kind, Kind::Rack(_)) { with_load(rig, part, article, &single) } else { article.clone() };
        enter(rig, part, &whole, thickness.as_ref(), sheet);
    }
}

/// The part by itself, with what it holds.
fn alone(rig: &Rig, part: &AnyPart, sheet: &Sheet) -> Article {
    // Small fittings hang on the line or the part they serve; only one that is weighed by itself is gear of its own.
    let fitting = matches!(
        part.kind,
        Kind::Supply(_)
            | Kind::Gun(_)
            | Kind::Nozzle(_)
            | Kind::Valve(_)
            | Kind::Check(_)
            | Kind::Strainer(_)
            | Kind::Injector(_)
            | Kind::Accumulator(_)
            | Kind::Light(_)
            | Kind::Alarm(_)
            | Kind::FuseBlock(_)
            | Kind::ShoreInlet(_)
            | Kind::Fan(_)
    );
    if fitting && !rig.states(part.common.weight) {
        return Article { mass: Input::fixed(0.0), height: Input::fixed(0.0) };
    }
    let subject = SubjectId(part.entry.0);
    let of_sheet = |name| sheet.value(subject, name).map(|figure| figure.value.clone()).unwrap_or_default();
    let mass = of_sheet("full-weight");
    let common = &part.common;
    let dry_height = if rig.states(common.balance.floor) {
        corners([&Input::fact(rig, common.balance.floor), &Input::fact(rig, common.at.floor)], |[up, floor]| {
            Some((up - floor).max(0.0))
        })
    } else {
        corners([&Input::fact(rig, common.size.height)], |[height]| Some(height / 2.0))
    };
    let Kind::Tank(tank) = &part.kind else { return Article { mass, height: dry_height } };
    let inside = if rig.states(tank.inside_height) { tank.inside_height } else { common.size.height };
    let level = corners([&Input::fact(rig, inside)], |[inside]| Some(tank_level_height(0.0, inside, 1.0)));
    let height = corners([&mass, &of_sheet("contents-weight"), &dry_height, &level], |[mass, contents, dry, level]| {
        let contents = contents.min(mass);
        (mass > 0.0).then(|| (contents * level + (mass - contents) * dry) / mass)
    });
    // With a weight that nobody knows it lies somewhere between the two.
    let height = if height.range.is_some() { height } else { any_of(vec![dry_height, level], &[]) };
    Article { mass, height }
}

/// A rack with everything that stands on it.
fn with_load(rig: &Rig, rack: &AnyPart, own: &Article, single: &[Article]) -> Article {
    let bottom = Input::fact(rig, rack.common.at.floor);
    let mut masses = vec![own.mass.clone()];
    let mut moments = vec![corners([&own.mass, &own.height], |[mass, height]| Some(mass * height))];
    for ((_, part), article) in rig.parts().zip(single) {
        let answer = if part.entry == rack.entry { Answer::No } else { stands_on(rig, &part.common, &rack.common) };
        if answer == Answer::No {
            continue;
        }
        let above = corners(
            [&article.mass, &article.height, &Input::fact(rig, part.common.at.floor), &bottom],
            |[mass, height, floor, bottom]| Some(mass * (height + floor - bottom)),
        );
        if answer == Answer::Yes {
            masses.push(article.mass.clone());
            moments.push(above);
        } else {
            masses.push(or_nought(&article.mass, &[]));
            moments.push(or_nought(&above, &[]));
        }
    }
    if let ([_], [_]) = (masses.as_slice(), moments.as_slice()) {
        return own.clone();
    }
    let mass = total(&masses);
    // Mass and moment move together; taken apart the height is bounded a little wider than need be, never too narrow.
    let height = corners([&total(&moments), &mass], |[moment, mass]| (mass > 0.0).then(|| moment / mass));
    Article { mass, height }
}

/// Whether a part stands on a rack: its middle is over the rack, it starts at the rack's top or a bracket's height above, and its
/// own bolts do not go past the rack. A part whose place nobody states is not on any rack.
fn stands_on(rig: &Rig, part: &Part, rack: &Part) -> Answer {
    let into = rig.word(part.tied_with.into);
    if matches!(into, Some("crossmember" | "panel" | "washer"))
        || (rig.flag(part.outside) == Some(true)) != (rig.flag(rack.outside) == Some(true))
    {
        return Answer::No;
    }
    let stated = |amount: Amount| if rig.states(amount) { rig.known(amount) } else { None };
    let middle = |at: Amount, size: Amount| stated(at)?.plus(stated(size)?.scale(0.5)?);
    let over = |at: Amount, size: Amount, middle: Option<Range>| {
        let start = stated(at)?;
        Some((middle?, start, start.plus(stated(size)?)?))
    };
    let along = over(rack.at.nose, rack.size.length, middle(part.at.nose, part.size.length));
    let across = over(rack.at.curb, rack.size.width, middle(part.at.curb, part.size.width));
    let top = stated(rack.at.floor).zip(stated(rack.size.height)).and_then(|(floor, height)| floor.plus(height));
    let up = stated(part.at.floor).zip(top).and_then(|(floor, top)| {
        Some((floor, top.plus(Range::point(REACH.low)?)?, top.plus(Range::point(REACH.high)?)?))
    });
    let answers =
        [along, across, up].map(|axis| axis.map_or(Answer::No, |(value, low, high)| within(value, low, high)));
    if answers.contains(&Answer::No) {
        Answer::No
    } else if answers.contains(&Answer::Open) {
        Answer::Open
    } else {
        Answer::Yes
    }
}

fn within(value: Range, low: Range, high: Range) -> Answer {
    if value.high < low.low || value.low > high.high {
        Answer::No
    } else if value.low >= low.high && value.high <= high.low {
        Answer::Yes
    } else {
        Answer::Open
    }
}

fn total(inputs: &[Input]) -> Input {
    let facts = inputs.iter().flat_map(|input| input.facts.iter().copied());
    if inputs.iter().any(|input| input.range.is_none()) {
        let missing = inputs.iter().filter(|input| input.range.is_none()).flat_map(|input| input.facts.iter().copied());
        return Input { range: None, facts: missing.collect() };
    }
    let range = inputs.iter().filter_map(|input| input.range).try_fold(Range { low: 0.0, high: 0.0 }, Range::plus);
    Input { range, facts: facts.collect() }
}

/// The quantity, or nought: which of them, the facts would settle.
fn or_nought(input: &Input, settled_by: &[FactId]) -> Input {
    let range = input.range.and_then(|range| Range::new(range.low.min(0.0), range.high.max(0.0)));
    let swing = range.map_or(f64::INFINITY, Range::width);
    let mut facts = input.facts.clone();
    facts.extend(settled_by.iter().map(|fact| (*fact, swing)));
    Input { range, facts }
}

/// The hull of several readings of one quantity; the facts that decide which swing it by its width.
fn any_of(readings: Vec<Input>, decided_by: &[FactId]) -> Input {
    let one = readings.len() == 1;
    let mut readings = readings.into_iter();
    let Some(mut whole) = readings.next() else { return Input::default() };
    for other in readings {
        whole.range = whole.range.zip(other.range).map(|(one, other)| one.hull(other));
        whole.facts.extend(other.facts);
    }
    let swing = if one { 0.0 } else { whole.range.map_or(f64::INFINITY, Range::width) };
    whole.facts.extend(decided_by.iter().map(|fact| (*fact, swing)));
    whole
}

fn flag(rig: &Rig, flag: Flag) -> Input {
    match rig.flag(flag) {
        Some(said) => Input::fixed(f64::from(u8::from(said))).leaning([flag.id]),
        None => Input { range: Range::new(0.0, 1.0), facts: vec![(flag.id, 1.0)] },
    }
}

impl Hold {
    fn of(rig: &Rig, ties: &Ties) -> Self {
        let says = rig.states(ties.straps) || rig.states(ties.bolts) || rig.flag(ties.blocked) == Some(true);
        let strap = [ties.working_load, ties.width, ties.anchor_load].iter().any(|fact| rig.states(*fact))
            || rig.flag(ties.across).is_some();
        let sized = [ties.bolt_size, ties.rows_apart, ties.columns_apart].iter().any(|fact| rig.states(*fact));
        let bolt = sized || rig.word(ties.bolt_grade).is_some() || rig.word(ties.into).is_some();
        // Where one way is stated, another that nobody mentions is not there; one whose size is told but not its number is.
        let count = |amount: Amount, told: bool| {
            let absent = says && !told && !rig.states(amount) && !rig.fact(amount.id).written;
            if absent { Input::fixed(0.0).leaning([amount.id]) } else { Input::fact(rig, amount) }
        };
        Self {
            straps: count(ties.straps, strap),
            bolts: count(ties.bolts, bolt),
            blocked: flag(rig, ties.blocked),
            told: says || strap || bolt,
        }
    }

    /// Whether anything holds the part.
    fn answer(&self) -> Answer {
        let ways = [&self.straps, &self.bolts, &self.blocked];
        if ways.iter().any(|way| way.range.is_some_and(|range| range.low >= 1.0)) {
            Answer::Yes
        } else if ways.iter().all(|way| way.range.is_some_and(|range| range.high < 1.0)) {
            Answer::No
        } else {
            Answer::Open
        }
    }

    /// The facts that would tell. Where nothing at all is said one question does: how it is held, and by how many straps.
    fn open(&self) -> Vec<FactId> {
        let ways = [&self.straps, &self.bolts, &self.blocked];
        let ways = if self.told { &ways[..] } else { &ways[..1] };
        ways.iter()
            .filter(|way| way.range.is_none_or(|range| range.low < 1.0 && range.high >= 1.0))
            .flat_map(|way| way.facts.iter().map(|(fact, _)| *fact))
            .collect()
    }
}

/// Known to be none.
fn is_none(count: &Input) -> bool {
    count.range.is_some_and(|range| range.high < 1.0)
}

/// Thickness of the wooden floor; `None` for a metal one.
fn panel(rig: &Rig) -> Option<Input> {
    match &rig.spec.trailer {
        Some(trailer) if matches!(rig.word(trailer.floor.panel), Some("steel" | "aluminum")) => None,
        Some(trailer) => Some(Input::fact(rig, trailer.floor.thickness)),
        None => Some(Input::fixed(BED_PANEL)),
    }
}

/// Whether a closed box contains the part, and the fact that would tell.
fn contained(rig: &Rig, part: &Part) -> (Answer, Vec<FactId>) {
    if rig.flag(part.outside) == Some(true) || rig.carrier() == Carrier::Bed {
        return (Answer::No, Vec::new());
    }
    let Some(trailer) = &rig.spec.trailer else { return (Answer::Open, Vec::new()) };
    match rig.word(trailer.body) {
        Some("enclosed") => (Answer::Yes, Vec::new()),
        Some(_) => (Answer::No, Vec::new()),
        None => (Answer::Open, vec![trailer.body.id]),
    }
}

fn enter(rig: &Rig, part: &AnyPart, article: &Article, thickness: Option<&Input>, sheet: &mut Sheet) {
    let subject = SubjectId(part.entry.0);
    let mut enter = |name: &str, value: Bounded| {
        sheet.enter(subject, row(CARDS, "part", name), value);
    };
    let ties = &part.common.tied_with;
    let hold = Hold::of(rig, ties);
    let Article { mass, height } = article;
    let nought = || Input::fixed(0.0);
    enter("article-weight", mass.clone());

    // Loose, and where.
    let loose = match hold.answer() {
        Answer::Yes => nought(),
        Answer::No => mass.clone(),
        // How it is held is the question here; what it weighs is asked elsewhere.
        Answer::Open => or_nought(&Input { range: mass.range, facts: Vec::new() }, &hold.open()),
    };
    let (inside, told_by) = contained(rig, &part.common);
    let (loose_inside, loose_outside) = match inside {
        Answer::Yes => (loose, nought()),
        Answer::No => (nought(), loose),
        Answer::Open => (or_nought(&loose, &told_by), or_nought(&loose, &told_by)),
    };
    enter("loose-inside", loose_inside);
    enter("loose-in-the-open", loose_outside);

    // How many.
    let tie_downs = corners([&hold.straps, &hold.bolts], |[straps, bolts]| Some(straps + bolts));
    let count_needed =
        corners([&Input::fact(rig, part.common.size.length), mass, &hold.blocked], |[length, mass, blocked]| {
            Some(if mass > 0.0 { f64::from(securing::tie_down_count(length, mass, blocked > 0.5)) } else { 0.0 })
        });
    let wanted = if is_none(&tie_downs) { nought() } else { count_needed.clone() };

    // How strong.
    let needed = corners([mass], |[mass]| Some(securing::required_aggregate(mass)));
    let strap_needed = if is_none(&hold.straps) { nought() } else { needed.clone() };
    let across = flag(rig, ties.across);
    let strap_holds = corners([&Input::fact(rig, ties.working_load), &Input::fact(rig, ties.anchor_load)], |limits| {
        securing::weakest_limit(&limits)
    });
    let run = |across: f64| if across > 0.5 { Run::Across } else { Run::ToArticle };
    let strap_load = if is_none(&hold.straps) {
        nought()
    } else {
        corners([&hold.straps, &strap_holds, &across], |[straps, limit, across]| {
            Some(straps * securing::counted_limit(limit, run(across)))
        })
    };
    let each_needs = if is_none(&hold.straps) {
        nought()
    } else {
        corners([&needed, &hold.straps, &across], |[needed, straps, across]| {
            Some(needed / securing::counted_limit(straps.max(1.0), run(across)))
        })
    };
    let bolts = Bolts::of(rig, part, article, &hold.bolts, thickness);
    let bolt_load = corners([&hold.bolts, &bolts.shear_holds], |[bolts, newtons]| {
        Some(bolts * securing::counted_limit(newtons / STANDARD_GRAVITY, Run::ToArticle))
    });
    let counted = corners([&strap_load, &bolt_load], |[straps, bolts]| Some(straps + bolts));
    enter("load-short", corners([&needed, &counted], |[needed, counted]| Some(needed - counted)));

    // Down.
    let bolt_down =
        corners([&hold.bolts, &bolts.uplift_holds], |[bolts, newtons]| Some(bolts * newtons / STANDARD_GRAVITY));
    let down = corners([&strap_load, &bolt_down], |[straps, bolts]| Some(straps + bolts));
    let down_needed = corners([mass], |[mass]| Some(securing::required_downforce(mass)));
    let down_needed = match inside {
        Answer::Yes => nought(),
        Answer::No => down_needed,
        Answer::Open => or_nought(&down_needed, &told_by),
    };
    enter("downforce-short", corners([&down_needed, &down], |[needed, down]| Some(needed - down)));
    enter("downforce-needed", down_needed);
    enter("hold-down", down);

    // Over.
    for (tip, base, force, size) in [
        ("tip-fore", "base-needed-fore", securing::BREAKING_FORWARD, part.common.size.length),
        ("tip-side", "base-needed-side", securing::BREAKING_SIDEWAYS, part.common.size.width),
    ] {
        let size = Input::fact(rig, size);
        enter(
            tip,
            corners([&size, height], |[size, height]| Some(securing::tip_limit(size, height)? * STANDARD_GRAVITY)),
        );
        let free = tie_downs.range.map(|range| range.low >= 1.0);
        let needed = corners([height], |[height]| Some(securing::base_needed(force, height)));
        enter(
            base,
            match free {
                Some(true) => nought(),
                Some(false) if is_none(&tie_downs) => needed,
                _ => or_nought(&needed, &hold.open()),
            },
        );
    }

    // Of a width that nobody measured there is nothing to say.
    let width = if rig.states(ties.width) {
        Input::fact(rig, ties.width)
    } else {
        Input { range: None, facts: vec![(ties.width.id, f64::INFINITY)] }
    };
    enter("strap-unmarked", corners([&width], |[width]| securing::default_webbing_limit(width)));
    enter("strap-count", hold.straps);
    enter("bolt-count", hold.bolts);
    enter("tie-downs", tie_downs);
    enter("tie-downs-needed", count_needed);
    enter("tie-downs-wanted", wanted);
    enter("hold-needed", needed);
    enter("strap-needed", strap_needed);
    enter("strap-holds", strap_holds);
    enter("strap-load", strap_load);
    enter("counted-load", counted);
    enter("each-strap-needs", each_needs);
    enter("bolt-shear", bolts.shear);
    enter("bolt-uplift", bolts.uplift);
    enter("bolt-shear-holds", bolts.shear_holds);
    enter("bolt-uplift-holds", bolts.uplift_holds);
    enter("bolts-needed", bolts.needed);
    enter("rows-needed", corners([height], |[height]| Some(securing::base_needed(securing::BREAKING_FORWARD, height))));
}

#[cfg(test)]
mod tests;
