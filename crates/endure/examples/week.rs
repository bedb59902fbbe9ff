//! A usual week of a boat, as tables on the terminal.
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "an example prints, and reads a file")]

use endure::{Forecast, Voyage, plan, reckon, words};

fn main() -> Result<(), String> {
    let path = std::env::args().nth(1).ok_or("usage: week BOAT")?;
    let text = std::fs::read_to_string(&path).map_err(|error| error.to_string())?;
    let compiled = boat::compile(&path, &text);
    let boat = compiled.boat.ok_or("the boat file has errors")?;
    let first = "2027-07-10".parse().map_err(|_| "no such day")?;
    let trip = plan::usual(&boat, &plan::Wish::week(4, first));
    let voyage = Voyage::new(&boat, &trip).map_err(|faults| format!("{faults:?}"))?;
    for note in &voyage.notes {
        println!("note: {}", note.headline);
    }
    let begun = std::time::Instant::now();
    let marks = reckon(&voyage, 1, 0..500);
    println!("{} steps, 500 drawings in {:?}", voyage.steps, begun.elapsed());
    let forecast = Forecast::of(&boat, &voyage, &marks);
    println!("{}", words::verdict(&voyage, &forecast, &trip.starts));
    for store in &forecast.stores {
        println!(
            "\n{} ({} {}): lasts {:.3}, planned {:?}, worst {:?}",
            store.name,
            store.capacity,
            store.unit,
            store.lasts,
            store.planned.map(|minute| words::moment(&trip.starts, minute)),
            store.worst
        );
        for one in &store.uses {
            println!("  {:<40} {:>8.1} {} {:>5.1} %", one.name, one.amount, store.unit, one.share * 100.0);
        }
        let line: Vec<String> =
            store.hours.iter().step_by(12).map(|band| format!("{:.2}", band.middle)).collect();
        println!("  {}", line.join(" "));
        if !store.volts.is_empty() {
            let line: Vec<String> =
                store.volts.iter().step_by(12).map(|band| format!("{:.2}", band.middle)).collect();
            println!("  {}", line.join(" "));
        }
    }
    Ok(())
}
