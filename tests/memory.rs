//! Memory that reading and flattening take, against the size of the drawing: never more than 20 times it, but for a base that
//! any drawing may take.
//!
//! One test, so that nothing else allocates meanwhile.

use std::fmt::Write as _;

use bayline::drawing;
use bayline::flatten::{Flat, flatten};
use bayline::note::{Level, Note};
use bayline::plan::Units;
use peak_alloc::PeakAlloc;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Bytes for a byte of the drawing, and what any drawing may take.
const TIMES: usize = 20;
const BASE: usize = 16 << 20;

fn drawing_of(blocks: &str, entities: &str) -> Vec<u8> {
    let all = format!("0|SECTION|2|BLOCKS|{blocks}0|ENDSEC|0|SECTION|2|ENTITIES|{entities}0|ENDSEC|0|EOF|");
    all.replace('|', "\n").into_bytes()
}

fn many(count: usize, one: impl Fn(usize) -> String) -> String {
    (0..count).fold(String::new(), |mut all, k| {
        write!(all, "{}", one(k)).expect("strings grow");
        all
    })
}

/// The flat drawing, what was noted, and the most memory that was held at once.
fn held(source: &[u8]) -> (Flat, Vec<Note>, usize) {
    let before = MEMORY.current_usage();
    MEMORY.reset_peak_usage();
    let (drawing, _) = drawing::read(source).expect("a drawing");
    let units = Units {
        name: "in".into(),
        inches_per_unit: 1.0,
        why: "as drawn".into(),
    };
    let (flat, notes) = flatten(&drawing, &units);
    let peak = MEMORY.peak_usage() - before;
    (flat, notes, peak)
}

/// A block of `lines` lines.
fn tile(lines: usize) -> String {
    let one = |k| format!("0|LINE|8|0|10|0|20|{k}|11|1|21|{k}|");
    format!("0|BLOCK|8|0|2|B|70|0|{}0|ENDBLK|", many(lines, one))
}

fn array(columns: usize, rows: usize) -> String {
    format!("0|INSERT|8|0|2|B|10|0|20|0|70|{columns}|71|{rows}|44|9|45|9|")
}

#[test]
fn memory_is_bounded_by_the_size_of_the_drawing() {
    let vertices = many(1_000, |k| format!("10|{k}|20|{}|", k % 7));
    let polyline = format!("0|BLOCK|8|0|2|B|70|0|0|LWPOLYLINE|8|0|90|1000|70|0|{vertices}0|ENDBLK|");
    let words = "WORDS ".repeat(2_000);
    let text = format!("0|BLOCK|8|0|2|B|70|0|0|TEXT|8|0|10|0|20|0|40|3|1|{words}|0|ENDBLK|");
    let ring = many(500, |k| format!("10|{k}|20|{}|", (k * k) % 91));
    let hatch = format!(
        "0|BLOCK|8|0|2|B|70|0|0|HATCH|8|0|10|0|20|0|30|0|2|SOLID|70|1|71|0|91|1|92|2|72|0|73|1|93|500|{ring}97|0|75|0|76|1|98|0|0|ENDBLK|"
    );
    let bulges =
        "0|BLOCK|8|0|2|B|70|0|0|LWPOLYLINE|8|0|90|2|70|1|10|0|20|0|42|0.5|10|9000|20|0|42|0.5|0|ENDBLK|";
    let unequal = "0|INSERT|8|0|2|B|10|0|20|0|41|3|42|1|70|200|71|200|44|9|45|9|";
    let attributes = many(50, |k| format!("0|ATTRIB|8|0|10|0|20|0|40|1|1|R6|2|T{k}|"));
    let attributes =
        format!("0|INSERT|8|0|2|B|66|1|10|0|20|0|70|20|71|20|44|1|45|1|{attributes}0|SEQEND|8|0|");
    let inserts = |count| many(count, |k| format!("0|INSERT|8|0|2|B|10|{k}|20|0|"));
    let line = |k| format!("0|LINE|8|0|10|0|20|{k}|11|1|21|{k}|");
    // An array as large as may be drawn, and entities of several parts each, which are more items than entities.
    let corner = |x: usize, y: usize| format!("0|VERTEX|8|0|10|{x}|20|{y}|30|0|70|64|");
    let corners = many(16, |k| corner(k % 4, k / 4));
    let grid = format!("0|POLYLINE|8|0|66|1|70|16|71|4|72|4|{corners}0|SEQEND|8|0|");
    let beside_parts = format!("{}{}", array(32_767, 1), many(20, |_| grid.clone()));
    // Two arrays of which one alone may be drawn.
    let mark = "0|ATTRIB|8|0|10|0|20|0|40|1|1|R6|2|TAG|0|SEQEND|8|0|";
    let marked = format!("0|INSERT|8|0|2|B|66|1|10|0|20|0|70|32767|44|5|{mark}");
    // Each with what is left out of it.
    let cases = [
        ("lines", drawing_of("", &many(50_000, line)), None),
        (
            "points",
            drawing_of("", &many(100_000, |_| "0|POINT|8|0|10|1|20|2|".into())),
            None,
        ),
        ("inserts", drawing_of(&tile(1), &inserts(30_000)), None),
        ("in a block", drawing_of(&tile(50_000), &inserts(1)), None),
        ("sheet of tiles", drawing_of(&tile(40), &array(40, 40)), None),
        ("array", drawing_of(&tile(1), &array(200, 200)), Some("too-many")),
        ("floors", drawing_of(&tile(5_000), &inserts(10)), None),
        (
            "too many floors",
            drawing_of(&tile(5_000), &inserts(100)),
            Some("too-many"),
        ),
        (
            "polylines",
            drawing_of(&polyline, &array(100, 100)),
            Some("too-many"),
        ),
        ("texts", drawing_of(&text, &array(100, 100)), Some("too-many")),
        ("hatches", drawing_of(&hatch, &array(100, 100)), Some("too-many")),
        ("chords", drawing_of(bulges, unequal), Some("too-many")),
        ("attributes", drawing_of(&tile(1), &attributes), None),
        ("parts", drawing_of("", &beside_parts), Some("no-block")),
        (
            "attributes twice",
            drawing_of("", &marked.repeat(2)),
            Some("no-block"),
        ),
    ];
    for (name, source, left_out) in &cases {
        let (flat, notes, peak) = held(source);
        assert_eq!(flat.entities, flat.items.len() + flat.dropped, "{name}");
        let told: Vec<&str> = (notes.iter())
            .filter(|n| n.level == Level::Loss)
            .map(|n| n.code)
            .collect();
        assert_eq!(
            told.first(),
            left_out.as_ref(),
            "{name}: {} items",
            flat.items.len()
        );
        let dropped = matches!(*left_out, Some("too-many")) || *name == "attributes twice";
        assert_eq!(flat.dropped > 0, dropped, "{name}");
        let most = BASE + TIMES * source.len();
        assert!(
            peak <= most,
            "{name}: {peak} bytes for {} of drawing",
            source.len()
        );
    }
}
