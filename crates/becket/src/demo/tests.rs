//! The demo base's past holds together: nothing in it is odd, and every charter is where it is meant to be.

use jiff::civil::date;
use jiff::tz::TimeZone;
use records::{CharterId, Life, Moment, Records, Severity, Stage, Standing, Taken};

use super::{BOATS, ZONE, past_until};

fn files() -> Vec<(String, String)> {
    BOATS.iter().map(|boat| (format!("{}.toml", boat.id), boat.text.to_owned())).collect()
}

fn past_at(day: jiff::civil::Date, hour: i8) -> (server::Past, Moment) {
    let zone = TimeZone::get(ZONE).expect("the zone is in the bundled database");
    let now = day.at(hour, 20, 0, 0).to_zoned(zone).expect("a time of that zone");
    (past_until(&files(), &now), Moment::from_milliseconds(now.timestamp().as_millisecond()))
}

/// How a boat stands, with all of her events received at that moment, as the server receives them.
fn standing(past: &server::Past, boat: &str, received: Moment) -> Standing {
    let of_boat = past.events.iter().filter(|event| event.boat.as_str() == boat);
    let taken = of_boat.map(|event| Taken { event: event.clone(), received: Some(received) });
    taken.collect::<Records>().standing()
}

fn life(standing: &Standing, charter: &str) -> Life {
    standing.charters[&CharterId::new(charter)].life
}

#[test]
fn nothing_is_odd_and_every_charter_is_where_it_is_meant_to_be() {
    // A Wednesday at noon, a Saturday soon after midnight, a Sunday of the change to winter time.
    for (day, hour) in [(date(2026, 7, 8), 12), (date(2026, 6, 13), 0), (date(2026, 11, 1), 21)] {
        let (past, now) = past_at(day, hour);
        for boat in BOATS.iter().map(|boat| boat.id) {
            let standing = standing(&past, boat, now);
            assert!(standing.flags.is_empty(), "{boat}: {:?}", standing.flags.iter().next());
            assert!(standing.disagreements.is_empty(), "{boat}: {:?}", standing.disagreements.first());
            for week in 1..=super::charters::WEEKS {
                assert_eq!(
                    life(&standing, &format!("c-{boat}-{week}")),
                    Life::At(Stage::Settled),
                    "{boat} {week}"
                );
            }
            assert_eq!(life(&standing, &format!("c-{boat}-next")), Life::At(Stage::Planned), "{boat}");
            let now_at = if boat == "whimbrel" { Stage::Readied } else { Stage::Out };
            assert_eq!(life(&standing, &format!("c-{boat}-now")), Life::At(now_at), "{boat}");
            if boat == "turnstone" {
                assert_eq!(life(&standing, "c-turnstone-gone"), Life::Cancelled);
            }
        }
    }
}

#[test]
fn every_stage_that_was_told_had_all_that_must_be_there() {
    let (past, now) = past_at(date(2026, 7, 8), 12);
    for (name, text) in files() {
        let boat = name.trim_end_matches(".toml");
        let model = boat::compile(&name, &text).boat.expect("a demo boat compiles");
        let rules = records::usual_rules(&model);
        // As all stood before a stage was told: with that stage and what came after left out.
        for (charter, stage) in [("1", Stage::Settled), ("8", Stage::HandedBack), ("8", Stage::CheckedOut)] {
            let id = CharterId::new(format!("c-{boat}-{charter}"));
            let whole = standing(&past, boat, now);
            let when = whole.charters[&id].came_to(stage).expect("it came to that stage");
            let before = server::Past {
                events: past.events.iter().filter(|event| event.at < when).cloned().collect(),
                ..server::Past::default()
            };
            let lacks = records::lacks(&standing(&before, boat, now), &id, stage, &rules);
            let must: Vec<_> = lacks.iter().filter(|lack| lack.force == records::Force::Must).collect();
            assert!(must.is_empty(), "{boat} {charter} {stage:?}: {:?}", must.first());
        }
    }
}

#[test]
fn one_boat_has_an_open_defect_of_each_kind_and_others_are_closed() {
    let (past, now) = past_at(date(2026, 7, 8), 12);
    let mut open = Vec::new();
    let mut closed = 0;
    for (name, text) in files() {
        let boat = name.trim_end_matches(".toml");
        let model = boat::compile(&name, &text).boat.expect("a demo boat compiles");
        let standing = standing(&past, boat, now);
        let records = standing.boats.values().next().expect("her records");
        for defect in records.defects.values() {
            assert!(model.item(&defect.defect.item).is_some(), "{boat} has no {}", defect.defect.item);
            if defect.open() { open.push(defect.severity) } else { closed += 1 }
        }
        for charter in standing.charters.values() {
            for damage in charter.damage.values() {
                assert!(model.item(&damage.item).is_some(), "{boat} has no {}", damage.item);
            }
        }
        let calls: usize = standing.charters.values().map(|charter| charter.calls.len()).sum();
        assert!(calls > 0, "no crew of {boat} ever called");
    }
    open.sort_unstable();
    assert_eq!(open, [Severity::Cosmetic, Severity::Hinders, Severity::Safety]);
    assert_eq!(closed, 3);
}

#[test]
fn the_same_moment_makes_the_same_past() {
    let (one, _) = past_at(date(2026, 7, 8), 12);
    let (other, _) = past_at(date(2026, 7, 8), 12);
    assert_eq!(one.events, other.events);
    let names: std::collections::BTreeSet<_> = one.events.iter().map(|event| event.id).collect();
    assert_eq!(names.len(), one.events.len());
}
