"""The coach's settings for loads; every default is common practice, no source, and editable."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from heftwright.domain.refusal import Refusal


class PolicyError(Refusal):
    """A setting outside what makes sense."""


class WithoutBands(StrEnum):
    """What a lifter does on a banded day when no set-up fits."""

    OTHER_PERCENTAGES = "other_percentages"
    REP_WORK = "rep_work"


@dataclass(frozen=True, slots=True)
class LoadPolicy:
    """How loads are worked out.

    Parameters
    ----------
    tolerance_ratio : float
        How far a load may stray from its target to share plates, of the max, 0–0.05.
    top_slack_ratio : float
        How far the top share may stray from the wanted one, 0–0.05 (hard beyond 0.05 more).
    without_bands : WithoutBands
        What happens where no set-up fits.
    wide_log_sd : float
        Above this log-sd an estimate is called a wide guess.
    easy_week_factor : float
        Loads of an easy week against the wave's first week, 0.5–1.
    minor_top_ratio : float
        A minor's top set as a share of what the squad's scheme would ask, 0.5–0.9.
    minors_use_bands : bool
        Whether a minor hangs bands or chains at all, then one pair of bands at most; ours: not
        without the coach.
    beginner_weeks : int
        For so long after joining, straight weight at a beginner's percentages.
    """

    tolerance_ratio: float = 0.025
    top_slack_ratio: float = 0.05
    without_bands: WithoutBands = WithoutBands.OTHER_PERCENTAGES
    wide_log_sd: float = 0.12
    easy_week_factor: float = 0.85
    minor_top_ratio: float = 0.85
    minors_use_bands: bool = False
    beginner_weeks: int = 12

    def __post_init__(self) -> None:
        if not 0 <= self.tolerance_ratio <= 0.05:
            raise PolicyError("The tolerance of a load is 0 to 5 % of the max.")
        if not 0 <= self.top_slack_ratio <= 0.05:
            raise PolicyError("The slack of the top share is 0 to 5 points.")
        if not 0.02 <= self.wide_log_sd <= 0.5:
            raise PolicyError("An estimate is called a wide guess from a doubt of 2 to 50 %.")
        if not 0.5 <= self.easy_week_factor <= 1:
            raise PolicyError("An easy week takes 50 to 100 % of the usual load.")
        if not 0.5 <= self.minor_top_ratio <= 0.9:
            raise PolicyError("A minor's top set is 50 to 90 % of what the squad's would be.")
        if not 0 <= self.beginner_weeks <= 104:
            raise PolicyError("A beginner's weeks are 0 to 104.")
