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
