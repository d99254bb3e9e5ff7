"""What an import would add, what it would change, and what the gym knows already."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from heftwright.domain.dose.waves import WAVE_TEMPLATES
from heftwright.domain.stock import Stock
from heftwright.imports.records import ImportRecords, KnownGym

_STOCK = ("bars", "plates", "bands", "chains", "blocks", "implements", "platforms")


@dataclass(frozen=True, slots=True)
class Tally:
    """Records of one kind (``"athletes"``), counted against the gym."""

    kind: str
    new: int
    changed: int
    same: int

    @property
    def count(self) -> int:
        """How many would be saved."""
        return self.new + self.changed

    def __str__(self) -> str:
        parts = ((self.new, "new"), (self.changed, "changed"), (self.same, "known already"))
        return f"{self.kind}: {', '.join(f'{count} {word}' for count, word in parts if count)}"


def tallies(records: ImportRecords, known: KnownGym) -> tuple[Tally, ...]:
    """One for each kind of record that the files hold."""
    pairs: list[tuple[str, Mapping[Any, Any], Mapping[Any, Any]]] = [
        ("athletes", _by(records.athletes, "id"), _by(known.athletes, "id")),
        ("maxes", {one: one for one in records.maxes}, {one: one for one in known.evidence}),
        *_stock_pairs(records.stock, known.stock),
        ("contests", _by(records.contests, "id"), _by(known.contests, "id")),
        ("classes", _by(records.classes, "key"), _by(known.classes, "key")),
        ("waves", _by(records.waves, "key"), {**WAVE_TEMPLATES, **_by(known.waves, "key")}),
    ]
    return tuple(_tally(kind, told, stands) for kind, told, stands in pairs if told)


def _stock_pairs(
    told: Stock, known: Stock
) -> Iterable[tuple[str, Mapping[Any, Any], Mapping[Any, Any]]]:
    for kind in _STOCK:
        yield kind, _by(getattr(told, kind), "key"), _by(getattr(known, kind), "key")
    yield "kit", told.kit, known.kit


def _by(values: Iterable[Any], key: str) -> dict[Any, Any]:
    return {getattr(value, key): value for value in values}


def _tally(kind: str, told: Mapping[Any, Any], known: Mapping[Any, Any]) -> Tally:
    new = sum(key not in known for key in told)
    same = sum(key in known and known[key] == value for key, value in told.items())
    return Tally(kind, new, len(told) - new - same, same)
