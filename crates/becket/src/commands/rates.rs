//! `rates`: how often things fail, learned from records.

use boat::model::Fault;
use clap::Args;
use serde_json::{Value, json};
use trace::fleet::{Kind, Learned, Unit, kinds};

use super::wrong::number;
use crate::fleet::{self, Given};
use crate::layout::{self, Side};
use crate::load::Failure;
use crate::output::Printed;
use crate::seen::Records;

/// Names of faults are set in a column this wide.
const NAME: usize = 32;

#[derive(Args)]
pub(crate) struct RatesArgs {
    /// Boat files, or names of demo boats: the boats of one fleet. Faults of one class learn from each other.
    #[arg(required = true)]
    boats: Vec<String>,
    /// What was seen: a CSV file whose first line is "boat,fault,failures,years". A boat goes by her name or that of her
    /// file, a fault by its id in her file, years are charter years; lines of one fault add up. Left out, the faults of
    /// the boats are listed with the rates of their files.
    #[arg(long, value_name = "FILE")]
    seen: Option<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// A row of the table: one fault of one boat.
struct Row<'a> {
    boat: &'a Given,
    fault: &'a Fault,
    unit: &'a Unit,
    /// How many others of its kind it learned from.
    others: usize,
    learned: Learned,
}

impl RatesArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boats = fleet::load(&self.boats)?;
        let Some(file) = &self.seen else { return Ok(self.listed(&boats)) };
        let records = Records::read(file, &boats)?;
        let seen = |boat, fault| records.lines.iter().any(|line| line.boat == boat && line.fault == fault);
        let kinds = kinds(&fleet::boats(&boats), &records.lines, seen);
        let mut rows = rows(&boats, &kinds);
        rows.sort_by_key(|row| (row.unit.boat, row.unit.fault));
        let failed = records.failed();
        if self.json {
            let value = json!({
                "rates": rows.iter().map(to_json).collect::<Vec<_>>(),
                "records": records.json(),
            });
            return Ok(Printed::json(&value, failed));
        }
        Ok(Printed { text: records.text() + &text(&boats, &rows), failed })
    }

    /// All faults with the rates that the boat files give, by the ids that records need.
    fn listed(&self, boats: &[Given]) -> Printed {
        if self.json {
            let of = |given: &Given| {
                let faults = given.boat.faults.iter().map(|fault| {
                    json!({
                        "boat": given.boat.particulars.name, "fault": fault.id, "name": fault.name,
                        "file": { "per_year": fault.per_year, "weight": fault.weight },
                    })
                });
                faults.collect::<Vec<_>>()
            };
            let rates: Vec<Value> = boats.iter().flat_map(of).collect();
            return Printed::json(&json!({ "rates": rates, "records": [] }), false);
        }
        let mut out = String::new();
        for given in boats {
            out.push_str(&given.boat.particulars.name);
            out.push_str(": failures a charter year by her file\n");
            let rows: Vec<[String; 3]> = given
                .boat
                .faults
                .iter()
                .map(|fault| [number(fault.per_year), fault.id.clone(), fault.name.clone()])
                .collect();
            if rows.is_empty() {
                out.push_str("  The boat file lists no faults.\n");
            }
            out.push_str(&named(&rows));
            out.push('\n');
        }
        out.push_str(&layout::wrap(
            "With --seen FILE they are learned from what was seen; its first line is \"boat,fault,failures,years\".",
            "",
        ));
        Printed::well(out)
    }
}

/// Rate and id in columns, the name behind them, wrapped.
fn named(rows: &[[String; 3]]) -> String {
    let wide = rows.iter().map(|row| row[1].chars().count()).max().unwrap_or(0);
    let indent = " ".repeat(2 + 6 + 2 + wide + 2);
    rows.iter()
        .map(|[rate, id, name]| layout::hang(name, &format!("  {rate:>6}  {id:wide$}  "), &indent))
        .collect()
}

fn rows<'a>(boats: &'a [Given], kinds: &'a [Kind]) -> Vec<Row<'a>> {
    let of = |kind: &'a Kind| {
        let row = |(at, unit): (usize, &'a Unit)| Row {
            boat: &boats[unit.boat],
            fault: &boats[unit.boat].boat.faults[unit.fault],
            unit,
            others: kind.units.len() - 1,
            learned: kind.learned(at),
        };
        kind.units.iter().enumerate().map(row).collect::<Vec<_>>()
    };
    kinds.iter().flat_map(of).collect()
}

fn text(boats: &[Given], rows: &[Row<'_>]) -> String {
    let mut out = String::new();
    for (at, given) in boats.iter().enumerate() {
        out.push_str(&given.boat.particulars.name);
        out.push_str(": failures a charter year\n");
        let hers: Vec<&Row<'_>> = rows.iter().filter(|row| row.unit.boat == at).collect();
        if hers.is_empty() {
            out.push_str("  Nothing was seen of her faults, so that her file's rates stand.\n\n");
            continue;
        }
        let head = ["fault", "her file (weight)", "seen", "learned", "nine in ten"].map(str::to_owned);
        let mut cells = vec![head];
        cells.extend(hers.iter().flat_map(|row| lines(row)));
        out.push_str(&layout::columns(
            "  ",
            [Side::Left, Side::Right, Side::Right, Side::Right, Side::Right],
            &cells,
        ));
        out.push('\n');
    }
    for note in [
        "The weight is how many failures seen the file's rate is worth. The true rate is between the last two figures in \
         nine cases of ten, if boats are as alike as is assumed.",
        "A fault that was not seen aboard (-) is learned from those of its class elsewhere; with +2 after the weight it \
         learned together with two others. Faults of one class learn together if their files give them the same rate.",
        "A charter year is 20 weeks of charter.",
    ] {
        out.push_str(&layout::wrap(note, ""));
    }
    out
}

/// Without the digits that adding up leaves.
fn plain(years: f64) -> String {
    format!("{years:.3}").trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A row of the table, its name over as many lines as it takes.
fn lines(row: &Row<'_>) -> Vec<[String; 5]> {
    let others = if row.others > 0 { format!(" +{}", row.others) } else { String::new() };
    let unit = row.unit;
    let seen =
        if unit.years > 0.0 { format!("{} in {}", unit.failures, plain(unit.years)) } else { "-".to_owned() };
    let figures = [
        format!("{} ({}){others}", number(row.fault.per_year), row.fault.weight),
        seen,
        number(row.learned.mean),
        format!("{} to {}", number(row.learned.low), number(row.learned.high)),
    ];
    let name = format!("{} ({})", row.fault.name, row.fault.id);
    layout::folded(&name, NAME)
        .into_iter()
        .enumerate()
        .map(|(at, part)| {
            let [file, seen, learned, range] = if at == 0 { figures.clone() } else { Default::default() };
            let part = if at == 0 { part } else { format!("  {part}") };
            [part, file, seen, learned, range]
        })
        .collect()
}

fn to_json(row: &Row<'_>) -> Value {
    json!({
        "boat": row.boat.boat.particulars.name,
        "fault": row.fault.id,
        "name": row.fault.name,
        "file": { "per_year": row.fault.per_year, "weight": row.fault.weight },
        "seen": { "failures": row.unit.failures, "years": row.unit.years },
        "others": row.others,
        "learned": { "per_year": row.learned.mean, "low": row.learned.low, "high": row.learned.high },
    })
}
