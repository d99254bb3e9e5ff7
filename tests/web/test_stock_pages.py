"""The stock's pages: every kind is entered, changed, taken out and brought back."""

import pytest
from floor_cast import ROW

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.usecases import stock

URL = f"/gym/{ROW}/stock/"
KG = {"mass_unit": "kg"}
NEW = {
    "bars": {"key": "bar-1", "name": "Bar 1", "implement": "straight_bar", "mass": "20.1",
             "collar": "2.5", "collar_unit": "kg", "sleeve": "41.5", "sleeve_unit": "cm",
             "count": "2", **KG},
    "plates": {"key": "p20", "mass": "20", "pairs": "4", "colour": "#1f4fa3", **KG},
    "bands": {"key": "slate", "name": "Slate", "pairs": "2", "rest_length": "104",
              "rest_length_unit": "cm"},
    "chains": {"key": "heavy", "name": "Heavy", "pairs": "2", "mass_per_m": "5.1",
               "mass_per_m_unit": "kg", "length": "1.5", "length_unit": "m"},
    "blocks": {"key": "ten", "height": "10", "height_unit": "cm", "pairs": "3"},
    "implements": {"key": "yoke", "name": "Yoke", "implement": "yoke", "count": "1"},
    "platforms": {"key": "A", "has_rack": "yes", "peg_1": "5", "peg_1_unit": "cm",
                  "peg_2": "20", "peg_2_unit": "cm"},
}  # fmt: skip


@pytest.mark.parametrize("kind", NEW)
def test_every_kind_is_entered_and_stands_in_the_list(head, house, kind):
    assert head.post(f"{URL}{kind}/new", NEW[kind]).status_code == 302
    assert head.get(f"{URL}{kind}/{NEW[kind]['key']}/").status_code == 200
    assert NEW[kind].get("name", "") in head.get(URL).content.decode()


@pytest.mark.parametrize("kind", NEW)
def test_what_is_taken_out_can_be_brought_back(head, house, kind):
    head.post(f"{URL}{kind}/new", NEW[kind])
    page = head.post(f"{URL}{kind}/{NEW[kind]['key']}/remove", follow=True).content.decode()
    before = stock.get_stock(gym=ROW)
    undo = page.split("/undo/")[1].split('"')[0]
    head.post(f"/gym/{ROW}/undo/{undo}")
    assert stock.get_stock(gym=ROW) != before


def test_a_bar_keeps_what_was_weighed_to_the_gram(head, house):
    head.post(f"{URL}bars/new", NEW["bars"])
    (bar,) = stock.get_stock(gym=ROW).bars
    assert (bar.mass, bar.collar, bar.count) == (Mass.kg("20.1"), Mass.kg("2.5"), 2)
    assert bar.sleeve == Length.cm("41.5")


def test_a_bar_without_a_said_collar_counts_none(head, house):
    head.post(f"{URL}bars/new", NEW["bars"] | {"collar": ""})
    assert stock.get_stock(gym=ROW).bars[0].collar == Mass(0)


def test_an_implement_never_weighed_says_so(head, house):
    head.post(f"{URL}implements/new", NEW["implements"])
    assert "never weighed" in head.get(URL).content.decode()


def test_a_band_needs_readings_at_three_lengths(head, house):
    head.post(f"{URL}bands/new", NEW["bands"])
    assert "not measured" in head.get(URL).content.decode()
    for length, force in (("110", "5"), ("130", "14"), ("150", "21")):
        head.post(
            f"{URL}bands/slate/readings",
            {"length": length, "length_unit": "cm", "force": force, "force_unit": "kg",
             "side": "both", "direction": "up", "rig": "choked"},
        )  # fmt: skip
    assert "measured, 3 readings" in head.get(URL).content.decode()


def test_changing_a_band_keeps_its_readings(head, house):
    head.post(f"{URL}bands/new", NEW["bands"])
    reading = {"length": "60", "length_unit": "cm", "force": "9", "force_unit": "kg",
               "side": "left", "direction": "down", "rig": "doubled"}  # fmt: skip
    head.post(f"{URL}bands/slate/readings", reading)
    head.post(f"{URL}bands/slate/", NEW["bands"] | {"pairs": "5"})
    (band,) = stock.get_stock(gym=ROW).bands
    assert (band.pairs, len(band.readings)) == (5, 1)


def test_a_reading_past_the_safe_length_is_refused_and_stays_typed(head, house):
    head.post(f"{URL}bands/new", NEW["bands"])
    reading = {"length": "2.6", "length_unit": "m", "force": "50", "force_unit": "kg",
               "side": "left", "direction": "up", "rig": "choked"}  # fmt: skip
    answer = head.post(f"{URL}bands/slate/readings", reading)
    assert answer.status_code == 422
    assert "past its longest safe length" in answer.content.decode()
    assert 'value="2.6"' in answer.content.decode()
    assert stock.get_stock(gym=ROW).bands[0].readings == ()


def test_a_mass_of_nothing_is_refused_with_its_reason(head, house):
    answer = head.post(f"{URL}bars/new", NEW["bars"] | {"mass": "0"})
    assert answer.status_code == 422
    assert "weigh it" in answer.content.decode()


def test_a_kind_that_does_not_exist_is_not_there(head, house):
    assert head.get(f"{URL}swords/new").status_code == 404
