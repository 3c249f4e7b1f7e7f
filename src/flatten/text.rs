//! Where lettering stands: alignment, mirroring and scale of TEXT and MTEXT.

use std::sync::Arc;

use geo::Coord;

use super::conic::cross;
use super::matrix::{Affine, Vec3, sin_cos_degrees};
use super::{Lettered, Prim};
use crate::drawing::Attrib;

/// Width of an average letter as a part of the capital's height. An estimate (common practice):
/// the drawing does not tell the width, and only the place of right-aligned, mirrored or wrapped
/// text depends on it.
const LETTER: f64 = 0.8;
/// Distance of two lines of MTEXT as a part of the capital's height: 5/3 (DXF reference, group 44).
const LEADING: f64 = 5.0 / 3.0;

/// A line of TEXT in its own coordinates.
pub struct Line<'a> {
    pub at: Vec3,
    pub align: Option<Vec3>,
    pub halign: i16,
    pub valign: i16,
    pub height: f64,
    /// Degrees.
    pub angle: f64,
    pub text: &'a str,
}

/// A block of MTEXT in its own coordinates.
pub struct Paragraphs<'a> {
    pub at: Vec3,
    pub height: f64,
    /// Degrees.
    pub angle: f64,
    /// Width to wrap at; 0 for none.
    pub width: f64,
    /// 1–9, from the upper left to the lower right.
    pub attachment: i16,
    pub text: &'a str,
}

/// Where a text's anchor lies in its box: the box's corner is `at + x·dir + y·up`.
struct Anchored {
    at: Vec3,
    /// From the anchor to the lower left, along the text and up.
    corner: (f64, f64),
    /// From the anchor to the box's centre.
    middle: (f64, f64),
    /// The corner does not hang on the estimated width.
    sure: bool,
}

/// Places a TEXT.
pub fn line(t: &Line<'_>, map: &Affine) -> Prim {
    let h = t.height;
    let w = letters(t.text) * LETTER * h;
    let up = match t.valign {
        2 => -h / 2.0,
        3 => -h,
        _ => 0.0,
    };
    let anchor = t.align.unwrap_or(t.at);
    let anchored = match (t.halign, t.align) {
        // Aligned and fit: the text fills the stretch from the first point to the second.
        (3 | 5, Some(end)) => {
            let middle: Vec3 = std::array::from_fn(|i| (t.at[i] + end[i]) / 2.0);
            Anchored {
                at: middle,
                corner: (0.0, 0.0),
                middle: (0.0, h / 2.0),
                sure: false,
            }
        }
        (1, Some(_)) => Anchored {
            at: anchor,
            corner: (-w / 2.0, up),
            middle: (0.0, up + h / 2.0),
            sure: false,
        },
        (2, Some(_)) => Anchored {
            at: anchor,
            corner: (-w, up),
            middle: (-w / 2.0, up + h / 2.0),
            sure: false,
        },
        // Middle: the centre of the whole box.
        (4, Some(_)) => Anchored {
            at: anchor,
            corner: (-w / 2.0, -h / 2.0),
            middle: (0.0, 0.0),
            sure: false,
        },
        (_, Some(_)) if t.valign != 0 => Anchored {
            at: anchor,
            corner: (0.0, up),
            middle: (w / 2.0, up + h / 2.0),
            sure: true,
        },
        // Left on the baseline: the second point, where there is one, means nothing.
        _ => Anchored {
            at: t.at,
            corner: (0.0, 0.0),
            middle: (w / 2.0, h / 2.0),
            sure: true,
        },
    };
    place(&anchored, h, t.angle, t.text, map)
}

/// Places the lettering of an attribute; `None` where it says nothing.
pub fn attrib(a: &Attrib<'_>, map: &Affine) -> Option<Lettered> {
    let text = a.text.trim();
    let level = |p: [f64; 3]| p.map(|v| if v.is_finite() { v } else { 0.0 });
    let placed = line(
        &Line {
            at: level(a.first),
            align: a.second.map(level),
            halign: a.halign,
            valign: a.valign,
            height: a.height,
            angle: a.angle,
            text,
        },
        map,
    );
    match placed {
        Prim::Text {
            at,
            height,
            angle,
            centred,
            ..
        } if !text.is_empty() => Some(Lettered {
            at,
            height,
            angle,
            centred,
        }),
        _ => None,
    }
}

/// Places an MTEXT.
pub fn paragraphs(t: &Paragraphs<'_>, map: &Affine) -> Prim {
    let h = t.height;
    let (mut wide, mut lines) = (0.0_f64, 0.0_f64);
    for line in t.text.lines() {
        let w = letters(line) * LETTER * h;
        let wraps = if t.width > h && w > t.width {
            (w / t.width).ceil()
        } else {
            1.0
        };
        wide = wide.max(if wraps > 1.0 { t.width } else { w });
        lines += wraps;
    }
    let tall = h + (lines - 1.0).max(0.0) * h * LEADING;
    let left = match t.attachment {
        2 | 5 | 8 => -wide / 2.0,
        3 | 6 | 9 => -wide,
        _ => 0.0,
    };
    let low = match t.attachment {
        7..=9 => 0.0,
        4..=6 => -tall / 2.0,
        _ => -tall,
    };
    let sure = left == 0.0 && lines <= 1.0;
    let anchored = Anchored {
        at: t.at,
        corner: (left, low),
        middle: (left + wide / 2.0, low + tall / 2.0),
        sure,
    };
    place(&anchored, h, t.angle, t.text, map)
}

fn place(a: &Anchored, height: f64, angle: f64, text: &str, map: &Affine) -> Prim {
    let (sin, cos) = sin_cos_degrees(if angle.is_finite() { angle } else { 0.0 });
    let (dir, up) = ([cos, sin, 0.0], [-sin, cos, 0.0]);
    let spot =
        |(x, y): (f64, f64)| -> Coord { map.plan(std::array::from_fn(|i| a.at[i] + dir[i] * x + up[i] * y)) };
    let (along, rise) = (map.plan_vector(dir), map.plan_vector(up));
    let mirrored = cross(along, rise) < 0.0;
    // Mirrored lettering is told as text that runs the other way, so that up is still to its left.
    let along = if mirrored {
        Coord {
            x: -along.x,
            y: -along.y,
        }
    } else {
        along
    };
    let centred = mirrored || !a.sure;
    Prim::Text {
        at: if centred { spot(a.middle) } else { spot(a.corner) },
        height: height.abs() * rise.x.hypot(rise.y),
        angle: along.y.atan2(along.x),
        centred,
        text: Arc::from(text),
    }
}

fn letters(text: &str) -> f64 {
    text.chars().count() as f64
}
