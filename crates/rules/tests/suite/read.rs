//! Tables that a base edits: what is refused, and where.

use proptest::prelude::*;
use rules::Authority;

const GOOD: &str = r#"
id = "harbour"
name = "The harbour"
also = []
entered = "2026-11-25"

[coverage]
equipment = "part"
placards = "nothing"
discharge = "part"
checklists = "part"
gaps = ["All but the anchor."]

[[requirement]]
id = "anchor"
section = "vessel"
title = "Anchor"
rule = "An anchor."
over = "6 m"
upto = "30 ft"
any = [[{ one_of = ["anchor_15m"], count = 1 }]]
cite = "The harbour's notice"
how = "read"

[[discharge]]
id = "near"
what = "garbage"
upto = "3 nmi"
verdict = "forbidden"
words = "Nothing."
cite = "The harbour's notice"
how = "read"

[[checklist]]
id = "list"
title = "The harbour's list"
cite = "The harbour's notice"
how = "read"
line = [{ id = "anchor", words = "The anchor.", about = ["anchor"] }]
"#;

#[test]
fn a_table_of_the_base_is_read() {
    let read = Authority::read(GOOD).unwrap();
    assert_eq!(read.requirements.len(), 1);
    assert_eq!(read.within, None);
}

#[test]
fn faults_are_refused_with_words() {
    for (from, to, words) in [
        ("over = \"6 m\"", "ovr = \"6 m\"", "ovr"),
        ("over = \"6 m\"", "over = \"6 kg\"", "kg"),
        ("over = \"6 m\"", "over = \"6 m\"\nfrom = \"6 m\"", "bounds the length twice"),
        ("anchor_15m", "anker", "“anker” is nothing that a thing counts as"),
        ("count = 1", "count = 0", "how many in one way only"),
        ("count = 1", "count = 1, per_person = true", "how many in one way only"),
        ("[[{ one_of = [\"anchor_15m\"], count = 1 }]]", "[]", "asks for nothing"),
        ("how = \"read\"", "how = \"guessed\"", "guessed"),
        ("about = [\"anchor\"]", "about = []", "is about nothing"),
        ("about = [\"anchor\"]", "about = [\"anker\"]", "anker"),
        ("upto = \"3 nmi\"", "upto = \"3 nmi\"\nover = \"3 nmi\"", "leave no room"),
        ("2026-11-25", "yesterday", "is not a day"),
        ("verdict = \"forbidden\"", "verdict = \"forbidden\"\nzones = \"x\"", "zones"),
        ("gaps = [\"All but the anchor.\"]", "", "gaps"),
        ("cite = \"The harbour's notice\"", "", "cite"),
    ] {
        assert!(GOOD.contains(from), "{from}");
        let error = Authority::read(&GOOD.replacen(from, to, 1)).unwrap_err();
        assert!(error.to_string().contains(words), "{to}: {error}");
    }
    let twice = GOOD.replace("[[discharge]]", "[[requirement]]\nid = \"anchor\"\nsection = \"vessel\"\ntitle = \"A\"\nrule = \"A.\"\nany = [[{ one_of = [\"anchor_15m\"], count = 1 }]]\ncite = \"A\"\nhow = \"read\"\n\n[[discharge]]");
    assert!(Authority::read(&twice).unwrap_err().to_string().contains("given twice"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_text_makes_it_fall_over(at in 0..GOOD.len(), put in "(\\PC|\n){0,4}") {
        let at = (0..=at).rev().find(|at| GOOD.is_char_boundary(*at)).unwrap();
        let _ = Authority::read(&format!("{}{put}{}", &GOOD[..at], &GOOD[at..]));
    }
}
