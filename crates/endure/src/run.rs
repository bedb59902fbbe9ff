//! The reckoning itself: one trip, step by step.

mod steady;
mod thermostat;

use quantity::{Current, Power, Temperature, Voltage};

use crate::battery::{Bank, Charged, Flow};
use crate::luck::Luck;
use crate::voyage::{Segment, Voyage};

use steady::Steady;
pub(crate) use steady::inverted;
use thermostat::{Takes, Thermostat};

/// What a run tells of each step.
#[derive(Debug)]
pub struct Moment<'a> {
    /// The step.
    pub at: usize,
    /// The stretch that it lies in.
    pub segment: &'a Segment,
    /// The banks, made for this drawing.
    pub banks: &'a [Bank],
    /// Their charge at the end of the step.
    pub charged: &'a [Charged],
    /// What went in and out of each bank in the step.
    pub flows: &'a [Flow],
    /// What loads asked of each bank.
    pub asked: &'a [Current],
    /// Litres or kilograms in each ledger at the end of the step.
    pub ledgers: &'a [f64],
    /// What could not be taken from (of waste: put into) each ledger in the step.
    pub wanting: &'a [f64],
    /// Which thermostats ran, by line.
    pub running: &'a [bool],
}

impl Moment<'_> {
    /// The part of its charge that a bank has left.
    pub fn level(&self, bank: usize) -> f64 {
        self.banks[bank].share(&self.charged[bank]).as_plain()
    }

    /// Whether a bank is below what may be used of it, or gives less than is asked.
    pub fn bank_is_spent(&self, voyage: &Voyage, bank: usize) -> bool {
        self.level(bank) < 1.0 - voyage.banks[bank].usable.as_plain()
            || self.flows[bank].unmet.as_amps() > 1e-6
    }

    /// Whether tanks or bottles are empty, or waste tanks full, to what may be used of them.
    pub fn ledger_is_spent(&self, voyage: &Voyage, at: usize) -> bool {
        let (ledger, held) = (&voyage.ledgers[at], self.ledgers[at]);
        if ledger.fills() {
            return self.wanting[at] > 1e-9 || held > ledger.usable * (1.0 + 1e-12);
        }
        self.wanting[at] > 1e-9 || held < (ledger.capacity - ledger.usable) * (1.0 - 1e-12)
    }
}

/// Who looks on while a trip is reckoned.
pub trait Watch {
    /// After each step.
    fn step(&mut self, moment: &Moment<'_>);
    /// After tanks were filled or pumped out, before the step.
    fn served(&mut self, _ledger: usize, _by: f64) {}
}

/// Two who look on together.
impl<A: Watch, B: Watch> Watch for (A, B) {
    fn step(&mut self, moment: &Moment<'_>) {
        self.0.step(moment);
        self.1.step(moment);
    }

    fn served(&mut self, ledger: usize, by: f64) {
        self.0.served(ledger, by);
        self.1.served(ledger, by);
    }
}

/// Room for reckoning trips one after the other without asking for memory.
#[derive(Debug)]
pub struct Runner<'a> {
    voyage: &'a Voyage,
    banks: Vec<Bank>,
    charged: Vec<Charged>,
    flows: Vec<Flow>,
    asked: Vec<Current>,
    ledgers: Vec<f64>,
    wanting: Vec<f64>,
    running: Vec<bool>,
    /// Which combiners have closed, by feed.
    joined: Vec<bool>,
    thermostats: Vec<Thermostat>,
    steady: Steady,
    /// The mean of the air as planned, in degrees Celsius.
    air: f64,
}

impl<'a> Runner<'a> {
    /// Makes room for the trips of one voyage.
    pub fn new(voyage: &'a Voyage) -> Self {
        let (banks, lines, ledgers) = (voyage.banks.len(), voyage.lines.len(), voyage.ledgers.len());
        let air = voyage.air.iter().map(|air| air.as_celsius()).sum::<f64>() / voyage.steps.max(1) as f64;
        Self {
            voyage,
            banks: Vec::with_capacity(banks),
            charged: Vec::with_capacity(banks),
            flows: vec![Flow::default(); banks],
            asked: vec![Current::ZERO; banks],
            ledgers: vec![0.0; ledgers],
            wanting: vec![0.0; ledgers],
            running: vec![false; lines],
            joined: vec![false; voyage.feeds.len()],
            thermostats: Thermostat::all(voyage),
            steady: Steady::new(voyage),
            air,
        }
    }

    /// Reckons one trip.
    pub fn run(&mut self, luck: &Luck, watch: &mut impl Watch) {
        self.begin(luck);
        for segment in &self.voyage.segments {
            self.stretch(segment, luck, watch);
        }
    }

    /// Reckons one stretch from where the last one ended. It may come from a plan that differs from the voyage's own
    /// in what is done, not in its loads, sources, stores and steps.
    pub(crate) fn stretch(&mut self, segment: &Segment, luck: &Luck, watch: &mut impl Watch) {
        let voyage = self.voyage;
        for ledger in &segment.served {
            let full = if voyage.ledgers[*ledger].fills() { 0.0 } else { voyage.ledgers[*ledger].capacity };
            watch.served(*ledger, full - self.ledgers[*ledger]);
            self.ledgers[*ledger] = full;
        }
        self.steady.settle(voyage, segment, luck, &mut self.joined);
        for thermostat in &mut self.thermostats {
            thermostat.settle(segment, luck);
            self.running[thermostat.line] &= thermostat.allowed;
        }
        self.steady.pour(voyage, &self.thermostats);
        self.wanting.fill(0.0);
        for at in segment.from..segment.to {
            self.step(at, luck);
            watch.step(&Moment {
                at,
                segment,
                banks: &self.banks,
                charged: &self.charged,
                flows: &self.flows,
                asked: &self.asked,
                ledgers: &self.ledgers,
                wanting: &self.wanting,
                running: &self.running,
            });
        }
    }

    /// Everything as it stands at take-over.
    pub(crate) fn begin(&mut self, luck: &Luck) {
        let voyage = self.voyage;
        let air = Temperature::celsius(self.air) + luck.air;
        self.banks.clear();
        self.charged.clear();
        for (at, plan) in voyage.banks.iter().enumerate() {
            let spec = crate::battery::BankSpec { health: luck.health[at], ..plan.spec.clone() };
            // The plan's own figures were proven when the voyage was made; a drawing stays within them.
            let bank = spec.at(air, voyage.step).expect("a bank proven when the voyage was made");
            self.charged.push(bank.with_share(luck.banks[at]));
            self.flows[at] = Flow { voltage: bank.rest_voltage(&self.charged[at]), ..Flow::default() };
            self.banks.push(bank);
        }
        for (at, ledger) in voyage.ledgers.iter().enumerate() {
            self.ledgers[at] = ledger.capacity * luck.ledgers[at];
        }
        self.joined.fill(false);
        self.running.fill(false);
        self.thermostats.iter_mut().for_each(Thermostat::begin);
    }

    /// One step: loads and thermostats ask, banks give and are charged, tanks empty and fill.
    fn step(&mut self, at: usize, luck: &Luck) {
        for (asked, seat) in self.asked.iter_mut().zip(&self.steady.seats) {
            *asked = seat.amps;
        }
        for pour in &self.steady.pours {
            self.wanting[pour.ledger] = pour.flow;
        }
        if !self.thermostats.is_empty() {
            let air = (self.voyage.air[at] + luck.air).as_celsius();
            self.thermostats(air);
        }
        let sun = f64::from(self.voyage.sun[at]);
        self.give_and_take(sun);
        for pour in &self.steady.pours {
            pour.step(&mut self.ledgers[pour.ledger], &mut self.wanting[pour.ledger]);
        }
    }

    /// Runs the thermostats for one step.
    #[inline]
    fn thermostats(&mut self, air: f64) {
        for thermostat in &mut self.thermostats {
            if !thermostat.allowed {
                thermostat.drift(air);
                continue;
            }
            let runs = thermostat.step(air, &self.flows);
            self.running[thermostat.line] = runs;
            if !runs {
                continue;
            }
            match thermostat.takes {
                Takes::Amps(bank, current) => self.asked[bank] += current,
                Takes::Watts(bank, power, least) => {
                    self.asked[bank] += power / self.flows[bank].voltage.max(least);
                }
                Takes::Ledger(ledger, amount) => self.wanting[ledger] += amount,
                Takes::Nothing => {}
            }
        }
    }

    /// All banks for one step.
    #[inline]
    fn give_and_take(&mut self, sun: f64) {
        // Slices of one length: what is looked up once is proven for all.
        let count = self.banks.len();
        let (banks, seats) = (&self.banks[..count], &self.steady.seats[..count]);
        let (charged, flows) = (&mut self.charged[..count], &mut self.flows[..count]);
        let asked = &mut self.asked[..count];
        // What is left of an offer that several banks share.
        let mut joint = self.steady.joint;
        for bank in self.voyage.order.iter().copied().filter(|bank| *bank < count) {
            let (seat, volts) = (&seats[bank], flows[bank].voltage);
            if seat.watts > Power::ZERO {
                asked[bank] += seat.watts / volts.max(seat.least);
            }
            let own = seat.own_offer(sun, volts);
            let shared = if seat.takes_joint { joint } else { Current::ZERO };
            let mut limit = seat.limit;
            let mut crossing = (Current::ZERO, bank);
            if seat.bridged {
                crossing = bridge(
                    bank,
                    &self.steady,
                    &mut self.joined,
                    |from| (flows[from].voltage, asked[from]),
                    (sun, joint),
                );
                if crossing.0 > Current::ZERO {
                    limit = limit.max(seats[crossing.1].set_point);
                }
            }
            let offered = own + shared + crossing.0;
            let flow = banks[bank].step(&mut charged[bank], asked[bank], offered, limit);
            if seat.takes_joint {
                joint -= (flow.taken - own).max(Current::ZERO).min(shared);
            }
            if crossing.0 > Current::ZERO {
                asked[crossing.1] += (flow.taken - own - shared).max(Current::ZERO);
            }
            flows[bank] = flow;
        }
    }
}

/// What a combiner lets through to a bank, and from which: what the sources of the bank before it have over.
/// It closes when that bank is at its voltage, and opens when its sources stop. `at` tells a bank's voltage and what
/// is asked of it.
fn bridge(
    bank: usize,
    steady: &Steady,
    joined: &mut [bool],
    at: impl Fn(usize) -> (Voltage, Current),
    (sun, joint): (f64, Current),
) -> (Current, usize) {
    for bridge in steady.bridges.iter().filter(|bridge| bridge.into == bank) {
        let seat = &steady.seats[bridge.from];
        let (volts, asked) = at(bridge.from);
        // What a charger offers to both banks does not come over the combiner a second time.
        let both = seat.takes_joint && steady.seats[bank].takes_joint;
        let shared = if seat.takes_joint && !both { joint } else { Current::ZERO };
        let over = (seat.own_offer(sun, volts) + shared - asked).max(Current::ZERO);
        let joined = &mut joined[bridge.feed];
        *joined = over > Current::ZERO && (*joined || volts >= bridge.closes);
        if *joined {
            return (bridge.most.min(over), bridge.from);
        }
    }
    (Current::ZERO, bank)
}
