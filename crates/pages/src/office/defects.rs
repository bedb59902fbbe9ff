//! What is wrong with the boats: all open defects, those that were closed, and one of them with all that was told of it.

use maud::{Markup, html};
use records::{BoatId, DefectStanding, Mark, Pieces, Severity, Sums};

use super::crossed;
use super::done::field;
use super::spent;
use super::stage::{Hull, item_name};
use super::stock::Shelves;
use super::used::{self, Used};
use crate::dock::{Flaw, Kept, Names, severity};
use crate::frame::{Desk, Role, Site, desk_page, seal};
use crate::{links, when, words};

/// The most closed defects that are listed.
const CLOSED: usize = 50;

/// All defects of the base's boats, the worst and oldest first.
pub fn defects_page(site: &Site, hulls: &[Hull<'_>]) -> String {
    let all = hulls.iter().flat_map(|hull| defects(hull).map(move |defect| (hull, defect)));
    let (mut open, mut closed): (Vec<_>, Vec<_>) = all.partition(|(_, defect)| defect.open());
    open.sort_by_key(|(_, defect)| (std::cmp::Reverse(defect.severity), defect.found.when));
    closed.sort_by_key(|(_, defect)| {
        std::cmp::Reverse(defect.closed.last().map_or(defect.found.when, |closing| closing.mark.when))
    });
    let body = html! {
        div.title {
            h1 { "Defects" }
            p.lead { (words::capital(&words::count(open.len(), "defect is open", "defects are open"))) "." }
        }
        section #open {
            h2 { "Open" }
            @if open.is_empty() { p { "Nothing is known to be wrong." } } @else { (table(site, &open)) }
        }
        section #tell { h2 { "Something else is broken" } p.fleet-links {
            @for hull in hulls { a.button.plain href=(links::found(&hull.vessel.slug)) { "On " (hull.name()) } } } }
        section #closed {
            h2 { "Closed" }
            @if closed.is_empty() { p { "None yet." } } @else { (table(site, &closed[..closed.len().min(CLOSED)])) }
            @if closed.len() > CLOSED { p.soft { "The latest " (CLOSED) " are shown." } }
        }
    };
    desk_page(site, "Defects", Desk::Defects, &body)
}

fn defects<'a>(hull: &Hull<'a>) -> impl Iterator<Item = &'a DefectStanding> + use<'a> {
    let records = hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str()));
    records.into_iter().flat_map(|records| records.defects.values())
}

fn table(site: &Site, rows: &[(&Hull<'_>, &DefectStanding)]) -> Markup {
    html! {
        table.list {
            thead { tr { th scope="col" { "What" } th scope="col" { "Boat" } th scope="col" { "How bad" } th scope="col" { "Since" } th scope="col" { "What is done about it" } } }
            tbody { @for (hull, defect) in rows {
                tr {
                    th scope="row" {
                        a href=(links::defect(&defect.id().to_string())) { (item_name(&hull.vessel.boat, &defect.defect.item)) }
                        br; span.soft { (words::sentence(&defect.defect.words)) }
                        @if let Some(photo) = defect.defect.photos.first() { div.photos { img src=(links::photo(&photo.to_string())) alt="Photo of it" loading="lazy"; } }
                    }
                    td data-name="Boat" { (hull.name()) }
                    td data-name="How bad" { span.tag { (severity(defect.severity)) } }
                    td data-name="Since" { (when::near(site, when::zoned(site, defect.found.when).date()))
                        @if defect.times() > 1 { br; span.soft { "came " (defect.times()) " times" } } }
                    td data-name="What is done about it" { (doing(site, defect)) }
                }
            } }
        }
    }
}

/// What is done about a defect now, in a few words.
fn doing(site: &Site, defect: &DefectStanding) -> Markup {
    html! {
        @if let (false, Some(closing)) = (defect.open(), defect.closed.last()) { "Closed " (when::moment(site, closing.mark.when)) "." }
        @else if let Some(mending) = defect.mended.last() { "Mended, to be looked at: " (words::sentence(&mending.words)) }
        @else if let Some((_, words, by)) = defect.tasks.last() {
            (words::sentence(words)) @if let Some(by) = by { " By " (when::day(site, by.date())) "." } }
        @else { span.soft { "Nothing yet." } }
    }
}

/// One defect, as its page asks for it.
#[derive(Debug, Clone, Copy)]
pub struct DefectAsk<'a> {
    /// The boats, in the order by which the parts name them.
    pub hulls: &'a [Hull<'a>],
    /// The boat's place among them.
    pub at: usize,
    /// The defect.
    pub defect: &'a DefectStanding,
    /// The parts.
    pub shelves: &'a Shelves,
    /// What people are called.
    pub names: &'a Names,
    /// The fields of a form that was sent and not taken.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
}

impl<'a> DefectAsk<'a> {
    fn hull(&self) -> Hull<'a> {
        self.hulls[self.at]
    }

    fn by(&self, site: &Site, mark: &Mark) -> String {
        format!("{}, {}", self.names.hand(&mark.who), when::moment(site, mark.when))
    }
}

/// One defect: what was told of it, and what can be done about it.
pub fn defect_page(site: &Site, ask: &DefectAsk<'_>) -> String {
    let defect = ask.defect;
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let name = item_name(&ask.hull().vessel.boat, &defect.defect.item);
    let body = html! {
        div.title {
            p.small { a href="/defects" { "Defects" } ": " (ask.hull().name()) }
            h1 { (name) }
            p.lead { (words::sentence(&defect.defect.words)) }
            p { span.tag { (severity(defect.severity)) } " " span.tag { @if defect.open() { "open" } @else { "closed" } } }
        }
        (kept.top("Not taken yet:"))
        (told(site, ask))
        @if defect.open() { (forms(site, ask, &kept)) }
        @else { p { "It is closed. If it comes again, tell of it at " a href=(links::found(&ask.hull().vessel.slug)) { "something is broken" } "." } }
    };
    desk_page(site, &format!("{name} - {}", ask.hull().name()), Desk::Defects, &body)
}

fn told(site: &Site, ask: &DefectAsk<'_>) -> Markup {
    let defect = ask.defect;
    let mut lines: Vec<(&Mark, String)> = vec![(&defect.found, "Found.".to_owned())];
    lines.extend(
        defect.seen.iter().map(|seen| (&seen.mark, format!("Seen again: {}", words::sentence(&seen.words)))),
    );
    lines.extend(defect.tasks.iter().map(|(mark, text, by)| {
        let by = by.map_or_else(String::new, |by| format!(" By {}.", when::day(site, by.date())));
        (mark, format!("To be done: {}{by}", words::sentence(text)))
    }));
    lines.extend(defect.parts.iter().map(|(mark, pieces, cost)| (mark, part(pieces, *cost))));
    lines.extend(defect.mended.iter().map(|mending| {
        let took = mending.took.map_or_else(String::new, |took| format!(" It took {}.", words::time(took)));
        let cost = mending.cost.map_or_else(String::new, |cost| format!(" The work cost {cost}."));
        (&mending.mark, format!("Mended: {}{took}{cost}", words::sentence(&mending.words)))
    }));
    lines.extend(
        defect.closed.iter().map(|one| (&one.mark, format!("Closed: {}", words::sentence(&one.words)))),
    );
    lines.extend(
        defect
            .sails
            .iter()
            .map(|one| (&one.mark, format!("She sails with it: {}", words::sentence(&one.reason)))),
    );
    lines.sort_by_key(|(mark, _)| (mark.when, mark.event));
    let photos = defect.defect.photos.iter().chain(defect.seen.iter().flat_map(|seen| &seen.photos));
    html! {
        section #history {
            h2 { "What was told" }
            @if let Some(fault) = &defect.fault { p { strong { "Cause: " } (fault_name(ask, fault)) } }
            @if let Some(cost) = cost(defect) { p { strong { "Cost until now: " } (cost) } }
            ol.history { @for (mark, words) in &lines { li { (words) " " span.soft { (ask.by(site, mark)) "." } " " (crossed::link(site, &mark.content.to_string())) } } }
            div.photos { @for photo in photos { a href=(links::photo(&photo.to_string())) { img src=(links::photo(&photo.to_string())) alt="Photo of it" loading="lazy"; } } }
        }
    }
}

/// What it cost, parted into work and parts; nothing if nobody said.
fn cost(defect: &DefectStanding) -> Option<String> {
    let (work, parts) = spent::of_defect(defect);
    let mut all = work.clone();
    all.join(&parts);
    let said = |sums: &Sums| Some(spent::sums(sums)).filter(|sums| !sums.is_empty());
    let parted = [("work", said(&work)), ("parts", said(&parts))];
    let parted: Vec<String> =
        parted.into_iter().filter_map(|(what, sum)| sum.map(|sum| format!("{what} {sum}"))).collect();
    said(&all).map(|sum| format!("{sum} ({}).", parted.join(", ")))
}

fn part(pieces: &Pieces, cost: Option<quantity::Money>) -> String {
    let cost = cost.map_or_else(String::new, |cost| format!(", {cost}"));
    format!("Part used: {} of \u{201c}{}\u{201d}{cost}.", pieces.count, pieces.part)
}

fn fault_name(ask: &DefectAsk<'_>, id: &str) -> String {
    let faults = &ask.hull().vessel.boat.faults;
    faults
        .iter()
        .find(|fault| fault.id == id)
        .map_or_else(|| id.to_owned(), |fault| words::sentence(&fault.name))
}

fn forms(site: &Site, ask: &DefectAsk<'_>, kept: &Kept<'_>) -> Markup {
    let address = links::defect(&ask.defect.id().to_string());
    let boat = &ask.hull().vessel.boat;
    let own = |item: boat::model::ItemId| boat.items[item].id == ask.defect.defect.item;
    let faults = boat.faults.iter().filter(|fault| own(fault.item)).collect::<Vec<_>>();
    let used = |prefix: &'static str| Used {
        prefix,
        hull: ask.hull(),
        at: ask.at,
        shelves: ask.shelves,
        expected: &[],
    };
    let none = Kept::default();
    let form = |doing: &str, legend: &str, button: &str, fields: Markup, rows: bool| {
        html! {
            details id=(doing) open[kept.get("do") == doing] {
                summary { (legend) }
                form.tell-form.wide-form[rows] method="post" action=(address) {
                    (seal(site))
                    input type="hidden" name="do" value=(doing);
                    (fields)
                    @if rows { div.stop-go { button type="submit" { (button) } (used::more()) } }
                    @else { button.plain type="submit" { (button) } }
                }
            }
        }
    };
    html! {
        section #do {
            h2 { "What is to be done" }
            (form("task", "Somebody is to see to it", "Set the task", html! { (text(kept, "task", "What is to be done")) (day(kept)) }, false))
            @if !faults.is_empty() { (form("cause", "The cause is known", "Write the cause down", html! {
                div.field { label for="fault" { "The cause" } select #fault name="fault" { @for fault in &faults { option value=(fault.id) { (fault.name) } } } } }, false)) }
            (form("mended", "It is mended", "Write it down", html! {
                (text(kept, "mended", "What was done"))
                div.pair { (field(kept, "mended-took", "How long it took (may be left empty)", "such as 1 h 30 min", "text"))
                    (field(kept, "mended-cost", "What the work cost (may be left empty)", "such as 95.00 USD", "text")) }
                (used::rows(&used("m"), of_form(kept, "mended", &none)))
                label.choice.wide { input type="checkbox" name="mended-close" value="yes" checked[kept.get("mended-close") == "yes"]; span { "It was looked at and is in order: close it" } }
            }, true))
            (form("part", "Parts were used", "Write the parts down", used::rows(&used("p"), of_form(kept, "part", &none)), true))
            (form("close", "Looked at and in order: close it", "Close it", html! { (text(kept, "close", "How that was seen")) }, false))
            @if site.may(Role::Manager) && ask.defect.severity == Severity::Safety {
                (form("sails", "She sails with it until it is closed", "She sails with it", html! { (text(kept, "sails", "Why that is safe enough")) }, false)) }
        }
    }
}

fn text(kept: &Kept<'_>, field: &str, label: &str) -> Markup {
    html! { div.field { label for=(format!("{field}-words")) { (label) }
    input id=(format!("{field}-words")) name=(format!("{field}-words")) type="text" maxlength="1000" required
        value=(kept.get(&format!("{field}-words"))) aria-describedby=[kept.described(&format!("{field}-words"))];
    (kept.beside(&format!("{field}-words"))) } }
}

fn day(kept: &Kept<'_>) -> Markup {
    html! { div.field { label for="by" { "By when (may be left empty)" } input #by name="by" type="date" value=(kept.get("by")) aria-describedby=[kept.described("by")]; (kept.beside("by")) } }
}

/// What was typed into a form of the page, if it is this one.
fn of_form<'k>(kept: &'k Kept<'k>, doing: &str, none: &'k Kept<'k>) -> &'k Kept<'k> {
    if kept.get("do") == doing { kept } else { none }
}
