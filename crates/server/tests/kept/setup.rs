//! Setting a boat up through its forms, as a browser sends them: trying, saving, two who save at once, drafts,
//! revisions, the file out and in, and who may what.

use crate::forms::{
    DUNLIN, Fields, Got, WADER, base, fields, fill, filled, get, post, press, seal, send, text,
};
use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode, header};

#[tokio::test]
async fn every_form_sends_back_what_it_shows_and_changes_nothing() {
    let app = base(&[("wader.toml", WADER)]).await;
    let deck = boat::edit::Deck::read(WADER).expect("the file is TOML");
    let mut addresses = vec!["/setup/wader/boat/particulars".to_owned()];
    for section in boat::edit::sections() {
        let name = section.name;
        for page in [format!("/setup/wader/{name}"), format!("/setup/wader/{name}/new")] {
            assert_eq!(get(&app, &page).await.status, StatusCode::OK, "{page}");
        }
        addresses.extend(deck.section(name).iter().map(|entry| format!("/setup/wader/{name}/{}", entry.id)));
    }
    for address in &addresses {
        let got = press(&app, address, "save", &[]).await;
        assert_eq!(got.status, StatusCode::SEE_OTHER, "{address}: {}", got.body);
    }
    assert_eq!(text(&app, "wader").await, WADER);
    let page = get(&app, "/setup/wader").await.body;
    assert!(page.contains("Revision 1.") && !page.contains("Draft"), "nothing was saved");
}

#[tokio::test]
async fn a_change_is_tried_saved_and_told_in_the_revisions() {
    let app = base(&[("wader.toml", WADER)]).await;
    let address = "/setup/wader/places/galley";
    let form = filled(&app, address, &[("f.name", "Kitchen"), ("note", "As we say")]).await;
    let tried = post(&app, "/setup/wader/try", &form).await;
    assert_eq!(tried.status, StatusCode::OK);
    assert!(tried.body.contains("Nothing new to mend") && tried.body.contains("is now"), "{}", tried.body);
    assert_eq!(text(&app, "wader").await, WADER, "trying saves nothing");
    let saved = post(&app, address, &fill(form.clone(), &[("do", "save")])).await;
    assert_eq!(
        (saved.status, saved.to.as_str()),
        (StatusCode::SEE_OTHER, "/setup/wader/places/galley?saved=2"),
        "{}",
        saved.body
    );
    let told = get(&app, &saved.to).await.body;
    assert!(told.contains("It is in revision 2, by Robin."), "{told}");
    assert_eq!(text(&app, "wader").await, WADER.replace("name = \"Galley\"", "name = \"Kitchen\""));
    // The same page sent twice is one revision.
    assert_eq!(post(&app, address, &fill(form, &[("do", "save")])).await.status, StatusCode::SEE_OTHER);
    let revisions = get(&app, "/setup/wader/revisions").await.body;
    assert!(revisions.contains("Revision 2") && !revisions.contains("Revision 3"));
    assert!(revisions.contains("Robin") && revisions.contains("As we say") && revisions.contains("Kitchen"));
    assert!(get(&app, "/boat/wader").await.body.contains("Kitchen"), "her pages follow");
    // One put back is a new revision.
    let back = "/setup/wader/revisions/1";
    let form = vec![("seal".to_owned(), seal(&app).await), ("made_from".to_owned(), "2".to_owned())];
    assert_eq!(post(&app, back, &form).await.status, StatusCode::SEE_OTHER);
    assert_eq!(text(&app, "wader").await, WADER);
    assert!(get(&app, "/setup/wader/revisions").await.body.contains("Revision 1 put back"));
}

#[tokio::test]
async fn what_is_wrong_is_told_and_nothing_typed_is_lost() {
    let app = base(&[("wader.toml", WADER)]).await;
    let got =
        press(&app, "/setup/wader/places/galley", "save", &[("f.name", ""), ("f.way", "Past the <mast>")])
            .await;
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(got.body.contains("This is needed.") && got.body.contains("Past the &lt;mast&gt;"));
    let got = press(&app, "/setup/wader/boat/particulars", "save", &[("f.berths", "many")]).await;
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(got.body.contains("Write a whole number") && got.body.contains("value=\"many\""));
    // A file that could not be read is never saved, and can be kept as a draft.
    let unread =
        press(&app, "/setup/wader/places/galley", "save", &[("f.aft", "99 kg"), ("f.aft~unit", "")]).await;
    assert_eq!(unread.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(unread.body.contains("could not be read so") && unread.body.contains("99 kg"));
    assert_eq!(text(&app, "wader").await, WADER);
    let kept =
        post(&app, "/setup/wader/places/galley", &fill(fields(&unread.body), &[("do", "draft")])).await;
    assert_eq!((kept.status, kept.to.as_str()), (StatusCode::SEE_OTHER, "/setup/wader/drafts/1"));
    assert!(get(&app, "/setup/wader").await.body.contains("Draft 1"));
    let draft = get(&app, "/setup/wader/drafts/1").await.body;
    assert!(draft.contains("99 kg"));
    let refused = post(&app, "/setup/wader/drafts/1", &fill(fields(&draft), &[("do", "save")])).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(text(&app, "wader").await, WADER);
    let dropped = post(&app, "/setup/wader/drafts/1", &fill(fields(&draft), &[("do", "drop")])).await;
    assert_eq!(dropped.status, StatusCode::SEE_OTHER);
    assert!(!get(&app, "/setup/wader").await.body.contains("Draft 1"));
}

#[tokio::test]
async fn two_who_save_different_entries_at_the_same_moment_both_keep_their_work() {
    let app = base(&[("wader.toml", WADER)]).await;
    let addresses = ["galley", "saloon", "head", "bow"].map(|id| format!("/setup/wader/places/{id}"));
    let mut forms = Vec::new();
    for (at, address) in addresses.iter().enumerate() {
        let name = format!("Place {at}");
        forms.push(fill(filled(&app, address, &[("f.name", &name)]).await, &[("do", "save")]));
    }
    let (a, b, c, d) = tokio::join!(
        post(&app, &addresses[0], &forms[0]),
        post(&app, &addresses[1], &forms[1]),
        post(&app, &addresses[2], &forms[2]),
        post(&app, &addresses[3], &forms[3]),
    );
    for got in [a, b, c, d] {
        assert_eq!(got.status, StatusCode::SEE_OTHER, "{}", got.body);
    }
    let now = text(&app, "wader").await;
    for at in 0..4 {
        assert!(now.contains(&format!("name = \"Place {at}\"")), "{at}");
    }
    let page = get(&app, "/setup/wader").await.body;
    assert!(
        page.contains("Revision 5") && !page.contains("Draft"),
        "four revisions, and no draft is left behind"
    );
}

#[tokio::test]
async fn two_who_change_the_same_are_asked_and_neither_loses() {
    let app = base(&[("wader.toml", WADER)]).await;
    let address = "/setup/wader/places/galley";
    let mine =
        fill(filled(&app, address, &[("f.name", "Mine"), ("f.way", "My way.")]).await, &[("do", "save")]);
    let theirs =
        fill(filled(&app, address, &[("f.name", "Theirs"), ("f.reach", "lid")]).await, &[("do", "save")]);
    assert_eq!(post(&app, address, &theirs).await.to, format!("{address}?saved=2"));
    let late = post(&app, address, &mine).await;
    assert_eq!((late.status, late.to.as_str()), (StatusCode::SEE_OTHER, "/setup/wader/drafts/1"));
    let page = get(&app, &late.to).await.body;
    assert!(page.contains("Mine") && page.contains("Theirs") && page.contains("My way."), "both are shown");
    // Nothing is saved before it is chosen.
    let open = post(&app, &late.to, &fill(fields(&page), &[("do", "save")])).await;
    assert_eq!(open.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(open.body.contains("Choose whose word stands"));
    let chosen = fill(fields(&page), &[("pick places.galley.name", "mine"), ("do", "save")]);
    let done = post(&app, &late.to, &chosen).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.body);
    let row = boat::edit::row(&text(&app, "wader").await, "places", "galley").expect("it is there");
    let said = |key: &str| row.get(key).map(boat::edit::Value::typed);
    assert_eq!(said("name").as_deref(), Some("Mine"));
    assert_eq!(said("way").as_deref(), Some("My way."));
    assert_eq!(said("reach").as_deref(), Some("lid"), "what did not clash is theirs");
    assert_eq!(get(&app, "/setup/wader/drafts/1").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_others_speak_of_is_not_removed_and_a_rename_goes_everywhere() {
    let app = base(&[("wader.toml", WADER)]).await;
    let address = "/setup/wader/places/galley";
    let refused = press(&app, address, "remove", &[]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("Change these first") && refused.body.contains("/setup/wader/items/stove"));
    let renamed = press(&app, address, "rename", &[("to", "kitchen")]).await;
    assert_eq!(renamed.to, "/setup/wader/places/kitchen?saved=2", "{}", renamed.body);
    let now = text(&app, "wader").await;
    assert!(
        now.contains("[places.kitchen]")
            && now.contains("place = \"kitchen\"")
            && !now.contains("\"galley\"")
    );
    let gone = press(&app, "/setup/wader/upkeep/stove_hose", "remove", &[]).await;
    assert_eq!(gone.to, "/setup/wader/upkeep", "{}", gone.body);
    assert!(!text(&app, "wader").await.contains("stove_hose"));
}

#[tokio::test]
async fn a_place_is_put_beside_a_picture_and_its_side_is_asked_for() {
    let app = base(&[("wader.toml", WADER)]).await;
    let page = get(&app, "/setup/wader/places/galley").await.body;
    let picture = &page[page.find("data-spot").expect("there is a picture")..];
    assert!(picture.contains("data-metre=") && picture.contains("m from the bow"), "{picture}");
    assert!(
        picture.contains("Saloon") && !picture.contains(">Galley<"),
        "others are named, and it is marked"
    );
    let new = get(&app, "/setup/wader/places/new").await.body;
    assert!(new.contains("Not placed yet.") && new.contains("class=\"here-mark\" hidden"));
    let off = [("f.side", "1.2"), ("f.side~unit", "m"), ("f.side~to", "")];
    let asked = press(&app, "/setup/wader/places/galley", "save", &off).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        asked.body.contains("Say to which side") && asked.body.contains("value=\"1.2\""),
        "{}",
        asked.body
    );
    assert!(asked.body.contains("href=\"#f-side-field\"") && asked.body.contains("id=\"f-side-field\""));
    let said = [("f.side", "1.2"), ("f.side~unit", "m"), ("f.side~to", "port")];
    let saved = press(&app, "/setup/wader/places/galley", "save", &said).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    assert!(text(&app, "wader").await.contains("side = \"1.2 m port\""));
}

/// The folded part of a form that begins with these words, up to its end; whether it is open.
fn folded<'p>(page: &'p str, words: &str) -> (&'p str, bool) {
    let at = page.find(&format!("<span>{words}")).unwrap_or_else(|| panic!("there is no {words}"));
    let start = page[..at].rfind("<details").expect("it is folded");
    let end = at + page[at..].find("</details>").expect("it ends");
    (&page[start..end], page[start..at].contains(" open"))
}

#[tokio::test]
async fn what_is_rarely_needed_is_folded_unless_it_says_something_or_is_flawed() {
    let app = base(&[("wader.toml", WADER)]).await;
    let address = "/setup/wader/kit/new";
    let page = get(&app, address).await.body;
    let (part, open) = folded(&page, "More about it");
    assert!(!open && part.contains("name=\"f.price\"") && !part.contains("name=\"f.count\""));
    let tried = press(&app, address, "try", &[("f.name", "Buckets"), ("f.price", "5.00 USD")]).await;
    let (part, open) = folded(&tried.body, "More about it");
    assert!(open && part.contains("value=\"5.00 USD\""), "what is filled in is seen");
    assert!(!folded(&tried.body, "Still open").1);
    assert!(
        tried.body.contains("2 fields to mend") && tried.body.contains("Not tried yet"),
        "{}",
        tried.body
    );
    // What still lacks is told without alarm while somebody types.
    let form = filled(&app, address, &[("f.name", "Buckets")]).await;
    let live = post(&app, "/setup/wader/try", &form).await;
    assert_eq!(live.status, StatusCode::OK);
    assert!(live.body.contains("Still to fill in: Count, Place."), "{}", live.body);
    let flawed = press(&app, "/setup/wader/boat/particulars", "save", &[("f.built", "long ago")]).await;
    let (part, open) = folded(&flawed.body, "More about it");
    assert!(
        open && part.contains("value=\"long ago\"") && part.contains("id=\"f-built-wrong\""),
        "a flaw is seen"
    );
}

#[tokio::test]
async fn entries_are_found_by_a_word_and_a_name_that_is_refused_is_kept() {
    let app = base(&[("wader.toml", WADER)]).await;
    let found = get(&app, "/setup/wader/items?q=STOVE").await.body;
    assert!(found.contains("/setup/wader/items/stove") && found.contains("fits"), "{found}");
    assert!(get(&app, "/setup/wader/items?q=xylophone").await.body.contains("No entries fit."));
    let refused = press(&app, "/setup/wader/places/galley", "rename", &[("to", "The Galley!")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("value=\"The Galley!\"") && refused.body.contains("short name"));
    let same = press(&app, "/setup/wader/places/galley", "save", &[]).await;
    assert!(get(&app, &same.to).await.body.contains("Nothing was changed."));
}

/// A new item with a place, a control, a kit line and a step list, all through forms, on a boat of the demo.
#[tokio::test]
async fn a_new_item_comes_aboard_through_the_forms() {
    let app = base(&[("dunlin.toml", DUNLIN)]).await;
    let new = |section: &str| format!("/setup/dunlin/{section}/new");
    let saved = |got: Got, to: &str| {
        let address = got.to.split('?').next().unwrap_or_default();
        assert_eq!((got.status, address), (StatusCode::SEE_OTHER, to), "{}", got.body);
    };
    let place = [
        ("f.name", "Bow locker"),
        ("f.level", "deck"),
        ("f.aft", "1"),
        ("f.aft~unit", "m"),
        ("f.long", "60"),
        ("f.long~unit", "cm"),
        ("f.wide", "1 m"),
    ];
    saved(press(&app, &new("places"), "save", &place).await, "/setup/dunlin/places/bow_locker");
    let item = [("f.name", "Deck lantern"), ("f.place", "bow_locker"), ("f.find", "Brass, on a hook.")];
    saved(press(&app, &new("items"), "save", &item).await, "/setup/dunlin/items/deck_lantern");
    let control =
        [("f.item", "deck_lantern"), ("f.name", "Lantern"), ("f.positions", "off\r\nlit"), ("f.rest", "off")];
    saved(press(&app, &new("controls"), "save", &control).await, "/setup/dunlin/controls/lantern");
    let kit = [("f.name", "Lamp oil"), ("f.count", "2"), ("f.place", "bow_locker"), ("f.price", "12.00 USD")];
    saved(press(&app, &new("kit"), "save", &kit).await, "/setup/dunlin/kit/lamp_oil");
    // A step list grows by its buttons; nothing is saved meanwhile.
    let list = new("procedures");
    let head =
        [("f.name", "Light the lantern"), ("f.goal~part", "lantern is lit"), ("f.leaves", "lantern is lit")];
    let one = press(&app, &list, "add f.steps", &head).await;
    assert_eq!(one.status, StatusCode::OK);
    let two = fill(
        fields(&one.body),
        &[("f.steps.0.look", "Look that nothing burnable is near."), ("do", "below f.steps 0")],
    );
    let two = post(&app, &list, &two).await;
    let set = fill(fields(&two.body), &[("f.steps.1.set", "lantern"), ("do", "show f.steps.1")]);
    let set = post(&app, &list, &set).await;
    assert!(set.body.contains("<option value=\"lit\""), "the positions of the control are offered");
    let ready = fill(fields(&set.body), &[("f.steps.1.to", "lit"), ("note", "A lantern for the bow")]);
    let tried = post(&app, "/setup/dunlin/try", &ready).await;
    assert!(
        tried.body.contains("step lists followed") && tried.body.contains("Looked at in"),
        "{}",
        tried.body
    );
    assert!(tried.body.contains("Nothing new to mend"), "{}", tried.body);
    saved(
        post(&app, &list, &fill(ready, &[("do", "save")])).await,
        "/setup/dunlin/procedures/light_the_lantern",
    );
    let proof = get(&app, "/boat/dunlin/proof").await.body;
    assert!(proof.contains("Light the lantern"));
    let steps = get(&app, "/boat/dunlin/steps/light_the_lantern").await;
    assert_eq!(steps.status, StatusCode::OK);
    assert!(get(&app, "/boat/dunlin/kit").await.body.contains("Lamp oil"));
    // A step that leaves a control where no list may leave it is seen before it is saved.
    let address = "/setup/dunlin/procedures/light_the_lantern";
    let page = get(&app, address).await.body;
    let worse: Fields = fields(&page).into_iter().filter(|(name, _)| name != "f.leaves").collect();
    let worse = fill(worse, &[("do", "save")]);
    let refused = post(&app, address, &worse).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("Save all the same"), "{}", refused.body);
    let anyway = post(&app, address, &fill(fields(&refused.body), &[("do", "anyway")])).await;
    assert_eq!(anyway.status, StatusCode::SEE_OTHER);
    assert!(get(&app, "/setup/dunlin").await.body.contains("Not proven"));
}

#[tokio::test]
async fn a_new_boat_is_added_and_the_name_of_another_is_refused() {
    let app = base(&[("wader.toml", WADER)]).await;
    let sora = [
        ("f.name", "Sora"),
        ("f.hull", "monohull"),
        ("f.model", "9 m sloop"),
        ("f.rig", "sloop"),
        ("f.length", "9"),
        ("f.length~unit", "m"),
        ("f.beam", "10 ft"),
        ("f.draught", "1.5"),
        ("f.draught~unit", "m"),
        ("f.berths", "4"),
        ("class", "compass"),
    ];
    let made = press(&app, "/setup", "", &sora).await;
    assert_eq!((made.status, made.to.as_str()), (StatusCode::SEE_OTHER, "/setup/sora"), "{}", made.body);
    assert_eq!(get(&app, "/boat/sora").await.status, StatusCode::OK);
    assert!(text(&app, "sora").await.contains("class = \"compass\""));
    let again = press(&app, "/setup", "", &sora).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(again.body.contains("There is a boat of the name Sora already"));
    let empty = press(&app, "/setup", "", &[("f.name", "Rail")]).await;
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(empty.body.contains("value=\"Rail\""));
}

async fn put_in(app: &Router, text: &str, made_from: &str, anyway: bool) -> Got {
    let mut body = String::new();
    let seal = seal(app).await;
    let mut parts = vec![("seal", seal.as_str()), ("made_from", made_from), ("text", ""), ("note", "")];
    if anyway {
        parts.push(("anyway", "yes"));
    }
    for (name, value) in parts {
        body.extend(["--line\r\nContent-Disposition: form-data; name=\"", name, "\"\r\n\r\n", value, "\r\n"]);
    }
    let file = "--line\r\nContent-Disposition: form-data; name=\"file\"; filename=\"wader.toml\"\r\n";
    body.extend([file, "Content-Type: text/plain\r\n\r\n", text, "\r\n--line--\r\n"]);
    let request = Request::post("/setup/wader/file")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=line")
        .body(Body::from(body))
        .expect("the request is well formed");
    send(app, request).await
}

#[tokio::test]
async fn a_text_goes_out_and_in() {
    let app = base(&[("wader.toml", WADER)]).await;
    let changed = text(&app, "wader").await.replace("berths = 6", "berths = 7  # one more");
    let got = put_in(&app, &changed, "1", false).await;
    assert_eq!(got.to, "/setup/wader/revisions/2", "{}", got.body);
    assert_eq!(text(&app, "wader").await, changed, "letter for letter");
    // What can't be read is told with its place, and kept.
    let got = put_in(&app, &changed.replace("berths = 7", "berths = "), "2", false).await;
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(got.body.contains("line 12") && got.body.contains("draft 1"), "{}", got.body);
    let draft = get(&app, "/setup/wader/drafts/1").await.body;
    assert!(draft.contains("line 12") && draft.contains("Put a mended text in"), "{draft}");
    assert!(!draft.contains("value=\"save\""), "what can't be read is not offered to be saved");
    assert_eq!(text(&app, "wader").await, changed);
    // A text made from an older revision is brought together with what came after it.
    let older = WADER.replace("name = \"Galley\"", "name = \"Kitchen\"");
    assert_eq!(put_in(&app, &older, "1", false).await.to, "/setup/wader/revisions/3");
    let both = text(&app, "wader").await;
    assert!(both.contains("Kitchen") && both.contains("berths = 7  # one more"));
}

#[tokio::test]
async fn a_skipper_looks_and_a_hand_stays_out() {
    let app = base(&[("wader.toml", WADER)]).await;
    let as_whom = |who: &'static str| {
        let app = app.clone();
        async move {
            let form = vec![("seal".to_owned(), seal(&app).await), ("account".to_owned(), who.to_owned())];
            post(&app, "/demo/as", &form).await
        }
    };
    for (who, read, write) in [
        ("demo-skipper", StatusCode::OK, StatusCode::FORBIDDEN),
        ("demo-hand", StatusCode::FORBIDDEN, StatusCode::FORBIDDEN),
    ] {
        let entered = as_whom(who).await;
        assert!(entered.cookies.contains("becket_session"), "{who}: {entered:?}");
        let ask = |method: &str, address: &str| {
            let request =
                Request::builder().method(method).uri(address).header(header::COOKIE, &entered.cookies);
            request.body(Body::empty()).expect("the request is well formed")
        };
        for address in [
            "/setup",
            "/setup/wader",
            "/setup/wader/places",
            "/setup/wader/places/galley",
            "/setup/wader/file.toml",
            "/setup/wader/revisions",
        ] {
            let got = send(&app, ask("GET", address)).await;
            assert_eq!(got.status, read, "{who} {address}");
            assert!(!got.body.contains("value=\"save\""), "{who} is offered no saving at {address}");
        }
        for address in [
            "/setup",
            "/setup/wader/places/galley",
            "/setup/wader/try",
            "/setup/wader/file",
            "/setup/wader/drafts/1",
        ] {
            assert_eq!(send(&app, ask("POST", address)).await.status, write, "{who} {address}");
        }
    }
}

#[tokio::test]
async fn what_is_not_there_is_said() {
    let app = base(&[("wader.toml", WADER)]).await;
    for address in [
        "/setup/dodo",
        "/setup/wader/wings",
        "/setup/wader/places/moon",
        "/setup/wader/boat/wings",
        "/setup/wader/revisions/9",
        "/setup/wader/drafts/9",
    ] {
        assert_eq!(get(&app, address).await.status, StatusCode::NOT_FOUND, "{address}");
    }
}

cases![
    every_form_sends_back_what_it_shows_and_changes_nothing,
    a_change_is_tried_saved_and_told_in_the_revisions,
    what_is_wrong_is_told_and_nothing_typed_is_lost,
    two_who_save_different_entries_at_the_same_moment_both_keep_their_work,
    two_who_change_the_same_are_asked_and_neither_loses,
    what_others_speak_of_is_not_removed_and_a_rename_goes_everywhere,
    a_place_is_put_beside_a_picture_and_its_side_is_asked_for,
    what_is_rarely_needed_is_folded_unless_it_says_something_or_is_flawed,
    entries_are_found_by_a_word_and_a_name_that_is_refused_is_kept,
    a_new_item_comes_aboard_through_the_forms,
    a_new_boat_is_added_and_the_name_of_another_is_refused,
    a_text_goes_out_and_in,
    a_skipper_looks_and_a_hand_stays_out,
    what_is_not_there_is_said,
];
