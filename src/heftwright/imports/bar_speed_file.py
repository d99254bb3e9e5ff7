"""A bar-speed device's CSV: which column holds what is asked, never guessed silently.

Nothing here knows any device. Column heads are matched against words of the trade, the coach sees
and changes the mapping, and every row that cannot be read is named with the reason.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from itertools import groupby

from heftwright.domain.catalogue import Catalogue, LiftKey
from heftwright.domain.mass import EnteredMass, MassUnit, parse_thousandths
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.strength.bar_speed_log import BarSpeedSet
from heftwright.imports.cells import RawFile, RawRow
from heftwright.imports.gym import folded

MOST_PROBLEMS = 40
MOST_SETS = 2000


class SpeedColumn(StrEnum):
    """What a column can hold."""

    ATHLETE = "athlete"
    LIFT = "lift"
    DAY = "day"
    SET = "set"
    LOAD = "load"
    SPEED = "speed"

    @property
    def shown(self) -> str:
        """As the form asks for it."""
        return _SHOWN[self]


_SHOWN = {
    SpeedColumn.ATHLETE: "Athlete",
    SpeedColumn.LIFT: "Lift",
    SpeedColumn.DAY: "Day",
    SpeedColumn.SET: "Set number",
    SpeedColumn.LOAD: "Load on the bar",
    SpeedColumn.SPEED: "Mean speed of the repetition",
}
_WORDS: Mapping[SpeedColumn, tuple[str, ...]] = {
    SpeedColumn.ATHLETE: ("athlete", "lifter", "name", "person"),
    SpeedColumn.LIFT: ("lift", "exercise", "movement"),
    SpeedColumn.DAY: ("date", "day"),
    SpeedColumn.SET: ("set",),
    SpeedColumn.LOAD: ("load", "weight", "mass"),
    SpeedColumn.SPEED: ("mean velocity", "mean speed", "average velocity", "velocity", "speed"),
}


class SpeedUnit(StrEnum):
    """Units in which devices write speeds."""

    M_S = "m/s"
    CM_S = "cm/s"
    MM_S = "mm/s"

    @property
    def per_m_s(self) -> int:
        """How many of them are 1 m/s."""
        return {SpeedUnit.M_S: 1, SpeedUnit.CM_S: 100, SpeedUnit.MM_S: 1000}[self]


class DayOrder(StrEnum):
    """How days are written."""

    YEAR_FIRST = "2026-11-23"
    DAY_FIRST = "23.11.2026"
    MONTH_FIRST = "11/23/2026"


class DecimalMark(StrEnum):
    """What stands between whole and part of a number in this file."""

    POINT = "point"
    COMMA = "comma"


@dataclass(frozen=True, slots=True)
class SpeedMapping:
    """How to read a file.

    Parameters
    ----------
    columns : Mapping of SpeedColumn to int
        0-based column of each; a missing one is answered for the whole file.
    athlete, lift, on
        For the whole file, where it has no such column.
    load_unit, speed_unit, days, decimals
        How figures and days are written.
    """

    columns: Mapping[SpeedColumn, int] = field(default_factory=dict)
    athlete: AthleteId | None = None
    lift: LiftKey | None = None
    on: date | None = None
    load_unit: MassUnit = MassUnit.KG
    speed_unit: SpeedUnit = SpeedUnit.M_S
    days: DayOrder = DayOrder.YEAR_FIRST
    decimals: DecimalMark = DecimalMark.POINT


@dataclass(frozen=True, slots=True)
class SpeedProblem:
    """A row that was not read, and why."""

    row: int
    why: str


@dataclass(frozen=True, slots=True)
class SpeedPreview:
    """What a file would bring in; nothing is kept.

    Parameters
    ----------
    heads : tuple of (int, str, str)
        Column, its head, its first value.
    mapping : SpeedMapping
        As read.
    missing : tuple of str
        What must be answered before rows can be read.
    sets : tuple of BarSpeedSet
        In the order of the file.
    problems : tuple of SpeedProblem
        At most 40 are listed.
    rows_left_out : int
        All rows with a problem.
    """

    heads: tuple[tuple[int, str, str], ...]
    mapping: SpeedMapping
    missing: tuple[str, ...]
    sets: tuple[BarSpeedSet, ...]
    problems: tuple[SpeedProblem, ...]
    rows_left_out: int


@dataclass(frozen=True, slots=True)
class _Row:
    number: int
    athlete: AthleteId
    lift: LiftKey
    on: date
    set_number: int | None
    load: EnteredMass
    speed_m_s: float

    @property
    def group(self) -> tuple[object, ...]:
        return (self.athlete, self.lift, self.on, self.set_number, self.load)


def guess_columns(file: RawFile) -> dict[SpeedColumn, int]:
    """Columns whose heads say what they hold; the coach sees and changes them."""
    heads = [(at, " ".join(text.casefold().split())) for at, text, _ in _heads(file)]
    found: dict[SpeedColumn, int] = {}
    for column, words in _WORDS.items():
        for word in words:
            at = next((at for at, text in heads if _says(text, word, column)), None)
            if at is not None and at not in found.values():
                found[column] = at
                break
    return found


def preview_speeds(
    file: RawFile,
    mapping: SpeedMapping,
    squad: Sequence[Athlete],
    catalogue: Catalogue,
    today: date = date.max,
) -> SpeedPreview:
    """Read a file by a mapping.

    Parameters
    ----------
    file : RawFile
        Split into rows and cells; its first row has the heads.
    mapping : SpeedMapping
        Which column holds what.
    squad : sequence of Athlete
        Names and squad numbers are matched against it.
    catalogue : Catalogue
        Lift names and keys are matched against it.
    today : date
        A later day is a misread one.
    """
    missing = _missing(mapping)
    if missing:
        return SpeedPreview(_heads(file), mapping, missing, (), (), 0)
    reader = _Reader(mapping, squad, catalogue, today)
    rows, problems = reader.read(_rows(file)[1:])
    sets, bad = _sets(rows)
    problems = sorted([*problems, *bad], key=lambda item: item.row)
    shown = tuple(problems[:MOST_PROBLEMS])
    return SpeedPreview(_heads(file), mapping, (), sets, shown, len(problems))


def _says(head: str, word: str, column: SpeedColumn) -> bool:
    is_said = re.search(rf"\b{re.escape(word)}", head) is not None
    is_extreme = re.search(r"\b(peak|max|maximum|loss|drop)\b", head) is not None
    return is_said and not (column is SpeedColumn.SPEED and is_extreme)


def _rows(file: RawFile) -> tuple[RawRow, ...]:
    return file.sheets[0].rows if file.sheets else ()


def _heads(file: RawFile) -> tuple[tuple[int, str, str], ...]:
    rows = _rows(file)
    if not rows:
        return ()
    first = rows[1].cells if len(rows) > 1 else {}
    return tuple(
        (at, cell.text, first[at].text if at in first else "") for at, cell in rows[0].cells.items()
    )


def _missing(mapping: SpeedMapping) -> tuple[str, ...]:
    whole_file = {
        SpeedColumn.ATHLETE: mapping.athlete,
        SpeedColumn.LIFT: mapping.lift,
        SpeedColumn.DAY: mapping.on,
    }
    needed = [SpeedColumn.LOAD, SpeedColumn.SPEED]
    needed += [column for column, answer in whole_file.items() if answer is None]
    return tuple(column.shown for column in needed if column not in mapping.columns)


class _Reader:
    """Reads rows by one mapping."""

    def __init__(
        self, mapping: SpeedMapping, squad: Sequence[Athlete], catalogue: Catalogue, today: date
    ) -> None:
        self._mapping, self._catalogue, self._today = mapping, catalogue, today
        names = Counter(folded(athlete.name) for athlete in squad)
        self._shared = {name for name, count in names.items() if count > 1}
        self._people = {folded(athlete.name): athlete.id for athlete in squad}
        self._people |= {str(athlete.number): athlete.id for athlete in squad}

    def read(self, rows: Iterable[RawRow]) -> tuple[list[_Row], list[SpeedProblem]]:
        found, problems = [], []
        for row in rows:
            try:
                found.append(self._row(row))
            except Refusal as error:
                problems.append(SpeedProblem(row.number, str(error)))
        return found, problems

    def _row(self, row: RawRow) -> _Row:
        mapping = self._mapping
        number = self._text(row, SpeedColumn.SET)
        return _Row(
            row.number,
            self._athlete(row),
            self._lift(row),
            self._day(row),
            self._whole(number) if number else None,
            self._load(row),
            self._number(self._needed(row, SpeedColumn.SPEED)) / 1000 / mapping.speed_unit.per_m_s,
        )

    def _text(self, row: RawRow, column: SpeedColumn) -> str:
        at = self._mapping.columns.get(column)
        cell = None if at is None else row.cells.get(at)
        return "" if cell is None else cell.text.strip()

    def _needed(self, row: RawRow, column: SpeedColumn) -> str:
        text = self._text(row, column)
        if not text:
            raise Refusal(f"{column.shown} is empty.")
        return text

    def _athlete(self, row: RawRow) -> AthleteId:
        text = self._text(row, SpeedColumn.ATHLETE)
        if not text and self._mapping.athlete is not None:
            return self._mapping.athlete
        if folded(text) in self._shared:
            raise Refusal(f"Several people are called “{_short(text)}”: write the squad number.")
        key = self._people.get(folded(text))
        if key is None:
            raise Refusal(f"Nobody in the squad is called “{_short(text)}”.")
        return key

    def _lift(self, row: RawRow) -> LiftKey:
        text = self._text(row, SpeedColumn.LIFT)
        if not text and self._mapping.lift is not None:
            return self._mapping.lift
        lift = self._catalogue.named(text)
        if lift is None:
            raise Refusal(f"“{_short(text)}” is no lift of the catalogue: see its names.")
        return lift.key

    def _day(self, row: RawRow) -> date:
        text = self._text(row, SpeedColumn.DAY)
        if not text and self._mapping.on is not None:
            return self._mapping.on
        day = read_day(text, self._mapping.days)
        if day > self._today:
            raise Refusal(f"{day} is yet to come: look at how the file writes its days.")
        return day

    def _load(self, row: RawRow) -> EnteredMass:
        text = self._needed(row, SpeedColumn.LOAD)
        said = re.fullmatch(r"(.*?)\s*(kg|lb|lbs)", text, re.IGNORECASE)
        unit = self._mapping.load_unit
        if said:
            text = said[1]
            unit = MassUnit.KG if said[2].lower() == "kg" else MassUnit.LB
        return EnteredMass(self._number(text), unit)

    def _whole(self, text: str) -> int:
        thousandths = self._number(text)
        if thousandths % 1000:
            raise Refusal(f"Set number {_short(text)} is not whole.")
        return thousandths // 1000

    def _number(self, text: str) -> int:
        if self._mapping.decimals is DecimalMark.COMMA:
            if "." in text:
                raise Refusal(f"“{_short(text)}” has a point, but the file is read with commas.")
            text = text.replace(",", ".", 1)
        whole, point, part = text.partition(".")
        return parse_thousandths(whole + point + _rounded(part))


def read_day(text: str, order: DayOrder) -> date:
    """A day as the file writes days; a time after it is left out.

    Raises
    ------
    Refusal
        If it is not one.
    """
    found = re.match(r"([0-9]{1,4})[-./]([0-9]{1,2})[-./]([0-9]{1,4})(?:[T ,].*)?\Z", text)
    if found is None:
        raise Refusal(f"“{_short(text)}” is no day like {order.value}.")
    first, second, third = (int(part) for part in found.groups())
    parts = {
        DayOrder.YEAR_FIRST: (first, second, third),
        DayOrder.DAY_FIRST: (third, second, first),
        DayOrder.MONTH_FIRST: (third, first, second),
    }[order]
    try:
        day = date(*parts)
    except ValueError:
        day = date.min
    if day.year < 1950:
        raise Refusal(f"“{_short(text)}” is no day like {order.value}.")
    return day


def _rounded(part: str) -> str:
    """Devices print more places than a bar can tell: beyond three they are cut, digits only."""
    return part[:3] if len(part) <= 12 and part.isascii() and part.isdigit() else part


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "…"


def _sets(rows: Sequence[_Row]) -> tuple[tuple[BarSpeedSet, ...], list[SpeedProblem]]:
    """Rows that follow each other with the same athlete, lift, day, set and load are one set."""
    found: list[BarSpeedSet] = []
    problems: list[SpeedProblem] = []
    taken: dict[tuple[object, ...], int] = {}
    for _, group in groupby(rows, key=lambda row: row.group):
        items = list(group)
        first = items[0]
        day = (first.athlete, first.lift, first.on)
        number = first.set_number or taken.get(day, 0) + 1
        taken[day] = max(number, taken.get(day, 0))
        try:
            if len(found) >= MOST_SETS:
                raise Refusal(f"More than {MOST_SETS} sets: split the file.")
            speeds = tuple(row.speed_m_s for row in items)
            found.append(BarSpeedSet(*day, number, first.load.mass, speeds))
        except Refusal as error:
            problems += [SpeedProblem(row.number, str(error)) for row in items]
    return tuple(found), problems
