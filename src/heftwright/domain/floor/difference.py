"""What changes between two floor plans, in the order a coach calls it out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.mass import MassUnit
from heftwright.domain.squad import AthleteId


class ChangeKind(StrEnum):
    """What sort of change."""

    NEW = "new"
    GONE = "gone"
    MOVED = "moved"
    LOAD = "load"
    RIG = "rig"
    ORDER = "order"
    LEFT_OUT = "left_out"


@dataclass(frozen=True, slots=True)
class FloorChange:
    """One change.

    Parameters
    ----------
    kind : ChangeKind
        What sort.
    subject : str
        Athlete id, or platform key for a rig.
    words : str
        The sentence.
    """

    kind: ChangeKind
    subject: str
    words: str


def difference(
    problem: FloorProblem, before: FloorPlan, after: FloorPlan, unit: MassUnit = MassUnit.KG
) -> tuple[FloorChange, ...]:
    """Everything that is new, gone, moved, loaded or rigged otherwise.

    Parameters
    ----------
    problem : FloorProblem
        Of the later plan; names come from it.
    before, after : FloorPlan
        The plans.
    unit : MassUnit
        For loads in sentences.
    """
    names: dict[str, str] = {lifter.athlete: lifter.called for lifter in problem.lifters}
    names |= {set_up.key: set_up.name or set_up.key for set_up in problem.set_ups}
    return named_difference(names, before, after, unit)


def named_difference(
    names: Mapping[str, str], before: FloorPlan, after: FloorPlan, unit: MassUnit = MassUnit.KG
) -> tuple[FloorChange, ...]:
    """As `difference`, with the names of athletes and set-ups by their keys."""
    changes = [*_rigs(names, before, after), *_orders(names, before, after)]
    everybody = [*dict.fromkeys([*_athletes(before), *_athletes(after)])]
    for athlete in everybody:
        changes += _of(athlete, names.get(athlete, athlete), before, after, unit)
    return tuple(changes)


def _athletes(plan: FloorPlan) -> list[AthleteId]:
    return [turn.athlete for group in plan.groups for turn in group.order]


def _orders(names: Mapping[str, str], before: FloorPlan, after: FloorPlan) -> Iterator[FloorChange]:
    """Groups of the same people that take turns otherwise; who lifts first is no change."""
    was = {group.platform: [turn.athlete for turn in group.order] for group in before.groups}
    for group in after.groups:
        new, old = [turn.athlete for turn in group.order], was.get(group.platform, [])
        if sorted(new) == sorted(old) and new != old:
            order = ", ".join(names.get(athlete, athlete) for athlete in new)
            words = f"Platform {group.platform}: turns are now {order}."
            yield FloorChange(ChangeKind.ORDER, group.platform, words)


def _rigs(names: Mapping[str, str], before: FloorPlan, after: FloorPlan) -> list[FloorChange]:
    was: dict[str, GroupPlan] = {group.platform: group for group in before.groups}
    found = []
    for group in after.groups:
        old = was.get(group.platform)
        if old is not None and old.set_up != group.set_up:
            was_rig, rig = names.get(old.set_up, old.set_up), names.get(group.set_up, group.set_up)
            words = f"Platform {group.platform}: change the set-up from {was_rig} to {rig}."
            found.append(FloorChange(ChangeKind.RIG, group.platform, words))
    return found


def _of(
    athlete: AthleteId, name: str, before: FloorPlan, after: FloorPlan, unit: MassUnit
) -> list[FloorChange]:
    old, new = before.turn_of(athlete), after.turn_of(athlete)
    if new is None:
        why = dict(after.unplaced).get(athlete)
        if why:
            return [FloorChange(ChangeKind.LEFT_OUT, athlete, why)]
        return [FloorChange(ChangeKind.GONE, athlete, f"{name} is off the floor.")]
    load = new[1].load.shown(unit)
    if old is None:
        words = f"{name} joins platform {new[0].platform} with {load}."
        return [FloorChange(ChangeKind.NEW, athlete, words)]
    found = []
    if old[0].platform != new[0].platform:
        words = f"{name} moves from platform {old[0].platform} to {new[0].platform}."
        found.append(FloorChange(ChangeKind.MOVED, athlete, words))
    if old[1].load != new[1].load:
        words = f"{name} lifts {load} instead of {old[1].load.shown(unit)}."
        found.append(FloorChange(ChangeKind.LOAD, athlete, words))
    return found
