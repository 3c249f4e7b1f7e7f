//! Prints the table of recognition by style: `cargo run --release --example styles_table -- 2000`.

#[path = "mod.rs"]
mod styles;

use styles::{draw, houses, judge};

fn main() {
    let seeds = match std::env::args().nth(1).map(|n| n.parse()) {
        None => 2000,
        Some(Ok(n)) => n,
        Some(Err(_)) => {
            eprintln!("usage: styles_table [PLANS]");
            std::process::exit(2);
        }
    };
    let runs: Vec<judge::Run> = (0..seeds).map(judge::run).collect();
    let mut wrong: Vec<String> = Vec::new();
    for (seed, run) in runs.iter().enumerate() {
        for (by, (s, o)) in judge::WAYS.iter().zip(run) {
            let quiet = *by == draw::Told::Nothing;
            if o.perfect() || quiet && (o.asked.is_some() || o.asks_framing()) {
                continue;
            }
            let what = o
                .asked
                .clone()
                .map_or(format!("wrong are {}", o.wrong().join(", ")), |e| {
                    format!("asked: {e}")
                });
            let house = houses::HOUSES[s.house];
            wrong.push(format!("seed {seed}, {by:?}, {house}, {:?}: {what}", s.dress));
        }
    }
    print!("{}", judge::table(&runs));
    println!("\n{} of {} readings not perfect", wrong.len(), 3 * seeds);
    for line in wrong {
        println!("- {line}");
    }
}
