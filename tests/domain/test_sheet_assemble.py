"""From the floor plan to the sheet: the load shown is the plates shown; every stop refuses."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.catalogue import Implement, LiftKey, MaxEffortScheme, Slot, load_catalogue
from heftwright.domain.dose import Scheme
from heftwright.domain.floor.checker import check_floor
from heftwright.domain.floor.policy import FloorPolicy
from heftwright.domain.floor.tonight import Start, assign_bars, start_places, tonights_floor
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, total
from heftwright.domain.outcome import Solved, Stopped
from heftwright.domain.prescription.cautions import Caution
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.resistance.bar_path import FLOOR_START
from heftwright.domain.sheet.assemble import Assembly, assemble
from heftwright.domain.sheet.gear_checks import ratings_for, stripping_cautions
from heftwright.domain.sheet.live import Phase, first_round, turn_at
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.stock import Bar, Block, PlatePair, Platform, RatingOverride, Stock
from heftwright.solve.floor import solve_floor

DAY = date(2026, 11, 30)
CATALOGUE = load_catalogue()
BAR = Bar("bar", "Straight bar", Implement.STRAIGHT_BAR, Mass.kg(20), Mass.kg("2.5"), count=3)
PLATES = tuple(
    PlatePair(key, Mass.kg(key), pairs, Length.mm(450 if float(key) >= 10 else 200))
    for key, pairs in (
        ("25", 8),
        ("20", 6),
        ("15", 4),
        ("10", 8),
        ("5", 6),
        ("2.5", 6),
        ("1.25", 4),
    )
)
STOCK = Stock(
    bars=(BAR, Bar("axle", "Axle", Implement.AXLE, Mass.kg(15), Mass.kg("2.5"), count=2)),
    plates=PLATES,
    platforms=tuple(Platform(str(n)) for n in range(1, 5)),
)
SCHEME = Scheme(8, 3, 60)


def person(number):
    return Athlete(AthleteId(f"a{number}"), f"Athlete {number}", number, Sex.MAN, date(1990, 1, 1))


def work(number, target_kg, lift="deadlift", **more):
    values = {
        "athlete": AthleteId(f"a{number}"), "lift": LiftKey(lift), "slot": Slot.DYNAMIC_LOWER,
        "scheme": SCHEME, "max_kg": target_kg / 0.7, "max_words": "tested 200 kg, yesterday",
        "is_estimated": False, "target_kg": target_kg, "tolerance_ratio": 0.025, "top_ratio": 0.0,
        "top_slack_ratio": 0.05, "choices": (), "path": None, "reasons": (), "cautions": (),
        "is_minor": False,
    }  # fmt: skip
    return WantedWork(**(values | more))


def sheet_of(wanted, stock=STOCK, sleeve=None, overrides=()):
    """The sheet; with ``sleeve``, the bars turn out to have that after the floor was planned."""
    people = {item.athlete: person(int(item.athlete[1:])) for item in wanted}
    floor = tonights_floor(wanted, people, stock, CATALOGUE, SCHEME, FloorPolicy())
    ended = solve_floor(floor.problem, limit_s=5.0)
    assert isinstance(ended, Solved | Stopped)
    plan = ended.plan if isinstance(ended, Solved) else ended.best
    assert check_floor(floor.problem, plan) == ()
    if sleeve is not None:
        bars = {key: replace(bar, sleeve=sleeve) for key, bar in floor.bars.items()}
        floor = replace(floor, bars=bars)
    parts = Assembly(
        DAY, {w.athlete: w for w in wanted}, people, stock, CATALOGUE, floor, overrides=overrides
    )
    return assemble(plan, parts)


def lines(platforms):
    return [line for platform in platforms for line in platform.lifters]


def test_the_load_shown_is_bar_and_collars_and_both_sides_of_the_plates_shown():
    platforms, unplaced = sheet_of([work(n, 80.0 + 13 * n) for n in range(1, 9)])
    assert not unplaced
    for line in lines(platforms):
        side = total([plate.mass for plate in line.sleeve.plates]) + line.sleeve.collar
        assert line.load == BAR.mass + 2 * side


def test_each_change_turns_the_sleeve_before_into_the_sleeve_after():
    platforms, _ = sheet_of([work(n, 70.0 + 11 * n) for n in range(1, 9)])
    for platform in platforms:
        before = platform.lifters[-1].sleeve
        for line in platform.lifters:
            after = Counter(p.key for p in before.plates)
            after.subtract(p.key for p in line.sleeve.off)
            after.update(p.key for p in line.sleeve.on)
            assert +after == Counter(p.key for p in line.sleeve.plates)
            before = line.sleeve


def test_whoever_is_refused_leaves_no_plates_behind_for_the_others_to_change_from():
    weak = replace(STOCK, bars=(replace(BAR, rating=Mass.kg(150), count=1),))
    platforms, unplaced = sheet_of([work(1, 102.5), work(2, 140.0), work(3, 180.0)], weak)
    assert [who.athlete for who in unplaced] == ["a3"]
    (platform,) = platforms
    before = platform.lifters[-1].sleeve.plates
    for line in platform.lifters:
        off = [plate.key for plate in line.sleeve.off]
        on = [plate.key for plate in line.sleeve.on]
        keys = [plate.key for plate in before]
        stays = keys[: len(keys) - len(off)]
        assert keys[len(stays) :] == off[::-1]
        assert stays + on == [plate.key for plate in line.sleeve.plates]
        before = line.sleeve.plates
    assert len(platform.turns_s) == len(platform.lifters)
    assert platform.round_s < 60 * 3


def test_a_platform_whose_sets_were_all_cut_starts_with_the_others_and_is_done_sooner():
    cut = Scheme(6, 3, 60)
    (platform,), _ = sheet_of([work(1, 100.0, scheme=cut)])
    assert platform.finish_min == pytest.approx(6 * platform.round_s / 60)
    starts = datetime(2026, 11, 30, 18, 30, tzinfo=UTC)
    assert first_round(platform, starts).round_began == starts
    assert turn_at(platform, starts, starts).phase is Phase.LIFTING


def test_everybody_is_on_one_platform_or_named_with_a_reason():
    wanted = [work(n, 60.0 + 9 * n) for n in range(1, 15)]
    platforms, unplaced = sheet_of(wanted)
    seen = [line.athlete for line in lines(platforms)] + [who.athlete for who in unplaced]
    assert sorted(seen) == sorted(item.athlete for item in wanted)
    assert all(who.why for who in unplaced)


def test_a_load_over_the_bars_rating_is_refused_and_never_shown():
    weak = replace(STOCK, bars=(replace(BAR, rating=Mass.kg(150)),))
    platforms, unplaced = sheet_of([work(1, 120.0), work(2, 180.0)], weak)
    assert [line.athlete for line in lines(platforms)] == ["a1"]
    assert "is rated for 150 kg" in unplaced[0].why


def test_a_load_over_the_racks_rating_is_refused_for_what_is_lifted_off_it():
    places = tuple(replace(place, rack_rating=Mass.kg(150)) for place in STOCK.platforms)
    weak = replace(STOCK, platforms=places)
    _, unplaced = sheet_of([work(1, 180.0, "back_squat")], weak)
    assert "is rated for 150 kg" in unplaced[0].why
    platforms, _ = sheet_of([work(1, 180.0)], weak)  # a pull from the floor needs no rack
    assert [line.athlete for line in lines(platforms)] == ["a1"]


def test_blocks_of_the_lifts_height_are_held_to_their_rating_else_the_weakest():
    lift = CATALOGUE[LiftKey("block_deadlift")]
    raised = lift.start_height - FLOOR_START
    fitting = Block("fits", raised, 1, Mass.kg(400))
    others = (Block("low", Length.cm(1), 1, Mass.kg(200)), Block("none", raised, 0, Mass.kg(90)))
    plain = Block("unrated", Length.cm(2), 1)
    rated = replace(STOCK, blocks=(fitting, *others, plain))
    assert ratings_for(lift, BAR, "P1", rated).block == fitting
    rest = replace(STOCK, blocks=(*others, plain))
    assert ratings_for(lift, BAR, "P1", rest).block == others[0]
    assert ratings_for(CATALOGUE[LiftKey("deadlift")], BAR, "P1", rated).block is None


def test_an_owners_word_lets_a_load_pass_and_stands_on_the_line():
    weak = replace(STOCK, bars=(replace(BAR, rating=Mass.kg(150)),))
    word = RatingOverride("bar", BAR.key, Mass.kg(185), DAY, "Olga", "Bar checked by its maker")
    platforms, unplaced = sheet_of([work(2, 180.0)], weak, overrides=(word,))
    assert unplaced == ()
    (line,) = lines(platforms)
    assert any("Olga allows up to 185 kg" in caution for caution in line.cautions)


def test_a_load_moved_inside_the_tolerance_says_so_and_by_how_much():
    platforms, _ = sheet_of([work(1, 100.0), work(2, 103.4), work(3, 101.2)])
    for line in lines(platforms):
        off = abs(line.load.in_kg - {"a1": 100.0, "a2": 103.4, "a3": 101.2}[line.athlete])
        words = line.reasons[-1]
        assert ("nearest load" in words) == (off <= 1.25)


def test_a_heavy_single_shows_its_work_up_with_rising_loads_this_bar_can_make():
    single = work(
        1, 182.5, max_kg=183.0, max_effort=MaxEffortScheme.SINGLE,
        cautions=(Caution.MAXIMAL_LIFT,),
    )  # fmt: skip
    platforms, _ = sheet_of([single, work(2, 150.0)])
    line = next(item for item in lines(platforms) if item.athlete == "a1")
    loads = [mass.in_kg for mass in line.ladder]
    assert loads == sorted(loads)
    assert len(loads) >= 5
    assert loads[-1] == line.load.in_kg
    assert all(((kg - 25) / 2.5).is_integer() for kg in loads)
    assert not any("Heavy lift" in caution for caution in line.cautions)  # said once, on top
    assert not any("lighter bar" in note for note in line.notes)


def test_a_work_up_that_can_only_start_heavy_asks_for_a_lighter_bar_first():
    # A first step near 40 % of the top: common practice, no source.
    wanted = work(1, 60.0, max_kg=60.0, max_effort=MaxEffortScheme.SINGLE)
    (line,) = lines(sheet_of([wanted])[0])
    lightest = min(step.load.in_kg for step in line.steps)
    assert lightest >= 0.60 * 60
    (note,) = [note for note in line.notes if "lighter bar" in note]
    assert note.startswith(f"The lightest load here is {100 * lightest / 60:.0f} % of the max")


@given(st.integers(1, 20), st.integers(0, 20))
def test_bars_go_to_platforms_without_inventing_any(bars, axles):
    wanted = Counter({Implement.STRAIGHT_BAR: bars, Implement.AXLE: axles})
    laid = assign_bars(STOCK, +wanted, 5)
    assert len(laid) <= len(STOCK.platforms)
    used = Counter(bar.key for bar in laid.values())
    assert used["bar"] <= 3
    assert used["axle"] <= 2
    assert used["bar"] >= 1


def test_plates_are_labelled_as_printed_without_their_unit():
    platforms, _ = sheet_of([work(1, 100.0)])
    labels = [plate.label for plate in platforms[0].lifters[0].sleeve.plates]
    assert all(" " not in label for label in labels)


def test_plates_that_do_not_fit_the_sleeve_with_the_collar_are_refused():
    platforms, unplaced = sheet_of([work(1, 230.0)], sleeve=Length.mm(120))
    assert not platforms
    assert "longer than a sleeve" in unplaced[0].why


def test_the_floor_is_planned_with_plates_that_fit_the_sleeve():
    short = replace(STOCK, bars=(replace(BAR, sleeve=Length.mm(220)),))
    platforms, unplaced = sheet_of([work(1, 230.0), work(2, 100.0)], short)
    assert [line.athlete for line in lines(platforms)] == ["a2"]
    assert "do not hold plates for 230 kg" in unplaced[0].why


def test_a_light_racked_bar_with_a_heavy_plate_warns_that_it_tips_when_stripped():
    # Statics: a 5 kg bar on hooks 1.10 m apart cannot hold 40 kg on one sleeve alone.
    light = replace(BAR, mass=Mass.kg(5), collar=Mass(0))
    heavy = PlatePair("40", Mass.kg(40), 2)
    assert any("tips the bar" in words for words in stripping_cautions(light, (heavy,)))
    assert stripping_cautions(BAR, (PLATES[3],)) == ()


def test_two_half_classes_squat_from_racks_and_pull_from_the_floor_on_one_evening():
    wanted = [
        *(work(n, 80.0 + 9 * n) for n in range(1, 6)),
        *(work(n, 60.0 + 9 * n, "box_squat") for n in range(6, 11)),
    ]
    platforms, unplaced = sheet_of(wanted)
    assert not unplaced
    for platform in platforms:
        assert len({line.lift_name for line in platform.lifters}) == 1


def test_pullers_and_squatters_share_out_the_platforms_racks_to_the_squat():
    pull, squat = Start(Implement.STRAIGHT_BAR, True), Start(Implement.STRAIGHT_BAR, False)
    places = tuple(Platform(str(n), has_rack=n in (3, 4)) for n in range(1, 5))
    bars = {place.key: BAR for place in places}
    laid = start_places(places, bars, Counter({pull: 9, squat: 8}), 5)
    assert {key for key, start in laid.items() if start == squat} == {"3", "4"}
    assert pull.called(mixed=True) != squat.called(mixed=True)
    assert pull.called(mixed=False) == squat.called(mixed=False)
