//! Puts lights into a drawing that has none:
//! `cargo run --example splice_lights -- IN.dxf OUT.dxf BLOCK [--rules bayline.toml] PLACE…`, where a place is `x,y` in
//! drawing units, or `ROOM=ROWSxLIGHTS`.

mod tool;

use bayline::batch::read_rules;
use bayline::rules::Rules;

fn main() -> Result<(), String> {
    let mut args: Vec<String> = std::env::args().skip(1).collect();
    let mut rules = Rules::default();
    if let Some(i) = args.iter().position(|a| a == "--rules") {
        let file = args.get(i + 1).ok_or("--rules wants a file")?;
        rules = read_rules(file.as_ref())?;
        args.drain(i..i + 2);
    }
    let [from, to, block, places @ ..] = args.as_slice() else {
        return Err("wanted: IN.dxf OUT.dxf BLOCK PLACE…".to_string());
    };
    let same = std::fs::canonicalize(from).is_ok_and(|a| std::fs::canonicalize(to).is_ok_and(|b| a == b));
    if places.is_empty() || same {
        return Err("wanted: a place for a light at least, and an output that is not the input".to_string());
    }
    let places: Vec<tool::Where> = places.iter().map(|p| tool::place(p)).collect::<Result<_, _>>()?;
    let bytes = std::fs::read(from).map_err(|e| format!("{from}: {e}"))?;
    let (spliced, at) = tool::lights(&bytes, block, &places, &rules)?;
    for note in &spliced.notes {
        eprintln!("{note}");
    }
    if spliced.added.is_empty() {
        return Err("nothing was added".to_string());
    }
    std::fs::write(to, &spliced.bytes).map_err(|e| format!("{to}: {e}"))?;
    println!("{} lights in {to}", at.len());
    Ok(())
}
