"""Level lines: everybody on one scale, in words too, and escaped."""

import re
from datetime import date, timedelta
from xml.etree import ElementTree

import pytest

from heftwright.pictures.level_lines import (
    LevelLine,
    LevelLineError,
    level_lines_svg,
    level_lines_table,
)

SPANS = tuple(date(2026, 7, 5) + timedelta(weeks=4 * n) for n in range(3))


def drawn(*lines):
    return level_lines_svg(lines, spans=SPANS, id_prefix="l")


def ends(svg):
    return [float(y) for y in re.findall(r'<circle cx="[\d.]+" cy="([\d.]+)"', svg)]


def test_more_gain_ends_higher_within_its_row_on_the_scale_of_all():
    small, large = ends(drawn(LevelLine("Ada", (1, 1, 1.02)), LevelLine("Bo", (1, 1.05, 1.10))))
    row = 44
    assert large - row < small


def test_the_table_says_each_change_with_its_sign():
    table = level_lines_table((LevelLine("Ada", (1.0, 0.98, 1.051)),), spans=SPANS)
    assert table.rows == (("Ada", "±0.0 %", "−2.0 %", "+5.1 %"),)
    assert table.columns[1:] == ("to 5 Jul", "to 2 Aug", "to 30 Aug")


def test_a_name_is_escaped_and_the_picture_is_whole():
    ElementTree.fromstring(drawn(LevelLine("<b> & Co", (1, 1, 1))))


def test_nobody_yet_is_an_empty_picture():
    ElementTree.fromstring(level_lines_svg((), spans=(), id_prefix="l"))


@pytest.mark.parametrize("ratios", [(), (1.0,), (1.0, 0.0), (1.0, 11.0)])
def test_a_line_needs_two_spans_above_nothing(ratios):
    with pytest.raises(LevelLineError):
        LevelLine("Ada", ratios)


def test_every_row_has_the_spans_that_are_named():
    with pytest.raises(LevelLineError):
        drawn(LevelLine("Ada", (1, 1)))
