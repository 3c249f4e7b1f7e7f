//! Splices lights into a drawing: a block with the symbol, and an INSERT of it at each place.

use bayline::drawing::Drawing;
use bayline::drawing::splice::{NewBlock, NewEntity, NewLayer, NewShape, Spliced, splice_all};
use bayline::plan::{Plan, Room, Units};
use bayline::recognise;
use bayline::rules::Rules;
use bayline::{drawing, flatten};
use geo::{Contains, Coord, Polygon};

/// Radius of the symbol, inches.
pub const RADIUS: f64 = 3.0;
/// Ceiling lights, new work (National CAD Standard, from memory): seldom taken.
pub const LAYER: &str = "E-LITE-CLNG-N";

/// Where lights go.
#[derive(Clone, Debug, PartialEq)]
pub enum Where {
    /// In drawing units.
    At([f64; 2]),
    /// So many rows of so many lights, evenly spread over a room (by its name), half a step from its walls.
    Room { name: String, rows: usize, each: usize },
}

/// `12,34` or `KITCHEN=2x3`.
pub fn place(text: &str) -> Result<Where, String> {
    let wrong = || format!("{text}: not a place; write x,y in drawing units, or ROOM=ROWSxLIGHTS");
    if let Some((name, grid)) = text.rsplit_once('=') {
        let (rows, each) = grid.split_once('x').ok_or_else(wrong)?;
        let count = |n: &str| n.parse().ok().filter(|n| (1..=100).contains(n)).ok_or_else(wrong);
        return Ok(Where::Room {
            name: name.to_string(),
            rows: count(rows)?,
            each: count(each)?,
        });
    }
    let (x, y) = text.split_once(',').ok_or_else(wrong)?;
    let number = |n: &str| {
        n.trim()
            .parse::<f64>()
            .ok()
            .filter(|n| n.is_finite())
            .ok_or_else(wrong)
    };
    Ok(Where::At([number(x)?, number(y)?]))
}

/// The drawing with lights put in, and where they are, in drawing units.
pub fn lights(
    bytes: &[u8],
    block: &str,
    places: &[Where],
    rules: &Rules,
) -> Result<(Spliced, Vec<[f64; 2]>), String> {
    let (drawing, _) = drawing::read(bytes).map_err(|e| e.to_string())?;
    let (units, _) = recognise::units::decide(&drawing, rules)?;
    let mut at = Vec::new();
    let mut plan = None;
    for place in places {
        match place {
            Where::At(p) => at.push(*p),
            Where::Room { name, rows, each } => {
                let plan = plan.get_or_insert_with(|| read(&drawing, &units, rules));
                at.extend(
                    grid(plan, name, *rows, *each)?.map(|p| [p.x, p.y].map(|v| v / units.inches_per_unit)),
                );
            }
        }
    }
    let radius = RADIUS / units.inches_per_unit;
    let line = |x: f64, y: f64| NewShape::Line {
        from: [-x, -y],
        to: [x, y],
    };
    let center = [0.0, 0.0];
    let symbol = NewBlock {
        name: block.to_string(),
        shapes: vec![
            NewShape::Circle { center, radius },
            line(radius, 0.0),
            line(0.0, radius),
        ],
    };
    let layer = NewLayer {
        name: LAYER.into(),
        color: 40,
    };
    let inserts: Vec<NewEntity> = (at.iter())
        .map(|&at| NewEntity {
            layer: 0,
            shape: NewShape::Insert {
                block: 0,
                at,
                angle: 0.0,
            },
        })
        .collect();
    Ok((splice_all(&drawing, &[layer], &[symbol], &inserts, &[]), at))
}

fn read(drawing: &Drawing<'_>, units: &Units, rules: &Rules) -> Plan {
    let (flat, _) = flatten::flatten(drawing, units);
    recognise::recognise(&flat, units, rules).0
}

/// Places over a room, in inches; those that are not in it are left out.
fn grid(plan: &Plan, name: &str, rows: usize, each: usize) -> Result<impl Iterator<Item = Coord>, String> {
    let named = |r: &&Room| r.name.as_ref().is_some_and(|n| n.eq_ignore_ascii_case(name));
    let Some(room) = plan.rooms.iter().find(named) else {
        let names: Vec<&str> = plan.rooms.iter().filter_map(|r| r.name.as_deref()).collect();
        return Err(format!(
            "there is no room {name}; there are: {}",
            names.join(", ")
        ));
    };
    let across = Coord {
        x: -room.axis.y,
        y: room.axis.x,
    };
    let along = |p: &Coord, u: Coord| p.x * u.x + p.y * u.y;
    let span = |u: Coord| {
        let all = room.outline.iter().map(|p| along(p, u));
        let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(v), h.max(v))
        });
        (low, high - low)
    };
    let ((u0, u), (v0, v)) = (span(room.axis), span(across));
    let ring = Polygon::new(room.outline.clone().into(), Vec::new());
    let mut found = Vec::new();
    for row in 0..rows {
        for n in 0..each {
            let p = room.axis * (u0 + u * (n as f64 + 0.5) / each as f64)
                + across * (v0 + v * (row as f64 + 0.5) / rows as f64);
            if ring.contains(&p) {
                found.push(p);
            }
        }
    }
    if found.is_empty() {
        return Err(format!("no place of the grid is in {name}"));
    }
    Ok(found.into_iter())
}
