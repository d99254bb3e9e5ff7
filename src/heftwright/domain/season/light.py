"""Light sessions of contest and easy weeks: whoever comes all the same does not train hard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from heftwright.domain.catalogue import MaxEffortScheme, Resistance, Slot
from heftwright.domain.season.history import is_ahead
from heftwright.domain.season.plan import SeasonPlan, in_plan_order
from heftwright.domain.season.problem import SeasonProblem, SlotDay
from heftwright.domain.season.weeks import WeekKind
from heftwright.domain.season.work import SlotWork

_WHY = {
    WeekKind.CONTEST: "Contest week: light, and those who compete rest from three days before.",
    WeekKind.EASY: "Easy week: light, to recover from what came before.",
}


def with_light_sessions(problem: SeasonProblem, plan: SeasonPlan) -> SeasonPlan:
    """A checked plan with light sessions in the weeks that have no main work.

    The rules of the season are about main work; a light session uses up no budget and counts for
    no rule (common practice, no source). Light sessions already done stay as they were.
    """
    done = tuple(item for item in problem.done if item.is_easy)
    light = (*done, *_sessions(problem, plan))
    return replace(plan, work=tuple(sorted((*plan.work, *light), key=in_plan_order)))


def without_light_sessions(plan: SeasonPlan) -> SeasonPlan:
    """The plan's main work alone, which the rules are about."""
    return replace(plan, work=tuple(item for item in plan.work if not item.is_easy))


def why_light(problem: SeasonProblem, work: SlotWork) -> str:
    """Why a session is light, in a sentence."""
    return _WHY.get(problem.kinds[problem.week_of(work.monday)], "")


def light_session(work: Sequence[SlotWork], slot: Slot, monday: date) -> SlotWork | None:
    """The slot's last lift before a week, straight and easy; the next one if none came before.

    Parameters
    ----------
    work : sequence of SlotWork
        The season's work.
    slot, monday
        Which session; None if the slot has no main work at all.
    """
    mine = [item for item in work if item.slot == slot and not item.is_easy]
    before = [item for item in mine if item.monday < monday]
    if not mine:
        return None
    near = max(before, key=_monday) if before else min(mine, key=_monday)
    top = MaxEffortScheme.TRIPLE if near.max_effort is not None else None
    return replace(
        near, monday=monday, resistance=Resistance.STRAIGHT, wave_week=1, wave_weeks=1,
        max_effort=top, is_taper=False, is_easy=True,
    )  # fmt: skip


def _monday(item: SlotWork) -> date:
    return item.monday


def _sessions(problem: SeasonProblem, plan: SeasonPlan) -> Iterator[SlotWork]:
    for week, kind in enumerate(problem.kinds):
        if kind.is_training:
            continue
        for day in problem.slot_days:
            if _falls_out(problem, day, week):
                continue
            found = light_session(plan.work, day.slot, problem.monday(week))
            if found is not None:
                yield found


def _falls_out(problem: SeasonProblem, day: SlotDay, week: int) -> bool:
    if not is_ahead(day.slot, week, problem.done, problem.start):
        return True
    on = problem.monday(week) + timedelta(days=day.weekday)
    is_contest = any(contest.squad_taper and contest.on == on for contest in problem.contests)
    return is_contest or any(span.holds(on) for span in problem.closed)
