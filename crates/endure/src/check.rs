//! What the stores, sources, loads and modes of a boat file lack for a forecast: findings that point into the boat file.

use boat::diagnostic::Diagnostic;
use boat::model::{
    Activity, Amount, Boat, Event, Expr, Liquid, Load, LoadKind, Rate, Runs, Source, SourceKind, StoreId,
    StoreKind, Thing,
};
use boat::source::Span;

use crate::stance::Stance;
use crate::voyage::spec_of;

/// Under way or lying with an engine running.
const ENGINE: [Activity; 2] = [Activity::Motoring, Activity::Charging];

/// Looks through a sound boat file for what a forecast would have to guess or leave out. Nothing here keeps the file
/// from being used; the findings come in the order of the file.
pub fn check(boat: &Boat) -> Vec<Diagnostic> {
    let check = Check { boat, stances: Activity::ALL.map(|activity| Stance::of(boat, activity)) };
    let mut found = Vec::new();
    check.banks(&mut found);
    check.sources(&mut found);
    check.loads(&mut found);
    check.tanks(&mut found);
    check.modes(&mut found);
    found.sort_by_key(|finding| finding.primary.span.start);
    found
}

struct Check<'a> {
    boat: &'a Boat,
    /// In the order of [`Activity::ALL`].
    stances: [Stance; 6],
}

impl Check<'_> {
    fn at(&self, thing: Thing) -> Span {
        self.boat.span(thing).unwrap_or_default()
    }

    /// Whether something can be so in one of these activities.
    fn can(&self, when: &Expr, activities: &[Activity]) -> bool {
        activities.iter().any(|activity| self.stances[*activity as usize].allows(self.boat, when))
    }

    fn first_bank(&self) -> Option<StoreId> {
        self.boat.stores.iter_ids().find(|(_, store)| store.bank().is_some()).map(|(id, _)| id)
    }

    fn inlet(&self) -> bool {
        self.boat.feeds.iter().any(|feed| matches!(feed.kind, SourceKind::Shore(_)))
    }

    fn fills(&self, feed: &Source, bank: StoreId) -> bool {
        let charges = match feed.kind {
            SourceKind::Alternator(_) | SourceKind::Solar(_) | SourceKind::Combiner(_) => true,
            SourceKind::Charger(_) => self.inlet(),
            SourceKind::Shore(_) | SourceKind::Inverter(_) => false,
        };
        let into =
            if feed.into.is_empty() { self.first_bank() == Some(bank) } else { feed.into.contains(&bank) };
        charges && into
    }

    fn banks(&self, found: &mut Vec<Diagnostic>) {
        for (id, store) in self.boat.stores.iter_ids() {
            let Some(facts) = store.bank() else { continue };
            let span = self.at(Thing::Store(id));
            if let Err(error) = spec_of(facts).check() {
                found.push(
                    Diagnostic::warning("bank", span, format!("{}: {}", store.name, error.what))
                        .expected("figures as on its label or in its maker's manual")
                        .mend(error.mend),
                );
            }
            if !self.boat.feeds.iter().any(|feed| self.fills(feed, id)) {
                found.push(
                    Diagnostic::warning("no-charger", span, format!("Nothing charges {}.", store.name))
                        .expected("a source with this bank in `into`: alternator, panel, combiner, or charger and shore inlet")
                        .mend("Add what charges it under [sources], or name this bank in the `into` of a source."),
                );
            }
        }
    }

    fn sources(&self, found: &mut Vec<Diagnostic>) {
        for (id, feed) in self.boat.feeds.iter_ids() {
            let span = self.at(Thing::Feed(id));
            if matches!(feed.kind, SourceKind::Charger(_)) && !self.inlet() {
                found.push(
                    Diagnostic::warning(
                        "no-inlet",
                        span,
                        format!("{} never gives: the file has no shore inlet.", feed.name),
                    )
                    .expected("a source of kind \"shore\"")
                    .mend("Add the inlet with its current and voltage under [sources]."),
                );
            }
            let (times, whenever): (&[Activity], _) = match feed.kind {
                SourceKind::Alternator(_) => (&ENGINE, "while an engine runs"),
                SourceKind::Charger(_) | SourceKind::Shore(_) => (&[Activity::Alongside], "alongside"),
                // A crew switches it on when it wants it; what needs it is looked at with the loads.
                SourceKind::Inverter(_) => continue,
                SourceKind::Solar(_) | SourceKind::Combiner(_) => (&Activity::ALL, "whatever the boat does"),
            };
            if !self.can(&feed.when, times) {
                let headline =
                    format!("By its `when` and the [modes], {} never gives {whenever}.", feed.name);
                found.push(never(span, headline));
            }
        }
    }

    fn loads(&self, found: &mut Vec<Diagnostic>) {
        for (id, load) in self.boat.loads.iter_ids() {
            let span = self.at(Thing::Load(id));
            found.extend(self.store_missing(load, span));
            found.extend(uncounted(load, span));
            // What runs at a moment (windlass, thruster, starter) has its moment between two activities.
            let moment = matches!(
                load.runs,
                Runs::Event { per: Event::ChainMetre | Event::Berthing | Event::EngineStart, .. }
            );
            if moment {
                continue;
            }
            let engine = matches!(load.runs, Runs::Engine(_));
            let times: Vec<Activity> = Activity::ALL
                .into_iter()
                .filter(|activity| !engine || ENGINE.contains(activity))
                .filter(|activity| during(load, *activity))
                .collect();
            if !self.can(&load.when, &times) {
                let headline =
                    format!("By its `when`, its `during` and the [modes], {} never runs.", load.name);
                found.push(never(span, headline));
            }
        }
    }

    fn store_missing(&self, load: &Load, span: Span) -> Option<Diagnostic> {
        let wanted = match load.kind {
            LoadKind::Mains => return self.mains_missing(load, span),
            LoadKind::Electric => "battery",
            LoadKind::Water => "water",
            LoadKind::Waste => "waste",
            LoadKind::Diesel => "diesel",
            LoadKind::Gas => "gas",
        };
        if self.boat.stores.iter().any(|store| store.kind.word() == wanted) {
            return None;
        }
        let headline =
            format!("{} is left out of a forecast: there is no store of the kind \"{wanted}\".", load.name);
        Some(
            Diagnostic::warning("no-store", span, headline)
                .expected(format!("a store of the kind \"{wanted}\""))
                .mend("Add it under [stores], or correct the `kind` of the load."),
        )
    }

    fn mains_missing(&self, load: &Load, span: Span) -> Option<Diagnostic> {
        let none = !self.boat.feeds.iter().any(|feed| is_mains(&feed.kind));
        // Shore power is there alongside only.
        let gives = |activity: Activity| {
            self.boat.feeds.iter().any(|feed| {
                let there = match feed.kind {
                    SourceKind::Shore(_) => activity == Activity::Alongside,
                    SourceKind::Inverter(_) => true,
                    _ => false,
                };
                there && self.can(&feed.when, &[activity])
            })
        };
        let runs = |activity: Activity| during(load, activity) && self.can(&load.when, &[activity]);
        let times: Vec<Activity> = Activity::ALL.into_iter().filter(|activity| runs(*activity)).collect();
        if !none && (times.is_empty() || times.iter().any(|activity| gives(*activity))) {
            return None;
        }
        let headline = if none {
            format!("{} needs mains, and the file has neither shore inlet nor inverter.", load.name)
        } else {
            format!("{} needs mains, and there is none whenever it may run.", load.name)
        };
        Some(
            Diagnostic::warning("no-mains", span, headline)
                .expected("shore power alongside, or an inverter that the [modes] leave on")
                .mend("Add the source, look at `during` and the [modes], or give the load the kind \"electric\"."),
        )
    }

    /// Tanks and bottles that no load uses look as if they lasted for ever.
    fn tanks(&self, found: &mut Vec<Diagnostic>) {
        for (id, store) in self.boat.stores.iter_ids() {
            let (kind, example) = match &store.kind {
                StoreKind::Battery(_) => continue,
                StoreKind::Tank(Liquid::Water, _) => (LoadKind::Water, "what a person uses in a day"),
                StoreKind::Tank(Liquid::Waste, _) => (LoadKind::Waste, "what a flush makes"),
                StoreKind::Tank(Liquid::Diesel, _) => (LoadKind::Diesel, "what the engine burns in an hour"),
                StoreKind::Bottle(_) => (LoadKind::Gas, "what a person cooks with in a day"),
            };
            let uses =
                |load: &&Load| load.kind == kind && (load.stores.is_empty() || load.stores.contains(&id));
            if self.boat.loads.iter().any(|load| uses(&load)) {
                continue;
            }
            let does = if kind == LoadKind::Waste { "fills" } else { "uses" };
            found.push(
                Diagnostic::warning(
                    "unused",
                    self.at(Thing::Store(id)),
                    format!("Nothing in the file {does} {}, so a forecast says that it lasts.", store.name),
                )
                .expected(format!("a load of the kind \"{}\": {example}", store.kind.word()))
                .mend("Add it under [loads], or name this store in the load's list of stores."),
            );
        }
        self.engine_burn(found);
    }

    /// A boat with an engine that charges, and diesel, but with nothing that says what the engine burns.
    fn engine_burn(&self, found: &mut Vec<Diagnostic>) {
        let is_diesel = |kind: &StoreKind| matches!(kind, StoreKind::Tank(Liquid::Diesel, _));
        let Some((id, store)) = self.boat.stores.iter_ids().find(|(_, store)| is_diesel(&store.kind)) else {
            return;
        };
        let diesel = || self.boat.loads.iter().filter(|load| load.kind == LoadKind::Diesel);
        let engines = diesel().filter(|load| matches!(load.runs, Runs::Engine(_))).count();
        let drives = self.boat.modes.iter().any(|mode| mode.activity == Activity::Motoring)
            || self.boat.feeds.iter().any(|feed| matches!(feed.kind, SourceKind::Alternator(_)));
        // Without any use of diesel the tank is told already.
        if drives && engines == 0 && diesel().count() > 0 {
            found.push(
                Diagnostic::warning(
                    "engine-burn",
                    self.at(Thing::Store(id)),
                    format!("Nothing says what an engine burns out of {}.", store.name),
                )
                .expected("a load with kind = \"diesel\", runs = \"engine\", `burns` and `at`")
                .mend("Add a load with what it burns in an hour and the speed at which it does."),
            );
        }
    }

    fn modes(&self, found: &mut Vec<Diagnostic>) {
        if self.boat.loads.is_empty() && self.boat.feeds.is_empty() {
            return;
        }
        // Charging is lying at anchor with the engine running: without a mode of its own it can't be told apart.
        let missing: Vec<&str> = Activity::ALL
            .into_iter()
            .filter(|activity| !self.boat.modes.iter().any(|mode| mode.activity == *activity))
            .map(Activity::word)
            .collect();
        if missing.is_empty() {
            return;
        }
        let first = self.boat.modes.iter_ids().next().map(|(id, _)| Thing::Mode(id));
        let first = first.or_else(|| self.boat.loads.iter_ids().next().map(|(id, _)| Thing::Load(id)));
        let span = first.map_or_else(Span::default, |thing| self.at(thing));
        let text = format!(
            "The file does not say how she stands {}: a forecast counts all loads and sources as possible then.",
            spoken(&missing)
        );
        let headings: Vec<String> = missing.iter().map(|word| format!("[modes.{word}]")).collect();
        let finding = if self.boat.modes.is_empty() {
            Diagnostic::warning("no-modes", span, text)
        } else {
            Diagnostic::note("no-modes", span, text)
        };
        found.push(
            finding
                .expected(headings.join(", "))
                .mend("Add these with `holds`: how switches, engine and shore power stand then."),
        );
    }
}

fn is_mains(kind: &SourceKind) -> bool {
    matches!(kind, SourceKind::Shore(_) | SourceKind::Inverter(_))
}

fn during(load: &Load, activity: Activity) -> bool {
    let lying = if activity == Activity::Charging { Activity::Anchored } else { activity };
    load.during.is_empty() || load.during.contains(&activity) || load.during.contains(&lying)
}

fn never(span: Span, headline: String) -> Diagnostic {
    Diagnostic::warning("never-runs", span, headline)
        .expected("a `when` that at least one of the [modes] allows")
        .mend("Look at its `when`, and at what the [modes] hold.")
}

/// Ways to run that leave nothing to be counted.
fn uncounted(load: &Load, span: Span) -> Option<Diagnostic> {
    let electric = matches!(load.rate, Some(Rate::Current(_) | Rate::Power(_)));
    let (why, expected) = match load.runs {
        Runs::Engine(_) if electric => (
            "only diesel is reckoned by an engine's speed",
            "runs = \"steady\" with `during = [\"motoring\", \"charging\"]` for what runs with the engine",
        ),
        Runs::Event { per: Event::ChainMetre | Event::Berthing | Event::EngineStart, takes } => match takes {
            Amount::Time(_) => return None,
            Amount::Volume(_) | Amount::Mass(_) => {
                ("at such an event only running for a time is reckoned", "`takes` as a time, with its rate")
            }
        },
        Runs::Daily { boat, each, .. } if is_nothing(boat) && is_nothing(each) => {
            ("it uses nothing in a day", "`a_day` or `a_day_each` of more than nothing")
        }
        _ => return None,
    };
    Some(
        Diagnostic::warning("not-counted", span, format!("{} is left out of a forecast: {why}.", load.name))
            .expected(expected)
            .mend("Change how it `runs`, or remove it."),
    )
}

fn is_nothing(amount: Option<Amount>) -> bool {
    match amount {
        None => true,
        Some(Amount::Time(time)) => time <= quantity::Time::ZERO,
        Some(Amount::Volume(volume)) => volume <= quantity::Volume::ZERO,
        Some(Amount::Mass(mass)) => mass <= quantity::Mass::ZERO,
    }
}

/// "sailing, moored or alongside".
fn spoken(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}
