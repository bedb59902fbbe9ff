//! Conditions compiled to mask tests on packed words, for evaluation in nanoseconds.

use crate::formula::{Literal, Tree};
use crate::state::Layout;

/// A condition compiled for one planner.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    nodes: Vec<Node>,
}

/// Nodes in prefix order; a group's members run from the next node up to `end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Node {
    True,
    False,
    Mask { word: u32, mask: u64, want: u64 },
    NotMask { word: u32, mask: u64, want: u64 },
    All { end: u32 },
    Any { end: u32 },
}

impl Condition {
    pub(crate) fn compile(tree: &Tree, layout: &Layout) -> Condition {
        let mut nodes = Vec::new();
        emit(tree, layout, &mut nodes);
        Condition { nodes }
    }

    /// Whether the condition is the constant "always".
    pub(crate) fn always(&self) -> bool {
        matches!(self.nodes[0], Node::True)
    }

    /// Judges the condition on the words of a state followed by the words of its derived facts.
    pub(crate) fn holds(&self, words: &[u64]) -> bool {
        holds(&self.nodes, 0, words)
    }
}

fn holds(nodes: &[Node], at: usize, words: &[u64]) -> bool {
    match nodes[at] {
        Node::True => true,
        Node::False => false,
        Node::Mask { word, mask, want } => words[word as usize] & mask == want,
        Node::NotMask { word, mask, want } => words[word as usize] & mask != want,
        Node::All { end } => group_holds(nodes, at, end, true, words),
        Node::Any { end } => group_holds(nodes, at, end, false, words),
    }
}

/// Goes through the members until one decides.
fn group_holds(nodes: &[Node], at: usize, end: u32, all: bool, words: &[u64]) -> bool {
    let mut member = at + 1;
    while member < end as usize {
        if holds(nodes, member, words) != all {
            return !all;
        }
        member = match nodes[member] {
            Node::All { end } | Node::Any { end } => end as usize,
            _ => member + 1,
        };
    }
    all
}

fn emit(tree: &Tree, layout: &Layout, nodes: &mut Vec<Node>) {
    match tree {
        Tree::True => nodes.push(Node::True),
        Tree::False => nodes.push(Node::False),
        Tree::Leaf(literal) => nodes.push(leaf(*literal, layout)),
        Tree::All(parts) => group(parts, layout, nodes, true),
        Tree::Any(parts) => group(parts, layout, nodes, false),
    }
}

/// Leaves come first, as they are cheap; in a conjunction those in one word become one test.
fn group(parts: &[Tree], layout: &Layout, nodes: &mut Vec<Node>, all: bool) {
    let head = nodes.len();
    nodes.push(Node::True);
    let mut merged: Vec<Node> = Vec::new();
    for part in parts {
        if let Tree::Leaf(literal) = part {
            let node = leaf(*literal, layout);
            if !all || !merge(&mut merged, node) {
                merged.push(node);
            }
        }
    }
    nodes.extend(merged);
    for part in parts {
        if !matches!(part, Tree::Leaf(_)) {
            emit(part, layout, nodes);
        }
    }
    let end = u32::try_from(nodes.len()).expect("a condition has fewer than four billion nodes");
    nodes[head] = if all { Node::All { end } } else { Node::Any { end } };
}

/// Joins a mask test to one of the same word; tests that contradict each other stay apart.
fn merge(merged: &mut [Node], node: Node) -> bool {
    let Node::Mask { word, mask, want } = node else { return false };
    for other in merged {
        if let Node::Mask { word: w, mask: m, want: v } = other {
            let both = *m & mask;
            if *w == word && *v & both == want & both {
                *m |= mask;
                *v |= want;
                return true;
            }
        }
    }
    false
}

fn leaf(literal: Literal, layout: &Layout) -> Node {
    match literal {
        Literal::Is(variable, value) => {
            let (word, mask, want) = layout.test(variable, value);
            Node::Mask { word, mask, want }
        }
        Literal::IsNot(variable, value) => {
            let (word, mask, want) = layout.test(variable, value);
            Node::NotMask { word, mask, want }
        }
        Literal::Fact(fact) => {
            let (word, mask) = layout.fact(fact);
            Node::Mask { word, mask, want: mask }
        }
        Literal::NoFact(fact) => {
            let (word, mask) = layout.fact(fact);
            Node::Mask { word, mask, want: 0 }
        }
    }
}
