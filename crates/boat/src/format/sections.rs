//! The table itself.

use quantity::Dimension as D;

use super::faults::FAULTS;
use super::gear::GEAR;
use super::stores::{LOADS, MODES, SOURCES, STORES, TACKLE};
use super::subjects::ABOUT;
use super::{Key, Kind, Section};

pub(super) const fn need(name: &'static str, kind: Kind, about: &'static str) -> Key {
    Key { name, kind, required: true, about }
}

pub(super) const fn may(name: &'static str, kind: Kind, about: &'static str) -> Key {
    Key { name, kind, required: false, about }
}

pub(super) const SOURCE: Key =
    may("source", Kind::Text, "Where the facts come from: a citation, or \"common practice\".");
pub(super) const NAME: Key = need("name", Kind::Text, "The name for people.");

/// Keys of `[boat]`.
pub(crate) const PARTICULARS: &[Key] = &[
    need("name", Kind::Text, "The boat's name."),
    need("hull", Kind::Choice(&["monohull", "catamaran"]), "One hull or two; it chooses the plan drawing."),
    need("model", Kind::Text, "What she is in a few words, such as \"13 m sloop\"."),
    need("rig", Kind::Text, "Sloop, cutter, ketch ..."),
    need("length", Kind::Quantity(D::Length), "Length over all."),
    need("beam", Kind::Quantity(D::Length), "Greatest beam."),
    need("draught", Kind::Quantity(D::Length), "Draught with the keel down."),
    may(
        "air_draught",
        Kind::Quantity(D::Length),
        "Height of the masthead above the water, aerials included.",
    ),
    need("berths", Kind::Integer(0, 60), "Berths for sleeping."),
    may("built", Kind::Integer(1850, 2100), "Year of building."),
    may("engine", Kind::Text, "The engine in words."),
    may("most_rpm", Kind::Quantity(D::RotationalSpeed), "Engine speed not to be passed."),
    may("batteries", Kind::Text, "The battery system in words."),
    may("latitude", Kind::Signed(D::Angle), "Of her base: north of the equator; south with a minus sign."),
    may("longitude", Kind::Signed(D::Angle), "Of her base: east of Greenwich; west with a minus sign."),
    may(
        "utc_offset",
        Kind::Signed(D::Time),
        "How far the clocks at her base are ahead of UTC in the season.",
    ),
    may("flag", Kind::Text, "Her flag."),
    may("waters", Kind::Text, "Where she is let out."),
    may("notes", Kind::Texts, "Anything else worth a line."),
    SOURCE,
];

const SEVERITY: Kind = Kind::Choice(&["damage", "injury"]);
pub(super) const WHO: Kind = Kind::Choice(&["crew", "skipper", "base"]);

const HARM_WHAT: Key = need("what", Kind::Words, "What happens, a full sentence.");
const HARM_SEEN: Key = may("seen", Kind::Words, "What a person sees of it.");
const CAUTION: Key = may("caution", Kind::Ref("cautions"), "The words of warning shown where the danger is.");

const CONTROL_HARM: &[Key] = &[
    may("to", Kind::ValueName, "The position moved to; any move if absent."),
    need("when", Kind::Fact, "It is harmful while this holds, looked at just before the move."),
    need("severity", SEVERITY, "How bad it is."),
    HARM_WHAT,
    HARM_SEEN,
    CAUTION,
    SOURCE,
];

const ACTION_HARM: &[Key] = &[
    need("when", Kind::Fact, "It is harmful while this holds, looked at just before."),
    need("severity", SEVERITY, "How bad it is."),
    HARM_WHAT,
    HARM_SEEN,
    CAUTION,
    SOURCE,
];

const BREACH: &[Key] =
    &[may("severity", SEVERITY, "How bad it is; absent: it just does not work."), HARM_WHAT, HARM_SEEN];

const LIMIT_KINDS: &[&str] = &["longest", "rest", "hold", "least", "most", "clear"];

const LIMIT: &[Key] = &[
    need(
        "kind",
        Kind::Choice(LIMIT_KINDS),
        "longest run, rest between runs, hold at least, least or most of a reading, room to keep clear.",
    ),
    need("is", Kind::AnyQuantity, "The bound."),
    may(
        "of",
        Kind::Measured,
        "For least and most: the reading. For clear: the state that tells the room there is.",
    ),
    may("breach", Kind::Row(BREACH), "What happens past it."),
    CAUTION,
    SOURCE,
];

const LIMITS: Key = may("limits", Kind::Rows(LIMIT), "Its limits.");

const RESTATED: &[Key] = &[
    need("item", Kind::Ref("items"), "The item whose limit the words say again."),
    need("kind", Kind::Choice(LIMIT_KINDS), "Which limit."),
    need("is", Kind::AnyQuantity, "The bound as said here; it must agree with the limit itself."),
];

const RESTATES: Key = may("restates", Kind::Rows(RESTATED), "Limits that the words say again in figures.");

const SPARE: &[Key] =
    &[need("name", Kind::Text, "What it is."), may("place", Kind::Ref("places"), "Where it is stowed.")];

const MOVE: &[Key] = &[
    need("to", Kind::ValueName, "The position moved to."),
    may("needs", Kind::Fact, "Without this it can't be moved there."),
    may("fails", Kind::Words, "What a person sees who tries without."),
    may("takes", Kind::Quantity(D::Time), "How long the move takes."),
];

const TURN: &[Key] = &[
    need("to", Kind::ValueName, "The value that it changes to."),
    need("when", Kind::Fact, "While this holds."),
    may("after", Kind::Quantity(D::Time), "After it has held this long; at once if absent."),
    may("seen", Kind::Words, "What a person sees of it."),
];

const CASE: &[Key] = &[
    need("when", Kind::Fact, "When this case applies; the first that does is read."),
    need("reads", Kind::QuantityOrMeasured, "What is then read."),
];

const STEP: &[Key] = &[
    may("set", Kind::Ref("controls"), "The control that is set; with `to`."),
    may("to", Kind::ValueName, "The position that it is set to."),
    may("do", Kind::Ref("actions"), "The action that is done."),
    may("look", Kind::Words, "What to look, listen, smell or feel for."),
    may("wait", Kind::Quantity(D::Time), "How long to wait."),
    may("for", Kind::Quantity(D::Time), "How long it is held, run or left before the next step."),
    may("rest", Kind::Quantity(D::Time), "How long to rest after it."),
    may("confirm", Kind::Fact, "The fact that a look confirms: who sees otherwise stops here."),
    may("otherwise", Kind::Words, "What to do if a look does not confirm it."),
    may("until", Kind::Fact, "What will be so when the wait is over."),
    may("say", Kind::Words, "The words read out; made from the step if absent."),
    may("why", Kind::Words, "Why, or what happens otherwise."),
    may("place", Kind::Ref("places"), "Where to stand, if not where the control or item is."),
    may("item", Kind::Ref("items"), "What to point at, if not the control's or action's own item."),
    may("cautions", Kind::Refs("cautions"), "Cautions shown here beside those of the harms."),
];

const EVERY: &[Key] = &[
    may("engine_hours", Kind::Quantity(D::Time), "After so many engine hours."),
    may("days", Kind::Integer(1, 36_500), "After so many days."),
    may("charters", Kind::Integer(1, 10_000), "After so many charters."),
    may("date", Kind::Date, "On this day."),
];

const COUNTS_AS: Key = may(
    "counts_as",
    Kind::Choices(GEAR),
    "What equipment rules count it as; each piece of a kit line counts once.",
);

const PLACES: &[Key] = &[
    NAME,
    may("in", Kind::Ref("places"), "The space that holds it."),
    need("level", Kind::Choice(&["dock", "aloft", "deck", "below", "bilge"]), "On which level it lies."),
    need("aft", Kind::Quantity(D::Length), "Its middle's distance from the bow."),
    may("side", Kind::Side, "Its middle's distance from the centreline; on it if absent."),
    need("long", Kind::Quantity(D::Length), "Its measure fore and aft."),
    need("wide", Kind::Quantity(D::Length), "Its measure athwartships."),
    may(
        "reach",
        Kind::Choice(&["at hand", "lid", "boards", "crawl", "climb", "tools"]),
        "What it takes to reach it; at hand if absent.",
    ),
    may("way", Kind::Words, "How to get there."),
    SOURCE,
];

const ITEMS: &[Key] = &[
    NAME,
    may("class", Kind::Class, "Its class: brings controls, facts, actions, step lists, upkeep."),
    may("with", Kind::Parameters, "The class's parameters."),
    may(
        "omit",
        Kind::Texts,
        "Parts of the class that this boat does not have, such as \"upkeep.pump_yearly\".",
    ),
    may("written_out", Kind::Bool, "The class's parts are already written out in this file."),
    need("place", Kind::Ref("places"), "Where it is."),
    may("find", Kind::Words, "How to find it."),
    may("also", Kind::Texts, "Other words that people use for it."),
    may("picture", Kind::Text, "File name of its picture."),
    may("label", Kind::Text, "Words of the label on it."),
    may("spares", Kind::Rows(SPARE), "Spares carried for it."),
    may("emergency", Kind::Bool, "Whether the crew must find it in an emergency."),
    COUNTS_AS,
    LIMITS,
    SOURCE,
];

const CONTROLS: &[Key] = &[
    may("name", Kind::Text, "The name for people; the item's if absent."),
    may("item", Kind::Ref("items"), "The item that it is part of; the item of the same id if absent."),
    may("place", Kind::Ref("places"), "Where the hand must be; the item's place if absent."),
    need("positions", Kind::ValueNames, "Its positions."),
    may("labels", Kind::WordsByValue, "Words for its positions."),
    may("rest", Kind::ValueName, "How the boat is to be left. Every control has one."),
    may("reads", Kind::QuantityByValue, "The quantity that each position stands for."),
    may("tell", Kind::WordsByValue, "How to tell that it is in a position and worked."),
    may("moves", Kind::Rows(MOVE), "Moves that need something."),
    may("harms", Kind::Rows(CONTROL_HARM), "What happens if it is moved when it must not be."),
    LIMITS,
    SOURCE,
];

const STATES: &[Key] = &[
    NAME,
    may("item", Kind::Ref("items"), "The item that it is the state of."),
    need("values", Kind::ValueNames, "Its values."),
    may("labels", Kind::WordsByValue, "Words for its values."),
    may("rest", Kind::ValueName, "Its value when the boat is left. Every state has one."),
    may("given", Kind::Bool, "The world decides it: a step list must look before it relies on it."),
    may("reads", Kind::QuantityByValue, "The quantity that each value stands for."),
    may("tell", Kind::WordsByValue, "How to tell that it has a value."),
    may("turns", Kind::Rows(TURN), "How it changes by itself."),
    SOURCE,
];

const CONDITIONS: &[Key] = &[
    need("name", Kind::Words, "The fact in words, a full sentence."),
    need("when", Kind::Fact, "When it holds."),
    may("items", Kind::Refs("items"), "The items that must be sound for it to hold."),
    may("symptom", Kind::Words, "What a crew says when it does not hold though it should."),
    may(
        "look",
        Kind::Words,
        "How a person sees whether it holds, a full sentence; if absent it can't be seen by itself.",
    ),
    SOURCE,
];

const READINGS: &[Key] = &[
    NAME,
    need("cases", Kind::Rows(CASE), "The cases, tried in order."),
    need("otherwise", Kind::AnyQuantity, "What is read when no case applies."),
    SOURCE,
];

const ACTIONS: &[Key] = &[
    NAME,
    may("item", Kind::Ref("items"), "The item that is used."),
    may("place", Kind::Ref("places"), "Where the hand must be; the item's place if absent."),
    may("needs", Kind::Fact, "Without this it does nothing."),
    may("fails", Kind::Words, "What a person sees who tries without."),
    may("makes", Kind::Assigns, "What it makes so."),
    may("takes", Kind::Quantity(D::Time), "How long it takes."),
    may("tell", Kind::Words, "How to tell that it worked."),
    may("who", WHO, "Who may do it; the crew if absent."),
    may("harms", Kind::Rows(ACTION_HARM), "What happens if it is done when it must not be."),
    LIMITS,
    SOURCE,
];

const PROCEDURES: &[Key] = &[
    NAME,
    may("about", Kind::Words, "Why or when one does it."),
    may("who", WHO, "Who may do it; the crew if absent."),
    may("emergency", Kind::Bool, "Whether it is for an emergency."),
    may(
        "signs",
        Kind::Texts,
        "Of an emergency list: what one sees, smells or hears that calls for it, in a crew's words.",
    ),
    may("after", Kind::Refs("procedures"), "The step lists followed before it, from the boat at rest."),
    may("start", Kind::Assigns, "Values that hold at its start beyond that."),
    may("given", Kind::Fact, "What must be so at the start besides."),
    need("goal", Kind::Fact, "What it brings about."),
    may("leaves", Kind::Assigns, "What it leaves in another value than at rest."),
    may("cautions", Kind::Refs("cautions"), "Cautions shown at its head."),
    need("steps", Kind::Rows(STEP), "The steps in order."),
    SOURCE,
];

const NEVER: &[Key] = &[
    NAME,
    need("when", Kind::Fact, "The state that must not be passed."),
    need("severity", SEVERITY, "How bad it is."),
    HARM_WHAT,
    HARM_SEEN,
    CAUTION,
    SOURCE,
];

pub(super) const HAZARDS: &[&str] = &[
    "gas",
    "fire",
    "fuel",
    "mains",
    "battery",
    "flooding",
    "overboard",
    "fumes",
    "hot",
    "crush",
    "fall",
    "sea",
    "gear",
];

const CAUTIONS: &[Key] = &[
    need("word", Kind::Choice(&["danger", "warning", "caution", "notice"]), "The signal word."),
    need("hazard", Kind::Choice(HAZARDS), "What kind of danger it is; it chooses the sign."),
    need("text", Kind::Words, "What to mind and what to do."),
    RESTATES,
    SOURCE,
];

const KIT: &[Key] = &[
    NAME,
    need("count", Kind::Integer(0, 10_000), "How many there are."),
    need("place", Kind::Ref("places"), "Where it is stowed."),
    may("expires", Kind::Date, "The last day on which it may be used."),
    may("price", Kind::Money, "The price if it is lost."),
    may("check", Kind::Words, "What to look at when it is counted."),
    COUNTS_AS,
    may("fits_from", Kind::Quantity(D::Mass), "Of what is worn: the least weight of a person that it fits."),
    may("fits_to", Kind::Quantity(D::Mass), "Of what is worn: the greatest weight that it fits."),
    SOURCE,
];

const UPKEEP: &[Key] = &[
    NAME,
    may("item", Kind::Ref("items"), "What it is done on."),
    need("every", Kind::Row(EVERY), "When it is due, whichever comes first."),
    may("parts", Kind::Texts, "Parts used."),
    may("takes", Kind::Quantity(D::Time), "How long it takes."),
    may(
        "skill",
        Kind::Choice(&["hand", "skipper", "mechanic", "electrician", "rigger", "diver"]),
        "Who can do it.",
    ),
    SOURCE,
];

const TOPICS: &[Key] = &[
    NAME,
    need("words", Kind::Words, "What to say."),
    may("place", Kind::Ref("places"), "Where to stand."),
    may("procedures", Kind::Refs("procedures"), "The step lists that it teaches."),
    may("items", Kind::Refs("items"), "The items that it points at."),
    may("cautions", Kind::Refs("cautions"), "The cautions that it gives."),
    may("takes", Kind::Quantity(D::Time), "How long it takes to show."),
    may("shown", Kind::Bool, "Whether the crew must do it themselves."),
    may("always", Kind::Bool, "Whether it is in every briefing."),
    may(
        "about",
        Kind::Choices(ABOUT),
        "What it is about: published lists for handing a boat over are held against these.",
    ),
    may("after", Kind::Refs("topics"), "The topics that must be shown before it."),
    RESTATES,
    SOURCE,
];

const fn closed(name: &'static str, one: &'static str, about: &'static str, keys: &'static [Key]) -> Section {
    Section { name, one, about, keys }
}

/// All sections, in the order in which a file is tidied.
pub(crate) const SECTIONS: &[Section] = &[
    closed("places", "a place", "The spaces of the boat: plan drawing, walking, \"where is it\".", PLACES),
    closed("items", "an item", "Everything that can be pointed at.", ITEMS),
    closed("controls", "a control", "What a hand sets.", CONTROLS),
    closed("states", "a state", "What lasts until an action, time or the world changes it.", STATES),
    closed(
        "conditions",
        "a condition",
        "Named facts that follow from controls, states and other facts.",
        CONDITIONS,
    ),
    closed(
        "readings",
        "a reading",
        "Named quantities that follow from controls, states and facts.",
        READINGS,
    ),
    closed("actions", "an action", "What a hand does, beyond setting a control.", ACTIONS),
    closed("procedures", "a procedure", "Step lists.", PROCEDURES),
    closed("never", "a never-state", "States that no step list may pass.", NEVER),
    closed("cautions", "a caution", "Words of warning.", CAUTIONS),
    closed("kit", "a kit line", "What is counted at check-out and hand-back.", KIT),
    closed("upkeep", "an upkeep line", "What is serviced, and when.", UPKEEP),
    closed("topics", "a topic", "What a briefing covers.", TOPICS),
    closed("stores", "a store", "Battery banks, tanks, bottles: what fills and empties.", STORES),
    closed("sources", "a source", "What fills a battery, or feeds mains.", SOURCES),
    closed("loads", "a load", "What empties a store, or fills a waste tank.", LOADS),
    closed(
        "modes",
        "a mode",
        "How the boat stands while she is sailing, motoring, anchored, moored, alongside, or charging by engine.",
        MODES,
    ),
    closed("tackle", "ground tackle", "Anchors with their chain and rope.", TACKLE),
    closed("faults", "a fault", "How an item fails, how often, how it is checked and mended.", FAULTS),
];
