"""The gym's lifts: those that ship, and the coach's own in their place or beside them."""

from __future__ import annotations

from heftwright.domain.catalogue import Catalogue, Lift, LiftKey, load_catalogue
from heftwright.domain.catalogue.own import check_lift, with_own_lifts
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.store import coaching_rows, plan_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import Gym
from heftwright.store.records import RecordKind
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, seen, verb
from heftwright.usecases.permissions import Right

__all__ = [
    "LiftInUseError",
    "catalogue_in",
    "catalogue_of",
    "drop_lift",
    "get_own_lifts",
    "keep_lift",
    "seen",
]


class LiftInUseError(Refusal):
    """A lift that something still leans on."""


def catalogue_of(gym: GymKey) -> Catalogue:
    """The gym's lift catalogue."""
    return catalogue_in(find_gym(gym))


def catalogue_in(row: Gym) -> Catalogue:
    """The same for a gym's row at hand."""
    own = coaching_rows.read_settings(row, Lift)
    return with_own_lifts(load_catalogue(), own) if own else load_catalogue()


def get_own_lifts(*, gym: GymKey) -> tuple[Lift, ...]:
    """The lifts that the gym added or changed, in the order of entering."""
    return coaching_rows.read_settings(find_gym(gym), Lift)


@verb
def keep_lift(*, gym: GymKey, by: Actor, lift: Lift, is_new: bool = False) -> None:
    """Add a lift, or change one; a changed shipped lift can go back to what ships.

    Raises
    ------
    CatalogueDataError
        If a number is outside its range, or the name is another lift's.
    Refusal
        If a new lift's key is taken.
    """
    with change(gym, by, "keep_lift", Right.EDIT_DOSE) as trail:
        catalogue = catalogue_of(gym)
        if is_new and lift.key in catalogue:
            raise Refusal(f"There is a lift “{catalogue[lift.key].name}” already: name it apart.")
        check_lift(lift, catalogue)
        trail.put(lift)


@verb
def drop_lift(*, gym: GymKey, by: Actor, lift: LiftKey) -> None:
    """Take an own lift away, or a shipped one back to what ships; the act can be undone.

    Raises
    ------
    NotFoundError
        If the gym never changed it.
    LiftInUseError
        If the season still has it and nothing ships in its place.
    """
    with change(gym, by, "drop_lift", Right.EDIT_DOSE) as trail:
        if coaching_rows.read_setting(trail.gym, Lift, lift) is None:
            raise NotFoundError(f"The gym has no lift “{lift}” of its own: see Lifts.")
        if lift not in load_catalogue() and plan_rows.season_names(gym, lift):
            raise LiftInUseError(
                f"The season still has “{lift}”: forbid it there and plan again, then remove it."
            )
        trail.drop(RecordKind.LIFT, lift)
