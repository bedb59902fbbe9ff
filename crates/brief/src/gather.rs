//! Gathering the topics: those that the boat file writes, and those that follow from the rest of it.

use std::collections::{BTreeMap, BTreeSet};

use boat::model::{
    Boat, CautionId, Hazard, Id, ItemId, PlaceId, Procedure, ProcedureId, SignalWord, Subject, Value, VarId,
    Who,
};
use quantity::Time;

use crate::engine;
use crate::played::Played;
use crate::risk::{Harm, Risk};
use crate::topic::{Always, Briefing, Engine, Origin, Topic};

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flaw {
    /// Its name in records.
    pub id: String,
    /// What it is, in a few words.
    pub name: String,
    /// What the crew must know of it.
    pub words: String,
    /// Of which item.
    pub item: Option<ItemId>,
    /// Whether it is about safety: then it is in every briefing.
    pub safety: bool,
}

/// Something aboard that a law asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Law {
    /// What it is.
    pub name: String,
    /// The item, if it is one; a line of the kit otherwise.
    pub item: Option<ItemId>,
    /// Where it is.
    pub place: PlaceId,
}

/// A line of a published list for handing a boat over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The list's title.
    pub list: String,
    /// What it says.
    pub words: String,
    /// What it is about: every subject of it must be covered.
    pub about: Vec<Subject>,
}

/// What is known beside the boat file.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Given<'a> {
    /// Her step lists as they were played; a list that is not here adds no risk.
    pub played: &'a [Played],
    /// What is not as it should be.
    pub flaws: &'a [Flaw],
    /// What the law asks for and is aboard.
    pub law: &'a [Law],
    /// The lines of published lists that are gone through here.
    pub lines: &'a [Line],
}

/// Words a minute in plain speech. Common practice for talks: 140 to 160.
const WORDS_A_MINUTE: f64 = 150.0;
/// Getting everybody's eyes on a topic. Judgement.
const TURN_TO: Time = Time::seconds(10.0);
/// Showing a topic whose time the file does not say: beyond its words, for each step of its lists. Judgement.
const A_STEP: Time = Time::seconds(15.0);
/// Pointing at a thing. Judgement.
const A_THING: Time = Time::seconds(15.0);

impl<'b> Briefing<'b> {
    /// Gathers the topics of a boat.
    ///
    /// Every step list that a crew may follow, every caution and never-state, every thing to find in an emergency, every
    /// open flaw, every piece of equipment that the law asks for, and every subject of the published lists is in a topic
    /// of the boat file or gets one of its own.
    pub fn new(boat: &'b Boat, given: &Given<'_>) -> Self {
        let mut gather = Gather { boat, given, running: engine::running(boat), topics: Vec::new() };
        gather.written();
        gather.step_lists();
        gather.things();
        gather.cautions();
        gather.flaws();
        gather.lines();
        gather.home();
        gather.owners();
        gather.come_after();
        Self { boat, topics: gather.topics }
    }
}

struct Gather<'a, 'b> {
    boat: &'b Boat,
    given: &'a Given<'a>,
    running: Vec<(VarId, Value)>,
    topics: Vec<Topic>,
}

impl Gather<'_, '_> {
    fn written(&mut self) {
        let boat = self.boat;
        for (id, row) in boat.topics.iter_ids() {
            let place = row.place.or_else(|| row.items.first().map(|item| boat.items[*item].place));
            let mut topic = bare(row.id.clone(), row.name.clone(), Origin::Written(id), row.words.clone());
            topic.place = place;
            topic.items.clone_from(&row.items);
            topic.procedures.clone_from(&row.procedures);
            topic.cautions.clone_from(&row.cautions);
            topic.shown = row.shown;
            topic.always = row.always.then_some(Always::File);
            topic.about.clone_from(&row.about);
            // Topics stand in the file's order here, so their places are those of the file.
            topic.after = row.after.iter().map(|other| other.index()).collect();
            topic.needs.clone_from(&topic.after);
            if row.shown {
                let earnest = row.procedures.iter().filter(|list| !boat.procedures[**list].emergency);
                let lists: Vec<&Played> =
                    earnest.filter_map(|list| Played::of(self.given.played, *list)).collect();
                topic.engine = engine::of_lists(&self.running, &lists);
            }
            self.push(topic, row.takes);
        }
    }

    /// What a crew may do and no topic teaches.
    fn step_lists(&mut self) {
        let boat = self.boat;
        let taught: BTreeSet<usize> =
            boat.topics.iter().flat_map(|topic| &topic.procedures).map(|list| list.index()).collect();
        let crews = boat.procedures.iter_ids().filter(|(_, list)| list.who != Who::Base);
        for (id, list) in crews.filter(|(id, _)| !taught.contains(&id.index())) {
            let words = list.about.clone().unwrap_or_default();
            let steps = list.steps.len();
            let words =
                format!("{words} The list has {steps} steps and is in the handbook.").trim().to_owned();
            let mut topic = bare(format!("list.{}", list.id), list.name.clone(), Origin::StepList(id), words);
            topic.procedures = vec![id];
            topic.cautions.clone_from(&list.cautions);
            topic.always = list.emergency.then_some(Always::Emergency);
            topic.place = list.steps.iter().find_map(|step| boat.step_place(step));
            topic.items = things_of(boat, list);
            topic.about = subjects(topic.cautions.iter().map(|caution| boat.cautions[*caution].hazard));
            self.push(topic, None);
        }
    }

    /// What must be found in an emergency, or is asked for by law, and no topic points at; by place.
    fn things(&mut self) {
        let boat = self.boat;
        let pointed: BTreeSet<ItemId> = self.topics.iter().flat_map(|topic| &topic.items).copied().collect();
        let mut by_place: BTreeMap<PlaceId, (Vec<ItemId>, Vec<String>)> = BTreeMap::new();
        let mut find = |place: PlaceId, item: Option<ItemId>, name: &str| {
            let (items, names) = by_place.entry(place).or_default();
            if !names.iter().any(|known| known == name) {
                items.extend(item);
                names.push(name.to_owned());
            }
        };
        for (id, item) in boat.items.iter_ids().filter(|(id, item)| item.emergency && !pointed.contains(id)) {
            find(item.place, Some(id), &item.name);
        }
        for law in self.given.law.iter().filter(|law| law.item.is_none_or(|item| !pointed.contains(&item))) {
            find(law.place, law.item, &law.name);
        }
        for (place, (items, names)) in by_place {
            let row = &boat.places[place];
            let mut words = format!("Here, to find at once: {}.", list_of(&names));
            for find in items.iter().filter_map(|item| boat.items[*item].find.as_deref()) {
                words = format!("{words} {find}");
            }
            let name = format!("Find it: {}", row.name);
            let mut topic = bare(format!("find.{}", row.id), name, Origin::Find, words);
            topic.place = Some(place);
            topic.harm.risks = names.iter().map(|_| Harm::not_minded(SignalWord::Warning)).collect();
            topic.items = items;
            topic.always = Some(Always::Emergency);
            topic.about = vec![Subject::SafetyEquipment];
            self.push(topic, None);
        }
    }

    /// Cautions, with those of never-states, that no topic gives and no list of a topic shows; by hazard.
    fn cautions(&mut self) {
        let boat = self.boat;
        let given: BTreeSet<CautionId> = self
            .topics
            .iter()
            .flat_map(|topic| {
                let lists = topic.procedures.iter().filter_map(|list| Played::of(self.given.played, *list));
                let own = topic.procedures.iter().flat_map(|list| &boat.procedures[*list].cautions);
                topic.cautions.iter().chain(own).chain(lists.flat_map(|played| &played.cautions)).copied()
            })
            .collect();
        // What only the base's own lists show is for the base.
        let base: BTreeSet<CautionId> = boat
            .procedures
            .iter_ids()
            .filter(|(_, list)| list.who == Who::Base)
            .flat_map(|(id, list)| {
                let played =
                    Played::of(self.given.played, id).into_iter().flat_map(|played| &played.cautions);
                list.cautions.iter().chain(played).copied()
            })
            .collect();
        let mut left: BTreeMap<&'static str, (Hazard, Vec<CautionId>)> = BTreeMap::new();
        for (id, caution) in boat.cautions.iter_ids() {
            if !given.contains(&id) && !base.contains(&id) {
                left.entry(hazard(caution.hazard)).or_insert((caution.hazard, Vec::new())).1.push(id);
            }
        }
        for (word, (kind, cautions)) in left {
            let texts: Vec<&str> = cautions.iter().map(|id| boat.cautions[*id].text.as_str()).collect();
            let name = format!("Mind: {word}");
            let mut topic =
                bare(format!("caution.{}", word.replace(' ', "_")), name, Origin::Cautions, texts.join(" "));
            topic.about = subjects(std::iter::once(kind));
            topic.harm.risks = cautions.iter().map(|id| Harm::not_minded(boat.cautions[*id].word)).collect();
            topic.cautions = cautions;
            self.push(topic, None);
        }
        let told: BTreeSet<&str> = boat.cautions.iter().map(|caution| caution.id.as_str()).collect();
        for never in
            boat.nevers.iter().filter(|never| never.caution.is_none() && !told.contains(never.id.as_str()))
        {
            let words = format!("Never: {} {}", never.name, never.what);
            let mut topic = bare(format!("never.{}", never.id), never.name.clone(), Origin::Cautions, words);
            topic.harm.risks = vec![Harm::not_minded(match never.severity {
                boat::model::Severity::Injury => SignalWord::Warning,
                boat::model::Severity::Damage => SignalWord::Notice,
            })];
            self.push(topic, None);
        }
    }

    fn flaws(&mut self) {
        for flaw in self.given.flaws {
            let name = format!("Not in order: {}", flaw.name);
            let mut topic = bare(format!("defect.{}", flaw.id), name, Origin::Defect, flaw.words.clone());
            topic.place = flaw.item.map(|item| self.boat.items[item].place);
            topic.items = flaw.item.into_iter().collect();
            topic.always = flaw.safety.then_some(Always::Defect);
            let word = if flaw.safety { SignalWord::Warning } else { SignalWord::Notice };
            topic.harm.risks = vec![Harm::not_minded(word)];
            self.push(topic, None);
        }
    }

    /// Subjects of the published lists that no topic is about.
    fn lines(&mut self) {
        let about: BTreeSet<Subject> = self.topics.iter().flat_map(|topic| &topic.about).copied().collect();
        let mut open: BTreeMap<Subject, Vec<&Line>> = BTreeMap::new();
        for line in self.given.lines {
            for subject in line.about.iter().filter(|subject| !about.contains(subject)) {
                open.entry(*subject).or_default().push(line);
            }
        }
        for (subject, lines) in open {
            let mut asked: Vec<String> = Vec::new();
            for line in lines {
                let words = format!("\u{201c}{}\u{201d} ({})", line.words.trim_end_matches('.'), line.list);
                if !asked.contains(&words) {
                    asked.push(words);
                }
            }
            let words = format!(
                "The boat file says nothing about {}. The list asks for it: {}. Say what holds here, in your own words.",
                subject.words(),
                list_of(&asked)
            );
            let name = capital(subject.words());
            let mut topic = bare(format!("line.{}", subject.word()), name, Origin::Line, words);
            topic.always = Some(Always::Law);
            topic.about = vec![subject];
            topic.harm.risks = vec![Harm::not_minded(SignalWord::Caution)];
            self.push(topic, Some(Time::minutes(1.0)));
        }
    }

    /// What can be told anywhere is told where most is told.
    fn home(&mut self) {
        let mut times: BTreeMap<PlaceId, Time> = BTreeMap::new();
        for topic in &self.topics {
            if let Some(place) = topic.place {
                let time = times.entry(place).or_insert(Time::ZERO);
                *time += topic.takes;
            }
        }
        let home = times.into_iter().reduce(|best, next| if next.1 > best.1 { next } else { best });
        if let Some((home, _)) = home {
            for topic in &mut self.topics {
                topic.place.get_or_insert(home);
            }
        }
    }

    /// Gives each step list's slips to the topic that goes deepest into it, and each caution that no slip of the topic's
    /// own lists shows to the topics that give it.
    fn owners(&mut self) {
        let mut owner: BTreeMap<usize, usize> = BTreeMap::new();
        for (at, topic) in self.topics.iter().enumerate() {
            for list in &topic.procedures {
                let best = owner.entry(list.index()).or_insert(at);
                if topic.shown && !self.topics[*best].shown {
                    *best = at;
                }
            }
        }
        for played in self.given.played {
            if let Some(at) = owner.get(&played.procedure.index()) {
                self.topics[*at].harm.risks.extend(&played.risks);
            }
        }
        for at in 0..self.topics.len() {
            // Whatever else is known: who is not told it may not get it to work.
            self.topics[at].harm.risks.push(Harm::NOT_KNOWN);
            let topic = &self.topics[at];
            if !matches!(topic.origin, Origin::Written(_) | Origin::StepList(_)) {
                continue;
            }
            let shows = |caution: &CautionId| {
                let mut lists =
                    topic.procedures.iter().filter_map(|list| Played::of(self.given.played, *list));
                lists.any(|played| played.cautions.contains(caution))
            };
            let more: Vec<Risk> = topic
                .cautions
                .iter()
                .filter(|caution| !shows(caution))
                .map(|caution| Harm::not_minded(self.boat.cautions[*caution].word))
                .collect();
            let finds = topic.items.iter().filter(|item| self.boat.items[**item].emergency);
            let finds: Vec<Risk> = finds.map(|_| Harm::not_minded(SignalWord::Warning)).collect();
            self.topics[at].harm.risks.extend(more.into_iter().chain(finds));
        }
    }

    /// Which topics come before which: as the file says; moving about safely before all; and, if both are shown, the
    /// start of the engine before what needs it running, and what teaches a list before what teaches a later one.
    fn come_after(&mut self) {
        let count = self.topics.len();
        let mut before: Vec<BTreeSet<usize>> =
            self.topics.iter().map(|topic| topic.after.iter().copied().collect()).collect();
        let first: Vec<usize> =
            (0..count).filter(|at| self.topics[*at].about.contains(&Subject::MovingAbout)).collect();
        for one in &first {
            for then in (0..count).filter(|at| !first.contains(at)) {
                wish(&mut before, *one, then);
            }
        }
        for (topic, before) in self.topics.iter_mut().zip(&before) {
            topic.after = before.iter().copied().collect();
        }
        let starts: Vec<usize> = (0..count).filter(|at| self.topics[*at].engine == Engine::Starts).collect();
        let runs: Vec<usize> = (0..count).filter(|at| self.topics[*at].engine == Engine::Runs).collect();
        for then in runs {
            for start in &starts {
                if wish(&mut before, *start, then) {
                    self.topics[then].needs.push(*start);
                }
            }
        }
        for (one, then) in self.list_order() {
            wish(&mut before, one, then);
        }
        for (topic, before) in self.topics.iter_mut().zip(before) {
            topic.shown_after = before.into_iter().filter(|one| !topic.after.contains(one)).collect();
            topic.needs.sort_unstable();
            topic.needs.dedup();
        }
    }

    /// Pairs of shown topics of which the first teaches a list that comes before one of the second's.
    fn list_order(&self) -> Vec<(usize, usize)> {
        let shown: Vec<usize> = (0..self.topics.len()).filter(|at| self.topics[*at].shown).collect();
        let mut pairs = Vec::new();
        for then in &shown {
            let own = &self.topics[*then].procedures;
            let mut earlier: BTreeSet<ProcedureId> = BTreeSet::new();
            let mut open = own.clone();
            while let Some(list) = open.pop() {
                open.extend(self.boat.procedures[list].after.iter().filter(|list| earlier.insert(**list)));
            }
            let teaches = |one: &usize| {
                self.topics[*one].procedures.iter().any(|list| earlier.contains(list) && !own.contains(list))
            };
            pairs.extend(shown.iter().filter(|one| *one != then && teaches(one)).map(|one| (*one, *then)));
        }
        pairs
    }

    fn push(&mut self, mut topic: Topic, takes: Option<Time>) {
        let spoken = self.boat.say(&topic.words, quantity::System::Metric).split_whitespace().count();
        let short = TURN_TO + Time::minutes(spoken as f64 / WORDS_A_MINUTE);
        let steps: usize = topic.procedures.iter().map(|list| self.boat.procedures[*list].steps.len()).sum();
        let by_parts = short + A_THING * topic.items.len() as f64;
        let by_steps = if topic.shown { A_STEP * steps as f64 } else { Time::ZERO };
        topic.taken = takes.is_none();
        topic.takes = half_minutes(takes.unwrap_or(by_parts + by_steps));
        topic.short = Time::seconds((short.as_seconds() / 5.0).ceil() * 5.0).min(topic.takes);
        self.topics.push(topic);
    }
}

/// A topic with nothing in it yet.
fn bare(key: String, name: String, origin: Origin, words: String) -> Topic {
    Topic {
        key,
        name,
        origin,
        words,
        place: None,
        items: Vec::new(),
        procedures: Vec::new(),
        cautions: Vec::new(),
        takes: Time::ZERO,
        taken: false,
        short: Time::ZERO,
        shown: false,
        always: None,
        about: Vec::new(),
        engine: Engine::Either,
        after: Vec::new(),
        shown_after: Vec::new(),
        needs: Vec::new(),
        harm: Harm::default(),
    }
}

/// Puts one topic before another, unless the other comes before it already.
fn wish(before: &mut [BTreeSet<usize>], one: usize, then: usize) -> bool {
    let can = one != then && !leads(before, one, then);
    if can {
        before[then].insert(one);
    }
    can
}

/// Whether going back from `from` along what comes before leads to `to`.
fn leads(before: &[BTreeSet<usize>], from: usize, to: usize) -> bool {
    let mut open = vec![from];
    let mut seen = vec![false; before.len()];
    while let Some(at) = open.pop() {
        if at == to {
            return true;
        }
        if !std::mem::replace(&mut seen[at], true) {
            open.extend(&before[at]);
        }
    }
    false
}

/// Rounded up to half minutes: nobody plans a talk by the second.
fn half_minutes(time: Time) -> Time {
    Time::seconds((time.as_seconds() / 30.0).ceil() * 30.0)
}

/// The things that the steps of a list are done with, each once, in order.
fn things_of(boat: &Boat, list: &Procedure) -> Vec<ItemId> {
    let mut items: Vec<ItemId> = Vec::new();
    for item in list.steps.iter().filter_map(|step| boat.step_item(step)) {
        if !items.contains(&item) {
            items.push(item);
        }
    }
    items
}

fn subjects(hazards: impl Iterator<Item = Hazard>) -> Vec<Subject> {
    let mut found: Vec<Subject> = hazards
        .filter_map(|hazard| match hazard {
            Hazard::Gas => Some(Subject::Gas),
            Hazard::Fire => Some(Subject::Fire),
            Hazard::Fuel => Some(Subject::Fuel),
            Hazard::Mains | Hazard::Battery => Some(Subject::Electrics),
            Hazard::Flooding => Some(Subject::Flooding),
            Hazard::Overboard => Some(Subject::ManOverboard),
            Hazard::Fumes => Some(Subject::CarbonMonoxide),
            Hazard::Sea => Some(Subject::Waste),
            Hazard::Hot | Hazard::Crush | Hazard::Fall | Hazard::Gear => None,
        })
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

fn hazard(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Gas => "gas",
        Hazard::Fire => "fire",
        Hazard::Fuel => "fuel",
        Hazard::Mains => "shore current",
        Hazard::Battery => "batteries",
        Hazard::Flooding => "water coming in",
        Hazard::Overboard => "going overboard",
        Hazard::Fumes => "exhaust gas",
        Hazard::Hot => "hot things",
        Hazard::Crush => "moving parts",
        Hazard::Fall => "falls",
        Hazard::Sea => "the water around",
        Hazard::Gear => "her gear",
    }
}

fn list_of(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
