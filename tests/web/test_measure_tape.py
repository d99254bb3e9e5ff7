"""An athlete at the tape: what is known until taped, what is asked twice, what is kept."""

from __future__ import annotations

from datetime import date

import pytest
from floor_cast import ROW
from measure_cast import fit_out

from heftwright.domain.height import Length
from heftwright.domain.squad import AthleteId
from heftwright.usecases import squad

MONDAY = date(2026, 11, 23)
PAGE = f"/gym/{ROW}/squad/a9/tape"


@pytest.fixture(autouse=True)
def fitted(house):
    fit_out(MONDAY)


def heights():
    return squad.get_athlete(gym=ROW, athlete=AthleteId("a9")).heights


def said(answer, name: str) -> str:
    return answer.content.decode().partition(f'id="said-{name}"')[2].partition("<details")[0]


def typed(**values):
    return values | {f"{name}_unit": "cm" for name in values}


def test_every_height_has_a_picture_a_why_and_a_field(head):
    page = head.get(PAGE).content.decode()
    assert page.count("pic-tape") == 7
    assert page.count('class="mat hold"') == 7
    assert "0 of 7 taped" in page


def test_until_taped_the_derived_height_stands_with_its_error_and_what_that_is_worth(head):
    words = said(head.get(PAGE), "overhead")
    assert "Until then" in words
    assert "205.4<" in words  # ANSUR II for a woman of 170 cm: 1.3233 · 1700 − 195.4 mm
    assert "That ± alone is" in words


def test_squat_and_bench_have_no_number_until_taped(head):
    assert "nothing else tells it" in said(head.get(PAGE), "squat_top")


def test_a_typed_height_is_judged_at_once_and_not_kept(head):
    assert "Taped: " in said(head.get(PAGE, typed(pull_lockout="79")), "pull_lockout")
    assert "look at the unit" in said(head.get(PAGE, typed(pull_lockout="31")), "pull_lockout")
    assert heights().pull_lockout is None


def test_inches_are_read_as_inches(head):
    answer = head.get(PAGE, {"pull_lockout": "31", "pull_lockout_unit": "in"})
    assert "78.7<" in said(answer, "pull_lockout")


def test_heights_are_kept_and_can_be_taken_back(head):
    rows = typed(pull_lockout="79", squat_top="140", squat_bottom="88")
    answer = head.post(f"{PAGE}/keep", rows, follow=True)
    assert "heights kept" in answer.content.decode()
    assert heights().squat_bottom == Length.cm(88)
    assert "/undo/" in answer.content.decode()


def test_an_unlikely_height_needs_a_second_word(head):
    rows = typed(pull_lockout="60")
    answer = head.post(f"{PAGE}/keep", rows)
    assert answer.status_code == 422
    assert "I taped it twice" in answer.content.decode()
    head.post(f"{PAGE}/keep", {**rows, "is_confirmed": "yes"})
    assert heights().pull_lockout == Length.cm(60)


def test_heights_in_the_wrong_order_are_refused_even_when_confirmed(head):
    rows = typed(squat_top="80", squat_bottom="88", is_confirmed="yes")
    answer = head.post(f"{PAGE}/keep", rows)
    assert answer.status_code == 422
    assert "must be above" in said(answer, "squat_top")


def test_a_comma_gets_one_question(head):
    answer = head.post(f"{PAGE}/keep", typed(pull_lockout="7,9"))
    assert answer.status_code == 422
    assert "is it 7.9 or 79" in said(answer, "pull_lockout")


def test_a_stale_page_keeps_what_was_typed(head):
    answer = head.post(f"{PAGE}/keep", typed(pull_lockout="79") | {"was_seen": "not-what-stands"})
    assert answer.status_code == 412
    assert 'value="79"' in answer.content.decode()


def test_an_assistant_sees_the_heights_but_cannot_keep(assistant):
    assert "Keep the heights" not in assistant.get(PAGE).content.decode()
