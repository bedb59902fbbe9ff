//! The tables and their columns, in the order in which rows may be put in (what is referred to comes first).

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Holds {
    Text,
    Int,
    Bytes,
}

/// A table as it is written into a portable backup.
pub(crate) struct Table {
    pub(crate) name: &'static str,
    /// What its rows are sorted by: no two are equal in it.
    pub(crate) key: &'static str,
    pub(crate) columns: &'static [(&'static str, Holds)],
}

use Holds::{Bytes, Int, Text};

/// All tables of the newest version. Earlier versions have some of them, with some of their columns.
pub(crate) const TABLES: [Table; 14] = [
    Table { name: "counters", key: "name", columns: &[("name", Text), ("value", Int)] },
    Table {
        name: "events",
        key: "seq",
        columns: &[
            ("seq", Int),
            ("id", Text),
            ("at", Text),
            ("taken", Text),
            ("who", Text),
            ("device", Text),
            ("boat", Text),
            ("charter", Text),
            ("answers", Text),
            ("body", Text),
        ],
    },
    Table {
        name: "refused_events",
        key: "id, digest",
        columns: &[
            ("id", Text),
            ("digest", Text),
            ("at", Text),
            ("taken", Text),
            ("who", Text),
            ("device", Text),
            ("boat", Text),
            ("charter", Text),
            ("answers", Text),
            ("body", Text),
        ],
    },
    Table { name: "persons", key: "id", columns: &[("id", Text), ("charter", Text), ("fields", Text)] },
    Table { name: "boats", key: "id", columns: &[("id", Text), ("added", Text), ("newest", Int)] },
    Table { name: "revisions", key: "boat, number", columns: REVISION },
    Table { name: "drafts", key: "boat, number", columns: DRAFT },
    Table {
        name: "accounts",
        key: "id",
        columns: &[
            ("id", Text),
            ("name", Text),
            ("role", Text),
            ("password", Text),
            ("active", Int),
            ("created", Text),
        ],
    },
    Table {
        name: "sessions",
        key: "token",
        columns: &[("token", Text), ("account", Text), ("expires", Text), ("csrf", Text)],
    },
    Table {
        name: "links",
        key: "token",
        columns: &[("token", Text), ("boat", Text), ("charter", Text), ("ends", Text), ("revoked", Text)],
    },
    Table {
        name: "photos",
        key: "hash",
        columns: &[("hash", Text), ("media", Text), ("bytes", Bytes), ("taken", Text)],
    },
    Table { name: "settings", key: "key", columns: &[("key", Text), ("value", Text)] },
    Table { name: "kept", key: "boat", columns: &[("boat", Text), ("upto", Int), ("body", Text)] },
    Table { name: "attempts", key: "key", columns: &[("key", Text), ("since", Text), ("count", Int)] },
];

const REVISION: &[(&str, Holds)] = &[
    ("boat", Text),
    ("number", Int),
    ("parent", Int),
    ("author", Text),
    ("at", Text),
    ("text", Text),
    ("note", Text),
];

const DRAFT: &[(&str, Holds)] = &[
    ("boat", Text),
    ("number", Int),
    ("made_from", Int),
    ("author", Text),
    ("at", Text),
    ("text", Text),
    ("note", Text),
];
