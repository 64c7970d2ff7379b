//! Carrying bleach on the road: quantities against the limits of US 49 CFR and of ADR.
//!
//! These are sums, not legal advice. The rule text in force, the state, the product's safety data sheet and the shipper's
//! classification govern. Classification itself (is a weak mix still corrosive?) takes a test or a data sheet, not a sum.
//!
//! Rules print metric and customary figures that differ a little ("450 L (119 gallons)"). [`Limit`] keeps both, and a
//! quantity between them is [`Against::Between`]: call it undecided and quote both.

/// Mass of a pound, kg, exact.
const POUND: f64 = 0.453_592_37;

/// US gallon, m3, exact.
const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;

/// A limit that a rule prints in two units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// The metric figure, SI.
    pub metric: f64,
    /// The customary figure, turned into SI.
    pub customary: f64,
}

/// How a quantity stands against a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Against {
    /// Not above either figure.
    Within,
    /// Above one figure and not above the other.
    Between,
    /// Above both.
    Over,
}

impl Limit {
    /// Holds `quantity` against both figures. Goes from `Within` through `Between` to `Over` as the quantity rises.
    #[must_use]
    pub fn against(&self, quantity: f64) -> Against {
        match (quantity > self.metric, quantity > self.customary) {
            (false, false) => Against::Within,
            (true, true) => Against::Over,
            _ => Against::Between,
        }
    }

    /// The stricter figure.
    #[must_use]
    pub fn stricter(&self) -> f64 {
        self.metric.min(self.customary)
    }
}

/// Volume above which a liquid packaging is bulk, by capacity and not by content, m3: 450 L (119 gal), 49 CFR 171.8.
pub const BULK_CAPACITY: Limit = Limit { metric: 0.450, customary: 119.0 * GALLON };

/// Largest volume of a Class 8 PG II or III packaging of materials of trade, m3: 30 L (8 gal), 49 CFR 173.6(a)(1).
pub const TRADE_PACKAGE_VOLUME: Limit = Limit { metric: 0.030, customary: 8.0 * GALLON };

/// Largest gross mass of a Class 8 PG II or III packaging of materials of trade, kg: 30 kg (66 lb), 49 CFR 173.6(a)(1).
pub const TRADE_PACKAGE_MASS: Limit = Limit { metric: 30.0, customary: 66.0 * POUND };

/// Largest gross mass of all materials of trade on a vehicle, kg: 200 kg (440 lb), 49 CFR 173.6(d).
pub const TRADE_TOTAL_MASS: Limit = Limit { metric: 200.0, customary: 440.0 * POUND };

/// Gross mass of table 2 materials from which a non-bulk load is placarded, kg: 454 kg (1,001 lb), 49 CFR 172.504(c).
///
/// The duty begins *at* the figure: see [`placard_mass_reached`].
pub const PLACARD_MASS: Limit = Limit { metric: 454.0, customary: 1001.0 * POUND };

/// Reportable quantity of sodium hypochlorite, kg: 100 lb (45.4 kg), 40 CFR 302.4 and appendix A to 49 CFR 172.101.
///
/// It counts the substance itself, per package on the road and over 24 h for a release.
pub const REPORTABLE_QUANTITY: f64 = 100.0 * POUND;

/// Concentration from which a mixture is a hazardous substance, weight percent, for the 100 lb row (49 CFR 171.8, from memory).
pub const REPORTABLE_CONCENTRATION: f64 = 0.2;

/// ADR 1.1.3.1(c): largest packaging for carriage beside the main activity, m3.
pub const ADR_PACKAGE_VOLUME: f64 = 0.450;

/// ADR 1.1.3.6: most points for the partial exemption.
pub const ADR_MOST_POINTS: f64 = 1000.0;

/// A packaging and what is in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Package {
    /// Capacity, m3.
    pub capacity: f64,
    /// Volume of liquid in it, m3.
    pub volume: f64,
    /// Density of the liquid, kg/m3.
    pub density: f64,
    /// Mass of the empty packaging, kg.
    pub tare: f64,
    /// Sodium hypochlorite, kg for each m3 of liquid.
    pub hypochlorite: f64,
}

/// Mass (kg) of the liquid. Rises with volume and density.
#[must_use]
pub fn net_mass(package: &Package) -> f64 {
    package.volume * package.density
}

/// Gross mass (kg) of a package. Rises with volume, density and tare.
#[must_use]
pub fn gross_mass(package: &Package) -> f64 {
    net_mass(package) + package.tare
}

/// Sodium hypochlorite (kg) in a package; the packaging does not count. Rises with volume and strength.
#[must_use]
pub fn hypochlorite_in(package: &Package) -> f64 {
    package.volume * package.hypochlorite
}

/// Whether a package holds a reportable quantity of sodium hypochlorite at a concentration that counts.
///
/// `None` when the density is not above zero. Once true stays true as volume and strength rise; a greater density lowers the
/// concentration only.
#[must_use]
pub fn is_reportable(package: &Package) -> Option<bool> {
    let percent = (package.density > 0.0).then(|| 100.0 * package.hypochlorite / package.density)?;
    Some(hypochlorite_in(package) >= REPORTABLE_QUANTITY && percent >= REPORTABLE_CONCENTRATION)
}

/// Volume (m3) of liquid at which a package reaches the reportable quantity: `RQ / strength`.
///
/// `hypochlorite` in kg for each m3. `None` when it is not above zero. Falls as it rises.
#[must_use]
pub fn volume_at_reportable_quantity(hypochlorite: f64) -> Option<f64> {
    (hypochlorite > 0.0).then(|| REPORTABLE_QUANTITY / hypochlorite)
}

/// How a package of Class 8 stands against the size of a material of trade: within if its capacity **or** its gross mass is.
///
/// The rule gives litres or kilograms; a 30 L jug of bleach weighs more than 30 kg and passes on litres. Goes from within to
/// over as capacity and mass rise. Size alone makes no material of trade: closure, marks, driver and the total count too. The
/// 400 gal, 2 % allowance of the same rule is for Class 9 and never covers hypochlorite.
///
/// Source: 49 CFR 173.6(a)(1).
#[must_use]
pub fn trade_package_size(package: &Package) -> Against {
    let by_volume = TRADE_PACKAGE_VOLUME.against(package.capacity);
    let by_mass = TRADE_PACKAGE_MASS.against(gross_mass(package));
    match (by_volume, by_mass) {
        (Against::Within, _) | (_, Against::Within) => Against::Within,
        (Against::Over, Against::Over) => Against::Over,
        _ => Against::Between,
    }
}

/// How a capacity (m3) stands against bulk. Goes from within to over as the capacity rises.
///
/// Tanks left joined by open valves count as one capacity (judgement); tanks each shut off by a valve count singly (PHMSA
/// interpretation 23-0018, given for fuel).
#[must_use]
pub fn bulk(capacity: f64) -> Against {
    BULK_CAPACITY.against(capacity)
}

/// Most packages of `each` kg gross that stay within the materials-of-trade total beside `other` kg of other such goods.
///
/// A whole number, by the stricter figure of the rule (440 lb); zero when the rest is already past it. `None` when `each` is
/// not above zero. Falls with both.
#[must_use]
pub fn most_trade_packages(each: f64, other: f64) -> Option<f64> {
    (each > 0.0).then(|| ((TRADE_TOTAL_MASS.stricter() - other) / each).floor().max(0.0))
}

/// How an aggregate gross mass (kg) of table 2 materials stands: over where placards are due under both figures.
///
/// The duty begins at the figure itself, so a mass equal to it counts as over it. Goes from within to over as the mass rises.
#[must_use]
pub fn placard_mass_reached(gross: f64) -> Against {
    match (gross >= PLACARD_MASS.metric, gross >= PLACARD_MASS.customary) {
        (false, false) => Against::Within,
        (true, true) => Against::Over,
        _ => Against::Between,
    }
}

/// Whether a load of packages calls for placards: any bulk package, or the aggregate gross mass.
///
/// Rises from within to over with every capacity and mass. Source: 49 CFR 172.504.
#[must_use]
pub fn placard(packages: &[Package]) -> Against {
    let by_mass = placard_mass_reached(packages.iter().map(gross_mass).sum());
    packages.iter().map(|package| bulk(package.capacity)).fold(by_mass, Against::max)
}

/// Volume (m3) of a liquid of `density` kg/m3 at which `gross` kg is reached beside `other` kg: `(gross - other) / density`.
///
/// `None` when the density is not above zero; zero when the rest is already past it. Falls with `density` and `other`, rises
/// with `gross`.
#[must_use]
pub fn volume_to_reach(gross: f64, other: f64, density: f64) -> Option<f64> {
    (density > 0.0).then(|| ((gross - other) / density).max(0.0))
}

/// ADR transport category of a load (table 1.1.3.6.3); category 0 has no exemption and 4 no limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TransportCategory {
    /// Category 1: 50 points a litre or kilogram.
    One,
    /// Category 2: 3 points; hypochlorite of packing group II, petrol.
    Two,
    /// Category 3: 1 point; hypochlorite of packing group III, diesel.
    Three,
}

impl TransportCategory {
    /// Points for a litre of liquid or a kilogram of solid (ADR 1.1.3.6.4).
    #[must_use]
    pub fn points(self) -> f64 {
        match self {
            Self::One => 50.0,
            Self::Two => 3.0,
            Self::Three => 1.0,
        }
    }
}

/// ADR points of a load: sum over goods of quantity times multiplier. Quantities in litres (liquids) or kg (solids), as the
/// table counts them. Rises with every quantity.
#[must_use]
pub fn adr_points(goods: &[(TransportCategory, f64)]) -> f64 {
    goods.iter().map(|(category, quantity)| category.points() * quantity).sum()
}

#[cfg(test)]
mod tests {
    use super::super::bleach::{
        HYPOCHLORITE_PER_CHLORINE, density, from_weight_percent_chlorine, from_weight_percent_hypochlorite,
    };
    use super::*;

    #[track_caller]
    fn near(found: f64, wanted: f64, relative: f64) {
        assert!((found / wanted - 1.0).abs() <= relative, "found {found}, wanted {wanted} within {relative}");
    }

    fn package(capacity: f64, gallons: f64, chlorine: f64, tare: f64) -> Package {
        Package {
            capacity: capacity * GALLON,
            volume: gallons * GALLON,
            density: density(chlorine, 0.2),
            tare: tare * POUND,
            hypochlorite: HYPOCHLORITE_PER_CHLORINE * chlorine,
        }
    }

    /// The three liquids a "12.5 %" may be.
    fn liquids() -> [f64; 3] {
        let by_hypochlorite = from_weight_percent_hypochlorite(12.5, 0.2).unwrap();
        [125.0, by_hypochlorite, from_weight_percent_chlorine(12.5, 0.2).unwrap()]
    }

    #[test]
    fn a_full_drum_is_no_reportable_quantity_but_no_material_of_trade_either() {
        // 49 CFR 171.8, 173.6; by hand from density: gross 556, 566, 571 lb; hypochlorite 60, 68, 72 lb.
        let by_hand = [(556.5, 60.1), (566.3, 68.0), (571.4, 72.1)];
        for (chlorine, (gross, hypochlorite)) in liquids().into_iter().zip(by_hand) {
            let drum = package(55.0, 55.0, chlorine, 22.0);
            near(gross_mass(&drum) / POUND, gross, 1e-3);
            near(hypochlorite_in(&drum) / POUND, hypochlorite, 4e-3);
            assert_eq!(is_reportable(&drum), Some(false));
            assert_eq!(bulk(drum.capacity), Against::Within);
            assert_eq!(trade_package_size(&drum), Against::Over);
            assert_eq!(placard(&[drum]), Against::Within);
        }
    }

    #[test]
    fn the_reportable_volume_depends_on_what_the_label_means() {
        // 100 lb over 1.05 x g/L, by hand.
        for (chlorine, gallons) in liquids().into_iter().zip([91.3, 80.9, 76.4]) {
            let volume = volume_at_reportable_quantity(HYPOCHLORITE_PER_CHLORINE * chlorine).unwrap();
            near(volume / GALLON, gallons, 2e-3);
            let above = package(100.0, gallons * 1.01, chlorine, 60.0);
            assert_eq!(is_reportable(&above), Some(true));
        }
        assert_eq!(volume_at_reportable_quantity(0.0), None);
        // A weak enough solution is none however much of it there is.
        let rinse = package(1000.0, 50_000.0, 1.0, 0.0);
        assert!(hypochlorite_in(&rinse) > REPORTABLE_QUANTITY);
        assert_eq!(is_reportable(&rinse), Some(false));
    }

    #[test]
    fn a_hundred_gallon_tank_is_placarded_and_a_big_one_part_filled_is_bulk() {
        // 49 CFR 172.504: 1,001 lb aggregate; 100 gal with 60 lb tare weighs 1,031.8 lb, by hand.
        let tank = package(100.0, 100.0, 125.0, 60.0);
        near(gross_mass(&tank) / POUND, 1031.8, 1e-3);
        assert_eq!(placard(&[tank]), Against::Over);
        assert_eq!(is_reportable(&tank), Some(true));
        // 171.8: capacity counts, not content.
        let part_filled = package(125.0, 60.0, 125.0, 80.0);
        assert_eq!(placard_mass_reached(gross_mass(&part_filled)), Against::Within);
        assert_eq!(placard(&[part_filled]), Against::Over);
        // Two drums together pass the mass that one does not.
        let drum = package(55.0, 55.0, 125.0, 22.0);
        assert_eq!(placard(&[drum, drum]), Against::Over);
        assert_eq!(placard(&[]), Against::Within);
    }

    #[test]
    fn liquid_alone_reaches_the_placard_mass() {
        // By hand: 1,001 lb over 9.718, 9.897, 9.989 lb/gal.
        for (chlorine, gallons) in liquids().into_iter().zip([103.0, 101.1, 100.2]) {
            let volume = volume_to_reach(PLACARD_MASS.customary, 0.0, density(chlorine, 0.2)).unwrap();
            near(volume / GALLON, gallons, 1e-3);
        }
        assert_eq!(volume_to_reach(100.0, 200.0, 1000.0), Some(0.0));
        assert_eq!(volume_to_reach(100.0, 0.0, 0.0), None);
    }

    #[test]
    fn jugs_are_materials_of_trade_up_to_440_pounds() {
        // 49 CFR 173.6; by hand: 5 gal jug of 12.5 wt% with 2.2 lb tare 51.7 lb, 8 of them, 7 beside a 33.5 lb fuel can.
        let jug = package(5.0, 5.0, liquids()[1], 2.2);
        near(gross_mass(&jug) / POUND, 51.7, 1e-3);
        assert_eq!(trade_package_size(&jug), Against::Within);
        assert_eq!(most_trade_packages(gross_mass(&jug), 0.0), Some(8.0));
        assert_eq!(most_trade_packages(gross_mass(&jug), 33.5 * POUND), Some(7.0));
        assert_eq!(most_trade_packages(gross_mass(&jug), 300.0), Some(0.0));
        assert_eq!(most_trade_packages(0.0, 0.0), None);
    }

    #[test]
    fn sizes_between_the_two_printed_figures_are_undecided() {
        // 49 CFR prints 450 L (119 gal) and 30 L (8 gal): 118.88 and 7.925 gal, by hand.
        assert_eq!(bulk(119.0 * GALLON), Against::Between);
        assert_eq!(bulk(118.8 * GALLON), Against::Within);
        assert_eq!(bulk(119.5 * GALLON), Against::Over);
        let eight = package(8.0, 8.0, 125.0, 3.0);
        assert_eq!(trade_package_size(&eight), Against::Between);
        assert_eq!(placard_mass_reached(1001.0 * POUND), Against::Over);
        assert_eq!(placard_mass_reached(454.02), Against::Between);
        assert_eq!(placard_mass_reached(453.9), Against::Within);
    }

    #[test]
    fn adr_points_of_a_drum() {
        // ADR 1.1.3.6.4, multipliers as restated by the UK HSE: 208.2 L PG III 208, PG II 625; with 20 L petrol 268, 685.
        let drum = |category| adr_points(&[(category, 208.2)]);
        near(drum(TransportCategory::Three), 208.2, 1e-9);
        near(drum(TransportCategory::Two), 624.6, 1e-9);
        let petrol = (TransportCategory::Two, 20.0);
        near(adr_points(&[(TransportCategory::Three, 208.2), petrol]), 268.2, 1e-9);
        near(adr_points(&[(TransportCategory::Two, 208.2), petrol]), 684.6, 1e-9);
        assert!(adr_points(&[(TransportCategory::One, 20.0)]) <= ADR_MOST_POINTS);
    }
}
