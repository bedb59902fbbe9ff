//! One step of a list: where to stand, what to mind, what to do, what to look for.

use boat::model::{Boat, Limit, LimitKind, Step, StepKind, VarKind};
use maud::{Markup, html};
use quantity::Time;

use crate::vessel::Vessel;
use crate::{caution, links, say, words};

/// A step with its number; `known` says that its item was pointed at before in the same list.
pub(crate) fn step(vessel: &Vessel, number: usize, step: &Step, known: bool) -> Markup {
    let boat = &vessel.boat;
    html! {
        li.step id=(format!("step-{number}")) {
            span.step-number aria-hidden="true" { (number) }
            (stand_at(vessel, step))
            (caution::panels(boat, &caution::cautions_at(boat, step)))
            p.say { span.vh { "Step " (number) ": " } (verb_first(boat, step)) }
            @if !known { (find_it(boat, step)) }
            (timing(boat, step))
            @if let Some(why) = &step.why { p.why { (say::prose(boat, why)) } }
            (look_for(boat, step))
            label.tick { input type="checkbox" name=(format!("done-{number}")) autocomplete="off"; "Done" }
        }
    }
}

fn verb_first(boat: &Boat, step: &Step) -> Markup {
    let said = say::step(boat, step);
    html! {
        @if step.say.is_none() && matches!(step.kind, StepKind::Look { .. }) { "Look: " }
        (said)
    }
}

fn stand_at(vessel: &Vessel, step: &Step) -> Markup {
    let boat = &vessel.boat;
    html! {
        @if let Some(place) = boat.step_place(step) {
            p.at {
                "At: " a href=(links::place(&vessel.slug, &boat.places[place].id)) { (boat.places[place].name) }
                span.no-print { ", " (words::level(boat.places[place].level)) }
            }
        }
    }
}

fn find_it(boat: &Boat, step: &Step) -> Markup {
    html! {
        @if let Some(item) = boat.step_item(step) {
            @let item = &boat.items[item];
            @if let Some(find) = &item.find { p.soft { strong { (item.name) ": " } (say::prose(boat, find)) } }
        }
    }
}

fn look_for(boat: &Boat, step: &Step) -> Markup {
    let tell = match &step.kind {
        StepKind::Set { var, to, .. } => boat.vars[*var].tell.get(usize::from(to.0)).and_then(Option::as_ref),
        StepKind::Do { action, .. } => boat.actions[*action].tell.as_ref(),
        StepKind::Look { look, .. } => step.say.as_ref().map(|_| look),
        StepKind::Wait { .. } => None,
    };
    let otherwise = match &step.kind {
        StepKind::Look { otherwise, .. } => otherwise.as_ref(),
        _ => None,
    };
    html! {
        @if tell.is_some() || otherwise.is_some() {
            div.look-for {
                @if let Some(tell) = tell { p { strong { "Look for: " } (say::prose(boat, tell)) } }
                @if let Some(otherwise) = otherwise { p { strong { "If not, stop here: " } (say::prose(boat, otherwise)) } }
            }
        }
    }
}

fn timing(boat: &Boat, step: &Step) -> Markup {
    let limits = limits(boat, step);
    match &step.kind {
        StepKind::Set { hold: Some(time), .. } | StepKind::Do { hold: Some(time), rest: None, .. } => {
            bar("Keep on for", *time, &limits)
        }
        StepKind::Do { hold, rest: Some(rest), .. } => html! {
            @if let Some(hold) = hold { (bar("Keep on for", *hold, &limits)) }
            p.hold { "Then rest for " (words::time(*rest)) "." }
        },
        StepKind::Wait { time, .. } => bar("Wait", *time, &[]),
        _ => limit_lines(&limits),
    }
}

fn limits<'b>(boat: &'b Boat, step: &Step) -> Vec<&'b Limit> {
    match &step.kind {
        StepKind::Set { var, .. } => match &boat.vars[*var].kind {
            VarKind::Control(control) => control.limits.iter().collect(),
            VarKind::State(_) => Vec::new(),
        },
        StepKind::Do { action, .. } => {
            let action = &boat.actions[*action];
            let of_item = action.item.iter().flat_map(|item| &boat.items[*item].limits);
            action.limits.iter().chain(of_item).collect()
        }
        StepKind::Look { .. } | StepKind::Wait { .. } => Vec::new(),
    }
}

fn limit_lines(limits: &[&Limit]) -> Markup {
    html! {
        @for limit in limits {
            p.hold { (words::limit_kind(limit.kind)) ": " (words::quantity(limit.is)) }
        }
    }
}

/// A bar of time: how long, with marks where it is long enough and where it is too long.
fn bar(verb: &str, time: Time, limits: &[&Limit]) -> Markup {
    let bound = |kind: LimitKind| {
        limits.iter().find(|limit| limit.kind == kind).and_then(|limit| Time::try_from(limit.is).ok())
    };
    let (least, most) = (bound(LimitKind::Hold), bound(LimitKind::Longest));
    let longest = [Some(time), least, most].into_iter().flatten().map(Time::as_seconds).fold(1e-9, f64::max);
    let x = |time: Time| 2.0 + 216.0 * (time.as_seconds() / longest).clamp(0.0, 1.0);
    let bounds = [least.map(|least| ("at least", least)), most.map(|most| ("never over", most))];
    let bounds = bounds.into_iter().flatten().map(|(what, time)| format!("; {what} {}", words::time(time)));
    let words = format!("{verb} {}{}", words::time(time), bounds.collect::<String>());
    html! {
        p.hold {
            svg viewBox="0 0 220 22" aria-hidden="true" focusable="false" {
                rect.track x="1" y="4" width="218" height="14" rx="3" {}
                rect.run x="2" y="5" width=(format!("{:.1}", x(time) - 2.0)) height="12" rx="2" {}
                @for mark in [least, most].into_iter().flatten() {
                    path.mark-line d=(format!("M{:.1} 0V22", x(mark))) {}
                }
            }
            span { (words) }
        }
    }
}
