"""A gym's own lifts: copied from the nearest one, changed, and held to the catalogue's ranges."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from difflib import SequenceMatcher
from typing import TypeVar

from heftwright.domain.catalogue.lift import Catalogue, CatalogueDataError, Lift, LiftKey
from heftwright.domain.catalogue.words import Implement, KitKey

Word = TypeVar("Word", bound=str)
MOST_EXPOSURE = 5.0
MOST_SETUP_MIN = 60.0
MOST_LAST_HEAVY_DAYS = 28
LONGEST_NAME = 60
_NOT_IN_KEY = re.compile(r"[^a-z0-9]+")


def nearest_lift(catalogue: Catalogue, name: str) -> Lift:
    """The lift whose name is most like a new one's, to start from."""
    wanted = name.casefold()
    return max(
        catalogue.values(),
        key=lambda lift: SequenceMatcher(None, wanted, lift.name.casefold()).ratio(),
    )


def copy_of(lift: Lift, name: str) -> Lift:
    """A lift under a new name and key, everything else as in the one it is copied from."""
    key = _NOT_IN_KEY.sub("_", name.casefold()).strip("_")
    if not key:
        raise CatalogueDataError("Give the lift a name with letters or digits.")
    return replace(lift, key=LiftKey(key[:LONGEST_NAME]), name=name.strip())


def with_implement(lift: Lift, implement: Implement) -> Lift:
    """The lift done with another implement; its kit asks for that implement instead."""
    if implement == lift.implement:
        return lift

    def swapped(kit: tuple[KitKey, ...]) -> tuple[KitKey, ...]:
        old, new = KitKey(lift.implement.value), KitKey(implement.value)
        return tuple(new if key == old else key for key in kit)

    forms = tuple(replace(form, kit=swapped(form.kit)) for form in lift.dynamic)
    return replace(lift, implement=implement, kit=swapped(lift.kit), dynamic=forms)


def check_lift(lift: Lift, catalogue: Catalogue) -> None:
    """Refuse a lift whose numbers are outside their ranges or whose name is another's.

    Raises
    ------
    CatalogueDataError
        With what is wrong, where and which range holds.
    """
    _check_name(lift, catalogue)
    _check_range(lift, "Set-up", lift.setup_min, 0.0, MOST_SETUP_MIN, " min")
    days = float(lift.last_heavy_days)
    _check_range(lift, "Last heavy day", days, 0.0, MOST_LAST_HEAVY_DAYS, " days before")
    _check_shares(lift, "Strain on", lift.exposure, MOST_EXPOSURE)
    _check_shares(lift, "Carry-over to", lift.transfer, 1.0)
    _check_shares(lift, "Effect on", lift.weak_points, 1.0)
    unknown = sorted(set(lift.kit) - set(catalogue.athletes_per_unit))
    if unknown:
        raise CatalogueDataError(f"{lift.name} needs kit that no gym counts: {', '.join(unknown)}.")


def with_own_lifts(shipped: Catalogue, own: tuple[Lift, ...]) -> Catalogue:
    """The catalogue with a gym's lifts in the place of those of the same key, or added."""
    mine = {lift.key: lift for lift in own}
    kept = tuple(mine.pop(key, lift) for key, lift in shipped.items())
    return Catalogue((*kept, *mine.values()), shipped.athletes_per_unit)


def _check_name(lift: Lift, catalogue: Catalogue) -> None:
    if not 1 <= len(lift.name.strip()) <= LONGEST_NAME:
        raise CatalogueDataError(f"A lift's name must have 1–{LONGEST_NAME} characters.")
    other = catalogue.named(lift.name)
    if other is not None and other.key != lift.key:
        raise CatalogueDataError(f"There is a lift called “{other.name}” already: name it apart.")


def _check_shares(lift: Lift, what: str, values: Mapping[Word, float], most: float) -> None:
    for word, value in values.items():
        _check_range(lift, f"{what} {word.replace('_', ' ')}", value, 0.0, most, "")


def _check_range(lift: Lift, what: str, value: float, least: float, most: float, unit: str) -> None:
    if not least <= value <= most:
        raise CatalogueDataError(
            f"{what} of {lift.name} is {value:g}{unit}: it must lie in {least:g}–{most:g}{unit}."
        )
