"""The calendar's pages."""

import pytest
from floor_cast import ROW

from heftwright.domain.mass import Mass
from heftwright.usecases import contests

URL = f"/gym/{ROW}/contests/"
NEW = {
    "name": "Saltpan Novice Day", "on": "2027-03-06", "importance": "3", "squad_taper": "yes",
    "event": "Axle deadlift", "family": "deadlift_reps", "style": "reps", "implement": "axle",
    "load_men": "405", "load_men_unit": "lb", "load_women": "", "load_women_unit": "kg",
    "time_cap_s": "60", "course_m": "",
}  # fmt: skip
EVENT = NEW | {"event": "Yoke", "family": "yoke", "style": "run", "implement": "yoke"}
KEY = "saltpan-novice-day-2027"


@pytest.fixture
def contest(head, house):
    assert head.post(URL + "new", NEW).status_code == 302
    return KEY


def test_a_contest_stands_in_the_calendar_with_its_first_event(head, contest):
    (found,) = contests.get_contests(gym=ROW)
    assert (found.importance, found.squad_taper) == (3, True)
    assert found.events[0].load_men == Mass.lb(405)
    assert "103" in head.get(URL).content.decode()  # days from 23 November to 6 March


def test_events_are_added_and_taken_out_with_a_way_back(head, contest):
    head.post(f"{URL}{KEY}/events", EVENT)
    assert [e.name for e in contests.get_contests(gym=ROW)[0].events] == ["Axle deadlift", "Yoke"]
    page = head.post(f"{URL}{KEY}/events/0/remove", follow=True).content.decode()
    assert [e.name for e in contests.get_contests(gym=ROW)[0].events] == ["Yoke"]
    head.post(f"/gym/{ROW}/undo/{page.split('/undo/')[1].split(chr(34))[0]}")
    assert len(contests.get_contests(gym=ROW)[0].events) == 2


def test_two_events_of_one_name_are_refused(head, contest):
    answer = head.post(f"{URL}{KEY}/events", EVENT | {"event": "Axle deadlift"})
    assert answer.status_code == 422
    assert "share a name" in answer.content.decode()


def test_an_athlete_is_entered_and_taken_back(head, contest):
    head.post(f"{URL}{KEY}/entries", {"athlete": "a7", "contest_class": "novice", "enters": "yes"})
    (entry,) = contests.get_contests(gym=ROW)[0].entries
    assert (entry.athlete, entry.contest_class) == ("a7", "novice")
    head.post(f"{URL}{KEY}/entries", {"athlete": "a7"})
    assert contests.get_contests(gym=ROW)[0].entries == ()


def test_a_contests_head_is_changed_and_its_events_stay(head, contest):
    head.post(f"{URL}{KEY}/change", NEW | {"name": "Saltpan Open", "squad_taper": ""})
    (found,) = contests.get_contests(gym=ROW)
    assert (found.name, found.squad_taper, len(found.events)) == ("Saltpan Open", False, 1)
