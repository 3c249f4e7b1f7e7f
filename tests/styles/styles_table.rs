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
    let wrong: Vec<String> = (0..seeds)
        .flat_map(|seed| [true, false].map(|given| (seed, given)))
        .filter_map(|(seed, given)| {
            let s = draw::sample(seed, given);
            let from = if given { "names given" } else { "schedule only" };
            let o = judge::judge(&s);
            let what = o
                .asked
                .clone()
                .map_or("read wrong".into(), |e| format!("asked: {e}"));
            (!o.perfect()).then(|| format!("seed {seed}, {from}, {:?}: {what}", s.dress))
        })
        .collect();
    print!("{}", judge::table(seeds));
    println!("\n{} of {} readings not perfect", wrong.len(), 2 * seeds);
    for line in wrong {
        println!("- {line}");
    }
}
