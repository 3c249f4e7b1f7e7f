//! A row's line, offsets, stations and even pitch.

use geo::{Coord, Vector2DOps};

use super::Group;
use crate::geom::consensus::{Consensus, consensus};
use crate::geom::zone::{Fit, minimum_zone_in_y};
use crate::geom::{Line, canonical};
use crate::plan::{LightId, RoomId, Row};
use crate::rules::Rules;

/// The lower median of some gaps: of an even number the smaller of the middle two, so that among two
/// gaps a long one does not vouch for itself.
pub(super) fn median_gap(gaps: impl Iterator<Item = f64>) -> Option<f64> {
    let mut gaps: Vec<f64> = gaps.collect();
    gaps.sort_by(f64::total_cmp);
    gaps.get(gaps.len().checked_sub(1)? / 2).copied()
}

/// Differences of neighbours.
pub(super) fn gaps(stations: &[f64]) -> impl Iterator<Item = f64> + '_ {
    stations.iter().zip(stations.iter().skip(1)).map(|(a, b)| b - a)
}

/// The row line: it keeps the most lights within a quarter of the across tolerance, or, where those
/// are fewer than half of the row, within the whole of it.
pub(super) fn fit(group: &Group, members: &[usize], rules: &Rules) -> Option<Consensus> {
    let points: Vec<Coord> = members.iter().filter_map(|&i| group.at(i)).collect();
    let across = rules.tolerance.across;
    let mut found = consensus(&points, across / 4.0, group.axis)?;
    if found.kept.len() * 2 < points.len() {
        found = consensus(&points, across, group.axis)?;
    }
    let ends = (*points.first()?, *points.last()?);
    if found.line.along.dot_product(ends.1 - ends.0) < 0.0 {
        found.line.along = found.line.along * -1.0;
    }
    Some(found)
}

/// The row of these lights, its direction's angle in (-90°, 90°].
pub(super) fn row(group: &Group, members: &[usize], room: Option<RoomId>, rules: &Rules) -> Option<Row> {
    let found = fit(group, members, rules)?;
    let line = Line {
        along: canonical(found.line.along),
        ..found.line
    };
    let mut lights: Vec<(f64, LightId, Coord)> = members
        .iter()
        .filter_map(|&i| group.lights.get(i))
        .map(|&(id, p)| (line.station(p), id, p))
        .collect();
    lights.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let (start, end) = (lights.first()?.0, lights.last()?.0);
    let stations: Vec<f64> = lights.iter().map(|l| l.0 - start).collect();
    let even = even_pitch(&stations, rules.tolerance.along)?;
    Some(Row {
        lights: lights.iter().map(|l| l.1).collect(),
        room,
        from: line.at(start),
        to: line.at(end),
        offsets: lights.iter().map(|l| line.offset(l.2)).collect(),
        pitch: even.pitch,
        along: even.along,
        stations,
        straightness: found.width,
    })
}

#[derive(Clone, Debug, PartialEq)]
pub(super) struct EvenPitch {
    pub pitch: f64,
    pub along: Vec<f64>,
}

/// The even pitch whose greatest misfit is least, each light at a whole multiple. The multiples follow
/// from the median gap, or from half of it where most stations of the row are skipped: where that brings a misfit
/// above `tolerance` down to a quarter, and some lights do stand one such step apart.
pub(super) fn even_pitch(stations: &[f64], tolerance: f64) -> Option<EvenPitch> {
    let median = median_gap(gaps(stations))?;
    let whole = pitch_of(stations, median)?;
    let half = pitch_of(stations, median / 2.0);
    let half = half.filter(|h| h.single && whole.misfit > tolerance && h.misfit <= whole.misfit / 4.0);
    Some(half.unwrap_or(whole).even)
}

struct Try {
    even: EvenPitch,
    misfit: f64,
    /// Whether some gap is a single step.
    single: bool,
}

fn pitch_of(stations: &[f64], base: f64) -> Option<Try> {
    if base.is_nan() || base <= 0.0 {
        return None;
    }
    let mut multiple = 0.0;
    let mut single = false;
    let mut points = vec![Coord {
        x: 0.0,
        y: *stations.first()?,
    }];
    for (gap, &y) in gaps(stations).zip(stations.iter().skip(1)) {
        let steps = (gap / base).round().max(1.0);
        single |= steps <= 1.0;
        multiple += steps;
        points.push(Coord { x: multiple, y });
    }
    let fit: Fit = minimum_zone_in_y(&points)?;
    let even = EvenPitch {
        pitch: fit.slope,
        along: points.iter().map(|p| fit.residual(p.x, p.y)).collect(),
    };
    Some(Try {
        even,
        misfit: fit.range / 2.0,
        single,
    })
}
