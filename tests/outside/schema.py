"""Reports against their JSON Schema, judged by an independent validator.

    schema.py SCHEMA FOLDER [--parts]

Every `*.report.json` below FOLDER must be valid, and its ids must be dense and point at something. So must every
`*.plan-N.json` beside it, the report of one plan of a drawing; those of all its plans hold nothing twice and nothing
that the drawing's own report has not, and their pieces of blocking add up to its.
No report at all is a failure, and with --parts so is none of a single plan. A report with a key of the schema taken away must be refused, so that
a schema that lets everything through is seen.
"""

import glob
import json
import sys
from pathlib import Path

from jsonschema import Draft202012Validator


LISTS = ("luminaires", "members", "rooms", "rows", "findings", "remedies")


def together(report, parts):
    """Complaints about plans that are not together the drawing."""
    if len(parts) != len(report["plans"]):
        yield f"{len(parts)} reports of {len(report['plans'])} plans"
    for key in LISTS:
        own = {item["id"]: item for item in report[key]}
        found = [item["id"] for part in parts for item in part[key]]
        # A finding of lights in several plans is in each.
        alone = [i for i in found if key != "findings" or own.get(i, {}).get("kind") != "no-schedule"]
        if len(alone) != len(set(alone)):
            yield f"{key}: something is in two plans"
        if not set(found) <= own.keys():
            yield f"{key}: {set(found) - own.keys()} is not in the drawing's report"
        told = any(n["code"] == "outside-plans" for n in report["notes"])
        if set(found) != own.keys() and not told:
            yield f"{key}: {own.keys() - set(found)} is in no plan, and nothing says so"
    pieces = [sum(cut["count"] for cut in r["cut_list"]["cuts"]) for r in [report, *parts]]
    if pieces[0] != sum(pieces[1:]) and not told:
        yield f"blocking does not add up: {pieces}"


def ids(report, dense=True):
    """Complaints about ids that are not dense, or that point at nothing."""
    known = {}
    for key, letter in [
        ("luminaires", "L"), ("members", "M"), ("rooms", "R"), ("rows", "W"), ("findings", "F"), ("remedies", "A"),
    ]:
        found = [item["id"] for item in report[key]]
        known[key] = set(found)
        if dense and found != [f"{letter}{i + 1}" for i in range(len(found))]:
            yield f"{key}: ids are not dense"
    uses = [
        (item, key, target)
        for where, key, target in [
            ("luminaires", "room", "rooms"), ("luminaires", "rows", "rows"), ("rows", "luminaires", "luminaires"),
            ("rows", "room", "rooms"), ("findings", "luminaires", "luminaires"), ("findings", "members", "members"),
            ("findings", "row", "rows"), ("findings", "room", "rooms"), ("findings", "remedies", "remedies"),
            ("remedies", "mends", "findings"), ("remedies", "luminaires", "luminaires"),
        ]
        for item in report[where]
    ]
    for item, key, target in uses:
        value = item[key]
        for one in value if isinstance(value, list) else [value]:
            if one is not None and one not in known[target]:
                yield f"{item['id']}: {key} points at {one}, which is not there"
    for row in report["rows"]:
        if not len(row["luminaires"]) == len(row["offsets"]) == len(row["stations"]) == len(row["along"]):
            yield f"{row['id']}: not one offset, station and distance a light"
    counts = report["counts"]
    if counts["claimed"] + counts["unclaimed"] + counts["dropped"] != counts["entities"]:
        yield f"counts do not add up: {counts}"


def main():
    schema = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    folder = Path(sys.argv[2])
    files = sorted(folder.rglob("*.report.json"))
    number = 0
    faults = []
    for file in files:
        report = json.loads(file.read_text(encoding="utf-8"))
        errors = [f"{list(e.absolute_path)}: {e.message[:200]}" for e in validator.iter_errors(report)]
        faults += [f"{file.name}: {e}" for e in errors or ids(report)]
        for key in schema["required"]:
            if validator.is_valid({k: v for k, v in report.items() if k != key}):
                faults.append(f"{file.name}: valid without {key}: the schema lets too much through")
        stem = glob.escape(file.name.removesuffix(".report.json"))
        parts = []
        for name in sorted(file.parent.glob(f"{stem}.plan-*.json")):
            if name.name.endswith(".report.json"):
                continue
            parts.append(json.loads(name.read_text(encoding="utf-8")))
            errors = [f"{list(e.absolute_path)}: {e.message[:200]}" for e in validator.iter_errors(parts[-1])]
            faults += [f"{name.name}: {e}" for e in errors or ids(parts[-1], dense=False)]
        number += len(parts)
        if parts or report["plans"]:
            faults += [f"{file.name}: {e}" for e in together(report, parts)]
    if sys.argv[3:] == ["--parts"] and not number:
        faults.append("no report of a plan of a drawing")
    print(*faults, f"{len(files)} reports and {number} of single plans held against the schema, {len(faults)} faults", sep="\n")
    if faults or not files:
        sys.exit(1)


if __name__ == "__main__":
    main()
