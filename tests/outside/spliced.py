"""Opens drawings with lights spliced in, with an independent reader.

    spliced.py SPLICE_LIGHTS FOLDER...

SPLICE_LIGHTS is the built example of that name. Each `*.dxf` of the folders gets two lights. The reader must find them at
their places, their block whole, every record of the source, and no more to complain of than before.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

from redlines import Failed, open_drawing, records

PLACES = [(5000.25, -3000.5), (5096.25, -3000.5)]


def check(tool, source, out, rules):
    places = [f"{x},{y}" for x, y in PLACES]
    done = subprocess.run(
        [tool, source, out, "CAN-LIGHT", "--rules", rules, *places], capture_output=True, text=True, check=False
    )
    if done.returncode or done.stderr:
        raise Failed(f"status {done.returncode}: {done.stderr.strip()}")
    _, before, strict_before = open_drawing(source)
    doc, after, strict_after = open_drawing(out)
    if strict_before and not strict_after:
        raise Failed("the source opens strictly, the output does not")
    gone = {key: n for key, n in (records(source) - records(out)).items() if key[0] != "SECTION"}
    if gone:
        raise Failed(f"records are missing, first {next(iter(gone))}")
    for what, old, new in [("errors", before.errors, after.errors), ("fixes", before.fixes, after.fixes)]:
        if len(new) > len(old):
            raise Failed(f"{len(new)} audit {what} where the source has {len(old)}: {new[-1].message}")
    inserts = [e for e in doc.modelspace().query("INSERT") if e.dxf.name == "CAN-LIGHT"]
    found = sorted((round(e.dxf.insert.x, 6), round(e.dxf.insert.y, 6)) for e in inserts)
    if found != PLACES:
        raise Failed(f"lights at {found}")
    held = sorted(e.dxftype() for e in doc.blocks.get("CAN-LIGHT"))
    if held != ["CIRCLE", "LINE", "LINE"]:
        raise Failed(f"the block holds {held}")


def main():
    tool = sys.argv[1]
    files = [file for folder in sys.argv[2:] for file in sorted(Path(folder).rglob("*.dxf"))]
    failed = 0
    with tempfile.TemporaryDirectory() as work:
        rules = Path(work) / "bayline.toml"
        rules.write_text('units = "in"\n', encoding="utf-8")
        for file in files:
            try:
                check(tool, file, Path(work) / "out.dxf", rules)
            except Failed as error:
                failed += 1
                print(f"FAIL {file.name}: {error}")
    print(f"lights spliced into {len(files)} drawings, {failed} failed")
    sys.exit(1 if failed or not files else 0)


if __name__ == "__main__":
    main()
