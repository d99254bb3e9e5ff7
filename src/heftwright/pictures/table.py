"""The table behind a chart: the same figures in words, for those who cannot or will not look."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.refusal import Refusal


class ChartTableError(Refusal):
    """A table whose rows do not fit its columns."""


@dataclass(frozen=True, slots=True)
class ChartTable:
    """Rows of words with units in them; the first column names the row.

    Parameters
    ----------
    caption : str
        What the table says.
    columns : tuple of str
        Headings, at least one.
    rows : tuple of tuple of str
        Each as long as ``columns``.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def __post_init__(self) -> None:
        if not self.columns or any(len(row) != len(self.columns) for row in self.rows):
            raise ChartTableError(
                f"Table “{self.caption}”: every row must have as many cells as there are "
                f"headings ({len(self.columns)}, at least 1)."
            )
