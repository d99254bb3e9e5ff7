"""`why` and `maxes` take a squad number, a name, or the part of a name that only one has."""

from datetime import date

import pytest

from heftwright.cli.athletes import WhichAthleteError, find_athlete
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import Athlete, AthleteId, Sex


def athlete(number, name):
    key = AthleteId(name.split()[0].casefold())
    return Athlete(id=key, name=name, number=number, sex=Sex.WOMAN, born_on=date(1995, 1, 1))


SQUAD = (athlete(4, "Maud Tarrow"), athlete(14, "Maud Ellery"), athlete(7, "Zoë Łoś"))


@pytest.mark.parametrize(
    "words", ["4", "#4", " 4 ", "Maud Tarrow", "maud tarrow", "tarr", "maud t"]
)
def test_number_name_or_part_find_the_one_athlete(words):
    assert find_athlete(words, SQUAD).number == 4


def test_accents_need_not_be_typed():
    assert find_athlete("zoe los", SQUAD).number == 7


def test_a_part_that_several_have_lists_them_with_their_numbers():
    with pytest.raises(WhichAthleteError, match=r"fits 4 Maud Tarrow, 14 Maud Ellery: say the num"):
        find_athlete("maud", SQUAD)


@pytest.mark.parametrize("words", ["", " ", "99", "Nobody"])
def test_nobody_is_guessed(words):
    with pytest.raises(NotFoundError, match="There is no athlete"):
        find_athlete(words, SQUAD)
