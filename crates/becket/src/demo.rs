//! The demo base, compiled into the program: invented boats of the invented base Juniper Ledge.

/// A demo boat.
pub(crate) struct DemoBoat {
    /// Its name on the command line.
    pub(crate) id: &'static str,
    /// Its boat file.
    pub(crate) text: &'static str,
}

/// The boats of the demo base.
pub(crate) const BOATS: &[DemoBoat] = &[
    DemoBoat { id: "dunlin", text: include_str!("../../../demo/dunlin.toml") },
];
