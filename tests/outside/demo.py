"""The demo plans open strictly in ezdxf, and its audit has neither errors nor fixes."""

import pathlib
import sys

import ezdxf


def main() -> int:
    plans = sorted(pathlib.Path(sys.argv[1]).rglob("*.dxf"))
    failed = 0
    for plan in plans:
        try:
            drawing = ezdxf.readfile(plan)
            audit = drawing.audit()
            faults = [str(e.message) for e in [*audit.errors, *audit.fixes]]
            if len(drawing.modelspace()) == 0:
                faults.append("model space is empty")
        except (ezdxf.DXFError, ValueError) as error:
            faults = [repr(error)]
        if faults:
            failed += 1
            print(f"{plan.name}: {faults[:5]}")
    print(f"{len(plans) - failed} passed, {failed} failed")
    return 1 if failed or not plans else 0


if __name__ == "__main__":
    sys.exit(main())
