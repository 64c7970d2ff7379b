//! A rule's script: read, checked without being run, and run within bounds.

use std::sync::Arc;

use rhai::{AST, Dynamic, Engine, EvalAltResult, ParseError, Position, Scope};

use super::card::{Finding, RuleCard};
use super::checks;
use super::host::{FUNCTIONS, Limits, Scene, Thing, did_you_mean};
use super::quantity::Quantity;
use super::reading::{Limit, Reading, read_card};
use super::sandbox::{self, bounds};
use super::verdict::Flagged;
use crate::measure::System;
use crate::workings::SubjectId;

pub use super::sandbox::engine;

/// A rule, ready to run.
#[derive(Debug, Clone)]
pub struct Rule {
    /// What it says of itself.
    pub card: RuleCard,
    /// The script's file, relative to the rulebook.
    pub file: String,
    /// The script's text.
    pub text: Arc<str>,
    ast: AST,
    parameters: usize,
    /// The card's limits as quantities, in US and in SI units.
    limits: [Limits; 2],
}

/// What is wrong with a script, and the bytes in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The script's file, relative to the rulebook.
    pub file: String,
    /// The script's text.
    pub text: Arc<str>,
    /// What is wrong.
    pub says: String,
    /// The bytes, when the engine told where.
    pub at: Option<(usize, usize)>,
}

impl Rule {
    /// Reads a script and checks what can be checked without running it.
    ///
    /// # Errors
    /// Every fault found: a card that is incomplete or not literal, a property that nothing has, a form that is not allowed.
    pub fn read(engine: &Engine, chapter: &str, file: &str, text: &str) -> Result<Self, Vec<Fault>> {
        let id = file.rsplit('/').next().unwrap_or(file).trim_end_matches(".rhai").to_owned();
        let text: Arc<str> = text.into();
        let fault = |says: String, at| Fault { file: file.to_owned(), text: Arc::clone(&text), says, at };
        if text.len() > bounds::FILE {
            return Err(vec![fault(format!("a script of more than {} KiB is no rule", bounds::FILE / 1024), None)]);
        }
        let ast = match engine.compile(&*text) {
            Ok(ast) => ast,
            Err(ParseError(kind, position)) => {
                return Err(vec![fault(without_place(&kind.to_string()), bytes_at(&text, position))]);
            }
        };
        let Reading { card, limits, faults: mut found } = read_card(&ast, &id, chapter, &text);
        let names: Vec<&str> = limits.iter().map(|(name, ..)| name.as_str()).collect();
        let inspect =
            ast.iter_functions().find(|function| function.name == "inspect").map(|function| function.params.len());
        match inspect {
            None => found.push(("a rule needs `fn inspect(thing, rig, limit)`".to_owned(), Position::NONE)),
            Some(1..=3) => {}
            Some(_) => {
                found.push(("`inspect` takes the thing, the rig and the card's limits".to_owned(), Position::NONE))
            }
        }
        found.extend(checks::faults(&ast, &names));
        let mut faults: Vec<Fault> =
            found.into_iter().map(|(says, position)| fault(says, place(&text, position))).collect();
        faults.sort_by_key(|fault| fault.at);
        match card {
            Some(card) if faults.is_empty() => {
                let limits = [System::Us, System::Si].map(|system| as_quantities(&limits, system));
                Ok(Self { card, file: file.to_owned(), text, ast, parameters: inspect.unwrap_or(1), limits })
            }
            _ => Err(faults),
        }
    }

    /// Runs the rule on one subject.
    ///
    /// # Errors
    /// What went wrong in the script, and where.
    pub fn run(
        &self,
        engine: &Engine,
        scene: &Arc<Scene>,
        number: usize,
        subject: SubjectId,
    ) -> Result<Vec<Finding>, Fault> {
        let answer = self.call(engine, scene, subject).map_err(|error| self.fault(&error))?;
        let mut found = Vec::new();
        self.collect(&answer, &mut found)?;
        for finding in &mut found {
            finding.rule = number;
            finding.subject = subject;
        }
        Ok(found)
    }

    /// Whether the rule surely has nothing to say about a subject: it is met. Quicker than a run, since no sentence is made.
    pub(super) fn is_met(&self, engine: &Engine, scene: &Arc<Scene>, subject: SubjectId) -> bool {
        super::host::set_quiet(true);
        let answer = self.call(engine, scene, subject);
        super::host::set_quiet(false);
        answer.is_ok_and(|answer| says_nothing(&answer))
    }

    fn call(&self, engine: &Engine, scene: &Arc<Scene>, subject: SubjectId) -> Result<Dynamic, Box<EvalAltResult>> {
        sandbox::start();
        let mut scope = Scope::new();
        let thing = Thing::new(scene, subject);
        let options = rhai::CallFnOptions::new().eval_ast(false).rewind_scope(false);
        let rig = || Thing::new(scene, SubjectId(0));
        let [us, si] = &self.limits;
        let limits = || if scene.system == System::Si { si } else { us }.clone();
        match self.parameters {
            1 => engine.call_fn_with_options(options, &mut scope, &self.ast, "inspect", (thing,)),
            2 => engine.call_fn_with_options(options, &mut scope, &self.ast, "inspect", (thing, rig())),
            _ => engine.call_fn_with_options(options, &mut scope, &self.ast, "inspect", (thing, rig(), limits())),
        }
    }

    fn collect(&self, answer: &Dynamic, found: &mut Vec<Finding>) -> Result<(), Fault> {
        if answer.is_unit() {
            return Ok(());
        }
        if let Some(flagged) = answer.read_lock::<Flagged>() {
            let mut finding = (*flagged.0).clone();
            finding.signal = flagged.1.unwrap_or(self.card.signal);
            found.push(finding);
            return Ok(());
        }
        if let Some(list) = answer.read_lock::<rhai::Array>() {
            return list.iter().try_for_each(|one| self.collect(one, found));
        }
        let got = super::host::plain_name(answer);
        let says = format!(
            "`inspect` must end in `.flag(..)` or a list of them, not in {got}; a verdict by itself says nothing"
        );
        Err(Fault {
            file: self.file.clone(),
            text: Arc::clone(&self.text),
            says,
            at: place(&self.text, Position::NONE),
        })
    }

    fn fault(&self, error: &EvalAltResult) -> Fault {
        let (inner, position) = innermost(error);
        Fault {
            file: self.file.clone(),
            text: Arc::clone(&self.text),
            says: error_text(inner),
            at: place(&self.text, position),
        }
    }
}

/// Nothing, or a list of nothings.
fn says_nothing(answer: &Dynamic) -> bool {
    answer.is_unit() || answer.read_lock::<rhai::Array>().is_some_and(|list| list.iter().all(says_nothing))
}

fn as_quantities(limits: &[Limit], system: System) -> Limits {
    Limits(Arc::new(
        limits.iter().map(|(name, range, measure)| (name.clone(), Quantity::fixed(*range, *measure, system))).collect(),
    ))
}

fn innermost(error: &EvalAltResult) -> (&EvalAltResult, Position) {
    match error {
        EvalAltResult::ErrorInFunctionCall(_, _, inner, position) => {
            let (inner, inside) = innermost(inner);
            (inner, if inside.is_none() { *position } else { inside })
        }
        other => (other, other.position()),
    }
}

/// What went wrong, in words for whoever writes rules.
fn error_text(error: &EvalAltResult) -> String {
    match error {
        EvalAltResult::ErrorRuntime(says, _) => says.to_string(),
        EvalAltResult::ErrorTooManyOperations(_) => sandbox::stopped(""),
        EvalAltResult::ErrorTerminated(token, _) => sandbox::stopped(&token.to_string()),
        EvalAltResult::ErrorStackOverflow(_) => "the rule calls itself too deep".to_owned(),
        EvalAltResult::ErrorDataTooLarge(what, _) => {
            let (what, most) = match what.split(' ').next_back() {
                Some("string") => ("a text", format!("{} bytes", bounds::TEXT)),
                Some("map") => ("a map", format!("{} entries", bounds::MAP)),
                _ => ("a list", format!("{} entries", bounds::LIST)),
            };
            format!("{what} grows past {most}")
        }
        EvalAltResult::ErrorFunctionNotFound(call, _) => not_found(call),
        EvalAltResult::ErrorDotExpr(says, _) => match (says.split('\'').nth(1), says.rsplit('\'').nth(1)) {
            // The engine: Unknown property 'x' - a getter is not registered for type 'y'.
            (Some(word), Some(kind)) if says.starts_with("Unknown property") => {
                format!("a {} has no `{word}`", kind_name(kind))
            }
            _ => "a thing can't be changed".to_owned(),
        },
        EvalAltResult::ErrorFor(_) => "`for` walks a list; this is none".to_owned(),
        EvalAltResult::ErrorMismatchDataType(wanted, got, _) if wanted == "bool" => {
            let got = kind_name(got);
            format!(
                "a yes or no is wanted here, not a {got}; a verdict has three answers: combine it with all_of, any_of, not_so, and end in .flag(..)"
            )
        }
        other => without_place(&other.to_string()),
    }
}

fn not_found(call: &str) -> String {
    let (name, kinds) = call.split_once(" (").unwrap_or((call, ""));
    if !FUNCTIONS.contains(&name) {
        return format!("there is no function `{name}`{}", did_you_mean(name, FUNCTIONS.iter().copied()));
    }
    let kinds: Vec<String> =
        kinds.trim_end_matches(')').split(", ").filter(|kind| !kind.is_empty()).map(kind_name).collect();
    match kinds.split_first() {
        None => format!("`{name}` is asked of nothing"),
        Some((first, [])) => format!("`{name}` can't be asked of a {first} without more"),
        Some((first, rest)) => format!("`{name}` can't be asked of a {first} with {}", rest.join(", ")),
    }
}

/// The engine's name of a type, as the messages say it.
fn kind_name(kind: &str) -> String {
    match kind.rsplit("::").next().unwrap_or(kind) {
        "f64" | "i64" => "number".to_owned(),
        "bool" => "yes or no".to_owned(),
        "()" => "nothing".to_owned(),
        "array" => "list".to_owned(),
        other if other.ends_with("tring") || other == "char" => "text".to_owned(),
        other => other.to_lowercase(),
    }
}

/// The engine's text without its line and column, which the fault shows in the script itself.
fn without_place(text: &str) -> String {
    text.split(" (line ").next().unwrap_or(text).to_owned()
}

/// The bytes at a position; where the engine gave none, the name of `inspect`, or of the card when there is no `inspect`.
fn place(text: &str, position: Position) -> Option<(usize, usize)> {
    bytes_at(text, position).or_else(|| {
        let (before, word) = [("fn ", "inspect"), ("const ", "CARD")]
            .into_iter()
            .find(|(before, word)| text.contains(&format!("{before}{word}")))?;
        let start = text.find(&format!("{before}{word}"))? + before.len();
        Some((start, start + word.len()))
    })
}

/// The bytes of the word, number, text or sign at a position of the engine.
fn bytes_at(text: &str, position: Position) -> Option<(usize, usize)> {
    let (line, column) = (position.line()?, position.position().unwrap_or(1));
    let start: usize = text.split_inclusive('\n').take(line - 1).map(str::len).sum();
    let rest = text.get(start..)?.lines().next().unwrap_or_default();
    let mut offset = rest.char_indices().nth(column.saturating_sub(1)).map_or(rest.len(), |(at, _)| at);
    // What goes wrong at a dot goes wrong with the word after it.
    let dot = rest.get(offset..).unwrap_or_default();
    if let Some(word) = dot.strip_prefix('.').map(str::trim_start).filter(|word| word.starts_with(char::is_alphabetic))
    {
        offset += dot.len() - word.len();
    }
    let tail = rest.get(offset..).unwrap_or_default();
    let length = token(tail).max(tail.chars().next().map_or(0, char::len_utf8));
    Some((start + offset, start + offset + length))
}

/// The bytes of the token that a line begins with.
fn token(tail: &str) -> usize {
    const SIGNS: &str = "=<>!&|+-*/%^?";
    let run =
        |wanted: &dyn Fn(char) -> bool| tail.chars().take_while(|c| wanted(*c)).map(char::len_utf8).sum::<usize>();
    match tail.chars().next() {
        Some(quote @ ('"' | '`')) => {
            let mut escaped = false;
            let end = tail.char_indices().skip(1).find(|(_, c)| {
                let closes = *c == quote && !escaped;
                escaped = *c == '\\' && !escaped;
                closes
            });
            end.map_or(tail.trim_end().len(), |(at, _)| at + 1)
        }
        Some(c) if c.is_ascii_digit() => run(&|c| c.is_alphanumeric() || c == '_' || c == '.'),
        Some(c) if SIGNS.contains(c) => run(&|c| SIGNS.contains(c)),
        _ => run(&|c| c.is_alphanumeric() || c == '_'),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str, line: u16, column: u16) -> &str {
        let (start, end) = bytes_at(text, Position::new(line, column)).unwrap();
        text.get(start..end).unwrap()
    }

    /// Positions of the engine count characters; spans count bytes.
    #[test]
    fn a_position_becomes_the_bytes_of_its_token_through_tabs_crlf_and_umlauts() {
        let text = "let a = 1;\r\n\tlet gr\u{f6}\u{df}e = \"\u{e9} \\\" x\" + b_2 >= 12.5;";
        assert_eq!(cut(text, 1, 5), "a");
        assert_eq!(cut(text, 2, 6), "gr\u{f6}\u{df}e");
        assert_eq!(cut(text, 2, 14), "\"\u{e9} \\\" x\"");
        assert_eq!(cut(text, 2, 25), "b_2");
        assert_eq!(cut(text, 2, 29), ">=");
        assert_eq!(cut(text, 2, 32), "12.5");
    }

    #[test]
    fn a_position_past_the_end_is_an_empty_span_inside_the_text() {
        for (line, column) in [(1, 9), (3, 1), (900, 1)] {
            let (start, end) = bytes_at("abc\ndef", Position::new(line, column)).unwrap();
            assert!(start <= end && end <= 7, "{line}:{column} gave {start}..{end}");
        }
    }

    #[test]
    fn an_error_without_a_place_points_at_inspect() {
        let text = "const CARD = #{};\nfn inspect(x) { x }";
        let (start, end) = place(text, Position::NONE).unwrap();
        assert_eq!(text.get(start..end), Some("inspect"));
    }
}
