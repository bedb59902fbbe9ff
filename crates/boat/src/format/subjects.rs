//! The words for what a topic is about.

/// What a topic is about, in the order of [`crate::model::Subject`]: the word in a file and the words for people.
pub(crate) const SUBJECTS: [(&str, &str); 42] = [
    ("papers", "papers and signatures"),
    ("competence", "who may be in charge"),
    ("alcohol", "alcohol"),
    ("inventory", "the inventory"),
    ("contacts", "whom to call"),
    ("sailing_area", "where she may go"),
    ("safety_equipment", "the safety gear"),
    ("lifejackets", "lifejackets"),
    ("fire", "fire"),
    ("distress_signals", "distress signals"),
    ("radio", "the radio"),
    ("man_overboard", "somebody overboard"),
    ("cold_water", "cold water"),
    ("flooding", "water coming in"),
    ("carbon_monoxide", "carbon monoxide"),
    ("gas", "cooking gas"),
    ("engine", "the engine"),
    ("fuel", "fuel"),
    ("handling", "how she handles"),
    ("capacity", "load and stability"),
    ("docking", "coming alongside"),
    ("sails", "sails"),
    ("anchor", "anchoring"),
    ("towing", "towing"),
    ("dinghy", "the dinghy"),
    ("electrics", "electricity"),
    ("electronics", "instruments"),
    ("water", "fresh water"),
    ("heads", "the heads"),
    ("waste", "waste"),
    ("seacocks", "seacocks"),
    ("bilge", "bilge pumps"),
    ("upkeep", "daily upkeep"),
    ("labels", "labels aboard"),
    ("moving_about", "moving about on board"),
    ("lights", "lights"),
    ("collision_rules", "the rules of the road"),
    ("buoys", "buoys and marks"),
    ("local_hazards", "local dangers"),
    ("weather", "weather"),
    ("tides", "tides"),
    ("galley", "galley and heating"),
];

/// The words in a file.
pub(crate) const ABOUT: &[&str] = &{
    let mut words = [""; SUBJECTS.len()];
    let mut at = 0;
    while at < words.len() {
        words[at] = SUBJECTS[at].0;
        at += 1;
    }
    words
};
