//! The plumbing as a graph: a cell for each place that holds fluid, an element for whatever joins two of them.

use std::collections::HashMap;

use crate::figures::materials::Rating;
use crate::figures::paths::{Edge, Element, Hold, Node, Piping, State};
use crate::measure::Range;
use crate::rig::parts::{AnyPart, Kind, Tank};
use crate::rig::system::{Line, Mode};
use crate::rig::{EntryId, FactId, PartRef, Rig};
use crate::workings::materials::table;

/// What a source holds, as far as it matters where that may get.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fluid {
    /// Hypochlorite at any strength.
    Bleach,
    /// Acid cleaner.
    Acid,
    /// Caustic or degreaser.
    Caustic,
    /// Soap and what else is mild.
    Soap,
    /// Clean water.
    Water,
    /// Gasoline or diesel.
    Fuel,
}

impl Fluid {
    /// The class of a fluid of the spec; `None` for an empty tank.
    pub fn of(word: &str) -> Option<Self> {
        Some(match word {
            "hypochlorite" | "mix" => Self::Bleach,
            "acid" => Self::Acid,
            "caustic" | "degreaser" => Self::Caustic,
            "water" => Self::Water,
            "gasoline" | "diesel" => Self::Fuel,
            "empty" => return None,
            _ => Self::Soap,
        })
    }
}

/// A place that holds fluid.
#[derive(Debug, Clone)]
pub struct Cell {
    /// The part, by its position; `None` for a stretch of line between two fittings.
    pub part: Option<usize>,
}

/// What joins two cells, with its name and the facts behind what is not stated about it.
#[derive(Debug, Clone)]
pub struct Fitting {
    /// What people call it.
    pub name: String,
    /// The part it is, by its position.
    pub part: Option<usize>,
    /// The line it is in, by its position.
    pub line: Option<usize>,
    /// Where it stands in the spec.
    pub at: EntryId,
    /// Facts that decide what it holds back.
    pub facts: Vec<FactId>,
    /// For the port of a three-way valve: the part its line comes from.
    port: Option<Port>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Port {
    /// A way in, from this part.
    From(Option<usize>),
    /// The way out.
    Out,
}

/// The plumbing of a rig as a graph.
pub struct Map<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// The graph.
    pub piping: Piping,
    /// Its cells.
    pub cells: Vec<Cell>,
    /// Its elements, in the order of the graph's.
    pub fittings: Vec<Fitting>,
    /// How the elements stand, mode by mode. One row where the spec has no modes.
    pub settings: Vec<Vec<State>>,
    /// The cells of each line.
    pub of_line: Vec<Vec<Node>>,
}

struct Draft<'a> {
    rig: &'a Rig,
    parts: HashMap<&'a str, usize>,
    cells: Vec<Cell>,
    edges: Vec<Edge>,
    fittings: Vec<Fitting>,
    /// The cell of a part, or of one of its ports where they are apart.
    ends: HashMap<(usize, &'static str), Node>,
}

impl<'a> Map<'a> {
    /// Reads the plumbing. `None` where none is written.
    pub fn of(rig: &'a Rig) -> Option<Self> {
        if rig.spec.plumbing.is_empty() {
            return None;
        }
        let parts = rig.parts().zip(0..).map(|((name, _), at)| (name, at)).collect();
        let mut draft =
            Draft { rig, parts, cells: Vec::new(), edges: Vec::new(), fittings: Vec::new(), ends: HashMap::new() };
        let of_line = rig.spec.plumbing.iter().enumerate().map(|(at, line)| draft.line(at, line)).collect();
        draft.draw_tubes();
        let Draft { parts, cells, edges, fittings, .. } = draft;
        let piping = Piping::new(cells.len(), edges)?;
        let mut map = Self { rig, piping, cells, fittings, settings: Vec::new(), of_line };
        map.settings = match rig.spec.modes.as_slice() {
            [] => vec![map.setting(&parts, None)],
            modes => modes.iter().map(|mode| map.setting(&parts, Some(&mode.item))).collect(),
        };
        Some(map)
    }

    /// A part by its position.
    pub fn part(&self, at: usize) -> (&'a str, &'a AnyPart) {
        let part = &self.rig.spec.parts[at];
        (&part.name, &part.item)
    }

    /// The name of a mode.
    pub fn mode_name(&self, mode: usize) -> &str {
        self.rig.spec.modes.get(mode).map_or("any mode", |mode| &mode.name)
    }

    /// Whether pumps run in a mode.
    pub fn runs(&self, mode: usize) -> bool {
        self.rig.spec.modes.get(mode).is_none_or(|mode| !mode.item.running.is_empty())
    }

    /// The cells of the parts that `wanted` picks.
    pub fn cells_of(&self, wanted: impl Fn(&AnyPart) -> bool) -> Vec<Node> {
        let of_part = |cell: &Cell| cell.part.is_some_and(|part| wanted(self.part(part).1));
        self.cells.iter().enumerate().filter(|(_, cell)| of_part(cell)).map(|(node, _)| node).collect()
    }

    /// The cells of the tanks and cans that hold one of `fluids`.
    pub fn sources(&self, fluids: &[Fluid]) -> Vec<Node> {
        self.cells_of(|part| held(self.rig, part).is_some_and(|fluid| fluids.contains(&fluid)))
    }

    /// The cells that are open to the air at the end of a way: guns, tips, surface cleaners.
    pub fn ends(&self) -> Vec<Node> {
        self.cells_of(|part| matches!(part.kind, Kind::Gun(_) | Kind::Nozzle(_) | Kind::SurfaceCleaner(_)))
    }

    /// The name of a cell; a stretch of line takes the name of what comes before it.
    pub fn cell_name(&self, node: Node) -> String {
        if let Some(part) = self.cells[node].part {
            return self.part(part).0.to_owned();
        }
        let edges = self.piping.edges();
        let before = (0..edges.len()).find(|edge| edges[*edge].to == node);
        before.map_or_else(|| "a line".to_owned(), |edge| format!("the line after {}", self.fittings[edge].name))
    }

    fn setting(&self, parts: &HashMap<&str, usize>, mode: Option<&Mode>) -> Vec<State> {
        let Some(mode) = mode else { return vec![State::Unknown; self.fittings.len()] };
        let number = |reference: PartRef| parts.get(self.rig.reference(reference)?.0).copied();
        let listed = |list: &[PartRef], part: usize| list.iter().any(|reference| number(*reference) == Some(part));
        let tube = number(mode.draw_tube);
        let state = |(fitting, edge): (&Fitting, &Edge)| {
            let Some(part) = fitting.part else { return State::Open };
            let (open, shut) = (listed(&mode.open, part), listed(&mode.shut, part));
            match (edge.element, fitting.port) {
                (Element::DrawTube { .. }, _) => match tube {
                    Some(tube) if tube == part => State::Open,
                    Some(_) => State::Shut,
                    None => State::Unknown,
                },
                (_, Some(_)) if shut => State::Shut,
                (_, Some(Port::Out)) => State::Open,
                (_, Some(Port::From(from))) => match (from, tube) {
                    (Some(from), Some(tube)) if from == tube => State::Open,
                    (_, Some(_)) => State::Shut,
                    (_, None) => State::Unknown,
                },
                (Element::Valve(_), None) if shut => State::Shut,
                (Element::Valve(_), None) if !open => State::Unknown,
                _ => State::Open,
            }
        };
        self.fittings.iter().zip(self.piping.edges()).map(state).collect()
    }

    /// The setting of a mode with every port of a three-way valve joined, as in mid-turn.
    pub fn mid_turn(&self, mode: usize, valve: usize) -> Vec<State> {
        let ports: Vec<usize> = (0..self.fittings.len())
            .filter(|edge| self.fittings[*edge].part == Some(valve) && self.fittings[*edge].port.is_some())
            .collect();
        crate::figures::paths::mid_turn(&self.settings[mode], &ports)
    }

    /// The setting of a mode with the ports of three-way valves that it does not name taken as open.
    pub fn turned_either_way(&self, mode: usize) -> Vec<State> {
        let open = |(state, fitting): (&State, &Fitting)| match (state, fitting.port) {
            (State::Unknown, Some(_)) => State::Open,
            _ => *state,
        };
        self.settings[mode].iter().zip(&self.fittings).map(open).collect()
    }

    /// The three-way valves that lines end at.
    pub fn three_ways(&self) -> Vec<usize> {
        let ports = self.fittings.iter().filter(|fitting| fitting.port == Some(Port::Out));
        let mut valves: Vec<usize> = ports.filter_map(|fitting| fitting.part).collect();
        valves.dedup();
        valves
    }
}

/// What a tank or can holds.
pub fn held(rig: &Rig, part: &AnyPart) -> Option<Fluid> {
    let holds = match &part.kind {
        Kind::Tank(tank) => &tank.holds,
        Kind::Container(can) => &can.holds,
        _ => return None,
    };
    Fluid::of(rig.word(holds.fluid)?)
}

const VALVE: Element = Element::Valve(Hold::OwnHandle);

impl<'a> Draft<'a> {
    fn cell(&mut self, part: Option<usize>) -> Node {
        self.cells.push(Cell { part });
        self.cells.len() - 1
    }

    fn join(&mut self, from: Node, to: Node, element: Element, fitting: Fitting) {
        self.edges.push(Edge { from, to, element });
        self.fittings.push(fitting);
    }

    fn number(&self, reference: PartRef) -> Option<usize> {
        self.parts.get(self.rig.reference(reference)?.0).copied()
    }

    fn port(&self, reference: PartRef) -> &'a str {
        self.rig.reference(reference).and_then(|(_, port)| port).unwrap_or_default()
    }

    fn item(&self, at: usize) -> &'a AnyPart {
        &self.rig.spec.parts[at].item
    }

    fn fitting(&self, part: usize, line: Option<usize>, facts: Vec<FactId>, port: Option<Port>) -> Fitting {
        let named = &self.rig.spec.parts[part];
        Fitting { name: named.name.to_string(), part: Some(part), line, at: named.item.entry, facts, port }
    }

    /// The cell of a part under a key, made when it is first asked for.
    fn end(&mut self, part: usize, key: &'static str) -> Node {
        if let Some(node) = self.ends.get(&(part, key)) {
            return *node;
        }
        let node = self.cell(Some(part));
        self.ends.insert((part, key), node);
        node
    }

    /// The cell where a line ends at a part (`enters`) or starts from it.
    fn side(&mut self, line: usize, reference: PartRef, enters: bool) -> Node {
        let Some(part) = self.number(reference) else { return self.cell(None) };
        let port = self.port(reference);
        match &self.item(part).kind {
            _ if port == "fuel" => self.end(part, "fuel"),
            Kind::Valve(valve) if self.rig.word(valve.style) == Some("three-way") => {
                let centre = self.end(part, "");
                let stub = self.cell(None);
                let lines = &self.rig.spec.plumbing;
                let (port, from, to) = match enters {
                    true => (Port::From(self.number(lines[line].from)), stub, centre),
                    false => (Port::Out, centre, stub),
                };
                let fitting = self.fitting(part, None, Vec::new(), Some(port));
                self.join(from, to, VALVE, fitting);
                stub
            }
            Kind::Valve(_) | Kind::Check(_) => {
                let fresh = !self.ends.contains_key(&(part, "in"));
                let (inward, outward) = (self.end(part, "in"), self.end(part, "out"));
                if fresh {
                    let (element, facts) = self.element(part);
                    let fitting = self.fitting(part, None, facts, None);
                    self.join(inward, outward, element, fitting);
                }
                if enters { inward } else { outward }
            }
            Kind::Injector(_) if enters && port == "chemical" => {
                let fresh = !self.ends.contains_key(&(part, "chemical"));
                let (pick_up, body) = (self.end(part, "chemical"), self.end(part, ""));
                if fresh {
                    let fitting = self.fitting(part, None, Vec::new(), None);
                    let sound = self.sound(part);
                    self.join(pick_up, body, Element::Injector { sound }, fitting);
                }
                pick_up
            }
            _ => self.end(part, ""),
        }
    }

    /// Whether a check stands bleach: an eaten spring or ball holds nothing back. Nobody knows where its materials are not listed.
    fn sound(&self, part: usize) -> Option<bool> {
        let wetted = &self.item(part).common.wetted;
        let worst = wetted.iter().map(|word| self.rig.word(*word).and_then(table::standing_in_bleach));
        let mut sound = if wetted.is_empty() { None } else { Some(true) };
        for rating in worst {
            match rating {
                Some(Rating::Unsuitable) => return Some(false),
                Some(_) => {}
                None => sound = None,
            }
        }
        sound
    }

    fn element(&self, part: usize) -> (Element, Vec<FactId>) {
        match &self.item(part).kind {
            Kind::Valve(valve) => match self.rig.word(valve.style) {
                // Floats, reliefs and regulators move on their own; nothing is shut with them.
                Some("float" | "relief" | "pressure-reducing") => (Element::Pipe, Vec::new()),
                _ => (VALVE, Vec::new()),
            },
            Kind::Check(check) => match self.rig.word(check.style) {
                Some("vacuum-breaker") => (Element::VacuumBreaker, Vec::new()),
                Some("dual-check") => (Element::TwoChecks { differ: Some(false) }, Vec::new()),
                Some("double-check") => (Element::TwoChecks { differ: Some(true) }, Vec::new()),
                Some("reduced-pressure-zone") => (Element::ReducedPressure { tested: Some(true) }, Vec::new()),
                _ => (Element::Check { sound: self.sound(part) }, Vec::new()),
            },
            _ => (Element::Pipe, Vec::new()),
        }
    }

    /// A line: its hose, what it passes through, and what guards its ends. Returns its cells.
    fn line(&mut self, at: usize, line: &'a Line) -> Vec<Node> {
        let from = self.side(at, line.from, false);
        let to = self.side(at, line.to, true);
        let target = self.rig.reference(line.to).map_or("its end", |(part, _)| part);
        let hose = Fitting {
            name: format!("the hose to {target}"),
            part: None,
            line: Some(at),
            at: line.entry,
            facts: Vec::new(),
            port: None,
        };
        let mut way: Vec<(Element, Fitting)> = Vec::new();
        way.extend(self.at_the_tap(at, line));
        way.push((Element::Pipe, hose));
        let through: Vec<usize> = line.through.iter().filter_map(|part| self.number(*part)).collect();
        for part in &through {
            let (element, facts) = self.element(*part);
            way.push((element, self.fitting(*part, Some(at), facts, None)));
        }
        way.extend(self.at_the_end(at, line));
        let way = self.paired(way);
        let mut cells = vec![from];
        let last = way.len() - 1;
        for (step, (element, fitting)) in way.into_iter().enumerate() {
            let here = cells[cells.len() - 1];
            let next = if step == last { to } else { self.cell(None) };
            self.join(here, next, element, fitting);
            cells.push(next);
        }
        cells
    }

    /// Checks that follow each other count as a pair: crystals and swelling beat two of one kind together.
    fn paired(&self, way: Vec<(Element, Fitting)>) -> Vec<(Element, Fitting)> {
        let mut out: Vec<(Element, Fitting)> = Vec::new();
        let mut styles: Vec<Option<&'static str>> = Vec::new();
        for (element, fitting) in way {
            let sound = matches!(element, Element::Check { sound: Some(true) | None });
            let style = fitting.part.and_then(|part| match &self.item(part).kind {
                Kind::Check(check) => self.rig.word(check.style),
                _ => None,
            });
            if sound
                && let Some((before, first)) = out.last_mut()
                && matches!(before, Element::Check { sound: Some(true) | None } | Element::TwoChecks { .. })
                && !styles.is_empty()
            {
                styles.push(style);
                let known: Vec<&str> = styles.iter().copied().flatten().collect();
                let differ = match known.as_slice() {
                    [first, rest @ ..] if rest.iter().any(|other| other != first) => Some(true),
                    _ if known.len() == styles.len() => Some(false),
                    _ => None,
                };
                *before = Element::TwoChecks { differ };
                first.name = format!("{} and {}", first.name, fitting.name);
                continue;
            }
            styles.clear();
            if sound {
                styles.push(style);
            }
            out.push((element, fitting));
        }
        out
    }

    /// What the customer's tap is protected with. A gap is looked for where the water falls.
    fn at_the_tap(&self, at: usize, line: &Line) -> Option<(Element, Fitting)> {
        let part = self.number(line.from)?;
        let Kind::Supply(supply) = &self.item(part).kind else { return None };
        let element = match self.rig.word(supply.protected_by) {
            Some("hose-vacuum-breaker") => Element::VacuumBreaker,
            Some("dual-check") => Element::TwoChecks { differ: Some(false) },
            Some("double-check") => Element::TwoChecks { differ: Some(true) },
            Some("reduced-pressure-zone") => Element::ReducedPressure { tested: Some(true) },
            Some(_) => Element::Pipe,
            None => Element::AirGap { adequate: None },
        };
        let mut fitting = self.fitting(part, Some(at), vec![supply.protected_by.id], None);
        fitting.name = match self.rig.word(supply.protected_by) {
            Some("none" | "air-gap") => fitting.name,
            Some(word) => format!("the {word} at {}", fitting.name),
            None => format!("whatever protects {}", fitting.name),
        };
        Some((element, fitting))
    }

    /// The air gap over a tank's fill, the check in the inlet of a manifold.
    fn at_the_end(&self, at: usize, line: &Line) -> Option<(Element, Fitting)> {
        let part = self.number(line.to)?;
        match &self.item(part).kind {
            Kind::Tank(tank) if self.port(line.to).starts_with("fill") => {
                let (element, facts) = gap(self.rig, tank, line);
                let mut fitting = self.fitting(part, Some(at), facts, None);
                fitting.name = format!("the air gap over {}", fitting.name);
                matches!(element, Element::AirGap { .. }).then_some((element, fitting))
            }
            Kind::BlendManifold(manifold) => {
                let sound = match self.rig.flag(manifold.checks) {
                    Some(true) => self.sound(part),
                    Some(false) => return None,
                    // Nobody says whether there is one: it may hold or not be there.
                    None => None,
                };
                let mut fitting = self.fitting(part, Some(at), vec![manifold.checks.id], None);
                let inlet = self.port(line.to);
                fitting.name = format!("the {inlet} check in {}", fitting.name).replace("the  check", "the check");
                Some((Element::Check { sound }, fitting))
            }
            _ => None,
        }
    }

    /// A pump that nothing is plumbed into draws through a tube, and each mode says what that stands in.
    fn draw_tubes(&mut self) {
        let stands_in: Vec<usize> =
            self.rig.spec.modes.iter().filter_map(|mode| self.number(mode.item.draw_tube)).collect();
        if stands_in.is_empty() {
            return;
        }
        let inlets: Vec<usize> = self.rig.spec.plumbing.iter().filter_map(|line| self.number(line.to)).collect();
        for pump in 0..self.rig.spec.parts.len() {
            let pumps = matches!(self.item(pump).kind, Kind::DeliveryPump(_) | Kind::Washer(_));
            if !pumps || inlets.contains(&pump) || !self.ends.contains_key(&(pump, "")) {
                continue;
            }
            let mut seen = Vec::new();
            for part in &stands_in {
                if seen.contains(part) || held(self.rig, self.item(*part)).is_none() {
                    continue;
                }
                seen.push(*part);
                let (from, to) = (self.end(*part, ""), self.end(pump, ""));
                let mut fitting = self.fitting(*part, None, Vec::new(), None);
                fitting.name = format!("the draw tube of {}", self.rig.spec.parts[pump].name);
                self.join(from, to, Element::DrawTube { stowed: true }, fitting);
            }
        }
    }
}

/// The gap between a fill spout and the brim, and the facts that decide whether it is one.
fn gap(rig: &Rig, tank: &Tank, line: &Line) -> (Element, Vec<FactId>) {
    match rig.word(tank.filled_by) {
        Some("air-gap") => {}
        Some(_) => return (Element::Pipe, vec![tank.filled_by.id]),
        None => return (Element::AirGap { adequate: None }, vec![tank.filled_by.id, tank.fill_gap.id]),
    }
    let needed = gap_needed(rig, line);
    let adequate = match (rig.known(tank.fill_gap), needed) {
        (Some(gap), Some(needed)) if gap.low >= needed.high => Some(true),
        (Some(gap), Some(needed)) if gap.high < needed.low => Some(false),
        _ => None,
    };
    (Element::AirGap { adequate }, vec![tank.fill_gap.id])
}

/// The air gap that a fill line asks for, m: with walls away, and with walls close.
pub fn gap_needed(rig: &Rig, line: &Line) -> Option<Range> {
    use crate::figures::mixing::safekeeping::{SpoutWalls, air_gap_needed};
    let bore = rig.known(line.hose).or_else(|| rig.known(line.pipe))?;
    Range::between(air_gap_needed(bore.low, SpoutWalls::Free, 0.0), air_gap_needed(bore.high, SpoutWalls::Near, 0.0))
}
