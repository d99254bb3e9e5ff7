"""What cannot be served is said, person by person, and everybody else still lifts."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import (
    FloorPlan,
    FloorPlate,
    FloorPlatform,
    FloorPolicy,
    FloorProblem,
    FloorSetUp,
    Lifter,
    LoadMode,
    check_floor,
    usual_way,
)
from heftwright.domain.mass import Mass
from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.domain.squad import AthleteId
from heftwright.solve.floor import solve_floor

PLATES = tuple(
    FloorPlate(key, Mass.kg(key), 6, float(key) >= 10)
    for key in ("25", "20", "15", "10", "5", "2.5", "1.25")
)


def lifter(name: str, target=100, bar="bar", **changes) -> Lifter:
    return Lifter(AthleteId(name), Mass.kg(str(target)), 200.0, bar, **changes)


def bars(count: int, kind="bar", **changes) -> tuple[FloorPlatform, ...]:
    return tuple(
        FloorPlatform(f"{kind}{n}", kind, Mass.kg(20), **changes) for n in range(1, count + 1)
    )


def floor(lifters, platforms, **changes) -> FloorProblem:
    return FloorProblem(tuple(lifters), tuple(platforms), PLATES, **changes)


def plan_of(problem: FloorProblem) -> FloorPlan:
    answer = solve_floor(problem, limit_s=5)
    assert isinstance(answer, Solved), answer
    assert check_floor(problem, answer.plan) == ()
    return answer.plan


def why(plan: FloorPlan) -> dict[str, str]:
    return dict(plan.unplaced)


@pytest.mark.parametrize("target", [97, 99, 101.2, 118.7, 133])
def test_a_load_that_may_never_be_above_its_target_is_shared_below_it(target):
    # trust.md, rounding: down by default.
    lifters = [lifter(name, target, never_above=True, tolerance_ratio=0.025) for name in "abc"]
    plan = plan_of(floor([*lifters, lifter("d", target + 3, never_above=True)], bars(1)))
    loads = {turn.athlete: turn.load.in_kg for turn in plan.groups[0].order}
    assert all(target - 5 <= loads[AthleteId(name)] <= target for name in "abc")
    assert loads[AthleteId("d")] <= target + 3


def test_a_class_of_nobody_and_a_floor_of_nothing_say_so():
    assert "Nobody is in this class" in solve_floor(floor([], bars(1))).reasons[0]
    assert "No platform" in solve_floor(floor([lifter("a")], [])).reasons[0]


def test_when_nobody_can_be_served_every_reason_is_given():
    answer = solve_floor(floor([lifter("a", bar="log"), lifter("b", bar="log")], bars(2)))
    assert isinstance(answer, Infeasible)
    assert len(answer.reasons) == 2
    assert "no log is on the floor tonight" in answer.reasons[0]


def test_a_missing_bar_costs_only_those_who_want_it():
    plan = plan_of(floor([lifter("a"), lifter("b"), lifter("c", bar="axle")], bars(1)))
    assert "no axle is on the floor tonight" in why(plan)["c"]
    assert len(plan.groups) == 1


def test_more_lifters_than_places_are_told_to_split_or_lift_a_twin():
    axles = [lifter(f"x{n}", bar="axle") for n in range(11)]
    plan = plan_of(floor(axles, bars(2, "axle")))
    assert len(plan.unplaced) == 1
    words = plan.unplaced[0][1]
    assert "11 lifters want the 2 platforms with an axle, which serve at most 10" in words
    assert "Split the class in two halves" in words


def test_no_band_set_up_that_suits_is_said_to_the_one_athlete():
    rigs = (FloorSetUp("straight"), FloorSetUp("grey", {"grey": 1}))
    people = [lifter("a"), lifter("b"), lifter("c", set_ups={"grey": 0.0})]
    plan = plan_of(floor(people, bars(2), set_ups=rigs, bands={"grey": 0}))
    assert "no band set-up in stock gives the wanted top share" in why(plan)["c"]


def test_a_bar_that_is_too_heavy_is_said_with_a_way_out():
    plan = plan_of(floor([lifter("a"), lifter("b"), lifter("tiny", 25)], bars(2)))
    assert "the lightest loaded bar is 40 kg" in why(plan)["tiny"]
    assert "blocks" in why(plan)["tiny"]


def test_from_the_rack_the_empty_bar_is_a_load():
    policy = FloorPolicy(starts_on_floor=False)
    plan = plan_of(floor([lifter("a", 20), lifter("b", 25)], bars(1), policy=policy))
    loads = {turn.athlete: turn.load for turn in plan.groups[0].order}
    assert loads["a"] <= Mass.kg(25)
    assert not plan.unplaced


def test_an_empty_bar_that_is_too_heavy_in_the_rack_asks_for_another_bar_not_for_discs():
    log = replace(bars(1, "log")[0], empty_bar=Mass.kg(35))
    off_rack = FloorPolicy(starts_on_floor=False)
    light = lifter("a", "34.86", bar="log", never_above=True)
    problem = floor([light, lifter("b", 80, bar="log")], (log,), policy=off_rack)
    words = why(plan_of(problem))["a"]
    assert "34.86 kg cannot be made" in words
    assert "the lightest log on the floor tonight is 35 kg, empty" in words
    assert "Put out a lighter log, or let them do a twin lift on another bar." in words
    assert "discs" not in words


def test_without_a_rack_who_needs_one_is_told():
    people = [lifter("a"), lifter("b"), lifter("c", needs_rack=True)]
    plan = plan_of(floor(people, bars(2, has_rack=False)))
    assert "no platform with a bar has a rack" in why(plan)["c"]


def test_pegs_that_do_not_allow_the_set_up_rule_a_platform_out():
    rigs = (FloorSetUp("straight"), FloorSetUp("grey", {"grey": 2}))
    plain, pegged = bars(2)
    plain = replace(plain, set_ups=frozenset({"straight"}))
    people = [lifter(name, set_ups={"grey": 0.0}) for name in "ab"] + [lifter("c"), lifter("d")]
    plan = plan_of(floor(people, [plain, pegged], set_ups=rigs, bands={"grey": 2}))
    on = {group.platform: group.set_up for group in plan.groups}
    assert on == {"bar1": "straight", "bar2": "grey"}


def test_somebody_alone_at_an_axle_lifts_alone_and_is_told():
    people = [lifter("a"), lifter("b"), lifter("x", bar="axle")]
    plan = plan_of(floor(people, [*bars(1), *bars(1, "axle")]))
    assert not plan.unplaced
    assert any("x lifts alone" in note and "spotter" in note for note in plan.notes)


def test_a_minor_is_never_alone_where_a_partner_is_possible():
    # trust.md, minors: a named supervisor; a partner beside them is common practice, no source.
    near = [lifter(name, target) for name, target in (("a", 100), ("b", 100))]
    far = [lifter("kid", 40, is_minor=True), lifter("c", 100)]
    plan = plan_of(floor([*near, *far], bars(2), policy=FloorPolicy(group_max=3)))
    assert all(len(group.order) > 1 for group in plan.groups if "kid" in group.athletes)
    cheap = FloorPolicy(lone_s=0, minor_alone_s=9000)
    plan = plan_of(floor([*near, *far], bars(2), policy=cheap))
    assert all(len(group.order) > 1 for group in plan.groups if "kid" in group.athletes)
    free = plan_of(floor([*near, *far], bars(2), policy=replace(cheap, minor_alone_s=0)))
    assert any(group.athletes == {"kid"} for group in free.groups)  # control


def test_a_minor_who_has_to_lift_alone_needs_the_supervisor_beside_them():
    people = [lifter("a"), lifter("b"), lifter("x", bar="axle", is_minor=True)]
    plan = plan_of(floor(people, [*bars(1), *bars(1, "axle")]))
    assert any("x lifts alone" in note and "named supervisor" in note for note in plan.notes)


def test_where_lifting_alone_is_not_allowed_the_lone_one_is_unplaced():
    policy = FloorPolicy(lone_allowed=False)
    people = [lifter("a"), lifter("b"), lifter("x", bar="axle")]
    plan = plan_of(floor(people, [*bars(1), *bars(1, "axle")], policy=policy))
    assert list(why(plan)) == ["x"]


def test_without_enough_plates_somebody_waits_rather_than_a_promise_broken():
    few = (FloorPlate("20", Mass.kg(20), 1),)
    problem = replace(
        floor([lifter(name, 60) for name in "abcd"], bars(2), policy=FloorPolicy(group_max=2)),
        plates=few,
    )
    plan = plan_of(problem)
    assert len(plan.groups) == 1
    assert len(plan.unplaced) == 2


def test_those_who_must_not_meet_are_apart_and_friends_together():
    people = [
        lifter("a", apart=frozenset({AthleteId("b")})),
        lifter("b", together=frozenset({AthleteId("d")})),
        lifter("c"),
        lifter("d"),
    ]
    plan = plan_of(floor(people, bars(2)))
    groups = [group.athletes for group in plan.groups]
    assert not any({"a", "b"} <= group for group in groups)
    assert any({"b", "d"} <= group for group in groups)


def test_who_wants_the_coach_near_gets_the_coachs_platform():
    far, near = bars(2)
    near = replace(near, is_near_coach=True)
    people = [lifter("a", wants_coach_near=True), lifter("b"), lifter("c"), lifter("d")]
    plan = plan_of(floor(people, [far, near]))
    assert plan.turn_of(AthleteId("a"))[0].platform == "bar2"


def test_beginners_are_not_left_among_themselves():
    people = [lifter("a", 80, is_beginner=True), lifter("b", 80, is_beginner=True)]
    people += [lifter("c", 85), lifter("d", 85)]
    plan = plan_of(floor(people, bars(2)))
    assert not any(group.athletes == {"a", "b"} for group in plan.groups)


def test_a_class_that_runs_over_is_told():
    problem = floor([lifter(name) for name in "abcd"], bars(1), class_minutes=5)
    assert any("the class has 5 min" in note for note in plan_of(problem).notes)


def test_a_target_between_loads_is_rounded_down_and_said():
    people = [lifter("a", "101.1", tolerance_ratio=0.0), lifter("b", 100)]
    plan = plan_of(floor(people, bars(1)))
    assert plan.turn_of(AthleteId("a"))[1].load == Mass.kg(100)
    assert any("100 kg is the nearest at or below the wanted 101.1 kg" in n for n in plan.notes)


def test_fixed_loads_stay_the_nearest_whatever_it_costs():
    policy = FloorPolicy(load_mode=LoadMode.NEAREST)
    plan = plan_of(floor([lifter("a", 101), lifter("b", 104)], bars(1), policy=policy))
    loads = {turn.athlete: turn.load for turn in plan.groups[0].order}
    assert loads == {"a": Mass.kg(100), "b": Mass.kg(105)}


@pytest.mark.parametrize("unit", ["pounds", "odd kilograms"])
def test_weighed_and_foreign_plates_add_up_exactly(unit):
    weights = ["45", "35", "25", "10", "5", "2.5"] if unit == "pounds" else [
        "25.04", "19.97", "15.02", "10.06", "4.98", "2.51", "1.247",
    ]  # fmt: skip
    make = Mass.lb if unit == "pounds" else Mass.kg
    plates = tuple(FloorPlate(key, make(key), 6, float(key) >= 10) for key in weights)
    people = [lifter(f"a{n}", 90 + 3.5 * n) for n in range(8)]
    problem = replace(floor(people, bars(2)), plates=plates)
    plan = plan_of(problem)
    masses = {plate.key: plate.mass.ticks for plate in plates}
    for group in plan.groups:
        for turn in group.order:
            side = sum(masses[key] for key in turn.stack)
            assert turn.load.ticks == Mass.kg(20).ticks + 2 * side
            assert problem.lifter(turn.athlete).deviation_pct(turn.load) <= 2.5 + 1e-9


def test_two_bars_of_one_kind_with_their_own_weighed_masses():
    platforms = [
        FloorPlatform("P1", "bar", Mass.kg("20.15")),
        FloorPlatform("P2", "bar", Mass.kg("19.8")),
    ]
    people = [lifter(f"a{n}", 80 + 10 * n, tolerance_ratio=0.01) for n in range(6)]
    plan = plan_of(replace(floor(people, platforms), policy=FloorPolicy(group_max=3)))
    assert len(plan.groups) == 2


@settings(max_examples=20, deadline=None)
@given(
    targets=st.lists(st.integers(30, 180), min_size=1, max_size=9),
    platforms=st.integers(1, 3),
    pairs=st.integers(1, 5),
    axles=st.sets(st.integers(0, 8)),
    from_floor=st.booleans(),
)
def test_any_class_gets_a_plan_that_the_checker_accepts(
    targets, platforms, pairs, axles, from_floor
):
    people = [
        lifter(f"a{place}", target, "axle" if place in axles else "bar")
        for place, target in enumerate(targets)
    ]
    problem = replace(
        floor(people, [*bars(platforms), *bars(1, "axle")]),
        plates=tuple(replace(plate, pairs=pairs) for plate in PLATES),
        policy=FloorPolicy(starts_on_floor=from_floor),
    )
    answer = solve_floor(problem, limit_s=0.3)
    if isinstance(answer, Infeasible):
        assert all(reason.endswith((".", "bar.")) for reason in answer.reasons)
        return
    plan = answer.best if isinstance(answer, Stopped) else answer.plan
    assert check_floor(problem, plan) == ()
    served = {turn.athlete for group in plan.groups for turn in group.order}
    assert served | set(why(plan)) == {who.athlete for who in people}


@settings(max_examples=10, deadline=None)
@given(st.lists(st.integers(50, 150), min_size=4, max_size=10))
def test_a_straight_weight_class_never_ends_later_than_the_usual_way(targets):
    problem = floor([lifter(f"a{n}", load) for n, load in enumerate(targets)], bars(3))
    assert plan_of(problem).finish_s <= usual_way(problem).finish_s + 1e-6


def test_schemes_change_the_clock_not_the_people():
    people = [lifter(f"a{n}", 80 + 5 * n) for n in range(6)]
    problem = floor(people, bars(2), schemes=(Scheme(12, 2, 45), Scheme(8, 3, 60)))
    short = plan_of(replace(problem, chosen=problem.schemes[1]))
    assert short.scheme == Scheme(8, 3, 60)
    assert short.finish_s < plan_of(problem).finish_s


def thick(sleeve_mm: float) -> FloorProblem:
    """Rubber discs 60 mm thick, steel ones 25 mm."""
    discs = (
        FloorPlate("rubber 20", Mass.kg(20), 4, True, thickness_mm=60.0),
        FloorPlate("steel 20", Mass.kg("20.001"), 1, True, 9.0, 9.0, thickness_mm=25.0),
        FloorPlate("steel 5", Mass.kg(5), 4, False, thickness_mm=25.0),
    )
    platforms = [replace(one, sleeve_mm=sleeve_mm) for one in bars(1)]
    return replace(floor([lifter("a", 100), lifter("b", 110)], platforms), plates=discs)


def widths(problem: FloorProblem, plan: FloorPlan) -> list[float]:
    plates = problem.plates_by_key()
    turns = [turn for group in plan.groups for turn in group.order]
    return [sum(plates[key].thickness_mm for key in turn.stack) for turn in turns]


def test_stacks_fit_the_sleeve_though_thinner_plates_take_longer():
    wide, narrow = thick(400.0), thick(115.0)
    assert max(widths(wide, plan_of(wide))) > 115
    plan = plan_of(narrow)
    assert not plan.unplaced
    assert max(widths(narrow, plan)) <= 115


def test_a_sleeve_too_short_for_the_load_leaves_that_lifter_out():
    plan = plan_of(
        replace(thick(90.0), lifters=(lifter("a", 60), lifter("c", 65), lifter("b", 180)))
    )
    assert "the sleeves" in why(plan)["b"]
    assert set(why(plan)) == {"b"}


def test_the_checker_measures_the_sleeve():
    problem = thick(400.0)
    plan = plan_of(problem)
    short = thick(50.0)
    assert any("more than the sleeve has" in fault for fault in check_floor(short, plan))
