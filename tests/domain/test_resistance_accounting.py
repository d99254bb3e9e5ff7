"""A share of bands says what it is a share of: the accounts in print, and between them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from resistance_gear import published

from heftwright.domain.resistance.accounting import (
    DEFAULT_MEANING,
    BandedLoad,
    ShareError,
    TopShareMeaning,
    accounts_of,
    ask_meaning,
    bar_for_rig,
    take_apart,
)

meanings = st.sampled_from(TopShareMeaning)


@pytest.mark.parametrize("row", published("resist_accounts.csv"), ids=lambda row: row["id"])
def test_the_accounts_in_print_give_their_own_numbers(row):
    # checks.md A: D1 (Stevenson 2010), D3 (Joy 2016); B: D1 (Nijem 2016), D2 (Galpin 2015),
    # D5 (Joy 2016); the 50 and 60 % rows are common practice, no source.
    account = take_apart(
        float(row["max_kg"]),
        float(row["load_ratio"]),
        float(row["share_ratio"]),
        TopShareMeaning(row["meaning"]),
    )
    found = (account.bar_kg, account.band_kg, account.total_kg)
    expected = tuple(float(row[name]) for name in ("bar_kg", "band_kg", "total_kg"))
    assert found == pytest.approx(expected, abs=max(float(row["tolerance_kg"]), 1e-9))


def test_additive_30_percent_of_the_max_on_140_is_200_not_182():
    # checks.md D5: accounting of Joy 2016; 182 is what 30 % of the bar load would give.
    assert take_apart(200, 0.70, 0.30).total_kg == pytest.approx(200)
    of_bar = take_apart(200, 0.70, 0.30, TopShareMeaning.BAR_LOAD)
    assert of_bar.total_kg == pytest.approx(182)


def test_inside_the_written_load_the_bands_come_off_the_bar():
    account = take_apart(200, 0.80, 0.25, TopShareMeaning.MAX_INSIDE)
    assert (account.bar_kg, account.band_kg, account.total_kg) == pytest.approx((110, 50, 160))


def test_a_60_kg_band_on_a_270_kg_max_is_22_2_percent():
    # Common practice, no source: 25 % of 270 kg is 67.5 kg and a 60 kg band is close enough.
    load = BandedLoad(max_kg=270, bar_kg=135, band_top_kg=60, band_mean_kg=40)
    assert load.share_ratio(DEFAULT_MEANING) == pytest.approx(0.222, abs=5e-4)


def test_the_house_default_is_a_share_of_the_max_at_the_top_on_top_of_the_bar():
    assert DEFAULT_MEANING == TopShareMeaning.MAX_ADDED
    assert DEFAULT_MEANING.load_is_bar
    assert not DEFAULT_MEANING.is_on_average


def test_one_load_is_written_in_five_ways():
    load = BandedLoad(max_kg=200, bar_kg=110, band_top_kg=40, band_mean_kg=22)
    written = {
        m.value: (round(load.load_ratio(m), 4), round(load.share_ratio(m), 4))
        for m in TopShareMeaning
    }
    assert written == {
        "max_added": (0.55, 0.2),
        "max_inside": (0.75, 0.2),
        "total_at_top": (0.75, 0.2667),
        "total_on_average": (0.66, 0.1667),
        "bar_load": (0.55, 0.3636),
    }


@given(meanings, st.floats(50, 400), st.floats(0.05, 1.0), st.floats(0.0, 0.5), st.floats(0.3, 1.0))
def test_what_is_written_under_any_account_is_read_back(meaning, max_kg, bar, top, mean_of_top):
    load = BandedLoad(max_kg, bar * max_kg, top * max_kg, mean_of_top * top * max_kg)
    ratio, share = load.load_ratio(meaning), load.share_ratio(meaning)
    rig = (load.band_top_kg, load.band_mean_kg)
    if ratio <= 1.5 and share <= 1:
        account = take_apart(max_kg, ratio, share, meaning)
        assert account.bar_kg == pytest.approx(load.bar_kg, abs=1e-6)
        expected = load.band_mean_kg if meaning.is_on_average else load.band_top_kg
        assert account.band_kg == pytest.approx(expected, abs=1e-6)
    assert bar_for_rig(max_kg, ratio, *rig, meaning) == pytest.approx(load.bar_kg, abs=1e-6)


def test_the_bar_for_a_rig_in_hand_depends_on_the_account():
    bars = [bar_for_rig(200, 0.75, 40, 22, meaning) for meaning in TopShareMeaning]
    assert bars == pytest.approx([150, 110, 110, 128, 150])
    assert bar_for_rig(200, 0.75, 40, 22) == 150


def test_bands_heavier_than_the_written_load_leave_no_bar():
    with pytest.raises(ShareError, match=r"30\.0 kg more than the written load"):
        bar_for_rig(200, 0.1, 50, 40, TopShareMeaning.MAX_INSIDE)
    with pytest.raises(ShareError, match="use lighter bands or another account"):
        take_apart(200, 0.2, 0.5, TopShareMeaning.MAX_INSIDE)


@pytest.mark.parametrize(
    "numbers",
    [
        (0, 0.5, 0.2),
        (200, -0.1, 0.2),
        (200, 1.6, 0.2),
        (200, 0.5, -0.1),
        (200, 0.5, 1.1),
        (200, 55, 0.2),
        (200, 0.5, 25),
        (float("nan"), 0.5, 0.2),
    ],
)
def test_a_percentage_written_as_a_whole_number_or_below_0_is_refused(numbers):
    with pytest.raises(ShareError, match=r"the load 0–1\.5 of it and the share 0–1"):
        take_apart(*numbers)


def test_the_ends_of_the_ranges_are_allowed():
    assert take_apart(200, 1.5, 0).bar_kg == 300
    assert take_apart(0.5, 0.5, 0).bar_kg == 0.25
    assert take_apart(200, 0, 1).band_kg == 200
    assert take_apart(200, 0.5, 1, TopShareMeaning.TOTAL_AT_TOP).bar_kg == 0


@pytest.mark.parametrize(
    ("numbers", "match"),
    [
        ((0, 100, 20, 10), "max above 0"),
        ((200, -1, 20, 10), "bar of 0 kg or more"),
        ((200, 20, -30, -20), "whole load must be above 0"),
        ((200, 20, -30, 10), "whole load must be above 0"),
        ((200, 0, 0, 0), "whole load must be above 0"),
    ],
)
def test_a_load_without_shares_is_refused(numbers, match):
    with pytest.raises(ShareError, match=match):
        BandedLoad(*numbers)


def test_the_least_max_and_bar_that_have_shares():
    load = BandedLoad(max_kg=0.5, bar_kg=0.25, band_top_kg=0.1, band_mean_kg=0.05)
    assert load.share_ratio(DEFAULT_MEANING) == pytest.approx(0.2)


def test_an_empty_bar_has_no_share():
    with pytest.raises(ShareError, match="bar of 0 kg has no share"):
        BandedLoad(200, 0, 40, 20).share_ratio(TopShareMeaning.BAR_LOAD)


def test_what_is_written_has_as_many_accounts_as_leave_a_bar():
    # 75 % and 25 % of a 200 kg max by the accounts in print (Joy 2016; Nijem 2016; Stevenson 2010).
    found = {one.meaning: (one.bar_kg, one.band_kg) for one in accounts_of(200, 0.75, 0.25)}
    assert list(found) == list(TopShareMeaning)
    assert list(found.values()) == [(150, 50), (100, 50), (112.5, 37.5), (112.5, 37.5), (150, 37.5)]
    light = [one.meaning for one in accounts_of(200, 0.3, 0.4)]
    assert light == [m for m in TopShareMeaning if m is not TopShareMeaning.MAX_INSIDE]


def test_an_import_that_does_not_say_gets_a_question_with_every_answer():
    question = ask_meaning(200, 0.55, 0.2)
    assert question.startswith("“20% bands” with 55%: which is meant?")
    assert "110.0 kg on the bar and 40.0 kg of bands at the top" in question
    assert "88.0 kg on the bar and 22.0 kg of bands on average" in question
    assert all(meaning.shown in question for meaning in TopShareMeaning)


def test_an_answer_that_leaves_no_bar_is_not_offered():
    assert TopShareMeaning.MAX_INSIDE.shown not in ask_meaning(200, 0.3, 0.4)
