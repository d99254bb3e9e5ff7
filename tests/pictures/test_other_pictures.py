"""The floor from above, strain against habit, and what a percent is worth."""

from datetime import date
from xml.etree import ElementTree

import pytest
from picture_samples import COLOURS, sleeve

from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet import LifterLine, PlatformSheet
from heftwright.domain.squad import AthleteId
from heftwright.pictures.floor_plan import floor_plan_svg, floor_plan_table
from heftwright.pictures.season_words import day_words
from heftwright.pictures.strain_lines import (
    StrainLine,
    StrainLineError,
    strain_lines_svg,
    strain_lines_table,
)
from heftwright.pictures.worth_bars import (
    WorthBar,
    WorthBarError,
    worth_bars_svg,
    worth_bars_table,
)

SVG = "{http://www.w3.org/2000/svg}"
WEEKS = ("4 Jan", "11 Jan", "18 Jan", "25 Jan")
BACK = StrainLine(
    "Lower back", (10.0, None, 12.0, 19.0), (None, (9, 13), (9, 13), (9, 14)), "well above habit"
)


def lifter(number, name, load, change):
    return LifterLine(
        AthleteId(name), number, name, "Box squat", Scheme(8, 2), Mass.kg(load), MassUnit.KG,
        change, "", 0, 0, 0, 55, 55, "", is_estimated=False, is_minor=False, reasons=(),
    )  # fmt: skip


def floor(*names):
    lifters = tuple(
        lifter(7 + at, name, "100", sleeve("25 15", off="5", on="15"))
        for at, name in enumerate(names)
    )
    return PlatformSheet("P1", "Barbell 20", "two red bands", lifters, 240, 38.4, 12)


def words_on(svg):
    return [t.text for t in ElementTree.fromstring(svg).iter(SVG + "text")]


def shapes(svg, name):
    return list(ElementTree.fromstring(svg).iter(SVG + name))


def test_the_floor_shows_turn_number_name_load_and_the_next_change():
    words = words_on(floor_plan_svg((floor("Ida", "Bo"),), id_prefix="f"))
    assert words == [
        "P1", "two red bands", "1.", "7 Ida", "100 kg", "2.", "8 Bo", "100 kg",
        "then off 5 → on 15 kg a side",
    ]  # fmt: skip


def test_the_plates_of_whose_turn_it_is_lie_on_both_ends_of_the_bar():
    svg = floor_plan_svg((floor("Ida", "Bo"),), id_prefix="f")
    assert sum(box.get("fill") == COLOURS["25"][0] for box in shapes(svg, "rect")) == 2


def test_whose_turn_it_is_stands_on_a_filled_bar():
    first, second = (
        floor_plan_svg((floor("Ida", "Bo"),), id_prefix="f", now=(turn,)) for turn in (0, 1)
    )
    assert first != second
    assert len(shapes(first, "rect")) == len(shapes(second, "rect"))


def test_an_empty_platform_says_so():
    assert "nobody here" in words_on(floor_plan_svg((floor(),), id_prefix="f"))
    assert floor_plan_table((floor(),)).rows[0][2] == "nobody"


def test_the_floor_in_a_table():
    assert floor_plan_table((floor("Ida", "Bo"),)).rows == (
        ("P1", "Barbell 20, two red bands", "7 Ida, 8 Bo", "38 min"),
    )


def test_a_week_outside_the_habit_has_another_shape_not_only_another_colour():
    svg = strain_lines_svg((BACK,), weeks=WEEKS, id_prefix="s")
    assert len(shapes(svg, "circle")) == 2  # 10 before any habit, 12 inside
    squares = [box for box in shapes(svg, "rect") if box.get("width") == "10"]
    assert len(squares) == 1


def test_a_week_without_a_log_is_a_gap_not_a_nought():
    table = strain_lines_table((BACK,), weeks=WEEKS)
    assert table.rows == (
        ("Lower back", "10.0", "not logged", "12.0", "19.0", "9.0–14.0, well above habit"),
    )
    svg = strain_lines_svg((BACK,), weeks=WEEKS, id_prefix="s")
    line = [p for p in shapes(svg, "path") if p.get("stroke-width") == "2"]
    assert line[0].get("d").count("M") == 1  # only the last two weeks are joined


def test_a_habit_not_known_yet_is_said():
    young = StrainLine("Shoulders", (3.0,), (None,))
    assert strain_lines_table((young,), weeks=("4 Jan",)).rows[0][-1] == "not known yet"


def test_strain_of_other_weeks_than_named_is_refused():
    with pytest.raises(StrainLineError, match="4 weeks were given, but 2 are named"):
        strain_lines_svg((BACK,), weeks=WEEKS[:2], id_prefix="s")


@pytest.mark.parametrize(
    ("values", "habit", "words"),
    [((1.0,), (), "as many weeks of habit"), ((-1.0,), (None,), "must be 0 or more"),
     ((float("nan"),), (None,), "must be 0 or more")],
)  # fmt: skip
def test_strain_that_cannot_be_is_refused(values, habit, words):
    with pytest.raises(StrainLineError, match=words):
        StrainLine("Lower back", values, habit)


def test_the_event_with_the_most_to_win_stands_first():
    bars = (WorthBar("Stones", 0.1, 0, 0.2), WorthBar("Yoke", 0.6, 0.3, 0.9))
    assert worth_bars_table(bars).rows[0] == ("Yoke", "0.60 points", "0.30 to 0.90 points")
    assert words_on(worth_bars_svg(bars, id_prefix="w"))[-4:] == [
        "Yoke", "0.60 points", "Stones", "0.10 points",
    ]  # fmt: skip


def test_no_events_are_no_bars():
    assert worth_bars_table(()).rows == ()
    assert words_on(worth_bars_svg((), id_prefix="w"))


@pytest.mark.parametrize("numbers", [(0.1, 0.2, 0.3), (-1, -1, 0), (0.5, 0.1, 0.4)])
def test_a_worth_outside_its_range_is_refused(numbers):
    with pytest.raises(WorthBarError, match="inside their range"):
        WorthBar("Yoke", *numbers)


def test_days_are_named_the_same_in_every_locale():
    assert day_words(date(2028, 2, 29)) == "29 Feb"
