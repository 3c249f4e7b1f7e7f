//! Questions about what is drawn loose on layers of lights: each of their lines settles them.

use super::{Sheet, has_note};
use crate::note::Note;
use crate::rules::{Rules, parse};

const L: &str = "E-LITE";

/// What draws something at a place.
type Draw<'a> = &'a dyn Fn(&mut Sheet, (f64, f64));

/// Six lights, and what is drawn at some places above them.
fn beside(places: &[f64], draw: Draw) -> Sheet {
    let mut sheet = Sheet::default();
    for k in 0..6 {
        sheet.circle(L, (60.0 * f64::from(k), 0.0), 3.0);
    }
    places.iter().for_each(|&x| draw(&mut sheet, (x, 100.0)));
    sheet
}

fn rectangle(sheet: &mut Sheet, (x, y): (f64, f64), wide: f64, high: f64) {
    sheet.path(
        L,
        &[(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)],
        true,
    );
}

fn asked<'a>(notes: &'a [Note], code: &str) -> Vec<&'a Note> {
    notes.iter().filter(|n| n.code == code).collect()
}

/// The line for one class in a question.
fn line<'a>(message: &'a str, key: &str) -> &'a str {
    let from = message.find(&format!("{key} = {{")).unwrap();
    let to = message[from..].find(" }").unwrap();
    &message[from..from + to + 2]
}

#[test]
fn each_line_of_a_question_about_loose_figures_settles_it() {
    let letters = |s: &mut Sheet, (x, y): (f64, f64)| {
        s.circle(L, (x, y), 6.0);
        s.text(L, (x - 4.2, y - 3.0), "SD");
    };
    let large = |s: &mut Sheet, at: (f64, f64)| {
        s.circle(L, at, 8.0);
    };
    let square = |s: &mut Sheet, at: (f64, f64)| rectangle(s, at, 6.0, 6.0);
    let long = |s: &mut Sheet, at: (f64, f64)| rectangle(s, at, 48.0, 12.0);
    let cases: [(&str, &[f64], Draw); 4] = [
        ("circles-asked", &[30.0, 200.0], &letters),
        ("circles-asked", &[30.0, 200.0], &large),
        ("squares-asked", &[30.0, 200.0], &square),
        ("figures-asked", &[30.0, 100.0, 200.0], &long),
    ];
    for (code, places, draw) in cases {
        let sheet = beside(places, draw);
        let (plan, notes) = sheet.read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 6, "{notes:#?}");
        let [question] = asked(&notes, code)[..] else {
            panic!("{code}: {notes:#?}")
        };
        let n = places.len();
        for (key, lights, devices) in [("lights", 6 + n, 0), ("devices", 6, n), ("ignore", 6, 0)] {
            let line = line(&question.message, key);
            let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
            let (plan, notes) = sheet.read_by(&rules);
            let got = (plan.lights.len(), plan.obstacles.len());
            assert_eq!(got, (lights, devices), "{line}: {notes:#?}");
            assert!(asked(&notes, code).is_empty(), "{line}: {notes:#?}");
            assert!(!has_note(&notes, "read-unmatched"), "{notes:#?}");
        }
    }
}

#[test]
fn squares_that_are_taken_are_left_by_the_line_for_it() {
    let sheet = beside(&[0.0, 60.0, 120.0], &|s, at| rectangle(s, at, 6.0, 6.0));
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.lights.len(), 9, "{notes:#?}");
    let note = asked(&notes, "squares-lights")[0];
    let rules = parse(&format!("[read]\n{}\n", line(&note.message, "ignore")), None).unwrap();
    assert_eq!(sheet.read_by(&rules).0.lights.len(), 6);
}

#[test]
fn lines_for_circles_as_large_as_lights_leave_the_lights() {
    // A receptacle, and the hub of a fan, each as large as the six lights beside.
    let receptacle = |s: &mut Sheet, (x, y): (f64, f64)| {
        s.circle(L, (x, y), 3.0);
        for off in [-1.0, 1.0] {
            s.line(L, (x - 6.0, y + off), (x + 3.0, y + off));
        }
    };
    let fan = |s: &mut Sheet, (x, y): (f64, f64)| {
        s.circle(L, (x, y), 3.0);
        for k in 0..5 {
            let (sin, cos) = (f64::from(k) * 1.2566).sin_cos();
            s.line(
                L,
                (x + 3.0 * cos, y + 3.0 * sin),
                (x + 20.0 * cos, y + 20.0 * sin),
            );
        }
    };
    let cases: [(Draw, &str); 2] = [(&receptacle, "receptacle"), (&fan, "arms")];
    for (draw, word) in cases {
        let sheet = beside(&[30.0, 100.0, 200.0], draw);
        let (plan, notes) = sheet.read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 6, "{notes:#?}");
        let question = asked(&notes, "circles-asked")[0];
        for (key, lights, devices) in [("lights", 9, 0), ("devices", 6, 3), ("ignore", 6, 0)] {
            let line = line(&question.message, key);
            assert!(line.contains(&format!("E-LITE:circle 6 ({word})")), "{line}");
            let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
            let (plan, notes) = sheet.read_by(&rules);
            let got = (plan.lights.len(), plan.obstacles.len());
            assert_eq!(got, (lights, devices), "{line}: {notes:#?}");
            assert!(asked(&notes, "circles-asked").is_empty(), "{line}: {notes:#?}");
            assert!(!has_note(&notes, "read-unmatched"), "{notes:#?}");
        }
        // The bare name is of all of that size.
        let all = "[read]\nignore = { more_blocks = [\"E-LITE:circle 6\"] }\n";
        assert!(sheet.read_by(&parse(all, None).unwrap()).0.lights.is_empty());
    }
}

#[test]
fn what_is_in_a_circle_goes_with_it() {
    let sheet = beside(&[30.0, 200.0], &|s, at| {
        s.circle(L, at, 8.0);
        s.circle(L, at, 3.0);
    });
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.lights.len(), 6, "{notes:#?}");
    let question = asked(&notes, "circles-asked")[0];
    for (key, lights, devices) in [("lights", 8, 0), ("devices", 6, 2), ("ignore", 6, 0)] {
        let line = line(&question.message, key);
        let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
        let (plan, notes) = sheet.read_by(&rules);
        let got = (plan.lights.len(), plan.obstacles.len());
        assert_eq!(got, (lights, devices), "{line}: {notes:#?}");
    }
}

#[test]
fn lines_for_what_is_about_a_circle_leave_it_asked_about() {
    // A fan's blades as closed outlines, its hub as large as the lights; and a ring with lamps on its rim.
    let fan = |s: &mut Sheet, (x, y): (f64, f64)| {
        s.circle(L, (x, y), 3.0);
        for k in 0..5 {
            let (sin, cos) = (f64::from(k) * 1.2566).sin_cos();
            let at = |along: f64, off: f64| (x + along * cos - off * sin, y + along * sin + off * cos);
            s.path(
                L,
                &[at(3.0, -1.5), at(26.0, -1.5), at(26.0, 1.5), at(3.0, 1.5)],
                true,
            );
        }
    };
    let ring = |s: &mut Sheet, (x, y): (f64, f64)| {
        s.circle(L, (x, y), 9.0);
        for k in 0..3 {
            let (sin, cos) = (f64::from(k) * 2.0944).sin_cos();
            s.circle(L, (x + 9.0 * cos, y + 9.0 * sin), 3.0);
        }
    };
    let cases: [(Draw, &str); 2] = [(&fan, "figures-asked"), (&ring, "circles-asked")];
    for (draw, code) in cases {
        let sheet = beside(&[100.0], draw);
        let (plan, notes) = sheet.read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 6, "{notes:#?}");
        let question = asked(&notes, code)[0];
        for key in ["devices", "ignore"] {
            let line = line(&question.message, key);
            let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
            let (plan, notes) = sheet.read_by(&rules);
            assert_eq!(plan.lights.len(), 6, "{line}: {notes:#?}");
        }
    }
}

#[test]
fn a_dot_in_the_middle_of_a_square_does_not_hide_it_from_its_line() {
    let sheet = beside(&[30.0, 200.0], &|s, (x, y)| {
        rectangle(s, (x, y), 6.0, 6.0);
        s.circle(L, (x + 3.0, y + 3.0), 0.4);
    });
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.lights.len(), 6, "{notes:#?}");
    let question = asked(&notes, "squares-asked")[0];
    for (key, lights, devices) in [("lights", 8, 0), ("devices", 6, 2), ("ignore", 6, 0)] {
        let line = line(&question.message, key);
        let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
        let (plan, notes) = sheet.read_by(&rules);
        let got = (plan.lights.len(), plan.obstacles.len());
        assert_eq!(got, (lights, devices), "{line}: {notes:#?}");
    }
}

#[test]
fn lines_for_blocks_with_words_in_them_settle_them() {
    for letters in ["SMOKE", "EF-1", "SD", "S/CO", "FAN"] {
        let mut sheet = Sheet::default();
        for k in 0..8 {
            let at = (60.0 * f64::from(k), 0.0);
            let symbol = sheet.insert(L, "CLG", at);
            let circle = sheet.circle("0", at, 9.0);
            sheet.put(circle, symbol);
            if k >= 6 {
                let (x, y) = at;
                sheet.text("E-TEXT", (x - 2.5 * letters.len() as f64, y - 3.0), letters);
            }
        }
        let (plan, notes) = sheet.read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 6, "{letters}: {notes:#?}");
        let question = asked(&notes, "circles-asked")[0];
        for (key, lights, devices) in [("lights", 8, 0), ("devices", 6, 2), ("ignore", 6, 0)] {
            let line = line(&question.message, key);
            let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
            let (plan, notes) = sheet.read_by(&rules);
            let got = (plan.lights.len(), plan.obstacles.len());
            assert_eq!(got, (lights, devices), "{line}: {notes:#?}");
            assert!(asked(&notes, "circles-asked").is_empty(), "{line}: {notes:#?}");
        }
    }
}
