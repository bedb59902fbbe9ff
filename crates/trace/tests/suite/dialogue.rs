//! What a crew may be asked, over all that can be reached: nothing that someone can be hurt by.

use std::collections::BTreeSet;

use boat::model::{Boat, Expr, Hazard, Id, Level, Procedure, Reach, Severity, Value, VarId, VarKind, Who};
use trace::{About, Ask, Case, Cause, Next, Rates, Reply, Symptom, Terms, Told};

use crate::demo::{BOATS, boat};

/// Every case of a boat with all that a crew could be asked in it at any time.
fn cases(boat: &Boat, who: Who) -> Vec<(Symptom, Case<'_>)> {
    let rates = Rates::of(boat);
    trace::symptoms(boat)
        .into_iter()
        .filter_map(|symptom| Case::open(boat, &rates, &symptom, Terms::new(who)).map(|case| (symptom, case)))
        .collect()
}

/// All that could be asked of somebody: every question of every kind about every row of the boat.
fn all_asks(boat: &Boat) -> Vec<Ask> {
    let facts = boat.conditions.ids().map(Ask::Fact);
    let vars = boat.vars.ids().flat_map(|var| [Ask::Position(var), Ask::Restore(var)]);
    let faults = boat.faults.ids().flat_map(|fault| [Ask::Fault(fault), Ask::Mend(fault)]);
    facts.chain(vars).chain(faults).collect()
}

/// Not aloft, nothing that needs tools, and no climbing but where the boat's own lists send a crew.
fn place_is_safe(boat: &Boat, ask: Ask) -> bool {
    let sent_there = |place| {
        let there = |list: &Procedure| list.steps.iter().any(|step| boat.step_place(step) == Some(place));
        boat.procedures.iter().any(|list| list.who == Who::Crew && !list.emergency && there(list))
    };
    ask.place(boat).is_none_or(|place| {
        let row = &boat.places[place];
        row.level != Level::Aloft
            && row.reach != Reach::Tools
            && (row.reach != Reach::Climb || sent_there(place))
    })
}

#[test]
fn whatever_is_answered_a_crew_is_asked_for_nothing_that_is_dangerous_or_not_theirs() {
    for name in BOATS {
        let boat = boat(name);
        for (symptom, case) in cases(&boat, Who::Crew) {
            for ask in all_asks(&boat) {
                if !case.knows(ask) || ask.who(&boat, case.hope()) != Some(Who::Crew) {
                    continue;
                }
                assert!(
                    place_is_safe(&boat, ask) || matches!(ask, Ask::Fact(_) | Ask::Restore(_)),
                    "{name} {ask:?}"
                );
                if let Ask::Fault(fault) | Ask::Mend(fault) = ask {
                    let row = &boat.faults[fault];
                    assert_eq!(row.danger, None, "{name} {}: {}", symptom.id, row.name);
                    let who = if matches!(ask, Ask::Mend(_)) { row.mend_who } else { row.check_who };
                    assert_eq!(who, Who::Crew, "{name} {}", row.id);
                }
                if let Some(list) = trace::words::question(&case, ask).list {
                    assert_eq!(boat.procedures[list].who, Who::Crew, "{name} {}", boat.procedures[list].id);
                }
            }
        }
    }
}

/// How likely it is that someone is hurt, and that gear is damaged, if a control is set at once as it should be.
fn harm_done(boat: &Boat, case: &Case<'_>, var: VarId) -> [f64; 2] {
    let VarKind::Control(control) = &boat.vars[var].kind else { return [1.0, 1.0] };
    let should = case.should(var);
    let mut known: BTreeSet<VarId> =
        case.suspects().iter().filter_map(|suspect| var_of(suspect.cause)).collect();
    known.extend(boat.controls().map(|(id, _, _)| id));
    let mut found = [0.0; 2];
    for together in case.together(usize::MAX) {
        let mut values = case.hope().values.clone();
        for cause in &together.causes {
            if let Cause::Position(var, value) = cause {
                values[var.index()] = *value;
            }
        }
        for (at, severity) in [Severity::Injury, Severity::Damage].into_iter().enumerate() {
            let mut harms = control
                .harms
                .iter()
                .filter(|harm| harm.severity == severity && harm.to.is_none_or(|to| to == should));
            let worst = severity == Severity::Injury;
            if harms.any(|harm| {
                may_hold(boat, &boat::lower::lower(boat, &harm.when), &values, &known, worst, true)
            }) {
                found[at] += together.chance;
            }
        }
    }
    found
}

fn var_of(cause: Cause) -> Option<VarId> {
    if let Cause::Position(var, _) = cause { Some(var) } else { None }
}

/// Whether a fact may hold, states that nobody looked at being as they are worst.
fn may_hold(
    boat: &Boat,
    expr: &Expr,
    values: &[Value],
    known: &BTreeSet<VarId>,
    worst: bool,
    upper: bool,
) -> bool {
    let again = |expr: &Expr, upper| may_hold(boat, expr, values, known, worst, upper);
    match expr {
        Expr::Const(yes) => *yes,
        Expr::Is(var, _) if worst && !known.contains(var) => upper,
        Expr::Is(var, value) => values[var.index()] == *value,
        Expr::Holds(condition) => again(&boat::lower::lower(boat, &boat.conditions[*condition].when), upper),
        Expr::Compare(..) => again(&boat::lower::lower(boat, expr), upper),
        Expr::Not(inner) => !again(inner, !upper),
        Expr::And(parts) => parts.iter().all(|part| again(part, upper)),
        Expr::Or(parts) => parts.iter().any(|part| again(part, upper)),
    }
}

/// Walks the questions as far as one case in so many gets.
fn walk(case: &Case<'_>, chance: f64, see: &mut dyn FnMut(&Case<'_>, &Next)) {
    let next = case.next();
    see(case, &next);
    let Next::Ask(step) = next else { return };
    let yes = case.chance_of_yes(step.ask);
    for (reply, share) in [(Reply::Yes, yes), (Reply::No, 1.0 - yes), (Reply::Cannot, 0.05)] {
        if chance * share > 0.003 {
            let mut after = case.clone();
            after.tell(Told { ask: step.ask, reply });
            walk(&after, chance * share, see);
        }
    }
}

#[test]
fn no_control_is_set_at_once_if_that_may_do_harm_and_nothing_is_asked_twice() {
    let mut seen = 0;
    for name in BOATS {
        let boat = boat(name);
        for (symptom, case) in cases(&boat, Who::Crew) {
            walk(&case, 1.0, &mut |case, next| {
                seen += 1;
                let Next::Ask(step) = next else { return };
                assert!(
                    step.ask == Ask::Works || case.told().iter().all(|told| told.ask != step.ask),
                    "{name} {}: {:?} again",
                    symptom.id,
                    step.ask
                );
                assert_eq!(step.ask.who(&boat, case.hope()), Some(Who::Crew), "{name} {}", symptom.id);
                if let Ask::Position(var) = step.ask {
                    if case.set_at_once(var) {
                        let [hurt, spoilt] = harm_done(&boat, case, var);
                        assert!(hurt <= 0.0, "{name} {}: {} {hurt}", symptom.id, boat.vars[var].name);
                        assert!(
                            spoilt <= trace::SPOILS + 1e-12,
                            "{name} {}: {}",
                            symptom.id,
                            boat.vars[var].name
                        );
                    }
                }
            });
        }
    }
    assert!(seen > 1000, "{seen}");
}

/// A gas smell, smoke, flooding, fire and a person overboard are not questions.
#[test]
fn words_of_danger_find_the_emergency_first() {
    let said = [
        "i smell gas",
        "gas smel below",
        "smoke in the cabin",
        "fire in the galley",
        "water is coming in",
        "water over the floorboards",
        "man overboard",
        "smoke from the engine",
        "headake",
        "we are sinking",
        "burning smell",
    ];
    for name in BOATS {
        let boat = boat(name);
        let symptoms = trace::symptoms(&boat);
        for words in said {
            let found = trace::find(&boat, &symptoms, words);
            let first = found.first().map(|(at, _)| &symptoms[*at]);
            assert!(
                first.is_some_and(|first| matches!(first.about, About::Emergency(_))),
                "{name}: {words:?} finds {first:?}"
            );
        }
    }
}

/// What is mains, gas, hot or open to the sea is for the base in every demo boat; the hazards are those of ISO 3864's
/// warning signs as the boat file's cautions name them.
#[test]
fn every_fault_with_a_danger_is_for_the_base() {
    let mut dangers = BTreeSet::new();
    for name in BOATS {
        let boat = boat(name);
        for fault in boat.faults.iter().filter(|fault| fault.danger.is_some()) {
            assert_eq!((fault.check_who, fault.mend_who), (Who::Base, Who::Base), "{name} {}", fault.id);
            dangers.insert(format!("{:?}", fault.danger));
        }
    }
    for hazard in [Hazard::Mains, Hazard::Gas, Hazard::Hot] {
        assert!(dangers.contains(&format!("{:?}", Some(hazard))), "{dangers:?}");
    }
}
