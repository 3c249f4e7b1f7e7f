//! Several plans side by side in one drawing, told apart by the room between them and named by
//! their titles.
//!
//! They are judged together, and reported together and each by itself; a note and the report say which they are.

use std::collections::BTreeSet;

use geo::Coord;

use super::shape::{area, contains, finite, point_to_segment};
use super::titles;
use crate::flatten::Flat;
use crate::note::Note;
use crate::plan::{LightId, MemberId, Plan};

pub(super) mod beside;
pub(super) mod by_title;
mod groups;
pub(super) mod lay;
pub(super) mod twice;

pub use beside::lay_over;
pub(super) use groups::groups;

/// A title stands no further from its plan, inches; and whatever else is further from every plan is of none.
const REACH: f64 = 240.0;
/// Lettering of this share of the greatest is as great.
const ONE_HEIGHT: f64 = 0.8;
/// One of several plans of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Box of its walls and drawn rooms, inches.
    pub low: Coord,
    pub high: Coord,
    /// Convex ring around them, counter-clockwise.
    pub hull: Vec<Coord>,
    /// The walls and sides of drawn rooms themselves.
    pub walls: Vec<(Coord, Coord)>,
    /// Its title, with the height of the lettering.
    pub title: Option<(f64, String)>,
    /// Other titles as great, of other storeys or units.
    pub also: Vec<String>,
    pub lights: Vec<LightId>,
}

impl Part {
    /// Its title before the drawing's name, or which plan of the drawing it is: `index` from 0, of `count`.
    pub fn name(&self, index: usize, count: usize, drawing: &str) -> String {
        match &self.title {
            Some((_, words)) => format!("{words}, {drawing}"),
            None => format!("plan {} of {count}, {drawing}", index + 1),
        }
    }

    /// The words of its title.
    pub fn words(&self) -> Option<&str> {
        self.title.as_ref().map(|t| t.1.as_str())
    }

    /// Inches from a point to the hull; 0 inside.
    fn off(&self, p: Coord) -> f64 {
        groups::off(&self.hull, p)
    }

    /// Inches from a point to the nearest wall.
    fn off_walls(&self, p: Coord) -> f64 {
        let walls = self.walls.iter().map(|w| point_to_segment(p, w.0, w.1));
        walls.fold(f64::INFINITY, f64::min)
    }
}

/// The plans of a drawing from left to right, where two and more stand apart and have titles of
/// their own, or hold lights and none has; else none. Every light is of the nearest within reach.
pub fn several(flat: &Flat, plan: &Plan) -> Vec<Part> {
    reported(titled(flat, plan))
}

/// All groups of walls that stand apart, from left to right, with their titles and lights.
pub fn titled(flat: &Flat, plan: &Plan) -> Vec<Part> {
    let titles: Vec<Title> = (flat.items.iter().filter(|i| i.visible))
        .flat_map(titles::written)
        .filter(|(at, height, text)| finite(*at) && height.is_finite() && titles::is_plan(text))
        .map(|(at, height, text)| (at, height, text.split_whitespace().collect::<Vec<_>>().join(" ")))
        .collect();
    let options = options(flat, plan);
    let mut parts = split_by_titles(with_options(plan, &options), &titles, &options);
    let homes: Vec<Option<usize>> = titles.iter().map(|t| home(&parts, t.0)).collect();
    for (i, part) in parts.iter_mut().enumerate() {
        let own = titles.iter().zip(&homes).filter(|t| *t.1 == Some(i));
        let own: Vec<&Title> = own.map(|t| t.0).collect();
        // The title of a plan that is left out stands beside the other's too.
        let aside = |line: &str| titles::shows(line).is_some();
        for (_, height, line) in &own {
            // The greatest lettering is the title; of equals the first.
            let before = |t: &(f64, String)| (aside(line), -*height) < (aside(&t.1), -t.0);
            if part.title.as_ref().is_none_or(before) {
                part.title = Some((*height, line.clone()));
            }
        }
        part.also = beside_each_other(&own).into_iter().skip(1).collect();
    }
    let greatest = greatest(&parts);
    for (at, height, words) in &options {
        if let Some(i) = home(&parts, *at).filter(|i| Some(*i) != greatest)
            && parts[i].title.is_none()
        {
            parts[i].title = Some((*height, words.clone()));
        }
    }
    for (l, light) in plan.lights.iter().enumerate() {
        if let Some(i) = home(&parts, light.at) {
            parts[i].lights.push(LightId(l));
        }
    }
    parts
}

/// Texts that may title a part built in another way: those that stand in no room, and those in the rooms of a part by itself.
fn options(flat: &Flat, plan: &Plan) -> Vec<Title> {
    let outside = |p: Coord| !plan.rooms.iter().any(|r| contains(&r.outline, p));
    let mut found: Vec<Title> = (flat.items.iter().filter(|i| i.visible))
        .flat_map(titles::written)
        .filter(|(at, height, text)| {
            finite(*at) && height.is_finite() && !titles::is_plan(text) && titles::is_option_of_a_room(text)
        })
        .map(|(at, height, text)| (at, height, text.split_whitespace().collect::<Vec<_>>().join(" ")))
        .collect();
    // Below a part rather than in it.
    found.sort_by_key(|t| !outside(t.0));
    found
}

/// The plans of a drawing, and what is smaller than one and has the title of a part built in another way.
fn with_options(plan: &Plan, options: &[Title]) -> Vec<Part> {
    let mut parts = groups(plan);
    if options.is_empty() || parts.is_empty() {
        return parts;
    }
    for small in groups::smaller(plan) {
        let own = |t: &Title| {
            let off = small.off(t.0);
            off <= REACH && parts.iter().all(|p| p.off(t.0) > off)
        };
        if options.iter().any(own) {
            parts.push(small);
        }
    }
    parts.sort_by(|a, b| a.low.x.total_cmp(&b.low.x).then(a.low.y.total_cmp(&b.low.y)));
    parts
}

/// The part with the most room in it.
fn greatest(parts: &[Part]) -> Option<usize> {
    let size = |i: &usize| area(&parts[*i].hull).abs();
    (0..parts.len()).max_by(|a, b| size(a).total_cmp(&size(b)).then(b.cmp(a)))
}

/// Where a title stands, the height of its lettering, its words.
type Title = (Coord, f64, String);

/// The words of the titles in great lettering, where they are of storeys or units that differ; else none.
fn beside_each_other(own: &[&Title]) -> Vec<String> {
    let most = own.iter().map(|t| t.1).fold(0.0, f64::max);
    let mut found: Vec<(BTreeSet<String>, String)> = Vec::new();
    for title in own.iter().filter(|t| t.1 >= ONE_HEIGHT * most) {
        let which = titles::which(&title.2);
        if !which.is_empty() && found.iter().all(|(w, _)| w.is_disjoint(&which)) {
            found.push((which, title.2.clone()));
        }
    }
    match found.len() {
        0 | 1 => Vec::new(),
        _ => found.into_iter().map(|f| f.1).collect(),
    }
}

/// Plans drawn near to each other, taken apart where each then has a title of its own.
fn split_by_titles(parts: Vec<Part>, titles: &[Title], options: &[Title]) -> Vec<Part> {
    let homes: Vec<Option<usize>> = titles.iter().map(|t| home(&parts, t.0)).collect();
    let mut found: Vec<Part> = Vec::new();
    for (i, part) in parts.into_iter().enumerate() {
        let own = titles.iter().zip(&homes).filter(|t| *t.1 == Some(i));
        let own: Vec<&Title> = own.map(|t| t.0).collect();
        let several = beside_each_other(&own).len() >= 2;
        if !several && options.is_empty() {
            found.push(part);
            continue;
        }
        let nearer = groups::nearer(&part);
        // Beside the one plan, parts that are built in another way.
        let main = greatest(&nearer);
        let optional = |k: usize| options.iter().any(|t| home(&nearer, t.0) == Some(k));
        if nearer.len() > 1 && !several && (0..nearer.len()).all(|k| Some(k) == main || optional(k)) {
            found.extend(nearer);
            continue;
        }
        if !several {
            found.push(part);
            continue;
        }
        let told = |k: usize| {
            let its: Vec<&Title> = (own.iter().copied())
                .filter(|t| home(&nearer, t.0) == Some(k))
                .collect();
            !its.is_empty() && beside_each_other(&its).is_empty()
        };
        if nearer.len() > 1 && (0..nearer.len()).all(told) {
            found.extend(nearer);
        } else {
            found.push(part);
        }
    }
    found.sort_by(|a, b| a.low.x.total_cmp(&b.low.x).then(a.low.y.total_cmp(&b.low.y)));
    found
}

/// Says where one plan has the titles of several.
pub fn doubly_titled(parts: &[Part], notes: &mut Vec<Note>) {
    for part in parts.iter().filter(|p| !p.also.is_empty()) {
        let also: Vec<String> = part.also.iter().map(|t| format!("\"{t}\"")).collect();
        notes.push(Note::warning(
            "plans-near",
            format!(
                "the titles \"{}\" and {} stand at walls that cannot be told apart, so one plan is taken for both: move the \
                 plans 10 ft and more from each other, if they are not one",
                part.words().unwrap_or_default(),
                also.join(", ")
            ),
        ));
    }
}

/// The same, where they are reported each by itself.
pub fn reported(parts: Vec<Part>) -> Vec<Part> {
    if parts.len() < 2 {
        return Vec::new();
    }
    let named: BTreeSet<&str> = parts
        .iter()
        .filter_map(|p| p.title.as_ref().map(|t| t.1.as_str()))
        .collect();
    let lit = parts.iter().filter(|p| !p.lights.is_empty()).count();
    // What stands apart from the one plan with a title is a garage, or a detail.
    let untitled = parts.iter().all(|p| p.title.is_none()) || parts.iter().all(|p| p.title.is_some());
    let optional = |p: &Part| p.words().is_some_and(titles::is_option_of_a_room);
    let of_an_option = parts.iter().any(|p| optional(p) && !p.lights.is_empty());
    if named.len() >= 2 || (untitled || of_an_option) && lit >= 2 {
        parts
    } else {
        Vec::new()
    }
}

/// The plan that what stands at a point belongs to: the nearest, where it is within reach.
pub fn home(parts: &[Part], p: Coord) -> Option<usize> {
    nearest(parts, p).filter(|&i| finite(p) && parts[i].off(p) <= REACH)
}

/// The plan a point is in or nearest to. Hulls of angled plans may overlap: there the nearest wall tells.
fn nearest(parts: &[Part], p: Coord) -> Option<usize> {
    let offs: Vec<f64> = parts.iter().map(|part| part.off(p)).collect();
    let least = offs.iter().copied().min_by(f64::total_cmp)?;
    let near: Vec<usize> = (0..parts.len()).filter(|&i| offs[i] <= least).collect();
    match near[..] {
        [only] => Some(only),
        _ => (near.into_iter())
            .min_by(|&a, &b| (parts[a].off_walls(p).total_cmp(&parts[b].off_walls(p))).then(a.cmp(&b))),
    }
}

/// Lets no light hang from a member of another plan, however far it was looked for.
pub fn apart(plan: &mut Plan, parts: &[Part]) {
    let of: Vec<Option<usize>> = (plan.members.iter())
        .map(|m| home(parts, (m.from + m.to) * 0.5))
        .collect();
    for (i, part) in parts.iter().enumerate() {
        for light in &part.lights {
            let Some(bay) = plan.lights.get_mut(light.0).and_then(|l| l.bay.as_mut()) else {
                continue;
            };
            for side in [&mut bay.left, &mut bay.right] {
                let theirs = |m: MemberId| of.get(m.0).copied().flatten().is_some_and(|j| j != i);
                if side.member.is_some_and(theirs) {
                    (side.room, side.member) = (f64::INFINITY, None);
                }
            }
        }
    }
}

/// Says which plans the drawing holds.
pub fn told(parts: &[Part], notes: &mut Vec<Note>) {
    if parts.is_empty() {
        return;
    }
    let said: Vec<String> = parts
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let lights = match p.lights.len() {
                1 => "1 light".to_string(),
                n => format!("{n} lights"),
            };
            match &p.title {
                Some((_, title)) => format!("\"{title}\" ({lights})"),
                None => format!("plan {} without a title, {} ({lights})", i + 1, place(parts, i)),
            }
        })
        .collect();
    let untitled = parts.iter().all(|p| p.title.is_none());
    let (holds, asks) = if untitled {
        (
            "walls that stand apart are taken for",
            ": name each by a text such as FIRST FLOOR PLAN below it; if they are of one house, its report is the whole drawing's",
        )
    } else {
        ("the drawing holds", "")
    };
    notes.push(Note::warning(
        "several-plans",
        format!(
            "{holds} {} plans: {}; one report lists them under plans, and each has a report and redlines of its own{asks}",
            parts.len(),
            said.join(", ")
        ),
    ));
}

/// What a note calls a plan: by its title, else by where it stands.
pub(super) fn called(parts: &[Part], i: usize) -> String {
    match parts[i].words() {
        Some(title) => format!("\"{title}\""),
        None if parts.len() == 1 => "the plan".to_string(),
        None => format!("the plan {}", place(parts, i)),
    }
}

/// Where one of several plans stands.
fn place(parts: &[Part], i: usize) -> String {
    let (part, last) = (&parts[i], parts.len() - 1);
    let beside = parts.windows(2).all(|w| w[0].high.x <= w[1].low.x);
    match (beside, i) {
        (true, 0) => "on the left".to_string(),
        (true, i) if i == last => "on the right".to_string(),
        (true, i) => format!("{} from the left", i + 1),
        (false, _) => format!(
            "with its lower left corner at ({:.0}, {:.0}) in",
            part.low.x, part.low.y
        ),
    }
}
