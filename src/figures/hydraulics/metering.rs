//! A proportioning manifold: how a pump's flow divides between water, bleach and soap, and why the strength drifts.

use super::{GRAVITY, REFERENCE_DENSITY, rising_root};

/// One branch from a tank to the common suction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// Capacity of its valve, its hose folded in, m3/s at 1 Pa; 0 when shut. See [`super::fittings::capacity_of_cv`].
    pub capacity: f64,
    /// Density of what it carries, kg/m3; above 0.
    pub density: f64,
    /// Height of the tank's surface over the junction, m.
    pub level: f64,
    /// Gauge pressure on the tank's surface, Pa; 0 for a vented tank.
    pub pressure: f64,
    /// Pressure in Pa that opens its check valve, 0 or more; `None` when it has none and can run backward.
    pub check: Option<f64>,
}

impl Branch {
    /// Gauge pressure in Pa at the junction at which this branch stands still.
    fn standstill(&self) -> f64 {
        self.density * GRAVITY * self.level + self.pressure - self.check.unwrap_or(0.0)
    }

    /// Flow into the junction, m3/s, at its gauge pressure; negative only without a check valve.
    fn flow(&self, junction: f64) -> f64 {
        let drive = self.standstill() - junction;
        let flow = self.capacity * (drive.abs() * REFERENCE_DENSITY / self.density).sqrt();
        match (drive >= 0.0, self.check) {
            (true, _) => flow,
            (false, None) => -flow,
            (false, Some(_)) => 0.0,
        }
    }
}

/// How a flow divides.
#[derive(Clone, Debug, PartialEq)]
pub struct Split {
    /// Gauge pressure at the junction, Pa. Below [`super::suction::boiling_gauge`] the pump is starved and gets less.
    pub junction: f64,
    /// Flow of every branch in m3/s, in the order given; a negative one runs back into its tank.
    pub flows: Vec<f64>,
}

/// How a pump's flow (m3/s) divides between branches: `q = C sqrt((rho g h + p - crack - p_j) / SG)`, summing to the flow.
///
/// A branch's flow rises with its own capacity, level and pressure and falls with its cracking pressure; it falls with the
/// others' capacity, level and pressure; it rises with the pump's flow. The junction falls with the pump's flow and rises with
/// every level and capacity. `None` when no branch is open, or nothing is drawn. Source: flow coefficient of IEC 60534-2-1
/// without choking or viscosity correction, volume balance at the junction.
#[must_use]
pub fn split(branches: &[Branch], flow: f64) -> Option<Split> {
    let open = || branches.iter().filter(|branch| branch.capacity > 0.0);
    if flow <= 0.0 {
        return None;
    }
    // Above the highest standstill nothing flows in; low enough for each branch to pass the whole flow alone, too much does.
    let high = open().map(Branch::standstill).reduce(f64::max)?;
    let low = open()
        .map(|branch| {
            let alone = flow / branch.capacity;
            branch.standstill() - branch.density / REFERENCE_DENSITY * alone * alone
        })
        .reduce(f64::min)?;
    let total = |junction: f64| -> f64 { open().map(|branch| branch.flow(junction)).sum() };
    let junction = rising_root(low, high, |junction| flow - total(junction));
    Some(Split { junction, flows: branches.iter().map(|branch| branch.flow(junction)).collect() })
}

/// Share of a split that comes from one branch, of what all branches give; `None` when nothing does.
#[must_use]
pub fn share(split: &Split, branch: usize) -> Option<f64> {
    let all: f64 = split.flows.iter().sum();
    split.flows.get(branch).filter(|_| all > 0.0).map(|flow| flow / all)
}

/// Relative change of strength for each metre the bleach's level rises: `rho g (1 - x) / (2 dp)`.
///
/// `share` x of bleach in the mix, `drop` dp in Pa over its valve. Rises with density, falls with share and drop: a deeper
/// vacuum at the junction meters better and starves sooner. `None` when the drop is not above zero. Source: derivative of the
/// square-root law with the other branches held.
#[must_use]
pub fn drift_with_level(density: f64, share: f64, drop: f64) -> Option<f64> {
    (drop > 0.0).then(|| density * GRAVITY * (1.0 - share) / (2.0 * drop))
}

/// Strength left when a mix meets water standing on the wall: `c V_mix / (V_mix + V_wall)`, any unit by volume.
///
/// `on_wall` and `mix` in m3/m2; a wet wall holds 0.1 to 0.3 mm (common practice). Rises with strength and mix, falls with the
/// water. `None` when there is neither.
#[must_use]
pub fn strength_on_wet_wall(strength: f64, mix: f64, on_wall: f64) -> Option<f64> {
    (mix + on_wall > 0.0).then(|| strength * mix / (mix + on_wall))
}
