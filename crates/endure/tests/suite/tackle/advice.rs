//! The advice for a berth: what is let out, when it is short or not known, and how she swings.

use super::*;

fn tackle(chain: Option<f64>, rope: Option<f64>) -> Tackle {
    Tackle {
        chain: chain.map(metres),
        chain_weight: Some(weight(2.25)),
        rope: rope.map(metres),
        bow_height: metres(1.5),
    }
}

fn turnstone() -> Hull {
    Hull {
        beam: Some(metres(3.4)),
        freeboard: Some(metres(1.2)),
        draught: Some(metres(1.9)),
        ..Hull::new(HullKind::Sail, metres(10.5))
    }
}

fn berth(depth: f64, knots: f64) -> Berth {
    Berth::new(metres(depth), Speed::knots(knots))
}

#[test]
fn the_largest_rule_is_let_out_and_what_is_missing_is_said() {
    let enough = tackle(Some(50.0), Some(30.0)).advise(&turnstone(), &berth(6.0, 18.0)).unwrap();
    assert_eq!(enough.let_out, metres(52.5));
    assert_eq!(enough.enough, Enough::Yes { left: metres(27.5) });
    assert_near(enough.scope.as_plain(), 7.0, 1e-12, "scope");
    let short = tackle(Some(40.0), Some(0.0)).advise(&turnstone(), &berth(6.0, 18.0)).unwrap();
    assert_eq!(short.short_by(), Some(metres(12.5)));
    assert_eq!(short.rode, metres(40.0));
    // The rules for chain alone that 40 m do meet: 24 m, 28 m, 27 m and the catenary's.
    assert_eq!(short.met_rules().count(), 4);
    let said = short.say(System::Metric).join(" ");
    assert!(said.starts_with("Let out 53 m of rode."), "{said}");
    assert!(said.contains("The 40 m of rode aboard are 13 m short of what the rules ask for."), "{said}");
    assert!(
        said.contains("does meet a less cautious rule: 4 times the depth (UK sailing association"),
        "{said}"
    );
    let feet = tackle(Some(Length::feet(105.0).as_metres()), Some(0.0));
    let feet = Tackle { bow_height: Length::feet(3.0), ..feet };
    let ten = Berth { rise: Length::feet(2.0), ..Berth::new(Length::feet(10.0), Speed::knots(18.0)) };
    let feet = feet.advise(&turnstone(), &ten).unwrap().say(System::UsCustomary);
    assert!(feet[0].starts_with("Let out 105 ft of rode."), "{}", feet[0]);
    let none = tackle(Some(7.0), Some(0.0)).advise(&turnstone(), &berth(6.0, 18.0)).unwrap();
    assert_eq!((none.lie, none.swing_high), (None, None));
    assert!(none.say(System::Metric).join(" ").contains("Do not anchor here."));
}

#[test]
fn what_is_not_known_is_not_guessed() {
    let unknown = tackle(None, None).advise(&turnstone(), &berth(6.0, 18.0)).unwrap();
    assert_eq!((unknown.enough, unknown.lie, unknown.lifts()), (Enough::Unknown, None, None));
    assert!(unknown.findings.contains(&Finding::RodeUnknown));
    assert!(unknown.findings.contains(&Finding::LieUnknown));
    // 60 m of chain are enough, whatever rope there may be besides.
    let chain = tackle(Some(60.0), None).advise(&turnstone(), &berth(6.0, 18.0)).unwrap();
    assert_eq!(chain.enough, Enough::Yes { left: metres(7.5) });
    assert_eq!(chain.lifts(), Some(false));
    let weightless = Tackle { chain_weight: None, ..tackle(Some(60.0), Some(0.0)) };
    let weightless = weightless.advise(&turnstone(), &berth(6.0, 18.0)).unwrap();
    assert!(weightless.findings.contains(&Finding::LieUnknown) && weightless.swing_high.is_some());
    let long = Hull::new(HullKind::Sail, Length::feet(64.0));
    let long = tackle(Some(90.0), Some(0.0)).advise(&long, &berth(6.0, 18.0)).unwrap();
    assert_eq!((long.loads.planned, long.lie), (None, None));
    assert!(long.findings.contains(&Finding::LoadUnknown));
    assert!(long.findings.contains(&Finding::BottomUnknown));
    assert!(long.say(System::Metric).iter().any(|said| said == HOLDING_UNKNOWN));
}

/// By hand: 52.5 m over 7.5 m reaches 51.96 m, over 5.5 m 52.21 m.
#[test]
fn she_swings_widest_at_low_water() {
    let tide = Berth { rise: metres(1.0), fall: metres(1.0), margin: metres(5.0), ..berth(5.0, 18.0) };
    let advice = tackle(Some(60.0), Some(0.0)).advise(&turnstone(), &tide).unwrap();
    let (low, high) = (advice.swing_low.unwrap(), advice.swing_high.unwrap());
    assert_near(high.straight_reach.as_metres(), 51.961_524, 1e-7, "high water");
    assert_near(low.straight_reach.as_metres(), 52.211_110, 1e-7, "low water");
    assert_near(low.radius.as_metres(), 52.211_110 + 10.5 + 5.0, 1e-7, "with the boat and the margin");
    assert!(high.reach_at_load.unwrap() < high.straight_reach);
    assert!(OVERLAP[0].contains("swing differently"));
    let keel = advice.findings.iter().find_map(|finding| match finding {
        Finding::UnderKeel { water } => Some(*water),
        _ => None,
    });
    assert_near(keel.unwrap().as_metres(), 2.1, 1e-12, "water under the keel");
    let shoal = Berth { fall: metres(3.5), ..tide };
    let shoal = tackle(Some(60.0), Some(0.0)).advise(&turnstone(), &shoal).unwrap();
    assert!(matches!(shoal.findings[0], Finding::Touches { .. }));
}

/// Rope alone is off the bottom in any wind, and the 8° rule asks for 7.19 times the height, not 5.
#[test]
fn too_little_chain_pulls_the_anchor_up() {
    let advice = tackle(Some(0.0), Some(80.0)).advise(&turnstone(), &berth(6.0, 10.0)).unwrap();
    assert_eq!(advice.conditions, Conditions::Calm);
    assert_printed(advice.scope.as_plain(), "7.19", "a straight rode at 8°");
    assert_eq!(advice.lifts(), Some(true));
    assert!(advice.findings.contains(&Finding::LittleChain { chain: Length::ZERO }));
    let steep = |advice: &Advice| {
        let is = |found: &Finding| matches!(found, Finding::PullsUp { is_too_steep: true, .. });
        advice.findings.iter().any(is)
    };
    assert!(!steep(&advice), "what is let out meets the rule");
    let short = tackle(Some(3.0), Some(27.0)).advise(&turnstone(), &berth(6.0, 30.0)).unwrap();
    assert!(steep(&short) && short.short_by().is_some());
    assert!(short.say(System::Metric).join(" ").contains("steeper than the 8° that an anchor bears"));
}

#[test]
fn swell_counts_as_heavy_and_a_calm_is_worked_out_too() {
    let swell = Berth { conditions: Some(Conditions::Heavy), ..berth(6.0, 5.0) };
    let advice = tackle(Some(80.0), Some(0.0)).advise(&turnstone(), &swell).unwrap();
    assert_eq!(advice.let_out, metres(75.0));
    let mild = Berth { conditions: Some(Conditions::Calm), ..berth(6.0, 30.0) };
    let advice = tackle(Some(80.0), Some(0.0)).advise(&turnstone(), &mild).unwrap();
    assert_eq!(advice.conditions, Conditions::Heavy, "the wind is not talked away");
    let calm = tackle(Some(80.0), Some(0.0)).advise(&turnstone(), &berth(6.0, 0.0)).unwrap();
    assert_eq!((calm.lifts(), calm.loads.planned), (Some(false), Some(Force::ZERO)));
    let catamaran = Hull::new(HullKind::Multihull, metres(12.0));
    let single = Hull::new(HullKind::Sail, metres(12.0));
    let planned = |hull: &Hull| {
        let advice = tackle(Some(80.0), Some(0.0)).advise(hull, &berth(6.0, 25.0)).unwrap();
        advice.loads.planned.unwrap()
    };
    assert_near(planned(&catamaran) / planned(&single), 1.5, 1e-12, "multihull");
}

#[test]
fn bad_figures_are_refused_with_how_to_mend_them() {
    let good = tackle(Some(50.0), Some(0.0));
    let faults = [
        good.advise(&turnstone(), &berth(-3.0, 10.0)).unwrap_err(),
        good.advise(&turnstone(), &berth(3.0, f64::NAN)).unwrap_err(),
        good.advise(&turnstone(), &Berth { rise: metres(-1.0), ..berth(3.0, 9.0) }).unwrap_err(),
        good.advise(&turnstone(), &Berth { fall: metres(4.0), ..berth(3.0, 9.0) }).unwrap_err(),
        good.advise(&Hull { beam: Some(Length::ZERO), ..turnstone() }, &berth(3.0, 9.0)).unwrap_err(),
        tackle(Some(0.0), Some(0.0)).advise(&turnstone(), &berth(3.0, 9.0)).unwrap_err(),
        tackle(Some(-5.0), None).advise(&turnstone(), &berth(3.0, 9.0)).unwrap_err(),
        Rode::of_chain(metres(5.0), weight(2.0)).unwrap().lie(metres(5.0), newtons(9.0)).unwrap_err(),
        ChainWeight::nominal(Length::millimetres(2.0)).unwrap_err(),
        Windlass::new(Current::amps(80.0), Speed::ZERO).unwrap_err(),
    ];
    let said = faults.map(|fault| fault.to_string());
    let wanted = [
        "The depth is given as -3 m. Nothing can be worked out from that. Give more than zero.",
        "The wind is not a number that can be worked with. Give an ordinary figure.",
        "The rise of tide still to come is given as -1 m. It cannot be below zero. Give zero or more.",
        "The fall of tide still to come is given as 4 m. Give at most less than the depth of 3 m, or the berth dries.",
        "The beam is given as 0 m. Nothing can be worked out from that. Give more than zero.",
        "The rode aboard is given as 0 m. Nothing can be worked out from that. Give more than zero.",
        "The length of the chain is given as -5 m. It cannot be below zero. Give zero or more.",
        "The rode let out is given as 5 m. Give at least more than 5 m, or it does not reach the bottom.",
        "The diameter of the chain is given as 2 mm. Give at least 5 mm, or state what a metre of it weighs.",
        "The chain speed of the windlass is given as 0 m a minute. Nothing can be worked out from that. Give more than zero.",
    ];
    for (said, wanted) in said.iter().zip(wanted) {
        assert_eq!(said, wanted);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// More wind never needs less rode, nor do more depth, more tide or a higher bow; and more wind never
    /// pulls less.
    #[test]
    fn more_wind_and_deeper_water_never_need_less(
        chain in 0.0..60.0_f64, rope in prop_oneof![Just(0.0), 1.0..60.0_f64], length in 6.0..20.0_f64,
        depth in 1.0..25.0_f64, knots in 0.0..70.0_f64, more_depth in 0.0..10.0_f64, more_wind in 0.0..30.0_f64,
        kind in prop_oneof![Just(HullKind::Sail), Just(HullKind::Power), Just(HullKind::Multihull)],
    ) {
        prop_assume!(chain + rope > 0.0);
        let hull = Hull { kind, length: metres(length), ..turnstone() };
        let tackle = tackle(Some(chain), Some(rope));
        let advise = |tackle: &Tackle, berth: &Berth| tackle.advise(&hull, berth).unwrap();
        let here = advise(&tackle, &berth(depth, knots));
        let least = here.let_out * (1.0 - 1e-12);
        let windier = advise(&tackle, &berth(depth, knots + more_wind));
        prop_assert!(windier.let_out >= least);
        prop_assert!(windier.loads.planned.unwrap() >= here.loads.planned.unwrap() * (1.0 - 1e-12));
        prop_assert!(advise(&tackle, &berth(depth + more_depth, knots)).let_out >= least);
        let tide = Berth { rise: metres(more_depth), ..berth(depth, knots) };
        prop_assert!(advise(&tackle, &tide).let_out >= least);
        let high = Tackle { bow_height: tackle.bow_height + metres(more_depth), ..tackle };
        prop_assert!(advise(&high, &berth(depth, knots)).let_out >= least);
        // The same berth with a fall of tide: she lies flatter, and swings no less.
        let ebb = Berth { fall: metres(depth * 0.5), ..berth(depth, knots) };
        let ebb = advise(&tackle, &ebb);
        if let (Some(low), Some(high)) = (ebb.swing_low, ebb.swing_high) {
            prop_assert!(low.radius >= high.radius);
        }
        prop_assert!(here.say(System::UsCustomary).iter().all(|said| said.ends_with('.')));
    }
}
