"""The change in a row of a list: every plate has its label; off and on differ without colour."""

from xml.etree import ElementTree

import pytest
from picture_samples import plate

from heftwright.pictures.plate_chips import HEIGHT, plate_chips_svg

SVG = "{http://www.w3.org/2000/svg}"


def draw(change, *labels):
    plates = tuple(plate(label) for label in labels)
    return ElementTree.fromstring(plate_chips_svg(plates, change, id_prefix="t"))


@pytest.mark.parametrize("change", ["off", "on"])
def test_every_plate_stands_there_in_the_order_of_moving_it(change):
    root = draw(change, "20", "2.5", "1.25")
    assert [text.text for text in root.iter(f"{SVG}text")] == ["20", "2.5", "1.25"]
    lefts = [float(box.get("x")) for box in root.iter(f"{SVG}rect")]
    assert lefts == sorted(lefts)


def test_what_comes_off_is_dashed_and_struck_what_goes_on_is_whole():
    off, on = draw("off", "10"), draw("on", "10")
    assert [box.get("stroke-dasharray") is None for box in off.iter(f"{SVG}rect")] == [False]
    assert len(list(off.iter(f"{SVG}path"))) == 1
    assert [box.get("stroke-dasharray") for box in on.iter(f"{SVG}rect")] == [None]
    assert not list(on.iter(f"{SVG}path"))


def test_who_does_not_see_it_is_told_the_same():
    assert draw("off", "10", "5").find(f"{SVG}title").text == "off 10 + 5 kg a side"


def test_chips_of_one_list_are_equally_high_and_within_their_picture():
    root = draw("on", "25", "25", "25")
    assert float(root.get("height")) == HEIGHT
    last = list(root.iter(f"{SVG}rect"))[-1]
    assert float(last.get("x")) + float(last.get("width")) <= float(root.get("width"))
