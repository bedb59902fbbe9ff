//! A bank made ready for steps: current in and out, charge, voltage.

use quantity::{Charge, Current, Ratio, Resistance, Temperature, Time, Voltage};

use super::kibam::{Kibam, Stride, Wells};
use super::spec::BankSpec;

/// What charging does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stage {
    /// Taking what it is given.
    #[default]
    Bulk,
    /// Held at the charging voltage, taking less and less.
    Absorption,
    /// Full, held at the voltage that keeps it so.
    Float,
}

/// The charge of a bank, and where charging stands.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Charged {
    wells: Wells,
    stage: Stage,
}

/// What went in and out in a step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Flow {
    /// Into the bank's charge; negative if out of it.
    pub net: Current,
    /// Of the offer, what loads and charging used.
    pub taken: Current,
    /// Of the loads, what the bank could not give.
    pub unmet: Current,
    /// Charge lost on the way in, and by itself.
    pub lost: Charge,
    /// At the terminals, at the end of the step.
    pub voltage: Voltage,
    /// What charging does.
    pub stage: Stage,
    /// Whether charging is refused for cold.
    pub too_cold: bool,
}

/// Points of a rest voltage at 12 V by the part of the charge: trade-facts section 9c (common practice); below a
/// quarter from memory.
const LEAD_REST: [(f64, f64); 6] =
    [(0.0, 11.4), (0.1, 11.75), (0.25, 12.0), (0.5, 12.2), (0.75, 12.4), (1.0, 12.7)];
/// Points of the rest voltage of four cells, from memory of makers' curves.
const LFP_REST: [(f64, f64); 10] = [
    (0.0, 10.4),
    (0.05, 12.2),
    (0.1, 12.72),
    (0.2, 12.92),
    (0.4, 13.12),
    (0.6, 13.2),
    (0.8, 13.32),
    (0.9, 13.36),
    (0.97, 13.44),
    (1.0, 13.8),
];

const KNOTS: usize = 128;

/// A bank made ready for steps of one length at one temperature.
#[derive(Debug, Clone)]
pub struct Bank {
    lead: bool,
    stride: Stride,
    wells: Kibam,
    /// At the 20 hour rate, aged and at this temperature.
    capacity: Charge,
    rated: Charge,
    accepts: Current,
    bulk: Voltage,
    float: Voltage,
    tail: Current,
    stored: f64,
    leak: f64,
    too_cold: bool,
    resistance: Resistance,
    step: Time,
    rest: [f32; KNOTS + 2],
    /// Ohms against charging by the part of the charge.
    against: [f32; KNOTS + 2],
    lowest: Voltage,
}

impl Bank {
    pub(super) fn new(spec: &BankSpec, temperature: Temperature, step: Time) -> Self {
        let usual = spec.chemistry.defaults();
        let below = (25.0 - temperature.as_celsius()).clamp(-10.0, 60.0);
        let warmth = (1.0 - usual.cold * below).clamp(0.4, 1.05);
        let capacity = spec.capacity * (spec.health.as_plain() * warmth);
        let twelves = spec.nominal.as_volts() / 12.0;
        let lead = spec.chemistry.is_lead();
        let wells = if lead {
            let [ten, one] = usual.rates;
            let rated = [
                (capacity * one, Time::hours(1.0)),
                (capacity * ten, Time::hours(10.0)),
                (capacity, Time::hours(20.0)),
            ];
            Kibam::fit(rated).expect("the default rates of a chemistry fit")
        } else {
            Kibam { c: 1.0, k: 1.0, most: capacity }
        };
        let amps_of_an_hour = Current::amps(spec.capacity.as_amp_hours());
        let resistance = spec.resistance.unwrap_or(Voltage::volts(usual.drop * twelves) / amps_of_an_hour);
        let points: &[(f64, f64)] = if lead { &LEAD_REST } else { &LFP_REST };
        let rest = knots(|part| line(points, part) * twelves);
        let against = knots(|part| {
            if lead { charging_drop(part) * twelves / capacity.as_amp_hours() } else { resistance.as_ohms() }
        });
        let least = spec.least_charge.or(usual.least_charge);
        Self {
            lead,
            stride: wells.over(step),
            wells,
            capacity,
            rated: spec.capacity,
            accepts: amps_of_an_hour * spec.accepts.unwrap_or(usual.accepts),
            bulk: spec.bulk.unwrap_or(usual.bulk * twelves),
            float: spec.float.unwrap_or(usual.float * twelves),
            tail: amps_of_an_hour * usual.tail,
            stored: 1.0 / spec.in_per_out.unwrap_or(usual.in_per_out),
            leak: usual.leaks * (step / Time::days(30.0)),
            too_cold: least.is_some_and(|least| temperature < least),
            resistance,
            step,
            rest,
            against,
            lowest: Voltage::volts(if lead { 9.0 } else { 10.0 } * twelves),
        }
    }

    /// Full and at rest.
    pub fn full(&self) -> Charged {
        self.with_share(Ratio::plain(1.0))
    }

    /// At rest with this part of its charge.
    pub fn with_share(&self, part: Ratio) -> Charged {
        let held = self.wells.most * part.as_plain().clamp(0.0, 1.0);
        Charged {
            wells: if self.lead { self.wells.rest(held) } else { all_at_hand(held) },
            stage: Stage::Bulk,
        }
    }

    /// What it holds at the 20 hour rate, aged and at this temperature.
    pub fn capacity(&self) -> Charge {
        self.capacity
    }

    /// All of its charge, that which is bound included.
    pub fn held(&self, state: &Charged) -> Charge {
        state.wells.held()
    }

    /// The part of its charge that is left.
    #[inline]
    pub fn share(&self, state: &Charged) -> Ratio {
        Ratio::plain(state.wells.held() / self.wells.most)
    }

    /// The two wells.
    pub fn wells(&self, state: &Charged) -> Wells {
        state.wells
    }

    /// The voltage at which its terminals come to rest as its wells stand.
    #[inline]
    pub fn rest_voltage(&self, state: &Charged) -> Voltage {
        Voltage::volts(look_up(&self.rest, self.head(state)))
    }

    /// How full the well at hand is, from 0 to 1.
    #[inline]
    fn head(&self, state: &Charged) -> f64 {
        if self.lead {
            state.wells.available / (self.wells.most * self.wells.c)
        } else {
            state.wells.available / self.wells.most
        }
    }

    /// The voltage at the terminals with so much current into the bank, or out of it if negative.
    #[inline]
    pub fn voltage(&self, state: &Charged, into: Current) -> Voltage {
        let rest = self.rest_voltage(state);
        if into > Current::ZERO {
            let part = state.wells.held() / self.wells.most;
            rest + into * Resistance::ohms(look_up(&self.against, part))
        } else {
            // An emptier lead battery resists more (common practice: twice as much when empty).
            let empty = if self.lead { 2.0 - self.head(state) } else { 1.0 };
            (rest + into * self.resistance * empty).max(Voltage::ZERO)
        }
    }

    /// One step: loads are fed from the offer first, what is left of it charges the bank as far as it accepts, and
    /// what loads still ask for comes out of the bank. `limit` is the voltage that the strongest source is set to.
    #[inline]
    pub fn step(&self, state: &mut Charged, load: Current, offered: Current, limit: Voltage) -> Flow {
        let mut flow = Flow { too_cold: self.too_cold, ..Flow::default() };
        let before = state.wells.held();
        let leaked = before * self.leak;
        let direct = load.min(offered);
        let wanted = load - direct;
        let spare = offered - direct;
        if wanted > Current::ZERO {
            let most = self.most_drawn(state);
            let given = wanted.min(most);
            flow.unmet = wanted - given;
            flow.net = -given;
            if given > self.tail {
                state.stage = Stage::Bulk;
            }
        } else if spare > Current::ZERO && !self.too_cold {
            let taken = self.most_taken(state, limit).min(spare);
            self.advance(state, taken, spare);
            flow.net = taken * self.stored;
            flow.taken = taken;
            flow.lost = (taken - flow.net) * self.step;
        }
        let charging = flow.taken;
        flow.taken += direct;
        state.wells = self.moved(state.wells, flow.net);
        state.wells.available -= state.wells.available * self.leak;
        state.wells.bound -= state.wells.bound * self.leak;
        let _ = leaked;
        flow.lost =
            charging * self.step - (state.wells.held() - before) + (flow.net.min(Current::ZERO)) * self.step;
        let at_terminals = if flow.net > Current::ZERO { charging } else { flow.net };
        flow.voltage = self.voltage(state, at_terminals);
        if charging > Current::ZERO {
            flow.voltage = flow.voltage.min(self.ceiling(state.stage, limit).max(self.rest_voltage(state)));
        }
        flow.stage = state.stage;
        flow
    }

    fn most_drawn(&self, state: &Charged) -> Current {
        if self.lead {
            return self.stride.most_drawn(state.wells);
        }
        // Its protection cuts it off when it is empty.
        (state.wells.available / self.step).max(Current::ZERO)
    }

    /// The most that it takes from a charger set to this voltage.
    fn most_taken(&self, state: &Charged, limit: Voltage) -> Current {
        let room = if self.lead {
            self.stride.most_taken(state.wells) / self.stored
        } else {
            ((self.wells.most - state.wells.available) / self.step).max(Current::ZERO) / self.stored
        };
        let part = state.wells.held() / self.wells.most;
        let over = (self.ceiling(state.stage, limit) - self.rest_voltage(state)).max(Voltage::ZERO);
        let by_voltage = over / Resistance::ohms(look_up(&self.against, part));
        room.min(self.accepts).min(by_voltage)
    }

    fn ceiling(&self, stage: Stage, limit: Voltage) -> Voltage {
        let set = if stage == Stage::Float { self.float } else { self.bulk };
        if limit > Voltage::ZERO { set.min(limit) } else { set }
    }

    /// Goes on from bulk to absorption and float.
    fn advance(&self, state: &mut Charged, taken: Current, spare: Current) {
        if taken >= spare {
            return;
        }
        state.stage = match state.stage {
            Stage::Float => Stage::Float,
            _ if taken <= self.tail => Stage::Float,
            _ => Stage::Absorption,
        };
    }

    fn moved(&self, wells: Wells, into: Current) -> Wells {
        if !self.lead {
            let held = (wells.available + into * self.step).max(Charge::ZERO);
            return all_at_hand(held);
        }
        let next = self.stride.step(wells, into);
        Wells { available: next.available.max(Charge::ZERO), bound: next.bound.max(Charge::ZERO) }
    }

    /// The rated capacity, as new.
    pub fn rated(&self) -> Charge {
        self.rated
    }

    /// The voltage below which everything aboard has stopped.
    pub fn lowest(&self) -> Voltage {
        self.lowest
    }
}

fn all_at_hand(held: Charge) -> Wells {
    Wells { available: held, bound: Charge::ZERO }
}

/// Volts at a current of one hour's Ah by which a lead battery resists charging, by the part of its charge.
///
/// The form and its two constants are chosen so that the AGM bench test of trade-facts section 9c reaches its
/// charging voltage at 63.3 % at a rate of 0.4 C and takes its 5.5 hours to the tail.
fn charging_drop(part: f64) -> f64 {
    1.4 / libm::pow((1.0 - part).max(0.004), 1.31)
}

fn knots(value: impl Fn(f64) -> f64) -> [f32; KNOTS + 2] {
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "a table of volts")]
    std::array::from_fn(|at| value((at as f64 / KNOTS as f64).min(1.0)) as f32)
}

#[inline]
fn look_up(table: &[f32; KNOTS + 2], part: f64) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "a small number")]
    let place = part.clamp(0.0, 1.0) * KNOTS as f64;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to KNOTS")]
    let at = place as usize;
    #[allow(clippy::cast_precision_loss, reason = "a small number")]
    let beyond = place - at as f64;
    let (low, high) = (f64::from(table[at]), f64::from(table[at + 1]));
    low + (high - low) * beyond
}

/// A straight line between points.
fn line(points: &[(f64, f64)], part: f64) -> f64 {
    let mut last = points[0];
    for point in points {
        if part <= point.0 {
            let share = if point.0 > last.0 { (part - last.0) / (point.0 - last.0) } else { 0.0 };
            return last.1 + share * (point.1 - last.1);
        }
        last = *point;
    }
    last.1
}
