//! The whole search for one symptom as a finite guide: a tree of questions that fits on paper.

use crate::ask::{Ask, Reply, Told};
use crate::case::{Case, KNOWN_SAVES};
use crate::next::{Next, Why};
use crate::words::{self, Question};

/// A tree of questions.
#[derive(Debug, Clone, PartialEq)]
pub struct Guide {
    /// The boxes of the guide; the first is where it begins.
    pub nodes: Vec<GuideNode>,
    /// Expected minutes by this guide, until it works or the base has been called.
    pub expected: f64,
    /// Expected minutes by asking without a bound on the number of questions.
    pub interactive: f64,
}

/// A box of the guide.
#[derive(Debug, Clone, PartialEq)]
pub enum GuideNode {
    /// A question, and the box to go on with for each answer.
    Ask {
        /// What is asked.
        ask: Ask,
        /// In words.
        question: Question,
        /// After a yes.
        yes: usize,
        /// After a no.
        no: usize,
        /// If it can't be checked: as after the likelier answer that finds nothing.
        cannot: usize,
        /// The probability of coming here.
        chance: f64,
    },
    /// The end of a branch.
    End {
        /// What to do now, full sentences.
        words: String,
        /// The same for programs.
        next: Next,
        /// What is suspected by then, likeliest first.
        suspects: Vec<(String, f64)>,
        /// The probability of coming here.
        chance: f64,
    },
}

/// A branch that fewer than one case in so many comes to is not followed further, on paper.
const RARE_ON_PAPER: f64 = 1.0 / 300.0;

/// The same for the reckoning of what asking without a bound costs.
const RARE: f64 = 1.0 / 5_000.0;

/// No search asks more: each question is asked once, and this is more than bear on any symptom.
const NO_BOUND: usize = 200;

impl Guide {
    /// Compiles a case as it stands into a guide of at most `depth` questions in a row.
    pub fn new(case: &Case<'_>, depth: usize) -> Self {
        let mut nodes = Vec::new();
        let (_, expected) = compile(case, depth, 1.0, &mut nodes);
        let interactive = reckon(case, NO_BOUND, 1.0);
        Self { nodes, expected, interactive }
    }

    /// How many questions stand in a row at most.
    pub fn depth(&self) -> usize {
        // Children are numbered after their parents, so that one pass from the end is enough.
        let mut below = vec![0_usize; self.nodes.len()];
        for (at, node) in self.nodes.iter().enumerate().rev() {
            if let GuideNode::Ask { yes, no, .. } = node {
                below[at] = 1 + below[*yes].max(below[*no]);
            }
        }
        below.first().copied().unwrap_or(0)
    }
}

fn compile(case: &Case<'_>, depth: usize, chance: f64, nodes: &mut Vec<GuideNode>) -> (usize, f64) {
    let next = case.next();
    let at = nodes.len();
    let step = match next {
        Next::Ask(step) if depth > 0 && (chance >= RARE_ON_PAPER || must_follow(step.ask)) => step,
        _ => {
            let (next, cost) = end(case, next);
            nodes.push(GuideNode::End {
                words: end_words(case, &next),
                next,
                suspects: suspects(case),
                chance,
            });
            return (at, cost);
        }
    };
    let question = words::question(case, step.ask);
    nodes.push(GuideNode::Ask {
        ask: step.ask,
        question: question.clone(),
        yes: 0,
        no: 0,
        cannot: 0,
        chance,
    });
    let yes_chance = case.chance_of_yes(step.ask);
    let (yes, yes_cost) = compile(&after(case, step.ask, Reply::Yes), depth - 1, chance * yes_chance, nodes);
    let (no, no_cost) =
        compile(&after(case, step.ask, Reply::No), depth - 1, chance * (1.0 - yes_chance), nodes);
    let cannot = match step.ask {
        Ask::Position(_) => yes,
        Ask::Fact(_) if yes_chance >= 0.5 => yes,
        Ask::Fact(_) | Ask::Fault(_) | Ask::Mend(_) | Ask::Restore(_) | Ask::Works => no,
    };
    nodes[at] = GuideNode::Ask { ask: step.ask, question, yes, no, cannot, chance };
    (at, step.minutes + yes_chance * yes_cost + (1.0 - yes_chance) * no_cost)
}

/// Something found is mended and tried, however rare.
fn must_follow(ask: Ask) -> bool {
    matches!(ask, Ask::Mend(_) | Ask::Restore(_) | Ask::Works)
}

fn after<'b>(case: &Case<'b>, ask: Ask, reply: Reply) -> Case<'b> {
    let mut case = case.clone();
    case.tell(Told { ask, reply });
    case
}

/// How a branch ends, and what that costs.
fn end(case: &Case<'_>, next: Next) -> (Next, f64) {
    match next {
        Next::Solved => (next, 0.0),
        Next::Call(Why::Found(_)) | Next::Emergency(_) => (next, case.terms.call * (1.0 - KNOWN_SAVES)),
        Next::Call(_) => (next, case.call_now()),
        Next::Ask(_) => (Next::Call(Why::GuideEnds), case.call_now()),
    }
}

fn end_words(case: &Case<'_>, next: &Next) -> String {
    match next {
        Next::Solved => "It works again. Tell the base what it was when you hand her back.".to_owned(),
        Next::Emergency(list) => format!("Stop. Follow the list “{}” now.", case.boat.procedures[*list].name),
        Next::Call(why) => format!("{} Call the base.", words::why(case, *why)),
        Next::Ask(_) => String::new(),
    }
}

fn suspects(case: &Case<'_>) -> Vec<(String, f64)> {
    case.suspects()
        .into_iter()
        .filter(|suspect| suspect.chance >= 0.05)
        .take(3)
        .map(|suspect| (words::cause(case, suspect.cause), suspect.chance))
        .collect()
}

/// Expected minutes of following what the case says next.
fn reckon(case: &Case<'_>, depth: usize, chance: f64) -> f64 {
    let next = case.next();
    let Next::Ask(step) = next else { return end(case, next).1 };
    if depth == 0 || chance < RARE && !must_follow(step.ask) {
        return step.expected.min(case.call_now());
    }
    let yes = case.chance_of_yes(step.ask);
    step.minutes
        + yes * reckon(&after(case, step.ask, Reply::Yes), depth - 1, chance * yes)
        + (1.0 - yes) * reckon(&after(case, step.ask, Reply::No), depth - 1, chance * (1.0 - yes))
}
