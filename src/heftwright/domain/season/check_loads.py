"""The checker's part on loads: budgets of body regions, added up as on a coach's sheet."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal

from heftwright.domain.catalogue import MaxEffortScheme, Region, Slot
from heftwright.domain.season.after_work import AfterWork
from heftwright.domain.season.check_calendar import is_open
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.work import SlotWork

SLACK = 1e-6
WEEK = timedelta(days=7)
RISE = (MaxEffortScheme.SINGLE, MaxEffortScheme.TRIPLE, MaxEffortScheme.REP_MAX)


def load_sentences(
    problem: SeasonProblem,
    plan: SeasonPlan,
    kinds: Mapping[date, str],
    settled: frozenset[SlotWork],
) -> Iterator[str]:
    """Sentences against budgets; ``settled`` work is not blamed by itself."""
    return _LoadCheck(problem, plan, kinds, settled).sentences()


class _LoadCheck:
    def __init__(
        self,
        problem: SeasonProblem,
        plan: SeasonPlan,
        kinds: Mapping[date, str],
        settled: frozenset[SlotWork],
    ) -> None:
        self.problem, self.plan, self.rules = problem, plan, problem.rules
        self.kinds, self.settled = kinds, settled

    def sentences(self) -> Iterator[str]:
        load = _day_loads(self.problem, self.plan, self.kinds)
        yield from self._main_share()
        for region in Region:
            yield from self._week_loads(load, region)
            yield from self._two_day_loads(load, region)

    def _week_loads(
        self, load: dict[tuple[date, Slot], Counter[Region]], region: Region
    ) -> Iterator[str]:
        weekly: Counter[date] = Counter()
        for (monday, _), parts in load.items():
            weekly[monday] += parts[region]
        limit = self.rules.weekly_limit[region] * 10
        for monday, kind in self.kinds.items():
            most = limit * (self.rules.taper_week_limit if kind == "taper" else 1.0)
            if weekly[monday] > most + SLACK and self._adds(region, monday, 1):
                yield f"Week of {monday}: {region} {weekly[monday] / 10:g}, most {most / 10:g}."
            four = sum(weekly[monday + k * WEEK] for k in range(4))
            most = limit * self.rules.four_week_ratio
            if (
                monday + 3 * WEEK in self.kinds
                and four > most + SLACK
                and self._adds(region, monday, 4)
            ):
                yield f"Four weeks from {monday}: {region} {four / 10:g}, most {most / 10:g}."

    def _main_share(self) -> Iterator[str]:
        """Main work leaves a share of the spine's budget to second lifts."""
        share = 1 - self.rules.after_spine_share
        spine: Counter[date] = Counter()
        main = _day_loads(self.problem, replace(self.plan, after=()), self.kinds)
        for (monday, _), parts in main.items():
            spine[monday] += parts[Region.SPINE]
        limit = self.rules.weekly_limit[Region.SPINE] * 10 * share
        fresh = [i for i in self.plan.work if i not in self.settled and not i.is_easy]
        mine = {
            i.monday for i in fresh if self.problem.catalogue[i.lift].exposure.get(Region.SPINE)
        }
        said = "main work leaves the spine no room for second lifts"
        for monday, kind in self.kinds.items() if share < 1 else ():
            most = limit * (self.rules.taper_week_limit if kind == "taper" else 1.0)
            weeks = [monday + k * WEEK for k in range(4)]
            if spine[monday] > most + SLACK and monday in mine:
                yield f"Week of {monday}: {said}."
            is_over = sum(spine[day] for day in weeks) > limit * self.rules.four_week_ratio + SLACK
            if weeks[-1] in self.kinds and is_over and mine.intersection(weeks):
                yield f"Four weeks from {monday}: {said}."

    def _adds(self, region: Region, monday: date, weeks: int) -> bool:
        work: list[SlotWork | AfterWork] = [i for i in self.plan.work if i not in self.settled]
        work += [i for i in self.plan.after if self._is_fresh(i)]
        return any(
            self.problem.catalogue[i.lift].exposure.get(region)
            for i in work
            if monday <= i.monday < monday + weeks * WEEK
        )

    def _is_fresh(self, block: AfterWork) -> bool:
        return is_open(self.problem, block.slot, block.monday)

    def _on(self, slot: Slot, monday: date) -> list[object]:
        """What stands on a day and was not settled before."""
        blocks = [i for i in self.plan.after_on(slot, monday) if self._is_fresh(i)]
        return [*(i for i in self.plan.on(slot, monday) if i not in self.settled), *blocks]

    def _two_day_loads(
        self, load: dict[tuple[date, Slot], Counter[Region]], region: Region
    ) -> Iterator[str]:
        days = {day.slot: day.weekday for day in self.problem.slot_days}
        most = self.rules.in_a_row_limit[region] * 10
        cells = sorted(load, key=lambda cell: (cell[0] + timedelta(days=days[cell[1]]), cell[1]))
        for k, (monday, slot) in enumerate(cells):
            day = monday + timedelta(days=days[slot])
            alone = load[monday, slot][region]
            if alone > most + SLACK and self._on(slot, monday):
                yield f"{day}: {region} {alone / 10:g} in one day, more than two days in a row may."
            for other_monday, other in cells[k + 1 :]:
                other_day = other_monday + timedelta(days=days[other])
                if (other_day - day).days > 1:
                    break
                both = load[monday, slot][region] + load[other_monday, other][region]
                fresh = [*self._on(slot, monday), *self._on(other, other_monday)]
                if both > most + SLACK and fresh:
                    yield (
                        f"{day} and {other_day}: {region} {both / 10:g} in two days in a row, "
                        f"most {most / 10:g}."
                    )


def _day_loads(
    problem: SeasonProblem, plan: SeasonPlan, kinds: Mapping[date, str]
) -> dict[tuple[date, Slot], Counter[Region]]:
    """Exposure of each day in whole tenths, as a coach's sheet would add it up."""
    found: dict[tuple[date, Slot], Counter[Region]] = defaultdict(Counter)
    for item in plan.work:
        if item.is_easy:
            continue  # a light session uses up no budget
        lift = problem.catalogue[item.lift]
        ease = problem.rules.taper_volume if kinds.get(item.monday) == "taper" else 1.0
        for region in Region:
            factors = (lift.exposure.get(region, 0.0), *_volume(problem, item), ease)
            exact = math.prod((Decimal(str(factor)) for factor in factors), start=Decimal(10))
            found[item.monday, item.slot][region] += int(exact.to_integral_value(ROUND_HALF_UP))
    for block in plan.after:
        lift = problem.catalogue[block.lift]
        ease = problem.rules.taper_volume if block.is_taper else 1.0
        for region in Region:
            factors = (lift.exposure.get(region, 0.0), problem.rules.after_exposure, ease)
            exact = math.prod((Decimal(str(factor)) for factor in factors), start=Decimal(10))
            found[block.monday, block.slot][region] += int(exact.to_integral_value(ROUND_HALF_UP))
    return found


def _volume(problem: SeasonProblem, item: SlotWork) -> tuple[float, ...]:
    volumes = {str(kind): steps for kind, steps in problem.rules.scheme_volume.items()}
    if item.slot.is_max_effort:
        assert item.max_effort is not None
        return (volumes["max_effort"][RISE.index(item.max_effort)],)
    if item.slot == Slot.IMPLEMENT:
        return (volumes["implement"][item.scheme_step],)
    form = problem.catalogue[item.lift].dynamic_form(item.resistance)
    recovery = form.recovery_factor if form and problem.rules.counts_recovery else 1.0
    return volumes["dynamic"][item.scheme_step], problem.rules.dynamic_exposure, recovery
