//! A task compiled once, so that many questions about it are answered fast.

use crate::condition::Condition;
use crate::formula::Tree;
use crate::heuristic::Relaxation;
use crate::relevance::{self, Relevant};
use crate::rules::{self, Group};
use crate::scope::Scope;
use crate::state::{Facts, Layout, State};
use crate::stubborn::Interference;
use crate::{Effect, Formula, OpId, Task, TaskError, VarId};

/// A compiled [`Task`]. It never changes; searches keep what they need for themselves.
#[derive(Debug, Clone)]
pub struct Planner {
    pub(crate) task: Task,
    pub(crate) layout: Layout,
    pub(crate) sizes: Vec<u8>,
    pub(crate) operators: Vec<Compiled>,
    pub(crate) events: Vec<Compiled>,
    pub(crate) bodies: Vec<Tree>,
    pub(crate) body_tests: Vec<Condition>,
    pub(crate) rules: Vec<Group>,
    pub(crate) forbidden: Tree,
    pub(crate) full: Scope,
}

/// A compiled operator or event.
#[derive(Debug, Clone)]
pub(crate) struct Compiled {
    pub(crate) cost: u32,
    pub(crate) condition: Tree,
    pub(crate) test: Condition,
    pub(crate) effects: Vec<CompiledEffect>,
}

/// An effect with its condition and the bits it writes.
#[derive(Debug, Clone)]
pub(crate) struct CompiledEffect {
    pub(crate) condition: Tree,
    pub(crate) test: Condition,
    pub(crate) variable: VarId,
    pub(crate) value: u8,
    pub(crate) word: usize,
    pub(crate) mask: u64,
    pub(crate) bits: u64,
}

/// The highest cost of one operator: sums over a plan stay far from the end of 32 bits.
const MOST_COST: u32 = 1_000_000;

/// A goal prepared for one planner: what matters for it and the relaxation that estimates the way to it.
#[derive(Debug, Clone)]
pub struct Goal {
    pub(crate) tree: Tree,
    pub(crate) test: Condition,
    pub(crate) relevant: Relevant,
    pub(crate) relaxation: Relaxation,
    pub(crate) interference: Interference,
}

impl Goal {
    /// How many operators can matter for this goal.
    pub fn relevant_operators(&self) -> usize {
        self.relevant.scope.operators.len()
    }
}

impl Planner {
    /// Checks and compiles a task.
    ///
    /// # Errors
    /// If a condition names what the task does not have, a variable has no values, or the derived facts are not
    /// stratified.
    pub fn new(task: &Task) -> Result<Planner, TaskError> {
        for (index, variable) in task.variables.iter().enumerate() {
            let id = VarId::new(index);
            if variable.size == 0 {
                return Err(TaskError::EmptyVariable(id));
            }
            check_value(id, variable.initial, variable.size)?;
        }
        if let Some(index) = task.operators.iter().position(|operator| operator.cost > MOST_COST) {
            return Err(TaskError::CostTooHigh(OpId::new(index)));
        }
        let sizes: Vec<u8> = task.variables.iter().map(|variable| variable.size).collect();
        let layout = Layout::new(&sizes, task.derived.len());
        let tree = |formula: &Formula| Tree::new(formula, false, &sizes, task.derived.len());
        let bodies =
            task.derived.iter().map(|fact| tree(&fact.body)).collect::<Result<Vec<_>, TaskError>>()?;
        let rules = rules::groups(&bodies)?;
        let compile = |cost, condition: &Formula, effects: &[Effect]| -> Result<Compiled, TaskError> {
            let condition = tree(condition)?;
            let mut compiled = Vec::with_capacity(effects.len());
            for effect in effects {
                let size =
                    *sizes.get(effect.variable.index()).ok_or(TaskError::UnknownVariable(effect.variable))?;
                check_value(effect.variable, effect.value, size)?;
                compiled.push(compile_effect(effect, tree(&effect.condition)?, &layout));
            }
            Ok(Compiled { cost, test: Condition::compile(&condition, &layout), condition, effects: compiled })
        };
        let operators = task
            .operators
            .iter()
            .map(|operator| compile(operator.cost, &operator.precondition, &operator.effects))
            .collect::<Result<Vec<_>, _>>()?;
        let events = task
            .events
            .iter()
            .map(|event| compile(0, &event.condition, &event.effects))
            .collect::<Result<Vec<_>, _>>()?;
        let forbidden = tree(&task.forbidden)?;
        tree(&task.goal)?;
        let full = Scope {
            operators: (0..operators.len()).map(OpId::new).collect(),
            events: (0..events.len()).collect(),
            rules: rules.clone(),
            forbidden: Condition::compile(&forbidden, &layout),
            keep: vec![u64::MAX; layout.state_words()],
            facts_after: !events.is_empty() || forbidden != Tree::False,
        };
        let body_tests = bodies.iter().map(|body| Condition::compile(body, &layout)).collect();
        Ok(Planner {
            task: task.clone(),
            layout,
            sizes,
            operators,
            events,
            bodies,
            body_tests,
            rules,
            forbidden,
            full,
        })
    }

    /// The task this planner was made from.
    pub fn task(&self) -> &Task {
        &self.task
    }

    /// The initial state of the task, as given; events that are due in it have not fired.
    pub fn initial(&self) -> State {
        let mut words = vec![0; self.layout.state_words()];
        for (index, variable) in self.task.variables.iter().enumerate() {
            self.layout.set(&mut words, index, variable.initial);
        }
        State(words.into())
    }

    /// The state with these values, one for each variable.
    ///
    /// # Errors
    /// If the number of values is not the number of variables, or a value is out of range.
    pub fn state(&self, values: &[u8]) -> Result<State, TaskError> {
        if values.len() != self.sizes.len() {
            return Err(TaskError::WrongLength { given: values.len(), wanted: self.sizes.len() });
        }
        let mut words = vec![0; self.layout.state_words()];
        for (index, &value) in values.iter().enumerate() {
            check_value(VarId::new(index), value, self.sizes[index])?;
            self.layout.set(&mut words, index, value);
        }
        Ok(State(words.into()))
    }

    /// The value of a variable in a state.
    ///
    /// # Panics
    /// If the task has no such variable.
    pub fn value(&self, state: &State, variable: VarId) -> u8 {
        self.layout.get(&state.0, variable.index())
    }

    /// The values of all variables in a state.
    pub fn values(&self, state: &State) -> Vec<u8> {
        (0..self.sizes.len()).map(|index| self.layout.get(&state.0, index)).collect()
    }

    /// The same state with one variable set by hand; no event fires.
    ///
    /// # Errors
    /// If the task has no such variable or value.
    pub fn with(&self, state: &State, variable: VarId, value: u8) -> Result<State, TaskError> {
        let size = *self.sizes.get(variable.index()).ok_or(TaskError::UnknownVariable(variable))?;
        check_value(variable, value, size)?;
        let mut words = state.0.clone();
        self.layout.set(&mut words, variable.index(), value);
        Ok(State(words))
    }

    /// Compiles a condition, to be judged on many states.
    ///
    /// # Errors
    /// If it names what the task does not have.
    pub fn condition(&self, formula: &Formula) -> Result<Condition, TaskError> {
        let tree = Tree::new(formula, false, &self.sizes, self.task.derived.len())?;
        Ok(Condition::compile(&tree, &self.layout))
    }

    /// Whether a condition holds in a state.
    pub fn holds(&self, condition: &Condition, state: &State) -> bool {
        condition.holds(&self.worked_out(&self.full, &state.0))
    }

    /// Whether a condition holds in a state whose facts are already worked out.
    pub fn holds_with(&self, condition: &Condition, state: &State, facts: &Facts) -> bool {
        let mut words = Vec::with_capacity(self.layout.all_words());
        words.extend_from_slice(&state.0);
        words.extend_from_slice(&facts.0);
        condition.holds(&words)
    }

    /// The derived facts of a state.
    pub fn evaluate(&self, state: &State) -> Facts {
        let words = self.worked_out(&self.full, &state.0);
        Facts(words[self.layout.state_words()..].into())
    }

    /// Prepares a goal; worth keeping when several ways to it are asked for.
    ///
    /// # Errors
    /// If it names what the task does not have.
    pub fn goal(&self, formula: &Formula) -> Result<Goal, TaskError> {
        let tree = Tree::new(formula, false, &self.sizes, self.task.derived.len())?;
        let relevant = relevance::relevant(self, &tree);
        let relaxation = Relaxation::new(self, &relevant.scope, &tree);
        let interference = Interference::new(self, &relevant.scope, &relevant.forbidden);
        let test = Condition::compile(&tree, &self.layout);
        Ok(Goal { tree, test, relevant, relaxation, interference })
    }

    /// Whether the part that matters for the goal may stand for the whole task from this state; see [`relevance`].
    pub(crate) fn may_narrow(&self, start: &State, goal: &Goal) -> bool {
        let mut words = self.worked_out(&self.full, &start.0);
        if goal.relevant.left_out.holds(&words) {
            return false;
        }
        let mut fired = Vec::new();
        self.happen(&self.full, &mut words, Some(&mut fired)).is_ok() && fired.is_empty()
    }

    /// The words of a state followed by those of its facts.
    pub(crate) fn worked_out(&self, scope: &Scope, state: &[u64]) -> Vec<u64> {
        let mut words = vec![0; self.layout.all_words()];
        words[..state.len()].copy_from_slice(state);
        self.work_out(scope, &mut words);
        words
    }

    /// Works out the facts of the state in front of them.
    pub(crate) fn work_out(&self, scope: &Scope, words: &mut [u64]) {
        words[self.layout.state_words()..].fill(0);
        for group in &scope.rules {
            loop {
                let mut changed = false;
                for &fact in &group.facts {
                    let word = self.layout.state_words() + fact / 64;
                    let bit = 1 << (fact % 64);
                    if words[word] & bit == 0 && self.body_tests[fact].holds(words) {
                        words[word] |= bit;
                        changed = true;
                    }
                }
                if !changed || !group.recursive {
                    break;
                }
            }
        }
    }
}

fn check_value(variable: VarId, value: u8, size: u8) -> Result<(), TaskError> {
    if value < size { Ok(()) } else { Err(TaskError::ValueOutOfRange { variable, value, size }) }
}

fn compile_effect(effect: &Effect, condition: Tree, layout: &Layout) -> CompiledEffect {
    let (word, mask, bits) = layout.test(effect.variable, effect.value);
    CompiledEffect {
        test: Condition::compile(&condition, layout),
        condition,
        variable: effect.variable,
        value: effect.value,
        word: word as usize,
        mask,
        bits,
    }
}
