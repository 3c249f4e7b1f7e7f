//! A plan to the notation.

use std::fmt::Write;

use geo::Coord;

use crate::plan::{
    Callout, Light, Linework, Member, MemberKind, MemberSource, Opening, Plan, Room, Row, Side,
};

/// Writes the notation, derived facts and all; `parse(&dump(p))` gives `p` back exactly, as long
/// as all numbers of `p` are numbers and its points finite.
pub fn dump(plan: &Plan) -> String {
    let mut out = String::new();
    let u = &plan.units;
    line(
        &mut out,
        format!("units {} {} {}", u.name, u.inches_per_unit, quote(&u.why)),
    );
    if let Some(axis) = plan.axis {
        line(&mut out, format!("axis {}", point(axis)));
    }
    for room in &plan.rooms {
        line(&mut out, self::room(room));
    }
    for member in &plan.members {
        line(&mut out, self::member(member));
    }
    for callout in &plan.callouts {
        line(&mut out, self::callout(callout));
    }
    for opening in &plan.openings {
        line(&mut out, self::opening(opening));
    }
    for (a, b) in &plan.walls {
        line(&mut out, format!("wall {} {}", point(*a), point(*b)));
    }
    for device in &plan.obstacles {
        line(
            &mut out,
            format!("device {}{}", quote(&device.name), points(&device.outline)),
        );
    }
    for (i, light) in plan.lights.iter().enumerate() {
        line(&mut out, self::light(light));
        if let Some(bay) = &light.bay {
            let (left, right) = (side("left", &bay.left), side("right", &bay.right));
            line(
                &mut out,
                format!("bay L{} along={}{left}{right}", i + 1, point(bay.along)),
            );
        }
    }
    for row in &plan.rows {
        line(&mut out, self::row(row));
    }
    for drawn in &plan.linework {
        line(&mut out, linework(drawn));
    }
    for u in &plan.unclaimed {
        line(
            &mut out,
            format!("unclaimed {} {} {}", quote(&u.layer), quote(&u.entity), u.count),
        );
    }
    let c = plan.counts;
    line(
        &mut out,
        format!(
            "counts entities={} claimed={} unclaimed={} dropped={}",
            c.entities, c.claimed, c.unclaimed, c.dropped
        ),
    );
    out
}

fn line(out: &mut String, text: String) {
    out.push_str(&text);
    out.push('\n');
}

fn room(room: &Room) -> String {
    let mut s = String::from("room");
    if let Some(name) = &room.name {
        put(&mut s, quote(name));
    }
    for (is, flag) in [
        (room.hall, "hall"),
        (room.insulated, "insulated"),
        (!room.drawn, "inferred"),
    ] {
        if is {
            put(&mut s, flag);
        }
    }
    if let Some(class) = room.class {
        put(&mut s, format!("class={class}"));
    }
    if let Some(ceiling) = room.ceiling {
        put(&mut s, format!("ceiling={ceiling}"));
    }
    put(&mut s, format!("axis={}", point(room.axis)));
    s + &points(&room.outline)
}

fn opening(opening: &Opening) -> String {
    let Opening { kind, from, to, .. } = opening;
    let mut s = format!("opening {kind} {} {}", point(*from), point(*to));
    for (key, room) in [("left", opening.left), ("right", opening.right)] {
        if let Some(room) = room {
            put(&mut s, format!("{key}={room}"));
        }
    }
    s
}

fn kind(kind: MemberKind) -> &'static str {
    match kind {
        MemberKind::Joist => "joist",
        MemberKind::Truss => "truss",
        MemberKind::Beam => "beam",
        MemberKind::Header => "header",
        MemberKind::Block => "block",
    }
}

fn callout(callout: &Callout) -> String {
    let mut s = format!("callout {} {}", kind(callout.kind), quote(&callout.text));
    if let Some(at) = callout.at {
        put(&mut s, point(at));
    }
    put(
        &mut s,
        format!("t={} spacing={}", callout.thickness, callout.spacing),
    );
    put(&mut s, format!("along={}", point(callout.along)));
    if let Some(depth) = callout.depth {
        put(&mut s, format!("depth={depth}"));
    }
    if let Some(room) = callout.room {
        put(&mut s, format!("room={room}"));
    }
    if let Some(handle) = &callout.handle {
        put(&mut s, format!("handle={}", quote(handle)));
    }
    s
}

fn member(member: &Member) -> String {
    let kind = kind(member.kind);
    let mut s = format!(
        "member {kind} {} {} t={}",
        point(member.from),
        point(member.to),
        member.thickness
    );
    if member.plies != 1 {
        put(&mut s, format!("plies={}", member.plies));
    }
    match member.source {
        MemberSource::Drawn => {}
        MemberSource::Centreline => put(&mut s, "source=centreline"),
        MemberSource::Rules => put(&mut s, "source=rules"),
        MemberSource::Second => put(&mut s, "source=second"),
    }
    if let Some(handle) = &member.handle {
        put(&mut s, format!("handle={}", quote(handle)));
    }
    s
}

fn light(light: &Light) -> String {
    let mut s = format!("light {}", point(light.at));
    for (key, text) in [
        ("tag", &light.tag),
        ("block", &light.block),
        ("handle", &light.handle),
    ] {
        if let Some(text) = text {
            put(&mut s, format!("{key}={}", quote(text)));
        }
    }
    put(
        &mut s,
        format!("offset={} r={}", light.offset, light.drawn_radius),
    );
    if let Some(i) = light.schedule {
        put(&mut s, format!("schedule={i}"));
    }
    if !light.stacked.is_empty() {
        put(
            &mut s,
            format!("stacked={}", list(light.stacked.iter().map(|p| point(*p)))),
        );
    }
    if let Some(room) = light.room {
        put(&mut s, format!("room={room}"));
    }
    if !light.rows.is_empty() {
        put(&mut s, format!("rows={}", list(&light.rows)));
    }
    s
}

fn side(key: &str, side: &Side) -> String {
    let mut s = format!(" {key}={}", side.room);
    if let Some(m) = side.member {
        let _ = write!(s, ",{m}");
    }
    if let Some(wall) = side.wall {
        put(&mut s, format!("{key}-wall={wall}"));
    }
    s
}

fn row(row: &Row) -> String {
    let mut s = String::from("row");
    if !row.lights.is_empty() {
        put(&mut s, format!("lights={}", list(&row.lights)));
    }
    if let Some(room) = row.room {
        put(&mut s, format!("room={room}"));
    }
    put(&mut s, format!("{} {}", point(row.from), point(row.to)));
    for (key, values) in [("offsets", &row.offsets), ("stations", &row.stations)] {
        if !values.is_empty() {
            put(&mut s, format!("{key}={}", list(values)));
        }
    }
    put(&mut s, format!("pitch={}", row.pitch));
    if !row.along.is_empty() {
        put(&mut s, format!("along={}", list(&row.along)));
    }
    put(&mut s, format!("straightness={}", row.straightness));
    s
}

fn linework(drawn: &Linework) -> String {
    match drawn {
        Linework::Path { points: p, closed } => {
            format!("path{}{}", if *closed { " closed" } else { "" }, points(p))
        }
        Linework::Text {
            at,
            height,
            angle,
            centred,
            text,
        } => format!(
            "text {} {} height={height} angle={angle}{}",
            quote(text),
            point(*at),
            if *centred { " centred" } else { "" }
        ),
    }
}

/// Appends one more word.
fn put(line: &mut String, word: impl AsRef<str>) {
    line.push(' ');
    line.push_str(word.as_ref());
}

fn list<T: ToString>(items: impl IntoIterator<Item = T>) -> String {
    items
        .into_iter()
        .map(|i| i.to_string())
        .collect::<Vec<_>>()
        .join(",")
}

fn point(p: Coord) -> String {
    format!("({},{})", p.x, p.y)
}

fn points(points: &[Coord]) -> String {
    points.iter().fold(String::new(), |s, p| s + " " + &point(*p))
}

fn quote(text: &str) -> String {
    let mut s = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => s.push_str("\\\""),
            '\\' => s.push_str("\\\\"),
            '\n' => s.push_str("\\n"),
            '\r' => s.push_str("\\r"),
            c => s.push(c),
        }
    }
    s.push('"');
    s
}
