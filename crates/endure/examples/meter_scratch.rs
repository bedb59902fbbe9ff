//! scratch
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "scratch")]
use endure::*;
fn main() {
    let path = std::env::args().nth(1).unwrap();
    let text = std::fs::read_to_string(&path).unwrap();
    let boat = boat::compile(&path, &text).boat.unwrap();
    let mut trip = plan::usual(&boat, &plan::Wish::week(4, "2027-07-10".parse().unwrap()));
    let off: f64 = std::env::args().nth(2).unwrap().parse().unwrap();
    let v = Voyage::new(&boat, &trip).unwrap();
    let t = std::time::Instant::now();
    let marks = reckon(&v, 1, 0..500);
    println!("reckon {:?}", t.elapsed());
    let mut f = Forecast::of(&boat, &v, &marks);
    let t = std::time::Instant::now();
    f = Forecast::of(&boat, &v, &marks);
    println!("forecast {:?} {}", t.elapsed(), f.drawings);
    for day in 2..=3u32 { for (h, hour) in [(7u16, 7u32),(20,20)] {
        let at = (day-1)*24+hour-15-1;
        for (i, s) in f.stores.iter().enumerate() {
            if i == 1 { continue; }
            let level = f64::from(s.hours[at as usize].middle);
            let rises = s.limit > 0.5 && s.hours[0].middle < 0.3;
            let level = if rises { level + off } else { level - off };
            if s.stores.len() > 1 { continue; }
            trip.readings.push(boat::trip::Sighting { day, at: boat::trip::Clock::at(h,0), store: Some(boat.stores[s.stores[0]].id.clone()), sight: boat::trip::Sight::Level(quantity::Ratio::plain(level.clamp(0.0,1.0))), span: trip.span });
        }
        trip.readings.push(boat::trip::Sighting { day, at: boat::trip::Clock::at(h,0), store: Some(boat.stores[f.stores[0].stores[0]].id.clone()), sight: boat::trip::Sight::Voltage(quantity::Voltage::volts(f64::from(f.stores[0].volts[at as usize].middle) - off)), span: trip.span });
    }}
    let v = Voyage::new(&boat, &trip).unwrap();
    let t = std::time::Instant::now();
    let c = meter::check_marks(&boat, &v, 1, &reckon(&v, 1, 0..500));
    println!("reckon and check {:?}", t.elapsed());
    let t = std::time::Instant::now();
    let m = reckon(&v, 1, 0..500);
    println!("reckon {:?}", t.elapsed());
    let t = std::time::Instant::now();
    let c2 = meter::check_marks(&boat, &v, 1, &m);
    println!("check {:?} {}", t.elapsed(), c2.posterior.lucks.len());
    println!("effective {} fit {:?} readings {}", c.effective, c.fit, c.readings.len());
    for r in &c.readings { println!("{}", r.words); }
    for s in &c.stores { println!("{:?} {}\n  {}\n   {:?}", s.fit, s.crew, s.base, s.suspects.iter().map(|s| &s.words).collect::<Vec<_>>()); }
    for s in c.learned.iter().chain(&c.notes) { println!("- {s}"); }
}
