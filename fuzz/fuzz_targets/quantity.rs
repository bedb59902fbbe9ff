//! Any text as a quantity: it is read, and printed it reads back as exactly the same; or it is refused with a span
//! inside the text.

#![no_main]

use libfuzzer_sys::fuzz_target;
use quantity::{Money, Quantity, System};

fuzz_target!(|text: &str| {
    match Quantity::parse(text) {
        Ok(found) => {
            let printed = found.to_string();
            assert_eq!(Quantity::parse(&printed).ok(), Some(found), "{printed}");
            assert!(
                !found.display(System::UsCustomary).is_empty() && !found.display(System::Metric).is_empty()
            );
        }
        Err(error) => {
            let span = error.span();
            assert!(text.get(span.start..span.end).is_some(), "{error:?}");
            assert!(!error.headline().is_empty());
        }
    }
    if let Ok(money) = Money::parse(text) {
        assert_eq!(Money::parse(&money.to_string()).ok(), Some(money));
    }
});
