//! Where a fluid can get to: fault distance over the plumbing seen as a graph.
//!
//! Nodes are cells of fluid (a tank, a pump head, the line between two fittings, the customer's tap). Edges are the
//! elements that join two cells. Direction is not trusted: a second pump, a siphon, heat, a slope or a failing main can
//! reverse a flow, so each element has a count of independent failures for fluid to pass it *each* way. The **fault
//! distance** of a cell is the least sum of those counts over all ways from a source: 0 gets there in normal use, 1 takes one
//! failure, 2 or more stands a failure, [`Faults::Never`] is parted by construction.
//!
//! This file knows nothing of rigs: nodes and edges are indices. [`wetting`] goes on from single settings to what cells hold
//! as one mode follows another.
//!
//! The counts are engineering judgement after common cross-connection practice (a check valve is not trusted, an air gap is);
//! where a tap is concerned the water purveyor's rules govern.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

pub mod wetting;

#[cfg(test)]
mod brute_force;
#[cfg(test)]
mod tests;

/// Index of a cell of fluid.
pub type Node = usize;

/// Index of an element, in the order given to [`Piping::new`].
pub type EdgeId = usize;

/// How a barrier is held shut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Hold {
    /// One valve with its own handle: one mistake or one leak opens it.
    OwnHandle,
    /// Its lever opens another branch in the same move: no barrier at all.
    SharedLever,
    /// A mechanical interlock holds it: two failures.
    Interlocked,
}

/// What joins two cells. Facts nobody stated are `None`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Element {
    /// Pipe, hose, tee, reel, or a pump of any kind: a pump's own valves leak by design life and get no credit.
    Pipe,
    /// Shut-off valve, port of a multi-way valve, or metering valve.
    Valve(Hold),
    /// One check valve; sound if its spring and ball stand the fluid and it is inspected.
    Check {
        /// Whether the valve earns its credit.
        sound: Option<bool>,
    },
    /// Two check valves in series, which crystals or swelling can beat together.
    TwoChecks {
        /// Whether they differ in type or form a testable assembly.
        differ: Option<bool>,
    },
    /// Injector with a ball check at its pick-up; a foot strainer does not count.
    Injector {
        /// Whether the ball check earns its credit.
        sound: Option<bool>,
    },
    /// Reduced-pressure principle assembly: two checks and a relief.
    ReducedPressure {
        /// Whether a test record is there; without it it counts as one check.
        tested: Option<bool>,
    },
    /// Hose-connection vacuum breaker: stops a siphon, not a pressure.
    VacuumBreaker,
    /// Loop raised above the spill level: stops a siphon, not a pressure.
    RaisedLoop,
    /// Fixed air gap.
    AirGap {
        /// Whether it is high enough and no hose bridges it.
        adequate: Option<bool>,
    },
    /// Removable draw tube or wand between two cells.
    DrawTube {
        /// Whether the mode shows where it is stowed. Otherwise "out" is a promise and counts as one failure.
        stowed: bool,
    },
    /// Coupling that is made, or open with both ends capped.
    Coupling,
}

/// How an element stands in a mode. Ignored by elements that have no position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum State {
    /// Open, in, coupled.
    Open,
    /// Closed, out, uncoupled.
    Shut,
    /// Not stated.
    Unknown,
}

/// What pushes the fluid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Driver {
    /// Suction from the far end.
    Siphon,
    /// Pressure from the near end.
    Pressure,
    /// Whichever of the two passes the element with fewer failures.
    Either,
}

/// How to read what is not stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Doubt {
    /// Every unknown lets the fluid through: the least fault distance the facts allow.
    LetsThrough,
    /// Every unknown holds: the greatest fault distance the facts allow.
    Holds,
}

/// An element between two cells, drawn in the direction of intended flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Edge {
    /// Cell upstream.
    pub from: Node,
    /// Cell downstream.
    pub to: Node,
    /// What the element is.
    pub element: Element,
}

/// A count of independent failures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Faults {
    /// This many failures.
    Count(u32),
    /// No number of failures.
    Never,
}

impl Faults {
    /// Failures of both.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Count(one), Self::Count(two)) => Self::Count(one.saturating_add(two)),
            _ => Self::Never,
        }
    }
}

/// Failures to pass an element forward and in reverse.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Passage {
    /// In the direction drawn.
    pub forward: Faults,
    /// Against it.
    pub reverse: Faults,
}

impl Element {
    /// Failures for a fluid to pass this element.
    ///
    /// Opening a valve, dropping a credit or going from `Siphon` or `Pressure` to `Either` never raises a count; the same
    /// holds for reading a doubt as `LetsThrough` instead of `Holds`.
    #[must_use]
    pub fn passage(self, state: State, driver: Driver, doubt: Doubt) -> Passage {
        let pick = |holds: Option<bool>, held: Faults, failed: Faults| match (holds, doubt) {
            (Some(true), _) | (None, Doubt::Holds) => held,
            (Some(false), _) | (None, Doubt::LetsThrough) => failed,
        };
        let shut = match state {
            State::Open => Some(false),
            State::Shut => Some(true),
            State::Unknown => None,
        };
        let free = Faults::Count(0);
        let both = |faults| Passage { forward: faults, reverse: faults };
        let one_way = |reverse| Passage { forward: free, reverse };
        match self {
            Self::Pipe => both(free),
            Self::Valve(hold) => {
                let credit = match hold {
                    Hold::OwnHandle => 1,
                    Hold::SharedLever => 0,
                    Hold::Interlocked => 2,
                };
                both(pick(shut, Faults::Count(credit), free))
            }
            Self::Check { sound } | Self::Injector { sound } => one_way(pick(sound, Faults::Count(1), free)),
            Self::TwoChecks { differ } => one_way(pick(differ, Faults::Count(2), Faults::Count(1))),
            Self::ReducedPressure { tested } => one_way(pick(tested, Faults::Count(3), Faults::Count(1))),
            Self::VacuumBreaker | Self::RaisedLoop => {
                one_way(if driver == Driver::Siphon { Faults::Count(1) } else { free })
            }
            Self::AirGap { adequate } => one_way(pick(adequate, Faults::Never, free)),
            Self::DrawTube { stowed } => both(pick(shut, if stowed { Faults::Never } else { Faults::Count(1) }, free)),
            Self::Coupling => both(pick(shut, Faults::Never, free)),
        }
    }
}

/// One element passed on the way of a witness.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// The element.
    pub edge: EdgeId,
    /// Cell left.
    pub from: Node,
    /// Cell entered.
    pub to: Node,
    /// Whether it is passed in the direction drawn.
    pub forward: bool,
    /// Failures it takes; zero if it does not stand in the way.
    pub faults: u32,
}

/// A way for the fluid that takes the fewest failures, and of those the fewest elements.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Witness {
    /// Sum of the failures.
    pub faults: u32,
    /// Elements from source to target.
    pub steps: Vec<Step>,
}

impl Witness {
    /// The elements that stand in the way, in order.
    pub fn standing(&self) -> impl Iterator<Item = &Step> {
        self.steps.iter().filter(|step| step.faults > 0)
    }

    /// The one element that stands between, where one failure is enough.
    #[must_use]
    pub fn stands_between(&self) -> Option<EdgeId> {
        let mut standing = self.standing();
        let first = standing.next()?;
        (self.faults == 1 && standing.next().is_none()).then_some(first.edge)
    }

    /// The way element by element, each named by `name`; `!` marks one that stands in the way, `~` one passed backward.
    #[must_use]
    pub fn trail(&self, name: impl Fn(EdgeId) -> String) -> String {
        let words: Vec<String> = self
            .steps
            .iter()
            .map(|step| {
                let back = if step.forward { "" } else { "~" };
                let stands = if step.faults > 0 { "!" } else { "" };
                format!("{back}{}{stands}", name(step.edge))
            })
            .collect();
        words.join(" > ")
    }
}

/// Fault distances from a set of sources in one setting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reach {
    faults: Vec<u32>,
    came: Vec<Option<Step>>,
}

impl Reach {
    /// Fault distance of a cell; [`Faults::Never`] for a cell that is not in the graph.
    #[must_use]
    pub fn faults(&self, node: Node) -> Faults {
        match self.faults.get(node) {
            Some(&NEVER) | None => Faults::Never,
            Some(&count) => Faults::Count(count),
        }
    }

    /// Whether the fluid gets to the cell in normal use.
    #[must_use]
    pub fn wets(&self, node: Node) -> bool {
        self.faults(node) == Faults::Count(0)
    }

    /// For each cell whether the fluid gets there in normal use.
    #[must_use]
    pub fn wetted(&self) -> Vec<bool> {
        self.faults.iter().map(|faults| *faults == 0).collect()
    }

    /// A shortest way to a cell: `None` when there is none, no steps for a source.
    #[must_use]
    pub fn witness(&self, node: Node) -> Option<Witness> {
        let Faults::Count(faults) = self.faults(node) else { return None };
        let mut steps = Vec::new();
        let mut here = node;
        while let Some(step) = self.came.get(here).copied().flatten() {
            steps.push(step);
            here = step.from;
        }
        steps.reverse();
        Some(Witness { faults, steps })
    }
}

/// Least and greatest fault distance that the stated facts allow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// With every unknown letting the fluid through.
    pub least: Faults,
    /// With every unknown holding.
    pub most: Faults,
    /// Elements on the shortest way whose unstated facts make it so short. Empty when the two agree.
    pub ask: Vec<EdgeId>,
}

/// The plumbing as a graph.
#[derive(Clone, Debug)]
pub struct Piping {
    edges: Vec<Edge>,
    /// Where the arcs of each node begin in `arcs`; one more entry than nodes.
    starts: Vec<usize>,
    arcs: Vec<Arc>,
}

/// An edge as seen from one of its ends.
#[derive(Clone, Copy, Debug)]
struct Arc {
    edge: EdgeId,
    other: Node,
    forward: bool,
}

/// Failures of an edge forward and in reverse, [`NEVER`] for no way.
type Toll = (u32, u32);

const NEVER: u32 = u32::MAX;

impl Piping {
    /// A graph of `nodes` cells; `None` if an edge names a cell that is not there.
    #[must_use]
    pub fn new(nodes: usize, edges: Vec<Edge>) -> Option<Self> {
        let mut around: Vec<Vec<Arc>> = vec![Vec::new(); nodes];
        for (edge, ends) in edges.iter().enumerate() {
            around.get(ends.to)?;
            around.get_mut(ends.from)?.push(Arc { edge, other: ends.to, forward: true });
            around.get_mut(ends.to)?.push(Arc { edge, other: ends.from, forward: false });
        }
        let mut starts = vec![0];
        let mut arcs = Vec::with_capacity(2 * edges.len());
        for mut of_node in around {
            arcs.append(&mut of_node);
            starts.push(arcs.len());
        }
        Some(Self { edges, starts, arcs })
    }

    /// Number of cells.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.starts.len() - 1
    }

    /// The elements, in the order of their indices.
    #[must_use]
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// Fault distances from `sources` with the elements standing as in `setting`.
    ///
    /// A setting shorter than the edges leaves the rest [`State::Unknown`]; sources not in the graph are passed over.
    #[must_use]
    pub fn reach(&self, sources: &[Node], setting: &[State], driver: Driver, doubt: Doubt) -> Reach {
        self.search(sources, &self.tolls(setting, driver, doubt), false)
    }

    /// Every element whose failure alone lets fluid from `sources` into `target`, where the fault distance is 1.
    ///
    /// Exactly one means it is the only thing that stands between and doubling it lifts the distance; with several, each must
    /// be doubled. Empty when the distance is not 1.
    #[must_use]
    pub fn lone_barriers(
        &self,
        sources: &[Node],
        target: Node,
        setting: &[State],
        driver: Driver,
        doubt: Doubt,
    ) -> Vec<EdgeId> {
        let tolls = self.tolls(setting, driver, doubt);
        let onward = self.search(sources, &tolls, false);
        if onward.faults(target) != Faults::Count(1) {
            return Vec::new();
        }
        let backward = self.search(&[target], &tolls, true);
        let alone = |edge: &Edge, toll: Toll| {
            (toll.0 == 1 && onward.wets(edge.from) && backward.wets(edge.to))
                || (toll.1 == 1 && onward.wets(edge.to) && backward.wets(edge.from))
        };
        let numbered = self.edges.iter().zip(&tolls).enumerate();
        numbered.filter(|(_, (edge, toll))| alone(edge, **toll)).map(|(index, _)| index).collect()
    }

    /// Least and greatest fault distance of `target`, and what to ask if they differ.
    #[must_use]
    pub fn bounds(&self, sources: &[Node], target: Node, setting: &[State], driver: Driver) -> Bounds {
        let (open, held) = (self.tolls(setting, driver, Doubt::LetsThrough), self.tolls(setting, driver, Doubt::Holds));
        let through = self.search(sources, &open, false);
        let (least, most) = (through.faults(target), self.search(sources, &held, false).faults(target));
        let mut ask = Vec::new();
        if least != most {
            let steps = through.witness(target).map(|witness| witness.steps).unwrap_or_default();
            let in_doubt = |step: &&Step| {
                held.get(step.edge).is_some_and(|toll| step.faults < if step.forward { toll.0 } else { toll.1 })
            };
            ask = steps.iter().filter(in_doubt).map(|step| step.edge).collect();
        }
        Bounds { least, most, ask }
    }

    fn tolls(&self, setting: &[State], driver: Driver, doubt: Doubt) -> Vec<Toll> {
        let count = |faults| match faults {
            Faults::Count(count) => count,
            Faults::Never => NEVER,
        };
        let toll = |(index, edge): (usize, &Edge)| {
            let state = setting.get(index).copied().unwrap_or(State::Unknown);
            let passage = edge.element.passage(state, driver, doubt);
            (count(passage.forward), count(passage.reverse))
        };
        self.edges.iter().enumerate().map(toll).collect()
    }

    /// Dijkstra's search by failures, then by number of elements. `backward` follows every element against the fluid, which
    /// gives the distance from each cell *to* the sources.
    fn search(&self, sources: &[Node], tolls: &[Toll], backward: bool) -> Reach {
        let mut best = vec![(NEVER, u32::MAX); self.nodes()];
        let mut came: Vec<Option<Step>> = vec![None; self.nodes()];
        let mut queue = BinaryHeap::with_capacity(self.nodes());
        for source in sources {
            if let Some(start) = best.get_mut(*source) {
                *start = (0, 0);
                queue.push(Reverse(((0, 0), *source)));
            }
        }
        while let Some(Reverse((key, node))) = queue.pop() {
            if best.get(node) != Some(&key) {
                continue;
            }
            for arc in self.arcs_of(node) {
                let toll =
                    tolls.get(arc.edge).map_or(NEVER, |toll| if arc.forward == backward { toll.1 } else { toll.0 });
                if toll == NEVER {
                    continue;
                }
                let next = (key.0 + toll, key.1 + 1);
                if let (Some(known), Some(step)) = (best.get_mut(arc.other), came.get_mut(arc.other))
                    && next < *known
                {
                    *known = next;
                    *step =
                        Some(Step { edge: arc.edge, from: node, to: arc.other, forward: arc.forward, faults: toll });
                    queue.push(Reverse((next, arc.other)));
                }
            }
        }
        Reach { faults: best.into_iter().map(|(faults, _)| faults).collect(), came }
    }

    fn arcs_of(&self, node: Node) -> &[Arc] {
        match (self.starts.get(node), self.starts.get(node + 1)) {
            (Some(start), Some(end)) => self.arcs.get(*start..*end).unwrap_or_default(),
            _ => &[],
        }
    }
}

/// A setting with every listed port open at once: a multi-way valve caught in mid-turn, unless it closes between ports.
#[must_use]
pub fn mid_turn(setting: &[State], ports: &[EdgeId]) -> Vec<State> {
    let state = |(index, state): (usize, &State)| if ports.contains(&index) { State::Open } else { *state };
    setting.iter().enumerate().map(state).collect()
}
