"""The loaded sleeve: to scale, every plate labelled, the change readable without colour."""

import itertools
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from picture_samples import COLOURS, plate, sleeve

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet import PlateOnBar
from heftwright.pictures import DARK, LIGHT, PAPER, SCREEN
from heftwright.pictures.sleeve import sleeve_svg
from heftwright.pictures.sleeve_words import (
    change_text,
    plates_words,
    printed_unit,
    sleeve_text,
    sleeve_words,
)

NS = {"s": "http://www.w3.org/2000/svg"}
labels = st.sampled_from(sorted(COLOURS))
stacks = st.lists(labels, max_size=9).map(" ".join)


def tree(svg):
    return ElementTree.fromstring(svg)


def draw(one, **how):
    return tree(sleeve_svg(one, id_prefix="t", **how))


def boxes(root):
    return [
        {key: float(box.get(key)) for key in ("x", "y", "width", "height")} | {"el": box}
        for box in root.iter("{http://www.w3.org/2000/svg}rect")
    ]


def words_on(root):
    return [text.text for text in root.iter("{http://www.w3.org/2000/svg}text")]


def plate_boxes(root, fill):
    """Boxes of a colour that are no labels: labels stand at the upper edge."""
    return [box for box in boxes(root) if box["el"].get("fill") == fill and box["y"] > 20]


@pytest.mark.parametrize(("label", "diameter", "thickness"), [("25", 450, 52), ("5", 228, 26)])
def test_a_plate_is_drawn_as_thick_and_as_wide_as_in_the_stock(label, diameter, thickness):
    box = plate_boxes(draw(sleeve(label), with_change=False), COLOURS[label][0])[0]
    assert box["height"] == pytest.approx(diameter, abs=2)
    assert box["width"] == pytest.approx(thickness, abs=2)


def test_plates_stand_side_by_side_from_the_inside_out():
    root = draw(sleeve("25 20 10"))
    lefts = [plate_boxes(root, COLOURS[label][0])[0]["x"] for label in ("25", "20", "10")]
    assert lefts[1] - lefts[0] == pytest.approx(52, abs=1)
    assert lefts[2] - lefts[1] == pytest.approx(46, abs=1)


def test_the_half_view_keeps_the_upper_half_only():
    full = plate_boxes(draw(sleeve("25")), "#c8102e")[0]["height"]
    half = plate_boxes(draw(sleeve("25"), view="half"), "#c8102e")[0]["height"]
    assert half < 0.65 * full


@given(stacks)
def test_every_plate_on_the_bar_shows_its_mass(stack):
    assert words_on(draw(sleeve(stack))) == stack.split()


@given(stacks, stacks)
def test_labels_never_cover_one_another(stack, off):
    chips = sorted(
        (box["x"], box["x"] + box["width"])
        for box in boxes(draw(sleeve(stack, off)))
        if box["y"] < 20
    )
    assert all(right <= left + 0.02 for (_, right), (left, _) in itertools.pairwise(chips))


@given(stacks, stacks)
def test_nothing_is_drawn_outside_the_picture(stack, off):
    root = draw(sleeve(stack, off))
    width = float(root.get("width"))
    assert all(box["x"] >= 0 and box["x"] + box["width"] <= width + 0.02 for box in boxes(root))


def test_what_comes_off_is_dashed_hatched_crossed_and_struck():
    root = draw(sleeve("25", off="10"))
    struck = [box for box in boxes(root) if box["el"].get("fill") == "url(#t-off)"]
    assert len(struck) == 1
    assert struck[0]["el"].get("stroke-dasharray")
    assert "−10" in words_on(root)
    crosses = [
        p for p in root.iter("{http://www.w3.org/2000/svg}path") if p.get("d").count("M") == 2
    ]
    assert len(crosses) == 1


def test_what_goes_on_has_a_plus_and_the_heavier_outline():
    root = draw(sleeve("25 5", on="5"))
    assert words_on(root) == ["25", "+5"]
    stays, new = (
        float(plate_boxes(root, COLOURS[label][0])[0]["el"].get("stroke-width"))
        for label in ("25", "5")
    )
    assert new > 2 * stays


def test_of_three_like_plates_the_outermost_is_the_new_one():
    assert words_on(draw(sleeve("25 25 25", on="25"))) == ["25", "25", "+25"]


def test_the_first_to_come_off_lies_furthest_away():
    assert words_on(draw(sleeve("", off="5 20"))) == ["−20", "−5"]


def test_without_the_change_only_the_stack_is_drawn():
    root = draw(sleeve("25 5", off="10", on="5"), with_change=False)
    assert words_on(root) == ["25", "5"]


def test_a_bar_without_collars_has_none_in_its_picture():
    with_collar, without = (len(boxes(draw(sleeve("20", collar=c)))) for c in ("2.5", "0"))
    assert with_collar == without + 1


def test_on_paper_every_fill_is_a_grey():
    svg = sleeve_svg(sleeve("25 20 15 10", "5"), palette=PAPER, id_prefix="t")
    for colour in re.findall(r"#[0-9a-f]{6}", svg):
        assert colour[1:3] == colour[3:5] == colour[5:7], colour


@pytest.mark.parametrize("palette", [LIGHT, DARK, PAPER, SCREEN])
def test_a_picture_is_named_and_described_and_has_no_inline_style(palette):
    svg = sleeve_svg(sleeve("25 5", "10", "5"), palette=palette, id_prefix="p1")
    root = tree(svg)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "p1-title"
    assert root.find("s:title", NS).text == "Barbell 20: 25 + 5 kg a side"
    assert "Comes off each side first: 10 kg." in root.find("s:desc", NS).text
    assert "style" not in svg.replace("font-style", "")


def test_two_pictures_on_a_page_share_no_id():
    first, second = (
        set(re.findall(r'id="([^"]+)"', sleeve_svg(sleeve("25", "5"), id_prefix=name)))
        for name in ("a", "b")
    )
    assert first
    assert not first & second


@given(st.text(max_size=12), st.text(max_size=30))
def test_no_entry_of_the_stock_can_break_out_of_the_drawing(label, colour):
    odd = PlateOnBar("k", Mass.kg("5"), label, 200, 20, colour)
    one = replace(sleeve("25"), plates=(odd,), bar_name=label)
    root = draw(one)
    names = {element.tag.split("}")[1] for element in root.iter()}
    assert names <= {"svg", "title", "desc", "defs", "pattern", "path", "rect", "circle", "text"}


def test_markup_in_a_label_stays_words():
    odd = PlateOnBar("k", Mass.kg("5"), '</text><script>"&', 200, 20, '"/><script>')
    svg = sleeve_svg(replace(sleeve(""), plates=(odd,)), id_prefix='"><x')
    assert "<script" not in svg
    assert tree(svg).get("aria-labelledby") == "---x-title"


@pytest.mark.parametrize(
    ("one", "line"),
    [
        (sleeve("25 20 5 2.5", "10", "5 2.5"), "▐ 25│20│5│2.5 ▌ off 10 → on 5 + 2.5 kg a side"),
        (sleeve("25", "5"), "▐ 25 ▌ off 5 kg a side"),
        (sleeve("25 5", "", "5"), "▐ 25│5 ▌ on 5 kg a side"),
        (sleeve(""), "▐ bar only ▌ kg a side, as it is"),
    ],
)
def test_the_terminal_gets_the_sleeve_in_one_line(one, line):
    assert sleeve_text(one) == line


def test_the_first_on_an_empty_bar_is_told_that_plates_come_off_from_set_2():
    changed, same = sleeve("20", "10"), sleeve("20")
    assert "▌ from set 2: off 10 kg a side" in sleeve_text(changed, when="from set 2: ")
    assert "from set 2" not in sleeve_text(same, when="from set 2: ")


@given(stacks, stacks, stacks)
def test_a_plain_terminal_gets_plain_letters_with_the_same_numbers(stack, off, on):
    plain = sleeve_text(sleeve(stack, off, on), is_ascii=True)
    assert plain.isascii()
    assert re.findall(r"[0-9.]+", plain) == [*stack.split(), *off.split(), *on.split()]


def test_plates_of_two_units_say_so_each():
    pound = PlateOnBar("lb45", Mass.lb("45"), "45", 450, 40, "#222")
    assert printed_unit(pound) is MassUnit.LB
    assert plates_words((pound, plate("20"))) == "45 lb + 20 kg"


def test_a_plate_as_weighed_keeps_the_unit_printed_on_it():
    assert printed_unit(replace(plate("20"), mass=Mass.kg("19.87"))) is MassUnit.KG
    assert printed_unit(replace(plate("20"), label="old")) is MassUnit.KG
    assert printed_unit(replace(plate("20"), label="Infinity")) is MassUnit.KG


def test_words_tell_the_collar_and_the_order_of_work():
    words = sleeve_words(sleeve("25 5", "10", "5"))
    assert words == (
        "Barbell 20, one end, from the inside out: 25 + 5 kg. Then a collar of 2.5 kg. "
        "Comes off each side first: 10 kg. Goes on each side: 5 kg."
    )
    assert change_text(sleeve("25")) == ""
