//! What is read, what is refused and how, and what is shown.

use super::unit::unit_named;
use super::*;
use proptest::prelude::*;

fn close(value: f64, expected: f64, share: f64) -> bool {
    (value - expected).abs() <= share * expected.abs().max(1e-300)
}

fn reading(text: &str, measure: Measure) -> Reading {
    read(text, measure).unwrap_or_else(|misread| panic!("{text}: {misread}"))
}

fn one(text: &str, measure: Measure) -> f64 {
    let reading = reading(text, measure);
    assert_eq!(reading.low, reading.high, "{text} is one value");
    reading.low
}

fn refused(text: &str, measure: Measure) -> Misread {
    match read(text, measure) {
        Ok(reading) => panic!("{text} was read as {reading:?}"),
        Err(misread) => misread,
    }
}

// Expected values are the number times the exact definition of the unit (NIST SP 811, appendix B.8), written in the table.
#[test]
fn every_way_of_writing_a_quantity_is_read() {
    use Measure as M;
    let (inch, foot, pound, gallon) = (0.0254, 0.3048, 0.453_592_37, 3.785_411_784e-3);
    let pressure = 6_894.757_293_168;
    for (text, measure, si) in [
        ("55 gal", M::Volume, 55.0 * gallon),
        ("55gal", M::Volume, 55.0 * gallon),
        ("  55   gal  ", M::Volume, 55.0 * gallon),
        ("55 Gal", M::Volume, 55.0 * gallon),
        ("55 GALLONS", M::Volume, 55.0 * gallon),
        ("55 US gal", M::Volume, 55.0 * gallon),
        ("+55 gal", M::Volume, 55.0 * gallon),
        ("12 fl. oz.", M::Volume, 12.0 * gallon / 128.0),
        ("20 L", M::Volume, 0.02),
        ("20 l", M::Volume, 0.02),
        ("250 mL", M::Volume, 2.5e-4),
        ("2 m³", M::Volume, 2.0),
        ("3 ft^3", M::Volume, 3.0 * foot * foot * foot),
        ("3/4 in", M::Length, 0.75 * inch),
        ("3/4\"", M::Length, 0.75 * inch),
        ("1-1/2 in", M::Length, 1.5 * inch),
        ("1 1/2 in", M::Length, 1.5 * inch),
        ("1-1/2\"", M::Length, 1.5 * inch),
        (".5 in", M::Length, 0.5 * inch),
        ("18 in.", M::Length, 18.0 * inch),
        ("18 inches", M::Length, 18.0 * inch),
        ("11/4 in", M::Length, 2.75 * inch),
        ("6 ft 3 in", M::Length, 75.0 * inch),
        ("6ft 3in", M::Length, 75.0 * inch),
        ("6ft3in", M::Length, 75.0 * inch),
        ("6 feet 3 inches", M::Length, 75.0 * inch),
        ("6'3\"", M::Length, 75.0 * inch),
        ("6' 3 1/2\"", M::Length, 75.5 * inch),
        ("6′ 3-1/2″", M::Length, 75.5 * inch),
        ("6’3”", M::Length, 75.0 * inch),
        ("6'", M::Length, 6.0 * foot),
        ("-1 ft 6 in", M::Length, -18.0 * inch),
        ("2 m 40 cm", M::Length, 2.4),
        ("50 microns", M::Length, 5e-5),
        ("50 \u{3bc}m", M::Length, 5e-5),
        ("3,048 mm", M::Length, 3.048),
        ("1,500 lb", M::Mass, 1500.0 * pound),
        ("1,234,567.5 lb", M::Mass, 1_234_567.5 * pound),
        ("62 lbs", M::Mass, 62.0 * pound),
        ("62 Lbs.", M::Mass, 62.0 * pound),
        ("5 lb 4 oz", M::Mass, 5.25 * pound),
        ("2 t", M::Mass, 2000.0),
        ("250 g", M::Mass, 0.25),
        ("0.5 g", M::Acceleration, 0.5 * 9.806_65),
        ("25 lbf", M::Force, 25.0 * 4.448_221_615_260_5),
        ("2.5 kN", M::Force, 2500.0),
        ("80 psi", M::Pressure, 80.0 * pressure),
        ("80 PSI", M::Pressure, 80.0 * pressure),
        ("80 psig", M::Pressure, 80.0 * pressure),
        ("80 lb/sq. in.", M::Pressure, 80.0 * pressure),
        ("25 MPa", M::Pressure, 25e6),
        ("-5 inHg", M::Pressure, -5.0 * 3_386.388_640_341),
        ("25 ft H2O", M::Pressure, 25.0 * 2_989.066_92),
        ("25 ft of water", M::Pressure, 25.0 * 2_989.066_92),
        ("-8 kPa", M::Pressure, -8000.0),
        ("−8 kPa", M::Pressure, -8000.0),
        ("5 gpm", M::Flow, 5.0 * gallon / 60.0),
        ("5 GPM", M::Flow, 5.0 * gallon / 60.0),
        ("5 gal/min", M::Flow, 5.0 * gallon / 60.0),
        ("5 gal per min", M::Flow, 5.0 * gallon / 60.0),
        ("5 gallons per minute", M::Flow, 5.0 * gallon / 60.0),
        ("30 m3/h", M::Flow, 30.0 / 3600.0),
        ("30 m³ / h", M::Flow, 30.0 / 3600.0),
        ("18 cfm", M::Flow, 18.0 * foot * foot * foot / 60.0),
        ("18 cu ft per min", M::Flow, 18.0 * foot * foot * foot / 60.0),
        ("2.5 kW", M::Power, 2500.0),
        ("1500 w", M::Power, 1500.0),
        ("13 HP", M::Power, 13.0 * 745.699_871_582_27),
        ("1.2 kWh", M::Energy, 4.32e6),
        ("1.2 kW-h", M::Energy, 4.32e6),
        ("-3 C", M::Temperature, 270.15),
        ("-40 F", M::Temperature, 233.15),
        ("104 F", M::Temperature, 313.15),
        ("104 °F", M::Temperature, 313.15),
        ("104°F", M::Temperature, 313.15),
        ("104 deg. F", M::Temperature, 313.15),
        ("104 degF", M::Temperature, 313.15),
        ("104 f", M::Temperature, 313.15),
        ("300 K", M::Temperature, 300.0),
        ("0 K", M::Temperature, 0.0),
        ("18 F", M::TemperatureStep, 10.0),
        ("10 days", M::Duration, 864_000.0),
        ("1 day", M::Duration, 86_400.0),
        ("1 h 30 min", M::Duration, 5400.0),
        ("1 hour 5 min 3 s", M::Duration, 3903.0),
        ("2 weeks", M::Duration, 1_209_600.0),
        ("3 years", M::Duration, 9.4608e7),
        ("30 A", M::Current, 30.0),
        ("30 amps", M::Current, 30.0),
        ("20 mA", M::Current, 0.02),
        ("12 V", M::Voltage, 12.0),
        ("12 VDC", M::Voltage, 12.0),
        ("100 Ah", M::Charge, 360_000.0),
        ("100 amp-hours", M::Charge, 360_000.0),
        ("20 mΩ", M::Resistance, 0.02),
        ("3 Ω", M::Resistance, 3.0),
        ("180 deg", M::Angle, std::f64::consts::PI),
        ("180°", M::Angle, std::f64::consts::PI),
        ("3400 rpm", M::Rotation, 3400.0 / 60.0),
        ("12.5 %", M::Ratio, 0.125),
        ("12.5%", M::Ratio, 0.125),
        ("12.5 percent", M::Ratio, 0.125),
        ("0.125", M::Ratio, 0.125),
        ("1/8", M::Ratio, 0.125),
        ("115", M::Count, 115.0),
        ("8.34 lb/gal", M::Density, 8.34 * pound / gallon),
        ("1.2 kg/L", M::Density, 1200.0),
        ("1200 lb/in", M::SpringRate, 1200.0 * 175.126_835_246_48),
        ("500 lb·in/ft", M::Bending, 500.0 * 0.370_685_134_605_042),
        ("500 lb-in per ft", M::Bending, 500.0 * 0.370_685_134_605_042),
        ("1000 lb-in²/ft", M::Stiffness, 9.415_402_418_968_06),
        ("85 dBA", M::Sound, 85.0),
        ("85 dB(A)", M::Sound, 85.0),
        ("120 g/L", M::Concentration, 120.0),
        ("20 sq ft/min", M::AreaRate, 20.0 * 1.548_384e-3),
        ("2200 sq. ft.", M::Area, 2200.0 * 9.290_304e-2),
        ("2200 ft²", M::Area, 2200.0 * 9.290_304e-2),
        ("2.6 cP", M::Viscosity, 2.6e-3),
        ("90 ft-lb", M::Torque, 90.0 * 1.355_817_948_331_4),
        ("90 lb-ft", M::Torque, 90.0 * 1.355_817_948_331_4),
        ("20 N·m", M::Torque, 20.0),
        ("20 N.m", M::Torque, 20.0),
        ("70 mph", M::Speed, 70.0 * 0.447_04),
        ("90 km/h", M::Speed, 25.0),
    ] {
        let value = one(text, measure);
        assert!(close(value, si, 1e-12), "{text}: {value} is not {si}");
    }
}

#[test]
fn a_range_is_read_with_a_unit_at_both_ends_or_at_the_last() {
    let pound = 0.453_592_37;
    for text in ["80 to 95 lb", "80 lb to 95 lb", "80lb  TO  95 lb"] {
        let reading = reading(text, Measure::Mass);
        assert!(close(reading.low, 80.0 * pound, 1e-12) && close(reading.high, 95.0 * pound, 1e-12), "{text}");
        assert_eq!((reading.unit.symbol, reading.about), ("lb", false));
    }
    let frost = reading("-10 to -5 C", Measure::Temperature);
    assert!(close(frost.low, 263.15, 1e-12) && close(frost.high, 268.15, 1e-12));
    let sides = reading("6 ft 3 in to 2 m", Measure::Length);
    assert!(close(sides.low, 1.905, 1e-12) && close(sides.high, 2.0, 1e-12));
    let share = reading("0.1 to 12.5 %", Measure::Ratio);
    assert!(close(share.low, 0.001, 1e-12), "the unit of the upper end serves both: {}", share.low);
    assert!(reading("5 to 5 gpm", Measure::Flow).range().is_point());
}

// The width of "about" is common practice, no source.
#[test]
fn about_widens_a_value_by_a_tenth_to_either_side() {
    let about = reading("about 40 lb", Measure::Mass);
    assert!(about.about);
    assert!(close(about.low, 36.0 * 0.453_592_37, 1e-12) && close(about.high, 44.0 * 0.453_592_37, 1e-12));
    let vacuum = reading("About -10 kPa", Measure::Pressure);
    assert!(close(vacuum.low, -11e3, 1e-12) && close(vacuum.high, -9e3, 1e-12));
    let warm = reading("about 20 C", Measure::Temperature);
    assert!(close(warm.low, 288.15, 1e-12) && close(warm.high, 298.15, 1e-12));
    let loud = reading("about 85 dBA", Measure::Sound);
    assert_eq!((loud.low, loud.high), (82.0, 88.0));
}

/// Text, measure, a telling part of what is said, the bytes at fault, the fix.
type Refusal<'a> = (&'a str, Measure, &'a str, &'a str, Option<&'a str>);

#[test]
fn every_refusal_says_what_is_wrong_where_and_what_was_likely_meant() {
    use Measure as M;
    let refusals: &[Refusal<'_>] = &[
        ("225", M::Volume, "225 has no unit; write 225 gal or 225 L", "225", Some("225 gal")),
        ("1,500", M::Mass, "1,500 has no unit; write 1,500 lb or 1,500 kg", "1,500", Some("1,500 lb")),
        ("12", M::Voltage, "12 has no unit; write 12 V", "12", Some("12 V")),
        ("80 lb to 95", M::Mass, "95 has no unit", "95", Some("80 lb to 95 lb")),
        ("6 ft 3", M::Length, "the 3 at the end has no unit", "3", Some("6 ft 3 in")),
        ("6'3", M::Length, "the 3 at the end has no unit", "3", Some("6'3 in")),
        ("1,5 m", M::Length, "1,5 has a decimal comma; did you mean 1.5 m?", "1,5", Some("1.5 m")),
        ("0,500 m", M::Length, "did you mean 0.500 m?", "0,500", Some("0.500 m")),
        ("1.500,5 kg", M::Mass, "did you mean 1500.5 kg?", "1.500,5", Some("1500.5 kg")),
        ("1.500.000 kg", M::Mass, "do not make a number", "1.500.000", None),
        ("1,50,000 kg", M::Mass, "do not make a number", "1,50,000", None),
        ("55 gal", M::Mass, "55 gal is a volume, a mass is wanted, like 62 lb", "gal", None),
        ("80 lb", M::Force, "80 lb is a mass, a force is wanted; did you mean 80 lbf?", "lb", Some("80 lbf")),
        ("5 gal", M::Flow, "did you mean 5 gpm?", "gal", Some("5 gpm")),
        ("10 m", M::Duration, "did you mean 10 min?", "m", Some("10 min")),
        ("200 ft", M::Area, "did you mean 200 sq ft?", "ft", Some("200 sq ft")),
        ("12.5 %", M::Concentration, "12.5 % is a ratio, a concentration is wanted", "%", None),
        ("55 gla", M::Volume, "\"gla\" is not a unit known here; did you mean gal?", "gla", Some("55 gal")),
        ("55 galons", M::Volume, "did you mean gallons?", "galons", Some("55 gallons")),
        ("5 gmp", M::Flow, "did you mean gpm?", "gmp", Some("5 gpm")),
        ("80 pis", M::Pressure, "did you mean psi?", "pis", Some("80 psi")),
        (
            "5 furlongs",
            M::Length,
            "\"furlongs\" is not a unit known here; write a length like 6 ft 3 in",
            "furlongs",
            None,
        ),
        ("25 mpa", M::Pressure, "capitals matter in \"mpa\"; did you mean MPa?", "mpa", Some("25 MPa")),
        ("25 mPa", M::Pressure, "capitals matter in \"mPa\"; did you mean MPa?", "mPa", Some("25 MPa")),
        ("20 MA", M::Current, "did you mean mA?", "MA", Some("20 mA")),
        ("20 ML", M::Volume, "did you mean mL?", "ML", Some("20 mL")),
        ("300 k", M::Temperature, "did you mean K?", "k", Some("300 K")),
        ("3 M", M::Length, "did you mean m?", "M", Some("3 m")),
        ("2 ton", M::Mass, "2,000 lb, 2,240 lb or 1,000 kg", "ton", None),
        ("2 Tons", M::Mass, "2,000 lb, 2,240 lb or 1,000 kg", "Tons", None),
        ("55 imperial gal", M::Volume, "4.546 L", "imperial gal", None),
        ("6 oz", M::Volume, "say fl oz", "oz", Some("6 fl oz")),
        ("62 #", M::Mass, "write lb", "#", Some("62 lb")),
        ("62#", M::Mass, "write lb", "#", Some("62lb")),
        ("30 psia", M::Pressure, "not absolute", "psia", None),
        ("2 months", M::Duration, "28 to 31 days", "months", None),
        ("13 PS", M::Power, "write kW", "PS", None),
        ("85 dB", M::Sound, "A-weighted", "dB", Some("85 dBA")),
        ("1½ in", M::Length, "like 1-1/2 in", "½ in", None),
        ("95 to 80 lb", M::Mass, "runs downward", "95 to 80 lb", Some("80 to 95 lb")),
        ("95 lb to 80 lb", M::Mass, "runs downward", "95 lb to 80 lb", Some("80 lb to 95 lb")),
        ("-3 to -5 C", M::Temperature, "runs downward", "-3 to -5 C", Some("-5 to -3 C")),
        ("about 80 to 95 lb", M::Mass, "one is enough", "about 80 to 95 lb", Some("80 to 95 lb")),
        ("80-95 lb", M::Mass, "write 80 to 95 lb", "80-95 lb", Some("80 to 95 lb")),
        ("80 – 95 lb", M::Mass, "write 80 to 95 lb", "80 – 95 lb", Some("80 to 95 lb")),
        ("80 lb - 95 lb", M::Mass, "write 80 lb to 95 lb", "80 lb - 95 lb", Some("80 lb to 95 lb")),
        ("", M::Volume, "nothing is written here; a volume is wanted, like 55 gal", "", None),
        ("   ", M::Volume, "nothing is written here", "", None),
        ("NaN gal", M::Volume, "is not a number that can be measured", "NaN gal", None),
        ("inf", M::Volume, "is not a number that can be measured", "inf", None),
        ("-Infinity lb", M::Mass, "does not start with a number", "-Infinity lb", None),
        ("1e3 lb", M::Mass, "1e3 is written with an exponent; write the number out", "1e3", Some("1000 lb")),
        ("1.5E-2 m", M::Length, "with an exponent", "1.5E-2", Some("0.015 m")),
        ("1e300 m", M::Length, "with an exponent", "1e300", None),
        ("12345678901234567890 lb", M::Mass, "more digits than anything", "12345678901234567890", None),
        ("0.1234567890123456 lb", M::Mass, "more digits than anything", "0.1234567890123456", None),
        ("1/0 in", M::Length, "divides by zero", "1/0", None),
        ("1-5/4 in", M::Length, "not less than one", "1-5/4", None),
        ("gal", M::Volume, "does not start with a number", "gal", None),
        ("tall", M::Length, "write a length like 6 ft 3 in", "tall", None),
        ("~40 lb", M::Mass, "write about 40 lb", "~40 lb", Some("about 40 lb")),
        ("approx 40 lb", M::Mass, "write about 40 lb", "approx 40 lb", Some("about 40 lb")),
        ("<40 lb", M::Mass, "leaves an end open", "<40 lb", None),
        ("max 40 lb", M::Mass, "leaves an end open", "max 40 lb", None),
        ("40 lb ± 5", M::Mass, "\"± 5\" after 40 lb is not part of a mass", "± 5", Some("40 lb")),
        ("1/2\" NPT", M::Length, "\"NPT\" after 1/2\" is not part of a length", "NPT", Some("1/2\"")),
        ("12 volts dc", M::Voltage, "\"dc\" after 12 volts", "volts dc", Some("12 volts")),
        ("5 mil", M::Length, "a mil may be", "mil", None),
        ("600 lb tongue", M::Mass, "\"tongue\" after 600 lb is not part of a mass", "lb tongue", Some("600 lb")),
        ("6 ft 12 in", M::Length, "is not one quantity", "6 ft 12 in", None),
        ("6 ft 15 in", M::Length, "is not one quantity", "6 ft 15 in", None),
        ("6.5 ft 3 in", M::Length, "is not one quantity", "6.5 ft 3 in", None),
        ("3 in 6 ft", M::Length, "is not one quantity", "3 in 6 ft", None),
        ("6 ft 40 cm", M::Length, "is not one quantity", "6 ft 40 cm", None),
        ("20 C 3 C", M::Temperature, "is not one quantity", "20 C 3 C", None),
        ("1 500 lb", M::Mass, "1 500 has a space between its digits; write 1,500", "1 500", Some("1,500 lb")),
        ("1 50 lb", M::Mass, "1 50 has a space between its digits", "1 50", None),
        ("5 ft 1 500 in", M::Length, "write 1,500", "1 500", Some("5 ft 1,500 in")),
        ("-500 F", M::Temperature, "colder than absolute zero", "-500 F", None),
        ("- 5 C", M::Temperature, "does not start with a number", "- 5 C", None),
        ("55 gal!", M::Volume, "\"!\" after 55 gal is not part of a volume", "!", Some("55 gal")),
        ("5 to 6 to 7 lb", M::Mass, "\"to\" is not a unit known here", "to", None),
        (" 55 gla ", M::Volume, "did you mean gal?", "gla", Some("55 gal")),
    ];
    for (text, measure, says, at_fault, fix) in refusals {
        let misread = refused(text, *measure);
        assert!(misread.says.contains(says), "{text}: {}", misread.says);
        assert_eq!(text.get(misread.span.clone()), Some(*at_fault), "{text}: {}", misread.says);
        assert_eq!(misread.fix.as_deref(), *fix, "{text}");
        assert!(!misread.says.ends_with('.') && !misread.says.contains(". "), "one sentence: {}", misread.says);
    }
}

#[test]
fn steps_add_up_without_rounding_on_the_way() {
    // 110 in, to the last bit.
    assert_eq!(one("9 ft 2 in", Measure::Length), 110.0 * 0.0254);
    assert_eq!(one("9 ft 2 in", Measure::Length), one("110 in", Measure::Length));
}

#[test]
fn a_unit_is_found_by_any_of_its_spellings() {
    assert_eq!(Unit::named("sq. ft.", Measure::Area).map(|unit| unit.symbol), Some("sq ft"));
    assert_eq!(Unit::named("Pounds", Measure::Mass).map(|unit| unit.symbol), Some("lb"));
    assert_eq!(Unit::named("lb", Measure::Volume), None);
}

#[test]
fn a_very_long_text_is_refused_at_once() {
    let misread = refused(&"1 ".repeat(100_000), Measure::Mass);
    assert!(misread.says.contains("too long"));
}

#[test]
fn a_size_is_read_side_by_side() {
    let inch = 0.0254;
    for (text, sides) in [
        ("48 in x 24 in x 28 in", vec![48.0, 24.0, 28.0]),
        ("48 x 24 x 28 in", vec![48.0, 24.0, 28.0]),
        ("48x24x28in", vec![48.0, 24.0, 28.0]),
        ("48 in × 24 in", vec![48.0, 24.0]),
        ("48\"x24\"", vec![48.0, 24.0]),
        ("4 ft x 2 ft 6 in", vec![48.0, 30.0]),
        ("14 in X 14-1/2 in", vec![14.0, 14.5]),
    ] {
        let size = read_size(text, sides.len()).unwrap_or_else(|misread| panic!("{text}: {misread}"));
        for (side, inches) in size.iter().zip(&sides) {
            assert!(close(side.low, inches * inch, 1e-12), "{text}");
        }
    }
    let loose = read_size("46 to 48 in x about 20 in", 2).expect("a size");
    assert!(close(loose[0].low, 46.0 * inch, 1e-12) && loose[1].about);
}

#[test]
fn a_size_that_is_not_one_is_refused() {
    for (text, sides, says, at_fault) in [
        (
            "48 in x 24 in",
            3,
            "a size of 3 sides is wanted and 2 are given; write it like 48 in x 24 in x 28 in",
            "48 in x 24 in",
        ),
        ("48 in", 2, "1 is given", "48 in"),
        ("", 2, "0 are given", ""),
        ("48 in x x 28 in", 3, "nothing is written here", ""),
        ("48 x 24 x 28", 3, "28 has no unit", "28"),
        ("48 in x 24 gal", 2, "24 gal is a volume", "gal"),
        ("48 gla x 24 in", 2, "\"gla\" is not a unit", "gla"),
    ] {
        let misread = read_size(text, sides).expect_err(text);
        assert!(misread.says.contains(says), "{text}: {}", misread.says);
        assert_eq!(text.get(misread.span.clone()), Some(at_fault), "{text}");
    }
}

#[test]
fn quantities_are_shown_as_people_write_them() {
    use Measure as M;
    let us = [
        ("4742 lb", M::Mass, "4,742 lb"),
        ("4710.2 to 4742 lb", M::Mass, "4,710 to 4,742 lb"),
        ("4741.9 to 4742.1 lb", M::Mass, "4,742 lb"),
        ("15000 lb", M::Mass, "15,000 lb"),
        ("62.4 lb", M::Mass, "62 lb"),
        ("0.25 lb", M::Mass, "0.25 lb"),
        ("0 lb", M::Mass, "0 lb"),
        ("3/8 in", M::Length, "0.375 in"),
        ("75 in", M::Length, "75 in"),
        ("75.26 in", M::Length, "75.3 in"),
        ("95.9 in", M::Length, "95.9 in"),
        ("96 in", M::Length, "8 ft"),
        ("11 ft 4 in", M::Length, "11 ft 4 in"),
        ("11 ft 11.99 in", M::Length, "12 ft"),
        ("180 ft", M::Length, "180 ft"),
        ("180 ft 5.4 in", M::Length, "180 ft 5 in"),
        ("5280 ft", M::Length, "5,280 ft"),
        ("70 in to 8 ft 2 in", M::Length, "5 ft 10 in to 8 ft 2 in"),
        ("-9 ft 6 in", M::Length, "-9 ft 6 in"),
        ("100 gal", M::Volume, "100 gal"),
        ("12 fl oz", M::Volume, "12 fl oz"),
        ("5.5 gpm", M::Flow, "5.5 gpm"),
        ("3500 psi", M::Pressure, "3,500 psi"),
        ("134.128 psi", M::Pressure, "134.1 psi"),
        ("104 F", M::Temperature, "104 F"),
        ("-3 to 5 F", M::Temperature, "-3 to 5 F"),
        ("18 F", M::TemperatureStep, "18 F"),
        ("12.5 %", M::Ratio, "12.5 %"),
        ("8.337 lb/gal", M::Density, "8.34 lb/gal"),
        ("2.5 kW", M::Power, "2.5 kW"),
        ("850 W", M::Power, "850 W"),
        ("90 s", M::Duration, "90 s"),
        ("45 min", M::Duration, "45 min"),
        ("5 h", M::Duration, "5 h"),
        ("10 days", M::Duration, "10 days"),
        ("2200 sq ft", M::Area, "2,200 sq ft"),
        ("0.5 g", M::Acceleration, "0.5 g"),
        ("90 lb-ft", M::Torque, "90 lb-ft"),
        ("500 lb-in/ft", M::Bending, "500 lb-in/ft"),
        ("115", M::Count, "115"),
        ("85 dBA", M::Sound, "85 dBA"),
    ];
    for (text, measure, shown) in us {
        let reading = reading(text, measure);
        assert_eq!(show(reading.low, reading.high, measure, System::Us), shown);
    }
    let si = [
        ("75 in", M::Length, "1.905 m"),
        ("3/8 in", M::Length, "9.5 mm"),
        ("55 gal", M::Volume, "208.2 L"),
        ("5 gpm", M::Flow, "18.9 L/min"),
        ("3500 psi", M::Pressure, "241.3 bar"),
        ("-5 kPa", M::Pressure, "-5 kPa"),
        ("104 F", M::Temperature, "40 C"),
        ("4742 lb", M::Mass, "2,151 kg"),
        ("8.345 lb/gal", M::Density, "1 kg/L"),
    ];
    for (text, measure, shown) in si {
        let reading = reading(text, measure);
        assert_eq!(show(reading.low, reading.high, measure, System::Si), shown);
    }
    assert_eq!(show(f64::NAN, 1.0, M::Mass, System::Us), "no figure");
    assert_eq!(show_in(1e-3, unit_named("L", M::Volume)), "1 L");
}

#[test]
fn numbers_are_shown_with_four_digits_and_without_an_exponent() {
    for (value, shown) in [
        (0.0, "0"),
        (-0.0, "0"),
        (1.0, "1"),
        (1234.5678, "1,235"),
        (123_456.7, "123,457"),
        (1e15, "1,000,000,000,000,000"),
        (12.345_67, "12.35"),
        (0.123_456, "0.123"),
        (0.001_234_5, "0.0012"),
        (9999.7, "10,000"),
        (99.996, "100"),
        (-2.5, "-2.5"),
        (-1e-12, "0"),
        (f64::INFINITY, "no figure"),
    ] {
        assert_eq!(number(value), shown, "{value}");
    }
}

#[test]
fn steady_numbers_keep_nine_digits() {
    assert_eq!(steady(0.1 + 0.2), 0.3);
    assert_eq!(steady(4_741.999_999_999_9), 4742.0);
    assert_eq!(steady(123_456_789.4), 123_456_789.0);
    assert_eq!(steady(0.0), 0.0);
    assert!(steady(f64::NAN).is_nan());
}

fn any_measure() -> impl Strategy<Value = Measure> {
    (0..Measure::ALL.len()).prop_map(|index| Measure::ALL[index])
}

proptest! {
    #[test]
    fn what_is_shown_reads_back_within_the_digits_shown(
        measure in any_measure(),
        system in prop_oneof![Just(System::Us), Just(System::Si)],
        mantissa in 1.0..10.0_f64,
        power in -3..5_i32,
        wider in prop_oneof![Just(1.0), 1.0..2.0_f64],
    ) {
        let unit = measure.unit(system);
        let low = mantissa * 10_f64.powi(power);
        let (low, high) = (unit.to_si(low), unit.to_si(low * wider));
        let shown = show(low, high, measure, system);
        let back = read(&shown, measure).unwrap_or_else(|misread| panic!("{shown}: {misread}"));
        // Two significant digits are off by a twentieth at most, and a temperature by half a degree.
        let slack = if measure == Measure::Temperature { 0.51 } else { 0.05 * high.abs() + 1e-6 * unit.factor };
        prop_assert!((back.low - low).abs() <= slack && (back.high - high).abs() <= slack, "{shown}: {low} to {high}, back {back:?}");
        // What was read and is shown again still means the same, though a value that was rounded up to the next unit may
        // now be given in that: 100 mA becomes 0.1 A, 27.4 to 48 h becomes 1.1 to 2 days.
        let again = show(back.low, back.high, measure, system);
        let twice = reading(&again, measure);
        let same = |one: f64, other: f64| (one - other).abs() <= 0.05 * other.abs() + 1e-6 * unit.factor;
        prop_assert!(same(twice.low, back.low) && same(twice.high, back.high), "{shown}, then {again}");
    }

    #[test]
    fn every_unit_converts_there_and_back(index in 0..super::table::UNITS.len(), value in -1e6..1e6_f64) {
        let unit = &super::table::UNITS[index];
        prop_assert!((unit.from_si(unit.to_si(value)) - value).abs() <= 1e-9 * (1.0 + value.abs() + unit.offset));
    }

    #[test]
    fn no_text_makes_reading_stumble_and_a_refusal_points_into_the_text(
        text in "[-0-9a-zA-Z ,./'\"x×°²½–−%#~<(]{0,24}",
        measure in any_measure(),
    ) {
        match read(&text, measure) {
            Ok(reading) => prop_assert!(reading.low.is_finite() && reading.low <= reading.high),
            Err(misread) => prop_assert!(text.get(misread.span).is_some() && !misread.says.is_empty()),
        }
        if let Err(misread) = read_size(&text, 2) {
            prop_assert!(text.get(misread.span).is_some());
        }
    }

    #[test]
    fn any_text_at_all_is_read_or_refused(text in any::<String>(), measure in any_measure()) {
        if let Err(misread) = read(&text, measure) {
            prop_assert!(text.get(misread.span).is_some());
        }
    }

    #[test]
    fn a_fix_that_is_offered_reads(number in 1..5000_u32, measure in any_measure(), unit in "[a-zA-Z]{0,4}") {
        let text = format!("{number} {unit}");
        if let Err(Misread { fix: Some(fix), .. }) = read(&text, measure) {
            prop_assert!(read(&fix, measure).is_ok(), "{text} -> {fix}");
        }
    }
}
