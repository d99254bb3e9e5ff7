"""The contest calendar."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import NewType

from heftwright.domain.catalogue import EventFamily, Implement
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId

ContestId = NewType("ContestId", str)


class ContestError(Refusal):
    """A contest that cannot be planned for as entered."""


class EventStyle(StrEnum):
    """How the event is won: it decides how set schemes drift."""

    MAX = "max"
    REPS = "reps"
    RUN = "run"


@dataclass(frozen=True, slots=True)
class ContestEvent:
    """One event.

    Parameters
    ----------
    name : str
        As on the entry form.
    family : EventFamily
        What it asks for.
    style : EventStyle
        One big lift, reps on a clock, or a run.
    implement : Implement or None
        What is lifted; None if not said.
    start_height : Length or None
        Bar height at the start, where the event fixes it.
    grip : str
        Catalogue grip word, or empty.
    load_men, load_women : Mass or None
        Fixed loads; None for a rising bar or when not announced.
    time_cap_s : int or None
        Time limit [s].
    course_m : float or None
        Distance [m].
    """

    name: str
    family: EventFamily
    style: EventStyle
    implement: Implement | None = None
    start_height: Length | None = None
    grip: str = ""
    load_men: Mass | None = None
    load_women: Mass | None = None
    time_cap_s: int | None = None
    course_m: float | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """An athlete's entry; ``need`` weighs each event for this athlete (event name -> 0.3–2)."""

    athlete: AthleteId
    contest_class: str = "open"
    need: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Contest:
    """A dated contest.

    Parameters
    ----------
    id, name, on
        Key, name, day.
    importance : int
        1 minor, 2 wanted, 3 the one.
    squad_taper : bool
        Whether the whole squad's plan eases for it.
    events : tuple of ContestEvent
        At least one.
    entries : tuple of Entry
        Who goes.
    """

    id: ContestId
    name: str
    on: date
    importance: int
    squad_taper: bool
    events: tuple[ContestEvent, ...]
    entries: tuple[Entry, ...] = ()

    def __post_init__(self) -> None:
        if not self.events:
            raise ContestError(f"Contest “{self.name}” has no events: enter at least one.")
        if not 1 <= self.importance <= 3:
            raise ContestError(f"Contest “{self.name}”: importance is 1, 2 or 3.")
        names = [event.name for event in self.events]
        if len(set(names)) != len(names):
            raise ContestError(f"Contest “{self.name}”: two events share a name.")

    def enters(self, athlete: AthleteId) -> bool:
        """Whether the athlete is entered."""
        return any(entry.athlete == athlete for entry in self.entries)
