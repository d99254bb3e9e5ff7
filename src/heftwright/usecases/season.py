"""The season: plan it, look at it, pin and forbid, and why each choice stands."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db import transaction

from heftwright.domain.catalogue import Slot
from heftwright.domain.outcome import Infeasible, Solved
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.season import SlotWork
from heftwright.domain.season.build import build_problem
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.explain import Explanation, WorkKey, explain, key_of
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Forbid, Pin, SeasonProblem
from heftwright.domain.sheet import SeasonStrip
from heftwright.domain.sheet.build_strip import season_strip
from heftwright.domain.squad import Timetable
from heftwright.store import plan_rows
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.gathering import Gathered, monday_of
from heftwright.usecases.jobs import JobHandle, job_kind, start_job
from heftwright.usecases.permissions import Right, check_may

LIMIT_S = 10.0
REPLAN_LIMIT_S = 3.0
Progress = Callable[[float, str], bool]


class SeasonError(Refusal):
    """A season that cannot be planned as asked."""


@dataclass(frozen=True, slots=True)
class PlannedSeason:
    """A season plan with what explains it, as kept.

    Parameters
    ----------
    plan : SeasonPlan
        The work, week by week.
    reasons : Mapping
        Work key -> explanation.
    strip : SeasonStrip
        The picture's values.
    pins, forbids : tuple
        What the coach fixed and ruled out.
    gap_pct : float or None
        How far from a proven bound it may be [%].
    warnings : tuple of str
        What the coach should know before trusting it.
    """

    plan: SeasonPlan
    reasons: Mapping[str, Explanation]
    strip: SeasonStrip
    pins: tuple[Pin, ...] = ()
    forbids: tuple[Forbid, ...] = ()
    gap_pct: float | None = None
    warnings: tuple[str, ...] = ()


def work_key(work: SlotWork) -> str:
    """The key of one choice in ``PlannedSeason.reasons``."""
    return _text_key(key_of(work))


def _text_key(key: WorkKey) -> str:
    slot, monday, lift = key
    return f"{monday.isoformat()}/{slot.value}/{lift}"


def find_planned_season(*, gym: GymKey) -> PlannedSeason | None:
    """The latest season plan, or None if none was made."""
    found = plan_rows.get_season_plan(gym=gym, kind=PlannedSeason)
    return found.plan if found else None


def get_planned_season(*, gym: GymKey) -> PlannedSeason:
    """The latest season plan.

    Raises
    ------
    NotFoundError
        If none was made.
    """
    found = find_planned_season(gym=gym)
    if found is None:
        raise NotFoundError(
            "No season is planned yet: plan it from Season, or `heftwright season`."
        )
    return found


def get_season(*, gym: GymKey) -> SeasonPlan:
    """The latest season's work."""
    return get_planned_season(gym=gym).plan


def get_season_strip(*, gym: GymKey) -> SeasonStrip:
    """The latest season as a picture's values."""
    return get_planned_season(gym=gym).strip


def get_season_reasons(*, gym: GymKey, work: SlotWork) -> tuple[str, ...]:
    """Why the season chose this work."""
    found = get_planned_season(gym=gym).reasons.get(work_key(work))
    return found.reasons if found else ()


@verb
def plan_season(
    *,
    gym: GymKey,
    by: Actor,
    limit_s: float = LIMIT_S,
    pins: tuple[Pin, ...] | None = None,
    forbids: tuple[Forbid, ...] | None = None,
    on_progress: Progress | None = None,
) -> SeasonStrip:
    """Plan the season from this week to the last contest in view.

    Parameters
    ----------
    limit_s : float
        Stop with the best plan so far after this time [s].
    pins, forbids : tuple or None
        None keeps those of the last plan.
    on_progress : callable or None
        Called with the share of the time used (0–1) and a sentence; answer False to stop and
        keep the best.

    Raises
    ------
    SeasonError
        If no season can be made; the sentence names what cannot hold together.
    """
    check_may(by, gym, Right.PLAN_SEASON)
    today = clock.today(gym)
    before = find_planned_season(gym=gym)
    kept_pins = pins if pins is not None else (before.pins if before else ())
    kept_forbids = forbids if forbids is not None else (before.forbids if before else ())
    problem = _problem(Gathered(gym, today), today, before, kept_pins, kept_forbids)
    plan, gap_pct = _solve(problem, limit_s, on_progress)
    draft = _Draft(problem, plan, gap_pct, kept_pins, kept_forbids)
    return _save(gym, by, today, draft)


def _problem(
    gathered: Gathered,
    today: date,
    before: PlannedSeason | None,
    pins: tuple[Pin, ...],
    forbids: tuple[Forbid, ...],
) -> SeasonProblem:
    start = monday_of(today)
    done = _done(before, gathered.timetable, today) if before else ()
    return build_problem(
        athletes=tuple(gathered.athletes.values()),
        stock=gathered.stock,
        contests=gathered.contests,
        timetable=gathered.timetable,
        catalogue=gathered.catalogue,
        start=start,
        pins=pins,
        forbids=forbids,
        done=done,
        previous=before.plan if before else None,
    )


def _done(before: PlannedSeason, timetable: Timetable, today: date) -> tuple[SlotWork, ...]:
    """Work of the season whose class day has passed; what has been done is fixed."""
    last_day = {item.slot: item.weekday for item in timetable.classes}
    return tuple(
        work
        for work in before.plan.work
        if work.monday + timedelta(days=last_day.get(work.slot, 6)) < today
    )


def _solve(
    problem: SeasonProblem, limit_s: float, on_progress: Progress | None
) -> tuple[SeasonPlan, float | None]:
    from heftwright.solve.season import solve_season  # the solver is imported only where it is used

    def told(
        best: float | None, bound: float | None, elapsed_s: float, plan: SeasonPlan | None
    ) -> bool:
        if on_progress is None:
            return True
        return on_progress(min(1.0, elapsed_s / limit_s), _progress_words(best, bound, plan))

    ended = solve_season(problem, limit_s=limit_s, on_progress=told)
    if isinstance(ended, Infeasible):
        raise SeasonError(" ".join(ended.reasons))
    plan = ended.plan if isinstance(ended, Solved) else ended.best
    if plan is None:
        raise SeasonError("No season was found in the time given: give it longer.")
    broken = check_season(problem, plan)
    if broken:
        raise SeasonError("The season did not pass its check: " + " ".join(broken[:3]))
    return plan, _gap_pct(ended.cost, ended.bound)


def _gap_pct(cost: float | None, bound: float | None) -> float | None:
    if not cost or bound is None:
        return None
    return 100 * abs(bound - cost) / abs(cost)


def _progress_words(best: float | None, bound: float | None, plan: SeasonPlan | None) -> str:
    gap = _gap_pct(best, bound)
    if plan is None and best is None:
        return "looking for a first plan"
    return "a plan is there" if gap is None else f"best so far within {gap:.1f} % of the bound"


@dataclass(frozen=True, slots=True)
class _Draft:
    problem: SeasonProblem
    plan: SeasonPlan
    gap_pct: float | None
    pins: tuple[Pin, ...]
    forbids: tuple[Forbid, ...]


def _save(gym: GymKey, by: Actor, today: date, draft: _Draft) -> SeasonStrip:
    problem, plan = draft.problem, draft.plan
    explanations = explain(problem, plan)
    with transaction.atomic():
        version = plan_rows.next_season_version(gym)
        strip = season_strip(problem, plan, explanations, today, version)
        planned = PlannedSeason(
            plan=plan,
            reasons={_text_key(key): found for key, found in explanations.items()},
            strip=strip,
            pins=draft.pins,
            forbids=draft.forbids,
            gap_pct=draft.gap_pct,
            warnings=tuple(dict.fromkeys((*problem.warnings, *plan.notes))),
        )
        plan_rows.save_season_plan(
            gym=gym, plan=planned, kind=PlannedSeason, problem_digest="", made_by=by.name
        )
        with change(gym, by, "plan_season", Right.PLAN_SEASON) as trail:
            trail.note("season", None, {"version": version, "gap_pct": draft.gap_pct})
    return strip


PLAN_JOB = "plan_season"


@job_kind(PLAN_JOB, Right.PLAN_SEASON)
def _plan_in_background(handle: JobHandle, arguments: dict[str, Any]) -> Any:
    """The work of the planning job: progress to its row, stop keeps the best."""

    def told(share: float, words: str) -> bool:
        handle.progress(share, words)
        return not handle.is_cancelled

    strip = plan_season(
        gym=handle.gym,
        by=Actor.house(handle.started_by),
        limit_s=float(arguments.get("limit_s", LIMIT_S)),
        on_progress=told,
    )
    return {"plan_version": strip.plan_version}


def start_planning(*, gym: GymKey, by: Actor, limit_s: float = LIMIT_S) -> int:
    """Plan the season in the background; returns the job, the running one if there is one."""
    return start_job(gym=gym, by=by, kind=PLAN_JOB, arguments={"limit_s": limit_s})


def pin(*, gym: GymKey, by: Actor, wish: Pin) -> SeasonStrip:
    """Fix a lift in one slot and week, and re-plan close to the last plan.

    A pin of the same slot and week takes the place of the older one.
    """
    before = get_planned_season(gym=gym)
    others = tuple(p for p in before.pins if (p.slot, p.monday) != (wish.slot, wish.monday))
    return plan_season(gym=gym, by=by, pins=(*others, wish), limit_s=REPLAN_LIMIT_S)


def unpin(*, gym: GymKey, by: Actor, slot: Slot, monday: date) -> SeasonStrip:
    """Take a pin back and re-plan.

    Raises
    ------
    NotFoundError
        If nothing is pinned there.
    """
    before = get_planned_season(gym=gym)
    others = tuple(p for p in before.pins if (p.slot, p.monday) != (slot, monday))
    if len(others) == len(before.pins):
        raise NotFoundError(f"Nothing is pinned in {slot.shown} in the week of {monday}.")
    return plan_season(gym=gym, by=by, pins=others, limit_s=REPLAN_LIMIT_S)


def forbid(*, gym: GymKey, by: Actor, wish: Forbid) -> SeasonStrip:
    """Rule a lift out for some weeks, and re-plan."""
    before = get_planned_season(gym=gym)
    return plan_season(gym=gym, by=by, forbids=(*before.forbids, wish), limit_s=REPLAN_LIMIT_S)
