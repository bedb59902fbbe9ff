//! The reckoning itself: one trip, step by step.

mod steady;
mod thermostat;

use quantity::{Current, Power, Temperature};

use crate::battery::{Bank, Charged, Flow};
use crate::luck::Luck;
use crate::voyage::{FeedKind, Segment, Voyage};

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
            return held > ledger.usable * (1.0 + 1e-12);
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
        self.steady.settle(voyage, segment, luck);
        for thermostat in &mut self.thermostats {
            thermostat.settle(segment, luck);
        }
        for at in segment.from..segment.to {
            self.step(at, segment, luck);
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
    fn step(&mut self, at: usize, segment: &Segment, luck: &Luck) {
        for (asked, seat) in self.asked.iter_mut().zip(&self.steady.seats) {
            *asked = seat.amps;
        }
        self.wanting.copy_from_slice(&self.steady.flows);
        if !self.thermostats.is_empty() {
            let air = (self.voyage.air[at] + luck.air).as_celsius();
            self.thermostats(air);
        }
        let mut joint = self.steady.joint;
        let sun = f64::from(self.voyage.sun[at]);
        for bank in &self.voyage.order {
            self.bank(*bank, sun, segment, &mut joint);
        }
        self.pour();
    }

    /// One bank for one step. `joint` is what is left of an offer that several banks share.
    #[inline]
    fn bank(&mut self, bank: usize, sun: f64, segment: &Segment, joint: &mut Current) {
        let seat = self.steady.seats[bank];
        let volts = self.flows[bank].voltage;
        let mut asked = self.asked[bank];
        if seat.watts > Power::ZERO {
            asked += seat.watts / volts.max(seat.least);
            self.asked[bank] = asked;
        }
        let own = seat.own_offer(sun, volts);
        let shared = if seat.takes_joint { *joint } else { Current::ZERO };
        let mut limit = seat.limit;
        let (bridge, through) =
            if seat.bridged { self.bridge(bank, sun, segment, *joint) } else { (Current::ZERO, 0) };
        if bridge > Current::ZERO {
            let from = self.voyage.feeds[through].from.unwrap_or(bank);
            limit = limit.max(self.steady.seats[from].set_point);
        }
        let flow = self.banks[bank].step(&mut self.charged[bank], asked, own + shared + bridge, limit);
        if seat.takes_joint {
            *joint -= (flow.taken - own).max(Current::ZERO).min(shared);
        }
        if bridge > Current::ZERO {
            if let Some(from) = self.voyage.feeds[through].from {
                self.asked[from] += (flow.taken - own - shared).max(Current::ZERO);
            }
        }
        self.flows[bank] = flow;
    }

    /// What a combiner lets through to a bank, and which combiner: what the sources of the bank before it have over.
    /// It closes when that bank is at its voltage, and opens when its sources stop.
    fn bridge(&mut self, bank: usize, sun: f64, segment: &Segment, joint: Current) -> (Current, usize) {
        for feed in &segment.combiners {
            let source = &self.voyage.feeds[*feed];
            let (FeedKind::Combiner(most, closes), Some(from)) = (source.kind, source.from) else { continue };
            if !source.into.contains(&bank) || from == bank {
                continue;
            }
            let (seat, volts) = (&self.steady.seats[from], self.flows[from].voltage);
            let shared = if seat.takes_joint { joint } else { Current::ZERO };
            let over = (seat.own_offer(sun, volts) + shared - self.asked[from]).max(Current::ZERO);
            self.joined[*feed] = over > Current::ZERO && (self.joined[*feed] || volts >= closes);
            if self.joined[*feed] {
                return (most.min(over), *feed);
            }
        }
        (Current::ZERO, 0)
    }

    /// Runs the thermostats of a stretch for one step.
    #[inline]
    fn thermostats(&mut self, air: f64) {
        for thermostat in &mut self.thermostats {
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

    /// Takes from tanks and bottles, fills waste tanks, and keeps what could not be.
    #[inline]
    fn pour(&mut self) {
        let stores = self.ledgers.iter_mut().zip(&mut self.wanting);
        for (ledger, (held, wanting)) in self.voyage.ledgers.iter().zip(stores) {
            let wanted = *wanting;
            if wanted <= 0.0 {
                continue;
            }
            if ledger.fills() {
                let room = (ledger.capacity - *held).max(0.0);
                *held += wanted.min(room);
                *wanting = (wanted - room).max(0.0);
            } else {
                // The last of a tank can't be drawn, unless it stood lower than that already.
                let left = (*held - (ledger.capacity - ledger.usable)).max(0.0);
                *held -= wanted.min(left);
                *wanting = (wanted - left).max(0.0);
            }
        }
    }
}
