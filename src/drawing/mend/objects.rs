//! Objects: the root dictionary and the layouts of both spaces.

use super::tables::{MODEL_SPACE, PAPER_SPACE, Tables};
use super::{Field, Handles, Maker, Record};
use crate::drawing::types::Version;

/// The OBJECTS section; one that has a root dictionary is kept as it is.
pub(super) fn mend(
    maker: &Maker,
    records: Vec<Record>,
    tables: &mut Tables,
    handles: &mut Handles,
) -> Vec<Record> {
    if !maker.owners() || records.first().is_some_and(|r| r.name == "DICTIONARY") {
        return records;
    }
    let root = handles.fresh();
    let groups = handles.fresh();
    let mut entries = vec![("ACAD_GROUP", groups)];
    let mut objects = vec![dictionary(maker, groups, root, &[])];
    // Before R2000 model and paper space are all there is.
    if maker.version >= Version::R2000 {
        let layouts = handles.fresh();
        entries.push(("ACAD_LAYOUT", layouts));
        let model = handles.fresh();
        let paper = handles.fresh();
        objects.push(dictionary(
            maker,
            layouts,
            root,
            &[("Layout1", paper), ("Model", model)],
        ));
        for (space, name, handle, order) in [
            (MODEL_SPACE, "Model", model, 0),
            (PAPER_SPACE, "Layout1", paper, 1),
        ] {
            let Some(block) = tables.block_record(space) else {
                continue;
            };
            tables.set_layout(space, handle);
            objects.push(layout(maker, name, order, [handle, layouts, block]));
        }
    }
    let mut out = vec![dictionary(maker, root, 0, &entries)];
    out.extend(objects);
    out.extend(records);
    out
}

fn dictionary(maker: &Maker, handle: u64, owner: u64, entries: &[(&str, u64)]) -> Record {
    let mut fields = vec![
        Field::handle(5, handle),
        Field::handle(330, owner),
        Field::text(100, "AcDbDictionary"),
    ];
    if maker.version >= Version::R2000 {
        fields.push(maker.int(281, 1));
    }
    for (name, handle) in entries {
        fields.extend([Field::text(3, name), Field::handle(350, *handle)]);
    }
    Record::new("DICTIONARY", fields)
}

fn layout(maker: &Maker, name: &str, order: i64, [handle, owner, block]: [u64; 3]) -> Record {
    let mut fields = vec![
        Field::handle(5, handle),
        Field::handle(330, owner),
        Field::text(100, "AcDbPlotSettings"),
        Field::text(1, ""),
        Field::text(2, "none_device"),
        Field::text(4, ""),
        Field::text(6, ""),
    ];
    fields.extend((40..=49).map(|code| maker.real(code, 0.0)));
    fields.extend([140, 141].map(|code| maker.real(code, 0.0)));
    fields.extend([142, 143].map(|code| maker.real(code, 1.0)));
    // Plots with the model's flag: 1024 says so; inches, no rotation, as displayed, to fit.
    fields.extend([
        maker.int(70, if order == 0 { 1024 } else { 0 }),
        maker.int(72, 0),
        maker.int(73, 0),
        maker.int(74, 0),
        Field::text(7, ""),
        maker.int(75, 0),
        maker.real(147, 1.0),
        maker.real(148, 0.0),
        maker.real(149, 0.0),
        Field::text(100, "AcDbLayout"),
        Field::text(1, name),
        maker.int(70, 1),
        maker.int(71, order),
    ]);
    let point = |x: i16, values: &[f64]| -> Vec<Field> {
        (0_i16..)
            .zip(values)
            .map(|(n, v)| maker.real(x + 10 * n, *v))
            .collect()
    };
    fields.extend(point(10, &[0.0, 0.0]));
    fields.extend(point(11, &[12.0, 9.0]));
    fields.extend(point(12, &[0.0, 0.0, 0.0]));
    fields.extend(point(14, &[0.0, 0.0, 0.0]));
    fields.extend(point(15, &[0.0, 0.0, 0.0]));
    fields.push(maker.real(146, 0.0));
    fields.extend(point(13, &[0.0, 0.0, 0.0]));
    fields.extend(point(16, &[1.0, 0.0, 0.0]));
    fields.extend(point(17, &[0.0, 1.0, 0.0]));
    fields.extend([maker.int(76, 0), Field::handle(330, block)]);
    Record::new("LAYOUT", fields)
}
