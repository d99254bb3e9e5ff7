"""``make bench``: run every ``bench_*.py``, print its figures, write ``results.json``."""

from __future__ import annotations

import sys
from pathlib import Path

from bench.table import collect, print_table, write_json

HERE = Path(__file__).parent


def main(prefix: str, target: Path, arguments: list[str]) -> int:
    """Collect, print and write the figures whose names start with ``--only``."""
    only = arguments[arguments.index("--only") + 1] if "--only" in arguments else ""
    found = collect(HERE, prefix, only)
    print_table(found)
    write_json(found, target)
    missed = [figure.name for figure in found if figure.is_met is False]
    print(f"{len(found)} figures, {len(missed)} short of their target: {', '.join(missed) or '–'}")
    return 0


if __name__ == "__main__":
    sys.exit(main("bench_", HERE / "results.json", sys.argv[1:]))
