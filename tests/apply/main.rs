//! `bayline audit --apply` through the built command: symbols of every making are moved, and nothing else.

mod cases;
mod demo;
mod draw;
