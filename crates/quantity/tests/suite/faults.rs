//! What is wrong, where, and how it is mended. The span is drawn below the text.

use quantity::{Charge, Dimension, ErrorKind, ParseError, Quantity, Temperature};

/// Reads `text` and compares the underlined span and the message.
#[track_caller]
fn check(text: &str, underline: &str, message: &str) {
    check_error(text, &Quantity::parse(text).unwrap_err(), underline, message);
}

#[track_caller]
fn check_charge(text: &str, underline: &str, message: &str) {
    check_error(text, &Charge::parse(text).unwrap_err(), underline, message);
}

#[track_caller]
fn check_error(text: &str, error: &ParseError, underline: &str, message: &str) {
    let span = error.span();
    let drawn = " ".repeat(text[..span.start].chars().count()) + &"^".repeat(text[span].chars().count());
    assert_eq!(drawn, underline, "{text}");
    assert_eq!(error.to_string(), message);
}

#[test]
fn nothing() {
    check("", "", "Nothing is written here. Write a number and a unit, such as 230 Ah.");
    check("  ", "^^", "Nothing is written here. Write a number and a unit, such as 230 Ah.");
}

#[test]
fn no_number() {
    check("Ah", "^^", "A number is wanted where “Ah” stands. Write a number and a unit, such as 230 Ah.");
    check("- 5 V", "^", "A number is wanted where “-” stands. Write a number and a unit, such as 230 Ah.");
    check(
        "1.2.3 V",
        "^^^^^",
        "A number is wanted where “1.2.3” stands. Write a number and a unit, such as 230 Ah.",
    );
    check(
        "5 V full",
        "    ^^^^",
        "A number is wanted where “full” stands. Write a number and a unit, such as 230 Ah.",
    );
    check("NaN V", "^^^", "“NaN” is not an amount. Write a number and a unit, such as 230 Ah.");
    check("-inf V", "^^^^", "“-inf” is not an amount. Write a number and a unit, such as 230 Ah.");
}

#[test]
fn too_large() {
    check("1e999 V", "^^^^^", "“1e999” is too large to be an amount. Check the number of digits.");
    check("1e308 kW", "^^^^^^^^", "“1e308 kW” is too large to be an amount. Check the number of digits.");
}

#[test]
fn commas() {
    check(
        "1,5 V",
        "^^^",
        "“1,5” can be read in more than one way. \
         Write 1.5, with a point before the decimals and nothing between thousands.",
    );
    check(
        "1,500 rpm",
        "^^^^^",
        "“1,500” can be read in more than one way. \
         Write 1.500 with a point, or 1500 with nothing between the thousands.",
    );
    check(
        "-1.500,5 L",
        "^^^^^^^^",
        "“-1.500,5” can be read in more than one way. \
         Write -1500.5, with a point before the decimals and nothing between thousands.",
    );
    check(
        "1,234,567.5 L",
        "^^^^^^^^^^^",
        "“1,234,567.5” can be read in more than one way. \
         Write 1234567.5, with a point before the decimals and nothing between thousands.",
    );
    check(
        "1_500 rpm",
        "^^^^^",
        "“1_500” can be read in more than one way. \
         Write 1500, with a point before the decimals and nothing between thousands.",
    );
}

#[test]
fn units() {
    check_charge("230", "^^^", "“230” has no unit. Write the unit after it, such as 230 Ah.");
    check_charge("12", "^^", "“12” has no unit. Write the unit after it, such as 12 Ah.");
    check("1h30", "  ^^", "“30” has no unit. Write the unit after it, such as 230 Ah.");
    check("230 AH", "    ^^", "“AH” is not a unit known here. Did you mean Ah?");
    check("5 KG", "  ^^", "“KG” is not a unit known here. Did you mean kg?");
    check("12 v", "   ^", "“v” is not a unit known here. Did you mean V?");
    check("20 C", "   ^", "“C” is not a unit known here. Did you mean °C?");
    check("5 nm", "  ^^", "“nm” is not a unit known here. Did you mean NM?");
    check("1500 rmp", "     ^^^", "“rmp” is not a unit known here. Did you mean rpm?");
    check("5 litters", "  ^^^^^^^", "“litters” is not a unit known here. Did you mean L?");
    check("5 galons", "  ^^^^^^", "“galons” is not a unit known here. Did you mean gal?");
    check_charge(
        "5 kg / day",
        "  ^^^^^^^^",
        "“kg / day” is not a unit known here. Write a number and a unit, such as 230 Ah.",
    );
    check(
        "5 bananas",
        "  ^^^^^^^",
        "“bananas” is not a unit known here. Write a number and a unit, such as 230 Ah.",
    );
}

#[test]
fn of_two_near_units_the_wanted_one_is_offered() {
    let offered = |wanted| match Quantity::parse_as("5 KN", wanted).unwrap_err().kind() {
        ErrorKind::UnknownUnit { nearest: Some(unit), .. } => unit.symbol(),
        other => panic!("{other:?}"),
    };
    assert_eq!(offered(Dimension::Force), "kN");
    assert_eq!(offered(Dimension::Speed), "kn");
}

#[test]
fn another_thing_than_is_wanted() {
    check_charge("230 V", "^^^^^", "230 V is a voltage; a charge is wanted here, such as 230 Ah.");
    check_charge(
        " 1 h 30 min ",
        " ^^^^^^^^^^",
        "1 h 30 min is a time; a charge is wanted here, such as 230 Ah.",
    );
    let error = Temperature::parse("5 kWh").unwrap_err();
    assert_eq!(error.to_string(), "5 kWh is an energy; a temperature is wanted here, such as 20 °C.");
    assert_eq!(error.wanted(), Some(Dimension::Temperature));
}

#[test]
fn parts_that_do_not_go_together() {
    check(
        "1 h 30 L",
        "    ^^^^",
        "“30 L” is a volume, but what stands before it is a time. Write a single number and unit.",
    );
    check(
        "30 min 1 h",
        "       ^^^",
        "“1 h” is not in a smaller unit than what stands before it. \
         Write the larger unit first, such as 1 h 30 min.",
    );
    check(
        "5 h 3 h",
        "    ^^^",
        "“3 h” is not in a smaller unit than what stands before it. \
         Write the larger unit first, such as 1 h 30 min.",
    );
    check(
        "5 ft 14 in",
        "     ^^^^^",
        "“14 in” makes a full foot or more. \
         Carry it over to the foot, or write all of it in the smaller unit.",
    );
    check(
        "1 h 60 min",
        "    ^^^^^^",
        "“60 min” makes a full hour or more. \
         Carry it over to the hour, or write all of it in the smaller unit.",
    );
    check(
        "1.5 h 30 min",
        "^^^^^",
        "“1.5 h” has a fraction and more follows it. \
         Let only the last part have a fraction, or write a single number and unit.",
    );
    check(
        "1 h -30 min",
        "    ^^^^^^^",
        "“-30 min” has a sign of its own. Write the sign once, at the front; it counts for all parts.",
    );
    check(
        "5 °C 3 °C",
        "     ^^^^",
        "A temperature cannot be written in parts. Write a single number and unit.",
    );
}
