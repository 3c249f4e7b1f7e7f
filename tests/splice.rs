//! Redlines as DXF: the source's bytes all kept, new layers and entities where they belong, in every
//! version, format and state of damage.

use std::collections::BTreeSet;

use bayline::drawing::{self, Drawing, Format, Shape, Version, mend};
use bayline::sheet::{Layer, Mark, MarkShape, Panel, Sheet, Style};
use bayline::write::dxf::{Spliced, redline, unsplice};
use dxf::enums::AcadVersion;
use geo::Coord;

const VERSIONS: [AcadVersion; 9] = [
    AcadVersion::R12,
    AcadVersion::R13,
    AcadVersion::R14,
    AcadVersion::R2000,
    AcadVersion::R2004,
    AcadVersion::R2007,
    AcadVersion::R2010,
    AcadVersion::R2013,
    AcadVersion::R2018,
];

/// R12 as small as it goes: one line, no header, no tables, no handles.
const BARE: &str =
    "0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nWALL\n10\n0\n20\n0\n11\n8\n21\n0\n0\nENDSEC\n0\nEOF\n";

fn c(x: f64, y: f64) -> Coord {
    Coord { x, y }
}

fn mark(layer: Layer, shape: MarkShape) -> Mark {
    Mark {
        layer,
        shape,
        of: None,
        style: Style::Plain,
    }
}

fn text(text: &str, centred: bool) -> MarkShape {
    MarkShape::Text {
        at: c(1.0, 2.0),
        height: 4.0,
        angle: 30.0,
        centred,
        text: text.into(),
    }
}

/// One of each mark; nine entities in all, on seven layers.
fn sheet() -> Sheet {
    let corners = vec![c(0.0, 0.0), c(10.0, 0.0), c(10.0, 10.1)];
    let path = |points, closed| MarkShape::Path {
        points,
        closed,
        filled: false,
    };
    let circle = |radius| MarkShape::Circle {
        center: c(5.0, 5.0),
        radius,
        filled: false,
    };
    let arrow = MarkShape::Arrow {
        from: c(0.0, 0.0),
        to: c(12.0, 0.0),
        head: 2.0,
    };
    Sheet {
        title: "plan".into(),
        bounds: (c(0.0, 0.0), c(100.0, 100.0)),
        plan: vec![
            mark(Layer::Architect, circle(1.0)),
            mark(Layer::Room, path(corners.clone(), true)),
            mark(Layer::Blocking, path(corners, false)),
            mark(Layer::Member, path(vec![c(0.0, 0.0), c(1.0 / 3.0, 0.0)], false)),
            mark(Layer::Light, circle(3.0)),
            mark(Layer::Must, arrow),
            mark(Layer::Label, text("K\u{fc}che m\u{b2}, 6\" \u{3a9}", true)),
            mark(Layer::Note, text("x^2", false)),
        ],
        panel: Panel::default(),
    }
}

const MARKS: usize = 9;

/// A drawing with a layer, a block and a line, as CAD programs write it.
fn source(version: AcadVersion, binary: bool) -> Vec<u8> {
    use dxf::entities::*;
    let mut drawing = dxf::Drawing::new();
    drawing.header.version = version;
    let mut block = dxf::Block {
        name: "CAN6".into(),
        ..Default::default()
    };
    block.entities.push(Entity::new(EntityType::Circle(Circle {
        radius: 3.0,
        ..Default::default()
    })));
    drawing.add_block(block);
    let insert = Insert {
        name: "CAN6".into(),
        ..Default::default()
    };
    drawing.add_entity(Entity::new(EntityType::Insert(insert)));
    let line = Line::new(dxf::Point::origin(), dxf::Point::new(100.0, 0.0, 0.0));
    drawing.add_entity(Entity::new(EntityType::Line(line)));
    drawing.normalize();
    let mut out = Vec::new();
    if binary {
        drawing.save_binary(&mut out).unwrap();
    } else {
        drawing.save(&mut out).unwrap();
    }
    mend(&out).unwrap()
}

fn spliced(source: &[u8], unit: f64) -> Spliced {
    let (drawing, _) = drawing::read(source).unwrap();
    let spliced = redline(&drawing, &sheet(), unit);
    assert!(unsplice(&spliced) == source, "the source does not come back");
    spliced
}

/// The marks as they are read again: (layer, shape), with names of layers.
fn marks<'a>(drawing: &Drawing<'a>) -> Vec<(String, Shape<'a>)> {
    let all = drawing.entities.iter().map(|e| drawing.entity(e).0);
    all.filter(|e| e.layer.starts_with("E-ANNO-REDL-"))
        .map(|e| (e.layer.into_owned(), e.shape))
        .collect()
}

fn handles(drawing: &Drawing<'_>) -> Vec<u64> {
    let all = drawing.entities.iter().map(|e| drawing.entity(e).0);
    all.filter_map(|e| u64::from_str_radix(e.handle?.trim(), 16).ok())
        .collect()
}

#[test]
fn every_version_and_format() {
    for version in VERSIONS {
        for binary in [false, true] {
            let source = source(version, binary);
            let (before, _) = drawing::read(&source).unwrap();
            let spliced = spliced(&source, 1.0);
            assert_eq!(spliced.notes, [], "{version:?}");
            let (after, notes) = drawing::read(&spliced.bytes).unwrap();
            assert_eq!(notes, [], "{version:?}");
            assert_eq!((after.format, after.version), (before.format, before.version));
            assert_eq!(after.entities.len(), before.entities.len() + MARKS, "{version:?}");
            assert_eq!(marks(&after).len(), MARKS, "{version:?}");
            // Layers: one for each kind of mark that was there, none for the architect's.
            let new: Vec<&str> = after
                .layers
                .iter()
                .skip(before.layers.len())
                .map(|l| l.name.as_str())
                .collect();
            let want =
                ["ROOM", "MEMB", "LITE", "MUST", "NOTE", "BLKG", "TEXT"].map(|n| format!("E-ANNO-REDL-{n}"));
            assert_eq!(new, want, "{version:?}");
            assert!(after.layers.iter().all(|l| !l.off && !l.frozen && l.color != 0));
            // Handles: each once, the new ones above every old one and below the seed.
            let old = before.structure.greatest_handle;
            let all = handles(&after);
            assert_eq!(
                all.iter().collect::<BTreeSet<_>>().len(),
                all.len(),
                "{version:?}"
            );
            assert_eq!(all.iter().filter(|h| **h > old).count(), MARKS, "{version:?}");
            assert!(
                after.structure.hand_seed.unwrap() > after.structure.greatest_handle,
                "{version:?}"
            );
        }
    }
}

#[test]
fn marks_lie_where_the_sheet_has_them_in_drawing_units() {
    // 1 m = 39.37 in by the US survey foot; any unit must do.
    let unit = 39.37;
    for version in [AcadVersion::R12, AcadVersion::R13, AcadVersion::R2018] {
        for binary in [false, true] {
            let spliced = spliced(&source(version, binary), unit);
            let (after, _) = drawing::read(&spliced.bytes).unwrap();
            let marks = marks(&after);
            let on = |layer: &str| -> Vec<&Shape<'_>> {
                let layer = format!("E-ANNO-REDL-{layer}");
                marks
                    .iter()
                    .filter(|(l, _)| *l == layer)
                    .map(|(_, s)| s)
                    .collect()
            };
            let third = 1.0 / 3.0 / unit;
            let line = Shape::Line {
                from: [0.0, 0.0, 0.0],
                to: [third, 0.0, 0.0],
            };
            assert_eq!(on("MEMB"), [&line], "to the last bit");
            let circle = Shape::Circle {
                center: [5.0 / unit, 5.0 / unit, 0.0],
                radius: 3.0 / unit,
            };
            assert_eq!(on("LITE"), [&circle]);
            for (layer, ring) in [("ROOM", true), ("BLKG", false)] {
                let [Shape::Polyline { vertices, closed, .. }] = on(layer)[..] else {
                    panic!("{layer} is no polyline")
                };
                let at: Vec<[f64; 3]> = vertices.iter().map(|v| v.at).collect();
                assert_eq!(
                    at,
                    [[0.0; 3], [10.0 / unit, 0.0, 0.0], [10.0 / unit, 10.1 / unit, 0.0]]
                );
                assert_eq!(*closed, ring);
            }
            let [
                Shape::Text {
                    text,
                    align,
                    halign,
                    valign,
                    height,
                    angle,
                    ..
                },
            ] = on("TEXT")[..]
            else {
                panic!("no text")
            };
            assert_eq!(text, "K\u{fc}che m\u{b2}, 6\" \u{3a9}");
            assert_eq!((*height, *angle), (4.0 / unit, 30.0));
            assert_eq!(
                (*align, *halign, *valign),
                (Some([1.0 / unit, 2.0 / unit, 0.0]), 1, 2)
            );
            let [
                Shape::Text {
                    text, halign, valign, ..
                },
            ] = on("NOTE")[..]
            else {
                panic!("no note")
            };
            assert_eq!((text.as_ref(), *halign, *valign), ("x^2", 0, 0));
            // An arrow: its shaft, and two strokes of the head's length that end at its tip.
            let arrow = on("MUST");
            assert_eq!(arrow.len(), 3);
            for (stroke, length) in arrow.iter().zip([12.0, 2.0, 2.0]) {
                let Shape::Line { from, to } = stroke else {
                    panic!("no line")
                };
                assert_eq!(*to, [12.0 / unit, 0.0, 0.0]);
                let own = (to[0] - from[0]).hypot(to[1] - from[1]) * unit;
                assert!((own - length).abs() < 1e-12, "{own}");
            }
        }
    }
}

#[test]
fn line_ends_are_the_sources_own() {
    let lf = String::from_utf8(source(AcadVersion::R2000, false))
        .unwrap()
        .replace('\r', "");
    for newline in ["\n", "\r\n", "\r", "\r\r\n"] {
        for text in [lf.as_str(), BARE] {
            let source = text.replace('\n', newline);
            let spliced = spliced(source.as_bytes(), 1.0);
            let (after, _) = drawing::read(&spliced.bytes).unwrap();
            assert_eq!(after.format, Format::Ascii { newline });
            assert_eq!(marks(&after).len(), MARKS);
            let text = String::from_utf8_lossy(&spliced.bytes);
            let lines = text.split(newline).count();
            assert_eq!(
                text.replace(newline, "\n").split('\n').count(),
                lines,
                "{newline:?}"
            );
            assert!(!text.replace(newline, "").contains(['\r', '\n']), "{newline:?}");
        }
    }
}

#[test]
fn a_source_without_handles_gets_none() {
    let spliced = spliced(BARE.as_bytes(), 1.0);
    let (after, _) = drawing::read(&spliced.bytes).unwrap();
    assert_eq!(after.version, Version::R12);
    assert!(handles(&after).is_empty());
    assert_eq!(after.layers.len(), 7);
    assert_eq!(marks(&after).len(), MARKS);
    assert!(spliced.replaced.is_empty());
    let text = String::from_utf8(spliced.bytes).unwrap();
    assert!(
        !text.contains("AcDb") && !text.contains("LWPOLYLINE"),
        "R12 knows neither"
    );
}

#[test]
fn tables_or_entities_may_be_missing() {
    let full = String::from_utf8(source(AcadVersion::R2004, false)).unwrap();
    let cut = |text: &str, from: &str, to: &str| {
        let start = text.find(from).unwrap_or_else(|| panic!("{from}"));
        let end = start + text[start..].find(to).unwrap() + to.len();
        format!("{}{}", &text[..start], &text[end..])
    };
    let section = |name: &str| {
        let end = "  0\r\nENDSEC\r\n";
        cut(&full, &format!("  0\r\nSECTION\r\n  2\r\n{name}\r\n"), end)
    };
    let table = cut(&full, "  0\r\nTABLE\r\n  2\r\nLAYER\r\n", "  0\r\nENDTAB\r\n");
    let bare_entities = BARE.replace("0\nLINE\n8\nWALL\n10\n0\n20\n0\n11\n8\n21\n0\n", "");
    let open = BARE.replace("0\nENDSEC\n", "");
    let header_only = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n0\nENDSEC\n0\nEOF\n".to_string();
    for source in [
        section("TABLES"),
        section("ENTITIES"),
        section("OBJECTS"),
        section("HEADER"),
        table,
        bare_entities,
        open,
        header_only,
    ] {
        let spliced = spliced(source.as_bytes(), 1.0);
        let (after, _) = drawing::read(&spliced.bytes).unwrap();
        assert_eq!(marks(&after).len(), MARKS, "{source:.200}");
        assert!(
            after.layers.iter().any(|l| l.name == "E-ANNO-REDL-MUST"),
            "{source:.200}"
        );
        assert!(after.structure.complete);
        let names: Vec<&String> = after.structure.sections.iter().map(|(n, _)| n).collect();
        let once: BTreeSet<&&String> = names.iter().collect();
        assert_eq!(once.len(), names.len(), "{names:?}");
    }
}

/// Wherever a source is cut: it comes back, the marks are all read again, and what could be
/// read before can be read after.
#[test]
fn cut_anywhere() {
    let sources = [
        BARE.as_bytes().to_vec(),
        BARE.replace('\n', "\r\n").into_bytes(),
        source(AcadVersion::R12, true),
        source(AcadVersion::R2000, true),
        source(AcadVersion::R2000, false),
    ];
    let mut tried = 0;
    for source in sources {
        let step = (source.len() / 150).max(1);
        for end in (0..source.len())
            .rev()
            .take(400)
            .chain((0..source.len()).step_by(step))
        {
            let cut = &source[..end];
            let Ok((before, _)) = drawing::read(cut) else {
                continue;
            };
            let spliced = spliced(cut, 1.0);
            let (after, _) = drawing::read(&spliced.bytes).unwrap();
            assert_eq!(marks(&after).len(), MARKS, "cut at {end} of {}", source.len());
            assert!(after.structure.complete, "cut at {end} of {}", source.len());
            let shown = |d: &Drawing<'_>| -> BTreeSet<String> {
                d.entities
                    .iter()
                    .map(|e| format!("{:?}", d.entity(e).0.shape))
                    .collect()
            };
            assert!(
                shown(&before).is_subset(&shown(&after)),
                "cut at {end} of {}",
                source.len()
            );
            tried += 1;
        }
    }
    assert!(tried > 1000, "{tried}");
}

#[test]
fn a_source_without_its_end_is_closed_and_said_so() {
    let source = BARE.trim_end_matches("0\nEOF\n");
    let (drawing, _) = drawing::read(source.as_bytes()).unwrap();
    let spliced = redline(&drawing, &sheet(), 1.0);
    assert_eq!(unsplice(&spliced), source.as_bytes());
    let codes: Vec<&str> = spliced.notes.iter().map(|n| n.code).collect();
    assert_eq!(codes, ["redline-closed"]);
    assert!(spliced.bytes.ends_with(b"  0\nEOF\n"));
}

#[test]
fn trash_after_the_end_stays_behind_it() {
    let source = format!("{BARE}some words\nand more\n");
    let spliced = spliced(source.as_bytes(), 1.0);
    assert!(spliced.bytes.ends_with(b"0\nEOF\nsome words\nand more\n"));
    assert_eq!(marks(&drawing::read(&spliced.bytes).unwrap().0).len(), MARKS);
}

#[test]
fn redlined_twice_keeps_both() {
    for binary in [false, true] {
        let first = spliced(&source(AcadVersion::R2010, binary), 1.0);
        let second = spliced(&first.bytes, 1.0);
        let codes: Vec<&str> = second.notes.iter().map(|n| n.code).collect();
        assert_eq!(codes, ["redlined-before"]);
        let (after, notes) = drawing::read(&second.bytes).unwrap();
        assert_eq!(notes, []);
        let marks = marks(&after);
        assert_eq!(marks.len(), 2 * MARKS);
        assert_eq!(marks.iter().filter(|(l, _)| l.ends_with("-2")).count(), MARKS);
        let third = spliced(&second.bytes, 1.0);
        let (after, _) = drawing::read(&third.bytes).unwrap();
        assert!(after.layers.iter().any(|l| l.name == "E-ANNO-REDL-MUST-3"));
    }
}

#[test]
fn only_seed_and_count_change_in_place() {
    let source = source(AcadVersion::R2018, false);
    let spliced = spliced(&source, 1.0);
    let (before, _) = drawing::read(&source).unwrap();
    let new: Vec<&[u8]> = spliced
        .replaced
        .iter()
        .map(|(r, _)| &spliced.bytes[r.clone()])
        .collect();
    let seed = drawing::read(&spliced.bytes)
        .unwrap()
        .0
        .structure
        .hand_seed
        .unwrap();
    let count = (before.layers.len() + 7).to_string();
    assert_eq!(new, [format!("{seed:X}").as_bytes(), count.as_bytes()]);
    let added: usize = spliced.added.iter().map(|r| r.len()).sum();
    let grown: usize = spliced.replaced.iter().map(|(r, old)| r.len() - old.len()).sum();
    assert_eq!(spliced.bytes.len(), source.len() + added + grown);
}

#[test]
fn text_is_in_the_sources_code_page() {
    let header = |page: &str| {
        format!(
            "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$DWGCODEPAGE\n3\n{page}\n0\nENDSEC\n{BARE}"
        )
    };
    // Windows-1252: u umlaut FC, superscript two B2. Code page 850: 81 and FD. Source: Unicode
    // consortium's mapping tables, from memory.
    for (page, want) in [
        ("ANSI_1252", b"K\xFCche m\xB2, 6\" \\U+03A9"),
        ("dos850", b"K\x81che m\xFD, 6\" \\U+03A9"),
    ] {
        let spliced = spliced(header(page).as_bytes(), 1.0);
        assert!(spliced.bytes.windows(want.len()).any(|w| w == want), "{page}");
    }
    // Where none is named, a reader may take any.
    assert!(spliced(BARE.as_bytes(), 1.0).bytes.is_ascii());
    for binary in [false, true] {
        let utf8 = spliced(&source(AcadVersion::R2007, binary), 1.0);
        let want = "K\u{fc}che m\u{b2}, 6\" \u{3a9}".as_bytes();
        assert!(utf8.bytes.windows(want.len()).any(|w| w == want));
    }
}

#[test]
fn marks_without_a_place_are_told_and_left_out() {
    let (drawing, _) = drawing::read(BARE.as_bytes()).unwrap();
    let mut sheet = sheet();
    let circle = |x, radius| MarkShape::Circle {
        center: c(x, 0.0),
        radius,
        filled: false,
    };
    sheet.plan = vec![
        mark(Layer::Must, circle(f64::NAN, 1.0)),
        mark(Layer::Must, circle(0.0, f64::INFINITY)),
        mark(Layer::Light, circle(0.0, 1.0)),
    ];
    let spliced = redline(&drawing, &sheet, 1.0);
    assert_eq!(spliced.notes.len(), 1);
    assert_eq!(spliced.notes[0].code, "redline-place");
    let (after, _) = drawing::read(&spliced.bytes).unwrap();
    assert_eq!(marks(&after).len(), 1);
    assert_eq!(after.layers.len(), 1, "a layer without marks is not made");
    for unit in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let spliced = redline(&drawing, &sheet, unit);
        assert_eq!(spliced.bytes, BARE.as_bytes());
        assert_eq!(spliced.notes[0].code, "redline-units");
    }
    sheet.plan.clear();
    assert_eq!(redline(&drawing, &sheet, 1.0).bytes, BARE.as_bytes());
}
