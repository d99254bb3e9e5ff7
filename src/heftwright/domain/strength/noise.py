"""How much each piece of evidence can say, and how it ages."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import Pattern
from heftwright.domain.refusal import Refusal
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.domain.strength.spread import Spread

CONTRADICTION = 9.0
"""Mean square of the steps between pieces of evidence, in sd, beyond which they contradict."""


class BeliefSettingsError(Refusal):
    """Settings of the beliefs that contradict themselves."""


@dataclass(frozen=True, slots=True)
class BeliefSettings:
    """Noise, ageing and prior spreads, all on the log scale; our judgement unless cited.

    Parameters
    ----------
    test_sd : float
        A tested single. Repeated tests differ by a median CV of 4.2 % (Grgic et al. 2020); a
        coach's accepted test is closer to the day's max: 0.02 by default.
    rep_sd : float
        Added in quadrature for every further possible rep of a set (formulas differ by that).
    reserve_sd : float
        Added in quadrature for a reserve that was felt, not found (Halperin et al. 2022).
    banded_sd, speed_sd : float
        A converted single against bands; a bar-speed profile.
    deadlift_factor : float
        Rep sets and bar speed say less about deadlifts (LeSuer 1997; Ruf 2018), ≥ 1.
    week_sd : float
        Random walk of a max: sd of one week's change, ≥ 0 (0.009 is 3 % in 12 weeks).
    spread : Spread
        Prior medians of the spreads between athletes, families and lifts.
    spread_log_sd : float
        How well those are known beforehand.
    grid_points : int
        For each spread.
    """

    test_sd: float = 0.02
    rep_sd: float = 0.009
    reserve_sd: float = 0.025
    banded_sd: float = 0.05
    speed_sd: float = 0.06
    deadlift_factor: float = 1.6
    week_sd: float = 0.009
    spread: Spread = Spread(0.15, 0.08, 0.05)
    spread_log_sd: float = 0.5
    grid_points: int = 5

    def __post_init__(self) -> None:
        sds = (self.test_sd, self.rep_sd, self.reserve_sd, self.banded_sd, self.speed_sd)
        if not all(0 < sd < 0.5 for sd in sds) or self.week_sd < 0 or self.deadlift_factor < 1:
            raise BeliefSettingsError(
                "Every sd must be above 0 and below 0.5, the weekly one at least 0, the deadlift "
                "factor at least 1."
            )
        if not 1 <= self.grid_points <= 15 or self.spread_log_sd <= 0:
            raise BeliefSettingsError("Grid points must be 1–15 and the spread's log sd above 0.")

    def noise_sd(self, evidence: Evidence, *, is_deadlift: bool) -> float:
        """Standard deviation of the implied max on the log scale."""
        if evidence.kind is EvidenceKind.BANDED_SINGLE:
            return self.banded_sd
        if evidence.kind is EvidenceKind.BAR_SPEED:
            return self.speed_sd * (self.deadlift_factor if is_deadlift else 1.0)
        more = evidence.possible_reps - 1.0
        felt = self.reserve_sd * min(1.0, evidence.reps_in_reserve)
        extra = math.hypot(self.rep_sd * more, felt)
        return math.hypot(self.test_sd, extra * (self.deadlift_factor if is_deadlift else 1.0))


def speaks_for_deadlift(pattern: Pattern) -> bool:
    """Whether reps and bar speed are known to mislead in this pattern."""
    return pattern is Pattern.DEADLIFT


def usable(evidence: Sequence[Evidence], *, is_deadlift: bool) -> tuple[Evidence, ...]:
    """Evidence of one athlete and lift that counts.

    Of the singles of one day only the heaviest is the day's test: the others led up to it. A
    deadlift estimated from reps or bar speed never lowers a tested max (LeSuer et al. 1997;
    Bishop et al. 2014): such evidence below the latest single is left out.
    """
    evidence = _best_of_each_day(evidence)
    singles = [item for item in evidence if item.is_single]
    if not is_deadlift or not singles:
        return tuple(evidence)
    tested = max(singles, key=lambda item: item.on).implied_kg
    return tuple(
        item
        for item in evidence
        if item.is_single or not _is_indirect(item) or item.implied_kg >= tested
    )


def _best_of_each_day(evidence: Sequence[Evidence]) -> list[Evidence]:
    best: dict[date, Evidence] = {}
    for item in evidence:
        if item.is_single and (item.on not in best or item.load > best[item.on].load):
            best[item.on] = item
    return [item for item in evidence if not item.is_single or best[item.on] is item]


def _is_indirect(evidence: Evidence) -> bool:
    return evidence.possible_reps > 1 or evidence.kind is EvidenceKind.BAR_SPEED


def seen_today(
    evidence: Sequence[Evidence], today: date, settings: BeliefSettings, *, is_deadlift: bool
) -> tuple[float, float]:
    """All evidence of one athlete and lift as one number for today, exact for a random walk.

    Returns
    -------
    (float, float)
        Mean [ln kg] and variance of today's max from this evidence alone: a Kalman filter without
        a prior, so old tests count less. Evidence that contradicts itself by more than chance can
        explain counts as that much less sure.
    """
    ordered = sorted(evidence, key=lambda item: item.on)
    mean, precision, last, surprise = 0.0, 0.0, ordered[0].on, 0.0
    drift = settings.week_sd**2 / 7
    for item in ordered:
        precision = _aged(precision, drift * (item.on - last).days)
        weight = settings.noise_sd(item, is_deadlift=is_deadlift) ** -2
        if precision > 0.0:
            surprise += (item.implied_ln - mean) ** 2 / (1.0 / precision + 1.0 / weight)
        mean = (precision * mean + weight * item.implied_ln) / (precision + weight)
        precision, last = precision + weight, item.on
    variance = 1.0 / _aged(precision, drift * (today - last).days)
    return mean, variance * _widened(surprise, len(ordered) - 1)


def _widened(surprise: float, degrees: int) -> float:
    """Factor on the variance where the pieces disagree beyond chance, else 1.

    The mean square of the standardised steps is about 1 when the noise is as assumed (Birge 1932:
    widen by it). Here only what lies beyond three sd counts, so that ordinary scatter changes
    nothing; from memory.
    """
    if degrees < 1:
        return 1.0
    return max(1.0, surprise / degrees - CONTRADICTION + 1.0)


def _aged(precision: float, variance: float) -> float:
    return precision / (1.0 + precision * variance)
