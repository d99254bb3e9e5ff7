"""Two hundred random gyms, each planned in a moment: every plan passes the checker."""

from __future__ import annotations

from collections.abc import Iterator

from bench.bench_season import unpack
from bench.figure import Figure
from bench.season_gyms import random_season
from heftwright.domain.season.after import with_after_work
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.light import with_light_sessions
from heftwright.solve.season import solve_season

PREFIXES = ("season_",)
SEASONS = 200
LIMIT_S = 2.0


def figures() -> Iterator[Figure]:
    """How many of the random seasons break no rule."""
    passed = blanks = 0
    for seed in range(SEASONS):
        problem = random_season(seed)
        plan, _, _ = unpack(solve_season(problem, limit_s=LIMIT_S, gap=0.1))
        whole = with_light_sessions(problem, with_after_work(problem, plan)[0])
        passed += not (check_season(problem, plan) or check_season(problem, whole))
        blanks += sum("no main lift" in note for note in plan.notes)
    note = f"{blanks} blank sessions in all, where small kit or few lifts leave no choice"
    yield Figure("season_random_passed", passed, "count", "higher", SEASONS, note=note)
