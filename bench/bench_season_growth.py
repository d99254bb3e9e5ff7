"""How the first season and its model grow with athletes, weeks and contests (processor time)."""

from __future__ import annotations

import resource
import time
from collections.abc import Iterator

from bench.figure import Figure
from bench.season_gyms import EVENTS, contest, gym_season, squad, stock, timetable
from heftwright.domain.season import SeasonProblem
from heftwright.solve.season import solve_season
from heftwright.solve.season.model import build_model

PREFIXES = ("season_growth",)
RUNS = 3
ATHLETES = (10, 40, 80, 150)
WEEKS = (8, 16, 28, 40)
CONTESTS = (1, 2, 4, 8)
KIT_TIMES = 6


def _gym(size: int, weeks: int, contests: int) -> SeasonProblem:
    """A gym of a size with kit for it; contests evenly spread, every second one for the squad."""
    people = squad(size)
    plenty = {key: KIT_TIMES * count for key, count in stock().kit.items()}
    meets = [
        contest(
            (n + 1) * weeks // contests - 1, EVENTS[n % 4 : n % 4 + 4], name=f"Meet {n}",
            main=(contests - n) % 2 == 1, entrants=people[n % 2 :: 2],
        )
        for n in range(contests)
    ]  # fmt: skip
    return gym_season(
        size, weeks, athletes=people, stock=stock(**plenty), contests=meets,
        timetable=timetable(people),
    )  # fmt: skip


def _first_s(size: int, weeks: int, contests: int) -> float:
    """Processor time to the first plan, the least of some runs [s]."""
    return min(_once(size, weeks, contests) for _ in range(RUNS))


def _once(size: int, weeks: int, contests: int) -> float:
    began, spent = time.process_time(), [0.0]

    def hear(*_: object) -> bool:
        spent[0] = spent[0] or time.process_time() - began
        return False

    solve_season(_gym(size, weeks, contests), limit_s=0.1, on_progress=hear, gap=1.0)
    return spent[0]


def figures() -> Iterator[Figure]:
    """A figure an axis; the curve stands in its note."""
    for name, points, place in (
        ("athletes", ATHLETES, lambda n: (n, 16, 2)),
        ("weeks", WEEKS, lambda n: (40, n, 2)),
        ("contests", CONTESTS, lambda n: (40, 24, n)),
    ):
        curve = [(n, _first_s(*place(n))) for n in points]
        model = build_model(_gym(*place(points[-1])))
        note = (
            "first plan, processor time: "
            + ", ".join(f"{n} {spent_s:.2f} s" for n, spent_s in curve)
            + f"; at {points[-1]}: {model.integral} choices, {len(model.low)} rows, "
            f"{model.matrix.nnz} nonzeros"
        )
        ratio = curve[-1][1] / curve[0][1]
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        yield Figure(f"season_growth_{name}", ratio, "ratio", "lower", peak_mb=peak_mb, note=note)
