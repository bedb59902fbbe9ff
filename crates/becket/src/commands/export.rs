//! `export`: a boat in another form.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use operate::{Model, Part};

use super::run;
use super::way::Hands;
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct Export {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// The form.
    #[arg(value_enum)]
    form: Form,
    /// For pddl: what is wanted, such as "engine is running".
    #[arg(long, required_if_eq("form", "pddl"))]
    goal: Option<String>,
    /// For pddl: how she stands where not at rest; may be repeated.
    #[arg(long = "with", value_name = "X IS Y")]
    with: Vec<String>,
    /// For pddl: whose hands do it.
    #[arg(long = "as", value_enum, default_value = "crew")]
    hands: Hands,
    /// For pddl: how many controls and states may move, those nearest to the goal first; the others stay as they
    /// stand at the start. Planners that may not trust their estimates need few.
    #[arg(long, default_value_t = usize::MAX, hide_default_value = true)]
    most: usize,
    /// For pddl: the folder that gets domain.pddl and problem.pddl.
    #[arg(long, default_value = ".")]
    folder: PathBuf,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// A planning problem in PDDL, for general planners.
    Pddl,
    /// The boat file with every class written out.
    BoatFile,
}

impl Export {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        if self.form == Form::BoatFile {
            return Ok(Printed::well(boat::write(&boat)));
        }
        let goal = self.goal.unwrap_or_default();
        let goal = boat.read_fact(&goal)?;
        let model = Model::new(&boat);
        let from = run::stand(&boat, &self.with)?;
        let part = Part::near(&model, &from, &goal, self.hands.who(), self.most, []);
        for (name, text) in [("domain.pddl", part.domain()), ("problem.pddl", part.problem())] {
            let file = self.folder.join(name);
            std::fs::write(&file, text)
                .map_err(|error| Failure(format!("{} can't be written: {error}.", file.display())))?;
        }
        Ok(Printed::well(format!(
            "{} and {} written: {} controls and states, {} actions.\n",
            self.folder.join("domain.pddl").display(),
            self.folder.join("problem.pddl").display(),
            part.variables(),
            part.operators(),
        )))
    }
}
