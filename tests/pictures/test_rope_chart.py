"""The rope chart: load over the lift."""

from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from picture_samples import rope

from heftwright.domain.mass import MassUnit
from heftwright.domain.sheet import RopeChart
from heftwright.pictures import LIGHT
from heftwright.pictures.raster import PictureColourError, picture_pdf, picture_png
from heftwright.pictures.rope_chart import RopeChartError, rope_chart_svg, rope_chart_table
from heftwright.pictures.table import ChartTable, ChartTableError


def words_on(svg):
    return [t.text for t in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]


def test_bar_top_and_shares_are_said_on_the_chart():
    words = words_on(rope_chart_svg(rope(), id_prefix="r"))
    assert "bar 112.5 kg" in words
    assert "top 176 kg ± 6 kg" in words
    assert "86 % of 205 kg" in words  # 175.58 / 205
    assert {"floor", "knee", "lockout"} <= set(words)


def test_the_table_reads_the_curve_at_each_mark():
    chart = rope()
    knee = np.interp(0.52, chart.heights_m, chart.total_kg)  # NumPy as reference
    rows = {row[0]: row for row in rope_chart_table(chart).rows}
    assert rows["knee"][1:3] == ("52 cm", "112.5 kg")
    assert rows["knee"][3].startswith(f"{knee:.0f} kg ±")
    assert [row[0] for row in rope_chart_table(chart).rows] == ["floor", "knee", "lockout"]


def test_without_marks_the_ends_are_named():
    rows = rope_chart_table(replace(rope(), marks=())).rows
    assert [row[0] for row in rows] == ["bottom", "top"]


def test_a_mark_outside_the_lift_is_in_the_table_only():
    chart = replace(rope(), marks=(("hip", 1.4),))
    assert "hip" not in words_on(rope_chart_svg(chart, id_prefix="r"))
    assert "hip" in {row[0] for row in rope_chart_table(chart).rows}


def test_a_pound_page_shows_pounds():
    words = words_on(rope_chart_svg(rope(), id_prefix="r", unit=MassUnit.LB))
    assert "bar 248.02 lb" in words  # 112.5 / 0.45359237 = 248.02
    assert not any(" kg" in word for word in words)


@given(
    st.lists(st.floats(20, 400), min_size=2, max_size=30),
    st.floats(0, 150),
    st.floats(0, 30),
)
def test_the_curves_stay_inside_the_frame(loads, extra, sd):
    heights = tuple(0.2 + 0.02 * i for i in range(len(loads)))
    chart = RopeChart(
        heights, tuple(loads), tuple(load + extra for load in loads), (sd,) * len(loads), (), 300.0
    )
    root = ElementTree.fromstring(rope_chart_svg(chart, id_prefix="r", size=(300, 260)))
    for shape in root.iter("{http://www.w3.org/2000/svg}path"):
        points = shape.get("d").replace("Z", "").replace("M", "L").split("L")[1:]
        for point in points:
            x, y = (float(part) for part in point.split())
            assert 0 <= x <= 300, point
            assert 0 <= y <= 260, point


def test_what_was_before_a_change_is_drawn_and_named():
    chart = rope()
    heavier = replace(chart, total_kg=tuple(kg + 30 for kg in chart.total_kg))
    svg = rope_chart_svg(chart, id_prefix="r", before=heavier)
    assert "before" in words_on(svg)
    assert "before" not in words_on(rope_chart_svg(chart, id_prefix="r"))


def test_what_was_before_at_other_heights_is_left_out():
    chart = rope()
    elsewhere = replace(chart, heights_m=tuple(at + 5 for at in chart.heights_m), marks=())
    assert "before" not in words_on(rope_chart_svg(chart, id_prefix="r", before=elsewhere))


@given(st.floats(0, 400), st.floats(-0.5, 0.5))
def test_what_was_before_stays_inside_the_frame(extra, shift):
    chart = rope()
    before = replace(
        chart,
        total_kg=tuple(kg + extra for kg in chart.total_kg),
        heights_m=tuple(at + shift for at in chart.heights_m),
    )
    root = ElementTree.fromstring(rope_chart_svg(chart, id_prefix="r", before=before))
    for shape in root.iter("{http://www.w3.org/2000/svg}path"):
        points = shape.get("d").replace("Z", "").replace("M", "L").split("L")[1:]
        assert all(0 <= float(point.split()[0]) <= 420 for point in points)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"sd_kg": (1.0,)}, "a load for each in every curve"),
        ({"heights_m": (0.5,) * 41}, "must rise"),
        ({"max_kg": 0.0}, "must be above 0 kg"),
    ],
)
def test_curves_that_cannot_be_drawn_are_refused(change, words):
    with pytest.raises(RopeChartError, match=words):
        rope_chart_svg(replace(rope(), **change), id_prefix="r")


def test_a_picture_can_be_saved_as_png_and_pdf():
    svg = rope_chart_svg(rope(), id_prefix="r", palette=LIGHT)
    png = picture_png(svg, scale=2)
    assert png[:8] == b"\x89PNG\r\n\x1a\n"  # PNG specification, file signature
    assert [int.from_bytes(png[at : at + 4]) for at in (16, 20)] == [840, 660]
    assert picture_pdf(svg)[:5] == b"%PDF-"


@pytest.mark.parametrize("save", [picture_png, picture_pdf])
def test_a_picture_in_the_screens_colours_is_not_saved(save):
    with pytest.raises(PictureColourError, match="palette LIGHT, DARK or PAPER"):
        save(rope_chart_svg(rope(), id_prefix="r"))


def test_a_table_with_a_short_row_is_refused():
    with pytest.raises(ChartTableError, match="as many cells as there are headings"):
        ChartTable("t", ("a", "b"), (("1",),))
