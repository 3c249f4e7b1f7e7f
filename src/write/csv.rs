//! Batch summary as csv.
