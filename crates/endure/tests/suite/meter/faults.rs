//! Boats with something amiss are found, sound ones are left in peace: trips of a demo boat under fixed seeds.

use boat::model::Boat;
use endure::luck::Luck;
use endure::meter::{Cause, Checked, Fit, check};
use endure::voyage::{Account, Draw, Habit, Line, Take, Voyage};
use quantity::{Current, Ratio};

use super::{Chance, compiled, read, shown, to_read, voyage, with_errors};

const WHIMBREL: &str = include_str!("../../../../../demo/whimbrel.toml");
const PLAN: &str = "trip = 1\n[plan]\ncrew = 4\nstarts = \"2027-07-10\"\nfrom = \"15:00\"\nuntil = \"10:00\"\n\
    [[days]]\nlegs = [{ by = \"motor\", from = \"16:30\", for = \"1 h\" }]\n\
    [[days]]\nlegs = [{ by = \"motor\", from = \"09:30\", for = \"30 min\" }, { by = \"sail\", from = \"10:00\", for = \"4 h\" }, { by = \"motor\", from = \"14:00\", for = \"30 min\" }]\n\
    [[days]]\nlegs = [{ by = \"motor\", from = \"09:30\", for = \"30 min\" }, { by = \"sail\", from = \"10:00\", for = \"4 h\" }, { by = \"motor\", from = \"14:00\", for = \"30 min\" }]\n\
    [[days]]\nnight = \"alongside\"\n";
const TRIPS: u64 = 40;

#[derive(Clone, Copy, PartialEq)]
enum Amiss {
    Nothing,
    HalfABank,
    Draws(f64),
}

/// The monitor in the morning and in the evening, and on days 2 and 3, or the voltmeter.
fn readings(sort: &'static str) -> String {
    let times = [(1, "21:00"), (2, "07:00"), (2, "21:00"), (3, "07:00"), (3, "21:00")];
    to_read(&times.map(|(day, at)| (day, at, "house", sort)))
}

/// A voyage with a load that no file knows.
fn with_unknown(voyage: &Voyage, amps: f64) -> Voyage {
    let mut other = voyage.clone();
    let line = other.lines.len();
    other.lines.push(Line {
        load: voyage.lines[0].load,
        account: Account::Bank(0),
        take: Take::Current(Current::amps(amps)),
        habit: Habit::Steady(1.0),
        spread: 0.0,
        with: line,
        allowed: [true; 6],
        off_at_night: false,
        stops_below: None,
    });
    for segment in &mut other.segments {
        segment.draws.push((line, 0, Draw::Current(Current::amps(amps))));
    }
    other
}

fn checked(boat: &Boat, voyage: &mut Voyage, amiss: Amiss, number: u64) -> Checked {
    let mut luck = Luck::draw(voyage, 0xB0A7, number);
    let mut true_one = voyage.clone();
    match amiss {
        Amiss::Nothing => {}
        Amiss::HalfABank => luck.health[0] = Ratio::plain(0.5),
        Amiss::Draws(amps) => {
            true_one = with_unknown(voyage, amps);
            luck.lines.push(1.0);
        }
    }
    let seen = with_errors(voyage, &shown(&true_one, &luck), &mut Chance::new(number));
    read(voyage, &seen);
    check(boat, voyage, 5, 200)
}

/// Of forty trips, in how many the check says that something does not fit, and that it does not fit at all.
fn rates(sort: &'static str, amiss: Amiss) -> (usize, usize, Vec<Checked>) {
    let boat = compiled("whimbrel.toml", WHIMBREL);
    let mut voyage = voyage(&boat, &format!("{PLAN}{}", readings(sort)), 10.0);
    let all: Vec<Checked> = (0..TRIPS).map(|number| checked(&boat, &mut voyage, amiss, number)).collect();
    let count = |fit: Fit| all.iter().filter(|one| one.fit >= fit).count();
    (count(Fit::Doubtful), count(Fit::NotAtAll), all)
}

/// By the check's own bound one sound boat in twenty may be called doubtful.
#[test]
fn sound_boats_are_left_in_peace() {
    let (level, voltage) = (rates("level", Amiss::Nothing), rates("voltage", Amiss::Nothing));
    assert!(level.0 + voltage.0 <= 5, "{} and {} of 40 sound boats flagged", level.0, voltage.0);
    assert!(level.1 + voltage.1 <= 1, "{} and {} of 40 sound boats do not fit at all", level.1, voltage.1);
}

#[test]
fn a_hidden_draw_is_found_by_the_third_day() {
    let (doubtful, not_at_all, all) = rates("level", Amiss::Draws(3.0));
    assert!(doubtful >= 32 && not_at_all >= 20, "{doubtful} flagged, {not_at_all} do not fit at all");
    let rates: Vec<f64> = named(&all, |cause| if let Cause::Draws(amps) = cause { Some(amps) } else { None });
    let mean = rates.iter().sum::<f64>() / rates.len() as f64;
    assert!(rates.len() >= 20 && (mean - 3.0).abs() < 1.0, "{mean} A in {} trips", rates.len());
    for checked in all.iter().filter(|checked| checked.fit == Fit::NotAtAll) {
        assert!(checked.stores[0].low && checked.stores[0].crew.contains("something else is drawing"));
        assert!(checked.stores[0].next[0].contains("ten minutes"));
        assert!(checked.notes[0].contains("do not fit"));
    }
}

#[test]
fn a_bank_of_half_its_capacity_is_found_by_the_third_day() {
    let (doubtful, not_at_all, all) = rates("level", Amiss::HalfABank);
    assert!(doubtful >= 22 && not_at_all >= 10, "{doubtful} flagged, {not_at_all} do not fit at all");
    let parts =
        named(&all, |cause| if let Cause::Holds(part) = cause { Some(part.as_plain()) } else { None });
    let mean = parts.iter().sum::<f64>() / parts.len() as f64;
    assert!(
        parts.len() >= 15 && (mean - 0.5).abs() < 0.08,
        "{mean} of the capacity in {} trips",
        parts.len()
    );
}

fn named(all: &[Checked], of: impl Fn(Cause) -> Option<f64>) -> Vec<f64> {
    all.iter()
        .flat_map(|checked| &checked.stores[0].suspects)
        .filter_map(|suspect| of(suspect.cause))
        .collect()
}
