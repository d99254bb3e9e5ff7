"""What the coach fixed after main lifts: which blocks these are, and why one cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import numpy as np

from heftwright.domain.catalogue import Lift, Region, Slot
from heftwright.domain.season.after_work import AfterPin, AfterWork, kind_after
from heftwright.domain.season.history import block_load, is_ahead, past_blocks
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem, SlotDay
from heftwright.domain.season.reach import athletes_at_once
from heftwright.domain.season.weeks import WeekKind
from heftwright.domain.season.worth import is_specific
from heftwright.domain.squad import AthleteId

TENTHS = 10
SLACK = 1e-6


def open_after_pins(problem: SeasonProblem) -> tuple[AfterPin, ...]:
    """The pins whose day is still ahead."""
    return tuple(
        pin
        for pin in problem.after_pins
        if 0 <= problem.week_of(pin.monday) < problem.weeks
        and is_ahead(pin.slot, problem.week_of(pin.monday), problem.done, problem.start)
    )


def pinned_blocks(problem: SeasonProblem) -> tuple[AfterWork, ...]:
    """The pinned blocks that can be, in their heavier scheme: both load the same."""
    found = ((pin, block_of(problem, pin)) for pin in open_after_pins(problem))
    return tuple(block for pin, block in found if block and not reason_alone(problem, pin))


def block_of(problem: SeasonProblem, pin: AfterPin) -> AfterWork | None:
    """The block of a pin; None if nothing shall follow, or the lift does not belong there."""
    if pin.lift is None or pin.lift not in problem.catalogue:
        return None
    has_day = problem.slot_day(Slot.IMPLEMENT) is not None
    kind = kind_after(problem.catalogue[pin.lift], pin.slot, has_implement_day=has_day)
    if kind is None:
        return None
    is_taper = problem.kinds[problem.week_of(pin.monday)] == WeekKind.TAPER
    return AfterWork(pin.slot, pin.monday, pin.lift, kind, 0, is_taper)


def unplaced_pins(problem: SeasonProblem, plan: SeasonPlan) -> tuple[AfterPin, ...]:
    """Pinned blocks that found no place beside the main lifts and the other blocks of a plan."""
    return tuple(
        pin
        for pin in open_after_pins(problem)
        if pin.lift is not None
        and any(not work.is_easy for work in plan.on(pin.slot, pin.monday))
        and all(block.lift != pin.lift for block in plan.after_on(pin.slot, pin.monday))
    )


def impossible_after_pins(problem: SeasonProblem) -> tuple[str, ...]:
    """Why pinned blocks cannot be, each with the way out; empty if all of them can."""
    return tuple(_sentences(problem))


def _sentences(problem: SeasonProblem) -> Iterator[str]:
    pins = [pin for pin in open_after_pins(problem) if pin.lift is not None]
    for pin in pins:
        why = reason_alone(problem, pin)
        if why:
            yield f"{after_pin_words(problem, pin)} cannot be: {why}. Take that pin back."
    for i, one in enumerate(pins):
        for two in pins[i + 1 :]:
            if _come_too_close(problem, one, two):
                yield (
                    f"{after_pin_words(problem, one)} and {after_pin_words(problem, two)} are too "
                    "close together. Take one of the two pins back, or pin them further apart."
                )
    most = problem.rules.after_most_a_week
    for monday in sorted({pin.monday for pin in pins}):
        same = [pin for pin in pins if pin.monday == monday]
        if len(same) > most:
            names = "; ".join(after_pin_words(problem, pin) for pin in same)
            yield f"At most {most} blocks a week follow main lifts: take one back of {names}."


def after_pin_words(problem: SeasonProblem, pin: AfterPin) -> str:
    """A pin in words."""
    if pin.lift is None:
        return f"Nothing after {pin.slot.shown.lower()}, week of {pin.monday}"
    name = problem.catalogue[pin.lift].name if pin.lift in problem.catalogue else pin.lift
    return f"{name} pinned after {pin.slot.shown.lower()}, week of {pin.monday}"


def reason_alone(problem: SeasonProblem, pin: AfterPin) -> str:
    """Why a block cannot follow any main lift there, in a clause; empty if it can."""
    week, day = problem.week_of(pin.monday), problem.slot_day(pin.slot)
    if day is None or not problem.kinds[week].is_training:
        return "that day has no main lift"
    if pin.lift is None:
        return ""
    if pin.lift not in problem.catalogue:
        return "the gym has no such lift any more"
    block, lift = block_of(problem, pin), problem.catalogue[pin.lift]
    if block is None:
        return "it is no second lift or event practice of that day"
    on = pin.monday + timedelta(days=day.weekday)
    if any(span.holds(on) for span in problem.closed):
        return "the gym is shut on that day"
    wave = _wave_under_way(problem, block)
    why = reason_not_to_stand(problem, day, week, lift, _setup_min(problem, wave))
    why = why or _reason_of_load(problem, block) or _reason_of_wave(problem, block, wave)
    return why or _reason_of_pin(problem, pin)


def reason_not_to_stand(
    problem: SeasonProblem, day: SlotDay, week: int, lift: Lift, main_setup_min: float = 0.0
) -> str:
    """Why time, kit, a ban or a date keep a block out, in a clause; empty if they do not.

    Parameters
    ----------
    main_setup_min : float
        Set-up of the main lift before it [min].
    """
    rules, monday = problem.rules, problem.monday(week)
    needed_min = main_setup_min + rules.main_work_min + lift.setup_min + rules.after_min
    if needed_min > day.minutes:
        return f"{needed_min:g} min do not fit the class's {day.minutes} min"
    at_once = athletes_at_once(lift.kit, problem.units, problem.catalogue.athletes_per_unit)
    wanted_by = min(day.class_size, len(who_practises(problem, lift, monday)) or day.class_size)
    if at_once < rules.after_share * wanted_by:
        return "the kit does not serve those who need it, even in turns"
    if any(
        item.lift == lift.key
        and item.slot in (None, day.slot)
        and item.from_monday <= monday <= item.to_monday
        for item in problem.forbids
    ):
        return "you have ruled it out for that time"
    last = monday + timedelta(days=day.last_weekday)
    for contest in problem.contests:
        days = (contest.on - last).days
        if contest.squad_taper and contest.on >= monday and days < lift.last_heavy_days:
            return f"{days} days before {contest.name} is too late for it"
    return ""


def _reason_of_load(problem: SeasonProblem, block: AfterWork) -> str:
    load = block_load(problem, block)
    two_days = TENTHS * np.array([problem.rules.in_a_row_limit[region] for region in Region])
    over = [region for region, part, most in zip(Region, load, two_days, strict=True)
            if part > most + SLACK]  # fmt: skip
    return f"it alone is more than a day's budget of the {over[0]}" if over else ""


def _wave_under_way(problem: SeasonProblem, block: AfterWork) -> int | None:
    """Index of the wave that has begun and goes on to that day, which is still ahead."""
    week = problem.week_of(block.monday)
    return next(
        (
            j
            for j, column in enumerate(problem.columns)
            if column.is_done and column.slot == block.slot and week in column.span
        ),
        None,
    )


def _setup_min(problem: SeasonProblem, wave: int | None) -> float:
    if wave is None:
        return 0.0
    column = problem.columns[wave]
    lift = problem.catalogue[column.lift]
    form = lift.dynamic_form(column.resistance)
    return form.setup_min if form else lift.setup_min


def _reason_of_wave(problem: SeasonProblem, block: AfterWork, wave: int | None) -> str:
    """A wave under way goes on as it is: a block after it takes what it leaves of the day."""
    if wave is None:
        return ""
    name = problem.catalogue[problem.columns[wave].lift].name
    if problem.columns[wave].lift == block.lift:
        return "the wave under way there has it as its main lift"
    load = block_load(problem, block) + problem.exposure_in(problem.week_of(block.monday))[wave]
    for region, part in zip(Region, load, strict=True):
        if part > TENTHS * problem.rules.in_a_row_limit[region] + SLACK:
            return (
                f"with the wave of {name} under way it is more than a day's budget of the {region}"
            )
    return ""


def _reason_of_pin(problem: SeasonProblem, pin: AfterPin) -> str:
    """Against the coach's own main pin of that day, and against what was done before."""
    if any((p.slot, p.monday, p.lift) == (pin.slot, pin.monday, pin.lift) for p in problem.pins):
        return "it is pinned as that day's main lift as well"
    for past in past_blocks(problem):
        other = AfterPin(past.slot, past.monday, past.lift)
        if _come_too_close(problem, pin, other):
            return f"it was done in the week of {past.monday}, which is too short a time before"
    return ""


def _come_too_close(problem: SeasonProblem, one: AfterPin, two: AfterPin) -> bool:
    if one.lift is None or one.lift != two.lift or one.lift not in problem.catalogue:
        return False
    weeks = [problem.week_of(pin.monday) for pin in (one, two)]
    near = all(is_near_own(problem, problem.catalogue[one.lift], week) for week in weeks)
    least = problem.rules.near_gap_weeks if near else problem.rules.after_gap_weeks
    return abs(weeks[0] - weeks[1]) < least


def is_near_own(problem: SeasonProblem, lift: Lift, week: int) -> bool:
    """Whether a lift is the own work of a squad contest in that contest's last weeks."""
    return any(
        contest.squad_taper
        and 0 < problem.week_of(contest.on) - week <= problem.rules.coverage_weeks
        and any(is_specific(lift, event, problem.rules) for event in contest.events)
        for contest in problem.contests
    )


def who_practises(problem: SeasonProblem, lift: Lift, monday: date) -> frozenset[AthleteId]:
    """Entrants of contests ahead that ask for this very lift; nobody where none does.

    The others of the class go on with the rep work, so that scarce kit serves those who need it.
    """
    squad = {athlete.id for athlete in problem.athletes}
    return frozenset(
        entry.athlete
        for contest in problem.contests
        if contest.on > monday
        and any(
            event.implement in (None, lift.implement)
            and lift.transfer.get(event.family, 0.0) >= problem.rules.specific_transfer
            for event in contest.events
        )
        for entry in contest.entries
        if entry.athlete in squad
    )
