//! Days of the calendar, as written in a file.

/// Whether a text is a day of the (proleptic Gregorian) calendar, `YYYY-MM-DD`.
pub(crate) fn is_day(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return false };
    let (Ok(year), Ok(month), Ok(day)) = (year.parse::<u32>(), month.parse::<u32>(), day.parse::<u32>())
    else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    is_day_shaped(text) && (1..=days).contains(&day)
}

/// Whether a text has the figures and strokes of `YYYY-MM-DD`.
pub(crate) fn is_day_shaped(text: &str) -> bool {
    let places: Vec<char> = text.chars().collect();
    places.len() == 10
        && places
            .iter()
            .enumerate()
            .all(|(at, c)| if matches!(at, 4 | 7) { *c == '-' } else { c.is_ascii_digit() })
}

#[cfg(test)]
mod tests {
    use super::is_day;

    #[test]
    fn days_of_the_calendar() {
        assert!(is_day("2028-02-29") && is_day("2027-12-31") && is_day("2000-02-29"));
        assert!(!is_day("2027-02-29") && !is_day("1900-02-29") && !is_day("2027-13-01"));
        assert!(!is_day("+027-01-01") && !is_day("2027-+1-01"));
        assert!(!is_day("2027-1-01") && !is_day("2027-06-31") && !is_day("tomorrow"));
    }
}
