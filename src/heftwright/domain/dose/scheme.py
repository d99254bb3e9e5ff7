"""A scheme: sets × reps with rest."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.refusal import Refusal


class SchemeError(Refusal):
    """Sets, reps or rest that nobody can do."""


@dataclass(frozen=True, slots=True)
class Scheme:
    """Sets × reps.

    Parameters
    ----------
    sets : int
        1–20.
    reps : int
        A set, 1–30.
    rest_s : int
        At least this between an athlete's sets [s], 0–900.
    """

    sets: int
    reps: int
    rest_s: int = 60

    def __post_init__(self) -> None:
        if not (1 <= self.sets <= 20 and 1 <= self.reps <= 30 and 0 <= self.rest_s <= 900):
            raise SchemeError(
                f"{self.sets} × {self.reps} with {self.rest_s} s rest is outside 1–20 sets, "
                "1–30 reps and 0–900 s."
            )

    @property
    def total_reps(self) -> int:
        """All repetitions."""
        return self.sets * self.reps

    def __str__(self) -> str:
        return f"{self.sets} × {self.reps}"
