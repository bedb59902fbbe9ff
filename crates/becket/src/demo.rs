//! The demo base, compiled into the program: invented boats of the invented base Juniper Ledge.

/// A demo boat.
pub(crate) struct DemoBoat {
    /// Its name on the command line.
    pub(crate) id: &'static str,
    /// Its boat file.
    pub(crate) text: &'static str,
}

/// The demo base's name.
pub(crate) const BASE: &str = "Juniper Ledge";

/// The boats of the demo base.
pub(crate) const BOATS: &[DemoBoat] = &[
    DemoBoat { id: "whimbrel", text: include_str!("../../../demo/whimbrel.toml") },
    DemoBoat { id: "dunlin", text: include_str!("../../../demo/dunlin.toml") },
    DemoBoat { id: "turnstone", text: include_str!("../../../demo/turnstone.toml") },
];

/// The clocks of the demo base.
pub(crate) const ZONE: &str = "America/New_York";

/// What has happened at the demo base until now.
pub(crate) fn past(_files: &[(String, String)], _zone: &jiff::tz::TimeZone) -> server::Past {
    server::Past::default()
}
