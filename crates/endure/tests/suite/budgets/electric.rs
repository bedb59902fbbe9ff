//! Sections 9a and 9b: what is drawn on a day.
//!
//! Totals only are published for: the cruising sloop (325 and 211 Ah), the 40-ft cruiser (427 Ah), the 45-ft cutter (130
//! and 200 Ah) and the boats kept simple (4 kWh). They have no lines to reproduce.

use endure::luck::Luck;
use endure::run::{Moment, Runner, Watch};

use super::{Reckoned, demo, near, of_boat, reckoned, whole_days};

/// A bank that no day empties.
const BANK: &str = "
[stores.house]
name = \"House bank\"
kind = \"battery\"
chemistry = \"agm\"
capacity = \"1000 Ah\"
health = \"100 %\"
";

fn load(id: &str, lines: &str) -> String {
    format!("\n[loads.{id}]\nname = \"{id}\"\n{lines}\n")
}

fn daily(id: &str, draws: &str, a_day: &str) -> String {
    load(id, &format!("runs = \"daily\"\ndraws = \"{draws}\"\na_day = \"{a_day}\""))
}

/// Wh drawn from the banks over a trip.
fn energy(reckoned: &Reckoned) -> f64 {
    struct Drawn(f64, Option<f64>, f64);
    impl Watch for Drawn {
        fn step(&mut self, moment: &Moment<'_>) {
            // Watts become amperes at the voltage after the step before.
            let now = moment.flows[0].voltage.as_volts();
            self.0 += moment.asked[0].as_amps() * self.1.unwrap_or(now) * self.2;
            self.1 = Some(now);
        }
    }
    let mut drawn = Drawn(0.0, None, reckoned.voyage.step.as_hours());
    Runner::new(&reckoned.voyage).run(&Luck::middle(&reckoned.voyage), &mut drawn);
    drawn.0
}

/// The constructed set of section 9b: id, amperes, hours, Ah at anchor.
const AT_ANCHOR: [(&str, &str, &str, f64); 6] = [
    ("anchor_light", "0.2 A", "10 h", 2.0),
    ("cabin_lights", "1.5 A", "4 h", 6.0),
    ("water_pump", "6 A", "30 min", 3.0),
    ("vhf", "0.3 A", "24 h", 7.2),
    ("telephones", "2 A", "4 h", 8.0),
    ("heater", "1.5 A", "5 h", 7.5),
];

fn constructed() -> String {
    let mut text = BANK.to_owned();
    text.push_str(&load("fridge", "runs = \"steady\"\ndraws = \"5 A\"\nduty = \"50 %\""));
    for (id, draws, a_day, _) in AT_ANCHOR {
        text.push_str(&daily(id, draws, a_day));
    }
    for (id, draws, duty) in
        [("instruments", "0.5 A", "100 %"), ("plotter", "1.5 A", "100 %"), ("autopilot", "1.5 A", "80 %")]
    {
        // Ten hours under sail; the autopilot steers for eight of them.
        let lines =
            format!("runs = \"steady\"\ndraws = \"{draws}\"\nduty = \"{duty}\"\nduring = [\"sailing\"]");
        text.push_str(&load(id, &lines));
    }
    text
}

#[test]
fn constructed_set_at_anchor_section_9b() {
    let day = reckoned(&constructed(), &whole_days(2, &["night = \"anchored\""], ""));
    near(day.took("fridge"), 60.0, 1e-9);
    for (id, _, _, published) in AT_ANCHOR {
        near(day.took(id), published, 1e-9);
    }
    for id in ["instruments", "plotter", "autopilot"] {
        assert!(day.took(id) == 0.0, "{id} is off at anchor");
    }
    near(day.log.whole.iter().sum(), 93.7, 1e-9);
}

#[test]
fn constructed_set_sailing_section_9b() {
    let legs = "legs = [{ by = \"sail\", from = \"08:00\", for = \"10 h\" }]";
    let day = reckoned(&constructed(), &whole_days(2, &[legs], ""));
    near(day.took("fridge"), 60.0, 1e-9);
    for (id, _, _, published) in AT_ANCHOR {
        near(day.took(id), published, 1e-9);
    }
    for (id, published) in [("instruments", 5.0), ("plotter", 15.0), ("autopilot", 12.0)] {
        near(day.took(id), published, 1e-9);
    }
    near(day.log.whole.iter().sum(), 125.7, 1e-9);
}

#[test]
fn a_thermostat_has_its_duty_on_the_mean_section_9b() {
    let fridge = load(
        "fridge",
        "runs = \"thermostat\"\ndraws = \"5 A\"\nduty = \"50 %\"\nduty_at = \"25 °C\"\ninside = \"5 °C\"\ntime_constant = \"8 h\"",
    );
    let days = ["night = \"anchored\""; 6];
    let week =
        reckoned(&format!("{BANK}{fridge}"), &whole_days(2, &days, "low = \"25 °C\"\nhigh = \"25 °C\""));
    // 5 A × 50 % × 24 h, but for a run begun or not yet ended.
    near(week.took("fridge") / 6.0, 60.0, 0.02);
}

#[test]
fn light_stereo_and_anchor_light_section_9b() {
    let lines =
        [("reading_light", "8 W", "4 h"), ("stereo", "40 W", "4 h"), ("anchor_light", "25 W", "10 h")];
    let text: String = lines.iter().map(|(id, draws, a_day)| daily(id, draws, a_day)).collect();
    let day = reckoned(&format!("{BANK}{text}"), &whole_days(2, &["night = \"anchored\""], ""));
    // 32 + 160 + 250 = 442 Wh; the page's own sum is a misprint (section 12).
    near(energy(&day), 442.0, 1e-6);
    // 36.8 Ah are at 12.0 V; a bank that is nearly full stands higher and gives fewer.
    let amp_hours: f64 = day.log.whole.iter().sum();
    assert!((442.0 / 12.8..442.0 / 12.0).contains(&amp_hours), "{amp_hours}");
}

#[test]
fn an_inverter_left_on_section_9b() {
    let idle = load("inverter", "runs = \"steady\"\ndraws = \"50 W\"");
    let day = reckoned(&format!("{BANK}{idle}"), &whole_days(2, &["night = \"anchored\""], ""));
    near(energy(&day), 1200.0, 1e-6);
    // 100 Ah at 12.0 V.
    assert!((1200.0 / 12.8..=100.0).contains(&day.took("inverter")), "{}", day.took("inverter"));
}

#[test]
fn an_inverter_multiplies_by_1_15_section_9a() {
    let text = format!(
        "{BANK}\n[sources.inverter]\nname = \"Inverter\"\nkind = \"inverter\"\ngives = \"2000 W\"\n{}",
        load("kettle", "kind = \"mains\"\nruns = \"daily\"\ndraws = \"1400 W\"\na_day = \"1 h\"")
    );
    let day = reckoned(&text, &whole_days(2, &["night = \"anchored\""], ""));
    near(energy(&day), 1400.0 * 1.15, 0.001);
}

#[test]
fn single_loads_section_9a() {
    let lines = [
        // Autopilot 5 A × 30 %: 36 Ah in 24 h (handbook; cruising blog).
        ("autopilot", "runs = \"steady\"\ndraws = \"5 A\"\nduty = \"30 %\"", 36.0),
        // All cabin lights, filament, 5 A × 4 h (chandlery note).
        ("lights", "runs = \"daily\"\ndraws = \"5 A\"\na_day = \"4 h\"\npart_of_day = \"evening\"", 20.0),
        // Filament anchor light, 2.1 A, here for the 10 h of section 9b.
        ("anchor_light", "runs = \"daily\"\ndraws = \"2.1 A\"\na_day = \"10 h\"", 21.0),
    ];
    let text: String = lines.iter().map(|(id, keys, _)| load(id, keys)).collect();
    let day = reckoned(&format!("{BANK}{text}"), &whole_days(2, &["night = \"anchored\""], ""));
    for (id, _, published) in lines {
        near(day.took(id), published, 1e-9);
    }
    // LED saloon and cabins 50 W × 4 h = 0.2 kWh, 16.67 Ah at 12 V (owner calc).
    let led = daily("led", "50 W", "4 h");
    let day = reckoned(&format!("{BANK}{led}"), &whole_days(2, &["night = \"anchored\""], ""));
    near(energy(&day), 200.0, 1e-6);
    assert!((200.0 / 12.8..16.67).contains(&day.took("led")));
}

#[test]
fn an_electric_flush_section_8b() {
    // 10 A × 30 s: 0.083 Ah, five times a day for each of four.
    let flush = load("flush", "runs = \"event\"\nper = \"flush\"\ndraws = \"10 A\"\ntakes = \"30 s\"");
    let day =
        reckoned(&format!("{BANK}{flush}"), &whole_days(4, &["night = \"anchored\""], "flushes_each = 5"));
    near(day.took("flush") / 20.0, 10.0 * 30.0 / 3600.0, 1e-9);
}

/// Whimbrel at anchor: the second of two days, in the air given.
fn at_anchor(low: u32, high: u32) -> (f64, f64) {
    let plan = |days: &[&str]| whole_days(4, days, &format!("low = \"{low} °C\"\nhigh = \"{high} °C\""));
    let went = "legs = [{ by = \"sail\", from = \"10:00\", for = \"2 h\" }]";
    let one = of_boat(demo("whimbrel"), &plan(&[went]));
    let four = of_boat(demo("whimbrel"), &plan(&[went, "", "", ""]));
    let of_house = |reckoned: &Reckoned| -> f64 {
        let lines = reckoned.voyage.lines.iter().zip(&reckoned.log.whole);
        let house = endure::voyage::Account::Bank(0);
        lines.filter(|(line, _)| line.account == house).map(|(_, amount)| amount).sum()
    };
    let fridge = (four.took("refrigerator") - one.took("refrigerator")) / 3.0;
    (fridge, (of_house(&four) - of_house(&one)) / 3.0)
}

#[test]
fn whimbrel_at_anchor_is_within_the_published_sections_9a_9b() {
    // Fridge-freezer 36 Ah on a cool day, 80 Ah on a hot one (cruising log).
    // At what temperatures it does not say: the model has 36 Ah at a mean of 17 °C.
    let (cool, cool_all) = at_anchor(15, 20);
    let (hot, hot_all) = at_anchor(22, 32);
    assert!(cool >= 36.0 && hot <= 80.0 && hot > cool, "{cool} {hot}");
    // Between the constructed set's 93.7 Ah and the 130 Ah of the 45-ft cutter's cool day, give or take the fifth by
    // which such totals differ from boat to boat (our judgement).
    for all in [cool_all, hot_all] {
        assert!(
            (93.7 * 0.8..130.0 * 1.2).contains(&all),
            "cool {cool} of {cool_all}, hot {hot} of {hot_all}"
        );
    }
}
