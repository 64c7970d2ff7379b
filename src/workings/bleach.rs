//! Bleach in its tank: strength by whatever its label means, what is left of it by now, how fast it goes, what tank it wants.

use super::materials::chlorine;
use super::paths::map::{Fluid, held};
use super::{Card, Gives, Sheet, SubjectId, row};
use crate::bounds::{Bounded, Input, corners};
use crate::figures::bleach::keeping::{
    Keeping, REAL_PRODUCT_FACTOR, SUN_FACTOR, gas_flow, half_life, ionic_strength, oxygen_make, strength_after,
};
use crate::figures::bleach::{self, StrengthBasis, USUAL_CAUSTIC};
use crate::measure::{Measure, Range};
use crate::rig::parts::{Contents, Kind};
use crate::rig::{Amount, Flag, Rig, Word};

const KINETICS: &str = "Adam and Gordon, Inorg. Chem. 38 (1999) 1299; real products lose 0.8 to 1.6 times as fast";
const LABEL: &str = "trade percent is grams of available chlorine in 100 mL; White, Handbook of Chlorination; density by a straight line through an equipment maker's points";

/// A tank or can of bleach or of a mix with bleach.
pub const STOCK: &str = "bleach-stock";

const fn figure(
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
    source: &'static str,
) -> Card {
    Card { of: STOCK, name, gives: Gives::Figure(measure), help, method, source }
}

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    Card { of: STOCK, name: "holder", gives: Gives::Subject("part"), help: "The tank or can", method: "", source: "" },
    Card {
        of: STOCK,
        name: "is-tank",
        gives: Gives::Note,
        help: "`yes` for a tank, `no` for a can",
        method: "",
        source: "",
    },
    Card {
        of: STOCK,
        name: "readings",
        gives: Gives::Note,
        help: "What the number may mean, each with its trade percent",
        method: "",
        source: "",
    },
    figure(
        "boxed",
        Measure::Count,
        "1 where it stands in a closed box, 0 where not, between where nobody says",
        "by body and place",
        "the spec",
    ),
    figure(
        "chlorine",
        Measure::Concentration,
        "Available chlorine as delivered",
        "the stated strength by its basis",
        LABEL,
    ),
    figure(
        "chlorine-now",
        Measure::Concentration,
        "Available chlorine left by now",
        "C ÷ (1 + F k C t), second order",
        KINETICS,
    ),
    figure(
        "chlorine-in-30-days",
        Measure::Concentration,
        "Available chlorine left 30 days from now",
        "C ÷ (1 + F k C t), second order",
        KINETICS,
    ),
    figure(
        "half-gone-in",
        Measure::Duration,
        "Time until half of the delivered strength is gone",
        "1 ÷ (F k C)",
        KINETICS,
    ),
    figure(
        "kept-at",
        Measure::Temperature,
        "Temperature it is kept at",
        "the season's where stated, else the tank's",
        "the spec",
    ),
    figure("wanted", Measure::Concentration, "Strongest that any job asks for", "the duties, by their basis", LABEL),
    figure(
        "wall-carries",
        Measure::Density,
        "Heaviest liquid that the tank's wall is rated for",
        "rated specific gravity × water",
        "the spec",
    ),
    figure(
        "density",
        Measure::Density,
        "Density by its strength, 0.6 % either way",
        "0.998207 × (1 + 0.00130833 × g/L + 0.015068 × % caustic)",
        LABEL,
    ),
    figure("gravity", Measure::Ratio, "Specific gravity by its strength", "density ÷ water", LABEL),
    figure(
        "oxygen-a-day",
        Measure::Volume,
        "Oxygen that a full tank makes in a day",
        "1 ÷ 28.1 of the loss",
        "Lister, Can. J. Chem. 34 (1956): side path of the loss",
    ),
];

/// Works out every tank and can with bleach.
pub fn work(rig: &Rig, sheet: &mut Sheet) {
    let wanted = wanted(rig);
    for (name, part) in rig.parts() {
        if held(rig, part) != Some(Fluid::Bleach) {
            continue;
        }
        let (holds, capacity, opaque) = match &part.kind {
            Kind::Tank(tank) => (&tank.holds, tank.capacity, Some(tank.opaque)),
            Kind::Container(can) => (&can.holds, can.capacity, None),
            _ => continue,
        };
        let subject = sheet.subject(STOCK, name.to_owned(), rig.entry(part.entry).place.clone());
        sheet.link(subject, row(CARDS, STOCK, "holder"), SubjectId(part.entry.0));
        let tank = if opaque.is_some() { "yes" } else { "no" };
        sheet.note(subject, row(CARDS, STOCK, "is-tank"), tank.to_owned());
        sheet.note(subject, row(CARDS, STOCK, "readings"), readings(rig, holds));
        sheet.enter(subject, row(CARDS, STOCK, "boxed"), boxed(rig, part.common.outside));
        let wall = match &part.kind {
            Kind::Tank(tank) => {
                corners([&Input::fact(rig, tank.rated_gravity)], |[gravity]| Some(gravity * bleach::WATER_DENSITY))
            }
            _ => Bounded::default(),
        };
        sheet.enter(subject, row(CARDS, STOCK, "wall-carries"), wall);
        for (name, value) in stock(rig, holds, capacity, opaque, &wanted) {
            sheet.enter(subject, row(CARDS, STOCK, name), value);
        }
    }
}

/// Whether a part stands in a closed box.
fn boxed(rig: &Rig, outside: Flag) -> Bounded {
    let Some(trailer) = &rig.spec.trailer else { return Input::fixed(0.0) };
    if rig.flag(outside) == Some(true) {
        return Input::fixed(0.0);
    }
    match rig.word(trailer.body) {
        Some("enclosed") => Input::fixed(1.0),
        Some(_) => Input::fixed(0.0),
        None => Bounded { range: Range::new(0.0, 1.0), facts: vec![(trailer.body.id, 1.0)] },
    }
}

/// Seconds in a day.
pub const DAY: f64 = 86_400.0;

/// How bleach of a tank ages: strength, ionic strength, temperature and factor as inputs.
pub struct Ageing {
    /// Available chlorine as delivered, kg/m³.
    pub chlorine: Bounded,
    salt: Bounded,
    /// Temperature, K.
    pub kept_at: Input,
    factor: Bounded,
    age: Input,
}

impl Ageing {
    /// Of what a tank holds; `opaque` is the tank's.
    pub fn of(rig: &Rig, holds: &Contents, opaque: Option<Flag>) -> Self {
        let chlorine = chlorine(rig, holds);
        let salt = corners([&chlorine], |[chlorine]| Some(ionic_strength(chlorine, USUAL_CAUSTIC)));
        let kept_at = kept_at(rig, holds.temperature);
        let (least, _, most) = REAL_PRODUCT_FACTOR;
        let most = match opaque.map(|flag| (flag, rig.flag(flag))) {
            Some((_, Some(false))) => most * SUN_FACTOR.1,
            _ => most,
        };
        let factor = Bounded { range: Range::new(least, most), facts: Vec::new() };
        Self { chlorine, salt, kept_at, factor, age: Input::fact(rig, holds.made) }
    }

    /// What `ask` says of it with its age plus `later` seconds.
    fn ask(&self, later: f64, ask: impl Fn(&Keeping, f64) -> Option<f64>) -> Bounded {
        corners(
            [&self.chlorine, &self.salt, &self.kept_at, &self.factor, &self.age],
            |[chlorine, ionic_strength, kelvin, factor, age]| {
                ask(&Keeping { chlorine, ionic_strength, temperature: kelvin - 273.15, factor }, age + later)
            },
        )
    }

    /// Available chlorine `later` seconds from now, kg/m³.
    pub fn after(&self, later: f64) -> Bounded {
        self.ask(later, |keeping, age| Some(strength_after(keeping, age)))
    }
}

fn kept_at(rig: &Rig, own: Amount) -> Input {
    let season = rig.spec.climate.bleach_store;
    if rig.states(season) || !rig.states(own) { Input::fact(rig, season) } else { Input::fact(rig, own) }
}

fn stock(
    rig: &Rig,
    holds: &Contents,
    capacity: Amount,
    opaque: Option<Flag>,
    wanted: &Bounded,
) -> Vec<(&'static str, Bounded)> {
    let ageing = Ageing::of(rig, holds, opaque);
    let half = corners(
        [&ageing.chlorine, &ageing.salt, &ageing.kept_at, &ageing.factor],
        |[chlorine, ionic_strength, kelvin, factor]| {
            half_life(&Keeping { chlorine, ionic_strength, temperature: kelvin - 273.15, factor })
        },
    );
    let oxygen = corners(
        [&ageing.chlorine, &ageing.salt, &ageing.kept_at, &ageing.factor, &Input::fact(rig, capacity)],
        |[chlorine, ionic_strength, kelvin, factor, volume]| {
            let keeping = Keeping { chlorine, ionic_strength, temperature: kelvin - 273.15, factor };
            Some(gas_flow(oxygen_make(&keeping, volume), kelvin - 273.15) * DAY)
        },
    );
    let density = |spread: f64| {
        corners([&ageing.chlorine], |[chlorine]| Some(bleach::density(chlorine, USUAL_CAUSTIC) * (1.0 + spread)))
    };
    let (light, heavy) = (density(-bleach::DENSITY_UNCERTAINTY), density(bleach::DENSITY_UNCERTAINTY));
    let density =
        Bounded { range: light.range.zip(heavy.range).map(|(light, heavy)| light.hull(heavy)), facts: heavy.facts };
    let gravity = corners([&density], |[density]| Some(density / bleach::WATER_DENSITY));
    vec![
        ("chlorine-now", ageing.after(0.0)),
        ("chlorine-in-30-days", ageing.after(30.0 * DAY)),
        ("half-gone-in", half),
        ("kept-at", ageing.kept_at.clone()),
        ("wanted", wanted.clone()),
        ("density", density),
        ("gravity", gravity),
        ("oxygen-a-day", oxygen),
        ("chlorine", ageing.chlorine),
    ]
}

/// The strongest that any duty asks for; nought where none does.
fn wanted(rig: &Rig) -> Bounded {
    let stated = rig.spec.duties.iter().filter(|duty| rig.states(duty.strength.value));
    let each = stated.map(|duty| strength(rig, duty.strength.value, duty.strength.basis));
    let higher = |one: Bounded, other: Bounded| Bounded {
        range: one.range.zip(other.range).map(|(one, other)| one.max(other)),
        facts: one.facts.into_iter().chain(other.facts).collect(),
    };
    each.reduce(higher).unwrap_or_else(|| Input::fixed(0.0))
}

/// Available chlorine of a stated strength; one without a basis is read as trade percent or as weight.
pub fn strength(rig: &Rig, value: Amount, basis: Word) -> Bounded {
    let number = Input::fact(rig, value);
    let bases = match rig.word(basis) {
        Some("trade") => vec![StrengthBasis::TradePercent],
        Some("wt") => vec![StrengthBasis::WeightPercentHypochlorite],
        Some("wt-chlorine") => vec![StrengthBasis::WeightPercentChlorine],
        Some(_) => vec![StrengthBasis::GramsPerLitre],
        None => StrengthBasis::ALL.to_vec(),
    };
    let read = |basis: StrengthBasis| {
        corners([&number], |[number]| {
            let number = if basis == StrengthBasis::GramsPerLitre { number } else { number * 100.0 };
            bleach::available_chlorine(basis, number, USUAL_CAUSTIC)
        })
    };
    let hull = |one: Bounded, other: Bounded| Bounded {
        range: one.range.zip(other.range).map(|(one, other)| one.hull(other)),
        facts: one.facts,
    };
    bases.into_iter().map(read).reduce(hull).unwrap_or_default()
}

/// What the number on the label may mean, in words.
fn readings(rig: &Rig, holds: &Contents) -> String {
    let Some(number) = rig.known(holds.strength.value) else { return "no strength stated".to_owned() };
    let percent = number.middle() * 100.0;
    let names = ["trade percent", "percent by weight of hypochlorite", "percent by weight of chlorine"];
    let each = StrengthBasis::ALL.iter().zip(names).filter_map(|(basis, name)| {
        let chlorine = bleach::available_chlorine(*basis, percent, USUAL_CAUSTIC)?;
        Some(format!("as {name} {:.1} trade percent", bleach::to_trade_percent(chlorine)))
    });
    each.collect::<Vec<_>>().join(", ")
}
