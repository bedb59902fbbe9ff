//! What can hurt someone while stores are watched, filled and emptied, and what the forecast does not know.

use boat::model::{Activity, Hazard, SignalWord};
use endure::forecast::Sort;
use maud::{Markup, html};

use super::head;
use super::outlook::Told;
use crate::caution::plain_panel;

/// Whether the engine runs for the batteries on this trip.
pub(super) fn charges(told: &Told) -> bool {
    told.voyage.timeline.stretches.iter().any(|stretch| stretch.activity == Activity::Charging)
}

/// Running the engine while she lies still.
pub(super) fn charging() -> Markup {
    html! {
        (plain_panel(SignalWord::Danger, Hazard::Fumes, &[
            "Exhaust gas holds carbon monoxide. It cannot be smelled, and it kills. While the engine runs at anchor, keep everyone away from the stern and shut the hatches there; air the cabin from the bow. If the alarm sounds or someone has a headache, stop the engine and get everybody into fresh air.",
        ]))
        (plain_panel(SignalWord::Danger, Hazard::Overboard, &[
            "Nobody swims and nobody is on the bathing ladder while the engine runs. The propeller can turn even in neutral. Count heads before you start, and take the key out when somebody goes into the water.",
        ]))
        p { "Keep the quiet hours of the anchorage." }
    }
}

/// What to mind at a store of this sort.
pub(super) fn of_store(sort: Sort) -> Markup {
    match sort {
        Sort::Battery => plain_panel(
            SignalWord::Warning,
            Hazard::Battery,
            &[
                "A battery gives enough current to melt a tool, and lead batteries give off explosive gas while they charge. Keep flames, metal and your face away from the terminals. Leave work on them to the base.",
            ],
        ),
        Sort::Gas => plain_panel(
            SignalWord::Danger,
            Hazard::Gas,
            &[
                "Before a bottle is changed, shut its valve, put out every flame and leave switches alone. Look for leaks with soapy water, never with a flame. If you smell gas, shut the bottle, open everything, get everybody on deck and call the base.",
            ],
        ),
        Sort::Waste => plain_panel(
            SignalWord::Notice,
            Hazard::Sea,
            &[
                "A full tank goes to a pump-out station. Where it may be emptied into the sea, if anywhere, local law says. Do not flush into a full tank: it can burst a hose. Wear gloves, and keep your face away from the fitting.",
            ],
        ),
        Sort::Diesel => plain_panel(
            SignalWord::Warning,
            Hazard::Fuel,
            &[
                "Stop the engine and put out every flame before you take fuel. Make sure that it is the diesel cap. Leave the reserve alone: air in the fuel line stops the engine.",
            ],
        ),
        Sort::Water => Markup::default(),
    }
}

/// What the forecast rests on, and what it does not know.
pub(super) fn limits(told: &Told) -> Markup {
    let overloaded = told.forecast.overloaded_hours;
    html! {
        @if overloaded > 0.0 {
            (plain_panel(SignalWord::Notice, Hazard::Mains, &[&format!(
                "On shore power, everything together asks for more than the post on the dock gives for {overloaded:.1} h. Its breaker will trip: use one large thing at a time."
            )]))
        }
        section.block aria-labelledby="limits" {
            (head("limits", "What this does not know"))
            p { "The trip was reckoned " strong { (told.forecast.drawings) } " times, minute by minute, each time with other habits, weather, engine hours, gauges and ages of batteries. "
                "\u{201c}66 of 100 trips\u{201d} means that it lasted in that part of them." }
            ul.plainly {
                li { "It does not know how your crew lives: who showers long, who charges what. Those figures are usual ones from the boat file." }
                li { "It does not know a leak, a tap left open, a float switch that sticks, or a battery that is about to fail." }
                li { "It does not know the weather of your week, only what you chose above, give or take." }
                li { "It says nothing about where you can sail, anchor or find a dock." }
            }
            p { strong { "Look at the gauges morning and evening, and believe them before this." }
                " Keep fuel to come home under engine, and water to drink, whatever is written here." }
        }
    }
}
