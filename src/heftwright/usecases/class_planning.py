"""Planning one dated class: from the season's order to the sheet. Pure of rows and requests."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from heftwright.domain.dose import Scheme
from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.problem import STRAIGHT
from heftwright.domain.floor.tonight import TonightsFloor
from heftwright.domain.prescription.ask import Evening
from heftwright.domain.prescription.event_practice import station_line
from heftwright.domain.prescription.prescribe import (
    class_scheme,
)
from heftwright.domain.resistance.chooser import possible_setups
from heftwright.domain.season import SlotWork
from heftwright.domain.sheet import ClassSheet, PlatformSheet, Unplaced
from heftwright.domain.sheet.assemble import Assembly, assemble
from heftwright.domain.sheet.class_sheet import CLOSING_CAUTION, MAX_EFFORT_CAUTION
from heftwright.domain.sheet.evening import (
    blocks_words,
    other_schemes,
    scheme_lines,
    waiting_words,
    work_up_words,
)
from heftwright.domain.sheet.going_on import Begun, Changed, begun_after
from heftwright.domain.sheet.planned import PlannedClass
from heftwright.domain.sheet.rig_cautions import rig_cautions
from heftwright.domain.squad import AthleteId
from heftwright.usecases.after_main import after_main_lines
from heftwright.usecases.class_asks import asks_of, freed_of_bands, twin_for, wanted_of
from heftwright.usecases.class_order import ClassOrder
from heftwright.usecases.floor_solving import (
    Change,
    FloorAsk,
    PlannedFloor,
    change_class_floor,
    circuit_min,
    floor_of,
    solve_class_floor,
    stock_tonight,
    without_refused,
)
from heftwright.usecases.gathering import Gathered

NOT_FINISHED_WORDS = (
    "The planner stopped at its time limit: planning again may find a bar for whoever has none."
)


def plan_floor_of_class(
    order: ClassOrder,
    gathered: Gathered,
    *,
    planned_at: datetime,
    previous: FloorPlan | None = None,
    change: Change | None = None,
) -> PlannedClass:
    """Plan a class whose main work is a bar lift.

    Parameters
    ----------
    order : ClassOrder
        What is wanted.
    gathered : Gathered
        The gym on that day.
    planned_at : datetime
        Aware.
    previous : FloorPlan or None
        A plan to stay close to.
    change : callable or None
        (problem, plan so far) -> plan: one change by hand in the place of planning anew.
    """
    made = _plan(order, gathered, planned_at, previous, change)
    left = _without_bar(made)
    is_settled = order.running is not None or change is not None
    if not left or is_settled or twin_for(order, gathered) is None:
        return made
    twinned = _plan(replace(order, gives_way=left), gathered, planned_at, previous, None)
    return twinned if len(_without_bar(twinned)) < len(left) else made


def _unfinished_words(made: PlannedFloor) -> tuple[str, ...]:
    """Where somebody has no bar and that was not shown to be the best, the coach may ask again."""
    if made.is_proven or not made.plan.unplaced:
        return ()
    return (NOT_FINISHED_WORDS,)


def _without_bar(made: PlannedClass) -> frozenset[AthleteId]:
    return frozenset(athlete for athlete, _ in made.floor.unplaced) if made.floor else frozenset()


def _plan(
    order: ClassOrder,
    gathered: Gathered,
    planned_at: datetime,
    previous: FloorPlan | None,
    change: Change | None,
) -> PlannedClass:
    work = order.work[0]
    scheme = order.tonight.scheme or class_scheme(work, gathered.waves)
    stock = stock_tonight(gathered.stock, order.tonight)
    evening = Evening(
        order.on, scheme, possible_setups(stock, order.on), gathered.settings.policy,
        gathered.waves,
    )  # fmt: skip
    asks, missing = asks_of(order, gathered, work)
    evening = evening.for_all(asks)
    wanted = [wanted_of(ask, evening, order) for ask in asks]
    if order.running is not None or change is not None:
        wanted = freed_of_bands(_straight(previous), asks, wanted, evening) or wanted
    ask = _floor_ask(order, previous)
    schemes = _schemes(work, gathered, scheme)
    floor = floor_of(wanted, gathered, ask, scheme, schemes)
    made = _made(floor, ask, change)
    for left in _to_free(made.plan, previous) if change is None else ():
        freed = freed_of_bands(left, asks, wanted, evening)
        if freed:
            again = replace(ask, previous=previous or made.plan)
            found = solve_class_floor(floor_of(freed, gathered, again, scheme, schemes), again)
            if _trouble(found.plan, previous) < _trouble(made.plan, previous):
                wanted, made = freed, found
    parts = Assembly(
        order.on, {item.athlete: item for item in wanted}, gathered.athletes, gathered.stock,
        gathered.catalogue, made.floor, order.unit, gathered.settings.zones,
        begun=_begun(order, made.plan, previous), warm_up_min=order.terms.warm_up_min,
        newcomers=_newcomers(order, previous), overrides=gathered.overrides,
        keeps_scheme=order.tonight.scheme is not None,
    )  # fmt: skip
    platforms, unplaced = assemble(made.plan, parts)
    lifted = without_refused(made, {who.athlete for who in unplaced})
    told = work_up_words(platforms) or lifted.words[:1]
    words = (
        *_clock_words(order, gathered, platforms), *told, *lifted.words[1:],
        *waiting_words(made.floor.problem, lifted.plan), *_unfinished_words(made),
    )  # fmt: skip
    is_open = order.running is None
    sheet = replace(
        _sheet(order, gathered, platforms, (*unplaced, *missing), words),
        schemes=scheme_lines(made.floor.problem, made.plan) if is_open else (),
        planned_at=planned_at, saved_words=_saved_words(platforms) or lifted.saved_words,
    )  # fmt: skip
    return PlannedClass(sheet, made.plan, order.work, order.present, order.set_loads, order.tonight)


def _made(floor: TonightsFloor, ask: FloorAsk, change: Change | None) -> PlannedFloor:
    if change is not None:
        return change_class_floor(floor, ask, change)
    return solve_class_floor(floor, ask)


def _straight(previous: FloorPlan | None) -> set[AthleteId]:
    """Who lifts straight weight so far: they stay with it in a running class, and by hand."""
    groups = previous.groups if previous else ()
    return {who for group in groups if group.set_up == STRAIGHT for who in group.athletes}


def _newcomers(order: ClassOrder, previous: FloorPlan | None) -> frozenset[AthleteId]:
    if previous is None:
        return frozenset()
    known = {athlete for group in previous.groups for athlete in group.athletes}
    return frozenset(order.present) - known


def _saved_words(platforms: tuple[PlatformSheet, ...]) -> str:
    """Max-effort days: moves all the way up and what is saved; empty on other days."""
    if not any(item.rounds_s for item in platforms):
        return ""
    moves, usual = (
        sum(item.moves for item in platforms),
        sum(item.usual_moves for item in platforms),
    )
    return f"{moves} plate moves, {max(0, usual - moves)} saved"


def _to_free(plan: FloorPlan, previous: FloorPlan | None) -> list[set[AthleteId]]:
    """Who gets straight weight where bands are short: newcomers before those who stand already."""
    left = {athlete for athlete, _ in plan.unplaced}
    if previous is None or _trouble(plan, previous) == (0, 0):
        return [left]
    settled = {athlete for group in previous.groups for athlete in group.athletes}
    everybody = {athlete for group in plan.groups for athlete in group.athletes} | left
    return [everybody - settled, left]


def _trouble(plan: FloorPlan, previous: FloorPlan | None) -> tuple[int, int]:
    """People without a bar; people moved and platforms rigged anew against the plan before."""
    was = {group.platform: group for group in previous.groups} if previous else {}
    moved = 0
    for key, before in was.items():
        here = next((group for group in plan.groups if group.platform == key), None)
        present = [athlete for athlete in before.athletes if plan.turn_of(athlete)]
        moved += sum(here is None or athlete not in here.athletes for athlete in present)
        moved += here is not None and here.set_up != before.set_up
    return len(plan.unplaced), moved


def _floor_ask(order: ClassOrder, previous: FloorPlan | None) -> FloorAsk:
    running = order.running
    return FloorAsk(
        order.on, order.class_time.minutes, order.terms, order.wishes, order.tonight, previous,
        running.done_rounds if running is not None else None, order.is_settled,
    )  # fmt: skip


def _schemes(work: SlotWork, gathered: Gathered, chosen: Scheme) -> tuple[Scheme, ...]:
    """The phase's own scheme first, then other ways to split its repetitions."""
    own = class_scheme(work, gathered.waves)
    if work.max_effort is not None:
        return (chosen,)
    found = (own, *other_schemes(own))
    return found if chosen in found else (*found, chosen)


def _begun(order: ClassOrder, plan: FloorPlan, previous: FloorPlan | None) -> Mapping[str, Begun]:
    """Where each platform goes on; empty before the class began."""
    running = order.running
    if running is None:
        return {}
    changed = _changed(running.platforms, plan, previous)
    begun = begun_after(running.platforms, changed, running.clock, running.now)
    late = (running.now - running.clock.started_at).total_seconds()
    fresh = Begun(min((item.done_sets for item in begun.values()), default=0), late, on_bar=())
    return {group.platform: begun.get(group.platform, fresh) for group in plan.groups}


def _changed(
    platforms: Sequence[PlatformSheet], plan: FloorPlan, previous: FloorPlan | None
) -> dict[str, Changed]:
    """Platforms whose group, stacks, order or bands are not as they were."""
    was = {group.platform: group for group in previous.groups} if previous else {}
    now = {group.platform: group for group in plan.groups}
    changed = {}
    for key in (item.key for item in platforms):
        here, before = now.get(key), was.get(key)
        if here is None or before is None:
            changed[key] = Changed((), is_rig_kept=True)
        elif not _is_same(here, before):
            staying = here.athletes & before.athletes
            changed[key] = Changed(staying, is_rig_kept=here.set_up == before.set_up)
    return changed


def _is_same(group: GroupPlan, was: GroupPlan) -> bool:
    if was.set_up != group.set_up:
        return False
    mine = [(turn.athlete, turn.stack) for turn in group.order]
    return mine == [(turn.athlete, turn.stack) for turn in was.order]


def _clock_words(
    order: ClassOrder, gathered: Gathered, platforms: tuple[PlatformSheet, ...]
) -> tuple[str, ...]:
    time = order.class_time
    lift = gathered.catalogue[order.work[0].lift].name
    return blocks_words(
        order.on, time.starts_at, time.minutes, platforms, circuit_min(time.minutes), lift
    )


def plan_stations_of_class(
    order: ClassOrder, gathered: Gathered, *, planned_at: datetime
) -> PlannedClass:
    """Plan an implement day: stations in words, everybody at each in turn."""
    lines = tuple(
        station_line(work, gathered.catalogue[work.lift], gathered.contests, gathered.stock)
        for work in order.work
    )
    words = ("Everybody at every station in turn; the longest set-up first.",)
    sheet = replace(_sheet(order, gathered, (), (), words), rep_work=lines, planned_at=planned_at)
    return PlannedClass(sheet, None, order.work, order.present, (), order.tonight)


def _sheet(
    order: ClassOrder,
    gathered: Gathered,
    platforms: tuple[PlatformSheet, ...],
    unplaced: Sequence[Unplaced],
    words: tuple[str, ...],
) -> ClassSheet:
    work, class_time = order.work[0], order.class_time
    return ClassSheet(
        gym=order.gym_name, class_key=class_time.key, coach=class_time.coach, on=order.on,
        starts_at=class_time.starts_at, minutes=class_time.minutes,
        slot_name=class_time.slot.shown, lift_name=gathered.catalogue[work.lift].name,
        wave_words=wave_words(work), why=order.why, platforms=platforms,
        unplaced=tuple(unplaced), rep_work=after_main_lines(order, gathered), floor_words=words,
        plan_version=0, planned_at=datetime.min,  # noqa: DTZ901 - both are set by the caller at once
        caution=_caution(work, [platform.rig for platform in platforms]),
    )  # fmt: skip


def _caution(work: SlotWork, rigs: Sequence[str]) -> str:
    said = [
        *rig_cautions(rigs),
        *([MAX_EFFORT_CAUTION] if work.max_effort is not None else []),
        CLOSING_CAUTION,
    ]
    return " ".join(said)


def wave_words(work: SlotWork) -> str:
    """The week in words: "Week 2 of 3, bands", "Heavy single", "Stations"."""
    if work.max_effort is not None:
        name = {"single": "Heavy single", "triple": "Heavy triple", "rep_max": "Rep max"}
        words = name[work.max_effort]
    elif work.slot.is_dynamic:
        words = f"Week {work.wave_week} of {work.wave_weeks}, {work.resistance.shown}"
    else:
        words = "Stations"
    return words + (", taper" if work.is_taper else "") + (", easy week" if work.is_easy else "")
