//! The reckoning itself: one trip, step by step.

use quantity::{Current, Power, Temperature, Voltage};

use crate::battery::{Bank, Charged, Flow};
use crate::luck::Luck;
use crate::voyage::{Account, CHARGER_PASSES, Draw, FeedKind, Habit, Segment, Take, Voyage};

/// How far a thermostat lets it go either way, in kelvin (common practice).
const SWING: f64 = 1.0;
/// The voltage at which a charger puts its power into a 12 V bank (common practice).
const CHARGING_VOLTS: f64 = 14.2 / 12.0;

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
    inside: Vec<f64>,
    /// What thermostats follow from the air by, in one step.
    drift: Vec<f64>,
    steady: Steady,
}

/// What does not change within a stretch.
#[derive(Debug, Default)]
struct Steady {
    amps: Vec<Current>,
    watts: Vec<Power>,
    offered: Vec<Current>,
    /// Offered to several banks: what one does not take is left for those before it.
    joint: Current,
    takes_joint: Vec<bool>,
    limit: Vec<Voltage>,
    panel: Vec<f64>,
    panel_limit: Vec<Voltage>,
    flows: Vec<f64>,
}

impl<'a> Runner<'a> {
    /// Makes room for the trips of one voyage.
    pub fn new(voyage: &'a Voyage) -> Self {
        let (banks, lines, ledgers) = (voyage.banks.len(), voyage.lines.len(), voyage.ledgers.len());
        let drift = voyage
            .lines
            .iter()
            .map(|line| match line.habit {
                Habit::Thermostat { time_constant, .. } => 1.0 - libm::exp(-(voyage.step / time_constant)),
                _ => 0.0,
            })
            .collect();
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
            inside: vec![0.0; lines],
            drift,
            steady: Steady {
                amps: vec![Current::ZERO; banks],
                watts: vec![Power::ZERO; banks],
                offered: vec![Current::ZERO; banks],
                joint: Current::ZERO,
                takes_joint: vec![false; banks],
                limit: vec![Voltage::ZERO; banks],
                panel: vec![0.0; banks],
                panel_limit: vec![Voltage::ZERO; banks],
                flows: vec![0.0; ledgers],
            },
        }
    }

    /// Reckons one trip.
    pub fn run(&mut self, luck: &Luck, watch: &mut impl Watch) {
        let voyage = self.voyage;
        self.begin(luck);
        for segment in &voyage.segments {
            for ledger in &segment.served {
                let full =
                    if voyage.ledgers[*ledger].fills() { 0.0 } else { voyage.ledgers[*ledger].capacity };
                watch.served(*ledger, full - self.ledgers[*ledger]);
                self.ledgers[*ledger] = full;
            }
            self.settle(segment, luck);
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
    }

    fn begin(&mut self, luck: &Luck) {
        let voyage = self.voyage;
        let mean: f64 =
            voyage.air.iter().map(|air| air.as_celsius()).sum::<f64>() / voyage.steps.max(1) as f64;
        let air = Temperature::celsius(mean) + luck.air;
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
        for (at, line) in voyage.lines.iter().enumerate() {
            self.running[at] = false;
            if let Habit::Thermostat { inside, .. } = line.habit {
                self.inside[at] = inside.as_celsius();
            }
        }
    }

    /// Works out what does not change within a stretch.
    fn settle(&mut self, segment: &Segment, luck: &Luck) {
        let voyage = self.voyage;
        let steady = &mut self.steady;
        for bank in 0..voyage.banks.len() {
            steady.amps[bank] = Current::ZERO;
            steady.watts[bank] = Power::ZERO;
            steady.offered[bank] = Current::ZERO;
            steady.takes_joint[bank] = false;
            steady.limit[bank] = Voltage::ZERO;
            steady.panel[bank] = 0.0;
            steady.panel_limit[bank] = Voltage::ZERO;
        }
        steady.joint = Current::ZERO;
        for (line, bank, draw) in &segment.draws {
            match draw {
                Draw::Current(current) => steady.amps[*bank] += *current * luck.lines[*line],
                Draw::Power(power) => steady.watts[*bank] += *power * luck.lines[*line],
            }
        }
        let mains: Power = segment.mains.iter().map(|(line, power)| *power * luck.lines[*line]).sum();
        if let Some((feed, bank)) = segment.inverter {
            steady.watts[bank] += inverted(&voyage.feeds[feed].kind, mains);
        }
        let spare = segment.shore.map(|shore| (shore.most - mains).max(Power::ZERO) * CHARGER_PASSES);
        steady.offer(voyage, segment, luck, spare);
        for (feed, bank) in &segment.panels {
            if let FeedKind::Solar(rating, share) = voyage.feeds[*feed].kind {
                steady.panel[*bank] += rating.as_watts() * share * luck.feeds[*feed] * luck.sky[segment.day];
                steady.panel_limit[*bank] = steady.panel_limit[*bank].max(voyage.set_point(*feed));
            }
        }
        let hours = voyage.step.as_hours();
        for flow in &mut steady.flows {
            *flow = 0.0;
        }
        for (line, ledger, rate) in &segment.flows {
            let engine = matches!(voyage.lines[*line].take, Take::Engine(_));
            let factor = if engine { luck.lines[*line] * luck.engine } else { luck.lines[*line] };
            steady.flows[*ledger] += rate * factor * hours;
        }
    }

    fn step(&mut self, at: usize, segment: &Segment, luck: &Luck) {
        let voyage = self.voyage;
        for bank in 0..self.banks.len() {
            self.asked[bank] = self.steady.amps[bank];
        }
        self.wanting.copy_from_slice(&self.steady.flows);
        self.thermostats(at, segment, luck);
        let mut joint = self.steady.joint;
        for bank in &voyage.order {
            self.bank(*bank, at, segment, &mut joint);
        }
        self.pour();
    }

    /// One bank for one step. `joint` is what is left of an offer that several banks share.
    fn bank(&mut self, bank: usize, at: usize, segment: &Segment, joint: &mut Current) {
        let nominal = self.voyage.banks[bank].spec.nominal;
        let volts = self.flows[bank].voltage;
        let watts = self.steady.watts[bank];
        if watts > Power::ZERO {
            self.asked[bank] += watts / volts.max(nominal * 0.7);
        }
        let own = self.own_offer(bank, at);
        let shared = if self.steady.takes_joint[bank] { *joint } else { Current::ZERO };
        let (bridge, through) = self.bridge(bank, at, segment, *joint);
        let mut limit = self.steady.limit[bank];
        if self.steady.panel[bank] > 0.0 {
            limit = limit.max(self.steady.panel_limit[bank]);
        }
        if bridge > Current::ZERO {
            limit = limit.max(self.steady.limit[self.voyage.feeds[through].from.unwrap_or(bank)]);
        }
        let offered = own + shared + bridge;
        let flow = self.banks[bank].step(&mut self.charged[bank], self.asked[bank], offered, limit);
        *joint -= (flow.taken - own).max(Current::ZERO).min(shared);
        let crossed = (flow.taken - own - shared).max(Current::ZERO);
        if crossed > Current::ZERO {
            if let Some(from) = self.voyage.feeds[through].from {
                self.asked[from] += crossed;
            }
        }
        self.flows[bank] = flow;
    }

    /// What a bank's own sources offer it in a step.
    fn own_offer(&self, bank: usize, at: usize) -> Current {
        let sun = self.steady.panel[bank] * f64::from(self.voyage.sun[at]);
        let volts = self.flows[bank].voltage.max(self.voyage.banks[bank].spec.nominal);
        self.steady.offered[bank] + Power::watts(sun) / volts
    }

    /// What a combiner lets through to a bank, and which combiner: what the sources of the bank before it have over.
    /// It closes when that bank is at its voltage, and opens when its sources stop.
    fn bridge(&mut self, bank: usize, at: usize, segment: &Segment, joint: Current) -> (Current, usize) {
        for feed in &segment.combiners {
            let source = &self.voyage.feeds[*feed];
            let (FeedKind::Combiner(most, closes), Some(from)) = (source.kind, source.from) else { continue };
            if !source.into.contains(&bank) || from == bank {
                continue;
            }
            let shared = if self.steady.takes_joint[from] { joint } else { Current::ZERO };
            let over = (self.own_offer(from, at) + shared - self.asked[from]).max(Current::ZERO);
            self.joined[*feed] =
                over > Current::ZERO && (self.joined[*feed] || self.flows[from].voltage >= closes);
            if self.joined[*feed] {
                return (most.min(over), *feed);
            }
        }
        (Current::ZERO, 0)
    }

    /// Runs the thermostats of a stretch for one step.
    fn thermostats(&mut self, at: usize, segment: &Segment, luck: &Luck) {
        let voyage = self.voyage;
        let air = (voyage.air[at] + luck.air).as_celsius();
        let hours = voyage.step.as_hours();
        for (number, line) in voyage.lines.iter().enumerate() {
            let Habit::Thermostat { inside: keeps, pull, .. } = line.habit else { continue };
            let may = segment.thermostats.contains(&number) && !self.cut_out(line);
            let pull = pull / luck.lines[number];
            let keeps = keeps.as_celsius();
            // A refrigerator is warm above what it keeps, a heater's cabin cold below it.
            let off_by = if pull > 0.0 { self.inside[number] - keeps } else { keeps - self.inside[number] };
            let runs = may && if self.running[number] { off_by > -SWING } else { off_by > SWING };
            self.running[number] = runs;
            let goes_to = if runs { air - pull } else { air };
            self.inside[number] += self.drift[number] * (goes_to - self.inside[number]);
            if !runs {
                continue;
            }
            match (line.account, line.take) {
                (Account::Bank(bank), Take::Current(current)) => self.asked[bank] += current,
                (Account::Bank(bank), Take::Power(power)) => {
                    self.asked[bank] +=
                        power / self.flows[bank].voltage.max(voyage.banks[bank].spec.nominal * 0.7);
                }
                (Account::Ledger(ledger), Take::Hourly(rate)) => self.wanting[ledger] += rate * hours,
                _ => {}
            }
        }
    }

    /// Whether a load has stopped for want of voltage at its end of the cable.
    fn cut_out(&self, line: &crate::voyage::Line) -> bool {
        match (line.account, line.stops_below) {
            (Account::Bank(bank), Some(least)) => self.flows[bank].voltage < least,
            _ => false,
        }
    }

    /// Takes from tanks and bottles, fills waste tanks, and keeps what could not be.
    fn pour(&mut self) {
        for (at, ledger) in self.voyage.ledgers.iter().enumerate() {
            let wanted = self.wanting[at];
            if ledger.fills() {
                let room = (ledger.capacity - self.ledgers[at]).max(0.0);
                self.ledgers[at] += wanted.min(room);
                self.wanting[at] = (wanted - room).max(0.0);
            } else {
                // The last of a tank can't be drawn, unless it stood lower than that already.
                let left = (self.ledgers[at] - (ledger.capacity - ledger.usable)).max(0.0);
                self.ledgers[at] -= wanted.min(left);
                self.wanting[at] = (wanted - left).max(0.0);
            }
        }
    }
}

impl Steady {
    fn offer(&mut self, voyage: &Voyage, segment: &Segment, luck: &Luck, spare: Option<Power>) {
        let mut spare = spare;
        for (feed, bank, current) in &segment.offers {
            let source = &voyage.feeds[*feed];
            let mut current = *current * luck.feeds[*feed];
            match source.kind {
                FeedKind::Alternator(..) => current = current * luck.engine.min(1.3),
                FeedKind::Charger(_) => {
                    let volts = voyage.banks[*bank].spec.nominal * CHARGING_VOLTS;
                    let most = spare.map_or(current, |spare| spare / volts);
                    // A charger with several banks gives them one current, taken off the pedestal once.
                    if source.into.first() == Some(bank) {
                        spare = spare.map(|spare| spare - current.min(most) * volts);
                    }
                    current = current.min(most);
                }
                _ => {}
            }
            if source.into.len() > 1 {
                if source.into.first() == Some(bank) {
                    self.joint += current;
                }
                self.takes_joint[*bank] = true;
            } else {
                self.offered[*bank] += current;
            }
            self.limit[*bank] = self.limit[*bank].max(voyage.set_point(*feed));
        }
    }
}

/// What an inverter takes from its bank for so much mains.
fn inverted(kind: &FeedKind, mains: Power) -> Power {
    let FeedKind::Inverter(most, idle, share) = kind else { return Power::ZERO };
    // It draws its own only while somebody uses it: the part of the time in which it is at full power at least.
    let part = if *most > Power::ZERO { (mains / *most).min(1.0) } else { 0.0 };
    mains.min(*most) * (1.0 / share) + *idle * part
}
