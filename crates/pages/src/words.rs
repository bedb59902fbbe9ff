//! Words for people: names of levels and reaches, numbers with their nouns, times and lengths.

use boat::model::{Interval, Level, LimitKind, Reach, Who};
use quantity::{Length, Quantity, System, Time};

/// "1 step", "2 steps", "no steps".
pub(crate) fn count(number: usize, one: &str, many: &str) -> String {
    match number {
        0 => format!("no {many}"),
        1 => format!("1 {one}"),
        _ => format!("{} {many}", grouped(number as u64)),
    }
}

/// A whole number with its thousands apart: 12,345.
pub(crate) fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// The first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// A full stop at the end, unless there is an end mark already.
pub(crate) fn sentence(text: &str) -> String {
    let text = capital(text.trim());
    if text.ends_with(['.', '!', '?', ':', '…']) || text.is_empty() { text } else { text + "." }
}

/// A time for people.
pub(crate) fn time(time: Time) -> String {
    time.display(System::Metric)
}

/// A length for people, in metres (a boat's measures are not told in kilometres).
pub(crate) fn metres(length: Length) -> String {
    length.display(System::Metric)
}

/// A length in metres and in feet.
pub(crate) fn both_lengths(length: Length) -> String {
    format!("{} ({})", length.display(System::Metric), length.display(System::UsCustomary))
}

/// Any quantity for people.
pub(crate) fn quantity(quantity: Quantity) -> String {
    quantity.display(System::Metric)
}

/// The level's name on the plan.
pub(crate) fn level(level: Level) -> &'static str {
    match level {
        Level::Dock => "on the dock",
        Level::Aloft => "aloft",
        Level::Deck => "on deck",
        Level::Below => "below deck",
        Level::Bilge => "in the bilge",
    }
}

/// What it takes to reach a place, as a sentence.
pub(crate) fn reach(reach: Reach) -> &'static str {
    match reach {
        Reach::AtHand => "In reach where you stand.",
        Reach::Lid => "Open a lid, a door or a locker.",
        Reach::Boards => "Lift a floorboard or a bunk base.",
        Reach::Crawl => "Crawl or lie down in a narrow space.",
        Reach::Climb => "Climb, or lean out over the side.",
        Reach::Tools => "Tools are needed to open it.",
    }
}

/// Who may do it.
pub(crate) fn who(who: Who) -> &'static str {
    match who {
        Who::Crew => "Anyone of the crew",
        Who::Skipper => "The skipper",
        Who::Base => "The base's own people only",
    }
}

/// What kind of limit it is, as the beginning of a line.
pub(crate) fn limit_kind(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::Longest => "At most, at a stretch",
        LimitKind::Rest => "Rest between runs, at least",
        LimitKind::Hold => "Hold at least",
        LimitKind::Least => "At least",
        LimitKind::Most => "At most",
        LimitKind::Clear => "Keep clear by at least",
    }
}

/// The last part of a file's path.
pub(crate) fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

/// A class or file name as words: "battery_switch" becomes "battery switch".
pub(crate) fn spaced(name: &str) -> String {
    name.replace('_', " ")
}

/// When an upkeep line is due, such as "every 200 engine hours or 365 days".
pub(crate) fn interval(every: &Interval) -> String {
    let mut parts = Vec::new();
    if let Some(hours) = every.engine_hours {
        parts.push(format!("{} engine hours", trimmed(hours.as_hours())));
    }
    if let Some(days) = every.days {
        parts.push(if days == 1 { "day".to_owned() } else { format!("{days} days") });
    }
    if let Some(charters) = every.charters {
        parts.push(if charters == 1 { "charter".to_owned() } else { format!("{charters} charters") });
    }
    let mut out = if parts.is_empty() { String::new() } else { format!("Every {}", parts.join(" or ")) };
    if let Some(date) = &every.date {
        out = if out.is_empty() { format!("On {date}") } else { format!("{out}, and on {date}") };
    }
    out
}

/// A number with at most two decimals and no trailing zeros.
pub(crate) fn trimmed(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A small number with no more digits than it needs: 0.003.
pub(crate) fn trimmed_small(number: f64) -> String {
    format!("{number:.5}").trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A date such as 2027-05-31 as "31 May 2027"; other text as it is.
pub(crate) fn date(text: &str) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let parts: Vec<&str> = text.split('-').collect();
    let read = || -> Option<String> {
        let [year, month, day] = parts.as_slice() else { return None };
        let month = MONTHS.get(month.parse::<usize>().ok()?.checked_sub(1)?)?;
        Some(format!("{} {month} {year}", day.parse::<u8>().ok()?))
    };
    read().unwrap_or_else(|| text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_nouns() {
        assert_eq!(count(0, "finding", "findings"), "no findings");
        assert_eq!(count(1, "finding", "findings"), "1 finding");
        assert_eq!(count(1234, "finding", "findings"), "1,234 findings");
        assert_eq!(grouped(1_234_567), "1,234,567");
    }

    #[test]
    fn dates_and_sentences() {
        assert_eq!(date("2027-05-31"), "31 May 2027");
        assert_eq!(date("2027-13-31"), "2027-13-31");
        assert_eq!(date("soon"), "soon");
        assert_eq!(sentence("open the seacock"), "Open the seacock.");
        assert_eq!(sentence("Done!"), "Done!");
    }

    #[test]
    fn intervals_read_as_one_phrase() {
        let every =
            Interval { engine_hours: Some(Time::hours(200.0)), days: Some(365), ..Interval::default() };
        assert_eq!(interval(&every), "Every 200 engine hours or 365 days");
        let once = Interval { date: Some("2027-03-01".to_owned()), ..Interval::default() };
        assert_eq!(interval(&once), "On 2027-03-01");
    }
}
