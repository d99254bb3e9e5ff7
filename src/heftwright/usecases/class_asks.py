"""Who lifts what in a class: the class's lift, its twin, a substitute, or what the coach gave."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date
from math import ceil

from heftwright.domain.catalogue import Lift, LiftKey
from heftwright.domain.floor.policy import FloorPolicy
from heftwright.domain.prescription.ask import NEAR_CONTEST_DAYS, Ask, Evening
from heftwright.domain.prescription.cautions import Caution
from heftwright.domain.prescription.kit_split import KitRoom, KitSplit, split_kit
from heftwright.domain.prescription.prescribe import (
    prescribe,
    without_bands,
)
from heftwright.domain.prescription.reasons import ReasonKind, reason
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.season import SlotWork
from heftwright.domain.season.substitution import (
    KitLeft,
    own_next_contest,
    own_taper,
    own_worth,
    substitute,
)
from heftwright.domain.sheet import Unplaced
from heftwright.domain.sheet.planned import SetLoad
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.strength.belief import NoBeliefError
from heftwright.usecases.class_order import ClassOrder
from heftwright.usecases.gathering import Gathered

BANDS_IN_USE = "the bands and chains that would suit are all in use tonight"


def asks_of(
    order: ClassOrder, gathered: Gathered, work: SlotWork
) -> tuple[list[Ask], tuple[Unplaced, ...]]:
    """What is asked of everybody present, and who cannot be asked anything and why."""
    split = _kit_split(order, gathered, work)
    asks, missing = [], []
    for key in order.present:
        athlete = gathered.athletes[key]
        own = order.tonight.lift_of(key)
        eases = own_taper(athlete, gathered.season_problem, order.on)
        found: Ask | str
        if eases is not None and eases.volume_ratio == 0:
            found = eases.reason
        elif own is not None:
            found = _ask_by_hand(athlete, work, gathered, order.on, own)
        else:
            found = _ask(athlete, work, gathered, order.on, split.without(order.gives_way))
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


def twin_for(order: ClassOrder, gathered: Gathered) -> Lift | None:
    """The lift that some do where the class's own is too scarce for all; None where it is not."""
    return _kit_split(order, gathered, order.work[0]).twin


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
    return _near_contests(Ask(athlete, work, lift, planned, why, belief), gathered, day)


def _near_contests(ask: Ask, gathered: Gathered, day: date) -> Ask:
    """The ask with what the athlete's own next contest means for it."""
    own = own_next_contest(ask.athlete, gathered.season_problem, day)
    return replace(
        ask,
        own_taper=own_taper(ask.athlete, gathered.season_problem, day),
        days_to_contest=None if own is None else (own.on - day).days,
    )


def _ask_by_hand(
    athlete: Athlete, work: SlotWork, gathered: Gathered, day: date, key: LiftKey
) -> Ask | str:
    """Another lift for one half of the class; restrictions hold all the same."""
    planned, lift = gathered.catalogue[work.lift], gathered.catalogue[key]
    if not athlete.may_do(lift, day):
        return (
            f"{lift.name} is not for {athlete.name} now: {_why_not(athlete, lift, gathered, day)}."
        )
    try:
        belief = gathered.beliefs[athlete.id, key]
    except NoBeliefError as error:
        return str(error)
    why = "" if key == work.lift else "the coach gave it tonight"
    return _near_contests(Ask(athlete, work, lift, planned, why, belief), gathered, day)


def wanted_of(ask: Ask, evening: Evening, order: ClassOrder) -> WantedWork:
    by_hand = next((item for item in order.set_loads if item.athlete == ask.athlete.id), None)
    return _with_set_load(prescribe(ask, evening), by_hand)


def freed_of_bands(
    left: Collection[AthleteId], asks: Sequence[Ask], wanted: Sequence[WantedWork], evening: Evening
) -> list[WantedWork]:
    """Straight weight for those whom tonight's bands could not reach; empty if there are none."""
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
    tested = _tested_instead(athlete, work, gathered, day, split)
    if tested is not None:
        return tested, f"{planned.name} was never tested and a contest is near"
    if athlete.id not in split.keeps and split.twin and athlete.may_do(split.twin, day):
        return split.twin, split.why
    return planned, ""  # with neither kit nor twin, the floor says who finds no bar


def _tested_instead(
    athlete: Athlete, work: SlotWork, gathered: Gathered, day: date, split: KitSplit
) -> Lift | None:
    """Near a contest the nearest tested lift in the place of a heavy one that never was."""
    own = own_next_contest(athlete, gathered.season_problem, day)
    is_near = work.is_taper or (own is not None and (own.on - day).days <= NEAR_CONTEST_DAYS)
    planned = gathered.catalogue[work.lift]
    if work.max_effort is None or not is_near or _tested(athlete, planned, gathered, day):
        return None
    left = _kit_left(work, gathered, split)
    able = [
        lift
        for lift in gathered.catalogue.for_slot(work.slot)
        if lift.pattern == planned.pattern
        and work.max_effort not in lift.never_as
        and _tested(athlete, lift, gathered, day)
        and not _why_not(athlete, lift, gathered, day)
        and left.has_for(lift, work)
    ]
    problem = gathered.season_problem
    return max(able, key=lambda lift: own_worth(athlete, lift, problem, day), default=None)


def _tested(athlete: Athlete, lift: Lift, gathered: Gathered, day: date) -> bool:
    """Tested recently enough to set a top from."""
    try:
        return gathered.beliefs[athlete.id, lift.key].may_target_top(day)
    except NoBeliefError:
        return False


def _why_not(athlete: Athlete, planned: Lift, gathered: Gathered, day: date) -> str:
    """Why the class's lift is not for this athlete on this day; empty if it is."""
    barred = athlete.restriction_against(planned, day)
    if barred is not None:
        asks = f" (ask again on {barred.until})" if barred.until else ""
        return f"{barred.tag.replace('_', ' ')} work is off until cleared{asks}"
    own = [c for c in gathered.contests if c.on >= day and c.enters(athlete.id)]
    days = min(((contest.on - day).days for contest in own), default=planned.last_heavy_days)
    if days < planned.last_heavy_days:
        return (
            f"own contest in {days} days, and the last heavy {planned.name.lower()} comes "
            f"{planned.last_heavy_days} days before"
        )
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
        work, target_kg=by_hand.load.mass.in_kg, tolerance_ratio=0.0, set_by=by_hand.who,
        is_top_open=False,
        cautions=tuple(item for item in work.cautions if item is not Caution.NO_TOP_TARGET),
        reasons=(*work.reasons, told),
    )  # fmt: skip
