//! The card of a rule, read from its script without running it.

use rhai::{AST, Array, Dynamic, Expr, Position, Stmt};

use super::card::{RuleCard, Signal};
use super::host::{did_you_mean, kinds, sorted_kinds};
use crate::measure::{self, Measure, Range};

/// A limit of a card: its name and what it says.
pub(super) type Limit = (String, Range, Measure);

/// What is on a card. The first list of faults found is in the order of the script.
pub(super) struct Reading {
    /// The card, unless a fault spoils it.
    pub(super) card: Option<RuleCard>,
    /// Its limits.
    pub(super) limits: Vec<Limit>,
    /// What is wrong, and where.
    pub(super) faults: Vec<(String, Position)>,
}

const KEYS: &[&str] = &["signal", "title", "reason", "source", "each", "caution", "under", "limits"];

/// Reads the card of a script.
pub(super) fn read_card(ast: &AST, id: &str, chapter: &str, text: &str) -> Reading {
    let mut reading = Reading { card: None, limits: Vec::new(), faults: Vec::new() };
    let cards: Vec<_> = ast
        .statements()
        .iter()
        .filter_map(|statement| match statement {
            Stmt::Var(parts, _, position) if parts.0.name == "CARD" => Some((&parts.1, *position)),
            _ => None,
        })
        .collect();
    let [(value, at)] = cards.as_slice() else {
        reading.faults.push((
            "a rule needs one `const CARD = #{ .. };`".to_owned(),
            cards.last().map_or(Position::NONE, |(_, at)| *at),
        ));
        return reading;
    };
    let Expr::Map(map, _) = value else {
        reading.faults.push(("CARD must be a map, `#{ .. }`".to_owned(), value.start_position()));
        return reading;
    };
    let mut entries = Entries { rows: Vec::new(), at: *at, faults: Vec::new() };
    for (key, value) in &map.0 {
        let name = key.name.as_str();
        if !KEYS.contains(&name) {
            entries.fault(format!("a card has no `{name}`{}", did_you_mean(name, KEYS.iter().copied())), key.pos);
        }
        match value.get_literal_value(None) {
            Some(literal) => entries.rows.push((name, value, literal)),
            None => {
                entries
                    .fault(format!("`{name}` on the card must be written out in plain values"), value.start_position());
                entries.rows.push((name, value, Dynamic::UNIT));
            }
        }
    }
    let signal = entries.required("signal").and_then(|(word, at)| {
        let signal = Signal::named(&word);
        if signal.is_none() {
            entries.fault(format!("`{word}` is not a signal word: danger, warning, caution or notice"), at);
        }
        signal
    });
    let (title, reason, source) = (entries.required("title"), entries.required("reason"), entries.required("source"));
    let each = entries.required("each").and_then(|(word, at)| {
        let known = kinds().contains(word.as_str());
        if !known {
            entries.fault(
                format!("there is nothing called `{word}` to look at{}", did_you_mean(&word, sorted_kinds())),
                at,
            );
        }
        known.then_some(word)
    });
    let caution = entries.text("caution");
    let under = entries.list("under");
    let limits = entries.limits(&mut reading.limits);
    reading.faults.append(&mut entries.faults);
    if let (true, Some(signal), Some(title), Some(reason), Some(source), Some(each)) =
        (reading.faults.is_empty(), signal, title, reason, source, each)
    {
        reading.card = Some(RuleCard {
            id: id.to_owned(),
            chapter: chapter.to_owned(),
            signal,
            title: title.0,
            reason: reason.0,
            source: source.0,
            each,
            caution: caution.map(|(text, _)| text),
            under,
            limits,
            notes: notes(text),
        });
    }
    reading
}

/// The rows of a card.
struct Entries<'a> {
    rows: Vec<(&'a str, &'a Expr, Dynamic)>,
    at: Position,
    faults: Vec<(String, Position)>,
}

impl<'a> Entries<'a> {
    fn fault(&mut self, says: String, at: Position) {
        self.faults.push((says, at));
    }

    fn row(&self, key: &str) -> Option<(&'a Expr, Dynamic)> {
        self.rows.iter().find(|(name, ..)| *name == key).map(|(_, value, literal)| (*value, literal.clone()))
    }

    /// A text, if the key is there.
    fn text(&mut self, key: &str) -> Option<(String, Position)> {
        let (value, literal) = self.row(key)?;
        let at = value.start_position();
        match literal.as_immutable_string_ref() {
            Ok(text) if !text.trim().is_empty() => return Some((text.to_string(), at)),
            // What is not literal has its fault already.
            _ if literal.is_unit() && !matches!(value, Expr::Unit(_)) => {}
            Ok(_) => self.faults.push((format!("`{key}` on the card says nothing"), at)),
            Err(_) => self.faults.push((format!("`{key}` on the card must be text"), at)),
        }
        None
    }

    /// A text that no card may lack.
    fn required(&mut self, key: &str) -> Option<(String, Position)> {
        if self.row(key).is_none() {
            self.fault(format!("the card lacks `{key}`"), self.at);
        }
        self.text(key)
    }

    /// A list of texts; empty when the key is not there.
    fn list(&mut self, key: &str) -> Vec<String> {
        let Some((value, literal)) = self.row(key) else { return Vec::new() };
        if let Some(list) = literal.read_lock::<Array>()
            && list.iter().all(Dynamic::is_string)
        {
            return list.iter().map(ToString::to_string).collect();
        }
        if !literal.is_unit() {
            self.fault(format!("`{key}` on the card must be a list of texts"), value.start_position());
        }
        Vec::new()
    }

    /// The limits, as written and as read.
    fn limits(&mut self, read: &mut Vec<Limit>) -> Vec<(String, String)> {
        let Some((value, _)) = self.row("limits") else { return Vec::new() };
        let Expr::Map(map, _) = value else {
            self.fault("`limits` on the card must be a map of names and quantities".to_owned(), value.start_position());
            return Vec::new();
        };
        let mut written = Vec::new();
        for (name, value) in &map.0 {
            let (name, at) = (name.name.to_string(), value.start_position());
            let Some(text) = value.get_literal_value(None).and_then(|literal| literal.into_string().ok()) else {
                self.fault(format!("the limit `{name}` must be text, such as \"24 in\""), at);
                continue;
            };
            match read_limit(&text) {
                Ok((range, measure)) => read.push((name.clone(), range, measure)),
                Err(says) => self.fault(format!("the limit `{name}: {text}` {says}"), at),
            }
            written.push((name, text));
        }
        written
    }
}

/// A limit as a quantity. What its unit measures may be said first, where the unit alone does not tell:
/// `acceleration 0.5 g`, `temperature difference 18 F`.
fn read_limit(written: &str) -> Result<(Range, Measure), String> {
    let read = |text: &str, measure: Measure| {
        measure::read(text, measure).ok().map(|read| (Range { low: read.low, high: read.high }, measure))
    };
    let plain = |measure: Measure| measure.name().trim_start_matches("an ").trim_start_matches("a ");
    // The longest name first: `temperature difference` begins as `temperature` does.
    let mut named: Vec<(&str, Measure)> = Measure::ALL.into_iter().map(|measure| (plain(measure), measure)).collect();
    named.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
    for (name, measure) in named {
        if let Some(rest) = written.strip_prefix(name)
            && rest.starts_with(' ')
        {
            return read(rest.trim_start(), measure)
                .ok_or_else(|| format!("is not {}; write it as `{name} {}`", measure.name(), measure.example()));
        }
    }
    let readings: Vec<(Range, Measure)> =
        Measure::ALL.into_iter().filter_map(|measure| read(written, measure)).collect();
    let Some(first) = readings.first() else { return Err("is not a quantity with a unit".to_owned()) };
    match readings.iter().find(|other| other.1.dim() != first.1.dim()) {
        Some(other) => Err(format!(
            "may be {} or {}; write `{} {written}` or `{} {written}`",
            first.1.name(),
            other.1.name(),
            plain(first.1),
            plain(other.1)
        )),
        None => Ok(*first),
    }
}

/// The `///` comment above `fn inspect`.
fn notes(text: &str) -> String {
    let before: Vec<&str> = text.lines().take_while(|line| !line.trim_start().starts_with("fn inspect")).collect();
    let mut notes: Vec<&str> =
        before.iter().rev().map_while(|line| line.trim_start().strip_prefix("///")).map(str::trim).collect();
    notes.reverse();
    notes.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 in = 0.0254 m and 1 lb = 0.45359237 kg, exact by definition; 0 C = 273.15 K.
    #[test]
    fn a_limit_is_read_with_its_unit_and_asks_where_the_unit_does_not_tell() {
        let (range, measure) = read_limit("24 in").unwrap();
        assert_eq!(measure, Measure::Length);
        assert!((range.low - 0.6096).abs() < 1e-12);
        assert_eq!(read_limit("10 %").unwrap().1, Measure::Ratio);
        assert_eq!(read_limit("temperature difference 18 F").unwrap().1, Measure::TemperatureStep);
        assert!((read_limit("temperature difference 18 F").unwrap().0.low - 10.0).abs() < 1e-9);
        assert!((read_limit("20 C").unwrap().0.low - 293.15).abs() < 1e-9);
        assert_eq!(read_limit("acceleration 0.5 g").unwrap().1, Measure::Acceleration);
        assert!(read_limit("0.5 g").unwrap_err().contains("write `mass 0.5 g` or `acceleration 0.5 g`"));
        assert!(read_limit("twelve").is_err());
        assert!(read_limit("mass 3 ft").is_err());
    }

    /// The notes are the comment right above `inspect`, not another one.
    #[test]
    fn the_notes_are_the_comment_above_inspect() {
        assert_eq!(notes("// no\n/// One\n/// two.\nfn inspect(x) {}\n/// no"), "One two.");
        assert_eq!(notes("/// far\n\nfn inspect(x) {}"), "");
    }
}
