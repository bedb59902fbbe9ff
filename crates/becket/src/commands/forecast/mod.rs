//! `forecast`: will it last.

mod json;
mod readings;
mod text;

use boat::model::Boat;
use clap::Args;
use endure::forecast::StoreForecast;
use endure::marks::Marks;
use endure::meter::{self, Checked};
use endure::words::SURE;
use endure::{Forecast, Voyage};

use super::plan::{PlanArgs, Planned, reckon_all};
use crate::load::{self, Failure};
use crate::output::Printed;

/// How many ways are reckoned if nobody says.
const DRAWINGS: u64 = 500;

#[derive(Args)]
pub(crate) struct ForecastArgs {
    #[command(flatten)]
    plan: PlanArgs,
    /// Print the plan as text, to be changed and given back with --plan, and reckon nothing.
    #[arg(long, conflicts_with = "json")]
    write_plan: bool,
    /// Print morning and evening of every store, not only of those that may run short.
    #[arg(long)]
    all: bool,
    /// Print JSON, with every hour of every store.
    #[arg(long)]
    json: bool,
}

/// All that was reckoned of a trip.
pub(crate) struct Reckoned<'a> {
    pub(crate) boat: &'a Boat,
    pub(crate) planned: &'a Planned,
    pub(crate) voyage: &'a Voyage,
    pub(crate) forecast: &'a Forecast,
    /// What the plan's readings say, if it has any; `forecast` is then the one that they correct.
    pub(crate) checked: Option<&'a Checked>,
}

impl ForecastArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.plan.boat)?;
        let planned = self.plan.trip(&boat)?;
        if self.write_plan {
            return Ok(Printed::well(boat::trip::write(&planned.trip)));
        }
        let voyage = planned.voyage(&boat)?;
        let marks = reckon_all(&voyage, self.plan.seed, self.plan.drawings(DRAWINGS));
        let checked = check(&boat, &voyage, self.plan.seed, &marks);
        let forecast = match &checked {
            Some(checked) => checked.forecast.clone(),
            None => Forecast::of(&boat, &voyage, &marks),
        };
        let reckoned = Reckoned {
            boat: &boat,
            planned: &planned,
            voyage: &voyage,
            forecast: &forecast,
            checked: checked.as_ref(),
        };
        let failed = forecast.stores.iter().any(is_short);
        if self.json {
            return Ok(Printed::json(&json::of(&reckoned), failed));
        }
        Ok(Printed { text: text::of(&reckoned, self.all), failed })
    }
}

/// What the plan's readings say, if it has any.
fn check(boat: &Boat, voyage: &Voyage, seed: u64, marks: &[Marks]) -> Option<Checked> {
    (!voyage.readings.is_empty()).then(|| meter::check_marks(boat, voyage, seed, marks))
}

/// Whether a store can't be counted on.
pub(crate) fn is_short(store: &StoreForecast) -> bool {
    store.lasts < SURE
}
