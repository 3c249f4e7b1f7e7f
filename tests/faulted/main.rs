//! Faults are put into sound ceilings; what the tool mends must be sound again.

mod brute;
mod plans;

use bayline::rules::Rules;

/// The gate takes 2,000: `cargo run --release --example faulted -- 2000`.
const SEEDS: u64 = 100;

#[test]
fn what_has_a_way_out_is_mended_and_nothing_new_comes() {
    let rules = Rules::default();
    let (mut must, mut left, mut proofs) = (0, 0, 0);
    for seed in 0..SEEDS {
        let outcome = plans::run(seed, &rules).unwrap_or_else(|e| panic!("{e}"));
        must += outcome.must;
        left += outcome.left;
        proofs += outcome.lone + outcome.rows;
    }
    assert!(
        must > 60 && left < must,
        "{must} faults, {left} left, {proofs} proofs"
    );
}

/// Rows whose layouts mostly fail at a wall or for want of support, or whose lights stray far: the search must not give up on them.
#[test]
fn a_row_is_laid_anew_however_few_of_its_layouts_hold() {
    let rules = Rules::default();
    for seed in [
        534, 772, 911, 1132, 1143, 1165, 1202, 1337, 1446, 1610, 1643, 1797,
    ] {
        let outcome = plans::run(seed, &rules).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!((outcome.left, outcome.solvable), (0, outcome.must), "seed {seed}");
    }
}

/// A row for which it is said that no layout works, held to every layout.
#[test]
fn where_a_row_is_said_to_have_no_way_out_every_layout_was_tried() {
    let outcome = plans::run(1269, &Rules::default()).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!((outcome.rows, outcome.left), (2, 2));
}
