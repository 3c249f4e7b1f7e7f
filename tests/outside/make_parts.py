"""Draws floors side by side in one file, with an independent writer.

    make_parts.py FOLDER

Two houses with titles, in three versions of the format, blocks for lights; the second has a light on a joist and
a row with one light off its line.
"""

import sys
from pathlib import Path

import ezdxf


def house(doc, msp, block, dx, faults):
    def line(layer, x, y, u, v):
        msp.add_line((x + dx, y), (u + dx, v), dxfattribs={"layer": layer})

    for x, y, u, v in [
        (0, 0, 480, 0), (480, 0, 480, 240), (480, 240, 0, 240), (0, 240, 0, 0), (192, 0, 192, 240),
    ]:
        line("A-WALL", x, y, u, v)
    for i in range(30):
        for face in (-0.75, 0.75):
            line("S-JOIS", 8 + 16 * i + face, 3, 8 + 16 * i + face, 237)
    for i in range(7):
        on = faults and i == 5
        y = 120 + (1.5 if faults and i == 2 else 0)
        msp.add_blockref(block, (48 + 64 * i + (8 if on else 0) + dx, y), dxfattribs={"layer": "E-LITE"})
    title = "SECOND FLOOR PLAN" if faults else "FIRST FLOOR PLAN"
    msp.add_text(title, height=12, dxfattribs={"layer": "A-ANNO"}).set_placement((120 + dx, -60))


def main():
    out = Path(sys.argv[1])
    out.mkdir(parents=True, exist_ok=True)
    for version in ("R12", "R2000", "R2018"):
        doc = ezdxf.new(version, setup=True)
        doc.header["$INSUNITS"] = 1
        for name in ("A-WALL", "S-JOIS", "E-LITE", "A-ANNO"):
            doc.layers.add(name)
        block = doc.blocks.new("DOWNLIGHT")
        block.add_circle((0, 0), 3)
        msp = doc.modelspace()
        house(doc, msp, "DOWNLIGHT", 0, False)
        house(doc, msp, "DOWNLIGHT", 900, True)
        doc.saveas(out / f"floors-{version.lower()}.dxf")


if __name__ == "__main__":
    main()
