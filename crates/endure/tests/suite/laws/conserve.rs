//! What was there and came in is what went out and is left, in every step of any trip.

use boat::model::Boat;
use endure::Voyage;
use endure::forecast::as_planned;
use endure::log::Logger;
use endure::luck::Luck;
use endure::run::{Moment, Runner, Watch};
use endure::voyage::{Account, FeedKind, Habit, Take};
use proptest::prelude::*;

use super::random::{HEAD, Has, boat, numbers, sea, trip};

/// Rounding: nine places of the larger figure.
fn same(a: f64, b: f64, scale: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()).max(scale))
}

/// Keeps the books of a trip, apart from the reckoning.
struct Books<'a> {
    voyage: &'a Voyage,
    luck: &'a Luck,
    /// Ah in each bank after the step before, and at the very start.
    held: Vec<Option<f64>>,
    first: Vec<f64>,
    /// Ah taken, met, lost, by bank.
    taken: Vec<f64>,
    met: Vec<f64>,
    lost: Vec<f64>,
    /// In each ledger after the step before.
    stock: Vec<f64>,
    served: Vec<f64>,
    wanted: Vec<f64>,
    wanting: Vec<f64>,
    wrong: Vec<String>,
}

impl<'a> Books<'a> {
    fn new(voyage: &'a Voyage, luck: &'a Luck) -> Self {
        let (banks, ledgers) = (voyage.banks.len(), voyage.ledgers.len());
        Self {
            voyage,
            luck,
            held: vec![None; banks],
            first: vec![0.0; banks],
            taken: vec![0.0; banks],
            met: vec![0.0; banks],
            lost: vec![0.0; banks],
            stock: voyage.ledgers.iter().zip(&luck.ledgers).map(|(one, part)| one.capacity * part).collect(),
            served: vec![0.0; ledgers],
            wanted: vec![0.0; ledgers],
            wanting: vec![0.0; ledgers],
            wrong: Vec::new(),
        }
    }

    fn bank(&mut self, at: usize, moment: &Moment<'_>) {
        let (bank, flow) = (&moment.banks[at], &moment.flows[at]);
        let hours = self.voyage.step.as_hours();
        let before = self.held[at].unwrap_or_else(|| {
            self.first[at] = bank.held(&bank.with_share(self.luck.banks[at])).as_amp_hours();
            self.first[at]
        });
        let after = bank.held(&moment.charged[at]).as_amp_hours();
        let taken = flow.taken.as_amps() * hours;
        let met = (moment.asked[at] - flow.unmet).as_amps() * hours;
        let lost = flow.lost.as_amp_hours();
        if !same(after - before, taken - met - lost, before) {
            self.wrong.push(format!(
                "step {}, bank {at}: {before} to {after}, taken {taken}, met {met}, lost {lost}",
                moment.at
            ));
        }
        if !(taken >= 0.0 && met >= -1e-12 && flow.unmet.as_amps() >= -1e-12 && lost >= -1e-12) {
            self.wrong.push(format!("step {}, bank {at}: below nothing: {flow:?}", moment.at));
        }
        let level = moment.level(at);
        if !(0.0..=1.0 + 1e-9).contains(&level) || !flow.voltage.as_volts().is_finite() {
            self.wrong.push(format!("step {}, bank {at}: level {level}, {}", moment.at, flow.voltage));
        }
        self.taken[at] += taken;
        self.met[at] += met;
        self.lost[at] += lost;
        self.held[at] = Some(after);
    }

    fn ledger(&mut self, at: usize, moment: &Moment<'_>) {
        let hours = self.voyage.step.as_hours();
        let mut wanted = 0.0;
        for (line, _, rate) in moment.segment.flows.iter().filter(|(_, ledger, _)| *ledger == at) {
            let engine = matches!(self.voyage.lines[*line].take, Take::Engine(_));
            wanted += rate * hours * self.luck.lines[*line] * if engine { self.luck.engine } else { 1.0 };
        }
        for (number, line) in self.voyage.lines.iter().enumerate() {
            let runs = matches!(line.habit, Habit::Thermostat { .. }) && moment.running[number];
            if let (true, true, Take::Hourly(rate)) = (runs, line.account == Account::Ledger(at), line.take) {
                wanted += rate * hours;
            }
        }
        let (before, after, wanting) = (self.stock[at], moment.ledgers[at], moment.wanting[at]);
        let gone = if self.voyage.ledgers[at].fills() { after - before } else { before - after };
        let capacity = self.voyage.ledgers[at].capacity;
        if !same(gone, wanted - wanting, capacity) || !(-1e-12..=capacity * (1.0 + 1e-12)).contains(&after) {
            self.wrong.push(format!(
                "step {}, ledger {at}: {before} to {after}, wanted {wanted}, wanting {wanting}",
                moment.at
            ));
        }
        self.wanted[at] += wanted;
        self.wanting[at] += wanting;
        self.stock[at] = after;
    }
}

impl Watch for Books<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        (0..self.voyage.banks.len()).for_each(|at| self.bank(at, moment));
        (0..self.voyage.ledgers.len()).for_each(|at| self.ledger(at, moment));
    }

    fn served(&mut self, ledger: usize, by: f64) {
        self.stock[ledger] += by;
        self.served[ledger] += by;
    }
}

fn voyage(boat: &Boat, trip: &boat::trip::Trip) -> Voyage {
    Voyage::new(boat, trip).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// The books of a whole trip against its two ends.
fn balanced(voyage: &Voyage, luck: &Luck) -> Result<(), TestCaseError> {
    let mut books = Books::new(voyage, luck);
    Runner::new(voyage).run(luck, &mut books);
    prop_assert!(books.wrong.is_empty(), "{}", books.wrong.join("\n"));
    for at in 0..voyage.banks.len() {
        let change = books.held[at].unwrap() - books.first[at];
        let books = books.taken[at] - books.met[at] - books.lost[at];
        prop_assert!(same(change, books, voyage.banks[at].spec.capacity.as_amp_hours()), "{change} {books}");
    }
    for (at, ledger) in voyage.ledgers.iter().enumerate() {
        let start = ledger.capacity * luck.ledgers[at];
        let gone = books.wanted[at] - books.wanting[at];
        let end = start + books.served[at] + if ledger.fills() { gone } else { -gone };
        prop_assert!(same(end, books.stock[at], ledger.capacity), "{end} {}", books.stock[at]);
    }
    Ok(())
}

/// The sum of what the sources of a stretch can give at most, in amperes.
fn offered(voyage: &Voyage, moment: &Moment<'_>) -> f64 {
    let mut done = Vec::new();
    let mut amps = 0.0;
    for (feed, _, current) in &moment.segment.offers {
        if !done.contains(feed) {
            done.push(*feed);
            amps += current.as_amps();
        }
    }
    for (feed, bank) in &moment.segment.panels {
        if let FeedKind::Solar(watts, share) = voyage.feeds[*feed].kind {
            let watts = watts.as_watts() * share * f64::from(voyage.sun[moment.at]);
            amps += watts / voyage.banks[*bank].spec.nominal.as_volts();
        }
    }
    amps
}

/// Looks whether the banks together take in more than the sources give; only for boats without electric loads.
struct NoMoreThanGiven<'a>(&'a Voyage, Vec<String>);

impl Watch for NoMoreThanGiven<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        let taken: f64 = moment.flows.iter().map(|flow| flow.taken.as_amps()).sum();
        // Without loads, all that is asked of a bank goes over a combiner to another, who takes it.
        let crossed: f64 =
            moment.asked.iter().zip(moment.flows).map(|(asked, flow)| (*asked - flow.unmet).as_amps()).sum();
        let given = offered(self.0, moment);
        if taken - crossed > given * (1.0 + 1e-9) + 1e-9 {
            self.1.push(format!("step {}: {taken} A in, {crossed} A over, {given} A given", moment.at));
        }
        if moment.flows.iter().any(|flow| flow.unmet.as_amps() > 1e-9) {
            self.1.push(format!("step {}: a combiner takes more than there is", moment.at));
        }
    }
}

fn no_more_than_given(voyage: &Voyage) -> Vec<String> {
    let mut watch = NoMoreThanGiven(voyage, Vec::new());
    Runner::new(voyage).run(&Luck::middle(voyage), &mut watch);
    watch.1
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_is_lost_or_made_on_any_trip(numbers in numbers(), draw in 0u64..1000) {
        let sea = sea(&numbers, Has::All);
        let voyage = voyage(&sea.boat, &sea.trip);
        balanced(&voyage, &Luck::middle(&voyage))?;
        balanced(&voyage, &Luck::draw(&voyage, 7, draw))?;
    }

    #[test]
    fn banks_take_no_more_than_sources_give(numbers in numbers()) {
        let sea = sea(&numbers, Has::NoElectricLoads);
        let voyage = voyage(&sea.boat, &sea.trip);
        let wrong = no_more_than_given(&voyage);
        prop_assert!(wrong.is_empty(), "{}\n{}", wrong.join("\n"), sea.text);
    }

    #[test]
    fn the_log_tells_what_the_stores_show(numbers in numbers()) {
        let sea = sea(&numbers, Has::All);
        let voyage = voyage(&sea.boat, &sea.trip);
        let luck = Luck::middle(&voyage);
        let mut books = Books::new(&voyage, &luck);
        let mut logger = Logger::new(&voyage);
        let mut runner = Runner::new(&voyage);
        runner.run(&luck, &mut books);
        runner.run(&luck, &mut logger);
        let log = logger.into_log();
        let of = |account: Account| -> f64 {
            voyage.lines.iter().zip(&log.whole).filter(|(line, _)| line.account == account).map(|(_, all)| all).sum()
        };
        for (at, ledger) in voyage.ledgers.iter().enumerate() {
            prop_assert!(same(of(Account::Ledger(at)), books.wanted[at], ledger.capacity));
        }
        for at in 0..voyage.banks.len() {
            prop_assert!(same(log.taken[at], books.taken[at], 100.0));
        }
        // With nothing that crosses from bank to bank, the lines are all that was asked of the banks.
        let crosses = voyage.feeds.iter().any(|feed| matches!(feed.kind, FeedKind::Combiner(..)));
        if !crosses {
            let mut asked = Asked(&voyage, 0.0);
            runner.run(&luck, &mut asked);
            let banks: f64 = (0..voyage.banks.len()).map(|at| of(Account::Bank(at))).sum();
            let all = banks + of(Account::Mains);
            prop_assert!((all - asked.1).abs() <= 1e-3 * asked.1 + 1e-6, "{all} {}\n{}", asked.1, sea.text);
        }
    }
}

/// Sums up what is asked of all banks, in Ah.
struct Asked<'a>(&'a Voyage, f64);

impl Watch for Asked<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        self.1 += moment.asked.iter().map(|asked| asked.as_amps()).sum::<f64>() * self.0.step.as_hours();
    }
}

const TWO_DAYS: &str = "trip = 1\n[plan]\ncrew = 2\nstarts = 2027-07-10\n";

/// A charger that feeds both banks, and a combiner between them.
#[test]
fn a_charger_of_two_banks_is_counted_once() {
    let text = format!(
        "{HEAD}
[stores.start]
name = \"Engine battery\"
kind = \"battery\"
chemistry = \"agm\"
capacity = \"100 Ah\"

[stores.house]
name = \"House bank\"
kind = \"battery\"
chemistry = \"agm\"
capacity = \"400 Ah\"

[sources.shore]
name = \"Shore\"
kind = \"shore\"
gives = \"30 A\"
voltage = \"120 V\"

[sources.charger]
name = \"Charger\"
kind = \"charger\"
gives = \"50 A\"
into = [\"house\", \"start\"]

[sources.combiner]
name = \"Combiner\"
kind = \"combiner\"
gives = \"120 A\"
from = [\"start\"]
into = [\"house\"]
closes = \"12.5 V\"
"
    );
    let plan = format!(
        "{TWO_DAYS}levels = [{{ store = \"house\", level = \"50 %\" }}, {{ store = \"start\", level = \"95 %\" }}]\n[[days]]\nnight = \"alongside\"\npedestal = \"30 A\"\n[[days]]\nnight = \"alongside\"\npedestal = \"30 A\"\n"
    );
    let (boat, trip) = (boat(&text), trip(&plan));
    let voyage = voyage(&boat, &trip);
    let wrong = no_more_than_given(&voyage);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let (marks, _) = as_planned(&voyage);
    let start = &marks.levels[0];
    assert!(start.iter().all(|level| *level > 0.949), "the engine battery is not emptied: {start:?}");
    assert!(marks.levels[1].last() > Some(&0.9), "the house bank is charged");
}

/// Three banks in a chain, written so that the last combiner comes first.
#[test]
fn a_chain_of_combiners_makes_no_charge() {
    let mut text = HEAD.to_owned();
    for bank in ["far", "near", "start"] {
        text.push_str(&format!(
            "\n[stores.{bank}]\nname = \"{bank}\"\nkind = \"battery\"\nchemistry = \"agm\"\ncapacity = \"200 Ah\"\n"
        ));
    }
    for (from, into) in [("near", "far"), ("start", "near")] {
        text.push_str(&format!(
            "\n[sources.{from}_{into}]\nname = \"Combiner\"\nkind = \"combiner\"\ngives = \"100 A\"\nfrom = [\"{from}\"]\ninto = [\"{into}\"]\ncloses = \"12.6 V\"\n"
        ));
    }
    text.push_str(
        "\n[sources.alternator]\nname = \"Alternator\"\nkind = \"alternator\"\ngives = \"100 A\"\ninto = [\"start\"]\n",
    );
    let level = |bank| format!("{{ store = \"{bank}\", level = \"60 %\" }}");
    let plan = format!(
        "{TWO_DAYS}levels = [{}, {}, {}]\n[[days]]\nlegs = [{{ by = \"motor\", from = \"16:00\", for = \"8 h\" }}]\n[[days]]\n",
        level("far"),
        level("near"),
        level("start")
    );
    let (boat, trip) = (boat(&text), trip(&plan));
    let voyage = voyage(&boat, &trip);
    let place = |bank| voyage.order.iter().position(|one| *one == bank).unwrap();
    assert!(place(0) < place(1) && place(1) < place(2), "{:?}", voyage.order);
    let wrong = no_more_than_given(&voyage);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let (marks, _) = as_planned(&voyage);
    assert!(marks.levels[2].last() > Some(&0.8), "the battery at the alternator is charged");
}
