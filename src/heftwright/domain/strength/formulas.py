"""From a set of repetitions to a max: seven published formulas and the training-load chart.

A rep max is a range, never one number: the formulas differ by several percent and were fitted on
other people. One repetition returns the load itself, whatever the formula. Two misprints are in
circulation and are not used here: Epley with 0.333 in place of 1/30, and Brzycki without 100.

References
----------
Epley 1985; Brzycki 1993 (JOPERD 64(1):88-90) [@brzycki-1993]; Lander 1985 (NSCA J 5(6):60-61);
Lombardi 1989; Mayhew et al. 1992 (J Appl Sport Sci Res 6(4):200-206);
O'Conner et al. 1989; Wathen 1994. Constants of Brzycki and Lander were seen, the others are from
memory and shown as unverified. Chart: Essentials of Strength Training and Conditioning (seen).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from statistics import median

from heftwright.domain.refusal import Refusal

WARN_ABOVE_REPS = 10


class RepMaxDomainError(Refusal):
    """Repetitions for which a formula or the chart says nothing."""


class RpeError(Refusal):
    """A rating of perceived exertion outside the scale."""


class RepMaxFormula(StrEnum):
    """The seven formulas."""

    EPLEY = "epley"
    BRZYCKI = "brzycki"
    LANDER = "lander"
    LOMBARDI = "lombardi"
    MAYHEW = "mayhew"
    OCONNER = "oconner"
    WATHEN = "wathen"

    @property
    def is_verified(self) -> bool:
        """Whether the constants were read in a copy of the source (else: from memory)."""
        return self in (RepMaxFormula.BRZYCKI, RepMaxFormula.LANDER)

    @property
    def first_undefined_reps(self) -> int | None:
        """The first whole number of repetitions where the formula breaks down, or None."""
        return {"brzycki": 37, "lander": 38}.get(self.value)


_RATIO_AT: Mapping[RepMaxFormula, Callable[[float], float]] = {
    RepMaxFormula.EPLEY: lambda reps: 1 + reps / 30,
    RepMaxFormula.BRZYCKI: lambda reps: 100 / (102.78 - 2.78 * reps),
    RepMaxFormula.LANDER: lambda reps: 100 / (101.3 - 2.67123 * reps),
    RepMaxFormula.LOMBARDI: lambda reps: reps**0.10,
    RepMaxFormula.MAYHEW: lambda reps: 100 / (52.2 + 41.9 * math.exp(-0.055 * reps)),
    RepMaxFormula.OCONNER: lambda reps: 1 + 0.025 * reps,
    RepMaxFormula.WATHEN: lambda reps: 100 / (48.8 + 53.8 * math.exp(-0.075 * reps)),
}

CHART_PCT: Mapping[int, float] = {
    1: 100, 2: 95, 3: 93, 4: 90, 5: 87, 6: 85, 7: 83, 8: 80, 9: 77, 10: 75, 12: 70,
}  # fmt: skip
"""Repetitions -> percent of the max [%], the standard strength text's training-load chart."""


def rep_max_kg(formula: RepMaxFormula, load_kg: float, reps: int) -> float:
    """Max from one set by one formula.

    Parameters
    ----------
    formula : RepMaxFormula
        Which.
    load_kg : float
        Load of the set [kg], > 0.
    reps : int
        Repetitions to the last possible one, ≥ 1; whole.

    Returns
    -------
    float
        The max [kg]; for one repetition the load itself.

    Raises
    ------
    RepMaxDomainError
        For less than one, broken or too many repetitions for this formula.
    """
    _check_reps(reps)
    _check_load(load_kg)
    limit = formula.first_undefined_reps
    if limit is not None and reps >= limit:
        raise RepMaxDomainError(
            f"The {formula.value.capitalize()} formula says nothing from {limit} reps on, and "
            f"{reps} were done: use a heavier set."
        )
    return load_kg if reps == 1 else load_kg * _RATIO_AT[formula](reps)


@dataclass(frozen=True, slots=True)
class RepMaxRange:
    """What the seven formulas say together.

    Parameters
    ----------
    low_kg, middle_kg, high_kg : float
        Lowest, median and highest [kg].
    by_formula : Mapping
        Formula -> max [kg]; formulas outside their domain are left out.
    cautions : tuple of str
        Sentences to show beside the numbers.
    """

    low_kg: float
    middle_kg: float
    high_kg: float
    by_formula: Mapping[RepMaxFormula, float]
    cautions: tuple[str, ...]


def rep_max_range(load_kg: float, reps: int, *, is_deadlift: bool = False) -> RepMaxRange:
    """Max from one set by all formulas defined for it.

    Parameters
    ----------
    load_kg : float
        Load of the set [kg], > 0.
    reps : int
        Repetitions, ≥ 1.
    is_deadlift : bool
        Deadlifts carry an "underestimates" note (LeSuer et al. 1997; Bishop et al. 2014).
    """
    _check_reps(reps)
    values = {
        formula: rep_max_kg(formula, load_kg, reps)
        for formula in RepMaxFormula
        if formula.first_undefined_reps is None or reps < formula.first_undefined_reps
    }
    ordered = sorted(values.values())
    cautions = _cautions(reps, is_deadlift=is_deadlift)
    return RepMaxRange(ordered[0], median(ordered), ordered[-1], values, cautions)


def _cautions(reps: int, *, is_deadlift: bool) -> tuple[str, ...]:
    found = []
    if reps > WARN_ABOVE_REPS:
        found.append(
            f"{reps} reps: above {WARN_ABOVE_REPS} the formulas drift apart; treat as a hint."
        )
    if is_deadlift and reps > 1:
        found.append("Deadlift from reps: formulas underestimate the deadlift.")
    return tuple(found)


def share_of_max(reps: float) -> float:
    """Share of the max that can be lifted ``reps`` times, read from the chart.

    Parameters
    ----------
    reps : float
        1–12; between rows the chart is read on a straight line (derived).

    Returns
    -------
    float
        0.70–1.

    Raises
    ------
    RepMaxDomainError
        Outside the chart.
    """
    if not 1 <= reps <= 12:
        raise RepMaxDomainError(f"The chart covers 1–12 reps, not {reps:g}: use a heavier set.")
    lower = max(row for row in CHART_PCT if row <= reps)
    upper = min(row for row in CHART_PCT if row >= reps)
    if lower == upper:
        return CHART_PCT[lower] / 100
    part = (reps - lower) / (upper - lower)
    return (CHART_PCT[lower] + part * (CHART_PCT[upper] - CHART_PCT[lower])) / 100


def share_with_reserve(reps: int, reps_in_reserve: float) -> float:
    """Share of the max of a set stopped with repetitions in reserve: chart(reps + reserve)."""
    return share_of_max(reps + reps_in_reserve)


@lru_cache(maxsize=512)
def implied_max_ratio(reps_to_failure: float) -> float:
    """Max over load for a set of this many possible repetitions: one middle value for beliefs.

    The chart up to 10; above, the median of the formulas, which meets the chart at 10 within
    0.1 %. Whole or broken repetitions (reserve may be a half), 1–30.
    """
    if not 1 <= reps_to_failure <= 30:
        raise RepMaxDomainError(
            f"{reps_to_failure:g} possible reps says too little about a max: use a set of 1–30."
        )
    if reps_to_failure <= WARN_ABOVE_REPS:
        return 1 / share_of_max(reps_to_failure)
    return median(ratio(reps_to_failure) for ratio in _RATIO_AT.values())


def reserve_from_rpe(rpe: float) -> float:
    """Repetitions in reserve from a rating 1–10 (Zourdos et al. 2016: 10 = 0, 9 = 1 …)."""
    if not 1 <= rpe <= 10:
        raise RpeError(f"A rating of {rpe:g} is outside 1–10: 10 is nothing left, 9 is one rep.")
    return 10 - rpe


@dataclass(frozen=True, slots=True)
class ReserveBand:
    """What a reported reserve really is: expected, and the 95 % band of the mean bias [reps]."""

    expected: float
    low: float
    high: float


def true_reserve(reported: float) -> ReserveBand:
    """Correct a reported reserve for its mean bias: lifters have 0.95 reps more (0.17–1.73).

    Halperin et al. 2022 (seen). The belief does not shift by it, it widens by it: a squad that
    tests often rates better than the pooled studies.
    """
    return ReserveBand(reported + 0.95, reported + 0.17, reported + 1.73)


def chest_press_max_from_5rm_kg(five_rep_max_kg: float) -> float:
    """Chest-press max [kg] from a 5RM (Reynolds et al. 2006, JSCR 20(3):584-592, seen)."""
    return 1.1307 * five_rep_max_kg + 0.6999


def leg_press_max_from_5rm_kg(five_rep_max_kg: float) -> float:
    """Leg-press max [kg] from a 5RM (Reynolds et al. 2006, seen) [@reynolds-2006]."""
    return 1.0970 * five_rep_max_kg + 14.2546


def bench_max_kravitz_kg(load_kg: float, reps: int) -> float:
    """Bench max [kg] of powerlifters from many reps (Kravitz et al. 2003, JSCR 17(1), seen)."""
    _check_reps(reps)
    return 90.66 + 0.085 * reps * load_kg - 5.306 * reps


def _check_reps(reps: int) -> None:
    if isinstance(reps, bool) or not isinstance(reps, int):
        raise RepMaxDomainError(
            f"{reps} is not a whole number of reps: enter the reps that were completed."
        )
    if reps < 1:
        raise RepMaxDomainError(f"{reps} reps gives no max: at least one is needed.")


def _check_load(load_kg: float) -> None:
    if not (math.isfinite(load_kg) and load_kg > 0):
        raise RepMaxDomainError(f"A load of {load_kg:g} kg gives no max: it must be above 0.")
