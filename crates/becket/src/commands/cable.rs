//! `cable`: what a cable loses, or how thick it must be.

use clap::Args;
use endure::cable::{self, Circuit, Form};
use quantity::{Current, Length, System, Voltage};
use serde_json::{Value, json};

use crate::layout::{self, Side};
use crate::load::Failure;
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct CableArgs {
    /// The current, such as "5 A".
    #[arg(long)]
    current: Current,
    /// The cable's length from the bank to the load, one way, such as "6 m".
    #[arg(long)]
    length: Length,
    /// Its copper, in square millimetres; without it, the sizes are told that keep the loss small.
    #[arg(long, value_name = "MM2")]
    copper: Option<f64>,
    /// The voltage at the bank.
    #[arg(long, default_value = "12 V")]
    bank: Voltage,
    /// The voltage at its own end below which the load cuts out: tells what the bank reads at that moment.
    #[arg(long, value_name = "VOLTAGE", requires = "copper")]
    cuts_out: Option<Voltage>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// What a cable of known copper does, in volts.
struct Loss {
    left: Voltage,
    lost: Voltage,
    /// What the bank reads when the load cuts out.
    bank_at_cut_out: Option<Voltage>,
}

impl CableArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        match self.copper {
            Some(copper) => self.loss(copper),
            None => self.sizes(),
        }
    }

    fn round_trip(&self) -> Length {
        self.length * 2.0
    }

    fn loss(&self, copper: f64) -> Result<Printed, Failure> {
        let (area, way) = (cable::square_millimetres(copper), self.round_trip());
        let left = cable::at_load(self.bank, self.current, way, area).map_err(refused)?;
        let bank_at_cut_out = self
            .cuts_out
            .map(|volts| cable::at_source(volts, self.current, way, area))
            .transpose()
            .map_err(refused)?;
        let loss = Loss { left, lost: self.bank - left, bank_at_cut_out };
        let part = loss.lost / self.bank;
        if self.json {
            return Ok(Printed::json(
                &json!({
                    "at_bank_v": self.bank.as_volts(),
                    "at_load_v": loss.left.as_volts(),
                    "lost_v": loss.lost.as_volts(),
                    "lost_part": part,
                    "bank_at_cut_out_v": loss.bank_at_cut_out.map(Voltage::as_volts),
                    "caution": cable::HEAT_CAUTION,
                }),
                false,
            ));
        }
        let mut out = layout::wrap(
            &format!(
                "The cable takes {}: of {} at the bank {} arrive at the load ({:.1} % less).",
                volts(loss.lost),
                volts(self.bank),
                volts(loss.left),
                part * 100.0
            ),
            "",
        );
        if let (Some(stops), Some(bank)) = (self.cuts_out, loss.bank_at_cut_out) {
            out.push_str(&layout::wrap(
                &format!(
                    "When the load cuts out at {} at its end of the cable, the bank still reads {}. Look for a thin \
                     cable or a bad joint before you blame the bank.",
                    volts(stops),
                    volts(bank)
                ),
                "",
            ));
        }
        out.push_str(&layout::wrap(cable::HEAT_CAUTION, ""));
        Ok(Printed::well(out))
    }

    fn sizes(&self) -> Result<Printed, Failure> {
        let mut rows: Vec<[String; 3]> = Vec::new();
        let mut values: Vec<Value> = Vec::new();
        for (circuit, part, what) in [
            (Circuit::Critical, "3 %", "what must work: navigation lights, radio, bilge pump"),
            (Circuit::Other, "10 %", "what may work a little less well: cabin lights"),
        ] {
            let permitted = circuit.permitted_drop(self.bank);
            let needed = cable::area_needed(Form::CircularMils, self.current, self.round_trip(), permitted)
                .map_err(refused)?;
            let metric = cable::metric_for(needed).map(cable::as_square_millimetres);
            let gauge = cable::gauge_for(needed).map(cable::Gauge::name);
            values.push(json!({
                "permitted_v": permitted.as_volts(),
                "needed_mm2": cable::as_square_millimetres(needed),
                "metric_mm2": metric,
                "awg": gauge,
            }));
            let sizes = match (metric, gauge) {
                (Some(metric), Some(gauge)) => format!("{metric} mm² or AWG {gauge}"),
                (Some(metric), None) => format!("{metric} mm²"),
                (None, Some(gauge)) => format!("AWG {gauge}"),
                (None, None) => "thicker than any size listed".to_owned(),
            };
            rows.push([format!("at most {part}"), sizes, what.to_owned()]);
        }
        if self.json {
            return Ok(Printed::json(&json!({ "sizes": values, "caution": cable::HEAT_CAUTION }), false));
        }
        let mut out = layout::wrap(
            &format!(
                "The copper that {} need over {} ({} there and back) from {} at the bank, to lose:",
                self.current.display(System::Metric),
                self.length.display(System::Metric),
                self.round_trip().display(System::Metric),
                volts(self.bank)
            ),
            "",
        );
        out.push_str(&layout::columns("  ", [Side::Right, Side::Left, Side::Left], &rows));
        out.push_str(&layout::wrap(cable::HEAT_CAUTION, ""));
        Ok(Printed::well(out))
    }
}

/// Volts with two places, as a meter shows them.
fn volts(voltage: Voltage) -> String {
    format!("{:.2} V", voltage.as_volts())
}

#[allow(clippy::needless_pass_by_value, reason = "it is handed to map_err")]
fn refused(fault: cable::Fault) -> Failure {
    Failure(fault.to_string())
}
