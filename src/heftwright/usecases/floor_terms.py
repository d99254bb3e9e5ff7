"""The gym's own times and prices of the floor, and who lifts with whom."""

from __future__ import annotations

from collections.abc import Mapping

from heftwright.domain.floor.terms import FloorTerms, FloorWish
from heftwright.store import floor_rows
from heftwright.store.documents import to_document
from heftwright.store.gym_rows import find_gym
from heftwright.store.squad_rows import athlete_row
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.permissions import Right

__all__ = [
    "change_floor_terms",
    "change_floor_wish",
    "get_floor_terms",
    "get_floor_wish",
    "get_floor_wishes",
]


def get_floor_terms(*, gym: GymKey) -> FloorTerms:
    """The gym's terms; the defaults until they are changed."""
    found = floor_rows.read_one(find_gym(gym), FloorTerms, FloorTerms().key)
    return FloorTerms() if found is None else found


@verb
def change_floor_terms(*, gym: GymKey, by: Actor, terms: FloorTerms) -> None:
    """Change them; the next plan of any class uses them."""
    with change(gym, by, "change_floor_terms", Right.EDIT_DOSE) as trail:
        before = floor_rows.read_one(trail.gym, FloorTerms, terms.key)
        floor_rows.write(trail.gym, terms)
        trail.note("floor_terms", to_document(before or FloorTerms()), to_document(terms))


def get_floor_wishes(*, gym: GymKey) -> Mapping[str, FloorWish]:
    """Everybody's wishes by athlete."""
    return {wish.key: wish for wish in floor_rows.read_all(find_gym(gym), FloorWish)}


def get_floor_wish(*, gym: GymKey, athlete: str) -> FloorWish:
    """One athlete's wish, empty until it is said."""
    found = floor_rows.read_one(find_gym(gym), FloorWish, athlete)
    return FloorWish(athlete) if found is None else found


@verb
def change_floor_wish(*, gym: GymKey, by: Actor, wish: FloorWish) -> None:
    """Note whom an athlete lifts with; the next plan of any class uses it.

    Raises
    ------
    NotFoundError
        If somebody named is not in the squad.
    """
    with change(gym, by, "change_floor_wish", Right.PLAN_CLASS) as trail:
        for athlete in (wish.key, *wish.together, *wish.apart):
            athlete_row(trail.gym, athlete)
        before = floor_rows.read_one(trail.gym, FloorWish, wish.key)
        if wish.is_empty:
            floor_rows.drop(trail.gym, FloorWish, wish.key)
        else:
            floor_rows.write(trail.gym, wish)
        trail.note(
            f"floor_wish/{wish.key}", to_document(before) if before else None, to_document(wish)
        )
