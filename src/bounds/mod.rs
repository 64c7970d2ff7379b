//! Ranges for figures: runs the plain functions of [`crate::figures`] over everything the not-stated facts may be.
//!
//! A function that rises or falls steadily with each input, whatever the others are, has its extremes where every input is
//! at one end: at a corner. [`corners`] visits them. A sum over many things (weights, moments) has its extremes where each
//! term has its own, so [`sum`] takes the terms one by one and stays exact and quick however many there are. What a fill
//! level may be is a choice of the road, not a doubt about the rig; [`least`] and [`most`] keep the two apart.
//!
//! Which facts an answer leans on, and how far each alone moves it, comes with it.

use crate::measure::Range;
use crate::rig::{Amount, FactId, Rig};

/// A quantity as an input: its range and the facts it leans on.
#[derive(Debug, Clone, Default)]
pub struct Input {
    /// What it may be; `None` when nothing bounds it.
    pub range: Option<Range>,
    /// The facts it leans on, with how far each alone moves it (0 for a fact known exactly).
    pub facts: Vec<(FactId, f64)>,
}

/// A computed quantity: its range, what it was computed from, what would narrow it.
pub type Bounded = Input;

impl Input {
    /// A number that no fact decides.
    pub fn fixed(value: f64) -> Self {
        Self { range: Range::point(value), facts: Vec::new() }
    }

    /// A fact of the rig.
    pub fn fact(rig: &Rig, amount: Amount) -> Self {
        let range = rig.known(amount);
        let swing = range.map_or(f64::INFINITY, Range::width);
        Self { range, facts: vec![(amount.id, swing)] }
    }

    /// The same range, leaning on more facts (a word that decided which way it was computed).
    #[must_use]
    pub fn leaning(mut self, facts: impl IntoIterator<Item = FactId>) -> Self {
        self.facts.extend(facts.into_iter().map(|fact| (fact, 0.0)));
        self
    }

    /// Known to a single value.
    pub fn is_exact(&self) -> bool {
        self.range.is_some_and(Range::is_point)
    }

    /// The facts that keep it from being exact, the one that moves it most first.
    pub fn settle(&self) -> Vec<FactId> {
        let mut open: Vec<(FactId, f64)> = self.facts.iter().copied().filter(|(_, swing)| *swing > 0.0).collect();
        open.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        open.dedup_by_key(|(fact, _)| *fact);
        open.into_iter().map(|(fact, _)| fact).collect()
    }

    fn middle(&self) -> f64 {
        self.range.map_or(0.0, Range::middle)
    }

    fn end(&self, high: bool) -> f64 {
        self.range.map_or(0.0, |range| if high { range.high } else { range.low })
    }

    fn is_open(&self) -> bool {
        self.range.is_some_and(|range| !range.is_point())
    }
}

/// The ends of a function over all corners of its inputs.
///
/// Exact for a function that is monotone in each input while the others stand still, whichever way each goes. The work is two to
/// the number of inputs that are not exact. `None` from the function leaves that corner out.
pub fn corners<const N: usize>(inputs: [&Input; N], f: impl Fn([f64; N]) -> Option<f64>) -> Bounded {
    let facts = || inputs.iter().flat_map(|input| input.facts.iter().copied()).collect::<Vec<_>>();
    if inputs.iter().any(|input| input.range.is_none()) {
        let missing = inputs.iter().filter(|input| input.range.is_none()).flat_map(|input| input.facts.iter().copied());
        return Bounded { range: None, facts: missing.collect() };
    }
    let open: Vec<usize> = (0..N).filter(|at| inputs[*at].is_open()).collect();
    let mut point = inputs.map(Input::middle);
    let mut ends: Option<Range> = None;
    for corner in 0..1u64 << open.len().min(20) {
        for (bit, at) in open.iter().enumerate() {
            point[*at] = inputs[*at].end(corner >> bit & 1 == 1);
        }
        if let Some(value) = f(point).and_then(Range::point) {
            ends = Some(ends.map_or(value, |ends| ends.hull(value)));
        }
    }
    let mut facts = facts();
    if !open.is_empty() {
        facts.clear();
        let middle = inputs.map(Input::middle);
        for (at, input) in inputs.iter().enumerate() {
            let mut low = middle;
            let mut high = middle;
            low[at] = input.end(false);
            high[at] = input.end(true);
            let swing = if input.is_open() { swing_of(f(low), f(high)) } else { 0.0 };
            share(input, swing, &mut facts);
        }
    }
    Bounded { range: ends, facts }
}

/// The ends of a function of many inputs that rises with each of them or falls with it, the same way whatever the others are.
///
/// Which way is found by moving one input at a time from the middle; then one call for each end. Two calls an open input and
/// two more, however many there are. Exact for such a function; for any other it is not a bound, so its doc must say that it
/// is one.
pub fn monotone(inputs: &[Input], f: impl Fn(&[f64]) -> Option<f64>) -> Bounded {
    let missing: Vec<_> =
        inputs.iter().filter(|input| input.range.is_none()).flat_map(|input| input.facts.iter().copied()).collect();
    if inputs.iter().any(|input| input.range.is_none()) {
        return Bounded { range: None, facts: missing };
    }
    let mut point: Vec<f64> = inputs.iter().map(Input::middle).collect();
    let (mut least, mut most) = (point.clone(), point.clone());
    let mut facts = Vec::new();
    let mut flat = Vec::new();
    for (at, input) in inputs.iter().enumerate() {
        if !input.is_open() {
            share(input, 0.0, &mut facts);
            continue;
        }
        let middle = point[at];
        point[at] = input.end(false);
        let low = f(&point);
        point[at] = input.end(true);
        let high = f(&point);
        point[at] = middle;
        if low == high {
            flat.push(at);
        }
        let rises = high.zip(low).is_none_or(|(high, low)| high >= low);
        least[at] = input.end(!rises);
        most[at] = input.end(rises);
        share(input, swing_of(low, high), &mut facts);
    }
    if !flat.is_empty() {
        climb(inputs, &flat, &mut most, &f);
        climb(inputs, &flat, &mut least, &|point: &[f64]| f(point).map(|value| -value));
    }
    let range = match (f(&least), f(&most)) {
        (Some(least), Some(most)) => Range::between(least, most),
        _ => None,
    };
    Bounded { range, facts }
}

/// Finds the ends of inputs that made no difference in the middle of a plateau (a relief valve that stays shut there): from all of
/// them high and from all of them low, each is turned over as long as that raises the value.
fn climb(inputs: &[Input], flat: &[usize], best: &mut Vec<f64>, f: &impl Fn(&[f64]) -> Option<f64>) {
    let value = |point: &[f64]| f(point).unwrap_or(f64::NEG_INFINITY);
    let mut top = value(best);
    for start in [true, false] {
        let mut point = best.clone();
        flat.iter().for_each(|at| point[*at] = inputs[*at].end(start));
        let mut here = value(&point);
        for _ in 0..flat.len() {
            let before = here;
            for at in flat {
                let kept = point[*at];
                point[*at] = inputs[*at].end(kept == inputs[*at].end(false));
                let turned = value(&point);
                if turned > here {
                    here = turned;
                } else {
                    point[*at] = kept;
                }
            }
            if here == before {
                break;
            }
        }
        if here > top {
            top = here;
            best.clone_from(&point);
        }
    }
}

fn swing_of(low: Option<f64>, high: Option<f64>) -> f64 {
    match (low, high) {
        (Some(low), Some(high)) => (high - low).abs(),
        _ => f64::INFINITY,
    }
}

/// Hands the swing of an input on to the facts behind it, by their part in it.
fn share(input: &Input, swing: f64, facts: &mut Vec<(FactId, f64)>) {
    let whole: f64 = input.facts.iter().map(|(_, part)| part).sum();
    for (fact, part) in &input.facts {
        let part = if *part <= 0.0 || swing <= 0.0 {
            0.0
        } else if whole.is_finite() {
            swing * part / whole
        } else {
            swing
        };
        facts.push((*fact, part));
    }
}

/// One term of a sum. Terms share no inputs with each other except those handed to the sum as shared.
#[derive(Debug, Clone)]
pub struct Term<K, const N: usize> {
    /// What sort of term, for the function.
    pub kind: K,
    /// What it depends on.
    pub inputs: [Input; N],
    /// It is liquid in a tank: the tank may be full or empty.
    pub liquid: bool,
}

/// A sum of terms and what they share.
#[derive(Debug, Clone, Copy)]
pub struct Sum<'a, K, const S: usize, const N: usize> {
    /// Inputs that every term may depend on.
    pub shared: [&'a Input; S],
    /// The terms.
    pub terms: &'a [Term<K, N>],
}

/// How the tanks are filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fill<'a> {
    /// Each liquid term by its own share, 0 to 1, in the order of the liquid terms.
    At(&'a [f64]),
    /// Whatever is worst.
    Any,
}

/// A value over a sum, and the fills it was found at (full or empty, a liquid term each).
pub type Worst = (Bounded, Vec<bool>);

impl<K: Copy, const S: usize, const N: usize> Sum<'_, K, S, N> {
    /// The inputs that nothing bounds.
    fn missing(&self) -> Option<Bounded> {
        let inputs = self.shared.iter().copied().chain(self.terms.iter().flat_map(|term| &term.inputs));
        let missing: Vec<&Input> = inputs.filter(|input| input.range.is_none()).collect();
        let facts = || missing.iter().flat_map(|input| input.facts.iter().copied()).collect();
        (!missing.is_empty()).then(|| Bounded { range: None, facts: facts() })
    }

    fn shared_corners(&self) -> Vec<[f64; S]> {
        let mut corners = vec![self.shared.map(Input::middle)];
        for at in 0..S {
            if self.shared[at].is_open() {
                corners = corners
                    .into_iter()
                    .flat_map(|corner| {
                        [false, true].map(|high| {
                            let mut corner = corner;
                            corner[at] = self.shared[at].end(high);
                            corner
                        })
                    })
                    .collect();
            }
        }
        corners
    }

    /// The least of `f(term)·sign` over the corners of a term's own inputs, and its fill if that is free.
    fn term_least(&self, term: &Term<K, N>, fills: &[f64], f: &impl Fn(K, &[f64; N]) -> f64) -> (f64, [f64; N], f64) {
        let mut best = (f64::INFINITY, [0.0; N], 1.0);
        let open: u32 = term.inputs.iter().map(|input| u32::from(input.is_open())).sum();
        for corner in 0..1u32 << open {
            let mut bit = 0;
            let mut point = [0.0; N];
            for (slot, input) in point.iter_mut().zip(&term.inputs) {
                *slot = if input.is_open() {
                    bit += 1;
                    input.end(corner >> (bit - 1) & 1 == 1)
                } else {
                    input.middle()
                };
            }
            let whole = f(term.kind, &point);
            for fill in fills {
                if whole * fill < best.0 {
                    best = (whole * fill, point, *fill);
                }
            }
        }
        best
    }

    /// Walks the terms with the fill each may have.
    fn with_fills<'t>(&'t self, fill: Fill<'t>) -> impl Iterator<Item = (&'t Term<K, N>, FillOf)> {
        let mut liquid = 0;
        self.terms.iter().map(move |term| {
            let of = match fill {
                _ if !term.liquid => FillOf::One(1.0),
                Fill::Any => FillOf::Both,
                Fill::At(fills) => {
                    liquid += 1;
                    FillOf::One(fills.get(liquid - 1).copied().unwrap_or(1.0))
                }
            };
            (term, of)
        })
    }

    /// The least of the sum.
    fn sum_least(&self, fill: Fill<'_>, f: &impl Fn(&[f64; S], K, &[f64; N]) -> f64) -> f64 {
        let each = self.shared_corners().into_iter().map(|shared| {
            self.with_fills(fill)
                .map(|(term, fill)| self.term_least(term, fill.list(), &|kind, point| f(&shared, kind, point)).0)
                .sum()
        });
        each.fold(f64::INFINITY, f64::min)
    }

    /// The fills at which the sum is least with every fact at its middle.
    fn fills_least(&self, f: &impl Fn(&[f64; S], K, &[f64; N]) -> f64) -> Vec<bool> {
        let shared = self.shared.map(Input::middle);
        self.terms
            .iter()
            .filter(|term| term.liquid)
            .map(|term| f(&shared, term.kind, &term.inputs.each_ref().map(Input::middle)) < 0.0)
            .collect()
    }

    /// The facts behind the sum, with how far each alone moves it.
    fn facts(&self, fill: Fill<'_>, f: &impl Fn(&[f64; S], K, &[f64; N]) -> f64) -> Vec<(FactId, f64)> {
        let mut facts = Vec::new();
        let shared = self.shared.map(Input::middle);
        let at = |shared: &[f64; S]| -> f64 {
            self.with_fills(fill)
                .map(|(term, fill)| fill.most() * f(shared, term.kind, &term.inputs.each_ref().map(Input::middle)))
                .sum()
        };
        for (position, input) in self.shared.iter().enumerate() {
            let mut swing = 0.0;
            if input.is_open() {
                let (mut low, mut high) = (shared, shared);
                low[position] = input.end(false);
                high[position] = input.end(true);
                swing = (at(&high) - at(&low)).abs();
            }
            share(input, swing, &mut facts);
        }
        for (term, fill) in self.with_fills(fill) {
            let middle = term.inputs.each_ref().map(Input::middle);
            for (position, input) in term.inputs.iter().enumerate() {
                let mut swing = 0.0;
                if input.is_open() {
                    let (mut low, mut high) = (middle, middle);
                    low[position] = input.end(false);
                    high[position] = input.end(true);
                    swing = fill.most() * (f(&shared, term.kind, &high) - f(&shared, term.kind, &low)).abs();
                }
                share(input, swing, &mut facts);
            }
        }
        facts
    }

    /// The sum with the tanks at given fills.
    pub fn at(&self, fills: &[f64], f: impl Fn(&[f64; S], K, &[f64; N]) -> f64) -> Bounded {
        if let Some(missing) = self.missing() {
            return missing;
        }
        let fill = Fill::At(fills);
        let low = self.sum_least(fill, &f);
        let high = -self.sum_least(fill, &|shared, kind, point| -f(shared, kind, point));
        Bounded { range: Range::between(low, high), facts: self.facts(fill, &f) }
    }

    /// The least the sum can be over every fill of the tanks.
    ///
    /// The low end is exact. The high end is the lowest that the sum's highest gets over the fills, which is no lower than the true
    /// one, equal to it when every fact is stated, and never rises when a fact is stated closer.
    pub fn least(&self, f: impl Fn(&[f64; S], K, &[f64; N]) -> f64) -> Worst {
        if let Some(missing) = self.missing() {
            return (missing, Vec::new());
        }
        let low = self.sum_least(Fill::Any, &f);
        let full = self.fills_least(&f);
        let fills = as_shares(&full);
        let high = self.over_fills(&fills, |fills| {
            -self.sum_least(Fill::At(fills), &|shared, kind, point| -f(shared, kind, point))
        });
        (Bounded { range: Range::between(low.min(high), high), facts: self.facts(Fill::At(&fills), &f) }, full)
    }

    /// The most the sum can be over every fill of the tanks; the mirror of [`Sum::least`].
    pub fn most(&self, f: impl Fn(&[f64; S], K, &[f64; N]) -> f64) -> Worst {
        let (bounded, full) = self.least(|shared, kind, point| -f(shared, kind, point));
        (turned(bounded), full)
    }

    /// The least that one sum over another can be, over every fill. The lower sum must be positive.
    ///
    /// Dinkelbach's method: the least of `up − r·down` is nought at the wanted ratio `r`; each round is a plain sum.
    pub fn least_ratio(
        &self,
        up: impl Fn(&[f64; S], K, &[f64; N]) -> f64,
        down: impl Fn(&[f64; S], K, &[f64; N]) -> f64,
    ) -> Worst {
        if let Some(missing) = self.missing() {
            return (missing, Vec::new());
        }
        let low = self.ratio_least(Fill::Any, &up, &down);
        let mut full = Vec::new();
        let mut middle = 0.0;
        for _ in 0..ROUNDS {
            full =
                self.fills_least(&|shared, kind, point| up(shared, kind, point) - middle * down(shared, kind, point));
            let next = self.middle_ratio(&as_shares(&full), &up, &down);
            if next == middle {
                break;
            }
            middle = next;
        }
        let fills = as_shares(&full);
        let high = self.over_fills(&fills, |fills| {
            -self.ratio_least(Fill::At(fills), &|shared, kind, point| -up(shared, kind, point), &down)
        });
        let weight = self.middle_sum(&fills, &down);
        let mut facts = self.facts(Fill::At(&fills), &|shared, kind, point| {
            up(shared, kind, point) - middle * down(shared, kind, point)
        });
        for (_, swing) in &mut facts {
            *swing /= weight;
        }
        (Bounded { range: Range::between(low.min(high), high), facts }, full)
    }

    /// The most that one sum over another can be, over every fill; the mirror of [`Sum::least_ratio`].
    pub fn most_ratio(
        &self,
        up: impl Fn(&[f64; S], K, &[f64; N]) -> f64,
        down: impl Fn(&[f64; S], K, &[f64; N]) -> f64,
    ) -> Worst {
        let (bounded, full) = self.least_ratio(|shared, kind, point| -up(shared, kind, point), down);
        (turned(bounded), full)
    }

    /// One sum over another with the tanks at given fills.
    pub fn ratio_at(
        &self,
        fills: &[f64],
        up: impl Fn(&[f64; S], K, &[f64; N]) -> f64,
        down: impl Fn(&[f64; S], K, &[f64; N]) -> f64,
    ) -> Bounded {
        if let Some(missing) = self.missing() {
            return missing;
        }
        let fill = Fill::At(fills);
        let low = self.ratio_least(fill, &up, &down);
        let high = -self.ratio_least(fill, &|shared, kind, point| -up(shared, kind, point), &down);
        let middle = self.middle_ratio(fills, &up, &down);
        let weight = self.middle_sum(fills, &down);
        let mut facts =
            self.facts(fill, &|shared, kind, point| up(shared, kind, point) - middle * down(shared, kind, point));
        for (_, swing) in &mut facts {
            *swing /= weight;
        }
        Bounded { range: Range::between(low, high), facts }
    }

    /// The least of `highest` over the fills: at the given one alone when no fact is open, since that one is then the worst; else
    /// over every mixture of full and empty up to [`MIXED`] liquids, and over the given one beyond that.
    fn over_fills(&self, worst: &[f64], highest: impl Fn(&[f64]) -> f64) -> f64 {
        let open =
            self.shared.iter().copied().chain(self.terms.iter().flat_map(|term| &term.inputs)).any(Input::is_open);
        let least = highest(worst);
        if !open || worst.len() > MIXED {
            return least;
        }
        let mixtures = (0..1u32 << worst.len())
            .map(|mixture| (0..worst.len()).map(|at| f64::from(mixture >> at & 1)).collect::<Vec<_>>());
        mixtures.map(|fills| highest(&fills)).fold(least, f64::min)
    }

    fn middle_sum(&self, fills: &[f64], f: &impl Fn(&[f64; S], K, &[f64; N]) -> f64) -> f64 {
        let shared = self.shared.map(Input::middle);
        self.with_fills(Fill::At(fills))
            .map(|(term, fill)| fill.most() * f(&shared, term.kind, &term.inputs.each_ref().map(Input::middle)))
            .sum()
    }

    fn middle_ratio(
        &self,
        fills: &[f64],
        up: &impl Fn(&[f64; S], K, &[f64; N]) -> f64,
        down: &impl Fn(&[f64; S], K, &[f64; N]) -> f64,
    ) -> f64 {
        self.middle_sum(fills, up) / self.middle_sum(fills, down)
    }

    fn ratio_least(
        &self,
        fill: Fill<'_>,
        up: &impl Fn(&[f64; S], K, &[f64; N]) -> f64,
        down: &impl Fn(&[f64; S], K, &[f64; N]) -> f64,
    ) -> f64 {
        let mut least = f64::INFINITY;
        for shared in self.shared_corners() {
            let mut ratio = 0.0;
            for _ in 0..ROUNDS {
                let (mut top, mut bottom) = (0.0, 0.0);
                for (term, fill) in self.with_fills(fill) {
                    let least = |kind, point: &[f64; N]| up(&shared, kind, point) - ratio * down(&shared, kind, point);
                    let (_, point, fill) = self.term_least(term, fill.list(), &least);
                    top += fill * up(&shared, term.kind, &point);
                    bottom += fill * down(&shared, term.kind, &point);
                }
                let next = top / bottom;
                if !next.is_finite() || (next - ratio).abs() <= 1e-14 * next.abs() {
                    break;
                }
                ratio = next;
            }
            least = least.min(ratio);
        }
        least
    }
}

/// Liquids up to which every mixture of full and empty is tried.
const MIXED: usize = 5;

/// Full is 1, empty is 0.
fn as_shares(full: &[bool]) -> Vec<f64> {
    full.iter().map(|full| f64::from(u8::from(*full))).collect()
}

/// Dinkelbach's method doubles its digits each round; this many is far more than it needs.
const ROUNDS: usize = 30;

/// The fills a term may have.
#[derive(Debug, Clone, Copy)]
enum FillOf {
    One(f64),
    Both,
}

impl FillOf {
    fn list(&self) -> &[f64] {
        match self {
            Self::One(fill) => std::slice::from_ref(fill),
            Self::Both => &[0.0, 1.0],
        }
    }

    fn most(self) -> f64 {
        match self {
            Self::One(fill) => fill,
            Self::Both => 1.0,
        }
    }
}

fn turned(bounded: Bounded) -> Bounded {
    let range = bounded.range.and_then(|range| Range::new(-range.high, -range.low));
    Bounded { range, facts: bounded.facts }
}

#[cfg(test)]
mod tests;
