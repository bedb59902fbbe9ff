//! What does not change within a stretch of a trip.

use quantity::{Current, Power, Voltage};

use super::thermostat::Thermostat;
use crate::luck::Luck;
use crate::voyage::{CHARGER_PASSES, Draw, FeedKind, Segment, Take, Voyage};

/// The voltage at which a charger puts its power into a 12 V bank (common practice).
const CHARGING_VOLTS: f64 = 14.2 / 12.0;
/// Below this part of a bank's nominal voltage a load no longer takes more amperes for its watts (common practice).
pub(super) const LEAST_VOLTS: f64 = 0.7;

/// What does not change within a stretch.
#[derive(Debug, Default)]
pub(super) struct Steady {
    /// By bank.
    pub(super) seats: Vec<Seat>,
    /// Offered to several banks: what one does not take is left for those before it.
    pub(super) joint: Current,
    pub(super) bridges: Vec<Bridge>,
    /// What a step takes from each ledger: litres or kilograms.
    flows: Vec<f64>,
    /// The ledgers that may change.
    pub(super) pours: Vec<Pour>,
}

/// A combiner that may close between two banks.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bridge {
    pub(super) feed: usize,
    pub(super) from: usize,
    pub(super) into: usize,
    pub(super) most: Current,
    pub(super) closes: Voltage,
}

/// A ledger that something is taken from, or put into.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pour {
    pub(super) ledger: usize,
    /// Litres or kilograms in a step, thermostats not counted.
    pub(super) flow: f64,
    fills: bool,
    capacity: f64,
    /// What can't be drawn.
    last: f64,
}

impl Pour {
    /// Takes from tanks and bottles, fills waste tanks, and keeps what could not be.
    #[inline]
    pub(super) fn step(&self, held: &mut f64, wanting: &mut f64) {
        let wanted = *wanting;
        if self.fills {
            let room = (self.capacity - *held).max(0.0);
            *held += wanted.min(room);
            *wanting = (wanted - room).max(0.0);
        } else {
            // The last of a tank can't be drawn, unless it stood lower than that already.
            let left = (*held - self.last).max(0.0);
            *held -= wanted.min(left);
            *wanting = (wanted - left).max(0.0);
        }
    }
}

/// What does not change for a bank.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Seat {
    /// What loads ask for in amperes, and in watts.
    pub(super) amps: Current,
    pub(super) watts: Power,
    /// What its own sources offer, the sun not counted.
    offered: Current,
    pub(super) takes_joint: bool,
    /// A combiner may join it to a bank before it.
    pub(super) bridged: bool,
    /// The highest set point of its sources, without and with the sun.
    pub(super) set_point: Voltage,
    pub(super) limit: Voltage,
    /// Watts of its panels for each watt of a panel of one watt.
    panel: f64,
    nominal: Voltage,
    /// The least voltage at which watts become amperes.
    pub(super) least: Voltage,
}

impl Seat {
    /// Whether its sources may offer it anything in the stretch.
    fn is_offered(&self, joint: Current) -> bool {
        self.offered > Current::ZERO || self.panel > 0.0 || (self.takes_joint && joint > Current::ZERO)
    }

    /// What a bank's own sources offer it in a step.
    #[inline]
    pub(super) fn own_offer(&self, sun: f64, volts: Voltage) -> Current {
        let watts = self.panel * sun;
        if watts > 0.0 { self.offered + Power::watts(watts) / volts.max(self.nominal) } else { self.offered }
    }
}

impl Steady {
    /// Room for a voyage.
    pub(super) fn new(voyage: &Voyage) -> Self {
        Self {
            seats: vec![Seat::default(); voyage.banks.len()],
            joint: Current::ZERO,
            bridges: Vec::new(),
            flows: vec![0.0; voyage.ledgers.len()],
            pours: Vec::with_capacity(voyage.ledgers.len()),
        }
    }

    /// Works out what does not change within a stretch. `joined` tells which combiners have closed.
    pub(super) fn settle(&mut self, voyage: &Voyage, segment: &Segment, luck: &Luck, joined: &mut [bool]) {
        for (seat, bank) in self.seats.iter_mut().zip(&voyage.banks) {
            let nominal = bank.spec.nominal;
            *seat = Seat { nominal, least: nominal * LEAST_VOLTS, ..Seat::default() };
        }
        self.joint = Current::ZERO;
        for (line, bank, draw) in &segment.draws {
            match draw {
                Draw::Current(current) => self.seats[*bank].amps += *current * luck.lines[*line],
                Draw::Power(power) => self.seats[*bank].watts += *power * luck.lines[*line],
            }
        }
        let mains: Power = segment.mains.iter().map(|(line, power)| *power * luck.lines[*line]).sum();
        if let Some((feed, bank)) = segment.inverter {
            self.seats[bank].watts += inverted(&voyage.feeds[feed].kind, mains);
        }
        let spare = segment.shore.map(|shore| (shore.most - mains).max(Power::ZERO) * CHARGER_PASSES);
        self.offer(voyage, segment, luck, spare);
        self.sun(voyage, segment, luck);
        self.bridges(voyage, segment, joined);
        let hours = voyage.step.as_hours();
        self.flows.fill(0.0);
        for (line, ledger, rate) in &segment.flows {
            let engine = matches!(voyage.lines[*line].take, Take::Engine(_));
            let factor = if engine { luck.lines[*line] * luck.engine } else { luck.lines[*line] };
            self.flows[*ledger] += rate * factor * hours;
        }
    }

    fn sun(&mut self, voyage: &Voyage, segment: &Segment, luck: &Luck) {
        for (feed, bank) in &segment.panels {
            if let FeedKind::Solar(rating, share) = voyage.feeds[*feed].kind {
                let seat = &mut self.seats[*bank];
                seat.panel += rating.as_watts() * share * luck.feeds[*feed] * luck.sky[segment.day];
                seat.limit = seat.limit.max(voyage.set_point(*feed));
            }
        }
        for seat in &mut self.seats {
            seat.limit = if seat.panel > 0.0 { seat.limit.max(seat.set_point) } else { seat.set_point };
        }
    }

    /// Finds the combiners that may close: where the bank before one is offered nothing, it opens.
    fn bridges(&mut self, voyage: &Voyage, segment: &Segment, joined: &mut [bool]) {
        self.bridges.clear();
        for feed in segment.combiners.iter().copied() {
            let source = &voyage.feeds[feed];
            let (FeedKind::Combiner(most, closes), Some(from)) = (source.kind, source.from) else { continue };
            if !self.seats[from].is_offered(self.joint) {
                joined[feed] = false;
                continue;
            }
            for into in source.into.iter().copied().filter(|into| *into != from) {
                self.seats[into].bridged = true;
                self.bridges.push(Bridge { feed, from, into, most, closes });
            }
        }
    }

    /// Finds the ledgers that may change.
    pub(super) fn pour(&mut self, voyage: &Voyage, thermostats: &[Thermostat]) {
        self.pours.clear();
        for (number, ledger) in voyage.ledgers.iter().enumerate() {
            let flow = self.flows[number];
            if flow > 0.0 || thermostats.iter().any(|thermostat| thermostat.may_take(number)) {
                let last = ledger.capacity - ledger.usable;
                self.pours.push(Pour {
                    ledger: number,
                    flow,
                    fills: ledger.fills(),
                    capacity: ledger.capacity,
                    last,
                });
            }
        }
    }

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
                self.seats[*bank].takes_joint = true;
            } else {
                self.seats[*bank].offered += current;
            }
            let seat = &mut self.seats[*bank];
            seat.set_point = seat.set_point.max(voyage.set_point(*feed));
        }
    }
}

/// What an inverter takes from its bank for so much mains.
pub(crate) fn inverted(kind: &FeedKind, mains: Power) -> Power {
    let FeedKind::Inverter(most, idle, share) = kind else { return Power::ZERO };
    // It draws its own only while somebody uses it: the part of the time in which it is at full power at least.
    let part = if *most > Power::ZERO { (mains / *most).min(1.0) } else { 0.0 };
    mains.min(*most) * (1.0 / share) + *idle * part
}
