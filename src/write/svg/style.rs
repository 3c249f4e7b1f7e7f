//! Colours and weights. The colours differ in lightness as well as hue, and no meaning hangs on colour
//! alone: badges differ in shape, rings in weight, lines in their dashes.

use crate::sheet::{Ink, Layer, Mark, MarkShape, Style};

/// Class of a layer.
pub fn class(layer: Layer) -> &'static str {
    match layer {
        Layer::Architect => "architect",
        Layer::Room => "room",
        Layer::Member => "member",
        Layer::Light => "light",
        Layer::JunctionBox => "junction-box",
        Layer::RowLine => "row",
        Layer::Deviation => "deviation",
        Layer::Must => "must",
        Layer::Should => "should",
        Layer::Note => "note",
        Layer::Blocking => "blocking",
        Layer::Move => "move",
        Layer::Label => "label",
        Layer::Wall => "wall",
        Layer::Device => "device",
        Layer::Lighting => "lighting",
        Layer::Ignored => "ignored",
        Layer::Unclaimed => "unclaimed",
    }
}

/// Main colour of a layer: strokes, type and arrow heads.
fn tone(layer: Layer) -> &'static str {
    match layer {
        Layer::Architect => "#a9adb3",
        Layer::Room => "#7d8894",
        Layer::Member => "#8b8271",
        Layer::Light | Layer::JunctionBox => "#1d1f22",
        Layer::RowLine => "#0b6e7a",
        Layer::Deviation => "#a3195b",
        Layer::Must => "#9c1006",
        Layer::Should => "#b25a00",
        Layer::Note => "#3f5f93",
        Layer::Blocking => "#1f6b2c",
        Layer::Move => "#5b3a9e",
        Layer::Label => "#1d1f22",
        Layer::Wall => "#454b53",
        Layer::Device => "#2b6285",
        Layer::Lighting => "#7d6a00",
        Layer::Ignored => "#a9adb3",
        Layer::Unclaimed => "#b3128f",
    }
}

/// Fill of a filled path or circle.
fn fill(layer: Layer) -> &'static str {
    match layer {
        Layer::Architect => "#f1f2f3",
        Layer::Room => "#f7f9fb",
        Layer::Member => "#e9e4d8",
        Layer::Light => "#fff4bf",
        Layer::JunctionBox => "#1d1f22",
        Layer::Deviation => "#a3195b",
        Layer::Must => "#9c1006",
        Layer::Blocking => "#e3f1e4",
        Layer::Device => "#e0edf5",
        Layer::RowLine
        | Layer::Should
        | Layer::Note
        | Layer::Move
        | Layer::Label
        | Layer::Wall
        | Layer::Lighting
        | Layer::Ignored
        | Layer::Unclaimed => "#ffffff",
    }
}

/// Stroke width, points.
fn weight(layer: Layer) -> f64 {
    match layer {
        Layer::Architect => 0.45,
        Layer::Room | Layer::Member | Layer::JunctionBox => 0.4,
        Layer::Wall => 0.9,
        Layer::Device | Layer::Lighting => 0.7,
        Layer::Ignored | Layer::Unclaimed => 0.5,
        Layer::RowLine => 0.6,
        Layer::Light | Layer::Note | Layer::Label => 0.7,
        Layer::Should => 0.9,
        Layer::Deviation | Layer::Must | Layer::Blocking | Layer::Move => 1.0,
    }
}

const LAYERS: [Layer; 18] = [
    Layer::Architect,
    Layer::Room,
    Layer::Member,
    Layer::Light,
    Layer::JunctionBox,
    Layer::RowLine,
    Layer::Deviation,
    Layer::Must,
    Layer::Should,
    Layer::Note,
    Layer::Blocking,
    Layer::Move,
    Layer::Label,
    Layer::Wall,
    Layer::Device,
    Layer::Lighting,
    Layer::Ignored,
    Layer::Unclaimed,
];

/// The style sheet all marks refer to.
pub fn css() -> String {
    let mut css = String::from(
        "\ntext { font-family: sans-serif; stroke: none; }\n\
         path, circle { fill: none; stroke-linejoin: round; stroke-linecap: round; }\n\
         .paper { fill: #ffffff; }\n\
         .frame { fill: none; stroke: #6b7077; stroke-width: 0.6; }\n\
         .rule { stroke-width: 0.6; }\n\
         .bold { font-weight: bold; }\n\
         .ink { stroke: #1d1f22; } text.ink { fill: #1d1f22; stroke: none; }\n\
         .quiet { stroke: #5d646d; } text.quiet { fill: #5d646d; stroke: none; }\n",
    );
    for l in LAYERS {
        let (name, tone, fill, weight) = (class(l), tone(l), fill(l), weight(l));
        css.push_str(&format!(
            ".{name} {{ stroke: {tone}; stroke-width: {weight}; }}\n\
             .{name}.filled {{ fill: {fill}; }}\n\
             .{name}.head {{ fill: {tone}; stroke-width: 0.3; }}\n\
             .{name}.fine {{ stroke-width: {:.2}; }}\n\
             .{name}.heavy {{ stroke-width: {:.2}; }}\n\
             text.{name} {{ fill: {tone}; stroke: none; }}\n",
            weight * 0.6,
            weight * 2.0,
        ));
    }
    css.push_str(
        ".dashed { stroke-dasharray: 5 2 1 2; }\n\
         text.reversed { fill: #ffffff; }\n\
         text.said { font-weight: bold; stroke: #ffffff; stroke-width: 2; paint-order: stroke; \
         stroke-linejoin: round; }\n\
         text.architect { stroke: #ffffff; stroke-width: 2; paint-order: stroke; stroke-linejoin: round; }\n",
    );
    css
}

/// Classes of a mark.
pub fn classes(m: &Mark) -> String {
    let mut out = String::from(class(m.layer));
    match &m.shape {
        MarkShape::Path { filled: true, .. } | MarkShape::Circle { filled: true, .. } => {
            out.push_str(" filled")
        }
        // Our own words stand out from the drawing under them.
        MarkShape::Text { .. } if m.style == Style::Reversed => out.push_str(" bold"),
        MarkShape::Text { .. } if !matches!(m.layer, Layer::Architect) => out.push_str(" said"),
        _ => {}
    }
    match m.style {
        Style::Plain => {}
        Style::Fine => out.push_str(" fine"),
        Style::Heavy => out.push_str(" heavy"),
        Style::Dashed => out.push_str(" dashed"),
        Style::Reversed => out.push_str(" reversed"),
    }
    out
}

/// Colour of page ink.
pub fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Full => "#1d1f22",
        Ink::Quiet => "#5d646d",
        Ink::Tint => "#d9e8ea",
        Ink::Paper => "#ffffff",
        Ink::Of(layer) => tone(layer),
    }
}

/// Class and colour of a line of type on the page.
pub fn type_class(ink: Ink, bold: bool) -> String {
    let mut out = match ink {
        Ink::Full | Ink::Tint | Ink::Paper => String::from("ink"),
        Ink::Quiet => String::from("quiet"),
        Ink::Of(layer) => String::from(class(layer)),
    };
    if bold {
        out.push_str(" bold");
    }
    out
}

/// Class of a rule.
pub fn rule_class(ink: Ink) -> &'static str {
    match ink {
        Ink::Full | Ink::Tint | Ink::Paper => "ink",
        Ink::Quiet => "quiet",
        Ink::Of(layer) => class(layer),
    }
}
