"""Times learned from logged sets: the truth is found, breaks and few turns pull little."""

from __future__ import annotations

import random

import pytest

from heftwright.domain.floor import FloorTimes
from heftwright.domain.floor.terms import FloorTerms
from heftwright.domain.floor.times_log import FewTurnsError, TurnSeen, learn
from heftwright.domain.squad import AthleteId

TRUE = {"plate": 4.0, "collars": 14.0, "step_in": 18.0, "rep": 2.5}


def turns(count, seed=1, slow="", breaks=0.0):
    """A gym that is quicker with plates and slower to step in than the defaults say."""
    rng = random.Random(seed)
    made = []
    for at in range(count):
        athlete = AthleteId(f"a{at % 8}")
        moved, reps = rng.randint(0, 6), rng.choice([2, 3, 5])
        seconds = TRUE["plate"] * moved + TRUE["collars"] * (moved > 0)
        seconds += TRUE["step_in"] + TRUE["rep"] * reps + rng.gauss(0, 4)
        seconds += 12 if athlete == slow else 0
        if rng.random() < breaks:
            seconds += rng.uniform(30, 600)
        made.append(TurnSeen(athlete, moved, reps, max(1.0, seconds)))
    return made


def test_many_turns_give_the_gyms_own_times():
    learned = learn(turns(1500), FloorTerms())
    assert learned.plate_s == pytest.approx(TRUE["plate"], abs=0.4)
    assert learned.collars_s == pytest.approx(TRUE["collars"], abs=1.5)
    assert learned.step_in_s == pytest.approx(TRUE["step_in"], abs=1.5)
    assert learned.rep_s == pytest.approx(TRUE["rep"], abs=0.5)
    assert learned.turns == 1500


def test_talks_and_forgotten_phones_pull_little():
    clean, noisy = learn(turns(1500), FloorTerms()), learn(turns(1500, breaks=0.1), FloorTerms())
    assert noisy.plate_s == pytest.approx(clean.plate_s, abs=0.5)
    assert noisy.step_in_s == pytest.approx(clean.step_in_s, abs=2.0)


def test_a_plain_mean_would_be_pulled_far_by_the_same_breaks():
    noisy = [turn.seconds for turn in turns(1500, breaks=0.1)]
    clean = [turn.seconds for turn in turns(1500)]
    assert sum(noisy) / len(noisy) > 1.3 * sum(clean) / len(clean)


def test_few_turns_change_little():
    few, many = learn(turns(40), FloorTerms()), learn(turns(1500), FloorTerms())
    used = FloorTerms().plate_on_s
    assert abs(few.plate_s - used) < abs(many.plate_s - used)


def test_fewer_than_thirty_turns_are_refused():
    with pytest.raises(FewTurnsError, match="too few to learn"):
        learn(turns(29), FloorTerms())


def test_who_takes_longer_is_seen():
    learned = learn(turns(800, slow="a3"), FloorTerms())
    assert learned.extra_s["a3"] == pytest.approx(12, abs=3)
    assert abs(learned.extra_s["a5"]) < 3


def test_times_are_editable_terms_to_the_tenth_and_never_negative():
    terms = learn(turns(800), FloorTerms()).on_terms(FloorTerms())
    times: FloorTimes = terms.times
    for value in (
        times.collars_s,
        times.set_up_s,
        times.per_rep_s,
        times.fixed_s,
        terms.plate_on_s,
    ):
        assert value >= 0
        assert round(value, 1) == value
    assert times.set_up_s / times.fixed_s == pytest.approx(8 / 4, abs=0.05)
