//! The table's part about class files: what stands in one beside the sections.

use super::sections::{may, need};
use super::{Key, Kind};

const PARAMETER: &[Key] = &[
    need("about", Kind::Words, "What the parameter is for."),
    may("default", Kind::Text, "What stands for it if the boat file gives nothing."),
];

/// Keys at the top of a class file, beside the sections.
pub(crate) const fn class_keys() -> (&'static [Key], &'static [Key]) {
    const TOP: &[Key] = &[
        need("class", Kind::Text, "The class's id."),
        need("name", Kind::Text, "The class's name."),
        need("about", Kind::Words, "What it is, in one sentence."),
        need("source", Kind::Text, "Where its defaults come from."),
    ];
    (TOP, PARAMETER)
}
