//! Numbers, type and page items as SVG.

use geo::Coord;
use svg::node::element::{Element, Line, Rectangle};

use super::{style, words};
use crate::sheet::measure::SIZE_OF_CAP;
use crate::sheet::{Anchor, Item};

/// At most three decimals, no trailing zeros, never `-0`; what is no number is 0.
pub fn number(v: f64) -> String {
    if !v.is_finite() {
        return "0".into();
    }
    let mut s = format!("{v:.3}");
    while s.ends_with('0') {
        s.pop();
    }
    if s.ends_with('.') {
        s.pop();
    }
    if s == "-0" { "0".into() } else { s }
}

/// Takes out the control characters XML 1.0 cannot hold in any form.
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .filter(|c| !matches!(c, '\u{fffe}' | '\u{ffff}'))
        .collect()
}

/// Text of which the height of a capital is given. `angle` in degrees, clockwise on the page positive
/// as SVG has it.
pub fn plan_text(at: Coord, cap: f64, angle: f64, centred: bool, class: &str, text: &str) -> Element {
    // Centred text is set by its middle: half a capital below the point is its baseline.
    let (sin, cos) = angle.to_radians().sin_cos();
    let down = if centred { cap / 2.0 } else { 0.0 };
    let (x, y) = (at.x - sin * down, at.y + cos * down);
    let mut e = svg::node::element::Text::new("")
        .set("class", class)
        .set("x", number(x))
        .set("y", number(y))
        .set("font-size", number(cap * SIZE_OF_CAP));
    if centred {
        e = e.set("text-anchor", "middle");
    }
    if angle != 0.0 && angle.is_finite() {
        let turn = format!("rotate({} {} {})", number(angle), number(x), number(y));
        e = e.set("transform", turn);
    }
    e.add(words(text)).into()
}

/// Page items other than marks.
pub fn element(item: &Item) -> Option<Element> {
    Some(match item {
        Item::Mark(_) => return None,
        Item::Text {
            at,
            size,
            anchor,
            bold,
            ink,
            text,
        } => {
            let mut e = svg::node::element::Text::new("")
                .set("class", style::type_class(*ink, *bold))
                .set("x", number(at.0))
                .set("y", number(at.1))
                .set("font-size", number(*size));
            match anchor {
                Anchor::Start => {}
                Anchor::Middle => e = e.set("text-anchor", "middle"),
                Anchor::End => e = e.set("text-anchor", "end"),
            }
            e.add(words(text)).into()
        }
        Item::Rule { from, to, ink } => Line::new()
            .set("class", format!("rule {}", style::rule_class(*ink)))
            .set("x1", number(from.0))
            .set("y1", number(from.1))
            .set("x2", number(to.0))
            .set("y2", number(to.1))
            .into(),
        Item::Band { at, size, ink } => boxed(*at, *size).set("fill", style::colour(*ink)).into(),
        Item::Frame { at, size } => boxed(*at, *size).set("class", "frame").into(),
    })
}

fn boxed(at: (f64, f64), size: (f64, f64)) -> Rectangle {
    Rectangle::new()
        .set("x", number(at.0))
        .set("y", number(at.1))
        .set("width", number(size.0))
        .set("height", number(size.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_sound() {
        assert_eq!(number(1.0), "1");
        assert_eq!(number(-0.0001), "0");
        assert_eq!(number(12.34567), "12.346");
        assert_eq!(number(100.0), "100");
        assert_eq!(number(f64::NAN), "0");
    }

    #[test]
    fn what_xml_cannot_hold_is_taken_out() {
        assert_eq!(clean("a\u{0}b\u{1b}c\nd"), "a b c d");
    }
}
