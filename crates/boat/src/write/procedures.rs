//! Step lists.

use super::behaviour::{fact, who_word};
use super::{Inline, Out, ids};
use crate::model::{Assign, Boat, Step, StepKind};

pub(super) fn procedures(boat: &Boat, out: &mut Out) {
    let assigns =
        |assigns: &[Assign]| assigns.iter().map(|assign| boat.assign_text(assign)).collect::<Vec<_>>();
    for procedure in &boat.procedures {
        out.heading("procedures", &procedure.id);
        out.text("name", &procedure.name);
        out.maybe("about", procedure.about.as_deref());
        out.text("who", who_word(procedure.who));
        out.yes("emergency", procedure.emergency);
        out.texts("signs", &procedure.signs);
        out.texts("after", &ids(&boat.procedures, &procedure.after, |row| &row.id));
        out.texts("start", &assigns(&procedure.start));
        out.maybe("given", fact(boat, &procedure.given).as_deref());
        out.text("goal", &boat.fact_text(&procedure.goal));
        out.texts("leaves", &assigns(&procedure.leaves));
        out.texts("cautions", &ids(&boat.cautions, &procedure.cautions, |row| &row.id));
        out.rows("steps", &procedure.steps.iter().map(|step| row(boat, step)).collect::<Vec<_>>());
        out.maybe("source", procedure.source.as_deref());
    }
}

fn row(boat: &Boat, step: &Step) -> Inline {
    let row = Inline::default();
    let row = match &step.kind {
        StepKind::Set { var, to, hold } => row
            .set("set", &boat.vars[*var].id)
            .set("to", &boat.vars[*var].values[usize::from(to.0)])
            .shown("for", hold.as_ref()),
        StepKind::Do { action, hold, rest } => {
            row.set("do", &boat.actions[*action].id).shown("for", hold.as_ref()).shown("rest", rest.as_ref())
        }
        StepKind::Look { look, confirm, otherwise } => row
            .set("look", look)
            .maybe("confirm", confirm.as_ref().map(|confirm| boat.fact_text(confirm)).as_deref())
            .maybe("otherwise", otherwise.as_deref()),
        StepKind::Wait { time, until } => row
            .set("wait", &time.to_string())
            .maybe("until", until.as_ref().map(|until| boat.fact_text(until)).as_deref()),
    };
    row.maybe("say", step.say.as_deref())
        .maybe("why", step.why.as_deref())
        .maybe("place", step.place.map(|id| boat.places[id].id.as_str()))
        .maybe("item", step.item.map(|id| boat.items[id].id.as_str()))
        .texts("cautions", &ids(&boat.cautions, &step.cautions, |row| &row.id))
}
