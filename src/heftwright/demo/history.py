"""Twenty weeks of make-believe training before today, from one seed.

Every class the athletes trained the way the gym did before: a lift in waves on the dynamic-effort
days, a rotating lift on the max-effort days. Loads follow the true max of that week (which grew
slowly towards today's), noise of the day, and the plates; some days are missed, some sets too.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from heftwright.demo.squad import DAY_LETTERS, SEED, SQUAD, DemoAthlete
from heftwright.demo.truth import true_maxes
from heftwright.domain.catalogue import LiftKey

WEEKS = 20
DAY_SD = 0.02
_WAVES_LOWER = ("box_squat", "deadlift", "safety_bar_box_squat", "wide_deadlift")
_WAVES_UPPER = ("bench", "push_press", "close_grip_bench", "log_rack_press")
_ROTA_LOWER = (
    "block_deadlift", "front_squat", "axle_deadlift", "back_squat", "deficit_deadlift",
    "safety_bar_good_morning", "deadlift", "safety_bar_box_squat",
)  # fmt: skip
_ROTA_UPPER = (
    "log_clean_press", "close_grip_bench", "strict_press", "floor_press", "axle_clean_press",
    "incline", "push_press", "bench",
)  # fmt: skip
_OFFSETS = {"m": 0, "t": 1, "h": 3, "f": 4}
_NO_OVERHEAD = {
    "log_clean_press",
    "strict_press",
    "axle_clean_press",
    "push_press",
    "log_rack_press",
}


@dataclass(frozen=True, slots=True)
class DemoSet:
    """One make-believe set: who, when, what, how heavy [kg], reps, whether it was made.

    ``reps_in_reserve`` is None where nobody said.
    """

    number: int
    on: date
    class_key: str
    lift: LiftKey
    set_number: int
    load_kg: float
    reps: int
    made: bool
    reps_in_reserve: float | None
    is_max_attempt: bool


def history(today: date) -> Iterator[DemoSet]:
    """All sets of the 20 weeks before ``today``'s week, oldest first; same day, same history."""
    monday = today - timedelta(days=today.weekday())
    draw = random.Random(SEED)
    for week in range(WEEKS):
        start = monday - timedelta(weeks=WEEKS - week)
        for letter in "mthf":
            day = start + timedelta(days=_OFFSETS[letter])
            for athlete in SQUAD:
                if _comes(athlete, letter, day, today, draw):
                    yield from _sets(athlete, letter, week, day, draw)


def _comes(athlete: DemoAthlete, letter: str, day: date, today: date, draw: random.Random) -> bool:
    shows_up = draw.random() < 0.86
    if athlete.note == "lay-off" and timedelta(days=12) < today - day < timedelta(days=75):
        return False
    if athlete.note == "novice" and today - day > timedelta(weeks=9):
        return False
    return letter in athlete.days and shows_up


def _sets(
    athlete: DemoAthlete, letter: str, week: int, day: date, draw: random.Random
) -> Iterator[DemoSet]:
    growth = 1.0 - 0.0022 * (WEEKS - week)
    form = math.exp(draw.gauss(0.0, DAY_SD)) * growth
    maxes = true_maxes(athlete)
    if letter in "mf":
        lift = (_WAVES_LOWER if letter == "m" else _WAVES_UPPER)[week // 3 % 4]
        lift = _allowed(athlete, lift, "bench")
        yield from _speed_sets(
            athlete, letter, lift, maxes[LiftKey(lift)] * growth, week, day, draw
        )
    else:
        lift = (_ROTA_LOWER if letter == "h" else _ROTA_UPPER)[week % 8]
        lift = _allowed(athlete, lift, "incline")
        yield from _heavy_sets(athlete, letter, lift, maxes[LiftKey(lift)] * form, day, draw)


def _allowed(athlete: DemoAthlete, lift: str, instead: str) -> str:
    return instead if athlete.note == "no overhead" and lift in _NO_OVERHEAD else lift


def _speed_sets(  # noqa: PLR0913 - one make-believe class, all its circumstances
    athlete: DemoAthlete,
    letter: str,
    lift: str,
    max_kg: float,
    week: int,
    day: date,
    draw: random.Random,
) -> Iterator[DemoSet]:
    sets, ratio = ((12, 0.60), (12, 0.65), (10, 0.70))[week % 3]
    load = _plate_step(max_kg * ratio)
    for number in range(1, sets + 1):
        made = draw.random() > 0.003
        yield DemoSet(
            athlete.number, day, DAY_LETTERS[letter], LiftKey(lift), number, load,
            2 if made else 1, made, None, is_max_attempt=False,
        )  # fmt: skip


def _heavy_sets(
    athlete: DemoAthlete,
    letter: str,
    lift: str,
    day_max_kg: float,
    day: date,
    draw: random.Random,
) -> Iterator[DemoSet]:
    reps = 3 if athlete.note in ("minor", "novice") or draw.random() < 0.25 else 1
    top = day_max_kg * (1.0 if reps == 1 else 0.90)
    for number, step in enumerate((0.6, 0.7, 0.8, 0.88, 0.94, 0.985), start=1):
        load = _plate_step(top * step * math.exp(draw.gauss(0.0, 0.006)))
        made = load <= top
        yield DemoSet(
            athlete.number, day, DAY_LETTERS[letter], LiftKey(lift), number, load,
            reps if made else reps - 1, made, _reserve(load, top, draw) if made else 0.0,
            is_max_attempt=number >= 5,
        )  # fmt: skip


def _reserve(load_kg: float, top_kg: float, draw: random.Random) -> float:
    felt = (top_kg / load_kg - 1.0) / 0.03 + draw.gauss(0.0, 0.4)
    return max(0.0, min(8.0, round(2 * felt) / 2))


def _plate_step(kg: float) -> float:
    return max(20.0, 2.5 * math.floor(kg / 2.5))
