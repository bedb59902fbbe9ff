//! Days and times as people at the base say them.

use jiff::Timestamp;
use jiff::Zoned;
use jiff::civil::{Date, Weekday};
use records::Moment;

use crate::frame::Site;

/// A moment by the clocks of the base.
pub(crate) fn zoned(site: &Site, moment: Moment) -> Zoned {
    Timestamp::from_millisecond(moment.milliseconds())
        .unwrap_or(Timestamp::UNIX_EPOCH)
        .to_zoned(site.zone.clone())
}

/// “Sat 27 June”; with the year if it is another than the page's.
pub(crate) fn day(site: &Site, date: Date) -> String {
    let short = format!("{} {} {}", weekday(date), date.day(), month(date.month()));
    if date.year() == zoned(site, site.now).date().year() {
        short
    } else {
        format!("{short} {}", date.year())
    }
}

/// “Sat 27 June, 16:00”.
pub(crate) fn moment(site: &Site, moment: Moment) -> String {
    let when = zoned(site, moment);
    format!("{}, {:02}:{:02}", day(site, when.date()), when.hour(), when.minute())
}

/// “today”, “tomorrow”, “yesterday”, or the day.
pub(crate) fn near(site: &Site, date: Date) -> String {
    let today = zoned(site, site.now).date();
    match today.until(date).map(|span| span.get_days()) {
        Ok(0) => "today".to_owned(),
        Ok(1) => "tomorrow".to_owned(),
        Ok(-1) => "yesterday".to_owned(),
        _ => day(site, date),
    }
}

/// The name of a month, from 1.
pub(crate) fn month(number: i8) -> &'static str {
    const NAMES: [&str; 12] = [
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
    usize::try_from(number - 1).ok().and_then(|at| NAMES.get(at)).copied().unwrap_or("month")
}

fn weekday(date: Date) -> &'static str {
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
