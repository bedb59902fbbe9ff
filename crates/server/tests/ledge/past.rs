//! What has happened at Juniper Ledge, told with the times of its clocks, and the base that opens on it.
#![allow(dead_code, reason = "each suite uses a part of it")]

use jiff::Timestamp;
use jiff::tz::TimeZone;
use records::{
    AccountId, BoatId, CharterId, Defect, DeviceId, Event, EventId, Hand, Local, Moment, PersonId, Plan,
    Severity, What,
};
use server::{App, Opening, Past, router};

use crate::base::Browser;

const WADER: &str = include_str!("../../../pages/tests/wader.toml");

/// The boats of the base, by their part of the address.
pub(crate) const BOATS: [(&str, &str); 3] =
    [("whimbrel", "Whimbrel"), ("dunlin", "Dunlin"), ("turnstone", "Turnstone")];

/// A moment, as RFC 3339 has it.
pub(crate) fn at(text: &str) -> Timestamp {
    text.parse().expect("RFC 3339")
}

/// Events of the base's office, told one after the other.
#[derive(Default)]
pub(crate) struct Told {
    pub(crate) events: Vec<Event>,
    persons: Vec<store::Person>,
    clocks: &'static str,
}

impl Told {
    /// By these clocks: the name of a time zone.
    pub(crate) fn by(clocks: &'static str) -> Self {
        Self { clocks, ..Self::default() }
    }

    fn zone(&self) -> TimeZone {
        TimeZone::get(self.clocks).expect("a zone")
    }

    /// A time by the clocks of the base; one that a change of clocks makes come twice is told with its offset.
    pub(crate) fn local(&self, text: &str) -> Local {
        if let Ok(local) = text.parse() {
            return local;
        }
        let civil: jiff::civil::DateTime = text.parse().expect("a day and a time");
        let zoned = civil.to_zoned(self.zone()).expect("these years");
        let moment = Moment::from_milliseconds(zoned.timestamp().as_millisecond());
        Local::new(moment, zoned.offset()).expect("these years")
    }

    /// Tells something of a boat at a time; the name of the event.
    pub(crate) fn tell(&mut self, when: &str, boat: &str, charter: Option<&str>, what: What) -> EventId {
        let when = self.local(when).moment();
        let id = EventId::version_7(when, self.events.len() as u128 + 1);
        let (who, device) = (Hand::Account(AccountId::new("demo-manager")), DeviceId::new("office"));
        let event = Event::new(id, when, who, device, BoatId::new(boat), what);
        self.events.push(match charter {
            Some(charter) => event.on(CharterId::new(charter)),
            None => event,
        });
        id
    }

    /// Plans a charter of four; it was planned in the winter before.
    pub(crate) fn plan(&mut self, boat: &str, charter: &str, from: &str, until: &str) {
        let (from, until) = (self.local(from), self.local(until));
        let what = What::Planned(Plan { from, until, crew: Some(4), booked: None });
        self.tell("2026-01-10T09:00", boat, Some(charter), what);
    }

    /// The same with the name of who booked.
    pub(crate) fn plan_for(&mut self, name: &str, boat: &str, charter: &str, from: &str, until: &str) {
        let person = format!("p-{charter}");
        let (from, until) = (self.local(from), self.local(until));
        let booked = Some(PersonId::new(person.as_str()));
        self.tell(
            "2026-01-10T09:00",
            boat,
            Some(charter),
            What::Planned(Plan { from, until, crew: Some(4), booked }),
        );
        let fields = serde_json::json!({ "name": name, "reach": "+1 555 0100" }).to_string();
        self.persons.push(store::Person { id: person, charter: charter.to_owned(), fields });
    }

    /// Something is found wrong with a boat.
    pub(crate) fn find(&mut self, when: &str, boat: &str, words: &str, severity: Severity) -> EventId {
        let (item, words) = ("stove".to_owned(), words.to_owned());
        let what = What::Found(Defect { item, words, severity, photos: Vec::new(), fault: None });
        self.tell(when, boat, None, what)
    }

    /// The base as of a moment.
    pub(crate) async fn open(&self, now: &str) -> axum::Router {
        self.open_with(&BOATS, now).await
    }

    /// The same with boats of other names.
    pub(crate) async fn open_with(&self, boats: &[(&str, &str)], now: &str) -> axum::Router {
        let file = |(slug, name): &(&str, &str)| {
            let text = WADER.replacen("name = \"Wader\"", &format!("name = \"{name}\""), 1);
            (format!("{slug}.toml"), text)
        };
        let past = Past { events: self.events.clone(), persons: self.persons.clone(), settings: Vec::new() };
        let opening = Opening {
            base: "Juniper Ledge".to_owned(),
            demo: true,
            zone: self.zone(),
            at: "https://ledge.example".to_owned(),
            place: crate::place::passing().await,
            files: boats.iter().map(file).collect(),
            past,
        };
        router(App::open_as_of(opening, at(now)).await.expect("a store in memory opens"))
    }
}

/// The words of a page, or of a part of it: without marks, with one space between words.
pub(crate) fn words(html: &str) -> String {
    let mut text = String::new();
    for part in html.split('<') {
        text.push_str(part.split_once('>').map_or(part, |(_, after)| after));
        text.push(' ');
    }
    let text = text.replace("&amp;", "&").replace("&quot;", "\"").replace("&lt;", "<");
    let one = text.split_whitespace().collect::<Vec<_>>().join(" ");
    [" .", " ,"].iter().fold(one, |one, mark| one.replace(mark, mark.trim()))
}

/// The words of the section of that name; nothing if the page has none.
pub(crate) fn section(page: &str, id: &str) -> Option<String> {
    let start = page.find(&format!("<section id=\"{id}\"")).or_else(|| {
        let named = page.find(&format!(" id=\"{id}\""))?;
        page[..named].rfind("<section").filter(|start| !page[*start..named].contains('>'))
    })?;
    let end = page[start..].find("</section>")?;
    Some(words(&page[start..start + end]))
}

/// A page that whoever looks at the base as its manager gets.
pub(crate) async fn page(app: &axum::Router, address: &str) -> String {
    let got = Browser::new(app).get(address).await;
    assert_eq!(got.status, axum::http::StatusCode::OK, "{address}: {}", got.text());
    got.text()
}
