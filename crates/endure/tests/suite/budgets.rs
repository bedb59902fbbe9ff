//! Published budgets of reference/trade-facts.md, reproduced through the engine line by line; each test names its
//! section. Where a source gives a total only, that is said and only what follows from it is checked. The misprints of
//! section 12 are not used.

mod charging;
mod electric;
mod tanks;

use boat::model::Boat;
use endure::Voyage;
use endure::forecast::as_planned;
use endure::log::Ledgered;
use endure::marks::Marks;

use crate::laws::random;

/// A demonstration boat.
pub(crate) fn demo(name: &str) -> Boat {
    let text = match name {
        "whimbrel" => include_str!("../../../../demo/whimbrel.toml"),
        "dunlin" => include_str!("../../../../demo/dunlin.toml"),
        _ => include_str!("../../../../demo/turnstone.toml"),
    };
    boat::compile(name, text).boat.expect("the demonstration boats are sound")
}

/// A trip that was reckoned as planned.
pub(crate) struct Reckoned {
    boat: Boat,
    voyage: Voyage,
    marks: Marks,
    log: Ledgered,
}

/// Reckons entries of a boat file after a usual head with a plan's text.
pub(crate) fn reckoned(entries: &str, plan: &str) -> Reckoned {
    let boat = random::boat(&format!("{}{entries}", random::HEAD));
    of_boat(boat, plan)
}

pub(crate) fn of_boat(boat: Boat, plan: &str) -> Reckoned {
    let voyage = Voyage::new(&boat, &random::trip(plan)).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let (marks, log) = as_planned(&voyage);
    Reckoned { boat, voyage, marks, log }
}

impl Reckoned {
    /// What a load took over the trip: Ah, litres or kilograms.
    pub(crate) fn took(&self, load: &str) -> f64 {
        let line = self.voyage.lines.iter().position(|line| self.boat.loads[line.load].id == load).unwrap();
        self.log.whole[line]
    }

    /// The level of a store at a whole hour from the start.
    pub(crate) fn level(&self, place: usize, hour: usize) -> f64 {
        f64::from(self.marks.levels[place][hour - 1])
    }
}

/// A plan of whole days, midnight to midnight; `days` is the text of each.
pub(crate) fn whole_days(crew: u32, days: &[&str], plan: &str) -> String {
    let mut text = format!(
        "trip = 1\n[plan]\ncrew = {crew}\nstarts = 2027-07-10\nfrom = \"00:00\"\nuntil = \"00:00\"\n{plan}\n"
    );
    for day in days {
        text.push_str(&format!("[[days]]\n{day}\n"));
    }
    // The day on which midnight she is handed back.
    text.push_str("[[days]]\n");
    text
}

/// Within a part of what is published.
pub(crate) fn near(found: f64, published: f64, part: f64) {
    assert!((found - published).abs() <= part * published, "{found}, published {published}");
}
