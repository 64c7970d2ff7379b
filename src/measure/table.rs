//! The units, as data.
//!
//! "SP 811" is NIST Special Publication 811 (2008), *Guide for the Use of the International System of Units*, appendix B.
//! The exact definitions behind its factors: 1 in = 0.0254 m, 1 lb = 0.453 592 37 kg, 1 US gal = 231 in3, standard gravity
//! 9.806 65 m/s2, 1 BTU (International Table) = 1055.055 852 62 J.

use super::Measure;
use super::Measure as M;
use super::unit::Unit;

const DEFINITION: &str = "definition of the unit";
const SI: &str = "SI Brochure, 9th edition (2019)";
const SP811: &str = "NIST SP 811 (2008), appendix B.8";
const SP811_COLUMN: &str = "NIST SP 811 (2008), appendix B.8, conventional column of water or mercury";

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const YARD: f64 = 0.9144;
const POUND: f64 = 0.453_592_37;
const GRAVITY: f64 = 9.806_65;
/// 0.453 592 37 kg times 9.806 65 m/s2, written out so that no rounding creeps in.
const POUND_FORCE: f64 = 4.448_221_615_260_5;
const GALLON: f64 = 231.0 * 1.638_706_4e-5;
const LITRE: f64 = 1e-3;
const PSI: f64 = POUND_FORCE / (INCH * INCH);
const BTU: f64 = 1_055.055_852_62;
const MINUTE: f64 = 60.0;
const HOUR: f64 = 3600.0;
const DAY: f64 = 86_400.0;

/// A number without a unit where a ratio is wanted.
pub(super) static PLAIN: Unit = unit(M::Ratio, "", &[], 1.0, 3, DEFINITION);

const fn unit(
    measure: Measure,
    symbol: &'static str,
    spellings: &'static [&'static str],
    factor: f64,
    decimals: usize,
    source: &'static str,
) -> Unit {
    Unit { symbol, spellings, measure, factor, offset: 0.0, exact: true, source, decimals }
}

/// Every unit that can be read. Symbols are also in the spellings, in tidy form.
#[rustfmt::skip]
pub(super) static UNITS: &[Unit] = &[
    unit(M::Length, "in", &["in", "inch", "inches", "ins", "\""], INCH, 1, SP811),
    unit(M::Length, "ft", &["ft", "foot", "feet", "'"], FOOT, 2, SP811),
    unit(M::Length, "yd", &["yd", "yds", "yard", "yards"], YARD, 2, SP811),
    unit(M::Length, "mi", &["mi", "mile", "miles"], 1609.344, 2, SP811),
    unit(M::Length, "\u{b5}m", &["\u{b5}m", "um", "micron", "microns"], 1e-6, 0, SI),
    unit(M::Length, "mm", &["mm", "millimeter", "millimeters", "millimetre", "millimetres"], 1e-3, 0, SI),
    unit(M::Length, "cm", &["cm", "centimeter", "centimeters", "centimetre", "centimetres"], 1e-2, 1, SI),
    unit(M::Length, "m", &["m", "meter", "meters", "metre", "metres"], 1.0, 3, SI),
    unit(M::Length, "km", &["km", "kilometer", "kilometers", "kilometre", "kilometres"], 1e3, 2, SI),

    unit(M::Area, "sq ft", &["sq ft", "sqft", "ft2", "square foot", "square feet", "sf"], FOOT * FOOT, 1, SP811),
    unit(M::Area, "sq in", &["sq in", "sqin", "in2", "square inch", "square inches"], INCH * INCH, 1, SP811),
    unit(M::Area, "m2", &["m2", "sq m", "sqm", "square meter", "square meters", "square metre", "square metres"], 1.0, 2, SI),
    unit(M::Area, "cm2", &["cm2", "sq cm"], 1e-4, 1, SI),
    unit(M::Area, "mm2", &["mm2", "sq mm"], 1e-6, 1, SI),

    unit(M::Volume, "gal", &["gal", "gals", "gallon", "gallons", "US gal", "US gallon", "US gallons"], GALLON, 1, SP811),
    unit(M::Volume, "qt", &["qt", "qts", "quart", "quarts"], GALLON / 4.0, 1, SP811),
    unit(M::Volume, "pt", &["pt", "pint", "pints"], GALLON / 8.0, 1, SP811),
    unit(M::Volume, "fl oz", &["fl oz", "floz", "fluid ounce", "fluid ounces"], GALLON / 128.0, 1, SP811),
    unit(M::Volume, "L", &["L", "l", "liter", "liters", "litre", "litres"], LITRE, 1, SI),
    unit(M::Volume, "mL", &["mL", "ml", "milliliter", "milliliters", "millilitre", "millilitres", "cc", "cm3"], 1e-6, 0, SI),
    unit(M::Volume, "m3", &["m3", "cu m", "cubic meter", "cubic meters", "cubic metre", "cubic metres"], 1.0, 3, SI),
    unit(M::Volume, "cu ft", &["cu ft", "cuft", "ft3", "cubic foot", "cubic feet"], FOOT * FOOT * FOOT, 1, SP811),
    unit(M::Volume, "cu in", &["cu in", "in3", "cubic inch", "cubic inches"], INCH * INCH * INCH, 1, SP811),

    unit(M::Mass, "lb", &["lb", "lbs", "pound", "pounds", "lbm"], POUND, 0, SP811),
    unit(M::Mass, "oz", &["oz", "ounce", "ounces"], POUND / 16.0, 1, SP811),
    unit(M::Mass, "kg", &["kg", "kgs", "kilogram", "kilograms", "kilo", "kilos"], 1.0, 1, SI),
    unit(M::Mass, "g", &["g", "gram", "grams"], 1e-3, 0, SI),
    unit(M::Mass, "mg", &["mg", "milligram", "milligrams"], 1e-6, 0, SI),
    unit(M::Mass, "t", &["t", "tonne", "tonnes", "metric ton", "metric tons"], 1e3, 3, SI),

    unit(M::Force, "lbf", &["lbf", "pound force", "pounds force", "pound·force", "pounds·force"], POUND_FORCE, 1, SP811),
    unit(M::Force, "N", &["N", "newton", "newtons"], 1.0, 0, SI),
    unit(M::Force, "kN", &["kN", "kilonewton", "kilonewtons"], 1e3, 2, SI),

    unit(M::Pressure, "psi", &["psi", "psig", "lb/in2", "lbf/in2", "lb/sq in", "lbf/sq in"], PSI, 1, SP811),
    unit(M::Pressure, "psf", &["psf", "lb/ft2", "lbf/ft2", "lb/sq ft", "lbf/sq ft"], POUND_FORCE / (FOOT * FOOT), 1, SP811),
    unit(M::Pressure, "bar", &["bar", "bars", "barg", "bar g"], 1e5, 2, SP811),
    unit(M::Pressure, "mbar", &["mbar", "millibar"], 1e2, 0, SP811),
    unit(M::Pressure, "Pa", &["Pa", "pascal", "pascals"], 1.0, 0, SI),
    unit(M::Pressure, "kPa", &["kPa", "kilopascal", "kilopascals"], 1e3, 1, SI),
    unit(M::Pressure, "MPa", &["MPa", "megapascal", "megapascals"], 1e6, 2, SI),
    unit(M::Pressure, "ftH2O", &["ftH2O", "ft H2O", "ft of water", "feet of water", "foot of water"], FOOT * 1000.0 * GRAVITY, 1, SP811_COLUMN),
    unit(M::Pressure, "inH2O", &["inH2O", "in H2O", "in of water", "inches of water", "inch of water"], INCH * 1000.0 * GRAVITY, 1, SP811_COLUMN),
    unit(M::Pressure, "inHg", &["inHg", "in Hg", "in of mercury", "inches of mercury", "inch of mercury"], INCH * 13_595.1 * GRAVITY, 1, SP811_COLUMN),

    unit(M::Flow, "gpm", &["gpm", "gal/min", "gals/min", "gallon/min", "gallons/min", "gallon/minute", "gallons/minute"], GALLON / MINUTE, 2, SP811),
    unit(M::Flow, "gph", &["gph", "gal/h", "gal/hr", "gal/hour", "gallons/hour"], GALLON / HOUR, 1, SP811),
    unit(M::Flow, "gal/day", &["gal/day", "gpd", "gallons/day"], GALLON / DAY, 1, SP811),
    unit(M::Flow, "L/min", &["L/min", "l/min", "lpm", "liters/minute", "litres/minute"], LITRE / MINUTE, 1, SI),
    unit(M::Flow, "L/h", &["L/h", "l/h", "L/hr", "l/hr", "lph", "liters/hour", "litres/hour"], LITRE / HOUR, 1, SI),
    unit(M::Flow, "L/s", &["L/s", "l/s", "liters/second", "litres/second"], LITRE, 2, SI),
    unit(M::Flow, "mL/min", &["mL/min", "ml/min"], 1e-6 / MINUTE, 0, SI),
    unit(M::Flow, "m3/h", &["m3/h", "m3/hr", "m3/hour"], 1.0 / HOUR, 1, SI),
    unit(M::Flow, "m3/min", &["m3/min"], 1.0 / MINUTE, 3, SI),
    unit(M::Flow, "m3/s", &["m3/s"], 1.0, 3, SI),
    unit(M::Flow, "cfm", &["cfm", "cu ft/min", "ft3/min"], FOOT * FOOT * FOOT / MINUTE, 0, SP811),

    unit(M::MassFlow, "lb/h", &["lb/h", "lb/hr", "lbs/hr", "lb/hour", "lbs/h"], POUND / HOUR, 2, SP811),
    unit(M::MassFlow, "lb/min", &["lb/min", "lbs/min"], POUND / MINUTE, 2, SP811),
    unit(M::MassFlow, "lb/s", &["lb/s"], POUND, 2, SP811),
    unit(M::MassFlow, "kg/h", &["kg/h", "kg/hr", "kg/hour"], 1.0 / HOUR, 2, SI),
    unit(M::MassFlow, "kg/min", &["kg/min"], 1.0 / MINUTE, 2, SI),
    unit(M::MassFlow, "kg/s", &["kg/s"], 1.0, 3, SI),
    unit(M::MassFlow, "g/h", &["g/h", "g/hr", "g/hour"], 1e-3 / HOUR, 0, SI),

    unit(M::Power, "W", &["W", "w", "watt", "watts"], 1.0, 0, SI),
    unit(M::Power, "kW", &["kW", "kilowatt", "kilowatts"], 1e3, 2, SI),
    unit(M::Power, "MW", &["MW", "megawatt", "megawatts"], 1e6, 2, SI),
    unit(M::Power, "hp", &["hp", "horsepower", "bhp"], 550.0 * FOOT * POUND_FORCE, 2, SP811),
    unit(M::Power, "BTU/h", &["BTU/h", "BTU/hr", "BTU/hour", "btuh"], BTU / HOUR, 0, SP811),

    unit(M::Energy, "Wh", &["Wh", "W·h", "watt hour", "watt hours", "watt·hours"], HOUR, 0, SP811),
    unit(M::Energy, "kWh", &["kWh", "kW·h", "kilowatt hour", "kilowatt hours", "kilowatt·hours"], 1e3 * HOUR, 2, SP811),
    unit(M::Energy, "BTU", &["BTU", "BTUs"], BTU, 0, SP811),
    unit(M::Energy, "J", &["J", "joule", "joules"], 1.0, 0, SI),
    unit(M::Energy, "kJ", &["kJ", "kilojoule", "kilojoules"], 1e3, 1, SI),
    unit(M::Energy, "MJ", &["MJ", "megajoule", "megajoules"], 1e6, 2, SI),

    Unit {
        offset: 459.67,
        ..unit(M::Temperature, "F", &["F", "f", "°F", "°f", "degF", "deg F", "degrees F", "Fahrenheit", "degrees Fahrenheit", "deg Fahrenheit"], 5.0 / 9.0, 1, SP811)
    },
    Unit {
        offset: 273.15,
        ..unit(M::Temperature, "C", &["C", "c", "°C", "°c", "degC", "deg C", "degrees C", "Celsius", "degrees Celsius", "deg Celsius"], 1.0, 1, SI)
    },
    unit(M::Temperature, "K", &["K", "kelvin", "kelvins"], 1.0, 1, SI),
    unit(M::TemperatureStep, "F", &["F", "f", "°F", "°f", "degF", "deg F", "degrees F", "Fahrenheit", "degrees Fahrenheit", "deg Fahrenheit"], 5.0 / 9.0, 1, SP811),
    unit(M::TemperatureStep, "C", &["C", "c", "°C", "°c", "degC", "deg C", "degrees C", "Celsius", "degrees Celsius", "deg Celsius"], 1.0, 1, SI),
    unit(M::TemperatureStep, "K", &["K", "kelvin", "kelvins"], 1.0, 1, SI),

    unit(M::Duration, "s", &["s", "sec", "secs", "second", "seconds"], 1.0, 1, SI),
    unit(M::Duration, "min", &["min", "mins", "minute", "minutes"], MINUTE, 1, SI),
    unit(M::Duration, "h", &["h", "hr", "hrs", "hour", "hours"], HOUR, 1, SI),
    unit(M::Duration, "days", &["days", "day", "d"], DAY, 1, SI),
    unit(M::Duration, "weeks", &["weeks", "week", "wk", "wks"], 7.0 * DAY, 1, DEFINITION),
    unit(M::Duration, "years", &["years", "year", "yr", "yrs"], 365.0 * DAY, 2, SP811),

    unit(M::Speed, "mph", &["mph", "mi/h", "miles/hour"], 1609.344 / HOUR, 1, SP811),
    unit(M::Speed, "km/h", &["km/h", "kph", "kmh", "km/hr"], 1e3 / HOUR, 1, SI),
    unit(M::Speed, "m/s", &["m/s", "meters/second", "metres/second"], 1.0, 2, SI),
    unit(M::Speed, "ft/s", &["ft/s", "ft/sec", "fps", "feet/second"], FOOT, 1, SP811),
    unit(M::Speed, "ft/min", &["ft/min", "fpm", "feet/minute"], FOOT / MINUTE, 0, SP811),

    unit(M::Acceleration, "g", &["g", "G"], GRAVITY, 2, SP811),
    unit(M::Acceleration, "m/s2", &["m/s2"], 1.0, 2, SI),
    unit(M::Acceleration, "ft/s2", &["ft/s2"], FOOT, 1, SP811),

    unit(M::Current, "A", &["A", "a", "amp", "amps", "ampere", "amperes"], 1.0, 1, SI),
    unit(M::Current, "mA", &["mA", "milliamp", "milliamps"], 1e-3, 0, SI),
    unit(M::Voltage, "V", &["V", "v", "volt", "volts", "VDC", "VAC", "V DC", "V AC"], 1.0, 2, SI),
    unit(M::Voltage, "mV", &["mV", "millivolt", "millivolts"], 1e-3, 0, SI),
    unit(M::Charge, "Ah", &["Ah", "A·h", "amp hour", "amp hours", "amp·hour", "amp·hours"], HOUR, 1, SP811),
    unit(M::Charge, "mAh", &["mAh", "milliamp hours", "milliamp·hours"], 3.6, 0, SP811),
    unit(M::Resistance, "ohm", &["ohm", "ohms"], 1.0, 3, SI),
    unit(M::Resistance, "mohm", &["mohm", "milliohm", "milliohms"], 1e-3, 1, SI),

    Unit { exact: false, ..unit(M::Angle, "deg", &["deg", "degs", "degree", "degrees", "°"], std::f64::consts::PI / 180.0, 1, SP811) },
    unit(M::Angle, "rad", &["rad", "radian", "radians"], 1.0, 3, SI),
    unit(M::Rotation, "rpm", &["rpm", "rev/min", "r/min"], 1.0 / MINUTE, 0, DEFINITION),

    unit(M::Ratio, "%", &["%", "percent", "pct"], 1e-2, 2, DEFINITION),
    unit(M::Ratio, "ppm", &["ppm"], 1e-6, 0, DEFINITION),
    unit(M::Ratio, "", &[], 1.0, 3, DEFINITION),
    unit(M::Count, "", &[], 1.0, 3, DEFINITION),

    unit(M::Density, "lb/gal", &["lb/gal", "lbs/gal", "ppg", "pounds/gallon"], POUND / GALLON, 2, SP811),
    unit(M::Density, "lb/cu ft", &["lb/cu ft", "lb/ft3", "pcf"], POUND / (FOOT * FOOT * FOOT), 1, SP811),
    unit(M::Density, "kg/m3", &["kg/m3"], 1.0, 0, SI),
    unit(M::Density, "kg/L", &["kg/L", "kg/l"], 1e3, 3, SI),
    unit(M::Density, "g/mL", &["g/mL", "g/ml", "g/cm3", "g/cc"], 1e3, 3, SI),

    unit(M::SpringRate, "lb/in", &["lb/in", "lbs/in", "lbf/in", "pounds/inch"], POUND_FORCE / INCH, 0, SP811),
    unit(M::SpringRate, "N/mm", &["N/mm"], 1e3, 1, SI),
    unit(M::SpringRate, "N/m", &["N/m"], 1.0, 0, SI),
    unit(M::SpringRate, "kN/m", &["kN/m"], 1e3, 1, SI),

    unit(M::Bending, "lb-in/ft", &["lb·in/ft", "lbf·in/ft", "in·lb/ft", "in·lbf/ft"], POUND_FORCE * INCH / FOOT, 0, SP811),
    unit(M::Bending, "N·m/m", &["N·m/m", "Nm/m"], 1.0, 0, SI),
    unit(M::Stiffness, "lb-in2/ft", &["lb·in2/ft", "lbf·in2/ft"], POUND_FORCE * INCH * INCH / FOOT, 0, SP811),
    unit(M::Stiffness, "N·m2/m", &["N·m2/m", "Nm2/m"], 1.0, 0, SI),

    unit(M::Sound, "dBA", &["dBA", "dB(A)", "dB A"], 1.0, 0, "IEC 61672-1 (frequency weighting A)"),

    unit(M::Concentration, "g/L", &["g/L", "g/l", "gpl"], 1.0, 1, SI),
    unit(M::Concentration, "mg/L", &["mg/L", "mg/l"], 1e-3, 1, SI),
    unit(M::Concentration, "oz/gal", &["oz/gal"], POUND / 16.0 / GALLON, 2, SP811),

    unit(M::AreaRate, "sq ft/min", &["sq ft/min", "ft2/min", "sqft/min", "square feet/minute"], FOOT * FOOT / MINUTE, 1, SP811),
    unit(M::AreaRate, "sq ft/h", &["sq ft/h", "sq ft/hr", "sq ft/hour", "ft2/h", "sqft/h", "sqft/hr"], FOOT * FOOT / HOUR, 0, SP811),
    unit(M::AreaRate, "m2/min", &["m2/min"], 1.0 / MINUTE, 2, SI),
    unit(M::AreaRate, "m2/h", &["m2/h", "m2/hr"], 1.0 / HOUR, 1, SI),
    unit(M::AreaRate, "m2/s", &["m2/s"], 1.0, 3, SI),

    unit(M::Viscosity, "cP", &["cP", "cp", "centipoise", "cps"], 1e-3, 2, SP811),
    unit(M::Viscosity, "mPa·s", &["mPa·s", "mPa s"], 1e-3, 2, SI),
    unit(M::Viscosity, "Pa·s", &["Pa·s", "Pa s"], 1.0, 4, SI),

    unit(M::Torque, "lb-ft", &["lb·ft", "lbf·ft", "ft·lb", "ft·lbs", "ft·lbf", "ft lb", "ft lbs", "lb ft", "lbft", "foot pounds", "foot·pounds"], POUND_FORCE * FOOT, 1, SP811),
    unit(M::Torque, "lb-in", &["lb·in", "lbf·in", "in·lb", "in·lbs", "in·lbf", "in lb", "in lbs", "lb in", "inch pounds", "inch·pounds"], POUND_FORCE * INCH, 1, SP811),
    unit(M::Torque, "N·m", &["N·m", "Nm", "N m", "newton meters", "newton metres"], 1.0, 1, SI),
];
