//! The notation reads what people write and gives back what it dumps.

use geo::Coord;
use proptest::prelude::*;

use super::{dump, parse};
use crate::plan::*;

#[test]
fn a_plan_as_written_by_hand() {
    let plan = parse(
        r#"
        units mm                                  # as the header says
        room "HALL" hall (0,0) (195,0) (195,40) (0,40)
        member joist (0,0) (0,120) t=1 1/2 plies=2
        member truss ( 16 , 0 ) (16,120) t=-3/8 source=rules handle=2F
        wall (0,0) (120,0)
        device "DIFF #2" (30,30) (54,30) (54,54)
        light (24,20) tag=R6 room=R1 stacked=(24.5,20),(24,20.25)
        bay L1 along=(0,1) left=7 1/4,M1 left-wall=20 right=inf
        "#,
    )
    .unwrap();
    assert_eq!(plan.units.inches_per_unit, 1.0 / 25.4);
    assert_eq!(plan.rooms[0].name.as_deref(), Some("HALL"));
    assert!(plan.rooms[0].hall && plan.rooms[0].drawn && !plan.rooms[0].insulated);
    assert_eq!(plan.rooms[0].axis, Coord { x: 1.0, y: 0.0 });
    assert_eq!((plan.members[0].thickness, plan.members[0].plies), (1.5, 2));
    assert_eq!(plan.members[1].thickness, -0.375);
    assert_eq!(plan.members[1].handle.as_deref(), Some("2F"));
    assert_eq!(plan.obstacles[0].name, "DIFF #2");
    assert_eq!(
        plan.lights[0].stacked,
        [Coord { x: 24.5, y: 20.0 }, Coord { x: 24.0, y: 20.25 }]
    );
    let bay = plan.lights[0].bay.unwrap();
    assert_eq!(
        (bay.left.room, bay.left.member, bay.left.wall),
        (7.25, Some(MemberId(0)), Some(20.0))
    );
    assert_eq!(
        (bay.right.room, bay.right.member, bay.right.wall),
        (f64::INFINITY, None, None)
    );
}

#[test]
fn errors_name_the_line() {
    for (text, wanted) in [
        ("units in\nlamp (0,0)", "line 2: lamp: this word opens no line"),
        ("light", "line 1: light: a point (x,y) is missing"),
        ("light (1,x)", "line 1: `(1,x)` is not a point (x,y)"),
        ("light (1,nan)", "line 1: `(1,nan)` is not a point (x,y)"),
        (
            "light (1,2) colour=red",
            "line 1: light: `colour=` is not known here",
        ),
        ("light (1,2) bright", "line 1: light: `bright` is not known here"),
        ("light (1,2) tag=A tag=B", "line 1: `tag` is given twice"),
        ("light (1,2", "line 1: `(1,2` is not closed"),
        ("light (1,2) tag=\"A", "line 1: a quoted word is not closed"),
        ("light (1,2) room=R1", "L1 names R1, which is not there"),
        (
            "light (1,2) room=R0",
            "line 1: light: `R0` is not an id such as R1",
        ),
        (
            "member (0,0) (1,1)",
            "line 1: member: joist, truss, beam, header or block is wanted",
        ),
        (
            "bay L2 along=(0,1) left=1 right=2",
            "a bay is for L2, which is not there",
        ),
        (
            "light (0,0)\nrow lights=L1 (0,0) (1,0) offsets=0 along=0",
            "line 2: row: stations: 0 for 1 lights",
        ),
    ] {
        assert_eq!(parse(text).unwrap_err(), wanted, "{text}");
    }
}

fn coord() -> impl Strategy<Value = Coord> {
    (-3e6..3e6f64, -3e6..3e6f64).prop_map(|(x, y)| Coord { x, y })
}

fn coords() -> impl Strategy<Value = Vec<Coord>> {
    prop::collection::vec(coord(), 0..5)
}

fn name() -> impl Strategy<Value = Option<String>> {
    prop::option::of(any::<String>())
}

fn length() -> impl Strategy<Value = f64> {
    prop_oneof![
        -1e4..1e4f64,
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(0.1 + 0.2),
        Just(1e-300)
    ]
}

fn member() -> impl Strategy<Value = Member> {
    let kind = prop::sample::select(vec![
        MemberKind::Joist,
        MemberKind::Truss,
        MemberKind::Beam,
        MemberKind::Header,
        MemberKind::Block,
    ]);
    let source = prop::sample::select(vec![
        MemberSource::Drawn,
        MemberSource::Centreline,
        MemberSource::Rules,
        MemberSource::Second,
    ]);
    (coord(), coord(), length(), kind, source, any::<u8>(), name()).prop_map(
        |(from, to, thickness, kind, source, plies, handle)| Member {
            from,
            to,
            thickness,
            kind,
            source,
            plies,
            handle,
        },
    )
}

fn callout() -> impl Strategy<Value = Callout> {
    let parts = (any::<String>(), prop::option::of(coord()), coord(), length());
    (parts, member(), prop::option::of(length())).prop_map(|((text, at, along, spacing), like, depth)| {
        Callout {
            text,
            at,
            handle: like.handle,
            kind: like.kind,
            thickness: like.thickness,
            depth,
            spacing,
            along,
            room: depth.map(|_| RoomId(0)),
        }
    })
}

fn room() -> impl Strategy<Value = Room> {
    (
        name(),
        coords(),
        coord(),
        any::<[bool; 3]>(),
        prop::option::of(length()),
        prop::option::of(prop::sample::select(RoomClass::ALL)),
    )
        .prop_map(
            |(name, outline, axis, [hall, insulated, drawn], ceiling, class)| Room {
                name,
                class,
                outline,
                hall,
                axis,
                insulated,
                ceiling,
                drawn,
            },
        )
}

fn opening() -> impl Strategy<Value = Opening> {
    let side = || prop::option::of(Just(RoomId(0)));
    (
        prop::sample::select(OpeningKind::ALL),
        coord(),
        coord(),
        side(),
        side(),
    )
        .prop_map(|(kind, from, to, left, right)| Opening {
            kind,
            from,
            to,
            left,
            right,
        })
}

/// Members, rooms and rows are always at least 1, 1 and 2 in number here.
fn bay() -> impl Strategy<Value = Bay> {
    let side = || {
        (
            length(),
            prop::option::of(Just(MemberId(0))),
            prop::option::of(length()),
        )
            .prop_map(|(room, member, wall)| Side { room, member, wall })
    };
    (coord(), side(), side()).prop_map(|(along, left, right)| Bay { along, left, right })
}

fn light() -> impl Strategy<Value = Light> {
    (
        (coord(), name(), name(), name(), any::<usize>(), length()),
        prop::option::of(0..9usize),
        coords(),
        prop::option::of(Just(RoomId(0))),
        prop::collection::vec((0..2usize).prop_map(RowId), 0..3),
        prop::option::of(bay()),
    )
        .prop_map(
            |((at, tag, block, handle, offset, drawn_radius), schedule, stacked, room, rows, bay)| Light {
                at,
                tag,
                block,
                handle,
                offset,
                drawn_radius,
                schedule,
                stacked,
                room,
                rows,
                bay,
            },
        )
}

fn row() -> impl Strategy<Value = Row> {
    let each = prop::collection::vec((length(), length(), length()), 0..4);
    (
        each,
        prop::option::of(Just(RoomId(0))),
        coord(),
        coord(),
        length(),
        length(),
    )
        .prop_map(|(each, room, from, to, pitch, straightness)| Row {
            lights: each.iter().map(|_| LightId(0)).collect(),
            room,
            from,
            to,
            offsets: each.iter().map(|e| e.0).collect(),
            stations: each.iter().map(|e| e.1).collect(),
            along: each.iter().map(|e| e.2).collect(),
            pitch,
            straightness,
        })
}

fn linework() -> impl Strategy<Value = Linework> {
    prop_oneof![
        (coords(), any::<bool>()).prop_map(|(points, closed)| Linework::Path { points, closed }),
        (coord(), length(), length(), any::<bool>(), any::<String>()).prop_map(
            |(at, height, angle, centred, text)| Linework::Text {
                at,
                height,
                angle,
                centred,
                text
            }
        ),
    ]
}

fn plan() -> impl Strategy<Value = Plan> {
    let some = 1..3usize;
    (
        (
            0.001..50.0f64,
            any::<String>(),
            prop::option::of(coord()),
            any::<[u16; 4]>(),
        ),
        prop::collection::vec(light(), some.clone()),
        prop::collection::vec(member(), some.clone()),
        prop::collection::vec(callout(), 0..3),
        (
            prop::collection::vec(room(), some),
            prop::collection::vec(opening(), 0..3),
        ),
        prop::collection::vec((coord(), coord()), 0..3),
        prop::collection::vec((any::<String>(), coords()), 0..3),
        prop::collection::vec(row(), 2..4),
        prop::collection::vec(linework(), 0..3),
        prop::collection::vec((any::<String>(), any::<String>(), any::<usize>()), 0..3),
    )
        .prop_map(
            |(
                (per, why, axis, counts),
                lights,
                members,
                callouts,
                (rooms, openings),
                walls,
                devices,
                rows,
                linework,
                unclaimed,
            )| Plan {
                units: Units {
                    name: "ft".into(),
                    inches_per_unit: per,
                    why,
                },
                lights,
                members,
                callouts,
                rooms,
                openings,
                walls,
                axis,
                obstacles: devices
                    .into_iter()
                    .map(|(name, outline)| Obstacle { name, outline })
                    .collect(),
                rows,
                linework,
                unclaimed: unclaimed
                    .into_iter()
                    .map(|(layer, entity, count)| Unclaimed { layer, entity, count })
                    .collect(),
                counts: Counts {
                    entities: counts[0].into(),
                    claimed: counts[1].into(),
                    unclaimed: counts[2].into(),
                    dropped: counts[3].into(),
                },
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_dumped_reads_back(plan in plan()) {
        let text = dump(&plan);
        prop_assert_eq!(parse(&text), Ok(plan));
    }

    #[test]
    fn no_text_panics(text in "(light|row|bay|member|room|text|\\(|\\)|=|\"|L1|,|[0-9/]| |\n|.){0,40}") {
        let _ = parse(&text);
    }
}
