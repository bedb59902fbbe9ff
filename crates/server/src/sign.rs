//! Signing in and out.

use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::{SignedDuration, Timestamp};
use store::{Session, TokenHash};

use crate::app::{App, Failure, Shared};
use crate::caller::Caller;
use crate::form::Form;
use crate::visit::Visit;
use crate::{answers, gate, handlers, secret};

/// How long a session lasts: a working week of the base without signing in again. Judgement.
const SESSION_HOURS: i64 = 7 * 24;

/// How often one name may be tried within [`WINDOW`], and how often all names together may from one page.
const TRIES: u32 = 8;

/// In what time tries are counted.
const WINDOW: SignedDuration = SignedDuration::from_mins(15);

/// A hash that no password fits, for taking as long over a name that does not exist as over one that does.
const NOBODYS: &str =
    "$argon2id$v=19$m=19456,t=2,p=1$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA";

pub(crate) async fn page(visit: Visit, RawQuery(query): RawQuery) -> Response {
    let question = handlers::pairs(query.as_deref());
    let then = question.iter().find(|(name, _)| name == "then").map_or("/", |(_, value)| value.as_str());
    answers::page(pages::sign_in_page(&visit.site, inside(then), "", None))
}

pub(crate) async fn enter(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let (name, then) = (form.get("name"), inside(form.get("then")));
    match check(&app, name, form.get("password")).await {
        Ok(Entry::Welcome(session)) => {
            let mut response = answers::elsewhere(then);
            remember(&app, &mut response, &session);
            response
        }
        Ok(Entry::Unknown) => {
            let what = "This name and password do not belong together. Capitals count.";
            answers::with(StatusCode::FORBIDDEN, pages::sign_in_page(&visit.site, then, name, Some(what)))
        }
        Ok(Entry::TooOften(wait)) => {
            let what = format!(
                "This was tried too often. Try again in {wait} minutes, or ask the manager for a new password."
            );
            answers::with(
                StatusCode::TOO_MANY_REQUESTS,
                pages::sign_in_page(&visit.site, then, name, Some(&what)),
            )
        }
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

pub(crate) async fn leave(State(app): State<Shared>, visit: Visit) -> Response {
    if let Caller::Member { session: Some(session), .. } = &visit.caller
        && let Err(error) = app.store.end_session(session).await
    {
        return answers::failed(&visit.site, &Failure::Store(error));
    }
    let mut response = answers::elsewhere("/sign-in");
    for name in [gate::SESSION, gate::CREW] {
        gate::set_cookie(&app, response.headers_mut(), name, "", 0);
    }
    response
}

/// What became of a try.
pub(crate) enum Entry {
    /// They are in; the secret of their session.
    Welcome(String),
    /// There is no such account, or it has another password, or it is closed.
    Unknown,
    /// It was tried too often; minutes to wait.
    TooOften(i64),
}

/// Looks at a name and a password, and begins a session.
pub(crate) async fn check(app: &App, name: &str, password: &str) -> Result<Entry, Failure> {
    let now = app.clock.timestamp();
    let key = format!("sign-in {}", name.to_lowercase());
    let tries = app.store.count_attempt(&key, now, WINDOW).await?;
    if tries.count > TRIES {
        let over = WINDOW.saturating_sub(now.duration_since(tries.since));
        return Ok(Entry::TooOften(over.as_mins() + 1));
    }
    let account = app.store.account_named(name).await?.filter(|account| account.active);
    let hash = account.as_ref().map_or_else(|| NOBODYS.to_owned(), |account| account.password.clone());
    if !fits(app, password, hash).await? {
        return Ok(Entry::Unknown);
    }
    let Some(account) = account else { return Ok(Entry::Unknown) };
    app.store.forget_attempts(&key).await?;
    Ok(Entry::Welcome(begin(app, &account.id, now).await?))
}

/// Gives a browser the secret of its session.
pub(crate) fn remember(app: &App, response: &mut Response, session: &str) {
    let seconds = u32::try_from(SESSION_HOURS * 3600).unwrap_or_default();
    gate::set_cookie(app, response.headers_mut(), gate::SESSION, session, seconds);
    gate::set_cookie(app, response.headers_mut(), gate::CREW, "", 0);
}

/// Begins a session of an account; gives back its secret.
pub(crate) async fn begin(app: &App, account: &str, now: Timestamp) -> Result<String, Failure> {
    let token = secret::token()?;
    let expires = now.saturating_add(SignedDuration::from_hours(SESSION_HOURS)).unwrap_or(Timestamp::MAX);
    let (csrf, account) = (secret::token()?, account.to_owned());
    app.store.begin_session(&Session { token: TokenHash::of(&token), account, expires, csrf }).await?;
    Ok(token)
}

/// Looks at a password off the threads that answer, few at a time.
async fn fits(app: &App, password: &str, hash: String) -> Result<bool, Failure> {
    let _permit = app.hashing.acquire().await.map_err(|_| Failure::Broken)?;
    let password = password.to_owned();
    tokio::task::spawn_blocking(move || secret::fits(&password, &hash)).await.map_err(|_| Failure::Broken)
}

/// An address on this site, or its first page.
fn inside(address: &str) -> &str {
    if address.starts_with('/') && !address.starts_with("//") && !address.contains(['\\', '\r', '\n']) {
        address
    } else {
        "/"
    }
}
