//! What is said of framing of unknown phase: the question to the architect, and ranges.

use super::{Phases, Range};
use crate::length::feet_inches;
use crate::plan::{Plan, RoomId};
use crate::remedy::words::{place, toward};

/// `KITCHEN (R1)`, or `the plan outside its rooms`.
pub fn room(plan: &Plan, room: Option<RoomId>) -> String {
    let Some(id) = room else {
        return "the plan outside its rooms".to_string();
    };
    match plan.rooms.get(id.0).and_then(|r| r.name.as_ref()) {
        Some(name) => format!("{name} ({id})"),
        None => id.to_string(),
    }
}

/// A share as a whole number of percent; what is not all is not called 100, what is not none not 0.
pub fn percent(share: f64) -> String {
    let whole = (share * 100.0).round();
    if share > 0.0 && whole < 1.0 {
        "under 1 %".to_string()
    } else if share < 1.0 && whole > 99.0 {
        "over 99 %".to_string()
    } else {
        format!("{whole} %")
    }
}

/// `3`, or `0 to 4, 1.3 expected`.
pub fn range(r: Range) -> String {
    if r.least == r.most {
        r.least.to_string()
    } else {
        format!("{} to {}, {:.1} expected", r.least, r.most, r.expected)
    }
}

/// What to ask the architect about a room's framing, and why it matters.
pub fn question(plan: &Plan, phases: &Phases) -> String {
    let text = plan.callouts.get(phases.callout).map_or("", |c| c.text.as_str());
    let name = room(plan, phases.room);
    let best = &phases.best;
    let counted = |n: usize| match n {
        1 => "1 light is".to_string(),
        n => format!("{n} lights are"),
    };
    let rest = match best.must {
        0 => "every light can hang".to_string(),
        n => format!("{} still in the way", counted(n)),
    };
    let relay = match &phases.relay {
        Some(r) => format!(
            ". Or let lights move by up to {}, to the places in the report, and they work at {}",
            feet_inches(r.most),
            percent(r.works)
        ),
        None => String::new(),
    };
    format!(
        "ask where the framing of {name} stands: \"{text}\" gives its spacing, not its place; the lights as drawn \
         work at {} of all places. Best with a centreline {} from {} {}: {rest}. Worst with one at {}: {} in the way{relay}",
        percent(phases.works),
        feet_inches(best.phase),
        place(phases.field.origin),
        toward(phases.field.across()),
        feet_inches(phases.worst.phase),
        counted(phases.worst.must),
    )
}

/// That the search for a layout ended early.
pub fn unproved(plan: &Plan, phases: &Phases) -> String {
    let found = match &phases.relay {
        Some(_) => "a layout that works at more places than the one given may exist",
        None => "none was found, but one that works at more places than the one drawn may exist",
    };
    format!(
        "the search for a layout of {} that suits its framing ended when the work allowed was done: {found}",
        room(plan, phases.room)
    )
}

/// One sentence for the summary: how often the lights work, and the ranges to bid on.
pub fn summed_up(plan: &Plan, phases: &Phases) -> String {
    let spacing = feet_inches(phases.field.spacing);
    let mut parts = vec![
        format!("hits {}", range(phases.hits)),
        format!("no room {}", range(phases.clashes)),
        format!("blocking {}", range(phases.blocking)),
        format!("bars to cut {}", range(phases.trims)),
    ];
    parts.retain(|p| !p.ends_with(" 0"));
    let mut sentence = format!(
        "{}: framing {spacing} on centre, place unknown; the lights work at {} of places",
        room(plan, phases.room),
        percent(phases.works),
    );
    for part in parts {
        sentence.push_str("; ");
        sentence.push_str(&part);
    }
    if let Some(relay) = &phases.relay {
        let better = format!(
            "; moved by up to {} they work at {}",
            feet_inches(relay.most),
            percent(relay.works)
        );
        sentence.push_str(&better);
    }
    sentence.push('.');
    sentence
}

/// The same for the sheet, with what the numbers mean and what to ask.
pub fn on_sheet(plan: &Plan, phases: &Phases) -> String {
    let said = summed_up(plan, phases);
    match phases.asks() {
        true => format!(
            "{said} Numbers are lights, fewest to most over all places the framing may stand at. Ask the architect where it starts."
        ),
        false => said,
    }
}
