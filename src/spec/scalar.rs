//! A single value, and what it is by the core schema of YAML 1.2.2 (section 10.3.2).

/// A single value as written.
#[derive(Debug, Clone, PartialEq)]
pub struct Scalar {
    /// The text after quotes and escapes; empty for a value that is left out.
    pub text: Box<str>,
    /// Written without quotes and not as a block (`|`, `>`).
    pub plain: bool,
    /// What the text is. Always [`Value::Text`] unless the scalar is plain or carries a tag that says otherwise.
    pub value: Value,
}

/// What a scalar is by the core schema. `yes`, `no`, `on`, `off`, `12:30` and `1_000` are text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// `null`, `~`, or nothing at all.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A whole number: decimal, `0o17` or `0x1F`. One that does not fit 64 bits is a [`Value::Float`].
    Int(i64),
    /// A number with a point or an exponent, `.inf` or `.nan`.
    Float(f64),
    /// Anything else.
    Text,
}

/// Resolves a plain scalar by the core schema.
pub(super) fn resolve(text: &str) -> Value {
    match text {
        "" | "~" | "null" | "Null" | "NULL" => return Value::Null,
        "true" | "True" | "TRUE" => return Value::Bool(true),
        "false" | "False" | "FALSE" => return Value::Bool(false),
        ".nan" | ".NaN" | ".NAN" => return Value::Float(f64::NAN),
        _ => {}
    }
    // Most values are words: leave early unless the first byte can begin a number.
    if !matches!(text.as_bytes().first(), Some(b'0'..=b'9' | b'+' | b'-' | b'.')) {
        return Value::Text;
    }
    if let Some(value) = radix(text, "0o", 8).or_else(|| radix(text, "0x", 16)) {
        return value;
    }
    let (negative, unsigned) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    if matches!(unsigned, ".inf" | ".Inf" | ".INF") {
        return Value::Float(if negative { f64::NEG_INFINITY } else { f64::INFINITY });
    }
    if !is_decimal(unsigned) {
        return Value::Text;
    }
    if unsigned.bytes().all(|b| b.is_ascii_digit())
        && let Ok(whole) = text.parse::<i64>()
    {
        return Value::Int(whole);
    }
    text.parse().map_or(Value::Text, Value::Float)
}

/// `0o17` or `0x1F`; the core schema allows no sign here.
fn radix(text: &str, prefix: &str, radix: u32) -> Option<Value> {
    let digits = text.strip_prefix(prefix)?;
    if digits.is_empty() || !digits.chars().all(|c| c.is_digit(radix)) {
        return None;
    }
    let whole = i64::from_str_radix(digits, radix).map(Value::Int);
    Some(whole.unwrap_or_else(|_| {
        let base = f64::from(radix);
        Value::Float(digits.chars().filter_map(|c| c.to_digit(radix)).fold(0.0, |sum, d| sum * base + f64::from(d)))
    }))
}

/// `( \. [0-9]+ | [0-9]+ ( \. [0-9]* )? ) ( [eE] [-+]? [0-9]+ )?`
fn is_decimal(text: &str) -> bool {
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    let (mantissa, exponent) = match text.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (text, None),
    };
    let mantissa_fits = match mantissa.split_once('.') {
        Some((whole, part)) => digits(whole) && digits(part) && !(whole.is_empty() && part.is_empty()),
        None => !mantissa.is_empty() && digits(mantissa),
    };
    let exponent_fits = exponent.is_none_or(|exponent| {
        let exponent = exponent.strip_prefix(['-', '+']).unwrap_or(exponent);
        !exponent.is_empty() && digits(exponent)
    });
    mantissa_fits && exponent_fits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_scalar_is_what_the_core_schema_says() {
        // YAML 1.2.2, section 10.3.2 (tag resolution of the core schema) and example 10.9.
        for text in ["", "~", "null", "Null", "NULL"] {
            assert_eq!(resolve(text), Value::Null, "{text}");
        }
        for (text, whole) in
            [("0", 0), ("0o7", 7), ("0o17", 15), ("0x3A", 58), ("-19", -19), ("+12", 12), ("017", 17), ("-0", 0)]
        {
            assert_eq!(resolve(text), Value::Int(whole), "{text}");
        }
        for (text, number) in [
            ("0.", 0.0),
            ("-0.0", 0.0),
            (".5", 0.5),
            ("+12e03", 12000.0),
            ("-2E+05", -200_000.0),
            ("1e3", 1000.0),
            ("1.5", 1.5),
        ] {
            assert_eq!(resolve(text), Value::Float(number), "{text}");
        }
        assert_eq!(resolve(".inf"), Value::Float(f64::INFINITY));
        assert_eq!(resolve("-.Inf"), Value::Float(f64::NEG_INFINITY));
        assert_eq!(resolve("+.INF"), Value::Float(f64::INFINITY));
        assert!(matches!(resolve(".NaN"), Value::Float(x) if x.is_nan()));
        assert_eq!(resolve("true"), Value::Bool(true));
        assert_eq!(resolve("FALSE"), Value::Bool(false));
    }

    #[test]
    fn what_only_yaml_1_1_reads_as_something_else_is_text() {
        // YAML 1.1 types bool, int (sexagesimal, underscores, 0b) and float, absent from the core schema of 1.2.2.
        let not_special = [
            "yes", "no", "on", "off", "Yes", "y", "12:30", "1_000", "0b11", "1,000", "tRUE", "nULL", "-0x1F", "+0o7",
            "0x", "0o8", ".", "-", "+", "e3", "1e", "1e+", ".e1", "1.2.3", "--1", "-.nan", "inf", "nan", "infinity",
            "5 gal", "1 ", "१",
        ];
        for text in not_special {
            assert_eq!(resolve(text), Value::Text, "{text}");
        }
    }

    #[test]
    fn a_whole_number_past_64_bits_becomes_a_float() {
        assert_eq!(resolve("9223372036854775807"), Value::Int(i64::MAX));
        assert_eq!(resolve("-9223372036854775808"), Value::Int(i64::MIN));
        assert_eq!(resolve("9223372036854775808"), Value::Float(9_223_372_036_854_775_808.0));
        assert_eq!(resolve("0x8000000000000000"), Value::Float(9_223_372_036_854_775_808.0));
    }
}
