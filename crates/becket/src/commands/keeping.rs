//! `backup`, `restore` and `invite`: what is done to a base's store from the command line.

use std::path::PathBuf;

use clap::Args;
use server::keeping;
use store::{Address, Backup as Form};

use crate::load::Failure;
use crate::output::Printed;

/// Where the store is.
#[derive(Args)]
struct Keep {
    /// Where everything is kept: a file, or the address of a PostgreSQL database (postgres://...).
    #[arg(long, default_value = "becket.db", value_name = "PLACE")]
    keep: String,
}

impl Keep {
    fn address(&self) -> Result<Address, Failure> {
        Address::read(&self.keep).map_err(|error| Failure(error.to_string()))
    }
}

#[derive(Args)]
pub(crate) struct Backup {
    /// The file to write; it must not be there yet.
    to: PathBuf,
    /// Write lines of JSON, which both databases take, in place of a copy of the database file.
    #[arg(long)]
    portable: bool,
    #[command(flatten)]
    keep: Keep,
}

#[derive(Args)]
pub(crate) struct Restore {
    /// The backup.
    from: PathBuf,
    #[command(flatten)]
    keep: Keep,
}

#[derive(Args)]
pub(crate) struct Invite {
    /// The name that they sign in with; a manager is made if there is nobody of that name.
    name: String,
    /// The address at which the base is reached.
    #[arg(long, default_value = "http://127.0.0.1:8420", value_name = "ADDRESS")]
    at: String,
    #[command(flatten)]
    keep: Keep,
}

impl Backup {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let form = keeping::backup(&self.keep.address()?, &self.to, self.portable).map_err(failed)?;
        let what = match form {
            Form::File => "a copy of the database file",
            Form::Portable => "lines of JSON",
        };
        Ok(Printed::well(format!(
            "Backed up to {}: {what}. It holds names and password hashes: keep it where only you can read it.\n",
            self.to.display()
        )))
    }
}

impl Restore {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let events = keeping::restore(&self.keep.address()?, &self.from).map_err(failed)?;
        Ok(Printed::well(format!("Brought back from {}, with {events} events.\n", self.from.display())))
    }
}

impl Invite {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
        let now = i64::try_from(since.as_millis()).unwrap_or_default();
        let now = jiff::Timestamp::from_millisecond(now).unwrap_or(jiff::Timestamp::UNIX_EPOCH);
        let tail = keeping::invite(&self.keep.address()?, self.name.trim(), now).map_err(failed)?;
        let at = self.at.trim_end_matches('/');
        Ok(Printed::well(format!(
            "{} chooses a new password at this address, once, within three days:\n  {at}{tail}\n",
            self.name
        )))
    }
}

#[allow(clippy::needless_pass_by_value, reason = "it stands where an error is mapped")]
fn failed(failure: server::Failure) -> Failure {
    Failure(failure.to_string())
}
