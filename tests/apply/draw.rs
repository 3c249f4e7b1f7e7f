//! Small plans with one light off its row, its symbol drawn in many ways; and the program to run on them.

use std::fmt::Write;

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

/// A hall 20 ft by 5 ft with joists 16 in on centre, faces and all, in a drawing of its own.
pub struct Draw {
    blocks: String,
    entities: String,
    handle: u32,
}

/// Where an INSERT puts its block: scale along x and y, degrees, insertion point; then mirrored by its extrusion.
#[derive(Clone, Copy)]
pub struct Put {
    pub scale: (f64, f64),
    pub turn: f64,
    pub at: (f64, f64),
    pub below: bool,
}

impl Put {
    /// What a point of the space around is in the block.
    pub fn inside(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let x = if self.below { -x } else { x };
        let (sin, cos) = self.turn.to_radians().sin_cos();
        let (dx, dy) = (x - self.at.0, y - self.at.1);
        (
            (dx * cos + dy * sin) / self.scale.0,
            (dy * cos - dx * sin) / self.scale.1,
        )
    }
}

impl Draw {
    pub fn hall() -> Draw {
        let mut d = Draw {
            blocks: String::new(),
            entities: String::new(),
            handle: 0x100,
        };
        let ring = [(0.0, 0.0), (240.0, 0.0), (240.0, 60.0), (0.0, 60.0)];
        let points: String = ring.iter().map(|(x, y)| format!("10\n{x}\n20\n{y}\n")).collect();
        d.add(
            "LWPOLYLINE",
            "A-AREA",
            &format!("100\nAcDbPolyline\n90\n4\n70\n1\n{points}"),
        );
        for i in 0..=15 {
            for face in [-0.75, 0.75] {
                let x = f64::from(i) * 16.0 + face;
                d.line("S-JOIS", (x, 0.0), (x, 60.0));
            }
        }
        d
    }

    fn record(&mut self, name: &str, layer: &str, rest: &str) -> String {
        self.handle += 1;
        format!(
            "  0\n{name}\n  5\n{:X}\n100\nAcDbEntity\n  8\n{layer}\n{rest}",
            self.handle
        )
    }

    /// An entity of model space.
    pub fn add(&mut self, name: &str, layer: &str, rest: &str) {
        let record = self.record(name, layer, rest);
        self.entities += &record;
    }

    pub fn line(&mut self, layer: &str, a: (f64, f64), b: (f64, f64)) {
        let rest = format!(
            "100\nAcDbLine\n10\n{}\n20\n{}\n30\n0\n11\n{}\n21\n{}\n31\n0\n",
            a.0, a.1, b.0, b.1
        );
        self.add("LINE", layer, &rest);
    }

    pub fn circle(at: (f64, f64), radius: f64) -> String {
        format!(
            "100\nAcDbCircle\n10\n{}\n20\n{}\n30\n0.0\n40\n{radius}\n",
            at.0, at.1
        )
    }

    pub fn text(at: (f64, f64), text: &str) -> String {
        format!(
            "100\nAcDbText\n10\n{}\n20\n{}\n30\n0.0\n40\n3.0\n1\n{text}\n72\n1\n11\n{}\n21\n{}\n31\n0.0\n100\nAcDbText\n73\n2\n",
            at.0 - 2.0,
            at.1 - 1.5,
            at.0,
            at.1
        )
    }

    /// An INSERT as a record, not yet in any space.
    pub fn insert(&mut self, block: &str, layer: &str, put: Put, more: &str) -> String {
        let mut rest = format!(
            "100\nAcDbBlockReference\n2\n{block}\n10\n{}\n20\n{}\n30\n0.0\n41\n{}\n42\n{}\n43\n1.0\n50\n{}\n{more}",
            put.at.0, put.at.1, put.scale.0, put.scale.1, put.turn
        );
        if put.below {
            rest += "210\n0.0\n220\n0.0\n230\n-1.0\n";
        }
        self.record("INSERT", layer, &rest)
    }

    /// A light's symbol at a point: INSERT of LT-R6, of radius 4 about a point off its base.
    pub fn light(&mut self, at: (f64, f64)) -> String {
        let put = Put {
            scale: (1.0, 1.0),
            turn: 0.0,
            at: (at.0 - 1.0, at.1 - 2.0),
            below: false,
        };
        self.insert("LT-R6", "E-LITE", put, "")
    }

    pub fn put(&mut self, records: &str) {
        self.entities += records;
    }

    /// A block of these records.
    pub fn block(&mut self, name: &str, records: &str) {
        let begin = self.record(
            "BLOCK",
            "0",
            &format!("100\nAcDbBlockBegin\n2\n{name}\n70\n0\n10\n0.0\n20\n0.0\n30\n0.0\n3\n{name}\n1\n\n"),
        );
        let end = self.record("ENDBLK", "0", "100\nAcDbBlockEnd\n");
        let _ = write!(self.blocks, "{begin}{records}{end}");
    }

    /// The block of a light's symbol, its centre at (1, 2).
    pub fn symbol(&mut self) {
        let circle = self.record("CIRCLE", "0", &Draw::circle((1.0, 2.0), 4.0));
        self.block("LT-R6", &circle);
    }

    pub fn done(&self) -> String {
        format!(
            "  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1015\n  9\n$INSUNITS\n 70\n1\n  9\n$HANDSEED\n  5\nFFF\n  0\nENDSEC\n\
             \x20 0\nSECTION\n  2\nBLOCKS\n{}  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n{}  0\nENDSEC\n  0\nEOF\n",
            self.blocks, self.entities
        )
    }
}

/// The lights' places: 48 in apart along the hall, the second one `off` up.
pub fn row(off: f64) -> Vec<(f64, f64)> {
    (0..5)
        .map(|i| (24.0 + f64::from(i) * 48.0, 30.0 + if i == 1 { off } else { 0.0 }))
        .collect()
}

/// What auditing and mending a plan, and auditing what comes of it, gave.
pub struct Ran {
    pub report: Value,
    pub again: Value,
    /// Values that differ: record, group code, before, after.
    pub changed: Vec<(String, i16, String, String)>,
}

const RULES: &str = "[[luminaire]]\ntag = \"R6\"\nblocks = [\"LT-R6\"]\naperture = 6\n";

pub fn mend(plan: &str, rules: &str) -> Ran {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("plan.dxf"), plan).unwrap();
    std::fs::write(folder.path().join("bayline.toml"), format!("{rules}{RULES}")).unwrap();
    audit(&folder, "plan.dxf --apply --out out");
    audit(&folder, "out/plan.mended.dxf --out again");
    let read = |name: &str| std::fs::read_to_string(folder.path().join(name)).unwrap();
    let json = |name: &str| serde_json::from_str(&read(name)).unwrap();
    Ran {
        report: json("out/plan.report.json"),
        again: json("again/plan.mended.report.json"),
        changed: changed(plan, &read("out/plan.mended.dxf")),
    }
}

fn audit(folder: &TempDir, args: &str) {
    let run = Command::cargo_bin("bayline")
        .unwrap()
        .arg("audit")
        .args(args.split(' '))
        .current_dir(folder.path())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(matches!(run.status.code(), Some(0 | 1)), "{said}");
}

type Record = Vec<(i16, String)>;

fn records(text: &str) -> Vec<Record> {
    let lines: Vec<&str> = text.lines().collect();
    let mut all: Vec<Record> = Vec::new();
    for pair in lines.chunks(2) {
        let code: i16 = pair[0].trim().parse().unwrap();
        if code == 0 {
            all.push(Vec::new());
        }
        all.last_mut().unwrap().push((code, pair[1].to_string()));
    }
    all
}

/// The values that differ; anything else that does, but what the redline adds, fails.
fn changed(source: &str, mended: &str) -> Vec<(String, i16, String, String)> {
    let ours = |r: &Record| {
        r.iter()
            .any(|(c, v)| matches!(c, 2 | 8) && v.starts_with("E-ANNO-REDL-"))
    };
    let before = records(source);
    let mut after: Vec<Record> = records(mended).into_iter().filter(|r| !ours(r)).collect();
    if before.len() != after.len() {
        // A drawing without a table of layers gets one.
        let tables = after
            .iter()
            .position(|r| r.iter().any(|(c, v)| (*c, v.as_str()) == (2, "TABLES")));
        let start = tables.expect("more records than before, and no new table");
        let names: Vec<String> = after.drain(start..start + 4).map(|r| r[0].1.clone()).collect();
        assert_eq!(names, ["SECTION", "TABLE", "ENDTAB", "ENDSEC"]);
    }
    assert_eq!(before.len(), after.len());
    let mut found = Vec::new();
    for (old, new) in before.iter().zip(&after) {
        assert_eq!(old.len(), new.len(), "{old:?}");
        let header = old[0].1 == "SECTION";
        for (a, b) in old.iter().zip(new) {
            assert_eq!(a.0, b.0);
            if a.1 != b.1 && !(header && a.0 == 5) {
                found.push((old[0].1.clone(), a.0, a.1.clone(), b.1.clone()));
            }
        }
    }
    found
}

impl Ran {
    /// Asserts that the second light was put back on its row, and that the finding is gone.
    #[track_caller]
    pub fn is_mended(&self) {
        let kinds = |r: &Value| -> Vec<String> {
            let all = r["findings"].as_array().unwrap().iter();
            all.map(|f| f["kind"].as_str().unwrap().to_string()).collect()
        };
        assert!(
            kinds(&self.report).contains(&"off-line".to_string()),
            "{:#}",
            self.report["findings"]
        );
        assert_eq!(
            self.report["applied"]["left"],
            serde_json::json!([]),
            "{:#}",
            self.report["notes"]
        );
        assert!(
            !kinds(&self.again).contains(&"off-line".to_string()),
            "{:#}",
            self.again["findings"]
        );
        let (old, new) = (kinds(&self.report), kinds(&self.again));
        assert!(new.iter().all(|k| old.contains(k)), "a finding is new: {new:?}");
        let lights = self.again["luminaires"].as_array().unwrap();
        assert_eq!(lights.len(), 5);
        for (light, (x, y)) in lights.iter().zip(row(0.0)) {
            let at = |i: usize| light["at"][i].as_f64().unwrap();
            assert!((at(0) - x).hypot(at(1) - y) < 1e-6, "{light:#}");
        }
        let moved = self.report["applied"]["moved"].as_array().unwrap();
        assert_eq!(moved.len(), 1);
        assert_eq!(moved[0]["luminaire"], "L2");
        let tags = |r: &Value| -> Vec<Value> {
            r["luminaires"]
                .as_array()
                .unwrap()
                .iter()
                .map(|l| l["tag"].clone())
                .collect()
        };
        assert_eq!(tags(&self.report), tags(&self.again));
    }

    /// Names and group codes of what differs.
    pub fn what(&self) -> Vec<(&str, i16)> {
        self.changed.iter().map(|c| (c.0.as_str(), c.1)).collect()
    }
}
