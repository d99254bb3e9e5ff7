"""The clock, as a port: the server's own, or one that a demo or a test holds still."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils import timezone

from heftwright.domain.refusal import Refusal
from heftwright.store.gym_rows import find_gym
from heftwright.usecases.actor import GymKey

_HELD: ContextVar[datetime | None] = ContextVar("held_clock", default=None)


class ClockError(Refusal):
    """A moment or zone that cannot be used."""


def now() -> datetime:
    """This moment, aware, in UTC."""
    return _HELD.get() or timezone.now()


def zone(gym: GymKey) -> ZoneInfo:
    """The gym's time zone."""
    return ZoneInfo(find_gym(gym).time_zone)


def local_now(gym: GymKey) -> datetime:
    """This moment on the gym's wall clock."""
    return now().astimezone(zone(gym))


def today(gym: GymKey) -> date:
    """The date on the gym's wall calendar."""
    return local_now(gym).date()


@contextmanager
def held_at(moment: datetime) -> Iterator[None]:
    """Hold the clock at an aware moment, for a demo or a test.

    Raises
    ------
    ClockError
        If the moment does not say its time zone.
    """
    if moment.tzinfo is None:
        raise ClockError("The moment to hold the clock at must say its time zone.")
    token = _HELD.set(moment)
    try:
        yield
    finally:
        _HELD.reset(token)
