//! Summing up a walk: what was found, what is missing, who signs, and that it is done.

use maud::{Markup, html};
use records::{Life, PersonId, Role};

use super::flaw::{Flaw, Kept};
use super::handover::{Handover, Walking};
use super::stops::{self, Tally};
use super::{glance, lack, walk_page};
use crate::frame::{Site, Viewer, seal};
use crate::{links, words};

/// What was typed into the form, and what is wrong with it.
#[derive(Debug, Clone, Copy, Default)]
pub struct SignAsk<'a> {
    /// The fields as they came.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
    /// Why it was not completed though that was asked for.
    pub barred: bool,
}

/// The page on which a walk is summed up, signed and completed.
pub fn sign_page(site: &Site, over: &Handover<'_>, walk: Walking, ask: &SignAsk<'_>) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let lacks = lack::missing(over, walk.stage());
    let there = matches!(over.stands.life, Life::At(at) if at >= walk.stage());
    let charter = over.charter.as_str();
    let title = format!("{}: sum up", walk.name());
    let body = html! {
        div.title {
            p.small { a href=(links::walk(charter, walk.word())) { (walk.name()) } ": " (over.line(site)) }
            h1 { @if walk == Walking::Readying { "Is she ready?" } @else { "Sum up and sign" } }
        }
        @if ask.barred { div.answer-wrong role="alert" { p { "It can't go on yet. What is missing stands below." } } }
        (kept.top("Not signed yet:"))
        (walk_page::past(site, over, walk))
        (sum_up(site, over, walk))
        (lack::lists(site, over, walk, &lacks))
        @if walk != Walking::Readying {
            section.block #signed { h2 { "Signatures" } (glance::signatures(site, over, walk)) }
            (form(site, over, walk, &kept))
        }
        section.block #complete {
            @if there {
                h2 { (walk.done()) }
                (onwards(over, walk))
            } @else if lack::must(&lacks) {
                h2 { "When nothing is missing" }
                p { "the button that completes the " (walk.name().to_lowercase()) " stands here." }
            } @else {
                h2 { "Nothing stands in the way" }
                form method="post" action=(links::complete(charter, walk.word())) {
                    (seal(site))
                    button #complete-button type="submit" { (complete_words(walk)) }
                }
            }
        }
    };
    over.page(site, &title, &body)
}

fn complete_words(walk: Walking) -> &'static str {
    match walk {
        Walking::Readying => "She is ready",
        Walking::CheckOut => "Hand her over",
        Walking::HandBack => "Take her back",
    }
}

/// Where to go when it is done.
fn onwards(over: &Handover<'_>, walk: Walking) -> Markup {
    let charter = over.charter.as_str();
    html! {
        p.actions {
            @match walk {
                Walking::Readying => a.button href=(links::walk(charter, Walking::CheckOut.word())) { "Check-out" },
                Walking::CheckOut => a.button href=(links::sheet(charter, walk.word())) { "The sheet, for printing" },
                Walking::HandBack => {
                    a.button href=(links::charges(charter)) { "What it costs the crew" }
                    a.button.plain href=(links::sheet(charter, walk.word())) { "The sheet, for printing" }
                }
            }
            a.button.plain href=(over.home()) { "The charter" }
        }
    }
}

/// What was found, in short, with all of it behind a fold.
fn sum_up(site: &Site, over: &Handover<'_>, walk: Walking) -> Markup {
    let tally = stops::stops(over.boat(), walk)
        .iter()
        .fold(Tally::default(), |sum, stop| sum + stop.tally(over, walk));
    let unlike = glance::unlike_the_list(over, walk);
    html! {
        section.block #sum-up {
            h2 { "What was found" }
            p { strong { (tally.done) " of " (tally.of) } " counted, read, looked at and shown." }
            @if !glance::counted(over, walk) { p { "Nothing was counted." } }
            @else if unlike.is_empty() { p { "What was counted is as the list has it." } } @else {
                p { "Another number than the list has:" }
                ul { @for line in unlike { li { (line) } } }
            }
            (glance::readings(over, &[walk]))
            (glance::looks(over, walk))
            details { summary { "Everything that was counted" } (glance::kit(over, &[walk])) }
            h3 { "Known to be wrong with her" }
            (glance::defects(site, over, site.now))
            @if walk == Walking::CheckOut { h3 { "Shown and told" } (glance::briefing(over)) }
        }
    }
}

/// The form in which somebody puts their name to it.
fn form(site: &Site, over: &Handover<'_>, walk: Walking, kept: &Kept<'_>) -> Markup {
    let charter = over.charter.as_str();
    let missing = missing_role(over, walk);
    let role = if kept.get("role").is_empty() { missing } else { kept.get("role") };
    html! {
        section.block #sign {
            h2 { "Sign" }
            p { "By signing you say that the above is how the boat was on this day." }
            form.sign-form method="post" action=(links::sign(charter, walk.word())) data-sign {
                (seal(site))
                fieldset {
                    legend { "Who signs" }
                    div.pick-one {
                        @for (value, words) in [("skipper", "Skipper of the crew"), ("base", "For the base"), ("crew", "Of the crew")] {
                            label.choice { input type="radio" name="role" value=(value) checked[value == role] required; span { (words) } }
                        }
                    }
                    (kept.beside("role"))
                    (who(site, over, kept))
                }
                div.draw data-draw hidden {
                    p #draw-words { "Draw your name with a finger or a pen." }
                    canvas.pad #pad aria-labelledby="draw-words" data-pad {}
                    input type="hidden" name="strokes" value=(kept.get("strokes")) data-strokes;
                    button.plain type="button" data-clear { "Draw it again" }
                }
                label.tick #tick-instead { input type="checkbox" name="typed" value="yes" checked[kept.get("typed") == "yes"];
                    "I can't draw here: my name as typed is my signature" }
                p.hint { "A typed name is weaker than one that was drawn: the sheet says that it was typed and ticked." }
                (kept.beside("strokes"))
                button #sign-button type="submit" { "Sign" }
            }
        }
    }
}

/// Whose signature is missing: the crew's skipper first.
fn missing_role(over: &Handover<'_>, walk: Walking) -> &'static str {
    let there = |role: Role| {
        over.stands.signed.iter().any(|one| one.signature.walk == walk.walk() && one.signature.role == role)
    };
    if !there(Role::Skipper) {
        "skipper"
    } else if !there(Role::Base) {
        "base"
    } else {
        "crew"
    }
}

/// Somebody whose name is kept with the charter, or a new name.
fn who(site: &Site, over: &Handover<'_>, kept: &Kept<'_>) -> Markup {
    let crew: Vec<(PersonId, String)> = over.names.crew(over.standing);
    let me = match &site.viewer {
        Viewer::Member { name, .. } => name.as_str(),
        Viewer::Crew { .. } | Viewer::Nobody => "",
    };
    html! {
        @if !crew.is_empty() {
            div.field {
                label for="person" { "Name" }
                select #person name="person" {
                    option value="" { "Somebody else: type the name below" }
                    @for (id, name) in crew { option value=(id.as_str()) selected[kept.get("person") == id.as_str()] { (name) } }
                }
                (kept.beside("person"))
            }
        }
        div.field {
            label for="name" { "Name, typed" }
            input #name name="name" type="text" maxlength="120" autocomplete="off" value=(kept.get("name")) aria-describedby=[kept.described("name")];
            @if !me.is_empty() { p.hint { "For the base leave it empty to sign as " (words::capital(me)) "." } }
            (kept.beside("name"))
        }
    }
}
