//! The forecast as JSON: every hour of every store.

use endure::forecast::{Band, Sort, StoreForecast};
use endure::meter::{Checked, Fit};
use endure::words;
use serde_json::{Value, json};

use super::Reckoned;
use crate::render;

pub(super) fn of(reckoned: &Reckoned<'_>) -> Value {
    let Reckoned { planned, voyage, forecast, .. } = reckoned;
    json!({
        "verdict": words::verdict(voyage, forecast, &planned.trip.starts),
        "drawings": forecast.drawings,
        "all_last": forecast.all_last,
        "engine_hours": forecast.engine_hours,
        "overloaded_hours": forecast.overloaded_hours,
        "begins": voyage.timeline.begin,
        "stores": forecast.stores.iter().map(|one| store(reckoned, one)).collect::<Vec<_>>(),
        "readings": reckoned.checked.map(|checked| readings(reckoned, checked)),
        "notes": voyage.notes.iter().map(|note| render::json(note, &planned.sources)).collect::<Vec<_>>(),
    })
}

fn band(band: &Band) -> Value {
    json!({ "low": band.low, "middle": band.middle, "high": band.high })
}

fn store(reckoned: &Reckoned<'_>, store: &StoreForecast) -> Value {
    let boat = reckoned.boat;
    let starts = &reckoned.planned.trip.starts;
    let moment = |minute: u32| json!({ "minute": minute, "words": words::moment(starts, minute) });
    json!({
        "ids": store.stores.iter().map(|id| boat.stores[*id].id.as_str()).collect::<Vec<_>>(),
        "name": store.name,
        "capacity": store.capacity,
        "unit": store.unit,
        "limit": store.limit,
        "fills": store.sort == Sort::Waste,
        "lasts": store.lasts,
        "earliest": store.earliest.map(moment),
        "usual": store.usual.map(moment),
        "planned": store.planned.map(moment),
        "worst": band(&store.worst),
        "hours": store.hours.iter().map(band).collect::<Vec<_>>(),
        "volts": store.volts.iter().map(band).collect::<Vec<_>>(),
        "uses": store.uses.iter().map(|one| json!({
            "load": boat.loads[one.load].id, "name": one.name, "amount": one.amount, "share": one.share,
        })).collect::<Vec<_>>(),
        "change_overs": store.change_overs.iter().map(|change| json!({
            "at": moment(change.minute), "from": boat.stores[change.from].id, "to": boat.stores[change.to].id,
        })).collect::<Vec<_>>(),
    })
}

fn readings(reckoned: &Reckoned<'_>, checked: &Checked) -> Value {
    json!({
        "fit": fit(checked.fit),
        "effective": checked.effective,
        "read": checked.readings.iter().map(|one| json!({
            "number": one.number + 1,
            "seen": one.seen,
            "expected": band(&one.expected),
            "chance": one.tail,
            "fit": fit(one.fit),
            "words": one.words,
        })).collect::<Vec<_>>(),
        "stores": checked.stores.iter().map(|one| json!({
            "name": one.name,
            "readings": one.readings,
            "chance": one.tail,
            "fit": fit(one.fit),
            "crew": one.crew,
            "base": one.base,
            "next": one.next,
            "suspects": one.suspects.iter().map(|suspect| json!({
                "times_likelier": suspect.times, "words": suspect.words,
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "learned": checked.learned,
        "notes": checked.notes,
        "before": checked.before.stores.iter().map(|one| json!({
            "ids": one.stores.iter().map(|id| reckoned.boat.stores[*id].id.as_str()).collect::<Vec<_>>(),
            "lasts": one.lasts,
        })).collect::<Vec<_>>(),
    })
}

fn fit(fit: Fit) -> &'static str {
    match fit {
        Fit::Well => "well",
        Fit::Doubtful => "doubtful",
        Fit::NotAtAll => "not at all",
    }
}
