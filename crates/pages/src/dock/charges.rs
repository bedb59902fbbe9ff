//! What a charter costs its crew: the bill with the reason of every line, what can't be priced, and settling.

use maud::{Markup, html};
use quantity::{System, Time};
use records::{
    Bill, Change, ChargeKey, Differences, EventId, Life, Line, Outcome, Stage, Tariff, Unpriced, charges,
    differences,
};

use super::figures::{self, meter_name};
use super::flaw::{Flaw, Kept};
use super::handover::{Handover, Walking};
use super::lack;
use crate::frame::{Role, Site, seal};
use crate::{links, when, words};

/// What was typed on the page, and what is wrong with it.
#[derive(Debug, Clone, Copy, Default)]
pub struct ChargesAsk<'a> {
    /// The fields as they came.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
    /// Whether it was to be settled and can't be yet.
    pub barred: bool,
}

/// The charge that a field of a form names.
pub fn key_of(text: &str) -> Option<ChargeKey> {
    serde_json::from_str(text).ok()
}

fn key_text(key: &ChargeKey) -> String {
    serde_json::to_string(key).unwrap_or_default()
}

/// The bill of a charter; `set` is whether the base has set prices.
pub fn charges_page(
    site: &Site,
    over: &Handover<'_>,
    tariff: &Tariff,
    set: bool,
    ask: &ChargesAsk<'_>,
) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let found = differences(over.standing, over.charter, over.boat()).unwrap_or_default();
    let bill = charges(&found, over.stands, over.boat(), tariff);
    let settled = over.stands.came_to(Stage::Settled);
    let back = over.stands.came_to(Stage::HandedBack).is_some();
    let body = html! {
        div.title {
            p.small { a href=(over.home()) { "Charter" } ": " (over.line(site)) }
            h1 { "What it costs the crew" }
            @if let Some(at) = settled { p.told { strong { "Settled" } " on " (when::moment(site, at)) "." } }
            @else if !back { p.told { strong { "She is not back yet." } " This is how it stands now." } }
        }
        @if !set { p.told #not-set { strong { "Prices are not set." } " Only missing kit and damage are charged."
            @if site.may(Role::Manager) { " " a href=(links::PRICES) { "Set the prices" } } } }
        @if ask.barred { div.answer-wrong role="alert" { p { "It can't be settled yet. What is missing stands below." } } }
        (kept.top("Not taken yet:"))
        @match &bill {
            Ok(bill) => (whole(site, over, tariff, &found, bill)),
            Err(error) => div.answer-wrong role="alert" { p { "There is no bill: " (error.to_string()) } },
        }
        @if settled.is_none() && bill.is_ok() {
            @if site.may(Role::Manager) { @if let Ok(bill) = &bill { (waive(site, over, bill, &kept)) } }
            @if site.may(Role::Skipper) { (add(site, over, tariff, &kept)) (settle(site, over, bill.as_ref().ok())) }
        }
    };
    over.page(site, "What it costs", &body)
}

/// The bill as a table, what is not on it, and who owes whom.
pub(crate) fn whole(
    site: &Site,
    over: &Handover<'_>,
    tariff: &Tariff,
    found: &Differences,
    bill: &Bill,
) -> Markup {
    html! {
        @if bill.lines.is_empty() { p { "Nothing is charged." } } @else {
            table.list.bill {
                thead { tr { th scope="col" { "For" } th scope="col" { "Price" } th scope="col" { "Waived" } th scope="col" { "Owed" } } }
                tbody { @for line in &bill.lines { (row(site, over, tariff, found, line)) } }
            }
        }
        @if bill.over_the_most.minor_units() > 0 {
            p { "All damage together is charged up to a limit; over it are " (bill.over_the_most) ", which are not owed." }
        }
        dl.facts #outcome {
            div { dt { "Owed in all" } dd { (bill.total) } }
            div { dt { "Deposit left with the base" } dd { (bill.deposit) } }
            div { dt { "In the end" } dd { (outcome(&bill.outcome)) } }
        }
        @if !bill.unpriced.is_empty() {
            section.block #unpriced {
                h2 { "Not on the bill" }
                p { "Someone must look at these first; nobody is charged for them as they are." }
                ul {
                    @for one in &bill.unpriced { @if left_out(over, one).is_none() { li { (unpriced(over, one)) } } }
                    @let left_out: Vec<String> = bill.unpriced.iter().filter_map(|one| left_out(over, one)).collect();
                    @if !left_out.is_empty() { li { "Not counted or read on both walks: " (left_out.join(", ")) "." } }
                }
            }
        }
    }
}

fn outcome(outcome: &Outcome) -> String {
    match outcome {
        Outcome::CrewPays(money) => format!("The crew pays {money}."),
        Outcome::BaseReturns(money) => format!("The base returns {money}."),
        Outcome::Even => "Nobody owes anything.".to_owned(),
    }
}

fn row(site: &Site, over: &Handover<'_>, tariff: &Tariff, found: &Differences, line: &Line) -> Markup {
    let why = over.stands.waived.iter().filter(|waiver| line.waivers.contains(&waiver.mark.content));
    html! {
        tr {
            th scope="row" {
                (label(over, &line.key)) br; span.soft { (reason(site, over, tariff, found, &line.key)) }
                @for waiver in why { br; span { "Waived: " (words::sentence(&waiver.reason)) " " span.soft { (over.by(site, &waiver.mark)) "." } } }
            }
            td.number data-name="Price" { (line.price) }
            td.number data-name="Waived" { @if line.waived.minor_units() == 0 { span.soft { "\u{2013}" } } @else { (line.waived) } }
            td.number data-name="Owed" { (line.owed) }
        }
    }
}

/// What a charge is for, as a heading.
fn label(over: &Handover<'_>, key: &ChargeKey) -> String {
    let store =
        |id: &str| figures::store(over.boat(), id).map_or_else(|| id.to_owned(), |store| store.name.clone());
    match key {
        ChargeKey::Kit(line) => format!("Missing: {}", over.kit(line)),
        ChargeKey::Fuel(id) | ChargeKey::Water(id) | ChargeKey::Gas(id) => {
            format!("{}, what is missing", store(id))
        }
        ChargeKey::Filling => "The work of filling up".to_owned(),
        ChargeKey::PumpOut(id) => format!("Emptying: {}", store(id)),
        ChargeKey::Hours(engine) => format!("Engine hours: {}", over.item(engine)),
        ChargeKey::Cleaning => "Cleaning".to_owned(),
        ChargeKey::Late => "Coming back late".to_owned(),
        ChargeKey::Damage(event) => {
            let damage = over.stands.damage.get(event);
            damage
                .map_or_else(|| "Damage".to_owned(), |damage| format!("Damage: {}", over.item(&damage.item)))
        }
        ChargeKey::Added(_) => "Added".to_owned(),
    }
}

/// Why a charge is what it is.
fn reason(site: &Site, over: &Handover<'_>, tariff: &Tariff, found: &Differences, key: &ChargeKey) -> String {
    let tank = |id: &String| found.tanks.iter().find(|tank| tank.of == *id);
    match key {
        ChargeKey::Kit(line) => found.missing.iter().find(|one| one.line == *line).map(|one| {
            let price = over.boat().kit.iter().find(|row| row.id == *line).and_then(|row| row.price);
            let each = price.map_or_else(String::new, |price| format!(", {price} each"));
            format!("{} went out, {} came back{each}.", one.expected, one.counted)
        }),
        ChargeKey::Fuel(id) => tank(id).map(|tank| {
            short(tank, tariff.fuel.map(|price| format!("{} for {} L", price.price, price.litres)))
        }),
        ChargeKey::Water(id) => tank(id).map(|tank| {
            short(tank, tariff.water.map(|price| format!("{} for {} L", price.price, price.litres)))
        }),
        ChargeKey::PumpOut(id) => tank(id).map(|tank| {
            let allowed = words::trimmed(tariff.waste_allowed.as_percent());
            format!(
                "It came back with {} in it; {allowed} % of what it holds is allowed.",
                tank.back.display(System::Metric)
            )
        }),
        ChargeKey::Gas(id) => found.gas.iter().find(|gas| gas.of == *id).map(|gas| {
            let price = tariff
                .gas
                .map_or_else(String::new, |price| format!(", at {} for {} kg", price.price, price.kilograms));
            format!(
                "{} went out, {} came back{price}.",
                gas.out.display(System::Metric),
                gas.back.display(System::Metric)
            )
        }),
        ChargeKey::Hours(id) => found.hours.iter().find(|hours| hours.of == *id).map(|hours| {
            let price = tariff.hours.map_or_else(String::new, |price| {
                format!(", then {} for {} min", price.price, price.minutes)
            });
            format!(
                "It ran {}; {} are free{price}.",
                figures::hours(hours.used),
                figures::hours(tariff.free_hours)
            )
        }),
        ChargeKey::Late => late(site, over, tariff),
        ChargeKey::Damage(event) => {
            over.stands.damage.get(event).map(|damage| words::sentence(&damage.words))
        }
        ChargeKey::Added(event) => over
            .stands
            .added
            .get(event)
            .map(|added| format!("{} {}.", words::sentence(&added.reason), over.by(site, &added.mark))),
        ChargeKey::Filling => Some("Diesel was missing when she came back.".to_owned()),
        ChargeKey::Cleaning => Some("On every charter; waived where she is left clean.".to_owned()),
    }
    .unwrap_or_default()
}

fn short(tank: &Change<quantity::Volume>, price: Option<String>) -> String {
    let metric = |volume: quantity::Volume| volume.display(System::Metric);
    let off = tank
        .give_or_take
        .map_or_else(String::new, |off| format!(" The gauge may be off by {}.", metric(off)));
    let price = price.map_or_else(String::new, |price| format!(", at {price}"));
    format!("{} went out, {} came back{price}.{off}", metric(tank.out), metric(tank.back))
}

fn late(site: &Site, over: &Handover<'_>, tariff: &Tariff) -> Option<String> {
    let (_, plan) = over.stands.plan.as_ref()?;
    let back = over.stands.came_to(Stage::HandedBack)?;
    let price = tariff
        .late
        .map_or_else(String::new, |price| format!(", at {} for {} min", price.price, price.minutes));
    let late: Time = back.since(plan.until.moment());
    let promised = when::moment(site, plan.until.moment());
    Some(format!("Promised for {promised}, back {} later{price}.", words::time(late)))
}

/// What nobody counted or read on one of the walks; there is often much of it.
fn left_out(over: &Handover<'_>, one: &Unpriced) -> Option<String> {
    match one {
        Unpriced::Uncounted(line) => Some(over.kit(line)),
        Unpriced::Unread(meter) => Some(meter_name(over, meter)),
        _ => None,
    }
}

fn unpriced(over: &Handover<'_>, one: &Unpriced) -> Markup {
    let charter = over.charter.as_str();
    let damage = |event: &EventId| {
        over.stands
            .damage
            .get(event)
            .map_or_else(String::new, |damage| format!("{}: {}", over.item(&damage.item), damage.words))
    };
    let walk =
        |walk: Walking, words: &'static str| html! { a href=(links::walk(charter, walk.word())) { (words) } };
    html! {
        @match one {
            Unpriced::NoPrice(line) => { (over.kit(line)) " is missing, and the boat file has no price for it. Add a charge, if the crew is to pay." },
            Unpriced::DisputedKit(line) => { (over.kit(line)) ": hands differ on the count. " (walk(Walking::HandBack, "Say which is right")) "." },
            Unpriced::DisputedMeter(meter) => { (meter_name(over, meter)) ": hands differ. " (walk(Walking::HandBack, "Say which is right")) "." },
            Unpriced::Uncounted(_) | Unpriced::Unread(_) => (left_out(over, one).unwrap_or_default()),
            Unpriced::NoEstimate(event) => { (damage(event)) " \u{2013} nobody has said what it costs." },
            Unpriced::KnownBefore(event) => { (damage(event)) " \u{2013} a defect of it was known before this crew had her. Add a charge, if they made it worse." },
        }
    }
}

fn waive(site: &Site, over: &Handover<'_>, bill: &Bill, kept: &Kept<'_>) -> Markup {
    let charter = over.charter.as_str();
    html! {
        @if !bill.lines.is_empty() {
            section.block #waive {
                h2 { "Waive a charge" }
                form.money method="post" action={ (links::charges(charter)) "/waive" } {
                    (seal(site))
                    div.field { label for="waive-key" { "Which" }
                        select #waive-key name="key" required {
                            @for line in &bill.lines { @let text = key_text(&line.key);
                                option value=(text) selected[text == kept.get("key")] { (label(over, &line.key)) ", " (line.price) } }
                        } (kept.beside("key")) }
                    (field(kept, "waive-amount", "waived", "How much of it; all if left empty", "such as 95.00"))
                    (field(kept, "waive-reason", "why", "Why", ""))
                    button.plain #waive-button type="submit" { "Waive it" }
                }
            }
        }
    }
}

fn add(site: &Site, over: &Handover<'_>, tariff: &Tariff, kept: &Kept<'_>) -> Markup {
    html! {
        section.block #add {
            h2 { "Add a charge" }
            form.money method="post" action={ (links::charges(over.charter.as_str())) "/add" } {
                (seal(site))
                (field(kept, "add-reason", "reason", "What for", ""))
                (field(kept, "add-amount", "amount", &format!("How much, in {}", tariff.nothing.currency()), "such as 95.00"))
                button.plain #add-button type="submit" { "Add it" }
            }
        }
    }
}

fn field(kept: &Kept<'_>, id: &str, name: &str, label: &str, hint: &str) -> Markup {
    html! {
        div.field {
            label for=(id) { (label) }
            input id=(id) name=(name) type="text" maxlength="500" placeholder=(hint) value=(kept.get(name))
                aria-describedby=[kept.described(name)] aria-invalid=[kept.flaw(name).map(|_| "true")];
            (kept.beside(name))
        }
    }
}

/// That all is agreed; what is missing before, if anything is.
fn settle(site: &Site, over: &Handover<'_>, bill: Option<&Bill>) -> Markup {
    let lacks = lack::missing(over, Stage::Settled);
    let there = matches!(over.stands.life, Life::At(Stage::Settled));
    html! {
        (lack::lists(site, over, Walking::HandBack, &lacks))
        @if !there && !lack::must(&lacks) {
            section.block #settle {
                h2 { "Settle" }
                @if let Some(bill) = bill { p { "With this everybody agrees: " strong { (outcome(&bill.outcome)) } } }
                form method="post" action={ (links::charges(over.charter.as_str())) "/settle" } {
                    (seal(site))
                    button #settle-button type="submit" { "Settle the charter" }
                }
            }
        }
    }
}
