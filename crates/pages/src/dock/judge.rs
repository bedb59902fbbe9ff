//! What is said of a reading that can't be, or that is unlikely.

use std::collections::BTreeMap;

use quantity::System;
use records::{BoatStanding, Doubt, EventId, Impossible, Judged, Meter, Moment, Past, Reading};

use super::figures;
use super::flaw::Flaw;
use super::handover::Handover;
use crate::words;

/// What the records say of a meter, without the reading that is being corrected.
pub(crate) fn past(over: &Handover<'_>, meter: &Meter, corrected: Option<EventId>) -> Past {
    let Some(records) = over.records() else { return Past::default() };
    let mut sights = records.meters.get(meter).cloned().unwrap_or_default();
    sights.retain(|sight| Some(sight.mark.event) != corrected);
    let others = BoatStanding {
        meters: BTreeMap::from([(meter.clone(), sights)]),
        meters_replaced: records.meters_replaced.clone(),
        fillings: records.fillings.clone(),
        ..BoatStanding::default()
    };
    Past::of(&others, meter)
}

/// What to tell the hand; nothing if the reading is to be written down.
pub(crate) fn flaw(
    over: &Handover<'_>,
    field: &str,
    reading: &Reading,
    past: &Past,
    judged: Judged,
    sure: bool,
    now: Moment,
) -> Option<Flaw> {
    let wrote = figures::reading(over.boat(), reading);
    let before =
        past.last.as_ref().map(|(last, when)| (figures::reading(over.boat(), last), ago(*when, now)));
    match judged {
        Judged::Accepted => None,
        Judged::AskAgain(_) if sure => None,
        Judged::AskAgain(doubt) => {
            let words = format!("{} Look again.", unlikely(doubt, &wrote, before.as_ref()));
            Some(Flaw { field: field.to_owned(), words, unlikely: true })
        }
        Judged::Refused(why) => Some(Flaw::wrong(field, impossible(why, &wrote, before.as_ref()))),
    }
}

/// How long ago, roughly.
fn ago(when: Moment, now: Moment) -> String {
    let hours = now.since(when).as_hours();
    if hours < 1.0 {
        "within the last hour".to_owned()
    } else if hours < 36.0 {
        format!("{hours:.0} hours ago")
    } else {
        format!("{:.0} days ago", hours / 24.0)
    }
}

fn unlikely(doubt: Doubt, wrote: &str, before: Option<&(String, String)>) -> String {
    let showed = before.map_or_else(String::new, |(last, ago)| format!("It showed {last} {ago}; "));
    match doubt {
        Doubt::MoreHoursThanTheClock { ran, passed } => format!(
            "{showed}you wrote {wrote}. The engine would have run {} in {}: longer than there was time.",
            figures::hours(ran),
            figures::hours(passed)
        ),
        Doubt::BeforeTheLast => format!("{showed}that was after this one, so nothing can be said of it."),
        Doubt::Voltage { least, most } => format!(
            "You wrote {wrote}. Such a bank shows {} to {} V.",
            words::trimmed(least.as_volts()),
            words::trimmed(most.as_volts())
        ),
        Doubt::FullerUnfilled { more } => format!(
            "{showed}you wrote {wrote}: {} more, and nobody wrote down that it was filled. If it was filled, write that \
             under this field.",
            more.display(System::Metric)
        ),
        Doubt::HeavierUnfilled { more } => format!(
            "{showed}you wrote {wrote}: {} more, and nobody wrote down a fresh bottle. If there is one, write that under \
             this field.",
            more.display(System::Metric)
        ),
    }
}

fn impossible(why: Impossible, wrote: &str, before: Option<&(String, String)>) -> String {
    let showed = before.map_or_else(String::new, |(last, ago)| format!("It showed {last} {ago}; "));
    match why {
        Impossible::NotANumber => "This is not a number. Write it as the meter shows it.".to_owned(),
        Impossible::Negative => format!("You wrote {wrote}: it can't be less than nothing."),
        Impossible::NoSuchThing => "The boat file has no such meter any more. Ask the office.".to_owned(),
        Impossible::OverCapacity { capacity } => {
            format!(
                "You wrote {wrote}: that is more than the tank holds, {}.",
                capacity.display(System::Metric)
            )
        }
        Impossible::OverFilling { filling } => format!(
            "You wrote {wrote}: the bottles hold {} of gas when full. Take off the weight of the empty bottle, which is \
             stamped on it.",
            filling.display(System::Metric)
        ),
        Impossible::OverFull => format!("You wrote {wrote}: a bank can't be fuller than full."),
        Impossible::MeterWentBack { .. } => format!(
            "{showed}you wrote {wrote}: the meter went back. Look again. If the meter was replaced, write below what the \
             new one showed first; if the earlier reading is wrong, it must be corrected on the walk on which it was made."
        ),
    }
}
