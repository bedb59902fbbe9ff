//! What can be kept at all, and which habits can help: everything that may be done, done at once.

use std::rc::Rc;

use boat::model::LoadKind;

use super::course::{Course, Trace, trace};
use super::hunt::Ground;
use super::menu::{DIESEL, Deeds, GAS, Menu, PUMP_OUT, WATER};
use super::tanks::{Tanks, service};
use crate::run::Runner;

/// In how many drawings each store is kept, banks first, then ledgers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reach {
    pub(super) banks: Vec<usize>,
    pub(super) ledgers: Vec<usize>,
}

impl Reach {
    /// With nothing done otherwise.
    pub(super) fn idle(ground: &Ground<'_>) -> Option<Self> {
        let course = whole(ground, 0)?;
        let traces: Vec<&Trace> = ground.traces.iter().map(Rc::as_ref).collect();
        Some(count(&course, &Deeds::default(), &traces, Tanks::without))
    }

    /// With all done: of all nights alongside, and of all hours that the engine may run, what does more.
    pub(super) fn most(ground: &Ground<'_>) -> Option<Self> {
        let menu = ground.menu;
        let course = whole(ground, all_habits(menu))?;
        let widest = |tanks: &Tanks, service: usize| tanks.widest(service);
        let counted = |deeds: &Deeds| {
            let mut runner = Runner::new(&course.plain);
            let traces: Vec<Trace> =
                course.lucks.iter().map(|luck| trace(&course, &mut runner, luck, deeds)).collect();
            count(&course, deeds, &traces.iter().collect::<Vec<_>>(), widest)
        };
        let alongside = counted(&Deeds { nights: all_nights(menu), ..Deeds::default() });
        let runs = menu.windows.iter().map(|window| window.longest).collect();
        let engine = counted(&Deeds { runs, ..Deeds::default() });
        let larger = |a: &[usize], b: &[usize]| a.iter().zip(b).map(|(a, b)| *a.max(b)).collect();
        Some(Self {
            banks: larger(&alongside.banks, &engine.banks),
            ledgers: larger(&alongside.ledgers, &engine.ledgers),
        })
    }
}

fn whole<'a>(ground: &Ground<'a>, habits: u32) -> Option<Course<'a>> {
    Course::new(ground.boat, ground.menu, ground.trip, habits, (ground.plain, ground.lucks))
}

fn all_habits(menu: &Menu) -> u32 {
    (0..menu.habits.len()).fold(0, |mask, at| mask | 1 << at)
}

fn all_nights(menu: &Menu) -> u64 {
    menu.nights.iter().enumerate().filter(|(_, may)| **may).fold(0, |mask, (at, _)| mask | 1 << at)
}

fn count(
    course: &Course<'_>,
    deeds: &Deeds,
    traces: &[&Trace],
    of: impl Fn(&Tanks, usize) -> usize,
) -> Reach {
    let kept = |bank: usize| traces.iter().filter(|trace| trace.spent[bank].is_none()).count();
    let ledgers = &course.plain.ledgers;
    let ledger = |place: usize| {
        let only: Vec<bool> = (0..ledgers.len()).map(|other| other == place).collect();
        let tanks = Tanks::new(course, traces, deeds, &only, (course.calls(), 1));
        of(&tanks, service(&ledgers[place]))
    };
    Reach {
        banks: (0..course.plain.banks.len()).map(kept).collect(),
        ledgers: (0..ledgers.len()).map(ledger).collect(),
    }
}

/// Keeps the habits that save of a store which is not always kept, as far as the plan goes. A habit that saves of
/// nothing that runs short can't be in a least remedy.
pub(super) fn useful(menu: &mut Menu, idle: &Reach, drawings: usize, course: &crate::voyage::Voyage) {
    let bank = idle.banks.iter().any(|kept| *kept < drawings);
    let short = |wanted: usize| {
        let mut ledgers = course.ledgers.iter().zip(&idle.ledgers);
        ledgers.any(|(ledger, kept)| service(ledger) == wanted && *kept < drawings)
    };
    menu.habits.retain(|habit| match habit.saves {
        LoadKind::Electric | LoadKind::Mains => bank,
        LoadKind::Water => bank || short(WATER),
        LoadKind::Waste => bank || short(PUMP_OUT),
        // The engine at anchor burns diesel too.
        LoadKind::Diesel => bank || short(DIESEL),
        LoadKind::Gas => short(GAS),
    });
}
