"""Dates and times as people write them; a date with two readings gets a question."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time

from heftwright.imports.cells import Cell, CellKind
from heftwright.imports.findings import CellError, Choice

Ask = Callable[[str, str, tuple[Choice, ...], str], str]

_YEAR_FIRST = re.compile(r"([0-9]{4})([-/.])([0-9]{1,2})\2([0-9]{1,2})")
_YEAR_LAST = re.compile(r"([0-9]{1,2})([-/.])([0-9]{1,2})\2([0-9]{4})")
_DAY_MONTH_NAME = re.compile(r"([0-9]{1,2})\.? ([A-Za-z]{3,9})\.?,? ([0-9]{4})")
_MONTH_NAME_DAY = re.compile(r"([A-Za-z]{3,9})\.? ([0-9]{1,2}),? ([0-9]{4})")
_TIME = re.compile(r"([0-9]{1,2})[:.]([0-9]{2})(?::00)?\s*([AaPp])?\.?(?:[Mm]\.?)?")
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_EARLIEST, _LATEST = 1900, 2100
_DAY_FIRST = Choice("day", "the day: 03/04/2026 is 3 April 2026")
_MONTH_FIRST = Choice("month", "the month: 03/04/2026 is 4 March 2026")


def read_date(cell: Cell, ask: Ask) -> date:
    """The date of a cell: a spreadsheet's own date, ISO 8601, or a form with one reading.

    Raises
    ------
    CellError
        If it is no date of 1900–2100.
    WaitingError
        If day and month cannot be told apart and the coach has not said yet.
    """
    if cell.kind is CellKind.NUMBER:
        raise CellError(f"“{cell.text}” is a bare number: format the cell as a date, or write "
                        "2026-11-25.")  # fmt: skip
    year, month, day = _parts(cell.text, ask)
    if not _EARLIEST <= year <= _LATEST:
        raise CellError(f"The year {year} is outside {_EARLIEST}–{_LATEST}: check the date.")
    try:
        return date(year, month, day)
    except ValueError:
        raise CellError(f"“{cell.text}” is no day of the calendar: check the date.") from None


def _parts(text: str, ask: Ask) -> tuple[int, int, int]:
    if match := _YEAR_FIRST.fullmatch(text):
        return int(match[1]), int(match[3]), int(match[4])
    if match := _YEAR_LAST.fullmatch(text):
        return _told_apart(int(match[1]), int(match[3]), int(match[4]), text, ask)
    if match := _DAY_MONTH_NAME.fullmatch(text):
        return int(match[3]), _month(match[2], text), int(match[1])
    if match := _MONTH_NAME_DAY.fullmatch(text):
        return int(match[3]), _month(match[1], text), int(match[2])
    raise CellError(
        f"“{text}” is not a date that can be read safely: write year-month-day, 2026-11-25."
    )


def _told_apart(first: int, second: int, year: int, text: str, ask: Ask) -> tuple[int, int, int]:
    if first > 12 or first == second:
        return year, second, first
    if second > 12:
        return year, first, second
    sentence = f"What comes first in “{text}” and the rest of the column: the day or the month?"
    is_day_first = ask("date", sentence, (_DAY_FIRST, _MONTH_FIRST), text) == _DAY_FIRST.value
    return (year, second, first) if is_day_first else (year, first, second)


def _month(name: str, text: str) -> int:
    found = [at for at, month in enumerate(_MONTHS, 1) if month.startswith(name.casefold()[:4])]
    if len(found) != 1 or not _MONTHS[found[0] - 1].startswith(name.casefold().rstrip("t") or "?"):
        raise CellError(f"“{text}” names no month: write year-month-day, 2026-11-25.")
    return found[0]


def read_time(cell: Cell) -> time:
    """A time of day: 18:30, 6:30 pm, 6.30 pm, or a spreadsheet's own time.

    Raises
    ------
    CellError
        If it is none, or has seconds.
    """
    match = _TIME.fullmatch(cell.text)
    if match is None or cell.kind is CellKind.NUMBER:
        raise _not_a_time(cell)
    hour, minute, half = int(match[1]), int(match[2]), (match[3] or "").lower()
    if not half and "." in cell.text[:3]:  # 18.50 may be hours and a fraction
        raise _not_a_time(cell)
    if half and not 1 <= hour <= 12:
        raise _not_a_time(cell)
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour > 23 or minute > 59:
        raise _not_a_time(cell)
    return time(hour, minute)


def _not_a_time(cell: Cell) -> CellError:
    return CellError(f"“{cell.text}” is not a time of day: write it like 18:30.")
