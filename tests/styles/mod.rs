//! Plans in many drafting styles with known truth, and how well they are read.

// Not every one that draws them prints the table, or tells the styles by name.
#![allow(dead_code)]

pub mod bound;
pub mod decoys;
pub mod devices;
pub mod draw;
pub mod framing;
pub mod houses;
pub mod judge;
pub mod pen;
pub mod shell;
pub mod sticks;
pub mod symbols;
pub mod writer;
