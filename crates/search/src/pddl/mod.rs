//! Reads planning problems in PDDL, so that the open instances of the planning competitions go through the very same
//! search as everything else.
//!
//! Understood: strips, typing (with `either`), equality, negative and disjunctive preconditions, `imply`, quantifiers,
//! conditional effects, derived predicates, and action costs as `(increase (total-cost) n)` with a number.

mod ground;
mod lex;
mod reach;
mod read;

use std::fmt;

use crate::Task;

/// Which of the two texts an error is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Text {
    /// The domain.
    Domain,
    /// The problem.
    Problem,
}

/// A fault in a PDDL text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PddlError {
    /// Which text.
    pub text: Text,
    /// Line, counted from 1.
    pub line: usize,
    /// Column, counted from 1, in characters.
    pub column: usize,
    /// What is wrong, in a full sentence.
    pub message: String,
}

impl fmt::Display for PddlError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self.text {
            Text::Domain => "domain",
            Text::Problem => "problem",
        };
        write!(f, "In the {text}, line {}, column {}: {}", self.line, self.column, self.message)
    }
}

impl std::error::Error for PddlError {}

/// Reads a domain and a problem and grounds them into a task. Every ground atom that can change becomes a variable
/// with the values 0 (false) and 1 (true); operators are named as in plan files, `(name object ...)`.
///
/// # Errors
/// At the first thing that is not understood, with its line and column.
///
/// ```
/// let domain = "(define (domain lamp) (:predicates (lit)) (:action light :parameters () :effect (lit)))";
/// let problem = "(define (problem dark) (:domain lamp) (:init) (:goal (lit)))";
/// let task = search::pddl::read(domain, problem)?;
/// assert_eq!(task.operators[0].name, "(light)");
/// # Ok::<(), search::pddl::PddlError>(())
/// ```
pub fn read(domain: &str, problem: &str) -> Result<Task, PddlError> {
    let model = read::model(&lex::parse(domain, Text::Domain)?, &lex::parse(problem, Text::Problem)?)?;
    Ok(ground::task(&model))
}
