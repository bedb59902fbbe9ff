//! The base's own people: accounts, how somebody new gets in, passwords.

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::{SignedDuration, Timestamp};
use pages::people::{PeoplePage, PersonRow};
use serde::{Deserialize, Serialize};
use store::{Account, Role, Store, StoreError, TokenHash};

use crate::app::{App, DEMO_ACCOUNTS, Failure, Shared};
use crate::caller::{self, Caller};
use crate::form::Form;
use crate::visit::Visit;
use crate::{answers, handlers, secret, sign};

/// What stands in place of a password's hash until its owner has chosen one: no password fits it.
pub(crate) const NO_PASSWORD: &str = "none";

/// How long somebody has for choosing a password by the link that they were given.
const INVITED: SignedDuration = SignedDuration::from_hours(72);

/// Lengths of a password, in characters.
///
/// # Source
/// NIST SP 800-63B asks for eight at least where a password is not all, and for no rules about kinds of characters (from
/// memory); twelve is judgement, since here it is all.
const LENGTH: std::ops::RangeInclusive<usize> = 12..=200;

/// How somebody may choose a password, once.
#[derive(Debug, Serialize, Deserialize)]
struct Invitation {
    token: String,
    /// Milliseconds since 1970.
    ends: i64,
}

/// Why an account can't be changed so, in words; or why it failed.
enum Wrong {
    Words(String),
    Failed(Failure),
}

impl<E: Into<Failure>> From<E> for Wrong {
    fn from(error: E) -> Self {
        match error.into() {
            Failure::Store(taken @ StoreError::Taken { .. }) => Self::Words(taken.to_string()),
            other => Self::Failed(other),
        }
    }
}

pub(crate) async fn list(State(app): State<Shared>, visit: Visit) -> Response {
    show(&app, &visit, StatusCode::OK, None, None).await
}

/// Adds somebody, and makes the link by which they choose their password.
pub(crate) async fn add(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let done = add_account(&app, form.get("name"), form.get("role")).await;
    told(&app, &visit, done).await
}

/// Makes a new link for choosing a password; whoever is signed in to the account is signed out.
pub(crate) async fn invite(State(app): State<Shared>, visit: Visit, Path(id): Path<String>) -> Response {
    let done = invite_again(&app, &id).await;
    told(&app, &visit, done).await
}

/// Changes what somebody may do, or closes or opens their account.
pub(crate) async fn change(
    State(app): State<Shared>,
    visit: Visit,
    Path(id): Path<String>,
    form: Form,
) -> Response {
    let done = change_account(&app, &id, form.get("role"), form.get("active") == "yes").await;
    told(&app, &visit, done.map(|()| None)).await
}

async fn told(app: &App, visit: &Visit, done: Result<Option<(String, String)>, Wrong>) -> Response {
    match done {
        Ok(None) => answers::elsewhere("/people"),
        Ok(Some((name, address))) => show(app, visit, StatusCode::OK, Some((&name, &address)), None).await,
        Err(Wrong::Words(what)) => {
            show(app, visit, StatusCode::UNPROCESSABLE_ENTITY, None, Some(&what)).await
        }
        Err(Wrong::Failed(failure)) => answers::failed(&visit.site, &failure),
    }
}

async fn show(
    app: &App,
    visit: &Visit,
    status: StatusCode,
    fresh: Option<(&str, &str)>,
    wrong: Option<&str>,
) -> Response {
    let accounts = match app.store.accounts().await {
        Ok(accounts) => accounts,
        Err(error) => return answers::failed(&visit.site, &Failure::Store(error)),
    };
    let own = match &visit.caller {
        Caller::Member { id, .. } => id.as_str(),
        _ => "",
    };
    let rows = accounts.iter().map(|account| PersonRow {
        id: account.id.clone(),
        name: account.name.clone(),
        role: caller::role(account.role),
        active: account.active,
        waiting: account.password == NO_PASSWORD && !app.demo,
        own: account.id == own,
    });
    let page = PeoplePage { rows: rows.collect(), fresh, wrong };
    answers::with(status, pages::people::people_page(&visit.site, &page))
}

async fn add_account(app: &App, name: &str, role: &str) -> Result<Option<(String, String)>, Wrong> {
    let name = good_name(name)?;
    let role = good_role(role)?;
    let account = new_account(&name, role, app.clock.timestamp())?;
    app.store.add_account(&account).await?;
    Ok(Some((account.name.clone(), invited_at(app, &account.id).await?)))
}

async fn invite_again(app: &App, id: &str) -> Result<Option<(String, String)>, Wrong> {
    let account = known(app, id).await?;
    app.store.change_account(&Account { password: NO_PASSWORD.to_owned(), ..account.clone() }).await?;
    Ok(Some((account.name, invited_at(app, id).await?)))
}

async fn change_account(app: &App, id: &str, role: &str, active: bool) -> Result<(), Wrong> {
    let account = known(app, id).await?;
    let role = if role.is_empty() { account.role } else { good_role(role)? };
    let runs = |account: &Account| account.active && account.role == Role::Manager;
    if runs(&account) && !(active && role == Role::Manager) {
        let others = app.store.accounts().await?;
        if !others.iter().any(|other| other.id != id && runs(other) && other.password != NO_PASSWORD)
            && !app.demo
        {
            let what = "This is the only manager who can sign in. Make somebody else a manager first.";
            return Err(Wrong::Words(what.to_owned()));
        }
    }
    app.store.change_account(&Account { role, active, ..account }).await?;
    Ok(())
}

async fn known(app: &App, id: &str) -> Result<Account, Wrong> {
    let account = app.store.account(id).await?;
    account.ok_or_else(|| Wrong::Words("There is no such account any more. Load the page again.".to_owned()))
}

/// An account of somebody who has no password yet.
pub(crate) fn new_account(name: &str, role: Role, created: Timestamp) -> Result<Account, Failure> {
    let id = format!("a-{}", &secret::token()?[..12]);
    Ok(Account { id, name: name.to_owned(), role, password: NO_PASSWORD.to_owned(), active: true, created })
}

/// The address by which the owner of an account chooses their password.
async fn invited_at(app: &App, id: &str) -> Result<String, Failure> {
    Ok(format!("{}{}", app.at, invitation(&app.store, id, app.clock.timestamp()).await?))
}

/// The end of the address by which the owner of an account chooses their password. Only its newest one holds.
pub(crate) async fn invitation(store: &Store, id: &str, now: Timestamp) -> Result<String, Failure> {
    let token = secret::token()?;
    let ends = now.saturating_add(INVITED).unwrap_or(Timestamp::MAX);
    let kept = Invitation { token: TokenHash::of(&token).as_str().to_owned(), ends: ends.as_millisecond() };
    let json = serde_json::to_string(&kept).map_err(|_| Failure::Broken)?;
    store.set(&format!("invitation {id}"), &json).await?;
    Ok(format!("/welcome/{id}/{token}"))
}

/// Whether an account may be entered by this token; then its account.
async fn invited(app: &App, id: &str, token: &str) -> Result<Option<Account>, Failure> {
    let kept = app.store.setting(&format!("invitation {id}")).await?;
    let kept: Option<Invitation> = kept.and_then(|json| serde_json::from_str(&json).ok());
    let Some(kept) = kept else { return Ok(None) };
    let holds = secret::same(&kept.token, TokenHash::of(token).as_str())
        && app.clock.timestamp().as_millisecond() < kept.ends;
    if !holds {
        return Ok(None);
    }
    Ok(app.store.account(id).await?.filter(|account| account.active))
}

/// Somebody comes to choose their password.
pub(crate) async fn welcome(
    State(app): State<Shared>,
    visit: Visit,
    Path((id, token)): Path<(String, String)>,
) -> Response {
    match invited(&app, &id, &token).await {
        Ok(Some(account)) => answers::page(pages::people::welcome_page(&visit.site, &account.name, None)),
        Ok(None) => answers::not_found(pages::people::invitation_ended_page(&visit.site)),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// Somebody chose their password, and is in.
pub(crate) async fn choose(
    State(app): State<Shared>,
    visit: Visit,
    Path((id, token)): Path<(String, String)>,
    form: Form,
) -> Response {
    let account = match invited(&app, &id, &token).await {
        Ok(Some(account)) => account,
        Ok(None) => return answers::not_found(pages::people::invitation_ended_page(&visit.site)),
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    if let Err(what) = good_password(&form, &account.name) {
        let page = pages::people::welcome_page(&visit.site, &account.name, Some(&what));
        return answers::with(StatusCode::UNPROCESSABLE_ENTITY, page);
    }
    let done = async {
        keep_password(&app, account.clone(), form.get("password")).await?;
        app.store.set(&format!("invitation {id}"), "null").await?;
        sign::begin(&app, &account.id, app.clock.timestamp()).await
    };
    enter(&app, &visit, done.await)
}

async fn keep_password(app: &App, account: Account, password: &str) -> Result<(), Failure> {
    let _permit = app.hashing.acquire().await.map_err(|_| Failure::Broken)?;
    let password = password.to_owned();
    let hash =
        tokio::task::spawn_blocking(move || secret::hash(&password)).await.map_err(|_| Failure::Broken)??;
    app.store.change_account(&Account { password: hash, ..account }).await?;
    Ok(())
}

fn enter(app: &App, visit: &Visit, begun: Result<String, Failure>) -> Response {
    match begun {
        Ok(session) => {
            let mut response = answers::elsewhere("/");
            sign::remember(app, &mut response, &session);
            response
        }
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// The first manager of a base that has nobody: by the secret that was printed where Becket was started.
pub(crate) async fn begin(State(app): State<Shared>, visit: Visit, RawQuery(query): RawQuery) -> Response {
    let question = handlers::pairs(query.as_deref());
    let code = question.iter().find(|(name, _)| name == "code").map_or("", |(_, value)| value.as_str());
    match may_begin(&app, code).await {
        Ok(true) => answers::page(pages::people::begin_page(&visit.site, code, "", None)),
        Ok(false) => answers::not_found(pages::people::begun_page(&visit.site)),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

pub(crate) async fn found_base(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let code = form.get("code");
    match may_begin(&app, code).await {
        Ok(true) => {}
        Ok(false) => return answers::not_found(pages::people::begun_page(&visit.site)),
        Err(failure) => return answers::failed(&visit.site, &failure),
    }
    let again = |what: &str| {
        let page = pages::people::begin_page(&visit.site, code, form.get("name"), Some(what));
        answers::with(StatusCode::UNPROCESSABLE_ENTITY, page)
    };
    let name = match good_name(form.get("name")) {
        Ok(name) => name,
        Err(Wrong::Words(what)) => return again(&what),
        Err(Wrong::Failed(failure)) => return answers::failed(&visit.site, &failure),
    };
    if let Err(what) = good_password(&form, &name) {
        return again(&what);
    }
    enter(&app, &visit, first_manager(&app, &name, form.get("password")).await)
}

async fn first_manager(app: &App, name: &str, password: &str) -> Result<String, Failure> {
    let now = app.clock.timestamp();
    // One at a time, so that two who know the secret don't both become the first.
    let mut code = app.begin.lock().await;
    let account = new_account(name, Role::Manager, now)?;
    app.store.add_account(&account).await?;
    keep_password(app, account.clone(), password).await?;
    *code = None;
    sign::begin(app, &account.id, now).await
}

async fn may_begin(app: &App, code: &str) -> Result<bool, Failure> {
    let known = app.begin.lock().await.as_deref().is_some_and(|own| secret::same(own, code));
    Ok(known && app.store.accounts().await?.is_empty())
}

/// One changes one's own password.
pub(crate) async fn own(visit: Visit) -> Response {
    answers::page(pages::people::own_page(&visit.site, None))
}

pub(crate) async fn change_own(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let Caller::Member { id, name, session: Some(_), .. } = &visit.caller else {
        return answers::elsewhere("/");
    };
    let again = |what: &str| {
        answers::with(StatusCode::UNPROCESSABLE_ENTITY, pages::people::own_page(&visit.site, Some(what)))
    };
    match sign::check(&app, name, form.get("old")).await {
        Ok(sign::Entry::Welcome(_)) => {}
        Ok(sign::Entry::Unknown) => return again("Your old password is another one. Capitals count."),
        Ok(sign::Entry::TooOften(wait)) => {
            return again(&format!("This was tried too often. Try again in {wait} minutes."));
        }
        Err(failure) => return answers::failed(&visit.site, &failure),
    }
    if let Err(what) = good_password(&form, name) {
        return again(&what);
    }
    let done = async {
        let account = app.store.account(id).await?.ok_or(Failure::Broken)?;
        keep_password(&app, account, form.get("password")).await?;
        sign::begin(&app, id, app.clock.timestamp()).await
    };
    enter(&app, &visit, done.await)
}

/// In a demonstration: to look around as somebody else.
pub(crate) async fn demo_as(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let wanted = DEMO_ACCOUNTS.iter().find(|(id, ..)| *id == form.get("account"));
    let (true, Some((id, ..))) = (app.demo, wanted) else {
        return answers::not_found(pages::not_found(&visit.site, "This is no demonstration.", None));
    };
    let begun = sign::begin(&app, id, app.clock.timestamp()).await;
    enter(&app, &visit, begun)
}

fn good_name(name: &str) -> Result<String, Wrong> {
    let plain = name.chars().all(|c| !c.is_control());
    if (1..=60).contains(&name.chars().count()) && plain {
        return Ok(name.to_owned());
    }
    Err(Wrong::Words(
        "Write the name that they sign in with: up to 60 letters, spaces and digits.".to_owned(),
    ))
}

fn good_role(role: &str) -> Result<Role, Wrong> {
    Role::of(role).ok_or_else(|| {
        Wrong::Words("Choose what they do: manager, handover skipper or dock hand.".to_owned())
    })
}

/// Whether a form's new password, typed twice, will do; else why not.
fn good_password(form: &Form, name: &str) -> Result<(), String> {
    let (password, again) = (form.get("password"), form.get("again"));
    let length = password.chars().count();
    if !LENGTH.contains(&length) {
        let (least, most) = (LENGTH.start(), LENGTH.end());
        return Err(format!(
            "Yours has {length} characters; choose one of {least} to {most}. Four words that do not belong together are easy to remember and hard to guess."
        ));
    }
    let small = password.to_lowercase();
    let different: std::collections::BTreeSet<char> = small.chars().collect();
    if different.len() < 5 || ["password", "123456", "qwerty"].iter().any(|usual| small.contains(usual)) {
        return Err("That one is among the first that anybody would try. Choose another.".to_owned());
    }
    if small.contains(&name.to_lowercase()) && name.chars().count() > 2 {
        return Err("Your name is in it, which makes it easy to guess. Choose another.".to_owned());
    }
    if password != again {
        return Err("The two are not the same. Type it twice.".to_owned());
    }
    Ok(())
}
