"""Rows of the body regions' budgets: a week, two days in a row, four weeks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from heftwright.domain.catalogue import Region, Slot
from heftwright.domain.season.after_pins import pinned_blocks
from heftwright.domain.season.history import block_load, past_blocks
from heftwright.domain.season.legal_row import Row, Rule
from heftwright.domain.season.problem import Floats, SeasonProblem
from heftwright.domain.season.weeks import WeekKind

TENTHS = 10
ROLLING_WEEKS = 4
Covering = Mapping[tuple[Slot, int], Sequence[int]]


def load_rows(problem: SeasonProblem, covering: Covering) -> Iterator[Row]:
    """All load rows; ``covering`` lists the columns of every slot-week."""
    return _LoadRows(problem, covering).all_rows()


class _LoadRows:
    def __init__(self, problem: SeasonProblem, covering: Covering) -> None:
        self.problem, self.covering, self.rules = problem, covering, problem.rules
        # Second lifts and event practice that were done load the body as well.
        self.done_loads: dict[tuple[Slot, int], Floats] = defaultdict(lambda: np.zeros(len(Region)))
        # What the coach pinned after main lifts will: the main lifts leave it its part.
        for block in (*past_blocks(problem), *pinned_blocks(problem)):
            cell = (block.slot, problem.week_of(block.monday))
            self.done_loads[cell] = self.done_loads[cell] + block_load(problem, block)

    def all_rows(self) -> Iterator[Row]:
        """Budgets of body regions: a week, two days in a row, four weeks."""
        week_parts = [self._week_parts(week) for week in range(self.problem.weeks)]
        for week in range(self.problem.weeks):
            ratio = 1.0
            if self.problem.kinds[week] == WeekKind.TAPER:
                ratio = self.rules.taper_week_limit
            for r, region in enumerate(Region):
                limit = self._limit(region, ratio, range(week, week + 1))
                parts = week_parts[week][r]
                yield Row(Rule.WEEK_LOAD, -np.inf, limit, parts, week, region=region)
            yield from self._two_day_rows(week)
            if week + ROLLING_WEEKS <= self.problem.weeks:
                yield from self._four_week_rows(week, week_parts[week : week + ROLLING_WEEKS])

    def _limit(self, region: Region, ratio: float, weeks: range) -> float:
        """What main work may load a region in some weeks [tenths], beside second lifts."""
        whole = TENTHS * self.rules.weekly_limit[region] * ratio
        left = whole - self._done_in(list(Region).index(region), weeks)
        if region != Region.SPINE:
            return left
        return min(left, whole * (1 - self.rules.after_spine_share))

    def _done_in(self, region: int, weeks: range) -> float:
        """What blocks that were done load a region in some weeks [tenths]."""
        return float(sum(load[region] for (_, w), load in self.done_loads.items() if w in weeks))

    def _week_parts(self, week: int) -> list[dict[int, float]]:
        exposure = self.problem.exposure_in(week)
        mine = [
            j for day in self.problem.slot_days for j in self.covering.get((day.slot, week), ())
        ]
        return [{j: float(exposure[j, r]) for j in mine if exposure[j, r]}
                for r in range(len(Region))]  # fmt: skip

    def _four_week_rows(
        self, week: int, weekly: Sequence[Sequence[dict[int, float]]]
    ) -> Iterator[Row]:
        for r, region in enumerate(Region):
            parts: dict[int, float] = defaultdict(float)
            for part in weekly:
                for j, value in part[r].items():
                    parts[j] += value
            weeks = range(week, week + ROLLING_WEEKS)
            limit = self._limit(region, self.rules.four_week_ratio, weeks)
            yield Row(Rule.FOUR_WEEKS, -np.inf, limit, dict(parts), week, region=region)

    def _two_day_rows(self, week: int) -> Iterator[Row]:
        pairs = neighbour_slots(self.problem, week)
        paired = {cell for pair in pairs for cell in pair}
        alone = [(d.slot, week) for d in self.problem.slot_days if (d.slot, week) not in paired]
        for cells in (*pairs, *((cell,) for cell in alone)):
            if cells[-1][1] < self.problem.weeks:
                yield from self._days_rows(week, cells)

    def _days_rows(self, week: int, cells: Sequence[tuple[Slot, int]]) -> Iterator[Row]:
        """One day alone, or two in a row, within the budget of two days."""
        for r, region in enumerate(Region):
            parts: dict[int, float] = defaultdict(float)
            for slot, at in cells:
                exposure = self.problem.exposure_in(at)
                for j in self.covering.get((slot, at), ()):
                    parts[j] += float(exposure[j, r])
            limit = TENTHS * self.rules.in_a_row_limit[region]
            limit -= sum(self.done_loads[cell][r] for cell in cells if cell in self.done_loads)
            kept = {j: value for j, value in parts.items() if value}
            yield Row(Rule.TWO_DAYS, -np.inf, limit, kept, week, region=region)


def neighbour_slots(
    problem: SeasonProblem, week: int
) -> list[tuple[tuple[Slot, int], tuple[Slot, int]]]:
    """Slots on days in a row (or the same day), Sunday to Monday included."""
    days = problem.slot_days
    pairs = [
        ((one.slot, week), (two.slot, week))
        for i, one in enumerate(days)
        for two in days[i + 1 :]
        if two.weekday - one.weekday <= 1
    ]
    if days and days[-1].weekday == 6 and days[0].weekday == 0:
        pairs.append(((days[-1].slot, week), (days[0].slot, week + 1)))
    return pairs
