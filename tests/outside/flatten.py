"""Compares flattened drawings with what ezdxf makes of them.

    python flatten.py DUMP FOLDER...

DUMP is the built example `flat_dump`; each FOLDER is searched for *.dxf. Two ways of ezdxf are
held against it: the chain of its INSERT matrices, applied to points, and its explosion of INSERTs
into virtual entities (left out where that cannot express a skewed INSERT). Compared are counts by
entity type, world coordinates of lines, arcs, straight polylines, multileaders' and multilines' lines, points of splines, centres and
radii of circles, half axes of circles that became ellipses, and insertion points by block.

Exit status 1 where anything differs or where nothing was compared.
"""

import json
import math
import subprocess
import sys
from collections import Counter, defaultdict
from pathlib import Path

import ezdxf
from ezdxf import recover
from ezdxf.math import OCS, Matrix44, Vec3

# In drawing units, and of the coordinate's size where that is more: well below any distance that
# matters, well above rounding, and too small to pair neighbours wrongly at 2,000,000.
LEAST, TOLERANCE = 1e-6, 1e-10
SAME = 1e-7  # axes nearer than this part of their length make a circle
FARTHEST = 1e12  # beyond this a coordinate counts as wrong, and the entity is dropped with a note
COUNTED = "LINE CIRCLE ARC ELLIPSE INSERT LWPOLYLINE POLYLINE POINT TEXT MTEXT SOLID TRACE 3DFACE DIMENSION".split()
DEEPEST = 100


class Seen:
    """What one way of ezdxf finds in model space."""

    def __init__(self):
        self.counts = Counter()
        self.lines, self.circles, self.ovals, self.arcs, self.corners = [], [], [], [], []
        self.stretches, self.caps = [], []  # lines and round ends of multilines
        self.curves = []  # first point, last point and middle of all points that splines are given
        self.inserts = defaultdict(list)
        self.chords = 0  # polylines whose arcs become chords under unequal scale
        self.skewed = False


def axes(u, v):
    """Greatest and least half axis of the ellipse with these conjugate half axes (singular values)."""
    s = u.x * u.x + u.y * u.y + v.x * v.x + v.y * v.y
    d = abs(u.x * v.y - u.y * v.x)
    # s² − 4d² without its cancellation, which near a circle would cost half the digits.
    root = math.hypot(u.x * u.x + u.y * u.y - v.x * v.x - v.y * v.y, 2 * (u.x * v.x + u.y * v.y))
    most = math.sqrt((s + root) / 2)
    return most, (d / most if most > 0 else 0.0)


def is_round(u, v):
    a, b = math.hypot(u.x, u.y), math.hypot(v.x, v.y)
    return abs(a - b) <= SAME * max(a, b) and abs(u.x * v.x + u.y * v.y) <= SAME * max(a, b) ** 2


def near(*points):
    return all(math.isfinite(c) and abs(c) <= FARTHEST for p in points for c in (p.x, p.y))


def polyline(seen, points, closed, unit, m):
    """False where a corner is out of reach."""
    if any(bulge for _, bulge in points):
        bulges = [bulge for _, bulge in points]
        # Two half circles are a circle, which becomes an ellipse and has no chords.
        circle = closed and bulges in ([1, 1], [-1, -1])
        seen.chords += not circle and not is_round(*(m.transform_direction(axis) for axis in unit))
        return True
    corners = [m.transform(p) for p, _ in points]
    if not near(*corners):
        return False
    if len(corners) > 1:
        seen.corners.append(tuple(c for p in corners for c in (p.x, p.y)))
    return True


def multiline(seen, drawn, ocs, m):
    """Its lines and round ends; what the other reader draws to the middle from both sides is one line. Its
    arcs stand in the multiline's own coordinates, which the other reader forgets to say."""
    while drawn:
        e = drawn.pop(0)
        if e.dxftype() == "LINE":
            a, b = e.dxf.start, e.dxf.end
            if drawn and drawn[0].dxftype() == "LINE" and drawn[0].dxf.end == b:
                b = drawn.pop(0).dxf.start
            if a != b:
                a, b = sorted(m.transform(p) for p in (a, b))
                seen.stretches.append((a.x, a.y, b.x, b.y))
        elif e.dxftype() == "ARC":
            r = e.dxf.radius
            u, v = (m.transform_direction(ocs.to_wcs(Vec3(axis)) * r) for axis in ((1, 0), (0, 1)))
            if r > 0 and is_round(u, v):
                ends = (e.dxf.start_angle, e.dxf.start_angle + 90, e.dxf.end_angle)
                a, mid, b = (m.transform(ocs.to_wcs(e.dxf.center + Vec3.from_deg_angle(t, r))) for t in ends)
                a, b = sorted((a, b))
                seen.caps.append((mid.x, mid.y, a.x, a.y, b.x, b.y))


def take(seen, e, m):
    kind = e.dxftype()
    if kind == "LINE":
        a, b = m.transform(e.dxf.start), m.transform(e.dxf.end)
        if not near(a, b):
            return
        seen.lines.append((a.x, a.y, b.x, b.y))
    elif kind in ("CIRCLE", "ARC"):
        ocs, r = e.ocs(), abs(e.dxf.radius)
        u, v = (m.transform_direction(ocs.to_wcs(Vec3(axis)) * r) for axis in ((1, 0), (0, 1)))
        c = m.transform(ocs.to_wcs(e.dxf.center))
        if not near(c, u, v):
            return
        most, least = axes(u, v)
        edge_on = most > 0 and least <= 10 * SAME * most
        if kind == "CIRCLE" and most > 0 and not edge_on:
            if is_round(u, v):
                seen.circles.append((c.x, c.y, most))
            else:
                seen.ovals.append((c.x, c.y, most, least))
        elif kind == "ARC" and most > 0 and is_round(u, v):
            start = e.dxf.start_angle
            sweep = (e.dxf.end_angle - start) % 360 or 360
            if 1e-9 < sweep < 360 - 1e-9:
                a, mid, b = (
                    c + u * math.cos(math.radians(t)) + v * math.sin(math.radians(t))
                    for t in (start, start + sweep / 2, start + sweep)
                )
                seen.arcs.append((mid.x, mid.y, (a.x + b.x) / 2, (a.y + b.y) / 2, math.hypot(a.x - b.x, a.y - b.y)))
    elif kind == "LWPOLYLINE":
        ocs, z = e.ocs(), e.dxf.elevation
        points = [(ocs.to_wcs(Vec3(x, y, z)), b) for x, y, b in e.get_points("xyb")]
        unit = [ocs.to_wcs(Vec3(axis)) for axis in ((1, 0), (0, 1))]
        if not polyline(seen, points, e.closed, unit, m):
            return
    elif kind == "POLYLINE" and (e.is_2d_polyline or e.is_3d_polyline):
        ocs = e.ocs() if e.is_2d_polyline else OCS()
        z = e.dxf.elevation.z if e.is_2d_polyline else None
        points = []
        for vertex in e.vertices:
            x, y, own = vertex.dxf.location
            if not vertex.dxf.flags & 16:  # a spline's frame is not on the curve
                points.append((ocs.to_wcs(Vec3(x, y, own if z is None else z)), vertex.dxf.bulge))
        unit = [ocs.to_wcs(Vec3(axis)) for axis in ((1, 0), (0, 1))]
        if not polyline(seen, points, e.is_closed, unit, m):
            return
    elif kind == "MULTILEADER":
        for leader in e.context.leaders:
            last = leader.last_leader_point
            end = last + leader.dogleg_vector * leader.dogleg_length
            for line in leader.lines:
                polyline(seen, [(Vec3(p), 0) for p in [*line.vertices, last, end]], False, (), m)
    elif kind == "SPLINE":
        if is_round(*(m.transform_direction(Vec3(axis)) for axis in ((1, 0), (0, 1)))):
            curve = e.construction_tool()
            stops = sorted(set(curve.knots()))
            pieces = min(max(256 // (len(stops) - 1), 1), 8)
            shares = [a + (b - a) * i / pieces for a, b in zip(stops, stops[1:]) for i in range(pieces)]
            points = [m.transform(p) for p in curve.points([*shares, stops[-1]])]
            middle = sum(points, Vec3()) / len(points)
            seen.curves.append((middle.x, middle.y, points[0].x, points[0].y, points[-1].x, points[-1].y))
    elif kind == "MLINE":
        multiline(seen, list(e.virtual_entities()), OCS(e.dxf.extrusion), m)
    elif kind == "INSERT":
        p = m.transform(e.ocs().to_wcs(e.dxf.insert))
        if not near(p):
            return
        seen.inserts[e.dxf.name.lower()].append((p.x, p.y))
    seen.counts[kind] += 1


def cells(insert):
    return insert.multi_insert() if insert.mcount > 1 else [insert]


def by_matrix(entities, m, seen, chain):
    for e in entities:
        if e.dxftype() != "INSERT":
            take(seen, e, m)
            continue
        for cell in cells(e):
            take(seen, cell, m)
            name, block = cell.dxf.name.lower(), cell.block()
            if block is None or name in chain or len(chain) >= DEEPEST:
                continue
            inner = cell.matrix44() * m
            x, y, z = (inner.transform_direction(Vec3(a)) for a in ((1, 0, 0), (0, 1, 0), (0, 0, 1)))
            size = max(x.magnitude, y.magnitude, z.magnitude)
            seen.skewed |= any(abs(a.dot(b)) > 1e-9 * size * size for a, b in ((x, y), (y, z), (x, z)))
            by_matrix(block, inner, seen, chain + [name])


def by_explosion(entities, seen, depth=0):
    for e in entities:
        if e.dxftype() != "INSERT":
            take(seen, e, Matrix44())
            continue
        for cell in cells(e):
            take(seen, cell, Matrix44())
            if cell.block() is not None and depth < DEEPEST:
                by_explosion(cell.virtual_entities(), seen, depth + 1)


def unmatched(ours, theirs):
    """Rows of each side that have no partner on the other within the tolerance."""
    size = max((abs(c) for row in theirs for c in row), default=1.0)
    limit = max(LEAST, TOLERANCE * size)
    grid = defaultdict(list)
    for row in theirs:
        grid[tuple(math.floor(c / (4 * limit)) for c in row[:2])].append(row)
    lonely = []
    for row in ours:
        i, j = (math.floor(c / (4 * limit)) for c in row[:2])
        for cell in (grid.get((i + di, j + dj), []) for di in (0, 1, -1) for dj in (0, 1, -1)):
            found = next(
                (
                    k
                    for k, other in enumerate(cell)
                    if len(other) == len(row)
                    and all(abs(a - b) <= max(LEAST, TOLERANCE * abs(b)) for a, b in zip(row, other))
                ),
                None,
            )
            if found is not None:
                cell.pop(found)
                break
        else:
            lonely.append(row)
    return lonely, [row for cell in grid.values() for row in cell]


def shown(rows):
    return f"{rows[:2]}"[:160]


def differences(ours, seen, way):
    for kind in COUNTED:
        a, b = ours["counts"].get(kind, 0), seen.counts[kind]
        if a != b:
            yield f"{way}: {a} {kind}, not {b}"
    for what in ("lines", "circles", "ovals", "arcs", "corners", "stretches", "caps", "curves"):
        mine, others = unmatched(ours[what], getattr(seen, what))
        if what == "corners" and not others and len(mine) == seen.chords:
            continue
        if mine or others:
            yield f"{way}: {what}: {len(mine)} of ours alone {shown(mine)}, {len(others)} of theirs {shown(others)}"
    for name in sorted(set(ours["inserts"]) | set(seen.inserts)):
        mine, others = unmatched(ours["inserts"].get(name, []), seen.inserts.get(name, []))
        if mine or others:
            yield f"{way}: insertions of {name}: {len(mine)} of ours alone {shown(mine)}, {len(others)} of theirs {shown(others)}"


def other_reader(path):
    try:
        return ezdxf.readfile(path)
    except (ezdxf.DXFError, OSError, ValueError):
        doc, _ = recover.readfile(path)
        return doc


def compare(dump, path):
    """Differences, or None where the other reader cannot open the file either."""
    run = subprocess.run([dump, str(path)], capture_output=True, text=True)
    ours = json.loads(run.stdout) if run.stdout else {"error": run.stderr.strip() or "no output"}
    try:
        doc = other_reader(path)
    except Exception as e:  # whatever the other reader stumbles over, the file is not compared
        print(f"not compared: {path}: {type(e).__name__}: {e}")
        return None
    if "error" in ours:
        return [f"not read: {ours['error']}"]
    found = []
    if ours["entities"] != sum(ours["counts"].values()) + ours["dropped"]:
        found.append("an entity is neither item nor dropped")
    seen = Seen()
    by_matrix(doc.modelspace(), Matrix44(), seen, [])
    found.extend(differences(ours, seen, "matrices"))
    # Exploding breaks polylines with arcs into pieces under unequal scale, lines among them.
    if not (seen.skewed or seen.chords):
        burst = Seen()
        try:
            by_explosion(doc.modelspace(), burst)
        except ZeroDivisionError:
            # Its explosion divides by a scale that is zero; the matrices were compared all the same.
            print(f"{path}: not exploded by the other reader")
            return found
        # Exploding makes ellipses of circles and arcs under unequal scale, so only the rest is compared.
        for name in ("counts", "ovals", "arcs", "corners", "chords", "stretches", "caps", "curves"):
            setattr(burst, name, getattr(seen, name))
        found.extend(differences(ours, burst, "explosion"))
    return found


def main(dump, *folders):
    files = sorted(f for folder in folders for f in Path(folder).rglob("*.dxf"))
    passed = failed = 0
    for path in files:
        found = compare(dump, path)
        if found is None:
            continue
        passed, failed = passed + (not found), failed + bool(found)
        for line in found:
            print(f"{path}: {line}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
