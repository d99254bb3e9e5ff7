"""The season strip: weeks from left to right, a lane a main day, contests as posts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class StripWeek:
    """One week; ``kind`` is normal, taper, contest or easy."""

    monday: date
    kind: str


@dataclass(frozen=True, slots=True)
class StripBlock:
    """A wave or a single week's work in a lane.

    Parameters
    ----------
    week : int
        Index of its first week in the strip.
    weeks : int
        How many weeks.
    label, detail : str
        The lift's name; resistance and schemes in words.
    steps : tuple of float
        Height of each week's step, 0–1 (rising within a wave).
    reasons : tuple of str
        Sentences: what earned it.
    runner_up : str
        The next best choice and what it would cost, or empty.
    is_done, is_pinned : bool
        Already trained; fixed by the coach.
    """

    week: int
    weeks: int
    label: str
    detail: str
    steps: tuple[float, ...]
    reasons: tuple[str, ...] = ()
    runner_up: str = ""
    is_done: bool = False
    is_pinned: bool = False


@dataclass(frozen=True, slots=True)
class StripLane:
    """One main slot's lane."""

    slot_key: str
    name: str
    blocks: tuple[StripBlock, ...]


@dataclass(frozen=True, slots=True)
class ContestPost:
    """A contest across all lanes: week index, day of the week 0–6, name, events, main or not."""

    week: int
    weekday: int
    name: str
    on: date
    events: tuple[str, ...]
    is_main: bool
    entrants: int


@dataclass(frozen=True, slots=True)
class SeasonStrip:
    """The whole picture; ``this_week`` is the index of the current week, or None."""

    weeks: tuple[StripWeek, ...]
    lanes: tuple[StripLane, ...]
    posts: tuple[ContestPost, ...]
    this_week: int | None
    plan_version: int
