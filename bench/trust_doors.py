"""Seeded errors through the real doors of maxes, log, bar speed and strain; sound ones too."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from tempfile import TemporaryDirectory

from bench.figure import Figure

PREFIXES = ("guards_door_",)


def figures() -> Iterator[Figure]:
    """Share stopped or asked about, and share of sound entries that went through unasked."""
    with TemporaryDirectory() as folder:
        ran = subprocess.run(
            [sys.executable, "-m", "bench.seed_doors"], check=True, stdout=subprocess.PIPE,
            env={**os.environ, "HEFTWRIGHT_DATA": folder},
        )  # fmt: skip
    found: dict[str, list[int]] = json.loads(ran.stdout.splitlines()[-1])
    clean = {name: pair for name, pair in found.items() if name.startswith("clean")}
    wrong = {name: pair for name, pair in found.items() if name not in clean}
    yield _figure("guards_door_stopped", wrong, 100.0)
    passed = {name: [seeded, seeded - stopped] for name, (seeded, stopped) in clean.items()}
    yield _figure("guards_door_sound_passed", passed, 95.0)


def _figure(name: str, found: dict[str, list[int]], bound: float) -> Figure:
    seeded = sum(pair[0] for pair in found.values())
    share = 100 * sum(pair[1] for pair in found.values()) / seeded
    words = ", ".join(f"{kind} {100 * met / of:.0f} %" for kind, (of, met) in found.items())
    return Figure(
        name, share, "%", "higher", bound=bound,
        note=f"{seeded} entries through the doors of the demo gym: {words}",
    )  # fmt: skip
