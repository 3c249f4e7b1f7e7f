"""Reports against their JSON Schema, judged by an independent validator.

    schema.py SCHEMA FOLDER

Every `*.report.json` below FOLDER must be valid, and its ids must be dense and point at something.
No report at all is a failure. A report with a key of the schema taken away must be refused, so that
a schema that lets everything through is seen.
"""

import json
import sys
from pathlib import Path

from jsonschema import Draft202012Validator


def ids(report):
    """Complaints about ids that are not dense, or that point at nothing."""
    known = {}
    for key, letter in [
        ("luminaires", "L"), ("members", "M"), ("rooms", "R"), ("rows", "W"), ("findings", "F"), ("remedies", "A"),
    ]:
        found = [item["id"] for item in report[key]]
        known[key] = set(found)
        if found != [f"{letter}{i + 1}" for i in range(len(found))]:
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
    files = sorted(Path(sys.argv[2]).rglob("*.report.json"))
    faults = []
    for file in files:
        report = json.loads(file.read_text(encoding="utf-8"))
        errors = [f"{list(e.absolute_path)}: {e.message[:200]}" for e in validator.iter_errors(report)]
        faults += [f"{file.name}: {e}" for e in errors or ids(report)]
        for key in schema["required"]:
            if validator.is_valid({k: v for k, v in report.items() if k != key}):
                faults.append(f"{file.name}: valid without {key}: the schema lets too much through")
    print(*faults, f"{len(files)} reports held against the schema, {len(faults)} faults", sep="\n")
    if faults or not files:
        sys.exit(1)


if __name__ == "__main__":
    main()
