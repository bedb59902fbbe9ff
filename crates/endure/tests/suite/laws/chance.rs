//! Drawings: the same for the same number whatever else is drawn, and spread as they are said to be.

use boat::model::Id;
use endure::luck::Luck;
use endure::plan::{Wish, usual};
use endure::{Forecast, Voyage, reckon};
use proptest::prelude::*;

use super::random::{Has, boat, numbers, sea, trip};
use crate::budgets::demo;

fn week(name: &str) -> (boat::model::Boat, Voyage) {
    let boat = demo(name);
    let trip = usual(&boat, &Wish::week(4, "2027-07-10".parse().unwrap()));
    let voyage = Voyage::new(&boat, &trip).unwrap();
    (boat, voyage)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn ranges_put_together_are_the_whole_range(numbers in numbers(), seed in any::<u64>(), cut in 0u64..9) {
        let sea = sea(&numbers, Has::All);
        let voyage = Voyage::new(&sea.boat, &sea.trip).unwrap();
        let whole = reckon(&voyage, seed, 0..9);
        prop_assert_eq!(&whole, &reckon(&voyage, seed, 0..9));
        let mut parts = reckon(&voyage, seed, 0..cut);
        parts.extend(reckon(&voyage, seed, cut..9));
        prop_assert_eq!(&whole, &parts);
        // One drawing is the same alone.
        let alone = reckon(&voyage, seed, cut..cut + 1);
        prop_assert_eq!(&whole[usize::try_from(cut).unwrap()], &alone[0]);
    }

    #[test]
    fn a_forecast_is_in_order(numbers in numbers(), seed in any::<u64>(), count in 1u64..40) {
        let sea = sea(&numbers, Has::All);
        let voyage = Voyage::new(&sea.boat, &sea.trip).unwrap();
        let forecast = Forecast::of(&sea.boat, &voyage, &reckon(&voyage, seed, 0..count));
        prop_assert!((0.0..=1.0).contains(&forecast.all_last));
        for store in &forecast.stores {
            prop_assert!((0.0..=1.0).contains(&store.lasts), "{}", store.lasts);
            prop_assert!(forecast.all_last <= store.lasts + 1e-12);
            for band in store.hours.iter().chain([&store.worst]) {
                prop_assert!(0.0 <= band.low && band.low <= band.middle && band.middle <= band.high, "{band:?}");
                prop_assert!(band.high <= 1.0 + 1e-6);
            }
            prop_assert!(store.volts.iter().all(|band| band.low <= band.middle && band.middle <= band.high));
            if let (Some(earliest), Some(usual)) = (store.earliest, store.usual) {
                prop_assert!(earliest <= usual, "{earliest} {usual}");
            }
            prop_assert_eq!(store.usual.is_none(), store.lasts >= 1.0);
            prop_assert!((0.0..=1.0).contains(&store.limit));
            let shares: f64 = store.uses.iter().map(|one| one.share).sum();
            prop_assert!(store.uses.is_empty() || (shares - 1.0).abs() < 1e-9 || shares.abs() < 1e-9, "{shares}");
        }
    }
}

#[test]
fn other_seeds_and_numbers_are_other_drawings() {
    let (_, voyage) = week("whimbrel");
    let drawings: Vec<Luck> = (0..3)
        .flat_map(|seed| (0..50).map(move |number| (seed, number)))
        .map(|(seed, number)| Luck::draw(&voyage, seed, number))
        .collect();
    for (at, one) in drawings.iter().enumerate() {
        assert!(drawings[..at].iter().all(|other| other != one));
    }
}

/// Mean and standard deviation.
fn spread(values: &[f64]) -> (f64, f64) {
    let count = f64::from(u32::try_from(values.len()).unwrap());
    let mean = values.iter().sum::<f64>() / count;
    let square = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (count - 1.0);
    (mean, square.sqrt())
}

const DRAWINGS: u32 = 4000;

/// Each bound is at least four standard errors of 4000 drawings wide, so that a sound generator fails in none.
#[test]
fn drawings_are_spread_as_stated() {
    let (_, voyage) = week("whimbrel");
    let drawings: Vec<Luck> =
        (0..u64::from(DRAWINGS)).map(|number| Luck::draw(&voyage, 11, number)).collect();
    let of = |value: &dyn Fn(&Luck) -> f64| drawings.iter().map(value).collect::<Vec<f64>>();
    for (at, line) in voyage.lines.iter().enumerate() {
        let logs = of(&|luck: &Luck| libm::log(luck.lines[at]));
        let (mean, deviation) = spread(&logs);
        let stated = voyage.lines[line.with].spread;
        assert!(mean.abs() < 0.07 * stated, "the median of a load is one: {mean}");
        assert!((deviation / stated - 1.0).abs() < 0.06, "{deviation} {stated}");
    }
    for (at, feed) in voyage.feeds.iter().enumerate() {
        let factors = of(&|luck: &Luck| luck.feeds[at]);
        assert!(factors.iter().all(|factor| *factor > 0.0 && *factor <= 1.25));
        let below = factors.iter().filter(|factor| **factor < 1.0).count();
        assert!(
            (f64::from(u32::try_from(below).unwrap()) / f64::from(DRAWINGS) - 0.5).abs() < 0.035,
            "{at} {feed:?}"
        );
    }
    for (at, bank) in voyage.banks.iter().enumerate() {
        let health = of(&|luck: &Luck| luck.health[at].as_plain());
        assert!(health.iter().all(|health| (0.3..=1.05).contains(health)));
        let (mean, deviation) = spread(&health);
        let stated = if bank.health_known { 0.03 } else { 0.07 };
        assert!((mean - bank.spec.health.as_plain()).abs() < 0.07 * stated, "{mean}");
        assert!((deviation / stated - 1.0).abs() < 0.06, "{deviation}");
        let levels = of(&|luck: &Luck| luck.banks[at].as_plain());
        // Said to be full, it can only be less.
        assert!(levels.iter().all(|level| (0.0..=1.0).contains(level)));
        let (mean, _) = spread(&levels);
        let off = bank.gauge_error / 2.0 * (2.0 / std::f64::consts::PI).sqrt();
        assert!((1.0 - mean - off).abs() < 0.06 * off, "{mean} {off}");
    }
    let (mean, deviation) = spread(&of(&|luck: &Luck| luck.air.as_kelvin()));
    assert!(mean.abs() < 0.14 && (deviation / 2.0 - 1.0).abs() < 0.06, "{mean} {deviation}");
    let (mean, deviation) = spread(&of(&|luck: &Luck| libm::log(luck.engine)));
    assert!(mean.abs() < 0.01 && (deviation / 0.15 - 1.0).abs() < 0.06, "{mean} {deviation}");
    // The cover that the sky of a day was made from.
    let cover = of(&|luck: &Luck| libm::pow((1.0 - luck.sky[2]) / 0.75, 1.0 / 3.4));
    let (mean, _) = spread(&cover);
    assert!((mean - voyage.cloud[2]).abs() < 0.02, "{mean} {}", voyage.cloud[2]);
    assert!(cover.iter().all(|cover| (-1e-9..=1.0 + 1e-9).contains(cover)));
}

#[test]
fn a_pump_shares_its_water_s_chance_and_no_other() {
    let text = format!(
        "{}
[stores.house]
name = \"House bank\"
kind = \"battery\"
chemistry = \"agm\"
capacity = \"400 Ah\"

[stores.water]
name = \"Water\"
kind = \"water\"
capacity = \"300 L\"

[loads.taps]
name = \"Water at the taps\"
kind = \"water\"
runs = \"daily\"
a_day_each = \"20 L\"

[loads.pump]
name = \"Water pump\"
runs = \"event\"
per = \"litre\"
takes = \"6 s\"
draws = \"6 A\"

[loads.lamp]
name = \"Lamp\"
runs = \"dark\"
draws = \"1 A\"
",
        super::random::HEAD
    );
    let trip = trip("trip = 1\n[plan]\ncrew = 4\nstarts = 2027-07-10\n[[days]]\n[[days]]\n");
    let voyage = Voyage::new(&boat(&text), &trip).unwrap();
    let place = |line: usize| voyage.lines.iter().position(|row| row.load.index() == line).unwrap();
    let (taps, pump, lamp) = (place(0), place(1), place(2));
    let drawings: Vec<Luck> = (0..500).map(|number| Luck::draw(&voyage, 2, number)).collect();
    let logs = |line: usize| drawings.iter().map(|luck| libm::log(luck.lines[line])).collect::<Vec<f64>>();
    let together = |a: &[f64], b: &[f64]| {
        let ((mean_a, by_a), (mean_b, by_b)) = (spread(a), spread(b));
        let product: Vec<f64> = a.iter().zip(b).map(|(a, b)| (a - mean_a) * (b - mean_b)).collect();
        spread(&product).0 / (by_a * by_b)
    };
    assert!(together(&logs(taps), &logs(pump)) > 0.99);
    // Four standard errors of 500 drawings that have nothing to do with each other.
    assert!(together(&logs(taps), &logs(lamp)).abs() < 0.18);
}
