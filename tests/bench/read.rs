//! How fast a drawing is read: our index and typed view of every entity, beside a pass
//! that only finds line ends and beside the `dxf` crate's load, over one plan in one run.
//!
//! `cargo bench --bench read` prints MB/s and ratios; `-- 10` takes a plan of 10 MB.

use std::fmt::Write;
use std::hint::black_box;
use std::time::Instant;

use bayline::drawing::{self, Shape};

/// Size of the plan in megabytes (10^6 bytes), unless told otherwise.
const MEGABYTES: usize = 50;
/// Each reader's best of this many runs counts.
const RUNS: usize = 5;

fn main() {
    let megabytes = std::env::args()
        .skip(1)
        .find_map(|a| a.parse().ok())
        .unwrap_or(MEGABYTES);
    let plan = plan(megabytes * 1_000_000);
    let source = plan.as_bytes();
    println!("plan: {:.1} MB", source.len() as f64 / 1e6);

    let lines = rate(source, RUNS, || {
        memchr::memchr_iter(b'\n', source).map(|n| n & 1).sum::<usize>()
    });
    let index = rate(source, RUNS, || {
        let (drawing, _) = drawing::read(source).expect("the plan is sound");
        drawing.entities.len()
    });
    let typed = rate(source, RUNS, || view(source));
    // One run: it takes more than a second.
    let other = rate(source, 1, || {
        let drawing = dxf::Drawing::load(&mut &*source).expect("the plan is sound");
        drawing.entities().count()
    });
    println!(
        "{:<28}{:>10}{:>22}{:>16}",
        "", "MB/s", "of the line pass", "of dxf's load"
    );
    for (name, speed) in [
        ("line ends (memchr)", lines),
        ("read: index", index),
        ("read and view every entity", typed),
        ("dxf crate: load", other),
    ] {
        println!(
            "{name:<28}{speed:>10.0}{:>21.1}%{:>15.1}x",
            100.0 * speed / lines,
            speed / other
        );
    }
}

/// Reads the plan and decodes every entity. Gives a number that depends on all of them.
fn view(source: &[u8]) -> usize {
    let (drawing, notes) = drawing::read(source).expect("the plan is sound");
    assert!(notes.is_empty(), "{notes:?}");
    let mut seen = 0;
    for entity in &drawing.entities {
        let (entity, note) = drawing.entity(entity);
        assert!(
            note.is_none() && entity.shape != Shape::Other,
            "{} is not viewed",
            entity.name
        );
        seen += entity.layer.len() + usize::from(black_box(&entity.shape) != &Shape::Other);
    }
    seen
}

/// Megabytes a second of the best run.
fn rate(source: &[u8], runs: usize, mut run: impl FnMut() -> usize) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..runs {
        let start = Instant::now();
        black_box(run());
        best = best.min(start.elapsed().as_secs_f64());
    }
    source.len() as f64 / 1e6 / best
}

/// A plan in R2000 form of about `size` bytes, its numbers written to 12 decimals as CAD
/// programs do: lines, outlines, lights, tags and circles in turn.
fn plan(size: usize) -> String {
    let mut out = String::with_capacity(size + 4096);
    out.push_str(
        "  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1015\n  9\n$DWGCODEPAGE\n  3\nANSI_1252\n",
    );
    out.push_str("  9\n$INSUNITS\n 70\n     1\n  0\nENDSEC\n  0\nSECTION\n  2\nBLOCKS\n");
    out.push_str("  0\nBLOCK\n  5\n20\n  8\n0\n  2\nLT-R6\n 70\n     0\n 10\n0.0\n 20\n0.0\n 30\n0.0\n");
    out.push_str("  0\nCIRCLE\n  5\n21\n  8\n0\n 10\n0.0\n 20\n0.0\n 30\n0.0\n 40\n3.0\n  0\nENDBLK\n  5\n22\n  8\n0\n");
    out.push_str("  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n");
    let mut handle = 0x100_u64;
    while out.len() < size {
        group(&mut out, &mut handle);
    }
    out.push_str("  0\nENDSEC\n  0\nEOF\n");
    out
}

/// Ten entities: four lines, two outlines, two lights, a tag and a circle.
fn group(out: &mut String, handle: &mut u64) {
    for part in 0..10_u32 {
        *handle += 1;
        let h = *handle;
        let x = (h % 7919) as f64 * 1.618_033_988_75;
        let y = (h % 104_729) as f64 * 0.577_215_664_9;
        let (kind, subclass, layer) = match part {
            0..=3 => ("LINE", "AcDbLine", "S-JOIS"),
            4 | 5 => ("LWPOLYLINE", "AcDbPolyline", "A-WALL"),
            6 | 7 => ("INSERT", "AcDbBlockReference", "E-LITE"),
            8 => ("TEXT", "AcDbText", "E-LITE-IDEN"),
            _ => ("CIRCLE", "AcDbCircle", "A-FURN"),
        };
        let _ = write!(
            out,
            "  0\n{kind}\n  5\n{h:X}\n330\n1F\n100\nAcDbEntity\n  8\n{layer}\n100\n{subclass}\n"
        );
        if kind == "LWPOLYLINE" {
            out.push_str(" 90\n        4\n 70\n     1\n 43\n0.0\n");
            for (dx, dy) in [(0.0, 0.0), (1.5, 0.0), (1.5, 144.0), (0.0, 144.0)] {
                let _ = write!(out, " 10\n{:.12}\n 20\n{:.12}\n", x + dx, y + dy);
            }
            continue;
        }
        if kind == "INSERT" {
            out.push_str("  2\nLT-R6\n");
        }
        let _ = write!(out, " 10\n{x:.12}\n 20\n{y:.12}\n 30\n0.0\n");
        match kind {
            "LINE" => {
                let _ = write!(out, " 11\n{:.12}\n 21\n{y:.12}\n 31\n0.0\n", x + 187.25);
            }
            "INSERT" => out.push_str(" 50\n90.0\n"),
            "TEXT" => out.push_str(" 40\n4.5\n  1\nR6 @ 8'-0\" A.F.F.\n100\nAcDbText\n"),
            _ => out.push_str(" 40\n3.1875\n"),
        }
    }
}
