//! Marks and placed labels: what a redline shows, in no file format.
//!
//! The sheet has two parts: `plan`, marks in plan coordinates (inches, y up), which both the SVG
//! and the DXF writer draw; and `panel`, the numbered list, row strips, legend and cautions, in
//! sheet coordinates (points, y down), which paper-like writers draw beside the plan.

use geo::Coord;

use crate::check::Finding;
use crate::plan::Plan;
use crate::remedy::Remedy;
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
}

/// What a mark means; writers map each to a style and, in DXF, to a layer of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    Architect,
    Room,
    Member,
    Light,
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
    /// `height` in inches on the plan; anchored at its centre where `centred`, else left baseline.
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
    pub strips: Vec<Strip>,
    pub legend: Vec<(Layer, String)>,
    pub cautions: Vec<String>,
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

/// Lays out a redline sheet.
pub fn sheet(title: &str, plan: &Plan, findings: &[Finding], remedies: &[Remedy], rules: &Rules) -> Sheet {
    let _ = (title, plan, findings, remedies, rules);
    todo!("sheet helper")
}
