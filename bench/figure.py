"""One figure of a benchmark or trust run."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """A measured value, with what it is held against.

    Parameters
    ----------
    name, value, unit
        What was measured; the names are those of the design's figures page.
    better : str
        ``"lower"`` or ``"higher"``.
    bound : float or None
        The target.
    baseline : float or None
        The naive way, measured in the same process run, alternating.
    peak_mb : float or None
        Peak memory [MB].
    note : str
        How it was measured, in a few words.
    """

    name: str
    value: float
    unit: str
    better: str
    bound: float | None = None
    baseline: float | None = None
    peak_mb: float | None = None
    note: str = ""

    @property
    def ratio(self) -> float | None:
        """Value over baseline, or None without one."""
        return self.value / self.baseline if self.baseline else None

    @property
    def is_met(self) -> bool | None:
        """Whether the bound is reached; None without one."""
        if self.bound is None:
            return None
        return self.value <= self.bound if self.better == "lower" else self.value >= self.bound
