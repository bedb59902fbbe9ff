//! All that is known of a case, for the base: rates with their sources, sets, choices.

use quantity::System;
use trace::{Case, Cause, words};

use crate::commands::case::Desk;
use crate::layout::{self, Side};

/// Suspects and sets below this are only counted.
const LEAST: f64 = 0.001;
/// How many sets of causes are told.
const MOST_SETS: usize = 10;

pub(super) fn of(desk: &Desk, case: &Case<'_>) -> String {
    let mut out = String::from("\nFor the base\n");
    out.push_str(&layout::wrap(
        "Chances are reckoned from the boat file's conditions, the rates below and the answers, by Bayes' rule.",
        "",
    ));
    out.push_str(&suspects(desk, case));
    out.push_str(&sets(case));
    out.push_str(&choices(desk, case));
    out
}

fn suspects(desk: &Desk, case: &Case<'_>) -> String {
    let all = case.suspects();
    let (shown, rest): (Vec<_>, Vec<_>) = all.iter().partition(|suspect| suspect.chance >= LEAST);
    let mut out =
        String::from("\nAll that is suspected, with how often it comes in a charter year and who says so\n");
    for suspect in shown {
        let chance = format!("{:>9}  ", words::per_cent(suspect.chance));
        out.push_str(&layout::hang(&words::cause(case, suspect.cause), &chance, "           "));
        out.push_str(&layout::wrap(&rate(desk, case, suspect.cause), "             "));
    }
    if !rest.is_empty() {
        let others =
            if rest.len() == 1 { "One other is".to_owned() } else { format!("{} others are", rest.len()) };
        out.push_str(&layout::wrap(&format!("{others} below 0.1 %."), "  "));
    }
    out
}

/// How often it comes, and who says so.
fn rate(desk: &Desk, case: &Case<'_>, suspect: Cause) -> String {
    let Some(fault) = case.fault_of(suspect) else {
        let what = match suspect {
            Cause::Position(..) => "left so by hand, or come to be so",
            Cause::Item(_) => "usual for an item without listed faults",
            Cause::Fault(_) | Cause::Unknown => "usual for what nobody wrote down",
        };
        return format!("{what}; judgement, not in the boat file");
    };
    let row = &desk.boat.faults[fault];
    let source = row.source.as_ref().map_or_else(
        || "the boat file names no source".to_owned(),
        |source| desk.boat.say(source, System::Metric),
    );
    match desk.taught.get(&row.id) {
        Some(taught) => format!(
            "{} from the records; the boat file had {} ({source})",
            number(*taught),
            number(row.per_year)
        ),
        None => format!("{} ({source})", number(row.per_year)),
    }
}

/// Two figures that mean something.
pub(crate) fn number(rate: f64) -> String {
    let places = match rate {
        r if r >= 10.0 => 0,
        r if r >= 1.0 => 1,
        r if r >= 0.1 => 2,
        r if r >= 0.01 => 3,
        _ => 4,
    };
    format!("{rate:.places$}")
}

fn sets(case: &Case<'_>) -> String {
    let mut out = String::from("\nWhat may be the matter together\n");
    for set in case.together(MOST_SETS).iter().filter(|set| set.chance >= LEAST) {
        let causes: Vec<String> = set.causes.iter().map(|cause| words::cause(case, *cause)).collect();
        let causes = if causes.is_empty() { "Nothing".to_owned() } else { causes.join(" — and — ") };
        out.push_str(&layout::hang(&causes, &format!("{:>9}  ", words::per_cent(set.chance)), "           "));
    }
    let shares: Vec<String> = case
        .how_many()
        .iter()
        .zip(["none", "one", "two", "three"])
        .map(|(share, many)| format!("{many} {}", words::per_cent(*share)))
        .collect();
    let line = format!(
        "How many things are otherwise than they should be, whether they bear on it or not: {}. More at once are left \
         out; before any check they are {} of such cases.",
        shares.join(", "),
        words::per_cent(case.left_out())
    );
    out.push_str(&layout::wrap(&line, "  "));
    out
}

fn choices(desk: &Desk, case: &Case<'_>) -> String {
    let choices = case.choices();
    let mut out = String::from("\nAll that could be asked now, the best first\n");
    if choices.is_empty() {
        out.push_str("  Nothing is left.\n");
        return out;
    }
    out.push_str(&layout::wrap(
        "A bit is what the answer to an even question tells. The last figure counts this check and all that follows, \
         until it works or the base has come.",
        "  ",
    ));
    let row = |cells: [&str; 5]| cells.map(str::to_owned);
    let mut rows = vec![row(["asked", "a yes", "tells", "takes", "in all"])];
    rows.extend(choices.iter().map(|step| {
        [
            step.ask.token(&desk.boat),
            words::per_cent(step.yes),
            format!("{:.2} bits", step.bits),
            format!("{:.0} min", step.minutes),
            format!("{:.0} min", step.expected),
        ]
    }));
    out.push_str(&layout::columns(
        "  ",
        [Side::Left, Side::Right, Side::Right, Side::Right, Side::Right],
        &rows,
    ));
    out
}
