//! Anybody tells that something of a boat is wrong.

use axum::extract::rejection::PathRejection;
use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::dock::{Flaw, FoundAsk, found_page};
use pages::{Moored, Vessel, links};
use records::{CharterId, ContentHash, Defect, EventId, Severity, What};

use super::photo::{self, Unkept};
use super::upload::Upload;
use crate::app::{App, Failure, Shared};
use crate::caller::Caller;
use crate::form::Form;
use crate::ledger::Book;
use crate::visit::Visit;
use crate::{answers, handlers};

/// The most letters of what is said.
const WORDS: usize = 2000;

type Slug = Result<Path<String>, PathRejection>;

pub(crate) async fn page(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let typed = handlers::pairs(query.as_deref());
    let told = typed.iter().any(|(field, _)| field == "told");
    show(&app, &visit, slug, &FoundAsk { typed: &typed, flaws: &[], told }, StatusCode::OK)
}

fn show(app: &App, visit: &Visit, slug: Slug, ask: &FoundAsk<'_>, status: StatusCode) -> Response {
    handlers::aboard(app, visit, slug, |site, vessel| {
        let book = app.ledger.boat(&vessel.slug);
        let records = book.standing.boats.get(&book.boat);
        answers::with(status, found_page(site, vessel, records, ask))
    })
}

pub(crate) async fn tell(State(app): State<Shared>, visit: Visit, slug: Slug, upload: Upload) -> Response {
    let berth = slug.as_ref().ok().and_then(|Path(slug)| app.fleet.get(slug));
    let Some(Moored::Well(vessel)) = berth.as_deref().map(|berth| &berth.moored) else {
        return show(&app, &visit, slug, &FoundAsk::default(), StatusCode::OK);
    };
    let mut flaws = Vec::new();
    let form = match with_photos(&app, upload, &mut flaws).await {
        Ok(form) => form,
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    let book = app.ledger.boat(&vessel.slug);
    let what = read(vessel, &book, &form, &mut flaws);
    let (Some(what), true) = (what, flaws.is_empty()) else {
        let ask = FoundAsk { typed: form.pairs(), flaws: &flaws, told: false };
        return show(&app, &visit, slug, &ask, StatusCode::UNPROCESSABLE_ENTITY);
    };
    let charter = charter(&visit, &book, &form);
    let here = links::found(&vessel.slug);
    match visit.tell(&app, &form, &book.boat, charter.as_ref(), [what]).await {
        Ok(_) => {
            let back = [("told", "yes"), ("charter", form.get("charter")), ("walk", form.get("walk"))];
            answers::elsewhere(&links::query(&here, &back))
        }
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

/// The charter on which it was found: a crew's own; of the base's people what the form names, if it is one of hers.
fn charter(visit: &Visit, book: &Book, form: &Form) -> Option<CharterId> {
    if let Caller::Crew { charter, .. } = &visit.caller {
        return Some(CharterId::new(charter.as_str()));
    }
    let named = CharterId::new(form.get("charter"));
    book.standing.charters.get(&named).is_some_and(|stands| stands.boat == book.boat).then_some(named)
}

/// What the form says: a new defect, or one that is known and was seen again.
fn read(vessel: &Vessel, book: &Book, form: &Form, flaws: &mut Vec<Flaw>) -> Option<What> {
    let said = Words::read(vessel, form, flaws);
    let severity = match form.get("severity") {
        "cosmetic" => Some(Severity::Cosmetic),
        "hinders" => Some(Severity::Hinders),
        "safety" => Some(Severity::Safety),
        _ => {
            flaws.push(Flaw::wrong("severity", "Say how bad it is."));
            None
        }
    };
    let Words { item, text: words, photos } = said?;
    let defects = book.standing.boats.get(&book.boat).map(|boat| &boat.defects);
    let known = |id: EventId| defects.and_then(|defects| defects.get(&id)).filter(|defect| defect.open());
    let again = form.get("again");
    if let Some(defect) = again.parse().ok().and_then(known).filter(|defect| defect.defect.item == item) {
        let worse = severity.filter(|severity| *severity != defect.severity);
        return Some(What::SeenAgain { defect: defect.id(), words, severity: worse, photos });
    }
    let found = What::Found(Defect { item: item.clone(), words, severity: severity?, photos, fault: None });
    let once = form.get("once").parse().ok().and_then(|id: EventId| book.records.get(id));
    let sent_before = once.is_some_and(|event| event.what == found);
    let open = defects
        .into_iter()
        .flat_map(|all| all.values())
        .any(|defect| defect.open() && defect.defect.item == item);
    if open && again != "new" && !sent_before {
        flaws.push(Flaw::wrong(
            "again",
            "Something is known to be wrong with this already. Say whether it is that.",
        ));
    }
    Some(found)
}

/// What is said of an item, with photos.
pub(crate) struct Words {
    pub(crate) item: String,
    pub(crate) text: String,
    pub(crate) photos: Vec<ContentHash>,
}

impl Words {
    /// Reads it from a form; what is missing is told by its field.
    pub(crate) fn read(vessel: &Vessel, form: &Form, flaws: &mut Vec<Flaw>) -> Option<Self> {
        let item = form.get("item");
        let known = vessel.boat.item(item).is_some();
        if !known {
            flaws.push(Flaw::wrong("item", "Choose what it is about."));
        }
        let words: String = form.get("words").chars().take(WORDS).collect();
        if words.is_empty() {
            flaws.push(Flaw::wrong("words", "Say in a few words what it is."));
        }
        let photos = form.all("photo").filter_map(photo::content_hash).take(photo::MOST).collect();
        (known && !words.is_empty()).then(|| Self { item: item.to_owned(), text: words, photos })
    }
}

/// Keeps the photos that came with a form and puts their hashes into its field `photo`, so that they are not lost when
/// something else is to be mended. Hashes of photos that are not here are left out.
pub(crate) async fn with_photos(app: &App, upload: Upload, flaws: &mut Vec<Flaw>) -> Result<Form, Failure> {
    let Upload { mut form, photos } = upload;
    let mut hashes = Vec::new();
    for hash in form.all("photo").map(str::to_owned).collect::<Vec<_>>() {
        let here = match hash.parse() {
            Ok(hash) => app.store.has_photo(&hash).await?,
            Err(_) => false,
        };
        if here && !hashes.contains(&hash) {
            hashes.push(hash);
        }
    }
    match photo::keep_all(app, photos).await {
        Ok(fresh) => hashes.extend(fresh.iter().map(ToString::to_string)),
        Err(Unkept::No(why)) => flaws.push(Flaw::wrong("photos", why.words())),
        Err(Unkept::TooMany) => {
            flaws.push(Flaw::wrong("photos", "At most six photos are taken with one form."));
        }
        Err(Unkept::Failed(failure)) => return Err(failure),
    }
    form.0.retain(|(field, _)| field != "photo");
    form.0.extend(hashes.into_iter().map(|hash| ("photo".to_owned(), hash)));
    Ok(form)
}
