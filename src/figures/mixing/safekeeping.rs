//! What must stand ready beside bleach: neutraliser, containment, eyewash, and the air gap at the filling spout.
//!
//! None of this replaces the product's safety data sheet, the water purveyor's rules or the discharge rules of the place.

/// Duration an eyewash must flow, s (15 min; ANSI/ISEA Z358.1).
pub const EYEWASH_DURATION: f64 = 900.0;

/// Least flow of an eyewash, m3/s (0.4 US gal/min, about 1.5 L/min; ANSI/ISEA Z358.1).
pub const EYEWASH_FLOW: f64 = 0.4 * GALLON / 60.0;

/// Least flow of an eye and face wash, m3/s (3.0 US gal/min; ANSI/ISEA Z358.1).
pub const FACE_WASH_FLOW: f64 = 3.0 * GALLON / 60.0;

/// Longest walk to an eyewash, m: 55 ft, about 10 s (ANSI/ISEA Z358.1, appendix).
pub const EYEWASH_WALK: f64 = 55.0 * 0.3048;

/// Range of tepid flushing fluid, degC (60 to 100 degF; ANSI/ISEA Z358.1).
pub const EYEWASH_TEMPERATURE: (f64, f64) = (16.0, 38.0);

/// Containment volume over the largest tank's volume: 110 % (tank makers' guidance for hypochlorite).
pub const CONTAINMENT_FACTOR: f64 = 1.1;

/// Fraction of the largest tank that the absorbent aboard should take up. An engineering judgement.
pub const ABSORBENT_FRACTION: f64 = 0.1;

/// Fresh-water criteria for chlorine, kg/m3: 19 ug/L acute, 11 ug/L chronic (US EPA 1984, from memory).
pub const AQUATIC_CRITERIA: (f64, f64) = (19e-6, 11e-6);

/// Share by which a neutraliser may be overdosed, 0.10: field charts include it; more sulfite strips oxygen from the water.
pub const OVERDOSE: f64 = 0.1;

/// Strongest bleach a neutraliser may be put on, kg/m3 (1 %): stronger means heat and spray. An engineering judgement.
pub const STRONGEST_TO_NEUTRALISE: f64 = 10.0;

/// Least air gap, m (1 in; ASME A112.1.2 as restated by plumbing codes).
pub const LEAST_AIR_GAP: f64 = 0.0254;

/// US gallon, m3, exact (231 cubic inches).
const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;

/// Molar mass of Cl2, g/mol (IUPAC 2021 abridged atomic weights).
const CHLORINE: f64 = super::super::bleach::CHLORINE;

/// A chemical that destroys available chlorine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Neutraliser {
    /// Ascorbic acid, C6H8O6.
    AscorbicAcid,
    /// Sodium ascorbate, C6H7O6Na.
    SodiumAscorbate,
    /// Sodium sulfite, Na2SO3.
    SodiumSulfite,
    /// Sodium bisulfite, NaHSO3.
    SodiumBisulfite,
    /// Sodium metabisulfite, Na2S2O5.
    SodiumMetabisulfite,
    /// Sodium thiosulfate pentahydrate, Na2S2O3 . 5 H2O.
    ThiosulfatePentahydrate,
    /// Sodium thiosulfate without water, Na2S2O3.
    Thiosulfate,
}

impl Neutraliser {
    /// Every neutraliser, in the order of the enum.
    pub const ALL: [Self; 7] = [
        Self::AscorbicAcid,
        Self::SodiumAscorbate,
        Self::SodiumSulfite,
        Self::SodiumBisulfite,
        Self::SodiumMetabisulfite,
        Self::ThiosulfatePentahydrate,
        Self::Thiosulfate,
    ];

    /// Molar mass, g/mol (IUPAC 2021 abridged atomic weights).
    #[must_use]
    pub fn molar_mass(self) -> f64 {
        match self {
            Self::AscorbicAcid => 176.124,
            Self::SodiumAscorbate => 198.105_769_28,
            Self::SodiumSulfite => 126.036_538_56,
            Self::SodiumBisulfite => 104.054_769_28,
            Self::SodiumMetabisulfite => 190.094_538_56,
            Self::ThiosulfatePentahydrate => 248.171_538_56,
            Self::Thiosulfate => 158.096_538_56,
        }
    }

    /// Fewest and most moles used for a mole of Cl2.
    ///
    /// Equal but for thiosulfate, which goes to sulfate (1/4), sulfur and sulfate (1) or tetrathionate (2) as the acidity
    /// and the excess will have it.
    #[must_use]
    pub fn moles_per_chlorine(self) -> (f64, f64) {
        match self {
            Self::SodiumMetabisulfite => (0.5, 0.5),
            Self::ThiosulfatePentahydrate | Self::Thiosulfate => (0.25, 2.0),
            _ => (1.0, 1.0),
        }
    }

    /// Least and greatest dose by reaction, kg for each kg of available chlorine.
    #[must_use]
    pub fn dose(self) -> (f64, f64) {
        let (fewest, most) = self.moles_per_chlorine();
        (fewest * self.molar_mass() / CHLORINE, most * self.molar_mass() / CHLORINE)
    }

    /// Dose of field practice, kg for each kg of available chlorine.
    ///
    /// `None` where no field figure is known. Source: AWWA disinfection field guide, table 7-2, as quoted; thiosulfate at pH 7.
    #[must_use]
    pub fn field_dose(self) -> Option<f64> {
        match self {
            Self::AscorbicAcid => Some(2.5),
            Self::SodiumAscorbate => Some(2.8),
            Self::SodiumSulfite => Some(1.96),
            Self::SodiumBisulfite => Some(1.61),
            Self::SodiumMetabisulfite => Some(1.47),
            Self::ThiosulfatePentahydrate => Some(1.9),
            Self::Thiosulfate => None,
        }
    }

    /// Whether its solution is acid, so that it frees chlorine or sulfur dioxide from strong bleach and must be kept apart.
    #[must_use]
    pub fn is_acidic(self) -> bool {
        matches!(self, Self::AscorbicAcid | Self::SodiumBisulfite | Self::SodiumMetabisulfite)
    }
}

/// Mass (kg) of neutraliser for `volume` m3 of runoff at `chlorine` kg/m3, at `dose` kg/kg. Rises with every input.
#[must_use]
pub fn neutraliser_mass(volume: f64, chlorine: f64, dose: f64) -> f64 {
    volume * chlorine * dose
}

/// Times a mix of `chlorine` kg/m3 would have to be diluted to meet `limit` kg/m3.
///
/// `None` when the limit is not above zero. Rises with `chlorine`, falls with `limit`. The answer is why dilution alone is
/// never the way: contain, let soil take it with the owner's consent, or neutralise.
#[must_use]
pub fn dilution_to_meet(chlorine: f64, limit: f64) -> Option<f64> {
    (limit > 0.0).then(|| chlorine / limit)
}

/// Containment (m3) asked for where it is claimed, for a largest tank of `largest` m3. Rises with it.
#[must_use]
pub fn containment_needed(largest: f64) -> f64 {
    CONTAINMENT_FACTOR * largest
}

/// Volume (m3) of flushing fluid for `flow` m3/s over `duration` s. Rises with both.
#[must_use]
pub fn eyewash_volume(flow: f64, duration: f64) -> f64 {
    flow * duration
}

/// How close walls stand to a filling spout.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SpoutWalls {
    /// No wall within three openings, no two walls within four.
    Free,
    /// One wall closer than three openings, or two walls closer than four.
    Near,
}

/// Air gap (m) asked for between the lowest end of the spout and the spill level: `max(1 in, k D, local)`.
///
/// `opening` is the effective opening of the supply, m; k is 2 in the free and 3 near walls; `local_least` is the purveyor's
/// own minimum, m (some ask 6 in at hydrants), or zero. A hose dropped in the tank has no gap whatever this says. Rises with
/// `opening` and `local_least`, and from free to near walls.
///
/// Source: ASME A112.1.2 as restated by state and city plumbing codes; the purveyor's rule governs.
#[must_use]
pub fn air_gap_needed(opening: f64, walls: SpoutWalls, local_least: f64) -> f64 {
    let times = match walls {
        SpoutWalls::Free => 2.0,
        SpoutWalls::Near => 3.0,
    };
    (times * opening).max(LEAST_AIR_GAP).max(local_least)
}

/// Whether walls at the two nearest distances (m) count as near a spout of `opening` m. Infinite where there is no wall.
#[must_use]
pub fn spout_walls(opening: f64, nearest: f64, second: f64) -> SpoutWalls {
    if nearest < 3.0 * opening || (nearest < 4.0 * opening && second < 4.0 * opening) {
        SpoutWalls::Near
    } else {
        SpoutWalls::Free
    }
}

/// What stands between a customer's tap and the rig.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Preventer {
    /// Fixed air gap at the tank inlet, high enough.
    AirGap,
    /// Reduced-pressure principle assembly (ASSE 1013, AWWA C511).
    ReducedPressure,
    /// Double check valve assembly (ASSE 1015).
    DoubleCheck,
    /// Dual check with intermediate vent (ASSE 1012) or without (ASSE 1024).
    DualCheck,
    /// Hose-connection vacuum breaker (ASSE 1011) or wall hydrant (ASSE 1019).
    HoseVacuumBreaker,
    /// Pressure or spill-resistant vacuum breaker (ASSE 1020, 1056).
    PressureVacuumBreaker,
    /// Swing or ball check, or a float valve.
    CheckOrFloat,
}

impl Preventer {
    /// Whether it is credited with stopping a siphon.
    #[must_use]
    pub fn stops_siphon(self) -> bool {
        !matches!(self, Self::DualCheck | Self::CheckOrFloat)
    }

    /// Whether it is credited with stopping back-pressure.
    #[must_use]
    pub fn stops_pressure(self) -> bool {
        matches!(self, Self::AirGap | Self::ReducedPressure | Self::DoubleCheck)
    }

    /// Whether it may stand alone before bleach, soap, acid or caustic, a health hazard.
    ///
    /// A double check assembly stops both ways and is still for pollution only. The reduced-pressure assembly needs its yearly
    /// test and a free relief drain, and the water purveyor has the last word. Source: city and state cross-connection codes
    /// (US EPA 816-R-03-002 is the federal manual); vacuum breakers from memory.
    #[must_use]
    pub fn enough_for_chemicals(self) -> bool {
        matches!(self, Self::AirGap | Self::ReducedPressure)
    }
}

/// Volume (m3) of clean water that rinses a cell of `volume` m3: three times its volume. An engineering judgement.
#[must_use]
pub fn rinse_volume(volume: f64) -> f64 {
    3.0 * volume
}

/// Hazard statements a hypochlorite solution earns by its available chlorine under the CLP steps for mixtures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HazardStatements {
    /// H314, causes severe skin burns and eye damage: 5 % and over.
    pub burns: bool,
    /// H315, skin irritation: 1 to 5 %.
    pub irritates_skin: bool,
    /// H318, serious eye damage: 3 % and over.
    pub damages_eyes: bool,
    /// H319, serious eye irritation: 1 to 3 %.
    pub irritates_eyes: bool,
    /// H400, very toxic to aquatic life: 2.5 % and over (M-factor 10).
    pub toxic_to_water_life: bool,
    /// EUH031, contact with acids liberates toxic gas: 5 % and over.
    pub toxic_gas_with_acid: bool,
}

/// Hazard statements for `percent` weight percent available chlorine.
///
/// Under 1 % no step is reached, yet the liquid still kills fish. The steps for skin, eyes and EUH031 are from memory of
/// CLP annexes I and VI, the aquatic one is the M-factor 10 of entry 017-011-00-1; the product's data sheet governs.
#[must_use]
pub fn hazard_statements(percent: f64) -> HazardStatements {
    HazardStatements {
        burns: percent >= 5.0,
        irritates_skin: (1.0..5.0).contains(&percent),
        damages_eyes: percent >= 3.0,
        irritates_eyes: (1.0..3.0).contains(&percent),
        toxic_to_water_life: percent >= 2.5,
        toxic_gas_with_acid: percent >= 5.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCH: f64 = 0.0254;
    const POUND: f64 = 0.453_592_37;

    #[track_caller]
    fn near(found: f64, wanted: f64, relative: f64) {
        assert!((found / wanted - 1.0).abs() <= relative, "found {found}, wanted {wanted} within {relative}");
    }

    #[test]
    fn doses_follow_the_molar_masses() {
        // molmass 2026.1.8 molar masses over Cl2 70.906, one to one but for metabisulfite; its Cl is 35.453, S 32.066.
        for (agent, least, most) in [
            (Neutraliser::AscorbicAcid, 2.484, 2.484),
            (Neutraliser::SodiumAscorbate, 2.794, 2.794),
            (Neutraliser::SodiumSulfite, 1.778, 1.778),
            (Neutraliser::SodiumBisulfite, 1.468, 1.468),
            (Neutraliser::SodiumMetabisulfite, 1.341, 1.341),
            (Neutraliser::ThiosulfatePentahydrate, 0.875, 7.001),
            (Neutraliser::Thiosulfate, 0.557, 4.46),
        ] {
            near(agent.dose().0, least, 1e-3);
            near(agent.dose().1, most, 1e-3);
        }
    }

    #[test]
    fn field_doses_are_no_smaller_than_theory_allows_and_little_larger() {
        // AWWA disinfection field guide, table 7-2, as quoted: theory with about 10 % over.
        for agent in Neutraliser::ALL {
            let (least, most) = agent.dose();
            if let Some(field) = agent.field_dose() {
                assert!(field >= least && field <= most * (1.0 + OVERDOSE + 0.005), "{agent:?}");
            }
        }
    }

    #[test]
    fn neutraliser_for_a_hundred_gallons_of_house_wash() {
        // Stoichiometry by hand: 378.54 L x 5 g/L = 1.8927 kg available chlorine.
        let (volume, chlorine) = (100.0 * GALLON, 5.0);
        near(neutraliser_mass(volume, chlorine, 1.0), 1.8927, 1e-4);
        near(neutraliser_mass(volume, chlorine, Neutraliser::AscorbicAcid.dose().0), 4.702, 1e-3);
        near(neutraliser_mass(volume, chlorine, Neutraliser::SodiumSulfite.dose().0), 3.365, 1e-3);
        near(neutraliser_mass(volume, chlorine, Neutraliser::SodiumSulfite.field_dose().unwrap()), 3.710, 1e-3);
        let thiosulfate = Neutraliser::ThiosulfatePentahydrate.field_dose().unwrap();
        near(neutraliser_mass(volume, chlorine, thiosulfate), 3.596, 1e-3);
        near(neutraliser_mass(volume, chlorine, thiosulfate) / POUND, 7.93, 1e-3);
        // A full tank: 208.2 L x 125 g/L = 26.025 kg, 46.3 kg of sulfite.
        near(neutraliser_mass(55.0 * GALLON, 125.0, 1.0), 26.025, 1e-3);
        near(neutraliser_mass(55.0 * GALLON, 125.0, Neutraliser::SodiumSulfite.dose().0), 46.3, 1e-3);
    }

    #[test]
    fn field_charts_in_pounds_for_a_hundred_thousand_gallons() {
        // By hand, pounds for 100,000 gal and 1 mg/L: bisulfite 1.22, sulfite 1.48, ascorbic acid 2.07.
        for (agent, pounds) in [
            (Neutraliser::SodiumBisulfite, 1.22),
            (Neutraliser::SodiumSulfite, 1.48),
            (Neutraliser::AscorbicAcid, 2.07),
        ] {
            near(neutraliser_mass(1e5 * GALLON, 1e-3, agent.dose().0) / POUND, pounds, 5e-3);
        }
    }

    #[test]
    fn acid_neutralisers_are_known() {
        // Ascorbic acid, bisulfite and metabisulfite dissolve acid; sulfite, ascorbate and thiosulfate do not.
        let acid: Vec<_> = Neutraliser::ALL.into_iter().filter(|agent| agent.is_acidic()).collect();
        let wanted = [Neutraliser::AscorbicAcid, Neutraliser::SodiumBisulfite, Neutraliser::SodiumMetabisulfite];
        assert_eq!(acid, wanted);
    }

    #[test]
    fn no_amount_of_rinse_water_makes_runoff_harmless() {
        // US EPA 1984 criteria, from memory: 5 g/L over 19 ug/L.
        near(dilution_to_meet(5.0, AQUATIC_CRITERIA.0).unwrap(), 263_158.0, 1e-5);
        assert_eq!(dilution_to_meet(5.0, 0.0), None);
    }

    #[test]
    fn containment_holds_a_tenth_more_than_the_largest_tank() {
        // 55 gal x 1.1 = 60.5 gal = 8.09 cubic feet, by hand.
        near(containment_needed(55.0 * GALLON) / GALLON, 60.5, 1e-9);
        near(containment_needed(55.0 * GALLON) / 0.3048_f64.powi(3), 8.09, 1e-3);
    }

    #[test]
    fn eyewash_needs_six_gallons() {
        // ANSI/ISEA Z358.1: 0.4 gal/min for 15 min is 6.0 gal (22.7 L); 3 gal/min is 45 gal.
        near(eyewash_volume(EYEWASH_FLOW, EYEWASH_DURATION) / GALLON, 6.0, 1e-9);
        near(eyewash_volume(EYEWASH_FLOW, EYEWASH_DURATION) * 1000.0, 22.7, 1e-3);
        near(eyewash_volume(FACE_WASH_FLOW, EYEWASH_DURATION) / GALLON, 45.0, 1e-9);
    }

    #[test]
    fn air_gaps_are_those_of_the_plumbing_codes() {
        // ASME A112.1.2 as restated by plumbing codes: twice the opening, three times near walls, never under 1 in.
        for (opening, free, near_wall) in [
            (0.5, 1.0, 1.5),
            (0.625, 1.25, 1.875),
            (0.75, 1.5, 2.25),
            (1.0, 2.0, 3.0),
            (1.5, 3.0, 4.5),
            (2.0, 4.0, 6.0),
        ] {
            near(air_gap_needed(opening * INCH, SpoutWalls::Free, 0.0), free * INCH, 1e-12);
            near(air_gap_needed(opening * INCH, SpoutWalls::Near, 0.0), near_wall * INCH, 1e-12);
        }
        near(air_gap_needed(0.25 * INCH, SpoutWalls::Free, 0.0), INCH, 1e-12);
        near(air_gap_needed(INCH, SpoutWalls::Near, 6.0 * INCH), 6.0 * INCH, 1e-12);
    }

    #[test]
    fn walls_count_by_their_distance() {
        // Same source: one wall within three openings, or two within four.
        assert_eq!(spout_walls(1.0, 2.9, f64::INFINITY), SpoutWalls::Near);
        assert_eq!(spout_walls(1.0, 3.5, 3.9), SpoutWalls::Near);
        assert_eq!(spout_walls(1.0, 3.5, 4.0), SpoutWalls::Free);
        assert_eq!(spout_walls(1.0, 3.0, f64::INFINITY), SpoutWalls::Free);
    }

    #[test]
    fn only_a_gap_or_a_reduced_pressure_assembly_guards_a_tap_from_chemicals() {
        // City cross-connection codes: chemical tank vehicles fill over an air gap or through a reduced-pressure assembly.
        use Preventer::*;
        let all =
            [AirGap, ReducedPressure, DoubleCheck, DualCheck, HoseVacuumBreaker, PressureVacuumBreaker, CheckOrFloat];
        let enough: Vec<Preventer> = all.into_iter().filter(|preventer| preventer.enough_for_chemicals()).collect();
        assert_eq!(enough, [AirGap, ReducedPressure]);
        // Nothing is enough that does not stop both ways; a vacuum breaker never stops a pressure.
        assert!(enough.iter().all(|preventer| preventer.stops_siphon() && preventer.stops_pressure()));
        assert!(HoseVacuumBreaker.stops_siphon() && !HoseVacuumBreaker.stops_pressure());
        assert!(PressureVacuumBreaker.stops_siphon() && !PressureVacuumBreaker.stops_pressure());
        assert!(!CheckOrFloat.stops_siphon() && !CheckOrFloat.stops_pressure());
    }

    #[test]
    fn label_words_follow_the_strength() {
        // CLP entry 017-011-00-1 and generic mixture steps, from memory: trade bleach, roof mix, house wash, half percent.
        let words = |percent| {
            let found = hazard_statements(percent);
            [
                found.burns,
                found.irritates_skin,
                found.damages_eyes,
                found.irritates_eyes,
                found.toxic_to_water_life,
                found.toxic_gas_with_acid,
            ]
        };
        assert_eq!(words(10.7), [true, false, true, false, true, true]);
        assert_eq!(words(3.5), [false, true, true, false, true, false]);
        assert_eq!(words(1.0), [false, true, false, true, false, false]);
        assert_eq!(words(0.5), [false; 6]);
    }
}
