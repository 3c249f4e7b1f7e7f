//! Houses of two rooms, drawn as rooms, as walls or as both, with what stands in them.

use bayline::plan::OpeningKind;
use geo::Coord;

use super::draw::{Random, Sheet};
use super::framing::{Area, SPACINGS, WRITTEN, written};
use super::pen::at;
use super::shell::{Frame, Habit, OUTER, Shell, Sills, outward};

pub const HOUSES: [&str; 17] = [
    "closed outlines",
    "closed outlines, one with six corners",
    "closed outlines, joists both ways with a beam between",
    "walls only, with a door's gap",
    "walls only, closed polylines",
    "walls only, wide polylines",
    "walls only, hatched",
    "walls only, in a nested block",
    "walls only, broken at windows",
    "walls only, one slanted",
    "closed outlines, a wing turned by 30 degrees",
    "walls only, a wing turned by 30 degrees",
    "walls only, hatches without lines",
    "walls only, a round bay",
    "walls only, a rounded corner",
    "walls only, multilines",
    "walls only, a cased opening",
];

/// Thickness of the wall between, inches.
const BETWEEN: f64 = 4.5;
/// Sides of the corner that a slanted wall cuts off.
const CUT: f64 = 40.0;
/// Radius of a rounded corner.
const ROUND: f64 = 36.0;
/// A wing stands so far above the lower room that their walls do not meet.
const WING: f64 = 16.0;

/// A house of the given kind, and the styles of its lights and framing.
#[derive(Clone, Copy)]
pub struct Kind {
    pub house: usize,
    pub lights: usize,
    pub framing: usize,
}

impl Kind {
    fn drawn(self) -> bool {
        matches!(self.house, 0..=2 | 10)
    }

    fn slanted(self) -> bool {
        self.house == 9
    }

    fn rounded(self) -> bool {
        self.house == 14
    }

    fn wing(self) -> bool {
        matches!(self.house, 10 | 11)
    }
}

/// Draws the house; how wide and how high it is.
pub fn house(sheet: &mut Sheet, r: &mut Random, kind: Kind, names: [&str; 2]) -> (f64, f64) {
    let width = 120.0 + r.below(100) as f64;
    let heights = [110.0 + r.below(60) as f64, 100.0 + r.below(60) as f64];
    let low = heights[0] + if kind.wing() { WING } else { BETWEEN };
    let top = low + heights[1];
    let ring = |high: f64| [at(0.0, 0.0), at(width, 0.0), at(width, high), at(0.0, high)];
    let upper = Frame {
        about: at(0.0, low),
        turn: if kind.wing() { 30.0 } else { 0.0 },
    };
    let one = ring(heights[0]);
    let mut first = one.to_vec();
    if kind.house == 1 {
        // The six-cornered room has a nook beyond the width of the house.
        first = vec![
            one[0],
            at(width + 60.0, 0.0),
            at(width + 60.0, 50.0),
            at(width, 50.0),
            one[2],
            one[3],
        ];
    } else if kind.slanted() {
        first.splice(1..2, [at(width - CUT, 0.0), at(width, CUT)]);
    }
    let mut first: Vec<(Coord, f64)> = first.into_iter().map(|p| (p, 0.0)).collect();
    round(kind, r, width, &mut first);
    sheet.room(names[0], &first, kind.drawn());
    let second = ring(heights[1]).map(|p| (upper.put(p), 0.0));
    sheet.room(names[1], &second, kind.drawn());
    if !kind.drawn() {
        walls(sheet, r, kind, (width, heights), &first, names);
    }
    for (i, frame) in [Frame::PLAN, upper].into_iter().enumerate() {
        sheet.rows(kind.lights, frame, width, heights[i], 3 + r.below(2));
        let middle = frame.put(at(width / 2.0 - 10.0, heights[i] / 2.0));
        match r.below(2) {
            0 => sheet.pen.words("A-ANNO-NAME", middle, 6.0, names[i]),
            _ => sheet.pen.paragraph("A-ANNO-NAME", middle, 6.0, names[i]),
        }
    }
    framing(sheet, r, kind, (width, heights, upper), names);
    (width, top)
}

/// Rounds a wall of the lower room: a bay below it, or the corner at its lower right.
fn round(kind: Kind, r: &mut Random, width: f64, ring: &mut Vec<(Coord, f64)>) {
    if kind.house == 13 {
        let (half, radius) = (30.0, [34.0, 42.0, 60.0][r.below(3)]);
        let (a, b) = (at(width / 2.0 - half, 0.0), at(width / 2.0 + half, 0.0));
        // A quarter of the arc's angle is half the angle whose sine is half the chord over the radius.
        let bulge = ((half / radius).asin() / 2.0).tan();
        ring.splice(1..1, [(a, bulge), (b, 0.0)]);
    } else if kind.rounded() {
        let bulge = (std::f64::consts::PI / 8.0).tan();
        ring.splice(1..2, [(at(width - ROUND, 0.0), bulge), (at(width, ROUND), 0.0)]);
    }
}

/// Both faces of every wall in the house's habit, and a door between the rooms. `lower` is the lower room.
fn walls(
    sheet: &mut Sheet,
    r: &mut Random,
    kind: Kind,
    (width, heights): (f64, [f64; 2]),
    lower: &[(Coord, f64)],
    names: [&str; 2],
) {
    let layer = sheet.names[2];
    let (one, two) = (heights[0], heights[0] + BETWEEN);
    let top = two + heights[1];
    let high = if kind.wing() { one } else { top };
    let mut inner: Vec<Coord> = lower.iter().map(|p| p.0).collect();
    // Its upper corners are those of the whole house.
    let n = inner.len();
    inner.splice(n - 2.., [at(width, high), at(0.0, high)]);
    let bulges: Vec<f64> = lower.iter().map(|p| p.1).collect();
    let bulges = if bulges.iter().all(|b| *b == 0.0) {
        Vec::new()
    } else {
        bulges
    };
    let cased = kind.house == 16;
    let gap = if cased { [30.0, 78.0] } else { [30.0, 62.0] };
    let mut windows = Vec::new();
    if matches!(kind.house, 8 | 15) {
        // Below the lower room, and two to the left and right of the upper one.
        windows.push((at(40.0, 0.0), at(76.0, 0.0)));
        windows.push((at(width, two + 20.0), at(width, two + 50.0)));
        windows.push((at(0.0, two + 80.0), at(0.0, two + 32.0)));
    }
    let main = Shell {
        frame: Frame::PLAN,
        inner,
        bulges,
        between: (!kind.wing()).then_some(([one, two], gap)),
        windows,
    };
    let habit = match (kind.house, r.below(3)) {
        (4, 0) => Habit::Rings,
        (4, _) => Habit::Outlines,
        (5, _) => Habit::Wide,
        (6, 0) => Habit::Hatched("A-WALL-PATT", true),
        (6, _) => Habit::Hatched(layer, true),
        (12, _) => Habit::Hatched(layer, false),
        (7, 0) => Habit::Nested("0", layer),
        (7, _) => Habit::Nested(layer, "0"),
        (13 | 14, 0) => Habit::Rings,
        (14, 1) => Habit::Wide,
        (15, _) => Habit::Multilines,
        (8 | 9 | 11 | 16, 0) => Habit::Outlines,
        (8 | 9 | 11 | 16, 1) => Habit::Wide,
        _ => Habit::Lines,
    };
    main.draw(&mut sheet.pen, &mut sheet.blocks, habit, layer, "");
    let sills = match r.below(3) {
        0 => Sills::Three(None),
        1 => Sills::Three(Some(layer)),
        _ => Sills::Thirds(layer),
    };
    main.sills(&mut sheet.pen, sills);
    if kind.wing() {
        let (low, high) = (at(0.0, 0.0), at(width, heights[1]));
        let wing = Shell {
            frame: Frame {
                about: at(0.0, one + WING),
                turn: 30.0,
            },
            inner: vec![low, at(high.x, low.y), high, at(low.x, high.y)],
            bulges: Vec::new(),
            between: None,
            windows: Vec::new(),
        };
        wing.draw(&mut sheet.pen, &mut sheet.blocks, habit, layer, "2");
        return;
    }
    // What goes on in the faces' lines on the walls' layer closes the wall, and is no opening to a reader.
    let closed = sills == Sills::Three(Some(layer));
    for &(a, b) in main.windows.iter().filter(|_| !closed) {
        let middle = outward(a, b) * (OUTER / 2.0);
        let of = if a.y.max(b.y) < one { names[0] } else { names[1] };
        sheet.opening(OpeningKind::Window, a + middle, b + middle, &[of]);
    }
    let y = (one + two) / 2.0;
    let of = if cased {
        OpeningKind::Cased
    } else {
        OpeningKind::Door
    };
    sheet.opening(of, at(gap[0], y), at(gap[1], y), &names);
    if cased {
        return;
    }
    let leaf = gap[1] - gap[0];
    sheet.pen.arc("A-DOOR", at(gap[0], two), leaf, 0.0, 90.0);
    sheet.pen.line("A-DOOR", at(gap[0], two), at(gap[0], two + leaf));
}

/// Members over both rooms, or over each by itself.
fn framing(
    sheet: &mut Sheet,
    r: &mut Random,
    kind: Kind,
    (width, heights, upper): (f64, [f64; 2], Frame),
    names: [&str; 2],
) {
    let top = upper.about.y + heights[1];
    let first = 5.0 + r.below(8) as f64;
    let (spacing, words) = SPACINGS[r.below(SPACINGS.len())];
    let fits = |room: f64| ((room - 4.0 - first) / spacing).ceil() as usize;
    let both_ways = kind.house == 2;
    if both_ways {
        // A beam of 3 1/2 in between the two.
        let (low, high) = (heights[0] + 0.5, heights[0] + 4.0);
        sheet.member(kind.framing, at(0.0, low), at(width, high));
    }
    if kind.framing == WRITTEN {
        let x = width / 2.0 + 3.0;
        let up = |frame: Frame, high: f64| (frame.put(at(x, 8.0)), frame.put(at(x, high - 8.0)));
        let level = (at(8.0, top - 14.0), at(width - 8.0, top - 14.0));
        let second = if both_ways { level } else { up(upper, heights[1]) };
        for ((from, to), name) in [(up(Frame::PLAN, heights[0]), names[0]), (second, names[1])] {
            written(&mut sheet.pen, words, from, to);
            let along = sheet.world(to) - sheet.world(from);
            sheet.written.push((along, spacing, name.to_string()));
        }
        return;
    }
    let through = !both_ways && !kind.wing();
    let up = Area {
        origin: at(first, 0.0),
        along: at(0.0, 1.0),
        length: if through { top } else { heights[0] },
        spacing,
        count: fits(width),
        wall: through.then_some((heights[0], heights[0] + BETWEEN)),
        cut: if kind.slanted() {
            width - CUT - first
        } else if kind.rounded() {
            width - ROUND - first
        } else {
            width
        },
        round: if kind.rounded() { ROUND } else { 0.0 },
        edge: first,
        width,
        beam: both_ways,
    };
    sheet.framing(kind.framing, &up, "1");
    if both_ways {
        let level = Area {
            // In line with none of the others.
            origin: at(0.0, top - first - 3.0),
            along: at(1.0, 0.0),
            length: width,
            count: fits(heights[1]),
            wall: None,
            cut: top,
            round: 0.0,
            edge: first + 3.0,
            width: heights[1],
            beam: false,
            ..up
        };
        sheet.framing(kind.framing, &level, "2");
    } else if kind.wing() {
        let wing = Area {
            origin: upper.put(at(first, 0.0)),
            along: upper.turned(at(0.0, 1.0)),
            length: heights[1],
            ..up
        };
        sheet.framing(kind.framing, &wing, "2");
    }
}
