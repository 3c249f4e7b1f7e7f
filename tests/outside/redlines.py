"""Opens redlined drawings with an independent reader and holds them to their sources.

usage: redlines.py SOURCES REDLINES
       redlines.py --pairs SOURCE REDLINE [SOURCE REDLINE ...]

SOURCES and REDLINES are folders; a source `plan.dxf` belongs to the redline `plan.redline.dxf`
or `plan.dxf`, and to the redlines of the plans in it, `plan.plan-1.redline.dxf` and so on. For each pair:
every entity of the source is in the redline with its type and handle, its attributes unchanged; the auditor finds no more errors and mends no more than
before; layers of the redline are there and hold what was added. Ends with status 1 where a
pair fails or a source has no redline, and where there was no pair.
"""

import glob
import sys
from collections import Counter
from io import StringIO
from pathlib import Path

import ezdxf
from ezdxf import recover
from ezdxf.lldxf.tagger import ascii_tags_loader, binary_tags_loader

PREFIX = "E-ANNO-REDL-"


class Failed(Exception):
    pass


def open_drawing(path):
    """The drawing, its auditor, and whether it opened strictly."""
    try:
        doc = ezdxf.readfile(path)
        return doc, doc.audit(), True
    except Exception as strict:
        try:
            doc, auditor = recover.readfile(path, errors="surrogateescape")
            return doc, auditor, False
        except Exception as error:
            raise Failed(f"{Path(path).name} does not open: {strict}; {error}") from error


def entities(doc, raw):
    """Every entity of every layout and of every block that the file itself has."""
    for layout in doc.layouts:
        yield from layout
    for block in doc.blocks:
        # A reader adds blocks of its own, such as arrows.
        if not block.is_any_layout and block.name.upper().encode(errors="replace") in raw.upper():
            yield from block


def seen(entity):
    """Type and attributes; handles are compared tag by tag, since a reader may deal new ones."""
    own = {
        key: str(value)
        for key, value in entity.dxfattribs().items()
        if key not in ("handle", "owner", "paperspace")
    }
    return entity.dxftype(), tuple(sorted(own.items()))


def records(path):
    """(type, handle) of every record that has a handle, as the file's tags give them."""
    raw = Path(path).read_bytes()
    if raw.startswith(b"AutoCAD Binary DXF"):
        tags = binary_tags_loader(raw)
    else:
        tags = ascii_tags_loader(StringIO(raw.decode("latin-1").removeprefix("\u00ef\u00bb\u00bf"), newline=None))
    found = Counter()
    kind = handle = None
    try:
        for code, value in tags:
            if code == 0:
                kind, handle = value, None
            elif code == (105 if kind == "DIMSTYLE" else 5) and handle is None:
                handle = str(value).strip()
                found[kind, handle] += 1
    except ezdxf.DXFError:
        pass  # A source that stops short: what came before counts.
    return found


def check(source, redline):
    before, audit_before, strict_before = open_drawing(source)
    after, audit_after, strict_after = open_drawing(redline)
    if strict_before and not strict_after:
        raise Failed("the source opens strictly, the redline does not")
    gone = records(source) - records(redline)
    # The header's seed is the one handle that may change.
    gone = {key: n for key, n in gone.items() if key[0] != "SECTION"}
    if gone:
        kind, handle = next(iter(gone))
        raise Failed(f"{sum(gone.values())} records are missing, first {kind} #{handle}")
    raw = Path(source).read_bytes()
    old_layers = {layer.dxf.name.upper() for layer in before.layers}
    new_layers = {
        layer.dxf.name.upper()
        for layer in after.layers
        if layer.dxf.name.upper().startswith(PREFIX) and layer.dxf.name.upper() not in old_layers
    }

    def is_new(entity):
        return entity.dxf.get("layer", "0").upper() in new_layers

    wanted = Counter(seen(e) for e in entities(before, raw))
    found = Counter(seen(e) for e in entities(after, raw) if not is_new(e))
    missing = wanted - found
    if missing:
        kind, what = next(iter(missing))
        raise Failed(f"{sum(missing.values())} entities are missing or changed, first {kind} {dict(what)}")
    surplus = found - wanted
    if surplus:
        kind, what = next(iter(surplus))
        raise Failed(f"{sum(surplus.values())} entities are new off the redline's layers, first {kind} {dict(what)}")
    for what, old, new in [
        ("errors", audit_before.errors, audit_after.errors),
        ("fixes", audit_before.fixes, audit_after.fixes),
    ]:
        if len(new) > len(old):
            known = {error.message for error in old}
            told = [error.message for error in new if error.message not in known] or [new[-1].message]
            raise Failed(f"{len(new)} audit {what} where the source has {len(old)}: {told[0]}")
    marks = [e for e in after.modelspace() if is_new(e)]
    if not marks:
        raise Failed("no entity stands on a layer of the redline")
    bare = new_layers - {e.dxf.layer.upper() for e in marks}
    if bare:
        raise Failed(f"layers without an entity: {', '.join(sorted(bare))}")
    return len(marks)


def pairs_of(arguments):
    if arguments[:1] == ["--pairs"]:
        files = arguments[1:]
        if len(files) % 2:
            raise SystemExit("--pairs wants an even number of files")
        return list(zip(files[::2], files[1::2]))
    if len(arguments) != 2:
        raise SystemExit(__doc__)
    sources, redlines = map(Path, arguments)
    found = []
    for source in sorted(sources.rglob("*.dxf")):
        for name in (f"{source.stem}.redline.dxf", source.name):
            redline = redlines / name
            if redline.is_file() and redline.resolve() != source.resolve():
                found.append((source, redline))
                break
        else:
            found.append((source, None))
        found += [(source, part) for part in sorted(redlines.glob(f"{glob.escape(source.stem)}.plan-*.redline.dxf"))]
    return found


def main(arguments):
    passed = failed = 0
    for source, redline in pairs_of(arguments):
        try:
            if redline is None:
                raise Failed("it has no redline")
            check(source, redline)
            passed += 1
        except Failed as error:
            failed += 1
            print(f"FAIL {Path(source).name}: {error}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
