//! Conditions as people build them, and the simplified negation normal form everything else starts from.

use crate::{DerivedId, TaskError, VarId};

/// A condition on a state and the facts derived from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Formula {
    /// Always holds.
    True,
    /// Never holds.
    False,
    /// The variable has this value.
    Is(VarId, u8),
    /// The derived fact holds.
    Fact(DerivedId),
    /// The inner condition does not hold.
    Not(Box<Formula>),
    /// All of them hold (holds when empty).
    All(Vec<Formula>),
    /// At least one of them holds (fails when empty).
    Any(Vec<Formula>),
}

impl Formula {
    /// The variable has another value than this one.
    pub fn is_not(variable: VarId, value: u8) -> Self {
        Self::Not(Box::new(Self::Is(variable, value)))
    }

    /// The derived fact does not hold.
    pub fn no_fact(fact: DerivedId) -> Self {
        Self::Not(Box::new(Self::Fact(fact)))
    }

    /// All of the given conditions hold.
    pub fn all(parts: impl IntoIterator<Item = Formula>) -> Self {
        Self::All(parts.into_iter().collect())
    }

    /// At least one of the given conditions holds.
    pub fn any(parts: impl IntoIterator<Item = Formula>) -> Self {
        Self::Any(parts.into_iter().collect())
    }

    /// The opposite condition.
    #[must_use]
    pub fn negated(self) -> Self {
        match self {
            Self::Not(inner) => *inner,
            Self::True => Self::False,
            Self::False => Self::True,
            other => Self::Not(Box::new(other)),
        }
    }
}

/// What a formula may say at its leaves, after negations have been pushed down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Literal {
    Is(VarId, u8),
    IsNot(VarId, u8),
    Fact(DerivedId),
    NoFact(DerivedId),
}

/// A formula in negation normal form, flattened, with constants folded away (a constant stands only at the root).
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Tree {
    True,
    False,
    Leaf(Literal),
    All(Vec<Tree>),
    Any(Vec<Tree>),
}

impl Tree {
    /// Normal form of a formula, or of its negation; refuses variables, values and facts which the task does not have.
    pub(crate) fn new(
        formula: &Formula,
        negate: bool,
        sizes: &[u8],
        facts: usize,
    ) -> Result<Tree, TaskError> {
        Ok(match formula {
            Formula::True => Self::constant(!negate),
            Formula::False => Self::constant(negate),
            Formula::Is(variable, value) => Self::is(*variable, *value, negate, sizes)?,
            Formula::Fact(fact) => {
                if fact.index() >= facts {
                    return Err(TaskError::UnknownFact(*fact));
                }
                Self::Leaf(if negate { Literal::NoFact(*fact) } else { Literal::Fact(*fact) })
            }
            Formula::Not(inner) => Self::new(inner, !negate, sizes, facts)?,
            Formula::All(parts) | Formula::Any(parts) => {
                let mut trees = Vec::with_capacity(parts.len());
                for part in parts {
                    trees.push(Self::new(part, negate, sizes, facts)?);
                }
                if matches!(formula, Formula::All(_)) == negate { Self::any(trees) } else { Self::all(trees) }
            }
        })
    }

    /// Normal form of the negation.
    pub(crate) fn negated(&self, sizes: &[u8]) -> Tree {
        match self {
            Tree::True => Tree::False,
            Tree::False => Tree::True,
            Tree::Leaf(literal) => Tree::Leaf(match *literal {
                Literal::Is(variable, value) if sizes[variable.index()] == 2 => {
                    Literal::Is(variable, 1 - value)
                }
                Literal::Is(variable, value) => Literal::IsNot(variable, value),
                Literal::IsNot(variable, value) => Literal::Is(variable, value),
                Literal::Fact(fact) => Literal::NoFact(fact),
                Literal::NoFact(fact) => Literal::Fact(fact),
            }),
            Tree::All(parts) => Tree::any(parts.iter().map(|part| part.negated(sizes)).collect()),
            Tree::Any(parts) => Tree::all(parts.iter().map(|part| part.negated(sizes)).collect()),
        }
    }

    fn constant(value: bool) -> Tree {
        if value { Self::True } else { Self::False }
    }

    fn is(variable: VarId, value: u8, negate: bool, sizes: &[u8]) -> Result<Tree, TaskError> {
        let size = *sizes.get(variable.index()).ok_or(TaskError::UnknownVariable(variable))?;
        if value >= size {
            return Err(TaskError::ValueOutOfRange { variable, value, size });
        }
        Ok(match (negate, size) {
            (false, 1) => Self::True,
            (true, 1) => Self::False,
            (false, _) => Self::Leaf(Literal::Is(variable, value)),
            (true, 2) => Self::Leaf(Literal::Is(variable, 1 - value)),
            (true, _) => Self::Leaf(Literal::IsNot(variable, value)),
        })
    }

    /// Conjunction with constants folded and nested conjunctions flattened.
    pub(crate) fn all(parts: Vec<Tree>) -> Tree {
        let mut flat = Vec::with_capacity(parts.len());
        for part in parts {
            match part {
                Tree::True => {}
                Tree::False => return Tree::False,
                Tree::All(inner) => flat.extend(inner),
                other => flat.push(other),
            }
        }
        match flat.len() {
            0 => Tree::True,
            1 => flat.remove(0),
            _ => Tree::All(flat),
        }
    }

    /// Disjunction with constants folded and nested disjunctions flattened.
    pub(crate) fn any(parts: Vec<Tree>) -> Tree {
        let mut flat = Vec::with_capacity(parts.len());
        for part in parts {
            match part {
                Tree::False => {}
                Tree::True => return Tree::True,
                Tree::Any(inner) => flat.extend(inner),
                other => flat.push(other),
            }
        }
        match flat.len() {
            0 => Tree::False,
            1 => flat.remove(0),
            _ => Tree::Any(flat),
        }
    }

    /// The top-level alternatives.
    pub(crate) fn alternatives(&self) -> Vec<&Tree> {
        match self {
            Tree::False => Vec::new(),
            Tree::Any(parts) => parts.iter().collect(),
            other => vec![other],
        }
    }

    /// Calls `visit` with every literal, left to right.
    pub(crate) fn literals(&self, visit: &mut impl FnMut(Literal)) {
        match self {
            Tree::True | Tree::False => {}
            Tree::Leaf(literal) => visit(*literal),
            Tree::All(parts) | Tree::Any(parts) => {
                for part in parts {
                    part.literals(visit);
                }
            }
        }
    }
}
