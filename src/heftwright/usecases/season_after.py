"""What follows the main lifts, by hand: what could stand there, pinning it, and nothing at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date

from heftwright.domain.catalogue import LiftKey, Slot
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.season.after import after_options
from heftwright.domain.season.after_pins import impossible_after_pins, reason_not_to_stand
from heftwright.domain.season.after_work import AfterPin, kind_after
from heftwright.domain.season.after_worth import setup_min_of
from heftwright.domain.season.legal import legal_rows
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.score import objective_of
from heftwright.store import plan_rows
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import verb
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.season import REPLAN_LIMIT_S, get_planned_season, start_planning
from heftwright.usecases.season_editing import Taken
from heftwright.usecases.season_planning import (
    Draft,
    PlannedSeason,
    SeasonEdits,
    problem_of,
    save,
)
from heftwright.usecases.season_refusals import SeasonCheckError, SeasonError
from heftwright.usecases.season_standing import (
    find_standing_choice,
    rules_broken_now,
    standing_choice,
)


@dataclass(frozen=True, slots=True)
class AfterChoice:
    """Something that could follow a main lift.

    Parameters
    ----------
    lift, name, kind
        What, in words.
    gain_pct : float
        What it adds to the season's worth [%].
    breaks : str
        Why it cannot stand beside what is planned, or empty; pinned, the season is planned
        around it.
    """

    lift: LiftKey
    name: str
    kind: str
    gain_pct: float
    breaks: str


@dataclass(frozen=True, slots=True)
class AfterChoices:
    """What could follow the main lift of a day.

    Parameters
    ----------
    slot, monday
        Which day.
    main_name : str
        The main lift before it.
    now, now_name : LiftKey or None, str
        What follows now.
    is_pinned : bool
        Whether that is the coach's own word.
    legal, breaking : tuple of AfterChoice
        Those that can stand as they are, best first; those that need another plan.
    taken_out : tuple of (name, reason)
        Those that cannot be there at all.
    outdated : tuple of str
        Today's rules that the season breaks as it stands: it is planned again with what is taken.
    """

    slot: Slot
    monday: date
    main_name: str
    now: LiftKey | None
    now_name: str
    is_pinned: bool
    legal: tuple[AfterChoice, ...]
    breaking: tuple[AfterChoice, ...]
    taken_out: tuple[tuple[str, str], ...]
    outdated: tuple[str, ...] = ()


def get_after_choices(*, gym: GymKey, slot: Slot, monday: date) -> AfterChoices:
    """What could follow a main lift, and what each would add.

    Raises
    ------
    NotFoundError
        If the season has no main lift there.
    SeasonError
        If the day is trained already or light.
    SeasonOutdatedError
        If the gym or a rule changed since, so that the season is none of today's.
    """
    before = get_planned_season(gym=gym)
    problem = _problem(gym, before, before.edits)
    _check_open(problem, before, slot, monday)
    chosen = standing_choice(problem, before)
    whole = max(1.0, abs(objective_of(problem).points(chosen)))
    plan = replace(problem.plan_of(chosen), after=before.plan.after)
    found = tuple(
        AfterChoice(
            option.work.lift, problem.catalogue[option.work.lift].name, option.work.kind.shown,
            100 * option.points / whole, option.breaks,
        )
        for option in after_options(problem, plan, slot, problem.week_of(monday))
    )  # fmt: skip
    now = next((item.lift for item in before.plan.after_on(slot, monday)), None)
    main = plan.on(slot, monday)
    return AfterChoices(
        slot, monday, problem.catalogue[main[0].lift].name, now,
        problem.catalogue[now].name if now is not None and now in problem.catalogue else "",
        any((pin.slot, pin.monday) == (slot, monday) for pin in before.after_pins),
        tuple(item for item in found if not item.breaks and item.lift != now),
        tuple(item for item in found if item.breaks and item.lift != now),
        tuple(_taken_out(problem, plan, slot, monday)),
        rules_broken_now(problem, legal_rows(problem), chosen),
    )  # fmt: skip


@verb
def take_after(*, gym: GymKey, by: Actor, slot: Slot, monday: date, wish: LiftKey | None) -> Taken:
    """Pin what follows a main lift; None: nothing but the rep work.

    If it has its place beside the main lifts as they are, the plan changes at once; otherwise the
    season is planned around it in the background.

    Raises
    ------
    SeasonError
        If it cannot be there at all, with the reason and the way out; or another planning runs.
    """
    check_may(by, gym, Right.PLAN_SEASON)
    version = plan_rows.latest_season_version(gym)
    before = get_planned_season(gym=gym)
    edits = _without(before.edits, slot, monday)
    edits = replace(edits, after_pins=(*edits.after_pins, AfterPin(slot, monday, wish)))
    problem = _problem(gym, before, edits)
    _check_open(problem, before, slot, monday)
    impossible = impossible_after_pins(problem)
    if impossible:
        raise SeasonError(" ".join(impossible))
    return _changed(gym, by, before, edits, version, "take_after")


@verb
def free_after(*, gym: GymKey, by: Actor, slot: Slot, monday: date) -> Taken:
    """Leave what follows a main lift to the planner again.

    Raises
    ------
    NotFoundError
        If nothing is pinned there.
    """
    check_may(by, gym, Right.PLAN_SEASON)
    version = plan_rows.latest_season_version(gym)
    before = get_planned_season(gym=gym)
    edits = _without(before.edits, slot, monday)
    if edits == before.edits:
        raise NotFoundError(f"Nothing is pinned after {slot.shown.lower()}, week of {monday}.")
    return _changed(gym, by, before, edits, version, "free_after")


def _changed(
    gym: GymKey, by: Actor, before: PlannedSeason, edits: SeasonEdits, version: int, name: str
) -> Taken:
    problem = _problem(gym, before, edits)
    chosen = None if impossible_after_pins(problem) else find_standing_choice(problem, before)
    if chosen is not None and not legal_rows(problem).broken_but_cover(chosen):
        plan = problem.plan_of(chosen, before.plan.notes)
        draft = Draft(problem, plan, before.gap_pct, edits)
        with suppress(SeasonCheckError):  # kept under other rules: planned again below
            return Taken(save(gym, by, draft, clock.today(gym), version, name))
    return Taken(job=start_planning(gym=gym, by=by, limit_s=REPLAN_LIMIT_S, edits=edits))


def _without(edits: SeasonEdits, slot: Slot, monday: date) -> SeasonEdits:
    others = tuple(p for p in edits.after_pins if (p.slot, p.monday) != (slot, monday))
    return replace(edits, after_pins=others)


def _problem(gym: GymKey, before: PlannedSeason, edits: SeasonEdits) -> SeasonProblem:
    return problem_of(Gathered(gym, clock.today(gym)), before, edits)


def _check_open(problem: SeasonProblem, before: PlannedSeason, slot: Slot, monday: date) -> None:
    work = before.plan.on(slot, monday)
    if not work or slot is Slot.IMPLEMENT:
        raise NotFoundError(f"The season has no main lift in {slot.shown}, week of {monday}.")
    if any(item.is_easy for item in work):
        raise SeasonError("A light session is short on purpose: nothing follows it.")
    if any(item in problem.done for item in work):
        raise SeasonError("That day is trained already.")


def _taken_out(
    problem: SeasonProblem, plan: SeasonPlan, slot: Slot, monday: date
) -> Iterator[tuple[str, str]]:
    day, main = problem.slot_day(slot), plan.on(slot, monday)
    has_day = problem.slot_day(Slot.IMPLEMENT) is not None
    if day is None:
        return
    setup_min = max(setup_min_of(problem.catalogue[item.lift], item) for item in main)
    for lift in problem.catalogue.values():
        if kind_after(lift, slot, has_implement_day=has_day) is None:
            continue
        why = reason_not_to_stand(problem, day, problem.week_of(monday), lift, setup_min)
        if any(item.lift == lift.key for item in main):
            why = "it is the main lift of that day"
        if why:
            yield lift.name, why
