"""The clock: who finishes when, who waits, who rests how long, which scheme fits the class."""

from __future__ import annotations

from dataclasses import dataclass, replace

from heftwright.domain.dose import Scheme
from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.problem import FloorProblem, FloorProblemError
from heftwright.domain.squad import AthleteId

S_A_MIN = 60.0
LONG_WAIT_RATIO = 2.5


def rep_up_s(range_m: float, speed_m_per_s: float) -> float:
    """Time of one repetition's way up [s]: range of motion [m] over mean speed [m/s].

    Raises
    ------
    FloorProblemError
        If the range is negative or the speed is not above 0.
    """
    if range_m < 0 or speed_m_per_s <= 0:
        raise FloorProblemError("A repetition needs a range of 0 m or more and a speed above 0.")
    return range_m / speed_m_per_s


def sets_s(sets: int, set_s: float, rest_s: float) -> float:
    """Sets with a rest between each two, none after the last [s]."""
    return sets * set_s + max(sets - 1, 0) * rest_s


@dataclass(frozen=True, slots=True)
class Waiting:
    """One athlete's time between sets.

    Parameters
    ----------
    athlete : AthleteId
        Who.
    rest_s : float
        From the end of a set to the start of the next [s].
    asked_s : float
        At least this was asked for [s].
    is_long : bool
        More than 2.5 times what was asked: the athlete cools down.
    """

    athlete: AthleteId
    rest_s: float
    asked_s: float
    is_long: bool


@dataclass(frozen=True, slots=True)
class SchemeClock:
    """What a scheme does to the clock.

    Parameters
    ----------
    scheme : Scheme
        Sets × reps.
    finish_s : float
        The latest platform [s].
    longest_wait_s : float
        Between an athlete's sets [s].
    set_ups : int
        How often everybody steps in and sets up.
    fits : bool
        Whether it ends within the class minutes.
    is_recommended : bool
        The first in the phase's order that fits; the shortest if none does.
    """

    scheme: Scheme
    finish_s: float
    longest_wait_s: float
    set_ups: int
    fits: bool
    is_recommended: bool = False


def waits(problem: FloorProblem, plan: FloorPlan) -> tuple[Waiting, ...]:
    """Rest of everybody on the floor, longest first."""
    asked = float(plan.scheme.rest_s)
    set_s = problem.times.set_s(plan.scheme.reps)
    found = [
        Waiting(turn.athlete, group.round_s - set_s, asked, _is_long(group.round_s - set_s, asked))
        for group in plan.groups
        for turn in group.order
    ]
    return tuple(sorted(found, key=lambda wait: (-wait.rest_s, wait.athlete)))


def _is_long(rest_s: float, asked_s: float) -> bool:
    return asked_s > 0 and rest_s > LONG_WAIT_RATIO * asked_s


def idle_s(problem: FloorProblem, group: GroupPlan) -> float:
    """Time a round in which the bar stands idle because the asked rest is not over [s]."""
    busy = len(group.order) * (problem.set_s + problem.times.set_up_s) + group.change_s
    return max(0.0, group.round_s - busy)


def turn_starts_s(problem: FloorProblem, group: GroupPlan) -> tuple[float, ...]:
    """When each turn's set starts within a round, from the start of the round [s]."""
    plates = problem.plates_by_key()
    starts, clock = [], 0.0
    for turn in group.order:
        clock += sum(plates[key].off_s for key in turn.off)
        clock += sum(plates[key].on_s for key in turn.on)
        clock += problem.times.collars_s if turn.off or turn.on else 0.0
        clock += problem.times.set_up_s
        starts.append(clock)
        clock += problem.set_s
    return tuple(starts)


def fits_class(problem: FloorProblem, finish_s: float) -> bool:
    """Whether a finish is within the class minutes, where they are limited."""
    return problem.class_minutes is None or finish_s <= problem.class_minutes * S_A_MIN


def scheme_finish_s(problem: FloorProblem, group: GroupPlan, scheme: Scheme) -> float:
    """Finish of a group as it stands under another scheme [s]."""
    return scheme.sets * _round_s(problem, group, scheme)


def _round_s(problem: FloorProblem, group: GroupPlan, scheme: Scheme) -> float:
    set_s = problem.times.set_s(scheme.reps)
    busy = len(group.order) * (set_s + problem.times.set_up_s) + group.change_s
    return max(busy, scheme.rest_s + set_s)


def compare_schemes(problem: FloorProblem, plan: FloorPlan) -> tuple[SchemeClock, ...]:
    """Every scheme option with the plan's groups and stacks, in the phase's order.

    The groups are kept: what changes is how often everybody steps in, how long a set lasts and
    how often the plates go round. A coach who picks another scheme may let the floor be planned
    anew for it.
    """
    clocks = [_clock_of(problem, plan, scheme) for scheme in problem.schemes]
    if not clocks:
        return ()
    fitting = [place for place, clock in enumerate(clocks) if clock.fits]
    shortest = min(range(len(clocks)), key=lambda place: clocks[place].finish_s)
    best = fitting[0] if fitting else shortest
    clocks[best] = replace(clocks[best], is_recommended=True)
    return tuple(clocks)


def _clock_of(problem: FloorProblem, plan: FloorPlan, scheme: Scheme) -> SchemeClock:
    rounds = [_round_s(problem, group, scheme) for group in plan.groups]
    longest = max(rounds, default=0.0)
    finish = scheme.sets * longest
    lifters = sum(len(group.order) for group in plan.groups)
    wait = max(0.0, longest - problem.times.set_s(scheme.reps))
    return SchemeClock(scheme, finish, wait, lifters * scheme.sets, fits_class(problem, finish))
