"""Is this number believable? Checks of an entered max against the one already known.

Limits are our own (trust.md, marked † there): outside 50–130 % of the known max nothing goes on
unasked; above 110 %, or a change of more than 25 %, the coach says yes or no.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.strength.evidence import Evidence
from heftwright.domain.strength.one_max import Belief

STOP_BELOW, STOP_ABOVE = 0.50, 1.30
COACH_ABOVE, COACH_CHANGE = 1.10, 0.25
_SDS_STOP, _SDS_COACH = 3.0, 2.0


class JumpKind(StrEnum):
    """What may have happened."""

    WRONG_UNIT = "wrong_unit"
    OUT_BY_TEN = "out_by_ten"
    OUT_OF_RANGE = "out_of_range"
    ABOVE_110 = "above_110"
    BIG_CHANGE = "big_change"


@dataclass(frozen=True, slots=True)
class JumpFlag:
    """A question about a number.

    Parameters
    ----------
    kind : JumpKind
        What may have happened.
    is_hard : bool
        True: stopped until the person who entered it answers. False: the coach accepts or not.
    sentence : str
        What is odd, and what to do.
    """

    kind: JumpKind
    is_hard: bool
    sentence: str


@dataclass(frozen=True, slots=True)
class _Range:
    """What is believable beside the known max; an estimate's own doubt widens it."""

    known_kg: float
    stop_low: float
    stop_high: float
    coach_low: float
    coach_high: float

    def stops(self, kg: float) -> bool:
        return not self.stop_low <= kg / self.known_kg <= self.stop_high

    def asks(self, kg: float) -> bool:
        return not self.coach_low <= kg / self.known_kg <= self.coach_high


def _range(belief: Belief) -> _Range:
    stop, coach = math.exp(_SDS_STOP * belief.log_sd), math.exp(_SDS_COACH * belief.log_sd)
    if belief.is_tested:
        known = belief.median_kg
        return _Range(known, STOP_BELOW, STOP_ABOVE, 1 - COACH_CHANGE, COACH_ABOVE)
    return _Range(
        belief.median_kg,
        min(STOP_BELOW, 1 / stop),
        max(STOP_ABOVE, stop),
        min(1 - COACH_CHANGE, 1 / coach),
        max(COACH_ABOVE, coach),
    )


def check_new_max(entered: EnteredMass, known: Belief) -> tuple[JumpFlag, ...]:
    """Questions about an entered max, most serious first; none if it is believable.

    Parameters
    ----------
    entered : EnteredMass
        As written, with its unit.
    known : Belief
        What was believed before.
    """
    kg = entered.mass.in_kg
    if kg <= 0:
        sentence = f"{entered} is no max: enter what was lifted."
        return (JumpFlag(JumpKind.OUT_OF_RANGE, is_hard=True, sentence=sentence),)
    believable = _range(known)
    if believable.stops(kg):
        return (_stop(entered, believable),)
    if not believable.asks(kg):
        return ()
    return (_ask(entered, believable),)


def check_evidence(evidence: Evidence, known: Belief, unit: MassUnit) -> tuple[JumpFlag, ...]:
    """Questions about a piece of evidence: about the max that it speaks for.

    A set of several repetitions may be light on purpose, so that a max somewhat below the known
    one is nothing odd; far below, somebody mistyped the load, the unit, the lift or the athlete.

    Parameters
    ----------
    evidence : Evidence
        What was entered or logged.
    known : Belief
        What was believed before.
    unit : MassUnit
        The unit it was entered in.
    """
    flags = check_new_max(_as_entered(evidence, unit), known)
    is_above = evidence.implied_kg > known.median_kg
    return tuple(flag for flag in flags if evidence.is_single or flag.is_hard or is_above)


def _as_entered(evidence: Evidence, unit: MassUnit) -> EnteredMass:
    """The max it speaks for; of a single the very number that was entered."""
    is_exact = evidence.possible_reps == 1
    if is_exact:
        return EnteredMass(round(evidence.load.ticks * 1000 / unit.ticks), unit)
    halves = round(2 * Mass.nearest_kg(evidence.implied_kg).ticks / unit.ticks)
    return EnteredMass(500 * halves, unit)


def _stop(entered: EnteredMass, believable: _Range) -> JumpFlag:
    kg = entered.mass.in_kg
    share = _share(kg, believable.known_kg)
    other_unit = MassUnit.LB if entered.unit is MassUnit.KG else MassUnit.KG
    other = EnteredMass(entered.thousandths, other_unit)
    if not believable.stops(other.mass.in_kg):
        sentence = f"{entered} is {share}. Was it {other}? Enter it with the unit that was meant."
        return JumpFlag(JumpKind.WRONG_UNIT, is_hard=True, sentence=sentence)
    for factor in (10.0, 0.1):
        if not believable.stops(kg * factor):
            meant = Mass.nearest_kg(kg * factor).shown(entered.unit)
            sentence = f"{entered} is {share}. Was it {meant}? Check the point and the digits."
            return JumpFlag(JumpKind.OUT_BY_TEN, is_hard=True, sentence=sentence)
    sentence = f"{entered} is {share}. Check the athlete, the lift and the number."
    return JumpFlag(JumpKind.OUT_OF_RANGE, is_hard=True, sentence=sentence)


def _ask(entered: EnteredMass, believable: _Range) -> JumpFlag:
    kg = entered.mass.in_kg
    share = _share(kg, believable.known_kg)
    if kg > believable.known_kg:
        sentence = f"{entered} is {share}: the coach accepts it or not."
        return JumpFlag(JumpKind.ABOVE_110, is_hard=False, sentence=sentence)
    sentence = f"{entered} is {share}: the coach accepts the drop, or it was not a max."
    return JumpFlag(JumpKind.BIG_CHANGE, is_hard=False, sentence=sentence)


def _share(kg: float, known_kg: float) -> str:
    known = Mass.nearest_kg(known_kg).shown(MassUnit.KG, 0)
    return f"{100 * kg / known_kg:.0f} % of the {known} known"
