//! Forms as they are sent.

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use axum::http::StatusCode;
use axum::response::Response;
use pages::Site;

use crate::answers;

/// The fields of a form, in the order in which they came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Form(pub(crate) Vec<(String, String)>);

impl Form {
    /// The first value of a field, without spaces around it; empty if it was not sent.
    pub(crate) fn get(&self, name: &str) -> &str {
        self.0.iter().find(|(own, _)| own == name).map_or("", |(_, value)| value.trim())
    }

    /// All values of a field.
    pub(crate) fn all<'f>(&'f self, name: &'f str) -> impl Iterator<Item = &'f str> {
        self.0.iter().filter(move |(own, _)| own == name).map(|(_, value)| value.trim())
    }

    /// All fields, for pages that read what was asked of them.
    pub(crate) fn pairs(&self) -> &[(String, String)] {
        &self.0
    }
}

impl<S: Send + Sync> FromRequest<S> for Form {
    type Rejection = Response;

    async fn from_request(request: Request, state: &S) -> Result<Self, Response> {
        // How long it may be was seen to by the gate.
        if let Ok(body) = Bytes::from_request(request, state).await {
            Ok(Self(form_urlencoded::parse(&body).into_owned().collect()))
        } else {
            let what = "What was sent did not come through whole. Send it again.";
            Err(answers::not_taken(&Site::new("Becket", false), StatusCode::BAD_REQUEST, what))
        }
    }
}
