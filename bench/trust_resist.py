"""Two independently written load counts over a million random cases (trust.md H2)."""

from __future__ import annotations

import random
from collections.abc import Iterator

import numpy as np

from bench.bench_resist import gym
from bench.figure import Figure
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.resistance import BandPart, ChainPart, RigPart, SetUp, by_hand, set_up
from heftwright.domain.resistance.band_laws import BandLaw, PowerLaw, RubberLaw
from heftwright.domain.resistance.bands import BandCurve, BandModel
from heftwright.domain.stock import Chain, RigKind

PREFIXES = ("resist_",)
CASES = 1_000_000
HEIGHTS = 250
TOLERANCE = 1e-9


def figures() -> Iterator[Figure]:
    """How many cases agree; and that a count without one side would not."""
    agreed, worst = _agreeing(CASES)
    yield Figure(
        "resist_two_engines_cases",
        agreed,
        "count",
        "higher",
        bound=CASES,
        note=f"largest relative difference {worst:.1e}",
    )
    caught = HEIGHTS * 20 - _agreeing(HEIGHTS * 20, spoil=1.001)[0]
    yield Figure(
        "resist_two_engines_control",
        caught,
        "count",
        "higher",
        bound=1,
        note=f"of {HEIGHTS * 20} cases with 0.1 % put on one count, noticed",
    )


def _agreeing(cases: int, *, spoil: float = 1.0) -> tuple[int, float]:
    draw = random.Random(20260302)
    agreed, worst = 0, 0.0
    for _ in range(cases // HEIGHTS):
        setup, bar_kg = _setup(draw), draw.uniform(0, 400)
        heights = [draw.uniform(0, 3) for _ in range(HEIGHTS)]
        fast = spoil * (bar_kg + setup.tension_kg(heights))
        slow = np.array([by_hand.load_at(bar_kg, setup, height) for height in heights])
        gap = np.abs(fast - slow) / np.maximum(np.abs(slow), 1.0)
        agreed += int(np.sum(gap <= TOLERANCE))
        worst = max(worst, float(np.max(gap)))
    return agreed, worst


def _setup(draw: random.Random) -> SetUp:
    parts = [
        _band(draw) if draw.random() < 0.75 else _chain(draw) for _ in range(draw.randint(1, 4))
    ]
    return set_up(*parts)


def _band(draw: random.Random) -> RigPart:
    laws = tuple(_law(draw) for _ in range(draw.choice((1, 1, 2))))
    curve = BandCurve("b", "b", BandModel.RUBBER, laws, 1.0, 2.0, (1.3, 1.9), 0.025)
    return BandPart(
        gym().bands[0],
        curve,
        draw.choice(list(RigKind)),
        draw.choice((0.0, draw.uniform(0, 2.6))),
        draw.choice((0.0, draw.uniform(0, 0.6))),
        draw.randint(1, 3),
    )


def _law(draw: random.Random) -> BandLaw:
    rest_m = draw.uniform(0.2, 1.4)
    if draw.random() < 0.5:
        return PowerLaw(rest_m, draw.uniform(0, 120), draw.uniform(0.4, 1.0))
    return RubberLaw(rest_m, draw.choice((0.0, draw.uniform(0, 80))), draw.uniform(0, 80))


def _chain(draw: random.Random) -> RigPart:
    chain = Chain(
        "c",
        "c",
        3,
        Mass.nearest_kg(draw.uniform(0.3, 6)),
        Length.nearest_m(draw.uniform(0.2, 4)),
        Mass.nearest_kg(draw.uniform(0, 3)),
    )
    return ChainPart(
        chain, draw.choice((1, 2)), draw.uniform(0, 1.2), draw.randint(1, 3), draw.uniform(0, 0.3)
    )
