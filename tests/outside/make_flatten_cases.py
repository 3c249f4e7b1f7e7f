"""Makes seeded drawings that try every matter of block insertion, with ezdxf.

    python make_flatten_cases.py FOLDER [SEEDS]

One drawing for each matter, version and seed (SEEDS of them, 2 if not told); the same arguments
give the same geometry.
"""

import random
import sys
from pathlib import Path

import ezdxf

VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
# What the INSERTs of a drawing may have.
MATTERS = {
    "plain": set(),
    "nested": {"deep"},
    "turned": {"turn"},
    "mirrored": {"mirror", "turn"},
    "unequal": {"unequal"},
    "skewed": {"unequal", "turn", "deep"},
    "array": {"array", "turn"},
    "extruded": {"flip", "turn"},
    "tilted": {"tilt", "turn"},
    "base-point": {"base", "turn"},
    "far": {"far", "base", "turn", "mirror"},
    "layers": {"layers", "deep", "mirror"},
    "attributes": {"attribs", "turn", "mirror", "array"},
    "multilines": {"mline", "deep", "turn", "mirror", "base"},
    "multilines-unequal": {"mline", "unequal", "turn"},
    "multilines-tilted": {"mline", "tilt", "turn", "far"},
    "splines": {"spline", "deep", "turn", "mirror", "base"},
    "mixed": {"deep", "turn", "mirror", "unequal", "array", "flip", "base", "attribs", "layers"},
    "everything": {"deep", "turn", "mirror", "unequal", "array", "flip", "tilt", "base", "far", "attribs", "layers"},
}
LAYERS = [("A-WALL", 7), ("E-LITE-CLNG", 1), ("S-JOIS", 3), ("Frozen", 5), ("Off", 4)]
ANGLES = [0, 30, 45, 90, 180, 211.5, 270, 300.25, -17, 720.5]


def extrusion(rng, has):
    choices = [(0, 0, 1)]
    if "flip" in has:
        choices += [(0, 0, -1)] * 2
    if "tilt" in has:
        # Both sides of the arbitrary axis rule's 1/64, and the plain axes.
        choices += [(0.01, 0.005, 1), (0.3, -0.2, 0.9), (0, -0.5, -0.8), (1, 0, 1), (0.0156, 0, -1), (0.0157, 0, 1)]
    return rng.choice(choices)


def spot(rng, has, reach=100.0):
    far = 2_000_000 if "far" in has else 0
    z = rng.choice([0, 0, 3.5]) if "tilt" in has else 0
    return far + rng.uniform(-reach, reach), rng.uniform(-reach, reach) - far / 2, z


# What closes an MLINE's ends, and whether its mitres are drawn: flags of its style.
ENDS = [0, 2, 16, 272, 64 | 1024, 274, 1024 | 32 | 512]


def multiline_styles(rng, doc):
    for i, flags in enumerate(ENDS):
        style = doc.mline_styles.new(f"ML{i}")
        style.dxf.flags = flags
        for offset in rng.sample([-3.0, -1.75, -0.5, 0.5, 0.75, 2.25], rng.randint(1, 4)):
            style.elements.append(offset, 256)


def multilines(rng, space, attributes, has):
    for _ in range(3):
        x, y = rng.uniform(-40, 40), rng.uniform(-40, 40)
        corners = [(x, y)]
        for _ in range(rng.randint(1, 4)):
            x, y = x + rng.uniform(-30, 30), y + rng.uniform(5, 30)
            corners.append((x, y))
        space.add_mline(
            corners,
            close=len(corners) > 2 and rng.random() < 0.4,
            dxfattribs=attributes
            | {
                "style_name": f"ML{rng.randrange(len(ENDS))}",
                "scale_factor": rng.choice([1, 1.5, 25.4]),
                "justification": rng.randint(0, 2),
                "extrusion": rng.choice([(0, 0, 1), (0, 0, -1)]) if "tilt" in has else (0, 0, 1),
            },
        )


def draw(rng, space, has, version):
    """A handful of entities of every kind."""
    def attributes():
        layer = rng.choice(["0", *(name for name, _ in LAYERS)]) if "layers" in has else "0"
        return {"layer": layer, "color": rng.choice([256, 0, 2])}

    def local():
        return rng.uniform(-20, 20), rng.uniform(-20, 20)

    for _ in range(rng.randint(1, 3)):
        space.add_line(local(), local(), attributes())
        space.add_circle(local(), rng.uniform(0.5, 6), attributes() | {"extrusion": extrusion(rng, has)})
    space.add_arc(
        local(), rng.uniform(1, 9), rng.choice([0, 90, 350, 33.3]), rng.choice([10, 180, 275.5]),
        dxfattribs=attributes() | {"extrusion": extrusion(rng, has)},
    )
    points = [(*local(), 0, 0, rng.choice([0, 0, 0.4, -1])) for _ in range(rng.randint(2, 6))]
    straight = [p[:2] for p in points]
    if version == "R12":
        space.add_polyline2d(points, format="xyseb", close=rng.random() < 0.5, dxfattribs=attributes())
    else:
        for corners, form in ((points, "xyseb"), (straight, "xy")):
            line = space.add_lwpolyline(corners, format=form, close=rng.random() < 0.5, dxfattribs=attributes())
            line.dxf.extrusion = extrusion(rng, has)
            line.dxf.elevation = rng.choice([0, 2.5])
        space.add_ellipse((*local(), 0), (rng.uniform(2, 5), 1, 0), 0.4, dxfattribs=attributes())
        space.add_mtext("Hall\\P8 ft", attributes() | {"insert": local(), "char_height": 2})
        if "spline" in has:
            # Open ones without sharp turns: of cubics and of quadratics, some with weights.
            control = [(8 * i + rng.uniform(-2, 2), rng.uniform(-8, 8)) for i in range(rng.randint(4, 9))]
            if rng.random() < 0.5:
                space.add_open_spline(control, degree=rng.choice([2, 3]), dxfattribs=attributes())
            else:
                weights = [rng.uniform(0.5, 2) for _ in control]
                space.add_rational_spline(control, weights, degree=rng.choice([2, 3]), dxfattribs=attributes())
        if "mline" in has:
            multilines(rng, space, attributes(), has)
    space.add_text("R6", height=2, dxfattribs=attributes() | {"insert": local()})
    space.add_point(local(), attributes())
    space.add_solid([local(), local(), local()], attributes())


def insert(rng, space, name, has, at):
    size = rng.choice([1, 1, 0.5, 25.4, 2])
    scale = [size, size, size]
    if "unequal" in has:
        scale = [size, size * rng.choice([1, 0.25, 3]), size * rng.choice([1, 2])]
    if "mirror" in has:
        scale = [s * rng.choice([1, -1]) for s in scale]
    options = {
        "xscale": scale[0],
        "yscale": scale[1],
        "zscale": scale[2],
        "rotation": rng.choice(ANGLES) if "turn" in has else 0,
        "layer": rng.choice(["0", "E-LITE-CLNG", "Frozen", "Off"]) if "layers" in has else "0",
        "extrusion": extrusion(rng, has),
    }
    if "array" in has and rng.random() < 0.5:
        options |= {
            "column_count": rng.randint(1, 4),
            "row_count": rng.randint(1, 3),
            "column_spacing": rng.choice([0, 16, -24]),
            "row_spacing": rng.choice([0, 19.2]),
        }
    # Names are found letter case aside.
    reference = space.add_blockref(rng.choice([name, name.lower()]), at, options)
    if "attribs" in has:
        reference.add_attrib("TAG", "R6", (at[0] + 1, at[1] + 2))


def make(matter, version, seed):
    has = MATTERS[matter]
    rng = random.Random(f"{matter} {version} {seed}")
    doc = ezdxf.new(version)
    for name, color in LAYERS:
        doc.layers.add(name, color=color)
    doc.layers.get("Frozen").freeze()
    doc.layers.get("Off").off()
    if "mline" in has and version != "R12":
        multiline_styles(rng, doc)
    depth = 4 if "deep" in has else 1
    names = []
    for level in range(depth):
        name = f"LT-{level}"
        base = (rng.uniform(-9, 9), rng.uniform(-9, 9), 0) if "base" in has else (0, 0, 0)
        block = doc.blocks.new(name, base_point=base)
        draw(rng, block, has, version)
        for inner in names[-2:]:
            insert(rng, block, inner, has - {"far", "attribs"}, spot(rng, has - {"far"}, 30.0))
        names.append(name)
    space = doc.modelspace()
    draw(rng, space, has, version)
    for name in names:
        for _ in range(2):
            insert(rng, space, name, has, spot(rng, has))
    # A block that nothing draws, and one in paper space only.
    draw(rng, doc.blocks.new("UNUSED"), has, version)
    draw(rng, doc.blocks.new("TITLE"), set(), version)
    doc.layout().add_blockref("TITLE", (0, 0))
    return doc


def main(folder, seeds=2):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for matter in MATTERS:
        for version in VERSIONS:
            for seed in range(int(seeds)):
                doc = make(matter, version, seed)
                form = "bin" if seed % 2 else "asc"
                doc.saveas(folder / f"{matter}-{version}-{seed}.dxf", fmt=form)
    print(f"{len(MATTERS) * len(VERSIONS) * int(seeds)} drawings in {folder}")


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    main(*sys.argv[1:])
