//! What was understood of a plan, as a table for a terminal.

use std::fmt::Write;

use super::table::{Row, shorten, table, wrap};
use crate::note::{Level, Note};
use crate::plan::{OpeningKind, Plan, RoomId};
use crate::recognise::{Became, Named, Reading};
use crate::report::summary::LEFT_OUT;

/// The table, in at most `width` characters a line where the names let it.
pub fn legend(name: &str, plan: &Plan, readings: &[Reading], notes: &[Note], width: usize) -> String {
    let width = width.max(60);
    let mut out = format!("{name}\n");
    let units = format!("units: {}, {}", plan.units.name, plan.units.why);
    for line in wrap(&units, width) {
        let _ = writeln!(out, "{line}");
    }
    let _ = writeln!(
        out,
        "understood: {} lights, {} members, {} rooms, {} wall faces, {} devices, {} rows\n",
        plan.lights.len(),
        plan.members.len(),
        plan.rooms.len(),
        plan.walls.len(),
        plan.obstacles.len(),
        plan.rows.len()
    );
    for line in wrap(&spaces(plan), width) {
        let _ = writeln!(out, "{line}");
    }
    if !plan.rooms.is_empty() {
        out.push('\n');
    }
    for c in &plan.callouts {
        let room = c.room.and_then(|r| plan.rooms.get(r.0));
        let home = match (c.room, room.and_then(|r| r.name.as_deref())) {
            (_, Some(name)) => format!(", in {name}"),
            (Some(r), None) => format!(", in room {r}"),
            (None, None) => String::new(),
        };
        let line = format!("written framing: {}{home}", c.said());
        for line in wrap(&line, width) {
            let _ = writeln!(out, "{line}");
        }
    }
    if !plan.callouts.is_empty() {
        out.push('\n');
    }
    let mut sorted: Vec<&Reading> = readings.iter().collect();
    sorted.sort_by_key(|r| (r.class, r.named, &r.name));
    let rows: Vec<Row> = sorted
        .into_iter()
        .map(|r| Row {
            cells: vec![
                word(r.class).to_string(),
                if r.named == Named::Layer { "layer" } else { "block" }.to_string(),
                shorten(&r.name, 36),
                r.count.to_string(),
                r.confidence.map(|c| format!("{c:.2}")).unwrap_or_default(),
                told(r),
            ],
            paint: None,
        })
        .collect();
    let head = ["read as", "", "name", "count", "sure", "why; what became of it"];
    out.push_str(&table(&head, &rows, 0, width));
    let c = &plan.counts;
    let _ = writeln!(
        out,
        "\n{} entities: {} claimed, {} unclaimed, {} dropped",
        c.entities, c.claimed, c.unclaimed, c.dropped
    );
    for u in &plan.unclaimed {
        let _ = writeln!(out, "  unclaimed: {} {} on layer {}", u.count, u.entity, u.layer);
    }
    // What is left out of the count is said, however plain it is.
    let said = |n: &&Note| n.level > Level::Info || LEFT_OUT.contains(&n.code);
    for n in notes.iter().filter(said) {
        for (i, line) in wrap(&n.to_string(), width - 2).into_iter().enumerate() {
            let _ = writeln!(out, "{}{line}", if i == 0 { "! " } else { "  " });
        }
    }
    out
}

/// The reason, what bears it out or does not, and what became of it.
fn told(r: &Reading) -> String {
    let clauses = std::iter::once(r.why.clone()).chain(r.seen.clone());
    clauses.chain([became(r)]).collect::<Vec<String>>().join("; ")
}

/// The rooms by their names, what each is for, and the openings between them; nothing where there are none.
fn spaces(plan: &Plan) -> String {
    if plan.rooms.is_empty() {
        return String::new();
    }
    let rooms: Vec<String> = (plan.rooms.iter().enumerate())
        .map(|(i, r)| {
            let id = RoomId(i);
            let name = r
                .name
                .as_deref()
                .map(|n| n.split_whitespace().collect::<Vec<_>>().join(" "));
            match (name, r.class) {
                (Some(name), Some(class)) => format!("{id} {name} ({class})"),
                (Some(name), None) => format!("{id} {name}"),
                (None, _) => format!("{id} without a name"),
            }
        })
        .collect();
    let kinds: Vec<String> = (OpeningKind::ALL.iter())
        .map(|kind| (kind, plan.openings.iter().filter(|o| o.kind == *kind).count()))
        .filter(|(_, n)| *n > 0)
        .map(|(kind, n)| format!("{n} {kind}"))
        .collect();
    let openings = match &kinds[..] {
        [] => "no opening known".into(),
        kinds => format!("openings: {}", kinds.join(", ")),
    };
    format!("rooms: {}; {openings}", rooms.join(", "))
}

fn became(r: &Reading) -> String {
    let parts: Vec<String> = r
        .became
        .iter()
        .map(|(b, n)| format!("{n} {}", word(*b)))
        .collect();
    parts.join(", ")
}

/// The word for a class, the same in table, picture and documentation.
pub fn word(b: Became) -> &'static str {
    match b {
        Became::Light => "light",
        Became::Framing => "framing",
        Became::Wall => "wall",
        Became::Room => "room",
        Became::Device => "device",
        Became::LightLinework => "lighting linework",
        Became::Holder => "holder",
        Became::Ignored => "ignored",
        Became::Unclaimed => "unclaimed",
        Became::Hidden => "not shown",
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::notation::parse;

    #[test]
    fn rooms_and_openings_in_one_sentence() {
        let plan = parse(
            "room \"M. BATH\" class=bath (0,0) (99,0) (99,99) (0,99)\nroom \"GALLERY\" (200,0) (299,0) (299,99)\n\
             room (400,0) (499,0) (499,99)\nopening door (99,20) (99,50) left=R1\nopening cased (99,60) (99,90) left=R1",
        );
        let said = plan.as_ref().map(super::spaces);
        assert_eq!(
            said.as_deref(),
            Ok("rooms: R1 M. BATH (bath), R2 GALLERY, R3 without a name; openings: 1 door, 1 cased")
        );
        assert_eq!(
            parse("light (0,0)").as_ref().map(super::spaces).as_deref(),
            Ok("")
        );
    }
}
