//! `demo` and `serve`: the pages of a base in the browser.

use std::net::{SocketAddr, TcpListener};
use std::path::PathBuf;

use clap::Args;
use jiff::tz::TimeZone;
use server::{Opening, Past};
use store::Address;

use crate::demo;
use crate::load::{self, Failure};
use crate::output::Printed;

/// Where to listen.
#[derive(Args)]
struct Listen {
    /// Address and port to listen at; port 0 takes any free one.
    #[arg(long, default_value_t = server::DEFAULT_LISTEN)]
    listen: SocketAddr,
}

#[derive(Args)]
pub(crate) struct Demo {
    /// A file to keep what is written down in; without it, all is forgotten when the demonstration ends.
    #[arg(long, value_name = "FILE")]
    keep: Option<PathBuf>,
    #[command(flatten)]
    listen: Listen,
}

#[derive(Args)]
pub(crate) struct Serve {
    /// Boat files, for boats that the base does not have yet.
    files: Vec<String>,
    /// Where everything is kept: a file, or the address of a PostgreSQL database (postgres://...).
    #[arg(long, default_value = "becket.db", value_name = "PLACE")]
    keep: String,
    /// The address at which phones and computers reach it, such as https://boats.example: links for crews begin with it.
    /// Without it, the address at which it listens.
    #[arg(long, value_name = "ADDRESS")]
    at: Option<String>,
    /// The name of the base.
    #[arg(long, default_value = "Our base")]
    base: String,
    /// The clocks of the base, by their name in the time zone database.
    #[arg(long, default_value = "UTC", value_name = "ZONE")]
    zone: String,
    #[command(flatten)]
    listen: Listen,
}

impl Demo {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        if !self.listen.listen.ip().is_loopback() {
            return Err(Failure(format!(
                "A demonstration lets everybody in, so it listens on this computer only, not at {}. For a base of your \
                 own, use: becket serve",
                self.listen.listen
            )));
        }
        let files: Vec<(String, String)> =
            demo::BOATS.iter().map(|boat| (format!("{}.toml", boat.id), boat.text.to_owned())).collect();
        println!("The demo base {}: an invented base with invented boats, for looking around.", demo::BASE);
        let place = self.keep.map_or_else(Address::memory, Address::file);
        let zone = zone(demo::ZONE)?;
        let base = demo::BASE.to_owned();
        let past = demo::past(&files, &zone);
        let at = String::new();
        listen(Opening { base, demo: true, zone, at, place, files, past }, self.listen.listen)
    }
}

impl Serve {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let files = self.files.iter().map(|file| load::text(file)).collect::<Result<Vec<_>, _>>()?;
        let place = Address::read(&self.keep).map_err(|error| Failure(error.to_string()))?;
        let zone = zone(&self.zone)?;
        let past = Past::default();
        let at = self.at.unwrap_or_default();
        listen(Opening { base: self.base, demo: false, zone, at, place, files, past }, self.listen.listen)
    }
}

fn zone(name: &str) -> Result<TimeZone, Failure> {
    TimeZone::get(name).map_err(|_| {
        Failure(format!("There is no time zone “{name}”. Give a name such as America/New_York with --zone."))
    })
}

fn listen(opening: Opening, at: SocketAddr) -> Result<Printed, Failure> {
    let failed = |error| {
        Failure(format!(
            "Can't listen at {at}: {error}. Give another address with --listen, such as 127.0.0.1:0."
        ))
    };
    let listener = match TcpListener::bind(at) {
        // The usual port is taken, and the person did not ask for it: any free one will do.
        Err(error) if error.kind() == std::io::ErrorKind::AddrInUse && at == server::DEFAULT_LISTEN => {
            TcpListener::bind(SocketAddr::new(at.ip(), 0))
        }
        bound => bound,
    };
    let listener = listener.map_err(failed)?;
    let mut opening = opening;
    if opening.at.is_empty() {
        opening.at = format!("http://{}", listener.local_addr().map_err(failed)?);
    }
    println!("Reading and proving the boats ...");
    let ready = |address: SocketAddr, begin: Option<String>| {
        if let Some(begin) = begin {
            println!(
                "Nobody can sign in yet. The first manager opens this address, which holds until Becket stops:"
            );
            println!("  {begin}");
        }
        println!("Open http://{address}/ in a browser. Stop with Ctrl-C.");
    };
    server::serve(opening, listener, ready).map_err(|failure| Failure(failure.to_string()))?;
    Ok(Printed::well("Stopped.\n"))
}
