"""Stalled lifts are seen, and the test that would make the coming loads most exact comes first."""

import math
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, load_catalogue
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete, AthleteId, Restriction, Sex
from heftwright.domain.strength import Belief, Evidence, EvidenceKind
from heftwright.domain.strength.what_next import WhatIf, expected_error, stalled, worth_testing

TODAY = date(2026, 11, 25)
A1, DEADLIFT = AthleteId("a1"), LiftKey("deadlift")
LOG, ROMANIAN = LiftKey("log_clean_press"), LiftKey("romanian_deadlift")
SQUAD = [
    Athlete(
        AthleteId(f"a{n}"), f"Athlete {n}", n, Sex.MAN, born_on=date(1990, 5, 1),
        body_mass=Mass.kg(100),
    )
    for n in (1, 2)
]  # fmt: skip


def single(kg, days_ago=0, lift=DEADLIFT, who=A1):
    on = TODAY - timedelta(days=days_ago)
    return Evidence(who, lift, EvidenceKind.TEST, Mass.kg(kg), on)


def efforts(*pairs):
    return [single(kg, days) for kg, days in pairs]


def test_a_lift_that_did_not_move_against_its_own_habit_is_noticed():
    found = stalled(efforts(("200", 100), ("205", 80), ("203", 30), ("205", 5)), TODAY)
    assert [(item.athlete, item.lift) for item in found] == [(A1, DEADLIFT)]
    assert "No better than 205 kg in 8 weeks" in found[0].words


def test_a_lift_that_rose_or_was_hardly_tried_is_not_called_stalled():
    assert stalled(efforts(("200", 100), ("205", 80), ("203", 30), ("210", 5)), TODAY) == ()
    assert stalled(efforts(("200", 100), ("205", 80), ("203", 30)), TODAY) == ()
    assert stalled(efforts(("200", 300), ("205", 280), ("203", 30), ("200", 1)), TODAY) == ()


def known(*evidence):
    return WhatIf(evidence, SQUAD, load_catalogue(), TODAY)


def ideas(wanted, *evidence, who=SQUAD[0], **more):
    return worth_testing(known(*evidence), who, wanted, **more)


def test_the_test_that_makes_the_coming_loads_most_exact_comes_first():
    found = ideas({DEADLIFT: 1.0, LOG: 1.0}, single("215", 40))
    assert [idea.lift for idea in found] == [LOG, DEADLIFT]
    assert all(idea.error_after_pct < idea.error_before_pct for idea in found)
    assert "a single takes the loads from about" in found[0].words
    assert len(ideas({DEADLIFT: 1.0, LOG: 1.0}, single("215", 40), most=1)) == 1


def test_what_the_wave_asks_for_most_weighs_most():
    # Both untested: the one that more loads of the coming weeks hang on is worth more.
    few_squats = {LiftKey("back_squat"): 1.0, LOG: 6.0}
    many_squats = {LiftKey("back_squat"): 6.0, LOG: 1.0}
    assert ideas(few_squats)[0].lift == LOG
    assert ideas(many_squats)[0].lift == LiftKey("back_squat")


def test_a_fresh_test_is_not_asked_for_again():
    assert ideas({DEADLIFT: 1.0}, *(single("215", days) for days in (0, 1, 2, 3, 4, 5))) == ()


def test_a_sister_lift_can_be_the_better_test():
    # Ten untested squats hang on one another: their sister outside the wave tells about them all.
    wanted = {LiftKey("front_squat"): 1.0}
    found = ideas(wanted, also=[LiftKey("back_squat")])
    assert {idea.lift for idea in found} == {LiftKey("front_squat"), LiftKey("back_squat")}
    assert found[0].lift == LiftKey("front_squat")


def test_a_restricted_lift_is_never_proposed_for_a_test():
    hurt = replace(SQUAD[0], restrictions=(Restriction(LOG, TODAY - timedelta(days=9)),))
    assert LOG not in {idea.lift for idea in ideas({DEADLIFT: 1.0, LOG: 1.0}, who=hurt)}


def test_a_lift_in_its_first_weeks_back_is_left_alone():
    found = ideas({DEADLIFT: 1.0, LOG: 1.0}, never={LOG})
    assert {idea.lift for idea in found} == {DEADLIFT}


@pytest.mark.parametrize("born_on", [None, date(2010, 6, 1)])
def test_a_minor_is_never_asked_for_a_maximal_single(born_on):
    # trust.md, minors (AAP 2020): no maximal singles by default; no birth date counts as minor.
    young = replace(SQUAD[0], born_on=born_on)
    found = ideas({DEADLIFT: 1.0, LOG: 1.0}, who=young)
    assert found
    assert all("a set of 3 with 1 left" in idea.words for idea in found)


def test_a_lift_that_is_never_a_single_is_tested_by_a_set():
    (found,) = ideas({ROMANIAN: 1.0})
    assert "a set of 3 with 1 left" in found.words


@given(st.floats(0.01, 0.3), st.booleans())
def test_the_expected_error_is_the_mean_distance_of_the_load_in_use(log_sd, is_tested):
    # Against drawing true maxes from the belief itself.
    test = single("200", 5) if is_tested else None
    belief = Belief(A1, DEADLIFT, 200.0, log_sd, test, 5 if is_tested else None, ())
    used_kg, _ = belief.prescribing_kg(TODAY)
    draws = np.random.default_rng(7).normal(math.log(200.0), log_sd, 200_000)
    by_hand = float(np.abs(np.log(used_kg) - draws).mean())
    assert expected_error(belief, TODAY) == pytest.approx(by_hand, rel=0.02)
