"""A week and its habit: monotony, strain, moving averages; compared with the athlete, no norm.

Monotony = mean / SD of the seven daily loads, strain = total × monotony (Foster 1998, 2001). Both
depend on which SD is meant, so the convention is stored with the number. Moving averages depend on
how they are started, so the seed is shown, and before day 28 they are "warming up".
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import median

from heftwright.domain.strain.load import StrainError

WARM_UP_DAYS = 28
DESCRIPTIVE = (
    "Descriptive only: it compares this athlete with their own habit and says nothing about what "
    "will happen (Impellizzeri et al. 2020, 2021)."
)


class SdConvention(StrEnum):
    """Which standard deviation monotony is taken of."""

    POPULATION = "population"
    SAMPLE = "sample"


@dataclass(frozen=True, slots=True)
class WeekStrain:
    """Seven days.

    Parameters
    ----------
    total, mean, sd : float
        Of the daily loads.
    convention : SdConvention
        Which SD.
    monotony, strain : float or None
        None when all days are alike: undefined, not infinite.
    missing_days : int
        Days without a report; the week is then not judged.
    """

    total: float
    mean: float
    sd: float
    convention: SdConvention
    monotony: float | None
    strain: float | None
    missing_days: int = 0

    @property
    def words(self) -> str:
        """For the coach; descriptive only."""
        if self.missing_days:
            days = "1 day" if self.missing_days == 1 else f"{self.missing_days} days"
            return f"{days} without a report: missing is not zero, not judged."
        if self.monotony is None:
            return f"Load {self.total:.0f}; every day alike, so monotony is undefined."
        return (
            f"Load {self.total:.0f}, monotony {self.monotony:.2f}, strain {self.strain:.0f} "
            f"({self.convention} SD)."
        )


def week_strain(
    daily: Sequence[float | None], convention: SdConvention = SdConvention.POPULATION
) -> WeekStrain:
    """Monotony and strain of seven days.

    Parameters
    ----------
    daily : sequence of float or None
        Seven daily loads; 0 is a day off, None is a missing report.
    convention : SdConvention
        Which SD.
    """
    if len(daily) != 7:
        raise StrainError(f"A week has 7 days, not {len(daily)}.")
    known = [load for load in daily if load is not None]
    if any(load < 0 for load in known):
        raise StrainError("A daily load must not be below 0.")
    missing = 7 - len(known)
    if missing:
        total = sum(known)
        mean = total / len(known) if known else 0.0
        return WeekStrain(total, mean, 0.0, convention, None, None, missing)
    return _full_week(known, convention)


def _full_week(daily: Sequence[float], convention: SdConvention) -> WeekStrain:
    total = sum(daily)
    mean = total / 7
    divisor = 7 if convention is SdConvention.POPULATION else 6
    sd = math.sqrt(sum((load - mean) ** 2 for load in daily) / divisor)
    if sd < 1e-9:
        return WeekStrain(total, mean, 0.0, convention, None, None)
    return WeekStrain(total, mean, sd, convention, mean / sd, total * mean / sd)


def decay_for(days: int) -> float:
    """Weight of the newest day in a moving average over ``days``: 2 / (N + 1) (Williams 2017)."""
    if days < 1:
        raise StrainError(f"A moving average over {days} days must be over at least one.")
    return 2 / (days + 1)


class Seed(StrEnum):
    """How a moving average starts."""

    FIRST_LOAD = "first_load"
    ZERO = "zero"


def moving_average(
    daily: Sequence[float], days: int, seed: Seed = Seed.FIRST_LOAD
) -> tuple[float, ...]:
    """Exponentially weighted moving average of daily loads (Williams et al. 2017).

    Parameters
    ----------
    daily : sequence of float
        Oldest first.
    days : int
        N of the weight 2 / (N + 1).
    seed : Seed
        Start at the first load, or at zero and take the first load in.
    """
    weight = decay_for(days)
    found: list[float] = []
    for load in daily:
        if not found and seed is Seed.FIRST_LOAD:
            found.append(load)
        else:
            before = found[-1] if found else 0.0
            found.append(weight * load + (1 - weight) * before)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class HabitView:
    """The last week beside the last four, in the conventions in use.

    Parameters
    ----------
    week, month : float
        Moving averages of 7 and 28 days.
    ratio : float or None
        Week over month; None if the month is zero.
    seed : Seed
        How they started.
    is_warming_up : bool
        Fewer than 28 days: do not read it yet.
    """

    week: float
    month: float
    ratio: float | None
    seed: Seed
    is_warming_up: bool

    @property
    def words(self) -> str:
        """For the coach; descriptive only."""
        if self.is_warming_up:
            return f"Warming up: fewer than {WARM_UP_DAYS} days. {DESCRIPTIVE}"
        if self.ratio is None:
            return f"No load in four weeks. {DESCRIPTIVE}"
        return (
            f"The last week is {self.ratio:.2f} × the last four (started at "
            f"{self.seed.value.replace('_', ' ')}). {DESCRIPTIVE}"
        )


def habit(daily: Sequence[float], seed: Seed = Seed.FIRST_LOAD) -> HabitView:
    """Moving averages of 7 and 28 days and their ratio, oldest day first."""
    if not daily:
        return HabitView(0.0, 0.0, None, seed, is_warming_up=True)
    week, month = moving_average(daily, 7, seed)[-1], moving_average(daily, 28, seed)[-1]
    ratio = week / month if month > 0 else None
    return HabitView(week, month, ratio, seed, len(daily) < WARM_UP_DAYS)


def rolling_ratio(daily: Sequence[float], *, is_coupled: bool) -> float | None:
    """Mean of the last 7 days over the mean of 28 (coupled) or of the 21 before (uncoupled).

    Returns
    -------
    float or None
        None with fewer than 28 days, or without load in the longer window.
    """
    if len(daily) < WARM_UP_DAYS:
        return None
    week = sum(daily[-7:]) / 7
    window = daily[-28:] if is_coupled else daily[-28:-7]
    before = sum(window) / len(window)
    return week / before if before > 0 else None


def against_habit(value: float, history: Sequence[float]) -> str | None:
    """This value beside the athlete's own median and usual range; None below eight values."""
    if len(history) < 8:
        return None
    ordered = sorted(history)
    low, high = ordered[len(ordered) // 10], ordered[-1 - len(ordered) // 10]
    place = "within"
    if value > high:
        place = "above"
    elif value < low:
        place = "below"
    return f"{value:.0f}: {place} the usual {low:.0f}–{high:.0f} (middle {median(ordered):.0f})"


@dataclass(frozen=True, slots=True)
class ImpulseResponse:
    """Two-exponential curves of one bout, as an illustration only (Morton et al. 1990).

    Parameters
    ----------
    tau_gain_d, tau_tired_d : float
        Time constants [d], gain slower than tiredness: 45 and 15 by default.
    k_gain, k_tired : float
        Sizes: 1 and 2 by default. Constants of Morton 1990 / Fitz-Clarke 1991 [@morton-1990].
    """

    tau_gain_d: float = 45.0
    tau_tired_d: float = 15.0
    k_gain: float = 1.0
    k_tired: float = 2.0

    def __post_init__(self) -> None:
        if not 0 < self.tau_tired_d < self.tau_gain_d or not 0 < self.k_gain < self.k_tired:
            raise StrainError(
                "The gain must be slower than the tiredness and smaller at first: τ gain > τ tired "
                "> 0 and k tired > k gain > 0."
            )

    def effect(self, days_after: float) -> float:
        """Net effect of one unit bout so many days later [arbitrary]."""
        gain = self.k_gain * math.exp(-days_after / self.tau_gain_d)
        return gain - self.k_tired * math.exp(-days_after / self.tau_tired_d)

    @property
    def days_to_even(self) -> float:
        """Days until gain and tiredness cancel, t_n [d]."""
        return self._scale * math.log(self.k_tired / self.k_gain)

    @property
    def days_to_peak(self) -> float:
        """Days until the net effect is largest, t_g [d]."""
        ratio = self.k_tired * self.tau_gain_d / (self.k_gain * self.tau_tired_d)
        return self._scale * math.log(ratio)

    @property
    def _scale(self) -> float:
        return self.tau_gain_d * self.tau_tired_d / (self.tau_gain_d - self.tau_tired_d)
