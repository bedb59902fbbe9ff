//! The table is sound in itself.

use quantity::{Dimension, Quantity, System, Unit, find_unit, units};

fn spellings(unit: &Unit) -> impl Iterator<Item = &'static str> {
    std::iter::once(unit.symbol())
        .chain(unit.other_symbols().iter().copied())
        .chain(unit.words().iter().copied())
}

#[test]
fn no_spelling_means_two_things() {
    for unit in units() {
        for other in units().iter().filter(|other| *other != unit) {
            for spelling in spellings(unit).filter(|spelling| !spelling.is_empty()) {
                assert!(
                    !spellings(other).any(|s| s == spelling),
                    "{spelling} is both {} and {}",
                    unit.symbol(),
                    other.symbol()
                );
            }
        }
    }
}

#[test]
fn words_in_capitals_are_no_symbol_of_another_unit() {
    for unit in units() {
        for word in unit.words() {
            assert_eq!(find_unit(&word.to_uppercase()), Some(unit), "{word}");
        }
    }
}

#[test]
fn each_dimension_has_one_canonical_unit_in_the_table() {
    for dimension in Dimension::ALL {
        let of_it = units().iter().filter(|unit| unit.dimension() == dimension);
        let plain = |unit: &&Unit| unit.factor().to_bits() == 1.0_f64.to_bits() && unit.offset() == 0.0;
        // Within a dimension no two units may be the same size, so one row is canonical.
        assert_eq!(of_it.filter(plain).collect::<Vec<_>>(), [Unit::canonical(dimension)], "{dimension}");
    }
}

#[test]
fn every_dimension_prints_from_zero_in_both_systems() {
    for dimension in Dimension::ALL {
        for system in [System::Metric, System::UsCustomary] {
            let least = units()
                .iter()
                .filter(|unit| unit.dimension() == dimension && unit.systems().contains(&system))
                .filter_map(Unit::print_from)
                .min_by(f64::total_cmp);
            assert_eq!(least, Some(0.0), "{dimension} in {system:?}");
        }
    }
}

#[test]
fn examples_are_of_their_dimension_and_print_as_written() {
    for dimension in Dimension::ALL {
        let example = Quantity::parse(dimension.example()).unwrap();
        assert_eq!(example.dimension(), dimension);
        assert_eq!(example.to_string(), dimension.example());
    }
}

#[test]
fn units_are_found_by_what_is_written() {
    assert_eq!(find_unit("Ah").map(Unit::symbol), Some("Ah"));
    assert_eq!(find_unit("  US  gallons ").map(Unit::symbol), Some("gal"));
    assert_eq!(find_unit("Nautical-Miles").map(Unit::symbol), Some("NM"));
    assert_eq!(find_unit(""), None);
    assert_eq!(find_unit("Ah V"), None);
}
