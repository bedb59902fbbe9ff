//! The sources of a boat in the reckoning, and what a plan asks of them that they can't give.

use boat::diagnostic::Diagnostic;
use boat::model::{Activity, Boat, Id, SourceId, SourceKind, StoreId};
use boat::trip::Trip;
use quantity::{Current, Power, Ratio, RotationalSpeed, Voltage};

use super::timeline::Timeline;
use crate::stance::Stance;

/// What a source is, in the reckoning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FeedKind {
    /// A generator: its rating, and what is left of it hot.
    Alternator(Current, f64),
    /// A charger, by its rating.
    Charger(Current),
    /// A panel: its rating, and what shade and wiring leave.
    Solar(Power, f64),
    /// The shore inlet: the current that it bears, its voltage.
    Shore(Current, Voltage),
    /// An inverter: what it gives, what it draws empty, and the part of its input that it passes on.
    Inverter(Power, Power, f64),
    /// A combiner: the current that it bears, and the voltage from which it joins.
    Combiner(Current, Voltage),
}

/// A source in the reckoning.
#[derive(Debug, Clone)]
pub struct Feed {
    /// The source.
    pub source: SourceId,
    /// Its kind and rating.
    pub kind: FeedKind,
    /// The banks that it fills, by their places.
    pub into: Vec<usize>,
    /// The bank that it takes from.
    pub from: Option<usize>,
    /// The voltage that it is set to; without one, the bank's own limit holds.
    pub voltage: Voltage,
    /// Whether it may give, by activity in the order of [`Activity::ALL`].
    pub allowed: [bool; 6],
    /// How far the figure may be off.
    pub spread: f64,
}

/// No set point of its own.
const OWN_LIMIT: Voltage = Voltage::volts(1000.0);
/// A combiner that the file gives no voltage joins when a 12 V bank is clearly being charged (common practice).
const JOINS: Voltage = Voltage::volts(13.3);
/// Mains of the boat's country is not known: the lower of the two in use is the careful one (common practice).
const LOWER_MAINS: Voltage = Voltage::volts(120.0);
/// What a charger passes on of the mains that it takes (common practice).
pub(crate) const CHARGER_PASSES: f64 = 0.85;

/// How far ratings are usually off in use (our judgement).
fn usual_spread(kind: &SourceKind) -> f64 {
    match kind {
        SourceKind::Alternator(_) => 0.15,
        SourceKind::Solar(_) => 0.2,
        SourceKind::Charger(_) | SourceKind::Shore(_) | SourceKind::Inverter(_) | SourceKind::Combiner(_) => {
            0.05
        }
    }
}

/// The part of an alternator's rating at an engine speed, before its heat.
///
/// A straight line between points of a usual small-engine alternator on a pulley of about two to one
/// (common practice: nothing below idle, half at a fast idle, nearly all when cruising).
pub(super) fn alternator_share(rpm: RotationalSpeed) -> f64 {
    const POINTS: [(f64, f64); 6] =
        [(600.0, 0.0), (850.0, 0.35), (1200.0, 0.6), (1500.0, 0.75), (2200.0, 0.95), (3000.0, 1.0)];
    let rpm = rpm.as_rpm();
    let mut last = POINTS[0];
    for point in POINTS {
        if rpm <= point.0 {
            let part = if point.0 > last.0 { (rpm - last.0) / (point.0 - last.0) } else { 0.0 };
            return (last.1 + part * (point.1 - last.1)).max(0.0);
        }
        last = point;
    }
    1.0
}

/// All sources of a boat.
pub(super) fn feeds(boat: &Boat, stances: &[Stance; 6], banks: &[StoreId]) -> Vec<Feed> {
    let place = |store: &StoreId| banks.iter().position(|bank| bank == store);
    let first: Vec<usize> = if banks.is_empty() { Vec::new() } else { vec![0] };
    boat.feeds
        .iter_ids()
        .map(|(source, row)| {
            let share = row.share.map(Ratio::as_plain);
            let kind = match row.kind {
                SourceKind::Alternator(current) => FeedKind::Alternator(current, share.unwrap_or(0.6)),
                SourceKind::Charger(current) => FeedKind::Charger(current * share.unwrap_or(1.0)),
                SourceKind::Solar(power) => FeedKind::Solar(power, share.unwrap_or(0.6)),
                SourceKind::Shore(current) => FeedKind::Shore(current, row.voltage.unwrap_or(LOWER_MAINS)),
                SourceKind::Inverter(power) => {
                    FeedKind::Inverter(power, row.idle.unwrap_or_default(), share.unwrap_or(0.87))
                }
                SourceKind::Combiner(current) => FeedKind::Combiner(current, row.closes.unwrap_or(JOINS)),
            };
            let into: Vec<usize> = row.into.iter().filter_map(place).collect();
            let set = !matches!(row.kind, SourceKind::Shore(_) | SourceKind::Inverter(_));
            Feed {
                source,
                kind,
                into: if row.into.is_empty() { first.clone() } else { into },
                from: row.from.first().and_then(place).or(first.first().copied()),
                voltage: row.voltage.filter(|_| set).unwrap_or(OWN_LIMIT),
                allowed: std::array::from_fn(|which| stances[which].allows(boat, &row.when)),
                spread: row.give_or_take.map_or_else(|| usual_spread(&row.kind), Ratio::as_plain),
            }
        })
        .collect()
}

/// The banks in the order in which a step reckons them: what a bank takes through a combiner is a load of the bank
/// before it, so it comes first; of banks that share a source, the first in the file comes last.
pub(super) fn order(banks: usize, feeds: &[Feed]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..banks).rev().collect();
    // A chain of combiners may need a pass for each of its banks; a ring of them never settles.
    for _ in 0..banks {
        for feed in feeds.iter().filter(|feed| matches!(feed.kind, FeedKind::Combiner(..))) {
            let Some(from) = feed.from else { continue };
            for into in feed.into.iter().filter(|into| **into != from) {
                let place = |bank: usize| order.iter().position(|one| *one == bank);
                if let (Some(a), Some(b)) = (place(*into), place(from)) {
                    if a > b {
                        let moved = order.remove(a);
                        order.insert(b, moved);
                    }
                }
            }
        }
    }
    order
}

/// What the plan asks of docks and sources that is not there.
pub(super) fn check(
    boat: &Boat,
    trip: &Trip,
    timeline: &Timeline,
    feeds: &[Feed],
    faults: &mut Vec<Diagnostic>,
    notes: &mut Vec<Diagnostic>,
) {
    let inlet = feeds.iter().any(|feed| matches!(feed.kind, FeedKind::Shore(..)));
    for day in &trip.days {
        if day.dock.pedestal.is_some() && !inlet {
            faults.push(
                Diagnostic::error(
                    "no-inlet",
                    day.span,
                    "The boat file has no shore inlet, so a pedestal is of no use.",
                )
                .expected("a source of kind \"shore\" in the boat file")
                .mend("Take `pedestal` out of the plan, or add the inlet to the boat file."),
            );
        }
        let dock = &day.dock;
        if day.night == Activity::Alongside && dock.pedestal.is_none() && !dock.no_pedestal && inlet {
            notes.push(
                Diagnostic::warning(
                    "no-pedestal",
                    day.span,
                    "A night alongside with no pedestal: it is counted without shore power.",
                )
                .expected("pedestal = \"30 A\", or pedestal = \"none\"")
                .mend("Say what the dock gives."),
            );
        }
        if day.night != Activity::Alongside && (dock.pedestal.is_some()) {
            faults.push(
                Diagnostic::error(
                    "not-alongside",
                    day.span,
                    "There is no pedestal where she does not lie alongside.",
                )
                .expected("night = \"alongside\" with a pedestal")
                .mend("Change `night`, or take `pedestal` out."),
            );
        }
    }
    uncharged(boat, trip, timeline, feeds, notes);
}

/// Banks that nothing fills.
fn uncharged(boat: &Boat, trip: &Trip, timeline: &Timeline, feeds: &[Feed], notes: &mut Vec<Diagnostic>) {
    let banks = boat.stores.iter().filter(|store| store.bank().is_some());
    for (place, store) in banks.enumerate() {
        let fills = |feed: &&Feed| {
            feed.into.contains(&place) && !matches!(feed.kind, FeedKind::Shore(..) | FeedKind::Inverter(..))
        };
        if !feeds.iter().any(|feed| fills(&feed)) {
            notes.push(
                Diagnostic::warning(
                    "no-charger",
                    trip.span,
                    format!("Nothing in the boat file charges \"{}\".", store.name),
                )
                .expected("a source with this bank in `into`")
                .mend("Add its alternator, charger, panel or combiner to the boat file."),
            );
        }
    }
    let runs = timeline.stretches.iter().any(|stretch| stretch.rpm.is_some());
    let engine = feeds
        .iter()
        .any(|feed| matches!(feed.kind, FeedKind::Alternator(..)) && feed.allowed.contains(&true));
    if runs && !engine {
        notes.push(
            Diagnostic::warning(
                "no-charger",
                trip.span,
                "The engine runs, but the boat file has no alternator that charges then.",
            )
            .expected("a source of kind \"alternator\" whose `when` can hold while motoring")
            .mend("Add it, or look at [modes.motoring]."),
        );
    }
}

/// Without a position the sun is unknown.
pub(super) fn note_position(trip: &Trip, timeline: &Timeline, feeds: &[Feed], notes: &mut Vec<Diagnostic>) {
    if timeline.position_known {
        return;
    }
    let solar = feeds.iter().any(|feed| matches!(feed.kind, FeedKind::Solar(..)));
    let what = if solar {
        "Neither plan nor boat file says where she sails: panels are counted as giving nothing, nights as on the equator."
    } else {
        "Neither plan nor boat file says where she sails: nights are counted as on the equator."
    };
    notes.push(
        Diagnostic::warning("no-position", trip.span, what)
            .expected("latitude and longitude in [plan], or in [boat] of the boat file")
            .mend("Add them, such as latitude = \"43.9°\" and longitude = \"-69.6°\"."),
    );
}

impl Feed {
    /// Its place among the sources of the boat file.
    pub fn place(&self) -> usize {
        self.source.index()
    }
}
