//! Batch summary as html.
