"""The strain pages: rating a class, one athlete against their own habit, health notes."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from floor_cast import CLASS_KEY, ROW, TERMINAL, at

from heftwright.domain.log import PainReport
from heftwright.domain.squad import AthleteId
from heftwright.domain.strain.session import SessionEffort
from heftwright.usecases import pain, strain, trail

A7 = AthleteId("a7")
BASE = f"/gym/{ROW}/"


def rating_url(house):
    return f"{BASE}strain/class/{house.on}/{CLASS_KEY}/"


def words_of(answer) -> str:
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(text.replace("&#x27;", "'").split())


def loads(who=A7):
    return strain.get_athlete_strain(gym=ROW, athlete=who).days.loads


def undo_button(answer) -> str:
    return re.findall(r'action="(/gym/[^"]+/undo/[^"]+)"', answer.content.decode())[-1]


def test_the_class_of_tonight_is_offered_for_rating(head, house):
    page = head.get(f"{BASE}strain/").content.decode()
    assert rating_url(house) in page
    assert "Descriptive only" in page


def test_a_class_is_rated_and_one_button_takes_it_back(head, house):
    posted = {"rpe_a7": "7.5", "minutes_a7": "75", "rpe_a9": "", "minutes_a9": "75"}
    answer = head.post(rating_url(house), posted, follow=True)
    assert "1 session rated" in words_of(answer)
    assert loads() == (562.5,)
    assert loads(AthleteId("a9")) == ()
    head.post(undo_button(answer))
    assert loads() == ()


def test_an_assistant_rates_too_and_nobody_else_may(assistant, stranger, house):
    posted = {"rpe_a7": "5", "minutes_a7": "60"}
    assert stranger.post(rating_url(house), posted).status_code == 404
    assistant.post(rating_url(house), posted)
    assert loads() == (300,)


@pytest.mark.parametrize(
    ("rpe", "minutes", "words"),
    [("11", "75", "outside 0–10"), ("7,5", "75", "comma"), ("7", "75.5", "whole numbers"),
     ("7", "", "“”"), ("7", "601", "outside 0–600")],
)  # fmt: skip
def test_one_wrong_row_keeps_nothing_and_loses_nothing(head, house, rpe, minutes, words):
    posted = {"rpe_a7": rpe, "minutes_a7": minutes, "rpe_a9": "6", "minutes_a9": "70"}
    answer = head.post(rating_url(house), posted)
    assert answer.status_code == 422
    assert words in words_of(answer)
    assert 'name="rpe_a9" value="6"' in answer.content.decode()
    assert loads(AthleteId("a9")) == ()


def test_nobody_rated_is_said(head, house):
    assert "Nobody was rated" in words_of(head.post(rating_url(house), {}))


def test_an_athletes_page_says_what_is_known_and_what_is_missing(head, house):
    first = words_of(head.get(f"{BASE}squad/a7/strain"))
    assert "No session rated yet" in first
    for back in (2, 5):
        day = house.on - timedelta(days=back)
        effort = SessionEffort(A7, day, f"{day}/{CLASS_KEY}", 6, 60)
        strain.rate_sessions(gym=ROW, by=TERMINAL, efforts=[effort])
    said = words_of(head.get(f"{BASE}squad/a7/strain"))
    assert "warming up" in said
    assert "missing is not zero" in said
    assert "divided by 7" in said
    assert "at first load" in said


def test_pain_and_soreness_are_read_with_a_trail_and_never_on_other_pages(head, house):
    note = PainReport(A7, house.dated_key, "left elbow", 6, at(house.on, 18, 50))
    pain.report_pain(gym=ROW, by=TERMINAL, report=note)
    for url in ("strain/", "squad/a7/strain", "squad/a7/strength", "strength/"):
        assert "left elbow" not in words_of(head.get(BASE + url))
    assert trail.get_trail(gym=ROW, subject="health/a7") == ()
    said = words_of(head.get(f"{BASE}squad/a7/health"))
    assert "6 of 10, left elbow" in said
    assert "stop this lift today" in said
    assert {line.who for line in trail.get_trail(gym=ROW, subject="health/a7")} == {"Hal"}


def test_what_was_not_said_stays_open(head, house):
    url = f"{BASE}squad/a7/readiness"
    head.post(url, {"sleep": "4", "energy": "3", "soreness": "2", "stress": "", "mood": "5"})
    assert "An item is missing: no sum" in words_of(head.get(f"{BASE}squad/a7/health"))
    head.post(url, {"sleep": "4", "energy": "3", "soreness": "2", "stress": "3", "mood": "5"})
    assert "17 of 25, higher is better" in words_of(head.get(f"{BASE}squad/a7/health"))


@pytest.mark.parametrize(
    ("posted", "words"),
    [({}, "Nothing was said"), ({"sleep": "6"}, "not one of the choices"),
     ({"sleep": "3", "on": "2999-01-01"}, "yet to come")],
)  # fmt: skip
def test_a_report_that_cannot_be_is_refused(head, house, posted, words):
    answer = head.post(f"{BASE}squad/a7/readiness", posted)
    assert answer.status_code == 422
    assert words in words_of(answer)


def test_the_words_on_strain_promise_nothing(head, house):
    for url in ("strain/", "squad/a7/strain", "squad/a7/health"):
        said = words_of(head.get(BASE + url)).lower().partition("your coach decides")[0]
        assert not {"safe", "risk", "injury", "danger"} & set(re.findall(r"[a-z]+", said))
