//! Small plans written out for the tests, and the program to run on them.

use std::path::{Path, PathBuf};

use assert_cmd::Command;
use tempfile::TempDir;

/// What a plan is to hold.
#[derive(Clone, Copy)]
pub struct Draw {
    /// `$INSUNITS`; `None` leaves it out.
    pub units: Option<i32>,
    pub lights: bool,
    pub framing: bool,
    /// How far the second light stands off its row, inches.
    pub off: f64,
}

pub const WHOLE: Draw = Draw {
    units: Some(1),
    lights: true,
    framing: true,
    off: 0.0,
};

/// A hall 20 ft by 5 ft, five lights 48 in apart in bays of joists 16 in on centre that run across
/// it. The lights stand midway in their bays: 48 is three bays.
pub fn plan(draw: Draw) -> String {
    let mut s = String::from("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n");
    if let Some(units) = draw.units {
        s += &format!("9\n$INSUNITS\n70\n{units}\n");
    }
    s += "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n";
    let mut handle = 0x100;
    let mut entity = |s: &mut String, name: &str, layer: &str, rest: String| {
        handle += 1;
        *s += &format!("0\n{name}\n5\n{handle:X}\n100\nAcDbEntity\n8\n{layer}\n{rest}");
    };
    let ring = [(0.0, 0.0), (240.0, 0.0), (240.0, 60.0), (0.0, 60.0)];
    let points: String = ring.iter().map(|(x, y)| format!("10\n{x}\n20\n{y}\n")).collect();
    let outline = format!("100\nAcDbPolyline\n90\n4\n70\n1\n{points}");
    entity(&mut s, "LWPOLYLINE", "A-AREA", outline);
    let name = "100\nAcDbText\n10\n100\n20\n50\n30\n0\n40\n4\n1\nHALL\n100\nAcDbText\n".to_string();
    entity(&mut s, "TEXT", "A-AREA-IDEN", name);
    let line = |x: f64| format!("100\nAcDbLine\n10\n{x}\n20\n0\n30\n0\n11\n{x}\n21\n60\n31\n0\n");
    if draw.framing {
        for i in 0..=15 {
            let x = f64::from(i) * 16.0;
            entity(&mut s, "LINE", "S-JOIS", line(x - 0.75));
            entity(&mut s, "LINE", "S-JOIS", line(x + 0.75));
        }
    }
    if draw.lights {
        for i in 0..5 {
            let x = 24.0 + f64::from(i) * 48.0;
            let y = 30.0 + if i == 1 { draw.off } else { 0.0 };
            let circle = format!("100\nAcDbCircle\n10\n{x}\n20\n{y}\n30\n0\n40\n4\n");
            entity(&mut s, "CIRCLE", "E-LITE", circle);
        }
    }
    s + "0\nENDSEC\n0\nEOF\n"
}

/// A folder of its own for a test.
pub struct Scene {
    folder: TempDir,
}

impl Scene {
    pub fn new() -> Scene {
        Scene {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Puts a file there, its folders made.
    pub fn put(&self, name: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }

    pub fn exists(&self, name: &str) -> bool {
        self.path(name).exists()
    }

    pub fn read(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
    }

    pub fn json(&self, name: &str) -> serde_json::Value {
        serde_json::from_slice(&self.read(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
    }

    /// Runs the program in the folder, split at blanks.
    pub fn run(&self, args: &str) -> Ran {
        let output = Command::cargo_bin("bayline")
            .unwrap()
            .args(args.split_whitespace())
            .current_dir(self.folder.path())
            .env_remove("COLUMNS")
            .output()
            .unwrap();
        Ran {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Every file below a folder, by its path from there.
    pub fn files(&self, folder: &str) -> std::collections::BTreeMap<String, Vec<u8>> {
        fn walk(root: &Path, at: &Path, into: &mut std::collections::BTreeMap<String, Vec<u8>>) {
            for entry in std::fs::read_dir(at).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    walk(root, &path, into);
                } else {
                    let name = path
                        .strip_prefix(root)
                        .unwrap()
                        .to_str()
                        .unwrap()
                        .replace('\\', "/");
                    into.insert(name, std::fs::read(&path).unwrap());
                }
            }
        }
        let mut into = std::collections::BTreeMap::new();
        let root = self.path(folder);
        walk(&root, &root, &mut into);
        into
    }
}

/// What a run came to.
#[derive(Debug)]
pub struct Ran {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// Asserts the status and that standard error is this one line, by parts it must hold.
    #[track_caller]
    pub fn says(&self, code: i32, parts: &[&str]) {
        assert_eq!(self.code, Some(code), "{self:#?}");
        assert_eq!(self.err.lines().count(), 1, "one clear message: {self:#?}");
        for part in parts {
            assert!(self.err.contains(part), "{part:?} is not in {self:#?}");
        }
    }
}
