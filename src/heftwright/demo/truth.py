"""What the invented athletes could truly lift: the hidden truth behind the demo's history.

A lift's true max is its base lift times a ratio, times the athlete's own deviation for the
family, drawn once from the seed. The ratios are invented for the demo and independent of the
program's own prior ratios, so that the demo does not flatter the estimates.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping

from heftwright.demo.squad import SEED, SQUAD, DemoAthlete
from heftwright.domain.catalogue import LiftKey

BASE_RATIO: Mapping[str, tuple[str, float]] = {
    "deadlift": ("pull", 1.0),
    "wide_deadlift": ("pull", 0.96),
    "deficit_deadlift": ("pull", 0.93),
    "block_deadlift": ("pull", 1.06),
    "high_deadlift": ("pull", 1.19),
    "axle_deadlift": ("pull", 0.90),
    "axle_block_deadlift": ("pull", 0.95),
    "hex_deadlift": ("pull", 1.07),
    "frame_deadlift": ("pull", 1.05),
    "snatch_grip_deadlift": ("pull", 0.86),
    "romanian_deadlift": ("pull", 0.78),
    "back_squat": ("squat", 1.0),
    "box_squat": ("squat", 0.95),
    "safety_bar_box_squat": ("squat", 0.88),
    "cambered_bar_box_squat": ("squat", 0.91),
    "front_squat": ("squat", 0.80),
    "pin_squat": ("squat", 0.92),
    "yoke_bar_box_squat": ("squat", 0.97),
    "elbow_crook_squat": ("squat", 0.72),
    "safety_bar_good_morning": ("squat", 0.62),
    "hung_good_morning": ("squat", 0.66),
    "bench": ("bench", 1.0),
    "close_grip_bench": ("bench", 0.93),
    "floor_press": ("bench", 0.95),
    "incline": ("bench", 0.84),
    "axle_incline": ("bench", 0.82),
    "board_press": ("bench", 1.05),
    "multi_grip_bench": ("bench", 0.96),
    "strict_press": ("press", 1.0),
    "push_press": ("press", 1.19),
    "log_clean_press": ("press", 1.14),
    "log_rack_press": ("press", 1.18),
    "axle_clean_press": ("press", 1.13),
    "axle_rack_press": ("press", 1.17),
    "pin_press": ("press", 1.02),
    "seated_pin_press": ("press", 1.0),
    "floor_seated_press": ("press", 0.82),
}
LIFT_LOG_SD = 0.035


def true_maxes(athlete: DemoAthlete) -> dict[LiftKey, float]:
    """True maxes today of every bar lift [kg]; the same for the same seed."""
    bases = {
        "pull": athlete.pull_kg,
        "squat": athlete.squat_kg,
        "bench": athlete.bench_kg,
        "press": athlete.press_kg,
    }
    draw = random.Random(SEED * 1000 + athlete.number)
    maxes: dict[LiftKey, float] = {}
    for lift, (base, ratio) in BASE_RATIO.items():
        deviation = 0.0 if ratio == 1.0 else draw.gauss(0.0, LIFT_LOG_SD)
        maxes[LiftKey(lift)] = bases[base] * ratio * math.exp(deviation)
    return maxes


def all_true_maxes() -> dict[int, dict[LiftKey, float]]:
    """True maxes of the whole squad by squad number."""
    return {athlete.number: true_maxes(athlete) for athlete in SQUAD}
