//! The table's part about stores, what fills and empties them, what the boat is doing, and ground tackle.

use quantity::Dimension as D;

use super::sections::{NAME, SOURCE, may, need};
use super::{Key, Kind};

const ITEM: Key = may("item", Kind::Ref("items"), "The item that it belongs to.");

const GIVE_OR_TAKE: Key = may(
    "give_or_take",
    Kind::Quantity(D::Ratio),
    "How far the figure may be off either way, two times in three; a usual value stands in if absent.",
);

/// What a store holds, in the order of [`crate::model::StoreKind`]'s reading.
pub(crate) const STORE_KINDS: &[&str] = &["battery", "water", "waste", "diesel", "gas"];
pub(crate) const CHEMISTRIES: &[&str] = &["flooded", "agm", "gel", "lfp"];

pub(crate) const STORES: &[Key] = &[
    NAME,
    ITEM,
    need("kind", Kind::Choice(STORE_KINDS), "What it holds."),
    need(
        "capacity",
        Kind::OneOf(&[D::Charge, D::Volume, D::Mass]),
        "All that it holds: Ah of a battery at the 20 hour rate, litres of a tank, kilograms of a bottle.",
    ),
    may("count", Kind::Integer(1, 40), "How many alike, used one after the other (bottles); 1 if absent."),
    may(
        "usable",
        Kind::Quantity(D::Ratio),
        "The part that may be used (of a waste tank: filled) before it counts as spent; all of it if absent.",
    ),
    may("gauge", Kind::Words, "How to read what is left."),
    may("gauge_error", Kind::Quantity(D::Ratio), "How far its gauge may be off, as a part of the capacity."),
    may("chemistry", Kind::Choice(CHEMISTRIES), "Of a battery: what it is made of."),
    may("voltage", Kind::Quantity(D::Voltage), "Of a battery: its nominal voltage; 12 V if absent."),
    may("health", Kind::Quantity(D::Ratio), "Of a battery: the capacity that is left of the rated one."),
    may(
        "accepts",
        Kind::Quantity(D::Ratio),
        "Of a battery: the most that it takes, amperes as a part of its Ah.",
    ),
    may("bulk", Kind::Quantity(D::Voltage), "Of a battery: the voltage that charging rises to and holds."),
    may("float", Kind::Quantity(D::Voltage), "Of a battery: the voltage that keeps it full."),
    may("in_per_out", Kind::Number(1, 3), "Of a battery: Ah put in for each Ah taken out."),
    may("resistance", Kind::Quantity(D::Resistance), "Of a battery: its inner resistance when full."),
    SOURCE,
];

pub(crate) const SOURCE_KINDS: &[&str] = &["alternator", "charger", "solar", "shore", "inverter", "combiner"];

pub(crate) const SOURCES: &[Key] = &[
    NAME,
    ITEM,
    need("kind", Kind::Choice(SOURCE_KINDS), "What it is."),
    may(
        "gives",
        Kind::OneOf(&[D::Current, D::Power]),
        "Its rating: amperes of an alternator, a charger or a shore inlet, watts of a panel or an inverter.",
    ),
    may(
        "share",
        Kind::Quantity(D::Ratio),
        "What is left of the rating: of a hot alternator, after a panel's shade and wiring, of an inverter's input.",
    ),
    may("into", Kind::Refs("stores"), "The banks that it fills; the first battery of the file if absent."),
    may(
        "from",
        Kind::Refs("stores"),
        "The bank that an inverter or a combiner takes from; for an inverter the first battery if absent.",
    ),
    may("voltage", Kind::Quantity(D::Voltage), "The voltage that it is set to, or that shore power has."),
    may("closes", Kind::Quantity(D::Voltage), "Of a combiner: the voltage from which it joins the banks."),
    may("draws", Kind::Quantity(D::Power), "Of an inverter: what it draws with nothing plugged in."),
    may("when", Kind::Fact, "It can give while this holds; always if absent."),
    GIVE_OR_TAKE,
    SOURCE,
];

pub(crate) const LOAD_KINDS: &[&str] = &["electric", "mains", "water", "waste", "diesel", "gas"];
pub(crate) const RUNS: &[&str] = &["steady", "daily", "dark", "thermostat", "event", "engine"];
pub(crate) const DAY_PARTS: &[&str] = &["waking", "day", "evening", "meals"];
pub(crate) const EVENTS: &[&str] = &["flush", "chain_metre", "berthing", "engine_start", "litre", "meal"];
pub(crate) const ACTIVITIES: &[&str] =
    &["sailing", "motoring", "anchored", "moored", "alongside", "charging"];
pub(crate) const WITHOUT: &[&str] = &["at_night", "altogether"];

pub(crate) const LOADS: &[Key] = &[
    NAME,
    ITEM,
    may("kind", Kind::Choice(LOAD_KINDS), "What it uses, or for waste: makes; electric if absent."),
    need(
        "runs",
        Kind::Choice(RUNS),
        "How it is used: steady while it can; daily for `a_day`; in the dark; by its thermostat; at each event; or by the speed of an engine.",
    ),
    may("draws", Kind::OneOf(&[D::Current, D::Power]), "Amperes or watts while it runs."),
    may("burns", Kind::OneOf(&[D::VolumeRate, D::MassRate]), "Diesel or gas in an hour while it runs."),
    may("at", Kind::Quantity(D::RotationalSpeed), "Of an engine: the speed at which it burns that."),
    may("duty", Kind::Quantity(D::Ratio), "The part of the time in which it really runs; all if absent."),
    may("duty_at", Kind::Quantity(D::Temperature), "Of a thermostat: the air at which it has that duty."),
    may("inside", Kind::Quantity(D::Temperature), "Of a thermostat: the temperature that it keeps."),
    may(
        "time_constant",
        Kind::Quantity(D::Time),
        "Of a thermostat: how long it takes, switched off, to come two thirds of the way to the air outside.",
    ),
    may("a_day", Kind::OneOf(&[D::Time, D::Volume, D::Mass]), "How long it runs, or what it uses, in a day."),
    may("a_day_each", Kind::OneOf(&[D::Time, D::Volume, D::Mass]), "The same for each person aboard."),
    may("part_of_day", Kind::Choice(DAY_PARTS), "When in the day; the waking hours if absent."),
    may("per", Kind::Choice(EVENTS), "Of an event: which."),
    may(
        "takes",
        Kind::OneOf(&[D::Time, D::Volume, D::Mass]),
        "Of an event: how long it runs for each, or what it uses.",
    ),
    may(
        "from",
        Kind::Refs("stores"),
        "The stores that it empties, in the order used. If absent: of current the first battery of the file, else all of that kind.",
    ),
    may(
        "into",
        Kind::Refs("stores"),
        "Of waste: the tanks that it fills, in the order used; all waste tanks if absent.",
    ),
    may("when", Kind::Fact, "It can run while this holds; always if absent."),
    may("during", Kind::Choices(ACTIVITIES), "What the boat is doing while it is used; anything if absent."),
    may("do_without", Kind::Choice(WITHOUT), "Whether a crew can switch it off to save, and when."),
    may("cable", Kind::Quantity(D::Resistance), "The resistance of its cable, there and back."),
    may("cuts_out", Kind::Quantity(D::Voltage), "The voltage at its own end below which it stops."),
    GIVE_OR_TAKE,
    SOURCE,
];

pub(crate) const MODES: &[Key] = &[
    NAME,
    may("holds", Kind::Assigns, "How controls and states stand while the boat does this."),
    may("rpm", Kind::Quantity(D::RotationalSpeed), "The engine's usual speed while the boat does this."),
    SOURCE,
];

pub(crate) const TACKLE: &[Key] = &[
    NAME,
    ITEM,
    may("chain", Kind::Quantity(D::Length), "Length of the chain."),
    may("chain_size", Kind::Quantity(D::Length), "Diameter of the chain's links."),
    may("rope", Kind::Quantity(D::Length), "Length of the rope behind the chain."),
    may("rope_size", Kind::Quantity(D::Length), "Diameter of the rope."),
    may("bow_height", Kind::Quantity(D::Length), "Height of the bow roller above the water."),
    may("holds", Kind::Quantity(D::Force), "What the anchor holds, if the maker or a test says it."),
    SOURCE,
];
