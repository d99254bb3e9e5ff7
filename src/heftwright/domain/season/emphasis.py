"""What the rep work of a week leans on: weak points early, what the events ask for later."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import EventFamily, WeakPoint
from heftwright.domain.contest import Contest
from heftwright.domain.squad import Athlete

NEAR_WEEKS = 8
LEAST_PHASE = 0.15
NAMED = 2
WEAK = "weak point"
_Asks = Mapping[WeakPoint, float]
_Named = Mapping[str, float]
W = WeakPoint

# What a family of events asks of rep work, 0–1: common practice, no source. A carry brings the
# sled, jumps and light carries with fast turns (conditioning, leg drive, grip).
ASKS: Mapping[EventFamily, _Asks] = {
    EventFamily.DEADLIFT_MAX: {W.LOCKOUT: 0.6, W.OFF_THE_FLOOR: 0.6, W.GRIP: 0.4},
    EventFamily.DEADLIFT_REPS: {W.LOCKOUT: 0.5, W.GRIP: 0.5, W.CONDITIONING: 0.5},
    EventFamily.PRESS_MAX: {W.TRICEPS: 0.7, W.LEG_DRIVE: 0.4, W.UPPER_BACK: 0.3},
    EventFamily.PRESS_REPS: {W.TRICEPS: 0.6, W.LEG_DRIVE: 0.4, W.CONDITIONING: 0.5},
    EventFamily.YOKE: {W.BRACING: 0.8, W.CONDITIONING: 0.5, W.LEG_DRIVE: 0.4},
    EventFamily.FARMERS: {W.GRIP: 0.9, W.CONDITIONING: 0.5, W.UPPER_BACK: 0.4},
    EventFamily.STONES: {W.UPPER_BACK: 0.7, W.LOCKOUT: 0.5, W.LEG_DRIVE: 0.3},
    EventFamily.SANDBAG: {W.UPPER_BACK: 0.6, W.BRACING: 0.5, W.CONDITIONING: 0.4},
    EventFamily.SQUAT: {W.QUADS: 0.8, W.BRACING: 0.4},
    EventFamily.HOLD: {W.GRIP: 0.9, W.UPPER_BACK: 0.4},
    EventFamily.MEDLEY: {W.CONDITIONING: 0.9, W.GRIP: 0.4, W.BRACING: 0.3},
}


@dataclass(frozen=True, slots=True)
class Emphasis:
    """What the rep work leans on.

    Parameters
    ----------
    weights : Mapping
        Weak point -> how much, ≥ 0.
    words : str
        In a sentence; empty if nothing stands out.
    """

    weights: _Asks
    words: str


def emphasis_on(
    athletes: Sequence[Athlete], contests: Sequence[Contest], day: date,
    near_weeks: int = NEAR_WEEKS,
) -> Emphasis:  # fmt: skip
    """What the rep work of these athletes leans on.

    Parameters
    ----------
    athletes : sequence of Athlete
        The class, or the whole squad.
    contests : sequence of Contest
        The calendar; each counts for those who enter it.
    day : date
        Of the class.
    near_weeks : int
        From here an event counts more each week, and weak points less [weeks].
    """
    if not athletes:
        return Emphasis({}, "")
    early: dict[WeakPoint, float] = defaultdict(float)
    late: dict[WeakPoint, float] = defaultdict(float)
    because: dict[WeakPoint, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for athlete in athletes:
        nearness = max([0.0, *(near for _, near in _ahead(athlete, contests, day, near_weeks))])
        phase = max(LEAST_PHASE, 1 - nearness)
        for point, weight in athlete.weak_points.items():
            early[point] += phase * weight / len(athletes)
        for point, contest, part in _asked(athlete, contests, day, near_weeks):
            late[point] += part / len(athletes)
            because[point][contest.name] += part
    weights = {
        point: early[point] + late[point] for point in WeakPoint if early[point] + late[point] > 0
    }
    return Emphasis(weights, _words(weights, early, because))


def _ahead(
    athlete: Athlete, contests: Sequence[Contest], day: date, near_weeks: int
) -> Iterator[tuple[Contest, float]]:
    for contest in contests:
        days = (contest.on - day).days
        if contest.enters(athlete.id) and 0 <= days < 7 * near_weeks:
            yield contest, 1 - days / (7 * near_weeks)


def _asked(
    athlete: Athlete, contests: Sequence[Contest], day: date, near_weeks: int
) -> Iterator[tuple[WeakPoint, Contest, float]]:
    """What an athlete's own contests ask, an event's share of the contest each."""
    for contest, near in _ahead(athlete, contests, day, near_weeks):
        for event in contest.events:
            for point, part in ASKS[event.family].items():
                yield point, contest, 2 * near * part / len(contest.events)


def _words(weights: _Asks, early: _Asks, because: Mapping[WeakPoint, _Named]) -> str:
    top = sorted(weights, key=lambda point: (-weights[point], point.value))[:NAMED]
    if not top:
        return ""
    reasons = [_why(point, weights, early, because) for point in top]
    if len(set(reasons)) == 1:
        joined = " and ".join(point.shown for point in top)
        plural = "s" if reasons[0] == WEAK and len(top) > 1 else ""
        return f"Rep work leans on {joined} ({reasons[0]}{plural})."
    parts = [f"{point.shown} ({why})" for point, why in zip(top, reasons, strict=True)]
    return f"Rep work leans on {' and '.join(parts)}."


def _why(
    point: WeakPoint, weights: _Asks, early: _Asks, because: Mapping[WeakPoint, _Named]
) -> str:
    """The contest that asks for it most, or that it is a weak point."""
    names = because.get(point, {})
    is_event = weights[point] > 2 * early.get(point, 0.0)
    return max(names, key=lambda name: names[name]) if names and is_event else WEAK
