"""Max-effort days: this round's load and stack for everybody, all the way up to the top set.

A group keeps one turn order; the bar then goes through one long chain of stacks, a turn after a
turn and a round after a round. For a given order the cheapest chain over the stacks looked at is
exact (a shortest path through the turns); which stacks are looked at is a choice: those with few
plates, and those that grow out of the stack before. It is good, not proven.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from heftwright.domain.floor.plan import FloorPlan, GroupPlan, Turn
from heftwright.domain.floor.policy import StackOrder
from heftwright.domain.floor.problem import FloorPlate, FloorPlatform, FloorProblem
from heftwright.domain.floor.stacks import SIDES, Stack, change
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

MOST_ON_A_SIDE = 7
"""More plates a side are nobody's warm-up, however few move (common practice, no source)."""
MORE_THAN_NEEDED = 1
LOOKED_AT = 14
GROWN_FROM = 6


@dataclass(frozen=True, slots=True)
class WorkUpStep:
    """One step that is asked for.

    Parameters
    ----------
    wanted : Mass
        The load the ramp asks for.
    low, high : Mass
        What will do; ``low`` ≤ ``wanted`` ≤ ``high``.
    reps : int
        At this load.
    """

    wanted: Mass
    low: Mass
    high: Mass
    reps: int


@dataclass(frozen=True, slots=True)
class WorkUpTurn:
    """One athlete's turn in one round.

    Parameters
    ----------
    turn : Turn
        Load, stack, and the change from the turn before, which may be of the round before.
    reps : int
        At this load.
    """

    turn: Turn
    reps: int


@dataclass(frozen=True, slots=True)
class WorkUp:
    """A group's rounds up to the top sets.

    Parameters
    ----------
    rounds : tuple of tuple of WorkUpTurn
        In turn order; who has fewer steps joins in a later round, all end together.
    rounds_s : tuple of float
        Length of each round [s].
    change_s : float
        Plate changing in all rounds [s].
    moves : int
        Plates moved in all rounds, both sides, the last stack taken off at the end.
    """

    rounds: tuple[tuple[WorkUpTurn, ...], ...]
    rounds_s: tuple[float, ...]
    change_s: float
    moves: int

    @property
    def order(self) -> tuple[AthleteId, ...]:
        """The turn order, the same in every round."""
        return tuple(item.turn.athlete for item in self.rounds[-1])

    @property
    def finish_s(self) -> float:
        """All rounds [s]."""
        return sum(self.rounds_s)


Steps = Mapping[AthleteId, tuple[WorkUpStep, ...]]


@dataclass(frozen=True, slots=True)
class _Place:
    """One turn of the chain."""

    round_at: int
    athlete: AthleteId
    step: WorkUpStep


@dataclass(frozen=True, slots=True)
class _Chain:
    places: list[_Place]
    stacks: list[Stack]
    seconds: float


def work_ups(problem: FloorProblem, plan: FloorPlan, steps: Steps) -> dict[str, WorkUp]:
    """Every platform's work-up, all from the one stock of plates.

    Parameters
    ----------
    problem, plan
        The floor and its groups; the top loads are the plan's own.
    steps : Mapping
        Athlete -> steps, lightest first, the last one the top set; platforms of nobody in it are
        left out.
    """
    needs = {group.platform: group.plates_needed() for group in plan.groups}
    made: dict[str, WorkUp] = {}
    for group in plan.groups:
        if any(turn.athlete in steps for turn in group.order):
            spare = spare_pairs(problem, needs, group.platform)
            made[group.platform] = work_up(problem, group, steps, spare)
            needs[group.platform] = pairs_needed(made[group.platform])
    return made


def spare_pairs(
    problem: FloorProblem, needs: Mapping[str, Counter[str]], platform: str
) -> dict[str, int]:
    """Pairs of each plate that the other platforms leave for this one."""
    taken: Counter[str] = Counter()
    for key, need in needs.items():
        if key != platform and problem.policy.shares_plates:
            taken.update(need)
    return {plate.key: plate.pairs - taken[plate.key] for plate in problem.plates}


def work_up(
    problem: FloorProblem, group: GroupPlan, steps: Steps, spare: Mapping[str, int]
) -> WorkUp:
    """One group's work-up from the plates that are at hand for its platform.

    Parameters
    ----------
    spare : Mapping
        Plate key -> pairs this platform may use.
    """
    longest = max(len(turn.stack) for turn in group.order)
    shelf = _Shelf(problem, problem.platform(group.platform), spare, longest)
    kept = {turn.athlete: _kept(shelf, turn, steps.get(turn.athlete, ())) for turn in group.order}
    tops = {turn.athlete: turn.stack for turn in group.order}
    chains = [_chain(shelf, _places(order, kept), tops) for order in _orders(group)]
    best = min(chains, key=lambda chain: chain.seconds)
    return _laid_out(problem, shelf, best)


def _kept(shelf: _Shelf, turn: Turn, steps: Sequence[WorkUpStep]) -> tuple[WorkUpStep, ...]:
    """The steps that this bar can make, rising; the top set always stands."""
    found: list[WorkUpStep] = []
    for step in steps[:-1]:
        if step.low == turn.load:
            found.append(step)  # straight sets beside a work-up
            continue
        makes = shelf.nearest(step)
        above = found[-1].high if found else Mass(0)
        if makes is not None and above < makes.low and makes.high < turn.load:
            found.append(makes)
    reps = steps[-1].reps if steps else shelf.problem.scheme.reps
    return (*found, WorkUpStep(turn.load, turn.load, turn.load, reps))


def _orders(group: GroupPlan) -> list[tuple[AthleteId, ...]]:
    planned = tuple(turn.athlete for turn in group.order)
    rising = tuple(turn.athlete for turn in sorted(group.order, key=lambda one: one.load))
    return list(dict.fromkeys((planned, rising, rising[::-1])))


def _places(
    order: Sequence[AthleteId], kept: Mapping[AthleteId, tuple[WorkUpStep, ...]]
) -> list[_Place]:
    rounds = max(len(mine) for mine in kept.values())
    found = []
    for round_at in range(rounds):
        for athlete in order:
            at = round_at - (rounds - len(kept[athlete]))
            if at >= 0:
                found.append(_Place(round_at, athlete, kept[athlete][at]))
    return found


class _Shelf:
    """Every stack that one platform's plates make, in one canonical order, by mass."""

    def __init__(
        self,
        problem: FloorProblem,
        platform: FloorPlatform,
        spare: Mapping[str, int],
        longest: int,
    ) -> None:
        self.problem, self.platform, self.spare = problem, platform, dict(spare)
        self.is_from_floor = problem.is_from_floor(platform)
        self.most = max(MOST_ON_A_SIDE, longest)
        self.plates = problem.plates_by_key()
        self.sorted = sorted(
            (plate for plate in problem.plates if spare.get(plate.key, 0) > 0),
            key=lambda plate: (-plate.mass.ticks, plate.key),
        )
        self.side = {plate.key: plate.mass.ticks for plate in problem.plates}
        self.on_s = {plate.key: plate.on_s for plate in problem.plates}
        self.off_s = {plate.key: plate.off_s for plate in problem.plates}
        self.additions = self._additions()
        stacks = [stack for stack in self._grown((), 0) if self.may_stand(stack) or not stack]
        self.by_total = sorted((self.total(stack), stack) for stack in stacks)
        self.totals = [total for total, _ in self.by_total]
        self.fewest: dict[int, int] = {}
        for total, stack in self.by_total:
            self.fewest[total] = min(len(stack), self.fewest.get(total, len(stack)))

    def _additions(self) -> list[Stack]:
        """Nothing, one plate, or two more."""
        keys = [plate.key for plate in self.sorted]
        pairs = [(one, two) for at, one in enumerate(keys) for two in keys[at:]]
        return [(), *((key,) for key in keys), *pairs]

    def _grown(self, stack: Stack, first: int) -> Iterator[Stack]:
        yield stack
        if len(stack) == MOST_ON_A_SIDE:
            return
        for at in range(first, len(self.sorted)):
            key = self.sorted[at].key
            if stack.count(key) < self.spare[key]:
                yield from self._grown((*stack, key), at)

    def may_stand(self, stack: Stack) -> bool:
        """Whether the stack holds the bar up, fits the sleeve, the order and the stock."""
        policy, sleeve_mm = self.problem.policy, self.platform.sleeve_mm
        on = [self.plates[key] for key in stack]
        if self.is_from_floor and not (on and on[0].is_full_diameter):
            return False
        if len(stack) > self.most:
            return False
        if sleeve_mm is not None and sum(plate.thickness_mm for plate in on) > sleeve_mm:
            return False
        if policy.stack_order is StackOrder.HEAVY_INSIDE and not _is_falling(on):
            return False
        return all(stack.count(key) <= self.spare.get(key, 0) for key in set(stack))

    def is_tidy(self, stack: Stack) -> bool:
        """Whether it has hardly more plates than the load needs: people must read the bar."""
        return len(stack) <= self.fewest.get(self.total(stack), self.most) + MORE_THAN_NEEDED

    def total(self, stack: Stack) -> int:
        """Bar and both sides [ticks]."""
        return self.platform.empty_bar.ticks + SIDES * sum(map(self.side.__getitem__, stack))

    def nearest(self, step: WorkUpStep) -> WorkUpStep | None:
        """The step as this bar can make it: as asked, or the nearest load below; None if none."""
        at = bisect_right(self.totals, step.high.ticks)
        if not at or self.totals[at - 1] <= self.platform.empty_bar.ticks:
            return None
        best = Mass(self.totals[at - 1])
        return step if best >= step.low else WorkUpStep(best, best, best, step.reps)

    def fitting(self, step: WorkUpStep) -> list[Stack]:
        """Stacks that will do, few plates first."""
        first = bisect_left(self.totals, step.low.ticks)
        found = self.by_total[first : bisect_right(self.totals, step.high.ticks)]
        found = sorted(found, key=lambda one: (len(one[1]), abs(one[0] - step.wanted.ticks)))
        return [stack for _, stack in found[:LOOKED_AT]]

    def grown_out_of(self, stack: Stack, step: WorkUpStep) -> Iterator[Stack]:
        """Stacks that will do and keep most of another one on the bar."""
        low, high = step.low.ticks, step.high.ticks
        for kept in dict.fromkeys((stack, stack[:-1], stack[:-2])):
            below = self.total(kept)
            for more in self.additions:
                if low <= below + SIDES * sum(map(self.side.__getitem__, more)) <= high:
                    made = (*kept, *more)
                    if self.is_tidy(made) and self.may_stand(made):
                        yield made


def _is_falling(plates: Sequence[FloorPlate]) -> bool:
    return all(inner.mass >= outer.mass for inner, outer in pairwise(plates))


def _chain(shelf: _Shelf, places: list[_Place], tops: Mapping[AthleteId, Stack]) -> _Chain:
    """The cheapest way through the turns: shortest path, a layer a turn."""
    costs: dict[Stack, float] = {(): 0.0}
    came: list[dict[Stack, Stack]] = []
    for place in places:
        reached: dict[Stack, float] = {}
        back: dict[Stack, Stack] = {}
        for stack in _looked_at(shelf, place, costs, tops):
            seconds, before = min((costs[old] + _change_s(shelf, old, stack), old) for old in costs)
            reached[stack] = seconds + _deviation_s(shelf, place.step, stack)
            back[stack] = before
        costs = reached
        came.append(back)
    return _walked_back(places, costs, came)


def _walked_back(
    places: list[_Place], costs: dict[Stack, float], came: list[dict[Stack, Stack]]
) -> _Chain:
    last = min(costs, key=lambda stack: (costs[stack], stack))
    seconds, stacks = costs[last], [last]
    for back in reversed(came[1:]):
        stacks.append(back[stacks[-1]])
    return _Chain(places, stacks[::-1], seconds)


def _looked_at(
    shelf: _Shelf, place: _Place, costs: Mapping[Stack, float], tops: Mapping[AthleteId, Stack]
) -> list[Stack]:
    found = shelf.fitting(place.step)
    top = tops[place.athlete]
    if place.step.low.ticks == place.step.high.ticks == shelf.total(top):
        found.append(top)  # the plan's own stack of the top set always fits the stock
    for stack in sorted(costs, key=lambda old: (costs[old], old))[:GROWN_FROM]:
        found += shelf.grown_out_of(stack, place.step)
    return list(dict.fromkeys(found))


def _change_s(shelf: _Shelf, before: Stack, after: Stack) -> float:
    """As changing_s of the turn, on the hot path: no sorting, no plate objects."""
    if before == after:
        return 0.0
    kept, shorter = 0, min(len(before), len(after))
    while kept < shorter and before[kept] == after[kept]:
        kept += 1
    took = shelf.problem.times.collars_s
    for key in before[kept:]:
        took += shelf.off_s[key]
    for key in after[kept:]:
        took += shelf.on_s[key]
    return took


def _deviation_s(shelf: _Shelf, step: WorkUpStep, stack: Stack) -> float:
    away = abs(shelf.total(stack) - step.wanted.ticks) / step.wanted.ticks * 100
    return shelf.problem.policy.deviation_s_per_pct_round * away


def _laid_out(problem: FloorProblem, shelf: _Shelf, chain: _Chain) -> WorkUp:
    rounds: dict[int, list[WorkUpTurn]] = {}
    before: Stack = ()
    for place, stack in zip(chain.places, chain.stacks, strict=True):
        off, on = change(before, stack)
        turn = Turn(place.athlete, Mass(shelf.total(stack)), stack, off, on)
        rounds.setdefault(place.round_at, []).append(WorkUpTurn(turn, place.step.reps))
        before = stack
    turns = [item for mine in rounds.values() for item in mine]
    moved = sum(len(item.turn.off) + len(item.turn.on) for item in turns) + len(before)
    return WorkUp(
        rounds=tuple(tuple(mine) for mine in rounds.values()),
        rounds_s=tuple(_round_s(problem, mine) for mine in rounds.values()),
        change_s=sum(changing_s(problem, item.turn) for item in turns),
        moves=SIDES * moved,
    )


def changing_s(problem: FloorProblem, turn: Turn) -> float:
    """Plates and collars before one turn [s]."""
    if not (turn.off or turn.on):
        return 0.0
    plates = problem.plates_by_key()
    moved = sum(plates[key].off_s for key in turn.off) + sum(plates[key].on_s for key in turn.on)
    return problem.times.collars_s + moved


def _round_s(problem: FloorProblem, turns: Sequence[WorkUpTurn]) -> float:
    times = problem.times
    sets = [times.set_s(item.reps) for item in turns]
    busy = sum(sets) + len(turns) * times.set_up_s
    busy += sum(changing_s(problem, item.turn) for item in turns)
    return max(busy, problem.scheme.rest_s + max(sets))


def pairs_needed(made: WorkUp) -> Counter[str]:
    """Pairs of each plate: the most that any stack of the work-up holds."""
    need: Counter[str] = Counter()
    for turns in made.rounds:
        for item in turns:
            need |= Counter(item.turn.stack)
    return need
