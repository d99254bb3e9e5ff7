"""From a season plan and its explanations to the season strip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import groupby

from heftwright.domain.catalogue import Resistance, Slot
from heftwright.domain.contest import Contest
from heftwright.domain.dose.waves import step_for, template_for
from heftwright.domain.season.explain import Explanation
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.work import SlotWork
from heftwright.domain.sheet.season_strip import (
    ContestPost,
    SeasonStrip,
    StripBlock,
    StripLane,
    StripWeek,
)

MAX_EFFORT_STEP = {"single": 1.0, "triple": 0.92, "rep_max": 0.84}
IMPLEMENT_STEP = (0.9, 0.75)


def season_strip(
    problem: SeasonProblem,
    plan: SeasonPlan,
    explanations: Mapping[SlotWork, Explanation],
    today: date,
    version: int,
) -> SeasonStrip:
    """Build the strip.

    Parameters
    ----------
    problem, plan, explanations
        The season.
    today : date
        Marks the current week.
    version : int
        Of the plan.
    """
    weeks = tuple(
        StripWeek(plan.start + timedelta(weeks=index), problem.kinds[index].value)
        for index in range(plan.weeks)
    )
    this_week = (today - plan.start).days // 7
    lanes = tuple(
        StripLane(day.slot.value, day.slot.shown, _blocks(problem, plan, explanations, day.slot))
        for day in problem.slot_days
    )
    posts = tuple(_post(contest, plan.start) for contest in _in_view(problem, plan))
    return SeasonStrip(
        weeks, lanes, posts, this_week if 0 <= this_week < plan.weeks else None, version
    )


def _blocks(
    problem: SeasonProblem,
    plan: SeasonPlan,
    explanations: Mapping[SlotWork, Explanation],
    slot: Slot,
) -> tuple[StripBlock, ...]:
    work = sorted((w for w in plan.work if w.slot == slot), key=lambda w: (w.monday, w.lift))
    if slot is Slot.IMPLEMENT:
        return tuple(_stations(problem, plan, group) for group in _by_week(work))
    runs = groupby(work, key=lambda w: (w.monday - timedelta(weeks=w.wave_week), w.lift))
    return tuple(_block(problem, plan, explanations, list(run)) for _, run in runs)


def _by_week(work: list[SlotWork]) -> Iterator[list[SlotWork]]:
    for _, group in groupby(work, key=lambda w: w.monday):
        yield list(group)


def _block(
    problem: SeasonProblem,
    plan: SeasonPlan,
    explanations: Mapping[SlotWork, Explanation],
    run: list[SlotWork],
) -> StripBlock:
    first = run[0]
    found = next((explanations[w] for w in run if w in explanations), None)
    return StripBlock(
        week=(first.monday - plan.start).days // 7,
        weeks=len(run),
        label=problem.catalogue[first.lift].name,
        detail=_detail(first),
        steps=tuple(_step(work) for work in run),
        reasons=found.reasons if found else (),
        runner_up=found.runner_up if found else "",
        is_done=all(work in problem.done for work in run),
        is_pinned=any(_is_pinned(problem, work) for work in run),
    )


def _stations(problem: SeasonProblem, plan: SeasonPlan, group: list[SlotWork]) -> StripBlock:
    return StripBlock(
        week=(group[0].monday - plan.start).days // 7,
        weeks=1,
        label=" + ".join(problem.catalogue[work.lift].name for work in group),
        detail="stations",
        steps=(IMPLEMENT_STEP[min(group[0].scheme_step, 1)],),
        is_done=all(work in problem.done for work in group),
        is_pinned=any(_is_pinned(problem, work) for work in group),
    )


def _detail(work: SlotWork) -> str:
    if work.max_effort is not None:
        return {"single": "heavy single", "triple": "heavy triple", "rep_max": "rep max"}[
            work.max_effort
        ]
    return work.resistance.shown


def _step(work: SlotWork) -> float:
    """Height of a week's step: the share of the max at lockout, or the top set's."""
    if work.max_effort is not None:
        return MAX_EFFORT_STEP[work.max_effort]
    resistance = work.resistance if work.slot.is_dynamic else Resistance.STRAIGHT
    template = template_for(resistance, is_lower=work.slot.is_lower)
    return min(1.0, step_for(template, work.wave_week, work.wave_weeks).lockout_ratio)


def _is_pinned(problem: SeasonProblem, work: SlotWork) -> bool:
    return any(
        pin.slot == work.slot and pin.monday == work.monday and pin.lift == work.lift
        for pin in problem.pins
    )


def _in_view(problem: SeasonProblem, plan: SeasonPlan) -> list[Contest]:
    return sorted(
        (c for c in problem.contests if 0 <= (c.on - plan.start).days < 7 * plan.weeks),
        key=lambda c: (c.on, c.id),
    )


def _post(contest: Contest, start: date) -> ContestPost:
    return ContestPost(
        week=(contest.on - start).days // 7,
        weekday=contest.on.weekday(),
        name=contest.name,
        on=contest.on,
        events=tuple(event.name for event in contest.events),
        is_main=contest.squad_taper,
        entrants=len(contest.entries),
    )
