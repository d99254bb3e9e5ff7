"""The rows that tighten the model cut off fractions, never a plan; polishing never loses."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from bench.season_gyms import gym_season, random_season
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.catalogue import Region, Slot
from heftwright.domain.season import SeasonRules
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.legal import RowMaker
from heftwright.solve.season.engine import Limits, SolverStateError, _assert_ok, run_highs
from heftwright.solve.season.greedy import GreedyStart
from heftwright.solve.season.model import build_model
from heftwright.solve.season.polish import polish
from heftwright.solve.season.tighten import DayChoice, neighbour_cliques, station_sets


def test_station_sets_are_exactly_the_legal_days() -> None:
    problem = gym_season(6, 6, slots=(Slot.IMPLEMENT,))
    maker = RowMaker(problem)
    sets = station_sets(problem, maker, 0)
    assert sets is not None
    lifts = list(sets.columns)
    for size in (1, 2, 3):
        for days in combinations(lifts, size):
            chosen = np.zeros(len(problem.columns))
            chosen[[sets.columns[lift][0] for lift in days]] = 1.0
            said = " ".join(check_season(problem, problem.plan_of(chosen)))
            wrong = ("Week of", "Implement day", "in one day")
            is_legal = not any(words in said for words in wrong)
            assert (frozenset(days) in sets.sets) == is_legal


def test_a_clique_holds_only_choices_that_cannot_stand_side_by_side() -> None:
    tight = {**SeasonRules().in_a_row_limit, Region.SPINE: 4.0, Region.SHOULDER: 4.0}
    slots = (Slot.DYNAMIC_LOWER, Slot.MAX_EFFORT_UPPER)
    problem = gym_season(6, 6, slots=slots, rules=SeasonRules(in_a_row_limit=tight))
    maker = RowMaker(problem)
    choices = {
        cell: DayChoice(cell[0], cell[1], tuple(columns), problem.exposure_in(cell[1])[columns])
        for cell, columns in maker.covering.items()
    }
    limit = np.array([10 * problem.rules.in_a_row_limit[region] for region in Region])
    cliques = list(neighbour_cliques(problem, choices))
    assert cliques
    for clique in cliques:
        for one, two in combinations(clique, 2):
            first, second = problem.columns[one], problem.columns[two]
            if first.slot != second.slot:
                both = problem.exposure[one, :, :] + problem.exposure[two, :, :]
                assert (both.max(axis=1) > limit).any()


@given(st.integers(0, 10_000))
@settings(max_examples=6)
def test_no_legal_plan_is_cut_off_and_polishing_keeps_rules_and_points(seed: int) -> None:
    problem = random_season(seed)
    model = build_model(problem)
    greedy = GreedyStart(model).fill()
    better = polish(model, greedy, 2)
    assert model.objective.points(better) >= model.objective.points(greedy)
    assert {r.rule for r in model.rows.broken_by(better)} <= {
        r.rule for r in model.rows.broken_by(greedy)
    }
    fixed_lower, fixed_upper = model.lower.copy(), model.upper.copy()
    fixed_lower[: model.integral] = fixed_upper[: model.integral] = better
    held = replace(model, lower=fixed_lower, upper=fixed_upper)
    run = run_highs(held, Limits(1, 20.0, 0.0))
    assert run.points == pytest.approx(model.objective.points(better))


def test_an_option_the_solver_does_not_know_is_our_fault_and_said() -> None:
    with pytest.raises(SolverStateError, match="refused option"):
        _assert_ok("HighsStatus.kError", "option nonsense")
