//! Small drawings made of flat items, and what recognition says of them.

use std::sync::Arc;

use geo::Coord;

use super::recognise;
use crate::flatten::{Flat, Item, PathVertex, Prim, Symbol, SymbolAttrib};
use crate::note::Note;
use crate::plan::{Member, Plan, Units};
use crate::rules::{Luminaire, Patterns, Rules};

mod areas;
mod bare_gaps;
mod bays;
mod beside;
mod bubbles;
mod callouts;
mod circles;
mod copies;
mod crosses;
mod devices;
mod drawn;
mod drawn_as;
mod drawn_schedule;
mod elevations;
mod evidence;
mod evidence_devices;
mod evidence_more;
mod evidence_rivals;
mod figures;
mod figures_marks;
mod framing;
mod hips;
mod languages;
mod legend_words;
mod legends;
mod lettered;
mod lights;
mod loose_lines;
mod marked;
mod matchlines;
mod members_outside;
mod meshes;
mod named_rooms;
mod one_layer;
mod otherwise;
mod over_lights;
mod overlaps;
mod pens;
mod plans;
mod plies;
mod poche;
mod poses;
mod questions;
mod rivals;
mod room_strips;
mod room_tags;
mod rooms;
mod rooms_doubted;
mod samples;
mod short;
mod single_lines;
mod slips;
mod stacked_names;
mod status;
mod storeys;
mod strangers;
mod sure;
mod swings;
mod tags;
mod typical;
mod units;
mod units_impossible;
mod units_rooms;
mod units_texts;
mod unlike;
mod upright;
mod views;
mod wall_corners;
mod wall_doors;
mod wall_rooms;
mod wall_slips;
mod wall_traced;
mod words;

fn xy(x: f64, y: f64) -> Coord {
    Coord { x, y }
}

fn inches() -> Units {
    Units {
        name: "in".into(),
        inches_per_unit: 1.0,
        why: "test".into(),
    }
}

fn patterns(layers: &[&str], blocks: &[&str]) -> Patterns {
    let owned = |names: &[&str]| names.iter().map(|n| n.to_string()).collect();
    Patterns {
        layers: owned(layers),
        blocks: owned(blocks),
        given: true,
        ..Patterns::default()
    }
}

/// Rules with one pattern a class, and a schedule of R6 and R4.
fn rules() -> Rules {
    let mut rules = Rules::default();
    rules.read.lights = patterns(&["E-LITE*"], &["LT-*"]);
    rules.read.framing = patterns(&["S-*"], &["FRAMING*"]);
    rules.read.walls = patterns(&["A-WALL*"], &[]);
    rules.read.rooms = patterns(&["A-AREA*"], &[]);
    rules.read.devices = patterns(&["M-HVAC*"], &["DIFF*"]);
    rules.read.ignore = patterns(&["A-FURN*"], &[]);
    rules.luminaires = ["R6", "R4"]
        .map(|tag| Luminaire {
            tag: tag.into(),
            blocks: vec![format!("LT-{tag}")],
            ..Luminaire::default()
        })
        .to_vec();
    rules
}

/// A drawing under construction.
#[derive(Clone, Default)]
struct Sheet {
    flat: Flat,
}

impl Sheet {
    fn item(&mut self, layer: &str, entity: &str, prim: Prim) -> usize {
        let n = self.flat.items.len();
        self.flat.items.push(Item {
            layer: layer.into(),
            color: 7,
            handle: Some(format!("{:X}", n + 16).into()),
            offset: n * 100,
            within: None,
            visible: true,
            height: 0.0,
            entity: entity.into(),
            prim,
        });
        self.flat.entities += 1;
        n
    }

    fn line(&mut self, layer: &str, a: (f64, f64), b: (f64, f64)) -> usize {
        let (from, to) = (xy(a.0, a.1), xy(b.0, b.1));
        self.item(layer, "LINE", Prim::Segment { from, to })
    }

    fn circle(&mut self, layer: &str, at: (f64, f64), radius: f64) -> usize {
        let center = xy(at.0, at.1);
        self.item(layer, "CIRCLE", Prim::Circle { center, radius })
    }

    fn path(&mut self, layer: &str, points: &[(f64, f64)], closed: bool) -> usize {
        self.wide_path(layer, points, closed, 0.0)
    }

    fn wide_path(&mut self, layer: &str, points: &[(f64, f64)], closed: bool, width: f64) -> usize {
        let vertices = points
            .iter()
            .map(|p| PathVertex {
                at: xy(p.0, p.1),
                bulge: 0.0,
                start_width: width,
                end_width: width,
            })
            .collect();
        self.item(layer, "LWPOLYLINE", Prim::Path { vertices, closed })
    }

    fn text(&mut self, layer: &str, at: (f64, f64), text: &str) -> usize {
        let prim = Prim::Text {
            at: xy(at.0, at.1),
            height: 6.0,
            angle: 0.0,
            centred: false,
            text: text.into(),
        };
        self.item(layer, "TEXT", prim)
    }

    fn insert(&mut self, layer: &str, block: &str, at: (f64, f64)) -> usize {
        let block: Arc<str> = block.into();
        let symbol = Symbol {
            block: block.clone(),
            true_name: block,
            at: xy(at.0, at.1),
            x_axis: xy(1.0, 0.0),
            y_axis: xy(0.0, 1.0),
            attribs: Vec::new(),
        };
        self.item(layer, "INSERT", Prim::Symbol(Box::new(symbol)))
    }

    /// Puts `item` into the symbol `holder`.
    fn put(&mut self, item: usize, holder: usize) {
        self.flat.items[item].within = Some(holder);
    }

    fn attrib(&mut self, symbol: usize, tag: &str, text: &str) {
        if let Prim::Symbol(s) = &mut self.flat.items[symbol].prim {
            let at = s.at;
            s.attribs.push(SymbolAttrib {
                tag: tag.into(),
                text: text.into(),
                at,
                lettered: None,
            });
        }
    }

    /// A light symbol drawn about `at`, its insertion point elsewhere.
    fn light(&mut self, block: &str, at: (f64, f64)) -> usize {
        let symbol = self.insert("E-LITE-CLNG", block, (at.0 - 20.0, at.1 + 5.0));
        let circle = self.circle("0", at, 4.0);
        let cross = self.line("0", (at.0 - 5.0, at.1), (at.0 + 5.0, at.1));
        self.put(circle, symbol);
        self.put(cross, symbol);
        symbol
    }

    /// Two lines as the faces of a member along y.
    fn upright(&mut self, layer: &str, x: f64, thickness: f64, y: (f64, f64)) {
        let half = thickness / 2.0;
        self.line(layer, (x - half, y.0), (x - half, y.1));
        self.line(layer, (x + half, y.1), (x + half, y.0));
    }

    fn read(&self) -> (Plan, Vec<Note>) {
        self.read_by(&rules())
    }

    /// Recognises, and holds the result to what every plan promises.
    fn read_by(&self, rules: &Rules) -> (Plan, Vec<Note>) {
        let (plan, notes) = recognise(&self.flat, &inches(), rules);
        let c = plan.counts;
        assert_eq!(c.entities, c.claimed + c.unclaimed + c.dropped, "{c:?}");
        let listed: usize = plan.unclaimed.iter().map(|u| u.count).sum();
        assert_eq!(listed, c.unclaimed);
        for m in &plan.members {
            assert!(m.thickness > 0.0 && m.plies >= 1, "{m:?}");
            let d = m.to - m.from;
            // Upright ones run up, those too that lean a little to the left in a family of upright ones.
            let leans = super::tolerance::FAMILY_DEGREES.to_radians();
            assert!(
                d.x > -leans * super::shape::length(d) && (d.x > 0.0 || d.y > 0.0),
                "not from left to right: {m:?}"
            );
        }
        (plan, notes)
    }
}

fn has_note(notes: &[Note], code: &str) -> bool {
    notes.iter().any(|n| n.code == code)
}

/// A member as from, to, thickness, plies in hundredths, for comparing without rounding noise.
fn brief(m: &Member) -> [i64; 6] {
    let h = |v: f64| (v * 100.0).round() as i64;
    [
        h(m.from.x),
        h(m.from.y),
        h(m.to.x),
        h(m.to.y),
        h(m.thickness),
        i64::from(m.plies),
    ]
}

fn member(from: (f64, f64), to: (f64, f64), thickness: f64, plies: i64) -> [i64; 6] {
    let h = |v: f64| (v * 100.0).round() as i64;
    [h(from.0), h(from.1), h(to.0), h(to.1), h(thickness), plies]
}

fn briefs(plan: &Plan) -> Vec<[i64; 6]> {
    plan.members.iter().map(brief).collect()
}
