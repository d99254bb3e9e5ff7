"""Progress over time from all efforts, not from the first and the last day alone."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

import numpy as np

from heftwright.domain.refusal import Refusal

_JOINT = 1e-4
"""Weight that ties a span to the one before: enough to bridge spans that share no lift, too little
to flatten what was measured."""


class ProgressError(Refusal):
    """Efforts that no line can be drawn through."""


def steady_line(days: Sequence[float], values: Sequence[float]) -> tuple[float, float]:
    """The line through all days that one odd day moves least (Theil 1950, Sen 1968).

    Parameters
    ----------
    days : sequence of float
        At least two different ones [d].
    values : sequence of float
        One a day, for example ln kg.

    Returns
    -------
    (float, float)
        Value at day 0, and change a day.
    """
    pairs = [(i, j) for i in range(len(days)) for j in range(i) if days[i] != days[j]]
    if len(days) != len(values) or not pairs:
        raise ProgressError("A line needs efforts on two days at least, a value for each.")
    slope = median((values[i] - values[j]) / (days[i] - days[j]) for i, j in pairs)
    start = median(value - slope * day for day, value in zip(days, values, strict=True))
    return start, slope


def level_path(
    spans: Sequence[int], lifts: Sequence[str], values: Sequence[float], count: int
) -> tuple[float, ...]:
    """One level for all lifts, span by span, against the first span.

    Lifts rotate, so two spans rarely share all of them: each lift has its own height and all share
    the spans' levels, fitted together by least squares. A span without efforts lies between its
    neighbours.

    Parameters
    ----------
    spans : sequence of int
        In which span each effort was, 0 … ``count`` − 1.
    lifts : sequence of str
        Of which lift.
    values : sequence of float
        What it speaks for, as ln kg.
    count : int
        How many spans.

    Returns
    -------
    tuple of float
        ln of the level of each span against the first.
    """
    if not values or not len(spans) == len(lifts) == len(values):
        raise ProgressError("Levels need efforts, each with its span and its lift.")
    names = {lift: count + at for at, lift in enumerate(dict.fromkeys(lifts))}
    seen = np.zeros((len(values), count + len(names)))
    for row, (span, lift) in enumerate(zip(spans, lifts, strict=True)):
        seen[row, span] = seen[row, names[lift]] = 1.0
    joints = np.zeros((count - 1, seen.shape[1]))
    for row in range(count - 1):
        joints[row, row], joints[row, row + 1] = -_JOINT, _JOINT
    known = np.concatenate((np.asarray(values, dtype=float), np.zeros(count - 1)))
    found = np.linalg.lstsq(np.vstack((seen, joints)), known, rcond=None)[0]
    return tuple(float(level - found[0]) for level in found[:count])
