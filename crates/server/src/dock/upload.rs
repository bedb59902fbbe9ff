//! Forms that may carry photos.

use axum::extract::multipart::MultipartError;
use axum::extract::{FromRequest, Multipart, Request};
use axum::http::{StatusCode, header};
use axum::response::Response;
use pages::Site;

use crate::answers;
use crate::form::Form;

/// The fields of a form, and the files that came in its field `photos`.
#[derive(Debug)]
pub(crate) struct Upload {
    pub(crate) form: Form,
    pub(crate) photos: Vec<Vec<u8>>,
}

/// The most parts of a form; a form has some ten.
const PARTS: usize = 100;

impl<S: Send + Sync> FromRequest<S> for Upload {
    type Rejection = Response;

    async fn from_request(request: Request, state: &S) -> Result<Self, Response> {
        let media = request.headers().get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok());
        if !media.unwrap_or_default().starts_with("multipart/form-data") {
            return Ok(Self { form: Form::from_request(request, state).await?, photos: Vec::new() });
        }
        let parts = Multipart::from_request(request, state).await.map_err(|_| torn())?;
        read(parts).await.map_err(|_| torn())
    }
}

async fn read(mut parts: Multipart) -> Result<Upload, MultipartError> {
    let mut upload = Upload { form: Form(Vec::new()), photos: Vec::new() };
    for _ in 0..PARTS {
        let Some(part) = parts.next_field().await? else { break };
        let name = part.name().unwrap_or_default().to_owned();
        if name == "photos" {
            let bytes = part.bytes().await?;
            // A field for files in which none was chosen comes as one that is empty.
            if !bytes.is_empty() {
                upload.photos.push(bytes.to_vec());
            }
        } else {
            // Browsers send the lines of a text with both of the old signs between them.
            upload.form.0.push((name, part.text().await?.replace("\r\n", "\n")));
        }
    }
    Ok(upload)
}

fn torn() -> Response {
    let what = "What was sent did not come through whole. Send it again.";
    answers::not_taken(&Site::new("Becket", false), StatusCode::BAD_REQUEST, what)
}
