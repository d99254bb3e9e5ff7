"""The max-effort ramp: a ladder of warm-ups to the day's top single, double or triple."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from heftwright.domain.catalogue import MaxEffortScheme
from heftwright.domain.refusal import Refusal
from heftwright.domain.strength.formulas import share_of_max

HEAVY_RATIO = 0.90
HEAVY_LIFTS = (4, 10)
"""Lifts at ≥ 90 % in a session, optimal 7: the zone table's last row (dose.zones)."""
MAKE_SPREAD = 0.045
MAKE_CEILING = 0.97
_WARM_UP_RATIOS = (0.40, 0.55, 0.70, 0.80)
_SINGLE_REPS, _SET_REPS = (5, 3, 2, 1), (5, 4, 3, 2)
_SINGLES = (0.90, 0.95, 0.98, 1.00)
_SETS = (0.90, 0.95, 1.00)
_TOP_RATIO, _CLOSE_RATIO = 1.00, 0.95
"""Repetitions fall on the way up and the step before the top is short, so that it costs the top set
nothing: common practice, no source."""
_RECORD = 1.025
_TOLERANCE = 0.015

STOP_RULES = (
    "Stop after two misses, or when the bar is clearly slower than the warm-up before it promised.",
    "After a miss repeat the load or go down, never up.",
    "Pain is not an attempt: stop, tell the coach.",
)


class RampError(Refusal):
    """A ramp that cannot be built."""


@dataclass(frozen=True, slots=True)
class LoadLadder:
    """The loads that one bar can make, and what it takes to get from one to the next.

    Parameters
    ----------
    loads_kg : tuple of float
        Rising, the empty bar first [kg].
    moves : callable
        (from kg, to kg) -> plates moved.
    """

    loads_kg: tuple[float, ...]
    moves: Callable[[float, float], int]

    def __post_init__(self) -> None:
        if not self.loads_kg or list(self.loads_kg) != sorted(set(self.loads_kg)):
            raise RampError("The loads of a bar must rise, and there must be at least one.")

    def __call__(self, kg: float) -> float:
        """The heaviest load at or below ``kg``, or the lightest there is."""
        at = bisect_right(self.loads_kg, kg + 1e-9)
        return self.loads_kg[max(0, at - 1)]

    def easiest(self, from_kg: float, wanted_kg: float) -> float:
        """The load within 6 % below … 2 % above the wanted one that takes fewest plate moves."""
        low, high = 0.94 * wanted_kg, 1.02 * wanted_kg
        near = [load for load in self.loads_kg if low <= load <= high and load > from_kg]
        if not near:
            return self(wanted_kg)
        return min(near, key=lambda load: (self.moves(from_kg, load), abs(load - wanted_kg)))


class RampRole(StrEnum):
    """What a step is for."""

    WARM_UP = "warm_up"
    ATTEMPT = "attempt"
    RECORD = "record"


@dataclass(frozen=True, slots=True)
class RampStep:
    """One load of the ramp.

    Parameters
    ----------
    load_kg : float
        Loadable [kg].
    reps : int
        At this load.
    ratio : float
        Of the max that the ramp is built on.
    make_chance : float
        Probability of making all its reps, 0–1.
    role : RampRole
        Warm-up, attempt, or a record only if the last attempt flew.
    """

    load_kg: float
    reps: int
    ratio: float
    make_chance: float
    role: RampRole


@dataclass(frozen=True, slots=True)
class Ramp:
    """Warm-ups, attempts and what to watch.

    Parameters
    ----------
    warmups, attempts : tuple of RampStep
        Rising; the attempts' last may be a record step.
    cautions, stop_rules : tuple of str
        Sentences.
    """

    warmups: tuple[RampStep, ...]
    attempts: tuple[RampStep, ...]
    cautions: tuple[str, ...]
    stop_rules: tuple[str, ...] = STOP_RULES

    @property
    def lifts_at_90(self) -> int:
        """Repetitions at 90 % and more, the record step aside."""
        return sum(
            step.reps
            for step in self.attempts
            if step.ratio >= HEAVY_RATIO - 1e-9 and step.role is not RampRole.RECORD
        )

    @property
    def top_kg(self) -> float:
        """The day's planned top load [kg], records aside."""
        return max(step.load_kg for step in self.attempts if step.role is RampRole.ATTEMPT)


def make_chance(load_kg: float, max_kg: float, *, log_sd: float = 0.0) -> float:
    """Chance to make a single: 0.97·Φ(−ln(load/max)/s), s = 0.045 (checks.md C, attempts).

    ``log_sd`` is the doubt about the max itself and widens s.
    """
    if load_kg <= 0 or max_kg <= 0:
        raise RampError(f"A load of {load_kg:g} kg of a max of {max_kg:g} kg has no chance.")
    spread = math.hypot(MAKE_SPREAD, log_sd)
    return MAKE_CEILING * 0.5 * math.erfc(math.log(load_kg / max_kg) / spread / math.sqrt(2))


def ramp(
    belief_kg: float,
    scheme: MaxEffortScheme,
    loadable: Callable[[float], float] | float,
    empty_bar_kg: float,
    *,
    log_sd: float = 0.0,
    may_record: bool = True,
) -> Ramp:
    """Build the ramp.

    Parameters
    ----------
    belief_kg : float
        The max that percentages are taken of [kg], > 0.
    scheme : MaxEffortScheme
        Single, triple or rep max.
    loadable : callable or float
        Wanted [kg] -> the nearest load this bar can make [kg], best a ``LoadLadder``, which also
        knows the plate moves; or the step [kg] above the empty bar, rounded down.
    empty_bar_kg : float
        Lightest load [kg], > 0.
    log_sd : float
        Doubt about the max, widens the chances.
    may_record : bool
        Whether a load above the max may be shown at all (not for minors, stale or estimated
        maxes).
    """
    if belief_kg <= 0 or empty_bar_kg <= 0:
        raise RampError(f"A ramp from {empty_bar_kg:g} to {belief_kg:g} kg: both must be above 0.")
    build = _Builder(
        belief_kg, scheme.top_reps, _snap(loadable, empty_bar_kg), empty_bar_kg, log_sd
    )
    warmups = build.warmups()
    attempts = build.attempts(above_kg=warmups[-1].load_kg, may_record=may_record)
    if not attempts:
        raise RampError(
            f"A max of {belief_kg:.0f} kg leaves no loadable attempt above the empty bar of "
            f"{empty_bar_kg:g} kg: use a lighter bar or smaller plates."
        )
    made = Ramp(warmups, attempts, ())
    return Ramp(warmups, attempts, _cautions(made, scheme))


def _snap(loadable: Callable[[float], float] | float, empty_kg: float) -> Callable[[float], float]:
    if callable(loadable):
        return loadable
    step = float(loadable)
    if step <= 0:
        raise RampError(f"A loading step of {step:g} kg must be above 0.")
    return lambda kg: empty_kg + max(0.0, math.floor((kg - empty_kg) / step + 1e-9)) * step


@dataclass(frozen=True, slots=True)
class _Builder:
    max_kg: float
    top_reps: int
    snap: Callable[[float], float]
    empty_kg: float
    log_sd: float

    @property
    def top_kg(self) -> float:
        return self.max_kg * share_of_max(self.top_reps)

    def step(self, load_kg: float, reps: int, role: RampRole) -> RampStep:
        single = load_kg / share_of_max(reps)
        chance = make_chance(single, self.max_kg, log_sd=self.log_sd)
        return RampStep(load_kg, reps, load_kg / self.max_kg, chance, role)

    def warmups(self) -> tuple[RampStep, ...]:
        found = [self.step(self.empty_kg, 8, RampRole.WARM_UP)]
        counts = _SINGLE_REPS if self.top_reps == 1 else _SET_REPS
        for ratio, reps in zip(_WARM_UP_RATIOS, counts, strict=True):
            load = self._warm_up_kg(found[-1].load_kg, self.top_kg * ratio)
            if load > found[-1].load_kg:
                found.append(self.step(load, reps, RampRole.WARM_UP))
        return tuple(found)

    def _warm_up_kg(self, from_kg: float, wanted_kg: float) -> float:
        """Warm-ups need not be exact: where the bar's ladder is known, few plate moves go first."""
        if isinstance(self.snap, LoadLadder):
            return self.snap.easiest(from_kg, wanted_kg)
        return self.snap(wanted_kg)

    def attempts(self, *, above_kg: float, may_record: bool) -> tuple[RampStep, ...]:
        found: list[RampStep] = []
        last = above_kg
        for ratio in _SINGLES if self.top_reps == 1 else _SETS:
            load = self.snap(self.top_kg * ratio)
            if load > last and load <= self.top_kg * (1 + _TOLERANCE):
                found.append(self.step(load, self._reps_at(ratio), RampRole.ATTEMPT))
                last = load
        if found:
            found[-1] = self.step(last, self.top_reps, RampRole.ATTEMPT)
        if len(found) > 1:
            before = min(found[-2].reps, max(1, self.top_reps // 2))
            found[-2] = self.step(found[-2].load_kg, before, RampRole.ATTEMPT)
        record = self.snap(self.top_kg * _RECORD)
        if found and may_record and record > last and record <= self.top_kg * 1.05:
            found.append(self.step(record, self.top_reps, RampRole.RECORD))
        return tuple(found)

    def _reps_at(self, ratio: float) -> int:
        """Singles stay singles; before a triple or rep max two and one repetition are enough."""
        if ratio >= _TOP_RATIO:
            return self.top_reps
        return 1 if self.top_reps == 1 or ratio >= _CLOSE_RATIO else 2


def _cautions(made: Ramp, scheme: MaxEffortScheme) -> tuple[str, ...]:
    low, high = HEAVY_LIFTS
    count = made.lifts_at_90
    found = []
    if scheme is MaxEffortScheme.REP_MAX:
        found.append("Rep max: the top set stays below 90 %, so the heavy row does not apply.")
    elif count < low:
        found.append(
            f"{count} lifts at 90 % and more; the table gives {low}–{high}: back-off singles at "
            "90 % if the day is good."
        )
    elif count > high:
        found.append(f"{count} lifts at 90 % and more; the table gives {low}–{high}: drop one.")
    if any(step.role is RampRole.RECORD for step in made.attempts):
        found.append("The last load is a record: only if the one before moved fast, coach's call.")
    return tuple(found)
