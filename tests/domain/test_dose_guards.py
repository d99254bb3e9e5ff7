"""Hazards of loads and people: each has a guard that stops or asks (trust.md, hazards)."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, load_catalogue
from heftwright.domain.dose import Scheme
from heftwright.domain.dose.guards import (
    Guard,
    GuardKind,
    Override,
    OverrideError,
    Wanted,
    guards_on,
    guards_on_entry,
    heavy_straight_lower_days,
)
from heftwright.domain.dose.health_guards import (
    HealthEntryError,
    PainRules,
    guards_on_body_mass,
    guards_on_pain,
)
from heftwright.domain.dose.returns import (
    LAY_OFF_VOLUME,
    days_off,
    lay_off_volume,
    return_of,
    week_back,
)
from heftwright.domain.dose.zones import load_zone_tables
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteError, AthleteId, Restriction, Sex
from heftwright.domain.strength import Belief, Evidence, EvidenceKind

TODAY = date(2026, 11, 25)
CATALOGUE = load_catalogue()
DEADLIFT = CATALOGUE[LiftKey("deadlift")]
A1 = AthleteId("a1")
ADULT = Athlete(A1, "Athlete 1", 1, Sex.MAN, born_on=date(1990, 1, 1))
MINOR = replace(ADULT, born_on=date(2010, 1, 1), guardian="A. Parent", supervisor="Head coach")
ZONES = load_zone_tables()["B"]
SPEED = Wanted(DEADLIFT, Scheme(12, 2), 100.0, 150.0)
SINGLE = Wanted(DEADLIFT, Scheme(1, 1), 195.0, 195.0, MaxEffortScheme.SINGLE)


def belief(kg=200.0, days_ago=20, log_sd=0.03):
    if days_ago is None:
        return Belief(A1, DEADLIFT.key, kg, log_sd, None, None, ())
    day = TODAY - timedelta(days=days_ago)
    test = Evidence(A1, DEADLIFT.key, EvidenceKind.TEST, Mass.nearest_kg(kg), day)
    return Belief(A1, DEADLIFT.key, kg, log_sd, test, days_ago, ())


def kinds(wanted, athlete=ADULT, known=None, zones=None):
    found = guards_on(wanted, athlete, known or belief(), TODAY, zones)
    return [(guard.kind, guard.is_hard) for guard in found]


def test_usual_speed_work_and_a_fresh_top_single_raise_nothing():
    assert kinds(SPEED, zones=ZONES) == []
    assert kinds(SINGLE, zones=ZONES) == []


def test_a_restricted_lift_stays_off_until_cleared():
    spine = Restriction("deadlift", TODAY - timedelta(days=3), None)
    hurt = replace(ADULT, restrictions=(spine,))
    assert kinds(SPEED, hurt) == [(GuardKind.RESTRICTED, True)]
    assert "until cleared" in guards_on(SPEED, hurt, belief(), TODAY)[0].sentence
    asked = replace(spine, until=TODAY - timedelta(days=1))
    assert kinds(SPEED, replace(ADULT, restrictions=(asked,))) == [(GuardKind.RESTRICTED, True)]
    cleared = replace(spine, cleared_on=TODAY, cleared_by="Head coach")
    assert kinds(SPEED, replace(ADULT, restrictions=(cleared,))) == []


def test_no_date_ends_a_restriction_only_a_clearing_does():
    rule = Restriction("deadlift", TODAY - timedelta(days=30), TODAY - timedelta(days=9))
    assert rule.holds_on(TODAY)
    assert rule.asks_on(TODAY)
    assert not rule.asks_on(TODAY - timedelta(days=10))
    cleared = replace(rule, cleared_on=TODAY, cleared_by="Head coach")
    assert cleared.holds_on(TODAY - timedelta(days=1))
    assert not cleared.holds_on(TODAY)
    assert not cleared.asks_on(TODAY)


@pytest.mark.parametrize(
    "clearing",
    [
        {"cleared_on": TODAY},
        {"cleared_by": "Head coach"},
        {"cleared_on": date(2020, 1, 1), "cleared_by": "Head coach"},
    ],
)
def test_a_clearing_has_a_name_and_a_day_after_the_start(clearing):
    with pytest.raises(AthleteError, match="clear"):
        Restriction("deadlift", TODAY - timedelta(days=30), **clearing)


def test_a_lift_that_was_off_for_14_days_comes_back_over_the_same_ramp_as_a_lay_off():
    def cleared(days_off, days_back):
        on = TODAY - timedelta(days=days_back)
        rule = Restriction("deadlift", on - timedelta(days=days_off), None, "", on, "Head coach")
        return replace(ADULT, restrictions=(rule,))

    assert kinds(SINGLE, cleared(14, 13)) == [(GuardKind.LAY_OFF, True)]
    assert kinds(SINGLE, cleared(14, 27)) == [(GuardKind.LAY_OFF, True)]
    assert kinds(SPEED, cleared(14, 27)) == [(GuardKind.LAY_OFF, False)]
    assert kinds(SINGLE, cleared(14, 28)) == []
    assert kinds(SINGLE, cleared(13, 0)) == []
    squat = replace(SINGLE, lift=CATALOGUE[LiftKey("back_squat")])
    assert kinds(squat, cleared(40, 3)) == []  # only what was off is new to the body
    assert (
        return_of(cleared(40, 3), DEADLIFT, TODAY).words
        == "40 days without conventional deadlift work"
    )


def test_a_minor_does_no_maximal_singles_by_default():
    # AAP 2020; local rules go before ours.
    assert (GuardKind.MINOR, True) in kinds(SINGLE, MINOR)
    assert kinds(SPEED, MINOR) == []
    heavy_triple = replace(SINGLE, max_effort=MaxEffortScheme.TRIPLE, bar_kg=185.0, top_kg=185.0)
    light_triple = replace(heavy_triple, bar_kg=160.0, top_kg=160.0)
    assert (GuardKind.MINOR, True) in kinds(heavy_triple, MINOR)
    assert kinds(light_triple, MINOR) == []


def test_an_unknown_birth_date_counts_as_a_minor():
    found = guards_on(SINGLE, replace(MINOR, born_on=None), belief(), TODAY)
    assert "no birth date" in found[0].sentence


@pytest.mark.parametrize("missing", ["guardian", "supervisor"])
def test_a_minor_needs_a_guardian_and_a_named_supervisor(missing):
    assert kinds(SPEED, replace(MINOR, **{missing: " "})) == [(GuardKind.MINOR_UNSUPERVISED, True)]


def back(days_away, days_back):
    back_on = TODAY - timedelta(days=days_back)
    return replace(ADULT, away_since=back_on - timedelta(days=days_away), back_on=back_on)


def test_fourteen_days_off_start_a_ramp_and_thirteen_do_not():
    # CSCCa–NSCA 2019: the first two to four weeks limited.
    assert days_off(back(13, 1)) == 13
    assert week_back(back(13, 1), TODAY) is None
    assert week_back(back(14, 0), TODAY) == 1
    assert week_back(back(14, 27), TODAY) == 4
    assert week_back(back(14, 28), TODAY) is None


def test_the_ramp_back_gives_half_then_70_80_90_percent_of_the_volume():
    assert LAY_OFF_VOLUME == (0.50, 0.70, 0.80, 0.90)
    assert [lay_off_volume(back(20, days), TODAY) for days in (0, 7, 14, 21, 28)] == [
        0.50, 0.70, 0.80, 0.90, 1.0,
    ]  # fmt: skip


def test_no_max_effort_in_the_four_weeks_of_the_way_back():
    # CSCCa–NSCA 2019 (memory): the first 2–4 weeks are limited; ours, all four.
    assert kinds(SINGLE, back(20, 5)) == [(GuardKind.LAY_OFF, True)]
    assert kinds(SINGLE, back(20, 27)) == [(GuardKind.LAY_OFF, True)]
    assert kinds(SINGLE, back(20, 28)) == []
    assert kinds(SPEED, back(20, 5)) == [(GuardKind.LAY_OFF, False)]
    assert not guards_on(SPEED, back(20, 5), belief(), TODAY)[0].interrupts


def test_somebody_still_away_gets_no_work():
    away = replace(ADULT, away_since=TODAY - timedelta(days=3))
    assert kinds(SPEED, away) == [(GuardKind.LAY_OFF, True)]


def test_a_max_of_12_weeks_asks_and_of_26_weeks_sets_no_top():
    assert kinds(SPEED, known=belief(days_ago=83)) == []
    assert kinds(SPEED, known=belief(days_ago=84)) == [(GuardKind.STALE_MAX, False)]
    assert kinds(SINGLE, known=belief(days_ago=84)) == [(GuardKind.STALE_MAX, False)]
    assert kinds(SINGLE, known=belief(days_ago=182)) == [(GuardKind.NO_TOP_TARGET, True)]
    worked_up = replace(SINGLE, bar_kg=130.0, top_kg=130.0)
    assert kinds(worked_up, known=belief(days_ago=182)) == [(GuardKind.STALE_MAX, False)]
    nearly = replace(SINGLE, bar_kg=140.0, top_kg=140.0)  # 70 % of 200, above 70 % of the cautious
    assert kinds(nearly, known=belief(days_ago=182)) == [(GuardKind.NO_TOP_TARGET, True)]
    assert kinds(SINGLE, known=belief(days_ago=None)) == [(GuardKind.ESTIMATED_TOP, False)]


def test_on_an_old_max_the_coach_sets_the_top_and_stands_for_it_by_name():
    by_hand = replace(SINGLE, set_by="Head coach")
    (guard,) = guards_on(by_hand, ADULT, belief(days_ago=182), TODAY)
    assert (guard.kind, guard.is_hard, guard.interrupts) == (GuardKind.NO_TOP_TARGET, False, False)
    assert "Head coach did" in guard.sentence
    wild = replace(by_hand, bar_kg=230.0, top_kg=230.0)
    assert kinds(wild, known=belief(days_ago=182))[0] == (GuardKind.TOO_HEAVY, True)


def test_what_was_never_tested_is_no_heavy_single_when_a_contest_is_near():
    near, unknown = replace(SINGLE, is_near_contest=True), belief(days_ago=None)
    assert (GuardKind.UNTESTED_NEAR_CONTEST, True) in kinds(near, known=unknown)
    assert (GuardKind.UNTESTED_NEAR_CONTEST, True) not in kinds(SINGLE, known=unknown)
    assert kinds(near) == []
    light = replace(near, max_effort=MaxEffortScheme.TRIPLE, bar_kg=150.0, top_kg=150.0)
    assert kinds(light, known=unknown) == [(GuardKind.ESTIMATED_TOP, False)]
    heavy = replace(light, bar_kg=170.0, top_kg=170.0)
    assert (GuardKind.UNTESTED_NEAR_CONTEST, True) in kinds(heavy, known=unknown)


def test_a_minor_under_more_than_one_pair_of_bands_needs_the_coach():
    pairs = replace(SPEED, band_pairs=2)
    (guard,) = guards_on(pairs, MINOR, belief(), TODAY)
    assert (guard.kind, guard.is_hard, guard.interrupts) == (GuardKind.MINOR_BANDS, False, True)
    assert kinds(replace(SPEED, band_pairs=1), MINOR) == []
    assert kinds(pairs) == []


def test_above_110_percent_of_the_max_only_the_coach():
    heavy = replace(SPEED, bar_kg=180.0, top_kg=221.0)
    assert kinds(heavy) == [(GuardKind.TOO_HEAVY, True)]
    assert kinds(replace(heavy, bar_kg=0.0)) == [(GuardKind.TOO_HEAVY, True)]
    assert kinds(replace(SPEED, bar_kg=150.0, top_kg=210.0)) == [(GuardKind.TOO_HEAVY, False)]


def test_a_lift_is_not_done_as_what_it_is_never_done_as():
    romanian = CATALOGUE[LiftKey("romanian_deadlift")]
    wanted = replace(SINGLE, lift=romanian, bar_kg=150.0, top_kg=150.0)
    assert kinds(wanted) == [(GuardKind.NEVER_AS, True)]


def test_more_lifts_than_the_table_gives_are_said():
    many = replace(SPEED, scheme=Scheme(16, 2))
    assert kinds(many, zones=ZONES) == [(GuardKind.TOO_MANY_REPS, False)]
    at_80 = replace(SPEED, bar_kg=110.0, top_kg=160.0)
    assert kinds(at_80, zones=ZONES) == []
    straight = replace(at_80, bar_kg=160.0, top_kg=160.0)
    assert kinds(straight, zones=ZONES) == [(GuardKind.TOO_MANY_REPS, False)]


def test_rounding_up_is_said_and_a_large_step_interrupts():
    small = replace(SPEED, wanted_kg=99.0)
    large = replace(SPEED, wanted_kg=92.0)
    assert [guard.interrupts for guard in guards_on(small, ADULT, belief(), TODAY)] == [False]
    assert [guard.interrupts for guard in guards_on(large, ADULT, belief(), TODAY)] == [True]
    assert kinds(replace(SPEED, wanted_kg=101.0)) == []


def test_hard_guards_come_first():
    old = belief(days_ago=100)
    found = kinds(replace(SINGLE, wanted_kg=190.0), replace(MINOR, guardian=""), old)
    hard = [is_hard for _, is_hard in found]
    assert hard == sorted(hard, reverse=True)


@given(st.floats(1, 400), st.floats(0, 200), st.sampled_from([None, *MaxEffortScheme]))
def test_guards_never_say_that_something_is_safe(bar_kg, band_kg, scheme):
    wanted = Wanted(DEADLIFT, Scheme(3, 3), bar_kg, bar_kg + band_kg, scheme)
    for guard in guards_on(wanted, MINOR, belief(), TODAY, ZONES):
        assert "safe" not in guard.sentence.casefold()
        assert "ok to" not in guard.sentence.casefold()
        assert guard.sentence.endswith((".", "?"))


def test_an_entered_max_in_the_wrong_unit_is_a_hard_guard_and_a_jump_a_soft_one():
    unit = guards_on_entry(EnteredMass.read("450", MassUnit.KG), belief())
    assert [(guard.kind, guard.is_hard) for guard in unit] == [(GuardKind.WRONG_NUMBER, True)]
    jump = guards_on_entry(EnteredMass.read("230", MassUnit.KG), belief())
    assert [(guard.kind, guard.is_hard) for guard in jump] == [(GuardKind.JUMP, False)]
    assert guards_on_entry(EnteredMass.read("205", MassUnit.KG), belief()) == ()


@pytest.mark.parametrize(
    ("score", "found"), [(0, []), (3, []), (4, [False]), (5, [False]), (6, [True]), (10, [True])]
)
def test_pain_0_to_3_goes_on_4_to_5_asks_6_and_more_stops(score, found):
    # maxes.md: default thresholds, editable.
    assert [guard.is_hard for guard in guards_on_pain(score)] == found


def test_a_gym_may_set_its_own_pain_thresholds():
    strict = PainRules(ask_from=2, stop_from=4)
    assert [guard.is_hard for guard in guards_on_pain(4, rules=strict)] == [True]
    with pytest.raises(HealthEntryError, match="must rise"):
        PainRules(6, 4)
    with pytest.raises(HealthEntryError, match="outside 0–10"):
        guards_on_pain(11)


@pytest.mark.parametrize(
    "words", ["chest feels tight", "a pop in the arm", "my foot is numb", "I can't feel my hand",
              "felt faint after the set", "headache under the bar"],
)  # fmt: skip
def test_red_flags_bypass_the_score(words):
    guard = guards_on_pain(1, words)[0]
    assert guard.kind is GuardKind.RED_FLAG
    assert guard.is_hard
    assert "licensed professional" in guard.sentence


@pytest.mark.parametrize(
    "words", ["overhead felt tight", "popular bar", "sore quads", "top of the foot"]
)
def test_usual_words_are_no_red_flags(words):
    assert guards_on_pain(1, words) == ()


def test_losing_more_than_1_5_percent_a_week_is_flagged_and_no_cut_is_proposed():
    assert guards_on_body_mass(Mass.kg(100), Mass.kg("98.6"), 7) == ()
    found = guards_on_body_mass(Mass.kg(100), Mass.kg("98.4"), 7)
    assert [(guard.kind, guard.is_hard) for guard in found] == [(GuardKind.FAST_LOSS, False)]
    assert guards_on_body_mass(Mass.kg(100), Mass.kg(105), 7) == ()
    with pytest.raises(HealthEntryError, match="give no rate"):
        guards_on_body_mass(Mass.kg(100), Mass.kg(98), 0)


def test_two_heavy_lower_days_without_bands_raise_a_question():
    # maxes.md: common practice.
    assert heavy_straight_lower_days((0.85, 0.70)) == ()
    assert "2 heavy lower days" in heavy_straight_lower_days((0.85, 0.90))[0].sentence


def test_an_override_takes_a_name_and_a_reason():
    # trust.md H3.
    guard = Guard(GuardKind.TOO_HEAVY, is_hard=True, sentence="Too heavy.")
    assert Override(guard, "Head coach", "opened at 230 last week", TODAY).by == "Head coach"
    with pytest.raises(OverrideError, match="name and a reason"):
        Override(guard, " ", "because", TODAY)
    with pytest.raises(OverrideError, match="name and a reason"):
        Override(guard, "Head coach", "", TODAY)
