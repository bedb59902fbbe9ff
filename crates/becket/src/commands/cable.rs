//! `cable`: what a cable loses.

use clap::Args;
use endure::cable;
use quantity::{Area, Current, Length, System, Voltage};

use crate::load::Failure;
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct CableArgs {
    /// The current.
    #[arg(long)]
    current: Current,
    /// The cable's length from the bank to the load, one way.
    #[arg(long)]
    length: Length,
    /// Its copper, in square millimetres.
    #[arg(long, value_name = "MM2")]
    copper: f64,
    /// The voltage at the bank.
    #[arg(long, default_value = "12 V")]
    bank: Voltage,
}

impl CableArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let area = Area::square_metres(self.copper * 1e-6);
        let left = cable::at_load(self.bank, self.current, self.length * 2.0, area)
            .map_err(|error| Failure(error.to_string()))?;
        let lost = self.bank - left;
        Ok(Printed::well(format!(
            "{} at the bank, {} at the load: the cable takes {} ({:.1} %).\n{}\n",
            self.bank.display(System::Metric),
            left.display(System::Metric),
            lost.display(System::Metric),
            lost / self.bank * 100.0,
            cable::HEAT_CAUTION,
        )))
    }
}
