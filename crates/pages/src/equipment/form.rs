//! The form: whose rules, where, when, for whom, and what the boat file does not say.

use maud::{Markup, html};
use rules::Waters;

use super::ask::EquipmentAsk;
use crate::authority;
use crate::given::{Kind, choose, field};
use crate::links::Room;
use crate::vessel::Vessel;

pub(super) fn form(vessel: &Vessel, ask: &EquipmentAsk) -> Markup {
    let boat = &vessel.boat;
    let mut given = ask.given.clone();
    given.usual("from", ask.dates.first().to_string());
    given.usual("until", ask.dates.last().to_string());
    given.usual("adults", ask.crew.adults.to_string());
    let waters = Waters::ALL.map(|waters| (waters.word(), waters.words()));
    let questions = ask.questions(boat);
    let berths =
        format!("She has {} berths. Count everybody but the children beside.", boat.particulars.berths);
    let has_rules = |one: &rules::Authority| {
        !one.requirements.is_empty() || !one.lives.is_empty() || one.within.is_some()
    };
    html! {
        form.law-ask.no-print method="get" action=(format!("{}#answer", vessel.link(Room::Equipment))) {
            fieldset {
                legend { "Which rules, which days, which crew" }
                div.filters {
                    (authority::chooser(&given, &ask.whose, boat, has_rules))
                    (choose(&given, "waters", "Waters", "Not said", &waters))
                    (field(&given, "from", "First day", "", Kind::Day))
                    (field(&given, "until", "Last day", "Things must be in date through it.", Kind::Day))
                    (field(&given, "adults", "Adults", &berths, Kind::Number))
                    (field(&given, "children", "Weights of the children (kg)", "With a space between: 14 kg 22 kg.", Kind::Words))
                }
            }
            @if !questions.is_empty() || ask.asks_entrances(boat) {
                fieldset #questions {
                    legend { "What the boat file does not say" }
                    div.filters {
                        @for fact in questions {
                            (choose(&given, fact.word(), fact.question(), "Not said", &[("yes", "Yes"), ("no", "No")]))
                        }
                        @if ask.asks_entrances(boat) {
                            (field(&given, "entrances", "How many entrances are there?",
                                "To spaces with something that burns fuel, to sleeping spaces and to the machinery space.", Kind::Number))
                        }
                    }
                }
            }
            p.actions { button type="submit" { "Look it up" } }
        }
    }
}
