//! Legend swatches: each layer's marks in small, drawn with the layer's own style.

use geo::Coord;

use super::badge::badge;
use super::{Item, Layer, Mark, MarkShape, Style};

/// Room of a swatch: 42 wide, about 14 high, points.
const MID: Coord = Coord { x: 21.0, y: 8.0 };

fn path(layer: Layer, points: &[(f64, f64)], closed: bool, filled: bool) -> Mark {
    let points = points.iter().map(|&(x, y)| Coord { x, y }).collect();
    Mark::new(
        layer,
        MarkShape::Path {
            points,
            closed,
            filled,
        },
    )
}

fn circle(layer: Layer, center: Coord, radius: f64, filled: bool) -> Mark {
    Mark::new(
        layer,
        MarkShape::Circle {
            center,
            radius,
            filled,
        },
    )
}

fn arrow(layer: Layer, from: (f64, f64), to: (f64, f64)) -> Mark {
    let at = |p: (f64, f64)| Coord { x: p.0, y: p.1 };
    Mark::new(
        layer,
        MarkShape::Arrow {
            from: at(from),
            to: at(to),
            head: 6.0,
        },
    )
}

fn word(layer: Layer, at: Coord, text: &str) -> Mark {
    Mark::new(
        layer,
        MarkShape::Text {
            at,
            height: 5.2,
            angle: 0.0,
            centred: true,
            text: text.into(),
        },
    )
}

pub fn swatch(layer: Layer) -> Vec<Item> {
    let at = |x, y| Coord { x, y };
    let marks = match layer {
        Layer::Architect => vec![
            path(layer, &[(2.0, 2.5), (40.0, 2.5)], false, false),
            word(layer, at(21.0, 10.0), "ABC"),
        ],
        Layer::Room => vec![path(
            layer,
            &[(3.0, 2.0), (39.0, 2.0), (39.0, 14.0), (3.0, 14.0)],
            true,
            true,
        )],
        Layer::Member => vec![
            path(
                layer,
                &[(2.0, 3.0), (40.0, 3.0), (40.0, 5.5), (2.0, 5.5)],
                true,
                true,
            ),
            path(
                layer,
                &[(2.0, 10.0), (40.0, 10.0), (40.0, 13.5), (2.0, 13.5)],
                true,
                true,
            )
            .style(Style::Heavy),
        ],
        Layer::Light => vec![
            circle(layer, MID, 6.0, true),
            path(layer, &[(18.3, 8.0), (23.7, 8.0)], false, false).style(Style::Fine),
            path(layer, &[(21.0, 5.3), (21.0, 10.7)], false, false).style(Style::Fine),
        ],
        Layer::JunctionBox => vec![
            circle(Layer::Light, MID, 5.0, true),
            path(
                layer,
                &[(26.2, 5.6), (29.4, 5.6), (29.4, 10.4), (26.2, 10.4)],
                true,
                true,
            ),
        ],
        Layer::RowLine => vec![path(layer, &[(1.0, 8.0), (41.0, 8.0)], false, false).style(Style::Dashed)],
        Layer::Deviation => vec![
            circle(layer, at(8.0, 8.0), 5.5, false),
            arrow(layer, (8.0, 8.0), (22.0, 8.0)),
            word(layer, at(33.0, 8.0), "3/8\""),
        ],
        Layer::Must => {
            let mut marks = badge("F1", layer, at(12.0, 8.0), 5.2).to_vec();
            marks.push(circle(layer, at(33.0, 8.0), 6.0, false).style(Style::Heavy));
            marks
        }
        Layer::Should => {
            let mut marks = badge("F2", layer, at(12.0, 8.0), 5.2).to_vec();
            marks.push(circle(layer, at(33.0, 8.0), 6.0, false));
            marks
        }
        Layer::Note => badge("F3", layer, at(12.0, 8.0), 5.2).to_vec(),
        Layer::Blocking => {
            let mut marks = vec![path(
                layer,
                &[(2.0, 4.5), (40.0, 4.5), (40.0, 11.5), (2.0, 11.5)],
                true,
                true,
            )];
            marks.extend((0..7).map(|i| {
                let x = 2.0 + 4.8 * f64::from(i);
                path(layer, &[(x, 11.5), (x + 7.0, 4.5)], false, false).style(Style::Fine)
            }));
            marks
        }
        Layer::Move => vec![
            circle(layer, at(34.0, 8.0), 5.5, false).style(Style::Dashed),
            arrow(layer, (6.0, 8.0), (34.0, 8.0)),
        ],
        Layer::Label => vec![word(layer, MID, "L1")],
        Layer::Wall | Layer::Unclaimed => vec![path(layer, &[(2.0, 8.0), (40.0, 8.0)], false, false)],
        Layer::Lighting | Layer::Ignored => {
            vec![path(layer, &[(2.0, 8.0), (40.0, 8.0)], false, false).style(Style::Dashed)]
        }
        Layer::Device => vec![
            path(
                layer,
                &[(14.0, 1.0), (28.0, 1.0), (28.0, 15.0), (14.0, 15.0)],
                true,
                true,
            ),
            path(layer, &[(14.0, 15.0), (28.0, 1.0)], false, false).style(Style::Fine),
        ],
    };
    marks.into_iter().map(Item::Mark).collect()
}
