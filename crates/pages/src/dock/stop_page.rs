//! One stop of a walk on a phone: big targets, one hand.

use boat::model::{Item, KitLine, Topic};
use jiff::civil::Date;
use maud::{Markup, html};
use records::{Counting, Look, Looked, Mark, Meter, Showing, Sight};

use super::figures::{self, meter_key, meter_name, unit};
use super::flaw::{Flaw, Kept};
use super::handover::{Handover, Walking, occasion};
use super::judge;
use super::stops::{self, Stop, asked};
use super::walk_page;
use crate::frame::{Site, seal};
use crate::{links, when, words};

/// One stop; what was typed and not taken stays in its fields, with the reason beside it.
pub fn stop_page(
    site: &Site,
    over: &Handover<'_>,
    walk: Walking,
    stop: &Stop,
    typed: &[(String, String)],
    flaws: &[Flaw],
) -> String {
    let boat = over.boat();
    let draw = Draw { site, over, walk, kept: Kept { typed, flaws } };
    let all = stops::stops(boat, walk);
    let at = all.iter().position(|own| own.id == stop.id).unwrap_or_default();
    let before = at.checked_sub(1).and_then(|at| all.get(at));
    let after = all.get(at + 1);
    let charter = over.charter.as_str();
    let tally = stop.tally(over, walk);
    let top = "Most of it is written down. These are not yet: look at them again.";
    let body = html! {
        div.title {
            p.small { a href=(links::walk(charter, walk.word())) { (walk.name()) } ": stop " (at + 1) " of " (all.len()) }
            h1 { (stop.name) }
            @if let Some(place) = stop.place {
                p.lead { (words::reach(boat.places[place].reach)) @if let Some(way) = &boat.places[place].way { " " (words::sentence(way)) } }
            }
            @if tally.of > 0 { p #stop-progress { (tally.done) " of " (tally.of) " done here." } }
        }
        (walk_page::past(site, over, walk))
        (draw.kept.top(top))
        form.stop-form method="post" action=(links::stop(charter, walk.word(), &stop.id)) data-dock-form {
            (seal(site))
            // What the enter key presses: it must not decide which of two hands is right.
            button.vh type="submit" name="go" value="stay" tabindex="-1" aria-hidden="true" { "Save" }
            @for id in &stop.kit { (draw.kit(&boat.kit[*id])) }
            @for meter in &stop.meters { (draw.meter(meter)) }
            @for id in stop.items.iter().filter(|id| boat.items[**id].emergency) { (draw.item(&boat.items[*id])) }
            (draw.other_items(stop))
            @for id in &stop.topics { (draw.topic(&boat.topics[*id])) }
            details.note { summary { "Note" } div.field {
                label for="note" { "Anything else worth a line" }
                textarea #note name="note" rows="3" maxlength="2000" {}
            } }
            div.stop-go {
                @match after {
                    Some(after) => button #save-next type="submit" name="go" value="next" { "Save, next: " (after.name) },
                    None => button #save-end type="submit" name="go" value="end" { "Save, then sum up" },
                }
                button.plain #save-list type="submit" name="go" value="list" { "Save, back to the list" }
            }
        }
        nav.stop-nav aria-label="Without saving" {
            @if let Some(before) = before { a href=(links::stop(charter, walk.word(), &before.id)) { "Before: " (before.name) } }
            @if let Some(after) = after { a href=(links::stop(charter, walk.word(), &after.id)) { "Skip to: " (after.name) } }
        }
    };
    over.page(site, &stop.name, &body)
}

struct Draw<'a> {
    site: &'a Site,
    over: &'a Handover<'a>,
    walk: Walking,
    kept: Kept<'a>,
}

impl Draw<'_> {
    /// What a field holds: what was typed and not taken, else what this hand has said.
    fn value(&self, field: &str, said: Option<String>) -> String {
        if self.kept.flaw(field).is_some() {
            self.kept.get(field).to_owned()
        } else {
            said.unwrap_or_default()
        }
    }

    fn kit(&self, line: &KitLine) -> Markup {
        let field = format!("kit.{}", line.id);
        let said = self.over.stands.counts.get(&(self.walk.walk(), line.id.clone()));
        let mine = said.and_then(|said| said.iter().rfind(|one| self.over.mine(&one.mark)));
        let value = self.value(&field, mine.map(|one| one.count.to_string()));
        let note = mine.and_then(|one| one.note.clone()).unwrap_or_default();
        html! {
            fieldset.thing-asked id=(field) {
                legend { (line.name) }
                p.hint { "Should be " strong { (line.count) } "." @if let Some(check) = &line.check { " " (words::sentence(check)) } }
                @if let Some(day) = &line.expires { (self.expiry(day)) }
                label.vh for=(format!("n-{field}")) { "How many: " (line.name) }
                div.stepper data-stepper {
                    button.plain type="button" data-step="-1" hidden aria-label=(format!("One fewer: {}", line.name)) { "\u{2212}" }
                    input id=(format!("n-{field}")) name=(field) type="number" inputmode="numeric" min="0" max="9999" step="1" value=(value)
                        aria-describedby=[self.kept.described(&field)] aria-invalid=[self.kept.flaw(&field).map(|_| "true")];
                    button.plain type="button" data-step="1" hidden aria-label=(format!("One more: {}", line.name)) { "+" }
                    button.plain type="button" data-all=(line.count) hidden { "All " (line.count) }
                }
                (self.kept.beside(&field))
                (self.counted(said, &line.id))
                (Self::aside(&field, &note))
            }
        }
    }

    /// What everybody counted on this walk, and what was counted last before it.
    fn counted(&self, said: Option<&Vec<Counting>>, line: &str) -> Markup {
        let last = self.over.records().and_then(|records| records.counted.get(line));
        let last = last.filter(|last| {
            last.walk != self.walk.walk() || last.mark.charter.as_ref() != Some(self.over.charter)
        });
        let said: Vec<(&Mark, String)> =
            said.into_iter().flatten().map(|one| (&one.mark, one.count.to_string())).collect();
        html! {
            (self.voices(&said))
            @if let Some(last) = last { p.hint { "Before: " (last.count) " (" (occasion(last.walk)) ", " (when::moment(self.site, last.mark.when)) ")." } }
        }
    }

    /// What each hand said; where they differ, a button to say which is right.
    fn voices(&self, said: &[(&Mark, String)]) -> Markup {
        let differ = said.iter().any(|(_, value)| Some(value) != said.first().map(|(_, value)| value));
        html! {
            @if differ {
                div.differ {
                    p { strong { "Hands differ." } " Look together, then say which is right:" }
                    @for (mark, value) in said {
                        p { button.plain type="submit" name="right" value=(mark.content) { (value) " is right" }
                            " " span.soft { (self.over.by(self.site, mark)) } }
                    }
                }
            } @else {
                @for (mark, value) in said { p.hint { "Written: " strong { (value) } ", " (self.over.by(self.site, mark)) "." } }
            }
        }
    }

    fn expiry(&self, day: &str) -> Markup {
        let today = when::zoned(self.site, self.site.now).date();
        let date = day.parse::<Date>().ok();
        let until = self.over.stands.plan.as_ref().map_or(today, |(_, plan)| plan.until.date());
        html! {
            @match date {
                Some(date) if date < today => p.hint { strong { "Out of date since " (words::date(day)) "." } " Put it right or tell it as a defect." },
                Some(date) if date < until => p.hint { strong { "Runs out on " (words::date(day)) ", before she is back." } },
                _ => p.hint { "Use by " (words::date(day)) "." },
            }
        }
    }

    /// A line beside what was counted or looked at.
    fn aside(field: &str, note: &str) -> Markup {
        let name = format!("{field}.note");
        html! {
            details open[!note.is_empty()] { summary { "Add a word" }
                label.vh for=(format!("w-{field}")) { "What else was seen" }
                input id=(format!("w-{field}")) type="text" name=(name) value=(note) maxlength="500" placeholder="What else was seen";
            }
        }
    }

    fn meter(&self, meter: &Meter) -> Markup {
        let field = meter_key(meter);
        let said = self.over.stands.readings.get(&(self.walk.walk(), meter.clone()));
        let mine = said.and_then(|said| said.iter().rfind(|one| self.over.mine(&one.mark)));
        let (said_value, said_unit) = mine.map_or((None, None), |one| {
            let (value, unit) = figures::typed(&one.reading);
            (Some(value), Some(unit))
        });
        let value = self.value(&field, said_value);
        let chosen = if self.kept.flaw(&field).is_some() {
            self.kept.get(&format!("{field}.unit"))
        } else {
            said_unit.unwrap_or("%")
        };
        html! {
            fieldset.thing-asked id=(field) {
                legend { (meter_name(self.over, meter)) @if !asked(meter) { " " span.soft.small { "(if you can)" } } }
                (self.how(meter))
                label.vh for=(format!("n-{field}")) { (meter_name(self.over, meter)) " in " (unit(meter)) }
                div.stepper {
                    input id=(format!("n-{field}")) name=(field) type="text" inputmode="decimal" autocomplete="off" value=(value)
                        aria-describedby=[self.kept.described(&field)] aria-invalid=[self.kept.flaw(&field).map(|_| "true")];
                    @if matches!(meter, Meter::Tank(_)) {
                        label.vh for=(format!("u-{field}")) { "In per cent or litres" }
                        select id=(format!("u-{field}")) name=(format!("{field}.unit")) {
                            @for (unit, name) in [("%", "% full"), ("L", "litres")] { option value=(unit) selected[unit == chosen] { (name) } }
                        }
                    } @else { span.should { (unit(meter)) } }
                }
                (self.doubt(&field, &value))
                (self.read(said, meter))
                (self.more(meter, &field))
            }
        }
    }

    /// What is wrong with a reading, and how to say that it is so all the same.
    fn doubt(&self, field: &str, value: &str) -> Markup {
        let unlikely = self.kept.flaw(field).is_some_and(|flaw| flaw.unlikely);
        html! {
            (self.kept.beside(field))
            @if unlikely {
                label.tick { input type="checkbox" name=(format!("sure.{field}")) value=(value); "It does show that" }
            }
        }
    }

    /// How to read a meter.
    fn how(&self, meter: &Meter) -> Markup {
        let store = match meter {
            Meter::EngineHours(_) => None,
            Meter::Tank(id) | Meter::Voltage(id) | Meter::Charge(id) | Meter::Gas(id) => {
                figures::store(self.over.boat(), id)
            }
        };
        let holds = store.and_then(|store| figures::holds(self.over.boat(), &store.id));
        html! {
            @if let Some(gauge) = store.and_then(|store| store.gauge.as_deref()) { p.hint { (words::sentence(gauge)) } }
            @if let (Some(holds), Meter::Tank(_)) = (holds, meter) { p.hint { "Holds " (holds.display(quantity::System::Metric)) "." } }
            @if matches!(meter, Meter::Gas(_)) { p.hint { "What the scale shows, less the empty weight that is stamped on the bottle." } }
        }
    }

    fn read(&self, said: Option<&Vec<Sight>>, meter: &Meter) -> Markup {
        let boat = self.over.boat();
        let own: Vec<_> = said.into_iter().flatten().map(|one| one.mark.event).collect();
        let sights = self.over.records().and_then(|records| records.meters.get(meter));
        let last = sights.and_then(|sights| sights.iter().rfind(|sight| !own.contains(&sight.mark.event)));
        let said: Vec<(&Mark, String)> =
            said.into_iter().flatten().map(|one| (&one.mark, figures::reading(boat, &one.reading))).collect();
        html! {
            (self.voices(&said))
            @if let Some(last) = last {
                p.hint { "Before: " (figures::reading(boat, &last.reading)) " (" (occasion(last.walk)) ", " (when::moment(self.site, last.mark.when)) ")." }
            } @else if said.is_empty() { p.hint { "Never written down before." } }
        }
    }

    /// What belongs to a meter now and then: it was replaced, the tank was filled or emptied.
    fn more(&self, meter: &Meter, field: &str) -> Markup {
        match meter {
            Meter::EngineHours(_) => {
                let went_back = self.kept.flaw(field).is_some_and(|flaw| !flaw.unlikely)
                    || self.kept.flaw(&format!("new.{field}")).is_some();
                html! { details open[went_back] { summary { "The meter was replaced" }
                (self.small(&format!("new.{field}"), "The new one showed first, in hours", "0")) } }
            }
            Meter::Tank(store) | Meter::Gas(store) => self.filled(meter, store),
            Meter::Voltage(_) | Meter::Charge(_) => html! {},
        }
    }

    fn filled(&self, meter: &Meter, store: &str) -> Markup {
        let gas = matches!(meter, Meter::Gas(_));
        let fill = format!("fill.{store}");
        let cost = format!("{fill}.cost");
        let open = [&fill, &cost, &meter_key(meter)].into_iter().any(|field| self.kept.flaw(field).is_some());
        let past = judge::past(self.over, meter, None);
        html! {
            details open[open] { summary { @if gas { "A fresh bottle" } @else { "Filled or emptied" } }
                @if past.filled { p.hint { "A filling was written down since it was last read." } }
                (self.small(&fill, if gas { "Gas put in, in kg" } else { "Put in, in litres" }, "such as 85"))
                (self.small(&cost, "What it cost, if it was paid", "such as 95.00 USD"))
                @if !gas { label.tick { input type="checkbox" name=(format!("emptied.{store}")) value="yes"; "It was emptied" } }
            }
        }
    }

    fn small(&self, field: &str, label: &str, hint: &str) -> Markup {
        let bad = self.kept.flaws.iter().any(|flaw| {
            flaw.field == field
                || (field.starts_with("new.") && field.ends_with(&flaw.field))
                || field.starts_with(&flaw.field)
        });
        let value = if bad { self.kept.get(field) } else { "" };
        html! {
            div.field {
                label for=(format!("n-{field}")) { (label) }
                input id=(format!("n-{field}")) name=(field) type="text" autocomplete="off" value=(value) placeholder=(hint) aria-describedby=[self.kept.described(field)];
                (self.kept.beside(field))
            }
        }
    }

    fn other_items(&self, stop: &Stop) -> Markup {
        let boat = self.over.boat();
        let said = |item: &Item| self.over.stands.looks.contains_key(&(self.walk.walk(), item.id.clone()));
        let others: Vec<&Item> =
            stop.items.iter().map(|id| &boat.items[*id]).filter(|item| !item.emergency).collect();
        html! {
            @if !others.is_empty() {
                details.others open[others.len() <= 4 || others.iter().any(|item| said(item))] {
                    summary { "Also here: " (words::count(others.len(), "thing", "things")) " to look at" }
                    @for item in others { (self.item(item)) }
                }
            }
        }
    }

    fn item(&self, item: &Item) -> Markup {
        let field = format!("item.{}", item.id);
        let said = self.over.stands.looks.get(&(self.walk.walk(), item.id.clone()));
        let mine: Option<&Looked> = said.and_then(|said| said.iter().rfind(|one| self.over.mine(&one.mark)));
        let look = mine.map_or(Look::NotLookedAt, |one| one.look);
        let note = mine.and_then(|one| one.note.clone()).unwrap_or_default();
        let voices: Vec<(&Mark, String)> = said
            .into_iter()
            .flatten()
            .filter(|one| one.look != Look::NotLookedAt)
            .map(|one| (&one.mark, look_name(one.look, one.note.as_deref())))
            .collect();
        let bad = said.is_some_and(|said| said.iter().any(|one| one.look == Look::NotOk));
        html! {
            fieldset.thing-asked.look-at id=(field) {
                legend { (item.name) @if item.emergency { " " span.tag { "needed in an emergency" } } }
                @if let Some(find) = &item.find { p.hint { (words::sentence(find)) } }
                (self.known(&item.id))
                div.pick-one {
                    @for (value, own, name) in [("ok", Look::Ok, "OK"), ("not-ok", Look::NotOk, "Not OK"), ("not-looked-at", Look::NotLookedAt, "Not looked at")] {
                        label.choice { input type="radio" name=(field) value=(value) checked[own == look]; span { (name) } }
                    }
                }
                (self.voices(&voices))
                (Self::aside(&field, &note))
                @if bad { (self.lead_on(item, &note)) }
            }
        }
    }

    /// Open defects of an item, so that nobody tells them as new.
    fn known(&self, item: &str) -> Markup {
        let open = self.over.records().into_iter().flat_map(records::BoatStanding::open_defects);
        html! { @for defect in open.filter(|defect| defect.defect.item == item) { p.hint { strong { "Known: " } (words::sentence(&defect.defect.words)) } } }
    }

    /// From “not OK” to what is to be told of it.
    fn lead_on(&self, item: &Item, note: &str) -> Markup {
        let charter = self.over.charter.as_str();
        let ask = [("item", item.id.as_str()), ("words", note)];
        let found = [&ask[..], &[("charter", charter), ("walk", self.walk.word())]].concat();
        html! {
            p.actions {
                a.button.plain href=(links::query(&links::found(&self.over.vessel.slug), &found)) { "Tell it as a defect" }
                @if self.walk == Walking::HandBack {
                    a.button.plain href=(links::query(&links::damaged(charter), &ask)) { "Tell it as damage of this crew" }
                }
            }
        }
    }

    fn topic(&self, topic: &Topic) -> Markup {
        let field = format!("topic.{}", topic.id);
        let shown = self.over.stands.briefed.get(&topic.id);
        let showing = shown.map(|shown| shown.showing);
        let least = stops::least(topic.shown);
        html! {
            fieldset.thing-asked id=(field) {
                legend { (topic.name) @if topic.always { " " span.tag { @if least == Showing::Shown { "must be shown" } @else { "must be told" } } } }
                div.pick-one {
                    @for (value, own, name) in [("shown", Showing::Shown, "The crew did it"), ("told", Showing::ToldOnly, "Told only"), ("left-out", Showing::NotDone, "Left out")] {
                        label.choice { input type="radio" name=(field) value=(value) checked[Some(own) == showing]; span { (name) } }
                    }
                }
                @if let Some(shown) = shown { p.hint { (self.over.by(self.site, &shown.mark)) "." } }
            }
        }
    }
}

/// How an item was found, in words.
pub(crate) fn look_name(look: Look, note: Option<&str>) -> String {
    let name = match look {
        Look::Ok => "OK",
        Look::NotOk => "Not OK",
        Look::NotLookedAt => "Not looked at",
    };
    note.map_or_else(|| name.to_owned(), |note| format!("{name}: {note}"))
}
