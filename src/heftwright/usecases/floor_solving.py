"""The floor of one class: tonight's problem from the gym's terms, solved, re-solved or by hand."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from heftwright.domain.dose import Scheme
from heftwright.domain.floor.baseline import usual_way
from heftwright.domain.floor.checker import check_floor
from heftwright.domain.floor.plan import FloorPlan
from heftwright.domain.floor.policy import FloorPolicy
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.floor.stacks import ordered_group, without
from heftwright.domain.floor.terms import Company, FloorTerms, FloorWish, on_terms
from heftwright.domain.floor.tonight import TonightsFloor, tonights_floor
from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.refusal import Refusal
from heftwright.domain.sheet.planned import Tonight
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.stock import Stock
from heftwright.usecases.gathering import Gathered

CIRCUIT_SHARE = 0.25
MIN_CIRCUIT_MIN = 15.0
LIMIT_S = 2.0
"""Time for a plan; for finding out whom tonight's bands cannot reach [s]."""
LIVE_FACTOR = 3.0
"""What a change costs in the middle of a class against before it (common practice, no source)."""
WIDEST_BELOW_RATIO = 0.05
"""A top load further below its target is no max effort any more (common practice, no source)."""
WIDER_WORDS = (
    "Plates are short tonight: {gained} more {people} a bar because top loads may stay up to "
    "5 % of the max below their targets."
)
NOBODY_WORDS = "Nobody lifts a bar tonight: mark who is here and plan again, or close the class."
Change = Callable[[FloorProblem, FloorPlan], FloorPlan]


class PlanCheckError(Refusal):
    """A floor plan that its own checker refused: a fault of ours, never shown as a plan."""


class ClassOverError(Refusal):
    """A class whose sets are all done."""


@dataclass(frozen=True, slots=True)
class FloorAsk:
    """What the floor is planned on.

    Parameters
    ----------
    on : date
        Which day.
    minutes : int
        Of the class [min].
    terms : FloorTerms
        The gym's times and prices.
    wishes : Mapping
        Athlete -> wish.
    tonight : Tonight
        What is by hand.
    previous : FloorPlan or None
        A plan to stay close to.
    done_rounds : int or None
        Rounds that are over; None while the class has not begun.
    is_settled : bool
        Whether people know the plan already and stay where they are unless it is well worth it.
    """

    on: date
    minutes: int
    terms: FloorTerms = FloorTerms()
    wishes: Mapping[str, FloorWish] = field(default_factory=dict)
    tonight: Tonight = Tonight()
    previous: FloorPlan | None = None
    done_rounds: int | None = None
    is_settled: bool = False


@dataclass(frozen=True, slots=True)
class PlannedFloor:
    """A floor with its checked plan, what the coach is told of it, and that in short."""

    floor: TonightsFloor
    plan: FloorPlan
    words: tuple[str, ...]
    is_proven: bool = True
    refused: frozenset[AthleteId] = frozenset()
    """Taken off the sheet after planning: counted neither here nor in the usual way."""

    @property
    def saved_words(self) -> str:
        """Moves, and how many fewer than the usual way where everybody lifts in both."""
        if not self.plan.groups:
            return ""
        usual = _usual(self.floor, self.refused)
        moves = f"{self.plan.moves} plate moves"
        if not usual.groups or len(usual.unplaced) != len(self.plan.unplaced):
            return moves
        return f"{moves}, {max(0, usual.moves - self.plan.moves)} saved"


def circuit_min(minutes: int) -> float:
    """Time for the circuit after the main lift [min]."""
    return max(MIN_CIRCUIT_MIN, minutes * CIRCUIT_SHARE)


def stock_tonight(stock: Stock, tonight: Tonight) -> Stock:
    """The stock without the bands that broke."""
    if not tonight.broken_bands:
        return stock
    bands = tuple(
        replace(band, pairs=max(0, band.pairs - tonight.broken_bands.count(band.key)))
        for band in stock.bands
    )
    return replace(stock, bands=tuple(band for band in bands if band.pairs))


def floor_of(
    wanted: Sequence[WantedWork],
    gathered: Gathered,
    ask: FloorAsk,
    scheme: Scheme,
    schemes: tuple[Scheme, ...],
) -> TonightsFloor:
    """Tonight's floor on the gym's own terms."""
    floor = tonights_floor(
        wanted, gathered.athletes, stock_tonight(gathered.stock, ask.tonight), gathered.catalogue,
        scheme, FloorPolicy(),
    )  # fmt: skip
    by_hand = {place.athlete for place in ask.tonight.places}
    company = Company(ask.wishes, _beginners(gathered, ask.on), by_hand)
    slot_min = max(1.0, ask.minutes - ask.terms.warm_up_min - circuit_min(ask.minutes))
    problem = replace(
        on_terms(floor.problem, ask.terms, company), schemes=schemes, chosen=scheme,
        class_minutes=slot_min,
    )  # fmt: skip
    return replace(floor, problem=problem)


def _beginners(gathered: Gathered, on: date) -> set[AthleteId]:
    weeks = gathered.settings.policy.beginner_weeks

    def is_new(athlete: Athlete) -> bool:
        joined = athlete.joined_on
        return joined is not None and (on - joined).days < 7 * weeks

    return {athlete.id for athlete in gathered.athletes.values() if is_new(athlete)}


def solve_class_floor(
    floor: TonightsFloor, ask: FloorAsk, limit_s: float = LIMIT_S
) -> PlannedFloor:
    """The best floor, or the best that changes little.

    Parameters
    ----------
    floor, ask
        What is wanted.
    limit_s : float
        Time for a plan that is not of a running class [s].

    Raises
    ------
    ClassOverError
        If all sets are done.
    PlanCheckError
        If no plan was found in time, or it did not pass its check.
    """
    from heftwright.solve.floor import replan_floor  # heavy: only where it is used

    if not floor.problem.lifters:
        return PlannedFloor(floor, FloorPlan((), (), floor.problem.scheme), (NOBODY_WORDS,))
    if ask.done_rounds is None and ask.previous is not None and ask.is_settled:
        near = _checked(floor, replan_floor(settled(floor).problem, ask.previous))
        return near if not near.plan.unplaced else _for_everybody(floor, ask, limit_s)
    if ask.done_rounds is None or ask.previous is None:
        return _for_everybody(floor, ask, limit_s)
    live = in_the_middle(floor)
    rest = rest_of(live, ask)
    return _checked(rest, replan_floor(live.problem, ask.previous, done_rounds=ask.done_rounds))


def _for_everybody(floor: TonightsFloor, ask: FloorAsk, limit_s: float) -> PlannedFloor:
    """Max-effort loads may stay twice as far below their targets before anybody has no bar."""
    from heftwright.solve.floor import solve_floor

    made = _checked(floor, solve_floor(floor.problem, limit_s=limit_s, previous=ask.previous))
    wide = _wider_below(floor)
    if not made.plan.unplaced or wide.problem == floor.problem:
        return made
    other = _checked(wide, solve_floor(wide.problem, limit_s=limit_s, previous=ask.previous))
    gained = len(made.plan.unplaced) - len(other.plan.unplaced)
    if gained <= 0:
        return made
    return replace(other, words=(*other.words, wider_words(gained)))


def wider_words(gained: int) -> str:
    """Who has a bar because loads may stay further below, in a sentence."""
    people = "person has" if gained == 1 else "people have"
    return WIDER_WORDS.format(gained=gained, people=people)


def _wider_below(floor: TonightsFloor) -> TonightsFloor:
    lifters = tuple(
        replace(who, tolerance_ratio=min(WIDEST_BELOW_RATIO, 2 * who.tolerance_ratio))
        if who.never_above
        else who
        for who in floor.problem.lifters
    )
    return replace(floor, problem=replace(floor.problem, lifters=lifters))


def change_class_floor(floor: TonightsFloor, ask: FloorAsk, change: Change) -> PlannedFloor:
    """The floor as it stands with one change by hand.

    Raises
    ------
    Refusal
        If there is no plan to change, or the change cannot be made.
    """
    if ask.previous is None:
        raise Refusal("There is no plan to change: plan the class first.")
    rest = rest_of(floor if ask.done_rounds is None else in_the_middle(floor), ask)
    plan = change(rest.problem, restated(rest.problem, ask.previous))
    return PlannedFloor(rest, plan, _told(rest, plan))


def in_the_middle(floor: TonightsFloor) -> TonightsFloor:
    """The same floor while the class runs: nobody moves unless it is well worth it.

    The minutes of the slot no longer bind: what is left is lifted as fast as it goes.
    """
    live = settled(floor)
    return replace(live, problem=replace(live.problem, class_minutes=None))


def settled(floor: TonightsFloor) -> TonightsFloor:
    """The same floor where a change of people, loads or bands costs what it does in a class."""
    policy = floor.problem.policy
    dearer = replace(
        policy, stay_s=LIVE_FACTOR * policy.stay_s, rig_s=LIVE_FACTOR * policy.rig_s,
        new_load_s=LIVE_FACTOR * policy.new_load_s,
    )  # fmt: skip
    return replace(floor, problem=replace(floor.problem, policy=dearer))


def rest_of(floor: TonightsFloor, ask: FloorAsk) -> TonightsFloor:
    """The same floor for the rounds that are left."""
    from heftwright.solve.floor import remaining

    if ask.done_rounds is None or ask.done_rounds == 0:
        return floor
    if ask.done_rounds >= floor.problem.scheme.sets:
        raise ClassOverError("All sets of this slot are done: there is nothing left to plan.")
    return replace(floor, problem=remaining(floor.problem, ask.done_rounds))


def restated(problem: FloorProblem, plan: FloorPlan) -> FloorPlan:
    """A plan's groups, stacks and order, with the clock and the moves of this problem."""
    here = {lifter.athlete for lifter in problem.lifters}
    groups = []
    for group in plan.groups:
        order = [(turn.athlete, turn.stack) for turn in group.order if turn.athlete in here]
        if order:
            platform = problem.platform(group.platform)
            groups.append(ordered_group(problem, platform, group.set_up, order))
    return FloorPlan(tuple(groups), plan.unplaced, problem.scheme)


def _checked(
    floor: TonightsFloor, ended: Solved[FloorPlan] | Infeasible | Stopped[FloorPlan]
) -> PlannedFloor:
    problem = floor.problem
    if isinstance(ended, Infeasible):
        left = tuple((item.athlete, " ".join(ended.reasons)) for item in problem.lifters)
        return PlannedFloor(floor, FloorPlan((), left, problem.scheme), ended.reasons)
    plan = ended.plan if isinstance(ended, Solved) else ended.best
    if plan is None:
        raise PlanCheckError("The floor was not planned in time: plan again, or plan fewer people.")
    broken = check_floor(problem, plan)
    if broken:
        raise PlanCheckError("The floor plan did not pass its check: " + " ".join(broken))
    told = (*_told(floor, plan), *_notes(problem, plan))
    return PlannedFloor(floor, plan, told, isinstance(ended, Solved))


def without_refused(made: PlannedFloor, refused: Collection[AthleteId]) -> PlannedFloor:
    """The floor as it is lifted and told, without whom the sheet gives no bar after all."""
    gone = frozenset(refused) & {who for group in made.plan.groups for who in group.athletes}
    if not gone:
        return made
    plan = without(made.floor.problem, made.plan, gone)
    words = (*_told(made.floor, plan, gone), *_notes(made.floor.problem, plan))
    return replace(made, plan=plan, words=words, refused=gone)


def _usual(floor: TonightsFloor, refused: frozenset[AthleteId]) -> FloorPlan:
    return without(floor.problem, usual_way(floor.problem), refused)


def _notes(problem: FloorProblem, plan: FloorPlan) -> list[str]:
    """The planner's notes; a rounded load without tolerance is said by the line's own reasons."""
    from heftwright.solve.floor import load_notes

    exact = tuple(f"{who.called}: " for who in problem.lifters if not who.tolerance_ratio)
    said = {note for note in load_notes(problem, plan) if note.startswith(exact)}
    return [note for note in plan.notes if note not in said]


def _told(
    floor: TonightsFloor, plan: FloorPlan, refused: frozenset[AthleteId] = frozenset()
) -> tuple[str, ...]:
    usual = _usual(floor, refused)
    if not usual.groups or len(usual.unplaced) != len(plan.unplaced):
        return (f"{plan.moves} plate moves; done in {plan.finish_s / 60:.0f} min.",)
    words = (
        f"{plan.moves} plate moves against {usual.moves} the usual way (sorted by strength, "
        f"largest plates first); done in {plan.finish_s / 60:.0f} min against "
        f"{usual.finish_s / 60:.0f} min."
    )
    return (words,)
