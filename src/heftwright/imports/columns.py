"""What a column and a sheet of an import are: the shape of the tables in ``sheets``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Any

LIST_SEPARATOR = "; "
EXAMPLE_MARK = "example:"


class ColumnKind(StrEnum):
    """How a cell of a column is read."""

    TEXT = "text"
    NOTE = "note"
    ATHLETE = "athlete"
    LIFT = "lift"
    WHOLE = "whole"
    NUMBER = "number"
    MASS = "mass"
    LENGTH = "length"
    LENGTHS = "lengths"
    SECONDS = "seconds"
    DATE = "date"
    TIME = "time"
    YES_NO = "yes_no"
    WORD = "word"
    COLOUR = "colour"
    WEIGHTS = "weights"
    RESTRICTIONS = "restrictions"
    NAMES = "names"
    ATHLETES = "athletes"


UNITS: dict[ColumnKind, tuple[str, ...]] = {
    ColumnKind.MASS: ("kg", "lb"),
    ColumnKind.LENGTH: ("cm", "in", "mm", "m"),
    ColumnKind.LENGTHS: ("cm", "in", "mm", "m"),
    ColumnKind.SECONDS: ("s", "min"),
}
"""Units that a header or cell may say, by kind; every other kind has none."""


@dataclass(frozen=True, slots=True)
class ColumnSpec:
    """One column.

    Parameters
    ----------
    key : str
        Steady name in code.
    header : str
        As written by export and templates, without its unit.
    aliases : tuple of str
        Other headers that mean the same.
    required : bool
        Whether a row without it is left out.
    kind : ColumnKind
        How its cells are read.
    example : str
        A cell of the template, in kg, cm and s.
    help : str
        One sentence for the notes sheet.
    words : tuple of (str, str)
        For WORD columns: the value and the word shown for it.
    lowest, highest : int or None
        For WHOLE [1], NUMBER, MASS and LENGTH [thousandths of kg, cm]: outside it the cell is
        named as a problem.
    unit : str
        Unit that export writes; empty for kinds without units.
    is_past : bool
        Whether a date after today is named as a problem.
    """

    key: str
    header: str
    aliases: tuple[str, ...] = ()
    required: bool = False
    kind: ColumnKind = ColumnKind.TEXT
    example: str = ""
    help: str = ""
    words: tuple[tuple[str, str], ...] = ()
    lowest: int | None = None
    highest: int | None = None
    unit: str = ""
    is_past: bool = False

    def headed(self, unit: str = "") -> str:
        """The header with its unit, as export writes it."""
        unit = unit or self.unit
        return f"{self.header} ({unit})" if unit else self.header


@dataclass(frozen=True, slots=True)
class SheetSpec:
    """One sheet.

    Parameters
    ----------
    key, title : str
        Steady name in code; the sheet's tab, and the CSV file's stem in lower case.
    aliases : tuple of str
        Other tab or file names that mean the same.
    columns : tuple of ColumnSpec
        In the order written.
    help : str
        One sentence for the notes sheet.
    """

    key: str
    title: str
    aliases: tuple[str, ...]
    columns: tuple[ColumnSpec, ...]
    help: str = ""

    def column(self, key: str) -> ColumnSpec:
        """The column with a key."""
        return next(column for column in self.columns if column.key == key)

    @property
    def required(self) -> tuple[ColumnSpec, ...]:
        """Columns that every row must fill."""
        return tuple(column for column in self.columns if column.required)


def spoken(word: StrEnum | str) -> str:
    """An enum's value as a person writes it: ``straight bar``."""
    return str(word).replace("_", " ")


@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """A name with only its letters, digits and ``#``, lower case: how names are compared."""
    return "".join(ch for ch in text.casefold() if ch.isalnum() or ch == "#")


# The next few keep the tables of ``sheets`` to a line or two a column.


def text(key: str, header: str, example: str = "", **more: Any) -> ColumnSpec:
    """A column of free text."""
    return column(key, header, ColumnKind.TEXT, example, **more)


def column(key: str, header: str, kind: ColumnKind, example: str = "", **more: Any) -> ColumnSpec:
    """A column of any kind."""
    return ColumnSpec(key=key, header=header, kind=kind, example=example, **more)


def mass(key: str, header: str, example: str = "", **more: Any) -> ColumnSpec:
    """A column of masses, written in kg."""
    return column(key, header, ColumnKind.MASS, example, unit="kg", **more)


def length(key: str, header: str, example: str = "", **more: Any) -> ColumnSpec:
    """A column of lengths, written in cm unless said."""
    return column(key, header, ColumnKind.LENGTH, example, **{"unit": "cm", **more})


def whole(key: str, header: str, example: str = "", **more: Any) -> ColumnSpec:
    """A column of whole numbers."""
    return column(key, header, ColumnKind.WHOLE, example, **more)


def day(key: str, header: str, example: str = "", **more: Any) -> ColumnSpec:
    """A column of dates."""
    return column(key, header, ColumnKind.DATE, example, **more)


def word(
    key: str, header: str, example: str, words: tuple[tuple[str, str], ...], **more: Any
) -> ColumnSpec:
    """A column of words out of a closed set."""
    return column(key, header, ColumnKind.WORD, example, words=words, **more)
