//! Lights spliced into a drawing are found at their places, and the drawing is otherwise as it was.

mod tool;

use bayline::batch::audit::audit_bytes;
use bayline::drawing::splice::unsplice;
use bayline::drawing::{self, Format, Version};
use bayline::rules::{Rules, UnitChoice};
use tool::{Where, lights, place};

/// Every demo plan and every small drawing of the project that can be read.
fn drawings() -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    for folder in ["fixtures/demo/plans", "fixtures/flatten"] {
        let mut files: Vec<_> = (std::fs::read_dir(folder).unwrap())
            .map(|f| f.unwrap().path())
            .filter(|p| p.extension().is_some_and(|e| e == "dxf"))
            .collect();
        files.sort();
        assert!(!files.is_empty(), "{folder}");
        for path in files {
            found.push((path.display().to_string(), std::fs::read(&path).unwrap()));
        }
    }
    found
}

#[test]
fn lights_are_found_where_they_were_put_and_come_out_again() {
    let inches = Rules {
        units: UnitChoice::In,
        ..Rules::default()
    };
    let (mut versions, mut binary) = (Vec::new(), 0);
    for (name, bytes) in drawings() {
        // The smallest do not tell their unit.
        let rules = if name.contains("demo") {
            &Rules::default()
        } else {
            &inches
        };
        let places = [Where::At([5000.25, -3000.5]), Where::At([5096.25, -3000.5])];
        let (spliced, at) = lights(&bytes, "CAN-LIGHT-6IN", &places, rules).unwrap();
        assert!(spliced.notes.is_empty(), "{name}: {:?}", spliced.notes);
        assert_eq!(unsplice(&spliced), bytes, "{name}");
        let (before, _) = drawing::read(&bytes).unwrap();
        let (after, _) = drawing::read(&spliced.bytes).unwrap();
        assert_eq!(after.entities.len(), before.entities.len() + 2, "{name}");
        assert_eq!(after.blocks.len(), before.blocks.len() + 1, "{name}");
        let block = after.blocks.iter().find(|b| b.name == "CAN-LIGHT-6IN").unwrap();
        assert_eq!((block.entities.len(), block.base), (3, [0.0; 3]), "{name}");
        assert!(after.structure.greatest_handle >= before.structure.greatest_handle);
        if after.version >= Version::R13 {
            // A record for the block, two INSERTs, the block's head, end and three entities, a layer.
            let seed = after.structure.hand_seed.unwrap_or(u64::MAX);
            assert!(seed > after.structure.greatest_handle, "{name}");
            assert!(
                after.structure.greatest_handle >= before.structure.greatest_handle + 8,
                "{name}"
            );
        }
        let audited = audit_bytes("plan.dxf", &spliced.bytes, rules).unwrap();
        let scale = audited.report.plan.units.inches_per_unit;
        for p in at {
            let there = audited.report.plan.lights.iter().any(|l| {
                let off = (l.at.x - p[0] * scale).hypot(l.at.y - p[1] * scale);
                off < 1e-6 && l.block.as_deref() == Some("CAN-LIGHT-6IN")
            });
            assert!(there, "{name}: no light at {p:?}");
        }
        versions.push(after.version);
        binary += usize::from(matches!(after.format, Format::Binary { .. }));
    }
    versions.sort_unstable();
    versions.dedup();
    assert!(versions.len() > 2 && binary > 0, "{versions:?}, {binary} binary");
}

#[test]
fn a_room_is_filled_with_rows_that_are_in_it() {
    let rules = Rules::default();
    let mut rooms = 0;
    for (name, bytes) in drawings() {
        let before = audit_bytes("plan.dxf", &bytes, &rules);
        let Ok(before) = before else { continue };
        let room = (before.report.plan.rooms.iter()).find(|r| r.outline.len() == 4 && r.name.is_some());
        let Some(room) = room else { continue };
        let called = room.name.clone().unwrap();
        let place = place(&format!("{called}=2x3")).unwrap();
        let (spliced, at) = lights(&bytes, "SPLICED-LIGHT", &[place], &rules).unwrap();
        assert_eq!(at.len(), 6, "{name}: {called}");
        let after = audit_bytes("plan.dxf", &spliced.bytes, &rules).unwrap();
        let plan = &after.report.plan;
        let new: Vec<_> = plan
            .lights
            .iter()
            .filter(|l| l.block.as_deref() == Some("SPLICED-LIGHT"))
            .collect();
        assert_eq!(new.len(), 6, "{name}: {called}");
        for light in new {
            let id = light.room.unwrap_or_else(|| panic!("{name}: not in a room"));
            assert_eq!(plan.room(id).name.as_ref(), Some(&called), "{name}");
        }
        rooms += 1;
    }
    assert!(rooms > 2, "{rooms}");
}

#[test]
fn a_block_of_that_name_is_left_alone_and_what_cannot_be_is_told() {
    let rules = Rules::default();
    let at = [Where::At([5000.0, 0.0])];
    let (name, bytes) = drawings().into_iter().next().unwrap();
    let (once, _) = lights(&bytes, "CAN", &at, &rules).unwrap();
    let (twice, _) = lights(&once.bytes, "CAN", &[Where::At([5100.0, 0.0])], &rules).unwrap();
    let (read, _) = drawing::read(&twice.bytes).unwrap();
    let cans: Vec<&str> = (read.blocks.iter().map(|b| b.name.as_str()))
        .filter(|n| n.starts_with("CAN"))
        .collect();
    assert!(
        cans.contains(&"CAN") && cans.contains(&"CAN-2"),
        "{name}: {cans:?}"
    );

    // Cut among its blocks: nothing can be added to them, and a loss says so.
    let cut = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nA\n70\n0\n10\n0\n20\n0\n3\nA\n0\nLINE\n8\n0\n10\n0\n20\n0\n11\n9\n21\n0\n";
    let inches = Rules {
        units: UnitChoice::In,
        ..Rules::default()
    };
    let (spliced, _) = lights(cut.as_bytes(), "CAN", &at, &inches).unwrap();
    assert_eq!(spliced.bytes, cut.as_bytes());
    assert_eq!(
        spliced.notes.iter().map(|n| n.code).collect::<Vec<_>>(),
        ["splice-block"]
    );

    let told = lights(&bytes, "CAN", &[place("NO SUCH ROOM=1x1").unwrap()], &rules).unwrap_err();
    assert!(told.contains("there is no room NO SUCH ROOM"), "{told}");
    for wrong in ["", "1", "a,b", "1,inf", "A=2", "A=0x3", "A=2x"] {
        assert!(place(wrong).is_err(), "{wrong}");
    }
    assert_eq!(place("1.5, -2").unwrap(), Where::At([1.5, -2.0]));
}
