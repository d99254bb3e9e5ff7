"""What the pages about maxes show: values only."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import Lift
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete, Sex
from heftwright.domain.strength import Belief
from heftwright.domain.strength.evidence import EvidenceKind
from heftwright.domain.strength.formulas import RepMaxRange
from heftwright.domain.strength.progress import steady_line
from heftwright.domain.strength.what_next import Stall, TestIdea
from heftwright.usecases.maxes import KeptEvidence, Proposal


@dataclass(frozen=True, slots=True)
class EvidenceLine:
    """One thing that a belief rests on.

    Parameters
    ----------
    kept : KeptEvidence
        What was lifted, with the key to withdraw it by.
    age_days : int
        How old it is [d].
    says : str
        In words, with what it speaks for.
    reps_say : RepMaxRange or None
        Of a set of several repetitions: what the published formulas say, as a range.
    why_not : str
        Why the formulas are silent about it.
    """

    kept: KeptEvidence
    age_days: int
    says: str
    reps_say: RepMaxRange | None
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Consequence:
    """What a lift's max would become if a proposal were accepted."""

    lift: Lift
    old_kg: float
    new_kg: float

    @property
    def change_ratio(self) -> float:
        """Share by which it changes, signed."""
        return self.new_kg / self.old_kg - 1


@dataclass(frozen=True, slots=True)
class WaitingProposal:
    """A proposal and everything of this athlete that would move with it, largest change first.

    ``own`` is what its own lift becomes if this proposal alone is accepted.
    """

    proposal: Proposal
    lift: Lift
    own: Consequence
    consequences: tuple[Consequence, ...]


@dataclass(frozen=True, slots=True)
class LiftBelief:
    """One lift's max.

    Parameters
    ----------
    lift : Lift
        Which.
    belief : Belief
        Median, doubt, test, age, what it rests on.
    used_kg, used_words
        The max that percentages are taken of today, and why.
    evidence : tuple of EvidenceLine
        Latest first.
    ratio_words : str
        Of an untested lift: the ratio it is estimated with and where that is from.
    """

    lift: Lift
    belief: Belief
    used_kg: float
    used_words: str
    evidence: tuple[EvidenceLine, ...]
    ratio_words: str


@dataclass(frozen=True, slots=True)
class ProgressPoint:
    """The best that a day's efforts speak for [kg]."""

    on: date
    kg: float
    is_single: bool


@dataclass(frozen=True, slots=True)
class LiftProgress:
    """One lift over time, oldest day first."""

    lift: Lift
    points: tuple[ProgressPoint, ...]

    @property
    def change_ratio(self) -> float:
        """Along the line through all days, first to last, signed; one odd day moves it little."""
        return self.steady_kg[1] / self.steady_kg[0] - 1

    @property
    def steady_kg(self) -> tuple[float, float]:
        """The line through all days, at the first and at the last [kg]."""
        days = [(point.on - self.points[0].on).days for point in self.points]
        start_ln, slope = steady_line(days, [math.log(point.kg) for point in self.points])
        return math.exp(start_ln), math.exp(start_ln + slope * days[-1])


@dataclass(frozen=True, slots=True)
class AthleteStrength:
    """Everything about one athlete's maxes on a day."""

    athlete: Athlete
    today: date
    lifts: tuple[LiftBelief, ...]
    waiting: tuple[WaitingProposal, ...]
    to_test: tuple[tuple[Lift, TestIdea], ...]
    wanted_words: str
    stalls: tuple[tuple[Lift, Stall], ...]
    progress: tuple[LiftProgress, ...]


@dataclass(frozen=True, slots=True)
class SquadProgress:
    """How an athlete's lifts moved in half a year.

    Parameters
    ----------
    athlete : Athlete
        Who.
    change_ratio : float
        The last four weeks against the first, all lifts fitted together.
    lifts : int
        With efforts on two days or more.
    months : tuple of (date, float)
        Level at the end of each month's four weeks against the first, as a ratio, oldest first.
    """

    athlete: Athlete
    change_ratio: float
    lifts: int
    months: tuple[tuple[date, float], ...]

    @property
    def changes(self) -> tuple[tuple[date, float], ...]:
        """The same as signed changes."""
        return tuple((on, ratio - 1) for on, ratio in self.months)


@dataclass(frozen=True, slots=True)
class LiftRecord:
    """The heaviest single of the squad in a lift."""

    lift: Lift
    sex: Sex
    athlete: Athlete
    load: Mass
    on: date
    kind: EvidenceKind


@dataclass(frozen=True, slots=True)
class SquadStrength:
    """What waits for the coach, and how the squad does.

    Parameters
    ----------
    today : date
        By the gym's wall clock.
    waiting : tuple of (Athlete, Lift, Proposal)
        Oldest first.
    stalls : tuple of (Athlete, Lift, Stall)
        Lifts that did not move in eight weeks.
    progress : tuple of SquadProgress
        Most first.
    squad_change_ratio : float or None
        The middle of the squad; None while nobody has two efforts in a lift.
    squad_months : tuple of (date, float)
        The middle of the squad, four weeks by four weeks, as a ratio to the first.
    records : tuple of LiftRecord
        By lift.
    stale : tuple of (Athlete, Lift, int)
        Tested lifts whose test is 12 weeks old or more, with its age [weeks]; oldest first.
    """

    today: date
    waiting: tuple[tuple[Athlete, Lift, Proposal], ...]
    stalls: tuple[tuple[Athlete, Lift, Stall], ...]
    progress: tuple[SquadProgress, ...]
    squad_change_ratio: float | None
    squad_months: tuple[tuple[date, float], ...]
    records: tuple[LiftRecord, ...]
    stale: tuple[tuple[Athlete, Lift, int], ...]
