"""Opens mended plans with an independent reader and holds them to their sources and reports.

usage: mended.py SOURCES MENDED

A source `plan.dxf` under SOURCES belongs to `plan.mended.dxf` and `plan.report.json` in MENDED. For each:

- record by record and value by value the mended plan is its source, but for points of moved entities, the
  handle seed, the count of layers, and what stands on layers of the redline;
- it opens strictly, and the auditor finds no more in it than in the source;
- every entity that differs is drawn, through all blocks it stands in, exactly as far off as the report says of a
  light there, and every light that the report calls moved has an entity that is;
- attributes go with their symbols.

Ends with status 1 where a plan fails or was not mended, where no plan was there, and where none had a move.
"""

import json
import sys
from io import StringIO
from pathlib import Path

import ezdxf
from ezdxf.lldxf.tagger import ascii_tags_loader, binary_tags_loader
from ezdxf.math import Matrix44, Vec3

PREFIX = "E-ANNO-REDL-"
POINTS = {10, 11, 12, 13, 20, 21, 22, 23}


class Failed(Exception):
    pass


def records(path):
    """Lists of (code, value), each from one 0 tag to the next."""
    raw = path.read_bytes()
    if raw.startswith(b"AutoCAD Binary DXF"):
        tags = binary_tags_loader(raw)
    else:
        tags = ascii_tags_loader(StringIO(raw.decode("latin-1"), newline=None))
    found = []
    for code, value in tags:
        if code == 0:
            found.append([])
        if found:
            found[-1].append((code, value))
    return found


def is_ours(record):
    """On a layer of the redline, or such a layer."""
    code = 2 if record[0][1] == "LAYER" else 8
    return any(c == code and str(v).upper().startswith(PREFIX) for c, v in record)


def compare_records(source, mended):
    """Handles of records whose points differ. Fails where anything else does."""
    before = [r for r in records(source) if not is_ours(r)]
    after = [r for r in records(mended) if not is_ours(r)]
    if len(before) != len(after):
        raise Failed(f"{len(before)} records became {len(after)}")
    changed = set()
    for old, new in zip(before, after):
        if old == new:
            continue
        what = old[0][1]
        if len(old) != len(new):
            raise Failed(f"a {what} has other tags than before")
        header = seed_next = False
        for (code, was), (code_now, now) in zip(old, new):
            seed, seed_next = seed_next, code == 9 and was == "$HANDSEED"
            header |= seed
            if (code, was) == (code_now, now) or (seed and code == 5):
                continue
            if what == "TABLE" and code == 70:
                continue
            if code != code_now or code not in POINTS:
                raise Failed(f"a {what}: group {code} was {was!r} and is {now!r}")
            handle = next((str(v).strip() for c, v in old if c == 5), None)
            changed.add((what, handle))
    return changed


def drawn(doc):
    """(entity, matrix to the world) of everything that model space draws, INSERTs' attributes included, in order."""
    def walk(layout, matrix, depth):
        for entity in layout:
            if entity.dxf.get("layer", "0").upper().startswith(PREFIX):
                continue
            yield entity, matrix
            if entity.dxftype() == "INSERT":
                for attrib in entity.attribs:
                    yield attrib, matrix
                block = entity.block()
                if block is not None and depth < 50:
                    yield from walk(block, entity.matrix44() @ matrix, depth + 1)

    yield from walk(doc.modelspace(), Matrix44(), 0)


def places(entity, matrix):
    """World points of an entity that tell where it stands."""
    kind = entity.dxftype()
    ocs = entity.ocs() if hasattr(entity, "ocs") else None
    object_points, own_points = [], []
    dxf = entity.dxf
    if kind == "INSERT":
        object_points = [dxf.insert]
    elif kind in ("TEXT", "ATTRIB"):
        object_points = [dxf.insert]
        if dxf.hasattr("align_point") and (dxf.get("halign", 0) or dxf.get("valign", 0)):
            object_points.append(dxf.align_point)
    elif kind in ("CIRCLE", "ARC"):
        object_points = [dxf.center]
    elif kind == "LWPOLYLINE":
        object_points = [Vec3(p[0], p[1], 0) for p in entity.get_points("xy")]
    elif kind == "POLYLINE":
        points = [Vec3(v.dxf.location) for v in entity.vertices]
        if entity.is_2d_polyline:
            object_points = points
        else:
            own_points = points
    elif kind in ("SOLID", "TRACE"):
        object_points = [dxf.vtx0, dxf.vtx1, dxf.vtx2, dxf.vtx3]
    elif kind == "LINE":
        own_points = [dxf.start, dxf.end]
    elif kind == "ELLIPSE":
        own_points = [dxf.center]
    elif kind in ("MTEXT",):
        own_points = [dxf.insert]
    elif kind == "POINT":
        own_points = [dxf.location]
    world = [ocs.to_wcs(Vec3(p)) for p in object_points] if ocs else [Vec3(p) for p in object_points]
    return [matrix.transform(Vec3(p)) for p in world + own_points]


def check(source, mended, report):
    applied = report.get("applied")
    if applied is None:
        raise Failed("its report says nothing of moves")
    changed = compare_records(source, mended)
    before, after = ezdxf.readfile(source), ezdxf.readfile(mended)
    old, new = before.audit(), after.audit()
    if len(new.errors) > len(old.errors) or len(new.fixes) > len(old.fixes):
        raise Failed(f"the auditor finds more than in the source: {[*new.errors, *new.fixes][-1].message}")
    pairs = list(zip(drawn(before), drawn(after), strict=True))
    size = max([1.0] + [abs(c) for m in applied["moved"] for p in (m["from"], m["to"]) for c in p])
    near = 1e-12 * size + 1e-6
    moves = [(m["luminaire"], Vec3(m["from"]), Vec3(m["to"]) - Vec3(m["from"])) for m in applied["moved"]]
    reach = 40.0 / report["units"]["inches_per_unit"]
    seen, moved = set(), set()
    for (was, matrix), (now, matrix_now) in pairs:
        if was.dxftype() != now.dxftype():
            raise Failed(f"a {was.dxftype()} became a {now.dxftype()}")
        shifts = [b - a for a, b in zip(places(was, matrix), places(now, matrix_now), strict=True)]
        shifts = [Vec3(s.x, s.y, 0) for s in shifts]
        if all(s.magnitude <= near for s in shifts):
            continue
        at = places(was, matrix)[0]
        fits = [
            light
            for light, start, by in moves
            if all((s - by).magnitude <= near for s in shifts) and Vec3(at.x - start.x, at.y - start.y, 0).magnitude <= reach
        ]
        if not fits:
            raise Failed(f"a {was.dxftype()} #{was.dxf.handle} is moved by {shifts[0]}, as no light of the report is")
        if was.dxftype() == "INSERT":
            for a, b in zip(was.attribs, now.attribs, strict=True):
                for p, q in zip(places(a, matrix), places(b, matrix_now), strict=True):
                    if not any((Vec3(q.x - p.x, q.y - p.y, 0) - by).magnitude <= near for light, _, by in moves if light in fits):
                        raise Failed(f"attribute {a.dxf.tag} is left behind")
        seen.update(fits)
        moved.add(str(was.dxf.handle))
    silent = [light for light, *_ in moves if light not in seen]
    if silent:
        raise Failed(f"{', '.join(silent)}: called moved, but nothing is")
    if moves and not changed:
        raise Failed("moves are reported, but no record differs")
    return len(moves)


def main(arguments):
    if len(arguments) != 2:
        raise SystemExit(__doc__)
    sources, outputs = map(Path, arguments)
    passed = failed = moves = 0
    for source in sorted(sources.rglob("*.dxf")):
        mended = outputs / f"{source.stem}.mended.dxf"
        report = outputs / f"{source.stem}.report.json"
        try:
            if not (mended.is_file() and report.is_file()):
                raise Failed("it was not mended")
            moves += check(source, mended, json.loads(report.read_text("utf-8")))
            passed += 1
        except (Failed, ezdxf.DXFError, ValueError) as error:
            failed += 1
            print(f"FAIL {source.name}: {error}")
    print(f"{passed} passed, {failed} failed, {moves} lights moved")
    return 1 if failed or not passed or not moves else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
