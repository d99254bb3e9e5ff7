"""The checker's own calendar: kinds of weeks, runs of waves, what is settled."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from heftwright.domain.catalogue import (
    Slot,
)
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.work import SlotWork

WEEK = timedelta(days=7)
WAVE = 3


def own_kinds(problem: SeasonProblem) -> dict[date, str]:
    """Kinds of weeks worked out again from the contests."""
    mains = {monday_of(contest.on) for contest in problem.contests if contest.squad_taper}
    mondays = [problem.start + k * WEEK for k in range(problem.weeks)]
    kinds = dict.fromkeys(mondays, "normal")
    for monday in mondays:
        if monday in mains:
            kinds[monday] = "contest"
        elif monday + WEEK in mains:
            kinds[monday] = "taper"
        elif monday - WEEK in mains:
            kinds[monday] = "easy"
    for monday in mondays:
        if is_shut(problem, monday) and kinds[monday] != "contest":
            kinds[monday] = "easy"
    if problem.rules.easy_every_weeks:
        ease_again(mondays, kinds, problem.rules.easy_every_weeks)
    return kinds


def is_shut(problem: SeasonProblem, monday: date) -> bool:
    """Whether half of a week's main days or more fall on days when the gym is shut."""
    shut = 0
    for day in problem.slot_days:
        on = monday + timedelta(days=day.weekday)
        shut += any(span.first <= on <= span.last for span in problem.closed)
    return shut > 0 and 2 * shut >= len(problem.slot_days)


def ease_again(mondays: Sequence[date], kinds: dict[date, str], every: int) -> None:
    """Lay easy weeks after so many training weeks in a row, once more from the calendar alone."""
    trained_after = 0
    for k in range(len(mondays) - 1, -1, -1):
        if kinds[mondays[k]] not in ("normal", "taper"):
            trained_after = 0
            continue
        before = 0
        while k - before - 1 >= 0 and kinds[mondays[k - before - 1]] in ("normal", "taper"):
            before += 1
        if trained_after == every and before >= WAVE:
            kinds[mondays[k]] = "easy"
            trained_after = 0
        else:
            trained_after += 1


def split_waves(work: Sequence[SlotWork]) -> list[list[SlotWork]]:
    """Runs of weeks that make one wave."""
    waves: list[list[SlotWork]] = []
    for item in sorted(work, key=lambda i: i.monday):
        last = waves[-1][-1] if waves else None
        goes_on = (
            last is not None
            and item.wave_week == last.wave_week + 1
            and item.monday == last.monday + WEEK
            and (item.lift, item.resistance, item.scheme_step, item.wave_weeks)
            == (last.lift, last.resistance, last.scheme_step, last.wave_weeks)
        )
        if goes_on:
            waves[-1].append(item)
        else:
            waves.append([item])
    return waves


def settled(done: Sequence[SlotWork], work: Sequence[SlotWork]) -> frozenset[SlotWork]:
    """Done work, and the rest of waves in progress."""
    settled = set(done)
    for item in sorted(work, key=lambda i: i.monday):
        if not item.slot.is_dynamic or item.wave_week == 1:
            continue
        for before in tuple(settled):
            if (
                before.slot == item.slot
                and before.monday == item.monday - WEEK
                and before.wave_week == item.wave_week - 1
                and (before.lift, before.resistance, before.scheme_step)
                == (item.lift, item.resistance, item.scheme_step)
            ):
                settled.add(item)
    return frozenset(settled)


def was_done(problem: SeasonProblem, slot: Slot, monday: date) -> bool:
    """Whether a slot's week has been trained."""
    return any(item.slot == slot and item.monday == monday for item in problem.done)


def is_open(problem: SeasonProblem, slot: Slot, monday: date) -> bool:
    """Whether a slot's week is still ahead."""
    last = max((item.monday for item in problem.done), default=None)
    if last is None or monday > last:
        return True
    return monday == last and not was_done(problem, slot, monday)


def monday_of(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def work_words(item: SlotWork) -> str:
    """A slot's week and lift in words."""
    return f"{item.slot.shown}, week of {item.monday}, {item.lift.replace('_', ' ')}"
