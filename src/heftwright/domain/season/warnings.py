"""What to tell the coach before anything is solved."""

from __future__ import annotations

from collections.abc import Iterator

from heftwright.domain.contest import Contest, ContestEvent
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.worth import is_specific

CLOSE_CONTESTS_DAYS = 14
LEAST_TRANSFER = 0.3


def warnings_of(problem: SeasonProblem) -> tuple[str, ...]:
    """Events nothing trains, contests too close together, contests without entrants."""
    return (
        *_uncovered_events(problem),
        *_close_contests(problem),
        *_without_entrants(problem),
    )


def _uncovered_events(problem: SeasonProblem) -> Iterator[str]:
    for contest in problem.contests:
        for event in contest.events:
            sentence = _missing_work(problem, contest, event)
            if sentence:
                yield sentence


def _missing_work(problem: SeasonProblem, contest: Contest, event: ContestEvent) -> str:
    week = problem.week_of(contest.on)
    lifts = {c.lift for c in problem.columns if not c.is_done and c.week < week}
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
    for earlier, later in zip(problem.contests, problem.contests[1:], strict=False):
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
    for contest in problem.contests:
        if not any(entry.athlete in squad for entry in contest.entries):
            yield f"Nobody is entered for {contest.name}: its events do not shape the season."
