"""What the board's template may see."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import ClassVar

from heftwright.domain.sheet import ClassSheet, PlatformSheet
from heftwright.domain.sheet.live import ClassClock, Phase, Turn, turn_at

GROUPS_A_PAGE = 6
PLATFORMS_A_PAGE = 3
"""At the character heights of trust.md three columns of about twelve characters fit."""
PAGE_TURNS_AFTER_S = 10


@dataclass(frozen=True, slots=True)
class BoardPlatform:
    """One platform's column."""

    key: str
    rig: str
    turn: Turn
    now_name: str
    next_name: str

    @property
    def over_words(self) -> str:
        """What the row says when nobody is left to lift here."""
        return "done" if self.turn.sets else "free"


@dataclass(frozen=True, slots=True)
class BoardGroup:
    """One platform's people in turn order, before the class begins."""

    key: str
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BoardPage:
    """The board at one moment.

    Parameters
    ----------
    floor_url : str
        Where the next picture is asked for.
    gym_name : str
        Shown when no class is on.
    lift_name, wave_words : str
        The class's main lift.
    pages : tuple of tuple of BoardPlatform
        Platforms, as many at a time as can be read.
    groups : tuple of tuple of BoardGroup
        Before the class begins: who goes where, in turn order; pages as well.
    saved_words : str
        Plate moves and what the plan saves, under the groups.
    now_s, zone_s : str
        The server's clock [s since 1970], and the gym's wall clock against UTC [s], as figures.
    plan_version : int
        Of the sheet drawn; 0 without a class.
    version : str
        Changes when anything drawn changes.
    starts_at, ends_at : datetime or None
        Of the class.
    """

    template: ClassVar[str] = "board/board.html"

    floor_url: str
    gym_name: str
    lift_name: str
    wave_words: str
    pages: tuple[tuple[BoardPlatform, ...], ...]
    plan_version: int
    version: str
    turns_after_s: int = PAGE_TURNS_AFTER_S
    groups: tuple[tuple[BoardGroup, ...], ...] = ()
    saved_words: str = ""
    now_s: str = ""
    zone_s: str = ""


@dataclass(frozen=True, slots=True)
class BoardFloor:
    """The part of the board that is swapped."""

    template: ClassVar[str] = "board/floor.html"

    board: BoardPage


def board_of(
    sheet: ClassSheet,
    starts: datetime,
    now: datetime,
    running: ClassClock | None = None,
    *,
    floor_url: str,
    gym_name: str,
) -> BoardPage:
    """The board of a class at ``now``, on the coach's clock where it runs."""
    platforms = [_platform(item, _turn(item, now, starts, running)) for item in sheet.platforms]
    is_before = all(item.turn.phase is Phase.BEFORE for item in platforms)
    is_today = sheet.on == now.date()
    return BoardPage(
        floor_url=floor_url,
        gym_name=gym_name,
        lift_name=sheet.lift_name if is_today else f"{sheet.on:%a}: {sheet.lift_name}",
        wave_words=sheet.wave_words,
        pages=_paged(platforms),
        plan_version=sheet.plan_version,
        version=_version(sheet, platforms),
        groups=_groups(sheet) if is_before else (),
        saved_words=sheet.saved_words,
        now_s=f"{now.timestamp():.1f}",
        zone_s=f"{_zone_s(now):.0f}",
    )


def _zone_s(now: datetime) -> float:
    offset = now.utcoffset()
    return offset.total_seconds() if offset is not None else 0.0


def _turn(
    platform: PlatformSheet, now: datetime, starts: datetime, running: ClassClock | None
) -> Turn:
    if running is None:
        return turn_at(platform, starts, now)
    return turn_at(platform, running.started_at, now, running.mark_of(platform.key))


def empty_board(*, floor_url: str, gym_name: str) -> BoardPage:
    """The board when no class is planned."""
    return BoardPage(floor_url, gym_name, "", "", (), 0, "none")


def called(name: str) -> str:
    """How somebody is called across the room: first name and initial; the number is beside it."""
    first, *rest = name.split()
    return f"{first} {rest[-1][0]}." if rest else first


def _platform(sheet: PlatformSheet, turn: Turn) -> BoardPlatform:
    now = called(turn.now.name) if turn.now else ""
    follows = called(turn.next_up.name) if turn.next_up else ""
    return BoardPlatform(sheet.key, sheet.rig, turn, now, follows)


def _groups(sheet: ClassSheet) -> tuple[tuple[BoardGroup, ...], ...]:
    groups = [
        BoardGroup(item.key, tuple(f"{one.number} {called(one.name)}" for one in item.lifters))
        for item in sheet.platforms
    ]
    return tuple(
        tuple(groups[at : at + GROUPS_A_PAGE]) for at in range(0, len(groups), GROUPS_A_PAGE)
    )


def _paged(platforms: list[BoardPlatform]) -> tuple[tuple[BoardPlatform, ...], ...]:
    rest = iter(platforms)
    pages = []
    while page := tuple(islice(rest, PLATFORMS_A_PAGE)):
        pages.append(page)
    return tuple(pages)


def _version(sheet: ClassSheet, platforms: list[BoardPlatform]) -> str:
    drawn = [
        (item.key, item.turn.phase, item.turn.set_number, item.turn.changes_at.isoformat())
        for item in platforms
    ]
    text = f"{sheet.class_key} {sheet.on} {sheet.plan_version} {sheet.planned_at} {drawn}"
    return hashlib.sha256(text.encode()).hexdigest()[:16]
