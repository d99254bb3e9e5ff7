"""Colours: readable labels on every plate, and one set for drawings and pages."""

import re
from dataclasses import fields
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.pictures import DARK, LIGHT, PAPER, SCREEN
from heftwright.pictures.colour import (
    RUBBER,
    contrast_ratio,
    greyed,
    ink_on,
    relative_luminance,
    safe_colour,
)

colours = st.integers(0, 0xFFFFFF).map("#{:06x}".format)
CSS = files("heftwright") / "web" / "static" / "heftwright" / "pictures.css"


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        # W3C, Understanding WCAG 2.2 (success criteria 1.4.3): 21:1 for black on white; #767676
        # is the lightest grey that reaches 4.5:1 on white (4.54), from memory.
        ("#000000", "#ffffff", 21.0),
        ("#767676", "#ffffff", 4.54),
        ("#ffffff", "#ffffff", 1.0),
    ],
)
def test_contrast_is_the_one_of_the_guidelines(one, other, ratio):
    assert contrast_ratio(one, other) == pytest.approx(ratio, abs=0.005)


@given(colours)
def test_a_label_can_be_read_on_a_plate_of_any_colour(colour):
    assert contrast_ratio(ink_on(colour), colour) >= 4.5


@given(colours)
def test_on_paper_black_can_be_read_on_a_plate_of_any_colour(colour):
    assert contrast_ratio("#000000", greyed(colour)) >= 7


@given(colours, colours)
def test_on_paper_a_lighter_plate_stays_the_lighter_one(one, other):
    lighter, darker = sorted((one, other), key=relative_luminance, reverse=True)
    assert relative_luminance(greyed(lighter)) >= relative_luminance(greyed(darker)) - 1e-9


@pytest.mark.parametrize(
    ("entry", "colour"),
    [
        ("#C8102E", "#c8102e"),
        ("#fff", "#ffffff"),
        (" red ", "#ff0000"),
        ("url(#x)", RUBBER),
        ('#fff"/>', RUBBER),
        ("", RUBBER),
        ("#ffff", RUBBER),
    ],
)
def test_only_a_plain_colour_of_the_stock_is_drawn(entry, colour):
    assert safe_colour(entry) == colour


@pytest.mark.parametrize("palette", [LIGHT, DARK, PAPER])
def test_words_reach_the_enhanced_contrast_on_their_ground(palette):
    # WCAG 2.2, 1.4.6 (AAA): 7:1.
    assert contrast_ratio(palette.ink, palette.ground) >= 7
    assert contrast_ratio(palette.ink, palette.raised) >= 7
    assert contrast_ratio(palette.soft, palette.ground) >= 7


@pytest.mark.parametrize("palette", [LIGHT, DARK, PAPER])
@pytest.mark.parametrize("part", ["rope", "chalk", "alarm", "steel_edge"])
def test_lines_that_tell_something_reach_three_to_one(palette, part):
    # WCAG 2.2, 1.4.11 (AA): 3:1 for graphics.
    assert contrast_ratio(getattr(palette, part), palette.ground) >= 3


@pytest.mark.parametrize("part", [field.name for field in fields(LIGHT)])
def test_the_page_and_the_saved_picture_have_the_same_colours(part):
    name = "--pic-" + part.replace("_", "-")
    found = re.search(rf"{name}: light-dark\((#\w+), (#\w+)\);", CSS.read_text())
    assert (found[1], found[2]) == (getattr(LIGHT, part), getattr(DARK, part))
    assert getattr(SCREEN, part) == f"var({name}, {getattr(LIGHT, part)})"
