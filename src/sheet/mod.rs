//! Marks and placed labels: what a redline shows, in no file format.
//!
//! The sheet has two parts: `plan`, marks in plan coordinates (inches, y up), which both the SVG
//! and the DXF writer draw; and `panel`, the numbered list, row strips, legend and cautions, said
//! as plain data and laid out on a [`Page`] (points, y down), which paper-like writers draw
//! around the plan.

pub mod applied;
mod badge;
mod blocking;
mod column;
mod deviations;
mod frame;
mod ground;
mod labels;
pub mod legend;
pub mod measure;
mod page;
mod panel;
pub mod part;
mod place;
mod strips;
mod swatch;

use geo::Coord;

use crate::check::Finding;
use crate::plan::Plan;
use crate::remedy::Remedy;
use crate::remedy::facing::{Facing, facings};
use crate::rules::Rules;

#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    pub title: String,
    /// Box of the plan part, inches: (least, greatest), margin included.
    pub bounds: (Coord, Coord),
    /// Drawn in this order.
    pub plan: Vec<Mark>,
    pub panel: Panel,
}

/// A mark on the plan. The DXF writer leaves [`Layer::Architect`] out (the source has it).
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    pub layer: Layer,
    pub shape: MarkShape,
    /// The finding, light, … it belongs to, as an id (`F3`, `L7`), for tooltips and tests.
    pub of: Option<String>,
    pub style: Style,
}

/// How a mark is drawn where its layer leaves a choice. A writer that cannot tell may draw every
/// mark as [`Style::Plain`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Style {
    #[default]
    Plain,
    /// Thinner or paler than the layer's usual line: leaders, crosses, hatching.
    Fine,
    /// Bolder than the layer's usual line.
    Heavy,
    Dashed,
    /// Text that stands on a filled mark of its own layer, and so takes the paper's colour.
    Reversed,
}

/// What a mark means; writers map each to a style and, in DXF, to a layer of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    Architect,
    Room,
    Member,
    Light,
    /// The side of a light on which its junction box goes.
    JunctionBox,
    RowLine,
    /// Off-line arrows and their dimension.
    Deviation,
    /// Graver findings: must.
    Must,
    Should,
    Note,
    Blocking,
    Move,
    Label,
    // Only on the picture of a reading, not on a redline:
    Wall,
    Device,
    /// On a light layer, but no recessed light.
    Lighting,
    Ignored,
    Unclaimed,
}

#[derive(Clone, Debug, PartialEq)]
pub enum MarkShape {
    Path {
        points: Vec<Coord>,
        closed: bool,
        filled: bool,
    },
    Circle {
        center: Coord,
        radius: f64,
        filled: bool,
    },
    /// `height` (of a capital) in inches on the plan; `angle` in degrees, counter-clockwise;
    /// anchored at its centre where `centred`, else left baseline.
    Text {
        at: Coord,
        height: f64,
        angle: f64,
        centred: bool,
        text: String,
    },
    Arrow {
        from: Coord,
        to: Coord,
        head: f64,
    },
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Panel {
    pub summary: Vec<String>,
    /// The numbered list beside the plan.
    pub list: Vec<ListEntry>,
    /// Blocking to cut, a line each cut, and the lumber to order; empty where there is none.
    pub blocking: Vec<String>,
    pub strips: Vec<Strip>,
    pub legend: Vec<(Layer, String)>,
    pub cautions: Vec<String>,
    /// All of it laid out around the plan.
    pub page: Page,
}

#[derive(Clone, Debug, PartialEq)]
pub struct ListEntry {
    pub id: String,
    pub layer: Layer,
    pub text: String,
    pub remedy: Option<String>,
}

/// One row, its offsets magnified against the tolerance band.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    pub row: String,
    pub title: String,
    pub tolerance: f64,
    /// (light id, station, signed offset, outside the band)
    pub points: Vec<(String, f64, f64, bool)>,
}

/// The sheet of paper: points (1/72 in), y down, origin at the upper left.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// The headline, also the document's title.
    pub heading: String,
    pub width: f64,
    pub height: f64,
    /// Where the upper left corner of [`Sheet::bounds`] comes to lie.
    pub plan_at: (f64, f64),
    /// Points on paper of one inch of the plan.
    pub scale: f64,
    /// Drawn in this order, after the plan.
    pub items: Vec<Item>,
}

/// Something on the page outside the plan's own coordinates.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A mark in page coordinates: legend swatches, badges in the list, strips.
    Mark(Mark),
    /// A line of type. `at` is its baseline at the anchored end, `size` the type size in points.
    Text {
        at: (f64, f64),
        size: f64,
        anchor: Anchor,
        bold: bool,
        ink: Ink,
        text: String,
    },
    Rule {
        from: (f64, f64),
        to: (f64, f64),
        ink: Ink,
    },
    /// A filled box without an edge.
    Band {
        at: (f64, f64),
        size: (f64, f64),
        ink: Ink,
    },
    /// An empty box.
    Frame { at: (f64, f64), size: (f64, f64) },
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// Tones of what is not a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Ordinary type and solid bars.
    Full,
    /// Secondary type, axes and rules.
    Quiet,
    /// Backgrounds: the tolerance band of a strip.
    Tint,
    Paper,
    /// In the colour of a mark's layer.
    Of(Layer),
}

impl Mark {
    pub fn new(layer: Layer, shape: MarkShape) -> Self {
        Mark {
            layer,
            shape,
            of: None,
            style: Style::Plain,
        }
    }

    #[must_use]
    pub fn of(mut self, id: impl ToString) -> Self {
        self.of = Some(id.to_string());
        self
    }

    #[must_use]
    pub fn style(mut self, style: Style) -> Self {
        self.style = style;
        self
    }
}

/// Lays out a redline sheet. Any plan gives one, an empty plan too.
pub fn sheet(title: &str, plan: &Plan, findings: &[Finding], remedies: &[Remedy], rules: &Rules) -> Sheet {
    let facings = facings(plan, rules);
    sheet_with(title, plan, findings, remedies, &facings, rules, &[])
}

/// The same with the boxes' facings as worked out already, and remarks (sentences) at the end of the summary.
pub fn sheet_with(
    title: &str,
    plan: &Plan,
    findings: &[Finding],
    remedies: &[Remedy],
    facings: &[Facing],
    rules: &Rules,
    remarks: &[String],
) -> Sheet {
    let frame = frame::frame(plan);
    let mut taken = place::Ground::new(frame.text * 2.5, frame.text * 0.25);
    let (mut marks, mut wanted) = (Vec::new(), Vec::new());
    let reaches = ground::reaches(plan, findings, rules, &frame);
    ground::draw(plan, facings, rules, &frame, &reaches, &mut taken, &mut marks);
    blocking::draw(
        plan,
        findings,
        remedies,
        rules,
        &frame,
        &mut taken,
        &mut marks,
        &mut wanted,
    );
    deviations::draw(plan, findings, rules, &frame, &mut taken, &mut marks, &mut wanted);
    labels::draw(plan, findings, wanted, &reaches, &frame, &mut taken, &mut marks);
    if plan.lights.is_empty() {
        marks.push(not_judged(&frame));
    }
    // Labels and arrows may stand beyond what was framed; the paper grows with them.
    let reach = marks
        .iter()
        .filter(|m| m.layer != Layer::Architect)
        .filter_map(|m| measure::extent(&m.shape))
        .fold(frame.bounds, measure::Rect::join)
        .grown(2.0 * frame.text);
    let mut panel = panel::panel(plan, findings, remedies, rules, &frame, &marks);
    panel.summary.extend(remarks.iter().cloned());
    panel.page = page::page(&format!("Redline of {title}"), &panel, &reach, &frame);
    Sheet {
        title: title.to_string(),
        bounds: (reach.least, reach.greatest),
        plan: marks,
        panel,
    }
}

/// What a drawing in which nothing was judged says of itself, above its upper left corner.
fn not_judged(frame: &frame::Frame) -> Mark {
    let bounds = &frame.bounds;
    let shape = MarkShape::Text {
        at: Coord {
            x: bounds.least.x,
            y: bounds.greatest.y + frame.text,
        },
        height: frame.text,
        angle: 0.0,
        centred: false,
        text: "NOT JUDGED: no recessed lights were found in this drawing".to_string(),
    };
    Mark::new(Layer::Must, shape)
}
