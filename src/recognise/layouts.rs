//! What layouts (paper space) hold that matters: a light schedule, and lights where model space has none.

use super::classes::{self, Class};
use super::drawn_schedule::{DrawnSchedule, drawn_schedule};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::rules::Rules;

/// Entities that a layout holds beside its viewports, where it is more than a frame and a title.
const LEAST: usize = 20;

/// The light schedules of all layouts, as one.
pub fn schedule(papers: &[Flat]) -> DrawnSchedule {
    let mut all = DrawnSchedule::default();
    for found in papers.iter().map(drawn_schedule) {
        all.join(found);
    }
    all
}

/// Says that the schedule is a layout's.
pub fn schedule_told(found: &DrawnSchedule, notes: &mut Vec<Note>) {
    if !found.entries.is_empty() {
        notes.push(Note::info(
            "schedule-in-layout",
            "the light schedule is drawn in a layout (paper space) and is read as if it were beside the plan",
        ));
    }
}

/// Says, where no light was found, what layouts hold: they are not checked.
pub fn told(papers: &[Flat], rules: &Rules, notes: &mut [Note]) {
    let Some(note) = notes.iter_mut().find(|n| n.code == "no-lights") else {
        return;
    };
    let lights: usize = papers.iter().map(|p| lights(p, rules)).sum();
    let entities: usize = papers.iter().map(|p| p.items.len()).sum();
    let (held, are) = match (papers.len(), lights) {
        (_, 0) if entities < LEAST => return,
        (1, 0) => (format!("{entities} entities"), "the layout (paper space) holds"),
        (_, 0) => (format!("{entities} entities"), "layouts (paper space) hold"),
        (1, n) => (symbols(n), "the layout (paper space) holds"),
        (_, n) => (symbols(n), "layouts (paper space) hold"),
    };
    note.message += &format!(
        "; {are} {held}, which are not read, since only model space has the house's sizes: move them to model space, \
         or export the layout as a drawing whose model space it is"
    );
}

fn symbols(n: usize) -> String {
    match n {
        1 => "1 symbol that is a light by its name".to_string(),
        n => format!("{n} symbols that are lights by their names"),
    }
}

/// Symbols that the rules' names make lights, each counted once.
fn lights(paper: &Flat, rules: &Rules) -> usize {
    let classes = classes::classes(paper, rules);
    let light = |i: usize| classes.of.get(i) == Some(&Class::Light);
    let items = paper.items.iter().enumerate().filter(|(i, item)| {
        let symbol = matches!(item.prim, Prim::Symbol(_) | Prim::Circle { .. });
        symbol && item.visible && light(*i) && !item.within.is_some_and(light)
    });
    items.count()
}
