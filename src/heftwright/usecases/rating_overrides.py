"""Going over a maker's limit for a day: the owner's own decision, with a name and a reason."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import Bar, Block, Platform, RatingOverride
from heftwright.store import coaching_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.records import RecordKind
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import Trail, change, verb
from heftwright.usecases.permissions import Right

MOST_RATIO = 1.25  # of the rating; above it no word of an owner helps: our own limit
DAYS_AHEAD = 14


class RatingOverrideError(Refusal):
    """A limit that cannot be lifted like that."""


def get_rating_overrides(*, gym: GymKey) -> tuple[RatingOverride, ...]:
    """Every limit ever lifted, newest day first."""
    found = coaching_rows.read_settings(find_gym(gym), RatingOverride)
    return tuple(sorted(found, key=lambda item: item.key, reverse=True))


@verb
def lift_rating(*, gym: GymKey, by: Actor, override: RatingOverride) -> None:
    """Allow one thing more than its maker's limit on one day; the owner only.

    The limit that stands is kept with it: when that is lowered later, the word falls.

    Raises
    ------
    ForbiddenError
        If somebody else than the owner asks.
    RatingOverrideError
        If it has no rating, the day is past or far off, or it is no more than the rating or
        more than a quarter above it.
    NotFoundError
        If there is no such thing.
    """
    with change(gym, by, "lift_rating", Right.MANAGE_GYM) as trail:
        rating = check_override(trail, override, clock.today(gym))
        trail.put(replace(override, given_for=rating))


@verb
def restore_rating(*, gym: GymKey, by: Actor, key: str) -> None:
    """Hold to the maker's limit again.

    Raises
    ------
    NotFoundError
        If it was not lifted.
    """
    with change(gym, by, "restore_rating", Right.MANAGE_GYM) as trail:
        trail.drop(RecordKind.RATING_OVERRIDE, key)


def rating_of(item: Bar | Block | Platform) -> Mass | None:
    """The maker's limit on record, of a platform that of its rack; None where there is none."""
    return item.rack_rating if isinstance(item, Platform) else item.rating


def check_override(trail: Trail, override: RatingOverride, today: date) -> Mass:
    """The limit that it goes over; refused if none is there, or it goes far over, or far ahead.

    Raises
    ------
    RatingOverrideError
        With what is wrong.
    NotFoundError
        If there is no such thing.
    """
    item = trail.find(RecordKind(override.kind), override.item)
    return _check(override, rating_of(item), today)


def _check(override: RatingOverride, rating: Mass | None, today: date) -> Mass:
    if rating is None:
        raise RatingOverrideError("No maker's limit is on record: there is nothing to go over.")
    if not 0 <= (override.on - today).days <= DAYS_AHEAD:
        raise RatingOverrideError(f"Name a day from today on, at most {DAYS_AHEAD} days ahead.")
    if not rating < override.up_to:
        raise RatingOverrideError(f"{override.up_to} is within the maker's limit of {rating}.")
    if override.up_to.ticks > MOST_RATIO * rating.ticks:
        raise RatingOverrideError(
            f"{override.up_to} is more than a quarter above the maker's limit of {rating}: that is "
            "not allowed for any reason. Take less, or gear that is rated for it."
        )
    if not override.holds_for(rating):
        raise RatingOverrideError(
            f"It was given for a limit of {override.given_for}, and that is {rating} now: look at "
            "the thing again, then give it anew."
        )
    return rating
