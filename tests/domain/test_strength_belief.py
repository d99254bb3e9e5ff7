"""A max is a belief: it says what it rests on, how old it is, and how sure."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from heftwright.domain.catalogue import LiftKey, load_catalogue
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength import Belief, Evidence, EvidenceKind, believe
from heftwright.domain.strength.belief import (
    BeliefError,
    BeliefSettings,
    NoBeliefError,
    pooled_data,
)
from heftwright.domain.strength.one_max import SourceKind, ago

TODAY = date(2026, 11, 25)
DEADLIFT, AXLE, BENCH = LiftKey("deadlift"), LiftKey("axle_deadlift"), LiftKey("bench")
BLOCK = LiftKey("block_deadlift")


def an_athlete(number, sex=Sex.MAN, body_mass="100"):
    mass = None if body_mass is None else Mass.kg(body_mass)
    return Athlete(AthleteId(f"a{number}"), f"Athlete {number}", number, sex, body_mass=mass)


def lifted(number, lift, kg, days_ago=19, kind=EvidenceKind.TEST, reps=1, reserve=0.0):
    day = TODAY - timedelta(days=days_ago)
    return Evidence(AthleteId(f"a{number}"), lift, kind, Mass.kg(kg), day, reps, reserve)


def beliefs_of(*evidence, squad=3, today=TODAY):
    athletes = [an_athlete(number) for number in range(1, squad + 1)]
    return believe(evidence, athletes, load_catalogue(), today)


def test_a_fresh_tested_single_is_close_to_the_belief_and_is_prescribed_from():
    belief = beliefs_of(lifted(1, DEADLIFT, "215"))[AthleteId("a1"), DEADLIFT]
    assert belief.is_tested
    assert belief.age_days == 19
    assert belief.median_kg == pytest.approx(215, rel=0.015)
    kg, words = belief.prescribing_kg(TODAY)
    assert kg == belief.median_kg
    assert words.startswith("tested 215 kg, 19 days ago")


def test_an_untested_lift_is_prescribed_from_the_cautious_fifth_and_says_so():
    belief = beliefs_of(lifted(1, DEADLIFT, "215"))[AthleteId("a1"), AXLE]
    kg, words = belief.prescribing_kg(TODAY)
    assert not belief.is_tested
    assert kg == pytest.approx(belief.quantile_kg(0.20))
    assert kg < belief.median_kg
    assert "estimated" in words
    assert "test it" in words


def test_a_test_asks_at_12_weeks_and_allows_no_top_target_at_26_weeks():
    def at(days):
        belief = beliefs_of(lifted(1, DEADLIFT, "215", days_ago=days))[AthleteId("a1"), DEADLIFT]
        return belief.asks_for_test(TODAY), belief.may_target_top(TODAY)

    assert at(83) == (False, True)
    assert at(84) == (True, True)
    assert at(181) == (True, True)
    assert at(182) == (True, False)


def test_a_max_of_26_weeks_is_prescribed_from_cautiously():
    belief = beliefs_of(lifted(1, DEADLIFT, "215", days_ago=182))[AthleteId("a1"), DEADLIFT]
    kg, words = belief.prescribing_kg(TODAY)
    assert kg == pytest.approx(belief.quantile_kg(0.20))
    assert "over 26 weeks old" in words


def test_evidence_of_one_athlete_moves_the_others_less_than_the_athlete():
    before, after = beliefs_of(), beliefs_of(lifted(1, DEADLIFT, "280"))
    own = after[AthleteId("a1"), BLOCK].median_kg / before[AthleteId("a1"), BLOCK].median_kg
    other = after[AthleteId("a2"), BLOCK].median_kg / before[AthleteId("a2"), BLOCK].median_kg
    assert own > other > 1


def test_the_default_ratio_is_never_applied_silently_and_goes_when_both_lifts_are_tested():
    # checks.md X9: provenance with source, n, sex; replaced once the athlete has both tested.
    key = (AthleteId("a1"), LiftKey("hex_deadlift"))
    estimated = beliefs_of(lifted(1, DEADLIFT, "200"))[key]
    ratio = [source for source in estimated.rests_on if source.kind is SourceKind.RATIO]
    assert "Swinton et al. 2011" in ratio[0].words
    assert "n = 19" in ratio[0].words
    assert "men" in ratio[0].words
    both = beliefs_of(lifted(1, DEADLIFT, "200"), lifted(1, LiftKey("hex_deadlift"), "230"))
    assert all(source.kind is SourceKind.OWN for source in both[key].rests_on)
    own_ratio, words = both.athlete_ratio(*key, DEADLIFT)
    assert own_ratio == pytest.approx(1.15)
    assert "own tests" in words


def test_a_ratio_between_two_lifts_names_only_the_steps_between_them():
    found = beliefs_of(lifted(1, DEADLIFT, "215"))
    ratio, words = found.athlete_ratio(
        AthleteId("a1"), LiftKey("front_squat"), LiftKey("box_squat")
    )
    assert ratio == pytest.approx(0.80 / 0.93)
    assert words == (
        "ratio 0.8 to back_squat (common practice, no source; unverified); "
        "ratio 0.93 to back_squat (common practice, no source; unverified)"
    )


def test_the_squads_ratio_follows_its_own_tests():
    tests = [
        lifted(number, lift, kg)
        for number in range(1, 13)
        for lift, kg in ((DEADLIFT, "200"), (AXLE, "190"))
    ]
    found = beliefs_of(*tests, squad=13)
    assert found.squad_ratio(AXLE, DEADLIFT) == pytest.approx(0.95, abs=0.02)
    assert beliefs_of(squad=13).squad_ratio(AXLE, DEADLIFT) == pytest.approx(0.88)


def test_the_arrays_that_are_pooled_are_there_for_other_ways_of_computing():
    squad = [an_athlete(1), an_athlete(2)]
    data = pooled_data([lifted(1, DEADLIFT, "200")], squad, load_catalogue(), TODAY)
    assert np.isfinite(data.noise_var).sum() == 1
    assert data.offset_ln.shape == data.seen_ln.shape
    assert data.offset_ln.shape[0] == 2


def test_a_source_reads_as_its_words():
    belief = beliefs_of(lifted(1, DEADLIFT, "215"))[AthleteId("a1"), DEADLIFT]
    assert str(belief.rests_on[0]) == "tested 215 kg, 19 days ago"


def test_other_evidence_that_moves_a_tested_max_is_said():
    set_of_five = lifted(1, BENCH, "145", days_ago=1, kind=EvidenceKind.REP_SET, reps=5)
    belief = beliefs_of(lifted(1, BENCH, "150"), set_of_five)[AthleteId("a1"), BENCH]
    _, words = belief.prescribing_kg(TODAY)
    assert words.startswith(
        "tested 150 kg, 19 days ago; from a rep set 145 kg × 5, yesterday → 167"
    )
    assert "; together 15" in words


def test_a_test_of_12_weeks_is_asked_about():
    belief = beliefs_of(lifted(1, DEADLIFT, "215", days_ago=90))[AthleteId("a1"), DEADLIFT]
    assert belief.prescribing_kg(TODAY)[1].endswith("is it still right? Test or confirm")


def test_an_estimate_names_the_athletes_own_other_lift_and_the_squad_ratio():
    belief = beliefs_of(lifted(1, DEADLIFT, "215"))[AthleteId("a1"), AXLE]
    first = belief.rests_on[0]
    assert first.kind is SourceKind.OTHER_LIFT
    assert "tested 215 kg, 19 days ago" in first.words
    assert "squad ratio 0.8" in first.words


def test_a_deadlift_from_reps_never_lowers_a_tested_max():
    # LeSuer et al. 1997; Bishop et al. 2014: deadlift formulas underestimate.
    test = lifted(1, DEADLIFT, "215")
    low = lifted(1, DEADLIFT, "160", days_ago=2, kind=EvidenceKind.REP_SET, reps=5)
    high = lifted(1, DEADLIFT, "210", days_ago=2, kind=EvidenceKind.REP_SET, reps=5)
    key = (AthleteId("a1"), DEADLIFT)
    assert beliefs_of(test, low)[key].median_kg == beliefs_of(test)[key].median_kg
    assert beliefs_of(test, high)[key].median_kg > beliefs_of(test)[key].median_kg


def test_a_bench_from_reps_may_lower_a_max():
    test = lifted(1, BENCH, "150", days_ago=60)
    low = lifted(1, BENCH, "100", days_ago=2, kind=EvidenceKind.REP_SET, reps=3)
    key = (AthleteId("a1"), BENCH)
    assert beliefs_of(test, low)[key].median_kg < beliefs_of(test)[key].median_kg


def test_older_tests_leave_more_doubt():
    fresh = beliefs_of(lifted(1, DEADLIFT, "215", days_ago=3))[AthleteId("a1"), DEADLIFT]
    old = beliefs_of(lifted(1, DEADLIFT, "215", days_ago=300))[AthleteId("a1"), DEADLIFT]
    assert old.log_sd > 1.3 * fresh.log_sd


def test_reps_on_the_event_lift_share_the_max_of_the_lift():
    found = beliefs_of(lifted(1, LiftKey("deadlift_reps"), "215"))
    assert found[AthleteId("a1"), DEADLIFT].median_kg == pytest.approx(215, rel=0.015)
    assert found[AthleteId("a1"), LiftKey("deadlift_reps")].is_tested


def test_evidence_from_the_future_and_of_strangers_is_left_aside():
    base = beliefs_of(lifted(1, DEADLIFT, "215"))
    more = beliefs_of(
        lifted(1, DEADLIFT, "215"), lifted(1, DEADLIFT, "300", days_ago=-1), lifted(9, BENCH, "99")
    )
    key = (AthleteId("a1"), DEADLIFT)
    assert more[key].median_kg == base[key].median_kg


def test_beliefs_are_there_for_every_athlete_and_every_lift_with_a_max():
    found = beliefs_of()
    assert len(found) == len(list(found)) == 3 * len(found.lifts)
    assert set(found.lifts) >= {
        key for key, lift in load_catalogue().items() if lift.bar_path.value != "none"
    }
    assert (AthleteId("a1"), LiftKey("tyre_flip")) not in found


def test_asking_for_an_unknown_lift_is_refused_with_a_sentence():
    with pytest.raises(NoBeliefError, match="no max of “tyre_flip”"):
        beliefs_of()[AthleteId("a1"), LiftKey("tyre_flip")]


def test_an_empty_squad_has_no_beliefs():
    assert len(believe([], [], load_catalogue(), TODAY)) == 0


def test_an_athlete_without_body_mass_still_has_an_estimate():
    found = believe([], [an_athlete(1, body_mass=None)], load_catalogue(), TODAY)
    assert found[AthleteId("a1"), DEADLIFT].log_sd > 0.2


def test_women_start_from_their_own_level_and_ratio():
    squad = [an_athlete(1, Sex.MAN), an_athlete(2, Sex.WOMAN)]
    found = believe([], squad, load_catalogue(), TODAY)
    man, woman = AthleteId("a1"), AthleteId("a2")
    incline = LiftKey("incline")
    assert found[woman, DEADLIFT].median_kg < found[man, DEADLIFT].median_kg
    # Garcia-Ramos et al. 2019 (checks.md X8): 0.931 for men, 0.9163 for women.
    assert found[man, incline].median_kg / found[man, BENCH].median_kg == pytest.approx(0.931)
    assert found[woman, incline].median_kg / found[woman, BENCH].median_kg == pytest.approx(0.9163)


def test_words_follow_the_page_unit():
    belief = Belief(AthleteId("a1"), AXLE, 196.0, 6 / 196, None, None, ())
    assert belief.words(TODAY) == "estimated 196 ± 6 kg"
    assert belief.words(TODAY, MassUnit.LB) == "estimated 432 ± 13 lb"


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "today"),
        (1, "yesterday"),
        (19, "19 days ago"),
        (69, "69 days ago"),
        (91, "13 weeks ago"),
    ],
)
def test_an_age_is_said_as_a_coach_says_it(days, words):
    assert ago(days) == words


def test_a_quantile_is_the_load_the_max_exceeds():
    belief = Belief(AthleteId("a1"), AXLE, 200.0, 0.05, None, None, ())
    assert belief.quantile_kg(0.5) == pytest.approx(200)
    assert belief.chance_to_make(belief.quantile_kg(0.2)) == pytest.approx(0.8)
    with pytest.raises(BeliefError, match="between 0 and 1"):
        belief.quantile_kg(1.0)


def test_a_belief_needs_a_positive_max_and_doubt():
    with pytest.raises(BeliefError, match="both must be above 0"):
        Belief(AthleteId("a1"), AXLE, 0.0, 0.05, None, None, ())
    with pytest.raises(BeliefError, match="go together"):
        Belief(AthleteId("a1"), AXLE, 100.0, 0.05, None, 3, ())


def test_settings_that_contradict_themselves_are_refused():
    with pytest.raises(ValueError, match="Every sd must be above 0"):
        BeliefSettings(test_sd=0.0)
    with pytest.raises(ValueError, match="Grid points"):
        BeliefSettings(grid_points=0)


def test_a_deadlift_from_reps_carries_its_underestimates_note():
    # LeSuer et al. 1997; Bishop et al. 2014.
    reps = lifted(1, DEADLIFT, "180", days_ago=2, kind=EvidenceKind.REP_SET, reps=5)
    belief = beliefs_of(reps)[AthleteId("a1"), DEADLIFT]
    assert str(belief.rests_on[0]) == (
        "from a rep set 180 kg × 5, 2 days ago → 207 ± 13 kg (reps underestimate deadlifts)"
    )


def test_a_set_explains_what_it_speaks_for():
    squat = LiftKey("back_squat")
    reps = lifted(1, squat, "62.5", days_ago=8, kind=EvidenceKind.REP_SET, reps=5)
    reps = replace(reps, reps_in_reserve=2.0)
    belief = beliefs_of(reps)[AthleteId("a1"), squat]
    # 62.5 kg × 7 possible reps: 83 % on the chart (Essentials of S&C), so 75 kg.
    assert str(belief.rests_on[0]) == (
        "from a rep set 62.5 kg × 5, 2 in reserve, 8 days ago → 75 ± 5 kg"
    )


def test_of_the_singles_of_a_day_the_heaviest_is_the_test():
    squat = LiftKey("back_squat")
    day = [lifted(1, squat, kg, days_ago=3) for kg in ("150", "180", "165")]
    alone = beliefs_of(day[1])[AthleteId("a1"), squat]
    together = beliefs_of(*day)[AthleteId("a1"), squat]
    assert together.median_kg == alone.median_kg
    assert together.last_test.load == Mass.kg(180)


def test_tests_that_contradict_each_other_leave_a_wide_doubt_and_no_top_target():
    squat = LiftKey("back_squat")
    tests = [lifted(1, squat, "200", days_ago=4), lifted(1, squat, "100", days_ago=3)]
    belief = beliefs_of(*tests)[AthleteId("a1"), squat]
    assert belief.log_sd > 0.10
    assert not belief.may_target_top(TODAY)
    used, words = belief.prescribing_kg(TODAY)
    assert used < belief.median_kg
    assert "the evidence contradicts itself" in words
    agree = [lifted(1, squat, "200", days_ago=4), lifted(1, squat, "205", days_ago=3)]
    assert beliefs_of(*agree)[AthleteId("a1"), squat].log_sd < 0.02
