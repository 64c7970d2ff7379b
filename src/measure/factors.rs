//! The unit table against outside sources.

use super::table::{PLAIN, UNITS};
use super::unit::{find, tidy, unit_named};
use super::*;

fn close(value: f64, expected: f64, share: f64) -> bool {
    (value - expected).abs() <= share * expected.abs().max(1e-300)
}

#[test]
fn every_spelling_is_in_its_tidy_form_and_names_one_unit_of_its_measure() {
    for unit in UNITS {
        for spelling in unit.spellings {
            assert_eq!(tidy(spelling), *spelling);
            let found = find(spelling, unit.measure).expect("a unit for every spelling");
            assert!(std::ptr::eq(found, unit), "{spelling} names {} and {}", found.symbol, unit.symbol);
        }
        if !unit.symbol.is_empty() {
            let symbol = find(&tidy(unit.symbol), unit.measure).expect("a unit for every symbol");
            assert!(std::ptr::eq(symbol, unit), "{}", unit.symbol);
        }
        assert!(unit.factor.is_finite() && unit.factor > 0.0, "{}", unit.symbol);
    }
}

#[test]
fn spellings_that_differ_only_in_capitals_never_name_two_units_of_a_measure() {
    for (index, unit) in UNITS.iter().enumerate() {
        for other in UNITS.iter().skip(index + 1).filter(|other| other.measure == unit.measure) {
            for spelling in unit.spellings {
                assert!(!other.spellings.iter().any(|known| known.eq_ignore_ascii_case(spelling)), "{spelling}");
            }
        }
    }
}

#[test]
fn every_measure_has_a_unit_in_both_systems_and_an_example_that_reads() {
    for measure in Measure::ALL {
        for system in [System::Us, System::Si] {
            let unit = measure.unit(system);
            assert_eq!(unit.measure, measure, "{measure:?}");
            assert!(!std::ptr::eq(unit, &raw const PLAIN), "{measure:?}");
        }
        read(measure.example(), measure).expect("an example that reads");
        assert!(measure.name().starts_with("a ") || measure.name().starts_with("an "));
    }
}

// The powers are those of the SI Brochure, 9th edition (2019), tables 4 to 6, worked out by hand.
#[test]
fn dimensions_multiply_and_divide_to_the_measure_a_person_expects() {
    use Measure as M;
    assert_eq!(M::of(M::Length.dim() * M::Length.dim()), Some(M::Area));
    assert_eq!(M::of(M::Area.dim() * M::Length.dim()), Some(M::Volume));
    assert_eq!(M::of(M::Volume.dim() / M::Duration.dim()), Some(M::Flow));
    assert_eq!(M::of(M::Flow.dim() * M::Pressure.dim()), Some(M::Power));
    assert_eq!(M::of(M::Power.dim() * M::Duration.dim()), Some(M::Energy));
    assert_eq!(M::of(M::Mass.dim() * M::Acceleration.dim()), Some(M::Force));
    assert_eq!(M::of(M::Force.dim() / M::Area.dim()), Some(M::Pressure));
    assert_eq!(M::of(M::Force.dim() / M::Length.dim()), Some(M::SpringRate));
    assert_eq!(M::of(M::Mass.dim() / M::Volume.dim()), Some(M::Density));
    assert_eq!(M::of(M::Voltage.dim() * M::Current.dim()), Some(M::Power));
    assert_eq!(M::of(M::Voltage.dim() / M::Current.dim()), Some(M::Resistance));
    assert_eq!(M::of(M::Current.dim() * M::Duration.dim()), Some(M::Charge));
    assert_eq!(M::of(M::Length.dim() / M::Duration.dim() / M::Duration.dim()), Some(M::Acceleration));
    assert_eq!(M::of(M::Pressure.dim() * M::Duration.dim()), Some(M::Viscosity));
    assert_eq!(M::of(M::Area.dim() / M::Duration.dim()), Some(M::AreaRate));
    assert_eq!(M::of(M::Mass.dim() / M::Mass.dim()), Some(M::Ratio));
    assert_eq!(M::of(M::Temperature.dim()), Some(M::TemperatureStep));
    assert_eq!(M::of(M::Mass.dim() * M::Mass.dim()), None);
    for measure in M::ALL {
        assert_eq!(M::of(measure.dim()).map(M::dim), Some(measure.dim()));
    }
}

// Exact definitions, NIST SP 811 (2008), appendix B.8 (factors printed bold there), or their product worked out by hand
// to the last digit printed here.
const DEFINED: &[(Measure, &str, f64)] = &[
    (Measure::Length, "in", 0.0254),
    (Measure::Length, "ft", 0.3048),
    (Measure::Length, "yd", 0.9144),
    (Measure::Length, "mi", 1609.344),
    (Measure::Area, "sq in", 6.4516e-4),
    (Measure::Area, "sq ft", 9.290_304e-2),
    (Measure::Volume, "gal", 3.785_411_784e-3),
    (Measure::Volume, "qt", 9.463_529_46e-4),
    (Measure::Volume, "pt", 4.731_764_73e-4),
    (Measure::Volume, "fl oz", 2.957_352_956_25e-5),
    (Measure::Volume, "cu ft", 2.831_684_659_2e-2),
    (Measure::Volume, "cu in", 1.638_706_4e-5),
    (Measure::Mass, "lb", 0.453_592_37),
    (Measure::Mass, "oz", 2.834_952_312_5e-2),
    (Measure::Force, "lbf", 4.448_221_615_260_5),
    (Measure::Pressure, "psi", 6_894.757_293_168),
    (Measure::Pressure, "psf", 47.880_258_980_34),
    (Measure::Pressure, "ftH2O", 2_989.066_92),
    (Measure::Pressure, "inHg", 3_386.388_640_341),
    (Measure::Flow, "gpm", 6.309_019_64e-5),
    (Measure::Flow, "cfm", 4.719_474_432e-4),
    (Measure::Power, "hp", 745.699_871_582_27),
    (Measure::Energy, "BTU", 1_055.055_852_62),
    (Measure::Energy, "kWh", 3.6e6),
    (Measure::Duration, "years", 3.1536e7),
    (Measure::Speed, "mph", 0.447_04),
    (Measure::Acceleration, "g", 9.806_65),
    (Measure::Charge, "Ah", 3600.0),
    (Measure::Density, "lb/gal", 119.826_427_316_9),
    (Measure::SpringRate, "lb/in", 175.126_835_246_48),
    (Measure::Torque, "lb-ft", 1.355_817_948_331_4),
    (Measure::Torque, "lb-in", 0.112_984_829_027_617),
    // 1 lbf times 1/12, and times 1/12 of an inch: by hand.
    (Measure::Bending, "lb-in/ft", 0.370_685_134_605_042),
    (Measure::Stiffness, "lb-in2/ft", 9.415_402_418_968_06e-3),
    (Measure::Concentration, "oz/gal", 7.489_151_707_3),
    (Measure::AreaRate, "sq ft/min", 1.548_384e-3),
    (Measure::Viscosity, "cP", 1e-3),
    // Not in uom: powers of ten, minutes and hours, by hand.
    (Measure::Flow, "mL/min", 1e-6 / 60.0),
    (Measure::SpringRate, "N/mm", 1e3),
    (Measure::SpringRate, "kN/m", 1e3),
    (Measure::Bending, "N·m/m", 1.0),
    (Measure::Stiffness, "N·m2/m", 1.0),
    (Measure::AreaRate, "sq ft/h", 9.290_304e-2 / 3600.0),
    (Measure::AreaRate, "m2/min", 1.0 / 60.0),
    (Measure::AreaRate, "m2/h", 1.0 / 3600.0),
    (Measure::Sound, "dBA", 1.0),
    (Measure::Ratio, "", 1.0),
    (Measure::Count, "", 1.0),
];

#[test]
fn exact_factors_are_those_of_their_definitions() {
    for (measure, symbol, si) in DEFINED {
        let unit = unit_named(symbol, *measure);
        assert_eq!((unit.symbol, unit.measure), (*symbol, *measure));
        assert!(unit.exact);
        assert!(close(unit.factor, *si, 1e-12), "{symbol}: {} is not {si}", unit.factor);
    }
}

// uom 0.38.0, which carries most factors to seven digits.
#[test]
fn factors_agree_with_the_uom_library() {
    use Measure as M;
    use uom::si::f64 as q;
    use uom::si::{
        acceleration, angle, area, diffusion_coefficient, dynamic_viscosity, electric_charge, electric_current,
        electric_potential, electrical_resistance, energy, force, frequency, length, mass, mass_concentration,
        mass_density, mass_rate, power, pressure, ratio, surface_tension, temperature_interval,
        thermodynamic_temperature, time, torque, velocity, volume, volume_rate,
    };
    let mut checked = Vec::new();
    let mut agree = |measure: Measure, symbol: &str, si: f64| {
        let unit = unit_named(symbol, measure);
        assert_eq!(unit.symbol, symbol);
        assert!(close(unit.to_si(1.0), si, 1e-6), "{symbol}: {} here, {si} there", unit.to_si(1.0));
        assert!(close(unit.from_si(si), 1.0, 1e-6), "{symbol} back");
        checked.push((measure, unit.symbol));
    };
    agree(M::Length, "in", q::Length::new::<length::inch>(1.0).value);
    agree(M::Length, "ft", q::Length::new::<length::foot>(1.0).value);
    agree(M::Length, "yd", q::Length::new::<length::yard>(1.0).value);
    agree(M::Length, "mi", q::Length::new::<length::mile>(1.0).value);
    agree(M::Length, "\u{b5}m", q::Length::new::<length::micrometer>(1.0).value);
    agree(M::Length, "mm", q::Length::new::<length::millimeter>(1.0).value);
    agree(M::Length, "cm", q::Length::new::<length::centimeter>(1.0).value);
    agree(M::Length, "m", q::Length::new::<length::meter>(1.0).value);
    agree(M::Length, "km", q::Length::new::<length::kilometer>(1.0).value);
    agree(M::Area, "sq ft", q::Area::new::<area::square_foot>(1.0).value);
    agree(M::Area, "sq in", q::Area::new::<area::square_inch>(1.0).value);
    agree(M::Area, "m2", q::Area::new::<area::square_meter>(1.0).value);
    agree(M::Area, "cm2", q::Area::new::<area::square_centimeter>(1.0).value);
    agree(M::Area, "mm2", q::Area::new::<area::square_millimeter>(1.0).value);
    agree(M::Volume, "gal", q::Volume::new::<volume::gallon>(1.0).value);
    agree(M::Volume, "qt", q::Volume::new::<volume::quart_liquid>(1.0).value);
    agree(M::Volume, "pt", q::Volume::new::<volume::pint_liquid>(1.0).value);
    agree(M::Volume, "fl oz", q::Volume::new::<volume::fluid_ounce>(1.0).value);
    agree(M::Volume, "L", q::Volume::new::<volume::liter>(1.0).value);
    agree(M::Volume, "mL", q::Volume::new::<volume::milliliter>(1.0).value);
    agree(M::Volume, "m3", q::Volume::new::<volume::cubic_meter>(1.0).value);
    agree(M::Volume, "cu ft", q::Volume::new::<volume::cubic_foot>(1.0).value);
    agree(M::Volume, "cu in", q::Volume::new::<volume::cubic_inch>(1.0).value);
    agree(M::Mass, "lb", q::Mass::new::<mass::pound>(1.0).value);
    agree(M::Mass, "oz", q::Mass::new::<mass::ounce>(1.0).value);
    agree(M::Mass, "kg", q::Mass::new::<mass::kilogram>(1.0).value);
    agree(M::Mass, "g", q::Mass::new::<mass::gram>(1.0).value);
    agree(M::Mass, "mg", q::Mass::new::<mass::milligram>(1.0).value);
    agree(M::Mass, "t", q::Mass::new::<mass::ton>(1.0).value);
    agree(M::Force, "lbf", q::Force::new::<force::pound_force>(1.0).value);
    agree(M::Force, "N", q::Force::new::<force::newton>(1.0).value);
    agree(M::Force, "kN", q::Force::new::<force::kilonewton>(1.0).value);
    agree(M::Pressure, "psi", q::Pressure::new::<pressure::psi>(1.0).value);
    agree(M::Pressure, "psf", q::Pressure::new::<pressure::pound_force_per_square_foot>(1.0).value);
    agree(M::Pressure, "bar", q::Pressure::new::<pressure::bar>(1.0).value);
    agree(M::Pressure, "mbar", q::Pressure::new::<pressure::millibar>(1.0).value);
    agree(M::Pressure, "Pa", q::Pressure::new::<pressure::pascal>(1.0).value);
    agree(M::Pressure, "kPa", q::Pressure::new::<pressure::kilopascal>(1.0).value);
    agree(M::Pressure, "MPa", q::Pressure::new::<pressure::megapascal>(1.0).value);
    agree(M::Pressure, "ftH2O", q::Pressure::new::<pressure::foot_of_water>(1.0).value);
    agree(M::Pressure, "inH2O", q::Pressure::new::<pressure::inch_of_water>(1.0).value);
    agree(M::Pressure, "inHg", q::Pressure::new::<pressure::inch_of_mercury>(1.0).value);
    agree(M::Flow, "gpm", q::VolumeRate::new::<volume_rate::gallon_per_minute>(1.0).value);
    agree(M::Flow, "gal/day", q::VolumeRate::new::<volume_rate::gallon_per_day>(1.0).value);
    agree(M::Flow, "gph", q::VolumeRate::new::<volume_rate::gallon_per_minute>(1.0).value / 60.0);
    agree(M::Flow, "L/min", q::VolumeRate::new::<volume_rate::liter_per_minute>(1.0).value);
    agree(M::Flow, "L/h", q::VolumeRate::new::<volume_rate::liter_per_minute>(1.0).value / 60.0);
    agree(M::Flow, "L/s", q::VolumeRate::new::<volume_rate::liter_per_second>(1.0).value);
    agree(M::Flow, "m3/h", q::VolumeRate::new::<volume_rate::cubic_meter_per_hour>(1.0).value);
    agree(M::Flow, "m3/min", q::VolumeRate::new::<volume_rate::cubic_meter_per_minute>(1.0).value);
    agree(M::Flow, "m3/s", q::VolumeRate::new::<volume_rate::cubic_meter_per_second>(1.0).value);
    agree(M::Flow, "cfm", q::VolumeRate::new::<volume_rate::cubic_foot_per_minute>(1.0).value);
    agree(M::MassFlow, "lb/h", q::MassRate::new::<mass_rate::pound_per_hour>(1.0).value);
    agree(M::MassFlow, "lb/min", q::MassRate::new::<mass_rate::pound_per_minute>(1.0).value);
    agree(M::MassFlow, "lb/s", q::MassRate::new::<mass_rate::pound_per_second>(1.0).value);
    agree(M::MassFlow, "kg/h", q::MassRate::new::<mass_rate::kilogram_per_hour>(1.0).value);
    agree(M::MassFlow, "kg/min", q::MassRate::new::<mass_rate::kilogram_per_minute>(1.0).value);
    agree(M::MassFlow, "kg/s", q::MassRate::new::<mass_rate::kilogram_per_second>(1.0).value);
    agree(M::MassFlow, "g/h", q::MassRate::new::<mass_rate::gram_per_hour>(1.0).value);
    agree(M::Power, "W", q::Power::new::<power::watt>(1.0).value);
    agree(M::Power, "kW", q::Power::new::<power::kilowatt>(1.0).value);
    agree(M::Power, "MW", q::Power::new::<power::megawatt>(1.0).value);
    agree(M::Power, "hp", q::Power::new::<power::horsepower>(1.0).value);
    agree(M::Power, "BTU/h", q::Energy::new::<energy::btu_it>(1.0).value / q::Time::new::<time::hour>(1.0).value);
    agree(M::Energy, "Wh", q::Energy::new::<energy::watt_hour>(1.0).value);
    agree(M::Energy, "kWh", q::Energy::new::<energy::kilowatt_hour>(1.0).value);
    agree(M::Energy, "BTU", q::Energy::new::<energy::btu_it>(1.0).value);
    agree(M::Energy, "J", q::Energy::new::<energy::joule>(1.0).value);
    agree(M::Energy, "kJ", q::Energy::new::<energy::kilojoule>(1.0).value);
    agree(M::Energy, "MJ", q::Energy::new::<energy::megajoule>(1.0).value);
    agree(
        M::Temperature,
        "F",
        q::ThermodynamicTemperature::new::<thermodynamic_temperature::degree_fahrenheit>(1.0).value,
    );
    agree(
        M::Temperature,
        "C",
        q::ThermodynamicTemperature::new::<thermodynamic_temperature::degree_celsius>(1.0).value,
    );
    agree(M::Temperature, "K", q::ThermodynamicTemperature::new::<thermodynamic_temperature::kelvin>(1.0).value);
    agree(M::TemperatureStep, "F", q::TemperatureInterval::new::<temperature_interval::degree_fahrenheit>(1.0).value);
    agree(M::TemperatureStep, "C", q::TemperatureInterval::new::<temperature_interval::degree_celsius>(1.0).value);
    agree(M::TemperatureStep, "K", q::TemperatureInterval::new::<temperature_interval::kelvin>(1.0).value);
    agree(M::Duration, "s", q::Time::new::<time::second>(1.0).value);
    agree(M::Duration, "min", q::Time::new::<time::minute>(1.0).value);
    agree(M::Duration, "h", q::Time::new::<time::hour>(1.0).value);
    agree(M::Duration, "days", q::Time::new::<time::day>(1.0).value);
    agree(M::Duration, "weeks", q::Time::new::<time::day>(7.0).value);
    agree(M::Duration, "years", q::Time::new::<time::year>(1.0).value);
    agree(M::Speed, "mph", q::Velocity::new::<velocity::mile_per_hour>(1.0).value);
    agree(M::Speed, "km/h", q::Velocity::new::<velocity::kilometer_per_hour>(1.0).value);
    agree(M::Speed, "m/s", q::Velocity::new::<velocity::meter_per_second>(1.0).value);
    agree(M::Speed, "ft/s", q::Velocity::new::<velocity::foot_per_second>(1.0).value);
    agree(M::Speed, "ft/min", q::Velocity::new::<velocity::foot_per_minute>(1.0).value);
    agree(M::Acceleration, "g", q::Acceleration::new::<acceleration::standard_gravity>(1.0).value);
    agree(M::Acceleration, "m/s2", q::Acceleration::new::<acceleration::meter_per_second_squared>(1.0).value);
    agree(M::Acceleration, "ft/s2", q::Acceleration::new::<acceleration::foot_per_second_squared>(1.0).value);
    agree(M::Current, "A", q::ElectricCurrent::new::<electric_current::ampere>(1.0).value);
    agree(M::Current, "mA", q::ElectricCurrent::new::<electric_current::milliampere>(1.0).value);
    agree(M::Voltage, "V", q::ElectricPotential::new::<electric_potential::volt>(1.0).value);
    agree(M::Voltage, "mV", q::ElectricPotential::new::<electric_potential::millivolt>(1.0).value);
    agree(M::Charge, "Ah", q::ElectricCharge::new::<electric_charge::ampere_hour>(1.0).value);
    agree(M::Charge, "mAh", q::ElectricCharge::new::<electric_charge::milliampere_hour>(1.0).value);
    agree(M::Resistance, "ohm", q::ElectricalResistance::new::<electrical_resistance::ohm>(1.0).value);
    agree(M::Resistance, "mohm", q::ElectricalResistance::new::<electrical_resistance::milliohm>(1.0).value);
    agree(M::Angle, "deg", q::Angle::new::<angle::degree>(1.0).value);
    agree(M::Angle, "rad", q::Angle::new::<angle::radian>(1.0).value);
    agree(M::Rotation, "rpm", q::Frequency::new::<frequency::cycle_per_minute>(1.0).value);
    agree(M::Ratio, "%", q::Ratio::new::<ratio::percent>(1.0).value);
    agree(M::Ratio, "ppm", q::Ratio::new::<ratio::part_per_million>(1.0).value);
    agree(M::Density, "lb/gal", q::MassDensity::new::<mass_density::pound_per_gallon>(1.0).value);
    agree(M::Density, "lb/cu ft", q::MassDensity::new::<mass_density::pound_per_cubic_foot>(1.0).value);
    agree(M::Density, "kg/m3", q::MassDensity::new::<mass_density::kilogram_per_cubic_meter>(1.0).value);
    agree(M::Density, "g/mL", q::MassDensity::new::<mass_density::gram_per_cubic_centimeter>(1.0).value);
    agree(M::Density, "kg/L", q::MassConcentration::new::<mass_concentration::kilogram_per_liter>(1.0).value);
    agree(M::Concentration, "g/L", q::MassConcentration::new::<mass_concentration::gram_per_liter>(1.0).value);
    agree(M::Concentration, "mg/L", q::MassConcentration::new::<mass_concentration::milligram_per_liter>(1.0).value);
    agree(M::Concentration, "oz/gal", q::MassDensity::new::<mass_density::ounce_per_gallon>(1.0).value);
    agree(M::SpringRate, "N/m", q::SurfaceTension::new::<surface_tension::newton_per_meter>(1.0).value);
    agree(M::SpringRate, "lb/in", q::SurfaceTension::new::<surface_tension::pound_force_per_inch>(1.0).value);
    agree(
        M::AreaRate,
        "m2/s",
        q::DiffusionCoefficient::new::<diffusion_coefficient::square_meter_per_second>(1.0).value,
    );
    agree(M::Viscosity, "cP", q::DynamicViscosity::new::<dynamic_viscosity::centipoise>(1.0).value);
    agree(M::Viscosity, "mPa·s", q::DynamicViscosity::new::<dynamic_viscosity::millipascal_second>(1.0).value);
    agree(M::Viscosity, "Pa·s", q::DynamicViscosity::new::<dynamic_viscosity::pascal_second>(1.0).value);
    agree(M::Torque, "lb-ft", q::Torque::new::<torque::pound_force_foot>(1.0).value);
    agree(M::Torque, "lb-in", q::Torque::new::<torque::pound_force_inch>(1.0).value);
    agree(M::Torque, "N·m", q::Torque::new::<torque::newton_meter>(1.0).value);
    for unit in UNITS {
        let defined = DEFINED.iter().any(|(measure, symbol, _)| (*measure, *symbol) == (unit.measure, unit.symbol));
        assert!(
            defined || checked.contains(&(unit.measure, unit.symbol)),
            "{} is checked against nothing",
            unit.symbol
        );
    }
}
