//! Faults are put into sound ceilings; what the tool mends must be sound again.

mod brute;
mod plans;

use bayline::check::{Kind, check};
use bayline::plan::notation::parse;
use bayline::recognise::relate;
use bayline::rules::Rules;
use geo::Coord;

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

/// Lights 46 in apart under joists 24 in apart: in the middle of every second bay, 48 in apart, they are clear (derived). With
/// joists 7 1/2 in apart nothing fits, and trying every layout finds nothing.
#[test]
fn a_layout_is_judged_by_the_checks_alone() {
    let rules = Rules::default();
    for (first, apart, there) in [(5.0, 24.0, true), (2.0, 7.5, false)] {
        let mut text = String::from("room (0,0) (152,0) (152,96) (0,96)\n");
        for i in 0..22 {
            let x = first + apart * f64::from(i);
            text += &format!("member joist ({x},-8) ({x},104)\n");
        }
        text += "light (30,48)\nlight (76,48)\nlight (122,48)\n";
        let mut plan = parse(&text).unwrap();
        relate(&mut plan, &rules);
        let found = check(&plan, &rules);
        let hit = found.iter().find(|f| f.kind == Kind::HitsMember).unwrap();
        let drawn = brute::Drawn {
            plan: &plan,
            found: &found,
            rules: &rules,
        };
        let row = &plan.rows[0];
        let to = [17.0, 65.0, 113.0].map(|x| Coord { x, y: 48.0 });
        let moved: Vec<_> = row.lights.iter().copied().zip(to).collect();
        assert_eq!(drawn.works(&moved, hit, true), there);
        if !there {
            assert_eq!(drawn.layout(row, hit), (None, 0));
        }
    }
}
