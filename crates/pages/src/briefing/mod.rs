//! The briefing: planned for the time there is, run topic by topic, and what is left of it to reading.

mod ask;
mod data;
mod ending;
mod lists_page;
mod plan_page;
mod reading;
mod run;
mod run_page;
mod topics_page;
mod visits;

pub use ask::BriefAsk;
pub use data::briefing_data;
pub use ending::ending_page;
pub use lists_page::checklists_page;
pub use plan_page::{briefing_page, charter_briefing_page};
pub use reading::{ReadFlaw, left_to_read, read_topics, reading_page};
pub use run::{Run, ShownFlaw, shown};
pub use run_page::run_page;
pub use topics_page::topics_page;

use boat::model::Boat;
use brief::{Briefing, Flaw, Given, Line};
use records::{BoatStanding, Severity};
use rules::Checklist;

use crate::equipment::law_of;
use crate::vessel::Vessel;

/// What cannot be left out beside every plan of a briefing.
const CAUTION: &str = "This ranks what to say by what is known of this boat. It does not know these people, this day's \
weather or these waters: whoever hands over decides, and adds what is missing. Local law, the makers' manuals and the \
base's insurer come first.";

/// The topics of a boat as she stands, with a published list gone through if one is.
pub(crate) fn briefing_of<'v>(
    vessel: &'v Vessel,
    standing: Option<&BoatStanding>,
    list: Option<&Checklist>,
) -> Briefing<'v> {
    let flaws = standing.map_or_else(Vec::new, |standing| flaws(&vessel.boat, standing));
    let lines = list.map_or_else(Vec::new, lines);
    Briefing::new(
        &vessel.boat,
        &Given { played: &vessel.played, flaws: &flaws, law: &law_of(&vessel.boat), lines: &lines },
    )
}

/// What is not in order with her.
fn flaws(boat: &Boat, standing: &BoatStanding) -> Vec<Flaw> {
    standing
        .open_defects()
        .map(|open| {
            let item = boat.items.iter_ids().find(|(_, item)| item.id == open.defect.item);
            Flaw {
                id: open.found.event.to_string(),
                name: item.map_or_else(|| open.defect.item.clone(), |(_, item)| item.name.clone()),
                words: open.defect.words.clone(),
                item: item.map(|(id, _)| id),
                safety: open.severity == Severity::Safety,
            }
        })
        .collect()
}

/// The lines of a published list, as a briefing goes through them.
pub fn lines(list: &Checklist) -> Vec<Line> {
    let line = |line: &rules::ChecklistLine| Line {
        list: list.title.clone(),
        words: line.words.clone(),
        about: line.about.clone(),
    };
    list.lines.iter().map(line).collect()
}
