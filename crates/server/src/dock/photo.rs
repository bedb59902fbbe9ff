//! Photos: made small and clean of all that is not the picture, kept by their hash, shown to whom they concern.

use std::io::Cursor;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use image::codecs::jpeg::JpegEncoder;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};
use records::{CharterId, ContentHash};
use serde_json::json;
use store::{Photo, PhotoHash};

use super::upload::Upload;
use crate::answers;
use crate::app::{App, Failure, Shared};
use crate::caller::Caller;
use crate::visit::Visit;

/// The longer side of a photo as it is kept, in pixels.
const SIDE: u32 = 1600;
/// The most pixels that are unpacked: more than any phone makes in its usual setting.
const PIXELS: u64 = 64_000_000;
/// The most memory for unpacking one, in bytes.
const MEMORY: u64 = 320 * 1024 * 1024;
/// How well it is kept: at 82 nobody sees a difference on a screen. Common practice.
const QUALITY: u8 = 82;
/// The most photos with one form.
pub(crate) const MOST: usize = 6;

/// Why something is no photo that can be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NoPhoto {
    /// It is no JPEG or PNG.
    NotAPicture,
    /// It begins as one, and does not go on so.
    Damaged,
    /// It has too many pixels.
    TooLarge,
}

impl NoPhoto {
    /// As words for whoever sent it.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::NotAPicture => "This is no photo that can be kept here: send a JPEG or PNG picture.",
            Self::Damaged => {
                "This picture did not come through whole, or is damaged. Send it again, or another one."
            }
            Self::TooLarge => "This picture has too many points. Send one of at most 64 million.",
        }
    }
}

/// A photo as it is kept: turned upright, at most so large, nothing in the file but the picture. What the camera wrote
/// beside it, such as where it was taken, is gone.
pub(crate) fn clean(bytes: &[u8]) -> Result<Vec<u8>, NoPhoto> {
    let reader =
        ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|_| NoPhoto::NotAPicture)?;
    if !matches!(reader.format(), Some(ImageFormat::Jpeg | ImageFormat::Png)) {
        return Err(NoPhoto::NotAPicture);
    }
    let mut decoder = reader.into_decoder().map_err(|_| NoPhoto::Damaged)?;
    let (wide, high) = decoder.dimensions();
    if u64::from(wide) * u64::from(high) > PIXELS {
        return Err(NoPhoto::TooLarge);
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MEMORY);
    decoder.set_limits(limits).map_err(|_| NoPhoto::TooLarge)?;
    let turned = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|_| NoPhoto::Damaged)?;
    if wide.max(high) > SIDE {
        picture = picture.thumbnail(SIDE, SIDE);
    }
    picture.apply_orientation(turned);
    let mut kept = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut kept, QUALITY);
    picture.to_rgb8().write_with_encoder(encoder).map_err(|_| NoPhoto::Damaged)?;
    Ok(kept)
}

/// Why photos were not kept.
pub(crate) enum Unkept {
    /// They can't be.
    No(NoPhoto),
    /// There are too many.
    TooMany,
    /// The base's computer could not do it.
    Failed(Failure),
}

/// Cleans and keeps photos, off the threads that answer.
pub(crate) async fn keep_all(app: &App, photos: Vec<Vec<u8>>) -> Result<Vec<ContentHash>, Unkept> {
    if photos.len() > MOST {
        return Err(Unkept::TooMany);
    }
    let mut hashes = Vec::new();
    for bytes in photos {
        let permit = app.searches.acquire().await.map_err(|_| Unkept::Failed(Failure::Broken))?;
        let work = tokio::task::spawn_blocking(move || clean(&bytes)).await;
        drop(permit);
        let bytes = work.map_err(|_| Unkept::No(NoPhoto::Damaged))?.map_err(Unkept::No)?;
        let photo = Photo { media: "image/jpeg".to_owned(), bytes, taken: app.clock.timestamp() };
        let hash = app.store.keep_photo(&photo).await.map_err(|error| Unkept::Failed(error.into()))?;
        hashes.extend(content_hash(hash.as_str()));
    }
    Ok(hashes)
}

/// A hash as records have it.
pub(crate) fn content_hash(text: &str) -> Option<ContentHash> {
    serde_json::from_value(json!(text)).ok()
}

/// Keeps photos for programs: answers with their hashes.
pub(crate) async fn keep(State(app): State<Shared>, upload: Upload) -> Response {
    if upload.photos.is_empty() {
        return answers::refusal(StatusCode::BAD_REQUEST, "Send photos in fields named photos.");
    }
    match keep_all(&app, upload.photos).await {
        Ok(hashes) => {
            let hashes: Vec<String> = hashes.iter().map(ToString::to_string).collect();
            answers::json(StatusCode::CREATED, &json!({ "photos": hashes }))
        }
        Err(Unkept::No(why)) => answers::refusal(StatusCode::UNPROCESSABLE_ENTITY, why.words()),
        Err(Unkept::TooMany) => {
            answers::refusal(StatusCode::UNPROCESSABLE_ENTITY, "At most six photos are taken at once.")
        }
        Err(Unkept::Failed(failure)) => {
            answers::refusal(StatusCode::SERVICE_UNAVAILABLE, &failure.to_string())
        }
    }
}

/// A photo: for the base, and for a crew those of its own charter and of what is wrong with its boat.
pub(crate) async fn show(State(app): State<Shared>, visit: Visit, Path(hash): Path<String>) -> Response {
    let nothing = || answers::not_found(pages::not_found(&visit.site, "There is no such photo.", None));
    let Ok(hash) = hash.parse::<PhotoHash>() else { return nothing() };
    let theirs = match &visit.caller {
        Caller::Crew { boat, charter, .. } => {
            content_hash(hash.as_str()).is_some_and(|hash| concerns(&app, boat, charter, hash))
        }
        Caller::Nobody | Caller::Member { .. } => true,
    };
    if !theirs {
        return nothing();
    }
    match app.store.photo(&hash).await {
        Ok(Some(photo)) => answers::photo(&photo.media, photo.bytes),
        Ok(None) => nothing(),
        Err(error) => answers::failed(&visit.site, &Failure::Store(error)),
    }
}

/// Whether a photo is of damage of a charter, of what its crew told, or of an open defect of its boat.
fn concerns(app: &App, boat: &str, charter: &str, hash: ContentHash) -> bool {
    let book = app.ledger.boat(boat);
    let id = CharterId::new(charter);
    let damage = book.standing.charters.get(&id).into_iter().flat_map(|stands| stands.damage.values());
    let mut damage = damage.flat_map(|damage| &damage.photos);
    let defects = book.standing.boats.get(&book.boat).into_iter().flat_map(|boat| boat.defects.values());
    let theirs = defects.filter(|defect| defect.open() || defect.found.charter.as_ref() == Some(&id));
    let mut shown = theirs.flat_map(|defect| {
        defect.defect.photos.iter().chain(defect.seen.iter().flat_map(|seen| &seen.photos))
    });
    damage.any(|own| *own == hash) || shown.any(|own| *own == hash)
}
