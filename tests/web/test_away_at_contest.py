"""Whoever a contest keeps away: said on Today, on the floor and on their card; a mark wins."""

from dataclasses import replace
from datetime import date

import pytest
from floor_cast import CLASS_KEY, ROW, TERMINAL, save_plan

from heftwright.domain.catalogue import EventFamily
from heftwright.domain.contest import Contest, ContestEvent, ContestId, Entry, EventStyle, Travel
from heftwright.domain.squad import AthleteId
from heftwright.usecases import attendance, contests, travels

YOKE = ContestEvent("Yoke", EventFamily.YOKE, EventStyle.RUN)
TOVE = AthleteId("a7")


@pytest.fixture
def abroad(house):
    """Tove's contest is on the Wednesday after the class; she travels two days before."""
    contest = Contest(
        ContestId("far"), "Far Shore Day", date(2026, 11, 25), 2, False, (YOKE,), (Entry(TOVE),)
    )
    contests.add_contest(gym=ROW, by=TERMINAL, contest=contest)
    travels.set_travel(gym=ROW, by=TERMINAL, travel=Travel(contest.id, 2, 0))
    return house


def text(client, url):
    return " ".join(client.get(url).content.decode().split())


def without_tove(house):
    kept = tuple(
        replace(item, lifters=tuple(line for line in item.lifters if line.athlete != TOVE))
        for item in house.sheet.platforms
    )
    sheet = replace(house.sheet, platforms=kept, plan_version=2)
    people = [line.athlete for item in kept for line in item.lifters]
    people += [one.athlete for one in sheet.unplaced]
    save_plan(sheet, tuple(people))


def test_today_says_who_is_away_at_which_contest_and_what_to_do(head, abroad):
    page = text(head, f"/gym/{ROW}/today/")
    assert "Away: on the way to Far Shore Day: <strong>Tove</strong>" in page
    assert "This plan still counts on them: plan again to leave them out." in page
    assert f'marked here <a href="{abroad.class_url}floor/">on the floor</a>' in page


def test_today_says_nothing_where_nobody_is_away(head, house):
    assert "Away:" not in text(head, f"/gym/{ROW}/today/")


def test_a_plan_without_them_asks_for_no_other(head, abroad):
    without_tove(abroad)
    page = text(head, f"/gym/{ROW}/today/")
    assert "Far Shore Day" in page
    assert "This plan still counts on them" not in page
    assert "Who is here has changed" not in text(head, abroad.class_url + "floor/")


def test_a_class_without_a_plan_says_who_will_not_come(head, abroad):
    contest = contests.get_contest(gym=ROW, contest=ContestId("far"))
    travels.set_travel(gym=ROW, by=TERMINAL, travel=Travel(contest.id, 0, 5))  # to the Monday
    page = text(head, f"/gym/{ROW}/class/2026-11-30/{CLASS_KEY}/")
    assert "10 usually come, less those away" in page
    assert "Away: on the way home from Far Shore Day: <strong>Tove</strong>" in page


def test_on_the_floor_they_stand_as_away_and_one_tap_marks_them_here(assistant, abroad):
    page = text(assistant, abroad.class_url + "floor/")
    assert 'aria-label="Tove is on the way to Far Shore Day; mark here"' in page
    assert "Who is here has changed since this plan" in page
    typed = {"athlete": "a7", "state": "here"}
    page = assistant.post(abroad.class_url + "floor/attendance", typed, follow=True)
    words = " ".join(page.content.decode().split())
    assert 'aria-label="Tove is here; mark away"' in words
    assert "Who is here has changed since this plan" not in words
    key = abroad.dated_key
    assert attendance.get_attendance(gym=ROW, class_key=key)["a7"].state == "here"
    assert "Away:" not in text(assistant, f"/gym/{ROW}/today/")


def test_their_card_says_that_the_class_goes_on_without_them(anyone, abroad):
    without_tove(abroad)
    page = text(anyone, f"/card/{abroad.card_secret}/")
    assert "You are on the way to Far Shore Day: this class goes on without you." in page
