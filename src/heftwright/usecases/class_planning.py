"""Planning one dated class: from the season's order to the sheet. Pure of rows and requests."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from math import ceil

from heftwright.domain.catalogue import Lift, LiftKey, WeakPoint
from heftwright.domain.dose import Scheme
from heftwright.domain.dose.rep_work import CircuitError, CircuitWish, build_circuit
from heftwright.domain.floor.baseline import usual_way
from heftwright.domain.floor.checker import check_floor
from heftwright.domain.floor.plan import FloorPlan
from heftwright.domain.floor.policy import FloorPolicy
from heftwright.domain.floor.tonight import TonightsFloor, tonights_floor
from heftwright.domain.mass import MassUnit
from heftwright.domain.outcome import Infeasible, Solved
from heftwright.domain.prescription.event_practice import station_line
from heftwright.domain.prescription.kit_split import KitRoom, KitSplit, split_kit
from heftwright.domain.prescription.prescribe import (
    Ask,
    Evening,
    class_scheme,
    prescribe,
    without_bands,
)
from heftwright.domain.prescription.reasons import ReasonKind, reason
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance.chooser import possible_setups
from heftwright.domain.season import SlotWork
from heftwright.domain.season.substitution import KitLeft, substitute
from heftwright.domain.sheet import ClassSheet, PlatformSheet, Unplaced
from heftwright.domain.sheet.assemble import Assembly, assemble
from heftwright.domain.sheet.class_sheet import BAND_CAUTION, CLOSING_CAUTION, MAX_EFFORT_CAUTION
from heftwright.domain.sheet.planned import PlannedClass, SetLoad
from heftwright.domain.squad import Athlete, AthleteId, ClassTime
from heftwright.domain.strength.belief import NoBeliefError
from heftwright.usecases.gathering import Gathered

CIRCUIT_SHARE = 0.25
MIN_CIRCUIT_MIN = 15.0
BANDS_IN_USE = "the bands and chains that would suit are all in use tonight"


class PlanCheckError(Refusal):
    """A floor plan that its own checker refused: a fault of ours, never shown as a plan."""


@dataclass(frozen=True, slots=True)
class ClassOrder:
    """Which class to plan, and what the season wants of it.

    Parameters
    ----------
    gym_name : str
        For the head of the sheet.
    class_time : ClassTime
        When and how long.
    on : date
        Which day.
    work : tuple of SlotWork
        The season's order; several are stations of an implement day.
    why : tuple of str
        Why the season chose it.
    present : tuple of AthleteId
        Who is there.
    set_loads : tuple of SetLoad
        What the coach set by hand.
    unit : MassUnit
        Of this gym's pages.
    """

    gym_name: str
    class_time: ClassTime
    on: date
    work: tuple[SlotWork, ...]
    why: tuple[str, ...]
    present: tuple[AthleteId, ...]
    set_loads: tuple[SetLoad, ...] = ()
    unit: MassUnit = MassUnit.KG


def plan_floor_of_class(
    order: ClassOrder,
    gathered: Gathered,
    *,
    version: int,
    planned_at: datetime,
    previous: FloorPlan | None = None,
) -> PlannedClass:
    """Plan a class whose main work is a bar lift.

    Parameters
    ----------
    order : ClassOrder
        What is wanted.
    gathered : Gathered
        The gym on that day.
    version : int
        Of the plan to be.
    planned_at : datetime
        Aware.
    previous : FloorPlan or None
        A plan to stay close to.
    """
    work = order.work[0]
    scheme = class_scheme(work, gathered.waves)
    evening = Evening(
        order.on, scheme, possible_setups(gathered.stock, order.on), gathered.settings.policy,
        gathered.waves,
    )  # fmt: skip
    asks, missing = _asks(order, gathered, work)
    wanted = [_wanted(ask, evening, order) for ask in asks]
    floor, plan, words = _solve(wanted, gathered, scheme, previous)
    freed = _without_bands(plan, asks, wanted, evening)
    if freed:
        wanted = freed
        floor, plan, words = _solve(wanted, gathered, scheme, plan)
    parts = Assembly(
        order.on, {item.athlete: item for item in wanted}, gathered.athletes, gathered.stock,
        gathered.catalogue, floor, order.unit, gathered.settings.zones,
    )  # fmt: skip
    platforms, unplaced = assemble(plan, parts)
    sheet = _sheet(order, gathered, platforms, (*unplaced, *missing), words)
    sheet = replace(sheet, plan_version=version, planned_at=planned_at)
    return PlannedClass(sheet, plan, order.work, order.present, order.set_loads)


def plan_stations_of_class(
    order: ClassOrder, gathered: Gathered, *, version: int, planned_at: datetime
) -> PlannedClass:
    """Plan an implement day: stations in words, everybody at each in turn."""
    lines = tuple(
        station_line(work, gathered.catalogue[work.lift], gathered.contests, gathered.stock)
        for work in order.work
    )
    words = ("Everybody at every station in turn; the longest set-up first.",)
    sheet = replace(
        _sheet(order, gathered, (), (), words), rep_work=lines, plan_version=version,
        planned_at=planned_at,
    )  # fmt: skip
    return PlannedClass(sheet, None, order.work, order.present, ())


def _asks(
    order: ClassOrder, gathered: Gathered, work: SlotWork
) -> tuple[list[Ask], tuple[Unplaced, ...]]:
    """What is asked of everybody present, and who cannot be asked anything and why."""
    split = _kit_split(order, gathered, work)
    asks, missing = [], []
    for key in order.present:
        athlete = gathered.athletes[key]
        found = _ask(athlete, work, gathered, order.on, split)
        if isinstance(found, Ask):
            asks.append(found)
        else:
            missing.append(Unplaced(athlete.id, athlete.number, athlete.name, found))
    return asks, tuple(missing)


def _kit_split(order: ClassOrder, gathered: Gathered, work: SlotWork) -> KitSplit:
    lift = gathered.catalogue[work.lift]
    free = [
        gathered.athletes[key]
        for key in order.present
        if gathered.athletes[key].may_do(lift, order.on)
    ]
    room = KitRoom(gathered.catalogue, gathered.stock.kit_units(), FloorPolicy().group_max)
    return split_kit(lift, work.slot, free, gathered.contests, room)


def _ask(
    athlete: Athlete, work: SlotWork, gathered: Gathered, day: date, split: KitSplit
) -> Ask | str:
    planned = gathered.catalogue[work.lift]
    lift, why = _lift_for(athlete, work, gathered, day, split)
    if lift is None:
        return why
    try:
        belief = gathered.beliefs[athlete.id, lift.key]
    except NoBeliefError as error:
        return str(error)
    return Ask(athlete, work, lift, planned, why, belief)


def _wanted(ask: Ask, evening: Evening, order: ClassOrder) -> WantedWork:
    by_hand = next((item for item in order.set_loads if item.athlete == ask.athlete.id), None)
    return _with_set_load(prescribe(ask, evening), by_hand)


def _without_bands(
    plan: FloorPlan, asks: Sequence[Ask], wanted: Sequence[WantedWork], evening: Evening
) -> list[WantedWork]:
    """Straight weight for those whom tonight's bands could not reach; empty if there are none."""
    left = {athlete for athlete, _ in plan.unplaced}
    if not any(work.athlete in left and work.choices for work in wanted):
        return []
    return [
        without_bands(ask, evening, BANDS_IN_USE) if work.athlete in left and work.choices else work
        for ask, work in zip(asks, wanted, strict=True)
    ]


def _lift_for(
    athlete: Athlete, work: SlotWork, gathered: Gathered, day: date, split: KitSplit
) -> tuple[Lift | None, str]:
    """The athlete's lift and why it differs from the class's; None with the sentence why."""
    planned = gathered.catalogue[work.lift]
    why = _why_not(athlete, planned, gathered, day)
    if why:
        left = _kit_left(work, gathered, split)
        key = substitute(athlete, work, gathered.season_problem, day, left)
        return _as_substitute(work, gathered, key, why)
    if athlete.id not in split.keeps and split.twin and athlete.may_do(split.twin, day):
        return split.twin, split.why
    return planned, ""  # with neither kit nor twin, the floor says who finds no bar


def _why_not(athlete: Athlete, planned: Lift, gathered: Gathered, day: date) -> str:
    """Why the class's lift is not for this athlete on this day; empty if it is."""
    barred = athlete.restriction_against(planned, day)
    if barred is not None:
        until = f"until {barred.until}" if barred.until else "until cleared"
        return f"{barred.tag.replace('_', ' ')} work is off {until}"
    own = [c for c in gathered.contests if c.on >= day and c.enters(athlete.id)]
    days = min(((contest.on - day).days for contest in own), default=planned.last_heavy_days)
    if days < planned.last_heavy_days:
        return f"{days} days to an own contest, past the last heavy day of {planned.name}"
    return ""


def _kit_left(work: SlotWork, gathered: Gathered, split: KitSplit) -> KitLeft:
    """What is on the shelf beside the class's lift and its twin."""
    left = Counter(gathered.stock.kit_units())
    planned, size = gathered.catalogue[work.lift], FloorPolicy().group_max
    for lift, people in ((planned, len(split.keeps)), (split.twin, split.others)):
        for kit in lift.kit if lift else ():
            left[kit] -= ceil(people / size)
    return KitLeft(left)


def _as_substitute(
    work: SlotWork, gathered: Gathered, key: LiftKey | None, why: str
) -> tuple[Lift | None, str]:
    if key is None:
        name = gathered.catalogue[work.lift].name
        return None, f"{name} is off ({why}) and no lift of the slot is left: light rep work."
    return (gathered.catalogue[key], "" if key == work.lift else why)


def _with_set_load(work: WantedWork, by_hand: SetLoad | None) -> WantedWork:
    if by_hand is None:
        return work
    told = reason(
        ReasonKind.COACH_CHANGED, who=by_hand.who, load=str(by_hand.load), was=by_hand.was,
        why=by_hand.why,
    )  # fmt: skip
    return replace(
        work, target_kg=by_hand.load.mass.in_kg, tolerance_ratio=0.0,
        reasons=(*work.reasons, told),
    )  # fmt: skip


def _solve(
    wanted: Sequence[WantedWork], gathered: Gathered, scheme: Scheme, previous: FloorPlan | None
) -> tuple[TonightsFloor, FloorPlan, tuple[str, ...]]:
    from heftwright.solve.floor import solve_floor  # the solver is imported only where it is used

    floor = tonights_floor(
        wanted, gathered.athletes, gathered.stock, gathered.catalogue, scheme, FloorPolicy()
    )
    if not floor.problem.lifters:
        return floor, FloorPlan((), (), scheme), ()
    ended = solve_floor(floor.problem, previous=previous)
    if isinstance(ended, Infeasible):
        left = tuple((item.athlete, " ".join(ended.reasons)) for item in floor.problem.lifters)
        return floor, FloorPlan((), left, scheme), ended.reasons
    plan = ended.plan if isinstance(ended, Solved) else ended.best
    if plan is None:
        raise PlanCheckError("The floor was not planned in time: plan again, or plan fewer people.")
    broken = check_floor(floor.problem, plan)
    if broken:
        raise PlanCheckError("The floor plan did not pass its check: " + " ".join(broken))
    return floor, plan, (*_against_the_usual_way(floor, plan), *plan.notes)


def _against_the_usual_way(floor: TonightsFloor, plan: FloorPlan) -> tuple[str, ...]:
    usual = usual_way(floor.problem)
    if not usual.groups or len(usual.unplaced) != len(plan.unplaced):
        return (f"{plan.moves} plate moves; done in {plan.finish_s / 60:.0f} min.",)
    words = (
        f"{plan.moves} plate moves against {usual.moves} the usual way (sorted by strength, "
        f"largest plates first); done in {plan.finish_s / 60:.0f} min against "
        f"{usual.finish_s / 60:.0f} min."
    )
    return (words,)


def _sheet(
    order: ClassOrder,
    gathered: Gathered,
    platforms: tuple[PlatformSheet, ...],
    unplaced: Sequence[Unplaced],
    words: tuple[str, ...],
) -> ClassSheet:
    work, class_time = order.work[0], order.class_time
    has_bands = any(platform.rig for platform in platforms)
    return ClassSheet(
        gym=order.gym_name, class_key=class_time.key, coach=class_time.coach, on=order.on,
        starts_at=class_time.starts_at, minutes=class_time.minutes,
        slot_name=class_time.slot.shown, lift_name=gathered.catalogue[work.lift].name,
        wave_words=wave_words(work), why=order.why, platforms=platforms,
        unplaced=tuple(unplaced), rep_work=rep_work_lines(order, gathered), floor_words=words,
        plan_version=0, planned_at=datetime.min,  # noqa: DTZ901 - both are set by the caller at once
        caution=_caution(work, has_bands=has_bands),
    )  # fmt: skip


def _caution(work: SlotWork, *, has_bands: bool) -> str:
    said = [
        *([BAND_CAUTION] if has_bands else []),
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


def rep_work_lines(order: ClassOrder, gathered: Gathered) -> tuple[str, ...]:
    """The circuit after the main lift, a line a station; empty when none fits the class."""
    if not order.present:
        return ()
    weak: Counter[WeakPoint] = Counter()
    for key in order.present:
        for point, weight in gathered.athletes[key].weak_points.items():
            weak[point] += weight  # type: ignore[assignment]  # a Counter sums floats as well
    wish = CircuitWish(
        lifters=len(order.present),
        minutes=max(MIN_CIRCUIT_MIN, order.class_time.minutes * CIRCUIT_SHARE),
        weak_points=dict(weak),
        stock=gathered.stock.kit_units(),
    )
    try:
        return build_circuit(wish).words
    except CircuitError as error:
        return (str(error),)
