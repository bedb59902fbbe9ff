//! `demo` and `serve`: the pages of a base in the browser.

use std::net::{SocketAddr, TcpListener};

use clap::Args;
use pages::Site;
use server::Base;

use crate::demo;
use crate::load::{self, Failure};
use crate::output::Printed;

/// Where to listen.
#[derive(Args)]
struct Listen {
    /// Address and port to listen at; port 0 takes any free one. There are no accounts yet: stay on this computer
    /// unless everybody on the network may read.
    #[arg(long, default_value_t = server::DEFAULT_LISTEN)]
    listen: SocketAddr,
}

#[derive(Args)]
pub(crate) struct Demo {
    #[command(flatten)]
    listen: Listen,
}

#[derive(Args)]
pub(crate) struct Serve {
    /// The boat files.
    #[arg(required = true)]
    files: Vec<String>,
    /// The name of the base.
    #[arg(long, default_value = "Our base")]
    base: String,
    #[command(flatten)]
    listen: Listen,
}

impl Demo {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let files: Vec<(String, String)> =
            demo::BOATS.iter().map(|boat| (format!("{}.toml", boat.id), boat.text.to_owned())).collect();
        let site = Site { base: demo::BASE.to_owned(), demo: true };
        println!("The demo base {}: an invented base with invented boats, for looking around.", demo::BASE);
        listen(site, &files, self.listen.listen)
    }
}

impl Serve {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let files = self.files.iter().map(|file| load::text(file)).collect::<Result<Vec<_>, _>>()?;
        listen(Site { base: self.base, demo: false }, &files, self.listen.listen)
    }
}

fn listen(site: Site, files: &[(String, String)], at: SocketAddr) -> Result<Printed, Failure> {
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
    println!("Reading and proving {} boats ...", files.len());
    let ready = |address: SocketAddr| {
        println!("Open http://{address}/ in a browser. Stop with Ctrl-C.");
    };
    server::serve(Base::read(site, files), listener, ready).map_err(failed)?;
    Ok(Printed::well("Stopped.\n"))
}
