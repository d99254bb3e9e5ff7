"""Days on which the gym is shut: holidays, repairs, a contest that empties the house."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.refusal import Refusal

LONGEST_DAYS = 62


class ClosedSpanError(Refusal):
    """A time that the gym cannot be shut for."""


@dataclass(frozen=True, slots=True)
class ClosedSpan:
    """When the gym is shut.

    Parameters
    ----------
    first, last : date
        Both included; at most 62 days.
    why : str
        In a few words, ``"public holiday"``.
    """

    first: date
    last: date
    why: str = "shut"

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise ClosedSpanError(
                f"The last day shut ({self.last}) must not lie before the first ({self.first})."
            )
        if (self.last - self.first).days >= LONGEST_DAYS:
            raise ClosedSpanError(
                f"{self.first} to {self.last} is more than {LONGEST_DAYS} days: enter it in parts."
            )
        if not self.why.strip():
            raise ClosedSpanError("Say in a few words why the gym is shut.")

    @property
    def key(self) -> str:
        """Its key among the gym's settings: the first day."""
        return self.first.isoformat()

    def holds(self, day: date) -> bool:
        """Whether the gym is shut on a day."""
        return self.first <= day <= self.last
