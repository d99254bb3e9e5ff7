"""The choices of a season: which columns exist, and why the others were taken out."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from heftwright.domain.catalogue import EventFamily, Slot
from heftwright.domain.contest import Contest, EventStyle
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.problem import Column, Forbid, Removal, Removed
from heftwright.domain.season.reach import Gym, Option
from heftwright.domain.season.rules import (
    MAX_EFFORT_ORDER,
    SCHEMES_OF_KIND,
    SeasonRules,
    WorkKind,
)
from heftwright.domain.season.weeks import DAYS_A_WEEK, WeekKind

WAVE_WEEKS = 3
LOWER_REPS = (EventFamily.DEADLIFT_REPS, EventFamily.SQUAT)
UPPER_REPS = (EventFamily.PRESS_REPS,)


@dataclass(frozen=True, slots=True)
class Calendar:
    """Weeks and squad contests, for the choice of columns.

    Parameters
    ----------
    kinds : tuple of WeekKind
        Kind of each week.
    mains : tuple of (week, Contest)
        Contests that ease the squad, in order.
    """

    kinds: tuple[WeekKind, ...]
    mains: tuple[tuple[int, Contest], ...]

    def next_main(self, week: int) -> tuple[int, Contest] | None:
        """The next squad contest at or after a week."""
        return next((item for item in self.mains if item[0] >= week), None)

    def asks_reps(self, week: int, slot: Slot) -> bool:
        """Whether the next squad contest has a reps event on the slot's side."""
        main = self.next_main(week)
        return main is not None and has_reps_event(main[1], is_lower=slot.is_lower)


def has_reps_event(contest: Contest, *, is_lower: bool) -> bool:
    """Whether a contest has a reps event of the lower body, or of pressing."""
    wanted = LOWER_REPS if is_lower else UPPER_REPS
    return any(e.style == EventStyle.REPS and e.family in wanted for e in contest.events)


class ColumnMaker:
    """Makes the columns of one problem and keeps what was taken out."""

    def __init__(
        self, gym: Gym, calendar: Calendar, forbids: Sequence[Forbid],
        after_pins: Sequence[AfterPin] = (),
    ) -> None:  # fmt: skip
        self._gym, self._calendar, self._forbids = gym, calendar, forbids
        self._after = {(pin.slot, pin.monday): pin.lift for pin in after_pins}
        self.removed: list[Removed] = []

    def _remove(self, option: Option, week: int, reason: Removal) -> None:
        item = Removed(option.slot_day.slot, week, option.lift.key, option.resistance, reason)
        self.removed.append(item)

    def singles(self, option: Option, weeks: Sequence[int], *, has_kit: bool) -> Iterator[Column]:
        """Max-effort or implement columns of one lift, a week each."""
        for week in weeks:
            reason = self.reason_against(option, week, has_kit=has_kit)
            steps = [] if reason else self._steps(option, week)
            if not steps:
                self._remove(option, week, reason or Removal.SCHEME)
            for step in steps:
                yield Column(
                    option.slot_day.slot, week, 1, option.lift.key, option.resistance, step
                )

    def waves(
        self, option: Option, grid: Sequence[tuple[int, int]], *, has_kit: bool
    ) -> Iterator[Column]:
        """Dynamic-effort columns of one lift and resistance, a wave each."""
        for start, length in grid:
            reasons = [
                self.reason_against(option, week, has_kit=has_kit)
                for week in range(start, start + length)
            ]
            reason = next((item for item in reasons if item), None)
            if reason:
                self._remove(option, start, reason)
                continue
            for step in self._wave_steps(option, start + length - 1):
                yield Column(
                    option.slot_day.slot, start, length, option.lift.key, option.resistance, step
                )

    def reason_against(self, option: Option, week: int, *, has_kit: bool) -> Removal | None:
        """Why an option is off in a week, or None."""
        rules, slot_day = self._gym.rules, option.slot_day
        if not self._calendar.kinds[week].is_training:
            return Removal.BREAK
        if not has_kit:
            return Removal.EQUIPMENT
        if self._is_forbidden(option, week):
            return Removal.FORBID
        if self._is_past_last_heavy(option, week):
            return Removal.LAST_HEAVY
        if self._is_setup_too_long(option, week):
            return Removal.SETUP
        if rules.main_work_min and option.setup_min + _work_min(option, rules) > slot_day.minutes:
            return Removal.MINUTES
        return Removal.AFTER if self._crowds_out(option, week) else None

    def _crowds_out(self, option: Option, week: int) -> bool:
        """Whether a lift is what the coach pinned after it, or leaves that no time."""
        rules, slot_day = self._gym.rules, option.slot_day
        monday = self._gym.start + timedelta(days=DAYS_A_WEEK * week)
        after = self._after.get((slot_day.slot, monday))
        if after is None or after not in self._gym.catalogue:
            return False
        needed_min = option.setup_min + rules.main_work_min + rules.after_min
        needed_min += self._gym.catalogue[after].setup_min
        return option.lift.key == after or needed_min > slot_day.minutes

    def _is_forbidden(self, option: Option, week: int) -> bool:
        monday = self._gym.start + timedelta(days=DAYS_A_WEEK * week)
        return any(
            item.lift == option.lift.key
            and item.place.is_main
            and item.slot in (None, option.slot_day.slot)
            and item.from_monday <= monday <= item.to_monday
            for item in self._forbids
        )

    def _is_past_last_heavy(self, option: Option, week: int) -> bool:
        main = self._calendar.next_main(week)
        if option.slot_day.slot.is_dynamic or main is None:
            return False
        day = self._gym.start + timedelta(days=DAYS_A_WEEK * week + option.slot_day.last_weekday)
        return (main[1].on - day).days < option.lift.last_heavy_days

    def _is_setup_too_long(self, option: Option, week: int) -> bool:
        if option.setup_min < self._gym.rules.setup_limit_min:
            return False
        main = self._calendar.next_main(week)
        return main is None or main[0] - week > self._gym.rules.setup_window_weeks

    def _steps(self, option: Option, week: int) -> list[int]:
        kind = option.slot_day.kind
        if kind == WorkKind.IMPLEMENT:
            return list(range(SCHEMES_OF_KIND[kind]))
        is_taper = self._calendar.kinds[week] == WeekKind.TAPER
        last = len(MAX_EFFORT_ORDER) - 1
        return [
            step
            for step, scheme in enumerate(MAX_EFFORT_ORDER)
            if scheme not in option.lift.never_as and not (is_taper and step == last)
        ]

    def _wave_steps(self, option: Option, end: int) -> list[int]:
        main = self._calendar.next_main(end)
        if main is None or not self._calendar.asks_reps(end, option.slot_day.slot):
            return [0, 1]
        left = main[0] - end
        return [g for g, most in enumerate(self._gym.rules.reps_step_weeks) if left <= most]


def _work_min(option: Option, rules: SeasonRules) -> float:
    if option.slot_day.kind == WorkKind.IMPLEMENT:
        return rules.station_work_min
    return rules.main_work_min


def wave_grid(run: range) -> list[tuple[int, int]]:
    """Starts and lengths of waves that may cover a run: threes, and one short wave anywhere."""
    length, grid = len(run), []
    rest = length % WAVE_WEEKS
    for offset in range(length):
        if offset % WAVE_WEEKS in (0, rest) and offset + WAVE_WEEKS <= length:
            grid.append((run.start + offset, WAVE_WEEKS))
        if rest and offset % WAVE_WEEKS == 0 and offset + rest <= length:
            grid.append((run.start + offset, rest))
    return grid


def replanning_grid(run: range, old: Collection[tuple[int, int]]) -> list[tuple[int, int]]:
    """The grid when a plan is there: its own waves may stay, short ones may mend the ends.

    Without this, a contest moved by a week would shift every wave of the run.
    """
    grid = set(wave_grid(run))
    grid |= {(week, weeks) for week, weeks in old if week in run and week + weeks <= run.stop}
    edges = {*run[:WAVE_WEEKS], *run[-WAVE_WEEKS:]}
    grid |= {
        (week, weeks)
        for week in edges
        for weeks in range(1, WAVE_WEEKS)
        if week + weeks <= run.stop
    }
    return sorted(grid)
