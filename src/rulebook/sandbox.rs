//! The engine that scripts run in, and the bounds of a run.
//!
//! A rule can reach nothing but what [`host`] offers: no files, no clock, no random numbers, no printing, no modules. What it
//! can spend is counted in steps, which are the same on every machine; time is looked at only once a rule has spent far more
//! than any honest rule does, so that a busy machine never stops an honest one.

use std::cell::Cell;
use std::time::{Duration, Instant};

use rhai::{Engine, LexError, OptimizationLevel, Token};

use super::host;

/// Bounds of one call of a script. A rule of the standard book needs a few hundred steps.
pub mod bounds {
    /// Steps: operations of the engine, and the entries that host functions walk.
    pub const STEPS: u64 = 50_000;
    /// Steps within which time is not looked at.
    pub const PATIENT: u64 = 5_000;
    /// Milliseconds, past [`PATIENT`].
    pub const MILLISECONDS: u64 = 150;
    /// Calls within calls.
    pub const LEVELS: usize = 8;
    /// Expressions within expressions.
    pub const DEPTH: usize = 48;
    /// Bytes of a text.
    pub const TEXT: usize = 8 * 1024;
    /// Entries of a list, those of lists within it counted.
    pub const LIST: usize = 1_000;
    /// Entries of a map.
    pub const MAP: usize = 64;
    /// Bytes of a script file. Lines and columns of such a file fit the engine's 16 bits.
    pub const FILE: usize = 32 * 1024;
    /// Names in scope at a time.
    pub const NAMES: usize = 64;
    /// Functions of a script.
    pub const FUNCTIONS: usize = 16;
}

thread_local! {
    static STARTED: Cell<Option<Instant>> = const { Cell::new(None) };
}

/// Starts the counting for one call of a script on this thread.
pub(super) fn start() {
    STARTED.set(Some(Instant::now()));
    host::start_work();
}

fn is_late() -> bool {
    STARTED.get().is_some_and(|start| start.elapsed() > Duration::from_millis(bounds::MILLISECONDS))
}

/// An engine with the host's types and nothing else.
#[expect(
    deprecated,
    reason = "the engine marks what may still change as deprecated; the manifest pins the engine's minor version"
)]
pub fn engine() -> Engine {
    let mut engine = Engine::new_raw();
    engine.set_optimization_level(OptimizationLevel::None);
    // The engine's own operators compare unlike things as `false`; the host's are the only ones.
    engine.set_fast_operators(false);
    engine.set_strict_variables(true);
    engine.set_allow_shadowing(false);
    engine.set_allow_anonymous_fn(false);
    engine.set_allow_looping(true);
    engine.set_fail_on_invalid_map_property(true);
    engine.set_max_operations(bounds::STEPS);
    engine.set_max_call_levels(bounds::LEVELS);
    engine.set_max_expr_depths(bounds::DEPTH, bounds::DEPTH);
    engine.set_max_string_size(bounds::TEXT);
    engine.set_max_array_size(bounds::LIST);
    engine.set_max_map_size(bounds::MAP);
    engine.set_max_functions(bounds::FUNCTIONS);
    engine.set_max_variables(bounds::NAMES);
    engine.set_max_modules(0);
    for word in [
        "eval",
        "import",
        "export",
        "Fn",
        "call",
        "curry",
        "print",
        "debug",
        "type_of",
        "is_shared",
        "is_def_var",
        "is_def_fn",
    ] {
        engine.disable_symbol(word);
    }
    engine.on_parse_token(|token, _, _| match token {
        // Every number is a decimal one, so that 1 / 2 is a half.
        Token::IntegerConstant(whole) => {
            Token::FloatConstant(Box::new(((whole as f64).into(), format!("{whole}.0").into())))
        }
        Token::FloatConstant(number) if !number.0.is_finite() => {
            Token::LexError(LexError::MalformedNumber(number.1.to_string()).into())
        }
        // The engine keeps these words for itself; here they name a question and properties of the rig.
        Token::Reserved(word) if *word == "is" || host::is_property(&word) => Token::Identifier(word),
        Token::Throw => Token::Identifier(Box::new("throw".into())),
        Token::Until => Token::Identifier(Box::new("until".into())),
        other => other,
    });
    engine.on_progress(|operations| {
        let steps = operations.saturating_add(host::work());
        if steps > bounds::STEPS {
            return Some(STEPS.into());
        }
        (steps > bounds::PATIENT && operations.is_multiple_of(64) && is_late()).then(|| TIME.into())
    });
    host::register(&mut engine);
    engine
}

/// What the engine hands on when the steps are spent.
const STEPS: &str = "steps";
/// What the engine hands on when the time is spent.
const TIME: &str = "time";

/// The sentence for a rule that was stopped.
pub(super) fn stopped(token: &str) -> String {
    if token == TIME {
        format!("the rule was stopped after {} ms: it does too much", bounds::MILLISECONDS)
    } else {
        format!("the rule was stopped after {} steps: it does too much", bounds::STEPS)
    }
}
