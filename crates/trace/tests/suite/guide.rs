//! Guides on paper: finite, within their bound, and as dear as they say.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use boat::model::{Boat, Who};
use trace::{Case, Cause, Guide, GuideNode, KNOWN_SAVES, Next, Rates, Reply, Terms, Told, Why, symptoms};

use crate::demo::{BOATS, boat};

/// Symptoms with more suspects than this take too long for a test.
const FEW: usize = 40;

/// Questions in a row, as on paper.
const DEPTH: usize = 8;

static BOARDS: LazyLock<Vec<(&str, Boat)>> =
    LazyLock::new(|| BOATS.iter().map(|name| (*name, boat(name))).collect());

/// Made once for all tests: the guide of every case of the demo boats with few suspects.
static GUIDES: LazyLock<Vec<(String, Case<'static>, Guide)>> = LazyLock::new(|| {
    let cases = BOARDS.iter().flat_map(|(name, boat)| {
        cases(boat).into_iter().map(move |(case, id)| (format!("{name} {id}"), case))
    });
    cases
        .map(|(name, case)| {
            let guide = Guide::new(&case, DEPTH);
            (name, case, guide)
        })
        .collect()
});

fn cases(boat: &Boat) -> Vec<(Case<'_>, String)> {
    let rates = Rates::of(boat);
    let open = |symptom| Case::open(boat, &rates, symptom, Terms::new(Who::Crew));
    let all = symptoms(boat);
    let cases = all.iter().filter_map(|symptom| Some((open(symptom)?, symptom.id.clone())));
    cases.filter(|(case, _)| case.suspects().len() <= FEW).collect()
}

/// Where the answers to a box lead; none from an end.
fn ways(node: &GuideNode) -> Vec<usize> {
    match node {
        GuideNode::Ask { yes, no, cannot, .. } => vec![*yes, *no, *cannot],
        GuideNode::End { .. } => Vec::new(),
    }
}

fn chance_of(node: &GuideNode) -> f64 {
    match node {
        GuideNode::Ask { chance, .. } | GuideNode::End { chance, .. } => *chance,
    }
}

#[test]
fn every_answer_leads_on_to_a_later_box_and_every_box_is_come_to() {
    for (name, _, guide) in &*GUIDES {
        let count = guide.nodes.len();
        let mut reached = BTreeSet::from([0]);
        for (at, node) in guide.nodes.iter().enumerate() {
            for to in ways(node) {
                assert!(at < to && to < count, "{name}: box {at} leads to {to} of {count}");
                reached.insert(to);
            }
            if let GuideNode::Ask { yes, no, cannot, .. } = node {
                assert!(yes != no && (cannot == yes || cannot == no), "{name}: box {at}");
            }
        }
        assert_eq!(reached.len(), count, "{name}: boxes that no answer leads to");
    }
}

/// The longest way down, by walking down.
fn deepest(guide: &Guide, at: usize) -> usize {
    ways(&guide.nodes[at]).into_iter().map(|to| 1 + deepest(guide, to)).max().unwrap_or(0)
}

#[test]
fn no_guide_asks_more_in_a_row_than_it_may() {
    for (name, _, guide) in &*GUIDES {
        assert!(deepest(guide, 0) <= DEPTH, "{name}: deeper than {DEPTH}");
        assert_eq!(deepest(guide, 0), guide.depth(), "{name}");
    }
    let full = GUIDES.iter().filter(|(_, _, guide)| guide.depth() == DEPTH).count();
    assert!(full > 20, "{full} guides need all they may ask");
    for (name, case, guide) in GUIDES.iter().step_by(10) {
        for depth in [0, 1, 3] {
            let short = Guide::new(case, depth);
            assert_eq!(deepest(&short, 0), depth.min(guide.depth()), "{name}");
        }
    }
}

#[test]
fn chances_of_the_ends_sum_to_one_and_each_box_shares_its_own_out() {
    for (name, _, guide) in &*GUIDES {
        let ends = guide.nodes.iter().filter(|node| matches!(node, GuideNode::End { .. }));
        let sum: f64 = ends.map(chance_of).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{name}: {sum}");
        for node in &guide.nodes {
            if let GuideNode::Ask { yes, no, chance, .. } = node {
                let shared = chance_of(&guide.nodes[*yes]) + chance_of(&guide.nodes[*no]);
                assert!((shared - chance).abs() < 1e-9, "{name}: {shared} of {chance}");
            }
        }
    }
}

/// What the end of a branch costs: nothing if it works, a call that knows what it is, or one that guesses.
fn end_cost(case: &Case<'_>, next: &Next) -> f64 {
    let call = Terms::new(Who::Crew).call;
    let known = |suspect: &trace::Suspect| suspect.cause != Cause::Unknown;
    let surest = case.suspects().into_iter().find(known).map_or(0.0, |suspect| suspect.chance);
    match next {
        Next::Solved => 0.0,
        Next::Emergency(_) | Next::Call(Why::Found(_)) => call * (1.0 - KNOWN_SAVES),
        Next::Call(_) => call * (1.0 - KNOWN_SAVES * surest),
        Next::Ask(_) => panic!("an end that asks"),
    }
}

/// Sees each box with the case as it stands there, told of the answers on the way.
fn walk<'b>(guide: &Guide, at: usize, case: &Case<'b>, see: &mut dyn FnMut(&GuideNode, &Case<'b>)) {
    see(&guide.nodes[at], case);
    if let GuideNode::Ask { ask, yes, no, .. } = guide.nodes[at] {
        for (to, reply) in [(yes, Reply::Yes), (no, Reply::No)] {
            let mut after = case.clone();
            after.tell(Told { ask, reply });
            walk(guide, to, &after, see);
        }
    }
}

#[test]
fn what_a_guide_is_expected_to_cost_is_the_sum_over_its_boxes() {
    for (name, case, guide) in &*GUIDES {
        let mut sum = 0.0;
        walk(guide, 0, case, &mut |node, case| match node {
            GuideNode::Ask { ask, chance, .. } => {
                let Next::Ask(step) = case.next() else {
                    panic!("{name}: a box asks what the case does not")
                };
                assert_eq!(step.ask, *ask, "{name}");
                sum += chance * step.minutes;
            }
            GuideNode::End { next, chance, .. } => sum += chance * end_cost(case, next),
        });
        assert!((sum - guide.expected).abs() < 1e-9, "{name}: {sum} and {}", guide.expected);
    }
}

/// The next step is chosen by an estimate of all that follows, so that a branch that is cut off may now and then have been
/// the cheaper one: no single guide need be cheaper than a shorter one. Over all symptoms the questions must pay.
#[test]
fn more_questions_cost_less_over_all_symptoms() {
    let count = GUIDES.len() as f64;
    let mean = |cost: &dyn Fn(&Case<'_>, &Guide) -> f64| {
        GUIDES.iter().map(|(_, case, guide)| cost(case, guide)).sum::<f64>() / count
    };
    let at_once = mean(&|case, _| end_cost(case, &Next::Call(Why::NothingLeft)));
    let on_paper = mean(&|_, guide| guide.expected);
    let interactive = mean(&|_, guide| guide.interactive);
    assert!(interactive < on_paper && on_paper < 0.75 * at_once, "{at_once} {on_paper} {interactive}");
    for (name, _, guide) in &*GUIDES {
        // Judgement: what the estimate may be off by.
        assert!(
            guide.interactive <= 1.02 * guide.expected,
            "{name}: {} {}",
            guide.interactive,
            guide.expected
        );
    }
}

/// Checking is no dearer than calling the base at once, or nothing would be asked.
#[test]
fn no_guide_is_dearer_than_calling_at_once() {
    let mut dear = Vec::new();
    for (name, case, guide) in &*GUIDES {
        let at_once = end_cost(case, &Next::Call(Why::NothingLeft));
        if guide.interactive > at_once + 1e-9 {
            dear.push(format!("{name}: {:.2} for {at_once:.2}", guide.interactive));
        }
    }
    assert!(dear.is_empty(), "{} of {}: {dear:#?}", dear.len(), GUIDES.len());
}
