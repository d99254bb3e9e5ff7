"""Pictures of the measuring pages: the band curve, the rig that is read, the tape on the lifter."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.resistance import fit_band
from heftwright.domain.squad import BarHeights
from heftwright.domain.stock import Band, BandReading, RigKind
from heftwright.pictures.band_curve import (
    BandChart,
    BandChartError,
    ReadingDot,
    band_chart,
    band_curve_svg,
    band_curve_table,
)
from heftwright.pictures.band_rig import band_rig_svg
from heftwright.pictures.body_tape import body_tape_svg

SVG = "{http://www.w3.org/2000/svg}"
DAY = date(2026, 11, 2)


def band(*pairs, **more):
    readings = tuple(BandReading(Length.cm(cm), Mass.kg(str(kg)), DAY) for cm, kg in pairs)
    return Band("b", "Band", 2, Length.cm(100), readings, **more)


def chart(folds=1, dots=()):
    return band_chart(fit_band(band((120, 10), (150, 20), (180, 28))), folds=folds, dots=dots)


def words_on(svg):
    return [item.text for item in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_the_chart_says_the_limit_and_what_was_read():
    words = words_on(band_curve_svg(chart(), id_prefix="b"))
    assert "never past 200 cm" in words
    assert "read 120 to 180 cm" in words


def test_a_doubled_band_is_drawn_as_it_is_rigged():
    plain, doubled = chart(), chart(folds=2)
    assert doubled.safe_m == plain.safe_m / 2
    assert doubled.force_kg[-1] == pytest.approx(2 * plain.force_kg[-1])
    assert "never past 100 cm" in words_on(band_curve_svg(doubled, id_prefix="b"))


def test_a_guess_says_that_nothing_was_read():
    guess = band_chart(fit_band(band(guess_top_force=Mass.kg(40))))
    assert "a guess: nothing was read" in words_on(band_curve_svg(guess, id_prefix="b"))
    assert {row[2] for row in band_curve_table(guess).rows} == {"a guess"}


def test_left_and_right_are_both_drawn_and_named():
    from heftwright.domain.stock import Side

    rows = [(120, 10), (150, 20), (180, 28)]
    sides = tuple(
        BandReading(Length.cm(cm), Mass.kg(str(kg * factor)), DAY, side)
        for side, factor in ((Side.LEFT, 1.25), (Side.RIGHT, 1))
        for cm, kg in rows
    )
    both = band_chart(fit_band(replace(band(), readings=sides)))
    assert {"left", "right"} <= set(words_on(band_curve_svg(both, id_prefix="b")))


def test_a_pound_page_shows_pounds():
    svg = band_curve_svg(chart(), id_prefix="b", unit=MassUnit.LB)
    assert not any(word.endswith(" kg") for word in words_on(svg))
    assert all(" lb " in row[1] for row in band_curve_table(chart(), unit=MassUnit.LB).rows)


def test_outside_the_readings_is_said_in_the_table():
    said = [row[2] for row in band_curve_table(chart()).rows]
    assert said[0] == said[-1] == "outside the readings"
    assert "between readings" in said


AGES = st.sampled_from(["new", "kept", "older", "wrong"])
WAYS = st.sampled_from(["up", "down", "unsaid"])


@given(
    st.lists(st.builds(ReadingDot, st.floats(0.2, 4), st.floats(0, 300), WAYS, AGES), max_size=12),
    st.sampled_from([1, 2]),
)
@settings(max_examples=40, deadline=None)
def test_every_dot_stays_inside_the_picture(dots, folds):
    root = ElementTree.fromstring(band_curve_svg(chart(folds, dots), id_prefix="b"))
    for circle in root.iter(f"{SVG}circle"):
        assert 0 <= float(circle.get("cx")) <= 420
        assert 0 <= float(circle.get("cy")) <= 400


@pytest.mark.parametrize(
    ("lengths", "forces", "words"),
    [((1.0,), (1.0,), "at least two"), ((1.0, 0.9), (1.0, 2.0), "must rise"),
     ((1.0, 1.1), (1.0,), "a force for each")],
)  # fmt: skip
def test_figures_that_make_no_curve_are_refused(lengths, forces, words):
    with pytest.raises(BandChartError, match=words):
        BandChart(lengths, forces, forces, (), (), 1.0, 2.0, (0.0, 0.0))


@pytest.mark.parametrize("method", ["hang", "scale"])
@pytest.mark.parametrize("rig", list(RigKind))
def test_every_rig_is_pictured_with_its_scale_and_tape(rig, method):
    svg = band_rig_svg(rig, method, id_prefix="r")
    assert "scale" in words_on(svg)
    assert "tape goes from the peg" in ElementTree.fromstring(svg).find(f"{SVG}desc").text


def test_a_doubled_band_has_four_strands_where_a_choked_one_has_two():
    def strands(rig):
        return band_rig_svg(rig, "hang", id_prefix="r").count('stroke-width="4.5"')

    assert (strands(RigKind.CHOKED), strands(RigKind.DOUBLED)) == (2, 4)


@pytest.mark.parametrize("name", [field.name for field in fields(BarHeights)])
def test_every_height_of_the_record_has_its_picture_inside_the_frame(name):
    root = ElementTree.fromstring(body_tape_svg(name, id_prefix=name))
    _, _, width, height = (float(part) for part in root.get("viewBox").split())
    for circle in root.iter(f"{SVG}circle"):
        x, y, r = (float(circle.get(key)) for key in ("cx", "cy", "r"))
        assert r <= x <= width - r
        assert r <= y <= height - r
