//! Prints the faces of wall segments with their gaps closed, for comparison with another polygonizer.
//!
//! Standard input: one segment a line, `x1 y1 x2 y2`, in inches; a line that begins with `!` is the box of a
//! door. Standard output: one JSON object with the noded edges and the outlines of the faces.

use std::io::Read;
use std::process::ExitCode;

use bayline::recognise::gaps::close;
use geo::Coord;
use serde_json::json;

fn main() -> ExitCode {
    match dump() {
        Ok(text) => {
            println!("{text}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn dump() -> Result<String, String> {
    let mut text = String::new();
    std::io::stdin()
        .read_to_string(&mut text)
        .map_err(|e| e.to_string())?;
    let (mut walls, mut doors) = (Vec::new(), Vec::new());
    for line in text.lines() {
        let (door, numbers) = match line.strip_prefix('!') {
            Some(rest) => (true, rest),
            None => (false, line),
        };
        let numbers: Result<Vec<f64>, _> = numbers.split_whitespace().map(str::parse).collect();
        let Ok([x1, y1, x2, y2]) = numbers.as_deref() else {
            return Err(format!("no four numbers: {line}"));
        };
        let ends = (Coord { x: *x1, y: *y1 }, Coord { x: *x2, y: *y2 });
        if door { doors.push(ends) } else { walls.push(ends) }
    }
    let closed = close(&walls, &doors, &[]).ok_or("too many segments")?;
    let pair = |p: &Coord| [p.x, p.y];
    let nodes = &closed.network.nodes;
    let edges: Vec<_> = closed
        .network
        .edges
        .iter()
        .map(|&(a, b)| [pair(&nodes[a]), pair(&nodes[b])])
        .collect();
    let faces: Vec<Vec<_>> = closed
        .network
        .faces()
        .iter()
        .map(|f| f.outline.iter().map(pair).collect())
        .collect();
    Ok(
        json!({ "edges": edges, "faces": faces, "openings": closed.openings, "loose": closed.loose.len() })
            .to_string(),
    )
}
