"""Session load, and what was lifted: minutes × exertion, tonnage, lifts by zone, exposures.

Descriptive only. Nothing here says how likely anything is to happen to anyone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from heftwright.domain.catalogue import Lift, Region
from heftwright.domain.refusal import Refusal


class StrainError(Refusal):
    """A load that cannot have happened."""


def session_load(rpe: float, minutes: float) -> float:
    """Session load: rating of the whole session × its minutes (Foster et al. 2001).

    Parameters
    ----------
    rpe : float
        0–10, asked about half an hour after the session.
    minutes : float
        Length [min], 0–600.

    Returns
    -------
    float
        Arbitrary units.
    """
    if not 0 <= rpe <= 10:
        raise StrainError(f"A session rating of {rpe:g} is outside 0–10.")
    if not 0 <= minutes <= 600:
        raise StrainError(f"A session of {minutes:g} min is outside 0–600.")
    return rpe * minutes


@dataclass(frozen=True, slots=True)
class WorkDone:
    """Sets alike of one lift, as done.

    Parameters
    ----------
    lift : Lift
        Which lift.
    sets, reps : int
        Done, ≥ 0.
    bar_kg : float
        On the bar [kg], ≥ 0.
    mean_added_kg : float
        What bands or chains add on average over the range of motion [kg]; negative unloads.
    max_kg : float or None
        The max that the work was a share of [kg].
    top_added_kg : float
        What they add at lockout [kg].
    """

    lift: Lift
    sets: int
    reps: int
    bar_kg: float
    mean_added_kg: float = 0.0
    max_kg: float | None = None
    top_added_kg: float = 0.0

    def __post_init__(self) -> None:
        if min(self.sets, self.reps) < 0 or self.bar_kg < 0:
            raise StrainError("Sets, reps and load must not be below 0.")

    @property
    def lifts(self) -> int:
        """Number of lifts."""
        return self.sets * self.reps

    @property
    def tonnage_kg(self) -> float:
        """Lifts × (bar + what bands or chains add on average) [kg]."""
        return self.lifts * (self.bar_kg + self.mean_added_kg)

    @property
    def top_ratio(self) -> float | None:
        """Load at lockout as a share of the max; None without a max."""
        return None if not self.max_kg else (self.bar_kg + self.top_added_kg) / self.max_kg


def tonnage_kg(work: Sequence[WorkDone]) -> float:
    """Tonnage of a session with the accommodating part [kg]."""
    return sum(item.tonnage_kg for item in work)


def lifts_by_tens(work: Sequence[WorkDone]) -> Mapping[str, int]:
    """Lifts by ten-percent rows of the share at lockout; work without a max is said apart."""
    found: dict[str, int] = {}
    for item in work:
        if item.top_ratio is None:
            row = "no max known"
        else:
            ten = min(10, int(item.top_ratio * 10 + 1e-9))
            row = "100 and more" if ten == 10 else f"{10 * ten}–{10 * ten + 9} %"
        found[row] = found.get(row, 0) + item.lifts
    return found


def exposures(work: Sequence[WorkDone], usual_lifts: int = 20) -> Mapping[Region, float]:
    """Exposure by body region: the catalogue's for a usual session, scaled by lifts and share.

    Parameters
    ----------
    work : sequence of WorkDone
        Of one session or several.
    usual_lifts : int
        Lifts of the session that the catalogue's number is for (common practice).

    Notes
    -----
    Scales with the square root of the lifts and with the load's share of the max above a half,
    so that the number stays on the catalogue's scale of 0–5. Common practice, no source.
    """
    found = dict.fromkeys(Region, 0.0)
    for item in work:
        share = 0.8 if item.top_ratio is None else min(1.1, max(0.3, item.top_ratio))
        scale = (item.lifts / usual_lifts) ** 0.5 * share / 0.8
        for region, part in item.lift.exposure.items():
            found[region] += part * scale
    return found
