"""Evidence about a max: what was lifted, when, and how much it can say."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.formulas import implied_max_ratio

HEAVIEST_KG = 1000.0


class EvidenceError(Refusal):
    """Evidence that cannot have happened as entered."""


class EvidenceKind(StrEnum):
    """Where the number is from."""

    TEST = "test"
    CONTEST = "contest"
    REP_SET = "rep_set"
    BANDED_SINGLE = "banded_single"
    BAR_SPEED = "bar_speed"

    @property
    def shown(self) -> str:
        """The verb on screens and paper."""
        return _SHOWN[self]


_SHOWN = {
    EvidenceKind.TEST: "tested",
    EvidenceKind.CONTEST: "lifted at a contest",
    EvidenceKind.REP_SET: "from a rep set",
    EvidenceKind.BANDED_SINGLE: "from a single against bands",
    EvidenceKind.BAR_SPEED: "from bar speed",
}


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing that was lifted.

    Parameters
    ----------
    athlete : AthleteId
        Who.
    lift : LiftKey
        In which lift.
    kind : EvidenceKind
        What it was.
    load : Mass
        Bar and plates [> 0, ≤ 1000 kg]; of a single against bands or a bar-speed profile, the
        max it was converted to.
    on : date
        When.
    reps : int
        Completed, 1–30.
    reps_in_reserve : float
        Felt to be left, 0–10.
    note : str
        The coach's words.
    """

    athlete: AthleteId
    lift: LiftKey
    kind: EvidenceKind
    load: Mass
    on: date
    reps: int = 1
    reps_in_reserve: float = 0.0
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.load.in_kg <= HEAVIEST_KG:
            raise EvidenceError(f"A load of {self.load} is outside 0–{HEAVIEST_KG:g} kg.")
        if not 1 <= self.reps <= 30:
            raise EvidenceError(f"{self.reps} reps is outside 1–30: use a heavier set.")
        if not 0 <= self.reps_in_reserve <= 10:
            raise EvidenceError(f"{self.reps_in_reserve:g} reps in reserve is outside 0–10.")
        if self.kind is EvidenceKind.TEST and self.reps != 1:
            raise EvidenceError(f"A test is a single, not {self.reps} reps: enter a rep set.")

    @property
    def is_single(self) -> bool:
        """A tested or contest single with nothing left: what a tested max is."""
        is_test = self.kind in (EvidenceKind.TEST, EvidenceKind.CONTEST)
        return is_test and self.reps == 1 and self.reps_in_reserve == 0

    def set_words(self, unit: MassUnit | None = None) -> str:
        """Load, reps and what was felt to be left: "62.5 kg × 5, 2 in reserve"."""
        load = str(self.load) if unit is None else self.load.shown(unit)
        reps = "" if self.reps == 1 else f" × {self.reps}"
        left = f", {self.reps_in_reserve:g} in reserve" if self.reps_in_reserve else ""
        return f"{load}{reps}{left}"

    @property
    def possible_reps(self) -> float:
        """Completed and left together."""
        return self.reps + self.reps_in_reserve

    @property
    def implied_kg(self) -> float:
        """The max it speaks for [kg]."""
        return self.load.in_kg * implied_max_ratio(min(self.possible_reps, 30.0))

    @property
    def implied_ln(self) -> float:
        """Natural log of the implied max [ln kg]."""
        return math.log(self.implied_kg)

    @property
    def shown(self) -> str:
        """How the screen names it; a single with something left was no test."""
        is_easy_single = self.kind is EvidenceKind.TEST and self.reps_in_reserve > 0
        return "single" if is_easy_single else self.kind.shown

    def age_days(self, today: date) -> int:
        """Days since, never below 0."""
        return max(0, (today - self.on).days)
