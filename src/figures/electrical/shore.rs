//! The 120 V inlet and the charger behind it.

/// A load that runs three hours or more may take this share of its breaker: NEC 210.19(A), 210.20(A).
pub const CONTINUOUS_SHARE: f64 = 0.8;

/// A battery charger on alternating current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charger {
    /// Charging current, A.
    pub dc_current: f64,
    /// Charging voltage, V; 14.4 for a 12 V lead battery.
    pub dc_voltage: f64,
    /// Efficiency, above 0 and at most 1.
    pub efficiency: f64,
    /// Power factor, above 0 and at most 1; cheap chargers 0.6 to 0.7.
    pub power_factor: f64,
    /// Supply, V.
    pub ac_voltage: f64,
}

/// Current in A that a charger takes from the supply: I V/(eta PF Vac). `None` when a divisor is not above 0.
///
/// Rises with charging current and voltage, falls with efficiency, power factor and supply voltage. Source: by hand.
pub fn charger_input(charger: &Charger) -> Option<f64> {
    let divisor = charger.efficiency * charger.power_factor * charger.ac_voltage;
    (divisor > 0.0).then(|| charger.dc_current * charger.dc_voltage / divisor)
}

/// Smallest breaker in A for a continuous load: 125 % of it. Rises with the load. Source: NEC 210.20(A).
pub fn breaker_for_continuous(load: f64) -> f64 {
    load / CONTINUOUS_SHARE
}

/// Largest charging current in A that a breaker carries continuously: the inverse of [`charger_input`] at 80 %.
///
/// `charger.dc_current` is not read. `None` unless the charging voltage is above 0. Rises with breaker, efficiency,
/// power factor and supply voltage, falls with charging voltage.
pub fn largest_charger(charger: &Charger, breaker: f64) -> Option<f64> {
    let power = CONTINUOUS_SHARE * breaker * charger.ac_voltage * charger.efficiency * charger.power_factor;
    (charger.dc_voltage > 0.0).then(|| power / charger.dc_voltage)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, want: f64) {
        assert!((got - want).abs() <= 1e-5 * want.abs(), "got {got}, want {want}");
    }

    const FORTY: Charger =
        Charger { dc_current: 40.0, dc_voltage: 14.4, efficiency: 0.85, power_factor: 1.0, ac_voltage: 120.0 };

    #[test]
    fn a_forty_ampere_charger_takes_under_six_or_over_eight_amperes() {
        // By hand: 40 * 14.4 / (0.85 * 120), and over 0.7 for a poor power factor.
        near(charger_input(&FORTY).unwrap(), 5.647_06);
        near(breaker_for_continuous(charger_input(&FORTY).unwrap()), 7.058_82);
        near(charger_input(&Charger { power_factor: 0.7, ..FORTY }).unwrap(), 8.067_23);
        assert_eq!(charger_input(&Charger { power_factor: 0.0, ..FORTY }), None);
    }

    #[test]
    fn a_fifteen_ampere_breaker_carries_twelve_continuously() {
        // NEC 210.20(A): the usual reading is 12 A on 15, 16 on 20, 24 on 30.
        for (load, breaker) in [(12.0, 15.0), (16.0, 20.0), (24.0, 30.0)] {
            near(breaker_for_continuous(load), breaker);
        }
    }

    #[test]
    fn the_largest_charger_loads_its_breaker_to_four_fifths() {
        let charger = Charger { power_factor: 0.7, ..FORTY };
        let dc_current = largest_charger(&charger, 15.0).unwrap();
        near(charger_input(&Charger { dc_current, ..charger }).unwrap(), 12.0);
        assert_eq!(largest_charger(&Charger { dc_voltage: 0.0, ..charger }, 15.0), None);
    }
}
