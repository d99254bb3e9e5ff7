"""Whose turn it is by the plan's clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from heftwright.domain.mass import Mass
from heftwright.domain.sheet import LifterLine, PlatformSheet


class Phase(StrEnum):
    """Where a platform stands in the class."""

    BEFORE = "before"
    LIFTING = "lifting"
    OVER = "over"


@dataclass(frozen=True, slots=True)
class Turn:
    """One moment of a platform.

    Parameters
    ----------
    phase : Phase
        Before the first set, lifting, or over.
    now, next_up : LifterLine or None
        Who lifts and who follows; before the first set ``now`` is the first lifter.
    set_number, sets : int
        Which set of how many this turn is.
    changes_at : datetime
        When this turn ends, or the first one starts; when the platform was done if over.
    """

    phase: Phase
    now: LifterLine | None
    next_up: LifterLine | None
    set_number: int
    sets: int
    changes_at: datetime

    @property
    def load(self) -> Mass | None:
        """What is on the bar this turn: on a max-effort day the work-up's step."""
        return None if self.now is None else self.now.load_of_set(self.set_number)

    @property
    def is_work_up(self) -> bool:
        """Whether this set is lighter than the top one that the sleeve picture shows."""
        return self.now is not None and self.load != self.now.load

    @property
    def next_load(self) -> Mass | None:
        """What the next lifter has in the work-up; None where the change is told instead."""
        if self.now is None or self.next_up is None:
            return None
        if not (self.now.ladder or self.next_up.ladder):
            return None
        return self.next_up.load_of_set(self.set_number)


def turn_at(platform: PlatformSheet, class_starts: datetime, now: datetime) -> Turn:
    """The platform's turn at ``now``: turns share a round evenly, rounds end at the finish."""
    lifters = platform.lifters
    sets = max((line.scheme.sets for line in lifters), default=0)
    over_at = class_starts + timedelta(minutes=platform.finish_min)
    if not lifters or now >= over_at:
        return Turn(Phase.OVER, None, None, sets, sets, over_at)
    begins = over_at - timedelta(seconds=platform.round_s * sets)
    if now < begins:
        return Turn(Phase.BEFORE, lifters[0], _after(lifters, 0), 1, sets, begins)
    return _turn_within(platform, sets, begins, now)


def _turn_within(platform: PlatformSheet, sets: int, begins: datetime, now: datetime) -> Turn:
    lifters = platform.lifters
    turn_s = platform.round_s / len(lifters)
    gone = int((now - begins).total_seconds() // turn_s)
    if begins + timedelta(seconds=turn_s * (gone + 1)) <= now:
        gone += 1  # the float division fell just short of a turn's end
    gone = min(gone, sets * len(lifters) - 1)
    done_sets, index = divmod(gone, len(lifters))
    ends = begins + timedelta(seconds=turn_s * (gone + 1))
    is_last = gone == sets * len(lifters) - 1
    follows = None if is_last else _after(lifters, index)
    return Turn(Phase.LIFTING, lifters[index], follows, done_sets + 1, sets, ends)


def _after(lifters: tuple[LifterLine, ...], index: int) -> LifterLine | None:
    return lifters[(index + 1) % len(lifters)] if len(lifters) > 1 else None
