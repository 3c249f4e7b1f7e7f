//! The notation to a plan.

use geo::Coord;

use super::words::{Parts, cut, id, number};
use crate::plan::{
    Bay, Callout, Counts, Light, LightId, Linework, Member, MemberId, MemberKind, MemberSource, Obstacle,
    Opening, Plan, Room, RoomId, Row, RowId, Side, Unclaimed, Units,
};

/// Reads the notation. The error says the line and what was wrong.
pub fn parse(text: &str) -> Result<Plan, String> {
    let mut plan = Plan {
        units: Units {
            name: "in".into(),
            inches_per_unit: 1.0,
            why: "given".into(),
        },
        lights: Vec::new(),
        members: Vec::new(),
        callouts: Vec::new(),
        rooms: Vec::new(),
        openings: Vec::new(),
        walls: Vec::new(),
        axis: None,
        obstacles: Vec::new(),
        rows: Vec::new(),
        linework: Vec::new(),
        unclaimed: Vec::new(),
        counts: Counts::default(),
    };
    let mut bays = Vec::new();
    for (i, line) in text.lines().enumerate() {
        let told = |e: String| format!("line {}: {e}", i + 1);
        if let Some((what, mut parts)) = cut(line).map_err(told)? {
            read(&mut plan, &mut bays, &what, &mut parts)
                .and_then(|()| parts.finish())
                .map_err(|e| format!("line {}: {what}: {e}", i + 1))?;
        }
    }
    for (light, bay) in bays {
        let light: usize = light;
        plan.lights
            .get_mut(light)
            .ok_or_else(|| format!("a bay is for {}, which is not there", LightId(light)))?
            .bay = Some(bay);
    }
    references(&plan)?;
    Ok(plan)
}

fn read(plan: &mut Plan, bays: &mut Vec<(usize, Bay)>, what: &str, parts: &mut Parts) -> Result<(), String> {
    match what {
        "units" => plan.units = units(parts)?,
        "axis" => plan.axis = Some(one_point(parts)?),
        "room" => plan.rooms.push(room(parts)?),
        "member" => plan.members.push(member(parts)?),
        "callout" => plan.callouts.push(callout(parts)?),
        "opening" => plan.openings.push(opening(parts)?),
        "wall" => plan.walls.push((one_point(parts)?, one_point(parts)?)),
        "device" => plan.obstacles.push(Obstacle {
            name: parts.string().unwrap_or_default(),
            outline: std::mem::take(&mut parts.points),
        }),
        "light" => plan.lights.push(light(parts)?),
        "bay" => bays.push(bay(parts)?),
        "row" => plan.rows.push(row(parts)?),
        "path" => plan.linework.push(Linework::Path {
            closed: parts.flag("closed"),
            points: std::mem::take(&mut parts.points),
        }),
        "text" => plan.linework.push(Linework::Text {
            at: one_point(parts)?,
            height: parts.number("height")?.unwrap_or(6.0),
            angle: parts.number("angle")?.unwrap_or(0.0),
            centred: parts.flag("centred"),
            text: parts.string().unwrap_or_default(),
        }),
        "unclaimed" => plan.unclaimed.push(Unclaimed {
            layer: parts.string().ok_or("a quoted layer is wanted")?,
            entity: parts.string().ok_or("a quoted entity is wanted")?,
            count: parts
                .bare()
                .and_then(|n| n.parse().ok())
                .ok_or("a count is wanted")?,
        }),
        "counts" => {
            plan.counts = Counts {
                entities: parts.count("entities")?.unwrap_or(0),
                claimed: parts.count("claimed")?.unwrap_or(0),
                unclaimed: parts.count("unclaimed")?.unwrap_or(0),
                dropped: parts.count("dropped")?.unwrap_or(0),
            }
        }
        _ => return Err("this word opens no line".into()),
    }
    Ok(())
}

fn one_point(parts: &mut Parts) -> Result<Coord, String> {
    parts.point().ok_or_else(|| "a point (x,y) is missing".into())
}

fn units(parts: &mut Parts) -> Result<Units, String> {
    let name = parts.bare().ok_or("a unit is missing")?;
    let usual = match name.as_str() {
        "in" => 1.0,
        "ft" => 12.0,
        "mm" => 1.0 / 25.4,
        "cm" => 1.0 / 2.54,
        "m" => 1.0 / 0.0254,
        _ => return Err(format!("`{name}` is none of in, ft, mm, cm, m")),
    };
    Ok(Units {
        inches_per_unit: parts.bare().map(|n| number(&n)).transpose()?.unwrap_or(usual),
        why: parts.string().unwrap_or_else(|| "given".into()),
        name,
    })
}

fn room(parts: &mut Parts) -> Result<Room, String> {
    let axis = parts.points("axis")?.first().copied();
    let outline = std::mem::take(&mut parts.points);
    Ok(Room {
        name: parts.string(),
        class: parts.text("class").map(|c| c.parse()).transpose()?,
        hall: parts.flag("hall"),
        axis: axis.unwrap_or_else(|| longest_wall(&outline)),
        insulated: parts.flag("insulated"),
        ceiling: parts.number("ceiling")?,
        drawn: !parts.flag("inferred"),
        outline,
    })
}

fn opening(parts: &mut Parts) -> Result<Opening, String> {
    Ok(Opening {
        kind: parts.bare().ok_or("a kind is missing")?.parse()?,
        from: one_point(parts)?,
        to: one_point(parts)?,
        left: parts.id("left", 'R')?.map(RoomId),
        right: parts.id("right", 'R')?.map(RoomId),
    })
}

/// Unit vector of the longest edge (the first of equals), angle in (-90°, 90°].
fn longest_wall(outline: &[Coord]) -> Coord {
    let mut best = (0.0, Coord { x: 1.0, y: 0.0 });
    for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        let d = *b - *a;
        let long = d.x.hypot(d.y);
        if long > best.0 {
            best = (long, d / long);
        }
    }
    let d = best.1;
    if d.x < 0.0 || (d.x == 0.0 && d.y < 0.0) {
        Coord {
            x: 0.0 - d.x,
            y: 0.0 - d.y,
        }
    } else {
        d
    }
}

fn kind(parts: &mut Parts) -> Result<MemberKind, String> {
    match parts.bare().as_deref() {
        Some("joist") => Ok(MemberKind::Joist),
        Some("truss") => Ok(MemberKind::Truss),
        Some("beam") => Ok(MemberKind::Beam),
        Some("header") => Ok(MemberKind::Header),
        Some("block") => Ok(MemberKind::Block),
        _ => Err("joist, truss, beam, header or block is wanted".into()),
    }
}

fn callout(parts: &mut Parts) -> Result<Callout, String> {
    Ok(Callout {
        kind: kind(parts)?,
        text: parts.string().unwrap_or_default(),
        at: parts.point(),
        handle: parts.text("handle"),
        thickness: parts.number("t")?.unwrap_or(1.5),
        depth: parts.number("depth")?,
        spacing: parts.number("spacing")?.ok_or("`spacing=` is missing")?,
        along: (parts.points("along")?.first().copied()).ok_or("`along=(x,y)` is missing")?,
        room: parts.id("room", 'R')?.map(RoomId),
    })
}

fn member(parts: &mut Parts) -> Result<Member, String> {
    let kind = kind(parts)?;
    let source = match parts.text("source").as_deref() {
        None | Some("drawn") => MemberSource::Drawn,
        Some("centreline") => MemberSource::Centreline,
        Some("rules") => MemberSource::Rules,
        Some("second") => MemberSource::Second,
        Some(other) => {
            return Err(format!(
                "source: `{other}` is none of drawn, centreline, rules, second"
            ));
        }
    };
    let plies = parts.count("plies")?.unwrap_or(1);
    Ok(Member {
        from: one_point(parts)?,
        to: one_point(parts)?,
        thickness: parts.number("t")?.unwrap_or(1.5),
        kind,
        source,
        plies: u8::try_from(plies).map_err(|_| format!("plies: {plies} is too many"))?,
        handle: parts.text("handle"),
    })
}

fn light(parts: &mut Parts) -> Result<Light, String> {
    Ok(Light {
        at: one_point(parts)?,
        tag: parts.text("tag"),
        block: parts.text("block"),
        handle: parts.text("handle"),
        offset: parts.count("offset")?.unwrap_or(0),
        drawn_radius: parts.number("r")?.unwrap_or(3.0),
        schedule: parts.count("schedule")?,
        stacked: parts.points("stacked")?,
        room: parts.id("room", 'R')?.map(RoomId),
        rows: parts.ids("rows", 'W')?.into_iter().map(RowId).collect(),
        bay: None,
    })
}

fn bay(parts: &mut Parts) -> Result<(usize, Bay), String> {
    let light = id(&parts.bare().ok_or("a light is missing")?, 'L')?;
    let along = parts
        .points("along")?
        .first()
        .copied()
        .ok_or("`along=(x,y)` is missing")?;
    let bay = Bay {
        along,
        left: side(parts, "left")?,
        right: side(parts, "right")?,
    };
    Ok((light, bay))
}

/// `left=7.25,M3 left-wall=20`; without a member `left=inf`.
fn side(parts: &mut Parts, key: &str) -> Result<Side, String> {
    let text = parts.text(key).ok_or_else(|| format!("`{key}=` is missing"))?;
    let (room, member) = match text.split_once(',') {
        Some((room, m)) => (room, Some(MemberId(id(m, 'M')?))),
        None => (text.as_str(), None),
    };
    Ok(Side {
        room: number(room)?,
        member,
        wall: parts.number(&format!("{key}-wall"))?,
    })
}

fn row(parts: &mut Parts) -> Result<Row, String> {
    let lights: Vec<LightId> = parts.ids("lights", 'L')?.into_iter().map(LightId).collect();
    let row = Row {
        room: parts.id("room", 'R')?.map(RoomId),
        from: one_point(parts)?,
        to: one_point(parts)?,
        offsets: parts.numbers("offsets")?,
        stations: parts.numbers("stations")?,
        pitch: parts.number("pitch")?.unwrap_or(0.0),
        along: parts.numbers("along")?,
        straightness: parts.number("straightness")?.unwrap_or(0.0),
        lights,
    };
    for (name, list) in [
        ("offsets", &row.offsets),
        ("stations", &row.stations),
        ("along", &row.along),
    ] {
        if list.len() != row.lights.len() {
            return Err(format!("{name}: {} for {} lights", list.len(), row.lights.len()));
        }
    }
    Ok(row)
}

/// Every id that is named must be there.
fn references(plan: &Plan) -> Result<(), String> {
    let missing = |what: String, who: String| Err(format!("{who} names {what}, which is not there"));
    for (i, light) in plan.lights.iter().enumerate() {
        let who = LightId(i).to_string();
        if let Some(r) = light.room.filter(|r| r.0 >= plan.rooms.len()) {
            return missing(r.to_string(), who);
        }
        if let Some(w) = light.rows.iter().find(|w| w.0 >= plan.rows.len()) {
            return missing(w.to_string(), who);
        }
        let sides = light.bay.iter().flat_map(|b| [b.left.member, b.right.member]);
        if let Some(m) = sides.flatten().find(|m| m.0 >= plan.members.len()) {
            return missing(m.to_string(), who);
        }
    }
    for (i, callout) in plan.callouts.iter().enumerate() {
        if let Some(r) = callout.room.filter(|r| r.0 >= plan.rooms.len()) {
            return missing(r.to_string(), format!("callout {}", i + 1));
        }
    }
    for (i, opening) in plan.openings.iter().enumerate() {
        let sides = [opening.left, opening.right];
        if let Some(r) = sides.into_iter().flatten().find(|r| r.0 >= plan.rooms.len()) {
            return missing(r.to_string(), format!("opening {}", i + 1));
        }
    }
    for (i, row) in plan.rows.iter().enumerate() {
        let who = RowId(i).to_string();
        if let Some(r) = row.room.filter(|r| r.0 >= plan.rooms.len()) {
            return missing(r.to_string(), who);
        }
        if let Some(l) = row.lights.iter().find(|l| l.0 >= plan.lights.len()) {
            return missing(l.to_string(), who);
        }
    }
    Ok(())
}
