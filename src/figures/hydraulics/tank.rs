//! How long a tank lasts, how big a buffer must be, how long it fills.

/// Draw and fill of a tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Flow drawn while the trigger is pulled, m3/s.
    pub flow: f64,
    /// Share of the time the trigger is pulled, 0 to 1; usually 0.4 to 0.8 (common practice). 1 when it is not known.
    pub duty: f64,
    /// Flow filling the tank all the while, m3/s; 0 without a tap.
    pub fill: f64,
}

impl Draw {
    /// Mean flow out of the tank, m3/s; not above 0 when the fill keeps up. Rises with flow and duty, falls with fill.
    #[must_use]
    pub fn net(&self) -> f64 {
        self.flow * self.duty - self.fill
    }
}

/// Seconds until a usable volume (m3, the heel taken off) is gone: `V / (q d - fill)`.
///
/// Rises with volume and fill, falls with flow and duty. `None` when the fill keeps up; that counts as longer than any time.
#[must_use]
pub fn time_to_empty(usable: f64, draw: &Draw) -> Option<f64> {
    (draw.net() > 0.0).then(|| usable / draw.net())
}

/// Volume in m3 that carries a job of `seconds` over and keeps a `reserve` share: `(q d - fill) T / (1 - reserve)`.
///
/// Rises with flow, duty, time and reserve, falls with fill; 0 when the fill keeps up. `None` when the reserve is 1 or more.
#[must_use]
pub fn buffer(draw: &Draw, seconds: f64, reserve: f64) -> Option<f64> {
    (reserve < 1.0).then(|| draw.net().max(0.0) * seconds / (1.0 - reserve))
}

/// Seconds to fill a volume. Rises with volume, falls with flow. `None` when nothing flows in.
#[must_use]
pub fn fill_time(volume: f64, flow: f64) -> Option<f64> {
    (flow > 0.0).then(|| volume / flow)
}

/// Greatest share of the time the trigger may be pulled for ever on a fill, at most 1: `fill / q`.
///
/// Rises with fill, falls with flow. `None` when nothing is drawn.
#[must_use]
pub fn lasting_duty(flow: f64, fill: f64) -> Option<f64> {
    (flow > 0.0).then(|| (fill / flow).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::super::tests::{GALLON, GPM, near};
    use super::*;

    fn draw(flow: f64, duty: f64, fill: f64) -> Draw {
        Draw { flow: flow * GPM, duty, fill: fill * GPM }
    }

    #[test]
    fn a_tank_lasts_by_the_volume_balance() {
        // By hand: gallons, gpm drawn, gpm filled, minutes.
        for (gallons, flow, fill, minutes) in
            [(50.0, 8.0, 5.0, 16.666667), (100.0, 5.5, 5.0, 200.0), (225.0, 8.0, 0.0, 28.125)]
        {
            near(time_to_empty(gallons * GALLON, &draw(flow, 1.0, fill)).unwrap() / 60.0, minutes, 1e-6);
        }
        // 8 gpm six tenths of the time is under a 5 gpm tap: never.
        assert_eq!(time_to_empty(100.0 * GALLON, &draw(8.0, 0.6, 5.0)), None);
    }

    #[test]
    fn the_buffer_carries_the_job_and_its_reserve() {
        // By hand: (8 x 0.7 - 5) x 120 / 0.9 = 80 gal.
        let job = draw(8.0, 0.7, 5.0);
        near(buffer(&job, 7200.0, 0.1).unwrap() / GALLON, 80.0, 1e-9);
        near(time_to_empty(0.9 * 80.0 * GALLON, &job).unwrap(), 7200.0, 1e-9);
        assert_eq!(buffer(&draw(4.0, 1.0, 5.0), 7200.0, 0.1), Some(0.0));
        assert_eq!(buffer(&job, 7200.0, 1.0), None);
    }

    #[test]
    fn filling_and_lasting_duty_are_ratios() {
        near(fill_time(100.0 * GALLON, 5.0 * GPM).unwrap(), 1200.0, 1e-9);
        assert_eq!(fill_time(1.0, 0.0), None);
        near(lasting_duty(8.0 * GPM, 5.0 * GPM).unwrap(), 0.625, 1e-12);
        assert_eq!(lasting_duty(4.0 * GPM, 5.0 * GPM), Some(1.0));
        assert_eq!(lasting_duty(0.0, 1.0), None);
    }
}
