"""Speed of the resistance arithmetic: load curves and the choice of rigs for a class."""

from __future__ import annotations

import random
import time
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import date
from statistics import median

import numpy as np
from numpy.typing import ArrayLike

from bench.figure import Figure
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.resistance import (
    BarPath,
    RigChoice,
    SetUp,
    WantedShare,
    by_hand,
    choose_for_class,
    possible_setups,
    tension_grid,
)
from heftwright.domain.stock import Band, BandReading, Chain, Platform, Stock

PREFIXES = ("resist_",)
DAY = date(2026, 3, 2)
POINTS = 25


def gym() -> Stock:
    """Seven kinds of short bands, two chains and two peg heights: invented."""
    tops = (11, 16, 21, 28, 37, 48, 62)
    bands = tuple(_band(f"b{number}", top) for number, top in enumerate(tops, start=1))
    chains = (
        Chain("c1", "light chain", 4, Mass.kg("1.4"), Length.m(2)),
        Chain("c2", "heavy chain", 4, Mass.kg("3.8"), Length.m(2)),
    )
    pegs = (Length.cm(5), Length.cm(12))
    return Stock(bands=bands, chains=chains, platforms=(Platform("P1", peg_heights=pegs),))


def _band(key: str, top_kg: float) -> Band:
    rows = ((0.45, 0.36), (0.60, 0.66), (0.80, 1.0))
    readings = tuple(
        BandReading(Length.nearest_m(length_m), Mass.nearest_kg(share * top_kg), DAY)
        for length_m, share in rows
    )
    return Band(key, f"band {key}", 2, Length.cm(32), readings, safe_length=Length.cm(95))


def paths(count: int, seed: int = 5) -> list[BarPath]:
    """Pulls of random athletes."""
    draw = random.Random(seed)
    return [
        BarPath(0.225 + draw.choice((0.0, 0.1)), draw.uniform(0.70, 0.88), 0.0222, "drawn", ())
        for _ in range(count)
    ]


def figures() -> Iterator[Figure]:
    """Curves for 150 athletes × 40 rigs against a loop; the choice for a class of 40.

    Before anything is timed, both ways must give the same numbers.
    """
    setups = possible_setups(gym(), DAY)[:40]
    squad = paths(150)
    _same(tension_grid(setups, squad, points=POINTS), _naive(setups, squad))
    fast, naive = _alternate(
        lambda: tension_grid(setups, squad, points=POINTS), lambda: _naive(setups, squad), runs=3
    )
    yield Figure(
        "resist_curves_150x40_ms",
        fast,
        "ms",
        "lower",
        bound=300,
        baseline=naive,
        peak_mb=_peak_mb(lambda: tension_grid(setups, squad, points=POINTS)),
        note=f"{POINTS} heights each, all equal to the baseline's: a loop over each height",
    )
    every = possible_setups(gym(), DAY)
    class_of = paths(40)
    wanted = [WantedShare(150 + 3 * number, 0.25, 0.20, 0.30) for number in range(40)]
    chosen = choose_for_class(setups, class_of, wanted)
    tops = [[choice.top_kg for choice in _as_listed(row, setups)] for row in chosen]
    _same(tops, _naive_tops(setups, class_of))
    fast, naive = _alternate(
        lambda: choose_for_class(setups, class_of, wanted),
        lambda: _naive_tops(setups, class_of),
        runs=5,
    )
    yield Figure(
        "resist_chooser_40_ms",
        fast,
        "ms",
        "lower",
        bound=200,
        peak_mb=_peak_mb(lambda: choose_for_class(setups, class_of, wanted)),
        note=f"40 rigs, ranked with ± and stops; only the tops in a loop: {naive:.0f} ms",
    )
    all_rigs = _ms(lambda: choose_for_class(every, class_of, wanted), runs=5)
    yield Figure(
        "resist_chooser_40_all_rigs_ms", all_rigs, "ms", "lower", note=f"{len(every)} rigs"
    )
    built = _ms(lambda: possible_setups(gym(), DAY), runs=5)
    yield Figure("resist_possible_setups_ms", built, "ms", "lower", note=f"{len(every)} rigs")


def _same(fast: ArrayLike, slow: ArrayLike) -> None:
    """Speed of wrong numbers is worth nothing."""
    np.testing.assert_allclose(fast, slow, rtol=1e-9, atol=1e-5)


def _as_listed(choices: tuple[RigChoice, ...], setups: tuple[SetUp, ...]) -> list[RigChoice]:
    by_key = {choice.setup.key: choice for choice in choices}
    return [by_key[setup.key] for setup in setups]


def _naive_tops(setups: tuple[SetUp, ...], squad: list[BarPath]) -> list[list[float]]:
    return [[by_hand.load_at(0.0, setup, path.end_m) for setup in setups] for path in squad]


def _peak_mb(work: Callable[[], object]) -> float:
    tracemalloc.start()
    work()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return peak / 1e6


def _naive(setups: tuple[SetUp, ...], squad: list[BarPath]) -> list[list[list[float]]]:
    return [
        [
            [
                by_hand.load_at(0.0, setup, path.start_m + path.rom_m * step / (POINTS - 1))
                for step in range(POINTS)
            ]
            for path in squad
        ]
        for setup in setups
    ]


def _alternate(
    candidate: Callable[[], object], baseline: Callable[[], object], *, runs: int
) -> tuple[float, float]:
    rows = [(_once(candidate), _once(baseline)) for _ in range(runs)]
    return median(row[0] for row in rows), median(row[1] for row in rows)


def _ms(work: Callable[[], object], *, runs: int) -> float:
    return median(_once(work) for _ in range(runs))


def _once(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - began)
