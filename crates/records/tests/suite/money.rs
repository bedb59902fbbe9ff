//! Bills, exact to the coin, against sums worked by hand.

use proptest::prelude::*;
use quantity::{Mass, Money, Ratio, Time, Volume};
use records::{
    Bill, Change, ChargeError, ChargeKey, Differences, EventId, KitChange, Level, Meter, Outcome, PerMass,
    PerTime, PerVolume, Reading, Severity, Tariff, Unpriced, Walk, What, charges, differences,
};

use crate::aid::{Log, charter, count, crew, defect, odd, plan, sanderling, withdrawn};

fn money(text: &str) -> Money {
    text.parse().unwrap()
}

fn tariff() -> Tariff {
    Tariff {
        nothing: money("0 USD"),
        deposit: Some(money("1500.00 USD")),
        fuel: Some(PerVolume { price: money("145.90 USD"), litres: 100 }),
        filling: Some(money("20.00 USD")),
        water: None,
        gas: Some(PerMass { price: money("27.00 USD"), kilograms: 9 }),
        pump_out: Some(money("15.00 USD")),
        waste_allowed: Ratio::percent(10.0),
        hours: Some(PerTime { price: money("6.00 USD"), minutes: 60 }),
        free_hours: Time::hours(20.0),
        late: Some(PerTime { price: money("30.00 USD"), minutes: 60 }),
        grace: Time::minutes(15.0),
        cleaning: Some(money("120.00 USD")),
        damage_at_most: Some(money("250.00 USD")),
    }
}

fn tank(store: &str, percent: f64) -> Reading {
    Reading::Tank { store: store.to_owned(), level: Level::Part(Ratio::percent(percent)) }
}

/// A charter that came back an hour and a quarter late with this and that missing; the event that told of the damage,
/// and the one that added a charge.
fn story() -> (Log, EventId, EventId) {
    let mut log = Log::new();
    let read = |walk, reading| What::Read { walk, reading };
    let gas = |kilograms| Reading::Gas { store: "gas".to_owned(), mass: Mass::kilograms(kilograms) };
    let hours = |hours| Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(hours) };
    // Promised back on 13 June at 09:00, four hours behind UTC: 13:00 UTC, which is 7 days and 5 hours on.
    let back = 7 * 1440 + 5 * 60 + 75;
    let told = [
        (1, plan()),
        (2, What::Readied),
        (3, count(Walk::CheckOut, "winch_handle", 2)),
        (4, count(Walk::CheckOut, "tether", 4)),
        (5, count(Walk::CheckOut, "sponge", 1)),
        (6, read(Walk::CheckOut, tank("diesel", 100.0))),
        (7, read(Walk::CheckOut, tank("holding", 0.0))),
        (8, read(Walk::CheckOut, gas(9.0))),
        (9, read(Walk::CheckOut, hours(800.0))),
        (10, What::CheckedOut),
        (back - 30, count(Walk::HandBack, "winch_handle", 1)),
        (back - 29, count(Walk::HandBack, "tether", 1)),
        (back - 28, count(Walk::HandBack, "sponge", 0)),
        (back - 27, read(Walk::HandBack, tank("diesel", 75.0))),
        (back - 26, read(Walk::HandBack, tank("holding", 60.0))),
        (back - 25, read(Walk::HandBack, gas(7.7))),
        (back - 24, read(Walk::HandBack, hours(825.4))),
        (back, What::HandedBack),
    ];
    for (minutes, what) in told {
        log.say(minutes, what);
    }
    let harm = What::Damaged {
        item: "lifebuoy".to_owned(),
        words: "Torn off.".to_owned(),
        photos: vec![],
        estimate: Some(money("310.00 USD")),
    };
    let harm = log.say(back + 1, harm);
    let added = What::ChargeAdded { reason: "Tow to the dock.".to_owned(), amount: money("25.00 USD") };
    let added = log.say(back + 2, added);
    (log, harm, added)
}

fn bill(log: &Log, tariff: &Tariff) -> Result<Bill, ChargeError> {
    let (standing, boat) = (log.standing(), sanderling());
    let differences = differences(&standing, &charter(), &boat).unwrap();
    charges(&differences, &standing.charters[&charter()], &boat, tariff)
}

fn line(bill: &Bill, key: &ChargeKey) -> Option<(Money, Money, Money)> {
    let line = bill.lines.iter().find(|line| line.key == *key)?;
    Some((line.price, line.waived, line.owed))
}

/// Every line by hand:
/// handle 48.00; tethers 3 × 55.35 = 166.05; diesel 37.5 L × 1.459 = 54.7125, so 54.71; filling up 20.00; gas
/// 1.3 kg × 3 = 3.90; pump-out 15.00; engine 5.4 h × 6 = 32.40; late 75 min × 0.50 = 37.50; cleaning 120.00; damage
/// 310.00, of which 60.00 is over the most; tow 25.00. Together 832.56 − 60.00 = 772.56.
#[test]
fn a_whole_bill() {
    let (log, harm, added) = story();
    let bill = bill(&log, &tariff()).unwrap();
    let lines: Vec<(ChargeKey, String)> =
        bill.lines.iter().map(|line| (line.key.clone(), line.owed.to_string())).collect();
    let wanted = [
        (ChargeKey::Kit("tether".to_owned()), "166.05 USD"),
        (ChargeKey::Kit("winch_handle".to_owned()), "48.00 USD"),
        (ChargeKey::Fuel("diesel".to_owned()), "54.71 USD"),
        (ChargeKey::PumpOut("holding".to_owned()), "15.00 USD"),
        (ChargeKey::Filling, "20.00 USD"),
        (ChargeKey::Gas("gas".to_owned()), "3.90 USD"),
        (ChargeKey::Hours("engine".to_owned()), "32.40 USD"),
        (ChargeKey::Cleaning, "120.00 USD"),
        (ChargeKey::Late, "37.50 USD"),
        (ChargeKey::Damage(harm), "310.00 USD"),
        (ChargeKey::Added(added), "25.00 USD"),
    ];
    assert_eq!(lines, wanted.map(|(key, owed)| (key, owed.to_owned())));
    assert_eq!(bill.over_the_most, money("60.00 USD"));
    assert_eq!(bill.total, money("772.56 USD"));
    assert_eq!(bill.outcome, Outcome::BaseReturns(money("727.44 USD")));
    assert_eq!(bill.unpriced, [Unpriced::NoPrice("sponge".to_owned())], "the boat file has no price for it");
}

#[test]
fn who_owes_whom() {
    let (log, ..) = story();
    let rows = [
        (Some("500.00 USD"), Outcome::CrewPays(money("272.56 USD"))),
        (Some("772.56 USD"), Outcome::Even),
        (Some("772.57 USD"), Outcome::BaseReturns(money("0.01 USD"))),
        (None, Outcome::CrewPays(money("772.56 USD"))),
    ];
    for (deposit, wanted) in rows {
        let tariff = Tariff { deposit: deposit.map(money), ..tariff() };
        assert_eq!(bill(&log, &tariff).unwrap().outcome, wanted, "{deposit:?}");
    }
}

fn waive(charge: ChargeKey, amount: Option<&str>, reason: &str) -> What {
    What::ChargeWaived { charge, amount: amount.map(money), reason: reason.to_owned() }
}

/// How much of it is waived, and why.
type Waived<'a> = (Option<&'a str>, &'a str);

#[test]
fn waiving() {
    let cleaning = || ChargeKey::Cleaning;
    let good = "Left clean.";
    let rows: &[(&[Waived<'_>], &str, &str)] = &[
        (&[(None, good)], "120.00 USD", "0.00 USD"),
        (&[(Some("20.50 USD"), good)], "20.50 USD", "99.50 USD"),
        (&[(Some("20.50 USD"), good), (Some("10.00 USD"), good)], "30.50 USD", "89.50 USD"),
        (&[(Some("200.00 USD"), good)], "120.00 USD", "0.00 USD"),
        (&[(None, good), (None, good)], "120.00 USD", "0.00 USD"),
        (&[(Some("-50.00 USD"), good)], "0.00 USD", "120.00 USD"),
        (&[(None, " ")], "0.00 USD", "120.00 USD"),
    ];
    for (waivers, waived, owed) in rows {
        let (mut log, ..) = story();
        for (amount, reason) in *waivers {
            log.say(12_000, waive(cleaning(), *amount, reason));
        }
        let bill = bill(&log, &tariff()).unwrap();
        let wanted = (money("120.00 USD"), money(waived), money(owed));
        assert_eq!(line(&bill, &cleaning()), Some(wanted), "{waivers:?}");
    }
    let (mut log, ..) = story();
    let theirs = log.hand(crew("link"), "phone").say(12_000, waive(cleaning(), None, good));
    assert_eq!(line(&bill(&log, &tariff()).unwrap(), &cleaning()).unwrap().2, money("120.00 USD"));
    assert_eq!(odd(&log.standing(), theirs), [records::Why::NotTheirs]);
}

#[test]
fn damage_that_is_waived_counts_less_towards_the_most() {
    let (mut log, harm, _) = story();
    log.say(12_000, waive(ChargeKey::Damage(harm), Some("100.00 USD"), "Wear."));
    let bill = bill(&log, &tariff()).unwrap();
    assert_eq!(line(&bill, &ChargeKey::Damage(harm)).unwrap().2, money("210.00 USD"));
    assert_eq!(bill.over_the_most, money("0 USD"));
}

#[test]
fn a_waiver_can_be_taken_back() {
    let (mut log, ..) = story();
    let waiver = log.say(12_000, waive(ChargeKey::Late, None, "Fog."));
    assert_eq!(line(&bill(&log, &tariff()).unwrap(), &ChargeKey::Late).unwrap().2, money("0 USD"));
    log.answer(12_001, waiver, withdrawn());
    assert_eq!(line(&bill(&log, &tariff()).unwrap(), &ChargeKey::Late).unwrap().2, money("37.50 USD"));
}

#[test]
fn what_nobody_agrees_on_is_not_charged() {
    let (mut log, ..) = story();
    log.hand(crew("link"), "phone").say(10_000, count(Walk::HandBack, "tether", 4));
    log.say(10_001, What::Read { walk: Walk::HandBack, reading: tank("diesel", 95.0) });
    let bill = bill(&log, &tariff()).unwrap();
    let tether = "tether".to_owned();
    assert_eq!(line(&bill, &ChargeKey::Kit(tether.clone())), None);
    assert_eq!(line(&bill, &ChargeKey::Filling), None);
    let diesel = Unpriced::DisputedMeter(Meter::Tank("diesel".to_owned()));
    for unpriced in [Unpriced::DisputedKit(tether), diesel] {
        assert!(bill.unpriced.contains(&unpriced), "{unpriced:?}");
    }
}

#[test]
fn damage_that_was_there_before_or_that_nobody_priced() {
    let (mut log, _, _) = story();
    let harm = |item: &str, estimate: Option<&str>| What::Damaged {
        item: item.to_owned(),
        words: "Bent.".to_owned(),
        photos: vec![],
        estimate: estimate.map(money),
    };
    log.say(0, defect("rail", Severity::Cosmetic));
    let known = log.say(11_000, harm("rail", Some("90.00 USD")));
    let open = log.say(11_001, harm("engine", None));
    let bill = bill(&log, &tariff()).unwrap();
    assert!(bill.unpriced.contains(&Unpriced::KnownBefore(known)));
    assert!(bill.unpriced.contains(&Unpriced::NoEstimate(open)));
    assert_eq!(bill.total, money("772.56 USD"));
}

#[test]
fn a_bare_tariff_charges_kit_and_damage_only() {
    let (log, ..) = story();
    let bill = bill(&log, &Tariff::bare("USD").unwrap()).unwrap();
    // 166.05 + 48.00 + 310.00 + 25.00.
    assert_eq!(bill.total, money("549.05 USD"));
    assert_eq!(Tariff::bare("usd"), None);
}

#[test]
fn currencies_never_mix() {
    let (log, ..) = story();
    let euros = |found: &str| Err(ChargeError::Currencies { found: money(found), bill: money("0 USD") });
    let rows = [
        Tariff { deposit: Some(money("9 EUR")), ..tariff() },
        Tariff { cleaning: Some(money("9 EUR")), ..tariff() },
        Tariff { damage_at_most: Some(money("9 EUR")), ..tariff() },
        Tariff { filling: Some(money("9 EUR")), ..tariff() },
    ];
    for tariff in rows {
        assert_eq!(bill(&log, &tariff), euros("9 EUR"));
    }
    let fuel = PerVolume { price: money("10.00 EUR"), litres: 1 };
    assert_eq!(bill(&log, &Tariff { fuel: Some(fuel), ..tariff() }), euros("375.00 EUR"));
    let other = Tariff::bare("EUR").unwrap();
    let wanted = ChargeError::Currencies { found: money("166.05 USD"), bill: money("0 EUR") };
    assert_eq!(bill(&log, &other), Err(wanted), "the boat file's prices are in dollars");
    let (mut log, ..) = story();
    log.say(12_000, waive(ChargeKey::Cleaning, Some("5 EUR"), "Left clean."));
    assert_eq!(bill(&log, &tariff()), euros("5 EUR"));
    let (mut log, ..) = story();
    log.say(12_000, What::ChargeAdded { reason: "Tow.".to_owned(), amount: money("5 EUR") });
    assert_eq!(bill(&log, &tariff()), euros("5 EUR"));
}

#[test]
fn what_does_not_fit_is_refused() {
    let (log, ..) = story();
    let most = Money::from_minor(i64::MAX, "USD");
    assert_eq!(bill(&log, &Tariff { cleaning: most, ..tariff() }), Err(ChargeError::OutOfRange));
    let none = PerVolume { price: money("1.00 USD"), litres: 0 };
    assert_eq!(bill(&log, &Tariff { fuel: Some(none), ..tariff() }), Err(ChargeError::OutOfRange));
    let (_, charter) = empty();
    let mut found = Differences::default();
    found.missing.push(KitChange { line: "tether".to_owned(), expected: u32::MAX, counted: 0 });
    let bill = charges(&found, &charter, &sanderling(), &Tariff::bare("USD").unwrap()).unwrap();
    assert_eq!(bill.total, Money::from_minor(5535 * i64::from(u32::MAX), "USD").unwrap());
}

#[test]
fn lateness_within_the_grace_is_free() {
    // Minutes late, and what they cost at 30.00 an hour with a quarter of an hour of grace.
    for (late, cost) in [(-600, None), (0, None), (15, None), (16, Some("8.00 USD")), (61, Some("30.50 USD"))]
    {
        let mut log = Log::new();
        log.say(0, plan());
        log.say(7 * 1440 + 5 * 60 + late, What::HandedBack);
        let found = line(&bill(&log, &tariff()).unwrap(), &ChargeKey::Late).map(|line| line.2);
        assert_eq!(found, cost.map(money), "{late} min");
    }
}

fn empty() -> (Log, records::CharterStanding) {
    let mut log = Log::new();
    log.say(0, plan());
    let charter = log.standing().charters[&charter()].clone();
    (log, charter)
}

fn short(tenths: u32) -> Differences {
    let zero = Volume::ZERO;
    let out = Volume::litres(f64::from(tenths) / 10.0);
    let tank =
        Change { of: "diesel".to_owned(), out, back: zero, filled: zero, used: out, give_or_take: None };
    Differences { tanks: vec![tank], ..Differences::default() }
}

#[test]
fn a_half_coin_is_rounded_up() {
    // 0.05 USD for 2 L: a litre is 2.5 cents, two are 5, three are 7.5.
    let (_, charter) = empty();
    let price = PerVolume { price: money("0.05 USD"), litres: 2 };
    let tariff = Tariff { fuel: Some(price), ..Tariff::bare("USD").unwrap() };
    for (tenths, cents) in [(4, 1), (10, 3), (11, 3), (20, 5), (30, 8)] {
        let bill = charges(&short(tenths), &charter, &sanderling(), &tariff).unwrap();
        assert_eq!(bill.total.minor_units(), cents, "{tenths} tenths");
    }
    // Less than half a coin is no line at all.
    assert_eq!(charges(&short(1), &charter, &sanderling(), &tariff).unwrap().lines, []);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// No other coin is nearer to the exact share.
    #[test]
    fn a_share_of_a_price_is_the_nearest_coin(minor in 0_i64..10_000_000, litres in 1_u32..10_000, tenths in 1_u32..5000) {
        let (_, charter) = empty();
        let price = PerVolume { price: Money::from_minor(minor, "USD").unwrap(), litres };
        let tariff = Tariff { fuel: Some(price), ..Tariff::bare("USD").unwrap() };
        let total = charges(&short(tenths), &charter, boat(), &tariff).unwrap().total;
        let of = i128::from(litres) * 10;
        let off = i128::from(minor) * i128::from(tenths) - i128::from(total.minor_units()) * of;
        prop_assert!(2 * off < of && 2 * off >= -of);
    }

    /// The lines, less what is over the most, are the total; the total and the outcome make up the deposit.
    #[test]
    fn a_bill_adds_up(counts in proptest::collection::vec((0_u32..20, 0_u32..20), 2), deposit in 0_i64..500_000) {
        let mut log = Log::new();
        log.say(0, plan());
        for (line, (out, back)) in ["winch_handle", "tether"].into_iter().zip(counts) {
            log.say(1, count(Walk::CheckOut, line, out));
            log.say(9000, count(Walk::HandBack, line, back));
        }
        let deposit = Money::from_minor(deposit, "USD");
        let standing = log.standing();
        let found = differences(&standing, &charter(), boat()).unwrap();
        let tariff = Tariff { deposit, ..tariff() };
        let bill = charges(&found, &standing.charters[&charter()], boat(), &tariff).unwrap();
        let owed: i64 = bill.lines.iter().map(|line| line.owed.minor_units()).sum();
        prop_assert_eq!(owed - bill.over_the_most.minor_units(), bill.total.minor_units());
        let left = match bill.outcome {
            Outcome::CrewPays(amount) => amount.minor_units(),
            Outcome::BaseReturns(amount) => -amount.minor_units(),
            Outcome::Even => 0,
        };
        prop_assert_eq!(bill.total.minor_units() - bill.deposit.minor_units(), left);
    }
}

/// The boat of the tests, compiled once.
fn boat() -> &'static boat::model::Boat {
    static BOAT: std::sync::OnceLock<boat::model::Boat> = std::sync::OnceLock::new();
    BOAT.get_or_init(sanderling)
}
