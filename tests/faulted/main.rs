//! Faults are put into sound ceilings; what the tool mends must be sound again.

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
        proofs += outcome.proofs;
    }
    assert!(
        must > 60 && left < must,
        "{must} faults, {left} left, {proofs} proofs"
    );
}
