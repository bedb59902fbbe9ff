//! Orders of stops: the published instances in `reference/tsplib-sop` (sources in its README), every order of small
//! sets tried one by one, the rules kept, and the words of refusals.
#![allow(clippy::disallowed_methods, reason = "tests read the reference files")]

use std::path::PathBuf;

use proptest::prelude::*;
use search::order::{
    Effort, MOST_COST, MOST_STOPS, Order, OrderError, Stops, order, order_from,
    tsplib::{self, ReadError},
};

/// What a second of a quiet machine's time is spent on, by `cargo run --release -p search --example orders`.
const SECOND: u64 = 300_000_000;

struct Instance {
    name: String,
    best_known: u64,
    /// An order that another program proved best, counted from 0.
    published: Option<Vec<usize>>,
    stops: Stops,
}

fn read(file: &str) -> String {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../reference/tsplib-sop");
    std::fs::read_to_string(folder.join(file)).unwrap()
}

fn instances() -> Vec<Instance> {
    let row = |line: &str| {
        // One column has commas within quotes; the first, the fourth and the last are not affected.
        let cells: Vec<&str> = line.split(',').collect();
        let nodes: Vec<usize> =
            cells[cells.len() - 1].split(' ').filter_map(|node| node.parse().ok()).collect();
        Instance {
            name: cells[0].to_owned(),
            best_known: cells[3].parse().unwrap(),
            published: (!nodes.is_empty()).then(|| nodes.iter().map(|node| node - 1).collect()),
            stops: tsplib::read(&read(&format!("{}.sop", cells[0]))).unwrap(),
        }
    };
    read("best_known.csv").lines().skip(1).map(row).collect()
}

/// Asks for an order that is at most so many parts in a thousand dearer than the best known one: first with a
/// thirtieth of a second's work, then with all of it.
fn within(instance: &Instance, thousandths: u64) -> Order {
    let most = instance.best_known * (1000 + thousandths) / 1000;
    let quick = order(&instance.stops, Effort::looks(SECOND / 30), 1);
    let found = if quick.cost <= most { quick } else { order(&instance.stops, Effort::looks(SECOND), 1) };
    assert!(found.cost <= most, "{}: {} found, {} known", instance.name, found.cost, instance.best_known);
    assert_sound(&instance.stops, &found);
    found
}

fn assert_sound(stops: &Stops, found: &Order) {
    assert_eq!(stops.cost(&found.stops), Ok(found.cost));
    assert!(found.bound <= found.cost);
    assert_eq!(found.proved, found.bound == found.cost);
}

#[test]
fn every_instance_is_read() {
    assert_eq!(instances().len(), 21);
}

#[test]
fn published_orders_keep_the_rules_and_cost_what_was_published() {
    let mut checked = 0;
    for instance in instances() {
        if let Some(published) = &instance.published {
            assert_eq!(instance.stops.cost(published), Ok(instance.best_known), "{}", instance.name);
            checked += 1;
        }
    }
    assert_eq!(checked, 8);
}

#[test]
fn within_a_hundredth_of_the_best_known_cost() {
    for instance in instances() {
        within(&instance, 10);
    }
}

/// The best costs known stand in the table; a proved order must not be dearer, and no bound may be above them, since
/// an order of that cost is published.
#[test]
fn bounds_are_below_the_best_known_cost_and_proved_orders_meet_it() {
    let mut proved = 0;
    for instance in instances() {
        let found = order(&instance.stops, Effort::looks(SECOND / 30), 2);
        assert!(found.bound <= instance.best_known, "{}: {}", instance.name, found.bound);
        if found.proved {
            assert_eq!(found.cost, instance.best_known, "{}", instance.name);
            proved += 1;
        }
    }
    assert!(proved >= 5, "only {proved} proved");
}

/// A list in use since 2015 has 1163 for this instance and calls it not proved (see the README). The order was checked
/// against the table of the file by a few lines in another language.
#[test]
fn an_order_below_the_best_known_cost_is_one() {
    let nodes = [
        1, 51, 61, 74, 91, 71, 81, 35, 98, 16, 41, 94, 14, 27, 23, 48, 32, 4, 11, 47, 72, 80, 84, 66, 6, 63,
        59, 45, 65, 50, 31, 77, 36, 46, 78, 34, 95, 2, 42, 10, 5, 9, 20, 88, 75, 60, 40, 86, 76, 96, 68, 19,
        73, 8, 92, 3, 53, 33, 21, 58, 25, 93, 55, 7, 49, 28, 56, 17, 67, 97, 15, 24, 38, 52, 70, 57, 99, 82,
        89, 18, 26, 83, 22, 85, 90, 87, 30, 43, 79, 12, 64, 54, 44, 39, 29, 37, 13, 69, 62, 100,
    ];
    let stops = tsplib::read(&read("prob.100.sop")).unwrap();
    let known: Vec<usize> = nodes.iter().map(|node| node - 1).collect();
    assert_eq!(stops.cost(&known), Ok(1152));
    let bettered = order_from(&stops, &known, Effort::looks(SECOND / 100), 1).unwrap();
    assert!(bettered.cost <= 1152);
    assert_sound(&stops, &bettered);
}

#[test]
fn the_same_question_has_the_same_answer() {
    for instance in instances() {
        let ask = || order(&instance.stops, Effort::looks(SECOND / 100), 7);
        assert_eq!(ask(), ask(), "{}", instance.name);
    }
}

#[test]
fn nothing_and_one_stop_are_in_order() {
    let none = Stops::new(0, &[], &[]).unwrap();
    assert_eq!(order(&none, Effort::looks(0), 1), Order { stops: vec![], cost: 0, bound: 0, proved: true });
    let one = Stops::new(1, &[5], &[]).unwrap();
    assert_eq!(order(&one, Effort::looks(0), 1), Order { stops: vec![0], cost: 0, bound: 0, proved: true });
}

/// Stops as drawn: costs row by row, and pairs that follow a drawn numbering, so that none goes round.
fn drawn(most: usize) -> impl Strategy<Value = (Stops, Vec<(usize, usize)>)> {
    (1..=most, 1..200_u32).prop_flat_map(|(count, dearest)| {
        let costs = prop::collection::vec(0..=dearest, count * count);
        let pairs = prop::collection::vec((0..count, 0..count), 0..=count);
        let numbering = Just((0..count).collect::<Vec<usize>>()).prop_shuffle();
        (costs, pairs, numbering).prop_map(move |(costs, pairs, numbering)| {
            let rank = |stop: usize| numbering[stop];
            let turned = |(one, other)| if rank(one) < rank(other) { (one, other) } else { (other, one) };
            let pairs: Vec<(usize, usize)> =
                pairs.into_iter().filter(|(one, other)| one != other).map(turned).collect();
            (Stops::new(count, &costs, &pairs).unwrap(), pairs)
        })
    })
}

/// The least cost of all orders, each tried; only the pairs given and the legs' costs are asked.
fn brute_force(stops: &Stops, pairs: &[(usize, usize)]) -> u64 {
    let mut orders = vec![Vec::new()];
    for _ in 0..stops.count() {
        let longer = |order: &Vec<usize>| {
            let order = order.clone();
            let fresh = (0..stops.count()).filter(move |stop| !order.contains(stop));
            fresh.collect::<Vec<usize>>()
        };
        orders = orders
            .iter()
            .flat_map(|order| longer(order).into_iter().map(move |stop| [&order[..], &[stop]].concat()))
            .collect();
    }
    let place = |order: &[usize], stop: usize| order.iter().position(|&one| one == stop);
    let kept =
        |order: &&Vec<usize>| pairs.iter().all(|&(one, other)| place(order, one) < place(order, other));
    orders.iter().filter(kept).map(|order| stops.cost(order).unwrap()).min().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn small_sets_are_solved_as_by_trying_every_order(drawn in drawn(7), seed in 0..3_u64) {
        let (stops, pairs) = drawn;
        let found = order(&stops, Effort::looks(1_000_000), seed);
        prop_assert!(found.proved);
        prop_assert_eq!(found.cost, brute_force(&stops, &pairs));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3))]

    #[test]
    fn eight_stops_are_solved_as_by_trying_every_order(drawn in drawn(8), seed in 0..3_u64) {
        let (stops, pairs) = drawn;
        let found = order(&stops, Effort::looks(1_000_000), seed);
        prop_assert!(found.proved);
        prop_assert_eq!(found.cost, brute_force(&stops, &pairs));
    }
}

proptest! {
    #[test]
    fn every_answer_keeps_the_rules_and_costs_what_it_says(
        drawn in drawn(40), looks in 0..300_000_u64, seed: u64,
    ) {
        let (stops, pairs) = drawn;
        let found = order(&stops, Effort::looks(looks), seed);
        prop_assert_eq!(stops.cost(&found.stops), Ok(found.cost));
        prop_assert!(found.bound <= found.cost);
        let place = |stop: usize| found.stops.iter().position(|&one| one == stop).unwrap();
        for (one, other) in pairs {
            prop_assert!(place(one) < place(other));
            prop_assert!(stops.must_precede(one, other));
        }
    }

    #[test]
    fn a_known_order_is_never_made_dearer(drawn in drawn(30), looks in 0..100_000_u64, seed: u64) {
        let (stops, _) = drawn;
        let known = order(&stops, Effort::looks(0), seed);
        let found = order_from(&stops, &known.stops, Effort::looks(looks), seed).unwrap();
        prop_assert!(found.cost <= known.cost);
        prop_assert_eq!(stops.cost(&found.stops), Ok(found.cost));
        // What is known to be best stays as it is.
        let again = order_from(&stops, &found.stops, Effort::looks(looks), seed).unwrap();
        prop_assert!(again.cost <= found.cost);
    }
}

fn refused(count: usize, costs: &[u32], before: &[(usize, usize)], error: &OrderError, words: &str) {
    let answer = Stops::new(count, costs, before);
    assert_eq!(answer.as_ref().err(), Some(error));
    assert_eq!(error.to_string(), words);
}

#[test]
fn stops_that_cannot_be_are_refused_in_words() {
    refused(
        MOST_STOPS + 1,
        &[],
        &[],
        &OrderError::TooManyStops(1001),
        "There are 1001 stops; at most 1000 can be put in order.",
    );
    refused(
        2,
        &[0; 3],
        &[],
        &OrderError::WrongTable { given: 3, wanted: 4 },
        "The table of costs has 3 cells; it needs 4, one for each pair of stops.",
    );
    refused(
        2,
        &[0, MOST_COST + 1, 0, 0],
        &[],
        &OrderError::CostTooHigh { from: 0, to: 1, cost: 500_000_001 },
        "Going from stop 0 to stop 1 costs 500000001; at most 500000000 can be counted. Count costs in a larger unit.",
    );
    refused(
        2,
        &[0; 4],
        &[(0, 2)],
        &OrderError::UnknownStop { stop: 2, count: 2 },
        "There is no stop 2; the 2 stops are counted from 0.",
    );
    refused(
        4,
        &[0; 16],
        &[(3, 1), (1, 2), (2, 3), (0, 1)],
        &OrderError::Circle(vec![1, 2, 3]),
        "Each of these stops must come before the next, which goes round in a circle: 1, 2, 3, 1. Take one of these \
         rules away.",
    );
    refused(
        1,
        &[0],
        &[(0, 0)],
        &OrderError::Circle(vec![0]),
        "Each of these stops must come before the next, which goes round in a circle: 0, 0. Take one of these rules \
         away.",
    );
    assert!(
        Stops::new(2, &[7, MOST_COST, MOST_COST, u32::MAX], &[]).is_ok(),
        "the diagonal is not looked at"
    );
}

#[test]
fn a_known_order_that_is_none_is_refused_in_words() {
    let stops = Stops::new(3, &[1; 9], &[(0, 1), (1, 2)]).unwrap();
    let refusals = [
        (vec![0, 1], OrderError::NotEachOnce { stop: 2 }),
        (vec![0, 1, 1, 2], OrderError::NotEachOnce { stop: 1 }),
        (vec![1, 0, 2], OrderError::WrongWayRound { first: 0, then: 1 }),
        (vec![0, 1, 3], OrderError::UnknownStop { stop: 3, count: 3 }),
    ];
    for (known, error) in refusals {
        assert_eq!(order_from(&stops, &known, Effort::looks(1000), 1), Err(error));
    }
    assert_eq!(
        OrderError::NotEachOnce { stop: 2 }.to_string(),
        "The order must hold each stop once; see stop 2, which is left out or comes again."
    );
    assert_eq!(
        OrderError::WrongWayRound { first: 0, then: 1 }.to_string(),
        "Stop 0 must come before stop 1, and the order has it after."
    );
}

#[test]
fn a_text_that_is_no_instance_is_refused_in_words() {
    let refused = |text: &str, error: ReadError, words: &str| {
        assert_eq!(error.to_string(), words);
        assert_eq!(tsplib::read(text), Err(error));
    };
    refused("DIMENSION: 2", ReadError::NoTable, "The text has no section EDGE_WEIGHT_SECTION.");
    for word in ["x", "-2", "1.5"] {
        refused(
            &format!("EDGE_WEIGHT_SECTION 2 0 {word} 1 0 EOF"),
            ReadError::NotACost(word.to_owned()),
            &format!("“{word}” in the table of costs is not a whole number; use −1 or a cost."),
        );
    }
    refused(
        "EDGE_WEIGHT_SECTION 2 0 1 1 EOF",
        ReadError::WrongSize { stops: 2, cells: 3 },
        "The table of costs has 3 cells, which is not 2 rows of 2.",
    );
    refused(
        "EDGE_WEIGHT_SECTION EOF",
        ReadError::WrongSize { stops: 0, cells: 0 },
        "The table of costs has 0 cells, which is not 0 rows of 0.",
    );
    let circle = OrderError::Circle(vec![0, 1]);
    let words = circle.to_string();
    refused("EDGE_WEIGHT_SECTION 2 0 -1 -1 0 EOF", ReadError::Order(circle), &words);
}
