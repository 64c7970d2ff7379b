//! Sodium hypochlorite: what a percentage on a label means and what the liquid weighs.
//!
//! One quantity is carried everywhere: **available chlorine in kg/m3, which is the same number as g/L**. It is the only
//! measure of strength that adds by volume. Every label is turned into it once, and turned back only to be shown.
//!
//! A bare "12.5 %" may be trade percent, weight percent sodium hypochlorite or weight percent available chlorine. They are
//! three different liquids; [`StrengthBasis::ALL`] lists the meanings so that an unstated one can be tried under each.
//!
//! Molar masses are from the IUPAC 2021 abridged standard atomic weights (Na 22.98977, O 15.999, Cl 35.45, H 1.008).
//!
//! [`keeping`] holds the loss of strength in storage and the oxygen it makes, [`freezing`] the freezing point.

pub mod freezing;
pub mod keeping;

#[cfg(test)]
mod reference;

/// Molar mass of sodium hypochlorite, NaOCl, g/mol (IUPAC 2021 abridged atomic weights).
pub const SODIUM_HYPOCHLORITE: f64 = 74.438_769_28;

/// Molar mass of chlorine, Cl2, g/mol (IUPAC 2021 abridged atomic weights).
pub const CHLORINE: f64 = 70.90;

/// Molar mass of sodium hydroxide, NaOH, g/mol (IUPAC 2021 abridged atomic weights).
pub const SODIUM_HYDROXIDE: f64 = 39.996_769_28;

/// Mass of sodium hypochlorite for each unit mass of available chlorine. Handbooks round it to 1.05.
pub const HYPOCHLORITE_PER_CHLORINE: f64 = SODIUM_HYPOCHLORITE / CHLORINE;

/// Density of water at 20 degC and 101.325 kPa, kg/m3 (IAPWS-95).
pub const WATER_DENSITY: f64 = 998.207;

/// Excess sodium hydroxide of ordinary trade bleach when the ticket does not say, weight percent. Common practice, no source.
pub const USUAL_CAUSTIC: f64 = 0.2;

/// Range of excess sodium hydroxide that trade bleach is sold with, weight percent. Common practice, no source.
pub const CAUSTIC_RANGE: (f64, f64) = (0.0, 1.0);

/// Relative uncertainty of [`density`]: 0.006 is plus or minus 0.6 % of the density.
///
/// Holds for 0 to 170 kg/m3 available chlorine and 15 to 25 degC. The largest miss against a published point that was not
/// used in the fit is 0.41 % (142 g/L, alkalinity about 1 %, printed specific gravity 1.196, a distributor's strength table).
pub const DENSITY_UNCERTAINTY: f64 = 0.006;

/// Relative uncertainty to add to [`DENSITY_UNCERTAINTY`] for liquid between 0 and 40 degC instead of 15 to 25 degC.
///
/// An engineering judgement: water itself is 0.17 % denser at 0 degC and 0.60 % lighter at 40 degC than at 20 degC.
pub const DENSITY_UNCERTAINTY_HOT_OR_COLD: f64 = 0.005;

/// Strongest solution the density fit speaks for, kg/m3 available chlorine.
pub const STRONGEST_IN_FIT: f64 = 170.0;

/// Rise of specific gravity for each kg/m3 of available chlorine, with the equal moles of salt made beside it.
const GRAVITY_PER_CHLORINE: f64 = 0.157 / 120.0;

/// Rise of specific gravity for each weight percent of excess sodium hydroxide.
const GRAVITY_PER_CAUSTIC: f64 = 0.011 / 0.73;

/// What the number on a bleach label counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StrengthBasis {
    /// Grams of available chlorine in 100 mL of solution: "trade percent", weight by volume.
    TradePercent,
    /// Grams of sodium hypochlorite in 100 g of solution.
    WeightPercentHypochlorite,
    /// Grams of available chlorine in 100 g of solution.
    WeightPercentChlorine,
    /// Grams of available chlorine in a litre of solution.
    GramsPerLitre,
}

impl StrengthBasis {
    /// The three meanings a bare percentage may have.
    pub const ALL: [Self; 3] = [Self::TradePercent, Self::WeightPercentHypochlorite, Self::WeightPercentChlorine];
}

/// Available chlorine (kg/m3) of a label: `number` in the unit of `basis`, `caustic` in weight percent excess NaOH.
///
/// `None` for a negative number or caustic, or a weight percentage beyond anything the density fit can mean (see
/// [`from_weight_percent_chlorine`]). Rises with `number`; rises with `caustic` for the weight bases, does not depend on
/// it for the others.
#[must_use]
pub fn available_chlorine(basis: StrengthBasis, number: f64, caustic: f64) -> Option<f64> {
    match basis {
        StrengthBasis::TradePercent => (number >= 0.0 && caustic >= 0.0).then(|| from_trade_percent(number)),
        StrengthBasis::GramsPerLitre => (number >= 0.0 && caustic >= 0.0).then_some(number),
        StrengthBasis::WeightPercentHypochlorite => from_weight_percent_hypochlorite(number, caustic),
        StrengthBasis::WeightPercentChlorine => from_weight_percent_chlorine(number, caustic),
    }
}

/// The label number in the unit of `basis` for `chlorine` kg/m3; the inverse of [`available_chlorine`].
///
/// Rises with `chlorine`. Falls with `caustic` for the weight bases.
#[must_use]
pub fn label_number(basis: StrengthBasis, chlorine: f64, caustic: f64) -> f64 {
    match basis {
        StrengthBasis::TradePercent => to_trade_percent(chlorine),
        StrengthBasis::GramsPerLitre => chlorine,
        StrengthBasis::WeightPercentHypochlorite => to_weight_percent_hypochlorite(chlorine, caustic),
        StrengthBasis::WeightPercentChlorine => to_weight_percent_chlorine(chlorine, caustic),
    }
}

/// Available chlorine (kg/m3) of a trade percentage: `10 t`, exact by definition. Rises with `percent`.
///
/// Source: White, *Handbook of Chlorination* (1972), definition of trade percent.
#[must_use]
pub fn from_trade_percent(percent: f64) -> f64 {
    10.0 * percent
}

/// Trade percentage of `chlorine` kg/m3: `g / 10`, exact by definition. Rises with `chlorine`.
#[must_use]
pub fn to_trade_percent(chlorine: f64) -> f64 {
    chlorine / 10.0
}

/// Available chlorine (kg/m3) of a weight percentage of available chlorine.
///
/// The density depends on the strength asked for, so `g = rho w / 100` with the density fit of [`specific_gravity`] is
/// solved in closed form: `rho = rho_w (1 + b A) / (1 - a rho_w w / 100)`. Rises with `percent` and with `caustic`.
///
/// Suppliers divide trade percent by specific gravity instead of by the density in kg/L; that short form reads 0.18 % lower
/// here and is inside [`DENSITY_UNCERTAINTY`]. The density is used so that masses balance.
///
/// `None` when either input is negative or the percentage is above 40, where no solution exists and the fit heads for its
/// pole.
#[must_use]
pub fn from_weight_percent_chlorine(percent: f64, caustic: f64) -> Option<f64> {
    if !(0.0..=40.0).contains(&percent) || !(0.0..=100.0).contains(&caustic) {
        return None;
    }
    let per_density = percent / 100.0;
    let density = WATER_DENSITY * (1.0 + GRAVITY_PER_CAUSTIC * caustic)
        / (1.0 - GRAVITY_PER_CHLORINE * WATER_DENSITY * per_density);
    Some(density * per_density)
}

/// Available chlorine (kg/m3) of a weight percentage of sodium hypochlorite. Rises with `percent` and with `caustic`.
///
/// `None` as for [`from_weight_percent_chlorine`].
#[must_use]
pub fn from_weight_percent_hypochlorite(percent: f64, caustic: f64) -> Option<f64> {
    from_weight_percent_chlorine(percent / HYPOCHLORITE_PER_CHLORINE, caustic)
}

/// Weight percent available chlorine of `chlorine` kg/m3: `100 g / rho`. Rises with `chlorine`, falls with `caustic`.
#[must_use]
pub fn to_weight_percent_chlorine(chlorine: f64, caustic: f64) -> f64 {
    100.0 * chlorine / density(chlorine, caustic)
}

/// Weight percent sodium hypochlorite of `chlorine` kg/m3. Rises with `chlorine`, falls with `caustic`.
#[must_use]
pub fn to_weight_percent_hypochlorite(chlorine: f64, caustic: f64) -> f64 {
    HYPOCHLORITE_PER_CHLORINE * to_weight_percent_chlorine(chlorine, caustic)
}

/// Moles of hypochlorite in a litre (mol/L = kmol/m3): one mole counts as one mole of Cl2. Rises with `chlorine`.
#[must_use]
pub fn molarity(chlorine: f64) -> f64 {
    chlorine / CHLORINE
}

/// Specific gravity of bleach at 20 degC against water at 20 degC: `1 + a g + b A`.
///
/// `chlorine` in kg/m3 (g/L), `caustic` in weight percent excess NaOH. Valid for 0 to 170 kg/m3 with
/// [`DENSITY_UNCERTAINTY`]. Rises with both.
///
/// Ageing does not change it: only a little oxygen leaves the tank, so use the strength **as delivered** for weight.
///
/// Source: fit through a bleach-equipment maker's published points (120 g/L: 1.157 without caustic, 1.168 with 0.73 %);
/// the other published points of that page and of two suppliers are the tests.
#[must_use]
pub fn specific_gravity(chlorine: f64, caustic: f64) -> f64 {
    1.0 + GRAVITY_PER_CHLORINE * chlorine + GRAVITY_PER_CAUSTIC * caustic
}

/// Density of bleach at 20 degC, kg/m3; inputs, validity and source as [`specific_gravity`]. Rises with both.
#[must_use]
pub fn density(chlorine: f64, caustic: f64) -> f64 {
    WATER_DENSITY * specific_gravity(chlorine, caustic)
}

/// Specific gravity that a polyethylene tank for bleach should be rated for: `max(1.2 SG, 1.9)`.
///
/// `gravity` is that of the contents. Rises with it, level at 1.9 up to 1.58. Source: tank suppliers' guidance for hypochlorite
/// under 15 % (1.9 or more); the factor 1.2 is a judgement. The tank maker's own figure governs.
#[must_use]
pub fn tank_gravity_needed(gravity: f64) -> f64 {
    (1.2 * gravity).max(1.9)
}

/// Mass of sodium hypochlorite (kg) in `volume` m3 of solution at `chlorine` kg/m3. Rises with both.
///
/// Taken from the available chlorine and not from a weight percentage, so it carries none of the density's uncertainty.
#[must_use]
pub fn hypochlorite_mass(chlorine: f64, volume: f64) -> f64 {
    HYPOCHLORITE_PER_CHLORINE * chlorine * volume
}

#[cfg(test)]
mod tests {
    use super::*;

    const POUND: f64 = 0.453_592_37;
    const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;

    #[track_caller]
    fn near(found: f64, wanted: f64, relative: f64) {
        assert!((found / wanted - 1.0).abs() <= relative, "found {found}, wanted {wanted} within {relative}");
    }

    #[test]
    fn hypochlorite_weighs_1_05_times_its_available_chlorine() {
        // White, Handbook of Chlorination: factor 1.05 (rounded).
        near(HYPOCHLORITE_PER_CHLORINE, 1.05, 5e-4);
        // molmass 2026.1.8: 74.442 and 70.906 (its chlorine is 35.453).
        near(SODIUM_HYPOCHLORITE, 74.442, 1e-4);
        near(CHLORINE, 70.906, 1e-4);
    }

    #[test]
    fn specific_gravity_meets_the_published_points() {
        // A bleach-equipment maker's specific gravity page, 120 g/L; the middle one was not used in the fit.
        near(specific_gravity(120.0, 0.0), 1.157, 1e-9);
        near(specific_gravity(120.0, 0.2), 1.160, 1e-4);
        near(specific_gravity(120.0, 0.73), 1.168, 1e-9);
        // A chemical distributor's strength table: 142 g/L, alkalinity 0.9 to 1.1, 1.196 and 9.96 lb/gal.
        near(specific_gravity(142.0, 1.0), 1.196, DENSITY_UNCERTAINTY);
        near(density(142.0, 1.0) * GALLON / POUND, 9.96, DENSITY_UNCERTAINTY);
        // A bleach maker's safety data sheet (2012): 14.15 wt% NaOCl, NaOH 0.2 to 2.0 %, 1.224 at 20 degC.
        let given = 1.224 * 141.5 / HYPOCHLORITE_PER_CHLORINE;
        assert!(specific_gravity(given, 0.2) < 1.224 && 1.224 < specific_gravity(given, 2.0));
        // A maker's specification for 5 to 6 % w/v, free alkali 4 g/L (0.37 wt%): at least 1.08.
        near(specific_gravity(55.0, 0.37), 1.08, DENSITY_UNCERTAINTY);
    }

    #[test]
    fn water_density_is_the_iapws_value() {
        // IAPWS-95 through the library chemicals 1.5.2, 293.15 K and 101325 Pa: 998.21 kg/m3.
        near(density(0.0, 0.0), 998.21, 1e-5);
    }

    #[test]
    fn distributor_table_weight_percentages_come_back() {
        // A chemical distributor's strength table prints 142 g/L at 1.196 as 11.9 wt% available chlorine, 12.5 wt% NaOCl.
        let by_hand = 142.0 / (1.196 * 9.98207);
        near(to_weight_percent_chlorine(142.0, 1.0), by_hand, DENSITY_UNCERTAINTY);
        near(by_hand, 11.9, 0.05 / 11.9);
        near(by_hand * HYPOCHLORITE_PER_CHLORINE, 12.5, 0.05 / 12.5);
    }

    #[test]
    fn trade_percent_converts_as_the_handbook_rule_says() {
        // White, Handbook of Chlorination: weight percent = trade percent / specific gravity, NaOCl = 1.05 times that.
        // By hand with the specific gravity at 0.2 % caustic; the rule reads 0.18 % low because it divides by gravity.
        for (trade, gravity, hypochlorite) in [(12.5, 1.1666, 11.250), (10.0, 1.1338, 9.260), (16.0, 1.2123, 13.856)] {
            let chlorine = from_trade_percent(trade);
            near(specific_gravity(chlorine, USUAL_CAUSTIC), gravity, 1e-4);
            near(to_weight_percent_hypochlorite(chlorine, USUAL_CAUSTIC), hypochlorite, 2e-3);
        }
        // 125 / 70.9 mol/L, by hand.
        near(molarity(125.0), 1.7630, 1e-4);
    }

    #[test]
    fn weight_percent_labels_are_stronger_than_they_look() {
        // By hand: w = g / rho with the gravity fit, solved by repeated substitution.
        let from_hypochlorite = |percent| to_trade_percent(from_weight_percent_hypochlorite(percent, 0.2).unwrap());
        near(from_hypochlorite(12.5), 14.145, 3e-3);
        near(from_hypochlorite(8.25), 8.785, 3e-3);
        near(from_hypochlorite(6.0), 6.195, 3e-3);
        near(to_trade_percent(from_weight_percent_chlorine(10.0, 0.2).unwrap()), 11.540, 3e-3);
        // Household 5.25 wt% NaOCl is the "5 % available chlorine" of old textbooks.
        let household = from_weight_percent_hypochlorite(5.25, 0.2).unwrap();
        near(to_weight_percent_chlorine(household, 0.2), 5.0, 5e-4);
    }

    #[test]
    fn a_full_55_gallon_tank_weighs_far_more_than_water() {
        // By hand: 55 gal x 3.785412 L x 0.998207 x gravity; water 458.2 lb.
        let pounds = |chlorine: f64, caustic: f64| 55.0 * GALLON * density(chlorine, caustic) / POUND;
        near(pounds(0.0, 0.0), 458.2, 1e-4);
        near(pounds(125.0, 0.2), 534.5, 1e-3);
        near(pounds(from_weight_percent_hypochlorite(12.5, 0.2).unwrap(), 0.2), 544.3, 1e-3);
        // The unstated basis spans 533 to 556 lb.
        let all: Vec<f64> = StrengthBasis::ALL
            .into_iter()
            .flat_map(|basis| [0.0, 1.0].map(|caustic| (available_chlorine(basis, 12.5, caustic).unwrap(), caustic)))
            .map(|(chlorine, caustic)| pounds(chlorine, caustic))
            .collect();
        near(all.iter().copied().fold(f64::INFINITY, f64::min), 533.0, 2e-3);
        near(all.iter().copied().fold(0.0, f64::max), 556.0, 2e-3);
    }

    #[test]
    fn weight_percent_times_weight_is_the_hypochlorite_mass() {
        let (chlorine, caustic, volume) = (from_weight_percent_hypochlorite(12.5, 0.4).unwrap(), 0.4, 0.2);
        near(hypochlorite_mass(chlorine, volume), 0.125 * density(chlorine, caustic) * volume, 1e-12);
    }

    #[test]
    fn bleach_tanks_are_rated_1_9() {
        // A tank supplier's page for hypochlorite under 15 %: wall rated 1.9 specific gravity or more.
        assert!((tank_gravity_needed(specific_gravity(125.0, 0.2)) - 1.9).abs() < 1e-12);
        assert!(tank_gravity_needed(1.7) > 1.9);
    }

    #[test]
    fn labels_go_there_and_back() {
        for basis in [StrengthBasis::GramsPerLitre].into_iter().chain(StrengthBasis::ALL) {
            for number in [0.5, 3.0, 12.5, 15.0] {
                let chlorine = available_chlorine(basis, number, 0.7).unwrap();
                near(label_number(basis, chlorine, 0.7), number, 1e-12);
            }
        }
    }

    #[test]
    fn strengths_outside_reason_have_no_answer() {
        assert_eq!(available_chlorine(StrengthBasis::WeightPercentChlorine, 60.0, 0.2), None);
        assert_eq!(available_chlorine(StrengthBasis::TradePercent, -1.0, 0.2), None);
        assert_eq!(from_weight_percent_hypochlorite(12.5, -0.1), None);
        assert_eq!(from_weight_percent_hypochlorite(f64::NAN, 0.1), None);
    }
}
