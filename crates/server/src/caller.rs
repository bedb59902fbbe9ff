//! Who asks, and who may ask for what.

use pages::{Role, Viewer};
use store::TokenHash;

/// Who may use a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Who {
    /// Anybody.
    Anyone,
    /// A crew, of its own boat and charter, and all of the base.
    Crew,
    /// All of the base.
    Hand,
    /// Handover skippers and the manager.
    Skipper,
    /// The manager.
    Manager,
}

/// Who asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Caller {
    /// Nobody known.
    Nobody,
    /// A crew, by its link.
    Crew {
        /// What is kept of the link.
        link: TokenHash,
        /// Their boat.
        boat: String,
        /// Their charter.
        charter: String,
        /// What their forms repeat.
        seal: String,
    },
    /// One of the base's own people.
    Member {
        /// Their account.
        id: String,
        /// Their name.
        name: String,
        /// What they may do.
        role: Role,
        /// What their forms repeat.
        seal: String,
        /// Of the session that they are in; nothing for who looks at a demonstration without one.
        session: Option<TokenHash>,
    },
}

/// What is said of a route to a caller.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Leave {
    /// They may.
    Given,
    /// They must say who they are first.
    SignIn,
    /// Others may, they may not.
    Refused,
}

impl Caller {
    /// As pages see them.
    pub(crate) fn viewer(&self) -> Viewer {
        match self {
            Self::Nobody => Viewer::Nobody,
            Self::Crew { boat, charter, .. } => Viewer::Crew { boat: boat.clone(), charter: charter.clone() },
            Self::Member { id, name, role, .. } => {
                Viewer::Member { id: id.clone(), name: name.clone(), role: *role }
            }
        }
    }

    /// What their forms repeat; empty for nobody.
    pub(crate) fn seal(&self) -> &str {
        match self {
            Self::Nobody => "",
            Self::Crew { seal, .. } | Self::Member { seal, .. } => seal,
        }
    }

    /// Whether they may use a route; `named` are the parts of its address that say which boat and which charter.
    pub(crate) fn leave(&self, who: Who, named: &[(String, String)]) -> Leave {
        let least = match (who, self) {
            (Who::Anyone, _) => return Leave::Given,
            (_, Self::Nobody) => return Leave::SignIn,
            (Who::Crew, Self::Crew { boat, charter, .. }) => {
                let own = |(name, value): &(String, String)| match name.as_str() {
                    "slug" => value == boat,
                    "charter" => value == charter,
                    _ => true,
                };
                return if named.iter().all(own) { Leave::Given } else { Leave::Refused };
            }
            (_, Self::Crew { .. }) => return Leave::Refused,
            (Who::Crew | Who::Hand, _) => Role::Hand,
            (Who::Skipper, _) => Role::Skipper,
            (Who::Manager, _) => Role::Manager,
        };
        match self {
            Self::Member { role, .. } if *role >= least => Leave::Given,
            _ => Leave::Refused,
        }
    }
}

/// A store's role as pages have it.
pub(crate) fn role(stored: store::Role) -> Role {
    match stored {
        store::Role::Manager => Role::Manager,
        store::Role::Skipper => Role::Skipper,
        store::Role::Hand => Role::Hand,
    }
}
