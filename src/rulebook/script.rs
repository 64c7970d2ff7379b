//! A rule's script: read, checked without being run, and run within bounds.

use std::cell::Cell;
use std::sync::Arc;
use std::time::{Duration, Instant};

use rhai::{AST, ASTNode, Dynamic, Engine, EvalAltResult, Expr, Map, OptimizationLevel, ParseError, Position, Scope, Stmt, Token};

use super::card::{Finding, RuleCard, Signal};
use super::host::{self, Flagged, Limits, Quantity, Scene, Thing};
use crate::measure::{self, Measure, Range};
use crate::spec::nearest;
use crate::workings::SubjectId;

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
    limits: Vec<(String, Range, Measure)>,
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

/// Bounds of one call of a script. A rule of the standard book needs a few hundred operations.
pub mod bounds {
    /// Operations.
    pub const OPERATIONS: u64 = 100_000;
    /// Milliseconds, for what few operations can still take.
    pub const MILLISECONDS: u64 = 100;
    /// Calls within calls.
    pub const LEVELS: usize = 16;
    /// Bytes of a text.
    pub const TEXT: usize = 8 * 1024;
    /// Entries of a list or map.
    pub const ENTRIES: usize = 1_000;
    /// Bytes of a script file.
    pub const FILE: usize = 64 * 1024;
}

thread_local! {
    static STARTED: Cell<Option<Instant>> = const { Cell::new(None) };
}

/// An engine with the host's types and nothing else: no files, no clock, no random numbers, no printing, no modules.
#[expect(deprecated, reason = "the engine marks what may still change as deprecated; the manifest pins the engine's minor version")]
pub fn engine() -> Engine {
    let mut engine = Engine::new_raw();
    engine.set_optimization_level(OptimizationLevel::None);
    engine.set_strict_variables(true);
    engine.set_allow_shadowing(false);
    engine.set_allow_anonymous_fn(false);
    engine.set_allow_looping(true);
    engine.set_fail_on_invalid_map_property(true);
    engine.set_max_operations(bounds::OPERATIONS);
    engine.set_max_call_levels(bounds::LEVELS);
    engine.set_max_expr_depths(64, 64);
    engine.set_max_string_size(bounds::TEXT);
    engine.set_max_array_size(bounds::ENTRIES);
    engine.set_max_map_size(bounds::ENTRIES);
    engine.set_max_functions(16);
    engine.set_max_variables(64);
    engine.set_max_modules(0);
    for word in ["eval", "import", "export", "Fn", "call", "curry", "print", "debug", "type_of", "is_shared"] {
        engine.disable_symbol(word);
    }
    // Every number is a decimal one, so that 1 / 2 is a half.
    engine.on_parse_token(|token, _, _| match token {
        Token::IntegerConstant(whole) => Token::FloatConstant(Box::new(((whole as f64).into(), format!("{whole}.0").into()))),
        other => other,
    });
    engine.on_progress(|operations| {
        let late = operations % 256 == 0 && STARTED.get().is_some_and(|start| start.elapsed() > Duration::from_millis(bounds::MILLISECONDS));
        late.then(|| "the rule takes too long".into())
    });
    host::register(&mut engine);
    engine
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
            Err(ParseError(kind, position)) => return Err(vec![fault(parse_text(&kind.to_string()), bytes_at(&text, position))]),
        };
        let mut faults = Vec::new();
        let card = read_card(&ast, &id, chapter, &text).unwrap_or_else(|says| {
            faults.push(fault(says, text.find("CARD").map(|at| (at, at + 4))));
            None
        });
        let parameters = ast.iter_functions().find(|function| function.name == "inspect").map(|function| function.params.len());
        match parameters {
            None => faults.push(fault("a rule needs `fn inspect(thing, rig, limit)`".to_owned(), None)),
            Some(1..=3) => {}
            Some(_) => faults.push(fault("`inspect` takes the thing, the rig and the card's limits".to_owned(), text.find("inspect").map(|at| (at, at + 7)))),
        }
        let limit_names: Vec<&str> = card.iter().flat_map(|card| card.limits.iter().map(|(name, _)| name.as_str())).collect();
        for (says, position) in static_faults(&ast, &limit_names) {
            faults.push(fault(says, bytes_at(&text, position)));
        }
        let mut limits = Vec::new();
        for (name, written) in card.iter().flat_map(|card| &card.limits) {
            match read_limit(written) {
                Some((range, measure)) => limits.push((name.clone(), range, measure)),
                None => faults.push(fault(format!("the limit `{name}: {written}` is not a quantity"), text.find(written.as_str()).map(|at| (at, at + written.len())))),
            }
        }
        match (card, faults.is_empty()) {
            (Some(card), true) => Ok(Self { card, file: file.to_owned(), text, ast, parameters: parameters.unwrap_or(1), limits }),
            _ => Err(faults),
        }
    }

    /// Runs the rule on one subject.
    ///
    /// # Errors
    /// What went wrong in the script, and where.
    pub fn run(&self, engine: &Engine, scene: &Arc<Scene>, number: usize, subject: SubjectId) -> Result<Vec<Finding>, Fault> {
        STARTED.set(Some(Instant::now()));
        let mut scope = Scope::new();
        let thing = Thing::new(scene, subject);
        let rig = Thing::new(scene, SubjectId(0));
        let options = rhai::CallFnOptions::new().eval_ast(false).rewind_scope(false);
        let answer: Result<Dynamic, _> = match self.parameters {
            1 => engine.call_fn_with_options(options, &mut scope, &self.ast, "inspect", (thing,)),
            2 => engine.call_fn_with_options(options, &mut scope, &self.ast, "inspect", (thing, rig)),
            _ => {
                let limits = self.limits.iter().map(|(name, range, measure)| (name.clone(), Quantity::fixed(*range, *measure, scene.system)));
                let limits = Limits(Arc::new(limits.collect()));
                engine.call_fn_with_options(options, &mut scope, &self.ast, "inspect", (thing, rig, limits))
            }
        };
        let answer = answer.map_err(|error| self.fault(&error))?;
        let mut found = Vec::new();
        self.collect(answer, &mut found)?;
        for finding in &mut found {
            finding.rule = number;
            finding.subject = subject;
        }
        Ok(found)
    }

    fn collect(&self, answer: Dynamic, found: &mut Vec<Finding>) -> Result<(), Fault> {
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
            return list.iter().try_for_each(|one| self.collect(one.clone(), found));
        }
        let says = "`inspect` must end in `.flag(..)` (or a list of them); a verdict by itself says nothing".to_owned();
        Err(Fault { file: self.file.clone(), text: Arc::clone(&self.text), says, at: None })
    }

    fn fault(&self, error: &EvalAltResult) -> Fault {
        let (inner, position) = innermost(error);
        Fault { file: self.file.clone(), text: Arc::clone(&self.text), says: error_text(inner), at: bytes_at(&self.text, position) }
    }
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

fn error_text(error: &EvalAltResult) -> String {
    match error {
        EvalAltResult::ErrorRuntime(says, _) => says.to_string(),
        EvalAltResult::ErrorTooManyOperations(_) => format!("the rule was stopped after {} steps; does it loop?", bounds::OPERATIONS),
        EvalAltResult::ErrorTerminated(..) => format!("the rule was stopped after {} ms", bounds::MILLISECONDS),
        EvalAltResult::ErrorStackOverflow(_) => "the rule calls itself without end".to_owned(),
        EvalAltResult::ErrorDataTooLarge(what, _) => format!("the rule makes too much data ({what})"),
        EvalAltResult::ErrorFunctionNotFound(name, _) => format!("there is no function `{}`", name.split(" (").next().unwrap_or(name)),
        EvalAltResult::ErrorMismatchDataType(wanted, got, _) if wanted == "bool" => {
            format!("a yes or no is wanted here, not {got}; a verdict has three answers: combine it with all_of, any_of, not_so, and end in .flag(..)")
        }
        other => {
            let text = other.to_string();
            text.split(" (line ").next().unwrap_or(&text).to_owned()
        }
    }
}

fn parse_text(text: &str) -> String {
    text.split(" (line ").next().unwrap_or(text).to_owned()
}

/// The bytes of the word or sign at a position of the engine.
fn bytes_at(text: &str, position: Position) -> Option<(usize, usize)> {
    let (line, column) = (position.line()?, position.position().unwrap_or(1));
    let start: usize = text.split_inclusive('\n').take(line - 1).map(str::len).sum();
    let rest = text.get(start..)?.lines().next().unwrap_or_default();
    let offset = rest.char_indices().nth(column.saturating_sub(1)).map_or(rest.len(), |(at, _)| at);
    let tail = rest.get(offset..).unwrap_or_default();
    let word = tail.chars().take_while(|c| c.is_alphanumeric() || *c == '_').map(char::len_utf8).sum::<usize>();
    let length = word.max(tail.chars().next().map_or(0, char::len_utf8));
    Some((start + offset, start + offset + length))
}

fn read_limit(written: &str) -> Option<(Range, Measure)> {
    Measure::ALL.into_iter().find_map(|measure| measure::read(written, measure).ok().map(|read| (Range { low: read.low, high: read.high }, measure)))
}

/// What the script may not do, found by walking it.
fn static_faults(ast: &AST, limits: &[&str]) -> Vec<(String, Position)> {
    let mut faults = Vec::new();
    ast.walk(&mut |nodes: &[ASTNode<'_>]| {
        match nodes.last() {
            Some(ASTNode::Expr(Expr::Property(property, position))) => {
                let word = property.2.as_str();
                if !host::is_property(word) && !limits.iter().any(|limit| crate::rig::form::same_word(limit, word)) {
                    let known: Vec<String> = host::all_properties().map(|word| word.replace('-', "_")).collect();
                    let hint = nearest(word, known.iter().map(String::as_str).chain(limits.iter().copied()));
                    let hint = hint.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
                    faults.push((format!("nothing has a `{word}`{hint}"), *position));
                }
            }
            Some(ASTNode::Expr(expression @ (Expr::And(..) | Expr::Or(..)))) => {
                if uses_calls(expression) {
                    faults.push(("use all_of([..]) and any_of([..]): `&&` and `||` know no third answer".to_owned(), expression.position()));
                }
            }
            // The engine does not count what grows by `map[key] = value`.
            Some(ASTNode::Stmt(Stmt::Assignment(assignment))) if matches!(assignment.1.lhs, Expr::Index(..)) => {
                faults.push(("a rule can't store into a list or map".to_owned(), assignment.1.lhs.position()));
            }
            Some(ASTNode::Stmt(Stmt::While(_, position) | Stmt::Do(_, _, position))) => {
                faults.push(("a rule needs no open loop; `for one in list { .. }` walks a list".to_owned(), *position));
            }
            _ => {}
        }
        true
    });
    faults
}

/// Whether an operand calls a method or function: then it may be a verdict.
fn uses_calls(expression: &Expr) -> bool {
    let (Expr::And(operands, _) | Expr::Or(operands, _)) = expression else { return false };
    operands.iter().any(|operand| matches!(operand, Expr::Dot(..) | Expr::FnCall(..)))
}

fn read_card(ast: &AST, id: &str, chapter: &str, text: &str) -> Result<Option<RuleCard>, String> {
    let card = ast.iter_literal_variables(true, false).find(|(name, ..)| *name == "CARD").map(|(_, _, value)| value);
    let Some(card) = card else {
        return Err(if text.contains("CARD") { "CARD must be written out in plain values" } else { "a rule needs `const CARD = #{ .. };`" }.to_owned());
    };
    let Some(card) = card.try_cast::<Map>() else { return Err("CARD must be a map, `#{ .. }`".to_owned()) };
    const KEYS: &[&str] = &["signal", "title", "reason", "source", "each", "caution", "under", "limits"];
    if let Some(strange) = card.keys().find(|key| !KEYS.contains(&key.as_str())) {
        let hint = nearest(strange, KEYS.iter().copied()).map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        return Err(format!("a card has no `{strange}`{hint}"));
    }
    let text_of = |key: &str| match card.get(key) {
        Some(value) if value.is_string() && !value.to_string().trim().is_empty() => Ok(value.to_string()),
        Some(_) => Err(format!("`{key}` on the card must be text")),
        None => Err(format!("the card lacks `{key}`")),
    };
    let word = text_of("signal")?;
    let signal = Signal::named(&word).ok_or_else(|| format!("`{word}` is not a signal word: danger, warning, caution or notice"))?;
    let each = text_of("each")?;
    let known = crate::rig::allow::subjects().map(|form| form.word).chain(crate::workings::cards().map(|card| card.of));
    let known: Vec<&str> = known.collect();
    if !known.contains(&each.as_str()) {
        let hint = nearest(&each, known.iter().copied()).map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        return Err(format!("there is nothing called `{each}` to look at{hint}"));
    }
    let list = |key: &str| card.get(key).and_then(|value| value.read_lock::<rhai::Array>().map(|list| list.iter().map(ToString::to_string).collect()));
    let limits = card.get("limits").and_then(|limits| limits.read_lock::<Map>().map(|map| map.iter().map(|(key, value)| (key.to_string(), value.to_string())).collect()));
    Ok(Some(RuleCard {
        id: id.to_owned(),
        chapter: chapter.to_owned(),
        signal,
        title: text_of("title")?,
        reason: text_of("reason")?,
        source: text_of("source")?,
        each,
        caution: if card.contains_key("caution") { Some(text_of("caution")?) } else { None },
        under: list("under").unwrap_or_default(),
        limits: limits.unwrap_or_default(),
        notes: notes(text),
    }))
}

/// The `///` comment above `fn inspect`.
fn notes(text: &str) -> String {
    let before: Vec<&str> = text.lines().take_while(|line| !line.trim_start().starts_with("fn inspect")).collect();
    let mut notes: Vec<&str> = before.iter().rev().map_while(|line| line.trim_start().strip_prefix("///")).map(str::trim).collect();
    notes.reverse();
    notes.join(" ")
}
