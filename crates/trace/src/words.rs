//! Fault finding in sentences for people.

use boat::model::{Boat, ItemId, PlaceId, ProcedureId, VarId, Who};

use crate::ask::{Ask, Reply, Told, restores};
use crate::case::Case;
use crate::hope::is_control;
use crate::layout::Cause;
use crate::next::{Next, Why};
use crate::symptom::Symptom;

/// A question as it stands on a screen or on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is asked, a full sentence.
    pub says: String,
    /// How to do it, full sentences; may be empty.
    pub how: String,
    /// The words for yes, for no, and for "I can't".
    pub replies: [String; 3],
    /// Where.
    pub place: Option<PlaceId>,
    /// What to look at.
    pub item: Option<ItemId>,
    /// The step list to follow.
    pub list: Option<ProcedureId>,
}

/// A question in words.
pub fn question(case: &Case<'_>, ask: Ask) -> Question {
    let boat = case.boat;
    let (says, how, yes, no) = match ask {
        Ask::Works => ("Does it work now?".to_owned(), String::new(), "Yes, it works", "No, still the same"),
        Ask::Fact(condition) => {
            let row = &boat.conditions[condition];
            (format!("Is this so? {}", row.name), row.look.clone().unwrap_or_default(), "Yes, so it is", "No")
        }
        Ask::Position(var) if case.set_at_once(var) => {
            let says = format!("Look: {} must stand at {}.", noun(boat, var), should(case, var));
            let how = boat.vars[var].tell[usize::from(case.should(var).0)].clone().unwrap_or_default();
            (says, how, "It stood so already", "It did not; I have set it so now")
        }
        Ask::Position(var) if is_control(boat, var) => {
            let says =
                format!("Look, without touching: does {} stand at {}?", noun(boat, var), should(case, var));
            let how = boat.vars[var].tell[usize::from(case.should(var).0)].clone().unwrap_or_default();
            (says, how, "Yes, it stands so", "No")
        }
        Ask::Position(var) => {
            let says = format!("Is this so? {}: {}.", boat.vars[var].name, should(case, var));
            (says, tells(boat, var), "Yes, so it is", "No")
        }
        Ask::Fault(fault) => {
            let row = &boat.faults[fault];
            let how =
                format!("{} What one sees: {}", row.check.clone().unwrap_or_default(), uncapital(&row.seen));
            (format!("Is this the matter? {}.", row.name.trim_end_matches('.')), how, "Yes, that is it", "No")
        }
        Ask::Mend(fault) => {
            let row = &boat.faults[fault];
            let says =
                format!("Found: {}. Mend it, then try again.", uncapital(row.name.trim_end_matches('.')));
            (says, row.mend.clone().unwrap_or_default(), "Done, and it works", "Done, and it still does not")
        }
        Ask::Restore(var) => {
            let says =
                format!("Bring this about, then try again. {}: {}.", boat.vars[var].name, should(case, var));
            (says, String::new(), "Done, and it works", "Done, and it still does not")
        }
    };
    let cannot = match ask {
        Ask::Mend(_) | Ask::Restore(_) => "I can't do that",
        _ => "I can't check that",
    };
    Question {
        says,
        how,
        replies: [yes.to_owned(), no.to_owned(), cannot.to_owned()],
        place: ask.place(boat),
        item: item_of(boat, ask),
        list: list_of(case, ask),
    }
}

fn item_of(boat: &Boat, ask: Ask) -> Option<ItemId> {
    match ask {
        Ask::Works => None,
        Ask::Fact(condition) => boat.conditions[condition].items.first().copied(),
        Ask::Position(var) | Ask::Restore(var) => boat.var_item(var),
        Ask::Fault(fault) | Ask::Mend(fault) => Some(boat.faults[fault].item),
    }
}

fn list_of(case: &Case<'_>, ask: Ask) -> Option<ProcedureId> {
    match ask {
        Ask::Mend(fault) => case.boat.faults[fault].mend_by,
        Ask::Restore(var) => restores(case.boat, case.hope(), var),
        _ => None,
    }
}

/// How each value of a state can be told.
fn tells(boat: &Boat, var: VarId) -> String {
    let row = &boat.vars[var];
    let tells: Vec<String> = row
        .tell
        .iter()
        .zip(&row.labels)
        .filter_map(|(tell, label)| tell.as_ref().map(|tell| format!("{label}: {tell}")))
        .collect();
    tells.join(" ")
}

fn noun(boat: &Boat, var: VarId) -> String {
    format!("“{}”", boat.vars[var].name)
}

fn should<'a>(case: &'a Case<'_>, var: VarId) -> &'a str {
    case.boat.vars[var].label(case.should(var))
}

/// What may be the matter, in words without a full stop.
pub fn cause(case: &Case<'_>, what: Cause) -> String {
    let boat = case.boat;
    if let Some(fault) = case.fault_of(what) {
        return boat.faults[fault].name.trim_end_matches('.').to_owned();
    }
    match what {
        Cause::Position(var, value) => {
            let row = &boat.vars[var];
            if is_control(boat, var) {
                format!("“{}” stands at {}, not at {}", row.name, row.label(value), should(case, var))
            } else {
                format!("{}: {}", row.name, row.label(value))
            }
        }
        Cause::Item(item) => {
            format!("{}: failed in a way that the boat file does not list", boat.items[item].name)
        }
        Cause::Fault(fault) => boat.faults[fault].name.clone(),
        Cause::Unknown => "Something that the boat file does not know".to_owned(),
    }
}

/// How surely, in a word or two.
pub fn how_sure(chance: f64) -> &'static str {
    match chance {
        p if p >= 0.95 => "almost certain",
        p if p >= 0.75 => "very likely",
        p if p >= 0.5 => "likely",
        p if p >= 0.25 => "quite possible",
        p if p >= 0.1 => "possible",
        p if p >= 0.02 => "less likely",
        _ => "unlikely",
    }
}

/// A probability for people: whole per cents, never 0 or 100 for what is not certain.
pub fn per_cent(chance: f64) -> String {
    let rounded = libm::round(chance * 100.0);
    if chance > 0.0 && rounded < 1.0 {
        "under 1 %".to_owned()
    } else if chance < 1.0 && rounded >= 100.0 {
        "over 99 %".to_owned()
    } else {
        format!("{rounded:.0} %")
    }
}

/// An answer that was given, as one line.
pub fn told(case: &Case<'_>, told: Told) -> String {
    let asked = question(case, told.ask);
    let reply = match told.reply {
        Reply::Yes => &asked.replies[0],
        Reply::No => &asked.replies[1],
        Reply::Cannot => &asked.replies[2],
    };
    format!("{} — {}.", asked.says, reply)
}

/// Why the base is called, a full sentence.
pub fn why(case: &Case<'_>, why: Why) -> String {
    match why {
        Why::Found(found) => {
            format!("Found: {}. That is for the base to mend.", uncapital(&cause(case, found)))
        }
        Why::NothingLeft => match case.who() {
            Who::Base => "Nothing is left that can be checked by what the boat file says.".to_owned(),
            Who::Crew | Who::Skipper => "What is left is not for you to check. Leave it as it is.".to_owned(),
        },
        Why::GuideEnds => "This guide goes no further; the questions on the screen may.".to_owned(),
        Why::NotWorth { .. } if case.told().is_empty() => {
            "Nothing that you could check is likely to save you time. Leave it as it is.".to_owned()
        }
        Why::NotWorth { .. } => {
            "More checks would cost you more time than they are likely to save. Leave it as it is.".to_owned()
        }
    }
}

/// The case as it is read out to the base: what is wrong, what was checked, what is suspected.
pub fn summary(case: &Case<'_>, symptom: &Symptom) -> Vec<String> {
    let mut lines = vec![format!("{}: {}", case.boat.particulars.name, symptom.words)];
    lines.extend(case.told().iter().map(|answer| told(case, *answer)));
    match case.next() {
        Next::Solved => lines.push("It works again.".to_owned()),
        Next::Call(reason) => lines.push(why(case, reason)),
        Next::Ask(_) | Next::Emergency(_) => {}
    }
    let suspects: Vec<String> = case
        .suspects()
        .into_iter()
        .filter(|suspect| suspect.chance >= 0.05)
        .take(4)
        .map(|suspect| format!("{} ({})", cause(case, suspect.cause), per_cent(suspect.chance)))
        .collect();
    if !case.solved && !suspects.is_empty() {
        lines.push(format!("Suspected: {}.", suspects.join("; ")));
    }
    lines
}

fn uncapital(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else { return String::new() };
    let second_small = letters.clone().next().is_none_or(|c| !c.is_uppercase());
    if second_small { first.to_lowercase().chain(letters).collect() } else { text.to_owned() }
}
