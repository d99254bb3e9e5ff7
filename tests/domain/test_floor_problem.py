"""What cannot be a floor is refused with a sentence."""

from __future__ import annotations

import pytest

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import (
    FloorPlate,
    FloorPlatform,
    FloorPolicy,
    FloorPolicyError,
    FloorProblem,
    FloorProblemError,
    FloorSetUp,
    FloorTimes,
    Lifter,
)
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

BAR = FloorPlatform("P1", "bar", Mass.kg(20))
PLATE = FloorPlate("20", Mass.kg(20), 4)


def someone(name="a", **changes) -> Lifter:
    values = {"target": Mass.kg(100), "max_kg": 200.0, "bar": "bar", **changes}
    return Lifter(AthleteId(name), **values)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"max_kg": 0.0}, "max 0 kg is outside"),
        ({"max_kg": 1500.0}, "max 1500 kg is outside"),
        ({"target": Mass(0)}, "target 0 kg is outside"),
        ({"tolerance_ratio": 0.3}, "tolerance is outside 0–20 %"),
        ({"set_ups": {"straight": -1.0}}, "price must be 0 or more"),
    ],
)
def test_a_lifter_that_cannot_be_true_is_refused(changes, said):
    with pytest.raises(FloorProblemError, match=said):
        someone(**changes)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: FloorPlate("20", Mass(0), 1), "weigh it"),
        (lambda: FloorPlate("20", Mass.kg(20), -1), "pairs must be 0 or more"),
        (lambda: FloorPlate("20", Mass.kg(20), 1, on_s=-1.0), "putting on of -1 s is outside"),
        (lambda: FloorPlate("20", Mass.kg(20), 1, off_s=601.0), "taking off of 601 s is outside"),
        (lambda: FloorPlatform("P1", "bar", Mass(0)), "weigh its bar"),
        (lambda: FloorSetUp("x", {"grey": 0}), "take 1 or more"),
        (lambda: FloorTimes(collars_s=-1.0), "collars_s of -1 s is outside"),
    ],
)
def test_kit_that_cannot_be_true_is_refused(make, said):
    with pytest.raises(FloorProblemError, match=said):
        make()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"lifters": (someone(), someone())}, "athlete a is listed twice"),
        ({"platforms": (BAR, BAR)}, "platform P1 is listed twice"),
        ({"plates": (PLATE, PLATE)}, "plate 20 is listed twice"),
        ({"set_ups": (FloorSetUp("s"), FloorSetUp("s"))}, "set-up s is listed twice"),
        ({"schemes": ()}, "at least one scheme"),
        ({"lifters": tuple(someone(f"a{n}") for n in range(121))}, "split it"),
        ({"set_ups": tuple(FloorSetUp(f"s{n}") for n in range(61))}, "61 set-ups"),
        ({"lifters": (someone(set_ups={"grey": 0.0}),)}, "set-up “grey” is not among"),
        ({"set_ups": (FloorSetUp("straight"), FloorSetUp("g", {"grey": 1}))}, "band “grey”"),
    ],
)
def test_a_floor_that_does_not_hang_together_is_refused(changes, said):
    values = {"lifters": (someone(),), "platforms": (BAR,), "plates": (PLATE,), **changes}
    with pytest.raises(FloorProblemError, match=said):
        FloorProblem(**values)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"group_min": 0}, "Groups of 0–5"),
        ({"group_min": 4, "group_max": 3}, "Groups of 4–3"),
        ({"group_max": 7}, "Groups of 2–7"),
        ({"stay_s": -1.0}, "stay_s must be"),
        ({"change_weight": 1e6}, "change_weight must be"),
    ],
)
def test_a_policy_that_makes_no_sense_is_refused(changes, said):
    with pytest.raises(FloorPolicyError, match=said):
        FloorPolicy(**changes)


def test_a_set_up_priced_at_none_is_impossible():
    lifter = someone(set_ups={"straight": None, "grey": 0.0})
    assert dict(lifter.set_ups) == {"grey": 0.0}


def test_the_first_scheme_is_planned_unless_another_is_chosen():
    schemes = (Scheme(12, 2), Scheme(8, 3))
    first = FloorProblem((someone(),), (BAR,), (PLATE,), schemes=schemes)
    assert first.scheme == Scheme(12, 2)
    assert first.set_s == pytest.approx(10.0)
    second = FloorProblem((someone(),), (BAR,), (PLATE,), schemes=schemes, chosen=schemes[1])
    assert second.set_s == pytest.approx(13.0)


def test_unknown_names_are_refused_when_asked_for():
    problem = FloorProblem((someone(),), (BAR,), (PLATE,))
    assert problem.lifter(AthleteId("a")).called == "a"
    assert problem.platform("P1") is BAR
    with pytest.raises(FloorProblemError, match="not in this class"):
        problem.lifter(AthleteId("z"))
    with pytest.raises(FloorProblemError, match="no platform P7"):
        problem.platform("P7")


def test_deviation_is_a_percentage_of_the_max():
    assert someone().deviation_pct(Mass.kg(105)) == pytest.approx(2.5)
    assert someone().tolerance == Mass.kg(5)
