"""The season strip: weeks from left to right, a lane a main day, contests as posts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class StripWeek:
    """One week; ``kind`` is normal, taper, contest or easy.

    ``rep_work`` says what the rep work leans on, in a sentence; empty if nothing stands out.
    """

    monday: date
    kind: str
    rep_work: str = ""


@dataclass(frozen=True, slots=True)
class StripAfter:
    """What follows a main lift in one week.

    Parameters
    ----------
    week : int
        Index in the strip.
    slot_key, slot_name : str
        After which main lift.
    label, detail : str
        The lift's name; kind and scheme in words.
    reasons : tuple of str
        Sentences: what earned it.
    """

    week: int
    slot_key: str
    slot_name: str
    label: str
    detail: str
    reasons: tuple[str, ...] = ()


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
    is_done, is_pinned, is_light : bool
        Already trained; fixed by the coach; light work of a contest or easy week.
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
    is_light: bool = False


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
    """The whole picture.

    Parameters
    ----------
    weeks, lanes, posts
        Weeks, main days, contests.
    this_week : int or None
        Index of the current week.
    plan_version : int
        Of the kept season.
    after : tuple of StripAfter
        Second lifts and event practice.
    """

    weeks: tuple[StripWeek, ...]
    lanes: tuple[StripLane, ...]
    posts: tuple[ContestPost, ...]
    this_week: int | None
    plan_version: int
    after: tuple[StripAfter, ...] = ()

    def after_in(self, week: int, slot_key: str = "") -> tuple[StripAfter, ...]:
        """What follows the main lifts of a week, or the one of a slot."""
        return tuple(i for i in self.after if i.week == week and slot_key in ("", i.slot_key))
