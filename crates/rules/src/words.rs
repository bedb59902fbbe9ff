//! Findings in plain sentences, for people.

use std::fmt::Write as _;

use boat::model::Gear;

use crate::authority::{Authority, Citation, Extent, How, authorities};
use crate::check::{Check, Finding, Need, Standing, UseState};
use crate::waste::{Answer, Verdict};

/// What stands beside every list of findings.
pub const CAUTION: &str = "This holds what the boat file says against a list of rules that is not whole and may be out \
of date. It does not say that the boat meets the law. The law of her flag and of her waters decides; ask the authority.";

/// How the dates are counted.
pub const LAST_DAY: &str = "The date in the boat file is the last day on which a thing may be used: it counts as in date \
if that day is not before the last day of the charter. How the authority counts the last day itself is not known here.";

/// What is said of a boat file in which nothing counts.
pub const NOTHING_COUNTS: &str = "The boat file says of nothing that this list asks for that it is aboard. What a thing \
counts as is written beside it with the key `counts_as`.";

/// What stands beside every rule about what may go overboard.
pub const WASTE_CAUTION: &str = "These are the listed rules only. Harbours, lakes and protected waters have rules of their \
own. Where something is not known here, keep it aboard and ask the authority.";

impl Standing {
    /// The words for it, to stand beside a colour.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotRequired => "not required by this list",
            Self::Met => "aboard",
            Self::MetByRelief => "aboard by the lesser number",
            Self::Unknown => "not known",
            Self::Expired => "expired",
            Self::Missing => "not aboard by the boat file",
        }
    }
}

impl Verdict {
    /// The words for it, to stand beside a colour.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Forbidden => "forbidden",
            Self::Conditions => "only with conditions",
            Self::NotKnown => "not known here",
        }
    }
}

/// A finding in a few sentences: what is asked, what is aboard, what is wrong, where the rule comes from.
pub fn finding(finding: &Finding) -> String {
    let mut words = vec![format!("{}: {}. {}", finding.title, finding.standing.words(), finding.rule)];
    if !matches!(finding.standing, Standing::NotRequired | Standing::Met) {
        words.extend(finding.needs.iter().filter(|need| !need.is_met()).map(need));
        words.extend(finding.reasons.iter().cloned());
    }
    if matches!(finding.standing, Standing::MetByRelief) {
        words.extend(
            finding.relief.iter().map(|found| format!("{} ({})", found.relief.words, found.relief.cite)),
        );
    }
    words.extend(finding.note.iter().cloned());
    words.push(source(&finding.citation));
    words.join(" ")
}

/// One thing that is asked, with what is aboard: one or two sentences.
pub fn need(need: &Need) -> String {
    let what: Vec<&str> = need.one_of.iter().map(|gear| gear_words(*gear)).collect();
    let asked = match need.required {
        Some(count) => format!("{count} asked for"),
        None => format!("at least {} asked for", need.at_least),
    };
    let mut words =
        format!("Of {}: {asked}, {} aboard, {} in date", what.join(" or "), need.aboard, need.in_date);
    for (count, how) in [
        (need.undated, "without a known date or fit"),
        (need.expired, "expired by the last day"),
        (need.missing, "too few by the boat file"),
    ] {
        if count > 0 {
            let _ = write!(words, ", {count} {how}");
        }
    }
    words.push('.');
    for found in need.uses.iter().filter(|found| found.state == UseState::Expired) {
        if let Some(day) = found.expires {
            let _ = write!(words, " “{}” may be used until {day}.", found.name);
        }
    }
    words
}

/// Where a row comes from, and whether that was seen.
pub fn source(citation: &Citation) -> String {
    let edition = citation.edition.as_ref().map(|edition| format!(" ({edition})")).unwrap_or_default();
    let how = match citation.how {
        How::Read => "",
        How::ReadSecondary => "; seen in a text that quotes it",
        How::Memory => "; from memory and not confirmed",
    };
    format!("Source: {}{edition}{how}.", citation.cite)
}

/// Of whose rules something is known, and that of all others nothing is.
pub fn listed() -> String {
    let names: Vec<&str> = authorities().iter().map(|one| one.name.as_str()).collect();
    format!(
        "Something is known here of the rules of: {}. Of all others nothing is known here, and so of no country of the \
European Union: there, ask the authority of her flag and of her waters.",
        names.join(", ")
    )
}

/// How much of an authority's rules is known, in full sentences.
pub fn coverage(authority: &Authority) -> Vec<String> {
    let covered = &authority.coverage;
    let name = &authority.name;
    let subjects = [
        (covered.equipment, "equipment aboard"),
        (covered.placards, "placards and papers"),
        (covered.discharge, "what may go overboard"),
        (covered.checklists, "lists for handing a boat over"),
    ];
    let mut words: Vec<String> = subjects
        .iter()
        .map(|(extent, subject)| match extent {
            Extent::Part => format!("{name}: of the rules on {subject} some are known here, not all."),
            Extent::Nothing => format!("{name}: of rules on {subject} nothing is known here."),
        })
        .collect();
    words.extend(covered.gaps.iter().cloned());
    words.push(format!("The rows were entered on {}.", authority.entered));
    words
}

/// All findings on a page of text: what is wrong first, then the rest, then what is not covered.
pub fn check(check: &Check, authority: &Authority) -> Vec<String> {
    let order = [
        Standing::Missing,
        Standing::Expired,
        Standing::Unknown,
        Standing::MetByRelief,
        Standing::Met,
        Standing::NotRequired,
    ];
    let mut words: Vec<String> =
        order.into_iter().flat_map(|standing| check.of(standing)).map(finding).collect();
    if check.findings.iter().all(|finding| finding.needs.iter().all(|need| need.uses.is_empty())) {
        words.push(NOTHING_COUNTS.to_owned());
    }
    words.push(LAST_DAY.to_owned());
    words.extend(coverage(authority));
    words.push(CAUTION.to_owned());
    words
}

/// An answer about what may go overboard, with its source.
pub fn answer(answer: &Answer) -> String {
    let verdict = answer.verdict.words();
    let source =
        answer.citation.as_ref().map(|citation| format!(" {}", source(citation))).unwrap_or_default();
    let mut head = verdict.to_owned();
    head[..1].make_ascii_uppercase();
    format!("{head}: {}{source}", answer.words)
}

/// All that is known of what may go overboard, for the crew's handbook: rules first, then places with rules of their own.
pub fn waste(authority: &Authority) -> Vec<String> {
    let rules = authority.discharges.iter().map(|rule| {
        format!("{}: {}. {} {}", rule.what.words(), rule.verdict.words(), rule.words, source(&rule.citation))
    });
    let zones = authority.zones.iter().map(|zone| {
        format!("{}: {}. {} {}", zone.kind.words(), zone.names.join(", "), zone.words, source(&zone.citation))
    });
    let mut words: Vec<String> = rules.chain(zones).collect();
    if authority.discharges.is_empty() {
        words.push(format!("{}: what may go overboard is not known here.", authority.name));
    }
    words.push(WASTE_CAUTION.to_owned());
    words
}

/// The word for people of what a thing counts as.
pub const fn gear_words(gear: Gear) -> &'static str {
    match gear {
        Gear::LifejacketAdult => "lifejackets for adults",
        Gear::LifejacketChild => "lifejackets for children",
        Gear::Lifebuoy => "lifebuoys",
        Gear::LifebuoyLight => "lifebuoy lights",
        Gear::LifebuoyLine15 => "lifebuoys on a line of 15 m",
        Gear::LifebuoyLine30 => "lifebuoys on a line of 30 m",
        Gear::HeavingLine15 => "heaving lines of 15 m",
        Gear::HeavingLine30 => "heaving lines of 30 m",
        Gear::LiftingHarness => "lifting harnesses",
        Gear::Reboarding => "ladders for getting back aboard",
        Gear::FlareRocket => "parachute rockets",
        Gear::FlareStars => "multi-star flares",
        Gear::FlareHand => "hand flares",
        Gear::FlareSmoke => "smoke signals",
        Gear::Torch => "watertight torches",
        Gear::DistressLight => "electric distress lights",
        Gear::DistressFlag => "orange distress flags",
        Gear::Epirb => "distress beacons",
        Gear::Plb => "personal distress beacons",
        Gear::Radio => "two-way radios",
        Gear::Extinguisher5bc => "extinguishers 5B:C",
        Gear::Extinguisher10bc => "extinguishers 10B:C",
        Gear::Extinguisher20bc => "extinguishers 20B:C",
        Gear::FixedFireSystem => "fixed systems in the engine space",
        Gear::Axe => "axes",
        Gear::Bucket10 => "buckets of 10 L",
        Gear::FirePump => "power fire pumps",
        Gear::Anchor15 => "anchors with 15 m",
        Gear::Anchor30 => "anchors with 30 m",
        Gear::Anchor50 => "anchors with 50 m",
        Gear::ManualPropulsion => "oars or paddles",
        Gear::Bailer => "bailers",
        Gear::BilgePumpManual => "hand bilge pumps",
        Gear::BilgePumping => "fixed bilge pumps",
        Gear::SoundDevice => "sound signals",
        Gear::Whistle => "whistles",
        Gear::Bell => "bells",
        Gear::Compass => "compasses",
        Gear::NavigationLights => "navigation lights",
        Gear::RadarReflector => "radar reflectors",
        Gear::NavigationRules => "copies of the navigation rules",
        Gear::GarbagePlacard => "garbage placards",
        Gear::OilPlacard => "oil placards",
        Gear::WastePlan => "written garbage plans",
        Gear::InboardEngine => "inboard engines",
        Gear::FixedFuelTank => "fixed fuel tanks",
        Gear::FuelAppliance => "appliances that burn fuel",
    }
}
