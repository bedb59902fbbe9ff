//! The sheet of a walk: all that was found, for paper.

use maud::{Markup, html};
use quantity::{System, Volume};
use records::{Change, Differences, Stage, Tariff, charges, differences};

use super::charges::whole;
use super::figures;
use super::glance;
use super::handover::{Handover, Walking};
use crate::frame::Site;
use crate::{links, when, words};

/// The sheet of check-out or hand-back. At hand-back it says what changed since check-out, and the bill.
pub fn sheet_page(site: &Site, over: &Handover<'_>, walk: Walking, tariff: &Tariff) -> String {
    let done = over.stands.came_to(walk.stage());
    let at = done.unwrap_or(site.now);
    let walks: &[Walking] = match walk {
        Walking::Readying => &[Walking::Readying],
        Walking::CheckOut => &[Walking::CheckOut],
        Walking::HandBack => &[Walking::CheckOut, Walking::HandBack],
    };
    let found = differences(over.standing, over.charter, over.boat()).unwrap_or_default();
    let body = html! {
        article.paper-sheet {
            div.title {
                h1 { (walk.name()) ": " (over.boat().particulars.name) }
                p.lead { (site.base) ". " (over.line(site)) ". Charter " code { (over.charter) } "." }
                @match done {
                    Some(at) => p { strong { (walk.done()) "." } " " (when::moment(site, at)) "." },
                    None => p { strong { "Not completed yet." } " This is how it stands on " (when::moment(site, site.now)) "." },
                }
                p.actions.no-print { button type="button" data-print hidden { "Print" } a.button.plain href=(back(over, walk)) { "Back" } }
            }
            @if walk == Walking::HandBack { section.block { h2 { "What changed since check-out" } (changes(over, &found)) } }
            section.block { h2 { "Meters and gauges" } (glance::readings(over, walks)) }
            section.block { h2 { "What was looked at" } (glance::looks(over, walk)) }
            section.block { h2 { "Known to be wrong with her" } (glance::defects(site, over, at)) }
            @if walk == Walking::CheckOut { section.block { h2 { "Shown and told" } (glance::briefing(over)) } }
            (damage(site, over, walk))
            (notes(site, over))
            @if walk == Walking::HandBack && !site_is_crews(site) { (bill(site, over, tariff, &found)) }
            section.block.signed-sheet { h2 { "Signatures" } (glance::signatures(site, over, walk)) }
            section.block.kit-sheet { h2 { "Kit" } (glance::kit(over, walks)) }
        }
    };
    over.page(site, &format!("{} sheet", walk.name()), &body)
}

fn site_is_crews(site: &Site) -> bool {
    !matches!(site.viewer, crate::frame::Viewer::Member { .. })
}

fn back(over: &Handover<'_>, walk: Walking) -> String {
    if over.me.is_some_and(|(hand, _)| matches!(hand, records::Hand::Crew(_))) {
        return "/crew".to_owned();
    }
    links::sign(over.charter.as_str(), walk.word())
}

/// Kit that is missing or over, what was used, how long the engines ran.
fn changes(over: &Handover<'_>, found: &Differences) -> Markup {
    let nothing = found.missing.is_empty() && found.extra.is_empty() && found.disputed_kit.is_empty();
    html! {
        @if nothing { p { "All kit that was counted came back." } }
        ul {
            @for one in &found.missing { li { strong { (over.kit(&one.line)) } ": " (one.expected) " went out, " (one.counted) " came back; " (one.expected - one.counted) " missing." } }
            @for one in &found.extra { li { (over.kit(&one.line)) ": " (one.expected) " went out, " (one.counted) " came back." } }
            @for line in &found.disputed_kit { li { (over.kit(line)) ": hands differ." } }
            @for tank in &found.tanks { li { (liquid(over, tank)) } }
            @for gas in &found.gas { li { (store_name(over, &gas.of)) ": " (gas.out.display(System::Metric)) " went out, " (gas.back.display(System::Metric)) " came back." } }
            @for hours in &found.hours { li { (over.item(&hours.of)) ": " (figures::hours(hours.out)) " to " (figures::hours(hours.back)) "; it ran " (figures::hours(hours.used)) "." } }
        }
        @if !found.uncounted.is_empty() {
            p { "Not counted on both walks: " (found.uncounted.iter().map(|line| over.kit(line)).collect::<Vec<_>>().join(", ")) "." }
        }
    }
}

fn liquid(over: &Handover<'_>, tank: &Change<Volume>) -> Markup {
    let metric = |volume: Volume| volume.display(System::Metric);
    html! {
        (store_name(over, &tank.of)) ": " (metric(tank.out)) " went out, " (metric(tank.back)) " came back"
        @if tank.filled > Volume::ZERO { "; " (metric(tank.filled)) " were put in" }
        "."
        @if let Some(off) = tank.give_or_take { " The gauge may be off by " (metric(off)) "." }
    }
}

fn store_name(over: &Handover<'_>, id: &str) -> String {
    figures::store(over.boat(), id).map_or_else(|| id.to_owned(), |store| store.name.clone())
}

fn damage(site: &Site, over: &Handover<'_>, walk: Walking) -> Markup {
    html! {
        @if walk == Walking::HandBack {
            section.block {
                h2 { "Damage" }
                @if over.stands.damage.is_empty() { p { "No damage was told." } }
                ul { @for damage in over.stands.damage.values() {
                    li {
                        strong { (over.item(&damage.item)) } ": " (words::sentence(&damage.words))
                        @if let Some(estimate) = damage.estimate { " It may cost " (estimate) "." }
                        " " span.soft { (over.by(site, &damage.mark)) "." }
                        (glance::photos(damage.photos.iter().map(ToString::to_string)))
                    }
                } }
            }
        }
    }
}

fn notes(site: &Site, over: &Handover<'_>) -> Markup {
    html! {
        @if !over.stands.notes.is_empty() {
            section.block { h2 { "Notes" } ul { @for (mark, note) in &over.stands.notes {
                li { (words::sentence(note)) " " span.soft { (over.by(site, mark)) "." } }
            } } }
        }
    }
}

fn bill(site: &Site, over: &Handover<'_>, tariff: &Tariff, found: &Differences) -> Markup {
    let settled = over.stands.came_to(Stage::Settled).is_some();
    html! {
        section.block {
            h2 { "What it costs the crew" @if !settled { " (not settled)" } }
            @match charges(found, over.stands, over.boat(), tariff) {
                Ok(bill) => (whole(site, over, tariff, found, &bill)),
                Err(error) => p { "There is no bill: " (error.to_string()) },
            }
        }
    }
}
