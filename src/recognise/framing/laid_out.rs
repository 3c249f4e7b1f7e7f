//! Framing laid out from the rules file, where the drawing shows none.

use geo::Coord;

use super::super::shape::{canonical, cross, dot, hull, left_of};
use crate::note::Note;
use crate::plan::{Member, MemberKind, MemberSource, Units};
use crate::rules::Rules;

/// No plan has more members than this; a spacing that asks for more is a slip of the pen.
const MOST: f64 = 20_000.0;

/// Members at the rules' spacing and direction across the hull of `points` (inches). Nothing,
/// with a note, where the rules do not tell enough: an unknown phase places no member.
pub fn laid_out(points: &[Coord], units: &Units, rules: &Rules, notes: &mut Vec<Note>) -> Vec<Member> {
    let framing = &rules.framing;
    if framing.spacing.is_none() && framing.direction.is_none() && framing.phase.is_none() {
        return Vec::new();
    }
    let (Some(spacing), Some(direction)) = (framing.spacing, framing.direction) else {
        notes.push(Note::warning(
            "framing-incomplete",
            "[framing] needs both spacing and direction before members can be laid out from it",
        ));
        return Vec::new();
    };
    let Some([px, py]) = framing.phase else {
        notes.push(Note::info(
            "framing-phase",
            "[framing] phase is unknown: where members stand is not known, and framing checks are \
             left out; measure one member and give its position as phase = [x, y]",
        ));
        return Vec::new();
    };
    let ring = hull(points);
    if ring.len() < 3 || !(spacing.is_finite() && spacing > 0.0 && direction.is_finite()) {
        return Vec::new();
    }
    let angle = direction.to_radians();
    let u = canonical(Coord {
        x: angle.cos(),
        y: angle.sin(),
    });
    let n = left_of(u);
    let phase = Coord { x: px, y: py } * units.inches_per_unit;
    let across = |p: &Coord| dot(*p - phase, n);
    let low = ring.iter().map(across).fold(f64::INFINITY, f64::min);
    let high = ring.iter().map(across).fold(f64::NEG_INFINITY, f64::max);
    if !(high - low).is_finite() || (high - low) / spacing > MOST {
        notes.push(Note::warning(
            "framing-spacing",
            "[framing] spacing is far too small for this plan: no members are laid out",
        ));
        return Vec::new();
    }
    let first = (low / spacing - 1e-9).ceil() as i64;
    let last = (high / spacing + 1e-9).floor() as i64;
    (first..=last)
        .filter_map(|k| {
            let at = phase + n * (k as f64 * spacing);
            let (from, to) = across_hull(&ring, at, u)?;
            Some(Member {
                from: at + u * from,
                to: at + u * to,
                thickness: framing.thickness,
                kind: MemberKind::Joist,
                source: MemberSource::Rules,
                plies: 1,
                handle: None,
            })
        })
        .collect()
}

/// Where the line through `at` along `u` enters and leaves a convex ring.
fn across_hull(ring: &[Coord], at: Coord, u: Coord) -> Option<(f64, f64)> {
    let mut low = f64::INFINITY;
    let mut high = f64::NEG_INFINITY;
    for (i, &a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let (sa, sb) = (cross(u, a - at), cross(u, b - at));
        if (sa > 1e-9 && sb > 1e-9) || (sa < -1e-9 && sb < -1e-9) {
            continue;
        }
        let ends = if (sa - sb).abs() < 1e-9 {
            [a, b]
        } else {
            [a + (b - a) * (sa / (sa - sb)); 2]
        };
        for p in ends {
            low = low.min(dot(p - at, u));
            high = high.max(dot(p - at, u));
        }
    }
    (high - low > 1.0).then_some((low, high))
}
