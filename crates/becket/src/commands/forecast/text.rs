//! The forecast as a crew reads it: the verdict, one line for each store, then how those go that may run short.

use boat::model::Boat;
use endure::forecast::{Band, Sort, StoreForecast, Use};
use endure::{Voyage, words};

use super::{Reckoned, is_short, readings};
use crate::layout::{self, Side};
use crate::output::colour;
use crate::render;

/// How many loads are told of a store.
const MOST_USES: usize = 6;

pub(super) fn of(reckoned: &Reckoned<'_>, all: bool) -> String {
    let Reckoned { boat, planned, voyage, forecast, checked } = reckoned;
    let starts = &planned.trip.starts;
    let mut out = layout::wrap(&planned.head(boat), "");
    out.push('\n');
    out.push_str(&layout::wrap(&words::verdict(voyage, forecast, starts), ""));
    out.push('\n');
    out.push_str(&stores(reckoned));
    if let Some(checked) = checked {
        out.push_str(&readings::text(checked));
    }
    let told = |store: &&StoreForecast| all || is_short(store);
    for store in forecast.stores.iter().filter(told) {
        out.push('\n');
        out.push_str(&one(boat, voyage, store, starts));
    }
    if forecast.overloaded_hours > 0.0 {
        out.push('\n');
        out.push_str(&layout::wrap(
            &format!(
                "On shore power, all mains together ask for more than the pedestal gives for {:.1} h: its breaker \
                 will trip.",
                forecast.overloaded_hours
            ),
            "",
        ));
    }
    for note in &voyage.notes {
        out.push('\n');
        out.push_str(&render::terminal(note, &planned.sources, colour()));
        out.push('\n');
    }
    out.push('\n');
    out.push_str(&layout::wrap(&footing(reckoned, all), ""));
    out
}

/// What the figures rest on, and what else can be asked.
fn footing(reckoned: &Reckoned<'_>, all: bool) -> String {
    let mut text = format!(
        "{} ways in which the trip may go were reckoned. Habits, weather and the age of batteries are estimates: \
         watch the gauges, and believe them before this.",
        reckoned.checked.map_or(reckoned.forecast.drawings, |checked| checked.before.drawings)
    );
    if !all && reckoned.forecast.stores.iter().any(|store| !is_short(store)) {
        text.push_str(" --all tells the course of every store.");
    }
    text
}

fn stores(reckoned: &Reckoned<'_>) -> String {
    let starts = &reckoned.planned.trip.starts;
    let mut rows =
        vec![["", "", "lasts", "", "at worst", "if it fails, half of the times by"].map(str::to_owned)];
    if reckoned.checked.is_some() {
        "lasts, as read".clone_into(&mut rows[0][2]);
        "as planned".clone_into(&mut rows[0][3]);
    }
    for (at, store) in reckoned.forecast.stores.iter().enumerate() {
        let before = reckoned.checked.and_then(|checked| checked.before.stores.get(at));
        rows.push([
            store.name.clone(),
            format!("{:.0} {}", store.capacity, store.unit),
            words::of_a_hundred(store.lasts),
            before.map(|before| words::of_a_hundred(before.lasts)).unwrap_or_default(),
            worst(store),
            store
                .usual
                .filter(|_| is_short(store))
                .map_or_else(String::new, |minute| words::moment(starts, minute)),
        ]);
    }
    if !reckoned.forecast.stores.iter().any(is_short) {
        rows[0][5].clear();
    }
    let right = Side::Right;
    let sides = [Side::Left, right, right, right, right, Side::Left];
    if reckoned.checked.is_some() {
        return layout::columns("", sides, &rows);
    }
    let rows: Vec<[String; 5]> =
        rows.into_iter().map(|[name, holds, lasts, _, worst, by]| [name, holds, lasts, worst, by]).collect();
    layout::columns("", [sides[0], right, right, right, sides[5]], &rows)
}

/// The worst level of the middle trip.
fn worst(store: &StoreForecast) -> String {
    let side = if store.sort == Sort::Waste { "full" } else { "left" };
    format!("{:.0} % {side}", store.worst.middle * 100.0)
}

fn one(boat: &Boat, voyage: &Voyage, store: &StoreForecast, starts: &str) -> String {
    let mut out = format!("{}, {}\n", store.name, limit(store));
    let mut rows = vec![["", "usual", "8 trips of 10", "volts shown"].map(str::to_owned)];
    let mut last: Option<[String; 3]> = None;
    let shown = shown_hours(voyage, store);
    for (at, (hour, minute)) in shown.iter().enumerate() {
        let band = store.hours[*hour];
        let cells = [
            format!("{:.0} %", band.middle * 100.0),
            range(&band, 100.0, 0, "%"),
            store.volts.get(*hour).map(|band| range(band, 1.0, 1, "V")).unwrap_or_default(),
        ];
        // Once a store is spent nothing moves any more.
        let rest_alike = shown[at..].iter().all(|(later, _)| same(&store.hours[*later], &band));
        if rest_alike && last.as_ref() == Some(&cells) {
            rows.push([
                words::moment(starts, *minute),
                "and so to the end".to_owned(),
                String::new(),
                String::new(),
            ]);
            break;
        }
        let [usual, eight, volts] = cells.clone();
        rows.push([words::moment(starts, *minute), usual, eight, volts]);
        last = Some(cells);
    }
    if store.volts.is_empty() {
        rows[0][3].clear();
    }
    out.push_str(&layout::columns("  ", [Side::Left, Side::Right, Side::Right, Side::Right], &rows));
    for change in &store.change_overs {
        let line = format!(
            "If all goes as planned, change over from {} to {} about {}.",
            boat.stores[change.from].name,
            boat.stores[change.to].name,
            words::moment(starts, change.minute)
        );
        out.push_str(&layout::wrap(&line, "  "));
    }
    out.push_str(&uses(store));
    out
}

/// What a store holds and when it counts as spent.
fn limit(store: &StoreForecast) -> String {
    let at = store.limit * 100.0;
    match store.sort {
        Sort::Waste => format!("counted as full at {at:.0} %"),
        _ if at > 0.5 => format!("counted as spent at {at:.0} %"),
        _ => "counted as spent when empty".to_owned(),
    }
}

/// What takes most of a store (of waste: what fills it), with what it takes on the whole trip.
fn uses(store: &StoreForecast) -> String {
    if store.uses.is_empty() {
        return String::new();
    }
    let (verb, end) = if store.sort == Sort::Waste { ("fills", "full") } else { ("takes", "spent") };
    let until = if store.planned.is_some() { format!(" until it is {end}") } else { String::new() };
    let mut out = format!("  What {verb} it{until}, and how much on the whole trip\n");
    let row = |share: f64, name: &str, amount: f64| {
        [format!("{:.0} %", share * 100.0), name.to_owned(), format!("{amount:.1} {}", store.unit)]
    };
    let (told, others) = store.uses.split_at(store.uses.len().min(MOST_USES));
    let mut rows: Vec<[String; 3]> = told.iter().map(|one| row(one.share, &one.name, one.amount)).collect();
    if !others.is_empty() {
        let sum = |part: fn(&Use) -> f64| others.iter().map(part).sum::<f64>();
        let name = if others.len() == 1 { "one more".to_owned() } else { format!("{} others", others.len()) };
        rows.push(row(sum(|one| one.share), &name, sum(|one| one.amount)));
    }
    out.push_str(&layout::columns("  ", [Side::Right, Side::Left, Side::Right], &rows));
    out
}

/// "93 to 95 %"; one figure where both ends print alike.
fn range(band: &Band, scale: f32, places: usize, unit: &str) -> String {
    let (low, high) = (format!("{:.places$}", band.low * scale), format!("{:.places$}", band.high * scale));
    if low == high { format!("{low} {unit}") } else { format!("{low} to {high} {unit}") }
}

fn same(one: &Band, other: &Band) -> bool {
    let print = |band: &Band| range(band, 100.0, 0, "%");
    print(one) == print(other)
}

/// The hours at which people look: 08:00 and 20:00.
fn shown_hours(voyage: &Voyage, store: &StoreForecast) -> Vec<(usize, u32)> {
    (0..store.hours.len())
        .map(|hour| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
            let minute = voyage.minute((hour + 1) * voyage.steps_an_hour()).round() as u32;
            (hour, minute)
        })
        .filter(|(_, minute)| matches!(minute % 1440 / 60, 8 | 20))
        .collect()
}
