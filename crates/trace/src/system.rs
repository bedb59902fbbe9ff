//! What can be otherwise than it should, and what follows from it: unknowns with probabilities, facts in logic over
//! them. Nothing of boats.

use crate::infer::Network;

/// An unknown, by its place in [`System::unknowns`].
pub type UnknownAt = usize;

/// A fact, by its place in [`System::facts`].
pub type FactAt = usize;

/// When a fact holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Logic {
    /// Always or never.
    Const(bool),
    /// An unknown has this value; 0 is as it should be.
    Is(UnknownAt, usize),
    /// An earlier fact holds.
    Fact(FactAt),
    /// It is not so.
    Not(Box<Logic>),
    /// All of them.
    And(Vec<Logic>),
    /// At least one of them.
    Or(Vec<Logic>),
}

/// Unknowns that are independent of each other, and facts that follow from them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct System {
    /// For each unknown the probability of each of its values, the first as it should be; they sum to one.
    pub unknowns: Vec<Vec<f64>>,
    /// Facts, each looking only at unknowns and earlier facts.
    pub facts: Vec<Logic>,
}

impl System {
    /// The unknowns that a fact looks at, also through other facts, in ascending order.
    pub fn roots(&self, fact: FactAt) -> Vec<UnknownAt> {
        let mut seen = vec![false; self.facts.len()];
        let mut found = vec![false; self.unknowns.len()];
        self.mark(&self.facts[fact], &mut seen, &mut found);
        (0..found.len()).filter(|at| found[*at]).collect()
    }

    fn mark(&self, logic: &Logic, seen: &mut [bool], found: &mut [bool]) {
        match logic {
            Logic::Const(_) => {}
            Logic::Is(unknown, _) => found[*unknown] = true,
            Logic::Fact(fact) => {
                if !seen[*fact] {
                    seen[*fact] = true;
                    self.mark(&self.facts[*fact], seen, found);
                }
            }
            Logic::Not(inner) => self.mark(inner, seen, found),
            Logic::And(parts) | Logic::Or(parts) => {
                for part in parts {
                    self.mark(part, seen, found);
                }
            }
        }
    }

    /// The facts when each unknown has the value given, in order.
    pub fn facts_when(&self, values: &[usize]) -> Vec<bool> {
        let mut known: Vec<bool> = Vec::with_capacity(self.facts.len());
        for fact in &self.facts {
            let now = holds(fact, values, &known);
            known.push(now);
        }
        known
    }

    /// The same as a network of tables, for inference without a bound on how many faults there are. Gives the network,
    /// whose first unknowns are this system's, and the network's unknown for each fact (0 does not hold, 1 holds).
    ///
    /// Long `and`s and `or`s become chains of small tables, so that no table has more than three unknowns.
    pub fn network(&self) -> (Network, Vec<usize>) {
        let mut network = Network::default();
        for values in &self.unknowns {
            let unknown = network.unknown(values.len());
            network.table(&[unknown], values.clone());
        }
        let mut facts = Vec::with_capacity(self.facts.len());
        for fact in &self.facts {
            let node = self.node(fact, &facts, &mut network);
            facts.push(node);
        }
        (network, facts)
    }

    fn node(&self, logic: &Logic, facts: &[usize], network: &mut Network) -> usize {
        match logic {
            Logic::Const(yes) => {
                let node = network.unknown(2);
                network.table(&[node], if *yes { vec![0.0, 1.0] } else { vec![1.0, 0.0] });
                node
            }
            Logic::Is(unknown, value) => {
                let node = network.unknown(2);
                let numbers = (0..self.unknowns[*unknown].len())
                    .flat_map(|at| if at == *value { [0.0, 1.0] } else { [1.0, 0.0] })
                    .collect();
                network.table(&[*unknown, node], numbers);
                node
            }
            Logic::Fact(fact) => facts[*fact],
            Logic::Not(inner) => {
                let inner = self.node(inner, facts, network);
                let node = network.unknown(2);
                network.table(&[inner, node], vec![0.0, 1.0, 1.0, 0.0]);
                node
            }
            Logic::And(parts) => self.chain(parts, true, facts, network),
            Logic::Or(parts) => self.chain(parts, false, facts, network),
        }
    }

    fn chain(&self, parts: &[Logic], and: bool, facts: &[usize], network: &mut Network) -> usize {
        let nodes: Vec<usize> = parts.iter().map(|part| self.node(part, facts, network)).collect();
        let Some((first, rest)) = nodes.split_first() else {
            return self.node(&Logic::Const(and), facts, network);
        };
        let mut so_far = *first;
        for next in rest {
            if *next == so_far {
                continue;
            }
            let node = network.unknown(2);
            // By first, second, both: the last runs fastest.
            let numbers = if and {
                vec![1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 0.0, 1.0]
            } else {
                vec![1.0, 0.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0]
            };
            network.table(&[so_far, *next, node], numbers);
            so_far = node;
        }
        so_far
    }
}

fn holds(logic: &Logic, values: &[usize], known: &[bool]) -> bool {
    match logic {
        Logic::Const(yes) => *yes,
        Logic::Is(unknown, value) => values[*unknown] == *value,
        Logic::Fact(fact) => known[*fact],
        Logic::Not(inner) => !holds(inner, values, known),
        Logic::And(parts) => parts.iter().all(|part| holds(part, values, known)),
        Logic::Or(parts) => parts.iter().any(|part| holds(part, values, known)),
    }
}
