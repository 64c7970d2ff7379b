//! Loss of bleach strength in storage, and the oxygen the loss makes.
//!
//! Bleach loses strength mainly by 3 OCl- -> ClO3- + 2 Cl-, second order in hypochlorite, and a little by
//! 2 OCl- -> 2 Cl- + O2. The rate constant is that of Adam and Gordon, *Inorg. Chem.* 38 (1999) 1299-1304
//! (10.1021/ic980020q): 15 to 55 degC, ionic strength 1 to 6 mol/L, 0.7 to 3.0 mol/L hypochlorite, 0.001 to 1.0 mol/L
//! hydroxide, no catalytic metal. Below 0.7 mol/L (trade 5 %) it extrapolates.
//!
//! The constant is used as the loss constant of hypochlorite. Read as the constant of the slow step the loss would be three
//! times as fast, which contradicts the published storage tables by a factor of 2 to 4.
//!
//! Copper, nickel, cobalt or a pH under 11 make any of these figures an upper bound on strength and a lower bound on
//! oxygen: nobody can predict how much.

use super::{CHLORINE, SODIUM_HYDROXIDE, density, molarity};

/// Low, middle and high ratio of the loss rate of real trade bleach to that of clean bleach.
///
/// An engineering judgement: published storage tables imply 0.8 to 1.6.
pub const REAL_PRODUCT_FACTOR: (f64, f64, f64) = (0.8, 1.3, 1.6);

/// Low and high further multiplier of the loss rate for a translucent tank in the sun. From memory: handbooks say that sun
/// cuts the half-life of 10 to 15 % bleach three to four times.
pub const SUN_FACTOR: (f64, f64) = (1.0, 4.0);

/// Moles of oxygen for each mole of hypochlorite lost in clean bleach.
///
/// Chlorate forms 8.7 times as fast as oxygen (Adam and Gordon 1999), taking three hypochlorite where oxygen takes two. It
/// cannot be more than one half.
pub const OXYGEN_PER_HYPOCHLORITE_LOST: f64 = 1.0 / (3.0 * 8.7 + 2.0);

/// Molar gas constant, J/(mol K), exact since 2019.
const GAS_CONSTANT: f64 = 8.314_462_618;

/// Seconds in a day: bleach is dosed, dated and delivered by the day.
const DAY: f64 = 86_400.0;

/// One standard atmosphere, Pa.
const ATMOSPHERE: f64 = 101_325.0;

/// Bleach standing at a constant temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Keeping {
    /// Available chlorine at the start, kg/m3 (g/L).
    pub chlorine: f64,
    /// Ionic strength, mol/L, from [`ionic_strength`] of the bleach **as delivered**. Ageing does not change it, because
    /// every product is a salt of single charges; diluting does, in proportion.
    pub ionic_strength: f64,
    /// Temperature of the liquid, degC. For a daily swing use [`equivalent_temperature`].
    pub temperature: f64,
    /// Loss rate of this product over that of clean bleach: see [`REAL_PRODUCT_FACTOR`] and [`SUN_FACTOR`].
    pub factor: f64,
}

/// Ionic strength (mol/L) of bleach as delivered: `2 C + [NaOH]`, the 2 for the equal mole of salt.
///
/// `chlorine` in kg/m3, `caustic` in weight percent excess NaOH. Rises with both. Bleach made by electrolysis holds more
/// salt than this.
#[must_use]
pub fn ionic_strength(chlorine: f64, caustic: f64) -> f64 {
    let hydroxide = caustic / 100.0 * density(chlorine, caustic) / SODIUM_HYDROXIDE;
    2.0 * molarity(chlorine) + hydroxide
}

/// Second-order loss constant of clean bleach, L/(mol s), at `temperature` degC and `ionic_strength` mol/L.
///
/// `log10 k = 0.149 mu + log10[2.083e10 T exp(-1.018e5 / RT) exp(-56.5 / R)]`. Rises with both. Validity and source: head
/// of this module.
#[must_use]
pub fn rate_constant(temperature: f64, ionic_strength: f64) -> f64 {
    let kelvin = temperature + 273.15;
    let barrier = (-1.018e5 / (GAS_CONSTANT * kelvin)).exp() * (-56.5 / GAS_CONSTANT).exp();
    10_f64.powf(0.149 * ionic_strength) * 2.083e10 * kelvin * barrier
}

/// Time (s) until half the strength is gone: `1 / (F k C0)`. The next halving takes twice as long.
///
/// Falls with every input. `None` when the strength or the factor is not above zero: nothing is lost then.
#[must_use]
pub fn half_life(keeping: &Keeping) -> Option<f64> {
    let rate = loss_per_second(keeping);
    (rate > 0.0).then(|| 1.0 / rate)
}

/// Available chlorine (kg/m3) left after `seconds`: `C0 / (1 + F k C0 t)`.
///
/// Rises with the starting strength when the ionic strength is held; falls with ionic strength, temperature, factor and
/// time. **Not monotone in the delivered strength when ionic strength goes with it**: kept long enough, the stronger
/// delivery ends weaker. It then has one maximum, at [`delivery_that_keeps_most`], so the least over a range of deliveries
/// lies at an end of the range.
#[must_use]
pub fn strength_after(keeping: &Keeping, seconds: f64) -> f64 {
    keeping.chlorine / (1.0 + loss_per_second(keeping) * seconds)
}

/// Time (s) until the strength has fallen to `target` kg/m3: `(C0 / C - 1) half-life`.
///
/// `None` when the target is not above zero (never reached) or above the starting strength (never had), or nothing is
/// lost. Falls with temperature, factor, ionic strength and target; rises with the starting strength when the ionic strength
/// is held.
#[must_use]
pub fn time_to_fall_to(keeping: &Keeping, target: f64) -> Option<f64> {
    if target <= 0.0 || target > keeping.chlorine {
        return None;
    }
    half_life(keeping).map(|half| (keeping.chlorine / target - 1.0) * half)
}

/// The delivered strength (kg/m3) that leaves the most available chlorine after `seconds` at `temperature` degC.
///
/// Without excess caustic; one weight percent of caustic lowers the answer by about 3 % (through the ionic strength).
/// Searched between 0 and 1000 kg/m3 by bisection, since the slope of [`strength_after`] along the delivered strength
/// changes sign once. `None` when nothing is lost (zero time or factor). Falls with every input.
#[must_use]
pub fn delivery_that_keeps_most(temperature: f64, factor: f64, seconds: f64) -> Option<f64> {
    if factor <= 0.0 || seconds <= 0.0 {
        return None;
    }
    // d/dC [C / (1 + x)] is zero where x * C * d(ln k)/dC is 1, x being the relative loss F k C t.
    let slope_of_log_rate = 2.0 * 0.149 * std::f64::consts::LN_10 / CHLORINE;
    let past_the_top = |chlorine: f64| {
        let keeping = Keeping { chlorine, ionic_strength: ionic_strength(chlorine, 0.0), temperature, factor };
        loss_per_second(&keeping) * seconds * chlorine * slope_of_log_rate > 1.0
    };
    let (mut low, mut high) = (0.0, 1000.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if past_the_top(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(0.5 * (low + high))
}

/// The constant temperature (degC) that costs as much strength as a daily sine of `mean` degC and `amplitude` K.
///
/// Solves `k(T) = average over the day of k(T(t))`; ionic strength cancels. The liquid lags the air, so an air amplitude
/// gives an upper bound. Rises with `mean` and with the size of `amplitude`; never below `mean`.
#[must_use]
pub fn equivalent_temperature(mean: f64, amplitude: f64) -> f64 {
    // Equal steps over a whole period converge faster than any power of the step for a smooth periodic function.
    let steps = 96;
    let average = (0..steps)
        .map(|step| mean + amplitude * (std::f64::consts::TAU * f64::from(step) / f64::from(steps)).sin())
        .map(|temperature| rate_constant(temperature, 0.0))
        .sum::<f64>()
        / f64::from(steps);
    let (mut low, mut high) = (mean, mean + amplitude.abs());
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if rate_constant(middle, 0.0) < average {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Oxygen made (mol/s) by `volume` m3 of bleach at its present strength: `0.0356 F k C^2 V`.
///
/// Rises with every input. A lower bound where metals are wetted.
#[must_use]
pub fn oxygen_make(keeping: &Keeping, volume: f64) -> f64 {
    let lost = loss_per_second(keeping) * molarity(keeping.chlorine);
    OXYGEN_PER_HYPOCHLORITE_LOST * lost * volume * 1000.0
}

/// Volume flow (m3/s) of `moles_per_second` of gas at one atmosphere and `temperature` degC (ideal gas). Rises with both.
#[must_use]
pub fn gas_flow(moles_per_second: f64, temperature: f64) -> f64 {
    moles_per_second * GAS_CONSTANT * (temperature + 273.15) / ATMOSPHERE
}

/// Pressure rise (Pa a day) in a shut tank whose gas space is `headspace` m3 (ideal gas, no yielding wall, no gas dissolved).
///
/// `None` without a gas space. Rises with the make and the temperature, falls with the headspace.
#[must_use]
pub fn pressure_rise_a_day(moles_per_second: f64, temperature: f64, headspace: f64) -> Option<f64> {
    let molar_energy = GAS_CONSTANT * (temperature + 273.15);
    (headspace > 0.0).then(|| moles_per_second * DAY * molar_energy / headspace)
}

/// Relative loss rate at the start, 1/s.
fn loss_per_second(keeping: &Keeping) -> f64 {
    keeping.factor * rate_constant(keeping.temperature, keeping.ionic_strength) * molarity(keeping.chlorine)
}

#[cfg(test)]
mod tests {
    use super::super::USUAL_CAUSTIC;
    use super::*;

    const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;
    const PSI: f64 = 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254);

    #[track_caller]
    fn near(found: f64, wanted: f64, relative: f64) {
        assert!((found / wanted - 1.0).abs() <= relative, "found {found}, wanted {wanted} within {relative}");
    }

    fn delivered(chlorine: f64, temperature: f64, factor: f64) -> Keeping {
        Keeping { chlorine, ionic_strength: ionic_strength(chlorine, USUAL_CAUSTIC), temperature, factor }
    }

    fn half_life_days(chlorine: f64, temperature: f64) -> f64 {
        half_life(&delivered(chlorine, temperature, 1.0)).unwrap() / DAY
    }

    #[test]
    fn rate_constant_is_that_of_adam_and_gordon() {
        // Adam and Gordon, Inorg. Chem. 38 (1999) 1299, the equation of the abstract evaluated with numpy 2.4.6.
        near(rate_constant(25.0, 3.584), 3.478e-8, 5e-4);
        near(rate_constant(20.0, 1.0), 6.995e-9, 5e-4);
        near(rate_constant(40.0, 5.0), 4.246e-7, 5e-4);
    }

    #[test]
    fn activation_energy_is_near_listers() {
        // Lister, Can. J. Chem. 34 (1956), abstract: 24.8 kcal/mol for the slow step; the Eyring barrier adds RT.
        let (cold, warm) = (rate_constant(20.0, 0.0), rate_constant(40.0, 0.0));
        let energy = GAS_CONSTANT * (warm / cold).ln() / (1.0 / 293.15 - 1.0 / 313.15);
        near(energy / 4184.0, 24.8, 0.02);
    }

    #[test]
    fn ionic_strength_counts_salt_and_caustic() {
        // By hand: 2 x 125 / 70.90 + 0.2 % x 1164.5 / 39.9968.
        near(ionic_strength(125.0, 0.2), 3.584, 5e-4);
        near(ionic_strength(100.0, 0.2), 2.877, 5e-4);
    }

    #[test]
    fn half_lives_lie_in_the_band_of_published_storage_tables() {
        // White, Handbook of Chlorination, half-life table, days, from memory; real product loses 0.8 to 1.6 times as fast.
        for (chlorine, temperature, days) in [
            (100.0, 25.0, 220.0),
            (100.0, 60.0, 3.5),
            (50.0, 25.0, 790.0),
            (50.0, 15.0, 5000.0),
            (50.0, 60.0, 13.0),
            (150.0, 25.0, 100.0),
        ] {
            let factor = half_life_days(chlorine, temperature) / days;
            let (low, _, high) = REAL_PRODUCT_FACTOR;
            assert!((low..=high).contains(&factor), "{chlorine} g/L at {temperature}: {factor}");
        }
        // The 15 degC row at 100 g/L (800 days) implies 1.62, just outside the band.
        near(half_life_days(100.0, 15.0) / 800.0, 1.62, 5e-3);
    }

    #[test]
    fn half_lives_are_those_of_the_integrated_rate_law() {
        // Rate law of Adam and Gordon integrated with scipy 1.17.1, days.
        near(half_life_days(125.0, 25.0), 188.7, 5e-3);
        near(half_life_days(125.0, 30.0), 94.3, 5e-3);
        near(half_life_days(125.0, 35.0), 48.2, 5e-3);
        near(strength_after(&delivered(125.0, 30.0, 1.0), 30.0 * DAY), 94.8, 5e-3);
        near(strength_after(&delivered(125.0, 30.0, 1.6), 30.0 * DAY), 82.8, 5e-3);
    }

    #[test]
    fn loss_agrees_with_a_published_pool_water_table() {
        // A public pool-water table for 12.5 trade percent at 80 degF: 11.69 after 7 d, 9.93 after 30 d, 7.48 after 90 d.
        let celsius = (80.0 - 32.0) / 1.8;
        for (days, left) in [(7.0, 116.9), (30.0, 99.3), (90.0, 74.8)] {
            let (low, _, high) = REAL_PRODUCT_FACTOR;
            let least = strength_after(&delivered(125.0, celsius, high), days * DAY);
            let most = strength_after(&delivered(125.0, celsius, low), days * DAY);
            assert!(least < left && left < most, "{days} d: {least} to {most}");
        }
    }

    #[test]
    fn days_to_ten_trade_percent_undo_the_loss() {
        // (12.5 / 10 - 1) half-lives.
        for (temperature, days) in [(20.0, 96.7), (25.0, 47.2), (30.0, 23.6), (35.0, 12.0), (40.0, 6.3)] {
            let keeping = delivered(125.0, temperature, 1.0);
            let seconds = time_to_fall_to(&keeping, 100.0).unwrap();
            near(seconds / DAY, days, 7e-3);
            near(strength_after(&keeping, seconds), 100.0, 1e-12);
        }
        assert_eq!(time_to_fall_to(&delivered(125.0, 20.0, 1.0), 130.0), None);
        assert_eq!(time_to_fall_to(&delivered(125.0, 20.0, 1.0), 0.0), None);
        assert_eq!(half_life(&delivered(0.0, 20.0, 1.0)), None);
    }

    #[test]
    fn ten_degrees_cost_what_suppliers_say() {
        // An equipment maker says 3.5 times for 10 K; an end-user storage guide says 2 to 4 times.
        near(rate_constant(35.0, 3.6) / rate_constant(25.0, 3.6), 3.92, 5e-3);
        near(rate_constant(40.0, 3.6) / rate_constant(30.0, 3.6), 3.75, 5e-3);
    }

    #[test]
    fn halving_the_strength_cuts_the_loss_by_seven() {
        // AWWA B300 addendum 2011, appendix A: about a factor of 7 with the salt effect (from memory); 4 without it
        // (Chlorine Institute dilution note, 2003).
        let rate = |chlorine: f64| {
            let keeping = delivered(chlorine, 25.0, 1.0);
            loss_per_second(&keeping) * molarity(chlorine)
        };
        near(rate(125.0) / rate(62.5), 7.33, 5e-3);
    }

    #[test]
    fn a_stronger_delivery_can_end_weaker() {
        // A hot half year: 150 g/L ends under 100 g/L. This is why the range of deliveries is not judged by its ends alone.
        let left = |chlorine| strength_after(&delivered(chlorine, 35.0, 1.0), 180.0 * DAY);
        assert!(left(150.0) < left(100.0));
        let top = delivery_that_keeps_most(35.0, 1.0, 180.0 * DAY).unwrap();
        let clean = |chlorine: f64| {
            let keeping =
                Keeping { chlorine, ionic_strength: ionic_strength(chlorine, 0.0), temperature: 35.0, factor: 1.0 };
            strength_after(&keeping, 180.0 * DAY)
        };
        assert!(clean(top) > clean(top * 1.02) && clean(top) > clean(top * 0.98));
        assert_eq!(delivery_that_keeps_most(35.0, 1.0, 0.0), None);
    }

    #[test]
    fn a_daily_swing_costs_more_than_its_mean() {
        // Mean of the rate over a sine by scipy 1.17.1 quad, root by brentq.
        near(equivalent_temperature(25.0, 8.0), 27.00, 5e-4);
        near(equivalent_temperature(30.0, 10.0), 32.92, 5e-4);
        near(equivalent_temperature(35.0, 12.0), 38.95, 5e-4);
        near(equivalent_temperature(30.0, 0.0), 30.0, 1e-9);
        near(equivalent_temperature(30.0, -10.0), equivalent_temperature(30.0, 10.0), 1e-12);
    }

    #[test]
    fn a_full_tank_makes_litres_of_oxygen_a_day() {
        // Rate law of Adam and Gordon with their 8.7 to 1 split, ideal gas, scipy 1.17.1 constants; 55 gal, 12.5 trade.
        let volume = 55.0 * GALLON;
        for (temperature, litres, psi) in
            [(20.0, 0.81, 1.15), (30.0, 3.45, 4.87), (35.0, 6.86, 9.68), (40.0, 13.4, 18.9)]
        {
            let make = oxygen_make(&delivered(125.0, temperature, 1.0), volume);
            near(gas_flow(make, temperature) * DAY * 1000.0, litres, 6e-3);
            near(pressure_rise_a_day(make, temperature, 0.05 * volume).unwrap() / PSI, psi, 6e-3);
        }
        near(oxygen_make(&delivered(125.0, 30.0, 1.0), volume) * DAY, 0.1385, 5e-3);
        assert_eq!(pressure_rise_a_day(1e-6, 30.0, 0.0), None);
    }
}
