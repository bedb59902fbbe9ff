//! How a crew reaches the base: as the manager wrote it down, on every page where a crew may have to call.

use maud::{Markup, html};

use crate::dock::{Flaw, Kept};
use crate::frame::{Desk, Site, desk_page, seal};
use crate::links;

/// The most letters that it may have.
pub const MOST: usize = 200;

/// The fewest digits that make a telephone number, and the most (ITU-T E.164: fifteen).
const DIGITS: std::ops::RangeInclusive<usize> = 7..=15;

/// In the base's own words, with telephone numbers that a tap calls; nothing if nobody wrote it down.
pub(crate) fn reach(site: &Site) -> Option<Markup> {
    let words = site.reach.as_deref()?;
    Some(html! {
        @for (part, number) in parts(words) {
            @match number {
                Some(number) => a.tel href={ "tel:" (number) } { (part) },
                None => (part),
            }
        }
    })
}

/// A line that says whom to call.
pub(crate) fn line(site: &Site) -> Markup {
    html! {
        p.reach {
            @match reach(site) {
                Some(reach) => { "The base: " strong { (reach) } },
                None => "The base's telephone number is on the papers that you were given.",
            }
        }
    }
}

/// The words cut into what is a telephone number, with what a telephone is given, and what is not.
fn parts(words: &str) -> Vec<(&str, Option<String>)> {
    let inside = |sign: char| sign.is_ascii_digit() || matches!(sign, ' ' | '-' | '.' | '(' | ')' | '\u{a0}');
    let mut parts = Vec::new();
    let mut rest = words;
    while let Some(start) = rest.find(|sign: char| sign.is_ascii_digit() || matches!(sign, '+' | '(')) {
        let tail = &rest[start..];
        let first = tail.chars().next().map_or(0, char::len_utf8);
        let end = first + tail[first..].find(|sign| !inside(sign)).unwrap_or(tail.len() - first);
        // A number ends with a digit.
        let end = tail[..end].rfind(|sign: char| sign.is_ascii_digit()).map_or(end, |last| last + 1);
        let digits: String = tail[..end].chars().filter(char::is_ascii_digit).collect();
        let plus = if tail.starts_with('+') { "+" } else { "" };
        let number = DIGITS.contains(&digits.len()).then(|| format!("{plus}{digits}"));
        parts.push((&rest[..start], None));
        parts.push((&tail[..end], number));
        rest = &tail[end..];
    }
    parts.push((rest, None));
    parts.retain(|(part, _)| !part.is_empty());
    parts
}

/// Where the manager writes it down.
pub fn reach_page(site: &Site, typed: &[(String, String)], flaws: &[Flaw]) -> String {
    let kept = Kept { typed, flaws };
    let shown = if flaws.is_empty() { site.reach.as_deref().unwrap_or_default() } else { kept.get("reach") };
    let body = html! {
        div.title {
            h1 { "How crews reach you" }
            p.lead { "Crews read it on their first page, in every emergency, and where a search for a fault ends." }
        }
        (kept.top("Not kept yet:"))
        form.tell-form method="post" action=(links::REACH) {
            (seal(site))
            div.field {
                label for="reach" { "In your own words" }
                input #reach name="reach" type="text" maxlength=(MOST) autocomplete="off" value=(shown)
                    aria-invalid=[kept.flaw("reach").map(|_| "true")] aria-describedby="reach-hint";
                (kept.beside("reach"))
                p.hint #reach-hint { "Such as a telephone number with its country code, who answers it at night, and the VHF channel that you listen on. Leave it empty, and crews are told to look on their papers." }
            }
            button type="submit" { "Keep it" }
        }
        p { "It is how to call the base. In distress a crew calls the rescue services first, as the emergency lists say." }
    };
    desk_page(site, "How crews reach you", Desk::People, &body)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No telephone's numbers: all zeros.
    #[test]
    fn numbers_are_found_among_words() {
        let cut = |words| parts(words);
        assert_eq!(
            cut("Call +00 (000) 000-0000, day & night; VHF 72"),
            [
                ("Call ", None),
                ("+00 (000) 000-0000", Some("+000000000000".to_owned())),
                (", day & night; VHF ", None),
                ("72", None),
            ]
        );
        assert_eq!(cut("VHF channel 72"), [("VHF channel ", None), ("72", None)]);
        assert_eq!(cut("000 0000."), [("000 0000", Some("0000000".to_owned())), (".", None)]);
        assert_eq!(cut("(or ask) +"), [("(", None), ("or ask) ", None), ("+", None)]);
        assert_eq!(cut("0000 0000 0000 0000"), [("0000 0000 0000 0000", None)]);
        assert_eq!(cut(""), []);
        for odd in ["é+é0", "+", "((((", "0\u{a0}0é", "…5…"] {
            let whole: String = cut(odd).into_iter().map(|(part, _)| part).collect();
            assert_eq!(whole, odd, "nothing is lost");
        }
    }
}
