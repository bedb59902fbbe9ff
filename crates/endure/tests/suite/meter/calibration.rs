//! Readings drawn from the model itself: what the check says of them must be right as often as it says.

use endure::luck::Luck;
use endure::meter::{Checked, check};
use endure::voyage::Voyage;

use super::{Chance, read, sandpiper, shown, to_read, voyage, with_errors};

const PLAN: &str = "trip = 1\n[plan]\ncrew = 3\nstarts = \"2027-07-10\"\nfrom = \"15:00\"\nuntil = \"10:00\"\n\
    [[days]]\n[[days]]\nlegs = [{ by = \"motor\", from = \"11:00\", for = \"40 min\" }]\n[[days]]\nnight = \"alongside\"\n";
/// No two at one time, so that each is judged by all before it.
const READINGS: [(u32, &str, &str, &str); 7] = [
    (1, "20:00", "house", "voltage"),
    (1, "21:00", "water", "level"),
    (2, "07:00", "holding", "level"),
    (2, "08:00", "house", "level"),
    (2, "12:00", "", "engine"),
    (2, "20:00", "water", "level"),
    (2, "21:00", "house", "voltage"),
];
/// The part of readings that the check takes for slips, and the range that they lie in.
const SLIPS: f64 = 0.03;
const TRIPS: u64 = 300;
/// Chi-square with 9 degrees of freedom is above this once in a thousand (any table of it).
const CHI_SQUARE_9: f64 = 27.88;

/// One trip from the model: its luck, whether each reading is a slip, and what the check says.
fn one(boat: &boat::model::Boat, voyage: &mut Voyage, number: u64) -> (Luck, Vec<bool>, Checked) {
    let luck = Luck::draw(voyage, 0xB0A7, number);
    let mut chance = Chance::new(number);
    let mut seen = with_errors(voyage, &engine_too(voyage, &luck), &mut chance);
    let slips: Vec<bool> = seen.iter().map(|_| chance.uniform() < SLIPS).collect();
    for ((seen, slip), (.., sort)) in seen.iter_mut().zip(&slips).zip(READINGS) {
        let (from, range) = match sort {
            "voltage" => (10.0, 5.0),
            "engine" => (0.0, 2.0),
            _ => (0.0, 1.0),
        };
        if *slip {
            *seen = from + range * chance.uniform();
        }
    }
    read(voyage, &seen);
    (luck, slips, check(boat, voyage, 5, 200))
}

/// Engine hours are those planned, 40 minutes, times the luck with them.
fn engine_too(voyage: &Voyage, luck: &Luck) -> Vec<f64> {
    let mut shown = shown(voyage, luck);
    shown[4] = luck.engine * 40.0 / 60.0;
    shown
}

fn chi_square(values: &[f64]) -> f64 {
    let mut bins = [0.0_f64; 10];
    for value in values {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 9")]
        let bin = (value * 10.0).clamp(0.0, 9.0) as usize;
        bins[bin] += 1.0;
    }
    let each = values.len() as f64 / 10.0;
    bins.iter().map(|bin| (bin - each) * (bin - each) / each).sum()
}

/// Talts, Betancourt, Simpson, Vehtari and Gelman, Validating Bayesian Inference Algorithms with Simulation-Based
/// Calibration (arXiv:1804.06788, 2018): the rank of the truth in its posterior is uniform. The tails: Rosenblatt,
/// Annals of Mathematical Statistics 23 (1952) 470.
#[test]
fn ranks_of_the_truth_and_tails_of_readings_are_uniform() {
    let boat = sandpiper();
    let mut voyage = voyage(&boat, &format!("{PLAN}{}", to_read(&READINGS)), 10.0);
    let line = |id: &str| voyage.lines.iter().position(|line| boat.loads[line.load].id == id).unwrap();
    let (fridge, washing, flushes) = (line("fridge"), line("washing"), line("flushes"));
    let values = |luck: &Luck| {
        [luck.health[0].as_plain(), luck.lines[fridge], luck.lines[washing], luck.lines[flushes], luck.engine]
    };
    let mut ranks: [Vec<f64>; 5] = Default::default();
    let mut tails = Vec::new();
    for number in 0..TRIPS {
        let (truth, slips, checked) = one(&boat, &mut voyage, number);
        let posterior = &checked.posterior;
        for (at, truth) in values(&truth).into_iter().enumerate() {
            let below =
                posterior.lucks.iter().zip(&posterior.weights).filter(|(luck, _)| values(luck)[at] < truth);
            ranks[at].push(below.map(|(_, weight)| weight).sum());
        }
        tails.extend(checked.readings.iter().zip(slips).filter(|(_, slip)| !slip).map(|(one, _)| one.tail));
    }
    for (name, ranks) in ["health", "refrigerator", "water", "waste", "engine"].iter().zip(&ranks) {
        let found = chi_square(ranks);
        assert!(found < CHI_SQUARE_9, "{name}: {found}");
    }
    let found = chi_square(&tails);
    assert!(found < CHI_SQUARE_9, "tails: {found}");
}
