"""Holds the faces of generated wall plans against shapely's polygonizer (GEOS).

usage: rooms.py FACES_DUMP

Plans are seeded: grids of rooms with double-line walls, doors left as gaps with jambs,
some turned. Every face must be there in both, area and centroid the same to 1e-6 (1e-5 where turned
and shifted by up to 50,000 in, which costs the other side's areas digits), and the rooms
must be as many as were drawn. Fails where no plan ran.
"""

import json
import math
import random
import subprocess
import sys

from shapely import LineString, Polygon, polygonize, unary_union

PLANS = 60


def plan(seed):
    """Segments of a grid of rooms, and the rooms' areas."""
    rng = random.Random(seed)
    columns, rows = rng.randint(1, 5), rng.randint(1, 5)
    thick = rng.choice([3.5, 4.5, 5.5, 6.5])
    widths = [rng.randint(60, 220) for _ in range(columns)]
    heights = [rng.randint(60, 220) for _ in range(rows)]
    xs = [sum(widths[:i]) + i * thick for i in range(columns)]
    ys = [sum(heights[:j]) + j * thick for j in range(rows)]
    right, top = xs[-1] + widths[-1], ys[-1] + heights[-1]
    # Openings by the side of a room: the side's gap, at the same place on both faces of the wall.
    upright = {(i, j): rng.random() < 0.5 for i in range(columns - 1) for j in range(rows)}
    level = {(i, j): rng.random() < 0.5 for i in range(columns) for j in range(rows - 1)}
    segments, doors = [], 0

    def side(a, b, gap):
        if gap:
            segments.append((a, gap[0]))
            segments.append((gap[1], b))
        else:
            segments.append((a, b))

    for i in range(columns):
        for j in range(rows):
            x, y, w, h = xs[i], ys[j], widths[i], heights[j]
            up = (y + 14, y + 46)
            across = (x + 14, x + 46)
            gap = ((x + w, up[0]), (x + w, up[1])) if upright.get((i, j)) else None
            side((x + w, y), (x + w, y + h), gap)
            gap_left = ((x, up[0]), (x, up[1])) if upright.get((i - 1, j)) else None
            side((x, y), (x, y + h), gap_left)
            gap_top = ((across[0], y + h), (across[1], y + h)) if level.get((i, j)) else None
            side((x, y + h), (x + w, y + h), gap_top)
            gap_low = ((across[0], y), (across[1], y)) if level.get((i, j - 1)) else None
            side((x, y), (x + w, y), gap_low)
            if gap:
                doors += 1
                segments += [((x + w, s), (x + w + thick, s)) for s in up]
            if gap_top:
                doors += 1
                segments += [((s, y + h), (s, y + h + thick)) for s in across]
    outer = [(-thick, -thick), (right + thick, -thick), (right + thick, top + thick), (-thick, top + thick)]
    segments += list(zip(outer, outer[1:] + outer[:1]))
    areas = sorted(w * h for w in widths for h in heights)
    return segments, areas, doors, rng


def turned(segments, rng):
    angle, dx, dy = rng.uniform(0, math.tau), rng.uniform(-5e4, 5e4), rng.uniform(-5e4, 5e4)
    c, s = math.cos(angle), math.sin(angle)
    put = lambda p: (c * p[0] - s * p[1] + dx, s * p[0] + c * p[1] + dy)
    return [(put(a), put(b)) for a, b in segments]


def key(ring):
    shape = Polygon(Polygon(ring).exterior)
    return (shape.area, shape.centroid.x, shape.centroid.y)


def same(ours, theirs, tolerance):
    """Every face has one of the other set that it equals."""
    rest = list(theirs)
    for face in ours:
        at = [k for k, other in enumerate(rest) if all(abs(a - b) <= tolerance for a, b in zip(face, other))]
        if not at:
            return f"no face like {face}"
        rest.pop(at[0])
    return f"{len(rest)} faces more, the first {rest[0]}" if rest else None


def main():
    dump = sys.argv[1]
    ran = faces = 0
    for seed in range(PLANS):
        segments, areas, doors, rng = plan(seed)
        exact = seed % 3 != 0
        if not exact:
            segments = turned(segments, rng)
        rng.shuffle(segments)
        text = "\n".join(f"{a[0]!r} {a[1]!r} {b[0]!r} {b[1]!r}" for a, b in segments)
        out = subprocess.run([dump], input=text, capture_output=True, text=True, check=True).stdout
        found = json.loads(out)
        assert found["openings"] == doors, (seed, found["openings"], doors)
        edges = [LineString(e) for e in found["edges"]]
        # Unturned plans have ordinates that cut exactly, so GEOS does the noding anew.
        noded = unary_union(edges).geoms if exact else edges
        theirs = [key(p.exterior.coords) for p in polygonize(list(noded)).geoms]
        ours = [key(f) for f in found["faces"]]
        wrong = same(ours, theirs, 1e-6 if exact else 1e-5)
        assert wrong is None, f"plan {seed}: {wrong}"
        large = sorted(a for a, _, _ in ours if any(abs(a - b) < 1e-3 for b in areas))
        assert len(large) >= len(areas), (seed, len(large), len(areas))
        ran += 1
        faces += len(ours)
    assert ran == PLANS and faces > 0, "no plan ran"
    print(f"{ran} wall plans, {faces} faces: the same as shapely's")


if __name__ == "__main__":
    main()
