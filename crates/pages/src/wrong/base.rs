//! The same case for the base: all suspects with their rates, sets of causes, all choices, and how she should stand.

use boat::model::{Id, VarId};
use maud::{Markup, html};
use trace::{Case, Cause, words};

use super::ask::CaseAsk;
use super::ending::minutes;
use super::suspects::{bar, thing};
use crate::links::{self, CaseForm};
use crate::parts::chip;
use crate::vessel::Vessel;
use crate::words::{count, trimmed_small};

/// Suspects below this are only counted.
const LEAST: f64 = 0.001;
/// How many sets of causes are shown.
const MOST_SETS: usize = 10;

pub(super) fn section(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    html! {
        section.block.for-base aria-labelledby="base" {
            h2 #base { "For the base" }
            p.soft { "Chances are reckoned from the boat file's conditions, its failure rates and the answers above, by Bayes' rule." }
            (all_suspects(vessel, ask))
            (sets(ask))
            (choices(vessel, ask))
            (hope(vessel, &ask.case))
            p.no-print { a href=(ask.address(vessel, CaseForm::Data, ask.case.who())) { "This case as JSON" } ", for programs." }
        }
    }
}

fn all_suspects(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let all = ask.case.suspects();
    let (shown, rest): (Vec<_>, Vec<_>) = all.iter().partition(|suspect| suspect.chance >= LEAST);
    html! {
        h3 { "All that is suspected" }
        div.scroll tabindex="0" role="region" aria-label="All that is suspected" {
            table.list {
                thead { tr { th scope="col" { "What" } th scope="col" { "Chance" } th scope="col" { "How often" } th scope="col" { "Source of the rate" } } }
                tbody {
                    @for suspect in &shown {
                        @let (rate, source) = rate(vessel, &ask.case, suspect.cause);
                        tr {
                            @let cause = words::cause(&ask.case, suspect.cause);
                            th scope="row" { (cause) @if let Some(item) = thing(vessel, &ask.case, suspect.cause, &cause) { span.soft { " (" (item) ")" } } }
                            td.number data-name="Chance" { (words::per_cent(suspect.chance)) (bar(suspect.chance)) }
                            td data-name="How often" { (rate) }
                            td data-name="Source of the rate" { (source) }
                        }
                    }
                }
            }
        }
        @if !rest.is_empty() { p.soft { (crate::words::capital(&count(rest.len(), "other", "others"))) " below 0.1 %, not shown." } }
    }
}

/// How often it comes, and who says so.
fn rate(vessel: &Vessel, case: &Case<'_>, suspected: Cause) -> (String, String) {
    const JUDGEMENT: &str = "judgement, not in the boat file";
    if let Some(fault) = case.fault_of(suspected) {
        let fault = &vessel.boat.faults[fault];
        let source = fault.source.clone().unwrap_or_else(|| "the boat file names none".to_owned());
        return (format!("{} a charter year", trimmed_small(fault.per_year)), source);
    }
    let rate = match suspected {
        Cause::Position(..) => "left so by hand, or come to be so",
        Cause::Item(_) => "usual for an item without listed faults",
        Cause::Fault(_) | Cause::Unknown => "usual for what nobody wrote down",
    };
    (rate.to_owned(), JUDGEMENT.to_owned())
}

fn sets(ask: &CaseAsk<'_>) -> Markup {
    let case = &ask.case;
    html! {
        h3 { "What may be the matter together" }
        ol.plainly {
            @for set in case.together(MOST_SETS).iter().filter(|set| set.chance >= LEAST) {
                li {
                    @if set.causes.is_empty() { "Nothing" }
                    @for (at, cause) in set.causes.iter().enumerate() { @if at > 0 { strong { " and " } } (words::cause(case, *cause)) }
                    ": " strong { (words::per_cent(set.chance)) }
                }
            }
        }
        p {
            "How many things are otherwise than they should be, whether they bear on it or not: "
            @for (number, share) in case.how_many().iter().enumerate() {
                @if number > 0 { ", " }
                (number_word(number)) " " (words::per_cent(*share))
            }
            ". More at once are not considered; before any check they are " (words::per_cent(case.left_out())) " of such cases."
        }
    }
}

fn number_word(number: usize) -> String {
    match number {
        0 => "none".to_owned(),
        1 => "one".to_owned(),
        2 => "two".to_owned(),
        _ => number.to_string(),
    }
}

fn choices(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let choices = ask.case.choices();
    html! {
        h3 { "All that could be asked now, the best first" }
        @if choices.is_empty() { p { "Nothing is left." } } @else {
            p.soft { "A bit is what the answer to an even question tells: the more, the better it parts the suspects. "
                "Expected minutes count this check and all that follows, until it works or the base has come." }
            div.scroll tabindex="0" role="region" aria-label="All that could be asked now" {
                table.list {
                    thead { tr { th scope="col" { "What" } th scope="col" { "A yes" } th scope="col" { "Tells" }
                        th scope="col" { "Takes" } th scope="col" { "Expected in all" } } }
                    tbody {
                        @for step in &choices {
                            tr {
                                th scope="row" { a href=(ask.asking(vessel, step.ask)) { (words::question(&ask.case, step.ask).says) } }
                                td.number data-name="A yes" { (words::per_cent(step.yes)) }
                                td.number data-name="Tells" { (format!("{:.2} bits", step.bits)) }
                                td.number data-name="Takes" { (minutes(step.minutes)) }
                                td.number data-name="Expected in all" { (minutes(step.expected)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// How she is taken to stand: what the step lists that were followed have set.
fn hope(vessel: &Vessel, case: &Case<'_>) -> Markup {
    let boat = &vessel.boat;
    let hope = case.hope();
    let touched: Vec<VarId> = boat.vars.ids().filter(|var| hope.touched[var.index()]).collect();
    html! {
        h3 { "How she should stand" }
        @match hope.followed {
            Some(list) => p { "Taken to be followed, with the lists before it: " a href=(links::steps(&vessel.slug, &boat.procedures[list].id)) { (boat.procedures[list].name) } "." },
            None => p { "No step list brings this about; she is taken to stand as near to rest as it allows." },
        }
        @if !touched.is_empty() {
            ul.plainly.left-on {
                @for var in touched { li { (boat.vars[var].name) ": " (chip(boat.vars[var].label(case.should(var)))) } }
            }
            p.soft { "Everything else is at rest." }
        }
    }
}
