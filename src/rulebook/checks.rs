//! What a script may not do, found by walking it before it is ever run.

use std::collections::HashSet;

use rhai::{AST, ASTFlags, ASTNode, Expr, Position, Stmt};

use super::host::{self, FUNCTIONS, VERDICTS, did_you_mean};
use crate::rig::form::same_word;

/// Faults of a script, in the order of the walk. `limits` are the names on its card.
pub(super) fn faults(ast: &AST, limits: &[&str]) -> Vec<(String, Position)> {
    let own: HashSet<&str> = ast.iter_functions().map(|function| function.name).collect();
    let inspect = ast.iter_functions().find(|function| function.name == "inspect");
    let limits_name = inspect.as_ref().and_then(|function| function.params.get(2).copied());
    let mut walk = Walk { limits, limits_name, own, faults: Vec::new(), flags: false };
    for statement in ast.statements() {
        let is_card = matches!(statement, Stmt::Var(parts, options, _) if parts.0.name == "CARD" && options.contains(ASTFlags::CONSTANT));
        if !is_card && !matches!(statement, Stmt::Noop(_)) {
            walk.fault(
                "only `const CARD` and functions stand at the top of a script; nothing else there is run",
                statement.position(),
            );
        }
    }
    ast.walk(&mut |nodes: &[ASTNode<'_>]| {
        match nodes.last() {
            Some(ASTNode::Expr(expression)) => walk.expression(expression),
            Some(ASTNode::Stmt(statement)) => walk.statement(statement),
            _ => {}
        }
        true
    });
    if inspect.is_some() && !walk.flags {
        walk.fault("a rule that never calls `.flag(..)` finds nothing", Position::NONE);
    }
    let mut seen = HashSet::new();
    walk.faults.retain(|(_, position)| position.is_none() || seen.insert((position.line(), position.position())));
    walk.faults
}

struct Walk<'a> {
    limits: &'a [&'a str],
    /// What the script calls the limits of its card.
    limits_name: Option<&'a str>,
    /// The functions of the script itself.
    own: HashSet<&'a str>,
    faults: Vec<(String, Position)>,
    flags: bool,
}

impl Walk<'_> {
    fn fault(&mut self, says: impl Into<String>, at: Position) {
        self.faults.push((says.into(), at));
    }

    fn statement(&mut self, statement: &Stmt) {
        match statement {
            Stmt::While(_, at) | Stmt::Do(_, _, at) => {
                self.fault("a rule needs no open loop; `for one in list { .. }` walks a list", *at)
            }
            Stmt::For(parts, at) if parts.1.is_some() => {
                self.fault("a rule's `for` takes one name and no counter", *at)
            }
            // A word of the spec matches no case, so a `switch` on it would fall through without a sign.
            Stmt::Switch(_, at) => self.fault("a rule has no `switch`; ask .is(..) and combine the verdicts", *at),
            // A caught error would be a rule that passes because it could not look.
            Stmt::TryCatch(_, at) => {
                self.fault("a rule may not catch errors; ask .is_written(), .is_stated() or .is_bounded() first", *at)
            }
            Stmt::Assignment(parts) if !matches!(parts.1.lhs, Expr::Variable(..)) => {
                // The engine does not count what grows by `map[key] = value`.
                self.fault("a rule can't store into a list, a map or a thing", parts.1.lhs.start_position());
            }
            Stmt::Assignment(parts) => {
                if let Some((.., with, _, _)) =
                    parts.0.get_op_assignment_info().filter(|(_, _, _, with, ..)| *with != "+=")
                {
                    self.fault(format!("a rule has no `{with}`"), parts.0.position());
                }
            }
            Stmt::If(parts, _) => {
                if let Some((word, at)) = verdict(&parts.expr) {
                    self.fault(format!("`{word}` gives a verdict, which has three answers, not a yes or no; end in .flag(..) instead of asking `if`"), at);
                }
            }
            Stmt::FnCall(call, at) if call.op_token.is_none() => self.call(&call.name, *at),
            _ => {}
        }
    }

    fn expression(&mut self, expression: &Expr) {
        match expression {
            Expr::Dot(_, flags, at) | Expr::Index(_, flags, at) if flags.contains(ASTFlags::NEGATED) => {
                self.fault("a rule has no `?.`: what is not there must be asked for, not passed over", *at);
            }
            Expr::CharConstant(_, at) => {
                self.fault("a rule has no single characters; write text in double quotes", *at)
            }
            Expr::Variable(parts, _, at) if !parts.2.is_empty() => self.fault("a rule has no `::`", *at),
            Expr::FnCall(call, at) if !call.namespace.is_empty() => self.fault("a rule has no `::`", *at),
            Expr::Index(parts, ..) => self.fault(
                "a rule does not index; write `thing.property`, and walk a list with `for one in list { .. }`",
                parts.rhs.start_position(),
            ),
            Expr::Dot(parts, ..) => self.limit(&parts.lhs, &parts.rhs),
            Expr::Property(property, at) => {
                let word = property.2.as_str();
                if !host::is_property(word) && !self.limits.iter().any(|limit| same_word(limit, word)) {
                    let known: Vec<String> = host::all_properties().map(|word| word.replace('-', "_")).collect();
                    let hint = if FUNCTIONS.contains(&word) {
                        format!("; did you mean `{word}(..)`?")
                    } else {
                        did_you_mean(word, known.iter().map(String::as_str).chain(self.limits.iter().copied()))
                    };
                    self.fault(format!("nothing has a `{word}`{hint}"), *at);
                }
            }
            Expr::And(operands, at) | Expr::Or(operands, at) => {
                if let Some((word, _)) = operands.iter().find_map(verdict) {
                    self.fault(format!("`{word}` gives a verdict: use all_of([..]) and any_of([..]), for `&&` and `||` know no third answer"), *at);
                }
            }
            Expr::FnCall(call, at) if call.op_token.is_some() => {
                if let ("!", Some((word, _))) = (call.name.as_str(), call.args.first().and_then(verdict)) {
                    self.fault(format!("`{word}` gives a verdict: use not_so(..), for `!` knows no third answer"), *at);
                }
            }
            Expr::FnCall(call, at) | Expr::MethodCall(call, at) => self.call(&call.name, *at),
            _ => {}
        }
    }

    fn call(&mut self, name: &str, at: Position) {
        self.flags |= name == "flag";
        if FUNCTIONS.contains(&name) || self.own.contains(name) || name == "contains" {
            return;
        }
        let hint = did_you_mean(name, FUNCTIONS.iter().copied().chain(self.own.iter().copied()));
        self.fault(format!("there is no function `{name}`{hint}"), at);
    }

    /// `limit.name` must be on the card.
    fn limit(&mut self, of: &Expr, rest: &Expr) {
        let Expr::Variable(parts, ..) = of else { return };
        let first = if let Expr::Dot(parts, ..) = rest { &parts.lhs } else { rest };
        if let (true, Expr::Property(property, at)) = (Some(parts.1.as_str()) == self.limits_name, first)
            && !self.limits.iter().any(|limit| same_word(limit, &property.2))
        {
            let hint = did_you_mean(&property.2, self.limits.iter().copied());
            self.fault(format!("the card has no limit `{}`{hint}", property.2), *at);
        }
    }
}

/// The call that makes an expression a verdict, when one can be told from the script alone.
fn verdict(expression: &Expr) -> Option<(&str, Position)> {
    match expression {
        Expr::Dot(parts, ..) => verdict(&parts.rhs),
        Expr::MethodCall(call, at) | Expr::FnCall(call, at) if VERDICTS.contains(&call.name.as_str()) => {
            Some((call.name.as_str(), *at))
        }
        _ => None,
    }
}
