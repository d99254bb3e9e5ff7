"""Lays a season out as the strip that every surface shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby

from heftwright.domain.catalogue import Resistance
from heftwright.domain.season.after_work import AfterKind, AfterWork
from heftwright.domain.season.emphasis import emphasis_on
from heftwright.domain.season.explain import Explanation, WorkKey, key_of
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem, SlotDay
from heftwright.domain.season.work import SlotWork
from heftwright.domain.sheet.season_strip import (
    ContestPost,
    SeasonStrip,
    StripAfter,
    StripBlock,
    StripLane,
    StripWeek,
)

# Bar load of a wave's weeks as a ratio of the max; common practice, no source.
WAVE_STEPS = (0.50, 0.55, 0.60)
STEP_FLOOR, STEP_TOP = 0.40, 0.60
SINGLE_STEP, IMPLEMENT_STEP, EASY_STEP = 1.0, 0.8, 0.2
STEP_WORDS = {0: "many short sets", 1: "medium sets", 2: "fewer, longer sets"}
_Told = Mapping[WorkKey, Explanation]


def season_strip(
    problem: SeasonProblem, plan: SeasonPlan, explanations: _Told, today: date, version: int
) -> SeasonStrip:
    """The strip of a plan.

    Parameters
    ----------
    problem, plan, explanations
        As planned and explained.
    today : date
        For the current week's mark.
    version : int
        Of the stored plan.
    """
    week = problem.week_of(today)
    return SeasonStrip(
        weeks=tuple(
            StripWeek(problem.monday(w), kind.value, _rep_work(problem, w))
            for w, kind in enumerate(problem.kinds)
        ),
        lanes=tuple(_lane(problem, plan, explanations, day) for day in problem.slot_days),
        posts=tuple(_posts(problem)),
        this_week=week if 0 <= week < problem.weeks else None,
        plan_version=version,
        after=tuple(_after(problem, plan, explanations)),
    )


def _rep_work(problem: SeasonProblem, week: int) -> str:
    if not problem.kinds[week].is_training:
        return ""
    near_weeks = problem.rules.near_weeks
    return emphasis_on(problem.athletes, problem.contests, problem.monday(week), near_weeks).words


def _after(problem: SeasonProblem, plan: SeasonPlan, told: _Told) -> Iterator[StripAfter]:
    for item in plan.after:
        week = problem.week_of(item.monday)
        if not 0 <= week < problem.weeks:
            continue
        story = told.get((item.slot, item.monday, item.lift))
        yield StripAfter(
            week, item.slot.value, item.slot.shown, problem.catalogue[item.lift].name,
            after_words(item), story.reasons if story else (),
        )  # fmt: skip


def after_words(item: AfterWork) -> str:
    """Kind and scheme of what follows a main lift, in words."""
    words = [item.kind.shown]
    if item.kind is AfterKind.EVENT_PRACTICE:
        words.append(item.scheme_shown)
    return ", ".join([*words, *["taper volume"] * item.is_taper])


def _lane(problem: SeasonProblem, plan: SeasonPlan, told: _Told, slot_day: SlotDay) -> StripLane:
    work = [item for item in plan.work if item.slot == slot_day.slot]
    blocks = (
        _waves(work) if slot_day.slot.is_dynamic else [list(g) for _, g in groupby(work, _monday)]
    )
    return StripLane(
        slot_day.slot.value,
        slot_day.slot.shown,
        tuple(_block(problem, told, block) for block in blocks),
    )


def _monday(item: SlotWork) -> date:
    return item.monday


def _waves(work: Sequence[SlotWork]) -> list[list[SlotWork]]:
    waves: list[list[SlotWork]] = []
    for item in work:
        goes_on = waves and _same_wave(waves[-1][-1], item)
        if goes_on:
            waves[-1].append(item)
        else:
            waves.append([item])
    return waves


def _same_wave(last: SlotWork, item: SlotWork) -> bool:
    if last.is_easy or item.is_easy:
        return False
    same = (last.lift, last.resistance, last.scheme_step) == (
        item.lift,
        item.resistance,
        item.scheme_step,
    )
    return same and item.wave_week == last.wave_week + 1


def _block(problem: SeasonProblem, told: _Told, block: Sequence[SlotWork]) -> StripBlock:
    first = block[0]
    weeks = 1 + problem.week_of(block[-1].monday) - problem.week_of(first.monday)
    stories = [told[key_of(item)] for item in block if key_of(item) in told]
    names = dict.fromkeys(problem.catalogue[item.lift].name for item in block)
    return StripBlock(
        week=problem.week_of(first.monday),
        weeks=weeks,
        label=" · ".join(names),
        detail=_detail(block) if len(names) == 1 else "stations",
        steps=tuple(_steps(block, weeks)),
        reasons=tuple(dict.fromkeys(r for story in stories for r in story.reasons)),
        runner_up=stories[0].runner_up if stories else "",
        is_done=all(item in problem.done for item in block),
        is_pinned=any(_is_pinned(problem, item) for item in block),
        is_light=first.is_easy,
    )


def _detail(block: Sequence[SlotWork]) -> str:
    """The first week's words, and the taper that a wave ends in: fewer sets at its last load."""
    words, last = detail_of(block[0]), block[-1]
    if last.is_taper and not block[0].is_taper:
        words += f", taper volume in week {last.wave_week}"
    return words


def _steps(block: Sequence[SlotWork], weeks: int) -> Iterator[float]:
    first = block[0]
    if not first.slot.is_dynamic:
        if first.is_easy:
            yield from [EASY_STEP] * weeks
            return
        yield from [SINGLE_STEP if first.slot.is_max_effort else IMPLEMENT_STEP] * weeks
        return
    for item in block:
        if item.is_easy:
            yield EASY_STEP
            continue
        load = WAVE_STEPS[min(item.wave_week, len(WAVE_STEPS)) - 1]
        yield round((load - STEP_FLOOR) / (STEP_TOP - STEP_FLOOR), 3)


def detail_of(item: SlotWork) -> str:
    """Resistance and scheme of a work order in words."""
    if item.is_easy:
        return _light_words(item)
    words: list[str] = []
    if item.slot.is_dynamic:
        words += [item.resistance.shown, STEP_WORDS.get(item.scheme_step, "")]
    elif item.max_effort is not None:
        words.append(item.max_effort.value.replace("_", " "))
    else:
        words.append("heavy" if item.scheme_step == 0 else "reps or speed")
        if item.resistance != Resistance.STRAIGHT:
            words.append(item.resistance.shown)
    words += ["taper volume"] * item.is_taper
    return ", ".join(word for word in words if word)


def _light_words(item: SlotWork) -> str:
    if item.max_effort is not None:
        return "light, up to an easy triple"
    return "light, half the sets" if item.slot.is_dynamic else "light, half the runs"


def _is_pinned(problem: SeasonProblem, item: SlotWork) -> bool:
    return any(
        (pin.slot, pin.monday, pin.lift) == (item.slot, item.monday, item.lift)
        for pin in problem.pins
    )


def _posts(problem: SeasonProblem) -> Iterator[ContestPost]:
    squad = {athlete.id for athlete in problem.athletes}
    for contest in problem.contests:
        yield ContestPost(
            week=problem.week_of(contest.on),
            weekday=contest.on.weekday(),
            name=contest.name,
            on=contest.on,
            events=tuple(event.name for event in contest.events),
            is_main=contest.squad_taper,
            entrants=sum(entry.athlete in squad for entry in contest.entries),
        )
