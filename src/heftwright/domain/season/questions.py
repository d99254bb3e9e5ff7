"""What a careful coach would ask about a plan that keeps every rule (common practice)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from heftwright.domain.catalogue import LiftKey, Pattern, Resistance, Slot
from heftwright.domain.contest import ContestEvent
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.work import SlotWork
from heftwright.domain.season.worth import is_specific

PULLS = (Pattern.DEADLIFT, Pattern.HINGE)
WEEKS_NAMED = 4
LONG_BEFORE_WEEKS = 4
"""An event's own lift untouched for so long before its contest is questioned (common practice)."""


def questions_of(problem: SeasonProblem, plan: SeasonPlan) -> tuple[str, ...]:
    """Questions, one sentence each.

    A heavy straight-weight pull early in the week and a max-effort pull later in the same week is
    questioned: both cost the same back. So is an event of a squad contest whose own lift is in
    reach and was last planned long before: the plan trades it against the other events' work.
    """
    return (*_two_pulls(problem, plan), *_long_before(problem, plan))


def _two_pulls(problem: SeasonProblem, plan: SeasonPlan) -> tuple[str, ...]:
    """At most one sentence."""
    weeks = sorted(set(_weeks_of_two_pulls(problem, plan)))
    if not weeks:
        return ()
    named = ", ".join(f"{monday:%-d %b}" for monday in weeks[:WEEKS_NAMED])
    more = f" and {len(weeks) - WEEKS_NAMED} more" if len(weeks) > WEEKS_NAMED else ""
    sentence = (
        f"Straight-weight pulls and a max-effort pull fall into the same week ({named}{more}): is "
        "that wanted? Bands, chains or a squat on one of the two days spare the back."
    )
    return (sentence,)


def _long_before(problem: SeasonProblem, plan: SeasonPlan) -> Iterator[str]:
    """Events whose own work comes last ``LONG_BEFORE_WEEKS`` or more before their contest."""
    own_work = [(item.lift, item.monday) for item in plan.work if not item.is_easy]
    own_work += [(item.lift, item.monday) for item in plan.after]
    for contest in problem.contests:
        at = problem.week_of(contest.on)
        for event in contest.events if contest.squad_taper else ():
            own = {lift for lift, _ in own_work if _is_own(problem, lift, event)}
            weeks = [at - problem.week_of(on) for lift, on in own_work if lift in own]
            left = min((ahead for ahead in weeks if ahead > 0), default=0)
            if left >= LONG_BEFORE_WEEKS:
                names = " or ".join(sorted(problem.catalogue[lift].name for lift in own))
                yield (
                    f"“{event.name}” of {contest.name}: the last {names} is {left} weeks before "
                    "it: the rules or the worth of other work kept it out since. Pin one nearer "
                    "if its entrants need it."
                )


def _is_own(problem: SeasonProblem, lift: LiftKey, event: ContestEvent) -> bool:
    return lift in problem.catalogue and is_specific(problem.catalogue[lift], event, problem.rules)


def _weeks_of_two_pulls(problem: SeasonProblem, plan: SeasonPlan) -> Iterator[date]:
    def pulls(work: SlotWork) -> bool:
        return problem.catalogue[work.lift].pattern in PULLS and not work.is_easy

    for work in plan.work:
        if work.slot != Slot.DYNAMIC_LOWER or work.resistance != Resistance.STRAIGHT:
            continue
        if pulls(work) and any(map(pulls, plan.on(Slot.MAX_EFFORT_LOWER, work.monday))):
            yield work.monday
