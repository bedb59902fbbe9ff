//! A crew called for help: what was wrong, what they answered, what they were told to do.

use maud::html;

use super::flaw::{Flaw, Kept};
use super::handover::Handover;
use crate::frame::{Site, seal};
use crate::{links, words};

/// What was typed into the form, and what is wrong with it.
#[derive(Debug, Clone, Copy, Default)]
pub struct CallAsk<'a> {
    /// The fields as they came.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
}

/// The form, after the calls until now.
pub fn called_page(site: &Site, over: &Handover<'_>, ask: &CallAsk<'_>) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let boat = over.boat();
    let answers: Vec<&str> =
        kept.typed.iter().filter(|(field, _)| field == "a").map(|(_, token)| token.as_str()).collect();
    let symptoms = trace::symptoms(boat);
    let name = |id: &str| {
        symptoms
            .iter()
            .find(|symptom| symptom.id == id)
            .map_or_else(|| id.to_owned(), |symptom| words::sentence(&symptom.words))
    };
    let body = html! {
        div.title {
            p.small { a href=(over.home()) { "Charter" } ": " (over.line(site)) }
            h1 { "The crew called" }
        }
        @if !over.stands.calls.is_empty() {
            section #calls { h2 { "Calls until now" } ul { @for call in &over.stands.calls {
                li { strong { (name(&call.symptom)) } " Told to do: " (words::sentence(&call.advice)) " " span.soft { (over.by(site, &call.mark)) "." } }
            } } }
        }
        (kept.top("Not written down yet:"))
        form.tell-form method="post" action=(links::called(over.charter.as_str())) {
            (seal(site))
            div.field {
                label for="symptom" { "What is wrong" }
                select #symptom name="symptom" aria-describedby=[kept.described("symptom")] {
                    option value="" { "Choose, or write it below" }
                    @for symptom in &symptoms { option value=(symptom.id) selected[symptom.id == kept.get("symptom")] { (symptom.words) } }
                }
                (kept.beside("symptom"))
            }
            div.field { label for="other" { "If it is not in the list" } input #other name="other" type="text" maxlength="500" value=(kept.get("other")); }
            @for token in &answers { input type="hidden" name="a" value=(token); }
            @if !answers.is_empty() { p.hint { (words::capital(&words::count(answers.len(), "answer", "answers"))) " of the fault finder kept with it." } }
            div.field {
                label for="advice" { "What they were told to do" }
                textarea #advice name="advice" rows="4" maxlength="2000" required aria-describedby=[kept.described("advice")] { (kept.get("advice")) }
                (kept.beside("advice"))
            }
            button #call-button type="submit" { "Write it down" }
        }
    };
    over.page(site, "The crew called", &body)
}
