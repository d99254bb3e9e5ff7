"""The ends of a time axis: the first day over its left, the last over its right."""

import re
from datetime import date

from heftwright.pictures.day_ends import day_ends
from heftwright.pictures.palette import SCREEN

DAYS = [date(2026, 8, 30), date(2026, 7, 5), date(2026, 8, 2)]


def drawn(days, **more):
    svg = str(day_ends(days, left=100, right=500, palette=SCREEN, **more))
    return re.findall(r'<text x="(\d+)"[^>]*text-anchor="(\w+)"[^>]*>([^<]+)<', svg)


def test_the_first_and_the_last_day_stand_over_the_ends_in_whatever_order_they_come():
    assert drawn(DAYS) == [("100", "start", "5 Jul 2026"), ("500", "end", "30 Aug 2026")]


def test_words_may_stand_before_each_day():
    assert [words for *_, words in drawn(DAYS, before="to ")] == ["to 5 Jul 2026", "to 30 Aug 2026"]


def test_without_days_nothing_stands_there():
    assert str(day_ends([], left=100, right=500, palette=SCREEN)) == ""
