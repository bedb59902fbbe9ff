//! `briefing`: what to tell and show a crew in the time there is, in walking order.

use std::fmt::Write as _;

use boat::model::Boat;
use brief::{Always, Ask, Briefing, Depth, Experience, Given, Line, Plan, Trip};
use clap::{Args, ValueEnum};
use pages::briefing::{BriefAsk, briefing_data};
use quantity::{System, Time};

use crate::layout::{self, Side};
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
#[allow(clippy::struct_excessive_bools, reason = "each is one question with yes or no")]
pub(crate) struct BriefingArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// How many minutes there are, from 5 to 480.
    #[arg(long, default_value_t = 60)]
    minutes: u32,
    /// How well the crew knows boats like her, by their own word.
    #[arg(long, value_enum, default_value_t = Knows::New)]
    crew: Knows,
    /// They will anchor.
    #[arg(long)]
    anchoring: bool,
    /// The water or the nights are cold.
    #[arg(long)]
    cold: bool,
    /// Children come along.
    #[arg(long)]
    children: bool,
    /// They may be out in the dark.
    #[arg(long)]
    dark: bool,
    /// Go through a published list as well, by its id, such as "canada_rental_sample".
    #[arg(long)]
    list: Option<String>,
    /// Print the words of each topic too.
    #[arg(long)]
    words: bool,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// How well a crew knows boats like her.
#[derive(Clone, Copy, ValueEnum)]
enum Knows {
    /// She is new to them.
    New,
    /// They have sailed boats like her.
    Some,
    /// They sail boats like her often.
    Often,
}

impl Knows {
    fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Some => "some",
            Self::Often => "often",
        }
    }

    fn experience(self) -> Experience {
        match self {
            Self::New => Experience::New,
            Self::Some => Experience::Some,
            Self::Often => Experience::Often,
        }
    }
}

impl BriefingArgs {
    pub(crate) fn execute(&self) -> Result<Printed, Failure> {
        let asked = BriefAsk::read(&self.pairs());
        if let Some(what) = asked.flaws() {
            return Err(Failure(what));
        }
        let boat = load::boat(&self.boat)?;
        if self.json {
            let vessel = pages::Vessel::new(&pages::links::slug(&boat.particulars.name), boat, Vec::new());
            return Ok(Printed::json(&briefing_data(&vessel, None, &asked), false));
        }
        let model = operate::Model::new(&boat);
        let played = brief::played(&model, &operate::all_slips(&model, operate::Use::Read));
        let lines = self.lines();
        let law = pages::law_of(&boat);
        let briefing =
            Briefing::new(&boat, &Given { played: &played, law: &law, lines: &lines, ..Given::default() });
        let trip =
            Trip { anchoring: self.anchoring, cold: self.cold, children: self.children, dark: self.dark };
        let time = Time::minutes(f64::from(self.minutes));
        let plan = briefing.plan(&Ask { experience: self.crew.experience(), trip, ..Ask::new(time) });
        Ok(Printed::well(self.text(&boat, &briefing, &plan)))
    }

    fn pairs(&self) -> Vec<(String, String)> {
        let pair = |name: &str, value: &str| (name.to_owned(), value.to_owned());
        let mut pairs = vec![pair("minutes", &self.minutes.to_string()), pair("crew", self.crew.word())];
        let trip = [
            ("anchoring", self.anchoring),
            ("cold", self.cold),
            ("children", self.children),
            ("dark", self.dark),
        ];
        pairs.extend(trip.into_iter().filter(|(_, so)| *so).map(|(name, _)| pair(name, "yes")));
        pairs.extend(self.list.iter().map(|list| pair("list", list)));
        pairs
    }

    fn lines(&self) -> Vec<Line> {
        let lists = rules::authorities().iter().flat_map(|authority| &authority.checklists);
        let wanted = lists.filter(|list| self.list.as_deref() == Some(list.id.as_str()));
        wanted.flat_map(pages::briefing::lines).collect()
    }

    fn text(&self, boat: &Boat, briefing: &Briefing<'_>, plan: &Plan) -> String {
        let mut out = format!("{}: a briefing of {} minutes\n\n", boat.particulars.name, self.minutes);
        out.push_str(&layout::wrap(&summary(plan), ""));
        let mut place = None;
        let mut rows: Vec<[String; 4]> = Vec::new();
        let flush = |rows: &mut Vec<[String; 4]>, out: &mut String| {
            out.push_str(&layout::columns("  ", [Side::Right, Side::Left, Side::Right, Side::Left], rows));
            rows.clear();
        };
        for stop in &plan.stops {
            let topic = &briefing.topics[stop.topic];
            if place != Some(topic.place) {
                flush(&mut rows, &mut out);
                place = Some(topic.place);
                let name = topic.place.map_or("Anywhere", |place| boat.places[place].name.as_str());
                let _ = write!(out, "\n{name}\n");
            }
            let mut name = topic.name.clone();
            if topic.always.is_some() {
                name.push_str(" (must)");
            }
            if stop.then_stop {
                name.push_str("; then stop the engine");
            }
            rows.push([clock(stop.begins), depth(stop.depth).to_owned(), short(stop.lasts), name]);
            if self.words {
                flush(&mut rows, &mut out);
                out.push_str(&layout::wrap(&boat.say(&topic.words, System::Metric), "      "));
            }
        }
        flush(&mut rows, &mut out);
        let owed: Vec<&str> = plan
            .only_told
            .iter()
            .map(|at| &briefing.topics[*at])
            .filter(|topic| topic.always == Some(Always::File))
            .map(|topic| topic.name.as_str())
            .collect();
        if !owed.is_empty() {
            out.push_str("\nOnly told, though the crew must do it before they sail\n");
            for name in owed {
                out.push_str(&layout::hang(name, "- ", "  "));
            }
        }
        if !plan.reading.is_empty() {
            out.push_str("\nLeft to reading, what weighs most first\n");
            for at in &plan.reading {
                out.push_str(&layout::hang(&briefing.topics[*at].name, "- ", "  "));
            }
        }
        out.push_str("\nWhat this rests on\n");
        for source in brief::sources() {
            out.push_str(&layout::hang(&format!("{} ({})", source.says, source.source), "- ", "  "));
        }
        out
    }
}

fn summary(plan: &Plan) -> String {
    let count = |depth: Depth| plan.stops.iter().filter(|stop| stop.depth == depth).count();
    let mut words = if plan.over > Time::ZERO {
        format!(
            "Too short by {}: what must be in takes {} even when it is only told.",
            short(plan.over),
            short(plan.total)
        )
    } else {
        format!("{} in all, {} of it walking.", short(plan.total), short(plan.walk))
    };
    let _ = write!(
        words,
        " {} topics: {} done by the crew, {} told, {} in short; {} left to reading. Engine starts: {}. Of the risk that a \
         talk without end could take away it takes {:.0} %; another choice could be better by {:.1} % at most, another \
         order shorter by {} at most.",
        plan.stops.len(),
        count(Depth::Shown),
        count(Depth::Told),
        count(Depth::Short),
        plan.reading.len(),
        plan.starts,
        plan.taken_away * 100.0,
        plan.gap * 100.0,
        short(plan.excess),
    );
    words
}

fn depth(depth: Depth) -> &'static str {
    match depth {
        Depth::Reading => "to read",
        Depth::Short => "in short",
        Depth::Told => "tell",
        Depth::Shown => "they do it",
    }
}

fn short(time: Time) -> String {
    let seconds = time.as_seconds();
    if seconds < 59.5 { format!("{seconds:.0} s") } else { format!("{:.1} min", seconds / 60.0) }
}

fn clock(time: Time) -> String {
    let seconds = time.as_seconds().round();
    format!("{:.0}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}
