//! The mix sheet: for each tank of bleach what to pour, what to set, what the rig can reach and how that fades.
//!
//! No rule reads it; it is what `rigproof mix` prints. Strengths are available chlorine in kg/m³, with the range that age,
//! temperature and the label leave.

use super::bleach::{Ageing, DAY};
use super::paths::map::{Fluid, held};
use super::{Property, Sheet, SubjectId};
use crate::bounds::Bounded;
use crate::figures::mixing::{bleach_fraction, largest_injector_ratio};
use crate::measure::Range;
use crate::rig::Rig;
use crate::rig::parts::Kind;

/// One strength that is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// What wants it.
    pub name: String,
    /// Available chlorine, kg/m³.
    pub chlorine: f64,
}

/// The sheet for one tank or can.
#[derive(Debug, Clone)]
pub struct MixSheet {
    /// The tank, by id.
    pub holder: String,
    /// Strength as delivered.
    pub delivered: Option<Range>,
    /// Strength by now: what comes out with the water shut.
    pub now: Option<Range>,
    /// The label does not say what its percent is of.
    pub basis_open: bool,
    /// What is not stated and widens all of it, by place.
    pub open: Vec<String>,
    /// A row for each strength that is wanted.
    pub rows: Vec<MixRow>,
    /// Strength left, week by week from now.
    pub weeks: Vec<(u32, Option<Range>)>,
}

/// How to make one strength.
#[derive(Debug, Clone)]
pub struct MixRow {
    /// What is wanted.
    pub wanted: Wanted,
    /// Share of bleach in the mix; `None` where the tank is too weak for it, or nobody knows how strong it is.
    pub share: Option<Range>,
    /// Largest ratio of water to bleach at an injector.
    pub ratio: Option<Range>,
    /// Share of bleach after each of the weeks.
    pub later: Vec<Option<Range>>,
}

/// A pump and the flow at its tip, m³/s.
#[derive(Debug, Clone)]
pub struct PumpFlow {
    /// The pump.
    pub pump: String,
    /// Flow at its tip.
    pub flow: Range,
}

/// Weeks that the sheet looks ahead.
pub const WEEKS: [u32; 6] = [0, 1, 2, 4, 6, 8];

/// The strengths that the duties ask for, each once.
pub fn wanted_by_duties(rig: &Rig) -> Vec<Wanted> {
    let mut found: Vec<Wanted> = Vec::new();
    for duty in &rig.spec.duties {
        let name = rig.text(duty.job).unwrap_or("a job").to_owned();
        let strength = super::bleach::strength(rig, duty.strength.value, duty.strength.basis);
        let stated = rig.states(duty.strength.value);
        let Some(range) = strength.range.filter(|_| stated) else { continue };
        match found.iter_mut().find(|other| (other.chlorine - range.high).abs() < 1e-9) {
            Some(other) => other.name = format!("{}, {name}", other.name),
            None => found.push(Wanted { name, chlorine: range.high }),
        }
    }
    found
}

/// The sheets of every tank and can with bleach.
pub fn sheets(rig: &Rig, wanted: &[Wanted]) -> Vec<MixSheet> {
    let stocks = rig.parts().filter(|(_, part)| held(rig, part) == Some(Fluid::Bleach));
    let each = stocks.filter_map(|(name, part)| {
        let (holds, opaque) = match &part.kind {
            Kind::Tank(tank) => (&tank.holds, Some(tank.opaque)),
            Kind::Container(can) => (&can.holds, None),
            _ => return None,
        };
        let ageing = Ageing::of(rig, holds, opaque);
        let weeks: Vec<(u32, Option<Range>)> =
            WEEKS.iter().map(|week| (*week, ageing.after(f64::from(*week) * 7.0 * DAY).range)).collect();
        let now = ageing.after(0.0);
        Some(MixSheet {
            holder: name.to_owned(),
            delivered: ageing.chlorine.range,
            now: now.range,
            basis_open: rig.word(holds.strength.basis).is_none(),
            open: open(rig, &now),
            rows: wanted.iter().map(|wanted| mix_row(wanted, &weeks)).collect(),
            weeks,
        })
    });
    each.collect()
}

/// The three facts that widen it most, by place.
fn open(rig: &Rig, value: &Bounded) -> Vec<String> {
    value.settle().into_iter().take(3).map(|fact| rig.place(fact).to_string()).collect()
}

fn mix_row(wanted: &Wanted, weeks: &[(u32, Option<Range>)]) -> MixRow {
    let now = weeks.first().and_then(|(_, range)| *range);
    let ratio = now.and_then(|now| {
        let of = |chlorine| largest_injector_ratio(chlorine, wanted.chlorine);
        Range::between(of(now.low)?, of(now.high)?)
    });
    MixRow {
        wanted: wanted.clone(),
        share: now.and_then(|now| share(now, wanted.chlorine)),
        ratio,
        later: weeks.iter().map(|(_, range)| range.and_then(|range| share(range, wanted.chlorine))).collect(),
    }
}

/// Share of bleach that gives `wanted`, for the strongest and the weakest it may be.
fn share(strength: Range, wanted: f64) -> Option<Range> {
    Range::between(bleach_fraction(strength.high, wanted, 0.0)?, bleach_fraction(strength.low, wanted, 0.0)?)
}

/// What each delivery pump gives at its tip, as the sheet has it.
pub fn pump_flows(sheet: &Sheet) -> Vec<PumpFlow> {
    let ways = (0..).zip(&sheet.subjects).filter(|(_, subject)| subject.kind == "delivery-way");
    let mut found: Vec<PumpFlow> = Vec::new();
    for (at, _) in ways {
        let subject = SubjectId(at);
        let (Some(flow), Some(Property::Subject(pump))) =
            (sheet.range(subject, "tip-flow"), sheet.property(subject, "pump"))
        else {
            continue;
        };
        let pump = sheet.at(pump).name.clone();
        if !found.iter().any(|other| other.pump == pump) {
            found.push(PumpFlow { pump, flow });
        }
    }
    found
}

/// Reads a strength as a spec writes it: `3 % trade`, `12.5 % wt`, `8 % wt-chlorine`, `30 g/L`.
///
/// # Errors
/// What is wrong with it, in a sentence.
pub fn read_strength(text: &str) -> Result<Wanted, String> {
    use crate::figures::bleach::{StrengthBasis, USUAL_CAUSTIC, available_chlorine};
    let wrong = || format!("`{text}` is no strength; write it with its basis, as `3 % trade`, `3 % wt` or `30 g/L`");
    let squeezed = text.replace('%', " % ").replace("g/L", " g/L");
    let words: Vec<&str> = squeezed.split_whitespace().collect();
    let (basis, number) = match words.as_slice() {
        [number, "%", "trade"] => (StrengthBasis::TradePercent, number),
        [number, "%", "wt"] => (StrengthBasis::WeightPercentHypochlorite, number),
        [number, "%", "wt-chlorine"] => (StrengthBasis::WeightPercentChlorine, number),
        [number, "g/L"] => (StrengthBasis::GramsPerLitre, number),
        _ => return Err(wrong()),
    };
    let number: f64 = number.parse().map_err(|_| wrong())?;
    let chlorine = available_chlorine(basis, number, USUAL_CAUSTIC)
        .filter(|chlorine| *chlorine > 0.0 && chlorine.is_finite())
        .ok_or_else(wrong)?;
    Ok(Wanted { name: text.trim().to_owned(), chlorine })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_strength_is_read_with_its_basis_or_not_at_all() {
        // Trade percent is grams of available chlorine in 100 mL (White, Handbook of Chlorination): 3 % is 30 g/L.
        assert!((read_strength("3 % trade").unwrap().chlorine - 30.0).abs() < 1e-9);
        assert!((read_strength("3% trade").unwrap().chlorine - 30.0).abs() < 1e-9);
        assert!((read_strength("30 g/L").unwrap().chlorine - 30.0).abs() < 1e-9);
        for wrong in ["3 %", "strong", "-3 % trade", "0 % trade", "nan g/L", ""] {
            assert!(read_strength(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_hundred_gallons_of_3_percent_takes_24_of_12_5_trade_and_more_as_it_ages() {
        // Balance of chlorine, by hand: 3 / 12.5 = 0.24, 3 / 9 = 0.3333.
        let strength = Range::between(90.0, 125.0).unwrap();
        let found = share(strength, 30.0).unwrap();
        assert!((found.low - 0.24).abs() < 1e-9 && (found.high - 1.0 / 3.0).abs() < 1e-9);
        assert_eq!(share(Range::between(20.0, 125.0).unwrap(), 30.0), None);
        let wanted = Wanted { name: "roof".to_owned(), chlorine: 30.0 };
        let row = mix_row(&wanted, &[(0, Range::point(120.0)), (4, Range::point(60.0)), (8, Range::point(25.0))]);
        // By hand: 120 / 30 - 1 = 3 parts of water to one of bleach.
        assert!((row.ratio.unwrap().low - 3.0).abs() < 1e-9);
        assert!((row.later[1].unwrap().low - 0.5).abs() < 1e-9 && row.later[2].is_none());
    }
}
