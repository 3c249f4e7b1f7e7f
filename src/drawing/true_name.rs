//! The true names of blocks: which block a dynamic one (`*U12`) was made from.
//!
//! Two places tell it: extended data of the block record (`AcDbBlockRepBTag`), and an
//! `ACDB_BLOCKREPRESENTATION_DATA` object in a dictionary of an INSERT of the block.
//! Source: drawings as CAD programs write them, from memory.

use std::collections::BTreeMap;

use super::index::{Index, RawRecord};
use super::{Drawing, number};

/// Dictionaries one inside the other, at most, between an INSERT and its data.
const DEPTH: usize = 4;

/// Block name in lower case to the name of the block it was made from.
pub(super) fn true_names(drawing: &Drawing<'_>, index: &Index) -> BTreeMap<String, String> {
    let by_handle: BTreeMap<u64, &RawRecord> = index
        .records
        .iter()
        .filter_map(|record| Some((record.handle?, record)))
        .collect();
    let mut names = BTreeMap::new();
    let mut learn = |name: &str, true_name: &str| {
        if name != true_name && !true_name.is_empty() {
            names
                .entry(name.to_lowercase())
                .or_insert_with(|| true_name.to_string());
        }
    };
    for record in &index.records {
        let made_from = record
            .made_from
            .and_then(|h| by_handle.get(&h))
            .map(|r| r.name.clone());
        if let Some(range) = made_from.or_else(|| record.true_name.clone()) {
            learn(&drawing.name(record.name.clone()), &drawing.name(range));
        }
    }
    let owners = owners(index);
    if owners.is_empty() {
        return names;
    }
    let all = index
        .entities
        .iter()
        .chain(index.blocks.iter().flat_map(|b| &b.entities));
    for insert in all.filter(|e| drawing.source.get(e.name.clone()) == Some(b"INSERT")) {
        let (mut handle, mut block) = (None, None);
        for tag in drawing
            .cursor(insert.range.clone())
            .skip(1)
            .take_while(|t| t.code != 0)
        {
            match tag.code {
                5 => handle = number::handle(drawing.source.get(tag.value).unwrap_or_default()),
                2 => block = Some(tag.value),
                _ => {}
            }
        }
        let record = handle.and_then(|h| owners.get(&h)).and_then(|h| by_handle.get(h));
        if let (Some(record), Some(block)) = (record, block) {
            learn(&drawing.name(block), &drawing.name(record.name.clone()));
        }
    }
    names
}

/// What representations belong to, dictionaries passed through, and what they stand for.
fn owners(index: &Index) -> BTreeMap<u64, u64> {
    if index.representations.is_empty() {
        return BTreeMap::new();
    }
    let parents = Parents::new(index);
    index
        .representations
        .iter()
        .map(|r| (parents.top(r.owner), r.stands_for))
        .collect()
}

/// Dictionaries, and what owns each.
pub(super) struct Parents(BTreeMap<u64, u64>);

impl Parents {
    pub(super) fn new(index: &Index) -> Self {
        Parents(index.dictionaries.iter().copied().collect())
    }

    /// What owns the outermost of the dictionaries that `owner` is in, or is.
    pub(super) fn top(&self, mut owner: u64) -> u64 {
        for _ in 0..DEPTH {
            match self.0.get(&owner) {
                Some(parent) => owner = *parent,
                None => break,
            }
        }
        owner
    }
}
