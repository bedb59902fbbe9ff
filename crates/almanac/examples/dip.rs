//! Temporary.
#![allow(clippy::all, clippy::pedantic, clippy::print_stdout)]
use almanac::*; use quantity::Angle;
fn main() {
    let mut n = 0;
    for i in 0..400 { let lat = 84.0 + f64::from(i) * 0.015;
      for d in 60..300 { for sign in [1.0, -1.0] {
        let p = Position::new(Angle::degrees(lat * sign), Angle::degrees(-60.0)).unwrap();
        let date = jiff::civil::date(2026,1,1) + jiff::Span::new().days(d);
        if sign * ((d as f64 - 172.0).abs() - 93.0) * sign > 12.0 { continue; }
        if let sun::Daylight::Ordinary{rise,set} = sun::day(p, date) {
            // up just before rise's solar midnight?
            let noon = sun::noon(p, date);
            let before = jiff::Timestamp::from_second(noon.as_second() - 43200 + 20).unwrap();
            let e = sun::height(p, before).elevation.as_degrees();
            if e > -50.0/60.0 && n < 12 { n += 1; println!("{p} {date} {rise} {set} start {e}"); }
        }
        if let sun::Daylight::UpFrom{rise} = sun::day(p, date) {
            let noon = sun::noon(p, date);
            let before = jiff::Timestamp::from_second(noon.as_second() - 43200 + 20).unwrap();
            let e = sun::height(p, before).elevation.as_degrees();
            if e > -50.0/60.0 && n < 12 { n += 1; println!("UpFrom {p} {date} {rise} start {e}"); }
        }
      }}
    }
}
