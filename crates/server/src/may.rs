//! Who may say what in the records, and who may answer what was said.

use pages::Role;
use records::{AccountId, Event, Hand, LinkId, Showing, What};

use crate::caller::Caller;

/// Who of the base may say it at least.
pub(crate) fn needs(what: &What) -> Role {
    match what {
        What::SailsWith { .. } | What::ChargeWaived { .. } | What::PersonRemoved { .. } => Role::Manager,
        What::Planned(_)
        | What::Changed(_)
        | What::Cancelled { .. }
        | What::CheckedOut
        | What::Settled
        | What::ChargeAdded { .. }
        | What::Briefed { .. } => Role::Skipper,
        _ => Role::Hand,
    }
}

/// Whether a caller may say what an event says; else why not, in full sentences.
pub(crate) fn say(caller: &Caller, event: &Event) -> Result<(), String> {
    match caller {
        Caller::Nobody => Err("Sign in first.".to_owned()),
        Caller::Crew { boat, charter, .. } => {
            let own = event.boat.as_str() == boat
                && event.charter.as_ref().is_some_and(|own| own.as_str() == charter);
            let theirs = matches!(
                event.what,
                What::Read { .. }
                    | What::Briefed { showing: Showing::Read, .. }
                    | What::Found(_)
                    | What::SeenAgain { .. }
                    | What::Noted { .. }
                    | What::Withdrawn { .. }
            );
            match (own, theirs) {
                (false, _) => {
                    Err("A crew's link takes only what is about its own boat and charter.".to_owned())
                }
                (true, false) => {
                    Err("A crew may read meters, tell what is broken, say what it has read, and leave notes."
                        .to_owned())
                }
                (true, true) => Ok(()),
            }
        }
        Caller::Member { role, .. } => at_least(*role, needs(&event.what), "say that"),
    }
}

/// Whether a caller may answer an event: take it back, or put something else in its place. Whoever answers something
/// must be one who might have said it; a crew answers only what came by its own link.
pub(crate) fn answer(caller: &Caller, answered: &Event) -> Result<(), String> {
    match caller {
        Caller::Nobody => Err("Sign in first.".to_owned()),
        Caller::Crew { link, .. } if answered.who == Hand::Crew(LinkId::new(link.as_str())) => Ok(()),
        Caller::Crew { .. } => Err("A crew may correct only what it told itself.".to_owned()),
        Caller::Member { id, role, .. } => {
            let own = answered.who == Hand::Account(AccountId::new(id.as_str()));
            let least = if own { needs(&answered.what) } else { needs_of_others(&answered.what) };
            at_least(*role, least, "correct that")
        }
    }
}

/// Who may correct it at least if somebody else told it: signatures and stages are a skipper's matter then.
fn needs_of_others(what: &What) -> Role {
    let grave = matches!(what, What::Signed(_) | What::Readied | What::Left | What::HandedBack);
    if grave { needs(what).max(Role::Skipper) } else { needs(what) }
}

fn at_least(role: Role, least: Role, what: &str) -> Result<(), String> {
    if role >= least {
        return Ok(());
    }
    Err(format!("Only a {} may {what}.", least.name().to_lowercase()))
}
