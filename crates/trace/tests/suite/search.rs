//! What crews type, on a telephone and in a hurry, and what is found.
//!
//! The phrases are made up as they are typed: without apostrophes, with letters missing, doubled or changed round, in
//! British and American words, in the words of somebody who does not know the boat.

use trace::{About, find, symptoms};

use crate::demo::boat;

/// A phrase, and the symptom of Whimbrel that is meant; for an emergency the list, whichever of its signs is found.
const TYPED: &[(&str, &str)] = &[
    ("engine wont start", "engine_starts"),
    ("engien wont strat", "engine_starts"),
    ("the motor does not start", "engine_starts"),
    ("it just clicks when i press start", "starter_power"),
    ("starter cliks", "starter_power"),
    ("nothing happens when i press the start button", "starter_turns"),
    ("engine turns but doesnt fire", "fuel_at_engine"),
    ("no lamp when i turn the key", "engine_panel_live"),
    ("engine dies after a few mins", "engine_keeps_running"),
    ("temperature needle climbing", "engine_keeps_cool"),
    ("engine overheating", "engine_overheats"),
    ("no water from exhaust", "raw_water_flows"),
    ("no water spits from the exaust", "raw_water_flows"),
    ("engine wont stop", "engine_stops"),
    ("engine has no power", "engine_speed"),
    ("smoke out of the exhaust", "exhaust_clear"),
    ("oil light came on", "oil_lamp_out"),
    ("charge light stays on", "charge_lamp_out"),
    ("red charge lamp doesnt go out", "charge_lamp_out"),
    ("wont go into gear", "gear_engages"),
    ("engine runs but we dont move", "drives"),
    ("whole boat shakes in gear", "runs_smoothly"),
    ("anchor wont go down", "anchor_goes_down"),
    ("cant get the anchor up", "anchor_comes_up"),
    ("winlass dead", "windlass_live"),
    ("windlass does nothing", "windlass_live"),
    ("anchor chain jamed", "chain_runs"),
    ("anchor draging", "anchor_holds"),
    ("depht shows dashes", "depth_reads"),
    ("depth sounder reads nothing", "depth_reads"),
    ("bow thruster joystick dead", "thruster_live"),
    ("thruster lamp on but bow doesnt move", "thruster_pushes"),
    ("chart ploter is dark", "plotter_shows"),
    ("plotter has no position", "plotter_shows"),
    ("wind instrument stuck", "wind_reads"),
    ("autopilot keeps beeping", "autopilot_holds"),
    ("steering is stiff", "steers"),
    ("foghorn no sound", "horn_sounds"),
    ("vhf display dark", "vhf_live"),
    ("nobody answers us on the radio", "vhf_heard"),
    ("handheld radio dead", "handheld_works"),
    ("speed log shows zero", "log_reads"),
    ("bilge pump silent and water in bilge", "bilge_pump_live"),
    ("bilge pump hums but no water", "bilge_pump_throws"),
    ("stove wont light", "gas_supply"),
    ("no gas at the cooker", "gas_at_stove"),
    ("oven wont stay lit", "oven_holds"),
    ("one burner goes out", "burner_holds"),
    ("fridge is warm", "fridge_runs"),
    ("refridgerator warm", "fridge_runs"),
    ("fridge not cold but runs all day", "fridge_cold"),
    ("no water in the galley", "galley_water"),
    ("foot pump gives no water", "foot_pump_works"),
    ("heating doesnt start", "heater_starts"),
    ("heater blows cold air", "heater_warms"),
    ("no hot water", "hot_water"),
    ("no water in the shower", "basins_run"),
    ("taps only a thin stream", "taps_run_well"),
    ("faucet only a thin stream", "taps_run_well"),
    ("water tastes salty", "water_sweet"),
    ("tank guage doesnt move", "gauges_read"),
    ("halyard slips", "clutches_hold"),
    ("toilet wont flush", "toilet_aft_flushes"),
    ("the loo will not flush", "toilet_aft_flushes"),
    ("forward toilet blocked handle hard", "toilet_forward_way"),
    ("toilet bowl fills by itself", "toilet_forward_stays_empty"),
    ("vacuum pump starts all the time", "toilet_aft_quiet"),
    ("holding tank full", "holding_tank_takes"),
    ("pumpout doesnt empty the holding tank", "holding_tank_empties"),
    ("no water from taps", "water_pump_pressure"),
    ("water pump keeps running", "water_pump_quiet"),
    ("water in the shower tray", "shower_pump_aft_drains"),
    ("main sail stuck", "mainsail_runs"),
    ("genoa wont roll in", "genoa_rolls"),
    ("jib wont furl", "genoa_rolls"),
    ("loose shroud", "rigging_stands"),
    ("hatch leaks", "forward_hatch_tight"),
    ("dingy is soft", "tender_firm"),
    ("outbord wont start", "outboard_starts"),
    ("outboard dies after 2 minutes", "outboard_fuel"),
    ("phone doesnt charge", "telephones_charge"),
    ("no lights in the cabin", "cabin_lit"),
    ("battery flat in the morning", "night_lasts"),
    ("batterys empty every morning", "night_lasts"),
    ("solar pannel gives nothing", "solar_charges"),
    ("shore power dead", "shore_at_panel"),
    ("wall sockets dead", "outlets_live"),
    ("no power at the outlets", "outlets_live"),
    ("inverter doesnt come on", "inverter_live"),
    ("red polarity light is on", "polarity_right"),
    ("shore breaker keeps tripping", "main_holds"),
    ("electric panel is dead", "house_live"),
    ("no red and green lights", "side_lights_show"),
    ("anchor light dead", "anchor_light_shows"),
    ("compas dark at night", "compass_lit"),
    ("swim platform wont go down", "platform_moves"),
    ("fan in the cabin doesnt turn", "fans_blow"),
    ("smoke detector chirping", "sign.smoke_alarm_battery"),
    ("i smell gass", "gas_alarm"),
    ("man over board", "man_overboard"),
    ("pan on fire", "galley_fire"),
    ("water comming in fast", "flooding"),
    ("co alarm is going off", "carbon_monoxide_co_alarm"),
];

/// Which place, from 0, the symptom meant has among those found.
fn place(found: &[&str], meant: &str) -> Option<usize> {
    let of_list = |id: &str| id.rsplit_once('.').is_some_and(|(list, _)| list == meant);
    found.iter().position(|id| *id == meant || of_list(id))
}

#[test]
fn what_is_meant_is_among_the_first_three_found() {
    let boat = boat("whimbrel");
    let symptoms = symptoms(&boat);
    let mut missed = Vec::new();
    let mut first = 0;
    for (typed, meant) in TYPED {
        assert!(symptoms.iter().any(|symptom| place(&[&symptom.id], meant).is_some()), "no symptom {meant}");
        let found = find(&boat, &symptoms, typed);
        // A word of danger brings the emergencies first; what is meant then stands right below them.
        let urgent = |at: &usize| matches!(symptoms[*at].about, About::Emergency(_));
        let meant_urgent =
            symptoms.iter().enumerate().any(|(at, one)| urgent(&at) && place(&[&one.id], meant).is_some());
        let shown = found.iter().map(|(at, _)| at).filter(|at| meant_urgent || !urgent(at));
        let ids: Vec<&str> = shown.take(5).map(|at| &symptoms[*at].id[..]).collect();
        match place(&ids, meant) {
            Some(0) => first += 1,
            Some(1 | 2) => {}
            _ => missed.push(format!("{typed:?} means {meant}, finds {ids:?}")),
        }
    }
    assert!(missed.is_empty(), "{} of {} missed:\n{}", missed.len(), TYPED.len(), missed.join("\n"));
    assert!(first * 10 >= TYPED.len() * 8, "{first} of {} found first", TYPED.len());
}

#[test]
fn a_symptoms_own_words_find_it_first() {
    for name in crate::demo::BOATS {
        let boat = boat(name);
        let symptoms = symptoms(&boat);
        for symptom in &symptoms {
            let found = find(&boat, &symptoms, &symptom.words);
            let first = &symptoms[found[0].0];
            assert!(first.words == symptom.words, "{name}: {} finds {}", symptom.words, first.words);
        }
    }
}

#[test]
fn what_says_nothing_finds_nothing() {
    let boat = boat("whimbrel");
    let symptoms = symptoms(&boat);
    for typed in ["", "   ", "?!", "it is not", "xylophone", "qqqqqqqq"] {
        assert!(find(&boat, &symptoms, typed).is_empty(), "{typed:?} finds something");
    }
}
