//! How people get in: the first manager, invitations, passwords, too many tries, and what programs send.

use crate::browser::{Base, Browser};
use axum::http::StatusCode;
use store::{Account, Role};

const PASSWORD: &str = "four loose gull feathers";

/// A base whose first manager, Ina, is signed in.
async fn begun() -> (Base, Browser) {
    let base = Base::open(&[]).await;
    let mut ina = base.browser();
    let address = base.app.begin_address().await.expect("nobody is there yet");
    let path = address.strip_prefix("https://test.example").expect("an address of the base");
    assert_eq!(ina.get(path).await.status, StatusCode::OK);
    let code = path.split_once("code=").expect("it has the code").1;
    let sent = ina
        .post("/begin", &[("code", code), ("name", "Ina"), ("password", PASSWORD), ("again", PASSWORD)])
        .await;
    assert_eq!((sent.status, sent.location.as_str()), (StatusCode::SEE_OTHER, "/"));
    (base, ina)
}

#[tokio::test]
async fn the_first_manager_is_made_by_the_printed_address_and_only_once() {
    let base = Base::open(&[]).await;
    let mut stranger = base.browser();
    for code in ["", "guess"] {
        let fields = [("code", code), ("name", "Eve"), ("password", PASSWORD), ("again", PASSWORD)];
        assert_eq!(stranger.get(&format!("/begin?code={code}")).await.status, StatusCode::NOT_FOUND);
        assert_eq!(stranger.post("/begin", &fields).await.status, StatusCode::NOT_FOUND);
    }
    let (base, mut ina) = begun().await;
    assert_eq!(ina.get("/people").await.status, StatusCode::OK);
    assert!(base.app.begin_address().await.is_none(), "it holds once");
}

#[tokio::test]
async fn passwords_that_anybody_would_try_are_refused_with_the_reason() {
    let base = Base::open(&[]).await;
    let mut ina = base.browser();
    let address = base.app.begin_address().await.expect("nobody is there yet");
    let code = address.split_once("code=").expect("it has the code").1.to_owned();
    for (password, again, words) in [
        ("short", "short", "5 characters"),
        ("aaaaaaaaaaaaaaa", "aaaaaaaaaaaaaaa", "first that anybody would try"),
        ("Password12345", "Password12345", "first that anybody would try"),
        ("margaret of the dock", "margaret of the dock", "Your name is in it"),
        (PASSWORD, "four loose gull feather", "not the same"),
    ] {
        let fields =
            [("code", code.as_str()), ("name", "Margaret"), ("password", password), ("again", again)];
        let got = ina.post("/begin", &fields).await;
        assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{password}");
        assert!(
            got.body.contains(words) && got.body.contains("value=\"Margaret\""),
            "{password}: {}",
            got.body
        );
        assert!(!got.body.contains(password), "a password is never shown again");
    }
}

#[tokio::test]
async fn somebody_new_chooses_a_password_by_a_link_that_works_once() {
    let (base, mut ina) = begun().await;
    let page = ina.post("/people", &[("name", "Sol"), ("role", "skipper")]).await;
    assert_eq!(page.status, StatusCode::OK);
    let link = page.text_between("<p class=\"address\">", "</p>").to_owned();
    let path = link.strip_prefix("https://test.example").expect("an address of the base").to_owned();
    assert!(!ina.get("/people").await.body.contains(&path), "it is shown once");
    let mut sol = base.browser();
    assert!(sol.get(&path).await.body.contains("Welcome, Sol"));
    let chosen = sol.post(&path, &[("password", PASSWORD), ("again", PASSWORD)]).await;
    assert_eq!(chosen.status, StatusCode::SEE_OTHER);
    assert_eq!(sol.get("/").await.status, StatusCode::OK);
    assert_eq!(sol.get("/people").await.status, StatusCode::FORBIDDEN, "a skipper changes nobody");
    let mut other = base.browser();
    assert_eq!(other.get(&path).await.status, StatusCode::NOT_FOUND);
    assert_eq!(
        other.post(&path, &[("password", PASSWORD), ("again", PASSWORD)]).await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn a_closed_account_is_out_at_once_and_the_last_manager_stays() {
    let (base, mut ina) = begun().await;
    let page = ina.post("/people", &[("name", "Sol"), ("role", "hand")]).await;
    let path = page.text_between("<p class=\"address\">https://test.example", "</p>").to_owned();
    let mut sol = base.browser();
    sol.post(&path, &[("password", PASSWORD), ("again", PASSWORD)]).await;
    assert_eq!(sol.get("/").await.status, StatusCode::OK);
    let accounts = base.app_store().await;
    let id =
        |name: &str| accounts.iter().find(|account| account.name == name).expect("they are there").id.clone();
    let closed = ina.post(&format!("/people/{}", id("Sol")), &[("role", "hand")]).await;
    assert_eq!(closed.status, StatusCode::SEE_OTHER);
    assert!(sol.get("/").await.location.starts_with("/sign-in"));
    for fields in [&[("role", "hand"), ("active", "yes")][..], &[("role", "manager")]] {
        let refused = ina.post(&format!("/people/{}", id("Ina")), fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.body.contains("only manager who can sign in"));
    }
    let taken = ina.post("/people", &[("name", "Ina"), ("role", "hand")]).await;
    assert_eq!(taken.status, StatusCode::UNPROCESSABLE_ENTITY, "no two have the same name");
}

#[tokio::test]
async fn signing_in_and_out_and_a_guesser_is_stopped() {
    let (base, mut ina) = begun().await;
    let cookies = ina.set_cookies.clone();
    for cookie in cookies.iter().filter(|cookie| !cookie.contains("Max-Age=0")) {
        for part in ["HttpOnly", "SameSite=Lax", "Secure", "Path=/"] {
            assert!(cookie.contains(part), "{cookie}");
        }
    }
    assert_eq!(ina.post("/sign-out", &[]).await.location, "/sign-in");
    assert!(ina.get("/people").await.location.starts_with("/sign-in?then=%2Fpeople"));
    let back = ina.post("/sign-in", &[("name", "Ina"), ("password", PASSWORD), ("then", "/people")]).await;
    assert_eq!(back.location, "/people");
    for away in ["//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example"] {
        let mut browser = base.browser();
        let to = browser.post("/sign-in", &[("name", "Ina"), ("password", PASSWORD), ("then", away)]).await;
        assert_eq!(to.location, "/", "{away}");
    }
    let mut eve = base.browser();
    for _ in 0..8 {
        let got = eve.post("/sign-in", &[("name", "Ina"), ("password", "guess guess guess")]).await;
        assert_eq!(got.status, StatusCode::FORBIDDEN);
        assert!(got.body.contains("do not belong together") && !got.body.contains("guess guess"));
    }
    for password in ["guess guess guess", PASSWORD] {
        let got = eve.post("/sign-in", &[("name", "Ina"), ("password", password)]).await;
        assert_eq!(got.status, StatusCode::TOO_MANY_REQUESTS, "also the right one, so that it can't be told");
    }
    assert_eq!(ina.get("/people").await.status, StatusCode::OK, "who is in stays in");
}

#[tokio::test]
async fn a_changed_password_signs_out_everywhere_else() {
    let (base, mut ina) = begun().await;
    let mut phone = base.browser();
    phone.post("/sign-in", &[("name", "Ina"), ("password", PASSWORD)]).await;
    assert_eq!(phone.get("/").await.status, StatusCode::OK);
    let new = "seven dry sea urchins";
    let wrong =
        ina.post("/password", &[("old", "not this one at all"), ("password", new), ("again", new)]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let done = ina.post("/password", &[("old", PASSWORD), ("password", new), ("again", new)]).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER);
    assert_eq!(ina.get("/").await.status, StatusCode::OK);
    assert!(phone.get("/").await.location.starts_with("/sign-in"));
    assert_eq!(
        phone.post("/sign-in", &[("name", "Ina"), ("password", PASSWORD)]).await.status,
        StatusCode::FORBIDDEN
    );
}

#[tokio::test]
async fn no_account_has_a_password_that_fits_what_stands_for_none() {
    let (base, _) = begun().await;
    base.add(Account {
        id: "x".to_owned(),
        name: "Nobody yet".to_owned(),
        role: Role::Manager,
        password: "none".to_owned(),
        active: true,
        created: jiff::Timestamp::now(),
    })
    .await;
    for password in ["none", "", " "] {
        let mut browser = base.browser();
        let got = browser.post("/sign-in", &[("name", "Nobody yet"), ("password", password)]).await;
        assert_eq!(got.status, StatusCode::FORBIDDEN, "“{password}”");
    }
}

#[tokio::test]
async fn nobody_is_let_in_as_in_a_demonstration() {
    let (base, _) = begun().await;
    let mut stranger = base.browser();
    for account in ["demo-manager", "demo-hand"] {
        let got = stranger.post("/demo/as", &[("account", account)]).await;
        assert_eq!(got.status, StatusCode::NOT_FOUND);
    }
    assert!(stranger.get("/").await.location.starts_with("/sign-in"));
}

cases![
    the_first_manager_is_made_by_the_printed_address_and_only_once,
    passwords_that_anybody_would_try_are_refused_with_the_reason,
    somebody_new_chooses_a_password_by_a_link_that_works_once,
    a_closed_account_is_out_at_once_and_the_last_manager_stays,
    signing_in_and_out_and_a_guesser_is_stopped,
    a_changed_password_signs_out_everywhere_else,
    no_account_has_a_password_that_fits_what_stands_for_none,
    nobody_is_let_in_as_in_a_demonstration,
];
