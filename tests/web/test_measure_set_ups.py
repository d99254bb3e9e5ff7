"""Choosing a set-up: ranked rigs, the meaning of a share, changes tried, refusals shown."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from floor_cast import CLASS_KEY, ROW, TERMINAL
from measure_cast import fit_out

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.usecases import stock as stocks

MONDAY = date(2026, 11, 23)
PAGE = f"/gym/{ROW}/set-up/"


@pytest.fixture(autouse=True)
def fitted(house):
    fit_out(MONDAY)


def page_of(client, **asked) -> str:
    answer = client.get(PAGE, {"athlete": "a7", **asked})
    assert answer.status_code == 200
    return answer.content.decode()


def on_bar(page: str) -> str:
    return page.partition('id="on-bar"')[2]


def test_the_best_rig_stands_first_with_its_bar_and_chart(assistant):
    page = page_of(assistant)
    assert page.index("Coal band pair, doubled, pegs at 4 cm") < page.index("Slate band × 2 pairs")
    assert "fits" in page
    assert "pic-rope" in on_bar(page)
    assert "pic-sleeve" in on_bar(page)


def test_the_five_meanings_are_explained_with_this_athletes_figures(assistant):
    page = page_of(assistant)
    table = page.partition("written in five ways")[2].partition("</table>")[0]
    for words in ("on top of the bar load", "inside the written load", "share of the whole load"):
        assert words in table.lower()
    assert "chosen" in table


def test_a_share_inside_the_written_load_leaves_less_for_the_bar(assistant):
    page = page_of(assistant, meaning="max_inside", load="80")
    head = page.partition('id="wanted-title"')[2].partition("</h2>")[0]
    assert "109.9<" in head  # (0.80 − 0.25) × 199.8 kg
    assert "read as the" in page


def test_other_pegs_change_the_load_and_say_by_how_much(assistant):
    page = on_bar(page_of(assistant, peg="20"))
    assert "Against the rig as chosen: -" in page
    assert "outside" in page


def test_bands_before_chains_only_when_asked(assistant):
    assert "Links pair" not in page_of(assistant)
    chains = page_of(assistant, kinds="chains", share="8")
    assert "Links" in chains
    assert "of chains" in chains


def test_the_caution_stands_where_the_bands_go_on(assistant):
    assert "never let go of a stretched band" in on_bar(page_of(assistant))


def test_chains_have_their_own_caution_and_bands_none_where_there_are_none(assistant):
    bar = on_bar(page_of(assistant, kinds="chains", share="8"))
    assert "two people hang them" in bar
    assert "stretched band" not in bar
    answer = assistant.get(f"{PAGE}class", {"kinds": "both"}).content.decode()
    assert "two people hang them" in answer
    assert "stretched band" in answer


def test_a_bands_limit_is_a_refusal_with_its_reason(assistant):
    coal = next(b for b in stocks.get_stock(gym=ROW).bands if b.key == "coal")
    short = replace(coal, safe_length=Length.cm(190))
    stocks.change_item(gym=ROW, by=TERMINAL, item=short)
    page = page_of(assistant)
    assert "refused" in page
    assert "past its limit of 190 cm" in page


def test_the_bars_rating_is_a_refusal(assistant):
    bar = replace(stocks.get_stock(gym=ROW).bars[0], rating=Mass.kg(140))
    stocks.change_item(gym=ROW, by=TERMINAL, item=bar)
    assert "rated for 140 kg; the whole load comes to" in on_bar(page_of(assistant))


def test_a_rating_is_no_refusal_below_it(assistant):
    bar = replace(stocks.get_stock(gym=ROW).bars[0], rating=Mass.kg(400))
    stocks.change_item(gym=ROW, by=TERMINAL, item=bar)
    assert "refusal" not in on_bar(page_of(assistant))


def test_no_bands_tonight_has_an_answer(assistant):
    assert "as heavy on average" in on_bar(page_of(assistant))


def test_a_missing_height_leads_to_the_tape(assistant):
    page = page_of(assistant, lift="box_squat")
    assert "tape the bar" in page
    assert f"/gym/{ROW}/squad/a7/tape" in page


def test_a_derived_height_says_what_it_carries(assistant):
    answer = assistant.get(PAGE, {"athlete": "a9"})
    assert "The top is not taped: it carries ±" in answer.content.decode()


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"load": "5,0"}, "is it 5.0 or 50"),
        ({"share": "120"}, "100 % at most"),
        ({"load": "151"}, "150 % at most"),
        ({"meaning": "whatever"}, "not one of the choices"),
        ({"athlete": "zed"}, "not one of the choices"),
    ],
)
def test_a_wish_that_cannot_be_read_says_why(assistant, asked, said):
    page = page_of(assistant, **asked)
    assert said in page
    assert 'id="on-bar"' not in page


@pytest.mark.parametrize("asked", [
    {"rig": "gone:choked:1+1"}, {"bar": "gone"}, {"raised": "x", "raised_unit": "cm"},
    {"bar_load": "5", "bar_load_unit": "kg"}, {"raised": "90", "raised_unit": "cm"},
])  # fmt: skip
def test_changes_that_make_no_sense_are_answered_not_broken(assistant, asked):
    page_of(assistant, **asked)


def test_a_load_below_the_empty_bar_is_refused_in_words(assistant):
    page = page_of(assistant, bar_load="5", bar_load_unit="kg")
    assert "use a lighter bar" in page


def test_a_class_sees_whom_each_rig_suits(assistant):
    page = assistant.get(f"{PAGE}class", {"class": CLASS_KEY}).content.decode()
    assert "Rigs that suit most" in page
    assert page.index("never let go of a stretched band") < page.index("suits ")
    assert "Tove" in page


def test_a_class_without_the_height_says_whom_to_tape(assistant):
    page = assistant.get(f"{PAGE}class", {"class": CLASS_KEY, "lift": "bench"}).content.decode()
    assert "tape the bar" in page
    assert "/squad/a7/tape" in page


def test_an_empty_gym_says_what_to_add_first(stranger):
    assert "Nobody is in the squad yet" in stranger.get("/gym/far-shed/set-up/").content.decode()
    page = stranger.get("/gym/far-shed/set-up/class").content.decode()
    assert "No class in the timetable yet" in page


def test_weighed_plates_change_the_truth_of_what_is_printed(assistant):
    assert "By what is printed" not in page_of(assistant, bar_load="115", bar_load_unit="kg")
    for plate in stocks.get_stock(gym=ROW).plates:
        light = replace(plate, mass=plate.mass - Mass.kg("0.05"), nominal=plate.mass)
        stocks.change_item(gym=ROW, by=TERMINAL, item=light)
    page = on_bar(page_of(assistant, bar_load="115", bar_load_unit="kg"))
    told = " ".join(page.partition("By what is printed")[2].partition("</dd>")[0].split())
    assert "115" in told  # 25 + 2 × (25 + 20); really 4 × 50 g less
    assert "the weighed mass counts" in told
    assert "114.8<" in page


def test_plates_in_pounds_and_kilograms_mix_on_one_bar_exactly(assistant):
    gear = stocks.get_stock(gym=ROW)
    pounds = [
        replace(plate, mass=Mass.lb(45)) for plate in gear.plates if plate.mass == Mass.kg(20)
    ]
    for plate in pounds:
        stocks.change_item(gym=ROW, by=TERMINAL, item=plate)
    page = on_bar(page_of(assistant, bar_load="66", bar_load_unit="kg"))
    # 20 + 2 × 2.5 + 2 × 45 lb (NIST SP 811: 20.41165665 kg each) = 65.8233 kg
    assert "65.82<" in page
