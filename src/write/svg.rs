//! The redline as SVG.
use crate::sheet::Sheet;

pub fn svg(sheet: &Sheet) -> String {
    let _ = sheet;
    todo!("sheet helper")
}
