//! Properties on random small boats.

use std::fmt::Write as _;

use boat::model::{Id, Who};
use operate::{Answer, Budget, Event, Model, Use, all_slips, prove, run, run_from, way};
use proptest::prelude::*;

use crate::boat;

/// A random boat's recipe: everything is taken modulo what there is.
type Recipe = (Vec<(u8, u8, u8)>, Vec<(u8, u8, u8)>, Vec<(u8, u8)>, Vec<(u8, u8, u8)>);

fn recipes() -> impl Strategy<Value = Recipe> {
    (
        prop::collection::vec(any::<(u8, u8, u8)>(), 2..6),
        prop::collection::vec(any::<(u8, u8, u8)>(), 1..5),
        prop::collection::vec(any::<(u8, u8)>(), 0..3),
        prop::collection::vec(any::<(u8, u8, u8)>(), 1..8),
    )
}

fn text((controls, states, nevers, steps): &Recipe) -> String {
    let (many, other) = (controls.len(), states.len());
    let value = |seed: u8| ["a", "b", "c"][usize::from(seed) % 3];
    let control = |seed: u8| usize::from(seed) % many;
    let mut out = String::new();
    for (at, (needs, harm, rest)) in controls.iter().enumerate() {
        let _ = writeln!(
            out,
            "[controls.c{at}]\nname = \"C{at}\"\nitem = \"motor\"\npositions = [\"a\", \"b\", \"c\"]\nrest = \"{}\"",
            value(*rest)
        );
        let _ = writeln!(
            out,
            "moves = [{{ to = \"b\", needs = \"c{} is not {}\", takes = \"3 s\" }}]",
            control(*needs),
            value(needs / 7)
        );
        if harm % 3 == 0 {
            let _ = writeln!(
                out,
                "harms = [{{ to = \"c\", when = \"c{} is {}\", severity = \"damage\", what = \"Harm.\" }}]",
                control(harm / 3),
                value(harm / 11)
            );
        }
        if harm % 5 == 0 {
            let _ = writeln!(
                out,
                "limits = [{{ kind = \"longest\", is = \"{} s\", breach = {{ severity = \"damage\", what = \"Long.\" }} }}]",
                1 + harm % 9
            );
        }
    }
    for (at, (when, turn, act)) in states.iter().enumerate() {
        let _ = writeln!(
            out,
            "[states.s{at}]\nname = \"S{at}\"\nvalues = [\"a\", \"b\"]\nrest = \"a\"\ngiven = {}",
            turn % 5 == 1
        );
        let after = if turn % 2 == 0 { format!(", after = \"{} s\"", 1 + turn % 20) } else { String::new() };
        if turn % 5 != 1 {
            let _ = writeln!(
                out,
                "turns = [{{ to = \"b\", when = \"c{} is {}\"{after} }}]",
                control(*when),
                value(when / 5)
            );
            let _ = writeln!(
                out,
                "[actions.x{at}]\nname = \"X{at}\"\nitem = \"motor\"\nneeds = \"c{} is not {}\"\nmakes = [\"s{at} is {}\"]\ntakes = \"{} s\"",
                control(*act),
                value(act / 3),
                if act % 2 == 0 { "a" } else { "b" },
                act % 7
            );
            let _ = writeln!(
                out,
                "harms = [{{ when = \"s{} is b and c{} is b\", severity = \"injury\", what = \"Worse.\" }}]",
                (at + 1) % other,
                control(act / 9)
            );
        }
    }
    for (at, (a, b)) in nevers.iter().enumerate() {
        let _ = writeln!(
            out,
            "[never.n{at}]\nname = \"N{at}.\"\nwhen = \"c{} is b and s{} is b\"\nseverity = \"injury\"\nwhat = \"Bad.\"",
            control(*a),
            usize::from(*b) % other
        );
    }
    let actions: Vec<usize> = (0..other).filter(|at| states[*at].1 % 5 != 1).collect();
    let list: Vec<String> = steps
        .iter()
        .map(|(kind, which, how)| match kind % 5 {
            1 if !actions.is_empty() => format!(
                "{{ do = \"x{}\", for = \"{} s\" }}",
                actions[usize::from(*which) % actions.len()],
                how % 9 + 1
            ),
            2 => format!("{{ wait = \"{} s\" }}", how % 30 + 1),
            3 => format!(
                "{{ look = \"It is so.\", confirm = \"s{} is {}\" }}",
                usize::from(*which) % other,
                if how % 2 == 0 { "a" } else { "b" }
            ),
            _ => format!("{{ set = \"c{}\", to = \"{}\" }}", control(*which), value(*how)),
        })
        .collect();
    let _ =
        writeln!(out, "[procedures.p]\nname = \"P\"\ngoal = \"always\"\nsteps = [\n{}\n]", list.join(",\n"));
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn proving_and_slipping_never_panic_and_say_the_same_twice(recipe in recipes()) {
        let boat = boat(&text(&recipe));
        let model = Model::new(&boat);
        let list = boat.procedure("p").unwrap();
        prop_assert_eq!(run(&model, list), run(&model, list));
        prop_assert_eq!(prove(&model), prove(&Model::new(&boat)));
        let slips = all_slips(&model, Use::Read);
        prop_assert_eq!(&slips, &all_slips(&model, Use::Read));
        prop_assert!(slips.slips.windows(2).all(|pair| pair[0].risk >= pair[1].risk), "worst first");
    }

    #[test]
    fn a_proven_list_does_no_harm_when_it_is_run(recipe in recipes()) {
        let boat = boat(&text(&recipe));
        let model = Model::new(&boat);
        let list = boat.procedure("p").unwrap();
        let proven = prove(&model).procedures[0].proven;
        let trace = run(&model, list);
        let harmed = trace.steps.iter().flat_map(|step| &step.events).any(|event| !matches!(event, Event::Turned(..)));
        prop_assert!(!(proven && harmed), "{:#?}", trace);
    }

    #[test]
    fn a_way_followed_step_by_step_reaches_the_goal_and_harms_nothing(recipe in recipes(), which in any::<u8>(), how in any::<u8>()) {
        let sections = text(&recipe);
        let boat = boat(&sections);
        let model = Model::new(&boat);
        let names: Vec<String> = boat.vars.iter().map(|var| var.id.clone()).collect();
        let name = &names[usize::from(which) % names.len()];
        let values = &boat.vars[boat.var(name).unwrap()].values;
        let goal = boat.read_fact(&format!("{name} is {}", values[usize::from(how) % values.len()])).unwrap();
        if let Answer::Way(way) = way(&model, &model.at_rest(), &goal, Who::Crew, &mut Budget::states(20_000)) {
            let events: Vec<&Event> = way.trace.steps.iter().flat_map(|step| &step.events).collect();
            prop_assert!(events.iter().all(|event| matches!(event, Event::Turned(..))), "{:?}", events);
            let last = way.trace.steps.last().map_or(&way.trace.start, |step| &step.stand);
            prop_assert!(model.holds(last, &goal));
        }
    }

    /// The runner and the planner know the same boat: where nothing takes time, a move leads both to the same stand.
    #[test]
    fn planner_and_runner_agree_on_moves(recipe in recipes()) {
        let (controls, states, nevers, steps) = recipe;
        // Instant turns and sets only.
        let states = states.into_iter().map(|(when, turn, act)| (when, turn | 1, act)).collect::<Vec<_>>();
        let steps: Vec<(u8, u8, u8)> = steps.into_iter().map(|(_, which, how)| (0, which, how)).collect();
        let sections = text(&(controls, states, nevers, steps)).replace(", takes = \"3 s\"", "");
        let boat = boat(&sections);
        let model = Model::new(&boat);
        let list = boat.procedure("p").unwrap();
        let goal = boat.read_fact("never").unwrap();
        let part = operate::Part::near(&model, &model.at_rest(), &goal, Who::Crew, 99, boat.vars.ids());
        let task = part.task();
        let planner = search::Planner::new(&task).unwrap();
        let forbidden = planner.condition(&task.forbidden).unwrap();
        let mut stand = model.at_rest();
        for step in run_from(&model, list, &stand).steps {
            let boat::model::StepKind::Set { var, to, .. } = boat.procedures[list].steps[step.step].kind else { continue };
            let name = format!("set-{}-{}", boat.vars[var].id, boat.vars[var].values[usize::from(to.0)]);
            let state = planner.state(&stand.values().map(|(_, value)| value.0).collect::<Vec<_>>()).unwrap();
            // A planner does not go on from where it must never be; a person does.
            if planner.holds(&forbidden, &state) {
                break;
            }
            let op = task.operators.iter().position(|op| op.name == name);
            let done = op.map(|op| planner.apply(search::OpId::new(op), &state));
            let harmed = step.events.iter().any(|event| !matches!(event, Event::Turned(..) | Event::Breach(_)));
            let moved = step.outcome == operate::StepOutcome::Done || step.outcome == operate::StepOutcome::InVain;
            match done {
                Some(Ok(next)) => {
                    prop_assert!(moved, "the planner may, the runner does nothing");
                    let next: Vec<u8> = planner.values(&next);
                    let ours: Vec<u8> = step.stand.values().map(|(_, value)| value.0).collect();
                    prop_assert_eq!(next, ours);
                }
                _ => prop_assert!(!moved || harmed, "the runner may without harm, the planner may not"),
            }
            stand = step.stand;
        }
        prop_assert!(boat.vars.ids().all(|var| var.index() < boat.vars.len()));
    }
}
