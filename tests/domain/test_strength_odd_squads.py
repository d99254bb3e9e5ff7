"""Beliefs stay usable in odd squads: one athlete, no test, outliers, slips, two units."""

import math
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, load_catalogue
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength import Evidence, EvidenceKind, believe
from heftwright.domain.strength.noise import BeliefSettings
from heftwright.domain.strength.proposals import propose
from heftwright.domain.strength.what_next import WhatIf, stalled, worth_testing

TODAY = date(2026, 11, 25)
CATALOGUE = load_catalogue()
LIFTS = [LiftKey(key) for key in ("deadlift", "back_squat", "bench", "log_clean_press")]
A1 = AthleteId("a1")


def squad_of(count):
    return [
        Athlete(AthleteId(f"a{n}"), f"Athlete {n}", n, list(Sex)[n % 2], born_on=date(1990, 5, 1))
        for n in range(1, count + 1)
    ]


def entered(number, kg, lift=LIFTS[0], days_ago=9, kind=EvidenceKind.TEST, reps=1):
    load = kg if isinstance(kg, Mass) else Mass.nearest_kg(kg)
    on = TODAY - timedelta(days=days_ago)
    return Evidence(AthleteId(f"a{number}"), lift, kind, load, on, reps)


def beliefs(evidence, count, points=5):
    settings = BeliefSettings(grid_points=points)
    return believe(evidence, squad_of(count), CATALOGUE, TODAY, settings=settings)


@st.composite
def odd_evidence(draw):
    """Anything a gym could have on record, contradictions and absurd loads among it."""
    kind = draw(st.sampled_from(EvidenceKind))
    reps = 1 if kind is EvidenceKind.TEST else draw(st.integers(1, 30))
    return entered(
        draw(st.integers(1, 3)), draw(st.floats(0.5, 1000)), draw(st.sampled_from(LIFTS)),
        draw(st.integers(0, 3000)), kind, reps,
    )  # fmt: skip


@examples(max_examples=12)
@given(st.lists(odd_evidence(), max_size=14), st.integers(3, 5))
def test_whatever_is_on_record_every_belief_is_a_number_with_a_doubt(evidence, count):
    found = beliefs(evidence, count, points=2)
    for belief in found.values():
        assert math.isfinite(belief.median_kg)
        assert 0 < belief.quantile_kg(0.05) < belief.median_kg < belief.quantile_kg(0.95)
        used, words = belief.prescribing_kg(TODAY)
        assert 0 < used <= belief.median_kg
        assert words


@examples(max_examples=8)
@given(st.lists(odd_evidence(), max_size=8), st.randoms())
def test_the_order_of_the_record_does_not_matter(evidence, shuffler):
    shuffled = list(evidence)
    shuffler.shuffle(shuffled)
    one, other = beliefs(evidence, 3, 2), beliefs(shuffled, 3, 2)
    for pair in one:
        assert other[pair].median_kg == pytest.approx(one[pair].median_kg, rel=1e-9)
        assert other[pair].log_sd == pytest.approx(one[pair].log_sd, rel=1e-6)


@examples(max_examples=8)
@given(st.lists(odd_evidence(), max_size=8))
def test_planners_of_what_comes_next_never_stumble(evidence):
    known = WhatIf(evidence, squad_of(3), CATALOGUE, TODAY)
    ideas = worth_testing(known, squad_of(3)[0], dict.fromkeys(LIFTS, 1.0))
    assert all(0 < idea.error_after_pct < idea.error_before_pct for idea in ideas)
    stalled(evidence, TODAY)
    before, after = beliefs([], 3, 2), beliefs(evidence, 3, 2)
    assert all(item.new_kg > 0 for item in propose(before, after, evidence))


def test_a_gym_without_anybody_believes_nothing():
    assert len(beliefs([], 0)) == 0


def test_one_athlete_without_a_test_gets_the_wide_prior_and_a_cautious_load():
    belief = beliefs([], 1)[A1, LIFTS[0]]
    assert belief.log_sd > 0.15
    assert belief.prescribing_kg(TODAY)[0] < 0.9 * belief.median_kg


def test_one_athlete_with_one_test_is_believed_to_lift_it():
    belief = beliefs([entered(1, 180)], 1)[A1, LIFTS[0]]
    assert belief.median_kg == pytest.approx(180, rel=0.02)


def test_where_everybody_lifts_the_same_the_newcomer_is_expected_near_it():
    men = [number for number in range(1, 12) if squad_of(11)[number - 1].sex is Sex.MAN]
    evidence = [entered(number, 180) for number in men[:-1]]
    newcomer = beliefs(evidence, 11)[AthleteId(f"a{men[-1]}"), LIFTS[0]]
    assert newcomer.median_kg == pytest.approx(180, rel=0.10)
    assert 0.02 < newcomer.log_sd < 0.25


def test_a_huge_outlier_does_not_move_those_who_were_tested():
    calm = [entered(number, 150 + number) for number in range(1, 7)]
    odd = [*calm, entered(7, 900)]
    for number in range(1, 7):
        pair = (AthleteId(f"a{number}"), LIFTS[0])
        moved = beliefs(odd, 7)[pair].median_kg / beliefs(calm, 7)[pair].median_kg
        assert moved == pytest.approx(1, abs=0.01)


def test_two_tests_that_cannot_both_be_true_are_not_averaged_into_a_sure_number():
    for days in ((9, 9), (9, 2)):
        pair = [entered(1, 100, days_ago=days[0]), entered(1, 200, days_ago=days[1])]
        belief = beliefs(pair, 1)[A1, LIFTS[0]]
        is_one_day = days[0] == days[1]
        # Of one day the heaviest counts; of two days the doubt reaches both.
        low, high = belief.quantile_kg(0.05), belief.quantile_kg(0.95)
        assert belief.median_kg == pytest.approx(200, rel=0.03) if is_one_day else low < 125
        assert high > 195


@examples(max_examples=8)
@given(st.integers(40, 400), st.sampled_from(LIFTS))
def test_the_same_load_in_pounds_is_believed_the_same(pounds, lift):
    # NIST SP 811: 1 lb = 0.45359237 kg exactly.
    in_pounds = EnteredMass(1000 * pounds, MassUnit.LB).mass
    by_hand = Mass.nearest_kg(pounds * 0.45359237, "0.001")
    one, other = (
        beliefs([entered(1, load, lift)], 1, 2)[A1, lift] for load in (in_pounds, by_hand)
    )
    # By hand to the gram: half a gram either way of the lightest load, 40 lb, is 2.8e-5 of it.
    assert one.median_kg == pytest.approx(other.median_kg, rel=3e-5)
