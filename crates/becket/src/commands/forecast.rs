//! `forecast`: will it last.

use std::fmt::Write as _;

use boat::model::Boat;
use clap::Args;
use endure::forecast::{Band, Sort, StoreForecast};
use endure::words::{self, SURE};
use endure::{Forecast, Voyage};
use serde_json::{Value, json};

use super::plan::{PlanArgs, Planned, reckon_all};
use crate::load::{self, Failure};
use crate::output::{Printed, colour};
use crate::render;

#[derive(Args)]
pub(crate) struct ForecastArgs {
    #[command(flatten)]
    plan: PlanArgs,
    /// Print the plan as text, to be changed and given back with --plan, and reckon nothing.
    #[arg(long, conflicts_with = "json")]
    write_plan: bool,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl ForecastArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.plan.boat)?;
        let planned = self.plan.trip(&boat)?;
        if self.write_plan {
            return Ok(Printed::well(boat::trip::write(&planned.trip)));
        }
        let voyage = planned.voyage(&boat)?;
        let marks = reckon_all(&voyage, self.plan.seed, self.plan.drawings);
        let forecast = Forecast::of(&boat, &voyage, &marks);
        let failed = forecast.stores.iter().any(|store| store.lasts < SURE);
        if self.json {
            return Ok(Printed::json(&to_json(&boat, &planned, &voyage, &forecast), failed));
        }
        Ok(Printed { text: text(&planned, &voyage, &forecast), failed })
    }
}

fn text(planned: &Planned, voyage: &Voyage, forecast: &Forecast) -> String {
    let starts = &planned.trip.starts;
    let mut out = format!("{}\n\n", words::verdict(voyage, forecast, starts));
    let width = forecast.stores.iter().map(|store| store.name.chars().count()).max().unwrap_or(0);
    // Writing to a String can't fail, here and below.
    let _ = writeln!(out, "{:width$}  {:>8}  {:>11}  spent", "store", "holds", "lasts in");
    for store in &forecast.stores {
        let spent = store.usual.filter(|_| store.lasts < SURE).map(|minute| words::moment(starts, minute));
        let _ = writeln!(
            out,
            "{:width$}  {:>5.0} {:<2}  {:>11}  {}",
            store.name,
            store.capacity,
            store.unit,
            words::of_a_hundred(store.lasts),
            spent.map_or_else(String::new, |when| format!("half of those that fail by {when}")),
        );
    }
    for store in &forecast.stores {
        out.push('\n');
        one(&mut out, voyage, store, starts);
    }
    if forecast.overloaded_hours > 0.0 {
        let _ = writeln!(
            out,
            "\nOn shore power, all mains together ask for more than the pedestal gives for {:.1} h: its breaker will trip.",
            forecast.overloaded_hours
        );
    }
    for note in &voyage.notes {
        let _ = write!(out, "\n{}\n", render::terminal(note, &planned.sources, colour()));
    }
    let _ = writeln!(
        out,
        "\n{} ways in which the trip may go were reckoned. Habits, weather and the age of batteries are estimates: \
         watch the gauges, and believe them before this.",
        forecast.drawings
    );
    out
}

fn one(out: &mut String, voyage: &Voyage, store: &StoreForecast, starts: &str) {
    let _ = writeln!(out, "{}", store.name);
    for (hour, minute) in shown_hours(voyage, store) {
        let band = store.hours[hour];
        let volts =
            store.volts.get(hour).map(|band| format!("   gauge {:.1} to {:.1} V", band.low, band.high));
        let _ = writeln!(
            out,
            "  {:<22} {:>3.0} %  ({:.0} to {:.0} %){}",
            words::moment(starts, minute),
            band.middle * 100.0,
            band.low * 100.0,
            band.high * 100.0,
            volts.unwrap_or_default()
        );
    }
    for use_ in store.uses.iter().take(5) {
        let verb = if store.sort == Sort::Waste { "makes" } else { "takes" };
        let _ = writeln!(
            out,
            "  {} {verb} {:.0} % of it ({:.1} {} on the trip).",
            use_.name,
            use_.share * 100.0,
            use_.amount,
            store.unit
        );
    }
}

/// The hours at which people look: 08:00 and 20:00.
fn shown_hours(voyage: &Voyage, store: &StoreForecast) -> Vec<(usize, u32)> {
    (0..store.hours.len())
        .map(|hour| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
            let minute = voyage.minute((hour + 1) * voyage.steps_an_hour()).round() as u32;
            (hour, minute)
        })
        .filter(|(_, minute)| matches!(minute % 1440 / 60, 8 | 20))
        .collect()
}

fn to_json(boat: &Boat, planned: &Planned, voyage: &Voyage, forecast: &Forecast) -> Value {
    let band = |band: &Band| json!({ "low": band.low, "middle": band.middle, "high": band.high });
    let starts = &planned.trip.starts;
    let moment = |minute: u32| json!({ "minute": minute, "words": words::moment(starts, minute) });
    json!({
        "verdict": words::verdict(voyage, forecast, starts),
        "drawings": forecast.drawings,
        "all_last": forecast.all_last,
        "engine_hours": forecast.engine_hours,
        "overloaded_hours": forecast.overloaded_hours,
        "begins": voyage.timeline.begin,
        "stores": forecast.stores.iter().map(|store| json!({
            "ids": store.stores.iter().map(|id| boat.stores[*id].id.as_str()).collect::<Vec<_>>(),
            "name": store.name,
            "capacity": store.capacity,
            "unit": store.unit,
            "limit": store.limit,
            "fills": store.sort == Sort::Waste,
            "lasts": store.lasts,
            "earliest": store.earliest.map(moment),
            "usual": store.usual.map(moment),
            "planned": store.planned.map(moment),
            "worst": band(&store.worst),
            "hours": store.hours.iter().map(band).collect::<Vec<_>>(),
            "volts": store.volts.iter().map(band).collect::<Vec<_>>(),
            "uses": store.uses.iter().map(|one| json!({
                "load": boat.loads[one.load].id, "name": one.name, "amount": one.amount, "share": one.share,
            })).collect::<Vec<_>>(),
            "change_overs": store.change_overs.iter().map(|change| json!({
                "at": moment(change.minute), "from": boat.stores[change.from].id, "to": boat.stores[change.to].id,
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "notes": voyage.notes.iter().map(|note| render::json(note, &planned.sources)).collect::<Vec<_>>(),
    })
}
