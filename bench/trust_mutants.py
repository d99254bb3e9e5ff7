"""How many small wrong changes to the load arithmetic its tests notice (trust.md H2)."""

from __future__ import annotations

import os
import random
from collections.abc import Iterator
from pathlib import Path

from bench.figure import Figure
from bench.mutant_run import reached, survivors
from bench.mutants import UNCHANGED, Mutant, mutants_of, unchanged

PREFIXES = ("resist_mutants",)
ROOT = Path(__file__).parents[1]
DOMAIN = ROOT / "src" / "heftwright" / "domain"
SOURCES = (
    *sorted(path for path in (DOMAIN / "resistance").glob("*.py") if path.name != "__init__.py"),
    DOMAIN / "stock" / "gear.py",
    DOMAIN / "stock" / "override.py",
    DOMAIN / "mass.py",
    DOMAIN / "height.py",
    DOMAIN / "floor" / "stacks.py",
)
TESTS = (
    *sorted(str(path.relative_to(ROOT)) for path in ROOT.glob("tests/domain/test_resistance_*.py")),
    "tests/domain/test_mass.py",
    "tests/domain/test_height.py",
    "tests/domain/test_stock_gear.py",
    "tests/domain/test_floor_stacks.py",
)
SAMPLE = 700


def figures() -> Iterator[Figure]:
    """Share noticed of a fixed sample of all mutants; unchanged modules must pass."""
    every = all_mutants()
    sample = sorted(random.Random(20260302).sample(every, SAMPLE), key=lambda m: (m.path, m.number))
    controls = [unchanged(path) for path in SOURCES]
    lived = run([*controls, *sample])
    alive = [mutant for mutant in lived if mutant.number != UNCHANGED]
    yield Figure(
        "resist_mutants_killed",
        100 * (1 - len(alive) / len(sample)),
        "%",
        "higher",
        bound=95,
        note=f"{len(sample) - len(alive)} of {len(sample)}, drawn from {len(every)}",
    )
    yield Figure("resist_mutants_tried", len(sample), "count", "higher", bound=600)
    yield Figure(
        "resist_mutants_control",
        len(lived) - len(alive),
        "count",
        "higher",
        bound=len(SOURCES),
        note="modules without a change that pass, as they must",
    )


def all_mutants() -> list[Mutant]:
    """Of every module of the load arithmetic."""
    return [mutant for path in SOURCES for mutant in mutants_of(path)]


def run(mutants: list[Mutant], workers: int = 2) -> list[Mutant]:
    """Those that live, printed as they stand."""
    os.chdir(ROOT)
    os.nice(10)
    lived = survivors(mutants, reached(SOURCES, TESTS), _names(), workers)
    for mutant in lived:
        if mutant.number == UNCHANGED:
            continue
        print(f"lives: {mutant.path.relative_to(DOMAIN)}:{mutant.line} {mutant.what}")
    return lived


def _names() -> dict[Path, str]:
    return {
        path: ".".join(path.relative_to(ROOT / "src").with_suffix("").parts) for path in SOURCES
    }


if __name__ == "__main__":
    print(len(run(all_mutants())), "live of", len(all_mutants()))
