//! The trip cut into stretches in which every line runs at one rate, and the weather step by step.

use almanac::sky::{self, Turbidity};
use boat::diagnostic::Diagnostic;
use boat::model::{Activity, Boat, Liquid};
use boat::trip::{Trip, Weather};
use jiff::Timestamp;
use quantity::{Current, Length, Power, Temperature, TemperatureDifference, Time};

use super::feeds::{Feed, FeedKind, alternator_share};
use super::ledger::Ledgers;
use super::lines::{Account, Habit, Line, PART_EDGES, Take};
use super::timeline::{COLD, Call, DAY_MINUTES, Stretch, Timeline};
use super::{Draw, Segment, Shore};

/// What segments are laid from.
pub(super) struct Laid<'a> {
    pub(super) boat: &'a Boat,
    pub(super) timeline: &'a Timeline,
    pub(super) step: Time,
    pub(super) lines: &'a [Line],
    pub(super) feeds: &'a [Feed],
    pub(super) ledgers: &'a Ledgers,
}

/// A load that runs at a moment of the trip: its line, its first minute and how many minutes, and the part of its
/// rate that makes the charge right over whole minutes.
#[derive(Debug, Clone, Copy)]
struct Moment {
    line: usize,
    from: u32,
    to: u32,
    share: f64,
}

impl Laid<'_> {
    pub(super) fn segments(&self, notes: &mut Vec<Diagnostic>) -> Vec<Segment> {
        let moments = self.moments();
        let edges = self.edges(&moments);
        let mut segments: Vec<Segment> = Vec::new();
        for pair in edges.windows(2) {
            let (from, to) = (self.step_of(pair[0]), self.step_of(pair[1]));
            if from >= to {
                continue;
            }
            let Some(stretch) =
                self.timeline.stretches.iter().find(|one| (one.from..one.to).contains(&pair[0]))
            else {
                continue;
            };
            segments.push(self.segment(pair[0], from..to, stretch, &moments));
        }
        self.serve(&mut segments);
        let _ = notes;
        segments
    }

    fn step_of(&self, minute: u32) -> usize {
        let since = Time::minutes(f64::from(minute.saturating_sub(self.timeline.begin)));
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
        let step = (since / self.step).round() as usize;
        step
    }

    /// Every minute at which a rate may change.
    fn edges(&self, moments: &[Moment]) -> Vec<u32> {
        let line = self.timeline;
        let mut edges = vec![line.begin, line.end];
        for stretch in &line.stretches {
            edges.extend([stretch.from, stretch.to]);
            if stretch.rpm.is_some() {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some minutes")]
                edges.push(stretch.from + COLD.as_minutes() as u32);
            }
        }
        edges.extend(line.dark.iter().flat_map(|(from, to)| [*from, *to]));
        edges.extend(line.calls.iter().map(|call| call.at));
        edges.extend(moments.iter().flat_map(|moment| [moment.from, moment.to]));
        for day in 0..=line.end / DAY_MINUTES {
            edges.extend(PART_EDGES.iter().map(|edge| day * DAY_MINUTES + edge));
        }
        edges.retain(|edge| (line.begin..=line.end).contains(edge));
        edges.sort_unstable();
        edges.dedup();
        edges
    }

    /// Loads that run at a moment: windlass, thruster, starter.
    fn moments(&self) -> Vec<Moment> {
        use boat::model::Event;
        let mut moments = Vec::new();
        for (line, row) in self.lines.iter().enumerate() {
            let Habit::Moments(per, each) = row.habit else { continue };
            match per {
                Event::ChainMetre => {
                    for (at, chain) in &self.timeline.weighings {
                        moments.push(self.moment(line, *at, each * (*chain / Length::metres(1.0))));
                    }
                }
                Event::Berthing => {
                    moments.extend(self.timeline.berthings.iter().map(|at| self.moment(line, *at, each)));
                }
                Event::EngineStart => {
                    moments.extend(self.timeline.starts.iter().map(|at| self.moment(line, *at, each)));
                }
                Event::Flush | Event::Litre | Event::Meal => {}
            }
        }
        moments
    }

    fn moment(&self, line: usize, at: u32, lasts: Time) -> Moment {
        // Whole minutes that are whole steps too.
        let unit = self.step.as_minutes().max(1.0);
        let minutes = (lasts.as_minutes() / unit).ceil().max(1.0) * unit;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some minutes")]
        let whole = minutes as u32;
        let from = at.min(self.timeline.end.saturating_sub(whole)).max(self.timeline.begin);
        Moment { line, from, to: (from + whole).min(self.timeline.end), share: lasts.as_minutes() / minutes }
    }

    fn segment(
        &self,
        minute: u32,
        steps: std::ops::Range<usize>,
        stretch: &Stretch,
        moments: &[Moment],
    ) -> Segment {
        let mut segment = Segment {
            from: steps.start,
            to: steps.end,
            day: self.timeline.day_of(minute),
            activity: stretch.activity,
            engine: stretch.rpm.is_some(),
            draws: Vec::new(),
            mains: Vec::new(),
            thermostats: Vec::new(),
            flows: Vec::new(),
            offers: Vec::new(),
            panels: Vec::new(),
            combiners: Vec::new(),
            shore: None,
            inverter: None,
            served: Vec::new(),
            call: None,
        };
        for (at, line) in self.lines.iter().enumerate() {
            let mut share = line.share(self.timeline, stretch, minute);
            let now = moments.iter().filter(|one| one.line == at && (one.from..one.to).contains(&minute));
            share += now.map(|one| one.share).sum::<f64>();
            if share > 0.0 {
                self.run(&mut segment, at, line, share, stretch);
            }
        }
        self.offers(&mut segment, minute, stretch);
        segment
    }

    fn run(&self, segment: &mut Segment, at: usize, line: &Line, share: f64, stretch: &Stretch) {
        if matches!(line.habit, Habit::Thermostat { .. }) {
            segment.thermostats.push(at);
            return;
        }
        match (line.account, line.take) {
            (Account::Bank(bank), Take::Current(current)) => {
                segment.draws.push((at, bank, Draw::Current(current * share)));
            }
            (Account::Bank(bank), Take::Power(power)) => {
                segment.draws.push((at, bank, Draw::Power(power * share)));
            }
            (Account::Mains, take) => segment.mains.push((at, mains_power(take) * share)),
            (Account::Ledger(ledger), Take::Hourly(rate)) => segment.flows.push((at, ledger, rate * share)),
            (Account::Ledger(ledger), Take::Engine(engine)) => {
                segment.flows.push((at, ledger, self.burn(&engine, stretch)));
            }
            (Account::Bank(_), Take::Hourly(_) | Take::Engine(_))
            | (Account::Ledger(_), Take::Current(_) | Take::Power(_)) => {}
        }
    }

    /// Litres in an hour by the engine's speed; out of gear, what its alternators ask of it.
    fn burn(&self, engine: &crate::fuel::Engine, stretch: &Stretch) -> f64 {
        let Some(rpm) = stretch.rpm else { return 0.0 };
        if stretch.activity == Activity::Motoring {
            return engine.burn(rpm).map_or(0.0, quantity::VolumeRate::as_litres_per_hour);
        }
        // What a belt and an alternator make of a shaft's power (common practice: about half).
        let amps: f64 = self
            .feeds
            .iter()
            .filter_map(|feed| match feed.kind {
                FeedKind::Alternator(current, hot) if feed.allowed[stretch.activity as usize] => {
                    Some(current.as_amps() * hot * alternator_share(rpm))
                }
                _ => None,
            })
            .sum();
        let shaft = Power::watts(amps * 14.0 / 0.5);
        engine.burn_out_of_gear(shaft).map_or(0.0, quantity::VolumeRate::as_litres_per_hour)
    }

    /// What sources offer in a stretch.
    fn offers(&self, segment: &mut Segment, minute: u32, stretch: &Stretch) {
        let which = stretch.activity as usize;
        for (at, feed) in self.feeds.iter().enumerate() {
            let open = feed.allowed[which];
            match feed.kind {
                FeedKind::Alternator(current, hot) if open => {
                    let Some(rpm) = stretch.rpm else { continue };
                    let cold = f64::from(minute - stretch.from) < COLD.as_minutes();
                    let heat = if cold { 1.0 } else { hot };
                    let amps = current * (heat * alternator_share(rpm));
                    offer(segment, at, feed, amps);
                }
                FeedKind::Solar(..) if open && self.timeline.position_known => {
                    segment.panels.extend(feed.into.first().map(|bank| (at, *bank)));
                }
                FeedKind::Combiner(..) if open => segment.combiners.push(at),
                FeedKind::Shore(inlet, voltage) if open => {
                    if let Some(pedestal) = stretch.pedestal {
                        let limit = pedestal.min(inlet);
                        segment.shore = Some(Shore { most: limit * voltage, limit });
                    }
                }
                _ => {}
            }
        }
        if segment.shore.is_some() {
            for (at, feed) in self.feeds.iter().enumerate() {
                if let (FeedKind::Charger(current), true) = (feed.kind, feed.allowed[which]) {
                    offer(segment, at, feed, current);
                }
            }
        } else if !segment.mains.is_empty() {
            let inverter = self
                .feeds
                .iter()
                .enumerate()
                .find(|(_, feed)| matches!(feed.kind, FeedKind::Inverter(..)) && feed.allowed[which]);
            segment.inverter = inverter.and_then(|(at, feed)| feed.from.map(|bank| (at, bank)));
            if segment.inverter.is_none() {
                segment.mains.clear();
            }
        }
    }

    /// Marks the ledgers that a call fills or empties.
    fn serve(&self, segments: &mut [Segment]) {
        for call in &self.timeline.calls {
            let at = self.step_of(call.at);
            let Some(segment) = segments.iter_mut().find(|segment| segment.from >= at) else { continue };
            segment.call = Some(*call);
            for (place, ledger) in self.ledgers.all.iter().enumerate() {
                if serves(call, ledger.liquid) {
                    segment.served.push(place);
                }
            }
        }
        let _ = self.boat;
    }
}

/// The main bank comes last in the list, since it takes what the others leave.
fn offer(segment: &mut Segment, at: usize, feed: &Feed, current: Current) {
    segment.offers.extend(feed.into.iter().map(|bank| (at, *bank, current)));
}

fn mains_power(take: Take) -> Power {
    match take {
        Take::Power(power) => power,
        // Amperes of mains without a voltage: the lower mains in use.
        Take::Current(current) => current * quantity::Voltage::volts(120.0),
        Take::Hourly(_) | Take::Engine(_) => Power::ZERO,
    }
}

fn serves(call: &Call, liquid: Option<Liquid>) -> bool {
    match liquid {
        Some(Liquid::Water) => call.water,
        Some(Liquid::Waste) => call.pump_out,
        Some(Liquid::Diesel) => call.fuel,
        None => call.gas,
    }
}

/// Coldest and warmest hours of a day (common practice: before dawn, and in the middle of the afternoon).
const COLDEST: f64 = 4.0;

/// The air and the clear sky of each step, and what the clouds of each day leave.
///
/// A sky of cloud cover `n` leaves 1 - 0.75 n^3.4 of the clear sky's light: Kasten and Czeplak, Solar Energy 24
/// (1980) 177.
pub(super) fn weather(
    trip: &Trip,
    timeline: &Timeline,
    step: Time,
    steps: usize,
    feeds: &[Feed],
) -> (Vec<Temperature>, Vec<f32>, Vec<f64>) {
    let of_day = |day: usize| trip.days.get(day).and_then(|day| day.weather).unwrap_or(trip.weather);
    let minute = |at: usize| {
        #[allow(clippy::cast_precision_loss, reason = "steps of some weeks")]
        let since = (at as f64 + 0.5) * step.as_minutes();
        f64::from(timeline.begin) + since
    };
    let air: Vec<Temperature> = (0..steps)
        .map(|at| {
            let minute = minute(at);
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
            let day = (minute / f64::from(DAY_MINUTES)) as usize;
            air(of_day(day), (minute / 60.0) % 24.0)
        })
        .collect();
    let solar = feeds.iter().any(|feed| matches!(feed.kind, FeedKind::Solar(..))) && timeline.position_known;
    let sun = if solar { sunlight(timeline, step, &air) } else { vec![0.0; steps] };
    let cloud = (0..=trip.days.len().max(1))
        .map(|day| of_day(day.min(trip.days.len().saturating_sub(1))).cloud.as_plain())
        .collect();
    (air, sun, cloud)
}

/// The part of a clear sky's light that a cloud cover leaves.
pub(crate) fn clouds_leave(cover: f64) -> f64 {
    1.0 - 0.75 * libm::pow(cover.clamp(0.0, 1.0), 3.4)
}

fn air(weather: Weather, hour: f64) -> Temperature {
    let half = (weather.high - weather.low).as_kelvin() / 2.0;
    let turn = (hour - COLDEST) / 24.0 * std::f64::consts::TAU;
    weather.low + TemperatureDifference::kelvin(half * (1.0 - libm::cos(turn)))
}

/// Watts that a level panel of one watt gives under a clear sky.
fn sunlight(timeline: &Timeline, step: Time, air: &[Temperature]) -> Vec<f32> {
    let panel = sky::Panel::rated(Power::watts(1.0));
    let every = 10.0;
    #[allow(clippy::cast_precision_loss, reason = "steps of some weeks")]
    let total = air.len() as f64 * step.as_minutes();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousands")]
    let knots: Vec<f64> = (0..=(total / every).ceil() as usize + 1)
        .map(|knot| {
            #[allow(clippy::cast_precision_loss, reason = "some thousands")]
            let minute = f64::from(timeline.begin) + knot as f64 * every;
            let at: Timestamp = timeline.instant(minute);
            sky::clear(timeline.position, at, Turbidity::FAIR).as_watts_per_square_metre()
        })
        .collect();
    air.iter()
        .enumerate()
        .map(|(at, air)| {
            #[allow(clippy::cast_precision_loss, reason = "steps of some weeks")]
            let place = (at as f64 + 0.5) * step.as_minutes() / every;
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousands")]
            let knot = place as usize;
            #[allow(clippy::cast_precision_loss, reason = "some thousands")]
            let part = place - knot as f64;
            let light = knots[knot] * (1.0 - part) + knots[knot + 1] * part;
            #[allow(clippy::cast_possible_truncation, reason = "a part of a watt")]
            let watts = panel.power(sky::Irradiance::watts_per_square_metre(light), *air).as_watts() as f32;
            watts
        })
        .collect()
}
