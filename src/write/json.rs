//! `report.json` (schema in `docs/report.schema.json`) and `summary.json`.
use crate::report::Report;

/// One plan's report, design §7; points in drawing units. Ends with a newline.
pub fn report(report: &Report) -> String {
    let _ = report;
    todo!("batch helper")
}
