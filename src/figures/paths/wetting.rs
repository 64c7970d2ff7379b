//! What cells hold as one mode follows another: meetings of two fluids, rinsing, contact and trapping.

use std::collections::{BTreeSet, VecDeque};

use super::{Doubt, Driver, Faults, Node, Piping, Reach, State};

/// A set of fluids, one bit each.
pub type FluidSet = u16;

/// The cell where two fluids come together with the fewest failures in one setting, and how many it takes.
///
/// The sum of both fault distances, least over all cells; the lowest index of equal cells. `None` when they are parted by
/// construction everywhere.
#[must_use]
pub fn meeting(one: &Reach, two: &Reach) -> Option<(u32, Node)> {
    let cells = one.faults.len().min(two.faults.len());
    (0..cells)
        .filter_map(|node| match one.faults(node).and(two.faults(node)) {
            Faults::Count(count) => Some((count, node)),
            Faults::Never => None,
        })
        .min()
}

/// What a mode does to each cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ModeWetting {
    /// Fluids that get to each cell in normal use.
    pub wets: Vec<FluidSet>,
    /// Whether enough clean water flows through each cell to carry off what it held.
    pub clears: Vec<bool>,
}

/// A row of modes at whose end two fluids are in one cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeetingWord {
    /// Modes in order; the meeting happens on entering the last.
    pub modes: Vec<usize>,
    /// The cell.
    pub node: Node,
    /// Fluids in the cell at that moment.
    pub held: FluidSet,
}

/// The shortest row of modes that brings a fluid of `one` and a fluid of `two` together in a cell; `None` if no row does.
///
/// Cells begin empty, any mode may come first, and `may_follow(a, b)` says whether mode `b` may come straight after `a`. A
/// cell keeps what it held when a mode begins; what comes in meets what is there; then the cell is cleared if the mode
/// clears it. Each cell goes its own way once the modes are given, so each is searched alone, over the mode it is in and
/// what it holds. Ties fall to the lower modes in order, then to the lower cell.
#[must_use]
pub fn shortest_meeting_word(
    modes: &[ModeWetting],
    one: FluidSet,
    two: FluidSet,
    may_follow: impl Fn(usize, usize) -> bool,
) -> Option<MeetingWord> {
    let cells = modes.iter().map(|mode| mode.wets.len()).max().unwrap_or(0);
    let words = (0..cells).filter_map(|node| meeting_word_of_cell(modes, node, one, two, &may_follow));
    words.min_by(|a, b| (a.modes.len(), &a.modes, a.node).cmp(&(b.modes.len(), &b.modes, b.node)))
}

/// Every cell that two fluids can share, each with its own shortest row of modes.
#[must_use]
pub fn meeting_words(
    modes: &[ModeWetting],
    one: FluidSet,
    two: FluidSet,
    may_follow: impl Fn(usize, usize) -> bool,
) -> Vec<MeetingWord> {
    let cells = modes.iter().map(|mode| mode.wets.len()).max().unwrap_or(0);
    (0..cells).filter_map(|node| meeting_word_of_cell(modes, node, one, two, &may_follow)).collect()
}

/// Follows a given row of modes from empty cells: the first place in the row at which `one` and `two` share a cell, and that
/// cell (the lowest of several). `None` if they stay apart to the end. A mode that does not exist does nothing.
#[must_use]
pub fn meets_on_the_way(modes: &[ModeWetting], word: &[usize], one: FluidSet, two: FluidSet) -> Option<(usize, Node)> {
    let cells = modes.iter().map(|mode| mode.wets.len()).max().unwrap_or(0);
    let mut held: Vec<FluidSet> = vec![0; cells];
    for (place, mode) in word.iter().enumerate().filter_map(|(place, index)| Some((place, modes.get(*index)?))) {
        for (node, cell) in held.iter_mut().enumerate() {
            let coming = mode.wets.get(node).copied().unwrap_or(0);
            let together = *cell | coming;
            if together & one != 0 && together & two != 0 {
                return Some((place, node));
            }
            *cell = if mode.clears.get(node).copied().unwrap_or(false) { coming } else { together };
        }
    }
    None
}

/// A mode that keeps the fluids of `word` apart when it is put in before the last mode; the lowest that does in every cell.
///
/// `None` when no single mode does: then the plumbing or another row of modes is the remedy.
#[must_use]
pub fn mode_that_parts(modes: &[ModeWetting], word: &[usize], one: FluidSet, two: FluidSet) -> Option<usize> {
    let (last, before) = word.split_last()?;
    (0..modes.len()).find(|between| {
        let longer: Vec<usize> = before.iter().copied().chain([*between, *last]).collect();
        meets_on_the_way(modes, &longer, one, two).is_none()
    })
}

fn meeting_word_of_cell(
    modes: &[ModeWetting],
    node: Node,
    one: FluidSet,
    two: FluidSet,
    may_follow: &impl Fn(usize, usize) -> bool,
) -> Option<MeetingWord> {
    let mut seen: BTreeSet<(usize, FluidSet)> = BTreeSet::new();
    let mut queue: VecDeque<(Vec<usize>, FluidSet)> = VecDeque::from([(Vec::new(), 0)]);
    while let Some((word, held)) = queue.pop_front() {
        for (index, mode) in modes.iter().enumerate() {
            if word.last().is_some_and(|last| !may_follow(*last, index)) {
                continue;
            }
            let coming = mode.wets.get(node).copied().unwrap_or(0) & (one | two);
            let together = held | coming;
            let longer = || word.iter().copied().chain([index]).collect::<Vec<usize>>();
            if together & one != 0 && together & two != 0 {
                return Some(MeetingWord { modes: longer(), node, held: together });
            }
            let left = if mode.clears.get(node).copied().unwrap_or(false) { coming } else { together };
            if seen.insert((index, left)) {
                queue.push_back((longer(), left));
            }
        }
    }
    None
}

/// How a cell is wetted by a fluid over a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Contact {
    /// The fluid does not get there in normal use.
    Dry,
    /// Wet in use and rinsed by clean water.
    Flushed,
    /// Wet when parked, or wet in use and never rinsed.
    Continuous,
}

/// Contact of each cell: `used` is where the fluid gets in any mode of use, `parked` where it stands when parked, `rinsed`
/// where clean water flows through in a rinse mode.
///
/// Monotone: more use or parking never lightens a contact, more rinsing never worsens one.
#[must_use]
pub fn contact(used: &[bool], parked: &[bool], rinsed: &[bool]) -> Vec<Contact> {
    let at = |flags: &[bool], node: Node| flags.get(node).copied().unwrap_or(false);
    let of_node = |node| match (at(used, node), at(parked, node), at(rinsed, node)) {
        (_, true, _) | (true, _, false) => Contact::Continuous,
        (true, false, true) => Contact::Flushed,
        (false, false, _) => Contact::Dry,
    };
    (0..used.len().max(parked.len())).map(of_node).collect()
}

impl Piping {
    /// For each cell whether flow from `sources` goes through it to one of `outlets` without any failure.
    ///
    /// Only the drawn direction of elements counts, so a dead leg is not taken for rinsed. Read doubts as [`Doubt::Holds`]
    /// when asking whether water rinses.
    #[must_use]
    pub fn flows_through(&self, sources: &[Node], outlets: &[Node], setting: &[State], doubt: Doubt) -> Vec<bool> {
        let mut tolls = self.tolls(setting, Driver::Either, doubt);
        for toll in &mut tolls {
            toll.1 = super::NEVER;
        }
        let (from, to) = (self.search(sources, &tolls, false), self.search(outlets, &tolls, true));
        (0..self.nodes()).map(|node| from.wets(node) && to.wets(node)).collect()
    }

    /// Cells of `wet` that are shut in: no way without a failure to any of `vents` (open tanks, vented valves, reliefs).
    ///
    /// Bleach in such a cell makes oxygen with nowhere to go. Read doubts as [`Doubt::Holds`] for the cautious answer.
    #[must_use]
    pub fn shut_in(&self, wet: &[bool], vents: &[Node], setting: &[State], doubt: Doubt) -> Vec<Node> {
        let out = self.search(vents, &self.tolls(setting, Driver::Either, doubt), true);
        let is_wet = |node: &Node| wet.get(*node).copied().unwrap_or(false);
        (0..self.nodes()).filter(is_wet).filter(|node| !out.wets(*node)).collect()
    }
}
