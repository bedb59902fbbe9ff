//! Crossing out what was told by mistake.

use maud::{Markup, html};
use records::{Event, What};

use super::speech::Speech;
use super::stage::Hull;
use crate::dock::{Flaw, Kept, Names};
use crate::frame::{Desk, Site, desk_page, seal};
use crate::{links, when};

/// An event that is to be crossed out, as its page asks for it.
#[derive(Debug, Clone, Copy)]
pub struct CrossAsk<'a> {
    /// Whose it is.
    pub hull: Hull<'a>,
    /// The event.
    pub event: &'a Event,
    /// What people are called.
    pub names: &'a Names,
    /// Why it can't be crossed out by whoever looks; nothing if it can.
    pub refused: Option<&'a str>,
    /// The fields of the form that was sent and not taken.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
}

/// Whether an event of this kind is crossed out, and not changed or told anew in another way: a plan is changed or
/// cancelled, a name that was removed is gone.
pub fn may_be_crossed_out(what: &What) -> bool {
    !matches!(
        what,
        What::Planned(_)
            | What::Changed(_)
            | What::PersonRemoved { .. }
            | What::Withdrawn { .. }
            | What::Other(_)
    )
}

/// A way to the page from beside what was told; only those of the base are shown it.
pub(crate) fn link(site: &Site, event: &str) -> Markup {
    html! { @if site.may(crate::frame::Role::Hand) {
        a.quiet.no-print href=(links::cross_out(event)) { "Cross out" }
    } }
}

/// The page: what was told, and why it is crossed out.
pub fn crossed_page(site: &Site, ask: &CrossAsk<'_>) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let (event, vessel) = (ask.event, ask.hull.vessel);
    let speech =
        Speech { boat: &vessel.boat, id: &event.boat, standing: ask.hull.standing, names: ask.names };
    let at = ask.hull.standing.when.get(&event.id).copied().unwrap_or(event.at);
    let body = html! {
        div.title {
            p.small { a href=(links::standing(&vessel.slug)) { (ask.hull.name()) } }
            h1 { "Cross out what was told" }
        }
        (kept.top("Not crossed out yet:"))
        blockquote.told-words {
            p { (speech.said(site, &event.what)) }
            p.soft { (ask.names.hand(&event.who)) ", " (when::moment(site, at)) "."
                @if let Some(charter) = &event.charter { " " a href=(links::charter(charter.as_str())) { "On a charter" } "." } }
        }
        @match ask.refused {
            Some(why) => p { strong { "It can't be crossed out. " } (why) },
            None => {
                p { "It then counts as if it had not been told: what stands, what is due and what is owed are worked out without it. "
                    "It stays in the records as it was, with who crossed it out and why. If something else was true, tell that anew." }
                form.tell-form method="post" action=(links::cross_out(&event.id.to_string())) {
                    (seal(site))
                    div.field {
                        label for="reason" { "Why" }
                        input #reason name="reason" type="text" maxlength="500" required autocomplete="off" placeholder="such as: it was another boat"
                            value=(kept.get("reason")) aria-invalid=[kept.flaw("reason").map(|_| "true")] aria-describedby=[kept.described("reason")];
                        (kept.beside("reason"))
                    }
                    button #cross-button type="submit" { "Cross it out" }
                }
            }
        }
    };
    desk_page(site, "Cross out", Desk::Boats, &body)
}
