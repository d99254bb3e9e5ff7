"""Readiness, soreness and pain reports: scale and direction are stored with every answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from heftwright.domain.squad import AthleteId
from heftwright.domain.strain.load import StrainError


class Direction(StrEnum):
    """What a high number means."""

    HIGHER_IS_BETTER = "higher_is_better"
    HIGHER_IS_WORSE = "higher_is_worse"


@dataclass(frozen=True, slots=True)
class Scale:
    """A questionnaire's scale.

    Parameters
    ----------
    id : str
        Steady key, stored with every answer.
    items : tuple of str
        What is asked.
    low, high : int
        Least and most of an item.
    direction : Direction
        What a high number means.
    """

    id: str
    items: tuple[str, ...]
    low: int
    high: int
    direction: Direction

    def __post_init__(self) -> None:
        if not self.items or self.low >= self.high:
            raise StrainError(f"Scale “{self.id}” needs items and limits that rise.")

    @property
    def most(self) -> int:
        """The largest sum."""
        return self.high * len(self.items)


FIVE_ITEMS = Scale(
    "five_items_1_5", ("sleep", "energy", "soreness", "stress", "mood"), 1, 5,
    Direction.HIGHER_IS_BETTER,
)  # fmt: skip
"""Five items 1–5, higher is better (checks.md C, readiness)."""
FOUR_ITEMS = Scale(
    "four_items_1_7", ("fatigue", "sleep", "soreness", "stress"), 1, 7, Direction.HIGHER_IS_WORSE
)
"""Four items 1–7, higher is worse (checks.md C, readiness)."""
PAIN_0_10 = Scale("pain_0_10", ("pain",), 0, 10, Direction.HIGHER_IS_WORSE)


@dataclass(frozen=True, slots=True)
class Report:
    """One answer; items not answered are None, never zero."""

    athlete: AthleteId
    on: date
    scale: Scale
    answers: tuple[int | None, ...]

    def __post_init__(self) -> None:
        if len(self.answers) != len(self.scale.items):
            raise StrainError(
                f"Scale “{self.scale.id}” asks {len(self.scale.items)} items, "
                f"{len(self.answers)} were answered."
            )
        low, high = self.scale.low, self.scale.high
        if any(answer is not None and not low <= answer <= high for answer in self.answers):
            raise StrainError(f"Scale “{self.scale.id}”: every answer must be {low}–{high}.")

    @property
    def total(self) -> int | None:
        """The sum; None if an item is missing."""
        known = [answer for answer in self.answers if answer is not None]
        return sum(known) if len(known) == len(self.answers) else None

    @property
    def goodness_ratio(self) -> float | None:
        """0 worst … 1 best, whichever way the scale points; None if an item is missing."""
        if self.total is None:
            return None
        least = self.scale.low * len(self.scale.items)
        share = (self.total - least) / (self.scale.most - least)
        return share if self.scale.direction is Direction.HIGHER_IS_BETTER else 1 - share

    @property
    def words(self) -> str:
        """With its direction, always."""
        said = self.scale.direction.value.replace("_", " ")
        if self.total is None:
            return "An item is missing: no sum."
        return f"{self.total} of {self.scale.most}, {said}"


def usual_goodness(reports: Sequence[Report]) -> float | None:
    """The athlete's own middle on one scale; None below five complete reports.

    Raises
    ------
    StrainError
        If the reports are on different scales: their numbers do not compare.
    """
    if len({report.scale.id for report in reports}) > 1:
        raise StrainError("Reports on different scales do not compare: choose one scale.")
    known = sorted(r.goodness_ratio for r in reports if r.goodness_ratio is not None)
    return known[len(known) // 2] if len(known) >= 5 else None
