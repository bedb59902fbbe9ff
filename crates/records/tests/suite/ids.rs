//! Names of events, hashes and times as texts.

use proptest::prelude::*;
use records::{ContentHash, EventId, Local, Moment, Month};

/// RFC 9562, appendix A.6 (from memory): the time is 2022-02-22 14:22:22 at UTC-5, 1645557742000 ms.
const OF_THE_RFC: &str = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";

#[test]
fn the_example_of_the_standard() {
    let id: EventId = OF_THE_RFC.parse().unwrap();
    assert_eq!(id.to_string(), OF_THE_RFC);
    assert_eq!(OF_THE_RFC.to_uppercase().parse(), Ok(id));
    assert_eq!(id.made(), Some(Moment::from_milliseconds(1_645_557_742_000)));
    let tail = 0xcc3 << 62 | 0x18c4_dc0c_0c07_398f;
    assert_eq!(EventId::version_7(Moment::from_milliseconds(1_645_557_742_000), tail), id);
}

#[test]
fn only_version_7_tells_its_time() {
    // RFC 9562, appendix A.3 (from memory): version 4.
    let id: EventId = "919108f7-52d1-4320-9bac-f847db4148a8".parse().unwrap();
    assert_eq!(id.made(), None);
    assert_eq!(EventId::from_bits(0).made(), None);
}

#[test]
fn what_is_no_name() {
    for text in [
        "",
        "017f22e279b07cc398c4dc0c0c07398f",
        "017f22e2-79b0-7cc3-98c4-dc0c0c07398",
        "017f22e2-79b0-7cc3-98c4-dc0c0c07398g",
        "+17f22e2-79b0-7cc3-98c4-dc0c0c07398f",
        "017f22e2-79b0-7cc3-98c4dc0c-0c07398f",
        "{017f22e2-79b0-7cc3-98c4-dc0c0c07398f}",
    ] {
        assert!(text.parse::<EventId>().is_err(), "{text}");
    }
}

#[test]
fn local_times() {
    // Worked by hand: 16:00 four hours behind UTC is 20:00 UTC; 2026-06-06 is 20610 days after 1970-01-01.
    let local: Local = "2026-06-06T16:00:00-04:00".parse().unwrap();
    assert_eq!(local.moment().milliseconds(), (20_610 * 24 + 20) * 3_600_000);
    assert_eq!(local.to_string(), "2026-06-06T16:00:00-04:00");
    assert_eq!(local.date().to_string(), "2026-06-06");
    assert_eq!(local.offset().to_string(), "-4 h");
    let late: Local = "2026-06-30T22:30:00-04:00".parse().unwrap();
    assert_eq!(late.date().to_string(), "2026-06-30", "the date on its own clocks, not July in UTC");
    let month = late.moment().date(late.offset()).map(Month::of).unwrap();
    assert_eq!(month.to_string(), "2026-06");
    for text in ["2026-06-06T16:00:00", "2026-06-06", "16:00-04:00", "2026-13-06T16:00:00-04:00", ""] {
        assert!(text.parse::<Local>().is_err(), "{text}");
    }
}

proptest! {
    #[test]
    fn every_name_reads_back(bits: u128) {
        let id = EventId::from_bits(bits);
        prop_assert_eq!(id.to_string().parse::<EventId>(), Ok(id));
    }

    #[test]
    fn names_of_later_clocks_are_greater(one in 0..1_i64 << 47, other in 0..1_i64 << 47, tails: (u64, u64)) {
        let make = |at, tail: u64| EventId::version_7(Moment::from_milliseconds(at), u128::from(tail));
        let (first, second) = (make(one, tails.0), make(other, tails.1));
        prop_assume!(one != other);
        prop_assert_eq!(first < second, one < other);
        prop_assert_eq!(first.made(), Some(Moment::from_milliseconds(one)));
    }

    #[test]
    fn every_hash_reads_back(bytes: [u8; 32]) {
        let hash = ContentHash::new(bytes);
        let json = serde_json::to_string(&hash).unwrap();
        prop_assert_eq!(serde_json::from_str::<ContentHash>(&json).unwrap(), hash);
    }
}
