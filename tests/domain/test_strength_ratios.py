"""Prior lift ratios carry their source, and the published ones are as printed (checks.md X)."""

import copy
import json
import math
from importlib import resources

import pytest
from strength_published import PUBLISHED

from heftwright.domain.catalogue import LiftKey, load_catalogue
from heftwright.domain.squad import Sex
from heftwright.domain.strength import ratios as ratios_module
from heftwright.domain.strength.ratios import (
    COMMON_PRACTICE,
    RatioDataError,
    load_ratios,
    read_ratios,
)

TABLE = load_ratios()


@pytest.fixture
def document():
    text = resources.files(ratios_module.__package__).joinpath("ratios.json").read_text("utf-8")
    return copy.deepcopy(json.loads(text))


def test_hex_bar_over_straight_bar():
    # checks.md X1: Swinton et al. 2011.
    row = PUBLISHED["X1"]
    ratio = TABLE.ratios[LiftKey("hex_deadlift")].ratio
    assert ratio == pytest.approx(row.expected, abs=row.tolerance)


def test_a_pull_from_above_the_patella_over_the_floor():
    # checks.md X3: Gillingham et al. 2023.
    row = PUBLISHED["X3"]
    found = TABLE.ratios[LiftKey("high_deadlift")]
    assert found.ratio == pytest.approx(row.expected, abs=row.tolerance)
    assert "2.5 cm above the patella" in found.source


def test_thick_bars_double_overhand():
    # checks.md X4: Ratamess et al. 2007; the axle's own prior says mixed grip or straps.
    row = PUBLISHED["X4"]
    found = [r.ratio for r in TABLE.published if "Ratamess" in r.source]
    assert found == pytest.approx(row.expected, abs=row.tolerance)
    assert "0.717" in TABLE.ratios[LiftKey("axle_deadlift")].note


def test_strict_press_over_split_jerk():
    # checks.md X6: Soriano et al. 2021.
    row = PUBLISHED["X6"]
    found = [r.ratio for r in TABLE.published if "Soriano" in r.source]
    assert found == [pytest.approx(row.expected, abs=row.tolerance)]


def test_incline_over_bench_by_sex():
    # checks.md X8: Garcia-Ramos et al. 2019.
    row = PUBLISHED["X8"]
    incline = TABLE.ratios[LiftKey("incline")]
    found = [incline.for_sex(sex) for sex in (Sex.MAN, Sex.WOMAN)]
    assert found == pytest.approx(row.expected, abs=row.tolerance)


def test_every_ratio_without_a_source_says_so_and_is_unverified():
    # checks.md X9.
    for row in (*TABLE.ratios.values(), *TABLE.published):
        assert row.verified == (row.source != COMMON_PRACTICE)
        assert row.source in row.words
        if not row.verified:
            assert "unverified" in row.words


def test_a_published_ratio_shows_source_n_and_sex():
    # checks.md X9.
    assert TABLE.ratios[LiftKey("hex_deadlift")].words == (
        "ratio 1.0816 to deadlift (Swinton et al. 2011; n = 19; men)"
    )
    assert "n not recorded" in TABLE.ratios[LiftKey("incline")].words


def test_every_lift_on_a_bar_has_a_ratio_and_every_ratio_a_lift():
    catalogue = load_catalogue()
    known = {LiftKey("deadlift"), *TABLE.ratios, *TABLE.same_max_as}
    on_a_bar = {key for key, lift in catalogue.items() if lift.bar_path.value != "none"}
    assert on_a_bar <= known
    assert known <= set(catalogue)


def test_ratios_multiply_along_the_chain_to_the_root():
    level = TABLE.log_level(LiftKey("safety_bar_box_squat"), Sex.MAN)
    assert math.exp(level) == pytest.approx(TABLE.root_kg * 0.87 * 0.93 * 0.90)
    assert math.exp(TABLE.log_level(TABLE.root, Sex.MAN)) == pytest.approx(TABLE.root_kg)


def test_a_lift_that_nobody_listed_is_an_open_guess_with_a_wide_doubt():
    row = TABLE.ratio_of(LiftKey("new_lift"))
    assert "guess" in row.words
    assert "unverified" in row.words
    assert row.log_sd >= 0.3


def test_ratios_that_run_in_a_circle_are_refused(document):
    document["ratios"][:] = [
        {"lift": "bench", "of": "incline", "ratio": 1.1},
        {"lift": "incline", "of": "bench", "ratio": 0.9},
    ]
    with pytest.raises(RatioDataError, match="in a circle"):
        read_ratios(document)


def test_two_rows_about_one_lift_are_refused(document):
    document["ratios"].append(document["ratios"][0])
    with pytest.raises(RatioDataError, match="keep one"):
        read_ratios(document)


@pytest.mark.parametrize("ratio", [0.05, 4.0])
def test_a_ratio_nobody_has_is_refused(document, ratio):
    document["ratios"][0]["ratio"] = ratio
    with pytest.raises(RatioDataError, match=r"must be 0\.1–3"):
        read_ratios(document)
