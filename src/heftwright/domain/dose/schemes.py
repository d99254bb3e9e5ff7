"""Every way to split a session's repetitions into sets, and what each means on the floor."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from heftwright.domain.dose.scheme import Scheme, SchemeError
from heftwright.domain.dose.waves import WaveStep

TAPER_VOLUME = Fraction(545, 1000)
"""Share of the volume kept in a taper week: −45.5 % (Winwood et al. 2018) [@winwood-2018]."""
_MOST_SETS = 20
_REST_S = {1: 60, 2: 60, 3: 60, 4: 75, 5: 90, 6: 90}
"""Rest by reps of a speed set [s]; 1–2 min suffice for power over six sets (JSSM 14:269)."""


class SchemeStyle(StrEnum):
    """What a way of splitting trains besides strength (common practice)."""

    FIRST_REP = "first_rep"
    SPEED = "speed"
    ENDURANCE = "endurance"

    @property
    def shown(self) -> str:
        """The words on screens and paper."""
        return {
            "first_rep": "many first reps: set-up and start are practised most",
            "speed": "few longer sets: speed held over the set",
            "endurance": "long sets: strength endurance, least set-ups",
        }[self.value]


@dataclass(frozen=True, slots=True)
class SchemeOption:
    """One way to split the repetitions.

    Parameters
    ----------
    scheme : Scheme
        Sets × reps and rest.
    short_of : int
        Repetitions below the wanted total, ≥ 0.
    style : SchemeStyle
        What it trains besides.
    """

    scheme: Scheme
    short_of: int
    style: SchemeStyle

    @property
    def set_ups(self) -> int:
        """How often the athlete sets up: each costs time on the floor."""
        return self.scheme.sets

    @property
    def is_exact(self) -> bool:
        """Whether the whole total is used."""
        return self.short_of == 0

    def set_ups_saved_against(self, other: SchemeOption) -> Fraction:
        """Share of set-ups saved: 8 sets need a third fewer than 12."""
        return 1 - Fraction(self.set_ups, other.set_ups)

    @property
    def words(self) -> str:
        """For the coach who chooses."""
        total = self.scheme.total_reps
        rest = "" if self.is_exact else f", {self.short_of} below the table"
        return f"{self.scheme}: {total} reps{rest}, {self.set_ups} set-ups; {self.style.shown}"


def style_of(reps: int) -> SchemeStyle:
    """Style by repetitions a set: 1–2 first rep, 3–4 speed, 5 and more endurance."""
    if reps <= 2:
        return SchemeStyle.FIRST_REP
    return SchemeStyle.SPEED if reps <= 4 else SchemeStyle.ENDURANCE


def speed_rest_s(reps: int) -> int:
    """Rest after a speed set of this many repetitions [s]."""
    return _REST_S.get(reps, 90)


def factorisations(
    total_reps_at_most: int, reps_range: tuple[int, int] = (2, 6)
) -> tuple[SchemeOption, ...]:
    """All ways to reach, or come nearest below, a total.

    Parameters
    ----------
    total_reps_at_most : int
        1–60.
    reps_range : (int, int)
        Fewest and most repetitions a set, 1–30.

    Returns
    -------
    tuple of SchemeOption
        By repetitions a set, rising; more than 20 sets are left out.
    """
    low, high = reps_range
    if not (1 <= total_reps_at_most <= 60 and 1 <= low <= high <= 30):
        raise SchemeError(
            f"{total_reps_at_most} reps in sets of {low}–{high}: the total must be 1–60, the "
            "range rising within 1–30."
        )
    found = []
    for reps in range(low, min(high, total_reps_at_most) + 1):
        sets = total_reps_at_most // reps
        if sets <= _MOST_SETS:
            scheme = Scheme(sets, reps, speed_rest_s(reps))
            found.append(SchemeOption(scheme, total_reps_at_most - sets * reps, style_of(reps)))
    return tuple(found)


def scheme_for(step: WaveStep, scheme_step: int, is_lower: bool) -> Scheme:  # noqa: FBT001 - agreed name
    """Scheme of a dynamic-effort week: 0 many sets of few … 2 fewer sets of more.

    Lower days split 24 as 12 × 2, 8 × 3, 6 × 4 and 20 as 10 × 2, 5 × 4, 4 × 5 (common practice);
    upper days start at sets of three.

    Parameters
    ----------
    step : WaveStep
        The week.
    scheme_step : int
        0, 1 or 2 (season.md, drift towards a reps event).
    is_lower : bool
        Lower or upper day.
    """
    if scheme_step not in (0, 1, 2):
        raise SchemeError(f"Scheme step {scheme_step} must be 0, 1 or 2.")
    options = factorisations(step.most_reps, (2 if is_lower else 3, 6))
    exact = [option for option in options if option.is_exact]
    if len(exact) < 3:
        exact = sorted(sorted(options, key=lambda option: option.short_of)[:3], key=_by_reps)
    return exact[min(scheme_step, len(exact) - 1)].scheme


@dataclass(frozen=True, slots=True)
class ClassTime:
    """What the floor gives a main lift.

    Parameters
    ----------
    minutes : float
        For the working sets [min], > 0.
    round_s : float
        Until everybody on the bar has done a set and it is the first one's turn again [s], > 0.
    """

    minutes: float
    round_s: float

    def __post_init__(self) -> None:
        if self.minutes <= 0 or self.round_s <= 0:
            raise SchemeError(
                f"{self.minutes:g} min in rounds of {self.round_s:g} s: both must be above 0."
            )

    def holds(self, scheme: Scheme) -> bool:
        """Whether all sets fit; the rest may be longer than the round."""
        return scheme.sets * max(self.round_s, float(scheme.rest_s)) <= 60 * self.minutes


def scheme_within(
    step: WaveStep,
    scheme_step: int,
    is_lower: bool,  # noqa: FBT001 - as in scheme_for
    time: ClassTime,
) -> tuple[Scheme, str]:
    """The wanted scheme, or the next with fewer, longer sets that the class has time for.

    Returns
    -------
    (Scheme, str)
        The scheme and, where the class's time changed it, why; else an empty text. If none fits,
        the shortest with fewer sets, never more reps a set.
    """
    wanted = scheme_for(step, scheme_step, is_lower)
    for drift in range(scheme_step, 3):
        scheme = scheme_for(step, drift, is_lower)
        if time.holds(scheme):
            why = "" if scheme == wanted else f"{wanted} takes longer than the class has"
            return scheme, why
    last = scheme_for(step, 2, is_lower)
    sets = max(1, int(60 * time.minutes // max(time.round_s, float(last.rest_s))))
    return replace(last, sets=min(sets, last.sets)), f"only {sets} rounds fit the class"


def _by_reps(option: SchemeOption) -> int:
    return option.scheme.reps


def taper(scheme: Scheme) -> Scheme:
    """The same sets, fewer of them: volume × 0.545 (Winwood et al. 2018), never below one set."""
    sets = max(1, round(scheme.sets * TAPER_VOLUME))
    return replace(scheme, sets=sets)
