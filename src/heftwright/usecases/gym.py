"""Opening a gym and looking at it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.db import transaction

from heftwright.domain.mass import MassUnit
from heftwright.domain.names import first_free, short_name
from heftwright.domain.refusal import Refusal
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import Gym, Membership
from heftwright.usecases.actor import Actor, Door, GymKey
from heftwright.usecases.changes import Trail, change, verb
from heftwright.usecases.clock import local_now, now, today
from heftwright.usecases.permissions import ForbiddenError, Right

__all__ = [
    "GymCard",
    "GymError",
    "change_gym",
    "create_gym",
    "get_gym",
    "get_gyms",
    "key_for_new_gym",
    "local_now",
    "now",
    "today",
]

_SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class GymError(Refusal):
    """A gym that cannot be opened so."""


@dataclass(frozen=True, slots=True)
class GymCard:
    """A gym.

    Parameters
    ----------
    key : GymKey
        Short name in addresses and commands.
    name : str
        As painted over the door.
    time_zone : str
        IANA name, for example ``"Europe/Vienna"``.
    unit : MassUnit
        In which its pages show masses.
    """

    key: GymKey
    name: str
    time_zone: str
    unit: MassUnit


@verb
def create_gym(
    *, gym: GymKey, name: str, by: Actor, time_zone: str = "UTC", unit: MassUnit = MassUnit.KG
) -> GymCard:
    """Open a gym; only from the server's own terminal.

    Raises
    ------
    GymError
        If the short name is taken or cannot be one, or the time zone is unknown.
    ForbiddenError
        If somebody asks from elsewhere.
    """
    if by.door not in (Door.TERMINAL, Door.HOUSE):
        raise ForbiddenError("A gym is opened at the server's own terminal: heftwright gym.")
    _check_slug(gym)
    _check_name(name)
    _check_zone(time_zone)
    with transaction.atomic():
        if Gym.objects.filter(slug=gym).exists():
            raise GymError(f"There is a gym “{gym}” already: choose another short name.")
        row = Gym.objects.create(slug=gym, name=name.strip(), time_zone=time_zone, unit=unit)
        trail = Trail(row, by, "create_gym")
        trail.note(f"gym/{gym}", None, _document(row))
        trail.write()
    return _card(row)


@verb
def change_gym(
    *,
    gym: GymKey,
    by: Actor,
    name: str | None = None,
    time_zone: str | None = None,
    unit: MassUnit | None = None,
) -> GymCard:
    """Change the gym's name, time zone or unit."""
    with change(gym, by, "change_gym", Right.MANAGE_GYM) as trail:
        row, before = trail.gym, _document(trail.gym)
        if name is not None:
            _check_name(name)
            row.name = name.strip()
        if time_zone is not None:
            _check_zone(time_zone)
            row.time_zone = time_zone
        row.unit = unit or row.unit
        row.save()
        trail.note(f"gym/{gym}", before, _document(row))
    return _card(row)


def get_gym(*, gym: GymKey) -> GymCard:
    """The gym.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    return _card(find_gym(gym))


def get_gyms(*, by: Actor) -> tuple[GymCard, ...]:
    """The gyms that somebody may open, by name."""
    found = Gym.objects.all()
    if by.door is Door.DESK:
        mine = Membership.objects.filter(account_id=by.account or 0, suspended_at=None)
        found = found.filter(pk__in=mine.values("gym_id"))
    elif by.gym is not None:
        found = found.filter(slug=by.gym)
    return tuple(_card(row) for row in found.order_by("name", "pk"))


def key_for_new_gym(*, name: str) -> GymKey:
    """A short name that no gym has yet, made from the gym's name.

    Raises
    ------
    GymError
        If the name is empty or too long, or a gym of this very name is here.
    """
    _check_name(name)
    shown = " ".join(name.split())
    twin = Gym.objects.filter(name__iexact=shown).first()
    if twin is not None:
        raise GymError(f"“{twin.name}” is here already, as {twin.slug}: choose another name.")
    taken = frozenset(Gym.objects.values_list("slug", flat=True))
    return GymKey(first_free(short_name(name)[:50].rstrip("-") or "gym", taken))


def _card(row: Gym) -> GymCard:
    return GymCard(GymKey(row.slug), row.name, row.time_zone, MassUnit(row.unit))


def _document(row: Gym) -> dict[str, str]:
    return {"name": row.name, "time_zone": row.time_zone, "unit": str(row.unit)}


def _check_slug(slug: str) -> None:
    if not _SLUG.fullmatch(slug) or len(slug) > 60:
        raise GymError(
            f"“{slug}” cannot be a short name: small letters a–z, digits and single hyphens, "
            "at most 60, for example iron-yard."
        )


def _check_name(name: str) -> None:
    if not 1 <= len(name.strip()) <= 120:
        raise GymError("A gym needs a name of 1–120 characters, for example “Iron Yard”.")
    if not name.strip().isprintable():
        raise GymError(
            "The gym's name has a line break or a hidden character: write it on one line."
        )


def _check_zone(name: str) -> None:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise GymError(f"“{name}” is not a time zone: write one like Europe/Vienna.") from error
