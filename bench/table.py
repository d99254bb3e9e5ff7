"""Collecting figures from the modules beside this one, and showing them."""

from __future__ import annotations

import importlib
import json
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from bench.figure import Figure


def collect(folder: Path, prefix: str, only: str) -> list[Figure]:
    """Figures of every module ``prefix*.py``; PREFIXES of a module tell how its names begin."""
    found: list[Figure] = []
    for path in sorted(folder.glob(f"{prefix}*.py")):
        module = importlib.import_module(f"bench.{path.stem}")
        if only and not _may_hold(module, only):
            continue
        found.extend(figure for figure in _figures(module) if figure.name.startswith(only))
    return found


def _may_hold(module: Any, only: str) -> bool:
    prefixes: tuple[str, ...] = getattr(module, "PREFIXES", ())
    return not prefixes or any(only.startswith(p) or p.startswith(only) for p in prefixes)


def _figures(module: Any) -> Iterator[Figure]:
    for figure in module.figures():
        print(f"  {figure.name}: {figure.value:.6g} {figure.unit}", flush=True)
        yield figure


def print_table(found: list[Figure]) -> None:
    """One line a figure, wide enough for a terminal."""
    print(f"\n{'figure':40} {'value':>12} {'unit':8} {'target':>10} {'ratio':>8} {'MB':>7}  note")
    for figure in found:
        bound = "" if figure.bound is None else f"{figure.bound:g}"
        ratio = "" if figure.ratio is None else f"{figure.ratio:.4f}"
        peak = "" if figure.peak_mb is None else f"{figure.peak_mb:.0f}"
        met = {True: "", False: " MISSED", None: ""}[figure.is_met]
        print(
            f"{figure.name:40} {figure.value:12.6g} {figure.unit:8} {bound:>10} {ratio:>8} "
            f"{peak:>7}  {figure.note}{met}"
        )


def write_json(found: list[Figure], target: Path) -> None:
    """The same as JSON."""
    rows = [{**asdict(figure), "ratio": figure.ratio} for figure in found]
    target.write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")
