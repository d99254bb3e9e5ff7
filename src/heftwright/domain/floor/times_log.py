"""How long things really take, learned from when sets were logged.

Between two logged sets of one platform lie the change of plates, the collars, the next lifter's
set-up and set:

    seconds = plate · plates moved + collars · [bar changed] + step in + rep · repetitions

The four times are fitted with a soft-L1 loss (a talk or a phone left in the bag pulls little),
never below 0, and are drawn to the times in use with the weight of 20 turns, so that few turns
change little. Turns of more than three times what was expected are breaks and left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from statistics import median

import numpy as np
from scipy.optimize import least_squares

from heftwright.domain.floor.problem import FloorTimes
from heftwright.domain.floor.terms import FloorTerms
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId

LEAST_TURNS = 30
PRIOR_TURNS = 20
BREAK_RATIO = 3.0
SOFT_S = 8.0
LEAST_OF_ONE = 8
LEAST_PLATE_S = 0.5


class FewTurnsError(Refusal):
    """Too few logged turns to learn from."""


@dataclass(frozen=True, slots=True)
class TurnSeen:
    """One turn as logged.

    Parameters
    ----------
    athlete : AthleteId
        Who lifted.
    plates_moved : int
        Pairs taken off and put on before the set.
    reps : int
        In the set.
    seconds : float
        From the set logged before on this platform to this one [s].
    """

    athlete: AthleteId
    plates_moved: int
    reps: int
    seconds: float


@dataclass(frozen=True, slots=True)
class LearnedTimes:
    """What the log says.

    Parameters
    ----------
    plate_s, collars_s, step_in_s, rep_s : float
        A pair moved, collars and a look, set-up with breath and brace, one repetition [s].
    turns : int
        How many turns it rests on.
    spread_s : float
        Median distance of a turn from what these times say [s].
    extra_s : Mapping
        Athlete -> how much longer (or shorter) than these times their turns last, median [s].
    """

    plate_s: float
    collars_s: float
    step_in_s: float
    rep_s: float
    turns: int
    spread_s: float
    extra_s: Mapping[AthleteId, float] = field(default_factory=dict)

    def times(self, used: FloorTimes) -> FloorTimes:
        """As the planner's times; step-in is split as in the times that are used."""
        whole = used.set_up_s + used.fixed_s
        share = used.set_up_s / whole if whole else 1.0
        return replace(
            used, collars_s=_tenth(self.collars_s), per_rep_s=_tenth(self.rep_s),
            set_up_s=_tenth(self.step_in_s * share), fixed_s=_tenth(self.step_in_s * (1 - share)),
        )  # fmt: skip

    def on_terms(self, terms: FloorTerms) -> FloorTerms:
        """The gym's terms with these times."""
        used = terms.plate_on_s + terms.plate_off_s
        both = max(2 * self.plate_s, 2 * LEAST_PLATE_S)
        on_s = max(LEAST_PLATE_S, _tenth(both * terms.plate_on_s / used))
        off_s = max(LEAST_PLATE_S, _tenth(both * terms.plate_off_s / used))
        return replace(terms, times=self.times(terms.times), plate_on_s=on_s, plate_off_s=off_s)


def _tenth(seconds: float) -> float:
    return round(seconds, 1)


def learn(turns: Sequence[TurnSeen], terms: FloorTerms) -> LearnedTimes:
    """The gym's times from its log.

    Parameters
    ----------
    turns : sequence of TurnSeen
        At least 30 that are no breaks.
    terms : FloorTerms
        In use now; few turns change them little.

    Raises
    ------
    FewTurnsError
        If there are fewer.
    """
    prior = _prior(terms)
    sure = [turn for turn in turns if 0 < turn.seconds <= BREAK_RATIO * float(_row(turn) @ prior)]
    if len(sure) < LEAST_TURNS:
        raise FewTurnsError(
            f"{len(sure)} logged turns are too few to learn times from: {LEAST_TURNS} are needed."
        )
    rows = np.array([_row(turn) for turn in sure])
    seen = np.array([turn.seconds for turn in sure])
    fitted = _fit(rows, seen, prior)
    off = seen - rows @ fitted
    plate, collars, step_in, rep = (float(value) for value in fitted)
    return LearnedTimes(
        plate, collars, step_in, rep, len(sure), float(np.median(np.abs(off))),
        _extra([turn.athlete for turn in sure], off.tolist()),
    )  # fmt: skip


def _prior(terms: FloorTerms) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    times = terms.times
    return np.array([
        (terms.plate_on_s + terms.plate_off_s) / 2, times.collars_s,
        times.set_up_s + times.fixed_s, times.per_rep_s,
    ])  # fmt: skip


def _row(turn: TurnSeen) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([turn.plates_moved, float(turn.plates_moved > 0), 1.0, turn.reps])


def _fit(
    rows: np.ndarray[tuple[int, int], np.dtype[np.float64]],
    seen: np.ndarray[tuple[int], np.dtype[np.float64]],
    prior: np.ndarray[tuple[int], np.dtype[np.float64]],
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Soft-L1 on the turns, a quadratic pull to the prior by what each time usually adds."""
    usual = np.abs(rows).mean(axis=0) + 1e-6
    pull = np.sqrt(PRIOR_TURNS / len(seen)) * usual
    scale = np.sqrt(len(seen))

    def residuals(
        value: np.ndarray[tuple[int], np.dtype[np.float64]],
    ) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        off = (seen - rows @ value) / SOFT_S
        soft = np.sign(off) * np.sqrt(2 * (np.sqrt(1 + off**2) - 1))
        return np.concatenate([soft, pull * scale * (value - prior) / SOFT_S])

    found = least_squares(residuals, np.maximum(prior, 0.1), bounds=(0.0, 600.0))
    return np.asarray(found.x, dtype=np.float64)


def _extra(athletes: Sequence[AthleteId], off: Sequence[float]) -> dict[AthleteId, float]:
    mine: dict[AthleteId, list[float]] = {}
    for athlete, seconds in zip(athletes, off, strict=True):
        mine.setdefault(athlete, []).append(seconds)
    return {
        athlete: median(seconds)
        for athlete, seconds in mine.items()
        if len(seconds) >= LEAST_OF_ONE
    }
