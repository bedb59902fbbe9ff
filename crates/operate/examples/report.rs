//! Proves the boat files named on the command line and prints what is found, the worst slips, and how long it took:
//! `cargo run --release -p operate --example report -- whimbrel.toml`.
#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "an example stands at the rim: it reads files, prints and takes the time"
)]

use std::time::Instant;

use operate::{Model, Use};

fn main() {
    let text: String = std::env::args()
        .skip(1)
        .map(|path| std::fs::read_to_string(path).expect("the file can be read"))
        .collect();
    let begun = Instant::now();
    let compiled = boat::compile("boat.toml", &text);
    println!("compiled in {:?}", begun.elapsed());
    for diagnostic in &compiled.diagnostics {
        println!("{}", diagnostic.plain(&compiled.sources));
    }
    let Some(boat) = compiled.boat else { return };
    let begun = Instant::now();
    let model = Model::new(&boat);
    println!("model in {:?}", begun.elapsed());
    let begun = Instant::now();
    let proof = operate::prove(&model);
    println!("proved in {:?}", begun.elapsed());
    for finding in &proof.findings {
        println!("{}", finding.plain(boat.sources()));
    }
    for one in &proof.procedures {
        println!("{}: {one:?}", boat.procedures[one.procedure].id);
    }
    let begun = Instant::now();
    let slips = operate::all_slips(&model, Use::Read);
    println!(
        "{} slips, {} ends, {} told, in {:?}",
        slips.played,
        slips.ends,
        slips.slips.len(),
        begun.elapsed()
    );
    let mut backs = std::collections::BTreeMap::new();
    for slip in &slips.slips {
        let key = match &slip.back {
            operate::Back::ToPromised(steps) => format!("back in {:02} steps", steps.len()),
            operate::Back::ToRest(steps) => format!("to rest in {:02} steps", steps.len()),
            other => format!("{other:?}"),
        };
        *backs.entry(key).or_insert(0) += 1;
    }
    println!("{backs:?}");
    let lost =
        |slip: &&operate::Slip| !matches!(slip.back, operate::Back::ToPromised(_) | operate::Back::NotNeeded);
    for slip in slips.slips.iter().filter(lost) {
        println!(
            "no way back: {} step {} {:?} {:?} {:?} left {:?}",
            boat.procedures[slip.procedure].id,
            slip.step + 1,
            slip.kind,
            slip.class,
            slip.back,
            slip.left
                .iter()
                .map(|(var, is, _)| boat.assign_text(&boat::model::Assign { var: *var, value: *is }))
                .collect::<Vec<_>>()
        );
    }
    for slip in slips.slips.iter().take(60) {
        println!(
            "{:.1e} {:?} {} step {} {:?} x{}: {:?} threat {:?} left {:?} noticed {:?} world {:?}",
            slip.risk,
            slip.class,
            boat.procedures[slip.procedure].id,
            slip.step + 1,
            slip.kind,
            slip.count,
            slip.what,
            slip.threat,
            slip.left
                .iter()
                .map(|(var, is, _)| boat.assign_text(&boat::model::Assign { var: *var, value: *is }))
                .collect::<Vec<_>>(),
            slip.noticed,
            slip.world,
        );
    }
}
