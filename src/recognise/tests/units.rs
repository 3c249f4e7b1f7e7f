//! Which unit a drawing is in.

use super::has_note;
use crate::drawing::read;
use crate::note::Note;
use crate::plan::Units;
use crate::recognise::units::decide;
use crate::rules::{Rules, UnitChoice};

/// A house under construction, in inches, written out `scale` times as great and turned.
pub(super) struct House {
    scale: f64,
    turn: f64,
    entities: String,
    blocks: String,
}

impl House {
    pub(super) fn new(scale: f64, turn: f64) -> Self {
        House {
            scale,
            turn: turn.to_radians(),
            entities: String::new(),
            blocks: String::new(),
        }
    }

    fn point(&self, code: i32, x: f64, y: f64) -> String {
        let (sin, cos) = self.turn.sin_cos();
        let (x, y) = ((x * cos - y * sin) * self.scale, (x * sin + y * cos) * self.scale);
        format!("{code}\n{x}\n{}\n{y}\n", code + 10)
    }

    pub(super) fn line(&mut self, layer: &str, a: (f64, f64), b: (f64, f64)) {
        let ends = self.point(10, a.0, a.1) + &self.point(11, b.0, b.1);
        self.entities += &format!("0\nLINE\n8\n{layer}\n{ends}");
    }

    pub(super) fn door(&mut self, layer: &str, x: f64, radius: f64) {
        let from = self.turn.to_degrees();
        let arc = self.point(10, x, 0.0);
        let radius = radius * self.scale;
        self.entities += &format!(
            "0\nARC\n8\n{layer}\n{arc}40\n{radius}\n50\n{from}\n51\n{}\n",
            from + 90.0
        );
    }

    pub(super) fn text(&mut self, at: (f64, f64), height: f64, text: &str) {
        let point = self.point(10, at.0, at.1);
        let (height, turn) = (height * self.scale, self.turn.to_degrees());
        self.entities += &format!("0\nTEXT\n8\nA-ANNO\n{point}40\n{height}\n50\n{turn}\n1\n{text}\n");
    }

    pub(super) fn circle(&mut self, layer: &str, x: f64, radius: f64) {
        let at = self.point(10, x, 60.0);
        self.entities += &format!("0\nCIRCLE\n8\n{layer}\n{at}40\n{}\n", radius * self.scale);
    }

    /// A dimension of `length` inches along x that says `text`; in its block where `in_block`.
    pub(super) fn dimension(&mut self, length: f64, text: &str, in_block: bool) {
        let n = self.entities.len();
        let at = self.turn.to_degrees();
        let points = self.point(13, 0.0, 0.0) + &self.point(14, length, 7.0);
        let mut said = format!("1\n{text}\n");
        if in_block {
            said = String::new();
            self.blocks += &format!(
                "0\nBLOCK\n8\n0\n2\n*D{n}\n70\n1\n10\n0\n20\n0\n\
                 0\nMTEXT\n8\n0\n10\n0\n20\n0\n40\n6\n1\n\\A1;{text}\n0\nENDBLK\n8\n0\n"
            );
        }
        self.entities +=
            &format!("0\nDIMENSION\n8\nA-DIMS\n2\n*D{n}\n10\n0\n20\n0\n70\n32\n{said}{points}50\n{at}\n");
    }

    fn joists(&mut self, pitch: f64, thickness: f64) {
        for i in 0..12 {
            let x = f64::from(i) * pitch;
            self.line("S-JOIST", (x, 0.0), (x, 144.0));
            self.line("S-JOIST", (x + thickness, 0.0), (x + thickness, 144.0));
        }
    }

    pub(super) fn decided(&self, header: &str) -> Result<(Units, Vec<Note>), String> {
        let text = format!(
            "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n{header}0\nENDSEC\n\
             0\nSECTION\n2\nBLOCKS\n{}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{}0\nENDSEC\n0\nEOF\n",
            self.blocks, self.entities
        );
        let (drawing, _) = read(text.as_bytes()).expect("a drawing");
        decide(&drawing, &Rules::default())
    }
}

/// What the five units are called, and how many of each make an inch (25.4 mm exactly).
const SCALES: [(&str, f64); 5] = [
    ("in", 1.0),
    ("ft", 1.0 / 12.0),
    ("mm", 25.4),
    ("cm", 2.54),
    ("m", 0.0254),
];

pub(super) fn insunits(code: i32) -> String {
    format!("9\n$INSUNITS\n70\n{code}\n")
}

/// A hall with joists, doors, walls, lights and lettering.
fn hall(scale: f64, turn: f64, pitch: f64) -> House {
    let mut house = House::new(scale, turn);
    house.joists(pitch, 1.5);
    for (i, radius) in [30.0, 32.0, 36.0].into_iter().enumerate() {
        house.door("A-DOOR", 60.0 * i as f64, radius);
    }
    for y in [0.0, 160.0] {
        house.line("A-WALL", (0.0, y), (480.0, y));
    }
    for x in [40.0, 88.0, 136.0] {
        house.circle("E-LITE", x, 4.0);
    }
    house.text((50.0, 80.0), 6.0, "HALL");
    house
}

#[test]
fn the_geometry_decides_whatever_the_header_says() {
    let mut runs = 0;
    for (name, scale) in SCALES {
        for (turn, pitch) in [(0.0, 16.0), (17.0, 24.0), (90.0, 19.2), (179.95, 600.0 / 25.4)] {
            let house = hall(scale, turn, pitch);
            for header in [
                None,
                Some(0),
                Some(1),
                Some(2),
                Some(4),
                Some(5),
                Some(6),
                Some(21),
                Some(18),
            ] {
                let (units, notes) = house
                    .decided(&header.map_or(String::new(), insunits))
                    .unwrap_or_else(|e| panic!("{name}, turned {turn}, header {header:?}: {e}"));
                let found = units.name.trim_start_matches("US survey ");
                assert_eq!(found, name, "turned {turn}, header {header:?}: {}", units.why);
                let said = header.and_then(|code| match code {
                    1 => Some("in"),
                    2 | 21 => Some("ft"),
                    4 => Some("mm"),
                    5 => Some("cm"),
                    6 => Some("m"),
                    _ => None,
                });
                let lies = said.is_some_and(|said| said != name);
                assert_eq!(has_note(&notes, "units-by-evidence"), lies, "{notes:?}");
                runs += 1;
            }
        }
    }
    assert_eq!(runs, 5 * 4 * 9);
}

/// One kind of evidence by itself, in each unit, without a header.
pub(super) fn alone(draw: impl Fn(&mut House), words: &str) {
    for (name, scale) in SCALES {
        let mut house = House::new(scale, 30.0);
        draw(&mut house);
        let (units, _) = house.decided("").unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(units.name, name, "{}", units.why);
        assert!(units.why.contains(words), "{}", units.why);
    }
}

#[test]
fn written_lengths_decide_by_themselves() {
    // 13'-4" is 160 in, 4060 mm are 159.84 in: both written over what is drawn.
    alone(
        |h| {
            h.dimension(160.0, "13'-4\"", false);
            h.dimension(37.0, "3'-1\" CLR", false);
        },
        "dimensions such as 13'-4\" over",
    );
    alone(
        |h| h.dimension(160.0, "13'-4\"", true),
        "dimensions such as 13'-4\" over",
    );
    alone(
        |h| h.dimension(4060.0 / 25.4, "4060mm", false),
        "dimensions such as 4060mm over",
    );
}

#[test]
fn a_bare_number_tells_the_unit_where_it_is_not_the_drawings_own() {
    for (name, scale) in SCALES {
        let mut house = House::new(scale, 0.0);
        house.dimension(4060.0 / 25.4, "4060", false);
        match (name, house.decided("")) {
            // The number of the drawing itself: it may be anything.
            ("mm", decided) => assert!(decided.expect_err("no evidence").contains("--units")),
            (_, decided) => assert_eq!(decided.expect("4060 mm").0.name, name),
        }
    }
}

#[test]
fn sizes_in_rooms_decide_by_themselves() {
    alone(
        |h| {
            for room in 0..3 {
                let (x, w, d) = (f64::from(room) * 200.0, 164.0, 168.0);
                for (a, b) in [
                    ((0.0, 0.0), (w, 0.0)),
                    ((w, 0.0), (w, d)),
                    ((w, d), (0.0, d)),
                    ((0.0, d), (0.0, 0.0)),
                ] {
                    h.line("A-WALL", (x + a.0, a.1), (x + b.0, b.1));
                }
                h.text((x + 60.0, 80.0), 2.0, "13'8 x 14'");
            }
        },
        "a room marked 13'8 x 14' drawn",
    );
}

#[test]
fn lumber_decides_by_itself() {
    for (pitch, thickness) in [
        (16.0, 1.5),
        (19.2, 1.75),
        (24.0, 3.0),
        (400.0 / 25.4, 38.0 / 25.4),
        (600.0 / 25.4, 45.0 / 25.4),
    ] {
        alone(|h| h.joists(pitch, thickness), "members");
    }
}

#[test]
fn doors_decide_by_themselves() {
    alone(
        |h| {
            for (i, radius) in [24.0, 32.0, 915.0 / 25.4].into_iter().enumerate() {
                h.door("A-DOOR", 60.0 * i as f64, radius);
            }
        },
        "doors",
    );
}

#[test]
fn weak_evidence_neither_decides_nor_overrules_the_header() {
    // A house's outline, lettering and lights that fit inches, and nothing of a size that is known better.
    let mut house = House::new(1.0, 0.0);
    for y in [0.0, 200.0] {
        house.line("A-WALL", (0.0, y), (480.0, y));
    }
    for x in [0.0, 160.0, 480.0] {
        house.line("A-WALL", (x, 0.0), (x, 200.0));
        house.text((x, 50.0), 6.0, "HALL");
        house.circle("E-LITE", x + 60.0, 4.0);
    }
    assert!(house.decided("").expect_err("weak alone").contains("--units"));
    let mut house = House::new(1.0, 0.0);
    house.text((0.0, 0.0), 6.0, "HALL");
    let (units, notes) = house.decided(&insunits(4)).expect("the header stands");
    assert_eq!((units.name.as_str(), notes.len()), ("mm", 0));
}

#[test]
fn where_the_header_and_the_geometry_tie_the_plan_is_refused() {
    let mut house = House::new(1.0, 0.0);
    for x in [0.0, 60.0, 120.0] {
        house.door("A-DOOR", x, 32.0);
    }
    let error = house
        .decided(&insunits(4))
        .expect_err("doors of 32 against millimetres");
    for part in [
        "says mm",
        "looks like in",
        "doors 32 wide",
        "--units in, ft, mm, cm or m",
    ] {
        assert!(error.contains(part), "{error}");
    }
}

#[test]
fn two_units_in_one_drawing_that_weigh_the_same_are_refused() {
    let mut house = House::new(1.0, 0.0);
    house.dimension(360.0, "30'-0\"", false);
    house.dimension(360.0, "360mm", false);
    assert!(house.decided("").expect_err("divided").contains("--units"));
}

#[test]
fn a_block_in_another_unit_is_noted() {
    // A plan in millimetres with a reference drawn in inches.
    let mut house = hall(25.4, 0.0, 16.0);
    house.blocks += "0\nBLOCK\n8\n0\n2\nCASEWORK\n70\n0\n10\n0\n20\n0\n\
                     0\nLINE\n8\n0\n10\n0\n20\n0\n11\n24\n21\n0\n0\nENDBLK\n8\n0\n";
    house.entities += "0\nINSERT\n8\n0\n2\nCASEWORK\n10\n0\n20\n0\n41\n25.4\n42\n25.4\n43\n25.4\n";
    let (units, notes) = house.decided("").expect("millimetres");
    assert_eq!(units.name, "mm");
    assert!(has_note(&notes, "units-mixed"), "{notes:?}");
    assert!(!has_note(
        &hall(25.4, 0.0, 16.0).decided("").expect("mm").1,
        "units-mixed"
    ));
}

/// A hall in inches, and a block of 48 marks over 30 units inserted at a scale; the tables with the block's own unit.
fn with_reference(unit: i32, scale: f64, nested: bool) -> (House, String) {
    let mut house = hall(1.0, 0.0, 16.0);
    if nested {
        house.blocks += "0\nBLOCK\n8\n0\n2\nRL\n70\n0\n10\n0\n20\n0\n0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n0.25\n0\nENDBLK\n8\n0\n";
    }
    house.blocks += "0\nBLOCK\n8\n0\n2\nE-RCP\n70\n0\n10\n0\n20\n0\n";
    for k in 0..if nested { 8 } else { 48 } {
        let (x, y) = (30.0 * f64::from(k % 8) / 7.0, 3.0 * f64::from(k / 8));
        house.blocks += &match nested {
            true => format!("0\nINSERT\n8\nE-LITE\n2\nRL\n10\n{x}\n20\n{y}\n"),
            false => format!("0\nCIRCLE\n8\nE-LITE\n10\n{x}\n20\n{y}\n40\n0.25\n"),
        };
    }
    house.blocks += "0\nENDBLK\n8\n0\n";
    house.entities +=
        &format!("0\nINSERT\n8\n0\n2\nE-RCP\n10\n0\n20\n0\n41\n{scale}\n42\n{scale}\n43\n{scale}\n");
    let tables = format!(
        "0\nENDSEC\n0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nBLOCK_RECORD\n70\n1\n\
         0\nBLOCK_RECORD\n2\nE-RCP\n70\n{unit}\n0\nENDTAB\n"
    );
    (house, tables)
}

#[test]
fn a_reference_in_its_own_unit_that_is_not_scaled_is_told_of() {
    // 30 ft across in feet, and 30 in here; as many circles as a plan has, or a few symbols of a symbol's size in feet.
    let cases = [(2, 1.0, true), (2, 12.0, false), (1, 1.0, false), (0, 1.0, false)];
    for ((unit, scale, told), nested) in cases.into_iter().flat_map(|c| [(c, false), (c, true)]) {
        let (house, tables) = with_reference(unit, scale, nested);
        let (units, notes) = house.decided(&(insunits(1) + &tables)).expect("inches");
        assert_eq!(units.name, "in");
        let note = notes
            .iter()
            .find(|n| n.code == "units-mixed" && n.message.contains("insert it at 12"));
        assert_eq!(note.is_some(), told, "{unit} {scale}: {notes:?}");
    }
}

/// Two rooms of 144 by 160 in with names, layers called by numbers; lines across them from wall to wall.
fn unnamed(scale: f64, lines: &[f64]) -> House {
    let mut house = House::new(scale, 12.0);
    for (low, name) in [(0.0, "KITCHEN"), (166.0, "BEDROOM 2")] {
        let high = low + 160.0;
        for (a, b) in [
            ((0.0, low), (144.0, low)),
            ((144.0, low), (144.0, high)),
            ((144.0, high), (0.0, high)),
            ((0.0, high), (0.0, low)),
        ] {
            house.line("4", a, b);
        }
        for &x in lines {
            house.line("2", (x, low), (x, high));
        }
        house.text((50.0, low + 80.0), 6.0, name);
    }
    house
}

#[test]
fn joists_on_a_layer_without_a_telling_name_decide_by_themselves_and_against_the_header() {
    let faces: Vec<f64> = (0..8)
        .flat_map(|i| {
            let x = 8.0 + 16.0 * f64::from(i);
            [x, x + 1.5]
        })
        .collect();
    for (name, scale) in SCALES {
        let house = unnamed(scale, &faces);
        for (header, said) in [("", "none"), (&*insunits(1), "in"), (&*insunits(4), "mm")] {
            let (units, notes) = (house.decided(header)).unwrap_or_else(|e| panic!("{name}, {header}: {e}"));
            assert_eq!(units.name, name, "{}", units.why);
            let lies = said != "none" && said != name;
            assert_eq!(has_note(&notes, "units-by-evidence"), lies, "{notes:?}");
            assert!(units.why.contains("on 2: "), "{}", units.why);
        }
    }
}

#[test]
fn boards_that_lie_at_a_joists_pitch_in_another_unit_are_asked_about() {
    // Boards 120 mm wide in a plan in centimetres: 12 units apart, as joists in inches are.
    let boards: Vec<f64> = (1..30).map(|i| f64::from(i) * 12.0 / 2.54).collect();
    let error = unnamed(2.54, &boards).decided("").expect_err("either");
    assert!(error.contains("--units"), "{error}");
}

#[test]
fn numbers_that_are_none_decide_nothing_and_stop_nothing() {
    for bad in [f64::NAN, f64::INFINITY, 0.0, 1e300, 1e-300] {
        let house = hall(bad, 0.0, 16.0);
        assert!(
            house.decided("").expect_err("no size").contains("--units"),
            "{bad}"
        );
        assert_eq!(house.decided(&insunits(1)).expect("the header").0.name, "in");
    }
}

fn of(header: &str, choice: UnitChoice) -> Result<Units, String> {
    let text = format!(
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n{header}0\nENDSEC\n\
         0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"
    );
    let (drawing, _) = read(text.as_bytes()).expect("a drawing");
    let rules = Rules {
        units: choice,
        ..Rules::default()
    };
    decide(&drawing, &rules).map(|(units, _)| units)
}

#[test]
fn the_header_tells_the_unit() {
    // Codes from the DXF reference (check values F); 25.4 mm to the inch exactly.
    for (code, name, inches) in [
        (1, "in", 1.0),
        (2, "ft", 12.0),
        (4, "mm", 1.0 / 25.4),
        (5, "cm", 1.0 / 2.54),
        (6, "m", 1000.0 / 25.4),
        (14, "dm", 100.0 / 25.4),
        (21, "US survey ft", 12.000024),
    ] {
        let units = of(&format!("9\n$INSUNITS\n70\n   {code}\n"), UnitChoice::Auto).expect(name);
        assert_eq!(units.name, name);
        assert!(
            (units.inches_per_unit - inches).abs() < 1e-9 * inches,
            "{units:?}"
        );
        assert!(units.why.contains("$INSUNITS"), "{}", units.why);
    }
}

#[test]
fn the_choice_overrides_the_header() {
    let units = of("9\n$INSUNITS\n70\n4\n", UnitChoice::In).expect("chosen");
    assert_eq!((units.name.as_str(), units.inches_per_unit), ("in", 1.0));
    assert_eq!(
        of("", UnitChoice::Mm).expect("chosen").inches_per_unit,
        1.0 / 25.4
    );
}

#[test]
fn without_a_unit_the_plan_is_refused() {
    for header in [
        "",
        "9\n$INSUNITS\n70\n0\n",
        "9\n$INSUNITS\n70\n18\n",
        "9\n$INSUNITS\n70\n99\n",
    ] {
        let error = of(header, UnitChoice::Auto).expect_err("no unit");
        assert!(error.contains("--units"), "{error}");
    }
}

/// In feet: joists with middle lines at 12 in, and double doors of 2'-6" whose leaves are 15 in each. Half the lumber and half the doors
/// would be those of a house twice as small.
#[test]
fn middle_lines_and_double_doors_leave_a_drawing_in_its_unit() {
    let mut house = House::new(1.0 / 12.0, 0.0);
    for i in 0..24 {
        let x = 12.0 * f64::from(i);
        for x in [x, x + 0.75, x + 1.5] {
            house.line("S-JOIST", (x, 0.0), (x, 300.0));
        }
    }
    for x in [30.0, 130.0, 230.0] {
        house.door("A-DOOR", x, 15.0);
        // Its other leaf, hinged at the other jamb, opens the other way round.
        let (center, radius) = (house.point(10, x + 30.0, 0.0), 15.0 / 12.0);
        house.entities += &format!("0\nARC\n8\nA-DOOR\n{center}40\n{radius}\n50\n90\n51\n180\n");
    }
    // A header of feet, as it was, and none.
    for header in [insunits(2), String::new()] {
        let (units, _) = house.decided(&header).expect("feet");
        assert_eq!(units.name, "ft", "{}", units.why);
    }
}
