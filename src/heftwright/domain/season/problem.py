"""The season problem: validated data, columns to choose from and their coefficients, no solver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum, StrEnum
from functools import cached_property

import numpy as np
import numpy.typing as npt
from scipy import sparse

from heftwright.domain.catalogue import (
    Catalogue,
    KitKey,
    LiftKey,
    MaxEffortScheme,
    Resistance,
    Slot,
    WeakPoint,
)
from heftwright.domain.contest import Contest, ContestEvent, Travel
from heftwright.domain.refusal import Refusal
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.plan import SeasonPlan, in_plan_order
from heftwright.domain.season.rules import MAX_EFFORT_ORDER, SeasonRules, WorkKind
from heftwright.domain.season.weeks import DAYS_A_WEEK, WeekKind, training_runs
from heftwright.domain.season.work import SlotWork
from heftwright.domain.squad import Athlete
from heftwright.domain.squad.closed import ClosedSpan

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


class SeasonProblemError(Refusal):
    """A season that cannot be planned as asked."""


class Firmness(IntEnum):
    """How firmly the coach holds to a pin; the softest is dropped first in a conflict."""

    PREFERENCE = 1
    CONTEST = 2
    RETEST = 3


class Removal(StrEnum):
    """Why a choice was taken out before solving."""

    BREAK = "break"
    FORBID = "forbid"
    LAST_HEAVY = "last_heavy"
    SETUP = "setup"
    EQUIPMENT = "equipment"
    MINUTES = "minutes"
    SCHEME = "scheme"
    AFTER = "after"

    @property
    def sentence(self) -> str:
        """Why, in a coach's words."""
        return _REMOVALS_SHOWN[self]


_REMOVALS_SHOWN = {
    Removal.BREAK: "there is no main work that week (contest or easy week)",
    Removal.FORBID: "you have ruled it out for that time",
    Removal.LAST_HEAVY: "it is too close to the contest for that lift's last heavy day",
    Removal.SETUP: "its long set-up is kept for the weeks before a squad contest",
    Removal.EQUIPMENT: "too little kit for the class, and no twin lift for the others",
    Removal.MINUTES: "set-up and work do not fit the class time",
    Removal.AFTER: "you have pinned it, or a block it leaves no time for, after the main lift",
    Removal.SCHEME: "no scheme of it is allowed in that week",
}


@dataclass(frozen=True, slots=True)
class Pin:
    """A lift the coach fixes in a slot of one week.

    Parameters
    ----------
    slot, monday, lift
        What, and in which week.
    resistance : Resistance or None
        None: whichever.
    firmness : Firmness
        A re-test is done as a single.
    """

    slot: Slot
    monday: date
    lift: LiftKey
    resistance: Resistance | None = None
    firmness: Firmness = Firmness.PREFERENCE


class ForbidPlace(StrEnum):
    """Where a lift that the coach ruled out is not wanted."""

    EVERYWHERE = "everywhere"
    AFTER = "after"

    @property
    def is_main(self) -> bool:
        """Whether it is ruled out as a main lift too."""
        return self is ForbidPlace.EVERYWHERE


@dataclass(frozen=True, slots=True)
class Forbid:
    """A lift ruled out from one week to another (both included), in one slot or all.

    Parameters
    ----------
    lift, from_monday, to_monday
        What, and in which weeks.
    slot : Slot or None
        None: all of them.
    place : ForbidPlace
        Everywhere, or only after main lifts: as second lift or event practice. What was kept
        before there was a choice means everywhere.
    """

    lift: LiftKey
    from_monday: date
    to_monday: date
    slot: Slot | None = None
    place: ForbidPlace = ForbidPlace.EVERYWHERE


@dataclass(frozen=True, slots=True)
class SlotDay:
    """A main slot as the timetable has it.

    Parameters
    ----------
    slot : Slot
        Which.
    weekday : int
        Day most of its classes are on, 0 Monday … 6.
    last_weekday : int
        Latest day of the week that a class of it is on.
    minutes : int
        Shortest of its classes [min].
    class_size : int
        Most athletes at once.
    """

    slot: Slot
    weekday: int
    last_weekday: int
    minutes: int
    class_size: int

    @property
    def kind(self) -> WorkKind:
        """Kind of day."""
        return kind_of(self.slot)


def kind_of(slot: Slot) -> WorkKind:
    """Kind of day of a slot."""
    if slot.is_dynamic:
        return WorkKind.DYNAMIC
    return WorkKind.MAX_EFFORT if slot.is_max_effort else WorkKind.IMPLEMENT


@dataclass(frozen=True, slots=True)
class Demand:
    """Something the season is asked for: a contest's event, or a weak point of the squad.

    Parameters
    ----------
    name : str
        In words.
    week : int
        Week of the contest (−1 for a weak point).
    contest : Contest or None
        Which contest; None for weak points and base work.
    event : ContestEvent or None
        Which event; None for a weak point.
    weak_point : WeakPoint or None
        Which weak point.
    weight : float
        Points per dose on the first piece.
    """

    name: str
    week: int
    contest: Contest | None
    event: ContestEvent | None
    weak_point: WeakPoint | None
    weight: float


@dataclass(frozen=True, slots=True)
class Column:
    """One choice: a max-effort or implement lift of a week, or a whole dynamic-effort wave."""

    slot: Slot
    week: int
    weeks: int
    lift: LiftKey
    resistance: Resistance
    step: int
    is_done: bool = False
    wave_week: int = 1
    wave_weeks: int = 0

    @property
    def span(self) -> range:
        """Weeks covered."""
        return range(self.week, self.week + self.weeks)

    @property
    def max_effort(self) -> MaxEffortScheme | None:
        """What a max-effort day builds up to."""
        return MAX_EFFORT_ORDER[self.step] if self.slot.is_max_effort else None


@dataclass(frozen=True, slots=True)
class Removed:
    """A choice taken out before solving, with the reason."""

    slot: Slot
    week: int
    lift: LiftKey
    resistance: Resistance
    reason: Removal


@dataclass(frozen=True)
class SeasonProblem:
    """All that a season is planned from; built by ``build_problem``.

    Parameters
    ----------
    start : date
        Monday of the first week.
    kinds : tuple of WeekKind
        Kind of each week.
    slot_days : tuple of SlotDay
        Main slots in order of the week.
    catalogue, units, athletes, contests, rules, pins, forbids, done, previous
        As given; ``units`` counts kit by key.
    demands : tuple of Demand
        What the season is asked for.
    columns : tuple of Column
        Choices, done ones first.
    removed : tuple of Removed
        Choices taken out, with reasons.
    gains : sparse matrix
        Demands × columns, hundredths of a dose.
    exposure : array
        Columns × regions × (normal week, taper week), tenths a week.
    warnings : tuple of str
        What to tell the coach before solving.
    closed : tuple of ClosedSpan
        When the gym is shut.
    after_pins : tuple of AfterPin
        What the coach fixed after main lifts.
    travels : tuple of Travel
        Days that contests abroad take their entrants out of the gym.
    """

    start: date
    kinds: tuple[WeekKind, ...]
    slot_days: tuple[SlotDay, ...]
    catalogue: Catalogue
    units: Mapping[KitKey, int]
    athletes: tuple[Athlete, ...]
    contests: tuple[Contest, ...]
    rules: SeasonRules
    pins: tuple[Pin, ...]
    forbids: tuple[Forbid, ...]
    done: tuple[SlotWork, ...]
    previous: SeasonPlan | None
    demands: tuple[Demand, ...]
    columns: tuple[Column, ...]
    removed: tuple[Removed, ...]
    gains: sparse.csc_matrix
    exposure: Ints
    warnings: tuple[str, ...]
    closed: tuple[ClosedSpan, ...] = ()
    after_pins: tuple[AfterPin, ...] = ()
    travels: tuple[Travel, ...] = ()

    @property
    def weeks(self) -> int:
        """Length [weeks]."""
        return len(self.kinds)

    @cached_property
    def runs(self) -> tuple[range, ...]:
        """Runs of training weeks."""
        return training_runs(self.kinds)

    def exposure_in(self, week: int) -> Ints:
        """Exposure of every column in a week it covers [tenths], columns × regions."""
        return self.exposure[:, :, int(self.kinds[week] == WeekKind.TAPER)]

    def monday(self, week: int) -> date:
        """First day of a week."""
        return self.start + timedelta(days=DAYS_A_WEEK * week)

    def week_of(self, day: date) -> int:
        """Index of the week that holds a day."""
        return (day - self.start).days // DAYS_A_WEEK

    def travel_to(self, contest: Contest) -> Travel | None:
        """Days of travel to a contest and home, or None."""
        return next((item for item in self.travels if item.contest == contest.id), None)

    def slot_day(self, slot: Slot) -> SlotDay | None:
        """The timetable's entry of a slot, or None if the gym has no such class."""
        return next((day for day in self.slot_days if day.slot == slot), None)

    @cached_property
    def main_weeks(self) -> tuple[int, ...]:
        """Weeks of contests that ease the whole squad, in order."""
        return tuple(sorted(self.week_of(item.on) for item in self.contests if item.squad_taper))

    def weeks_to_main(self, week: int) -> int | None:
        """Weeks until the next squad contest at or after a week, or None."""
        return next((main - week for main in self.main_weeks if main >= week), None)

    def removal_of(
        self, slot: Slot, week: int, lift: LiftKey, resistance: Resistance | None = None
    ) -> Removal | None:
        """Why a choice was taken out, answered without a solver; None if it is there."""
        for item in self.removed:
            if (item.slot, item.week, item.lift) == (slot, week, lift) and resistance in (
                None,
                item.resistance,
            ):
                return item.reason
        return None

    def plan_of(self, chosen: npt.ArrayLike, notes: tuple[str, ...] = ()) -> SeasonPlan:
        """The plan that a choice of columns (0/1) means."""
        picked = np.flatnonzero(np.asarray(chosen) > 0.5)
        work = [item for j in picked for item in self.work_of(self.columns[j])]
        return SeasonPlan(self.start, self.weeks, tuple(sorted(work, key=in_plan_order)), notes)

    def work_of(self, column: Column) -> tuple[SlotWork, ...]:
        """The work orders of a column, one a week."""
        length = column.wave_weeks or column.weeks
        return tuple(
            SlotWork(
                slot=column.slot,
                monday=self.monday(week),
                lift=column.lift,
                resistance=column.resistance,
                wave_week=column.wave_week + week - column.week,
                wave_weeks=length,
                scheme_step=0 if column.slot.is_max_effort else column.step,
                max_effort=column.max_effort,
                is_taper=self.kinds[week] == WeekKind.TAPER,
            )
            for week in column.span
        )

    def chosen_of(self, plan: SeasonPlan) -> Floats:
        """Which columns a plan uses (0/1); work that no column describes is left out."""
        wanted = set(plan.work)
        chosen = np.zeros(len(self.columns))
        for j, column in enumerate(self.columns):
            if self._column_is_in(column, wanted):
                chosen[j] = 1.0
        return chosen

    def _column_is_in(self, column: Column, wanted: set[SlotWork]) -> bool:
        return all(item in wanted for item in self.work_of(column))


def pinned_columns(problem: SeasonProblem, pin: Pin) -> list[int]:
    """Columns that would keep a pin."""
    week = problem.week_of(pin.monday)
    return [
        j
        for j, column in enumerate(problem.columns)
        if column.slot == pin.slot
        and week in column.span
        and column.lift == pin.lift
        and pin.resistance in (None, column.resistance)
        and not (pin.firmness == Firmness.RETEST and column.slot.is_max_effort and column.step)
    ]
