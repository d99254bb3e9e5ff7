"""The lift catalogue: one record a lift, read from ``lifts.json`` and checked as it is read."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources
from typing import Any, NewType

from heftwright.domain.catalogue.words import (
    EventFamily,
    Implement,
    KitKey,
    MaxEffortScheme,
    Pattern,
    Region,
    Resistance,
    Slot,
    WeakPoint,
)
from heftwright.domain.height import Length
from heftwright.domain.refusal import NotFoundError, Refusal

LiftKey = NewType("LiftKey", str)


class UnknownLiftError(NotFoundError):
    """A lift that the catalogue does not hold."""


class CatalogueDataError(Refusal):
    """A catalogue record that contradicts itself or names an unknown word."""


class BarPathKind(StrEnum):
    """Which way the bar goes: decides how start and end heights are found for an athlete."""

    PULL = "pull"
    SQUAT = "squat"
    BENCH = "bench"
    RACK_TO_OVERHEAD = "rack_to_overhead"
    FLOOR_TO_OVERHEAD = "floor_to_overhead"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class DynamicForm:
    """One way of doing a lift on a dynamic-effort day.

    Parameters
    ----------
    resistance : Resistance
        Straight weight, bands or chains.
    slot : Slot
        Dynamic-effort lower or upper.
    setup_min : float
        Minutes to set up [min], > 0; common practice.
    recovery_factor : float
        Exposure of this form relative to straight weight, ≥ 1; common practice.
    kit : tuple of KitKey
        What each unit needs.
    """

    resistance: Resistance
    slot: Slot
    setup_min: float
    recovery_factor: float
    kit: tuple[KitKey, ...]


@dataclass(frozen=True, slots=True)
class Lift:
    """One way of lifting. Transfers, exposures and minutes are common practice, editable.

    Parameters
    ----------
    key : LiftKey
        Steady name in data, for example ``"axle_deadlift"``.
    name : str
        What a coach calls it.
    slots : frozenset of Slot
        Main slots it may fill.
    pattern, implement, grip, stance, range
        How it is done.
    start_height : Length or None
        Height of the bar's axis at the start above the floor for 450 mm discs, where the lift
        fixes it (22 cm: from the floor).
    bar_path : BarPathKind
        How start and end heights are found.
    setup_min : float
        Minutes to set up [min].
    last_heavy_days : int
        Days before a contest of the last heavy session [d].
    exposure : Mapping
        Region -> exposure of a usual session, 0–5.
    transfer : Mapping
        Event family -> transfer of training, 0–1.
    weak_points : Mapping
        Weak point -> how well this lift trains it, 0–1.
    kit : tuple of KitKey
        What each unit needs.
    tags : frozenset of str
        Restriction tags: overhead, spine_heavy, knee_heavy, grip_heavy, biceps_risk.
    never_as : frozenset of MaxEffortScheme
        Max-effort schemes this lift is not done as.
    dynamic : tuple of DynamicForm
        Its dynamic-effort forms.
    is_second_lift : bool
        Whether it is done after the main lift of a lower day: a clean, say, which is no main lift.
    """

    key: LiftKey
    name: str
    slots: frozenset[Slot]
    pattern: Pattern
    implement: Implement
    start_height: Length | None
    grip: str
    stance: str
    range: str
    bar_path: BarPathKind
    setup_min: float
    last_heavy_days: int
    exposure: Mapping[Region, float]
    transfer: Mapping[EventFamily, float]
    weak_points: Mapping[WeakPoint, float]
    kit: tuple[KitKey, ...]
    tags: frozenset[str]
    never_as: frozenset[MaxEffortScheme]
    dynamic: tuple[DynamicForm, ...]
    is_second_lift: bool = False

    def __post_init__(self) -> None:
        if not self.slots and not self.is_second_lift:
            raise CatalogueDataError(f"Lift “{self.key}” fills no slot: name at least one.")
        if any(slot.is_dynamic for slot in self.slots) != bool(self.dynamic):
            raise CatalogueDataError(
                f"Lift “{self.key}”: dynamic-effort slots and dynamic forms must go together."
            )

    def dynamic_form(self, resistance: Resistance) -> DynamicForm | None:
        """The dynamic-effort form with this resistance, or None if there is none."""
        return next((form for form in self.dynamic if form.resistance == resistance), None)


class Catalogue(Mapping[LiftKey, Lift]):
    """All lifts of a gym, by key, in catalogue order."""

    def __init__(self, lifts: tuple[Lift, ...], athletes_per_unit: Mapping[KitKey, int]) -> None:
        self._lifts = {lift.key: lift for lift in lifts}
        if len(self._lifts) != len(lifts):
            raise CatalogueDataError("Two lifts share a key: give each its own.")
        self.athletes_per_unit = dict(athletes_per_unit)
        unknown = {kit for lift in lifts for kit in lift.kit} - set(self.athletes_per_unit)
        if unknown:
            raise CatalogueDataError(
                f"Kit {', '.join(sorted(unknown))} is used by a lift but athletes_per_unit does "
                "not list it."
            )

    def __getitem__(self, key: LiftKey) -> Lift:
        try:
            return self._lifts[key]
        except KeyError:
            raise UnknownLiftError(
                f"There is no lift “{key}” in the catalogue: see `heftwright lifts`."
            ) from None

    def __contains__(self, key: object) -> bool:
        return key in self._lifts

    def __iter__(self) -> Iterator[LiftKey]:
        return iter(self._lifts)

    def __len__(self) -> int:
        return len(self._lifts)

    def for_slot(self, slot: Slot) -> tuple[Lift, ...]:
        """Lifts that may fill a slot, in catalogue order."""
        return tuple(lift for lift in self._lifts.values() if slot in lift.slots)

    def named(self, text: str) -> Lift | None:
        """The lift whose key or name is written in ``text``, case and spaces aside, or None."""
        wanted = _plain_name(text)
        for lift in self._lifts.values():
            if wanted in (_plain_name(lift.key), _plain_name(lift.name)):
                return lift
        return None


def _plain_name(text: str) -> str:
    return "".join(ch for ch in text.casefold() if ch.isalnum())


@cache
def load_catalogue() -> Catalogue:
    """The starting catalogue that ships with Heftwright (common practice, editable)."""
    text = resources.files(__package__).joinpath("lifts.json").read_text(encoding="utf-8")
    return read_catalogue(json.loads(text))


def read_catalogue(document: Mapping[str, Any]) -> Catalogue:
    """Build a catalogue from the parsed document, refusing unknown words.

    Raises
    ------
    CatalogueDataError
        If a record names a slot, region, family … that does not exist.
    """
    lifts = tuple(_read_lift(record) for record in document["lifts"])
    return Catalogue(lifts, {KitKey(k): n for k, n in document["athletes_per_unit"].items()})


def _read_lift(record: Mapping[str, Any]) -> Lift:
    try:
        return _lift_from(record)
    except (KeyError, ValueError) as error:
        raise CatalogueDataError(f"Lift “{record.get('key')}”: {error}") from error


def _lift_from(record: Mapping[str, Any]) -> Lift:
    start_cm = record["start_height_cm"]
    return Lift(
        key=LiftKey(record["key"]),
        name=record["name"],
        slots=frozenset(Slot(slot) for slot in record["slots"]),
        pattern=Pattern(record["pattern"]),
        implement=Implement(record["implement"]),
        start_height=None if start_cm is None else Length.cm(str(start_cm)),
        grip=record["grip"],
        stance=record["stance"],
        range=record["range"],
        bar_path=BarPathKind(record["bar_path"]),
        setup_min=record["setup_min"],
        last_heavy_days=record["last_heavy_days"],
        exposure={Region(k): v for k, v in record["exposure"].items()},
        transfer={EventFamily(k): v for k, v in record["transfer"].items()},
        weak_points={WeakPoint(k): v for k, v in record["weak_points"].items()},
        kit=tuple(KitKey(kit) for kit in record["kit"]),
        tags=frozenset(record["tags"]),
        never_as=frozenset(MaxEffortScheme(scheme) for scheme in record["never_as"]),
        dynamic=tuple(_read_dynamic(form) for form in record["dynamic"]),
        is_second_lift=record.get("is_second_lift", False),
    )


def _read_dynamic(record: Mapping[str, Any]) -> DynamicForm:
    return DynamicForm(
        resistance=Resistance(record["resistance"]),
        slot=Slot(record["slot"]),
        setup_min=record["setup_min"],
        recovery_factor=record["recovery_factor"],
        kit=tuple(KitKey(kit) for kit in record["kit"]),
    )
