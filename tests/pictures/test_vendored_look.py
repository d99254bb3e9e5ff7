"""What is vendored: small enough, licensed, and drawn with nothing a strict policy forbids."""

import re
from importlib.resources import files
from xml.etree import ElementTree

import pytest
from picture_samples import beliefs, rope, season, sleeve

from heftwright.pictures.belief_bars import belief_bars_svg
from heftwright.pictures.rope_chart import rope_chart_svg
from heftwright.pictures.season_phone import season_strip_phone_svg
from heftwright.pictures.season_strip import season_strip_svg
from heftwright.pictures.sleeve import sleeve_svg

STATIC = files("heftwright") / "web" / "static" / "heftwright"
PICTURES = {
    "sleeve": lambda: sleeve_svg(sleeve("25 5", "10", "5"), id_prefix="a"),
    "rope": lambda: rope_chart_svg(rope(), id_prefix="a"),
    "season": lambda: season_strip_svg(season(), id_prefix="a"),
    "phone": lambda: season_strip_phone_svg(season(), id_prefix="a"),
    "belief": lambda: belief_bars_svg(beliefs(), id_prefix="a"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_no_picture_needs_inline_style_script_or_another_address(name):
    svg = PICTURES[name]()
    root = ElementTree.fromstring(svg)
    for element in root.iter():
        assert element.tag.split("}")[1] not in {"style", "script", "image", "foreignObject"}
        for key, value in element.attrib.items():
            assert key != "style"
            assert not key.startswith("on")
            assert "href" not in key
            assert "url(" not in value or value.startswith("url(#")
    assert re.findall(r"https?://[^\"]+", svg) == ["http://www.w3.org/2000/svg"]


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_drawn_the_same_every_time(name):
    assert PICTURES[name]() == PICTURES[name]()


@pytest.mark.parametrize("font", sorted(p.name for p in (STATIC / "fonts").glob("*.woff2")))
def test_a_font_file_of_the_web_is_at_most_40_kb(font):
    data = (STATIC / "fonts" / font).read_bytes()
    assert data[:4] == b"wOF2"  # W3C, WOFF File Format 2.0, signature
    assert len(data) <= 40_000


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (STATIC / "fonts" / "LICENSE-Sofia-Sans.txt", "SIL OPEN FONT LICENSE"),
        (files("heftwright") / "paper" / "fonts" / "LICENSE-Sofia-Sans.txt", "SIL OPEN FONT"),
        (STATIC / "LICENSE-Lucide.txt", "ISC License"),
    ],
)
def test_a_licence_lies_beside_what_it_covers(place, words):
    assert words in place.read_text()


def test_each_icon_of_the_sprite_has_one_name_and_takes_the_colour_of_its_words():
    root = ElementTree.parse(str(STATIC / "icons.svg")).getroot()
    symbols = list(root)
    names = [symbol.get("id") for symbol in symbols]
    assert len(names) == len(set(names)) >= 25
    assert {symbol.get("stroke") for symbol in symbols} == {"currentColor"}
    assert all(len(symbol) for symbol in symbols)
