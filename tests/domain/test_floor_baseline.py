"""The coach's usual way against the design's prototype (floor.md, first table)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from heftwright.domain.floor import check_floor, usual_way, with_loads_of
from heftwright.domain.floor.baseline import largest_first
from heftwright.domain.floor.cost import mean_deviation_pct, reference_cost_ds
from heftwright.domain.floor.instance import floor_instance, top_share_ratio
from heftwright.domain.mass import Mass

INSTANCES = Path(__file__).parent.parent / "instances"
# moves, change a round [s], latest finish [min], mean deviation [% of max]: floor.md
USUAL = [
    ("floor-1", 728, 120, 19.4, 0.3),
    ("floor-2", 1120, 204, 25.6, 0.3),
    ("floor-3", 1564, 251, 25.4, 0.4),
    ("floor-4", 1972, 369, 25.6, 0.4),
]


def record(name: str):
    return json.loads((INSTANCES / f"{name}.json").read_text())


@pytest.mark.parametrize(("name", "moves", "change_s", "finish_min", "deviation_pct"), USUAL)
def test_the_usual_way_is_what_the_design_measured(
    name, moves, change_s, finish_min, deviation_pct
):
    problem = floor_instance(record(name))
    usual = usual_way(problem)
    assert usual.moves == moves
    assert usual.change_s == pytest.approx(change_s, abs=0.5)
    assert usual.finish_s / 60 == pytest.approx(finish_min, abs=0.05)
    assert mean_deviation_pct(problem, usual) == pytest.approx(deviation_pct, abs=0.05)


@pytest.mark.parametrize(
    ("target", "stack"),
    [
        ("60", ("20",)),
        ("101.25", ("25", "15")),  # half way between 100 and 102.5: the even step, 100
        ("103.75", ("25", "15", "2.5")),  # half way between 102.5 and 105: the even step, 105
        ("102.4", ("25", "15", "1.25")),
        ("10", ()),
    ],
)
def test_the_usual_arithmetic_takes_the_largest_plates_first(target, stack):
    problem = floor_instance(record("floor-3"))
    assert largest_first(problem, Mass.kg(20), Mass.kg(target)) == stack


def test_a_gym_without_plates_loads_none():
    problem = floor_instance({**record("floor-1"), "plates_pairs": {}})
    assert largest_first(problem, Mass.kg(20), Mass.kg(100)) == ()


def test_whose_bar_is_nowhere_has_no_platform_in_the_usual_way():
    raw = record("floor-2")
    raw["platforms"] = [one for one in raw["platforms"] if one["bar"] == "bar"]
    usual = usual_way(floor_instance(raw))
    assert [who for who, _ in usual.unplaced] == ["A01", "A11", "A14", "A15"]
    assert all("axle" in why for _, why in usual.unplaced)


def test_the_same_loads_leave_no_tolerance():
    problem = floor_instance(record("floor-1"))
    usual = usual_way(problem)
    fixed = with_loads_of(problem, usual)
    assert all(lifter.tolerance == Mass(0) for lifter in fixed.lifters)
    assert mean_deviation_pct(fixed, usual) == 0
    assert reference_cost_ds(fixed, usual) < reference_cost_ds(problem, usual)


def test_the_usual_way_overlooks_bands_but_not_arithmetic():
    problem = floor_instance(record("floor-3"))
    said = check_floor(problem, usual_way(problem))
    assert any("cannot use set-up" in fault for fault in said)
    assert not any(
        "clock" in fault or "moves" in fault or "another load" in fault for fault in said
    )


def test_top_share_of_a_reference_lifter_by_hand():
    raw = record("floor-1")
    athlete = {"stature_m": 1.80, "lift_max_kg": 200.0}
    # lockout 0.431 × 1.80 = 0.7758 m; (0.7758 − 0.25)/0.5 = 1.0516; 42 kg × 1.0516 / 200
    assert top_share_ratio(athlete, raw, ["b3"]) == pytest.approx(0.2208, abs=1e-4)
