//! Thin writers: one a format, no decisions.

pub mod csv;
pub mod dxf;
pub mod html;
pub mod json;
pub mod legend;
pub mod starter;
pub mod svg;
mod table;
pub mod text;

#[cfg(test)]
mod tests;
