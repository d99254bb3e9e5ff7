"""A band's page: the curve while it is typed, refusals at their row, keeping, inspection."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from floor_cast import ROW
from measure_cast import fit_out, reading

from heftwright.domain.mass import Mass
from heftwright.domain.stock import RigKind, Side
from heftwright.usecases import measuring

MONDAY = date(2026, 11, 23)
MOSS = f"/gym/{ROW}/stock/bands/moss"
ROWS = {
    "rig": "doubled", "length_1": "62", "up_1": "10.9", "down_1": "10.5",
    "length_2": "80", "up_2": "20.2", "length_3": "98", "up_3": "27",
}  # fmt: skip


@pytest.fixture(autouse=True)
def fitted(house):
    fit_out(MONDAY)


def moss():
    return measuring.get_band(gym=ROW, key="moss")


def words(answer) -> str:
    return answer.content.decode()


def test_a_band_shows_its_curve_its_limits_and_its_readings(head):
    page = words(head.get(f"/gym/{ROW}/stock/bands/slate/curve"))
    assert "3 lengths read" in page
    assert "never past 115 cm" in page  # 230 cm of loop, doubled
    assert "read 62 to 98 cm" in page
    assert "18.1<" in page


def test_what_is_being_typed_is_drawn_but_not_kept(head):
    page = words(head.get(f"{MOSS}/curve", ROWS))
    assert "3 lengths read" in page
    assert 'value="20.2"' in page
    assert moss().readings == ()


def test_a_falling_reading_is_refused_at_its_row(head):
    page = words(head.get(f"{MOSS}/curve", {**ROWS, "up_3": "18"}))
    said = page.partition('id="said-3"')[2].partition("</td>")[0]
    assert "never pulls less when it is longer" in said
    assert "2 lengths read" in page  # the sound ones are drawn


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"length_1": "6,2"}, "is it 6.2 or 62"),
        ({"length_1": ""}, "The length is missing"),
        ({"up_1": "10.9kg"}, "not a number that can be read safely"),
        ({"length_1": "120"}, "past its longest safe length"),
    ],
)
def test_a_row_that_cannot_be_read_says_why(head, typed, said):
    page = words(head.get(f"{MOSS}/curve", {**ROWS, **typed}))
    assert said in page.partition('id="said-1"')[2].partition("</td>")[0]


def test_readings_are_kept_together_and_can_be_taken_back(head):
    answer = head.post(f"{MOSS}/calibrate", ROWS, follow=True)
    assert "4 readings kept" in words(answer)
    assert len(moss().readings) == 4
    assert "/undo/" in words(answer)


def test_one_bad_row_keeps_none_and_loses_nothing_typed(head):
    answer = head.post(f"{MOSS}/calibrate", {**ROWS, "up_3": "18"})
    assert answer.status_code == 422
    assert "Nothing was kept" in words(answer)
    assert 'value="18"' in words(answer)
    assert moss().readings == ()


def test_an_empty_sheet_is_not_kept(head):
    answer = head.post(f"{MOSS}/calibrate", {"rig": "choked"})
    assert answer.status_code == 422
    assert "No reading yet" in words(answer)


def test_a_stale_page_keeps_what_was_typed(head):
    answer = head.post(f"{MOSS}/calibrate", {**ROWS, "was_seen": "not-what-stands"})
    assert answer.status_code == 412
    assert 'value="20.2"' in words(answer)


def test_a_floor_scale_counts_half_of_what_two_bands_add(head):
    typed = {
        "method": "scale", "rig": "doubled", "tare": "42", "length_1": "80", "up_1": "82.4",
    }  # fmt: skip
    head.post(f"{MOSS}/calibrate", typed)
    (kept,) = moss().readings
    assert kept.force == Mass.kg("20.2")
    assert kept.side is Side.BOTH


def test_bands_from_above_lighten_the_floor_scale(head):
    typed = {
        "method": "scale", "rig": "from_above", "tare": "42", "length_1": "150", "up_1": "22",
    }  # fmt: skip
    head.post(f"{MOSS}/calibrate", typed)
    (kept,) = moss().readings
    assert kept.force == Mass.kg(10)
    assert kept.rig is RigKind.FROM_ABOVE


def test_a_scale_that_shows_less_with_bands_than_without_is_refused(head):
    typed = {"method": "scale", "rig": "doubled", "tare": "42", "length_1": "80", "up_1": "40"}
    page = words(head.get(f"{MOSS}/curve", typed))
    assert "weigh bar and boxes again" in page


def test_a_floor_scale_needs_its_empty_figure_first(head):
    typed = {"method": "scale", "rig": "doubled", "length_1": "80", "up_1": "82"}
    answer = head.post(f"{MOSS}/calibrate", typed)
    assert answer.status_code == 422
    said = words(answer).partition('id="said-tare"')[2].partition("</div>")[0]
    assert "what the floor scale shows with bar and boxes, no bands" in said  # at its field
    assert moss().readings == ()


def test_after_the_left_band_the_page_asks_for_the_right_one(head):
    answer = head.post(f"{MOSS}/calibrate", {**ROWS, "side": "left"}, follow=True)
    page = words(answer)
    assert "Now read the right one the same way" in page
    assert '<option value="right" selected>' in page


def test_left_and_right_that_differ_warn(head):
    head.post(f"{MOSS}/calibrate", {**ROWS, "side": "left"})
    weaker = {**ROWS, "side": "right", "up_1": "9", "down_1": "", "up_2": "17", "up_3": "22.5"}
    page = words(head.post(f"{MOSS}/calibrate", weaker, follow=True))
    assert "the bar will be pulled to one side" in page


def test_an_older_calibration_shows_its_drift(head):
    from dataclasses import replace

    from floor_cast import TERMINAL

    from heftwright.usecases import stock as stocks

    old = MONDAY - timedelta(days=200)
    slate = measuring.get_band(gym=ROW, key="slate")
    before = tuple(
        reading(cm, kg, old, rig=RigKind.DOUBLED) for cm, kg in ((62, 8), (80, 15), (98, 20))
    )
    stocks.change_item(
        gym=ROW, by=TERMINAL, item=replace(slate, readings=(*before, *slate.readings))
    )
    page = words(head.get(f"/gym/{ROW}/stock/bands/slate/curve"))
    assert "since then" in page
    assert "less than on 2026-05-07" in page


def test_the_bar_that_tips_off_its_boxes_is_warned_of_before_the_bands_go_on(head):
    page = words(head.get(f"{MOSS}/curve", {"method": "scale"}))
    assert page.index("tips the bar off its boxes") < page.index("Hook a band on both ends")
    assert "tips the bar" not in words(head.get(f"{MOSS}/curve", {"method": "hang"}))


def test_cautions_for_tension_stand_before_the_readings(head):
    page = words(head.get(f"{MOSS}/curve"))
    assert page.index("never let go of a stretched band") < page.index("length_1")


def test_a_worn_band_is_retired_and_a_sound_one_inspected(head):
    head.post(f"{MOSS}/inspected", {"found": "sound"})
    assert moss().inspected_on == MONDAY
    page = words(head.post(f"{MOSS}/inspected", {"found": "worn"}, follow=True))
    assert moss().retire_on == MONDAY
    assert "do not use it" in page


def test_an_inspection_without_a_finding_is_not_noted(head):
    assert head.post(f"{MOSS}/inspected", {"found": "perhaps"}).status_code == 422
    assert moss().inspected_on is None


def test_an_assistant_sees_the_curve_but_no_form(assistant):
    page = words(assistant.get(f"/gym/{ROW}/stock/bands/slate/curve"))
    assert "What it pulls" in page
    assert "Keep these readings" not in page
    assert "retire it" not in page


def test_words_out_of_an_address_choose_nothing_strange(head):
    page = head.get(f"{MOSS}/curve", {"rig": "<b>", "method": "x", "side": "?", "mass_unit": "st"})
    assert page.status_code == 200
    assert "<b>" not in words(page)


def test_a_length_without_a_pull_is_asked_for_and_not_dropped(head):
    answer = head.post(f"{MOSS}/calibrate", {**ROWS, "length_4": "90"})
    assert answer.status_code == 422
    assert "reading 4 has a length but no figure of the scale" in words(answer)
    assert 'value="90"' in words(answer)
    assert moss().readings == ()


def test_lengths_are_counted_in_the_rig_that_is_looked_at(head):
    head.post(f"{MOSS}/calibrate", ROWS)
    choked = {"rig": "choked", "length_1": "124", "up_1": "5.4", "length_2": "160", "up_2": "10"}
    page = words(head.get(f"{MOSS}/curve", choked))
    assert "2 lengths read" in page
    assert "two lengths: a power law" in page.lower()


def test_a_retired_band_offers_no_other_finding(head):
    head.post(f"{MOSS}/inspected", {"found": "worn"})
    page = words(head.get(f"{MOSS}/curve"))
    assert "Looked at it now" not in page
    assert "cut it through" in page


def test_the_table_gives_no_sure_word_where_no_load_is_given(head):
    page = words(head.get(f"/gym/{ROW}/stock/bands/slate/curve"))
    table = page.partition("The same as a table")[2].partition("</table>")[0]
    assert table.count("no load is given") >= 1
    assert "between readings" in table
