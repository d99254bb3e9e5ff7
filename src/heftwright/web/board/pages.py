"""What the board's template may see."""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import ClassVar

from heftwright.domain.sheet import ClassSheet, PlatformSheet
from heftwright.domain.sheet.live import Turn, turn_at

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


@dataclass(frozen=True, slots=True)
class BoardFloor:
    """The part of the board that is swapped."""

    template: ClassVar[str] = "board/floor.html"

    board: BoardPage


def board_of(
    sheet: ClassSheet, class_starts: datetime, now: datetime, *, floor_url: str, gym_name: str
) -> BoardPage:
    """The board of a class at ``now``."""
    names = called([line.name for item in sheet.platforms for line in item.lifters])
    platforms = [
        _platform(item, turn_at(item, class_starts, now), names) for item in sheet.platforms
    ]
    is_today = sheet.on == now.date()
    return BoardPage(
        floor_url=floor_url,
        gym_name=gym_name,
        lift_name=sheet.lift_name if is_today else f"{sheet.on:%a}: {sheet.lift_name}",
        wave_words=sheet.wave_words,
        pages=_paged(platforms),
        plan_version=sheet.plan_version,
        version=_version(sheet, platforms),
    )


def empty_board(*, floor_url: str, gym_name: str) -> BoardPage:
    """The board when no class is planned."""
    return BoardPage(floor_url, gym_name, "", "", (), 0, "none")


def called(names: list[str]) -> dict[str, str]:
    """How people are called across the room: by the first name where only one has it here."""
    firsts = Counter(name.split()[0] for name in names)
    return {name: _short(name, firsts) for name in names}


def _short(name: str, firsts: Counter[str]) -> str:
    first, *rest = name.split()
    if firsts[first] == 1 or not rest:
        return first
    return f"{first} {rest[-1][0]}."


def _platform(sheet: PlatformSheet, turn: Turn, names: dict[str, str]) -> BoardPlatform:
    now = names[turn.now.name] if turn.now else ""
    follows = names[turn.next_up.name] if turn.next_up else ""
    return BoardPlatform(sheet.key, sheet.rig, turn, now, follows)


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
