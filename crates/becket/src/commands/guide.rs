//! `guide`: the search for one fault as numbered boxes.

use boat::model::Boat;
use clap::Args;
use serde_json::{Value, json};
use trace::words::{self, Question};
use trace::{About, Ask, BoxNames, Case, Guide, GuideNode, Next, Symptom};

use super::case::{CaseArgs, Desk, Meant};
use super::wrong::{minding, minutes, place, say};
use super::{symptoms, urgent};
use crate::layout;
use crate::load::Failure;
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct GuideArgs {
    #[command(flatten)]
    case: CaseArgs,
    /// The most questions in a row.
    #[arg(long, default_value_t = 8, value_parser = clap::value_parser!(u8).range(1..=20))]
    depth: u8,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl GuideArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let desk = self.case.desk()?;
        let symptom = match self.case.meant(&desk)? {
            Meant::One(symptom) => symptom,
            Meant::Several(fits) => {
                let listed = symptoms::list(&desk.boat, fits.iter().take(12));
                return Err(Failure(format!(
                    "{} things that can be wrong fit \"{}\". A guide is for one: give its name.\n\n{listed}",
                    fits.len(),
                    self.case.typed()
                )));
            }
        };
        let (Some(case), About::Fails(_) | About::Sign(_)) = (desk.open(&symptom), symptom.about) else {
            return Err(Failure(format!(
                "\"{}\" is an emergency: nothing is asked. `becket wrong {} {}` prints its steps.",
                symptom.words, desk.argument, symptom.id
            )));
        };
        let cases = desk.answered(case, &self.case.told)?;
        let case = &cases[cases.len() - 1];
        let guide = Guide::new(case, usize::from(self.depth));
        let failed = desk.failed();
        if self.json {
            return Ok(Printed::json(&to_json(&desk, &symptom, &guide), failed));
        }
        Ok(Printed { text: desk.notes() + &text(&desk, &symptom, case, &guide), failed })
    }
}

fn text(desk: &Desk, symptom: &Symptom, case: &Case<'_>, guide: &Guide) -> String {
    let boat = &desk.boat;
    let names = BoxNames::of(guide);
    let head =
        format!("{}: {} ({})", boat.particulars.name, say(boat, &symptom.words), symptoms::at(boat, symptom));
    let mut out = layout::wrap(&head, "");
    out.push_str(&layout::wrap(
        "Begin at box 1. Do what it says, and go to the box that your answer names.",
        "",
    ));
    let expected = format!(
        "By these boxes about {} until it works or the base has come; by `becket wrong`, which goes on longer where \
         that is worth it, about {}.",
        minutes(guide.expected),
        minutes(guide.interactive)
    );
    out.push_str(&layout::wrap(&expected, ""));
    out.push_str(&layout::wrap(&urgent::line(boat, &desk.argument, false), ""));
    for at in 0..guide.nodes.len() {
        out.push_str(&ask_box(boat, case, guide, &names, at));
    }
    out.push_str("\nHow it ends\n");
    for (at, (says, suspects)) in names.ends.iter().enumerate() {
        let suspects: Vec<String> = suspects
            .iter()
            .map(|(cause, sure)| format!("{cause} (about {})", words::per_cent(*sure)))
            .collect();
        let suspected =
            if suspects.is_empty() { String::new() } else { format!(" Suspected: {}.", suspects.join("; ")) };
        let words = say(boat, &format!("{says}{suspected}"));
        out.push_str(&layout::hang(&words, &format!("{:>3}. ", BoxNames::letter(at)), "     "));
    }
    out
}

fn ask_box(boat: &Boat, case: &Case<'_>, guide: &Guide, names: &BoxNames, at: usize) -> String {
    let GuideNode::Ask { ask, question, yes, no, cannot, .. } = &guide.nodes[at] else {
        return String::new();
    };
    let says = say(boat, &question.says);
    let mut out = format!("\n{}", layout::hang(&says, &format!("{:>3}. ", names.of[at]), "     "));
    // How and where is told once; paper is finite.
    let same = |node: &GuideNode| matches!(node, GuideNode::Ask { ask: other, .. } if other == ask);
    match guide.nodes[..at].iter().position(same).filter(|_| *ask != Ask::Works) {
        Some(first) => {
            out.push_str(&layout::wrap(&format!("How and where: as in box {}.", names.of[first]), "     "));
        }
        None => out.push_str(&how(boat, case, *ask, question)),
    }
    for (says, to) in question.replies.iter().zip([yes, no, cannot]) {
        out.push_str(&layout::hang(&format!("{says}: go to {}.", names.of[*to]), "     - ", "       "));
    }
    out
}

fn how(boat: &Boat, case: &Case<'_>, ask: Ask, question: &Question) -> String {
    let mut out = String::new();
    if !question.how.is_empty() {
        out.push_str(&layout::wrap(&say(boat, &question.how), "     "));
    }
    for line in minding(boat, case, ask, question) {
        out.push_str(&layout::wrap(&line, "     "));
    }
    if let Some(list) = question.list {
        let list = &boat.procedures[list];
        out.push_str(&layout::wrap(&format!("Step list: {} ({}).", list.name, list.id), "     "));
    }
    for line in place(boat, question.place, question.item) {
        out.push_str(&layout::wrap(&line, "     "));
    }
    out
}

fn to_json(desk: &Desk, symptom: &Symptom, guide: &Guide) -> Value {
    let boat = &desk.boat;
    let boxes: Vec<Value> = guide
        .nodes
        .iter()
        .map(|node| match node {
            GuideNode::Ask { ask, question, yes, no, cannot, chance } => json!({
                "kind": "ask",
                "ask": ask.token(boat),
                "says": question.says,
                "how": question.how,
                "replies": question.replies,
                "place": question.place.map(|place| boat.places[place].id.as_str()),
                "item": question.item.map(|item| boat.items[item].id.as_str()),
                "list": question.list.map(|list| boat.procedures[list].id.as_str()),
                "yes": yes, "no": no, "cannot": cannot,
                "chance": chance,
            }),
            GuideNode::End { words, next, suspects, chance } => json!({
                "kind": if *next == Next::Solved { "solved" } else { "end" },
                "says": words,
                "suspects": suspects.iter().map(|(words, chance)| json!({ "words": words, "chance": chance }))
                    .collect::<Vec<_>>(),
                "chance": chance,
            }),
        })
        .collect();
    json!({
        "boat": boat.particulars.name,
        "symptom": symptoms::to_json(boat, symptom),
        "boxes": boxes,
        "depth": guide.depth(),
        "expected": guide.expected,
        "interactive": guide.interactive,
    })
}
