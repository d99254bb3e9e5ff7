"""The weeks of a season: contest, easy, taper and normal weeks; runs of training weeks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date
from enum import StrEnum

DAYS_A_WEEK = 7


class WeekKind(StrEnum):
    """What kind of week it is for the whole squad."""

    NORMAL = "normal"
    TAPER = "taper"
    CONTEST = "contest"
    EASY = "easy"

    @property
    def is_training(self) -> bool:
        """Whether the season plans main work in it."""
        return self in (WeekKind.NORMAL, WeekKind.TAPER)


def week_of(day: date, start: date) -> int:
    """Index of the week that holds a day; below 0 before the season's start (a Monday)."""
    return (day - start).days // DAYS_A_WEEK


def lay_weeks(
    weeks: int, main_weeks: Collection[int], easy_every: int, closed_weeks: Collection[int] = ()
) -> tuple[WeekKind, ...]:
    """Lay the kinds of weeks backwards from the squad's contests.

    Parameters
    ----------
    weeks : int
        Length of the season, ≥ 1.
    main_weeks : collection of int
        Weeks of contests that ease the whole squad.
    easy_every : int
        An easy week after so many training weeks in a row; 0: none.
    closed_weeks : collection of int
        Weeks in which the gym is shut for half of its main days or more: no main work.
    """
    kinds = [WeekKind.NORMAL] * weeks
    for week in sorted(main_weeks):
        if week + 1 < weeks:
            kinds[week + 1] = WeekKind.EASY
    for week in sorted(main_weeks):
        if week > 0 and week - 1 < weeks:
            kinds[week - 1] = WeekKind.TAPER
    for week in closed_weeks:
        kinds[week] = WeekKind.EASY
    for week in main_weeks:
        if 0 <= week < weeks:
            kinds[week] = WeekKind.CONTEST
    if easy_every:
        for run in training_runs(kinds):
            _ease_long_run(kinds, run, easy_every)
    return tuple(kinds)


def _ease_long_run(kinds: list[WeekKind], run: range, easy_every: int) -> None:
    week = run.stop - 1 - easy_every
    # An easy week with fewer than three training weeks before it would rest nobody.
    while week - run.start >= 3:
        kinds[week] = WeekKind.EASY
        week -= easy_every + 1


def training_runs(kinds: Sequence[WeekKind]) -> tuple[range, ...]:
    """Maximal runs of weeks with main work."""
    runs: list[range] = []
    first: int | None = None
    for week, kind in enumerate([*kinds, WeekKind.CONTEST]):
        if kind.is_training and first is None:
            first = week
        elif not kind.is_training and first is not None:
            runs.append(range(first, week))
            first = None
    return tuple(runs)
