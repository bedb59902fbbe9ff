//! How large a store becomes: `cargo run --release -p store --example size -- 25` makes that many boats with ten years
//! of 20,000 events each, in a file of the temporary folder, and says what a boat takes. The file grows in step with
//! the events, so a few boats say what five hundred take.
#![allow(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "it takes an argument and prints figures"
)]

use std::time::Instant;

use jiff::{SignedDuration, Timestamp};
use store::{Address, Event, Options, Store, StoreError};

const TEN_YEARS: u64 = 20_000;

#[tokio::main]
async fn main() -> Result<(), StoreError> {
    let boats: u64 = std::env::args().nth(1).and_then(|word| word.parse().ok()).unwrap_or(5);
    let folder = std::env::temp_dir().join(format!("becket-size-{}", std::process::id()));
    std::fs::create_dir_all(&folder).map_err(|error| StoreError::File {
        path: folder.display().to_string(),
        detail: error.to_string(),
    })?;
    let path = folder.join("becket.db");
    let store = Store::open(&Address::file(&path), &Options::default()).await?;
    let begun = Instant::now();
    // As it happens: the boats' events are received mixed, week by week.
    for from in (0..TEN_YEARS).step_by(40) {
        for boat in 0..boats {
            let events: Vec<Event> =
                (from..from + 40).map(|number| event(boat, number)).collect::<Result<_, _>>()?;
            store.append(&events, Timestamp::UNIX_EPOCH).await?;
        }
    }
    let seconds = begun.elapsed().as_secs_f64();
    store.close().await;
    let bytes = std::fs::metadata(&path).map_or(0, |file| file.len());
    let events = boats * TEN_YEARS;
    println!("{boats} boats, {events} events in batches of 40: {seconds:.1} s, {bytes} bytes");
    println!(
        "{} bytes an event; 500 boats: {:.2} GB",
        bytes / events,
        bytes as f64 / boats as f64 * 500.0 / 1e9
    );
    let _ = std::fs::remove_dir_all(folder);
    Ok(())
}

fn event(boat: u64, number: u64) -> Result<Event, StoreError> {
    let minutes = i64::try_from(number * 252).unwrap_or(0);
    Ok(Event {
        id: format!("{:08x}-{:04x}-7000-8{boat:03x}-{number:012x}", number >> 8, boat).parse()?,
        at: Timestamp::UNIX_EPOCH + SignedDuration::from_mins(minutes),
        who: "0197f000-0000-7000-8000-000000000001".into(),
        device: "0197f000-0000-7000-8000-000000000002".into(),
        boat: format!("boat-{boat:03}"),
        charter: Some(format!("charter-{boat:03}-{}", number / 60)),
        answers: None,
        body: format!(
            r#"{{"kind":"reading","gauge":"house_bank_voltage","value":"12.{} V","place":"chart_table","step":"check_out_{}","note":"engine off, fridge on"}}"#,
            number % 100,
            number % 37
        ),
    })
}
