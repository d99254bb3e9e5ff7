"""A floor plan: groups, platforms, turn order, plate stacks, clock, and who has no bar and why."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId


@dataclass(frozen=True, slots=True)
class Turn:
    """One athlete's turn in the cycle.

    Parameters
    ----------
    athlete : AthleteId
        Who.
    load : Mass
        Bar, collars and plates together, exact.
    stack : tuple of str
        Plate keys of one side, inner to outer.
    off, on : tuple of str
        What comes off and goes on a side before this turn, in the order of doing it; the first
        turn's change is from the last turn's stack.
    """

    athlete: AthleteId
    load: Mass
    stack: tuple[str, ...]
    off: tuple[str, ...] = ()
    on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GroupPlan:
    """One platform's group.

    Parameters
    ----------
    platform, set_up : str
        Keys of the platform and of its band set-up.
    order : tuple of Turn
        In turn order; the cycle repeats every round.
    round_s : float
        Everybody's set once, with changes and at least the asked rest [s].
    finish_s : float
        All rounds [s].
    change_s : float
        Plate changing a round [s].
    moves : int
        Plates moved on and off over all rounds, both sides, with the common stack put on once.
    """

    platform: str
    set_up: str
    order: tuple[Turn, ...]
    round_s: float
    finish_s: float
    change_s: float
    moves: int

    @property
    def athletes(self) -> frozenset[AthleteId]:
        """Who is in the group."""
        return frozenset(turn.athlete for turn in self.order)

    def plates_needed(self) -> Counter[str]:
        """Pairs of each plate: the most that any of the group's stacks holds."""
        need: Counter[str] = Counter()
        for turn in self.order:
            need |= Counter(turn.stack)
        return need


@dataclass(frozen=True, slots=True)
class FloorPlan:
    """The floor of one class slot.

    Parameters
    ----------
    groups : tuple of GroupPlan
        One a platform, in the order of the platforms.
    unplaced : tuple of (AthleteId, str)
        Nobody is dropped in silence: who, and the sentence why and what to do.
    scheme : Scheme
        Sets × reps.
    notes : tuple of str
        Sentences for the coach.
    """

    groups: tuple[GroupPlan, ...]
    unplaced: tuple[tuple[AthleteId, str], ...]
    scheme: Scheme
    notes: tuple[str, ...] = ()

    @property
    def finish_s(self) -> float:
        """The latest platform's finish [s]; 0 without groups."""
        return max((group.finish_s for group in self.groups), default=0.0)

    @property
    def change_s(self) -> float:
        """Plate changing a round, summed over platforms [s]."""
        return sum(group.change_s for group in self.groups)

    @property
    def moves(self) -> int:
        """Plates moved over all rounds, both sides, all platforms."""
        return sum(group.moves for group in self.groups)

    def turn_of(self, athlete: AthleteId) -> tuple[GroupPlan, Turn] | None:
        """The group and turn of one athlete, or None if unplaced."""
        for group in self.groups:
            for turn in group.order:
                if turn.athlete == athlete:
                    return group, turn
        return None

    def plates_needed(self) -> Counter[str]:
        """Pairs of each plate that all platforms together need at once."""
        need: Counter[str] = Counter()
        for group in self.groups:
            need.update(group.plates_needed())
        return need
