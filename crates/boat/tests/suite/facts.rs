//! Facts: any text is read or refused, and what is printed reads back.

use boat::model::{Assign, Boat, Compare, Expr, Operand, Value};
use boat::{compile, model::Id};
use proptest::prelude::*;
use quantity::{Dimension, Quantity};

use crate::cases::sound;
use crate::properties::lies_inside;
use crate::tape::Tape;

/// A boat with positions that look like numbers, quantities and words.
pub(crate) fn boat_of_facts() -> Boat {
    let text = format!(
        "{}\n[controls.selector]\npositions = [\"1\", \"2nd\", \"12v\", \"isnt\", \"or_else\", \"both\"]\nrest = \"1\"\n\
         reads = {{ 1 = \"1 V\", 2nd = \"2 V\", 12v = \"12 V\", isnt = \"0 V\", or_else = \"-3 V\", both = \"24 V\" }}\n\
         [conditions.android]\nname = \"It walks.\"\nwhen = \"selector is one of (1, 2nd, 12v)\"\n",
        sound()
    );
    let compiled = compile("facts.toml", &text);
    let said: Vec<String> = compiled.diagnostics.iter().map(|found| found.plain(&compiled.sources)).collect();
    compiled.boat.unwrap_or_else(|| panic!("{}", said.join("\n")))
}

fn random_fact(boat: &Boat, tape: &mut Tape<'_>, deep: usize) -> Expr {
    let kinds = if deep == 0 { 5 } else { 8 };
    match tape.below(kinds) {
        0 => Expr::Const(tape.chance(2)),
        1 => Expr::Holds(*tape.one(&boat.conditions.ids().collect::<Vec<_>>())),
        2 | 3 => {
            let var = *tape.one(&boat.vars.ids().collect::<Vec<_>>());
            Expr::Is(var, Value(u8::try_from(tape.below(boat.vars[var].values.len())).unwrap()))
        }
        4 => random_comparison(boat, tape),
        5 => Expr::Not(Box::new(random_fact(boat, tape, deep - 1))),
        kind => {
            let parts = (0..2 + tape.below(3)).map(|_| random_fact(boat, tape, deep - 1)).collect();
            if kind == 6 { Expr::And(parts) } else { Expr::Or(parts) }
        }
    }
}

fn random_comparison(boat: &Boat, tape: &mut Tape<'_>) -> Expr {
    let how = *tape.one(&[Compare::Less, Compare::AtMost, Compare::More, Compare::AtLeast]);
    let named: Vec<(Operand, Dimension)> = boat
        .vars
        .iter_ids()
        .filter_map(|(id, var)| Some((Operand::Var(id), var.reads.as_ref()?.first()?.dimension())))
        .chain(
            boat.readings
                .iter_ids()
                .map(|(id, reading)| (Operand::Reading(id), reading.otherwise.dimension())),
        )
        .collect();
    let (left, dimension) = if tape.chance(3) {
        let units = quantity::units();
        let dimension = units[tape.below(units.len())].dimension();
        (Operand::Quantity(random_quantity(tape, dimension)), dimension)
    } else {
        tape.one(&named).clone()
    };
    let fitting: Vec<&Operand> =
        named.iter().filter(|(_, other)| *other == dimension).map(|(operand, _)| operand).collect();
    let right = match fitting.as_slice() {
        fitting if !fitting.is_empty() && tape.chance(3) => (*tape.one(fitting)).clone(),
        _ => Operand::Quantity(random_quantity(tape, dimension)),
    };
    Expr::Compare(left, how, right)
}

fn random_quantity(tape: &mut Tape<'_>, dimension: Dimension) -> Quantity {
    let units: Vec<&quantity::Unit> =
        quantity::units().iter().filter(|unit| unit.dimension() == dimension).collect();
    let number = match tape.below(4) {
        0 => tape.below(100).to_string(),
        1 => format!("-{}.{}", tape.below(100), tape.below(1000)),
        2 => format!("{}.{:03}", tape.below(100_000), tape.below(1000)),
        _ => format!("{}e{}", tape.below(1000), i64::try_from(tape.below(40)).unwrap() - 20),
    };
    let unit = tape.one(&units).symbol();
    let text = format!("{number} {unit}");
    Quantity::parse_as(&text, dimension).unwrap_or_else(|error| panic!("{text}: {error}"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_printed_fact_reads_back_as_it_was(numbers in prop::collection::vec(any::<u32>(), 1..80)) {
        let boat = boat();
        let fact = random_fact(boat, &mut Tape::new(&numbers), 5);
        let text = boat.fact_text(&fact);
        match boat.read_fact(&text) {
            Ok(read) => prop_assert_eq!(read, fact, "{}", text),
            Err(asked) => prop_assert!(false, "{}: {:?}", text, asked.diagnostics),
        }
    }

    #[test]
    fn any_text_is_a_fact_or_is_refused(text in any::<String>()) {
        refuses_well(boat(), &text)?;
    }

    #[test]
    fn words_of_facts_in_any_order_are_a_fact_or_are_refused(
        words in prop::collection::vec(prop::sample::select(WORDS.to_vec()), 0..14),
        space in prop::sample::select(vec!["", " ", "  ", "\n", "\u{a0}"]),
    ) {
        refuses_well(boat(), &words.join(space))?;
    }
}

/// One boat for all cases.
fn boat() -> &'static Boat {
    static BOAT: std::sync::OnceLock<Boat> = std::sync::OnceLock::new();
    BOAT.get_or_init(boat_of_facts)
}

const WORDS: &[&str] = &[
    "panel",
    "is",
    "not",
    "on",
    "off",
    "and",
    "or",
    "one",
    "of",
    "(",
    ")",
    ",",
    "always",
    "never",
    "engine_rpm",
    "<",
    "<=",
    ">",
    ">=",
    "1500 rpm",
    "12,5 V",
    "-5 °C",
    "1 h 30 min",
    "panel_live",
    "selector",
    "1",
    "2nd",
    "12v",
    "AND",
    "=",
    "&&",
    "!",
    "é",
    "“on”",
    "motor is running",
    "5",
    "%",
    "\u{1F6A4}",
];

fn refuses_well(boat: &Boat, text: &str) -> Result<(), TestCaseError> {
    match boat.read_fact(text) {
        Ok(fact) => {
            let printed = boat.fact_text(&fact);
            let again = boat
                .read_fact(&printed)
                .map_err(|_| TestCaseError::fail(format!("{printed} from {text}")))?;
            prop_assert_eq!(again, fact);
        }
        Err(asked) => {
            prop_assert!(!asked.diagnostics.is_empty());
            for found in &asked.diagnostics {
                prop_assert!(lies_inside(&asked.sources, found.primary.span), "{:?}", found);
                prop_assert!(found.mend.is_some() && found.expected.is_some(), "{:?}", found);
            }
        }
    }
    if let Err(asked) = boat.read_assign(text) {
        prop_assert!(!asked.diagnostics.is_empty());
        prop_assert!(asked.diagnostics.iter().all(|found| lies_inside(&asked.sources, found.primary.span)));
    }
    Ok(())
}

#[test]
fn every_assignment_reads_back() {
    let boat = boat();
    for (var, row) in boat.vars.iter_ids() {
        for at in 0..row.values.len() {
            let assign = Assign { var, value: Value(u8::try_from(at).unwrap()) };
            let text = boat.assign_text(&assign);
            assert_eq!(boat.read_assign(&text).map_err(|asked| asked.diagnostics), Ok(assign), "{text}");
        }
    }
    assert!(boat.vars.ids().all(|id| id.index() < boat.vars.len()));
}

#[test]
fn positions_that_begin_with_figures_stand_in_lists() {
    let boat = boat();
    let selector = boat.var("selector").unwrap();
    let one_of = Expr::Or((0..3).map(|at| Expr::Is(selector, Value(at))).collect());
    assert_eq!(
        boat.read_fact("selector is one of (1, 2nd, 12v)").map_err(|asked| asked.diagnostics),
        Ok(one_of)
    );
    let not = boat.read_fact("not 1500 rpm <= engine_rpm");
    assert!(matches!(not, Ok(Expr::Not(_))), "a quantity may stand after `not`: {not:?}");
}
