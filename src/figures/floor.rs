//! Whether the floor carries what stands on it: pressure under a part, plywood between crossmembers, the crossmembers.
//!
//! All loads are static; the shock of the road is a factor on the pressure. The numbers are for screening a layout, not
//! for designing a trailer frame: the maker's floor rating governs, and a cut or welded crossmember is a matter for a
//! licensed engineer.

/// Standard gravity, m/s² (exact by definition, CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Factor on the static floor load for the shock of the road (common practice, no source).
pub const ROAD_SHOCK: f64 = 2.0;

/// Young's modulus of steel, Pa (29,000 ksi, AISC 360).
pub const STEEL_MODULUS: f64 = 29.0e6 * PSI;

/// Part of the yield stress allowed in bending of a compact section (AISC allowable stress design, from memory).
pub const STEEL_BENDING_FACTOR: f64 = 0.66;

/// Yield stress of cold-formed square tube ASTM A500 grade B, Pa (46 ksi, from memory).
pub const TUBE_YIELD: f64 = 46.0e3 * PSI;

/// Factor on plywood bending strength when the deck stays wet (from memory; the standard's adjustment may be lower).
pub const WET_PLYWOOD: f64 = 0.75;

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const POUND_FORCE: f64 = 0.453_592_37 * STANDARD_GRAVITY;
const PSI: f64 = POUND_FORCE / (INCH * INCH);

/// Pressure on the floor under a part, Pa: `mass · g · shock / area`, mass in kg, footprint in m².
///
/// Rises with the mass and the shock factor, falls with the footprint. `None` for a footprint that is not positive.
/// Statics.
pub fn pressure(mass: f64, footprint: f64, shock: f64) -> Option<f64> {
    (footprint > 0.0).then(|| mass * STANDARD_GRAVITY * shock / footprint)
}

/// Span rating stamped on a structural plywood panel.
///
/// Two numbers are a sheathing rating (roof/floor span in inches), one number `on centre` a single-floor rating.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PanelRating {
    /// Sheathing 32/16.
    Sheathing32,
    /// Sheathing 40/20.
    Sheathing40,
    /// Sheathing 48/24.
    Sheathing48,
    /// Single floor, 16 in on centre; also the assumption for an unmarked panel.
    Floor16,
    /// Single floor, 20 in on centre.
    Floor20,
    /// Single floor, 24 in on centre.
    Floor24,
    /// Single floor, 32 in on centre.
    Floor32,
}

impl PanelRating {
    /// Every rating the table knows.
    pub const ALL: [Self; 7] = [
        Self::Sheathing32,
        Self::Sheathing40,
        Self::Sheathing48,
        Self::Floor16,
        Self::Floor20,
        Self::Floor24,
        Self::Floor32,
    ];

    /// Bending strength `FbS` in lb·in and stiffness `EI` in lb·in², each a foot of width.
    ///
    /// AWC ASD/LRFD Manual, Table M9.2-1: 4-ply plywood, face grain across the supports, dry, normal duration.
    const fn row(self) -> (f64, f64) {
        match self {
            Self::Sheathing32 => (405.0, 125e3),
            Self::Sheathing40 => (690.0, 250e3),
            Self::Sheathing48 => (930.0, 440e3),
            Self::Floor16 => (455.0, 165e3),
            Self::Floor20 => (530.0, 230e3),
            Self::Floor24 => (705.0, 330e3),
            Self::Floor32 => (955.0, 715e3),
        }
    }

    /// Allowable bending moment, N·m a metre of width (AWC ASD/LRFD Manual, Table M9.2-1, 4-ply, dry).
    pub fn bending_strength(self) -> f64 {
        self.row().0 * POUND_FORCE * INCH / FOOT
    }

    /// Bending stiffness `EI`, N·m² a metre of width (AWC ASD/LRFD Manual, Table M9.2-1, 4-ply, dry).
    pub fn stiffness(self) -> f64 {
        self.row().1 * POUND_FORCE * INCH * INCH / FOOT
    }
}

/// A plywood deck on evenly spaced crossmembers, face grain across them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deck {
    /// Stamped rating; take [`PanelRating::Floor16`] when nothing is stamped.
    pub rating: PanelRating,
    /// Distance between crossmembers, centre to centre, m.
    pub span: f64,
    /// Number of spans one sheet covers, 1 or more; three and above are alike.
    pub spans: u32,
    /// Factor on the bending strength: 1 for a dry deck, [`WET_PLYWOOD`] for a wet one.
    pub wet_factor: f64,
}

impl Deck {
    /// Uniform pressure the deck carries in bending, Pa: `10·FbS/l²` over three or more spans, `8·FbS/l²` over fewer.
    ///
    /// Rises with the strength and the number of spans, falls with the span. `None` for a span that is not positive or no
    /// span at all. Form of APA D510 (Panel Design Specification), section 4.
    pub fn bending_capacity(&self) -> Option<f64> {
        if self.span <= 0.0 || self.spans == 0 {
            return None;
        }
        let divisor = if self.spans >= 3 { 10.0 } else { 8.0 };
        Some(divisor * self.rating.bending_strength() * self.wet_factor / (self.span * self.span))
    }

    /// Sag in the middle of a span under a uniform `pressure` in Pa, m: `w·l⁴/(k·EI)`, k = 76.8, 185 or 145.25 for one,
    /// two, and three or more spans.
    ///
    /// Rises with the pressure and the span, falls with the stiffness; *not monotone* in the number of spans. `None` for a
    /// span that is not positive or no span at all. Form of APA D510, section 4 (1743/12 = 145.25 for three spans).
    pub fn sag(&self, pressure: f64) -> Option<f64> {
        Some(pressure * self.span.powi(4) / (self.sag_divisor()? * self.rating.stiffness()))
    }

    /// Uniform pressure at which a span sags by `span / ratio`, Pa (`ratio` 360 is the usual floor limit).
    ///
    /// Falls with the span and the ratio, rises with the stiffness. `None` as for [`Deck::sag`], or for a ratio that is not
    /// positive.
    pub fn sag_capacity(&self, ratio: f64) -> Option<f64> {
        if ratio <= 0.0 {
            return None;
        }
        Some(self.sag_divisor()? * self.rating.stiffness() / (ratio * self.span.powi(3)))
    }

    /// Uniform pressure the deck carries, Pa: the lesser of strength and stiffness at `span / ratio`.
    ///
    /// Falls with the span. `None` as for [`Deck::sag_capacity`].
    pub fn capacity(&self, ratio: f64) -> Option<f64> {
        Some(self.bending_capacity()?.min(self.sag_capacity(ratio)?))
    }

    fn sag_divisor(&self) -> Option<f64> {
        if self.span <= 0.0 {
            return None;
        }
        match self.spans {
            0 => None,
            1 => Some(921.6 / 12.0),
            2 => Some(2220.0 / 12.0),
            _ => Some(1743.0 / 12.0),
        }
    }
}

/// Widest distance between crossmembers at which the deck still carries `pressure` in bending, m: `√(k·FbS/w)`.
///
/// The remedy for a weak floor: put the members this close, or add one between. Falls with the pressure. `None` for a
/// pressure that is not positive or no span at all.
pub fn widest_member_spacing(rating: PanelRating, spans: u32, wet_factor: f64, pressure: f64) -> Option<f64> {
    if pressure <= 0.0 || spans == 0 {
        return None;
    }
    let divisor = if spans >= 3 { 10.0 } else { 8.0 };
    Some((divisor * rating.bending_strength() * wet_factor / pressure).sqrt())
}

/// Second moment of area (m⁴) and section modulus (m³) of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Second moment of area, m⁴.
    pub inertia: f64,
    /// Elastic section modulus, m³.
    pub modulus: f64,
}

/// Section of a square tube with sharp corners: `I = (b⁴ − (b − 2t)⁴)/12`, `S = 2I/b`; outside side and wall in m.
///
/// Rises with both. Rounded corners take off a few per cent. `None` unless `0 < wall ≤ side/2`.
pub fn square_tube(side: f64, wall: f64) -> Option<Section> {
    if side <= 0.0 || wall <= 0.0 || 2.0 * wall > side {
        return None;
    }
    let inertia = (side.powi(4) - (side - 2.0 * wall).powi(4)) / 12.0;
    Some(Section { inertia, modulus: 2.0 * inertia / side })
}

/// Mass one crossmember carries of a part that lies across several, kg: `mass · spacing / length`, never above the mass.
///
/// `length` is the footprint along the trailer, m. Rises with the mass and the spacing, falls with the length. `None` for a
/// length that is not positive. Tributary width, statics.
pub fn mass_on_member(mass: f64, spacing: f64, length: f64) -> Option<f64> {
    (length > 0.0).then(|| mass * (spacing / length).min(1.0))
}

/// A crossmember on two supports with a uniform load on the middle part of its span.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossmember {
    /// Distance between supports, m.
    pub span: f64,
    /// Length of the loaded middle part, m, at most the span.
    pub loaded: f64,
    /// Mass carried, kg, shock included by the caller.
    pub mass: f64,
    /// Section of the member.
    pub section: Section,
    /// Young's modulus, Pa; [`STEEL_MODULUS`] for steel.
    pub modulus: f64,
}

impl Crossmember {
    /// Largest bending moment, N·m: `W(2L − c)/8` in mid span.
    ///
    /// Rises with the mass and the span, falls with the loaded length. `None` unless `0 ≤ loaded ≤ span`, `span > 0`.
    /// Beam statics (Roark, simply supported beam, partial uniform load).
    pub fn moment(&self) -> Option<f64> {
        self.is_sound().then(|| self.mass * STANDARD_GRAVITY * (2.0 * self.span - self.loaded) / 8.0)
    }

    /// Bending stress, Pa: moment over section modulus. Directions as [`Crossmember::moment`]; falls with the section.
    pub fn stress(&self) -> Option<f64> {
        (self.section.modulus > 0.0).then_some(())?;
        Some(self.moment()? / self.section.modulus)
    }

    /// Sag in mid span, m: `W(8L³ − 4Lc² + c³)/(384·E·I)`.
    ///
    /// Rises with the mass and the span, falls with the loaded length, the section and the modulus. `None` as
    /// [`Crossmember::moment`], or for a section or modulus that is not positive. Beam statics: becomes 5WL³/384EI for
    /// `c = L` and WL³/48EI for `c = 0`.
    pub fn sag(&self) -> Option<f64> {
        let stiffness = self.modulus * self.section.inertia;
        if !self.is_sound() || stiffness <= 0.0 {
            return None;
        }
        let (l, c) = (self.span, self.loaded);
        let shape = 8.0 * l.powi(3) - 4.0 * l * c * c + c.powi(3);
        Some(self.mass * STANDARD_GRAVITY * shape / (384.0 * stiffness))
    }

    /// Mass the member carries at the stress `allowed` in Pa, kg. Rises with the section and the allowed stress and the
    /// loaded length, falls with the span. `None` as [`Crossmember::moment`].
    pub fn capacity(&self, allowed: f64) -> Option<f64> {
        self.is_sound()
            .then(|| 8.0 * allowed * self.section.modulus / ((2.0 * self.span - self.loaded) * STANDARD_GRAVITY))
    }

    fn is_sound(&self) -> bool {
        self.span > 0.0 && (0.0..=self.span).contains(&self.loaded)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LB: f64 = 0.453_592_37;
    const PSF: f64 = POUND_FORCE / (FOOT * FOOT);

    fn close(got: f64, want: f64) {
        assert!((got - want).abs() <= 1e-5 * want.abs(), "got {got}, want {want}");
    }

    fn floor24(span_in: f64, spans: u32) -> Deck {
        Deck { rating: PanelRating::Floor24, span: span_in * INCH, spans, wet_factor: 1.0 }
    }

    #[test]
    fn a_full_tank_presses_as_its_weight_over_its_footprint() {
        // Statics, by hand: 889 lb on 48 x 30 in = 10 ft2 is 88.9 psf, 177.8 with the road shock.
        let area = 48.0 * INCH * 30.0 * INCH;
        close(pressure(889.0 * LB, area, 1.0).unwrap() / PSF, 88.9);
        close(pressure(889.0 * LB, area, ROAD_SHOCK).unwrap() / PSF, 177.8);
        assert_eq!(pressure(1.0, 0.0, 1.0), None);
    }

    #[test]
    fn plywood_rated_24_on_centre_carries_the_handbook_load() {
        // AWC ASD/LRFD Manual Table M9.2-1 (FbS 705 lb in/ft, EI 330,000 lb in2/ft) in the APA D510 forms 120 FbS/l2,
        // 96 FbS/l2 and w l4/(1743 EI): 120*705/16^2 = 330.469, 120*705/24^2 = 146.875, 96*705/16^2 = 264.375 psf.
        close(floor24(16.0, 3).bending_capacity().unwrap() / PSF, 330.468_75);
        close(floor24(24.0, 3).bending_capacity().unwrap() / PSF, 146.875);
        close(floor24(16.0, 1).bending_capacity().unwrap() / PSF, 264.375);
        close(floor24(16.0, 2).bending_capacity().unwrap() / PSF, 264.375);
        close(floor24(24.0, 3).sag(88.9 * PSF).unwrap() / INCH, 0.051_278_510_4);
        // Same table, by hand: 88.9*24^4/(921.6*330000) and /(2220*330000).
        close(floor24(24.0, 1).sag(88.9 * PSF).unwrap() / INCH, 88.9 * 331_776.0 / (921.6 * 330e3));
        close(floor24(24.0, 2).sag(88.9 * PSF).unwrap() / INCH, 88.9 * 331_776.0 / (2220.0 * 330e3));
    }

    #[test]
    fn every_row_of_the_panel_table_is_the_published_one() {
        // AWC ASD/LRFD Manual, Table M9.2-1, 4-ply: capacity over three spans of 16 in is 120 FbS/256 psf.
        let table = [(405.0, 125e3), (690.0, 250e3), (930.0, 440e3), (455.0, 165e3), (530.0, 230e3), (705.0, 330e3)];
        for (rating, (strength, stiffness)) in
            PanelRating::ALL.into_iter().zip(table.into_iter().chain([(955.0, 715e3)]))
        {
            let deck = Deck { rating, span: 16.0 * INCH, spans: 3, wet_factor: 1.0 };
            close(deck.bending_capacity().unwrap() / PSF, 120.0 * strength / 256.0);
            close(deck.sag(PSF).unwrap() / INCH, 65_536.0 / (1743.0 * stiffness));
        }
    }

    #[test]
    fn the_sag_limit_and_the_sag_agree() {
        // At the capacity for l/360 the sag is l/360 by definition; 24oc at 24 in: 1743*330000/(360*24^3) = 115.6 psf.
        let deck = floor24(24.0, 3);
        let limit = deck.sag_capacity(360.0).unwrap();
        close(limit / PSF, 1743.0 * 330e3 / (360.0 * 13_824.0));
        close(deck.sag(limit).unwrap(), deck.span / 360.0);
        assert_eq!(deck.capacity(360.0), deck.sag_capacity(360.0));
        assert_eq!(floor24(16.0, 3).capacity(360.0), floor24(16.0, 3).bending_capacity());
    }

    #[test]
    fn a_wet_deck_carries_less_and_needs_closer_members() {
        // Algebra: strength scales by 0.75, spacing by its root.
        let dry = widest_member_spacing(PanelRating::Floor24, 3, 1.0, 177.8 * PSF).unwrap();
        close(dry / INCH, (120.0_f64 * 705.0 / 177.8).sqrt());
        let wet = widest_member_spacing(PanelRating::Floor24, 3, WET_PLYWOOD, 177.8 * PSF).unwrap();
        close(wet / dry, 0.75_f64.sqrt());
        assert_eq!(widest_member_spacing(PanelRating::Floor24, 3, 1.0, 0.0), None);
        assert_eq!(floor24(0.0, 3).bending_capacity(), None);
        assert_eq!(floor24(16.0, 0).sag(1.0), None);
        assert_eq!(floor24(16.0, 3).sag_capacity(0.0), None);
    }

    fn tube_member() -> Crossmember {
        // 889 lb over 48 in, members at 16 in.
        let mass = mass_on_member(889.0 * LB, 16.0 * INCH, 48.0 * INCH).unwrap();
        let section = square_tube(2.0 * INCH, 0.125 * INCH).unwrap();
        Crossmember { span: 60.0 * INCH, loaded: 30.0 * INCH, mass, section, modulus: STEEL_MODULUS }
    }

    #[test]
    fn a_two_inch_tube_crossmember_bends_as_beam_statics_says() {
        // Beam statics, by hand: I = S = 0.5517578 in4 (sides 2 and 1.75 in); M = W(2L-c)/8 = 296.33*90/8 = 3,333.75 lb in;
        // 6,042 psi; sag 0.0742235 in.
        let member = tube_member();
        close(member.mass / LB, 296.333_333);
        close(member.section.inertia / INCH.powi(4), 0.551_757_812_5);
        close(member.section.modulus / INCH.powi(3), 0.551_757_812_5);
        close(member.moment().unwrap() / (POUND_FORCE * INCH), 3333.75);
        close(member.stress().unwrap() / PSI, 6_042.053_097);
        close(member.sag().unwrap() / INCH, 0.074_223_497_1);
        // 0.66 * 46 ksi / 6.042 ksi times the load.
        let carried = member.capacity(STEEL_BENDING_FACTOR * TUBE_YIELD).unwrap();
        close(carried / member.mass, 0.66 * 46_000.0 / 6_042.053_097);
    }

    #[test]
    fn a_full_and_a_point_load_are_the_textbook_cases() {
        // Roark: uniform over the span WL/8 and 5WL3/384EI; point in the middle WL/4 and WL3/48EI.
        let load = tube_member().mass * STANDARD_GRAVITY;
        let stiffness = STEEL_MODULUS * tube_member().section.inertia;
        let (l, cube) = (tube_member().span, tube_member().span.powi(3));
        let full = Crossmember { loaded: l, ..tube_member() };
        close(full.moment().unwrap(), load * l / 8.0);
        close(full.sag().unwrap(), 5.0 * load * cube / (384.0 * stiffness));
        let point = Crossmember { loaded: 0.0, ..tube_member() };
        close(point.moment().unwrap(), load * l / 4.0);
        close(point.sag().unwrap(), load * cube / (48.0 * stiffness));
    }

    #[test]
    fn impossible_members_have_no_answer() {
        assert_eq!(square_tube(0.05, 0.03), None);
        assert_eq!(square_tube(0.0, 0.0), None);
        assert_eq!(mass_on_member(10.0, 0.4, 0.0), None);
        assert_eq!(mass_on_member(10.0, 0.8, 0.4), Some(10.0));
        let long = Crossmember { loaded: 2.0, ..tube_member() };
        assert_eq!((long.moment(), long.stress(), long.sag(), long.capacity(1.0)), (None, None, None, None));
    }

    proptest! {
        // Unit-load integral by the trapezium rule: sag = (1/EI) * integral of M(x) m(x), independent of the closed form.
        #[test]
        fn the_closed_form_sag_is_the_unit_load_integral(span in 0.5f64..3.0, part in 0.01f64..1.0, mass in 1.0f64..500.0) {
            let loaded = span * part;
            let member = Crossmember { span, loaded, mass, ..tube_member() };
            let load = mass * STANDARD_GRAVITY;
            let start = (span - loaded) / 2.0;
            let steps = 4000;
            let mut integral = 0.0;
            for i in 0..steps {
                let x = (f64::from(i) + 0.5) * span / (2.0 * f64::from(steps));
                let over = (x - start).max(0.0);
                let moment = load / 2.0 * x - load / loaded * over * over / 2.0;
                integral += 2.0 * moment * (x / 2.0) * span / (2.0 * f64::from(steps));
            }
            let want = integral / (STEEL_MODULUS * member.section.inertia);
            prop_assert!((member.sag().unwrap() - want).abs() <= 1e-5 * want);
        }

        #[test]
        fn a_wider_spacing_never_carries_more(span in 0.2f64..1.2, extra in 0.0f64..0.5, spans in 1u32..5) {
            for rating in PanelRating::ALL {
                let near = Deck { rating, span, spans, wet_factor: 1.0 };
                let far = Deck { span: span + extra, ..near };
                prop_assert!(far.capacity(360.0).unwrap() <= near.capacity(360.0).unwrap());
            }
        }
    }
}
