"""From a cell to a value: the one number grammar, units that are said, dates that are sure.

Every reader returns the value exactly as written or raises: `CellError` with a sentence, or
`WaitingError` after asking. None of them guesses, rounds or clamps.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, time
from typing import Any

from heftwright.domain.height import EnteredLength, LengthUnit
from heftwright.domain.mass import EnteredMass, MassUnit, parse_thousandths
from heftwright.imports.cells import Cell, CellKind
from heftwright.imports.columns import UNITS, ColumnKind, ColumnSpec, plain
from heftwright.imports.dates import read_date, read_time
from heftwright.imports.findings import CellError, Choice, Findings, Place, nearest
from heftwright.imports.lists import read_restrictions, read_weights, split_list

EMPTY_MARKS = frozenset(("-", "–", "—", "n/a"))
_SAID_UNITS = {
    "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg",
    "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "cm": "cm", "mm": "mm", "m": "m", "metre": "m", "metres": "m",
    "meter": "m", "meters": "m", "in": "in", "inch": "in", "inches": "in", "s": "s", "sec": "s",
    "secs": "s", "second": "s", "seconds": "s", "min": "min", "minute": "min", "minutes": "min",
}  # fmt: skip
_FORCES = {"kgf": "kg", "lbf": "lb"}
_SAID_UNITS_OF = {
    "force": _FORCES,
    "guess_top_force": _FORCES,
    "mass_per_m": {"kg/m": "kg", "lb/m": "lb"},
}
_NUMBER_AND_UNIT = re.compile(r"([0-9][0-9.,]*)\s*([A-Za-z/]*)")
_FEET = re.compile(r"([0-9])\s*(?:'|ft|feet|′)\s*([0-9]{1,2}(?:\.[0-9]+)?)?\s*(?:\"|in|″|'')?")
_ONE_COMMA = re.compile(r"[0-9]{1,4},[0-9]{1,3}")
_THOUSANDS = re.compile(r"[0-9],[0-9]{3}")
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}|#[0-9a-fA-F]{3}|[A-Za-z]{3,20}")
_SYNONYMS = {
    "m": "man", "male": "man", "men": "man", "f": "woman", "w": "woman", "female": "woman",
    "women": "woman", "mon": "0", "tue": "1", "tues": "1", "wed": "2", "thu": "3", "thur": "3",
    "thurs": "3", "fri": "4", "sat": "5", "sun": "6", "barbell": "straight_bar", "bar":
    "straight_bar", "tire": "tyre", "stone": "stones", "repset": "rep_set", "reps": "rep_set",
    "tested": "test", "comp": "contest", "competition": "contest",
    "delower": "dynamic_lower", "dynamiclower": "dynamic_lower", "deupper": "dynamic_upper",
    "dynamicupper": "dynamic_upper", "melower": "max_effort_lower", "meupper": "max_effort_upper",
}  # fmt: skip
_YES = frozenset(("yes", "y", "true", "1"))
_NO = frozenset(("no", "n", "false", "0"))


@dataclass(frozen=True, slots=True)
class Reading:
    """One column being read.

    Parameters
    ----------
    column : ColumnSpec
        What it should hold.
    place : Place
        File, sheet and column; the row changes from cell to cell.
    unit : str
        The header's unit, or empty.
    findings : Findings
        Where to ask.
    today : date
        The gym's day.
    """

    column: ColumnSpec
    place: Place
    unit: str
    findings: Findings
    today: date

    def ask(self, what: str, sentence: str, choices: tuple[Choice, ...], sample: str) -> str:
        """Ask once for the whole column; see `Findings.ask`."""
        key = f"{what}:{self.place.file}:{self.place.sheet}:{self.place.column}"
        return self.findings.ask(key, self.place, sentence, choices, sample)


def read_cell(cell: Cell, reading: Reading) -> Any:
    """The value of a cell that is not empty, or None for a mark of emptiness.

    Raises
    ------
    CellError
        If the cell is not what its column holds.
    WaitingError
        If the coach has to say first what it means.
    """
    kind = reading.column.kind
    _check_readable(cell, allowed="\n" if kind in _OF_LINES else "")
    if kind not in _FREE and cell.text.casefold() in EMPTY_MARKS:
        return None
    if cell.kind is CellKind.PERCENT and kind in _NUMERIC:
        raise CellError(f"{cell.text} is a percentage; this column takes plain numbers: write it.")
    return _READERS[kind](cell, reading)


def _check_readable(cell: Cell, *, allowed: str) -> None:
    if cell.kind is CellKind.ERROR:
        raise CellError(f"The cell shows {cell.text}: correct its formula or type the value.")
    if cell.kind is CellKind.UNCALCULATED:
        raise CellError(
            "The formula was never calculated: open and save the file in your spreadsheet "
            "program, or type the value."
        )
    if cell.kind is CellKind.TOO_LONG:
        raise CellError("The text is longer than 2,000 characters: shorten it.")
    if not cell.text.isprintable() and any(_is_hidden(ch) for ch in cell.text if ch not in allowed):
        raise CellError("The cell holds an invisible character or a line break: type it again.")


def _is_hidden(ch: str) -> bool:
    return unicodedata.category(ch) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")


def _read_text(cell: Cell, reading: Reading) -> str:  # noqa: ARG001 - one shape for all readers
    if cell.kind is CellKind.YES_NO:
        raise CellError("The cell holds a yes/no value where a text is wanted: type the text.")
    return cell.text


def _number(text: str, cell: Cell, reading: Reading) -> int:
    """Thousandths; a comma gets one question a column, never a guess (trust.md H1)."""
    if cell.kind in _KIND_WORDS:
        raise CellError(
            f"The cell holds {cell.text} as a {_KIND_WORDS[cell.kind]}, not a number: format it "
            "as a number and type it again."
        )
    if _ONE_COMMA.fullmatch(text):
        return parse_thousandths(_without_comma(text, reading))
    return parse_thousandths(text)


def _without_comma(text: str, reading: Reading) -> str:
    """The number with its comma read as answered; untouched where the answer does not fit."""
    sentence = f"What is the comma in “{text}” and the rest of the column?"
    choices = (_DECIMAL_COMMA, _THOUSANDS_COMMA, _NEITHER_COMMA)
    answer = reading.ask("comma", sentence, choices, text)
    if answer == _DECIMAL_COMMA.value:
        return text.replace(",", ".")
    if answer == _THOUSANDS_COMMA.value and _THOUSANDS.fullmatch(text):
        return text.replace(",", "")
    return text


_DECIMAL_COMMA = Choice("point", "a decimal comma: 97,5 is 97.5")
_THOUSANDS_COMMA = Choice("thousands", "a thousands mark: 1,250 is 1250")
_NEITHER_COMMA = Choice("leave", "neither: leave those rows out")
_KIND_WORDS = {CellKind.DATE: "date", CellKind.TIME: "time", CellKind.YES_NO: "yes/no value"}


def _read_whole(cell: Cell, reading: Reading) -> int:
    thousandths = _number(_bare(cell), cell, reading)
    if thousandths % 1000:
        raise CellError(f"“{cell.text}” is not a whole number: write one without a point.")
    _check_range(thousandths // 1000, 1, "", reading.column)
    return thousandths // 1000


def _bare(cell: Cell) -> str:
    """The text of a cell that must hold a number alone."""
    match = _NUMBER_AND_UNIT.fullmatch(cell.text)
    if match is not None and match[2]:
        raise CellError(
            f"“{cell.text}” has “{match[2]}” behind it; this column takes the number alone: write "
            f"{match[1]} if that is what it counts."
        )
    return cell.text


def _read_number(cell: Cell, reading: Reading) -> int:
    thousandths = _number(_bare(cell), cell, reading)
    _check_range(thousandths, 1000, "", reading.column)
    return thousandths


def _check_range(value: float, scale: int, unit: str, column: ColumnSpec) -> None:
    if column.lowest is not None and value < column.lowest:
        raise CellError(_outside(column, scale, unit))
    if column.highest is not None and value > column.highest:
        raise CellError(_outside(column, scale, unit))


def _outside(column: ColumnSpec, scale: int, unit: str) -> str:
    lowest, highest = (column.lowest or 0) / scale, (column.highest or 0) / scale
    said = f" {unit}" if unit else ""
    return (
        f"{column.header} must be {lowest:g}–{highest:g}{said}: check the number, the unit and "
        "that columns are not swapped."
    )


def _split_unit(cell: Cell, reading: Reading) -> tuple[str, str]:
    """Number text and unit: the cell's own, the header's, or the coach's answer."""
    match = _NUMBER_AND_UNIT.fullmatch(cell.text)
    if match is None and cell.kind in _KIND_WORDS:
        _number(cell.text, cell, reading)
    if match is None:
        raise CellError(_not_a_measure(cell.text, reading.column))
    number, said = match[1], match[2]
    unit = said_unit(said, reading.column)
    if said and not unit:
        wanted = " or ".join(UNITS[reading.column.kind])
        raise CellError(f"“{said}” is no unit of this column: write {wanted}.")
    if unit and reading.unit and unit != reading.unit:
        raise CellError(
            f"The cell says {unit} but the header says {reading.unit}: correct one of them."
        )
    return number, unit or reading.unit or _asked_unit(number, reading)


def said_unit(text: str, column: ColumnSpec) -> str:
    """The unit that a header or cell says; empty if it is none of the column's."""
    word = text.casefold()
    unit = _SAID_UNITS_OF.get(column.key, {}).get(word) or _SAID_UNITS.get(word, "")
    return unit if unit in UNITS.get(column.kind, ()) else ""


def _asked_unit(number: str, reading: Reading) -> str:
    choices = tuple(
        Choice(unit, f"{number} means {number} {unit}") for unit in UNITS[reading.column.kind]
    )
    sentence = f"Which unit is the column “{reading.column.header}” in?"
    return reading.ask("unit", sentence, choices, number)


def _not_a_measure(text: str, column: ColumnSpec) -> str:
    feet = _FEET.fullmatch(text) if column.kind is ColumnKind.LENGTH else None
    if feet:
        return (
            f"“{text}” is in feet: write it in one unit, "
            f"{int(feet[1]) * 12 + float(feet[2] or 0):g} in."
        )
    try:
        parse_thousandths(text)
    except ValueError as error:
        return str(error)
    return f"“{text}” is not a number with a unit."


def _read_mass(cell: Cell, reading: Reading) -> EnteredMass:
    number, unit = _split_unit(cell, reading)
    entered = EnteredMass(_number(number, cell, reading), MassUnit(unit))
    _check_range(entered.mass.in_kg * 1000, 1000, "kg", reading.column)
    return entered


def _read_length(cell: Cell, reading: Reading) -> EnteredLength:
    number, unit = _split_unit(cell, reading)
    entered = EnteredLength(_number(number, cell, reading), LengthUnit(unit))
    _check_range(entered.length.in_m * 100_000, 1000, "cm", reading.column)
    return entered


def _read_lengths(cell: Cell, reading: Reading) -> tuple[EnteredLength, ...]:
    parts = split_list(cell.text)
    return tuple(_read_length(Cell(part, cell.kind), reading) for part in parts)


def _read_seconds(cell: Cell, reading: Reading) -> int:
    number, unit = _split_unit(cell, reading)
    thousandths = _number(number, cell, reading) * (60 if unit == "min" else 1)
    if thousandths % 1000:
        raise CellError(f"“{cell.text}” is not a whole number of seconds: round it.")
    return thousandths // 1000


def _read_date(cell: Cell, reading: Reading) -> date:
    found = read_date(cell, reading.ask)
    if reading.column.is_past and found > reading.today:
        raise CellError(f"{found.isoformat()} is after today, {reading.today}: check the date.")
    return found


def _read_time(cell: Cell, reading: Reading) -> time:  # noqa: ARG001 - one shape for all readers
    return read_time(cell)


def _read_yes_no(cell: Cell, reading: Reading) -> bool:  # noqa: ARG001 - one shape
    word = cell.text.casefold()
    if word in _YES or word in _NO:
        return word in _YES
    raise CellError(f"“{cell.text}” is neither yes nor no: write one of them.")


def _read_word(cell: Cell, reading: Reading) -> str:
    return closed_word(cell.text, reading.column)


def closed_word(text: str, column: ColumnSpec) -> str:
    """The value that a text names out of the column's closed set.

    Raises
    ------
    CellError
        If it names none; the sentence holds the nearest word.
    """
    wanted = plain(text)
    values = {plain(value): value for value, _ in column.words}
    shown = {plain(word): value for value, word in column.words}
    synonym = _SYNONYMS.get(wanted, "")
    found = values.get(wanted) or shown.get(wanted) or values.get(plain(synonym))
    if found is None or not wanted:
        raise CellError(_no_such_word(text, column))
    return found


def _no_such_word(text: str, column: ColumnSpec) -> str:
    words = tuple(word for _, word in column.words)
    near = nearest(text, words, 1)
    hint = f"did you mean “{near[0]}”?" if near else f"write one of: {', '.join(words)}."
    return f"“{text}” is no word of the column “{column.header}”: {hint}"


def _read_colour(cell: Cell, reading: Reading) -> str:  # noqa: ARG001 - one shape for all readers
    if not _COLOUR.fullmatch(cell.text):
        raise CellError(f"“{cell.text}” is no colour: write a name like red, or #c8102e.")
    return cell.text


def _read_weights(cell: Cell, reading: Reading) -> dict[str, int]:
    found = read_weights(cell.text)
    if not reading.column.words:
        return found
    return {closed_word(name, reading.column): weight for name, weight in found.items()}


def _read_names(cell: Cell, reading: Reading) -> tuple[str, ...]:  # noqa: ARG001 - one shape
    return tuple(split_list(cell.text))


def _read_restrictions(cell: Cell, reading: Reading) -> Any:
    return read_restrictions(cell.text, reading.today)


_FREE = frozenset((ColumnKind.TEXT, ColumnKind.NOTE))
_OF_LINES = frozenset((ColumnKind.NOTE, ColumnKind.RESTRICTIONS))
_NUMERIC = frozenset(
    (ColumnKind.WHOLE, ColumnKind.NUMBER, ColumnKind.MASS, ColumnKind.LENGTH, ColumnKind.LENGTHS,
     ColumnKind.SECONDS, ColumnKind.ATHLETE, ColumnKind.DATE, ColumnKind.TIME)
)  # fmt: skip
_READERS: dict[ColumnKind, Callable[[Cell, Reading], Any]] = {
    ColumnKind.TEXT: _read_text,
    ColumnKind.NOTE: _read_text,
    ColumnKind.ATHLETE: _read_text,
    ColumnKind.LIFT: _read_text,
    ColumnKind.WHOLE: _read_whole,
    ColumnKind.NUMBER: _read_number,
    ColumnKind.MASS: _read_mass,
    ColumnKind.LENGTH: _read_length,
    ColumnKind.LENGTHS: _read_lengths,
    ColumnKind.SECONDS: _read_seconds,
    ColumnKind.DATE: _read_date,
    ColumnKind.TIME: _read_time,
    ColumnKind.YES_NO: _read_yes_no,
    ColumnKind.WORD: _read_word,
    ColumnKind.COLOUR: _read_colour,
    ColumnKind.WEIGHTS: _read_weights,
    ColumnKind.RESTRICTIONS: _read_restrictions,
    ColumnKind.NAMES: _read_names,
    ColumnKind.ATHLETES: _read_names,
}
