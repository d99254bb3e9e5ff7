"""What is believed about one athlete's max in one lift: median, ±, what it rests on, how old."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from statistics import NormalDist

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.evidence import Evidence

CAUTIOUS_QUANTILE = 0.20
ASK_AFTER_DAYS = 12 * 7
NO_TOP_TARGET_AFTER_DAYS = 26 * 7
DOUBTFUL_LOG_SD = 0.10
"""A tested max this unsure can only come of tests that contradict each other."""
_STANDARD = NormalDist()


class BeliefError(Refusal):
    """A belief that cannot be built or asked so."""


class NoBeliefError(NotFoundError):
    """Nobody knows anything about this athlete in this lift."""


class SourceKind(StrEnum):
    """What a belief rests on."""

    OWN = "own"
    OTHER_LIFT = "other_lift"
    SQUAD = "squad"
    RATIO = "ratio"


@dataclass(frozen=True, slots=True)
class Source:
    """One thing a belief rests on, in words."""

    kind: SourceKind
    words: str

    def __str__(self) -> str:
        return self.words


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed about one athlete's max in one lift.

    Parameters
    ----------
    athlete : AthleteId
        Who.
    lift : LiftKey
        Which lift.
    median_kg : float
        As likely above as below [kg], > 0.
    log_sd : float
        One standard deviation on the log scale, > 0 (0.03 is about ± 3 %).
    last_test : Evidence or None
        The latest tested or contest single in this lift.
    age_days : int or None
        Days since it; None if never tested.
    rests_on : tuple of Source
        Strongest first.
    """

    athlete: AthleteId
    lift: LiftKey
    median_kg: float
    log_sd: float
    last_test: Evidence | None
    age_days: int | None
    rests_on: tuple[Source, ...]

    def __post_init__(self) -> None:
        if not (self.median_kg > 0 and self.log_sd > 0):
            raise BeliefError(
                f"A max of {self.median_kg:g} kg ± {self.log_sd:g} cannot be: both must be above 0."
            )
        if (self.last_test is None) != (self.age_days is None):
            raise BeliefError("A test and its age must go together.")

    @property
    def is_tested(self) -> bool:
        """Whether a single in this lift was ever tested; else the max is an estimate."""
        return self.last_test is not None

    @property
    def plus_minus_kg(self) -> float:
        """One standard deviation [kg]."""
        return self.median_kg * self.log_sd

    def quantile_kg(self, q: float) -> float:
        """The load [kg] that the max exceeds with probability 1 - q, 0 < q < 1."""
        if not 0 < q < 1:
            raise BeliefError(f"A quantile of {q:g} must lie between 0 and 1.")
        return self.median_kg * math.exp(self.log_sd * _STANDARD.inv_cdf(q))

    def chance_to_make(self, load_kg: float) -> float:
        """Probability that the max is at least this load [kg], 0–1."""
        z = math.log(load_kg / self.median_kg) / self.log_sd
        return 0.5 * math.erfc(z / math.sqrt(2))

    def days_since_test(self, today: date) -> int | None:
        """Days since the last test, or None."""
        return None if self.last_test is None else self.last_test.age_days(today)

    @property
    def is_contradicted(self) -> bool:
        """Tested, but the evidence disagrees with itself beyond chance."""
        return self.is_tested and self.log_sd > DOUBTFUL_LOG_SD

    def asks_for_test(self, today: date) -> bool:
        """Never tested, the test is 12 weeks old, or the evidence contradicts it."""
        days = self.days_since_test(today)
        return days is None or days >= ASK_AFTER_DAYS or self.is_contradicted

    def may_target_top(self, today: date) -> bool:
        """Whether a top target may be set without the coach: tested within 26 weeks, no doubt."""
        days = self.days_since_test(today)
        is_fresh = days is not None and days < NO_TOP_TARGET_AFTER_DAYS
        return is_fresh and not self.is_contradicted

    @property
    def why_no_top(self) -> str:
        """Why a tested max sets no top by itself, where it does not."""
        return "contradicted by other evidence" if self.is_contradicted else "over 26 weeks old"

    def prescribing_kg(self, today: date) -> tuple[float, str]:
        """The max that percentages are taken of, and why.

        Tested within 26 weeks: the median (from 12 weeks on with a question). Untested, older, or
        contradicted by other evidence: the cautious quantile, and a test is proposed.
        """
        days = self.days_since_test(today)
        if days is None:
            kg = self.quantile_kg(CAUTIOUS_QUANTILE)
            return kg, f"{self.words(today)}; untested: used as {_kg(kg)}, test it when it suits"
        if days >= NO_TOP_TARGET_AFTER_DAYS:
            kg = self.quantile_kg(CAUTIOUS_QUANTILE)
            said = f"over 26 weeks old, so used as a cautious {_kg(kg)}; test again"
            return kg, f"{self.words(today)}: {said}"
        if self.is_contradicted:
            kg = self.quantile_kg(CAUTIOUS_QUANTILE)
            said = f"{self.words(today)}: the evidence contradicts itself, used as {_kg(kg)}"
            return kg, f"{said}, no top target; withdraw what is wrong, or test again"
        if days >= ASK_AFTER_DAYS:
            return (
                self.median_kg,
                f"{self._tested_words(today)}: is it still right? Test or confirm",
            )
        return self.median_kg, self._tested_words(today)

    def _tested_words(self, today: date) -> str:
        assert self.last_test is not None
        words = self.words(today)
        if abs(self.median_kg - self.last_test.load.in_kg) < 0.5:
            return words
        newer = [source.words for source in self.rests_on if source.kind is SourceKind.OWN][1:]
        what = newer[0] if newer else "all that is known"
        return f"{words}; {what}; together {_kg(self.median_kg)}"

    def words(self, today: date, unit: MassUnit = MassUnit.KG) -> str:
        """For example "tested 215 kg, 19 days ago" or "estimated 196 ± 6 kg" (one sd)."""
        if self.last_test is not None:
            load = self.last_test.load.shown(unit)
            return f"{self.last_test.kind.shown} {load}, {ago(self.last_test.age_days(today))}"
        middle = Mass.nearest_kg(self.median_kg).shown(unit, 0)
        number, _, name = middle.partition(" ")
        spread = Mass.nearest_kg(max(self.plus_minus_kg, 1.0)).shown(unit, 0).partition(" ")[0]
        return f"estimated {number} ± {spread} {name}"


def ago(days: int) -> str:
    """``"today"``, ``"yesterday"``, ``"19 days ago"``, ``"13 weeks ago"``."""
    if days <= 0:
        return "today"
    if days == 1:
        return "yesterday"
    return f"{days} days ago" if days < 70 else f"{days // 7} weeks ago"


def _kg(value: float) -> str:
    return Mass.nearest_kg(value).shown(MassUnit.KG, 0)
