"""The store at 500,000 logged sets, and many phones sending at once."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from bench.figure import Figure

PREFIXES = ("store_",)
SETS = 500_000
BOUNDS = {
    "store_class_log_p95_ms": 100.0,
    "store_class_version_p95_ms": 10.0,
    "store_athlete_year_p95_ms": 100.0,
    "store_latest_200_p95_ms": 50.0,
    "store_squad_p95_ms": 150.0,
    "store_sync_200x40_s": 30.0,
    "store_sync_200x40_exact": 100.0,
}


def figures() -> Iterator[Figure]:
    """Figures of one process with a database of its own."""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "bench.store_scale", folder, str(SETS)]
        root = Path(__file__).parents[1]
        done = subprocess.run(command, check=True, capture_output=True, text=True, cwd=root)
    for line in done.stdout.splitlines():
        found = json.loads(line)
        better = "higher" if found["name"].endswith("_exact") else "lower"
        yield Figure(better=better, bound=BOUNDS.get(found["name"]), **found)
