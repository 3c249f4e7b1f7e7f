//! Directions: strokes and outlines of one direction are one family.

use geo::Coord;

use super::super::shape::{between_degrees, canonical, distance, line_degrees, unit};
use super::super::tolerance::{FAMILY_DEGREES, PARALLEL_DEGREES, SHORTEST_FACE};
use super::Drawn;

/// Unit vectors of all families by angle; each piece is told its own. A family's direction is
/// that of its longest line: a short one is drawn less exactly.
pub fn families(drawn: &mut Drawn) -> Vec<Coord> {
    let faces = (drawn.strokes.iter().map(|s| (s.a, s.b))).filter(|(a, b)| distance(*a, *b) >= SHORTEST_FACE);
    let lines = (drawn.pieces.iter().map(|p| (p.from, p.to))).chain(faces);
    let mut angles: Vec<(f64, f64, Coord)> = lines
        .filter_map(|(a, b)| {
            let u = canonical(unit(b - a)?);
            Some((line_degrees(u), distance(a, b), u))
        })
        .collect();
    angles.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
    let mut groups: Vec<Vec<(f64, f64, Coord)>> = Vec::new();
    for line in angles {
        match groups.last_mut() {
            Some(g)
                if g.last().is_some_and(|l| line.0 - l.0 <= PARALLEL_DEGREES)
                    && line.0 - g[0].0 <= FAMILY_DEGREES =>
            {
                g.push(line);
            }
            _ => groups.push(vec![line]),
        }
    }
    // Just above -90° and 90° are one direction.
    if groups.len() > 1 {
        let low = groups[0][0].0 + 180.0;
        let high = groups[groups.len() - 1].last().map_or(0.0, |l| l.0);
        if low - high <= PARALLEL_DEGREES {
            let first = groups.remove(0);
            if let Some(last) = groups.last_mut() {
                last.extend(first);
            }
        }
    }
    let mut families: Vec<Coord> = groups
        .iter()
        .filter_map(|g| {
            g.iter()
                .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.total_cmp(&a.0)))
                .map(|l| l.2)
        })
        .collect();
    families.sort_by(|a, b| line_degrees(*a).total_cmp(&line_degrees(*b)));
    for piece in &mut drawn.pieces {
        if let Some(family) = unit(piece.to - piece.from).and_then(|u| of(&families, u)) {
            piece.family = family;
        }
    }
    families
}

/// The family that a line along `u` belongs to. `families` are sorted by angle.
pub fn of(families: &[Coord], u: Coord) -> Option<usize> {
    let degrees = line_degrees(u);
    let n = families.len();
    let above = families.partition_point(|f| line_degrees(*f) < degrees);
    // Its neighbours by angle; the first and the last are neighbours too, across ±90°.
    [above, above + n.max(1) - 1]
        .into_iter()
        .filter(|_| n > 0)
        .map(|i| (i % n, between_degrees(families[i % n], u)))
        .filter(|(_, d)| *d <= FAMILY_DEGREES * 1.01)
        .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
        .map(|(i, _)| i)
}
