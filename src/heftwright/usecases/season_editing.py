"""Changing the season by hand: what could stand in a day's place, and what each would cost."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from heftwright.domain.catalogue import LiftKey, Resistance, Slot
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.season import SeasonRules
from heftwright.domain.season.explain import Teller
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Column, Pin, SeasonProblem
from heftwright.domain.sheet import SeasonStrip
from heftwright.store import plan_rows
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import verb
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.season import (
    REPLAN_LIMIT_S,
    edits_with_pin,
    get_planned_season,
    start_planning,
)
from heftwright.usecases.season_planning import (
    Draft,
    PlannedSeason,
    SeasonEdits,
    problem_of,
    save,
)
from heftwright.usecases.season_refusals import SeasonCheckError, SeasonError
from heftwright.usecases.season_standing import rule_words, rules_broken_now, standing_choice

# A price is what the season itself is worth less, without the price of changing it.
PRICING = replace(SeasonRules(), change_points=0.0)


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another choice in a day's (or a wave's) place.

    Parameters
    ----------
    lift, resistance
        What.
    name : str
        In words.
    cost_pct : float
        What it takes from the season's worth [%]; below 0 it would add.
    breaks : str
        The rule it breaks where it stands, or empty: then it can be taken as it is.
    """

    lift: LiftKey
    resistance: Resistance
    name: str
    cost_pct: float
    breaks: str

    @property
    def gain_pct(self) -> float:
        """What it would add to the season's worth [%]."""
        return -self.cost_pct


@dataclass(frozen=True, slots=True)
class DayChoices:
    """What could be trained instead.

    Parameters
    ----------
    slot, mondays
        Which main day, in which weeks: all those of a wave.
    lift, lift_name, plain_name
        What stands there; its name with the scheme, and without.
    legal : tuple of Alternative
        Keep every rule, the cheapest first.
    breaking : tuple of Alternative
        Break a rule as things stand; pinned, the season is planned around them.
    taken_out : tuple of (lift's name, reason)
        Cannot be had at all.
    outdated : tuple of str
        Today's rules that the season breaks as it stands: it is planned again with what is taken.
    """

    slot: Slot
    mondays: tuple[date, ...]
    lift: LiftKey
    lift_name: str
    plain_name: str
    legal: tuple[Alternative, ...]
    breaking: tuple[Alternative, ...]
    taken_out: tuple[tuple[str, str], ...]
    outdated: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of a choice: the changed strip at once, or a job that plans around it."""

    strip: SeasonStrip | None = None
    job: int | None = None


def get_choices(*, gym: GymKey, slot: Slot, monday: date, lift: LiftKey) -> DayChoices:
    """What could stand in a day's place, with the exact price of each.

    Raises
    ------
    NotFoundError
        If the season has no such work.
    SeasonError
        If it is trained already or light.
    SeasonOutdatedError
        If the gym or a rule changed since, so that the season is none of today's.
    """
    before = get_planned_season(gym=gym)
    _check_open(before, slot, monday, lift)
    place = _place(gym, before, before.edits, (slot, monday, lift))
    return _choices(place)


@verb
def take_choice(  # noqa: PLR0913 - whose season, which day, what stands there, what shall
    *,
    gym: GymKey,
    by: Actor,
    slot: Slot,
    monday: date,
    instead_of: LiftKey,
    wish: LiftKey,
    resistance: Resistance | None = None,
) -> Taken:
    """Pin another lift in a day's place.

    If it keeps every rule there, only that day (or wave) changes, at once; otherwise the season
    is planned around it in the background.

    Raises
    ------
    SeasonError
        If the day is past, or another planning runs.
    SeasonOutdatedError
        If the gym or a rule changed since, so that the season is none of today's.
    """
    check_may(by, gym, Right.PLAN_SEASON)
    version = plan_rows.latest_season_version(gym)
    before = get_planned_season(gym=gym)
    _check_open(before, slot, monday, instead_of)
    pin = Pin(slot, monday, wish, resistance)
    place = _place(gym, before, before.edits, (slot, monday, instead_of))
    edits = edits_with_pin(_edits_but(before.edits, place.mondays, slot, instead_of), pin)
    plan = _swapped(place, before, pin)
    if plan is not None:
        problem = replace(place.problem, pins=edits.pins, rules=SeasonRules())
        draft = Draft(problem, plan, before.gap_pct, edits)
        with suppress(SeasonCheckError):  # kept under other rules: planned again below
            return Taken(save(gym, by, draft, clock.today(gym), version, "take_choice"))
    return Taken(job=start_planning(gym=gym, by=by, limit_s=REPLAN_LIMIT_S, edits=edits))


@dataclass(frozen=True, slots=True)
class _Place:
    """One chosen column of a plan and what knows its rivals."""

    problem: SeasonProblem
    teller: Teller
    column: int

    @property
    def chosen(self) -> Column:
        return self.problem.columns[self.column]

    @property
    def mondays(self) -> tuple[date, ...]:
        return tuple(self.problem.monday(week) for week in self.chosen.span)


def _check_open(before: PlannedSeason, slot: Slot, monday: date, lift: LiftKey) -> None:
    work = next((w for w in before.plan.on(slot, monday) if w.lift == lift), None)
    if work is None:
        raise NotFoundError(f"The season has no {lift} in {slot.shown}, week of {monday}.")
    if work.is_easy:
        raise SeasonError("A light session follows the last lift of its day: it is not chosen.")


def _place(
    gym: GymKey, before: PlannedSeason, edits: SeasonEdits, where: tuple[Slot, date, LiftKey]
) -> _Place:
    slot, monday, lift = where
    gathered = Gathered(gym, clock.today(gym))
    wave = _wave_around(before, slot, monday, lift)
    problem = problem_of(gathered, before, _edits_but(edits, wave, slot, lift), PRICING)
    teller = Teller(problem, before.plan)
    standing_choice(problem, before)  # prices are exact only while the plan is one of the problem's
    week = problem.week_of(monday)
    found = [
        int(j)
        for j in np.flatnonzero(teller.chosen)
        if problem.columns[j].slot == slot
        and problem.columns[j].lift == lift
        and week in problem.columns[j].span
    ]
    if not found or problem.columns[found[0]].is_done:
        raise SeasonError("This work is trained already, or belongs to a wave under way.")
    return _Place(problem, teller, found[0])


def _wave_around(
    before: PlannedSeason, slot: Slot, monday: date, lift: LiftKey
) -> tuple[date, ...]:
    """Mondays of the same lift around a week: its wave, or the week alone."""
    if not slot.is_dynamic:
        return (monday,)
    mine = {w.monday for w in before.plan.work if w.slot == slot and w.lift == lift}
    return tuple(sorted(day for day in mine if abs((day - monday).days) <= 14))


def _edits_but(
    edits: SeasonEdits, mondays: tuple[date, ...], slot: Slot, lift: LiftKey
) -> SeasonEdits:
    """The edits without this place's own pins."""
    others = tuple(
        pin
        for pin in edits.pins
        if not (pin.slot == slot and pin.monday in mondays and pin.lift == lift)
    )
    return replace(edits, pins=others)


def _choices(place: _Place) -> DayChoices:
    problem, chosen = place.problem, place.chosen
    found = list(_alternatives(place))
    shown = {item.lift for item in found} | {chosen.lift}
    out = {
        item.lift: item.reason.sentence
        for item in problem.removed
        if item.slot == chosen.slot and item.week == chosen.week and item.lift not in shown
    }
    return DayChoices(
        slot=chosen.slot,
        mondays=place.mondays,
        lift=chosen.lift,
        lift_name=place.teller.named(chosen),
        plain_name=problem.catalogue[chosen.lift].name,
        legal=tuple(item for item in found if not item.breaks),
        breaking=tuple(item for item in found if item.breaks),
        taken_out=tuple((problem.catalogue[key].name, why) for key, why in out.items()),
        outdated=rules_broken_now(problem, place.teller.rows, place.teller.chosen),
    )


def _alternatives(place: _Place) -> Iterator[Alternative]:
    """The best scheme of each lift and resistance, legal ones before breaking ones."""
    teller, problem = place.teller, place.problem
    rivals = teller.rivals_of(place.column)
    points = teller.swapped_points(place.column, rivals)
    broken = teller.broken_by_swap(place.column, rivals)
    seen: set[tuple[LiftKey, Resistance]] = set()
    for k in sorted(range(len(rivals)), key=lambda k: (broken[k] is not None, -points[k])):
        column = problem.columns[rivals[k]]
        key = (column.lift, column.resistance)
        is_same = key == (place.chosen.lift, place.chosen.resistance)
        if key in seen or is_same:
            continue
        seen.add(key)
        cost = 100 * (teller.points - points[k]) / max(1.0, abs(teller.points))
        yield Alternative(*key, teller.named(column), float(cost), rule_words(broken[k]))


def _swapped(place: _Place, before: PlannedSeason, pin: Pin) -> SeasonPlan | None:
    """The plan with the pinned lift in the place, or None if a rule would break."""
    teller, problem = place.teller, place.problem
    rivals = [
        i
        for i in (*teller.rivals_of(place.column), place.column)
        if problem.columns[i].lift == pin.lift
        and pin.resistance in (None, problem.columns[i].resistance)
    ]
    if place.column in rivals:
        return problem.plan_of(teller.chosen, before.plan.notes)
    points = teller.swapped_points(place.column, rivals)
    broken = teller.broken_by_swap(place.column, rivals)
    legal = [k for k, row in enumerate(broken) if row is None]
    if not legal:
        return None
    teller.swap(place.column, rivals[max(legal, key=lambda k: points[k])])
    return problem.plan_of(teller.chosen, before.plan.notes)
