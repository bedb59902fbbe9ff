//! Figures in the words of steps, topics and cautions that contradict a limit of what they speak of:
//! `words-contradict-limit`.
//!
//! A figure counts only where the words around it, up to the next comma or figure, say which kind of limit it is
//! ("rest 5 s", "at most 3 s"), and where what is spoken of has a limit of that kind. Other figures are let be.

use boat::diagnostic::Diagnostic;
use boat::model::{Boat, CautionId, ItemId, Limit, LimitKind, Step, StepKind, Thing, VarKind};
use quantity::{Dimension, Quantity};

use super::agree::{Written, by_item, same};
use super::at;
use crate::model::Model;
use crate::words;

pub(super) fn find(model: &Model<'_>, found: &mut Vec<Diagnostic>) {
    let boat = model.boat;
    for (id, procedure) in boat.procedures.iter_ids() {
        for (place, step) in procedure.steps.iter().enumerate() {
            let limits = step_limits(boat, step);
            let (look, otherwise) = match &step.kind {
                StepKind::Look { look, otherwise, .. } => (Some(look), otherwise.as_ref()),
                _ => (None, None),
            };
            let texts = [step.say.as_ref(), step.why.as_ref(), look, otherwise];
            texts
                .into_iter()
                .flatten()
                .for_each(|text| check(boat, text, Thing::Step(id, place), &limits, found));
        }
    }
    for (id, topic) in boat.topics.iter_ids() {
        let limits: Vec<Written<'_>> = topic.items.iter().flat_map(|item| item_limits(boat, *item)).collect();
        check(boat, &topic.words, Thing::Topic(id), &limits, found);
    }
    for (id, caution) in boat.cautions.iter_ids() {
        check(boat, &caution.text, Thing::Caution(id), &caution_limits(boat, id), found);
    }
}

fn check(boat: &Boat, text: &str, thing: Thing, limits: &[Written<'_>], found: &mut Vec<Diagnostic>) {
    if limits.is_empty() {
        return;
    }
    for figure in figures(text) {
        let Some(kind) = kind(&figure) else { continue };
        let mut like = limits.iter().filter(|written| {
            written.limit.kind == kind && written.limit.is.dimension() == figure.is.dimension()
        });
        let Some(first) = like.clone().next() else { continue };
        if like.any(|written| same(written.limit.is, figure.is)) {
            continue;
        }
        let name = words::thing(boat, first.thing);
        found.push(
            Diagnostic::error(
                "words-contradict-limit",
                at(boat, thing),
                format!(
                    "The words say {}, but the {} of {name} is {}.",
                    figure.is,
                    words::kind_spoken(kind),
                    first.limit.is
                ),
            )
            .label(format!("“{}”", figure.around.trim()))
            .also(at(boat, first.thing), format!("{} = {}", kind.word(), first.limit.is))
            .mend("Write the limit's name in braces, such as {thing.longest}, so that the words follow the limit."),
        );
    }
}

fn of_owner(limits: &[Limit], thing: impl Fn(usize) -> Thing) -> Vec<Written<'_>> {
    limits.iter().enumerate().map(|(place, limit)| Written { thing: thing(place), limit }).collect()
}

fn step_limits<'b>(boat: &'b Boat, step: &Step) -> Vec<Written<'b>> {
    let mut all = Vec::new();
    let mut item = step.item;
    match &step.kind {
        StepKind::Set { var, .. } => {
            if let VarKind::Control(control) = &boat.vars[*var].kind {
                all.extend(of_owner(&control.limits, |at| Thing::VarLimit(*var, at)));
                item = item.or(control.item);
            }
        }
        StepKind::Do { action, .. } => {
            let row = &boat.actions[*action];
            all.extend(of_owner(&row.limits, |at| Thing::ActionLimit(*action, at)));
            item = item.or(row.item);
        }
        StepKind::Look { .. } | StepKind::Wait { .. } => {}
    }
    if let Some(item) = item {
        all.extend(of_owner(&boat.items[item].limits, |at| Thing::ItemLimit(item, at)));
    }
    all
}

fn item_limits(boat: &Boat, item: ItemId) -> Vec<Written<'_>> {
    by_item(boat).remove(&item).unwrap_or_default()
}

/// The limits whose words of warning these are.
fn caution_limits(boat: &Boat, caution: CautionId) -> Vec<Written<'_>> {
    by_item(boat).into_values().flatten().filter(|written| written.limit.caution == Some(caution)).collect()
}

/// A figure with the words before and after it, up to a comma, a stop or another figure.
struct Figure {
    is: Quantity,
    before: String,
    after: String,
    around: String,
}

const NUMBER_WORDS: [(&str, f64); 18] = [
    ("one", 1.0),
    ("two", 2.0),
    ("three", 3.0),
    ("four", 4.0),
    ("five", 5.0),
    ("six", 6.0),
    ("seven", 7.0),
    ("eight", 8.0),
    ("nine", 9.0),
    ("ten", 10.0),
    ("twelve", 12.0),
    ("fifteen", 15.0),
    ("twenty", 20.0),
    ("thirty", 30.0),
    ("forty", 40.0),
    ("fifty", 50.0),
    ("sixty", 60.0),
    ("ninety", 90.0),
];

const UNIT_WORDS: [(&str, &str); 24] = [
    ("s", "s"),
    ("sec", "s"),
    ("secs", "s"),
    ("second", "s"),
    ("seconds", "s"),
    ("min", "min"),
    ("mins", "min"),
    ("minute", "min"),
    ("minutes", "min"),
    ("h", "h"),
    ("hr", "h"),
    ("hrs", "h"),
    ("hour", "h"),
    ("hours", "h"),
    ("rpm", "rpm"),
    ("revs", "rpm"),
    ("revolutions", "rpm"),
    ("m", "m"),
    ("metre", "m"),
    ("metres", "m"),
    ("meter", "m"),
    ("meters", "m"),
    ("ft", "ft"),
    ("feet", "ft"),
];

/// A word of a text, or a mark that ends a clause.
#[derive(Clone, PartialEq)]
enum Token {
    Word(String),
    Stop,
}

fn tokens(text: &str) -> Vec<Token> {
    let mut all = Vec::new();
    let mut word = String::new();
    let mut chars = text.chars().peekable();
    while let Some(letter) = chars.next() {
        let inside_number = matches!(letter, '.' | ',')
            && word.chars().next_back().is_some_and(|last| last.is_ascii_digit())
            && chars.peek().is_some_and(char::is_ascii_digit);
        // A number runs into its unit in "10s".
        let unit_starts =
            letter.is_alphabetic() && word.chars().next_back().is_some_and(|last| last.is_ascii_digit());
        if unit_starts {
            all.push(Token::Word(std::mem::take(&mut word)));
        }
        if letter.is_alphanumeric() || inside_number {
            word.push(if letter == ',' { '.' } else { letter });
            continue;
        }
        if !word.is_empty() {
            all.push(Token::Word(std::mem::take(&mut word)));
        }
        if matches!(letter, '.' | ',' | ';' | ':' | '!' | '?' | '(' | ')' | '{' | '}') {
            all.push(Token::Stop);
        }
    }
    if !word.is_empty() {
        all.push(Token::Word(word));
    }
    all
}

fn number(word: &str) -> Option<f64> {
    let lower = word.to_lowercase();
    let named = NUMBER_WORDS.iter().find(|(name, _)| *name == lower).map(|(_, value)| *value);
    named.or_else(|| {
        word.starts_with(|first: char| first.is_ascii_digit()).then(|| word.parse().ok()).flatten()
    })
}

fn unit(word: &str) -> Option<&'static str> {
    let lower = word.to_lowercase();
    UNIT_WORDS.iter().find(|(name, _)| *name == lower).map(|(_, unit)| *unit)
}

fn figures(text: &str) -> Vec<Figure> {
    let tokens = tokens(text);
    let mut found = Vec::new();
    let mut cut = 0;
    for (at, pair) in tokens.windows(2).enumerate() {
        let [Token::Word(first), Token::Word(second)] = pair else { continue };
        let (Some(value), Some(unit)) = (number(first), unit(second)) else { continue };
        let Ok(is) = Quantity::parse(&format!("{value} {unit}")) else { continue };
        let stop = tokens[cut..at]
            .iter()
            .rposition(|token| *token == Token::Stop)
            .map_or(cut, |stop| cut + stop + 1);
        let end = tokens[at + 2..]
            .iter()
            .position(|token| {
                matches!(token, Token::Stop) || matches!(token, Token::Word(word) if number(word).is_some())
            })
            .map_or(tokens.len(), |end| at + 2 + end);
        found.push(Figure {
            is,
            before: plain(&tokens[stop..at]),
            after: plain(&tokens[at + 2..end]),
            around: plain(&tokens[stop..end]),
        });
        cut = at + 2;
    }
    found
}

fn plain(tokens: &[Token]) -> String {
    let words = tokens.iter().filter_map(|token| match token {
        Token::Word(word) => Some(word.as_str()),
        Token::Stop => None,
    });
    words.collect::<Vec<_>>().join(" ")
}

/// Which kind of limit the words around a figure speak of.
fn kind(figure: &Figure) -> Option<LimitKind> {
    let before = format!(" {} ", figure.before.to_lowercase());
    let after = format!(" {} ", figure.after.to_lowercase());
    let says = |phrases: &[&str]| {
        phrases.iter().any(|phrase| {
            before.contains(&format!(" {phrase} ")) || after.starts_with(&format!(" {phrase} "))
        })
    };
    let upper = says(&[
        "at most",
        "no more than",
        "not more than",
        "never more than",
        "more than",
        "no longer than",
        "longer than",
        "longest",
        "maximum",
        "max",
        "up to",
        "not over",
        "never over",
    ]);
    let lower = says(&[
        "at least",
        "no less than",
        "not less than",
        "minimum",
        "or more",
        "not below",
        "never below",
    ]);
    match figure.is.dimension() {
        Dimension::Time if says(&["rest", "rests", "cool", "pause", "between runs", "between bursts"]) => {
            Some(LimitKind::Rest)
        }
        Dimension::Time if upper => Some(LimitKind::Longest),
        Dimension::Time if says(&["hold", "keep holding"]) || (lower && before.contains(" hold ")) => {
            Some(LimitKind::Hold)
        }
        Dimension::Time => None,
        Dimension::Length if says(&["clear", "away", "clearance", "distance"]) => Some(LimitKind::Clear),
        _ if lower || says(&["above"]) => Some(LimitKind::Least),
        _ if upper || says(&["below", "under"]) => Some(LimitKind::Most),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> Vec<(String, Option<LimitKind>)> {
        figures(text).iter().map(|figure| (figure.is.to_string(), kind(figure))).collect()
    }

    #[test]
    fn figures_are_read_with_the_words_of_their_own_clause() {
        assert_eq!(
            kinds("Short bursts: 3 s at most, then rest five seconds."),
            [("3 s".to_owned(), Some(LimitKind::Longest)), ("5 s".to_owned(), Some(LimitKind::Rest))]
        );
        assert_eq!(kinds("Hold the knob in for 10s."), [("10 s".to_owned(), Some(LimitKind::Hold))]);
        assert_eq!(kinds("Wait 10 min for the plugs."), [("10 min".to_owned(), None)]);
        assert_eq!(kinds("Run it above 1,500 things."), []);
        assert_eq!(kinds("Never below 1500 rpm."), [("1500 rpm".to_owned(), Some(LimitKind::Least))]);
    }
}
