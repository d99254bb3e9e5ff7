"""Names find people and make keys, whatever letters they are written in."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.names import first_free, holds_words, plain_letters, short_name


@pytest.mark.parametrize(
    ("name", "short"),
    [
        ("Iron Yard", "iron-yard"),
        ("Ünï Gym", "uni-gym"),
        ("Łódź Żelazo", "lodz-zelazo"),
        ("Smørrebrød & Æbler", "smorrebrod-aebler"),
        ("Straße 7", "strasse-7"),
        ("Borðeyri Þór", "bordeyri-thor"),
        ("Café-Crème", "cafe-creme"),
        ("DIYARBAKIR ıron", "diyarbakir-iron"),
        ("健身房", ""),
        ("  ", ""),
    ],
)
def test_a_short_name_keeps_every_latin_letter_without_its_accent(name, short):
    assert short_name(name) == short


@given(st.text())
def test_a_short_name_is_always_an_address_or_nothing(name):
    short = short_name(name)
    assert set(short) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert not short.startswith("-")
    assert not short.endswith("-")


@given(st.text())
def test_plain_letters_of_plain_letters_stay_as_they_are(name):
    assert plain_letters(plain_letters(name)) == plain_letters(name)


def test_a_key_that_is_taken_gets_the_next_number():
    assert first_free("yard", frozenset()) == "yard"
    assert first_free("yard", frozenset({"yard", "yard-2"})) == "yard-3"


@pytest.mark.parametrize("words", ["maud", "MAUD T", "tarrow", "tar mau", "Máud"])
def test_a_part_of_a_name_finds_it(words):
    assert holds_words("Maud Tarrow", words)


@pytest.mark.parametrize("words", ["", "  ", "maude", "maud x"])
def test_words_that_are_not_in_the_name_do_not(words):
    assert not holds_words("Maud Tarrow", words)
