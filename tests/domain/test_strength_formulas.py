"""Rep-max formulas, the chart and reserves, against the published values (checks.md A)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strength_published import PUBLISHED, TABLE

from heftwright.domain.strength.formulas import (
    CHART_PCT,
    RepMaxDomainError,
    RepMaxFormula,
    RpeError,
    bench_max_kravitz_kg,
    chest_press_max_from_5rm_kg,
    implied_max_ratio,
    leg_press_max_from_5rm_kg,
    rep_max_kg,
    rep_max_range,
    reserve_from_rpe,
    share_of_max,
    share_with_reserve,
    true_reserve,
)


def test_every_published_row_says_where_it_is_from_and_how_it_was_seen():
    assert TABLE.name.endswith(".csv")
    assert all(row.source and row.status for row in PUBLISHED.values())


@pytest.mark.parametrize("formula", RepMaxFormula)
def test_100_kg_for_5_by_each_formula(formula):
    # checks.md R1: Epley 1985, Brzycki 1993, Lander 1985, Lombardi 1989, Mayhew et al. 1992,
    # O'Conner et al. 1989, Wathen 1994. Constants of Brzycki and Lander seen, others from memory.
    row = PUBLISHED["R1"]
    value = rep_max_kg(formula, row.input["w"], row.input["r"])
    assert value == pytest.approx(row.expected[formula.value], abs=row.tolerance)


@pytest.mark.parametrize("formula", RepMaxFormula)
@given(load=st.floats(1, 500))
def test_one_rep_returns_the_load_itself(formula, load):
    assert rep_max_kg(formula, load, 1) == load


def test_epley_and_exact_brzycki_meet_at_ten_reps_only():
    # checks.md R3, algebra: r/30 against 36/(37 - r).
    row = PUBLISHED["R3"]
    assert rep_max_kg(RepMaxFormula.EPLEY, 100, 10) == pytest.approx(
        row.expected, abs=row.tolerance
    )

    def exact_brzycki(reps):
        return 100 * 36 / (37 - reps)

    for reps in range(2, 10):
        assert rep_max_kg(RepMaxFormula.EPLEY, 100, reps) > exact_brzycki(reps)
    assert exact_brzycki(10) == pytest.approx(row.expected, abs=row.tolerance)
    for reps in range(11, 20):
        assert rep_max_kg(RepMaxFormula.EPLEY, 100, reps) < exact_brzycki(reps)


def test_the_two_misprints_in_circulation_are_not_used():
    # maxes.md: Epley with 0.333 gives 266.5 kg for 100 x 5; Brzycki without 100 gives 1.1 kg.
    assert rep_max_kg(RepMaxFormula.EPLEY, 100, 5) < 120
    assert rep_max_kg(RepMaxFormula.BRZYCKI, 100, 5) > 110


def test_the_training_load_chart_row_by_row():
    # checks.md R5: Essentials of Strength Training and Conditioning, two copies agree.
    row = PUBLISHED["R5"]
    assert [100 * share_of_max(reps) for reps in row.input] == pytest.approx(row.expected)
    assert list(CHART_PCT.values()) == row.expected


def test_reynolds_2006_from_a_five_rep_max():
    # checks.md R7: Reynolds et al. 2006, JSCR 20(3):584-592.
    row = PUBLISHED["R7"]
    values = [chest_press_max_from_5rm_kg(100), leg_press_max_from_5rm_kg(100)]
    assert values == pytest.approx(row.expected, abs=row.tolerance)


def test_kravitz_2003_from_many_bench_reps():
    # checks.md R8: Kravitz et al. 2003, JSCR 17(1):167-172.
    row = PUBLISHED["R8"]
    value = bench_max_kravitz_kg(row.input["w"], row.input["r"])
    assert value == pytest.approx(row.expected, abs=row.tolerance)


@pytest.mark.parametrize("reps", [0, -1])
def test_no_rep_gives_no_max(reps):
    # checks.md R10.
    with pytest.raises(RepMaxDomainError, match="at least one"):
        rep_max_kg(RepMaxFormula.EPLEY, 100, reps)


@pytest.mark.parametrize("reps", [2.5, True, "5"])
def test_broken_reps_are_refused(reps):
    # checks.md R10.
    with pytest.raises(RepMaxDomainError, match="not a whole number"):
        rep_max_kg(RepMaxFormula.EPLEY, 100, reps)


@pytest.mark.parametrize(
    ("formula", "last", "first_bad"),
    [(RepMaxFormula.BRZYCKI, 36, 37), (RepMaxFormula.LANDER, 37, 38)],
)
def test_brzycki_ends_before_37_reps_and_lander_before_38(formula, last, first_bad):
    # checks.md R10, algebra.
    assert rep_max_kg(formula, 100, last) > 0
    with pytest.raises(RepMaxDomainError, match=f"from {first_bad} reps"):
        rep_max_kg(formula, 100, first_bad)
    assert formula not in rep_max_range(100, first_bad).by_formula


@pytest.mark.parametrize("load", [0.0, -5.0, float("nan"), float("inf")])
def test_a_load_must_be_a_positive_number(load):
    with pytest.raises(RepMaxDomainError, match="must be above 0"):
        rep_max_kg(RepMaxFormula.EPLEY, load, 5)


def test_above_ten_reps_a_warning_and_on_deadlifts_a_note():
    # checks.md R10; LeSuer et al. 1997; Bishop et al. 2014.
    assert rep_max_range(100, 10).cautions == ()
    assert "drift apart" in rep_max_range(100, 11).cautions[0]
    assert "underestimate" in rep_max_range(100, 5, is_deadlift=True).cautions[0]
    assert rep_max_range(100, 1, is_deadlift=True).cautions == ()


@given(st.floats(20, 400), st.integers(1, 36))
def test_a_rep_max_is_shown_as_a_range_around_its_middle(load, reps):
    found = rep_max_range(load, reps)
    assert load <= found.low_kg + 1e-9
    assert found.low_kg <= found.middle_kg <= found.high_kg
    assert set(found.by_formula.values()) >= {found.low_kg, found.high_kg}


def test_ratings_become_reps_in_reserve():
    # checks.md E1: Zourdos et al. 2016.
    row = PUBLISHED["E1"]
    assert [reserve_from_rpe(rpe) for rpe in row.input] == row.expected
    with pytest.raises(RpeError, match="outside 1–10"):
        reserve_from_rpe(10.5)


def test_a_set_with_reserve_reads_the_chart_further_down():
    # checks.md E2, derived from R5.
    row = PUBLISHED["E2"]
    assert [100 * share_with_reserve(*pair) for pair in row.input] == pytest.approx(row.expected)


def test_lifters_have_about_one_rep_more_than_they_report():
    # checks.md E4: Halperin et al. 2022.
    row = PUBLISHED["E4"]
    band = true_reserve(row.input["reported"])
    assert band.expected == pytest.approx(row.expected["expected"], abs=row.tolerance)
    assert [band.low, band.high] == pytest.approx(row.expected["ci"], abs=row.tolerance)


def test_a_single_rated_9_5_raises_the_max_by_at_most_2_6_percent():
    # checks.md E5: Helms et al. 2017; a true max is rated 9.6 ± 0.5.
    row = PUBLISHED["E5"]
    reps = row.input["r"] + reserve_from_rpe(row.input["rpe"])
    value = row.input["w"] * implied_max_ratio(reps)
    assert value == pytest.approx(205.128, abs=row.tolerance)
    assert value <= 205.2


@given(st.floats(1, 29.5), st.floats(0.01, 0.5))
def test_more_possible_reps_never_mean_a_smaller_max(reps, more):
    # The chart meets the formulas at 10 reps within 0.1 %.
    assert implied_max_ratio(reps + more) >= implied_max_ratio(reps) * 0.999


@pytest.mark.parametrize("reps", [0.5, 12.5, 13])
def test_outside_the_chart_is_refused(reps):
    with pytest.raises(RepMaxDomainError, match="chart covers 1–12"):
        share_of_max(reps)


def test_more_than_thirty_possible_reps_say_too_little():
    with pytest.raises(RepMaxDomainError, match="too little about a max"):
        implied_max_ratio(31)
