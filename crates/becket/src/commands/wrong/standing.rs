//! A case as it stands, in words: what is asked next and where, what is suspected, how it ends.

use boat::model::{Boat, CautionId, Hazard, ItemId, PlaceId, Step, StepKind, Value, VarId, Who};
use operate::{Model, cautions};
use quantity::System;
use trace::words::{self, Question};
use trace::{Ask, Case, Next, Reply, Symptom, Told, Why};

use crate::commands::case::Desk;
use crate::commands::{symptoms, urgent};
use crate::layout::{self, Side};
use crate::say;

/// What is less likely is not told.
const LEAST: f64 = 0.02;
/// How many suspects are told.
const MOST: usize = 5;
/// From so much on, the emergency list of a suspect is told with every question.
const WATCH: f64 = 0.05;
/// How many further checks are told to whoever can't reach the base.
const MOST_FURTHER: usize = 3;

/// The whole case, where nobody is there to be asked.
pub(super) fn of(desk: &Desk, symptom: &Symptom, case: &Case<'_>) -> String {
    let boat = &desk.boat;
    let mut out = head(desk, symptom);
    out.push_str(&layout::wrap(&urgent::line(boat, &desk.argument, false), ""));
    if !case.told().is_empty() {
        out.push_str("\nAnswered so far\n");
        for (at, told) in case.told().iter().enumerate() {
            let line = words::told(case, *told);
            out.push_str(&layout::hang(&say(boat, &line), &format!("{:>3}. ", at + 1), "     "));
        }
    }
    let next = case.next();
    if next != Next::Solved {
        out.push('\n');
        out.push_str(&suspects(case));
    }
    out.push('\n');
    match &next {
        Next::Ask(step) => {
            out.push_str(&question(desk, case, step.ask, "Next: "));
            out.push_str("\nGive the answer with those before it, in order:\n");
            let rows: Vec<[String; 2]> = [Reply::Yes, Reply::No, Reply::Cannot]
                .into_iter()
                .zip(words::question(case, step.ask).replies)
                .map(|(reply, says)| [format!("--told {}", Told { ask: step.ask, reply }.token(boat)), says])
                .collect();
            out.push_str(&layout::columns("  ", [Side::Left, Side::Left], &rows));
        }
        end => out.push_str(&ending(desk, symptom, case, end)),
    }
    out
}

/// The symptom, and at what it shows.
pub(super) fn head(desk: &Desk, symptom: &Symptom) -> String {
    let boat = &desk.boat;
    let words =
        format!("{}: {} ({})", boat.particulars.name, say(boat, &symptom.words), symptoms::at(boat, symptom));
    layout::wrap(&words, "")
}

/// The likeliest causes, in words and per cent; and what might turn into an emergency.
pub(super) fn suspects(case: &Case<'_>) -> String {
    let shown: Vec<_> =
        case.suspects().into_iter().filter(|suspect| suspect.chance >= LEAST).take(MOST).collect();
    if shown.is_empty() {
        return "Nothing in particular is suspected.\n".to_owned();
    }
    let mut out = String::from("What is suspected\n");
    for suspect in shown {
        let sure = format!("{}, {}", words::how_sure(suspect.chance), words::per_cent(suspect.chance));
        out.push_str(&layout::hang(
            &format!("{}: {sure}", words::cause(case, suspect.cause)),
            "  - ",
            "    ",
        ));
    }
    out
}

/// A question with what to mind, how it is done and where.
pub(super) fn question(desk: &Desk, case: &Case<'_>, ask: Ask, first: &str) -> String {
    let boat = &desk.boat;
    let asked = words::question(case, ask);
    let indent = " ".repeat(first.chars().count().min(6));
    let mut out = watch(boat, case);
    out.push_str(&layout::hang(&say(boat, &asked.says), first, &indent));
    if !asked.how.is_empty() {
        out.push_str(&layout::wrap(&say(boat, &asked.how), &indent));
    }
    for line in minding(boat, case, ask, &asked) {
        out.push_str(&layout::wrap(&line, &indent));
    }
    for line in place(boat, asked.place, asked.item) {
        out.push_str(&layout::wrap(&line, &indent));
    }
    if let Some(list) = asked.list {
        out.push_str(&layout::wrap("The steps for it:", &indent));
        for line in urgent::steps(boat, list).lines() {
            out.push_str(format!("{indent}{line}").trim_end());
            out.push('\n');
        }
    }
    out
}

/// The list to know of while something is suspected that would be an emergency.
fn watch(boat: &Boat, case: &Case<'_>) -> String {
    let Some((fault, list)) = case.watch_for(WATCH) else { return String::new() };
    let (fault, list) = (&boat.faults[fault], &boat.procedures[list]);
    let words = format!(
        "WARNING: It may turn into an emergency. It may be this: {}. What you would see: {} If so, stop here and follow \
         \"{}\" at once.",
        say(boat, fault.name.trim_end_matches('.')),
        say(boat, &fault.seen),
        list.name
    );
    layout::wrap(&words, "") + "\n"
}

/// Where to look, and how to find it.
pub(crate) fn place(boat: &Boat, place: Option<PlaceId>, item: Option<ItemId>) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(place) = place {
        let row = &boat.places[place];
        let way = row.way.as_ref().map_or_else(String::new, |way| format!(" {}", say(boat, way)));
        lines.push(format!("Where: {}.{way}", row.name));
    }
    if let Some(item) = item {
        let row = &boat.items[item];
        let label = row.label.as_ref().map_or_else(String::new, |label| format!(", labelled {label}"));
        let find = row.find.as_ref().map_or_else(|| ".".to_owned(), |find| format!(": {}", say(boat, find)));
        lines.push(format!("{}{label}{find}", row.name));
    }
    lines
}

/// What to mind at just this question: the cautions of what is set, and what only the base does.
pub(crate) fn minding(boat: &Boat, case: &Case<'_>, ask: Ask, asked: &Question) -> Vec<String> {
    let mut lines = Vec::new();
    let of = |var: VarId| setting(boat, var, case.should(var));
    let found = match ask {
        Ask::Position(var) | Ask::Restore(var) => of(var),
        Ask::Fault(fault) | Ask::Mend(fault) => {
            let row = &boat.faults[fault];
            lines.extend(row.danger.map(danger));
            row.means.map_or_else(Vec::new, |means| of(means.var))
        }
        Ask::Fact(_) | Ask::Works => Vec::new(),
    };
    // Those of a step list stand with its steps.
    if asked.list.is_none() {
        lines.extend(found.into_iter().map(|id| say::caution(boat, id)));
    }
    lines
}

/// The cautions of setting a control so.
fn setting(boat: &Boat, var: VarId, to: Value) -> Vec<CautionId> {
    let kind = StepKind::Set { var, to, hold: None };
    let step = Step { kind, say: None, why: None, place: None, item: None, cautions: Vec::new() };
    let is_control = matches!(boat.vars[var].kind, boat::model::VarKind::Control(_));
    if is_control { cautions(&Model::new(boat), &step) } else { Vec::new() }
}

fn danger(hazard: Hazard) -> String {
    let of = match hazard {
        Hazard::Gas => "Gas",
        Hazard::Fire => "Fire",
        Hazard::Fuel => "Fuel",
        Hazard::Mains => "Mains current",
        Hazard::Battery => "A battery's current and acid",
        Hazard::Flooding => "Water coming in",
        Hazard::Overboard => "Falling overboard",
        Hazard::Fumes => "Fumes",
        Hazard::Hot => "Hot parts",
        Hazard::Crush => "Crushing",
        Hazard::Fall => "A fall",
        Hazard::Sea => "The sea",
        Hazard::Gear => "Damage",
    };
    format!(
        "WARNING: Danger here: {of}. Only the base's own people check or mend this; everyone else leaves it alone."
    )
}

/// How a case ends, with what is read out to the base.
pub(super) fn ending(desk: &Desk, symptom: &Symptom, case: &Case<'_>, end: &Next) -> String {
    let boat = &desk.boat;
    let base = case.who() == Who::Base;
    let mut out = String::new();
    match end {
        Next::Solved => {
            out.push_str("It works again.\n");
            out.push_str(&layout::wrap(
                "Tell the base when you hand her back, even if it seems small: they look whether it comes again.",
                "",
            ));
            out.push_str("\nWhat to tell the base\n");
        }
        Next::Emergency(list) => {
            out.push_str("Stop. This is an emergency. Begin at once.\n\n");
            out.push_str(&urgent::steps(boat, *list));
            out.push_str("\nWhat to tell the base once all are safe\n");
        }
        Next::Call(why) => {
            out.push_str(if base { "No more to check.\n" } else { "Call the base.\n" });
            out.push_str(&layout::wrap(&say(boat, &words::why(case, *why)), ""));
            if !matches!(why, Why::Found(_)) {
                out.push_str(&further(boat, case));
            }
            out.push_str(if base { "\nThe case in short\n" } else { "\nRead this out to the base\n" });
        }
        Next::Ask(_) => out.push_str("The case so far, to read out\n"),
    }
    out.push_str(&summary(boat, symptom, case));
    out
}

/// The case as it is read out.
pub(super) fn summary(boat: &Boat, symptom: &Symptom, case: &Case<'_>) -> String {
    let lines = words::summary(case, symptom);
    lines.iter().map(|line| layout::hang(&say(boat, line), "  - ", "    ")).collect()
}

/// More that could be checked, for whoever can't reach the base, or is the base.
fn further(boat: &Boat, case: &Case<'_>) -> String {
    let choices = case.choices();
    if choices.is_empty() {
        return String::new();
    }
    let mut out = String::from("\nIf you can't reach anybody and have the time, you may still check\n");
    for step in choices.iter().take(MOST_FURTHER) {
        let says = say(boat, &words::question(case, step.ask).says);
        let line = format!(
            "{says} About {}. Answered with --told {}.yes, .no or .cannot.",
            minutes(step.minutes),
            step.ask.token(boat)
        );
        out.push_str(&layout::hang(&line, "  - ", "    "));
    }
    out
}

/// Minutes for people, to the nearest whole one.
pub(crate) fn minutes(minutes: f64) -> String {
    let whole = minutes.round().max(1.0);
    if whole < 1.5 { "1 minute".to_owned() } else { format!("{whole:.0} minutes") }
}

pub(crate) fn say(boat: &Boat, text: &str) -> String {
    boat.say(text, System::Metric)
}
