//! More use never leaves more; a fuller start and a larger bank never leave less.
//!
//! The laws hold as long as a bank gives all that is asked: one that is flat, or that its protection has switched off,
//! keeps what it did not give. What switches by itself on a voltage (combiners, cut-outs) is left out: a load that
//! stops for want of voltage saves charge.

use endure::Voyage;
use endure::luck::Luck;
use endure::run::{Moment, Runner, Watch};
use endure::voyage::{Account, Habit};
use proptest::prelude::*;

use super::random::{Has, boat, numbers, sea};

/// The course of a trip: what each store holds after each step, and when it was first spent.
#[derive(Default)]
struct Course {
    /// Ah by bank, then litres or kilograms by ledger, of each step.
    held: Vec<Vec<f64>>,
    /// The first step in which any bank could not give what was asked.
    short: Option<usize>,
    spent: Vec<Option<usize>>,
}

struct Look<'a>(&'a Voyage, Course);

impl Watch for Look<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        let voyage = self.0;
        let banks = moment.banks.iter().zip(moment.charged).map(|(bank, charged)| bank.held(charged));
        let held: Vec<f64> =
            banks.map(quantity::Charge::as_amp_hours).chain(moment.ledgers.iter().copied()).collect();
        self.1.spent.resize(held.len(), None);
        for at in 0..held.len() {
            let past = match at.checked_sub(voyage.banks.len()) {
                None => moment.bank_is_spent(voyage, at),
                Some(ledger) => moment.ledger_is_spent(voyage, ledger),
            };
            if past {
                self.1.spent[at].get_or_insert(moment.at);
            }
        }
        if moment.flows.iter().any(|flow| flow.unmet.as_amps() > 1e-9 || flow.switched_off) {
            self.1.short.get_or_insert(moment.at);
        }
        self.1.held.push(held);
    }
}

fn course(voyage: &Voyage, luck: &Luck) -> Course {
    let mut look = Look(voyage, Course::default());
    Runner::new(voyage).run(luck, &mut look);
    look.1
}

/// How far a bank may come out on the other side: where a charger goes from its charging voltage to the lower one that
/// keeps a bank full, the emptier of two may take a step's worth more than the fuller.
fn give(voyage: &Voyage, at: usize) -> f64 {
    let capacity = voyage.banks[at].spec.capacity.as_amp_hours();
    0.02 * capacity * voyage.step.as_hours()
}

/// Nowhere does `less` hold more than `more`, and it is never spent later.
fn never_above(voyage: &Voyage, less: &Course, more: &Course) -> Result<(), TestCaseError> {
    let until = less.short.unwrap_or(usize::MAX).min(more.short.unwrap_or(usize::MAX));
    let banks = voyage.banks.len();
    for (step, (low, high)) in less.held.iter().zip(&more.held).enumerate() {
        for at in 0..banks {
            let fits = step >= until || low[at] <= high[at] + give(voyage, at);
            prop_assert!(fits, "step {step}, bank {at}: {} Ah, {} Ah", low[at], high[at]);
        }
        for at in banks..low.len() {
            // A waste tank fills with use.
            let (low, high) =
                if voyage.ledgers[at - banks].fills() { (high[at], low[at]) } else { (low[at], high[at]) };
            prop_assert!(low <= high + 1e-9, "step {step}, ledger {}: {low}, {high}", at - banks);
        }
    }
    for (at, (low, high)) in less.spent.iter().zip(&more.spent).enumerate() {
        let (low, high) = (low.unwrap_or(usize::MAX), high.unwrap_or(usize::MAX));
        // A bank that another one shares a charger with counts only until that one is flat.
        prop_assert!(low <= high || (at < banks && high > until), "place {at}: {low}, {high}");
    }
    Ok(())
}

fn voyage(sea: &super::random::Sea) -> Voyage {
    Voyage::new(&sea.boat, &sea.trip).unwrap_or_else(|faults| panic!("{faults:#?}\n{}", sea.text))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_larger_load_never_leaves_more(
        numbers in numbers(), which in any::<prop::sample::Index>(), times in 1.01f64..3.0, draw in 0u64..100
    ) {
        let sea = sea(&numbers, Has::Steady);
        let voyage = voyage(&sea);
        // A thermostat's load is larger by running longer, at other times.
        let steady: Vec<usize> = (0..voyage.lines.len())
            .filter(|at| !matches!(voyage.lines[*at].habit, Habit::Thermostat { .. }))
            .collect();
        prop_assume!(!steady.is_empty());
        let line = *which.get(&steady);
        let luck = Luck::draw(&voyage, 3, draw);
        let mut more = luck.clone();
        more.lines[line] *= times;
        never_above(&voyage, &course(&voyage, &more), &course(&voyage, &luck))?;
    }

    #[test]
    fn a_load_more_never_leaves_more(numbers in numbers(), milliamps in 50u32..5000) {
        let without = sea(&numbers, Has::Steady);
        let (file, _) = without.text.split_once("trip = 1").unwrap();
        let extra = format!(
            "{file}\n[loads.extra]\nname = \"One more\"\nruns = \"steady\"\ndraws = \"{milliamps} mA\"\n\
             \n[loads.extra_water]\nname = \"More water\"\nkind = \"water\"\nruns = \"daily\"\na_day = \"9 L\"\n"
        );
        let (one, other) = (voyage(&without), Voyage::new(&boat(&extra), &without.trip).unwrap());
        // One more use of water makes all water tanks one supply.
        prop_assume!(one.ledgers.len() == other.ledgers.len());
        let (plain, more) = (course(&one, &Luck::middle(&one)), course(&other, &Luck::middle(&other)));
        never_above(&one, &more, &plain)?;
        let gone: f64 = plain.held.last().unwrap()[0] - more.held.last().unwrap()[0];
        prop_assert!(plain.short.is_some() || more.short.is_some() || gone > -give(&one, 0));
    }

    #[test]
    fn a_fuller_start_never_ends_emptier(
        numbers in numbers(), which in any::<prop::sample::Index>(), by in 0.01f64..0.5, draw in 0u64..100
    ) {
        let sea = sea(&numbers, Has::Steady);
        let voyage = voyage(&sea);
        let luck = Luck::draw(&voyage, 5, draw);
        let mut fuller = luck.clone();
        let place = which.index(voyage.banks.len() + voyage.ledgers.len());
        match place.checked_sub(voyage.banks.len()) {
            None => {
                let more = (luck.banks[place].as_plain() + by).min(1.0);
                fuller.banks[place] = quantity::Ratio::plain(more);
            }
            // Of waste, more room.
            Some(ledger) if voyage.ledgers[ledger].fills() => {
                fuller.ledgers[ledger] = (luck.ledgers[ledger] - by).max(0.0);
            }
            Some(ledger) => fuller.ledgers[ledger] = (luck.ledgers[ledger] + by).min(1.0),
        }
        never_above(&voyage, &course(&voyage, &luck), &course(&voyage, &fuller))?;
    }

    #[test]
    fn a_larger_or_healthier_bank_never_lasts_less(
        numbers in numbers(), which in any::<prop::sample::Index>(), times in 1.02f64..2.0
    ) {
        let sea = sea(&numbers, Has::Steady);
        let voyage = voyage(&sea);
        let bank = which.index(voyage.banks.len());
        let luck = Luck::middle(&voyage);
        let small = course(&voyage, &luck);
        let mut healthier = luck.clone();
        healthier.health[bank] =
            quantity::Ratio::plain((luck.health[bank].as_plain() * times).min(1.2));
        let mut larger = voyage.clone();
        larger.banks[bank].spec.capacity = larger.banks[bank].spec.capacity * times;
        for (large, how) in [(course(&voyage, &healthier), "healthier"), (course(&larger, &luck), "larger")] {
            let (low, high) = (small.spent[bank], large.spent[bank]);
            prop_assert!(
                high.is_none_or(|high| low.is_some_and(|low| low <= high)),
                "{how}: {low:?}, {high:?}\n{}",
                sea.text
            );
        }
    }

    #[test]
    fn a_thermostat_that_works_harder_never_makes_a_bank_last_longer(numbers in numbers(), times in 1.1f64..2.0) {
        let sea = sea(&numbers, Has::All);
        let voyage = voyage(&sea);
        let luck = Luck::middle(&voyage);
        let mut harder = luck.clone();
        let mut found = false;
        for (at, line) in voyage.lines.iter().enumerate() {
            if matches!((line.habit, line.account), (Habit::Thermostat { .. }, Account::Ledger(_))) {
                harder.lines[at] *= times;
                found = true;
            }
        }
        prop_assume!(found);
        let (plain, harder) = (course(&voyage, &luck), course(&voyage, &harder));
        // The heater runs at other moments: by the end, a pause more or less.
        for (at, ledger) in voyage.ledgers.iter().enumerate().filter(|(_, ledger)| !ledger.fills()) {
            let at = voyage.banks.len() + at;
            let pause = 0.02 * ledger.capacity;
            prop_assert!(harder.held.last().unwrap()[at] <= plain.held.last().unwrap()[at] + pause);
        }
    }
}
