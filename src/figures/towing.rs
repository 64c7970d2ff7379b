//! The ratings chain from tire to tow vehicle, and the weights at which rules begin.
//!
//! Loads and strengths are carried as mass in kg, as rating plates do, also where a test standard states a force in
//! pounds. Limits that the rules state in pounds are converted with the exact pound.
//!
//! These are first checks. The certification label, the makers' ratings and the law in force decide; a hitch, coupler or
//! chain is only as good as its fitting, which no figure here sees.

use super::securing::{ChainGrade, default_chain_limit};

/// International avoirdupois pound, kg (exact).
const POUND: f64 = 0.453_592_37;

/// Allowance when a weight is held against a class limit, so that a weight converted from "2000 lb" stays at 2000 lb.
const ROUNDING: f64 = 1e-9;

/// Gross weight at which a combination becomes a commercial motor vehicle in interstate commerce, kg (10,001 lb).
///
/// The greatest of rated and actual weight counts, single or combined. 49 CFR 390.5. States draw their own lines.
pub const COMMERCIAL_VEHICLE: f64 = 10_001.0 * POUND;

/// Combination rating from which a Group A commercial licence is needed, kg (26,001 lb), if the trailer is rated above
/// [`LICENCE_TRAILER`]. 49 CFR 383.91(a)(1).
pub const LICENCE_COMBINATION: f64 = 26_001.0 * POUND;

/// Trailer rating above which [`LICENCE_COMBINATION`] applies, kg (10,000 lb). 49 CFR 383.91(a)(1).
pub const LICENCE_TRAILER: f64 = 10_000.0 * POUND;

/// Gross weight up to which a commercial trailer may do without brakes if it is light against its tow vehicle, kg
/// (3,000 lb). 49 CFR 393.42(b); see [`light_trailer_axle_limit`].
pub const FEDERAL_BRAKE_WEIGHT: f64 = 3_000.0 * POUND;

/// Share of the tow vehicle's axle weights a trailer without brakes may have on its own axles. 49 CFR 393.42(b).
pub const LIGHT_TRAILER_SHARE: f64 = 0.40;

/// How long trailer brakes must hold after a breakaway, s (15 minutes). 49 CFR 393.43(d).
pub const BREAKAWAY_HOLD: f64 = 900.0;

/// Divisor for a passenger-car tire used on a trailer. 49 CFR 571.120 S5.1.2 (NHTSA letter nht76-1.47); 571.110 carries
/// the same (from memory).
pub const PASSENGER_TIRE_DIVISOR: f64 = 1.10;

/// Mass allowed for each seating position when a gross rating is set, kg (150 lb). 49 CFR 567.4(g)(3).
pub const SEAT_ALLOWANCE: f64 = 150.0 * POUND;

/// First load index of [`LOAD_INDEX_MASS`].
const FIRST_LOAD_INDEX: u8 = 60;

/// Load one tire carries for load index 60 to 130, kg: the ISO 4000-1 and T&RA scale.
#[rustfmt::skip]
const LOAD_INDEX_MASS: [f64; 71] = [
    250.0, 257.0, 265.0, 272.0, 280.0, 290.0, 300.0, 307.0, 315.0, 325.0, // 60
    335.0, 345.0, 355.0, 365.0, 375.0, 387.0, 400.0, 412.0, 425.0, 437.0, // 70
    450.0, 462.0, 475.0, 487.0, 500.0, 515.0, 530.0, 545.0, 560.0, 580.0, // 80
    600.0, 615.0, 630.0, 650.0, 670.0, 690.0, 710.0, 730.0, 750.0, 775.0, // 90
    800.0, 825.0, 850.0, 875.0, 900.0, 925.0, 950.0, 975.0, 1000.0, 1030.0, // 100
    1060.0, 1090.0, 1120.0, 1150.0, 1180.0, 1215.0, 1250.0, 1285.0, 1320.0, 1360.0, // 110
    1400.0, 1450.0, 1500.0, 1550.0, 1600.0, 1650.0, 1700.0, 1750.0, 1800.0, 1850.0, // 120
    1900.0, // 130
];

/// Load one tire carries at the pressure that goes with its load index, kg.
///
/// `None` outside load index 60 to 130. Rises with the index. Two indices on a sidewall are single and dual. The closed
/// form 45·10^(LI/80) is up to 1.8 % off and no substitute. Source: ISO 4000-1 / T&RA load index scale.
#[must_use]
pub fn load_index_mass(index: u8) -> Option<f64> {
    LOAD_INDEX_MASS.get(usize::from(index.checked_sub(FIRST_LOAD_INDEX)?)).copied()
}

/// Least load index whose tire carries `mass` kg.
///
/// `None` when more than index 130 is needed; a load below index 60 gets 60. Rises with `mass`. Source: the scale of
/// [`load_index_mass`].
#[must_use]
pub fn load_index_for(mass: f64) -> Option<u8> {
    let needed = mass * (1.0 - ROUNDING);
    (FIRST_LOAD_INDEX..).zip(LOAD_INDEX_MASS).find(|&(_, carried)| carried >= needed).map(|(index, _)| index)
}

/// What a passenger-car tire counts for on a trailer, kg: its rating over 1.10. Source: [`PASSENGER_TIRE_DIVISOR`].
#[must_use]
pub fn passenger_tire_on_trailer(rating: f64) -> f64 {
    rating / PASSENGER_TIRE_DIVISOR
}

/// What the tires of an axle carry together, kg; it must at least equal the axle's rating.
///
/// Rises with both. Source: 49 CFR 571.110 S4.2.2 and 571.120 S5.1.2; NHTSA letter 77-3.29 refused a petition for 95 %.
#[must_use]
pub fn axle_tire_capacity(rating: f64, tires: u32) -> f64 {
    rating * f64::from(tires)
}

/// Gross rating the axles honestly support when the tongue carries its share, ΣGAWR/(1 − τ), kg.
///
/// `ratio` is the tongue share of the design, usually 0.10 to 0.15; take the lowest for a safe figure. `None` unless it
/// is from 0 to below 1. Rises with both inputs. Source: NHTSA letter nht76-3.20: an axle rating may be below the gross
/// rating because the tow vehicle carries part, but not below the load on the axle when hitched at the gross rating.
#[must_use]
pub fn gross_supported_by_axles(axle_ratings: f64, ratio: f64) -> Option<f64> {
    (0.0..1.0).contains(&ratio).then(|| axle_ratings / (1.0 - ratio))
}

/// Sum of axle ratings a gross rating needs, GVWR(1 − τ), kg.
///
/// `None` unless `ratio` is from 0 to below 1. Rises with the rating, falls with `ratio`. Source: as
/// [`gross_supported_by_axles`].
#[must_use]
pub fn axle_rating_needed(gross_rating: f64, ratio: f64) -> Option<f64> {
    (0.0..1.0).contains(&ratio).then_some(gross_rating * (1.0 - ratio))
}

/// Least gross rating a maker may state: unloaded weight, rated cargo and 150 lb a seat, kg. Rises with all.
/// Source: 49 CFR 567.4(g)(3).
#[must_use]
pub fn least_gross_rating(unloaded: f64, cargo: f64, seats: u32) -> f64 {
    unloaded + cargo + SEAT_ALLOWANCE * f64::from(seats)
}

/// Cargo figure of the placard of a trailer rated up to 10,000 lb, GVWR − unloaded weight, kg.
/// Rises with the rating, falls with the weight. Source: 49 CFR 571.110 S4.3.5.
#[must_use]
pub fn placard_cargo(gross_rating: f64, unloaded: f64) -> f64 {
    gross_rating - unloaded
}

/// Cargo still free of a placard's figure once gear is built in and liquids are aboard, kg; negative is the excess.
///
/// Gear fitted after the placard was printed has spent its cargo figure. Rises with the placard, falls with the rest.
/// Source: 49 CFR 571.110 S4.3.5.
#[must_use]
pub fn cargo_left(placard: f64, gear: f64, liquids: f64) -> f64 {
    placard - gear - liquids
}

/// Coupler and trailer classes by gross trailer weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CouplerClass {
    /// Up to 2,000 lb.
    One,
    /// Above 2,000 and up to 3,500 lb.
    Two,
    /// Above 3,500 and up to 5,000 lb.
    Three,
    /// Above 5,000 and up to 10,000 lb.
    Four,
}

impl CouplerClass {
    /// All classes, lightest first.
    pub const ALL: [Self; 4] = [Self::One, Self::Two, Self::Three, Self::Four];

    /// Greatest gross trailer weight of the class, kg. Source: SAE J684, as in COMAR 11.13.08.04.
    #[must_use]
    pub fn limit(self) -> f64 {
        POUND
            * match self {
                Self::One => 2_000.0,
                Self::Two => 3_500.0,
                Self::Three => 5_000.0,
                Self::Four => 10_000.0,
            }
    }

    /// Least ball diameter of the class, m; `None` for class 4, whose ball goes by its coupler's strength.
    /// Source: SAE J684, as in COMAR 11.13.08.10 Table 1.
    #[must_use]
    pub fn ball_diameter(self) -> Option<f64> {
        const INCH: f64 = 0.0254;
        match self {
            Self::One => Some(1.875 * INCH),
            Self::Two | Self::Three => Some(2.0 * INCH),
            Self::Four => None,
        }
    }
}

/// Class of a trailer by its gross weight, kg.
///
/// `None` above 10,000 lb, which is outside SAE J684: ask for the maker's rating. Steps up with weight. Source: SAE J684,
/// as in COMAR 11.13.08.04 and 15 NYCRR 57.3.
#[must_use]
pub fn coupler_class(gross: f64) -> Option<CouplerClass> {
    CouplerClass::ALL.into_iter().find(|class| gross <= class.limit() * (1.0 + ROUNDING))
}

/// Ultimate strengths a coupler and ball must reach on the bench, kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CouplerStrength {
    /// Longitudinal tension, kg.
    pub tension: f64,
    /// Longitudinal compression, kg.
    pub compression: f64,
    /// Transverse thrust, kg.
    pub transverse: f64,
    /// Vertical tension (pulling the coupler off the ball), kg.
    pub vertical_tension: f64,
    /// Vertical compression, kg.
    pub vertical_compression: f64,
}

/// Ultimate strength required of coupler and ball for a trailer of `gross` kg.
///
/// `None` above 10,000 lb. Rises with weight, by steps up to 5,000 lb; **except** vertical tension, which drops there from
/// the fixed 7,000 lb of class 3 to 1.3 · W of class 4. Source: SAE J684, as in COMAR 11.13.08.10 Table 1. The copy in 15
/// NYCRR 57.5 asks less in vertical tension (3,900 lb in classes 2 and 3, 3,800 lb + W/50 in class 4); the figures of the
/// former are used.
#[must_use]
pub fn coupler_strength(gross: f64) -> Option<CouplerStrength> {
    let class = coupler_class(gross)?;
    let weight = gross / POUND;
    let [tension, compression, transverse, vertical_tension, vertical_compression] = match class {
        CouplerClass::One => [6_000.0, 6_000.0, 2_000.0, 2_500.0, 2_500.0],
        CouplerClass::Two => [10_500.0, 10_500.0, 3_000.0, 4_500.0, 4_500.0],
        CouplerClass::Three => [15_000.0, 15_000.0, 4_000.0, 7_000.0, 7_000.0],
        CouplerClass::Four => [3.0 * weight, 3.0 * weight, weight, 1.3 * weight, 1.4 * weight],
    }
    .map(|pounds| pounds * POUND);
    Some(CouplerStrength { tension, compression, transverse, vertical_tension, vertical_compression })
}

/// Static test loads of a weight-carrying hitch, kg, by the steps of the standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HitchTest {
    /// Step 1: this much downward and this much in longitudinal compression at once.
    pub down_and_compression: f64,
    /// Steps 2 and 3: longitudinal, in tension and then in compression.
    pub longitudinal: f64,
    /// Steps 2 and 3: downward at the same time.
    pub longitudinal_down: f64,
    /// Steps 4 and 5: to the left and to the right.
    pub transverse: f64,
}

/// Test loads for a hitch rated for a gross trailer weight of `rating` kg.
///
/// 0.47R + 480; 0.23R + 1530 with 0.15R; 0.20R + 500, in lb. Rise with the rating. Source: SAE J684, as in COMAR
/// 11.13.08.10 and 15 NYCRR 57.5 Table 2. These are for a laboratory; do not load a fitted hitch with them.
#[must_use]
pub fn hitch_test(rating: f64) -> HitchTest {
    HitchTest {
        down_and_compression: 0.47 * rating + 480.0 * POUND,
        longitudinal: 0.23 * rating + 1_530.0 * POUND,
        longitudinal_down: 0.15 * rating,
        transverse: 0.20 * rating + 500.0 * POUND,
    }
}

/// Breaking strength asked of each of two safety chains, hooks and fastenings included, by three readings, kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChainStrength {
    /// Federal reading: the two together at least the gross weight, so half of it each. 49 CFR 393.70(d) as interpreted
    /// by FMCSA.
    pub federal: f64,
    /// Each at least the gross weight, as states ask (N.H. RSA 266:63) and as a careful builder does.
    pub each_full: f64,
    /// Chain of the trailer's class: 2,000, 3,500 and 5,000 lb, and the gross weight in class 4. SAE J684. `None` above
    /// 10,000 lb.
    pub class: Option<f64>,
}

/// Breaking strength asked of each of two safety chains for a trailer of `gross` kg (its rating, for a rule of design).
///
/// Rises (`class` in steps) with the weight. `each_full` is the sensible default.
#[must_use]
pub fn chain_strength(gross: f64) -> ChainStrength {
    let class = coupler_class(gross).map(|class| if class == CouplerClass::Four { gross } else { class.limit() });
    ChainStrength { federal: gross / 2.0, each_full: gross, class }
}

/// Breaking strength over working load limit of grade 30 chain (NACM Welded Steel Chain Specifications, from memory).
pub const CHAIN_DESIGN_FACTOR: f64 = 4.0;

/// Least trade size of grade 30 chain, m, that breaks at `strength` kg or more; its hooks and fastenings must as well.
///
/// `None` when more than 5/8 in is needed. Rises in steps. Source: working load limits of the table to 49 CFR 393.108 times
/// [`CHAIN_DESIGN_FACTOR`].
#[must_use]
pub fn chain_size_for(strength: f64) -> Option<f64> {
    const SIXTEENTH: f64 = 0.0254 / 16.0;
    let needed = strength * (1.0 - ROUNDING) / CHAIN_DESIGN_FACTOR;
    [4.0, 5.0, 6.0, 7.0, 8.0, 10.0]
        .into_iter()
        .map(|sixteenths| sixteenths * SIXTEENTH)
        .find(|size| default_chain_limit(ChainGrade::G30, *size).is_some_and(|limit| limit >= needed))
}

/// Charge a breakaway battery must give, magnets · current · time, A·s (3600 A·s = 1 A·h).
///
/// A brake magnet draws about 3 A at 12 V (from memory; the brake maker states it); the time is [`BREAKAWAY_HOLD`].
/// Rises with all. Source: 49 CFR 393.43(d) for the time.
#[must_use]
pub fn breakaway_charge(magnets: u32, magnet_current: f64, time: f64) -> f64 {
    f64::from(magnets) * magnet_current * time
}

/// Greatest axle weight of a commercial trailer without brakes, 0.40 · Σ tow axles, kg.
///
/// Applies up to [`FEDERAL_BRAKE_WEIGHT`] gross; above it brakes are required anyway. Rises with the tow axles. Source: 49
/// CFR 393.42(b) (a trailer whose tongue rests on the tow vehicle is a semitrailer there). State law may ask more.
#[must_use]
pub fn light_trailer_axle_limit(tow_axles: f64) -> f64 {
    LIGHT_TRAILER_SHARE * tow_axles
}

/// Sum of tow axle weights that lets a trailer of `axle_load` kg do without brakes federally, R/0.40, kg.
/// Rises with the load. Source: 49 CFR 393.42(b).
#[must_use]
pub fn tow_weight_for_light_trailer(axle_load: f64) -> f64 {
    axle_load / LIGHT_TRAILER_SHARE
}

/// Combination rating: the greater of the value on the tow vehicle's certification label, where it stands there, and the sum
/// of both units, kg.
///
/// Hand over for each unit the greater of its gross rating and its actual weight: the combination that gives the highest
/// value counts. Rises with each. Source: 49 CFR 390.5, gross combination weight rating, as amended by 79 FR 15245.
#[must_use]
pub fn combination_rating(labelled: Option<f64>, tow_vehicle: f64, trailer: f64) -> f64 {
    labelled.map_or(tow_vehicle + trailer, |labelled| labelled.max(tow_vehicle + trailer))
}

/// Room left under the combination rating, kg; negative is the excess.
///
/// `tow_vehicle` is its actual weight without the tongue load, which is part of `trailer`. Rises with the rating, falls
/// with both weights. Source: 49 CFR 571.3 definitions.
#[must_use]
pub fn combination_left(rating: f64, tow_vehicle: f64, trailer: f64) -> f64 {
    rating - tow_vehicle - trailer
}

/// Volume of a solution that holds a reportable quantity of its solute, RQ/(w·ρ), m3.
///
/// `mass_fraction` w above 0 and up to 1, `density` ρ in kg/m3 above nought, else `None`. Falls with both. Source: 49 CFR
/// 172.101 Appendix A (100 lb of sodium hypochlorite, PHMSA letter 98-0413).
#[must_use]
pub fn reportable_volume(reportable: f64, mass_fraction: f64, density: f64) -> Option<f64> {
    (mass_fraction > 0.0 && mass_fraction <= 1.0 && density > 0.0).then(|| reportable / (mass_fraction * density))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Pounds to the kg, as printed on load index cards.
    const LB_PER_KG: f64 = 2.204_622_62;

    fn near(found: f64, expected: f64, relative: f64) {
        assert!((found - expected).abs() <= relative * expected.abs().max(1e-9), "found {found}, expected {expected}");
    }

    #[test]
    fn load_indices_agree_with_the_published_scale() {
        // ISO 4000-1 / T&RA load index scale, kg and lb as tire dealers' cards print them (lb rounded to whole pounds).
        let card = [
            (71, 345.0, 761.0),
            (75, 387.0, 853.0),
            (80, 450.0, 992.0),
            (83, 487.0, 1074.0),
            (89, 580.0, 1279.0),
            (91, 615.0, 1356.0),
            (94, 670.0, 1477.0),
            (97, 730.0, 1609.0),
            (99, 775.0, 1709.0),
            (101, 825.0, 1819.0),
            (105, 925.0, 2039.0),
            (107, 975.0, 2149.0),
            (109, 1030.0, 2271.0),
            (110, 1060.0, 2337.0),
        ];
        for (index, kg, lb) in card {
            let mass = load_index_mass(index).unwrap();
            assert_eq!(mass, kg, "load index {index}");
            assert!((mass * LB_PER_KG - lb).abs() <= 1.0, "load index {index}");
        }
        for (index, lb) in [(97, 1_609.374_514), (101, 1_818.813_663), (107, 2_149.507_056), (115, 2_678.616_485)] {
            near(load_index_mass(index).unwrap() / POUND, lb, 1e-7);
        }
        for (index, kg) in
            [(60, 250.0), (61, 257.0), (115, 1215.0), (118, 1320.0), (119, 1360.0), (121, 1450.0), (130, 1900.0)]
        {
            assert_eq!(load_index_mass(index), Some(kg));
        }
        assert_eq!(load_index_mass(59), None);
        assert_eq!(load_index_mass(131), None);
    }

    #[test]
    fn the_scale_rises_and_stays_near_its_geometric_law() {
        // The scale is built on steps of 10^(1/80); the printed values are rounded by up to 1.8 %.
        for index in 60..=130_u8 {
            let mass = load_index_mass(index).unwrap();
            near(mass, 45.0 * 10_f64.powf(f64::from(index) / 80.0), 0.018);
            if index > 60 {
                assert!(mass > load_index_mass(index - 1).unwrap());
            }
        }
    }

    #[test]
    fn two_passenger_tires_do_not_carry_the_axle_they_seem_to() {
        // 49 CFR 571.120 S5.1.2 by hand: load index 97 is 730 kg; 2·730/1.10 = 1327.27 kg = 2926.135 lb, under a 2990 lb
        // axle, though 2·1609 = 3219 lb is moulded on them.
        let one = passenger_tire_on_trailer(load_index_mass(97).unwrap());
        near(axle_tire_capacity(one, 2) / POUND, 2_926.135_480, 1e-7);
        near(axle_tire_capacity(load_index_mass(97).unwrap(), 2) / POUND, 3218.749, 1e-6);
        // T&RA yearbook as quoted to NHTSA in nht76-1.47: 91 per cent of the rated load.
        near(1.0 / PASSENGER_TIRE_DIVISOR, 0.91, 1e-2);
        // By hand: 2990/2·1.10 = 1644.5 lb; index 97 is 1609 lb, 98 is 1653 lb.
        assert_eq!(load_index_for(1495.0 * POUND * 1.10), Some(98));
    }

    #[test]
    fn the_least_index_carries_the_load_and_the_one_before_does_not() {
        assert_eq!(load_index_for(825.0), Some(101));
        assert_eq!(load_index_for(825.1), Some(102));
        assert_eq!(load_index_for(10.0), Some(60));
        assert_eq!(load_index_for(1900.0), Some(130));
        assert_eq!(load_index_for(1901.0), None);
    }

    #[test]
    fn axles_support_the_gross_weight_less_the_tongue() {
        // NHTSA letter nht76-3.20, by hand: a 3500 lb axle with 10 % on the tongue supports 3500/0.9 = 3888.9 lb gross; a
        // 7000 lb rating needs 6300 lb of axles at 10 % and 5950 lb at 15 %.
        near(gross_supported_by_axles(3500.0 * POUND, 0.10).unwrap() / POUND, 3_888.888_889, 1e-9);
        near(axle_rating_needed(7000.0 * POUND, 0.10).unwrap() / POUND, 6300.0, 1e-12);
        near(axle_rating_needed(7000.0 * POUND, 0.15).unwrap() / POUND, 5950.0, 1e-12);
        assert_eq!(gross_supported_by_axles(3500.0, 1.0), None);
        assert_eq!(axle_rating_needed(3500.0, -0.1), None);
    }

    #[test]
    fn gear_fitted_later_spends_the_placard() {
        // Worked rig, invented data; expected values by hand: 7000 − 2150 = 4850 lb; 1550 lb of gear and 2376.5 lb of
        // liquids leave 923.5 lb. 49 CFR 571.110 S4.3.5.
        let placard = placard_cargo(7000.0 * POUND, 2150.0 * POUND);
        near(placard / POUND, 4850.0, 1e-12);
        near(cargo_left(placard, 1550.0 * POUND, 2376.5 * POUND) / POUND, 923.5, 1e-9);
        // 49 CFR 567.4(g)(3): 5000 + 1000 + 3·150 = 6450 lb.
        near(least_gross_rating(5000.0 * POUND, 1000.0 * POUND, 3) / POUND, 6450.0, 1e-12);
    }

    #[test]
    fn classes_change_just_above_their_limits() {
        // COMAR 11.13.08.04 B: classes 1 to 4 end at 2,000, 3,500, 5,000 and 10,000 lb.
        use CouplerClass::{Four, One, Three, Two};
        let cases = [
            (2000.0, Some(One)),
            (2001.0, Some(Two)),
            (2990.0, Some(Two)),
            (3500.0, Some(Two)),
            (3501.0, Some(Three)),
            (5000.0, Some(Three)),
            (5001.0, Some(Four)),
            (7000.0, Some(Four)),
            (10_000.0, Some(Four)),
            (10_001.0, None),
        ];
        for (pounds, class) in cases {
            assert_eq!(coupler_class(pounds * POUND), class, "{pounds} lb");
        }
        near(One.ball_diameter().unwrap(), 0.047_625, 1e-12);
        near(Three.ball_diameter().unwrap(), 0.0508, 1e-12);
        assert_eq!(Four.ball_diameter(), None);
    }

    #[test]
    fn coupler_strengths_are_those_of_the_table() {
        // COMAR 11.13.08.10 Table 1, lb: classes 1 to 3 fixed, class 4 by weight, here 7,000 lb.
        let table = [
            (1500.0, [6_000.0, 6_000.0, 2_000.0, 2_500.0, 2_500.0]),
            (2990.0, [10_500.0, 10_500.0, 3_000.0, 4_500.0, 4_500.0]),
            (4000.0, [15_000.0, 15_000.0, 4_000.0, 7_000.0, 7_000.0]),
            (7000.0, [21_000.0, 21_000.0, 7_000.0, 9_100.0, 9_800.0]),
        ];
        for (gross, expected) in table {
            let found = coupler_strength(gross * POUND).unwrap();
            let found = [
                found.tension,
                found.compression,
                found.transverse,
                found.vertical_tension,
                found.vertical_compression,
            ];
            for (found, expected) in found.into_iter().zip(expected) {
                near(found / POUND, expected, 1e-12);
            }
        }
        assert_eq!(coupler_strength(10_001.0 * POUND), None);
    }

    #[test]
    fn hitch_test_loads_are_those_of_the_table() {
        // COMAR 11.13.08.10 and 15 NYCRR 57.5 Table 2, R = 3500 lb, by hand: 0.47·3500 + 480 = 2125; 0.23·3500 + 1530 =
        // 2335; 0.15·3500 = 525; 0.20·3500 + 500 = 1200 lb.
        let test = hitch_test(3500.0 * POUND);
        near(test.down_and_compression / POUND, 2125.0, 1e-12);
        near(test.longitudinal / POUND, 2335.0, 1e-12);
        near(test.longitudinal_down / POUND, 525.0, 1e-12);
        near(test.transverse / POUND, 1200.0, 1e-12);
    }

    #[test]
    fn chains_are_asked_for_by_three_readings() {
        // 49 CFR 393.70(d), N.H. RSA 266:63 and SAE J684 for a 2,990 lb trailer: 1,495, 2,990 and 3,500 lb each.
        let chain = chain_strength(2990.0 * POUND);
        near(chain.federal / POUND, 1495.0, 1e-12);
        near(chain.each_full / POUND, 2990.0, 1e-12);
        near(chain.class.unwrap() / POUND, 3500.0, 1e-12);
        near(chain_strength(7000.0 * POUND).class.unwrap() / POUND, 7000.0, 1e-12);
        assert_eq!(chain_strength(12_000.0 * POUND).class, None);
    }

    #[test]
    fn grade_30_chain_is_chosen_by_its_breaking_strength() {
        // Proof coil chain as sold (NACM, from memory): 1/4 in breaks at 5,200 lb, 5/16 in at 7,600 lb, 3/8 in at 10,600 lb;
        // by hand, 4 times the limits 1,300, 1,900 and 2,650 lb of the table to 49 CFR 393.108.
        const INCH: f64 = 0.0254;
        let cases =
            [(2990.0, 0.25), (5200.0, 0.25), (5201.0, 0.3125), (7000.0, 0.3125), (7601.0, 0.375), (27_600.0, 0.625)];
        for (pounds, inches) in cases {
            near(chain_size_for(pounds * POUND).unwrap() / INCH, inches, 1e-12);
        }
        assert_eq!(chain_size_for(27_601.0 * POUND), None);
    }

    #[test]
    fn a_breakaway_battery_holds_a_quarter_of_an_hour() {
        // 49 CFR 393.43(d), by hand: 4 magnets · 3.0 A · 0.25 h = 3.0 A·h.
        near(breakaway_charge(4, 3.0, BREAKAWAY_HOLD) / 3600.0, 3.0, 1e-12);
        near(breakaway_charge(2, 3.0, BREAKAWAY_HOLD) / 3600.0, 1.5, 1e-12);
    }

    #[test]
    fn a_light_trailer_is_judged_against_its_tow_vehicle() {
        // 49 CFR 393.42(b), by hand: tow axles of 6200 lb allow 2480 lb on the trailer axle; 2480 lb need 6200 lb.
        near(light_trailer_axle_limit(6200.0 * POUND) / POUND, 2480.0, 1e-12);
        near(tow_weight_for_light_trailer(2480.0 * POUND) / POUND, 6200.0, 1e-12);
        // 49 CFR 393.42(b) gives the limit as 1,361 kg (3,000 lb).
        assert_eq!(FEDERAL_BRAKE_WEIGHT.round(), 1361.0);
    }

    #[test]
    fn the_lines_for_combinations_are_those_of_the_rules() {
        // 49 CFR 390.5 prints 4,536 kg (10,001 lb); 383.91(a)(1) prints 11,794 kg (26,001 lb) and 4,536 kg (10,000 lb).
        assert_eq!(COMMERCIAL_VEHICLE.round(), 4536.0);
        assert_eq!(LICENCE_COMBINATION.round(), 11_794.0);
        assert_eq!(LICENCE_TRAILER.round(), 4536.0);
        // By hand: 7000 + 2990 = 9990 lb stays under, 7100 + 2990 does not; 9900 + 2990 = 12 890 lb.
        assert!(combination_rating(None, 7000.0 * POUND, 2990.0 * POUND) < COMMERCIAL_VEHICLE);
        assert!(combination_rating(None, 7100.0 * POUND, 2990.0 * POUND) > COMMERCIAL_VEHICLE);
        near(combination_rating(None, 9900.0 * POUND, 2990.0 * POUND) / POUND, 12_890.0, 1e-12);
        near(combination_rating(Some(15_000.0), 7000.0, 2990.0), 15_000.0, 1e-12);
        // The greater counts (79 FR 15245): a label below the sum of the ratings does not take a combination under the line.
        near(combination_rating(Some(9_000.0), 7000.0, 2990.0), 9_990.0, 1e-12);
        near(combination_left(15_000.0, 6500.0, 9000.0), -500.0, 1e-12);
    }

    #[test]
    fn eighty_gallons_of_bleach_hold_a_reportable_quantity() {
        // PHMSA letter 98-0413 for 100 lb; by hand 100/(0.125·10.0) = 80 gal; 9.7 and 10.2 lb/gal give 82.5 and 78.4.
        let gallon = 231.0 * 0.0254_f64.powi(3);
        for (pounds_per_gallon, gallons) in [(10.0, 80.0), (9.7, 82.474_227), (10.2, 78.431_373)] {
            let found = reportable_volume(100.0 * POUND, 0.125, pounds_per_gallon * POUND / gallon).unwrap();
            near(found / gallon, gallons, 1e-7);
        }
        assert_eq!(reportable_volume(100.0, 0.0, 1000.0), None);
        assert_eq!(reportable_volume(100.0, 1.1, 1000.0), None);
    }

    proptest! {
        #[test]
        fn the_chosen_index_is_the_least_that_carries(mass in 1.0..1900.0_f64) {
            let index = load_index_for(mass).unwrap();
            prop_assert!(load_index_mass(index).unwrap() >= mass * (1.0 - 1e-6));
            if index > 60 {
                prop_assert!(load_index_mass(index - 1).unwrap() < mass);
            }
        }
    }
}
