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

#[cfg(test)]
mod tests {
    use super::super::fittings::capacity_of_cv;
    use super::super::tests::{FT, GPM, PSI, near, reference};
    use super::*;

    /// Water, bleach of SG 1.17 and soap of SG 1.02, set for 68 : 30 : 2 at equal levels of 1.5 ft and 2 psi of vacuum.
    fn manifold(water: f64, bleach: f64, soap: f64) -> [Branch; 3] {
        [(1.671159, 1.0, water), (0.781378, 1.17, bleach), (0.054218, 1.02, soap)].map(|(cv, sg, feet)| Branch {
            capacity: capacity_of_cv(cv),
            density: sg * REFERENCE_DENSITY,
            level: feet * FT,
            pressure: 0.0,
            check: Some(0.0),
        })
    }

    #[test]
    fn the_split_agrees_with_scipy() {
        // tests/reference/hydraulics.py: brentq (scipy 1.17.1) on the same square-root law.
        let rows = reference("manifold");
        assert_eq!(rows.len(), 5);
        for row in rows {
            let branches = manifold(row["water_level_ft"], row["bleach_level_ft"], row["soap_level_ft"]);
            let found = split(&branches, 4.0 * GPM).unwrap();
            near(found.junction / PSI, row["junction_psi"], 2e-4);
            for (flow, name) in found.flows.iter().zip(["water_gpm", "bleach_gpm", "soap_gpm"]) {
                near(flow / GPM, row[name], 2e-4);
            }
        }
    }

    #[test]
    fn five_sets_of_levels_hold_their_strength() {
        // Stock of 12.5 %; checked with scipy: water ft, bleach ft, junction psi, water, bleach, soap gpm, strength %.
        for (water, bleach, junction, w, b, s, strength) in [
            (1.5, 1.5, -2.0000, 2.7200, 1.2000, 0.0800, 3.7500),
            (1.5, 3.0, -1.7898, 2.6099, 1.3140, 0.0761, 4.1063),
            (1.5, 0.3, -2.1837, 2.8128, 1.1040, 0.0832, 3.4500),
            (3.0, 0.3, -1.7641, 2.9245, 0.9999, 0.0756, 3.1247),
            (0.3, 3.0, -2.1637, 2.5308, 1.3863, 0.0829, 4.3321),
        ] {
            let found = split(&manifold(water, bleach, 0.5), 4.0 * GPM).unwrap();
            near(found.junction / PSI, junction, 2e-4);
            for (flow, gpm) in found.flows.iter().zip([w, b, s]) {
                // Printed to four decimals.
                assert!((flow / GPM - gpm).abs() < 2e-4 * gpm + 6e-5);
            }
            near(12.5 * share(&found, 1).unwrap(), strength, 2e-4);
        }
    }

    #[test]
    fn equal_branches_split_by_their_coefficients() {
        // By hand: coefficients 1 and 0.5 at 2 ft pass 5 gpm with (5/1.5)^2 psi of drop.
        let branch = |cv: f64| Branch { capacity: capacity_of_cv(cv), ..manifold(2.0, 0.0, 0.0)[0] };
        let found = split(&[branch(1.0), branch(0.5)], 5.0 * GPM).unwrap();
        near(found.flows[0], 2.0 * found.flows[1], 1e-9);
        let column = REFERENCE_DENSITY * GRAVITY * 2.0 * FT / PSI;
        near(found.junction / PSI, column - (5.0 / 1.5) * (5.0 / 1.5), 1e-6);
    }

    #[test]
    fn the_setting_is_true_at_one_flow_only() {
        // By hand with the square-root law: at 60 % of the flow, water at 3 ft and bleach at 0.3 ft give 1.97 %.
        let found = split(&manifold(3.0, 0.3, 0.5), 2.4 * GPM).unwrap();
        assert!((12.5 * share(&found, 1).unwrap() - 1.97).abs() < 0.01);
    }

    #[test]
    fn strength_drifts_as_the_derivative_says() {
        // By hand: bleach SG 1.17 at 1.5 ft, 30 %, vacuum 2 psi: 9.2 % a foot of bleach; 1, 4, 6 psi: 10.1, 3.7 (by drop).
        let drift = |vacuum: f64| {
            let drop = 1.17 * REFERENCE_DENSITY * GRAVITY * 1.5 * FT + vacuum * PSI;
            drift_with_level(1.17 * REFERENCE_DENSITY, 0.3, drop).unwrap() * FT
        };
        for (vacuum, percent) in [(1.0, 10.1), (2.0, 6.4), (4.0, 3.7), (6.0, 2.6)] {
            assert!((100.0 * drift(vacuum) - percent).abs() < 0.06, "{vacuum}: {}", drift(vacuum));
        }
        assert_eq!(drift_with_level(1e3, 0.3, 0.0), None);
        // A small step of the full solution, with the junction free to move, comes out near it.
        let strength = |feet: f64| share(&split(&manifold(1.5, feet, 0.5), 4.0 * GPM).unwrap(), 1).unwrap();
        near((strength(1.51) / strength(1.5) - 1.0) / 0.01, drift(2.0), 0.02);
    }

    #[test]
    fn a_branch_without_a_check_runs_backward_when_it_stands_low() {
        // Water 3 m up through a wide valve, bleach 1 m down with no check, little drawn: bleach tank fills with water.
        let mut branches = manifold(0.0, 0.0, 0.0);
        branches[0].level = 3.0;
        branches[1].level = -1.0;
        let held = split(&branches, 0.1 * GPM).unwrap();
        assert_eq!(held.flows[1], 0.0);
        branches[1].check = None;
        let leaking = split(&branches, 0.1 * GPM).unwrap();
        assert!(leaking.flows[1] < 0.0 && leaking.flows[0] > held.flows[0]);
        near(leaking.flows.iter().sum::<f64>(), 0.1 * GPM, 1e-9);
    }

    #[test]
    fn a_cracking_pressure_takes_from_its_branch() {
        let mut branches = manifold(1.5, 1.5, 0.5);
        let before = split(&branches, 4.0 * GPM).unwrap();
        branches[1].check = Some(0.5 * PSI);
        let after = split(&branches, 4.0 * GPM).unwrap();
        assert!(after.flows[1] < before.flows[1] && after.flows[0] > before.flows[0]);
    }

    #[test]
    fn a_wet_wall_weakens_the_mix() {
        // By hand: 0.4 L/m2 of 3 % on 0.2 L/m2 of water is 2 %.
        near(strength_on_wet_wall(3.0, 0.4, 0.2).unwrap(), 2.0, 1e-12);
        assert_eq!(strength_on_wet_wall(3.0, 0.0, 0.0), None);
    }
}
