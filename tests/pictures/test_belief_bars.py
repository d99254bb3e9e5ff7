"""The belief bars: estimates look like estimates, old tests look old."""

from xml.etree import ElementTree

import pytest
from picture_samples import beliefs

from heftwright.domain.mass import MassUnit
from heftwright.pictures.belief_bars import (
    BeliefBar,
    BeliefBarError,
    TestDot,
    age_words,
    belief_bars_svg,
    belief_bars_table,
)

SVG = "{http://www.w3.org/2000/svg}"


def draw(*bars, **how):
    return ElementTree.fromstring(belief_bars_svg(bars, id_prefix="b", **how))


def test_a_lift_never_tested_has_a_dashed_bar_and_says_estimated():
    root = draw(BeliefBar("Axle press", 100, 5))
    assert root.find(SVG + "rect").get("stroke-dasharray")
    assert "untested, estimated" in [t.text for t in root.iter(SVG + "text")]


def test_a_tested_lift_has_a_solid_bar():
    assert draw(BeliefBar("Axle press", 100, 5, (TestDot(98, 3),))).find(SVG + "rect").get(
        "stroke-dasharray"
    ) is None  # fmt: skip


@pytest.mark.parametrize(
    ("days", "is_hollow", "words"),
    [(83, False, "tested 11 weeks ago"), (84, True, "untested for 12 weeks")],
)
def test_from_twelve_weeks_a_test_looks_old(days, is_hollow, words):
    root = draw(BeliefBar("Deadlift", 200, 4, (TestDot(200, days),)))
    dot = root.find(SVG + "circle")
    assert (dot.get("fill") != dot.get("stroke")) == is_hollow
    assert words in [t.text for t in root.iter(SVG + "text")]


def test_the_band_is_one_standard_deviation_either_way_to_the_bars_scale():
    bar, band = draw(BeliefBar("Deadlift", 200, 10)).findall(SVG + "rect")
    per_kg = float(bar.get("width")) / 200
    assert float(band.get("width")) == pytest.approx(20 * per_kg, abs=0.02)


def test_the_table_names_every_test_newest_first():
    rows = belief_bars_table(beliefs()).rows
    assert rows[0] == (
        "Deadlift",
        "tested 246 kg ± 4 kg",
        "245 kg 19 days ago, 235 kg 15 weeks ago",
    )
    assert rows[2] == (
        "Axle clean and press",
        "estimated 112 kg ± 6 kg",
        "untested: from other lifts",
    )
    assert rows[3][2].startswith("122 kg today")


def test_a_pound_page_shows_pounds():
    assert belief_bars_table((BeliefBar("Squat", 100, 0),), unit=MassUnit.LB).rows[0][1] == (
        "estimated 220 lb ± 0 lb"
    )


@pytest.mark.parametrize(("estimate", "sd"), [(0, 1), (float("nan"), 1), (100, -1), (20_000, 1)])
def test_a_belief_that_is_no_load_is_refused(estimate, sd):
    with pytest.raises(BeliefBarError, match="must be above 0 kg"):
        BeliefBar("Squat", estimate, sd)


@pytest.mark.parametrize(
    ("days", "words"), [(0, "today"), (1, "1 day ago"), (41, "41 days ago"), (63, "9 weeks ago")]
)
def test_ages_are_said_in_days_then_weeks(days, words):
    assert age_words(days) == words
