"""What a block after the main lift is worth, what it loads, and what the budgets have left."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta

import numpy as np

from heftwright.domain.catalogue import Lift, Region, Slot
from heftwright.domain.season.after_work import AfterWork
from heftwright.domain.season.legal_loads import ROLLING_WEEKS, TENTHS, neighbour_slots
from heftwright.domain.season.problem import Floats, SeasonProblem
from heftwright.domain.season.rules import WorkKind
from heftwright.domain.season.weeks import WeekKind
from heftwright.domain.season.work import SlotWork
from heftwright.domain.season.worth import gather_wants, tabulate

SLACK = 1e-6
_Cell = tuple[Slot, int]


class AfterWorth:
    """Doses of a block to every demand, for the athletes who may do it."""

    def __init__(self, problem: SeasonProblem) -> None:
        self._problem = problem
        placed = [(contest, problem.week_of(contest.on)) for contest in problem.contests]
        wants = gather_wants(problem.athletes, placed, problem.weeks, problem.rules)
        self._need = wants.need
        self._tables = tabulate(
            problem.catalogue, wants.demands, problem.weeks, problem.main_weeks, problem.rules
        )

    def of(self, lift: Lift, work: AfterWork) -> Floats:
        """Worth of a whole session by demand; those who may not do it get nothing."""
        week = self._problem.week_of(work.monday)
        value = self._tables.value[week, self._tables.row_of[lift.key]]
        scheme = self._tables.scheme[WorkKind.IMPLEMENT, work.scheme_step][week]
        return np.asarray(value * scheme * self._share_who_may(lift, work))

    def _share_who_may(self, lift: Lift, work: AfterWork) -> Floats:
        day = self._problem.slot_day(work.slot)
        on = work.monday + timedelta(days=day.weekday if day else 0)
        may = np.array(
            [float(athlete.is_expected_to_do(lift, on)) for athlete in self._problem.athletes]
        )
        total = self._need.sum(axis=0)
        return np.asarray((may @ self._need) / np.where(total > 0, total, 1.0))


class Budget:
    """Loads of every day, and whether one block more keeps the budgets of all regions."""

    def __init__(self, problem: SeasonProblem) -> None:
        self._problem = problem
        rules = problem.rules
        self._day: dict[_Cell, Floats] = defaultdict(lambda: np.zeros(len(Region)))
        self._weekly = np.zeros((problem.weeks, len(Region)))
        self._limit = TENTHS * np.array([rules.weekly_limit[region] for region in Region])
        self._two = TENTHS * np.array([rules.in_a_row_limit[region] for region in Region])

    def add(self, cell: tuple[Slot, int], load: Floats) -> None:
        """Count a load of a day [tenths by region]; a negative one takes it away."""
        self._day[cell] = self._day[cell] + load
        self._weekly[cell[1]] += load

    def holds(self, cell: tuple[Slot, int], load: Floats) -> bool:
        """Whether a load more keeps the day, two days in a row, the week and four weeks."""
        return self._days_hold(cell, load) and self._weeks_hold(cell[1], load)

    def _days_hold(self, cell: _Cell, load: Floats) -> bool:
        mine = self._day[cell] + load
        if (mine > self._two + SLACK).any():
            return False
        pairs = [
            pair
            for week in (cell[1] - 1, cell[1])
            for pair in neighbour_slots(self._problem, week)
            if cell in pair
        ]
        others = [second if first == cell else first for first, second in pairs]
        return not any((mine + self._day[other] > self._two + SLACK).any() for other in others)

    def _weeks_hold(self, week: int, load: Floats) -> bool:
        problem, rules = self._problem, self._problem.rules
        is_taper = problem.kinds[week] == WeekKind.TAPER
        ratio = rules.taper_week_limit if is_taper else 1.0
        if (self._weekly[week] + load > ratio * self._limit + SLACK).any():
            return False
        most = rules.four_week_ratio * self._limit + SLACK
        first = max(0, week - ROLLING_WEEKS + 1)
        last = min(week, problem.weeks - ROLLING_WEEKS)
        return not any(
            (self._weekly[at : at + ROLLING_WEEKS].sum(axis=0) + load > most).any()
            for at in range(first, last + 1)
        )


def setup_min_of(lift: Lift, work: SlotWork) -> float:
    """Minutes to set a main lift up as it is done in its slot [min]."""
    form = lift.dynamic_form(work.resistance) if work.slot.is_dynamic else None
    return form.setup_min if form else lift.setup_min
