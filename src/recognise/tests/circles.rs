//! Loose circles on light layers that are something else than recessed lights.

use std::f64::consts::TAU;

use super::Sheet;
use crate::note::Note;

const L: &str = "E-LITE";

/// Six lights as blocks, and what is drawn at two places; how many lights there are, and the questions.
fn beside(draw: &dyn Fn(&mut Sheet, (f64, f64))) -> (usize, Vec<Note>) {
    let mut sheet = Sheet::default();
    for k in 0..6 {
        sheet.light("LT-R6", (60.0 * f64::from(k), 0.0));
    }
    for at in [(30.0, 100.0), (200.0, 100.0)] {
        draw(&mut sheet, at);
    }
    let (plan, notes) = sheet.read();
    let asked = notes.into_iter().filter(|n| n.code == "circles-asked").collect();
    (plan.lights.len(), asked)
}

fn rays(sheet: &mut Sheet, (x, y): (f64, f64), from: f64, to: f64, n: usize) {
    for k in 0..n {
        let (s, c) = (TAU * k as f64 / n as f64).sin_cos();
        sheet.line(L, (x + from * c, y + from * s), (x + to * c, y + to * s));
    }
}

#[test]
fn circles_with_letters_of_devices_and_keynotes_are_asked_about() {
    for letters in ["SD", "S", "J", "F", "3", "EF"] {
        let (lights, asked) = beside(&|sheet, (x, y)| {
            sheet.circle(L, (x, y), 6.0);
            let half = 0.35 * 6.0 * letters.len() as f64;
            sheet.text(L, (x - half, y - 3.0), letters);
        });
        assert_eq!(lights, 6, "{letters}");
        let said = format!("2 circle(s) 12\" across on light layer E-LITE, with {letters} in them");
        assert!(
            asked.len() == 1 && asked[0].message.starts_with(&said),
            "{asked:?}"
        );
    }
}

/// One block for lights and alarms, told apart by letters.
#[test]
fn blocks_with_letters_of_devices_in_them_are_asked_about() {
    for (letters, lights, asked) in [("SD", 6, 1), ("R6", 8, 0), ("a", 8, 0)] {
        let (found, notes) = beside(&|sheet, (x, y)| {
            sheet.light("LT-R9", (x, y));
            sheet.text("A-ANNO", (x - 4.0, y - 3.0), letters);
        });
        assert_eq!((found, notes.len()), (lights, asked), "{letters}: {notes:?}");
    }
    // On a layer of alarms they are of the alarm that is drawn there.
    let (lights, asked) = beside(&|sheet, (x, y)| {
        sheet.light("LT-R6", (x, y));
        sheet.text("E-FIRE-ALRM", (x - 4.0, y - 3.0), "SD");
    });
    assert_eq!((lights, asked.len()), (8, 0));
}

/// A circle in a square twice as wide (common practice for an exhaust fan), drawn as lines or as one.
#[test]
fn circles_in_the_middle_of_larger_squares_are_asked_about() {
    for (half, lines, asked_of) in [(6.0, true, 1), (6.0, false, 1), (3.5, false, 0)] {
        let (lights, asked) = beside(&|sheet, (x, y)| {
            sheet.circle(L, (x, y), 3.0);
            let (a, b) = (half, -half);
            let ring = [(x + b, y + b), (x + a, y + b), (x + a, y + a), (x + b, y + a)];
            match lines {
                true => (0..4).for_each(|k| {
                    sheet.line(L, ring[k], ring[(k + 1) % 4]);
                }),
                false => {
                    sheet.path(L, &ring, true);
                }
            }
        });
        assert_eq!(
            (lights, asked.len()),
            (8 - 2 * asked_of, asked_of),
            "{half}: {asked:?}"
        );
        assert!(
            asked
                .iter()
                .all(|n| n.message.contains("2 circle(s) 6\"") && n.message.contains("square"))
        );
    }
}

#[test]
fn letters_of_lights_are_no_doubt() {
    for letters in ["R6", "r", "R", "DL"] {
        let (lights, asked) = beside(&|sheet, (x, y)| {
            sheet.circle(L, (x, y), 6.0);
            sheet.text(L, (x - 2.0, y - 3.0), letters);
        });
        assert!(lights == 8 && asked.is_empty(), "{letters}: {asked:?}");
    }
    // Nor is any letter, where all lights have one.
    let mut sheet = Sheet::default();
    for k in 0..4 {
        sheet.circle(L, (60.0 * f64::from(k), 0.0), 6.0);
        sheet.text(L, (60.0 * f64::from(k) - 2.0, -3.0), "F");
    }
    assert_eq!(sheet.read().0.lights.len(), 4);
}

#[test]
fn parts_of_larger_symbols_are_asked_about() {
    type Draw = fn(&mut Sheet, (f64, f64));
    let cases: [(&str, Draw); 9] = [
        ("arms from an inner circle to the rim", |s, at| {
            s.circle(L, at, 7.0);
            s.circle(L, at, 2.0);
            rays(s, at, 2.0, 7.0, 6);
        }),
        ("arms beyond the rim", |s, at| {
            s.circle(L, at, 4.0);
            rays(s, at, 4.0, 12.0, 3);
        }),
        ("a size of its own", |s, at| {
            s.circle(L, at, 12.0);
        }),
        ("a dot", |s, at| {
            s.circle(L, at, 1.0);
        }),
        ("blades", |s, (x, y)| {
            s.circle(L, (x, y), 4.0);
            for side in [-1.0, 1.0] {
                s.path(
                    L,
                    &[
                        (x + 4.0 * side, y),
                        (x + 26.0 * side, y - 3.0),
                        (x + 26.0 * side, y + 3.0),
                    ],
                    true,
                );
            }
        }),
        ("globes of a bar", |s, (x, y)| {
            s.path(
                L,
                &[
                    (x - 12.0, y - 2.0),
                    (x + 12.0, y - 2.0),
                    (x + 12.0, y + 2.0),
                    (x - 12.0, y + 2.0),
                ],
                true,
            );
            for d in [-8.0, 0.0, 8.0] {
                s.circle(L, (x + d, y + 3.0), 2.5);
            }
        }),
        ("heads that touch a rail", |s, (x, y)| {
            let rail = [
                (x, y - 4.0),
                (x + 96.0, y - 4.0),
                (x + 96.0, y - 2.0),
                (x, y - 2.0),
            ];
            s.path(L, &rail, true);
            for k in 0..4 {
                s.circle(L, (x + 12.0 + 24.0 * f64::from(k), y), 2.5);
            }
        }),
        ("heads on a track", |s, (x, y)| {
            s.line(L, (x - 24.0, y), (x + 24.0, y));
            for d in [-18.0, 0.0, 18.0] {
                s.circle(L, (x + d, y), 2.0);
            }
        }),
        ("a receptacle", |s, (x, y)| {
            s.circle(L, (x, y), 3.0);
            for d in [-1.0, 1.0] {
                s.line(L, (x - 4.0, y + d), (x + 4.0, y + d));
            }
        }),
    ];
    for (what, draw) in cases {
        let (lights, asked) = beside(&draw);
        assert_eq!((lights, asked.len()), (6, 1), "{what}: {asked:?}");
    }
}

#[test]
fn crosses_switch_legs_and_rows_leave_circles_lights() {
    type Draw = fn(&mut Sheet, (f64, f64));
    let cases: [(&str, Draw); 4] = [
        ("a cross beyond the rim", |s, (x, y)| {
            s.circle(L, (x, y), 3.0);
            s.line(L, (x - 4.5, y), (x + 4.5, y));
            s.line(L, (x, y - 4.5), (x, y + 4.5));
        }),
        ("four ticks", |s, at| {
            s.circle(L, at, 4.0);
            rays(s, at, 4.0, 6.0, 4);
        }),
        ("two switch legs", |s, (x, y)| {
            s.circle(L, (x, y), 3.0);
            s.line(L, (x + 3.0, y), (x + 60.0, y));
            s.line(L, (x - 3.0, y), (x - 50.0, y));
        }),
        ("a ring within", |s, at| {
            s.circle(L, at, 4.0);
            s.circle(L, at, 2.5);
        }),
    ];
    for (what, draw) in cases {
        let (lights, asked) = beside(&draw);
        assert!(lights == 8 && asked.is_empty(), "{what}: {asked:?}");
    }
    // A straight line through a row of lights at their usual distance.
    let mut sheet = Sheet::default();
    for x in [0.0, 48.0, 96.0] {
        sheet.circle(L, (x, 0.0), 3.0);
    }
    sheet.line(L, (-20.0, 0.0), (120.0, 0.0));
    assert_eq!(sheet.read().0.lights.len(), 3);
}

/// A room with loose circles, plain or crossed, amid it, and what is drawn at its lower wall.
fn at_wall(cross: bool, draw: &dyn Fn(&mut Sheet, f64)) -> (usize, Vec<Note>) {
    let mut sheet = Sheet::default();
    for ring in [
        [(0.0, 0.0), (240.0, 0.0), (240.0, 180.0), (0.0, 180.0)],
        [(-5.0, -5.0), (245.0, -5.0), (245.0, 185.0), (-5.0, 185.0)],
    ] {
        for (i, &p) in ring.iter().enumerate() {
            sheet.line("A-WALL", p, ring[(i + 1) % 4]);
        }
    }
    for (x, y) in [
        (60.0, 60.0),
        (120.0, 60.0),
        (180.0, 60.0),
        (60.0, 120.0),
        (120.0, 120.0),
    ] {
        sheet.circle(L, (x, y), 3.0);
        if cross {
            sheet.line(L, (x - 3.0, y), (x + 3.0, y));
            sheet.line(L, (x, y - 3.0), (x, y + 3.0));
        }
    }
    for x in [40.0, 100.0, 160.0] {
        draw(&mut sheet, x);
    }
    let (plan, notes) = sheet.read();
    let asked = notes.into_iter().filter(|n| n.code == "circles-asked").collect();
    (plan.lights.len(), asked)
}

#[test]
fn circles_at_walls_that_are_drawn_otherwise_are_asked_about() {
    for cross in [true, false] {
        // The two lines of a receptacle, and one, from the wall through the circle.
        for (off, lines) in [
            (3.0, vec![-1.0, 1.0]),
            (6.0, vec![-1.0, 1.0]),
            (3.0, vec![0.0]),
            (6.0, vec![0.0]),
        ] {
            let (lights, asked) = at_wall(cross, &|sheet, x| {
                sheet.circle(L, (x, off), 3.0);
                for &d in &lines {
                    sheet.line(L, (x + d, 0.0), (x + d, 9.0));
                }
            });
            assert_eq!((lights, asked.len()), (5, 1), "{cross} {off} {lines:?} {asked:?}");
            assert!(asked[0].message.starts_with("3 circle(s) 6\" across"));
        }
        // Larger, as an exit sign or a sconce.
        let (lights, asked) = at_wall(cross, &|sheet, x| {
            sheet.circle(L, (x, 4.0), 4.0);
        });
        assert_eq!((lights, asked.len()), (5, 1), "{cross} {asked:?}");
    }
    // Drawn alike they are lights, and their place is for the checks.
    let (lights, asked) = at_wall(false, &|sheet, x| {
        sheet.circle(L, (x, 3.0), 3.0);
    });
    assert_eq!((lights, asked.len()), (8, 0));
}

#[test]
fn lamps_on_a_ring_blades_of_ovals_and_heads_beside_a_track_are_asked_about() {
    // How many circles are told of at each of two places, and why.
    let asks = |draw: &dyn Fn(&mut Sheet, (f64, f64)), why: &str| {
        let (lights, asked) = beside(draw);
        assert_eq!(lights, 6, "{why}: {asked:?}");
        assert!(asked.iter().any(|n| n.message.contains(why)), "{why}: {asked:?}");
    };
    asks(
        &|sheet, (x, y)| {
            sheet.circle(L, (x, y), 12.0);
            for k in 0..5 {
                let (s, c) = (TAU * f64::from(k) / 5.0).sin_cos();
                sheet.circle(L, (x + 12.0 * c, y + 12.0 * s), 2.5);
            }
        },
        "on the rim of a ring",
    );
    asks(
        &|sheet, (x, y)| {
            sheet.circle(L, (x, y), 3.0);
            for k in 0..5 {
                let (s, c) = (TAU * f64::from(k) / 5.0).sin_cos();
                let prim = crate::flatten::Prim::Ellipse {
                    center: super::xy(x + 15.0 * c, y + 15.0 * s),
                    major: super::xy(12.0 * c, 12.0 * s),
                    minor: super::xy(-3.0 * s, 3.0 * c),
                    start: 0.0,
                    sweep: TAU,
                };
                sheet.item(L, "ELLIPSE", prim);
            }
        },
        "with blades about them",
    );
    asks(
        &|sheet, (x, y)| {
            sheet.line(L, (x - 10.0, y + 4.0), (x + 70.0, y + 4.0));
            for k in 0..4 {
                sheet.circle(L, (x + 20.0 * f64::from(k), y), 2.5);
            }
        },
        "as the heads of a track",
    );
}
