//! A room's name that is set in several texts, one under the other: `MASTER` over `BEDROOM`, `BEDROOM` over `2`.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree};

use super::class::class;
use super::texts::is_room_name;
use super::words::names_a_room;
use super::{name_in, reads_like_a_name};
use crate::flatten::{Flat, Prim};
use crate::plan::RoomClass::{Bath, Bedroom, Closet, Garage, Office, Storage};
use crate::recognise::classes::{Class, Classes};
use crate::recognise::shape::finite;

/// The next line begins so far below the last, in heights of the letters.
const DOWN: std::ops::RangeInclusive<f64> = 0.5..=2.2;
/// Lines of one name are as high as each other, as a share.
const AS_HIGH: std::ops::RangeInclusive<f64> = 0.95..=1.05;
/// And have their middles, or their beginnings, one under the other, in heights of the letters.
const ASKEW: f64 = 0.5;
/// Lines of one name run to one direction, radians.
const TURNED: f64 = 0.02;
/// Lines that a name has at most.
const MOST_LINES: usize = 3;
/// Most texts that are looked at.
const MOST_TEXTS: usize = 20_000;
/// Most texts about one.
const MOST_NEAR: usize = 64;

/// Names of rooms in several texts, by the items of the texts.
#[derive(Default)]
pub struct Stacked {
    /// The whole name, by its first line.
    whole: BTreeMap<usize, Whole>,
    /// The first line, by each of the others.
    head: BTreeMap<usize, usize>,
}

struct Whole {
    name: String,
    /// The place of its last line.
    foot: Coord,
}

struct Line<'a> {
    item: usize,
    at: Coord,
    height: f64,
    angle: f64,
    centred: bool,
    text: &'a str,
}

impl Stacked {
    /// Whether an item is a further line of a name.
    pub fn is_part(&self, item: usize) -> bool {
        self.head.contains_key(&item)
    }

    /// The whole name that begins with an item, and where its last line stands.
    pub fn whole(&self, item: usize) -> Option<(&str, Coord)> {
        self.whole.get(&item).map(|w| (w.name.as_str(), w.foot))
    }

    /// The further lines, each with the item of its first.
    pub fn parts(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.head.iter().map(|(part, head)| (*part, *head))
    }
}

/// The names of a drawing that are set in several texts of one line each, of one height and direction. A line with a
/// word for a room goes on with the next one that has such a word; what stands over one, and reads like a name, begins it
/// (`GAME` over `ROOM`); and a figure under the name of what a house has several of ends it, unless figures stand under
/// names of other rooms too: those are numbers of rooms.
pub fn stacked(flat: &Flat, classes: &Classes) -> Stacked {
    let lines: Vec<Line> = (flat.items.iter().enumerate())
        .filter_map(|(item, flat_item)| match &flat_item.prim {
            Prim::Text {
                at,
                height,
                angle,
                centred,
                text,
            } if flat_item.visible
                && classes.of[item] != Class::Ignore
                && *height > 0.0
                && finite(*at)
                && may_be_a_line(text) =>
            {
                Some(Line {
                    item,
                    at: *at,
                    height: *height,
                    angle: *angle,
                    centred: *centred,
                    text: text.trim(),
                })
            }
            _ => None,
        })
        .take(MOST_TEXTS)
        .collect();
    let tree = RTree::bulk_load(
        (lines.iter().enumerate())
            .map(|(k, l)| GeomWithData::new([l.at.x, l.at.y], k))
            .collect(),
    );
    let next: Vec<Option<usize>> = lines.iter().map(|line| below(line, &lines, &tree)).collect();
    let numbered = (lines.iter().zip(&next)).any(|(line, next)| {
        next.is_some_and(|n| is_figure(lines[n].text)) && names_a_room(line.text) && !has_several(line.text)
    });
    let mut found = Stacked::default();
    let mut order: Vec<usize> = (0..lines.len()).collect();
    // What nothing stands over begins a name.
    let under: BTreeSet<usize> = next.iter().flatten().copied().collect();
    order.sort_by_key(|k| (under.contains(k), *k));
    let mut taken = vec![false; lines.len()];
    for first in order {
        let mut stack = vec![first];
        while let Some(n) = next[stack[stack.len() - 1]].filter(|n| stack.len() < MOST_LINES && !taken[*n]) {
            let so_far = joined(&stack, &lines);
            let text = lines[n].text;
            let goes_on = match is_figure(text) {
                true => {
                    !numbered && names_a_room(&so_far) && has_several(&so_far) && !ends_in_a_figure(&so_far)
                }
                false => {
                    names_a_room(text)
                        && reads_like_a_name(&so_far)
                        && is_room_name(&so_far)
                        && !ends_in_a_figure(&so_far)
                }
            };
            if !goes_on {
                break;
            }
            stack.push(n);
        }
        if stack.len() < 2 || taken[first] {
            continue;
        }
        stack.iter().for_each(|&k| taken[k] = true);
        let last = &lines[stack[stack.len() - 1]];
        let head = lines[first].item;
        found.whole.insert(
            head,
            Whole {
                name: joined(&stack, &lines),
                foot: last.at,
            },
        );
        found
            .head
            .extend(stack[1..].iter().map(|&k| (lines[k].item, head)));
    }
    found
}

fn joined(stack: &[usize], lines: &[Line]) -> String {
    let texts: Vec<&str> = stack.iter().map(|&k| lines[k].text).collect();
    texts.join(" ")
}

/// The line right below another, set as it is.
fn below(line: &Line, lines: &[Line], tree: &RTree<GeomWithData<[f64; 2], usize>>) -> Option<usize> {
    let h = line.height;
    let along = Coord {
        x: line.angle.cos(),
        y: line.angle.sin(),
    };
    let reach = h * (DOWN.end() + ASKEW);
    let around = AABB::from_corners(
        [line.at.x - reach, line.at.y - reach],
        [line.at.x + reach, line.at.y + reach],
    );
    let mut near: Vec<(f64, usize)> = tree
        .locate_in_envelope(around)
        .take(MOST_NEAR)
        .filter_map(|found| {
            let other = &lines[found.data];
            let by = other.at - line.at;
            let down = by.x * along.y - by.y * along.x;
            let aside = by.x * along.x + by.y * along.y;
            let as_set = other.centred == line.centred
                && AS_HIGH.contains(&(other.height / h))
                && (other.angle - line.angle).sin().abs() <= TURNED
                && (other.angle - line.angle).cos() > 0.0;
            (as_set && DOWN.contains(&(down / h)) && aside.abs() <= ASKEW * h).then_some((down, found.data))
        })
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    near.first().map(|(_, k)| *k)
}

/// One line that is a figure or reads like a name of a room.
fn may_be_a_line(text: &str) -> bool {
    let text = text.trim();
    !text.contains('\n') && (is_figure(text) || name_in(text).is_some_and(|n| is_room_name(&n)))
}

/// `2`, `#2`, `No. 2`, `II`.
fn is_figure(text: &str) -> bool {
    const ROMAN: [&str; 3] = ["II", "III", "IV"];
    let upper = text.trim().to_uppercase();
    let bare = ["#", "NO.", "NO"]
        .iter()
        .find_map(|p| upper.strip_prefix(p))
        .unwrap_or(&upper)
        .trim();
    let digits = (1..=2).contains(&bare.len()) && bare.bytes().all(|b| b.is_ascii_digit());
    digits || ROMAN.contains(&bare)
}

fn ends_in_a_figure(name: &str) -> bool {
    name.ends_with(|c: char| c.is_ascii_digit())
}

/// Whether a house has several rooms of such a name.
fn has_several(name: &str) -> bool {
    class(name).is_some_and(|c| matches!(c, Bedroom | Bath | Closet | Office | Garage | Storage))
}
