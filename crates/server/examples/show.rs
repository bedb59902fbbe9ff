//! Serves boat files for looking at the pages: `cargo run -p server --example show -- 127.0.0.1:8420 demo/*.toml`.
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "an example at the rim")]

use std::error::Error;

use jiff::tz::TimeZone;
use server::{Opening, Past, serve};
use store::Address;

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1);
    let listen = args.next().ok_or("Say where to listen, such as 127.0.0.1:8420.")?.parse()?;
    let listener = std::net::TcpListener::bind::<std::net::SocketAddr>(listen)?;
    let files: Vec<(String, String)> =
        args.map(|file| std::fs::read_to_string(&file).map(|text| (file, text))).collect::<Result<_, _>>()?;
    let (base, place, zone, past) =
        ("Juniper Ledge".to_owned(), Address::memory(), TimeZone::UTC, Past::default());
    let at = format!("http://{}", listener.local_addr()?);
    serve(Opening { base, demo: true, zone, at, place, files, past }, listener, |address, _| {
        println!("http://{address}");
    })?;
    Ok(())
}
