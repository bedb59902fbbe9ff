//! Laws that hold for any bank and any use of it.

use endure::battery::{Bank, BankSpec, Charged, Chemistry, Flow, Stage};
use proptest::prelude::*;
use quantity::{Charge, Current, Ratio, Temperature, Time, Voltage};

use super::tell;

/// What happens in one step, as parts of the bank's Ah.
#[derive(Debug, Clone, Copy)]
struct Use {
    load: f64,
    offer: f64,
    /// Of the strongest source, for each 12 V; 0 if it has none.
    volts: f64,
}

#[derive(Debug, Clone)]
struct Case {
    spec: BankSpec,
    temperature: Temperature,
    step: Time,
    start: f64,
    uses: Vec<Use>,
}

impl Case {
    fn bank(&self) -> Bank {
        self.spec.at(self.temperature, self.step).expect("the spec is sound")
    }

    fn amps(&self, part: f64) -> Current {
        Current::amps(self.spec.capacity.as_amp_hours() * part)
    }

    fn volts(&self, per_twelve: f64) -> Voltage {
        self.spec.nominal * (per_twelve / 12.0)
    }

    /// Follows the case from a share of the charge with other loads or offers, telling each step.
    fn follow(
        &self,
        start: f64,
        change: impl Fn(Use) -> Use,
        mut tell: impl FnMut(Charged, Flow, Charged, Use),
    ) {
        let bank = self.bank();
        let mut state = bank.with_share(Ratio::plain(start));
        for one in &self.uses {
            let (one, before) = (change(*one), state);
            let flow =
                bank.step(&mut state, self.amps(one.load), self.amps(one.offer), self.volts(one.volts));
            tell(before, flow, state, one);
        }
    }

    /// What is held at the end of it, and whether the bank's protection ever switched it off.
    fn end(&self, start: f64, change: impl Fn(Use) -> Use) -> (f64, bool) {
        let (bank, mut held, mut off) = (self.bank(), 0.0, false);
        self.follow(start, change, |_, flow, after, _| {
            held = bank.held(&after).as_amp_hours();
            off |= flow.switched_off;
        });
        (held, off)
    }
}

fn rate(most: f64) -> impl Strategy<Value = f64> {
    prop_oneof![2 => Just(0.0), 3 => 0.0..0.03, 3 => 0.0..most, 1 => 0.0..2.0]
}

fn any_case() -> impl Strategy<Value = Case> {
    let a_use = (rate(0.3), rate(0.5), prop_oneof![Just(0.0), 12.0..15.5])
        .prop_map(|(load, offer, volts)| Use { load, offer, volts });
    let chemistry = prop::sample::select(Chemistry::ALL.to_vec());
    let bank = (chemistry, 20.0..1000.0, 0.3..1.05, prop::sample::select(vec![6.0, 12.0, 24.0, 48.0]));
    let around = (-10.0..45.0, 10.0..900.0, prop_oneof![Just(0.0), Just(1.0), 0.0..1.0]);
    (bank, around, prop::collection::vec((a_use, 1..12_usize), 1..20)).prop_map(|(bank, around, uses)| {
        let (chemistry, capacity, health, nominal) = bank;
        let (celsius, seconds, start) = around;
        let spec = BankSpec {
            health: Ratio::plain(health),
            nominal: Voltage::volts(if chemistry == Chemistry::Lfp {
                f64::max(nominal, 12.0)
            } else {
                nominal
            }),
            ..BankSpec::new(chemistry, Charge::amp_hours(capacity))
        };
        let uses = uses.into_iter().flat_map(|(one, times)| vec![one; times]).collect();
        Case { spec, temperature: Temperature::celsius(celsius), step: Time::seconds(seconds), start, uses }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// The charge held changes by what was taken, less the loads that were met, less what was lost; and every number
    /// is one that a bank can have.
    #[test]
    fn charge_is_accounted_for(case in any_case()) {
        let bank = case.bank();
        let most = bank.held(&bank.full());
        case.follow(case.start, |one| one, |before, flow, after, one| {
            let (load, offer) = (case.amps(one.load), case.amps(one.offer));
            let met = load - flow.unmet;
            let change = bank.held(&after) - bank.held(&before);
            let flowed = (flow.taken - met) * case.step - flow.lost;
            assert!(((change - flowed) / most).abs() < 1e-12, "{change} {flowed}");
            let through = (load + offer + Current::amps(1e-9)) / Current::amps(most.as_amp_hours());
            assert!(((flow.taken - met - flow.net) / case.amps(through)).abs() < 1e-12);
            assert!(flow.taken >= Current::ZERO && flow.taken <= offer * (1.0 + 1e-12));
            assert!(flow.unmet >= Current::ZERO && flow.unmet <= load);
            assert!(flow.lost >= most * -1e-15, "{:?}", flow.lost);
            assert!(bank.held(&after) >= Charge::ZERO && bank.held(&after) <= most * (1.0 + 1e-12));
            let wells = after.wells();
            assert!(wells.available >= Charge::ZERO && wells.bound >= Charge::ZERO);
            assert!((0.0..=1.0).contains(&bank.share(&after).as_plain()));
            let volts = flow.voltage.as_volts();
            assert!(volts >= 0.0 && volts <= case.volts(16.0).as_volts(), "{volts}");
            assert!(flow.too_cold || !(flow.unmet > Current::ZERO && flow.taken < offer));
        });
    }

    /// Near empty and near full too, nothing comes from nothing: the wells are held to their limits by what flows, not
    /// by cutting off what lies beyond.
    #[test]
    fn limits_make_no_charge(case in any_case(), at in prop_oneof![0.0..0.002, 0.998..1.0], hard in 0.5..5.0) {
        let bank = case.bank();
        let most = bank.held(&bank.full());
        let change = |_| if at < 0.5 {
            Use { load: hard, offer: 0.0, volts: 0.0 }
        } else {
            Use { load: 0.0, offer: hard, volts: 15.5 }
        };
        case.follow(at, change, |before, flow, after, _| {
            let change = bank.held(&after) - bank.held(&before);
            let flowed = flow.net * case.step - flow.lost;
            assert!(((change - flowed) / most).abs() < 1e-14, "{:?}", change - flowed);
        });
    }

    /// More load never leaves more charge, unless a bank's protection switched it off and saved what was left.
    #[test]
    fn more_load_leaves_no_more(case in any_case(), more in 0.0..0.1) {
        let (held, _) = case.end(case.start, |one| one);
        let (with_more, off) = case.end(case.start, |one| Use { load: one.load + more, ..one });
        prop_assert!(off || with_more <= held + slack(&case), "{held} {with_more}");
    }

    /// More offer never leaves less charge.
    #[test]
    fn more_offer_leaves_no_less(case in any_case(), more in 0.0..0.1) {
        let (held, off) = case.end(case.start, |one| one);
        let (with_more, _) = case.end(case.start, |one| Use { offer: one.offer + more, ..one });
        prop_assert!(off || with_more >= held - slack(&case), "{held} {with_more}");
    }

    /// A fuller start never ends emptier.
    #[test]
    fn a_fuller_start_ends_no_emptier(case in any_case(), fuller in 0.0..1.0) {
        let (held, off) = case.end(case.start, |one| one);
        let (from_fuller, _) = case.end(case.start + (1.0 - case.start) * fuller, |one| one);
        prop_assert!(off || from_fuller >= held - slack(&case), "{held} {from_fuller}");
    }

    /// Nonsense at the border does not spread.
    #[test]
    fn nonsense_is_no_current(case in any_case(), which in 0..6_usize) {
        let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -5.0, 1e300, f64::MIN_POSITIVE][which];
        let bank = case.bank();
        for (load, offer, volts) in [(odd, 1.0, 14.0), (1.0, odd, 14.0), (1.0, 5.0, odd), (odd, odd, odd)] {
            let mut state = bank.with_share(Ratio::plain(case.start));
            for _ in 0..5 {
                let flow =
                    bank.step(&mut state, Current::amps(load), Current::amps(offer), Voltage::volts(volts));
                for value in [flow.net, flow.taken, flow.unmet] {
                    prop_assert!(value.is_finite(), "{flow:?}");
                }
                prop_assert!(flow.voltage.is_finite() && flow.lost.is_finite());
                let held = bank.held(&state);
                prop_assert!(held >= Charge::ZERO && held <= bank.held(&bank.full()) * (1.0 + 1e-12));
            }
        }
    }

    /// Two half steps of a draw are one whole step.
    #[test]
    fn two_half_steps_of_a_draw_are_one(case in any_case(), load in 0.0..0.2) {
        let half = Case { step: case.step / 2.0, ..case.clone() };
        let (whole, half) = (case.bank(), half.bank());
        let start = Ratio::plain(0.2 + 0.8 * case.start);
        let (mut once, mut twice) = (whole.with_share(start), half.with_share(start));
        let flow = whole.step(&mut once, case.amps(load), Current::ZERO, Voltage::ZERO);
        prop_assume!(flow.unmet <= Current::ZERO);
        for _ in 0..2 {
            half.step(&mut twice, case.amps(load), Current::ZERO, Voltage::ZERO);
        }
        let (once, twice, most) = (once.wells(), twice.wells(), whole.kibam().most);
        prop_assert!(((once.available - twice.available) / most).abs() < 1e-12, "{once:?} {twice:?}");
        prop_assert!(((once.bound - twice.bound) / most).abs() < 1e-12, "{once:?} {twice:?}");
    }
}

/// What two runs may differ by the wrong way: where a charger goes to float is found once a step, so that a bank
/// just short of it may take the tail current for one step more.
fn slack(case: &Case) -> f64 {
    let usual = case.spec.chemistry.defaults();
    case.spec.capacity.as_amp_hours() * usual.tail * case.step.as_hours() + 1e-9
}

/// How far a bank charged in minutes, or in quarters of an hour, is from one charged in seconds, as a part of its
/// capacity, at the worst moment.
fn coarse(chemistry: Chemistry, minutes: u32) -> f64 {
    let step = Time::minutes(f64::from(minutes));
    let spec = BankSpec::new(chemistry, Charge::amp_hours(400.0));
    let make = |step| spec.at(Temperature::celsius(20.0), step).expect("the spec is sound");
    let (coarse, fine) = (make(step), make(Time::seconds(5.0)));
    let mut worst: f64 = 0.0;
    for (start, amps, volts) in [(0.2, 200.0, 15.0), (0.5, 80.0, 14.4), (0.7, 400.0, 13.8), (0.9, 30.0, 15.0)]
    {
        let [mut a, mut b] = [&coarse, &fine].map(|bank| bank.with_share(Ratio::plain(start)));
        for _ in 0..12 * 60 / minutes {
            let (offer, limit) = (Current::amps(amps), Voltage::volts(volts));
            coarse.step(&mut a, Current::ZERO, offer, limit);
            for _ in 0..12 * minutes {
                fine.step(&mut b, Current::ZERO, offer, limit);
            }
            worst = worst.max((coarse.share(&a).as_plain() - fine.share(&b).as_plain()).abs());
        }
    }
    worst
}

/// Voltage-limited charging is not exact over a step; this is how far off it is.
#[test]
fn charging_hardly_depends_on_the_step() {
    for chemistry in Chemistry::ALL {
        for (minutes, bound) in [(1, 0.0005), (5, 0.002), (15, 0.006)] {
            let worst = coarse(chemistry, minutes);
            tell(&format!("{chemistry:?}, steps of {minutes} min: off by {worst:.5} of the capacity"));
            assert!(worst < bound, "{chemistry:?}, {minutes} min: {worst}");
        }
    }
}

/// A bank that was full leaves float when a few per cent of it are gone, however small the load that took them.
#[test]
fn float_ends_when_a_little_is_gone() {
    for chemistry in Chemistry::ALL {
        let spec = BankSpec::new(chemistry, Charge::amp_hours(400.0));
        let bank = spec.at(Temperature::celsius(20.0), Time::minutes(1.0)).unwrap();
        let (offer, limit) = (Current::amps(150.0), Voltage::volts(15.0));
        let mut state = bank.full();
        assert_eq!(bank.step(&mut state, Current::ZERO, offer, limit).stage, Stage::Float, "{chemistry:?}");
        // A tenth of the tail current, until 3 % are gone.
        let small = Current::amps(400.0 * chemistry.defaults().tail / 10.0);
        while bank.share(&state) > Ratio::plain(0.97) {
            bank.step(&mut state, small, Current::ZERO, Voltage::ZERO);
        }
        let flow = bank.step(&mut state, small, offer, limit);
        assert_ne!(flow.stage, Stage::Float, "{chemistry:?}");
        let charging = flow.taken - small;
        assert!(charging > Current::amps(400.0 * chemistry.defaults().tail), "{chemistry:?}: {charging}");
        let hours = (0..6000)
            .take_while(|_| bank.step(&mut state, small, offer, limit).stage != Stage::Float)
            .count() as f64
            / 60.0;
        assert!(hours < 12.0, "{chemistry:?} is in float again after {hours} h");
        assert!(bank.share(&state) > Ratio::plain(0.98), "{chemistry:?}");
    }
}
