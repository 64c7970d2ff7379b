//! Finds the circuits: for each pump in each mode it runs in, the way from the tanks to the pump and from the pump to the tip.
//! A way that forks to several guns makes a circuit of each.
//!
//! Circuits are read off the plumbing, never typed in. A way that forks where the mode does not say which valve is open, or
//! that ends before a tip, is a circuit that can't be traced: it says so and stops there.

use std::collections::HashMap;

use crate::rig::parts::{AnyPart, Kind};
use crate::rig::system::{Line, Mode};
use crate::rig::{EntryId, PartRef, Rig};

/// One pump in one mode.
#[derive(Debug, Clone)]
pub struct Circuit {
    /// The mode; `None` where the spec has no modes, and every valve is taken as open.
    pub mode: Option<EntryId>,
    /// The mode's name.
    pub mode_name: String,
    /// The pump's id.
    pub pump: String,
    /// The pump.
    pub part: EntryId,
    /// From the source to the pump, in the order of the flow. With several sources, of the first.
    pub suction: Vec<Piece>,
    /// From the pump to the tip, in the order of the flow.
    pub delivery: Vec<Piece>,
    /// The branches that come together at a blend manifold before the pump, each from its tank to the manifold.
    pub branches: Vec<Branch>,
    /// The tanks or taps that it draws from, by id.
    pub sources: Vec<String>,
    /// Why it can't be followed further, on either side.
    pub lost: Vec<Lost>,
    /// The pump feeds other ends at the same time; this is the way to one of them.
    pub forked: bool,
}

/// One way into a blend manifold.
#[derive(Debug, Clone)]
pub struct Branch {
    /// The tank, by id.
    pub source: String,
    /// From the tank to the manifold.
    pub pieces: Vec<Piece>,
}

/// A piece of the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece {
    /// A hose or pipe of the plumbing: its position in `plumbing`.
    Line(usize),
    /// A part: its position among the parts.
    Part(usize),
}

/// Where the tracing of a circuit ends too soon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// The part it stops at.
    pub at: EntryId,
    /// Why, in words.
    pub why: String,
    /// Nothing that is stated is wrong; something is not stated: a valve that the mode does not name, a tip, the whole plumbing.
    pub not_said: bool,
}

/// The plumbing, ready to be followed.
pub struct Plumbing<'a> {
    rig: &'a Rig,
    parts: HashMap<&'a str, usize>,
    from: HashMap<&'a str, Vec<usize>>,
    to: HashMap<&'a str, Vec<usize>>,
}

/// What a mode does with a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setting {
    /// Open, or nothing that can be shut.
    Open,
    /// Shut.
    Shut,
    /// A valve that the mode does not name.
    NotSaid,
}

/// Ports that are not on the way of the wash.
const SIDE_PORTS: &[&str] = &["bypass", "drain", "vent", "overflow", "relief", "fuel", "return", "chemical"];

/// A pump with more ways out than this has its further forks left untraced.
const MOST_ENDS: usize = 8;

/// No circuit of a rig is longer than this many pieces; a longer way runs in a ring.
const LONGEST: usize = 200;

impl<'a> Plumbing<'a> {
    /// Reads the plumbing of a rig.
    pub fn of(rig: &'a Rig) -> Self {
        let parts = rig.parts().zip(0..).map(|((name, _), at)| (name, at)).collect();
        let mut plumbing = Self { rig, parts, from: HashMap::new(), to: HashMap::new() };
        for (at, line) in rig.spec.plumbing.iter().enumerate() {
            if let Some((part, _)) = rig.reference(line.from) {
                plumbing.from.entry(part).or_default().push(at);
            }
            if let Some((part, _)) = rig.reference(line.to) {
                plumbing.to.entry(part).or_default().push(at);
            }
        }
        plumbing
    }

    /// A line by its position.
    pub fn line(&self, at: usize) -> &'a Line {
        &self.rig.spec.plumbing[at]
    }

    /// A part by its position.
    pub fn part(&self, at: usize) -> (&'a str, &'a AnyPart) {
        let part = &self.rig.spec.parts[at];
        (&part.name, &part.item)
    }

    /// Every pump in every mode it runs in. A pump that runs in none, or where no modes are stated, once with every valve open.
    pub fn circuits(&self) -> Vec<Circuit> {
        let pumps: Vec<usize> = (0..self.rig.spec.parts.len())
            .filter(|at| matches!(self.part(*at).1.kind, Kind::Washer(_) | Kind::DeliveryPump(_)))
            .collect();
        let mut circuits = Vec::new();
        if self.rig.spec.modes.is_empty() {
            circuits.extend(pumps.iter().flat_map(|pump| self.trace(*pump, None)));
        }
        let runs = |mode: &Mode, pump: usize| mode.running.iter().any(|part| self.names(*part, self.part(pump).0));
        for mode in &self.rig.spec.modes {
            let running = pumps.iter().filter(|pump| runs(&mode.item, **pump));
            circuits.extend(running.flat_map(|pump| self.trace(*pump, Some((&mode.name, &mode.item)))));
        }
        // A pump that no mode names still has its hose and its tip.
        if !self.rig.spec.modes.is_empty() {
            let idle = pumps.iter().filter(|pump| !self.rig.spec.modes.iter().any(|mode| runs(&mode.item, **pump)));
            circuits.extend(idle.flat_map(|pump| self.trace(*pump, None)));
        }
        circuits
    }

    /// Whether a reference names this part.
    fn names(&self, reference: PartRef, part: &str) -> bool {
        self.rig.reference(reference).is_some_and(|(named, _)| named == part)
    }

    /// What a mode does with a part.
    pub fn setting(&self, mode: Option<&Mode>, part: usize) -> Setting {
        let (name, item) = self.part(part);
        if !matches!(item.kind, Kind::Valve(_)) {
            return Setting::Open;
        }
        let Some(mode) = mode else { return Setting::Open };
        if mode.open.iter().any(|open| self.names(*open, name)) {
            Setting::Open
        } else if mode.shut.iter().any(|shut| self.names(*shut, name)) {
            Setting::Shut
        } else {
            Setting::NotSaid
        }
    }

    /// The parts a line passes through, in order.
    pub fn through(&self, line: usize) -> impl Iterator<Item = usize> + '_ {
        self.line(line).through.iter().filter_map(|part| self.parts.get(self.rig.reference(*part)?.0).copied())
    }

    /// Whether a line is open in a mode, with the valves that the mode does not name.
    fn openness(&self, mode: Option<&Mode>, line: usize) -> (Setting, Vec<usize>) {
        let settings: Vec<(usize, Setting)> = self.through(line).map(|part| (part, self.setting(mode, part))).collect();
        if settings.iter().any(|(_, setting)| *setting == Setting::Shut) {
            return (Setting::Shut, Vec::new());
        }
        let unsaid: Vec<usize> =
            settings.iter().filter(|(_, setting)| *setting == Setting::NotSaid).map(|(part, _)| *part).collect();
        (if unsaid.is_empty() { Setting::Open } else { Setting::NotSaid }, unsaid)
    }

    /// The circuits of a pump in a mode: one, or one for each end where the way from the pump forks.
    fn trace(&self, pump: usize, mode: Option<(&str, &Mode)>) -> Vec<Circuit> {
        let (name, part) = self.part(pump);
        let mut circuit = Circuit {
            mode: mode.map(|(_, mode)| mode.entry),
            mode_name: mode.map_or_else(|| "any mode".to_owned(), |(name, _)| name.to_owned()),
            pump: name.to_owned(),
            part: part.entry,
            suction: Vec::new(),
            delivery: Vec::new(),
            branches: Vec::new(),
            sources: Vec::new(),
            lost: Vec::new(),
            forked: false,
        };
        let mode = mode.map(|(_, mode)| mode);
        self.upstream(pump, mode, &mut circuit);
        let ways = self.downstream(pump, mode);
        let forked = ways.len() > 1;
        ways.into_iter()
            .map(|(delivery, lost)| {
                let mut circuit = circuit.clone();
                circuit.lost.splice(0..0, lost);
                Circuit { delivery, forked, ..circuit }
            })
            .collect()
    }

    /// Picks the one line that is open in the mode out of several; says why when there is none or more than one.
    fn pick(
        &self,
        lines: &[usize],
        mode: Option<&Mode>,
        at: EntryId,
        what: &str,
        lost: &mut Vec<Lost>,
    ) -> Option<usize> {
        let looked: Vec<(usize, Setting, Vec<usize>)> = lines
            .iter()
            .map(|line| {
                let (setting, unsaid) = self.openness(mode, *line);
                (*line, setting, unsaid)
            })
            .collect();
        let open: Vec<usize> =
            looked.iter().filter(|(_, setting, _)| *setting == Setting::Open).map(|(line, ..)| *line).collect();
        let unsaid: Vec<&(usize, Setting, Vec<usize>)> =
            looked.iter().filter(|(_, setting, _)| *setting == Setting::NotSaid).collect();
        let mut say = |why: String, not_said: bool| {
            lost.push(Lost { at, why, not_said });
            None
        };
        match (open.as_slice(), unsaid.as_slice(), lines) {
            ([one], [], _) => Some(*one),
            // The only way there is: the valve in it must be open if the pump is to run at all.
            ([], [one], [_]) => Some(one.0),
            (_, _, []) => say(format!("nothing is plumbed to its {what}"), self.rig.spec.plumbing.is_empty()),
            ([], [], _) => say(format!("every way at its {what} is shut in this mode"), false),
            ([], ..) | (_, [_, ..], _) => {
                let valves: Vec<&str> =
                    unsaid.iter().flat_map(|(.., valves)| valves).map(|valve| self.part(*valve).0).collect();
                say(format!("the mode does not say whether {} is open", valves.join(", ")), true)
            }
            _ => say(format!("{} ways are open at its {what}", open.len()), false),
        }
    }

    fn side(&self, reference: PartRef) -> bool {
        self.rig.reference(reference).is_some_and(|(_, port)| port.is_some_and(|port| SIDE_PORTS.contains(&port)))
    }

    fn lines_on(&self, part: usize) -> Vec<usize> {
        let lines = self.from.get(self.part(part).0).map_or(&[][..], |lines| lines);
        lines.iter().copied().filter(|line| !self.side(self.line(*line).from)).collect()
    }

    fn lines_into(&self, part: usize) -> Vec<usize> {
        let lines = self.to.get(self.part(part).0).map_or(&[][..], |lines| lines);
        lines.iter().copied().filter(|line| !self.side(self.line(*line).to)).collect()
    }

    fn target(&self, line: usize) -> Option<usize> {
        self.parts.get(self.rig.reference(self.line(line).to)?.0).copied()
    }

    fn start(&self, line: usize) -> Option<usize> {
        self.parts.get(self.rig.reference(self.line(line).from)?.0).copied()
    }

    /// Every way from a pump on that is open in the mode, each to its own end. More than one where the way forks.
    fn downstream(&self, pump: usize, mode: Option<&Mode>) -> Vec<(Vec<Piece>, Vec<Lost>)> {
        let mut ways = Vec::new();
        let mut walking: Vec<(usize, Vec<Piece>)> = vec![(pump, Vec::new())];
        while let Some((at, mut pieces)) = walking.pop() {
            let (_, part) = self.part(at);
            let mut lost = Vec::new();
            if at != pump && matches!(part.kind, Kind::Nozzle(_) | Kind::SurfaceCleaner(_) | Kind::Tank(_)) {
                ways.push((pieces, lost));
                continue;
            }
            let lines = self.lines_on(at);
            // Which of the tips in the box goes on the gun is not for us to guess.
            if lines.is_empty() && matches!(part.kind, Kind::Gun(_)) {
                lost.push(Lost { at: part.entry, why: "no tip is plumbed to it".to_owned(), not_said: true });
                ways.push((pieces, lost));
                continue;
            }
            let open: Vec<usize> =
                lines.iter().copied().filter(|line| self.openness(mode, *line).0 == Setting::Open).collect();
            let unsaid = lines.iter().any(|line| self.openness(mode, *line).0 == Setting::NotSaid);
            if open.len() > 1 && !unsaid && ways.len() + walking.len() + open.len() <= MOST_ENDS {
                // The last is walked first.
                for line in open.into_iter().rev() {
                    if let Some(onward) = self.along(line, &pieces, pump, &mut ways) {
                        walking.push(onward);
                    }
                }
                continue;
            }
            match self.pick(&lines, mode, part.entry, "outlet", &mut lost) {
                Some(line) => walking.extend(self.along(line, &pieces, pump, &mut ways)),
                None => ways.push((std::mem::take(&mut pieces), lost)),
            }
        }
        ways
    }

    /// One line further; `None` when that ends the way, which is then among the `ways`.
    fn along(
        &self,
        line: usize,
        pieces: &[Piece],
        pump: usize,
        ways: &mut Vec<(Vec<Piece>, Vec<Lost>)>,
    ) -> Option<(usize, Vec<Piece>)> {
        let mut pieces = pieces.to_vec();
        pieces.push(Piece::Line(line));
        pieces.extend(self.through(line).map(Piece::Part));
        let Some(next) = self.target(line) else {
            ways.push((pieces, Vec::new()));
            return None;
        };
        pieces.push(Piece::Part(next));
        if next == pump || pieces.len() > LONGEST {
            let lost = Lost {
                at: self.part(pump).1.entry,
                why: "the way from its outlet runs in a ring".to_owned(),
                not_said: false,
            };
            ways.push((pieces, vec![lost]));
            return None;
        }
        Some((next, pieces))
    }

    fn upstream(&self, pump: usize, mode: Option<&Mode>, circuit: &mut Circuit) {
        let mut at = pump;
        let mut backward: Vec<Piece> = Vec::new();
        while backward.len() <= LONGEST {
            let (name, part) = self.part(at);
            if at != pump && matches!(part.kind, Kind::Tank(_) | Kind::Supply(_) | Kind::Container(_)) {
                circuit.sources.push(name.to_owned());
                break;
            }
            if matches!(part.kind, Kind::BlendManifold(_)) {
                self.branches(at, mode, circuit);
                break;
            }
            // A removable draw tube: the mode says what it stands in.
            let lines = self.lines_into(at);
            if lines.is_empty()
                && let Some(tube) = mode.and_then(|mode| self.rig.reference(mode.draw_tube))
            {
                circuit.sources.push(tube.0.to_owned());
                break;
            }
            // Where several ways join and the mode says what the draw tube stands in, that way is meant.
            let drawn = mode.and_then(|mode| {
                lines
                    .iter()
                    .copied()
                    .find(|line| self.names(mode.draw_tube, self.start(*line).map_or("", |start| self.part(start).0)))
            });
            let Some(line) = drawn.or_else(|| self.pick(&lines, mode, part.entry, "inlet", &mut circuit.lost)) else {
                break;
            };
            let mut pieces: Vec<Piece> = vec![Piece::Line(line)];
            pieces.extend(self.through(line).map(Piece::Part));
            backward.extend(pieces.into_iter().rev());
            let Some(next) = self.start(line) else { break };
            backward.push(Piece::Part(next));
            at = next;
        }
        if backward.len() > LONGEST {
            circuit.lost.push(Lost {
                at: circuit.part,
                why: "the way to its inlet runs in a ring".to_owned(),
                not_said: false,
            });
        }
        circuit.suction = backward.into_iter().rev().collect();
    }

    /// The ways into a manifold that are open in the mode.
    fn branches(&self, manifold: usize, mode: Option<&Mode>, circuit: &mut Circuit) {
        for line in self.lines_into(manifold) {
            let (setting, unsaid) = self.openness(mode, line);
            if setting == Setting::Shut {
                continue;
            }
            let Some(start) = self.start(line) else { continue };
            if setting == Setting::NotSaid {
                let valves: Vec<&str> = unsaid.iter().map(|valve| self.part(*valve).0).collect();
                let why = format!("the mode does not say whether {} is open", valves.join(", "));
                circuit.lost.push(Lost { at: self.part(manifold).1.entry, why, not_said: true });
                continue;
            }
            let source = self.part(start).0.to_owned();
            let mut pieces = vec![Piece::Part(start), Piece::Line(line)];
            pieces.extend(self.through(line).map(Piece::Part));
            circuit.sources.push(source.clone());
            circuit.branches.push(Branch { source, pieces });
        }
        if circuit.branches.is_empty() && circuit.lost.is_empty() {
            let why = "every way into it is shut in this mode".to_owned();
            circuit.lost.push(Lost { at: self.part(manifold).1.entry, why, not_said: false });
        }
    }
}
