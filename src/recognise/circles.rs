//! Loose circles on light layers that are something else: letters of devices and keynotes in them, arms, blades, bars of
//! globes, heads on a track, the two lines of a receptacle. They are asked about, as squares are.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

mod lines;

use super::classes::{Class, Classes};
use super::devices::kinds::text_middle;
use super::devices::marks::mark;
use super::drawn_as::{Writing, answers, lettered, ruled};
use super::letters;
use super::round::rounds;
use super::schedule::Schedule;
use super::shape::{distance, finite, on_circle};
use super::tolerance::APERTURE;
use super::walls;
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::Light;
use crate::rules::Rules;
use lines::Lines;

/// Letters stand nearer to the middle than this share of the radius.
const INSIDE: f64 = 0.6;
/// From middle to middle, inches: recessed housings need more room, globes of a bar stand so.
const GLOBES: f64 = 12.5;
/// Of what stands at walls this share does; one or another may stand beside a door.
const AT_WALLS: f64 = 0.7;
/// Sides of a rim that is held against walls.
const SIDES: u32 = 48;
/// What is on a line or a rim, as a share of the radius.
const ON: f64 = 0.15;
/// So many of one size are a kind.
const FEWEST: usize = 3;
/// Lines that are looked at about one circle.
const MOST_LINES: usize = 200;

/// How something else is drawn than a light: in a sentence, and in its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Form {
    said: &'static str,
    pub word: &'static str,
}

const fn form(said: &'static str, word: &'static str) -> Form {
    Form { said, word }
}

const BLADES: Form = form("with blades about them", "blades");
const ARMS: Form = form("with arms about them", "arms");
const RECEPTACLE: Form = form(
    "with two lines across them, as receptacles are drawn",
    "receptacle",
);
const GLOBE: Form = form("in a row as close as the globes of a bar", "globe");
const HEAD: Form = form("on one line, as the heads of a track are", "track");
const LAMP: Form = form("on the rim of a ring, as the lamps of a chandelier are", "ring");
const AT_WALL: Form = form(
    "at a wall's face, and drawn otherwise than the lights amid the rooms",
    "wall",
);
const BOXED: Form = form(
    "in the middle of a larger square, as exhaust fans are drawn",
    "square",
);

/// A loose circle.
struct Loose<'a> {
    seen: usize,
    at: Coord,
    radius: f64,
    layer: &'a str,
}

/// How large it is across, in sixteenths of an inch.
fn sixteenths(circle: &Loose) -> i64 {
    (circle.radius * 32.0).round() as i64
}

/// Which of the symbols taken for lights, each with its item, are loose circles that are asked about instead.
pub fn asked(
    flat: &Flat,
    classes: &Classes,
    (schedule, rules): (&Schedule<'_>, &Rules),
    lights: &[(usize, &Light)],
    notes: &mut Vec<Note>,
) -> BTreeSet<usize> {
    let loose: Vec<Loose> = (lights.iter().enumerate())
        .filter(|(_, (item, light))| light.block.is_none() && is_round(flat, *item) && finite(light.at))
        .map(|(seen, (item, light))| Loose {
            seen,
            at: light.at,
            radius: light.drawn_radius,
            layer: &flat.items[*item].layer,
        })
        .collect();
    let mut asked = lettered_blocks(flat, classes, (schedule, rules), lights, notes);
    if loose.is_empty() {
        return asked;
    }
    let symbols: BTreeSet<usize> = (lights.iter())
        .filter(|(_, light)| light.block.is_some())
        .map(|(item, _)| *item)
        .collect();
    let on_layers = (0..flat.items.len()).filter(|&i| {
        let of_symbol = flat.items[i].within.is_some_and(|w| symbols.contains(&w));
        (classes.of[i] == Class::Light || classes.settled.contains(&i)) && !of_symbol
    });
    let lines = Lines::new(flat, on_layers);
    let mut why: BTreeMap<usize, Why> = otherwise((flat, classes), &lines, &loose, !symbols.is_empty())
        .into_iter()
        .map(|(n, form)| (n, Why::Form(form)))
        .collect();
    // What is left to be a light decides what is strange among them.
    let writing = Writing::new(flat);
    let letters = strange_letters(&writing, schedule, &loose);
    let known = |s: &usize| !loose.iter().any(|c| c.seen == *s);
    let blocks = (0..lights.len()).filter(known).count();
    let boxed: BTreeSet<usize> = (0..loose.len()).filter(|&n| lines.boxed(&loose[n])).collect();
    let plain = |n: &usize| !why.contains_key(n) && !letters.contains_key(n) && !boxed.contains(n);
    let usual = |n: &usize| APERTURE.contains(&(2.0 * loose[*n].radius));
    // Among things of every kind only what repeats was looked at as lights.
    let mut sizes: BTreeMap<(&str, i64), usize> = BTreeMap::new();
    for circle in &loose {
        *sizes.entry((circle.layer, sixteenths(circle))).or_insert(0) += 1;
    }
    let alone = |c: &Loose| {
        let few = sizes.get(&(c.layer, sixteenths(c))).is_some_and(|n| *n < FEWEST);
        let (item, _) = lights[c.seen];
        few && classes.pens.parts_circles(&flat.items[item])
    };
    let left = blocks + (0..loose.len()).filter(|n| plain(n) && usual(n)).count();
    if left > 0 {
        for (n, circle) in loose.iter().enumerate() {
            if why.contains_key(&n) {
                continue;
            }
            if let Some(text) = letters.get(&n) {
                why.insert(n, Why::Other(format!("with {text} in them")));
            } else if boxed.contains(&n) {
                why.insert(n, Why::Form(BOXED));
            } else if schedule_tells(lights, circle.seen) {
                continue;
            } else if !usual(&n) {
                why.insert(n, Why::Other("of a size that no other light here has".into()));
            } else if alone(circle) {
                why.insert(n, Why::Other("of a size of which there are no three".into()));
            }
        }
    }
    let name = |n: usize| writing.circle(loose[n].layer, loose[n].at, loose[n].radius);
    // The rules answer for some.
    why.retain(|&n, why| {
        let named = why.form().and_then(|f| ruled(&rules.read, &formed(&name(n), f)));
        named.or_else(|| ruled(&rules.read, &name(n))) != Some(Class::Light)
    });
    tell(&loose, &why, (rules, &name), notes);
    asked.extend(why.keys().map(|&n| loose[n].seen));
    asked
}

/// Why a circle is asked about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Why {
    Form(Form),
    /// Its letters or its size, which its name has too.
    Other(String),
}

impl Why {
    fn form(&self) -> Option<Form> {
        match self {
            Why::Form(form) => Some(*form),
            Why::Other(_) => None,
        }
    }

    fn said(&self) -> &str {
        match self {
            Why::Form(form) => form.said,
            Why::Other(said) => said,
        }
    }
}

/// The name of circles that are drawn in a form, where others have their size.
pub fn formed(name: &str, form: Form) -> String {
    format!("{name} ({})", form.word)
}

/// Loose circles that are drawn as something else, by what is drawn about them, and how. `blocks`: lights that are blocks are known.
fn otherwise(
    (flat, classes): (&Flat, &Classes),
    lines: &Lines,
    loose: &[Loose],
    blocks: bool,
) -> BTreeMap<usize, Form> {
    let mut found: BTreeMap<usize, Form> = BTreeMap::new();
    for (n, circle) in loose.iter().enumerate() {
        if let Some(form) = lines.form(circle) {
            found.insert(n, form);
        }
    }
    for (form, which) in [
        (GLOBE, globes(loose)),
        (HEAD, lines.heads(loose)),
        (LAMP, lines.around_rings(loose)),
        (AT_WALL, at_walls((flat, classes), lines, loose, blocks)),
    ] {
        for n in which {
            found.entry(n).or_insert(form);
        }
    }
    found
}

/// The forms of circles that stand loose among `items`, by their place in `circles`, which gives middles and radii. `blocks` as above.
pub fn forms(
    (flat, classes): (&Flat, &Classes),
    items: &[usize],
    circles: &[(Coord, f64)],
    blocks: bool,
) -> BTreeMap<usize, Form> {
    let loose: Vec<Loose> = (circles.iter().enumerate())
        .map(|(seen, (at, radius))| Loose {
            seen,
            at: *at,
            radius: *radius,
            layer: "",
        })
        .collect();
    if loose.is_empty() {
        return BTreeMap::new();
    }
    let lines = Lines::new(flat, items.iter().copied());
    let mut found = otherwise((flat, classes), &lines, &loose, blocks);
    for (n, circle) in loose.iter().enumerate() {
        if !found.contains_key(&n) && lines.boxed(circle) {
            found.insert(n, BOXED);
        }
    }
    found
}

/// Blocks taken for lights that have the letters of a device written in them, as where one circle serves for lights and
/// alarms.
fn lettered_blocks(
    flat: &Flat,
    classes: &Classes,
    (schedule, rules): (&Schedule<'_>, &Rules),
    lights: &[(usize, &Light)],
    notes: &mut Vec<Note>,
) -> BTreeSet<usize> {
    let written = Inside::new(flat, classes, schedule);
    let inside = |light: &Light| written.of(light.at, light.drawn_radius);
    // Where some have the letter of a recessed light, other letters tell of other things.
    let named = |block: &&str| rules.read.lights.block_ruled(block).is_some();
    let told_by_letters: BTreeSet<&str> = (lights.iter())
        .filter(|(_, light)| inside(light).is_some_and(letters::recessed))
        .filter_map(|(_, light)| light.block.as_deref())
        .filter(|block| !named(block))
        .collect();
    let mut found = BTreeSet::new();
    let mut told: BTreeMap<(&str, &str, &str), usize> = BTreeMap::new();
    for (n, (item, light)) in lights.iter().enumerate() {
        let Some(block) = light.block.as_deref() else {
            continue;
        };
        let strange = |text: &&str| {
            mark(text).is_some_and(|m| m.sure)
                || told_by_letters.contains(block) && !is_of_light(text, schedule)
        };
        let open = |text: &&str| ruled(&rules.read, &lettered(block, text)) != Some(Class::Light);
        if let (Some(letters), None) = (inside(light).filter(strange).filter(open), light.schedule) {
            *told
                .entry((block, &flat.items[*item].layer, letters))
                .or_insert(0) += 1;
            found.insert(n);
        }
    }
    for ((block, layer, letters), count) in told {
        notes.push(Note::warning(
            "circles-asked",
            format!(
                "{count} symbol(s) of block {block} on light layer {layer}, with {letters} in them, are not taken for lights: {}",
                answers(rules, &BTreeSet::from([lettered(block, letters)]))
            ),
        ));
    }
    found
}

/// Letters that stand in symbols and are no marks of the schedule.
pub struct Inside<'a>(RTree<GeomWithData<[f64; 2], &'a str>>);

impl<'a> Inside<'a> {
    pub fn new(flat: &'a Flat, classes: &Classes, schedule: &Schedule<'_>) -> Inside<'a> {
        // Letters on a layer of devices are of the device that is drawn there.
        let letters = (flat.items.iter().zip(&classes.of))
            .filter(|(i, class)| i.visible && i.within.is_none() && **class != Class::Device);
        let spots = letters.filter_map(|(item, _)| match &item.prim {
            Prim::Text { text, .. } if schedule.mark(text).is_none() && is_letters(text) => {
                let at = text_middle(&item.prim).filter(|p| finite(*p))?;
                Some(GeomWithData::new([at.x, at.y], text.trim()))
            }
            _ => None,
        });
        Inside(RTree::bulk_load(spots.collect()))
    }

    /// The letters in a symbol about a point.
    pub fn of(&self, at: Coord, radius: f64) -> Option<&'a str> {
        let at = Some(at).filter(|p| finite(*p))?;
        let near = self.0.nearest_neighbor([at.x, at.y])?;
        let [x, y] = *near.geom();
        (distance(Coord { x, y }, at) <= INSIDE * radius).then_some(near.data)
    }
}

/// Whether a text may be letters in a symbol: a device's, or one to three capitals.
fn is_letters(text: &str) -> bool {
    let text = text.trim();
    let short = (1..=3).contains(&text.chars().count()) && text.chars().all(char::is_uppercase);
    short || mark(text).is_some_and(|m| m.sure)
}

fn schedule_tells(lights: &[(usize, &Light)], seen: usize) -> bool {
    lights
        .get(seen)
        .is_some_and(|(_, light)| light.schedule.is_some())
}

fn tell(
    loose: &[Loose],
    why: &BTreeMap<usize, Why>,
    (rules, name): (&Rules, &dyn Fn(usize) -> String),
    notes: &mut Vec<Note>,
) {
    let mut told: BTreeMap<(&str, &Why, i64), Vec<usize>> = BTreeMap::new();
    for (&n, why) in why {
        let size = sixteenths(&loose[n]);
        told.entry((loose[n].layer, why, size)).or_default().push(n);
    }
    let mut of_name: BTreeMap<String, BTreeSet<Option<&Why>>> = BTreeMap::new();
    if !told.is_empty() {
        for n in 0..loose.len() {
            of_name.entry(name(n)).or_default().insert(why.get(&n));
        }
    }
    for ((layer, why, size), which) in told {
        let named = |n: &usize| {
            let name = name(*n);
            let others = of_name.get(&name).is_some_and(|all| all.len() > 1);
            match why.form().filter(|_| others) {
                Some(form) => formed(&name, form),
                None => name,
            }
        };
        let names = which.iter().map(named).collect();
        notes.push(Note::warning(
            "circles-asked",
            format!(
                "{} circle(s) {} across on light layer {layer}, {}, are not taken for lights: {}",
                which.len(),
                inches_only(size as f64 / 16.0),
                why.said(),
                answers(rules, &names)
            ),
        ));
    }
}

fn is_round(flat: &Flat, item: usize) -> bool {
    match &flat.items[item].prim {
        Prim::Circle { .. } | Prim::Ellipse { .. } | Prim::Arc { .. } => true,
        Prim::Path { .. } => !rounds(flat, &[item]).is_empty(),
        _ => false,
    }
}

/// What is written in circles that is no mark of a light.
fn strange_letters(
    writing: &Writing<'_>,
    schedule: &Schedule<'_>,
    loose: &[Loose],
) -> BTreeMap<usize, String> {
    let written = loose
        .iter()
        .enumerate()
        .filter_map(|(n, c)| Some((n, writing.letters(c.at, c.radius)?)));
    written.filter(|(_, text)| !is_of_light(text, schedule)).collect()
}

/// Whether letters in a circle are those of a recessed light: a mark of the schedule, a word, a size, a switch's letter.
fn is_of_light(text: &str, schedule: &Schedule<'_>) -> bool {
    let small = text.chars().count() == 1 && text.chars().all(char::is_lowercase);
    let size = text.starts_with(|c: char| c.is_ascii_digit()) && text.ends_with(['"', '″', '”']);
    let device = mark(text).is_some_and(|m| m.sure);
    schedule.mark(text).is_some() || !device && (small || size || letters::of_a_light(text))
}

/// Circles that touch a wall's face, or whose lines do, and are drawn otherwise than the lights that touch none: of another size, with
/// other lines in them, or beside lights that are `blocks`. Receptacles and sconces stand so.
fn at_walls((flat, classes): (&Flat, &Classes), lines: &Lines, loose: &[Loose], blocks: bool) -> Vec<usize> {
    let faces = walls::Faces::new(flat, classes);
    let drawn = |circle: &Loose| {
        let turn = |k: u32| f64::from(k) * std::f64::consts::TAU / f64::from(SIDES);
        let corner = |k: u32| on_circle(circle.at, circle.radius, turn(k));
        let marks = lines.marks(circle).flatten().copied();
        (0..SIDES).map(corner).chain(marks).collect::<Vec<_>>()
    };
    let figure = |circle: &Loose| (lines.marks(circle).count(), (circle.radius * 16.0).round() as i64);
    let mut figures: BTreeMap<(usize, i64), Vec<(usize, bool)>> = BTreeMap::new();
    for (n, circle) in loose.iter().enumerate() {
        figures
            .entry(figure(circle))
            .or_default()
            .push((n, faces.touch(&drawn(circle))));
    }
    let stands = |all: &Vec<(usize, bool)>| {
        let touching = all.iter().filter(|c| c.1).count();
        touching as f64 >= AT_WALLS * all.len() as f64
    };
    let known = blocks || figures.values().any(|all| !stands(all));
    (figures.into_values().filter(|all| known && stands(all)))
        .flatten()
        .map(|(n, _)| n)
        .collect()
}

/// Circles of one size that stand in threes and more too close for housings.
fn globes(loose: &[Loose]) -> Vec<usize> {
    let spots = spots(loose);
    let close = |n: usize| {
        let circle = &loose[n];
        let around = spots.locate_within_distance([circle.at.x, circle.at.y], GLOBES * GLOBES);
        around.map(|g| g.data).filter(move |&m| {
            let apart = distance(loose[m].at, circle.at);
            m != n && same(&loose[m], circle) && apart >= 1.9 * circle.radius
        })
    };
    let mut found = BTreeSet::new();
    for n in 0..loose.len() {
        let near: Vec<usize> = close(n).take(MOST_LINES).collect();
        if near.len() >= 2 {
            found.insert(n);
            found.extend(near);
        }
    }
    found.into_iter().collect()
}

fn same(a: &Loose, b: &Loose) -> bool {
    (a.radius - b.radius).abs() <= 0.02 * a.radius.max(b.radius)
}

fn spots(loose: &[Loose]) -> RTree<GeomWithData<[f64; 2], usize>> {
    let all = loose.iter().enumerate();
    RTree::bulk_load(all.map(|(n, c)| GeomWithData::new([c.at.x, c.at.y], n)).collect())
}
