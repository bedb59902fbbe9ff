//! The forecast in words: the verdict in one sentence, times as a crew says them.

use std::fmt::Write as _;

use jiff::civil::Date;

use crate::forecast::{Forecast, Sort, StoreForecast};
use crate::voyage::Voyage;

/// The chance at which a store counts as lasting.
pub const SURE: f64 = 0.9;

/// A minute of the trip as `day 3 (Mon), 05:10`.
pub fn moment(starts: &str, minute: u32) -> String {
    let (day, clock) = (minute / 1440, minute % 1440);
    let date: Option<Date> = starts.parse().ok();
    let named = date.and_then(|first| first.checked_add(jiff::Span::new().days(i64::from(day))).ok());
    let weekday = named.map(weekday).map(|name| format!(" ({name})")).unwrap_or_default();
    format!("day {}{weekday}, {:02}:{:02}", day + 1, clock / 60, clock % 60)
}

fn weekday(date: Date) -> &'static str {
    use jiff::civil::Weekday;
    match date.weekday() {
        Weekday::Monday => "Mon",
        Weekday::Tuesday => "Tue",
        Weekday::Wednesday => "Wed",
        Weekday::Thursday => "Thu",
        Weekday::Friday => "Fri",
        Weekday::Saturday => "Sat",
        Weekday::Sunday => "Sun",
    }
}

/// A chance as trips of a hundred, never 0 or 100 unless it is.
pub fn of_a_hundred(chance: f64) -> String {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 100")]
    let rounded = (chance * 100.0).round() as u32;
    let shown = match rounded {
        0 if chance > 0.0 => 1,
        100 if chance < 1.0 => 99,
        other => other,
    };
    format!("{shown} of 100")
}

/// What it means for a store to be spent.
pub fn spent(sort: Sort) -> &'static str {
    match sort {
        Sort::Battery => "down to its limit",
        Sort::Water => "dry",
        Sort::Waste => "full to its limit",
        Sort::Diesel => "down to its reserve",
        Sort::Gas => "empty",
    }
}

/// The verdict of a trip in one sentence (two if a reason is needed).
pub fn verdict(voyage: &Voyage, forecast: &Forecast, starts: &str) -> String {
    let mut weak: Vec<&StoreForecast> = forecast.stores.iter().filter(|store| store.lasts < SURE).collect();
    weak.sort_by(|a, b| a.usual.cmp(&b.usual).then(a.lasts.total_cmp(&b.lasts)));
    let Some(first) = weak.first() else {
        let least = forecast.stores.iter().min_by(|a, b| a.lasts.total_cmp(&b.lasts));
        return match least {
            Some(store) if store.lasts < 1.0 => format!(
                "Everything lasts. The closest is {}, which lasts in {} trips like this one.",
                with_article(store),
                of_a_hundred(store.lasts)
            ),
            Some(_) => format!(
                "Everything lasts in all of {} trips like this one that were reckoned.",
                forecast.drawings
            ),
            None => "The boat file has no stores, so nothing can be said.".to_owned(),
        };
    };
    let _ = voyage;
    let when = first.usual.map(|minute| moment(starts, minute)).unwrap_or_default();
    let name = with_article(first);
    let mut text = if first.lasts < 0.05 {
        format!("{} is {} by about {when}.", capital(&name), spent(first.sort))
    } else {
        format!(
            "In {} trips like this one {name} is {}, half of those times by {when}.",
            of_a_hundred(1.0 - first.lasts),
            spent(first.sort)
        )
    };
    if let [most, rest @ ..] = first.uses.as_slice() {
        let what = if first.sort == Sort::Waste { "fills" } else { "takes" };
        if rest.is_empty() {
            let _ = write!(text, " All that {what} it: {}.", lower(&most.name));
        } else {
            let _ =
                write!(text, " What {what} most of it: {} ({:.0} %).", lower(&most.name), most.share * 100.0);
        }
    }
    let others: Vec<String> = weak[1..].iter().map(|store| with_article(store)).collect();
    if !others.is_empty() {
        let _ = write!(text, " Short as well: {}.", others.join(", "));
    }
    text
}

/// "the house bank", "fresh water": a supply of several tanks stands without an article.
fn with_article(store: &StoreForecast) -> String {
    let name = lower(&store.name);
    let mass = matches!(store.sort, Sort::Water | Sort::Diesel | Sort::Gas)
        && !name.ends_with("tank")
        && !name.ends_with("bottle");
    if mass { name } else { format!("the {name}") }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn lower(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
