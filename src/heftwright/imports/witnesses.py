"""Three known athletes before and after an import: where swapped columns are seen (trust.md)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete
from heftwright.imports.rows import ParsedRow
from heftwright.imports.sheets import SQUAD

SHOWN = 3


@dataclass(frozen=True, slots=True)
class Change:
    """One column: its header, the known value and the one after the import, as shown."""

    column: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Witness:
    """A known athlete and every column that the file fills for them, changed or not."""

    number: int
    name: str
    changes: tuple[Change, ...]


def witnesses(
    known: Iterable[Athlete], changed: Iterable[Athlete], rows: Iterable[ParsedRow]
) -> tuple[Witness, ...]:
    """Up to three known athletes whose rows fill the most columns."""
    before = {athlete.id: athlete for athlete in known}
    filled = {column for row in rows if row.is_good for column in row.values}
    found = [
        _witness(before[athlete.id], athlete, filled) for athlete in changed if athlete.id in before
    ]
    return tuple(sorted(found, key=lambda one: -_differing(one))[:SHOWN])


def _differing(witness: Witness) -> int:
    return sum(change.before != change.after for change in witness.changes)


def _witness(before: Athlete, after: Athlete, filled: set[str]) -> Witness:
    changes = tuple(
        Change(column.header, _shown(before, column.key), _shown(after, column.key))
        for column in SQUAD.columns
        if column.key in filled and column.key != "classes"
    )
    return Witness(after.number, after.name, changes)


def _shown(athlete: Athlete, key: str) -> str:
    value: Any = getattr(athlete if hasattr(athlete, key) else athlete.heights, key)
    if value is None or value == ():
        return ""
    if isinstance(value, Mass | Length):
        return value.shown()
    if key == "weak_points":
        return ", ".join(point.shown for point in value)
    if key == "restrictions":
        return ", ".join(rule.tag for rule in value)
    return str(value)
