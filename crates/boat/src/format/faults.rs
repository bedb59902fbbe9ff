//! The table's part about faults: how an item fails, how often, how it is checked and mended.

use quantity::Dimension as D;

use super::sections::{HAZARDS, SOURCE, WHO, may, need};
use super::{Key, Kind};

pub(crate) const FAULTS: &[Key] = &[
    need("name", Kind::Text, "What is wrong, in words."),
    need("item", Kind::Ref("items"), "The item that fails."),
    need("seen", Kind::Words, "What a person sees of it."),
    need("per_year", Kind::Number(0, 10_000), "How often in a boat's charter year (season)."),
    may(
        "weight",
        Kind::Number(0, 1_000_000),
        "How much that rate weighs against records, in failures seen; more than 0; 1 if absent.",
    ),
    may(
        "stops",
        Kind::Refs("conditions"),
        "The conditions that don't hold while it is so. If absent: every condition that names the item under its `items`; none if there is a `means`.",
    ),
    may(
        "means",
        Kind::Assign,
        "The position or value that is this fault: it is then that control's or state's value, not something beside it.",
    ),
    may("check", Kind::Words, "How to check whether it is so."),
    may("check_takes", Kind::Quantity(D::Time), "How long the check takes."),
    may("check_who", WHO, "Who may check it; the crew if absent."),
    may(
        "sure",
        Kind::Quantity(D::Ratio),
        "How surely the check tells, either way: more than 50 %, at most 100 %; 95 % if absent.",
    ),
    may("tools", Kind::Texts, "Tools for checking and mending it."),
    may("mend", Kind::Words, "How to mend it."),
    may("mend_by", Kind::Ref("procedures"), "The step list that mends it."),
    may("mend_takes", Kind::Quantity(D::Time), "How long mending takes."),
    may(
        "mend_who",
        WHO,
        "Who may mend it. If absent: the crew if `mend` or `mend_by` is given, else the base.",
    ),
    may(
        "danger",
        Kind::Choice(HAZARDS),
        "What is dangerous about checking or mending it: then only the base does either.",
    ),
    may("emergency", Kind::Ref("procedures"), "The emergency list to follow at once when it is so."),
    may("parts", Kind::Texts, "Spare parts used to mend it."),
    SOURCE,
];
