"""The evening on the clock, in words: blocks one after another, and schemes side by side."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from heftwright.domain.dose import Scheme
from heftwright.domain.dose.schemes import factorisations
from heftwright.domain.floor.clock import S_A_MIN, SchemeClock, compare_schemes, waits
from heftwright.domain.floor.plan import FloorPlan
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.sheet.class_sheet import PlatformSheet, SchemeLine

MOST_SCHEMES = 4


def other_schemes(scheme: Scheme) -> tuple[Scheme, ...]:
    """The same repetitions in other sets, the fewest changes of reps first."""
    found = [
        option.scheme
        for option in factorisations(min(60, scheme.total_reps))
        if option.is_exact and option.scheme.reps != scheme.reps
    ]
    found.sort(key=lambda one: (abs(one.reps - scheme.reps), one.reps))
    return tuple(found[: MOST_SCHEMES - 1])


def scheme_lines(problem: FloorProblem, plan: FloorPlan) -> tuple[SchemeLine, ...]:
    """Every scheme against the clock, and which one is recommended and why."""
    if not plan.groups:
        return ()
    clocks = compare_schemes(problem, plan)
    if len(clocks) < 2:
        return ()
    return tuple(
        SchemeLine(
            clock.scheme, _scheme_words(clock, problem), clock.scheme == plan.scheme,
            clock.is_recommended,
        )
        for clock in clocks
    )  # fmt: skip


def _scheme_words(clock: SchemeClock, problem: FloorProblem) -> str:
    words = (
        f"{clock.scheme}: {clock.finish_s / S_A_MIN:.0f} min, longest rest "
        f"{clock.longest_wait_s:.0f} s, {clock.set_ups} set-ups"
    )
    if not clock.fits:
        words += f"; longer than the {problem.class_minutes:.0f} min of this slot"
    if clock.is_recommended:
        words += f"; recommended: {_why(clock, problem)}"
    return words + "."


def _why(clock: SchemeClock, problem: FloorProblem) -> str:
    if not clock.fits:
        return "none fits, this one is the shortest"
    if clock.scheme == problem.schemes[0]:
        return "what the phase asks for, and it fits"
    return "the nearest to the phase that fits"


def waiting_words(problem: FloorProblem, plan: FloorPlan) -> tuple[str, ...]:
    """Who waits long between sets; empty where nobody does."""
    names = {lifter.athlete: lifter.called for lifter in problem.lifters}
    long = [wait for wait in waits(problem, plan) if wait.is_long]
    if not long:
        return ()
    who = ", ".join(names[wait.athlete] for wait in long[:4])
    more = f" and {len(long) - 4} more" if len(long) > 4 else ""
    rest_s, asked_s = long[0].rest_s, long[0].asked_s
    verb = "rests" if len(long) == 1 else "rest"
    words = (
        f"{who}{more} {verb} up to {rest_s:.0f} s between sets, {asked_s:.0f} s were asked: "
        "keep them warm, or make the group smaller."
    )
    return (words,)


def work_up_words(platforms: Sequence[PlatformSheet]) -> tuple[str, ...]:
    """Max-effort days: plate moves all the way up; empty on other days."""
    rising = [item for item in platforms if item.rounds_s]
    if not rising:
        return ()
    moves, usual = sum(item.moves for item in rising), sum(item.usual_moves for item in rising)
    words = (
        f"{moves} plate moves on the way up to the top sets against {usual} with the same loads "
        "and the largest plates first."
    )
    return (words,)


def blocks_words(
    on: date,
    starts_at: time,
    minutes: int,
    platforms: Sequence[PlatformSheet],
    circuit_min: float,
    lift_name: str,
) -> tuple[str, ...]:
    """The evening from the first minute to the last: "18:30 warm-up, 18:40 …"."""
    if not platforms:
        return ()
    start = datetime.combine(on, starts_at)
    first_min = min(item.finish_min - item.left_s / S_A_MIN for item in platforms)
    last = max(platforms, key=lambda item: item.finish_min)
    ends_min = last.finish_min + circuit_min
    left_min = minutes - ends_min

    def at(minute: float) -> str:
        return f"{start + timedelta(minutes=round(minute)):%H:%M}"

    words = f"{at(0)} warm-up, {at(first_min)} {lift_name} until {at(last.finish_min)}"
    words += f" (platform {last.key} is last)" if len(platforms) > 1 else ""
    if circuit_min:
        words += f", then the circuit until {at(ends_min)}"
    spare = f"{left_min:.0f} min in hand" if left_min >= 0 else f"{-left_min:.0f} min too long"
    return (f"{words}; {spare} of {minutes} min.",)
