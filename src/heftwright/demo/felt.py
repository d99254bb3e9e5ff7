"""How the make-believe training felt: what a gym would ask after class and before it.

Every session's rating of its whole effort (0–10, about half an hour after it) follows from what
was lifted: heavy days and the third week of a wave feel harder, an athlete has a habit of their
own, and now and then nobody asks. On some days an athlete says how they slept and how sore they
are. From one seed, so the same day gives the same answers.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from heftwright.demo.history import DemoSet
from heftwright.demo.squad import SEED, TIMETABLE

ASKED_RATIO = 0.94
"""Share of sessions after which somebody asked; the rest stay missing, as in a gym."""
READINESS_RATIO = 0.12
"""Share of sessions before which the athlete said how they feel."""
READINESS_DAYS = 84
"""The health page looks back so far; older answers would never be seen."""
HARD_DAYS = ("tue-1830", "thu-1830")
_MINUTES = {str(row[0]): int(row[3]) for row in TIMETABLE}


@dataclass(frozen=True, slots=True)
class DemoSession:
    """One session as it felt.

    Parameters
    ----------
    number : int
        Whose, by squad number.
    on : date
        The day.
    class_key : str
        The class time.
    rpe : float
        Of the whole session, 0–10, in halves.
    minutes : int
        How long it took [min].
    readiness : tuple of int or None
        Sleep, energy, soreness, stress, mood, 1–5, 5 best; None where nobody said.
    """

    number: int
    on: date
    class_key: str
    rpe: float
    minutes: int
    readiness: tuple[int, ...] | None


def sessions(history: Iterable[DemoSet], today: date) -> Iterator[DemoSession]:
    """Every rated session behind a history of sets, oldest first."""
    draw = random.Random(SEED + 1)
    tired: dict[int, float] = {}
    for (on, class_key, number), sets in _by_session(history).items():
        habit = random.Random(SEED * 100 + number).gauss(0.0, 0.5)
        rpe = _rpe(class_key, sets, habit, draw)
        minutes = _MINUTES[class_key] + 5 * draw.randint(-2, 1)
        readiness = _readiness(tired.get(number, 0.0), draw)
        tired[number] = 0.6 * tired.get(number, 0.0) + 0.4 * (rpe - 6.5)
        says = draw.random() < READINESS_RATIO and (today - on).days < READINESS_DAYS
        if draw.random() < ASKED_RATIO:
            yield DemoSession(number, on, class_key, rpe, minutes, readiness if says else None)


def _by_session(history: Iterable[DemoSet]) -> dict[tuple[date, str, int], list[DemoSet]]:
    found: dict[tuple[date, str, int], list[DemoSet]] = {}
    for item in history:
        found.setdefault((item.on, item.class_key, item.number), []).append(item)
    return found


def _rpe(class_key: str, sets: list[DemoSet], habit: float, draw: random.Random) -> float:
    """Heavy days feel harder, a miss harder still; the light wave weeks easier."""
    felt = 7.4 if class_key in HARD_DAYS else 5.8 + 0.25 * (12 - len(sets))
    felt += 0.6 * any(not item.made for item in sets) + habit + draw.gauss(0.0, 0.6)
    return max(2.0, min(10.0, round(2 * felt) / 2))


def _readiness(tired: float, draw: random.Random) -> tuple[int, ...]:
    """Five answers 1–5, 5 best; soreness and energy follow the sessions before."""
    weights = (0.2, 0.5, 0.8, 0.1, 0.3)  # sleep, energy, soreness, stress, mood
    felt = (3.8 - weight * tired + draw.gauss(0.0, 0.6) for weight in weights)
    return tuple(max(1, min(5, round(value))) for value in felt)
