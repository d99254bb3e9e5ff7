"""Bar paths: taped before derived, a default with its ±, and a question where nobody knows."""

import pytest
from resistance_gear import athlete, published

from heftwright.domain.catalogue import BarPathKind, load_catalogue
from heftwright.domain.height import Length
from heftwright.domain.resistance.bar_path import (
    BarPath,
    BodyHeight,
    UnknownBarPathError,
    bar_path,
    block_height,
    body_height,
    from_stature,
)
from heftwright.domain.squad import Sex

LIFTS = load_catalogue()


@pytest.mark.parametrize("row", published("resist_body_heights.csv"))
def test_stature_predicts_bar_heights_as_the_regressions_say(row):
    # checks.md F1: derived from ANSUR II (Gordon et al. 2014, NATICK/TR-15/007).
    known = from_stature(Length.mm(row["stature_mm"]), Sex(row["sex"]), BodyHeight(row["which"]))
    assert known.height_m * 1000 == pytest.approx(float(row["expected_mm"]), abs=0.5)
    assert known.sd_m * 1000 == pytest.approx(float(row["see_mm"]))


def test_an_18_inch_pull_on_450_mm_discs_needs_blocks_of_232_2_mm():
    # checks.md E2, geometry.
    assert block_height(Length.inches(18)).in_mm == pytest.approx(232.2, abs=0.5)
    assert block_height(Length.inches(18), Length.mm(400)) == Length.mm("257.2")


def test_the_floor_pull_starts_at_the_discs_radius_and_ends_at_lockout():
    path = bar_path(LIFTS["deadlift"], athlete(stature_mm=1800))
    assert (path.start_m, path.end_m) == pytest.approx((0.225, 0.807), abs=5e-4)
    assert path.rom_m == pytest.approx(0.582, abs=1e-3)
    assert path.sd_m == pytest.approx(0.0222)
    assert path.source == "pull lockout from stature 180 cm, ± 2.2 cm"
    assert path.marks == (("floor", path.start_m), ("lockout", path.end_m))


def test_a_taped_height_overrides_stature_and_a_default_shows_its_error():
    # checks.md F5.
    path = bar_path(LIFTS["deadlift"], athlete(stature_mm=1800, pull_lockout=770))
    assert path.end_m == pytest.approx(0.77)
    assert path.sd_m < 0.01
    assert path.source == "pull lockout taped"
    assert "±" in bar_path(LIFTS["deadlift"], athlete(stature_mm=1800)).source


def test_blocks_raise_the_start_and_leave_the_lockout():
    floor = bar_path(LIFTS["deadlift"], athlete(stature_mm=1800))
    blocks = bar_path(LIFTS["block_deadlift"], athlete(stature_mm=1800))
    raised = bar_path(LIFTS["deadlift"], athlete(stature_mm=1800), raised=Length.cm(10))
    assert blocks.start_m == pytest.approx(floor.start_m + 0.10)
    assert blocks.end_m == floor.end_m
    assert raised == blocks
    assert blocks.marks[0][0] == "blocks"


def test_a_deficit_lifts_the_feet_not_the_bar():
    # Bands and chains see the height over the floor; the lifter sees radius − deficit.
    floor = bar_path(LIFTS["deadlift"], athlete(stature_mm=1800))
    deficit = bar_path(LIFTS["deficit_deadlift"], athlete(stature_mm=1800))
    assert deficit.start_m == pytest.approx(0.225)
    assert deficit.feet_m == pytest.approx(0.05)
    assert deficit.start_over_feet_m == pytest.approx(0.175)
    assert deficit.end_m == pytest.approx(floor.end_m + 0.05)
    assert deficit.rom_m == pytest.approx(floor.rom_m + 0.05)


def test_smaller_discs_start_the_pull_lower():
    path = bar_path(LIFTS["deadlift"], athlete(stature_mm=1800), disc_diameter=Length.mm(400))
    assert path.start_m == pytest.approx(0.200)


def test_a_wide_stance_from_stature_is_less_sure_and_says_so():
    wide = bar_path(LIFTS["wide_deadlift"], athlete(stature_mm=1800))
    assert wide.sd_m == pytest.approx((0.0222**2 + 0.04**2) ** 0.5)
    assert wide.notes
    grip = bar_path(LIFTS["snatch_grip_deadlift"], athlete(stature_mm=1800))
    assert grip.notes == wide.notes
    taped = bar_path(LIFTS["wide_deadlift"], athlete(pull_lockout=760))
    assert taped.sd_m < 0.01
    assert taped.notes == ()


def test_a_press_goes_from_the_rack_to_overhead():
    path = bar_path(LIFTS["push_press"], athlete(stature_mm=1800))
    assert (path.start_m, path.end_m) == pytest.approx((1.477, 2.1906), abs=5e-4)
    assert (path.start_sd_m, path.sd_m) == pytest.approx((0.0117, 0.0447))
    pins = bar_path(LIFTS["push_press"], athlete(stature_mm=1800), raised=Length.cm(20))
    assert pins.start_m == pytest.approx(path.start_m + 0.20)


def test_a_clean_and_press_goes_from_the_floor_to_overhead():
    path = bar_path(LIFTS["axle_clean_press"], athlete(stature_mm=1700, sex=Sex.WOMAN))
    assert (path.start_m, path.end_m) == pytest.approx((0.225, 1.3233 * 1.7 - 0.1954))


@pytest.mark.parametrize("key", ["seated_pin_press", "floor_seated_press"])
def test_standing_heights_do_not_tell_a_seated_press(key):
    with pytest.raises(UnknownBarPathError, match="Tape Ines’s start and lockout"):
        bar_path(LIFTS[key], athlete(stature_mm=1800))


def test_a_squat_is_taped_or_refused():
    taped = athlete(squat_bottom=820, squat_top=1480)
    path = bar_path(LIFTS["box_squat"], taped)
    assert (path.start_m, path.end_m) == pytest.approx((0.82, 1.48))
    assert path.source == "squat taped"
    assert path.marks == (("depth", 0.82), ("lockout", 1.48))
    assert path.notes == ()
    assert bar_path(LIFTS["pin_squat"], taped).notes
    assert bar_path(LIFTS["box_squat"], taped, raised=Length.cm(5)).start_m == pytest.approx(0.87)
    for half in (athlete(squat_top=1480, stature_mm=1800), athlete(squat_bottom=820)):
        with pytest.raises(UnknownBarPathError, match="at the bottom and at the top of the squat"):
            bar_path(LIFTS["box_squat"], half)


def test_a_bench_is_taped_or_refused_and_boards_raise_only_the_bottom():
    taped = athlete(bench_bottom=700, bench_top=1120)
    path = bar_path(LIFTS["board_press"], taped, raised=Length.cm(5))
    assert (path.start_m, path.end_m) == pytest.approx((0.75, 1.12))
    assert path.marks[0][0] == "chest"
    with pytest.raises(UnknownBarPathError, match="top of the bench once"):
        bar_path(LIFTS["bench"], athlete(stature_mm=1800))


def test_only_a_lift_from_the_floor_has_a_deficit():
    taped = athlete(bench_bottom=700, bench_top=1120)
    with pytest.raises(UnknownBarPathError, match="cannot start 5 cm lower"):
        bar_path(LIFTS["bench"], taped, raised=Length.cm(-5))


def test_a_carry_has_no_bar_path():
    with pytest.raises(UnknownBarPathError, match="use straight weight"):
        bar_path(LIFTS["yoke"], athlete(stature_mm=1800))


def test_an_athlete_without_any_height_is_asked_for():
    with pytest.raises(UnknownBarPathError, match="tape the bar at pull lockout, or enter"):
        bar_path(LIFTS["deadlift"], athlete())


def test_a_height_is_derived_from_another_taped_one_where_stature_is_missing():
    # The regressions read backwards: rack 1477.0 mm is a man of 1800 mm, whose grip is 807.0.
    known = body_height(athlete(front_rack=1477), BodyHeight.PULL_LOCKOUT)
    assert known.height_m == pytest.approx(0.807, abs=1e-3)
    assert known.height_m * 1000 == pytest.approx(0.4929 * (1477 + 101.4) / 0.8769 - 80.1)
    assert known.sd_m == pytest.approx(((0.4929 * 11.7 / 0.8769) ** 2 + 22.2**2) ** 0.5 / 1000)
    assert "derived from the taped front rack" in known.source


def test_the_taped_height_that_tells_stature_best_is_used():
    known = body_height(athlete(overhead=2400, front_rack=1477), BodyHeight.PULL_LOCKOUT)
    assert "front rack" in known.source
    # A millimetre of grip tells 2.03 of stature, ± 45; a millimetre overhead 0.77, ± 34.
    known = body_height(athlete(pull_lockout=807, overhead=2190), BodyHeight.FRONT_RACK)
    assert "overhead" in known.source


def test_a_start_above_the_lockout_is_refused():
    with pytest.raises(UnknownBarPathError, match="start must be 0 or more and below the end"):
        bar_path(LIFTS["deadlift"], athlete(stature_mm=1800), raised=Length.cm(90))
    for start_m in (-0.1, 0.8):
        with pytest.raises(UnknownBarPathError, match="0 or more"):
            BarPath(start_m, 0.8, 0.01, "", ())
    assert BarPath(0.0, 0.8, 0.01, "", ()).rom_m == 0.8
    assert BarPath(0.2, 0.8, 0.01, "", ()).start_over_feet_m == 0.2  # soles on the floor


def test_a_tape_on_a_standing_person_is_read_to_half_a_centimetre():
    # Common practice, no source.
    assert body_height(athlete(pull_lockout=770), BodyHeight.PULL_LOCKOUT).sd_m == 0.005
    squat = bar_path(LIFTS["box_squat"], athlete(squat_bottom=820, squat_top=1480))
    assert (squat.start_sd_m, squat.sd_m) == (0.005, 0.005)


def test_every_lift_of_the_catalogue_has_a_path_or_a_sentence():
    body = athlete(
        stature_mm=1800, squat_bottom=820, squat_top=1480, bench_bottom=700, bench_top=1120
    )
    seen = set()
    for lift in LIFTS.values():
        seen.add(lift.bar_path)
        try:
            path = bar_path(lift, body)
        except UnknownBarPathError as refusal:
            assert lift.bar_path == BarPathKind.NONE or "seated" in str(refusal)  # noqa: PT017
            continue
        assert 0.1 < path.rom_m < 2.2
    assert seen == set(BarPathKind)
