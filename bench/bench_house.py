"""Set-up and start: both commands from an empty clone with an empty cache, and how they start."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from bench.figure import Figure

PREFIXES = ("setup_", "demo_", "cli_")
ROOT = Path(__file__).parents[1]
PORT = 8791


def figures() -> Iterator[Figure]:
    """Start figures always; the two cold set-ups, minutes long, only when asked for by name."""
    yield Figure(
        "cli_start_s", _cli_start_s(), "s", "lower", 0.5, note="heftwright --help, median of 5"
    )
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "data"
        first_s = _demo_start_s([str(ROOT / ".venv/bin/heftwright"), "--data", str(data)])
        yield Figure("demo_first_start_s", first_s, "s", "lower", note="warm set-up, new data")
        again = [_demo_start_s([str(ROOT / ".venv/bin/heftwright"), "--data", str(data)])
                 for _ in range(3)]  # fmt: skip
        yield Figure(
            "demo_second_start_s", median(again), "s", "lower", 5.0,
            note="to the printed address, data kept, median of 3",
        )  # fmt: skip
    if any("setup" in argument for argument in sys.argv):
        yield from _cold()


def _cold() -> Iterator[Figure]:
    with tempfile.TemporaryDirectory() as folder:
        clone = Path(folder) / "clone"
        subprocess.run(["git", "clone", "-q", str(ROOT), str(clone)], check=True)
        demo_s = _demo_start_s(["make", "-C", str(clone)], target=["demo", f"PORT={PORT}"])
        yield Figure(
            "setup_demo_cold_s", demo_s, "s", "lower",
            note="make demo in an empty clone, no cache, to the printed address",
        )  # fmt: skip
        shutil.rmtree(clone / ".venv")
        started = time.perf_counter()
        subprocess.run(
            ["make", "-C", str(clone), "test"], check=True, env=_bare(), capture_output=True
        )
        yield Figure(
            "setup_test_cold_s", time.perf_counter() - started, "s", "lower",
            note="make test in an empty clone, no cache",
        )  # fmt: skip


def _cli_start_s() -> float:
    times = []
    for _ in range(5):
        started = time.perf_counter()
        subprocess.run([ROOT / ".venv/bin/heftwright", "--help"], check=True, capture_output=True)
        times.append(time.perf_counter() - started)
    return median(times)


def _demo_start_s(command: list[str], target: list[str] | None = None) -> float:
    """Seconds until the demo prints its address; then Ctrl-C."""
    words = [*command, *(target or ["demo", "--port", str(PORT)])]
    started = time.perf_counter()
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=_bare(),
        start_new_session=True,
    ) as running:  # fmt: skip
        assert running.stdout is not None
        for line in running.stdout:
            if f"http://127.0.0.1:{PORT}" in line:
                break
        else:
            raise RuntimeError("the demo ended without printing its address")
        elapsed = time.perf_counter() - started
        os.killpg(running.pid, signal.SIGINT)
        running.stdout.read()
    return elapsed


def _bare() -> dict[str, str]:
    """This environment with no package cache."""
    return {**os.environ, "PIP_NO_CACHE_DIR": "1", "PYTHONUNBUFFERED": "1"}
