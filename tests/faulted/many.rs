//! Many faulted plans: `cargo run --release --example faulted -- 2000` fails at the first that does not hold.

mod brute;
mod plans;

use bayline::rules::Rules;

fn main() -> Result<(), String> {
    let wanted = std::env::args().nth(1).map_or(Ok(2000), |a| a.parse());
    let wanted: u64 = wanted.map_err(|_| "how many plans?")?;
    let rules = Rules::default();
    let (mut must, mut solvable, mut left, mut stuck, mut clear) = (0, 0, 0, 0, 0);
    let (mut lone, mut rows) = (0, 0);
    let mut wrong = Vec::new();
    for seed in 0..wanted {
        match plans::run(seed, &rules) {
            Ok(outcome) => {
                must += outcome.must;
                solvable += outcome.solvable;
                left += outcome.left;
                stuck += outcome.stuck;
                lone += outcome.lone;
                rows += outcome.rows;
                clear += u64::from(outcome.left == 0);
            }
            Err(e) => wrong.push(e),
        }
    }
    println!(
        "{wanted} plans: {must} faults that must be put right, {solvable} with a way out by themselves, {left} left after all \
         moves, {stuck} of them with a way out by themselves; {clear} plans clear; said to have no way out: {lone} of lights alone, tried at \
         every place, and {rows} in rows, tried in every layout"
    );
    match wrong.first() {
        None => Ok(()),
        Some(first) => Err(format!("{} plans do not hold; the first: {first}", wrong.len())),
    }
}
