"""How large an upload may be, and the refusal of what is larger or not what it says (trust.md S5).

Standard library only: the child process that parses uploads loads nothing else of the house.
"""

from __future__ import annotations

from dataclasses import dataclass

MAX_FILE_BYTES = 5 * 2**20
MAX_INFLATED_BYTES = 50 * 2**20
MAX_ENTRIES = 200
MAX_RATIO = 200
MAX_CELLS = 100_000
MAX_TAGS = 1_000_000
MAX_COLUMNS = 1_000
MAX_CELL_CHARS = 2_000
MAX_TEXT_CHARS = 20 * 2**20
TOO_MANY_CELLS = (
    f"The file holds more than {MAX_CELLS:,} filled cells or {MAX_TEXT_CHARS:,} characters: split "
    "it into smaller files."
)
MAX_XML_DEPTH = 40
MAX_MERGED = 1_000
CHILD_BYTES = 256 * 2**20
CHILD_SECONDS = 10


class HostileFileError(ValueError):
    """A file that is not read at all; its sentence says why and what to do."""


@dataclass(slots=True)
class CellBudget:
    """Counts cells and characters while a file is read, and refuses beyond the limits."""

    cells: int = 0
    chars: int = 0

    def spend(self, text: str) -> None:
        """Count one cell."""
        self.cells += 1
        self.chars += len(text)
        if self.cells > MAX_CELLS or self.chars > MAX_TEXT_CHARS:
            raise HostileFileError(TOO_MANY_CELLS)
