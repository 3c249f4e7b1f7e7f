//! MULTILEADER: words, or a block with words, and lines that lead from them to what they are of.
//!
//! Its groups are nested: `CONTEXT_DATA{` holds the words and each `LEADER{`, which holds its `LEADER_LINE{`s; one code
//! means different things in each. Source for codes and nesting: DXF reference, from memory, and what an independent
//! writer writes.

use std::ops::Range;

use super::Trouble;
use super::fields::Fields;
use super::polyline::{EMPTY, number, ordinate};
use crate::drawing::tag::Cursor;
use crate::drawing::types::{Shape, Tag, Vertex};
use crate::drawing::{Drawing, mtext};

/// Where a group stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Within {
    /// Before its own subclass: what every entity has.
    Head,
    Own,
    Context,
    Leader,
    Line,
}

#[derive(Debug, Default)]
struct Leader {
    /// Where its lines end; the dogleg goes on from there.
    last: Option<[f64; 3]>,
    direction: [f64; 3],
    dogleg: f64,
    /// Each from its head on, and whether it is drawn.
    lines: Vec<(Vec<Vertex>, bool)>,
}

#[derive(Debug, Default)]
struct Read {
    words: Option<Range<usize>>,
    height: f64,
    at: [f64; 3],
    direction: [f64; 3],
    width: f64,
    attachment: i16,
    block: bool,
    block_at: [f64; 3],
    /// What the block's attributes say.
    attributes: Vec<Range<usize>>,
    leaders: Vec<Leader>,
    /// Group 170: lines of kind 0 are not drawn.
    invisible: bool,
}

/// The words and lines of a MULTILEADER; one without any is not interpreted.
pub(super) fn multileader<'a>(
    drawing: &Drawing<'a>,
    cursor: &mut Cursor<'a>,
    fields: &mut Fields,
    trouble: &mut Trouble,
) -> Shape<'a> {
    let mut read = Read {
        height: 1.0,
        attachment: 1,
        ..Read::default()
    };
    let mut within = Within::Head;
    while let Some(tag) = cursor.next() {
        within = match (within, tag.code) {
            (_, 0 | 101) => break,
            (Within::Head | Within::Own, 300) => Within::Context,
            (Within::Head, 100) if cursor.bytes(&tag).trim_ascii() == b"AcDbMLeader" => Within::Own,
            (Within::Head, _) => {
                fields.common(cursor, &tag, trouble);
                within
            }
            (Within::Context, 301) => Within::Own,
            (Within::Context, 302) => {
                read.leaders.push(Leader::default());
                Within::Leader
            }
            (Within::Leader, 303) => Within::Context,
            (Within::Leader, 304) => {
                if let Some(leader) = read.leaders.last_mut() {
                    leader.lines.push((Vec::new(), true));
                }
                Within::Line
            }
            (Within::Line, 305) => Within::Leader,
            _ => {
                read.take(within, cursor, &tag, trouble);
                within
            }
        };
    }
    if read.block {
        trouble.warning(
            "multileader-block",
            "shows a block, of which only the words are read",
        );
    }
    let parts = parts(drawing, &read);
    if parts.is_empty() {
        return Shape::Other;
    }
    Shape::MultiLeader(parts)
}

impl Read {
    fn take(&mut self, within: Within, cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) {
        let mut set = |point: &mut [f64; 3]| ordinate(cursor, tag, trouble, point);
        match (within, tag.code) {
            (Within::Own, 170) => self.invisible = cursor.integer(tag) == Some(0),
            (Within::Own, 302) => self.attributes.push(tag.value.clone()),
            (Within::Context, 304) => self.words = Some(tag.value.clone()),
            (Within::Context, 12 | 22) => set(&mut self.at),
            (Within::Context, 13 | 23) => set(&mut self.direction),
            (Within::Context, 15 | 25) => set(&mut self.block_at),
            (Within::Context, 41) => self.height = number(cursor, tag, trouble),
            (Within::Context, 43) => self.width = number(cursor, tag, trouble),
            // Left, middle, right; always at the top.
            (Within::Context, 171) => {
                let given = cursor.integer(tag).and_then(|n| i16::try_from(n).ok());
                self.attachment = given.filter(|n| (1..=3).contains(n)).unwrap_or(1);
            }
            (Within::Context, 296) => self.block = cursor.integer(tag) == Some(1),
            (Within::Leader | Within::Line, _) => {
                if let Some(leader) = self.leaders.last_mut() {
                    leader.take(within, cursor, tag, trouble);
                }
            }
            _ => {}
        }
    }
}

impl Leader {
    fn take(&mut self, within: Within, cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) {
        let mut set = |point: &mut [f64; 3]| ordinate(cursor, tag, trouble, point);
        match (within, tag.code, self.lines.last_mut()) {
            (Within::Line, 10, Some((line, _))) => {
                let mut vertex = EMPTY;
                set(&mut vertex.at);
                line.push(vertex);
            }
            (Within::Line, 20, Some((line, _))) => {
                if let Some(v) = line.last_mut() {
                    set(&mut v.at);
                }
            }
            (Within::Line, 170, Some((_, drawn))) => *drawn = cursor.integer(tag) != Some(0),
            (Within::Leader, 10, _) => set(self.last.insert([0.0; 3])),
            (Within::Leader, 20, _) => {
                if let Some(last) = &mut self.last {
                    set(last);
                }
            }
            (Within::Leader, 11 | 21, _) => set(&mut self.direction),
            (Within::Leader, 40, _) => self.dogleg = number(cursor, tag, trouble),
            _ => {}
        }
    }
}

fn parts<'a>(drawing: &Drawing<'a>, read: &Read) -> Vec<Shape<'a>> {
    let mut parts = Vec::new();
    let mut words = |range: &Range<usize>, at: [f64; 3], attachment: i16| {
        let text = mtext::plain(drawing.raw_text(range.clone()));
        if text.trim().is_empty() {
            return;
        }
        let [x, y, _] = read.direction;
        parts.push(Shape::MText {
            at,
            height: read.height,
            angle: if x == 0.0 && y == 0.0 {
                0.0
            } else {
                y.atan2(x).to_degrees()
            },
            width: read.width,
            attachment,
            text,
        });
    };
    if let Some(range) = &read.words {
        words(range, read.at, read.attachment);
    }
    if read.block {
        // In the middle of the block: where its attributes stand is told by the block alone.
        read.attributes.iter().for_each(|a| words(a, read.block_at, 5));
    }
    for leader in read.leaders.iter().filter(|_| !read.invisible) {
        let last = leader.last.map(|at| Vertex { at, ..EMPTY });
        let [u, v, _] = leader.direction.map(|d| d * leader.dogleg);
        let dogleg = last.filter(|_| u != 0.0 || v != 0.0).map(|from| Vertex {
            at: [from.at[0] + u, from.at[1] + v, 0.0],
            ..EMPTY
        });
        for (line, _) in leader.lines.iter().filter(|(_, drawn)| *drawn) {
            let mut vertices: Vec<Vertex> = line.iter().copied().chain(last).chain(dogleg).collect();
            vertices.dedup_by_key(|v| v.at);
            if vertices.len() > 1 {
                parts.push(Shape::Polyline {
                    vertices,
                    closed: false,
                    elevation: 0.0,
                    world: true,
                });
            }
        }
    }
    parts
}
