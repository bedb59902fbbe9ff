//! What readings have taught about the bank, the loads and the crew's habits, in words.

use boat::model::{Boat, Liquid};

use super::gauge::Kind;
use super::pool::effective;
use super::words;
use crate::forecast::as_planned;
use crate::luck::Luck;
use crate::voyage::{Account, FeedKind, Habit, Voyage};

/// Something is learned when its spread has shrunk to this part of what it was, or its mean has moved by this part
/// of that spread (our judgement).
const SHRUNK: f64 = 0.8;
const MOVED: f64 = 0.6;

/// What was planned, and what is known now.
struct Learned {
    before: f64,
    mean: f64,
    /// Eight of ten ways lie so near.
    within: f64,
}

/// Below so many equal drawings nothing is said to be learned.
pub(super) const TOO_FEW: f64 = 20.0;

struct Weighed<'a> {
    /// All as planned.
    middle: Luck,
    lucks: &'a [Luck],
    weights: &'a [f64],
    /// The first so many are the plan's own chances.
    own: usize,
}

impl Weighed<'_> {
    /// What was learned of a quantity, if anything.
    fn of(&self, value: impl Fn(&Luck) -> f64) -> Option<Learned> {
        let all = self.lucks.iter().zip(self.weights).map(|(luck, weight)| (value(luck), *weight));
        let each = 1.0 / self.own as f64;
        let (usual, was) = mean_and_spread(self.lucks[..self.own].iter().map(|luck| (value(luck), each)));
        let (mean, is) = mean_and_spread(all);
        // Rounding leaves a spread to what has none.
        if was <= 1e-6 * usual.abs().max(1e-9) {
            return None;
        }
        let learned = is < SHRUNK * was || (mean - usual).abs() > MOVED * was;
        learned.then_some(Learned { before: value(&self.middle), mean, within: 1.2816 * is })
    }
}

/// Of values with weights that add up to 1.
fn mean_and_spread(values: impl Iterator<Item = (f64, f64)>) -> (f64, f64) {
    let (mut mean, mut square) = (0.0, 0.0);
    for (value, weight) in values {
        mean += weight * value;
        square += weight * value * value;
    }
    (mean, (square - mean * mean).max(0.0).sqrt())
}

/// What has been learned, in full sentences.
pub(super) fn learned(
    boat: &Boat,
    voyage: &Voyage,
    lucks: &[Luck],
    weights: &[f64],
    own: usize,
) -> Vec<String> {
    if effective(weights) < TOO_FEW {
        return Vec::new();
    }
    let weighed = Weighed { middle: Luck::middle(voyage), lucks, weights, own };
    let (_, log) = as_planned(voyage);
    let days = voyage.steps as f64 * voyage.step.as_hours() / 24.0;
    // Trips do not begin and end at one time of day: what is spread over a part of the day tells its own figure.
    let on_average = log.whole.iter().map(|amount| amount / days.max(1e-9));
    let daily: Vec<f64> =
        voyage.lines.iter().zip(on_average).map(|(line, mean)| line.of_a_day().unwrap_or(mean)).collect();
    let mut said = Vec::new();
    for (at, bank) in voyage.banks.iter().enumerate() {
        let name = words_name(&boat.stores[bank.store].name);
        if let Some(found) = weighed.of(|luck| 100.0 * luck.health[at].as_plain()) {
            said.push(format!(
                "The {name} holds about {} % of its rated {:.0} Ah{}; {:.0} % was counted on.",
                figure(found.mean),
                bank.spec.capacity.as_amp_hours(),
                range(&found, " %"),
                found.before
            ));
        }
        let on = |line: usize| voyage.lines[line].account == Account::Bank(at);
        let all = |luck: &Luck| sum(&daily, luck, on);
        if let Some(found) = weighed.of(all) {
            said.push(not(
                &format!("All loads together take about {{}} Ah a day from the {name}"),
                &found,
                " Ah",
            ));
        }
    }
    thermostats(boat, voyage, &weighed, &daily, &mut said);
    for (at, ledger) in voyage.ledgers.iter().enumerate() {
        liquid(boat, voyage, &weighed, (at, ledger.liquid), &daily, &mut said);
    }
    feeds(boat, voyage, &weighed, &mut said);
    if let Some(found) = weighed.of(|luck| 100.0 * luck.engine) {
        let by = found.mean - 100.0;
        let word = if by < 0.0 { "shorter" } else { "longer" };
        if by.abs() >= 3.0 {
            said.push(format!("You run the engine about {:.0} % {word} than the plan says.", by.abs()));
        } else {
            said.push("You run the engine for about as long as the plan says.".to_owned());
        }
    }
    said
}

/// What lines take on a day of one drawing.
fn sum(daily: &[f64], luck: &Luck, on: impl Fn(usize) -> bool) -> f64 {
    daily
        .iter()
        .enumerate()
        .filter(|(line, _)| on(*line))
        .map(|(line, amount)| amount * luck.lines[line])
        .sum()
}

fn thermostats(boat: &Boat, voyage: &Voyage, weighed: &Weighed<'_>, daily: &[f64], said: &mut Vec<String>) {
    for (at, line) in voyage.lines.iter().enumerate() {
        if !matches!((line.habit, line.account), (Habit::Thermostat { .. }, Account::Bank(_))) {
            continue;
        }
        if let Some(found) = weighed.of(|luck| daily[at] * luck.lines[at]) {
            let name = words_name(&boat.loads[line.load].name);
            said.push(not(&format!("The {name} takes about {{}} Ah a day"), &found, " Ah"));
        }
    }
}

fn liquid(
    boat: &Boat,
    voyage: &Voyage,
    weighed: &Weighed<'_>,
    (at, liquid): (usize, Option<Liquid>),
    daily: &[f64],
    said: &mut Vec<String>,
) {
    let on = |line: usize| voyage.lines[line].account == Account::Ledger(at);
    let crew = f64::from(voyage.crew.max(1));
    let name = words_name(&words::name(boat, voyage, Kind::Level(at, 0)));
    let each = |luck: &Luck| sum(daily, luck, on) / crew;
    let told = match liquid {
        Some(Liquid::Water) => {
            weighed.of(each).map(|found| not("You use about {} L of fresh water each a day", &found, " L"))
        }
        Some(Liquid::Waste) => weighed
            .of(each)
            .map(|found| not(&format!("Each of you adds about {{}} L a day to the {name}"), &found, " L")),
        Some(Liquid::Diesel) => weighed
            .of(|luck| sum(daily, luck, on) * luck.engine)
            .map(|found| not("About {} L of diesel a day is used", &found, " L")),
        None => weighed
            .of(|luck| 1000.0 * sum(daily, luck, on))
            .map(|found| not("You use about {} g of cooking gas a day", &found, " g")),
    };
    said.extend(told);
    if let Some(found) = weighed.of(|luck| 100.0 * luck.ledgers[at]) {
        if (found.mean - found.before).abs() >= 3.0 {
            said.push(format!(
                "The {name} was about {:.0} % full when you left, not {:.0} %.",
                found.mean, found.before
            ));
        }
    }
}

fn feeds(boat: &Boat, voyage: &Voyage, weighed: &Weighed<'_>, said: &mut Vec<String>) {
    for (at, feed) in voyage.feeds.iter().enumerate() {
        if !matches!(feed.kind, FeedKind::Alternator(..) | FeedKind::Solar(..) | FeedKind::Charger(_)) {
            continue;
        }
        if let Some(found) = weighed.of(|luck| 100.0 * luck.feeds[at]) {
            let name = words_name(&boat.feeds[feed.source].name);
            said.push(format!(
                "The {name} gives about {} % of what was counted on{}.",
                figure(found.mean),
                range(&found, " %")
            ));
        }
    }
}

/// A sentence with `{}` for the figure, and what it was thought to be.
fn not(sentence: &str, found: &Learned, unit: &str) -> String {
    let digits = usize::from(found.mean.min(found.before) < 9.95);
    let (now, before) = (format!("{:.digits$}", found.mean), format!("{:.digits$}", found.before));
    let end = if now == before {
        format!(", as planned{}.", range(found, unit))
    } else {
        format!(", not {before}{}.", range(found, unit))
    };
    sentence.replace("{}", &now) + &end
}

fn range(found: &Learned, unit: &str) -> String {
    let (low, high) = ((found.mean - found.within).max(0.0), found.mean + found.within);
    format!(" (likely {} to {}{unit})", figure(low), figure(high))
}

/// Two figures that count.
fn figure(value: f64) -> String {
    if value.abs() >= 9.95 { format!("{value:.0}") } else { format!("{value:.1}") }
}

/// A name inside a sentence.
pub(super) fn words_name(name: &str) -> String {
    let mut letters = name.chars();
    let first = letters.next();
    // A name that begins with two capitals is an abbreviation.
    if letters.clone().next().is_some_and(char::is_uppercase) {
        return name.to_owned();
    }
    first.map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
