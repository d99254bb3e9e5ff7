"""A max-effort day before it is lifted: the work-up on a bar of this gym, chances, stop rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import Lift, LiftKey, MaxEffortScheme
from heftwright.domain.dose.bar_ladder import bar_ladder, plate_moves
from heftwright.domain.dose.guards import OPEN_TOP_RATIO
from heftwright.domain.dose.ramp import Ramp, RampStep, ramp
from heftwright.domain.dose.returns import LAY_OFF_NO_MAX_WEEKS, Return, settling_in
from heftwright.domain.prescription.coming_back import most_while_settling
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.stock import Bar
from heftwright.domain.strength import Belief
from heftwright.domain.strength.formulas import share_of_max
from heftwright.usecases import clock
from heftwright.usecases.actor import GymKey
from heftwright.usecases.dose_settings import get_settings, get_waves
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.maxes import get_beliefs
from heftwright.usecases.squad import get_athlete
from heftwright.usecases.stock import get_stock

HEADROOM_RATIO = 1.06


class RampViewError(Refusal):
    """A work-up that cannot be shown for this athlete or with this stock."""


@dataclass(frozen=True, slots=True)
class RampRow:
    """One step with the plates handled to get there, at both ends of the bar together."""

    step: RampStep
    moves: int


@dataclass(frozen=True, slots=True)
class RampView:
    """A work-up.

    Parameters
    ----------
    athlete, lift, bar
        Whose, in what, on which bar.
    scheme : MaxEffortScheme
        What is built up to; a minor or somebody back from a lay-off gets a triple for a single.
    max_kg : float
        The max that the steps are shares of [kg].
    max_words : str
        And what it rests on.
    ramp : Ramp
        Steps, cautions, stop rules.
    rows : tuple of RampRow
        The steps in order with their plate moves.
    cautions : tuple of str
        About this athlete, on top of the ramp's own.
    """

    athlete: Athlete
    lift: Lift
    bar: Bar
    scheme: MaxEffortScheme
    max_kg: float
    max_words: str
    ramp: Ramp
    rows: tuple[RampRow, ...]
    cautions: tuple[str, ...]


def get_ramp(
    *, gym: GymKey, athlete: AthleteId, lift: LiftKey, scheme: MaxEffortScheme
) -> RampView:
    """The work-up of one athlete in one lift on this gym's bar and plates.

    Raises
    ------
    NotFoundError
        If the athlete or lift is unknown.
    RampViewError
        If the lift is off for the athlete today or the gym has no bar for it.
    """
    today, person = clock.today(gym), get_athlete(gym=gym, athlete=athlete)
    found = catalogue_of(gym)[lift]
    barred = person.restriction_against(found, today)
    if barred is not None:
        raise RampViewError(f"{found.name} is off for {person.name} for now: no work-up is shown.")
    if scheme in found.never_as:
        words = scheme.value.replace("_", " ")
        raise RampViewError(f"{found.name} is never built up to a {words}: choose another.")
    back = settling_in(person, found, today)
    if back is not None and back.week <= LAY_OFF_NO_MAX_WEEKS:
        raise RampViewError(
            f"{person.name} is in week {back.week} back after {back.words}: no work-up is shown "
            f"in the first {LAY_OFF_NO_MAX_WEEKS} weeks."
        )
    belief = get_beliefs(gym=gym)[athlete, lift]
    stock = get_stock(gym=gym)
    bar = _bar(stock.bars, found)
    most = most_while_settling(back, get_waves(gym=gym)) if back else 1.0
    climbing = back if most < share_of_max(scheme.top_reps) else None
    own, cautions = _limits(person, climbing, belief, scheme, today)
    max_kg, words = belief.prescribing_kg(today)
    limited = person.is_minor_on(today)
    shown_kg = max_kg * (get_settings(gym=gym).policy.minor_top_ratio if limited else 1.0)
    if belief.is_tested and not belief.may_target_top(today):
        shown_kg = min(shown_kg, OPEN_TOP_RATIO * max_kg)
    shown_kg = min(shown_kg, most * max_kg / share_of_max(own.top_reps))
    ladder = bar_ladder(bar, stock.plates, HEADROOM_RATIO * max_kg)
    may_record = belief.may_target_top(today) and not (limited or climbing)
    made = ramp(shown_kg, own, ladder, bar.empty.in_kg, log_sd=belief.log_sd, may_record=may_record)
    steps = (*made.warmups, *made.attempts)
    moves = plate_moves(bar, stock.plates, [step.load_kg for step in steps])
    rows = tuple(RampRow(step, count) for step, count in zip(steps, moves, strict=True))
    return RampView(person, found, bar, own, shown_kg, words, made, rows, cautions)


def _bar(bars: Sequence[Bar], lift: Lift) -> Bar:
    fitting = [bar for bar in bars if bar.implement == lift.implement]
    if not fitting:
        raise RampViewError(
            f"The stock has no {lift.implement.shown} for {lift.name}: add one, or take another "
            "lift."
        )
    return fitting[0]


def _limits(
    person: Athlete, back: Return | None, belief: Belief, scheme: MaxEffortScheme, today: date
) -> tuple[MaxEffortScheme, tuple[str, ...]]:
    """What this athlete builds up to, and why it is less than was asked."""
    cautions = []
    own = scheme
    is_minor = person.is_minor_on(today)
    if (is_minor or back) and scheme is MaxEffortScheme.SINGLE:
        own = MaxEffortScheme.TRIPLE
    if is_minor:
        cautions.append("Counts as a minor: a triple instead of a single, well short of the max.")
    if back:
        cautions.append(f"Week {back.week} back after {back.words}: well short of the max.")
    if belief.is_tested and not belief.may_target_top(today):
        cautions.append(
            "The test is older than 26 weeks: the steps stop light; the coach sets the top set."
        )
    if not belief.is_tested:
        cautions.append("Never tested in this lift: the cautious end of the estimate is used.")
    return own, tuple(cautions)
