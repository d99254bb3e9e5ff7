"""Exact masses and lengths in and out of forms without losing a tick."""

from __future__ import annotations

from typing import Any

from heftwright.domain.height import EnteredLength, Length, LengthUnit
from heftwright.domain.mass import EnteredMass, Mass, MassUnit

FINE = 3


def stated(name: str, value: object, unit: MassUnit) -> dict[str, object]:
    """What stands in a field: the figure, and its unit beside it."""
    if isinstance(value, Mass):
        return _with_unit(name, value.shown(unit, FINE))
    if isinstance(value, Length):
        return _with_unit(name, value.shown(LengthUnit.CM, FINE))
    return {name: value}


def meant(answer: object, old: object = None) -> Any:
    """The exact quantity answered; an untouched figure keeps the old one to the last tick."""
    if isinstance(answer, EnteredMass):
        same = isinstance(old, Mass) and str(answer) == old.shown(answer.unit, FINE)
        return old if same else answer.mass
    if isinstance(answer, EnteredLength):
        same = isinstance(old, Length) and str(answer) == old.shown(answer.unit, FINE)
        return old if same else answer.length
    return answer


def _with_unit(name: str, shown: str) -> dict[str, object]:
    figure, _, unit = shown.partition(" ")
    return {name: figure, f"{name}_unit": unit}
