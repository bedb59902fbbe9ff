//! Sections 9b and 9c: filling the banks again.

use super::{Reckoned, near, reckoned, whole_days};

fn bank(chemistry: &str, capacity: u32, more: &str) -> String {
    format!(
        "\n[stores.house]\nname = \"House bank\"\nkind = \"battery\"\nchemistry = \"{chemistry}\"\ncapacity = \"{capacity} Ah\"\nusable = \"50 %\"\n{more}\n"
    )
}

fn charger(amps: u32) -> String {
    format!(
        "\n[sources.shore]\nname = \"Shore\"\nkind = \"shore\"\ngives = \"30 A\"\nvoltage = \"120 V\"\n\n[sources.charger]\nname = \"Charger\"\nkind = \"charger\"\ngives = \"{amps} A\"\n"
    )
}

/// A bank on a charger from midnight of the second day; levels hour by hour from then.
fn charged(text: &str, from: u32) -> (Reckoned, Vec<f64>) {
    let plan = format!(
        "trip = 1\n[plan]\ncrew = 2\nstarts = 2027-07-10\nfrom = \"12:00\"\nuntil = \"12:00\"\nlow = \"25 °C\"\nhigh = \"25 °C\"\nlevels = [{{ store = \"house\", level = \"{from} %\" }}]\n[[days]]\nnight = \"alongside\"\npedestal = \"30 A\"\n[[days]]\nnight = \"alongside\"\npedestal = \"30 A\"\n"
    );
    let reckoned = reckoned(text, &plan);
    let levels = reckoned.marks.levels[0].iter().map(|level| f64::from(*level)).collect();
    (reckoned, levels)
}

/// Hours until a level is reached, between whole hours by a straight line.
fn hours_to(levels: &[f64], from: f64, level: f64) -> f64 {
    let mut before = from;
    for (hour, now) in levels.iter().enumerate() {
        if *now >= level {
            #[allow(clippy::cast_precision_loss, reason = "some hours")]
            return hour as f64 + (level - before) / (now - before);
        }
        before = *now;
    }
    f64::INFINITY
}

#[test]
fn canal_boat_bank_section_9b() {
    // 600 Ah AGM, of which 300 Ah are usable; a night takes 10 %, 60 Ah.
    let night = "\n[loads.night]\nname = \"Night\"\nruns = \"daily\"\ndraws = \"10 A\"\na_day = \"6 h\"\npart_of_day = \"evening\"\n";
    let text = bank("agm", 600, "health = \"100 %\"") + night;
    let day = reckoned(&text, &whole_days(2, &["night = \"anchored\""], "low = \"25 °C\"\nhigh = \"25 °C\""));
    let spec = &day.voyage.banks[0];
    near((spec.spec.capacity * spec.usable.as_plain()).as_amp_hours(), 300.0, 1e-9);
    near(day.took("night"), 60.0, 1e-9);
    near(1.0 - day.level(0, 24), 0.1, 0.01);
}

#[test]
fn two_hundred_ah_at_20_a_section_9b() {
    // 33 % of 600 Ah, 200 Ah at 20 A: 10 h. That leaves out what is lost as the bank gasses and the taper at its end.
    let (reckoned, levels) = charged(&(bank("agm", 600, "health = \"100 %\"") + &charger(20)), 67);
    let ten = levels[9];
    assert!(reckoned.log.taken[0] >= 200.0, "in the end it takes more than is missing");
    // The model has 97 % after ten hours, 99 % after eleven and a half.
    assert!((0.95..0.99).contains(&ten), "{ten}");
    // As long as nothing limits it, 20 A are 20 A: 60 Ah in the first three hours.
    near(levels[2] - 0.67, 60.0 / 600.0, 0.01);
}

#[test]
fn four_hundred_ah_at_half_with_40_a_section_9c() {
    // 200 Ah / 40 A = 5 h ideally; 6 to 8 h with the taper (marine electrician; calc).
    let (_, levels) = charged(&(bank("flooded", 400, "health = \"100 %\"") + &charger(40)), 50);
    let (most, full) = (hours_to(&levels, 0.5, 0.9), hours_to(&levels, 0.5, 0.98));
    assert!(most >= 4.0, "nothing is faster than 40 A: {most}");
    // The source does not say how full is full. The model has 98 % after 6.4 h, but 99 % only after 8.5 h.
    assert!((6.0..8.0).contains(&full), "to 98 % in {full} h, to 90 % in {most} h");
    near(levels[2] - 0.5, 120.0 / 400.0, 0.01);
}

/// The level after an hour's motoring from 60 %, with an alternator that really gives so many amperes.
fn after_an_hour(amps: u32) -> f64 {
    let alternator = format!(
        "\n[sources.alternator]\nname = \"Alternator\"\nkind = \"alternator\"\ngives = \"{amps} A\"\nshare = \"100 %\"\nvoltage = \"14.4 V\"\n"
    );
    let plan = whole_days(
        2,
        &["legs = [{ by = \"motor\", from = \"08:00\", for = \"1 h\", rpm = \"3000 rpm\" }]"],
        "low = \"25 °C\"\nhigh = \"25 °C\"\nlevels = [{ store = \"house\", level = \"60 %\" }]",
    );
    reckoned(&(bank("agm", 400, "health = \"100 %\"") + &alternator), &plan).level(0, 9)
}

#[test]
fn an_hour_after_40_percent_drawn_section_9c() {
    // "After 40 % drawn overnight, one hour's motoring gives about 85 % at best" (battery firm), for no stated
    // alternator. With one of a quarter of the bank's Ah, large for a yacht, the model is just there; with one that the
    // bank alone limits it is 2 points above.
    let (large, unlimited) = (after_an_hour(100), after_an_hour(300));
    assert!((0.82..=0.85).contains(&large), "{large}");
    assert!((0.85..=0.88).contains(&unlimited), "{unlimited}");
    // Next morning, after 40 % again: about 45 %.
    near(large - 0.4, 0.45, 0.05);
}

/// Engine hours a day, in quarters of an hour, that keep the bank of a 42-ft charter yacht above 11.9 V for a week.
fn engine_hours(capacity: u32, fridge: &str, lights: &str, start: u32) -> Option<f64> {
    let text = bank("flooded", capacity, "health = \"70 %\"")
        + &format!(
            "\n[sources.alternator]\nname = \"Alternator\"\nkind = \"alternator\"\ngives = \"55 A\"\nshare = \"60 %\"\n\n[loads.fridge]\nname = \"Fridge\"\nruns = \"steady\"\ndraws = \"5 A\"\nduty = \"{fridge} %\"\n\n[loads.lights]\nname = \"Lights\"\nruns = \"daily\"\ndraws = \"5 A\"\na_day = \"{lights} h\"\npart_of_day = \"evening\"\n"
        );
    (0..32).map(|quarters| f64::from(quarters) / 4.0).find(|hours| {
        let half = hours * 30.0;
        let run = |from: &str| format!("{{ from = \"{from}\", for = \"{half} min\" }}");
        let day =
            if half > 0.0 { format!("engine = [{}, {}]", run("09:00"), run("17:00")) } else { String::new() };
        let level = format!("levels = [{{ store = \"house\", level = \"{start} %\" }}]");
        let week = reckoned(&text, &whole_days(6, &[day.as_str(); 7], &level));
        // The last days tell whether it keeps up.
        week.marks.volts[0].iter().all(|volts| *volts >= 11.9)
    })
}

#[test]
fn charter_yacht_section_9b() {
    // A 42-ft charter yacht with 400 to 600 Ah, fridge and lights: guests ran the engine 3 to 4 h a day to stay above
    // 11.9 V. The loads are those of section 9a (fridge 75 Ah, filament lights 20 Ah); an alternator of 55 A that "gives
    // 20 A if lucky" (section 9c), and a flooded bank of some years with 70 % left (our judgement). The model agrees
    // with the lower end from a bank at 60 %, as it is after the first nights: 3 to 3.25 h. From a full bank a week
    // needs less, since it eats into what is there; to come out even, 95 Ah at 23 A need 4.1 h.
    for capacity in [400, 500, 600] {
        let (used, full) = (engine_hours(capacity, "62", "4", 60), engine_hours(capacity, "62", "4", 100));
        let (used, full) = (used.unwrap(), full.unwrap());
        assert!((3.0..=4.0).contains(&used), "{capacity} Ah from 60 %: {used} h");
        assert!((1.5..used).contains(&full), "{capacity} Ah from full: {full} h");
    }
}
