"""Scarce kit: who does the class's lift tonight, and which twin lift the others do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from heftwright.domain.catalogue import Catalogue, KitKey, Lift, Slot
from heftwright.domain.contest import Contest
from heftwright.domain.squad import Athlete, AthleteId


@dataclass(frozen=True, slots=True)
class KitSplit:
    """How a class shares a scarce lift.

    Parameters
    ----------
    keeps : frozenset of AthleteId
        Who does the class's lift.
    twin : Lift or None
        What the others do; None where nothing near it has kit for them.
    why : str
        For the others' reasons; empty where everybody keeps the lift.
    others : int
        How many do not keep it.
    """

    keeps: frozenset[AthleteId]
    twin: Lift | None
    why: str
    others: int = 0

    def without(self, people: frozenset[AthleteId]) -> KitSplit:
        """The same, with these people among those who do the twin."""
        return self if self.twin is None else replace(self, keeps=self.keeps - people)


@dataclass(frozen=True, slots=True)
class KitRoom:
    """What there is to share.

    Parameters
    ----------
    catalogue : Catalogue
        The lifts.
    units : Mapping
        Kit -> units free tonight.
    group_max : int
        Athletes that take turns on one unit, at most.
    """

    catalogue: Catalogue
    units: Mapping[KitKey, int]
    group_max: int

    def capacity(self, lift: Lift) -> int:
        """How many athletes can do a lift at once."""
        return self.group_max * min((self.units.get(kit, 0) for kit in lift.kit), default=99)

    def twin_of(self, lift: Lift, slot: Slot, people: int) -> Lift | None:
        """The nearest lift of the same slot and pattern that serves so many people.

        Nearest: smallest sum of differences in transfer to the event families. Kit that both
        lifts need must serve everybody, and is left to them.
        """
        others = [
            other
            for other in self.catalogue.for_slot(slot)
            if other.key != lift.key
            and other.pattern == lift.pattern
            and self._serves(other, lift, people)
        ]
        return min(others, key=lambda other: (_distance(lift, other), other.key), default=None)

    def _serves(self, twin: Lift, lift: Lift, people: int) -> bool:
        """The twin's own kit serves the people left over; shared kit is counted for both."""
        own = [kit for kit in twin.kit if kit not in lift.kit]
        shared_is_scarce = any(
            self.units.get(kit, 0) * self.group_max <= self.capacity(lift)
            for kit in twin.kit
            if kit in lift.kit
        )
        enough = all(self.units.get(kit, 0) * self.group_max >= people for kit in own)
        return bool(own) and enough and not shared_is_scarce


def split_kit(
    lift: Lift,
    slot: Slot,
    people: Sequence[Athlete],
    contests: Sequence[Contest],
    room: KitRoom,
) -> KitSplit:
    """Share a lift among people: those whose contests need it most keep it.

    Parameters
    ----------
    lift, slot
        The class's lift and slot.
    people : sequence of Athlete
        Who wants to do it.
    contests : sequence of Contest
        For needs: importance × the athlete's need of each event × the lift's transfer to it.
    room : KitRoom
        What there is.
    """
    capacity = room.capacity(lift)
    if capacity >= len(people):
        return KitSplit(frozenset(athlete.id for athlete in people), None, "")
    ranked = sorted(people, key=lambda a: (-need_of(lift, a, contests), a.number))
    keeps = frozenset(athlete.id for athlete in ranked[:capacity])
    twin = room.twin_of(lift, slot, len(people) - capacity)
    why = f"there is kit for {capacity} of {len(people)}; it goes to those whose contests need it"
    return KitSplit(keeps, twin, why, len(people) - capacity)


def need_of(lift: Lift, athlete: Athlete, contests: Sequence[Contest]) -> float:
    """How much an athlete's own contests ask for a lift, ≥ 0."""
    return athlete.priority * sum(
        contest.importance
        * entry.need.get(event.name, 1.0)
        * lift.transfer.get(event.family, 0.0)
        * (1.5 if event.implement == lift.implement else 1.0)
        for contest in contests
        for entry in contest.entries
        if entry.athlete == athlete.id
        for event in contest.events
    )


def _distance(one: Lift, other: Lift) -> float:
    families = set(one.transfer) | set(other.transfer)
    return sum(abs(one.transfer.get(f, 0.0) - other.transfer.get(f, 0.0)) for f in families)
