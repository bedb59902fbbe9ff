//! Which calls at docks keep tanks and bottles within their limits, in which drawings: arithmetic, since nothing
//! that is drawn from a tank hangs on how full it is.

use boat::model::Liquid;

use super::bits::Bits;
use super::costs::Costs;
use super::course::{Course, Trace};
use super::menu::{DIESEL, Deeds, GAS, PUMP_OUT, SERVICES, WATER, calls_cost};
use crate::voyage::Ledger;

/// Added calls of one service, and the drawings in which they are enough.
#[derive(Debug, Clone)]
struct Enough {
    mask: u64,
    drawings: Bits,
}

/// For each service, all calls worth looking at.
pub(super) struct Tanks {
    lists: [Vec<Enough>; SERVICES],
    nights: u64,
    /// Whether all sets of calls were looked at.
    pub(super) whole: bool,
}

/// The service that a ledger needs.
pub(super) fn service(ledger: &Ledger) -> usize {
    match ledger.liquid {
        Some(Liquid::Water) => WATER,
        Some(Liquid::Waste) => PUMP_OUT,
        Some(Liquid::Diesel) => DIESEL,
        None => GAS,
    }
}

/// From one moment of the trip to another without service: the drawings in which each service's tanks bear it.
/// Moments are the start, each day's end of sailing, and hand-back.
struct Spans {
    moments: usize,
    bears: Vec<Bits>,
}

impl Spans {
    fn between(&self, from: usize, to: usize) -> &Bits {
        &self.bears[from * self.moments + to]
    }
}

impl Tanks {
    /// With nights, habits and engine hours as chosen. `kept` says which ledgers are to be kept; `least` how many
    /// drawings have to be.
    pub(super) fn new(
        course: &Course<'_>,
        traces: &[&Trace],
        deeds: &Deeds,
        kept: &[bool],
        (calls, least): (&[bool], usize),
    ) -> Self {
        let used = used(course, traces, deeds);
        let mut whole = true;
        let lists = std::array::from_fn(|service| {
            let spans = spans(course, &used, kept, service);
            let mut forced = planned(course, service);
            if service == WATER || service == PUMP_OUT {
                forced |= deeds.nights;
            }
            let mut search = Search { spans: &spans, forced, calls, least, found: Vec::new() };
            search.day(0, 0, 0, &Bits::all(course.lucks.len()));
            whole &= search.found.len() <= MOST;
            thin(search.found)
        });
        Self { lists, nights: deeds.nights, whole }
    }

    /// The cheapest calls with which, of these drawings, enough are kept.
    pub(super) fn cheapest(
        &self,
        drawings: &Bits,
        least: usize,
        costs: &Costs,
    ) -> Option<(f64, [u64; SERVICES])> {
        let mut best = None;
        self.choose(0, [0; SERVICES], drawings, least, costs, &mut best);
        best
    }

    /// In how many drawings the calls that do most keep a service's tanks.
    pub(super) fn widest(&self, service: usize) -> usize {
        self.lists[service].iter().map(|one| one.drawings.count()).max().unwrap_or(0)
    }

    /// In how many drawings a service's tanks need no call.
    pub(super) fn without(&self, service: usize) -> usize {
        self.lists[service].iter().find(|one| one.mask == 0).map_or(0, |one| one.drawings.count())
    }

    fn choose(
        &self,
        service: usize,
        calls: [u64; SERVICES],
        drawings: &Bits,
        least: usize,
        costs: &Costs,
        best: &mut Option<(f64, [u64; SERVICES])>,
    ) {
        if service == SERVICES {
            *best = Some((calls_cost(&calls, self.nights, costs), calls));
            return;
        }
        for one in &self.lists[service] {
            let mut calls = calls;
            calls[service] = one.mask;
            let cost = calls_cost(&calls, self.nights, costs);
            let dear = best.as_ref().is_some_and(|(cheapest, _)| cost >= *cheapest);
            if dear || drawings.shared(&one.drawings) < least {
                continue;
            }
            self.choose(service + 1, calls, &drawings.and(&one.drawings), least, costs, best);
        }
    }
}

/// What was used up to each moment, by drawing, ledger and moment.
fn used(course: &Course<'_>, traces: &[&Trace], deeds: &Deeds) -> Vec<Vec<Vec<f64>>> {
    let ledgers = course.plain.ledgers.len();
    // A heater that is not used burns nothing.
    let heated: Vec<bool> = (0..ledgers).map(|ledger| course.has_thermostat(ledger)).collect();
    let demands: Vec<_> = (0..course.pieces()).map(|piece| course.demand(piece, deeds)).collect();
    course
        .lucks
        .iter()
        .zip(traces)
        .map(|(luck, trace)| {
            let mut sums = vec![vec![0.0]; ledgers];
            let mut now = vec![0.0; ledgers];
            for (piece, demand) in demands.iter().enumerate() {
                for (line, ledger, amount) in demand {
                    now[*ledger] += amount * course.factor(*line, luck);
                }
                for ledger in 0..ledgers {
                    if heated[ledger] {
                        now[ledger] += trace.thermostats[piece][ledger];
                    }
                    // The first piece and every second one end where she lies for the night; the last at hand-back.
                    if piece % 2 == 0 || piece + 1 == course.pieces() {
                        sums[ledger].push(now[ledger]);
                    }
                }
            }
            sums
        })
        .collect()
}

fn spans(course: &Course<'_>, used: &[Vec<Vec<f64>>], kept: &[bool], wanted: usize) -> Spans {
    let moments = course.pieces() / 2 + 2;
    let drawings = course.lucks.len();
    let mut bears = vec![Bits::all(drawings); moments * moments];
    for (place, ledger) in course.plain.ledgers.iter().enumerate() {
        if service(ledger) != wanted || !kept[place] {
            continue;
        }
        for from in 0..moments {
            for to in from..moments {
                let mut bits = Bits::none(drawings);
                for (number, luck) in course.lucks.iter().enumerate() {
                    let sums = &used[number][place];
                    let start = (from == 0).then(|| luck.ledgers[place] * ledger.capacity);
                    if bears_it(ledger, start, sums[to] - sums[from]) {
                        bits.put(number);
                    }
                }
                bears[from * moments + to].keep(&bits);
            }
        }
    }
    Spans { moments, bears }
}

/// Whether a ledger that was just served, or starts with so much, bears a use.
fn bears_it(ledger: &Ledger, start: Option<f64>, used: f64) -> bool {
    if ledger.fills() {
        return start.unwrap_or(0.0) + used <= ledger.usable * (1.0 + 1e-12);
    }
    let reserve = ledger.capacity - ledger.usable;
    let held = start.unwrap_or(ledger.capacity);
    held >= reserve * (1.0 - 1e-12) && used <= held - reserve + 1e-9
}

/// The days on which the plan itself has a service.
fn planned(course: &Course<'_>, service: usize) -> u64 {
    let mut mask = 0;
    for call in &course.plain.timeline.calls {
        let served = [call.water, call.pump_out, call.fuel, call.gas][service];
        if served {
            mask |= 1 << call.day;
        }
    }
    mask
}

/// All sets of calls of one service that are enough in enough drawings.
struct Search<'a> {
    spans: &'a Spans,
    forced: u64,
    calls: &'a [bool],
    least: usize,
    found: Vec<Enough>,
}

impl Search<'_> {
    fn day(&mut self, day: usize, last: usize, mask: u64, drawings: &Bits) {
        if self.found.len() > MOST {
            return;
        }
        let days = self.spans.moments - 2;
        if day == days {
            let drawings = drawings.and(self.spans.between(last, days + 1));
            if drawings.count() >= self.least {
                self.found.push(Enough { mask, drawings });
            }
            return;
        }
        let forced = self.forced >> day & 1 == 1;
        let until = drawings.and(self.spans.between(last, day + 1));
        if until.count() < self.least {
            return;
        }
        if !forced {
            self.day(day + 1, last, mask, drawings);
        }
        if forced {
            self.day(day + 1, day + 1, mask, &until);
        } else if self.calls.get(day).copied().unwrap_or(false) {
            self.day(day + 1, day + 1, mask | 1 << day, &until);
        }
    }
}

/// More sets of calls than any week has; a trip that has more is not searched to its end.
const MOST: usize = 4096;

/// Leaves out what has more calls than another and keeps no drawing more.
fn thin(mut found: Vec<Enough>) -> Vec<Enough> {
    found.sort_by_key(|one| (one.mask.count_ones(), one.mask));
    let mut kept: Vec<Enough> = Vec::new();
    for one in found {
        let idle = kept.iter().any(|other| other.mask & !one.mask == 0 && other.drawings == one.drawings);
        if !idle {
            kept.push(one);
        }
    }
    kept
}
