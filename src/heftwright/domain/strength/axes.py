"""The squad's athletes and lifts as rows and columns, with the evidence each of them has."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import Catalogue, Lift, LiftKey, Pattern
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.strength.evidence import Evidence
from heftwright.domain.strength.noise import (
    BeliefSettings,
    seen_today,
    speaks_for_deadlift,
    usable,
)
from heftwright.domain.strength.one_max import NoBeliefError
from heftwright.domain.strength.ratios import RatioTable

FAMILIES = ("squat", "deadlift", "overhead", "bench", "implement")
UPPER_FAMILIES = ("overhead", "bench")
_FAMILY_OF_PATTERN = {
    Pattern.SQUAT: "squat",
    Pattern.HINGE: "squat",
    Pattern.DEADLIFT: "deadlift",
    Pattern.OVERHEAD: "overhead",
    Pattern.BENCH: "bench",
    Pattern.CARRY: "implement",
    Pattern.LOAD: "implement",
    Pattern.HOLD: "implement",
}


def family_of(lift: Lift) -> str:
    """The family in which an athlete's strengths and weaknesses go together."""
    return _FAMILY_OF_PATTERN[lift.pattern]


@dataclass(frozen=True, slots=True)
class Own:
    """Evidence that counts, of one athlete in one lift, and what it comes to today."""

    items: tuple[Evidence, ...]
    mean_ln: float
    variance: float

    @property
    def last_test(self) -> Evidence | None:
        singles = [item for item in self.items if item.is_single]
        return max(singles, key=lambda item: item.on) if singles else None

    @property
    def latest(self) -> Evidence:
        return max(self.items, key=lambda item: item.on)


@dataclass(frozen=True, slots=True)
class Axes:
    """Rows, columns and what is known of them before any evidence."""

    athlete_row: Mapping[AthleteId, int]
    lift_column: Mapping[LiftKey, int]
    shown_lifts: tuple[LiftKey, ...]
    family_of_lift: tuple[int, ...]
    ratios: RatioTable
    names: Mapping[LiftKey, str]

    def knows(self, athlete: AthleteId, lift: LiftKey) -> bool:
        return athlete in self.athlete_row and lift in self.shown_lifts

    def family_index(self, lift: LiftKey) -> int:
        return self.family_of_lift[self.lift_column[lift]]

    def is_deadlift(self, lift: LiftKey) -> bool:
        """Whether reps are known to underestimate this lift."""
        return FAMILIES[self.family_index(self.ratios.max_key(lift))] == "deadlift"

    def place(self, athlete: AthleteId, lift: LiftKey) -> tuple[int, int]:
        if not self.knows(athlete, lift):
            raise NoBeliefError(
                f"There is no max of “{lift}” for athlete “{athlete}”: either the athlete is not "
                "in this squad or the lift has no max."
            )
        return self.athlete_row[athlete], self.lift_column[self.ratios.max_key(lift)]


def axes_of(athletes: Sequence[Athlete], catalogue: Catalogue, ratios: RatioTable) -> Axes:
    lifts = ratios.lifts_with_max(catalogue)
    shared = tuple(k for k in catalogue if ratios.same_max_as.get(k, LiftKey("")) in lifts)
    return Axes(
        {athlete.id: row for row, athlete in enumerate(athletes)},
        {key: column for column, key in enumerate(lifts)},
        lifts + shared,
        tuple(FAMILIES.index(family_of(catalogue[key])) for key in lifts),
        ratios,
        {key: catalogue[key].name for key in lifts},
    )


def own_evidence(
    evidence: Sequence[Evidence],
    axes: Axes,
    catalogue: Catalogue,
    today: date,
    settings: BeliefSettings,
) -> dict[tuple[AthleteId, LiftKey], Own]:
    by_pair: defaultdict[tuple[AthleteId, LiftKey], list[Evidence]] = defaultdict(list)
    for item in evidence:
        if item.on <= today and axes.knows(item.athlete, item.lift):
            by_pair[item.athlete, axes.ratios.max_key(item.lift)].append(item)
    found = {}
    for (athlete, lift), items in by_pair.items():
        is_deadlift = speaks_for_deadlift(catalogue[lift].pattern)
        counted = usable(items, is_deadlift=is_deadlift)
        mean, variance = seen_today(counted, today, settings, is_deadlift=is_deadlift)
        found[athlete, lift] = Own(counted, mean, variance)
    return found
