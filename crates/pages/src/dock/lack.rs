//! What is missing before a charter comes to its next stage, in words, with the page where it is done.

use std::collections::BTreeSet;

use maud::{Markup, html};
use records::{
    EventId, Force, Lack, Need, Role, Rule, Severity, Showing, Stage, Verdict, lacks, may_check_out,
    usual_rules,
};

use super::figures::{meter_key, meter_name};
use super::handover::{Handover, Walking};
use super::stops::{self, BRIEFING, Stop};
use crate::frame::{self, Site, seal};
use crate::{links, words};

/// What is missing before the stage of a walk, what must be there first.
pub(crate) fn missing(over: &Handover<'_>, stage: Stage) -> Vec<Lack> {
    let rules = usual_rules(over.boat());
    let there = matches!(over.stands.life, records::Life::At(at) if at >= stage);
    let mut all = match stage {
        Stage::CheckedOut if there => Vec::new(),
        Stage::CheckedOut => before_check_out(over, &rules),
        _ => lacks(over.standing, over.charter, stage, &rules),
    };
    // A defect of safety is told once, where it stands in the way.
    let grave: BTreeSet<EventId> =
        all.iter().filter(|lack| lack.need == GRAVE).flat_map(|lack| lack.because.clone()).collect();
    for lack in all.iter_mut().filter(|lack| matches!(lack.need, Need::NoDefect(_)) && lack.need != GRAVE) {
        lack.because.retain(|event| !grave.contains(event));
    }
    all.retain(|lack| !matches!(lack.need, Need::NoDefect(_)) || !lack.because.is_empty());
    all
}

const GRAVE: Need = Need::NoDefect(Severity::Safety);

fn before_check_out(over: &Handover<'_>, rules: &[Rule]) -> Vec<Lack> {
    match may_check_out(over.standing, over.charter, rules, Some(over.managers)) {
        Verdict::Yes => Vec::new(),
        Verdict::YesBut(lacks) | Verdict::No(lacks) => lacks,
    }
}

/// Whether anything stands in the way of a stage.
pub fn bars(over: &Handover<'_>, stage: Stage) -> bool {
    must(&missing(over, stage))
}

/// Whether any of it must be there.
pub(crate) fn must(lacks: &[Lack]) -> bool {
    lacks.iter().any(|lack| lack.force == Force::Must)
}

/// The lists of what must be there and what should be, each line with the way to it.
pub(crate) fn lists(site: &Site, over: &Handover<'_>, walk: Walking, lacks: &[Lack]) -> Markup {
    let of = |force: Force| lacks.iter().filter(move |lack| lack.force == force);
    html! {
        @if of(Force::Must).next().is_some() {
            section.block #missing {
                h2 { "Still missing" }
                p { "Without these it can't go on." }
                ul.missing { @for line in lines(site, over, walk, of(Force::Must)) { li { (line) } } }
            }
        }
        @if of(Force::Should).next().is_some() {
            section.block #should {
                h2 { "Should be done too" }
                p { "It can go on without these; they are written on the sheet as not done." }
                ul.missing { @for line in lines(site, over, walk, of(Force::Should)) { li { (line) } } }
            }
        }
    }
}

/// One line a lack; counts and readings of one stop are put together.
fn lines<'l>(
    site: &Site,
    over: &Handover<'_>,
    walk: Walking,
    lacks: impl Iterator<Item = &'l Lack>,
) -> Vec<Markup> {
    let all = stops::stops(over.boat(), walk);
    let mut lines = Vec::new();
    let mut by_stop: Vec<(&Stop, Vec<String>)> = Vec::new();
    for lack in lacks {
        match stop_of(over, &all, &lack.need) {
            Some((stop, name)) => match by_stop.iter_mut().find(|(own, _)| own.id == stop.id) {
                Some((_, names)) => names.push(name),
                None => by_stop.push((stop, vec![name])),
            },
            None => lines.push(line(site, over, walk, lack)),
        }
    }
    for (stop, names) in by_stop {
        let address = links::stop(over.charter.as_str(), walk.word(), &stop.id);
        lines.push(html! { a href=(address) { (stop.name) } ": " (few(&names)) "." });
    }
    lines
}

/// The first few names, and how many more there are.
fn few(names: &[String]) -> String {
    const MOST: usize = 4;
    if names.len() <= MOST + 1 {
        return names.join(", ");
    }
    format!("{} and {} more", names[..MOST].join(", "), names.len() - MOST)
}

/// Whether something is done at a stop.
type Fits<'f> = Box<dyn Fn(&Stop) -> bool + 'f>;

/// The stop at which something is done, and what it is called there.
fn stop_of<'s>(over: &Handover<'_>, all: &'s [Stop], need: &Need) -> Option<(&'s Stop, String)> {
    let boat = over.boat();
    let (fits, name): (Fits<'_>, String) = match need {
        Need::Counted(_, line) => {
            let id = boat.kit_line(line)?;
            (Box::new(move |stop| stop.kit.contains(&id)), format!("count {}", boat.kit[id].name))
        }
        Need::Read(_, meter) => {
            let meter = meter.clone();
            let name = format!("read {}", meter_name(over, &meter));
            (Box::new(move |stop| stop.meters.contains(&meter)), name)
        }
        Need::LookedAt(_, item) => {
            let id = boat.item(item)?;
            (Box::new(move |stop| stop.items.contains(&id)), format!("look at {}", boat.items[id].name))
        }
        Need::Briefed(topic, least) => {
            let id = boat.topic(topic)?;
            let how = match least {
                Showing::Shown => "show",
                Showing::ToldOnly => "tell",
                Showing::Read | Showing::NotDone => "tell, or let them read,",
            };
            (Box::new(|stop| stop.id == BRIEFING), format!("{how} \u{201c}{}\u{201d}", boat.topics[id].name))
        }
        _ => return None,
    };
    all.iter().find(|stop| fits(stop)).map(|stop| (stop, name))
}

fn line(site: &Site, over: &Handover<'_>, walk: Walking, lack: &Lack) -> Markup {
    let charter = over.charter.as_str();
    match &lack.need {
        Need::Stage(stage) => stage_line(over, *stage),
        Need::Signed(_, role) => html! {
            a href={ (links::sign(charter, walk.word())) "#sign" } { "Signature of " (role_name(*role)) } "."
        },
        Need::NoDefect(severity) => defects(site, over, *severity, &lack.because),
        Need::Agreed(_) => html! {
            "Hands differ on what they counted or read: "
            @for (at, (name, address)) in disputes(over, walk).into_iter().enumerate() {
                @if at > 0 { ", " } a href=(address) { (name) }
            }
            ". Say there which is right."
        },
        Need::LookedAt(_, item) => html! { "Look at " (over.item(item)) "." },
        Need::Counted(_, line) => html! { "Count " (over.kit(line)) "." },
        Need::Read(_, meter) => html! { "Read " (meter_name(over, meter)) "." },
        Need::Briefed(topic, _) => html! { "Show or tell \u{201c}" (topic) "\u{201d}." },
    }
}

fn stage_line(over: &Handover<'_>, stage: Stage) -> Markup {
    let charter = over.charter.as_str();
    let sign =
        |walk: Walking, words: &str| html! { a href=(links::sign(charter, walk.word())) { (words) } "." };
    match stage {
        Stage::Planned if !over.stands.cancelled.is_empty() => html! { "This charter was cancelled." },
        Stage::Planned => html! { "The charter is not planned yet." },
        Stage::Readied => sign(Walking::Readying, "Make her ready first"),
        Stage::CheckedOut | Stage::Out => sign(Walking::CheckOut, "Check her out first"),
        Stage::HandedBack => sign(Walking::HandBack, "Take her back first"),
        Stage::Settled => html! { "Settle it first." },
    }
}

/// The things on which hands differ on a walk, with where to say what is right.
pub(crate) fn disputes(over: &Handover<'_>, walk: Walking) -> Vec<(String, String)> {
    use records::About;
    let all = stops::stops(over.boat(), walk);
    let here = over.standing.disagreements.iter();
    let here = here.filter(|one| one.charter == *over.charter && one.walk == walk.walk());
    here.map(|one| {
        let (need, name, spot) = match &one.about {
            About::Kit(line) => {
                (Need::Counted(one.walk, line.clone()), over.kit(line), format!("kit.{line}"))
            }
            About::Meter(meter) => {
                (Need::Read(one.walk, meter.clone()), meter_name(over, meter), meter_key(meter))
            }
            About::Item(item) => {
                (Need::LookedAt(one.walk, item.clone()), over.item(item), format!("item.{item}"))
            }
        };
        let charter = over.charter.as_str();
        let address = match stop_of(over, &all, &need) {
            Some((stop, _)) => format!("{}#{spot}", links::stop(charter, walk.word(), &stop.id)),
            None => links::walk(charter, walk.word()),
        };
        (name, address)
    })
    .collect()
}

/// As what someone signs, in a sentence.
pub(crate) fn role_name(role: Role) -> &'static str {
    match role {
        Role::Skipper => "the crew's skipper",
        Role::Crew => "another of the crew",
        Role::Base => "the base",
        Role::Manager => "the manager",
    }
}

/// How bad a defect is, in a few plain words.
pub(crate) fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Cosmetic => "looks only",
        Severity::Hinders => "hinders",
        Severity::Safety => "safety",
    }
}

/// Open defects that stand in the way; the manager can let her go with one here.
fn defects(site: &Site, over: &Handover<'_>, worst: Severity, because: &BTreeSet<EventId>) -> Markup {
    let Some(records) = over.records() else { return html! {} };
    let words = match worst {
        Severity::Safety => {
            "Defects of safety are open. They must be mended and closed, or the manager lets her go with them and says why:"
        }
        Severity::Hinders | Severity::Cosmetic => "Defects are open:",
    };
    let open = because.iter().filter_map(|id| records.defects.get(id));
    html! {
        (words)
        ul {
            @for defect in open {
                li.open-defect id=(format!("defect-{}", defect.id())) {
                    strong { (over.item(&defect.defect.item)) } ": " (words::sentence(&defect.defect.words))
                    " (" (severity(defect.severity)) ")"
                    @if worst == Severity::Safety && site.may(frame::Role::Manager) {
                        form.let-go method="post" action=(links::sails_with(over.charter.as_str(), &defect.id().to_string())) {
                            (seal(site))
                            label for=(format!("why-{}", defect.id())) { "Let her go with it, on this charter, because" }
                            input id=(format!("why-{}", defect.id())) type="text" name="reason" required maxlength="500";
                            button.plain type="submit" { "She sails with it" }
                        }
                    } @else if worst == Severity::Safety {
                        p.hint { "Only the manager can let her go with it." }
                    }
                }
            }
        }
    }
}
