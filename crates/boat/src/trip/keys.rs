//! The keys of a trip plan, as one table: it drives the reader and the reference.

use quantity::Dimension as D;

use crate::format::{Key, Kind};

const fn need(name: &'static str, kind: Kind, about: &'static str) -> Key {
    Key { name, kind, required: true, about }
}

const fn may(name: &'static str, kind: Kind, about: &'static str) -> Key {
    Key { name, kind, required: false, about }
}

const LOW: Key = may("low", Kind::Quantity(D::Temperature), "The air before dawn; 15 °C if absent.");
const HIGH: Key = may("high", Kind::Quantity(D::Temperature), "The air in the afternoon; 24 °C if absent.");
const CLOUD: Key =
    may("cloud", Kind::Quantity(D::Ratio), "The part of the sky that is clouded; half if absent.");

pub(super) const LEVEL: &[Key] = &[
    need("store", Kind::Text, "The id of a store of the boat."),
    need("level", Kind::Quantity(D::Ratio), "How full it is."),
];

pub(super) const PLAN: &[Key] = &[
    may("boat", Kind::Text, "The boat's name."),
    need("crew", Kind::Integer(1, 40), "People aboard."),
    need("starts", Kind::Date, "The first day."),
    may("from", Kind::Clock, "When the crew takes her over; 16:00 if absent."),
    may("until", Kind::Clock, "When she is back on the last day; 09:00 if absent."),
    may("ends", Kind::Date, "The last day of the charter."),
    may("quiet_from", Kind::Clock, "No engine at rest from this time of the evening; 21:00 if absent."),
    may("quiet_until", Kind::Clock, "Nor before this time of the morning; 08:00 if absent."),
    LOW,
    HIGH,
    CLOUD,
    may(
        "water_each",
        Kind::Quantity(D::Volume),
        "Fresh water for each person a day; the boat's figure if absent.",
    ),
    may("flushes_each", Kind::Number(0, 30), "Flushes of each person a day; 5 if absent."),
    may("meals", Kind::Number(0, 10), "Hot meals a day; 2 if absent."),
    may("utc_offset", Kind::Signed(D::Time), "How far the clocks aboard are ahead of UTC, such as \"-4 h\"."),
    may("latitude", Kind::Signed(D::Angle), "Where she sails, north positive; the base's if absent."),
    may("longitude", Kind::Signed(D::Angle), "Where she sails, east positive; the base's if absent."),
    may("levels", Kind::Rows(LEVEL), "Stores that are not full (a waste tank: not empty) at the start."),
    may("off_at_night", Kind::Texts, "Ids of loads that are switched off for the night."),
    may("off", Kind::Texts, "Ids of loads that are not used at all."),
];

pub(super) const LEG: &[Key] = &[
    need("by", Kind::Choice(&["sail", "motor"]), "How she goes."),
    need("from", Kind::Clock, "When."),
    need("for", Kind::Quantity(D::Time), "How long."),
    may("rpm", Kind::Quantity(D::RotationalSpeed), "The engine's speed."),
];

pub(super) const RUN: &[Key] = &[
    need("from", Kind::Clock, "When."),
    need("for", Kind::Quantity(D::Time), "How long."),
    may("rpm", Kind::Quantity(D::RotationalSpeed), "The engine's speed."),
];

pub(super) const DAY: &[Key] = &[
    may("legs", Kind::Rows(LEG), "Under way."),
    may("engine", Kind::Rows(RUN), "Engine for the batteries while she lies still."),
    may(
        "night",
        Kind::Choice(&["anchored", "moored", "alongside"]),
        "Where she lies when she is not under way; anchored if absent.",
    ),
    may(
        "pedestal",
        Kind::Text,
        "Alongside: the current of the dock's pedestal, such as \"30 A\", or \"none\".",
    ),
    may("water", Kind::Bool, "Water tanks are filled when she comes in."),
    may("pump_out", Kind::Bool, "Waste tanks are pumped out when she comes in."),
    may("fuel", Kind::Bool, "Diesel is filled when she comes in."),
    may("gas", Kind::Bool, "Empty bottles are changed when she comes in."),
    may("chain", Kind::Quantity(D::Length), "Chain let out at anchor; 30 m if absent."),
    may("low", Kind::Quantity(D::Temperature), "The air before dawn; as in [plan] if absent."),
    may("high", Kind::Quantity(D::Temperature), "The air in the afternoon; as in [plan] if absent."),
    may("cloud", Kind::Quantity(D::Ratio), "The part of the sky that is clouded; as in [plan] if absent."),
];

pub(super) const READING: &[Key] = &[
    need("day", Kind::Integer(1, 400), "The day of the trip, from 1."),
    need("at", Kind::Clock, "When."),
    may("store", Kind::Text, "The id of a store of the boat."),
    may("voltage", Kind::Quantity(D::Voltage), "What the voltmeter of a bank shows."),
    may("level", Kind::Quantity(D::Ratio), "What the gauge shows, as a part of the whole."),
    may("engine", Kind::Quantity(D::Time), "Engine hours run since the start."),
];

/// The reference of the trip plan, in Markdown.
pub fn reference() -> String {
    let mut out = String::from(
        "# The trip plan\n\nWritten by `cargo xtask generate` from the plan's own table.\n\n\
         A trip plan is a TOML text that begins with `trip = 1`. It has one `[plan]`, a `[[days]]` for each day, and\n\
         a `[[readings]]` for whatever the crew read from its gauges on the way. Times of day are the clocks' aboard.\n\
         A key marked **needed** must be there.\n",
    );
    for (heading, keys) in [("[plan]", PLAN), ("[[days]]", DAY), ("[[readings]]", READING)] {
        out.push_str("\n## `");
        out.push_str(heading);
        out.push_str("`\n\n");
        crate::schema::keys(keys, &mut out, "");
    }
    out
}
