"""Maxes without their day: a sheet that has no Date column is asked once how old it is.

The age of a max decides what it may be used for, so it is never taken to be today's.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from heftwright.imports.cells import Cell, CellKind, RawRow, RawSheet
from heftwright.imports.findings import Choice, Findings, Place, WaitingError
from heftwright.imports.headers import header_row, match_header
from heftwright.imports.sheets import MAXES

DATE_COLUMN = 100_001  # beyond any real column
_CHOICES = (
    Choice("0", "this week: dated today"),
    Choice("2", "in the last month: dated 2 weeks ago"),
    Choice("6", "one to three months ago: dated 6 weeks ago"),
    Choice("16", "three to six months ago: dated 16 weeks ago"),
    Choice("30", "longer ago, or not known: dated 30 weeks ago, sets no top load"),
)


def is_undated(raw: RawSheet) -> bool:
    """Whether a Maxes sheet has headers but none of them is the day."""
    row, _ = header_row(raw, MAXES)
    if row is None:
        return False
    matches = (match_header(cell.text, MAXES) for cell in row.cells.values())
    return not any(match and match[0].key == "on" for match in matches)


def with_day(raw: RawSheet, place: Place, findings: Findings, today: date) -> tuple[RawSheet, bool]:
    """The sheet with the Date column that the coach's answer gives it.

    Returns
    -------
    tuple of RawSheet and bool
        The sheet, and whether its rows wait for the answer (their day then means nothing).
    """
    header, _ = header_row(raw, MAXES)
    if header is None:
        return raw, False
    here = replace(place, row=header.number)
    sentence = f"No column of “{place.sheet}” says when these were lifted. How old are they?"
    try:
        key = f"age:{place.file}:{place.sheet}"
        weeks, waits = int(findings.ask(key, here, sentence, _CHOICES)), False
    except WaitingError:
        weeks, waits = 0, True
    day = Cell((today - timedelta(weeks=weeks)).isoformat(), CellKind.DATE)
    rows = tuple(_dated(row, header.number, day) for row in raw.rows)
    return replace(raw, rows=rows), waits


def _dated(row: RawRow, header: int, day: Cell) -> RawRow:
    if row.number < header:
        return row
    return replace(
        row, cells=row.cells | {DATE_COLUMN: Cell("Date") if row.number == header else day}
    )
