//! Round figures in pieces on light layers, and what else repeats there.

use super::{Sheet, has_note, xy};
use crate::flatten::Prim;

/// A regular polygon of loose lines about a point.
fn polygon(sheet: &mut Sheet, at: (f64, f64), radius: f64, sides: usize) {
    let corner = |k: usize| {
        let angle = k as f64 * std::f64::consts::TAU / sides as f64;
        (at.0 + radius * angle.cos(), at.1 + radius * angle.sin())
    };
    for k in 0..sides {
        sheet.line("E-LITE", corner(k), corner(k + 1));
    }
}

/// Four arcs of 80 degrees with gaps between.
fn arcs(sheet: &mut Sheet, at: (f64, f64), radius: f64) {
    for k in 0..4 {
        let start = k as f64 * std::f64::consts::FRAC_PI_2;
        let prim = Prim::Arc {
            center: xy(at.0, at.1),
            radius,
            start,
            sweep: 80f64.to_radians(),
        };
        sheet.item("E-LITE", "ARC", prim);
    }
}

fn row(draw: impl Fn(&mut Sheet, (f64, f64)), count: usize) -> Sheet {
    let mut sheet = Sheet::default();
    for x in [24.0, 72.0, 120.0] {
        sheet.light("LT-R6", (x, 120.0));
    }
    for k in 0..count {
        draw(&mut sheet, (24.0 + 48.0 * k as f64, 40.0));
    }
    sheet
}

#[test]
fn circles_in_pieces_and_octagons_are_lights() {
    for sides in [8, 10, 24] {
        let sheet = row(|s, at| polygon(s, at, 4.0, sides), 4);
        let (plan, notes) = sheet.read();
        assert_eq!(plan.lights.len(), 7, "{sides}: {notes:#?}");
        assert!(has_note(&notes, "figures-lights"));
        let light = plan.lights.iter().find(|l| l.block.is_none()).unwrap();
        assert!(
            (light.at - xy(24.0, 40.0)).x.abs() < 0.1 && (light.drawn_radius - 4.0).abs() < 0.1,
            "{light:?}"
        );
    }
    let (plan, notes) = row(|s, at| arcs(s, at, 4.0), 4).read();
    assert_eq!(plan.lights.len(), 7, "{notes:#?}");
}

/// A ring as a polyline that is not closed but ends where it begins.
fn spline(sheet: &mut Sheet, at: (f64, f64), radius: f64) {
    let corner = |k: u32| {
        let angle = f64::from(k) * std::f64::consts::TAU / 48.0;
        (at.0 + radius * angle.cos(), at.1 + radius * angle.sin())
    };
    let points: Vec<(f64, f64)> = (0..=48).map(corner).collect();
    sheet.path("E-LITE", &points, false);
}

#[test]
fn wires_from_rim_to_rim_are_no_part_of_a_figure() {
    for form in [
        |s: &mut Sheet, at| polygon(s, at, 4.0, 24),
        |s: &mut Sheet, at| spline(s, at, 4.0),
    ] {
        for pitch in [30.0, 40.0, 54.0, 70.0] {
            let mut sheet = Sheet::default();
            for k in 0..4 {
                let x = 24.0 + pitch * f64::from(k);
                form(&mut sheet, (x, 40.0));
                if k > 0 {
                    sheet.line("E-LITE", (x - pitch + 4.0, 40.0), (x - 4.0, 40.0));
                }
            }
            let (plan, notes) = sheet.read();
            assert_eq!(plan.lights.len(), 4, "{pitch}: {notes:#?}");
        }
    }
}

#[test]
fn what_is_not_round_or_does_not_repeat_is_asked_about() {
    let hexagons = row(|s, at| polygon(s, at, 4.0, 6), 4);
    let long = row(
        |s, (x, y)| {
            s.path(
                "E-LITE",
                &[(x, y), (x + 48.0, y), (x + 48.0, y + 12.0), (x, y + 12.0)],
                true,
            );
        },
        1,
    );
    let mut fixtures = Sheet::default();
    for k in 0..3 {
        let y = 40.0 * k as f64;
        fixtures.path(
            "E-LITE",
            &[(0.0, y), (48.0, y), (48.0, y + 12.0), (0.0, y + 12.0)],
            true,
        );
    }
    for (sheet, lights, asked) in [
        (hexagons, 3, true),
        (long, 3, false),
        (fixtures, 0, true),
        (row(|s, at| polygon(s, at, 4.0, 24), 2), 3, true),
    ] {
        let (plan, notes) = sheet.read();
        assert_eq!(plan.lights.len(), lights, "{notes:#?}");
        assert_eq!(has_note(&notes, "figures-asked"), asked, "{notes:#?}");
    }
}

#[test]
fn crosses_of_loose_lights_and_leaders_are_no_figures() {
    let mut sheet = Sheet::default();
    for x in [24.0, 72.0, 120.0] {
        sheet.circle("E-LITE", (x, 60.0), 4.0);
        sheet.line("E-LITE", (x - 5.0, 60.0), (x + 5.0, 60.0));
        sheet.line("E-LITE", (x, 55.0), (x, 65.0));
    }
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights.len(), 3);
    assert!(
        !has_note(&notes, "figures-asked") && !has_note(&notes, "figures-lights"),
        "{notes:#?}"
    );
}
