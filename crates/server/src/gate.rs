//! The gate before every route: who asks, may they, and does what they send come from our own pages.

use axum::body::{Body, Bytes};
use axum::extract::rejection::RawPathParamsRejection;
use axum::extract::{RawPathParams, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::Response;
use pages::{Role, Site, links};
use records::DeviceId;
use store::TokenHash;

use crate::answers;
use crate::app::{App, Failure, Shared};
use crate::caller::{self, Caller, Leave, Who};
use crate::crew;
use crate::secret;
use crate::visit::Visit;

/// The cookie of a session.
pub(crate) const SESSION: &str = "becket_session";
/// The cookie of a crew's link.
pub(crate) const CREW: &str = "becket_crew";
/// The cookie that tells devices apart.
const DEVICE: &str = "becket_device";
/// How long a browser keeps the name of its device, in seconds: a year.
const YEAR: u32 = 365 * 24 * 3600;

/// What stands before one route.
#[derive(Debug, Clone)]
pub(crate) struct Gate {
    pub(crate) app: Shared,
    pub(crate) who: Who,
    pub(crate) most_bytes: usize,
}

/// Lets a request through, or answers it.
pub(crate) async fn pass(
    State(gate): State<Gate>,
    named: Result<RawPathParams, RawPathParamsRejection>,
    request: Request,
    next: Next,
) -> Response {
    let app = &gate.app;
    let (caller, bearer) = match find(app, request.headers()).await {
        Ok(found) => found,
        Err(failure) => return answers::failed(&site(app, &Caller::Nobody), &failure),
    };
    let site = site(app, &caller);
    let named: Vec<(String, String)> = match &named {
        Ok(named) => named.iter().map(|(name, value)| (name.to_owned(), value.to_owned())).collect(),
        // An address that can't be read names no boat and no charter that anybody has.
        Err(_) => vec![("slug".to_owned(), String::new()), ("charter".to_owned(), String::new())],
    };
    match caller.leave(gate.who, &named) {
        Leave::Given => {}
        Leave::SignIn if for_programs(request.uri().path()) => {
            return answers::refusal(StatusCode::UNAUTHORIZED, "Sign in first: POST /api/sessions.");
        }
        Leave::SignIn => {
            let then = request.uri().path_and_query().map_or("/", axum::http::uri::PathAndQuery::as_str);
            let then = if request.method() == Method::GET { then } else { "/" };
            return answers::elsewhere(&links::query("/sign-in", &[("then", then)]));
        }
        Leave::Refused if for_programs(request.uri().path()) => {
            return answers::refusal(StatusCode::FORBIDDEN, "This account may not do that.");
        }
        Leave::Refused => return answers::not_yours(&site),
    }
    let request = match own_page(&gate, &site, &caller, bearer, request).await {
        Ok(request) => request,
        Err(refused) => return *refused,
    };
    enter(app, site, caller, request, next).await
}

/// Goes on to the handler, with the device named.
async fn enter(app: &App, site: Site, caller: Caller, mut request: Request, next: Next) -> Response {
    let known = cookie(request.headers(), DEVICE).filter(|name| name.len() == 43).map(str::to_owned);
    let fresh = known.is_none();
    let device = match known.map_or_else(secret::token, Ok) {
        Ok(device) => device,
        Err(failure) => return answers::failed(&site, &failure),
    };
    request.extensions_mut().insert(Visit { site, caller, device: DeviceId::new(device.as_str()) });
    let mut response = next.run(request).await;
    if fresh {
        set_cookie(app, response.headers_mut(), DEVICE, &device, YEAR);
    }
    response
}

/// Who asks; and whether a program says so in a header, which no other site can make a browser send.
async fn find(app: &App, headers: &HeaderMap) -> Result<(Caller, bool), Failure> {
    let now = app.clock.timestamp();
    let bearer = headers
        .get(header::AUTHORIZATION)
        .and_then(|value| value.to_str().ok())
        .and_then(|value| value.strip_prefix("Bearer "));
    if let Some(token) = bearer.or_else(|| cookie(headers, SESSION)) {
        let token = TokenHash::of(token);
        if let Some((session, account)) = app.store.session(&token, now).await? {
            let role = caller::role(account.role);
            let (id, name, seal) = (account.id, account.name, session.csrf);
            return Ok((Caller::Member { id, name, role, seal, session: Some(token) }, bearer.is_some()));
        }
    }
    if let Some(token) = cookie(headers, CREW)
        && let Some(pass) = crew::pass(app, token, now).await?
    {
        return Ok((pass, false));
    }
    if app.demo {
        let (id, name) = ("demo-manager".to_owned(), "Robin".to_owned());
        let seal = app.demo_seal.clone();
        return Ok((Caller::Member { id, name, role: Role::Manager, seal, session: None }, false));
    }
    Ok((Caller::Nobody, false))
}

/// The pages as a caller sees them now.
pub(crate) fn site(app: &App, caller: &Caller) -> Site {
    Site {
        base: app.base.clone(),
        demo: app.demo,
        viewer: caller.viewer(),
        seal: caller.seal().to_owned(),
        fresh: app.clock.name().map(|name| name.to_string()).unwrap_or_default(),
        now: app.clock.now(),
        zone: app.zone.clone(),
        reach: app.reach(),
    }
}

/// Sees that what changes something was sent from one of our own pages, and is not too long.
async fn own_page(
    gate: &Gate,
    site: &Site,
    caller: &Caller,
    bearer: bool,
    request: Request,
) -> Result<Request, Box<Response>> {
    if matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS) {
        return Ok(request);
    }
    let programs = for_programs(request.uri().path());
    let refuse = |status: StatusCode, what: &str| {
        Box::new(if programs {
            answers::refusal(status, what)
        } else {
            answers::not_taken(site, status, what)
        })
    };
    if !bearer && from_elsewhere(request.headers()) {
        return Err(refuse(StatusCode::FORBIDDEN, "This was sent from another site, so it was not taken."));
    }
    let (parts, body) = request.into_parts();
    let Ok(body) = axum::body::to_bytes(body, gate.most_bytes).await else {
        let most = gate.most_bytes / 1024;
        let what = format!("This is too long: at most {most} kB are taken here. Nothing was kept of it.");
        return Err(refuse(StatusCode::PAYLOAD_TOO_LARGE, &what));
    };
    if !bearer && *caller != Caller::Nobody && !sealed(&parts.headers, &body, caller.seal()) {
        let what = "This page was opened before you signed in or out, so nothing was taken. Go back, load it again, and \
                    send it once more.";
        return Err(refuse(StatusCode::FORBIDDEN, what));
    }
    Ok(Request::from_parts(parts, Body::from(body)))
}

/// Whether a browser says that another site made it send this.
fn from_elsewhere(headers: &HeaderMap) -> bool {
    let text = |name: header::HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    if let Some(site) = headers.get("sec-fetch-site").and_then(|value| value.to_str().ok()) {
        return !matches!(site, "same-origin" | "none");
    }
    let host = text(header::HOST).unwrap_or_default();
    text(header::ORIGIN).is_some_and(|origin| {
        origin.strip_prefix("https://").or_else(|| origin.strip_prefix("http://")) != Some(host)
    })
}

/// Whether the secret of the caller's forms is in it: in a header, or in a field `seal` of a form.
fn sealed(headers: &HeaderMap, body: &Bytes, seal: &str) -> bool {
    if let Some(said) = headers.get("x-seal").and_then(|value| value.to_str().ok()) {
        return secret::same(said, seal);
    }
    let media = headers.get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok()).unwrap_or_default();
    if media.starts_with("multipart/form-data") {
        let field = format!("name=\"seal\"\r\n\r\n{seal}\r\n");
        return body.windows(field.len()).any(|part| part == field.as_bytes());
    }
    form_urlencoded::parse(body).any(|(name, value)| name == "seal" && secret::same(&value, seal))
}

/// Whether an address is for programs, which want no pages.
pub(crate) fn for_programs(path: &str) -> bool {
    path.starts_with("/api/")
}

/// The value of a cookie.
pub(crate) fn cookie<'h>(headers: &'h HeaderMap, name: &str) -> Option<&'h str> {
    let all = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    let pairs = all.flat_map(|line| line.split(';')).filter_map(|pair| pair.trim().split_once('='));
    pairs.into_iter().find(|(own, _)| *own == name).map(|(_, value)| value)
}

/// Sets a cookie that scripts can't read and other sites can't send, for so many seconds; 0 removes it.
pub(crate) fn set_cookie(app: &App, headers: &mut HeaderMap, name: &str, value: &str, seconds: u32) {
    // Where there is no encrypted connection a browser would throw away a cookie that asks for one.
    let secure = if app.at.starts_with("https://") { "; Secure" } else { "" };
    let text = format!("{name}={value}; Path=/; Max-Age={seconds}; HttpOnly; SameSite=Lax{secure}");
    if let Ok(value) = HeaderValue::from_str(&text) {
        headers.append(header::SET_COOKIE, value);
    }
}
