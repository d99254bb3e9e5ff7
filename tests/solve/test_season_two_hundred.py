"""Two hundred random gyms, short seasons: every first plan passes the independent checker, alone
and with its light weeks, second lifts and event practice.

``python -m bench.run_trust`` does the same with longer seasons and a longer search.
"""

from __future__ import annotations

import pytest
from bench.season_gyms import random_season

from heftwright.domain.outcome import Infeasible, Solved
from heftwright.domain.season.after import with_after_work
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.light import with_light_sessions
from heftwright.solve.season import solve_season

SEASONS = 200
BLOCK = 25
LONGEST_WEEKS = 6
LIMIT_S = 0.05


@pytest.mark.parametrize("first", range(0, SEASONS, BLOCK))
def test_random_seasons_keep_every_rule(first: int) -> None:
    broken = {}
    for seed in range(first, first + BLOCK):
        problem = random_season(seed, LONGEST_WEEKS)
        ended = solve_season(problem, limit_s=LIMIT_S, gap=0.5)
        assert not isinstance(ended, Infeasible), seed
        plan = ended.plan if isinstance(ended, Solved) else ended.best
        assert plan is not None, seed
        whole = with_light_sessions(problem, with_after_work(problem, plan)[0])
        found = (*check_season(problem, plan), *check_season(problem, whole))
        if found:
            broken[seed] = found
    assert broken == {}
