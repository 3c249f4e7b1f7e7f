"""Compares clipped block references with what ezdxf and shapely make of them.

    python clips.py DUMP FOLDER [CASES]

DUMP is the built example `flat_dump`; the cases (60 if not told) are drawn into FOLDER. Each holds one INSERT, placed, turned,
mirrored and scaled at random, with a clip of two to seven corners, made with ezdxf as SPATIAL_FILTER; half of the clips
have their corners in the world and a map back to the block. ezdxf gives the clip's ring and where the block's lines and circles stand,
shapely what of the lines is inside. Compared are the lines, and the circles by their middles.

Exit status 1 where anything differs.
"""

import json
import math
import random
import subprocess
import sys
from pathlib import Path

import ezdxf
from ezdxf.math import Vec3
from ezdxf.xclip import XClip
from shapely.geometry import LineString, Point, Polygon

NEAR = 1e-6


def ring(rng):
    """Corners in the block: a rectangle by two of them, or a star-shaped ring, which need not be convex."""
    if rng.random() < 0.4:
        return [(rng.uniform(-60, -5), rng.uniform(-60, -5)), (rng.uniform(5, 60), rng.uniform(5, 60))]
    count = rng.randint(3, 7)
    turns = [(i + rng.uniform(0, 0.9)) * 360 / count for i in range(count)]
    return [tuple(Vec3.from_deg_angle(t, rng.uniform(15, 70)))[:2] for t in turns]


def draw(seed, path):
    """A case; the lines and circles that should be left of it, in the world."""
    rng = random.Random(seed)
    doc = ezdxf.new(rng.choice(["R2000", "R2007", "R2018"]))
    block = doc.blocks.new("PART", base_point=(rng.uniform(-9, 9), rng.uniform(-9, 9), 0))
    for _ in range(40):
        block.add_line(*((rng.uniform(-80, 80), rng.uniform(-80, 80)) for _ in range(2)))
        block.add_circle((rng.uniform(-80, 80), rng.uniform(-80, 80)), 3)
    size = rng.choice([1, 1, 25.4, 0.5])
    insert = doc.modelspace().add_blockref(
        "PART",
        (rng.uniform(-500, 500), rng.uniform(-500, 500)),
        {"rotation": rng.choice([0, 90, 33.3, -120]), "xscale": size * rng.choice([1, -1]), "yscale": size},
    )
    clip = XClip(insert)
    corners = ring(rng)
    clip.set_block_clipping_path(corners)
    place = insert.matrix44()
    if rng.random() < 0.5 and len(corners) > 2:
        back = place.copy()
        back.inverse()
        of = clip.get_spatial_filter()
        of.set_boundary_vertices(place.transform_vertices(Vec3(c) for c in corners))
        of.set_inverse_insert_matrix(back)
    doc.saveas(path)
    polygon = Polygon([(v.x, v.y) for v in clip.get_wcs_clipping_path().vertices])
    assert polygon.is_valid and polygon.area > 0
    lines, circles = [], []
    for e in block:
        if e.dxftype() == "LINE":
            a, b = place.transform(e.dxf.start), place.transform(e.dxf.end)
            left = polygon.intersection(LineString([(a.x, a.y), (b.x, b.y)]))
            for part in getattr(left, "geoms", [left]):
                if part.length > NEAR:
                    lines.append((*part.coords[0], *part.coords[-1]))
        else:
            c = place.transform(e.dxf.center)
            if polygon.contains(Point(c.x, c.y)):
                circles.append((c.x, c.y))
    return lines, circles


def either_way(line):
    return min(tuple(line), (*line[2:], *line[:2]))


def same(ours, theirs):
    if len(ours) != len(theirs):
        return False
    rows = list(theirs)
    for row in ours:
        at = next((k for k, o in enumerate(rows) if all(math.isclose(a, b, abs_tol=NEAR) for a, b in zip(row, o))), None)
        if at is None:
            return False
        rows.pop(at)
    return True


def main(dump, folder, cases=60):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    failed = cut = 0
    for seed in range(int(cases)):
        path = folder / f"clip-{seed:03}.dxf"
        lines, circles = draw(seed, path)
        run = subprocess.run([dump, str(path)], capture_output=True, text=True, check=True)
        ours = json.loads(run.stdout)
        cut += len(lines) + len(circles) < 80
        mine = [either_way(line) for line in ours["lines"]], [tuple(c[:2]) for c in ours["circles"]]
        if not same(mine[0], [either_way(line) for line in lines]) or not same(mine[1], circles):
            failed += 1
            print(f"{path}: {len(mine[0])} lines, {len(mine[1])} circles, not {len(lines)}, {len(circles)}")
    print(f"{int(cases) - failed} clips agree, {failed} do not; {cut} hide something")
    return 1 if failed or not cut else 0


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
