//! Storeys that are drawn over one another on the same layers, at heights of their own.

use super::Sheet;
use crate::note::{Level, Note};
use crate::rules::Rules;

fn told(notes: &[Note]) -> Vec<&Note> {
    notes.iter().filter(|n| n.code == "storeys-overlaid").collect()
}

/// A house's walls with a partition, its four corners at `x`, and lights, at heights.
fn storey(sheet: &mut Sheet, partition: f64, walls: f32, lights: Option<f32>, y: f64) {
    let first = sheet.flat.items.len();
    let ring = [(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)];
    for k in 0..4 {
        sheet.line("A-WALL", ring[k], ring[(k + 1) % 4]);
    }
    for x in [partition, partition + 4.5] {
        sheet.line("A-WALL", (x, 0.0), (x, 200.0));
    }
    sheet.line("A-WALL", (0.0, partition), (60.0, partition));
    sheet.line("A-WALL", (60.0, partition), (60.0, 200.0));
    sheet.flat.items[first..]
        .iter_mut()
        .for_each(|i| i.height = walls);
    let Some(lights) = lights else { return };
    for x in [40.0, 100.0, 160.0, 220.0] {
        let insert = sheet.insert("E-LITE-CLNG", "RL-6", (x, y));
        let circle = sheet.circle("0", (x, y), 3.0);
        sheet.put(circle, insert);
        sheet.flat.items[insert].height = lights;
    }
}

#[test]
fn storeys_at_two_heights_are_a_loss() {
    for (above, lights) in [(110.0, Some(110.0)), (110.0, Some(206.0)), (110.0, None)] {
        let mut sheet = Sheet::default();
        storey(&mut sheet, 120.0, 0.0, Some(96.0), 60.0);
        storey(&mut sheet, 180.0, above, lights, 90.0);
        let (_, notes) = sheet.read_by(&Rules::default());
        let told = told(&notes);
        assert_eq!(told.len(), 1, "{lights:?} {notes:?}");
        assert_eq!(told[0].level, Level::Loss);
        assert!(
            told[0].message.contains("at 0\" and at 9' 2\""),
            "{}",
            told[0].message
        );
    }
    // Alike in all their walls, both with lights.
    let mut sheet = Sheet::default();
    storey(&mut sheet, 120.0, 0.0, Some(0.0), 60.0);
    storey(&mut sheet, 120.0, 110.0, Some(110.0), 60.0);
    assert_eq!(told(&sheet.read_by(&Rules::default()).1).len(), 1);
}

#[test]
fn one_storey_at_several_heights_is_one() {
    // Lights at the ceiling, the heads of the walls over their feet, a high ceiling in one corner.
    let mut ceiling = Sheet::default();
    storey(&mut ceiling, 120.0, 0.0, Some(108.0), 60.0);
    let mut heads = Sheet::default();
    storey(&mut heads, 120.0, 0.0, Some(108.0), 60.0);
    storey(&mut heads, 120.0, 108.0, None, 0.0);
    let mut high = Sheet::default();
    storey(&mut high, 120.0, 0.0, Some(96.0), 60.0);
    for x in [40.0, 100.0] {
        let insert = high.insert("E-LITE-CLNG", "RL-6", (x, 100.0));
        high.flat.items[insert].height = 216.0;
    }
    let mut low = Sheet::default();
    storey(&mut low, 120.0, 0.0, Some(0.0), 60.0);
    storey(&mut low, 180.0, 36.0, None, 0.0);
    for sheet in [ceiling, heads, high, low] {
        let (_, notes) = sheet.read_by(&Rules::default());
        assert!(told(&notes).is_empty(), "{notes:?}");
    }
}
