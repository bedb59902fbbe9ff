//! What was typed into a form that asks by its address: kept as it was written, with what can't be understood, and the
//! fields that show it again.

use std::collections::BTreeMap;
use std::str::FromStr;

use jiff::civil::Date;
use maud::{Markup, html};

/// A field that can't be understood, and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fault {
    pub(crate) field: String,
    pub(crate) what: String,
}

/// What was typed, by the names of its fields.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Given {
    values: BTreeMap<String, String>,
    pub(crate) faults: Vec<Fault>,
}

impl Given {
    /// The names and values of an address; empty values are not given.
    pub(crate) fn new(pairs: &[(String, String)]) -> Self {
        let values = pairs
            .iter()
            .map(|(key, value)| (key.clone(), value.trim().to_owned()))
            .filter(|(_, value)| !value.is_empty())
            .collect();
        Self { values, faults: Vec::new() }
    }

    /// What was written in a field.
    pub(crate) fn value(&self, key: &str) -> &str {
        self.values.get(key).map_or("", String::as_str)
    }

    /// Whether nothing at all is asked.
    pub(crate) fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// Whether anything is written in a field.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.values.contains_key(key)
    }

    /// Writes a value into a field that is empty.
    pub(crate) fn usual(&mut self, key: &str, value: impl Into<String>) {
        self.values.entry(key.to_owned()).or_insert_with(|| value.into());
    }

    pub(crate) fn is_sound(&self) -> bool {
        self.faults.is_empty()
    }

    /// All faults in one text, for programs; nothing if there are none.
    pub(crate) fn flaws(&self) -> Option<String> {
        let words: Vec<&str> = self.faults.iter().map(|fault| fault.what.as_str()).collect();
        (!words.is_empty()).then(|| words.join(" "))
    }

    pub(crate) fn fault(&mut self, field: &str, what: impl Into<String>) {
        self.faults.push(Fault { field: field.to_owned(), what: what.into() });
    }

    /// A quantity as people write it; a bare number has the field's unit.
    pub(crate) fn quantity<T: FromStr>(
        &mut self,
        key: &str,
        what: &str,
        unit: &str,
        like: &str,
    ) -> Option<T> {
        let written = self.value(key).to_owned();
        if written.is_empty() {
            return None;
        }
        let read = quantity(&written, unit);
        if read.is_none() {
            self.fault(key, format!("{what} is written as \u{201c}{written}\u{201d}. Write it as {like}."));
        }
        read
    }

    /// A day of the calendar.
    pub(crate) fn day(&mut self, key: &str, what: &str) -> Option<Date> {
        let written = self.value(key).to_owned();
        if written.is_empty() {
            return None;
        }
        let read = written.parse().ok();
        if read.is_none() {
            let words = "is no day of the calendar. Write it as 2027-07-10";
            self.fault(key, format!("{what}: \u{201c}{written}\u{201d} {words}."));
        }
        read
    }

    /// A whole number within bounds.
    pub(crate) fn whole(&mut self, key: &str, what: &str, least: u32, most: u32) -> Option<u32> {
        let written = self.value(key).to_owned();
        if written.is_empty() {
            return None;
        }
        let read = written.parse().ok().filter(|number| (least..=most).contains(number));
        if read.is_none() {
            self.fault(
                key,
                format!("{what} is a whole number from {least} to {most}, not \u{201c}{written}\u{201d}."),
            );
        }
        read
    }

    /// One of the answers that are offered.
    pub(crate) fn choice<T>(
        &mut self,
        key: &str,
        what: &str,
        find: impl FnOnce(&str) -> Option<T>,
    ) -> Option<T> {
        let written = self.value(key).to_owned();
        if written.is_empty() {
            return None;
        }
        let found = find(&written);
        if found.is_none() {
            self.fault(
                key,
                format!(
                    "{what}: \u{201c}{written}\u{201d} is none of the answers. Choose one from the list."
                ),
            );
        }
        found
    }
}

/// A quantity as people write it, with a point or a comma; a bare number has this unit.
pub(crate) fn quantity<T: FromStr>(written: &str, unit: &str) -> Option<T> {
    let with_point = written.replace(',', ".").replace('\u{2212}', "-");
    let bare = with_point.parse::<f64>().is_ok_and(f64::is_finite);
    let text = if bare { format!("{with_point} {unit}") } else { with_point };
    text.parse().ok()
}

/// A form that asks by its address: open until something is asked and understood, then below a line.
pub(crate) fn folded(given: &Given, form: &Markup) -> Markup {
    html! {
        details.ask-fold.no-print open[given.is_empty() || !given.is_sound()] {
            summary { "Change what is asked" }
            (form)
        }
    }
}

/// What is wrong, above the form.
pub(crate) fn trouble(given: &Given, head: &str) -> Markup {
    html! {
        @if !given.is_sound() {
            section.verdict.trouble.no-print role="alert" aria-labelledby="trouble" {
                h2 #trouble { (head) }
                ul.plainly { @for fault in &given.faults { li { (fault.what) } } }
            }
        }
    }
}

/// A field to write in, with what is wrong with it.
pub(crate) fn field(given: &Given, key: &str, label: &str, hint: &str, kind: Kind) -> Markup {
    let wrong = given.faults.iter().find(|fault| fault.field == key);
    let hint_id = (!hint.is_empty()).then(|| format!("{key}-hint"));
    let described = match (&hint_id, wrong) {
        (Some(hint), Some(_)) => Some(format!("{hint} {key}-wrong")),
        (Some(hint), None) => Some(hint.clone()),
        (None, Some(_)) => Some(format!("{key}-wrong")),
        (None, None) => None,
    };
    let value = given.value(key);
    html! {
        div.field.wrong[wrong.is_some()] {
            label for=(key) { (label) }
            input id=(key) name=(key) type=(kind.of(value)) inputmode=[kind.keys()] autocomplete="off" value=(value)
                aria-invalid=[wrong.map(|_| "true")] aria-describedby=[described];
            @if let Some(id) = &hint_id { p.hint id=(id) { (hint) } }
            @if let Some(wrong) = wrong { p.wrong-words id=(format!("{key}-wrong")) { (wrong.what) } }
        }
    }
}

/// What kind of thing is written in a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Words,
    Number,
    Day,
    DayAndClock,
}

impl Kind {
    /// The kind of field. A browser shows nothing of a day that it can't read, so such a one is shown as words.
    fn of(self, value: &str) -> &'static str {
        let readable = |well: bool, kind| if value.is_empty() || well { kind } else { "text" };
        match self {
            Self::Words | Self::Number => "text",
            Self::Day => readable(value.parse::<Date>().is_ok(), "date"),
            Self::DayAndClock => readable(value.parse::<jiff::civil::DateTime>().is_ok(), "datetime-local"),
        }
    }

    fn keys(self) -> Option<&'static str> {
        (self == Self::Number).then_some("decimal")
    }
}

/// A list to choose from: the value and the words of each answer.
pub(crate) fn choose(given: &Given, key: &str, label: &str, none: &str, answers: &[(&str, &str)]) -> Markup {
    let wrong = given.faults.iter().find(|fault| fault.field == key);
    let value = given.value(key);
    let unlisted = !value.is_empty() && answers.iter().all(|(word, _)| *word != value);
    html! {
        div.field.wrong[wrong.is_some()] {
            label for=(key) { (label) }
            select id=(key) name=(key) aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong.map(|_| format!("{key}-wrong"))] {
                option value="" { (none) }
                @for (word, words) in answers { option value=(word) selected[*word == value] { (words) } }
                @if unlisted { option value=(value) selected { (value) } }
            }
            @if let Some(wrong) = wrong { p.wrong-words id=(format!("{key}-wrong")) { (wrong.what) } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(pairs: &[(&str, &str)]) -> Given {
        let pairs: Vec<(String, String)> =
            pairs.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
        Given::new(&pairs)
    }

    #[test]
    fn bare_numbers_have_the_unit_of_the_field_and_a_comma_is_a_point() {
        use quantity::Length;
        assert_eq!(quantity::<Length>("2,5", "m"), Some(Length::metres(2.5)));
        assert_eq!(quantity::<Length>("\u{2212}1", "m"), Some(Length::metres(-1.0)));
        assert_eq!(quantity::<Length>("6 ft", "m"), Some(Length::feet(6.0)));
        assert_eq!(quantity::<Length>("6 kg", "m"), None);
        assert_eq!(quantity::<Length>("inf", "m"), None);
    }

    #[test]
    fn what_is_wrong_is_told_beside_its_field_and_what_was_typed_stays() {
        let mut typed = given(&[("from", "10.7.2027"), ("adults", "-3"), ("waters", "deep"), ("until", " ")]);
        assert!(typed.day("from", "The first day").is_none());
        assert!(typed.day("until", "The last day").is_none(), "what is empty is not given");
        assert!(typed.whole("adults", "The number of adults", 0, 99).is_none());
        assert!(typed.choice("waters", "The waters", |_| None::<u8>).is_none());
        let fields: Vec<&str> = typed.faults.iter().map(|fault| fault.field.as_str()).collect();
        assert_eq!(fields, ["from", "adults", "waters"]);
        let shown = field(&typed, "from", "From", "", Kind::Day).into_string();
        assert!(shown.contains("type=\"text\"") && shown.contains("value=\"10.7.2027\""), "{shown}");
        assert!(shown.contains("Write it as 2027-07-10"), "{shown}");
        let chosen = choose(&typed, "waters", "Waters", "Not said", &[("coastal", "The sea")]).into_string();
        assert!(chosen.contains("value=\"deep\" selected"), "{chosen}");
    }
}
