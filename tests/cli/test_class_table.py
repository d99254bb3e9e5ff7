"""The class sheet in the terminal: whose day it is, and every step of a work-up."""

from __future__ import annotations

import sys
from datetime import date
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from heftwright.cli.class_table import day_words, print_class_sheet

sys.path.insert(0, str(Path(__file__).parents[1] / "web"))  # the sheets of the page tests


def printed(sheet, today):
    to = StringIO()
    print_class_sheet(sheet, Console(file=to, width=80), today)
    return to.getvalue()


@pytest.mark.parametrize(
    ("on", "words"),
    [
        (date(2026, 11, 23), "today"), (date(2026, 11, 24), "tomorrow"),
        (date(2026, 11, 30), "in 7 days"), (date(2026, 11, 20), "3 days ago"),
    ],
)  # fmt: skip
def test_the_sheet_says_how_far_off_its_day_is(on, words):
    assert day_words(on, date(2026, 11, 23)) == words


def test_every_step_of_a_work_up_is_printed_with_its_reps_and_no_seven_top_sets():
    from sheets import make_max_effort_sheet

    text = printed(make_max_effort_sheet(), date(2026, 11, 22))
    assert "tomorrow, Monday 23 November 2026, 18:30" in text
    for step in ("70 × 5", "92.5 × 3", "122.5 × 3", "140 × 3", "155 × 3", "165 × 6", "175 kg × 6"):
        assert text.count(step) == 10
    assert "7 × 6" not in text


def test_on_other_days_the_sets_and_the_change_are_printed():
    from sheets import make_class_sheet

    text = printed(make_class_sheet(), date(2026, 11, 23))
    assert "today, Monday 23 November" in text
    assert "12 × 2" in text
    assert "97.5 kg ~" in text
    assert "~ from an estimated max." in text
