//! What boats cost in a year: by boat, and for one boat by month, upkeep, defect and part.

use std::collections::{BTreeMap, BTreeSet};

use jiff::tz::TimeZone;
use maud::{Markup, html};
use quantity::Time;
use records::{BoatId, BoatStanding, Costs, Moment, Month, Standing, Sums, costs};

use super::month::{month_after, month_before};
use super::spent;
use super::stage::{Hull, item_name, upkeep_of};
use crate::frame::{Desk, Site, desk_page};
use crate::{links, when, words};

/// The years that can be asked for.
pub const YEARS: std::ops::RangeInclusive<i16> = 1970..=2200;

/// Sums in a cell: nothing told is a dash.
fn cell(name: &str, sums: &Sums) -> Markup {
    let text = spent::sums(sums);
    html! {
        @if text.is_empty() { td.number.none { span.vh { "nothing told" } span.soft aria-hidden="true" { "\u{2013}" } } }
        @else { td.number data-name=(name) { (text) } }
    }
}

fn together(parts: [&Sums; 3]) -> Sums {
    let mut all = Sums::default();
    for part in parts {
        all.join(part);
    }
    all
}

/// How far the clocks of a base are ahead of UTC in the middle of a month.
fn offset(zone: &TimeZone, month: Month) -> i32 {
    let middle = jiff::civil::Date::new(month.year, month.month, 15).ok();
    let middle = middle.and_then(|day| day.to_zoned(zone.clone()).ok());
    middle.map_or(0, |day| day.offset().seconds())
}

/// What a boat cost in each month, each by the clocks that the base has in its middle.
pub fn month_costs(zone: &TimeZone, standing: &Standing, boat: &BoatId) -> BTreeMap<Month, Costs> {
    let by = |ahead: i32| -> BTreeMap<Month, Costs> {
        let all = costs(standing, Time::seconds(f64::from(ahead)));
        all.into_iter()
            .filter(|((own, _), _)| own == boat)
            .map(|((_, month), costs)| (month, costs))
            .collect()
    };
    // By other clocks what happened near midnight is of the month before or after.
    let near = by(0).into_keys().flat_map(|month| [month_before(month), month, month_after(month)]);
    let months: BTreeSet<Month> = near.collect();
    let mut known: BTreeMap<i32, BTreeMap<Month, Costs>> = BTreeMap::new();
    let mut found = BTreeMap::new();
    for month in months {
        let ahead = offset(zone, month);
        let all = known.entry(ahead).or_insert_with(|| by(ahead));
        found.extend(all.get(&month).map(|costs| (month, costs.clone())));
    }
    found
}

/// A boat's months of a year that cost something, and all of them together.
fn of_year(site: &Site, hull: Hull<'_>, year: i16) -> (BTreeMap<Month, Costs>, Costs) {
    let mut months = month_costs(&site.zone, hull.standing, &BoatId::new(hull.vessel.slug.as_str()));
    months.retain(|month, _| month.year == year);
    let mut sum = Costs::default();
    for costs in months.values() {
        sum.join(costs);
    }
    (months, sum)
}

fn years(site: &Site, year: i16, link: &dyn Fn(i16) -> String) -> Markup {
    let now = when::zoned(site, site.now).date().year();
    html! {
        p.fleet-links.no-print {
            @if YEARS.contains(&(year - 1)) { a.button.plain href=(link(year - 1)) { (year - 1) } }
            @if YEARS.contains(&(year + 1)) && year < now { a.button.plain href=(link(year + 1)) { (year + 1) } }
        }
        @if year >= now { p.notice { "The year is not over yet, so this is not the whole of it." } }
    }
}

/// All boats side by side. What went into tanks and bottles stands on each boat's own page.
pub fn costs_page(site: &Site, hulls: &[Hull<'_>], year: i16) -> String {
    let rows: Vec<(Hull<'_>, Costs)> =
        hulls.iter().map(|hull| (*hull, of_year(site, *hull, year).1)).collect();
    let none = Sums::default();
    let total = |costs: &Costs| together([&costs.upkeep, &costs.mending, &none]);
    let title = format!("What the boats cost in {year}");
    let body = html! {
        div.title {
            h1 { (title) }
            p.lead { "Upkeep and mending of each boat. What went into tanks and bottles stands on her own page." }
        }
        (years(site, year, &links::costs))
        @if rows.is_empty() { p { "There are no boats yet." } } @else {
            table.list.sums {
                thead { tr { th scope="col" { "Boat" } th scope="col" { "Upkeep" } th scope="col" { "Mending" } th scope="col" { "Together" } th scope="col" { "Of that work" } th scope="col" { "Of that parts" } } }
                tbody { @for (hull, costs) in &rows { tr {
                    th scope="row" { a href=(links::boat_costs(&hull.vessel.slug, year)) { (hull.name()) }
                        @if costs.unpriced > 0 { br; span.soft { (costs.unpriced) " without a price" } } }
                    (cell("Upkeep", &costs.upkeep)) (cell("Mending", &costs.mending)) (cell("Together", &total(costs)))
                    (cell("Of that work", &costs.work)) (cell("Of that parts", &costs.parts))
                } } }
            }
            @if rows.iter().any(|(_, costs)| costs.unpriced > 0) { p { "Where something has no price, the sums are too small." } }
        }
    };
    desk_page(site, &title, Desk::Stock, &body)
}

/// One boat's year: months, then what cost most.
pub fn boat_costs_page(site: &Site, hull: Hull<'_>, year: i16) -> String {
    let (months, sum) = of_year(site, hull, year);
    let total = |costs: &Costs| together([&costs.upkeep, &costs.mending, &costs.filling]);
    let slug = &hull.vessel.slug;
    let title = format!("What {} cost in {year}", hull.name());
    let body = html! {
        div.title {
            p.small { a href=(links::costs(year)) { "All boats" } ": " a href=(links::standing(slug)) { (hull.name()) } }
            h1 { (title) }
            p.lead { @let all = spent::sums(&total(&sum)); @if all.is_empty() { "Nothing was told that cost money." } @else { (all) " together, by what was told at " (site.base) "." } }
        }
        (years(site, year, &|year| links::boat_costs(slug, year)))
        @if sum.unpriced > 0 { p { "Of " (words::count(usize::try_from(sum.unpriced).unwrap_or_default(), "doing or part", "doings and parts")) " nobody said what it cost, so the sums are too small." } }
        section.block #months {
            h2 { "By month" }
            @if months.is_empty() { p { "No month of this year has anything." } } @else { table.list.sums {
                thead { tr { th scope="col" { "Month" } th scope="col" { "Upkeep" } th scope="col" { "Mending" } th scope="col" { "Tanks and bottles" } th scope="col" { "Together" } } }
                tbody {
                    @for (month, costs) in &months { tr {
                        th scope="row" { a href=(links::month(slug, &month.to_string())) { (when::month(month.month)) } }
                        (cell("Upkeep", &costs.upkeep)) (cell("Mending", &costs.mending)) (cell("Tanks and bottles", &costs.filling)) (cell("Together", &total(costs)))
                    } }
                    tr.total {
                        th scope="row" { "The year" }
                        (cell("Upkeep", &sum.upkeep)) (cell("Mending", &sum.mending)) (cell("Tanks and bottles", &sum.filling)) (cell("Together", &total(&sum)))
                    }
                }
            } }
            dl.facts {
                @for (name, sums) in [("Work", &sum.work), ("Parts", &sum.parts), ("All else", &sum.other)] {
                    div { dt { (name) } dd { @let text = spent::sums(sums); @if text.is_empty() { "nothing told" } @else { (text) } } } }
            }
        }
        (details(site, hull, year))
        p.hint.no-print { "To keep it as a PDF, print this page from your browser and choose PDF as the printer." }
    };
    desk_page(site, &title, Desk::Boats, &body)
}

/// What one thing cost in the year.
struct Item {
    name: String,
    /// Nothing for a line that is no longer in her service plan.
    link: Option<String>,
    times: usize,
    work: Sums,
    parts: Sums,
    other: Sums,
}

impl Item {
    fn all(&self) -> Sums {
        together([&self.work, &self.parts, &self.other])
    }

    /// For the order: the largest amount of any currency, in its smallest units.
    fn most(&self) -> i64 {
        self.all().iter().map(quantity::Money::minor_units).max().unwrap_or_default()
    }
}

fn details(site: &Site, hull: Hull<'_>, year: i16) -> Markup {
    let none = BoatStanding::default();
    let boat = hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str())).unwrap_or(&none);
    let here = |moment: Moment| when::zoned(site, moment).date().year() == year;
    let mut used: BTreeMap<String, (u64, Sums)> = BTreeMap::new();
    let mut upkeep: Vec<Item> = upkeep(hull, boat, &here, &mut used);
    let mut defects: Vec<Item> = defects(hull, boat, &here, &mut used);
    upkeep.sort_by_key(|item| std::cmp::Reverse(item.most()));
    defects.sort_by_key(|item| std::cmp::Reverse(item.most()));
    let mut parts: Vec<(String, (u64, Sums))> = used.into_iter().collect();
    let most = |sums: &Sums| sums.iter().map(quantity::Money::minor_units).max().unwrap_or_default();
    parts.sort_by_key(|(_, (_, sums))| std::cmp::Reverse(most(sums)));
    html! {
        section.block #upkeep { h2 { "By upkeep" } (items(&upkeep, "None was told in this year.")) }
        section.block #defects { h2 { "By defect" } (items(&defects, "Nothing was mended in this year.")) }
        section.block #parts {
            h2 { "By part" }
            @if parts.is_empty() { p { "No parts were told in this year." } } @else { table.list.sums {
                thead { tr { th scope="col" { "Part" } th scope="col" { "Used" } th scope="col" { "Cost" } } }
                tbody { @for (name, (count, sums)) in &parts { tr {
                    th scope="row" { a href=(links::stock_part(name)) { (name) } }
                    td.number data-name="Used" { (count) }
                    (cell("Cost", sums))
                } } }
            } }
        }
    }
}

/// What cost something, line by line; of the rest how much there is.
fn items(all: &[Item], none: &str) -> Markup {
    let (items, free): (Vec<&Item>, Vec<&Item>) =
        all.iter().partition(|item| item.all().iter().next().is_some());
    html! {
        @if all.is_empty() { p { (none) } } @else if items.is_empty() { p { "Nobody said what any of it cost." } } @else { table.list.sums {
            thead { tr { th scope="col" { "What" } th scope="col" { "Times" } th scope="col" { "Work" } th scope="col" { "Parts" } th scope="col" { "All else" } th scope="col" { "Together" } } }
            tbody { @for item in &items { tr {
                th scope="row" { @match &item.link { Some(link) => a href=(link) { (item.name) }, None => (item.name) } }
                td.number data-name="Times" { (item.times) }
                (cell("Work", &item.work)) (cell("Parts", &item.parts)) (cell("All else", &item.other)) (cell("Together", &item.all()))
            } } }
        } }
        @if !free.is_empty() && !items.is_empty() { p.soft { (words::capital(&words::count(free.len(), "other line", "other lines"))) ": nobody said that it cost anything." } }
    }
}

fn upkeep(
    hull: Hull<'_>,
    boat: &BoatStanding,
    here: &dyn Fn(Moment) -> bool,
    used: &mut BTreeMap<String, (u64, Sums)>,
) -> Vec<Item> {
    let lines = &hull.vessel.boat.upkeep;
    let mut items = Vec::new();
    for (id, all) in &boat.upkeep {
        let known = lines.iter().any(|own| own.id == *id);
        let mut item = Item {
            link: known.then(|| links::upkeep_line(&hull.vessel.slug, id)),
            name: upkeep_of(&hull.vessel.boat, id),
            times: 0,
            work: Sums::default(),
            parts: Sums::default(),
            other: Sums::default(),
        };
        for done in all.iter().filter(|done| here(done.mark.when)) {
            item.times += 1;
            done.work.into_iter().for_each(|cost| item.work.put(cost));
            done.cost.into_iter().for_each(|cost| item.other.put(cost));
            for part in &done.parts {
                let (count, sums) = used.entry(part.pieces.part.clone()).or_default();
                *count += u64::from(part.pieces.count);
                if let Some(cost) = part.cost {
                    sums.put(cost);
                    item.parts.put(cost);
                }
            }
        }
        if item.times > 0 {
            items.push(item);
        }
    }
    items
}

fn defects(
    hull: Hull<'_>,
    boat: &BoatStanding,
    here: &dyn Fn(Moment) -> bool,
    used: &mut BTreeMap<String, (u64, Sums)>,
) -> Vec<Item> {
    let mut items = Vec::new();
    for defect in boat.defects.values() {
        let mended: Vec<_> = defect.mended.iter().filter(|one| here(one.mark.when)).collect();
        let parts: Vec<_> = defect.parts.iter().filter(|(mark, ..)| here(mark.when)).collect();
        let name = item_name(&hull.vessel.boat, &defect.defect.item);
        let mut item = Item {
            name: format!("{name}: {}", words::sentence(&defect.defect.words)),
            link: Some(links::defect(&defect.id().to_string())),
            times: mended.len(),
            work: Sums::default(),
            parts: Sums::default(),
            other: Sums::default(),
        };
        mended.iter().filter_map(|one| one.cost).for_each(|cost| item.work.put(cost));
        for (_, pieces, cost) in &parts {
            let (count, sums) = used.entry(pieces.part.clone()).or_default();
            *count += u64::from(pieces.count);
            if let Some(cost) = cost {
                sums.put(*cost);
                item.parts.put(*cost);
            }
        }
        if !mended.is_empty() || !parts.is_empty() {
            items.push(item);
        }
    }
    items
}
