//! Row strips: each light's offset from its row line, magnified against the tolerance band.
//!
//! Along a strip stations are to scale; across it offsets are magnified by what the strip says. Lights
//! outside the band are drawn solid and labelled with their distance.

use geo::Coord;

use super::measure::{width, wrap};
use super::{Anchor, Ink, Item, Layer, Mark, MarkShape, Strip, Style};
use crate::length::inches_only;

/// Half the band's height where nothing stands far outside it, points.
const BAND: f64 = 11.0;
/// Least half height of the band, and most of the chart.
const LEAST_BAND: f64 = 4.0;
const MOST: f64 = 34.0;
const IDS: f64 = 7.0;
const VALUES: f64 = 8.0;
const LANE: f64 = 10.5;
const SIDE: f64 = 30.0;
/// From line to line of a title.
const LINE: f64 = 10.0;

/// A strip laid out: items relative to its upper left corner, and its height.
pub struct Laid {
    pub items: Vec<Item>,
    pub height: f64,
}

/// Labels given lanes so that none overlap: (lane, centre) a label, `None` past `lanes`.
fn lanes(labels: &[(f64, f64)], lanes: usize) -> Vec<Option<usize>> {
    let mut ends: Vec<f64> = Vec::new();
    labels
        .iter()
        .map(|&(center, wide)| {
            let (from, to) = (center - wide / 2.0 - 1.5, center + wide / 2.0 + 1.5);
            if let Some(i) = ends.iter().position(|e| *e <= from) {
                ends[i] = to;
                return Some(i);
            }
            (ends.len() < lanes).then(|| {
                ends.push(to);
                ends.len() - 1
            })
        })
        .collect()
}

pub fn lay(strip: &Strip, room: f64) -> Laid {
    let mut items = Vec::new();
    let mut points = strip.points.clone();
    points.sort_by(|a, b| a.1.total_cmp(&b.1).then_with(|| a.0.cmp(&b.0)));
    let first = points.first().map_or(0.0, |p| p.1);
    let long = points.last().map_or(0.0, |p| p.1) - first;
    let left = SIDE + 8.0;
    let along = room - left - SIDE;
    let x = |station: f64| {
        if long > 0.0 {
            left + (station - first) / long * along
        } else {
            left + along / 2.0
        }
    };
    let tolerance = if strip.tolerance > 0.0 {
        strip.tolerance
    } else {
        1.0 / 16.0
    };
    let far = points.iter().map(|p| p.2.abs()).fold(tolerance, f64::max);
    let per_inch = (BAND / tolerance).min((MOST / far).max(LEAST_BAND / tolerance));
    let deepest = |sign: f64| {
        let far = points.iter().map(|p| p.2 * sign).fold(tolerance, f64::max);
        (far * per_inch).clamp(LEAST_BAND, MOST) + 5.0
    };
    let (over, beneath) = (deepest(1.0), deepest(-1.0));

    // Lanes of value labels above and below the chart.
    let values = |above: bool| -> Vec<(usize, f64, String)> {
        points
            .iter()
            .enumerate()
            .filter(|(_, p)| p.3 && (p.2 > 0.0) == above)
            .map(|(i, p)| (i, x(p.1), inches_only(p.2.abs())))
            .collect()
    };
    let assigned = |v: &[(usize, f64, String)]| {
        let boxes: Vec<(f64, f64)> = v.iter().map(|l| (l.1, width(&l.2, VALUES, true))).collect();
        lanes(&boxes, usize::MAX)
    };
    let (above, below) = (values(true), values(false));
    let (lanes_above, lanes_below) = (assigned(&above), assigned(&below));
    let deep = |l: &[Option<usize>]| l.iter().flatten().max().map_or(0, |m| m + 1) as f64 * LANE;

    let lines = title(strip, per_inch, room, &mut items);
    let head = 15.0 + lines.saturating_sub(1) as f64 * LINE;
    let axis = head + deep(&lanes_above) + over;
    let under = axis + beneath + deep(&lanes_below);

    items.push(Item::Band {
        at: (left - 14.0, axis - tolerance * per_inch),
        size: (along + 28.0, 2.0 * tolerance * per_inch),
        ink: Ink::Tint,
    });
    items.push(axis_mark(left - 14.0, left + along + 14.0, axis));
    for (sign, words) in [(-1.0, "+"), (1.0, "−")] {
        items.push(Item::Text {
            at: (left - 17.0, axis + sign * tolerance * per_inch + 2.5),
            size: IDS,
            anchor: Anchor::End,
            bold: false,
            ink: Ink::Quiet,
            text: format!("{words}{}", inches_only(tolerance)),
        });
    }
    let y = |offset: f64| axis - (offset * per_inch).clamp(-MOST, MOST);
    for (labels, lane_of, sign) in [(&above, &lanes_above, -1.0), (&below, &lanes_below, 1.0)] {
        for ((i, center, text), lane) in labels.iter().zip(lane_of) {
            let (Some(lane), Some(p)) = (lane, points.get(*i)) else {
                continue;
            };
            let base = axis + sign * (if sign < 0.0 { over } else { beneath } + (*lane as f64 + 0.5) * LANE);
            items.push(Item::Rule {
                from: (*center, y(p.2)),
                to: (*center, base - sign * LANE * 0.4),
                ink: Ink::Of(Layer::Deviation),
            });
            items.push(Item::Text {
                at: (*center, base + VALUES * 0.36),
                size: VALUES,
                anchor: Anchor::Middle,
                bold: true,
                ink: Ink::Of(Layer::Deviation),
                text: text.clone(),
            });
        }
    }
    for (id, station, offset, out) in &points {
        dot(id, x(*station), y(*offset), axis, *out, &mut items);
    }
    let boxes: Vec<(f64, f64)> = points.iter().map(|p| (x(p.1), width(&p.0, IDS, false))).collect();
    let id_lanes = lanes(&boxes, 3);
    for ((id, station, _, out), lane) in points.iter().zip(&id_lanes) {
        let Some(lane) = lane else { continue };
        items.push(Item::Text {
            at: (x(*station), under + 8.0 + *lane as f64 * 8.5),
            size: IDS,
            anchor: Anchor::Middle,
            bold: false,
            ink: if *out {
                Ink::Of(Layer::Deviation)
            } else {
                Ink::Full
            },
            text: id.clone(),
        });
    }
    let id_rows = id_lanes.iter().flatten().max().map_or(0, |m| m + 1) as f64;
    Laid {
        items,
        height: under + 4.0 + id_rows * 8.5 + 8.0,
    }
}

/// The row's name and what it is, in as many lines as the room takes; gives their number.
fn title(strip: &Strip, per_inch: f64, room: f64, items: &mut Vec<Item>) -> usize {
    let name = width(&strip.row, 9.0, true) + 6.0;
    items.push(Item::Text {
        at: (0.0, 9.0),
        size: 9.0,
        anchor: Anchor::Start,
        bold: true,
        ink: Ink::Of(Layer::RowLine),
        text: strip.row.clone(),
    });
    let times = per_inch / 72.0;
    let text = if times >= 1.0 {
        format!("{} (across: {times:.1} × full size)", strip.title)
    } else {
        format!("{} (across: {times:.2} × full size)", strip.title)
    };
    let lines = wrap(&text, 8.0, false, room - name);
    for (i, text) in lines.iter().enumerate() {
        items.push(Item::Text {
            at: (name, 9.0 + i as f64 * LINE),
            size: 8.0,
            anchor: Anchor::Start,
            bold: false,
            ink: Ink::Full,
            text: text.clone(),
        });
    }
    lines.len()
}

fn axis_mark(from: f64, to: f64, y: f64) -> Item {
    Item::Mark(
        Mark::new(
            Layer::RowLine,
            MarkShape::Path {
                points: vec![Coord { x: from, y }, Coord { x: to, y }],
                closed: false,
                filled: false,
            },
        )
        .style(Style::Dashed),
    )
}

/// Inside the band a ring; outside a solid diamond on a stalk.
fn dot(id: &str, x: f64, y: f64, axis: f64, out: bool, items: &mut Vec<Item>) {
    let center = Coord { x, y };
    if !out {
        let shape = MarkShape::Circle {
            center,
            radius: 2.4,
            filled: true,
        };
        items.push(Item::Mark(Mark::new(Layer::Light, shape).of(id)));
        return;
    }
    items.push(Item::Rule {
        from: (x, axis),
        to: (x, y),
        ink: Ink::Of(Layer::Deviation),
    });
    let d = 4.2;
    let shape = MarkShape::Path {
        points: [(0.0, -d), (d, 0.0), (0.0, d), (-d, 0.0)]
            .map(|(dx, dy)| center + Coord { x: dx, y: dy })
            .to_vec(),
        closed: true,
        filled: true,
    };
    items.push(Item::Mark(Mark::new(Layer::Deviation, shape).of(id)));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_of_close_stations_get_lanes_of_their_own() {
        let l = lanes(&[(0.0, 20.0), (5.0, 20.0), (40.0, 20.0), (44.0, 20.0)], 9);
        assert_eq!(l, [Some(0), Some(1), Some(0), Some(1)]);
        assert_eq!(lanes(&[(0.0, 20.0), (5.0, 20.0)], 1), [Some(0), None]);
    }

    #[test]
    fn a_light_outside_the_band_is_drawn_outside_it_and_labelled() {
        let strip = Strip {
            row: "W1".into(),
            title: "3 lights".into(),
            tolerance: 0.125,
            points: vec![
                ("L1".into(), 0.0, 0.0, false),
                ("L2".into(), 48.0, 0.375, true),
                ("L3".into(), 96.0, 0.1, false),
            ],
        };
        let laid = lay(&strip, 400.0);
        let band = laid.items.iter().find_map(|i| match i {
            Item::Band { at, size, .. } => Some((at.1, at.1 + size.1)),
            _ => None,
        });
        let (top, bottom) = band.expect("a band");
        let mut out = Vec::new();
        for i in &laid.items {
            if let Item::Mark(m) = i {
                match (&m.shape, m.of.as_deref()) {
                    (MarkShape::Circle { center, .. }, Some(_)) => {
                        assert!(top < center.y && center.y < bottom);
                    }
                    (MarkShape::Path { points, .. }, Some(id)) => {
                        assert!(
                            points.iter().all(|p| p.y < top),
                            "above is left of the row's direction"
                        );
                        out.push(id);
                    }
                    _ => {}
                }
            }
        }
        assert_eq!(out, ["L2"]);
        assert!(
            laid.items
                .iter()
                .any(|i| matches!(i, Item::Text { text, .. } if text == "3/8\""))
        );
    }

    #[test]
    fn a_long_title_stays_within_the_strip_and_above_the_chart() {
        let strip = |title: &str| Strip {
            row: "W1".into(),
            title: title.into(),
            tolerance: 0.125,
            points: vec![("L1".into(), 0.0, 0.0, false), ("L2".into(), 48.0, 0.0, false)],
        };
        let room = 260.0;
        let long = "DINING ROOM / ENTRY / GREAT ROOM / HALL / KITCHEN, 2 lights, pitch 4' 0\", straight within ±1/8\"";
        let (short, long) = (lay(&strip("2 lights"), room), lay(&strip(long), room));
        let title = |laid: &Laid| -> Vec<(f64, f64)> {
            let full = laid.items.iter().filter_map(|i| match i {
                Item::Text {
                    at,
                    size,
                    ink: Ink::Full,
                    text,
                    bold,
                    ..
                } if *size == 8.0 => Some((at.0 + width(text, *size, *bold), at.1)),
                _ => None,
            });
            full.collect()
        };
        assert_eq!(title(&short).len(), 1);
        let lines = title(&long);
        assert!(lines.len() > 1 && lines.iter().all(|l| l.0 <= room), "{lines:?}");
        let top = long.items.iter().find_map(|i| match i {
            Item::Band { at, .. } => Some(at.1),
            _ => None,
        });
        assert!(
            lines.iter().all(|l| l.1 + 2.0 < top.unwrap()),
            "{lines:?}, band at {top:?}"
        );
        assert!(long.height > short.height);
    }
}
