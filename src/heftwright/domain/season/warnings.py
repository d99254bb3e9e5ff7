"""What to tell the coach before anything is solved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from itertools import pairwise

from heftwright.domain.catalogue import Slot
from heftwright.domain.contest import Contest, ContestEvent
from heftwright.domain.season.after_work import AfterWork
from heftwright.domain.season.history import last_done_week
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.worth import is_specific

CLOSE_CONTESTS_DAYS = 14
LEAST_DAYS_APART = 3
LEAST_TRANSFER = 0.3


def warnings_of(problem: SeasonProblem, after: Sequence[AfterWork] = ()) -> tuple[str, ...]:
    """Events nothing trains, contests too close together, contests without entrants.

    Parameters
    ----------
    problem : SeasonProblem
        Nothing has to be solved yet.
    after : sequence of AfterWork
        What follows the main lifts, once it is planned: an event practised there is trained.
    """
    return (
        *_uncovered_events(problem, after),
        *_close_contests(problem),
        *_without_entrants(problem),
        *_shut_days(problem),
        *_travel_days(problem),
        *_lower_days_close(problem),
    )


def _ahead(problem: SeasonProblem) -> tuple[Contest, ...]:
    """Contests after what has been done."""
    last = last_done_week(problem.done, problem.start)
    return tuple(c for c in problem.contests if last < 0 or problem.week_of(c.on) >= last)


def _shut_days(problem: SeasonProblem) -> Iterator[str]:
    for week, kind in enumerate(problem.kinds):
        if not kind.is_training or week < last_done_week(problem.done, problem.start):
            continue
        monday = problem.monday(week)
        for day in problem.slot_days:
            on = monday + timedelta(days=day.weekday)
            why = next((span.why for span in problem.closed if span.holds(on)), None)
            if why is not None:
                yield (
                    f"The gym is shut on {on} ({why}): {day.slot.shown.lower()} of that week falls "
                    "out. Hold it on another day, or leave it as rest."
                )


def _travel_days(problem: SeasonProblem) -> Iterator[str]:
    squad = {athlete.id for athlete in problem.athletes}
    for contest in _ahead(problem):
        travel = problem.travel_to(contest)
        away = sum(entry.athlete in squad for entry in contest.entries)
        if travel is None or not away:
            continue
        first, last = travel.days_of(contest)
        weeks = range(problem.week_of(first), problem.week_of(last) + 1)
        missed = sum(
            travel.holds(contest, problem.monday(week) + timedelta(days=day.weekday))
            for week in weeks
            for day in problem.slot_days
        )
        yield (
            f"{away} of the squad travel to {contest.name} from {first} to {last}: they miss "
            f"{missed} main day{'' if missed == 1 else 's'}, and the classes go on without them."
        )


def _lower_days_close(problem: SeasonProblem) -> Iterator[str]:
    """The trade's question about two lower days close together (common practice)."""
    heavy = problem.slot_day(Slot.MAX_EFFORT_LOWER)
    fast = problem.slot_day(Slot.DYNAMIC_LOWER)
    if heavy is None or fast is None:
        return
    days = min((heavy.weekday - fast.weekday) % 7, (fast.weekday - heavy.weekday) % 7)
    if days < LEAST_DAYS_APART:
        yield (
            f"{fast.slot.shown} and {heavy.slot.shown.lower()} are only {days} "
            f"day{'' if days == 1 else 's'} apart: keep three days between them if you can."
        )


def _uncovered_events(problem: SeasonProblem, after: Sequence[AfterWork]) -> Iterator[str]:
    for contest in _ahead(problem):
        for event in contest.events:
            sentence = _missing_work(problem, contest, event, after)
            if sentence:
                yield sentence


def _missing_work(
    problem: SeasonProblem, contest: Contest, event: ContestEvent, after: Sequence[AfterWork]
) -> str:
    week = problem.week_of(contest.on)
    lifts = {c.lift for c in problem.columns if not c.is_done and c.week < week}
    lifts |= {item.lift for item in after if problem.week_of(item.monday) < week}
    trained = [problem.catalogue[key].transfer.get(event.family, 0.0) for key in lifts]
    if max(trained, default=0.0) < LEAST_TRANSFER:
        return (
            f"Nothing in the plan can train “{event.name}” of {contest.name}: no eligible lift "
            f"carries over to it{_because(problem, event)}. Add kit, lift a ban or add a slot."
        )
    if contest.squad_taper and not any(
        is_specific(problem.catalogue[key], event, problem.rules) for key in lifts
    ):
        return (
            f"“{event.name}” of {contest.name} has no eligible lift of its own kind"
            f"{_because(problem, event)}: it is only trained through lifts that carry over."
        )
    return ""


def _because(problem: SeasonProblem, event: ContestEvent) -> str:
    gone = [
        item
        for item in problem.removed
        if is_specific(problem.catalogue[item.lift], event, problem.rules)
    ]
    if not gone:
        return ""
    names = sorted({problem.catalogue[item.lift].name for item in gone})
    reasons = sorted({item.reason.sentence for item in gone})
    return f" ({', '.join(names)}: {'; '.join(reasons)})"


def _close_contests(problem: SeasonProblem) -> Iterator[str]:
    for earlier, later in pairwise(_ahead(problem)):
        days = (later.on - earlier.on).days
        if days > CLOSE_CONTESTS_DAYS:
            continue
        if earlier.squad_taper and later.squad_taper:
            yield (
                f"{earlier.name} and {later.name} are {days} days apart: the squad eases for "
                "both, and the days between are for recovery, not for new strength."
            )
        elif earlier.squad_taper or later.squad_taper:
            main, other = (earlier, later) if earlier.squad_taper else (later, earlier)
            yield (
                f"{other.name} is {days} days from {main.name}: the squad's plan eases for "
                f"{main.name} only, and those who enter {other.name} taper within it."
            )


def _without_entrants(problem: SeasonProblem) -> Iterator[str]:
    squad = {athlete.id for athlete in problem.athletes}
    for contest in _ahead(problem):
        if not any(entry.athlete in squad for entry in contest.entries):
            yield f"Nobody is entered for {contest.name}: its events do not shape the season."
