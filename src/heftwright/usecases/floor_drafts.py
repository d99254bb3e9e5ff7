"""What happens in a class: worked out, shown as a difference, taken with one tap, undone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from heftwright.domain.catalogue import BarPathKind, LiftKey
from heftwright.domain.dose import Scheme
from heftwright.domain.floor.by_hand import FloorCost, HandMoveError, with_turn
from heftwright.domain.floor.difference import named_difference
from heftwright.domain.floor.plan import FloorPlan
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.sheet import ClassSheet
from heftwright.domain.sheet.planned import (
    FloorDraft,
    PlannedClass,
    SetLift,
    SetLoad,
    SetPlace,
    Tonight,
)
from heftwright.domain.squad import AthleteId
from heftwright.store import floor_rows, plan_rows
from heftwright.store.gym_rows import find_gym
from heftwright.usecases.actor import Actor
from heftwright.usecases.changes import verb
from heftwright.usecases.class_order import ClassOrder
from heftwright.usecases.classes import check_set_load, keep_plan, order_of, plan_order, who_comes
from heftwright.usecases.floor_solving import Change
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.live_class import DatedClass, LiveClassError, get_class_clock
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.stock import get_stock
from heftwright.usecases.timetable import get_class_time

MISS_RATIO = 0.95
"""After a missed set the rest is proposed 5 % lighter (common practice, no source)."""
Wish = Callable[[ClassOrder], ClassOrder]


def get_draft(of: DatedClass) -> FloorDraft | None:
    """The change that waits for the coach's yes, or None."""
    return floor_rows.read_one(find_gym(of.gym), FloorDraft, of.key)


def bands_in_use(of: DatedClass, planned: PlannedClass) -> tuple[tuple[str, str], ...]:
    """Bands on tonight's platforms that could break: key and name."""
    used = " ".join(platform.rig for platform in planned.sheet.platforms)
    return tuple((band.key, band.name) for band in get_stock(gym=of.gym).bands if band.name in used)


def other_lifts(of: DatedClass, planned: PlannedClass) -> tuple[tuple[str, str], ...]:
    """Bar lifts of the same slot, the class's own first: key and name."""
    catalogue = catalogue_of(of.gym)
    own = planned.work[0]
    found = [
        (str(key), catalogue[key].name)
        for key in catalogue
        if own.slot in catalogue[key].slots and catalogue[key].bar_path is not BarPathKind.NONE
    ]
    return tuple(sorted(found, key=lambda item: (item[0] != own.lift, item[1])))


def propose_people(of: DatedClass, *, by: Actor) -> FloorDraft:
    """Who is here is not who was planned for: late, away, or somebody new."""
    before = of.planned()
    class_time = get_class_time(gym=of.gym, key=of.class_key)
    people = who_comes(of.gym, class_time, of.on)
    title = f"{len(people)} people instead of {len(before.present)}"
    if not people:
        title = "Nobody is left: all platforms are done"
    if set(people) == set(before.present):
        title = "The same people, planned again"
    return _draft(of, by, title, before, lambda order: replace(order, present=people))


def propose_load(
    of: DatedClass, *, by: Actor, athlete: AthleteId, load: EnteredMass, why: str, title: str = ""
) -> FloorDraft:
    """Another load for one athlete from here on; ``title`` says what happened, if not that."""
    before = of.planned()
    found = before.sheet.line_of(athlete)
    if found is None:
        raise NotFoundError(f"{athlete} has no bar in this class: mark them here and plan again.")
    line = found[1]
    check_set_load(load, line.load.in_kg / (line.bar_share_pct / 100), why)
    was = line.load.shown(line.unit)
    mine = SetLoad(athlete, load, by.name, why, was)
    others = tuple(item for item in before.set_loads if item.athlete != athlete)
    title = title or f"{line.name}: {load} instead of {was}"
    return _draft(
        of, by, title, before,
        lambda order: replace(order, present=before.present, set_loads=(*others, mine)),
    )  # fmt: skip


def propose_after_miss(of: DatedClass, *, by: Actor, athlete: AthleteId) -> FloorDraft:
    """After a missed set: the rest 5 % lighter; the coach takes it or leaves it."""
    found = of.planned().sheet.line_of(athlete)
    if found is None:
        raise NotFoundError(f"{athlete} has no bar in this class: mark them here and plan again.")
    load = lighter(found[1].load, found[1].unit)
    # No load here: what the platform can make of it stands among the changes.
    title = f"{found[1].name} missed a set: the rest about 5 % lighter"
    return propose_load(
        of, by=by, athlete=athlete, load=load, why="After a missed set", title=title
    )


def lighter(load: Mass, unit: MassUnit) -> EnteredMass:
    """The load less 5 %, to the half kilogram or pound."""
    halves = int(2 * MISS_RATIO * load.ticks / unit.ticks)
    return EnteredMass(500 * halves, unit)


def propose_broken_band(of: DatedClass, *, by: Actor, band: str) -> FloorDraft:
    """One pair of a band is out of use for the rest of the class.

    Raises
    ------
    LiveClassError
        If no platform uses it.
    """
    before = of.planned()
    name = dict(bands_in_use(of, before)).get(band)
    if name is None:
        raise LiveClassError(f"No platform of this plan uses the band “{band}”.")
    tonight = replace(before.tonight, broken_bands=(*before.tonight.broken_bands, band))
    return _draft_tonight(of, by, f"One pair of {name} is out of use", before, tonight)


def propose_lift(
    of: DatedClass, *, by: Actor, athletes: tuple[AthleteId, ...], lift: LiftKey
) -> FloorDraft:
    """Another lift for some of the class, such as one half of it.

    Raises
    ------
    LiveClassError
        If nobody is named, or the gym has no such bar lift.
    """
    before = of.planned()
    if not athletes:
        raise LiveClassError("Tick who does the other lift.")
    if lift not in {key for key, _ in other_lifts(of, before)}:
        raise LiveClassError(f"“{lift}” is no bar lift of this slot.")
    kept = tuple(item for item in before.tonight.lifts if item.athlete not in athletes)
    own = () if lift == before.work[0].lift else tuple(
        SetLift(athlete, lift, by.name) for athlete in athletes
    )  # fmt: skip
    tonight = replace(before.tonight, lifts=(*kept, *own))
    return _draft_tonight(of, by, f"Another lift for {len(athletes)}", before, tonight)


def propose_scheme(of: DatedClass, *, by: Actor, scheme: Scheme) -> FloorDraft:
    """Another way of splitting the repetitions, before the first set.

    Raises
    ------
    LiveClassError
        If the class runs already, or the scheme is none of the options.
    """
    before = of.planned()
    if get_class_clock(of) is not None:
        raise LiveClassError("The class runs: sets and reps stay as they are until it is over.")
    options = [line.scheme for line in before.sheet.schemes]
    if scheme not in options:
        raise LiveClassError(f"{scheme} is none of the ways to split tonight's repetitions.")
    tonight = replace(before.tonight, scheme=scheme)
    return _draft_tonight(of, by, f"{scheme} instead of what is planned", before, tonight)


def propose_move(of: DatedClass, *, by: Actor, athlete: AthleteId, platform: str) -> FloorDraft:
    """The coach's own place for an athlete, priced; they stay there in every re-plan tonight.

    Raises
    ------
    HandMoveError
        If the platform cannot serve them, with the reason.
    """

    def moved(problem: FloorProblem, plan: FloorPlan) -> FloorPlan:
        from heftwright.solve.floor import move_by_hand

        if platform not in {item.key for item in problem.platforms}:
            raise HandMoveError(f"There is no platform {platform} tonight.")
        return move_by_hand(problem, plan, athlete, platform)

    before = of.planned()
    others = tuple(item for item in before.tonight.places if item.athlete != athlete)
    mine = SetPlace(athlete, platform, by.name)
    tonight = replace(before.tonight, places=(*others, mine))
    title = f"{_name(before, athlete)} to platform {platform}"
    return _draft_tonight(of, by, title, before, tonight, moved)


def propose_turn(of: DatedClass, *, by: Actor, athlete: AthleteId, turn: int) -> FloorDraft:
    """Another turn on the same platform, priced."""

    def turned(problem: FloorProblem, plan: FloorPlan) -> FloorPlan:
        return with_turn(problem, plan, athlete, turn)

    before = of.planned()
    title = f"{_name(before, athlete)} to turn {turn}"
    return _draft_tonight(of, by, title, before, before.tonight, turned)


def _name(before: PlannedClass, athlete: AthleteId) -> str:
    found = before.sheet.line_of(athlete)
    without = (who.name for who in before.sheet.unplaced if who.athlete == athlete)
    name = found[1].name if found else next(without, None)
    if name is None:
        raise NotFoundError(f"{athlete} has no bar in this class: mark them here and plan again.")
    return name


def _draft_tonight(
    of: DatedClass, by: Actor, title: str, before: PlannedClass, tonight: Tonight,
    by_hand: Change | None = None,
) -> FloorDraft:  # fmt: skip
    return _draft(
        of, by, title, before,
        lambda order: replace(order, present=before.present, tonight=tonight), by_hand,
    )  # fmt: skip


def _draft(
    of: DatedClass, by: Actor, title: str, before: PlannedClass, wish: Wish,
    by_hand: Change | None = None,
) -> FloorDraft:  # fmt: skip
    """Work the plan out, hold it against the one that stands, and keep it for the coach's yes."""
    check_may(by, of.gym, Right.PLAN_CLASS)
    order = wish(order_of(of.gym, of.class_key, of.on, before, before.present))
    planned = plan_order(of.gym, order, before, by_hand)
    draft = FloorDraft(
        key=of.key, planned=planned, title=title, changes=_changes(before, planned, order),
        cost_words=_cost_words(before, planned),
        from_version=before.sheet.plan_version,
    )  # fmt: skip
    floor_rows.write(find_gym(of.gym), draft)
    return draft


def _changes(before: PlannedClass, after: PlannedClass, order: ClassOrder) -> tuple[str, ...]:
    if before.floor is None or after.floor is None:
        return ()
    names: dict[str, str] = {
        line.athlete: line.name
        for sheet in (before.sheet, after.sheet)
        for platform in sheet.platforms
        for line in platform.lifters
    }
    names |= {who.athlete: who.name for who in after.sheet.unplaced}
    names |= _rig_names(before) | _rig_names(after)
    found = named_difference(names, before.floor, after.floor, order.unit)
    return (*_other_lifts_words(before, after), *(item.words for item in found))


def _other_lifts_words(before: PlannedClass, after: PlannedClass) -> Iterator[str]:
    """Who lifts otherwise: a load of another lift is never shown as the same one made lighter."""
    for platform in after.sheet.platforms:
        for line in platform.lifters:
            was = before.sheet.line_of(line.athlete)
            if was is not None and was[1].lift_name != line.lift_name:
                yield f"{line.name} does {line.lift_name} instead of {was[1].lift_name}."


def _rig_names(planned: PlannedClass) -> dict[str, str]:
    """Set-up key -> words; straight weight has none on the sheet."""
    groups = planned.floor.groups if planned.floor else ()
    rigs = {platform.key: platform.rig for platform in planned.sheet.platforms}
    return {group.set_up: rigs.get(group.platform) or "straight weight" for group in groups}


def _cost_words(before: PlannedClass, after: PlannedClass) -> str:
    if before.floor is None or after.floor is None:
        return ""
    return _cost(after, after.floor).words_against(_cost(before, before.floor))


def _cost(planned: PlannedClass, plan: FloorPlan) -> FloorCost:
    """A round's moves and changing, and when the last platform is done on the class's clock."""
    ends = [60 * platform.finish_min for platform in planned.sheet.platforms]
    return FloorCost.of(plan, max(ends, default=0.0))


@verb
def take_draft(of: DatedClass, *, by: Actor) -> ClassSheet:
    """Take the change that was shown: it becomes the plan.

    Raises
    ------
    LiveClassError
        If none waits, or the plan changed since it was worked out.
    """
    check_may(by, of.gym, Right.PLAN_CLASS)
    draft = get_draft(of)
    if draft is None:
        raise LiveClassError("No change waits for a yes: say again what happened.")
    if draft.from_version != of.planned().sheet.plan_version:
        leave_draft(of, by=by)
        raise LiveClassError("The plan changed since this was worked out: ask for it again.")
    return keep_plan(of.gym, by, "take_draft", draft.planned)


def leave_draft(of: DatedClass, *, by: Actor) -> None:
    """Leave the plan as it is."""
    check_may(by, of.gym, Right.PLAN_CLASS)
    floor_rows.drop(find_gym(of.gym), FloorDraft, of.key)


@verb
def put_back_plan(of: DatedClass, *, by: Actor) -> ClassSheet:
    """The plan before the latest one stands again, as a new version: nothing is forgotten.

    Raises
    ------
    LiveClassError
        If there is none before it.
    """
    check_may(by, of.gym, Right.PLAN_CLASS)
    version = of.planned().sheet.plan_version
    before = plan_rows.get_class_plan(
        gym=of.gym, class_key=of.class_key, on=of.on, kind=PlannedClass, version=version - 1
    )
    if before is None:
        raise LiveClassError("There is no plan before this one to go back to.")
    return keep_plan(of.gym, by, "put_back_plan", before.plan)
