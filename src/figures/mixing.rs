//! Mixing bleach with water and soap: dilution, metering, batches, how far a mix goes and how long it lasts.
//!
//! Strengths are available chlorine in kg/m3 (g/L), which adds by volume; see [`super::bleach`]. The volumes of bleach and
//! water add to within 0.02 %, so no contraction is taken.
//!
//! [`safekeeping`] holds what stands ready for the mix that goes astray: neutraliser, containment, eyewash, air gap.

use super::bleach::{density, keeping};

pub mod safekeeping;

/// A volume of solution and its strength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Volume, m3.
    pub volume: f64,
    /// Available chlorine, kg/m3; zero for water and soap.
    pub chlorine: f64,
}

/// Flows in use through the branches of a proportioner, m3/s: measured at the branch, not the numbers on its dials.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BranchFlows {
    /// Flow of bleach, m3/s.
    pub bleach: f64,
    /// Flow of soap, m3/s.
    pub soap: f64,
    /// Flow of water, m3/s.
    pub water: f64,
}

/// What goes into a batch, m3 each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Batch {
    /// Bleach, m3.
    pub bleach: f64,
    /// Soap, m3.
    pub soap: f64,
    /// Water, m3.
    pub water: f64,
}

/// Strength (kg/m3) of parts poured together: `sum(g V) / sum(V)`.
///
/// Exact for trade percent and g/L. `None` when the volumes do not add to more than zero. Rises with the strength of every
/// part; rises with the volume of a part stronger than the mix, falls with that of a weaker one.
#[must_use]
pub fn mixed_strength(parts: &[Part]) -> Option<f64> {
    let volume: f64 = parts.iter().map(|part| part.volume).sum();
    let chlorine: f64 = parts.iter().map(|part| part.volume * part.chlorine).sum();
    (volume > 0.0).then(|| chlorine / volume)
}

/// Weight percent of masses put together, each a pair of kg and weight percent: `sum(m w) / sum(m)`. Exact.
///
/// `None` when the masses do not add to more than zero. Rises with every percentage; for masses as [`mixed_strength`] for
/// volumes.
#[must_use]
pub fn mixed_weight_percent(masses: &[(f64, f64)]) -> Option<f64> {
    let mass: f64 = masses.iter().map(|(mass, _)| mass).sum();
    let held: f64 = masses.iter().map(|(mass, percent)| mass * percent).sum();
    (mass > 0.0).then(|| held / mass)
}

/// Volumes of water for one volume of bleach to come from weight percent `has` to weight percent `wanted`.
///
/// `SG (has / wanted - 1)` with `gravity` the specific gravity of the bleach; the usual rule by volume leaves the gravity out
/// and makes the mix too strong. `None` when `wanted` is not above zero or is above `has`. Rises with `gravity` and `has`,
/// falls with `wanted`.
#[must_use]
pub fn water_for_weight_percent(gravity: f64, has: f64, wanted: f64) -> Option<f64> {
    (wanted > 0.0 && wanted <= has).then(|| gravity * (has / wanted - 1.0))
}

/// Strength (kg/m3) at the surface from branch flows: `g q_b / (q_b + q_s + q_w)`.
///
/// `None` when nothing flows. Rises with the bleach's strength and flow, falls with the flows of soap and water.
#[must_use]
pub fn metered_strength(chlorine: f64, flows: &BranchFlows) -> Option<f64> {
    let all = flows.bleach + flows.soap + flows.water;
    (all > 0.0).then(|| chlorine * flows.bleach / all)
}

/// Flow of water (m3/s) that brings metered bleach down to `wanted` kg/m3: `g q_b / g_t - q_b - q_s`.
///
/// `None` when `wanted` is not above zero, or cannot be had because the mix is weaker already without water. Rises with the
/// strength and flow of bleach, falls with `wanted` and the flow of soap.
#[must_use]
pub fn water_flow_for(chlorine: f64, bleach_flow: f64, soap_flow: f64, wanted: f64) -> Option<f64> {
    let water = chlorine * bleach_flow / wanted - bleach_flow - soap_flow;
    (wanted > 0.0 && water >= 0.0).then_some(water)
}

/// Fraction of a mix that must be bleach of `chlorine` kg/m3 to reach `wanted` kg/m3: `g_t / g_b`.
///
/// `None` when it leaves no room for the `soap` fraction (x > 1 - s), or the bleach has no strength. Rises with `wanted`,
/// falls with `chlorine`.
#[must_use]
pub fn bleach_fraction(chlorine: f64, wanted: f64, soap: f64) -> Option<f64> {
    let fraction = wanted / chlorine;
    (chlorine > 0.0 && wanted >= 0.0 && fraction <= 1.0 - soap).then_some(fraction)
}

/// Largest soap fraction that still leaves room to reach `wanted` kg/m3: `1 - g_t / g_b`.
///
/// `None` when even neat bleach is too weak. Rises with `chlorine`, falls with `wanted`.
#[must_use]
pub fn most_soap(chlorine: f64, wanted: f64) -> Option<f64> {
    bleach_fraction(chlorine, wanted, 0.0).map(|fraction| 1.0 - fraction)
}

/// Strongest mix (kg/m3) with the water branch shut: `g_b (1 - s)`. Rises with `chlorine`, falls with the `soap` fraction.
#[must_use]
pub fn strongest_mix(chlorine: f64, soap: f64) -> f64 {
    chlorine * (1.0 - soap)
}

/// Strength (kg/m3) past an injector that draws one part of bleach to `ratio` parts of water: `g_b / (1 + R)`.
///
/// `ratio` is the one measured at the hose and nozzle in use; it falls with hose length, height, small nozzles and clogging.
/// `None` for a negative ratio. Rises with `chlorine`, falls with `ratio`.
#[must_use]
pub fn injected_strength(chlorine: f64, ratio: f64) -> Option<f64> {
    (ratio >= 0.0).then(|| chlorine / (1.0 + ratio))
}

/// Largest ratio of water to bleach at which an injector still reaches `wanted` kg/m3: `g_b / g_t - 1`.
///
/// `None` when neat bleach is too weak or `wanted` is not above zero. Rises with `chlorine`, falls with `wanted`.
#[must_use]
pub fn largest_injector_ratio(chlorine: f64, wanted: f64) -> Option<f64> {
    (wanted > 0.0 && wanted <= chlorine).then(|| chlorine / wanted - 1.0)
}

/// What a batch of `volume` m3 at `wanted` kg/m3 takes, with the `soap` fraction by volume; water fills the rest.
///
/// `None` as [`bleach_fraction`]. Bleach rises with `volume` and `wanted` and falls with `chlorine`; water the other way in
/// the strengths.
#[must_use]
pub fn batch(volume: f64, chlorine: f64, wanted: f64, soap: f64) -> Option<Batch> {
    let fraction = bleach_fraction(chlorine, wanted, soap)?;
    Some(Batch { bleach: volume * fraction, soap: volume * soap, water: volume * (1.0 - fraction - soap) })
}

/// Batch table: one row for each source strength, one column for each wanted strength (kg/m3), volumes of bleach in m3.
///
/// A cell is `None` where the source is too weak. Monotone as [`batch`].
#[must_use]
pub fn batch_table(volume: f64, sources: &[f64], wanted: &[f64]) -> Vec<Vec<Option<f64>>> {
    let cell = |source: f64, target: f64| bleach_fraction(source, target, 0.0).map(|fraction| volume * fraction);
    sources.iter().map(|source| wanted.iter().map(|target| cell(*source, *target)).collect()).collect()
}

/// Metering table: for each wanted strength (kg/m3) the branch flows (m3/s) that share `total` with the `soap` fraction.
///
/// A row is `None` where the bleach is too weak. Use it to set valves by a bucket test, not by dial numbers.
#[must_use]
pub fn metering_table(total: f64, chlorine: f64, soap: f64, wanted: &[f64]) -> Vec<Option<BranchFlows>> {
    let row = |target: f64| {
        let parts = batch(total, chlorine, target, soap)?;
        Some(BranchFlows { bleach: parts.bleach, soap: parts.soap, water: parts.water })
    };
    wanted.iter().map(|target| row(*target)).collect()
}

/// Volume of mix (m3) that `bleach` m3 of bleach makes at `wanted` kg/m3: `V g_b / g_t`.
///
/// `None` when neat bleach is too weak or `wanted` is not above zero. Rises with `bleach` and `chlorine`, falls with
/// `wanted`.
#[must_use]
pub fn mix_from_bleach(bleach: f64, chlorine: f64, wanted: f64) -> Option<f64> {
    (wanted > 0.0 && wanted <= chlorine).then(|| bleach * chlorine / wanted)
}

/// Area (m2) that `volume` m3 of mix covers at `coverage` m3/m2 (metres of liquid laid down; 1 gal/100 sq ft is 0.407 mm).
///
/// `None` when `coverage` is not above zero. Rises with `volume`, falls with `coverage`.
#[must_use]
pub fn area_covered(volume: f64, coverage: f64) -> Option<f64> {
    (coverage > 0.0).then(|| volume / coverage)
}

/// Volume of mix (m3) for `area` m2 at `coverage` m3/m2. Rises with both.
#[must_use]
pub fn mix_for_area(area: f64, coverage: f64) -> f64 {
    area * coverage
}

/// A mix left standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandingMix {
    /// Available chlorine of the bleach when it was delivered, kg/m3.
    pub delivered: f64,
    /// Excess caustic of the bleach when it was delivered, weight percent NaOH.
    pub caustic: f64,
    /// Available chlorine of the bleach when it was mixed, kg/m3.
    pub chlorine: f64,
    /// Fraction of the mix that is bleach, by volume.
    pub fraction: f64,
    /// Temperature of the mix, degC.
    pub temperature: f64,
    /// Loss rate of the mix over that of clean bleach: see [`keeping::REAL_PRODUCT_FACTOR`].
    pub factor: f64,
}

/// Strength (kg/m3) of a mix after standing for `seconds`.
///
/// Diluting cuts the strength and the salt alike, so the loss slows more than in proportion. **Upper bound**: soap, dirt and
/// tap water can use up chlorine that no formula foretells, and mixes under 50 kg/m3 extrapolate the rate law. Rises with
/// `chlorine`; falls with `delivered`, `caustic`, temperature, factor and time. Not monotone in `fraction`: it rises to one
/// maximum and falls beyond, so its least over a range lies at an end (see [`keeping::strength_after`]).
///
/// Source: rate law of Adam and Gordon 1999, see [`keeping`].
#[must_use]
pub fn standing_mix_strength(mix: &StandingMix, seconds: f64) -> f64 {
    let keeping = keeping::Keeping {
        chlorine: mix.chlorine * mix.fraction,
        ionic_strength: keeping::ionic_strength(mix.delivered, mix.caustic) * mix.fraction,
        temperature: mix.temperature,
        factor: mix.factor,
    };
    keeping::strength_after(&keeping, seconds)
}

/// Mass (kg) of a batch: bleach at its density, soap and water as water.
///
/// `chlorine` and `caustic` are those of the bleach as delivered. Rises with every input.
#[must_use]
pub fn batch_mass(batch: &Batch, chlorine: f64, caustic: f64) -> f64 {
    batch.bleach * density(chlorine, caustic) + (batch.soap + batch.water) * density(0.0, 0.0)
}

#[cfg(test)]
mod tests {
    use super::super::bleach::{
        USUAL_CAUSTIC, from_weight_percent_hypochlorite, specific_gravity, to_trade_percent,
        to_weight_percent_hypochlorite,
    };
    use super::*;

    const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;
    const SQUARE_FOOT: f64 = 0.3048 * 0.3048;
    const DAY: f64 = 86_400.0;

    #[track_caller]
    fn near(found: f64, wanted: f64, relative: f64) {
        assert!((found / wanted - 1.0).abs() <= relative, "found {found}, wanted {wanted} within {relative}");
    }

    #[test]
    fn one_to_one_halves_trade_percent() {
        // By hand, volumes additive; a density balance gives 6.251.
        let parts = [Part { volume: 1.0, chlorine: 125.0 }, Part { volume: 1.0, chlorine: 0.0 }];
        near(to_trade_percent(mixed_strength(&parts).unwrap()), 6.251, 3e-4);
        assert_eq!(mixed_strength(&[]), None);
    }

    #[test]
    fn weight_percent_does_not_dilute_by_volume() {
        // Mass balance by hand: 1.1666 parts at 11.27 % with one part of water.
        let bleach = density(125.0, USUAL_CAUSTIC);
        let water = density(0.0, 0.0);
        let neat = to_weight_percent_hypochlorite(125.0, USUAL_CAUSTIC);
        near(mixed_weight_percent(&[(bleach, neat), (water, 0.0)]).unwrap(), 6.068, 1e-3);
        // 12.5 wt% NaOCl with three parts of water: 12.5 x 1.188 / 4.188, where the rule by volume says 3.125.
        let strong = from_weight_percent_hypochlorite(12.5, USUAL_CAUSTIC).unwrap();
        let mixed = mixed_weight_percent(&[(density(strong, USUAL_CAUSTIC), 12.5), (3.0 * water, 0.0)]).unwrap();
        near(mixed, 3.552, 3e-3);
        assert_eq!(mixed_weight_percent(&[(0.0, 5.0)]), None);
    }

    #[test]
    fn weight_targets_take_more_water_than_the_volume_rule_says() {
        // SG 1.1881 x (12.5 / 1 - 1) and x (12.5 / 3 - 1), by hand; the rule says 11.5 and 3.167.
        let strong = from_weight_percent_hypochlorite(12.5, USUAL_CAUSTIC).unwrap();
        let gravity = specific_gravity(strong, USUAL_CAUSTIC);
        near(water_for_weight_percent(gravity, 12.5, 1.0).unwrap(), 13.663, 1e-3);
        near(water_for_weight_percent(gravity, 12.5, 3.0).unwrap(), 3.762, 1e-3);
        assert_eq!(water_for_weight_percent(gravity, 12.5, 13.0), None);
        assert_eq!(water_for_weight_percent(gravity, 12.5, 0.0), None);
    }

    #[test]
    fn water_for_weight_percent_agrees_with_the_mass_balance() {
        let strong = from_weight_percent_hypochlorite(10.0, 0.5).unwrap();
        let water = water_for_weight_percent(specific_gravity(strong, 0.5), 10.0, 4.0).unwrap();
        let masses = [(density(strong, 0.5), 10.0), (water * density(0.0, 0.0), 0.0)];
        near(mixed_weight_percent(&masses).unwrap(), 4.0, 1e-12);
    }

    #[test]
    fn meters_share_the_flow() {
        // By hand: 12.5 x 1.5 / 5.5, 10 x 1.5 / 5.5, 12.5 x 5.3 / 5.5.
        let flows = BranchFlows { bleach: 1.5, soap: 0.2, water: 3.8 };
        near(metered_strength(125.0, &flows).unwrap(), 34.09, 1e-3);
        near(metered_strength(100.0, &flows).unwrap(), 27.27, 1e-3);
        let shut = BranchFlows { bleach: 5.3, soap: 0.2, water: 0.0 };
        near(metered_strength(125.0, &shut).unwrap(), 120.45, 1e-3);
        near(strongest_mix(125.0, 0.2 / 5.5), 120.45, 1e-3);
        assert_eq!(metered_strength(125.0, &BranchFlows { bleach: 0.0, soap: 0.0, water: 0.0 }), None);
    }

    #[test]
    fn water_flow_undoes_metering() {
        let water = water_flow_for(125.0, 1.5, 0.2, 34.09).unwrap();
        near(water, 3.8, 1e-3);
        assert_eq!(water_flow_for(125.0, 1.5, 0.2, 120.0), None);
        assert_eq!(water_flow_for(125.0, 1.5, 0.2, 0.0), None);
    }

    #[test]
    fn aged_bleach_needs_a_larger_share() {
        // By hand: 3 / 12.5, 3 / 10.5, 3 / 9.
        for (chlorine, fraction) in [(125.0, 0.24), (105.0, 0.2857), (90.0, 0.3333)] {
            near(bleach_fraction(chlorine, 30.0, 0.02).unwrap(), fraction, 1e-3);
        }
        assert_eq!(bleach_fraction(125.0, 123.0, 0.02), None);
        assert_eq!(bleach_fraction(0.0, 0.0, 0.0), None);
        near(most_soap(125.0, 120.0).unwrap(), 0.04, 1e-9);
        assert_eq!(most_soap(100.0, 120.0), None);
    }

    #[test]
    fn injectors_weaken_by_their_ratio() {
        // By hand: 12.5 / (1 + R) and 10 / (1 + R).
        for (ratio, strong, weak) in [
            (4.0, 2.5, 2.0),
            (7.0, 1.563, 1.25),
            (8.0, 1.389, 1.111),
            (10.0, 1.136, 0.909),
            (12.0, 0.962, 0.769),
            (15.0, 0.781, 0.625),
            (20.0, 0.595, 0.476),
        ] {
            near(to_trade_percent(injected_strength(125.0, ratio).unwrap()), strong, 1e-3);
            near(to_trade_percent(injected_strength(100.0, ratio).unwrap()), weak, 1e-3);
            near(largest_injector_ratio(125.0, injected_strength(125.0, ratio).unwrap()).unwrap(), ratio, 1e-12);
        }
        assert_eq!(injected_strength(125.0, -1.0), None);
        assert_eq!(largest_injector_ratio(100.0, 120.0), None);
    }

    #[test]
    fn batch_table_lists_gallons_in_a_hundred() {
        // By hand: 100 x target / source.
        let table = batch_table(100.0, &[125.0, 105.0, 90.0, 80.0], &[5.0, 10.0, 30.0, 60.0, 100.0]);
        let wanted =
            [[4.0, 8.0, 24.0, 48.0], [4.8, 9.5, 28.6, 57.1], [5.6, 11.1, 33.3, 66.7], [6.25, 12.5, 37.5, 75.0]];
        for (row, expected) in table.iter().zip(wanted) {
            for (cell, gallons) in row.iter().zip(expected) {
                assert!((cell.unwrap() - gallons).abs() <= 0.05);
            }
        }
        assert_eq!(table[2][4], None);
    }

    #[test]
    fn a_batch_fills_its_tank_and_keeps_its_chlorine() {
        let parts = batch(0.2, 125.0, 30.0, 0.02).unwrap();
        near(parts.bleach + parts.soap + parts.water, 0.2, 1e-12);
        near(parts.bleach * 125.0, 0.2 * 30.0, 1e-12);
        near(batch_mass(&parts, 0.0, 0.0), 0.2 * 998.207, 1e-12);
        assert!(batch_mass(&parts, 125.0, 0.2) > 0.2 * 998.207);
        let table = metering_table(1.0, 125.0, 0.02, &[30.0, 124.0]);
        near(metered_strength(125.0, &table[0].unwrap()).unwrap(), 30.0, 1e-12);
        assert_eq!(table[1], None);
    }

    #[test]
    fn fifty_five_gallons_do_a_good_many_roofs() {
        // By hand: 55 x 12.5 / 3 = 229.2 gal, / 10: 183.3, / 8: 146.7; at 1 gal/100 sq ft 22 917 sq ft.
        for (chlorine, gallons) in [(125.0, 229.2), (100.0, 183.3), (80.0, 146.7)] {
            near(mix_from_bleach(55.0 * GALLON, chlorine, 30.0).unwrap() / GALLON, gallons, 1e-3);
        }
        let coverage = GALLON / (100.0 * SQUARE_FOOT);
        near(coverage, 0.407e-3, 2e-3);
        let mix = mix_from_bleach(55.0 * GALLON, 125.0, 30.0).unwrap();
        let area = area_covered(mix, coverage).unwrap();
        near(area / SQUARE_FOOT, 22_917.0, 1e-3);
        near(mix_for_area(area, coverage), mix, 1e-12);
        assert_eq!(area_covered(mix, 0.0), None);
        assert_eq!(mix_from_bleach(1.0, 20.0, 30.0), None);
    }

    #[test]
    fn a_one_to_one_mix_keeps_nearly_four_times_as_long() {
        // AWWA B300 addendum 2011, appendix A, recommends diluting on receipt. By hand from the rate law of Adam and
        // Gordon 1999: half the strength and half the ionic strength give 2 x 10^(0.149 x 1.792) = 3.698 half-lives.
        let mix = StandingMix {
            delivered: 125.0,
            caustic: 0.2,
            chlorine: 125.0,
            fraction: 0.5,
            temperature: 25.0,
            factor: 1.0,
        };
        near(standing_mix_strength(&mix, 188.7 * 3.698 * DAY), 31.25, 5e-3);
        near(standing_mix_strength(&mix, 0.0), 62.5, 1e-12);
    }
}
