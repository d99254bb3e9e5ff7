"""The import door under a million odd cells, whole odd files and damaged bytes (trust.md H1)."""

from __future__ import annotations

from collections.abc import Iterator

from bench.figure import Figure
from bench.import_fuzz import FuzzCount, fuzz_cells, sloppy_reader
from bench.import_fuzz_files import fuzz_bytes, fuzz_files

PREFIXES = ("trust_import_",)
CELLS, FILES, DAMAGED, SEED = 1_000_000, 1_000, 5_000, 20261125


def figures() -> Iterator[Figure]:
    """Yield crashes and silent changes, and what the control arm lets through."""
    cells, files = fuzz_cells(CELLS, SEED), fuzz_files(FILES, SEED)
    damaged = fuzz_bytes(DAMAGED, SEED)
    crashes = cells.crashes + files.crashes + damaged.crashes
    note = f"{cells.cells + files.cells:,} cells, {DAMAGED:,} damaged files; {_shares(cells)}"
    yield Figure("trust_import_crashes", crashes, "count", "lower", bound=0, note=note)
    silent = cells.silent_changes + files.silent_changes
    yield Figure("trust_import_silent_changes", silent, "count", "lower", bound=0, note=note)
    control = fuzz_cells(CELLS // 100, SEED, sloppy_reader).silent_changes
    yield Figure(
        "trust_import_control", control, "count", "higher", bound=1,
        note=f"silent changes of a float parser in {CELLS // 100:,} cells: the check bites",
    )  # fmt: skip


def _shares(done: FuzzCount) -> str:
    return f"{done.accepted:,} accepted, {done.named:,} named, {done.asked:,} asked"
