"""The class clock: when the coach started, how far each platform is, whose turn it is.

Without a word from the coach the plan's own clock runs; a mark ("this round is over") sets one
platform right from that moment on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from heftwright.domain.refusal import Refusal
from heftwright.domain.sheet.class_sheet import LifterLine, PlatformSheet
from heftwright.domain.sheet.sleeve import PlateOnBar


class ClassClockError(Refusal):
    """A clock or a mark that cannot be."""


class Phase(StrEnum):
    """Where a platform stands in the class."""

    BEFORE = "before"
    LIFTING = "lifting"
    OVER = "over"


@dataclass(frozen=True, slots=True)
class PlatformMark:
    """The coach's word: so many rounds are over on a platform, from this moment.

    Parameters
    ----------
    platform : str
        Key of the platform.
    done_sets : int
        Rounds that are over, ≥ 0.
    at : datetime
        Aware.
    """

    platform: str
    done_sets: int
    at: datetime

    def __post_init__(self) -> None:
        if self.done_sets < 0:
            raise ClassClockError(f"Platform {self.platform}: rounds done must be 0 or more.")
        if self.at.tzinfo is None:
            raise ClassClockError("The moment of a mark must say its time zone.")


@dataclass(frozen=True, slots=True)
class ClassClock:
    """A dated class as it runs.

    Parameters
    ----------
    key : str
        Of the dated class, ``"2026-11-23/mon-1830"``.
    started_at : datetime
        When the coach started it, aware.
    marks : tuple of PlatformMark
        At most one a platform; a new plan takes them in and clears them.
    """

    key: str
    started_at: datetime
    marks: tuple[PlatformMark, ...] = ()

    def __post_init__(self) -> None:
        if self.started_at.tzinfo is None:
            raise ClassClockError("The start of a class must say its time zone.")
        if len({mark.platform for mark in self.marks}) != len(self.marks):
            raise ClassClockError("A platform is marked twice: keep one mark.")

    def mark_of(self, platform: str) -> PlatformMark | None:
        """The mark of a platform, or None."""
        return next((mark for mark in self.marks if mark.platform == platform), None)


@dataclass(frozen=True, slots=True)
class Position:
    """How far a platform is.

    Parameters
    ----------
    done_sets : int
        Rounds that are over.
    round_began : datetime
        When the round in progress began, or the next one begins.
    """

    done_sets: int
    round_began: datetime


@dataclass(frozen=True, slots=True)
class Turn:
    """One moment of a platform.

    Parameters
    ----------
    phase : Phase
        Before the first set, lifting, or over.
    now, next_up : LifterLine or None
        Who lifts and who follows, each with the load of that round; before the first set ``now``
        is the first lifter.
    set_number, sets : int
        Which set of how many this turn is.
    changes_at : datetime
        When this turn ends, or the first one starts; when the platform was done if over.
    round_lines : tuple of LifterLine
        Everybody who lifts in this round, each with its load, reps and change.
    """

    phase: Phase
    now: LifterLine | None
    next_up: LifterLine | None
    set_number: int
    sets: int
    changes_at: datetime
    round_lines: tuple[LifterLine, ...] = ()


@dataclass(frozen=True, slots=True)
class TurnSlot:
    """One turn on the clock.

    Parameters
    ----------
    line : LifterLine
        Who, with the load and the change of that turn.
    set_number : int
        Which set.
    begins, ends : datetime
        Change and set together.
    is_of_plan : bool
        False for the round that was in progress when the plan was made.
    """

    line: LifterLine
    set_number: int
    begins: datetime
    ends: datetime
    is_of_plan: bool = True


def class_starts(scheduled: datetime, clock: ClassClock | None) -> datetime:
    """When the class began: as the coach started it, else as the timetable says."""
    return clock.started_at if clock is not None else scheduled


def first_round(
    platform: PlatformSheet, starts: datetime, mark: PlatformMark | None = None
) -> Position:
    """The first round that is still to do by the plan or by the coach's mark."""
    if mark is not None:
        return Position(min(mark.done_sets, platform.sets), mark.at)
    over_at = starts + timedelta(minutes=platform.finish_min)
    return Position(platform.done_sets, over_at - timedelta(seconds=platform.left_s))


def position(
    platform: PlatformSheet, starts: datetime, now: datetime, mark: PlatformMark | None = None
) -> Position:
    """How many rounds are over at a moment, and when the one in progress began."""
    start = first_round(platform, starts, mark)
    done, began = start.done_sets, start.round_began
    while done < platform.sets:
        ends = began + timedelta(seconds=platform.length_s(done + 1))
        if ends > now:
            break
        done, began = done + 1, ends
    return Position(done, began)


def turn_at(
    platform: PlatformSheet, starts: datetime, now: datetime, mark: PlatformMark | None = None
) -> Turn:
    """The platform's turn at ``now``.

    The change shown is the one to make then: from an empty bar at the start, from what is really
    on it after a new plan. A new plan's platform first finishes the round in progress.
    """
    start = first_round(platform, starts, mark)
    slots, sets = slots_of(platform, starts, mark), platform.sets
    if not slots or now >= slots[-1].ends:
        over_at = slots[-1].ends if slots else start.round_began
        return Turn(Phase.OVER, None, None, sets, sets, over_at, _of_round(slots, sets))
    at = next(place for place, slot in enumerate(slots) if slot.ends > now)
    slot, follows = slots[at], _after(slots, at)
    number, lines = slot.set_number, _of_round(slots, slot.set_number)
    if slot.is_of_plan and now < start.round_began:
        return Turn(Phase.BEFORE, slot.line, follows, number, sets, start.round_began, lines)
    return Turn(Phase.LIFTING, slot.line, follows, number, sets, slot.ends, lines)


def _of_round(slots: list[TurnSlot], number: int) -> tuple[LifterLine, ...]:
    return tuple(slot.line for slot in slots if slot.set_number == number)


def _after(slots: list[TurnSlot], at: int) -> LifterLine | None:
    """Who follows; nobody where one is alone with one load."""
    if at + 1 == len(slots):
        return None
    line = slots[at + 1].line
    return None if line.athlete == slots[at].line.athlete and not line.steps else line


def slots_of(
    platform: PlatformSheet, starts: datetime, mark: PlatformMark | None = None
) -> list[TurnSlot]:
    """All turns from the round in progress when the plan was made, each with its true change."""
    start = first_round(platform, starts, mark)
    first = platform.on_bar if start.done_sets == platform.done_sets else None
    turns = [] if mark is not None else _finishing(platform, starts)
    return [*turns, *rechanged(_planned(platform, start), first)]


def _finishing(platform: PlatformSheet, starts: datetime) -> list[TurnSlot]:
    return [
        TurnSlot(
            last.line,
            last.set_number,
            starts + timedelta(seconds=last.begins_s),
            starts + timedelta(seconds=last.ends_s),
            is_of_plan=False,
        )
        for last in platform.finishing
    ]


def _planned(platform: PlatformSheet, start: Position) -> Iterator[TurnSlot]:
    began = start.round_began
    for number in range(start.done_sets + 1, platform.sets + 1):
        length_s, begins = platform.length_s(number), began
        lines = [found for line in platform.lifters if (found := line.in_round(number))]
        for line, ends_s in zip(lines, _ends_s(platform, lines, length_s), strict=True):
            ends = began + timedelta(seconds=ends_s)
            yield TurnSlot(line, number, begins, ends)
            begins = ends
        began += timedelta(seconds=length_s)


def rechanged(
    slots: Iterable[TurnSlot], on_bar: tuple[PlateOnBar, ...] | None
) -> Iterator[TurnSlot]:
    """The same turns, each changed from what the turn before leaves; as planned while unknown."""
    for slot in slots:
        sleeve = slot.line.sleeve
        if sleeve is None or on_bar is None:
            yield slot
        else:
            yield replace(slot, line=replace(slot.line, sleeve=sleeve.after(on_bar)))
        on_bar = sleeve.plates if sleeve is not None else None


def _ends_s(platform: PlatformSheet, lines: list[LifterLine], length_s: float) -> list[float]:
    """When each turn of a round ends, from the start of the round; the last at its end [s]."""
    if len(platform.turns_s) != len(lines) or platform.rounds_s:
        return [length_s * (place + 1) / len(lines) for place in range(len(lines))]
    ends, clock = [], 0.0
    for turn_s in platform.turns_s:
        clock += turn_s
        ends.append(min(clock, length_s))
    return [*ends[:-1], length_s]
