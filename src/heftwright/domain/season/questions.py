"""What a careful coach would ask about a plan that keeps every rule (common practice)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from heftwright.domain.catalogue import Pattern, Resistance, Slot
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.work import SlotWork

PULLS = (Pattern.DEADLIFT, Pattern.HINGE)
WEEKS_NAMED = 4


def questions_of(problem: SeasonProblem, plan: SeasonPlan) -> tuple[str, ...]:
    """Questions, one sentence each.

    A heavy straight-weight pull early in the week and a max-effort pull later in the same week is
    questioned: both cost the same back.
    """
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


def _weeks_of_two_pulls(problem: SeasonProblem, plan: SeasonPlan) -> Iterator[date]:
    def pulls(work: SlotWork) -> bool:
        return problem.catalogue[work.lift].pattern in PULLS and not work.is_easy

    for work in plan.work:
        if work.slot != Slot.DYNAMIC_LOWER or work.resistance != Resistance.STRAIGHT:
            continue
        if pulls(work) and any(map(pulls, plan.on(Slot.MAX_EFFORT_LOWER, work.monday))):
            yield work.monday
