//! Blocks that are copies of one thing under names of their own.
//!
//! Exports of building models give every placed piece a block: what it is, the number of the piece, and often the view it was
//! exported from, joined by hyphens (`Can - 6in-345678-First Floor`). Source: drawings as such programs write them, from memory.

use std::collections::BTreeMap;

use super::Block;

/// Digits that the number of a piece has.
const DIGITS: std::ops::RangeInclusive<usize> = 5..=9;
/// So many pieces with one name before their numbers make a family.
const FEWEST: usize = 2;

/// Names the family of each block that has one.
pub(super) fn tell(blocks: &mut [Block]) {
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    for block in blocks.iter() {
        if let Some(family) = family(&block.name) {
            *count.entry(family.to_lowercase()).or_insert(0) += 1;
        }
    }
    for block in blocks {
        let found = family(&block.name).filter(|f| count.get(&f.to_lowercase()) >= Some(&FEWEST));
        block.family = found.map(str::to_owned).filter(|_| block.true_name.is_none());
    }
}

/// What stands before the number of a piece; `None` where the name has none.
fn family(name: &str) -> Option<&str> {
    let mut from = 0_usize;
    for part in name.split('-') {
        let number = DIGITS.contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        let before = name.get(..from.saturating_sub(1)).unwrap_or_default().trim();
        if number && before.chars().any(char::is_alphabetic) {
            return Some(before);
        }
        from += part.len() + 1;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(name: &str) -> Block {
        Block {
            name: name.into(),
            true_name: None,
            family: None,
            base: [0.0; 3],
            flags: 0,
            layout: false,
            entities: Vec::new(),
            handle: None,
            offset: 0,
            xref: None,
        }
    }

    #[test]
    fn pieces_of_a_model_go_by_what_they_are() {
        let names = [
            "Recessed Can - 6in Downlight-345678-First Floor RCP",
            "Recessed Can - 6in Downlight-345691-First Floor RCP",
            "LGT_Rnd_A-1234567",
            "lgt_rnd_a-1234568",
            // One of its kind, a number too short, nothing before it, no number.
            "Sofa-345700-First Floor",
            "LT-600-A",
            "LT-600-B",
            "-345678-A",
            "12345-345678-A",
            "E-LITE-CLNG",
        ];
        let mut blocks: Vec<Block> = names.map(block).into();
        tell(&mut blocks);
        let found: Vec<Option<&str>> = blocks.iter().map(|b| b.family.as_deref()).collect();
        let can = Some("Recessed Can - 6in Downlight");
        let expected = [
            can,
            can,
            Some("LGT_Rnd_A"),
            Some("lgt_rnd_a"),
            None,
            None,
            None,
            None,
            None,
            None,
        ];
        assert_eq!(found, expected);
    }
}
