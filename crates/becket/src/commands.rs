//! The commands: one file each, each giving back what it prints.

mod anchor;
mod briefing;
mod cable;
mod case;
mod check;
mod classes;
mod equipment;
mod export;
mod forecast;
mod guide;
mod keeping;
mod plan;
mod rates;
mod reference;
mod remedy;
mod run;
mod serve;
mod slips;
mod spares;
mod sun;
mod symptoms;
mod tide;
mod tidy;
mod traps;
mod urgent;
mod waste;
mod way;
mod wrong;

use clap::Subcommand;

use crate::load::Failure;
use crate::output::Printed;

/// What can be asked.
#[derive(Subcommand)]
pub(crate) enum Command {
    /// Open the demo base Juniper Ledge in the browser: prints the address to open.
    Demo(serve::Demo),
    /// Open your own base in the browser: boats, charters, records, people.
    Serve(serve::Serve),
    /// Back up everything that a base keeps, while it is in use.
    Backup(keeping::Backup),
    /// Bring a backup back into a place where nothing is kept yet.
    Restore(keeping::Restore),
    /// Make a way in for somebody who can't sign in any more.
    Invite(keeping::Invite),
    /// Prove boat files: the file itself, every step list, all limits together, and what a forecast would lack. Fails
    /// if anything must be mended.
    Check(check::Check),
    /// Follow a step list and show the boat after every step.
    Run(run::Run),
    /// What slips of the hand do, the worst and likeliest first.
    Slips(slips::SlipsArgs),
    /// The shortest safe step list from how she stands to what you want.
    Way(way::WayArgs),
    /// States that can be come to but not safely left.
    Traps(traps::TrapsArgs),
    /// Will it last: power, water, waste, diesel and gas over a trip. Fails if something does not.
    Forecast(forecast::ForecastArgs),
    /// The least to do otherwise so that everything lasts. Fails if nothing makes it last.
    Remedy(remedy::RemedyArgs),
    /// How much chain and rope to let out, what they then bear, and how far she swings. Fails if there is too little aboard.
    Anchor(anchor::AnchorArgs),
    /// What to tell and show a crew in the time there is, in walking order, and what is left to reading.
    Briefing(briefing::BriefingArgs),
    /// What a crew may say is wrong, emergencies first; or what fits your words, the best first.
    Symptoms(symptoms::SymptomsArgs),
    /// What is wrong: asks one thing at a time, until it works again or it is clear what to tell the base.
    Wrong(wrong::WrongArgs),
    /// The search for one fault on paper: numbered boxes, each with a question and where to go on.
    Guide(guide::GuideArgs),
    /// How often things fail, learned from what was seen on your boats. Fails if a line of the records can't be read.
    Rates(rates::RatesArgs),
    /// How many of each spare part to hold. Fails if a line of the records can't be read.
    Spares(spares::SparesArgs),
    /// What the law wants aboard for a crew and the days of a charter. Fails if something is not aboard or runs out.
    Equipment(equipment::EquipmentArgs),
    /// What may go overboard, and where.
    Waste(waste::WasteArgs),
    /// High and low water at a station, the height at a moment, and when there is water enough. Not for navigation.
    Tide(tide::TideArgs),
    /// Sunrise, sunset and twilight of a place on a day.
    Sun(sun::SunArgs),
    /// What a cable loses and what that leaves at the load, or how thick it must be.
    Cable(cable::CableArgs),
    /// Write a boat in another form: a planning problem, or the boat file with its classes written out.
    Export(export::Export),
    /// Put a boat file in order and keep every remark.
    Tidy(tidy::Tidy),
    /// List the class library, or show what a class brings.
    Classes(classes::Classes),
    /// Print the boat file's JSON Schema, the reference of boat file or trip plan, or the help of all commands.
    Reference(reference::Reference),
}

/// Carries a command out.
pub(crate) fn execute(command: Command, cli: &clap::Command) -> Result<Printed, Failure> {
    match command {
        Command::Demo(args) => args.execute(),
        Command::Serve(args) => args.execute(),
        Command::Backup(args) => args.execute(),
        Command::Restore(args) => args.execute(),
        Command::Invite(args) => args.execute(),
        Command::Check(args) => args.execute(),
        Command::Run(args) => args.execute(),
        Command::Slips(args) => args.execute(),
        Command::Way(args) => args.execute(),
        Command::Traps(args) => args.execute(),
        Command::Forecast(args) => args.execute(),
        Command::Remedy(args) => args.execute(),
        Command::Anchor(args) => args.execute(),
        Command::Briefing(args) => args.execute(),
        Command::Symptoms(args) => args.execute(),
        Command::Wrong(args) => args.execute(),
        Command::Guide(args) => args.execute(),
        Command::Rates(args) => args.execute(),
        Command::Spares(args) => args.execute(),
        Command::Equipment(args) => args.execute(),
        Command::Waste(args) => args.execute(),
        Command::Tide(args) => args.execute(),
        Command::Sun(args) => args.execute(),
        Command::Cable(args) => args.execute(),
        Command::Export(args) => args.execute(),
        Command::Tidy(args) => args.execute(),
        Command::Classes(args) => args.execute(),
        Command::Reference(args) => Ok(args.execute(cli)),
    }
}
