"""How many small wrong changes to the load arithmetic its tests notice (trust.md H2)."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from bench.figure import Figure
from bench.mutant_run import Reached, reached, survivors
from bench.mutants import UNCHANGED, Mutant, mutants_of, unchanged

PREFIXES = ("resist_mutants", "resist_branches")
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


def figures() -> Iterator[Figure]:
    """Branches the tests take, and the share of all mutants they notice; controls must pass."""
    tests, every = reached(SOURCES, TESTS), all_mutants()
    yield Figure(
        "resist_branches_taken",
        100 * tests.branches_taken / tests.branches,
        "%",
        "higher",
        bound=100,
        note=f"{tests.branches_taken} of {tests.branches} ways out of a condition",
    )
    lived = run([*(unchanged(path) for path in SOURCES), *every], tests)
    alive = [mutant for mutant in lived if mutant.number != UNCHANGED]
    yield Figure(
        "resist_mutants_killed",
        100 * (1 - len(alive) / len(every)),
        "%",
        "higher",
        bound=95,
        note=f"{len(every) - len(alive)} of {len(every)}: every one was tried",
    )
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


def run(mutants: list[Mutant], tests: Reached, workers: int = 2) -> list[Mutant]:
    """Those that live, printed as they stand."""
    os.chdir(ROOT)
    os.nice(10)
    lived = survivors(mutants, tests, _names(), workers)
    for mutant in lived:
        if mutant.number == UNCHANGED:
            continue
        print(f"lives: {mutant.path.relative_to(DOMAIN)}:{mutant.line} {mutant.what}")
    return lived


def _names() -> dict[Path, str]:
    return {
        path: ".".join(path.relative_to(ROOT / "src").with_suffix("").parts) for path in SOURCES
    }
