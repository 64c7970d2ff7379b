//! The downstream injector: a jet pump that draws chemical when the pressure behind it is low.

use super::REFERENCE_DENSITY;
use std::f64::consts::PI;

/// An injector with equal densities on both sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Injector {
    /// Bore of its nozzle, m; above 0.
    pub nozzle: f64,
    /// Area of the nozzle over area of the throat, between 0 and 1.
    pub area_ratio: f64,
    /// Loss coefficient of the nozzle.
    pub nozzle_loss: f64,
    /// Loss coefficient of the suction entry.
    pub suction_loss: f64,
    /// Loss coefficient of throat and diffuser together.
    pub throat_loss: f64,
}

impl Injector {
    /// Smooth passages: nozzle 0.05, suction 0, throat and diffuser 0.20, the usual values for well-made jet pumps.
    #[must_use]
    pub fn smooth(nozzle: f64, area_ratio: f64) -> Self {
        Self { nozzle, area_ratio, nozzle_loss: 0.05, suction_loss: 0.0, throat_loss: 0.20 }
    }

    /// Rough passages: nozzle 0.10, suction 0, throat and diffuser 0.40. Common practice, no source.
    #[must_use]
    pub fn rough(nozzle: f64, area_ratio: f64) -> Self {
        Self { nozzle, area_ratio, nozzle_loss: 0.10, suction_loss: 0.0, throat_loss: 0.40 }
    }

    /// Pressure gained from suction to outlet, in velocity heads of the nozzle, drawing `m` times the driving flow.
    ///
    /// `2b + 2 m^2 b^2/(1-b) - (1+Ktd) b^2 (1+m)^2 - (1+Ks) (m b/(1-b))^2`. Falls with m and with the losses; not monotone in
    /// the area ratio. Source: Cunningham's jet-pump equation, as in ESDU 85032 and `fluids` 1.3.1.
    #[must_use]
    pub fn gain(&self, m: f64) -> f64 {
        let b = self.area_ratio;
        let side = m * b / (1.0 - b);
        2.0 * b + 2.0 * m * m * b * b / (1.0 - b)
            - (1.0 + self.throat_loss) * (b * (1.0 + m)).powi(2)
            - (1.0 + self.suction_loss) * side * side
    }

    /// Head ratio N: pressure gained by the drawn side over pressure given by the driving side. Falls with m and the losses.
    ///
    /// `None` when the driving side gives nothing, which no real injector does.
    #[must_use]
    pub fn head_ratio(&self, m: f64) -> Option<f64> {
        let given = 1.0 + self.nozzle_loss - self.gain(m);
        (given > 0.0).then(|| self.gain(m) / given)
    }

    /// Greatest back pressure over inlet pressure, both over the suction's, at which `m` times the flow is drawn: N/(1+N).
    ///
    /// 0.79 at the best for any injector that barely draws; 0.64 smooth to 0.53 rough for m 0.1 and area ratio 0.6: a fifth to
    /// a half of the pressure is lost in it while it draws. Falls with m and the losses. 0 when it cannot draw that much.
    #[must_use]
    pub fn back_pressure_share(&self, m: f64) -> f64 {
        (self.gain(m) / (1.0 + self.nozzle_loss)).max(0.0)
    }

    /// Pressure in Pa over the suction's at its inlet while it draws: `(1 + Kn) rho v^2 / 2`, v in the nozzle.
    ///
    /// Rises with flow (m3/s), density and nozzle loss, falls with the bore.
    #[must_use]
    pub fn inlet_pressure(&self, flow: f64, density: f64) -> f64 {
        (1.0 + self.nozzle_loss) * self.velocity_head(flow, density)
    }

    /// Greatest pressure in Pa behind it, over the suction's, at which it draws `m` times the flow.
    ///
    /// Hose loss, soap nozzle and lift make that pressure. Rises with flow and density, falls with bore, m and throat loss.
    #[must_use]
    pub fn greatest_back_pressure(&self, flow: f64, density: f64, m: f64) -> f64 {
        self.back_pressure_share(m) * self.inlet_pressure(flow, density)
    }

    /// Pressure in Pa lost in it when it draws nothing, rinsing: `(1 + Kn - gain(0)) rho v^2 / 2`.
    ///
    /// Rises with flow, density and losses, falls with the bore.
    #[must_use]
    pub fn rinse_loss(&self, flow: f64, density: f64) -> f64 {
        (1.0 + self.nozzle_loss - self.gain(0.0)).max(0.0) * self.velocity_head(flow, density)
    }

    /// Capacity (m3/s at 1 Pa) of the injector as a part of the rinse line; `None` when it loses nothing.
    #[must_use]
    pub fn rinse_capacity(&self) -> Option<f64> {
        let each = self.rinse_loss(1.0, REFERENCE_DENSITY);
        (each > 0.0).then(|| 1.0 / each.sqrt())
    }

    fn velocity_head(&self, flow: f64, density: f64) -> f64 {
        let speed = flow / (PI / 4.0 * self.nozzle * self.nozzle);
        density * speed * speed / 2.0
    }
}

/// Share of the mix that is stock when `m` parts of stock are drawn to one part of water: `m / (1 + m)`. Rises with m.
///
/// One part to R parts of water is m = 1/R. Where "10 %" may mean parts to water or share of the mix, ask.
#[must_use]
pub fn stock_share(m: f64) -> f64 {
    m / (1.0 + m)
}

#[cfg(test)]
mod tests {
    use super::super::nozzle::capacity_of_size;
    use super::super::tests::{FT, GPM, PSI, hose, near, reference};
    use super::super::water::water;
    use super::super::{nozzle, pipe};
    use super::*;

    #[test]
    fn the_head_ratio_agrees_with_the_jet_pump_of_fluids() {
        // fluids 1.3.1, liquid_jet_pump.
        let rows = reference("injector");
        assert_eq!(rows.len(), 4);
        for row in rows {
            let injector = Injector::smooth(row["nozzle"], row["area_ratio"]);
            near(injector.head_ratio(row["drawn"]).unwrap(), row["head_ratio"], 1e-4);
            near(injector.back_pressure_share(row["drawn"]), row["back_pressure"] / row["inlet_pressure"], 1e-4);
            // fluids also counts the little the suction falls below its source, which these leave out.
            near(injector.inlet_pressure(row["flow"], 998.207), row["inlet_pressure"], 0.025);
        }
    }

    #[test]
    fn six_injectors_hold_their_worked_ratio() {
        // Drawing: fluids 1.3.1 to five digits. Without drawing N = E/(1.05 - E), E = 2b - 1.2 b^2, by hand.
        for (area_ratio, m, ratio, limit) in [
            (0.6, 0.0, 2.72340, 0.7314),
            (0.6, 0.1, 1.78352, 0.6407),
            (0.5, 0.1, 1.54237, 0.6067),
            (0.6, 0.05, 2.20704, 0.6882),
            (0.4, 0.2, 1.00794, 0.5020),
            (0.8333, 0.0, 3.84615, 0.7937),
        ] {
            let injector = Injector::smooth(2.1e-3, area_ratio);
            near(injector.head_ratio(m).unwrap(), ratio, 1e-4);
            near(injector.back_pressure_share(m), limit, 1e-4);
        }
        assert!((Injector::rough(2.1e-3, 0.6).back_pressure_share(0.1) - 0.53).abs() < 0.005);
    }

    #[test]
    fn the_injector_sets_its_own_inlet_pressure() {
        // By hand, 2.1 mm: gpm and psi.
        let injector = Injector::smooth(2.1e-3, 0.6);
        for (gpm, psi) in [(4.0, 404.0), (5.5, 763.0), (8.0, 1614.0)] {
            near(injector.inlet_pressure(gpm * GPM, 998.204) / PSI, psi, 2e-3);
        }
        near(injector.rinse_loss(5.5 * GPM, 998.204) / PSI, 205.0, 3e-3);
        let capacity = injector.rinse_capacity().unwrap();
        near(nozzle::pressure(capacity, 1.0, 5.5 * GPM), injector.rinse_loss(5.5 * GPM, REFERENCE_DENSITY), 1e-12);
    }

    #[test]
    fn a_long_hose_stops_it_from_drawing() {
        // By hand: 5.5 gpm through 2.1 mm stands 406 (rough) to 489 psi (smooth); a soap nozzle of size 40 and 3/8 in hose make
        // 370 psi at 200 ft and 504 at 300 ft, so it draws to between 227 and 289 ft.
        let (flow, liquid) = (5.5 * GPM, water(20.0));
        let smooth = Injector::smooth(2.1e-3, 0.6).greatest_back_pressure(flow, liquid.density, 0.1);
        let rough = Injector::rough(2.1e-3, 0.6).inlet_pressure(flow, liquid.density);
        near(smooth / PSI, 489.0, 2e-3);
        let soap = nozzle::pressure(capacity_of_size(40.0), liquid.gravity(), flow);
        let line = hose(0.375, 200.0, 1e-5, 15.0);
        near((pipe::loss(&line, liquid, flow) + soap) / PSI, 370.0, 2e-3);
        near(pipe::longest_hose(&line, liquid, flow, smooth - soap).unwrap() / FT, 289.0, 3e-3);
        // The rough figure takes the smooth inlet pressure at the rough share 0.5324.
        let lossy = Injector::rough(2.1e-3, 0.6).back_pressure_share(0.1) / 1.10 * 1.05 * rough;
        near(lossy / PSI, 406.0, 2e-3);
        near(pipe::longest_hose(&line, liquid, flow, lossy - soap).unwrap() / FT, 227.0, 3e-3);
    }

    #[test]
    fn drawing_more_always_costs_pressure() {
        for area_ratio in [0.1, 0.3, 0.5, 0.7, 0.9] {
            for injector in [Injector::smooth(2e-3, area_ratio), Injector::rough(2e-3, area_ratio)] {
                let gains: Vec<f64> = (0..40).map(|step| injector.gain(f64::from(step) * 0.02)).collect();
                assert!(gains.windows(2).all(|pair| pair[1] < pair[0]));
            }
        }
        // The best area ratio for barely drawing is 1/(1 + Ktd), by hand.
        let best = Injector::smooth(2e-3, 1.0 / 1.2).back_pressure_share(0.0);
        assert!(best > Injector::smooth(2e-3, 0.80).back_pressure_share(0.0));
        assert!(best > Injector::smooth(2e-3, 0.87).back_pressure_share(0.0));
        assert_eq!(Injector::rough(2e-3, 0.9).back_pressure_share(0.5), 0.0);
    }

    #[test]
    fn parts_to_parts_are_not_a_share() {
        // By volume, by hand: one part of 12.5 % stock to R parts of water.
        for (parts, strength) in [(5.0, 2.0833333), (8.0, 1.3888889), (10.0, 1.1363636), (20.0, 0.5952381)] {
            near(12.5 * stock_share(1.0 / parts), strength, 1e-6);
        }
    }
}
