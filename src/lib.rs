//! Bayline checks recessed lights on architects' ceiling plans.
//!
//! A plan goes through stages, each a free function from plain data to plain
//! data: [`drawing`] (bytes to entities), [`flatten`] (blocks resolved, inches),
//! [`recognise`] (lights, framing, rooms, rows), [`check`], [`remedy`],
//! [`sheet`] (marks, no file format), [`write`] (bytes); [`mended`] draws the plan with
//! its lights moved. [`batch`] alone has threads and file output; everything before it does no I/O.

pub mod length;
pub mod note;
pub mod rules;

pub mod drawing;
pub mod flatten;
pub mod geom;
pub mod plan;
pub mod recognise;

pub mod check;
pub mod phase;
pub mod remedy;

pub mod report;
pub mod sheet;
pub mod write;

pub mod mended;

pub mod batch;
pub mod cli;
