//! Flat geometry to a plan: lights, framing, rooms, rows, bays.
//!
//! Each class takes what its names and shapes say, in a fixed order; an item is claimed by at most
//! one. What is left is listed as unclaimed, and what looks as if it should have been claimed has
//! a note.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use geo::Coord;

use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::{Counts, Member, Plan, Unclaimed, Units};
use crate::rules::Rules;

pub(crate) mod bays;
pub mod blocks;
mod boxes;
mod callouts;
mod circles;
mod classes;
mod clouds;
mod copies;
mod crosses;
mod details;
mod devices;
mod drawn_as;
pub mod drawn_schedule;
mod elevations;
mod elsewhere;
mod evidence;
mod figures;
mod framing;
pub mod layouts;
mod legend;
mod letters;
mod lights;
mod linework;
mod lumber;
mod marked;
mod matchlines;
mod named_twice;
mod narrowed;
mod otherwise;
mod over_lights;
mod overlaps;
pub mod parts;
mod passed_over;
mod pens;
pub mod plans;
mod poche;
mod reading;
pub mod register;
mod relate;
mod rooms;
mod round;
pub mod rows;
mod scaled;
mod schedule;
mod shape;
mod squares;
mod status;
mod storeys;
mod strangers;
mod struck;
mod sure;
mod tags;
mod titles;
mod tolerance;
pub mod units;
mod unlike;
mod unmatched;
mod unplotted;
mod unread;
mod unshown;
mod upright;
pub mod viewports;
mod views;
mod walls;
mod wide;

#[cfg(test)]
mod tests;

pub(crate) use callouts::only::{framed, touches};
pub use callouts::{Written, of as written_of};
pub use reading::{Became, Named, Reading, Readings, Shown, decisions, readings};
pub use register::take_over::{Placed, Second};
pub(crate) use relate::bays as relate_bays;
pub use relate::relate;
pub use rooms::gaps;
pub(crate) use rooms::{RoomsByPlace, room_of};
pub use shape::outline;
pub use sure::DOUBTED;
pub(crate) use tolerance::FRAMING_REACH;

use classes::{Claim, Class, Classes};
use evidence::Judged;
use sure::Sure;

/// A note names no more rooms than this.
const MOST_ROOMS: usize = 4;

/// What the drawing shows. Everything of `flat` is claimed by a class or listed in `unclaimed`.
pub fn recognise(flat: &Flat, units: &Units, rules: &Rules) -> (Plan, Vec<Note>) {
    let (plan, notes, _) = recognise_with(flat, units, rules, None);
    (plan, notes)
}

/// The same, with framing from a second drawing; how that was placed, or a loss in the notes.
pub fn recognise_with(
    flat: &Flat,
    units: &Units,
    rules: &Rules,
    second: Option<&Second>,
) -> (Plan, Vec<Note>, Option<Placed>) {
    let Recognised {
        plan, notes, placed, ..
    } = claimed(flat, units, rules, second);
    (plan, notes, placed)
}

/// The plan, and what became of every item.
struct Recognised {
    plan: Plan,
    notes: Vec<Note>,
    claims: Vec<Claim>,
    classes: Classes,
    judged: Vec<Judged>,
    sure: BTreeMap<(Named, String), Sure>,
    placed: Option<Placed>,
    /// Layers of framing that lie over the ceiling's, and are not taken.
    aside: Vec<Arc<str>>,
}

/// The drawing read without the plans that their titles put aside beside others.
fn claimed(flat: &Flat, units: &Units, rules: &Rules, second: Option<&Second>) -> Recognised {
    let whole = read_without(flat, units, rules, second, &BTreeSet::new());
    let aside = plans::by_title::left_out(flat, &whole.plan);
    if aside.items.is_empty() {
        return whole;
    }
    let mut rest = read_without(flat, units, rules, second, &aside.items);
    rest.notes.extend(aside.notes);
    rest
}

/// The drawing read without some of its items.
fn read_without(
    flat: &Flat,
    units: &Units,
    rules: &Rules,
    second: Option<&Second>,
    without: &BTreeSet<usize>,
) -> Recognised {
    let mut notes = Vec::new();
    let (mut classes, judged) = sorted(flat, rules, without, &mut notes);
    let mut claims: Vec<Claim> = (classes.of.iter().zip(&flat.items))
        .map(|(class, item)| match class {
            Class::Ignore if item.visible => Claim::Ignored,
            _ => Claim::None,
        })
        .collect();

    let mut written = callouts::written(flat, &classes, rules, units, &mut claims, &mut notes);
    let mut obstacles = devices::devices(flat, &classes, rules, &mut claims, &mut notes);
    let (mut lights, many, seen) = lights::lights(flat, &classes, rules, &mut claims, &mut notes);
    let (drawn, aside) = framing::rivals::settled(flat, &mut classes, rules, &mut claims, &mut notes);
    let mut members: Vec<Member> = drawn.iter().map(|(member, _)| member.clone()).collect();
    let mut rooms = rooms::rooms(flat, &classes, &mut claims, &mut notes);
    let openings = rooms::complete(
        flat,
        &classes,
        rules,
        (&mut rooms, &lights),
        &mut claims,
        &mut notes,
    );
    let walls = walls::walls(flat, &classes, &mut claims);
    let schedule = schedule::Schedule::with_explained(rules);
    let tag = |entry: usize| schedule.tag(entry);
    tags::typical::settle(flat, &rooms, &many, &tag, &mut lights, &mut notes);
    tags::of_all::settle(flat, &rooms, (&schedule, rules), &mut lights, &mut notes);
    let told = (rules, &schedule);
    obstacles.extend(otherwise::leave_out(
        flat,
        &classes,
        told,
        (&mut lights, &seen),
        &mut claims,
        &mut notes,
    ));
    // A direction alone answers for words that have no line beside them.
    let answers = rules.framing.spacing.is_none() && rules.framing.phase.is_none() && !written.is_empty();
    if members.is_empty() && !answers {
        let extent: Vec<Coord> = (rooms.iter().flat_map(|r| r.outline.iter().copied()))
            .chain(walls.iter().flat_map(|w| [w.0, w.1]))
            .chain(lights.iter().map(|l| l.at))
            .collect();
        members = framing::laid_out::laid_out(&extent, units, rules, &mut notes);
    }
    holders(flat, &mut claims);
    unshown::hidden(flat, &classes, &mut notes);
    unread::told(flat, &classes, &lights, rules, &mut notes);
    unplotted::told(flat, &lights, rules, &mut notes);
    passed_over::told(flat, &classes, rules, &mut notes);
    storeys::told(flat, &classes, rules, &mut notes);
    elevations::told(flat, &classes, &mut notes);
    unmatched::told(flat, rules, &mut notes);
    named_twice::told(flat, rules, &mut notes);
    lumber::told(flat, &classes, rules, &mut notes);
    elsewhere::told(flat, &classes, &claims, rules, &mut notes);
    over_lights::told(flat, (&classes, &claims), &lights, rules, &mut notes);
    unshown::unreached(flat, rules, &mut notes);
    let read = narrowed::Read {
        classes: &classes,
        claims: &claims,
        lights: &lights,
        members: &members,
        without,
    };
    narrowed::told(flat, rules, &read, &mut notes);

    let axis = walls::axis(&walls, &members);
    let (unclaimed, counts) = tally(flat, &claims);
    let mut plan = Plan {
        units: units.clone(),
        lights,
        members,
        callouts: Vec::new(),
        rooms,
        openings,
        walls,
        axis,
        obstacles,
        rows: Vec::new(),
        linework: linework::linework(flat, &claims),
        unclaimed,
        counts,
    };
    let parts = plans::titled(flat, &plan);
    let placed = second
        .and_then(|s| register::take_over::take_over_on(&mut plan, &parts, s, &rules.framing, &mut notes));
    let placed = placed.map(|(placed, words)| {
        written.extend(words);
        placed
    });
    plans::lay_over(&mut plan, &parts, &mut written, &rules.framing, &mut notes);
    callouts::place(&mut plan, &written, rules, &mut notes);
    relate(&mut plan, rules);
    missing(&plan, &judged, &mut notes);
    unbound(flat, &plan, &mut notes);
    let sure = sure::sure(&sure::Read {
        flat,
        classes: &classes,
        claims: &claims,
        plan: &plan,
        members: &drawn,
        rules,
    });
    sure::told(&sure, rules, &mut notes);
    plans::doubly_titled(&parts, &mut notes);
    plans::twice::told(&plan, &parts, &mut notes);
    let parts = plans::reported(parts);
    plans::apart(&mut plan, &parts);
    plans::told(&parts, &mut notes);
    details::told(flat, &plan, &mut notes);
    framing::outside::told(&plan, &mut notes);
    overlaps::told(flat, &plan, rules, &mut notes);
    devices::soffits::lights_in(flat, &classes, &plan, rules, &mut notes);
    marked::told(flat, &claims, &plan, &mut notes);
    clouds::told(flat, &plan, &mut notes);
    matchlines::told(flat, &plan, &mut notes);
    Recognised {
        plan,
        notes,
        claims,
        classes,
        judged,
        sure,
        placed,
        aside,
    }
}

/// The class of every item by names, by views and by evidence, and what was judged by evidence.
fn sorted(
    flat: &Flat,
    rules: &Rules,
    without: &BTreeSet<usize>,
    notes: &mut Vec<Note>,
) -> (Classes, Vec<Judged>) {
    let mut classes = classes::classes(flat, rules);
    without.iter().for_each(|&i| classes.of[i] = Class::Ignore);
    views::leave_out(flat, &mut classes, notes);
    upright::leave_out(flat, &mut classes, notes);
    copies::leave_out(flat, &mut classes, notes);
    let judged = evidence::weigh(flat, &mut classes, rules, notes);
    status::told(&classes, rules, notes);
    strangers::set_apart(flat, &mut classes, rules, notes);
    unlike::set_apart(flat, &mut classes, rules, notes);
    poche::leave_out(flat, &mut classes, notes);
    crosses::leave_out(flat, &mut classes, notes);
    drawn_as::settle(flat, &mut classes, rules);
    (classes, judged)
}

/// An INSERT in which something was claimed is claimed with it.
fn holders(flat: &Flat, claims: &mut [Claim]) {
    for i in (0..flat.items.len()).rev() {
        if claims[i] != Claim::None
            && let Some(w) = flat.items[i].within.filter(|&w| w < i)
            && claims[w] == Claim::None
        {
            claims[w] = Claim::Holder;
        }
    }
}

/// Counts what was claimed, and lists the rest by layer and entity type.
fn tally(flat: &Flat, claims: &[Claim]) -> (Vec<Unclaimed>, Counts) {
    let mut rest: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut claimed = 0;
    for (item, claim) in flat.items.iter().zip(claims) {
        if *claim == Claim::None {
            *rest.entry((&item.layer, &item.entity)).or_insert(0) += 1;
        } else {
            claimed += 1;
        }
    }
    let unclaimed: Vec<Unclaimed> = rest
        .into_iter()
        .map(|((layer, entity), count)| Unclaimed {
            layer: layer.to_string(),
            entity: entity.to_string(),
            count,
        })
        .collect();
    let counts = Counts {
        entities: flat.entities,
        claimed,
        unclaimed: unclaimed.iter().map(|u| u.count).sum(),
        dropped: flat.dropped,
    };
    (unclaimed, counts)
}

/// Says what a plan is expected to show and does not, and what to do about it.
/// What is not found may stand in references whose drawings are not in the file.
fn unbound(flat: &Flat, plan: &Plan, notes: &mut Vec<Note>) {
    let out = |item: &&crate::flatten::Item| {
        item.visible && matches!(item.prim, Prim::Opaque) && &*item.entity == "INSERT"
    };
    let count = flat.items.iter().filter(out).count();
    let walls = plan.rooms.is_empty() && plan.walls.is_empty();
    let framing = plan.members.is_empty() && plan.callouts.is_empty();
    let what = match (walls, framing) {
        (true, true) => "neither walls nor framing are",
        (true, false) => "no walls are",
        (false, true) => "no framing is",
        (false, false) => return,
    };
    if count > 0 && !plan.lights.is_empty() {
        notes.push(Note::loss(
            "xref-needed",
            format!(
                "{what} in this file, and {count} external reference(s) that may show them are not bound: nothing here is judged against what they hold; bind them and export again"
            ),
        ));
    }
}

fn missing(plan: &Plan, judged: &[Judged], notes: &mut Vec<Note>) {
    let may = |class| evidence::candidates(judged, class);
    if plan.lights.is_empty() {
        notes.push(Note::warning(
            "no-lights",
            format!(
                "no recessed lights were found: name their layers or blocks under [read] lights in bayline.toml{}",
                may(Class::Light)
            ),
        ));
    }
    if plan.members.is_empty() && !plan.callouts.is_empty() {
        notes.push(Note::warning(
            "framing-written",
            "framing is only written of: how far apart the members stand is known and where is not; measure \
             one in each room and give its place as measured = [[x, y]] under [framing] in bayline.toml",
        ));
    } else if plan.members.is_empty() {
        notes.push(Note::warning(
            "no-framing",
            format!(
                "framing is not known, so nothing is said of bays and housings: name its layers under [read] framing, \
                 or give spacing, direction and phase under [framing] in bayline.toml{}",
                may(Class::Framing)
            ),
        ));
    } else {
        let bare: Vec<_> = plan.lights.iter().filter(|l| l.bay.is_none()).collect();
        if !bare.is_empty() {
            let rooms: BTreeSet<_> = bare.iter().filter_map(|l| l.room).collect();
            let names: Vec<&str> = (rooms.iter())
                .filter_map(|r| plan.rooms.get(r.0)?.name.as_deref())
                .collect();
            let mut within = names.join(", ");
            if names.is_empty() || names.len() > MOST_ROOMS || names.len() < rooms.len() {
                within = String::new();
            } else {
                within.insert_str(0, " (in ");
                within.push(')');
            }
            notes.push(Note::warning(
                "no-bay",
                format!(
                    "{} light(s){within} have no framing in their room or within 4 ft: nothing is said of their bays",
                    bare.len()
                ),
            ));
        }
    }
    if plan.rooms.is_empty() {
        notes.push(Note::info(
            "no-rooms",
            format!(
                "no room outlines were found: rows are told apart by walls alone; draw closed outlines and name their \
                 layers under [read] rooms{}{}",
                may(Class::Room),
                may(Class::Wall)
            ),
        ));
    }
}
