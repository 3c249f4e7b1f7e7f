//! Edits of bytes, collected in any order and applied in one go.

use std::ops::Range;

use super::Spliced;

/// Insertions and replacements; their places are offsets into the source.
#[derive(Debug, Default)]
pub(super) struct Edits(Vec<(Range<usize>, Vec<u8>)>);

impl Edits {
    /// Insertions at one place stand in the order they were made.
    pub(super) fn insert(&mut self, at: usize, bytes: Vec<u8>) {
        if !bytes.is_empty() {
            self.0.push((at..at, bytes));
        }
    }

    pub(super) fn replace(&mut self, range: Range<usize>, bytes: Vec<u8>) {
        self.0.push((range, bytes));
    }

    pub(super) fn apply(mut self, source: &[u8]) -> Spliced {
        self.0.sort_by_key(|(range, _)| (range.start, range.end));
        let more: usize = self.0.iter().map(|(_, bytes)| bytes.len()).sum();
        let mut out = Spliced {
            bytes: Vec::with_capacity(source.len() + more),
            ..Spliced::default()
        };
        let mut at = 0;
        for (range, bytes) in self.0 {
            out.bytes
                .extend_from_slice(source.get(at..range.start).unwrap_or_default());
            let start = out.bytes.len();
            out.bytes.extend(bytes);
            let place = start..out.bytes.len();
            if range.is_empty() {
                out.added.push(place);
            } else {
                let old = source.get(range.clone()).unwrap_or_default().to_vec();
                out.replaced.push((place, old));
            }
            at = range.end;
        }
        out.bytes.extend_from_slice(source.get(at..).unwrap_or_default());
        out
    }
}
