//! How quick the stores engine is, on the demo boats' usual week with four people.

use boat::model::Boat;
use boat::trip::Trip;
use divan::{Bencher, black_box};
use endure::battery::{BankSpec, Chemistry};
use endure::luck::Luck;
use endure::marks::Marker;
use endure::run::Runner;
use endure::{Forecast, Voyage, plan, reckon, remedy};
use quantity::{Charge, Current, Ratio, Temperature, Time, Voltage};

const BOATS: [(&str, &str); 3] = [
    ("whimbrel", include_str!("../../../demo/whimbrel.toml")),
    ("dunlin", include_str!("../../../demo/dunlin.toml")),
    ("turnstone", include_str!("../../../demo/turnstone.toml")),
];
const NAMES: [&str; 3] = ["whimbrel", "dunlin", "turnstone"];

fn main() {
    divan::main();
}

/// A demo boat and its usual week.
fn week(name: &str) -> (Boat, Trip) {
    let text = BOATS.iter().find(|boat| boat.0 == name).map_or("", |boat| boat.1);
    let boat = boat::compile(name, text).boat.expect("demo boats are sound");
    let first = "2027-07-10".parse().expect("a day of the calendar");
    let trip = plan::usual(&boat, &plan::Wish::week(4, first));
    (boat, trip)
}

fn voyage(name: &str) -> (Boat, Voyage) {
    let (boat, trip) = week(name);
    let voyage = Voyage::new(&boat, &trip).expect("the usual plan is sound");
    (boat, voyage)
}

/// A day and a night of minutes: eight hours of loads, two of charging, and so on.
#[divan::bench(args = [Chemistry::Agm, Chemistry::Lfp])]
fn battery_day(bencher: Bencher<'_, '_>, chemistry: Chemistry) {
    let spec = BankSpec::new(chemistry, Charge::amp_hours(440.0));
    let bank = spec.at(Temperature::celsius(20.0), Time::minutes(1.0)).expect("a sound bank");
    bencher.counter(1440_u32).bench_local(|| {
        let mut state = bank.with_share(Ratio::percent(80.0));
        for minute in 0..1440 {
            let offered = if minute % 600 < 120 { Current::amps(60.0) } else { Current::ZERO };
            black_box(bank.step(&mut state, Current::amps(5.0), offered, Voltage::volts(14.4)));
        }
        state
    });
}

#[divan::bench]
fn battery_made_ready(bencher: Bencher<'_, '_>) {
    let spec = BankSpec::new(Chemistry::Agm, Charge::amp_hours(440.0));
    bencher.bench(|| black_box(&spec).at(Temperature::celsius(20.0), Time::minutes(1.0)));
}

#[divan::bench(args = NAMES)]
fn plan_made_ready(bencher: Bencher<'_, '_>, name: &str) {
    let (boat, trip) = week(name);
    bencher.bench(|| Voyage::new(black_box(&boat), &trip));
}

#[divan::bench(args = NAMES)]
fn one_trip(bencher: Bencher<'_, '_>, name: &str) {
    let (_, voyage) = voyage(name);
    let luck = Luck::draw(&voyage, 1, 1);
    let mut runner = Runner::new(&voyage);
    bencher.counter(voyage.steps).bench_local(|| {
        let mut marker = Marker::new(&voyage);
        runner.run(&luck, &mut marker);
        marker.into_marks()
    });
}

/// 10,000 trips on two threads.
#[divan::bench(args = NAMES, sample_count = 3, sample_size = 1)]
fn ten_thousand_trips(bencher: Bencher<'_, '_>, name: &str) {
    let (_, voyage) = voyage(name);
    bencher.bench(|| {
        std::thread::scope(|scope| {
            let other = scope.spawn(|| reckon(&voyage, 1, 5_000..10_000).len());
            reckon(&voyage, 1, 0..5_000).len() + other.join().unwrap_or(0)
        })
    });
}

/// What a page asks: 300 drawings put together as bands.
#[divan::bench(args = NAMES)]
fn bands_of_300(bencher: Bencher<'_, '_>, name: &str) {
    let (boat, voyage) = voyage(name);
    let marks = reckon(&voyage, 1, 0..300);
    bencher.bench(|| Forecast::of(&boat, &voyage, black_box(&marks)));
}

#[divan::bench(args = NAMES, sample_count = 5, sample_size = 1)]
fn least_remedy_of_a_week(bencher: Bencher<'_, '_>, name: &str) {
    let (boat, trip) = week(name);
    bencher.bench(|| remedy::least(&boat, black_box(&trip), &remedy::Terms::default()));
}
