//! How much room type takes. Advance widths are those of a wide common sans-serif, by character,
//! so that text set in whatever face a viewer has stays inside the box reckoned for it.

use geo::Coord;

use super::MarkShape;

/// Type size over the height of a capital (common sans-serif faces: 0.70 to 0.73).
pub const SIZE_OF_CAP: f64 = 1.37;
/// Bold faces are at most this much wider (derived from the same face's bold).
const BOLD: f64 = 1.13;

/// An axis-parallel box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    pub least: Coord,
    pub greatest: Coord,
}

impl Rect {
    pub fn around(center: Coord, width: f64, height: f64) -> Self {
        let half = Coord {
            x: width / 2.0,
            y: height / 2.0,
        };
        Rect {
            least: center - half,
            greatest: center + half,
        }
    }

    /// The box of finite points; `None` where there are none.
    pub fn of(points: impl IntoIterator<Item = Coord>) -> Option<Self> {
        points
            .into_iter()
            .filter(|p| p.x.is_finite() && p.y.is_finite())
            .fold(None, |r: Option<Rect>, p| {
                Some(r.map_or(
                    Rect {
                        least: p,
                        greatest: p,
                    },
                    |r| Rect {
                        least: Coord {
                            x: r.least.x.min(p.x),
                            y: r.least.y.min(p.y),
                        },
                        greatest: Coord {
                            x: r.greatest.x.max(p.x),
                            y: r.greatest.y.max(p.y),
                        },
                    },
                ))
            })
    }

    pub fn join(self, other: Rect) -> Rect {
        Rect {
            least: Coord {
                x: self.least.x.min(other.least.x),
                y: self.least.y.min(other.least.y),
            },
            greatest: Coord {
                x: self.greatest.x.max(other.greatest.x),
                y: self.greatest.y.max(other.greatest.y),
            },
        }
    }

    /// Larger by `by` on every side.
    pub fn grown(self, by: f64) -> Rect {
        let by = Coord { x: by, y: by };
        Rect {
            least: self.least - by,
            greatest: self.greatest + by,
        }
    }

    pub fn width(&self) -> f64 {
        self.greatest.x - self.least.x
    }

    pub fn height(&self) -> f64 {
        self.greatest.y - self.least.y
    }

    pub fn center(&self) -> Coord {
        (self.least + self.greatest) * 0.5
    }

    /// Whether the two share an area; touching is not overlapping.
    pub fn overlaps(&self, other: &Rect) -> bool {
        self.least.x < other.greatest.x
            && other.least.x < self.greatest.x
            && self.least.y < other.greatest.y
            && other.least.y < self.greatest.y
    }

    pub fn holds(&self, p: Coord) -> bool {
        self.least.x <= p.x && p.x <= self.greatest.x && self.least.y <= p.y && p.y <= self.greatest.y
    }

    /// Whether a segment passes through the box (clipping parameter, both axes).
    pub fn crosses(&self, a: Coord, b: Coord) -> bool {
        // Most lines that are asked about lie beside it.
        if a.x.max(b.x) <= self.least.x
            || a.x.min(b.x) >= self.greatest.x
            || a.y.max(b.y) <= self.least.y
            || a.y.min(b.y) >= self.greatest.y
        {
            return false;
        }
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (start, step, low, high) in [
            (a.x, b.x - a.x, self.least.x, self.greatest.x),
            (a.y, b.y - a.y, self.least.y, self.greatest.y),
        ] {
            if step == 0.0 {
                if start <= low || start >= high {
                    return false;
                }
                continue;
            }
            let (t, u) = ((low - start) / step, (high - start) / step);
            enter = enter.max(t.min(u));
            leave = leave.min(t.max(u));
        }
        enter < leave
    }
}

/// Advance of one character as a share of the type size.
fn advance(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' => 0.28,
        'I' | 'J' => 0.30,
        ' ' | '.' | ',' | '|' | ':' | ';' | '/' => 0.34,
        't' | 'f' | '(' | ')' | '-' | '[' | ']' => 0.39,
        'r' | '"' | '!' => 0.46,
        's' | 'z' | '?' | '*' | '·' | '’' | '“' | '”' | '°' => 0.53,
        'c' | 'k' | 'v' | 'x' | 'y' | '_' | '•' | 'L' | 'F' => 0.60,
        'a' | 'b' | 'd' | 'e' | 'g' | 'h' | 'n' | 'o' | 'p' | 'q' | 'u' | '0'..='9' | '$' => 0.64,
        'P' | 'S' | 'E' | 'T' | 'Y' => 0.64,
        'A' | 'B' | 'C' | 'K' | 'R' | 'V' | 'X' | 'Z' => 0.71,
        'D' | 'G' | 'H' | 'N' | 'U' | '&' => 0.79,
        'O' | 'Q' | 'w' | '+' | '=' | '<' | '>' | '~' | '#' | '×' | '±' | '→' | '−' => 0.84,
        'M' | 'm' | 'W' | '%' | '@' | '—' | '…' => 1.0,
        c if (c as u32) < 0x300 => 0.79,
        c if ('\u{300}'..='\u{36f}').contains(&c) => 0.0,
        c if (c as u32) < 0x1100 => 0.9,
        _ => 1.05,
    }
}

/// Width of a line of type, in the unit of `size`.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    let sum: f64 = text.chars().map(advance).sum();
    sum * size * if bold { BOLD } else { 1.0 }
}

/// Width on the plan of text whose capitals are `height` high: enough also for the stick lettering of
/// CAD programs, nine tenths of the height a character.
pub fn plan_width(text: &str, height: f64) -> f64 {
    let stick = 0.9 * height * text.chars().count() as f64;
    width(text, height * SIZE_OF_CAP, true).max(stick)
}

/// Box of a text mark, plan or page; `None` for other shapes.
pub fn text_box(shape: &MarkShape) -> Option<Rect> {
    let MarkShape::Text {
        at,
        height,
        angle,
        centred,
        text,
    } = shape
    else {
        return None;
    };
    let wide = plan_width(text, *height);
    let (sin, cos) = angle.to_radians().sin_cos();
    let (x0, y0) = if *centred {
        (-wide / 2.0, -height / 2.0)
    } else {
        (0.0, 0.0)
    };
    // Descenders and quotes: a little beyond the capital.
    let (y0, y1) = (y0 - 0.15 * height, y0 + 1.1 * height);
    Rect::of(
        [(x0, y0), (x0 + wide, y0), (x0 + wide, y1), (x0, y1)].map(|(x, y)| Coord {
            x: at.x + x * cos - y * sin,
            y: at.y + x * sin + y * cos,
        }),
    )
}

/// Box of any mark; `None` where it has no finite point.
pub fn extent(shape: &MarkShape) -> Option<Rect> {
    match shape {
        MarkShape::Path { points, .. } => Rect::of(points.iter().copied()),
        MarkShape::Circle { center, radius, .. } => {
            let r = Coord {
                x: *radius,
                y: *radius,
            };
            Rect::of([*center - r, *center + r])
        }
        MarkShape::Text { .. } => text_box(shape),
        MarkShape::Arrow { from, to, .. } => Rect::of([*from, *to]),
    }
}

/// Breaks text into lines no wider than `room`. A word longer than a line is cut.
pub fn wrap(text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let joined = if line.is_empty() {
            word.to_string()
        } else {
            format!("{line} {word}")
        };
        if width(&joined, size, bold) <= room {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            line.push(c);
            if width(&line, size, bold) > room && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(c);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_stay_within_the_room_and_keep_every_word() {
        let text = "The bay at L3 is 2' 6 1/2\" clear and its bars reach 2' 0\": add blocking \
                    Pneumonoultramicroscopicsilicovolcanoconiosis.";
        for room in [40.0, 90.0, 240.0] {
            let lines = wrap(text, 9.0, false, room);
            assert!(lines.iter().all(|l| width(l, 9.0, false) <= room), "{lines:?}");
            let bare = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(bare(&lines.concat()), bare(text));
        }
    }

    #[test]
    fn a_segment_crosses_a_box_only_through_its_inside() {
        let r = Rect::around(Coord { x: 0.0, y: 0.0 }, 4.0, 2.0);
        let p = |x, y| Coord { x, y };
        assert!(r.crosses(p(-5.0, 0.0), p(5.0, 0.0)));
        assert!(r.crosses(p(-5.0, -2.0), p(5.0, 2.0)));
        assert!(!r.crosses(p(-5.0, 1.0), p(5.0, 1.0)));
        assert!(!r.crosses(p(3.0, 0.0), p(5.0, 0.0)));
        assert!(!r.crosses(p(0.0, 4.0), p(5.0, 0.0)));
    }
}
