//! What must stay where it is: the one question that every search for a move asks.
//!
//! A light that is *fixed* does not move at all; one on a *rail*, a centreline that is kept, moves only so that it
//! comes no further from it. Both are worked out once, on the plan as drawn: rows are numbered anew when lights move.

use std::collections::BTreeMap;

use geo::{Coord, Vector2DOps};

use crate::geom::{FUZZ, Line};
use crate::note::Note;
use crate::plan::{LightId, Plan, Row};
use crate::rules::{KeepLine, Rules};

/// Directions are the same where the sine between them is no more: rounding of angles, over 1,000 in far below what a tape tells.
const ALIGNED: f64 = 1e-9;

/// What may not move, or not everywhere.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Keep {
    fixed: BTreeMap<LightId, String>,
    rails: BTreeMap<LightId, Vec<Line>>,
    /// What the rules name and the plan does not have.
    notes: Vec<Note>,
}

impl Keep {
    /// What the rules say of this plan, related.
    pub fn of(plan: &Plan, rules: &Rules) -> Keep {
        let mut keep = Keep::default();
        let said = &rules.keep;
        for name in &said.lights {
            let named: Vec<LightId> = (0..plan.lights.len())
                .map(LightId)
                .filter(|id| {
                    let tag = plan.lights.get(id.0).and_then(|l| l.tag.as_deref());
                    same(name, &id.to_string()) || tag.is_some_and(|t| same(name, t))
                })
                .collect();
            keep.told(&named, "light", name);
            for light in named {
                keep.fix(light, format!("the rules keep {name}"));
            }
        }
        for name in &said.rows {
            let named: Vec<LightId> = row(plan, name).map_or(Vec::new(), |r| r.lights.clone());
            keep.told(&named, "row", name);
            for light in named {
                keep.fix(light, format!("the rules keep row {name}"));
            }
        }
        for name in &said.rooms {
            let is_named = |r: usize| {
                let own = plan.rooms.get(r).and_then(|r| r.name.as_deref());
                same(name, &format!("R{}", r + 1)) || own.is_some_and(|n| same(name, n))
            };
            let named: Vec<LightId> = (plan.lights.iter().enumerate())
                .filter(|(_, l)| l.room.is_some_and(|r| is_named(r.0)))
                .map(|(i, _)| LightId(i))
                .collect();
            keep.told(&named, "light in a room", name);
            for light in named {
                keep.fix(light, format!("the rules keep room {name}"));
            }
        }
        for line in &said.lines {
            keep.rail(plan, line);
        }
        for rows in &said.through {
            keep.through(plan, rows, rules);
        }
        keep
    }

    /// Lights within reach of a centreline stay on it.
    fn rail(&mut self, plan: &Plan, said: &KeepLine) {
        let unit = plan.units.inches_per_unit;
        let point = |[x, y]: [f64; 2]| Coord {
            x: x * unit,
            y: y * unit,
        };
        let Some(line) = Line::through(point(said.from), point(said.to)) else {
            self.notes.push(Note::warning(
                "keep-unknown",
                format!("[keep] the line \"{}\" has no direction on this plan", said.name),
            ));
            return;
        };
        let on: Vec<LightId> = (plan.lights.iter().enumerate())
            .filter(|(_, l)| line.offset(l.at).abs() <= said.within + FUZZ)
            .map(|(i, _)| LightId(i))
            .collect();
        self.told(&on, "light on the line", &said.name);
        for light in on {
            self.rails.entry(light).or_default().push(line);
        }
    }

    /// Rows that go on in the next room stay in one line.
    fn through(&mut self, plan: &Plan, names: &[String], rules: &Rules) {
        let mut rows: Vec<&Row> = Vec::new();
        for name in names {
            match row(plan, name) {
                Some(row) => rows.push(row),
                None => self.told(&[], "row", name),
            }
        }
        let ends = || rows.iter().flat_map(|r| [r.from, r.to]);
        let far = ends()
            .flat_map(|a| ends().map(move |b| (a, b)))
            .max_by(|(a, b), (c, d)| (*b - *a).magnitude().total_cmp(&(*d - *c).magnitude()));
        let Some(line) = far.and_then(|(a, b)| Line::through(a, b)) else {
            return;
        };
        if ends().any(|p| line.offset(p).abs() > rules.tolerance.capture) {
            self.notes.push(Note::warning(
                "keep-unknown",
                format!(
                    "[keep] rows {} do not stand in one line on this plan",
                    names.join(", ")
                ),
            ));
            return;
        }
        for &light in rows.iter().flat_map(|r| &r.lights) {
            self.rails.entry(light).or_default().push(line);
        }
    }

    fn told(&mut self, found: &[LightId], what: &str, name: &str) {
        if found.is_empty() {
            let message = format!("[keep] names {name}, but there is no such {what} on this plan");
            self.notes.push(Note::warning("keep-unknown", message));
        }
    }

    /// Remarks on what the rules name and the plan does not have.
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }

    /// Keeps one more light in its place; `why` goes on after "it may not move:".
    pub fn fix(&mut self, light: LightId, why: impl Into<String>) {
        self.fixed.entry(light).or_insert_with(|| why.into());
    }

    /// Why a light may not move at all; `None` where it may.
    pub fn why(&self, light: LightId) -> Option<&str> {
        self.fixed.get(&light).map(String::as_str)
    }

    /// Whether a light may move from one place to another.
    pub fn may_move(&self, light: LightId, from: Coord, to: Coord) -> bool {
        let rails = self.rails.get(&light).map_or(&[][..], Vec::as_slice);
        !self.fixed.contains_key(&light)
            && rails
                .iter()
                .all(|rail| rail.offset(to).abs() <= rail.offset(from).abs() + FUZZ)
    }

    /// The same as far as it is known whatever the light moves along `way`: of lines that are kept, those along it.
    pub fn may_slide(&self, light: LightId, way: Coord, from: Coord, to: Coord) -> bool {
        let rails = self.rails.get(&light).map_or(&[][..], Vec::as_slice);
        rails
            .iter()
            .filter(|rail| rail.along.wedge_product(way).abs() <= ALIGNED)
            .all(|rail| rail.offset(to).abs() <= rail.offset(from).abs() + FUZZ)
    }
}

/// Names are the same, letter case and blanks around them aside.
fn same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// The row of an id as reports give it.
fn row<'a>(plan: &'a Plan, name: &str) -> Option<&'a Row> {
    let number: usize = name.trim().strip_prefix(['W', 'w'])?.parse().ok()?;
    plan.rows.get(number.checked_sub(1)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::check;
    use crate::plan::notation::parse;
    use crate::recognise::relate;
    use crate::remedy::{Action, remedy};
    use crate::rules::parse as parse_rules;

    /// A hall with joists 16 in on centre across it and five lights in a row; the third is on a joist.
    fn hall(third: (f64, f64)) -> Plan {
        let mut text = String::from("room \"HALL\" (0,0) (320,0) (320,60) (0,60)\n");
        for i in 0..=20 {
            text += &format!("member joist ({0},0) ({0},60)\n", 16 * i);
        }
        for (x, y) in [(56.0, 30.0), (104.0, 30.0), third, (200.0, 30.0), (248.0, 30.0)] {
            text += &format!("light ({x},{y}) tag=R6\n");
        }
        parse(&text).unwrap()
    }

    fn ways(plan: &Plan, rules: &str) -> Vec<Action> {
        let rules = parse_rules(rules, None).unwrap();
        let mut plan = plan.clone();
        relate(&mut plan, &rules);
        let remedies = remedy(&plan, &mut check(&plan, &rules), &rules);
        remedies.into_iter().map(|r| r.action).collect()
    }

    fn is_moved(ways: &[Action]) -> bool {
        ways.iter().any(|w| matches!(w, Action::Move { .. }))
    }

    #[test]
    fn lights_rows_and_rooms_that_are_kept_are_not_moved() {
        let off = hall((152.0, 30.375));
        assert!(is_moved(&ways(&off, "")));
        for keep in [
            "lights = [\"L3\"]",
            "lights = [\"r6\"]",
            "rows = [\"W1\"]",
            "rooms = [\"Hall\"]",
            "rooms = [\"R1\"]",
        ] {
            let ways = ways(&off, &format!("[keep]\n{keep}\n"));
            assert!(!is_moved(&ways), "{keep}: {ways:?}");
            let said = ways
                .iter()
                .any(|w| matches!(w, Action::None { why } if why.contains("may not move")));
            assert!(said, "{keep}: {ways:?}");
        }
        assert!(
            is_moved(&ways(&off, "[keep]\nlights = [\"L1\"]\n")),
            "only what is named is kept"
        );
    }

    #[test]
    fn on_a_centreline_lights_move_along_it_only() {
        let plan = hall((152.0, 30.0));
        let line = "[[keep.line]]\nname = \"island\"\nfrom = [0, 30]\ndirection = 0\n";
        let rules = parse_rules(line, None).unwrap();
        let keep = Keep::of(&plan, &rules);
        let (at, along, across) = (
            Coord { x: 152.0, y: 30.0 },
            Coord { x: 155.0, y: 30.0 },
            Coord { x: 152.0, y: 31.0 },
        );
        assert!(keep.may_move(LightId(2), at, along));
        assert!(!keep.may_move(LightId(2), at, across));
        assert!(keep.may_move(LightId(2), across, at), "back onto it");
        assert_eq!(keep.notes(), []);
        // Square to the row, a line through the one light: it may leave the row's line by no move along the row.
        let square = "[[keep.line]]\nname = \"sink\"\nfrom = [152, 0]\nto = [152, 60]\n";
        let keep = Keep::of(&plan, &parse_rules(square, None).unwrap());
        assert!(!keep.may_move(LightId(2), at, along));
        assert!(keep.may_move(LightId(1), at, along), "not on the line");
    }

    #[test]
    fn a_light_on_a_joist_is_not_moved_off_the_centreline_it_is_kept_on() {
        // Moves along the row clear the joist; along the joist none does.
        let hit = hall((160.0, 30.0));
        let free = ways(&hit, "[tolerance]\nalong = 20\n");
        assert!(is_moved(&free), "{free:?}");
        let sink =
            "[tolerance]\nalong = 20\n[[keep.line]]\nname = \"sink\"\nfrom = [160, 0]\ndirection = 90\n";
        let kept = ways(&hit, sink);
        assert!(!is_moved(&kept), "{kept:?}");
    }

    #[test]
    fn a_row_that_goes_on_in_the_next_room_keeps_its_line() {
        let mut text = String::from(
            "room \"A\" (0,0) (200,0) (200,60) (0,60)\nroom \"B\" (200,0) (400,0) (400,60) (200,60)\n",
        );
        for x in [40, 88, 136, 240, 288, 336] {
            text += &format!("light ({x},30)\n");
        }
        let rules = parse_rules("[keep]\nthrough = [[\"W1\", \"W2\"]]\n", None).unwrap();
        let mut plan = parse(&text).unwrap();
        relate(&mut plan, &rules);
        assert_eq!(plan.rows.len(), 2);
        let keep = Keep::of(&plan, &rules);
        assert_eq!(keep.notes(), []);
        for i in 0..6 {
            let at = plan.lights[i].at;
            assert!(keep.may_move(LightId(i), at, at + Coord { x: 2.0, y: 0.0 }));
            assert!(!keep.may_move(LightId(i), at, at + Coord { x: 0.0, y: 2.0 }));
        }
    }

    #[test]
    fn what_the_plan_does_not_have_is_told() {
        let mut plan = hall((152.0, 30.0));
        let text = "[keep]\nlights = [\"L9\"]\nrows = [\"W7\", \"hall\"]\nrooms = [\"DEN\"]\nthrough = [[\"W1\", \"W8\"]]\n\
                    [[keep.line]]\nname = \"table\"\nfrom = [0, 500]\ndirection = 0\n";
        let rules = parse_rules(text, None).unwrap();
        relate(&mut plan, &rules);
        let keep = Keep::of(&plan, &rules);
        assert_eq!(keep.notes().len(), 6, "{:#?}", keep.notes());
        assert!(keep.notes().iter().all(|n| n.code == "keep-unknown"));
    }
}
