//! The boats that a command is about.

use std::path::Path;

use boat::model::Boat;

use crate::load::{self, Failure};

/// A boat as it was asked for.
pub(crate) struct Given {
    /// What was typed.
    pub(crate) argument: String,
    /// The name of her file without its ending, or of the demo boat.
    pub(crate) stem: String,
    pub(crate) boat: Boat,
}

impl Given {
    /// Whether records may mean her by this name.
    pub(crate) fn is_called(&self, name: &str) -> bool {
        let same = |other: &str| other.to_lowercase() == name.to_lowercase();
        same(&self.stem) || same(&self.boat.particulars.name)
    }
}

/// Reads the boats, each under a name of its own.
pub(crate) fn load(arguments: &[String]) -> Result<Vec<Given>, Failure> {
    let mut boats: Vec<Given> = Vec::new();
    for argument in arguments {
        let stem =
            Path::new(argument).file_stem().map_or(argument.as_str().into(), |stem| stem.to_string_lossy());
        let given =
            Given { argument: argument.clone(), stem: stem.into_owned(), boat: load::boat(argument)? };
        let name = &given.boat.particulars.name;
        if let Some(other) = boats.iter().find(|other| other.is_called(name) || other.is_called(&given.stem))
        {
            return Err(Failure(format!(
                "{} and {argument} go by one name, so that nobody could tell their records apart. Give each boat once; \
                 if they are two boats, change the name of one.",
                other.argument
            )));
        }
        boats.push(given);
    }
    Ok(boats)
}

/// The boats alone, in the same order.
pub(crate) fn boats(given: &[Given]) -> Vec<&Boat> {
    given.iter().map(|given| &given.boat).collect()
}
