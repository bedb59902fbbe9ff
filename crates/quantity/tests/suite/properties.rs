//! Properties that hold for any text and any value.

use proptest::prelude::*;
use quantity::{Charge, Dimension, ErrorKind, Quantity, System, Unit, units};

fn unit() -> impl Strategy<Value = &'static Unit> {
    (0..units().len()).prop_map(|index| &units()[index])
}

/// Any finite number, all bit patterns alike: the tiniest, the largest and both zeros among them.
fn finite() -> impl Strategy<Value = f64> {
    any::<u64>().prop_map(f64::from_bits).prop_filter("finite", |value| value.is_finite())
}

/// Numbers as people write them, up to four digits and three decimals.
fn everyday() -> impl Strategy<Value = f64> {
    (-9999_i32..=9999, 0..4_usize)
        .prop_map(|(digits, places)| f64::from(digits) / [1.0, 10.0, 100.0, 1000.0][places])
}

/// Text made of the pieces that quantities are made of, in any order.
fn near_quantity() -> impl Strategy<Value = String> {
    let number = everyday().prop_map(|value| value.to_string());
    let symbol = unit().prop_map(|unit| unit.symbol().to_owned());
    let word = unit().prop_map(|unit| unit.name().to_owned());
    let crumb = "[ \u{a0}.,+−\\-eE/°'\"²³%_0-9a-zA-ZΩé]{0,3}";
    prop::collection::vec(prop_oneof![number, symbol, word, crumb], 0..8).prop_map(|parts| parts.concat())
}

fn check_read(text: &str) -> Result<(), TestCaseError> {
    for wanted in std::iter::once(None).chain(Dimension::ALL.map(Some)) {
        let read = wanted.map_or_else(|| Quantity::parse(text), |wanted| Quantity::parse_as(text, wanted));
        match read {
            Ok(found) => {
                prop_assert!(found.is_finite());
                prop_assert!(wanted.is_none_or(|wanted| wanted == found.dimension()));
            }
            Err(error) => {
                // Slicing fails unless the span lies inside the text and on character boundaries.
                let at_fault = text.get(error.span());
                prop_assert!(at_fault.is_some(), "{:?} of {text:?}", error.span());
                let nothing = matches!(error.kind(), ErrorKind::Empty);
                prop_assert!(nothing || at_fault != Some(""), "{error:?}");
                prop_assert!(error.to_string().ends_with(['.', '?']));
            }
        }
    }
    Ok(())
}

fn check_round_trip(value: Quantity) -> Result<(), TestCaseError> {
    let canonical = Unit::canonical(value.dimension());
    let text = value.to_string();
    let back = Quantity::parse(&text).map_err(|error| TestCaseError::fail(format!("{text}: {error}")))?;
    prop_assert_eq!(back.dimension(), value.dimension(), "{}", &text);
    let bits = |quantity: Quantity| quantity.as_unit(canonical).unwrap().to_bits();
    // The canonical reading of a zero loses its sign, so zeros are told apart by their print.
    prop_assert_eq!(bits(back), bits(value), "{}", &text);
    prop_assert_eq!(back.to_string(), text);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_text_is_read_or_refused_with_a_span(text in any::<String>()) {
        check_read(&text)?;
    }

    #[test]
    fn near_quantities_are_read_or_refused_with_a_span(text in near_quantity()) {
        check_read(&text)?;
    }

    #[test]
    fn any_value_prints_and_reads_back_bit_for_bit(value in finite()) {
        for dimension in Dimension::ALL {
            check_round_trip(Quantity::new(value, Unit::canonical(dimension)))?;
        }
    }

    #[test]
    fn everyday_values_in_any_unit_print_and_read_back(value in everyday(), unit in unit()) {
        check_round_trip(Quantity::new(value, unit))?;
    }

    #[test]
    fn what_was_written_in_a_unit_is_what_was_meant(value in everyday(), unit in unit()) {
        let text = format!("{value} {}", unit.symbol());
        prop_assert_eq!(Quantity::parse(&text), Ok(Quantity::new(value, unit)));
    }

    #[test]
    fn what_people_are_shown_is_nearly_the_value(value in everyday(), unit in unit()) {
        let quantity = Quantity::new(value, unit);
        let canonical = Unit::canonical(unit.dimension());
        let exact = quantity.as_unit(canonical).unwrap();
        for system in [System::Metric, System::UsCustomary] {
            let shown = quantity.display(system);
            let read = Quantity::parse(&shown).unwrap().as_unit(canonical).unwrap();
            // The coarsest rounding is to half an inch in a foot and half an hour in two days (4 % and
            // 1 %); below 1 of the smallest unit four decimals are kept.
            let slack = 0.05 * exact.abs() + 1e-3;
            // A temperature about freezing is some 32 °F, of which two decimals are shown.
            let slack = if unit.dimension() == Dimension::Temperature { slack + 0.005 / 1.8 } else { slack };
            prop_assert!((read - exact).abs() <= slack, "{} shown as {}", quantity, shown);
        }
    }

    #[test]
    fn a_type_and_a_quantity_agree(value in finite()) {
        let charge = Charge::amp_hours(value);
        let quantity = Quantity::from(charge);
        prop_assert_eq!(charge.to_string(), quantity.to_string());
        prop_assert_eq!(Charge::parse(&charge.to_string()), Ok(charge));
        prop_assert_eq!(Charge::try_from(quantity), Ok(charge));
    }
}
