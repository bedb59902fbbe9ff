//! What is missing before a stage, and whether she may be checked out.

use std::collections::BTreeSet;

use quantity::Time;
use records::{
    AccountId, EventId, Force, Lack, Level, Look, Need, Reading, Role, Rule, Severity, Showing, Stage,
    Verdict, Walk, What, lacks, may_check_out, usual_rules,
};

use crate::aid::{Log, account, charter, count, crew, defect, plan, sanderling, signed, withdrawn};

/// All that the usual rules want of a check-out or hand-back, in the order in which people do it.
fn all_of(walk: Walk) -> Vec<What> {
    let tank = |store: &str| Reading::Tank {
        store: store.to_owned(),
        level: Level::Part(quantity::Ratio::percent(90.0)),
    };
    let hours = Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(800.0) };
    let mut all: Vec<What> =
        ["winch_handle", "tether", "sponge"].iter().map(|line| count(walk, line, 1)).collect();
    let readings = [hours, tank("diesel"), tank("water"), tank("holding")];
    all.extend(readings.into_iter().map(|reading| What::Read { walk, reading }));
    if walk == Walk::CheckOut {
        all.push(What::Checked { walk, item: "lifebuoy".to_owned(), look: Look::Ok, note: None });
        for (topic, showing) in
            [("lifejackets", Showing::Shown), ("galley", Showing::ToldOnly), ("pots", Showing::ToldOnly)]
        {
            all.push(What::Briefed { topic: topic.to_owned(), showing });
        }
    }
    all.push(signed(walk, Role::Skipper, "p1"));
    all.push(signed(walk, Role::Base, "p9"));
    all
}

fn readied() -> Log {
    let mut log = Log::new();
    log.say(0, plan());
    log.say(1, What::Readied);
    log
}

fn needs(lacks: &[Lack]) -> Vec<Need> {
    lacks.iter().map(|lack| lack.need.clone()).collect()
}

#[test]
fn a_charter_goes_through_its_life_with_nothing_missing() {
    let rules = usual_rules(&sanderling());
    let mut log = Log::new();
    let missing = |log: &Log, next| lacks(&log.standing(), &charter(), next, &rules);
    assert_eq!(needs(&missing(&log, Stage::Readied)), [Need::Stage(Stage::Planned)], "no such charter");
    log.say(0, plan());
    assert_eq!(missing(&log, Stage::Readied), []);
    assert_eq!(missing(&log, Stage::Planned), [], "it is there");
    log.say(1, What::Readied);
    for (minutes, what) in (2..).zip(all_of(Walk::CheckOut)) {
        assert!(!missing(&log, Stage::CheckedOut).is_empty());
        log.say(minutes, what);
    }
    assert_eq!(missing(&log, Stage::CheckedOut), []);
    assert_eq!(may_check_out(&log.standing(), &charter(), &rules, None), Verdict::Yes);
    log.say(50, What::CheckedOut);
    assert_eq!(missing(&log, Stage::Out), []);
    log.say(60, What::Left);
    for (minutes, what) in (8000..).zip(all_of(Walk::HandBack)) {
        assert!(!missing(&log, Stage::HandedBack).is_empty());
        log.say(minutes, what);
    }
    assert_eq!(missing(&log, Stage::HandedBack), []);
    assert_eq!(needs(&missing(&log, Stage::Settled)), [Need::Stage(Stage::HandedBack)]);
    log.say(9000, What::HandedBack);
    assert_eq!(missing(&log, Stage::Settled), []);
}

/// Each thing that a check-out wants is missed when it is left out.
#[test]
fn each_thing_is_missed() {
    let rules = usual_rules(&sanderling());
    let all = all_of(Walk::CheckOut);
    for left_out in 0..all.len() {
        let mut log = readied();
        for (minutes, (at, what)) in (2..).zip(all.iter().enumerate()) {
            if at != left_out {
                log.say(minutes, what.clone());
            }
        }
        let lacks = lacks(&log.standing(), &charter(), Stage::CheckedOut, &rules);
        assert_eq!(lacks.len(), 1, "{:?}: {lacks:?}", all[left_out]);
        assert!(lacks[0].because.is_empty(), "it was not told");
        let should = match &all[left_out] {
            What::Checked { .. } => true,
            What::Briefed { topic, .. } => topic == "pots",
            _ => false,
        };
        assert_eq!(lacks[0].force == Force::Should, should, "{:?}", all[left_out]);
        let verdict = may_check_out(&log.standing(), &charter(), &rules, None);
        assert_eq!(matches!(verdict, Verdict::YesBut(_)), should);
        assert_eq!(matches!(verdict, Verdict::No(_)), !should);
    }
}

#[test]
fn a_topic_that_must_be_shown_is_not_met_by_words() {
    let rules = [Rule {
        before: Stage::CheckedOut,
        need: Need::Briefed("lifejackets".to_owned(), Showing::Shown),
        force: Force::Must,
    }];
    let rows = [(Showing::NotDone, false), (Showing::ToldOnly, false), (Showing::Shown, true)];
    for (showing, met) in rows {
        let mut log = readied();
        log.say(2, What::Briefed { topic: "lifejackets".to_owned(), showing });
        assert_eq!(
            lacks(&log.standing(), &charter(), Stage::CheckedOut, &rules).is_empty(),
            met,
            "{showing:?}"
        );
    }
}

#[test]
fn an_item_must_be_sound_by_all_who_looked() {
    let need = Need::LookedAt(Walk::CheckOut, "lifebuoy".to_owned());
    let rules = [Rule { before: Stage::CheckedOut, need, force: Force::Must }];
    let rows: &[(&[Look], bool)] = &[
        (&[], false),
        (&[Look::NotLookedAt], false),
        (&[Look::Ok], true),
        (&[Look::NotOk], false),
        (&[Look::Ok, Look::NotOk], false),
        (&[Look::Ok, Look::NotLookedAt], true),
    ];
    for (looks, met) in rows {
        let mut log = readied();
        for (at, look) in looks.iter().enumerate() {
            log.hand(account("jo"), &format!("dock-{at}"));
            let item = "lifebuoy".to_owned();
            log.say(2, What::Checked { walk: Walk::CheckOut, item, look: *look, note: None });
        }
        assert_eq!(
            lacks(&log.standing(), &charter(), Stage::CheckedOut, &rules).is_empty(),
            *met,
            "{looks:?}"
        );
    }
}

#[test]
fn a_disagreement_stands_in_the_way_until_it_is_settled() {
    let rules = usual_rules(&sanderling());
    let mut log = readied();
    for (minutes, what) in (2..).zip(all_of(Walk::CheckOut)) {
        log.say(minutes, what);
    }
    let other = log.hand(crew("link"), "phone").say(40, count(Walk::CheckOut, "tether", 3));
    let missing = lacks(&log.standing(), &charter(), Stage::CheckedOut, &rules);
    assert_eq!(needs(&missing), [Need::Agreed(Walk::CheckOut)]);
    assert!(missing[0].because.contains(&other) && missing[0].because.len() == 2);
    log.hand(account("jo"), "dock-1").answer(41, other, count(Walk::CheckOut, "tether", 1));
    assert_eq!(lacks(&log.standing(), &charter(), Stage::CheckedOut, &rules), []);
}

fn managers() -> BTreeSet<AccountId> {
    [AccountId::new("pat")].into()
}

fn sails(defect: EventId) -> What {
    What::SailsWith { defect, covers: Severity::Safety, reason: "A second one is aboard.".to_owned() }
}

/// Even without any rule of the base's own.
#[test]
fn an_open_safety_defect_keeps_her_in() {
    let mut log = readied();
    let verdict = |log: &Log| may_check_out(&log.standing(), &charter(), &[], Some(&managers()));
    log.say(2, defect("rail", Severity::Hinders));
    assert_eq!(verdict(&log), Verdict::Yes);
    let unsafe_one = log.say(3, defect("gas_hose", Severity::Safety));
    let need = Need::NoDefect(Severity::Safety);
    let no = Verdict::No(vec![Lack { need, force: Force::Must, because: [unsafe_one].into() }]);
    assert_eq!(verdict(&log), no);
    // Mended, but nobody has looked at it.
    log.say(4, What::Mended { defect: unsafe_one, words: String::new(), took: None, cost: None });
    assert_eq!(verdict(&log), no);
    // One of the base's own people, but not a manager; and a crew.
    log.say(5, sails(unsafe_one));
    log.hand(crew("link"), "phone").say(6, sails(unsafe_one));
    assert_eq!(verdict(&log), no);
    let yes = log.hand(account("pat"), "office").say(7, sails(unsafe_one));
    assert_eq!(verdict(&log), Verdict::Yes);
    log.answer(8, yes, withdrawn());
    assert_eq!(verdict(&log), no);
    log.say(9, What::Closed { defect: unsafe_one, words: "New hose, no leak.".to_owned() });
    assert_eq!(verdict(&log), Verdict::Yes);
}

#[test]
fn a_rule_cannot_soften_what_always_holds() {
    let need = Need::NoDefect(Severity::Safety);
    let soft = [Rule { before: Stage::CheckedOut, need, force: Force::Should }];
    let mut log = readied();
    log.say(2, defect("gas_hose", Severity::Safety));
    assert!(matches!(may_check_out(&log.standing(), &charter(), &soft, None), Verdict::No(_)));
}

#[test]
fn without_names_any_of_the_bases_own_people_decides() {
    let mut log = readied();
    let found = log.say(2, defect("gas_hose", Severity::Safety));
    log.say(3, sails(found));
    assert_eq!(may_check_out(&log.standing(), &charter(), &[], None), Verdict::Yes);
}

#[test]
fn a_cancelled_charter_is_not_checked_out() {
    let mut log = readied();
    let event = log.say(2, What::Cancelled { reason: "Gale.".to_owned() });
    let Verdict::No(lacks) = may_check_out(&log.standing(), &charter(), &[], None) else {
        unreachable!("it is cancelled")
    };
    assert_eq!(lacks[0].because, [event].into());
}

#[test]
fn the_demo_boats_have_rules_for_their_engines() {
    let demo = [
        ("whimbrel", include_str!("../../../../demo/whimbrel.toml"), 1),
        ("dunlin", include_str!("../../../../demo/dunlin.toml"), 1),
        ("turnstone", include_str!("../../../../demo/turnstone.toml"), 2),
    ];
    for (name, text, engines) in demo {
        let boat = boat::compile(name, text).boat.unwrap();
        let rules = usual_rules(&boat);
        let meter = |need: &Need| matches!(need, Need::Read(Walk::HandBack, records::Meter::EngineHours(_)));
        assert_eq!(rules.iter().filter(|rule| meter(&rule.need)).count(), engines, "{name}");
        let kit = rules.iter().filter(|rule| matches!(rule.need, Need::Counted(Walk::CheckOut, _))).count();
        assert_eq!(kit, boat.kit.len(), "{name}");
    }
}
