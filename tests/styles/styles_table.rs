//! Prints the table of recognition by style: `cargo run --release --example styles_table -- 2000`.

#[path = "decoys.rs"]
mod decoys;
#[path = "draw.rs"]
mod draw;
#[path = "framing.rs"]
mod framing;
#[path = "judge.rs"]
mod judge;
#[path = "pen.rs"]
mod pen;
#[path = "symbols.rs"]
mod symbols;
#[path = "writer.rs"]
mod writer;

fn main() {
    let seeds = match std::env::args().nth(1).map(|n| n.parse()) {
        None => 2000,
        Some(Ok(n)) => n,
        Some(Err(_)) => {
            eprintln!("usage: styles_table [PLANS]");
            std::process::exit(2);
        }
    };
    let mut wrong: Vec<String> = Vec::new();
    for seed in 0..seeds {
        for by in [draw::Told::Given, draw::Told::Words, draw::Told::Nothing] {
            let s = draw::told(seed, by);
            let o = judge::judge(&s);
            let quiet = by == draw::Told::Nothing;
            if o.perfect() || quiet && (o.asked.is_some() || o.asks_framing()) {
                continue;
            }
            let what = o
                .asked
                .clone()
                .map_or("read wrong".into(), |e| format!("asked: {e}"));
            wrong.push(format!("seed {seed}, {by:?}, {:?}: {what}", s.dress));
        }
    }
    print!("{}", judge::table(seeds));
    println!("\n{} of {} readings not perfect", wrong.len(), 3 * seeds);
    for line in wrong {
        println!("- {line}");
    }
}
