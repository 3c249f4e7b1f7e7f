//! Plans side by side in one drawing, each reported by itself: what its own report says is what is said of it where it
//! is drawn in a file of its own.

use std::collections::BTreeSet;

use bayline::batch::audit::{Audited, audit_bytes};
use bayline::rules::Rules;
use serde_json::Value;

use crate::framing::{Line, drawing};
use crate::plans::Scene;

/// A generator of numbers by seed (Steele, Lea, Flood 2014: SplitMix).
struct Rng(u64);

impl Rng {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 to `n - 1`.
    fn below(&mut self, n: u64) -> f64 {
        (self.next() % n) as f64
    }
}

#[derive(Clone, Default)]
struct House {
    width: f64,
    walls: Vec<Line>,
    joists: Vec<Line>,
    lights: Vec<(f64, f64)>,
    /// Framing that is only written of: words, and the arrow beside them.
    words: Vec<(f64, f64, &'static str)>,
    arrows: Vec<Line>,
}

/// Two rooms with joists of one pitch over one or both, and rows that are off their line and hit joists at times.
fn house(rng: &mut Rng) -> House {
    let (width, depth) = (360.0 + 12.0 * rng.below(10), 180.0 + 12.0 * rng.below(8));
    let split = 120.0 + 12.0 * rng.below(8);
    let mut h = House {
        width,
        walls: vec![
            [0.0, 0.0, width, 0.0],
            [width, 0.0, width, depth],
            [width, depth, 0.0, depth],
            [0.0, depth, 0.0, 0.0],
            [split, 0.0, split, depth],
        ],
        ..House::default()
    };
    let upright = rng.below(2) == 0.0;
    let pitch = [16.0, 19.2, 24.0, 32.0][rng.below(4) as usize];
    let phase = rng.below(16);
    // At times the framing is drawn over the first room alone.
    let end = if rng.below(3) == 0.0 { split } else { width };
    let across = if upright { end } else { depth };
    let written = rng.below(4) == 0.0;
    if written {
        for (from, to) in [(0.0, split), (split, width)] {
            let (a, b, y) = (from + 12.0, to - 12.0, depth / 2.0);
            h.words.push((
                from + 20.0,
                y + 3.0,
                ["2x10 @ 16\" O.C.", "2x8 @ 24\" O.C."][rng.below(2) as usize],
            ));
            h.arrows.push([a, y, b, y]);
            for (end, side) in [(a, 4.0), (b, -4.0)] {
                h.arrows.push([end, y, end + side, y + 2.0]);
                h.arrows.push([end, y, end + side, y - 2.0]);
            }
        }
    }
    let count = ((across - phase - 4.0) / pitch) as u32;
    for i in (0..=count).filter(|_| !written) {
        let at = 2.0 + phase + pitch * f64::from(i);
        for face in [at - 0.75, at + 0.75] {
            h.joists.push(if upright {
                [face, 3.0, face, depth - 3.0]
            } else {
                [3.0, face, end - 3.0, face]
            });
        }
    }
    for (from, to) in [(0.0, split), (split, width)] {
        let step = 36.0 + rng.below(5) * 4.0;
        for y in [depth * 0.25, depth * 0.75] {
            let mut x: f64 = from + 20.0 + rng.below(8);
            while x < to - 16.0 {
                let off = if rng.below(5) == 0.0 {
                    0.5 + rng.below(3)
                } else {
                    0.0
                };
                h.lights.push((x, y.round() + off));
                x += step;
            }
        }
    }
    h
}

fn drawn(houses: &[(&House, f64, f64)], titles: &[&str], stray: &[(f64, f64)]) -> String {
    let mut all = House::default();
    let mut words = String::new();
    for (i, (h, dx, dy)) in houses.iter().enumerate() {
        let moved = |[x, y, u, v]: &Line| [x + dx, y + dy, u + dx, v + dy];
        all.walls.extend(h.walls.iter().map(moved));
        all.joists.extend(h.joists.iter().map(moved));
        all.lights.extend(h.lights.iter().map(|(x, y)| (x + dx, y + dy)));
        for [x, y, u, v] in h.arrows.iter().map(moved) {
            words += &format!("0\nLINE\n8\nA-ANNO\n10\n{x}\n20\n{y}\n30\n0\n11\n{u}\n21\n{v}\n31\n0\n");
        }
        for (x, y, text) in &h.words {
            let (x, y) = (x + dx, y + dy);
            words += &format!("0\nTEXT\n8\nA-ANNO\n10\n{x}\n20\n{y}\n30\n0\n40\n4\n1\n{text}\n");
        }
        let (x, y) = (dx + 60.0, dy - 60.0);
        words += &format!(
            "0\nTEXT\n5\n{:X}\n100\nAcDbEntity\n8\nA-ANNO\n100\nAcDbText\n10\n{x}\n20\n{y}\n30\n0\n40\n12\n1\n{}\n100\nAcDbText\n",
            0x8000 + i,
            titles[i]
        );
    }
    all.lights.extend(stray);
    let end = "0\nENDSEC\n0\nEOF\n";
    let text = drawing(&all.walls, &all.joists, &all.lights);
    text.strip_suffix(end).unwrap().to_string() + &words + end
}

fn audit(text: &str) -> Audited {
    audit_bytes("plan.dxf", text.as_bytes(), &Rules::default()).unwrap()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-5
}

fn list<'v>(report: &'v Value, key: &str) -> &'v [Value] {
    report[key].as_array().unwrap()
}

fn ids(report: &Value, key: &str) -> Vec<String> {
    let ids = list(report, key)
        .iter()
        .map(|v| v["id"].as_str().unwrap().to_string());
    ids.collect()
}

/// Findings with their remedies, without ids, as they would be with the plan shifted back; in an order of their own.
fn said(report: &Value, dx: f64, dy: f64) -> Vec<(String, Vec<f64>)> {
    let at = |p: &Value| [p[0].as_f64().unwrap() - dx, p[1].as_f64().unwrap() - dy];
    let number = |v: &Value| v.as_f64().unwrap_or(f64::INFINITY);
    let mut all: Vec<(String, Vec<f64>)> = Vec::new();
    for f in list(report, "findings") {
        let mut words = format!(
            "{} {}",
            f["kind"].as_str().unwrap(),
            f["severity"].as_str().unwrap()
        );
        let mut numbers = at(&f["at"]).to_vec();
        numbers.extend([number(&f["measured"]), number(&f["limit"])]);
        for id in list(f, "remedies") {
            let remedy = list(report, "remedies").iter().find(|r| r["id"] == *id).unwrap();
            words += &format!(" {}", remedy["kind"].as_str().unwrap());
            for p in remedy["to"].as_array().into_iter().flatten() {
                numbers.extend(at(p));
            }
            for piece in remedy["pieces"].as_array().into_iter().flatten() {
                numbers.extend(at(&piece["from"]));
                numbers.extend(at(&piece["to"]));
                numbers.push(number(&piece["cut"]));
            }
        }
        all.push((words, numbers));
    }
    // Numbers to 1/1000 in, so that rounding does not tell the order.
    all.sort_by_key(|(words, numbers)| {
        let rounded: Vec<i64> = numbers
            .iter()
            .map(|n| (n.min(1e12) * 1e3).round() as i64)
            .collect();
        (words.clone(), rounded)
    });
    all
}

/// A light as its report has it, without ids.
fn lights(report: &Value, dx: f64, dy: f64) -> Vec<[f64; 4]> {
    let number = |v: &Value| v.as_f64().unwrap_or(f64::INFINITY);
    let all = list(report, "luminaires").iter();
    all.map(|l| {
        let (x, y) = (number(&l["at"][0]) - dx, number(&l["at"][1]) - dy);
        [x, y, number(&l["left"]), number(&l["right"])]
    })
    .collect()
}

/// Rooms whose framing is only written of: the numbers over all phases.
fn phases(report: &Value) -> Vec<[Value; 8]> {
    let all = list(report, "phases").iter();
    let kept = [
        "works", "clean", "best", "worst", "hits", "blocking", "at_most", "along",
    ];
    all.map(|p| kept.map(|k| p[k].clone())).collect()
}

/// The lumber, without what it serves.
fn lumber(report: &Value) -> (Vec<[Value; 3]>, Value, Value) {
    let list = &report["cut_list"];
    let cuts = list["cuts"].as_array().unwrap().iter();
    let cuts = cuts.map(|c| ["length", "thickness", "count"].map(|k| c[k].clone()));
    (cuts.collect(), list["sticks"].clone(), list["order"].clone())
}

#[test]
fn a_plan_beside_another_is_judged_as_it_is_by_itself() {
    let mut kinds: BTreeSet<String> = BTreeSet::new();
    let mut in_phases = 0;
    for seed in 0..12 {
        let mut rng = Rng(seed);
        let (a, b) = (house(&mut rng), house(&mut rng));
        // Beside each other at one height, or not; or one above the other.
        let (dx, dy) = match seed % 3 {
            0 => (a.width + 360.0, 0.0),
            1 => (a.width + 420.0, -96.0),
            _ => (24.0, 1200.0),
        };
        // A light of a legend, far from both.
        let stray = [(-2000.0, -900.0)];
        let both = audit(&drawn(
            &[(&a, 0.0, 0.0), (&b, dx, dy)],
            &["FIRST FLOOR PLAN", "SECOND FLOOR PLAN"],
            &stray,
        ));
        let whole: Value = serde_json::from_str(&both.json).unwrap();
        assert_eq!(both.parts.len(), 2, "seed {seed}");
        let parts: Vec<Value> = (both.parts.iter())
            .map(|p| serde_json::from_str(&p.json).unwrap())
            .collect();

        // Disjoint, and with what is outside the whole.
        for (key, outside) in [("luminaires", 1), ("members", 0), ("rooms", 0), ("rows", 0)] {
            let mut all: Vec<String> = parts.iter().flat_map(|p| ids(p, key)).collect();
            let whole = ids(&whole, key);
            assert_eq!(all.len() + outside, whole.len(), "seed {seed}: {key}");
            all.sort();
            all.dedup();
            assert_eq!(all.len() + outside, whole.len(), "seed {seed}: {key} twice");
            assert!(all.iter().all(|id| whole.contains(id)));
        }
        let stray_id = ids(&whole, "luminaires").last().unwrap().clone();
        let of_stray = |f: &&Value| list(f, "luminaires").iter().any(|l| *l == stray_id.as_str());
        let alone = |f: &&Value| list(f, "luminaires").len() == 1;
        let outside: Vec<&str> = (list(&whole, "findings").iter().filter(of_stray).filter(alone))
            .map(|f| f["id"].as_str().unwrap())
            .collect();
        let mut found: Vec<String> = parts.iter().flat_map(|p| ids(p, "findings")).collect();
        found.extend(outside.iter().map(ToString::to_string));
        found.sort();
        // One that is of lights in several plans is in each of them.
        found.dedup();
        let mut wanted = ids(&whole, "findings");
        wanted.sort();
        assert_eq!(found, wanted, "seed {seed}");
        let note = list(&whole, "notes")
            .iter()
            .find(|n| n["code"] == "outside-plans")
            .unwrap();
        let note = note["message"].as_str().unwrap();
        assert!(note.contains(&format!("1 light ({stray_id})")), "{note}");
        assert!(outside.iter().all(|f| note.contains(f)), "{note}");

        let own = |p: &Value| -> Vec<String> {
            let own = list(p, "findings").iter().filter(|f| f["kind"] != "no-schedule");
            own.map(|f| f["id"].as_str().unwrap().to_string()).collect()
        };
        let (first, second) = (own(&parts[0]), own(&parts[1]));
        assert!(first.iter().all(|f| !second.contains(f)), "seed {seed}");
        for p in &parts {
            let lights = ids(p, "luminaires");
            let named = list(p, "findings").iter().flat_map(|f| list(f, "luminaires"));
            assert!(
                named.clone().count() > 0 && named.clone().all(|l| lights.iter().any(|i| l == i.as_str()))
            );
        }

        for (part, (h, dx, dy)) in parts.iter().zip([(&a, 0.0, 0.0), (&b, dx, dy)]) {
            let alone = audit(&drawn(&[(h, 0.0, 0.0)], &["FLOOR PLAN"], &[]));
            let alone: Value = serde_json::from_str(&alone.json).unwrap();
            let (by_itself, here) = (said(&alone, 0.0, 0.0), said(part, dx, dy));
            let words = |s: &[(String, Vec<f64>)]| s.iter().map(|f| f.0.clone()).collect::<Vec<_>>();
            assert_eq!(words(&by_itself), words(&here), "seed {seed}");
            for ((words, x), (_, y)) in by_itself.iter().zip(&here) {
                let same = x.len() == y.len() && x.iter().zip(y).all(|(x, y)| x == y || near(*x, *y));
                assert!(
                    same,
                    "seed {seed}, {words}: {x:?} by itself, {y:?} beside another"
                );
            }
            let (x, y) = (lights(&alone, 0.0, 0.0), lights(part, dx, dy));
            let same = x
                .iter()
                .flatten()
                .zip(y.iter().flatten())
                .all(|(x, y)| x == y || near(*x, *y));
            assert!(x.len() == y.len() && same, "seed {seed}: {x:?}\n{y:?}");
            assert_eq!(lumber(&alone), lumber(part), "seed {seed}");
            assert_eq!(phases(&alone), phases(part), "seed {seed}");
            in_phases += phases(part).len();
            kinds.extend(by_itself.into_iter().map(|f| f.0));
        }
        // Pieces of blocking add up; a stick is not shared between plans.
        let pieces = |r: &Value| -> u64 {
            let cuts = r["cut_list"]["cuts"].as_array().unwrap().iter();
            cuts.map(|c| c["count"].as_u64().unwrap()).sum()
        };
        assert_eq!(
            pieces(&whole),
            parts.iter().map(pieces).sum::<u64>(),
            "seed {seed}"
        );
    }
    for kind in ["off-line", "hits-member", "no-support", "wide-bay"] {
        assert!(
            kinds.iter().any(|k| k.starts_with(kind)),
            "no plan has a {kind}: {kinds:?}"
        );
    }
    assert!(kinds.iter().any(|k| k.contains("block")), "{kinds:?}");
    assert!(
        in_phases > 4,
        "{in_phases} rooms whose framing is only written of"
    );
}

#[test]
fn each_plan_has_files_of_its_own_and_its_redline_is_the_whole_drawing() {
    let mut rng = Rng(4);
    let (a, b) = (house(&mut rng), house(&mut rng));
    let text = drawn(
        &[(&a, 0.0, 0.0), (&b, 1000.0, 0.0)],
        &["FIRST FLOOR PLAN", "SECOND FLOOR PLAN"],
        &[],
    );
    let s = Scene::new();
    s.put("plan.dxf", text.clone());
    s.run("audit plan.dxf --out out");
    let whole = String::from_utf8(s.read("out/plan.redline.dxf")).unwrap();
    let all = String::from_utf8(s.read("out/plan.redline.svg")).unwrap();
    assert!(all.contains("2 plans are in this drawing"));
    let own = String::from_utf8(s.read("out/plan.plan-1.redline.svg")).unwrap();
    assert!(!own.contains("plans are in this drawing"));
    // The summaries lead to them.
    let html = String::from_utf8(s.read("out/summary.html")).unwrap();
    let line = &s.json("out/summary.json")["plans"][0];
    for (n, title) in [(1, "FIRST"), (2, "SECOND")] {
        let part = &line["plans"][n - 1];
        assert_eq!(part["title"], format!("{title} FLOOR PLAN"));
        for key in ["report", "redline_svg", "redline_dxf"] {
            let name = part[key].as_str().unwrap();
            assert!(s.exists(&format!("out/{name}")) && html.contains(name), "{name}");
        }
    }
    let marks = |text: &str| text.matches("\nE-ANNO-REDL-LITE\n").count();
    let mut of_parts = 0;
    for n in [1, 2] {
        let report = s.json(&format!("out/plan.plan-{n}.json"));
        assert_eq!(list(&report, "plans").len(), 1);
        assert_eq!(
            report["plans"][0]["luminaires"].as_array().unwrap().len(),
            list(&report, "luminaires").len()
        );
        let redline = String::from_utf8(s.read(&format!("out/plan.plan-{n}.redline.dxf"))).unwrap();
        // All lines of the source, in order, are in it.
        let mut lines = redline.lines();
        for line in text.lines() {
            assert!(lines.any(|l| l == line), "plan {n} lacks {line}");
        }
        // The layer's own record is one; the rest are marks.
        of_parts += marks(&redline) - 1;
        let far = if n == 1 { 900.0 } else { -900.0 };
        let x = lettering(&redline);
        assert!(
            x.len() > 4 && x.iter().all(|x| (*x - 900.0) * far < 0.0),
            "plan {n}: {x:?}"
        );
    }
    assert_eq!(of_parts, marks(&whole) - 1);
    s.put("plan.dxf", drawn(&[(&a, 0.0, 0.0)], &["FLOOR PLAN"], &[]));
    s.run("audit plan.dxf --out out");
    for ending in ["json", "redline.svg", "redline.dxf"] {
        assert!(
            !s.exists(&format!("out/plan.plan-1.{ending}"))
                && !s.exists(&format!("out/plan.plan-2.{ending}"))
        );
    }
}

/// Where the redline's lettering begins, from left to right.
fn lettering(redline: &str) -> Vec<f64> {
    let texts = redline.split("\nTEXT\n").skip(1);
    let own = texts.filter(|t| t.split("\n0\n").next().unwrap().contains("\nE-ANNO-REDL-TEXT\n"));
    own.map(|t| {
        let lines: Vec<&str> = t.lines().map(str::trim).collect();
        let x = lines.chunks(2).find(|pair| pair[0] == "10").unwrap()[1];
        x.parse().unwrap()
    })
    .collect()
}
