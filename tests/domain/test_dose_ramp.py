"""The max-effort ramp: loadable, rising, honest about chances, and when to stop."""

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from strength_published import PUBLISHED

from heftwright.domain.catalogue import MaxEffortScheme
from heftwright.domain.dose import RampError, RampRole, make_chance, ramp
from heftwright.domain.dose.ramp import HEAVY_LIFTS, LoadLadder

SINGLE, TRIPLE, REP_MAX = MaxEffortScheme.SINGLE, MaxEffortScheme.TRIPLE, MaxEffortScheme.REP_MAX


@pytest.mark.parametrize(
    ("share", "chance"),
    [(0.85, 0.970), (0.90, 0.961), (0.91, 0.953), (0.925, 0.930), (0.95, 0.847), (0.97, 0.728),
     (0.984, 0.621), (1.0, 0.485), (1.02, 0.320), (1.05, 0.135)],
)  # fmt: skip
def test_chances_to_make_a_share_of_the_max(share, chance):
    # checks.md C, attempts: P = 0.97·Φ(−ln(load/M)/0.045), computed.
    assert make_chance(200 * share, 200) == pytest.approx(chance, abs=0.002)


def test_three_attempts_fall_in_the_published_order_of_patterns():
    # checks.md W1: open weightlifting results (n = 439,729): ggg, ggx, gxx, xxx. Our chances treat
    # attempts as independent, at 92.5, 97 and 98.4 %: the order must agree, and on average the
    # shares within 4 points. A plausibility check, not a fit.
    first, second, third = (make_chance(share, 1.0) for share in (0.925, 0.97, 0.984))
    ours = [
        first * second * third, first * second * (1 - third), first * (1 - second) * (1 - third),
        (1 - first) * (1 - second) * (1 - third),
    ]  # fmt: skip
    published = PUBLISHED["W1"].expected
    assert ours == sorted(ours, reverse=True)
    assert published == sorted(published, reverse=True)
    gaps = [abs(a - b) for a, b in zip(ours, published, strict=True)]
    assert sum(gaps) / 4 < 0.04


def test_doubt_about_the_max_widens_the_chances():
    assert make_chance(190, 200, log_sd=0.06) < make_chance(190, 200)
    assert make_chance(215, 200, log_sd=0.06) > make_chance(215, 200)


def test_a_single_climbs_from_the_empty_bar_to_the_max_with_four_lifts_at_90():
    plan = ramp(200, SINGLE, 2.5, 20)
    assert plan.warmups[0].load_kg == 20
    assert plan.top_kg == 200
    assert plan.lifts_at_90 == 4
    assert [step.role for step in plan.attempts][-1] is RampRole.RECORD
    assert any("record" in caution for caution in plan.cautions)


def test_a_triple_tops_at_93_percent_and_a_rep_max_at_85():
    # Training-load chart: 3 reps 93 %, 6 reps 85 % (checks.md R5).
    assert ramp(200, TRIPLE, 0.5, 20).top_kg == 186
    found = ramp(200, REP_MAX, 0.5, 20)
    assert found.top_kg == 170
    assert found.lifts_at_90 == 0
    assert any("below 90 %" in caution for caution in found.cautions)


def test_no_record_is_shown_where_none_is_allowed():
    plan = ramp(200, SINGLE, 2.5, 20, may_record=False)
    assert {step.role for step in plan.attempts} == {RampRole.ATTEMPT}
    assert max(step.load_kg for step in plan.attempts) <= 200


def test_a_light_lift_on_coarse_plates_says_how_few_heavy_lifts_fit():
    plan = ramp(60, SINGLE, 5, 20)
    assert plan.lifts_at_90 < HEAVY_LIFTS[0]
    assert any("back-off singles" in caution for caution in plan.cautions)


def test_stop_rules_go_with_every_ramp():
    rules = " ".join(ramp(200, SINGLE, 2.5, 20).stop_rules)
    assert "two misses" in rules
    assert "Pain" in rules


@given(
    st.floats(40, 450), st.sampled_from(MaxEffortScheme), st.sampled_from([1.0, 2.5, 5.0]),
    st.sampled_from([15.0, 20.0]), st.floats(0, 0.1),
)  # fmt: skip
def test_every_ramp_rises_in_loadable_jumps_and_never_above_105_percent(
    max_kg, scheme, step_kg, bar_kg, log_sd
):
    plan = ramp(max_kg, scheme, step_kg, bar_kg, log_sd=log_sd)
    loads = [step.load_kg for step in plan.warmups + plan.attempts]
    assert loads == sorted(set(loads))
    assert all((load - bar_kg) % step_kg == pytest.approx(0, abs=1e-6) for load in loads)
    assert loads[-1] <= 1.05 * max_kg
    assert plan.top_kg <= max_kg * (1 + 1e-9)
    chances = [step.make_chance for step in plan.attempts]
    assert all(0 < chance <= 0.97 for chance in chances)


def test_the_platforms_own_loads_are_used():
    loads = [20, 70, 110, 145, 165, 182, 191, 196, 199.5]
    plan = ramp(200, SINGLE, lambda kg: max(load for load in loads if load <= kg + 1e-9), 20)
    assert {step.load_kg for step in plan.warmups + plan.attempts} <= set(loads)
    assert plan.top_kg == 199.5


def plates_moved(from_kg, to_kg):
    """Moves a side with pairs of 20, 10, 5, 2.5, 1.25 stacked by size (greedy, independent)."""

    def stack(kg):
        side, found = (kg - 20) / 2, []
        for plate in (20, 10, 5, 2.5, 1.25):
            while side >= plate - 1e-9:
                found.append(plate)
                side -= plate
        return found

    one, other = stack(from_kg), stack(to_kg)
    shared = 0
    while shared < min(len(one), len(other)) and one[shared] == other[shared]:
        shared += 1
    return len(one) + len(other) - 2 * shared


def test_a_known_ladder_saves_plate_moves_in_the_warm_up():
    ladder = LoadLadder(tuple(20 + 2.5 * step for step in range(120)), plates_moved)

    def moves(plan):
        warm = [step.load_kg for step in plan.warmups]
        return sum(plates_moved(one, other) for one, other in pairwise(warm))

    saved = 0
    for max_kg in range(110, 290, 7):
        easy, plain = ramp(max_kg, SINGLE, ladder, 20), ramp(max_kg, SINGLE, 2.5, 20)
        saved += moves(plain) - moves(easy)
        assert easy.top_kg == plain.top_kg
        for one, other in zip(easy.warmups[1:], plain.warmups[1:], strict=True):
            assert one.load_kg == pytest.approx(other.load_kg, rel=0.09)
    assert saved >= 26  # at least one move a lifter on average


def test_a_ladder_takes_the_heaviest_load_below_and_must_rise():
    ladder = LoadLadder((20, 60, 100), plates_moved)
    assert [ladder(kg) for kg in (10, 59.9, 60, 300)] == [20, 20, 60, 100]
    assert ladder.easiest(20, 80) == 60
    with pytest.raises(RampError, match="must rise"):
        LoadLadder((20, 20), plates_moved)


def test_a_heavy_bar_leaves_warm_ups_out_rather_than_repeating_them():
    plan = ramp(60, SINGLE, 2.5, 40)
    assert [step.load_kg for step in plan.warmups] == [40.0, 47.5]


def test_a_max_below_the_bar_is_refused_with_a_way_out():
    with pytest.raises(RampError, match="use a lighter bar"):
        ramp(20, SINGLE, 2.5, 20)
    with pytest.raises(RampError, match="both must be above 0"):
        ramp(0, SINGLE, 2.5, 20)
    with pytest.raises(RampError, match="step of 0 kg"):
        ramp(200, SINGLE, 0, 20)
    with pytest.raises(RampError, match="has no chance"):
        make_chance(0, 200)


@given(
    st.floats(40, 450), st.sampled_from(MaxEffortScheme), st.sampled_from([0.5, 1.0, 2.5, 5.0]),
    st.sampled_from([15.0, 20.0, 40.0]),
)  # fmt: skip
def test_repetitions_never_rise_on_the_way_up_and_the_step_before_the_top_is_short(
    max_kg, scheme, step_kg, bar_kg
):
    # Common practice, no source: the step before costs the top set nothing.
    assume(max_kg > 1.3 * bar_kg)
    plan = ramp(max_kg, scheme, step_kg, bar_kg, may_record=False)
    *before, top = [step.reps for step in plan.warmups + plan.attempts]
    assert before == sorted(before, reverse=True)
    assert top == scheme.top_reps
    if scheme is not SINGLE and len(plan.attempts) > 1:
        assert before[-1] <= top / 2


@pytest.mark.parametrize("scheme", [TRIPLE, REP_MAX])
def test_a_triple_and_a_rep_max_go_up_in_5_4_3_2_2_1(scheme):
    # Common practice, no source.
    plan = ramp(200, scheme, 0.5, 20, may_record=False)
    assert [step.reps for step in plan.warmups[1:]] == [5, 4, 3, 2]
    assert [step.reps for step in plan.attempts] == [2, 1, scheme.top_reps]
