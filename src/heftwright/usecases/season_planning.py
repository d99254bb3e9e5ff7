"""How a season is planned and kept: what it starts from, the solve, the check, the version."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from django.db import transaction

from heftwright.domain.catalogue import KitKey
from heftwright.domain.outcome import Infeasible, Solved
from heftwright.domain.season import SeasonRules, SlotWork
from heftwright.domain.season.after import with_after_work
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.build import build_problem
from heftwright.domain.season.checker import check_main_work
from heftwright.domain.season.explain import Explanation, WorkKey, explain, key_of
from heftwright.domain.season.light import (
    why_light,
    with_light_sessions,
    without_light_sessions,
)
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Forbid, Pin, SeasonProblem
from heftwright.domain.season.questions import questions_of
from heftwright.domain.season.warnings import warnings_of
from heftwright.domain.sheet import SeasonStrip
from heftwright.domain.sheet.build_strip import season_strip
from heftwright.domain.squad import Timetable
from heftwright.domain.stock import Stock
from heftwright.store import plan_rows
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change
from heftwright.usecases.gathering import Gathered, monday_of
from heftwright.usecases.permissions import Right
from heftwright.usecases.season_refusals import (
    SeasonChangedError,
    check,
    check_blocks,
    refusal_of,
    refuse,
)

Progress = Callable[[float, str], bool]
PROVEN_PCT = 0.05  # shown with one place, nothing is left of it
SHOWN_GOOD_PCT = 5.0  # a bound further off says more about the search than about the plan
WEEKS_KEPT = 8  # longer than any rule of the season looks back, but the base's nine


@dataclass(frozen=True, slots=True)
class KitAway:
    """Kit that the season must do without until it is back.

    Parameters
    ----------
    kit : KitKey
        Which, by the catalogue's key.
    units : int
        How many units are away, ≥ 1.
    """

    kit: KitKey
    units: int


@dataclass(frozen=True, slots=True)
class SeasonEdits:
    """What the coach fixed by hand.

    Parameters
    ----------
    pins, forbids : tuple
        Lifts fixed and ruled out.
    away : tuple of KitAway
        Kit to do without.
    after_pins : tuple of AfterPin
        What follows main lifts, or that nothing does.
    """

    pins: tuple[Pin, ...] = ()
    forbids: tuple[Forbid, ...] = ()
    away: tuple[KitAway, ...] = ()
    after_pins: tuple[AfterPin, ...] = ()


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
    pins, forbids, away, after_pins : tuple
        What the coach fixed, ruled out, does without, and fixed after main lifts.
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
    away: tuple[KitAway, ...] = ()
    after_pins: tuple[AfterPin, ...] = ()

    @property
    def edits(self) -> SeasonEdits:
        """What the coach fixed by hand."""
        return SeasonEdits(self.pins, self.forbids, self.away, self.after_pins)

    @property
    def gap_words(self) -> str:
        """How near the plan is to a proven bound, in a sentence.

        A bound far away says that the search was cut short, not how good the plan is.
        """
        if self.gap_pct is not None and self.gap_pct < PROVEN_PCT:
            return "Proven: no better plan exists by these rules."
        if self.gap_pct is not None and self.gap_pct <= SHOWN_GOOD_PCT:
            return f"At most {self.gap_pct:.1f} % short of the best plan by these rules."
        return (
            "This plan keeps every rule and can be trained, but the time given ended before it "
            "was shown how much better a season could be. Plan again to go on from it."
        )


@dataclass(frozen=True, slots=True)
class Draft:
    """A plan that is not kept yet, with its problem."""

    problem: SeasonProblem
    plan: SeasonPlan
    gap_pct: float | None
    edits: SeasonEdits


def work_key(work: SlotWork) -> str:
    """The key of one choice in ``PlannedSeason.reasons``."""
    return text_key(key_of(work))


def text_key(key: WorkKey) -> str:
    """A work's key as text."""
    slot, monday, lift = key
    return f"{monday.isoformat()}/{slot.value}/{lift}"


def problem_of(
    gathered: Gathered,
    before: PlannedSeason | None,
    edits: SeasonEdits,
    rules: SeasonRules | None = None,
) -> SeasonProblem:
    """The season's problem on a day, close to the plan that stands.

    What was trained stays; the season starts some weeks back, so that rules which look back hold.
    """
    today = gathered.day
    done = _done(before, gathered.timetable, today) if before else ()
    start = _start(done, today)
    return build_problem(
        athletes=tuple(gathered.athletes.values()),
        stock=without_kit(gathered.stock, edits.away),
        contests=gathered.contests,
        timetable=gathered.timetable,
        catalogue=gathered.catalogue,
        start=start,
        rules=rules,
        pins=_still_to_come(edits.pins, start),
        forbids=edits.forbids,
        done=tuple(work for work in done if work.monday >= start),
        previous=without_light_sessions(before.plan) if before else None,
        closed=gathered.closed,
        after_pins=edits.after_pins,
        travels=gathered.travels,
    )


def without_kit(stock: Stock, away: tuple[KitAway, ...]) -> Stock:
    """The stock without what is away."""
    if not away:
        return stock
    there, kit = stock.kit_units(), dict(stock.kit)
    for item in away:
        lost = min(item.units, there.get(item.kit, 0))
        kit[item.kit] = kit.get(item.kit, 0) - lost
        there[item.kit] = there.get(item.kit, 0) - lost
    return replace(stock, kit=kit)


def _still_to_come(pins: tuple[Pin, ...], start: date) -> tuple[Pin, ...]:
    return tuple(pin for pin in pins if pin.monday >= start)


def _done(before: PlannedSeason, timetable: Timetable, today: date) -> tuple[SlotWork, ...]:
    """Work of the season whose class day has passed; what has been done is fixed."""
    last_day = {item.slot: item.weekday for item in timetable.classes}
    return tuple(
        work
        for work in before.plan.work
        if work.monday + timedelta(days=last_day.get(work.slot, 6)) < today
    )


def _start(done: tuple[SlotWork, ...], today: date) -> date:
    """Some weeks back as long as training went on; this week after a long silence."""
    this_week = monday_of(today)
    if not done or max(work.monday for work in done) < this_week - timedelta(weeks=1):
        return this_week
    return max(min(work.monday for work in done), this_week - timedelta(weeks=WEEKS_KEPT))


def solve(problem: SeasonProblem, limit_s: float, on_progress: Progress | None) -> Draft:
    """A checked plan.

    Raises
    ------
    SeasonError
        If no season can be made.
    SeasonConflictError
        If it is the coach's own pins that cannot hold together.
    """
    from heftwright.solve.season import solve_season  # the solver is imported only where it is used

    def told(
        best: float | None, bound: float | None, elapsed_s: float, plan: SeasonPlan | None
    ) -> bool:
        if on_progress is None:
            return True
        return on_progress(min(1.0, elapsed_s / limit_s), _progress_words(best, bound, plan))

    ended = solve_season(problem, limit_s=limit_s, on_progress=told)
    if isinstance(ended, Infeasible):
        raise refusal_of(problem, ended.reasons)
    plan = ended.plan if isinstance(ended, Solved) else ended.best
    if plan is None:
        raise refusal_of(problem, ("No season was found in the time given: give it longer.",))
    refuse(check_main_work(problem, plan))
    return Draft(problem, plan, _gap_pct(ended.cost, ended.bound), SeasonEdits())


def _gap_pct(cost: float | None, bound: float | None) -> float | None:
    if not cost or bound is None:
        return None
    return 100 * abs(bound - cost) / abs(cost)


def _progress_words(best: float | None, bound: float | None, plan: SeasonPlan | None) -> str:
    gap = _gap_pct(best, bound)
    if plan is None and best is None:
        return "looking for a first plan"
    if gap is None or gap > SHOWN_GOOD_PCT:
        return "a plan is there, looking for a better one"
    return f"best so far within {gap:.1f} % of the bound"


def _warnings(problem: SeasonProblem, plan: SeasonPlan) -> tuple[str, ...]:
    """What the coach should know, but for what the practice after the main lifts has answered."""
    still = warnings_of(problem, plan.after)
    answered = set(problem.warnings) - set(still)
    notes = (note for note in plan.notes if note not in answered)
    return tuple(dict.fromkeys((*still, *notes, *questions_of(problem, plan))))


def planned_of(draft: Draft, today: date, version: int) -> PlannedSeason:
    """A draft with its explanations, what follows the main lifts, light sessions and strip."""
    problem = draft.problem
    told = dict(explain(problem, draft.plan))
    plan, told_after = with_after_work(problem, draft.plan)
    told |= {(item.slot, item.monday, item.lift): why for item, why in told_after.items()}
    plan = with_light_sessions(problem, plan)
    check_blocks(problem, plan)
    check(problem, plan)
    for work in plan.work:
        if work.is_easy:
            told[key_of(work)] = Explanation((why_light(problem, work),), {})
    return PlannedSeason(
        plan=plan,
        reasons={text_key(key): found for key, found in told.items()},
        strip=season_strip(problem, plan, told, today, version),
        pins=draft.edits.pins,
        forbids=draft.edits.forbids,
        gap_pct=draft.gap_pct,
        warnings=_warnings(problem, plan),
        away=draft.edits.away,
        after_pins=draft.edits.after_pins,
    )


def save(
    gym: GymKey, by: Actor, draft: Draft, today: date, expected: int, verb_name: str
) -> SeasonStrip:
    """Keep a draft under the next version.

    Raises
    ------
    SeasonChangedError
        If somebody kept another version after ``expected``.
    """
    planned = planned_of(draft, today, expected + 1)
    keep(gym, by, planned, expected, verb_name)
    return planned.strip


def keep(gym: GymKey, by: Actor, planned: PlannedSeason, expected: int, verb_name: str) -> None:
    """Keep a planned season under the version after ``expected``, with its trail."""
    with transaction.atomic():
        version = plan_rows.next_season_version(gym)
        if version != expected + 1:
            raise SeasonChangedError(
                "The season was changed while it was being planned: look at it, then plan again."
            )
        plan_rows.save_season_plan(
            gym=gym, plan=planned, kind=PlannedSeason, problem_digest="", made_by=by.name
        )
        with change(gym, by, verb_name, Right.PLAN_SEASON) as trail:
            trail.note("season", None, {"version": version, "gap_pct": planned.gap_pct})
