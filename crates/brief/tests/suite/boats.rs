//! The demo boats with their step lists played.

use std::sync::LazyLock;

use boat::model::Boat;
use brief::{Line, Played, played};
use operate::{Model, Use, all_slips};

/// A boat with what playing her step lists showed.
pub(crate) struct Aboard {
    pub(crate) boat: Boat,
    pub(crate) played: Vec<Played>,
}

fn aboard(name: &str, text: &str) -> Aboard {
    let boat = boat::compile(name, text).boat.expect("the demo boats are sound");
    let model = Model::new(&boat);
    let played = played(&model, &all_slips(&model, Use::Read));
    Aboard { boat, played }
}

pub(crate) static WHIMBREL: LazyLock<Aboard> =
    LazyLock::new(|| aboard("whimbrel.toml", include_str!("../../../../demo/whimbrel.toml")));
static DUNLIN: LazyLock<Aboard> =
    LazyLock::new(|| aboard("dunlin.toml", include_str!("../../../../demo/dunlin.toml")));
static TURNSTONE: LazyLock<Aboard> =
    LazyLock::new(|| aboard("turnstone.toml", include_str!("../../../../demo/turnstone.toml")));

pub(crate) fn all() -> [&'static Aboard; 3] {
    [&WHIMBREL, &DUNLIN, &TURNSTONE]
}

/// The lines of every published list that the rules know.
pub(crate) fn lines() -> Vec<Line> {
    let lists = rules::authorities().iter().flat_map(|authority| &authority.checklists);
    lists
        .flat_map(|list| {
            list.lines.iter().map(|line| Line {
                list: list.title.clone(),
                words: line.words.clone(),
                about: line.about.clone(),
            })
        })
        .collect()
}
