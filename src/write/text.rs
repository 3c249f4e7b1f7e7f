//! Batch summary as text.
