//! What can go wrong, in words for whoever runs the base's computer: what, where, how to mend it.

use std::fmt;

use crate::boat::Conflict;

/// What went wrong. Unless a variant says otherwise nothing was changed.
///
/// `place` is the store in words (a path, or a server and database, never a password), `detail` is what the database
/// or the operating system said.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum StoreError {
    /// A boat file was saved from a revision that is no longer the newest. The text that lost is kept as a draft.
    Conflict(Box<Conflict>),
    /// There is no room left on the disk, or the file has grown to the size that it may have.
    Full {
        /// Which store.
        place: String,
        /// What the database said.
        detail: String,
    },
    /// Somebody else was using the store for too long.
    Busy {
        /// Which store.
        place: String,
        /// What the database said.
        detail: String,
    },
    /// What is in the store can't be right.
    Corrupt {
        /// Which store.
        place: String,
        /// What was found.
        detail: String,
    },
    /// The store was written by a later version of Becket.
    NewerSchema {
        /// Which store.
        place: String,
        /// The schema version of the store.
        found: u32,
        /// The newest schema version that this program knows.
        known: u32,
    },
    /// The database does not answer, or does not let us in.
    Unreachable {
        /// Which store.
        place: String,
        /// What the database said.
        detail: String,
    },
    /// The address is no store's address.
    BadAddress {
        /// What is wrong with it.
        detail: String,
    },
    /// There is something at the address, and it is not Becket's.
    Foreign {
        /// Which store.
        place: String,
        /// What was found.
        found: String,
    },
    /// A backup can only be brought back into an empty store.
    NotEmpty {
        /// Which store.
        place: String,
        /// What is in it.
        found: String,
    },
    /// The database server is set so that it may forget what it acknowledged.
    NotDurable {
        /// Which store.
        place: String,
        /// Which setting.
        detail: String,
    },
    /// Something of this name is there already.
    Taken {
        /// What kind of thing, and its name.
        what: String,
    },
    /// Something that is referred to is not there.
    Missing {
        /// What kind of thing, and its name.
        what: String,
    },
    /// A value can't be stored as it is.
    Unstorable {
        /// Which value.
        what: String,
        /// Why not.
        detail: String,
    },
    /// A backup can't be brought back as it is.
    BadBackup {
        /// The file.
        path: String,
        /// Its line, from 1; 0 if it has no lines.
        line: u64,
        /// What is wrong with it.
        detail: String,
    },
    /// A file could not be read or written.
    File {
        /// The file.
        path: String,
        /// What the operating system said.
        detail: String,
    },
    /// The database refused for a reason that has no words of its own here.
    Other {
        /// Which store.
        place: String,
        /// What the database said.
        detail: String,
    },
}

impl std::error::Error for StoreError {}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Conflict(conflict) => conflict.fmt(f),
            Self::Full { .. }
            | Self::Busy { .. }
            | Self::Corrupt { .. }
            | Self::Unreachable { .. }
            | Self::Other { .. } => self.trouble(f),
            Self::NewerSchema { .. }
            | Self::Foreign { .. }
            | Self::NotEmpty { .. }
            | Self::NotDurable { .. }
            | Self::BadAddress { .. } => self.unsuitable(f),
            Self::Taken { what } => write!(f, "There is already {what}. Choose another name."),
            Self::Missing { what } => {
                write!(
                    f,
                    "There is no {what} in the store. It may have been removed; look at the list again."
                )
            }
            Self::Unstorable { what, detail } => {
                write!(
                    f,
                    "{what} can't be stored: {detail}. Nothing was saved; correct it and send it again."
                )
            }
            Self::BadBackup { path, line: 0, detail } => {
                write!(
                    f,
                    "The backup {path} can't be brought back: {detail}. Nothing was restored; use another backup."
                )
            }
            Self::BadBackup { path, line, detail } => write!(
                f,
                "The backup {path} can't be brought back: line {line}: {detail}. Nothing was restored; use another backup."
            ),
            Self::File { path, detail } => {
                write!(
                    f,
                    "The file {path} can't be used: {detail}. Look at its name, its folder and who may write there."
                )
            }
        }
    }
}

impl StoreError {
    /// The words for trouble that comes while the store is used.
    fn trouble(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Full { place, detail } => write!(
                f,
                "There is no room left for {place} ({detail}). This was not saved; all that was saved before is there. \
                 Make room on that disk and try again."
            ),
            Self::Busy { place, detail } => write!(
                f,
                "{place} was in use for too long ({detail}). This was not saved. Try again; if it goes on, look for \
                 another program that holds it open."
            ),
            Self::Corrupt { place, detail } => write!(
                f,
                "{place} is damaged ({detail}). Stop Becket, keep a copy of it as it is, and restore the newest \
                 backup into a new store."
            ),
            Self::Unreachable { place, detail } => write!(
                f,
                "{place} can't be reached ({detail}). If something was being saved, it is not known to be; it is safe \
                 to send it again. See that the database runs, and that name and password are right."
            ),
            Self::Other { place, detail } => {
                write!(
                    f,
                    "{place} refused ({detail}). This was not saved. Please report it with these words."
                )
            }
            _ => Ok(()),
        }
    }

    /// The words for a store that can't be used as it is.
    fn unsuitable(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NewerSchema { place, found, known } => write!(
                f,
                "{place} was written by a later version of Becket: its tables are of version {found}, and this \
                 program knows them up to version {known}. Nothing was changed. Use the later program, or restore a \
                 backup that was made before."
            ),
            Self::BadAddress { detail } => write!(
                f,
                "This is not a store's address: {detail}. Give the path of a file, or postgres://user@host/database."
            ),
            Self::Foreign { place, found } => write!(
                f,
                "{place} is not a store of Becket: it holds {found}. Nothing was changed. Give a file or a database \
                 of its own."
            ),
            Self::NotEmpty { place, found } => write!(
                f,
                "A backup can only be restored into an empty store, and {place} holds {found}. Nothing was changed. \
                 Give a new file or a new database."
            ),
            Self::NotDurable { place, detail } => write!(
                f,
                "{place} may lose what it has acknowledged, as {detail}. Have it turned on where the database runs."
            ),
            _ => Ok(()),
        }
    }
}
