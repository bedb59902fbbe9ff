//! The demo boat as a whole.

use boat::model::{Boat, Severity, StepKind, Who};
use operate::{Answer, Back, Budget, Class, Model, SlipKind, Use, prove, slips, way};

fn whimbrel() -> Boat {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/whimbrel.toml");
    let text = std::fs::read_to_string(path).expect("the demo boat is part of the workspace");
    let compiled = boat::compile("whimbrel.toml", &text);
    let told: String = compiled.diagnostics.iter().map(|found| found.plain(&compiled.sources)).collect();
    compiled.boat.unwrap_or_else(|| panic!("{told}"))
}

#[test]
fn every_list_is_proven() {
    let boat = whimbrel();
    let proof = prove(&Model::new(&boat));
    let errors: String = proof
        .findings
        .iter()
        .filter(|found| found.severity == boat::diagnostic::Severity::Error)
        .map(|found| found.plain(boat.sources()))
        .collect();
    assert!(errors.is_empty(), "{errors}");
    assert!(proof.procedures.len() >= 30 && proof.procedures.iter().all(|one| one.proven && one.worlds > 0));
}

#[test]
fn cutting_the_panel_first_leaves_an_engine_that_the_panel_cannot_stop() {
    let boat = whimbrel();
    let model = Model::new(&boat);
    let stop = boat.procedure("stop_engine").unwrap();
    let panel = boat.var("engine_panel").unwrap();
    let engine = boat.var("engine").unwrap();
    let found = slips(&model, stop, Use::Read);
    let cut = found
        .slips
        .iter()
        .find(|slip| {
            let off = |at: usize| matches!(&boat.procedures[stop].steps[at].kind, StepKind::Set { var, .. } if *var == panel);
            off(slip.step) && matches!(slip.kind, SlipKind::TooEarly(_) | SlipKind::Swapped | SlipKind::TooLate(_))
                || matches!(slip.kind, SlipKind::Swapped) && boat.procedures[stop].steps.get(slip.step + 1).is_some_and(|_| off(slip.step + 1))
        })
        .expect("the key can be turned off too early");
    assert!(cut.class > Class::DoesNotWork, "{cut:#?}");
    let running = cut
        .left
        .iter()
        .any(|(var, is, _)| *var == engine && boat.vars[engine].values[usize::from(is.0)] == "running");
    assert!(running || cut.stopped.is_some(), "the engine runs on: {cut:#?}");
    assert!(matches!(&cut.back, Back::ToPromised(steps) if !steps.is_empty()), "{:?}", cut.back);
}

#[test]
fn leaving_the_bottle_open_after_cooking_is_found() {
    let boat = whimbrel();
    let model = Model::new(&boat);
    let list = boat.procedure("bake").unwrap();
    let bottle = boat.var("gas_bottle_1").unwrap();
    let found = slips(&model, list, Use::Read);
    let slip = found
        .slips
        .iter()
        .find(|slip| slip.kind == SlipKind::LeftOut && slip.left.iter().any(|(var, _, _)| *var == bottle))
        .expect("the bottle can be left open");
    assert!(matches!(slip.class, Class::Injury | Class::LeftStanding(Some(Severity::Injury))), "{slip:#?}");
    assert!(slip.risk > 0.0);
}

#[test]
fn pulling_the_cord_with_the_main_on_ranks_as_injury() {
    let boat = whimbrel();
    let model = Model::new(&boat);
    let list = boat.procedure("shore_off").unwrap();
    let main = boat.var("shore_main").unwrap();
    let at = boat.procedures[list]
        .steps
        .iter()
        .position(|step| matches!(step.kind, StepKind::Set { var, .. } if var == main))
        .expect("the list switches the main off");
    let found = slips(&model, list, Use::Read);
    let slip = found.slips.iter().find(|slip| slip.step == at && slip.kind == SlipKind::LeftOut).unwrap();
    assert_eq!(slip.class, Class::Injury);
    let rank = found.slips.iter().position(|other| other == slip).unwrap();
    assert!(found.slips[rank..].iter().any(|other| other.class == Class::NoMatter));
}

#[test]
fn ways_are_found_and_refused() {
    let boat = whimbrel();
    let model = Model::new(&boat);
    let ask = |goal: &str| {
        way(&model, &model.at_rest(), &boat.read_fact(goal).unwrap(), Who::Crew, &mut Budget::states(100_000))
    };
    let Answer::Way(start) = ask("engine is running and raw_water_flows") else {
        panic!("no way to start the engine")
    };
    assert!(start.shortest && start.trace.end == operate::End::Reached);
    assert!(!start.relies_on.is_empty(), "oil and coolant must be looked at");
    let Answer::None(none) = ask("swimmers is near") else { panic!("people can't be wished into the water") };
    assert_eq!(none.world, [boat.var("swimmers").unwrap()]);
}
